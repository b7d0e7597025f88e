"""Drawing of the joint under its loads, seen from port: the pull on each screw and the force on the tip's edge."""

from __future__ import annotations

import math

from bulbcast.drawing.arrows import arrow
from bulbcast.drawing.layout import Label, Layout
from bulbcast.drawing.shapes import Box, Style, View, rectangle
from bulbcast.joint.joint_chapter import CASES
from bulbcast.joint.joint_loads import JointCase
from bulbcast.joint.strength import JointStrength
from bulbcast.quantities import Shown

_WIDE, _APART = 82.0, 92.0
"""Width of a panel, and distance from one panel to the next. [mm of paper]"""

_FIN, _LEAD, _LONGEST = 7.0, 23.0, 16.0
"""Heights of the fin and the lead in a panel, and length of the longest arrow. [mm of paper]"""

_DOTS = 0.7


def joint_view(held: JointStrength, shown: Shown) -> View:
    """Draw a panel for each load, with all arrows to one scale.

    Args:
        held: The joint under every load.
        shown: The builder's units.

    Returns:
        The drawing, in mm of paper. Lengths along the tip are to scale; heights are not.
    """
    layout = Layout(1.0)
    most = largest_force(held)
    level = 0.0
    for number in range(0, len(held.cases), 2):
        foot = level
        for column, index in enumerate(range(number, min(number + 2, len(held.cases)))):
            foot = min(foot, _panel(layout, held, index, (column * _APART, level), most, shown))
        level = foot - 7.0
    return layout.view("joint-loads", joint_words(held, shown))


def largest_force(held: JointStrength) -> float:
    """Largest pull on a screw or force on the tip's edge, under any load. [N]"""
    pulls = [pull for one in held.screws for pull in one.pulls]
    return max([*pulls, *(case.pivot.force for case in held.cases if case.pivot is not None)])


def joint_words(held: JointStrength, shown: Shown) -> str:
    """One-line summary of the drawing.

    Args:
        held: The joint under every load.
        shown: The builder's units.
    """
    most = max(held.screws, key=lambda one: max(one.pulls))
    pull = max(most.pulls)
    load = CASES[held.cases[most.pulls.index(pull)].name]
    who = "The screw" if len(held.screws) == 1 else f"Screw {most.number}"
    return f"{who} is pulled hardest: {shown.force(pull)}, {load}"


def _panel(
    layout: Layout, held: JointStrength, index: int, at: tuple[float, float], most: float, shown: Shown
) -> float:
    """Draw the panel for one load, and return the panel's lower end. [mm of paper]"""
    joint, case = held.joint, held.cases[index]
    left, top = at
    scale = _WIDE / joint.tip.chord
    floor = top - 6.0 - _FIN
    layout.words(
        (left, top - 2.0), CASES[case.name][:1].upper() + CASES[case.name][1:], Style.HEADING, anchor="start"
    )
    layout.fill(Style.FIN, rectangle(left, floor, left + _WIDE, floor + _FIN))
    layout.fill(Style.LEAD, rectangle(left - 3.0, floor - _LEAD, left + _WIDE + 3.0, floor))
    layout.extend(Box(left=left - 3.0, bottom=floor - _LEAD, right=left + _WIDE + 3.0, top=top))
    lean = math.tan(joint.rake)
    labels = []
    for one, place in zip(held.screws, joint.places, strict=True):
        x, pull = left + scale * place, one.pulls[index]
        high = 0.8 * _FIN
        layout.line(
            Style.AXIS, (x - lean * high, floor + high), (x + lean * (_LEAD - 3.0), floor - _LEAD + 3.0)
        )
        long = _LONGEST * pull / most
        # The arrow runs along the screw, with the same rake.
        end = (x + long * math.sin(joint.rake), floor - long * math.cos(joint.rake))
        if long > _DOTS:
            arrow(layout, (x, floor), end)
        labels.append(
            Label(
                point=(x + lean * _LEAD, floor - _LEAD),
                lines=(_numbered(held, one.number), shown.force(pull)),
            )
        )
    labels += _edge(layout, case, left, scale, floor, most, shown)
    return layout.running(
        labels, level=floor - _LEAD - 1.0, upwards=-1, low=left - 3.0, high=left + _WIDE + 3.0
    )


def _numbered(held: JointStrength, number: int) -> str:
    return "screw" if len(held.screws) == 1 else f"screw {number}"


def _edge(
    layout: Layout, case: JointCase, left: float, scale: float, floor: float, most: float, shown: Shown
) -> list[Label]:
    """Draw the force with which the lead pushes back on the tip's edge. [mm of paper]"""
    pivot = case.pivot
    if pivot is None:
        return []
    x = left + scale * pivot.at
    long = _LONGEST * pivot.force / most
    arrow(layout, (x, floor - long), (x, floor))
    return [Label(point=(x, floor - _LEAD), lines=("tip's edge", shown.force(pivot.force)))]
