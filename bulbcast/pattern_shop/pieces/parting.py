"""A pattern's parting, the dowels or keys that locate its halves and pieces, and the prints of its cores.

A pattern with cores has a vertical parting plane. A print in that plane draws sideways with its full draft, whether it
is raked or not, and its core rests in both halves of the mould. A pattern without cores has a horizontal parting plane
if it is at least as wide as it is high.
"""

from __future__ import annotations

import math
from typing import Literal

import numpy as np

from bulbcast.pattern.outline import PatternOutline
from bulbcast.pattern_shop.pieces.joints import Joints, Plane, stretches
from bulbcast.quantities.frozen import frozen
from bulbcast.solids.quadrature import Array

# Diameters of rod that shops sell. [m]
_RODS = (0.003, 0.004, 0.005, 0.006, 0.008, 0.010, 0.012)
_INCH_RODS = tuple(0.0254 * part for part in (1 / 8, 3 / 16, 1 / 4, 5 / 16, 3 / 8, 1 / 2))
_ROD_SHARE = 0.1
_SHORTEST_PRINT, _LONGEST_PRINT = 0.006, 0.040
# Depth of a dowel in diameters if there is room; otherwise at least one diameter.
_DEPTH, _LEAST_DEPTH = 2.5, 1.0

Register = Literal["dowels", "keys", "none"]


@frozen
class Doweling:
    """Dowels or keys that locate the halves and pieces.

    Attributes:
        plane: Parting plane of the pattern.
        offset: Distance of the plane from the axis. [m]
        register: How the plan locates the halves: "dowels", "keys" or "none".
        diameter: Diameter of a dowel. [m]
        fit: Play on the diameter; a key's socket is deeper than the key by the same amount. [m]
        draft: Draft of a key's sides. [rad]
        wall: Wall required round every hole. [m]
    """

    plane: Plane
    offset: float
    register: Register
    diameter: float
    fit: float
    draft: float
    wall: float

    @property
    def hole(self) -> float:
        """Diameter of a hole for a dowel. [m]"""
        return self.diameter + self.fit


@frozen
class Dowel:
    """One dowel or printed key across a face where pieces meet.

    Attributes:
        kind: "dowel" or "key".
        face: "parting" between the halves, or "joint" across the axis.
        at: Point at which its axis crosses the face, bulb axes. [m]
        along: Direction of its axis: "x", "y" or "z".
        diameter: Diameter of the rod, or of a key at its foot. [m]
        fit: Play in the hole, on the diameter. [m]
        depth: Depth of the hole on each side of the face, or height of the key. [m]
        draft: Draft of the sides of a key and its socket. [rad]
    """

    kind: Literal["dowel", "key"]
    face: Literal["parting", "joint"]
    at: tuple[float, float, float]
    along: Literal["x", "y", "z"]
    diameter: float
    fit: float
    depth: float
    draft: float

    @property
    def hole(self) -> float:
        """Diameter of a dowel's hole, or of a key's socket at its mouth. [m]"""
        return self.diameter + self.fit

    @property
    def tip(self) -> float:
        """Diameter of a key at its end. [m]"""
        return _tapered(self.diameter, self.depth, self.draft)

    @property
    def socket_depth(self) -> float:
        """Depth of a key's socket, which is deeper than the key by the play. [m]"""
        return self.depth + self.fit

    @property
    def socket_tip(self) -> float:
        """Diameter of a key's socket at its end. [m]"""
        return _tapered(self.hole, self.socket_depth, self.draft)

    @property
    def added(self) -> float:
        """Volume that a key adds to the first half. [m3]"""
        return frustum_volume(self.diameter, self.tip, self.depth) if self.kind == "key" else 0.0

    @property
    def taken(self) -> float:
        """Volume removed by a dowel hole, counting both sides, or by a key socket in the second half. [m3]"""
        if self.kind == "key":
            return frustum_volume(self.hole, self.socket_tip, self.socket_depth)
        return 2.0 * self.depth * 0.25 * math.pi * self.hole**2


def frustum_volume(low: float, high: float, height: float) -> float:
    """Volume of a truncated cone.

    Args:
        low: Diameter of one end. [m]
        high: Diameter of the other end. [m]
        height: [m]
    """
    return math.pi / 12.0 * height * (low * low + low * high + high * high)


