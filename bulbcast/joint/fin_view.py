"""Drawing of the fin held flat with the bulb on it, seen along the bulb. It shows the bend, the moment and the highest
stress."""

from __future__ import annotations

import math

from bulbcast.bulb.hung.ledger import HungBulb
from bulbcast.drawing.arrows import arrow
from bulbcast.drawing.layout import PAPER_WIDTH, Label, Layout, nice_scale
from bulbcast.drawing.magnified import magnification, magnified_words
from bulbcast.drawing.shapes import Box, Circle, Contour, Hatch, Point, Style, View, rectangle, text_width
from bulbcast.joint.fin_beam import Stress
from bulbcast.joint.fin_bent import BentLevel, bent_fin
from bulbcast.joint.strength import FinStrength
from bulbcast.quantities import Shown
from bulbcast.quantities.checked import STANDARD_GRAVITY

MM = 1000.0
SAG = 0.16
"""Maximum sag drawn, as a fraction of the length from the hull to the far side of the bulb. [-]"""

_HULL, _RIGHT, _PLOT = 9.0, 8.0, 20.0
_ROUND = 64
_MORE_AT_END = 1.005
"""Stress factor at the end of a raked root, above which the drawing mentions that end. [-]"""

_AT_ROOT = 1e-6
"""Depth below the root that is still treated as zero. [m]"""


def fin_bent_view(fin: FinStrength, bulb: HungBulb, allowed: float | None, shown: Shown) -> View:
    """Draw the fin at 90 degrees of heel.

    Args:
        fin: The fin as a beam.
        bulb: The bulb on the fin's tip.
        allowed: Maximum allowed deflection as typed, or None. [m]
        shown: The builder's units.

    Returns:
        The drawing, with x outwards from the hull and y up, in mm on the object. The sag is magnified by the factor given
        in the view.
    """
    line = bent_fin(
        fin.foil,
        fin.section,
        bulb_mass=bulb.mass,
        bulb_x=bulb.mass_centre[0],
        bulb_z=bulb.mass_centre[1],
        fin_density=fin.fin_density,
        elastic_axis=fin.elastic_axis,
    )
    held = fin.knockdown
    centre = fin.foil.root_z - bulb.mass_centre[1]
    reach = centre + 0.5 * bulb.body.height
    times = magnification(held.bulb_deflection, SAG * reach)
    layout = Layout(nice_scale((PAPER_WIDTH - 4.0 - _HULL - _RIGHT) / (MM * reach)))
    _shape(layout, [(one.depth, one.thickness, 0.0) for one in line], Style.HIDDEN)
    _bulb(layout, bulb, (MM * centre, 0.0), 0.0, None)
    sag = MM * times * held.bulb_deflection
    _shape(layout, [(one.depth, one.thickness, times * one.deflection) for one in line], Style.FIN)
    _bulb(layout, bulb, (MM * centre, -sag), math.atan(times * held.tip_slope), Style.LEAD)
    layout.line(
        Style.AXIS, *((MM * one.depth, -MM * times * one.deflection) for one in line), (MM * centre, -sag)
    )
    layout.centre_mark((MM * centre, -sag), layout.paper(1.6))
    _weight(layout, bulb, (MM * centre, -sag), shown)
    layout.vertical(
        (MM * centre, 0.0),
        (MM * centre, -sag),
        shown.length(held.bulb_deflection),
        start=MM * (centre + 0.5 * bulb.body.height) + layout.paper(3.0),
        outwards=1,
        beyond=1,
    )
    top = max(MM * 0.5 * max(line[0].thickness, bulb.body.width), layout.paper(4.0))
    foot = layout.lowest - layout.paper(7.0)
    _moments(layout, line, MM * centre, foot, shown)
    _hull(layout, top, foot - layout.paper(_PLOT))
    _stresses(layout, fin, line, times, top, shown)
    layout.scale_bar(0.0, layout.lowest - layout.paper(4.0), shown)
    said = f"sag {magnified_words(times)}"
    if allowed is not None:
        said += f"; {shown.length(allowed)} allowed"
    layout.small((MM * reach, layout.lowest + layout.paper(0.6)), said, "end")
    return layout.view("fin-bent", bent_words(fin, shown))


def bent_words(fin: FinStrength, shown: Shown) -> str:
    """One-line summary of the drawing.

    Args:
        fin: The fin as a beam.
        shown: The builder's units.
    """
    held, factor = fin.knockdown, fin.knockdown.root_stress_factor
    words = f"With the fin held flat, the bulb sags {shown.length(held.bulb_deflection)}"
    judged = [one for one in held.stresses if one.used is not None]
    if not judged:
        return words
    worst = max(judged, key=lambda one: one.used or 0.0)
    where = "" if factor < _MORE_AT_END else ", at the end of the raked root"
    used = f"{100.0 * factor * (worst.used or 0.0):.0f} % of what is allowed"
    return f"{words}; {worst.material} is stressed to {used}{where}"


