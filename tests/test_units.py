"""What a person types for a size, an amount, a share or a temperature, and what is rounded for the page."""

from __future__ import annotations

import contextlib
import math
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from sheetkit.intake.amounts import money_from_text
from sheetkit.units import (
    BOARD_FEET_PER_M3,
    MM,
    NotANumber,
    Unit,
    cents,
    fraction_text,
    length_from_text,
    length_text,
    money_from_number,
    number_from_text,
    rounded,
    rounded_down,
    rounded_up,
    share_from_text,
    shown,
    temperature_from_text,
)

WITHOUT_UNIT = {
    "3 1/4": 3.25, "3-1/4": 3.25, "3–1/4": 3.25, "3.25": 3.25, "3,25": 3.25, "3¼": 3.25, "3 ¼": 3.25,
    "3/4": 0.75, "0 3/4": 0.75, "¾": 0.75, ".75": 0.75, "3⁄4": 0.75, "+3": 3.0, "3": 3.0, "13/4": 3.25,
    "1⅜": 1.375, "29": 29.0, " 3\u00a01/4 ": 3.25, "-1/2": -0.5, "−3": -3.0,
}  # fmt: skip
"""A number that bears no unit, in the unit of the job."""

WITH_UNIT = {
    '3-1/4"': 3.25, "3 1/4 in": 3.25, "3 1/4in.": 3.25, "3.25 inches": 3.25, "3″": 3.0, "3”": 3.0, "½\"": 0.5,
    "6' 8\"": 80.0, "6'8\"": 80.0, "6'-8\"": 80.0, "6′ 8″": 80.0, "6’ 8”": 80.0, "6' 8 1/2\"": 80.5, "6' 8": 80.0,
    "6 ft 8 in": 80.0, "6 ft. 8 in.": 80.0, "6 FEET 8 INCHES": 80.0, "6 foot 8 inch": 80.0, "6'": 72.0, "1 yd": 36.0,
    "82.5 mm": 82.5 / MM, "82,5mm": 82.5 / MM, "8.25 cm": 82.5 / MM, "1.2 m": 1200 / MM, "1 m 20 cm": 1200 / MM,
}  # fmt: skip
"""A unit in the text is used before the job's."""

NO_LENGTH = [
    "", " ", "three", "3 1", "3 1/4 1/8", "3/4/5", "3//4", "5 1/0", "1/0", "1e3", "nan", "inf", "2 x", "3 kg", "5 mm 2 in",
    "8\" 6'", "1.5.2", "²", "3²", "1 1,5", "#REF!", "12-34", "2 in 3 in", "-", "+", "'", "1 250 mm", "9" * 400, "☃", "3 1/4\"\"",
    "--3", "1'200", "1'13", "3-", "3 thou", "1 mile",
]  # fmt: skip


@pytest.mark.parametrize("unit", ["in", "mm"])
@pytest.mark.parametrize("text", WITHOUT_UNIT)
def test_a_length_without_a_unit_is_in_the_unit_of_the_job(text: str, unit: Unit) -> None:
    inches = WITHOUT_UNIT[text] / (1.0 if unit == "in" else MM)
    assert length_from_text(text, unit) == pytest.approx(inches, rel=1e-12)


@pytest.mark.parametrize("unit", ["in", "mm"])
@pytest.mark.parametrize("text", WITH_UNIT)
def test_a_unit_in_the_text_wins(text: str, unit: Unit) -> None:
    assert length_from_text(text, unit) == pytest.approx(WITH_UNIT[text], rel=1e-12)


@pytest.mark.parametrize("unit", ["in", "mm"])
@pytest.mark.parametrize("text", NO_LENGTH)
def test_what_is_no_length_is_refused_rather_than_guessed(text: str, unit: Unit) -> None:
    with pytest.raises(NotANumber):
        length_from_text(text, unit)


@pytest.mark.parametrize("text", ["1,250 mm", "1.250 mm", "2,400mm", "5.000 mm"])
def test_millimeters_that_may_be_thousands_are_not_guessed(text: str) -> None:
    """1,250 mm is a long rail to one maker and a veneer to another."""
    with pytest.raises(NotANumber):
        length_from_text(text, "in")
    with pytest.raises(NotANumber):
        length_from_text(text.removesuffix("mm"), "mm")


