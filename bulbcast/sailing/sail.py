"""Heel under sail: the wind's moment against the righting arm, and the wind that heels her to an angle.

    heeling moment   1/2 rho V^2 C A h cos^n(heel)      n = 2 by default
    righting moment  m g GZ(heel), at small angles m g GM sin(heel)

h is the distance from the sail's centre of effort down to the fin's and hull's centre of lateral resistance. Steady wind
only: no gust, no roll, no crew; not a stability assessment.
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
    "side-force coefficient close-hauled about 1.0 to 1.5 (Marchaj; Larsson and Eliasson, from memory); "
    "the middle used, judgement"
)


@frozen
class Rig:
    """The figures of the sail that heel her.

    Attributes:
        area: [m2]
        heeling_arm: Distance from the centre of effort down to the centre of lateral resistance. [m]
        coefficient: Side-force coefficient. [-]
        coefficient_source: Where it comes from; shown beside every answer.
        heel_exponent: Exponent of cos(heel) in the heeling moment: 2; ISO 12217-2 uses 1.3 (from memory). [-]
        air_density: [kg/m3]

    Raises:
        BoatFigureError: A figure is not above 0.
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
        require_not_negative("The exponent of the heel's cosine", self.heel_exponent, "")
        require_positive("The air's density", self.air_density, "kg/m3")


def heeling_arm(effort_z: float, lateral_z: float) -> float:
    """Arm of the wind's moment.

    Args:
        effort_z: Level of the sail's centre of effort, boat axes. [m]
        lateral_z: Level of the centre of lateral resistance; a deep fin's is near 45 % of its depth
            (common practice, no source). [m]

    Returns:
        The arm. [m]

    Raises:
        BoatFigureError: The centre of effort is not the higher one.
    """
    if not effort_z > lateral_z:
        raise BoatFigureError(
            f"The sail's centre of effort is at {shown(effort_z, 'm')} and the centre of lateral resistance at "
            f"{shown(lateral_z, 'm')}; the first must be higher. Levels are upward from the waterline."
        )
    return effort_z - lateral_z


def heeling_moment(rig: Rig, wind: float, heel: float = 0.0) -> float:
    """The wind's heeling moment.

    Args:
        rig: The sail.
        wind: Speed of the wind on the sail. [m/s]
        heel: Heel; the result is 0 beyond 90 degrees either way. [rad]

    Returns:
        1/2 rho V^2 C A h cos^n(heel). [N m]

    Raises:
        BoatFigureError: The wind is below 0.
    """
    return side_force(rig, wind, heel) * rig.heeling_arm


def side_force(rig: Rig, wind: float, heel: float = 0.0) -> float:
    """The sail's force square to the mast and athwart the boat.

    Args:
        rig: The sail.
        wind: Speed of the wind on the sail. [m/s]
        heel: Heel; the result is 0 beyond 90 degrees either way. [rad]

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
    """GM that would hold her to a heel in a wind, by the small-angle form.

    Args:
        rig: The sail.
        wind: [m/s]
        mass: Mass of the complete boat. [kg]
        heel: Heel above 0 and below 90 degrees. [rad]

    Returns:
        The GM. [m]

    Raises:
        BoatFigureError: A figure is not above 0, or the heel is out of range.
    """
    require_positive("The boat's mass", mass, "kg")
    require_heel(heel)
    return heeling_moment(rig, wind, heel) / (mass * STANDARD_GRAVITY * math.sin(heel))


def wind_for_arm(rig: Rig, *, mass: float, righting_arm: float, heel: float) -> float:
    """Wind whose moment the righting arm balances.

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
    """Refuse a heel outside the range under sail.

    Args:
        heel: The given heel. [rad]

    Raises:
        BoatFigureError: It is not above 0 and below 90 degrees.
    """
    if not 0.0 < heel < 0.5 * math.pi:
        raise BoatFigureError(
            f"The heel is {math.degrees(heel):g} degrees; it must be above 0 and below 90. Give the heel under sail."
        )
