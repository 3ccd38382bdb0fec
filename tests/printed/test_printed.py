"""Our numbers beside the printed ones, row by row, to half of the last printed digit."""

from __future__ import annotations

import pytest

from sheetkit.calc.movement import coefficient_from_shrinkage
from sheetkit.tables import rows
from tests.make_printed import MEANS, PRINTED, printed_text
from tests.printed.check import Check, Kind
from tests.printed.exceptions import EXCEPTIONS
from tests.printed.table import CHECKS

BY_ID = {row["id"]: row for row in rows("species")}


@pytest.mark.parametrize("check", CHECKS, ids=lambda check: check.quantity)
def test_ours_is_the_printed_value(check: Check) -> None:
    ours = check.ours()
    assert abs(ours - float(check.printed)) <= check.tolerance + 1e-12, f"{ours} against {check.printed}"


def test_every_check_names_its_quantity_and_its_source_once() -> None:
    assert all(check.quantity and check.source for check in CHECKS)
    assert len({check.quantity for check in CHECKS}) == len(CHECKS)


def test_a_tolerance_of_its_own_is_explained_or_is_that_of_the_grid() -> None:
    for check in CHECKS:
        assert check.within is None or check.note or check.within in (0.1, 1e-12), check.quantity


def test_the_grid_of_moistures_is_whole() -> None:
    temperatures, humidities = range(30, 201, 10), range(5, 96, 5)
    printed = {(float(row["temperature_f"]), float(row["humidity_percent"])) for row in rows("emc")}
    assert printed == {(t, h) for t in temperatures for h in humidities}
    assert sum(check.group == "EMC grid" for check in CHECKS) == 342


def test_the_equation_is_nowhere_further_from_the_grid_than_seven_hundredths() -> None:
    worst = max(abs(check.ours() - float(check.printed)) for check in CHECKS if check.group == "EMC grid")
    assert worst == pytest.approx(0.067, abs=5e-4)  # 150 °F, 95 %


@pytest.mark.parametrize(("species", "way"), EXCEPTIONS, ids=" ".join)
def test_an_exception_is_off_by_what_is_said_and_no_coefficient_besides(species: str, way: str) -> None:
    row, (percent, reason) = BY_ID[species], EXCEPTIONS[species, way]
    derived = coefficient_from_shrinkage(float(row[f"shrink_{way}"]), float(row["shrink_start"]))
    printed = float(row[f"coef_{way}"])
    assert abs(printed - derived) > 1.05e-5, "it is no exception"
    assert 100 * (printed / derived - 1) == pytest.approx(percent, abs=0.06)
    assert reason


def test_all_coefficients_with_a_shrinkage_are_checked_or_named_as_exceptions() -> None:
    pairs = sum(
        bool(row[f"shrink_{way}"] and row[f"coef_{way}"])
        for row in BY_ID.values()
        for way in ("radial", "tangential")
    )
    assert sum(check.group == "coefficients" for check in CHECKS) + len(EXCEPTIONS) == pairs
    assert pairs - len(EXCEPTIONS) == 150


def test_the_table_for_the_documentation_is_up_to_date() -> None:
    assert PRINTED.read_text("utf-8") == printed_text(), "run: python -m tests.make_printed"


def test_every_number_stands_in_the_table_with_what_speaks_for_it() -> None:
    text = printed_text()
    assert set(MEANS) == set(Kind)
    lines = text.splitlines()
    for check in CHECKS:
        (line,) = (line for line in lines if line.startswith(f"| {check.quantity} |"))
        assert f"| {check.source} | {check.printed} |" in line
        assert str(check.kind) in line
    assert "quoted from memory" in text
