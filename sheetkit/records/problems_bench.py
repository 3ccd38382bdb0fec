"""Wording of every message about the bench tabs: joints, spacing, shapes, loads, glue-ups and finish.

Plain tuples (weight, what it means, what to do), so that problems.py can take them in without a circle.
"""

from __future__ import annotations

from typing import Literal

BENCH_MESSAGES: dict[str, tuple[Literal["error", "warning", "note"], str, str]] = {
    # joints
    "joint-part-unknown": ("warning", "No part or panel is named {name}, so this joint is not checked against it.",
                           "Write one of: {choices}."),
    "joint-width-missing": ("warning", "Without a width neither the stock nor the wood left can be worked out.",
                            "Fill in Width: the width of the tenon, or the length of the hardware mortise."),
    "glue-gap-too-large": ("warning", "The glue gap ({gap}) takes up the whole depth of a mortise.", "Make Glue gap on Allowances smaller, or the mortise deeper."),
    "tenon-thick": ("warning", "{thickness} is {share} of the {member} of {part}: too little wood is left beside it.",
                    "Make it near a third: {least} to {most}."),
    "tenon-thin": ("warning", "{thickness} is only {share} of the {member} of {part}: the tenon itself is the weak place.",
                   "Make it near a third: {least} to {most}."),
    "dowel-thick": ("warning", "A dowel of {thickness} is {share} of the {member} of {part}: the wood beside it splits easily.",
                    "Use a dowel of {least} to {most}."),
    "dowel-thin": ("warning", "A dowel of {thickness} is only {share} of the {member} of {part}.", "Use a dowel of {least} to {most}."),
    "dowel-alone": ("warning", "Only one dowel finds room in {width}: the joint can turn.", "Use a tenon, or thinner dowels."),
    "tenon-wide": ("warning", "A tenon {width} wide is over six times its thickness: a mortise that long weakens the part, and its glue line works loose with the seasons.",
                   "Divide it into {count} tenons of {each} with {between} between them."),
    "tenon-over-part": ("warning", "The tenon is {width} wide, but {part} only {member}.", "Make it narrower, or correct the width."),
    "mortise-deep": ("warning", "The mortise takes {share} of the {member} that {part} measures there and leaves {wall} behind it.",
                     "Go no deeper than {deepest}, three quarters."),
    "mortise-beyond": ("warning", "The mortise is {depth} deep, but {part} measures only {member} there.", "Go no deeper than {deepest}."),
    "mortise-breaks-out": ("warning", "{thickness} is wider than the {member} of {part}: it breaks out at the side.", "Make it near a third: {third}."),
    "thin-wall": ("warning", "Only {wall} is left beside the {what} in {part}; under {least} it breaks out easily.", "Make it thinner, or the part thicker."),
    "past-the-end": ("warning", "It would run from {start} to {stop}, but {part} ends at {length}, its far {zero}: no place is marked.", "{ways}"),
    "tenon-not-on-parts": ("warning", "{part} has no tenons on Parts, so its blank is too short for this joint.",
                           "Write {length} in Tenons of {part}; Length there goes from shoulder to shoulder."),
    "tenon-too-long": ("warning", "Parts gives {part} a tenon of {asked}, but the mortise takes only {length}.",
                       "Write {length} in Tenons, or make the mortise {deeper} deep."),
    "tenon-too-short": ("note", "Parts gives {part} a tenon of {asked}; the mortise would take {length}.", "Write {length} in Tenons to use all of the mortise."),
    "tenon-not-wanted": ("note", "{part} has tenons on Parts, but a {kind} needs none.", "Empty Tenons of {part}, or its blank is longer than it needs to be."),
    "mortises-meet": ("warning", "Where {one} and {other} enter the same {part} from adjacent faces{level}, their mortises meet: by {overlap_a} and {overlap_b}.",
                      "{ways}"),
    "mortises-opposite": ("warning", "Where {one} and {other} stand across from each other in {part}, their mortises meet by {overlap}.",
                          "Let the two depths make less than {room} together, or move one of them."),
    "groove-meets": ("warning", "The groove runs into the mortise of {names} ({spans} from the {zero} of {part}).", "{ways}"),
    "groove-cutter": ("warning", "A cutter of {radius} radius cannot cut {depth} deep.", "Write the radius of a larger one in Cutter radius on Allowances."),
    "groove-no-room": ("warning", "Between mortises and ends no length is left for the groove.", "Look at At and Width of the joints into {part}."),
    "groove-differs": ("warning", "Panels gives {panel} a groove {there}, but this row makes it {here}.", "Correct one of the two."),
    "recess-wall": ("warning", "The recess leaves only {wall} behind it in {part}; {least} is wanted.", "Go no deeper than {deepest}."),
    "recess-loose": ("warning", "The deeper step from {start} to {stop} lies partly outside the shallow one.", "Look at At and Width: the hooks lie behind the plate."),
    # spacing
    "spacing-needs": ("error", "Neither Members nor Largest gap is given.", "Fill in one of the two."),
    "spacing-first": ("error", "First at is {stands}, but the first member has no room past {last}.", "Write First at nearer to the end, or leave it empty."),
    "spacing-overlap": ("warning", "{members} members of {width} do not fit in {between}: they would overlap.", "Use {most} members or fewer."),
    "spacing-none": ("warning", "Not even one member of {width} fits in {between}.", "Look at Between and Member width."),
    "spacing-many": ("warning", "This run would have more than {most:,} members.", "Look at Between, Member width, Members and Largest gap."),
    "spacing-gap": ("warning", "The gap is {gap}, more than the largest allowed ({largest}).", "Use {members} members, or empty Members."),
    "spacing-never": ("warning", "No number of members keeps to gaps of {largest}: the most that fit, {most}, leave {gap}.",
                      "Write a larger Largest gap, or narrower members."),
    "spacing-end-gap": ("warning", "The gap at the ends is {gap}, more than the largest allowed ({largest}).", "Write a smaller First at."),
    # shapes
    "shape-needs": ("error", "A shape of the kind {kind} needs {heading}.", "Fill in {heading}."),
    "shape-rise": ("error", "The rise is more than half the chord: no arc of this kind.", "Write a rise of {most} or less."),
    "shape-small-end": ("error", "The small end ({small}) is not below the size at the large end ({large}).", "Write the large end in Rise, and less in Small end."),
    "shape-start": ("error", "The taper starts at {start}, past the end of the member.", "Write a start below {length}."),
    # loads
    "no-strength": ("warning", "No stiffness or strength is known for {species}, so nothing is said about this member.",
                    "Choose a species that has them: see sheetkit species."),
    "creep-below-one": ("warning", "Creep factor is {factor}; sag never shrinks with the years, so 1 is taken.", "Write 1 or more on Allowances; 2 is usual."),
    "sag-allowed-zero": ("error", "Sag allowed on Allowances is 0, which no wood can keep to.", "Write the sag allowed for each foot of span, such as {usual}."),
    "load-sags": ("warning", "{member} would sag {sag} when new, more than the {allowed} that the shop allows over this span.", "{ways}"),
    "load-weak": ("warning", "{member} would bear {share} of its wood's strength; under a sixth is usual for clear wood.", "{ways}"),
    "load-regulated": ("warning", "{member} sounds like part of a regulated piece: {rule}. Nothing is worked out for it.",
                       "The rule must be met and checked by someone qualified; sheetkit does not check it."),
    # glue-ups
    "glue-late": ("warning", "{step}: spreading and closing take {needed} minutes; {adhesive} allows {allowed}.", "{ways}"),
    "glue-not-one": ("warning", "Not even one joint of {step} can be closed in the {allowed} minutes that {adhesive} allows.", "{ways}"),
    "glues-what": ("warning", "Nothing says what is glued here, so it stands with the assembly.", "Write blanks, panels or assembly in Glues."),
    "clamps-joined": ("note", "{needed} is longer than the longest clamp ({longest}).", "Join two end to end, and try it dry first."),
    "clamps-too-short": ("warning", "{needed} is longer than two of the longest clamps ({longest}) joined.", "Have longer clamps, or draw it up with straps or wedges."),
    # finish
    "finish-part-unknown": ("warning", "No part or panel is named {name}; its surface is left out.", "Write names from Parts and Panels with commas between, or all."),
    "finish-no-panel": ("note", "{name} has no size yet; its surface is left out.", "Nothing to do: it is counted once the panel has a size."),
    "grit-order": ("warning", "Grit {grit} follows grit {before}: it would put the scratches back.", "Go from coarse to fine."),
    "grit-skips": ("warning", "From grit {before} to {grit} skips more than one grade: scratches of the coarse one stay.", "Sand with {between} in between."),
    "grit-unreadable": ("note", "The grit cannot be read as numbers.", "Write it as 180, or 120, 150, 180."),
}  # fmt: skip
