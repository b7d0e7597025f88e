"""The fin as a beam, compared with closed forms (straight fins) and quadrature (tapered fins); also tubes and signs."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from scipy.integrate import quad

from bulbcast.fin.foil import Foil, foil_solid
from bulbcast.fin.foil_section import section_numbers, torsion_constant
from bulbcast.fin.stiffness import GivenFin, Material, SolidFin, TubeCoredFin, station_stiffness
from bulbcast.joint.fin_axis import fin_axis
from bulbcast.joint.fin_beam import (
    NOT_A_CLASSIFICATION_CALCULATION,
    grounding,
    knockdown,
)
from bulbcast.quantities.checked import STANDARD_GRAVITY, BoatFigureError

STRAIGHT = Foil(
    root_chord=0.080,
    tip_chord=0.080,
    root_thickness=0.008,
    tip_thickness=0.008,
    root_leading_edge_x=0.400,
    tip_leading_edge_x=0.400,
    root_z=-0.040,
    tip_z=-0.340,
)
LAMINATE = Material(name="laminate", modulus=40e9, shear_modulus=5e9)
SOLID = SolidFin(material=LAMINATE)
NUMBERS = section_numbers()
# The leading edge is far enough aft at the tip for the axis to be vertical.
TAPERED = replace(
    STRAIGHT, tip_chord=0.060, tip_thickness=0.005, tip_leading_edge_x=0.400 + 0.020 * NUMBERS.flexural_axis
)
AXIS_X = 0.400 + NUMBERS.flexural_axis * 0.080
LOAD = 2.4 * STANDARD_GRAVITY


@pytest.mark.parametrize("aft", [0.12, -0.12])
def test_on_a_raked_fin_what_bends_without_stretch_lies_square_to_the_axis_and_aft_of_it(aft):
    axis = fin_axis(replace(STRAIGHT, tip_leading_edge_x=0.400 + aft), SOLID)
    assert math.tan(axis.rake) == pytest.approx(aft / 0.300)
    x, z = axis.place(0.5)
    neutral_x, neutral_z = axis.neutral_place(0.5, axis.station(0.5))
    # The axis runs from root to tip in (aft, -0.3): square to that, rising aft where the tip lies aft.
    assert (neutral_x - x) * aft - (neutral_z - z) * 0.300 == pytest.approx(0.0, abs=1e-15)
    chord = 0.080 * math.cos(axis.rake)
    wanted = (NUMBERS.centroid - NUMBERS.flexural_axis) * chord
    assert wanted > 0.0
    assert math.hypot(neutral_x - x, neutral_z - z) == pytest.approx(wanted, rel=1e-9)
    assert neutral_x > x


def held(foil=STRAIGHT, section=SOLID, *, bulb_x=AXIS_X, bulb_z=-0.340, **options):
    return knockdown(foil, section, bulb_mass=2.4, bulb_x=bulb_x, bulb_z=bulb_z, **options)


def test_a_straight_fin_bends_as_a_cantilever_with_a_load_at_its_end():
    bending = 40e9 * NUMBERS.across * 0.080 * 0.008**3
    found = held()
    assert found.root_moment == pytest.approx(LOAD * 0.3, rel=1e-14)
    assert found.root_shear == pytest.approx(LOAD, rel=1e-14)
    assert found.tip_deflection == pytest.approx(LOAD * 0.3**3 / (3 * bending), rel=1e-12)
    assert found.tip_slope == pytest.approx(LOAD * 0.3**2 / (2 * bending), rel=1e-12)
    (stress,) = found.stresses
    assert stress.stress == pytest.approx(LOAD * 0.3 / (NUMBERS.modulus * 0.080 * 0.008**2), rel=1e-12)
    assert stress.at_z == -0.040
    assert (found.twist, found.root_torque) == (pytest.approx(0, abs=1e-15), pytest.approx(0, abs=1e-12))


def test_a_bulb_that_hangs_below_the_tip_adds_its_couple():
    bending = 40e9 * NUMBERS.across * 0.080 * 0.008**3
    below = 0.020
    found = held(bulb_z=-0.340 - below)
    couple = LOAD * below
    tip = LOAD * 0.3**3 / (3 * bending) + couple * 0.3**2 / (2 * bending)
    slope = LOAD * 0.3**2 / (2 * bending) + couple * 0.3 / bending
    assert found.tip_deflection == pytest.approx(tip, rel=1e-12)
    assert found.tip_slope == pytest.approx(slope, rel=1e-12)
    assert found.bulb_deflection == pytest.approx(tip + slope * below, rel=1e-12)


def test_a_straight_fins_own_weight_is_an_even_load():
    density = 1500.0
    even = density * STANDARD_GRAVITY * NUMBERS.area * 0.080 * 0.008
    bending = 40e9 * NUMBERS.across * 0.080 * 0.008**3
    with_own, without = held(fin_density=density), held()
    assert with_own.root_moment - without.root_moment == pytest.approx(even * 0.3**2 / 2, rel=1e-10)
    assert with_own.root_shear - without.root_shear == pytest.approx(
        STANDARD_GRAVITY * foil_solid(STRAIGHT, density).mass, rel=1e-10
    )
    assert with_own.tip_deflection - without.tip_deflection == pytest.approx(
        even * 0.3**4 / (8 * bending), rel=1e-9
    )


def test_a_bulb_aft_of_the_axis_lifts_the_leading_edge_and_one_forward_of_it_drops_it():
    torsion = 5e9 * torsion_constant(0.080, 0.008)
    aft = held(bulb_x=AXIS_X + 0.010)
    assert aft.twist == pytest.approx(LOAD * 0.010 * 0.3 / torsion, rel=1e-12)
    assert aft.root_torque == pytest.approx(LOAD * 0.010, rel=1e-11)
    assert held(bulb_x=AXIS_X - 0.010).twist == pytest.approx(-aft.twist, rel=1e-12)
    moved = held(bulb_x=AXIS_X + 0.010, elastic_axis=NUMBERS.flexural_axis + 0.010 / 0.080)
    assert moved.twist == pytest.approx(0.0, abs=1e-14)


def test_a_tapered_fin_agrees_with_adaptive_quadrature():
    def curvature(share):
        bending = 40e9 * NUMBERS.across * TAPERED.chord_at(share) * TAPERED.thickness_at(share) ** 3
        return LOAD * 0.3 * (1 - share) / bending

    def torque(share):
        axis = TAPERED.leading_edge_at(share) + NUMBERS.flexural_axis * TAPERED.chord_at(share)
        return (
            LOAD
            * (0.45 - axis)
            / (5e9 * torsion_constant(TAPERED.chord_at(share), TAPERED.thickness_at(share)))
        )

    found = held(TAPERED, bulb_x=0.45)
    tip = quad(lambda s: curvature(s) * 0.3 * 0.3 * (1 - s), 0, 1, epsabs=0, epsrel=1e-13)[0]
    twist = quad(lambda s: torque(s) * 0.3, 0, 1, epsabs=0, epsrel=1e-13)[0]
    assert found.tip_deflection == pytest.approx(tip, rel=1e-11)
    assert found.twist == pytest.approx(twist, rel=1e-11)


def test_a_strongly_tapered_fin_is_stressed_most_below_its_root():
    # Straight chord, thickness running to a quarter: sigma ~ (1 - s) / (1 - 3/4 s)^2 peaks at s = 2/3.
    thin = replace(STRAIGHT, tip_thickness=0.002)
    (stress,) = held(thin).stresses
    assert stress.at_z == pytest.approx(-0.040 - 0.3 * 2 / 3, abs=0.3 / 96)
    root = LOAD * 0.3 / (NUMBERS.modulus * 0.080 * 0.008**2)
    assert stress.stress == pytest.approx(root * (1 / 3) / 0.5**2, rel=1e-3)


def test_stress_is_held_against_an_allowable_only_where_one_was_given():
    (stress,) = held().stresses
    assert (stress.allowable, stress.used) == (None, None)
    named = SolidFin(material=replace(LAMINATE, allowable=100e6, source="a coupon of our own"))
    (stress,) = held(section=named).stresses
    assert stress.used == pytest.approx(stress.stress / 100e6, rel=1e-15)


TUBE = TubeCoredFin(
    body=Material(name="balsa", modulus=3e9, shear_modulus=0.1e9),
    tube=Material(name="carbon tube", modulus=110e9, shear_modulus=4e9),
    outer=0.006,
    inner=0.004,
)
RING = math.pi / 64 * (0.006**4 - 0.004**4)


def test_a_tube_in_a_body_that_carries_nothing_bends_as_a_tube():
    bare = replace(TUBE, body=Material(name="foam", modulus=0.0, shear_modulus=0.0))
    found = held(section=bare)
    assert found.tip_deflection == pytest.approx(LOAD * 0.3**3 / (3 * 110e9 * RING), rel=1e-12)
    (stress,) = found.stresses
    assert (stress.material, stress.stress) == (
        "carbon tube",
        pytest.approx(LOAD * 0.3 * 0.003 / RING, rel=1e-12),
    )
    # About the tube's own axis, where it lies: 0.3 of the chord.
    twisted = held(section=bare, bulb_x=0.400 + 0.3 * 0.080 + 0.01)
    assert twisted.root_torque == pytest.approx(LOAD * 0.01, rel=1e-11)
    assert twisted.twist == pytest.approx(LOAD * 0.01 * 0.3 / (4e9 * 2 * RING), rel=1e-11)


def test_a_tube_of_the_bodys_own_stuff_without_a_bore_is_a_solid_fin():
    rod = TubeCoredFin(body=LAMINATE, tube=LAMINATE, outer=0.006, inner=0.0)
    same, solid = (station_stiffness(section, 0.080, 0.008) for section in (rod, SOLID))
    for name in ("bending", "fore_and_aft", "axial", "neutral", "flexural", "torsion"):
        # Torsion too: hole and rod cancel.
        assert getattr(same, name) == pytest.approx(getattr(solid, name), rel=1e-12)
    assert held(section=rod).tip_deflection == pytest.approx(held().tip_deflection, rel=1e-12)


def test_a_tube_in_a_body_shares_the_moment_by_stiffness():
    found = held(section=TUBE)
    bending = 3e9 * (NUMBERS.across * 0.080 * 0.008**3 - math.pi / 64 * 0.006**4) + 110e9 * RING
    assert found.tip_deflection == pytest.approx(LOAD * 0.3**3 / (3 * bending), rel=1e-12)
    by_name = {stress.material: stress for stress in found.stresses}
    curvature = LOAD * 0.3 / bending
    assert by_name["carbon tube"].stress == pytest.approx(110e9 * curvature * 0.003, rel=1e-12)
    assert by_name["balsa"].stress == pytest.approx(
        3e9 * curvature * NUMBERS.half_thickness * 0.008, rel=1e-12
    )


def test_in_the_fins_plane_a_composite_section_is_that_of_a_strip_model():
    # Two hundred thousand strips across the chord, each with the modulus of what lies in it.
    chord, thickness, count = 0.080, 0.008, 200_000
    x = (np.arange(count) + 0.5) * chord / count
    xi = x / chord
    depth = (
        2 * thickness * (1.4845 * np.sqrt(xi) - 0.63 * xi - 1.758 * xi**2 + 1.4215 * xi**3 - 0.5075 * xi**4)
    )
    off = x - 0.3 * chord
    outer = 2 * np.sqrt(np.maximum(0.003**2 - off**2, 0))
    inner = 2 * np.sqrt(np.maximum(0.002**2 - off**2, 0))
    axial = (3e9 * (depth - outer) + 110e9 * (outer - inner)) * chord / count
    neutral = float((axial * x).sum() / axial.sum())
    second = float((axial * (x - neutral) ** 2).sum())
    found = station_stiffness(TUBE, chord, thickness)
    assert found.axial == pytest.approx(float(axial.sum()), rel=1e-6)
    assert found.neutral == pytest.approx(neutral, rel=1e-6)
    assert found.fore_and_aft == pytest.approx(second, rel=1e-6)


def test_a_blow_on_the_nose_stresses_tube_and_body_by_their_distance_from_the_common_axis():
    station = station_stiffness(TUBE, 0.080, 0.008)
    found = grounding(STRAIGHT, TUBE, "longitudinal_grounding", mass=4.2, multiple=2.0, at=(0.30, -0.355))
    curvature = 2.0 * 4.2 * STANDARD_GRAVITY * 0.315 / station.fore_and_aft
    tube, body = found.stresses
    # The axis lies between the stiff tube at 0.3 of the chord and the section's centroid.
    assert 0.3 * 0.080 < station.neutral < NUMBERS.centroid * 0.080
    assert body.stress == pytest.approx(-3e9 * curvature * (0.080 - station.neutral), rel=1e-12)
    assert tube.stress == pytest.approx(110e9 * curvature * (station.neutral - 0.024 + 0.003), rel=1e-12)


def test_a_tube_thicker_than_the_fin_is_refused_with_both_figures():
    with pytest.raises(BoatFigureError) as caught:
        held(TAPERED, TUBE)
    assert str(caught.value) == (
        "The tube is 0.006 m in diameter, but at the tip the fin is only 0.00500144 m thick where the tube runs, at "
        "0.3 of the chord. Use a thinner tube or a thicker fin, or move the tube nearer to 0.3 of the chord."
        ""
    )


def test_a_given_stiffness_tells_strain_and_a_stress_only_with_a_modulus():
    given = GivenFin(bending=60.0, torsion=25.0)
    found = held(section=given)
    assert found.tip_deflection == pytest.approx(LOAD * 0.3**3 / 180.0, rel=1e-12)
    (stress,) = found.stresses
    assert stress.strain == pytest.approx(LOAD * 0.3 * NUMBERS.half_thickness * 0.008 / 60.0, rel=1e-12)
    assert (stress.stress, stress.used) == (None, None)
    named = replace(given, material=LAMINATE)
    assert held(section=named).stresses[0].stress == pytest.approx(40e9 * stress.strain, rel=1e-14)
    # With the stiffness fore and aft, compression is that of the least section which has it.
    aground = grounding(
        STRAIGHT,
        replace(named, fore_and_aft=900.0),
        "vertical_grounding",
        mass=4.2,
        multiple=3,
        at=(0.400 + NUMBERS.centroid * 0.080, -0.36),
    )
    least = 900.0 / (NUMBERS.centroid * (1 - NUMBERS.centroid) * 0.080**2)
    assert aground.stresses[0].strain == pytest.approx(-aground.force / least, rel=1e-9)
    assert (
        grounding(STRAIGHT, given, "vertical_grounding", mass=4.2, multiple=3, at=(0.44, -0.36)).stresses
        == ()
    )
    assert (
        grounding(STRAIGHT, given, "longitudinal_grounding", mass=4.2, multiple=3, at=(0.30, -0.35)).stresses
        == ()
    )


def test_a_blow_under_the_centroid_presses_evenly():
    middle = 0.400 + NUMBERS.centroid * 0.080
    found = grounding(STRAIGHT, SOLID, "vertical_grounding", mass=4.2, multiple=4.0, at=(middle, -0.34))
    force = 4.0 * 4.2 * STANDARD_GRAVITY
    assert found.force == pytest.approx(force, rel=1e-14)
    assert found.root_moment == pytest.approx(0.0, abs=1e-12)
    (stress,) = found.stresses
    assert stress.stress == pytest.approx(-force / (NUMBERS.area * 0.080 * 0.008), rel=1e-10)
    # Euler's load at the tip; the centroid lies aft of the axis, which twists it a little too.
    bending = 40e9 * NUMBERS.across * 0.080 * 0.008**3
    assert 0.97 < found.buckling_force / (math.pi**2 * bending / (4 * 0.3**2)) < 1.0


def test_a_blow_aft_of_the_centroid_presses_the_trailing_edge_most():
    off = 0.020
    ground = 0.400 + NUMBERS.centroid * 0.080 + off
    found = grounding(STRAIGHT, SOLID, "vertical_grounding", mass=4.2, multiple=4.0, at=(ground, -0.36))
    force = 4.0 * 4.2 * STANDARD_GRAVITY
    second = NUMBERS.along * 0.008 * 0.080**3
    aft = force / (NUMBERS.area * 0.080 * 0.008) + force * off * (1 - NUMBERS.centroid) * 0.080 / second
    assert found.stresses[0].stress == pytest.approx(-aft, rel=1e-12)
    assert found.root_moment == pytest.approx(force * off, rel=1e-12)


def test_a_blow_on_the_nose_bends_the_fin_in_its_plane_most_at_the_root():
    found = grounding(STRAIGHT, SOLID, "longitudinal_grounding", mass=4.2, multiple=2.0, at=(0.30, -0.355))
    force = 2.0 * 4.2 * STANDARD_GRAVITY
    assert found.root_moment == pytest.approx(force * 0.315, rel=1e-12)
    second = NUMBERS.along * 0.008 * 0.080**3
    (stress,) = found.stresses
    # The trailing edge is the further from the centroid; pushed aft below, it is pressed.
    assert stress.stress == pytest.approx(-force * 0.315 * (1 - NUMBERS.centroid) * 0.080 / second, rel=1e-12)
    assert stress.at_z == -0.040


def test_the_words_say_what_it_is_not():
    assert NOT_A_CLASSIFICATION_CALCULATION.startswith("Not a classification calculation:")
    assert "licensed naval architect" in NOT_A_CLASSIFICATION_CALCULATION


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (
            lambda: held(bulb_z=0.1),
            "The bulb's mass centre is at 0.1 m, not below the fin's root at -0.04 m. Heights are measured upward from "
            "the design waterline, so those under water are negative.",
        ),
        (
            lambda: held(section=SolidFin(material=replace(LAMINATE, modulus=0.0))),
            'The modulus of "laminate", used for the complete fin, is 0 Pa; it must be finite and above 0. Give it '
            "as measured.",
        ),
        (
            lambda: replace(TUBE, inner=0.006),
            "The tube's outer diameter is 0.006 m and its inner diameter 0.006 m. Give an inner diameter "
            "smaller than the outer, or 0 for a rod.",
        ),
        (
            lambda: replace(TUBE, at=1.2),
            "The tube's axis is at 1.2 of the chord; it must be between 0 and 1. Give the distance aft of the "
            "leading edge as a fraction of the chord.",
        ),
        (
            lambda: grounding(
                STRAIGHT, SOLID, "vertical_grounding", mass=4.2, multiple=0.0, at=(0.44, -0.36)
            ),
            "The multiple of the weight is 0; it must be finite and above 0. Give it as measured.",
        ),
    ],
)
def test_what_cannot_be_is_refused_in_words(call, message):
    with pytest.raises(BoatFigureError) as caught:
        call()
    assert str(caught.value) == message
