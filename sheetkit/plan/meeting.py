"""Joints that share a part: what would meet or pass too closely inside it, tenons that a groove thins."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import combinations

from sheetkit.calc.boxes import SIDES, between, shared
from sheetkit.calc.mortises import CornerMortises, cheek_walls, corner_mortises, mortise_depth
from sheetkit.plan.grooves import grooved
from sheetkit.plan.notes import listed, ways_out
from sheetkit.plan.places import size_of
from sheetkit.plan.sections import is_leg_like, zero_of
from sheetkit.plan.shop import Shop
from sheetkit.records.job import Joint, Part
from sheetkit.records.joinery import Cavity, JointAnswer, Span
from sheetkit.records.notes import Notes

MORTISED = ("tenon", "loose tenon", "dowel", "hardware")
MOST_MORTISES = 100
"""Rows of mortises in one part that are compared with one another: more than any part holds."""
MOST_CAVITIES = 400
"""Mortises, holes and grooves of one part that are compared one by one."""
LEAST_BETWEEN = 1 / 8
"""Wood between two mortises that still holds, common practice [in]."""
SLACK = 1e-9

Found = tuple[JointAnswer, Cavity]


def meeting_checks(answers: Sequence[JointAnswer], shop: Shop, notes: Notes) -> list[JointAnswer]:
    """Look at every two things in one piece, and at every groove; give the answers with their grooves."""
    by_part: dict[int, list[JointAnswer]] = {}
    inside: dict[int, list[Found]] = {}
    for answer in answers:
        for cavity in (*answer.cavities, *answer.far):
            inside.setdefault(cavity.part.row, []).append((answer, cavity))
        if answer.into is not None:
            by_part.setdefault(answer.into.row, []).append(answer)
    for members in by_part.values():
        mortises = [answer for answer in members if answer.joint.kind in MORTISED][:MOST_MORTISES]
        for one, other in _guessed(mortises):
            assert one.into is not None
            (_corner if is_leg_like(one.into) else _opposite)(one, other, one.into, shop, notes)
    for found in inside.values():
        _boxes_meet(found[:MOST_CAVITIES], shop, notes)
    return [grooved(answer, inside, shop, notes) for answer in answers]


def _is_placed(answer: JointAnswer) -> bool:
    """Whether the maker told on which surface a joint is, and where."""
    return bool(answer.joint.on and answer.cavities)


def _guessed(mortises: Sequence[JointAnswer]) -> Iterable[tuple[JointAnswer, JointAnswer]]:
    """Return the pairs of joints in one part of which one does not tell where it sits.

    A joint pairs with itself when a leg takes two of it.
    """
    for answer in mortises:
        part = answer.into
        if (
            part is not None
            and is_leg_like(part)
            and not answer.joint.on
            and answer.qty >= 2 * part.qty
            and answer.joint.kind != "hardware"
        ):
            yield answer, answer
    for one, other in combinations(mortises, 2):
        if not (_is_placed(one) and _is_placed(other)):
            yield one, other


def _span(answer: JointAnswer) -> Span | None:
    return answer.spans[0] if answer.spans else None


def _corner(one: JointAnswer, other: JointAnswer, part: Part, shop: Shop, notes: Notes) -> None:
    """Say by how much two mortises from adjacent faces of a leg would meet, and the ways out."""
    worst: CornerMortises | None = None
    for a_across, b_across in {(part.thickness, part.width), (part.width, part.thickness)}:
        setback_a = cheek_walls(a_across, one.joint.thickness)[0]
        setback_b = cheek_walls(b_across, other.joint.thickness)[0]
        if setback_a < 0 or setback_b < 0:
            continue
        found = corner_mortises(
            *(one.joint.depth_into, one.joint.thickness, setback_a),
            *(other.joint.depth_into, other.joint.thickness, setback_b),
            along_a=_span(one),
            along_b=_span(other),
        )
        if found.meet and (
            worst is None or found.overlap_a + found.overlap_b > worst.overlap_a + worst.overlap_b
        ):
            worst = found
    if worst is not None:
        known = bool(one.spans and other.spans)
        level = "" if known or one is other else " (their heights are not given: taken as level)"
        _say_corner(
            one.joint,
            other.joint,
            part,
            worst,
            level,
            " Both are taken as centered in their face.",
            shop,
            notes,
        )


def _say_corner(
    first: Joint,
    second: Joint,
    part: Part,
    corner: CornerMortises,
    level: str,
    taken: str,
    shop: Shop,
    notes: Notes,
) -> None:
    ways = []
    if corner.depth_a > 0:
        ways.append(f"make {first.joint} no deeper than {shop.words(shop.down(corner.depth_a))}")
    if second is not first and corner.depth_b > 0:
        ways.append(f"make {second.joint} no deeper than {shop.words(shop.down(corner.depth_b))}")
    if "dowel" not in (first.kind, second.kind) and "hardware" not in (first.kind, second.kind):
        reach = f"{shop.words(corner.mitred_a)} and {shop.words(corner.mitred_b)}"
        angles = " and ".join(dict.fromkeys(f"{angle:.0f}°" for angle in (corner.mitre_a, corner.mitre_b)))
        ways.append(
            f"keep the depths and miter the ends of the tenons ({angles}), so that they reach {reach}"
        )
    ways.append("set them at different heights")
    like = "another one like it" if first is second else second.joint
    sizes = shop.sizes(overlap_a=corner.overlap_a, overlap_b=corner.overlap_b)
    words = {"one": first.joint, "other": like, "part": part.part, "level": level, **sizes}
    words["ways"] = ways_out(ways) + taken
    _say_twice("mortises-meet", first.row, second.row, shop.words(first.depth_into), notes, words)


def _opposite(one: JointAnswer, other: JointAnswer, part: Part, shop: Shop, notes: Notes) -> None:
    """Say so when two mortises in the edges of a rail or stile would meet from across."""
    if not (one.spans and other.spans) or "hardware" in (one.joint.kind, other.joint.kind):
        return
    if any(cavity.in_end_grain for answer in (one, other) for cavity in answer.cavities):
        return
    if not any(a[0] < b[1] - SLACK and b[0] < a[1] - SLACK for a in one.spans for b in other.spans):
        return
    member = max(part.width, part.thickness)
    wall = mortise_depth(one.joint.depth_into + other.joint.depth_into, member).wall
    if wall < -SLACK:
        _say_opposite(one.joint, other.joint, part, -wall, member, shop, notes)


def _say_opposite(
    one: Joint, other: Joint, part: Part, overlap: float, room: float, shop: Shop, notes: Notes
) -> None:
    sizes = shop.sizes(overlap=overlap, room=room)
    words = {"one": one.joint, "other": other.joint, "part": part.part, **sizes}
    _say_twice("mortises-opposite", one.row, other.row, shop.words(one.depth_into), notes, words)


def _say_twice(code: str, first: int, second: int, stands: str, notes: Notes, words: dict[str, str]) -> None:
    """Note one problem at the first row, and say it beside both."""
    notes.add(code, first, "depth_into", stands, **words)
    if second != first:
        notes.remark(second, notes.of(first)[-1])


def _pairs(found: Sequence[Found]) -> Iterator[tuple[Found, Found]]:
    """Yield the pairs of things in one piece whose boxes tell whether they meet.

    What a maker did not place counts where its like would be the same on any surface: against what is in the
    end. A groove is looked at for itself, and hardware in hardware is one recess.
    """
    for one, other in combinations(found, 2):
        a, b = one[1], other[1]
        if not set(a.pieces) & set(b.pieces) or "tenon" in (a.what, b.what):
            continue
        if ("groove" in (a.what, b.what)) and (a.what != b.what or a.surface != b.surface):
            continue
        if a.what == b.what == "recess" and (a.surface == b.surface or a.assumed or b.assumed):
            continue
        if a.in_end_grain and b.in_end_grain and (a.assumed or b.assumed):
            continue
        ends = a.in_end_grain != b.in_end_grain
        if ends or not (a.assumed or b.assumed):
            yield one, other


def _boxes_meet(found: Sequence[Found], shop: Shop, notes: Notes) -> None:
    """Say of every two rows the first place where they meet, else the first where they pass too closely."""
    met: dict[tuple[int, int], tuple[Found, Found]] = {}
    near: dict[tuple[int, int], tuple[Found, Found, float]] = {}
    for one, other in _pairs(found):
        rows = (one[0].joint.row, other[0].joint.row)
        if shared(one[1].box, other[1].box):
            met.setdefault(rows, (one, other))
        elif rows[0] != rows[1] and rows not in near:
            wood = between(one[1].box, other[1].box)
            if (
                wood is not None
                and wood < LEAST_BETWEEN - SLACK
                and "groove" not in (one[1].what, other[1].what)
            ):
                near[rows] = (one, other, wood)
    for one, other in met.values():
        peg = next((pair for pair in ((one, other), (other, one)) if _pegs(*pair)), None)
        if peg is None:
            _say_met(one, other, shop, notes)
        else:
            pegged = peg[1][0].joint.joint
            notes.remark(peg[0][0].joint.row, f"Pegs {pegged}: the hole goes right through its tenon.")
    for rows, (one, other, wood) in near.items():
        if rows not in met and rows[::-1] not in met:
            where = {"part": one[1].part.part, "pieces": pieces_of(one[1], other[1])}
            where |= {"one": whereabouts(*one, shop), "other": whereabouts(*other, shop)}
            words = {**where, **shop.sizes(wood=wood, least=LEAST_BETWEEN)}
            _say_twice("cuts-close", *rows, shop.words(one[1].depth), notes, words)


def _pegs(one: Found, other: Found) -> bool:
    """Return whether a hole is that of a peg, driven after the assembly, right through another's tenon."""
    (answer, hole), (_, mortise) = one, other
    driven = isinstance(answer.from_part, Part) and answer.from_part.when == "after assembly"
    if not (driven and answer.bored and mortise.what == "mortise"):
        return False
    into = SIDES[hole.surface].into
    spans = enumerate(zip(hole.box, mortise.box, strict=True))
    return all(
        _within(inner, outer) if direction != into else _within(outer, inner)
        for direction, (inner, outer) in spans
    )


