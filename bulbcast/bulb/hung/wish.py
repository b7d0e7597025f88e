"""What is asked of the bulb, as plain values: shape, mass, fin, screws, fillings."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from bulbcast.bulb.body.profiles import Profile
from bulbcast.bulb.hung.washer import Washer as Washer
from bulbcast.fin.tip_section import FinTip

# Tail cut of 8 % of the diameter, 3 mm at least: thinner tails misrun and break off the casting.
# Common practice, no source.
TAIL_TO_DIAMETER = 0.08
SMALLEST_TAIL = 0.003

# A bulb outside these proportions is not one: the plan's own range of fineness.
SMALLEST_FINENESS, LARGEST_FINENESS = 2.0, 20.0


@dataclass(frozen=True, slots=True, kw_only=True)
class ScrewWish:
    """One screw from below: lengths in m, density in kg/m3; `at` is aft of the tip's leading edge
    at the pocket floor, `recess` from the underside up to the seat on the lead along the screw. A
    `washer` lies between seat and head."""

    at: float
    diameter: float
    hole_diameter: float
    head_diameter: float
    head_height: float
    recess: float
    length: float
    density: float
    washer: Washer | None = None

    @property
    def mass(self) -> float:
        """Of the whole screw, head and shank as cylinders, without its washer. [kg]"""
        return self.density * (self.head_volume + self.shank_volume)

    @property
    def head_volume(self) -> float:
        """[m3]"""
        return 0.25 * math.pi * self.head_diameter**2 * self.head_height

    @property
    def shank_volume(self) -> float:
        """[m3]"""
        return 0.25 * math.pi * self.diameter**2 * self.length


@dataclass(frozen=True, slots=True, kw_only=True)
class PinWish:
    """One cross pin: lengths in m, density in kg/m3; `at` is aft of the tip's leading edge at the pin's own
    level, `height` of its axis above the pocket floor."""

    at: float
    height: float
    diameter: float
    hole_diameter: float
    length: float
    density: float


@dataclass(frozen=True, slots=True, kw_only=True)
class StudWish:
    """One stud or tube cast in along the fin's axis: lengths in m, densities in kg/m3; `at` is aft of the tip's
    leading edge at the pocket floor, `below` and `above` how far it reaches from there."""

    at: float
    diameter: float
    bore: float
    below: float
    above: float
    density: float
    fill_density: float


@dataclass(frozen=True, slots=True, kw_only=True)
class FinWish:
    """The fin the bulb hangs on: lengths in m in boat axes, `rake` in rad; `leading_edge_x` and `tip_z` are
    those of the tip's leading edge.

    `through` is for a blade that goes right through a bulb of two halves, its tip at the level of the bulb's
    underside; `pocket_depth` then says nothing. `bond_line` is the filler between the halves. [m]
    """

    tip: FinTip
    leading_edge_x: float
    tip_z: float
    pocket_depth: float
    clearance: float
    rake: float
    through: bool = False
    bond_line: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class BulbWish:
    """Everything the size and the place of a bulb depend on.

    Attributes:
        target_mass: Hung mass. [kg]
        profile: Meridian.
        given: Which dimension is given; the free one is solved for.
        value: Of the given dimension. [-] for a fineness, else [m]
        width_to_height: Of every section. [-]
        tail_diameter: Where the tail is cut; None for the rule of thumb. [m]
        skin: Fairing and paint. [m]
        filler_density: Of skin, plugs and bedding. [kg/m3]
        lead_density: Of the sound metal. [kg/m3]
        porosity: Of the casting. [-]
        fin: The fin.
        screws: In order.
        pins: Across, in order.
        studs: Cast in, in order.
        mass_centre_x: Where everything hung must balance, boat axes. [m]
        incidence: Angle of the bulb's axis to the waterline, nose up positive. [rad]
        carried_at: In place of `mass_centre_x`, where everything hung must balance along the tip, aft of
            its leading edge; None where the place is given in the boat. [m]
    """

    target_mass: float
    profile: Profile
    given: Literal["fineness", "length", "diameter"]
    value: float
    width_to_height: float
    tail_diameter: float | None
    skin: float
    filler_density: float
    lead_density: float
    porosity: float
    fin: FinWish
    screws: tuple[ScrewWish, ...]
    mass_centre_x: float
    incidence: float = 0.0
    carried_at: float | None = None
    pins: tuple[PinWish, ...] = ()
    studs: tuple[StudWish, ...] = ()

    @property
    def cast_density(self) -> float:
        """Density of the casting, voids reckoned in. [kg/m3]"""
        return self.lead_density * (1.0 - self.porosity)


def tail_diameter_for(diameter: float, asked: float | None) -> float:
    """Where the tail is cut square: as asked, else 8 % of the diameter and 3 mm at least.

    Args:
        diameter: Of the bulb. [m]
        asked: The plan's own figure, or None. [m]

    Returns:
        Tail diameter. [m]
    """
    if asked is not None:
        return asked
    return max(TAIL_TO_DIAMETER * diameter, SMALLEST_TAIL)
