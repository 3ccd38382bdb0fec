"""Jobs in which every rule decides something: what chance seldom asks for in so few jobs of the suite."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction as F
from typing import Any

from tests.recomputed.shop import CLASSES_MM, SETTINGS, SETTINGS_MM

IN = {
    "Job": "Every rule", "Units": "in", "Round to": F(1, 32), "Board measure": "exact", "Wood moisture now": 7,
    "Driest wood moisture": 6, "Wettest wood moisture": 11, "Hourly rate": Decimal("48"), "Overhead": Decimal("0.15"),
    "Profit": Decimal("0.2"), "Profit as": "margin", "Tax": Decimal("0.07"), "Deposit": Decimal("0.5"),
}  # fmt: skip
PRICES = [
    {"Species": "White oak", "Stock": stock, "Price": price, "Waste": Decimal("0.2")}
    for stock, price in (
        ("3/4", Decimal("6.35")),
        ("4/4", Decimal("9.5")),
        ("8/4", Decimal("12.25")),
        ("16/4", Decimal("19")),
    )
]


def part(name: str, qty: int, thick: str, width: str, length: str, **more: Any) -> dict[str, Any]:
    sizes = {head: F(text) for head, text in (("Thickness", thick), ("Width", width), ("Length", length))}
    return {"Part": name, "Qty": qty, "Species": "White oak", **sizes, "Made as": "solid", **more}


def panel(name: str, width: str, height: str, sides: str, ends: str, **more: Any) -> dict[str, Any]:
    sizes = {
        "Opening width": F(width),
        "Opening height": F(height),
        "Groove depth sides": F(sides),
        "Groove depth ends": F(ends),
    }
    return {"Panel": name, "Qty": 1, "Species": "White oak", **sizes, "Thickness": F(1, 2), **more}


TENONS = {"Tenons": (F(1), F(3, 4))}
LET_IN: tuple[dict[str, Any], ...] = (
    {"Kind": "tenon", "Into": "Stile", "On": "edge", "From": "Rail", "Thickness": F(1, 4), "At": F(1)},
    {"Kind": "tenon", "Into": "Stile", "On": "edge", "From": "Mid rail", "Thickness": F(1, 4), "At": F(14)},
    {"Kind": "groove", "Into": "Stile", "On": "edge", "From": "Door"},
    {"Kind": "groove", "Into": "Rail", "On": "edge", "From": "Door"},
    {"Kind": "groove", "Into": "Side", "On": "edge", "From": "Back"},
    {"Kind": "groove", "Into": "Stile", "From": "Back", "Thickness": F(1, 8)},
    {
        "Kind": "groove",
        "Into": "Side",
        "On": "face",
        "From": "Shelf",
        "Depth into": F(1, 4),
        "At": F(3),
        "Lies": "across",
    },
    {
        "Kind": "groove",
        "Into": "Side",
        "On": "face",
        "Depth into": F(1, 8),
        "At": "Shelves",
        "Lies": "across",
    },
    {"Kind": "groove", "Depth into": F(1, 8), "At": "Sides", "Lies": "across"},
)
"""Joints whose sizes other tabs tell, or nearly."""
WORKED: dict[str, dict[str, Any]] = {
    "blanks": {
        "Job": IN, "Prices": PRICES,
        "Parts": [
            part("At the class", 2, "5/8", "2", "24"), part("Over the class", 2, "5/8", "2", "45", **TENONS), part("Odd", 3, "21/64", "73/64", "25"),
            part("Short", 5, "5/8", "2", "4"), part("Narrow", 5, "5/8", "1/2", "30"), part("Both", 7, "5/8", "3/8", "5"),
            part("Plies", 2, "15/4", "3", "30", **{"Made as": "face-glued", "Rise": F(1, 2), **TENONS}),
            part("Top", 1, "7/8", "18", "40", **{"Made as": "edge-glued", "Rise": F(1, 2), **TENONS}),
            part("Pair", 1, "7/8", "10", "40", **{"Made as": "edge-glued", "Plies": 2}),
            part("Side", 2, "5/8", "4", "20", **{"Keep together": "a", "How": "side by side"}),
            part("End", 2, "5/8", "3", "50", **{"Keep together": "b", "How": "end to end"}),
            part("Asked", 2, "5/8", "4", "20", Stock="8/4"),
        ],
        "Labor": [{"Operation": by, "Counted by": by, "Minutes each": 7} for by in ("job", "part", "blank", "surface")],
        "Extras": [{"Item": "Screws", "Qty": 7, "Unit price": Decimal("0.35")}],
    },
    "panels": {
        "Job": {**IN, "Wood moisture now": 9}, "Prices": PRICES, "Parts": [part("Stile", 1, "5/8", "2", "24")],
        "Panels": [
            panel("Up", "14.25", "20", "1/2", "3/8"), panel("Across", "14.25", "20", "1/2", "3/8", Grain="across"),
            panel("One measured", "14.25", "20", "1/2", "3/8", **{"Measured width": F("14.375")}),
            panel("Measured", "14.25", "20", "1/2", "3/8", **{"Measured width": F("14.375"), "Measured height": F("20.1875")}),
            panel("Short of bearing", "26", "20", "3/8", "3/8", Cut="flat"), panel("Odd", "14.25", "1283/64", "1/2", "1/2"),
            {**panel("Book", "10", "20", "1/2", "1/2", **{"Made as": "bookmatched", "Leaves": 2}), "Qty": 3},
            {**panel("Book of four", "20", "20", "1/2", "1/2", **{"Made as": "bookmatched", "Leaves": 3, "Thickness": F(1, 4)}), "Qty": 3},
            {**panel("Resawn", "20", "20", "1/2", "1/2", **{"Made as": "resawn", "Leaves": 3, "Thickness": F(1, 4)}), "Qty": 3},
            {**panel("Import", "18", "20", "5/8", "1/2"), "Species": "Teak", "Cut": "flat"},
            {**panel("Import, quarter", "18", "20", "5/8", "1/2"), "Species": "African mahogany", "Cut": "quarter"},
        ],
        "Labor": [{"Operation": by, "Counted by": by, "Minutes each": 7} for by in ("panel", "surface", "blank")],
    },
    "small": {
        "Job": {**IN, "Wood moisture now": 11}, "Prices": PRICES,
        "Parts": [
            part("Short plies", 5, "15/4", "2", "4", **{"Made as": "face-glued", **TENONS}), part("Narrow plies", 5, "5/4", "1/2", "30", **{"Made as": "face-glued"}),
            part("Short staves", 5, "5/8", "11", "5", **{"Made as": "edge-glued", **TENONS}), part("Narrow staves", 2, "5/8", "6", "30", **{"Made as": "edge-glued", "Plies": 12}),
            part("Alone", 1, "5/8", "11", "5", **{"Made as": "edge-glued"}),
        ],
        "Panels": [
            {**panel("Short", "8", "17/2", "1/2", "1/2"), "Qty": 5}, {**panel("One", "8", "5", "1/2", "1/2"), "Qty": 1},
            {**panel("Book", "10", "8", "1/2", "1/2", **{"Made as": "bookmatched", "Leaves": 3, "Thickness": F(1, 4)}), "Qty": 5},
            {**panel("Resawn", "10", "8", "1/2", "1/2", **{"Made as": "resawn", "Leaves": 3, "Thickness": F(1, 4)}), "Qty": 5},
        ],
        "Labor": [{"Operation": by, "Counted by": by, "Minutes each": 7} for by in ("panel", "blank")],
    },
    "rack": {
        "Job": IN, "Prices": PRICES,
        "Parts": [part("Slat", 9, "5/8", "4", "40"), part("Rail", 4, "5/8", "3", "60")],
        "Boards": [{"Board": "A", "Species": "White oak", "Stock": "4/4", "Width": F(9), "Length": F(96), "Price": Decimal("31.50")},
                   {"Board": "B", "Species": "White oak", "Stock": "3/4", "Width": F(9), "Length": F(96)}],
    },
    "yard": {
        "Job": IN, "Prices": PRICES,
        "Parts": [part("Slat", 9, "5/8", "4", "40"), part("Rail", 4, "5/8", "3", "60")],
        "Boards": [{"Board": "A", "Species": "White oak", "Stock": "4/4", "Width": F(9), "Length": F(96)},
                   {"Board": "B", "Species": "White oak", "Stock": "4/4", "Width": F(9), "Length": F(96), "Where": "yard"},
                   {"Board": "C", "Species": "White oak", "Stock": "4/4", "Width": F(9), "Length": F(96), "Where": "yard", "Price": Decimal("27.35")},
                   {"Board": "D", "Species": "White oak", "Stock": "4/4", "Width": F(9), "Length": F(96), "Where": "yard", "Price": Decimal("97.35")}],
    },
    "bench": {
        "Job": {**IN, "Wood moisture now": 14, "Profit as": "markup"}, "Parts": [part("Shelf", 1, "3/4", "11", "36")],
        "Joints": [{"Joint": kind, "Qty": 4, "Kind": kind, "Thickness": F(3, 8), "Width": F(5), "Depth into": F(5, 4), "Depth from": F(1)}
                   for kind in ("tenon", "loose tenon", "dowel")],
        "Spacing": [{"Run": "One", "Between": F(36), "Member width": F(3, 4), "Members": 5}, {"Run": "Two", "Between": F(36), "Member width": F(3, 4), "Largest gap": F(5)},
                    {"Run": "Three", "Between": F(36), "Member width": F(3, 4), "Members": 5, "First at": F(1)},
                    {"Run": "Of a part", "Between": F(60), "Member": "Shelf"}, {"Run": "Left at an end", "Between": F(80), "Member width": F(3, 4), "Gaps": "4; 25; 26; rest"}, {"Run": "Unlike", "Between": F(60), "Member width": F(5, 2), "Gaps": "6; rest; rest; rest; 8"},
                    {"Run": "All listed", "Between": F(40), "Member width": F(2), "Gaps": "6; 12; 18"}],
        "Loads": [{"Member": bears, "Species": "Sugar maple", "Thickness": F(1), "Width": F(4), "Span": F(30), "Load": 90, "Held as": bears, "Shared by": 2}
                  for bears in ("resting, spread", "resting, center", "fixed, spread", "fixed, center", "cantilever, spread", "cantilever, end")],
        "Labor": [{"Operation": "joint", "Counted by": "joint", "Minutes each": 7, "Rate": Decimal("42.55")}],
    },
    "frame": {
        "Job": IN, "Prices": PRICES,
        "Parts": [part("Leg", 4, "3/4", "3", "30"), part("Top rail", 2, "3/4", "5", "60"), part("Low rail", 2, "3/4", "4", "60"), part("Muntin", 8, "3/4", "5/2", "12")],
        "Joints": [{"Joint": name, "Qty": 4, "Kind": "loose tenon", "Into": "Leg", "From": name, "Thickness": F(1, 4), "Width": F(wide), "Depth into": F(1), "Depth from": F(1),
                    "At": F(at)} for name, wide, at in (("Top rail", "4", "3/2"), ("Low rail", "5/2", "75/4"))],
        "Spacing": [{"Run": "Head", "Between": F(60), "Member": "Muntin", "Members": 4}, {"Run": "Foot", "Between": F(60), "Member": "Muntin", "Members": 4, "Gaps": "6; rest; rest; rest; 8"}],
        "Panels": [{**{key: value for key, value in panel(name, "1", "1", "1/2", "3/8").items() if not key.startswith("Opening")}, "Qty": qty, "Run": run,
                    "Rails": "Top rail; Low rail"} for name, qty, run in (("Head", 5, "Head"), ("Left", 1, "Foot"), ("Middle", 3, "Foot"), ("Right", 1, "Foot"))],
    },
    "members that are parts": {
        "Job": IN, "Prices": PRICES,
        "Parts": [part("Slat", 9, "5/8", "3", "38", Tenons=(F(1), F(1))), part("Shelf", 1, "3/4", "11", "36"),
                  part("Rail", 1, "3/4", "4", "60"), part("Rail", 1, "3/4", "5", "50", Species="Northern red oak")],
        "Loads": [{"Member": "Slat", "Load": 300, "Shared by": 9}, {"Member": "shelf", "Load": 60, "Span": F(30), "Held as": "fixed, spread"},
                  {"Member": "Shelf", "Load": 60, "Width": F(10)}, {"Member": "Shelf", "Load": 60, "Thickness": F(1), "Species": "Sugar maple"},
                  {"Member": "Rail", "Load": 100, "Species": "White oak", "Width": F(4), "Span": F(60)},
                  {"Member": "Beam", "Species": "White oak", "Thickness": F(2), "Width": F(3), "Span": F(60), "Load": 100}],
    },
    "sizes that other tabs tell": {
        "Job": IN, "Prices": PRICES,
        "Parts": [part("Stile", 2, "5/8", "5/2", "30"), part("Rail", 2, "5/8", "3", "15", Tenons=(F(1), F(1))), part("Mid rail", 1, "5/8", "3", "15", Tenons=(F(3, 4), F(0))),
                  part("Shelf", 3, "5/8", "11", "30"), part("Side", 2, "5/8", "12", "40")],
        "Panels": [panel("Door", "15", "24", "1/2", "3/8", **{"Groove width": F(1, 4), "Rails": "Rail; Mid rail"}), panel("Back", "15", "24", "7/16", "7/16")],
        "Spacing": [{"Run": "Shelves", "Between": F(40), "Member width": F(5, 8), "Member": "Shelf"}, {"Run": "Sides", "Between": F(60), "Member": "Side"}],
        "Joints": [{"Joint": f"Joint {number}", "Qty": 2, "Width": F(2), **row} for number, row in enumerate(LET_IN)],
    },
    "drier than in use": {
        "Job": {**IN, "Wood moisture now": 5, "Driest wood moisture": 7}, "Prices": PRICES, "Parts": [part("Stile", 1, "5/8", "2", "24")],
        "Panels": [panel("Up", "14.25", "20", "1/2", "3/8"), panel("Across", "14.25", "20", "1/2", "3/8", Grain="across")],
    },
    "wetter than in use": {
        "Job": {**IN, "Wood moisture now": 13, "Driest wood moisture": 7, "Wettest wood moisture": 14}, "Prices": PRICES, "Parts": [part("Stile", 1, "5/8", "2", "24")],
        "Panels": [panel("Up", "18", "20", "1/2", "3/8", Cut="flat"),
                   {**panel("Deep enough only by today's moisture", "25", "20", "3/8", "3/8", Cut="flat"), "Species": "Northern red oak"}],
    },
    "own saws": {
        "Job": IN,
        "Prices": [*PRICES, {"Species": "Northern red oak", "Stock": "4/4", "Price": Decimal("7.15"), "Grade": "No. 2A Common"},
                   {"Species": "Black walnut", "Stock": "4/4", "Measures": F(3, 4)}, {"Species": "Black walnut", "Stock": "6/4", "Measures": F(5, 4)}],
        "Parts": [
            part("Scant", 2, "5/8", "2", "30", Species="Black walnut"),
            part("Short", 5, "5/8", "2", "4"), part("Narrow", 5, "5/8", "1/2", "30"), part("Just a stave", 1, "5/8", "67/4", "30", **{"Made as": "edge-glued"}),
            part("Leg", 2, "5/2", "3", "20", **{"Made as": "face-glued", "Species": "Northern red oak"}),
            part("Side", 2, "5/8", "4", "20", **{"Keep together": "a", "How": "side by side"}),
            part("End", 2, "5/8", "3", "50", **{"Keep together": "b", "How": "end to end"}),
        ],
        "Allowances": {
            "settings": {**SETTINGS, "Rip kerf": "3/32", "Crosscut kerf": "5/32", "Resaw kerf": "1/32", "Creep factor": "1/2"},
            "classes": (("24", "1/16", "1/4", "3/4"), ("beyond", "3/16", "3/8", "5/4")),
        },
        "Loads": [{"Member": "Board", "Species": "White oak", "Thickness": F(1), "Width": F(4), "Span": F(30), "Load": 90, "Held as": "resting, spread", "Shared by": 1}],
    },
    "just missed": {
        "Job": IN,
        "Prices": [*PRICES, {"Species": "White oak", "Stock": "5/4", "Price": Decimal("10.40"), "Waste": Decimal("0.3")}],
        "Parts": [part("By 3/16", 3, "3/4", "21/8", "95"), part("By 1/4", 1, "17/16", "2", "20"), part("By 1/32", 2, "27/32", "4", "20"),
                  part("Top", 1, "13/16", "18", "40", **{"Made as": "edge-glued"}), part("Asked", 2, "1", "2", "20", Stock="5/4"),
                  part("Plies", 2, "7/4", "3", "30", **{"Made as": "face-glued", "Plies": 2})],
        "Panels": [panel("Thick", "14.25", "50", "1/2", "3/8", Thickness=F(13, 16))],
    },
    "straightened": {
        "Job": {**IN, "Units": "mm", "Round to": F(1, 2), "Board measure": "m3", "Wood moisture now": 12, "Wettest wood moisture": 12},
        "Prices": [{"Species": "White oak", "Stock": stock, "Price": Decimal("2000")} for stock in ("27 mm", "32 mm", "50 mm")],
        "Parts": [part(name, 2, thick, "90", length, Stock=stock, **more) for name, thick, length, stock, more in (
            ("Flat", "22", "975", "27 mm", {}), ("Missed", "22", "975", None, {}), ("Too thick", "23.5", "975", "27 mm", {}),
            ("Short", "22", "300", "27 mm", {}), ("Long", "22", "1900", "27 mm", {}), ("Plies", "42", "975", "27 mm", {"Made as": "face-glued", "Plies": 2}))],
        "Allowances": {"settings": SETTINGS_MM, "classes": CLASSES_MM},
    },
    "a yard that sells what the job names": {
        "Job": {**IN, "Units": "mm", "Round to": F(1, 2), "Board measure": "m3"},
        "Parts": [part("Named", 2, "40", "90", "975", Stock="52 mm"), part("Other", 2, "20", "90", "500")],
        "Allowances": {"settings": SETTINGS_MM, "classes": CLASSES_MM},
    },
    "stocks that the yard does not list": {
        "Job": {**IN, "Units": "mm", "Round to": F(1, 2)}, "Allowances": {"settings": SETTINGS_MM, "classes": CLASSES_MM},
        "Parts": [part("Rail", 1, "22", "60", "700", Stock="27 mm"), part("Stile", 2, "29", "60", "700", Stock="34 mm"),
                  part("Sill", 1, "48", "60", "700", Stock="54 mm"), part("Post", 1, "80", "60", "700", Stock="100 mm")],
        "Panels": [panel("Door", "400", "500", "10", "10", **{"Made as": "resawn", "Leaves": 2, "Stock": "100 mm"})],
    },
    "glue and finish": {
        "Job": {**IN, "Delivery": Decimal("62.75"), "Profit as": "markup"}, "Prices": PRICES,
        "Parts": [part("Top", 1, "3/4", "5", "40"), part("Leg", 4, "3/4", "2", "29")], "Panels": [panel("Door", "14", "20", "1/2", "1/2")],
        "Glue-ups": [{"Step": "One", "Glue area": 160, "Adhesive": "PVA"}, {"Step": "Two", "Glue area": 75, "Adhesive": "PVA", "Price": Decimal("13.95")},
                     {"Step": "Three", "Glue area": 90, "Adhesive": "slow epoxy", "Price": Decimal("48")}, {"Step": "Four", "Glue area": 44, "Adhesive": "hot hide glue"}],
        "Finish": [{"Step": "First", "Product": "wiping varnish", "Coats": 2, "Price": Decimal("21.40")}, {"Step": "Top alone", "Product": "wiping varnish", "Coats": 1, "Parts": "Top"},
                   {"Step": "By the label", "Product": "hardwax oil", "Coats": 2, "Coverage": 320, "Price": Decimal("70")}, {"Step": "Seal legs", "Product": "shellac", "Coats": 1, "Parts": "Leg"}, {"Step": "Seal", "Product": "shellac", "Coats": 1}],
        "Extras": [{"Item": "slow epoxy", "Qty": 1, "Unit price": Decimal("31.50")}, {"Item": "Hardwax oil rags", "Qty": 2, "Unit price": Decimal("1.25")},
                   {"Item": "Shellac flakes", "Qty": 1, "Unit price": Decimal("9.80")}],
    },
    "collected": {
        "Job": {**IN, "Delivery": "collected"}, "Prices": PRICES, "Parts": [part("Top", 1, "3/4", "5", "40")],
    },
    "brought without a price": {
        "Job": {**IN, "Delivery": Decimal("0")}, "Prices": PRICES, "Parts": [part("Top", 1, "3/4", "5", "40")],
    },
    "surfaced": {
        "Job": IN, "Parts": [part("Rail", 2, "13/16", "3", "30"), part("Top", 1, "3/4", "18", "40", **{"Made as": "edge-glued"}),
                             part("Leg", 2, "13/4", "3", "30", **{"Made as": "face-glued"})],
        "Allowances": {"settings": {**SETTINGS, "Stock measures as": "surfaced"}, "classes": (("beyond", "1/8", "1/4", "1"),)},
    },
}  # fmt: skip
