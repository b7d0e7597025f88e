"""Fresh water and seawater, a given density, and the range of the formulas."""

from __future__ import annotations

import re

import pytest

from bulbcast.materials.water import (
    WaterError,
    fresh_water_density,
    water_of_density,
    water_of_kind,
)


@pytest.mark.parametrize(
    ("kind", "density", "viscosity"), [("fresh", 999.10, 1.1386e-6), ("salt", 1026.0, 1.1892e-6)]
)
def test_the_two_kinds_are_water_at_fifteen_degrees(kind, density, viscosity):
    water = water_of_kind(kind)
    assert (water.density, water.kinematic_viscosity) == (density, viscosity)
    assert water.name == kind


def test_an_unknown_kind_is_refused_with_those_there_are():
    text = 'There is no kind of water called "sea"; give fresh or salt, or the water density.'
    with pytest.raises(WaterError, match=f"^{re.escape(text)}$"):
        water_of_kind("sea")


def test_water_halfway_between_fresh_and_salt_has_half_their_viscosity():
    fresh, salt = water_of_kind("fresh"), water_of_kind("salt")
    water = water_of_density((fresh.density + salt.density) / 2)
    mean = (fresh.kinematic_viscosity + salt.kinematic_viscosity) / 2
    assert water.kinematic_viscosity == pytest.approx(mean, rel=1e-12)
    assert water.source.endswith("interpolated by density between those of fresh and salt water at 15 degC")


@pytest.mark.parametrize(("density", "end"), [(950.0, "fresh"), (1250.0, "salt")])
def test_beyond_fresh_and_salt_the_nearer_viscosity_is_held_and_said_so(density, end):
    water = water_of_density(density)
    assert water.density == density
    assert water.kinematic_viscosity == pytest.approx(water_of_kind(end).kinematic_viscosity, rel=1e-12)
    assert water.source == f"density as given; viscosity of {end} water at 15 degC"


def test_fresh_water_is_heaviest_at_four_degrees():
    at_four = fresh_water_density(3.983035)
    assert at_four == pytest.approx(999.97495, abs=1e-9)
    assert at_four > fresh_water_density(2.0)
    assert at_four > fresh_water_density(6.0)


@pytest.mark.parametrize("celsius", [-0.1, 40.1, float("nan")])
def test_a_temperature_outside_the_formulas_is_refused(celsius):
    text = (
        f"The water's temperature is {celsius:g} degC; the formula is valid from 0 to 40 degC. Use water at room "
        "temperature and give its temperature."
    )
    with pytest.raises(WaterError, match=f"^{re.escape(text)}$"):
        fresh_water_density(celsius)
