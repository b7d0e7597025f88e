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
"""The drill chosen needs no more holes than this, where the bulb has room for it. Judgement. [-]"""


def usual_drill(volume: float, *, height: float) -> float:
    """The thinnest usual drill that removes a volume in few holes.

    Args:
        volume: To be taken out. [m3]
        height: Height of the bulb where it is drilled. [m]

    Returns:
        One of `USUAL_DRILLS`; where none needs few holes, the widest that the bulb has room for. [m]
    """
    room = [size for size in USUAL_DRILLS if size <= WIDEST_SHARE * height] or [USUAL_DRILLS[0]]
    each = FEW_HOLES * DEEPEST_SHARE * height * 0.25 * math.pi
    return next((size for size in room if each * size**2 >= volume), room[-1])


@dataclass(frozen=True, slots=True, kw_only=True)
class Holes:
    """The holes that a drilling needs.

    Attributes:
        count: Number of holes, all of one depth.
        depth: Depth of each, at the drill's full diameter. [m]
        diameter: Diameter of the drill. [m]
        x: Middle of the row, boat axes. [m]
    """

    count: int
    depth: float
    diameter: float
    x: float

    @property
    def pitch(self) -> float:
        """Distance from one hole's middle to the next. [m]"""
        return 1.5 * self.diameter

    @property
    def first_x(self) -> float:
        """Middle of the foremost hole, boat axes. [m]"""
        return self.x - 0.5 * self.row

    @property
    def row(self) -> float:
        """Distance from the first hole's middle to the last, with half a drill of lead between holes. [m]"""
        return (self.count - 1) * self.pitch


def holes_of(drilling: Drilling, *, x: float, height: float) -> Holes:
    """The fewest holes that remove a drilling's lead.

    Args:
        drilling: From the float test.
        x: Middle of the row, boat axes. [m]
        height: Height of the bulb there. [m]

    Returns:
        Holes no deeper than half of that height.
    """
    count = max(1, math.ceil(drilling.depth / (DEEPEST_SHARE * height) - 1e-9))
    return Holes(count=count, depth=drilling.depth / count, diameter=drilling.diameter, x=x)


@dataclass(frozen=True, slots=True, kw_only=True)
class EndLead:
    """Trim lead laid near an end; the same mass is drilled out of the bulb, so that she stays on her line.

    Attributes:
        x: Where it is laid, boat axes. [m]
        mass: Mass of the lead laid, and the mass taken off the bulb, fillings included. [kg]
    """

    x: float
    mass: float


def end_leads(moment: float, *, ends: tuple[float, float], bulb_x: float) -> tuple[EndLead, ...]:
    """Trim lead that gives a moment without changing what she weighs.

    Args:
        moment: Moment required, aft is positive. [kg m]
        ends: Places near the bow and near the stern, boat axes. [m]
        bulb_x: Place of the bulb's mass centre, where the same mass is taken off. [m]

    Returns:
        Lead at the end that does it; None where no moment is required or the end is at the bulb.
    """
    return tuple(
        EndLead(x=x, mass=moment / (x - bulb_x)) for x in ends if x != bulb_x and moment / (x - bulb_x) > 0.0
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class BulbToCast:
    """What a float test without the bulb says about the bulb that is still to be cast.

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
    """The bulb that corrects what a float test found.

    Args:
        too_much: Excess mass she would have with the plan's bulb. [kg]
        moment: Moment of that mass about the centre of flotation, aft is positive. [kg m]
        flotation_x: Centre of flotation, boat axes. [m]
        bulb_mass: Mass of the plan's bulb. [kg]
        bulb_x: Place where its mass less its water acts, boat axes. [m]
        bulb_apparent: Its mass less the water it displaces. [kg]
        factor: 1 less water's density over lead's. [-]

    Returns:
        Mass and place; None where no bulb would be left.
    """
    apparent = bulb_apparent - too_much
    mass = bulb_mass - too_much / factor
    if apparent <= 0.0 or mass <= 0.0:
        return None
    pull = bulb_apparent * (bulb_x - flotation_x) - moment
    return BulbToCast(mass=mass, x=flotation_x + pull / apparent)
