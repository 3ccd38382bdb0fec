"""Workbooks written by openpyxl and odfpy, and read by openpyxl and, .ods, from the XML."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from typing import Any
from xml.etree import ElementTree
from zipfile import ZipFile

from odf import opendocument, table, text
from openpyxl import Workbook, load_workbook

Line = list[Any]
_NAMES = "{urn:oasis:names:tc:opendocument:xmlns:%s:1.0}"
TABLE, OFFICE, TEXT = (_NAMES % name for name in ("table", "office", "text"))
PERCENT = ("Waste", "Overhead", "Profit", "Tax", "Deposit")


def typed(heading: str, value: Any) -> Any:
    """A value as a person types it: a size as a number, or, when it is odd, as text with its fraction."""
    if isinstance(value, tuple):
        ends = [written(each) for each in value]
        return ends[0] if value[0] == value[-1] else " + ".join(ends)
    if isinstance(value, Fraction):
        return written(value) if value.numerator % 3 == 0 and value.denominator > 1 else float(value)
    if heading in PERCENT and value is not None:
        return f"{Decimal(value) * 100:f} %"
    return float(value) if isinstance(value, Decimal) else value


def written(size: Fraction) -> str:
    """A size as text: 3 1/4, or 82.5 where it is no fraction of an inch."""
    if size.denominator & (size.denominator - 1) or size.denominator > 64:
        return f"{float(size):g}"
    whole, rest = divmod(size, 1)
    return f"{whole} {rest}" if whole and rest else f"{rest or whole}"


def sheets(job: Mapping[str, Any]) -> dict[str, list[Line]]:
    unit = "mm" if job["Job"]["Units"] == "mm" else "inch"
    labels = {**job["Job"], "Units": unit}
    step = labels["Round to"]
    labels["Round to"] = f"{float(step):g} mm" if unit == "mm" else str(step)
    found: dict[str, list[Line]] = {
        "Job": [[label, typed(label, value)] for label, value in labels.items() if value is not None]
    }
    for title, rows in job.items():
        if title in ("Job", "Allowances") or not rows:
            continue
        headings = list(dict.fromkeys(heading for row in rows for heading in row))
        found[title] = [
            list(headings),
            *([typed(heading, row.get(heading)) for heading in headings] for row in rows),
        ]
    if job.get("Allowances"):
        own = job["Allowances"]

        def shown(value: str) -> Any:
            return (
                value
                if value == "beyond"
                else typed("", Fraction(value))
                if unit == "in"
                else float(Fraction(value))
            )

        lines: list[Line] = [["Up to length", "Thickness", "Width", "Length"]]
        lines += [[shown(each) for each in row] for row in own["classes"]]
        lines.append([])
        lines += [
            [name, value if name == "Stock measures as" else shown(value)]
            for name, value in own["settings"].items()
        ]
        found["Allowances"] = lines
    return found


def write(path: Path, job: Mapping[str, Any]) -> None:
    (_write_ods if path.suffix == ".ods" else _write_xlsx)(path, sheets(job))


def _write_xlsx(path: Path, tabs: Mapping[str, Sequence[Line]]) -> None:
    book = Workbook()
    assert book.active is not None
    book.remove(book.active)
    for title, lines in tabs.items():
        sheet = book.create_sheet(title)
        for line in lines:
            sheet.append(line)
    book.save(path)


def _write_ods(path: Path, tabs: Mapping[str, Sequence[Line]]) -> None:
    document = opendocument.OpenDocumentSpreadsheet()
    for title, lines in tabs.items():
        sheet = table.Table(name=title)
        for line in lines:
            row = table.TableRow()
            for value in line:
                if value is None:
                    cell = table.TableCell()
                elif isinstance(value, str):
                    cell = table.TableCell(valuetype="string")
                    cell.addElement(text.P(text=value))
                else:
                    cell = table.TableCell(valuetype="float", value=str(value))
                row.addElement(cell)
            sheet.addElement(row)
        document.spreadsheet.addElement(sheet)
    document.save(path)


def read(path: Path) -> dict[str, list[Line]]:
    """What stands in the cells, tab by tab."""
    if path.suffix == ".ods":
        return _read_ods(path)
    book = load_workbook(path, data_only=True)
    return {
        sheet.title: [list(line) for line in sheet.iter_rows(values_only=True)] for sheet in book.worksheets
    }


def _read_ods(path: Path) -> dict[str, list[Line]]:
    """As OpenDocument 1.3, part 3, 9.1 has it; odfpy takes longer to read a workbook than all else together."""
    with ZipFile(path) as package:
        root = ElementTree.fromstring(package.read("content.xml"))
    found = {}
    for sheet in root.iter(f"{TABLE}table"):
        lines = []
        for row in sheet.iter(f"{TABLE}table-row"):
            line: Line = []
            for cell in row:
                number = cell.get(f"{OFFICE}value")
                words = "\n".join("".join(each.itertext()) for each in cell.iter(f"{TEXT}p")) or None
                line += [words if number is None else float(number)] * min(
                    int(cell.get(f"{TABLE}number-columns-repeated", "1")), 40
                )
            lines += [line] * min(int(row.get(f"{TABLE}number-rows-repeated", "1")), 20)
        found[sheet.get(f"{TABLE}name", "")] = lines
    return found


def below(lines: Sequence[Line], heading: str, count: int) -> Line:
    """The cells below a heading."""
    row, column = next((number, line.index(heading)) for number, line in enumerate(lines) if heading in line)
    return [
        line[column] if column < len(line) else None
        for line in [*lines, *[[]] * count][row + 1 : row + 1 + count]
    ]
