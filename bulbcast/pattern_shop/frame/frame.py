"""The frame round a half pattern while its half of the mould is made: sizes, boards, keys, formers.

In the frame's own directions: along the bulb's axis, across it in the parting plane, and deep along the pull. Sprue
and vents rise from the crown, upwards in the boat's sense, whichever way the pattern parts.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from bulbcast.foundry.gating.feeder import TAPER
from bulbcast.pattern.outline import PatternOutline
from bulbcast.pattern_shop.pieces.joints import Plane
from bulbcast.plan.pattern_sections import FrameSection
from bulbcast.plan.sections import DefaultTaken
from bulbcast.quantities import Shown
from bulbcast.quantities.frozen import frozen

if TYPE_CHECKING:
    # The foundry is loaded where a plan has it.
    from bulbcast.foundry.gating.parts import Gating
    from bulbcast.foundry.mould.design import MouldDesign

# Common practice, no source: 25 to 40 mm of plaster on models, 75 to 100 mm and mesh from 40 kg up.
WALL_MODEL, WALL_SMALL_CRAFT, SMALL_CRAFT_FROM = 0.030, 0.075, 40.0
FLOOR_OVER_WALL = 1.25
# Pour holes of 15 to 25 mm on models and 45 to 57 mm at 80 kg, vents of 3 to 6 and of 12 mm (common practice, no
# source): both go with the cube root of the mass through these. [m/kg^(1/3)]
_SPRUE, _VENT = 0.0135, 0.0030
_SMALLEST_SPRUE, _SMALLEST_VENT = 0.012, 0.003
SPRUE_TAPER, VENT_TAPER = math.radians(5.0), math.radians(2.0)
_LEDGE = 0.020
_KEY_HEIGHT = 0.4

_PRACTICE = "common practice, no source"
_GATING = f"{_PRACTICE}; the gating of a [mould] says more"
_MOULD, _FROM = "the mould", "the gating"
_NONE = "the gating: this mould is not poured through the crown, so that no former stands on it"


@dataclass(frozen=True, slots=True)
class Board:
    """Boards of one size.

    Attributes:
        name: What they are for.
        count: How many. [-]
        length: [m]
        width: [m]
        thickness: [m]
    """

    name: str
    count: int
    length: float
    width: float
    thickness: float


@frozen
class Former:
    """A tapered peg that leaves a passage in the mould, drawn upwards.

    Attributes:
        kind: "sprue", "feeder" or "vent".
        x: Of its axis, bulb axes. [m]
        y: Of its axis to starboard; above zero for a sprue beside the pattern, from whose foot a gate is cut. [m]
        foot_z: Where it meets the pattern's crown, or the parting beside it; a feeder's lies lower, where
            its sides meet the crown. [m]
        top_z: Where it ends, at the top of the mould. [m]
        foot_diameter: [m]
        top_diameter: [m]
    """

    kind: Literal["sprue", "feeder", "vent"]
    x: float
    foot_z: float
    top_z: float
    foot_diameter: float
    top_diameter: float
    y: float = 0.0

    @property
    def length(self) -> float:
        """[m]"""
        return self.top_z - self.foot_z


@dataclass(frozen=True, slots=True)
class Way:
    """A way of the metal or the air as the gating sizes it.

    Attributes:
        kind: "sprue", "feeder" or "vent".
        x: Of its axis, bulb axes. [m]
        diameter: At its foot. [m]
        taper: Of each side, upwards. [rad]
        beside: Whether its foot stands on the parting beside the pattern.
        foot: How far below the pattern's highest place a feeder's sides meet it. [m]
    """

    kind: Literal["sprue", "feeder", "vent"]
    x: float
    diameter: float
    taper: float
    beside: bool = False
    foot: float = 0.0


@frozen
class MouldFrame:
    """The frame and what stands in it.

    Attributes:
        kind: "boards" or "printed".
        plane: Where mould and pattern part.
        wall: Of mould material round the pattern. [m]
        floor: Above and below it, along the pull. [m]
        along: Inside, from x to x, bulb axes. [m]
        across: Inside, in the parting plane, from and to. [m]
        depths: Inside, of the first half and of the second. [m]
        board: Thickness of boards or of the printed ring. [m]
        boards: Cut list; empty for a printed frame.
        key_diameter: [m]
        key_height: [m]
        keys: Middle of each key in the parting plane: along, across. [m]
        formers: Sprue first, then a feeder where the gating sets one, then vents from the nose; none for a mould
            whose ways do not rise from the crown.
        mould_volume: Of both halves of the mould together, pattern and formers taken off. [m3]
    """

    kind: Literal["boards", "printed"]
    plane: Plane
    wall: float
    floor: float
    along: tuple[float, float]
    across: tuple[float, float]
    depths: tuple[float, float]
    board: float
    boards: tuple[Board, ...]
    key_diameter: float
    key_height: float
    keys: tuple[tuple[float, float], ...]
    formers: tuple[Former, ...]
    mould_volume: float

    @property
    def inside(self) -> tuple[float, float]:
        """Length and width inside. [m]"""
        return self.along[1] - self.along[0], self.across[1] - self.across[0]

    @property
    def outside(self) -> tuple[float, float]:
        """Length and width outside. [m]"""
        length, width = self.inside
        return length + 2.0 * self.board, width + 2.0 * self.board


def wall_for(mass: float) -> float:
    """Mould material round the pattern: 30 mm on models, 75 mm from 40 kg up. [m]

    Args:
        mass: Of the casting. [kg]
    """
    return WALL_SMALL_CRAFT if mass >= SMALL_CRAFT_FROM else WALL_MODEL


def sprue_for(mass: float) -> float:
    """Diameter of a sprue where it meets the pattern, until the gating says. [m]

    Args:
        mass: Of the casting. [kg]
    """
    return max(_SPRUE * math.cbrt(mass), _SMALLEST_SPRUE)


def vent_for(mass: float) -> float:
    """Diameter of a vent, until the gating says. [m]

    Args:
        mass: Of the casting. [kg]
    """
    return max(_VENT * math.cbrt(mass), _SMALLEST_VENT)


def key_for(wall: float) -> float:
    """Diameter of the mould's keys: a little under half of the wall, 10 to 20 mm. [m]

    Args:
        wall: Of mould material round the pattern. [m]
    """
    return min(max(0.45 * wall, 0.010), 0.020)


def board_for(length: float, *, printed: bool) -> float:
    """Thickness of a frame: boards of 12 mm, 18 mm from 0.5 m up; a printed ring of 4 mm, 6 mm from 0.2 m up.

    Args:
        length: Inside. [m]
        printed: Or of boards.
    """
    if printed:
        return 0.006 if length >= 0.2 else 0.004
    return 0.018 if length >= 0.5 else 0.012


def sprue_place(outline: PatternOutline, taken: tuple[float, float] | None, diameter: float) -> float:
    """Where the sprue stands: over the largest section, or forward or aft of a core print that stands there.

    Args:
        outline: Of the pattern.
        taken: From where to where a core print takes the crown; None for nowhere. [m]
        diameter: Of the sprue. [m]
    """
    wanted = outline.widest_at
    if taken is None or not taken[0] - diameter < wanted < taken[1] + diameter:
        return wanted
    forward, aft = taken[0] - diameter, taken[1] + diameter
    high = (outline.halves(forward)[1], outline.halves(aft)[1])
    return forward if high[0] >= high[1] else aft


@frozen
class FramedPattern:
    """What a frame has to know of its pattern.

    Attributes:
        outline: Of the pattern.
        plane: Where it parts; one that does not is bedded in to its middle, as if parted level.
        volume: Of the pattern. [m3]
        mass: Of the casting. [kg]
        above: How far core prints stand out above the crown. [m]
        below: Likewise below the underside. [m]
        print_span: Where a print takes the crown, from and to; None for nowhere. [m]
    """

    outline: PatternOutline
    plane: Plane
    volume: float
    mass: float
    above: float = 0.0
    below: float = 0.0
    print_span: tuple[float, float] | None = None


class _Settled:
    """The keys of a section: what the plan gives, or else a value that is noted with its source."""

    def __init__(self, section: FrameSection, shown: Shown) -> None:
        self.section, self.shown = section, shown
        self.taken: list[DefaultTaken] = []

    def __call__(self, key: str, value: float, source: str) -> float:
        given: float | None = getattr(self.section, key)
        if given is None:
            self.note(key, self.shown.length(value), source)
        return value if given is None else given

    def note(self, key: str, value: str, source: str) -> None:
        self.taken.append(DefaultTaken(key=f"frame.{key}", value=value, source=source))


def frame_of(
    section: FrameSection,
    pattern: FramedPattern,
    shown: Shown,
    mould: MouldDesign | None = None,
    gating: Gating | None = None,
) -> tuple[MouldFrame, tuple[DefaultTaken, ...]]:
    """The frame of a plan. What the plan itself gives comes first, mould and gating next.

    Args:
        section: [frame] of the plan.
        pattern: That stands in it.
        shown: The builder's units.
        mould: Where the plan gives one: walls, floor and cover are its margins.
        gating: Of that mould: sprue, feeder and vents are its.

    Returns:
        The frame, places in bulb axes, and the defaults that were settled on the way.
    """
    settled, outline, plane = _Settled(section, shown), pattern.outline, pattern.plane
    upwards = mould is not None and _upwards(mould, plane)
    room = None
    if mould is None:
        wall = settled("wall", wall_for(pattern.mass), f"30 mm, 75 mm from 40 kg up; {_PRACTICE}")
        floor = settled("floor", FLOOR_OVER_WALL * wall, f"a quarter more than the wall; {_PRACTICE}")
    else:
        margins = mould.margins
        wall = settled("wall", margins.sides, _MOULD)
        # Along the pull lie the mould's floor and cover, or its sides where it is parted upright in use.
        floor = settled("floor", margins.below if upwards and plane != "vertical" else margins.sides, _MOULD)
        if upwards:
            own = section.wall if plane == "vertical" else section.floor
            room = (margins.below, margins.above) if own is None else (own, own)
    usual = board_for(outline.length + 2.0 * wall, printed=section.kind == "printed")
    thick = settled("board", usual, f"by the frame's length; {_PRACTICE}")
    key = settled("key_diameter", key_for(wall), f"10 to 20 mm; {_PRACTICE}")
    if gating is None or mould is None:
        ways = _usual_ways(pattern, settled)
    elif upwards:
        ways = _gated_ways(pattern, gating, settled)
    else:
        ways = ()
        settled.note("sprue_at", "none", _NONE)

    wide, high = float(outline.half_width.max()), float(outline.half_height.max())
    along = (outline.nose - wall, outline.tail + wall)
    if plane == "vertical":
        under, over = (wall, wall) if room is None else room
        across = (-high - pattern.below - under, high + pattern.above + over)
        depths = (wide + floor, wide + floor)
        top = across[1]
    else:
        across = (-wide - wall, wide + wall)
        under, over = (floor, floor) if room is None else room
        depths = (high + pattern.above + over, high + pattern.below + under)
        top = depths[0]
    length, width, edge = along[1] - along[0], across[1] - across[0], 0.5 * wall
    formers = tuple(_former(way, outline, top) for way in ways)
    # What of a feeder's foot lies in the pattern is the pattern's already.
    passages = sum(
        math.pi
        / 12.0
        * (top - max(one.foot_z, outline.halves(one.x)[1] if one.kind == "feeder" else one.foot_z))
        * (one.foot_diameter**2 + one.foot_diameter * one.top_diameter + one.top_diameter**2)
        for one in formers
    )
    frame = MouldFrame(
        kind=section.kind,
        plane=plane,
        wall=wall,
        floor=floor,
        along=along,
        across=across,
        depths=depths,
        board=thick,
        boards=() if section.kind == "printed" else _boards(length, width, depths, thick),
        key_diameter=key,
        key_height=_KEY_HEIGHT * key,
        keys=(
            (along[0] + edge, across[0] + edge),
            (along[0] + edge, across[1] - edge),
            # Off the middle, so that the halves go together one way only.
            (along[1] - edge, across[0] + edge + 0.25 * (width - wall)),
        ),
        formers=formers,
        mould_volume=length * width * sum(depths) - pattern.volume - passages,
    )
    return frame, tuple(settled.taken)


def _upwards(mould: MouldDesign, plane: Plane) -> bool:
    """Whether the mould is closed and is poured with the crown up, parted as the pattern is."""
    if mould.kind != "closed" or mould.bulb_axis != "level":
        return False
    if mould.split == "upper-lower":
        return mould.parting == "horizontal" and plane != "vertical"
    return mould.parting == "vertical" and plane == "vertical"


def _usual_ways(pattern: FramedPattern, settled: _Settled) -> tuple[Way, ...]:
    """A sprue and two vents by mass, until a gating says more."""
    outline, mass = pattern.outline, pattern.mass
    says = f"15 to 25 mm on models, about 55 mm at 80 kg; {_GATING}"
    sprue = settled("sprue_diameter", sprue_for(mass), says)
    vent = settled("vent_diameter", vent_for(mass), f"3 to 6 mm on models, 12 mm at 80 kg; {_GATING}")
    best = sprue_place(outline, pattern.print_span, sprue)
    place = settled("sprue_at", best, f"over the largest section, clear of a core print; {_GATING}")
    ends = (_vent_place(outline, vent, aft=aft) for aft in (False, True))
    return (
        Way("sprue", place, sprue, SPRUE_TAPER),
        *(Way("vent", x, vent, VENT_TAPER) for x in ends),
    )


def _gated_ways(pattern: FramedPattern, gating: Gating, settled: _Settled) -> tuple[Way, ...]:
    """Sprue, feeder and vents of the gating, the plan's own keys first."""
    sprue, feeder, nose = gating.sprue, gating.feeder, pattern.outline.nose
    if sprue is None:
        raise ValueError("a closed mould that lies level has a sprue")
    across = settled("sprue_diameter", sprue.foot_diameter, _FROM)
    at = settled("sprue_at", gating.sprue_at + nose, _FROM)
    vent = settled("vent_diameter", gating.vents[0].diameter, _FROM)
    opens = math.atan(0.5 * (sprue.top_diameter - sprue.foot_diameter) / sprue.height)
    return (
        # A mould parted level takes the metal at its parting, beside the bulb; one parted upright from the crown.
        Way("sprue", at, across, opens, beside=pattern.plane != "vertical"),
        *(
            ()
            if feeder is None
            else (Way("feeder", feeder.at + nose, feeder.diameter, TAPER, foot=feeder.foot),)
        ),
        *(Way("vent", one.at + nose, vent, VENT_TAPER) for one in gating.vents),
    )


