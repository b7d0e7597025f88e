"""Heel under sail: the wind's moment, balanced by the righting arm, and the wind that causes a given heel.

    heeling moment   1/2 rho V^2 C A h cos^n(heel)      n = 2 by default
    righting moment  m g GZ(heel), at small angles m g GM sin(heel)

h is the distance from the sail's centre of effort down to the centre of lateral resistance of the fin and the hull. The
wind is steady. Gusts, rolling and crew are not included. This is not a stability assessment.
"""

from __future__ import annotations

import math

from bulbcast.quantities.checked import (
    AIR_DENSITY,
    STANDARD_GRAVITY,
    BoatFigureError,
    require_finite,
    require_not_negative,
    require_positive,
    shown,
)
from bulbcast.quantities.frozen import frozen

DEFAULT_COEFFICIENT = 1.2
DEFAULT_COEFFICIENT_SOURCE = (
    "the side-force coefficient when close-hauled is about 1.0 to 1.5 (Marchaj; Larsson and Eliasson, from memory); we "
    "use the middle of that range"
)


@frozen
class Rig:
    """Sail figures that determine heel.

    Attributes:
        area: Area of the sail. [m2]
        heeling_arm: Distance from the centre of effort down to the centre of lateral resistance. [m]
        coefficient: Side-force coefficient. [-]
        coefficient_source: Source of the coefficient, shown with every answer.
        heel_exponent: Exponent of cos(heel) in the heeling moment, 2 by default. ISO 12217-2 uses 1.3 (from memory). [-]
        air_density: Density of the air. [kg/m3]

    Raises:
        BoatFigureError: A figure is not above 0, or the exponent is below 0.
    """

    area: float
    heeling_arm: float
    coefficient: float = DEFAULT_COEFFICIENT
    coefficient_source: str = DEFAULT_COEFFICIENT_SOURCE
    heel_exponent: float = 2.0
    air_density: float = AIR_DENSITY

    def __post_init__(self) -> None:
        require_positive("The sail area", self.area, "m2")
        require_positive("The heeling arm", self.heeling_arm, "m")
        require_positive("The side-force coefficient", self.coefficient, "")
        require_not_negative("The exponent of cos(heel)", self.heel_exponent, "")
        require_positive("The air's density", self.air_density, "kg/m3")


def heeling_arm(effort_z: float, lateral_z: float) -> float:
    """Arm of the wind's moment.

    Args:
        effort_z: Height of the sail's centre of effort, boat axes. [m]
        lateral_z: Height of the centre of lateral resistance, about 45 % of the way down a deep fin (common practice, no
            source). [m]

    Returns:
        The arm. [m]

    Raises:
        BoatFigureError: The centre of effort is not above the centre of lateral resistance.
    """
    if not effort_z > lateral_z:
        raise BoatFigureError(
            f"The sail's centre of effort is at {shown(effort_z, 'm')} and the centre of lateral resistance at "
            f"{shown(lateral_z, 'm')}; the centre of effort must be higher. Heights are measured upward from the "
            "waterline."
        )
    return effort_z - lateral_z


def heeling_moment(rig: Rig, wind: float, heel: float = 0.0) -> float:
    """Heeling moment of the wind.

    Args:
        rig: The sail.
        wind: Speed of the wind on the sail. [m/s]
        heel: Heel. Beyond 90 degrees to either side the result is 0. [rad]

    Returns:
        1/2 rho V^2 C A h cos^n(heel). [N m]

    Raises:
        BoatFigureError: The wind is below 0.
    """
    return side_force(rig, wind, heel) * rig.heeling_arm


def side_force(rig: Rig, wind: float, heel: float = 0.0) -> float:
    """Sideways force of the sail, perpendicular to the mast.

    Args:
        rig: The sail.
        wind: Speed of the wind on the sail. [m/s]
        heel: Heel. Beyond 90 degrees to either side the result is 0. [rad]

    Returns:
        1/2 rho V^2 C A cos^n(heel). [N]

    Raises:
        BoatFigureError: The wind is below 0.
    """
    require_not_negative("The wind", wind, "m/s")
    require_finite("The heel", heel, "rad")
    upright = 0.5 * rig.air_density * wind**2 * rig.coefficient * rig.area
    return upright * math.pow(max(math.cos(heel), 0.0), rig.heel_exponent)


def metacentric_height_for_heel(rig: Rig, *, wind: float, mass: float, heel: float) -> float:
    """GM that would limit the boat to a given heel in a wind, by the small-angle formula.

    Args:
        rig: The sail.
        wind: Speed of the wind on the sail. [m/s]
        mass: Mass of the complete boat. [kg]
        heel: Heel above 0 and below 90 degrees. [rad]

    Returns:
        The GM required. [m]

    Raises:
        BoatFigureError: A figure is not above 0, or the heel is out of range.
    """
    require_positive("The boat's mass", mass, "kg")
    require_heel(heel)
    return heeling_moment(rig, wind, heel) / (mass * STANDARD_GRAVITY * math.sin(heel))


def wind_for_arm(rig: Rig, *, mass: float, righting_arm: float, heel: float) -> float:
    """Wind whose heeling moment is balanced by the righting arm.

    Args:
        rig: The sail.
        mass: Mass of the complete boat. [kg]
        righting_arm: GZ at that heel, 0 or more. [m]
        heel: Heel above 0 and below 90 degrees. [rad]

    Returns:
        sqrt(2 m g GZ / (rho C A h cos^n(heel))). [m/s]

    Raises:
        BoatFigureError: A figure is out of range.
    """
    require_positive("The boat's mass", mass, "kg")
    require_not_negative("The righting arm", righting_arm, "m")
    require_heel(heel)
    return math.sqrt(mass * STANDARD_GRAVITY * righting_arm / heeling_moment(rig, 1.0, heel))


def require_heel(heel: float) -> None:
    """Refuse a heel outside the range allowed under sail.

    Args:
        heel: The given heel. [rad]

    Raises:
        BoatFigureError: The heel is not above 0 and below 90 degrees.
    """
    if not 0.0 < heel < 0.5 * math.pi:
        raise BoatFigureError(
            f"The heel is {math.degrees(heel):g} degrees; it must be above 0 and below 90. Give the heel under sail."
        )
