"""A plan's boat under sail: heel and leeway in a steady wind, and the same boat at another size."""

from __future__ import annotations

import math

from bulbcast.ballast.work import BoatJob
from bulbcast.fin.foil import Foil, foil_between
from bulbcast.fin.planned import fin_foil
from bulbcast.plan.rig_sections import RigSection
from bulbcast.plan.sections import DefaultTaken, Plan
from bulbcast.quantities import Shown
from bulbcast.quantities.checked import STANDARD_GRAVITY, BoatFigureError
from bulbcast.quantities.frozen import frozen
from bulbcast.sailing.leeway import (
    FORMULAS,
    WHICKER_FEHLNER,
    FinForLeeway,
    effective_aspect_ratio,
    fin_for_leeway,
    leeway,
    lift_slope,
)
from bulbcast.sailing.righting import RightingArmCurve
from bulbcast.sailing.righting_work import arms_of
from bulbcast.sailing.sail import (
    DEFAULT_COEFFICIENT,
    DEFAULT_COEFFICIENT_SOURCE,
    Rig,
    heeling_arm,
    heeling_moment,
    side_force,
)
from bulbcast.sailing.scale import SailingBoat, ScaleComparison, compared_at_scale, hull_speed
from bulbcast.sailing.wind_heel import (
    ArmsByHeel,
    WindForHeel,
    WindForLeewayOnCurve,
    heel_on_curve,
    steady_winds,
    wind_for_heel,
    wind_for_leeway_on_curve,
)

HEELS_UNDER_SAIL = tuple(math.radians(angle) for angle in (20.0, 30.0, 45.0))
LATERAL_SHARE = 0.45
"""Depth of the centre of lateral resistance as a fraction of the depth of the fin's tip. Common practice, no source. [-]"""


@frozen
class Leeway:
    """Leeway of the fin according to one published formula.

    Attributes:
        formula: Name of the formula for the lift slope.
        slope: Lift slope per radian. [1/rad]
        leeway: Leeway in the given wind; None if the boat has no steady heel in that wind. [rad]
        at_limit: Wind at which leeway exceeds the limit.
        fin: Fin that would keep leeway within the limit in the given wind; None if the boat has no steady heel in it.
    """

    formula: str
    slope: float
    leeway: float | None
    at_limit: WindForLeewayOnCurve
    fin: FinForLeeway | None


@frozen
class Sailing:
    """Results for the boat under sail, in a steady wind on the sail.

    Attributes:
        rig: Sail, with its arm measured from the centre of lateral resistance.
        lateral_z: Height of the centre of lateral resistance. [m]
        arms: Righting arms on which the answers are based.
        by_curve: Whether the righting arms are calculated from the boat's shape. If not, they are GM sin(heel), for small
            angles.
        wind: Wind to which the answers apply: the plan's or, if it gives none, the wind that heels the boat 20 degrees.
            [m/s]
        wind_given: Whether the plan gives the wind.
        heel: Steady heel in that wind; None if the boat has no steady heel below 90 degrees. [rad]
        winds: Winds that heel the boat 20, 30 and 45 degrees.
        steady: Wind [m/s] and steady heel [rad], for drawing.
        wind_arms: Heel [rad] and the wind's moment divided by the weight [m], in that wind, for drawing.
        hull_speed: Hull speed of the boat. [m/s]
        free_fin: Exposed fin between hull and bulb.
        aspect_ratio: Effective aspect ratio, with the hull as a mirror. [-]
        side_force: Side force of the sail at that heel; None without a steady heel. [N]
        limit: Maximum leeway allowed. [rad]
        leeways: Leeway by each formula, at hull speed.
        scale: Same boat at another size; None if not requested, or if it cannot be calculated.
        scale_missing: Reason why `scale` cannot be calculated; otherwise empty.
        gm: GM upright, as used in the answers. [m]
        highest_gm: GM if all the boat's mass were at the bulb's underside, the maximum that ballast on this fin can give.
            [m]
    """

    rig: Rig
    lateral_z: float
    arms: ArmsByHeel
    by_curve: bool
    wind: float
    wind_given: bool
    heel: float | None
    winds: tuple[WindForHeel, ...]
    steady: tuple[tuple[float, float], ...]
    wind_arms: tuple[tuple[float, float], ...]
    hull_speed: float
    free_fin: Foil
    aspect_ratio: float
    side_force: float | None
    limit: float
    leeways: tuple[Leeway, ...]
    scale: ScaleComparison | None
    scale_missing: str
    gm: float
    highest_gm: float

    @property
    def governing(self) -> Leeway:
        """Leeway by the formula that was fitted to measurements, which gives the larger value."""
        return next(one for one in self.leeways if one.formula == WHICKER_FEHLNER)


def rig_of(plan: Plan, rig: RigSection) -> tuple[Rig, float]:
    """Find the sail's heeling arm and the height of the centre of lateral resistance.

    Args:
        plan: The plan, which gives the fin's tip.
        rig: The rig in the plan.

    Raises:
        BoatFigureError: The sail is below the fin.
    """
    lateral = LATERAL_SHARE * plan.fin.tip_z if rig.lateral_z is None else rig.lateral_z
    given = rig.force_coefficient is not None
    return Rig(
        area=rig.sail_area,
        heeling_arm=heeling_arm(rig.effort_z, lateral),
        coefficient=DEFAULT_COEFFICIENT if rig.force_coefficient is None else rig.force_coefficient,
        coefficient_source=(rig.coefficient_source or "as given in the plan, without a source")
        if given
        else DEFAULT_COEFFICIENT_SOURCE,
        heel_exponent=rig.heel_exponent,
        air_density=rig.air_density,
    ), lateral


