"""The frame round a half pattern, in which its half of the mould is made: sizes, boards, keys and formers.

The frame has its own directions: along the bulb's axis, across it in the parting plane, and depth along the pull. The
direction in which the formers rise depends on how the mould is poured (`formers.py`).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from bulbcast.foundry.mould.design import key_across
from bulbcast.pattern.outline import PatternOutline
from bulbcast.pattern_shop.frame.formers import (
    NONE_OPEN,
    NONE_OTHERWISE,
    PRACTICE,
    Former,
    FramedPattern,
    Rise,
    Way,
    former_of,
    gated_ways,
    rise_of,
    usual_ways,
)
from bulbcast.pattern_shop.pieces.joints import Plane
from bulbcast.plan.pattern_sections import FrameSection
from bulbcast.plan.sections import DefaultTaken
from bulbcast.quantities import Shown
from bulbcast.quantities.frozen import frozen

if TYPE_CHECKING:
    # The foundry is loaded only where a plan has it.
    from bulbcast.foundry.gating.parts import Gating
    from bulbcast.foundry.mould.design import MouldDesign

# Common practice, no source: 25 to 40 mm of plaster on models, 75 to 100 mm and mesh from 40 kg up.
WALL_MODEL, WALL_SMALL_CRAFT, SMALL_CRAFT_FROM = 0.030, 0.075, 40.0
FLOOR_OVER_WALL = 1.25
_LEDGE = 0.020
_KEY_HEIGHT = 0.4

_MOULD = "the mould"


@dataclass(frozen=True, slots=True)
class Board:
    """Boards of one size.

    Attributes:
        name: Part of the frame that the boards are for.
        count: Number of boards. [-]
        length: Length. [m]
        width: Width. [m]
        thickness: Thickness. [m]
    """

    name: str
    count: int
    length: float
    width: float
    thickness: float


@frozen
class MouldFrame:
    """The mould frame, with its keys and formers.

    Attributes:
        kind: "boards" or "printed".
        plane: Parting plane of the mould and the pattern.
        wall: Thickness of mould material round the pattern. [m]
        floor: Thickness of mould material above and below the pattern, in the direction of pull. [m]
        along: x at both ends of the inside of the frame, bulb axes. [m]
        across: Positions of both sides of the inside of the frame, in the parting plane. [m]
        depths: Inside depths of the first and the second half. [m]
        board: Thickness of boards or of the printed ring. [m]
        boards: Cut list; empty for a printed frame.
        key_diameter: Diameter of a key. [m]
        key_height: Height of a key. [m]
        keys: Centre of each key in the parting plane, given as the positions along and across. [m]
        formers: Sprue first, then a feeder if the gating has one, then vents from the nose. Empty if the gating is for
            open halves, or for a mould that parts in a different plane from the pattern.
        mould_volume: Volume of both halves of the mould together, less pattern and formers. [m3]
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
        """Inside length and width of the frame. [m]"""
        return self.along[1] - self.along[0], self.across[1] - self.across[0]

    @property
    def outside(self) -> tuple[float, float]:
        """Outside length and width of the frame. [m]"""
        length, width = self.inside
        return length + 2.0 * self.board, width + 2.0 * self.board


def wall_for(mass: float) -> float:
    """Thickness of the mould round the pattern: 30 mm for models, or 75 mm from 40 kg up. [m]

    Args:
        mass: Mass of the casting. [kg]
    """
    return WALL_SMALL_CRAFT if mass >= SMALL_CRAFT_FROM else WALL_MODEL


def board_for(length: float, *, printed: bool) -> float:
    """Thickness of a frame: 12 mm for boards, or 18 mm if the length is 0.5 m or more; 4 mm for a printed ring, or 6 mm
    if the length is 0.2 m or more. [m]

    Args:
        length: Inside length. [m]
        printed: Whether it is printed rather than made of boards.
    """
    if printed:
        return 0.006 if length >= 0.2 else 0.004
    return 0.018 if length >= 0.5 else 0.012


