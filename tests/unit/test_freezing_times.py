"""Freezing times before the pour come from the simple model or from the simulation, never from both."""

from __future__ import annotations

import json
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import pytest

from bulbcast.files.plan_file import load_plan
from bulbcast.foundry.cooling import radial
from bulbcast.foundry.cooling.chapter import cooling_chapter
from bulbcast.foundry.cooling.radial import (
    Bar,
    FreezingCase,
    FreezingError,
    FreezingTimes,
    casting_bars,
    freezing_times,
    running_bar,
    times_of,
)
from bulbcast.foundry.cooling.simulate import simulated
from bulbcast.foundry.cooling.work import cooling_setup
from bulbcast.foundry.gating.chapter import gating_lines
from bulbcast.foundry.gating.work import mould_heat_of
from bulbcast.foundry.pour.chapter import pour_card
from bulbcast.job import run, with_cooling
from bulbcast.job.plan_json import plan_object
from bulbcast.materials.alloys import alloy_of_grade
from bulbcast.materials.heat import air_heat, metal_heat, mould_heat
from bulbcast.materials.plaster import moulding_sand
from bulbcast.materials.tables import table
from bulbcast.report.as_html import chapter_html

PLAN = """
[bulb]
target_mass = "2 kg"
[alloy]
grade = "{grade}"
[fin]
tip_chord = "75 mm"
tip_thickness = "8 mm"
[mould]
{mould}
[pour]
temperature = "{pour} C"
"""
BAKED = 'material = "plaster"\ndrying = "baked"'
SAND = 'material = "sand"\nsand_kind = "oil-bonded"'


def job_of(tmp_path: Path, *, grade="antimonial-4", mould=BAKED, pour=350):
    path = tmp_path / "plan.toml"
    path.write_text(PLAN.format(grade=grade, mould=mould, pour=pour), encoding="utf-8")
    return run(*load_plan(path))


@pytest.mark.parametrize(
    ("grade", "mould"),
    [
        ("antimonial-4", BAKED),
        ("pure", BAKED.replace("baked", "air")),
        ("linotype", SAND + '\nkind = "open-halves"'),
    ],
)
def test_the_mould_is_left_alone_past_the_simulation_s_upper_end(tmp_path, grade, mould):
    # Coarse cells for a quick look; tests/benchmarks has the table on the default grid.
    gating = (job := job_of(tmp_path, grade=grade, mould=mould)).melting.gating
    # A feeder that is kept liquid freezes afterwards: simulated, kept for as long as is asked without the simulation.
    setup, _ = cooling_setup(job, cells=6)
    if setup.feeder is not None:
        setup = replace(setup, feeder=replace(setup.feeder, until=gating.keep_least))
    assert 1.0 <= gating.leave_alone / simulated(setup).leave_alone < 2.0


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(8))
def test_random_plans_are_left_alone_past_the_simulation_s_upper_end(seed):
    sys.path.insert(0, str(Path(__file__).parents[1] / "benchmarks"))
    from bench_leave_alone import random_plans, ratio_of

    for _, text in random_plans(3, 100 + seed):
        assert 1.0 <= ratio_of(text, 8)[0] < 2.0


def test_where_the_casting_was_simulated_its_times_are_the_only_ones(tmp_path):
    before = job_of(tmp_path)
    job = with_cooling(before, cells=6)
    seen, shown = job.cooling, job.shown
    assert seen.leave_alone >= max(seen.frozen_high, seen.frozen_feeder)
    said = plan_object(job, ())["melting"]["gating"]
    assert said["leave_alone_s"] == seen.leave_alone
    assert said["casting_freezes_s"] == seen.frozen
    assert said["feeder_freezes_s"] == seen.frozen_feeder
    lines = [*gating_lines(job, job.melting.gating), *pour_card(job, job.melting).parts[0].rows]
    words = json.dumps([one.cells() for one in lines])
    words += " ".join(one.message + one.remedy for one in job.findings)
    assert shown.duration(seen.leave_alone) in words
    old = before.melting.gating
    for time in (old.leave_alone, old.thick_time, old.feeder_time, 3.0 * old.thick_time):
        assert shown.duration(time) not in words
    assert f">{shown.duration(seen.leave_alone)}<" in chapter_html(cooling_chapter(seen, shown))


def test_the_times_of_the_case_of_two_kilograms(tmp_path):
    # Said before: 3.2 min, and leave alone 9.5 min. An independent radial solver has 15 min for the largest section,
    # the simulation 18 min (12 to 26) with its feeder.
    gating = job_of(tmp_path).melting.gating
    assert gating.thick_time == pytest.approx(15 * 60.0, rel=0.1)
    assert gating.leave_alone > 26 * 60.0


