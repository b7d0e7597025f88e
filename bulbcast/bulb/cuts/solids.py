"""Solids of the cuts, as closed meshes for the mesh kernel to subtract from the bulb.

Units here are m; the kernel converts them to mm, which suit its tolerances.
"""

from __future__ import annotations

import math

import numpy as np

from bulbcast.bulb.body.facets import equal_area_factor, hoop_count
from bulbcast.bulb.body.pieces import Axis
from bulbcast.bulb.cuts.drilled import DrilledHole, point_height
from bulbcast.bulb.cuts.fittings import PinCut, StudCut
from bulbcast.bulb.cuts.parts import PocketCut, ScrewCut
from bulbcast.fin.tip_section import outline, outline_area
from bulbcast.solids.kernel import _prism, tower
from bulbcast.solids.mesh import Mesh
from bulbcast.solids.quadrature import Array

# Cuts extend beyond the surface that they leave through, and a hole's top a hair into the pocket above it, so that no two
# faces are in one plane. The hair is a thousandth of a millimetre: more than the step of single precision, below which
# short edges collapse, and far less than any tolerance.
_BEYOND = 2.0
_HAIR = 1e-6


def pocket_cutter(
    axis: Axis, pocket: PocketCut, *, top: float, chord_error: float, right_through: bool = False
) -> Mesh:
    """The pocket as a prism whose outline encloses the true area, from the floor to above the body.

    Args:
        axis: Direction of the fin and height of the pocket floor.
        pocket: The pocket.
        top: Height that the prism must extend beyond. [m]
        chord_error: Largest allowed distance between facet and outline. [m]
        right_through: Whether to start from below the body instead of from the floor.

    Returns:
        A closed mesh, in bulb axes. [m]
    """
    length = pocket.tip.chord
    # The leading edge's radius is about half the thickness squared over the chord.
    nose = 1.1 * pocket.tip.thickness**2 / length + pocket.clearance
    along = max(24, min(400, math.ceil(2.0 * math.sqrt(length / (8.0 * chord_error)))))
    corner = max(
        3, math.ceil(0.5 * math.pi / math.acos(max(1.0 - chord_error / max(pocket.clearance, 1e-9), 0.5)))
    )
    along = max(along, math.ceil(4.0 * math.sqrt(nose / (8.0 * chord_error))))
    points = outline(pocket.tip, pocket.clearance, along=along, round_corner=corner)
    x, y = points[:, 0], points[:, 1]
    shoelace = 0.5 * float(np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y))
    y = y * (outline_area(pocket.tip, pocket.clearance) / shoelace)
    past = _BEYOND * (top - axis.floor) + 1e-3
    low, high = axis.floor - (past if right_through else 0.0), top + past
    rings = [
        np.stack([x + pocket.leading_edge_x - axis.shift * (z - axis.floor), y, np.full_like(x, z)], axis=1)
        for z in (low, high)
    ]
    return _prism(rings[0], rings[1])


def bore_cutter(
    axis: Axis, at_x: float, radius: float, *, low: float, high: float | None, chord_error: float
) -> Mesh:
    """A bore along the fin's axis, with the volume of the true cylinder.

    Args:
        axis: Direction and height of the pocket floor.
        at_x: x at which its axis crosses the floor, bulb axes. [m]
        radius: [m]
        low: Lower end along the axis from the floor, square to it. [m]
        high: Upper end, also square to it; None for the horizontal floor. [m]
        chord_error: Largest allowed distance between facet and cylinder. [m]

    Returns:
        A closed mesh, in bulb axes. [m]
    """
    count = hoop_count(radius, chord_error)
    angle = 2.0 * math.pi * (np.arange(count) + 0.5) / count
    a, b = (
        radius * equal_area_factor(count) * np.cos(angle),
        radius * equal_area_factor(count) * np.sin(angle),
    )
    sine, cosine = math.sin(axis.rake), math.cos(axis.rake)

    def ring(along: Array) -> Array:
        return np.stack([at_x + a * cosine - along * sine, b, axis.floor + a * sine + along * cosine], axis=1)

    top = _HAIR - a * math.tan(axis.rake) if high is None else np.full_like(a, high)
    return _prism(ring(np.full_like(a, low)), ring(top))


