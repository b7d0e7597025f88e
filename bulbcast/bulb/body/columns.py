"""Columns through the body along the fin's axis, and the points at which each column enters and leaves the lead.

Pocket and screw holes run along the raked axis of the fin, so every cut is a bundle of columns. A column is identified
by the point (s, y) where it crosses the height of the pocket floor; at height z it is at x = s - tan(rake) (z - floor).
This shear preserves volume: dV = ds dy dz.
"""

from __future__ import annotations

import numpy as np

from bulbcast.bulb.body.pieces import Axis, Piece
from bulbcast.bulb.body.turned import TurnedBody
from bulbcast.solids.quadrature import Array

_NEWTON_STEPS = 60


def piece_of_columns(axis: Axis, s: Array, bottom: Array, top: Array, area: Array) -> Piece:
    """Sum of columns between two heights.

    Args:
        axis: Direction of the columns, and the height at which `s` is measured.
        s: x of each column at the floor, broadcastable with the heights. [m]
        bottom: Lower end of each column; a column whose bottom is above its top counts as negative. [m]
        top: Upper end of each column. [m]
        area: Horizontal area that each column represents. [m2]

    Returns:
        Volume and moments.
    """
    middle = 0.5 * (bottom + top)
    part = area * (top - bottom)
    return Piece(
        volume=float(part.sum()),
        moment_x=float((part * (s - axis.shift * (middle - axis.floor))).sum()),
        moment_z=float((part * middle).sum()),
    )


def through(body: TurnedBody, axis: Axis, s: Array, y: Array) -> tuple[Array, Array]:
    """Heights at which columns enter and leave the lead body.

    Args:
        body: The lead body.
        axis: Direction of the columns, and the height at which `s` is measured.
        s: x of each column at the floor, broadcastable with `y`. [m]
        y: Offset of each column to starboard. [m]

    Returns:
        Lowest and highest z of each column inside the body, broadcast shape; the lowest is above the highest if the
        column misses the body. [m]
    """
    k = body.width_to_height
    if axis.shift == 0.0:
        r2, _ = body.squared_radius(s)
        outside = (np.asarray(s) < 0.0) | (np.asarray(s) > body.length)
        inside = np.where(outside, -1.0, r2) - np.asarray(y) ** 2 / k
        half = np.sqrt(np.maximum(inside, 0.0) / k)
        miss = inside < 0.0
        return np.where(miss, 1.0, -half), np.where(miss, -1.0, half)
    return _through_raked(body, axis, *np.broadcast_arrays(s, y))


def _through_raked(body: TurnedBody, axis: Axis, s: Array, y: Array) -> tuple[Array, Array]:
    """Newton's method from outside on G(z) = r^2(x(z)) - y^2/k - k z^2, which is concave throughout.

    r^2 of a bulb is concave or only slightly convex. Its curvature is multiplied by the square of the shift, and the
    curvature of -k z^2 outweighs it. G therefore has one hump, and Newton's steps from outside approach the root
    without passing it.
    """
    k, t = body.width_to_height, axis.shift
    across = y * y / k
    sides = np.array([-1.0, 1.0]).reshape(2, *(1,) * s.ndim)

    def hump(z: Array) -> tuple[Array, Array]:
        r2, slope = body.squared_radius(s - t * (z - axis.floor))
        return r2 - across - k * z * z, -t * slope - 2.0 * k * z

    # Both ends are found together, because a small array costs as much as one twice its size.
    far = np.broadcast_to(0.5 * body.height * sides, (2, *np.shape(s)))
    # The tangent to r^2 at the bulb's axis is above a concave curve, so its roots are outside and close.
    axial, lean = hump(np.zeros(np.shape(s)))
    reach = lean * lean + 4.0 * k * axial
    ends = np.where(reach > 0.0, (lean + sides * np.sqrt(np.maximum(reach, 0.0))) / (2.0 * k), far)
    miss = np.zeros(np.shape(s), dtype=np.bool_)
    for step in range(_NEWTON_STEPS):
        value, slope = hump(ends)
        if step == 0 and (value > 0.0).any():
            # If r^2 is convex the tangent was inside, so start from far outside instead.
            ends = np.where(value > 0.0, far, ends)
            continue
        short = value < 0.0
        # Outside the hump and going down, there is no root ahead and the column misses the body.
        miss |= (short & (sides * slope >= 0.0)).any(axis=0)
        with np.errstate(divide="ignore", invalid="ignore"):
            move = np.where(short & ~miss, -value / slope, 0.0)
        ends = ends + move
        miss |= ends[0] > ends[1]
        change = float(np.max(np.where(miss, 0.0, move[0] - move[1]), initial=0.0))
        # Each step squares the error, so after one this small the next is below rounding.
        if change <= 1e-9 * body.diameter:
            break
    low, high = ends
    # The tail face: x(z) <= length. A column leaning forward as it rises is inside above it.
    with np.errstate(over="ignore"):
        # A rake close to zero puts both out of reach, which is correct.
        face = axis.floor + (s - body.length) / t
        nose = axis.floor + s / t
    low = np.maximum(low, np.minimum(face, nose))
    high = np.minimum(high, np.maximum(face, nose))
    miss |= low > high
    return np.where(miss, 1.0, low), np.where(miss, -1.0, high)


