"""Sections and silhouettes of the lead body's parallel surface, on which templates and turning are based.

The pattern is a scaled parallel surface. Its section square to the axis is an ellipse only if the body is round or the
distance is zero. Otherwise each point of the section is offset from a point of the body a little forward or aft of the
section, and that point has to be found. Bulb axes, as in `turned.py`.
"""

from __future__ import annotations

import math

import numpy as np

from bulbcast.bulb.body.turned import TurnedBody
from bulbcast.solids.quadrature import Array

_HALVINGS = 48

# A parallel surface nearer than this is the body itself. [m]
_NOTHING = 1e-12
_FEWEST, _MOST = 48, 6144


def reach(body: TurnedBody, distance: float) -> tuple[float, float]:
    """The range of x over which the parallel surface has complete sections, excluding the tail's rim.

    Args:
        body: The lead body.
        distance: Distance of the parallel surface, positive outwards. [m]

    Returns:
        x of the surface's nose, and x at which the rim of its tail face begins. [m]
    """
    along, _ = _normal(body, np.array([body.length]), np.array([0.0, 0.5 * math.pi]))
    if distance < 0.0:
        # The face moves forward by the distance and cuts the surface off square.
        return -distance, body.length + distance
    return -distance, body.length + distance * float(np.min(along))


def section_across(body: TurnedBody, distance: float, x: Array, angle: Array) -> Array:
    """Points of the parallel surface in planes square to the axis.

    Args:
        body: The lead body.
        distance: Distance of the parallel surface, positive outwards. [m]
        x: x of the planes, within `reach`, shape (m,). [m]
        angle: Angle on the ellipse of the body point from which each point is offset, shape (n,); 0 is starboard and a
            quarter turn is the crown. [rad]

    Returns:
        y and z, shape (m, n, 2). [m]

    Raises:
        ValueError: A plane is outside the surface.
    """
    x = np.asarray(x, dtype=np.float64)
    low, high = reach(body, distance)
    slack = 1e-12 * body.length
    if np.any(x < low - slack) or np.any(x > high + slack):
        raise ValueError(f"planes must be between {low:g} and {high:g} m")
    wanted = np.broadcast_to(x[:, None], (len(x), len(angle)))
    wide = math.sqrt(body.width_to_height)
    if abs(distance) < _NOTHING:
        radius = body.radius(wanted)
        return np.stack([wide * radius * np.cos(angle), radius / wide * np.sin(angle)], axis=-1)
    # As a function of the angle along the length a round nose is smooth, so bisection works there too.
    start = np.zeros(len(angle)) if distance > 0.0 else _inner_nose(body, distance, angle)
    fore = np.broadcast_to(start, wanted.shape)
    aft = np.full(wanted.shape, 2.0 * math.asin(math.sqrt(body.cut)))
    for _ in range(_HALVINGS):
        middle = 0.5 * (fore + aft)
        place = body.uncut_length * np.sin(0.5 * middle) ** 2
        along, _ = _normal(body, place, angle)
        ahead = place + distance * along < wanted
        fore, aft = np.where(ahead, middle, fore), np.where(ahead, aft, middle)
    place = body.uncut_length * np.sin(0.25 * (fore + aft)) ** 2
    radius = body.radius(np.minimum(place, body.length))
    _, outwards = _normal(body, place, angle)
    y = wide * radius * np.cos(angle) + distance * outwards[..., 0]
    z = radius / wide * np.sin(angle) + distance * outwards[..., 1]
    # Ahead of the surface over the body: a ball round a pointed nose, or nothing if inwards.
    along, _ = _normal(body, place, angle)
    short = place + distance * along - wanted
    ball = np.sqrt(np.maximum(distance * distance - wanted * wanted, 0.0)) if distance > 0.0 else 0.0 * wanted
    missing = (short > 1e-9 * body.length) & (place < 1e-6 * body.length if distance > 0.0 else short > 0.0)
    y = np.where(missing, ball * np.cos(angle), y)
    z = np.where(missing, ball * np.sin(angle), z)
    return np.stack([y, z], axis=-1)


