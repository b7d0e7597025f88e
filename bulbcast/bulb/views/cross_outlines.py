"""Points of the cross sections: lead, pocket, fin and screws cut by a plane.

There are two kinds of plane. A plane square to the bulb's axis at x has coordinates (y, z). A plane along a screw's
raked axis has coordinates (y, distance along the screw from the floor); in these, the hole and recess are plain
rectangles and the pocket has the same width at every height. Results are in mm, arguments in m.
"""

from __future__ import annotations

import math

import numpy as np

from bulbcast.bulb.body.columns import through
from bulbcast.bulb.cuts.parts import ScrewCut
from bulbcast.bulb.hung.ledger import HungBulb
from bulbcast.bulb.views.outlines import contour, half_width_of_outline, runs
from bulbcast.drawing.shapes import Contour
from bulbcast.solids.quadrature import Array

_ROUND = 72


def square_lead(bulb: HungBulb, x: float) -> Contour:
    """Outline of the lead body cut square to its axis."""
    r = float(bulb.body.radius(np.array([x]))[0])
    a = math.sqrt(bulb.body.width_to_height)
    angle = 2.0 * math.pi * np.arange(_ROUND) / _ROUND
    return contour(a * r * np.cos(angle), r / a * np.sin(angle))


def square_fin(bulb: HungBulb, x: float, clearance: float, top: float) -> Contour:
    """Section of the pocket, or of the fin if the clearance is zero, in the plane at x, from the floor up to a given
    height. [m]

    If the fin is raked, the plane cuts it at a different point along the chord at each height.
    """
    level = np.linspace(bulb.axis.floor, top, 40)
    half = half_width_of_outline(bulb.pocket, x + bulb.axis.shift * (level - bulb.axis.floor), clearance)
    pieces = [
        contour(np.concatenate([half[run], -half[run][::-1]]), np.concatenate([level[run], level[run][::-1]]))
        for run in runs(half > 0.0)
    ]
    return pieces[0] if pieces else ()


def square_pocket(bulb: HungBulb, x: float) -> Contour:
    """Section of the pocket inside the lead in the plane at x."""
    outline = square_fin(bulb, x, bulb.pocket.clearance, 0.5 * bulb.body.height)
    return _below_surface(outline, square_lead_top(bulb, x))


def square_lead_top(bulb: HungBulb, x: float) -> tuple[Array, Array]:
    """Half widths and heights of the upper half of the lead in the plane at x, from the side to the top. [mm]"""
    r = 1e3 * float(bulb.body.radius(np.array([x]))[0])
    a = math.sqrt(bulb.body.width_to_height)
    angle = np.linspace(0.0, 0.5 * math.pi, 61)
    return a * r * np.cos(angle), r / a * np.sin(angle)


def _below_surface(outline: Contour, surface: tuple[Array, Array]) -> Contour:
    """Outline of an upright shape that rises from a floor and is cut off at the surface above it."""
    if not outline:
        return ()
    points = np.array(outline)
    floor = float(points[:, 1].min())
    starboard = points[points[:, 0] >= 0.0]
    order = np.argsort(starboard[:, 1], kind="stable")
    level, half = starboard[order, 1], starboard[order, 0]
    width, height = surface[0][::-1], surface[1][::-1]
    y = np.linspace(0.0, float(half.max()), 33)
    top = np.interp(y, width, height, right=-math.inf)
    # The shape at distance y from the centreplane begins where its half width has grown to y.
    reached = np.array([level[half >= at - 1e-9].min(initial=math.inf) for at in y])
    foot = np.maximum(reached, floor)
    inside = top > foot
    if np.count_nonzero(inside) < 2:
        return ()
    y, top, foot = y[inside], top[inside], foot[inside]
    xs = np.concatenate([-y[::-1], y, y[::-1], -y])
    zs = np.concatenate([top[::-1], top, foot[::-1], foot])
    return tuple(zip(xs.tolist(), zs.tolist(), strict=True))


