"""Solids for making a mould: a printed frame, key buttons, formers for the sprue and vents, and core boxes."""

from __future__ import annotations

import math

import numpy as np

from bulbcast.pattern_shop.frame.formers import Former
from bulbcast.pattern_shop.frame.frame import MouldFrame
from bulbcast.pattern_shop.pieces.cutting import NORMALS, Core, pin_cutter
from bulbcast.solids.kernel import KernelSolid, tower
from bulbcast.solids.mesh import Mesh
from bulbcast.solids.quadrature import Array

_CAP_RINGS = 24
# Core boxes are open where the print ends; this much more is cut off there to be safe. [m]
_OPEN = 1e-4


def _rectangle(low: Array, high: Array, level: float, deep: int) -> Array:
    """Four corners of a rectangle at right angles to the axis `deep`, counter-clockwise as seen from the far end of
    that axis. [m]"""
    first, second = (deep + 1) % 3, (deep + 2) % 3
    corners = np.zeros((4, 3))
    corners[:, deep] = level
    corners[:, first] = [low[first], high[first], high[first], low[first]]
    corners[:, second] = [low[second], low[second], high[second], high[second]]
    return corners


def block(low: Array, high: Array) -> KernelSolid:
    """A rectangular block between two opposite corners. [m]"""
    ends = [_rectangle(low, high, float(level), 2) for level in (low[2], high[2])]
    return KernelSolid.of(tower(ends))


def frame_ring(frame: MouldFrame, number: int, *, draft: float, offset: float) -> KernelSolid:
    """One half of a printed frame, slightly wider inside at the parting.

    Args:
        frame: The frame.
        number: 0 for the half on the normal's side of the plane, 1 for the other.
        draft: Draft of the inside. [rad]
        offset: Distance of the plane from the axis. [m]
    """
    depth, board = frame.depths[number], frame.board
    deep, side = (1, 2) if frame.plane == "vertical" else (2, 1)
    taper = depth * math.tan(draft)
    away = -1.0 if number else 1.0

    def corners(grow: float) -> tuple[Array, Array]:
        low, high = np.zeros(3), np.zeros(3)
        low[0], high[0] = frame.along[0] - grow, frame.along[1] + grow
        low[side], high[side] = frame.across[0] - grow, frame.across[1] + grow
        return low, high

    def rings(*levels: tuple[float, float]) -> Mesh:
        made = [_rectangle(*corners(grow), offset + away * level, deep) for level, grow in levels]
        return tower(made[::-1] if number else made)

    outer = KernelSolid.of(rings((0.0, board + taper), (depth, board + taper)))
    hair = 0.1 * depth
    inner = KernelSolid.of(rings((-hair, taper * 1.1), (depth + hair, -0.1 * taper)))
    return outer.less(inner)


def key_button(frame: MouldFrame, offset: float) -> KernelSolid:
    """A round key button, which is a spherical cap fixed to the moulding board at the position of the first key.

    Args:
        frame: The frame.
        offset: Distance of the plane from the axis. [m]
    """
    at, diameter, height = frame.keys[0], frame.key_diameter, frame.key_height
    radius = (0.25 * diameter**2 + height**2) / (2.0 * height)
    levels = height * np.sin(0.5 * math.pi * np.linspace(0.0, 1.0, _CAP_RINGS + 1))[:-1]
    radii = np.sqrt(radius**2 - (radius - height + levels) ** 2)
    levels, radii = np.append(levels, height), np.append(radii, 1e-3 * diameter)
    upright = frame.plane == "vertical"
    middle = (at[0], offset, at[1]) if upright else (at[0], at[1], offset)
    return pin_cutter(middle, "y" if upright else "z", radii, levels)


def former(one: Former, plane: str, offset: float, sunk: float = 0.0) -> KernelSolid:
    """A tapered former for a sprue, a feeder or a vent; half-round if it is in the parting plane.

    Args:
        one: The former.
        plane: Parting plane of the mould and the pattern.
        offset: Distance of the plane from the axis. [m]
        sunk: Length by which its foot extends straight down into the pattern, which is then subtracted from the former.
            [m]
    """
    foot, top = 0.5 * one.foot_diameter, 0.5 * one.top_diameter
    levels, radii = [0.0, one.length], [foot, top]
    if sunk > 0.0:
        levels, radii = [-sunk, *levels], [foot, *radii]
    axis = {"crown": "z", "starboard": "y"}.get(one.rise, "x")
    if one.rise == "nose":
        levels, radii = [-level for level in reversed(levels)], radii[::-1]
    # A former that rises along the pull is on or over the parting plane; one in the plane is cut along it.
    lies = axis != ("y" if plane == "vertical" else "z")
    deep = 1 if plane == "vertical" else 2
    at = [one.x, one.y, one.z]
    if lies or one.beside:
        at[deep] = offset
    peg = pin_cutter((at[0], at[1], at[2]), axis, np.array(radii), np.array(levels))
    return (
        peg.parted(NORMALS["vertical" if plane == "vertical" else "horizontal"], offset)[0] if lies else peg
    )


def core_solid(core: Core, body: KernelSolid) -> KernelSolid:
    """Solid of a core: the part that forms the cavity, and its print.

    Args:
        core: The core.
        body: The pattern without cavities.
    """
    inside = core.cavity.common(body)
    return inside if core.drafted is None else inside.joined(core.drafted)


def core_box(
    core: KernelSolid, *, wall: float, pin: float, open_above: bool, chamfer: float
) -> tuple[KernelSolid, KernelSolid]:
    """A core box in two halves that meet on the centreplane, open at the end of the print.

    Args:
        core: The core.
        wall: Thickness round the core. [m]
        pin: Diameter of the holes for two dowels that locate the halves. [m]
        open_above: Whether the print, and so the open end, is above the core; otherwise it is below.
        chamfer: Length of the print's sloping end, which is cut away. [m]

    Returns:
        The starboard half and the port half.
    """
    low, high = core.bounds
    cut = _OPEN + chamfer
    foot = low - wall
    top = high + wall
    if open_above:
        top[2] = high[2] - cut
    else:
        foot[2] = low[2] + cut
    box = block(foot, top).less(core)
    middle = 0.5 * (foot[2] + top[2])
    reach = 0.6 * (top[1] - foot[1])
    for x in (foot[0] + 0.5 * wall, top[0] - 0.5 * wall):
        at = (float(x), 0.0, float(middle))
        box = box.less(pin_cutter(at, "y", np.array([0.5 * pin, 0.5 * pin]), np.array([-reach, reach])))
    return box.parted(NORMALS["vertical"], 0.0)
