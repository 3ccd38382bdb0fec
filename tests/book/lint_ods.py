"""Whether an .ods file hangs together: everything referred to is there, once."""

from __future__ import annotations

import io
import zipfile

from lxml import etree

from tests.there import there

OFFICE = "{urn:oasis:names:tc:opendocument:xmlns:office:1.0}"
TABLE = "{urn:oasis:names:tc:opendocument:xmlns:table:1.0}"
STYLE = "{urn:oasis:names:tc:opendocument:xmlns:style:1.0}"
MANIFEST = "{urn:oasis:names:tc:opendocument:xmlns:manifest:1.0}"
HREF = "{http://www.w3.org/1999/xlink}href"
DOCUMENTS = ("content.xml", "styles.xml", "settings.xml")
NUMBER = "{urn:oasis:names:tc:opendocument:xmlns:datastyle:1.0}"
SINCE_1_3 = {f"{NUMBER}max-denominator-value", f"{STYLE}scale-to-X", f"{STYLE}scale-to-Y"}
"""Attributes of ours that the schema of ODF 1.2 does not know (OASIS, OpenDocument 1.2 and 1.3, part with the schema)."""
FAMILIES = {"table": "table", "table-column": "table-column", "table-row": "table-row"}
FAMILIES |= {"table-cell": "table-cell", "covered-table-cell": "table-cell"}


def parts(data: bytes) -> dict[str, bytes]:
    """Give every entry of a file."""
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        return {name: archive.read(name) for name in archive.namelist()}


def faults(data: bytes) -> list[str]:
    """Give every fault found, in words; none for a sound file."""
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        infos = archive.infolist()
        entries = {info.filename: archive.read(info) for info in infos}
    found = []
    first = infos[0]
    if first.filename != "mimetype" or first.compress_type != zipfile.ZIP_STORED or first.extra:
        found.append("mimetype is not first and stored")
    if len({info.filename for info in infos}) != len(infos):
        found.append("an entry stands twice")
    found += [
        f"{name} is not an entry's name" for name in entries if name.startswith(("/", "./")) or "\\" in name
    ]
    if "content.xml" not in entries:
        return found
    content = etree.fromstring(entries["content.xml"])
    styles = etree.fromstring(entries["styles.xml"])
    found += _manifest_faults(entries)
    found += _version_faults(entries)
    found += _style_faults(content, styles)
    found += _table_faults(content)
    for element in content.iter():
        target = element.get(HREF) or ""
        if target.startswith("Pictures/") and target not in entries:
            found.append(f"{target} is missing")
    return found


def _version_faults(entries: dict[str, bytes]) -> list[str]:
    """Check against the schemas of ODF 1.2 and 1.3 what these two differ in, and where both want something."""
    found = []
    told = {}
    for entry in ("content.xml", "styles.xml", "settings.xml", "meta.xml"):
        if entry not in entries:
            continue
        document = etree.fromstring(entries[entry])
        told[entry] = document.get(f"{OFFICE}version") or ""
        boxes = document.findall(f"{OFFICE}settings")
        found += [f"{entry}: {OFFICE}settings is empty" for box in boxes if not len(box)]
        if told["content.xml"] < "1.3":
            keys = {str(key) for each in document.iter(etree.Element) for key in each.attrib}
            found += [f"{entry}: {key} came with 1.3" for key in sorted(keys & SINCE_1_3)]
        for table in document.iter(f"{TABLE}table"):
            kinds = [
                each.tag
                for each in table
                if each.tag in (f"{TABLE}table-header-rows", f"{TABLE}table-row-group")
            ]
            if kinds.count(f"{TABLE}table-header-rows") > 1 + kinds.count(f"{TABLE}table-row-group"):
                found.append(f"{table.get(f'{TABLE}name')}: header rows in two places")
    return found


def versions(data: bytes) -> dict[str, str | None]:
    """Give the version that each document in a file says it follows."""
    documents = {name: etree.fromstring(each) for name, each in parts(data).items() if name in DOCUMENTS}
    return {name: document.get(f"{OFFICE}version") for name, document in documents.items()}


