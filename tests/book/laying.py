"""A maker laying pictures and shapes over a tab, part by part, as spreadsheet programs store them."""

from __future__ import annotations

import re

from sheetkit.book.ods.opening import CONTENT
from sheetkit.book.package import Package
from sheetkit.book.xlsx.book import Book
from tests.book.makers_xlsx import png
from tests.there import there

XDR = "http://schemas.openxmlformats.org/drawingml/2006/spreadsheetDrawing"
A = "http://schemas.openxmlformats.org/drawingml/2006/main"
R = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
LOGO, PHOTO = png(60, 30, 10), png(40, 40, 250)
_SPACE = "<a:prstGeom prst='rect'><a:avLst/></a:prstGeom>"


def picture(link: str, name: str, number: int = 2) -> str:
    """Give a picture of a drawing."""
    return (
        f"<xdr:pic><xdr:nvPicPr><xdr:cNvPr id='{number}' name='{name}' descr='mine'/><xdr:cNvPicPr/></xdr:nvPicPr>"
        f"<xdr:blipFill><a:blip r:embed='{link}'/><a:stretch><a:fillRect/></a:stretch></xdr:blipFill>"
        f"<xdr:spPr><a:xfrm><a:off x='0' y='0'/><a:ext cx='762000' cy='381000'/></a:xfrm>{_SPACE}</xdr:spPr></xdr:pic>"
    )


def text_box(words: str, number: int = 5) -> str:
    """Give a box of text of a drawing."""
    return (
        f"<xdr:sp macro='' textlink=''><xdr:nvSpPr><xdr:cNvPr id='{number}' name='Box {number}'/><xdr:cNvSpPr txBox='1'/>"
        f"</xdr:nvSpPr><xdr:spPr><a:xfrm><a:off x='0' y='0'/><a:ext cx='762000' cy='381000'/></a:xfrm>{_SPACE}</xdr:spPr>"
        f"<xdr:txBody><a:bodyPr/><a:p><a:r><a:t>{words}</a:t></a:r></a:p></xdr:txBody></xdr:sp>"
    )


def _corner(tag: str, row: int, column: int) -> str:
    return (
        f"<xdr:{tag}><xdr:col>{column - 1}</xdr:col><xdr:colOff>0</xdr:colOff>"
        f"<xdr:row>{row - 1}</xdr:row><xdr:rowOff>0</xdr:rowOff></xdr:{tag}>"
    )


def two_cells(thing: str, row: int, column: int, last: int) -> str:
    """Give something held by two cells."""
    corners = _corner("from", row, column) + _corner("to", last, column + 1)
    return f"<xdr:twoCellAnchor>{corners}{thing}<xdr:clientData/></xdr:twoCellAnchor>"


def one_cell(thing: str, row: int, column: int) -> str:
    """Give something held by one cell."""
    size = "<xdr:ext cx='762000' cy='762000'/>"
    return (
        f"<xdr:oneCellAnchor>{_corner('from', row, column)}{size}{thing}<xdr:clientData/></xdr:oneCellAnchor>"
    )


def absolute(thing: str, down: int) -> str:
    """Give something held by the tab itself, so many points down."""
    place = f"<xdr:pos x='1270000' y='{down * 12700}'/><xdr:ext cx='762000' cy='381000'/>"
    return f"<xdr:absoluteAnchor>{place}{thing}<xdr:clientData/></xdr:absoluteAnchor>"


def drawn_xlsx(data: bytes, title: str, things: str, media: dict[str, bytes]) -> bytes:
    """Lay things over a tab; pictures are called by the names of their links. What lies there stays below them."""
    book = Book(data)
    parts = book.parts
    sheet = next(each for each in book.sheets() if each.get("name") == title)
    tab = there(book.link_of(sheet)).target
    old = next((each.target for each in parts.relations(tab) if each.kind == "drawing"), "")
    drawing = old or "xl/drawings/drawing7.xml"
    before = parts.read(old).decode() if old else f"<xdr:wsDr xmlns:xdr='{XDR}' xmlns:a='{A}'></xdr:wsDr>"
    for label, image in media.items():
        name = f"xl/media/mine{label}.png"
        parts.write(name, image, "image/png")
        things = things.replace(f"'{label}'", f"'{parts.relate(drawing, f'{R}/image', name)}'")
    whole = before.replace("</xdr:wsDr>", f"{things}</xdr:wsDr>")
    if "xmlns:r=" not in whole.partition(">")[0] + whole.partition("<xdr:wsDr")[2].partition(">")[0]:
        whole = whole.replace("<xdr:wsDr", f"<xdr:wsDr xmlns:r='{R}'", 1)
    parts.write(drawing, whole.encode(), "application/vnd.openxmlformats-officedocument.drawing+xml")
    if not old:
        link = parts.relate(tab, f"{R}/drawing", drawing)
        content = parts.read(tab).decode()
        parts.write(tab, content.replace("</worksheet>", f'<drawing r:id="{link}"/></worksheet>').encode())
    return parts.save()


def drawing_of(data: bytes, title: str) -> tuple[str, dict[str, bytes]]:
    """Give the drawing over a tab: the name of its part, and all parts that it leads to."""
    parts = Book(data).parts
    book = Book(data)
    sheet = next(each for each in book.sheets() if each.get("name") == title)
    tab = there(book.link_of(sheet)).target
    drawing = next((each.target for each in parts.relations(tab) if each.kind == "drawing"), "")
    if not drawing:
        return "", {}
    names = [drawing, *(each.target for each in parts.relations(drawing))]
    return drawing, {name: parts.read(name) for name in names}


