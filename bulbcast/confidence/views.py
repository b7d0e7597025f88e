"""Two pictures: the mass band with the target and the aim, and the effect of each input on the mass."""

from __future__ import annotations

import math

from bulbcast.bulb.cuts.drilled import point_height
from bulbcast.bulb.results import BulbResults
from bulbcast.bulb.views.outlines import MM, body_outline
from bulbcast.confidence.drilling import Schedule
from bulbcast.confidence.work import Confidence
from bulbcast.drawing.layout import NARROW, Layout, nice_scale, spread
from bulbcast.drawing.shapes import Box, Hatch, Style, View, rectangle, text_width
from bulbcast.quantities import Shown, in_one_unit
from bulbcast.quantities.figures import signed

_WIDTH = NARROW
"""Width of a picture: narrow enough for a phone screen without scrolling, and for two side by side on a sheet. [mm]"""
_LEFT, _RIGHT = 4.0, _WIDTH - 4.0
_POINTS = 60
_ENDS = ("least", "most")


def mass_band(found: Confidence, shown: Shown) -> View:
    """Draw the distribution of casting masses, with the target and the aim.

    Args:
        found: Band and aim.
        shown: The builder's units.
    """
    layout = Layout(1.0)
    middle = found.aim if found.sized else found.target
    reach = 3.2 * found.mass_sd
    low, high = min(middle - reach, found.target), max(middle + reach, found.aim)
    if high <= low:
        low, high = low - 1e-3 * low, high + 1e-3 * high
    scale = (_RIGHT - _LEFT) / (high - low)

    def at(mass: float) -> float:
        return _LEFT + scale * (mass - low)

    def level(mass: float) -> float:
        return 26.0 * math.exp(-0.5 * ((mass - middle) / max(found.mass_sd, 1e-12)) ** 2)

    masses = [low + (high - low) * step / _POINTS for step in range(_POINTS + 1)]
    curve = [(at(mass), level(mass)) for mass in masses]
    light = [(at(mass), level(mass)) for mass in masses if mass < found.target]
    if light:
        edge = at(found.target)
        layout.fill(
            Style.LESS,
            ((_LEFT, 0.0), *light, (edge, level(found.target)), (edge, 0.0)),
            hatch=Hatch(spacing=1.3, angle=45.0),
        )
    layout.line(Style.OUTLINE, *curve)
    layout.line(Style.FRAME, (_LEFT, 0.0), (_RIGHT, 0.0))
    marks = [("target", found.target), ("aim", found.aim), ("least", found.low), ("most", found.high)]
    marks = _joined(sorted(marks, key=lambda one: one[1]), 0.05 * found.mass_sd)
    labels = [(name, shown.mass(mass)) for name, mass in marks]
    wide = [max(text_width(line, layout.letter) for line in label) + 3.0 for label in labels]
    places = spread([at(mass) for _, mass in marks], wide, _LEFT, _RIGHT)
    for (_, mass), label, place in zip(marks, labels, places, strict=True):
        top = level(mass) if label[0] in _ENDS else 30.0
        layout.line(Style.LEADER, (at(mass), top), (at(mass), -1.5), (place, -4.0))
        for rank, line in enumerate(label):
            layout.words((place, -6.0 - 3.4 * rank), line, Style.SMALL if rank else Style.LETTERING)
    layout.extend(Box(left=0.0, bottom=-11.0, right=_WIDTH, top=31.0))
    return layout.view(
        "mass-band", "Distribution of the casting's mass; castings that are too light are hatched"
    )


def _joined(marks: list[tuple[str, float]], apart: float) -> list[tuple[str, float]]:
    """Merge marks that are too close together to be distinguished. If the body is sized to the aim, the target coincides
    with the lowest mass."""
    joined: list[tuple[str, float]] = []
    for name, mass in marks:
        if joined and mass - joined[-1][1] <= apart:
            first = joined.pop()
            name, mass = (
                (f"{name}, {first[0]}", mass) if first[0] in _ENDS else (f"{first[0]}, {name}", first[1])
            )
        joined.append((name, mass))
    return joined


def budget_bars(found: Confidence, shown: Shown) -> View:
    """Draw the effect of one standard deviation of each input on the mass, the largest first.

    Args:
        found: The results with the error budget.
        shown: The builder's units.
    """
    layout = Layout(1.0)
    lines = found.budget
    largest = max((abs(line.mass) for line in lines), default=0.0) or 1.0
    figures = [text for (text,) in in_one_unit([(signed(shown.mass(line.mass)),) for line in lines])]
    start, row = 37.0, 5.0
    length = min(
        34.0, _WIDTH - 2.0 - start - max((text_width(one, layout.letter) for one in figures), default=0.0)
    )
    for number, (line, figure) in enumerate(zip(lines, figures, strict=True)):
        level = -row * number
        end = start + max(length * abs(line.mass) / largest, 0.2)
        style = Style.MORE if line.mass >= 0.0 else Style.LESS
        layout.fill(style, rectangle(start, level - 1.9, end, level + 1.9))
        layout.words((start - 3.0, level), line.input.name, anchor="end")
        layout.words((end + 2.0, level), figure, Style.SMALL, anchor="start")
    layout.extend(Box(left=0.0, bottom=-row * len(lines) + 2.0, right=_WIDTH, top=3.5))
    return layout.view("mass-budget", "Effect of one standard deviation of each input on the hung mass")


def drilling_view(job: BulbResults, schedule: Schedule) -> View:
    """Draw the bulb from the side, before and after drilling.

    Args:
        job: The bulb on the fin.
        schedule: Drilling schedule.
    """
    bulb = job.bulb
    body, pocket = bulb.body, bulb.pocket
    layout = Layout(nice_scale((_WIDTH - 16.0) / (MM * body.length)))
    outline = body_outline(body, 1.0 / math.sqrt(body.width_to_height))
    down = 1.25 * MM * body.height + layout.paper(4.0)
    for level, title in ((0.0, "before"), (-down, "after")):
        layout.fill(Style.LEAD, tuple((x, z + level) for x, z in outline))
        if bulb.pocket_depth > 0.0:
            floor, top = MM * bulb.axis.floor + level, 0.5 * MM * body.height + level
            ends = (MM * pocket.leading_edge_x, MM * (pocket.leading_edge_x + pocket.tip.chord))
            layout.line(Style.HIDDEN, (ends[0], top), (ends[0], floor), (ends[1], floor), (ends[1], top))
        layout.words((-layout.paper(2.0), level), title, Style.SMALL, anchor="end")
    for number, hole in enumerate(schedule.holes, start=1):
        x, half, way = MM * hole.x, 0.5 * MM * hole.diameter, -1.0 if hole.floor else 1.0
        bottom = MM * hole.begins - down
        top = bottom + way * MM * hole.depth
        point = top + way * MM * point_height(hole.diameter)
        layout.fill(
            Style.PLUG, ((x - half, bottom), (x - half, top), (x, point), (x + half, top), (x + half, bottom))
        )
        layout.words((x, -0.5 * MM * body.height - down - layout.paper(3.0)), str(number), Style.SMALL)
    half = 0.5 * MM * body.height
    layout.extend(
        Box(
            left=-layout.paper(14.0),
            bottom=-half - down - layout.paper(5.0),
            right=MM * body.length + layout.paper(2.0),
            top=half + layout.paper(2.0),
        )
    )
    return layout.view("drilling", "The bulb from the side, before and after drilling")
