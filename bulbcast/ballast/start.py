"""Data on the boat before the bulb has a shape: hull, fin, rudder and weigh-in."""

from __future__ import annotations

from bulbcast.ballast.shares import displacement_key, doubts_of_shares
from bulbcast.ballast.target import RestOfBoat, ballast_target
from bulbcast.ballast.weigh_in import (
    FIN_NAME,
    RESERVE_NAME,
    RUDDER_NAME,
    State,
    WeighIn,
    Weight,
    usual_place_spread,
    weigh_in,
)
from bulbcast.fin.foil import FoilSolid, foil_solid
from bulbcast.fin.planned import fin_foil, rudder_foil, under_water
from bulbcast.hull.estimate import with_estimates
from bulbcast.hull.read import HullRead
from bulbcast.hull.unit_slip import UnitSlip, hull_doubts, unit_slip
from bulbcast.plan.faults import Fault, PlanError
from bulbcast.plan.filling import made_from
from bulbcast.plan.sections import Plan
from bulbcast.quantities.checked import BoatFigureError, require_positive
from bulbcast.quantities.frozen import frozen, replace


@frozen
class BoatStart:
    """Data on the boat before the bulb has a shape.

    Attributes:
        hull: The hull.
        fin: Volume and centre of the complete fin, including its end in the pocket; None if the plan gives only its
            tip.
        weigh_in: Weight list and its sums, including fin and rudder if their mass is given.
        rest: Everything but the bulb.
        closed_form: Mass and position of a bulb of plain lead with the casting's density, without screws or skin; the
            position is None if the trim is not known. [kg], [m]
        unit_slip: A different unit for the hull file that would fit the weigh-in; None if the unit is not in doubt.
        listed: Number of lines from [[weights]]; those for fin, rudder and reserve follow.
        rudder: Volume and centre of the rudder's underwater part; None if the plan gives none.
    """

    hull: HullRead
    fin: FoilSolid | None
    weigh_in: WeighIn
    rest: RestOfBoat
    closed_form: tuple[float, float | None]
    unit_slip: UnitSlip | None
    rudder: FoilSolid | None
    listed: int = 0

    @property
    def foils(self) -> tuple[FoilSolid, ...]:
        """Fin and rudder, if known."""
        return tuple(one for one in (self.fin, self.rudder) if one is not None)

    def settled(self, bulb_volume: float, shape: str | None) -> BoatStart:
        """Return a copy with the bulb, fin and rudder subtracted from an all-up displacement.

        Args:
            bulb_volume: Volume of water that the bulb displaces outside the fin. [m3]
            shape: Word for the waterplane's shape; None if none is given. [-]

        Raises:
            BoatFigureError: The fin, rudder and bulb leave no displacement for the hull.
        """
        if not self.rest.all_up:
            return self
        rest = self.rest.beside(bulb_volume)
        volume = rest.volume - sum(one.volume for one in self.foils)
        require_positive("The displacement left for the hull", volume, "m3")
        less = "all up, less the bulb" if self.fin is None else "all up, less the fin and the bulb"
        line = replace(self.hull.line, volume=volume, how=f"the displacement given, {less}", all_up=False)
        return replace(self, rest=rest, hull=replace(self.hull, line=with_estimates(line, shape)))


