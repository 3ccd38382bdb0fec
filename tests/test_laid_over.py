"""What the maker lays over a tab of ours stays on it: logo, photo, drawing, shape, box of text."""

from __future__ import annotations

import io
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from lxml import etree
from openpyxl.drawing.image import Image

from sheetkit.book.formats import by_ending
from sheetkit.book.ods.laid import laid_on
from sheetkit.book.ods.opening import CONTENT, opened
from sheetkit.book.office import convert
from sheetkit.book.package import Package
from sheetkit.book.pictures import Ours
from sheetkit.book.workbook import Change
from sheetkit.book.xlsx.book import Book
from sheetkit.jobs.client import client_copy
from sheetkit.jobs.run import run
from sheetkit.page import Address, Cell
from tests.book.laying import (
    LOGO,
    PHOTO,
    absolute,
    drawing_of,
    drawn_ods,
    drawn_xlsx,
    frame,
    one_cell,
    picture,
    shape,
    text_box,
    two_cells,
)
from tests.book.lint_xlsx import lint
from tests.jobs import NOW, read, write
from tests.money.money_jobs import TABLES
from tests.there import there

FORMATS = pytest.mark.parametrize("ending", [".xlsx", ".ods"])
MEDIA = {"logo": LOGO, "photo": PHOTO}
THINGS = (
    two_cells(picture("logo", "Logo"), 1, 4, 3)
    + one_cell(picture("photo", "Photo", 3), 150, 1)
    + absolute(text_box("made by hand"), 900)
)
ENTRIES = {"Pictures/logo.png": LOGO, "Pictures/photo.png": PHOTO}
CELLS = {
    (1, 4): frame("Pictures/logo.png", end="Quote.D3"),
    (150, 1): frame("Pictures/photo.png", name="photo"),
    (6, 2): shape("in a cell"),
}


def job(path: Path, price: str = "9.50") -> Path:
    """Write a job with its money, and run it."""
    tables = {**TABLES, "Prices": TABLES["Prices"].replace("9.50", price)}
    assert run(write(path, tables), now=NOW).ok
    return path


def laid(path: Path) -> None:
    """Lay a logo, a photo far below and a box of text over Quote."""
    data = path.read_bytes()
    if path.suffix == ".xlsx":
        path.write_bytes(drawn_xlsx(data, "Quote", THINGS, MEDIA))
    else:
        path.write_bytes(drawn_ods(data, "Quote", ENTRIES, shape("made by hand"), CELLS))


def patch(path: Path, title: str, cells: dict[Address, Cell]) -> None:
    """Type into a tab."""
    before = read(path)
    change = Change(patches={title: cells}, columns=before.columns, notes=before.notes)
    path.write_bytes(by_ending(path.suffix).graft(path.read_bytes(), change))


def dearer(path: Path) -> None:
    """Let the oak cost more."""
    prices = there(read(path).page("Prices"))
    at = next(at for at, cell in prices.cells.items() if cell.value == 9.5)
    patch(path, "Prices", {at: Cell(19.5)})


def lying(path: Path, title: str = "Quote", key: str = "quote") -> tuple[Any, ...]:
    """Give what the maker laid over a tab, to the byte for .xlsx, as XML for .ods, with the pictures."""
    data = path.read_bytes()
    if path.suffix == ".xlsx":
        return drawing_of(data, title)
    package = opened(data)
    body = etree.fromstring(package.read(CONTENT))
    table = next(each for each in body.iter("{*}table") if title in each.attrib.values())
    found = laid_on(table, package, Ours(key, read(path).notes))
    return (
        [etree.tostring(each, method="c14n") for each in found.shapes],
        {at: [etree.tostring(each, method="c14n") for each in things] for at, things in found.cells.items()},
        {name: package.read(name) for name in package.names() if name in ENTRIES},
        [style for style in (b"gr9", b"P9") if style in package.read(CONTENT)],
    )


def total(path: Path) -> float:
    """Give the greatest amount on Quote."""
    quote = there(read(path).page("Quote"))
    return max(cell.value for cell in quote.cells.values() if isinstance(cell.value, float))


@FORMATS
def test_pictures_and_shapes_on_quote_stay_while_the_figures_beneath_change(
    tmp_path: Path, ending: str
) -> None:
    path = job(tmp_path / f"job{ending}")
    laid(path)
    before, cost = lying(path), total(path)
    if ending == ".xlsx":
        assert set(before[1].values()) >= {LOGO, PHOTO}
    else:
        assert len(before[0]) == 1
        assert before[1].keys() == CELLS.keys()
    dearer(path)
    outcome = run(path, now=NOW)
    assert outcome.written
    assert "kept-copy" not in [found.code for found in outcome.problems]
    assert lying(path) == before
    assert total(path) > cost
    assert [page.title for page in read(path).pages if "yours" in page.title] == []
    once = path.read_bytes()
    assert not run(path, now=NOW).written
    assert path.read_bytes() == once
    if ending == ".xlsx":
        assert lint(once) == []


