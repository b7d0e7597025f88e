"""The projected date compared with an exact exponential and, for noisy readings, with scipy's least squares."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.optimize import brentq, curve_fit

from bulbcast.foundry.drying.trend import trend_of

HOUR = 3600.0
END, AMPLITUDE, TAU = 2.05, 0.95, 30.0 * HOUR
TARGET, WITHIN, GAP = 2.07, 0.0027, 24.0 * HOUR


def mass(t, end, amplitude, tau):
    return end + amplitude * np.exp(-t / tau)


def ready(end, amplitude, tau):
    """Time at which the part is below its mass limit and its daily loss is small enough, both found by root finding."""
    below = brentq(lambda t: mass(t, end, amplitude, tau) - TARGET, 0.0, 100.0 * tau)
    steady = brentq(
        lambda t: mass(t - GAP, end, amplitude, tau) - mass(t, end, amplitude, tau) - WITHIN, 0.0, 100.0 * tau
    )
    return max(below, steady)


def trend(times, masses, **changes):
    figures = {
        "reading_spread": 0.001, "end_mass": 2.05, "end_spread": 0.02, "target": TARGET,
        "constant_within": WITHIN, "constant_gap": GAP,
    }  # fmt: skip
    return trend_of(times, masses, **{**figures, **changes})


@pytest.mark.parametrize("count", [3, 5, 8])
def test_an_exact_exponential_is_reported_within_its_own_spread(count):
    times = 24.0 * HOUR * np.arange(count)
    found = trend(times.tolist(), mass(times, END, AMPLITUDE, TAU).tolist())
    exact = ready(END, AMPLITUDE, TAU) - times[-1]
    assert found.early <= exact * 1.02
    assert found.late is None or exact * 0.98 <= found.late


def test_with_many_readings_the_likely_date_is_the_exact_one():
    times = 6.0 * HOUR * np.arange(17)
    found = trend(times.tolist(), mass(times, END, AMPLITUDE, TAU).tolist(), end_spread=0.004)
    exact = ready(END, AMPLITUDE, TAU) - times[-1]
    assert found.likely == pytest.approx(exact, rel=0.05)
    assert found.time_constant == pytest.approx(TAU, rel=0.03)
    assert found.end_mass == pytest.approx(END, abs=0.004)


@pytest.mark.parametrize("seed", range(6))
def test_noisy_readings_give_the_least_squares_course_within_its_spread(seed):
    random = np.random.default_rng(seed)
    times = 12.0 * HOUR * np.arange(9)
    read = np.round(mass(times, END, AMPLITUDE, TAU) + random.normal(0.0, 0.001, 9), 3)
    best, _ = curve_fit(mass, times, read, p0=(2.0, 1.0, 20.0 * HOUR))
    found = trend(times.tolist(), read.tolist())
    assert found.time_constant == pytest.approx(best[2], rel=0.08)
    assert found.end_mass == pytest.approx(best[0], abs=0.02)
    exact = ready(END, AMPLITUDE, TAU) - times[-1]
    assert found.early <= exact * 1.05
    assert found.late is None or found.late >= exact * 0.95


def test_the_rate_at_the_last_reading_is_the_slope_of_the_course():
    times = 6.0 * HOUR * np.arange(17)
    found = trend(times.tolist(), mass(times, END, AMPLITUDE, TAU).tolist(), end_spread=0.004)
    assert found.rate == pytest.approx(AMPLITUDE / TAU * math.exp(-times[-1] / TAU), rel=0.05)


def test_a_part_that_ends_above_its_mass_is_given_no_date():
    times = 24.0 * HOUR * np.arange(6)
    found = trend(times.tolist(), mass(times, 2.15, 0.85, TAU).tolist(), end_mass=2.15, end_spread=0.01)
    assert found.likely is None
    assert found.never > 0.95


def test_fewer_readings_give_a_wider_spread():
    widths = []
    for count in (3, 6):
        times = 24.0 * HOUR * np.arange(count)
        found = trend(times.tolist(), mass(times, END, AMPLITUDE, TAU).tolist(), end_spread=0.006)
        widths.append((math.inf if found.late is None else found.late) - found.early)
    assert widths[0] > widths[1]


def test_the_band_holds_the_course_at_every_time():
    times = 12.0 * HOUR * np.arange(7)
    found = trend(times.tolist(), mass(times, END, AMPLITUDE, TAU).tolist())
    for point in found.curve:
        assert point.low <= point.likely <= point.high
        exact = mass(point.time + times[-1], END, AMPLITUDE, TAU)
        assert point.low - 0.012 <= exact <= point.high + 0.012


@pytest.mark.parametrize(
    ("times", "masses"),
    [([0.0], [3.0]), ([0.0, HOUR], [3.0, 3.0]), ([0.0, HOUR], [3.0, 3.1]), ([HOUR, HOUR], [3.0, 2.9])],
)
def test_no_trend_is_reported_without_two_readings_that_fall(times, masses):
    assert trend(times, masses) is None


def test_the_same_readings_give_the_same_answer():
    times = (24.0 * HOUR * np.arange(4)).tolist()
    masses = mass(np.array(times), END, AMPLITUDE, TAU).tolist()
    assert trend(times, masses) == trend(times, masses)