def _manifest_faults(entries: dict[str, bytes]) -> list[str]:
    listed = [line.get(f"{MANIFEST}full-path") for line in etree.fromstring(entries["META-INF/manifest.xml"])]
    found = [f"{name} is listed twice" for name in set(listed) if listed.count(name) > 1]
    files = {name for name in listed if name and not name.endswith("/")}
    needed = {name for name in entries if name != "mimetype" and not name.startswith("META-INF/")}
    needed = {name for name in needed if not name.endswith("/")}
    found += [f"{name} is not in the manifest" for name in sorted(needed - files)]
    found += [f"{name} is listed but not there" for name in sorted(files - set(entries))]
    return found


def _style_faults(content: etree._Element, styles: etree._Element) -> list[str]:
    found: list[str] = []
    common = [child for group in styles if group.tag == f"{OFFICE}styles" for child in group]
    automatic = [
        child for child in there(content.find(f"{OFFICE}automatic-styles")) if isinstance(child.tag, str)
    ]
    keys = [(child.get(f"{STYLE}family"), child.get(f"{STYLE}name")) for child in automatic]
    found += [f"style {key} stands twice" for key in set(keys) if keys.count(key) > 1]
    known = {*keys, *((child.get(f"{STYLE}family"), child.get(f"{STYLE}name")) for child in common)}
    data = {name for family, name in known if family is None}
    masters = {child.get(f"{STYLE}name") for child in styles.iter(f"{STYLE}master-page")}
    layouts = {child.get(f"{STYLE}name") for child in styles.iter(f"{STYLE}page-layout")}
    for master in styles.iter(f"{STYLE}master-page"):
        if master.get(f"{STYLE}page-layout-name") not in layouts:
            found.append(f"master page {master.get(f'{STYLE}name')} has no layout")
    for child in automatic:
        if (name := child.get(f"{STYLE}data-style-name")) and name not in data:
            found.append(f"data style {name} is missing")
        if (name := child.get(f"{STYLE}master-page-name")) and name not in masters:
            found.append(f"master page {name} is missing")
    for element in there(content.find(f"{OFFICE}body")).iter():
        if not isinstance(element.tag, str) or not element.tag.startswith(TABLE):
            continue
        family = FAMILIES.get(element.tag.removeprefix(TABLE))
        name = element.get(f"{TABLE}style-name")
        if family and name and (family, name) not in known:
            found.append(f"{family} style {name} is missing")
        name = element.get(f"{TABLE}default-cell-style-name")
        if name and ("table-cell", name) not in known:
            found.append(f"cell style {name} is missing")
    return found


def _table_faults(content: etree._Element) -> list[str]:
    found = []
    sheet = there(content.find(f"{OFFICE}body/{OFFICE}spreadsheet"))
    order = [child.tag.removeprefix(TABLE) for child in sheet if isinstance(child.tag, str)]
    ranks = {"calculation-settings": 0, "content-validations": 1, "label-ranges": 2, "table": 3}
    places = [ranks.get(tag, 4) for tag in order]
    if places != sorted(places):
        found.append(f"order {order}")
    validations = [child.get(f"{TABLE}name") for child in sheet.iter(f"{TABLE}content-validation")]
    found += [f"validation {name} stands twice" for name in set(validations) if validations.count(name) > 1]
    names = [
        (element.get(f"{TABLE}name") or "").casefold()
        for holder in sheet.findall(f"{TABLE}named-expressions")
        for element in holder
    ]
    found += [f"name {name} stands twice" for name in set(names) if names.count(name) > 1]
    titles = [there(table.get(f"{TABLE}name")).casefold() for table in sheet.findall(f"{TABLE}table")]
    found += [f"tab {title} stands twice" for title in set(titles) if titles.count(title) > 1]
    for table in sheet.findall(f"{TABLE}table"):
        rows = 0
        columns = sum(
            int(c.get(f"{TABLE}number-columns-repeated", 1)) for c in table.iter(f"{TABLE}table-column")
        )
        if columns > 16_384:
            found.append(f"{columns} columns")
        for row in table.iter(f"{TABLE}table-row"):
            rows += int(row.get(f"{TABLE}number-rows-repeated", 1))
            width = sum(int(cell.get(f"{TABLE}number-columns-repeated", 1)) for cell in row)
            if width > max(columns, 1):
                found.append(f"a row of {width} cells in {columns} columns")
            for cell in row:
                name = cell.get(f"{TABLE}content-validation-name")
                if name and name not in validations:
                    found.append(f"validation {name} is missing")
        if rows > 1_048_576:
            found.append(f"{rows} rows")
    return found