def boat_start(plan: Plan, hull: HullRead, *, lead_density: float) -> BoatStart:
    """Collect the data on the boat before the bulb has a shape.

    Args:
        plan: Plan with [boat].
        hull: Her hull.
        lead_density: Density of the casting, including voids. [kg/m3]

    Raises:
        PlanError: The fin's figures are impossible, or nothing is left for the bulb.
    """
    slip: UnitSlip | None = None
    shape = None if plan.boat is None else plan.boat.waterplane_shape
    hull = replace(hull, line=with_estimates(hull.line, shape))
    water, line = plan.water.density, hull.line
    try:
        fin = None
        if plan.fin.root_chord is not None:
            fin = foil_solid(fin_foil(plan.fin, plan.bulb.incidence))
        rudder = None if plan.rudder is None else under_water(rudder_foil(plan.rudder))
        foils = tuple(one for one in (fin, rudder) if one is not None)
        summed = weigh_in(_lines(plan, line.length))
        below = sum(one.volume for one in foils)
        slip = unit_slip(
            hull_mass=water * line.volume, below_mass=water * below, weighed=summed.mass, unit=hull.unit
        )
        volume, hull_volume, buoyancy_x = line.volume + below, line.volume, None
        if line.all_up:
            volume, hull_volume = line.volume, line.volume - below
        if line.buoyancy_x is not None and fin is not None:
            moment = hull_volume * line.buoyancy_x + sum(one.volume * one.centre_x for one in foils)
            buoyancy_x = moment / volume
        rest = RestOfBoat(
            volume=volume,
            buoyancy_x=buoyancy_x,
            mass=summed.mass,
            mass_x=summed.centre[0] if summed.mass > 0.0 else 0.0,
            all_up=line.all_up,
            hull_x=line.buoyancy_x,
        )
        return BoatStart(
            hull=hull,
            fin=fin,
            weigh_in=summed,
            rest=rest,
            closed_form=ballast_target(rest, water_density=water, lead_density=lead_density),
            unit_slip=slip,
            rudder=rudder,
            listed=len(plan.weights),
        )
    except BoatFigureError as error:
        doubts = hull_doubts(plan, hull, slip)
        mass = weigh_in(_lines(plan, line.length)).mass
        # `no_bulb_left` reports the displacement itself, with the mass to remove.
        doubts += doubts_of_shares(plan, water * line.volume, mass)[:-1]
        raise no_bulb_left(plan, error, doubts) from None


def _lines(plan: Plan, length: float | None) -> list[Weight]:
    """Return the lines of the weight list, ending with the fin, rudder and reserve if the plan gives their masses."""
    lines = []
    for one in plan.weights:
        state = State(one.state)
        spread = usual_place_spread(state, length) if one.place_spread is None else one.place_spread
        lines.append(made_from(Weight, one, state=state, place_spread=spread))
    foils: list[tuple[str, FoilSolid | None, float | None]] = []
    fin = plan.fin
    whole = None if fin.root_chord is None else foil_solid(fin_foil(fin, plan.bulb.incidence), fin.density)
    foils.append((FIN_NAME, whole, fin.mass))
    if plan.rudder is not None:
        foils.append(
            (RUDDER_NAME, foil_solid(rudder_foil(plan.rudder), plan.rudder.density), plan.rudder.mass)
        )
    for name, solid, given in foils:
        mass = given if given is not None or solid is None else solid.mass
        if mass is not None:
            state = State.ESTIMATED if given is None else State.WEIGHED
            place = (None, None) if solid is None else (solid.centre_x, solid.centre_z)
            spread = usual_place_spread(State.WEIGHED, length)
            lines.append(
                Weight(name=name, mass=mass, x=place[0], z=place[1], state=state, place_spread=spread)
            )
    if plan.boat is not None and plan.boat.reserve is not None:
        # Its position is not known. At the mass centre of the others, it changes only her sinkage.
        x, _, z = weigh_in(lines).centre
        state, spread = State.TO_COME, usual_place_spread(State.TO_COME, length)
        lines.append(
            Weight(name=RESERVE_NAME, mass=plan.boat.reserve, x=x, z=z, state=state, place_spread=spread)
        )
    return lines


def no_bulb_left(plan: Plan, error: BoatFigureError, doubts: list[Fault]) -> PlanError:
    """Return the error for a plan in which the boat's figures leave no mass for a bulb.

    Args:
        plan: Plan with [boat].
        error: Error in the boat's figures.
        doubts: Doubts about the hull and the weights, which may be the cause.
    """
    fault = Fault(
        plan.source,
        "[boat]" if plan.boat is None else displacement_key(plan.boat),
        "figures for the boat and the weights that leave nothing for a bulb",
        "a displacement at the design waterline greater than the boat's mass without the bulb",
        str(error),
    )
    return PlanError([*doubts, fault])
