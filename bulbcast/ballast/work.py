"""The boat of a plan: hull, fin, weigh-in, and the bulb that puts her level on her line.

hull + fin + weigh-in -> closed form -> the shaped bulb, until size, place, displacement and trim agree
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from bulbcast.ballast.foils import FIN_NAME, foil_lines
from bulbcast.ballast.for_boat import BoatWish, BulbForBoat, size_for_boat
from bulbcast.ballast.freeboard import FreeboardLeft
from bulbcast.ballast.freeboard_work import freeboard_of_boat
from bulbcast.ballast.imposed import rest_without
from bulbcast.ballast.lying import lying_on_surface
from bulbcast.ballast.moving import MovableWeight
from bulbcast.ballast.reach import Band, Reach, Remedies, reach_of, remedies
from bulbcast.ballast.target import (
    BallastTarget,
    RestOfBoat,
    ballast_ratio,
    ballast_target,
    target_spread,
)
from bulbcast.ballast.weigh_in import (
    State,
    WeighIn,
    WeighNext,
    Weight,
    moment_spread_about,
    weigh_in,
    weigh_next,
)
from bulbcast.bulb.hung.solve import NoSolutionError
from bulbcast.bulb.hung.wish import BulbWish
from bulbcast.fin.depth import fin_foil, rudder_foil, under_water
from bulbcast.fin.foil import FoilSolid, foil_solid
from bulbcast.hull.doubts import hull_doubts
from bulbcast.hull.read import HullRead as HullRead
from bulbcast.hull.read import faults_of_hull as faults_of_hull
from bulbcast.hull.read import hull_of_numbers as hull_of_numbers
from bulbcast.hull.trimming import Change, Flotation, changed_by_moment, flotation_on_line
from bulbcast.hull.unit_slip import UnitSlip, unit_slip
from bulbcast.plan.faults import Fault, PlanError
from bulbcast.plan.sections import Plan
from bulbcast.quantities.checked import BoatFigureError

if TYPE_CHECKING:
    pass

TRIM_LEAD_FROM_ENDS = 0.1
"""Trim lead is reckoned this share of the waterline from either end. Judgement. [-]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class BoatStart:
    """What is known of the boat before the bulb has a shape.

    Attributes:
        hull: The hull.
        fin: Volume and centre of the whole fin, tongue and all.
        weigh_in: The lines, fin's and rudder's among them where their mass is given, and their sums.
        rest: Everything but the bulb.
        closed_form: The target for plain lead of the casting's density, no screws, no skin.
        unit_slip: Another unit of the hull's file that her weigh-in would fit; None where nothing is odd.
        rudder: Volume and centre of what the rudder has under water; None where the plan gives none.
    """

    hull: HullRead
    fin: FoilSolid
    weigh_in: WeighIn
    rest: RestOfBoat
    closed_form: BallastTarget
    unit_slip: UnitSlip | None = None
    rudder: FoilSolid | None = None

    @property
    def foils(self) -> tuple[FoilSolid, ...]:
        """Fin and rudder."""
        return (self.fin,) if self.rudder is None else (self.fin, self.rudder)


