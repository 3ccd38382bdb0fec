"""Work out the example and save the README's pictures from its workbook: python -m tests.make_pictures."""

from __future__ import annotations

import io
import posixpath
import zipfile
from datetime import datetime
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

from lxml import etree

from sheetkit.jobs.run import run

TOP = Path(__file__).parent.parent
EXAMPLE = TOP / "examples" / "entry-bench.xlsx"
FOLDER = TOP / "examples" / "pictures"
WANTED = {
    "board": "Board C4,",
    "elevation": "Elevation of Back rail, top",
    "panel-in-groove": "Panel End panel in",
    "price-by-species": "Bars of the price before tax by species:",
    "story-stick": "Story stick of Leg, pieces 1 and 4, edge",
}
"""Name of each picture -> how its words begin."""
DRAWING = "{http://schemas.openxmlformats.org/drawingml/2006/spreadsheetDrawing}"
MAIN = "{http://schemas.openxmlformats.org/drawingml/2006/main}"
LINK = "{http://schemas.openxmlformats.org/officeDocument/2006/relationships}embed"
ODS = {
    "draw": "urn:oasis:names:tc:opendocument:xmlns:drawing:1.0",
    "svg": "urn:oasis:names:tc:opendocument:xmlns:svg-compatible:1.0",
    "xlink": "http://www.w3.org/1999/xlink",
}


@cache
def worked_out(path: Path) -> bytes:
    """Give a workbook as it is after a run."""
    with TemporaryDirectory() as folder:
        out = Path(folder) / f"out{path.suffix}"
        assert run(path, out=out, now=datetime(2026, 11, 2, 9, 30)).ok
        return out.read_bytes()


def pictures_of(workbook: bytes) -> dict[str, bytes]:
    """Give the pictures of a workbook, .xlsx or .ods, by the words that go with them."""
    with zipfile.ZipFile(io.BytesIO(workbook)) as package:
        parts = {name: package.read(name) for name in package.namelist()}
    if "content.xml" in parts:
        return dict(_in_ods(parts))
    found: dict[str, bytes] = {}
    for name in parts:
        folder, file = posixpath.split(name)
        if folder == "xl/drawings" and file.endswith(".xml"):
            found.update(_in_drawing(parts, name, f"{folder}/_rels/{file}.rels"))
    return found


def _in_drawing(parts: dict[str, bytes], name: str, links: str) -> list[tuple[str, bytes]]:
    targets = {link.get("Id"): link.get("Target", "") for link in etree.fromstring(parts[links])}
    found = []
    for picture in etree.fromstring(parts[name]).iter(f"{DRAWING}pic"):
        (words,) = picture.iter(f"{DRAWING}cNvPr")
        (blip,) = picture.iter(f"{MAIN}blip")
        target = posixpath.normpath(posixpath.join("/xl/drawings", targets[blip.get(LINK)])).lstrip("/")
        found.append((words.get("descr", ""), parts[target]))
    return found


def _in_ods(parts: dict[str, bytes]) -> list[tuple[str, bytes]]:
    found = []
    for frame in etree.fromstring(parts["content.xml"]).iterfind(".//draw:frame", ODS):
        image = frame.find("draw:image", ODS)
        if image is not None:
            words = frame.findtext("svg:desc", "", ODS)
            found.append((words, parts[image.get(f"{{{ODS['xlink']}}}href", "")]))
    return found


def pictures() -> dict[Path, bytes]:
    """Give the README's pictures by their paths."""
    found = pictures_of(worked_out(EXAMPLE))
    return {
        FOLDER / f"{name}.png": next(png for words, png in found.items() if words.startswith(begins))
        for name, begins in WANTED.items()
    }


if __name__ == "__main__":
    FOLDER.mkdir(exist_ok=True)
    for path, png in pictures().items():
        path.write_bytes(png)
