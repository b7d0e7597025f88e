"""Where a pattern is cut across its axis so that its pieces fit a printer: clear of cuts, not at the tail."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from bulbcast.pattern.outline import PatternOutline
from bulbcast.pattern_shop.printer.bed import Bed, turned_to_fit
from bulbcast.solids.quadrature import Array

Position = Literal["lying", "standing"]
Plane = Literal["horizontal", "vertical", "none"]

MOST_PIECES = 40
_GRID = 481
_PER_METRE = 64e3
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
    # On the grid that single precision holds exactly in mm, so that a cut's face is flat in the file too.
    grid = np.round(np.linspace(outline.nose, outline.tail, _GRID) * _PER_METRE) / _PER_METRE
    grid = grid[(grid > outline.nose) & (grid < outline.tail)]
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

    ways = [_EvenWays(outline, allowed) for allowed in (strict, cored_off, anywhere)]
    # No stretch longer than this fits, however it is turned.
    limit = bed.height if position == "standing" else bed.diagonal

    def tried(count: int, way: _EvenWays) -> Joints | None:
        found = way.places(count)
        if found is None or found[1] > limit * (1.0 + 1e-12):
            return None
        judged = _judged(outline, found[0], plane, bed, position, cuts, prints)
        return judged if judged.fits else None

    def unfit(count: int) -> Joints:
        found = ways[0].places(count) or ways[-1].places(count) or ((), outline.length)
        return _judged(outline, found[0], plane, bed, position, cuts, prints)

    if not _section_fits(outline, plane, bed, position):
        return unfit(1 if pieces is None else pieces)
    if pieces is not None:
        for way in ways:
            asked = tried(pieces, way)
            if asked is not None:
                return (
                    asked if not asked.struck else replace(asked, clear_pieces=_clear_count(tried, ways[0]))
                )
        return unfit(pieces)
    loose: Joints | None = None
    for count in range(1, MOST_PIECES + 1):
        clear_of_cuts = tried(count, ways[0])
        if clear_of_cuts is not None:
            return clear_of_cuts
        if loose is None:
            loose = tried(count, ways[1]) or tried(count, ways[2])
        if loose is not None and count >= loose.pieces + _EXTRA_PIECES:
            break
    return loose or unfit(1)


def _clear_count(tried: Callable[[int, _EvenWays], Joints | None], strict: _EvenWays) -> int | None:
    """The least count of pieces that keeps every joint clear of every cut; None where none does."""
    return next((count for count in range(1, MOST_PIECES + 1) if tried(count, strict) is not None), None)


def _section_fits(outline: PatternOutline, plane: Plane, bed: Bed, position: Position) -> bool:
    """Whether a slice at the largest section fits: where it does not, no number of pieces helps."""
    at = outline.widest_at
    judged = _judged(outline.between(at - 1e-6, at + 1e-6), (), plane, bed, position, (), ())
    return judged.fits


class _EvenWays:
    """Joints at allowed places so that the longest stretch is as short as may be, for each count of pieces."""

    def __init__(self, outline: PatternOutline, allowed: Array) -> None:
        self._at = np.concatenate([[outline.nose], allowed, [outline.tail]])
        gap = self._at[None, :] - self._at[:, None]
        self._gap = np.where(gap > 0.0, gap, math.inf)
        # Longest stretch of the best way to each place with 1, 2, ... stretches, and where it came from.
        self._longest = [self._gap[0].copy()]
        self._before: list[NDArray[np.intp]] = []

    def places(self, count: int) -> tuple[tuple[float, ...], float] | None:
        """Joints of the best way in `count` stretches and its longest stretch; None without enough places. [m]"""
        while len(self._longest) < count:
            reach = np.maximum(self._longest[-1][:, None], self._gap)
            reach[0] = math.inf
            source = np.argmin(reach, axis=0)
            self._longest.append(reach[source, np.arange(len(self._at))])
            self._before.append(source)
        longest = float(self._longest[count - 1][-1])
        if not math.isfinite(longest):
            return None
        chosen = []
        at = len(self._at) - 1
        for source in reversed(self._before[: count - 1]):
            at = int(source[at])
            chosen.append(float(self._at[at]))
        return tuple(reversed(chosen)), longest


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
        angle = turned_to_fit(shape, bed) if fits and rise <= bed.height else None
        fits &= angle is not None
        angles.append(0.0 if angle is None else angle)
    return Joints(
        places=places,
        position=position,
        fits=fits,
        angles=tuple(angles),
        struck=tuple(cut for cut in cuts if any(cut.start < place < cut.end for place in places)),
        clear_pieces=None,
    )
