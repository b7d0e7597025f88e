"""Metal that the feeder can still reach during freezing, and the cavities that form elsewhere.

A cell is fed as long as a path leads from it to the feeder (or to an open surface) through cells that still let metal
pass. If there are several paths, the one that stays open longest counts. Cells are processed in reverse order of
closing, and each is joined to its neighbours. A cell's path closes at the time when its group first touches the feeder.
Any metal that freezes in the cell after that contracts without being fed. Adjoining cells that were cut off share one
cavity, which opens where the last of them freezes.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bulbcast.foundry.cooling.freezing import solid_at

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Pool:
    """Pool of metal in adjoining cells that were cut off from the feeder while metal could still pass through them.

    Attributes:
        cut_off: Time at which its last path closed. [s]
        frozen: Time at which the last of it froze. [s]
        cell: Index, among the given cells, of the cell that froze last.
        cavity: Volume left empty when it freezes. [m3]
    """

    cut_off: float
    frozen: float
    cell: int
    cavity: float


def ways_close(closed: Array, neighbours: Sequence[Sequence[int]], sources: NDArray[np.bool_]) -> Array:
    """Find the time at which each cell's longest-lasting path to a source closes.

    Args:
        closed: Time after which a cell lets no more metal through, shape (cells,). [s]
        neighbours: Indices of each cell's neighbours.
        sources: Whether each cell belongs to the feeder, shape (cells,).

    Returns:
        Closing times, never later than `closed` and equal to it for a cell that is fed to the end. [s]
    """
    group = list(range(len(closed)))
    members: list[list[int]] = [[i] for i in range(len(closed))]
    fed = sources.tolist()
    way = np.zeros(len(closed))
    taken = [False] * len(closed)

    def root(cell: int) -> int:
        while group[cell] != cell:
            group[cell] = group[group[cell]]
            cell = group[cell]
        return cell

    # Ties are broken by the order of the cells, so the result is the same every time.
    for cell in np.argsort(-closed, kind="stable").tolist():
        taken[cell] = True
        if fed[cell]:
            way[cell] = closed[cell]
        for other in neighbours[cell]:
            if not taken[other]:
                continue
            here, there = root(cell), root(other)
            if here == there:
                continue
            if fed[here] != fed[there]:
                for late in members[there if fed[here] else here]:
                    way[late] = closed[cell]
            if len(members[here]) < len(members[there]):
                here, there = there, here
            group[there] = here
            members[here] += members[there]
            members[there] = []
            fed[here] = fed[here] or fed[there]
    return way


def pools_of(
    times: Array,
    closed: Array,
    volume: Array,
    neighbours: Sequence[Sequence[int]],
    sources: NDArray[np.bool_],
    *,
    contraction: float,
) -> tuple[Array, tuple[Pool, ...]]:
    """Find the cavities that freezing leaves.

    Args:
        times: Times at which each cell reached the levels of solid fraction, shape (cells, levels). [s]
        closed: Time after which a cell lets no more metal through. [s]
        volume: Volume of casting in each cell; 0 in the feeder. [m3]
        neighbours: Indices of each cell's neighbours.
        sources: Cells that supply metal.
        contraction: Volume lost in freezing, as a fraction of the solid volume. [-]

    Returns:
        Time at which each cell's path closes [s], and the pools, largest cavity first.
    """
    way = ways_close(closed, neighbours, sources)
    cut = (way < closed * (1.0 - 1e-9)) & (volume > 0.0)
    liquid = np.where(cut, volume * (1.0 - solid_at(times, way)), 0.0)
    frozen = times[:, -1]
    pools = []
    seen = np.zeros(len(closed), dtype=bool)
    for start in np.flatnonzero(cut).tolist():
        if seen[start]:
            continue
        seen[start], stack, found = True, [start], []
        while stack:
            cell = stack.pop()
            found.append(cell)
            for other in neighbours[cell]:
                if cut[other] and not seen[other]:
                    seen[other] = True
                    stack.append(other)
        cells = np.array(sorted(found))
        last = int(cells[np.argmax(frozen[cells])])
        pools.append(
            Pool(
                cut_off=float(np.max(way[cells])),
                frozen=float(frozen[last]),
                cell=last,
                cavity=contraction * float(np.sum(liquid[cells])),
            )
        )
    return way, tuple(sorted(pools, key=lambda pool: (-pool.cavity, pool.cell)))


def neighbours_of(
    cells: NDArray[np.int64], first: NDArray[np.int64], second: NDArray[np.int64], count: int
) -> list[list[int]]:
    """List each cell's neighbours among the cells given.

    Args:
        cells: Flat indices in the grid, in ascending order.
        first: Flat indices of the cells before each face.
        second: Flat indices of the cells after each face.
        count: Number of cells in the whole grid.

    Returns:
        For each of `cells`, the positions of its neighbours among them.
    """
    place = np.full(count, -1)
    place[cells] = np.arange(len(cells))
    one, other = place[first], place[second]
    both = (one >= 0) & (other >= 0)
    found: list[list[int]] = [[] for _ in range(len(cells))]
    for a, b in zip(one[both].tolist(), other[both].tolist(), strict=True):
        found[a].append(b)
        found[b].append(a)
    return found