def _tapered(mouth: float, depth: float, draft: float) -> float:
    """Diameter of a tapered key or socket at its far end. [m]"""
    return max(mouth - 2.0 * depth * math.tan(draft), 0.2 * mouth)


def widest_plane(*, width: float, height: float, rake: float, cored: bool) -> tuple[Plane, str]:
    """The parting plane of a pattern, if the plan gives none.

    Args:
        width: Width of the pattern. [m]
        height: Height of the pattern. [m]
        rake: Rake of the pocket and the holes. [rad]
        cored: Whether the pocket or any hole is cored.

    Returns:
        The plane, and the reason for it.
    """
    if cored and rake != 0.0:
        return "vertical", "raked core prints can only be drawn sideways"
    if cored:
        return "vertical", "core prints then have full draft and extend into both halves of the mould"
    if width >= height:
        return "horizontal", "the pattern is at least as wide as it is high, and is poured from the top"
    return "vertical", "the pattern is taller than it is wide"


def dowel_for(smallest: float, *, imperial: bool) -> float:
    """Default diameter of a pattern's dowels: the largest rod size up to a tenth of the pattern's smaller side, or
    the smallest size if none is thin enough.

    Args:
        smallest: The smaller of the pattern's width and height. [m]
        imperial: Whether to choose from inch sizes.
    """
    rods = _INCH_RODS if imperial else _RODS
    return max((rod for rod in rods if rod <= _ROD_SHARE * smallest), default=rods[0])


def print_length_for(core_depth: float) -> float:
    """Length of a core print: the depth of its core, but at least 6 mm and at most 40 mm.

    Args:
        core_depth: Depth of the pocket, or of a hole with its recess. [m]
    """
    return min(max(core_depth, _SHORTEST_PRINT), _LONGEST_PRINT)


def dowels_of(outline: PatternOutline, joints: Joints, wanted: Doweling) -> tuple[Dowel, ...]:
    """All dowels and keys of a pattern, first those across its parting, then those across its joints.

    Args:
        outline: Outline of the pattern.
        joints: The joints across its axis.
        wanted: Figures for the dowels or keys that locate the pieces.

    Returns:
        All dowels and keys, each group in order from the nose.
    """
    return (*parting_dowels(outline, joints, wanted), *joint_dowels(outline, joints, wanted))


def parting_dowels(outline: PatternOutline, joints: Joints, wanted: Doweling) -> tuple[Dowel, ...]:
    """Two dowels or keys across the parting in each stretch, far apart and clear of its ends.

    Args:
        outline: Outline of the pattern.
        joints: The joints across its axis.
        wanted: Figures for the dowels or keys that locate the pieces.

    Returns:
        Dowels or keys in order from the nose, with only one or none in a stretch that has no room for two.
    """
    if wanted.plane == "none" or wanted.register == "none":
        return ()
    found: list[Dowel] = []
    level, keyed = wanted.plane == "horizontal", wanted.register == "keys"
    diameter, hole = wanted.diameter, wanted.hole
    for number, (start, end) in enumerate(stretches(outline, joints.places)):
        # Joint dowels extend into the stretch from its cut ends.
        fore = _DEPTH * diameter if number else 0.0
        aft = _DEPTH * diameter if number + 1 < joints.pieces else 0.0
        part = outline.between(start, end)
        usable = (
            (_depths(outline, part.x, wanted) >= _LEAST_DEPTH * diameter)
            & (part.x >= start + fore + 0.5 * hole + wanted.wall)
            & (part.x <= end - aft - 0.5 * hole - wanted.wall)
        )
        if not usable.any():
            continue
        low, high = float(part.x[usable].min()), float(part.x[usable].max())
        span = high - low
        for share in (0.12, 0.88) if span >= 3.0 * hole else (0.5,):
            x = low + share * span
            room = float(_depths(outline, np.array([x]), wanted)[0])
            found.append(
                Dowel(
                    kind="key" if keyed else "dowel",
                    face="parting",
                    at=(x, 0.0, wanted.offset) if level else (x, wanted.offset, 0.0),
                    along="z" if level else "y",
                    diameter=diameter,
                    fit=wanted.fit,
                    depth=min((1.0 if keyed else _DEPTH) * diameter, room),
                    draft=wanted.draft,
                )
            )
    return tuple(found)


