"""Formulas for the gating: choke, sprue, vents, feeder and level mark.

Closed moulds have a sprue with the choke at its lower end, a vent at each end of the bulb, and a feeder on the thickest
part. Open half-moulds are poured to a mark above their flat face, so that the sunken face can be planed flat. Rules
from foundry books are given with their source; the others are marked as common practice.

The feeder is sized by its modulus. A bulb's thick middle freezes later than its volume divided by its area suggests.
The feeder therefore has 1.2 times the modulus of the largest section.

The feeder described here is left alone, and its top is bare. It is sized for 1.2 times the casting's modulus or for an
efficiency of 14 %, whichever requires the larger feeder. Builders who keep their feeder liquid with a
torch pour a smaller one.
"""

from __future__ import annotations

import math
from typing import Literal

from bulbcast.materials.lead import SOLID_DENSITY, liquid_density
from bulbcast.quantities.checked import STANDARD_GRAVITY
from bulbcast.quantities.frozen import frozen

DISCHARGE = 0.8
"""Fraction of Torricelli's flow that passes through a plain sprue; 0.7 to 0.9 is typical, from memory."""
RISER_MODULUS_FACTOR = 1.2
"""Ratio of the feeder's modulus to the casting's, from casting texts."""
RISER_EFFICIENCY = 0.14
"""Fraction of its metal that a plain cylindrical feeder can give up before it has frozen; from memory."""
RISER_HEIGHT_IN_DIAMETERS = 1.5
"""Typical ratio of height to diameter of an open feeder; common practice, no source."""
FILL_TIME_PER_ROOT_MASS = 2.8
"""Fill time in s divided by the square root of the mass in kg: 3 kg in 5 s and 5 kg in 6 s. Our judgement."""
SHORTEST_FILL = 2.0
"""Shortest time in which anyone can tip a ladle steadily. Our judgement. [s]"""
CUP_DEPTH = 0.020
"""Depth of metal kept in the pouring cup above the mouth of the sprue; common practice, no source. [m]"""
SMALLEST_COVER = 0.040
"""Minimum height of metal above the crown; common practice, no source. [m]"""
SMALLEST_VENT, VENTS = 0.003, 2
"""Minimum diameter and number of vents, one at each end; 3 to 6 mm on models, 12 mm at 80 kg. Common practice, no source.
[m], [-]"""
VENT_IN_FROM_END = 0.1
"""Distance of a vent from the end, as a fraction of the length; common practice, no source."""
SINK_AT_MIDDLE = 2.0
"""Ratio of the sink at the middle of an open face to the mean sink; 1.5 for a parabolic hollow across the face, 2 for a
bowl."""


class GatingError(ValueError):
    """Raised for impossible gating, such as a head that is not above zero, a cup that is too low, or a discharge
    coefficient out of range."""


@frozen
class Choke:
    """Choke, the narrowest part, at the sprue's foot.

    Attributes:
        head: Effective head that drives the metal. [m]
        speed: Speed through it, including the discharge coefficient. [m/s]
        area: Area of the choke. [m2]
        diameter: Diameter of a round choke. [m]
        fill_time: Fill time of the cavity through it. [s]
        pour_rate: Mass flow through it. [kg/s]
    """

    head: float
    speed: float
    area: float
    diameter: float
    fill_time: float
    pour_rate: float


@frozen
class Sprue:
    """Round sprue, tapered so that the falling stream fills it.

    Attributes:
        height: Height from its mouth down to the choke. [m]
        top_diameter: Diameter at its mouth, below the cup. [m]
        foot_diameter: Diameter at its foot, which is the choke. [m]
        volume: Volume of the sprue. [m3]
    """

    height: float
    top_diameter: float
    foot_diameter: float
    volume: float


