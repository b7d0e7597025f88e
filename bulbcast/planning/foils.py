"""Fin and rudder of a plan as foils, and what they weigh."""

from __future__ import annotations

from bulbcast.boat.foil import Foil, FoilSolid, foil_between, foil_solid
from bulbcast.boat.weigh_in import State, Weight
from bulbcast.plan.rig_sections import RudderSection
from bulbcast.plan.sections import FinSection, Plan
from bulbcast.planning.fin import fin_foil

FIN_NAME = "fin"
RUDDER_NAME = "rudder"


def rudder_foil(rudder: RudderSection) -> Foil:
    """The whole blade.

    Args:
        rudder: Of the plan.
    """
    return Foil(
        root_chord=rudder.root_chord,
        tip_chord=rudder.tip_chord,
        root_thickness=rudder.root_thickness,
        tip_thickness=rudder.tip_thickness,
        root_leading_edge_x=rudder.root_leading_edge_x,
        tip_leading_edge_x=rudder.tip_leading_edge_x,
        root_z=rudder.root_z,
        tip_z=rudder.tip_z,
    )


def under_water(foil: Foil) -> FoilSolid:
    """What of a foil displaces water at the design waterline: a transom-hung rudder's head does not.

    Args:
        foil: Its tip is under water.
    """
    if foil.root_z > 0.0 > foil.tip_z:
        foil = foil_between(foil, top_z=0.0, bottom_z=foil.tip_z)
    return foil_solid(foil)


def foil_lines(plan: Plan) -> list[Weight]:
    """Lines of the weigh-in for fin and rudder, as far as the plan tells their mass or density.

    Args:
        plan: With [boat].
    """
    foils: list[tuple[str, Foil, FinSection | RudderSection]] = [
        (FIN_NAME, fin_foil(plan.fin, plan.bulb.incidence), plan.fin)
    ]
    if plan.rudder is not None:
        foils.append((RUDDER_NAME, rudder_foil(plan.rudder), plan.rudder))
    lines = []
    for name, foil, given in foils:
        whole = foil_solid(foil, given.density)
        mass = given.mass if given.mass is not None else whole.mass
        if mass is not None:
            state = State.WEIGHED if given.mass is not None else State.ESTIMATED
            lines.append(Weight(name=name, mass=mass, x=whole.centre_x, z=whole.centre_z, state=state))
    return lines
