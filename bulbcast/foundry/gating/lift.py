"""Forces of molten metal on a mould: it lifts the cope, pushes the sides apart and floats cores.

Metal at rest presses at every point with density x gravity x depth below the surface in the pouring cup. On a surface
that faces down, the upward force is that pressure summed over its projected area: density x gravity x (depth of the
parting x projected area - volume between the parting and that surface). This is exact for metal at rest;
`HOLDING_FACTOR` allows for moving metal.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from bulbcast.materials.lead import liquid_density
from bulbcast.quantities.checked import STANDARD_GRAVITY
from bulbcast.quantities.frozen import frozen

if TYPE_CHECKING:
    from bulbcast.bulb.cuts.fittings import StudCut
    from bulbcast.bulb.fastening.fitting_room import FittingRoom

HOLDING_FACTOR = 2.0
"""Ratio of holding force to static force, to allow for falling metal and the jolt when the mould is full; common
practice, no source."""


class LiftError(ValueError):
    """Raised for an impossible lift: the metal does not reach the cavity's top, or a figure is invalid."""


@frozen
class Held:
    """Force that parts a mould, and the weight or clamp that holds the mould together.

    Attributes:
        force: Static force, from metal at rest. [N]
        wanted: Required holding force, `HOLDING_FACTOR` times the static force. [N]
        own_mass: Mass of the part that is lifted, which helps to hold it down. [kg]
        weight: Mass to lay on the part; zero if the part is heavy enough. [kg]
        clamp: Clamping force equal to that weight. [N]
    """

    force: float
    wanted: float
    own_mass: float
    weight: float
    clamp: float


def pressure(depth: float, density: float) -> float:
    """Calculate the pressure in metal at rest.

    Args:
        depth: Depth below the surface. [m]
        density: Density of the liquid metal. [kg/m3]

    Returns:
        Pressure. [Pa]
    """
    return density * STANDARD_GRAVITY * depth


def cope_lift(*, shadow_area: float, volume_above: float, head: float, density: float) -> float:
    """Calculate the upward force of metal at rest on the cope of a mould with a horizontal parting.

    Args:
        shadow_area: Projected area of the cavity at the parting. [m2]
        volume_above: Volume of the cavity above the parting. [m3]
        head: Height from the parting up to the metal's surface in the cup. [m]
        density: Density of the liquid metal. [kg/m3]

    Returns:
        Force density g (head x projected area - volume above). The openings of the sprue, feeder and vents are
        not subtracted from the area, which errs on the safe side. [N]

    Raises:
        LiftError: The metal does not reach the top of the cavity, or a figure is below zero.
    """
    if min(shadow_area, volume_above, head, density) < 0.0:
        raise LiftError("the projected area, volume, head and density must be zero or more")
    lifted = head * shadow_area - volume_above
    if lifted < -1e-12 * volume_above:
        raise LiftError(
            f"a head of {head:g} m above the parting does not fill the cavity: the volume above the parting is "
            f"{volume_above:g} m3 over an area of {shadow_area:g} m2"
        )
    return density * STANDARD_GRAVITY * max(lifted, 0.0)


def bursting_force(*, shadow_area: float, centroid_depth: float, density: float) -> float:
    """Calculate the sideways force of metal at rest on each half of a mould with a vertical parting.

    Args:
        shadow_area: Projected area of the cavity on the parting. [m2]
        centroid_depth: Depth of that area's centroid below the metal's surface. [m]
        density: Density of the liquid metal. [kg/m3]

    Returns:
        Force density g x depth of the centroid x projected area. [N]

    Raises:
        LiftError: A figure is below zero.
    """
    if min(shadow_area, centroid_depth, density) < 0.0:
        raise LiftError("the projected area, depth and density must be zero or more")
    return pressure(centroid_depth, density) * shadow_area


def floating_force(*, volume: float, density: float, metal_density: float) -> float:
    """Calculate the upward force on a core or an insert surrounded by metal, net of its weight.

    Args:
        volume: Volume of the part that the metal covers. [m3]
        density: Density of the core or insert. [kg/m3]
        metal_density: Density of the liquid metal. [kg/m3]

    Returns:
        Force (metal density - part density) g volume; negative for a part that sinks. [N]

    References:
        Archimedes' principle.
    """
    return (metal_density - density) * STANDARD_GRAVITY * volume


def thrust_on_hung_core(
    *, end_area: float, end_depth: float, volume: float, density: float, metal_density: float
) -> float:
    """Calculate the upward force on a core that hangs from the cope by a print, which keeps metal off the core's top.

    This force is greater than Archimedes' principle predicts, because no metal presses down on the core's top.

    Args:
        end_area: Area of its lower end, which is level. [m2]
        end_depth: Depth of that end below the metal's surface. [m]
        volume: Volume of the core. [m3]
        density: Density of the core. [kg/m3]
        metal_density: Density of the liquid metal. [kg/m3]

    Returns:
        Force: pressure at the end x area of the end - weight of the core. [N]
    """
    return pressure(end_depth, metal_density) * end_area - density * STANDARD_GRAVITY * volume


def held(force: float, own_mass: float = 0.0) -> Held:
    """Calculate the weight or clamping force needed to hold twice a static force.

    Args:
        force: Static force. [N]
        own_mass: Mass of the part that is lifted; zero if its weight does not help, as in a mould with a vertical
            parting. [kg]

    Returns:
        The static force, and the weight or clamping force still required.

    Raises:
        LiftError: A force or mass is below zero or not finite.
    """
    if not (math.isfinite(force) and math.isfinite(own_mass)) or force < 0.0 or own_mass < 0.0:
        raise LiftError(f"the force is {force:g} N and the mass {own_mass:g} kg; both must be zero or more")
    wanted = HOLDING_FACTOR * force
    clamp = max(wanted - own_mass * STANDARD_GRAVITY, 0.0)
    return Held(force=force, wanted=wanted, own_mass=own_mass, weight=clamp / STANDARD_GRAVITY, clamp=clamp)


JUST_MELTED = 350.0
"""Temperature at which lift is calculated: that of lead just melted, when it is densest and lift is largest. [degC]"""


def stud_lifts(studs: tuple[StudCut, ...], room: FittingRoom) -> tuple[float, ...]:
    """Calculate the net upward force on each stud or tube if its bore is closed; negative if the part sinks. [N]

    Args:
        studs: Studs as planned.
        room: Measured space round the studs.
    """
    return tuple(_lift(stud, measured.in_lead) for stud, measured in zip(studs, room.studs, strict=True))


def _lift(stud: StudCut, in_lead: float) -> float:
    under = 0.25 * math.pi * stud.diameter**2 * in_lead
    metal = 0.25 * math.pi * (stud.diameter**2 - stud.bore**2) * (stud.below + stud.above)
    if under == 0.0:
        return 0.0
    # Its whole mass counts against the lift on the part that the melt covers.
    return floating_force(
        volume=under, density=stud.density * metal / under, metal_density=liquid_density(JUST_MELTED)
    )
