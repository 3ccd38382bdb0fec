"""The order of the work: whatever a step needs, the steps before it have made; over jobs by chance.

More by hand: SHEETKIT_JOBS=500 python -m pytest tests/test_work_order.py
"""

from __future__ import annotations

import os
from collections import Counter
from collections.abc import Mapping, Sequence

from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from sheetkit.book.formats import by_ending
from sheetkit.form.columns import FITTED_WHEN
from sheetkit.intake.workbook import take_in
from sheetkit.plan import answer
from sheetkit.records.answers import Answers
from sheetkit.records.tasks import Task
from sheetkit.records.work import (
    Carried,
    Coat,
    DryAssembly,
    DryFit,
    Fitting,
    FromBoard,
    Glued,
    GlueSession,
    JointCut,
    LoosePart,
    Opening,
    PanelToSize,
    Pieces,
    Resaw,
    RoughCut,
    Sanding,
    Setting,
    Step,
    TopFixing,
)
from sheetkit.tabs.template import template_pages
from sheetkit.units import Unit
from tests.test_any_job import JOBS, Row, jobs

ORDER = list(Task)
"""The order of the trade, as the design of the shop sheet lays it down."""


@st.composite
def whole_jobs(draw: st.DrawFn) -> tuple[Unit, Row, Mapping[str, Sequence[Row]]]:
    """Give jobs in which panels may be measured, glue-ups take several goes, and things are fitted at any time."""
    unit, labels, tables = draw(jobs())

    def more(tab: str, **columns: Sequence[str]) -> list[Row]:
        return [
            {**row, **{name: draw(st.sampled_from(words)) for name, words in columns.items()}}
            for row in tables[tab]
        ]

    names = [row["part"] for row in tables["Parts"]]
    joints = [row["joint"] for row in tables["Joints"]] or ["4"]
    rounded = ("", "1/8") if unit == "in" else ("", "3")
    tables = {
        **tables,
        "Parts": more("Parts", round_over=rounded, when=("", "", *FITTED_WHEN), note=("", "mind the grain")),
        "Panels": [
            {**row, "measured_width": row["opening_width"], "measured_height": row["opening_height"]}
            if draw(st.booleans())
            else row
            for row in tables["Panels"]
        ],
        "Glue-ups": [
            {**row, "joints": draw(st.sampled_from([row["joints"], joints[0], "; ".join(joints)]))}
            for row in more("Glue-ups", goes=("", "1", "2", "5"), glues=("", "blanks", "panels", "assembly"))
        ],
        "Finish": more(
            "Finish", when=("", "before assembly", "after assembly"), product=("", "shellac", "hardwax oil")
        ),
        "Extras": more(
            "Extras",
            fit_to=("", names[0], "the wall"),
            when=("", *FITTED_WHEN),
        ),
    }
    return unit, labels, tables


