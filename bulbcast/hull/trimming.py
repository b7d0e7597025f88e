"""Small changes to a boat on her design waterline: effect of an added weight on sinkage, trim and heel.

Sinkage is positive if she floats deeper. Trim is draught aft less draught forward over the design waterline, so it is
positive by the stern. The boat turns about the centre of flotation. Heel is positive to starboard. Everything here is
first order, which is valid while the waterplane hardly changes. For a model this means a few millimetres.
"""

from __future__ import annotations

from bulbcast.hull.design_line import DesignLine
from bulbcast.quantities.checked import BoatFigureError, require_positive
from bulbcast.quantities.frozen import frozen


@frozen
class Flotation:
    """Figures of a boat on her design waterline, in boat axes, from which the effects of small changes are calculated.

    Attributes:
        water_density: Density of the design water. [kg/m3]
        volume: Volume displaced at the design waterline, including the bulb. [m3]
        buoyancy_x: x of the centre of buoyancy. [m]
        waterplane_area: Area of the waterplane. [m2]
        flotation_x: x of the waterplane's centre. [m]
        metacentric_height_along: Longitudinal GM of the complete boat. [m]
        metacentric_height: Transverse GM of the complete boat; None if not known. [m]
        fore_x: Forward end of the length over which trim is reported. [m]
        aft_x: After end of the length over which trim is reported. [m]
        band: Half width of the 19-in-20 band of the longitudinal metacentric height, as a fraction of that height; 0 if
            it is not estimated. [-]
        centre_spread: Standard deviation of the centre of flotation if it is estimated, otherwise 0. [m]

    Raises:
        BoatFigureError: The longitudinal metacentric height is not above 0.
    """

    water_density: float
    volume: float
    buoyancy_x: float
    waterplane_area: float
    flotation_x: float
    metacentric_height_along: float
    metacentric_height: float | None = None
    fore_x: float
    aft_x: float
    band: float = 0.0
    centre_spread: float = 0.0

    def __post_init__(self) -> None:
        require_positive("The longitudinal metacentric height", self.metacentric_height_along, "m")

    @property
    def length(self) -> float:
        """Distance between the ends of the design waterline. [m]"""
        return self.aft_x - self.fore_x

    @property
    def mass(self) -> float:
        """Mass of the boat on her design waterline. [kg]"""
        return self.water_density * self.volume

    @property
    def mass_per_immersion(self) -> float:
        """Mass that sinks the boat by one metre; divide by 1000 for kg per mm. [kg/m]"""
        return self.water_density * self.waterplane_area

    @property
    def moment_per_trim(self) -> float:
        """Mass moment that trims the boat by a metre over her length; divide by 1000 for kg m per mm. [kg m/m]"""
        return self.mass * self.metacentric_height_along / self.length

    @property
    def moment_per_heel(self) -> float | None:
        """Mass moment per radian of heel at small angles; None without a metacentric height. [kg m/rad]"""
        return None if self.metacentric_height is None else self.mass * self.metacentric_height


