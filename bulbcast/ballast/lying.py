"""How she lies with a bulb whose mass was imposed: on her own surface where the hull is one, else to first order."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from bulbcast.hull.trimming import Change, Flotation

if TYPE_CHECKING:
    from bulbcast.hull.mesh import HullMesh


def lying_on_surface(
    surface: HullMesh,
    flotation: Flotation,
    first_order: Change,
    *,
    mass: float,
    centre: tuple[float, float, float],
    below_volume: float,
    below_x: float,
    below_z: float,
) -> tuple[Change, float]:
    """Sinkage and trim from the hull's surface itself, upright, with foils and bulb as they are: all under water.

    Args:
        surface: The hull alone.
        flotation: The boat on her design line.
        first_order: How she lies to first order; mass and moment are its own.
        mass: Of boat and bulb. [kg]
        centre: Of that mass, boat axes. [m]
        below_volume: Water displaced by foils and bulb. [m3]
        below_x: Its centre, boat axes. [m]
        below_z: Likewise. [m]

    Returns:
        The change with its sinkage, trim and draughts, and the sinkage were she held without trim, which is what the
        mass alone does [m]; the first order's own where she would not float so.
    """
    from bulbcast.hull.floating import FloatingError, float_boat

    water = flotation.water_density * below_volume
    pull = mass - water
    place = tuple(
        (mass * whole - water * below) / pull for whole, below in ((centre[0], below_x), (centre[2], below_z))
    )
    try:
        rest, level = (
            float_boat(
                surface,
                mass=pull,
                mass_centre=(place[0], 0.0, place[1]),
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

    change = Change(
        mass=first_order.mass,
        moment=first_order.moment,
        sinkage=deeper(flotation.flotation_x),
        trim=flotation.length * math.tan(trim),
        deeper_fore=deeper(flotation.fore_x),
        deeper_aft=deeper(flotation.aft_x),
    )
    return change, level.attitude.sinkage