@pytest.mark.parametrize(
    ("text", "inches"), [("0,375", 0.375), ("3,125", 3.125), ("19.050 mm", 0.75), ("720,000 mm", 720 / MM)]
)
def test_three_decimals_are_read_where_they_cannot_be_thousands(text: str, inches: float) -> None:
    assert length_from_text(text, "in") == pytest.approx(inches)


@given(st.integers(-64 * 600, 64 * 600))
def test_a_size_in_64ths_written_and_read_again_is_the_same(ticks: int) -> None:
    size = ticks / 64
    text = fraction_text(size)
    assert length_from_text(text, "in") == size
    if "/" in text:
        over, under = text.split()[-1].lstrip("-").split("/")
        assert math.gcd(int(over), int(under)) == 1
        assert int(over) < int(under)


@given(st.integers(0, 2 * 15_000))
def test_a_size_in_half_millimeters_written_and_read_again_is_the_same(halves: int) -> None:
    text = length_text(halves / 2 / MM, "mm")
    assert length_from_text(text, "mm") * MM == pytest.approx(halves / 2, abs=1e-9)
    assert shown(halves / 2 / MM, "mm") == halves / 2


@given(
    st.integers(0, 40),
    st.fractions(0, 1, max_denominator=64),
    st.sampled_from(["{0} {1}", "{0}-{1}", '{0}-{1}"', "{0} {1} in", "0' {0} {1}\""]),
)
def test_every_way_of_writing_a_fraction_is_the_same_size(whole: int, part: Fraction, way: str) -> None:
    assume(whole < 12 or not way.startswith("0'"))  # more than a foot after the feet is never meant
    text = way.format(whole, f"{part.numerator}/{part.denominator}")
    assert length_from_text(text, "in") == pytest.approx(float(whole + part))


@given(
    st.integers(0, 49),
    st.integers(0, 11),
    st.sampled_from(["{}' {}\"", "{} ft {} in", "{}'-{}\"", "{} feet {} inches"]),
)
def test_feet_and_inches_are_added(feet: int, inches: int, way: str) -> None:
    assert length_from_text(way.format(feet, inches), "mm") == 12 * feet + inches


@given(st.text(max_size=12))
def test_any_text_at_all_is_a_length_or_none(text: str) -> None:
    for unit in ("in", "mm"):
        with contextlib.suppress(NotANumber):
            assert math.isfinite(length_from_text(text, unit))


@pytest.mark.parametrize(
    ("text", "number"),
    [
        ("1,250.50", 1250.5), ("1.250,50", 1250.5), ("1'250.50", 1250.5), ("1 250,50", 1250.5), ("12,5", 12.5), ("12.5", 12.5),
        ("3 1/4", 3.25), ("1,250,000", 1_250_000), ("1.250.000", 1_250_000), ("-7", -7), ("0", 0), ("½", 0.5),
    ],
)  # fmt: skip
def test_a_number_is_read_with_point_or_comma_and_thousands_set_apart(text: str, number: float) -> None:
    assert number_from_text(text) == number


@pytest.mark.parametrize("text", ["", "many", "1.2.3", "1,2,3", "12x", "1e5", "nan", "inf", "--1"])
def test_what_is_no_number_is_refused(text: str) -> None:
    with pytest.raises(NotANumber):
        number_from_text(text)


@pytest.mark.parametrize(
    ("text", "share"),
    [("20", 0.2), ("20 %", 0.2), ("20%", 0.2), ("0.2", 0.2), ("0,2", 0.2), ("12,5 %", 0.125), ("100 %", 1.0), ("0.5 %", 0.005),
     ("1", 0.01), ("0", 0.0)],
)  # fmt: skip
def test_a_percentage_is_read_with_and_without_its_sign(text: str, share: float) -> None:
    assert share_from_text(text) == pytest.approx(share)


