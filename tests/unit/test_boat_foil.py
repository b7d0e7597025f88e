"""Volume, centres, parts and sweep of the fin and rudder; lift, leeway, and the fin needed to limit it."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from scipy.integrate import quad

from bulbcast.fin.foil import Foil, foil_between, foil_solid
from bulbcast.fin.foil_section import section_numbers
from bulbcast.fin.stiffness import thickness_at
from bulbcast.fin.tip_section import FinTip, outline_area
from bulbcast.quantities.checked import BoatFigureError
from bulbcast.sailing.leeway import (
    FORMULAS,
    effective_aspect_ratio,
    fin_for_leeway,
    helmbold,
    leeway,
    lift_slope,
    whicker_fehlner,
)

# Area over chord times thickness: twice the sum of a / (p + 1) of the published coefficients, NACA TR-460 (1933).
AREA_COEFFICIENT = 2.0 * (1.4845 / 1.5 - 0.63 / 2 - 1.758 / 3 + 1.4215 / 4 - 0.5075 / 5)

FIN = Foil(
    root_chord=0.090,
    tip_chord=0.070,
    root_thickness=0.009,
    tip_thickness=0.006,
    root_leading_edge_x=0.390,
    tip_leading_edge_x=0.402,
    root_z=-0.030,
    tip_z=-0.330,
)


def test_a_straight_foil_is_a_prism_of_its_section():
    straight = replace(FIN, tip_chord=0.090, tip_thickness=0.009, tip_leading_edge_x=0.390)
    solid = foil_solid(straight)
    assert solid.volume == pytest.approx(AREA_COEFFICIENT * 0.090 * 0.009 * 0.300, rel=1e-14)
    assert solid.centre_x == pytest.approx(0.390 + section_numbers().centroid * 0.090, rel=1e-14)
    assert solid.centre_z == pytest.approx(-0.180, rel=1e-14)
    assert (solid.area_centre_x, solid.area_centre_z) == (pytest.approx(0.435), pytest.approx(-0.180))


def test_the_section_is_the_one_that_the_pocket_is_cut_to():
    tip = FinTip(chord=0.070, thickness=0.006)
    assert section_numbers().area * 0.070 * 0.006 == pytest.approx(outline_area(tip, 0.0), rel=1e-12)
    assert section_numbers().area == pytest.approx(AREA_COEFFICIENT, rel=1e-14)


def test_a_tapered_swept_foils_integrals_agree_with_adaptive_quadrature():
    def section(share):
        return AREA_COEFFICIENT * FIN.chord_at(share) * FIN.thickness_at(share) * FIN.span

    def centre(share):
        return FIN.leading_edge_at(share) + section_numbers().centroid * FIN.chord_at(share)

    volume = quad(section, 0, 1)[0]
    solid = foil_solid(FIN)
    assert solid.volume == pytest.approx(volume, rel=1e-13)
    assert solid.centre_x == pytest.approx(
        quad(lambda s: section(s) * centre(s), 0, 1)[0] / volume, rel=1e-13
    )
    level = quad(lambda s: section(s) * (FIN.root_z - s * FIN.span), 0, 1)[0] / volume
    assert solid.centre_z == pytest.approx(level, rel=1e-13)


def test_a_tapered_foils_volume_is_the_closed_form_of_its_four_corner_products():
    c, d, t, u = FIN.root_chord, FIN.tip_chord, FIN.root_thickness, FIN.tip_thickness
    mean = c * t / 3 + (c * u + d * t) / 6 + d * u / 3
    assert foil_solid(FIN).volume == pytest.approx(AREA_COEFFICIENT * FIN.span * mean, rel=1e-14)


def test_moving_a_foil_moves_its_centres_and_nothing_else():
    moved = replace(
        FIN,
        root_leading_edge_x=FIN.root_leading_edge_x + 0.05,
        tip_leading_edge_x=FIN.tip_leading_edge_x + 0.05,
        root_z=FIN.root_z - 0.02,
        tip_z=FIN.tip_z - 0.02,
    )
    before, after = foil_solid(FIN), foil_solid(moved)
    assert after.volume == pytest.approx(before.volume, rel=1e-14)
    assert after.centre_x - before.centre_x == pytest.approx(0.05, abs=1e-15)
    assert after.centre_z - before.centre_z == pytest.approx(-0.02, abs=1e-15)


def test_two_parts_of_a_foil_make_the_whole():
    upper = foil_between(FIN, top_z=FIN.root_z, bottom_z=-0.31)
    lower = foil_between(FIN, top_z=-0.31, bottom_z=FIN.tip_z)
    parts, whole = [foil_solid(upper), foil_solid(lower)], foil_solid(FIN)
    assert sum(one.volume for one in parts) == pytest.approx(whole.volume, rel=1e-14)
    moment = sum(one.volume * one.centre_x for one in parts)
    assert moment == pytest.approx(whole.volume * whole.centre_x, rel=1e-14)
    assert upper.area + lower.area == pytest.approx(FIN.area, rel=1e-14)


def test_mass_is_density_times_volume_and_none_without_a_density():
    assert foil_solid(FIN).mass is None
    assert foil_solid(FIN, density=1500.0).mass == pytest.approx(1500.0 * foil_solid(FIN).volume, rel=1e-15)


def test_sweep_is_of_the_quarter_chords_and_positive_with_the_tip_aft():
    assert math.tan(FIN.quarter_chord_sweep) == pytest.approx((0.012 - 0.25 * 0.020) / 0.300, rel=1e-12)
    assert replace(FIN, tip_leading_edge_x=0.380).quarter_chord_sweep < 0.0


def test_thickness_along_the_chord_peaks_at_the_nominal_within_three_in_ten_thousand():
    assert thickness_at(section_numbers().max_at, 0.010) == pytest.approx(0.010, rel=3e-4)
    assert thickness_at(0.0, 0.010) == 0.0


@pytest.mark.parametrize(
    ("changes", "message"),
    [
        (
            {"tip_chord": 0.0},
            "The foil's tip chord is 0 m; it must be finite and above 0. Give it as measured.",
        ),
        (
            {"root_thickness": 0.2},
            "The foil's root thickness is 0.2 m, which is more than its chord of 0.09 m. Give the thickness across the foil "
            "and the chord along it.",
        ),
        (
            {"tip_z": 0.33},
            "The foil's tip is at 0.33 m and its root at -0.03 m; the tip must be lower than the root. Heights are measured "
            "upwards from the design waterline, so those under water are negative.",
        ),
        (
            {"root_leading_edge_x": math.nan},
            "The leading edge at the foil's root is nan m; it must be a finite number. Give it as measured.",
        ),
    ],
)
def test_a_foil_that_cannot_be_is_refused_in_words(changes, message):
    with pytest.raises(BoatFigureError) as caught:
        replace(FIN, **changes)
    assert str(caught.value) == message


def test_a_part_outside_the_foil_and_a_density_of_zero_are_refused():
    with pytest.raises(BoatFigureError) as caught:
        foil_between(FIN, top_z=0.0, bottom_z=-0.1)
    assert str(caught.value) == (
        "The range from 0 m down to -0.1 m is not within the foil, which runs from -0.03 m down to "
        "-0.33 m. Give heights inside"
        " the foil, the upper one first."
    )
    with pytest.raises(
        BoatFigureError, match=r"^The foil's density is 0 kg/m3; it must be finite and above 0\."
    ):
        foil_solid(FIN, density=0.0)


def test_the_mirror_doubles_the_aspect_ratio():
    assert effective_aspect_ratio(FIN, mirror=False) == pytest.approx(0.3**2 / (0.3 * 0.08), rel=1e-14)
    assert effective_aspect_ratio(FIN) == 2 * effective_aspect_ratio(FIN, mirror=False)


def test_lift_slopes_tend_to_jones_for_low_and_to_two_pi_for_high_aspect_ratio():
    assert helmbold(1e-6) == pytest.approx(0.5 * math.pi * 1e-6, rel=1e-6)
    assert helmbold(1e6) == pytest.approx(2 * math.pi, rel=1e-5)
    # Whicker and Fehlner's tends to nine tenths of it, as measured.
    assert whicker_fehlner(1e6) == pytest.approx(0.9 * 2 * math.pi, rel=1e-5)


def test_sweep_either_way_lessens_lift_alike():
    assert whicker_fehlner(3.0, 0.3) == whicker_fehlner(3.0, -0.3) < whicker_fehlner(3.0)


def test_a_lift_slope_is_called_by_its_name_or_refused():
    assert lift_slope("helmbold", 3.0, 0.3) == helmbold(3.0)
    assert lift_slope("whicker-fehlner", 3.0, 0.3) == whicker_fehlner(3.0, 0.3)
    with pytest.raises(BoatFigureError) as caught:
        lift_slope("prandtl", 3.0)
    assert (
        str(caught.value)
        == 'There is no lift slope formula called "prandtl". Give "helmbold" or "whicker-fehlner".'
    )
    with pytest.raises(BoatFigureError, match=r"^The quarter-chord line is swept 70 degrees,"):
        whicker_fehlner(3.0, math.radians(70))


LOAD = {"side_force": 3.0, "speed": 0.9, "water_density": 999.1}


def test_leeway_rises_with_force_and_heel_and_falls_with_area_and_speed():
    base = leeway(area=0.024, slope=4.0, **LOAD)
    assert base == pytest.approx(3.0 / (0.5 * 999.1 * 0.81 * 0.024 * 4.0), rel=1e-14)
    assert leeway(area=0.048, slope=4.0, **LOAD) == pytest.approx(base / 2, rel=1e-14)
    heeled = leeway(area=0.024, slope=4.0, heel=math.radians(60), **LOAD)
    assert heeled == pytest.approx(2 * base, rel=1e-14)
    faster = leeway(area=0.024, slope=4.0, side_force=3.0, speed=1.8, water_density=999.1)
    assert faster == pytest.approx(base / 4, rel=1e-14)
    with pytest.raises(
        BoatFigureError, match=r"^The heel is 90 degrees, but a fin produces side force only below 90"
    ):
        leeway(area=0.024, slope=4.0, heel=0.5 * math.pi, **LOAD)


@pytest.mark.parametrize("formula", FORMULAS)
@pytest.mark.parametrize("limit", [math.radians(2), math.radians(5)])
def test_each_fin_that_would_hold_makes_the_set_leeway(formula, limit):
    sweep = FIN.quarter_chord_sweep
    answer = fin_for_leeway(FIN, limit=limit, formula=formula, **LOAD)

    def made(span, area):
        return leeway(area=area, slope=lift_slope(formula, 2 * span**2 / area, sweep), **LOAD)

    assert made(answer.same_shape_span, answer.same_shape_area) == pytest.approx(limit, rel=1e-12)
    assert made(answer.same_chord_span, answer.same_chord_area) == pytest.approx(limit, rel=1e-12)
    assert answer.same_chord_area == pytest.approx(answer.same_chord_span * FIN.mean_chord, rel=1e-14)
    assert answer.same_span_area is not None
    assert made(FIN.span, answer.same_span_area) == pytest.approx(limit, rel=1e-12)
    # Depth helps more than chord: less area does it.
    assert (answer.same_chord_area < answer.same_span_area) == (answer.same_span_area > FIN.area)


@pytest.mark.parametrize(
    ("formula", "bound"), [("helmbold", math.pi), ("whicker-fehlner", 3.6 / 3.8 * math.pi)]
)
def test_no_chord_holds_more_than_the_spans_bound(formula, bound):
    straight = replace(FIN, tip_leading_edge_x=0.390 + 0.25 * 0.020)
    assert straight.quarter_chord_sweep == pytest.approx(0.0, abs=1e-15)
    limit = math.radians(3)
    for share, possible in ((0.99, True), (1.01, False)):
        force = share * bound * FIN.span**2 * 0.5 * 999.1 * 0.9**2 * limit
        answer = fin_for_leeway(
            straight, limit=limit, side_force=force, speed=0.9, water_density=999.1, formula=formula
        )
        assert (answer.same_span_area is not None) is possible
        assert answer.same_chord_span > FIN.span
