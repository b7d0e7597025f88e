"""Masses as pictures: the way from finished lead to pattern, what hangs, what goes into the pot."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from bulbcast.drawing.layout import Layout, spread
from bulbcast.drawing.shapes import (
    Box,
    Contour,
    Hatch,
    Line,
    Polyline,
    Region,
    Style,
    Text,
    View,
    text_width,
)
from bulbcast.job import Job
from bulbcast.quantities import Shown, in_one_unit, worded

_NAMES, _BARS, _FIGURES, _ROW = 58.0, 58.0, 58.0, 7.4
_PARTS = (Style.PART_A, Style.PART_B, Style.PART_C, Style.PART_D, Style.PART_E)
# Parts are told apart by hatching as well as by colour: angle [deg], or None for a plain one.
_HATCHES = (None, 45.0, None, 135.0, 90.0)
# One part of the hung mass, named by what there is of them.
_FASTENINGS = {"screw": "screws", "washer": "washers", "pin": "cross pins", "stud": "studs"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One step from finished lead to pattern.

    Attributes:
        name: What is done.
        amount: Its own figure as read: a layer or a percentage; "" where it has none.
        before: Lead that the shape would take before the step. [kg]
        after: And after it. [kg]
        longer: Overall length gained. [m]
    """

    name: str
    amount: str
    before: float
    after: float
    longer: float


def steps_of(job: Job) -> tuple[Step, ...]:
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


def waterfall(job: Job) -> View:
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


def _rectangle(left: float, bottom: float, right: float, top: float) -> Contour:
    return ((left, bottom), (right, bottom), (right, top), (left, top))


def hung_mass_bar(job: Job) -> View:
    """What the hung mass is made of.

    Args:
        job: The results.
    """
    lines = job.bulb.lines
    present = {line.kind for line in lines}
    fastened = ", ".join(words for kind, words in _FASTENINGS.items() if kind in present)
    parts = [
        (name, math.fsum(line.mass for line in lines if line.kind in kinds))
        for kinds, name in (
            (("lead",), "lead, net"),
            (tuple(_FASTENINGS), fastened),
            (("plug",), "plugs"),
            (("bedding",), "bedding"),
            (("skin",), "skin"),
        )
    ]
    return stacked_bar("hung-mass", "What hangs on the fin", parts, job.shown)


def pot_bar(job: Job) -> View:
    """What makes up the charge.

    Args:
        job: The results.
    """
    melt = job.melt
    parts = [
        ("casting", melt.cast_mass),
        ("feeder", melt.feeder),
        ("reserve", melt.reserve),
        ("heel of the pot", melt.heel),
        ("dross", melt.dross),
    ]
    return stacked_bar("pot", "What the charge is made of", parts, job.shown)


def stacked_bar(name: str, title: str, parts: Sequence[tuple[str, float]], shown: Shown) -> View:
    """Masses side by side in one bar, each named below it; parts of no mass are left out.

    Args:
        name: Of the view.
        title: Of the view.
        parts: Names and masses [kg], not below zero.
        shown: The builder's units.
    """
    layout = Layout(1.0)
    left, right, height = 2.0, 172.0, 9.0
    kept = [(part, mass, number) for number, (part, mass) in enumerate(parts) if mass > 0.0]
    total = math.fsum(mass for _, mass, _ in kept)
    place = left
    below: list[tuple[float, tuple[str, str]]] = []
    for part, mass, number in kept:
        end = place + (right - left) * mass / total
        angle = _HATCHES[number % len(_HATCHES)]
        layout.add(
            Region(
                contours=(_rectangle(place, 0.0, end, height),),
                style=_PARTS[number % len(_PARTS)],
                hatch=None if angle is None else Hatch(spacing=1.3, angle=angle),
            )
        )
        label = (part, f"{shown.mass(mass)}, {shown.percent(mass / total)}")
        middle = 0.5 * (place + end)
        if angle is None and _wide(label, layout) <= end - place:
            for line, level, style in zip(label, (6.6, 3.0), (Style.INSIDE, Style.INSIDE), strict=True):
                layout.text(Text(at=(middle, level), text=line, height=layout.letter, style=style))
        else:
            below.append((middle, label))
        place = end
    layout.add(Polyline(points=(*_rectangle(left, 0.0, right, height), (left, 0.0)), style=Style.FRAME))
    places = spread(
        [middle for middle, _ in below], [_wide(label, layout) for _, label in below], left, right
    )
    for (middle, label), at in zip(below, places, strict=True):
        layout.add(Polyline(points=((middle, 0.0), (middle, -1.5), (at, -4.0)), style=Style.LEADER))
        for rank, line in enumerate(label):
            layout.text(
                Text(
                    at=(at, -6.0 - 3.4 * rank),
                    text=line,
                    height=layout.letter,
                    style=Style.SMALL if rank else Style.LETTERING,
                )
            )
    layout.extend(Box(left=0.0, bottom=-11.0, right=174.0, top=height))
    return layout.view(name, title)


def _wide(label: Sequence[str], layout: Layout) -> float:
    return max(text_width(line, layout.letter) for line in label) + 3.0
