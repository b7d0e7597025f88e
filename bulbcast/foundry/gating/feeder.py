"""The feeder: by which way the casting is fed, how wide, how high, where, and what metal stands in it.

One shape for gating, charge, simulation, former and drawings: a round column, a little wider upwards so that its former
draws, from the bulb's own skin up to the metal's surface.

Kept: an open column no wider than 0.6 of the bulb, kept liquid with a torch and topped up with hot metal until the
casting is frozen: what casters do. The simulation finds that on a 44 mm bulb such a one feeds to 99.95 %, and one of 0.45
closes at its neck (`cooling/keeping.py`).

Sleeved: in a sleeve of ceramic fibre, its top covered. The modulus counts 1.5 times, its top not at all, and it gives 30 %
of its metal (casting texts have 1.3 to 1.6 and 30 to 35 %; from memory). Measured on steel, a sleeve lengthens the time to
solidus by 55 %, so 1.24 times the modulus (R. A. Hardin, T. J. Williams, C. Beckermann, 67th SFSA Technical and Operating
Conference, paper 5.2, Chicago 2013). At the heat of lead the fibre conducts a quarter as well (from memory), and lead in
plaster, simulated from 0.5 to 140 kg, keeps 0.02 % of the casting empty at the most (tests/benchmarks/bench_feeding.py).
Alone: open, bare, by the textbook's rule, which makes it wider than the bulb it stands on.
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
"""Diameter of a feeder that is kept liquid over the bulb's width where it stands; see above. [-]"""
SLEEVED_MODULUS, SLEEVED_YIELD = 1.5, 0.30
"""What a sleeve and a covered top make of the modulus, and the share of its metal that such a feeder gives; see above."""
LOWEST_KEPT = 0.025
"""Least height of a feeder that is kept liquid: lower the metal has no head, higher the torch does not reach its neck. Held
against the simulation on 0.5 to 20 kg. [m]"""
TAPER = math.radians(2.0)
"""Of each side, so that its former draws; common practice, no source. [rad]"""
REACH = 0.5
"""How far off the largest section the feeder may stand to come over the pocket, in widths of the bulb; judgement. [-]"""
SADDLE = 0.95
"""A feeder wider than this of the bulb stands no lower on its sides than one of this width. [-]"""


@frozen
class Feeder:
    """The feeder of a mould.

    Attributes:
        way: How it is fed from.
        diameter: Where it meets the bulb. [m]
        top_diameter: Diameter at the metal's surface. [m]
        height: Height over the highest place of the bulb. [m]
        foot: How far below that place it meets the skin, on its sides. [m]
        at: Distance of its axis from the nose; of a bulb on end the end that is up. [m]
        over: What it stands over: "pocket", "hot spot" or "end".
        volume: Volume of metal in it, outside the casting. [m3]
        modulus: Volume over side and open top; of a sleeved one with the sleeve's effect. [m]
        modulus_wanted: 1.2 times the casting's. [m]
        volume_wanted: Volume required by what it has to give up; zero for one that is topped up. [m3]
        diameter_wanted: Required diameter of one that is kept liquid, so that its neck stays open; else zero. [m]
        rule: What set its size: "width", "modulus", "feed", or "given".
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
    """What a feeder has to do.

    Attributes:
        skin: Skin of the cavity as it stands.
        end: The end that is up where it stands; None where it lies.
        pocket: Where pocket and fin take the crown, from the nose; None where they do not. [m]
        core: Where a core stands in the crown; None where none does. [m]
        thick_at: Place of the largest section, from the nose. [m]
        modulus: Modulus of the largest section. [m]
        volume: Volume of the cavity. [m3]
        cover: Thickness of mould material over it. [m]
        feed: Share of the liquid that is missing once it is solid. [-]
        diameter: Diameter as the plan gives it; None: by the way.
        height: Height, likewise.
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
    """The feeder for a way of feeding.

    Args:
        asked: What it has to do.
        way: Kept liquid, sleeved, or left alone.

    Returns:
        The feeder.

    Raises:
        GatingError: The metal shrinks by more than a feeder left alone can give.
    """
    rule = _by_rule(asked, way)
    across = rule.diameter
    rule_name: Literal["width", "modulus", "feed", "given"] = rule.rule
    if way == "kept":
        # The narrowest that feeds is asked of the width where it stands, and that of its own width: begin on the top.
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
    """By the textbook; a sleeve's effect is put into the modulus required of the bare column."""
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
    """The bulb's smaller width at a place. [m]"""
    across, up = skin.halves(np.array([at]))
    return 2.0 * float(min(across[0], up[0]))


