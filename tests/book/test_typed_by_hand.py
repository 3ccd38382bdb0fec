"""The templates filled in at LibreOffice's keyboard, in two locales, and read back as what was meant."""

from __future__ import annotations

import shutil
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest

from sheetkit.book.formats import by_ending
from sheetkit.calc.moisture import equilibrium_moisture
from sheetkit.form.columns import LOADS, TABLES, Kind
from sheetkit.intake.members import FROM_PART
from sheetkit.intake.workbook import Intake, take_in
from sheetkit.jobs.run import run
from sheetkit.page import Page, cell_name
from sheetkit.records.job import ROWS
from sheetkit.units import MM
from tests.book.office_desk import at_the_desk, quoted

TEMPLATES = Path(__file__).parents[2] / "templates"
NAMES = ("blank-inch.xlsx", "blank-inch.ods", "blank-mm.xlsx", "blank-mm.ods")

Meant = Mapping[str, object]
"""What is typed -> the number that is meant, or the code of the problem that explains why there is none."""

LENGTHS: dict[str, Meant] = {
    "inch": {
        "3/4": 0.75, "3 1/4": 3.25, '3-1/4"': 3.25, "6' 8\"": 80.0, "6 ft 8 in": 80.0, "1-1/2": 1.5, "11/16": 0.6875,
        "25/32": 0.78125, "1/2 in": 0.5, "0 3/4": 0.75, "¾": 0.75, "29": 29.0, "82.5": 82.5, "82,5": 82.5,
        "82.5 mm": 82.5 / MM, "82,5 mm": 82.5 / MM, "1250": "too-large", "1.250,5 mm": 1250.5 / MM, "2-3": "not-a-length",
    },
    "mm": {
        "82.5": 82.5, "82,5": 82.5, "82.5 mm": 82.5, "82,5 mm": 82.5, "0,5": 0.5, "1250": 1250.0, "1.250,5": 1250.5,
        "1.250,5 mm": 1250.5, "1.250 mm": "not-a-length", '3-1/4"': 82.55, "3/4 in": 19.05, "6' 8\"": 2032.0,
        "3/4": "fraction-in-mm", "1-1/2": "fraction-in-mm",
    },
}  # fmt: skip
BY_LOCALE: dict[tuple[str, str], Meant] = {
    ("inch", "en-US"): {"1.250": 1.25, "1,250": "too-large", "8.5.": "not-a-length"},
    ("inch", "de-DE"): {"1.250": "too-large", "1,250": 1.25, "8.5.": "date-number"},
    ("mm", "en-US"): {"1.250": 1.25, "1,250": 1250.0, "11/16": "date-in-length"},
    ("mm", "de-DE"): {"1.250": 1250.0, "1,250": 1.25, "11/16": "fraction-in-mm", "8.5.": "date-in-length"},
}
"""The sign for thousands, and what is taken for a date, are the locale's."""
AT_ONCE: dict[tuple[str, str], Mapping[tuple[str, str], Meant]] = {
    ("inch", "en-US"): {("Parts", "Qty"): {"1/2": "date-number"}},
    ("inch", "de-DE"): {("Parts", "Qty"): {"1/2": "not-whole"}},
    ("mm", "en-US"): {("Parts", "Length"): {"3/4": "date-in-length"}},
    ("mm", "de-DE"): {("Parts", "Length"): {"3/4": "fraction-in-mm"}},
}
"""What comes of a fraction where nothing corrects it to ``½`` or ``¾`` on the way."""

IN_TABLES: dict[str, dict[tuple[str, str], Meant]] = {
    "inch": {
        ("Parts", "Qty"): {"2": 2, "many": "not-a-number", "1/2": "not-whole"},
        ("Parts", "Tenons"): {"1": (1.0, 1.0), "1 + 0": (1.0,), "3/4": (0.75, 0.75), "1 + 1/2": (1.0, 0.5), "1 1/4 one end": (1.25,), "0": ()},
        ("Parts", "Stock"): {"8/4": "8/4", "4/4": "4/4", "27 mm": "27 mm", "1 1/2": "6/4", "3/4": "3/4", "27": "stock-text"},
        ("Labor", "Actual hours"): {"1,75": 1.75, "1 3/4": 1.75, "6:30": "time-in-number"},
    },
    "mm": {
        ("Parts", "Tenons"): {"25": (25.0, 25.0), "25 + 0": (25.0,), "12,5 + 10": (12.5, 10.0), "1 in": (25.4, 25.4), "1/2": "fraction-in-mm"},
        ("Parts", "Stock"): {"27": "27 mm", "41 mm": "41 mm", "52": "52 mm", "8/4": "8/4"},
        ("Loads", "Load"): {"110": 110.0, "82,5": 82.5},
    },
}  # fmt: skip
MONEY: Meant = {
    "12,50": Decimal("12.5"), "12.50": Decimal("12.5"), "12,50 €": Decimal("12.5"), "€ 12,50": Decimal("12.5"),
    "12.-": Decimal(12), "12,-": Decimal(12), "1.250,50": Decimal("1250.5"), "1,250.50 $": Decimal("1250.5"), "2375": Decimal(2375), "ask": "not-a-number",
}  # fmt: skip
TAKEN_AS_LESS: dict[str, Meant] = {"en-US": {"12.-": "too-small"}, "de-DE": {"12,-": "too-small"}}
"""With its own decimal sign the spreadsheet program takes the mark of whole amounts for a minus: -12."""
SHARES: Meant = {"15 %": 0.15, "15": 0.15, "12,5 %": 0.125, "12.5": 0.125, "0": 0.0}