@FORMATS
def test_what_lies_below_the_block_prints_with_it(tmp_path: Path, ending: str) -> None:
    path = job(tmp_path / f"job{ending}")
    area = printed(path)
    laid(path)
    run(path, now=NOW)
    assert area < 150 <= printed(path)


def printed(path: Path) -> int:
    """Give the last row of Quote that prints."""
    data = path.read_bytes()
    if path.suffix == ".xlsx":
        book = openpyxl.load_workbook(io.BytesIO(data))
        return int(str(book["Quote"].print_area).rpartition("$")[2])
    text = Package(data).read(CONTENT).decode().partition('table:name="Quote"')[2]
    return int(text.partition('table:print-ranges="')[2].partition('"')[0].rpartition("$")[2])


@FORMATS
def test_what_the_maker_typed_keeps_the_old_tab_and_the_logo_lies_on_both(
    tmp_path: Path, ending: str
) -> None:
    path = job(tmp_path / f"job{ending}")
    laid(path)
    before = lying(path)
    patch(path, "Quote", {(60, 1): Cell("call her first")})
    assert "kept-copy" in [found.code for found in run(path, now=NOW).problems]
    after = read(path)
    assert there(after.page("Quote (yours)")).cells[60, 1].value == "call her first"
    assert (60, 1) not in there(after.page("Quote")).cells
    mine, ours = lying(path, "Quote (yours)"), lying(path)
    if ending == ".xlsx":
        assert mine == before
        assert list(ours[1].values()) == list(
            before[1].values()
        )  # a drawing of its own, the same to the byte
        assert ours[0] != before[0]
        assert lint(path.read_bytes()) == []
    else:
        assert ours == before
        assert len(mine[0]) == len(before[0])
        assert mine[1].keys() == before[1].keys()
    once = path.read_bytes()
    assert not run(path, now=NOW).written
    assert path.read_bytes() == once


@FORMATS
def test_on_a_tab_with_pictures_of_ours_theirs_stay_and_ours_are_renewed(tmp_path: Path, ending: str) -> None:
    boards = "Board | Species | Stock | Width | Length\nA | White oak | 4/4 | 7 | 96"
    path = write(tmp_path / f"job{ending}", {**TABLES, "Boards": boards})
    assert run(path, now=NOW).ok
    tab = there(read(path).owned.get("boards") or read(path).owned.get("layout"))
    plain = pictures(path)
    if ending == ".xlsx":
        path.write_bytes(
            drawn_xlsx(path.read_bytes(), tab, one_cell(picture("logo", "Logo", 30), 2, 3), {"logo": LOGO})
        )
    else:
        cells = {(2, 3): frame("Pictures/logo.png")}
        path.write_bytes(drawn_ods(path.read_bytes(), tab, ENTRIES, "", cells))
    patch(path, "Boards", {(2, 5): Cell(84.0)})
    assert run(path, now=NOW).written
    after = pictures(path)
    assert LOGO in after
    assert len(after) == len(plain) + 1
    assert set(after) - {LOGO} != set(plain)  # another board, another picture
    once = path.read_bytes()
    assert not run(path, now=NOW).written
    assert path.read_bytes() == once
    if ending == ".xlsx":
        assert lint(once) == []


def pictures(path: Path) -> list[bytes]:
    """Give every picture that a file shows somewhere, once."""
    package = Package(path.read_bytes(), case_matters=True)
    names = [name for name in package.names() if name.endswith(".png")]
    if path.suffix == ".ods":
        content = package.read(CONTENT)
        names = [name for name in names if name.encode() in content]
    else:
        names = [name for name in names if name in Book(path.read_bytes()).parts.reach()]
    return [package.read(name) for name in names]


@FORMATS
def test_a_tab_that_goes_leaves_what_the_maker_laid_over_it(tmp_path: Path, ending: str) -> None:
    boards = "Board | Species | Stock | Width | Length\nA | White oak | 4/4 | 7 | 96"
    path = write(tmp_path / f"job{ending}", {**TABLES, "Boards": boards})
    assert run(path, now=NOW).ok
    tab = there(read(path).owned.get("boards") or read(path).owned.get("layout"))
    if ending == ".xlsx":
        path.write_bytes(
            drawn_xlsx(path.read_bytes(), tab, one_cell(picture("logo", "Logo", 30), 2, 3), {"logo": LOGO})
        )
    else:
        path.write_bytes(drawn_ods(path.read_bytes(), tab, ENTRIES, "", {(2, 3): frame("Pictures/logo.png")}))
    patch(path, "Boards", {(2, column): Cell() for column in range(1, 6)})
    assert run(path, now=NOW).written
    assert there(read(path).page(f"{tab} (yours)"))
    assert LOGO in pictures(path)


