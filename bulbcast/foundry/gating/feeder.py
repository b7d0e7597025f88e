"""Feeder: how the casting is fed, the width, height and position of the feeder, and the metal in it.

Gating, charge, simulation, former and drawings all use the same shape: a round column from the bulb's skin up to the
metal's surface, slightly wider towards the top so that its former can be withdrawn.

Kept: an open column no wider than 0.6 times the bulb's width, kept liquid with a torch and topped up with hot metal
until the casting is frozen, as casters do. In the simulation such a feeder on a 44 mm bulb fills the casting to
99.95 %, and a feeder of 0.45 times the bulb's width closes at its neck (`cooling/keeping.py`).

Sleeved: in a sleeve of ceramic fibre, with its top covered. Its modulus is multiplied by 1.5, its top is ignored, and
it supplies 30 % of its metal (casting texts give 1.3 to 1.6 and 30 to 35 %; from memory). In measurements on steel, a
sleeve lengthens the time to solidus by 55 %, which corresponds to 1.24 times the modulus (R. A. Hardin, T. J. Williams,
C. Beckermann, 67th SFSA Technical and Operating Conference, paper 5.2, Chicago 2013). At the temperature of lead the
fibre conducts only a quarter as well (from memory), and simulations of lead in plaster from 0.5 to 140 kg leave at most
0.02 % of the casting empty (tests/benchmarks/bench_feeding.py).

Alone: open and bare, sized by the textbook rule, which makes it wider than the bulb under it.
"""

from __future__ import annotations

import math
from typing import Literal

import numpy as np

from bulbcast.foundry.cooling.setup import Cavity, standing_foot
from bulbcast.foundry.gating.formulas import SMALLEST_COVER, Riser, riser_modulus, riser_of
from bulbcast.quantities.frozen import frozen
from bulbcast.solids.quadrature import gauss

Way = Literal["kept", "sleeved", "alone"]

WIDEST_KEPT = 0.6
"""Diameter of a feeder that is kept liquid, divided by the width of the bulb there; see above. [-]"""
SLEEVED_MODULUS, SLEEVED_YIELD = 1.5, 0.30
"""Factor by which a sleeve and a covered top raise the modulus, and fraction of its metal that a sleeved feeder supplies;
see above."""
LOWEST_KEPT = 0.025
"""Minimum height of a feeder that is kept liquid. A lower one would give the metal no head; in a higher one, the
torch would not reach the neck. Compared with simulations of castings of 0.5 to 20 kg. [m]"""
TAPER = math.radians(2.0)
"""Draft of each side, so that the former can be withdrawn; common practice, no source. [rad]"""
REACH = 0.5
"""Maximum distance from the largest section to a feeder over the pocket, in bulb widths. Our judgement. [-]"""
SADDLE = 0.95
"""Ratio of the feeder's diameter to the bulb's width above which the feeder reaches no further down the sides. [-]"""


@frozen
class Feeder:
    """Feeder of a mould.

    Attributes:
        way: Feeding method.
        diameter: Diameter where it meets the bulb. [m]
        top_diameter: Diameter at the metal's surface. [m]
        height: Height above the highest point of the bulb. [m]
        foot: Distance below the bulb's highest point at which it meets the skin at its sides. [m]
        at: Distance of its axis from the nose; for a bulb on end, the position of the upper end. [m]
        over: Part of the bulb that it is over: "pocket", "hot spot" or "end".
        volume: Volume of metal in it, outside the casting. [m3]
        modulus: Volume divided by the area of the side and the open top, including the effect of any sleeve. [m]
        modulus_wanted: Required modulus, 1.2 times that of the casting. [m]
        volume_wanted: Volume required to supply enough metal to the casting; zero for a feeder that is topped up. [m3]
        diameter_wanted: Diameter required for the neck to stay open if the feeder is kept liquid; otherwise zero. [m]
        rule: Reason for its size: "width", "modulus", "feed", or "given".
    """

    way: Way
    diameter: float
    top_diameter: float
    height: float
    foot: float
    at: float
    over: Literal["pocket", "hot spot", "end"]
    volume: float
    modulus: float
    modulus_wanted: float
    volume_wanted: float
    diameter_wanted: float
    rule: Literal["width", "modulus", "feed", "given"]