class _Settled:
    """Keys of a section, each with the plan's figure, or else with a default that is recorded with its source."""

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
    """The frame for a plan, based on the plan's figures first, then on the mould and gating, and then on defaults.

    Args:
        section: [frame] of the plan.
        pattern: The pattern in the frame.
        shown: The builder's units.
        mould: The mould, if the plan gives one; its walls, floor and cover are the margins.
        gating: The gating of that mould, which gives sprue, feeder and vents.

    Returns:
        The frame, with positions in bulb axes, and the defaults that were chosen.
    """
    settled, outline, plane = _Settled(section, shown), pattern.outline, pattern.plane
    rise = None if mould is None else rise_of(mould, plane)
    # Whether metal rises along the pull, or in the parting plane.
    in_pull = rise == ("starboard" if plane == "vertical" else "crown")
    room = ends = None
    if mould is None:
        wall = settled("wall", wall_for(pattern.mass), f"30 mm, or 75 mm from 40 kg up; {PRACTICE}")
        floor = settled("floor", FLOOR_OVER_WALL * wall, f"a quarter more than the wall; {PRACTICE}")
    else:
        margins = mould.margins
        wall = settled("wall", margins.sides, _MOULD)
        ends = margins.ends if section.wall is None else wall
        # The mould's floor and cover are along the pull, or its sides if its parting plane is vertical in use.
        floor = settled("floor", margins.below if in_pull else margins.sides, _MOULD)
        if rise is not None:
            own = section.floor if in_pull else section.wall
            room = (margins.below, margins.above) if own is None else (own, own)
    usual = board_for(outline.length + 2.0 * wall, printed=section.kind == "printed")
    thick = settled("board", usual, f"depends on the frame's length; {PRACTICE}")
    key = settled("key_diameter", key_across(wall), f"10 to 20 mm; {PRACTICE}")
    ways: tuple[Way, ...] = ()
    if gating is None or mould is None:
        ways = usual_ways(pattern, settled)
    elif rise is not None:
        ways = gated_ways(pattern, gating, settled)
    else:
        settled.note("sprue_at", "none", NONE_OPEN if mould.kind == "open-halves" else NONE_OTHERWISE)
    inside = _inside(pattern, (wall if ends is None else ends, wall, floor), rise, room)
    along, across, depths = inside.along, inside.across, inside.depths
    length, width, edge = along[1] - along[0], across[1] - across[0], 0.5 * wall
    upwards: Rise = rise or "crown"
    formers = tuple(former_of(way, outline, upwards, inside.top(upwards, plane)) for way in ways)
    passages = sum(_passage(one, outline) for one in formers)
    past = edge if ends is None else 0.5 * ends
    two, single = along[0] + past, along[1] - past
    if rise == "tail":
        # The single key is at the end that is down, clear of the feeder.
        two, single = single, two
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
            (two, across[0] + edge),
            (two, across[1] - edge),
            # Off centre, so that the halves fit only one way.
            (single, across[1] - edge - 0.25 * (width - wall)),
        ),
        formers=formers,
        mould_volume=length * width * sum(depths) - pattern.volume - passages,
    )
    return frame, tuple(settled.taken)


@frozen
class _Inside:
    """Inside of the frame: `along`, `across` and `depths` of `MouldFrame`."""

    along: tuple[float, float]
    across: tuple[float, float]
    depths: tuple[float, float]

    def top(self, rise: Rise, plane: Plane) -> float:
        """Height of the outside of the mould in the direction in which the metal rises. [m]"""
        if rise in ("nose", "tail"):
            return -self.along[0] if rise == "nose" else self.along[1]
        return self.depths[0] if rise == ("starboard" if plane == "vertical" else "crown") else self.across[1]


def _inside(
    pattern: FramedPattern,
    thick: tuple[float, float, float],
    rise: Rise | None,
    room: tuple[float, float] | None,
) -> _Inside:
    """Inside of the frame: the pattern with walls and floors round it. Below and above the pattern, in the direction of
    the rising metal, `room` is used if it is given."""
    outline = pattern.outline
    beyond, wall, floor = thick
    wide, high = float(outline.half_width.max()), float(outline.half_height.max())
    side, pull = (wall, floor) if pattern.plane != "vertical" else (floor, wall)
    # Forward and aft, to port and starboard, down and up.
    ends, sides, levels = (beyond, beyond), (side, side), (pull, pull)
    if room is not None:
        ends = (room[1], room[0]) if rise == "nose" else room if rise == "tail" else ends
        sides = room if rise == "starboard" else sides
        levels = room if rise == "crown" else levels
    port, starboard = -wide - sides[0], wide + sides[1]
    under, over = -high - pattern.below - levels[0], high + pattern.above + levels[1]
    along = (outline.nose - ends[0], outline.tail + ends[1])
    if pattern.plane == "vertical":
        return _Inside(along=along, across=(under, over), depths=(starboard, -port))
    return _Inside(along=along, across=(port, starboard), depths=(over, -under))


def _passage(one: Former, outline: PatternOutline) -> float:
    """Volume of the mould that a former occupies, without the part of a feeder's foot that is inside the pattern. [m3]"""
    length = one.length
    if one.kind == "feeder" and one.rise in ("crown", "starboard"):
        skin = outline.halves(one.x)[0 if one.rise == "starboard" else 1]
        length -= max(skin - (one.y if one.rise == "starboard" else one.z), 0.0)
    return (
        math.pi
        / 12.0
        * length
        * (one.foot_diameter**2 + one.foot_diameter * one.top_diameter + one.top_diameter**2)
    )


def _boards(length: float, width: float, depths: tuple[float, float], thick: float) -> tuple[Board, ...]:
    """Boards of the frame. The ends fit between the sides, and the moulding board extends beyond them all round."""
    names = ("first half", "second half") if abs(depths[0] - depths[1]) > 1e-9 else ("each half",)
    count, past = 4 // len(names), 2.0 * (thick + _LEDGE)
    rows = []
    for name, depth in zip(names, depths, strict=False):
        rows.append(Board(f"sides, {name}", count, length + 2.0 * thick, depth, thick))
        rows.append(Board(f"ends, {name}", count, width, depth, thick))
    return (*rows, Board("moulding board", 1, length + past, width + past, thick))