def _within(inner: Span, outer: Span) -> bool:
    return outer[0] - SLACK <= inner[0] and inner[1] <= outer[1] + SLACK


def _say_met(one: Found, other: Found, shop: Shop, notes: Notes) -> None:
    (first, a), (second, b) = one, other
    part = a.part
    overlap = shared(a.box, b.box)
    assert overlap is not None
    side, across = SIDES[a.surface], SIDES[b.surface]
    lengthwise = not (a.in_end_grain or b.in_end_grain)
    mortises = "groove" not in (a.what, b.what) and not (a.assumed or b.assumed)
    if mortises and lengthwise and side.into != across.into:
        # how far each stands from the surface in which the other opens
        setback_a = (
            a.box[across.into][0] if not across.far else size_of(part)[across.into] - a.box[across.into][1]
        )
        setback_b = b.box[side.into][0] if not side.far else size_of(part)[side.into] - b.box[side.into][1]
        thick_a, thick_b = (cavity.across[1] - cavity.across[0] for cavity in (a, b))
        if min(setback_a, setback_b) >= 0 and "along" == first.joint.lies == second.joint.lies:
            corner = corner_mortises(a.depth, thick_a, setback_a, b.depth, thick_b, setback_b)
            where = f" (the {a.surface} and the {b.surface}{pieces_of(a, b)})"
            _say_corner(first.joint, second.joint, part, corner, where, "", shop, notes)
            return
    if mortises and lengthwise and side.into == across.into and side.far != across.far:
        _say_opposite(
            first.joint, second.joint, part, overlap[side.into], size_of(part)[side.into], shop, notes
        )
        return
    sizes = " x ".join(shop.words(size) for size in overlap)
    both = {"one": whereabouts(first, a, shop), "other": whereabouts(second, b, shop), "overlap": sizes}
    words = {**both, "part": part.part, "pieces": pieces_of(a, b)}
    words["ways"] = ways_out(_ways_apart(one, other, overlap, shop))
    _say_twice("cuts-meet", first.joint.row, second.joint.row, shop.words(a.depth), notes, words)


