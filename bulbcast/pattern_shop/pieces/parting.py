"""Where a pattern parts, what brings its halves and pieces together, and the prints of its cores.

Cores part the pattern upright. A print in the parting plane draws sideways with all its draft, raked or not,
and its core rests in both halves of the mould; a pattern without cores parts level where it is as wide as high.
"""

from __future__ import annotations

import math
from typing import Literal

import numpy as np

from bulbcast.pattern.outline import PatternOutline
from bulbcast.pattern_shop.pieces.joints import Joints, Plane, stretches
from bulbcast.quantities.frozen import frozen
from bulbcast.solids.quadrature import Array

# Rods as shops sell them. [m]
_RODS = (0.003, 0.004, 0.005, 0.006, 0.008, 0.010, 0.012)
_INCH_RODS = tuple(0.0254 * part for part in (1 / 8, 3 / 16, 1 / 4, 5 / 16, 3 / 8, 1 / 2))
_ROD_SHARE = 0.1
_SHORTEST_PRINT, _LONGEST_PRINT = 0.006, 0.040
# A dowel goes in by so many diameters where there is room, and by one at least.
_DEPTH, _LEAST_DEPTH = 2.5, 1.0

Register = Literal["dowels", "keys", "none"]


@frozen
class Doweling:
    """What brings halves and pieces together.

    Attributes:
        plane: Where the pattern parts.
        offset: Of the plane from the axis. [m]
        register: What is required across it.
        diameter: Of a dowel. [m]
        fit: Play, on the diameter; a key's socket is deeper by as much. [m]
        draft: Of a key's sides. [rad]
        wall: Required round every hole. [m]
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
        """Diameter of a hole. [m]"""
        return self.diameter + self.fit


@frozen
class Dowel:
    """One dowel, or one printed key, across a face where pieces meet.

    Attributes:
        kind: "dowel" or "key".
        face: "parting" between the halves, or "joint" across the axis.
        at: Middle of its mouth on the face, bulb axes. [m]
        along: Direction of its axis: "x", "y" or "z".
        diameter: Of the rod, or of a key where it stands on its half. [m]
        fit: Play in the hole, on the diameter. [m]
        depth: Of the hole on each side of the face, or of the key's height. [m]
        draft: Of a key's and its socket's sides. [rad]
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
        """Diameter of the hole, or of a key's socket at its mouth. [m]"""
        return self.diameter + self.fit

    @property
    def tip(self) -> float:
        """Diameter of a key at its end. [m]"""
        return _tapered(self.diameter, self.depth, self.draft)

    @property
    def socket_depth(self) -> float:
        """Of a key's socket: deeper than the key by the play. [m]"""
        return self.depth + self.fit

    @property
    def socket_tip(self) -> float:
        """Diameter of a key's socket at its end. [m]"""
        return _tapered(self.hole, self.socket_depth, self.draft)

    @property
    def added(self) -> float:
        """What a key adds to the first half. [m3]"""
        return frustum_volume(self.diameter, self.tip, self.depth) if self.kind == "key" else 0.0

    @property
    def taken(self) -> float:
        """What a dowel's hole takes on both sides together, or a key's socket from the second half. [m3]"""
        if self.kind == "key":
            return frustum_volume(self.hole, self.socket_tip, self.socket_depth)
        return 2.0 * self.depth * 0.25 * math.pi * self.hole**2


def frustum_volume(low: float, high: float, height: float) -> float:
    """Of a cone cut off square.

    Args:
        low: Diameter of one end. [m]
        high: Of the other. [m]
        height: [m]
    """
    return math.pi / 12.0 * height * (low * low + low * high + high * high)


def _tapered(mouth: float, depth: float, draft: float) -> float:
    """Diameter of a tapered key or socket at its far end. [m]"""
    return max(mouth - 2.0 * depth * math.tan(draft), 0.2 * mouth)


