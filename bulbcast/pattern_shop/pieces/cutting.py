"""A pattern cut into the pieces that are made: cavities filled, prints set on, halves, holes, joints.

Works on the kernel's solids and keeps a ledger: each step's volume as far as it can be known without looking
at the pieces, so that their sum can be held against it.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from bulbcast.bulb.body.facets import equal_area_factor, hoop_count
from bulbcast.solids.kernel import KernelSolid, tower
from bulbcast.solids.mesh import Mesh
from bulbcast.solids.quadrature import Array

Plane = Literal["horizontal", "vertical", "none"]

NORMALS: dict[str, tuple[float, float, float]] = {
    "horizontal": (0.0, 0.0, 1.0),
    "vertical": (0.0, 1.0, 0.0),
}
"""Of the parting planes: the pull of the first half."""

HALVES: dict[str, tuple[str, ...]] = {
    "horizontal": ("upper", "lower"),
    "vertical": ("starboard", "port"),
    "none": ("",),
}
"""Names of the halves: that on the normal's side first."""

_AXES = {"x": 0, "y": 1, "z": 2}
# A key is sunk into its half by this share of its height, so that the two are one solid.
_SUNK = 0.25


@dataclass(frozen=True, slots=True, kw_only=True)
class Core:
    """One cored cavity and the print of its core, at the pattern's size.

    Attributes:
        name: What it is.
        cavity: What the core keeps open.
        straight: Its print without draft; None for a core without one.
        drafted: Its print as made.
    """

    name: str
    cavity: KernelSolid
    straight: KernelSolid | None
    drafted: KernelSolid | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Pin:
    """A dowel's hole through a face, or a key with its socket.

    Attributes:
        at: Middle of its mouth on the face. [m]
        along: "x", "y" or "z".
        hole: Diameter of the hole, or of a socket at its mouth. [m]
        hole_tip: Of a socket at its end; equal to `hole` for a dowel's hole. [m]
        depth: Of the hole on each side, or of the socket. [m]
        key: Diameter at foot and tip and height of a key on the first half; None for a dowel. [m]
    """

    at: tuple[float, float, float]
    along: Literal["x", "y", "z"]
    hole: float
    hole_tip: float
    depth: float
    key: tuple[float, float, float] | None


@dataclass(frozen=True, slots=True, kw_only=True)
class PieceSolid:
    """One piece of a pattern.

    Attributes:
        name: Such as "upper", or "upper-2" where there are several, counted from the nose.
        half: "upper", "lower", "port", "starboard" or "" where the pattern does not part.
        number: From the nose, 1 the first. [-]
        solid: The kernel's.
        mesh: As it is written. [m]
        volume: Before rounding to the file's precision. [m3]
        centroid: Shape (3,). [m]
        area: Of its whole surface. [m2]
    """

    name: str
    half: str
    number: int
    solid: KernelSolid
    mesh: Mesh
    volume: float
    centroid: Array
    area: float


@dataclass(frozen=True, slots=True, kw_only=True)
class PatternPieces:
    """A pattern in pieces.

    Attributes:
        pieces: Half by half, from the nose.
        halves: What is drawn from the mould, before holes and joints, in the order of `HALVES`.
        whole: The pattern with its prints, unparted.
        lines: Names and volumes that lead from pattern.stl to the sum of the pieces. [m3]
    """

    pieces: tuple[PieceSolid, ...]
    halves: tuple[KernelSolid, ...]
    whole: KernelSolid
    lines: tuple[tuple[str, float], ...]


def pin_cutter(at: tuple[float, float, float], along: str, radii: Array, levels: Array) -> KernelSolid:
    """A turned peg or hole along an axis through a point, of the round one's own volume.

    Args:
        at: Middle of its mouth. [m]
        along: "x", "y" or "z".
        radii: At each level. [m]
        levels: From the mouth along the axis, rising. [m]
    """
    count = hoop_count(float(np.max(radii)), 2e-5)
    angle = 2.0 * math.pi * np.arange(count) / count
    factor = equal_area_factor(count)
    axis = _AXES[along]
    # Counter-clockwise seen from the axis's far end: (y, z), (z, x) or (x, y).
    first, second = (axis + 1) % 3, (axis + 2) % 3
    rings = []
    for radius, level in zip(radii, levels, strict=True):
        ring = np.tile(np.asarray(at, dtype=np.float64), (count, 1))
        ring[:, first] += factor * radius * np.cos(angle)
        ring[:, second] += factor * radius * np.sin(angle)
        ring[:, axis] += level
        rings.append(ring)
    return KernelSolid.of(tower(rings))