def _place(asked: Asked, across: float) -> tuple[float, Literal["pocket", "hot spot", "end"]]:
    """Over the pocket, where metal is cut away anyway, if the thickest place is within reach; else on that. [m]"""
    if asked.end is not None:
        return (0.0 if asked.end == "nose" else asked.skin.length), "end"
    hot, half = asked.thick_at, 0.5 * across
    if asked.core is not None and asked.core[0] - half < hot < asked.core[1] + half:
        # As near to it as a core leaves room, on the thicker side.
        beside = (asked.core[0] - half, asked.core[1] + half)
        return max(beside, key=lambda at: _width(asked.skin, at)), "hot spot"
    if asked.pocket is None or asked.pocket[1] - asked.pocket[0] < across:
        return hot, "hot spot"
    at = min(max(hot, asked.pocket[0] + half), asked.pocket[1] - half)
    near = abs(at - hot) <= REACH * _width(asked.skin, hot)
    return (at, "pocket") if near else (hot, "hot spot")


def _foot(skin: Cavity, at: float, across: float) -> float:
    """How far below the highest place of a lying bulb the column's sides meet it. [m]"""
    wide, high = skin.halves(np.array([at]))
    share = min(0.5 * across / float(wide[0]), SADDLE)
    return max(skin.up) - float(high[0]) * math.sqrt(1.0 - share**2)


def _on_skin(skin: Cavity, at: float, across: float, height: float, foot: float) -> float:
    """Metal over the skin of a lying bulb inside the column. [m3]"""
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
        # Half the round: the column is the same on both sides of the axis.
        total += float(np.sum(weights * radius * (2.0 * math.pi / 24.0) * np.sum(tall, axis=1))) * (
            end - start
        )
    return total


def _foot_on_end(asked: Asked, across: float) -> float:
    """How far below its upper end a standing bulb is covered. [m]"""
    return standing_foot(asked.skin, across, nose_up=asked.end == "nose")


def under_saw(skin: Cavity, end: Literal["nose", "tail"] | None, feeder: Feeder) -> float:
    """Metal of a feeder that is left on the casting where it is sawn off level with the casting's highest place.

    Args:
        skin: Skin of the cavity as it stands.
        end: The end that is up where it stands; None where it lies.
        feeder: The feeder on it.

    Returns:
        Between the skin and that level, inside the column. [m3]
    """
    if end is None:
        return _on_skin(skin, feeder.at, feeder.diameter, 0.0, feeder.foot)
    top = feeder.diameter + 2.0 * feeder.foot * math.tan(TAPER)
    return _on_end(skin, end, feeder.diameter, top, 0.0, feeder.foot)


def _on_end(
    skin: Cavity, end: Literal["nose", "tail"] | None, across: float, top: float, height: float, foot: float
) -> float:
    """Metal over the upper end of a standing bulb inside the column. [m3]"""
    tall = height + foot
    column = math.pi * tall / 12.0 * (across**2 + across * top + top**2)
    nodes, weights = gauss(32)
    down = foot * nodes
    wide, high = skin.halves(down if end == "nose" else skin.length - down)
    inside = np.minimum(wide * high, (0.5 * across) ** 2)
    return column - math.pi * foot * float(np.sum(weights * inside))
