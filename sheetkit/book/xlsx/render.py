"""A whole new .xlsx workbook from pages; the same pages always give the same bytes."""

from __future__ import annotations

import io
import re
import warnings
from collections.abc import Sequence
from dataclasses import replace
from datetime import date, datetime
from math import isfinite
from typing import TYPE_CHECKING, Any

from sheetkit.book.days import serial
from sheetkit.book.markup import written
from sheetkit.book.xlsx.book import Book
from sheetkit.book.xlsx.finish import EMPTY_RESULT, finished
from sheetkit.book.xlsx.names import Marks, write_marks
from sheetkit.book.xlsx.strings import escaped
from sheetkit.page import (
    LONGEST_TEXT,
    PLAIN,
    Cell,
    CellError,
    Choice,
    Fold,
    Format,
    Page,
    Picture,
    PrintSetup,
    Style,
    reference,
)

if TYPE_CHECKING:
    from xlsxwriter.format import Format as Look
    from xlsxwriter.workbook import Workbook
    from xlsxwriter.worksheet import Worksheet

FONT = "Arial"
LONGEST_LIST = 255
MOST_LINKS = 65_000
"""A tab may hold 65,530; what stands in further cells stays, without the link."""
_BORN = datetime(2000, 1, 1)
_READERS_DATE = 14
"""Number of the date that each program shows in the order of its country."""
_PAPERS = {"letter": 1, "a4": 9}


def render(pages: Sequence[Page]) -> bytes:
    """Return a new workbook.

    Parameters
    ----------
    pages
        Its tabs, the first one shown on opening. A page with a key is marked as sheetkit's own.

    Returns
    -------
    bytes
        The .xlsx file.

    Raises
    ------
    ValueError
        For what the file format cannot hold: no page at all, a text over 32,767 characters, a list of
        words over 255.
    """
    if not pages:
        raise ValueError("a workbook needs a tab")
    from xlsxwriter import Workbook

    out = io.BytesIO()
    options = {"in_memory": True, "default_format_properties": {"font_name": FONT, "font_size": PLAIN.size}}
    workbook = Workbook(out, options)
    workbook.set_properties({"created": _BORN})
    looks = _Looks(workbook)
    with warnings.catch_warnings():
        warnings.simplefilter("error", UserWarning)
        try:
            for page in pages:
                _write_page(workbook.add_worksheet(page.title), page, looks)
            for page in pages:
                for name, address in page.names.items():
                    _done(workbook.define_name(name, f"={reference(page.title, *address)}"), name)
            workbook.close()
            for sheet in workbook.worksheets():
                # The workbook and its sheets hold one another, and so all cells, for good.
                sheet.table.clear()
        except UserWarning as warning:
            raise ValueError(str(warning)) from warning
    return _marked(finished(out.getvalue(), [page.grown for page in pages]), pages)


class _Looks:
    """The formats of the new workbook, one for each style."""

    def __init__(self, workbook: Workbook) -> None:
        self._workbook = workbook
        self._known: dict[Style, Look] = {}

    def __getitem__(self, style: Style) -> Look:
        known = self._known.get(style)
        if known is None:
            known = self._known[style] = self._workbook.add_format(_properties(style))
        return known


def _properties(style: Style) -> dict[str, Any]:
    wanted: dict[str, Any] = {
        "font_name": FONT,
        "font_size": style.size,
        "font_color": f"#{style.color}",
        "num_format": _READERS_DATE if style.format is Format.READERS_DATE else style.format.value,
        "bold": style.bold,
        "italic": style.italic,
        "text_wrap": style.wrap,
        "locked": style.locked,
    }
    if style.fill:
        wanted["bg_color"] = f"#{style.fill}"
        wanted["pattern"] = 1
    if style.align == "inset":
        wanted |= {"align": "left", "indent": 1}
    elif style.align:
        wanted["align"] = style.align
    if style.middle:
        wanted["valign"] = "vcenter"
    elif style.wrap:
        wanted["valign"] = "top"
    wanted.update({"box": {"border": 1}, "under": {"bottom": 1}, "heavy": {"bottom": 5}}.get(style.line, {}))
    return wanted


def _write_page(sheet: Worksheet, page: Page, looks: _Looks) -> None:
    _write_lines(sheet, page, looks)
    if page.color:
        sheet.set_tab_color(f"#{page.color}")
    for cells in page.merged:
        if cells[:2] != cells[2:]:
            corner = page.cells.get((cells.first_row, cells.first_column), Cell())
            top, left, bottom, right = (number - 1 for number in cells)
            sheet.merge_range(top, left, bottom, right, "", looks[corner.style])
    # Row by row, as the file lists them: the order decides how texts are numbered.
    links = 0
    for row, column in sorted(page.cells):
        cell = page.cells[row, column]
        links += cell.link is not None
        shown = cell if links <= MOST_LINKS else cell._replace(link=None)
        _write_cell(sheet, row - 1, column - 1, shown, looks)
    for choice in page.choices:
        _write_choice(sheet, choice)
    for picture in page.pictures:
        _write_picture(sheet, picture)
    if page.freeze is not None and page.freeze != (0, 0):
        sheet.freeze_panes(*page.freeze)
    _write_print_setup(sheet, page.print)


def _write_lines(sheet: Worksheet, page: Page, looks: _Looks) -> None:
    """Write widths, heights and folds."""
    folded = _folds(page.folded_columns)
    for column in sorted({*page.columns, *folded}):
        look = page.columns.get(column)
        style = None if look is None or look.style == PLAIN else looks[look.style]
        width = look and look.width
        _done(sheet.set_column(column - 1, column - 1, width, style, folded.get(column)), page.title)
    folded = _folds(page.folded_rows)
    for row in sorted({*page.heights, *folded}):
        _done(sheet.set_row(row - 1, page.heights.get(row), None, folded.get(row)), page.title)


