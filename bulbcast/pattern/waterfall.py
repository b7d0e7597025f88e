"""Waterfall chart of masses from finished lead to pattern."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import NamedTuple

from bulbcast.drawing.layout import NARROW, Layout
from bulbcast.drawing.shapes import Box, Hatch, Polyline, Region, Style, View, rectangle
from bulbcast.pattern.results import PatternResults
from bulbcast.quantities import in_one_unit
from bulbcast.quantities.figures import signed

# Layout on paper: names, bars and figures side by side, one row below another.
_NAMES, _BARS, _FIGURES, _ROW = 58.0, 58.0, 58.0, 6.6


def waterfall(job: PatternResults, *, narrow: bool = False) -> View:
    """Draw the steps from finished lead to pattern, each as a bar that starts where the previous one ended.

    Args:
        job: The results.
        narrow: Whether to use the layout for a phone, with each bar below its name and figures.
    """
    shown, steps = job.shown, job.pattern.steps
    first, last = steps[0].lead_mass, steps[-1].lead_mass
    levels = [step.lead_mass for step in steps]
    lowest, highest = min(levels), max(levels)
    # The bars are cut off so that the steps can be distinguished; the picture says so.
    room = max(highest - lowest, 1e-3 * abs(highest), 1e-9)
    start, end = lowest - 0.35 * room, highest + 0.05 * room
    layout = Layout(1.0)
    # All masses in one unit, as in the table below it.
    changes = (signed(shown.mass(after - before)) for before, after in pairwise(levels))
    masses = [mass for (mass,) in in_one_unit([(shown.mass(first),), *zip(changes), (shown.mass(last),)])]

    low, wide = (0.0, NARROW) if narrow else (_NAMES, _BARS)

    def across(mass: float) -> float:
        return low + wide * (mass - start) / (end - start)

    rows = [_Row(steps[0].name, low, across(first), Style.TOTAL, masses[0])]
    for (before_it, step), mass in zip(pairwise(steps), masses[1:-1], strict=True):
        amount, longer = step.amount_words(shown), step.length - before_it.length
        change = step.lead_mass - before_it.lead_mass
        rows.append(
            _Row(
                f"{step.name}{f', {amount}' if amount else ''}",
                across(before_it.lead_mass),
                across(step.lead_mass),
                Style.MORE if step.lead_mass >= before_it.lead_mass else Style.LESS,
                mass,
                f"{signed(shown.percent(change / first))}, "
                + (f"{signed(shown.length(longer))} long" if longer != 0.0 else "same length"),
            )
        )
    rows.append(_Row("pattern, if it were lead", low, across(last), Style.TOTAL, masses[-1]))
    (_below_each_other if narrow else _side_by_side)(layout, rows)
    lead, pattern = (job.shown.length(metres) for metres in (job.bulb.body.length, job.pattern.length))
    name = "waterfall-narrow" if narrow else "waterfall"
    return layout.view(name, f"From finished lead {lead} long to a pattern {pattern} long, step by step")


class _Row(NamedTuple):
    """One step: its name, the start and end of its bar on paper [mm], its style, its mass, and its other effects."""

    name: str
    before: float
    after: float
    style: Style
    mass: str
    rest: str = ""

    @property
    def weight(self) -> Style:
        """Style of the step's lettering."""
        return Style.HEADING if self.style is Style.TOTAL else Style.LETTERING


def _bar(layout: Layout, row: _Row, level: float) -> None:
    left, right = sorted((row.before, row.after))
    hatch = Hatch(spacing=1.0, angle=45.0) if row.style is Style.LESS else None
    layout.fill(row.style, rectangle(left, level - 2.1, max(right, left + 0.25), level + 2.1), hatch=hatch)
    if row.style is Style.TOTAL:
        layout.add(*_break(left + 3.0, level))


def _side_by_side(layout: Layout, rows: Sequence[_Row]) -> None:
    """Draw each step in one row: its name, bar and figures."""
    for number, row in enumerate(rows):
        level = -number * _ROW
        _bar(layout, row, level)
        if number + 1 < len(rows):
            layout.line(Style.LEADER, (row.after, level - 2.1), (row.after, level - _ROW + 2.1))
        right = _NAMES + _BARS
        layout.words((_NAMES - 3.0, level), row.name, row.weight, anchor="end")
        layout.words((right + 21.0, level), row.mass, row.weight, anchor="end")
        if row.rest:
            layout.small((right + 24.0, level), row.rest, "start")
    layout.extend(Box(left=0.0, bottom=-_ROW * len(rows) + 3.0, right=_NAMES + _BARS + _FIGURES, top=3.5))


def _below_each_other(layout: Layout, rows: Sequence[_Row]) -> None:
    """Draw the name and mass of each step, its other effects, and its bar, one below another."""
    level = 0.0
    for row in rows:
        layout.words((0.0, level), row.name, row.weight, anchor="start")
        layout.words((NARROW, level), row.mass, row.weight, anchor="end")
        if row.rest:
            level -= 3.4
            layout.small((0.0, level), row.rest, "start")
        _bar(layout, row, level - 4.4)
        level -= 10.2
    layout.extend(Box(left=0.0, bottom=level + 3.0, right=NARROW, top=1.5))


def _break(at: float, level: float) -> list[Region | Polyline]:
    """Draw a break across a bar that does not start at zero."""
    points = ((at, level - 3.0), (at + 1.4, level - 1.0), (at - 0.2, level + 1.0), (at + 1.2, level + 3.0))
    moved = tuple((x + 1.2, y) for x, y in points)
    return [
        Region(contours=((*points, *reversed(moved)),), style=Style.BREAK),
        Polyline(points=points, style=Style.LEADER),
        Polyline(points=moved, style=Style.LEADER),
    ]
