"""Drag of the bulb: array shapes, continuity, errors, and the text shown with the figures."""

from __future__ import annotations

import re

import numpy as np
import pytest

from bulbcast.sailing.drag import (
    A_RANGE_NOT_AN_OPTIMUM,
    FORM_FACTORS,
    TURBULENT_FROM,
    DragError,
    bulb_drag,
    drag_words,
    hoerner,
    ittc57,
    raymer,
    torenbeek,
)

BULB = {
    "length": 0.25,
    "fineness": 5.0,
    "wetted_area": 0.03,
    "speed": 1.5,
    "water_density": 1000.0,
    "kinematic_viscosity": 1.25e-6,
}


@pytest.mark.parametrize("line", [ittc57, *FORM_FACTORS])
def test_a_formula_answers_an_array_as_it_answers_its_members(line):
    numbers = np.array([[1e4, 3e5], [5e5, 2e7]])
    together = line(numbers)
    assert together.shape == (2, 2)
    for place in np.ndindex(2, 2):
        assert together[place] == float(line(float(numbers[place])))


def test_a_reynolds_number_below_a_thousand_is_refused():
    with pytest.raises(DragError) as caught:
        ittc57(np.array([1e5, 999.0]))
    assert str(caught.value) == (
        "The Reynolds number is 999, but the friction line is used only from 1000 upwards. Give a higher speed."
    )
    assert float(ittc57(1000.0)) > 0.0


@pytest.mark.parametrize("wrong", [float("nan"), float("inf"), -1e6, 0.0])
def test_a_reynolds_number_that_is_none_is_refused(wrong):
    with pytest.raises(DragError, match=re.escape("the friction line is used only from 1000 upwards")):
        ittc57(wrong)


@pytest.mark.parametrize("factor", FORM_FACTORS)
def test_a_fineness_below_one_is_refused(factor):
    with pytest.raises(DragError) as caught:
        factor(0.5)
    assert str(caught.value) == (
        "The fineness is 0.5, but form factors apply only to bodies longer than they are wide. Make it at least 1."
    )


def test_drag_is_stream_pressure_times_area_times_friction_times_form_factor():
    drag = bulb_drag(**BULB)
    bare = 0.5 * 1000.0 * 1.5**2 * 0.03 * 0.075 / (np.log10(3e5) - 2.0) ** 2
    assert drag.reynolds == pytest.approx(3e5, rel=1e-14)
    assert drag.low == pytest.approx(bare * float(hoerner(5.0)), rel=1e-14)
    assert drag.high == pytest.approx(bare * float(raymer(5.0)), rel=1e-14)
    # Raymer's f / 400 and 60 / f^3 lie above the others from fineness 2 to 20; Hoerner's and Torenbeek's cross.
    full = bulb_drag(**BULB | {"fineness": 2.0})
    assert (full.low, full.high) == pytest.approx(
        (bare * float(torenbeek(2.0)), bare * float(raymer(2.0))), rel=1e-14
    )


def test_drag_goes_with_the_square_of_speed_where_the_reynolds_number_is_held():
    once = bulb_drag(**BULB)
    twice = bulb_drag(**BULB | {"speed": 3.0, "kinematic_viscosity": 2.5e-6})
    assert twice.low == pytest.approx(4.0 * once.low, rel=1e-14)


def test_a_slow_bulb_is_reported_that_no_factor_is_valid():
    drag = bulb_drag(**BULB)
    assert drag_words(drag.reynolds, drag.reynolds) == (
        "Drag is given as a range over three published form factors, not as an optimum. Differences smaller than the "
        "range mean nothing. The Reynolds number based on length is 0.30 million. Below 1 million, laminar flow and "
        "separation on a full tail can dominate, and none of these form factors is valid."
    )


def test_the_words_turn_at_the_limit_itself():
    assert drag_words(TURBULENT_FROM, 4e6) == A_RANGE_NOT_AN_OPTIMUM
    below = drag_words(0.99 * TURBULENT_FROM, 4.1e6)
    assert "runs from 0.99 to 4.10 million. Below 1 million" in below
    at = bulb_drag(**BULB | {"kinematic_viscosity": 0.25 * 1.5 / TURBULENT_FROM})
    assert at.reynolds == pytest.approx(TURBULENT_FROM, rel=1e-12)
