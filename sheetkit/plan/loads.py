"""Loads: sag and stress of slats, rails and shelves, and what would pass. Advice, no certificate."""

from __future__ import annotations

from sheetkit.calc.beams import BeamCheck, Bearing, Verdict, beam_check, working_stress
from sheetkit.calc.spans import Limit, Passing, least_thickness, longest_span
from sheetkit.plan.notes import name_key, percent, ways_out
from sheetkit.plan.regulated import bars_loads, rules_of
from sheetkit.plan.shop import Shop
from sheetkit.records.job import Load
from sheetkit.records.joinery import LoadAnswer
from sheetkit.records.notes import Notes

USUAL_SAG = {"in": ("Sag allowed", "0.02"), "mm": ("Sag allowed a meter", "1.6")}
"""Sag allowed when new for each foot of span [in] and meter [mm]: where it is asked, and what is usual."""
ADVICE = (
    "Advice from beam theory for clear, dry wood; no certificate. "
    "Knots, sloping grain and notches weaken it; its own weight is not counted. "
    "Local codes and licensed practice come first."
)


def load_answers(shop: Shop, notes: Notes, on_allowances: Notes) -> tuple[LoadAnswer, ...]:
    """Answer every row of Loads that can be answered."""
    if shop.job.loads and shop.allowances.sag_allowed <= 0:
        label, usual = USUAL_SAG[shop.units.unit]
        on_allowances.tell("sag-allowed-zero", label=label, usual=usual)
        return ()
    if shop.job.loads and shop.allowances.creep_factor < 1:
        on_allowances.tell("creep-below-one", factor=f"{shop.allowances.creep_factor:g}")
    return tuple(found for load in shop.job.loads if (found := _load(load, shop, notes)))


def _load(load: Load, shop: Shop, notes: Notes) -> LoadAnswer | None:
    kind = bars_loads(f"{load.member}, {shop.sheet.job}, {shop.sheet.piece}")
    if kind:
        words = {"member": load.member, "kind": kind, "rules": rules_of(kind)}
        notes.add("load-regulated", load.row, "member", load.member, **words)
        return None
    elasticity, rupture = load.species.elasticity_psi, load.species.rupture_psi
    if elasticity is None or rupture is None:
        notes.add("no-strength", load.row, "species", load.species.name, species=load.species.name)
        return None
    qty = sum(part.qty for part in shop.job.parts if name_key(part.part) == name_key(load.member))
    if 0 < qty < load.shared_by:
        shared = load.shared_by
        notes.add("load-shared", load.row, "shared_by", shared, shared=shared, qty=qty, member=load.member)
    pounds = shop.units.inside(load.load, "weight")
    creep = max(shop.allowances.creep_factor, 1.0)

    def checked(factor: float) -> BeamCheck:
        beam = load.span, elasticity, load.width, load.thickness
        allowed = shop.allowances.sag_allowed, working_stress(rupture), factor
        return beam_check(pounds, *beam, Bearing(load.bears_as), *allowed, load.shared_by)

    # the sag allowed is set for the first, elastic sag; what comes with the years is stated beside it
    new, years = checked(1.0), checked(creep)
    looked_at = (new.sag, new.sag_allowed, new.stress, new.stress_allowed)
    thickness = least_thickness(load.thickness, *looked_at)
    span = longest_span(load.span, *looked_at)
    passes = new.verdict is Verdict.OK
    share = new.stress / rupture
    _remarks(load, new, years, thickness, span, share, shop, notes)
    sags, remarks = (new.sag, new.sag_allowed, years.sag), notes.of(load.row)
    return LoadAnswer(load, pounds, *sags, share, passes, thickness.size, span.size, remarks)


def _remarks(
    load: Load,
    new: BeamCheck,
    years: BeamCheck,
    thickness: Passing,
    span: Passing,
    share: float,
    shop: Shop,
    notes: Notes,
) -> None:
    least, most = shop.words(shop.up(thickness.size)), shop.words(shop.down(span.size))
    span_words = f"span no more than {most} with the same load"
    offered = [f"make it at least {least} thick", span_words, "share the load among more members"]
    if "thickness" in load.of_part and load.width > load.thickness:
        offered.insert(0, f"write {shop.words(load.width)} in Thickness if it stands on edge")
    ways = ways_out(offered)
    if new.verdict in (Verdict.SAGS, Verdict.BOTH):
        sags = {"sag": sag_words(new.sag, shop), "allowed": sag_words(new.sag_allowed, shop)}
        words = {"member": load.member, **sags, "ways": ways}
        notes.add("load-sags", load.row, "thickness", shop.words(load.thickness), **words)
    if new.verdict in (Verdict.WEAK, Verdict.BOTH):
        words = {"member": load.member, "share": percent(share), "ways": ways}
        notes.add("load-weak", load.row, "thickness", shop.words(load.thickness), **words)
    sag, allowed, later = (sag_words(each, shop) for each in (new.sag, new.sag_allowed, years.sag))
    each = f" on each of {load.shared_by}" if load.shared_by > 1 else ""
    weight = f"{load.load / load.shared_by:.0f} {shop.units.name('weight')}{each}"
    creep = max(shop.allowances.creep_factor, 1.0)
    keeps = "within" if new.sag <= new.sag_allowed + 1e-9 else "over"
    if load.of_part:
        said = {
            "species": load.species.name,
            "thickness": f"{shop.words(load.thickness)} thick in the direction of the load",
            "width": f"{shop.words(load.width)} wide",
            "span": f"{shop.words(load.span)} between supports, from shoulder to shoulder",
        }
        notes.remark(load.row, f"As on Parts: {', '.join(said[name] for name in load.of_part)}.")
    notes.remark(
        load.row,
        f"{weight}: sags {sag} when new, {keeps} the {allowed} allowed when new.",
        f"After some years about {later} (creep factor {creep:g}): Sag allowed is for the sag "
        "when new and no measure of that; see whether it still suits.",
    )
    if new.verdict is Verdict.OK:
        why = {Limit.SAG: "sag", Limit.STRENGTH: "strength"}
        thick = f"{least} thick ({why[thickness.limit]})"
        notes.remark(load.row, f"Would still pass {thick}, or over a span of {most} with the same load.")
    notes.remark(load.row, ADVICE)


def sag_words(sag: float, shop: Shop) -> str:
    """Write a sag for a person: thousandths of an inch, or tenths of a millimeter."""
    return f"{shop.fine(sag)} {shop.sheet.unit}"