def _ways_apart(one: Found, other: Found, overlap: tuple[float, float, float], shop: Shop) -> list[str]:
    """Return what would part two boxes: less deep, further along or across, the shortest way first."""
    ways = []
    for direction in sorted(range(3), key=lambda each: overlap[each]):
        by = shop.words(shop.up(overlap[direction]))
        for answer, cavity in (one, other):
            side, name = SIDES[cavity.surface], answer.joint.joint
            less = cavity.depth - overlap[direction]
            if direction == side.into and less > SLACK:
                ways.append(f"make {name} no deeper than {shop.words(shop.down(less))}")
            elif direction != side.into:
                where = "along" if direction == side.along else "across"
                ways.append(f"move or narrow {name} by {by} {where} the {cavity.surface}")
    return list(dict.fromkeys(ways))[:3]


def whereabouts(answer: JointAnswer, cavity: Cavity, shop: Shop) -> str:
    """Say which thing it is: its joint, surface, from where to where, and how deep."""
    zero = "edge" if cavity.in_end_grain else zero_of(cavity.part)
    near, far = (shop.words(place) for place in cavity.along)
    depth = shop.words(cavity.depth)
    return f"{answer.joint.joint} ({cavity.surface}, {near} to {far} from the {zero}, {depth} deep)"


def pieces_of(*cavities: Cavity) -> str:
    """Say on which pieces of their part things are together; nothing where they are on all."""
    common = set(cavities[0].pieces).intersection(*(cavity.pieces for cavity in cavities))
    if len(common) == cavities[0].part.qty:
        return ""
    word = "piece" if len(common) == 1 else "pieces"
    return f", {word} {listed([str(number) for number in sorted(common)])}"
