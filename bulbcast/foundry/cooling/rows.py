"""Bars, as many as are asked for, cooled at once: each with its own time, step and iteration.

The method is `solver`'s: implicit two-step backward differences of variable step for the heat of every cell, Newton's
method on the straight pieces of the heat curves, heats set from the flows at the temperatures found. Here a column is
a bar, its cells from the axis outwards, and every turn of the loop is one iteration of each bar: one whose iteration
has settled takes its step and begins the next while its neighbours still iterate. No figure of a bar depends on
another, and none on how many are cooled together: the same operations in the same order, to the last bit.

A cell that freezes within a step takes its heat from that step's end to the next one's beginning, an error of the
step's first order. So the steps shorten towards a bar's end, as the metal left to freeze tells, and one that goes
past the end is taken again.

Lengths are in a bar's radius, times in the square of it, heats in the volume of a cell.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bulbcast.materials.heat import MetalHeat, MouldHeat

Array = NDArray[np.float64]
Mask = NDArray[np.bool_]

TOLERANCE = 0.02
"""Between the temperatures that an iteration aims at and those of the heats it brings. [K]"""
GROWTH = 2.0
"""Each step over the one before, at most. [-]"""
NEAR = 0.1
"""Step over the time that is left until the bar is frozen, at most. [-]"""
PAST = 0.001
"""What a bar's last step may go past its end, over its time, and the shortest step towards it. [-]"""
_ITERATIONS = 6
_SHORTER, _SHORTEST = 0.4, 1e-6
_STIFF = 1e12
_LOWEST, _HIGHEST = -60.0, 900.0
_MOST_TURNS = 20000
_FEW = 20
"""Bars up to which plain Python eliminates faster than calls on arrays."""


class NotSettledError(RuntimeError):
    """The iteration of a step did not settle, however short the step."""


def metal_pieces(metal: MetalHeat, mould: MouldHeat) -> Array:
    """The straight pieces of a metal's heat curve, of a cubic metre, with bends where its mould's has them too.

    Args:
        metal: Metal of the casting.
        mould: Round it.

    Returns:
        By rising temperature, shape (5, pieces): the heat at which each begins [J/m3], the heat for a kelvin, nearly
        endless where it freezes at one temperature [J/(m3 K)], the heat at 0 degC were it as long [J/m3], the share
        that is solid at no heat likewise, and the change of that share with the heat [m3/J]. Below the solidus the
        share goes on rising as where the last froze.
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
    """Bars to cool, of the same cells of metal; shapes (cells, bars), (cells - 1, bars) of links, (bars,).

    Those with fewer cells of mould than the longest have others behind, which nothing is linked to.

    Attributes:
        curve: Which of the metals' curves.
        volume: Volume of the cells. [m3]
        link: Conductance of each link; of one within metal, for a conductivity of 1. [W/K]
        liquid: Conductivity. [W/(m K)]
        solid: Likewise.
        outer: Conductance to the surroundings. [W/K]
        around: Their temperature. [degC]
        holds: Heat capacity of the mould. [J/(m3 K)]
        bound: Heat that its bound water takes. [J/m3]
        leaves: Temperature at which the water begins to leave. [degC]
        left: Temperature at which it has left. [degC]
        level: Solid share that ends the bar's time; 0: that of the last cell to freeze, `frozen`. [-]
        first: Length of the first step. [s]
        heat: Heat at the start. [J/m3]
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
    """Cool bars until each has frozen as far as it is asked to.

    Args:
        rows: The bars.
        curves: Curves of the metals, shape (5, metals, pieces), from `metal_pieces`; of one of fewer pieces than
            another the rest begin at endless heat.
        metal: Cells of metal in each bar.
        step: Longest step over the time so far. [-]
        frozen: Solid share at which a cell counts as frozen. [-]

    Returns:
        Their times, shape (bars,). [s]

    Raises:
        NotSettledError: A step did not settle, or there were too many.
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
"""Arrays with a column a bar."""


class _Cooling:
    """The bars still to freeze: what they are, where they are, and the step that each is at."""

    def __init__(self, rows: Rows, curves: Array, metal: int, step: float, frozen: float) -> None:
        self.metal, self.share, self.frozen = metal, step, frozen
        self.times = np.zeros_like(rows.level)
        # What they are.
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
        # Where they are; `last`, the length of the step before, is endless where there was none.
        self.time, self.done, self.mean = (np.zeros_like(rows.level) for _ in range(3))
        self.step, self.last = rows.first.copy(), np.full_like(rows.first, np.inf)
        self.heat = self.older = rows.heat
        self.peak = np.repeat(rows.leaves[None, :], len(rows.heat) - metal, axis=0)
        self.link, self.sums = rows.link.copy(), rows.outer
        # The step under way.
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
        """One iteration of each bar; whether any is left to freeze."""
        metal = self.metal
        right = (self.start - self.offset) * self.rate + self.flow_in
        aimed = _eliminated(self.holds * self.rate + self.sums, self.link, right)
        # The heats as the flows at the temperatures aimed at make them: nothing is lost between cells.
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
        # What went past its end has been taken off what has settled.
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
        """Take the steps that have settled and choose the next lengths; return which bars have frozen.

        Those that set out on another step have fewer than no tries. What has settled past the bar's end by more than
        may be is taken back, in `settled` too.
        """
        # Sums of running sums: in the same order whatever the number of bars.
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
        """Set out on a step: from where, how long, and on which pieces of the curves if all goes on as before."""
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
        """On which piece of its curve each metal cell is."""
        metal = heat[: self.metal]
        place = np.repeat(self.base[None, :], self.metal, axis=0)
        if self.alike:
            place += np.searchsorted(self.bends[:, 0], metal, side="right")
            return place
        for bend in self.bends:
            place += metal >= bend
        return place

    def _of_mould(self, heat: Array) -> tuple[Array, Array]:
        """Heat for a kelvin of the mould's cells, and their heat at 0 degC were that piece of the curve as long."""
        mould, holds = heat[self.metal :], self.mould_holds
        gone = self.reacting * (self.peak - self.leaves)
        above = mould >= holds * self.left + self.bound
        within = ~above & (mould >= holds * self.peak + gone)
        return (
            np.where(within, holds + self.reacting, holds),
            np.where(within, -self.reacting * self.leaves, np.where(above, self.bound, gone)),
        )

    def _remember(self, temperature: Array, which: Mask) -> None:
        """Keep how far the bound water of the mould's cells has gone."""
        peak = np.minimum(np.maximum(self.peak, temperature), self.left)
        self.peak = np.where(which, peak, self.peak)

    def _conduct(self, solid: Array, which: Mask) -> None:
        """Let the links in metal take the conductivity of what is solid and what is liquid now."""
        # Heat leaves a freezing cell through what has frozen of it: the more solid end rules the way between two.
        conducts = self.liquid + self.harder * np.maximum(solid[:-1], solid[1:])
        inside = self.metal - 1
        self.link[:inside] = np.where(which, self.inside * conducts, self.link[:inside])
        self.sums = self.outer.copy()
        self.sums[:-1] += self.link
        self.sums[1:] += self.link


def _eliminated(diagonal: Array, link: Array, right: Array) -> Array:
    """Solve for rows of cells, each linked to the next: elimination down, substitution up.

    The same operations in the same order, in plain Python for few bars and on arrays for many.
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
