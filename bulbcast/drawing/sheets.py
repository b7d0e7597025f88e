"""Arranges templates in order on as few sheets as possible. Small templates share a sheet, and a large template is spread
over several joined sheets. A sheet is turned to landscape if that reduces the number of sheets, and with it the amount
of gluing.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from bulbcast.drawing.filling import GAP, Filled, Size, filled
from bulbcast.drawing.pages import Page, Paper, Placed
from bulbcast.drawing.paper import BLOCK, FOOT, MARGIN, NOTE, TITLE, captioned, window, wrapped
from bulbcast.drawing.shapes import Box, Line, Point, Polyline, Shape, Style, Text
from bulbcast.drawing.template import Template, box_of
from bulbcast.quantities.frozen import frozen, replace

OVERLAP = 10.0
"""Overlap of two joined sheets. [mm]"""


@frozen
class Tiles:
    """Number of pages over which one template is spread.

    Attributes:
        columns: Pages side by side.
        rows: Pages one above the other.
    """

    columns: int
    rows: int


@frozen
class _Tiling:
    """Arrangement of one template across several pages.

    Attributes:
        paper: Portrait or landscape.
        tiles: Number of pages across and down.
        turned: Whether the template is turned on the pages.
        inner: Part of a page that one tile uses. [mm]
    """

    paper: Paper
    tiles: Tiles
    turned: bool
    inner: Box


@frozen
class _Block:
    """A template that fits on one page together with its caption."""

    template: Template
    shapes: tuple[Shape, ...]
    box: Box

    def size(self, room: Box) -> Size | None:
        """Return the block's size on a given page, turned if it fits only that way; None if it does not fit. [mm]"""
        if self.box.width <= room.width and self.box.height <= room.height:
            return self.box.width, self.box.height
        if self.box.height <= room.width and self.box.width <= room.height:
            return self.box.height, self.box.width
        return None

    def placed(self, room: Box, left: float, top: float) -> Placed:
        """Place the template with its upper left corner at a given point on the page. [mm]"""
        box = self.box
        turned = self.size(room) != (box.width, box.height)
        at = (left + box.top, top - box.right) if turned else (left - box.left, top - box.top)
        return Placed(shapes=self.shapes, at=at, turned=turned)


def laid_out(
    templates: tuple[Template, ...], paper: Paper, first_page: int
) -> tuple[list[Page], dict[str, tuple[int, ...]]]:
    """Place templates on pages in the given order, without the fixed parts of a page.

    Args:
        templates: Templates to print.
        paper: Paper size, portrait.
        first_page: Number of the first of these pages.

    Returns:
        Pages, and the page numbers of each template. A template spread over several pages follows the last page of the
        previous template.
    """
    papers = (paper, paper.lying)
    rooms = [window(one) for one in papers]
    small: list[_Block] = []
    large: dict[int, list[Template]] = {}
    for template in templates:
        block = _block(template)
        if any(block.size(room) for room in rooms):
            small.append(block)
        else:
            large.setdefault(len(small), []).append(template)
    pages: list[Page] = []
    where: dict[str, tuple[int, ...]] = {}

    def tile(upto: int) -> None:
        """Add pages for the remaining large templates that come after no more than the given number of small ones."""
        for place in sorted(place for place in large if place <= upto):
            for template in large.pop(place):
                first = first_page + len(pages)
                more = _tiled(template, _tiling(template, paper), first)
                where[template.name] = tuple(range(first, first + len(more)))
                pages.extend(more)

    tile(0)
    done = 0
    for page in filled([[block.size(room) for room in rooms] for block in small], rooms):
        blocks = [small[number] for shelf in page.shelves for number in shelf]
        for block in blocks:
            where[block.template.name] = (first_page + len(pages),)
        pages.append(_page(page, small, papers[page.room]))
        done += len(blocks)
        tile(done)
    return pages, where


def _block(template: Template) -> _Block:
    shapes = captioned(template)
    return _Block(template=template, shapes=shapes, box=box_of(shapes))


def _page(page: Filled, blocks: Sequence[_Block], paper: Paper) -> Page:
    """Lay out shelves from the top down, with each block at the top of its shelf."""
    room = window(paper)
    placed: list[Placed] = []
    names: list[str] = []
    top = room.top
    for shelf in page.shelves:
        left = room.left
        high = 0.0
        for number in shelf:
            block = blocks[number]
            wide, tall = block.size(room) or (0.0, 0.0)
            placed.append(block.placed(room, left, top))
            names.append(block.template.title)
            left += wide + GAP
            high = max(high, tall)
        top -= high + GAP
    title = names[0] if len(names) == 1 else f"{names[0]} to {names[-1]}"
    return Page(paper=paper, title=title, placed=tuple(placed))


def sheets_needed(template: Template, paper: Paper) -> int:
    """Return the number of sheets that a template covers; 1 if it shares a sheet with others.

    Args:
        template: A template to print.
        paper: Size of the paper.
    """
    if any(_block(template).size(window(one)) for one in (paper, paper.lying)):
        return 1
    tiles = _tiling(template, paper).tiles
    return tiles.columns * tiles.rows


def _tiling(template: Template, paper: Paper) -> _Tiling:
    """Choose as few tiles as possible, on portrait or landscape pages, with the template turned or not."""
    box = template.box.grown(2.0)
    found: list[_Tiling] = []
    for one in (paper, paper.lying):
        room = window(one)
        inner = replace(room, top=room.top - _heading(template, room)[1])
        for turned in (False, True):
            width, height = (box.height, box.width) if turned else (box.width, box.height)
            tiles = Tiles(columns=_count(width, inner.width), rows=_count(height, inner.height))
            found.append(_Tiling(paper=one, tiles=tiles, turned=turned, inner=inner))
    return min(found, key=lambda each: each.tiles.columns * each.tiles.rows)