@dataclass(frozen=True, slots=True, kw_only=True)
class BoatJob:
    """The boat with her bulb.

    Attributes:
        start: Hull, fin and weigh-in.
        hung: The bulb as it will hang: what the plan imposes is imposed.
        target: The bulb that she wants, as near as the fin reaches; `hung` itself where nothing is imposed, and
            None where the shape given cannot be it.
        mass_imposed: Whether the plan gives the bulb's mass.
        place_imposed: Whether the plan gives the bulb's place.
        mass_spread: Standard deviation of the target's mass. [kg]
        place_spread: Of the target's place, from the weigh-in. [m]
        next: Lines that would narrow the weigh-in most if they were weighed next.
        heaviest: The bulb she carries with all ashore that can stay there; None where no line can.
        over: What is too much at the line with the bulb as it hangs: mass [kg], moment about the centre
            of flotation, or of buoyancy where that is not known [kg m].
        mass_centre: Of boat and bulb, boat axes. [m]
        gm: Metacentre over mass centre, heeling; None where the hull does not tell. [m]
        flotation: On her line; None where the hull's figures do not tell.
        flotation_missing: Why there is none.
        lies: How she lies with the bulb as it hangs; None without flotation.
        level_sinkage: Of it what her mass alone does, held without trim; None likewise. [m]
        reach: The wanted place against the fin's reach, of `hung`, or of `target` where the place is imposed;
            None without flotation or a band.
        remedies: What makes good a shortfall; None where there is none, or no reach.
        ratio: Bulb over the boat complete. [-]
        freeboard: On her line and as she lies; None where the hull does not tell.
        buoyancy: x and z of the centre of buoyancy of hull, foils and bulb on her line, boat axes; None where the hull's
            level is not known. [m]
    """

    start: BoatStart
    hung: BulbForBoat
    target: BulbForBoat | None
    mass_imposed: bool
    place_imposed: bool
    mass_spread: float
    place_spread: float
    next: tuple[WeighNext, ...]
    heaviest: BulbForBoat | None
    over: tuple[float, float]
    mass_centre: tuple[float, float, float]
    gm: float | None
    flotation: Flotation | None
    flotation_missing: str
    lies: Change | None
    level_sinkage: float | None
    reach: Reach | None
    remedies: Remedies | None
    ratio: float
    freeboard: FreeboardLeft | None = None
    buoyancy: tuple[float, float] | None = None

    @property
    def total_mass(self) -> float:
        """Boat and bulb. [kg]"""
        return self.start.weigh_in.mass + self.hung.bulb.mass

    @property
    def target_mass(self) -> float:
        """What puts her on her line: of the bulb that she wants, else of one that displaces what `hung` does. [kg]"""
        return self.hung.wanted_mass if self.target is None else self.target.bulb.mass

    @property
    def band(self) -> Band | None:
        """Where this fin can hold the mass centre of the bulb as it hangs; None where it has no place."""
        return self.hung.band

    def displacement(self, water_density: float) -> float:
        """Water displaced at the design waterline, bulb and fin included. [kg]"""
        return water_density * (self.start.rest.volume + self.hung.afloat.volume)


def boat_start(plan: Plan, hull: HullRead, *, lead_density: float) -> BoatStart:
    """What is known of the boat before the bulb has a shape.

    Args:
        plan: With [boat].
        hull: Her hull.
        lead_density: Of the casting, voids reckoned in. [kg/m3]

    Raises:
        PlanError: A fin that cannot be, or nothing left for the bulb.
    """
    slip: UnitSlip | None = None
    try:
        fin = foil_solid(fin_foil(plan.fin, plan.bulb.incidence))
        rudder = None if plan.rudder is None else under_water(rudder_foil(plan.rudder))
        foils = (fin,) if rudder is None else (fin, rudder)
        summed = weigh_in(tuple(_lines(plan)))
        below = sum(one.volume for one in foils)
        slip = unit_slip(
            hull_mass=plan.water.density * hull.line.volume,
            below_mass=plan.water.density * below,
            weighed=summed.mass,
            unit=hull.unit,
        )
        volume = hull.line.volume + below
        rest = RestOfBoat(
            volume=volume,
            buoyancy_x=(
                hull.line.volume * hull.line.buoyancy_x + sum(one.volume * one.centre_x for one in foils)
            )
            / volume,
            mass=summed.mass,
            mass_x=0.0 if summed.centre is None else summed.centre[0],
        )
        closed = ballast_target(rest, water_density=plan.water.density, lead_density=lead_density)
    except BoatFigureError as error:
        raise _refused(plan, error, slip, hull) from None
    return BoatStart(
        hull=hull,
        fin=fin,
        weigh_in=summed,
        rest=rest,
        closed_form=closed,
        unit_slip=slip,
        rudder=rudder,
    )


def _lines(plan: Plan) -> list[Weight]:
    return [
        Weight(
            name=one.name,
            mass=one.mass,
            x=one.x,
            y=one.y,
            z=one.z,
            state=State(one.state),
            spread=one.spread,
            place_spread=one.place_spread,
        )
        for one in plan.weights
    ] + foil_lines(plan)


