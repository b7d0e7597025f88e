"""Boat held at one angle of heel, with the boat's attitude and centres of mass and buoyancy."""

from __future__ import annotations

import math

from bulbcast.ballast.work import BoatJob
from bulbcast.hull.floating import FloatingError, float_boat
from bulbcast.hull.hydrostatics import Attitude, Point, hydrostatics
from bulbcast.hull.mesh import HullMesh
from bulbcast.plan.sections import Plan
from bulbcast.quantities.frozen import frozen
from bulbcast.sailing.appendages import mirrored
from bulbcast.sailing.righting_work import afloat_surface
from bulbcast.sailing.work import Standing

WITHOUT_WIND = math.radians(30.0)
"""Heel used if no wind is set, or if the wind lays the boat flat. [rad]"""


@frozen
class Heeled:
    """Boat at rest, held at one angle of heel with starboard down. A boat that leans to port is mirrored.

    Attributes:
        attitude: Heel, trim and sinkage of the boat.
        mass_centre: Mass centre of the boat and the bulb together, boat axes. [m]
        buoyancy: Centre of buoyancy of everything under water, boat axes. [m]
        arm: Horizontal distance from the mass centre to the centre of buoyancy, positive to starboard. [m]
        hull: Hull without fin and bulb.
    """

    attitude: Attitude
    mass_centre: Point
    buoyancy: Point
    arm: float
    hull: HullMesh


def heeled_boat(plan: Plan, boat: BoatJob, standing: Standing) -> Heeled | None:
    """Find the boat's position at her steady heel in the given wind, or at 30 degrees if she has no steady heel.

    Args:
        plan: The plan, which gives the fin, the rudder and the water.
        boat: The boat with her bulb.
        standing: The boat's righting arms.

    Returns:
        The heeled boat. None if the boat's shape or a weight's position is not known, or if she does not come to rest
        at that heel.
    """
    curve, sailing, hull = standing.curve, standing.sailing, boat.start.hull.surface()
    x, y, z = boat.mass_centre
    if curve is None or hull is None or x is None or z is None:
        return None
    heel = WITHOUT_WIND
    if sailing is not None and sailing.by_curve and sailing.heel is not None:
        heel = sailing.heel
    surface = afloat_surface(plan, hull, boat.hung.bulb)
    if standing.side == "port":
        surface, hull, y = mirrored(surface), mirrored(hull), -y
    near = min(range(len(curve.heels)), key=lambda one: abs(curve.heels[one] - heel))
    start = Attitude(sinkage=curve.sinkages[near], trim=curve.trims[near], heel=heel)
    try:
        rest = float_boat(
            surface,
            mass=boat.total_mass,
            mass_centre=(x, y, z),
            water_density=plan.water.density,
            heel=heel,
            start=start,
        )
    except FloatingError:
        return None
    buoyancy = hydrostatics(surface, rest.attitude).buoyancy_centre
    if buoyancy is None:
        return None
    return Heeled(
        attitude=rest.attitude, mass_centre=(x, y, z), buoyancy=buoyancy, arm=rest.righting_arm, hull=hull
    )
