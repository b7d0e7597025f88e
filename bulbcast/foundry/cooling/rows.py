"""Cooling of any number of bars at once, with a separate time, step and iteration for each.

The method is that of `solver`: implicit two-step backward differences with a variable step for the heat of every
cell, Newton's method on the linear pieces of the heat curves, and heats that follow from the flows at the temperatures
found. Here each column is a bar, with its cells from the axis outwards, and each pass of the loop is one iteration of
every bar. A bar whose iteration has converged completes its step and starts the next while the others are still
iterating. The results for a bar do not depend on the other bars or on how many are cooled together: the operations and
their order are always the same, so the results agree to the last bit.

A cell that freezes within a step causes an error of first order in the length of the step. The steps therefore shorten
towards the end of a bar's freezing, according to the amount of metal left to freeze, and a step that overshoots the
end is repeated.

Lengths are in units of a bar's radius, times in units of its square, and heats are per unit volume of a cell.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bulbcast.materials.heat import MetalHeat, MouldHeat

Array = NDArray[np.float64]
Mask = NDArray[np.bool_]

TOLERANCE = 0.02
"""Permitted difference between the temperatures that an iteration aims at and those of the resulting heats. [K]"""
GROWTH = 2.0
"""Maximum ratio of each step to the one before. [-]"""
NEAR = 0.1
"""Maximum ratio of a step to the time left until the bar is frozen. [-]"""
PAST = 0.001
"""Permitted overshoot of a bar's last step, and lower limit on the steps shortly before it, both as fractions of the
elapsed time. [-]"""
_ITERATIONS = 6
_SHORTER, _SHORTEST = 0.4, 1e-6
_STIFF = 1e12
_LOWEST, _HIGHEST = -60.0, 900.0
_MOST_TURNS = 20000
_FEW = 20
"""Number of bars up to which elimination in plain Python is faster than array calls."""


class NotSettledError(RuntimeError):
    """Raised if the iteration for a time step does not converge, however short the step."""


def metal_pieces(metal: MetalHeat, mould: MouldHeat) -> Array:
    """Linear pieces of a metal's heat curve per cubic metre, also divided at the bends of the mould's curve.

    Args:
        metal: Metal of the casting.
        mould: Material of the mould.

    Returns:
        Five figures for each piece, by ascending temperature, shape (5, pieces): the heat at which it begins [J/m3]; the
        heat per kelvin, almost infinite if it freezes at one temperature [J/(m3 K)]; the heat at 0 degC if the piece
        were extended that far [J/m3]; the solid fraction at zero heat, extrapolated in the same way; and the change of
        that fraction with the heat [m3/J]. Below the solidus the fraction keeps rising at the rate at which the last
        metal froze.
    """
    fixed = (_LOWEST, mould.reaction_from, mould.reaction_to)
    at = np.array([*fixed, *(one for one, _ in metal.freezing), _HIGHEST])
    share = np.array([1.0] * len(fixed) + [one for _, one in metal.freezing] + [0.0])
    heat = metal.density * metal.heats(at, share)
    keep = np.concatenate(([True], heat[1:] > heat[:-1]))
    at, share, heat = at[keep], share[keep], heat[keep]
    rise, gained = np.diff(at), np.diff(heat)
    flat = rise <= 0.0
    stiff = _STIFF * metal.density * metal.liquid_specific_heat
    holds = np.where(flat, stiff, gained / np.where(flat, 1.0, rise))
    change = np.diff(share) / gained
    at_none = share[:-1] - change * heat[:-1]
    frozen = int(np.argmax(share[1:] < 1.0))
    change[:frozen], at_none[:frozen] = change[frozen], at_none[frozen]
    return np.array([heat[:-1], holds, np.where(flat, 0.0, heat[:-1]) - holds * at[:-1], at_none, change])


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Rows:
    """Bars to cool, all with the same number of metal cells. Shapes are (cells, bars), (cells - 1, bars) for links, and
    (bars,).

    Bars with fewer mould cells than others are padded with unused cells, which are not linked to anything.

    Attributes:
        curve: Index of the metal's curve.
        volume: Volume of the cells. [m3]
        link: Conductance of each link; within metal, for a conductivity of 1. [W/K]
        liquid: Conductivity of the liquid metal. [W/(m K)]
        solid: Conductivity of the solid metal. [W/(m K)]
        outer: Conductance to the surroundings. [W/K]
        around: Temperature of the surroundings. [degC]
        holds: Heat capacity of the mould. [J/(m3 K)]
        bound: Heat absorbed by driving off the mould's bound water. [J/m3]
        leaves: Temperature at which the water begins to be driven off. [degC]
        left: Temperature at which all of it has been driven off. [degC]
        level: Solid fraction at which the bar's freezing time ends; 0 to end it when the last cell reaches `frozen`.
            [-]
        first: Length of the first step. [s]
        heat: Heat of the cells at the start. [J/m3]
    """

    curve: NDArray[np.int64]
    volume: Array
    link: Array
    liquid: Array
    solid: Array
    outer: Array
    around: Array
    holds: Array
    bound: Array
    leaves: Array
    left: Array
    level: Array
    first: Array
    heat: Array


def cooled(rows: Rows, curves: Array, metal: int, *, step: float, frozen: float) -> Array:
    """Cool the bars until each has frozen as far as required.

    Args:
        rows: Bars to cool.
        curves: Curves of the metals, shape (5, metals, pieces), from `metal_pieces`; unused pieces of a shorter curve
            begin at infinite heat.
        metal: Number of metal cells in each bar.
        step: Maximum ratio of a step to the elapsed time. [-]
        frozen: Solid fraction at which a cell counts as frozen. [-]

    Returns:
        Freezing times of the bars, shape (bars,). [s]

    Raises:
        NotSettledError: A step did not converge, or too many were needed.
    """
    cooling = _Cooling(rows, curves, metal, step, frozen)
    for _ in range(_MOST_TURNS):
        if not cooling.turn():
            return cooling.times
    raise NotSettledError(f"{_MOST_TURNS} iterations were not enough to freeze every bar.")


_OF_BARS = (
    *("number", "base", "bends", "volume", "link", "liquid", "harder", "outer", "flow_in", "mould_holds"),
    *("bound", "leaves", "left", "reacting", "level", "whole", "first", "time", "step", "last", "heat"),
    *("older", "done", "mean", "tries", "peak", "sums", "start", "rate", "holds", "offset"),
)
"""Arrays with one column per bar."""


class _Cooling:
    """Bars still to freeze, with their properties, present state and current step."""

    def __init__(self, rows: Rows, curves: Array, metal: int, step: float, frozen: float) -> None:
        self.metal, self.share, self.frozen = metal, step, frozen
        self.times = np.zeros_like(rows.level)
        # Properties of the bars.
        self.number = np.arange(len(rows.level))
        self.curves = np.ascontiguousarray(curves[1:]).reshape(4, -1)
        self.base = rows.curve * curves.shape[2]
        self.bends = np.ascontiguousarray(curves[0, rows.curve, 1:].T)
        self.alike = bool(np.all(rows.curve == rows.curve[0]))
        self.volume, self.outer, self.flow_in = rows.volume, rows.outer, rows.outer * rows.around
        self.liquid, self.harder = rows.liquid, rows.solid - rows.liquid
        self.mould_holds, self.bound, self.leaves, self.left = rows.holds, rows.bound, rows.leaves, rows.left
        self.reacting = rows.bound / (rows.left - rows.leaves)
        self.water = bool(np.any(rows.bound > 0.0))
        self.level, self.whole = np.where(rows.level > 0.0, rows.level, 1.0), rows.level == 0.0
        self.first = rows.first
        self.weight = rows.volume[:metal, :1] / np.sum(rows.volume[:metal, 0])
        self.inside = rows.link[: metal - 1, :1].copy()
        # Present state of the bars; `last`, the length of the step before, is infinite if there was none.
        self.time, self.done, self.mean = (np.zeros_like(rows.level) for _ in range(3))
        self.step, self.last = rows.first.copy(), np.full_like(rows.first, np.inf)
        self.heat = self.older = rows.heat
        self.peak = np.repeat(rows.leaves[None, :], len(rows.heat) - metal, axis=0)
        self.link, self.sums = rows.link.copy(), rows.outer
        # Current step.
        self.tries = np.zeros(len(rows.level), dtype=np.int64)
        self.start, self.rate = rows.heat, rows.volume
        self.holds = np.repeat(rows.holds[None, :], len(rows.heat), axis=0)
        self.offset = np.zeros_like(rows.heat)
        every = np.ones(len(rows.level), dtype=np.bool_)
        if self.water:
            holds, offset = self._of_mould(self.heat)
            self._remember((self.heat[metal:] - offset) / holds, every)
        self._conduct(np.zeros((metal, len(rows.level))), every)
        self._begin(every)

    def turn(self) -> bool:
        """Do one iteration for each bar, and return whether any have still to freeze."""
        metal = self.metal
        right = (self.start - self.offset) * self.rate + self.flow_in
        aimed = _eliminated(self.holds * self.rate + self.sums, self.link, right)
        # The heats follow from the flows at the target temperatures, so nothing is lost between cells.
        across = self.link * (aimed[:-1] - aimed[1:])
        gain = self.flow_in - self.outer * aimed
        gain[1:] += across
        gain[:-1] -= across
        heat = self.start + gain / self.rate
        place = self._place(heat)
        self.holds[:metal], self.offset[:metal] = self.curves[0].take(place), self.curves[1].take(place)
        bent = metal
        if self.water:
            self.holds[metal:], self.offset[metal:] = self._of_mould(heat)
            bent = len(heat)
        found = (heat[:bent] - self.offset[:bent]) / self.holds[:bent]
        self.tries += 1
        settled = np.max(np.abs(found - aimed[:bent]), axis=0) < TOLERANCE
        failed = ~settled & (self.tries >= _ITERATIONS)
        if not np.any(settled | failed):
            return True
        solid = self.curves[2].take(place) + self.curves[3].take(place) * heat[:metal]
        ended = self._step_on(heat, solid, settled, failed)
        # Bars that went past their end have been removed from those that have converged.
        if self.water:
            self._remember(found[metal:], settled)
        self._conduct(np.minimum(np.maximum(solid, 0.0), 1.0), settled)
        go = self.tries < 0
        if np.any(ended):
            left = ~ended
            if not np.any(left):
                return False
            for name in _OF_BARS:
                setattr(self, name, getattr(self, name).compress(left, axis=-1))
            go = go[left]
        self._begin(go)
        return True

    def _step_on(self, heat: Array, solid: Array, settled: Mask, failed: Mask) -> Mask:
        """Complete the steps that have converged, choose the next step lengths, and return which bars have frozen.

        Bars that start another step have a negative number of tries. A step that overshot the bar's end by more than is
        permitted is undone and removed from `settled`.
        """
        # Sums of running sums, so the order is the same for any number of bars.
        shares = np.minimum(np.maximum(solid, 0.0), 1.0)
        mean = np.add.accumulate(self.weight * shares, axis=0)[-1]
        done = np.where(self.whole, np.min(solid, axis=0) / self.frozen, mean / self.level)
        ended: Mask = settled & (done >= 1.0)
        part = np.where(ended, (1.0 - self.done) / np.where(ended, done - self.done, 1.0), 1.0)
        past = ended & ((1.0 - part) * self.step > PAST * self.time)
        ended &= ~past
        settled &= ~past
        self.times[self.number[ended]] = (self.time + part * self.step)[ended]
        self.time = np.where(settled, self.time + self.step, self.time)
        self.last = np.where(settled, self.step, self.last)
        self.older, self.heat = np.where(settled, self.heat, self.older), np.where(settled, heat, self.heat)
        left = (self.level - mean) / np.maximum(mean - self.mean, 1e-9) * self.step
        longest = np.maximum(NEAR * left, PAST * self.time)
        longest = np.minimum(longest, np.maximum(self.share * self.time, self.first))
        again = np.where(past, part * self.step + 0.5 * PAST * self.time, _SHORTER * self.step)
        self.step = np.where(
            settled, np.minimum(GROWTH * self.step, longest), np.where(failed | past, again, self.step)
        )
        self.done, self.mean = np.where(settled, done, self.done), np.where(settled, mean, self.mean)
        if np.any(failed & (self.step < _SHORTEST * self.first)):
            raise NotSettledError(f"A time step of {float(np.min(self.step)):g} s did not converge.")
        self.tries = np.where(settled | failed | past, -1, self.tries)
        return ended

    def _begin(self, which: Mask) -> None:
        """Start a step from the present state: set up its equations and predict each cell's piece of the heat curve."""
        metal = self.metal
        ratio = self.step / self.last
        change = self.heat - self.older
        self.start = np.where(which, self.heat + ratio * ratio / (1.0 + 2.0 * ratio) * change, self.start)
        length = self.step * (1.0 + ratio) / (1.0 + 2.0 * ratio)
        self.rate = np.where(which, self.volume / length, self.rate)
        heat = self.heat + ratio * change
        place = self._place(heat)
        self.holds[:metal] = np.where(which, self.curves[0].take(place), self.holds[:metal])
        self.offset[:metal] = np.where(which, self.curves[1].take(place), self.offset[:metal])
        if self.water:
            holds, offset = self._of_mould(heat)
            self.holds[metal:] = np.where(which, holds, self.holds[metal:])
            self.offset[metal:] = np.where(which, offset, self.offset[metal:])
        self.tries = np.where(which, 0, self.tries)

    def _place(self, heat: Array) -> NDArray[np.int64]:
        """Piece of the heat curve that applies to each metal cell."""
        metal = heat[: self.metal]
        place = np.repeat(self.base[None, :], self.metal, axis=0)
        if self.alike:
            place += np.searchsorted(self.bends[:, 0], metal, side="right")
            return place
        for bend in self.bends:
            place += metal >= bend
        return place

    def _of_mould(self, heat: Array) -> tuple[Array, Array]:
        """Heat per kelvin of the mould cells, and their heat extrapolated to 0 degC on the same piece of the curve."""
        mould, holds = heat[self.metal :], self.mould_holds
        gone = self.reacting * (self.peak - self.leaves)
        above = mould >= holds * self.left + self.bound
        within = ~above & (mould >= holds * self.peak + gone)
        return (
            np.where(within, holds + self.reacting, holds),
            np.where(within, -self.reacting * self.leaves, np.where(above, self.bound, gone)),
        )

    def _remember(self, temperature: Array, which: Mask) -> None:
        """Record how much of their bound water the mould cells have lost."""
        peak = np.minimum(np.maximum(self.peak, temperature), self.left)
        self.peak = np.where(which, peak, self.peak)

    def _conduct(self, solid: Array, which: Mask) -> None:
        """Update the links in the metal for the conductivity of the present mix of solid and liquid."""
        # Heat leaves a freezing cell through its frozen part, so the more solid end governs the link between two cells.
        conducts = self.liquid + self.harder * np.maximum(solid[:-1], solid[1:])
        inside = self.metal - 1
        self.link[:inside] = np.where(which, self.inside * conducts, self.link[:inside])
        self.sums = self.outer.copy()
        self.sums[:-1] += self.link
        self.sums[1:] += self.link


