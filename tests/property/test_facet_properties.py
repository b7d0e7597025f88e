"""The mesh of every shape is closed and has the true volume to within rounding; other errors are of second order."""

from __future__ import annotations

import math
from functools import lru_cache

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bulbcast.bulb.body.facets import body_mesh, chord_error_used
from bulbcast.bulb.body.integrals import body_surface, body_volume, parallel_volume
from bulbcast.bulb.body.profiles import four_digit, modified_four_digit, sears_haack, series58, spheroid
from bulbcast.bulb.body.tabulated import tabulated
from bulbcast.bulb.body.turned import turned_body
from bulbcast.solids.kernel import closed_faults
from bulbcast.solids.mesh import mesh_volume_and_centroid

_X = np.linspace(0.0, 1.0, 31)
PROFILES = {
    "naca4": four_digit(),
    "naca4mod 20": modified_four_digit(max_at=0.2, nose_index=7.5),
    "naca4mod 40": modified_four_digit(max_at=0.4, nose_index=5.0),
    "spheroid": spheroid(),
    "series58": series58(max_at=0.4, nose_radius=0.5, tail_radius=0.1, prismatic=0.62),
    "sears-haack": sears_haack(),
    "pointed table": tabulated(_X, 4.0 * _X * (1.0 - _X)),
    "blunt table": tabulated([0.0, 0.02, 0.1, 0.3, 0.6, 0.9, 1.0], [0.0, 0.3, 0.7, 1.0, 0.85, 0.4, 0.2]),
}
DIAMETER = 0.04
calm = settings(deadline=None, database=None, derandomize=True, max_examples=60)


@lru_cache(maxsize=256)
def body_for(name, fineness, tail, k):
    return turned_body(
        PROFILES[name], diameter=DIAMETER, tail_diameter=tail * DIAMETER, fineness=fineness, width_to_height=k
    )


def grown(body, distance):
    return parallel_volume(body_volume(body), body_surface(body), distance)


def meshed(body, distance, chord_error, *, compensated=True):
    volume = grown(body, distance).volume
    return body_mesh(body, distance=distance, volume=volume, chord_error=chord_error, compensated=compensated)


@calm
@given(
    name=st.sampled_from(sorted(PROFILES)),
    fineness=st.floats(2.5, 15.0),
    tail=st.sampled_from([0.08, 0.1, 0.35]),
    k=st.sampled_from([0.4, 0.8, 1.0, 1.6, 3.0]),
    distance=st.sampled_from([0.0, 2e-4, 2e-3, -2e-4]),
)
def test_every_mesh_is_closed_wound_one_way_and_of_the_true_volume(name, fineness, tail, k, distance):
    body = body_for(name, fineness, tail, k)
    mesh = meshed(body, distance, 2e-4)
    assert closed_faults(mesh.triangles) == 0
    true = grown(body, distance)
    volume, centroid = mesh_volume_and_centroid(mesh.vertices, mesh.triangles)
    assert volume == pytest.approx(true.volume, rel=1e-12)
    assert centroid[0] == pytest.approx(true.centroid_x, abs=2e-4)
    assert centroid[1:] == pytest.approx([0.0, 0.0], abs=1e-12)
    # No point is left over, and none stands twice.
    assert len(np.unique(mesh.triangles)) == len(mesh.vertices)
    assert len(np.unique(mesh.vertices, axis=0)) == len(mesh.vertices)


@calm
@given(
    name=st.sampled_from(["naca4", "spheroid", "series58", "sears-haack", "pointed table"]),
    fineness=st.floats(3.0, 8.0),
    k=st.sampled_from([0.6, 1.0, 2.0]),
    distance=st.sampled_from([0.0, 3e-4]),
)
def test_a_tail_that_is_not_cut_closes_in_a_point(name, fineness, k, distance):
    body = body_for(name, fineness, 0.0, k)
    mesh = meshed(body, distance, 2e-4)
    assert closed_faults(mesh.triangles) == 0
    volume, _ = mesh_volume_and_centroid(mesh.vertices, mesh.triangles)
    assert volume == pytest.approx(grown(body, distance).volume, rel=1e-12)


# --- convergence ---------------------------------------------------------------------------------


def area_of(mesh):
    corners = mesh.vertices[mesh.triangles]
    crossed = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    return 0.5 * float(np.sum(np.linalg.norm(crossed, axis=1)))


def farthest(body, mesh):
    """Largest distance of the mesh's corners, edge centres and facet centres from the true surface. [m]

    The distance is F / |grad F| to first order, with F = r^2(x) - y^2 / k - k z^2. End faces are not counted.
    """
    corners = mesh.vertices[mesh.triangles]
    points = np.concatenate(
        [
            mesh.vertices,
            corners.mean(axis=1),
            *(0.5 * (corners[:, i] + corners[:, (i + 1) % 3]) for i in range(3)),
        ]
    )
    points = points[(points[:, 0] > 0.02 * body.length) & (points[:, 0] < 0.995 * body.length)]
    x, y, z = points.T
    k = body.width_to_height
    r2, slope = body.squared_radius(x)
    value = r2 - y * y / k - k * z * z
    size = np.sqrt(slope**2 + 4.0 * (y / k) ** 2 + 4.0 * (k * z) ** 2)
    return float(np.max(np.abs(value) / size))


