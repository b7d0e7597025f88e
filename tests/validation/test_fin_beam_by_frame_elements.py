"""Raked, tapered fins compared with a chain of straight frame elements implemented here, with sections cut
square to the axis.

Nothing from the library's beam is used. The section is cut numerically from the fin's two tapers, the weight is applied
slice by slice, and bending and twist are solved together as displacements. The element is the textbook one, with bending
terms such as 12 EI / L^3 and torsion GJ / L.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from bulbcast.fin.foil import Foil
from bulbcast.fin.foil_section import section_numbers
from bulbcast.fin.stiffness import GivenFin, Material, SolidFin
from bulbcast.joint.fin_beam import knockdown

G = 9.80665
E, SHEAR = 70e9, 26e9
ALUMINIUM = SolidFin(material=Material(name="aluminium", modulus=E, shear_modulus=SHEAR))
# NACA four-digit half thickness over thickness, x in chords: NACA TR-460 (1933).
XI = np.sin(0.5 * np.pi * (np.arange(4000) + 0.5) / 4000) ** 2
WIDTH = np.gradient(XI)


def half(xi):
    return 1.4845 * np.sqrt(xi) - 0.63 * xi - 1.758 * xi**2 + 1.4215 * xi**3 - 0.5075 * xi**4


FLEXURAL = float((XI * half(XI) ** 3 * WIDTH).sum() / (half(XI) ** 3 * WIDTH).sum())
CENTROID = float((XI * half(XI) * WIDTH).sum() / (half(XI) * WIDTH).sum())
AREA = float((2.0 * half(XI) * WIDTH).sum())


def random_fin(rng):
    span, chord = rng.uniform(0.25, 0.9), rng.uniform(0.07, 0.2)
    tip = chord * rng.uniform(0.65, 1.0)
    ratio = rng.uniform(0.07, 0.13)
    rake = math.radians(rng.uniform(-25.0, 25.0))
    return Foil(
        root_chord=chord,
        tip_chord=tip,
        root_thickness=ratio * chord,
        tip_thickness=ratio * tip * rng.uniform(0.8, 1.1),
        root_leading_edge_x=0.4,
        tip_leading_edge_x=0.4 + FLEXURAL * (chord - tip) + span * math.tan(rake),
        root_z=-0.1,
        tip_z=-0.1 - span,
    )


def square_section(foil, x, z, down, aft):
    """Second moment, torsion constant and outermost fibre of the section through (x, z) square to the axis."""
    reach = 1.5 * max(foil.root_chord, foil.tip_chord)
    u = np.linspace(-reach, reach, 6001)
    share = (foil.root_z - (z + u * aft[1])) / foil.span
    chord = foil.root_chord + share * (foil.tip_chord - foil.root_chord)
    lead = foil.root_leading_edge_x + share * (foil.tip_leading_edge_x - foil.root_leading_edge_x)
    xi = (x + u * aft[0] - lead) / chord
    thick = foil.root_thickness + share * (foil.tip_thickness - foil.root_thickness)
    y = np.where((xi > 0.0) & (xi < 1.0), thick * half(np.clip(xi, 0.0, 1.0)), 0.0)
    cubed = np.trapezoid(y**3, u)
    slope = np.gradient(y, u)
    inside = (xi > 0.003) & (xi < 0.997)
    steep = np.trapezoid(np.where(inside, y**3 * slope**2, 0.0), u)
    return 2.0 / 3.0 * cubed, 8.0 / 3.0 * cubed / (1.0 + 3.0 * steep / cubed), float(y.max())


def frames(foil, bulb_mass, bulb, density, *, stiffness=None, count=120):
    """Solve the chain. Points are given by x and z, and y is across the fin. Rotations are the slopes of y along the
    axis and perpendicular to it."""
    top = np.array([foil.root_leading_edge_x + FLEXURAL * foil.root_chord, foil.root_z])
    tip = np.array([foil.tip_leading_edge_x + FLEXURAL * foil.tip_chord, foil.tip_z])
    length = float(np.hypot(*(tip - top)))
    down = (tip - top) / length
    aft = np.array([-down[1], down[0]])
    nodes = top + np.linspace(0.0, 1.0, count + 1)[:, None] * (tip - top)
    step = length / count
    big = np.zeros((3 * (count + 1),) * 2)
    force = np.zeros(3 * (count + 1))
    sections = []
    for number in range(count):
        middle = 0.5 * (nodes[number] + nodes[number + 1])
        second, torsion, outer = square_section(foil, *middle, down, aft)
        ei, gj = (E * second, SHEAR * torsion) if stiffness is None else stiffness
        sections.append((ei, outer))
        at = 3 * number + np.array([0, 1, 3, 4])
        big[np.ix_(at, at)] += (
            ei
            / step**3
            * np.array(
                [
                    [12, 6 * step, -12, 6 * step],
                    [6 * step, 4 * step**2, -6 * step, 2 * step**2],
                    [-12, -6 * step, 12, -6 * step],
                    [6 * step, 2 * step**2, -6 * step, 4 * step**2],
                ]
            )
        )
        at = 3 * number + np.array([2, 5])
        big[np.ix_(at, at)] += gj / step * np.array([[1, -1], [-1, 1]])

    def lay_on(node, load, place):
        arm = np.asarray(place) - nodes[node]
        force[3 * node : 3 * node + 3] += load * np.array([1.0, arm @ down, arm @ aft])

    slices = 40 * count
    for share in (np.arange(slices) + 0.5) / slices:
        chord = foil.root_chord + share * (foil.tip_chord - foil.root_chord)
        thick = foil.root_thickness + share * (foil.tip_thickness - foil.root_thickness)
        lead = foil.root_leading_edge_x + share * (foil.tip_leading_edge_x - foil.root_leading_edge_x)
        own = density * G * AREA * chord * thick * foil.span / slices
        lay_on(round(share * count), own, (lead + CENTROID * chord, foil.root_z - share * foil.span))
    lay_on(count, bulb_mass * G, bulb)
    moved = np.zeros_like(force)
    moved[3:] = np.linalg.solve(big[3:, 3:], force[3:])
    held = big @ moved - force
    y, bent, turned = moved[-3:]
    arm = np.asarray(bulb) - tip
    strain = max(abs(moved[3 * n + 4] - moved[3 * n + 1]) / step * sections[n][1] for n in range(count))
    return {
        "tip": y,
        "bulb": y + bent * (arm @ down) + turned * (arm @ aft),
        # dy down the upright, and dy aft along a level.
        "lean": -bent * down[1] - turned * aft[1],
        "twist": bent * down[0] + turned * aft[0],
        "shear": -held[0],
        # What holds the root, turned into the boat's axes.
        "moment": held[1] * down[1] + held[2] * aft[1],
        "torque": -(held[1] * down[0] + held[2] * aft[0]),
        "strain": strain,
    }


@pytest.mark.parametrize(
    "seed", [*range(4), *(pytest.param(seed, marks=pytest.mark.slow) for seed in range(4, 20))]
)
def test_a_raked_fin_bends_and_twists_as_the_chain_of_elements_within_one_percent(seed):
    rng = np.random.default_rng(1000 + seed)
    foil = random_fin(rng)
    bulb = (
        foil.tip_leading_edge_x + foil.tip_chord * rng.uniform(0.2, 0.7),
        foil.tip_z - rng.uniform(0.005, 0.08),
    )
    found = knockdown(foil, ALUMINIUM, bulb_mass=3.0, bulb_x=bulb[0], bulb_z=bulb[1], fin_density=2700.0)
    meant = frames(foil, 3.0, bulb, 2700.0)
    assert found.root_shear == pytest.approx(meant["shear"], rel=1e-4)
    assert found.root_moment == pytest.approx(meant["moment"], rel=1e-4)
    scale = found.root_shear * foil.root_chord
    assert found.root_torque == pytest.approx(meant["torque"], rel=1e-3, abs=1e-3 * scale)
    assert found.tip_deflection == pytest.approx(meant["tip"], rel=0.01)
    assert found.bulb_deflection == pytest.approx(meant["bulb"], rel=0.01)
    assert found.tip_slope == pytest.approx(meant["lean"], rel=0.01)
    assert found.twist == pytest.approx(meant["twist"], rel=0.01, abs=0.003 * found.tip_slope)
    (stress,) = found.stresses
    # The first element's curvature is that half an element below the root.
    assert stress.strain == pytest.approx(meant["strain"], rel=0.012)


def straight(rake):
    return Foil(
        root_chord=0.08,
        tip_chord=0.08,
        root_thickness=0.008,
        tip_thickness=0.008,
        root_leading_edge_x=0.4,
        tip_leading_edge_x=0.4 + 0.3 * math.tan(rake),
        root_z=0.0,
        tip_z=-0.3,
    )


def test_at_23_degrees_a_fin_bends_39_percent_more_and_is_stressed_18_percent_more_than_an_upright_one():
    # Longer by 1 / cos and narrower by cos: deflection as 1 / cos^4, stress as 1 / cos^2.
    rake, found = math.radians(23.0), []
    for one in (0.0, rake):
        foil = straight(one)
        x = foil.tip_leading_edge_x + section_numbers().flexural_axis * 0.08
        held = knockdown(foil, ALUMINIUM, bulb_mass=2.4, bulb_x=x, bulb_z=-0.3)
        found.append((held.tip_deflection, held.stresses[0].stress))
        assert held.rake == pytest.approx(one, abs=1e-12)
    assert found[1][0] / found[0][0] == pytest.approx(1.0 / math.cos(rake) ** 4, rel=1e-12)
    assert found[1][1] / found[0][1] == pytest.approx(1.0 / math.cos(rake) ** 2, rel=1e-12)
    assert (round(found[1][0] / found[0][0], 2), round(found[1][1] / found[0][1], 2)) == (1.39, 1.18)


def test_a_bend_of_a_raked_fin_turns_its_level_section_and_an_upright_ones_does_not():
    # Bending alone, load on the axis: all rotation is about the line square to the axis, P L^2 / 2 EI.
    given = GivenFin(bending=60.0, torsion=25.0)
    for degrees in (-23.0, 0.0, 23.0):
        rake = math.radians(degrees)
        foil = straight(rake)
        x = foil.tip_leading_edge_x + section_numbers().flexural_axis * 0.08
        held = knockdown(foil, given, bulb_mass=2.4, bulb_x=x, bulb_z=-0.3)
        slope = 2.4 * G * (0.3 / math.cos(rake)) ** 2 / (2.0 * 60.0)
        assert held.twist == pytest.approx(slope * math.sin(rake), rel=1e-12, abs=1e-15)
        assert held.tip_slope == pytest.approx(slope * math.cos(rake), rel=1e-12)


def test_the_fins_own_weight_twists_it_by_its_centroid_aft_of_the_axis():
    # Upright and even: torque w e (L - s), twist w e L^2 / 2 GJ beside the bulb's; w the weight per length.
    numbers = section_numbers()
    given = GivenFin(bending=60.0, torsion=25.0)
    weight = 7850.0 * G * numbers.area * 0.08 * 0.008
    off = (numbers.centroid - numbers.flexural_axis) * 0.08
    foil = straight(0.0)
    at = {"bulb_mass": 2.4, "bulb_x": 0.45, "bulb_z": -0.3}
    bare, whole = (knockdown(foil, given, fin_density=each, **at) for each in (0.0, 7850.0))
    assert whole.root_torque - bare.root_torque == pytest.approx(weight * off * 0.3, rel=1e-9)
    assert whole.twist - bare.twist == pytest.approx(weight * off * 0.3**2 / (2.0 * 25.0), rel=1e-9)
