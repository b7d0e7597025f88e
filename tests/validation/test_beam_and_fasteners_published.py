"""Tapered cantilevers, fine and inch threads and washers compared with textbook closed forms and tables in standards.

Figures from memory are marked as such; the closed forms are derived again in the comments.
"""

from __future__ import annotations

import math

import pytest

from bulbcast.bulb.cuts.washer import Washer
from bulbcast.fin.foil import Foil
from bulbcast.fin.foil_section import section_numbers
from bulbcast.fin.stiffness import Material, SolidFin
from bulbcast.joint.fin_beam import knockdown
from bulbcast.joint.joint_loads import pulls_about
from bulbcast.joint.thread import Thread
from bulbcast.quantities.checked import STANDARD_GRAVITY

STEEL = SolidFin(material=Material(name="steel", modulus=205e9, shear_modulus=79e9))
NUMBERS = section_numbers()
SPAN, LOAD = 0.5, 12.0 * STANDARD_GRAVITY


def fin(chord_taper, thickness_taper):
    return Foil(
        root_chord=0.10 * chord_taper,
        tip_chord=0.10,
        root_thickness=0.010 * thickness_taper,
        tip_thickness=0.010,
        root_leading_edge_x=-NUMBERS.flexural_axis * 0.10 * chord_taper,  # the axis stands upright
        tip_leading_edge_x=-NUMBERS.flexural_axis * 0.10,
        root_z=0.0,
        tip_z=-SPAN,
    )


def held(foil):
    return knockdown(foil, STEEL, bulb_mass=12.0, bulb_x=0.03, bulb_z=-SPAN)


TIP_STIFFNESS = 205e9 * NUMBERS.across * 0.10 * 0.010**3


def test_a_cantilever_twice_as_large_at_its_root_bends_as_the_textbooks_tapered_bar():
    """Gere and Goodno, Mechanics of Materials, nonprismatic beams: round bar, d_B = 2 d_A, load at the thin end.

    Second moments vary with the fourth power of (1 + x / L), as in a fin whose chord and thickness both double: theta_A
    = P L^2 / (12 E I_A), delta_A = P L^3 / (24 E I_A). The integrals of u / (1 + u)^4 and u^2 / (1 + u)^4 from 0 to 1
    are 1/12 and 1/24.
    """
    found = held(fin(2.0, 2.0))
    assert found.tip_slope == pytest.approx(LOAD * SPAN**2 / (12.0 * TIP_STIFFNESS), rel=1e-11)
    assert found.tip_deflection == pytest.approx(LOAD * SPAN**3 / (24.0 * TIP_STIFFNESS), rel=1e-11)


def test_the_same_bar_is_stressed_most_at_its_middle_and_not_at_its_root():
    """The same book's example on nonprismatic beams: stress at mid-length, 128 P L / (27 pi d_A^3), divided by that
    at the support, 4 P L / (pi d_A^3), is 32/27. Here too, section moduli vary with the cube of the diameter."""
    (stress,) = held(fin(2.0, 2.0)).stresses
    at_root = LOAD * SPAN / (NUMBERS.modulus * 0.20 * 0.020**2)
    assert stress.stress == pytest.approx(32.0 / 27.0 * at_root, rel=1e-9)
    assert stress.at_z == pytest.approx(-0.5 * SPAN, abs=1e-12)


@pytest.mark.parametrize("ratio", [1.5, 2.0, 3.0])
def test_a_cantilever_tapered_in_depth_alone_bends_as_the_closed_form(ratio):
    # Beams whose second moment goes with the cube of a linear depth, as in Roark's tables of tapered beams: the
    # integral of u^2 / (1 + k u)^3 is (ln(1 + k) + 2 / (1 + k) - 1 / (2 (1 + k)^2) - 3/2) / k^3.
    k = ratio - 1.0
    share = (math.log(1.0 + k) + 2.0 / (1.0 + k) - 0.5 / (1.0 + k) ** 2 - 1.5) / k**3
    found = held(fin(1.0, ratio))
    assert found.tip_deflection == pytest.approx(LOAD * SPAN**3 / TIP_STIFFNESS * share, rel=1e-10)