def widest_plane(*, width: float, height: float, rake: float, cored: bool) -> tuple[Plane, str]:
    """The plane in which a pattern parts where none is asked for.

    Args:
        width: Of the pattern. [m]
        height: [m]
        rake: Of pocket and holes. [rad]
        cored: Whether any of them is cored.

    Returns:
        The plane, and why.
    """
    if cored and rake != 0.0:
        return "vertical", "raked core prints draw sideways only"
    if cored:
        return "vertical", "core prints then have full draft, and rest in both halves of the mould"
    if width >= height:
        return "horizontal", "it is as wide as high or wider, and pours from the top"
    return "vertical", "it is higher than wide"


def dowel_for(smallest: float, *, imperial: bool) -> float:
    """A usual rod for a pattern: a tenth of its smaller side or the next below, the thinnest at least.

    Args:
        smallest: The smaller of the pattern's width and height. [m]
        imperial: Rods in inches.
    """
    rods = _INCH_RODS if imperial else _RODS
    return max((rod for rod in rods if rod <= _ROD_SHARE * smallest), default=rods[0])


def print_length_for(core_depth: float) -> float:
    """How far a core print stands out: as deep as its core goes in, within what is usual.

    Args:
        core_depth: Of the pocket, or of a hole with its recess. [m]
    """
    return min(max(core_depth, _SHORTEST_PRINT), _LONGEST_PRINT)


def dowels_of(outline: PatternOutline, joints: Joints, wanted: Doweling) -> tuple[Dowel, ...]:
    """All dowels and keys of a pattern: across its parting first, then across its joints.

    Args:
        outline: Of the pattern.
        joints: Across its axis.
        wanted: What brings it together.

    Returns:
        Each in order from the nose.
    """
    return (*parting_dowels(outline, joints, wanted), *joint_dowels(outline, joints, wanted))


def parting_dowels(outline: PatternOutline, joints: Joints, wanted: Doweling) -> tuple[Dowel, ...]:
    """Two dowels or keys across the parting of each stretch, far apart and clear of its ends.

    Args:
        outline: Of the pattern.
        joints: Across its axis.
        wanted: What brings it together.

    Returns:
        In order from the nose; one or none in a stretch without room for more.
    """
    if wanted.plane == "none" or wanted.register == "none":
        return ()
    found: list[Dowel] = []
    level, keyed = wanted.plane == "horizontal", wanted.register == "keys"
    diameter, hole = wanted.diameter, wanted.hole
    for number, (start, end) in enumerate(stretches(outline, joints.places)):
        # Joint dowels reach into the stretch from its cut ends.
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
    """How deep from the plane a hole across the parting may go, by the lower estimate of `wall_round`. [m]"""
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
    """A pair of dowels across each joint of each half, as deep as walls and stretches allow.

    Args:
        outline: Of the pattern.
        joints: Across its axis.
        wanted: What brings it together.

    Returns:
        In order from the nose; none where a joint has no room for them.
    """
    found = []
    ends = (outline.nose, *joints.places, outline.tail)
    for number, x in enumerate(joints.places, start=1):
        wide, high = outline.halves(x)
        # Dowels of the next joint come from the other end of each stretch.
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
    """Least wall between a dowel's hole and the pattern's outside, at its ends; a lower estimate.

    The ellipse through a point lies nowhere nearer to the section's own than the smaller half axis times what is
    left of the radius; a parting dowel's ends are looked at likewise.

    Args:
        outline: Of the pattern.
        dowel: In it.

    Returns:
        Below zero where the hole breaks out. [m]
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
            # The corner of the hole's end, off the axis by its radius.
            corner = (y / wide, (abs(z)) / high) if dowel.along == "z" else (abs(y) / wide, z / high)
            off = aside / (wide if dowel.along == "z" else high)
            gap = (1.0 - math.hypot(*corner, off)) * min(wide, high)
        least = min(least, gap)
    return least


def _joint_places(wide: float, high: float, wanted: Doweling) -> list[tuple[float, float, float]]:
    """(y, z) of the dowels of one joint, at 0.45 across and 0.42 into each half, and how far into it that is."""
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