def _shape(layout: Layout, levels: list[tuple[float, float, float]], style: Style) -> None:
    """Outline of the sagging fin, with its thickness about its axis. [m], [m], [m]"""
    upper = [(MM * depth, MM * (0.5 * thick - sag)) for depth, thick, sag in levels]
    lower = [(MM * depth, MM * (-0.5 * thick - sag)) for depth, thick, sag in levels]
    outline = (*upper, *reversed(lower))
    if style is Style.HIDDEN:
        layout.line(style, *outline)
    else:
        layout.fill(style, outline)
    _extend(layout, outline)


def _bulb(layout: Layout, bulb: HungBulb, centre: Point, turned: float, style: Style | None) -> None:
    """Outline of the bulb's maximum section, with its vertical axis along the fin; dashed if no style is given. [mm]"""
    along, across = 0.5 * MM * bulb.body.height, 0.5 * MM * bulb.body.width
    sine, cosine = math.sin(-turned), math.cos(-turned)
    outline = tuple(
        (
            centre[0] + along * math.cos(angle) * cosine - across * math.sin(angle) * sine,
            centre[1] + along * math.cos(angle) * sine + across * math.sin(angle) * cosine,
        )
        for angle in (2.0 * math.pi * step / _ROUND for step in range(_ROUND))
    )
    if style is None:
        layout.line(Style.HIDDEN, *outline, outline[0])
    else:
        layout.fill(style, outline, hatch=Hatch(spacing=layout.paper(1.7), angle=45.0))
    _extend(layout, outline)


def _extend(layout: Layout, outline: Contour) -> None:
    xs, ys = [x for x, _ in outline], [y for _, y in outline]
    layout.extend(Box(left=min(xs), bottom=min(ys), right=max(xs), top=max(ys)))


def _weight(layout: Layout, bulb: HungBulb, centre: Point, shown: Shown) -> None:
    start = centre[1] - 0.5 * MM * bulb.body.width - layout.paper(0.5)
    arrow(layout, (centre[0], start), (centre[0], start - layout.paper(8.0)))
    words = f"the bulb's weight {shown.force(bulb.mass * STANDARD_GRAVITY)}"
    layout.words(
        (centre[0] - layout.paper(2.0), start - layout.paper(5.5)), words, Style.LETTERING, anchor="end"
    )


def _moments(layout: Layout, line: tuple[BentLevel, ...], centre: float, foot: float, shown: Shown) -> None:
    """Curve of the bending moment along the fin, to the same length scale, with the hull at the left. [mm]"""
    most, height = max(one.moment for one in line), layout.paper(_PLOT)
    base = foot - height
    # Below the tip only the bulb's weight acts, so the moment falls in a straight line to zero at its centre.
    curve = [(MM * one.depth, base + height * one.moment / most) for one in line] + [(centre, base)]
    layout.fill(Style.BAND, ((0.0, base), *curve))
    layout.line(Style.CURVE, *curve)
    layout.line(Style.FRAME, (0.0, base), (centre + layout.paper(3.0), base))
    layout.words(
        (layout.paper(3.0), foot + 0.9 * layout.letter),
        f"moment {shown.torque(line[0].moment)} at the hull",
        anchor="start",
    )
    layout.extend(Box(left=0.0, bottom=base, right=centre, top=foot))


def _hull(layout: Layout, top: float, low: float) -> None:
    """Symbol for the support where the hull holds the fin. [mm]"""
    wall = rectangle(-layout.paper(_HULL - 3.0), low, 0.0, top + layout.paper(2.0))
    layout.fill(Style.MOULD, wall, hatch=Hatch(spacing=layout.paper(1.5), angle=-45.0))
    _extend(layout, wall)


def _stresses(
    layout: Layout,
    fin: FinStrength,
    line: tuple[BentLevel, ...],
    times: float,
    top: float,
    shown: Shown,
) -> None:
    """Labels above the fin for the highest stress in each material."""
    labels = []
    for stress in fin.knockdown.stresses:
        depth = fin.foil.root_z - stress.at_z
        near = min(line, key=lambda one: abs(one.depth - depth))
        x = MM * depth
        upper = MM * (0.5 * near.thickness - times * near.deflection)
        layout.add(Circle(centre=(x, upper), radius=layout.paper(0.9), style=Style.MARK))
        lines = _stress_lines(stress, depth, shown)
        if depth < _AT_ROOT and fin.knockdown.root_stress_factor >= _MORE_AT_END:
            lines += (f"{fin.knockdown.root_stress_factor:.2f} times as high at the end of the raked root",)
        labels.append(Label(point=(x, upper), lines=lines))
    layout.running(
        labels,
        level=max(top, layout.highest) + layout.paper(2.0),
        upwards=1,
        low=0.0,
        high=max(layout.right, sum(text_width(max(one.lines, key=len), layout.letter) for one in labels)),
    )


def _stress_lines(stress: Stress, depth: float, shown: Shown) -> tuple[str, ...]:
    where = "at the hull" if depth < _AT_ROOT else f"{shown.length(depth)} below the hull"
    found = (
        f"strain {1e6 * stress.strain:.0f} per million"
        if stress.stress is None
        else shown.pressure(stress.stress)
    )
    used = "" if stress.used is None else f", {100.0 * stress.used:.0f} % of what is allowed"
    return (f"{stress.material}: {found}", f"{where}{used}")
