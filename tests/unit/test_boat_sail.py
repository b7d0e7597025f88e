"""Heel from wind by the small-angle formula and by a curve; wind for a given heel; side force; and scaling."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from scipy.optimize import brentq

from bulbcast.quantities.checked import STANDARD_GRAVITY, BoatFigureError
from bulbcast.sailing.sail import (
    DEFAULT_COEFFICIENT_SOURCE,
    Rig,
    heeling_arm,
    heeling_moment,
    metacentric_height_for_heel,
    side_force,
    wind_for_arm,
)
from bulbcast.sailing.scale import SailingBoat, compared_at_scale, froude_scaled, under_sail
from bulbcast.sailing.wind_heel import ArmsByHeel, heel_on_curve, wind_for_heel

RIG = Rig(area=0.42, heeling_arm=0.80)
MASS, GM = 4.4, 0.16


def closed_heel(wind, gm=GM):
    """Steady heel for GZ = GM sin(heel) and a moment in cos^2(heel): sin(heel) = 2 k / (1 + sqrt(1 + 4 k^2))."""
    k = heeling_moment(RIG, wind) / (MASS * STANDARD_GRAVITY * gm)
    return math.asin(2.0 * k / (1.0 + math.sqrt(1.0 + 4.0 * k * k)))


def curve(arm, step=5.0, last=180.0):
    heels = np.radians(np.arange(0.0, last + 1e-9, step))
    return ArmsByHeel(heels=tuple(heels.tolist()), arms=tuple(arm(heels).tolist()))


SINE = curve(lambda heel: GM * np.sin(heel))


# Slopes by parabolas are off by h^2/6 of the sine's third derivative, by h^2/3 at the ends, and a cubic piece carries
# 4/27 h of either: 4/27 (1/6 + 1/3) h^3 of GM in all, which the heel shares at most.
OFF = 4 / 27 * 0.5 * math.radians(5.0) ** 3


def test_a_height_for_a_heel_gives_that_heel_back():
    height = metacentric_height_for_heel(RIG, wind=5.0, mass=MASS, heel=math.radians(20))
    heel = closed_heel(5.0, height)
    assert math.degrees(heel) == pytest.approx(20.0, rel=1e-12)


def test_on_a_sine_curve_the_heel_is_the_closed_forms():
    for wind in (0.0, 2.0, 4.0, 7.0):
        closed = closed_heel(wind)
        assert heel_on_curve(SINE, RIG, wind=wind, mass=MASS) == pytest.approx(closed, abs=OFF)


def test_the_interpolated_curve_meets_its_points_and_converges_at_third_order_or_better():
    assert [SINE.arm(heel) for heel in SINE.heels] == pytest.approx(list(SINE.arms), abs=1e-17)
    places = np.radians(np.linspace(1.0, 179.0, 97)).tolist()

    def worst(step):
        coarse = curve(lambda heel: GM * np.sin(heel), step)
        return max(abs(coarse.arm(at) - GM * math.sin(at)) for at in places)

    assert worst(10.0) / worst(5.0) > 7.0


def test_a_parabola_is_interpolated_exactly_over_unequal_steps():
    heels = (0.0, 0.1, 0.25, 0.3, 0.7, 1.0)
    bent = ArmsByHeel(heels=heels, arms=tuple(0.2 * h - 0.15 * h * h for h in heels))
    for heel in (0.03, 0.2, 0.28, 0.5, 0.99):
        assert bent.arm(heel) == pytest.approx(0.2 * heel - 0.15 * heel * heel, rel=1e-13)


def test_another_exponent_goes_through_the_curve_and_agrees_with_a_root_finder():
    rig = replace(RIG, heel_exponent=1.3)
    wanted = brentq(
        lambda heel: MASS * STANDARD_GRAVITY * GM * math.sin(heel) - heeling_moment(rig, 4.0, heel), 0.01, 1.5
    )
    assert heel_on_curve(SINE, rig, wind=4.0, mass=MASS) == pytest.approx(wanted, abs=OFF)


# A boat whose righting arm peaks at 40 degrees and is gone at 80: beyond a certain wind nothing holds her.
WEAK = curve(lambda heel: 0.03 * np.sin(heel * 90 / 40), last=90.0)


def test_a_boat_blown_past_her_largest_arm_has_no_heel_to_rest_at():
    assert heel_on_curve(WEAK, RIG, wind=2.0, mass=MASS) is not None
    assert heel_on_curve(WEAK, RIG, wind=6.0, mass=MASS) is None


def test_the_first_place_that_holds_her_is_taken_and_not_the_one_where_she_would_fall_on():
    heel = heel_on_curve(WEAK, RIG, wind=2.0, mass=MASS)
    over = MASS * STANDARD_GRAVITY * WEAK.arm(heel + 0.01) - heeling_moment(RIG, 2.0, heel + 0.01)
    under = MASS * STANDARD_GRAVITY * WEAK.arm(heel - 0.01) - heeling_moment(RIG, 2.0, heel - 0.01)
    assert under < 0.0 < over


def test_a_boat_that_does_not_stand_upright_lies_at_her_loll_in_no_wind():
    # Wall-sided with GM -0.1 and BM 3: tan^2 = 0.2 / 3.
    loll = curve(lambda heel: np.sin(heel) * (-0.1 + 1.5 * np.tan(heel) ** 2), step=2.5, last=40.0)
    found = heel_on_curve(loll, RIG, wind=0.0, mass=MASS)
    assert math.degrees(found) == pytest.approx(math.degrees(math.atan(math.sqrt(0.2 / 3))), rel=1e-3)
    assert heel_on_curve(loll, RIG, wind=1.0, mass=MASS) > found


def test_a_boat_that_leans_the_other_way_is_refused():
    leaning = curve(lambda heel: 0.02 + GM * np.sin(heel), last=90.0)
    with pytest.raises(BoatFigureError) as caught:
        heel_on_curve(leaning, RIG, wind=0.5, mass=MASS)
    assert str(caught.value) == (
        "Without wind the boat leans to windward, so when upright she already has a moment against this wind. Move "
        "weights to the centreline, or start the curve at the heel at which she rests."
    )


HEELS = tuple(math.radians(angle) for angle in (20.0, 30.0, 45.0))


def test_the_winds_for_three_heels_are_those_that_heel_her_so_far():
    for angle in HEELS:
        found = wind_for_heel(SINE, RIG, heel=angle, mass=MASS)
        assert (found.heel, found.rests) == (angle, True)
        heel = closed_heel(found.wind)
        assert heel == pytest.approx(found.heel, abs=OFF)
        assert heel_on_curve(SINE, RIG, wind=found.wind, mass=MASS) == pytest.approx(found.heel, rel=1e-9)


def test_past_the_turning_point_the_wind_is_the_largest_before_it_and_she_does_not_rest():
    steep = wind_for_heel(WEAK, RIG, heel=math.radians(75), mass=MASS)
    assert not steep.rests
    needed = [
        wind_for_arm(RIG, mass=MASS, righting_arm=WEAK.arm(math.radians(one)), heel=math.radians(one))
        for one in np.arange(1.0, 75.0, 0.05).tolist()
    ]
    # The scan steps by a twentieth of a degree and stands off the peak by the square of that.
    assert steep.wind == pytest.approx(max(needed), rel=1e-5)
    assert steep.wind >= max(needed) * (1 - 1e-12)
    assert heel_on_curve(WEAK, RIG, wind=steep.wind * 1.001, mass=MASS) is None


def test_side_force_falls_with_heel_and_is_zero_beyond_a_right_angle():
    assert side_force(RIG, 3.0) == pytest.approx(0.5 * 1.225 * 9.0 * 1.2 * 0.42, rel=1e-14)
    assert side_force(RIG, 3.0, math.radians(60)) == pytest.approx(0.25 * side_force(RIG, 3.0), rel=1e-12)
    assert side_force(RIG, 3.0, math.radians(120)) == 0.0


def test_the_arm_runs_from_sail_to_fin():
    assert heeling_arm(0.65, -0.15) == pytest.approx(0.80)
    with pytest.raises(BoatFigureError) as caught:
        heeling_arm(-0.2, -0.15)
    assert str(caught.value) == (
        "The sail's centre of effort is at -0.2 m and the centre of lateral resistance at -0.15 m; the centre of effort "
        "must be higher. Heights are measured upward from the waterline."
    )


def test_the_coefficient_has_its_source_with_it():
    assert RIG.coefficient_source == DEFAULT_COEFFICIENT_SOURCE
    assert "from memory" in DEFAULT_COEFFICIENT_SOURCE


@pytest.mark.parametrize(
    ("heels", "arms", "message"),
    [
        (
            (0.0, 0.1),
            (0.0, 0.1),
            "The righting arm curve has 2 heel angles and 2 arms. Give the same number of each, at least three.",
        ),
        (
            (0.0, 0.2, 0.1),
            (0.0, 0.1, 0.2),
            "The heel angles of the righting arm curve do not ascend from 0. Give them in ascending order, starting "
            "from 0.",
        ),
        (
            (0.0, 0.1, 0.2),
            (0.0, math.nan, 0.2),
            "The righting arm curve contains a value that is not a finite number. Give finite values.",
        ),
    ],
)
def test_a_curve_that_is_none_is_refused_in_words(heels, arms, message):
    with pytest.raises(BoatFigureError) as caught:
        ArmsByHeel(heels=heels, arms=arms)
    assert str(caught.value) == message


def test_a_heel_beyond_the_curve_and_a_boat_that_cannot_stand_are_refused():
    with pytest.raises(BoatFigureError) as caught:
        WEAK.arm(math.radians(95))
    assert str(caught.value) == (
        "A heel of 95 degrees is outside the righting arm curve, which covers 0 to 90 degrees. "
        "Calculate the curve to a larger heel."
    )
    with pytest.raises(BoatFigureError, match=r"^The heel is 95 degrees; it must be above 0 and below 90\."):
        wind_for_heel(SINE, RIG, heel=math.radians(95), mass=MASS)


BOAT = SailingBoat(
    waterline=0.98,
    mass=MASS,
    metacentric_height=GM,
    rig=RIG,
    fin_area=0.024,
    lift_slope=3.9,
    water_density=1000.0,
)


def test_scaling_up_and_down_again_is_the_same_boat():
    there = froude_scaled(froude_scaled(BOAT, 8.0), 1 / 8.0)
    for name in ("waterline", "mass", "metacentric_height", "fin_area"):
        assert getattr(there, name) == pytest.approx(getattr(BOAT, name), rel=1e-14)
    assert (there.rig.area, there.rig.heeling_arm) == (pytest.approx(0.42), pytest.approx(0.80))


def at_ten_times():
    heels = {"heel": closed_heel(4.0), "like_heel": closed_heel(4.0 / math.sqrt(10.0))}
    return compared_at_scale(BOAT, ratio=10.0, wind=4.0, **heels)


def test_in_a_scaled_wind_heel_and_leeway_are_alike_at_every_size():
    found = at_ten_times()
    assert found.scaled_wind.wind == pytest.approx(4.0 * math.sqrt(10.0))
    assert found.scaled_wind.heel == pytest.approx(found.here.heel, rel=1e-13)
    assert found.scaled_wind.leeway == pytest.approx(found.here.leeway, rel=1e-13)
    assert found.scaled_wind.side_force == pytest.approx(1000.0 * found.here.side_force, rel=1e-12)


def test_in_the_same_wind_a_model_is_more_tender_by_her_scale():
    found = at_ten_times()
    assert found.same_wind.heel < found.here.heel

    def k(state):
        return math.sin(state.heel) / math.cos(state.heel) ** 2

    assert k(found.here) / k(found.same_wind) == pytest.approx(10.0, rel=1e-12)


def test_the_model_given_what_she_needs_stands_as_the_full_size_boat():
    found = at_ten_times()
    # Ten times the height, for the same heel in the same wind.
    assert found.metacentric_height_needed == pytest.approx(10.0 * GM, rel=1e-12)
    assert found.fin_area_needed == pytest.approx(10.0 * BOAT.fin_area, rel=1e-12)
    repaired = replace(
        BOAT, metacentric_height=found.metacentric_height_needed, fin_area=found.fin_area_needed
    )
    stands = under_sail(repaired, wind=4.0, heel=closed_heel(4.0, repaired.metacentric_height))
    assert stands.heel == pytest.approx(found.same_wind.heel, rel=1e-12)
    assert stands.leeway == pytest.approx(found.same_wind.leeway, rel=1e-12)
