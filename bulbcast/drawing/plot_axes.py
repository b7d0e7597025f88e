"""Axes of a plot: ticks at round figures, their labels, and positions for lettering that would otherwise overlap."""

from __future__ import annotations

import math
from collections.abc import Sequence

from bulbcast.quantities.frozen import frozen

_STEPS = (1.0, 2.0, 2.5, 5.0, 10.0)


@frozen
class Axis:
    """An axis that maps figures to positions on paper.

    Attributes:
        low: Figure at the position `start`.
        high: Figure at the position `end`.
        start: Position of the lower end on paper. [mm]
        end: Position of the upper end on paper. [mm]
        ticks: Figures marked by ticks.
        labels: Text of each tick.
    """

    low: float
    high: float
    start: float
    end: float
    ticks: tuple[float, ...]
    labels: tuple[str, ...]

    def place(self, figure: float) -> float:
        """Return the position of a figure on paper.

        Args:
            figure: Figure in the unit of the axis. [-]

        Returns:
            Position on paper. [mm]
        """
        return self.start + (self.end - self.start) * (figure - self.low) / (self.high - self.low)


def round_axis(figures: Sequence[float], *, start: float, end: float, most: int) -> Axis:
    """Return an axis that covers the given figures, with ticks at round figures.

    Args:
        figures: One or more figures. [-]
        start: Position of the lower end. [mm]
        end: Position of the upper end. [mm]
        most: Maximum number of ticks, at least 3. [-]

    Returns:
        The axis, which extends beyond the figures to the next tick at both ends.
    """
    low, high = min(figures), max(figures)
    if high - low <= 1e-12 * max(abs(low), abs(high)):
        room = 0.05 * abs(high) or 1.0
        low, high = low - room, high + room
    step = _round_step((high - low) / (most - 1))
    first, last = math.floor(low / step + 1e-9), math.ceil(high / step - 1e-9)
    if last - first + 1 > most:
        step = _round_step(1.01 * step)
        first, last = math.floor(low / step + 1e-9), math.ceil(high / step - 1e-9)
    ticks = tuple(step * i for i in range(first, last + 1))
    return Axis(
        low=ticks[0],
        high=ticks[-1],
        start=start,
        end=end,
        ticks=ticks,
        labels=tuple(_written(tick, step) for tick in ticks),
    )


def axis_at(
    figures: Sequence[float], *, start: float, end: float, margin: float, most: int, unit_width: float
) -> Axis:
    """Return an axis from the lowest figure to the highest, with ticks at the figures themselves if there are few.

    Args:
        figures: One or more figures. [-]
        start: Position of the lower end. [mm]
        end: Position of the upper end. [mm]
        margin: Free margin inside both ends. [mm]
        most: Maximum number of ticks. [-]
        unit_width: Width of one character of a label. [mm]

    Returns:
        The axis.
    """
    own = sorted(set(figures))
    low, high = own[0], own[-1]
    if high == low:
        room = 0.05 * abs(high) or 1.0
        low, high = low - room, high + room
    spare = margin * (high - low) / (end - start - 2.0 * margin)
    low, high = low - spare, high + spare
    labels = [f"{figure:.4g}" for figure in own]
    places = [start + (end - start) * (figure - low) / (high - low) for figure in own]
    clear = all(
        after - before >= unit_width * (0.5 * (len(a) + len(b)) + 1.5)
        for before, after, a, b in zip(places, places[1:], labels, labels[1:], strict=False)
    )
    if len(own) > most or not clear or len(set(labels)) < len(own):
        step = _round_step((own[-1] - own[0]) / min(most, 6))
        ticks = [step * i for i in range(math.ceil(low / step), math.floor(high / step) + 1)]
        own, labels = ticks, [_written(tick, step) for tick in ticks]
    return Axis(low=low, high=high, start=start, end=end, ticks=tuple(own), labels=tuple(labels))


def moved_apart(wanted: Sequence[float], gap: float, low: float, high: float) -> list[float]:
    """Return positions as close as possible to the requested ones, with a gap between neighbours.

    Args:
        wanted: Requested positions, in any order. [mm]
        gap: Minimum distance between neighbours. [mm]
        low: Lower end of the space. [mm]
        high: Upper end of the space; positions that do not fit extend beyond it. [mm]

    Returns:
        Positions in the same order as the requested ones. [mm]
    """
    order = sorted(range(len(wanted)), key=lambda i: (wanted[i], i))
    # Blocks that touch move together, to the mean of the positions requested by their members.
    blocks: list[list[int]] = []
    starts: list[float] = []
    for i in order:
        blocks.append([i])
        starts.append(wanted[i])
        while len(blocks) > 1 and starts[-2] + gap * len(blocks[-2]) > starts[-1]:
            blocks[-2:] = [blocks[-2] + blocks[-1]]
            members = blocks[-1]
            starts[-2:] = [math.fsum(wanted[j] - gap * n for n, j in enumerate(members)) / len(members)]
    places = [0.0] * len(wanted)
    for members, begin in zip(blocks, starts, strict=True):
        for n, i in enumerate(members):
            places[i] = begin + gap * n
    if order:
        # Pushed in from both ends, the upper end first; blocks that do not fit then extend beyond the upper end.
        limit = high
        for i in reversed(order):
            places[i] = min(places[i], limit)
            limit = places[i] - gap
        limit = max(low, min(high - gap * (len(order) - 1), low))
        for i in order:
            places[i] = max(places[i], limit)
            limit = places[i] + gap
    return places


def _round_step(rough: float) -> float:
    power = 10.0 ** math.floor(math.log10(rough))
    return power * next(step for step in _STEPS if step * power >= rough * (1.0 - 1e-9))


def _written(tick: float, step: float) -> str:
    """Format a tick with as many decimals as its step requires."""
    decimals = next((n for n in range(9) if abs(step * 10**n - round(step * 10**n)) < 1e-6 * 10**n * step), 9)
    text = f"{tick:.{decimals}f}"
    return text[1:] if text.startswith("-") and not text.strip("-0.") else text
