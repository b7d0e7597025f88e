"""Walls of lead left round holes, recesses and the pocket, and their thinnest points.

A wall is the shortest distance from a cut to the lead surface, not counting the mouth of the cut, where every wall
tapers to nothing. Surface that faces within 45 degrees of the direction in which the cut opens is therefore not
counted. A recess opens downwards along its screw, and a pocket upwards along the fin. A hole opens in both directions,
so only surface facing sideways counts.

The lead between a head's seat and the pocket floor must be at least as thick as a wall.
"""

from __future__ import annotations

import math

import numpy as np

from bulbcast.bulb.body.columns import through
from bulbcast.bulb.body.pieces import Axis
from bulbcast.bulb.body.turned import TurnedBody
from bulbcast.bulb.cuts.parts import PocketCut
from bulbcast.fin.tip_section import outline
from bulbcast.quantities.frozen import frozen
from bulbcast.solids.quadrature import Array

_FACING = math.cos(math.radians(45.0))
_ALONG, _AROUND = 61, 41
_MANY = 20
_AT_ONCE = 64
"""Number of surface points compared at once with all points of a pocket, few enough to fit in the processor's cache."""
_ZOOM_POINTS, _ZOOM_STEPS, _ZOOM = 9, 16, 0.55


@frozen
class Wall:
    """The thinnest wall of one cut.

    Attributes:
        thickness: Thickness of the wall; negative if the cut breaks through. [m]
        x: Distance from the nose to the thinnest point on the lead surface. [m]
        y: Distance of the thinnest point to starboard of the centreplane. [m]
        z: Height of the thinnest point above the axis. [m]
    """

    thickness: float
    x: float
    y: float
    z: float


@frozen
class Bore:
    """A cylindrical cut along the fin's axis.

    Attributes:
        at_x: x at which its axis crosses the pocket floor. [m]
        radius: [m]
        low: Lower end along the axis from the floor; minus infinity for a recess. [m]
        high: Upper end. [m]
        opens_up: Whether the upper end is a mouth too, which is true for a hole but not for a recess.
    """

    at_x: float
    radius: float
    low: float
    high: float
    opens_up: bool


def _surface(body: TurnedBody, phi: Array, angle: Array) -> tuple[Array, Array, Array, Array, Array, Array]:
    """Points of the starboard surface and their outward unit normals, at x = L0 sin^2(phi / 2).

    `phi` and `angle` broadcast against each other; x keeps the shape of `phi` alone.
    """
    x = body.uncut_length * np.sin(0.5 * phi) ** 2
    r2, slope = body.squared_radius(x)
    r = np.sqrt(np.maximum(r2, 0.0))
    a = math.sqrt(body.width_to_height)
    cosine, sine = np.cos(angle), np.sin(angle)
    # Normal of r^2 - y^2/k - k z^2, halved: (-r r', y/k, k z).
    across, up = r * cosine, r * sine
    nx, ny, nz = -0.5 * slope, across / a, up * a
    length = np.sqrt(nx * nx + ny * ny + nz * nz)
    length = np.where(length > 0.0, length, 1.0)
    return x, a * across, up / a, nx / length, ny / length, nz / length


