"""The shape-preserving cubic for tables of ordinates is compared with scipy's, which the library does not use."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.interpolate import PchipInterpolator

from bulbcast.bulb.body.integrals import body_volume
from bulbcast.bulb.body.tabulated import monotone_slopes, tabulated
from bulbcast.bulb.body.turned import turned_body

rng = np.random.default_rng(58)


def random_table(rows):
    x = np.concatenate([[0.0], np.cumsum(rng.uniform(0.01, 1.0, rows - 1))])
    r = np.concatenate([[0.0], rng.uniform(0.05, 1.0, rows - 1)])
    return x, r


TABLES = {
    "lens": (np.linspace(0.0, 1.0, 9), np.array([0.0, *np.sin(np.pi * np.arange(1, 8) / 8.0), 0.0])),
    "flat middle": (np.array([0.0, 1.0, 2.0, 3.0, 4.0, 6.0]), np.array([0.0, 2.0, 3.0, 3.0, 2.0, 1.0])),
    "two humps": (np.array([0.0, 1.0, 2.0, 4.0, 5.0, 8.0]), np.array([0.0, 3.0, 2.0, 3.5, 1.0, 0.0])),
    "steep end": (np.array([0.0, 0.01, 0.1, 0.5, 1.0]), np.array([0.0, 0.3, 0.5, 1.0, 0.2])),
    "four rows": (np.array([0.0, 1.0, 2.5, 3.0]), np.array([0.0, 1.0, 1.2, 0.0])),
    "random 7": random_table(7),
    "random 40": random_table(40),
    "random 200": random_table(200),
}


@pytest.mark.parametrize("name", TABLES)
def test_slopes_at_the_knots_are_those_of_the_oracle(name):
    x, r = TABLES[name]
    oracle = PchipInterpolator(x, r * r).derivative()(x)
    assert monotone_slopes(x, r * r) == pytest.approx(oracle, rel=1e-12, abs=1e-13)


@pytest.mark.parametrize("name", TABLES)
def test_values_and_slopes_between_the_knots_are_those_of_the_oracle(name):
    x, r = TABLES[name]
    profile = tabulated(x, r)
    # The squares are interpolated, over unit length and unit largest radius.
    oracle = PchipInterpolator(x / x[-1], (r / np.max(r)) ** 2)
    xi = np.linspace(0.0, 1.0, 1009)
    q, slope = profile.squared(xi)
    assert q == pytest.approx(oracle(xi), rel=1e-11, abs=1e-13)
    assert slope == pytest.approx(oracle.derivative()(xi), rel=1e-9, abs=1e-10)


@pytest.mark.parametrize("name", TABLES)
def test_the_volume_of_a_table_is_the_oracles_exact_integral(name):
    x, r = TABLES[name]
    body = turned_body(tabulated(x, r), diameter=0.04, tail_diameter=0.0, length=0.2)
    oracle = PchipInterpolator(x / x[-1], (r / np.max(r)) ** 2)
    volume = np.pi * 0.02**2 * 0.2 * float(oracle.integrate(0.0, 1.0))
    assert body_volume(body).volume == pytest.approx(volume, rel=1e-11)


def test_the_curve_never_leaves_the_range_of_its_neighbours():
    x, r = TABLES["random 200"]
    profile = tabulated(x, r)
    q_knots = (r / np.max(r)) ** 2
    for i in range(len(x) - 1):
        xi = np.linspace(x[i], x[i + 1], 23) / x[-1]
        q, _ = profile.squared(xi)
        low, high = sorted(q_knots[i : i + 2])
        assert np.min(q) >= low - 1e-12
        assert np.max(q) <= high + 1e-12