def _inner_nose(body: TurnedBody, distance: float, angle: Array) -> Array:
    """The angle along the length at which an inward parallel surface leaves the axis, for each angle round the axis.

    If the nose radius is smaller than the distance, the nose disappears: everything ahead of this angle crosses the
    axis.
    """
    phi = 2.0 * math.asin(math.sqrt(body.cut)) * np.linspace(0.0, 1.0, 401)[:, None] ** 3
    place = body.uncut_length * np.sin(0.5 * phi) ** 2
    _, outwards = _normal(body, place, angle)
    wide = math.sqrt(body.width_to_height)
    radius = body.radius(np.minimum(place, body.length))
    out = (wide * radius * np.cos(angle) + distance * outwards[..., 0]) * np.cos(angle) + (
        radius / wide * np.sin(angle) + distance * outwards[..., 1]
    ) * np.sin(angle)
    crossed = (out <= 0.0) & (place < 0.5 * body.length)
    last = np.where(crossed.any(axis=0), len(phi) - 1 - np.argmax(crossed[::-1], axis=0), 0)
    found: Array = phi[last, 0]
    return found


def half_breadths(body: TurnedBody, distance: float, x: Array) -> tuple[Array, Array]:
    """Half width and half height of the parallel surface.

    Args:
        body: The lead body.
        distance: Distance of the parallel surface, positive outwards. [m]
        x: Distances of the sections from the nose, within `reach`, shape (m,). [m]

    Returns:
        Half width and half height, each of shape (m,); 0 where the body is too thin for an inward surface. [m]
    """
    points = section_across(body, distance, x, np.array([0.0, 0.5 * math.pi]))
    return np.maximum(points[:, 0, 0], 0.0), np.maximum(points[:, 1, 1], 0.0)


def silhouette(body: TurnedBody, distance: float, *, from_above: bool, chord_error: float) -> Array:
    """Half the outline of the parallel surface seen at right angles to its axis, from the nose to the middle of the tail.

    Seen from above or from the side, the outline of a parallel surface is the parallel curve of the outline of the body,
    because the body is symmetrical about the plane of that outline.

    Args:
        body: The lead body.
        distance: Distance of the parallel surface, positive outwards. [m]
        from_above: Whether it is seen from above; otherwise from the side.
        chord_error: Largest distance from the polygon to the curve. [m]

    Returns:
        x and half breadth, shape (n, 2); the first and last points are on the axis. [m]
    """
    if abs(distance) < _NOTHING:
        distance = 0.0
    elif _sharp(body, distance, from_above):
        return _buffered(body, distance, from_above, chord_error)
    end = 2.0 * math.asin(math.sqrt(body.cut))
    angle = np.array([0.0]) if from_above else np.array([0.5 * math.pi])

    def points(phi: Array) -> Array:
        place = np.minimum(body.uncut_length * np.sin(0.5 * phi) ** 2, body.length)
        along, outwards = _normal(body, place[:, None], angle)
        wide = math.sqrt(body.width_to_height)
        half = body.radius(place) * (wide if from_above else 1.0 / wide)
        return np.stack(
            [place + distance * along[:, 0], half + distance * outwards[:, 0, 0 if from_above else 1]], axis=1
        )

    breaks = np.array([2.0 * math.asin(math.sqrt(b)) for b in body.profile.breaks if b < body.cut])
    count = _FEWEST
    while True:
        phi = np.unique(np.concatenate([np.linspace(0.0, end, count + 1), breaks]))
        found = points(phi)
        between = points(0.5 * (phi[1:] + phi[:-1]))
        if count >= _MOST or float(np.max(_off_chord(found, between))) <= chord_error:
            break
        count *= 2
    found[0, 1] = 0.0
    return _with_tail(body, distance, found, chord_error)


def _sharp(body: TurnedBody, distance: float, from_above: bool) -> bool:
    """Whether the nose is so sharp that points moved along the normal leave a gap or cross each other."""
    _, slope = body.squared_radius(np.array([0.0]))
    wide = body.width_to_height if from_above else 1.0 / body.width_to_height
    nose = 0.5 * wide * float(slope[0])
    return nose < (0.05 * distance if distance > 0.0 else -4.0 * distance)


