"""A caster's contraction is unknown to the plan, and each new plan is sized from the log of the earlier castings.

No outside source: the plan's own claim is tested. Everything goes through files, as it does for a builder: the plan
and log are read, the bulb is sized for the aim, and a casting is drawn from the true values, weighed, measured and
logged. The slow run uses 60 casters for each contraction.
"""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest
from plans import LEAST, SCREW, command

from bulbcast.confidence.as_cast import Reading
from bulbcast.confidence.casting import CastingModel
from bulbcast.confidence.inputs import inputs_of
from bulbcast.confidence.propagation import draws, linear_parts
from bulbcast.confidence.weighed import Weighing, raw_casting, weighed_casting
from bulbcast.confidence.weighed_chapter import log_object
from bulbcast.files.casting_log import casting_log, kind_of, log_casting
from bulbcast.files.plan_file import load_plan
from bulbcast.job import run
from bulbcast.materials.learned import CONTRACTION_VARIES

PLAN = LEAST + 'pocket_depth = "6 mm"\n' + SCREW + '[pattern]\nerror = "0.1 mm"\n[confidence]\n'
WATER = 998.2
SDS = {"as cast": 1e-3, "length": 0.3e-3, "diameter": 0.1e-3, "in water": 1e-3}
AFTER = (0, 1, 2, 5)
# What is the same from one casting of a caster to the next: metal and mould; the rest is drawn anew.
SAME = ("density", "mould")


def caster(path: Path, true: float, seed: int) -> dict[int, tuple[float, float, float, float]]:
    """Results after each number of castings: hung mass of the next casting minus its aim [kg], the plan's standard
    deviation of that difference [kg], error of the plan's contraction [-], and change of mass per unit of contraction
    [kg]."""
    path.mkdir()
    plan_file = path / "wren.toml"
    plan_file.write_text(PLAN, encoding="utf-8")
    chance = np.random.Generator(np.random.PCG64([seed, 8]))
    found, same = {}, None
    for number in range(max(AFTER) + 1):
        job = run(*load_plan(plan_file), remedies=False)
        raw = raw_casting(job, WATER)
        inputs = raw.inputs
        if same is None:
            first = inputs
            same = draws([one.uncertain for one in inputs.all], count=1, seed=seed)
        # The truth is drawn about what the first plan had: metal and mould do not change with what is believed of them.
        values = draws([one.uncertain for one in first.all], count=1, seed=1000 * seed + number + 1)
        for name in SAME:
            values[first.place(name)] = same[first.place(name)]
        values[first.place("contraction")] = true + CONTRACTION_VARIES * chance.standard_normal()
        model = CastingModel(bulb=job.bulb, wish=job.wish)
        hung = float(model.hung(inputs.castings(values))[0][0])
        if number in AFTER:
            _, parts = linear_parts(
                lambda v, inputs=inputs, model=model: model.hung(inputs.castings(v))[0],
                [one.uncertain for one in inputs.all],
            )
            place = inputs.place("contraction")
            net = true - (float(same[first.place("mould")][0]) - first.mould.value)
            found[number] = (
                hung - job.confidence.aim,
                job.confidence.mass_sd,
                net - inputs.contraction.value,
                float(parts[place]) / inputs.contraction.sd,
            )
        readings = tuple(
            Reading(name=name, value=float(raw.of(name)(values)[0]) + sd * chance.standard_normal(), sd=sd)
            for name, sd in SDS.items()
        )
        weighing = Weighing(readings=readings, sprue=0.0, water=WATER, when=None, typed=())
        said = weighed_casting(job, weighing)
        log_casting(plan_file, log_object(job, said, kind_of(job.plan), again=False, before=number))
    return found


