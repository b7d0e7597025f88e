"""Gating: choke, sprue, vents, feeder, level mark.

Closed moulds have a sprue whose lower end is the choke, vents at both ends and a feeder on the thickest part.
Open half-moulds are poured to a mark above their flat face, so that what sinks is planed away. Rules from
foundry books have their source beside them; the rest is common practice and says so.

Feeder by modulus: a bulb's thick middle freezes later than its whole volume over its area suggests. The feeder
therefore takes 1.2 times the largest section's modulus.

Feeder is one left alone with a bare top, 1.2 times the casting's modulus and 14 % efficient, whichever asks for
more. It is larger than what builders pour who keep theirs liquid with a torch.
"""

from __future__ import annotations

import math
from typing import Literal

from bulbcast.materials.lead import SOLID_DENSITY, liquid_density
from bulbcast.quantities.checked import STANDARD_GRAVITY
from bulbcast.quantities.frozen import frozen

DISCHARGE = 0.8
"""Share of Torricelli's flow that a plain sprue lets through; 0.7 to 0.9 is usual, from memory."""
RISER_MODULUS_FACTOR = 1.2
"""Feeder's modulus over the casting's; casting texts."""
RISER_EFFICIENCY = 0.14
"""Share of a plain cylinder's metal that it can give up before it is frozen; from memory."""
RISER_HEIGHT_IN_DIAMETERS = 1.5
"""Usual for an open feeder; common practice, no source."""
FILL_TIME_PER_ROOT_MASS = 2.8
"""Fill time in s over the square root of the mass in kg: 3 kg in 5 s and 5 kg in 6 s; judgement."""
SHORTEST_FILL = 2.0
"""Nobody tips a ladle steadily in less time; judgement. [s]"""
CUP_DEPTH = 0.020
"""Metal kept in the pouring cup above the sprue's mouth; common practice, no source. [m]"""
SMALLEST_COVER = 0.040
"""Least height of metal over the crown; common practice, no source. [m]"""
SMALLEST_VENT, VENTS = 0.003, 2
"""Vents: one at each end; 3 to 6 mm on models, 12 mm at 80 kg. Common practice, no source. [m], [-]"""
VENT_IN_FROM_END = 0.1
"""Place of a vent in from the end, as a share of the length; common practice, no source."""
SINK_AT_MIDDLE = 2.0
"""Sink at the middle of an open face over the mean sink: a parabolic hollow across the face has 1.5, a bowl 2."""


class GatingError(ValueError):
    """A gating that cannot be: a time, head or size not above zero, or a discharge out of range."""


@frozen
class Choke:
    """The narrowest part, at the sprue's foot.

    Attributes:
        head: Effective, which drives the metal. [m]
        speed: Speed through it, discharge included. [m/s]
        area: [m2]
        diameter: Diameter of a round one. [m]
        fill_time: Fill time of the cavity through it. [s]
        pour_rate: [kg/s]
    """

    head: float
    speed: float
    area: float
    diameter: float
    fill_time: float
    pour_rate: float


@frozen
class Sprue:
    """A round sprue, tapered so that the falling stream fills it.

    Attributes:
        height: Height from its mouth down to the choke. [m]
        top_diameter: Diameter at its mouth, below the cup. [m]
        foot_diameter: The choke. [m]
        volume: [m3]
    """

    height: float
    top_diameter: float
    foot_diameter: float
    volume: float


