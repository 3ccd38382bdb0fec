"""An .ods file such as a maker keeps: chart, picture, note, own names and styles, a script."""

from __future__ import annotations

import io
import re
import zipfile

HEAD = "".join(
    f' xmlns:{prefix}="urn:oasis:names:tc:opendocument:xmlns:{urn}:1.0"'
    for prefix, urn in {
        **{key: key for key in ("office", "table", "text", "style", "config", "manifest", "script", "chart")},
        "fo": "xsl-fo-compatible",
        "svg": "svg-compatible",
        "draw": "drawing",
        "number": "datastyle",
    }.items()
)
HEAD += ' xmlns:xlink="http://www.w3.org/1999/xlink" xmlns:dc="http://purl.org/dc/elements/1.1/"'
HEAD += ' xmlns:calcext="urn:org:documentfoundation:names:experimental:calc:xmlns:calcext:1.0"'
OF = ' xmlns:of="urn:oasis:names:tc:opendocument:xmlns:of:1.2"'
DOT = bytes.fromhex(
    "89504e470d0a1a0a0000000d4948445200000001000000010802000000907753de"
    "0000000c4944415408d763f8cfc000000301010018dd8db00000000049454e44ae426082"
)

STYLES = """<office:automatic-styles>
<number:number-style style:name="N2"><number:number number:decimal-places="2" number:min-integer-digits="1"/></number:number-style>
<style:style style:name="co1" style:family="table-column"><style:table-column-properties style:column-width="1in"/></style:style>
<style:style style:name="ro1" style:family="table-row"><style:table-row-properties style:row-height="0.2in" style:use-optimal-row-height="true"/></style:style>
<style:style style:name="ta1" style:family="table" style:master-page-name="Default"><style:table-properties table:display="true"/></style:style>
<style:style style:name="ce1" style:family="table-cell" style:parent-style-name="Default"><style:table-cell-properties fo:background-color="#ffff00"/></style:style>
<style:style style:name="ce2" style:family="table-cell" style:parent-style-name="Mine" style:data-style-name="N2"/>
</office:automatic-styles>"""

RULE = """<calcext:conditional-formats><calcext:conditional-format calcext:target-range-address="Parts.B2:Parts.B9">
<calcext:condition calcext:apply-style-name="Mine" calcext:value="&gt;10" calcext:base-cell-address="Parts.B2"/>
</calcext:conditional-format></calcext:conditional-formats>"""

PARTS = f"""<table:table table:name="Parts" table:style-name="ta1">
<table:shapes><draw:frame draw:z-index="0" svg:width="2in" svg:height="1in" svg:x="5in" svg:y="1in"><draw:object draw:notify-on-update-of-ranges="Parts.A1:Parts.B3" xlink:href="./Object 1" xlink:type="simple"/></draw:frame></table:shapes>
<table:table-column table:style-name="co1" table:number-columns-repeated="3" table:default-cell-style-name="Default"/>
<table:table-column table:style-name="co1" table:default-cell-style-name="ce2"/>
<table:table-column table:style-name="co1" table:number-columns-repeated="1020" table:default-cell-style-name="Default"/>
<table:table-header-rows><table:table-row table:style-name="ro1"><table:table-cell office:value-type="string" table:style-name="ce1"><text:p>Part</text:p></table:table-cell><table:table-cell office:value-type="string"><text:p>Qty</text:p></table:table-cell><table:table-cell table:number-columns-repeated="1022"/></table:table-row></table:table-header-rows>
<table:table-row-group><table:table-row table:style-name="ro1"><table:table-cell office:value-type="string"><office:annotation><dc:creator>me</dc:creator><text:p>a note</text:p></office:annotation><text:p>Leg</text:p></table:table-cell><table:table-cell office:value-type="float" office:value="4" table:content-validation-name="val1"><text:p>4</text:p></table:table-cell><table:table-cell table:formula="of:=[.B2]*[$Stock.$A$1]" office:value-type="float" office:value="12"><text:p>12</text:p></table:table-cell><table:table-cell table:number-columns-repeated="1021"/></table:table-row></table:table-row-group>
<table:table-row table:style-name="ro1" table:number-rows-repeated="3"><table:table-cell office:value-type="string"><text:p>Slat</text:p></table:table-cell><table:table-cell office:value-type="float" office:value="7" table:number-columns-repeated="2"><text:p>7</text:p></table:table-cell><table:table-cell table:number-columns-repeated="1021"/></table:table-row>
<table:table-row table:style-name="ro1"><table:table-cell table:number-columns-spanned="2" table:number-rows-spanned="1" office:value-type="string"><draw:frame svg:width="1in" svg:height="1in"><draw:image xlink:href="Pictures/mine.png" xlink:type="simple"/></draw:frame><text:p>wide</text:p></table:table-cell><table:covered-table-cell/><table:table-cell table:number-matrix-columns-spanned="1" table:number-matrix-rows-spanned="2" table:formula="of:={{1|2}}" office:value-type="float" office:value="1"><text:p>1</text:p></table:table-cell><table:table-cell table:number-columns-repeated="1021"/></table:table-row>
<table:table-row table:style-name="ro1"><table:table-cell table:number-columns-repeated="2"/><table:table-cell office:value-type="float" office:value="2"><text:p>2</text:p></table:table-cell><table:table-cell table:number-columns-repeated="1021"/></table:table-row>
<table:table-row table:style-name="ro1" table:number-rows-repeated="1048569"><table:table-cell table:number-columns-repeated="1024"/></table:table-row>
{RULE}</table:table>"""