@frozen
class Asked:
    """Requirements for a feeder.

    Attributes:
        skin: Skin of the cavity, oriented as it is poured.
        end: Upper end of a bulb on end; None if it is level.
        pocket: Range, measured from the nose, in which the pocket and the fin occupy the crown; None if they do not.
            [m]
        core: Range, measured from the nose, of a core in the crown; None without one. [m]
        thick_at: Position of the largest section, from the nose. [m]
        modulus: Modulus of the largest section. [m]
        volume: Volume of the cavity. [m3]
        cover: Thickness of mould material over the cavity. [m]
        feed: Fraction of the liquid volume lost on solidification. [-]
        diameter: Diameter given in the plan; None to follow the feeding method.
        height: Height given in the plan; None to follow the feeding method.
    """

    skin: Cavity
    end: Literal["nose", "tail"] | None
    pocket: tuple[float, float] | None
    core: tuple[float, float] | None
    thick_at: float
    modulus: float
    volume: float
    cover: float
    feed: float
    diameter: float | None = None
    height: float | None = None


def feeder_for(asked: Asked, way: Way) -> Feeder:
    """Design the feeder for a feeding method.

    Args:
        asked: Requirements for the feeder.
        way: Feeding method: kept liquid, sleeved, or left alone.

    Returns:
        Feeder for that method.

    Raises:
        GatingError: The metal shrinks by more than a feeder left alone can supply.
    """
    rule = _by_rule(asked, way)
    across = rule.diameter
    rule_name: Literal["width", "modulus", "feed", "given"] = rule.rule
    if way == "kept":
        # The minimum width depends on the bulb's width at the feeder, which depends on the feeder's own width, so start
        # at the top.
        across, rule_name = WIDEST_KEPT * _width(asked.skin, asked.thick_at), "width"
    if asked.diameter is not None:
        across, rule_name = asked.diameter, "given"
    at, over = _place(asked, across)
    if way == "kept" and asked.diameter is None and over != "end":
        across = WIDEST_KEPT * _width(asked.skin, at)
    height = rule.height if way != "kept" else max(LOWEST_KEPT, asked.cover)
    height = height if asked.height is None else asked.height
    foot = _foot_on_end(asked, across) if over == "end" else _foot(asked.skin, at, across)
    top = across + 2.0 * (height + foot) * math.tan(TAPER)
    own = riser_modulus(across, height) if way != "sleeved" else SLEEVED_MODULUS * 0.25 * across
    return Feeder(
        way=way,
        diameter=across,
        top_diameter=top,
        height=height,
        foot=foot,
        at=at,
        over=over,
        volume=_on_end(asked.skin, asked.end, across, top, height, foot)
        if over == "end"
        else _on_skin(asked.skin, at, across, height, foot),
        modulus=own,
        modulus_wanted=rule.modulus_wanted,
        volume_wanted=0.0 if way == "kept" else rule.volume_wanted,
        diameter_wanted=WIDEST_KEPT * _width(asked.skin, at) if way == "kept" and over != "end" else 0.0,
        rule=rule_name,
    )


def _by_rule(asked: Asked, way: Way) -> Riser:
    """Size of a feeder by the textbook rule. A sleeve reduces the modulus required of the bare column."""
    least = max(SMALLEST_COVER, asked.cover)
    if way != "sleeved":
        return riser_of(
            casting_modulus=asked.modulus,
            casting_volume=asked.volume,
            feed=asked.feed,
            least_height=least,
            height=asked.height,
        )
    wanted = 1.2 * asked.modulus
    volume = asked.feed * asked.volume / (SLEEVED_YIELD - asked.feed)
    across = 4.0 * wanted / SLEEVED_MODULUS
    tall = max(across, least, volume / (0.25 * math.pi * across**2)) if asked.height is None else asked.height
    return Riser(
        diameter=across,
        height=tall,
        volume=0.25 * math.pi * across**2 * tall,
        modulus=SLEEVED_MODULUS * 0.25 * across,
        modulus_wanted=wanted,
        volume_wanted=volume,
        rule="modulus",
    )


def _width(skin: Cavity, at: float) -> float:
    """Width or height of the bulb at a position, whichever is smaller. [m]"""
    across, up = skin.halves(np.array([at]))
    return 2.0 * float(min(across[0], up[0]))


