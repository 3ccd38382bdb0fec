"""Delivery: what is carried in one piece, how heavy it is, and how many people that takes."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from sheetkit.calc.lifting import hands
from sheetkit.plan.assembling import loose_parts
from sheetkit.records.answers import Answers
from sheetkit.records.job import Panel, Part
from sheetkit.records.joinery import JointAnswer
from sheetkit.records.work import Carried, Fitting, Line

LOOSENED = "hardware"
"""The kind of joint at which a piece comes apart again."""
AT_DELIVERY = "at delivery"
"""When on Parts and Extras, of what is put in at the client's."""


def delivery(answers: Answers) -> tuple[Line, ...]:
    """Return the loads, and what goes along."""
    loads = list(_loads(answers))
    if not loads:
        held = [_name(each) for each, _ in _weights(answers)]
        loose = any(each.part.when == AT_DELIVERY for each in answers.parts)
        loads = list(_carried(held, answers, tuple(held) if loose else ()))
    along = [Fitting(extra) for extra in answers.job.extras if extra.when == AT_DELIVERY]
    return (*loads, *loose_parts(answers, (AT_DELIVERY,)), *along)


def _loads(answers: Answers) -> Iterator[Carried]:
    """Yield what is carried apart, since nothing but hardware or what is put in then ties it together."""
    bodies = _bodies(answers)
    pairs = [
        (_loosened(each), (one, _name(each.from_part))) for each in answers.joints for one in _takers(each)
    ]
    ties: list[tuple[str, ...]] = [pair for loosened, pair in pairs if loosened]
    for late in (each.part.part for each in answers.parts if each.part.when == AT_DELIVERY):
        ties.append(tuple(name for _, pair in pairs if late in pair for name in pair))
    if all(len({id(bodies[name]) for name in tie if name in bodies}) <= 1 for tie in ties):
        return
    for body in {id(body): body for body in bodies.values()}.values():
        yield from _carried(body, answers, tuple(body))


def _carried(body: Sequence[str], answers: Answers, names: tuple[str, ...]) -> Iterator[Carried]:
    """Yield what a body weighs and takes, when that is known."""
    known = [weight for each, weight in _weights(answers) if _name(each) in body]
    weights = [weight for weight in known if weight is not None]
    if weights and len(weights) == len(known):
        pounds = sum(weights)
        yield Carried(names, pounds, hands(pounds))


def _loosened(answer: JointAnswer) -> bool:
    """Return whether a joint comes apart again: hardware, but not what goes in at the assembly, as a peg."""
    stays = isinstance(answer.from_part, Part) and answer.from_part.when.endswith(" assembly")
    return answer.joint.kind == LOOSENED and not stays


def _takers(answer: JointAnswer) -> list[str]:
    """Return the names of the parts that take a joint."""
    return list(dict.fromkeys([_name(answer.into), *(cavity.part.part for cavity in answer.cavities)]))


def _weights(answers: Answers) -> Iterator[tuple[Part | Panel, float | None]]:
    """Yield all that is carried put together, with its weight: not what is put in at delivery."""
    yield from ((each.part, each.weight) for each in answers.parts if each.part.when != AT_DELIVERY)
    yield from ((each.panel, each.weight) for each in answers.panels)


def _name(of: Part | Panel | None) -> str:
    if of is None:
        return ""
    return of.part if isinstance(of, Part) else of.panel


def _bodies(answers: Answers) -> dict[str, list[str]]:
    """Return, for each part and panel carried so, all that joints other than hardware hold with it."""
    bodies: dict[str, list[str]] = {_name(each): [_name(each)] for each, _ in _weights(answers)}
    for each in (each for each in answers.joints if not _loosened(each)):
        for taking in _takers(each):
            one, other = bodies.get(taking), bodies.get(_name(each.from_part))
            if one is not None and other is not None and one is not other:
                one += other
                for name in other:
                    bodies[name] = one
    return bodies
