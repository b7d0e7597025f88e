"""What a builder does after a float test, hole by hole and lump by lump."""

from __future__ import annotations

import math
from dataclasses import dataclass

from bulbcast.afloat.marks_to_mass import Drilling
from bulbcast.bulb.cuts.drilled import USUAL_DRILLS, WIDEST_SHARE

DEEPEST_SHARE = 0.5
"""A hole goes no deeper than this share of the bulb's height there, so that it stays clear of the fin and the screws.
Judgement. [-]"""


FEW_HOLES = 6
"""A drill is taken that does it in so many holes, where the bulb has room for it. Judgement. [-]"""


def usual_drill(volume: float, *, height: float) -> float:
    """The thinnest usual drill that takes a volume out in few holes.

    Args:
        volume: To be taken out. [m3]
        height: Of the bulb where it is drilled. [m]

    Returns:
        One of `USUAL_DRILLS`; the widest that the bulb has room for where none does it in few. [m]
    """
    room = [size for size in USUAL_DRILLS if size <= WIDEST_SHARE * height] or [USUAL_DRILLS[0]]
    each = FEW_HOLES * DEEPEST_SHARE * height * 0.25 * math.pi
    return next((size for size in room if each * size**2 >= volume), room[-1])


@dataclass(frozen=True, slots=True, kw_only=True)
class Holes:
    """The holes that a drilling comes to.

    Attributes:
        count: All of one depth.
        depth: Of each, at the drill's full diameter. [m]
        diameter: Of the drill. [m]
        x: Middle of the row, boat axes. [m]
    """

    count: int
    depth: float
    diameter: float
    x: float

    @property
    def pitch(self) -> float:
        """From one hole's middle to the next one's. [m]"""
        return 1.5 * self.diameter

    @property
    def first_x(self) -> float:
        """Middle of the foremost hole, boat axes. [m]"""
        return self.x - 0.5 * self.row

    @property
    def row(self) -> float:
        """From the first hole's middle to the last one's, half a drill of lead between them. [m]"""
        return (self.count - 1) * self.pitch


def holes_of(drilling: Drilling, *, x: float, height: float) -> Holes:
    """The fewest holes that take a drilling's lead out.

    Args:
        drilling: From the float test.
        x: Middle of the row, boat axes. [m]
        height: Of the bulb there. [m]

    Returns:
        Holes no deeper than half of that height.
    """
    count = max(1, math.ceil(drilling.depth / (DEEPEST_SHARE * height) - 1e-9))
    return Holes(count=count, depth=drilling.depth / count, diameter=drilling.diameter, x=x)


@dataclass(frozen=True, slots=True, kw_only=True)
class EndLead:
    """Trim lead laid near an end, the same mass being drilled out of the bulb, so that she keeps her line.

    Attributes:
        x: Where it is laid, boat axes. [m]
        mass: Of the lead laid, and of what is taken off the bulb, fillings counted in. [kg]
    """

    x: float
    mass: float


def end_leads(moment: float, *, ends: tuple[float, float], bulb_x: float) -> tuple[EndLead, ...]:
    """Trim lead that gives a moment without changing what she weighs.

    Args:
        moment: Required, aft is positive. [kg m]
        ends: Places near the bow and near the stern, boat axes. [m]
        bulb_x: Of the bulb's mass centre, where as much is taken off. [m]

    Returns:
        The end that does it; none where no moment is required or the end lies at the bulb.
    """
    return tuple(
        EndLead(x=x, mass=moment / (x - bulb_x)) for x in ends if x != bulb_x and moment / (x - bulb_x) > 0.0
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class BulbToCast:
    """What a float test without the bulb says of the bulb that is yet to be cast.

    Attributes:
        mass: Hung mass that puts her on her line, at the same lead and filling. [kg]
        x: Where its mass centre would have to hang, boat axes. [m]
    """

    mass: float
    x: float


def bulb_to_cast(
    *,
    too_much: float,
    moment: float,
    flotation_x: float,
    bulb_mass: float,
    bulb_x: float,
    bulb_apparent: float,
    factor: float,
) -> BulbToCast | None:
    """The bulb that makes good what a float test found.

    Args:
        too_much: Mass she would be too heavy by with the bulb of the plan. [kg]
        moment: Of that about the centre of flotation, aft is positive. [kg m]
        flotation_x: Boat axes. [m]
        bulb_mass: Of the plan's bulb. [kg]
        bulb_x: Where its mass less its water pulls, boat axes. [m]
        bulb_apparent: Its mass less the water it displaces. [kg]
        factor: 1 less water's density over lead's. [-]

    Returns:
        Mass and place; None where nothing would be left of it.
    """
    apparent = bulb_apparent - too_much
    mass = bulb_mass - too_much / factor
    if apparent <= 0.0 or mass <= 0.0:
        return None
    pull = bulb_apparent * (bulb_x - flotation_x) - moment
    return BulbToCast(mass=mass, x=flotation_x + pull / apparent)
