"""A chapter as lines of the terminal."""

from __future__ import annotations

from typing import assert_never

from bulbcast.report.chapter import (
    Cautions,
    Chapter,
    Data,
    Gap,
    Heading,
    Items,
    Markup,
    Part,
    Picture,
    Sources,
    Table,
    Typed,
    Withheld,
    Words,
    for_terminal,
)
from bulbcast.report.page import COLOURS, Page


def chapter_lines(page: Page, chapter: Chapter) -> None:
    """Put what a chapter has for the terminal on the page.

    Args:
        page: To write on.
        chapter: Of a subject.
    """
    parts = for_terminal(chapter)
    if parts and chapter.heading:
        page.heading(chapter.heading)
    for part in parts:
        _part(page, part)


def _part(page: Page, part: Part) -> None:
    match part:
        case Table():
            rows = part.cells()
            if rows:
                if part.heading:
                    page.heading(part.heading)
                page.table([part.heads, *rows] if part.heads else rows, figures=part.figures)
        case Words():
            page.wrapped(part.text, first="  ", rest="  ", code=part.code)
        case Heading():
            page.heading(part.text)
        case Gap():
            page.line()
        case Items():
            if part.items:
                page.line()
                page.line(f"  {part.lead}")
                for item in part.items:
                    page.wrapped(item, first="    - ", rest="      ")
        case Withheld():
            page.wrapped(part.title, first="  ", rest="  ", code=COLOURS[part.reasons[0].severity])
            for one in part.reasons:
                words = one.brief if one in part.brief else f"{one.message} {one.remedy}"
                page.wrapped(words, first="  ", rest="  ")
        case Typed():
            part.write(page)
        case Markup() | Picture() | Sources() | Cautions() | Data():
            pass
        case _:
            assert_never(part)