def _former(way: Way, outline: PatternOutline, top: float) -> Former:
    wide, foot = outline.halves(way.x)
    aside = 0.0
    if way.beside:
        # Half a choke is left between its foot and the pattern, for a gate to be cut there.
        aside, foot = wide + way.diameter, 0.0
    elif way.kind == "feeder":
        # Its sides meet the crown lower down: there it is as wide as the gating has it.
        foot = float(outline.half_height.max()) - way.foot
    return Former(
        kind=way.kind,
        x=way.x,
        y=aside,
        foot_z=foot,
        top_z=top,
        foot_diameter=way.diameter,
        top_diameter=way.diameter + 2.0 * (top - foot) * math.tan(way.taper),
    )


def _vent_place(outline: PatternOutline, diameter: float, *, aft: bool) -> float:
    """As near to nose or tail as the crown is as high as a vent is wide, a twelfth of the length at least."""
    tall = outline.x[outline.half_height >= diameter]
    twelfth = outline.length / 12.0
    if not len(tall):
        return outline.tail - twelfth if aft else outline.nose + twelfth
    if aft:
        return min(float(tall[-1]), outline.tail - twelfth)
    return max(float(tall[0]), outline.nose + twelfth)


def _boards(length: float, width: float, depths: tuple[float, float], thick: float) -> tuple[Board, ...]:
    """Ends stand between the sides; the moulding board reaches past them all round."""
    names = ("first half", "second half") if abs(depths[0] - depths[1]) > 1e-9 else ("each half",)
    count, past = 4 // len(names), 2.0 * (thick + _LEDGE)
    rows = []
    for name, depth in zip(names, depths, strict=False):
        rows.append(Board(f"sides, {name}", count, length + 2.0 * thick, depth, thick))
        rows.append(Board(f"ends, {name}", count, width, depth, thick))
    return (*rows, Board("moulding board", 1, length + past, width + past, thick))
