"""Pages as a whole new .ods file."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Callable, Mapping, Sequence
from types import MappingProxyType

from sheetkit.book.markup import Element, written
from sheetkit.book.ods.entries import manifest_line
from sheetkit.book.ods.marks import put_names, put_tabs
from sheetkit.book.ods.names import MIMETYPE, NEWEST, OURS, make, root, slug
from sheetkit.book.ods.opening import CONTENT, MANIFEST, SETTINGS, STYLES
from sheetkit.book.ods.pagestyle import put_master
from sheetkit.book.ods.settings import blank_settings, put_frozen
from sheetkit.book.ods.styles import Pool
from sheetkit.book.ods.table import Target, table_element
from sheetkit.book.ods.validation import Validations
from sheetkit.page import Address, Page

_FIRST_DAY = (1980, 1, 1, 0, 0, 0)


def render(pages: Sequence[Page]) -> bytes:
    """Return an .ods workbook of these pages; the same pages give the same bytes."""
    return packed(entries_of(pages))


def entries_of(
    pages: Sequence[Page],
    shapes: Sequence[Element] = (),
    laid: Mapping[Address, Sequence[Element]] = MappingProxyType({}),
    look: Callable[[Element, Element], None] = lambda content, styles: None,
    set_up: Mapping[str, Element] = MappingProxyType({}),
) -> dict[str, bytes]:
    """Return the entries of a workbook of these pages.

    ``shapes`` lie over the tabs, ``laid`` are held by cells; ``look`` brings what they need of styles,
    ``set_up`` are the pictures of the page set-up.
    """
    content, styles, settings = _content_root(), blank_styles(), blank_settings()
    spreadsheet = content[1][0]
    validations = make("table:content-validations")
    target = Target(Pool(content[0]), Validations(validations), {})
    expressions = make("table:named-expressions")
    tables = []
    for page in pages:
        master = master_name(page)
        put_master(styles[1], styles[2], master, page.print, pictures=set_up)
        tables.append(table_element(page, page.title, master, target, shapes, laid))
        put_names(expressions, page.title, page.names)
    put_tabs(expressions, {page.key: page.title for page in pages if page.key})
    spreadsheet.append(_calculation())
    if len(validations):
        spreadsheet.append(validations)
    spreadsheet.extend(tables)
    if len(expressions):
        spreadsheet.append(expressions)
    put_frozen(settings, {page.title: page.freeze for page in pages})
    look(content, styles)
    return {
        CONTENT: written(content),
        STYLES: written(styles),
        "meta.xml": written(_meta()),
        SETTINGS: written(settings),
        **target.pictures,
    }


def master_name(page: Page) -> str:
    """Return the name of the master page that a page prints on."""
    return f"{OURS}m.{slug(page.key)}" if page.key else f"page.{slug(page.title)}"


def blank_styles(version: str = NEWEST) -> Element:
    """Return a styles document with the default look, and room for page layouts and master pages."""
    document = root(
        "office:document-styles", "office", "style", "text", "table", "fo", "number", "svg", version=version
    )
    usual = make("style:default-style", {"style:family": "table-cell"})
    usual.append(make("style:paragraph-properties", {"style:tab-stop-distance": "0.5in"}))
    usual.append(make("style:text-properties", {"fo:font-family": "Arial", "fo:font-size": "10pt"}))
    default = make("style:style", {"style:name": "Default", "style:family": "table-cell"})
    document.append(make("office:styles", None, usual, default))
    document.append(make("office:automatic-styles"))
    document.append(make("office:master-styles"))
    return document


def _content_root() -> Element:
    document = root(
        "office:document-content",
        "office",
        "style",
        "text",
        "table",
        "draw",
        "fo",
        "xlink",
        "number",
        "svg",
        "of",
        "calcext",
    )
    document.append(make("office:automatic-styles"))
    document.append(make("office:body", None, make("office:spreadsheet")))
    return document


def _calculation() -> Element:
    """Return the rules of calculation that both programs share: wildcards, no regular expressions."""
    return make(
        "table:calculation-settings",
        {
            "table:automatic-find-labels": "false",
            "table:use-regular-expressions": "false",
            "table:use-wildcards": "true",
        },
    )


def _meta() -> Element:
    document = root("office:document-meta", "office", "meta", "dc", "xlink")
    generator = make("meta:generator")
    generator.text = "sheetkit"
    created = make("meta:creation-date")
    created.text = "1980-01-01T00:00:00"
    document.append(make("office:meta", None, generator, created))
    return document


def _manifest(entries: Sequence[str]) -> Element:
    document = make("manifest:manifest", {"manifest:version": NEWEST})
    whole = {"manifest:full-path": "/", "manifest:version": NEWEST, "manifest:media-type": MIMETYPE}
    document.append(make("manifest:file-entry", whole))
    for entry in entries:
        document.append(manifest_line(entry))
    return document


def packed(entries: dict[str, bytes]) -> bytes:
    """Return the entries as a package."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        # The standard wants the kind of document first and not packed, readable at a fixed place.
        archive.writestr(zipfile.ZipInfo("mimetype", _FIRST_DAY), MIMETYPE, zipfile.ZIP_STORED)
        for entry, data in {**entries, MANIFEST: written(_manifest(list(entries)))}.items():
            archive.writestr(zipfile.ZipInfo(entry, _FIRST_DAY), data, zipfile.ZIP_DEFLATED, 6)
    return out.getvalue()
