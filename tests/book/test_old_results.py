"""After a run no formula of the maker's shows an old result beside a new answer: by three readers, in both formats."""

from __future__ import annotations

import io
import re
from collections.abc import Callable
from pathlib import Path

import openpyxl
import pytest

from sheetkit import run
from sheetkit.book.formats import by_ending
from sheetkit.book.package import Package
from sheetkit.book.workbook import Change
from sheetkit.page import Address, Cell, Page, Value, cell_name
from tests.book.lint_ods import faults
from tests.book.lint_xlsx import lint
from tests.jobs import NOW, column, pages, read
from tests.there import there

FORMATS = pytest.mark.parametrize("ending", [".xlsx", ".ods"])
PARTS = """
    Part  | Qty | Species   | Thickness | Width | Length | Note
    Leg   | 4   | White oak | 3/4       | 2     | 20     |
    Apron | 2   | White oak | 3/4       | 4     | 30     |
"""
FEET = "M"
"""Column of Board feet on Parts after a run."""
DEPEND = {
    "A1": "SUM(Parts!M2:M3)", "A2": "A1*2", "A3": "SUM(Parts!M:M)", "A4": "feet+1", "A5": "SUM(column)", "A6": "here*3",
    "A7": 'IF(Parts!M2>0,"of "&TEXT(Parts!M2,"0.0000"),"none")', "A8": 'A7&"!"', "A9": 'INDIRECT("Parts!M2")', "A10": "OFFSET(Parts!$A$1,1,12)",
    "A11": "SUM(Parts:Other!M2)", "A12": "Other!B1+1", "A13": "INDEX(Parts!$A$1:$Z$9,2,13)", "A14": "VLOOKUP(\"Leg\",Parts!A:M,13,FALSE)",
    "A15": "COUNTIF(Parts!$M$2:$M$3,\">0\")", "A16": "Quote!$B$200&\"\"", "A17": "ROUND(Estimate!G5,2)",
}  # fmt: skip
STAND = {
    "C1": "SUM(Parts!B2:B3)",
    "C2": "1+1",
    "C3": '"Parts!M2"',
    "C4": "C2*2",
    "C5": "Parts!$F$3",
    "C6": "SUM(unlike)",
    "C7": "NOW()*0",
}
"""Formulas that look at nothing that a longer leg changes."""
OTHER = {"B1": "Mine!A1*10", "B2": "Mine!C2*10", "M2": ""}
NAMES = {"feet": "Parts!$M$2", "column": "Parts!$M$2:$M$3", "unlike": "Parts!$B$2:$B$3"}


def at(name: str) -> Address:
    found = re.fullmatch(r"([A-Z]+)(\d+)", name)
    assert found
    return int(found[2]), ord(found[1]) - 64