@frozen
class Riser:
    """Round open feeder on the thickest part.

    Attributes:
        diameter: Diameter of the feeder. [m]
        height: Height of the feeder. [m]
        volume: Volume of the feeder. [m3]
        modulus: Volume divided by the area of its side and top. [m]
        modulus_wanted: Required modulus, 1.2 times that of the casting. [m]
        volume_wanted: Volume required to supply enough metal. [m3]
        rule: Reason for its size: "modulus", "feed", or "given".
    """

    diameter: float
    height: float
    volume: float
    modulus: float
    modulus_wanted: float
    volume_wanted: float
    rule: Literal["modulus", "feed", "given"]


@frozen
class LevelMark:
    """Level mark to which an open half-mould is filled.

    Attributes:
        shrinkage: Fraction of the liquid volume lost on solidification, less the pattern's contraction allowance.
            [-]
        mean_sink: Sink of the open face, averaged over its area. [m]
        middle_sink: Sink at the middle, where it is greatest. [m]
        above_face: Height of the mark above the flat face, equal to the sink at the middle. [m]
        volume: Volume of metal between the flat face and the mark, for one half. [m3]
    """

    shrinkage: float
    mean_sink: float
    middle_sink: float
    above_face: float
    volume: float


def effective_head(total: float, *, above_gate: float, height: float) -> float:
    """Calculate the mean head while a cavity fills from a gate part way up.

    Args:
        total: Height from the gate up to the metal in the cup. [m]
        above_gate: Height of the cavity above the gate; zero if the metal falls in from the top. [m]
        height: Height of the whole cavity. [m]

    Returns:
        Mean head, total - above_gate^2 / (2 height). [m]

    Raises:
        GatingError: The metal does not reach the cavity's top, or a height is out of range.

    References:
        Heine, Loper and Rosenthal, Principles of Metal Casting, on gating; from memory.
    """
    if not (0.0 <= above_gate <= height and total >= above_gate and total > 0.0):
        raise GatingError(
            f"the cup is {total:g} m above the gate, but {above_gate:g} m of the {height:g} m high cavity is above "
            "the gate; the cup must be higher"
        )
    return total if height == 0.0 else total - above_gate**2 / (2.0 * height)


def choke_of(
    mass: float, *, density: float, fill_time: float, head: float, discharge: float = DISCHARGE
) -> Choke:
    """Calculate the choke that fills a cavity in a given time.

    Args:
        mass: Mass of metal that flows through it. [kg]
        density: Density of the liquid metal. [kg/m3]
        fill_time: Fill time of the cavity. [s]
        head: Effective head. [m]
        discharge: Discharge coefficient. [-]

    Returns:
        Choke with the area A = m / (rho t C sqrt(2 g H)).

    Raises:
        GatingError: A figure is not above zero, or the discharge coefficient is above 1.

    References:
        Torricelli; foundry gating practice for the discharge coefficient.
    """
    if not (min(mass, density, fill_time, head) > 0.0 and 0.0 < discharge <= 1.0):
        raise GatingError(
            "the mass, density, fill time and head must be above zero, and the discharge coefficient must be from 0 to 1"
        )
    speed = discharge * math.sqrt(2.0 * STANDARD_GRAVITY * head)
    area = mass / (density * fill_time * speed)
    return Choke(
        head=head,
        speed=speed,
        area=area,
        diameter=math.sqrt(4.0 * area / math.pi),
        fill_time=fill_time,
        pour_rate=mass / fill_time,
    )


def fill_time_through(
    diameter: float, mass: float, *, density: float, head: float, discharge: float = DISCHARGE
) -> float:
    """Calculate the time in which a choke of given diameter fills a cavity. Use `choke_of` for the choke's other figures.

    Args:
        diameter: Diameter of the choke. [m]
        mass: Mass of metal that flows through it. [kg]
        density: Density of the liquid metal. [kg/m3]
        head: Effective head. [m]
        discharge: Discharge coefficient. [-]

    Returns:
        Fill time t = m / (rho A C sqrt(2 g H)). [s]

    Raises:
        GatingError: Diameter or head is not above zero.
    """
    if not (diameter > 0.0 and head > 0.0):
        raise GatingError("the choke diameter and the head must be above zero")
    speed = discharge * math.sqrt(2.0 * STANDARD_GRAVITY * head)
    return mass / (density * 0.25 * math.pi * diameter**2 * speed)


