"""Waterfall chart of masses from finished lead to pattern."""

from __future__ import annotations

from itertools import pairwise

from bulbcast.drawing.layout import Layout
from bulbcast.drawing.shapes import Box, Hatch, Line, Polyline, Region, Style, Text, View, rectangle
from bulbcast.pattern.results import PatternResults
from bulbcast.quantities import in_one_unit
from bulbcast.quantities.figures import signed

# On paper: names, bars and figures side by side, one row below the other.
_NAMES, _BARS, _FIGURES, _ROW = 58.0, 58.0, 58.0, 7.4


def waterfall(job: PatternResults) -> View:
    """Draw the steps from finished lead to pattern, each as a bar that starts where the last one ended.

    Args:
        job: The results.
    """
    shown, steps = job.shown, job.pattern.steps
    first, last = steps[0].lead_mass, steps[-1].lead_mass
    levels = [step.lead_mass for step in steps]
    lowest, highest = min(levels), max(levels)
    # The bars are cut off so that the steps can be told apart; the picture says so.
    room = max(highest - lowest, 1e-3 * abs(highest), 1e-9)
    start, end = lowest - 0.35 * room, highest + 0.05 * room
    layout = Layout(1.0)
    # All masses in one unit, as in the table below it.
    changes = (signed(shown.mass(after - before)) for before, after in pairwise(levels))
    masses = [mass for (mass,) in in_one_unit([(shown.mass(first),), *zip(changes), (shown.mass(last),)])]

    def across(mass: float) -> float:
        return _NAMES + _BARS * (mass - start) / (end - start)

    rows: list[tuple[str, float, float, Style, str, str]] = [
        (steps[0].name, start, first, Style.TOTAL, masses[0], "")
    ]
    for (before_it, step), mass in zip(pairwise(steps), masses[1:-1], strict=True):
        amount, longer = step.amount_words(shown), step.length - before_it.length
        change = step.lead_mass - before_it.lead_mass
        rows.append(
            (
                f"{step.name}{f', {amount}' if amount else ''}",
                before_it.lead_mass,
                step.lead_mass,
                Style.MORE if step.lead_mass >= before_it.lead_mass else Style.LESS,
                mass,
                f"{signed(shown.percent(change / first))}, "
                + (f"{signed(shown.length(longer))} long" if longer != 0.0 else "same length"),
            )
        )
    rows.append(("pattern, if it were lead", start, last, Style.TOTAL, masses[-1], ""))
    for number, (name, before, after, style, mass, rest) in enumerate(rows):
        level = -number * _ROW
        left, right = sorted((across(before), across(after)))
        layout.add(
            Region(
                contours=(rectangle(left, level - 2.1, max(right, left + 0.25), level + 2.1),),
                style=style,
                hatch=Hatch(spacing=1.0, angle=45.0) if style is Style.LESS else None,
            )
        )
        if style is Style.TOTAL:
            layout.add(*_break(_NAMES + 3.0, level))
        if number + 1 < len(rows):
            at = across(after)
            layout.add(Line(start=(at, level - 2.1), end=(at, level - _ROW + 2.1), style=Style.LEADER))
        weight = Style.HEADING if style is Style.TOTAL else Style.LETTERING
        letter, right = layout.letter, _NAMES + _BARS
        layout.text(Text(at=(_NAMES - 3.0, level), text=name, height=letter, anchor="end", style=weight))
        layout.text(Text(at=(right + 21.0, level), text=mass, height=letter, anchor="end", style=weight))
        if rest:
            at_rest = (right + 24.0, level)
            layout.text(Text(at=at_rest, text=rest, height=letter, anchor="start", style=Style.SMALL))
    layout.extend(Box(left=0.0, bottom=-_ROW * len(rows) + 3.0, right=_NAMES + _BARS + _FIGURES, top=3.5))
    lead, pattern = (job.shown.length(metres) for metres in (job.bulb.body.length, job.pattern.length))
    return layout.view("waterfall", f"From {lead} of finished lead to a pattern of {pattern}, step by step")


def _break(at: float, level: float) -> list[Region | Polyline]:
    """Draw a gap across a bar that does not start at zero."""
    points = ((at, level - 3.0), (at + 1.4, level - 1.0), (at - 0.2, level + 1.0), (at + 1.2, level + 3.0))
    moved = tuple((x + 1.2, y) for x, y in points)
    return [
        Region(contours=((*points, *reversed(moved)),), style=Style.BREAK),
        Polyline(points=points, style=Style.LEADER),
        Polyline(points=moved, style=Style.LEADER),
    ]
