"""The live fit on Job, recalculated by LibreOffice, counts with sizes however a person types them."""

from __future__ import annotations

from pathlib import Path

import pytest

from sheetkit.book.formats import by_ending
from sheetkit.page import cell_name
from sheetkit.tabs.template import template_pages
from sheetkit.units import MM, Unit
from tests.book.office_desk import at_the_desk, quoted

TYPED: dict[Unit, dict[str, float]] = {
    "in": {
        '12"': 12, "1/2": 0.5, "½": 0.5, "12 1/2": 12.5, "12-1/2\"": 12.5, "12¾": 12.75, "300 mm": 300 / MM, "30,5 cm": 305 / MM, "6' 8\"": 80,
        "6 ft 8 in": 80, "6'": 72, "12 in": 12, "12.25": 12.25, "12,25": 12.25, "0.5": 0.5, "14 31/32 inches": 14.96875,
    },
    "mm": {"300 mm": 300, "300": 300, "82,5": 82.5, "82.5 mm": 82.5, '12"': 304.8, "12 1/2 in": 317.5, "30 cm": 300, "6' 8\"": 2032},
}  # fmt: skip


@pytest.mark.parametrize("locale", ["en-US", "de-DE"])
def test_libreoffice_counts_with_what_was_typed(tmp_path: Path, office: object, locale: str) -> None:
    work, wanted = [], []
    for unit, sizes in TYPED.items():
        for ending in (".xlsx", ".ods"):
            pages = template_pages(
                unit, {"job": "Bench", "own_width": "10", "clearance_side": "1" if unit == "mm" else "1/4"}
            )
            path = tmp_path / f"{unit}{ending}"
            path.write_bytes(by_ending(ending).render(pages))
            job = next(page for page in pages if page.title == "Job")
            own, side, inside = (
                quoted(cell_name(next(row for (row, _), cell in job.cells.items() if cell.value == label), 2))
                for label in ("Own width", "Clearance each side", "Inside width")
            )
            work += [f"OpenFile {quoted(path.as_uri())}"]
            room = 1.0 if unit == "mm" else 0.25
            for text, size in sizes.items():
                work += [
                    f'At("Job", {own}).String = {quoted(text)}',
                    f'Say Str(At("Job", {inside}).Value) & " " & At("Job", {inside}).getError()',
                ]
                wanted.append((unit, ending, text, size + 2 * room))
            work += [
                f'At("Job", {own}).Value = 20',
                f'At("Job", {side}).String = {quoted("¼" if unit == "in" else "1 mm")}',
            ]
            work += [
                f'Say Str(At("Job", {inside}).Value) & " " & At("Job", {inside}).getError()',
                "CloseFile",
            ]
            wanted.append((unit, ending, "a clearance", 20 + 2 * room))
    said = at_the_desk(tmp_path, "\n".join(work), locale)
    wrong = []
    for line, (unit, ending, text, size) in zip(said, wanted, strict=True):
        value, error = line.split()
        if float(value) != pytest.approx(size, abs=1e-9) or error != "0":
            wrong.append((unit, ending, text, size, line))
    assert wrong == []


def test_what_is_no_size_is_an_error_and_not_a_number(tmp_path: Path, office: object) -> None:
    pages = template_pages("in", {"job": "Bench", "own_width": "10"})
    path = tmp_path / "job.ods"
    path.write_bytes(by_ending(".ods").render(pages))
    job = next(page for page in pages if page.title == "Job")
    own, inside = (
        quoted(cell_name(next(row for (row, _), cell in job.cells.items() if cell.value == label), 2))
        for label in ("Own width", "Inside width")
    )
    work = [f"OpenFile {quoted(path.as_uri())}"]
    for text in ("twelve", "x 1/2", "1.250,5", "3 4"):
        work += [f'At("Job", {own}).String = {quoted(text)}', f'Say Str(At("Job", {inside}).getError())']
    assert "0" not in [line.strip() for line in at_the_desk(tmp_path, "\n".join((*work, "CloseFile")))]
