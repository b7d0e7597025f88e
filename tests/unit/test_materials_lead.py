"""Pure lead: ranges of the equations, and consistency between them."""

from __future__ import annotations

import re

import pytest

from bulbcast.materials.lead import (
    HEAT_OF_FUSION,
    MELTING_POINT,
    LeadRangeError,
    heat_to_melt,
    liquid_density,
    saturated_lead_in_air,
    vapour_pressure,
)


@pytest.mark.parametrize("formula", [liquid_density, vapour_pressure, saturated_lead_in_air])
def test_solid_lead_and_lead_above_its_boiling_point_are_refused(formula):
    for celsius in (300.0, 1800.0):
        text = f"The lead is at {celsius:g} degC; the equation is valid for liquid lead from 327.45 to 1747.85 degC."
        with pytest.raises(LeadRangeError, match=f"^{re.escape(text)}$"):
            formula(celsius)


def test_the_melting_point_itself_is_in_range():
    assert liquid_density(MELTING_POINT) > liquid_density(MELTING_POINT + 1)


@pytest.mark.parametrize("start", [0.0, 328.0])
def test_a_cold_start_that_is_not_solid_or_below_the_range_is_refused(start):
    text = f"The cold lead is at {start:g} degC; the equation is valid for solid lead from 20 to 327.46 degC."
    with pytest.raises(LeadRangeError, match=f"^{re.escape(text)}$"):
        heat_to_melt(380.0, start)


def test_melting_at_the_melting_point_takes_the_heat_of_fusion_alone():
    assert heat_to_melt(MELTING_POINT, MELTING_POINT) == pytest.approx(HEAT_OF_FUSION, rel=1e-12)


def test_heat_adds_up_along_the_way():
    whole = heat_to_melt(400.0)
    from_hundred = heat_to_melt(400.0, 100.0)
    warming = whole - from_hundred
    assert warming == pytest.approx(heat_to_melt(350.0) - heat_to_melt(350.0, 100.0), rel=1e-9)


def test_the_same_lead_weighs_more_in_air_that_has_cooled():
    hot, cool = saturated_lead_in_air(500.0), saturated_lead_in_air(500.0, 20.0)
    assert cool / hot == pytest.approx((500.0 + 273.15) / (20.0 + 273.15), rel=1e-12)


def test_lead_boils_where_its_vapour_reaches_one_atmosphere():
    # The equation is a fit; at the boiling point it gives one atmosphere within 1 %.
    assert vapour_pressure(1747.8) == pytest.approx(101325.0, rel=0.01)