GRAPHICS = (
    '<style:style style:name="gr9" style:family="graphic" style:parent-style-name="Mine_20_own">'
    '<style:graphic-properties draw:fill="solid" draw:fill-color="#cc0000"/></style:style>'
    '<style:style style:name="P9" style:family="paragraph"><style:paragraph-properties fo:text-align="center"/></style:style>'
)
COMMON = (
    '<style:style style:name="Mine_20_own" style:family="graphic">'
    '<style:graphic-properties draw:stroke-dash="My_20_dash" draw:stroke="dash"/></style:style>'
    '<draw:stroke-dash draw:name="My_20_dash" draw:style="rect" draw:dots1="1" draw:distance="0.1in"/>'
)


def frame(entry: str, *, end: str = "", name: str = "mine") -> str:
    """Give a picture in a frame."""
    ends = f' table:end-cell-address="{end}" table:end-x="0.2in" table:end-y="0.1in"' if end else ""
    return (
        f'<draw:frame draw:z-index="3" draw:name="{name}"{ends} svg:width="1in" svg:height="0.5in" svg:x="0in" svg:y="0in">'
        f'<draw:image xlink:href="{entry}" xlink:type="simple"/></draw:frame>'
    )


def shape(words: str, down: float = 0.1) -> str:
    """Give a red box with words in it."""
    return (
        f'<draw:rect draw:style-name="gr9" draw:text-style-name="P9" svg:width="1.5in" svg:height="0.6in" svg:x="2in" '
        f'svg:y="{down}in"><text:p>{words}</text:p></draw:rect>'
    )


def drawn_ods(
    data: bytes,
    title: str,
    media: dict[str, bytes],
    shapes: str = "",
    cells: dict[tuple[int, int], str] | None = None,
) -> bytes:
    """Lay shapes over a tab, and things held by cells, into a file that we wrote."""
    package = Package(data, case_matters=True)
    content = package.read(CONTENT).decode()
    start = content.index(f'<table:table table:name="{title}"') if f'table:name="{title}"' in content else -1
    assert start >= 0, title
    end = content.index("</table:table>", start)
    table = content[start:end]
    for at, thing in (cells or {}).items():
        table = _in_cell(table, at, thing)
    if shapes:
        head = table.index(">") + 1
        table = f"{table[:head]}<table:shapes>{shapes}</table:shapes>{table[head:]}"
    content = content[:start] + table + content[end:]
    content = content.replace("</office:automatic-styles>", GRAPHICS + "</office:automatic-styles>", 1)
    package.write(CONTENT, content.encode())
    styles = package.read("styles.xml").decode()
    draw = "urn:oasis:names:tc:opendocument:xmlns:drawing:1.0"
    if "xmlns:draw=" not in styles:
        styles = styles.replace("<office:document-styles", f'<office:document-styles xmlns:draw="{draw}"', 1)
    package.write("styles.xml", styles.replace("</office:styles>", COMMON + "</office:styles>", 1).encode())
    manifest = package.read("META-INF/manifest.xml").decode()
    for entry, picture in media.items():
        package.write(entry, picture)
        line = f'<manifest:file-entry manifest:full-path="{entry}" manifest:media-type="image/png"/>'
        manifest = manifest.replace("</manifest:manifest>", line + "</manifest:manifest>")
    package.write("META-INF/manifest.xml", manifest.encode())
    return package.save()


def _in_cell(table: str, at: tuple[int, int], thing: str) -> str:
    """Put something into a cell, its row and columns taken out of those that stand for several."""
    rows = list(re.finditer(r"<table:table-row\b(?:[^>]*/>|.*?</table:table-row>)", table, re.DOTALL))
    number = 0
    for row in rows:
        said = re.match(r'[^>]*number-rows-repeated="(\d+)"', row[0])
        count = int(said[1]) if said else 1
        if number < at[0] <= number + count:
            before, after = at[0] - number - 1, number + count - at[0]
            single = re.sub(r' table:number-rows-repeated="\d+"', "", row[0], count=1)
            made = "".join([_times(single, before), _columns(single, at[1], thing), _times(single, after)])
            return table[: row.start()] + made + table[row.end() :]
        number += count
    raise AssertionError(at)


def _times(row: str, count: int) -> str:
    if count < 1:
        return ""
    return row.replace("<table:table-row", f'<table:table-row table:number-rows-repeated="{count}"', 1)


def _columns(row: str, column: int, thing: str) -> str:
    number = 0
    cell = re.compile(
        r"<table:(?:covered-)?table-cell\b([^>]*?)(/>|>.*?</table:(?:covered-)?table-cell>)", re.DOTALL
    )
    for found in cell.finditer(row):
        said = re.search(r'number-columns-repeated="(\d+)"', found[1])
        count = int(said[1]) if said else 1
        if number < column <= number + count:
            bare = re.sub(r' table:number-columns-repeated="\d+"', "", found[0], count=1)
            tag = re.match(r"<(table:[a-z-]+)", bare)
            assert tag is not None
            filled = (
                bare[:-2] + f">{thing}</{tag[1]}>"
                if bare.endswith("/>")
                else bare.replace(">", f">{thing}", 1)
            )
            pieces = [_repeated(bare, column - number - 1), filled, _repeated(bare, number + count - column)]
            return row[: found.start()] + "".join(pieces) + row[found.end() :]
        number += count
    raise AssertionError(column)


def _repeated(cell: str, count: int) -> str:
    if count < 1:
        return ""
    return re.sub(r"^<(table:[a-z-]+)", rf'<\1 table:number-columns-repeated="{count}"', cell)
