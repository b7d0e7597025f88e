"""Properties of any hull in any attitude: invariances, signs and derivatives."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bulbcast.hull.floating import float_boat
from bulbcast.hull.hydrostatics import Attitude, directions, hydrostatics
from bulbcast.hull.mesh import HullMesh, hull_from_triangles
from bulbcast.hull.offsets_mesh import lofted_hull
from bulbcast.hull.placement import HullPlacement
from bulbcast.sailing.righting import righting_arm_curve

EXAMPLES = settings(max_examples=25, deadline=None, derandomize=True)


def lopsided():
    """An invented closed body without symmetry, 1 m long, with its waterline at z = 0."""
    x = np.linspace(0.0, 1.0, 17)
    share = np.linspace(0.0, 1.0, 9)
    z = -0.07 * np.sin(np.pi * x[:, None]) * (1 - share) + share * 0.06
    y = 0.1 * np.sin(np.pi * x[:, None]) ** 0.7 * (0.2 + share) ** 0.5
    y[[0, -1]] = 0.0
    mesh = lofted_hull(x, y, z)
    points = mesh.vertices.copy()
    points[:, 1] += 0.06 * points[:, 2] + 0.01 * np.sin(3 * points[:, 0])
    points[:, 2] += 0.02 * points[:, 0] ** 2 - 0.005
    return HullMesh(vertices=points, triangles=mesh.triangles, design_length=1.0)


HULL = lopsided()
FACETS = HULL.vertices[HULL.triangles]

attitudes = st.builds(
    Attitude,
    sinkage=st.floats(-0.05, 0.05),
    trim=st.floats(-0.3, 0.3),
    heel=st.floats(-math.pi, math.pi),
)
angles = st.floats(-math.pi, math.pi)
shifts = st.floats(-5.0, 5.0)


def turn_about(axis, angle):
    axis = np.asarray(axis) / np.linalg.norm(axis)
    cross = np.array([[0, -axis[2], axis[1]], [axis[2], 0, -axis[0]], [-axis[1], axis[0], 0]])
    return np.eye(3) + math.sin(angle) * cross + (1 - math.cos(angle)) * cross @ cross


@EXAMPLES
@given(attitude=attitudes)
def test_the_parts_under_and_over_water_make_up_the_whole(attitude):
    under = hydrostatics(HULL, attitude)
    # The same plane seen from the other side: heeled by half a turn the other way up, nothing moved.
    over_side = HullMesh(vertices=-HULL.vertices, triangles=HULL.triangles[:, ::-1], design_length=1.0)
    over = hydrostatics(
        over_side, Attitude(sinkage=-attitude.sinkage, trim=attitude.trim, heel=attitude.heel)
    )
    assert under.volume + over.volume == pytest.approx(HULL.volume, rel=1e-11)
    assert under.waterplane_area == pytest.approx(over.waterplane_area, rel=1e-9, abs=1e-15)
    surface = float(HULL.shells[0].blocks[16].sum())
    assert under.wetted_area + over.wetted_area == pytest.approx(surface, rel=1e-11)


@EXAMPLES
@given(attitude=attitudes)
def test_an_attitude_is_the_hull_turned_and_sunk_upright(attitude):
    # Turning the hull itself into the level world and cutting at zero must give the same figures.
    world = directions(attitude.trim, attitude.heel)
    turn = np.stack([world.aft, world.starboard, world.up])
    moved = HullMesh(
        vertices=HULL.vertices @ turn.T - np.array([0.0, 0.0, attitude.sinkage]),
        triangles=HULL.triangles,
        design_length=1.0,
    )
    one, other = hydrostatics(HULL, attitude), hydrostatics(moved)
    assert one.volume == pytest.approx(other.volume, rel=1e-10, abs=1e-17)
    assert one.wetted_area == pytest.approx(other.wetted_area, rel=1e-10, abs=1e-16)
    assert one.waterplane_area == pytest.approx(other.waterplane_area, rel=1e-9, abs=1e-16)
    assert one.second_moment_across == pytest.approx(other.second_moment_across, rel=1e-8, abs=1e-16)
    assert one.second_moment_along == pytest.approx(other.second_moment_along, rel=1e-8, abs=1e-16)
    assert one.draught == pytest.approx(other.draught, abs=1e-14)
    if one.volume > 1e-8:
        there = turn @ np.array(one.buoyancy_centre) - np.array([0.0, 0.0, attitude.sinkage])
        np.testing.assert_allclose(there, other.buoyancy_centre, atol=1e-9)


@EXAMPLES
@given(attitude=attitudes)
def test_volume_grows_by_the_waterplane_area(attitude):
    step = 1e-6
    low, high = (
        hydrostatics(HULL, Attitude(sinkage=attitude.sinkage + s, trim=attitude.trim, heel=attitude.heel))
        for s in (-step, step)
    )
    middle = hydrostatics(HULL, attitude)
    assert low.volume <= high.volume + 1e-18
    # dV/ds is the waterplane area; between kinks at corners it changes by no more than the step allows.
    assert (high.volume - low.volume) / (2 * step) == pytest.approx(
        middle.waterplane_area, rel=1e-3, abs=2e-6
    )


@EXAMPLES
@given(sinkage=st.floats(-0.04, 0.04), trim=st.floats(-0.2, 0.2), heel=angles)
def test_a_hull_alike_to_both_sides_heels_alike_to_both_sides(sinkage, trim, heel):
    x = np.linspace(0.0, 1.0, 13)
    share = np.linspace(0.0, 1.0, 7)
    mesh = lofted_hull(
        x,
        0.1 * np.sin(np.pi * np.minimum(x, 0.9))[:, None] * share**0.5,
        -0.06 * np.sin(np.pi * x[:, None]) * (1 - share) + 0.06 * share,
    )
    hull = HullMesh(vertices=mesh.vertices, triangles=mesh.triangles, design_length=1.0)
    one = hydrostatics(hull, Attitude(sinkage=sinkage, trim=trim, heel=heel))
    other = hydrostatics(hull, Attitude(sinkage=sinkage, trim=trim, heel=-heel))
    # Quadrilaterals are halved alike on both sides, so that the mirror image is exact.
    assert one.volume == pytest.approx(other.volume, rel=1e-11, abs=1e-17)
    assert one.second_moment_across == pytest.approx(other.second_moment_across, rel=1e-9, abs=1e-17)
    if one.volume > 1e-8:
        mirrored = np.array(other.buoyancy_centre) * (1.0, -1.0, 1.0)
        np.testing.assert_allclose(one.buoyancy_centre, mirrored, atol=1e-10)


@EXAMPLES
@given(
    axis=st.tuples(*[st.floats(-1.0, 1.0)] * 3).filter(lambda v: math.hypot(*v) > 0.1),
    angle=angles,
    shift=st.tuples(shifts, shifts, shifts),
    unit=st.sampled_from([0.001, 0.01, 0.0254, 0.3048, 1.0]),
    seed=st.integers(0, 2**32 - 1),
)
def test_rotation_translation_unit_and_order_of_the_file_change_nothing(axis, angle, shift, unit, seed):
    rotation = turn_about(axis, angle)
    # Rows of the rotation are the boat's directions in the file's axes.
    facets = (FACETS + np.array(shift)) @ rotation / unit
    rng = np.random.default_rng(seed)
    facets = facets[rng.permutation(len(facets))]
    facets = np.take_along_axis(
        facets, (np.arange(3) + rng.integers(0, 3, (len(facets), 1)))[:, :, None] % 3, axis=1
    )
    hull = hull_from_triangles(
        facets,
        placement=HullPlacement(
            metres_per_unit=unit,
            rotation=tuple(map(tuple, rotation.tolist())),
            waterline_level=shift[2],
            forward_end=shift[0],
            aft_end=shift[0] + 1.0,
        ),
    )
    attitude = Attitude(sinkage=0.01, trim=0.05, heel=0.6)
    as_modelled = hull_from_triangles(FACETS, placement=HullPlacement(forward_end=0.0, aft_end=1.0))
    one, other = hydrostatics(as_modelled, attitude), hydrostatics(hull, attitude)
    assert other.volume == pytest.approx(one.volume, rel=1e-10)
    assert other.wetted_area == pytest.approx(one.wetted_area, rel=1e-10)
    assert other.second_moment_along == pytest.approx(one.second_moment_along, rel=1e-9)
    np.testing.assert_allclose(other.buoyancy_centre, one.buoyancy_centre, atol=1e-10)


@EXAMPLES
@given(
    mass=st.floats(0.5, 6.0),
    x=st.floats(0.42, 0.58),
    y=st.floats(-0.01, 0.01),
    z=st.floats(-0.25, 0.02),
)
def test_at_rest_the_energy_is_lowest(mass, x, y, z):
    load = {"mass": mass, "mass_centre": (x, y, z), "water_density": 1000.0}
    rest = float_boat(HULL, **load)
    assert rest.stable
    assert 1000.0 * hydrostatics(HULL, rest.attitude).volume == pytest.approx(mass, rel=1e-9)
    for heel in (0.05, -0.05):
        aside = float_boat(HULL, **load, heel=rest.attitude.heel + heel, start=rest.attitude)
        assert aside.energy > rest.energy
    for trim in (0.01, -0.01):
        aside = float_boat(
            HULL, **load, trim=rest.attitude.trim + trim, heel=rest.attitude.heel, start=rest.attitude
        )
        assert aside.energy > rest.energy


@settings(max_examples=6, deadline=None, derandomize=True)
@given(z=st.floats(-0.2, 0.03), mass=st.floats(1.5, 5.0))
def test_arms_are_the_slope_of_the_energy(z, mass):
    heels = tuple(np.radians(np.arange(0.0, 181.0, 15.0)))
    curve = righting_arm_curve(HULL, mass=mass, mass_centre=(0.5, 0.0, z), water_density=1000.0, heels=heels)
    step = 1e-4
    for place in range(1, len(heels) - 1):
        start = Attitude(sinkage=curve.sinkages[place], trim=curve.trims[place], heel=heels[place])
        energies = [
            float_boat(
                HULL,
                mass=mass,
                mass_centre=(0.5, 0.0, z),
                water_density=1000.0,
                heel=heels[place] + s,
                start=start,
            ).energy
            for s in (-step, step)
        ]
        slope = (energies[1] - energies[0]) / (2 * step)
        assert slope == pytest.approx(curve.arms[place] * math.cos(curve.trims[place]), rel=1e-5, abs=1e-7)


@EXAMPLES
@given(scale=st.floats(0.05, 20.0), heel=st.floats(0.0, 3.1))
def test_a_boat_n_times_as_large_floats_alike(scale, heel):
    large = HullMesh(vertices=scale * HULL.vertices, triangles=HULL.triangles, design_length=scale)
    one = float_boat(HULL, mass=3.0, mass_centre=(0.5, 0.0, -0.05), water_density=1000.0, heel=heel)
    other = float_boat(
        large,
        mass=3.0 * scale**3,
        mass_centre=(0.5 * scale, 0.0, -0.05 * scale),
        water_density=1000.0,
        heel=heel,
    )
    assert other.righting_arm == pytest.approx(scale * one.righting_arm, rel=1e-9, abs=1e-11 * scale)
    assert other.attitude.trim == pytest.approx(one.attitude.trim, abs=1e-9)
    assert other.attitude.sinkage == pytest.approx(scale * one.attitude.sinkage, abs=1e-10 * scale)
