"""Effect of a different bulb mass or fin depth on the wind that the boat can stand up to.

Every answer is a new calculation. The bulb is sized and positioned again, the fin and the bulb displace their new
volumes, the boat floats at her new mass, and the righting arms are for that load.

The weight list is unchanged, so a heavier bulb makes the boat float deeper. A deeper fin has the same chords and the
same line of the leading edge, and its mass changes with its volume.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from bulbcast.ballast.for_boat import BoatWish, HardlyAnyLeadError, size_for_boat
from bulbcast.ballast.lying import loaded, whole_centre
from bulbcast.ballast.start import boat_start
from bulbcast.ballast.work import BoatJob
from bulbcast.bulb.hung.solve import NoSolutionError
from bulbcast.fin.foil import foil_solid
from bulbcast.fin.planned import fin_foil
from bulbcast.hull.floating import FloatingError
from bulbcast.hull.mesh import HullMesh
from bulbcast.plan.faults import PlanError
from bulbcast.plan.sections import Plan
from bulbcast.quantities.checked import BoatFigureError
from bulbcast.quantities.frozen import frozen, replace
from bulbcast.sailing.righting import RightingArmCurve
from bulbcast.sailing.righting_work import BRIEF_HEELS, arms_of, righting_arms
from bulbcast.sailing.sailing_work import HEELS_UNDER_SAIL, Sailing, rig_of
from bulbcast.sailing.wind_heel import WindForHeel, heel_on_curve, wind_for_heel

TRADE_MASS_STEPS = (-2, -1, 0, 1, 2)
TRADE_DEPTH_STEPS = (-1, 0, 1, 2)
LARGEST_TRADED = 60_000
"""Number of hull facets above which other bulbs are not calculated, because each needs a separate curve."""
_READ = 1  # index in HEELS_UNDER_SAIL of 30 degrees, the heel at which depth is compared with mass


@frozen
class Traded:
    """Boat with one combination of bulb mass and fin depth.

    Attributes:
        mass: Mass of the bulb, ready to hang. [kg]
        tip_z: Height z of the fin's tip. [m]
        gm: GM of the boat as it then floats; None if there is no answer. [m]
        sinkage: Sinkage relative to the boat with the planned bulb; None if there is no answer or the hull's figures do
            not give it. [m]
        winds: Winds that heel the boat 20, 30 and 45 degrees; empty if there is no answer.
        heel: Heel in the plan's wind; None if there is no answer or no steady heel up to 60 degrees. [rad]
        missing: Reason why there is no answer; empty if there is one.
    """

    mass: float
    tip_z: float
    gm: float | None = None
    sinkage: float | None = None
    winds: tuple[WindForHeel, ...] = ()
    heel: float | None = None
    missing: str = ""


@frozen
class Trade:
    """Results for all combinations of bulb mass and fin depth.

    Attributes:
        masses: Masses of the bulb in ascending order, with the planned mass in the middle. [kg]
        tips: Heights of the fin's tip from the shallowest down; the second is the planned height. [m]
        cells: Results, by tip and then by mass.
        depth_worth: Bulb mass that has the same effect as a unit of depth on the wind that heels the boat 30 degrees;
            None if more mass does not help. [kg/m]
        by_curve: Whether the righting arms are calculated from the boat's shape. If not, they are GM sin(heel).
        fin_scaled: Whether the fin's mass was scaled with its volume. If not, it is a line of the weight list and is
            unchanged.
    """

    masses: tuple[float, ...]
    tips: tuple[float, ...]
    cells: tuple[Traded, ...]
    depth_worth: float | None
    by_curve: bool
    fin_scaled: bool

    def row(self, tip: int) -> tuple[Traded, ...]:
        """Results for one depth of the fin.

        Args:
            tip: Index in `tips`. [-]
        """
        count = len(self.masses)
        return self.cells[tip * count : (tip + 1) * count]


def trade_of(
    plan: Plan, boat: BoatJob, sailing: Sailing, surface: HullMesh | None, curve: RightingArmCurve | None
) -> Trade | None:
    """Calculate a grid of bulb masses and fin depths around those of the plan.

    Args:
        plan: The plan, with its rig.
        boat: The boat as planned.
        sailing: The boat under sail as planned.
        surface: Surface of the hull; None if its shape is not known.
        curve: Righting arms as planned, from which the searches for the others start.

    Returns:
        The grid; None if the hull has so many facets that the calculation would take too long.
    """
    if surface is not None and len(surface.triangles) > LARGEST_TRADED:
        return None
    span = fin_foil(plan.fin, plan.bulb.incidence).span
    mass_step = _round(0.12 * boat.hung.bulb.mass)
    depth_step = _round(0.16 * span)
    masses = tuple(boat.hung.bulb.mass + mass_step * step for step in TRADE_MASS_STEPS)
    tips = tuple(plan.fin.tip_z - depth_step * step for step in TRADE_DEPTH_STEPS)
    cells = tuple(_grid(plan, boat, sailing, surface, curve, masses, tips))
    place = TRADE_DEPTH_STEPS.index(0) * len(masses) + TRADE_MASS_STEPS.index(0)
    planned = cells[place].sinkage
    if planned is not None:
        cells = tuple(
            one if one.sinkage is None else replace(one, sinkage=one.sinkage - planned) for one in cells
        )
    # The plan itself is not calculated again from fewer heels, to avoid two different heels for the same wind.
    as_planned = replace(cells[place], gm=sailing.gm, winds=sailing.winds, heel=sailing.heel, missing="")
    cells = (*cells[:place], as_planned, *cells[place + 1 :])
    return Trade(
        masses=masses,
        tips=tips,
        cells=cells,
        depth_worth=_worth(masses, tips, cells),
        by_curve=surface is not None and sailing.by_curve,
        fin_scaled=plan.fin.mass is not None or plan.fin.density is not None,
    )


def _round(rough: float) -> float:
    """Round a value down to 1, 2 or 5 times a power of ten."""
    power = 10.0 ** math.floor(math.log10(rough) + 1e-12)
    return power * max(step for step in (1.0, 2.0, 5.0) if step * power <= rough * (1.0 + 1e-12))


def plan_at_depth(plan: Plan, tip_z: float) -> Plan:
    """Lengthen or shorten the plan's fin. The root, chords, thicknesses and rake of the leading edge stay the same.

    Args:
        plan: The plan, with [boat].
        tip_z: Height z of the new fin's tip. [m]
    """
    before = fin_foil(plan.fin, plan.bulb.incidence)
    share = (before.root_z - tip_z) / (before.root_z - plan.fin.tip_z)
    edge = before.root_leading_edge_x + share * (plan.fin.tip_leading_edge_x - before.root_leading_edge_x)
    fin = replace(plan.fin, tip_z=tip_z, tip_leading_edge_x=edge)
    if fin.mass is not None:
        fin = replace(
            fin,
            mass=fin.mass * foil_solid(fin_foil(fin, plan.bulb.incidence)).volume / foil_solid(before).volume,
        )
    return replace(plan, fin=fin)


def _grid(
    plan: Plan,
    boat: BoatJob,
    sailing: Sailing,
    surface: HullMesh | None,
    near: RightingArmCurve | None,
    masses: tuple[float, ...],
    tips: tuple[float, ...],
) -> Iterator[Traded]:
    """Calculate the results for each tip. If a bulb is too small for its screws, it is also too small on a longer fin,
    and so is any lighter bulb."""
    small: Traded | None = None
    for tip in tips:
        for mass in masses:
            if small is not None and mass <= small.mass:
                yield replace(small, mass=mass, tip_z=tip)
                continue
            try:
                yield _traded(plan_at_depth(plan, tip), boat, sailing, surface, near, mass)
            except HardlyAnyLeadError as error:
                small = Traded(mass=mass, tip_z=tip, missing=str(error))
                yield small


def _traded(
    plan: Plan,
    boat: BoatJob,
    sailing: Sailing,
    surface: HullMesh | None,
    near: RightingArmCurve | None,
    mass: float,
) -> Traded:
    try:
        return _worked_out(plan, boat, sailing, surface, near, mass)
    except HardlyAnyLeadError:
        raise
    except (BoatFigureError, FloatingError, NoSolutionError) as error:
        missing = str(error)
    except PlanError as error:
        missing = error.faults[0].remedy
    return Traded(mass=mass, tip_z=plan.fin.tip_z, missing=missing)


def _worked_out(
    plan: Plan,
    boat: BoatJob,
    sailing: Sailing,
    surface: HullMesh | None,
    near: RightingArmCurve | None,
    mass: float,
) -> Traded:
    water, wish = plan.water.density, boat.hung.wish
    start = boat_start(plan, boat.start.hull, lead_density=wish.cast_density)
    moved = plan.fin.tip_leading_edge_x - wish.fin.leading_edge_x
    place = wish.mass_centre_x + (moved if plan.fin.carry_at is not None else 0.0)
    asked = replace(
        wish,
        target_mass=mass,
        mass_centre_x=place,
        fin=replace(wish.fin, tip_z=plan.fin.tip_z, leading_edge_x=plan.fin.tip_leading_edge_x),
    )
    hung = size_for_boat(
        asked,
        BoatWish(
            rest=start.rest,
            water_density=water,
            flotation_x=start.hull.line.flotation_x,
            mass=mass,
            place=place if boat.place_imposed or not start.rest.trim_known else None,
            first_place=place,
            overhang_forward=plan.fin.overhang_forward,
            overhang_aft=plan.fin.overhang_aft,
            carry_within=plan.fin.carry_within,
        ),
        slowly=False,
    )
    load = loaded(start, hung)
    rig, _ = rig_of(plan, plan.rig) if plan.rig is not None else (sailing.rig, 0.0)
    curve, sinkage = None, None
    if surface is not None and sailing.by_curve:
        curve, _ = righting_arms(
            plan,
            surface,
            hung.bulb,
            mass=load.mass,
            mass_centre=whole_centre(load.centre),
            heels=BRIEF_HEELS,
            near=near,
        )
        sinkage = curve.upright.attitude.sinkage
    elif (immersion := start.hull.line.mass_per_immersion(water)) is not None:
        sinkage = (mass - hung.wanted_mass) / immersion
    gm = load.gm if curve is None else curve.gm
    if gm is None or gm <= 0.0:
        return Traded(
            mass=mass, tip_z=plan.fin.tip_z, missing="The boat does not float upright with that bulb and fin."
        )
    arms = arms_of(curve, gm)
    return Traded(
        mass=mass,
        tip_z=plan.fin.tip_z,
        gm=gm,
        sinkage=sinkage,
        winds=tuple(wind_for_heel(arms, rig, heel=angle, mass=load.mass) for angle in HEELS_UNDER_SAIL),
        heel=heel_on_curve(arms, rig, wind=sailing.wind, mass=load.mass),
    )


def _worth(masses: tuple[float, ...], tips: tuple[float, ...], cells: tuple[Traded, ...]) -> float | None:
    """Bulb mass that has the same effect as a unit of depth, calculated from the results on either side of the plan."""
    count, tip, mass = len(masses), TRADE_DEPTH_STEPS.index(0), TRADE_MASS_STEPS.index(0)

    def wind(row: int, column: int) -> float | None:
        winds = cells[row * count + column].winds
        return winds[_READ].wind if winds and winds[_READ].rests else None

    lighter, heavier = wind(tip, mass - 1), wind(tip, mass + 1)
    shallower, deeper = wind(tip - 1, mass), wind(tip + 1, mass)
    if lighter is None or heavier is None or shallower is None or deeper is None:
        return None
    for_mass = (heavier - lighter) / (masses[mass + 1] - masses[mass - 1])
    for_depth = (deeper - shallower) / (tips[tip - 1] - tips[tip + 1])
    return for_depth / for_mass if for_mass > 0.0 else None