def makers(ending: str) -> bytes:
    """Give a workbook with formulas of the maker's in every form; none has a result yet."""
    formulas: dict[str, dict[Address, Cell]] = {"Mine": {}, "Other": {}}
    for title, cells in (("Mine", {**DEPEND, **STAND}), ("Other", OTHER)):
        for name, formula in cells.items():
            if formula:
                formulas[title][at(name)] = Cell(None, formula, stale=True)
    formulas["Mine"][1, 5] = Cell(
        None, f"Parts!{FEET}2:{FEET}3*100", stale=True, array=True
    )  # fills two cells
    formulas["Mine"][2, 5] = Cell(0.0)
    formulas["Mine"][3, 5] = Cell(None, "E2+1", stale=True)
    made = pages({"Parts": PARTS})
    order = [made[-1], *(Page(title, cells) for title, cells in formulas.items()), *made[:-1]]
    data = by_ending(ending).render(order)
    package = Package(data)
    if ending == ".xlsx":
        mine = "xl/worksheets/sheet2.xml"
        text = package.read(mine).decode()
        text = text.replace('ref="E1"', 'ref="E1:E2"').replace("</f><v></v>", "</f>")
        # told in short: one formula for three cells
        shared = '<c r="G1"><f t="shared" ref="G1:G3" si="0">Parts!M2+$C$2</f></c>'
        text = text.replace("</row>", f"{shared}</row>", 1)
        for row in (2, 3):
            start = text.index(f'<row r="{row}"')
            end = text.index("</row>", start)
            text = f'{text[:end]}<c r="G{row}"><f t="shared" si="0"/></c>{text[end:]}'
        package.write(mine, text.encode())
        book = package.read("xl/workbook.xml").decode()
        lines = "".join(f'<definedName name="{name}">{place}</definedName>' for name, place in NAMES.items())
        lines += '<definedName name="here" localSheetId="1">Parts!$M$3</definedName>'
        package.write(
            "xl/workbook.xml",
            book.replace("</sheets>", f"</sheets><definedNames>{lines}</definedNames>", 1).encode(),
        )
        return package.save()
    content = package.read("content.xml").decode()
    content = content.replace('table:number-matrix-rows-spanned="1"', 'table:number-matrix-rows-spanned="2"')
    lines = "".join(
        f'<table:named-range table:name="{name}" table:base-cell-address="$Parts.$A$1" '
        f'table:cell-range-address="${place.replace("!", ".").replace(":", ":.")}"/>'
        for name, place in NAMES.items()
    )
    local = (
        '<table:named-expressions><table:named-expression table:name="here" '
        'table:base-cell-address="$Mine.$A$1" table:expression="of:=[$Parts.$M$3]"/></table:named-expressions>'
    )
    content = content.replace(
        "</office:spreadsheet>",
        f"<table:named-expressions>{lines}</table:named-expressions></office:spreadsheet>",
    )
    start = content.index('table:name="Mine"')
    end = content.index("</table:table>", start)
    package.write("content.xml", f"{content[:end]}{local}{content[end:]}".encode())
    return package.save()


def standing(tmp_path: Path, ending: str) -> Path:
    """Give a workbook worked out, every formula with its result."""
    path = tmp_path / f"job{ending}"
    path.write_bytes(makers(ending))
    outcome = run(path, recalc=True, now=NOW)
    assert outcome.ok, outcome.problems
    assert (
        cell_name(
            *next(a for a, c in there(read(path).page("Parts")).cells.items() if c.value == "Board feet")
        )
        == f"{FEET}1"
    )
    assert not [
        address
        for title in ("Mine", "Other")
        for address, cell in there(read(path).page(title)).cells.items()
        if cell.stale
    ]
    once = path.read_bytes()
    assert not run(path, recalc=True, now=NOW).written
    assert not run(path, now=NOW).written
    assert path.read_bytes() == once
    return path


def leg_changed(path: Path, length: float) -> None:
    """Type another length, as a person does; nothing else changes, no result is computed anew."""
    before = read(path)
    change = Change(patches={"Parts": {(2, 6): Cell(length)}}, columns=before.columns, notes=before.notes)
    path.write_bytes(by_ending(path.suffix).graft(path.read_bytes(), change))


def results(path: Path, title: str = "Mine") -> dict[str, Value]:
    return {cell_name(*address): cell.value for address, cell in there(read(path).page(title)).cells.items()}


def wanted(path: Path) -> dict[str, Value]:
    """Give what the maker's formulas come to, reckoned here from the answers beside the rows."""
    leg, apron = (float(str(value)) for value in column(read(path), "Parts", "Board feet")[:2])
    price = there(read(path).page("Estimate")).cells[5, 7].value
    assert isinstance(price, float)
    return {
        "A1": leg + apron, "A2": 2 * (leg + apron), "A3": leg + apron, "A4": leg + 1, "A5": leg + apron, "A6": 3 * apron,
        "A7": f"of {leg:.4f}", "A8": f"of {leg:.4f}!", "A9": leg, "A10": leg, "A11": leg, "A12": 10 * (leg + apron) + 1, "A13": leg, "A14": leg,
        "A15": 2.0, "A16": "", "A17": round(price, 2), "C1": 6.0, "C2": 2.0, "C3": "Parts!M2", "C4": 4.0, "C5": 30.0, "C6": 6.0, "C7": 0.0,
        "E1": 100 * leg, "E2": 100 * apron, "E3": 100 * apron + 1,
        **({"G1": leg + 2, "G2": apron + 2, "G3": 2.0} if path.suffix == ".xlsx" else {}),
    }  # fmt: skip


def assert_same(found: dict[str, Value], expected: dict[str, Value]) -> None:
    wrong = {}
    for name, value in expected.items():
        stands = found.get(name)
        same = (stands or "") == value if isinstance(value, str) else stands == pytest.approx(value)
        if not same:
            wrong[name] = (stands, value)
    assert wrong == {}


