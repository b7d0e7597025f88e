"""Record of when each cell of metal froze: the times at which given shares of it were solid."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

if TYPE_CHECKING:
    from bulbcast.foundry.cooling.scene import Scene
    from bulbcast.foundry.cooling.solver import State

Array = NDArray[np.float64]

LEVELS = (0.02, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 0.98)
"""Solid shares whose times are recorded. The last counts as frozen: what is left is a film between grains. [-]"""
FEEDS_BELOW = 0.7
"""Solid share above which metal no longer flows through; 0.6 to 0.9 in casting texts, from memory. [-]"""


class FreezingRecord:
    """Times at which the cells of metal passed each level of solid share, interpolated linearly within a step.

    Attributes:
        cells: Flat indices of the cells that contain metal, shape (cells,).
        times: Times of passing, shape (cells, levels); infinite for a level not yet passed. [s]
    """

    def __init__(self, scene: Scene, solid: Array) -> None:
        """Start a record, with the share that is solid at the start.

        Args:
            scene: Scene whose cells are recorded.
            solid: Share that is solid at the start, for all cells; slivers of metal in cold mould are solid. [-]
        """
        self.cells: NDArray[np.int64] = np.flatnonzero(scene.metal > 0.0)
        self.times: Array = np.where(solid[self.cells][:, None] >= np.array(LEVELS), 0.0, np.inf)

    def see(self, before: State, after: State) -> None:
        """Record the levels passed in a step.

        Args:
            before: State at the start of the step.
            after: State at the end of the step.
        """
        start, end = before.solid[self.cells], after.solid[self.cells]
        span = after.time - before.time
        for i, level in enumerate(LEVELS):
            # A sliver that its neighbours melt again counts from when it freezes for good.
            passed = (end >= level) & (start < level)
            with np.errstate(divide="ignore", invalid="ignore"):
                share = (level - start) / (end - start)
            self.times[passed, i] = before.time + span * share[passed]

    def stop(self, state: State) -> None:
        """Stop recording while some metal is still liquid; its next level is extrapolated linearly.

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
        """Time at which each cell was frozen, shape (cells,). [s]"""
        return np.asarray(self.times[:, -1])

    @property
    def closed(self) -> Array:
        """Time from which each cell let no more metal through, shape (cells,). [s]"""
        return np.asarray(self.times[:, LEVELS.index(FEEDS_BELOW)])


def solid_at(times: Array, when: Array) -> Array:
    """Calculate the solid share of each cell at a given time.

    Args:
        times: Times at which each cell passed the levels of solid share, shape (cells, levels). [s]
        when: Time for each cell, shape (cells,). [s]

    Returns:
        Solid shares, interpolated linearly between the levels, shape (cells,). [-]
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