@pytest.mark.parametrize(
    ("text", "amount"),
    [("9.50", "9.5"), ("$9.50", "9.5"), ("9,50 €", "9.5"), ("USD 1,250.50", "1250.5"), ("1.250,50 €", "1250.5"), ("€9.5/bf", "9.5"),
     ("-3", "-3"), ("12", "12"), ("$1,250", "1250"), ("1'250 CHF", "1250"), ("0.125", "0.125"), ("1.250,00 €", "1250"),
     ("12.-", "12"), ("CHF 12.-", "12"), ("12,- €", "12"), ("12.--", "12"), ("1'250.–", "1250"), ("₨ 5", "5")],
)  # fmt: skip
def test_an_amount_is_read_with_its_sign_before_or_after(text: str, amount: str) -> None:
    assert money_from_text(text) == Decimal(amount)


@pytest.mark.parametrize(
    "text",
    [
        "", "$", "free", "nan", "9.50.1", "1.250 €", "1.250", "USD 5.000", "1,250 €", "EUR 1,250", "1O", "l5", "$12k", "3 kg",
        "2x", "3?", "ab 12", "(12.50)", "5-", "12%", "$5€", "-$-5",
    ],
)  # fmt: skip
def test_what_is_no_amount_is_refused(text: str) -> None:
    with pytest.raises(NotANumber):
        money_from_text(text)


@given(st.integers(-(10**9), 10**9))
def test_a_stored_amount_carries_no_dust_of_binary_fractions(hundredths: int) -> None:
    assert money_from_number(hundredths / 100) == Decimal(hundredths) / 100
    assert cents(money_from_number(hundredths / 100)) == Decimal(hundredths) / 100


def test_half_a_cent_goes_up_as_round_does_in_office_programs() -> None:
    assert [str(cents(Decimal(text))) for text in ("0.005", "2.675", "2.6749", "-0.005")] == [
        "0.01",
        "2.68",
        "2.67",
        "-0.01",
    ]


@pytest.mark.parametrize(
    ("text", "unit", "degrees"),
    [("70", "in", 70.0), ("70 F", "mm", 70.0), ("21 C", "in", 69.8), ("21 °C", "in", 69.8), ("21,5°C", "in", 70.7),
     ("20", "mm", 68.0), ("70 degrees F", "in", 70.0), ("20 Celsius", "in", 68.0)],
)  # fmt: skip
def test_a_temperature_is_fahrenheit_in_an_inch_job_unless_it_says_otherwise(
    text: str, unit: Unit, degrees: float
) -> None:
    assert temperature_from_text(text, unit) == pytest.approx(degrees)


STEPS = st.sampled_from([1 / 16, 1 / 32, 1 / 64, 0.5 / MM, 1 / MM])


@given(st.floats(0, 600), STEPS)
def test_blanks_never_come_out_smaller_and_panels_never_larger(size: float, step: float) -> None:
    up, down, near = rounded_up(size, step), rounded_down(size, step), rounded(size, step)
    dust = step * 1e-6
    assert size - dust <= up < size + step + dust
    assert size - step - dust < down <= size + dust
    assert abs(near - size) <= step / 2 + dust


@given(st.integers(0, 600 * 64), STEPS)
def test_a_size_on_the_step_stays_there_whatever_binary_dust_it_carries(ticks: int, step: float) -> None:
    size = ticks * step
    for dusty in (size, math.nextafter(size, 1e9), size - 1e-12):
        assert rounded_up(dusty, step) == rounded_down(dusty, step) == pytest.approx(size)


def test_a_size_is_shown_as_a_reduced_fraction() -> None:
    assert [fraction_text(size) for size in (3.25, 3.5, 0.015625, 12.0, 0.0, 1 - 1e-12, -0.25)] == [
        "3 1/4", "3 1/2", "1/64", "12", "0", "1", "-1/4",
    ]  # fmt: skip


def test_a_cubic_meter_is_423_776_board_feet() -> None:
    """1/(144 x 0.0254^3): a board foot is 12 x 12 x 1 in (Wood Handbook, FPL-GTR-282, 2021, Glossary; from memory)."""
    assert pytest.approx(1 / (144 * 0.0254**3)) == BOARD_FEET_PER_M3
    assert round(BOARD_FEET_PER_M3, 3) == 423.776