def _buffered(body: TurnedBody, distance: float, from_above: bool, chord_error: float) -> Array:
    """The parallel curve, found by offsetting a fine polygon; this works with corners of any kind."""
    from shapely import Polygon, box

    own = silhouette(body, 0.0, from_above=from_above, chord_error=0.5 * chord_error)
    whole = Polygon(np.vstack([own, own[-2:0:-1] * np.array([1.0, -1.0])]))
    step = 2.0 * math.acos(max(1.0 - 0.5 * chord_error / abs(distance), 0.5))
    grown = whole.buffer(distance, quad_segs=max(4, math.ceil(0.5 * math.pi / step)))
    reach_ = 2.0 * body.length + abs(distance)
    upper = grown.intersection(box(-reach_, 0.0, reach_, reach_))
    ring = np.asarray(upper.exterior.coords)[:-1]
    # From the foremost point of the axis over the body to the aftmost one.
    axis = np.flatnonzero(np.abs(ring[:, 1]) < 1e-15)
    first = axis[np.argmin(ring[axis, 0])]
    ring = np.roll(ring, -int(first), axis=0)
    if ring[1, 1] <= 1e-15 < ring[-1, 1]:
        ring = np.roll(ring[::-1], 1, axis=0)
    last = int(np.flatnonzero(np.abs(ring[:, 1]) < 1e-15)[1])
    return ring[: last + 1].copy()


def _off_chord(points: Array, between: Array) -> Array:
    """Distance of each point from the chord between its neighbours."""
    chord = points[1:] - points[:-1]
    size = np.hypot(chord[:, 0], chord[:, 1])
    away = between - points[:-1]
    cross = np.abs(chord[:, 0] * away[:, 1] - chord[:, 1] * away[:, 0])
    return np.where(size > 0.0, cross / np.where(size > 0.0, size, 1.0), np.hypot(away[:, 0], away[:, 1]))


def _with_tail(body: TurnedBody, distance: float, points: Array, chord_error: float) -> Array:
    """The outline with its tail added: the rim (rounded for an outward surface, otherwise square) and the tail face."""
    face = body.length + distance
    if distance <= 0.0:
        kept = points[points[:, 0] <= face]
        beyond = points[points[:, 0] > face]
        if len(beyond) and len(kept):
            a, b = kept[-1], beyond[0]
            edge = a + (b - a) * (face - a[0]) / (b[0] - a[0])
            kept = np.vstack([kept, edge])
        points = kept
    else:
        rim = points[-1] - (points[-1] - np.array([body.length, 0.0]))  # the tail's middle
        half = points[-1, 1]
        start = math.atan2(half - _tail_half(body, points, distance), points[-1, 0] - body.length)
        steps = max(2, math.ceil(start / (2.0 * math.acos(max(1.0 - chord_error / distance, 0.5)))))
        turn = np.linspace(start, 0.0, steps + 1)[1:]
        centre = np.array([rim[0], _tail_half(body, points, distance)])
        points = np.vstack([points, centre + distance * np.stack([np.cos(turn), np.sin(turn)], axis=1)])
    if points[-1, 1] > 1e-12:
        points = np.vstack([points, [points[-1, 0], 0.0]])
    else:
        points[-1, 1] = 0.0
    return points


def _tail_half(body: TurnedBody, points: Array, distance: float) -> float:
    """Half breadth of the body's tail face, calculated from the last point of the parallel curve."""
    ahead = (points[-1, 0] - body.length) / distance
    return float(points[-1, 1] - distance * math.sqrt(max(1.0 - ahead * ahead, 0.0)))


def _normal(body: TurnedBody, place: Array, angle: Array) -> tuple[Array, Array]:
    """Outward normal at a distance along the body and an angle round the section: its x component and (y, z) components.

    Normal of y^2/k + k z^2 - r^2(x) = 0; at the nose, where r is zero, it points straight forward.
    """
    squared, slope = body.squared_radius(np.minimum(place, body.length))
    radius = np.sqrt(np.maximum(squared, 0.0))
    wide = math.sqrt(body.width_to_height)
    nx = np.broadcast_to(-0.5 * slope, np.broadcast_shapes(np.shape(place), np.shape(angle)))
    ny, nz = radius * np.cos(angle) / wide, wide * radius * np.sin(angle)
    size = np.sqrt(nx * nx + ny * ny + nz * nz)
    size = np.where(size > 0.0, size, 1.0)
    return nx / size, np.stack([ny / size, nz / size], axis=-1)
