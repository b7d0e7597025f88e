"""The bulb that the plan asks for, as plain values: shape, mass, fin, screws and fillings."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from bulbcast.bulb.body.profiles import Profile
from bulbcast.bulb.cuts.fittings import PinCut, StudCut
from bulbcast.bulb.cuts.parts import ScrewCut
from bulbcast.fin.tip_section import FinTip

# Tail cut at 8 % of the diameter, at least 3 mm: thinner tails misrun and break off the casting.
# Common practice, no source.
TAIL_TO_DIAMETER = 0.08
SMALLEST_TAIL = 0.003

# Outside these proportions it is not a bulb. They are the plan's own range of fineness.
SMALLEST_FINENESS, LARGEST_FINENESS = 2.0, 20.0


@dataclass(frozen=True, slots=True, kw_only=True)
class FinWish:
    """The fin that the bulb hangs on. Lengths are in m and in boat axes, and `rake` is in rad; `leading_edge_x` and
    `tip_z` are those of the tip's leading edge.

    `through` is for a blade that goes right through a bulb of two halves, with its tip at the height of the bulb's
    underside. `pocket_depth` is then not used. Nor is it used if there is a `slot_depth`, the depth of a slot below
    the lead's surface, measured at the middle of the slot. `bonded` is for two halves bonded face to face on the
    centreplane, either round a pocket or on a blade that goes right through. `bond_line` is the thickness of the filler
    between them. [m]
    """

    tip: FinTip
    leading_edge_x: float
    tip_z: float
    pocket_depth: float
    clearance: float
    rake: float
    through: bool = False
    bonded: bool = False
    bond_line: float = 0.0
    slot_depth: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class BulbWish:
    """Everything on which the size and position of a bulb depend.

    Attributes:
        target_mass: Hung mass. [kg]
        profile: The meridian.
        given: Name of the given dimension; the free one is solved for.
        value: Value of the given dimension. [-] for a fineness, otherwise [m]
        width_to_height: Width over height of every section. [-]
        tail_diameter: Diameter at which the tail is cut; None for the default. [m]
        skin: Thickness of fairing and paint. [m]
        filler_density: Density of the skin, plugs and bedding. [kg/m3]
        lead_density: Density of the sound metal. [kg/m3]
        porosity: Porosity of the casting. [-]
        fin: The fin.
        screws: Screws in order; their positions are measured aft of the tip's leading edge.
        pins: Cross pins, with positions measured in the same way.
        studs: Studs cast in, with positions measured in the same way.
        mass_centre_x: x at which everything that hangs must balance, boat axes. [m]
        incidence: Angle of the bulb's axis to the waterline, nose up positive. [rad]
        excess: Mass by which the hung bulb is heavier than its target until it is drilled. [kg]
        carried_at: Instead of `mass_centre_x`, the distance along the tip, aft of its leading edge, at which everything
            that hangs must balance; None if the position is given in the boat. [m]
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
    screws: tuple[ScrewCut, ...]
    mass_centre_x: float
    incidence: float = 0.0
    carried_at: float | None = None
    pins: tuple[PinCut, ...] = ()
    studs: tuple[StudCut, ...] = ()
    excess: float = 0.0

    @property
    def cast_density(self) -> float:
        """Density of the casting, including voids. [kg/m3]"""
        return self.lead_density * (1.0 - self.porosity)


def tail_diameter_for(diameter: float, asked: float | None) -> float:
    """Diameter at which the tail is cut square: as given, otherwise 8 % of the bulb's diameter and at least 3 mm.

    Args:
        diameter: Diameter of the bulb. [m]
        asked: The plan's figure, or None. [m]

    Returns:
        The tail diameter. [m]
    """
    if asked is not None:
        return asked
    return max(TAIL_TO_DIAMETER * diameter, SMALLEST_TAIL)
