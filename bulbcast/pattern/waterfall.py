"""The way from finished lead to pattern as a waterfall of masses."""

from __future__ import annotations

from itertools import pairwise

from bulbcast.bulb.views.charts import _BARS, _FIGURES, _NAMES, _ROW, Step, _rectangle
from bulbcast.drawing.layout import Layout
from bulbcast.drawing.shapes import (
    Box,
    Hatch,
    Line,
    Polyline,
    Region,
    Style,
    Text,
    View,
)
from bulbcast.pattern.results import PatternResults
from bulbcast.quantities import Shown, in_one_unit, worded


def steps_of(job: PatternResults) -> tuple[Step, ...]:
    """The pattern's ledger as steps, each from where the one before ended.

    Args:
        job: The results.
    """
    steps = job.pattern.steps
    return tuple(
        Step(
            name=step.name,
            amount=amount_words(step.amount, step.is_length, job.shown),
            before=before.lead_mass,
            after=step.lead_mass,
            longer=step.length - before.length,
        )
        for before, step in pairwise(steps)
    )


def amount_words(amount: float | None, is_length: bool, shown: Shown) -> str:
    """A step's own figure: "0.30 mm", "0.98 %", or nothing."""
    if amount is None:
        return ""
    return shown.length(amount) if is_length else shown.percent(amount)


def signed(text: str) -> str:
    """A figure that is a change, with its sign; nought has none."""
    return (
        text
        if text.startswith("-") or not any(letter in "123456789" for letter in text)
        else worded("+{}", text)
    )


def waterfall(job: PatternResults) -> View:
    """From finished lead to pattern, each step a bar from where the last one ended.

    Args:
        job: The results.
    """
    shown, steps = job.shown, steps_of(job)
    first, last = job.pattern.steps[0].lead_mass, job.pattern.steps[-1].lead_mass
    levels = [first, *(step.after for step in steps)]
    lowest, highest = min(levels), max(levels)
    # The bars begin where the steps can be told apart; the picture says so.
    room = max(highest - lowest, 1e-3 * abs(highest), 1e-9)
    start, end = lowest - 0.35 * room, highest + 0.05 * room
    layout = Layout(1.0)
    # All masses in one unit, as in the table below it.
    changes = (signed(shown.mass(step.after - step.before)) for step in steps)
    masses = [mass for (mass,) in in_one_unit([(shown.mass(first),), *zip(changes), (shown.mass(last),)])]

    def across(mass: float) -> float:
        return _NAMES + _BARS * (mass - start) / (end - start)

    rows: list[tuple[str, float, float, Style, str, str]] = [
        (f"{job.pattern.steps[0].name}", start, first, Style.TOTAL, masses[0], "")
    ]
    rows += [
        (
            f"{step.name}{f', {step.amount}' if step.amount else ''}",
            step.before,
            step.after,
            Style.MORE if step.after >= step.before else Style.LESS,
            mass,
            f"{signed(shown.percent((step.after - step.before) / first))}, "
            + (f"{signed(shown.length(step.longer))} long" if step.longer != 0.0 else "no longer"),
        )
        for step, mass in zip(steps, masses[1:-1], strict=True)
    ]
    rows.append(("pattern, were it lead", start, last, Style.TOTAL, masses[-1], ""))
    for number, (name, before, after, style, mass, rest) in enumerate(rows):
        level = -number * _ROW
        left, right = sorted((across(before), across(after)))
        layout.add(
            Region(
                contours=(_rectangle(left, level - 2.1, max(right, left + 0.25), level + 2.1),),
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
        layout.text(
            Text(at=(_NAMES - 3.0, level), text=name, height=layout.letter, anchor="end", style=weight)
        )
        layout.text(
            Text(
                at=(_NAMES + _BARS + 21.0, level), text=mass, height=layout.letter, anchor="end", style=weight
            )
        )
        if rest:
            layout.text(
                Text(
                    at=(_NAMES + _BARS + 24.0, level),
                    text=rest,
                    height=layout.letter,
                    anchor="start",
                    style=Style.SMALL,
                )
            )
    layout.extend(Box(left=0.0, bottom=-_ROW * len(rows) + 3.0, right=_NAMES + _BARS + _FIGURES, top=3.5))
    return layout.view("waterfall", "From finished lead to pattern, step by step")


def _break(at: float, level: float) -> list[Region | Polyline]:
    """A gap across a bar that does not begin at nought."""
    points = ((at, level - 3.0), (at + 1.4, level - 1.0), (at - 0.2, level + 1.0), (at + 1.2, level + 3.0))
    moved = tuple((x + 1.2, y) for x, y in points)
    return [
        Region(contours=((*points, *reversed(moved)),), style=Style.BREAK),
        Polyline(points=points, style=Style.LEADER),
        Polyline(points=moved, style=Style.LEADER),
    ]
