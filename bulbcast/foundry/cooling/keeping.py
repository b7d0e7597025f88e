"""Search for the shortest time for which a feeder must be kept liquid to give a sound casting.

The freezing of the casting under the torch is simulated once, up to the longest time tried. For each trial, the run
is continued from the moment at which the torch is taken off. The trial ends when no path is left from the feeder to
metal that still flows; all metal still liquid then leaves a hollow. The longer the time, the smaller the hollow; the
logarithm of the hollow is nearly linear in the time.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from bulbcast.foundry.cooling.feed_path import neighbours_of, pools_of
from bulbcast.foundry.cooling.freezing import FEEDS_BELOW, LEVELS, FreezingRecord
from bulbcast.foundry.cooling.heat import HeatCurves, heat_at, heat_curves, solid_share
from bulbcast.foundry.cooling.rule import rule_for, section_modulus
from bulbcast.foundry.cooling.scene import Scene
from bulbcast.foundry.cooling.setup import CoolingSetup, scene_for, torch_on
from bulbcast.foundry.cooling.solver import State, Stepping, run_steps

Array = NDArray[np.float64]

SOUND = 0.0005
"""Fraction of the casting's volume below which a hollow is ignored. [-]"""
AIMED = 0.9 * SOUND
"""Target size of the hollow in the search, as a fraction of the casting's volume. It is below `SOUND` because the search
takes longer time steps than the full run. [-]"""
CLOSE = 0.8
"""A trial time is short enough if it leaves a hollow of at least this fraction of the permitted one. [-]"""
STEP_EARLY, STEP_FREEZING, STEP_LATE = 0.04, 0.02, 0.008
"""Maximum ratio of a step to the elapsed time: until half of the casting is frozen, then until most of it is, and
finally until all of it is. [-]"""
MOST = 0.9
SEARCHED = 2.0
"""Ratio of the search's time steps to those of the full run; this changes the hollow by about 3 % of its volume. [-]"""
NEAR = 0.03
"""Relative accuracy of the shortest time, which errs on the long side. [-]"""
FIRST_GUESS = 0.35
"""Ratio of the first time tried to the time in which the largest section freezes by Chvorinov's rule. [-]"""
_STRIDE = 1.5
"""Largest ratio of one trial time to the one before. [-]"""
_TRIALS = 14


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept:
    """Effect of keeping a feeder liquid.

    Attributes:
        until: Shortest time that brings the hollow within the bound; if none does, the shortest time after which
            keeping the feeder liquid for longer would shrink the hollow by no more than the bound. [s]
        hollow: Hollow left after that time, as a fraction of the casting's volume. [-]
        alone: Hollow left if the feeder is never kept liquid. [-]
    """

    until: float
    hollow: float
    alone: float


