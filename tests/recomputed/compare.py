"""A job run by sheetkit and worked out here: every answer of the one beside that of the other."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Mapping
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from typing import Any

import sheetkit
from tests.recomputed import books
from tests.recomputed.answers import Answers
from tests.recomputed.lumber import Laid, missed
from tests.recomputed.parts import finished_length
from tests.recomputed.shop import Impossible

BESIDE = {
    "Parts": {"Blank thickness": "blank_thickness", "Blank width": "blank_width", "Blank length": "blank_length", "Blanks": "blanks",
              "Board feet": "volume"},
    "Panels": {"Panel width": "width", "Panel height": "height", "Gap each side": "gap", "In groove at driest": "bearing",
               "Clearance at wettest": "clearance", "Leaf width": "leaf_width", "Leaf length": "leaf_length"},
    "Joints": {"Tenon length": "tenon_length", "Stock length": "stock_length"},
    "Spacing": {"Members used": "members_used", "Gap": "gap"},
    "Loads": {"Sag": "sag", "Sag allowed": "sag_allowed", "Stress": "stress"},
    "Extras": {"Cost": "cost"},
    "Labor": {"Count": "count", "Hours": "hours", "Cost": "cost"},
}  # fmt: skip
"""Tab -> heading beside the maker's rows -> key of the answer."""


M3 = "Volume m3"
"""Heading of the volume in a new mm workbook."""
TABLE_OF = {"Labor": "labour"}
"""Keys of the JSON that keep an older word."""


def _laid(tables: Mapping[str, Any], unit: Fraction) -> dict[tuple[str, str], Laid]:
    """What the board layout chose."""
    found = {}
    for layout in tables["layouts"]:
        wood = (layout["species"], layout["stock"])
        buy = [row for row in tables["to_buy"] if (row["species"], row["stock"]) == wood]
        sizes = tuple(
            (row["count"], Fraction(row["width"]) * unit, Fraction(row["length"]) * unit) for row in buy
        )
        found[wood] = Laid(tuple(layout["boards"]), sizes)
    return found


def unlike(path: Path, job: Mapping[str, Any]) -> list[str]:
    """What sheetkit answers otherwise than is worked out here; nothing when all agree."""
    books.write(path, job)
    return unlike_in(path, job)


def unlike_in(path: Path, job: Mapping[str, Any]) -> list[str]:
    """As ``unlike``, for a workbook that holds the job already."""
    outcome = sheetkit.run(path, effort=0.02)
    told = outcome.plain()
    try:
        bare = Answers(job)
    except Impossible as reason:
        return [] if not told["done"] else [f"answered, though {reason}"]
    if not told["done"]:
        return [f"not answered: {[row for row in told['problems'] if row['weight'] == 'error'][:3]}"]
    answers = Answers(job, _laid(told["tables"], bare.shop.unit)) if job.get("Boards") else bare
    expected = answers.tables()
    found = [line for name, rows in expected.items() for line in _table(name, rows, told["tables"][name])]
    found += _advice(answers, told["tables"]["panels"])
    found += _missed(answers, told["tables"])
    tabs = books.read(path)
    if answers.shop.in_m3 and not _headed(tabs["Parts"], M3):
        # books that are written here have the heading board feet, also where lumber is counted in m3
        expected["parts"] = [
            {**row, "volume": row["volume"] / (144 * Fraction("0.0254") ** 3)} for row in expected["parts"]
        ]
    if not answers.shop.metric:  # gaps of any fraction stand in the cells to the nearest step
        expected["spacing"] = [
            {
                **row,
                "gap": None
                if row["gap"] is None
                else (row["gap"] / answers.shop.step + Fraction(1, 2)) // 1 * answers.shop.step,
            }
            for row in expected["spacing"]
        ]
    return found + list(_cells(tabs, expected))


def _table(name: str, expected: list[dict[str, Any]], told: list[dict[str, Any]]) -> Iterator[str]:
    if len(expected) != len(told):
        yield f"{name}: {len(told)} rows for {len(expected)}"
        return
    for number, (own, other) in enumerate(zip(expected, told, strict=True)):
        for key, value in own.items():
            if not _alike(value, other[key]):
                shown = float(value) if isinstance(value, Fraction) else value
                yield f"{name}[{number}].{key}: {other[key]} instead of {shown}"


def _alike(value: Any, told: Any) -> bool:
    if isinstance(value, list):
        return len(value) == len(told) and all(map(_alike, value, told))
    if isinstance(value, Decimal):
        return told is not None and Decimal(str(told)) == value
    if isinstance(value, Fraction):
        return told is not None and math.isclose(float(value), float(told), rel_tol=1e-7, abs_tol=2e-6)
    return bool(value == told)


def _length(words: str, metric: bool) -> Fraction:
    return sum((Fraction(word) for word in words.split()), Fraction(0)) / (Fraction("25.4") if metric else 1)


def _advice(answers: Answers, rows: list[dict[str, Any]]) -> Iterator[str]:
    """The groove depth that remarks advise, when the panel stands too little in its groove."""
    for panel, row in zip(answers.panels, rows, strict=True):
        said = re.search(r"A groove ([\d /.]+) deep would do", row["remarks"] or "")
        depth = said and _length(said[1], answers.shop.metric)
        if depth != panel.deep_enough:
            yield f"advised groove {depth} instead of {panel.deep_enough}"


def _headed(lines: list[books.Line], heading: str) -> bool:
    return any(heading in line for line in lines)


def _missed(answers: Answers, tables: Mapping[str, Any]) -> Iterator[str]:
    """What remarks say of a stock that was just missed, where both are priced."""
    shop = answers.shop
    ways = [
        (
            blanks,
            shop.extras(finished_length(row)).thickness,
            row["Made as"] == "edge-glued",
            row.get("Stock"),
        )
        for row, blanks in answers.parts
    ]
    for panel in answers.panels:
        along = panel.height if (panel.row.get("Grain") or "up") == "up" else panel.width
        ways.append((panel.blanks, shop.extras(along).thickness, True, None))
    rows = [*tables["parts"], *tables["panels"]]
    for (blanks, usual, glued, asked), row in zip(ways, rows, strict=True):
        own = None if asked else missed(shop, blanks, usual, glued)
        said = re.search(
            r"(\d\S*(?: mm)?) misses by [^:]+: \S+(?: mm)? costs \D{0,4}?([\d,.]+) more\.",
            row["remarks"] or "",
        )
        told = said and (said[1], Decimal(said[2].rstrip(".").replace(",", "")))
        if told != own:
            yield f"just missed: {told} instead of {own}"


def _cells(
    tabs: Mapping[str, list[books.Line]], expected: Mapping[str, list[dict[str, Any]]]
) -> Iterator[str]:
    """The same answers as they stand in the workbook, read by another library."""
    for title, headings in BESIDE.items():
        rows = expected[TABLE_OF.get(title, title.casefold())]
        for heading, key in headings.items() if rows else ():
            stands = M3 if key == "volume" and _headed(tabs[title], M3) else heading
            for number, (value, row) in enumerate(
                zip(books.below(tabs[title], stands, len(rows)), rows, strict=True)
            ):
                own = row.get(key)
                if own is None:
                    right = value in (None, "")
                else:
                    right = value is not None and math.isclose(
                        float(value), float(own), rel_tol=1e-6, abs_tol=5e-6
                    )
                if not right:
                    yield f"{title}, row {number + 1}, {heading}: the cell says {value}, not {own and float(own)}"
