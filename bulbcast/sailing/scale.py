"""Hull speed, Froude's scaling, and how the same boat stands at another size or in another wind.

With every length times r, in water alike: area r^2, mass r^3, speed r^(1/2), wind r^(1/2) for the same
heel, righting moment r^4. In the same wind the sail's moment grows only as r^3, so a smaller boat of the same
shape is the more tender by her scale, and her fin, slower through the water, makes the more leeway by it too.
That is why a scale model needs a deeper fin, more ballast and more fin area than her plan shows.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from bulbcast.materials.gravity import STANDARD_GRAVITY
from bulbcast.quantities.checked import (
    require_positive,
)
from bulbcast.sailing.leeway import leeway
from bulbcast.sailing.sail import (
    Rig,
    heel_at_small_angles,
    metacentric_height_for_heel,
    side_force,
    wind_for_arm,
)


def hull_speed(waterline: float) -> float:
    """Speed whose wave is as long as the waterline.

    Args:
        waterline: Length. [m]

    Returns:
        sqrt(g L / (2 pi)), a Froude number of 0.3989. [m/s]

    Raises:
        BoatFigureError: A length that is not above 0.

    References:
        Deep-water wave speed, classical; the books' 1.34 kn per root foot is 1.3407 rounded.
    """
    require_positive("The waterline's length", waterline, "m")
    return math.sqrt(STANDARD_GRAVITY * waterline / (2.0 * math.pi))


def froude_number(speed: float, waterline: float) -> float:
    """V / sqrt(g L).

    Args:
        speed: [m/s]
        waterline: Length. [m]

    Returns:
        [-]

    Raises:
        BoatFigureError: A figure that is not above 0.
    """
    require_positive("The speed", speed, "m/s")
    require_positive("The waterline's length", waterline, "m")
    return speed / math.sqrt(STANDARD_GRAVITY * waterline)


@dataclass(frozen=True, slots=True, kw_only=True)
class FroudeFactors:
    """What each kind of figure is multiplied by when every length is multiplied by `length`. [-]"""

    length: float
    area: float
    mass: float
    speed: float
    moment: float
    power: float


def froude_factors(ratio: float) -> FroudeFactors:
    """Factors of Froude's scaling in like water and air.

    Args:
        ratio: New length over old; full size from a model is above 1, a model from full size below. [-]

    Returns:
        Powers 1, 2, 3, 1/2, 4 and 7/2 of the ratio. Speed is that of boat and of wind.

    Raises:
        BoatFigureError: A ratio that is not above 0.

    References:
        W. Froude's law of comparison, classical.
    """
    require_positive("The ratio of the lengths", ratio, "")
    return FroudeFactors(
        length=ratio, area=ratio**2, mass=ratio**3, speed=math.sqrt(ratio), moment=ratio**4, power=ratio**3.5
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class SailingBoat:
    """A boat as far as she heels and makes leeway.

    Attributes:
        waterline: Length. [m]
        mass: Of the boat complete. [kg]
        metacentric_height: GM across. [m]
        rig: Her sail, cos^2 of the heel.
        fin_area: One side, what stands free. [m2]
        lift_slope: Of the fin; the same at every size. [1/rad]
        water_density: [kg/m3]

    Raises:
        BoatFigureError: A figure that is not above 0.
    """

    waterline: float
    mass: float
    metacentric_height: float
    rig: Rig
    fin_area: float
    lift_slope: float
    water_density: float

    def __post_init__(self) -> None:
        require_positive("The waterline's length", self.waterline, "m")
        require_positive("The boat's mass", self.mass, "kg")
        require_positive("The metacentric height", self.metacentric_height, "m")
        require_positive("The fin's area", self.fin_area, "m2")
        require_positive("The lift slope", self.lift_slope, "1/rad")
        require_positive("The water's density", self.water_density, "kg/m3")


def froude_scaled(boat: SailingBoat, ratio: float) -> SailingBoat:
    """The same boat at another size: lines, materials, rig and fin alike.

    Args:
        boat: As she is.
        ratio: New length over old. [-]

    Returns:
        The boat scaled, in the same water.

    Raises:
        BoatFigureError: A ratio that is not above 0.
    """
    by = froude_factors(ratio)
    rig = boat.rig
    return SailingBoat(
        waterline=boat.waterline * by.length,
        mass=boat.mass * by.mass,
        metacentric_height=boat.metacentric_height * by.length,
        rig=Rig(
            area=rig.area * by.area,
            heeling_arm=rig.heeling_arm * by.length,
            coefficient=rig.coefficient,
            coefficient_source=rig.coefficient_source,
            heel_exponent=rig.heel_exponent,
            air_density=rig.air_density,
        ),
        fin_area=boat.fin_area * by.area,
        lift_slope=boat.lift_slope,
        water_density=boat.water_density,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class UnderSail:
    """A boat in a wind at her hull speed.

    Attributes:
        boat: Which.
        wind: [m/s]
        speed: Through the water. [m/s]
        heel: Steady. [rad]
        side_force: At that heel. [N]
        leeway: [rad]
    """

    boat: SailingBoat
    wind: float
    speed: float
    heel: float
    side_force: float
    leeway: float


def under_sail(
    boat: SailingBoat, *, wind: float, heel: float | None = None, speed: float | None = None
) -> UnderSail:
    """Heel, side force and leeway in a steady wind.

    Args:
        boat: The boat.
        wind: [m/s]
        heel: Steady, in that wind; None: by the small-angle form. [rad]
        speed: Through the water; None: hull speed. [m/s]

    Returns:
        How she sails.

    Raises:
        BoatFigureError: A figure out of range.
    """
    through = hull_speed(boat.waterline) if speed is None else speed
    if heel is None:
        heel = heel_at_small_angles(
            boat.rig, wind=wind, mass=boat.mass, metacentric_height=boat.metacentric_height
        )
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


@dataclass(frozen=True, slots=True, kw_only=True)
class ScaleComparison:
    """One boat at two sizes.

    Attributes:
        ratio: Other length over hers. [-]
        here: As she is, in the wind given.
        same_wind: At the other size in the same wind.
        scaled_wind: At the other size in the wind times the root of the ratio: she heels as here.
        metacentric_height_needed: GM with which she, at her own size, would heel in this wind as the
            other size does in it, by GM sin(heel). [m]
        like_wind: In which she heels as the other size does in this one. [m/s]
        fin_area_needed: Fin area, at the same lift slope, with which she would make the leeway that the
            other size does in this wind, at that same heel. [m2]
    """

    ratio: float
    here: UnderSail
    same_wind: UnderSail
    scaled_wind: UnderSail
    metacentric_height_needed: float
    fin_area_needed: float
    like_wind: float


def compared_at_scale(
    boat: SailingBoat, *, ratio: float, wind: float, heel: float | None = None, like_heel: float | None = None
) -> ScaleComparison:
    """The same boat at another size in the same wind and in a scaled one.

    Heel is alike at every size in winds that go with the root of the length, so that two heels of hers are all it
    takes: in the wind given, and in `like_wind`, the wind over the root of the ratio.

    Args:
        boat: Usually the model.
        ratio: Other length over hers; full size from a model is above 1. [-]
        wind: On her, above 0. [m/s]
        heel: Hers in it, by her own righting arms; None: by the small-angle form. [rad]
        like_heel: Hers in `like_wind`, likewise. [rad]

    Returns:
        Three boats in their winds, and what she would need to stand as the other does.

    Raises:
        BoatFigureError: A figure that is not above 0.
    """
    require_positive("The wind", wind, "m/s")
    like = froude_factors(ratio).speed
    here = under_sail(boat, wind=wind, heel=heel)
    other = froude_scaled(boat, ratio)
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


@dataclass(frozen=True, slots=True, kw_only=True)
class WindForLeeway:
    """The wind at which leeway passes a limit.

    Attributes:
        wind: With the heel it brings. [m/s]
        heel: At that wind, small-angle form. [rad]
        upright_wind: If she were held upright: the lower bound that needs no stability. [m/s]
    """

    wind: float
    heel: float
    upright_wind: float


def wind_for_leeway(boat: SailingBoat, *, limit: float, speed: float | None = None) -> WindForLeeway:
    """The wind at which leeway passes a limit.

    Heeled, the sail's force is m g GM sin(heel) / h and the fin meets the flow at leeway x cos(heel), so
    the limit is reached at tan(heel) = limit x 1/2 rho V^2 S a h / (m g GM), whatever the sail. Derived here.

    Args:
        boat: The boat.
        limit: Leeway not to be passed. [rad]
        speed: Through the water; None: hull speed. [m/s]

    Returns:
        The wind, with and without heel.

    Raises:
        BoatFigureError: A figure that is not above 0.
    """
    require_positive("The leeway limit", limit, "rad")
    through = hull_speed(boat.waterline) if speed is None else speed
    require_positive("The speed", through, "m/s")
    held = 0.5 * boat.water_density * through**2 * boat.fin_area * boat.lift_slope * limit
    stiffness = boat.mass * STANDARD_GRAVITY * boat.metacentric_height
    heel = math.atan(held * boat.rig.heeling_arm / stiffness)
    return WindForLeeway(
        wind=wind_for_arm(
            boat.rig,
            mass=boat.mass,
            righting_arm=boat.metacentric_height * math.sin(heel),
            heel=heel,
        ),
        heel=heel,
        upright_wind=math.sqrt(held / side_force(boat.rig, 1.0)),
    )