def pattern_pieces(
    body: KernelSolid,
    cores: Sequence[Core],
    *,
    plane: Plane,
    offset: float,
    pins: Sequence[Pin],
    joints: Sequence[float],
) -> PatternPieces:
    """Cut a pattern into its pieces.

    Args:
        body: The pattern without its cored cavities, at its size.
        cores: Cored cavities with the prints of their cores.
        plane: Where it parts.
        offset: Of the plane from the axis. [m]
        pins: Dowel holes and keys.
        joints: Cuts across the axis, rising. [m]

    Returns:
        The pieces with their ledger.

    Raises:
        ArithmeticError: The kernel refuses a solid.
    """
    lines: list[tuple[str, float]] = []
    before = body
    for core in cores:
        after = before.less(core.cavity)
        lines.append((f"{core.name}: filled, its core makes the cavity", before.volume - after.volume))
        before = after
    whole = body
    straights = 0.0
    for core in cores:
        if core.straight is not None and core.drafted is not None:
            outside = core.straight.less(body).volume
            straights += outside
            lines.append((f"{core.name}: core print", outside))
            whole = whole.joined(core.drafted)
    if straights > 0.0:
        lines.append(("draft of the core prints", whole.volume - body.volume - straights))
    halves = (whole,) if plane == "none" else whole.parted(NORMALS[plane], offset)
    made = list(halves)
    holes = [_hole(pin) for pin in pins]
    dowels = [pin for pin in pins if pin.key is None]
    keys = [pin for pin in pins if pin.key is not None]
    if dowels:
        taken = sum(2.0 * pin.depth * 0.25 * math.pi * pin.hole**2 for pin in dowels)
        lines.append(("holes of the dowels", -taken))
    if keys:
        lines.append(("keys on the first half", sum(_cone(*pin.key) for pin in keys if pin.key is not None)))
        lines.append(("sockets of the keys", -sum(_cone(pin.hole, pin.hole_tip, pin.depth) for pin in keys)))
        # Keys stand on the first half and reach down into the second.
        made[0] = made[0].joined(*(_key(pin) for pin in keys))
        made[1] = made[1].less(*(hole for hole, pin in zip(holes, pins, strict=True) if pin.key is not None))
    through = [hole for hole, pin in zip(holes, pins, strict=True) if pin.key is None]
    made = [half.less(*through) for half in made]
    pieces: list[PieceSolid] = []
    for name, half in zip(HALVES[plane], made, strict=True):
        rest = half
        parts = []
        for place in joints:
            rest, part = rest.parted((1.0, 0.0, 0.0), place)
            parts.append(part)
        parts.append(rest)
        for number, part in enumerate(parts, start=1):
            if part.is_empty:
                continue  # the plane lies so far off the axis that this half does not reach here
            mesh, volume, centroid = part.as_written()
            words = [word for word in (name, str(number) if len(parts) > 1 else "") if word]
            pieces.append(
                PieceSolid(
                    name="-".join(words) or "whole",
                    half=name,
                    number=number,
                    solid=part,
                    mesh=mesh,
                    volume=volume,
                    centroid=centroid,
                    area=part.area,
                )
            )
    return PatternPieces(pieces=tuple(pieces), halves=tuple(halves), whole=whole, lines=tuple(lines))


def _cone(low: float, high: float, height: float) -> float:
    return math.pi / 12.0 * height * (low * low + low * high + high * high)


def _hole(pin: Pin) -> KernelSolid:
    """What a dowel takes on both sides of its face, or a socket on the second half's side."""
    if pin.key is None:
        radii = np.array([0.5 * pin.hole, 0.5 * pin.hole])
        return pin_cutter(pin.at, pin.along, radii, np.array([-pin.depth, pin.depth]))
    # From its end up to the face, and on above it where nothing is.
    slope = (pin.hole - pin.hole_tip) / pin.depth
    radii = 0.5 * np.array([pin.hole_tip, pin.hole, pin.hole + slope * pin.depth])
    return pin_cutter(pin.at, pin.along, radii, np.array([-pin.depth, 0.0, pin.depth]))


def _key(pin: Pin) -> KernelSolid:
    assert pin.key is not None
    foot, tip, height = pin.key
    radii = 0.5 * np.array([tip, foot, foot])
    return pin_cutter(pin.at, pin.along, radii, np.array([-height, 0.0, _SUNK * height]))
