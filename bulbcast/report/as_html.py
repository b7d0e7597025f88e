"""Converts a chapter to a section of the report."""

from __future__ import annotations

from collections.abc import Sequence
from typing import assert_never

from bulbcast.drawing.layout import scale_words
from bulbcast.findings import SEVERITY_SIGNS, Severity
from bulbcast.report import chapter as parts
from bulbcast.report.markup import figure, folded, paragraph, section, sources, table, text
from bulbcast.safety import caution


def chapter_html(chapter: parts.Chapter) -> str:
    """Return the HTML section of a chapter, with its tables folded; "" if it has nothing for the report.

    Args:
        chapter: Chapter of a subject.
    """
    some, others = parts.for_report(chapter)
    shown, hidden = ("".join(map(part_html, each)) for each in (some, others))
    if not chapter.title:
        return shown + hidden
    level = 3 if chapter.step else 2
    if shown:
        more = folded(f"{chapter.title}: the figures", hidden) if hidden else ""
        return section(chapter.name, chapter.title, shown + more, level=level)
    body = folded(chapter.title, hidden)
    return f'<section id="{chapter.name}" class="folded">\n{body}</section>\n' if hidden else ""


def part_html(part: parts.Part) -> str:
    """Return one part of a chapter as HTML.

    Args:
        part: Part of a chapter.
    """
    match part:
        case parts.Table():
            return _table(part)
        case parts.Words():
            return paragraph(part.text, part.style)
        case parts.Items():
            items = "".join(f"<li>{text(one)}</li>" for one in part.items)
            lead = f"<p>{text(part.lead)}</p>\n" if part.lead else ""
            return f"{lead}<ul>{items}</ul>\n" if items else ""
        case parts.Picture():
            return picture(part)
        case parts.Sources():
            return sources(part.words)
        case parts.Cautions():
            return beside(part.codes)
        case parts.Withheld():
            return _withheld(part)
        case parts.Markup():
            return part.html()
        case parts.Heading():
            return f"<h4>{text(part.text)}</h4>\n"
        case parts.Gap() | parts.Typed() | parts.Data() | parts.ToBuy():
            return ""
        case _:
            assert_never(part)


def picture(part: parts.Picture) -> str:
    """Return a drawing with its caption; "" if there is nothing to draw.

    Args:
        part: Part of a chapter.
    """
    view = part.draw()
    if view is None:
        return ""
    scale = f"{scale_words(view.scale)} when printed without fitting to the page"
    caption = part.caption.replace("{title}", view.title).replace("{scale}", scale)
    return figure(view, caption, narrow=part.narrow() if part.narrow is not None else None)


def _table(part: parts.Table) -> str:
    rows = part.cells()
    if not rows:
        return ""
    return table(
        part.heads or [""] * len(rows[0]),
        rows,
        figures=part.figures,
        total=part.total,
        caption=part.caption,
        style=part.style,
    )


def cards(lines: Sequence[parts.Line]) -> str:
    """Return cards with the main figures: name, value, the value in other units, and a remark.

    Args:
        lines: Lines from the chapters.
    """
    items = "".join(
        f'<div class="key"><dt>{text(line.label)}</dt><dd><span class="value">{text(line.text)}</span>'
        f'<span class="other">{text(line.other or "")}</span><span class="remark">{text(line.remark)}</span></dd></div>\n'
        for line in lines
    )
    return f'<dl class="keys">\n{items}</dl>\n'


def beside(codes: Sequence[str]) -> str:
    """Return a few cautions as a box next to the text.

    Args:
        codes: Codes of the cautions.
    """
    items = "".join(f"<li>{text(caution(code).short)}</li>" for code in codes)
    return f'<aside class="beside"><span class="badge">Caution</span><ul>{items}</ul></aside>\n'


def _withheld(part: parts.Withheld) -> str:
    """Return the box shown in place of a withheld card, with the reason and how to release it."""
    items = "".join(
        f"<p><strong>{text(one.brief)}</strong></p>"
        if one in part.brief
        else f"<p><strong>{text(one.message)}</strong></p><p>{text(one.remedy)}</p>"
        for one in part.reasons
    )
    gravest = part.reasons[0].severity
    state = "Stopped" if gravest is Severity.STOP else "On hold"
    return (
        f'<div class="withheld"><p class="badge"><span aria-hidden="true">{SEVERITY_SIGNS[gravest]}</span> {state}</p>'
        f"<h4>{text(part.title)}</h4>{items}</div>\n"
    )
