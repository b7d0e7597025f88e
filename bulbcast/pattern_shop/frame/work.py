"""The [frame] section turned into a mould frame, its defaults settled and told."""

from __future__ import annotations

import math
from collections.abc import Callable

from bulbcast.foundry.gating.design import Gating
from bulbcast.foundry.mould.design import MouldDesign
from bulbcast.pattern.outline import PatternOutline
from bulbcast.pattern_shop.frame.frame import (
    FLOOR_OVER_WALL,
    VENT_TAPER,
    MouldFrame,
    Way,
    board_for,
    key_for,
    mould_frame,
    sprue_for,
    sprue_place,
    vent_for,
    wall_for,
)
from bulbcast.pattern_shop.pieces.joints import Plane
from bulbcast.plan.pattern_sections import FrameSection
from bulbcast.plan.sections import DefaultTaken
from bulbcast.quantities import Shown

_PRACTICE = "common practice, no source"
_GATING = f"{_PRACTICE}; the gating of a [mould] says more"
_MOULD, _FROM = "the mould", "the gating"
_NONE = "the gating: this mould is not poured through the crown, so that no former stands on it"


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
    mould: MouldDesign | None = None,
    gating: Gating | None = None,
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
        mould: Where the plan gives one: walls, floor and cover are its margins.
        gating: Of that mould: sprue, riser and vents are its.

    Returns:
        The frame, and the defaults that were settled on the way. What the plan itself gives comes first, mould
        and gating next.
    """
    taken: list[DefaultTaken] = []

    def settled(key: str, given: float | None, value: float, source: str) -> float:
        if given is not None:
            return given
        taken.append(DefaultTaken(key=f"frame.{key}", value=shown.length(value), source=source))
        return value

    if mould is None:
        wall = settled("wall", section.wall, wall_for(mass), f"30 mm, 75 mm from 40 kg up; {_PRACTICE}")
        floor = settled(
            "floor", section.floor, FLOOR_OVER_WALL * wall, f"a quarter more than the wall; {_PRACTICE}"
        )
    else:
        margins = mould.margins
        wall = settled("wall", section.wall, margins.sides, _MOULD)
        # Along the pull lie the mould's floor and cover, or its sides where it is parted upright in use.
        pull = margins.below if _upwards(mould, plane) and plane != "vertical" else margins.sides
        floor = settled("floor", section.floor, pull, _MOULD)
    length = outline.length + 2.0 * wall
    board = settled(
        "board",
        section.board,
        board_for(length, printed=section.kind == "printed"),
        f"by the frame's length; {_PRACTICE}",
    )
    key = settled("key_diameter", section.key_diameter, key_for(wall), f"10 to 20 mm; {_PRACTICE}")
    room = None
    if mould is not None and _upwards(mould, plane):
        own = section.wall if plane == "vertical" else section.floor
        room = (mould.margins.below, mould.margins.above) if own is None else (own, own)
    ways: tuple[Way, ...] | None = None
    sprue, vent, place = 0.0, 0.0, None
    if gating is not None and mould is not None:
        ways = ()
        if _upwards(mould, plane):
            ways = _ways(section, outline, gating, plane, print_span, settled)
        else:
            taken.append(DefaultTaken(key="frame.sprue_at", value="none", source=_NONE))
    else:
        sprue = settled(
            "sprue_diameter",
            section.sprue_diameter,
            sprue_for(mass),
            f"15 to 25 mm on models, about 55 mm at 80 kg; {_GATING}",
        )
        vent = settled(
            "vent_diameter",
            section.vent_diameter,
            vent_for(mass),
            f"3 to 6 mm on models, 12 mm at 80 kg; {_GATING}",
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
        ways=ways,
        room=room,
    )
    return frame, tuple(taken)


def _upwards(mould: MouldDesign, plane: Plane) -> bool:
    """Whether the mould is closed and is poured with the crown up, parted as the pattern is."""
    if mould.kind != "closed" or mould.bulb_axis != "level":
        return False
    if mould.split == "upper-lower":
        return mould.parting == "horizontal" and plane != "vertical"
    return mould.parting == "vertical" and plane == "vertical"


def _ways(
    section: FrameSection,
    outline: PatternOutline,
    gating: Gating,
    plane: Plane,
    print_span: tuple[float, float] | None,
    settled: Callable[[str, float | None, float, str], float],
) -> tuple[Way, ...]:
    """Sprue, riser and vents of the gating, the plan's own keys first."""
    sprue, riser = gating.sprue, gating.riser
    if sprue is None or riser is None:
        raise ValueError("a closed mould that lies level has a sprue and a riser")
    across = settled("sprue_diameter", section.sprue_diameter, sprue.foot_diameter, _FROM)
    at = settled("sprue_at", section.sprue_at, gating.sprue_at + outline.nose, _FROM)
    vent = settled("vent_diameter", section.vent_diameter, gating.vents[0].diameter, _FROM)
    thick = gating.cavity.thick_at + outline.nose
    half = 0.5 * riser.diameter
    if print_span is not None and print_span[0] - half < thick < print_span[1] + half:
        # A core print stands there: as near to it as the riser has room.
        thick = sprue_place(outline, print_span, half)
    opens = math.atan(0.5 * (sprue.top_diameter - sprue.foot_diameter) / sprue.height)
    return (
        # A mould parted level takes the metal at its parting, beside the bulb; one parted upright from the crown.
        Way(kind="sprue", x=at, diameter=across, taper=opens, beside=plane != "vertical"),
        Way(
            kind="riser",
            x=thick,
            diameter=riser.diameter,
            taper=VENT_TAPER,
        ),
        *(Way(kind="vent", x=one.at + outline.nose, diameter=vent, taper=VENT_TAPER) for one in gating.vents),
    )