def _count(size: float, room: float) -> int:
    return max(1, math.ceil((size - OVERLAP) / (room - OVERLAP) - 1e-9))


def _tiled(template: Template, tiling: _Tiling, first: int) -> list[Page]:
    """Draw a template across its pages, starting at a given page number."""
    box = template.box.grown(2.0)
    inner, tiles, turned, paper = tiling.inner, tiling.tiles, tiling.turned, tiling.paper
    heading, _ = _heading(template, window(paper))
    step_x, step_y = inner.width - OVERLAP, inner.height - OVERLAP
    width, height = (box.height, box.width) if turned else (box.width, box.height)
    # The first tile begins before the template by half the spare space.
    spare_x = tiles.columns * step_x + OVERLAP - width
    spare_y = tiles.rows * step_y + OVERLAP - height
    pages = []
    for row in range(tiles.rows):
        for column in range(tiles.columns):
            left = inner.left + 0.5 * spare_x - column * step_x
            top = inner.top - 0.5 * spare_y + row * step_y
            at: Point = (left + box.top, top - box.right) if turned else (left - box.left, top - box.top)
            placed = [
                Placed(shapes=heading),
                Placed(shapes=template.shapes, at=at, turned=turned, clip=inner),
                Placed(shapes=_joins(inner, tiles, column, row)),
            ]
            if tiles != Tiles(columns=1, rows=1):
                placed.append(Placed(shapes=_map(paper, tiles, column, row, first=first)))
            pages.append(Page(paper=paper, title=template.title, placed=tuple(placed)))
    return pages


def _heading(template: Template, room: Box) -> tuple[tuple[Shape, ...], float]:
    """Return the title and notes in the band above a tile, and the depth of the band. [mm]"""
    level = room.top - 2.0
    shapes: list[Shape] = [
        Text(at=(room.left, level), text=template.title, height=TITLE, style=Style.HEADING, anchor="start")
    ]
    level -= 1.4 * TITLE
    for line in wrapped("; ".join(template.notes), NOTE, room.width):
        shapes.append(Text(at=(room.left, level), text=line, height=NOTE, anchor="start"))
        level -= 1.3 * NOTE
    return tuple(shapes), room.top - level + 3.5


def _joins(inner: Box, tiles: Tiles, column: int, row: int) -> tuple[Shape, ...]:
    """Draw crop marks at the corners, lines to cut along, and crosses that must line up."""
    shapes: list[Shape] = []
    if tiles == Tiles(columns=1, rows=1):
        return ()
    for x, out_x in ((inner.left, -1.0), (inner.right, 1.0)):
        for y, out_y in ((inner.bottom, -1.0), (inner.top, 1.0)):
            shapes += [
                Line(start=(x + out_x * 1.0, y), end=(x + out_x * 5.0, y), style=Style.FRAME),
                Line(start=(x, y + out_y * 1.0), end=(x, y + out_y * 4.0), style=Style.FRAME),
            ]
    half = 0.5 * OVERLAP
    for has, x in ((column > 0, inner.left), (column < tiles.columns - 1, inner.right)):
        if has:
            inside = x + half if x == inner.left else x - half
            shapes.append(Line(start=(x, inner.bottom), end=(x, inner.top), style=Style.HIDDEN))
            shapes += [
                mark
                for share in (0.04, 0.5, 0.96)
                for mark in _cross((inside, inner.bottom + share * inner.height))
            ]
    for has, y in ((row > 0, inner.top), (row < tiles.rows - 1, inner.bottom)):
        if has:
            inside = y - half if y == inner.top else y + half
            shapes.append(Line(start=(inner.left, y), end=(inner.right, y), style=Style.HIDDEN))
            shapes += [
                mark
                for share in (0.04, 0.5, 0.96)
                for mark in _cross((inner.left + share * inner.width, inside))
            ]
    return tuple(shapes)


def _cross(at: Point) -> tuple[Shape, ...]:
    x, y = at
    return (
        Line(start=(x - 3.0, y), end=(x + 3.0, y), style=Style.FRAME),
        Line(start=(x, y - 3.0), end=(x, y + 3.0), style=Style.FRAME),
    )


def _map(paper: Paper, tiles: Tiles, column: int, row: int, *, first: int) -> tuple[Shape, ...]:
    """Draw a small map of the joined pages, with a heavy frame round this page."""
    wide, high = 30.0, 12.5
    size = min(wide / tiles.columns, high / tiles.rows, 8.0)
    right, top = paper.width - MARGIN, FOOT + BLOCK - 11.0
    left = right - size * tiles.columns
    shapes: list[Shape] = []
    for r in range(tiles.rows):
        for c in range(tiles.columns):
            x, y = left + c * size, top - (r + 1) * size
            corners = ((x, y), (x + size, y), (x + size, y + size), (x, y + size), (x, y))
            shapes.append(Polyline(points=corners, style=Style.FRAME))
            if size >= 4.5:
                number = str(first + r * tiles.columns + c)
                shapes.append(
                    Text(
                        at=(x + 0.5 * size, y + 0.5 * size),
                        text=number,
                        height=2.4,
                        style=Style.HEADING if (c, r) == (column, row) else Style.LETTERING,
                    )
                )
    x, y = left + column * size, top - (row + 1) * size
    inset = 0.45
    corners = (
        (x + inset, y + inset),
        (x + size - inset, y + inset),
        (x + size - inset, y + size - inset),
        (x + inset, y + size - inset),
        (x + inset, y + inset),
    )
    shapes.append(Polyline(points=corners, style=Style.OUTLINE))
    return tuple(shapes)
