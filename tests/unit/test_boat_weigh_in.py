"""The weight list: sums, standard deviations, and which line to weigh next."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from bulbcast.ballast.weigh_in import (
    State,
    Weight,
    moment_spread_about,
    usual_spread,
    weigh_in,
    weigh_next,
)
from bulbcast.quantities.checked import BoatFigureError

HULL = Weight(name="hull", mass=0.80, x=0.50, z=0.02, state=State.WEIGHED, spread=0.001, place_spread=0.010)
RIG = Weight(name="rig", mass=0.25, x=0.40, z=0.60, state=State.ESTIMATED, spread=0.03)
PAINT = Weight(name="paint", mass=0.06, x=0.50, state=State.TO_COME, spread=0.02)
BATTERY = Weight(name="battery", mass=0.12, x=0.30, y=0.01, z=-0.01, state=State.WEIGHED, spread=0.001)
LINES = (HULL, RIG, PAINT, BATTERY)


def test_masses_and_moments_add_up_and_independent_spreads_add_as_squares():
    found = weigh_in(LINES)
    assert found.mass == pytest.approx(1.23, rel=1e-15)
    assert found.mass_spread == pytest.approx(math.sqrt(0.001**2 + 0.03**2 + 0.02**2 + 0.001**2), rel=1e-15)
    assert found.moments[0] == pytest.approx(0.80 * 0.50 + 0.25 * 0.40 + 0.06 * 0.50 + 0.12 * 0.30, rel=1e-15)
    assert found.moments[1:] == pytest.approx((0.0012, 0.80 * 0.02 + 0.25 * 0.60 - 0.12 * 0.01), rel=1e-14)
    assert found.centre == pytest.approx(tuple(moment / 1.23 for moment in found.moments), rel=1e-15)


def test_spreads_agree_with_the_scatter_of_a_hundred_thousand_weigh_ins():
    chance = np.random.default_rng(8)
    count = 100_000
    masses = np.stack([chance.normal(line.mass, line.mass_spread, count) for line in LINES])
    places = np.stack([chance.normal(line.x, line.place_spread, count) for line in LINES])
    moments = (masses * places).sum(axis=0)
    # A standard deviation from n draws is itself uncertain by 1 / sqrt(2 n), 0.22 %: four of those.
    assert moment_spread_about(LINES, 0.0) == pytest.approx(float(moments.std()), rel=9e-3)


def test_nothing_weighed_has_no_centre():
    found = weigh_in(())
    assert (found.mass, found.mass_spread, found.centre) == (0.0, 0.0, (None, None, None))


def test_a_line_without_a_spread_takes_the_one_usual_for_its_state_and_zero_means_zero():
    assert usual_spread(State.WEIGHED, 0.8) == pytest.approx(0.004)
    assert usual_spread(State.WEIGHED, 0.01) == 0.0005
    assert usual_spread(State.ESTIMATED, 0.5) == pytest.approx(0.05)
    assert usual_spread(State.TO_COME, 0.5) == pytest.approx(0.075)
    assert Weight(name="deck", mass=0.5, x=0.0).mass_spread == pytest.approx(0.05)
    assert Weight(name="deck", mass=0.5, x=0.0, spread=0.0).mass_spread == 0.0


def test_the_lines_to_weigh_next_are_ranked_by_what_they_bring_to_the_sum():
    ranked = weigh_next(LINES)
    assert [row.name for row in ranked] == ["rig", "paint", "battery"]
    first = weigh_in((HULL, replace(RIG, spread=usual_spread(State.WEIGHED, 0.25)), PAINT, BATTERY))
    assert ranked[0].sum_spread == pytest.approx(first.mass_spread, rel=1e-13)
    assert ranked[0].in_turn == ranked[0].sum_spread
    # Both weighed: 1.25 g and 0.5 g beside the two of a gram each.
    assert ranked[1].in_turn == pytest.approx(math.sqrt(2 + 1.25**2 + 0.5**2) * 1e-3, rel=1e-12)


def test_a_line_that_the_scale_would_not_better_is_not_in_the_list():
    assert weigh_next((HULL,)) == weigh_next(()) == ()
    assert [row.name for row in weigh_next((HULL, RIG))] == ["rig"]


def test_lines_of_equal_effect_keep_their_order():
    twins = tuple(Weight(name=name, mass=0.1, x=0.0, spread=0.01) for name in ("c", "a", "b"))
    assert [row.name for row in weigh_next(twins)] == ["c", "a", "b"]


def test_the_spread_of_a_moment_depends_on_where_it_is_taken_about():
    assert moment_spread_about((RIG,), 0.4) == 0.0
    assert moment_spread_about((RIG,), 0.0) == pytest.approx(0.03 * 0.4, rel=1e-14)
    # Of a product of independent factors.
    wanted = (0.001 * 0.5) ** 2 + (0.8 * 0.01) ** 2 + (0.001 * 0.01) ** 2
    assert moment_spread_about((HULL,), 0.0) == pytest.approx(math.sqrt(wanted), rel=1e-14)


@pytest.mark.parametrize(
    ("figures", "message"),
    [
        (
            {"mass": -0.1},
            'The mass of "deck" is -0.1 kg; it must be finite and 0 or more. Give it as measured.',
        ),
        ({"x": math.inf}, 'x of "deck" is inf m; it must be a finite number. Give it as measured.'),
        (
            {"spread": -1.0},
            'The spread of "deck" is -1 kg; it must be finite and 0 or more. Give it as measured.',
        ),
    ],
)
def test_a_line_that_cannot_be_is_refused_in_words(figures, message):
    with pytest.raises(BoatFigureError) as caught:
        Weight(**{"name": "deck", "mass": 0.5, "x": 0.1, **figures})
    assert str(caught.value) == message
