"""How long a feeder has to be kept liquid: the shortest time after which, left to freeze, it leaves a sound casting.

The casting is frozen once under the torch, as far as any time that is tried, and that run is gone on with from the
moment at which the torch is taken off, until no way is left from the feeder to metal that flows: all that is liquid then is
hollow later. The hollow falls as the time grows, its logarithm nearly straight.
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
"""Share of the casting's volume below which a hollow counts as none. [-]"""
AIMED = 0.9 * SOUND
"""What the search aims at, below that bound: its steps of time are longer than the whole run's. [-]"""
CLOSE = 0.8
"""A time is short enough where it leaves this much of what is allowed. [-]"""
STEP_EARLY, STEP_FREEZING, STEP_LATE = 0.04, 0.02, 0.008
"""Longest step over the time so far: until half is frozen, until most is, until all is. [-]"""
MOST = 0.9
SEARCHED = 2.0
"""Steps of the search over those of the whole run: the hollow then moves by some 3 % of itself. [-]"""
NEAR = 0.03
"""Relative accuracy of the shortest time; on the long side. [-]"""
FIRST_GUESS = 0.35
"""First time tried, over that in which the largest section freezes as a long bar by the rule. [-]"""
_STRIDE = 1.5
"""Largest ratio of one trial to the one before. [-]"""
_TRIALS = 14


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept:
    """What keeping a feeder liquid does.

    Attributes:
        until: Shortest time for a hollow within the bound; where none is, the shortest after which it gets no smaller
            by more than the bound. [s]
        hollow: Then, of the casting's volume. [-]
        alone: Hollow where it is never kept. [-]
    """

    until: float
    hollow: float
    alone: float


class Keeping:
    """One casting frozen under the torch as far as it is asked for, and gone on with from any moment without it."""

    def __init__(self, setup: CoolingSetup, progress: Callable[[float], None] = lambda done: None) -> None:
        """Set it up, poured.

        Args:
            setup: What is cooled; with a feeder.
            progress: Given how far it has come, 0 to 1.
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
        """When the casting is frozen, kept to the end; None where it was not yet followed so far. [s]"""
        return self.states[-1][0].time if self._all(self.record) else None

    def follow(self, time: float) -> None:
        """Freeze it on under the torch, up to a time or until the casting is frozen.

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
        """The hollow where the torch is taken off at a time.

        Args:
            time: Time since the mould was full; infinite: never. [s]

        Returns:
            Of the casting's volume. [-]
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
        # What had frozen by then, though it melted and froze again in the run that is left, has frozen here.
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
        """The shortest time that is enough.

        The logarithm of the hollow runs nearly straight with the time: the straight line through the last two times leads
        to the next, but never further than `_STRIDE`, and never out of what is known to be too short and long enough.

        Args:
            bound: Hollow that is aimed at, of the casting's volume. [-]
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
                # Never released: what it then leaves cannot be helped, and a little more of it is as good.
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
        """Chvorinov's rule for the largest section as a long bar. [s]"""
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
        """First step of a run that goes on from a state: a quarter of the one that followed there. [s]"""
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
        """Whether all of the casting is frozen."""
        own = self.scene.casting[record.cells] > self.scene.feeder[record.cells]
        return bool(np.all(np.isfinite(record.times[own, -1])))


def _begun(heat: Array, temperature: Array, solid: Array) -> State:
    """The mould just full."""
    return State(time=0.0, heat=heat, temperature=temperature, solid=solid, given_off=0.0)


def _next(tried: list[tuple[float, float]], low: float, high: float, enough: float) -> float:
    """The time to try next, for a hollow a little within what is enough. [s]"""
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
    """Says when no way is left from the feeder to any metal of the casting that still flows."""

    def __init__(self, scene: Scene) -> None:
        self.shape, self.metal = scene.grid.shape, scene.metal > 0.0
        self.feeder, self.casting = scene.feeder > 0.0, scene.casting > scene.feeder

    def off(self, state: State) -> bool:
        """Whether freezing can stop: what is still liquid is cut off for good.

        Args:
            state: After the torch.
        """
        from scipy.ndimage import label

        flows = self.metal & (state.solid < FEEDS_BELOW)
        groups = label(flows.reshape(self.shape))[0].ravel()
        fed = np.zeros(int(groups.max()) + 1, dtype=bool)
        fed[groups[flows & self.feeder]] = True
        return not bool(np.any(fed[groups[flows & self.casting]]))


def hollow_of(setup: CoolingSetup, scene: Scene, record: FreezingRecord) -> float:
    """What freezing leaves empty in a casting whose feeder outlasts it or not.

    Args:
        setup: What was cooled; with a feeder.
        scene: Its cells.
        record: When they froze.

    Returns:
        Of the casting's volume. [-]
    """
    cells = record.cells
    casting, feeder = scene.casting[cells], scene.feeder[cells]
    times = record.times.copy()
    # What of the feeder is still liquid lets metal through for as long as anything asks for it.
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