def pin_cutter(axis: Axis, pin: PinCut, *, half_width: float, chord_error: float) -> Mesh:
    """A cross pin hole right through the bulb, with the volume of the true cylinder.

    Args:
        axis: Direction of the fin and height of the pocket floor.
        pin: The pin.
        half_width: Distance from the centreplane beyond which the hole must extend on both sides. [m]
        chord_error: Largest allowed distance between facet and cylinder. [m]

    Returns:
        A closed mesh, in bulb axes. [m]
    """
    radius = 0.5 * pin.hole_diameter
    count = hoop_count(radius, chord_error)
    angle = 2.0 * math.pi * (np.arange(count) + 0.5) / count
    centre_x, centre_z = pin.centre(axis)
    across = radius * equal_area_factor(count)
    x, z = centre_x + across * np.sin(angle), centre_z + across * np.cos(angle)
    reach = half_width + _BEYOND * radius + 1e-3
    # Seen from starboard z turns into x, which is the order that a prism towards starboard needs.
    return _prism(*(np.stack([x, np.full_like(x, side), z], axis=1) for side in (-reach, reach)))


def stud_cutter(axis: Axis, stud: StudCut, *, chord_error: float) -> Mesh:
    """Foot of a stud, from its lower end up to the horizontal floor.

    Args:
        axis: Direction of the fin and height of the pocket floor.
        stud: The stud.
        chord_error: Largest allowed distance between facet and cylinder. [m]
    """
    return bore_cutter(
        axis, stud.at_x, 0.5 * stud.diameter, low=-stud.below, high=None, chord_error=chord_error
    )


def drill_cutter(hole: DrilledHole, *, chord_error: float) -> Mesh:
    """A drill with its point, from outside the body or from the pocket to the end of the hole.

    Args:
        hole: The hole, from the underside or the pocket floor.
        chord_error: Largest allowed distance between facet and cylinder. [m]

    Returns:
        A closed mesh, in bulb axes. [m]
    """
    radius = 0.5 * hole.diameter
    count = hoop_count(radius, chord_error)
    angle = 2.0 * math.pi * (np.arange(count) + 0.5) / count
    across = radius * equal_area_factor(count)
    # Well past the surface where it leaves; on the floor only a hair, since the pocket has removed what is above it.
    out = _HAIR if hole.floor else hole.diameter + _BEYOND * 1e-3
    way = -1.0 if hole.floor else 1.0
    ends = sorted((hole.begins - way * out, hole.begins + way * hole.depth))
    point = hole.begins + way * (hole.depth + point_height(hole.diameter))
    rings = [
        np.stack([hole.x + across * np.cos(angle), across * np.sin(angle), np.full(count, level)], axis=1)
        for level in ends
    ]
    tips = [np.array([hole.x, 0.0, level]) for level in ends]
    tips[0 if hole.floor else 1][2] = point
    return tower(rings, (tips[0], tips[1]))


def screw_cutters(
    axis: Axis, screw: ScrewCut, seat: float, *, depth: float, chord_error: float
) -> list[Mesh]:
    """Solids of one screw's hole and recess; none if its axis misses the lead.

    Args:
        axis: Direction and height of the pocket floor.
        screw: The screw.
        seat: Position of the seat on the lead, along the axis from the floor; nan if the screw misses the lead. [m]
        depth: Depth of the recess below the floor, enough to go beyond every surface. [m]
        chord_error: Largest allowed distance between facet and cylinder. [m]
    """
    if math.isnan(seat):
        return []
    # The hole begins a hair below the seat, and below the horizontal floor all round: the excess lies
    # inside the recess, which is wider and removed anyway.
    radius = 0.5 * screw.hole_diameter
    foot = min(seat, -1.1 * radius * abs(math.tan(axis.rake))) - _HAIR
    return [
        bore_cutter(
            axis, screw.at_x, 0.5 * screw.recess_diameter, low=-depth, high=seat, chord_error=chord_error
        ),
        bore_cutter(axis, screw.at_x, radius, low=foot, high=None, chord_error=chord_error),
    ]
