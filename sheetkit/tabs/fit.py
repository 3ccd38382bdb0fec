"""The live fit: formulas on Job that count with sizes however typed, and steps on Lists that read them."""

from __future__ import annotations

from collections.abc import Mapping

from sheetkit.form import labels as settings
from sheetkit.page import Address, Cell, Value, cell_name
from sheetkit.tabs.draft import HEADING
from sheetkit.units import MM, Unit, is_metric

SIZES = (
    "own_width",
    "own_length",
    "own_thickness",
    "clearance_side",
    "clearance_end",
    "top_height",
    "support_thickness",
)
"""Labels on Job with which the live formulas count."""
FIRST_STEP = 10
"""First column on Lists of the steps that turn what was typed into a number: right of all words."""
STEPS = ("Sizes of the fit", "as typed", "without its unit", "its number", "in the job's unit")
SIGNS = (
    ("½", " 1/2"), ("¼", " 1/4"), ("¾", " 3/4"), ("⅛", " 1/8"), ("⅜", " 3/8"), ("⅝", " 5/8"), ("⅞", " 7/8"),
    ("''", ""), ('"', ""), ("″", ""), ("”", ""), ("′", "'"), ("’", "'"),
    ("feet", "'"), ("foot", "'"), ("ft.", "'"), ("ft", "'"), ("inches", ""), ("inch", ""), ("in.", ""),
    ("in", ""), (",", "."), ("-", " "),
)  # fmt: skip
"""What replaces a sign or unit, in this order: a spreadsheet program turns ``1/2`` into ``½`` while typed."""
INCH_SIGNS = ('"', "″", "”", "in", "'", "′", "’", "ft", "f")


def _text(words: str) -> str:
    return '"' + words.replace('"', '""') + '"'


def _holds(cell: str, words: str) -> str:
    return f"ISNUMBER(FIND({_text(words)},{cell}))"


def size_at(name: str) -> str:
    """Return the cell on Lists that holds a size of the fit as a number."""
    return f"{settings.LISTS_TITLE}!{cell_name(SIZES.index(name) + 2, FIRST_STEP + 4, fixed=True)}"


def _steps(typed: str, row: int, unit: Unit) -> tuple[str, str, str, str]:
    """Return the formulas that turn the entry of a cell into a number of the job's unit, one by one."""
    words, bare, number = (cell_name(row, FIRST_STEP + step, fixed=True) for step in (1, 2, 3))
    plain = f"LOWER({typed})"
    for sign, other in SIGNS:
        plain = f"SUBSTITUTE({plain},{_text(sign)},{_text(other)})"
    foot = f'IFERROR(FIND("\'",{words}),0)'
    rest = f'SUBSTITUTE(SUBSTITUTE(MID({words},{foot}+1,99),"mm",""),"cm","")'
    space, bar, point = (f"IFERROR(FIND({_text(sign)},{bare}),0)" for sign in (" ", "/", "."))
    whole = f"IF({space}=0,0,VALUE(LEFT({bare},{space}-1)))"
    fraction = f"{whole}+VALUE(MID({bare},{space}+1,{bar}-{space}-1))/VALUE(MID({bare},{bar}+1,9))"
    places = f"MID({bare},{point}+1,9)"
    decimal = f'VALUE("0"&LEFT({bare},{point}-1))+VALUE({places})/10^LEN({places})'
    one_point = f'LEN({bare})-LEN(SUBSTITUTE({bare},".",""))=1'
    read = (
        f'IF({bare}="",0,IF({bar}>0,{fraction},IF({point}=0,VALUE({bare}),IF({one_point},{decimal},NA()))))'
    )
    feet = f"IF({foot}=0,0,12*VALUE(LEFT({words},{foot}-1)))"
    if not is_metric(unit):
        scale = f"IF({_holds(words, 'mm')},1/{MM:g},IF({_holds(words, 'cm')},10/{MM:g},1))"
    else:
        inches = ",".join(_holds(f"LOWER({typed})", sign) for sign in INCH_SIGNS)
        scale = f"IF(OR({inches}),{MM:g},IF({_holds(words, 'cm')},10,1))"
    return (
        f'IF(ISNUMBER({typed}),"",TRIM({plain}))',
        f"TRIM({rest})",
        read,
        f'IF(ISNUMBER({typed}),{typed},IF({typed}="",0,({feet}+{number})*{scale}))',
    )


def step_cells(rows_of: Mapping[str, int], sizes: Mapping[str, float], unit: Unit) -> dict[Address, Cell]:
    """Return the cells on Lists that read the sizes on Job, with the results for those that stand there."""
    cells = {(1, FIRST_STEP + step): Cell(text, style=HEADING) for step, text in enumerate(STEPS)}
    headings = {label.name: label.heading for label in settings.JOB}
    for row, name in enumerate(SIZES, 2):
        typed = f"{settings.JOB_TITLE}!{cell_name(rows_of[name], 2, fixed=True)}"
        results: tuple[Value, ...] = ("", "", 0.0, sizes.get(name, 0.0))
        cells[row, FIRST_STEP] = Cell(headings[name])
        for step, (formula, result) in enumerate(zip(_steps(typed, row, unit), results, strict=True), 1):
            cells[row, FIRST_STEP + step] = Cell(result, formula)
    return cells


def fit_formulas(fits: str, sizes: int) -> dict[str, str]:
    """Return the live formulas of the fit, by label."""
    table = f"{settings.LISTS_TITLE}!$C$2:$E${sizes + 1}"

    def across(own: str, column: int, clearance: str) -> str:
        listed = f"VLOOKUP({fits},{table},{column},FALSE)"
        twice = f"2*{size_at(clearance)}"
        return f'IF({size_at(own)}>0,{size_at(own)}+{twice},IFERROR({listed}+{twice},""))'

    top, below, support = (size_at(name) for name in ("top_height", "own_thickness", "support_thickness"))
    return {
        "inside_width": across("own_width", 2, "clearance_side"),
        "inside_length": across("own_length", 3, "clearance_end"),
        "support_height": f'IF({top}>0,{top}-{below}-{support},"")',
    }
