"""Jobs by chance: sensible rows in every tab, as a person types them. Sizes are fractions of the job's own unit."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from typing import Any

from hypothesis import strategies as st

from tests.recomputed.shop import CLASSES, CLASSES_MM, SETTINGS, SETTINGS_MM
from tests.recomputed.supplies import FINISHES, GLUES

Found = st.SearchStrategy[Any]
WOODS = (
    "White oak",
    "Northern red oak",
    "Yellow-poplar",
    "Blue ash",
    "Teak",
    "African mahogany",
    "European oak",
    "Western redcedar",
)
"""Group rows, no coefficient of its own, imports, Europe, shrinkage from 22 %."""
PART_NAMES = ("Leg", "Rail", "Stile", "Shelf", "Slat", "Seat")


def size(low: float, high: float, unit: str, step: int = 16) -> Found:
    """A length between two inches, in sixteenths or whole millimeters."""
    if unit == "mm":
        return st.integers(round(low * 25.4), round(high * 25.4)).map(Fraction)
    return st.integers(round(low * step), round(high * step)).map(lambda count: Fraction(count, step))


def one(*of: Any) -> Found:
    return st.sampled_from(of)


def rows(heading: str, least: int, most: int, **columns: Found) -> Found:
    heads = {name.replace("_", " "): values for name, values in columns.items()}

    def named(found: list[dict[str, Any]]) -> list[dict[str, Any]]:
        return [{heading: f"{heading} {number}", **{head: value for head, value in row.items() if value is not None}}
                for number, row in enumerate(found, 1)]  # fmt: skip

    return st.lists(st.fixed_dictionaries(heads), min_size=least, max_size=most).map(named)


@st.composite
def own_allowances(draw: st.DrawFn, unit: str) -> dict[str, Any]:
    """Other sizes than the usual, each by itself, so that none can stand for another."""
    usual, classes = (SETTINGS_MM, CLASSES_MM) if unit == "mm" else (SETTINGS, CLASSES)
    grain = 1 if unit == "mm" else Fraction(1, 32)
    settings = {name: str(Fraction(text) + grain * draw(st.integers(0, 3))) for name, text in usual.items()}
    settings["Creep factor"], settings["Sag allowed"] = draw(one("1.5", "2", "3")), usual["Sag allowed"]
    settings["Stock measures as"] = draw(one("kiln-dried", "nominal", "surfaced"))
    own = [
        (upto, *(str(Fraction(each) + grain * draw(st.integers(0, 3))) for each in extras))
        for upto, *extras in classes
    ]
    return {"settings": settings, "classes": own}


@st.composite
def jobs(draw: st.DrawFn, unit: str) -> dict[str, Any]:
    metric = unit == "mm"

    def length(low: float, high: float) -> Found:
        return size(low, high, unit)

    some = draw(st.lists(one(*WOODS), min_size=1, max_size=3, unique=True))
    wood, qty = one(*some), st.integers(1, 9)
    measure = draw(one("m3", "m3", "exact") if metric else one("exact", "exact", "NHLA tally", "m3"))
    share = one(None, Decimal("0.075"), Decimal("0.2"))
    job: dict[str, Any] = {
        "Job": {
            "Job": "By chance", "Units": unit, "Round to": Fraction(draw(one("1/2", "1") if metric else one("1/16", "1/32", "1/64"))),
            "Board measure": measure, "Wood moisture now": draw(st.integers(4, 16)), "Driest wood moisture": draw(st.integers(4, 8)),
            "Wettest wood moisture": draw(st.integers(9, 15)), "Hourly rate": draw(one(None, Decimal(48), Decimal("37.35"))),
            "Overhead": draw(share), "Profit": draw(share), "Profit as": draw(one("markup", "margin")), "Tax": draw(share),
            "Delivery": draw(one(None, Decimal("0"), Decimal("85.50"), "collected")), "Deposit": draw(one(None, Decimal("0.5"), Decimal("1"))),
        },
    }  # fmt: skip
    stocks = ("20 mm", "27 mm", "54 mm", "100 mm") if metric else ("4/4", "6/4", "8/4", "16/4")
    lengths = one(
        *(Fraction(each) for each in (("600", "1200", "1800", "150") if metric else ("24", "48", "72", "6")))
    )
    parts = draw(rows("Part", 1, 5, Qty=qty, Species=wood, Thickness=length(0.5, 2.5), Width=one(*range(3)).flatmap(lambda way: length(*((0.375, 1), (1, 8), (6, 20))[way])),
                      Length=st.one_of(length(2, 12), length(12, 80), lengths),
                      Tenons=one(None, None, *((Fraction(each), Fraction(other)) for each, other in ((("25", "25"), ("20", "0")) if metric else (("1", "1"), ("3/4", "0"))))),
                      Made_as=one("solid", "solid", "face-glued", "edge-glued"), Plies=one(None, None, None, 2, 3), Cut=one(None, "flat", "quarter"),
                      Keep_together=one(None, None, "a", "b", "each piece"), Stock=one(*(None,) * 5, stocks[-1]),
                      Rise=one(None, None, Fraction(12) if metric else Fraction(1, 2))))  # fmt: skip
    ways = {label: draw(one("same board", "side by side", "end to end")) for label in "ab"}
    for name, row in zip(PART_NAMES, parts, strict=False):
        row["Part"] = name
        if row.get("Keep together"):
            row["How"] = ways.get(row["Keep together"])
    job["Parts"] = parts
    maybe = st.one_of(st.none(), length(5, 26))
    job["Panels"] = draw(rows("Panel", 0, 3, Qty=st.integers(1, 4), Species=wood, Opening_width=length(5, 26), Opening_height=length(5, 30), Measured_width=maybe,
                              Measured_height=maybe, Groove_depth_sides=length(0.5, 0.75), Groove_depth_ends=st.one_of(st.none(), length(0.5, 0.75)), Thickness=length(0.25, 0.75),
                              Grain=one("up", "across"), Cut=one(None, "flat", "quarter"), Made_as=one("edge-glued", "resawn", "bookmatched"),
                              Leaves=one(None, None, 2, 4), Keep_together=one(None, None, "each piece"), Stock=one(*(None,) * 5, stocks[-1])))  # fmt: skip
    job["Joints"] = draw(rows("Joint", 0, 2, Qty=qty, Kind=one("tenon", "loose tenon", "dowel"), Thickness=length(0.25, 0.5), Width=length(0.5, 6), Depth_into=length(0.5, 1.5),
                              Depth_from=st.one_of(st.none(), length(0.5, 1.5))))  # fmt: skip
    job["Spacing"] = draw(rows("Run", 0, 2, Between=length(20, 60), Members=one(None, 3, 8), Largest_gap=length(4, 9), Member_width=length(0.5, 1.5),
                               First_at=one(None, None, Fraction(0), Fraction(2))))  # fmt: skip
    for row in job["Spacing"]:
        row.pop("Largest gap" if row.get("Members") else "Members", None)
    for row in job["Joints"]:
        _let_in(row, job, draw(one("", "", "From", "At")))
    job["Loads"] = draw(rows("Member", 0, 2, Species=wood, Thickness=length(0.75, 2), Width=length(2, 12), Span=length(12, 60), Load=st.integers(20, 400),
                             Held_as=one("resting, spread", "resting, center", "fixed, spread", "fixed, center", "cantilever, spread", "cantilever, end"),
                             Shared_by=st.integers(1, 8)))  # fmt: skip
    for row in job["Loads"]:
        row["Member"] = row["Member"].replace("Member", "Board")
        if draw(st.booleans()):  # a part, which tells what stands empty
            row["Member"] = draw(one(*(part["Part"] for part in parts))).swapcase()
            for told in draw(st.lists(one("Species", "Thickness", "Width", "Span"), min_size=1, unique=True)):
                del row[told]
        for usual in draw(st.lists(one("Held as", "Shared by"), unique=True)):
            del row[usual]
    amount = {"m3": st.integers(600, 4000)}.get(
        measure, st.integers(250, 2500).map(lambda cents: Decimal(cents) / 100)
    ).map(Decimal)
    job["Prices"] = [
        {key: value for key, value in {"Species": name, "Stock": stock, "Measures": draw(one(None, None, None, own)), "Price": draw(st.one_of(amount, amount, amount, st.none())),
         "Waste": draw(one(None, Decimal("0.15"), Decimal("0.3"))), "Grade": draw(one(None, "FAS", "No. 1 Common", "No. 2A Common"))}.items() if value is not None}
        for name in some
        if draw(st.booleans())
        for stock, own in zip(stocks, (Fraction(each) for each in (("21", "26", "56", "98") if metric else ("7/8", "11/8", "15/8", "31/8"))), strict=True)
        if stock == stocks[-1] or draw(st.booleans())
    ]  # fmt: skip
    if draw(one(False, False, True)):
        job["Boards"] = draw(rows("Board", 1, 6, Species=wood, Stock=one(*stocks[:3]), Width=length(4, 10), Length=length(40, 120),
                                  Where=one(None, None, "rack", "yard"), Price=one(None, None, Decimal("31.50"))))  # fmt: skip
    job["Extras"] = draw(
        rows("Item", 0, 2, Qty=qty, Unit_price=one(None, Decimal("0.35"), Decimal("3.25"), Decimal("119.99")))
    )
    for row in job["Extras"]:
        row["Item"] = draw(one(row["Item"], row["Item"], "PVA", "Shellac", "Hardwax oil, a tin"))
    area = st.integers(200, 20_000) if metric else st.integers(40, 3000)
    dear = st.one_of(st.none(), st.integers(150, 9000).map(lambda cents: Decimal(cents) / 100))
    job["Glue-ups"] = draw(rows("Step", 0, 3, Glue_area=area, Adhesive=one("PVA", "PVA", *GLUES), Price=dear))
    job["Finish"] = draw(rows("Step", 0, 3, Product=one("shellac", "wiping varnish", *FINISHES), Coats=st.integers(1, 4), Price=dear,
                              Coverage=one(None, None, *((8, Decimal("12.5")) if metric else (320, 475))), Parts=one(None, None, PART_NAMES[0])))  # fmt: skip
    job["Labor"] = draw(rows("Operation", 0, 3, Counted_by=one("job", "part", "blank", "joint", "groove", "recess", "panel", "surface"), Minutes_each=st.integers(1, 60),
                              Rate=one(None, Decimal("42.5"))))  # fmt: skip
    if draw(st.booleans()):
        job["Allowances"] = draw(own_allowances(unit))
    return job


def _let_in(row: dict[str, Any], job: dict[str, Any], by: str) -> None:
    """Leave empty what a tenon on Parts, a panel or a run tells, where the job has one."""
    tenoned = [part["Part"] for part in job["Parts"] if part.get("Tenons")]
    panels = [panel["Panel"] for panel in job["Panels"] if not panel.get("Groove depth ends")]
    if by == "From" and row["Kind"] == "tenon" and tenoned:
        row["From"] = tenoned[0]
        del row["Depth into"]
    elif by == "From" and panels:
        row |= {"Kind": "groove", "From": panels[0]}
        del row["Thickness"], row["Depth into"]
    elif by == "At" and job["Spacing"]:
        row |= {"Kind": "groove", "At": job["Spacing"][0]["Run"], "Lies": "across"}
        del row["Thickness"]
