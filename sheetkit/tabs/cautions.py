"""What to take care of, in words; said where it can happen, once a page."""

from __future__ import annotations

from sheetkit.plan.finishing import DUST
from sheetkit.records.tasks import Caution

WORDS = {
    Caution.PINCH: "Case-hardened or tense wood pinches the blade: keep clear of the line of the cut, support the free end of long "
    "boards, and wear eye and ear protection.",
    Caution.RESAW: "Resawing: set the guide just above the blank and use a tall fence; a push block for the last of the cut, no thumb "
    "behind the blade. Let the saw stop before you clear slivers.",
    Caution.PLANE: "Nothing shorter than the shop's least length goes over the jointer or through the planer. Guards in place, push blocks "
    "in both hands; collect the dust: wood dust harms the lungs, and dust of hardwoods can cause cancer.",
    Caution.THIN: "Thin stock can break up in the planer: carry it on a flat board with a stop at its end, and take light cuts.",
    Caution.RIP: "Use the riving knife or splitter, and a push stick; strips too narrow for the guard are ripped from a wider blank.",
    Caution.NARROW: "Narrow strips: let them fall on the side away from the fence, or hold them down with a push block as long as they "
    "are. Short pieces are not ripped: rip the long blank, then crosscut.",
    Caution.CROSSCUT: "The fence is no stop for a crosscut: a piece caught between fence and blade is thrown. Clamp a stop block well before "
    "the blade. Cut short pieces from the long blank last, held by a clamp, never by hand.",
    Caution.SHORT: "Mill it long, then cut to length: short pieces are not safe through machines.",
    Caution.ROUTER: "Router: feed against the turn of the cutter, never with it; several shallow passes; the work clamped, or the fence "
    "closed up to the cutter.",
    Caution.SMALL_AT_ROUTER: "Small pieces are rounded over while they are still long; loose ones in a holder, or by hand with plane and "
    "sandpaper.",
    Caution.LOWER: "Lowering work onto a turning cutter can throw it: clamp a stop at each end, and keep hands behind them. A router held by "
    "hand is lowered by its plunge alone, and stops before it is lifted out.",
    Caution.BORE: "Clamp what you bore: a bit that catches spins it.",
    Caution.TAPER: "Tapers: clamp the piece on a sled, never feed it free along the fence. Cut the joints first, while the faces are square.",
    Caution.CURVE: "Curves: saw close to the line, then rout along a template with the grain falling away from the cutter; turn the piece over "
    "where it would rise. Start against a pin; small pieces in a holder.",
    Caution.DUST: DUST,
    Caution.GLUE: "Try it dry, in its clamps, first. Keep adhesive off the skin; epoxy and its dust can cause lasting allergy.",
}
"""Every caution but those that tell a weight; the shop's machines have manuals, which come first."""