LABELS = {
    "Job": "Bench", "Job number": "3-4", "Round to": "0,5 mm", "Wood moisture now": "7,5 %", "Driest humidity": "30 %",
    "Indoor temperature": "20,5 C", "Hourly rate": "44,50 €", "Overhead": "15 %", "Tax": "7,7", "Deposit": "0,5",
    "Valid for days": "30", "Currency": "€",
}  # fmt: skip
SHEET = {
    "job": "Bench", "number": "3-4", "step": 0.5 / MM, "moisture_now": 7.5, "hourly_rate": Decimal("44.5"),
    "moisture_driest": equilibrium_moisture(68.9, 30), "overhead": 0.15, "tax": 0.077, "valid_days": 30, "currency": "€",
    "date": date(2026, 11, 2), "deposit": 0.005,
}  # fmt: skip
"""What the job holds of them. The spreadsheet program puts a percent sign to the 0,5 of Deposit: that is pointed out."""
DATES = {"en-US": ("11/2/2026", "2.11.2026"), "de-DE": ("2.11.2026", "2. November 2026")}
"""The day in a job's date cell as each locale writes it, one for each format."""


@dataclass(frozen=True)
class Trial:
    """One entry: where it goes, how it is typed, and what is meant."""

    tab: str
    heading: str
    text: str
    meant: object
    at_once: bool = False
    """Taken over as a whole line, so that nothing corrects ``1/2`` to ``½`` on the way."""


def trials(unit: str, locale: str) -> list[Trial]:
    """Give all entries tried in the tables of one template."""
    typed: dict[tuple[str, str], Meant] = {
        ("Parts", "Length"): {**LENGTHS[unit], **BY_LOCALE[unit, locale]},
        ("Extras", "Unit price"): {**MONEY, **TAKEN_AS_LESS[locale]},
        ("Prices", "Waste"): SHARES,
        **IN_TABLES[unit],
    }
    at_once = dict(AT_ONCE[unit, locale])
    if unit == "inch":
        at_once["Parts", "Length"] = {text: meant for text, meant in LENGTHS["inch"].items() if "/" in text}
    return [
        Trial(tab, heading, text, meant, way)
        for way, places in ((False, typed), (True, at_once))
        for (tab, heading), entries in places.items()
        for text, meant in entries.items()
    ]


def headed(page: Page, heading: str) -> tuple[int, int]:
    """Give the cell of a heading or label."""
    return next(address for address, cell in page.cells.items() if cell.value == heading)


def unit_of(name: str) -> str:
    return "mm" if "-mm" in name else "inch"


class Sheet:
    """A template on the desk: every trial in a row of its own, and what else a row needs put beside it."""

    def __init__(self, path: Path, locale: str) -> None:
        self.path, self.unit, self.locale = path, unit_of(path.name), locale
        self.pages = {page.title: page for page in by_ending(path.suffix).read(path.read_bytes()).pages}
        self.trials = trials(self.unit, locale)
        self.cells: list[tuple[int, int]] = []
        rows: dict[str, int] = {}
        for trial in self.trials:
            heading = headed(self.pages[trial.tab], trial.heading)
            rows[trial.tab] = rows.get(trial.tab, heading[0]) + 1
            self.cells.append((rows[trial.tab], heading[1]))

    def basic(self) -> str:
        """Give the work at the desk."""
        lines = [f"OpenFile {quoted(self.path.as_uri())}"]
        for trial, (row, column) in zip(self.trials, self.cells, strict=True):
            lines += self._beside(trial, row)
            way = "EnterLine" if trial.at_once else "TypeKeys"
            lines.append(f"{way} {quoted(trial.tab)}, {quoted(cell_name(row, column))}, {quoted(trial.text)}")
        day = DATES[self.locale][self.path.suffix == ".ods"]
        for label, text in {"Date": day, **LABELS}.items():
            lines.append(f"TypeKeys {quoted('Job')}, {quoted(cell_name(*self.label(label)))}, {quoted(text)}")
        return "\n".join((*lines, "doc.store()", "CloseFile"))

    def _beside(self, trial: Trial, row: int) -> list[str]:
        tab = next(tab for tab in TABLES if tab.title == trial.tab)
        lines = []
        for column in tab.asked:
            needed = column.required or (trial.tab == LOADS.title and column.name in FROM_PART)
            if needed and column.heading != trial.heading:
                cell = cell_name(row, headed(self.pages[trial.tab], column.heading)[1])
                filler = FILLER[self.unit].get(column.name, f"{trial.heading} {row}")
                shown = f"Value = {filler}" if isinstance(filler, int) else f"String = {quoted(filler)}"
                lines.append(f"At({quoted(trial.tab)}, {quoted(cell)}).{shown}")
        return lines

    def label(self, label: str) -> tuple[int, int]:
        """Give the cell of a labeled value."""
        return headed(self.pages["Job"], label)[0], 2

    def intake(self) -> Intake:
        """Give the job as the saved file holds it."""
        return take_in(by_ending(self.path.suffix).read(self.path.read_bytes()).pages)


