"""Fixed parts of every sheet of templates, and the remaining space for templates.

Every page has bars of 100 mm and 4 in in both directions, so that a page printed at the wrong size is noticed before
anything is cut.
"""

from __future__ import annotations

from bulbcast.drawing.pages import Page, Paper, Placed
from bulbcast.drawing.shapes import Box, Line, Point, Shape, Style, Text, text_width
from bulbcast.drawing.template import Template
from bulbcast.quantities.frozen import frozen, replace

# Home printers leave a margin of up to 5 mm, and of about 12 mm at the foot (common practice, no source).
MARGIN, FOOT = 10.0, 13.0
_STRIP, BLOCK = 9.0, 24.0
TITLE, NOTE = 3.6, 2.6
_BARS = ((100.0, 10.0, "100 mm"), (101.6, 12.7, "4 in"))
_NARROWEST_CAPTION = 58.0


@frozen
class SheetWords:
    """Text about the job that appears on every page.

    Attributes:
        project: The plan's name.
        revision: Versions of the plan and of the program.
    """

    project: str
    revision: str


def window(paper: Paper) -> Box:
    """Return the part of a page that templates may use. [mm]"""
    return Box(
        left=MARGIN + _STRIP,
        bottom=FOOT + BLOCK,
        right=paper.width - MARGIN,
        top=paper.height - MARGIN,
    )


def captioned(template: Template) -> tuple[Shape, ...]:
    """A template for printing, with its title and notes below it."""
    box = template.box
    width = max(box.width, _NARROWEST_CAPTION)
    level = box.bottom - 4.5
    shapes: list[Shape] = []
    for words, height, style in (
        (template.title, TITLE, Style.HEADING),
        ("; ".join(template.notes), NOTE, Style.LETTERING),
    ):
        for line in wrapped(words, height, width):
            shapes.append(Text(at=(box.left, level), text=line, height=height, style=style, anchor="start"))
            level -= 1.35 * height
    return (*template.shapes, *shapes)


def wrapped(words: str, height: float, width: float) -> list[str]:
    """Break text into lines of limited width; a single word that is too long is not broken."""
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


def furnished(pages: list[Page], words: SheetWords) -> tuple[Page, ...]:
    """Add the fixed parts to pages: measuring bars in both directions, and the block at the foot.

    Args:
        pages: All pages of the document, in order.
        words: Text about the job.
    """
    return tuple(
        replace(page, placed=(*page.placed, Placed(shapes=_furniture(page, words, number, len(pages)))))
        for number, page in enumerate(pages, start=1)
    )


def bars(paper: Paper) -> tuple[tuple[Point, Point, float], ...]:
    """Return the start, end and length of each measuring bar on a page. [mm]"""
    left, low = MARGIN + _STRIP, FOOT + 5.5
    up = MARGIN + 3.5
    rise = FOOT + BLOCK
    found: list[tuple[Point, Point, float]] = []
    for number, (length, _, _) in enumerate(_BARS):
        level = low + 9.0 - 9.0 * number
        found.append(((left, level), (left + length, level), length))
    for length, _, _ in _BARS:
        found.append(((up, rise), (up, rise + length), length))
        # On landscape paper there is no room for one bar above the other, so both are edges of one rule.
        rise += 0.0 if paper.width > paper.height else length + 12.0
    return tuple(found)


def _furniture(page: Page, words: SheetWords, number: int, count: int) -> tuple[Shape, ...]:
    paper = page.paper
    shapes: list[Shape] = []
    for index, (start, end, length) in enumerate(bars(paper)):
        _, tick, name = _BARS[index % 2]
        level, inwards = index < 2, paper.width > paper.height and index == 3
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
                shapes.append(
                    Line(start=(x, y), end=(x + (size if inwards else -size), y), style=Style.FRAME)
                )
        at = (start[0] + 2.6, 0.5 * (start[1] + end[1]))
        if level:
            at = (0.5 * (start[0] + end[0]), start[1] - 2.4)
        elif paper.width > paper.height:
            at = (start[0] + (2.0 if inwards else -1.8), bars(paper)[3][1][1] + 6.5)
        shapes.append(Text(at=at, text=name, height=2.6, angle=0.0 if level else 90.0))
    left, right = MARGIN + _STRIP + 107.0, paper.width - MARGIN
    room = right - left
    top = FOOT + BLOCK - 3.5
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
            at=(MARGIN + _STRIP, FOOT - 1.0),
            text="Print at actual size (100 %), not fitted to the page. Measure all four bars before you cut.",
            height=2.5,
            style=Style.HEADING,
            anchor="start",
        )
    )
    return tuple(shapes)


def shortened(text: str, height: float, width: float) -> str:
    """Shorten text to fit a width, with dots in place of the omitted part."""
    if text_width(text, height) <= width:
        return text
    while text and text_width(text + "...", height) > width:
        text = text[:-1]
    return text.rstrip() + "..."
