"""Joints across a pattern's axis that divide it into pieces small enough for a printer.

Each joint is at a section large enough for its dowels. Joints avoid all cuts, including those made later in the lead, at
the cost of up to two more pieces than the bed requires. If that fails, they run through a cut, which is reported.
"""

from __future__ import annotations

import math
from itertools import pairwise
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from bulbcast.pattern.outline import PatternOutline
from bulbcast.pattern_shop.printer.bed import Bed, turned_to_fit
from bulbcast.quantities.frozen import frozen, replace
from bulbcast.solids.quadrature import Array

Position = Literal["lying", "standing"]
Plane = Literal["horizontal", "vertical", "none"]
_POSITIONS: tuple[Position, ...] = ("lying", "standing")

MOST_PIECES = 40
_GRID = 481
_PER_METRE = 64e3
# How many extra pieces to allow, if that keeps a joint out of a cut.
_EXTRA_PIECES = 2


@frozen
class CutSpan:
    """A stretch of the axis occupied by a pocket or a screw's hole.

    Attributes:
        name: Name of the cut.
        start: Forward end of the stretch. [m]
        end: Aft end of the stretch. [m]
        in_pattern: Whether the cut is cored, so that the pattern has a core print there.
    """

    name: str
    start: float
    end: float
    in_pattern: bool


@frozen
class PrintSpan:
    """A core print, with the stretch of the axis that it occupies [m], its length [m], and whether it is above or below
    the pattern."""

    start: float
    end: float
    length: float
    above: bool


@frozen
class ToCut:
    """A complete pattern and the limits for its joints.

    Attributes:
        outline: Outline of the pattern.
        plane: Parting plane.
        bed: The bed within its margins.
        cuts: Cuts that joints must avoid.
        room: Minimum half width and half height of the section at a joint. [m]
        clear: Minimum distance between a joint and a cut. [m]
        prints: Core prints that project from the pattern.
    """

    outline: PatternOutline
    plane: Plane
    bed: Bed
    cuts: tuple[CutSpan, ...]
    room: float
    clear: float
    prints: tuple[PrintSpan, ...] = ()

    def places(self, avoided: tuple[CutSpan, ...]) -> Array:
        """Possible positions for a joint, clear of these cuts.

        The positions in millimetres can be stored exactly in single precision, so that a joint's face is flat in the
        file too.
        """
        outline = self.outline
        grid = np.round(np.linspace(outline.nose, outline.tail, _GRID) * _PER_METRE) / _PER_METRE
        grid = grid[(grid > outline.nose) & (grid < outline.tail)]
        wide = np.interp(grid, outline.x, outline.half_width)
        high = np.interp(grid, outline.x, outline.half_height)
        free = np.minimum(wide, high) >= self.room
        for cut in avoided:
            free &= (grid <= cut.start - self.clear) | (grid >= cut.end + self.clear)
        allowed: Array = grid[free]
        return allowed


@frozen
class Joints:
    """The joints across a pattern.

    Attributes:
        places: Positions of the joints in ascending order, bulb axes. [m]
        position: Position of the pieces on the bed when they are printed.
        fits: Whether every piece fits the bed.
        angles: Angle of each stretch on the bed; 0 from the first stretch that does not fit. [rad]
        struck: Cuts crossed by a joint.
        clear_pieces: If the number of pieces set in the plan puts a joint through a cut, the smallest number that keeps
            every joint clear; None otherwise, or if no number does.
    """

    places: tuple[float, ...]
    position: Position
    fits: bool
    angles: tuple[float, ...]
    struck: tuple[CutSpan, ...]
    clear_pieces: int | None

    @property
    def pieces(self) -> int:
        """Number of pieces along the axis. [-]"""
        return len(self.places) + 1


def stretches(outline: PatternOutline, places: tuple[float, ...]) -> tuple[tuple[float, float], ...]:
    """Both ends of each stretch between joints. [m]"""
    ends = (outline.nose, *places, outline.tail)
    return tuple(pairwise(ends))


def joint_room(*, hole: float, wall: float) -> float:
    """Minimum half width and half height of a section with room for a pair of joint dowels.

    The dowels are at 0.45 of the half width and 0.42 of the half height. The ellipse through that point is 0.616
    times the size of the section, which leaves 0.384 of the smaller semi-axis outside it.

    Args:
        hole: Diameter of a dowel's hole. [m]
        wall: Wall required round the hole. [m]
    """
    return (0.5 * hole + wall) / (1.0 - math.hypot(0.45, 0.42))


def joints_of(whole: ToCut, position: Position | None, pieces: int | None) -> Joints:
    """Joints for a bed: as few as the bed allows, evenly spaced, and clear of cuts if possible.

    Args:
        whole: The pattern.
        position: Position for printing; None for the position that needs fewer pieces, or for the lying position if
            both need the same number.
        pieces: Number of pieces along the axis; None for the smallest number that the bed allows.

    Returns:
        The joints; `fits` is False if the number asked for, or any number, does not fit the bed.
    """
    choices = [
        _in_position(whole, one, pieces) for one in ((position,) if position is not None else _POSITIONS)
    ]
    return min(choices, key=lambda one: (not one.fits, one.pieces, len(one.struck)))