def square_bore(
    bulb: HungBulb,
    x: float,
    screw: ScrewCut,
    radius: float,
    low: float,
    high: float | None,
    ceiling: float = math.inf,
) -> Contour:
    """Section, in the plane at x, of a bore along a screw.

    Args:
        bulb: The sized bulb.
        x: x of the plane, from the nose.
        screw: The screw whose axis it follows.
        radius: Radius of the bore.
        low: Lower end along the axis from the floor; minus infinity for the lead's underside.
        high: Upper end along the axis; None for the horizontal floor.
        ceiling: Greatest height to be drawn.

    Returns:
        The outline; empty if the plane misses the bore. [mm]
    """
    sine, cosine = math.sin(bulb.axis.rake), math.cos(bulb.axis.rake)
    ahead = x - screw.at_x
    if sine == 0.0 and abs(ahead) >= radius:
        return ()
    widest = math.sqrt(radius**2 - ahead**2) if sine == 0.0 else radius
    y = np.linspace(-widest, widest, 33)
    bottom = np.full_like(y, -math.inf)
    top = np.full_like(y, math.inf)
    if sine != 0.0:
        reach = np.sqrt(np.maximum(radius**2 - y * y, 0.0))
        ends = np.sort(np.stack([-reach - ahead * cosine, reach - ahead * cosine]) / sine, axis=0)
        bottom, top = ends[0], ends[1]
    # Levels counted from the floor; along = level cos - ahead sin.
    if math.isfinite(low):
        bottom = np.maximum(bottom, (low + ahead * sine) / cosine)
    else:
        r = float(bulb.body.radius(np.array([x]))[0])
        k = bulb.body.width_to_height
        under = -np.sqrt(np.maximum(r * r - y * y / k, 0.0) / k) - bulb.axis.floor
        bottom = np.maximum(bottom, under)
    top = np.minimum(top, 0.0 if high is None else (high + ahead * sine) / cosine)
    top = np.minimum(top, ceiling - bulb.axis.floor)
    inside = top > bottom
    pieces = [
        contour(
            np.concatenate([y[run], y[run][::-1]]),
            np.concatenate([bottom[run], top[run][::-1]]) + bulb.axis.floor,
        )
        for run in runs(inside)
    ]
    return pieces[0] if pieces else ()


def screw_lead(bulb: HungBulb, at_x: float) -> Contour:
    """Outline of the lead body cut along a screw's axis."""
    widest = 0.5 * bulb.body.width
    low_at, high_at = 0.0, widest * 1.001
    for _ in range(3):  # each round narrows the edge by a factor of a hundred
        y = np.linspace(low_at, high_at, 101)
        low, high = through(bulb.body, bulb.axis, np.full_like(y, at_x), y)
        hit = np.flatnonzero(low <= high)
        if not len(hit):
            return ()
        low_at = float(y[hit[-1]])
        high_at = float(y[min(hit[-1] + 1, 100)])
    y = low_at * np.cos(np.linspace(math.pi, 0.0, _ROUND // 2 + 1))
    low, high = through(bulb.body, bulb.axis, np.full_like(y, at_x), y)
    inside = low <= high
    y, low, high = y[inside], low[inside], high[inside]
    return contour(np.concatenate([y, y[::-1]]), _along(bulb, np.concatenate([high, low[::-1]])))


def _along(bulb: HungBulb, z: Array) -> Array:
    """Distance along the axis, from the floor, of points at a given height. [m]"""
    along: Array = (z - bulb.axis.floor) / math.cos(bulb.axis.rake)
    return along


def screw_pocket(bulb: HungBulb, at_x: float, clearance: float) -> Contour:
    """Outline of the pocket inside the lead, cut along a screw's axis."""
    half = float(half_width_of_outline(bulb.pocket, np.array([at_x]), clearance)[0])
    y = np.linspace(-half, half, 25)
    low, high = through(bulb.body, bulb.axis, np.full_like(y, at_x), y)
    inside = (low <= high) & (high > bulb.axis.floor)
    pieces = [
        contour(
            np.concatenate([y[run], y[run][::-1]]),
            np.concatenate(
                [_along(bulb, np.maximum(low[run], bulb.axis.floor)), _along(bulb, high[run])[::-1]]
            ),
        )
        for run in runs(inside)
    ]
    return pieces[0] if half > 0.0 and pieces else ()


def screw_recess(bulb: HungBulb, screw: ScrewCut, seat: float) -> tuple[Contour, ...]:
    """Outline of a recess cut along its screw, from the lead's underside to the seat or a lower end. [m]"""
    y = np.linspace(-0.5, 0.5, 33) * screw.recess_diameter
    low, high = through(bulb.body, bulb.axis, np.full_like(y, screw.at_x), y)
    bottom = _along(bulb, low)
    inside = (low <= high) & (bottom < seat)
    return tuple(
        contour(
            np.concatenate([y[run], y[run][::-1]]), np.concatenate([bottom[run], np.full_like(y[run], seat)])
        )
        for run in runs(inside)
    )