@FORMATS
def test_exactly_what_follows_from_a_changed_cell_loses_its_result(tmp_path: Path, ending: str) -> None:
    path = standing(tmp_path, ending)
    assert_same(results(path), wanted(path))
    leg_changed(path, 26)
    kept = path.read_bytes()
    assert run(path, now=NOW).ok
    stale = {
        (title, cell_name(*address))
        for title in ("Mine", "Other")
        for address, cell in there(read(path).page(title)).cells.items()
        if cell.stale
    }
    gone = {"A9", "A10", "A13", "A14", "A16", "A17", *DEPEND, "E1", "E3"} - {"A6", "A16"}
    if ending == ".xlsx":
        gone |= {"G1"}
    assert stale == {*(("Mine", name) for name in gone), ("Other", "B1")}
    assert "E2" not in results(path)
    assert_same({**results(path)}, {name: wanted(path)[name] for name in (*STAND, "A6", "A16")})
    assert (lint(path.read_bytes()) if ending == ".xlsx" else faults(path.read_bytes())) == []
    assert_only_those_cells_changed(kept, path.read_bytes(), stale, ending)
    once = path.read_bytes()
    assert not run(path, now=NOW).written
    assert path.read_bytes() == once


def assert_only_those_cells_changed(
    before: bytes, after: bytes, stale: set[tuple[str, str]], ending: str
) -> None:
    """Hold the tab Mine to its bytes (of .ods: to its elements), cell by cell."""
    part, cell = (
        ("xl/worksheets/sheet2.xml", r'<c r="(\w+)".*?(?:</c>|(?<=/)>)')
        if ending == ".xlsx"
        else ("content.xml", "")
    )
    old, new = Package(before).read(part).decode(), Package(after).read(part).decode()
    if ending == ".ods":
        old, new = (
            text[text.index('table:name="Mine"') : text.index('table:name="Other"')] for text in (old, new)
        )
        drop = r' office:(?:value|string-value|value-type|boolean-value)="[^"]*"| calcext:value-type="[^"]*"|<text:p>.*?</text:p>|<text:p/>'
        assert re.sub(drop, "", old).replace("></table:table-cell>", "/>") == re.sub(drop, "", new).replace(
            "></table:table-cell>", "/>"
        )
        return
    was, now = ({found[1]: found[0] for found in re.finditer(cell, text)} for text in (old, new))
    assert {name for name in was if was[name] != now[name]} == {
        name for title, name in stale if title == "Mine"
    } | {"E2"}
    assert re.sub(cell, "", old) == re.sub(cell, "", new)
    assert all(
        re.sub(r' t="\w+"|<v>.*?</v>', "", was[name]) == re.sub(r' t="\w+"|<v>.*?</v>', "", now[name])
        for name in was
    )


@FORMATS
def test_two_programs_show_the_new_results_when_they_open_the_file(
    tmp_path: Path, ending: str, office: Callable[[Path, str, Path], Path], gnumeric: Callable[..., Path]
) -> None:
    path = standing(tmp_path, ending)
    leg_changed(path, 26)
    assert run(path, now=NOW).ok
    expected = wanted(path)
    assert_same(results(office(path, ending.lstrip("."), tmp_path / "out")), expected)
    # gnumeric 1.12.55 does not understand whole columns in an .ods file, whoever wrote it
    left_out = {"A3", "A14"} if ending == ".ods" else set()
    understood = {name: value for name, value in expected.items() if name not in left_out}
    assert_same(results(gnumeric(path, anew=False)), understood)
    assert_same(
        results(office(path, ending.lstrip("."), tmp_path / "out"), "Other"),
        {"B1": 10 * float(str(expected["A1"])), "B2": 20.0},
    )


@FORMATS
def test_results_are_computed_at_once_when_libreoffice_is_asked(
    tmp_path: Path, ending: str, office: object
) -> None:
    path = standing(tmp_path, ending)
    leg_changed(path, 26)
    outcome = run(path, recalc=True, now=NOW)
    assert outcome.ok
    assert_same(results(path), wanted(path))
    once = path.read_bytes()
    assert not run(path, recalc=True, now=NOW).written
    assert not run(path, now=NOW).written
    assert path.read_bytes() == once
    if ending == ".xlsx":
        book = openpyxl.load_workbook(io.BytesIO(once), data_only=True)["Mine"]
        assert_same({name: book[name].value for name in wanted(path)}, wanted(path))


