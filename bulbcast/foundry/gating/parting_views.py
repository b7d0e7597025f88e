"""Views for cutting the gating: the section across the bulb at the feeder, and the parting face from above.

Lengths are millimetres on the mould. Dashed lines show parts in front of or behind the cut, or in the cope above the
face.
"""

from __future__ import annotations

import math

import numpy as np

from bulbcast.bulb.views.outlines import MM
from bulbcast.drawing.layout import PAPER_WIDTH, Label, Layout, nice_scale
from bulbcast.drawing.shapes import Box, Circle, Contour, Line, Region, Style, View
from bulbcast.foundry.gating.design import CUP_TO_SPRUE
from bulbcast.foundry.gating.parts import Gating, Vent
from bulbcast.foundry.mould.design import MouldDesign
from bulbcast.foundry.mould.section_view import draw_block, draw_keys, frame_of
from bulbcast.foundry.results import FoundryResults
from bulbcast.quantities import Shown

_TALLEST, _TALLEST_ACROSS = 110.0, 78.0
"""Maximum heights on paper of the parting face and of the section across the bulb. The second is smaller, so that this
section fits on one page with the section along the bulb. [mm]"""
_ROUND = 64


def across_view(job: FoundryResults) -> View | None:
    """Draw the mould cut across the bulb at its feeder, or at the largest section if it has none.

    Args:
        job: Results so far.

    Returns:
        View; None without a mould, and for an open half or a bulb on end.
    """
    mould, gating = job.mould, None if job.melting is None else job.melting.gating
    if mould is None or gating is None or gating.mark is not None or gating.cavity.upright:
        return None
    shown, skin, feeder = job.shown, gating.cavity.skin, gating.feeder
    at = gating.cavity.thick_at if feeder is None else feeder.at
    half, up = (MM * float(one[0]) for one in skin.halves(np.array([at])))
    frame = frame_of(mould, along=False)
    box = frame.block
    surface = MM * (0.5 * gating.cavity.height + gating.over_crown)
    weights = _weight(gating)
    high = max(surface, box.top)
    layout = Layout(nice_scale(min((PAPER_WIDTH - 64.0) / box.width, _TALLEST_ACROSS / (high - box.bottom))))
    angles = [2.0 * math.pi * step / _ROUND for step in range(_ROUND)]
    cavity: Contour = tuple((half * math.cos(one), up * math.sin(one)) for one in angles)
    draw_block(layout, frame, cavity)
    draw_keys(layout, frame)
    labels = _feeder_across(layout, gating, shown, surface, box)
    layout.add(Region(contours=(cavity,), style=Style.LEAD))
    if weights:
        labels += _weights(layout, gating, box, shown.workshop.mass(weights))
    labels += _sprue_behind(layout, gating, shown, surface)
    layout.extend(Box(left=box.left, bottom=box.bottom, right=box.right, top=high))
    layout.running(
        labels, level=layout.highest + layout.paper(3.0), upwards=1, low=box.left - layout.paper(24.0),
        high=box.right + layout.paper(24.0),
    )  # fmt: skip
    _levels(layout, gating, shown, surface, box)
    where = "the largest section" if feeder is None else "the feeder"
    return layout.view("gating-across", f"The mould cut across the bulb at {where}, seen from the nose")


def _weight(gating: Gating) -> float:
    """Mass to lay on the cope of a mould with a horizontal parting; otherwise zero. [kg]"""
    return gating.force.weight if gating.force is not None and gating.cavity.level_parting else 0.0


def _feeder_across(layout: Layout, gating: Gating, shown: Shown, surface: float, box: Box) -> list[Label]:
    feeder = gating.feeder
    if feeder is None:
        return []
    top = 0.5 * MM * gating.cavity.height
    foot, wide = 0.5 * MM * feeder.diameter, 0.5 * MM * feeder.top_diameter
    low = top - MM * feeder.foot
    if surface > box.top:
        for side in (-1.0, 1.0):
            near, far = side * wide, side * (wide + layout.paper(2.5))
            wall = ((near, box.top), (far, box.top), (far, surface), (near, surface))
            layout.add(
                Region(contours=(wall,), style=Style.MOULD), Region(contours=(wall,), style=Style.OUTLINE)
            )
    layout.add(
        Region(contours=(((-foot, low), (foot, low), (wide, surface), (-wide, surface)),), style=Style.LEAD),
        Line(start=(-1.5 * foot, top), end=(1.5 * foot, top), style=Style.PARTING),
    )
    sizes = f"{shown.length(feeder.diameter)} to {shown.length(feeder.top_diameter)}"
    return [
        Label(point=(0.0, surface), lines=("feeder", sizes)),
        Label(point=(1.4 * foot, top), lines=("saw here", "when cold")),
    ]