def test_a_bracket_on_its_lower_edge_pulls_its_bolts_as_the_textbook_prints():
    """Khurmi and Gupta, A Textbook of Machine Design, screwed joints under eccentric load, a crane bracket: 12 kN at
    400 mm from the column, two bolts 50 mm and two 375 mm from the lower edge, about which it tilts. Each upper bolt
    carries 6.29 kN in tension, and all four carry 3 kN each in shear; the larger principal force is 7.49 kN. From
    memory."""
    places = [0.050, 0.050, 0.375, 0.375]
    pulls = pulls_about(places, 12e3 * 0.400, 0.0)
    assert pulls[3] / 1e3 == pytest.approx(6.29, abs=0.005)
    assert sum(pull * place for pull, place in zip(pulls, places, strict=True)) == pytest.approx(4800.0)
    shear = 12.0 / 4
    principal = 0.5 * (pulls[3] / 1e3 + math.hypot(pulls[3] / 1e3, 2 * shear))
    assert principal == pytest.approx(7.49, abs=0.005)
    # By the distortion energy, which a screw is judged by here, it is worse: on the safe side.
    assert math.hypot(pulls[3] / 1e3, math.sqrt(3.0) * shear) > principal


# ISO 898-1, nominal stress areas of fine threads as printed, from memory.
@pytest.mark.parametrize(
    ("size", "pitch", "printed"),
    [(8, 1.0, 39.2), (10, 1.25, 61.2), (10, 1.0, 64.5), (12, 1.5, 88.1), (12, 1.25, 92.1), (16, 1.5, 167)],
)
def test_a_typed_pitch_gives_the_stress_area_of_the_standards_fine_threads(size, pitch, printed):
    found = 1e6 * Thread(diameter=1e-3 * size, pitch=1e-3 * pitch).stress_area
    assert float(f"{found:.3g}") == printed


# ASME B1.1, tensile stress areas of unified coarse threads in square inches, from memory; by its own formula
# 0.7854 (D - 0.9743 / n)^2. ISO takes D - 0.9382 P: on an inch thread it reads one to two per cent larger.
@pytest.mark.parametrize(
    ("size", "turns", "printed"),
    [(0.25, 20, 0.0318), (0.3125, 18, 0.0524), (0.375, 16, 0.0775), (0.5, 13, 0.1419), (0.625, 11, 0.226)],
)
def test_an_inch_threads_area_lies_within_two_percent_of_the_unified_standards(size, turns, printed):
    unified = 0.25 * math.pi * (size - 0.9743 / turns) ** 2
    assert unified == pytest.approx(printed, rel=2e-3)
    found = Thread(diameter=size * 0.0254, pitch=0.0254 / turns).stress_area / 0.0254**2
    assert 1.005 < found / unified < 1.021


# ISO 7089 plain washers, inside, outside, thickness in mm; mass of steel ones at 7.85 g/cm3 as catalogues print
# it, grams each, from memory.
@pytest.mark.parametrize(
    ("hole", "outer", "thick", "grams"),
    [
        (4.3, 9, 0.8, 0.308),
        (6.4, 12, 1.6, 1.02),
        (8.4, 16, 1.6, 1.83),
        (10.5, 20, 2.0, 3.57),
        (13, 24, 2.5, 6.27),
    ],
)
def test_a_washers_ring_weighs_what_the_catalogue_prints(hole, outer, thick, grams):
    washer = Washer(diameter=1e-3 * outer, hole_diameter=1e-3 * hole, thickness=1e-3 * thick, density=7850.0)
    assert 1e3 * washer.mass == pytest.approx(grams, rel=5e-3)
