"""The ballast target: mass and position of the bulb that make the boat float level on her line.

The bulb itself displaces water, so for plain lead the balance is linear in the lead's volume and has a closed form:

    m = (rho_w V_r - m_r) / (1 - rho_w / rho_lead)
    x = (rho_w V_r x_B - m_r x_G) / [m (1 - rho_w / rho_lead)]

V_r and m_r are the volume and mass of everything but the bulb. Both include the complete fin. Its end in the
pocket makes the bulb larger on the outside but does not displace water twice. Derived here. For a shaped bulb with
screws, fillings and paint this formula is only a starting point, because the bulb's required mass and the water it
displaces depend on each other.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from bulbcast.ballast.weigh_in import Weight, weigh_in
from bulbcast.quantities.checked import (
    BoatFigureError,
    require_finite,
    require_not_negative,
    require_positive,
    shown,
)
from bulbcast.quantities.frozen import frozen, replace


@frozen
class RestOfBoat:
    """The boat without her bulb on the design waterline, in boat axes.

    Attributes:
        volume: Volume displaced by hull, fin and rudder. [m3]
        buoyancy_x: x of the centre of that volume; None if not known. [m]
        mass: Mass of everything but the bulb, including the fin. [kg]
        mass_x: x of the mass centre; None if not known. [m]
        all_up: Whether `volume` is that of the complete boat, from which the bulb's volume must be subtracted.
        hull_x: x of the centre of the hull's volume, needed to subtract the bulb; None if not known. [m]

    Raises:
        BoatFigureError: A volume is not above 0, a mass is below 0, or a figure is not a number.
    """

    volume: float
    buoyancy_x: float | None
    mass: float
    mass_x: float | None
    all_up: bool = False
    hull_x: float | None = None

    def __post_init__(self) -> None:
        require_positive("The displaced volume", self.volume, "m3")
        require_not_negative("The mass without the bulb", self.mass, "kg")
        for what, x in (
            ("The centre of buoyancy", self.buoyancy_x),
            ("The mass centre without the bulb", self.mass_x),
        ):
            if x is not None:
                require_finite(what, x, "m")

    @property
    def trim_known(self) -> bool:
        """Whether the figures are enough to calculate where the bulb levels the boat."""
        return self.buoyancy_x is not None and self.mass_x is not None

    def beside(self, bulb_volume: float) -> RestOfBoat:
        """Subtract the bulb's volume from an all-up displacement.

        Args:
            bulb_volume: Volume of water that the bulb displaces outside the fin. [m3]

        Returns:
            Hull, fin and rudder without the bulb; unchanged if the volume already excludes it.

        Raises:
            BoatFigureError: The bulb displaces more than the complete boat.
        """
        if not self.all_up:
            return self
        left, x = self.volume - bulb_volume, None
        require_positive("The displacement left for the hull", left, "m3")
        if self.buoyancy_x is not None and self.hull_x is not None:
            x = (self.volume * self.buoyancy_x - bulb_volume * self.hull_x) / left
        return RestOfBoat(volume=left, buoyancy_x=x, mass=self.mass, mass_x=self.mass_x)


def rest_without(rest: RestOfBoat, ashore: Sequence[Weight]) -> RestOfBoat:
    """Return the boat without some of the weights, such as trim lead or gear that can stay ashore.

    Args:
        rest: Everything but the bulb.
        ashore: Weight list lines to leave ashore.

    Returns:
        The lighter boat.

    Raises:
        BoatFigureError: More is left ashore than she weighs.
    """
    out = weigh_in(ashore)
    mass = rest.mass - out.mass
    if mass <= 0.0:
        raise BoatFigureError(
            f"The boat weighs {shown(rest.mass, 'kg')} without the bulb, so {shown(out.mass, 'kg')} cannot be left "
            "ashore. Choose only items included in that mass."
        )
    known = rest.mass_x is not None and out.moments[0] is not None
    return replace(
        rest,
        mass=mass,
        mass_x=(rest.mass * (rest.mass_x or 0.0) - (out.moments[0] or 0.0)) / mass if known else None,
    )


def apparent_weight_factor(water_density: float, density: float) -> float:
    """Return the weight of a body in water divided by its weight in air, 1 - rho_w / rho.

    Args:
        water_density: Density of the water. [kg/m3]
        density: Density of the body, which must exceed that of the water. [kg/m3]

    Returns:
        Ratio of weight in water to weight in air. [-]

    Raises:
        BoatFigureError: A density is not above 0, or the ballast would float.
    """
    require_positive("The water density", water_density, "kg/m3")
    require_positive("The ballast's density", density, "kg/m3")
    if density <= water_density:
        raise BoatFigureError(
            f"The ballast would float: its density is {shown(density, 'kg/m3')}, which is not above the water's "
            f"{shown(water_density, 'kg/m3')}. Give the density of the cast lead."
        )
    return 1.0 - water_density / density


def ballast_target(
    rest: RestOfBoat, *, water_density: float, lead_density: float
) -> tuple[float, float | None]:
    """Calculate the mass and position of a bulb of plain lead that makes the boat float level on her line.

    Args:
        rest: Everything but the bulb.
        water_density: Density of the water. [kg/m3]
        lead_density: Density of the metal as cast, including pores. [kg/m3]

    Returns:
        Mass [kg], and x of its centre in boat axes [m]; x is None if the trim is not known.

    Raises:
        BoatFigureError: Nothing is left for the bulb, or the ballast would float.
    """
    factor = apparent_weight_factor(water_density, lead_density)
    if rest.all_up:
        # The volume is that of the complete boat, so no water is added for the bulb.
        mass = water_density * rest.volume - rest.mass
        if mass > 0.0:
            rest = rest.beside(mass / lead_density)
    else:
        mass = (water_density * rest.volume - rest.mass) / factor
    if mass <= 0.0:
        raise BoatFigureError(
            f"Nothing is left for the bulb: at her line the boat displaces {shown(water_density * rest.volume, 'kg')}, "
            f"and without the lead she already weighs {shown(rest.mass, 'kg')}. Remove "
            f"{shown(rest.mass - water_density * rest.volume, 'kg')} or more, or raise her waterline."
        )
    if rest.buoyancy_x is None or rest.mass_x is None:
        return mass, None
    moment = water_density * (rest.volume * rest.buoyancy_x) - rest.mass * rest.mass_x
    return mass, moment / (mass * factor)


@frozen
class BulbAfloat:
    """The bulb's effect on the boat, in boat axes.

    Attributes:
        mass: Hung mass. [kg]
        x: x of its mass centre. [m]
        volume: Volume of water that it displaces, less the volume of the fin inside it. [m3]
        volume_x: x of the centre of that volume. [m]
    """

    mass: float
    x: float
    volume: float
    volume_x: float

    def apparent(self, water_density: float) -> float:
        """Return the bulb's mass less the mass of water it displaces [kg], for a given water density [kg/m3]."""
        return self.mass - water_density * self.volume