def _in_position(whole: ToCut, position: Position, pieces: int | None) -> Joints:
    outline = whole.outline
    # First clear of every cut, then of those with a print, then of none.
    ways = [
        _EvenWays(outline, whole.places(avoided))
        for avoided in (whole.cuts, tuple(cut for cut in whole.cuts if cut.in_pattern), ())
    ]
    # No stretch longer than this fits, at any angle.
    limit = whole.bed.height if position == "standing" else whole.bed.diagonal

    def tried(count: int, way: _EvenWays) -> Joints | None:
        found = way.places(count)
        if found is None or found[1] > limit * (1.0 + 1e-12):
            return None
        judged = _judged(whole, found[0], position)
        return judged if judged.fits else None

    def unfit(count: int) -> Joints:
        found = ways[0].places(count) or ways[-1].places(count) or ((), outline.length)
        return _judged(whole, found[0], position)

    # A slice at the largest section: if that does not fit, no number of pieces helps.
    at = outline.widest_at
    thin = replace(whole, outline=outline.between(at - 1e-6, at + 1e-6), cuts=(), prints=())
    if not _judged(thin, (), position).fits:
        return unfit(1 if pieces is None else pieces)
    if pieces is not None:
        for way in ways:
            asked = tried(pieces, way)
            if asked is not None and not asked.struck:
                return asked
            if asked is not None:
                counts = range(1, MOST_PIECES + 1)
                clear = next((count for count in counts if tried(count, ways[0]) is not None), None)
                return replace(asked, clear_pieces=clear)
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


class _EvenWays:
    """Joints at allowed positions that make the longest stretch as short as possible, for each number of pieces."""

    def __init__(self, outline: PatternOutline, allowed: Array) -> None:
        self._at = np.concatenate([[outline.nose], allowed, [outline.tail]])
        gap = self._at[None, :] - self._at[:, None]
        self._gap = np.where(gap > 0.0, gap, math.inf)
        # Longest stretch of the best division up to each position with 1, 2, ... stretches, and where it came from.
        self._longest = [self._gap[0].copy()]
        self._before: list[NDArray[np.intp]] = []

    def places(self, count: int) -> tuple[tuple[float, ...], float] | None:
        """Joints of the best division into `count` stretches, and the length of its longest stretch; None if there are
        too few positions. [m]"""
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


def _judged(whole: ToCut, places: tuple[float, ...], position: Position) -> Joints:
    """The joints at these positions, and whether every stretch between them fits the bed."""
    angles: list[float] = []
    fits = True
    for start, end in stretches(whole.outline, places):
        shape, rise = _on_bed(whole, start, end, position)
        angle = turned_to_fit(shape, whole.bed) if fits and rise <= whole.bed.height else None
        fits &= angle is not None
        angles.append(0.0 if angle is None else angle)
    return Joints(
        places=places,
        position=position,
        fits=fits,
        angles=tuple(angles),
        struck=tuple(cut for cut in whole.cuts if any(cut.start < place < cut.end for place in places)),
        clear_pieces=None,
    )


def _on_bed(whole: ToCut, start: float, end: float, position: Position) -> tuple[Array, float]:
    """Closed outline, on the bed, of one stretch of the pattern, shape (n, 2), and its height above the bed. [m]"""
    plane, part = whole.plane, whole.outline.between(start, end)
    wide, high = float(part.half_width.max()), float(part.half_height.max())
    prints = [one for one in whole.prints if one.start < end and one.end > start]
    above, below = (
        max((one.length for one in prints if one.above is up), default=0.0) for up in (True, False)
    )
    # On the bed: across the parting plane, and away from it; prints project up and down as in the boat.
    if plane == "vertical":
        across, deep = (high + below, high + above), wide
    elif plane == "horizontal":
        across, deep = (wide, wide), high + max(above, below)
    else:
        across, deep = (wide, wide), 2.0 * high + above + below
    if position == "standing":
        left, right = -across[0], across[1]
        return np.array([[left, 0.0], [right, 0.0], [right, deep], [left, deep]]), end - start
    half = part.half_height if plane == "vertical" else part.half_width
    shapes = [np.stack([np.concatenate([part.x, part.x[::-1]]), np.concatenate([half, -half[::-1]])], axis=1)]
    if plane == "vertical":
        # Outer corners of the prints that lie in the plane.
        crown = float(whole.outline.half_height.max())
        for one in prints:
            level = crown + one.length if one.above else -crown - one.length
            shapes.append(np.array([[max(one.start, start), level], [min(one.end, end), level]]))
    return np.concatenate(shapes), deep
