"""The climate that a piece lives in, and how far a panel of each species moves there between the seasons."""

from __future__ import annotations

from dataclasses import dataclass

from sheetkit.calc.moisture import equilibrium_moisture
from sheetkit.calc.movement import RANGE, Movement, seasonal_swing
from sheetkit.plan.shop import movement_of
from sheetkit.records.job import Job, JobSheet
from sheetkit.records.notes import tell_of_label
from sheetkit.records.problems import Problem
from sheetkit.records.units import Units
from sheetkit.tables import Species
from sheetkit.units import Unit


@dataclass(frozen=True, slots=True)
class Air:
    """Indoor air at its driest and at its wettest."""

    temperature: float
    """[°F]"""
    driest: float
    """Relative humidity [%]."""
    wettest: float


@dataclass(frozen=True, slots=True)
class Climate:
    """Wood moisture at the driest and at the wettest [%], and the air that leads to it."""

    driest: float
    wettest: float
    air: Air | None = None
    """None when the moistures are the shop's usual ones."""

    @property
    def inside_range(self) -> bool:
        """Whether the change coefficients serve, rather than the shrinkage."""
        low, high = RANGE
        return low <= self.driest and self.wettest <= high


@dataclass(frozen=True, slots=True)
class Movements:
    """Species whose panels are asked for, in which climate, and how wide."""

    species: tuple[Species, ...]
    climate: Climate
    sizes: tuple[tuple[Unit, float], ...]
    """Widths at the driest [in], each with the unit that it is answered in."""
    unit: Unit
    """Of the temperature, and of what has none of its own."""


def degrees_of(air: Air, unit: Unit) -> float:
    """Return the temperature of the air [°F], or in a mm job [°C]."""
    return Units(unit).either(air.temperature, round((air.temperature - 32) / 1.8, 1))


def usual_climate() -> Climate:
    """Return the moistures that a job takes when Job names no climate."""
    unfilled = JobSheet(job="", unit="in", step=0.0, measure="exact")
    return Climate(unfilled.moisture_driest, unfilled.moisture_wettest)


def climate_of(air: Air) -> Climate:
    """Return the wood moistures that the air leads to.

    Raises
    ------
    ValueError
        When the air is outside the published table.
    """
    driest = equilibrium_moisture(air.temperature, air.driest)
    return Climate(driest, equilibrium_moisture(air.temperature, air.wettest), air)


@dataclass(frozen=True, slots=True)
class Swing:
    """How much wider a panel is at the wettest than at the driest [in]; None where no figures are known."""

    flat: float | None
    quarter: float | None


def panel_swing(species: Species, width: float, climate: Climate) -> Swing:
    """Return the seasonal swing of a panel of a species, ``width`` [in] wide at the driest."""
    return Swing(*(_swing(movement_of(species, cut), width, climate) for cut in ("flat", "quarter")))


def _swing(movement: Movement | None, width: float, climate: Climate) -> float | None:
    if movement is None:
        return None
    return seasonal_swing(width, movement, climate.driest, climate.driest, climate.wettest)


LEAST_SAID = 0.05
"""A difference of moisture that no meter shows [%]."""


def tell_of_climate(job: Job, told: list[Problem]) -> None:
    """Note what is assumed of the climate, or not known, and wood that is not at rest in it."""
    sheet, now = job.sheet, job.sheet.moisture_now
    if now is None and job.panels:
        tell_of_label("moisture_now", "no-moisture", job, told)
    if sheet.climate_assumed and job.panels:
        assumed = {"driest": f"{sheet.moisture_driest:g}", "wettest": f"{sheet.moisture_wettest:g}"}
        tell_of_label("moisture_driest", "assumed-climate", job, told, **assumed)
    if now is None or sheet.moisture_driest - LEAST_SAID <= now <= sheet.moisture_wettest + LEAST_SAID:
        return
    wet = now > sheet.moisture_wettest
    words = {"now": f"{now:.1f}", "limit": f"{sheet.moisture_wettest if wet else sheet.moisture_driest:.1f}"}
    code = "wetter-than-use" if wet else "drier-than-use"
    tell_of_label("moisture_now", code, job, told, stands=words["now"], **words)
