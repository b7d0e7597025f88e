"""Bar charts of masses side by side, for example of the hung mass."""

from __future__ import annotations

import math
from collections.abc import Sequence

from bulbcast.bulb.results import BulbResults
from bulbcast.drawing.layout import Layout, spread
from bulbcast.drawing.shapes import (
    Box,
    Hatch,
    Style,
    View,
    rectangle,
    text_width,
)
from bulbcast.quantities import Shown

_PARTS = (Style.PART_A, Style.PART_B, Style.PART_C, Style.PART_D, Style.PART_E)
# Parts differ by hatching as well as by colour: angle [deg], or None for plain.
_HATCHES = (None, 45.0, None, 135.0, 90.0)
# One part of the hung mass, named after what is present.
_FASTENINGS = {"screw": "screws", "washer": "washers", "pin": "cross pins", "stud": "studs"}


def hung_mass_bar(job: BulbResults) -> View:
    """Bar chart of the parts of the hung mass.

    Args:
        job: The results.
    """
    lines = job.bulb.lines
    present = {line.kind for line in lines}
    fastened = ", ".join(words for kind, words in _FASTENINGS.items() if kind in present)
    parts = [
        (name, math.fsum(line.mass for line in lines if line.kind in kinds))
        for kinds, name in (
            (("lead", "drilled"), "lead, net"),
            (tuple(_FASTENINGS), fastened),
            (("plug",), "plugs"),
            (("bedding",), "bedding"),
            (("skin",), "skin"),
        )
    ]
    total = math.fsum(mass for _, mass in parts)
    share = job.shown.percent(parts[0][1] / total)
    title = f"What hangs on the fin: {job.shown.mass(total)}, {share} of it lead"
    return stacked_bar("hung-mass", title, parts, job.shown)


def stacked_bar(name: str, title: str, parts: Sequence[tuple[str, float]], shown: Shown) -> View:
    """One bar of masses side by side, each named below it, without parts that have no mass.

    Args:
        name: Name of the view.
        title: Title of the view.
        parts: Names and masses [kg]; no mass is below zero.
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
        hatch = None if angle is None else Hatch(spacing=1.3, angle=angle)
        layout.fill(_PARTS[number % len(_PARTS)], rectangle(place, 0.0, end, height), hatch=hatch)
        label = (part, f"{shown.mass(mass)}, {shown.percent(mass / total)}")
        middle = 0.5 * (place + end)
        if angle is None and _wide(label, layout) <= end - place:
            for line, level, style in zip(label, (6.6, 3.0), (Style.INSIDE, Style.INSIDE), strict=True):
                layout.words((middle, level), line, style)
        else:
            below.append((middle, label))
        place = end
    layout.line(Style.FRAME, *rectangle(left, 0.0, right, height), (left, 0.0))
    places = spread(
        [middle for middle, _ in below], [_wide(label, layout) for _, label in below], left, right
    )
    for (middle, label), at in zip(below, places, strict=True):
        layout.line(Style.LEADER, (middle, 0.0), (middle, -1.5), (at, -4.0))
        for rank, line in enumerate(label):
            layout.words((at, -6.0 - 3.4 * rank), line, Style.SMALL if rank else Style.LETTERING)
    layout.extend(Box(left=0.0, bottom=-11.0, right=174.0, top=height))
    return layout.view(name, title)


def _wide(label: Sequence[str], layout: Layout) -> float:
    return max(text_width(line, layout.letter) for line in label) + 3.0