def test_an_open_face_and_an_open_feeder_give_heat_to_the_air_and_a_closed_one_does_not():
    air = air_heat()

    def bars(height, open_above):
        return casting_bars(
            modulus=0.01,
            block_radius=0.06,
            beside=0.03,
            feeder=(0.05, height),
            open_above=open_above,
            air=air,
        )

    closed, low = bars(0.05, False)
    half, high = bars(0.10, True)
    assert (closed.open_film, half.open_film) == (None, air.feeder)
    assert (closed.radius, low.radius, low.outside) == (0.02, 0.025, 0.055)
    # What leaves the top in W/(m2 K), over the height.
    assert (low.end_film, high.end_film) == (
        pytest.approx(air.feeder / 0.05),
        pytest.approx(air.feeder / 0.10),
    )
    case = FreezingCase(
        metal=metal_heat(alloy_of_grade("pure")), mould=mould_heat("baked"), air=air, pour=380.0, start=80.0,
        surroundings=20.0,
    )  # fmt: skip
    times = freezing_times((closed, half, low, high), case)
    assert times[1] < times[0]
    assert times[2] < times[3]


@pytest.mark.parametrize("grade", ["pure", "antimonial-4"])
def test_metal_poured_below_its_liquidus_freezes_as_from_it(grade):
    metal = metal_heat(alloy_of_grade(grade))
    case = FreezingCase(
        metal=metal, mould=mould_heat("air"), air=air_heat(), pour=metal.liquidus + 0.01, start=60.0, surroundings=20.0
    )  # fmt: skip
    bars = (Bar(radius=0.02, outside=0.05), running_bar(metal))
    above = freezing_times(bars, case)
    for pour in (metal.liquidus, metal.liquidus - 10.0, metal.solidus, metal.solidus - 30.0):
        assert freezing_times(bars, replace(case, pour=pour)) == pytest.approx(above, rel=1e-3)


def cases_and_bars() -> list[tuple[Bar, FreezingCase]]:
    asked = []
    for grade, kind in (("pure", "baked"), ("antimonial-4", "air"), ("linotype", "sand")):
        case = FreezingCase(
            metal=metal_heat(alloy_of_grade(grade)),
            mould=mould_heat(kind),
            air=air_heat(),
            pour=360.0,
            start=60.0,
            surroundings=20.0,
        )
        asked.append((running_bar(case.metal), case))
        for radius in (0.008, 0.015, 0.022, 0.031):
            for outside in (1.7, 2.9, 6.0):
                bar = Bar(radius=radius, outside=outside * radius)
                asked += [(bar, case), (replace(bar, conductivity=0.2, open_film=25.0), case)]
                asked.append((replace(bar, end_film=500.0, start=85.0), case))
    return asked


def test_a_bar_freezes_in_the_same_time_whatever_is_cooled_beside_it():
    # To the last bit: a study's row is the plan's own, however many rows are worked out together.
    asked = cases_and_bars()
    together = times_of(asked)
    assert len(asked) > 100  # so many are eliminated on arrays, few in plain Python
    for start in range(0, len(asked), 37):
        few = asked[start : start + 5]
        assert times_of(few) == together[start : start + 5]
        assert freezing_times([few[0][0]], few[0][1]) == together[start : start + 1]


def test_times_foreseen_are_those_worked_out_and_what_cannot_freeze_is_refused_when_asked_for(monkeypatch):
    asked = cases_and_bars()[:9]
    hot = replace(asked[0][0], start=400.0)
    known, case = FreezingTimes(), asked[0][1]
    known.foresee([*asked, (hot, case)])
    plain = freezing_times([bar for bar, _ in asked], case)
    monkeypatch.setattr(radial, "times_of", None)  # nothing is left to work out
    assert known([bar for bar, _ in asked], case) == plain
    with pytest.raises(FreezingError, match="the mould is at 400 degC"):
        known([hot], case)


def test_the_steps_of_a_bar_err_by_a_few_parts_in_ten_thousand(monkeypatch):
    asked = cases_and_bars()
    given = times_of(asked)
    monkeypatch.setattr(radial, "_STEP", 0.01)
    off = [abs(one / fine - 1.0) for one, fine in zip(given, times_of(asked), strict=True)]
    assert max(off) < 3e-3
    assert sum(off) / len(off) < 5e-4


def test_metal_with_a_freezing_range_stops_running_before_it_is_frozen(tmp_path):
    # Superheat counts from the alloy's own liquidus: 299 C, and not lead's 327.
    gating = job_of(tmp_path, pour=302).melting.gating
    hotter = job_of(tmp_path, pour=350).melting.gating
    assert 0.0 < gating.thin_time < 0.8 * hotter.thin_time
    assert gating.pause < 0.8 * hotter.pause


def test_a_mould_has_one_set_of_constants(tmp_path):
    assert moulding_sand().density == mould_heat("sand").density
    assert "density" not in table("plaster")["sand"]
    assert "set_plaster" not in table("plaster")["heat"]
    job = job_of(tmp_path, mould=SAND)
    part = job.mould.parts[0]
    assert part.just_set / part.volume == pytest.approx(mould_heat_of(job.mould).density)


def test_a_plan_without_cooling_loads_no_sparse_library(tmp_path):
    job_of(tmp_path)
    code = (
        "import sys; from pathlib import Path; from bulbcast.files.plan_file import load_plan; "
        "from bulbcast.job import run; "
        f"assert run(*load_plan(Path({str(tmp_path / 'plan.toml')!r}))).melting.gating.leave_alone > 0; "
        "assert 'scipy' not in sys.modules"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
