"""Joints and runs: lengths of tenons and dowels, stock to mill for them, equal spacing. Common practice, arithmetic."""

from __future__ import annotations

import math
from fractions import Fraction
from typing import Any

from tests.recomputed.shop import Shop


def dowels(width: Fraction, thick: Fraction) -> list[Fraction]:
    """Centers across a joint: two diameters from each edge, no further apart than 3 in; one where two are too close."""
    between = width - 4 * thick
    if between < 2 * thick:
        return [width / 2]
    spaces = max(1, math.ceil(between / 3))
    return [2 * thick + between * place / spaces for place in range(spaces + 1)]


def sized(shop: Shop, row: dict[str, Any]) -> tuple[Fraction, Fraction]:
    """Thickness and depth as typed, else those of what goes in: a panel's groove, a tenon and its glue, a shelf or a run."""

    def of(tab: str, heading: str, name: str) -> dict[str, Any]:
        return next((each for each in shop.rows(tab) if each[heading] == row.get(name)), {})

    panel, part, run = of("Panels", "Panel", "From"), of("Parts", "Part", "From"), of("Spacing", "Run", "At")
    thick, deep = row.get("Thickness"), row.get("Depth into")
    if thick is None and panel:
        thick = panel.get("Groove width") or panel["Thickness"]
    if thick is None and run:
        member = next((each for each in shop.rows("Parts") if each["Part"] == run.get("Member")), {})
        thick = run.get("Member width") or member["Width"]
    if deep is None and panel:
        above_and_below = row.get("Into") in (panel.get("Rails") or "").split("; ")
        deep = (panel.get("Groove depth ends") if above_and_below else None) or panel["Groove depth sides"]
    if deep is None:
        deep = max(part["Tenons"]) + shop.allow["Glue gap"]
    return thick or part["Thickness"], deep


def answered(shop: Shop, row: dict[str, Any]) -> dict[str, Any]:
    """A gap for glue at the bottom of every mortise or hole; a saw cut before, between and after the pieces of a stock."""
    thick, into = sized(shop, row)
    return {**_made(shop, {**row, "Thickness": thick}, into), "thickness": thick, "depth_into": into}


def _made(shop: Shop, row: dict[str, Any], into: Fraction) -> dict[str, Any]:
    gap = shop.allow["Glue gap"]
    if row["Kind"].endswith("groove"):
        return {"tenon_length": None, "stock_length": None, "tenons": 0}
    if row["Kind"] == "tenon":
        return {"tenon_length": into - gap, "stock_length": None, "tenons": row["Qty"]}
    length = (into - gap) + ((row.get("Depth from") or into) - gap)
    each = len(dowels(row["Width"], row["Thickness"])) if row["Kind"] == "dowel" else 1
    pieces = each * row["Qty"]
    return {
        "tenon_length": length,
        "stock_length": pieces * length + (pieces + 1) * shop.allow["Crosscut kerf"],
        "tenons": pieces,
    }


def spaced(row: dict[str, Any], parts: list[dict[str, Any]]) -> dict[str, Any]:
    """Gaps at both ends too, unless the first member has its place; listed ones as they are listed."""
    of = next((part for part in parts if part["Part"] == row.get("Member")), {})
    between, width, first = row["Between"], row.get("Member width") or of["Width"], row.get("First at")
    ends = between if first is None else between - 2 * first

    def gap(members: int) -> Fraction:
        gaps = members + 1 if first is None else members - 1
        return (ends - members * width) / gaps if gaps else Fraction(0)

    if row.get("Gaps"):
        return _listed([word.strip() for word in row["Gaps"].split(";")], between, width)
    members = row.get("Members")
    if members is None and row.get("Largest gap") is None:
        members = of["Qty"]
    if members is None:
        members = next(
            count for count in range(1 if first is None else 2, 10_000) if gap(count) <= row["Largest gap"]
        )
    end = gap(members) if first is None else first
    centers = [end + width / 2 + place * (width + gap(members)) for place in range(members)]
    return {"members_used": members, "gap": gap(members), "end_gap": end, "centres": centers, "width": width}


def _listed(words: list[str], between: Fraction, width: Fraction) -> dict[str, Any]:
    """What the gaps listed and the members leave is shared by those called rest."""
    given = {place: Fraction(word) for place, word in enumerate(words) if word != "rest"}
    left = between - (len(words) - 1) * width - sum(given.values())
    rest = left / words.count("rest") if "rest" in words else None
    gaps = [given.get(place, rest or Fraction(0)) for place in range(len(words))]
    centers = [
        sum(gaps[: place + 1], Fraction(0)) + place * width + width / 2 for place in range(len(gaps) - 1)
    ]
    gap = gaps[0] if len(set(gaps)) == 1 else rest if set(gaps[1:-1]) <= {rest} else None
    return {
        "members_used": len(gaps) - 1,
        "gap": gap,
        "end_gap": gaps[0],
        "each_gap": gaps,
        "centres": centers,
        "width": width,
    }
