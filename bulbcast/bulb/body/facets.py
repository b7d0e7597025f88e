"""Watertight facets of the turned body and its parallel surfaces, with the exact volume and without a mesh kernel.

The number of facets follows from the largest allowed chord error. Each ring has the equal-area radius, which is the
radius of an n-gon with the circle's area. An ellipse is the affine image of a circle, so one factor is enough. A further
factor on the radius of the complete mesh gives it the true volume. The volume that an inscribed polyhedron lacks is thus
made up both round the hoop and along the meridian.

The chord error is an upper bound. Facets use 0.7 of it, and less on bulbs below 80 mm diameter, so a solid agrees with
the quadrature equally well at every size.
"""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np

from bulbcast.bulb.body.turned import TurnedBody
from bulbcast.solids.mesh import Mesh, mesh_volume_and_centroid
from bulbcast.solids.quadrature import Array

_SMALLEST_HOOP, _SMALLEST_MERIDIAN = 24, 24
LARGEST_FACET_COUNT = 4_000_000


class TooManyFacetsError(ValueError):
    """Raised if the requested chord error needs more facets than can be handled.

    Attributes:
        facets: Number of facets that would be needed.
        asked: The requested chord error. [m]
        chord_error: The smallest chord error that is possible. [m]
    """

    def __init__(self, facets: int, asked: float) -> None:
        # The number of facets is inversely proportional to the chord error, half of it from the hoop and half from the
        # meridian.
        self.facets = facets
        self.asked = asked
        self.chord_error = asked * facets / LARGEST_FACET_COUNT
        super().__init__(f"a chord error of {asked:g} m needs {facets} facets; use {self.chord_error:g} m")


def equal_area_factor(count: int) -> float:
    """Ratio of a regular n-gon's corner radius to the radius of the circle of the same area. [-]"""
    angle = 2.0 * math.pi / count
    return math.sqrt(angle / math.sin(angle))


# Cut facets differ from the smooth surface by a fraction of their chord error, and so does the volume of the cut. Below
# this diameter the chord error shrinks with the bulb, so that a solid agrees with the quadrature equally well at every
# size.
_FULL_CHORD_ERROR_FROM = 0.080

# The two factors that give a mesh its true volume push corners out by two thirds of the hoop's chord error and two thirds
# of the meridian's. With this fraction of the allowed error, both stay within it.
_SHARE_OF_ALLOWANCE = 0.7


def chord_error_used(diameter: float, chord_error: float) -> float:
    """Chord error used to make the facets; it never exceeds the allowed chord error.

    Args:
        diameter: Diameter of the bulb. [m]
        chord_error: Largest chord error allowed. [m]
    """
    return _SHARE_OF_ALLOWANCE * chord_error * min(1.0, diameter / _FULL_CHORD_ERROR_FROM)


def hoop_count(radius: float, chord_error: float) -> int:
    """Number of facets round a circle that keeps the sagitta within a limit; a multiple of 4.

    The number before rounding up is pi / acos(1 - error / radius).

    Args:
        radius: Radius of the circle. [m]
        chord_error: Largest distance from chord to arc. [m]
    """
    share = min(chord_error / radius, 1.0)
    count = math.pi / math.acos(1.0 - share) if share < 1.0 else 0.0
    return max(_SMALLEST_HOOP, 4 * math.ceil(count / 4.0))