@FORMATS
def test_the_clients_copy_takes_the_logo_along_and_leaves_what_lies_aside(
    tmp_path: Path, ending: str
) -> None:
    path = job(tmp_path / f"job{ending}")
    laid(path)
    data = path.read_bytes()
    if ending == ".xlsx":
        aside = two_cells(text_box("ask for more", 8), 4, 11, 6)
        path.write_bytes(drawn_xlsx(data, "Quote", aside, {}))
    else:
        path.write_bytes(drawn_ods(data, "Quote", {}, "", {(4, 11): shape("ask for more")}))
    run(path, now=NOW)
    copy = client_copy(path.read_bytes())
    assert [line for line in copy.left_out if "Quote!K4" in line]
    made = tmp_path / f"copy{ending}"
    made.write_bytes(copy.data)
    held = Package(copy.data, case_matters=True)
    everything = b"".join(held.read(name) for name in held.names())
    assert b"made by hand" in everything
    assert b"ask for more" not in everything
    assert {LOGO, PHOTO} <= set(pictures(made))
    if ending == ".xlsx":
        assert lint(copy.data) == []
    else:
        for name in (b"gr9", b"Mine_20_own", b"My_20_dash"):
            assert name in everything
    assert client_copy(path.read_bytes()).data == copy.data


def test_a_picture_that_openpyxl_laid_there_stays(tmp_path: Path) -> None:
    path = job(tmp_path / "job.xlsx")
    book = openpyxl.load_workbook(path)
    book["Quote"].add_image(Image(io.BytesIO(PHOTO)), "D2")
    book.save(path)
    run(path, now=NOW)
    assert PHOTO in drawing_of(path.read_bytes(), "Quote")[1].values()
    once = path.read_bytes()
    assert not run(path, now=NOW).written
    assert path.read_bytes() == once


@FORMATS
def test_libreoffice_prints_the_logo_on_the_quote_after_a_run(tmp_path: Path, ending: str) -> None:
    path = job(tmp_path / f"job{ending}")
    laid(path)
    dearer(path)
    run(path, now=NOW)
    made = tmp_path / f"copy{ending}"
    made.write_bytes(client_copy(path.read_bytes()).data)
    for file in (path, made):
        drawn = convert(file, "pdf", tmp_path).read_bytes()
        assert drawn.count(b"/Subtype/Image") >= 2, file


BOARDS = "Board | Species | Stock | Width | Length\nA | White oak | 4/4 | 7 | 96"


@pytest.mark.parametrize(
    ("ending", "saved"), [(".xlsx", ".xlsx"), (".ods", ".ods"), (".xlsx", ".ods"), (".ods", ".xlsx")]
)
def test_after_libreoffice_saved_it_the_logo_stays_and_no_picture_of_ours_stands_twice(
    tmp_path: Path, ending: str, saved: str
) -> None:
    path = write(tmp_path / f"job{ending}", {**TABLES, "Boards": BOARDS})
    assert run(path, now=NOW).ok
    laid(path)
    before = pictures(path)
    assert LOGO in before
    folder = tmp_path / "saved"
    folder.mkdir()
    path = convert(path, saved.removeprefix("."), folder)
    run(path, now=NOW)
    after = pictures(path)
    assert {LOGO, PHOTO} <= set(after)
    assert len(after) == len(set(before))
    assert shown(path) == len(before) - 2, "pictures of ours, one each"
    assert [page.title for page in read(path).pages if "yours" in page.title] == []
    once = path.read_bytes()
    assert not run(path, now=NOW).written
    assert path.read_bytes() == once


def shown(path: Path) -> int:
    """Count the pictures of ours that a file shows, by the names that we give them."""
    package = Package(path.read_bytes(), case_matters=True)
    parts = [package.read(name) for name in package.names() if name.endswith(".xml")]
    return sum(part.count(b'name="sheetkit ') for part in parts)


@FORMATS
def test_pictures_of_an_earlier_version_which_bear_no_name_are_replaced(tmp_path: Path, ending: str) -> None:
    old = Path(__file__).parent / "old_words" / f"night-stand{ending}"
    path = tmp_path / old.name
    path.write_bytes(old.read_bytes())
    assert shown(path) == 0
    before = pictures(path)
    assert run(path, now=NOW).ok
    assert shown(path) == len(pictures(path)) >= len(before) > 0


