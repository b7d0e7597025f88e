"""Holes drilled square to the bulb's axis to remove lead, from the underside or, before the fin is fitted, from the
pocket floor. The volume of a hole from the underside is calculated from the true surface.

A twist drill leaves a cone at the end of the hole. The depth given is that of the full diameter at the middle of the
hole, as set by a stop or a mark on the drill.
"""

from __future__ import annotations

import math

import numpy as np

from bulbcast.bulb.body.pieces import Piece
from bulbcast.bulb.body.turned import TurnedBody
from bulbcast.bulb.cuts.screws import disc_nodes
from bulbcast.quantities.frozen import frozen
from bulbcast.solids.quadrature import Array

USUAL_DRILLS = tuple(0.001 * size for size in (3, 4, 5, 6, 8, 10, 12, 16, 20, 25))
"""Drill sizes found in a workshop. Common practice, no source. [m]"""
INCH_DRILLS = tuple(0.0254 * size / 32.0 for size in (4, 5, 6, 8, 10, 12, 16, 20, 24, 32))
"""Drill sizes found in a workshop that works in inches, 1/8 to 1 in. Common practice, no source. [m]"""
WIDEST_SHARE = 1.0 / 3.0
"""Largest drill, as a fraction of the bulb's height. Our judgement. [-]"""
POINT_ANGLE = math.radians(118.0)
"""Full point angle of a general-purpose twist drill. Common practice, no source. [rad]"""
_SIDE = math.sqrt(0.5)
"""Fraction of the half width at which the surface faces sideways as much as down. The hole and the walls beside
it must fit within that width."""
_PLACES = 9


@frozen
class DrilledHole:
    """One drilled hole.

    Attributes:
        x: Distance of its middle from the nose. [m]
        diameter: [m]
        depth: Depth to which the hole has its full diameter, measured at its middle. [m]
        piece: The lead that it removes, including the cone left by the drill's point.
        begins: Height at which the drill enters, measured at the middle of the hole. [m]
        floor: Whether it is drilled down from the pocket floor.
    """

    x: float
    diameter: float
    depth: float
    piece: Piece
    begins: float
    floor: bool = False


def point_height(diameter: float) -> float:
    """Height of the cone left by a drill's point. [m]

    Args:
        diameter: Diameter of the drill. [m]
    """
    return 0.5 * diameter / math.tan(0.5 * POINT_ANGLE)


def drilled_hole(body: TurnedBody, x: float, diameter: float, volume: float) -> DrilledHole:
    """The hole, at a given distance from the nose, that removes a given volume.

    Args:
        body: The lead body.
        x: Distance from the nose; the body must surround the whole hole there. [m]
        diameter: Diameter of the drill. [m]
        volume: Volume to remove, which must exceed that of the drill's point. [m3]

    Returns:
        The hole; its volume is found by quadrature over the drill's disc, between the body's surface below and the cone
        above.
    """
    along, area, bottom = _mouth(body, x, diameter)
    cone = math.pi / 12.0 * diameter**2 * point_height(diameter)
    whole = float(area.sum())
    # The discs' bottoms are the surface; the top is one level, with the point above it.
    top = (volume - cone + float(area @ bottom)) / whole
    columns = area * (top - bottom)
    piece = Piece(
        volume=volume,
        moment_x=float(columns @ (x + along)) + cone * x,
        moment_z=float(columns @ (0.5 * (top + bottom))) + cone * (top + 0.25 * point_height(diameter)),
    )
    bottom_here = _bottom_at(body, x)
    return DrilledHole(x=x, diameter=diameter, depth=top - bottom_here, piece=piece, begins=bottom_here)


def floor_hole(floor: float, x: float, diameter: float, volume: float) -> DrilledHole:
    """The hole, drilled down from the pocket floor, that removes a given volume.

    Args:
        floor: Height of the floor above the axis. [m]
        x: Distance from the nose. [m]
        diameter: Diameter of the drill. [m]
        volume: Volume to remove, which must exceed that of the drill's point. [m3]
    """
    area, point = 0.25 * math.pi * diameter**2, point_height(diameter)
    cone = area * point / 3.0
    depth = (volume - cone) / area
    down = area * depth * (floor - 0.5 * depth) + cone * (floor - depth - 0.25 * point)
    piece = Piece(volume=volume, moment_x=volume * x, moment_z=down)
    return DrilledHole(x=x, diameter=diameter, depth=depth, piece=piece, begins=floor, floor=True)


