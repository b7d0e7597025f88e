"""Writes a chapter as lines of terminal text."""

from __future__ import annotations

from typing import assert_never

from bulbcast.report import chapter as parts
from bulbcast.report.page import COLOURS, Page


def chapter_lines(page: Page, chapter: parts.Chapter) -> None:
    """Write to a page the parts of a chapter that are shown in the terminal.

    Args:
        page: The page on which to write.
        chapter: Chapter of a subject.
    """
    found = parts.for_terminal(chapter)
    if found and chapter.heading:
        page.heading(chapter.heading)
    for part in found:
        _part(page, part)


def _part(page: Page, part: parts.Part) -> None:
    match part:
        case parts.Table():
            rows = part.cells()
            if rows:
                if part.heading:
                    page.heading(part.heading)
                page.table([part.heads, *rows] if part.heads else rows, figures=part.figures)
        case parts.Words():
            page.wrapped(part.text, first="  ", rest="  ", code=part.code)
        case parts.Heading():
            page.heading(part.text)
        case parts.Gap():
            page.line()
        case parts.Items():
            if part.items:
                page.line()
                page.line(f"  {part.lead}")
                for item in part.items:
                    page.wrapped(item, first="    - ", rest="      ")
        case parts.Withheld():
            page.wrapped(part.title, first="  ", rest="  ", code=COLOURS[part.reasons[0].severity])
            for one in part.reasons:
                words = one.brief if one in part.brief else f"{one.message} {one.remedy}"
                page.wrapped(words, first="  ", rest="  ")
        case parts.Typed():
            part.write(page)
        case (
            parts.Markup()
            | parts.Picture()
            | parts.Sources()
            | parts.Cautions()
            | parts.Data()
            | parts.ToBuy()
        ):
            pass
        case _:
            assert_never(part)
