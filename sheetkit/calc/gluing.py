"""Gluing up: minutes needed against what the adhesive allows, the steps to split into, adhesive to have."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

_SLACK = 1e-9


class Time(StrEnum):
    """Whether a glue-up fits the adhesive's time."""

    OK = "ok"
    OVER_OPEN = "over the open time"
    OVER_ASSEMBLY = "over the assembly time"
    NOT_EVEN_ONE = "not even one joint"


@dataclass(frozen=True)
class AdhesiveTime:
    """An adhesive kind with its open time and its assembly time [min]."""

    kind: str
    open_time: float
    assembly_time: float


@dataclass(frozen=True)
class GlueUpTime:
    """Minutes to spread and close, to the last clamp, against what the adhesive allows [min].

    `steps` holds how many joints each step takes; one step when all fit, none when not even one does.
    """

    reason: Time
    spread: float
    whole: float
    open_time: float
    assembly_time: float
    steps: tuple[int, ...]


def glue_up_time(joints: int, minutes_a_joint: float, closing: float, adhesive: AdhesiveTime) -> GlueUpTime:
    """Compare the minutes a glue-up needs with the adhesive's times, and split it if it must be.

    Parameters
    ----------
    joints : int
        Joints in the glue-up [-]
    minutes_a_joint : float
        Minutes to spread and close one joint [min]
    closing : float
        Minutes from the last joint to the last clamp, once a step [min]
    adhesive : AdhesiveTime
        Open time (first spread to parts together) and assembly time (first spread to pressure) [min]

    Returns
    -------
    GlueUpTime
        With the fewest steps that each keep to both times, as even as can be.

    Raises
    ------
    ValueError
        If there is no joint, a time is not above 0, or closing is below 0.

    Notes
    -----
    Not rounded.

    Examples
    --------
    >>> glue_up_time(16, 1.0, 1.0, AdhesiveTime("PVA", 5, 10)).steps
    (4, 4, 4, 4)

    References
    ----------
    Common practice, no source.
    """
    if joints < 1 or not all(
        0 < time < math.inf for time in (minutes_a_joint, adhesive.open_time, adhesive.assembly_time)
    ):
        raise ValueError("there must be at least one joint, and times above 0")
    if not 0 <= closing < math.inf:
        raise ValueError("closing must take at least 0 minutes")
    spread = joints * minutes_a_joint
    at_most = min(adhesive.open_time, adhesive.assembly_time - closing) / minutes_a_joint
    a_step = min(joints, math.floor(at_most + _SLACK))
    reason = Time.NOT_EVEN_ONE
    steps: tuple[int, ...] = ()
    if a_step >= 1:
        count = math.ceil(joints / a_step)
        steps = tuple(joints // count + (place < joints % count) for place in range(count))
        over_open = spread > adhesive.open_time + _SLACK
        reason = Time.OK if count == 1 else Time.OVER_OPEN if over_open else Time.OVER_ASSEMBLY
    return GlueUpTime(reason, spread, spread + closing, adhesive.open_time, adhesive.assembly_time, steps)


def adhesives_that_fit(spread: float, whole: float, kinds: Iterable[AdhesiveTime]) -> tuple[str, ...]:
    """Return the adhesive kinds that leave time for a glue-up in one go.

    Parameters
    ----------
    spread : float
        Minutes to spread and close [min]
    whole : float
        Minutes to the last clamp [min]
    kinds : iterable of AdhesiveTime
        Kinds to choose from, with their times [min]

    Returns
    -------
    tuple of str
        Kinds that do, the quickest first.

    Raises
    ------
    ValueError
        If the spreading takes no time or longer than the whole.

    Notes
    -----
    A kind that just makes it counts.

    Examples
    --------
    >>> adhesives_that_fit(8, 9, [AdhesiveTime("slow epoxy", 20, 20), AdhesiveTime("PVA", 5, 10)])
    ('slow epoxy',)

    References
    ----------
    Common practice, no source.
    """
    if not 0 < spread <= whole < math.inf:
        raise ValueError("spreading must take some time and no longer than the whole")
    fit = [k for k in kinds if spread <= k.open_time + _SLACK and whole <= k.assembly_time + _SLACK]
    return tuple(kind.kind for kind in sorted(fit, key=lambda k: (k.open_time, k.assembly_time, k.kind)))


def adhesive_weight(area: float, spread_rate: float, waste: float = 0.0) -> float:
    """Return the adhesive to mix or have for a glued area.

    Parameters
    ----------
    area : float
        Area of the glue lines [in2]
    spread_rate : float
        Adhesive for 1000 square feet of a single glue line [lb/1000 ft2]
    waste : float
        Added for what is squeezed out or left in the pot, as a share of what is spread [-]

    Returns
    -------
    float
        Weight of adhesive [lb]

    Raises
    ------
    ValueError
        If area or rate is not above 0, or the waste is below 0.

    Notes
    -----
    Not rounded; round up.

    Examples
    --------
    >>> adhesive_weight(14400, 50, waste=0.2)
    6.0

    References
    ----------
    Spread rates: Wood Handbook, ch. 10 (from memory).
    """
    if not (0 < area < math.inf and 0 < spread_rate < math.inf and 0 <= waste < math.inf):
        raise ValueError("area and rate must be above 0, the waste at least 0")
    return area / 144 / 1000 * spread_rate * (1 + waste)


def adhesive_volume(weight: float, pounds_per_gallon: float) -> float:
    """Return the volume of an adhesive.

    Parameters
    ----------
    weight : float
        Weight of adhesive [lb]
    pounds_per_gallon : float
        Weight of a US gallon of it [lb/gal]

    Returns
    -------
    float
        Volume [US fl oz]

    Raises
    ------
    ValueError
        If a number is not above 0.

    Notes
    -----
    128 fluid ounces make a gallon. Not rounded; round up.

    Examples
    --------
    >>> adhesive_volume(0.5, 8)
    8.0

    References
    ----------
    Arithmetic.
    """
    if not (0 < weight < math.inf and 0 < pounds_per_gallon < math.inf):
        raise ValueError("weight and weight of a gallon must be above 0")
    return weight / pounds_per_gallon * 128