def _meridian_phi(body: TurnedBody, chord_error: float, distance: float) -> Array:
    """Angles phi of the rings, spaced to keep each chord of the meridian within the chord error.

    The count is the integral of sqrt(curvature / (8 error)) along the arc. On a parallel surface, the arc is longer by
    the distance times the angle through which the meridian turns, so a pointed nose becomes rounded.
    """
    end = 2.0 * math.asin(math.sqrt(body.cut))
    fine = np.unique(np.concatenate([np.linspace(0.0, end, 4001), end * np.linspace(0.0, 1.0, 1001) ** 3]))
    # Two stations that differ only by rounding would have a meaningless direction between them.
    fine = fine[np.concatenate([[True], np.diff(fine) > 1e-10 * end])]
    fine[-1] = end
    xi = np.sin(0.5 * fine) ** 2
    # The flatter axis of an elliptical section curves most: its radius decides.
    widest = max(math.sqrt(body.width_to_height), 1.0 / math.sqrt(body.width_to_height))
    x = xi * body.uncut_length
    r = widest * 0.5 * body.diameter * body.profile.radius(xi)
    dx, dr = np.diff(x), np.diff(r)
    turn = np.abs(np.diff(np.unwrap(np.arctan2(dr, dx))))
    turn = np.append(turn, turn[-1])
    arc = np.hypot(dx, dr) + abs(distance) * turn
    # The curvature between neighbours belongs to the point they share; the nose gets half of it.
    bend = 0.5 * (np.concatenate([turn[:1], turn[:-1]]) + turn)
    need = np.concatenate([[0.0], np.cumsum(np.sqrt(bend * arc))]) / math.sqrt(8.0 * chord_error)
    # A straight stretch would need no rings, so a tenth of the rings are spread by length.
    length = np.concatenate([[0.0], np.cumsum(arc)])
    need = need + 0.1 * need[-1] * length / length[-1]
    count = max(_SMALLEST_MERIDIAN, math.ceil(float(need[-1])))
    phi: Array = np.interp(np.linspace(0.0, float(need[-1]), count + 1), need, fine)
    phi[0], phi[-1] = 0.0, end
    # The cap makes the turn at a point; rings closer to it than this could not be distinguished from the cap.
    kept: Array = phi[(phi == 0.0) | (phi > 3e-5 * end)]
    return kept


def body_mesh(
    body: TurnedBody,
    *,
    distance: float,
    volume: float,
    chord_error: float,
    centroid_x: float | None = None,
    compensated: bool = True,
) -> Mesh:
    """Facets of the body's parallel surface at a given distance, with the tail face closed.

    Args:
        body: The lead body.
        distance: Distance of the surface from the body. Positive is outwards, with rounded edges; negative is inwards,
            with a sharp tail edge; 0 is the body itself. [m]
        volume: True volume, to which the mesh is adjusted. [m3]
        chord_error: Largest allowed distance between facet and surface. [m]
        centroid_x: True x of the centroid. If given, rings are set closer together until the mesh's centroid is within
            half the chord error of it; a very long body needs this. [m]
        compensated: Whether to give the mesh the true volume; otherwise the facets are simply inscribed.

    Returns:
        A watertight mesh, in bulb axes.

    Raises:
        TooManyFacetsError: More facets than `LARGEST_FACET_COUNT` would be needed.
    """
    meridian_error = chord_error
    while True:
        mesh = _mesh_of(body, distance, volume, chord_error, meridian_error, compensated)
        if centroid_x is None:
            return mesh
        _, centroid = mesh_volume_and_centroid(mesh.vertices, mesh.triangles)
        if abs(float(centroid[0]) - centroid_x) <= 0.5 * chord_error or meridian_error < 0.02 * chord_error:
            return mesh
        meridian_error *= 0.5


def _mesh_of(
    body: TurnedBody,
    distance: float,
    volume: float,
    chord_error: float,
    meridian_error: float,
    compensated: bool,
) -> Mesh:
    widest = 0.5 * max(body.width, body.height) + abs(distance)
    hoop = hoop_count(widest, chord_error)
    phi = _meridian_phi(body, meridian_error, distance)
    facets = 2 * hoop * len(phi)
    if facets > LARGEST_FACET_COUNT:
        raise TooManyFacetsError(facets, chord_error)
    angle = 2.0 * math.pi * np.arange(hoop) / hoop
    rings, nose, tail = _rings(body, phi, angle, distance, chord_error)
    if compensated:
        rings[..., 1:] *= equal_area_factor(hoop)
    mesh = _lofted(rings, nose, tail)
    if not compensated:
        return mesh
    inscribed, _ = mesh_volume_and_centroid(mesh.vertices, mesh.triangles)
    scale = np.array([1.0, math.sqrt(volume / inscribed), math.sqrt(volume / inscribed)])
    return Mesh(vertices=mesh.vertices * scale, triangles=mesh.triangles)