def grown_top(
    body: TurnedBody, axis: Axis, s: Array, y: Array, distance: float, *, underside: bool = False
) -> Array:
    """Heights at which columns leave the parallel surface at a given distance from the body, ignoring the tail face.

    Args:
        body: The lead body.
        axis: Direction of the columns, and the height at which `s` is measured.
        s: x of each column at the floor, broadcastable with `y`. [m]
        y: Offset of each column to starboard. [m]
        distance: Distance of the parallel surface, outwards positive, small compared with the body. [m]
        underside: Whether to use the lower surface instead of the upper one.

    Returns:
        z of the point where each column leaves, broadcast shape; nan if the column misses the surface. [m]
    """
    # Search for the foot of the normal: foot + distance * normal must lie on the column. In each iteration the column is
    # cut by the tangent plane there and the foot is moved by the difference. The error falls by the ratio of distance to
    # radius of curvature, and its square remains in the height.
    side = -1.0 if underside else 1.0
    k, t = body.width_to_height, axis.shift
    s, y = np.broadcast_arrays(np.asarray(s, dtype=np.float64), np.asarray(y, dtype=np.float64))
    z = np.full_like(s, side * 0.5 * body.height)
    level_s = s + t * axis.floor
    foot_x, foot_y = level_s - t * z, y
    # A column that misses the surface ends in nan, and is recognised below.
    with np.errstate(divide="ignore", invalid="ignore"):
        for _ in range(_NEWTON_STEPS):
            r2, slope = body.squared_radius(foot_x)
            # Normal of r^2(x) - y^2/k - k z^2 = 0, outwards, at the foot's height nz / k.
            square = np.maximum(k * r2 - foot_y * foot_y, 0.0)
            nx, ny, nz = -0.5 * slope, foot_y / k, side * np.sqrt(square)
            scale = distance / np.sqrt(nx * nx + ny * ny + square)
            move_x, move_y = level_s - foot_x - scale * nx, y - foot_y - scale * ny
            z = (nz * nz * (1.0 / k + scale) - nx * move_x - ny * move_y) / (nz - t * nx)
            move_x = move_x - t * z
            foot_x, foot_y = foot_x + move_x, foot_y + move_y
            moved = np.abs(move_x) + np.abs(move_y)
            # The largest value that is a number, if there is one.
            if float(np.fmax.reduce(moved, axis=None, initial=0.0)) <= 1e-6 * body.diameter:
                break
    found = (nz != 0.0) & (foot_x >= 0.0) & (foot_x <= body.length)
    return np.where(found, z, np.nan)
