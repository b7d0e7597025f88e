"""Hull speed, Froude's scaling law, and the heel of the same boat at another size or in another wind.

If every length is multiplied by r, in the same water, then area grows as r^2, mass as r^3, speed as r^(1/2), wind for
the same heel as r^(1/2) and righting moment as r^4. In the same wind the sail's moment grows only as r^3, so a smaller
boat of the same shape is more tender, in proportion to the scale. It is also slower through the water, so it makes more
leeway, in the same proportion. That is why a scale model needs a deeper fin, more ballast and more fin area than an
exact scale copy would have.
"""

from __future__ import annotations

import math

from bulbcast.quantities.checked import STANDARD_GRAVITY, require_positive
from bulbcast.quantities.frozen import frozen, replace
from bulbcast.sailing.leeway import leeway
from bulbcast.sailing.sail import (
    Rig,
    metacentric_height_for_heel,
    side_force,
)


def hull_speed(waterline: float) -> float:
    """Hull speed, at which the boat's wave is as long as the waterline.

    Args:
        waterline: Waterline length. [m]

    Returns:
        sqrt(g L / (2 pi)), a Froude number of 0.3989. [m/s]

    Raises:
        BoatFigureError: The length is not above 0.

    References:
        Classical speed of deep-water waves. The textbook figure of 1.34 kn per root foot is 1.3407, rounded.
    """
    require_positive("The waterline length", waterline, "m")
    return math.sqrt(STANDARD_GRAVITY * waterline / (2.0 * math.pi))


@frozen
class SailingBoat:
    """Figures of a boat that determine its heel and leeway.

    Attributes:
        waterline: Waterline length. [m]
        mass: Mass of the complete boat. [kg]
        metacentric_height: Transverse GM. [m]
        rig: The boat's sail, with a heel exponent of 2.
        fin_area: Area of one side of the exposed fin. [m2]
        lift_slope: Lift slope of the fin; the same at every size. [1/rad]
        water_density: Density of the water. [kg/m3]

    Raises:
        BoatFigureError: A figure is not above 0.
    """

    waterline: float
    mass: float
    metacentric_height: float
    rig: Rig
    fin_area: float
    lift_slope: float
    water_density: float

    def __post_init__(self) -> None:
        require_positive("The waterline length", self.waterline, "m")
        require_positive("The boat's mass", self.mass, "kg")
        require_positive("The metacentric height", self.metacentric_height, "m")
        require_positive("The fin's area", self.fin_area, "m2")
        require_positive("The lift slope", self.lift_slope, "1/rad")
        require_positive("The water density", self.water_density, "kg/m3")


def froude_scaled(boat: SailingBoat, ratio: float) -> SailingBoat:
    """Scale a boat to another size, with lines, materials, rig and fin unchanged.

    Args:
        boat: The boat as planned.
        ratio: Ratio of new to old length. [-]

    Returns:
        The scaled boat, in the same water.

    Raises:
        BoatFigureError: The ratio is not above 0.
    """
    require_positive("The ratio of the lengths", ratio, "")
    return replace(
        boat,
        waterline=boat.waterline * ratio,
        mass=boat.mass * ratio**3,
        metacentric_height=boat.metacentric_height * ratio,
        rig=replace(boat.rig, area=boat.rig.area * ratio**2, heeling_arm=boat.rig.heeling_arm * ratio),
        fin_area=boat.fin_area * ratio**2,
    )


@frozen
class UnderSail:
    """Boat at hull speed in a given wind.

    Attributes:
        boat: The boat.
        wind: Speed of the wind. [m/s]
        speed: Speed through the water. [m/s]
        heel: Steady heel. [rad]
        side_force: Side force at that heel. [N]
        leeway: Angle of leeway. [rad]
    """

    boat: SailingBoat
    wind: float
    speed: float
    heel: float
    side_force: float
    leeway: float


def under_sail(boat: SailingBoat, *, wind: float, heel: float) -> UnderSail:
    """Calculate side force and leeway in a steady wind at hull speed.

    Args:
        boat: The boat.
        wind: Speed of the wind. [m/s]
        heel: Steady heel in that wind. [rad]

    Returns:
        Speed, heel, side force and leeway.

    Raises:
        BoatFigureError: A figure is out of range.
    """
    through = hull_speed(boat.waterline)
    force = side_force(boat.rig, wind, heel)
    return UnderSail(
        boat=boat,
        wind=wind,
        speed=through,
        heel=heel,
        side_force=force,
        leeway=leeway(
            side_force=force,
            speed=through,
            area=boat.fin_area,
            slope=boat.lift_slope,
            water_density=boat.water_density,
            heel=heel,
        ),
    )


@frozen
class ScaleComparison:
    """Results for one boat at two sizes.

    Attributes:
        ratio: Ratio of the other length to the boat's. [-]
        here: Boat at the planned size, in the given wind.
        same_wind: Boat at the other size in the same wind.
        scaled_wind: Boat at the other size in a wind scaled by the root of the ratio, in which she heels the same.
        metacentric_height_needed: GM with which the boat, at the planned size, would heel as much as the other size does
            in the given wind, calculated from GM sin(heel). [m]
        like_wind: Wind in which the boat heels as much as the other size does in the given wind. [m/s]
        fin_area_needed: Fin area, at the same lift slope, with which the boat would make the same leeway as the other
            size does in the given wind, at the same heel. [m2]
    """

    ratio: float
    here: UnderSail
    same_wind: UnderSail
    scaled_wind: UnderSail
    metacentric_height_needed: float
    fin_area_needed: float
    like_wind: float


def compared_at_scale(
    boat: SailingBoat, *, ratio: float, wind: float, heel: float, like_heel: float
) -> ScaleComparison:
    """Compare the boat with the same boat at another size, in the same wind and in a scaled wind.

    Heel is the same at every size if the wind is scaled with the square root of the length. The boat's heel is
    therefore needed in only two winds: the given wind, and `like_wind`, the wind divided by the square root of the
    ratio.

    Args:
        boat: The boat, usually the model.
        ratio: Ratio of the other length to the boat's; above 1 if the boat is a model of a larger one. [-]
        wind: Wind on the boat, above 0. [m/s]
        heel: Heel in that wind, from the boat's righting arms. [rad]
        like_heel: Heel in `like_wind`, from the same righting arms. [rad]

    Returns:
        The boat in each of the three cases, and the GM and fin area with which she would heel and make leeway as the
        other size does.

    Raises:
        BoatFigureError: A figure is not above 0.
    """
    require_positive("The wind", wind, "m/s")
    here = under_sail(boat, wind=wind, heel=heel)
    other, like = froude_scaled(boat, ratio), math.sqrt(ratio)
    same = under_sail(other, wind=wind, heel=like_heel)
    force_then = side_force(boat.rig, wind, same.heel)
    return ScaleComparison(
        ratio=ratio,
        here=here,
        same_wind=same,
        scaled_wind=under_sail(other, wind=wind * like, heel=here.heel),
        metacentric_height_needed=metacentric_height_for_heel(
            boat.rig, wind=wind, mass=boat.mass, heel=same.heel
        ),
        fin_area_needed=boat.fin_area
        * leeway(
            side_force=force_then,
            speed=here.speed,
            area=boat.fin_area,
            slope=boat.lift_slope,
            water_density=boat.water_density,
            heel=same.heel,
        )
        / same.leeway,
        like_wind=wind / like,
    )