def _sprue_behind(layout: Layout, gating: Gating, shown: Shown, surface: float) -> list[Label]:
    """Draw the sprue, cup and ingate, which are behind the cut."""
    sprue, choke, ingate = gating.sprue, gating.choke, gating.ingate
    if sprue is None or choke is None:
        return []
    at = 0.0 if ingate is None else MM * ingate.aside
    base = 0.0 if ingate is not None else 0.5 * MM * gating.cavity.height
    foot, wide, cup = (
        0.5 * MM * one for one in (choke.diameter, sprue.top_diameter, CUP_TO_SPRUE * sprue.top_diameter)
    )
    mouth = MM * sprue.height
    if ingate is None:
        # It is on the bulb behind the feeder, in the same plane, and is shown in the lengthways cut.
        return []
    outline = (
        (at - foot, base), (at - wide, mouth), (at - cup, surface), (at + cup, surface), (at + wide, mouth),
        (at + foot, base), (at - foot, base),
    )  # fmt: skip
    near, deep = at - MM * ingate.length, MM * ingate.depth
    channel = ((near, 0.0), (near, -deep), (at + foot, -deep), (at + foot, 0.0))
    layout.line(Style.HIDDEN, *outline)
    layout.line(Style.HIDDEN, *channel)
    sizes = f"{shown.length(sprue.top_diameter)} to {shown.length(choke.diameter)}"
    return [Label(point=(at, surface), lines=("sprue, behind", sizes))]


def _weights(layout: Layout, gating: Gating, box: Box, words: str) -> list[Label]:
    """Draw the weights on the cope, on either side of the feeder."""
    inner = layout.paper(1.0)
    if gating.feeder is not None:
        inner = 0.5 * MM * gating.feeder.top_diameter + layout.paper(3.5)
    edge, thick = 0.5 * box.width, layout.paper(5.0)
    spans = ((-edge, -inner), (inner, edge))
    for left, right in spans:
        corners = ((left, box.top), (right, box.top), (right, box.top + thick), (left, box.top + thick))
        layout.add(Region(contours=(corners,), style=Style.WASHER))
    layout.extend(Box(left=-edge, bottom=box.top, right=edge, top=box.top + thick))
    middle = 0.5 * (spans[0][0] + spans[0][1])
    return [Label(point=(middle, box.top + thick), lines=("weights on the cope", f"{words} in all"))]


def _levels(layout: Layout, gating: Gating, shown: Shown, surface: float, box: Box) -> None:
    """Draw the dimensions: heights on the left, the sprue's position below, and the ingate's depth on the right."""
    top = 0.5 * MM * gating.cavity.height
    left = box.left - layout.paper(4.0)
    layout.vertical(
        (box.left, top), (box.left, surface), shown.length(1e-3 * (surface - top)), start=left, outwards=-1
    )
    if gating.cavity.level_parting:
        layout.vertical((box.left, 0.0), (box.left, top), shown.length(1e-3 * top), start=left, outwards=-1)
    ingate = gating.ingate
    if ingate is None:
        return
    at, deep = MM * ingate.aside, MM * ingate.depth
    layout.horizontal(
        (0.0, box.bottom), (at, box.bottom), f"sprue {shown.length(ingate.aside)}",
        start=box.bottom - layout.paper(6.0), outwards=-1,
    )  # fmt: skip
    layout.vertical(
        (box.right, -deep), (box.right, 0.0), f"ingate {shown.length(ingate.depth)}",
        start=box.right + layout.paper(4.0), outwards=1,
    )  # fmt: skip


def parting_face_view(job: FoundryResults) -> View | None:
    """Draw the drag's face from above. For a mould with a vertical parting, the lengthways cut shows the parting face.

    Args:
        job: Results so far.

    Returns:
        View; None without a closed, level mould.
    """
    mould, gating = job.mould, None if job.melting is None else job.melting.gating
    if mould is None or gating is None or gating.mark is not None or not gating.cavity.level_parting:
        return None
    shown, skin = job.shown, gating.cavity.skin
    margins, length = mould.margins, MM * gating.cavity.length
    half = 0.5 * MM * mould.block.width
    box = Box(left=-MM * margins.ends, bottom=-half, right=length + MM * margins.ends, top=half)
    layout = Layout(nice_scale(min((PAPER_WIDTH - 60.0) / box.width, _TALLEST / box.height)))
    style = Style.SAND if mould.material == "sand" else Style.PLASTER
    layout.add(Region(contours=(box.corners,), style=style))
    x = [MM * one for one in skin.x]
    across = [MM * one for one in skin.across]
    cavity: Contour = (
        *zip(x, across, strict=True),
        *zip(reversed(x), (-one for one in reversed(across)), strict=True),
    )
    _way_on_face(layout, gating)
    layout.add(Region(contours=(cavity,), style=Style.LEAD))
    for key in mould.keys:
        layout.add(
            Circle(centre=(MM * key.along, MM * key.across), radius=MM * key.radius, style=Style.PAPER)
        )
    _over_face(layout, gating)
    layout.add(Line(start=(box.left, 0.0), end=(box.right, 0.0), style=Style.AXIS))
    layout.extend(box)
    _face_dimensions(layout, mould, gating, shown, box)
    return layout.view("parting-face", "The drag's face from above, cope removed, nose to the left")