def flotation_on_line(
    line: DesignLine,
    *,
    water_density: float,
    mass_centre_z: float | None,
    below_volume: float = 0.0,
    below_x: float = 0.0,
    below_z: float = 0.0,
) -> Flotation:
    """Combine the hull's figures with the appendages below it, for the complete boat on her design waterline.

    Fin, rudder and bulb change the volume and the centre of buoyancy. The waterplane is the hull's alone, so BM falls
    as the volume rises.

    Args:
        line: Figures of the hull alone, or of hull and appendages together if `below_volume` is 0.
        water_density: Density of the water. [kg/m3]
        mass_centre_z: z of the mass centre of the complete boat, boat axes; None if not known. [m]
        below_volume: Volume of fin, rudder and bulb, if `line` does not include them. [m3]
        below_x: x of the centre of `below_volume`, boat axes. [m]
        below_z: z of the centre of `below_volume`, boat axes. [m]

    Returns:
        The figures from which small changes are calculated, with trim measured over the waterline length.

    Raises:
        BoatFigureError: The hull's figures are not sufficient, or the boat would not stay level.
    """
    z, area, centre, bm = line.buoyancy_z, line.waterplane_area, line.flotation_x, line.bm_along
    x, length = line.buoyancy_x, line.length
    if x is None and line.band > 0.0:
        # This is used only for an estimate, and affects nothing but the trim in water of another density.
        x = centre
    if (
        z is None
        or area is None
        or centre is None
        or bm is None
        or x is None
        or length is None
        or mass_centre_z is None
    ):
        needed = (
            ("centre of buoyancy", x),
            ("vertical centre of buoyancy", z),
            ("waterplane area", area),
            ("centre of flotation", centre),
            ("longitudinal BM", bm),
            ("waterline length", length),
        )
        lacking = [name for name, value in needed if value is None]
        # The hull's figures come first: with length and BM, an unknown mass centre is estimated.
        wanted, fix = (
            "the height of the boat's mass centre",
            "Give the z of each weight, and describe the fin from hull to tip.",
        )
        if lacking:
            wanted = f"the hull's {', '.join(lacking)}"
            fix = "Give these figures, or give the hull as a surface or as offsets."
        raise BoatFigureError(f"The effect of a weight on trim cannot be calculated without {wanted}. {fix}")
    volume = line.volume + below_volume
    share = line.volume / volume
    buoyancy_z = share * z + (1.0 - share) * below_z
    across = None if line.bm_across is None else buoyancy_z + share * line.bm_across - mass_centre_z
    return Flotation(
        water_density=water_density,
        volume=volume,
        buoyancy_x=share * x + (1.0 - share) * below_x,
        waterplane_area=area,
        flotation_x=centre,
        metacentric_height_along=buoyancy_z + share * bm - mass_centre_z,
        metacentric_height=across,
        fore_x=0.0,
        aft_x=length,
        band=line.band,
        centre_spread=line.centre_spread,
    )


@frozen
class Change:
    """Effect of an added mass and moment on the floating position.

    Attributes:
        mass: Mass added, less that of the water it displaces; negative for mass removed. [kg]
        moment: Moment of the added mass about the centre of flotation, positive aft. [kg m]
        sinkage: Sinkage at the centre of flotation, positive if deeper. [m]
        trim: Trim over the waterline length, positive by the stern. [m]
        deeper_fore: Increase of draught at the forward end of the waterline. [m]
        deeper_aft: Increase of draught at the after end of the waterline. [m]
    """

    mass: float
    moment: float
    sinkage: float
    trim: float
    deeper_fore: float
    deeper_aft: float


def changed_by_moment(flotation: Flotation, *, mass: float, moment: float) -> Change:
    """Calculate the effect of a mass and a moment on the floating position.

    Args:
        flotation: Flotation on the design waterline.
        mass: Mass added, less that of the water it displaces. [kg]
        moment: Moment about the centre of flotation, positive aft. [kg m]

    Returns:
        Sinkage, trim, and the changes of draught at both ends.

    References:
        Sinkage w / (rho Awp), trim w (x - xF) L / (m GML): Ship Stability for Masters and Mates.
    """
    sinkage = mass / flotation.mass_per_immersion
    trim = moment / flotation.moment_per_trim
    return Change(
        mass=mass,
        moment=moment,
        sinkage=sinkage,
        trim=trim,
        deeper_fore=deeper_at(flotation, sinkage=sinkage, trim=trim, x=flotation.fore_x),
        deeper_aft=deeper_at(flotation, sinkage=sinkage, trim=trim, x=flotation.aft_x),
    )


def deeper_at(flotation: Flotation, *, sinkage: float, trim: float, x: float) -> float:
    """Calculate how much deeper the boat floats at a given x.

    Args:
        flotation: Flotation on the design waterline.
        sinkage: Sinkage at the centre of flotation. [m]
        trim: Trim over the waterline length. [m]
        x: Position along the boat, boat axes. [m]

    Returns:
        The change in depth, positive if deeper. [m]
    """
    return sinkage + trim * (x - flotation.flotation_x) / flotation.length
