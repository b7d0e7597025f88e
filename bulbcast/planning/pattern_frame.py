"""The [frame] section turned into a mould frame, its defaults settled and told."""

from __future__ import annotations

from bulbcast.casting.joints import Plane
from bulbcast.casting.mould_frame import (
    FLOOR_OVER_WALL,
    MouldFrame,
    board_for,
    key_for,
    mould_frame,
    sprue_for,
    sprue_place,
    vent_for,
    wall_for,
)
from bulbcast.casting.pattern_outline import PatternOutline
from bulbcast.plan.pattern_shop_sections import FrameSection
from bulbcast.plan.sections import DefaultTaken
from bulbcast.quantities import Shown

_PRACTICE = "common practice, no source"
_GATING = f"{_PRACTICE}; the gating says more"


def frame_of(
    section: FrameSection,
    outline: PatternOutline,
    *,
    plane: Plane,
    mass: float,
    prints: tuple[float, float],
    print_span: tuple[float, float] | None,
    pattern_volume: float,
    shown: Shown,
    sprue_diameter: float | None = None,
    vent_diameter: float | None = None,
) -> tuple[MouldFrame, tuple[DefaultTaken, ...]]:
    """The frame of a plan.

    Args:
        section: [frame] of the plan.
        outline: Of the pattern.
        plane: Where it parts.
        mass: Of the casting. [kg]
        prints: How far core prints stand out above the crown and below the underside. [m]
        print_span: Where a print takes the crown; None for nowhere. [m]
        pattern_volume: [m3]
        shown: The builder's units.
        sprue_diameter: From the gating, where it has been computed. [m]
        vent_diameter: Likewise. [m]

    Returns:
        The frame, and the defaults that were settled on the way. What the plan itself gives comes first, the
        gating next.
    """
    taken: list[DefaultTaken] = []

    def settled(key: str, given: float | None, value: float, source: str) -> float:
        if given is not None:
            return given
        taken.append(DefaultTaken(key=f"frame.{key}", value=shown.length(value), source=source))
        return value

    wall = settled("wall", section.wall, wall_for(mass), f"30 mm, 75 mm from 40 kg up; {_PRACTICE}")
    floor = settled(
        "floor", section.floor, FLOOR_OVER_WALL * wall, f"a quarter more than the wall; {_PRACTICE}"
    )
    length = outline.length + 2.0 * wall
    board = settled(
        "board",
        section.board,
        board_for(length, printed=section.kind == "printed"),
        f"by the frame's length; {_PRACTICE}",
    )
    key = settled("key_diameter", section.key_diameter, key_for(wall), f"10 to 20 mm; {_PRACTICE}")
    sprue = settled(
        "sprue_diameter",
        section.sprue_diameter,
        sprue_for(mass) if sprue_diameter is None else sprue_diameter,
        f"15 to 25 mm on models, about 55 mm at 80 kg; {_GATING}" if sprue_diameter is None else "the gating",
    )
    vent = settled(
        "vent_diameter",
        section.vent_diameter,
        vent_for(mass) if vent_diameter is None else vent_diameter,
        f"3 to 6 mm on models, 12 mm at 80 kg; {_GATING}" if vent_diameter is None else "the gating",
    )
    place = settled(
        "sprue_at",
        section.sprue_at,
        sprue_place(outline, print_span, sprue),
        f"over the largest section, clear of a core print; {_GATING}",
    )
    frame = mould_frame(
        outline,
        plane=plane,
        kind=section.kind,
        wall=wall,
        floor=floor,
        board=board,
        key_diameter=key,
        prints=prints,
        print_span=print_span,
        sprue_diameter=sprue,
        sprue_at=place,
        vent_diameter=vent,
        pattern_volume=pattern_volume,
    )
    return frame, tuple(taken)