def _side(gating: Gating) -> float:
    """Side of the view on which the sprue is drawn: 1 for the starboard side, or -1 for the underside of a bulb on its
    side, which is drawn at the bottom as in the other pictures."""
    return 1.0 if gating.cavity.mould.split == "upper-lower" else -1.0


def _way_on_face(layout: Layout, gating: Gating) -> None:
    """Draw the foot of the sprue, and the ingate from it to the bulb."""
    ingate, choke = gating.ingate, gating.choke
    if ingate is None or choke is None:
        return
    at, half, side = MM * gating.sprue_at, 0.5 * MM * ingate.width, _side(gating)
    aside = side * MM * ingate.aside
    # It extends some way into the bulb, whose outline is drawn over it.
    inner = aside - side * 1.6 * MM * ingate.length
    end = aside + side * 0.5 * MM * choke.diameter
    corners = ((at - half, inner), (at + half, inner), (at + half, end), (at - half, end))
    layout.add(
        Region(contours=(corners,), style=Style.LEAD),
        Region(contours=(_circle(at, aside, 0.5 * MM * choke.diameter)[:-1],), style=Style.OUTLINE),
    )


def _over_face(layout: Layout, gating: Gating) -> None:
    """Draw the feeder and vents, which are in the cope."""
    rounds: list[tuple[float, float]] = [(vent.at, vent.diameter) for vent in gating.vents]
    if gating.feeder is not None:
        rounds.append((gating.feeder.at, gating.feeder.diameter))
    for at, diameter in rounds:
        layout.line(Style.HIDDEN, *_circle(MM * at, 0.0, 0.5 * MM * diameter))


def _circle(x: float, y: float, radius: float) -> Contour:
    angles = (2.0 * math.pi * step / _ROUND for step in range(_ROUND + 1))
    return tuple((x + radius * math.cos(one), y + radius * math.sin(one)) for one in angles)


def _face_dimensions(layout: Layout, mould: MouldDesign, gating: Gating, shown: Shown, box: Box) -> None:
    """Write the names above the view, the distances from the block's nose end (measured along its edge) below it, and the
    positions of the keys and the sprue at its sides."""
    labels = [_named("vent", vent, shown) for vent in gating.vents]
    ingate, choke, feeder = gating.ingate, gating.choke, gating.feeder
    if feeder is not None:
        labels.append(
            Label(
                point=(MM * feeder.at, 0.5 * MM * feeder.diameter),
                lines=("feeder", f"{shown.length(feeder.diameter)} in the cope"),
            )
        )
    if ingate is not None and choke is not None:
        words = f"{shown.length(ingate.width)} wide, {shown.length(ingate.depth)} deep"
        labels.append(
            Label(
                point=(MM * gating.sprue_at, _side(gating) * MM * ingate.aside),
                lines=("sprue's foot and ingate", words),
            )
        )
    layout.running(
        labels,
        level=box.top + layout.paper(2.5),
        upwards=1,
        low=box.left,
        high=box.right + layout.paper(16.0),
    )
    places = [vent.at for vent in gating.vents]
    places += [gating.sprue_at] if ingate is not None else []
    places += [feeder.at] if feeder is not None else []
    bottom = box.bottom
    start = bottom - layout.paper(6.0)
    step = layout.paper(4.6)
    for number, at in enumerate(sorted(places)):
        words = shown.length(at + mould.margins.ends)
        layout.horizontal(
            (box.left, bottom), (MM * at, bottom), words, start=start - number * step, outwards=-1
        )
    whole, last = shown.length(mould.block.length), start - len(places) * step
    layout.horizontal((box.left, bottom), (box.right, bottom), whole, start=last, outwards=-1)
    out = box.right + layout.paper(4.0)
    if ingate is not None:
        layout.vertical(
            (box.right, 0.0),
            (box.right, _side(gating) * MM * ingate.aside),
            shown.length(ingate.aside),
            start=out,
            outwards=1,
        )
    wide, far = shown.length(mould.block.width), out + layout.paper(18.0 if ingate is not None else 0.0)
    layout.vertical((box.right, box.bottom), (box.right, box.top), wide, start=far, outwards=1)
    if mould.keys:
        key = mould.keys[1]
        edge = shown.length(0.5 * mould.block.width - key.across)
        layout.vertical(
            (box.left, MM * key.across),
            (box.left, box.top),
            edge,
            start=box.left - layout.paper(4.0),
            outwards=-1,
        )
        odd = mould.keys[2]
        layout.vertical(
            (box.left, 0.0), (box.left, MM * odd.across), shown.length(odd.across),
            start=box.left - layout.paper(4.0), outwards=-1,
        )  # fmt: skip
    layout.scale_bar(box.left, layout.lowest - layout.paper(5.0), shown)


def _named(what: str, vent: Vent, shown: Shown) -> Label:
    return Label(point=(MM * vent.at, 0.5 * MM * vent.diameter), lines=(what, shown.length(vent.diameter)))
