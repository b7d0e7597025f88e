"""Points of the outlines drawn in views, taken from the results: nothing is calculated here.

All points are in millimetres on the object: side views in (x, z), plan views in (x, y), cross sections in (y, up).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bulbcast.bulb.body.columns import through
from bulbcast.bulb.body.pieces import Axis
from bulbcast.bulb.body.turned import TurnedBody
from bulbcast.bulb.cuts.parts import PocketCut, ScrewCut
from bulbcast.bulb.fastening.room import undersides
from bulbcast.bulb.hung.ledger import HungBulb
from bulbcast.drawing.shapes import Contour, Point
from bulbcast.fin.tip_section import half_thickness, outline, pocket_span
from bulbcast.solids.quadrature import Array

MM = 1000.0
_ALONG = 73


def key_of(key: str, value: float | None, drawn: float) -> str:
    """Plan key whose value a dimension shows; "" if the drawn distance is not the key's value.

    Args:
        key: The key, such as "bulb.diameter".
        value: Its value, typed or assumed; None if another key decides. [m]
        drawn: The distance drawn. [m]
    """
    return key if value is not None and math.isclose(value, drawn, rel_tol=1e-9) else ""


def contour(x: Array, y: Array) -> Contour:
    """Points in mm from two arrays in m."""
    return tuple(zip((MM * x).tolist(), (MM * y).tolist(), strict=True))


def meridian(body: TurnedBody, count: int = _ALONG) -> tuple[Array, Array]:
    """Distances from the nose along the bulb, close together near the nose, and the equal-area radius at each. [m]

    The largest section is always among them.
    """
    end = 2.0 * math.asin(math.sqrt(body.cut))
    x = body.uncut_length * np.sin(0.5 * np.linspace(0.0, end, count)) ** 2
    x[-1] = body.length
    x = np.unique(np.append(x, body.max_at))
    return x, body.radius(x)


def body_outline(body: TurnedBody, half_of_radius: float) -> Contour:
    """Closed outline of the lead body seen at right angles to its axis.

    Args:
        body: The lead body.
        half_of_radius: Half width or half height over the equal-area radius. [-]
    """
    x, r = meridian(body)
    half = half_of_radius * r
    return contour(np.concatenate([x, x[::-1]]), np.concatenate([half, -half[::-1]]))


def skin_outline(body: TurnedBody, half_of_radius: float, distance: float) -> Contour:
    """An outline moved outwards by a distance that is clearly visible. [mm]"""
    x, r = meridian(body)
    half = half_of_radius * r
    along, up = np.gradient(MM * x), np.gradient(MM * half)
    size = np.hypot(along, up)
    size = np.where(size > 0.0, size, 1.0)
    px, py = MM * x - distance * up / size, MM * half + distance * along / size
    px, py = np.append(np.append(-distance, px), px[-1] + distance), np.append(np.append(0.0, py), py[-1])
    xs, ys = np.concatenate([px, px[::-1]]), np.concatenate([py, -py[::-1]])
    return tuple(zip(xs.tolist(), ys.tolist(), strict=True))


@dataclass(frozen=True, slots=True)
class Slant:
    """Coordinates in the raked frame of the pocket and screws: `along` is measured from the floor along the axis, and
    `off` at right angles to the axis. [m]"""

    axis: Axis

    def side(self, at_x: float, off: Array | float, along: Array | float) -> tuple[Array, Array]:
        """x and z of points whose distances across and along a screw are given; the screw crosses the floor at `at_x`.
        [m]"""
        sine, cosine = math.sin(self.axis.rake), math.cos(self.axis.rake)
        off, along = np.broadcast_arrays(np.asarray(off, dtype=float), np.asarray(along, dtype=float))
        return at_x + off * cosine - along * sine, self.axis.floor + off * sine + along * cosine

    def point(self, at_x: float, off: float, along: float) -> Point:
        """x and z of one point whose distances across and along a screw are given. [mm]"""
        x, z = self.side(at_x, off, along)
        return MM * float(x), MM * float(z)

    def rectangle(self, at_x: float, radius: float, low: float, high: float) -> Contour:
        """Outline of a cylinder seen from the side, square at both ends. [mm]"""
        corners = ((-radius, low), (radius, low), (radius, high), (-radius, high))
        return tuple(self.point(at_x, off, along) for off, along in corners)


def pocket_side(body: TurnedBody, axis: Axis, pocket: PocketCut) -> tuple[Contour, ...]:
    """Outline of the pocket inside the lead in the centreplane, in more than one piece if the pocket leaves the lead."""
    s = pocket.leading_edge_x + np.linspace(*pocket_span(pocket.tip, pocket.clearance)[:2], 61)
    low, high = through(body, axis, s, np.zeros_like(s))
    inside = (low <= high) & (high > axis.floor)
    pieces = []
    for run in runs(inside):
        foot, top = np.maximum(low[run], axis.floor), high[run]
        x = np.concatenate(
            [s[run] - axis.shift * (foot - axis.floor), (s[run] - axis.shift * (top - axis.floor))[::-1]]
        )
        pieces.append(contour(x, np.concatenate([foot, top[::-1]])))
    return tuple(pieces)


def nearest_on(contours: Sequence[Contour], point: Point) -> Point:
    """The point on any of several closed outlines that is nearest to a given point, at or between corners. [mm]"""
    import shapely

    edges = shapely.MultiLineString([(*one, one[0]) for one in contours])
    x, y = shapely.shortest_line(edges, shapely.Point(point)).coords[0]
    return x, y


def runs(mask: NDArray[np.bool_]) -> list[slice]:
    """Runs of two or more consecutive elements for which a mask is true."""
    edges = np.flatnonzero(np.diff(np.concatenate([[False], mask, [False]])))
    return [slice(int(a), int(b)) for a, b in zip(edges[::2], edges[1::2], strict=True) if b - a > 1]


def recess_side(bulb: HungBulb, screw: ScrewCut, seat: float, top: float) -> tuple[Contour, ...]:
    """Outline of the recess in the centreplane, from the lead's underside up to `top` along the screw. [m]

    Args:
        bulb: The sized bulb.
        screw: The screw.
        seat: Seat of its head, along the axis from the floor. [m]
        top: Upper end of the outline, along the axis: the seat, or the underside of the head. [m]
    """
    sine, cosine = math.sin(bulb.axis.rake), math.cos(bulb.axis.rake)
    off = np.linspace(-0.5, 0.5, 25) * screw.recess_diameter
    low, high = through(bulb.body, bulb.axis, screw.at_x + off / cosine, np.zeros_like(off))
    bottom = (low - bulb.axis.floor - off * sine) / cosine
    inside = (low <= high) & (bottom < min(top, seat))
    slant = Slant(bulb.axis)
    pieces = []
    for run in runs(inside):
        x, z = slant.side(
            screw.at_x,
            np.concatenate([off[run], off[run][::-1]]),
            np.concatenate([bottom[run], np.full_like(off[run], min(top, seat))]),
        )
        pieces.append(contour(x, z))
    return tuple(pieces)


def hole_side(bulb: HungBulb, screw: ScrewCut, radius: float, seat: float) -> Contour:
    """Outline of a hole in the centreplane, from the seat to the horizontal floor; empty if the seat is above the floor."""
    if not seat < 0.0:
        return ()
    slant, tangent = Slant(bulb.axis), math.tan(bulb.axis.rake)
    corners = ((-radius, seat), (radius, seat), (radius, -radius * tangent), (-radius, radius * tangent))
    return tuple(slant.point(screw.at_x, off, along) for off, along in corners)


def seat_of(bulb: HungBulb, screw: ScrewCut) -> float:
    """Position of the seat of the head or washer on the lead, measured along the axis from the floor; nan if the screw
    misses the lead. [m]"""
    low, _ = undersides(bulb, np.array([screw.at_x]))
    return float(low[0]) + screw.recess


def half_width_of_outline(pocket: PocketCut, s: Array, clearance: float) -> Array:
    """Half width of the fin's section grown by a clearance, at points along the bulb; 0 beyond the section. [m]"""
    along = np.asarray(s, dtype=float) - pocket.leading_edge_x
    if clearance == 0.0:
        within = (along >= 0.0) & (along <= pocket.tip.chord)
        half, _ = half_thickness(pocket.tip, np.clip(along, 0.0, pocket.tip.chord))
        return np.where(within, half, 0.0)
    points = outline(pocket.tip, clearance, along=48, round_corner=4)
    side = points[points[:, 1] >= 0.0][::-1]
    order = np.argsort(side[:, 0], kind="stable")
    edge: Array = np.interp(along, side[order, 0], side[order, 1], left=0.0, right=0.0)
    return edge


def pocket_plan(bulb: HungBulb, *, clearance: float, at_surface: bool) -> Contour:
    """Outline of the fin or pocket from above, on the floor or at the lead's upper surface."""
    points = outline(bulb.pocket.tip, clearance, along=32, round_corner=4)
    s, y = points[:, 0] + bulb.pocket.leading_edge_x, points[:, 1]
    if at_surface and bulb.axis.shift != 0.0:
        low, high = through(bulb.body, bulb.axis, s, y)
        level = np.where(low <= high, np.maximum(high, bulb.axis.floor), bulb.axis.floor)
        s = s - bulb.axis.shift * (level - bulb.axis.floor)
    return contour(s, y)


def screw_plan(bulb: HungBulb, screw: ScrewCut, radius: float, along: float) -> Contour:
    """Outline, seen from above, of a circle square to the screw, at a given distance along the screw from the floor.
    [m]"""
    angle = np.linspace(0.0, 2.0 * math.pi, 49)[:-1]
    x, _ = Slant(bulb.axis).side(screw.at_x, radius * np.cos(angle), along)
    return contour(x, radius * np.sin(angle))
