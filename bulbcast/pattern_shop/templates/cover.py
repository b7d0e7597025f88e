"""The first page of the templates, and pages of tables."""

from __future__ import annotations

import math
from collections.abc import Sequence

from bulbcast.drawing.pages import Page, Paper, Placed
from bulbcast.drawing.paper import window, wrapped
from bulbcast.drawing.pdf import printable
from bulbcast.drawing.shapes import Box, Line, Shape, Style, Text, text_width
from bulbcast.pattern_shop.templates.turning import TurningTable

_BODY, _LEAD = 3.0, 4.6
_ROW = 4.6
_CELL = 2.8

_HOW = (
    "Print at actual size (100 %), never fitted to the page. On every page a bar of 100 mm and one of 4 in lie along "
    "the foot, and two more stand along the left edge: measure all four before anything is cut. A printer can be "
    "right one way and wrong the other.",
    "Sheets that are joined carry a small map at the foot, crop marks at the corners, dashed lines where they overlap "
    "and crosses in the overlap. Cut one of two sheets along its dashed line and lay its crosses on those of the other.",
    "A station's line is inside and outside template at once: what lies within it is the inside template, the board "
    "round its upper half the outside one.",
)
_LINES = (
    (Style.CUT, "cut on this line"),
    (Style.ENGRAVED, "mark: centre lines, parting lines, stations; not cut"),
    (Style.REFERENCE, "only to look at: what lies beneath, beside or comes later"),
    (Style.HIDDEN, "where sheets overlap"),
)


def cover_page(paper: Paper, *, name: str, about: Sequence[str], contents: Sequence[tuple[str, str]]) -> Page:
    """How to print, how to join, what the lines mean, and what lies where.

    Args:
        paper: Its size.
        name: Of the project.
        about: What bulb it is, a line each.
        contents: What, and on which pages.
    """
    room = window(paper)
    shapes: list[Shape] = [
        Text(at=(room.left, room.top - 4.0), text=name, height=7.0, style=Style.HEADING, anchor="start")
    ]
    level = room.top - 12.5
    level = _lines(shapes, ["Templates at full size"], room, level, height=4.5, lead=7.0)
    level = _lines(shapes, about, room, level, height=_BODY, lead=_LEAD) - 3.0
    for words in _HOW:
        level = _lines(shapes, wrapped(words, _BODY, room.width), room, level, height=_BODY, lead=_LEAD) - 2.0
    if printable(name) != name:
        words = "Letters of the name that the printed face lacks are shown as a question mark."
        level = _lines(shapes, [words], room, level, height=_BODY, lead=_LEAD) - 2.0
    level -= 2.0
    for style, words in _LINES:
        shapes.append(Line(start=(room.left, level), end=(room.left + 28.0, level), style=style))
        shapes.append(Text(at=(room.left + 32.0, level), text=words, height=_BODY, anchor="start"))
        level -= 5.6
    level -= 4.0
    shapes.append(
        Text(at=(room.left, level), text="What lies where", height=3.6, style=Style.HEADING, anchor="start")
    )
    level -= 6.0
    for what, pages in contents:
        lines = wrapped(what, _BODY, room.width - 48.0)
        shapes.append(Text(at=(room.right, level), text=pages, height=_BODY, anchor="end"))
        level = _lines(shapes, lines, room, level, height=_BODY, lead=_LEAD) - 0.6
    return Page(paper=paper, title="How to use these sheets", placed=(Placed(shapes=tuple(shapes)),))


def _lines(
    shapes: list[Shape], lines: Sequence[str], room: Box, level: float, *, height: float, lead: float
) -> float:
    for line in lines:
        shapes.append(Text(at=(room.left, level), text=line, height=height, anchor="start"))
        level -= lead
    return level


def table_pages(
    paper: Paper, tables: Sequence[TurningTable], first_page: int
) -> tuple[list[Page], list[tuple[int, ...]]]:
    """Tables one under another over as many pages as they take.

    Args:
        paper: Its size.
        tables: Headings and rows.
        first_page: Number of the first of these pages.

    Returns:
        Pages, and the page numbers on which each table stands.
    """
    room = window(paper)
    pages: list[tuple[list[str], list[Shape]]] = []
    where = []
    level = room.bottom
    for table in tables:
        widths = _widths(table, room.width)
        notes = [line for note in table.notes for line in wrapped(note, _CELL, room.width)]
        tail = 4.4 * len(notes) + 3.0
        head = 13.0 + 3.8 * (_deepest(table, widths) - 1) + 6.6
        rows = list(table.rows)
        on: list[int] = []
        if level - head - tail - _ROW * len(rows) < room.bottom:
            # Over several pages in equal parts, so that no line stands alone on the last.
            most = max(1, int((room.height - head - tail) // _ROW))
            share = math.ceil(len(rows) / math.ceil(len(rows) / most))
            level = room.bottom
        else:
            share = len(rows)
        while rows or not on:
            if level - head - tail - _ROW * min(len(rows), share) < room.bottom:
                pages.append(([], []))
                level = room.top
            titles, shapes = pages[-1]
            titles.append(table.title)
            level = _table(shapes, table, rows[:share], notes, widths, room, level) - 8.0
            on.append(first_page + len(pages) - 1)
            rows = rows[share:]
        where.append(tuple(on))
    return [
        Page(paper=paper, title=", ".join(titles), placed=(Placed(shapes=tuple(shapes)),))
        for titles, shapes in pages
    ], where


def _deepest(table: TurningTable, widths: Sequence[float]) -> int:
    return max(
        len(wrapped(name, _CELL, width - 1.5)) for name, width in zip(table.heads, widths, strict=True)
    )


def _table(
    shapes: list[Shape],
    table: TurningTable,
    rows: Sequence[tuple[str, ...]],
    notes: Sequence[str],
    widths: Sequence[float],
    room: Box,
    top: float,
) -> float:
    """One table from a level down; the level at which it ends."""
    shapes.append(
        Text(at=(room.left, top - 4.0), text=table.title, height=4.5, style=Style.HEADING, anchor="start")
    )
    level = top - 13.0
    x = room.left
    for name, width in zip(table.heads, widths, strict=True):
        for number, word in enumerate(wrapped(name, _CELL, width - 1.5)):
            at = (x + width - 1.5, level - 3.8 * number)
            shapes.append(Text(at=at, text=word, height=_CELL, style=Style.HEADING, anchor="end"))
        x += width
    level -= 3.8 * (_deepest(table, widths) - 1) + 3.4
    right = room.left + sum(widths)
    shapes.append(Line(start=(room.left, level), end=(right, level), style=Style.FRAME))
    level -= 3.2
    for row in rows:
        x = room.left
        for cell, width in zip(row, widths, strict=True):
            shapes.append(Text(at=(x + width - 1.5, level), text=cell, height=_CELL, anchor="end"))
            x += width
        shapes.append(Line(start=(room.left, level - 2.3), end=(right, level - 2.3), style=Style.GRID))
        level -= _ROW
    level -= 2.5
    for note in notes:
        shapes.append(Text(at=(room.left, level), text=note, height=_CELL, anchor="start"))
        level -= 4.4
    return level


def _widths(table: TurningTable, most: float) -> list[float]:
    """Room for each column: what its cells and the longest word of its head take."""
    widths = []
    for index, head in enumerate(table.heads):
        cells = [text_width(row[index], _CELL) for row in table.rows]
        words = [text_width(word, _CELL) for word in head.split()]
        widths.append(max([*cells, *words, 4.0]) + 4.0)
    spare = most - sum(widths)
    grow = max(0.0, min(spare / len(widths), 5.0))
    return [width + grow for width in widths]