def _depths(outline: PatternOutline, x: Array, wanted: Doweling) -> Array:
    """Greatest depth of a hole across the parting, according to the lower estimate of `wall_round`. [m]"""
    sections = []
    for side in (-0.5, 0.5):
        wide = np.interp(x + side * wanted.hole, outline.x, outline.half_width)
        high = np.interp(x + side * wanted.hole, outline.x, outline.half_height)
        deep, across = (high, wide) if wanted.plane == "horizontal" else (wide, high)
        small = np.maximum(np.minimum(wide, high), 1e-9)
        aside = 0.5 * wanted.hole / np.maximum(across, 1e-9)
        share = np.maximum(1.0 - wanted.wall / small, 0.0) ** 2 - aside**2
        sections.append(deep * np.sqrt(np.maximum(share, 0.0)))
    least: Array = np.minimum(*sections) - abs(wanted.offset)
    return least


def joint_dowels(outline: PatternOutline, joints: Joints, wanted: Doweling) -> tuple[Dowel, ...]:
    """A pair of dowels across each joint of each half, as deep as the walls and stretches allow.

    Args:
        outline: Outline of the pattern.
        joints: The joints across its axis.
        wanted: Figures for the dowels or keys that locate the pieces.

    Returns:
        Dowels in order from the nose, with none at a joint that has no room for them.
    """
    found = []
    ends = (outline.nose, *joints.places, outline.tail)
    for number, x in enumerate(joints.places, start=1):
        wide, high = outline.halves(x)
        # The next joint's dowels come in from the other end of each stretch.
        shortest = min(x - ends[number - 1], ends[number + 1] - x)
        deepest = 0.5 * shortest - wanted.wall
        for y, z, into in _joint_places(wide, high, wanted):
            if into < 0.5 * wanted.hole + wanted.wall:
                continue
            for depth in (_DEPTH, 2.0, 1.5, _LEAST_DEPTH):
                dowel = Dowel(
                    kind="dowel",
                    face="joint",
                    at=(x, y, z),
                    along="x",
                    diameter=wanted.diameter,
                    fit=wanted.fit,
                    depth=depth * wanted.diameter,
                    draft=wanted.draft,
                )
                if dowel.depth <= deepest and wall_round(outline, dowel) >= wanted.wall:
                    found.append(dowel)
                    break
    return tuple(found)


def wall_round(outline: PatternOutline, dowel: Dowel) -> float:
    """Lower estimate of the thinnest wall between the ends of a dowel's hole and the pattern's outside.

    The ellipse through a point is never nearer to the section's outline than the smaller semi-axis times the remaining
    fraction of the radius; the ends of a parting dowel are treated the same way.

    Args:
        outline: Outline of the pattern.
        dowel: A dowel in the pattern.

    Returns:
        The wall; negative if the hole breaks out. [m]
    """
    least = math.inf
    for side in (-1.0, 1.0):
        x, y, z = (
            place + side * dowel.depth * (dowel.along == axis)
            for place, axis in zip(dowel.at, "xyz", strict=True)
        )
        aside = 0.0 if dowel.along == "x" else 0.5 * dowel.hole
        ends = (outline.halves(x - aside), outline.halves(x + aside))
        wide, high = min(one[0] for one in ends), min(one[1] for one in ends)
        if wide <= 0.0 or high <= 0.0:
            return -math.inf
        if dowel.along == "x":
            gap = (1.0 - math.hypot(y / wide, z / high)) * min(wide, high) - 0.5 * dowel.hole
        else:
            # The corner at the end of the hole, its radius off the axis.
            corner = (y / wide, (abs(z)) / high) if dowel.along == "z" else (abs(y) / wide, z / high)
            off = aside / (wide if dowel.along == "z" else high)
            gap = (1.0 - math.hypot(*corner, off)) * min(wide, high)
        least = min(least, gap)
    return least


def _joint_places(wide: float, high: float, wanted: Doweling) -> list[tuple[float, float, float]]:
    """Positions (y, z) of the dowels of one joint, 0.45 of the way across and 0.42 of the way into each half, and their
    depth in that half."""
    if wanted.plane == "none":
        return [(-0.45 * wide, 0.0, high), (0.45 * wide, 0.0, high)]
    level = wanted.plane == "horizontal"
    deep, across = (high, wide) if level else (wide, high)
    found = []
    for half in (1.0, -1.0):
        into = 0.42 * (deep - half * wanted.offset)
        off = wanted.offset + half * into
        for side in (-0.45 * across, 0.45 * across):
            found.append((side, off, into) if level else (off, side, into))
    return found
