"""What a small weight does to sinkage and trim, by the handbook's small-change formulas.

For changes that are not small, let the boat come to rest twice and take the difference.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from bulbcast.hull.design_line import DesignLine


class AddedWeightError(ValueError):
    """A change that cannot be worked out: what is missing or not usable, and what would do."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DraughtChange:
    """How a weight changes the draughts.

    Attributes:
        sinkage: At the centre of flotation; positive is deeper. [m]
        trim: Over the length that the moment was given for; positive is stern down. [m]
        forward: Change of draught at the forward end. [m]
        aft: Change of draught at the aft end. [m]
    """

    sinkage: float
    trim: float
    forward: float
    aft: float


def draught_change(
    *,
    added_mass: float,
    at_x: float,
    flotation_x: float,
    mass_per_immersion: float,
    moment_per_trim: float,
    length: float,
    forward_x: float,
    aft_x: float,
) -> DraughtChange:
    """Sinkage and trim by a weight put aboard, or taken off where it is negative.

    Args:
        added_mass: Negative when taken off. [kg]
        at_x: Where. [m]
        flotation_x: Centre of flotation. [m]
        mass_per_immersion: Mass that sinks her by a unit of length. [kg/m]
        moment_per_trim: Moment that trims her by a unit of length over `length`. [kg m/m]
        length: Over which that trim is read. [m]
        forward_x: Where the forward draught is read. [m]
        aft_x: Where the aft one is. [m]

    Returns:
        The changes.

    Raises:
        AddedWeightError: An immersion, moment or length that is not positive: no small change then.

    References:
        C. B. Barrass, D. R. Derrett, Ship Stability for Masters and Mates: sinkage w / TPC at the centre of
        flotation, change of trim w d / MCT, shared out to the ends by their distances from it.
    """
    for name, value in (
        ("mass for a unit of immersion", mass_per_immersion),
        ("moment for a unit of trim", moment_per_trim),
        ("length", length),
    ):
        if not (math.isfinite(value) and value > 0.0):
            raise AddedWeightError(
                f"The {name} is {value:g}; a small weight has a small effect only where it is positive. "
                "Look at the waterplane and the height of the mass centre."
            )
    sinkage = added_mass / mass_per_immersion
    trim = added_mass * (at_x - flotation_x) / moment_per_trim
    slope = trim / length
    return DraughtChange(
        sinkage=sinkage,
        trim=trim,
        forward=sinkage + slope * (forward_x - flotation_x),
        aft=sinkage + slope * (aft_x - flotation_x),
    )


def draught_change_on_line(
    line: DesignLine,
    *,
    added_mass: float,
    at_x: float,
    water_density: float,
    mass_centre_z: float,
) -> DraughtChange:
    """Sinkage and trim at the ends of the design waterline by a weight put aboard.

    Args:
        line: The hull on her design waterline.
        added_mass: Negative when taken off. [kg]
        at_x: Where. [m]
        water_density: [kg/m3]
        mass_centre_z: Of everything aboard before. [m]

    Returns:
        The changes.

    Raises:
        AddedWeightError: The hull's figures do not tell, or she would not resist.
    """
    immersion = line.mass_per_immersion(water_density)
    moment = line.moment_per_trim(water_density, mass_centre_z)
    if immersion is None or moment is None or line.flotation_x is None:
        missing = [
            name
            for name, value in (
                ("waterplane area", line.waterplane_area),
                ("centre of flotation", line.flotation_x),
                ("height of the centre of buoyancy", line.buoyancy_z),
                ("BM along", line.bm_along),
            )
            if value is None
        ]
        raise AddedWeightError(
            f"What a weight does to the trim cannot be told: the hull's {' and '.join(missing)} "
            f"{'is' if len(missing) == 1 else 'are'} not known. Give {'it' if len(missing) == 1 else 'them'}, "
            "or a surface or a table of offsets."
        )
    return draught_change(
        added_mass=added_mass,
        at_x=at_x,
        flotation_x=line.flotation_x,
        mass_per_immersion=immersion,
        moment_per_trim=moment,
        length=line.length,
        forward_x=0.0,
        aft_x=line.length,
    )