def _rings(
    body: TurnedBody, phi: Array, angle: Array, distance: float, chord_error: float
) -> tuple[Array, Array, Array]:
    """Rings of points from nose to tail, shape (rings, hoop, 3), and the two end points."""
    a = math.sqrt(body.width_to_height)
    cosine, sine = np.cos(angle), np.sin(angle)

    def points(at: Array, offset: float) -> Array:
        x = body.uncut_length * np.sin(0.5 * at) ** 2
        r2, slope = body.squared_radius(x)
        r = np.sqrt(np.maximum(r2, 0.0))
        ny, nz = r * cosine / a, r * sine * a
        nx = -0.5 * slope + 0.0 * angle
        size = offset / np.sqrt(nx * nx + ny * ny + nz * nz)
        return np.stack([x + size * nx, a * r * cosine + size * ny, r * sine / a + size * nz], axis=-1)

    start = phi[1:, None] + 0.0 * angle
    side = points(start, distance)
    nose = np.array([-distance, 0.0, 0.0])
    first_slope = _end_slope(body, at_nose=True)
    rings = [side]
    if distance > 0.0:
        if math.isfinite(first_slope):
            rings.insert(0, _nose_cap(first_slope, angle, a, distance, chord_error))
        rings.append(_edge_rings(body, angle, distance, chord_error))
    elif distance < 0.0:
        side, nose = _trimmed_inside(body, points, phi, angle, distance)
        rings = [side]
    tail = np.array([body.length + distance, 0.0, 0.0])
    if body.tail_radius <= 1e-12 and distance <= 0.0:
        # A closed tail: the last ring has shrunk to the point itself.
        rings[-1] = rings[-1][:-1]
    return np.concatenate([ring for ring in rings if len(ring)]), nose, tail


def _end_slope(body: TurnedBody, *, at_nose: bool) -> float:
    """dr/dx at the nose: finite for a pointed nose, infinite for a round one."""
    tiny = 1e-12 * body.uncut_length
    r2, _ = body.squared_radius(np.array([tiny if at_nose else body.length - tiny]))
    slope = math.sqrt(max(float(r2[0]), 0.0)) / tiny
    # A round nose has r ~ sqrt(x), which over so short a distance is a slope of a thousand or more.
    return slope if slope < 1e2 else math.inf


def _nose_cap(slope: float, angle: Array, a: float, distance: float, chord_error: float) -> Array:
    """Rounded cap of a layer over a pointed nose."""
    q = np.sqrt(a**2 * np.sin(angle) ** 2 + np.cos(angle) ** 2 / a**2)
    last = np.arctan2(q, slope)
    steps = max(2, math.ceil(float(np.max(last)) / math.acos(max(1.0 - chord_error / distance, 0.5)) / 2.0))
    share = np.arange(1, steps + 1)[:, None] / steps
    turn = share * last
    across = _outward(angle, a)
    radial = distance * np.sin(turn)
    return np.stack([-distance * np.cos(turn), radial * across[0], radial * across[1]], axis=-1)


def _outward(angle: Array, a: float) -> tuple[Array, Array]:
    """Unit outward normal of the section's ellipse, in the plane of the section."""
    ny, nz = np.cos(angle) / a, np.sin(angle) * a
    length = np.hypot(ny, nz)
    return ny / length, nz / length