def bore_walls(
    body: TurnedBody, axis: Axis, bores: tuple[Bore, ...], *, settled_above: float = math.inf
) -> tuple[Wall, ...]:
    """Thinnest wall of each bore, excluding the tail face.

    Args:
        body: The lead body.
        axis: Direction of the bores and height of the pocket floor.
        bores: Any number of bores.
        settled_above: If all walls are thicker than this on the first grid, they are not refined, and the results are a
            few per cent too thick. This is for a study that only needs to know whether they are thicker. [m]

    Returns:
        The wall of each bore, found on a grid of the surface and refined to about 1e-6 of the diameter.
    """
    if not bores:
        return ()
    end = 2.0 * math.asin(math.sqrt(body.cut))
    count = len(bores)
    # Two minima of nearly equal depth need a fine grid. A coarse one is enough for a study or for a search over many
    # trial bores.
    finer = 1 if count > _MANY or math.isfinite(settled_above) else 2
    along, around = finer * (_ALONG - 1) + 1, finer * (_AROUND - 1) + 1
    phi = np.broadcast_to(np.linspace(0.0, end, along), (count, along))
    angle = np.broadcast_to(np.linspace(-0.5 * math.pi, 0.5 * math.pi, around), (count, around))
    half_phi, half_angle = end / (along - 1), math.pi / (around - 1)
    share = np.linspace(-1.0, 1.0, _ZOOM_POINTS)
    best = np.full(count, math.inf)
    best_phi, best_angle = np.zeros(count), np.zeros(count)
    for step in range(_ZOOM_STEPS):
        # All bores begin with one grid, whose points are calculated once.
        own = slice(None) if step else slice(1)
        distance = _bore_distance(body, axis, bores, phi[own, :, None], angle[own, None, :])
        flat = distance.reshape(count, -1)
        at = np.argmin(flat, axis=1)
        i, j = np.unravel_index(at, distance.shape[1:])
        rows = np.arange(count)
        better = flat[rows, at] < best
        best = np.where(better, flat[rows, at], best)
        best_phi = np.where(better, phi[rows, i], best_phi)
        best_angle = np.where(better, angle[rows, j], best_angle)
        if np.min(best) > settled_above:
            break
        width = 1.5 * _ZOOM**step
        phi = np.clip(best_phi[:, None] + half_phi * width * share, 0.0, end)
        angle = np.clip(best_angle[:, None] + half_angle * width * share, -0.5 * math.pi, 0.5 * math.pi)
    x, y, z, *_ = _surface(body, best_phi, best_angle)
    return tuple(
        Wall(thickness=float(best[i]), x=float(x[i]), y=float(y[i]), z=float(z[i])) for i in range(count)
    )


def _bore_distance(body: TurnedBody, axis: Axis, bores: tuple[Bore, ...], phi: Array, angle: Array) -> Array:
    """Distance of surface points from each bore; infinite where the surface faces the same way as a mouth of that bore."""
    at_x, radius, low, high = (
        np.array([getattr(bore, name) for bore in bores])[:, None, None]
        for name in ("at_x", "radius", "low", "high")
    )
    opens_up = np.array([bore.opens_up for bore in bores])[:, None, None]
    x, y, z, nx, _, nz = _surface(body, phi, angle)
    sine, cosine = math.sin(axis.rake), math.cos(axis.rake)
    along = -(x - at_x) * sine + (z - axis.floor) * cosine
    off = (x - at_x) * cosine + (z - axis.floor) * sine
    side = np.sqrt(off * off + y * y) - radius
    past = np.maximum(np.maximum(low - along, along - high), 0.0)
    distance = np.where(past > 0.0, np.hypot(np.maximum(side, 0.0), past), side)
    up = -nx * sine + nz * cosine
    mouth = (-up > _FACING) | (opens_up & (up > _FACING))
    return np.where(mouth, math.inf, distance)