STOCK = """<table:table table:name="Stock" table:style-name="ta1"><table:table-column table:style-name="co1"/>
<table:table-row><table:table-cell office:value-type="float" office:value="3"><text:p>3</text:p></table:table-cell></table:table-row></table:table>"""

CACHED = """<table:table table:name="'file:///home/me/prices.ods'#Sheet1" table:print="false"><table:table-source xlink:type="simple" xlink:href="prices.ods" table:table-name="Sheet1"/><table:table-column/><table:table-row><table:table-cell office:value-type="float" office:value="9"><text:p>9</text:p></table:table-cell></table:table-row></table:table>"""

NAMES = """<table:named-expressions><table:named-range table:name="legs" table:base-cell-address="$Parts.$A$1" table:cell-range-address="$Parts.$B$2"/></table:named-expressions>"""

VALIDATIONS = """<table:content-validations><table:content-validation table:name="val1" table:condition="of:cell-content() &gt; 0" table:base-cell-address="Parts.B2"/></table:content-validations>"""


def user_file(
    *,
    tables: str = PARTS + STOCK + CACHED,
    names: str = NAMES,
    styles: str = STYLES,
    formulas: bool = True,
    validations: str = VALIDATIONS,
    more: dict[str, bytes] | None = None,
    drop: tuple[str, ...] = (),
) -> bytes:
    """Give the maker's file; with ``formulas`` false its root does not declare the prefix of formulas."""
    after = '<table:database-ranges><table:database-range table:name="f" table:target-range-address="Parts.A1:Parts.B5"/></table:database-ranges>'
    content = (
        f'<?xml version="1.0" encoding="UTF-8"?>\n<office:document-content{HEAD}{OF if formulas else ""} office:version="1.2">'
        f"<office:scripts/>{styles}<office:body><office:spreadsheet>{validations}"
        f"{tables}{names}{after if 'Parts' in tables else ''}"
        "</office:spreadsheet></office:body></office:document-content>"
    )
    entries: dict[str, bytes] = {
        "mimetype": b"application/vnd.oasis.opendocument.spreadsheet",
        "Basic/Standard/Module1.xml": b"<script/>",
        "content.xml": content.encode(),
        "styles.xml": (
            f'<?xml version="1.0"?><office:document-styles{HEAD}><office:styles><style:style style:name="Default" style:family="table-cell"/>'
            '<style:style style:name="Mine" style:family="table-cell"><style:text-properties fo:color="#ff0000"/></style:style></office:styles>'
            '<office:automatic-styles><style:page-layout style:name="pm1"/></office:automatic-styles><office:master-styles>'
            '<style:master-page style:name="Default" style:page-layout-name="pm1"/></office:master-styles></office:document-styles>'
        ).encode(),
        "settings.xml": f'<?xml version="1.0"?><office:document-settings{HEAD}><office:settings><config:config-item-set config:name="ooo:view-settings"><config:config-item-map-indexed config:name="Views"><config:config-item-map-entry><config:config-item config:name="ViewId" config:type="string">view1</config:config-item><config:config-item-map-named config:name="Tables"><config:config-item-map-entry config:name="Parts"><config:config-item config:name="CursorPositionX" config:type="int">5</config:config-item></config:config-item-map-entry></config:config-item-map-named></config:config-item-map-entry></config:config-item-map-indexed></config:config-item-set></office:settings></office:document-settings>'.encode(),
        "Object 1/content.xml": b"<chart/>",
        "Pictures/mine.png": DOT,
        **(more or {}),
    }
    for name in drop:
        entries.pop(name, None)
    lines = "".join(
        f'<manifest:file-entry manifest:full-path="{name}" manifest:media-type="text/xml"/>'
        for name in entries
        if name != "mimetype" and not name.startswith("META-INF")
    )
    root = '<manifest:file-entry manifest:full-path="/" manifest:media-type="application/vnd.oasis.opendocument.spreadsheet"/>'
    if "META-INF/manifest.xml" not in drop:
        entries.setdefault(
            "META-INF/manifest.xml", f"<manifest:manifest{HEAD}>{root}{lines}</manifest:manifest>".encode()
        )
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        for name, data in entries.items():
            kind = zipfile.ZIP_STORED if name == "mimetype" else zipfile.ZIP_DEFLATED
            archive.writestr(zipfile.ZipInfo(name, (2025, 3, 4, 5, 6, 8)), data, kind)
    return out.getvalue()


def one_table(rows: str, columns: str = '<table:table-column table:number-columns-repeated="50"/>') -> str:
    """Give a table named Parts of these rows."""
    return f'<table:table table:name="Parts">{columns}{rows}</table:table>'


def replaced(data: bytes, name: str, old: str, new: str) -> bytes:
    """Give a file in which one entry says something else."""
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as source, zipfile.ZipFile(out, "w") as archive:
        for info in source.infolist():
            entry = source.read(info)
            if info.filename == name:
                entry, count = re.subn(re.escape(old.encode()), new.encode().replace(b"\\", rb"\\"), entry)
                assert count
            archive.writestr(info, entry)
    return out.getvalue()