@FORMATS
def test_a_program_that_reads_stored_results_alone_sees_none_and_never_an_old_one(
    tmp_path: Path, ending: str
) -> None:
    import python_calamine

    path = standing(tmp_path, ending)
    leg_changed(path, 26)
    run(path, now=NOW)
    rows = python_calamine.load_workbook(str(path)).get_sheet_by_name("Mine").to_python()
    for name in ("A1", "A2", "A7", "A8", "E2"):
        row, number = at(name)
        assert not "".join(map(str, rows[row - 1][number - 1 : number])), name
    assert rows[0][2] == 6.0
    if ending == ".xlsx":
        book = openpyxl.load_workbook(path, data_only=True)["Mine"]
        assert [book[name].value for name in ("A1", "A7", "E2", "C1", "C4")] == [None, None, None, 6, 4]
        assert openpyxl.load_workbook(path)["Mine"]["A7"].value.startswith("=IF(Parts!M2>0")


def test_excel_is_asked_to_compute_only_when_a_result_is_missing(tmp_path: Path, office: object) -> None:
    def asked(path: Path) -> bool:
        return b"fullCalcOnLoad" in Package(path.read_bytes()).read("xl/workbook.xml")

    path = tmp_path / "plain.xlsx"
    path.write_bytes(
        by_ending(".xlsx").render([*pages({"Parts": PARTS}), Page("Mine", {(1, 1): Cell(2.0, "1+1")})])
    )
    package = Package(path.read_bytes())
    book = package.read("xl/workbook.xml")
    package.write("xl/workbook.xml", re.sub(rb'\s*fullCalcOnLoad="1"', b"", book))
    path.write_bytes(package.save())
    run(path, now=NOW)
    assert not asked(path)
    leg_changed(path, 26)
    run(path, now=NOW)
    assert not asked(path)
    before = read(path)
    own = Change(
        patches={"Mine": {(2, 1): Cell(0.0, f"Parts!{FEET}2")}}, columns=before.columns, notes=before.notes
    )
    data = by_ending(".xlsx").graft(path.read_bytes(), own)
    path.write_bytes(data)
    leg_changed(path, 30)
    run(path, recalc=True, now=NOW)
    assert not asked(path)
    leg_changed(path, 31)
    run(path, now=NOW)
    assert asked(path)


@FORMATS
def test_an_input_that_follows_from_an_answer_is_pointed_out_and_settles_when_libreoffice_is_asked(
    tmp_path: Path, ending: str, office: object
) -> None:
    path = tmp_path / f"job{ending}"
    made = pages({"Parts": PARTS, "Extras": "Item | Qty | Unit price\nWax | 1 | 0"})
    made = [
        Page(page.title, {**page.cells, (2, 3): Cell(0.0, f"ROUND(Parts!{FEET}2,2)")})
        if page.title == "Extras"
        else page
        for page in made
    ]
    path.write_bytes(by_ending(ending).render(made))
    outcome = run(path, recalc=True, now=NOW)
    assert outcome.ok
    assert [found.place for found in outcome.problems if found.code == "depends"] == ["Extras!C2"]
    feet = float(str(column(read(path), "Parts", "Board feet")[0]))
    price = round(feet + 1e-9, 2)
    assert there(read(path).page("Extras")).cells[2, 3].value == pytest.approx(price)
    assert price in [cell.value for cell in there(read(path).page("Estimate")).cells.values()]
    assert not run(path, recalc=True, now=NOW).written
    leg_changed(path, 26)
    assert run(path, now=NOW).ok
    assert there(read(path).page("Extras")).cells[2, 3].stale
    assert any(cell.stale for cell in there(read(path).page("Estimate")).cells.values())
    outcome = run(path, now=NOW)
    assert not outcome.ok  # and says that the result is missing
    assert run(path, recalc=True, now=NOW).ok
    assert there(read(path).page("Extras")).cells[2, 3].value != pytest.approx(price)
    assert not run(path, now=NOW).written
