"""The example job of a shop that works in millimeters: sizes, stock, prices and words of its own, not converted."""

from __future__ import annotations

LABELS = {
    "job": "Entry bench",
    "number": "26-014",
    "client": "The house on Linden Square",
    "piece": "Entry bench with two drawers and framed ends",
    "prepared_by": "The bench by the window",
    "date": "2026-11-02",
    "unit": "mm",
    "moisture_now": "9",
    "moisture_driest": "7",
    "moisture_wettest": "12",
    "own_width": "340",
    "own_length": "1170",
    "clearance_side": "5",
    "clearance_end": "5",
    "top_height": "480",
    "support_thickness": "22",
    "hourly_rate": "46",
    "overhead": "15 %",
    "profit": "20 %",
    "tax": "19 %",
    "deposit": "40 %",
    "currency": "€",
    "alternatives": "European ash, European beech",
}

TABLES_TEXT = {
    "Parts": """
part            | qty | species      | thickness | width | length | tenons | made_as    | plies | cut     | together | rise | round_over | when           | note
Leg             | 4   | European oak | 60        | 60    | 458    |        | face-glued | 2     | quarter |          |      | 3          |                |
Front rail, top |     | European oak | 20        | 40    | 1180   | 24     |            |       | flat    | front    |      |            |                |
Front rail, low |     | European oak | 20        | 65    | 1180   | 24     |            |       | flat    | front    | 12   |            |                | gentle curve below
Back rail, top  |     | European oak | 20        | 75    | 1180   | 24     |            |       | flat    |          |      |            |                |
Back rail, low  |     | European oak | 20        | 65    | 1180   | 24     |            |       | flat    |          |      |            |                |
Back muntin     |     | European oak | 20        | 55    | 215    | 20     |            |       | flat    |          |      |            |                |
End rail, top   | 2   | European oak | 20        | 75    | 350    | 24     |            |       | flat    |          |      |            |                |
End rail, low   | 2   | European oak | 20        | 65    | 350    | 24     |            |       | flat    |          |      |            |                |
Seat            |     | European oak | 22        | 490   | 1320   |        | edge-glued |       | flat    |          |      | 3          |                |
Seat support    | 3   | European ash | 22        | 75    | 420    |        |            |       |         |          |      |            |                |
Drawer front    | 2   | European oak | 20        | 130   | 560    |        |            |       | flat    | front    |      |            |                |
Drawer side     | 4   | European ash | 12        | 120   | 350    |        |            |       | quarter |          |      |            |                |
Drawer back     | 2   | European ash | 12        | 100   | 540    |        |            |       |         |          |      |            |                |
Drawer runner   | 4   | European ash | 15        | 20    | 350    |        |            |       |         |          |      |            |                |
Drawer stop     | 4   | European ash | 12        | 25    | 75     |        |            |       |         |          |      |            |                |
Peg             | 16  | European oak | 9         | 9     | 65     |        |            |       |         |          |      |            | after assembly | split and whittled
""",
    "Panels": """
panel       | qty | species      | run           | rails                          | measured_width | measured_height | groove_sides | groove_width | thickness | grain  | cut  | made_as     | leaves
End panel   | 2   | European oak |               | End rail, top; End rail, low   | 350            | 214,5           | 12           | 6            | 8         |        | flat |             |
Back, left  |     | European oak | Back openings | Back rail, top; Back rail, low | 562,5          | 215             | 10           | 6            | 6         | across | flat | bookmatched | 2
Back, right |     | European oak | Back openings | Back rail, top; Back rail, low |                |                 | 10           | 6            | 6         | across | flat | bookmatched | 2
""",
    "Joints": """
joint              | kind           | into                           | on             | pieces | from_part       | thickness | width | at            | note
Front rail to leg  | tenon          | Leg                            | face           | 1-2    | Front rail, top | 8         | 22    | 9             | legs 1 and 2 front, 3 and 4 back, left first
Low rail to leg    | tenon          | Leg                            | face           | 1-2    | Front rail, low | 8         | 45    | 185           |
Back rail to leg   | tenon          | Leg                            | face           | 3-4    | Back rail, top  | 8         | 48    | 13,5          |
Back low to leg    | tenon          | Leg                            | face           | 3-4    | Back rail, low  | 8         | 38    | 303,5         |
End rail, one hand | tenon          | Leg                            | edge           | 1; 4   | End rail, top   | 8         | 44    | 15,5          |
End rail, other    | tenon          | Leg                            | far edge       | 2; 3   | End rail, top   | 8         | 44    | 15,5          |
End low, one hand  | tenon          | Leg                            | edge           | 1; 4   | End rail, low   | 8         | 34    | 305,5         |
End low, other     | tenon          | Leg                            | far edge       | 2; 3   | End rail, low   | 8         | 34    | 305,5         |
Muntin to rails    | tenon          | Back rail, top; Back rail, low | edge           |        | Back muntin     | 7         | 34    | Back openings |
End panel, rails   | groove         | End rail, top; End rail, low   | edge           |        | End panel       |           |       |               |
End panel, legs    | stopped groove | Leg                            | edge           | 1; 4   | End panel       |           | 239   | 63            |
End panel, others  | stopped groove | Leg                            | far edge       | 2; 3   | End panel       |           | 239   | 63            |
Back panel, rails  | stopped groove | Back rail, top; Back rail, low | edge           |        | Back, left      |           |       | 0             |
Back panel, legs   | stopped groove | Leg                            | face           | 3-4    | Back, left      |           | 235   | 65            |
Back panel, muntin | groove         | Back muntin                    | edge; far edge |        | Back, left      |           |       |               |
""",
    "Spacing": """
run           | between | member
Back openings | 1180    | Back muntin
Seat supports | 1180    | Seat support
""",
    "Shapes": """
shape       | kind            | length | rise | small_end | start | stations | part
Front curve | arc             | 1180   | 12   |           |       |          | Front rail, low
Leg taper   | taper two faces | 458    | 60   | 44        | 366   | 4        | Leg
""",
    "Loads": """
member       | species      | thickness | width | span | load | bears_as        | shared_by
Seat, across | European oak | 22        | 1320  | 350  | 225  |                 |
Seat support |              |           |       |      | 110  | resting, center | 3
""",
    "Glue-ups": """
step        | glues    | joints                         | goes | adhesive         | across | along
Leg plies   | blanks   | 4                              | 2    |                  | 60     | 480
Seat        | blanks   | 5                              |      |                  | 490    | 1320
End frames  | assembly | End rail, one hand; End rail, other; End low, one hand; End low, other | 2    |                  | 470    |
Whole frame | assembly | Front rail to leg; Low rail to leg; Back rail to leg; Back low to leg; Muntin to rails |      | liquid hide glue | 1300   |
""",
    "Finish": """
step                | product     | hours | grit
Sand                |             | 1     | 180
Hardwax oil, first  | hardwax oil | 24    |
Hardwax oil, second | hardwax oil | 24    | 320
""",
    "Boards": """
board | species      | stock | width | length | bad_from | bad_to
A1    | European oak | 27 mm | 190   | 2500   |          |
A2    | European oak | 27 mm | 175   | 3000   | 1040     | 1120
A3    | European oak | 27 mm | 210   | 2400   |          |
A4    | European oak | 27 mm | 145   | 2800   |          |
A5    | European oak | 27 mm | 230   | 2100   |          |
A6    | European oak | 27 mm | 180   | 2600   |          |
B1    | European oak | 34 mm | 185   | 3000   | 1480     | 1560
B2    | European oak | 34 mm | 165   | 2900   |          |
B3    | European oak | 34 mm | 210   | 2400   |          |
C1    | European oak | 41 mm | 180   | 1500   |          |
C2    | European oak | 41 mm | 160   | 1800   |          |
D1    | European ash | 27 mm | 165   | 2400   |          |
D2    | European ash | 27 mm | 180   | 1800   |          |
""",
    "Prices": """
species        | stock | measures | price | waste
European oak   | 27 mm | 26       | 2350  | 25 %
European oak   | 34 mm | 33       | 2500  | 25 %
European oak   | 41 mm | 39,5     | 2700  | 25 %
European oak   | 52 mm | 50       | 2950  | 30 %
European ash   | 27 mm | 26       | 1450  | 20 %
European ash   | 34 mm | 33       | 1550  | 20 %
European ash   | 52 mm | 50       | 1800  |
European beech | 27 mm | 26       | 850   | 20 %
European beech | 34 mm | 33       | 900   | 20 %
European beech | 41 mm | 39,5     | 950   | 20 %
""",
    "Extras": """
item          | qty | unit_price | fit_to                   | note
Drawer pull   | 2   | 14,50      | Drawer front             |
Table clip    | 8   | 0,65       | Seat                     |
Drawer bottom | 2   | 6,50       | Drawer side, Drawer back | birch plywood, cut to fit
Felt pad      | 4   | 0,40       | Leg                      |
""",
    "Labor": """
operation     | counted_by | minutes | rate | actual_hours
Choose lumber |            | 90      |      | 1,75
Mill blanks   | blank      | 6       |      | 6,5
Cut joints    | joint      | 18      |      |
Fit panels    | panel      | 25      |      |
Sand          | surface    | 35      |      |
Finish        | surface    | 25      | 40   |
Assemble      |            | 240     |      |
""",
}  # fmt: skip