class Keeping:
    """Simulation with the torch on, run only as far as required; it can continue with the torch off from any time."""

    def __init__(self, setup: CoolingSetup, progress: Callable[[float], None] = lambda done: None) -> None:
        """Set up the casting in its state just after the pour.

        Args:
            setup: Casting and mould to cool, with a feeder.
            progress: Called with the progress so far, from 0 to 1.
        """
        self.progress = progress
        if setup.feeder is None:
            raise ValueError("there is no feeder to keep liquid")
        self.setup = replace(setup, feeder=replace(setup.feeder, until=np.inf))
        self.scene = scene_for(self.setup)
        curves = heat_curves(setup.metal, setup.mould, self.scene.metal, self.scene.mould)
        start = heat_at(curves, setup.pour, setup.start)
        self._solid = solid_share(curves, start)
        self.record = FreezingRecord(self.scene, self._solid)
        self._first = 1e-4 * (setup.cavity.modulus / 0.01) ** 2 * 300.0
        temperature, _ = curves.temperatures(start)
        curves.remember(temperature)
        self.states = [(_begun(start, temperature, self._solid), curves.peak)]
        self._seen: dict[float, float] = {}

    @property
    def frozen(self) -> float | None:
        """Time at which the casting is frozen if the feeder is kept liquid to the end; None if the run has not reached
        it. [s]"""
        return self.states[-1][0].time if self._all(self.record) else None

    def follow(self, time: float) -> None:
        """Continue the freezing under the torch until a given time, or until the casting is frozen.

        Args:
            time: Time since the mould was full. [s]
        """
        last, peak = self.states[-1]
        if last.time >= time or self._all(self.record):
            return

        def see(before: State, after: State) -> None:
            self.record.see(before, after)
            self.states.append((after, curves.peak))

        curves = self._curves(peak)
        self._run(
            curves,
            last,
            first=self._first if len(self.states) == 1 else self._short(len(self.states) - 2),
            until=lambda state: state.time >= time or self._all(self.record),
            seen=see,
            torch_off=np.inf,
        )

    def released(self, time: float) -> float:
        """Calculate the hollow left if the torch is taken off at a given time.

        Args:
            time: Time since the mould was full; infinite if the torch is never taken off. [s]

        Returns:
            Hollow as a fraction of the casting's volume. [-]
        """
        if time not in self._seen:
            self._seen[time] = self._released(time)
        return self._seen[time]

    def _released(self, time: float) -> float:
        self.follow(time)
        if self.frozen is not None and time >= self.frozen:
            return hollow_of(self.setup, self.scene, self.record)
        times = [state.time for state, _ in self.states]
        place = max(int(np.searchsorted(times, time, side="right")) - 1, 0)
        state, peak = self.states[place]
        record = FreezingRecord(self.scene, self._solid)
        # Metal that had frozen by then counts as frozen, even if it melts and freezes again in the rest of the run.
        there = state.solid[record.cells][:, None] >= np.array(LEVELS)
        passed = np.where(there, np.minimum(self.record.times, state.time), np.inf)
        record.times = np.where(self.record.times <= state.time, self.record.times, passed)
        cut = _CutOff(self.scene)
        last = self._run(
            self._curves(peak),
            state,
            first=self._first if place == 0 else self._short(place),
            until=lambda now: self._all(record) or (now.time > time and cut.off(now)),
            seen=record.see,
            torch_off=time,
        )
        record.stop(last)
        return hollow_of(self.setup, self.scene, record)

    def shortest(self, bound: float = AIMED) -> Kept:
        """Find the shortest time for which the feeder has to be kept liquid.

        The logarithm of the hollow is nearly linear in the time. The line through the last two trials gives the next
        one, limited by `_STRIDE` and by the trial times already known to be too short or long enough.

        Args:
            bound: Target hollow, as a fraction of the casting's volume. [-]
        """
        alone = self.released(0.0)
        low, high = 0.0, np.inf
        at = FIRST_GUESS * self._rule()
        tried = [(0.0, alone)]
        enough = bound
        for trial in range(_TRIALS):
            if alone <= enough or (np.isfinite(high) and high - low <= NEAR * high):
                break
            self.progress((trial + 1.0) / (_TRIALS + 1.0))
            left = self.released(at)
            tried.append((at, left))
            if self.frozen is not None and at >= self.frozen:
                # The torch is never taken off: the hollow then left is unavoidable, and a slightly larger one is just as
                # good.
                at = self.frozen
                enough = max(enough, left + (bound if left > bound else 0.0))
            if left <= enough:
                high = min(high, at)
                if left >= CLOSE * enough:
                    break
            else:
                low = max(low, at)
            at = _next(tried, low, high, enough)
        self.progress(1.0)
        until = 0.0 if alone <= enough else high
        if not np.isfinite(until):
            until = tried[-1][0]
        return Kept(until=until, hollow=self.released(until), alone=alone)

    def _rule(self) -> float:
        """Freezing time of the largest section, treated as a long bar, by Chvorinov's rule. [s]"""
        setup, cavity = self.setup, self.setup.cavity
        modulus = section_modulus(max(cavity.across), max(cavity.up))
        return rule_for(
            setup.metal,
            setup.mould,
            modulus=modulus,
            curvature=0.25 / modulus,
            pour=setup.pour,
            start=setup.start,
        )

    def _curves(self, peak: Array) -> HeatCurves:
        curves = heat_curves(self.setup.metal, self.setup.mould, self.scene.metal, self.scene.mould)
        curves.remember(peak)
        return curves

    def _short(self, place: int) -> float:
        """Length of the first step of a run that continues from a stored state: a quarter of the step that followed that
        state, but at least a thousandth of its time. [s]"""
        here = self.states[place][0].time
        ahead = self.states[min(place + 1, len(self.states) - 1)][0].time - here
        return max(0.25 * ahead, 1e-3 * here)

    def _run(
        self,
        curves: HeatCurves,
        begin: State,
        *,
        first: float,
        until: Callable[[State], bool],
        seen: Callable[[State, State], None],
        torch_off: float,
    ) -> State:
        setup, feeder = self.setup, self.setup.feeder
        if feeder is None:
            raise ValueError("there is no feeder to keep liquid")
        return run_steps(
            self.scene,
            curves,
            begin.heat,
            stepping=Stepping(first=first, share=self._share),
            until=until,
            seen=seen,
            conductivity=(setup.metal.conductivity_solid, setup.metal.conductivity_liquid),
            torch=torch_on(replace(setup, feeder=replace(feeder, until=torch_off)), self.scene),
            begin=begin,
        )

    def _share(self, state: State) -> float:
        casting = self.scene.casting
        solid = float(np.sum(casting * state.solid) / np.sum(casting))
        if solid < 0.5:
            return SEARCHED * STEP_EARLY
        return SEARCHED * (STEP_FREEZING if solid < MOST else STEP_LATE)

    def _all(self, record: FreezingRecord) -> bool:
        """Whether the whole casting is frozen."""
        own = self.scene.casting[record.cells] > self.scene.feeder[record.cells]
        return bool(np.all(np.isfinite(record.times[own, -1])))


