"""Buckling of the fin compared with textbook columns and beams, and with a bent and twisted rod integrated here.

S. P. Timoshenko and J. M. Gere, Theory of Elastic Stability, 2nd ed. 1961, from memory: the column fixed at one end,
pi^2 EI / 4 L^2; the narrow cantilever loaded at its end in its stiff plane, 4.013 sqrt(EI GJ) / L^2.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.integrate import solve_ivp
from scipy.optimize import brentq
from scipy.spatial.transform import Rotation

from bulbcast.fin.foil import Foil
from bulbcast.fin.foil_section import section_numbers
from bulbcast.fin.stiffness import GivenFin, Material, SolidFin, TubeCoredFin
from bulbcast.joint.fin_axis import fin_axis
from bulbcast.joint.fin_beam import grounding
from bulbcast.joint.fin_buckling import BUCKLING_RESERVE, buckling_force

SPAN, EI, GJ = 0.5, 60.0, 25.0
GIVEN = GivenFin(bending=EI, torsion=GJ)
UP, AFT = (0.0, 1.0), (1.0, 0.0)


def fin(*, rake=0.0, taper=1.0):
    lead = section_numbers().flexural_axis
    return Foil(
        root_chord=0.10 * taper,
        tip_chord=0.10,
        root_thickness=0.010 * taper,
        tip_thickness=0.010,
        root_leading_edge_x=-lead * 0.10 * taper,
        tip_leading_edge_x=-lead * 0.10 + SPAN * math.tan(rake),
        root_z=0.0,
        tip_z=-SPAN,
    )


def test_a_load_along_the_axis_at_the_tip_buckles_it_at_eulers():
    found = buckling_force(fin_axis(fin(), GIVEN), direction=UP, at=(0.0, -SPAN))
    assert found == pytest.approx(math.pi**2 * EI / (4.0 * SPAN**2), rel=1e-4)


@pytest.mark.parametrize("below", [0.02, 0.05, 0.15])
def test_a_load_that_enters_under_the_bulb_buckles_it_sooner(below):
    # Rigid below the tip: w'' EI = P (w_end - w) gives cos kL = h k sin kL. At h = L / 10, 17 % below Euler's, who
    # is 21 % unsafe then.
    found = buckling_force(fin_axis(fin(), GIVEN), direction=UP, at=(0.0, -SPAN - below))
    k = brentq(lambda k: math.cos(k * SPAN) - below * k * math.sin(k * SPAN), 1e-6, 0.5 * math.pi / SPAN)
    assert found == pytest.approx(EI * k**2, rel=2e-4)


def test_a_uniform_tubes_column_was_20_percent_unsafe():
    tube = TubeCoredFin(
        body=Material(name="foam", modulus=0.0, shear_modulus=0.0),
        tube=Material(name="steel tube", modulus=200e9, shear_modulus=77e9),
        outer=0.008,
        inner=0.006,
    )
    foil = fin()
    x = foil.leading_edge_at(1.0) + 0.3 * 0.10
    load = grounding(foil, tube, "vertical_grounding", mass=5.0, multiple=1.0, at=(x, -1.1 * SPAN))
    second = 200e9 * math.pi / 64.0 * (0.008**4 - 0.006**4)
    assert math.pi**2 * second / (4.0 * SPAN**2) / load.buckling_force == pytest.approx(1.2085, rel=1e-3)


def test_a_load_across_the_axis_in_its_plane_buckles_it_as_a_narrow_cantilever():
    found = buckling_force(fin_axis(fin(), GIVEN), direction=AFT, at=(0.0, -SPAN))
    assert found == pytest.approx(4.013 * math.sqrt(EI * GJ) / SPAN**2, rel=3e-4)


def test_a_tapered_column_buckles_as_its_own_differential_equation_says():
    # v'' = -P v / EI(s), v'(0) = 0, v(L) + h v'(L) = 0 with v = w_end - w, integrated here and shot for.
    steel = SolidFin(material=Material(name="steel", modulus=205e9, shear_modulus=79e9))
    foil, below = fin(taper=2.0), 0.06
    found = buckling_force(fin_axis(foil, steel), direction=UP, at=(0.0, -SPAN - below))
    across = section_numbers().across

    def end(load):
        def rate(s, v):
            share = s / SPAN
            return [
                v[1],
                -load * v[0] / (205e9 * across * foil.chord_at(share) * foil.thickness_at(share) ** 3),
            ]

        v, slope = solve_ivp(rate, (0.0, SPAN), [1.0, 0.0], rtol=1e-10, atol=1e-12).y[:, -1]
        return v + below * slope

    assert found == pytest.approx(brentq(end, 0.3 * found, 1.5 * found), rel=5e-4)


def rods_load(rake, off, below, force_direction):
    """Load at which a rod buckles sideways, from Kirchhoff's equations with finite rotations, integrated along the rod.

    The moment at any point is that of the single force at the displaced position of its point of application. The rod
    buckles when that point can be moved sideways without resistance.
    """
    down = np.array([math.sin(rake), 0.0, -math.cos(rake)])
    square = np.array([math.cos(rake), 0.0, math.sin(rake)])
    side = np.array([0.0, 1.0, 0.0])
    # Columns: along the axis, across the fin (bends in the fin's plane, as good as rigid), square to it.
    frame = np.stack([down, side, square], axis=1)
    give = np.diag([1.0 / GJ, 1e-9, 1.0 / EI])
    length = SPAN / math.cos(rake)
    point = np.array([SPAN * math.tan(rake) + off, 0.0, -SPAN - below])
    arm = frame.T @ (point - length * down)
    direction = np.array([force_direction[0], 0.0, force_direction[1]])

    def residue(load, pushed):
        meant = point + pushed * side

        def rate(_, state):
            place, turn = state[:3], Rotation.from_rotvec(state[3:])
            axes = turn.as_matrix() @ frame
            moment = np.cross(meant - place, load * direction)
            curve = axes @ (give @ (axes.T @ moment))
            # Small rotations: the rate of the rotation vector is the curvature to the first order that matters here.
            v = state[3:]
            return np.concatenate([axes[:, 0], curve - 0.5 * np.cross(curve, v)])

        end = solve_ivp(rate, (0.0, length), np.zeros(6), rtol=1e-9, atol=1e-13).y[:, -1]
        came = end[:3] + Rotation.from_rotvec(end[3:]).as_matrix() @ (frame @ arm)
        return came[1] / pushed - 1.0

    return lambda load: residue(load, 1e-5)


@pytest.mark.parametrize(
    ("rake", "off", "below", "direction"),
    [
        (0.0, 0.04, 0.06, UP),
        (20.0, 0.03, 0.05, UP),
        (-15.0, 0.0, 0.08, UP),
        (20.0, -0.15, 0.04, AFT),
        (0.0, -0.10, 0.03, AFT),
    ],
)
def test_raked_and_eccentric_loads_buckle_it_as_the_integrated_rod(rake, off, below, direction):
    turn = math.radians(rake)
    foil = fin(rake=turn)
    at = (SPAN * math.tan(turn) + off, -SPAN - below)
    found = buckling_force(fin_axis(foil, GIVEN), direction=direction, at=at)
    left = rods_load(turn, off, below, direction)
    assert left(0.5 * found) < 0.0
    assert found == pytest.approx(brentq(left, 0.5 * found, 1.2 * found, rtol=1e-5), rel=2e-3)


def test_the_reserve_is_above_what_steel_columns_in_buildings_are_given():
    # 23 / 12: AISC, allowable stress design, 9th edition, long columns; from memory.
    assert BUCKLING_RESERVE > 23.0 / 12.0
