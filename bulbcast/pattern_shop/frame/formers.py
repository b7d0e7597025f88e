"""Formers for the sprue, feeder and vents in the frame: their positions, diameters and directions of rise.

Formers rise in the direction in which the metal rises during the pour: from the crown, from the starboard side of a bulb
on its side, or from the end that is up. The foot of a former on the pattern extends down to the skin all round, and the
pattern itself is cut out of it, so that no flat face overhangs the pattern and traps plaster. The feeder of a mould on
end keeps the foot given by the gating, because the parting plane of its mould is vertical and no plaster is poured
under it.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

import numpy as np

from bulbcast.foundry.gating.feeder import TAPER
from bulbcast.pattern.outline import PatternOutline
from bulbcast.pattern_shop.pieces.joints import Plane
from bulbcast.quantities.frozen import frozen

if TYPE_CHECKING:
    # The foundry is loaded only where a plan has it.
    from bulbcast.foundry.gating.parts import Gating
    from bulbcast.foundry.mould.design import MouldDesign

# Pour holes of 15 to 25 mm on models and 45 to 57 mm at 80 kg, vents of 3 to 6 and of 12 mm (common practice, no source):
# both are proportional to the cube root of the mass, by these factors. [m/kg^(1/3)]
_SPRUE, _VENT = 0.0135, 0.0030
_SMALLEST_SPRUE, _SMALLEST_VENT = 0.012, 0.003
SPRUE_TAPER, VENT_TAPER = math.radians(5.0), math.radians(2.0)

PRACTICE = "common practice, no source"
_GATING = f"{PRACTICE}; the gating from a [mould] section gives better figures"
_FROM = "the gating"
NONE_OPEN = "an open half is poured from above and needs no former"
NONE_OTHERWISE = "the parting planes of the pattern and the mould differ: set parting.plane or mould.split"

Kind = Literal["sprue", "feeder", "vent"]
Rise = Literal["crown", "starboard", "nose", "tail"]
"""Direction in which a former rises from the pattern: upwards, to starboard, forward or aft, in bulb axes."""


@frozen
class Former:
    """A tapered peg that forms a passage in the mould and is withdrawn in the direction in which it rises.

    Attributes:
        kind: "sprue", "feeder" or "vent".
        x: x of the centre of its foot, bulb axes. [m]
        y: y of the centre of its foot, bulb axes. [m]
        z: z of the centre of its foot, bulb axes. [m]
        length: Length from its foot, which meets the pattern or the parting, to the outside of the mould. A feeder's
            foot is where its sides meet the skin, lower than the skin on its axis. [m]
        foot_diameter: Diameter at the foot. [m]
        top_diameter: Diameter at the top. [m]
        rise: Direction in which it rises from the foot.
        beside: Whether it is on the parting next to the pattern, with a gate cut from its foot.
    """

    kind: Kind
    x: float
    z: float
    length: float
    foot_diameter: float
    top_diameter: float
    y: float = 0.0
    rise: Rise = "crown"
    beside: bool = False


@dataclass(frozen=True, slots=True)
class Way:
    """A passage for metal or air, with its position and size.

    Attributes:
        kind: "sprue", "feeder" or "vent".
        x: x of its axis, bulb axes. [m]
        diameter: Diameter at its foot. [m]
        taper: Upward taper of each side. [rad]
        beside: Whether its foot is on the parting next to the pattern.
        foot: Depth below the pattern's highest point at which a feeder's sides meet it. [m]
    """

    kind: Kind
    x: float
    diameter: float
    taper: float
    beside: bool = False
    foot: float = 0.0


@frozen
class FramedPattern:
    """The pattern's outline, parting, mass and core prints, on which a frame depends.

    Attributes:
        outline: Outline of the pattern.
        plane: Parting plane; a pattern in one piece is bedded in to half its depth, as if its parting plane were
            horizontal.
        volume: Volume of the pattern. [m3]
        mass: Mass of the casting. [kg]
        above: Height of core prints above the crown. [m]
        below: Depth of core prints below the underside. [m]
        print_span: Start and end of the part of the crown occupied by a print; None if there is no print. [m]
    """

    outline: PatternOutline
    plane: Plane
    volume: float
    mass: float
    above: float = 0.0
    below: float = 0.0
    print_span: tuple[float, float] | None = None


def rise_of(mould: MouldDesign, plane: Plane) -> Rise | None:
    """Side of the pattern that is up when the mould is poured.

    Args:
        mould: The mould.
        plane: Parting plane of the pattern.

    Returns:
        The direction; None for an open half, or if the pattern parts in a different plane from the mould.
    """
    if mould.kind != "closed" or (mould.split == "upper-lower") == (plane == "vertical"):
        return None
    if mould.bulb_axis == "upright":
        return "nose" if mould.orientation == "nose-up" else "tail"
    return "crown" if (mould.split == "upper-lower") == (mould.parting == "horizontal") else "starboard"


def sprue_for(mass: float) -> float:
    """Diameter of a sprue at the pattern, for a plan without gating. [m]

    Args:
        mass: Mass of the casting. [kg]
    """
    return max(_SPRUE * math.cbrt(mass), _SMALLEST_SPRUE)


def vent_for(mass: float) -> float:
    """Diameter of a vent, for a plan without gating. [m]

    Args:
        mass: Mass of the casting. [kg]
    """
    return max(_VENT * math.cbrt(mass), _SMALLEST_VENT)


def sprue_place(outline: PatternOutline, taken: tuple[float, float] | None, diameter: float) -> float:
    """Position of the sprue, which is over the largest section, or forward or aft of a core print if one is there.

    Args:
        outline: Outline of the pattern.
        taken: Start and end of the part of the crown occupied by a core print; None if there is no print. [m]
        diameter: Diameter of the sprue. [m]
    """
    wanted = outline.widest_at
    if taken is None or not taken[0] - diameter < wanted < taken[1] + diameter:
        return wanted
    forward, aft = taken[0] - diameter, taken[1] + diameter
    high = (outline.halves(forward)[1], outline.halves(aft)[1])
    return forward if high[0] >= high[1] else aft


Settled = Callable[[str, float, str], float]
"""Function that takes the name of a key of [frame], its default and the source of the default, and returns the plan's
figure, or else the default."""


def usual_ways(pattern: FramedPattern, settled: Settled) -> tuple[Way, ...]:
    """A sprue and two vents sized by mass, for a plan without gating.

    Args:
        pattern: The pattern in the frame.
        settled: Function that gives the plan's figure, or else the default.
    """
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


def gated_ways(pattern: FramedPattern, gating: Gating, settled: Settled) -> tuple[Way, ...]:
    """Sprue, feeder and vents of the gating. A mould on end has only one of these, on its upper end: its feeder, or
    else a sprue.

    Args:
        pattern: The pattern in the frame.
        gating: Gating of its closed mould.
        settled: Function that gives the plan's figure, or else the default.
    """
    sprue, feeder, nose = gating.sprue, gating.feeder, pattern.outline.nose
    column: tuple[Way, ...] = ()
    if feeder is not None:
        column = (Way("feeder", feeder.at + nose, feeder.diameter, TAPER, foot=feeder.foot),)
    if sprue is None:
        if column or gating.choke is None:
            return column
        end = pattern.outline.nose if gating.cavity.high_end == "nose" else pattern.outline.tail
        return (Way("sprue", end, settled("sprue_diameter", gating.choke.diameter, _FROM), SPRUE_TAPER),)
    across = settled("sprue_diameter", sprue.foot_diameter, _FROM)
    at = settled("sprue_at", gating.sprue_at + nose, _FROM)
    vent = settled("vent_diameter", gating.vents[0].diameter, _FROM)
    opens = math.atan(0.5 * (sprue.top_diameter - sprue.foot_diameter) / sprue.height)
    return (
        # The metal enters at the parting, next to the bulb, if the parting plane is horizontal, and at the top if it is
        # vertical.
        Way("sprue", at, across, opens, beside=gating.cavity.level_parting),
        *column,
        *(Way("vent", one.at + nose, vent, VENT_TAPER) for one in gating.vents),
    )


def former_of(way: Way, outline: PatternOutline, rise: Rise, top: float) -> Former:
    """The former for one passage.

    Args:
        way: The passage.
        outline: Outline of the pattern.
        rise: Direction in which it rises.
        top: Height of the outside of the mould, in bulb axes, in the direction of rise. [m]
    """
    wide, high = outline.halves(way.x)
    up, aside = (wide, high) if rise == "starboard" else (high, wide)
    place = [way.x, 0.0, 0.0]
    if rise in ("nose", "tail"):
        foot = (-outline.nose if rise == "nose" else outline.tail) - way.foot
        place[0] = -foot if rise == "nose" else foot
    else:
        most = float((outline.half_width if rise == "starboard" else outline.half_height).max())
        # A feeder's sides meet the skin lower down, where it is as wide as the gating makes it.
        foot = 0.0 if way.beside else most - way.foot if way.kind == "feeder" else up
        axis, other = (1, 2) if rise == "starboard" else (2, 1)
        place[axis] = foot
        if way.beside:
            # Half a choke is left between its foot and the pattern, so that a gate can be cut there: to starboard, or on
            # the underside, clear of the pocket.
            place[other] = (1.0 if rise == "crown" else -1.0) * (aside + way.diameter)
    return Former(
        kind=way.kind,
        x=place[0],
        y=place[1],
        z=place[2],
        length=top - foot,
        foot_diameter=way.diameter,
        top_diameter=way.diameter + 2.0 * (top - foot) * math.tan(way.taper),
        rise=rise,
        beside=way.beside,
    )


def sunk(one: Former, outline: PatternOutline) -> float:
    """Depth to which the pattern's skin falls away below a former's foot, within the circle of the foot. It is zero for
    a former next to the pattern, and for a feeder at the nose or tail. [m]

    Args:
        one: The former.
        outline: Outline of the pattern.
    """
    radius = 0.5 * one.foot_diameter
    if one.beside or (one.kind == "feeder" and one.rise in ("nose", "tail")):
        return 0.0
    if one.rise in ("nose", "tail"):
        least = np.minimum(outline.half_width, outline.half_height)
        covers = outline.x[least >= radius]
        end = one.x
        if not len(covers):
            return abs(outline.widest_at - end)
        return abs(float(covers[0] if one.rise == "nose" else covers[-1]) - end)
    angle = 2.0 * math.pi * np.arange(48) / 48.0
    x, across = one.x + radius * np.cos(angle), radius * np.sin(angle)
    wide = np.interp(x, outline.x, outline.half_width, left=0.0, right=0.0)
    high = np.interp(x, outline.x, outline.half_height, left=0.0, right=0.0)
    aside, up = (high, wide) if one.rise == "starboard" else (wide, high)
    with np.errstate(divide="ignore", invalid="ignore"):
        share = np.where(aside > 0.0, across / aside, 1.0)
    skin = up * np.sqrt(np.maximum(1.0 - share**2, 0.0))
    return max((one.y if one.rise == "starboard" else one.z) - float(skin.min()), 0.0)


def _vent_place(outline: PatternOutline, diameter: float, *, aft: bool) -> float:
    """Position of a vent near the nose or tail, at least a twelfth of the length from the end, where the crown is at
    least as high as the vent is wide."""
    tall = outline.x[outline.half_height >= diameter]
    twelfth = outline.length / 12.0
    if not len(tall):
        return outline.tail - twelfth if aft else outline.nose + twelfth
    if aft:
        return min(float(tall[-1]), outline.tail - twelfth)
    return max(float(tall[0]), outline.nose + twelfth)
