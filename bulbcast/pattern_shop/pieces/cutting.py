"""Cut a pattern into its pieces: cavities are filled and prints added, then halves, holes and joints are cut.

The work is done on the kernel's solids, and a ledger is kept of the volume of each step. These volumes are known
without measuring the pieces, so the sum of the pieces can be checked against them.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from bulbcast.bulb.body.facets import equal_area_factor, hoop_count
from bulbcast.pattern_shop.pieces.parting import Dowel
from bulbcast.pattern_shop.shop import PatternShop
from bulbcast.solids.kernel import KernelSolid, tower
from bulbcast.solids.mesh import Mesh
from bulbcast.solids.quadrature import Array

NORMALS: dict[str, tuple[float, float, float]] = {
    "horizontal": (0.0, 0.0, 1.0),
    "vertical": (0.0, 1.0, 0.0),
}
"""Direction of pull of the first half for each parting plane."""

HALVES: dict[str, tuple[str, ...]] = {
    "horizontal": ("upper", "lower"),
    "vertical": ("starboard", "port"),
    "none": ("",),
}
"""Names of the halves, starting with the half on the side of the plane's normal."""

_AXES = {"x": 0, "y": 1, "z": 2}
# A key is sunk into its half by this fraction of its height, so that the two form one solid.
_SUNK = 0.25


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Core:
    """One cored cavity and the print of its core, at the pattern's scale.

    Attributes:
        name: Name of the cavity.
        cavity: The cavity that the core forms.
        straight: Its print without draft; None if the core has no print.
        drafted: Its print as made, with draft.
    """

    name: str
    cavity: KernelSolid
    straight: KernelSolid | None
    drafted: KernelSolid | None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PieceSolid:
    """One piece of a pattern.

    Attributes:
        name: Its name, for example "upper", or "upper-2" for the second piece from the nose.
        half: The half that it belongs to: "upper", "lower", "port", "starboard", or "" if the pattern is not parted.
        number: Its number, counted from 1 at the nose. [-]
        solid: The kernel's solid.
        mesh: The mesh as written. [m]
        volume: Volume before rounding to the file's precision. [m3]
        centroid: Centre of volume, shape (3,). [m]
        area: Area of its complete surface. [m2]
    """

    name: str
    half: str
    number: int
    solid: KernelSolid
    mesh: Mesh
    volume: float
    centroid: Array
    area: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PatternPieces:
    """A pattern in pieces.

    Attributes:
        pieces: The pieces of each half in turn, in order from the nose.
        halves: The halves drawn from the mould, before holes and joints, in the order of `HALVES`.
        whole: The pattern with its prints, unparted.
        lines: The ledger's names and volumes, from pattern.stl to the sum of the pieces. [m3]
    """

    pieces: tuple[PieceSolid, ...]
    halves: tuple[KernelSolid, ...]
    whole: KernelSolid
    lines: tuple[tuple[str, float], ...]


def pin_cutter(at: tuple[float, float, float], along: str, radii: Array, levels: Array) -> KernelSolid:
    """A faceted round peg or hole along an axis through a point, with the exact volume of a round one.

    Args:
        at: Centre of its mouth. [m]
        along: "x", "y" or "z".
        radii: Radius at each distance. [m]
        levels: Distances from the mouth along the axis, in ascending order. [m]
    """
    count = hoop_count(float(np.max(radii)), 2e-5)
    angle = 2.0 * math.pi * np.arange(count) / count
    factor = equal_area_factor(count)
    axis = _AXES[along]
    # Counter-clockwise seen from the far end of the axis: (y, z), (z, x) or (x, y).
    first, second = (axis + 1) % 3, (axis + 2) % 3
    rings = []
    for radius, level in zip(radii, levels, strict=True):
        ring = np.tile(np.asarray(at, dtype=np.float64), (count, 1))
        ring[:, first] += factor * radius * np.cos(angle)
        ring[:, second] += factor * radius * np.sin(angle)
        ring[:, axis] += level
        rings.append(ring)
    return KernelSolid.of(tower(rings))


def pattern_pieces(body: KernelSolid, cores: Sequence[Core], shop: PatternShop) -> PatternPieces:
    """Cut a pattern into its pieces.

    Args:
        body: The pattern without its cored cavities, at the pattern's scale.
        cores: Cored cavities with the prints of their cores.
        shop: The pattern shop's plan, with parting, dowels and joints.

    Returns:
        The pieces with their ledger.

    Raises:
        ArithmeticError: The kernel rejects a solid.
    """
    whole, lines = _with_prints(body, cores)
    halves = (whole,) if shop.plane == "none" else whole.parted(NORMALS[shop.plane], shop.offset)
    made = list(halves)
    dowels = [pin for pin in shop.pins if pin.kind == "dowel"]
    keys = [pin for pin in shop.pins if pin.kind == "key"]
    if dowels:
        lines.append(("dowel holes", -sum(pin.taken for pin in dowels)))
    if keys:
        lines.append(("keys on the first half", sum(pin.added for pin in keys)))
        lines.append(("key sockets", -sum(pin.taken for pin in keys)))
        # Keys stand on the first half and reach down into the second.
        made[0] = made[0].joined(*(_key(pin) for pin in keys))
        made[1] = made[1].less(*(_socket(pin) for pin in keys))
    through = [_hole(pin) for pin in dowels]
    made = [half.less(*through) for half in made]
    pieces: list[PieceSolid] = []
    for name, half in zip(HALVES[shop.plane], made, strict=True):
        rest, parts = half, []
        for place in shop.joints.places:
            rest, part = rest.parted((1.0, 0.0, 0.0), place)
            parts.append(part)
        parts.append(rest)
        for number, part in enumerate(parts, start=1):
            if part.is_empty:
                continue  # the plane is so far off the axis that this half does not extend this far
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


def _with_prints(body: KernelSolid, cores: Sequence[Core]) -> tuple[KernelSolid, list[tuple[str, float]]]:
    """The pattern with its core prints, and the ledger lines so far. [m3]"""
    lines: list[tuple[str, float]] = []
    before = body
    for core in cores:
        after = before.less(core.cavity)
        lines.append((f"{core.name}: filled, since its core forms the cavity", before.volume - after.volume))
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
    return whole, lines


def _hole(pin: Dowel) -> KernelSolid:
    """Cutter for a dowel hole, which extends to both sides of the face."""
    radii = np.array([0.5 * pin.hole, 0.5 * pin.hole])
    return pin_cutter(pin.at, pin.along, radii, np.array([-pin.depth, pin.depth]))


def _socket(pin: Dowel) -> KernelSolid:
    """Cutter for a key's socket, which extends from the socket's end up to the face and beyond it into empty space."""
    depth, tip = pin.socket_depth, pin.socket_tip
    slope = (pin.hole - tip) / depth
    radii = 0.5 * np.array([tip, pin.hole, pin.hole + slope * depth])
    return pin_cutter(pin.at, pin.along, radii, np.array([-depth, 0.0, depth]))


def _key(pin: Dowel) -> KernelSolid:
    radii = 0.5 * np.array([pin.tip, pin.diameter, pin.diameter])
    return pin_cutter(pin.at, pin.along, radii, np.array([-pin.depth, 0.0, _SUNK * pin.depth]))
