"""Steps of the calculation: each declares everything it reads, and reused results equal those of a fresh run."""

from __future__ import annotations

import random
import sys
from dataclasses import fields, replace
from functools import cache
from pathlib import Path

import pytest

from bulbcast.files.plan_file import load_plan
from bulbcast.job import Job, run
from bulbcast.job.steps import Kept, Step
from bulbcast.plan.faults import PlanError
from bulbcast.plan.keys import SECTIONS
from bulbcast.plan.sections import Plan

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*.toml"))
NAMES = (*SECTIONS, "halves_bonded")


class OnlySaid(Plan):
    """A plan that hides every section the step does not declare."""

    said: frozenset[str] = frozenset(NAMES)

    def __getattribute__(self, name: str):
        # dataclasses.replace copies every field and looks at none.
        # What a plan says of several sections together reads those itself.
        copied = sys._getframe(1).f_code.co_filename.endswith(("dataclasses.py", "plan/sections.py"))
        if name in NAMES and name not in type(self).said and not copied:
            raise AssertionError(f"[{name}] is read")
        return super().__getattribute__(name)


@cache
def only_said(sections: tuple[str, ...]) -> type[OnlySaid]:
    return type("OnlySaid", (OnlySaid,), {"said": frozenset(sections)})


def handed(step: Step, plan: Plan) -> Plan:
    return only_said(step.sections)(**{one.name: getattr(plan, one.name) for one in fields(Plan)})


def read(path: Path):
    return load_plan(path)


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_a_step_reads_nothing_but_what_it_says(path: Path):
    plan, offsets, hull = read(path)
    standing = "briefly" if path.stem == "larkmoss" else "whole"
    job = run(plan, offsets, hull, standing=standing, kept=Kept(handed))
    assert job.findings == run(plan, offsets, hull, standing=standing).findings


def changed(plan: Plan, chance: random.Random) -> Plan:
    """The plan with a small change to one figure of one section."""
    places = [
        (name, one.name)
        for name in SECTIONS
        if (section := getattr(plan, name)) is not None and not isinstance(section, tuple)
        for one in fields(section)
        if isinstance(getattr(section, one.name), float)
    ]
    places += [
        (name, one.name)
        for name in ("screws", "weights")
        if getattr(plan, name)
        for one in fields(getattr(plan, name)[0])
        if isinstance(getattr(getattr(plan, name)[0], one.name), float)
    ]
    name, leaf = chance.choice(places)
    section = getattr(plan, name)
    first = section[0] if isinstance(section, tuple) else section
    other = replace(first, **{leaf: getattr(first, leaf) * chance.uniform(0.98, 1.02)})
    return replace(plan, **{name: (other, *section[1:]) if isinstance(section, tuple) else other})


def reported(plan: Plan, offsets, hull, kept: Kept | None) -> Job | tuple[str, ...]:
    try:
        return run(plan, offsets, hull, remedies=False, standing="no", kept=kept)
    except PlanError as error:
        return tuple(str(fault) for fault in error.faults)


def walk(path: Path, changes: int) -> None:
    plan, offsets, hull = read(path)
    chance, kept, worked = random.Random(path.stem), Kept(), []
    for _ in range(changes):
        before, plan = plan, changed(plan, chance)
        warm = reported(plan, offsets, hull, kept)
        worked.append(len(kept.worked))
        if not isinstance(warm, Job):
            plan = before
    warm, cold = reported(plan, offsets, hull, kept), reported(plan, offsets, hull, None)
    assert isinstance(warm, Job)
    assert isinstance(cold, Job)
    assert abs(warm.bulb.nose_x - cold.bulb.nose_x) <= 1e-9
    assert abs(warm.bulb.mass - cold.bulb.mass) <= 1e-9 * cold.bulb.mass
    assert warm.findings == cold.findings
    assert warm.defaults == cold.defaults
    assert warm.melt == cold.melt
    assert min(worked[1:]) < max(worked), "nothing was ever kept"


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_thirty_changes_in_a_row_end_where_a_cold_run_ends(path: Path):
    walk(path, 30)


@pytest.mark.slow
@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_a_thousand_changes_in_a_row_end_where_a_cold_run_ends(path: Path):
    walk(path, 1000)


def test_a_run_says_what_it_left_out():
    plan, offsets, hull = read(EXAMPLES[0])
    assert run(plan, offsets, hull, standing="no", remedies=False).pending[:1] == ("remedies",)
    assert run(plan, offsets, hull).pending == ()


def test_what_is_asked_of_the_pour_leaves_the_bulb_as_it_was():
    plan, offsets, hull = read(next(path for path in EXAMPLES if path.stem == "fenwisp"))
    kept = Kept()
    before = run(plan, offsets, hull, kept=kept)
    assert plan.scrap
    after = run(
        replace(plan, scrap=(replace(plan.scrap[0], gross=1.01 * plan.scrap[0].gross), *plan.scrap[1:])),
        offsets,
        hull,
        kept=kept,
    )
    assert after.bulb is before.bulb
    assert "sized" not in kept.worked
    assert "melted" in kept.worked


def test_a_default_that_is_typed_is_judged_anew():
    plan, offsets, hull = read(next(path for path in EXAMPLES if path.stem == "saltmarrow"))
    key = "fin.elastic_axis"
    assert key in [one.key for one in plan.defaults]
    kept = Kept()
    run(plan, offsets, hull, remedies=False, standing="no", kept=kept)
    typed = replace(plan, defaults=tuple(one for one in plan.defaults if one.key != key))
    run(typed, offsets, hull, remedies=False, standing="no", kept=kept)
    assert "judged" in kept.worked
    assert "in resin" not in kept.worked
