"""Delivery: what is carried in one piece, how heavy it is, and how many people that takes."""

from __future__ import annotations

from collections.abc import Iterator

from sheetkit.calc.lifting import hands
from sheetkit.plan.assembling import loose_parts
from sheetkit.records.answers import Answers
from sheetkit.records.job import Panel, Part
from sheetkit.records.joinery import JointAnswer
from sheetkit.records.work import Carried, Fitting, Line

LOOSENED = "hardware"
"""The kind of joint at which a piece comes apart again."""


def delivery(answers: Answers) -> tuple[Line, ...]:
    """Return the loads, and what goes along."""
    loads = list(_loads(answers))
    if not loads and answers.weight is not None:
        loads = [Carried((), answers.weight, hands(answers.weight))]
    along = [Fitting(extra) for extra in answers.job.extras if extra.when == "at delivery"]
    return (*loads, *loose_parts(answers, ("at delivery",)), *along)


def _loads(answers: Answers) -> Iterator[Carried]:
    """Yield what is carried apart: parts that only hardware ties together; nothing when all is one piece."""
    bodies = _bodies(answers)
    tied = [
        (taking, _name(each.from_part))
        for each in answers.joints
        if _loosened(each) and each.from_part is not None
        for taking in _takers(each)
    ]
    if not any(
        bodies.get(one) is not bodies.get(other) for one, other in tied if one in bodies and other in bodies
    ):
        return
    weights = {_name(each): weight for each, weight in _weights(answers)}
    for body in {id(body): body for body in bodies.values()}.values():
        known = [weights[name] for name in body]
        if all(weight is not None for weight in known):
            pounds = sum(weight for weight in known if weight is not None)
            yield Carried(tuple(body), pounds, hands(pounds))


def _loosened(answer: JointAnswer) -> bool:
    """Return whether a joint comes apart again: hardware, but not what goes in at the assembly, as a peg."""
    stays = isinstance(answer.from_part, Part) and answer.from_part.when.endswith(" assembly")
    return answer.joint.kind == LOOSENED and not stays


def _later(answer: JointAnswer) -> bool:
    part = answer.from_part
    return isinstance(part, Part) and part.when in ("after finish", "at delivery")


def _takers(answer: JointAnswer) -> list[str]:
    """Return the names of the parts that take a joint."""
    return list(dict.fromkeys([_name(answer.into), *(cavity.part.part for cavity in answer.cavities)]))


def _weights(answers: Answers) -> Iterator[tuple[Part | Panel, float | None]]:
    yield from ((each.part, each.weight) for each in answers.parts)
    yield from ((each.panel, each.weight) for each in answers.panels)


def _name(of: Part | Panel | None) -> str:
    if of is None:
        return ""
    return of.part if isinstance(of, Part) else of.panel


def _bodies(answers: Answers) -> dict[str, list[str]]:
    """Return, for each part and panel, all that joints other than hardware hold together with it.

    What goes in later than the assembly, as the buttons of a top, ties no two frames together.
    """
    bodies: dict[str, list[str]] = {_name(each): [_name(each)] for each, _ in _weights(answers)}
    for each in (each for each in answers.joints if not (_loosened(each) or _later(each))):
        for taking in _takers(each):
            one, other = bodies.get(taking), bodies.get(_name(each.from_part))
            if one is not None and other is not None and one is not other:
                one += other
                for name in other:
                    bodies[name] = one
    return bodies
