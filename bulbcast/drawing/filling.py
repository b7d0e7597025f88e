"""Places blocks in the given order on the smallest number of pages, with as few landscape pages as possible.

Each page is divided into shelves, one below another, and each shelf has blocks side by side. The order never changes,
so related blocks stay together. Page breaks are chosen for all the blocks at once.
"""

from __future__ import annotations

from collections.abc import Sequence

from bulbcast.drawing.shapes import Box
from bulbcast.quantities.frozen import frozen

GAP = 4.0
"""Gap between blocks, and between shelves. [mm]"""


@frozen
class Filled:
    """A page with its blocks.

    Attributes:
        room: Index of the kind of page, from 0.
        shelves: Numbers of the blocks on each shelf, from the top.
    """

    room: int
    shelves: tuple[tuple[int, ...], ...]


Size = tuple[float, float]
"""Width and height that a block occupies on a page. [mm]"""


def filled(blocks: Sequence[Sequence[Size | None]], rooms: Sequence[Box]) -> list[Filled]:
    """Place blocks on pages.

    Args:
        blocks: Size of each block on each kind of page, in order; None if it does not fit on a page of that kind.
        rooms: Usable size of each kind of page. If the same blocks fit on two kinds, the first is used.

    Returns:
        The pages.

    Raises:
        ValueError: A block does not fit on any page.
    """
    count = len(blocks)
    # From each block to the end: number of pages, number of pages not of the first kind, and extent to which the first
    # page is filled.
    best: list[tuple[int, int, Filled | None, int]] = [(0, 0, None, count)] * (count + 1)
    for start in range(count - 1, -1, -1):
        found = []
        for kind, room in enumerate(rooms):
            for end, shelves in _reach([block[kind] for block in blocks[start:]], room):
                pages, lying, _, _ = best[start + end]
                shifted = tuple(tuple(start + number for number in shelf) for shelf in shelves)
                found.append((1 + pages, lying + (kind > 0), -end, kind, Filled(room=kind, shelves=shifted)))
        if not found:
            raise ValueError(f"Block {start} does not fit on any page.")
        pages, lying, end, _, page = min(found, key=lambda one: one[:4])
        best[start] = (pages, lying, page, start - end)
    chosen: list[Filled] = []
    start = 0
    while start < count:
        _, _, first, start = best[start]
        chosen += [] if first is None else [first]
    return chosen


def _reach(sizes: Sequence[Size | None], room: Box) -> list[tuple[int, tuple[tuple[int, ...], ...]]]:
    """Find how many of the first blocks fit on one page. For each number, arrange the shelves for minimum height."""
    # Minimum height for the first blocks, and index of the first block on the last shelf.
    least: list[tuple[float, int]] = [(0.0, 0)]
    for end in range(1, len(sizes) + 1):
        choices = []
        wide = high = 0.0
        for begin in range(end - 1, -1, -1):
            size = sizes[begin]
            if size is None:
                break
            wide += size[0] + (GAP if begin < end - 1 else 0.0)
            high = max(high, size[1])
            if wide > room.width:
                break
            choices.append((least[begin][0] + (GAP if begin else 0.0) + high, begin))
        if not choices or min(choices)[0] > room.height:
            break
        least.append(min(choices))
    found = []
    for end in range(1, len(least)):
        shelves: list[tuple[int, ...]] = []
        at = end
        while at > 0:
            begin = least[at][1]
            shelves.append(tuple(range(begin, at)))
            at = begin
        found.append((end, tuple(reversed(shelves))))
    return found