CONVERGING = [("naca4", 6.0, 1.0), ("spheroid", 4.0, 1.0), ("series58", 5.0, 0.5), ("naca4mod 40", 7.0, 2.5)]


def chord_error_for(body, distance, facets):
    """Chord error that gives the body exactly the given number of facets, so that doubling the number is exact."""
    widest = 0.5 * max(body.width, body.height) + abs(distance)
    return widest * (1.0 - math.cos(math.pi / facets)) * (1.0 + 1e-9)


@pytest.mark.parametrize(("name", "fineness", "k"), CONVERGING)
@pytest.mark.parametrize("distance", [0.0, 4e-4])
def test_plain_facets_lose_volume_at_second_order(name, fineness, k, distance):
    body = body_for(name, fineness, 0.1, k)
    true = grown(body, distance).volume
    lost = []
    for facets in (48, 96):
        mesh = meshed(body, distance, chord_error_for(body, distance, facets), compensated=False)
        lost.append(true - mesh_volume_and_centroid(mesh.vertices, mesh.triangles)[0])
    assert lost[1] > 0.0
    assert lost[0] / lost[1] == pytest.approx(4.0, rel=0.10)


@pytest.mark.parametrize(("name", "fineness", "k"), CONVERGING)
def test_compensated_facets_come_to_area_and_surface_at_second_order(name, fineness, k):
    body = body_for(name, fineness, 0.1, k)
    area = body_surface(body).area
    off, far = [], []
    for facets in (48, 96):
        mesh = meshed(body, 0.0, chord_error_for(body, 0.0, facets))
        off.append(abs(area_of(mesh) - area))
        far.append(farthest(body, mesh))
    assert off[0] / off[1] == pytest.approx(4.0, rel=0.10)
    assert far[0] / far[1] == pytest.approx(4.0, rel=0.10)


@pytest.mark.parametrize(("name", "fineness", "k"), CONVERGING)
@pytest.mark.parametrize("distance", [0.0, 4e-4])
def test_the_mass_centre_of_compensated_facets_comes_in_at_second_order_at_least(name, fineness, k, distance):
    # The factor on the radius takes most of its error out, and on some bodies still more as rings are
    # added: never less than second order.
    body = body_for(name, fineness, 0.1, k)
    true = grown(body, distance).centroid_x
    off = []
    for facets in (96, 192):
        mesh = meshed(body, distance, chord_error_for(body, distance, facets))
        off.append(abs(float(mesh_volume_and_centroid(mesh.vertices, mesh.triangles)[1][0]) - true))
    assert off[0] / off[1] >= 3.6
    assert off[0] <= 0.2 * chord_error_for(body, distance, 96)


@calm
@given(
    name=st.sampled_from(sorted(PROFILES)),
    fineness=st.floats(3.0, 12.0),
    k=st.sampled_from([0.5, 1.0, 2.5]),
)
def test_no_facet_of_a_body_is_farther_off_than_the_chord_error_allowed(name, fineness, k):
    body = body_for(name, fineness, 0.1, k)
    allowed = 1e-4
    mesh = meshed(body, 0.0, chord_error_used(0.080, allowed))
    assert farthest(body, mesh) <= allowed


@pytest.mark.parametrize("distance", [3e-4, -3e-4])
@pytest.mark.parametrize("name", ["naca4", "spheroid", "series58", "sears-haack"])
def test_no_facet_of_a_layer_on_a_turned_body_is_farther_off_than_the_chord_error_allowed(name, distance):
    # The distance of a point from a fine meridian, in the plane through the axis; the tail's end left out.
    body = body_for(name, 6.0, 0.1, 1.0)
    allowed = 2e-5
    mesh = meshed(body, distance, chord_error_used(0.080, allowed))
    corners = mesh.vertices[mesh.triangles]
    points = np.concatenate([mesh.vertices, corners.mean(axis=1), 0.5 * (corners[:, 0] + corners[:, 1])])
    flat = np.unique(
        np.round(np.stack([points[:, 0], np.hypot(points[:, 1], points[:, 2])], axis=1), 9), axis=0
    )
    flat = flat[flat[:, 0] < 0.99 * body.length]
    phi = np.linspace(0.0, 2.0 * math.asin(math.sqrt(body.cut)), 20001)
    x = body.uncut_length * np.sin(0.5 * phi) ** 2
    r = body.radius(x)
    worst = 0.0
    for point in flat:
        # The foot of the shortest way lies near in x: a window of the meridian is enough.
        near = slice(*np.searchsorted(x, [point[0] - 0.004, point[0] + 0.004]))
        gap = np.min(np.hypot(x[near] - point[0], r[near] - point[1]))
        worst = max(worst, abs(gap - abs(distance)))
    assert worst <= allowed
