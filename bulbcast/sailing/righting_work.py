"""Single surface of everything on the planned boat that displaces water, and its righting arms.

The righting arms are those of the hull surface, with the fin, rudder and bulb as shells of the correct volume. The fin
is cut off horizontally, so that the volume removed equals that of the part inside the bulb. If the hull is given as a
table of offsets, the surface is drawn through the table. GM as the boat floats then differs slightly from GM by
Simpson's rules. A note is given if the volume inside the surface and the volume by Simpson's rules differ by more
than 0.5 %. The boat is heeled to the side to which she leans unaided. A study uses five heels up to 60 degrees; a plan
uses 37 heels up to 180 degrees.

In the calculation of the ballast, the part of the rudder above the waterline displaces nothing. The mass of the
complete rudder is counted, and the complete rudder is included in the righting arms.
"""

from __future__ import annotations

import math

from bulbcast.bulb.body.integrals import parallel_volume
from bulbcast.bulb.hung.ledger import HungBulb
from bulbcast.fin.planned import fin_foil, rudder_foil
from bulbcast.hull.hydrostatics import Point
from bulbcast.hull.mesh import HullMesh, hull_with
from bulbcast.plan.sections import Plan
from bulbcast.sailing.appendages import bulb_mesh, foil_above, foil_mesh, mirrored
from bulbcast.sailing.righting import RightingArmCurve, righting_arm_curve
from bulbcast.sailing.wind_heel import ArmsByHeel

BRIEF_HEELS = tuple(math.radians(angle) for angle in (0.0, 15.0, 30.0, 45.0, 60.0))
"""Angles of heel sufficient for finding the wind that heels the boat 45 degrees. [rad]"""


def afloat_surface(plan: Plan, hull: HullMesh, bulb: HungBulb) -> HullMesh:
    """Combine everything that displaces water into one surface made up of several shells.

    Args:
        plan: The plan, which gives the fin and the rudder.
        hull: The hull.
        bulb: The bulb, ready to hang.
    """
    envelope = parallel_volume(bulb.volume, bulb.surface, bulb.skin)
    # The fin is shortened by the volume of its part inside the bulb.
    hidden = envelope.volume - bulb.displacement
    others = [
        foil_mesh(foil_above(fin_foil(plan.fin, plan.bulb.incidence), hidden)),
        bulb_mesh(
            bulb.body,
            skin=bulb.skin,
            volume=envelope.volume,
            centroid_x=envelope.centroid_x,
            attitude=bulb.attitude,
        ),
    ]
    if plan.rudder is not None:
        others.append(foil_mesh(rudder_foil(plan.rudder)))
    return hull_with(hull, *others)


def righting_arms(
    plan: Plan,
    hull: HullMesh,
    bulb: HungBulb,
    *,
    mass: float,
    mass_centre: Point,
    heels: tuple[float, ...],
    near: RightingArmCurve | None = None,
) -> tuple[RightingArmCurve, str]:
    """Calculate righting arms on the side to which the boat leans unaided, which is the weaker side.

    Args:
        plan: The plan, which gives the fin, the rudder and the water.
        hull: The hull.
        bulb: The bulb, ready to hang.
        mass: Mass of everything afloat. [kg]
        mass_centre: Mass centre, boat axes. [m]
        heels: Heels, ascending from 0. [rad]
        near: Curve of a very similar boat, heeled to the same side, from which the search starts.

    Returns:
        The curve, and "starboard" or "port".

    Raises:
        FloatingError: The boat does not float with those figures.
    """
    surface, water = afloat_surface(plan, hull, bulb), plan.water.density
    curve = righting_arm_curve(
        surface, mass=mass, mass_centre=mass_centre, water_density=water, heels=heels, near=near
    )
    if curve.upright.righting_arm <= 1e-9 * float(max(surface.extent)):
        return curve, "starboard"
    x, y, z = mass_centre
    curve = righting_arm_curve(
        mirrored(surface), mass=mass, mass_centre=(x, -y, z), water_density=water, heels=heels, near=near
    )
    return curve, "port"


def arms_of(curve: RightingArmCurve | None, gm: float) -> ArmsByHeel:
    """Choose righting arms for heel under wind: the boat's curve or, failing that, GM sin(heel) up to 90 degrees.

    Args:
        curve: Curve for the boat's shape; None if that shape is not known.
        gm: GM upright. [m]
    """
    if curve is None:
        heels = tuple(math.radians(2.5 * step) for step in range(37))
        return ArmsByHeel(heels=heels, arms=tuple(gm * math.sin(heel) for heel in heels))
    # On the side to which the boat leans, the first arm is zero apart from rounding, or does not right her.
    return ArmsByHeel(heels=curve.heels, arms=(min(curve.arms[0], 0.0), *curve.arms[1:]))
