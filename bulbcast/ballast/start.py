"""What is known of the boat before the bulb has a shape: hull, fin, rudder and weigh-in."""

from __future__ import annotations

from bulbcast.ballast.target import RestOfBoat, ballast_target
from bulbcast.ballast.weigh_in import FIN_NAME, RUDDER_NAME, State, WeighIn, Weight, weigh_in
from bulbcast.fin.foil import FoilSolid, foil_solid
from bulbcast.fin.planned import fin_foil, rudder_foil, under_water
from bulbcast.hull.read import HullRead
from bulbcast.hull.unit_slip import UnitSlip, hull_doubts, unit_slip
from bulbcast.plan.faults import Fault, PlanError
from bulbcast.plan.filling import made_from
from bulbcast.plan.sections import Plan
from bulbcast.quantities.checked import BoatFigureError
from bulbcast.quantities.frozen import frozen


@frozen
class BoatStart:
    """What is known of the boat before the bulb has a shape.

    Attributes:
        hull: The hull.
        fin: Volume and centre of the whole fin, tongue and all.
        weigh_in: The lines, fin's and rudder's among them where their mass is given, and their sums.
        rest: Everything but the bulb.
        closed_form: Mass and place of a bulb of plain lead of the casting's density, no screws, no skin. [kg], [m]
        unit_slip: Another unit of the hull's file that her weigh-in would fit; None where nothing is odd.
        rudder: Volume and centre of what the rudder has under water; None where the plan gives none.
    """

    hull: HullRead
    fin: FoilSolid
    weigh_in: WeighIn
    rest: RestOfBoat
    closed_form: tuple[float, float]
    unit_slip: UnitSlip | None
    rudder: FoilSolid | None

    @property
    def foils(self) -> tuple[FoilSolid, ...]:
        """Fin and rudder."""
        return (self.fin,) if self.rudder is None else (self.fin, self.rudder)


def boat_start(plan: Plan, hull: HullRead, *, lead_density: float) -> BoatStart:
    """What is known of the boat before the bulb has a shape.

    Args:
        plan: With [boat].
        hull: Her hull.
        lead_density: Of the casting, voids counted in. [kg/m3]

    Raises:
        PlanError: A fin that cannot be, or nothing left for the bulb.
    """
    slip: UnitSlip | None = None
    water, line = plan.water.density, hull.line
    try:
        fin = foil_solid(fin_foil(plan.fin, plan.bulb.incidence))
        rudder = None if plan.rudder is None else under_water(rudder_foil(plan.rudder))
        foils = (fin,) if rudder is None else (fin, rudder)
        summed = weigh_in(_lines(plan))
        below = sum(one.volume for one in foils)
        slip = unit_slip(
            hull_mass=water * line.volume, below_mass=water * below, weighed=summed.mass, unit=hull.unit
        )
        volume = line.volume + below
        moment = line.volume * line.buoyancy_x + sum(one.volume * one.centre_x for one in foils)
        rest = RestOfBoat(
            volume=volume,
            buoyancy_x=moment / volume,
            mass=summed.mass,
            mass_x=0.0 if summed.centre is None else summed.centre[0],
        )
        return BoatStart(
            hull=hull,
            fin=fin,
            weigh_in=summed,
            rest=rest,
            closed_form=ballast_target(rest, water_density=water, lead_density=lead_density),
            unit_slip=slip,
            rudder=rudder,
        )
    except BoatFigureError as error:
        raise no_bulb_left(plan, error, hull_doubts(plan, hull, slip)) from None


def _lines(plan: Plan) -> list[Weight]:
    """Lines of the weigh-in, those for fin and rudder last, as far as the plan tells their mass or density."""
    lines = [made_from(Weight, one, state=State(one.state)) for one in plan.weights]
    foils = [(FIN_NAME, foil_solid(fin_foil(plan.fin, plan.bulb.incidence), plan.fin.density), plan.fin.mass)]
    if plan.rudder is not None:
        whole = foil_solid(rudder_foil(plan.rudder), plan.rudder.density)
        foils.append((RUDDER_NAME, whole, plan.rudder.mass))
    for name, whole, given in foils:
        mass = whole.mass if given is None else given
        if mass is not None:
            state = State.ESTIMATED if given is None else State.WEIGHED
            lines.append(Weight(name=name, mass=mass, x=whole.centre_x, z=whole.centre_z, state=state))
    return lines


def no_bulb_left(plan: Plan, error: BoatFigureError, doubts: list[Fault]) -> PlanError:
    """The fault of a boat that leaves nothing for a bulb.

    Args:
        plan: With [boat].
        error: What is wrong with her figures.
        doubts: Of her hull, which may be why.
    """
    fault = Fault(
        plan.source,
        "[boat]",
        "figures of boat and weights that leave no bulb",
        "water that carries more at the line than she weighs without the bulb",
        str(error),
    )
    return PlanError([*doubts, fault])
