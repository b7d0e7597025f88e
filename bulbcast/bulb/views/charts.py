"""Bars divided into masses, for example the parts of the hung mass."""

from __future__ import annotations

import math
from collections.abc import Sequence

from bulbcast.bulb.results import BulbResults
from bulbcast.drawing.layout import NARROW, Layout, spread
from bulbcast.drawing.shapes import (
    Box,
    Hatch,
    Style,
    View,
    rectangle,
    text_width,
)
from bulbcast.quantities import Shown
from bulbcast.quantities.frozen import frozen

_PARTS = (Style.PART_A, Style.PART_B, Style.PART_C, Style.PART_D, Style.PART_E)
# Parts differ by hatching as well as by colour: angle [deg], or None for plain.
_HATCHES = (None, 45.0, None, 135.0, 90.0)
# One part of the hung mass, named after what is present.
_FASTENINGS = {"screw": "screws", "washer": "washers", "pin": "cross pins", "stud": "studs"}


def hung_mass_bar(job: BulbResults, *, narrow: bool = False) -> View:
    """Bar chart of the parts of the hung mass.

    Args:
        job: The results.
        narrow: Whether it is for the narrow screen of a phone.
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
    return stacked_bar("hung-mass", title, parts, job.shown, narrow=narrow)


def stacked_bar(
    name: str, title: str, parts: Sequence[tuple[str, float]], shown: Shown, *, narrow: bool = False
) -> View:
    """A single bar divided into masses, each named in the bar or below it. Parts without mass are left out.

    Args:
        name: Name of the view.
        title: Title of the view.
        parts: Names and masses [kg]; no mass is below zero.
        shown: The builder's units.
        narrow: Whether it is for the narrow screen of a phone, with a list below the bar.
    """
    layout = Layout(1.0)
    left, right, height = (0.0, NARROW, 7.0) if narrow else (2.0, 172.0, 9.0)
    total = math.fsum(mass for _, mass in parts)
    pieces: list[_Piece] = []
    place = left
    for number, (part, mass) in enumerate(parts):
        if mass <= 0.0:
            continue
        end = place + (right - left) * mass / total
        label = (part, f"{shown.mass(mass)}, {shown.percent(mass / total)}")
        rank = number % len(_PARTS)
        pieces.append(_Piece(label=label, style=_PARTS[rank], angle=_HATCHES[rank], low=place, high=end))
        layout.fill(_PARTS[rank], rectangle(place, 0.0, end, height), hatch=pieces[-1].hatch)
        place = end
    layout.line(Style.FRAME, *rectangle(left, 0.0, right, height), (left, 0.0))
    if narrow:
        _listed(layout, pieces)
        return layout.view(f"{name}-narrow", title)
    below = []
    for piece in pieces:
        if piece.angle is None and _wide(piece.label, layout) <= piece.high - piece.low:
            for line, level in zip(piece.label, (6.6, 3.0), strict=True):
                layout.words((piece.middle, level), line, Style.INSIDE)
        else:
            below.append(piece)
    places = spread(
        [piece.middle for piece in below], [_wide(piece.label, layout) for piece in below], left, right
    )
    for piece, at in zip(below, places, strict=True):
        layout.line(Style.LEADER, (piece.middle, 0.0), (piece.middle, -1.5), (at, -4.0))
        for rank, line in enumerate(piece.label):
            layout.words((at, -6.0 - 3.4 * rank), line, Style.SMALL if rank else Style.LETTERING)
    layout.extend(Box(left=0.0, bottom=-11.0, right=174.0, top=height))
    return layout.view(name, title)


@frozen
class _Piece:
    """Part of a bar, with its name and figures, its style, and its start and end."""

    label: tuple[str, str]
    style: Style
    angle: float | None
    low: float
    high: float

    @property
    def middle(self) -> float:
        return 0.5 * (self.low + self.high)

    @property
    def hatch(self) -> Hatch | None:
        return None if self.angle is None else Hatch(spacing=1.3, angle=self.angle)


def _listed(layout: Layout, pieces: Sequence[_Piece]) -> None:
    """List of a bar's parts below the bar, one line per part, with its tint."""
    for number, piece in enumerate(pieces):
        level = -5.0 - 5.0 * number
        swatch = rectangle(0.0, level - 1.5, 6.0, level + 1.5)
        layout.fill(piece.style, swatch, hatch=piece.hatch)
        layout.line(Style.FRAME, *swatch, swatch[0])
        layout.words((8.0, level), piece.label[0], anchor="start")
        layout.words((NARROW, level), piece.label[1], Style.SMALL, anchor="end")
    layout.extend(Box(left=0.0, bottom=-5.0 * len(pieces) - 2.0, right=NARROW, top=7.0))


def _wide(label: Sequence[str], layout: Layout) -> float:
    return max(text_width(line, layout.letter) for line in label) + 3.0
