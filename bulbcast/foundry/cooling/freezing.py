"""Record of the times at which given fractions of each metal cell were solid."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

if TYPE_CHECKING:
    from bulbcast.foundry.cooling.scene import Scene
    from bulbcast.foundry.cooling.solver import State

Array = NDArray[np.float64]

LEVELS = (0.02, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 0.98)
"""Solid fractions for which the times are recorded. A cell counts as frozen once it reaches the last level, when only a
film of liquid is left between the grains. [-]"""
FEEDS_BELOW = 0.7
"""Solid fraction above which no metal flows through a cell; 0.6 to 0.9 in casting texts, from memory. [-]"""


class FreezingRecord:
    """Times at which the metal cells reached each level of solid fraction, interpolated linearly within a step.

    Attributes:
        cells: Flat indices of the cells that contain metal, shape (cells,).
        times: Times at which the levels were reached, shape (cells, levels); infinite for a level not yet reached. [s]
    """

    def __init__(self, scene: Scene, solid: Array) -> None:
        """Start a record with the initial solid fractions.

        Args:
            scene: Scene whose cells are recorded.
            solid: Initial solid fraction of every cell; slivers of metal in a cold mould are solid. [-]
        """
        self.cells: NDArray[np.int64] = np.flatnonzero(scene.metal > 0.0)
        self.times: Array = np.where(solid[self.cells][:, None] >= np.array(LEVELS), 0.0, np.inf)

    def see(self, before: State, after: State) -> None:
        """Record the levels reached in a step.

        Args:
            before: State at the start of the step.
            after: State at the end of the step.
        """
        start, end = before.solid[self.cells], after.solid[self.cells]
        span = after.time - before.time
        for i, level in enumerate(LEVELS):
            # A sliver remelted by its neighbours counts from the time at which it finally freezes.
            passed = (end >= level) & (start < level)
            with np.errstate(divide="ignore", invalid="ignore"):
                share = (level - start) / (end - start)
            self.times[passed, i] = before.time + span * share[passed]

    def stop(self, state: State) -> None:
        """Close the record when the run ends; for metal still liquid, the time of the next level is extrapolated
        linearly.

        Args:
            state: Last state of the run.
        """
        levels = np.array((0.0, *LEVELS))
        rows = np.flatnonzero(~np.isfinite(self.times[:, -1]))
        solid = state.solid[self.cells[rows]]
        next_ = np.argmax(~np.isfinite(self.times[rows]), axis=1)
        since = np.where(next_ > 0, self.times[rows, np.maximum(next_ - 1, 0)], 0.0)
        gone = np.clip(solid - levels[next_], 0.0, None)
        with np.errstate(divide="ignore"):
            ahead = since + (state.time - since) * (levels[next_ + 1] - levels[next_]) / gone
        self.times[rows, next_] = np.where(gone > 0.0, np.maximum(ahead, state.time), np.inf)

    @property
    def frozen(self) -> Array:
        """Time at which each cell finished freezing, shape (cells,). [s]"""
        return np.asarray(self.times[:, -1])

    @property
    def closed(self) -> Array:
        """Time after which no more metal could flow through each cell, shape (cells,). [s]"""
        return np.asarray(self.times[:, LEVELS.index(FEEDS_BELOW)])


def solid_at(times: Array, when: Array) -> Array:
    """Calculate the solid fraction of each cell at a given time.

    Args:
        times: Times at which each cell reached the levels of solid fraction, shape (cells, levels). [s]
        when: Time for each cell, shape (cells,). [s]

    Returns:
        Solid fractions, interpolated linearly between the levels, shape (cells,). [-]
    """
    levels = np.array((0.0, *LEVELS))
    earliest = np.concatenate((np.zeros((len(times), 1)), times), axis=1)
    place = np.sum(when[:, None] >= earliest[:, 1:], axis=1)
    rows = np.arange(len(times))
    last = len(LEVELS)
    high = np.minimum(place + 1, last)
    low_time, high_time = earliest[rows, np.minimum(place, last)], earliest[rows, high]
    with np.errstate(divide="ignore", invalid="ignore"):
        share = np.where(high_time > low_time, (when - low_time) / (high_time - low_time), 0.0)
    share = np.where(np.isfinite(share), np.clip(share, 0.0, 1.0), 0.0)
    found = levels[np.minimum(place, last)] + share * (levels[high] - levels[np.minimum(place, last)])
    return np.where(place >= last, 1.0, found)