def deepest_from_floor(body: TurnedBody, floor: float, x: float, diameter: float, *, wall: float) -> float:
    """Greatest full-diameter depth of a hole below the pocket floor; zero or less if there is no room. [m]

    Args:
        body: The lead body.
        floor: Height of the pocket floor above the axis. [m]
        x: Distance from the nose. [m]
        diameter: Diameter of the drill. [m]
        wall: Minimum lead between the hole and the outside. [m]
    """
    beside = x + (0.5 * diameter + wall) * np.linspace(-1.0, 1.0, _PLACES)
    if beside[0] <= 0.0 or beside[-1] >= body.length:
        return 0.0
    radius = float(body.radius(beside).min())
    wide, high = radius * math.sqrt(body.width_to_height), radius / math.sqrt(body.width_to_height)
    within = (1.0 - wall / min(wide, high)) ** 2 - (0.5 * diameter / wide) ** 2
    if within <= 0.0:
        return 0.0
    # The rim stays inside the section made smaller by the wall, and so does the point below it.
    return floor - max(-high * math.sqrt(within), -high + wall + point_height(diameter))


def volume_to(body: TurnedBody, x: float, diameter: float, top: float) -> float:
    """Volume removed by a hole whose full diameter ends at a given height. [m3]

    Args:
        body: The lead body.
        x: Distance from the nose. [m]
        diameter: Diameter of the drill. [m]
        top: Height above the axis at which the full diameter ends. [m]
    """
    _, area, bottom = _mouth(body, x, diameter)
    return float(area @ (top - bottom)) + math.pi / 12.0 * diameter**2 * point_height(diameter)


def least_volume(body: TurnedBody, x: float, diameter: float) -> float:
    """Volume removed by a hole that goes a tenth of its diameter deeper than the depth at which its circle is first
    complete. [m3]

    Args:
        body: The lead body.
        x: Distance from the nose. [m]
        diameter: Diameter of the drill. [m]
    """
    _, _, bottom = _mouth(body, x, diameter)
    return volume_to(body, x, diameter, float(bottom.max()) + 0.1 * diameter)


def highest_top(body: TurnedBody, x: float, diameter: float, *, ceiling: float, wall: float) -> float | None:
    """Greatest height that the full diameter of a hole may reach; None if there is no room for the hole.

    Args:
        body: The lead body.
        x: Distance from the nose. [m]
        diameter: Diameter of the drill. [m]
        ceiling: Height that the drill's point must stay below, measured from the axis. [m]
        wall: Minimum lead between the hole and the outside, except at the mouth of the hole. [m]

    Returns:
        The height above the axis. [m]
    """
    beside = x + (0.5 * diameter + wall) * np.linspace(-1.0, 1.0, _PLACES)
    if beside[0] <= 0.0 or beside[-1] >= body.length:
        return None
    radius = float(body.radius(beside).min())
    wide, high = radius * math.sqrt(body.width_to_height), radius / math.sqrt(body.width_to_height)
    if 0.5 * diameter + wall > _SIDE * wide:
        return None
    # The rim of the full diameter stays inside the section made smaller by the wall: an ellipse within its parallel curve.
    within = (1.0 - wall / min(wide, high)) ** 2 - (0.5 * diameter / wide) ** 2
    bottom = _bottom_at(body, x)
    highest = min(high * math.sqrt(within), ceiling - point_height(diameter)) if within > 0.0 else bottom
    return highest if highest > bottom else None


def _bottom_at(body: TurnedBody, x: float) -> float:
    return -float(body.radius(np.array([x]))[0]) / math.sqrt(body.width_to_height)


def _mouth(body: TurnedBody, x: float, diameter: float) -> tuple[Array, Array, Array]:
    """Elements of the hole's mouth: distances along the body from the middle of the hole [m], areas [m2], and heights of
    the body's underside [m]."""
    along, across, area = disc_nodes(0.5 * diameter)
    k = body.width_to_height
    square = body.radius(x + along) ** 2 - across**2 / k
    return along, area, -np.sqrt(np.maximum(square, 0.0) / k)
