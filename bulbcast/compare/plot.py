"""Plot of a study: a one-line summary, the bulbs drawn to the same scale, and small panels plotted against the first
varied input.

Each value of a second input has a separate line, labelled at its end and distinguished by dashes and markers as well as
by colour. If an input's values are words, the marks are in columns. Drag is a band from the lowest to the highest form
factor. Rows with a stop are shown by hollow marks. Rows without a bulb are shown by a cross at the bottom of every
panel.
"""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from html import escape

from bulbcast.compare import Study, StudyRow
from bulbcast.compare import plot_marks as marks
from bulbcast.compare.message import study_message
from bulbcast.compare.plot_outlines import outlines
from bulbcast.compare.plot_panels import worth_a_panel
from bulbcast.compare.plot_series import (
    Figure,
    Line,
    figures_of,
    inputs_in_words,
    inputs_of,
    lines_of,
    row_in_words,
)
from bulbcast.compare.tables import same_in_every_row
from bulbcast.drawing.plot_axes import Axis, axis_at, moved_apart, round_axis
from bulbcast.drawing.shapes import text_width
from bulbcast.drawing.svg import NAMESPACE, element, number, run
from bulbcast.quantities import Shown
from bulbcast.report.scales import Scale, scale_for

# Paper, in mm: three panels side by side on the long side of an A4 sheet.
_ACROSS, _MARGIN, _PANEL, _GAP = 3, 6.0, 86.0, 6.0
_LEFT, _PLOT_HEIGHT, _HEAD, _FOOT = 14.0, 36.0, 8.0, 8.4
_LETTER, _SMALL, _TITLE = 3.0, 2.6, 5.2
# Height of a row of crosses, and the maximum number of these rows, one for each line.
_CROSS_ROW = 3.0
_MOST_CROSS_ROWS = 4
# Marks closer together than this would merge into a bar. [mm]
_MARKS_APART = 3.0
# Lines that differ by less than this coincide on paper. [mm]
_ALIKE = 0.35
# Largest number of rows for which every mark has a tooltip.
_REPORTED_TO = 400
# Number of reasons to list if no row has a bulb and there is nothing to plot.
_MOST_REASONS = 12


def study_plot(study: Study, shown: Shown) -> str:
    """Return the plot of a study as an SVG file.

    Args:
        study: The study. [-]
        shown: The builder's units. [-]

    Returns:
        A complete SVG document, 290 mm wide; the same study always gives the same document.
    """
    return _Plot(study, shown).document()


_FROM_ZERO = 0.5
"""Ratio of smallest to largest figure up to which an axis starts at zero. [-]"""


def _axis_up(figure: Figure, *, start: float, end: float) -> Axis:
    """Return the vertical axis. It starts at zero for drag, and for other figures if they differ so much that this
    wastes little space."""
    values = figure.all_shown()
    small, large = sorted(abs(value) for value in (min(values), max(values)))
    # A small difference in drag should look small.
    if figure.upper is not None or small <= _FROM_ZERO * large:
        values.append(0.0)
    return round_axis(values, start=start, end=end, most=5)


