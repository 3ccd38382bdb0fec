"""Gluing up: time against the adhesive's open time, clamps by number, force and length, and adhesive to have."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum

_SLACK = 1e-9


class Time(StrEnum):
    """Whether a glue-up fits the adhesive's time."""

    OK = "ok"
    OVER_OPEN = "over the open time"
    OVER_ASSEMBLY = "over the assembly time"
    NOT_EVEN_ONE = "not even one joint"


class Reach(StrEnum):
    """How a clamp of the length needed is had."""

    ONE = "one"
    JOINED = "two joined"
    NONE = "none long enough"


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


@dataclass(frozen=True)
class ClampRow:
    """Clamps along a joint: places from one end [in]; `below` tells which go under a panel."""

    spacing: float
    places: tuple[float, ...]
    below: tuple[bool, ...]


@dataclass(frozen=True)
class ClampChoice:
    """The clamps to take, one or two joined end to end [in], for the length needed [in]."""

    reach: Reach
    needed: float
    clamps: tuple[float, ...]


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
    reason, steps = Time.NOT_EVEN_ONE, ()
    if a_step >= 1:
        count = math.ceil(joints / a_step)
        steps = tuple(joints // count + (place < joints % count) for place in range(count))
        over_open = spread > adhesive.open_time + _SLACK
        reason = Time.OK if count == 1 else Time.OVER_OPEN if over_open else Time.OVER_ASSEMBLY
    return GlueUpTime(reason, spread, spread + closing, adhesive.open_time, adhesive.assembly_time, steps)


def adhesives_that_fit(spread: float, whole: float, kinds: Iterable[AdhesiveTime]) -> tuple[str, ...]:
    """Give the adhesive kinds that leave time for a glue-up in one go.

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
    >>> adhesives_that_fit(8, 9, [AdhesiveTime("epoxy slow", 20, 20), AdhesiveTime("PVA", 5, 10)])
    ('epoxy slow',)

    References
    ----------
    Common practice, no source.
    """
    if not 0 < spread <= whole < math.inf:
        raise ValueError("spreading must take some time and no longer than the whole")
    fit = [k for k in kinds if spread <= k.open_time + _SLACK and whole <= k.assembly_time + _SLACK]
    return tuple(kind.kind for kind in sorted(fit, key=lambda k: (k.open_time, k.assembly_time, k.kind)))


def clamp_row(along: float, largest_spacing: float, end: float | None = None, least: int = 2) -> ClampRow:
    """Space clamps along a joint.

    Parameters
    ----------
    along : float
        Length along which the clamps stand [in]
    largest_spacing : float
        Most from one clamp to the next [in]
    end : float, optional
        From each end to the nearest clamp; half the largest spacing, or a quarter of a short length,
        unless given [in]
    least : int
        Fewest clamps [-]

    Returns
    -------
    ClampRow
        Equally spaced; on a panel they go above and below by turns, so that it stays flat.

    Raises
    ------
    ValueError
        If a length is not above 0, the ends take up the whole length, or least is below 1.

    Notes
    -----
    Places are worked out from one end. Not rounded.

    Examples
    --------
    >>> clamp_row(36, 9).places
    (4.5, 13.5, 22.5, 31.5)

    References
    ----------
    Common practice, no source.
    """
    if not (0 < along < math.inf and 0 < largest_spacing < math.inf) or least < 1:
        raise ValueError("lengths must be above 0, with at least one clamp")
    inset = min(largest_spacing / 2, along / 4) if end is None else end
    run = along - 2 * inset
    if not 0 <= inset or run < 0:
        raise ValueError("the end clamps must stand on the length")
    count = max(least, math.ceil(run / largest_spacing - _SLACK) + 1)
    if count == 1:
        return ClampRow(0.0, (along / 2,), (False,))
    places = tuple(inset + run * place / (count - 1) for place in range(count))
    return ClampRow(run / (count - 1), places, tuple(place % 2 == 1 for place in range(count)))


def clamp_force(area: float, pressure: float) -> float:
    """Give the force that presses a glued area.

    Parameters
    ----------
    area : float
        Glued area [in2]
    pressure : float
        Pressure wanted for the adhesive and the wood [psi]

    Returns
    -------
    float
        Force of all clamps together [lb]

    Raises
    ------
    ValueError
        If a number is not above 0.

    Notes
    -----
    Not rounded.

    Examples
    --------
    >>> clamp_force(27, 100)
    2700

    References
    ----------
    Arithmetic; pressures: Wood Handbook, ch. 10 (from memory).
    """
    if not (0 < area < math.inf and 0 < pressure < math.inf):
        raise ValueError("area and pressure must be above 0")
    return area * pressure


def clamps_for_force(force: float, force_a_clamp: float) -> int:
    """Give how many clamps bring a force.

    Parameters
    ----------
    force : float
        Force of all clamps together [lb]
    force_a_clamp : float
        Force that one clamp brings [lb]

    Returns
    -------
    int
        Number of clamps.

    Raises
    ------
    ValueError
        If a number is not above 0.

    Notes
    -----
    Rounded up.

    Examples
    --------
    >>> clamps_for_force(2700, 600)
    5

    References
    ----------
    Arithmetic.
    """
    if not (0 < force < math.inf and 0 < force_a_clamp < math.inf):
        raise ValueError("forces must be above 0")
    return math.ceil(force / force_a_clamp - _SLACK)


def clamp_length(size: float, jaws: float) -> float:
    """Give the opening that a clamp needs.

    Parameters
    ----------
    size : float
        Size of the assembly in the direction of the clamps [in]
    jaws : float
        What the jaws, pads and cauls take, and room to slip the clamp on [in]

    Returns
    -------
    float
        Least opening [in]

    Raises
    ------
    ValueError
        If the size is not above 0 or the jaws are below 0.

    Notes
    -----
    Not rounded; round up.

    Examples
    --------
    >>> clamp_length(80, 3)
    83

    References
    ----------
    Common practice, no source.
    """
    if not 0 < size < math.inf or not 0 <= jaws < math.inf:
        raise ValueError("the size must be above 0, the jaws at least 0")
    return size + jaws


def clamp_choice(needed: float, owned: Sequence[float], joining_takes: float = 0.0) -> ClampChoice:
    """Choose the clamp length, or two joined end to end where none alone is long enough.

    Parameters
    ----------
    needed : float
        Least opening [in]
    owned : sequence of float
        Lengths owned, each taken as owned in pairs or more [in]
    joining_takes : float
        Length lost where two are hooked together [in]

    Returns
    -------
    ClampChoice
        The shortest that does; of two joined, the pair with the least length over, the more alike first.

    Raises
    ------
    ValueError
        If a length is not above 0, or joining takes less than 0.

    Notes
    -----
    Not rounded.

    Examples
    --------
    >>> clamp_choice(83, [24, 36, 50]).clamps
    (50, 36)

    References
    ----------
    Common practice, no source.
    """
    if not all(0 < length < math.inf for length in (needed, *owned)) or not 0 <= joining_takes < math.inf:
        raise ValueError("lengths must be above 0, what joining takes at least 0")
    ones = [length for length in owned if length >= needed - _SLACK]
    if ones:
        return ClampChoice(Reach.ONE, needed, (min(ones),))
    lengths = sorted(set(owned), reverse=True)
    pairs = [
        (longer + shorter, longer, shorter)
        for place, longer in enumerate(lengths)
        for shorter in lengths[place:]
        if longer + shorter - joining_takes >= needed - _SLACK
    ]
    if pairs:
        return ClampChoice(Reach.JOINED, needed, min(pairs)[1:])
    return ClampChoice(Reach.NONE, needed, ())


def adhesive_weight(area: float, spread_rate: float, waste: float = 0.0) -> float:
    """Give the adhesive to mix or have for a glued area.

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
    """Give the volume of an adhesive.

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
