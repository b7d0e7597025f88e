"""How long a feeder has to be kept liquid: the shortest time after which, left to freeze, it leaves a sound casting.

The casting is frozen once with the torch on to the end, and that run is gone on with from any moment at which the torch
may be taken off. The hollow falls as the time grows: the root of hollow less bound is sought between none and all.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from bulbcast.foundry.cooling.feed_path import neighbours_of, pools_of
from bulbcast.foundry.cooling.freezing import LEVELS, FreezingRecord
from bulbcast.foundry.cooling.heat import heat_at, heat_curves, solid_share
from bulbcast.foundry.cooling.scene import Scene
from bulbcast.foundry.cooling.setup import CoolingSetup, scene_for, torch_on
from bulbcast.foundry.cooling.solver import State, Stepping, run_steps

Array = NDArray[np.float64]

SOUND = 0.0005
"""Hollow that counts as none, of the casting's volume. [-]"""
STEP_EARLY, STEP_FREEZING, STEP_LATE = 0.04, 0.02, 0.008
"""Longest step over the time so far: until half is frozen, until most is, until all is. [-]"""
MOST = 0.9
NEAR = 0.03
"""How near the shortest time is come to, of itself; on the long side. [-]"""
_TRIALS = 12
_FIRST = 0.4
"""Of the work, what freezing it once takes, roughly. [-]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept:
    """What keeping a feeder liquid does.

    Attributes:
        until: Shortest time for a hollow within the bound; where none is, the shortest after which it gets no smaller
            by more than the bound. [s]
        hollow: Then, of the casting's volume. [-]
        alone: Hollow where it is never kept. [-]
        throughout: Hollow where it is kept to the end. [-]
        frozen: When the casting is frozen, kept to the end. [s]
    """

    until: float
    hollow: float
    alone: float
    throughout: float
    frozen: float


class Keeping:
    """One casting frozen under the torch, and gone on with from any moment without it."""

    def __init__(self, setup: CoolingSetup, progress: Callable[[float], None] = lambda done: None) -> None:
        """Freeze it with the torch on to the end.

        Args:
            setup: What is cooled; with a feeder.
            progress: Given how far it has come, 0 to 1.
        """
        self.progress = progress
        if setup.feeder is None:
            raise ValueError("nothing to keep liquid without a feeder")
        self.setup = replace(setup, feeder=replace(setup.feeder, until=np.inf))
        self.scene = scene_for(self.setup)
        curves = heat_curves(setup.metal, setup.mould, self.scene.metal, self.scene.mould)
        start = heat_at(curves, setup.pour, setup.start)
        self.states: list[tuple[State, Array]] = []
        first = 1e-4 * (setup.cavity.modulus / 0.01) ** 2 * 300.0
        self._solid = solid_share(curves, start)
        self.record = FreezingRecord(self.scene, self._solid)

        def see(before: State, after: State) -> None:
            self.record.see(before, after)
            self.states.append((after, curves.peak))
            progress(_FIRST * min(self._solid_of(after), 1.0))

        run_steps(
            self.scene,
            curves,
            start,
            stepping=Stepping(first=first, share=self._share),
            until=lambda state: self._all(state, self.record),
            seen=see,
            conductivity=(setup.metal.conductivity_solid, setup.metal.conductivity_liquid),
            torch=torch_on(self.setup, self.scene),
        )
        self.frozen = self.states[-1][0].time
        self.hollow = hollow_of(self.setup, self.scene, self.record)

    def released(self, time: float) -> float:
        """The hollow where the torch is taken off at a time.

        Args:
            time: Since the mould was full. [s]

        Returns:
            Of the casting's volume. [-]
        """
        if time >= self.frozen:
            return self.hollow
        setup, feeder = self.setup, self.setup.feeder
        if feeder is None:
            raise ValueError("nothing to keep liquid without a feeder")
        times = [state.time for state, _ in self.states]
        place = max(int(np.searchsorted(times, time, side="right")) - 1, 0)
        state, peak = self.states[place]
        ahead = self.states[min(place + 1, len(times) - 1)][0].time - state.time
        curves = heat_curves(setup.metal, setup.mould, self.scene.metal, self.scene.mould)
        curves.remember(peak)
        record = FreezingRecord(self.scene, self._solid)
        # What had frozen by then, though it melted and froze again in the run that is left, has frozen here.
        there = state.solid[record.cells][:, None] >= np.array(LEVELS)
        passed = np.where(there, np.minimum(self.record.times, state.time), np.inf)
        record.times = np.where(self.record.times <= state.time, self.record.times, passed)
        run_steps(
            self.scene,
            curves,
            state.heat,
            stepping=Stepping(first=max(0.25 * ahead, 1e-3 * state.time), share=self._share),
            until=lambda state: self._all(state, record),
            seen=record.see,
            conductivity=(setup.metal.conductivity_solid, setup.metal.conductivity_liquid),
            torch=torch_on(replace(setup, feeder=replace(feeder, until=time)), self.scene),
            begin=state,
        )
        return hollow_of(setup, self.scene, record)

    def shortest(self, bound: float = SOUND) -> Kept:
        """The shortest time that will do.

        Args:
            bound: Hollow that counts as none, of the casting's volume. [-]
        """
        alone = self.released(0.0)
        enough = max(bound, self.hollow + (bound if self.hollow > bound else 0.0))
        low, high, over, hollow = 0.0, self.frozen, alone - enough, self.hollow
        if over <= 0.0:
            self.progress(1.0)
            return Kept(until=0.0, hollow=alone, alone=alone, throughout=self.hollow, frozen=self.frozen)
        for trial in range(_TRIALS):
            if high - low <= NEAR * high:
                break
            self.progress(_FIRST + (1.0 - _FIRST) * trial / _TRIALS)
            # By turns the middle, and where the straight line between both ends meets the bound.
            share = 0.5 if trial % 3 == 2 or hollow >= enough else over / (over + enough - hollow)
            at = low + min(max(share, 0.05), 0.95) * (high - low)
            left = self.released(at)
            if left <= enough:
                high, hollow = at, left
            else:
                low, over = at, left - enough
        self.progress(1.0)
        return Kept(until=high, hollow=hollow, alone=alone, throughout=self.hollow, frozen=self.frozen)

    def _solid_of(self, state: State) -> float:
        casting = self.scene.casting
        return float(np.sum(casting * state.solid) / np.sum(casting))

    def _share(self, state: State) -> float:
        solid = self._solid_of(state)
        if solid < 0.5:
            return STEP_EARLY
        return STEP_FREEZING if solid < MOST else STEP_LATE

    def _all(self, state: State, record: FreezingRecord) -> bool:
        """Whether all of the casting is frozen."""
        own = self.scene.casting[record.cells] > self.scene.feeder[record.cells]
        return bool(np.all(np.isfinite(record.times[own, -1])))


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
