"""The plaster mix: purity, sand, limits, and the test bar."""

from __future__ import annotations

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bulbcast.materials.plaster import (
    PlasterError,
    PlasterMix,
    moulding_sand,
    purity_of_test_bar,
    purity_spread_of_test_bar,
    water_taken_up,
)

MIXES = st.builds(
    PlasterMix,
    water=st.floats(0.3, 1.5),
    purity=st.floats(0.5, 1.0),
    sand=st.floats(0.0, 3.0),
)


@given(MIXES)
def test_masses_fall_from_just_set_to_anhydrite(mix):
    assert 1.0 > mix.air_share > mix.baked_share > mix.over_baked_share > mix.anhydrite_share > 0.0
    lost = (mix.water - water_taken_up() * mix.purity) / (1.0 + mix.water + mix.sand)
    assert 1.0 - mix.air_share == pytest.approx(lost, abs=1e-12)


@given(MIXES, st.floats(0.5, 1.0))
def test_what_is_baked_weighs_the_same_whatever_the_purity_was(mix, purity):
    other = PlasterMix(water=mix.water, purity=purity, sand=mix.sand)
    assert other.baked_share == mix.baked_share


def test_less_pure_plaster_is_lighter_when_it_is_dry():
    pure, poor = PlasterMix(water=0.7, purity=1.0), PlasterMix(water=0.7, purity=0.9)
    assert pure.air_share - poor.air_share == pytest.approx(0.1 * water_taken_up() / 1.7)


def test_sand_weighs_the_same_all_along():
    plain, sanded = PlasterMix(water=0.7), PlasterMix(water=0.7, sand=0.5)
    assert sanded.baked_share == pytest.approx(1.5 / 2.2)
    assert (1.0 - sanded.air_share) * 2.2 == pytest.approx((1.0 - plain.air_share) * 1.7)


@given(MIXES)
def test_a_test_bar_of_a_mix_tells_its_purity(mix):
    found = purity_of_test_bar(just_set=0.4, dry=0.4 * mix.air_share, water=mix.water, sand=mix.sand)
    assert found == pytest.approx(mix.purity, abs=1e-9)


def test_the_spread_of_a_test_bar_is_that_of_its_readings():
    def found(wet, dry):
        return purity_of_test_bar(just_set=wet, dry=dry, water=0.7)

    wet, dry, step = 0.5, 0.347, 1e-6
    by_hand = (
        (found(wet + step, dry) - found(wet - step, dry)) ** 2
        + (found(wet, dry + step) - found(wet, dry - step)) ** 2
    ) ** 0.5 / (2.0 * step)
    said = purity_spread_of_test_bar(just_set=wet, dry=dry, water=0.7, sand=0.0, scale_spread=1e-3)
    assert said == pytest.approx(1e-3 * by_hand, rel=1e-6)


@pytest.mark.parametrize(
    ("figures", "message"),
    [
        (
            {"water": 0.1},
            "The ratio of water to plaster is 0.1; at least 0.1862 is needed for the plaster to set.",
        ),
        ({"water": 0.7, "purity": 0.0}, "The purity is 0 %; it must be above 0 and at most 100 %."),
        ({"water": 0.7, "purity": 1.2}, "The purity is 120 %; it must be above 0 and at most 100 %."),
        ({"water": 0.7, "sand": -0.1}, "The sand is -10 % of the plaster's mass; it must be zero or more."),
        ({"water": float("nan")}, "All the figures for a mix must be finite numbers."),
    ],
)
def test_a_mix_that_cannot_be_is_refused(figures, message):
    with pytest.raises(PlasterError, match=f"^{re.escape(message)}$"):
        PlasterMix(**figures)


def test_the_sand_has_its_sources():
    sand = moulding_sand()
    assert 1500.0 <= sand.density <= 1700.0
    for words in (sand.density_source, sand.moisture_source, sand.oil_source):
        assert any(mark in words for mark in ("common practice, no source", "judgement", "from memory"))