def _place(asked: Asked, across: float) -> tuple[float, Literal["pocket", "hot spot", "end"]]:
    """Position over the pocket, where metal is cut away anyway, if the thickest part is within reach; otherwise over that
    part. [m]"""
    if asked.end is not None:
        return (0.0 if asked.end == "nose" else asked.skin.length), "end"
    hot, half = asked.thick_at, 0.5 * across
    if asked.core is not None and asked.core[0] - half < hot < asked.core[1] + half:
        # As near to it as a core allows, on the thicker side.
        beside = (asked.core[0] - half, asked.core[1] + half)
        return max(beside, key=lambda at: _width(asked.skin, at)), "hot spot"
    if asked.pocket is None or asked.pocket[1] - asked.pocket[0] < across:
        return hot, "hot spot"
    at = min(max(hot, asked.pocket[0] + half), asked.pocket[1] - half)
    near = abs(at - hot) <= REACH * _width(asked.skin, hot)
    return (at, "pocket") if near else (hot, "hot spot")


def _foot(skin: Cavity, at: float, across: float) -> float:
    """Distance below the highest point of a level bulb at which the sides of the column meet it. [m]"""
    wide, high = skin.halves(np.array([at]))
    share = min(0.5 * across / float(wide[0]), SADDLE)
    return max(skin.up) - float(high[0]) * math.sqrt(1.0 - share**2)


def _on_skin(skin: Cavity, at: float, across: float, height: float, foot: float) -> float:
    """Volume of metal inside the column, above the skin of a level bulb. [m3]"""
    top = max(skin.up) + height
    low = max(skin.up) - foot
    inner, outer = 0.5 * across, 0.5 * across + (height + foot) * math.tan(TAPER)
    angle = math.pi * (np.arange(24) + 0.5) / 24.0
    total = 0.0
    for start, end in ((0.0, inner), (inner, outer)):
        nodes, weights = gauss(16)
        radius = start + (end - start) * nodes
        x = at + radius[:, None] * np.cos(angle)
        y = radius[:, None] * np.sin(angle)
        wide, high = skin.halves(x)
        with np.errstate(divide="ignore", invalid="ignore"):
            up = high * np.sqrt(np.maximum(1.0 - np.where(wide > 0.0, y / wide, np.inf) ** 2, 0.0))
        begins = low + np.maximum(radius - inner, 0.0) / math.tan(TAPER)
        tall = np.maximum(top - np.maximum(up, begins[:, None]), 0.0)
        # Half of the column is enough, as it is the same on both sides of the axis.
        total += float(np.sum(weights * radius * (2.0 * math.pi / 24.0) * np.sum(tall, axis=1))) * (
            end - start
        )
    return total


def _foot_on_end(asked: Asked, across: float) -> float:
    """Distance that the feeder reaches down from the upper end of a bulb cast on end. [m]"""
    return standing_foot(asked.skin, across, nose_up=asked.end == "nose")


def under_saw(skin: Cavity, end: Literal["nose", "tail"] | None, feeder: Feeder) -> float:
    """Calculate the feeder metal left on the casting after sawing level with the casting's highest point.

    Args:
        skin: Skin of the cavity, oriented as it is poured.
        end: Upper end of a bulb on end; None if it is level.
        feeder: Feeder on the casting.

    Returns:
        Volume between the skin and that level, inside the column. [m3]
    """
    if end is None:
        return _on_skin(skin, feeder.at, feeder.diameter, 0.0, feeder.foot)
    top = feeder.diameter + 2.0 * feeder.foot * math.tan(TAPER)
    return _on_end(skin, end, feeder.diameter, top, 0.0, feeder.foot)


def _on_end(
    skin: Cavity, end: Literal["nose", "tail"] | None, across: float, top: float, height: float, foot: float
) -> float:
    """Volume of metal that is inside the column and outside the skin, for a bulb cast on end. [m3]"""
    tall = height + foot
    column = math.pi * tall / 12.0 * (across**2 + across * top + top**2)
    nodes, weights = gauss(32)
    down = foot * nodes
    wide, high = skin.halves(down if end == "nose" else skin.length - down)
    inside = np.minimum(wide * high, (0.5 * across) ** 2)
    return column - math.pi * foot * float(np.sum(weights * inside))