@frozen
class Riser:
    """A round open feeder on the thickest part.

    Attributes:
        diameter: [m]
        height: [m]
        volume: [m3]
        modulus: Volume over side and top. [m]
        modulus_wanted: 1.2 times the casting's. [m]
        volume_wanted: Volume required by what it has to give up. [m3]
        rule: Which of the two set its size: "modulus", "feed", or "given".
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
    """How far an open half-mould is filled.

    Attributes:
        shrinkage: Share of the liquid that is missing once it is solid, the pattern's own allowance taken
            off. [-]
        mean_sink: Mean sink of the open face, if it were level. [m]
        middle_sink: Where it sinks most. [m]
        above_face: Height of the mark above the flat face: as much as the middle sinks. [m]
        volume: Volume of metal between flat face and mark, of one half. [m3]
    """

    shrinkage: float
    mean_sink: float
    middle_sink: float
    above_face: float
    volume: float


def effective_head(total: float, *, above_gate: float, height: float) -> float:
    """Mean head while a cavity fills from a gate part way up.

    Args:
        total: Height from the gate up to the metal in the cup. [m]
        above_gate: Height of the cavity above the gate; zero where the metal falls in from the top. [m]
        height: Height of the whole cavity. [m]

    Returns:
        total - above_gate^2 / (2 height). [m]

    Raises:
        GatingError: The metal does not stand above the cavity.

    References:
        Heine, Loper and Rosenthal, Principles of Metal Casting, gating; from memory.
    """
    if not (0.0 <= above_gate <= height and total >= above_gate and total > 0.0):
        raise GatingError(
            f"the metal in the cup is {total:g} m above the gate, and the cavity reaches {above_gate:g} m above it with "
            f"its height of {height:g} m; the cup must be higher"
        )
    return total if height == 0.0 else total - above_gate**2 / (2.0 * height)


def choke_of(
    mass: float, *, density: float, fill_time: float, head: float, discharge: float = DISCHARGE
) -> Choke:
    """The choke that fills a cavity in a given time.

    Args:
        mass: Mass of metal that goes through it. [kg]
        density: Density of the liquid metal. [kg/m3]
        fill_time: [s]
        head: Effective. [m]
        discharge: Coefficient. [-]

    Returns:
        A = m / (rho t C sqrt(2 g H)).

    Raises:
        GatingError: Any of them is not above zero, or the discharge above 1.

    References:
        Torricelli; foundry gating practice for the discharge.
    """
    if not (min(mass, density, fill_time, head) > 0.0 and 0.0 < discharge <= 1.0):
        raise GatingError(
            "mass, density, fill time and head must be above zero, and the discharge must be from 0 to 1"
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
    """Time in which a choke of a given bore fills a cavity: `choke_of` gives the rest.

    Args:
        diameter: Diameter of the choke. [m]
        mass: Mass of metal that goes through it. [kg]
        density: Density of the liquid metal. [kg/m3]
        head: Effective. [m]
        discharge: Coefficient. [-]

    Returns:
        t = m / (rho A C sqrt(2 g H)). [s]

    Raises:
        GatingError: Diameter or head is not above zero.
    """
    if not (diameter > 0.0 and head > 0.0):
        raise GatingError("the choke's diameter and the head must be above zero")
    speed = discharge * math.sqrt(2.0 * STANDARD_GRAVITY * head)
    return mass / (density * 0.25 * math.pi * diameter**2 * speed)


def sprue_of(choke_diameter: float, *, height: float, cup_depth: float = CUP_DEPTH) -> Sprue:
    """A sprue that the falling stream fills from cup to choke, so that it draws no air.

    Args:
        choke_diameter: Diameter at its foot. [m]
        height: Height from its mouth down to the choke. [m]
        cup_depth: Depth of metal above its mouth. [m]

    Returns:
        Top area = choke area x sqrt(depth at the choke / depth at the mouth), by the equation of
        continuity for a free fall.

    Raises:
        GatingError: A size is not above zero.
    """
    if not min(choke_diameter, height, cup_depth) > 0.0:
        raise GatingError("choke, sprue height and cup depth must be above zero")
    top = choke_diameter * ((height + cup_depth) / cup_depth) ** 0.25
    return Sprue(
        height=height,
        top_diameter=top,
        foot_diameter=choke_diameter,
        volume=math.pi * height / 12.0 * (top**2 + top * choke_diameter + choke_diameter**2),
    )


def vent_diameter(choke_area: float, count: int = VENTS) -> float:
    """Diameter of each vent: together as wide as the choke, 3 mm at least.

    Args:
        choke_area: [m2]
        count: Number of vents, 1 or more. [-]

    Returns:
        [m]
    """
    return max(SMALLEST_VENT, math.sqrt(4.0 * choke_area / (math.pi * count)))


def riser_modulus(diameter: float, height: float) -> float:
    """Volume over cooled surface of a round feeder: its side and its open top.

    Args:
        diameter: [m]
        height: [m]

    Returns:
        d h / (4 h + d). [m]
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
    """The feeder that freezes after the casting and has enough metal for it: the larger by the two rules.

    Args:
        casting_modulus: Volume over surface of the part of the casting that freezes last: of a bulb, its largest
            section's area over its perimeter, a quarter of a round one's diameter. [m]
        casting_volume: [m3]
        feed: Share of the liquid that is missing once it is solid, of casting and feeder. [-]
        least_height: Least height of the feeder, from the crown to the cope's top. [m]
        height: Height of the feeder where it is given. [m]

    Returns:
        A feeder one and a half diameters high, or as high as is asked. No feeder as low as the modulus required
        freezes late enough: such a height given is given back with the diameter of a usual one.

    Raises:
        GatingError: A size is not above zero, or the feed is more than a feeder can give.
    """
    if not (min(casting_modulus, casting_volume) > 0.0 and 0.0 <= feed < RISER_EFFICIENCY):
        raise GatingError(
            f"modulus and volume must be above zero, and the feed less than {RISER_EFFICIENCY:g} of the metal"
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
    """Density of a liquid lead alloy: liquid lead's in the proportion of the cold densities.

    Args:
        pour_temperature: [degC]
        cold_density: Density of the sound alloy at 20 degC. [kg/m3]

    Returns:
        [kg/m3]

    Raises:
        LeadRangeError: As `liquid_density`.
    """
    return liquid_density(pour_temperature) * cold_density / SOLID_DENSITY


def feed_demand(pour_temperature: float, contraction: float) -> float:
    """Share of the liquid's volume that is missing once the casting is solid but still hot.

    What liquid and freezing metal shrink by; the rest of the way, from the solidus to cold, is the
    pattern's linear contraction.

    Args:
        pour_temperature: Temperature of the metal. [degC]
        contraction: Linear, solidus to 20 degC, per unit of the cold length. [-]

    Returns:
        1 - liquid density (1 + contraction)^3 / cold density; zero where the contraction given takes all
        of it. [-]

    Raises:
        LeadRangeError: As `liquid_density`.
    """
    return max(1.0 - liquid_density(pour_temperature) * (1.0 + contraction) ** 3 / SOLID_DENSITY, 0.0)


def sink_depth(share: float) -> float:
    """Depth of a level sink: the segment of that volume cut from a spheroid beside its axis.

    Args:
        share: Share of the volume that is missing. [-]

    Returns:
        Over the height; the root of 3 t^2 - 2 t^3 = share (a spherical cap's volume, MathWorld). [-]
    """
    low, high = 0.0, 1.0
    for _ in range(40):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if middle * middle * (3.0 - 2.0 * middle) < share else (low, middle)
    return low


def level_mark(*, face_area: float, volume: float, shrinkage: float) -> LevelMark:
    """How far above its flat face an open half-mould is filled, so that the sunk face can be planed flat.

    Args:
        face_area: Area of the open face. [m2]
        volume: Volume of the half-mould below it. [m3]
        shrinkage: As `feed_demand`. [-]

    Returns:
        The mark: the metal between face and mark shrinks too, and so the sink is that of both.

    Raises:
        GatingError: Area or volume not above zero, or the shrinkage not from 0 to below a third.
    """
    if not (min(face_area, volume) > 0.0 and 0.0 <= shrinkage < 1.0 / 3.0):
        raise GatingError(
            "face area and volume must be above zero, and the shrinkage at least 0 and less than a third"
        )
    # The middle sinks by 2 s (V + A h) / A, and the mark stands as high: h = 2 s V / (A (1 - 2 s)).
    above = SINK_AT_MIDDLE * shrinkage * volume / (face_area * (1.0 - SINK_AT_MIDDLE * shrinkage))
    return LevelMark(
        shrinkage=shrinkage,
        mean_sink=above / SINK_AT_MIDDLE,
        middle_sink=above,
        above_face=above,
        volume=face_area * above,
    )


def usual_fill_time(mass: float) -> float:
    """A usual time to fill a mould by hand.

    Args:
        mass: Mass of metal. [kg]

    Returns:
        2.8 s times the square root of the mass in kg, 2 s at least. [s]
    """
    return max(FILL_TIME_PER_ROOT_MASS * math.sqrt(mass), SHORTEST_FILL)
