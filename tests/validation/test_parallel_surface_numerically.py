"""Parallel surfaces compared with outlines grown by a geometry library and with Steiner's formula for a convex hull.

For a turned body, shapely (GEOS) grows the meridian, and Pappus's theorem gives the volume that it sweeps. For an
elliptical body, Steiner's formula is exact for the convex hull of points on it (scipy, qhull), with half the sum of edge
length times outer angle for the mean curvature. Both include the tail face and its edge.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from scipy.spatial import ConvexHull

from bulbcast.bulb.body.facets import body_mesh
from bulbcast.bulb.body.integrals import body_surface, body_volume, parallel_volume
from bulbcast.bulb.body.profiles import four_digit, sears_haack, series58, spheroid
from bulbcast.bulb.body.turned import turned_body
from bulbcast.solids.mesh import mesh_volume_and_centroid

DIAMETER = 0.04
BODIES = {
    "spheroid, tail cut": turned_body(spheroid(), diameter=DIAMETER, tail_diameter=0.012, fineness=4.0),
    "spheroid, whole": turned_body(spheroid(), diameter=DIAMETER, tail_diameter=0.0, fineness=5.0),
    "four-digit": turned_body(four_digit(), diameter=DIAMETER, tail_diameter=0.004, fineness=6.0),
    "sears-haack": turned_body(sears_haack(), diameter=DIAMETER, tail_diameter=0.005, fineness=7.0),
    "series 58": turned_body(
        series58(max_at=0.4, nose_radius=0.5, tail_radius=0.1, prismatic=0.6),
        diameter=DIAMETER,
        tail_diameter=0.004,
        fineness=5.0,
    ),
}


def meridian(body, count=12001):
    """Points of the meridian from nose to tail edge, more closely spaced at both ends."""
    x = 0.5 * body.length * (1.0 - np.cos(np.linspace(0.0, math.pi, count)))
    x[-1] = body.length
    return x, body.radius(x)


def turned(points):
    """Volume and first moment of the body swept by a polyline turned about the axis, exact for the polyline."""
    x, r = points[:, 0], points[:, 1]
    x0, x1, r0, r1 = x[:-1], x[1:], r[:-1], r[1:]
    dx = x1 - x0
    # int r^2 dx and int x r^2 dx for r and x linear along the piece.
    square = (r0 * r0 + r0 * r1 + r1 * r1) / 3.0
    first = (r0 * r0 * (3 * x0 + x1) + 2 * r0 * r1 * (x0 + x1) + r1 * r1 * (x0 + 3 * x1)) / 12.0
    return math.pi * float(np.sum(square * dx)), math.pi * float(np.sum(first * dx))


def upper_side(polygon):
    """Boundary above the axis, from the foremost point to the aftmost."""
    half = polygon.intersection(shapely.box(-1.0, 0.0, 2.0, 1.0))
    ring = np.array(half.exterior.coords)[:-1]
    if shapely.LinearRing(ring).is_ccw:
        ring = ring[::-1]
    # Clockwise: from the foremost point on the axis over the top to the aftmost.
    start = int(np.argmin(np.where(np.abs(ring[:, 1]) < 1e-12, ring[:, 0], 9.0)))
    ring = np.roll(ring, -start, axis=0)
    end = int(np.argmax(np.where(np.abs(ring[:, 1]) < 1e-12, ring[:, 0], -9.0)))
    return ring[: end + 1]


def whole_outline(x, r):
    return shapely.Polygon(np.concatenate([np.stack([x, r], 1), np.stack([x, -r], 1)[::-1]]))


@pytest.mark.parametrize("distance", [0.0003, 0.002])
@pytest.mark.parametrize("name", ["spheroid, tail cut", "spheroid, whole", "four-digit", "sears-haack"])
def test_a_layer_outwards_is_the_outline_grown_by_a_geometry_library_and_turned(name, distance):
    # Convex outlines only: the library thins out hollow ones before it grows them.
    body = BODIES[name]
    x, r = meridian(body)
    grown = whole_outline(x, r).buffer(distance, quad_segs=400)
    volume, moment = turned(upper_side(grown))
    plain_volume, plain_moment = turned(np.stack([x, r], 1))
    ours = parallel_volume(body_volume(body), body_surface(body), distance)
    inner = body_volume(body)
    # The layers are compared, so that the outline's own chords take 2e-8 of them.
    assert ours.volume - inner.volume == pytest.approx(volume - plain_volume, rel=5e-8)
    assert ours.moment_x - inner.moment_x == pytest.approx(moment - plain_moment, rel=5e-8)


def offset_outline(body, distance, count=200001):
    """Upper side of the moved outline: the meridian moved along its normals, up to the moved tail face.

    The normal is written in terms of r^2 and its slope, so that it is defined at the round nose.
    """
    phi = np.linspace(0.0, 2.0 * math.asin(math.sqrt(body.cut)), count)
    x = body.uncut_length * np.sin(0.5 * phi) ** 2
    r2, slope = body.squared_radius(x)
    r = np.sqrt(np.maximum(r2, 0.0))
    normal = np.stack([-0.5 * slope, r], axis=1)
    normal[0] = -1.0, 0.0  # at a nose with no radius too
    normal /= np.linalg.norm(normal, axis=1, keepdims=True)
    moved = np.stack([x, r], axis=1) + distance * normal
    face = body.length + distance
    kept = moved[(moved[:, 0] < face) & (moved[:, 1] > 0.0)]
    # Where the moved meridian crosses the moved face, on the straight line between its neighbours.
    beyond = moved[len(kept) + 1] if len(kept) + 1 < len(moved) else moved[-1]
    share = (face - kept[-1, 0]) / (beyond[0] - kept[-1, 0])
    edge = kept[-1] + share * (beyond - kept[-1])
    return np.concatenate([[[-distance, 0.0]], kept, [edge]])


@pytest.mark.parametrize("distance", [-0.0001, -0.0004])
@pytest.mark.parametrize("name", ["spheroid, tail cut", "four-digit", "series 58", "sears-haack"])
def test_a_layer_inwards_keeps_the_tails_sharp_edge(name, distance):
    body = BODIES[name]
    volume, moment = turned(offset_outline(body, distance))
    plain_volume, plain_moment = turned(offset_outline(body, -1e-15))
    inner, surface = body_volume(body), body_surface(body)
    ours = parallel_volume(inner, surface, distance)
    # Exact to d^2, since the edge is taken as straight; what is left is below 0.7 |d|^3 on these tails.
    left = 0.7 * abs(distance) ** 3
    assert ours.volume - inner.volume == pytest.approx(volume - plain_volume, abs=left)
    assert ours.moment_x - inner.moment_x == pytest.approx(moment - plain_moment, abs=left * body.length)
    # The edge's own share is far above that: left out, or rounded as outwards, this test would fail.
    assert surface.edge_square * distance**2 > 2.5 * left


# --- elliptical sections ---------------------------------------------------------------------------


def hull_of(body, along, around):
    """Convex hull of points on the body, including the tail edge."""
    end = 2.0 * math.asin(math.sqrt(body.cut))
    x = body.uncut_length * np.sin(0.5 * np.linspace(0.0, end, along + 1)) ** 2
    x[-1] = body.length
    r = body.radius(x)[:, None]
    t = 2.0 * math.pi * (np.arange(around) + 0.5) / around
    a = math.sqrt(body.width_to_height)
    points = np.stack([x[:, None] + 0.0 * t, a * r * np.cos(t), r * np.sin(t) / a], axis=-1).reshape(-1, 3)
    return ConvexHull(points[around - 1 :] if r[0] == 0.0 else points)


def discrete_steiner(hull):
    """Exact V, A and M of a polyhedron, and the first moments of all three along x."""
    points, triangles, normals = hull.points, hull.simplices, hull.equations[:, :3]
    corners = points[triangles]
    crossed = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    area = 0.5 * np.linalg.norm(crossed, axis=1)
    # Flux of (x, 0, 0) and of (x^2 / 2, 0, 0) through the faces.
    x = corners[:, :, 0]
    flux = normals[:, 0] * area
    volume = float(np.sum(flux * x.mean(axis=1)))
    squares = (x**2).sum(axis=1) + x[:, 0] * x[:, 1] + x[:, 1] * x[:, 2] + x[:, 2] * x[:, 0]
    volume_moment = float(np.sum(flux * squares / 12.0))
    curvature = curvature_moment = 0.0
    for side in range(3):
        other = hull.neighbors[:, side]
        first, second = triangles[:, (side + 1) % 3], triangles[:, (side + 2) % 3]
        length = np.linalg.norm(points[first] - points[second], axis=1)
        sine = np.linalg.norm(np.cross(normals, normals[other]), axis=1)
        cosine = np.einsum("ij,ij->i", normals, normals[other])
        # Every edge is met from both of its faces: a quarter each, of length times outer angle.
        share = 0.25 * length * np.arctan2(sine, cosine)
        curvature += float(np.sum(share))
        curvature_moment += float(np.sum(share * 0.5 * (points[first, 0] + points[second, 0])))
    return np.array(
        [
            volume,
            volume_moment,
            float(np.sum(area)),
            float(np.sum(area * x.mean(axis=1))),
            curvature,
            curvature_moment,
        ]
    )


@pytest.mark.parametrize("k", [0.45, 1.0, 2.6])
@pytest.mark.parametrize("profile", [spheroid(), four_digit()], ids=lambda p: p.kind)
def test_volume_area_and_mean_curvature_are_the_limits_of_a_hulls(profile, k):
    body = turned_body(profile, diameter=0.04, tail_diameter=0.008, fineness=4.0, width_to_height=k)
    coarse, fine = (discrete_steiner(hull_of(body, n, n)) for n in (40, 80))
    # Second order in the spacing: a third of the difference once more.
    limit = fine + (fine - coarse) / 3.0
    volume, surface = body_volume(body), body_surface(body)
    ours = [
        volume.volume,
        volume.moment_x,
        surface.area,
        surface.area_moment_x,
        surface.mean_curvature,
        surface.mean_curvature_moment_x,
    ]
    assert ours == pytest.approx(limit, rel=4e-6)
    # The hull's own distance from the limit is what the third is taken of: far larger than what is left.
    assert np.all(np.abs(fine / limit - 1.0)[:4] > 1e-4)


@pytest.mark.parametrize("k", [0.5, 2.4])
def test_a_layer_inwards_on_an_elliptical_body_is_the_limit_of_plain_facets(k):
    # The facets share no code with the integrals: points moved along normals, trimmed at the moved face.
    body = turned_body(four_digit(), diameter=0.04, tail_diameter=0.008, fineness=4.0, width_to_height=k)
    ours = parallel_volume(body_volume(body), body_surface(body), -0.0005)
    found = []
    for chord_error in (0.02e-3, 0.005e-3):
        mesh = body_mesh(body, distance=-0.0005, volume=1.0, chord_error=chord_error, compensated=False)
        found.append(mesh_volume_and_centroid(mesh.vertices, mesh.triangles))
    (coarse, _), (fine, centroid) = found
    # A quarter of the chord error is half the spacing: what is left is a third of the difference, but
    # for counts of facets being whole numbers, a twentieth of what is left.
    limit = fine + (fine - coarse) / 3.0
    assert ours.volume == pytest.approx(limit, rel=5e-5)
    assert fine / limit - 1.0 < -3e-4
    assert ours.centroid_x == pytest.approx(centroid[0], abs=0.005e-3)