def hung_target(rest: RestOfBoat, *, volume: float, water_density: float) -> float:
    """Return the mass that a bulb of known volume must have.

    For a shaped bulb the displacement follows from the size, and the size from this mass. Repeating the two steps
    converges in a few passes, since lead displaces only about a tenth of its mass.

    Args:
        rest: The boat without the bulb, including the complete fin.
        volume: Volume of water displaced by the bulb outside the fin. [m3]
        water_density: Density of the water. [kg/m3]

    Returns:
        Hung mass. [kg]

    Raises:
        BoatFigureError: Nothing is left for the bulb.
    """
    carried = water_density * (rest.beside(volume).volume + volume)
    mass = carried - rest.mass
    if mass <= 0.0:
        raise BoatFigureError(
            f"Nothing is left for the bulb: at her line the boat displaces {shown(carried, 'kg')}, and without the bulb "
            f"she already weighs {shown(rest.mass, 'kg')}. Remove weight, or raise her waterline."
        )
    return mass


def imbalance(rest: RestOfBoat, bulb: BulbAfloat, *, water_density: float) -> tuple[float, float | None]:
    """Calculate how far the boat and bulb together are from floating level on her line.

    Args:
        rest: Everything but the bulb, including the complete fin.
        bulb: The bulb.
        water_density: Density of the water. [kg/m3]

    Returns:
        Mass of boat and bulb less the water they displace at the line, negative if the boat floats high [kg], and its
        moment about x = 0, positive aft [kg m]; both are 0 if she floats level on her line. The moment is None if the
        trim is not known.
    """
    rest = rest.beside(bulb.volume)
    mass = rest.mass + bulb.mass - water_density * (rest.volume + bulb.volume)
    if rest.buoyancy_x is None or rest.mass_x is None:
        return mass, None
    moment = (
        rest.mass * rest.mass_x
        + bulb.mass * bulb.x
        - water_density * (rest.volume * rest.buoyancy_x + bulb.volume * bulb.volume_x)
    )
    return mass, moment


def target_spread(
    *, mass_spread: float, volume_spread: float, water_density: float, lead_density: float
) -> float:
    """Calculate the standard deviation of the target mass from those of the weigh-in and the displaced volume.

    Args:
        mass_spread: Standard deviation of the mass of everything but the bulb. [kg]
        volume_spread: Standard deviation of the displaced volume at the line. [m3]
        water_density: Density of the water. [kg/m3]
        lead_density: Density of the lead. [kg/m3]

    Returns:
        Both deviations added in quadrature, divided by 1 - rho_w / rho_lead. [kg]

    Raises:
        BoatFigureError: A spread is below 0, or the ballast would float.
    """
    require_not_negative("The spread of the weigh-in", mass_spread, "kg")
    require_not_negative("The spread of the displaced volume", volume_spread, "m3")
    factor = apparent_weight_factor(water_density, lead_density)
    return math.hypot(mass_spread, water_density * volume_spread) / factor