def sprue_of(choke_diameter: float, *, height: float, cup_depth: float = CUP_DEPTH) -> Sprue:
    """Design a sprue that the falling stream fills from cup to choke, so that it draws no air.

    Args:
        choke_diameter: Diameter at its foot. [m]
        height: Height from its mouth down to the choke. [m]
        cup_depth: Depth of metal above its mouth. [m]

    Returns:
        Sprue with top area = choke area x sqrt(depth at the choke / depth at the mouth), by the equation of continuity
        for free fall.

    Raises:
        GatingError: A size is not above zero.
    """
    if not min(choke_diameter, height, cup_depth) > 0.0:
        raise GatingError("the choke diameter, the sprue height and the cup depth must be above zero")
    top = choke_diameter * ((height + cup_depth) / cup_depth) ** 0.25
    return Sprue(
        height=height,
        top_diameter=top,
        foot_diameter=choke_diameter,
        volume=math.pi * height / 12.0 * (top**2 + top * choke_diameter + choke_diameter**2),
    )


def vent_diameter(choke_area: float, count: int = VENTS) -> float:
    """Calculate the diameter of each vent. Together the vents have the choke's area, but each is at least 3 mm wide.

    Args:
        choke_area: Area of the choke. [m2]
        count: Number of vents, 1 or more. [-]

    Returns:
        Diameter of each vent. [m]
    """
    return max(SMALLEST_VENT, math.sqrt(4.0 * choke_area / (math.pi * count)))


def riser_modulus(diameter: float, height: float) -> float:
    """Calculate the modulus of a round feeder, its volume divided by the area of its side and open top.

    Args:
        diameter: Diameter of the feeder. [m]
        height: Height of the feeder. [m]

    Returns:
        Modulus d h / (4 h + d). [m]
    """
    return diameter * height / (4.0 * height + diameter)


def riser_of(
    *,
    casting_modulus: float,
    casting_volume: float,
    feed: float,
    least_height: float = SMALLEST_COVER,
    height: float | None = None,
) -> Riser:
    """Size the feeder by two rules and use the larger size: it must freeze after the casting and hold enough metal.

    Args:
        casting_modulus: Volume divided by surface area, for the part of the casting that freezes last. For a bulb this
            is its largest section's area divided by its perimeter, a quarter of the diameter if round. [m]
        casting_volume: Volume of the casting. [m3]
        feed: Fraction of the liquid in the casting and the feeder that is missing once it is solid. [-]
        least_height: Minimum height of the feeder, from the crown to the top of the cope. [m]
        height: Height of the feeder, if given. [m]

    Returns:
        Feeder one and a half diameters high, or of the height given. A feeder no higher than the required modulus
        never freezes late enough; for such a height, the diameter is that of a typical feeder.

    Raises:
        GatingError: A size is not above zero, or the feed is more than a feeder can supply.
    """
    if not (min(casting_modulus, casting_volume) > 0.0 and 0.0 <= feed < RISER_EFFICIENCY):
        raise GatingError(
            f"the modulus and the volume must be above zero, and the feed must be less than {RISER_EFFICIENCY:g} of the "
            "metal"
        )
    modulus = RISER_MODULUS_FACTOR * casting_modulus
    volume = feed * casting_volume / (RISER_EFFICIENCY - feed)
    high = RISER_HEIGHT_IN_DIAMETERS
    by_modulus = modulus * (4.0 * high + 1.0) / high
    by_feed = (4.0 * volume / (math.pi * high)) ** (1.0 / 3.0)
    tall = max(high * max(by_modulus, by_feed), least_height) if height is None else height
    if tall > modulus and (height is not None or tall == least_height):
        by_modulus = 4.0 * tall * modulus / (tall - modulus)
        by_feed = math.sqrt(4.0 * volume / (math.pi * tall))
    diameter = max(by_modulus, by_feed)
    return Riser(
        diameter=diameter,
        height=tall,
        volume=0.25 * math.pi * diameter**2 * tall,
        modulus=riser_modulus(diameter, tall),
        modulus_wanted=modulus,
        volume_wanted=volume,
        rule="modulus" if by_modulus >= by_feed else "feed",
    )