def sailing_of(
    plan: Plan, section: RigSection, boat: BoatJob, curve: RightingArmCurve | None, gm: float
) -> Sailing:
    """Calculate heel and leeway under sail, and the boat at another size.

    Args:
        plan: The plan as read.
        section: The plan's rig.
        boat: The boat with her bulb.
        curve: The boat's righting arms; None if her shape is not known.
        gm: GM upright, above 0. [m]

    Raises:
        BoatFigureError: A figure is impossible.
    """
    rig, lateral = rig_of(plan, section)
    arms, mass, water = arms_of(curve, gm), boat.total_mass, plan.water.density
    winds = tuple(wind_for_heel(arms, rig, heel=angle, mass=mass) for angle in HEELS_UNDER_SAIL)
    wind = winds[0].wind if section.wind is None else section.wind
    heel = heel_on_curve(arms, rig, wind=wind, mass=mass)
    force = None if heel is None else side_force(rig, wind, heel)
    waterline, centre_z = boat.start.hull.line.length, boat.mass_centre[2]
    if boat.start.fin is None or waterline is None or centre_z is None:
        raise BoatFigureError(
            "Heel and leeway under sail need the complete fin from hull to tip, waterline_length and the z of every "
            "weight. Give them."
        )
    fin = fin_foil(plan.fin, plan.bulb.incidence)
    crown = min(plan.fin.tip_z + boat.hung.bulb.pocket_depth, fin.tip_z + 0.5 * fin.span)
    free = foil_between(fin, top_z=fin.root_z, bottom_z=crown)
    speed, limit, aspect_ratio = hull_speed(waterline), section.leeway_limit, effective_aspect_ratio(free)

    def leeway_by(formula: str) -> Leeway:
        slope = lift_slope(formula, aspect_ratio, free.quarter_chord_sweep)
        holding = 0.5 * water * speed**2 * free.area * slope
        at_limit = wind_for_leeway_on_curve(arms, rig, mass=mass, holding=holding, limit=limit)
        angle = needed = None
        if force is not None and heel is not None:
            angle = leeway(
                side_force=force, speed=speed, area=free.area, slope=slope, water_density=water, heel=heel
            )
            # A heeled fin meets the flow at a smaller angle, so the side force on the upright fin is increased accordingly.
            needed = fin_for_leeway(
                free,
                limit=limit,
                side_force=force / math.cos(heel),
                speed=speed,
                water_density=water,
                formula=formula,
            )
        return Leeway(formula=formula, slope=slope, leeway=angle, at_limit=at_limit, fin=needed)

    leeways = tuple(leeway_by(formula) for formula in FORMULAS)
    scale, no_scale, ratio = None, "", full_size_of(plan)
    if ratio is not None:
        model = SailingBoat(
            waterline=waterline,
            mass=mass,
            metacentric_height=gm,
            rig=rig,
            fin_area=free.area,
            lift_slope=leeways[-1].slope,
            water_density=water,
        )
        like_heel = heel_on_curve(arms, rig, wind=wind / math.sqrt(ratio), mass=mass)
        if heel is None or like_heel is None:
            no_scale = "This wind lays the boat flat at one of the two sizes, so there is no heel to compare."
        else:
            scale = compared_at_scale(model, ratio=ratio, wind=wind, heel=heel, like_heel=like_heel)
    return Sailing(
        rig=rig,
        lateral_z=lateral,
        arms=arms,
        by_curve=curve is not None,
        wind=wind,
        wind_given=section.wind is not None,
        heel=heel,
        winds=winds,
        steady=steady_winds(arms, rig, mass=mass),
        wind_arms=tuple(
            (angle, heeling_moment(rig, wind, angle) / (mass * STANDARD_GRAVITY))
            for angle in (math.radians(5.0 * step) for step in range(19))
        ),
        hull_speed=speed,
        free_fin=free,
        aspect_ratio=aspect_ratio,
        side_force=force,
        limit=limit,
        leeways=leeways,
        scale=scale,
        scale_missing=no_scale,
        gm=gm,
        highest_gm=gm + centre_z - boat.hung.bulb.underside_z,
    )


def full_size_of(plan: Plan) -> float | None:
    """Length of the boat at the other size, divided by her planned length; None if the plan gives no other size.

    Args:
        plan: The plan, with its rig.
    """
    if plan.rig is not None and plan.rig.full_size is not None:
        return plan.rig.full_size
    scale = None if plan.boat is None else plan.boat.scale
    return None if scale is None or scale == 1.0 else 1.0 / scale


def standing_defaults(plan: Plan, sailing: Sailing | None, shown: Shown) -> tuple[DefaultTaken, ...]:
    """List defaults of [rig] that depend on other figures.

    Args:
        plan: The plan as read.
        sailing: Results under sail, if any.
        shown: The builder's units.
    """
    rig, ratio = plan.rig, full_size_of(plan)
    if rig is None or sailing is None:
        return ()
    taken = []
    if rig.lateral_z is None:
        depth = "45 % of the way down to the fin's tip; common practice, no source"
        taken.append(("lateral_z", shown.length(sailing.lateral_z), depth))
    if rig.force_coefficient is None:
        taken.append(("force_coefficient", f"{DEFAULT_COEFFICIENT:g}", DEFAULT_COEFFICIENT_SOURCE))
    if rig.full_size is None and ratio is not None:
        taken.append(("full_size", f"{ratio:g}", "1 / boat.scale"))
    return tuple(DefaultTaken(key=f"rig.{leaf}", value=value, source=source) for leaf, value, source in taken)
