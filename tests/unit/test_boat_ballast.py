"""The ballast target, the effect of a given bulb, and small changes to the boat's floating position."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from bulbcast.ballast.rules import RATIO_BANDS, check_ratio
from bulbcast.ballast.target import (
    BulbAfloat,
    RestOfBoat,
    apparent_weight_factor,
    ballast_target,
    hung_target,
    imbalance,
    rest_without,
    target_spread,
)
from bulbcast.ballast.weigh_in import Weight
from bulbcast.hull.design_line import DesignLine
from bulbcast.hull.trimming import Flotation, changed_by_moment, flotation_on_line
from bulbcast.quantities import Shown
from bulbcast.quantities.checked import BoatFigureError

REST = RestOfBoat(volume=4.2e-3, buoyancy_x=0.470, mass=1.70, mass_x=0.490)
WATER, LEAD = 999.1, 11200.0
TARGET = ballast_target(REST, water_density=WATER, lead_density=LEAD)
FLOTATION = Flotation(
    water_density=WATER,
    volume=4.2e-3 + 0.25e-3,
    buoyancy_x=0.465,
    waterplane_area=0.16,
    flotation_x=0.500,
    metacentric_height_along=1.1,
    metacentric_height=0.13,
    fore_x=0.0,
    aft_x=0.980,
)


def changed_by(flotation, *, mass, x):
    """Change in floating position caused by a weight added at a given position."""
    return changed_by_moment(flotation, mass=mass, moment=mass * (x - flotation.flotation_x))


def bulb_of_lead(mass, x):
    return BulbAfloat(mass=mass, x=x, volume=mass / LEAD, volume_x=x)


def test_with_the_target_she_weighs_what_she_displaces_and_lies_level():
    over = imbalance(REST, bulb_of_lead(*TARGET), water_density=WATER)
    assert over == (pytest.approx(0.0, abs=1e-14), pytest.approx(0.0, abs=1e-14))


def test_a_bulb_beside_the_target_leaves_its_excess_and_its_moment():
    mass, x = TARGET
    felt = apparent_weight_factor(WATER, LEAD)
    heavy = imbalance(REST, bulb_of_lead(mass + 0.4, x), water_density=WATER)
    assert heavy == (pytest.approx(0.4 * felt, rel=1e-11), pytest.approx(0.4 * felt * x, rel=1e-11))
    aft = imbalance(REST, bulb_of_lead(mass, x + 0.01), water_density=WATER)
    assert aft == (pytest.approx(0.0, abs=1e-14), pytest.approx(0.01 * mass * felt, rel=1e-10))


def test_weight_put_aft_in_her_wants_the_bulb_forward():
    options = {"water_density": WATER, "lead_density": LEAD}
    mass, aft = ballast_target(replace(REST, mass_x=REST.mass_x + 0.02), **options)
    # m_r dx of moment, over the bulb's apparent mass.
    apparent = mass * apparent_weight_factor(WATER, LEAD)
    assert TARGET[1] - aft == pytest.approx(REST.mass * 0.02 / apparent, rel=1e-12)


def test_salt_water_carries_more_lead_and_denser_lead_needs_less():
    assert ballast_target(REST, water_density=1026.0, lead_density=LEAD)[0] > TARGET[0]
    assert ballast_target(REST, water_density=WATER, lead_density=11340.0)[0] < TARGET[0]


def test_a_boat_too_heavy_for_her_line_is_reported_by_how_much():
    with pytest.raises(BoatFigureError) as caught:
        ballast_target(replace(REST, mass=4.5), water_density=1000.0, lead_density=LEAD)
    assert str(caught.value) == (
        "Nothing is left for the bulb: at her line the boat displaces 4.2 kg, and without the lead she already weighs "
        "4.5 kg. Remove 0.3 kg or more, or raise her waterline."
    )


def test_ballast_that_floats_is_refused():
    with pytest.raises(BoatFigureError) as caught:
        ballast_target(REST, water_density=1000.0, lead_density=900.0)
    assert str(caught.value) == (
        "The ballast would float: its density is 900 kg/m3, which is not above the water's 1000 kg/m3. Give the "
        "density of the cast lead."
    )


def test_the_targets_spread_is_the_rests_over_the_apparent_weight_factor():
    found = target_spread(mass_spread=0.03, volume_spread=4e-5, water_density=1000.0, lead_density=11000.0)
    assert found == pytest.approx(math.hypot(0.03, 0.04) / (10 / 11), rel=1e-14)


def test_a_ballast_ratio_within_the_band_of_her_kind_is_not_remarked_on():
    shown = Shown("metric")
    # What builders' own accounts come to: practice of the trade.
    assert [band[1:] for band in RATIO_BANDS.values()] == [(0.30, 0.55), (0.55, 0.70), (0.20, 0.45)]
    assert check_ratio(0.6, "racing-model", shown) == check_ratio(0.6, None, shown) == ()
    (note,) = check_ratio(0.6, "model", shown)
    assert (note.code, note.limit) == ("ballast-ratio-unusual", 0.55)
    assert "(common practice)" in note.message


def test_a_shaped_bulbs_target_settles_with_its_displacement():
    mass, volume = 0.0, 0.0
    for _ in range(30):
        mass = hung_target(REST, volume=volume, water_density=WATER)
        volume = mass / LEAD
    assert mass == pytest.approx(TARGET[0], rel=1e-13)
    with pytest.raises(
        BoatFigureError, match=r"^Nothing is left for the bulb: at her line the boat displaces 4\.19622 kg"
    ):
        hung_target(replace(REST, mass=9.0), volume=0.0, water_density=WATER)


def test_the_heaviest_bulb_is_the_target_with_the_trim_lead_left_ashore():
    options = {"water_density": WATER, "lead_density": LEAD}
    ashore = (Weight(name="trim lead", mass=0.12, x=0.90), Weight(name="spare battery", mass=0.08, x=0.2))
    lighter = rest_without(REST, ashore)
    most, _ = ballast_target(lighter, **options)
    assert most - TARGET[0] == pytest.approx(0.20 / apparent_weight_factor(WATER, LEAD), rel=1e-12)
    assert lighter.mass * lighter.mass_x + 0.12 * 0.9 + 0.08 * 0.2 == pytest.approx(
        REST.mass * REST.mass_x, rel=1e-14
    )
    with pytest.raises(
        BoatFigureError, match=r"^The boat weighs 1\.7 kg without the bulb, so 2 kg cannot be left ashore\."
    ):
        rest_without(REST, (Weight(name="engine", mass=2.0, x=0.0),))


def test_a_bulb_displaces_water_where_its_volume_is_and_weighs_where_its_mass_is():
    bulb = BulbAfloat(mass=2.5, x=0.44, volume=2.6e-4, volume_x=0.45)
    _, moment = imbalance(REST, bulb, water_density=WATER)
    assert moment == pytest.approx(
        1.70 * 0.490 + 2.5 * 0.44 - WATER * (4.2e-3 * 0.470 + 2.6e-4 * 0.45), rel=1e-13
    )


def test_weight_aft_puts_the_stern_down_and_weight_at_the_centre_of_flotation_trims_her_not():
    aft = changed_by(FLOTATION, mass=0.05, x=0.9)
    assert aft.trim > 0.0
    assert aft.deeper_aft > aft.sinkage > aft.deeper_fore
    middle = changed_by(FLOTATION, mass=0.05, x=FLOTATION.flotation_x)
    assert middle.trim == 0.0
    assert middle.deeper_fore == middle.deeper_aft == middle.sinkage > 0.0
    off = changed_by(FLOTATION, mass=-0.05, x=0.9)
    assert (off.sinkage, off.trim) == (-aft.sinkage, -aft.trim)


HULL = DesignLine(
    volume=4.0e-3,
    buoyancy_x=0.47,
    buoyancy_z=-0.02,
    waterplane_area=0.16,
    flotation_x=0.5,
    length=0.98,
    beam=0.22,
    draught=0.05,
    bm_across=0.12,
    bm_along=1.9,
    wetted_area=0.2,
    how="given",
)


def test_a_bulb_below_the_hull_lowers_metacentre_and_centre_of_buoyancy():
    found = flotation_on_line(
        HULL, water_density=WATER, mass_centre_z=-0.10, below_volume=1.0e-3, below_x=0.40, below_z=-0.30
    )
    buoyancy_z = (4.0 * -0.02 + 1.0 * -0.30) / 5.0
    assert found.volume == pytest.approx(5.0e-3)
    assert found.buoyancy_x == pytest.approx((4.0 * 0.47 + 1.0 * 0.40) / 5.0, rel=1e-14)
    # The waterplane's inertia stays: BM goes as one over the volume.
    assert found.metacentric_height == pytest.approx(buoyancy_z + 0.12 * 0.8 + 0.10, rel=1e-14)
    assert found.metacentric_height_along == pytest.approx(buoyancy_z + 1.9 * 0.8 + 0.10, rel=1e-14)
    assert found.moment_per_heel == pytest.approx(found.mass * found.metacentric_height, rel=1e-15)
    alone = flotation_on_line(HULL, water_density=WATER, mass_centre_z=-0.10)
    assert alone.metacentric_height_along == pytest.approx(-0.02 + 1.9 + 0.10, rel=1e-15)


def test_a_hull_that_does_not_tell_its_waterplane_is_refused_with_what_is_missing():
    bare = replace(HULL, waterplane_area=None, bm_along=None)
    with pytest.raises(BoatFigureError) as caught:
        flotation_on_line(bare, water_density=WATER, mass_centre_z=0.0)
    assert str(caught.value) == (
        "The effect of a weight on trim cannot be calculated without the hull's waterplane area, longitudinal "
        "BM. Give these figures, or give the hull as a surface or as offsets."
    )
    assert (
        flotation_on_line(
            replace(HULL, bm_across=None), water_density=WATER, mass_centre_z=0.0
        ).moment_per_heel
        is None
    )


def test_a_boat_that_water_does_not_hold_level_is_refused():
    with pytest.raises(BoatFigureError, match=r"^The longitudinal metacentric height is -0\.1 m; it must be"):
        replace(FLOTATION, metacentric_height_along=-0.1)
