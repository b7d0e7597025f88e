"""Side views of a study's bulbs, side by side and to the same scale."""

from __future__ import annotations

from collections.abc import Sequence

from bulbcast.compare import Study, StudyRow
from bulbcast.compare import plot_marks as marks
from bulbcast.compare.plot_series import row_in_words
from bulbcast.drawing.layout import nice_scale, scale_words
from bulbcast.drawing.shapes import text_width
from bulbcast.drawing.svg import element, run
from bulbcast.quantities import Shown

_SMALL, _HIGHEST, _APART = 2.6, 15.0, 5.0


def outlines(
    study: Study, shown: Shown, *, left: float, top: float, wide: float, step: float, across: int
) -> tuple[list[str], float]:
    """Return the outlines of the bulbs with their names.

    Args:
        study: The study; some of its rows contain the outline of their bulb.
        shown: The builder's units.
        left: Left edge of the first outline. [mm]
        top: Top edge of all the outlines, with y pointing down. [mm]
        wide: Width available for each outline. [mm]
        step: Distance from one outline to the next. [mm]
        across: Number of outlines side by side.

    Returns:
        SVG elements, and the top of the free space below them; no elements if no row has an outline. [mm]
    """
    rows = [row for row in study.rows if row.outline]
    if not rows:
        return [], top
    scale = outline_scale(rows, wide)
    tallest = scale * max(_height(row) for row in rows)
    some = "" if len(rows) == len(study.rows) - study.failed else f"; {len(rows)} of {len(study.rows)} plans"
    dashed = "; dashed: stopped by a finding" if any(row.stopped for row in rows) else ""
    words = f"the bulbs from the side, all at {scale_words(scale)}{some}{dashed}"
    found = [
        marks.text_of(left, top + 4.2, "outlines", 3.3, "bold"),
        marks.text_of(left + text_width("outlines", 3.3) + 1.0, top + 4.2, words, _SMALL, "quiet"),
    ]
    level = top + 8.0
    each = tallest + 2.4 * _SMALL + _APART
    for number, row in enumerate(rows):
        x = left + step * (number % across)
        y = level + each * (number // across) + 0.5 * tallest
        points = [(x + scale * along, y - scale * up) for along, up in row.outline]
        kind = "stopped" if row.stopped else "bulb"
        found.append(element("path", class_=kind, d=f"{run(points)}Z"))
        below = y + 0.5 * tallest + 1.2 * _SMALL
        found.append(marks.text_of(x, below, row_in_words(study, row), _SMALL))
        found.append(marks.text_of(x, below + 1.25 * _SMALL, _sizes(study, row, shown), _SMALL, "quiet"))
    return found, level + each * (-(-len(rows) // across))


def outline_scale(rows: Sequence[StudyRow], wide: float) -> float:
    """Return the standard drawing scale at which the longest outline fits the width, and the tallest outline fits the
    height of its row.

    Args:
        rows: Rows with outlines. [mm]
        wide: Width available for each outline. [mm]
    """
    longest = max(along for row in rows for along, _ in row.outline)
    return nice_scale(min((wide - 2.0) / longest, _HIGHEST / max(_height(row) for row in rows)))


def _height(row: StudyRow) -> float:
    return 2.0 * max(up for _, up in row.outline)


def _sizes(study: Study, row: StudyRow, shown: Shown) -> str:
    """Return the label with length and diameter, as in the table."""
    place = [column.key for column in study.columns]
    length, diameter = (row.values[place.index(key)] for key in ("bulb.length_m", "bulb.diameter_m"))
    return f"{shown.length(length or 0.0)} long, diameter {shown.length(diameter or 0.0)}"