def _folds(folds: Sequence[Fold]) -> dict[int, dict[str, Any]]:
    """Return what the rows or columns within folds bear, and the one after each."""
    found: dict[int, dict[str, Any]] = {}
    for fold in folds:
        found |= {number: {"level": 1, "hidden": True} for number in range(fold.first, fold.last + 1)}
        found[fold.last + 1] = {"collapsed": True}
    return found


def _write_cell(sheet: Worksheet, row: int, column: int, cell: Cell, looks: _Looks) -> None:
    value, formula, style, link, stale, array = cell
    if isinstance(value, float) and not isfinite(value):
        raise ValueError(f"not a number that a cell can hold: {value}")
    if isinstance(value, date) and style.format is Format.PLAIN:
        style = replace(style, format=Format.DATE)
    look = looks[style]
    if link is not None:
        _done(sheet.write_url(row, column, f"internal:{link}", look, ""), link)
    if formula is not None:
        result = _result(None if stale else value)
        code = _write_formula(sheet, (row, column), formula, look, result, array=array)
    elif value is None or value == "":
        code = sheet.write_blank(row, column, None, look)
    elif isinstance(value, CellError):
        code = sheet.write_formula(row, column, value.text, look, value.text)
    elif isinstance(value, str):
        code = sheet.write_string(row, column, _text(value), look)
    elif isinstance(value, bool):
        code = sheet.write_boolean(row, column, value, look)
    elif isinstance(value, date):
        code = sheet.write_number(row, column, serial(value), look)
    else:
        code = sheet.write_number(row, column, value, look)
    _done(code, str(value)[:40])


def _write_formula(
    sheet: Worksheet, at: tuple[int, int], formula: str, look: Look, result: object, *, array: bool
) -> int:
    if array:
        return int(sheet.write_array_formula(*at, *at, formula, look, result))
    return int(sheet.write_formula(*at, formula, look, result))


def _text(value: object) -> str:
    """Return text in such a form that the writer takes it for nothing but text."""
    text = value if isinstance(value, str) else ""
    if len(text) > LONGEST_TEXT:
        raise ValueError(f"a cell holds at most {LONGEST_TEXT:,} characters")
    if text.startswith("<r>") and text.endswith("</r>"):
        safe = escaped(text).replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
        return f'<r><t xml:space="preserve">{safe}</t></r>'
    return text


def _result(value: object) -> object:
    """Return a formula's stored result as the writer wants it; empty is how it writes none."""
    if value is None:
        return ""
    if isinstance(value, CellError):
        return value.text
    if isinstance(value, str):
        return escaped(value) if value else EMPTY_RESULT
    return serial(value) if isinstance(value, date) else value


def _write_choice(sheet: Worksheet, choice: Choice) -> None:
    options: dict[str, Any] = {"validate": "any", "show_error": choice.strict}
    if choice.words:
        if any("," in word for word in choice.words) or len(",".join(choice.words)) > LONGEST_LIST:
            raise ValueError("a list of words with commas, or over 255 characters, needs a block of cells")
        doubled = [word.replace('"', '""') for word in choice.words]
        options.update(validate="list", source=doubled)
    elif choice.source:
        options.update(validate="list", source=f"={choice.source}")
    elif not choice.hint:
        return
    if choice.hint:
        options["input_message"] = choice.hint[:LONGEST_LIST]
    top, left, bottom, right = (number - 1 for number in choice.where)
    _done(sheet.data_validation(top, left, bottom, right, options), "drop-down")


def _write_picture(sheet: Worksheet, picture: Picture) -> None:
    from xlsxwriter.image import Image

    image = Image(io.BytesIO(picture.png))
    options = {
        "image_data": io.BytesIO(picture.png),
        "x_scale": picture.width / 72 * image.x_dpi / image.width,
        "y_scale": picture.height / 72 * image.y_dpi / image.height,
        "description": picture.alt,
        "object_position": 2,
    }
    _done(sheet.insert_image(picture.row - 1, picture.column - 1, "picture.png", options), picture.alt)


def _write_print_setup(sheet: Worksheet, setup: PrintSetup) -> None:
    sheet.set_paper(_PAPERS[setup.paper])
    if setup.landscape:
        sheet.set_landscape()
    if setup.fit_width:
        sheet.fit_to_pages(1, int(setup.one_page))
    sheet.set_margins(left=0.5, right=0.5, top=0.75, bottom=0.75)
    if setup.repeat_rows is not None:
        sheet.repeat_rows(setup.repeat_rows[0] - 1, setup.repeat_rows[1] - 1)
    if setup.header:
        sheet.set_header(f"&C{_running(setup.header)}")
    if setup.footer:
        sheet.set_footer(f"&C{_running(setup.footer)}")
    if setup.breaks:
        sheet.set_h_pagebreaks(list(setup.breaks))
    if setup.area is not None:
        top, left, bottom, right = (number - 1 for number in setup.area)
        sheet.print_area(top, left, bottom, right)


def _running(text: str) -> str:
    """Return a header or footer in which only the codes we know are codes."""
    return re.sub(r"&&|&(?![PNA](?![a-z]))", "&&", text)[:250]


def _done(code: int | None, what: str) -> None:
    if code is not None and code < 0:
        raise ValueError(f"cannot be written: {what}")


def _marked(data: bytes, pages: Sequence[Page]) -> bytes:
    """Add the marks by which a later run knows its own tabs."""
    tabs = {page.key: page.title for page in pages if page.key}
    if not tabs:
        return data
    book = Book(data)
    write_marks(book, Marks(tabs=tabs))
    book.parts.write(book.main, written(book.root))
    return book.parts.save()
