"""Boat and bulb as one load, and their floating position, from the hull surface if there is one.

Even if the plan gives the bulb's mass, the boat must float level, so the bulb's position is found from moments about
the centre of flotation or, if that is not known, about the centre of buoyancy.
"""

from __future__ import annotations

import math

from bulbcast.ballast.for_boat import BulbForBoat
from bulbcast.ballast.start import BoatStart
from bulbcast.hull.floating import FloatingError, float_boat
from bulbcast.hull.mesh import HullMesh
from bulbcast.hull.trimming import Change, Flotation
from bulbcast.quantities.checked import BoatFigureError
from bulbcast.quantities.frozen import frozen, replace


@frozen
class Loaded:
    """Boat and bulb as one load, in boat axes.

    Attributes:
        mass: Mass. [kg]
        centre: Mass centre, with None for each unknown coordinate. [m]
        below_volume: Volume of fin, rudder and bulb. [m3]
        below_x: x of the centre of that volume. [m]
        below_z: z of the centre of that volume. [m]
        gm: Transverse GM on the design waterline; None if the hull's figures do not give it. [m]
    """

    mass: float
    centre: tuple[float | None, float, float | None]
    below_volume: float
    below_x: float
    below_z: float
    gm: float | None


def whole_centre(
    centre: tuple[float | None, float, float | None],
) -> tuple[float, float, float]:
    """Return a mass centre, after checking that every coordinate is known. [m]

    Args:
        centre: Coordinates, None for each that is not known. [m]

    Raises:
        BoatFigureError: A coordinate is not known.
    """
    x, y, z = centre
    if x is None or z is None:
        raise BoatFigureError(
            "The boat's mass centre depends on the x and z of every weight. Give both for each weight."
        )
    return x, y, z


def loaded(start: BoatStart, hung: BulbForBoat) -> Loaded:
    """Return the boat and bulb as one load.

    Args:
        start: The hull, fin, rudder and weigh-in.
        hung: The bulb as hung.
    """
    line, weights, bulb, foils = start.hull.line, start.weigh_in, hung.bulb, start.foils
    mass = weights.mass + bulb.mass
    along, up = weights.moments[0], weights.moments[2]
    # Without the fin's position in the boat, the bulb's is not known either.
    placed = start.fin is not None
    centre = (
        (along + bulb.mass * hung.afloat.x) / mass if placed and along is not None else None,
        weights.moments[1] / mass,
        (up + bulb.mass * bulb.mass_centre[1]) / mass if placed and up is not None else None,
    )
    volume = bulb.displaced.volume
    below = volume + sum(one.volume for one in foils)
    moment_x = volume * hung.afloat.volume_x + sum(one.volume * one.centre_x for one in foils)
    moment_z = volume * bulb.displaced_centre[1] + sum(one.volume * one.centre_z for one in foils)
    gm = None
    if line.bm_across is not None and line.buoyancy_z is not None and centre[2] is not None:
        share = line.volume / (line.volume + below)
        gm = share * (line.buoyancy_z + line.bm_across) + (1.0 - share) * moment_z / below - centre[2]
    return Loaded(
        mass=mass,
        centre=centre,
        below_volume=below,
        below_x=moment_x / below,
        below_z=moment_z / below,
        gm=gm,
    )


def lying_on_surface(
    surface: HullMesh, flotation: Flotation, first_order: Change, load: Loaded
) -> tuple[Change, float]:
    """Find the sinkage and trim of the upright boat from the hull surface, with foils and bulb fully under water.

    Args:
        surface: Surface of the hull alone.
        flotation: Flotation on the design waterline.
        first_order: First-order floating position, from which the mass and the moment are taken.
        load: Boat and bulb.

    Returns:
        The change in sinkage, trim and draughts, and the sinkage at zero trim, from the mass alone [m]. Both are the
        first-order values if the boat would not float or if her mass centre is not fully known.
    """
    water = flotation.water_density * load.below_volume
    pull = load.mass - water
    if load.centre[0] is None or load.centre[2] is None:
        return first_order, first_order.sinkage
    x, z = (
        (load.mass * whole - water * below) / pull
        for whole, below in ((load.centre[0], load.below_x), (load.centre[2], load.below_z))
    )
    try:
        rest, level = (
            float_boat(
                surface,
                mass=pull,
                mass_centre=(x, 0.0, z),
                water_density=flotation.water_density,
                trim=held,
                heel=0.0,
            )
            for held in (None, 0.0)
        )
    except FloatingError:
        return first_order, first_order.sinkage
    sinkage, trim = rest.attitude.sinkage, rest.attitude.trim

    def deeper(x: float) -> float:
        return (sinkage + x * math.sin(trim)) / math.cos(trim)

    change = replace(
        first_order,
        sinkage=deeper(flotation.flotation_x),
        trim=flotation.length * math.tan(trim),
        deeper_fore=deeper(flotation.fore_x),
        deeper_aft=deeper(flotation.aft_x),
    )
    return change, level.attitude.sinkage
