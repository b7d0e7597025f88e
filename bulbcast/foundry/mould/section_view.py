"""Sections of the mould as it stands when poured, along the bulb and across it at its largest section.

`MouldFrame` gives the positions. The gating adds the lead level, sprue, feeder and vents to the same block.
"""

from __future__ import annotations

import math

from bulbcast.bulb.views.outlines import MM, skin_outline
from bulbcast.drawing.layout import PAPER_WIDTH, Layout, nice_scale
from bulbcast.drawing.shapes import Box, Circle, Contour, Hatch, Line, Point, Region, Style, Text, View
from bulbcast.foundry.mould.design import MouldDesign
from bulbcast.foundry.results import FoundryResults
from bulbcast.quantities.frozen import frozen, replace

_LEFT, _RIGHT = 24.0, 30.0
_TALLEST = 135.0
"""Maximum height of the drawing of a mould on end. [mm of paper]"""


@frozen
class MouldFrame:
    """Positions in one of the two pictures, in mm on the object.

    Attributes:
        design: Mould as planned.
        along: Whether the picture is along the bulb, rather than across it.
        block: Outer box of the block.
        parting: Parting line; None if the picture is in the parting plane, or for an open half.
    """

    design: MouldDesign
    along: bool
    block: Box
    parting: float | None

    def place(self, along: float, up: float) -> Point:
        """Convert distances in m from the pattern's nose, along the bulb's axis and square to it, to a position in the
        picture.

        For a bulb on end, `up` runs across the picture.
        """
        if self.design.bulb_axis == "level":
            return MM * along, MM * up
        length = self.design.pattern.height
        return MM * up, MM * (along if self.design.orientation == "tail-up" else length - along)


def frame_of(design: MouldDesign, *, along: bool) -> MouldFrame:
    """Position the block and its parting in one of the pictures.

    Args:
        design: Mould as planned.
        along: True for the picture along the bulb, false for the one across it.
    """
    margins, pattern = design.margins, design.pattern
    if design.bulb_axis == "upright":
        bottom, top = -margins.below, pattern.height + margins.above
    elif design.kind == "open-halves":
        bottom, top = -pattern.height - margins.below, 0.0
    else:
        bottom, top = -0.5 * pattern.height - margins.below, 0.5 * pattern.height + margins.above
    if along and design.bulb_axis == "level":
        left, right = -margins.ends, pattern.length + margins.ends
    else:
        half = 0.5 * (design.block.length if along else design.block.width)
        left, right = -half, half
    crossed = design.kind == "closed" if design.parting == "horizontal" else not along
    return MouldFrame(
        design=design,
        along=along,
        block=Box(left=MM * left, bottom=MM * bottom, right=MM * right, top=MM * top),
        parting=0.0 if crossed else None,
    )


def cavity_along(job: FoundryResults, frame: MouldFrame) -> Contour:
    """Draw the coated pattern's outline in the picture along the bulb.

    Args:
        job: Results with a mould.
        frame: Frame of that picture.
    """
    design, body = frame.design, job.bulb.body
    upright = (design.parting == "horizontal") == (design.split == "upper-lower")
    # The picture along the bulb shows its height or its width, depending on its orientation in the mould.
    wide = math.sqrt(body.width_to_height)
    outline = skin_outline(body, 1.0 / wide if upright else wide, MM * job.cast.finish)
    scale = job.pattern.scale
    nose = -MM * job.cast.finish
    points = [frame.place(scale * (x - nose) / MM, scale * y / MM) for x, y in outline]
    if design.kind == "open-halves":
        points = [(x, min(y, 0.0)) for x, y in points]
    return tuple(points)


def cavity_across(frame: MouldFrame) -> Contour:
    """Outline of the coated pattern's largest section in the picture across the bulb: an ellipse, or half of one."""
    design = frame.design
    half_width = 0.5 * MM * design.pattern.width
    half_height = (1.0 if design.kind == "open-halves" else 0.5) * MM * design.pattern.height
    angles = [math.pi * i / 48.0 for i in range(96)]
    points = [(half_width * math.cos(one), half_height * math.sin(one)) for one in angles]
    return tuple((x, min(y, 0.0)) for x, y in points) if design.kind == "open-halves" else tuple(points)


def mould_section(job: FoundryResults, *, along: bool) -> View | None:
    """Draw one section of the mould. Return None for the section across a mould on end, which would only repeat the
    section along it.

    Args:
        job: Results with a mould.
        along: True for the section along the bulb, false for the section across it where it is largest.

    Raises:
        ValueError: The job has no mould.
    """
    design = job.mould
    if design is None:
        raise ValueError("the plan gives no mould")
    if not along and design.bulb_axis == "upright":
        return None
    frame = frame_of(design, along=along)
    # One scale for both pictures.
    scale = _TALLEST / (MM * design.block.height)
    if design.bulb_axis == "level":
        scale = min((PAPER_WIDTH - 4.0 - _LEFT - _RIGHT) / (MM * design.block.length), scale)
    layout = Layout(nice_scale(scale))
    cavity = cavity_along(job, frame) if along else cavity_across(frame)
    draw_block(layout, frame, cavity)
    draw_keys(layout, frame)
    _names(layout, frame, cavity)
    _dimensions(layout, job, frame)
    layout.extend(frame.block)
    if along:
        return layout.view("mould-along", "The mould cut along the bulb, in its pouring position")
    return layout.view("mould-across", "The mould cut through at the largest section")


