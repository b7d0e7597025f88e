"""What the weight of molten metal does to a mould: it lifts the cope, bursts the sides, floats cores.

Metal at rest presses at every point with density x gravity x depth below the surface in the pouring
cup. Over a surface that faces down, the upward force is that pressure summed over its shadow:
density x gravity x (depth of the parting x shadow - metal between the parting and that surface). All
of it is exact for metal at rest; `HOLDING_FACTOR` is for metal that is not.
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
"""Held at twice the static figure, for the metal that falls in and the jolt when the mould is full:
common practice, no source."""


class LiftError(ValueError):
    """A lift that cannot be: a head below the surface it presses on, or a figure below zero."""


@frozen
class Held:
    """A force that parts a mould, and what holds it.

    Attributes:
        force: Static, from metal at rest. [N]
        wanted: Force to be held, `HOLDING_FACTOR` times as much. [N]
        own_mass: Mass of the part that is lifted, which helps to hold. [kg]
        weight: Mass to be laid on it, or the same by clamps; zero where its own mass does. [kg]
        clamp: The same as a force. [N]
    """

    force: float
    wanted: float
    own_mass: float
    weight: float
    clamp: float


def pressure(depth: float, density: float) -> float:
    """Pressure in metal at rest.

    Args:
        depth: Below the surface. [m]
        density: Density of the liquid metal. [kg/m3]

    Returns:
        [Pa]
    """
    return density * STANDARD_GRAVITY * depth


def cope_lift(*, shadow_area: float, volume_above: float, head: float, density: float) -> float:
    """Upward force of metal at rest on the cope of a mould parted level.

    Args:
        shadow_area: Area of the shadow of the cavity at the parting. [m2]
        volume_above: Volume of the cavity above the parting. [m3]
        head: Height from the parting up to the metal's surface in the cup. [m]
        density: Density of the liquid metal. [kg/m3]

    Returns:
        density g (head x shadow - volume above). The openings of sprue, feeder and vents are not taken
        off the shadow, which errs on the side of care. [N]

    Raises:
        LiftError: The metal does not reach the top of the cavity, or a figure is below zero.
    """
    if min(shadow_area, volume_above, head, density) < 0.0:
        raise LiftError("shadow, volume, head and density must be zero or more")
    lifted = head * shadow_area - volume_above
    if lifted < -1e-12 * volume_above:
        raise LiftError(
            f"with {head:g} m of metal above the parting, the cavity above it is not full: its volume is "
            f"{volume_above:g} m3 over an area of {shadow_area:g} m2"
        )
    return density * STANDARD_GRAVITY * max(lifted, 0.0)


def bursting_force(*, shadow_area: float, centroid_depth: float, density: float) -> float:
    """Sideways force of metal at rest on each half of a mould parted upright.

    Args:
        shadow_area: Area of the shadow of the cavity on the parting. [m2]
        centroid_depth: Depth of the shadow's centroid below the metal's surface. [m]
        density: Density of the liquid metal. [kg/m3]

    Returns:
        density g x depth of the centroid x shadow. [N]

    Raises:
        LiftError: A figure is below zero.
    """
    if min(shadow_area, centroid_depth, density) < 0.0:
        raise LiftError("shadow, depth and density must be zero or more")
    return pressure(centroid_depth, density) * shadow_area


def floating_force(*, volume: float, density: float, metal_density: float) -> float:
    """Upward force on a core or an insert with metal all round it, less its own weight.

    Args:
        volume: Volume of the part that the metal covers. [m3]
        density: Density of the core or insert. [kg/m3]
        metal_density: Density of the liquid metal. [kg/m3]

    Returns:
        (metal - insert) g volume; below zero for what sinks. [N]

    References:
        Archimedes' principle.
    """
    return (metal_density - density) * STANDARD_GRAVITY * volume


def thrust_on_hung_core(
    *, end_area: float, end_depth: float, volume: float, density: float, metal_density: float
) -> float:
    """Upward force on a core that hangs from the cope, whose print keeps the metal off its top.

    More than by Archimedes: nothing presses it down again.

    Args:
        end_area: Area of its lower end, level. [m2]
        end_depth: Depth of that end below the metal's surface. [m]
        volume: Volume of the core. [m3]
        density: Density of the core. [kg/m3]
        metal_density: Density of the liquid metal. [kg/m3]

    Returns:
        Pressure at the end x its area - weight of the core. [N]
    """
    return pressure(end_depth, metal_density) * end_area - density * STANDARD_GRAVITY * volume


def held(force: float, own_mass: float = 0.0) -> Held:
    """What holds a force at twice its static figure.

    Args:
        force: Static. [N]
        own_mass: Mass of the part that is lifted; zero where its weight does not help, as in a mould parted upright.
            [kg]

    Returns:
        The weight, or clamp, that is still required.

    Raises:
        LiftError: A force or mass below zero, or not finite.
    """
    if not (math.isfinite(force) and math.isfinite(own_mass)) or force < 0.0 or own_mass < 0.0:
        raise LiftError(f"the force is {force:g} N and the mass {own_mass:g} kg; both must be zero or more")
    wanted = HOLDING_FACTOR * force
    clamp = max(wanted - own_mass * STANDARD_GRAVITY, 0.0)
    return Held(force=force, wanted=wanted, own_mass=own_mass, weight=clamp / STANDARD_GRAVITY, clamp=clamp)


JUST_MELTED = 350.0
"""Lift is calculated where lead is densest, and lift largest: when it has just melted. [degC]"""


def stud_lifts(studs: tuple[StudCut, ...], room: FittingRoom) -> tuple[float, ...]:
    """Net upward force on each stud or tube in the mould, its bore closed; negative where it sinks. [N]

    Args:
        studs: The studs as asked.
        room: Measured round them.
    """
    return tuple(_lift(stud, measured.in_lead) for stud, measured in zip(studs, room.studs, strict=True))


def _lift(stud: StudCut, in_lead: float) -> float:
    under = 0.25 * math.pi * stud.diameter**2 * in_lead
    metal = 0.25 * math.pi * (stud.diameter**2 - stud.bore**2) * (stud.below + stud.above)
    if under == 0.0:
        return 0.0
    # All of its mass hangs on the part that the melt covers.
    return floating_force(
        volume=under, density=stud.density * metal / under, metal_density=liquid_density(JUST_MELTED)
    )