class Bench:
    """What lies on the bench: pieces by name, in the state to which the steps so far have brought them."""

    def __init__(self, answers: Answers) -> None:
        self.answers = answers
        self.done: dict[Task, Counter[str]] = {task: Counter() for task in Task}
        self.joints: Counter[str] = Counter()
        self.along: dict[str, int] = {}
        self.across: dict[str, int] = {}
        self.layers: dict[str, int] = {}
        for whole in answers.wholes:
            for blank in whole.blanks:
                self.along[blank.of] = max(self.along.get(blank.of, 1), blank.along)
                self.across[blank.of] = max(self.across.get(blank.of, 1), blank.across)
                self.layers[blank.of] = blank.layers
        self.parts = {each.part.part: each.part.qty for each in answers.parts}
        self.panels = Counter[str]()
        for each in answers.panels:
            self.panels[each.panel.panel] += each.panel.qty

    def take(self, step: Step) -> None:
        """Do a step, if what it needs is there."""
        here = self.done[step.task]
        for line in step.lines:
            if isinstance(line, RoughCut | FromBoard | Setting | Resaw):
                for each in line.pieces:
                    self.ready(step.task, each)
                    here[each.name] += each.count
            elif isinstance(line, Glued):
                for each in line.wholes:
                    before = Task.PLANE if line.what == "plies" else Task.JOINT_EDGES
                    here[each.name] += each.count
                    self.done[Task.GLUE_UP][f"in {each.name}"] += each.count * line.count
                    assert self.done[Task.GLUE_UP][f"in {each.name}"] <= self.done[before][each.name]
            elif isinstance(line, JointCut):
                for place in line.places:
                    if place.part in self.parts:
                        assert self.done[Task.LENGTH][place.part] == self.parts[place.part]
                    self.joints[place.joint] += place.count
            elif isinstance(line, Sanding):
                assert all(self.done[Task.LENGTH][each.name] == self.parts[each.name] for each in line.pieces)
            elif isinstance(line, DryFit):
                # of a groove Qty may be any number: it has been cut
                least = line.answer.qty if line.holds is None else 1
                assert self.joints[line.answer.joint.joint] >= least
            elif isinstance(line, DryAssembly):
                here["all"] += 1
                assert all(self.done[Task.LENGTH][name] == qty for name, qty in self.parts.items())
            elif isinstance(line, Opening):
                assert self.done[Task.DRY_ASSEMBLY]["all"]
                here[line.panel] += line.count
            elif isinstance(line, PanelToSize):
                self.panel(line)
            elif isinstance(line, Coat):
                assert {each.name for each in line.panels} <= set(self.done[Task.PANELS])
            elif isinstance(line, LoosePart | TopFixing):
                name = line.part if isinstance(line, TopFixing) else line.pieces.name
                assert self.done[Task.LENGTH][name] == self.parts[name]

    def ready(self, task: Task, each: Pieces) -> None:
        """Hold that these pieces are there as this step needs them."""
        name, made = each.name, self.done
        if task is Task.RESAW:
            assert each.count <= made[Task.ROUGH_CUT][name]
        elif task is Task.PLANE:
            rough = made[Task.ROUGH_CUT][name]
            leaves = self.layers[name] if made[Task.RESAW][name] else 1
            assert made[Task.PLANE][name] + each.count <= rough * leaves
            assert self.layers[name] == 1 or made[Task.RESAW][name] == rough
        elif task is Task.JOINT_EDGES:
            # leaves that come off the saw as thick as they are glued are not planed between
            flat = made[Task.PLANE][name] or made[Task.RESAW][name] * self.layers[name]
            assert made[task][name] + each.count <= flat
        elif task is Task.PLANE_GLUED:
            # a board that is as wide as a whole is a single stave, and needs no glue
            single = made[Task.JOINT_EDGES][name] - made[Task.GLUE_UP][f"in {name}"]
            assert made[task][name] + each.count <= made[Task.GLUE_UP][name] + max(single, 0)
        elif task is Task.WIDTH:
            glued = made[Task.PLANE_GLUED][name]
            assert each.count <= (glued or made[Task.PLANE][name]) * self.across[name]
        elif task is Task.ROUND_OVER_LONG:
            assert each.count == made[Task.WIDTH][name]
            assert not made[Task.LENGTH][name]
        elif task is Task.LENGTH:
            assert each.count <= made[Task.WIDTH][name] * self.along[name]
        elif task is Task.ROUND_OVER:
            assert each.count == made[Task.LENGTH][name]
            assert not made[Task.ROUND_OVER_LONG][name]

    def panel(self, line: PanelToSize) -> None:
        """Hold that a measured panel is glued and planed, and one that waits is not even cut."""
        name, here = line.answer.panel.panel, self.done[Task.PANELS]
        assert self.done[Task.MEASURE][name]
        if line.answer.measured:
            here[name] += line.answer.panel.qty
            wholes = self.done[Task.PLANE_GLUED][name] or self.done[Task.PLANE][name]
            assert here[name] <= wholes * self.along[name] * self.across[name]
        else:
            here[name] += 0
            assert not self.done[Task.ROUGH_CUT][name]

    def hold_the_end(self) -> None:
        """Hold that nothing was left out."""
        assert {name: self.done[Task.LENGTH][name] for name in self.parts} == self.parts
        lines = [line for step in self.answers.work for line in step.lines]
        job = self.answers.job
        fitted = [line.extra.row for line in lines if isinstance(line, Fitting)]
        fitted += [extra.row for line in lines if isinstance(line, TopFixing) for extra in line.fasteners]
        put_in = [(line.pieces.name, line.pieces.count) for line in lines if isinstance(line, LoosePart)]
        tops = {line.part for line in lines if isinstance(line, TopFixing)}
        told = {(each.part, each.qty) for each in job.parts if each.when and each.part not in tops}
        assert told <= set(put_in)
        assert len(put_in) == len(set(put_in))
        # fasteners of several tops stand with each of them
        assert set(fitted) == {extra.row for extra in job.extras}
        sessions = [line for line in lines if isinstance(line, GlueSession)]
        sessions += [line.session for line in lines if isinstance(line, Glued) and line.session]
        assert {each.answer.glue_up.row for each in sessions} == {each.row for each in job.glue_ups}
        coats = {line.answer.step.row for line in lines if isinstance(line, Coat)}
        sanded = {each.step.row for each in self.answers.finish if not each.step.product and each.early}
        assert coats | sanded == {each.row for each in job.finish}
        # what is put in at delivery stands by itself there, with its own weight
        apart = not job.panels and all(each.when == "at delivery" for each in job.parts)
        assert apart or self.answers.weight is None or any(isinstance(line, Carried) for line in lines)
        assert {name for step in self.answers.work for name in step.waiting} == {
            each.panel.panel for each in self.answers.panels if not each.measured
        }


def test_each_step_needs_only_what_the_steps_before_it_have_made() -> None:
    worked = 0

    @settings(max_examples=JOBS * 2, deadline=None, derandomize="SHEETKIT_JOBS" not in os.environ, database=None,
              suppress_health_check=list(HealthCheck), phases=[Phase.generate])  # fmt: skip
    @given(whole_jobs())
    def holds(job: tuple[Unit, Row, Mapping[str, Sequence[Row]]]) -> None:
        nonlocal worked
        book = by_ending(".xlsx")
        intake = take_in(book.read(book.render(template_pages(*job))).pages)
        answers = answer(intake.job, 0.02)
        if intake.problems or not answers.parts:
            return
        worked += 1
        tasks = [step.task for step in answers.work]
        assert tasks == sorted(tasks, key=ORDER.index)
        bench = Bench(answers)
        for step in answers.work:
            assert step.lines
            bench.take(step)
        bench.hold_the_end()

    holds()
    assert worked > JOBS / 2, "too few of the jobs could be worked out"
