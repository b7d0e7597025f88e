"""Hydrostatics compared with closed forms and textbook examples.

Closed forms: the Wigley hull y = B/2 (1 - (2 x/L - 1)^2) (1 - (z/T)^2) (W. C. S. Wigley, 1934, from memory; in the form
used in every towing-tank comparison), the box, the circular cylinder and the wall-sided formula. The textbook examples
are those of D. R. Derrett and C. B. Barrass, Ship Stability for Masters and Mates, as given in printed extracts. Figures
with many digits were computed from the closed forms with mpmath, independently of this code.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from bulbcast.hull.floating import float_boat
from bulbcast.hull.hydrostatics import (
    design_line_of_mesh,
    directions,
    hydrostatics,
)
from bulbcast.hull.mesh import HullMesh
from bulbcast.hull.offsets_hull import HullTable, design_line_of_offsets, offsets_hull
from bulbcast.hull.offsets_mesh import lofted_hull, mesh_of_offsets
from bulbcast.hull.placement import HullPlacement
from bulbcast.hull.trimming import changed_by_moment, flotation_on_line
from bulbcast.sailing.righting import STANDARD_HEELS, righting_arm_curve

LENGTH, BEAM, DRAUGHT = 1.0, 0.1, 0.0625
WIGLEY_VOLUME = 4 / 9 * LENGTH * BEAM * DRAUGHT


def wigley_half_breadth(x, z):
    """Half breadth of the Wigley hull, wall-sided above the water."""
    return 0.5 * BEAM * (1 - (2 * x / LENGTH - 1) ** 2) * (1 - (np.minimum(z, 0.0) / DRAUGHT) ** 2)


def wigley_surface(along, up, freeboard_steps=1):
    """Facets of the Wigley hull, with `along` equal steps of length and `up` equal steps of draught."""
    x = np.linspace(0.0, LENGTH, along + 1)
    step = DRAUGHT / up
    z = np.concatenate([np.linspace(-DRAUGHT, 0.0, up + 1), step * np.arange(1, freeboard_steps + 1)])
    y = wigley_half_breadth(x[:, None], z)
    mesh = lofted_hull(x, y, np.broadcast_to(z, y.shape))
    return HullMesh(vertices=mesh.vertices, triangles=mesh.triangles, design_length=LENGTH, source="Wigley")


def wigley_table(stations, levels):
    x = np.asarray(stations)
    z = np.asarray(levels)
    table = HullTable(stations=x, levels=z, half_breadths=wigley_half_breadth(x[:, None], z))
    return offsets_hull(table, HullPlacement(), "Wigley")


def box(length, beam, draught, depth, count=1):
    """Box with its design waterline at a given draught."""
    x = np.linspace(0.0, length, count + 1)
    z = np.array([-draught, depth - draught])
    mesh = lofted_hull(x, np.full((count + 1, 2), beam / 2), np.broadcast_to(z, (count + 1, 2)))
    return HullMesh(vertices=mesh.vertices, triangles=mesh.triangles, design_length=length, source="box")


# --- Wigley by Simpson ----------------------------------------------------------------------------------------


@pytest.mark.parametrize(("along", "up"), [(2, 2), (4, 4), (10, 6), (3, 3), (5, 7), (9, 4)])
def test_simpsons_rules_are_exact_for_the_wigley_hull(along, up):
    # Every integral here is of a cubic at most in each direction; both rules are exact for cubics. An odd
    # number of intervals takes the 3/8 rule at one end.
    table = wigley_table(np.linspace(0, LENGTH, along + 1), np.linspace(-DRAUGHT, 0, up + 1))
    line, notes = design_line_of_offsets(table)
    assert line.volume == pytest.approx(WIGLEY_VOLUME, rel=1e-14)
    assert line.waterplane_area == pytest.approx(2 / 3 * LENGTH * BEAM, rel=1e-14)
    # The centre of buoyancy is 3/8 T below the water, KB = 5/8 T.
    assert line.buoyancy_z == pytest.approx(-3 / 8 * DRAUGHT, rel=1e-13)
    assert line.buoyancy_x == pytest.approx(LENGTH / 2, rel=1e-13)
    assert line.flotation_x == pytest.approx(LENGTH / 2, rel=1e-13)
    assert notes == ()


def test_simpsons_rules_on_the_wigley_hulls_inertia_converge_at_fourth_order():
    # y^3 is of the sixth degree: It = 4/105 B^3 L, Il = B L^3 / 30.
    errors = []
    for along in (32, 64):
        line, _ = design_line_of_offsets(
            wigley_table(np.linspace(0, LENGTH, along + 1), np.linspace(-DRAUGHT, 0, 5))
        )
        across = line.bm_across * line.volume / (4 / 105 * BEAM**3 * LENGTH) - 1
        # x^2 y is of the fourth degree: Simpson's error is the constant fourth derivative's, to rounding.
        along_error = line.bm_along * line.volume / (BEAM * LENGTH**3 / 30) - 1
        errors.append((across, along_error))
    assert errors[0][0] / errors[1][0] == pytest.approx(16.0, rel=0.01)
    assert errors[0][1] / errors[1][1] == pytest.approx(16.0, rel=1e-6)


# --- Wigley by clipping ---------------------------------------------------------------------------------------


# The volume between plane facets over an even grid is the trapezoid rule's in both directions: a Wigley hull's ordinates
# are a product whose ends are zero, so that which way the quadrilaterals are halved drops out. mpmath.
@pytest.mark.parametrize(("steps", "factor"), [(4, 0.9228515625), (10, 0.987525), (20, 0.9968765625)])
def test_the_facets_of_a_wigley_hull_hold_the_trapezoid_rules_share_of_her_volume(steps, factor):
    assert factor == pytest.approx((1 - 1 / steps**2) * (1 - 1 / (4 * steps**2)), rel=1e-15)
    found = hydrostatics(wigley_surface(steps, steps))
    assert found.volume / WIGLEY_VOLUME == pytest.approx(factor, rel=1e-13)


def test_a_wigley_surface_converges_at_second_order_in_everything():
    exact = {
        "volume": WIGLEY_VOLUME,
        "waterplane_area": 2 / 3 * LENGTH * BEAM,
        "second_moment_across": 4 / 105 * BEAM**3 * LENGTH,
        "second_moment_along": BEAM * LENGTH**3 / 30,
        "wetted_area": 0.14879063104957782,  # mpmath, double quadrature, both sides, L = 1, B = .1, T = .0625
        "bm_across": 3 / 35 * BEAM**2 / DRAUGHT,
        "bm_along": 3 / 40 * LENGTH**2 / DRAUGHT,
    }
    coarse, fine = (hydrostatics(wigley_surface(n, n)) for n in (24, 48))
    for name, value in exact.items():
        errors = [getattr(found, name) / value - 1 for found in (coarse, fine)]
        assert errors[0] / errors[1] == pytest.approx(4.0, rel=0.03), name
        assert abs(errors[1]) < 2e-3, name
    heights = [found.buoyancy_centre[2] + 3 / 8 * DRAUGHT for found in (coarse, fine)]
    assert abs(heights[1]) < 1e-4 * DRAUGHT
    assert abs(heights[1]) <= abs(heights[0]) / 3.9


def test_a_surface_through_a_coarse_wigley_table_converges_to_the_hull_itself():
    # Ordinates of second degree are met exactly by the curve that the table is faired with.
    table = wigley_table(np.linspace(0, LENGTH, 5), np.linspace(-DRAUGHT, 0, 4))
    errors = []
    for steps in (32, 64):
        errors.append(mesh_of_offsets(table, along=steps, up=steps // 2).volume / WIGLEY_VOLUME - 1)
    assert errors[0] / errors[1] == pytest.approx(4.0, rel=0.03)
    assert abs(errors[1]) < 1e-3


def test_wigleys_coefficients_are_two_thirds():
    found = hydrostatics(wigley_surface(64, 64))
    middle = 2 / 3 * BEAM * DRAUGHT  # area of the midship section
    assert found.volume / (middle * LENGTH) == pytest.approx(2 / 3, rel=1e-3)
    assert found.waterplane_area / (LENGTH * BEAM) == pytest.approx(2 / 3, rel=1e-3)
    assert found.waterline_beam == pytest.approx(BEAM, rel=1e-12)
    assert found.waterline_length == pytest.approx(LENGTH, rel=1e-12)
    assert found.draught == pytest.approx(DRAUGHT, rel=1e-12)


# --- Box and wall-sided formula ------------------------------------------------------------------------------------


def derrett_box():
    """Box of 65 x 12 m at a draught of 4 m, high enough to keep the deck dry."""
    return box(65.0, 12.0, 4.0, 14.0)


def test_derretts_box_has_the_printed_displacement_kb_bm_and_gm():
    # Printed: 3198 t in water of 1.025 t/m3; KB 2 m, BM 3 m, GM 1 m with KG 4 m.
    found = hydrostatics(derrett_box())
    assert 1.025 * found.volume == pytest.approx(3198.0, rel=1e-14)
    assert found.buoyancy_centre[2] + 4.0 == pytest.approx(2.0, rel=1e-13)
    assert found.bm_across == pytest.approx(3.0, rel=1e-13)
    assert found.bm_along == pytest.approx(65.0**2 / (12 * 4.0), rel=1e-13)
    assert found.gm_across((32.5, 0.0, 0.0)) == pytest.approx(1.0, rel=1e-12)
    assert found.wetted_area == pytest.approx(65 * 12 + 2 * 4 * (65 + 12), rel=1e-14)


def boxs_arm(degrees, hull=None):
    return float_boat(
        hull or derrett_box(),
        mass=3198e3,
        mass_centre=(32.5, 0.0, 0.0),
        water_density=1025.0,
        heel=math.radians(degrees),
    ).righting_arm


# Clipped polygon and wall-sided formula GZ = sin h (GM + BM/2 tan^2 h), mpmath; equal until bilge or deck. The textbook
# prints 0.0872 m and 278.9 t m at 5 degrees, which are GM sin 5 alone.
@pytest.mark.parametrize(
    ("degrees", "arm"),
    [(5, 0.088156412637387), (15, 0.28669260217483), (25, 0.56046122930666), (30, 0.75)],
)
def test_derretts_box_rights_with_the_wall_sided_arm(degrees, arm):
    assert boxs_arm(degrees) == pytest.approx(arm, rel=2e-13)


def test_derretts_box_has_the_printed_small_angle_arm_and_the_wall_sided_moment():
    gm = hydrostatics(derrett_box()).gm_across((32.5, 0.0, 0.0))
    assert gm * math.sin(math.radians(5)) == pytest.approx(0.0872, abs=5e-5)
    # Printed 278.9 t m, from the rounded arm; 278.724 unrounded.
    assert 3198 * gm * math.sin(math.radians(5)) == pytest.approx(278.72406530701, rel=1e-12)
    assert pytest.approx(278.9, abs=0.05) == 3198 * 0.0872
    assert 3198 * boxs_arm(25) == pytest.approx(1792.3550113227, rel=1e-12)


def test_the_wall_sided_formula_ends_where_the_bilge_comes_out():
    # tan h = 2 d / B.
    bilge = math.degrees(math.atan(8.0 / 12.0))
    assert bilge == pytest.approx(33.690067526, rel=1e-10)

    def formula(degrees):
        h = math.radians(degrees)
        return math.sin(h) * (1.0 + 1.5 * math.tan(h) ** 2)

    assert boxs_arm(bilge - 0.01) == pytest.approx(formula(bilge - 0.01), rel=1e-12)
    assert boxs_arm(bilge + 2.0) < formula(bilge + 2.0) - 1e-4


def test_a_ship_of_6000_t_has_the_printed_righting_arm():
    # Printed: KB 3 m, KM 6 m, KG 5.5 m, 25 degrees: 0.35 m and 2100 t m, unless rounded 0.34915 and 2094.9;
    # the wall-sided formula is asked for in the printed answer.
    keel = -5.0
    h = math.radians(25)
    gm = (keel + 3.0) + 3.0 - (keel + 5.5)
    arm = math.sin(h) * (gm + 0.5 * 3.0 * math.tan(h) ** 2)
    assert arm == pytest.approx(0.3491520984363, rel=1e-13)
    assert arm == pytest.approx(0.35, abs=5e-3)
    assert 6000 * arm == pytest.approx(2094.9125906178, rel=1e-13)
    # The same ship as a wall-sided box that has these KB and BM: d = 2 KB, B^2 = 12 d BM.
    hull = box(100.0, math.sqrt(12 * 6.0 * 3.0), 6.0, 20.0)
    found = float_boat(
        hull,
        mass=1025.0 * hydrostatics(hull).volume,
        mass_centre=(50.0, 0.0, -6.0 + 5.5),
        water_density=1025.0,
        heel=h,
    )
    assert found.righting_arm == pytest.approx(arm, rel=1e-12)


def test_a_box_that_does_not_stand_upright_lolls_where_the_wall_sided_formula_says():
    # tan h = sqrt(-2 GM / BM): GM -0.1 m, BM 3 m -> 14.477512186 degrees.
    hull = derrett_box()
    load = {"mass": 3198e3, "mass_centre": (32.5, 0.0, 1.1), "water_density": 1025.0}
    assert hydrostatics(hull).gm_across(load["mass_centre"]) == pytest.approx(-0.1, rel=1e-11)
    free = float_boat(hull, **load)
    assert abs(math.degrees(free.attitude.heel)) == pytest.approx(14.477512185929925, rel=1e-10)
    assert free.stable
    assert free.righting_arm == pytest.approx(0.0, abs=1e-11)
    held = float_boat(hull, **load, heel=0.0)
    assert held.righting_arm == pytest.approx(0.0, abs=1e-12)
    curve = righting_arm_curve(hull, **load)
    assert math.degrees(curve.positive_from) == pytest.approx(14.477512185929925, rel=1e-10)


# --- Circular cylinder --------------------------------------------------------------------------------------------


def cylinder(sides, radius=1.0, length=8.0):
    """Many-sided prism along x, with its axis in the design waterline and a flat side facing down."""
    angle = 2 * math.pi * (np.arange(sides) + 0.5) / sides - math.pi / 2
    ring = np.stack([np.zeros(sides), radius * np.cos(angle), radius * np.sin(angle)], axis=1)
    other = ring + np.array([length, 0.0, 0.0])
    j = np.arange(sides)
    k = (j + 1) % sides
    ends = np.full(sides, 2 * sides)
    faces = [
        np.stack([j, k, k + sides], axis=1),
        np.stack([j, k + sides, j + sides], axis=1),
        np.stack([ends, k, j], axis=1),
        np.stack([ends + 1, j + sides, k + sides], axis=1),
    ]
    points = np.concatenate([ring, other, [[0.0, 0.0, 0.0]], [[length, 0.0, 0.0]]])
    faces = np.concatenate(faces)
    # Outward for a ring that runs counter-clockwise seen from aft is the other way round.
    if np.einsum("ij,ij->", points[faces[:, 0]], np.cross(points[faces[:, 1]], points[faces[:, 2]])) < 0:
        faces = faces[:, ::-1]
    return HullMesh(vertices=points, triangles=faces, design_length=length, source="cylinder")


@pytest.mark.parametrize("immersed", [0.2, 0.5, 0.8])
def test_a_cylinders_righting_arm_is_gm_sin_phi_at_every_angle_of_the_curve(immersed):
    # The metacentre stands on the axis at any draught. A prism of 72 sides comes to itself every five degrees, so that
    # at those 37 heels the centre of buoyancy is plumb below the axis and the arm is GM sin h to rounding.
    hull = cylinder(72)
    gm = 0.3
    curve = righting_arm_curve(
        hull,
        mass=immersed * hull.volume * 1000.0,
        mass_centre=(4.0, 0.0, -gm),
        water_density=1000.0,
    )
    assert len(curve.heels) == 37
    np.testing.assert_allclose(curve.arms, gm * np.sin(curve.heels), rtol=0, atol=2e-12)
    np.testing.assert_allclose(curve.trims, 0.0, atol=1e-12)
    assert curve.vanishing == pytest.approx(math.pi, abs=1e-12)
    # Area under GM sin h from 0 to 180 degrees: 2 GM.
    assert curve.positive_area == pytest.approx(2 * gm, rel=1e-12)
    # The parabola through 85, 90 and 95 degrees.
    assert curve.largest_arm == pytest.approx(gm, rel=1e-12)
    assert curve.largest_arm_heel == pytest.approx(math.pi / 2, rel=1e-9)


def test_between_those_angles_a_prism_nears_the_cylinder_at_second_order():
    def worst(sides):
        hull = cylinder(sides)
        arms = [
            float_boat(
                hull,
                mass=0.4 * hull.volume * 1000.0,
                mass_centre=(4.0, 0.0, -0.3),
                water_density=1000.0,
                heel=h,
            ).righting_arm
            - 0.3 * math.sin(h)
            for h in (0.011, 0.5, 1.23, 2.2)
        ]
        return max(abs(arm) for arm in arms)

    assert worst(36) < 2e-3
    assert worst(144) < worst(36) / 15


def test_a_half_immersed_cylinder_has_its_buoyancy_at_four_radii_over_three_pi_and_bm_the_same():
    errors = []
    for sides in (72, 144):
        found = hydrostatics(cylinder(sides))
        errors.append((-found.buoyancy_centre[2] - 0.4244131815783876, found.bm_across - 0.4244131815783876))
    assert errors[0][0] / errors[1][0] == pytest.approx(4.0, rel=0.01)
    assert errors[0][1] / errors[1][1] == pytest.approx(4.0, rel=0.01)
    assert abs(errors[1][0]) < 1e-3


# --- Added weight -------------------------------------------------------------------------------------------------


def test_a_model_box_has_the_computed_mass_immersion_and_trim():
    # Box 1 x 0.2 x 0.05 m in fresh water of 1000 kg/m3, KG 0.04 m; mpmath.
    hull = box(1.0, 0.2, 0.05, 0.1)
    line = design_line_of_mesh(hull)
    assert 1000 * line.volume == pytest.approx(10.0, rel=1e-13)
    assert line.mass_per_immersion(1000.0) / 1000 == pytest.approx(0.2, rel=1e-13)
    centre = -0.05 + 0.04
    found = flotation_on_line(line, water_density=1000.0, mass_centre_z=centre)
    assert found.metacentric_height_along == pytest.approx(1.6516666666667, rel=1e-12)
    assert found.moment_per_trim / 1000 == pytest.approx(0.016516666666667, rel=1e-12)
    change = changed_by_moment(found, mass=0.1, moment=0.1 * (0.8 - found.flotation_x))
    assert change.sinkage == pytest.approx(0.0005, rel=1e-12)
    assert change.trim == pytest.approx(0.0018163471241171, rel=1e-12)
    # The same by letting her come to rest with the weight aboard, at its height of the mass centre.
    rest = float_boat(
        hull, mass=10.1, mass_centre=((10 * 0.5 + 0.1 * 0.8) / 10.1, 0.0, centre), water_density=1000.0
    )
    # Of second order: the weight itself and the deeper draught change GM by a hundredth.
    assert math.tan(rest.attitude.trim) == pytest.approx(change.trim, rel=2e-2)
    middle = rest.attitude.sinkage + 0.5 * math.sin(rest.attitude.trim)
    assert middle == pytest.approx(0.0005, rel=1e-2)


# --- Righting arms of a hull that has them all ----------------------------------------------------------------------


def test_the_area_under_the_curve_is_the_work_of_heeling_her():
    # d(energy / weight) = GZ cos(trim) dh: the curve's own points, by Simpson at half a degree, give the area again.
    hull = wigley_surface(40, 12, freeboard_steps=8)
    heels = np.radians(np.arange(0.0, 180.25, 0.5))
    curve = righting_arm_curve(
        hull, mass=2.5, mass_centre=(0.5, 0.0, -0.01), water_density=999.1, heels=tuple(heels)
    )
    values = np.array(curve.arms) * np.cos(curve.trims)
    weights = np.tile([4.0, 2.0], len(heels) // 2)
    integral = np.radians(0.5) / 3 * (values[0] + weights[:-1] @ values[1:-1] + values[-1])
    assert curve.energies[-1] - curve.energies[0] == pytest.approx(integral, abs=1e-6)
    # The slope of the curve at the start is GM.
    assert curve.arms[1] / math.sin(heels[1]) == pytest.approx(curve.gm, rel=1e-3)
    upright = hydrostatics(hull, curve.upright.attitude)
    height = directions(curve.upright.attitude.trim, 0.0).up @ (
        np.array(upright.buoyancy_centre) - (0.5, 0.0, -0.01)
    )
    assert curve.gm == pytest.approx(upright.bm_across + height, rel=1e-9)


def test_the_standard_curve_has_37_heels():
    assert len(STANDARD_HEELS) == 37
    assert STANDARD_HEELS[-1] == pytest.approx(math.pi, rel=1e-15)