class _Plot:
    def __init__(self, study: Study, shown: Shown) -> None:
        self.study = study
        self.shown = shown
        self.first = study.variations[0]
        self.second = study.variations[1] if len(study.variations) > 1 else None
        self.figures, self.left_out = worth_a_panel(figures_of(study, shown), inputs_of(study))
        self.lines = lines_of(study)
        self.first_shown = self._first_shown()
        self.named_room = self._named_room()
        self.turned = self.first.numbers is None and self._words_are_long()
        self.foot = _FOOT + (6.5 if self.turned else 0.0)
        self.said = len(study.rows) <= _REPORTED_TO
        self.failing = self._failing()
        self.out: list[str] = []

    def document(self) -> str:
        drawn, top = outlines(
            self.study,
            self.shown,
            left=_MARGIN,
            top=self._heading(),
            wide=_PANEL,
            step=_PANEL + _GAP,
            across=_ACROSS,
        )
        self.out += drawn
        across = min(_ACROSS, max(len(self.figures), 1))
        height = _HEAD + _PLOT_HEIGHT + self.foot
        for place, figure in enumerate(self.figures):
            column, row = place % across, place // across
            last = place + across >= len(self.figures)
            self._panel(figure, _MARGIN + column * (_PANEL + _GAP), top + row * (height + 2.0), last)
        rows = -(-len(self.figures) // across)
        bottom = self._notes(top + rows * (height + 2.0) + 2.0)
        width = 2.0 * _MARGIN + _ACROSS * _PANEL + (_ACROSS - 1) * _GAP
        title = escape(f"{self.study.name}: {inputs_in_words(self.study)}")
        content = (
            element("title", title),
            element("style", marks.PLOT_CSS),
            element("rect", width=width, height=bottom, fill="#fff"),
            "\n" + "\n".join(self.out) + "\n",
        )
        return (
            element(
                "svg",
                "".join(content),
                xmlns=NAMESPACE,
                width=f"{number(width)}mm",
                height=f"{number(bottom)}mm",
                viewBox=f"0 0 {number(width)} {number(bottom)}",
                role="img",
                aria_label=title,
            )
            + "\n"
        )

    # Round the panels

    def _heading(self) -> float:
        y = self._wrapped(_MARGIN + _TITLE, self.study.name, 95, _TITLE, 6.0, "bold") - 0.4
        y = self._wrapped(y + 0.4, study_message(self.study, self.shown), 115, 4.2, 5.4, "message")
        rows = len(self.study.rows)
        plans = f"{rows} plan{'s' if rows > 1 else ''}"
        y = self._wrapped(y, f"{inputs_in_words(self.study)}; {plans}", 150, 3.4, 4.6)
        same = same_in_every_row(self.study, self.shown)
        if same:
            said = ", ".join(f"{column.name} {marks.raised(text)}" for column, text in same.items())
            y = self._wrapped(y, f"Same in every row: {said}.", 175, _LETTER, 4.6, "quiet")
        for words in self.left_out:
            y = self._wrapped(y, words, 175, _LETTER, 4.6, "quiet")
        return self._legend(y + 0.6) + 3.0

    def _wrapped(self, y: float, text: str, wide: int, size: float, apart: float, kind: str = "") -> float:
        """Wrap text over as many lines as necessary, and return the position of the next line."""
        for line in textwrap.wrap(text, wide):
            self._text(_MARGIN, y, line, size, kind)
            y += apart
        return y

    def _legend(self, y: float) -> float:
        study, x = self.study, _MARGIN
        keys: list[tuple[str, str]] = []
        if study.stopped:
            keys.append((marks.mark_of(marks.LOOKS[0], 0.0, 0.0, hollow=False), "no stop"))
            stops = f"stopped by a finding: do not make as planned ({study.stopped} of {len(study.rows)})"
            keys.append((marks.mark_of(marks.LOOKS[0], 0.0, 0.0, hollow=True), stops))
        if study.failed:
            keys.append((marks.cross_of(0.0, 0.0), f"no bulb ({study.failed} of {len(study.rows)})"))
        if not keys:
            return y - 5.2
        for mark, words in keys:
            self.out.append(element("g", mark, transform=f"translate({number(x + 1.2)} {number(y - 1.0)})"))
            self._text(x + 3.6, y, words, _LETTER)
            x += 3.6 + text_width(words, _LETTER) + 5.0
        return y

    def _notes(self, y: float) -> float:
        notes = list(self.study.notes)
        if not self.figures:
            failed = [row for row in self.study.rows if row.failed]
            reasons = [f"{row_in_words(self.study, row)}: {row.reason}" for row in failed[:_MOST_REASONS]]
            notes = ["There are no figures to plot.", *reasons, *notes]
        for note in notes:
            y = self._wrapped(y, note, 190, _SMALL, 3.8, "quiet")
        return y + 3.0

    # Panels

    def _panel(self, figure: Figure, left: float, top: float, last: bool) -> None:
        self._text(left, top + 4.2, figure.title, 3.3, "bold")
        if figure.upper is not None:
            beside = left + text_width(figure.title, 3.3) + 1.0
            self._text(beside, top + 4.2, "lowest to highest form factor", _SMALL, "quiet")
        upper = top + _HEAD
        lower = upper + _PLOT_HEIGHT
        right = left + _PANEL - self.named_room
        foot = _CROSS_ROW * len(self.failing)
        across = self._across(left + _LEFT, right)
        up = _axis_up(figure, start=lower - foot, end=upper)
        self._axes(across, up, lower, last)
        if up.low > 0.0 or up.high < 0.0:
            end = up.labels[0] if up.low > 0.0 else up.labels[-1]
            self._text(left + _PANEL, top + 4.2, f"axis starts at {end}, not at 0", _SMALL, "quiet end")
            self._broken(across.start, lower, upper)
        ends: list[tuple[float, float] | None] = [None] * len(self.lines)
        # Lines without a label first, so that the others are drawn over them.
        for i in sorted(range(len(self.lines)), key=lambda i: self.lines[i].named):
            draw = self._curve if figure.upper is None else self._band
            ends[i] = draw(figure, self.lines[i], across, up)
        self._crosses(across, right, lower)
        if self.second is not None:
            self._names(figure, up, ends, right, upper, lower - foot)

    def _broken(self, x: float, lower: float, upper: float) -> None:
        """Draw the vertical axis with a break mark at the bottom, which shows that the scale does not start at zero."""
        foot = [
            (x, lower),
            (x, lower - 0.7),
            (x - 0.9, lower - 1.1),
            (x + 0.9, lower - 1.9),
            (x, lower - 2.3),
        ]
        self.out.append(element("path", class_="base", d=run([*foot, (x, upper)])))

    def _across(self, start: float, end: float) -> Axis:
        if self.first.numbers is None:
            count = len(self.first.labels)
            ticks = tuple(float(i) for i in range(count))
            return Axis(
                low=-0.5, high=count - 0.5, start=start, end=end, ticks=ticks, labels=self.first.labels
            )
        return axis_at(self.first_shown, start=start, end=end, margin=2.0, most=9, unit_width=0.58 * _SMALL)

    def _first_shown(self) -> list[float]:
        """Return the positions of the first input's values on the axis, in the builder's units; for words, their order."""
        if self.first.numbers is None:
            return [float(i) for i in range(len(self.first.labels))]
        scale = self._first_scale()
        return [scale.shown(value) for value in self.first.numbers]

    def _first_scale(self) -> Scale:
        numbers = self.first.numbers or (0.0,)
        return scale_for(self.first.dimension, max(map(abs, numbers)), self.shown.units)

    def _axes(self, across: Axis, up: Axis, lower: float, last: bool) -> None:
        rules = "".join(
            f"M{number(across.start)} {number(up.place(tick))}H{number(across.end)}" for tick in up.ticks
        )
        self.out.append(element("path", class_="rule", d=rules))
        for tick, label in zip(up.ticks, up.labels, strict=True):
            self._text(across.start - 1.4, up.place(tick) + 0.35 * _SMALL, label, _SMALL, "quiet end")
        ticks = "".join(f"M{number(across.place(tick))} {number(lower)}v1" for tick in across.ticks)
        base = f"M{number(across.start)} {number(lower)}H{number(across.end)}{ticks}"
        self.out.append(element("path", class_="base", d=base))
        for tick, label in zip(across.ticks, across.labels, strict=True):
            x, y = across.place(tick), lower + 1.4 + _SMALL
            if self.turned:
                turn = f"rotate(-28 {number(x)} {number(y)})"
                self._text(x + 1.0, y, label, _SMALL, "quiet end", transform=turn)
            else:
                self._text(x, y, label, _SMALL, "quiet middle")
        if last:
            unit = "" if self.first.numbers is None else self._first_scale().unit
            name = self.first.key + (f", {marks.raised(unit)}" if unit else "")
            self._text(across.end, lower + self.foot - 1.2, name, _SMALL, "end")

    def _runs(self, figure: Figure, line: Line) -> list[list[int]]:
        """Return the runs of neighbouring rows that have a figure, in the order of the axis."""
        places = self.first_shown
        runs: list[list[int]] = [[]]
        for row in sorted(line.rows, key=lambda row: places[self.study.rows[row].at[0]]):
            if figure.lower[row] is None:
                runs.append([])
            else:
                runs[-1].append(row)
        return [run for run in runs if run]

    def _x(self, across: Axis, row: int, line: Line) -> float:
        place = self.first_shown[self.study.rows[row].at[0]]
        if self.first.numbers is None and len(self.lines) > 1:
            # Marks for the same word are placed side by side, so that none hides another.
            share = line.place / (len(self.lines) - 1) - 0.5
            place += 0.5 * share
        return across.place(place)

    def _curve(self, figure: Figure, line: Line, across: Axis, up: Axis) -> tuple[float, float] | None:
        end = None
        for its_rows in self._runs(figure, line):
            points = [
                (self._x(across, row, line), up.place(value), row)
                for row in its_rows
                if (value := figure.shown(row)) is not None
            ]
            if self.first.numbers is not None and len(points) > 1:
                self.out.append(marks.line_of([(x, y) for x, y, _ in points], line.look))
            self._marks(figure, line, points)
            end = points[-1][:2]
        return end

    def _band(self, figure: Figure, line: Line, across: Axis, up: Axis) -> tuple[float, float] | None:
        end = None
        for its_rows in self._runs(figure, line):
            points = [
                (self._x(across, row, line), up.place(low), up.place(high), row)
                for row in its_rows
                if (low := figure.shown(row)) is not None and (high := figure.shown_upper(row)) is not None
            ]
            if self.first.numbers is None or len(points) == 1:
                self._bars(points, line)
            else:
                lower = [(x, low) for x, low, _, _ in points]
                upper = [(x, high) for x, _, high, _ in points]
                if line.named:
                    share = 0.2 if len(self.lines) == 1 else 0.3 / min(len(self.lines), len(marks.LOOKS))
                    area = f"{run([*lower, *reversed(upper)])}Z"
                    self.out.append(element("path", d=area, fill=line.look.colour, fill_opacity=share))
                    self.out.append(marks.line_of(upper, line.look, "edge"))
                self.out.append(marks.line_of(lower, line.look, "edge"))
            # The mark is at the band's lower edge, because the middle of the range has no meaning.
            self._marks(figure, line, [(x, low, row) for x, low, _, row in points])
            end = points[-1][0], 0.5 * (points[-1][1] + points[-1][2])
        return end

    def _bars(self, points: Sequence[tuple[float, float, float, int]], line: Line) -> None:
        slot = self._plot_width() / len(self.first.labels)
        half = min(1.6, 0.21 * slot / max(len(self.lines) - 1, 1))
        for x, low, high, _ in points:
            self.out.append(
                element(
                    "rect",
                    x=x - half,
                    y=high,
                    width=2.0 * half,
                    height=low - high,
                    fill=line.look.colour,
                    fill_opacity=".2",
                    stroke=line.look.colour,
                    stroke_width=".3",
                )
            )

    def _marks(self, figure: Figure, line: Line, points: Sequence[tuple[float, float, int]]) -> None:
        dense = self.first.numbers is not None and (
            not line.named or self._plot_width() / len(line.rows) < _MARKS_APART
        )
        for x, y, row in points:
            stopped = self.study.rows[row].stopped
            if not dense or stopped or len(points) == 1:
                tip = self._tip(figure, row) if self.said else ""
                self.out.append(marks.mark_of(line.look, x, y, hollow=stopped, small=dense, tip=tip))

    def _plot_width(self) -> float:
        return _PANEL - _LEFT - self.named_room

    def _tip(self, figure: Figure, row: int) -> str:
        """Return the tooltip of a mark, with the inputs, the figure and the most serious findings."""
        one = self.study.rows[row]
        unit = f" {marks.raised(figure.scale.unit)}" if figure.scale.unit else ""
        values = [value for value in (figure.shown(row), figure.shown_upper(row)) if value is not None]
        said = " to ".join(f"{value:.5g}" for value in values) + unit
        worst = f"; {one.worst}: {', '.join(one.worst_codes)}" if one.worst is not None else ""
        return f"{row_in_words(self.study, one)}: {said}{worst}"

    def _failing(self) -> list[tuple[str, tuple[Line, ...]]]:
        """Return the rows of crosses from the bottom up, each with the lines that it represents. If there are few
        lines with crosses, each has its own row."""
        lines = [line for line in self.lines if any(self.study.rows[row].failed for row in line.rows)]
        if len(lines) > _MOST_CROSS_ROWS:
            return [("some of them", tuple(lines))]
        return [(line.name, (line,)) for line in reversed(lines)]

    def _crosses(self, across: Axis, right: float, lower: float) -> None:
        for place, (name, lines) in enumerate(self.failing):
            y = lower - _CROSS_ROW * (place + 0.5)
            at: dict[str, list[StudyRow]] = {}
            for line in lines:
                for row in line.rows:
                    if self.study.rows[row].failed:
                        x = number(self._x(across, row, line))
                        at.setdefault(x, []).append(self.study.rows[row])
            for x, rows in at.items():
                said = "\n".join(f"{row_in_words(self.study, row)}: {row.reason}" for row in rows[:3])
                self.out.append(marks.cross_of(float(x), y, said if self.said else ""))
            if self.second is not None:
                self._text(right + 4.6, y + 0.35 * _SMALL, name, _SMALL, "quiet")

    # Names of the lines

    def _named_room(self) -> float:
        if self.second is None:
            return 2.0
        names = [line.name for line in self.lines if line.named] + ["all the same"]
        return 5.5 + max(text_width(name, _SMALL) for name in names)

    def _alike(self, figure: Figure, up: Axis) -> bool:
        """Return whether all lines in a panel coincide when printed."""
        for at in range(len(self.first.labels)):
            rows = [row for line in self.lines for row in line.rows if self.study.rows[row].at[0] == at]
            for read in (figure.shown, figure.shown_upper):
                places = [up.place(value) for row in rows if (value := read(row)) is not None]
                if places and max(places) - min(places) > _ALIKE:
                    return False
        return True

    def _names(
        self,
        figure: Figure,
        up: Axis,
        ends: Sequence[tuple[float, float] | None],
        right: float,
        upper: float,
        lower: float,
    ) -> None:
        kept = [
            (line.name, line.look.colour, end)
            for line, end in zip(self.lines, ends, strict=True)
            if line.named and end is not None
        ]
        if len(kept) == len(self.lines) > 1 and self._alike(figure, up):
            kept = [("all the same", marks.INK, max(end for _, _, end in kept))]
        foot = lower - 1.6 if self.failing else lower
        places = moved_apart([end[1] for _, _, end in kept], 3.1, upper, foot)
        for (name, colour, (x, y)), at in zip(kept, places, strict=True):
            tie = run([(x + 1.3, y), (max(x + 1.3, right), y), (right + 3.0, at), (right + 4.0, at)])
            self.out.append(element("path", class_="tie", d=tie))
            self._text(right + 4.6, at + 0.35 * _SMALL, name, _SMALL, fill=colour)

    def _words_are_long(self) -> bool:
        slot = self._plot_width() / len(self.first.labels)
        return max(text_width(label, _SMALL) for label in self.first.labels) + 1.0 > slot

    def _text(self, x: float, y: float, text: str, size: float, kind: str = "", **more: str) -> None:
        self.out.append(marks.text_of(x, y, text, size, kind, **more))
