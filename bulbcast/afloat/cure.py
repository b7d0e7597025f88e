"""Corrections for the builder to make after a float test, down to each hole and piece of lead."""

from __future__ import annotations

import math
from dataclasses import dataclass

from bulbcast.afloat.marks_to_mass import Drilling
from bulbcast.bulb.cuts.drilled import USUAL_DRILLS, WIDEST_SHARE

DEEPEST_SHARE = 0.5
"""Maximum depth of a hole as a fraction of the bulb's height at that point, to stay clear of the fin and the screws. Our
judgement. [-]"""


FEW_HOLES = 6
"""Maximum number of holes that the chosen drill should need, if the bulb has room for that drill. Our judgement. [-]"""


def usual_drill(volume: float, *, height: float) -> float:
    """Choose the smallest common drill that removes a volume with few holes.

    Args:
        volume: Volume to remove. [m3]
        height: Height of the bulb where it is drilled. [m]

    Returns:
        Diameter of one of `USUAL_DRILLS`: the thinnest that needs only a few holes, or else the widest that the bulb
        has room for. [m]
    """
    room = [size for size in USUAL_DRILLS if size <= WIDEST_SHARE * height] or [USUAL_DRILLS[0]]
    each = FEW_HOLES * DEEPEST_SHARE * height * 0.25 * math.pi
    return next((size for size in room if each * size**2 >= volume), room[-1])


@dataclass(frozen=True, slots=True, kw_only=True)
class Holes:
    """Holes needed to drill out a given amount of lead.

    Attributes:
        count: Number of holes, all of the same depth.
        depth: Depth of each hole, at the drill's full diameter. [m]
        diameter: Diameter of the drill. [m]
        x: Position of the middle of the row, boat axes. [m]
    """

    count: int
    depth: float
    diameter: float
    x: float

    @property
    def pitch(self) -> float:
        """Distance between the centres of neighbouring holes. [m]"""
        return 1.5 * self.diameter

    @property
    def first_x(self) -> float:
        """Position of the centre of the foremost hole, boat axes. [m]"""
        return self.x - 0.5 * self.row

    @property
    def row(self) -> float:
        """Distance between the centres of the first and last holes, leaving half a drill diameter between holes. [m]"""
        return (self.count - 1) * self.pitch


def holes_of(drilling: Drilling, *, x: float, height: float) -> Holes:
    """Find the smallest number of holes that removes the lead to be drilled.

    Args:
        drilling: Lead to drill out, from the float test.
        x: Position of the middle of the row, boat axes. [m]
        height: Height of the bulb at that position. [m]

    Returns:
        The holes, no deeper than half of that height.
    """
    count = max(1, math.ceil(drilling.depth / (DEEPEST_SHARE * height) - 1e-9))
    return Holes(count=count, depth=drilling.depth / count, diameter=drilling.diameter, x=x)


@dataclass(frozen=True, slots=True, kw_only=True)
class EndLead:
    """Trim lead near one end of the boat. The same mass is drilled out of the bulb, unless the lead is used alone.

    Attributes:
        x: Position of the trim lead, boat axes. [m]
        mass: Mass of the trim lead, which is also the net mass removed from the bulb, if any is drilled out. [kg]
    """

    x: float
    mass: float


def end_leads(moment: float, *, ends: tuple[float, float], bulb_x: float) -> tuple[EndLead, ...]:
    """Calculate the trim lead that gives a moment, with or without the same mass removed from the bulb.

    Args:
        moment: Moment required; aft is positive. [kg m]
        ends: Positions near the bow and near the stern, boat axes. [m]
        bulb_x: Position of the bulb's mass centre, where the same mass is removed. For lead alone, the position of the
            centre of flotation. [m]

    Returns:
        Lead at the end that gives the moment; empty if no moment is required, or if that end is at `bulb_x`.
    """
    return tuple(
        EndLead(x=x, mass=moment / (x - bulb_x)) for x in ends if x != bulb_x and moment / (x - bulb_x) > 0.0
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class BulbToCast:
    """Bulb still to be cast, corrected after a float test without it.

    Attributes:
        mass: Mass of the ready-to-hang bulb that brings the boat to her line, with the same lead and filling. [kg]
        x: Position required for the bulb's mass centre, boat axes. [m]
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
    """Calculate the bulb that corrects the errors found by a float test.

    Args:
        too_much: Excess mass of the boat with the plan's bulb. [kg]
        moment: Moment of that mass about the centre of flotation; aft is positive. [kg m]
        flotation_x: Position of the centre of flotation, boat axes. [m]
        bulb_mass: Mass of the plan's bulb. [kg]
        bulb_x: Position at which `bulb_apparent` acts, boat axes. [m]
        bulb_apparent: Mass of the plan's bulb less that of the water it displaces. [kg]
        factor: 1 minus the ratio of the densities of water and lead. [-]

    Returns:
        Mass and position of the bulb; None if no bulb would be left.
    """
    apparent = bulb_apparent - too_much
    mass = bulb_mass - too_much / factor
    if apparent <= 0.0 or mass <= 0.0:
        return None
    pull = bulb_apparent * (bulb_x - flotation_x) - moment
    return BulbToCast(mass=mass, x=flotation_x + pull / apparent)