def _eliminated(diagonal: Array, link: Array, right: Array) -> Array:
    """Solve for rows of cells, each linked to the next, by elimination downwards and substitution upwards.

    The operations and their order are the same in plain Python, for few bars, and on arrays, for many.
    """
    found = np.empty_like(right)
    if diagonal.shape[1] <= _FEW:
        rows = zip(diagonal.T.tolist(), link.T.tolist(), right.T.tolist(), strict=True)
        for number, row in enumerate(rows):
            found[:, number] = _along(*row)
        return found
    pivots, rests = [diagonal[0]], [right[0]]
    for i, one in enumerate(link, start=1):
        share = one / pivots[-1]
        pivots.append(diagonal[i] - share * one)
        rests.append(right[i] + share * rests[-1])
    value = found[-1] = rests[-1] / pivots[-1]
    for i in range(len(link) - 1, -1, -1):
        value = found[i] = (rests[i] + link[i] * value) / pivots[i]
    return found


def _along(pivots: list[float], links: list[float], rests: list[float]) -> list[float]:
    pivot, rest = pivots[0], rests[0]
    for i, link in enumerate(links, start=1):
        share = link / pivot
        pivots[i] = pivot = pivots[i] - share * link
        rests[i] = rest = rests[i] + share * rest
    value = rests[-1] = rest / pivot
    for i in range(len(links) - 1, -1, -1):
        rests[i] = value = (rests[i] + links[i] * value) / pivots[i]
    return rests
