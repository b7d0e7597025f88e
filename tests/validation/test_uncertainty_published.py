"""Propagation of uncertainty compared with the worked examples of the Guide and of its first supplement."""

from __future__ import annotations

import math

import numpy as np
import pytest

from bulbcast.confidence.propagation import (
    Uncertain,
    combined,
    coverage_interval,
    draws,
    effective_freedom,
    even_draws,
    linear_parts,
    linear_stands,
    shortest_interval,
    tolerance,
)

# JCGM 100:2008 (GUM), H.1, table H.1: calibration of an end gauge. nm, degC, 1/degC.
GAUGE = (
    Uncertain(value=50_000_623.0, sd=25.0),
    Uncertain(value=215.0, sd=9.7),
    Uncertain(value=11.5e-6, sd=1.2e-6, shape="rectangular"),
    Uncertain(value=-0.1, sd=0.41),
    Uncertain(value=0.0, sd=0.58e-6, shape="rectangular"),
    Uncertain(value=0.0, sd=0.029, shape="rectangular"),
)


def gauge(x):
    standard, difference, expansion, warmer, other, apart = x
    return standard + difference - standard * (other * warmer + expansion * apart)


def test_end_gauge_by_its_derivatives():
    value, parts = linear_parts(gauge, GAUGE)
    # H.1.2 and H.1.4 print 50 000 838 nm and 32 nm; the parts are those of table H.1, 16.6 for the temperature's.
    assert value == pytest.approx(50_000_838.0, abs=0.5)
    assert np.abs(parts) == pytest.approx([25.0, 9.7, 0.0, 0.0, 2.9, 16.7], abs=0.08)
    assert combined(parts) == pytest.approx(32.0, abs=0.5)
    # H.1.6: 16 degrees of freedom, truncated from 16.7; those of the inputs in table H.1.
    freedom = effective_freedom([25.0, 9.7, 2.9, 16.6], [18.0, 25.6, 50.0, 2.0])
    assert math.floor(freedom) == 16


def test_end_gauge_by_samples_has_the_second_order_term_that_the_guide_names():
    # H.1.7: with the second-order terms the standard uncertainty is 34 nm in place of 32.
    found = gauge(draws(GAUGE, count=400_000, seed=1))
    assert float(np.std(found)) == pytest.approx(34.0, abs=0.5)


# JCGM 101:2008, 9.3, mass calibration; mg, kg/m3. Inputs and table 6 from memory: no copy was at hand.
MASS = (
    Uncertain(value=100_000.000, sd=0.050),
    Uncertain(value=1.234, sd=0.020),
    Uncertain(value=1.20, sd=0.10 / math.sqrt(3.0), shape="rectangular"),
    Uncertain(value=8000.0, sd=1000.0 / math.sqrt(3.0), shape="rectangular"),
    Uncertain(value=8000.0, sd=50.0 / math.sqrt(3.0), shape="rectangular"),
)


def mass(x):
    standard, added, air, weight, reference = x
    return (standard + added) * (1.0 + (air - 1.2) * (1.0 / weight - 1.0 / reference)) - 100_000.0


def test_mass_calibration_where_the_linear_figures_do_not_stand():
    value, parts = linear_parts(mass, MASS)
    sd = combined(parts)
    assert (value, sd) == (pytest.approx(1.2340, abs=5e-5), pytest.approx(0.0539, abs=5e-5))
    assert_table_6(mass(draws(MASS, count=1_000_000, seed=2)), value, sd)


def test_mass_calibration_by_samples_laid_evenly():
    value, parts = linear_parts(mass, MASS)
    assert_table_6(mass(even_draws(MASS, parts, count=1_000_000, seed=3)), value, combined(parts))


def assert_table_6(found, value, sd):
    assert float(np.mean(found)) == pytest.approx(1.2340, abs=3e-4)
    assert float(np.std(found)) == pytest.approx(0.0754, abs=2e-4)
    low, high = shortest_interval(found, 0.95)
    assert (low, high) == (pytest.approx(1.0834, abs=3e-3), pytest.approx(1.3825, abs=3e-3))
    interval = coverage_interval(found, 0.95)
    for digits in (1, 2):
        # Table 6 says "no" for the first-order figures; with one digit 0.05 would allow 0.005.
        assert not linear_stands(value=value, sd=sd, interval=interval, probability=0.95, digits=digits)


def test_additive_normal_inputs_where_they_do():
    # JCGM 101:2008, 9.2.2: four standard normal inputs added; u = 2.0, 95 % interval -3.92 to 3.92.
    four = (Uncertain(value=0.0, sd=1.0),) * 4
    value, parts = linear_parts(lambda x: x.sum(axis=0), four)
    assert combined(parts) == pytest.approx(2.0, rel=1e-12)
    found = draws(four, count=1_000_000, seed=3).sum(axis=0)
    low, high = coverage_interval(found, 0.95)
    assert (low, high) == (pytest.approx(-3.92, abs=0.02), pytest.approx(3.92, abs=0.02))
    assert linear_stands(value=value, sd=combined(parts), interval=(low, high), probability=0.95)


def test_ten_resistors_with_one_common_error():
    # GUM, 5.2.2 example: ten resistors of 1000 ohm, each calibrated against the same standard, u = 100 mohm, correlated
    # by one: 1 ohm in series; 0.32 ohm were they independent.
    parts = np.full(10, 0.1)
    assert combined(parts, np.ones((10, 10))) == pytest.approx(1.0, rel=1e-12)
    assert combined(parts) == pytest.approx(0.32, abs=0.005)


@pytest.mark.parametrize(
    ("sd", "digits", "half"), [(35.0, 2, 0.5), (0.000_32, 1, 0.000_05), (0.0539, 2, 0.0005)]
)
def test_numerical_tolerance(sd, digits, half):
    # JCGM 101:2008, 7.9.2: u = 35 g as 35 x 10^0 has 0.5 g; the third row is that of 9.3.
    assert tolerance(sd, digits) == pytest.approx(half, rel=1e-12)


def test_a_quantity_above_zero_keeps_its_mean_and_deviation():
    # Moments of the gamma distribution: mean k theta, variance k theta^2 (NIST/SEMATECH handbook, 1.3.6.6.11).
    (found,) = draws((Uncertain(value=0.005, sd=0.007, shape="above zero"),), count=400_000, seed=4)
    assert found.min() >= 0.0
    assert float(np.mean(found)) == pytest.approx(0.005, rel=0.01)
    assert float(np.std(found)) == pytest.approx(0.007, rel=0.01)