def boat_job(plan: Plan, start: BoatStart, wish: BulbWish) -> BoatJob:
    """The bulb for this boat, and all that follows from it.

    Args:
        plan: With [boat].
        start: From `boat_start`.
        wish: Of the bulb; its mass and place are the plan's where it gives them, else to start from.

    Raises:
        PlanError: Nothing is left for the bulb.
        NoSolutionError: No bulb answers.
    """
    water = plan.water.density
    mass_imposed = plan.bulb.target_mass is not None
    place_imposed = plan.bulb.mass_centre_x is not None or plan.fin.carry_at is not None
    line = start.hull.line

    def asked(rest: RestOfBoat, *, mass: float | None = None, place: float | None = None) -> BoatWish:
        return BoatWish(
            rest=rest,
            water_density=water,
            flotation_x=line.flotation_x,
            mass=mass,
            place=place,
            overhang_forward=plan.fin.overhang_forward,
            overhang_aft=plan.fin.overhang_aft,
        )

    try:
        hung = size_for_boat(
            wish,
            asked(
                start.rest,
                mass=plan.bulb.target_mass,
                place=wish.mass_centre_x if place_imposed else None,
            ),
        )
        target: BulbForBoat | None = hung
        if mass_imposed or place_imposed:
            target = _wanted(wish, asked(start.rest), start)
        ashore = [
            line
            for line, one in zip(start.weigh_in.weights, plan.weights, strict=False)
            if one.can_stay_ashore == "yes"
        ]
        heaviest = None
        if ashore:
            heaviest = _wanted(wish, asked(rest_without(start.rest, ashore)), start)
        return _completed(plan, start, hung, target, heaviest, mass_imposed, place_imposed)
    except BoatFigureError as error:
        raise _refused(plan, error) from None


def _wanted(wish: BulbWish, boat: BoatWish, start: BoatStart) -> BulbForBoat | None:
    """The bulb that she wants; None where the shape the plan gives cannot be it."""
    from dataclasses import replace

    try:
        return size_for_boat(replace(wish, target_mass=start.closed_form.hung_mass), boat)
    except NoSolutionError:
        return None


@dataclass(frozen=True, slots=True, kw_only=True)
class Loaded:
    """Boat and bulb together. Boat axes.

    Attributes:
        mass: [kg]
        centre: Of that mass. [m]
        below_volume: Of fin, rudder and bulb. [m3]
        below_x: Its centre. [m]
        below_z: Likewise. [m]
        gm: Metacentre over mass centre, heeling, at her line; None where the hull does not tell. [m]
    """

    mass: float
    centre: tuple[float, float, float]
    below_volume: float
    below_x: float
    below_z: float
    gm: float | None


def loaded(start: BoatStart, hung: BulbForBoat) -> Loaded:
    """Boat and bulb as one load.

    Args:
        start: Hull, foils and weigh-in.
        hung: The bulb.
    """
    line, weights, bulb = start.hull.line, start.weigh_in, hung.bulb
    mass = weights.mass + bulb.mass
    bulb_z = bulb.mass_centre[1]
    centre = (
        (weights.moments[0] + bulb.mass * hung.afloat.x) / mass,
        weights.moments[1] / mass,
        (weights.moments[2] + bulb.mass * bulb_z) / mass,
    )
    displaced = bulb.displaced
    volume_z = bulb.displaced_centre[1]
    below = displaced.volume + sum(one.volume for one in start.foils)
    moment_x = displaced.volume * hung.afloat.volume_x + sum(one.volume * one.centre_x for one in start.foils)
    moment_z = displaced.volume * volume_z + sum(one.volume * one.centre_z for one in start.foils)
    gm = None
    if line.bm_across is not None and line.buoyancy_z is not None:
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