VML = (
    "<xml xmlns:v='urn:schemas-microsoft-com:vml' xmlns:o='urn:schemas-microsoft-com:office:office'>"
    "<v:shape id='LH' style='width:60pt;height:30pt'><v:imagedata o:relid='{}' o:title='logo'/></v:shape></xml>"
)


def test_a_logo_in_the_header_of_the_page_set_up_stays_and_goes_to_the_client(tmp_path: Path) -> None:
    path = job(tmp_path / "job.xlsx")
    path.write_bytes(with_header(path.read_bytes()))
    dearer(path)
    run(path, now=NOW)
    assert [page.title for page in read(path).pages if "yours" in page.title] == []
    once = path.read_bytes()
    assert not run(path, now=NOW).written
    for data in (once, client_copy(once).data):
        book = Book(data)
        sheet = next(each for each in book.sheets() if each.get("name") == "Quote")
        tab = there(book.link_of(sheet)).target
        vml = next(each for each in book.parts.relations(tab) if each.kind == "vmlDrawing")
        image = next(each for each in book.parts.relations(vml.target) if each.kind == "image")
        assert book.parts.read(image.target) == LOGO
        said = book.parts.read(tab)
        assert b"&amp;L&amp;G" in said
        assert f'legacyDrawingHF r:id="{vml.id}"'.encode() in said
        assert lint(data) == []


def with_header(data: bytes) -> bytes:
    """Set a logo into the header of Quote."""
    book = Book(data)
    parts = book.parts
    sheet = next(each for each in book.sheets() if each.get("name") == "Quote")
    tab = there(book.link_of(sheet)).target
    vml, office = (
        "xl/drawings/vmlDrawing1.vml",
        "http://schemas.openxmlformats.org/officeDocument/2006/relationships",
    )
    parts.write("xl/media/header.png", LOGO, "image/png")
    parts.write(vml, b"<xml/>", "application/vnd.openxmlformats-officedocument.vmlDrawing")
    parts.write(vml, VML.format(parts.relate(vml, f"{office}/image", "xl/media/header.png")).encode())
    link = parts.relate(tab, f"{office}/vmlDrawing", vml)
    content = parts.read(tab).decode()
    header = "<headerFooter><oddHeader>&amp;L&amp;G</oddHeader></headerFooter>"
    content = content.replace("</worksheet>", f'{header}<legacyDrawingHF r:id="{link}"/></worksheet>')
    parts.write(tab, content.encode())
    return parts.save()


def test_a_picture_under_the_header_of_an_ods_stays_and_goes_to_the_client(tmp_path: Path) -> None:
    path = job(tmp_path / "job.ods")
    package = Package(path.read_bytes(), case_matters=True)
    content, styles = (package.read(name).decode() for name in (CONTENT, "styles.xml"))
    label = content.partition('table:name="Quote"')[2].partition('table:style-name="')[2].partition('"')[0]
    master = content.partition(f'style:name="{label}"')[0].rpartition("<")[2]
    master += content.partition(f'style:name="{label}"')[2].partition(">")[0]
    master = master.partition('style:master-page-name="')[2].partition('"')[0]
    layout = (
        styles.partition(f'style:name="{master}"')[2]
        .partition('style:page-layout-name="')[2]
        .partition('"')[0]
    )
    start = styles.index("<style:header-footer-properties", styles.index(f'style:name="{layout}"'))
    end = styles.index("/>", start)
    picture = (
        '<style:background-image xmlns:xlink="http://www.w3.org/1999/xlink" xlink:href="Pictures/logo.png" '
        'xlink:type="simple" style:repeat="no-repeat"/>'
    )
    styles = f"{styles[:end]}>{picture}</style:header-footer-properties>{styles[end + 2 :]}"
    package.write("styles.xml", styles.encode())
    package.write("Pictures/logo.png", LOGO)
    manifest = package.read("META-INF/manifest.xml").decode()
    line = '<manifest:file-entry manifest:full-path="Pictures/logo.png" manifest:media-type="image/png"/>'
    manifest = manifest.replace("</manifest:manifest>", f"{line}</manifest:manifest>")
    package.write("META-INF/manifest.xml", manifest.encode())
    path.write_bytes(package.save())
    dearer(path)
    assert run(path, now=NOW).written
    once = path.read_bytes()
    assert not run(path, now=NOW).written
    assert path.read_bytes() == once
    for data in (once, client_copy(once).data):
        held = Package(data, case_matters=True)
        assert held.read("Pictures/logo.png") == LOGO
        assert b'xlink:href="Pictures/logo.png"' in held.read("styles.xml")
