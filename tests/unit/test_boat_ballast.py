"""The ballast target, what a given bulb does, and small changes of the floating boat."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from bulbcast.ballast.imposed import (
    BulbAfloat,
    Freeboard,
    bulb_of_lead,
    heaviest_bulb,
    hung_target,
    imbalance,
    imposed_bulb,
    lead_inside,
    rest_without,
)
from bulbcast.ballast.target import (
    RATIO_BANDS,
    BallastItem,
    BulbSkin,
    RestOfBoat,
    Tongue,
    apparent_weight_factor,
    ballast_ratio,
    ballast_target,
    target_spread,
)
from bulbcast.ballast.weigh_in import Weight
from bulbcast.hull.design_line import DesignLine
from bulbcast.hull.trimming import Flotation, changed_by, flotation_on_line
from bulbcast.quantities.checked import BoatFigureError

REST = RestOfBoat(volume=4.2e-3, buoyancy_x=0.470, mass=1.70, mass_x=0.490)
WATER, LEAD = 999.1, 11200.0
ITEMS = (
    BallastItem(name="screws", volume=2e-6, density=8000, x=0.44),
    BallastItem(name="plugs", volume=3e-6, density=1200),
)
SKIN = BulbSkin(thickness=0.2e-3, density=1500, area_factor=6.9)
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


def balance(rest, target, items, skin, tongue_volume=0.0, tongue_x=0.0):
    """Mass and moment of everything less the water it displaces, part by part."""
    volume = rest.volume + tongue_volume + target.lead_mass / LEAD
    mass = rest.mass + target.lead_mass
    weight_moment = rest.mass * rest.mass_x + target.lead_mass * target.lead_x
    water_moment = (
        rest.volume * rest.buoyancy_x + tongue_volume * tongue_x + target.lead_mass / LEAD * target.lead_x
    )
    parts = [(item.volume, item.density, item.x) for item in items]
    if skin is not None:
        parts.append((target.skin_volume, skin.density, skin.x))
    for part_volume, density, x in parts:
        place = target.lead_x if x is None else x
        volume, mass = volume + part_volume, mass + part_volume * density
        weight_moment += part_volume * density * place
        water_moment += part_volume * place
    return mass - WATER * volume, weight_moment - WATER * water_moment


@pytest.mark.parametrize("items", [(), ITEMS])
@pytest.mark.parametrize("skin", [None, SKIN, replace(SKIN, x=0.45)])
def test_with_the_target_she_weighs_what_she_displaces_and_lies_level(items, skin):
    target = ballast_target(REST, water_density=WATER, lead_density=LEAD, items=items, skin=skin)
    mass, moment = balance(REST, target, items, skin)
    assert mass == pytest.approx(0.0, abs=2e-15 * 4.2)
    assert moment == pytest.approx(0.0, abs=5e-15)
    assert target.total_mass == pytest.approx(WATER * (REST.volume + target.displacement), rel=1e-14)
    assert target.apparent_mass == pytest.approx(WATER * REST.volume - REST.mass, rel=1e-13)


def test_the_hung_bulb_as_one_weight_balances_her_too():
    target = ballast_target(REST, water_density=WATER, lead_density=LEAD)
    bulb = bulb_of_lead(target.lead_mass, target.lead_x, LEAD)
    over = imbalance(REST, bulb, water_density=WATER)
    assert (over.mass, over.moment) == (pytest.approx(0.0, abs=1e-14), pytest.approx(0.0, abs=1e-14))
    assert target.hung_mass == target.lead_mass
    assert target.hung_x == pytest.approx(target.lead_x, rel=1e-15)


def test_the_hung_bulbs_centre_is_that_of_its_parts():
    target = ballast_target(
        REST, water_density=WATER, lead_density=LEAD, items=ITEMS, skin=replace(SKIN, x=0.5)
    )
    parts = [
        (target.lead_mass, target.lead_x),
        (2e-6 * 8000, 0.44),
        (3e-6 * 1200, target.lead_x),
        (target.skin_volume * 1500, 0.5),
    ]
    mass = sum(part for part, _ in parts)
    assert target.hung_mass == pytest.approx(mass, rel=1e-14)
    assert target.hung_x == pytest.approx(sum(part * x for part, x in parts) / mass, rel=1e-14)


def test_a_tongue_left_out_of_the_volume_is_put_back_once():
    volume, x = 9e-6, 0.43
    counted = RestOfBoat(
        volume=REST.volume + volume,
        buoyancy_x=(REST.volume * REST.buoyancy_x + volume * x) / (REST.volume + volume),
        mass=REST.mass,
        mass_x=REST.mass_x,
    )
    options = {"water_density": WATER, "lead_density": LEAD, "skin": SKIN}
    one = ballast_target(counted, tongue=Tongue(volume=volume), **options)
    other = ballast_target(REST, tongue=Tongue(volume=volume, x=x, counted=False), **options)
    assert other.lead_mass == pytest.approx(one.lead_mass, rel=1e-14)
    assert other.lead_x == pytest.approx(one.lead_x, rel=1e-13)
    assert other.outside_volume == pytest.approx(one.outside_volume, rel=1e-14)


def test_a_counted_tongue_makes_the_bulb_larger_and_no_lighter():
    options = {"water_density": WATER, "lead_density": LEAD}
    plain = ballast_target(REST, **options)
    with_tongue = ballast_target(REST, tongue=Tongue(volume=9e-6), **options)
    assert with_tongue.lead_mass == plain.lead_mass
    assert with_tongue.outside_volume - plain.outside_volume == pytest.approx(9e-6, rel=1e-10)


def test_a_part_that_goes_with_the_lead_is_the_same_as_one_put_where_the_lead_goes():
    options = {"water_density": WATER, "lead_density": LEAD}
    free = ballast_target(REST, items=(BallastItem(name="plugs", volume=3e-6, density=1200),), **options)
    put = ballast_target(
        REST, items=(BallastItem(name="plugs", volume=3e-6, density=1200, x=free.lead_x),), **options
    )
    assert put.lead_x == pytest.approx(free.lead_x, rel=1e-13)


def test_a_sealed_void_asks_for_more_lead_and_a_flooded_one_for_none():
    options = {"water_density": WATER, "lead_density": LEAD}
    void = ballast_target(REST, items=(BallastItem(name="void", volume=5e-6, density=0.0),), **options)
    plain = ballast_target(REST, **options)
    factor = apparent_weight_factor(WATER, LEAD)
    assert void.lead_mass - plain.lead_mass == pytest.approx(WATER * 5e-6 / factor, rel=1e-9)
    flooded = ballast_target(REST, items=(BallastItem(name="hole", volume=5e-6, density=WATER),), **options)
    assert flooded.lead_mass == pytest.approx(plain.lead_mass, rel=1e-14)


def test_weight_put_aft_in_her_wants_the_bulb_forward():
    options = {"water_density": WATER, "lead_density": LEAD}
    aft = ballast_target(replace(REST, mass_x=REST.mass_x + 0.02), **options)
    plain = ballast_target(REST, **options)
    assert aft.lead_x < plain.lead_x
    # m_r dx of moment, over the bulb's apparent mass.
    assert plain.lead_x - aft.lead_x == pytest.approx(REST.mass * 0.02 / plain.apparent_mass, rel=1e-12)


def test_salt_water_carries_more_lead_and_denser_lead_needs_less():
    fresh = ballast_target(REST, water_density=WATER, lead_density=LEAD).lead_mass
    assert ballast_target(REST, water_density=1026.0, lead_density=LEAD).lead_mass > fresh
    assert ballast_target(REST, water_density=WATER, lead_density=11340.0).lead_mass < fresh


def test_a_skin_settles_to_its_own_equation_from_any_start():
    for start in (None, 1.0, 5.0):
        target = ballast_target(REST, water_density=WATER, lead_density=LEAD, skin=SKIN, first_guess=start)
        outside = target.lead_mass / LEAD
        assert target.skin_volume == pytest.approx(6.9 * 0.2e-3 * outside ** (2 / 3), rel=1e-13)
    steps = [b - a for a, b in zip(target.passes, target.passes[1:], strict=False)]
    # Each pass falls short by the contraction of the one before; the third step is a billionth already.
    assert steps[2] / steps[1] == pytest.approx(target.contraction, rel=1e-3)


def test_a_boat_too_heavy_for_her_line_is_told_by_how_much():
    with pytest.raises(BoatFigureError) as caught:
        ballast_target(replace(REST, mass=4.5), water_density=1000.0, lead_density=LEAD)
    assert str(caught.value) == (
        "Nothing is left for the bulb: the water carries 4.2 kg at the line, and without the lead she already weighs "
        "4.5 kg of that. Take out 0.3 kg and more, or give her a higher line."
    )


def test_what_comes_with_the_bulb_counts_in_what_is_too_heavy():
    screws = BallastItem(name="screws", volume=1e-4, density=8000)
    with pytest.raises(
        BoatFigureError, match=r"she already weighs 4\.7 kg of that\. Take out 0\.5 kg and more,"
    ):
        ballast_target(replace(REST, mass=4.0), water_density=1000.0, lead_density=LEAD, items=(screws,))


def test_ballast_that_floats_and_a_skin_like_a_mattress_are_refused():
    with pytest.raises(BoatFigureError) as caught:
        ballast_target(REST, water_density=1000.0, lead_density=900.0)
    assert str(caught.value) == (
        "The ballast's density is 900 kg/m3, not above the water's 1000 kg/m3; it would float. Give the density of the "
        "cast lead."
    )
    thick = BulbSkin(thickness=0.5, density=2500, area_factor=6.9)
    with pytest.raises(BoatFigureError) as caught:
        ballast_target(REST, water_density=1000.0, lead_density=LEAD, skin=thick)
    assert str(caught.value) == (
        "A skin of 0.5 m is too thick for a bulb of about 2.7451 kg: its mass does not settle. Give the thickness of "
        "fairing and paint, less than a millimetre for a model."
    )


def test_the_targets_spread_is_the_rests_over_the_apparent_weight_factor():
    found = target_spread(mass_spread=0.03, volume_spread=4e-5, water_density=1000.0, lead_density=11000.0)
    assert found == pytest.approx(math.hypot(0.03, 0.04) / (10 / 11), rel=1e-14)


def test_the_ballast_ratio_is_a_share_and_its_bands_say_that_they_have_no_source():
    assert ballast_ratio(2.4, 4.0) == pytest.approx(0.6)
    # What builders' own accounts come to: practice of the trade.
    assert [(band.low, band.high) for band in RATIO_BANDS] == [(0.30, 0.55), (0.55, 0.70), (0.20, 0.45)]
    assert {band.source for band in RATIO_BANDS} == {"common practice, no source"}
    with pytest.raises(BoatFigureError) as caught:
        ballast_ratio(5.0, 4.0)
    assert str(caught.value) == (
        "The ballast weighs 5 kg and the whole boat 4 kg. Give the boat's mass with the ballast in it."
    )


def test_a_shaped_bulbs_target_settles_with_its_displacement():
    target = ballast_target(REST, water_density=WATER, lead_density=LEAD)
    mass, x, volume = 0.0, 0.0, 0.0
    for _ in range(30):
        mass, x = hung_target(REST, volume=volume, volume_x=x, water_density=WATER)
        volume = mass / LEAD
    assert mass == pytest.approx(target.lead_mass, rel=1e-13)
    assert x == pytest.approx(target.lead_x, rel=1e-13)
    with pytest.raises(
        BoatFigureError, match=r"^Nothing is left for the bulb: the water carries 4\.19622 kg"
    ):
        hung_target(replace(REST, mass=9.0), volume=0.0, volume_x=0.0, water_density=WATER)


def test_the_heaviest_bulb_is_the_target_with_the_trim_lead_left_ashore():
    options = {"water_density": WATER, "lead_density": LEAD}
    ashore = (Weight(name="trim lead", mass=0.12, x=0.90), Weight(name="spare battery", mass=0.08, x=0.2))
    most = heaviest_bulb(REST, ashore=ashore, **options)
    plain = ballast_target(REST, **options)
    assert most.lead_mass - plain.lead_mass == pytest.approx(
        0.20 / apparent_weight_factor(WATER, LEAD), rel=1e-12
    )
    lighter = rest_without(REST, ashore)
    assert lighter.mass * lighter.mass_x + 0.12 * 0.9 + 0.08 * 0.2 == pytest.approx(
        REST.mass * REST.mass_x, rel=1e-14
    )
    assert heaviest_bulb(REST, ashore=(), **options) == plain
    with pytest.raises(BoatFigureError, match=r"^Leaving 2 kg ashore leaves nothing of her 1\.7 kg\."):
        rest_without(REST, (Weight(name="engine", mass=2.0, x=0.0),))


def test_what_a_lighter_bulb_leaves_for_lead_inside_balances_her():
    target = ballast_target(REST, water_density=WATER, lead_density=LEAD)
    bulb = bulb_of_lead(target.lead_mass - 0.3, target.lead_x - 0.02, LEAD)
    inside = lead_inside(REST, bulb, water_density=WATER, lead_density=LEAD)
    assert inside.bulb_lighter == pytest.approx(0.3, rel=1e-12)
    assert inside.mass == pytest.approx(0.3 * apparent_weight_factor(WATER, LEAD), rel=1e-12)
    assert inside.x is not None
    filled = RestOfBoat(
        volume=REST.volume,
        buoyancy_x=REST.buoyancy_x,
        mass=REST.mass + inside.mass,
        mass_x=(REST.mass * REST.mass_x + inside.mass * inside.x) / (REST.mass + inside.mass),
    )
    over = imbalance(filled, bulb, water_density=WATER)
    assert (over.mass, over.moment) == (pytest.approx(0.0, abs=1e-14), pytest.approx(0.0, abs=1e-14))
    heavy = lead_inside(
        REST, bulb_of_lead(target.lead_mass + 0.1, 0.4, LEAD), water_density=WATER, lead_density=LEAD
    )
    assert heavy.mass < 0.0
    assert heavy.x is None


def test_an_imposed_heavier_bulb_sinks_her_and_takes_freeboard():
    target = ballast_target(REST, water_density=WATER, lead_density=LEAD)
    freeboards = (Freeboard(name="bow", x=0.0, height=0.09), Freeboard(name="stern", x=0.98, height=0.05))
    same = imposed_bulb(REST, bulb_of_lead(target.lead_mass, target.lead_x, LEAD), FLOTATION, freeboards)
    assert (same.change.sinkage, same.change.trim) == (
        pytest.approx(0, abs=1e-15),
        pytest.approx(0, abs=1e-15),
    )
    heavy = bulb_of_lead(target.lead_mass + 0.4, target.lead_x, LEAD)
    found = imposed_bulb(REST, heavy, FLOTATION, freeboards)
    felt = 0.4 * apparent_weight_factor(WATER, LEAD)
    assert found.change.sinkage == pytest.approx(felt / (WATER * 0.16), rel=1e-11)
    # The same as a weight put where the bulb is.
    put = changed_by(FLOTATION, mass=felt, x=target.lead_x)
    assert found.change.trim == pytest.approx(put.trim, rel=1e-9)
    assert [one.height for one in found.freeboards] == pytest.approx(
        [0.09 - put.deeper_fore, 0.05 - put.deeper_aft], rel=1e-12
    )
    assert found.least is not None
    assert found.least.name == "stern"
    assert imposed_bulb(REST, heavy, FLOTATION).least is None


def test_a_bulb_of_the_right_mass_too_far_aft_trims_her_by_the_stern_and_sinks_her_not():
    target = ballast_target(REST, water_density=WATER, lead_density=LEAD)
    found = imposed_bulb(REST, bulb_of_lead(target.lead_mass, target.lead_x + 0.01, LEAD), FLOTATION)
    assert found.change.sinkage == pytest.approx(0.0, abs=1e-15)
    assert found.change.trim == pytest.approx(
        target.apparent_mass * 0.01 / FLOTATION.moment_per_trim, rel=1e-10
    )


def test_a_bulb_displaces_water_where_its_volume_is_and_weighs_where_its_mass_is():
    bulb = BulbAfloat(mass=2.5, x=0.44, volume=2.6e-4, volume_x=0.45)
    over = imbalance(REST, bulb, water_density=WATER)
    assert over.moment == pytest.approx(
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
    assert alone.metacentric_height_along == pytest.approx(HULL.gm_along(-0.10), rel=1e-15)


def test_a_hull_that_does_not_tell_its_waterplane_is_refused_with_what_is_missing():
    bare = replace(HULL, waterplane_area=None, bm_along=None)
    with pytest.raises(BoatFigureError) as caught:
        flotation_on_line(bare, water_density=WATER, mass_centre_z=0.0)
    assert str(caught.value) == (
        "What a weight does to her trim cannot be told without the hull's waterplane area, BM lengthways. Give them "
        "with the hull, or give the hull as a surface or as offsets."
    )
    assert (
        flotation_on_line(
            replace(HULL, bm_across=None), water_density=WATER, mass_centre_z=0.0
        ).moment_per_heel
        is None
    )


def test_a_waterline_that_runs_forward_is_refused():
    with pytest.raises(BoatFigureError) as caught:
        replace(FLOTATION, fore_x=1.0)
    assert str(caught.value) == (
        "The waterline runs from 1 m to 0.98 m; its forward end must have the smaller x. x is counted aft."
    )