def alloy_liquid_density(pour_temperature: float, cold_density: float) -> float:
    """Calculate the density of a liquid lead alloy: that of liquid lead, scaled by the ratio of the cold densities.

    Args:
        pour_temperature: Temperature of the metal. [degC]
        cold_density: Density of the sound alloy at 20 degC. [kg/m3]

    Returns:
        Density of the liquid alloy. [kg/m3]

    Raises:
        LeadRangeError: Same as `liquid_density`.
    """
    return liquid_density(pour_temperature) * cold_density / SOLID_DENSITY


def feed_demand(pour_temperature: float, contraction: float) -> float:
    """Calculate the fraction of the liquid's volume that is missing once the casting is solid but still hot.

    This is the shrinkage of the liquid and freezing metal. The rest, from the solidus down to 20 degC, is covered
    by the pattern's contraction allowance.

    Args:
        pour_temperature: Temperature of the metal. [degC]
        contraction: Linear contraction from the solidus to 20 degC, relative to the cold length. [-]

    Returns:
        Fraction 1 - liquid density (1 + contraction)^3 / cold density; zero if the given contraction accounts for all
        of it. [-]

    Raises:
        LeadRangeError: Same as `liquid_density`.
    """
    return max(1.0 - liquid_density(pour_temperature) * (1.0 + contraction) ** 3 / SOLID_DENSITY, 0.0)


def sink_depth(share: float) -> float:
    """Calculate the depth of a level sink, modelled as a segment of a spheroid cut off parallel to its axis.

    Args:
        share: Fraction of the volume that is missing. [-]

    Returns:
        Depth as a fraction of the height; the root of 3 t^2 - 2 t^3 = share (a spherical cap's volume, MathWorld). [-]
    """
    low, high = 0.0, 1.0
    for _ in range(40):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if middle * middle * (3.0 - 2.0 * middle) < share else (low, middle)
    return low


def level_mark(*, face_area: float, volume: float, shrinkage: float) -> LevelMark:
    """Calculate how far above its flat face to fill an open half-mould so that the sunken face can be planed flat.

    Args:
        face_area: Area of the open face. [m2]
        volume: Volume of the half-mould below it. [m3]
        shrinkage: Shrinkage from `feed_demand`. [-]

    Returns:
        Level mark. The metal between the face and the mark shrinks too, and the sink allows for this.

    Raises:
        GatingError: The area or volume is not above zero, or the shrinkage is below zero or is a third or more.
    """
    if not (min(face_area, volume) > 0.0 and 0.0 <= shrinkage < 1.0 / 3.0):
        raise GatingError(
            "the face area and the volume must be above zero, and the shrinkage must be at least 0 and less than a third"
        )
    # The middle sinks by 2 s (V + A h) / A, and the mark is at the same height: h = 2 s V / (A (1 - 2 s)).
    above = SINK_AT_MIDDLE * shrinkage * volume / (face_area * (1.0 - SINK_AT_MIDDLE * shrinkage))
    return LevelMark(
        shrinkage=shrinkage,
        mean_sink=above / SINK_AT_MIDDLE,
        middle_sink=above,
        above_face=above,
        volume=face_area * above,
    )


def usual_fill_time(mass: float) -> float:
    """Calculate the typical time to fill a mould by hand.

    Args:
        mass: Mass of metal. [kg]

    Returns:
        Fill time of 2.8 s times the square root of the mass in kg, but at least 2 s. [s]
    """
    return max(FILL_TIME_PER_ROOT_MASS * math.sqrt(mass), SHORTEST_FILL)
