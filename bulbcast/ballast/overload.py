"""A bulb too heavy for the boat to float on her design waterline: how she then floats, and the alternatives."""

from __future__ import annotations

import math

from bulbcast.ballast.target import BulbAfloat
from bulbcast.ballast.work import BoatJob
from bulbcast.findings import Finding, Rule, Severity, Step, typed
from bulbcast.plan.sections import Plan
from bulbcast.quantities import Shown
from bulbcast.quantities.frozen import frozen

OVERLOADED = Rule(
    "overloaded",
    Severity.HOLD,
    holds=(Step.MELT, Step.POUR),
    subject="boat",
    why=(
        "At her design waterline the boat carries only the weight of the water she displaces there. A heavier bulb "
        "makes her float deeper, reduces freeboard and changes her trim, so she no longer floats as drawn."
    ),
)

OVERLOAD_SHARE = 0.05
"""Excess mass, as a fraction of the displacement, above which an overweight bulb is treated as an overload. Judgement.
[-]"""
ROUNDING = 1e-6
"""Fraction of a rounding step by which the search may miss: 1250 g less a millionth of a gram counts as 1250 g. [-]"""


@frozen
class Overload:
    """An overload: a bulb too heavy for the design waterline, with the alternatives.

    Attributes:
        over: Excess mass at the design waterline. [kg]
        sinkage: Extra sinkage from the excess, without trim; None if the waterplane area is not known. [m]
        freeboard: Minimum freeboard as the boat floats; None if not known. [m]
        largest: Mass of the largest bulb with which the boat floats on her line. [kg]
        deeper: Extra depth of the mass centre at which the largest bulb would give the same righting moment as the
            overweight one; None if the fin's position is not known. [m]
        all_up: All-up displacement of a hull that would carry the overweight bulb. [kg]
    """

    over: float
    sinkage: float | None
    freeboard: float | None
    largest: float
    deeper: float | None
    all_up: float


def deeper_for_same_moment(
    heavy: BulbAfloat, heavy_z: float, light: BulbAfloat, *, water_density: float
) -> float | None:
    """Calculate how much deeper a lighter bulb must hang to give the righting moment of a heavier one.

    At small angles the boat's righting moment is rho g (I + V z_B) - g sum(m z), with heights from the waterline. The
    waterplane's I and the hull's part of the sums do not change, and the extra water displaced under a heavier bulb is
    at the waterline itself. So the bulb's apparent mass times its depth must stay the same. The mass of the longer fin
    is not included. Derived here.

    Args:
        heavy: Bulb whose righting moment is required.
        heavy_z: Height of its mass centre, boat axes. [m]
        light: Bulb with which the boat floats on her line.
        water_density: Density of the water. [kg/m3]

    Returns:
        Extra depth of the lighter bulb; None if the heavier one is not under water. [m]
    """
    if heavy_z >= 0.0:
        return None
    return -heavy_z * (heavy.apparent(water_density) / light.apparent(water_density) - 1.0)


def overload_of(plan: Plan, boat: BoatJob) -> Overload | None:
    """Return the overload if the plan gives a bulb too heavy for the design waterline.

    Args:
        plan: Plan with its boat.
        boat: Boat with her bulb.

    Returns:
        The overload; None if the boat can carry the bulb, if the excess is less than a twentieth of her displacement,
        or if the plan accepts the sinkage.
    """
    over, water = boat.over[0], plan.water.density
    if not boat.mass_imposed or over <= OVERLOAD_SHARE * boat.displacement(water):
        return None
    accepted = None if plan.boat is None else plan.boat.accept_sinkage
    if accepted is not None and boat.level_sinkage is not None and boat.level_sinkage <= accepted:
        return None
    deeper = None
    if boat.target is not None and boat.start.fin is not None:
        z = boat.hung.bulb.mass_centre[1]
        deeper = deeper_for_same_moment(boat.hung.afloat, z, boat.target.afloat, water_density=water)
    left = None if boat.freeboard is None else boat.freeboard.left
    return Overload(
        over=over,
        sinkage=boat.level_sinkage,
        freeboard=None if left is None else left.height,
        largest=boat.target_mass,
        deeper=deeper,
        all_up=boat.total_mass,
    )


def check_overload(plan: Plan, boat: BoatJob, shown: Shown) -> tuple[Finding, ...]:
    """Return a hold on melting and pouring if the plan's bulb is an overload.

    Args:
        plan: Plan with its boat.
        boat: Boat with her bulb.
        shown: The builder's units.
    """
    found = overload_of(plan, boat)
    if found is None:
        return ()
    sinks = "give boat.waterplane_area to see how far it sinks her"
    if found.sinkage is not None:
        sinks = f"it sinks her {shown.length(found.sinkage)}"
    freeboard = ""
    if found.freeboard is not None:
        freeboard = f" and leaves {shown.length(found.freeboard)} of freeboard"
    carries = f"{shown.mass(found.over)} more than she can carry at her line"
    # Rounded to the safe side: the mass down to a gram or tenth of an ounce, the sinkage up.
    step, deep = (1e-3, 1e-3) if shown.units == "metric" else (0.028349523125 / 10.0, 0.0254 / 32.0)
    least = shown.mass(math.floor(found.largest / step + ROUNDING) * step)
    ways = [f"cast the largest bulb that keeps her on her line, {typed('bulb.target_mass', least)}"]
    if found.deeper is not None:
        level = shown.length(plan.fin.tip_z - found.deeper)
        ways.append(
            f"cast that lighter bulb and hang it {shown.length(found.deeper)} deeper for the same righting moment, "
            f"{typed('bulb.target_mass', least)} with {typed('fin.tip_z', level, also=True)}"
        )
    ways.append(f"save {shown.mass(found.over)} in rig, hull and gear")
    if found.sinkage is not None:
        accepted = shown.length(math.ceil(found.sinkage / deep - ROUNDING) * deep)
        ways.append(f"accept the new waterline, {typed('boat.accept_sinkage', accepted)}")
    ways.append(f"build a hull that displaces {shown.mass(found.all_up)} all up")
    return (
        OVERLOADED(
            "bulb.target_mass",
            f"The bulb weighs {shown.mass(boat.hung.bulb.mass)}, {carries}: {sinks}{freeboard}.",
            f"Do one of these: {'; '.join(ways)}.",
            found=boat.hung.bulb.mass,
            limit=found.largest,
            unit="kg",
        ),
    )
