"""The example job: an entry bench with drawers and framed panels, invented for this purpose."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from sheetkit.form import example_mm, small_example
from sheetkit.units import Unit, either

LABELS = {
    "job": "Entry bench",
    "number": "26-014",
    "client": "The Harbor Street house",
    "piece": "Entry bench with two drawers and framed ends",
    "prepared_by": "The bench by the window",
    "date": "2026-11-02",
    "moisture_now": "7",
    "own_width": "17",
    "own_length": "46",
    "own_thickness": "3",
    "clearance_side": "1/4",
    "clearance_end": "1/4",
    "top_height": "20",
    "support_thickness": "3/4",
    "hourly_rate": "48",
    "overhead": "15 %",
    "profit": "20 %",
    "tax": "7 %",
    "deposit": "50 %",
    "currency": "$",
    "alternatives": "White ash, Sugar maple",
}

TABLES_TEXT = {
    "Parts": """
part            | qty | species   | thickness | width | length | tenons | made_as    | plies | cut     | together | rise | round_over | when           | note
Leg             | 4   | White oak | 2 1/4     | 2 1/4 | 19 1/4 |        | face-glued | 2     | quarter |          |      | 1/8        |                |
Front rail, top |     | White oak | 7/8       | 1 1/2 | 46 1/2 | 7/8    |            |       | flat    | front    |      |            |                |
Front rail, low |     | White oak | 7/8       | 2 1/2 | 46 1/2 | 7/8    |            |       | flat    | front    | 1/2  |            |                | gentle curve below
Back rail, top  |     | White oak | 7/8       | 3     | 46 1/2 | 7/8    |            |       | flat    |          |      |            |                |
Back rail, low  |     | White oak | 7/8       | 2 1/2 | 46 1/2 | 7/8    |            |       | flat    |          |      |            |                |
Back muntin     |     | White oak | 7/8       | 2 1/4 | 8 1/2  | 3/4    |            |       | flat    |          |      |            |                |
End rail, top   | 2   | White oak | 7/8       | 3     | 14 1/2 | 7/8    |            |       | flat    |          |      |            |                |
End rail, low   | 2   | White oak | 7/8       | 2 1/2 | 14 1/2 | 7/8    |            |       | flat    |          |      |            |                |
Seat            |     | White oak | 7/8       | 18    | 51     |        | edge-glued |       | flat    |          |      | 1/8        |                |
Seat support    | 3   | White ash | 3/4       | 2     | 15 1/2 |        |            |       |         |          |      |            |                |
Drawer front    | 2   | White oak | 3/4       | 5     | 22     |        |            |       | flat    | front    |      |            |                |
Drawer side     | 4   | White ash | 1/2       | 4 3/4 | 14     |        |            |       | quarter |          |      |            |                |
Drawer back     | 2   | White ash | 1/2       | 4     | 21 1/2 |        |            |       |         |          |      |            |                |
Drawer runner   | 4   | White ash | 1/2       | 3/4   | 14     |        |            |       |         |          |      |            |                |
Drawer stop     | 4   | White ash | 1/2       | 1     | 3      |        |            |       |         |          |      |            |                |
Peg             | 16  | White oak | 3/8       | 3/8   | 2 1/2  |        |            |       |         |          |      |            | after assembly | split and whittled
""",
    "Panels": """
panel       | qty | species   | run           | rails                          | measured_width | measured_height | groove_sides | groove_width | thickness | grain  | cut  | made_as     | leaves
End panel   | 2   | White oak |               | End rail, top; End rail, low   | 14 1/2         | 8 15/32         | 1/2          | 1/4          | 5/16      |        | flat |             |
Back, left  |     | White oak | Back openings | Back rail, top; Back rail, low | 22 1/8         | 8 1/2           | 3/8          | 1/4          | 1/4       | across | flat | bookmatched | 2
Back, right |     | White oak | Back openings | Back rail, top; Back rail, low |                |                 | 3/8          | 1/4          | 1/4       | across | flat | bookmatched | 2
""",
    "Joints": """
joint              | kind           | into                           | on             | pieces | from_part       | thickness | width | at            | note
Front rail to leg  | tenon          | Leg                            | face           | 1-2    | Front rail, top | 3/8       | 3/4   | 3/8           | legs 1 and 2 front, 3 and 4 back, left first
Low rail to leg    | tenon          | Leg                            | face           | 1-2    | Front rail, low | 3/8       | 2     | 7             |
Back rail to leg   | tenon          | Leg                            | face           | 3-4    | Back rail, top  | 3/8       | 2     | 1/2           |
Back low to leg    | tenon          | Leg                            | face           | 3-4    | Back rail, low  | 3/8       | 1 1/2 | 12            |
End rail, one hand | tenon          | Leg                            | edge           | 1; 4   | End rail, top   | 3/8       | 1 3/4 | 5/8           |
End rail, other    | tenon          | Leg                            | far edge       | 2; 3   | End rail, top   | 3/8       | 1 3/4 | 5/8           |
End low, one hand  | tenon          | Leg                            | edge           | 1; 4   | End rail, low   | 3/8       | 1 1/4 | 12 1/8        |
End low, other     | tenon          | Leg                            | far edge       | 2; 3   | End rail, low   | 3/8       | 1 1/4 | 12 1/8        |
Muntin to rails    | tenon          | Back rail, top; Back rail, low | edge           |        | Back muntin     | 5/16      | 1 1/2 | Back openings |
End panel, rails   | groove         | End rail, top; End rail, low   | edge           |        | End panel       |           |       |               |
End panel, legs    | stopped groove | Leg                            | edge           | 1; 4   | End panel       |           | 9 1/2 | 2 1/2         |
End panel, others  | stopped groove | Leg                            | far edge       | 2; 3   | End panel       |           | 9 1/2 | 2 1/2         |
Back panel, rails  | stopped groove | Back rail, top; Back rail, low | edge           |        | Back, left      |           |       | 0             |
Back panel, legs   | stopped groove | Leg                            | face           | 3-4    | Back, left      |           | 9 1/4 | 2 5/8         |
Back panel, muntin | groove         | Back muntin                    | edge; far edge |        | Back, left      |           |       |               |
""",
    "Spacing": """
