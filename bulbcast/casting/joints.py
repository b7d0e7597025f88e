"""Where a pattern is cut across its axis so that its pieces fit a printer: clear of cuts, not at the tail."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Literal

import numpy as np

from bulbcast.casting.bed import Bed, turned_to_fit
from bulbcast.casting.pattern_outline import PatternOutline
from bulbcast.shape.quadrature import Array

Position = Literal["lying", "standing"]
Plane = Literal["horizontal", "vertical", "none"]

MOST_PIECES = 40
_GRID = 601
# More pieces than need be, if that keeps a joint out of a cut.
_EXTRA_PIECES = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class CutSpan:
    """A stretch of the axis that a pocket or a screw's hole takes.

    Attributes:
        name: What it is.
        start: [m]
        end: [m]
        in_pattern: Whether it is cored, so that the pattern bears a print there.
    """

    name: str
    start: float
    end: float
    in_pattern: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class PrintSpan:
    """A core print: the stretch of the axis it takes [m], how far it stands out [m], and whether above or below."""

    start: float
    end: float
    length: float
    above: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Joints:
    """The cuts across a pattern.

    Attributes:
        places: Rising, in bulb axes. [m]
        position: How the pieces are printed.
        fits: Whether every piece fits the bed.
        angles: Of each stretch on the bed, lying; 0 standing. [rad]
        struck: Cuts that a joint runs through.
        clear_pieces: Where a joint runs through a cut, the count of pieces that would keep clear; None where
            none would.
    """

    places: tuple[float, ...]
    position: Position
    fits: bool
    angles: tuple[float, ...]
    struck: tuple[CutSpan, ...]
    clear_pieces: int | None

    @property
    def pieces(self) -> int:
        """Along the axis. [-]"""
        return len(self.places) + 1


def stretches(outline: PatternOutline, places: tuple[float, ...]) -> tuple[tuple[float, float], ...]:
    """Start and end of each stretch between joints. [m]"""
    ends = (outline.nose, *places, outline.tail)
    return tuple(pairwise(ends))


def footprint(outline: PatternOutline, start: float, end: float, plane: Plane) -> Array:
    """Outline on the bed of a lying stretch, closed, shape (n, 2). [m]"""
    part = outline.between(start, end)
    half = part.half_height if plane == "vertical" else part.half_width
    return np.stack([np.concatenate([part.x, part.x[::-1]]), np.concatenate([half, -half[::-1]])], axis=1)


def joint_room(*, hole: float, wall: float) -> float:
    """Least half width and half height of a section that takes a pair of joint dowels.

    They stand at 0.45 of the half width and 0.42 of the half height: the ellipse through that place is 0.616
    of the section's, and 0.384 of the smaller half is left outside it.

    Args:
        hole: Diameter of a dowel's hole. [m]
        wall: Wanted round it. [m]
    """
    return (0.5 * hole + wall) / (1.0 - math.hypot(0.45, 0.42))


def joints_of(
    outline: PatternOutline,
    *,
    plane: Plane,
    bed: Bed,
    position: Position | None,
    pieces: int | None,
    cuts: tuple[CutSpan, ...],
    room: float,
    clear: float,
    prints: tuple[PrintSpan, ...] = (),
) -> Joints:
    """Joints for a bed: as few as it allows, of even length, clear of cuts where that is possible.

    Args:
        outline: Of the pattern.
        plane: Where it parts.
        bed: Within its margins.
        position: How it is to be printed; None for whichever takes fewer pieces, lying if equal.
        pieces: Along the axis; None for as few as the bed allows.
        cuts: What joints keep clear of.
        room: Least half width and half height of the section at a joint. [m]
        clear: Kept between a joint and a cut. [m]
        prints: Core prints that stand out of the pattern.

    Returns:
        The joints; `fits` is False where no number of pieces, or not the number asked for, fits the bed.
    """
    choices = [
        _in_position(
            outline,
            plane=plane,
            bed=bed,
            position=one,
            pieces=pieces,
            cuts=cuts,
            room=room,
            clear=clear,
            prints=prints,
        )
        for one in ((position,) if position is not None else ("lying", "standing"))
    ]
    return min(choices, key=lambda one: (not one.fits, one.pieces, len(one.struck)))


def _in_position(
    outline: PatternOutline,
    *,
    plane: Plane,
    bed: Bed,
    position: Position,
    pieces: int | None,
    cuts: tuple[CutSpan, ...],
    room: float,
    clear: float,
    prints: tuple[PrintSpan, ...],
) -> Joints:
    grid = np.linspace(outline.nose, outline.tail, _GRID)
    thick = np.minimum(
        np.interp(grid, outline.x, outline.half_width), np.interp(grid, outline.x, outline.half_height)
    )
    sound = thick >= room

    def keeping_off(avoided: tuple[CutSpan, ...]) -> Array:
        off = sound.copy()
        for cut in avoided:
            off &= (grid <= cut.start - clear) | (grid >= cut.end + clear)
        return grid[off]

    strict, cored_off, anywhere = (
        keeping_off(cuts),
        keeping_off(tuple(cut for cut in cuts if cut.in_pattern)),
        grid[sound],
    )

    def tried(count: int, allowed: Array) -> Joints | None:
        places = _even(outline, count, allowed)
        if places is None:
            return None
        return _judged(outline, places, plane, bed, position, cuts, prints)

    if pieces is not None:
        for allowed in (strict, cored_off, anywhere):
            found = tried(pieces, allowed)
            if found is not None and found.fits:
                return _with_mend(found, strict, tried)
        found = tried(pieces, strict) or tried(pieces, anywhere)
        return found or _judged(outline, (), plane, bed, position, cuts, prints)
    loose: Joints | None = None
    for count in range(1, MOST_PIECES + 1):
        found = tried(count, strict)
        if found is not None and found.fits:
            return found
        if loose is None:
            candidates = (tried(count, allowed) for allowed in (cored_off, anywhere))
            loose = next((one for one in candidates if one is not None and one.fits), None)
        if loose is not None and count >= loose.pieces + _EXTRA_PIECES:
            return loose
    return loose or _judged(outline, (), plane, bed, position, cuts, prints)


def _with_mend(found: Joints, strict: Array, tried: Callable[[int, Array], Joints | None]) -> Joints:
    """The joints with the count of pieces that would keep clear of every cut."""
    if not found.struck:
        return found
    for count in range(1, MOST_PIECES + 1):
        other = tried(count, strict)
        if other is not None and other.fits:
            return replace(found, clear_pieces=count)
    return found


def _even(outline: PatternOutline, count: int, allowed: Array) -> tuple[float, ...] | None:
    """Joints at allowed places so that the longest stretch is as short as may be; None without enough."""
    if count == 1:
        return ()
    if len(allowed) < count - 1:
        return None
    places = np.concatenate([[outline.nose], allowed, [outline.tail]])
    # longest[k] of the best way to reach place k with so many stretches; each pass adds one.
    gap = places[None, :] - places[:, None]
    gap = np.where(gap > 0.0, gap, math.inf)
    longest = gap[0].copy()
    before = []
    for _ in range(count - 1):
        reach = np.maximum(longest[:, None], gap)
        reach[0] = math.inf
        source = np.argmin(reach, axis=0)
        longest = reach[source, np.arange(len(places))]
        before.append(source)
    if not math.isfinite(longest[-1]):
        return None
    chosen = []
    at = len(places) - 1
    for source in reversed(before):
        at = int(source[at])
        chosen.append(float(places[at]))
    return tuple(reversed(chosen))


def _print_corners(
    outline: PatternOutline, start: float, end: float, prints: tuple[PrintSpan, ...]
) -> list[Array]:
    """Outer corners of the core prints that stand out of a stretch, in its plane. [m]"""
    crown = float(outline.half_height.max())
    found = []
    for one in prints:
        if one.start < end and one.end > start:
            level = crown + one.length if one.above else -crown - one.length
            found.append(np.array([[max(one.start, start), level], [min(one.end, end), level]]))
    return found


def _judged(
    outline: PatternOutline,
    places: tuple[float, ...],
    plane: Plane,
    bed: Bed,
    position: Position,
    cuts: tuple[CutSpan, ...],
    prints: tuple[PrintSpan, ...],
) -> Joints:
    angles: list[float] = []
    fits = True
    for start, end in stretches(outline, places):
        part = outline.between(start, end)
        wide, high = float(part.half_width.max()), float(part.half_height.max())
        above, below = (
            max(
                (one.length for one in prints if one.above is up and one.start < end and one.end > start),
                default=0.0,
            )
            for up in (True, False)
        )
        # On the bed: across the parting plane, and away from it; prints stand out up and down in the boat's sense.
        if plane == "vertical":
            across, deep = (high + below, high + above), wide
        elif plane == "horizontal":
            across, deep = (wide, wide), high + max(above, below)
        else:
            across, deep = (wide, wide), 2.0 * high + above + below
        if position == "lying":
            shape = footprint(outline, start, end, plane)
            if plane == "vertical":
                shape = np.concatenate([shape, *_print_corners(outline, start, end, prints)])
            rise = deep
        else:
            shape = np.array([[-across[0], 0.0], [across[1], 0.0], [across[1], deep], [-across[0], deep]])
            rise = end - start
        angle = turned_to_fit(shape, bed)
        fits &= angle is not None and rise <= bed.height
        angles.append(0.0 if angle is None else angle)
    return Joints(
        places=places,
        position=position,
        fits=fits,
        angles=tuple(angles),
        struck=tuple(cut for cut in cuts if any(cut.start < place < cut.end for place in places)),
        clear_pieces=None,
    )