def pocket_wall(
    body: TurnedBody,
    axis: Axis,
    pocket: PocketCut,
    wanted: float,
    *,
    settled_above: float = math.inf,
    right_through: bool = False,
) -> Wall | None:
    """Thinnest wall of the pocket where the pocket is deeper than the required wall thickness.

    Args:
        body: The lead body.
        axis: Direction of the fin and height of the pocket floor.
        pocket: The pocket.
        wanted: Required wall thickness. The pocket's walls count only below this depth from the lead's upper surface
            and, for a slot right through, above this height from the underside. [m]
        settled_above: As for `bore_walls`. [m]
        right_through: Whether the slot opens below as well as above.

    Returns:
        The wall, found by a search like that in `bore_walls`, over points on the pocket and the surface; None if the
        pocket is not that deep anywhere.
    """
    # The pocket's own wall is a net of points too, dense enough that no part of it is far from a point.
    rough = math.isfinite(settled_above)
    points = outline(pocket.tip, pocket.clearance, along=28 if rough else 160, round_corner=2)
    side = points[points[:, 1] >= 0.0]
    s, y = side[:, 0] + pocket.leading_edge_x, side[:, 1]
    low, high = through(body, axis, s, y)
    bottom = low + wanted if right_through else np.full_like(low, axis.floor)
    deep = (low <= high) & (high - bottom > wanted)
    if not np.any(deep):
        return None
    s, y, high, bottom = s[deep], y[deep], high[deep], bottom[deep]
    # Rows: outline points; columns: levels from the floor up to where the wall required begins.
    share_up = np.linspace(0.0, 1.0, 3 if rough else 9)
    level = bottom[:, None] + share_up * (high - wanted - bottom)[:, None]
    px = (s[:, None] - axis.shift * (level - axis.floor)).ravel()
    py = np.broadcast_to(y[:, None], level.shape).ravel()
    pz = level.ravel()
    net = np.array([px, py, pz])
    low_end, high_end = net.min(axis=1)[:, None], net.max(axis=1)[:, None]
    end = 2.0 * math.asin(math.sqrt(body.cut))
    reach = math.hypot(body.height, body.width)
    near = np.clip(np.array([np.min(px) - reach, np.max(px) + reach]) / body.uncut_length, 0.0, body.cut)
    phi_from, phi_to = 2.0 * np.arcsin(np.sqrt(near))
    phi = np.linspace(phi_from, phi_to, 33)
    angle = np.linspace(-0.5 * math.pi, 0.5 * math.pi, 25)
    half_phi, half_angle = (phi_to - phi_from) / 32.0, math.pi / 24.0
    share = np.linspace(-1.0, 1.0, _ZOOM_POINTS)
    best, best_phi, best_angle = math.inf, 0.0, 0.0
    for step in range(_ZOOM_STEPS):
        x, ys, z, nx, _, nz = _surface(body, phi[:, None], angle[None, :])
        up = -nx * math.sin(axis.rake) + nz * math.cos(axis.rake)
        mouth = (np.abs(up) if right_through else up) > _FACING
        seen = np.flatnonzero(~mouth)
        at = np.array([(one + 0.0 * angle).ravel()[seen] for one in (x, ys, z)])
        # Only points that may be nearer than the best so far, or than the point that is nearest to the box round the pocket.
        box = np.sum(np.maximum(np.maximum(low_end - at, at - high_end), 0.0) ** 2, axis=0)
        first_tried = at[:, np.argsort(box)[:1]]
        bound = np.min(np.sum((first_tried - net) ** 2, axis=0), initial=best) if first_tried.size else best
        seen, at = seen[near := box <= 1.000001 * bound], at[:, near]
        at_x, at_y, at_z = at[:, :, None]
        for first in range(0, len(seen), _AT_ONCE):
            some = slice(first, first + _AT_ONCE)
            gap, part = at_x[some] - px, at_y[some] - py
            gap *= gap
            part *= part
            gap += part
            np.subtract(at_z[some], pz, out=part)
            part *= part
            gap += part
            least = int(np.argmin(gap))
            if gap.flat[least] < best:
                best = float(gap.flat[least])
                i, j = divmod(int(seen[first + least // len(px)]), len(angle))
                best_phi, best_angle = float(phi[i]), float(angle[j])
        if best > settled_above**2:
            break
        width = 1.5 * _ZOOM**step
        phi = np.clip(best_phi + half_phi * width * share, 0.0, end)
        angle = np.clip(best_angle + half_angle * width * share, -0.5 * math.pi, 0.5 * math.pi)
    x, ys, z, *_ = _surface(body, np.array([best_phi]), np.array([best_angle]))
    return Wall(thickness=math.sqrt(best), x=float(x[0]), y=float(ys[0]), z=float(z[0]))
