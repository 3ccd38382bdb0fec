"""Sizes of joints beside what other tabs say of them: taken from there where left empty, else compared."""

from __future__ import annotations

from sheetkit.plan.shop import Shop
from sheetkit.records.job import Joint, Panel, Part
from sheetkit.records.notes import Notes

CLOSE = 1 / 32
"""Two lengths this near each other are the same to a maker [in]."""


def tell_sizes(joint: Joint, shop: Shop, notes: Notes) -> None:
    """Say what the row left empty, and which tab it was taken from."""
    said = {
        "thickness": f"{shop.words(joint.thickness)} wide",
        "depth_into": f"{shop.words(joint.depth_into)} deep",
        "width": f"{shop.words(joint.width or 0.0)} long",
    }
    if joint.kind == "tenon":
        said["depth_into"] += f", {shop.words(shop.allowances.glue_gap)} of it for glue"
    for tab in dict.fromkeys(tab for _, tab in joint.told_by):
        sizes = ", ".join(said[name] for name, by in joint.told_by if by == tab)
        notes.remark(joint.row, f"As on {tab}: {sizes}.")


def proud_tenon(joint: Joint, part: Part | None) -> float:
    """Return how far a tenon stands out beyond its through mortise [in], as long as Parts says."""
    if joint.kind != "tenon" or part is None:
        return 0.0
    return min((out for each in part.tenons if (out := each - joint.depth_into) > CLOSE), default=0.0)


def tenons_on_parts(joint: Joint, part: Part | None, length: float, shop: Shop, notes: Notes) -> None:
    """Compare with the tenons that the part's blank has room for."""
    if part is None:
        return
    words = {"part": part.part, "length": shop.words(length)}
    if not any(part.tenons):
        notes.add("tenon-not-on-parts", joint.row, "from_part", joint.from_part, **words)
        return
    if any(abs(tenon - length) <= CLOSE for tenon in part.tenons):
        return
    asked = min(filter(None, part.tenons), key=lambda tenon: abs(tenon - length))
    words["asked"] = shop.words(asked)
    if asked > length:
        deeper = shop.words(asked + shop.allowances.glue_gap)
        notes.add(
            "tenon-too-long", joint.row, "depth_into", shop.words(joint.depth_into), deeper=deeper, **words
        )
    else:
        notes.add("tenon-too-short", joint.row, "depth_into", shop.words(joint.depth_into), **words)


def tenoned_elsewhere(joint: Joint, shop: Shop) -> bool:
    """Return whether another row has the part's tenons."""
    name = joint.from_part.casefold()
    return any(other.kind == "tenon" and other.from_part.casefold() == name for other in shop.job.joints)


def groove_against_panel(joint: Joint, panel: Part | Panel | None, shop: Shop, notes: Notes) -> None:
    """Compare with the groove that the panel is sized for."""
    if not isinstance(panel, Panel):
        return
    depths = (panel.groove_sides, panel.groove_ends)
    if not any(abs(depth - joint.depth_into) <= CLOSE for depth in depths):
        there = " or ".join(dict.fromkeys(shop.words(depth) for depth in depths))
        here = shop.words(joint.depth_into)
        words = {"panel": panel.panel, "there": f"{there} deep", "here": f"{here} deep"}
        notes.add("groove-differs", joint.row, "depth_into", here, **words)
    if panel.groove_width is not None and abs(panel.groove_width - joint.thickness) > CLOSE:
        here, there = shop.words(joint.thickness), shop.words(panel.groove_width)
        words = {"panel": panel.panel, "there": f"{there} wide", "here": f"{here} wide"}
        notes.add("groove-differs", joint.row, "thickness", here, **words)
