"""Small HTML builders. Text is escaped here and nowhere else."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from html import escape
from typing import TYPE_CHECKING

from bulbcast.quantities import in_one_unit
from bulbcast.report.sources import notes_on, shown_source

if TYPE_CHECKING:
    from bulbcast.drawing.shapes import View


def text(value: str) -> str:
    """Escape text for an element or attribute."""
    return escape(value, quote=True)


def paragraph(value: str, style: str = "") -> str:
    """Return a paragraph of plain text."""
    return f"<p{_class(style)}>{text(value)}</p>\n"


def _class(style: str) -> str:
    return f' class="{style}"' if style else ""


def section(name: str, title: str, body: str, *, level: int = 2) -> str:
    """Return a section with its heading.

    Args:
        name: Name of its anchor.
        title: Plain text.
        body: HTML.
        level: Level of the heading. [-]
    """
    return f'<section id="{name}">\n<h{level}>{text(title)}</h{level}>\n{body}</section>\n'


def folded(title: str, body: str) -> str:
    """Return HTML that stays collapsed until its title is clicked.

    Args:
        title: Plain text, always visible.
        body: HTML.
    """
    return f"<details><summary>{text(title)}</summary>\n{body}</details>\n"


def table(
    heads: Sequence[str],
    rows: Iterable[Sequence[str]],
    *,
    figures: Sequence[int] = (),
    total: bool = False,
    caption: str = "",
    style: str = "",
) -> str:
    """Return a table of plain-text cells, with figures of the same kind in the same unit.

    Args:
        heads: Column headings; all empty for a table without headings.
        rows: Cells of each row.
        figures: Indices of the columns with figures, which are right-aligned.
        total: Whether the last row is a sum.
        caption: Caption above the table.
        style: CSS class of the table.
    """

    def cells(row: Sequence[str], tag: str) -> str:
        return "".join(
            f"<{'th scope=row' if tag == 'td' and i == 0 else tag + (' scope=col' if tag == 'th' else '')}"
            f"{_class('figure') if i in figures else ''}>{text(cell)}</{'th' if i == 0 else tag}>"
            for i, cell in enumerate(row)
        )

    kept = in_one_unit(rows)
    head = f"<thead><tr>{cells(heads, 'th')}</tr></thead>" if any(heads) else ""
    last = len(kept) - 1
    body = "".join(
        f"<tr{_class('total') if total and i == last else ''}>{cells(row, 'td')}</tr>\n"
        for i, row in enumerate(kept)
    )
    title = f"<caption>{text(caption)}</caption>" if caption else ""
    return f'<div class="scroll"><table{_class(style)}>{title}{head}<tbody>\n{body}</tbody></table></div>\n'


def figure(view: View, caption: str = "", *, narrow: View | None = None) -> str:
    """Return a drawing with its caption, as wide as the page on screen and at its true size in print.

    Args:
        view: The drawing.
        caption: Plain text below it.
        narrow: The same drawing for a phone screen, shown there instead.
    """
    from bulbcast.drawing.svg import svg_text

    words = f"<figcaption>{text(caption)}</figcaption>" if caption else ""
    drawn = svg_text(view, width=view.box.width * view.scale)
    if narrow is not None:
        drawn += f'<div class="narrow">{svg_text(narrow, width=narrow.box.width * narrow.scale)}</div>'
    return f'<figure class="drawing">{drawn}{words}</figure>\n'


def sources(words: Iterable[str]) -> str:
    """Return a short list of sources."""
    listed = list(words)
    items = "".join(f"<li>{text(shown_source(word))}</li>" for word in listed)
    notes = notes_on(listed)
    return f'<ul class="sources">{items}{f"<li>{text(notes)}</li>" if notes else ""}</ul>\n'