def _completed(
    plan: Plan,
    start: BoatStart,
    hung: BulbForBoat,
    target: BulbForBoat | None,
    heaviest: BulbForBoat | None,
    mass_imposed: bool,
    place_imposed: bool,
) -> BoatJob:
    water, line, weights = plan.water.density, start.hull.line, start.weigh_in
    bulb = hung.bulb
    load = loaded(start, hung)
    flotation, missing = None, ""
    try:
        flotation = flotation_on_line(
            line,
            water_density=water,
            mass_centre_z=load.centre[2],
            below_volume=load.below_volume,
            below_x=load.below_x,
            below_z=load.below_z,
        )
    except BoatFigureError as error:
        missing = str(error)
    buoyancy = None
    if line.buoyancy_z is not None:
        below, whole = load.below_volume, line.volume + load.below_volume
        buoyancy = (
            (line.volume * line.buoyancy_x + below * load.below_x) / whole,
            (line.volume * line.buoyancy_z + below * load.below_z) / whole,
        )
    over_mass = bulb.mass - hung.wanted_mass
    apparent = bulb.mass - water * bulb.displaced.volume
    # Moving the bulb by what it is short would level her, so this is the moment she lacks.
    over = (over_mass, -apparent * hung.short)
    lies = None if flotation is None else changed_by_moment(flotation, mass=over[0], moment=over[1])
    level_sinkage = None if lies is None else lies.sinkage
    if lies is not None and flotation is not None and mass_imposed and start.hull.mesh is not None:
        lies, level_sinkage = lying_on_surface(
            start.hull.mesh,
            flotation,
            lies,
            mass=load.mass,
            centre=load.centre,
            below_volume=load.below_volume,
            below_x=load.below_x,
            below_z=load.below_z,
        )
    reach, mends = _reach(plan, start, target if place_imposed else hung, flotation)
    return BoatJob(
        start=start,
        hung=hung,
        target=target,
        mass_imposed=mass_imposed,
        place_imposed=place_imposed,
        mass_spread=target_spread(
            mass_spread=weights.mass_spread,
            volume_spread=(plan.boat.displacement_spread or 0.0) / water if plan.boat is not None else 0.0,
            water_density=water,
            lead_density=hung.wish.cast_density,
        ),
        place_spread=moment_spread_about(weights.weights, hung.wanted_x) / apparent,
        next=weigh_next(weights.weights),
        heaviest=heaviest,
        over=over,
        mass_centre=load.centre,
        gm=load.gm,
        flotation=flotation,
        flotation_missing=missing,
        lies=lies,
        level_sinkage=level_sinkage,
        reach=reach,
        remedies=mends,
        ratio=ballast_ratio(bulb.mass, load.mass),
        buoyancy=buoyancy,
        freeboard=freeboard_of_boat(plan, start.hull.outline, flotation, lies),
    )


def _reach(
    plan: Plan, start: BoatStart, target: BulbForBoat | None, flotation: Flotation | None
) -> tuple[Reach | None, Remedies | None]:
    if target is None or flotation is None or target.band is None:
        return None, None
    water = plan.water.density
    reach = reach_of(
        target.hang,
        wanted_x=target.wanted_x,
        apparent_mass=target.afloat.mass - water * target.afloat.volume,
        flotation=flotation,
    )
    fin_mass = next((one.mass for one in start.weigh_in.weights if one.name == FIN_NAME), 0.0)
    length = start.hull.line.length
    found = remedies(
        reach,
        target.hang,
        flotation,
        lead_density=target.wish.cast_density,
        movable=[
            MovableWeight(
                name=one.name,
                mass=one.mass,
                at=one.x,
                least=one.movable_forward_to,
                most=one.movable_aft_to,
            )
            for one in plan.weights
            if one.movable_forward_to is not None and one.movable_aft_to is not None and one.mass > 0.0
        ],
        trim_lead_at=(TRIM_LEAD_FROM_ENDS * length, (1.0 - TRIM_LEAD_FROM_ENDS) * length),
        fin_apparent_mass=fin_mass - water * start.fin.volume,
    )
    return reach, found


def _refused(
    plan: Plan, error: BoatFigureError, slip: UnitSlip | None = None, hull: HullRead | None = None
) -> PlanError:
    return PlanError(
        [
            *hull_doubts(plan, hull, slip),
            Fault(
                file=plan.source,
                key="[boat]",
                read="figures of boat and weights that leave no bulb",
                expected="water that carries more at the line than she weighs without the bulb",
                remedy=str(error),
            ),
        ]
    )
