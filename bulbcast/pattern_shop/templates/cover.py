"""First page of the templates, and pages of tables."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import accumulate

from bulbcast.drawing.pages import Page, Paper, Placed
from bulbcast.drawing.paper import window, wrapped
from bulbcast.drawing.pdf import printable
from bulbcast.drawing.shapes import Box, Line, Shape, Style, Text, text_width
from bulbcast.pattern_shop.templates.turning import TurningTable

_BODY, _LEAD = 3.0, 4.6
_ROWS = (4.5, 4.2, 3.9)
"""Heights of a table's rows, the most readable first; a smaller height is used if it saves a page. [mm]"""
_CELL = 2.8
_FEWEST = 6
"""Minimum number of lines of a table on its last page, if it has more than one page. [-]"""

_HOW = (
    "Print at actual size (100 %), never fitted to the page. Every page has a 100 mm bar and a 4 in bar along the "
    "foot, and two more along the left edge. Measure all four before you cut anything. A printer can be right in one "
    "direction and wrong in the other.",
    "Sheets to be joined have a small map at the foot, crop marks at the corners, dashed lines where they overlap "
    "and crosses in the overlap. Cut one sheet of each pair along its dashed line and align its crosses with those "
    "of the other.",
    "Each station's line gives two templates. The area inside it is the inside template, and the board round its upper "
    "half is the outside template.",
)
_LINES = (
    (Style.CUT, "cut on this line"),
    (Style.ENGRAVED, "mark, do not cut: centre lines, parting lines, stations"),
    (Style.REFERENCE, "for reference only: adjoining parts or later work"),
    (Style.HIDDEN, "where sheets overlap"),
)


class _Column:
    """Write lines of text on a page, one below another."""

    def __init__(self, room: Box, level: float) -> None:
        self.room, self.level = room, level
        self.shapes: list[Shape] = []

    def say(
        self, *lines: str, height: float = _BODY, lead: float = _LEAD, style: Style = Style.LETTERING
    ) -> None:
        for line in lines:
            at = (self.room.left, self.level)
            self.shapes.append(Text(at=at, text=line, height=height, style=style, anchor="start"))
            self.level -= lead


def cover_page(paper: Paper, *, name: str, about: Sequence[str], contents: Sequence[tuple[str, str]]) -> Page:
    """Page of instructions: how to print and join the sheets, the meaning of the lines, and the contents.

    Args:
        paper: The paper size.
        name: Name of the project.
        about: Lines of text that describe the bulb.
        contents: Titles, with their pages.
    """
    room = window(paper)
    column = _Column(room, room.top - 4.0)
    column.say(name, height=7.0, style=Style.HEADING)
    column.level = room.top - 12.5
    column.say("Full-size templates", height=4.5, lead=7.0)
    column.say(*about)
    column.level -= 3.0
    how = list(_HOW)
    if printable(name) != name:
        how.append("Letters of the name that are missing from the typeface are shown as question marks.")
    for words in how:
        column.say(*wrapped(words, _BODY, room.width))
        column.level -= 2.0
    column.level -= 2.0
    for style, words in _LINES:
        left, level = room.left, column.level
        column.shapes.append(Line(start=(left, level), end=(left + 28.0, level), style=style))
        column.shapes.append(Text(at=(left + 32.0, level), text=words, height=_BODY, anchor="start"))
        column.level -= 5.6
    column.level -= 4.0
    column.say("Contents", height=3.6, lead=6.0, style=Style.HEADING)
    for what, pages in contents:
        column.shapes.append(Text(at=(room.right, column.level), text=pages, height=_BODY, anchor="end"))
        column.say(*wrapped(what, _BODY, room.width - 48.0))
        column.level -= 0.6
    return Page(paper=paper, title="How to use these sheets", placed=(Placed(shapes=tuple(column.shapes)),))


def table_pages(
    paper: Paper, tables: Sequence[TurningTable], first_page: int
) -> tuple[list[Page], list[tuple[int, ...]]]:
    """Lay out tables one below another, with readable rows, on as few pages as possible.

    Args:
        paper: The paper size.
        tables: Tables with headings and rows.
        first_page: Number of the first of these pages.

    Returns:
        The pages, and the page numbers of each table.
    """
    return min((_paged(paper, tables, first_page, row) for row in _ROWS), key=lambda one: len(one[0]))