def draw_block(layout: Layout, frame: MouldFrame, cavity: Contour) -> None:
    """Draw each part with different hatching, leave the cavity open, and draw the parting line on top.

    Args:
        layout: Layout to draw into.
        frame: Position of the block.
        cavity: Outline left open in the block.
    """
    box, parting = frame.block, frame.parting
    style = Style.SAND if frame.design.material == "sand" else Style.PLASTER
    boxes, ends = [box], ((0.0, 0.0), (0.0, 0.0))
    if parting is not None and frame.design.parting == "horizontal":
        boxes = [replace(box, top=parting), replace(box, bottom=parting)]
        ends = ((box.left, parting), (box.right, parting))
    elif parting is not None:
        boxes = [replace(box, right=parting), replace(box, left=parting)]
        ends = ((parting, box.bottom), (parting, box.top))
    in_face = frame.along and frame.design.parting == "vertical"
    for one, angle in zip(boxes, (45.0, 135.0), strict=False):
        corners = ((one.left, one.bottom), (one.right, one.bottom), (one.right, one.top), (one.left, one.top))
        # Nothing is cut in the parting plane itself, so the face of one part is visible.
        hatch = None if in_face else Hatch(spacing=layout.paper(2.6), angle=angle)
        layout.add(Region(contours=(corners,), style=style, hatch=hatch))
    layout.add(Region(contours=(cavity,), style=Style.PAPER))
    if parting is not None:
        layout.add(Line(start=ends[0], end=ends[1], style=Style.PARTING))


def draw_keys(layout: Layout, frame: MouldFrame) -> None:
    """Draw the keys as circles in the face or as bumps across the parting line, dashed if behind the cut.

    Args:
        layout: Layout to draw into.
        frame: Position of the block.
    """
    design = frame.design
    for key in design.keys:
        radius = MM * key.radius
        if frame.along and design.parting == "vertical":
            layout.add(Circle(centre=frame.place(key.along, key.across), radius=radius, style=Style.PAPER))
            continue
        if not frame.along and abs(key.across) < 0.5 * design.pattern.width + key.radius:
            continue  # it is beyond the cavity, and nothing drawn here hides it
        across = MM * (key.along if frame.along else key.across)
        turned = [math.pi * i / 16.0 for i in range(17)]
        if design.parting == "horizontal":
            points = tuple((across + radius * math.cos(one), radius * math.sin(one)) for one in turned)
        else:
            points = tuple((radius * math.sin(one), across + radius * math.cos(one)) for one in turned)
        layout.line(Style.HIDDEN, *points)


def _names(layout: Layout, frame: MouldFrame, cavity: Contour) -> None:
    """Label the parts next to the block, and the cavity in it."""
    design, box, parting = frame.design, frame.block, frame.parting
    names = [part.name for part in design.parts]
    gap = layout.paper(2.0)

    def aside(level: float, words: str) -> None:
        layout.text(
            Text(
                at=(box.right + gap, level),
                text=words,
                height=layout.letter,
                anchor="start",
                style=Style.HEADING,
            )
        )

    if parting is not None and design.parting == "horizontal":
        aside(0.5 * (box.bottom + parting), names[0])
        aside(0.5 * (box.top + parting), names[-1])
        aside(parting, "parting")
    elif parting is not None:
        for x, words in ((0.5 * (box.left + parting), names[0]), (0.5 * (box.right + parting), names[-1])):
            at = (x, box.top + layout.paper(2.5))
            layout.text(Text(at=at, text=words, height=layout.letter, style=Style.HEADING))
    elif design.kind == "open-halves":
        aside(0.5 * (box.bottom + box.top), " or ".join(names))
    else:
        aside(box.top - gap, f"face of {names[0]}")
    low, high = min(y for _, y in cavity), max(y for _, y in cavity)
    if frame.along and design.bulb_axis == "level" and high - low > 4.0 * layout.letter:
        # Keep clear of the parting, which runs along the middle of a level mould.
        middle = 0.5 * (min(x for x, _ in cavity) + max(x for x, _ in cavity))
        layout.text(Text(at=(middle, low + 0.73 * (high - low)), text="cavity", height=layout.letter))


def _dimensions(layout: Layout, job: FoundryResults, frame: MouldFrame) -> None:
    """Draw the dimensions of the walls, cavity and block below the picture, and those of the floor, cover and block
    beside it."""
    box, margins = frame.block, frame.design.margins
    # The picture along a level bulb shows the ends; the one across it, and that of a bulb on end, shows the sides.
    beside = margins.ends if frame.along else margins.sides
    left, right = box.left + MM * beside, box.right - MM * beside
    low, high = box.bottom + MM * margins.below, box.top - MM * margins.above

    def words(millimetres: float) -> str:
        return job.shown.length(1e-3 * millimetres)

    for start, end, down, side, key in (
        (box.left, left, 5.0, -1, "mould.wall"),
        (right, box.right, 5.0, 1, "mould.wall"),
        (left, right, 9.0, 1, ""),
        (box.left, box.right, 14.0, 1, ""),
    ):
        layout.horizontal(
            (start, box.bottom),
            (end, box.bottom),
            words(end - start),
            start=box.bottom - layout.paper(down),
            outwards=-1.0,
            side=side,
            key=key,
        )
    floor, cover = (box.bottom, low, 5.0, "mould.floor"), (high, box.top, 5.0, "mould.cover")
    covered = [cover] if margins.above > 0.0 else []
    for start, end, out, key in (floor, *covered, (box.bottom, box.top, 14.0, "")):
        layout.vertical(
            (box.left, start),
            (box.left, end),
            words(end - start),
            start=box.left - layout.paper(out),
            outwards=-1.0,
            key=key,
        )
