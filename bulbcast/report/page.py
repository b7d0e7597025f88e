"""Text for the terminal: wrapped lines, tables that fit the width, and findings."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Sequence
from itertools import zip_longest

from bulbcast.findings import SEVERITY_WORDS, Finding, Severity
from bulbcast.quantities import DisplayUnits, in_one_unit
from bulbcast.quantities.prose import imperial_first

# ANSI codes for red, yellow and cyan. Colour is never the only sign.
COLOURS = {
    Severity.STOP: "1;31",
    Severity.HOLD: "1;33",
    Severity.CAUTION: "33",
    Severity.NOTE: "36",
}
_NARROWEST, _WIDEST = 72, 110
_NARROWEST_NAME, _NARROWEST_COLUMN = 16, 26


class Page:
    """Lines of text for a given width, with or without colour. In sentences, the reader's units come first."""

    def __init__(self, *, colour: bool, width: int, units: DisplayUnits = "metric") -> None:
        self._imperial = units == "imperial"
        self._colour = colour
        self._width = max(_NARROWEST, min(width, _WIDEST))
        self._lines: list[str] = []

    def paint(self, text: str, code: str) -> str:
        return f"\x1b[{code}m{text}\x1b[0m" if self._colour else text

    def line(self, text: str = "", code: str = "") -> None:
        self._lines.append(self.paint(text, code) if code else text)

    def heading(self, text: str) -> None:
        self.line()
        self.line(text, "1")

    def wrapped(self, text: str, *, first: str = "", rest: str = "", code: str = "") -> None:
        lines = textwrap.wrap(
            imperial_first(text) if self._imperial else text,
            self._width,
            initial_indent=first,
            subsequent_indent=rest,
            break_on_hyphens=False,
        )
        for line in lines:
            self.line(line, code)

    def pairs(self, rows: Sequence[tuple[str, str]]) -> None:
        """Write short figures in two columns, to be read down the left and then the right, or in one column if two are
        too wide."""
        kept = in_one_unit(rows)
        half = (len(kept) + 1) // 2

        def column(some: Sequence[tuple[str, ...]]) -> list[str]:
            names, figures = (max((len(row[i]) for row in some), default=0) for i in range(2))
            return [f"{name.ljust(names)}  {figure.rjust(figures)}" for name, figure in some]

        left, right = column(kept[:half]), column(kept[half:])
        if right and len(left[0]) + len(right[0]) + 6 > self._width:
            left, right = column(kept), []
        for one, other in zip_longest(left, right, fillvalue=""):
            self.line(f"  {one}    {other}".rstrip())

    def table(self, rows: Iterable[Sequence[str]], *, figures: Sequence[int] = ()) -> None:
        """Write columns two spaces apart, no wider than the page, with a single unit for each kind of figure. Long names
        in the first column and text in the last column are wrapped. The last column is omitted if the page is too
        narrow.
        """
        kept = in_one_unit(rows)
        sizes = [max(len(row[i]) for row in kept) for i in range(len(kept[0]))]
        words = len(sizes) - 1 not in figures
        taken = 2 + sum(size + 2 for size in sizes[1 : -1 if words else None])
        sizes[0] = max(min(sizes[0], self._width - taken), _NARROWEST_NAME)
        room = self._width - taken - sizes[0] - 2
        for row in kept:
            names = textwrap.wrap(row[0], sizes[0]) or [""]
            remarks = textwrap.wrap(row[-1], room) if words and room >= _NARROWEST_COLUMN else []
            middle = "".join(
                "  " + (cell.rjust(sizes[i]) if i in figures else cell.ljust(sizes[i]))
                for i, cell in enumerate(row)
                if 0 < i < len(row) - words
            )
            for number in range(max(len(names), len(remarks), 1)):
                name = names[number] if number < len(names) else ""
                remark = remarks[number] if number < len(remarks) else ""
                between = middle if number == 0 else " " * len(middle)
                self.line(f"  {name.ljust(sizes[0])}{between}  {remark}".rstrip())

    def text(self) -> str:
        return "\n".join(self._lines) + "\n"


def printable(name: str) -> str:
    """Return a name without control characters, which would affect the terminal."""
    return "".join(letter if letter.isprintable() else "?" for letter in name)


def finding_lines(page: Page, finding: Finding, message: str, remedy: str) -> None:
    """Write one finding on the page: severity, key or part concerned, message and fix."""
    word = SEVERITY_WORDS[finding.severity]
    page.line()
    page.line(f"{page.paint(word.upper(), COLOURS[finding.severity])}  {finding.where}  ({finding.code})")
    page.wrapped(message, first="  ", rest="  ")
    if remedy:
        page.wrapped(f"Fix: {remedy}", first="  ", rest="  ")