def _paged(
    paper: Paper, tables: Sequence[TurningTable], first_page: int, row: float
) -> tuple[list[Page], list[tuple[int, ...]]]:
    """Pages of tables with rows of a given height [mm], and the page numbers of each table."""
    room = window(paper)
    pages: list[tuple[list[str], _Column]] = []
    where = []
    level = room.bottom
    for table in tables:
        widths = _widths(table, room.width)
        heads = [wrapped(name, _CELL, width - 1.5) for name, width in zip(table.heads, widths, strict=True)]
        notes = [line for note in table.notes for line in wrapped(note, _CELL, room.width)]
        tail = 4.4 * len(notes) + 3.0
        head = 13.0 + 3.8 * (max(map(len, heads)) - 1) + 6.6
        rows = list(table.rows)
        on: list[int] = []
        shares = [len(rows)]
        if level - head - tail - row * len(rows) < room.bottom:
            shares = _shares(len(rows), max(1, int((room.height - head - tail) // row)))
            level = room.bottom
        for share in shares:
            if level - head - tail - row * share < room.bottom:
                pages.append(([], _Column(room, room.top)))
                level = room.top
            titles, column = pages[-1]
            titles.append(table.title)
            column.level = level
            _table(column, table.title, heads, rows[:share], widths, row)
            column.say(*notes, height=_CELL, lead=4.4)
            level = column.level - 5.0
            on.append(first_page + len(pages) - 1)
            rows = rows[share:]
        where.append(tuple(on))
    return [
        Page(paper=paper, title=", ".join(titles), placed=(Placed(shapes=tuple(column.shapes)),))
        for titles, column in pages
    ], where


def _shares(count: int, most: int) -> list[int]:
    """Number of lines on each page. All pages but the last are full, except that a few lines are held back so that no
    line is alone on the last page."""
    shares = []
    while count > most:
        shares.append(min(most, max(count - _FEWEST, 1)))
        count -= shares[-1]
    return [*shares, count]


def _table(
    column: _Column,
    title: str,
    heads: Sequence[Sequence[str]],
    rows: Sequence[tuple[str, ...]],
    widths: Sequence[float],
    height: float,
) -> None:
    """Write one table downwards from the column's current level, with rows of a given height. [mm]"""
    left, top = column.room.left, column.level
    edges = list(accumulate(widths, initial=left))[1:]
    right = left + sum(widths)
    column.level -= 4.0
    column.say(title, height=4.5, style=Style.HEADING)
    level = top - 13.0
    for lines, edge in zip(heads, edges, strict=True):
        for number, word in enumerate(lines):
            at = (edge - 1.5, level - 3.8 * number)
            column.shapes.append(Text(at=at, text=word, height=_CELL, style=Style.HEADING, anchor="end"))
    level -= 3.8 * (max(map(len, heads)) - 1) + 3.4
    column.shapes.append(Line(start=(left, level), end=(right, level), style=Style.FRAME))
    level -= 3.2
    for row in rows:
        for cell, edge in zip(row, edges, strict=True):
            column.shapes.append(Text(at=(edge - 1.5, level), text=cell, height=_CELL, anchor="end"))
        below = level - 0.5 * height
        column.shapes.append(Line(start=(left, below), end=(right, below), style=Style.GRID))
        level -= height
    column.level = level - 2.5


def _widths(table: TurningTable, most: float) -> list[float]:
    """Width of each column, with room for its cells and the longest word in its heading."""
    widths = []
    for index, head in enumerate(table.heads):
        cells = [text_width(row[index], _CELL) for row in table.rows]
        words = [text_width(word, _CELL) for word in head.split()]
        widths.append(max([*cells, *words, 4.0]) + 4.0)
    spare = most - sum(widths)
    grow = max(0.0, min(spare / len(widths), 5.0))
    return [width + grow for width in widths]
