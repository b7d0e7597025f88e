"""The freezing time of a real bulb, cast upright or lying down, does not depend on the grid.

tests/benchmarks/bench_cooling.py covers finer grids than a test has time for.
"""

from __future__ import annotations

from dataclasses import replace

import pytest
from plans import EXAMPLES

from bulbcast.files.plan_file import load_plan
from bulbcast.foundry.cooling.setup import CoolingSetup
from bulbcast.foundry.cooling.simulate import simulated
from bulbcast.foundry.cooling.work import cooling_setup
from bulbcast.job import run

EXAMPLE = EXAMPLES / "fenwisp.toml"


@pytest.fixture(scope="module")
def lying() -> CoolingSetup:
    job = run(*load_plan(EXAMPLE))
    setup, _ = cooling_setup(replace(job, melting=None), cells=8)
    return setup


def test_the_freezing_time_of_a_standing_bulb_is_that_of_a_finer_grid_within_2_per_cent(lying):
    standing = replace(lying, orientation="nose-up")
    coarse, fine = (simulated(replace(standing, cells=cells)) for cells in (20, 28))
    assert coarse.frozen == pytest.approx(fine.frozen, rel=0.02)
    assert coarse.open_after == pytest.approx(fine.open_after, rel=0.05)


def test_the_freezing_time_of_a_lying_bulb_is_that_of_a_finer_grid_within_2_per_cent(lying):
    # 12 is the default.
    coarse, fine = (simulated(replace(lying, cells=cells)) for cells in (12, 15))
    assert coarse.frozen == pytest.approx(fine.frozen, rel=0.02)
    assert coarse.open_after == pytest.approx(fine.open_after, rel=0.05)


def test_a_round_bulb_lying_without_its_feeder_freezes_as_it_does_standing(lying):
    # Square cells in three directions against round ones: two grids that share no cell, one bulb. The feeder is a
    # pencil, and the block's walls the same all round.
    wall = 0.04
    thin = replace(lying.feeder, diameter=0.004, height=wall)
    both = replace(lying, feeder=thin, ends=wall, sides=wall, below=wall)
    flat = simulated(replace(both, cells=10))
    upright = simulated(replace(both, orientation="tail-up", cells=28))
    assert flat.frozen == pytest.approx(upright.frozen, rel=0.03)
    assert flat.last_in_casting.x == pytest.approx(upright.last_in_casting.x, abs=0.02)