def _edge_rings(body: TurnedBody, angle: Array, distance: float, chord_error: float) -> Array:
    """Rings round the tail's edge, turning from the normal of the side to the normal of the face."""
    a = math.sqrt(body.width_to_height)
    r = body.tail_radius
    _, slope2 = body.squared_radius(np.array([body.length]))
    r_slope = 0.5 * float(slope2[0]) / r if r > 1e-12 else -math.inf
    q = np.sqrt(a**2 * np.sin(angle) ** 2 + np.cos(angle) ** 2 / a**2)
    first = np.arctan2(-r_slope, q) if math.isfinite(r_slope) else np.full_like(q, 0.5 * math.pi)
    sweep = 0.5 * math.pi - first
    widest = float(np.max(sweep))
    if widest < 1e-9:
        return np.zeros((0, len(angle), 3))
    steps = max(2, math.ceil(widest / (2.0 * math.acos(max(1.0 - chord_error / distance, 0.5)))))
    share = np.arange(1, steps + 1)[:, None] / steps
    turn = first + share * sweep
    if r <= 1e-12:
        turn = turn[:-1]
    ny, nz = _outward(angle, a)
    radial = distance * np.cos(turn)
    return np.stack(
        [
            body.length + distance * np.sin(turn),
            a * r * np.cos(angle) + radial * ny,
            r * np.sin(angle) / a + radial * nz,
        ],
        axis=-1,
    )


def _trimmed_inside(
    body: TurnedBody,
    points: Callable[[Array, float], Array],
    phi: Array,
    angle: Array,
    distance: float,
) -> tuple[Array, Array]:
    """Rings of an inner parallel surface, from its own nose to the tail face, which is moved inwards as well."""
    face = body.length + distance
    fine = np.linspace(phi[1] * 1e-3, phi[-1], 2001)
    outline = points(fine[:, None] + 0.0 * angle, distance)
    # Past a sharp nose an inner surface folds over: start where it has a radius.
    radius = outline[:, :, 1] * np.cos(angle) + outline[:, :, 2] * np.sin(angle)
    open_rows = np.flatnonzero(np.all(radius > 0.0, axis=1))
    start = float(fine[open_rows[0]]) if open_rows[0] > 0 else 0.0
    nose_x = -distance if start == 0.0 else float(np.mean(outline[open_rows[0], :, 0]))
    low, high = np.full_like(angle, start), np.full_like(angle, float(phi[-1]))
    for _ in range(60):
        middle = 0.5 * (low + high)
        beyond = points(middle[None, :], distance)[0, :, 0] > face
        low, high = np.where(beyond, low, middle), np.where(beyond, middle, high)
    share = (phi[1:] / phi[-1])[:, None]
    rings = points(start + share * (low - start), distance)
    rings[-1, :, 0] = face
    return rings, np.array([nose_x, 0.0, 0.0])


def _lofted(rings: Array, nose: Array, tail: Array) -> Mesh:
    """Triangles between neighbouring rings, with a fan at the nose and another at the tail."""
    count, hoop = rings.shape[:2]
    vertices = np.concatenate([nose[None, :], rings.reshape(-1, 3), tail[None, :]])
    j = np.arange(hoop)
    following = (j + 1) % hoop
    fans = [np.stack([np.zeros(hoop, dtype=np.int64), 1 + following, 1 + j], axis=1)]
    base = 1 + hoop * np.arange(count - 1)[:, None]
    first, second = base + j, base + following
    third, fourth = first + hoop, second + hoop
    fans.append(np.stack([first, second, third], axis=-1).reshape(-1, 3))
    fans.append(np.stack([second, fourth, third], axis=-1).reshape(-1, 3))
    last = 1 + hoop * (count - 1)
    end = np.full(hoop, len(vertices) - 1)
    fans.append(np.stack([end, last + j, last + following], axis=1))
    return Mesh(vertices=vertices, triangles=np.concatenate(fans).astype(np.int64))