@pytest.mark.parametrize("true", [0.006, 0.018])
@pytest.mark.parametrize("casters", [5, pytest.param(60, marks=pytest.mark.slow)])
def test_the_next_castings_mass_error_shrinks_as_the_plan_says(
    tmp_path: Path, true: float, casters: int
) -> None:
    rows = [caster(tmp_path / str(seed), true, seed) for seed in range(1, casters + 1)]
    claimed, by_contraction = {}, {}
    for number in AFTER:
        error, sd, off, slope = np.array([row[number] for row in rows]).T
        claimed[number] = float(np.mean(sd))
        by_contraction[number] = float(np.sqrt(np.mean((off * slope) ** 2)))
        # What is left once the wrong contraction is taken out is the rest of the band, and no more.
        rest = error - off * slope
        # Of so few the standard deviation itself strays by 1 / sqrt(2 n), and its mean by 1 / sqrt(n).
        assert abs(np.mean(rest)) <= 4.0 * claimed[number] / np.sqrt(casters)
        assert np.std(rest) <= claimed[number] * (1.0 + 3.0 / np.sqrt(2.0 * casters))
    assert claimed[5] < claimed[2] < claimed[1] < claimed[0]
    # The prior is 1.1 or 2.3 of its standard deviations off; what is left of that is what the posterior claims.
    assert by_contraction[5] < by_contraction[2] < by_contraction[1] < by_contraction[0]
    for number in (1, 2, 5):
        log = casting_log(tmp_path / "1" / "wren.toml")
        assert log is not None
        plan, _, _ = load_plan(tmp_path / "1" / "wren.toml", castings=number)
        inputs = inputs_of(run(plan, remedies=False))
        prior = inputs_of(run(*load_plan(tmp_path / "1" / "wren.toml", castings=0), remedies=False))
        before = np.hypot(prior.contraction.sd, prior.mould.sd)
        mean_variance = inputs.contraction.sd**2 - CONTRACTION_VARIES**2
        # The posterior's share of the prior's variance is the share of the first error that is left, on the mean.
        _, _, off, _ = np.array([row[number] for row in rows]).T
        _, _, first, _ = np.array([row[0] for row in rows]).T
        left = mean_variance / before**2
        assert np.mean(off) == pytest.approx(
            left * np.mean(first), abs=4.0 * np.sqrt(mean_variance / casters) + 5e-5
        )
        assert np.std(off - left * first) <= np.sqrt(mean_variance) * (1.0 + 3.0 / np.sqrt(2.0 * casters))


def planned(plan: Path) -> dict:
    done = command("plan", plan, "--json")
    assert done.exit_code == 0, done.output
    return json.loads(done.stdout)


def test_one_wild_casting_is_named_and_the_next_plan_is_as_without_it(tmp_path: Path) -> None:
    (tmp_path / "with").mkdir()
    plans = [tmp_path / "wren.toml", tmp_path / "with" / "wren.toml"]
    for place, plan in enumerate(plans):
        plan.write_text(PLAN, encoding="utf-8")
        job = run(*load_plan(plan), remedies=False)
        kind = kind_of(job.plan)
        for number, said in enumerate((0.0121, 0.0118, 0.06, 0.0125)):
            if said == 0.06 and place == 0:
                continue
            casting = {
                "alloy": kind[0],
                "made_by": kind[1],
                "mould": kind[2],
                "plan": f"other {number}",
                "contraction": said,
                "contraction_sd": 0.0015,
            }
            log_casting(plan, casting)
    clean, wild = map(planned, plans)
    assert wild["pattern"]["contraction"] == pytest.approx(clean["pattern"]["contraction"], rel=1e-12)
    assert wild["confidence"]["aim_kg"] == pytest.approx(clean["confidence"]["aim_kg"], rel=1e-9)
    source = next(one for one in wild["defaults"] if one["key"] == "pattern.contraction")["source"]
    assert "without number 3" in source


def test_compare_reads_the_log_too(tmp_path: Path) -> None:
    plan = tmp_path / "wren.toml"
    plan.write_text(PLAN, encoding="utf-8")
    alloy = kind_of(run(*load_plan(plan), remedies=False).plan)
    casting = dict(zip(("alloy", "made_by", "mould"), alloy, strict=True))
    log_casting(plan, {**casting, "plan": "other", "density_kg_m3": 11250.0, "density_sd_kg_m3": 8.0})
    done = command("compare", plan, "--vary", "bulb.fineness=5,6", "--json")
    assert done.exit_code == 0, done.output
    rows = json.loads(done.stdout)["rows"]
    plan.write_text(PLAN.replace("fineness = 5", "fineness = 6"), encoding="utf-8")
    figures = planned(plan)
    assert figures["meta"]["inputs"][0]["path"] == "castings.toml"
    assert rows[1]["bulb"]["length_m"] == pytest.approx(figures["bulb"]["length_m"], rel=1e-9)
