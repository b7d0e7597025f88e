"""Every fix, typed as shown, clears its finding and causes no new stop. It contains every line that its text shows."""

from __future__ import annotations

import sys
import tomllib
from pathlib import Path

import pytest
from random_plans import PlanTable, plan_text, random_plan
from typed_remedies import Tried, job_of, shown_and_not_borne, tried_together, tried_ways

from bulbcast.files.plan_file import load_plan
from bulbcast.job import Job, run
from bulbcast.plan.faults import PlanError

sys.path.insert(0, str(Path(__file__).parents[1] / "benchmarks"))

import net_plans

# 59 lines and sets of lines are named by these plans; many fewer would mean that fixes have lost their values.
BY_DEFAULT, LEAST_TYPED = range(10), 50


def tried(table: PlanTable) -> list[Tried]:
    try:
        job = job_of(table)
    except PlanError:
        return []
    assert [(one.code, pair) for one in job.findings for pair in shown_and_not_borne(one)] == []
    return [*tried_ways(table, job), *tried_together(table, job)]


def words(seed: int, one: Tried) -> str:
    came = f"faults: {one.fault}" if one.fault else f"stops: {one.stops}" if one.stops else "it stays"
    return f"plan {seed}, {one.code} at {one.where}: {one.remedy!r} typed as {one.lines}: {came}"


def test_a_fix_typed_as_shown_clears_its_finding() -> None:
    done = [(seed, one) for seed in BY_DEFAULT for one in tried(random_plan(seed))]
    assert [words(seed, one) for seed, one in done if not one.clears] == []
    assert len(done) >= LEAST_TYPED


@pytest.mark.slow
@pytest.mark.parametrize("first", range(10, 410, 20))
def test_a_fix_typed_as_shown_clears_its_finding_in_hundreds_of_plans(first: int) -> None:
    done = [(seed, one) for seed in range(first, first + 20) for one in tried(random_plan(seed))]
    assert [words(seed, one) for seed, one in done if not one.clears] == []


LONG = (
    "made-foundry",
    "made-stops",
    "made-will-not-stand",
    "made-far-afloat",
    "made-through",
    "made-weak-root",
)


@pytest.mark.parametrize(
    "case",
    [
        pytest.param(case, id=case.name, marks=[pytest.mark.slow] if case.name in LONG else [])
        for case in (*net_plans.examples(), *net_plans.generated())
        if not case.name.startswith("drawn")
    ],
)
def test_so_it_does_in_the_examples_and_in_plans_made_by_hand(case: net_plans.Case, tmp_path: Path) -> None:
    def job_beside_its_files(table: PlanTable) -> Job:
        (tmp_path / "plan.toml").write_text(plan_text(table), encoding="utf-8")
        return run(*load_plan(tmp_path / "plan.toml"), standing="no")

    for name, data in case.files.items():
        (tmp_path / name).write_bytes(data)
    table = tomllib.loads(case.text)
    try:
        job = job_beside_its_files(table)
    except PlanError:
        return
    assert [(one.code, pair) for one in job.findings for pair in shown_and_not_borne(one)] == []
    done = list(tried_ways(table, job, job_beside_its_files))
    assert [words(0, one) for one in done if not one.clears] == []


def test_the_same_seed_gives_the_same_plan() -> None:
    assert [random_plan(seed) for seed in range(30)] == [random_plan(seed) for seed in range(30)]


def test_between_them_the_plans_use_every_section_whose_findings_name_a_fix() -> None:
    plans = [random_plan(seed) for seed in range(120)]
    assert {section for plan in plans for section in plan} >= {
        *("bulb", "alloy", "fin", "screws", "studs", "cross_pins", "pattern", "parting", "printer", "frame"),
        *("mould", "pot", "burner", "scrap", "pour", "melt", "limits", "strength", "boat", "weights"),
    }
    assert any(plan["fin"].get("joint") == "through" for plan in plans)
