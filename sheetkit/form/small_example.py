"""The small example job: a door with one panel, in the sizes of either shop; each cell decides something."""

from __future__ import annotations

from sheetkit.units import Unit

_ALIKE = {
    "job": "Niche door",
    "client": "The house by the mill pond",
    "piece": "Door with one panel for a niche in the wall",
    "prepared_by": "The bench by the window",
    "date": "2026-11-02",
    "profit": "20 %",
}
LABELS: dict[Unit, dict[str, str]] = {
    "in": {
        **_ALIKE,
        "moisture_now": "7",
        "humidity_driest": "30",
        "humidity_wettest": "60",
        "hourly_rate": "48",
        "currency": "$",
    },
    "mm": {
        **_ALIKE,
        "unit": "mm",
        "moisture_now": "9",
        "humidity_driest": "35",
        "humidity_wettest": "65",
        "hourly_rate": "46",
        "currency": "€",
    },
}

TABLES_TEXT: dict[Unit, dict[str, str]] = {
    "in": {
        "Parts": """
part  | qty | species      | thickness | width | length | tenons
Stile | 2   | Black cherry | 7/8       | 2 1/4 | 24     |
Rail  | 2   | Black cherry | 7/8       | 2 1/2 | 11 1/2 | 7/8
""",
        "Panels": """
panel      | species      | opening_width | opening_height | groove_sides | thickness
Door panel | Black cherry | 11 1/2        | 19             | 3/8          | 5/16
""",
        "Joints": """
joint          | kind           | into  | on   | from_part  | thickness | width  | at
Tenons         | tenon          | Stile | edge | Rail       | 5/16      | 1 1/2  | 1/2; 22
Groove, stiles | stopped groove | Stile | edge | Door panel |           | 19 3/4 | 2 1/8
Groove, rails  | groove         | Rail  | edge | Door panel |           |        |
""",
        "Finish": """
step | product     | coats | price
Oil  | hardwax oil | 2     | 38
""",
        "Prices": """
species      | stock | price | waste
Black cherry | 4/4   | 8.40  | 25 %
Black cherry | 5/4   | 8.90  | 25 %
""",
        "Extras": """
item  | qty | unit_price | fit_to
Hinge | 2   | 6.25       | Stile
""",
        "Labor": """
operation     | minutes
Make the door | 330
""",
    },
    "mm": {
        "Parts": """
part  | qty | species      | thickness | width | length | tenons
Stile | 2   | European oak | 25        | 60    | 600    |
Rail  | 2   | European oak | 25        | 65    | 300    | 24
""",
        "Panels": """
panel      | species      | opening_width | opening_height | groove_sides | thickness
Door panel | European oak | 300           | 470            | 10           | 8
""",
        "Joints": """
joint          | kind           | into  | on   | from_part  | thickness | width | at
Tenons         | tenon          | Stile | edge | Rail       | 8         | 41    | 12; 547
Groove, stiles | stopped groove | Stile | edge | Door panel |           | 490   | 55
Groove, rails  | groove         | Rail  | edge | Door panel |           |       |
""",
        "Finish": """
step | product     | coats | price
Oil  | hardwax oil | 2     | 42
""",
        "Prices": """
species      | stock | price | waste
European oak | 27 mm | 2350  | 25 %
European oak | 34 mm | 2500  | 25 %
""",
        "Extras": """
item  | qty | unit_price | fit_to
Hinge | 2   | 6,25       | Stile
""",
        "Labor": """
operation     | minutes
Make the door | 330
""",
    },
}