def _begun(heat: Array, temperature: Array, solid: Array) -> State:
    """State of the mould just after it is filled."""
    return State(time=0.0, heat=heat, temperature=temperature, solid=solid, given_off=0.0)


def _next(tried: list[tuple[float, float]], low: float, high: float, enough: float) -> float:
    """Time to try next, for a hollow slightly within the bound. [s]"""
    (before, more), (last, left) = tried[-2:]
    aim = np.sqrt(CLOSE) * enough
    at = last * (_STRIDE if left > enough else 1.0 / _STRIDE)
    if before > 0.0 and more > 0.0 and left > 0.0 and more != left:
        at = last + (last - before) * float(np.log(left / aim) / np.log(more / left))
    at = min(max(at, last / _STRIDE), last * _STRIDE)
    if not low < at < high:
        at = float(np.sqrt(low * high)) if low > 0.0 else high / _STRIDE
    return float(at)


class _CutOff:
    """Check whether the feeder still has a path to flowing metal in the casting."""

    def __init__(self, scene: Scene) -> None:
        self.shape, self.metal = scene.grid.shape, scene.metal > 0.0
        self.feeder, self.casting = scene.feeder > 0.0, scene.casting > scene.feeder

    def off(self, state: State) -> bool:
        """Whether the run can stop because all the metal that is still liquid is cut off for good.

        Args:
            state: State after the torch was taken off.
        """
        from scipy.ndimage import label

        flows = self.metal & (state.solid < FEEDS_BELOW)
        groups = label(flows.reshape(self.shape))[0].ravel()
        fed = np.zeros(int(groups.max()) + 1, dtype=bool)
        fed[groups[flows & self.feeder]] = True
        return not bool(np.any(fed[groups[flows & self.casting]]))


def hollow_of(setup: CoolingSetup, scene: Scene, record: FreezingRecord) -> float:
    """Calculate the hollow that freezing leaves in a casting, whether or not its feeder outlasts it.

    Args:
        setup: Casting and mould that were cooled, with a feeder.
        scene: Cells of the setup.
        record: Freezing times of the cells.

    Returns:
        Hollow as a fraction of the casting's volume. [-]
    """
    cells = record.cells
    casting, feeder = scene.casting[cells], scene.feeder[cells]
    times = record.times.copy()
    # The part of the feeder that is still liquid lets metal through for as long as any is needed.
    latest = 2.0 * float(np.max(times[np.isfinite(times)]))
    times[~np.isfinite(times)] = latest
    record.times, kept = times, record.times
    _, pools = pools_of(
        times,
        record.closed,
        np.where(feeder > 0.0, 0.0, casting),
        neighbours_of(cells, scene.links.first, scene.links.second, scene.grid.cells),
        feeder > 0.0,
        contraction=setup.metal.freezing_contraction,
    )
    record.times = kept
    return float(sum(pool.cavity for pool in pools) / np.sum(scene.casting))
