"""Fin and rudder of a plan as foils, and what they weigh."""

from __future__ import annotations

from bulbcast.ballast.weigh_in import State, Weight
from bulbcast.fin.depth import fin_foil, rudder_foil
from bulbcast.fin.foil import Foil, foil_solid
from bulbcast.plan.rig_sections import RudderSection
from bulbcast.plan.sections import FinSection, Plan

FIN_NAME = "fin"
RUDDER_NAME = "rudder"


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
