"""Templates laid out on paper: several on a sheet, large ones over several sheets that are joined.

Every page carries bars of 100 mm and 4 in both ways, so that a page printed at the wrong size is seen
before anything is cut to it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from bulbcast.drawing.pages import Page, Paper, Placed
from bulbcast.drawing.shapes import Box, Line, Point, Polyline, Shape, Style, Text, text_width
from bulbcast.drawing.template import Template, box_of
from bulbcast.quantities.frozen import frozen

# Home printers leave up to 5 mm blank, some 12 mm at the foot (common practice, no source).
_MARGIN, _FOOT = 10.0, 13.0
_STRIP, _BLOCK = 9.0, 24.0
_GAP = 7.0
OVERLAP = 10.0
"""Of two sheets that are joined. [mm]"""

_TITLE, _NOTE = 3.6, 2.6
_BARS = ((100.0, 10.0, "100 mm"), (101.6, 12.7, "4 in"))
_NARROWEST_CAPTION = 66.0


@frozen
class SheetWords:
    """What every page says of the job.

    Attributes:
        project: The plan's name.
        revision: Which plan and which version of the program.
    """

    project: str
    revision: str


@frozen
class Tiles:
    """How one template lies over several pages.

    Attributes:
        columns: Pages side by side.
        rows: Pages one above another.
    """

    columns: int
    rows: int


@dataclass(slots=True)
class _Draft:
    """A page while it fills up."""

    title: str
    placed: list[Placed]
    shelves: list[list[float]]  # bottom, height, used
    names: list[str]
    tiles: tuple[Tiles, int, int] | None = None


def window(paper: Paper) -> Box:
    """What of a page templates may use. [mm]"""
    return Box(
        left=_MARGIN + _STRIP,
        bottom=_FOOT + _BLOCK,
        right=paper.width - _MARGIN,
        top=paper.height - _MARGIN,
    )


def captioned(template: Template) -> tuple[Shape, ...]:
    """A template with title and notes under it, for paper."""
    box = template.box
    width = max(box.width, _NARROWEST_CAPTION)
    level = box.bottom - 4.5
    shapes: list[Shape] = []
    for words, height, style in (
        (template.title, _TITLE, Style.HEADING),
        *((note, _NOTE, Style.LETTERING) for note in template.notes),
    ):
        for line in wrapped(words, height, width):
            shapes.append(Text(at=(box.left, level), text=line, height=height, style=style, anchor="start"))
            level -= 1.35 * height
    return (*template.shapes, *shapes)


def wrapped(words: str, height: float, width: float) -> list[str]:
    """Words in lines that are no wider than may be, where single words allow it."""
    lines: list[str] = []
    line = ""
    for word in words.split():
        longer = f"{line} {word}".strip()
        if line and text_width(longer, height) > width:
            lines.append(line)
            line = word
        else:
            line = longer
    return [*lines, line] if line else lines


def laid_out(
    templates: tuple[Template, ...], paper: Paper, first_page: int
) -> tuple[list[Page], dict[str, tuple[int, ...]]]:
    """Templates on pages, without what every page carries.

    Args:
        templates: Those that go on paper.
        paper: Its size.
        first_page: Number of the first of these pages.

    Returns:
        Pages, and the page numbers on which each template lies.
    """
    room = window(paper)
    small: list[tuple[Template, tuple[Shape, ...], Box, bool]] = []
    drafts: list[_Draft] = []
    large: list[Template] = []
    for template in templates:
        shapes = captioned(template)
        box = box_of(shapes)
        if _fits(box, room):
            small.append((template, shapes, box, False))
        elif box.height <= room.width and box.width <= room.height:
            small.append((template, shapes, box, True))
        else:
            large.append(template)
    # The tallest first: each shelf is then as high as what stands on it first.
    small.sort(key=lambda one: -(one[2].width if one[3] else one[2].height))
    for template, shapes, box, turned in small:
        _shelve(drafts, room, template, shapes, box, turned)
    for template in large:
        drafts += _tiled(template, room)
    pages: list[Page] = []
    where: dict[str, tuple[int, ...]] = {}
    starts: dict[str, int] = {}
    for number, draft in enumerate(drafts, start=first_page):
        for name in draft.names:
            where[name] = (*where.get(name, ()), number)
            starts.setdefault(name, number)
        placed = list(draft.placed)
        if draft.tiles is not None and draft.tiles[0] != Tiles(columns=1, rows=1):
            placed.append(Placed(shapes=_map(paper, *draft.tiles, first=starts[draft.names[0]])))
        pages.append(Page(paper=paper, title=draft.title, placed=tuple(placed)))
    return pages, where


def _fits(box: Box, room: Box) -> bool:
    return box.width <= room.width and box.height <= room.height


def _shelve(
    drafts: list[_Draft],
    room: Box,
    template: Template,
    shapes: tuple[Shape, ...],
    box: Box,
    turned: bool,
) -> None:
    """Put a block on the first shelf that has room for it, or on a new one."""
    width, height = (box.height, box.width) if turned else (box.width, box.height)
    for draft in drafts:
        for shelf in draft.shelves:
            if shelf[2] + width <= room.width and height <= shelf[1]:
                _put(draft, room, shelf, template, shapes, box, turned)
                return
        below = min((shelf[0] for shelf in draft.shelves), default=room.top) - _GAP
        if below - height >= room.bottom:
            draft.shelves.append([below - height, height, 0.0])
            _put(draft, room, draft.shelves[-1], template, shapes, box, turned)
            return
    draft = _Draft(title="", placed=[], shelves=[[room.top - height, height, 0.0]], names=[])
    drafts.append(draft)
    _put(draft, room, draft.shelves[0], template, shapes, box, turned)


def _put(
    draft: _Draft,
    room: Box,
    shelf: list[float],
    template: Template,
    shapes: tuple[Shape, ...],
    box: Box,
    turned: bool,
) -> None:
    left, top = room.left + shelf[2], shelf[0] + shelf[1]
    at: Point = (left + box.top, top - box.right) if turned else (left - box.left, top - box.top)
    draft.placed.append(Placed(shapes=shapes, at=at, turned=turned))
    draft.names.append(template.name)
    shelf[2] += (box.height if turned else box.width) + _GAP
    draft.title = template.title if len(draft.names) == 1 else "Templates"


def sheets_needed(template: Template, paper: Paper) -> int:
    """How many sheets a template lies over; 1 where it shares one with others.

    Args:
        template: That goes on paper.
        paper: Its size.
    """
    room = window(paper)
    box = box_of(captioned(template))
    if _fits(box, room) or (box.height <= room.width and box.width <= room.height):
        return 1
    tiles, _, _ = _tiles(template, room)
    return tiles.columns * tiles.rows


def _tiles(template: Template, room: Box) -> tuple[Tiles, bool, Box]:
    """As few tiles as may be, whether the template lies turned on them, and what of a page one takes."""
    box = template.box.grown(2.0)
    _, deep = _heading(template, room)
    inner = replace(room, top=room.top - deep)
    step_x, step_y = inner.width - OVERLAP, inner.height - OVERLAP

    def count(size: float, step: float) -> int:
        return max(1, math.ceil((size - OVERLAP) / step - 1e-9))

    upright = Tiles(columns=count(box.width, step_x), rows=count(box.height, step_y))
    lying = Tiles(columns=count(box.height, step_x), rows=count(box.width, step_y))
    turned = lying.columns * lying.rows < upright.columns * upright.rows
    return lying if turned else upright, turned, inner


def _tiled(template: Template, room: Box) -> list[_Draft]:
    """One template over as few pages as may be, upright or turned."""
    box = template.box.grown(2.0)
    heading, _ = _heading(template, room)
    tiles, turned, inner = _tiles(template, room)
    step_x, step_y = inner.width - OVERLAP, inner.height - OVERLAP
    width, height = (box.height, box.width) if turned else (box.width, box.height)
    # The first tile begins half of what is spare before the template.
    spare_x = tiles.columns * step_x + OVERLAP - width
    spare_y = tiles.rows * step_y + OVERLAP - height
    drafts = []
    for row in range(tiles.rows):
        for column in range(tiles.columns):
            left = inner.left + 0.5 * spare_x - column * step_x
            top = inner.top - 0.5 * spare_y + row * step_y
            at: Point = (left + box.top, top - box.right) if turned else (left - box.left, top - box.top)
            drafts.append(
                _Draft(
                    title=template.title,
                    placed=[
                        Placed(shapes=heading),
                        Placed(shapes=template.shapes, at=at, turned=turned, clip=inner),
                        Placed(shapes=_joins(inner, tiles, column, row)),
                    ],
                    shelves=[],
                    names=[template.name],
                    tiles=(tiles, column, row),
                )
            )
    return drafts


def _heading(template: Template, room: Box) -> tuple[tuple[Shape, ...], float]:
    """Title and notes in the band over a tile, and how deep the band is. [mm]"""
    level = room.top - 2.0
    shapes: list[Shape] = [
        Text(at=(room.left, level), text=template.title, height=_TITLE, style=Style.HEADING, anchor="start")
    ]
    level -= 1.4 * _TITLE
    for line in wrapped("; ".join(template.notes), _NOTE, room.width):
        shapes.append(Text(at=(room.left, level), text=line, height=_NOTE, anchor="start"))
        level -= 1.3 * _NOTE
    return tuple(shapes), room.top - level + 3.5


def _joins(inner: Box, tiles: Tiles, column: int, row: int) -> tuple[Shape, ...]:
    """Crop marks at the corners, the lines to cut along, and crosses that come to lie on each other."""
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
    """A small map of the pages that are joined, this one framed heavily."""
    wide, high = 30.0, 12.5
    size = min(wide / tiles.columns, high / tiles.rows, 8.0)
    right, top = paper.width - _MARGIN, _FOOT + _BLOCK - 11.0
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


def furnished(pages: list[Page], words: SheetWords) -> tuple[Page, ...]:
    """Pages with what every one of them carries: bars both ways, and the block at the foot.

    Args:
        pages: All pages of the document, in order.
        words: Of the job.
    """
    return tuple(
        replace(page, placed=(*page.placed, Placed(shapes=_furniture(page, words, number, len(pages)))))
        for number, page in enumerate(pages, start=1)
    )


def bars(paper: Paper) -> tuple[tuple[Point, Point, float], ...]:
    """Where the measuring bars lie on a page: start, end, and length. [mm]"""
    left, low = _MARGIN + _STRIP, _FOOT + 5.5
    up = _MARGIN + 3.5
    rise = _FOOT + _BLOCK
    found: list[tuple[Point, Point, float]] = []
    for number, (length, _, _) in enumerate(_BARS):
        level = low + 9.0 - 9.0 * number
        found.append(((left, level), (left + length, level), length))
    for length, _, _ in _BARS:
        found.append(((up, rise), (up, rise + length), length))
        rise += length + 12.0
    return tuple(found)


def _furniture(page: Page, words: SheetWords, number: int, count: int) -> tuple[Shape, ...]:
    paper = page.paper
    shapes: list[Shape] = []
    for index, (start, end, length) in enumerate(bars(paper)):
        _, tick, name = _BARS[index % 2]
        level = index < 2
        shapes.append(Line(start=start, end=end, style=Style.FRAME))
        for step in range(round(length / tick) + 1):
            ends = step in (0, round(length / tick))
            size = 2.2 if ends else 1.2
            x, y = start
            if level:
                x += step * tick
                shapes.append(Line(start=(x, y), end=(x, y + size), style=Style.FRAME))
            else:
                y += step * tick
                shapes.append(Line(start=(x, y), end=(x - size, y), style=Style.FRAME))
        at = (
            (0.5 * (start[0] + end[0]), start[1] - 2.4)
            if level
            else (start[0] + 2.6, 0.5 * (start[1] + end[1]))
        )
        shapes.append(Text(at=at, text=name, height=2.6, angle=0.0 if level else 90.0))
    left, right = _MARGIN + _STRIP + 107.0, paper.width - _MARGIN
    room = right - left
    top = _FOOT + _BLOCK - 3.5
    lines: list[tuple[str, float, Style]] = [(words.project, 3.6, Style.HEADING)]
    for text, height, style in (*lines, (page.title, 2.6, Style.LETTERING)):
        shapes.append(
            Text(
                at=(left, top), text=shortened(text, height, room), height=height, style=style, anchor="start"
            )
        )
        top -= 1.45 * height
    for text in (f"page {number} of {count}, {paper.name}", words.revision, "date .................."):
        shapes.append(Text(at=(left, top), text=text, height=2.3, style=Style.SMALL, anchor="start"))
        top -= 3.4
    shapes.append(
        Text(
            at=(_MARGIN + _STRIP, _FOOT - 1.0),
            text="Print at actual size (100 %), not fitted to the page. Measure all four bars before you cut.",
            height=2.5,
            style=Style.HEADING,
            anchor="start",
        )
    )
    return tuple(shapes)


def shortened(text: str, height: float, width: float) -> str:
    """A text that fits a width, dots in place of what had to go."""
    if text_width(text, height) <= width:
        return text
    while text and text_width(text + "...", height) > width:
        text = text[:-1]
    return text.rstrip() + "..."