run           | between | member
Back openings | 46 1/2  | Back muntin
Seat supports | 46 1/2  | Seat support
""",
    "Shapes": """
shape       | kind            | length | rise  | small_end | start | stations | part
Front curve | arc             | 46 1/2 | 1/2   |           |       |          | Front rail, low
Leg taper   | taper two faces | 19 1/4 | 2 1/4 | 1 3/4     | 14    | 4        | Leg
""",
    "Loads": """
member       | species   | thickness | width | span   | load | bears_as        | shared_by
Seat, across | White oak | 7/8       | 51    | 15 1/2 | 500  |                 |
Seat support |           |           |       |        | 250  | resting, center | 3
""",
    "Glue-ups": """
step        | glues    | joints                         | goes | adhesive         | across | along
Leg plies   | blanks   | 4                              | 2    |                  | 2 1/4  | 20
Seat        | blanks   | 5                              |      |                  | 18     | 51
End frames  | assembly | End rail, one hand; End rail, other; End low, one hand; End low, other | 2    |                  | 18 3/4 |
Whole frame | assembly | Front rail to leg; Low rail to leg; Back rail to leg; Back low to leg; Muntin to rails |      | liquid hide glue | 51     |
""",
    "Finish": """
step                | product     | hours | grit
Sand                |             | 1     | 180
Hardwax oil, first  | hardwax oil | 24    |
Hardwax oil, second | hardwax oil | 24    | 320
""",
    "Boards": """
board | species   | stock | width | length | bad_from | bad_to
A1    | White oak | 4/4   | 7 1/2 | 98     |          |
A2    | White oak | 4/4   | 6 3/4 | 120    | 41       | 44
A3    | White oak | 4/4   | 8 1/4 | 96     |          |
A4    | White oak | 4/4   | 5 1/2 | 110    |          |
A5    | White oak | 4/4   | 9     | 84     |          |
B1    | White oak | 6/4   | 7     | 60     |          |
B2    | White oak | 6/4   | 6 1/4 | 72     |          |
C1    | White oak | 5/4   | 8     | 96     |          |
C2    | White oak | 5/4   | 7     | 120    |          |
C3    | White oak | 5/4   | 6     | 108    |          |
C4    | White oak | 5/4   | 7 1/4 | 120    | 60       | 63
C5    | White oak | 5/4   | 5 3/4 | 118    |          |
D1    | White ash | 4/4   | 6 1/2 | 96     |          |
D2    | White ash | 4/4   | 7     | 72     |          |
""",
    "Prices": """
species   | stock | measures | price | waste | grade
White oak | 4/4   | 15/16    | 9.50  | 20 %  | FAS
White oak | 5/4   |          | 10.40 | 20 %  | FAS
White oak | 6/4   |          | 11.20 | 25 %  | FAS
White oak | 8/4   |          | 12.60 | 25 %  | FAS
White ash | 4/4   |          | 5.80  | 20 %  | FAS
White ash | 8/4   |          | 7.20  |       | FAS
""",
    "Extras": """
item                  | qty | unit_price | fit_to                   | note
Drawer pull           | 2   | 14.50      | Drawer front             |
Slotted top clip      | 8   | 0.65       | Seat                     |
Drawer bottom         | 2   | 6.50       | Drawer side, Drawer back | birch plywood, cut to fit
Felt pad              | 4   | 0.40       | Leg                      |
""",
    "Labor": """
operation     | counted_by | minutes | rate | actual_hours
Choose lumber |            | 90      |      | 1.75
Mill blanks   | blank      | 6       |      | 6.5
Cut joints    | joint      | 18      |      |
Fit panels    | panel      | 25      |      |
Sand          | surface    | 4       |      |
Finish        | surface    | 3       | 40   |
Assemble      |            | 240     |      |
""",
}  # fmt: skip


def _rows(text: str) -> list[dict[str, str]]:
    lines = [[cell.strip() for cell in line.split("|")] for line in text.strip().splitlines()]
    return [{name: cell for name, cell in zip(lines[0], line, strict=False) if cell} for line in lines[1:]]


def example_job(
    unit: Unit, *, small: bool = False
) -> tuple[Mapping[str, str], Mapping[str, Sequence[Mapping[str, str]]]]:
    """Return the labels and table rows of the example, or of the small one, as a person would type them."""
    labels, tables = either(unit, (LABELS, TABLES_TEXT), (example_mm.LABELS, example_mm.TABLES_TEXT))
    if small:
        labels, tables = small_example.LABELS[unit], small_example.TABLES_TEXT[unit]
    return dict(labels), {title: _rows(text) for title, text in tables.items()}