COMMON: dict[str, str | int] = {"species": "White oak", "stock": "4/4", "minutes": 5, "load": 50}
FILLER: dict[str, dict[str, str | int]] = {
    "inch": {**COMMON, "thickness": 1, "width": 2, "length": 20, "span": 12},
    "mm": {**COMMON, "thickness": 20, "width": 50, "length": 500, "span": 300},
}
"""What stands beside a trial, where its row needs it."""


@pytest.fixture(scope="module", params=["en-US", "de-DE"])
def desk(
    request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory, office: object
) -> list[Sheet]:
    """Give the four templates after all entries were typed into them in one locale."""
    folder = tmp_path_factory.mktemp(request.param)
    sheets = []
    for name in NAMES:
        shutil.copy(TEMPLATES / name, folder / name)
        sheets.append(Sheet(folder / name, request.param))
    assert at_the_desk(folder, "\n".join(sheet.basic() for sheet in sheets), request.param) == []
    return sheets


def read_as(sheet: Sheet, intake: Intake, trial: Trial, row: int, column: int) -> object:
    """Give what the job holds of an entry: the code of its problem, or its value in the job's own unit."""
    codes = [
        found.code
        for found in intake.problems
        if (found.tab, found.row, found.column) == (trial.tab, row, column)
    ]
    if codes:
        return codes[0]
    asked = next(tab for tab in TABLES if tab.title == trial.tab).asked
    name = next(one.name for one in asked if one.heading == trial.heading)
    kind = next(one.kind for one in asked if one.heading == trial.heading)
    record = next(one for one in getattr(intake.job, ROWS[trial.tab][0]) if one.row == row)
    value = getattr(record, name)
    scale = MM if sheet.unit == "mm" else 1.0
    if kind is Kind.LENGTH:
        return pytest.approx(value * scale)
    if kind is Kind.TENONS:
        return pytest.approx(tuple(each * scale for each in value))
    return value.name if kind is Kind.STOCK else value


def test_every_entry_is_read_as_it_was_meant_or_explained(desk: list[Sheet]) -> None:
    wrong = []
    for sheet in desk:
        intake = sheet.intake()
        for trial, cell in zip(sheet.trials, sheet.cells, strict=True):
            found = read_as(sheet, intake, trial, *cell)
            if found != trial.meant:
                wrong.append((sheet.path.name, trial, found))
    assert wrong == []


def test_nothing_is_found_fault_with_but_what_is_wrong(desk: list[Sheet]) -> None:
    for sheet in desk:
        bad = {
            (trial.tab, *cell)
            for trial, cell in zip(sheet.trials, sheet.cells, strict=True)
            if isinstance(trial.meant, str)
        }
        bad.add(("Job", *sheet.label("Deposit")))
        assert {(found.tab, found.row, found.column) for found in sheet.intake().problems} <= bad


def test_the_labeled_values_are_read_as_they_were_meant(desk: list[Sheet]) -> None:
    for sheet in desk:
        intake = sheet.intake()
        for field, meant in SHEET.items():
            found = getattr(intake.job.sheet, field)
            assert found == (pytest.approx(meant) if isinstance(meant, float) else meant), (
                sheet.path.name,
                field,
            )
        place = f"Job!{cell_name(*sheet.label('Deposit'))}"
        deposit = next(found for found in intake.problems if found.place == place)
        assert (deposit.code, deposit.instead) == ("share-tiny", "If 50 % is meant, write 50.")


def test_a_check_of_the_file_lists_every_problem_and_writes_nothing(desk: list[Sheet]) -> None:
    for sheet in desk:
        before = sheet.path.read_bytes()
        outcome = run(sheet.path, check=True)
        assert not outcome.ok
        assert {found.place for found in sheet.intake().problems} <= {
            found.place for found in outcome.problems
        }
        assert sheet.path.read_bytes() == before
