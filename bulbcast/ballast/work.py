"""The boat described by a plan: hull, fin, weigh-in, and the bulb that makes the boat float level on her line.

hull + fin + weigh-in -> closed-form formula -> shaped bulb, repeated until size, position, displacement and trim agree
"""

from __future__ import annotations

import math

from bulbcast.ballast.fin_moves import FinMove, fin_moved
from bulbcast.ballast.for_boat import BoatWish, BulbForBoat, size_for_boat
from bulbcast.ballast.freeboard import FreeboardLeft, freeboard_of_boat
from bulbcast.ballast.levelling import Leveller, Levelling, levelling_of
from bulbcast.ballast.lying import loaded, lying_on_surface
from bulbcast.ballast.moving import movable_weights
from bulbcast.ballast.reach import Reach, Remedies, reach_of, remedies
from bulbcast.ballast.start import BoatStart, boat_start, no_bulb_left
from bulbcast.ballast.target import RestOfBoat, apparent_weight_factor, rest_without, target_spread
from bulbcast.ballast.weigh_in import WeighNext, moment_spread_about, weigh_next
from bulbcast.bulb.hung.solve import NoSolutionError
from bulbcast.bulb.hung.wish import BulbWish
from bulbcast.bulb.hung.wishes import alloy_of, wish_of
from bulbcast.hull.estimate import estimated_mass_centre
from bulbcast.hull.trimming import Change, Flotation, changed_by_moment, flotation_on_line
from bulbcast.plan.faults import PlanError
from bulbcast.plan.sections import Plan
from bulbcast.quantities.checked import BoatFigureError
from bulbcast.quantities.frozen import frozen, replace

DISPLACEMENT_SHARE = 0.005
"""Default spread of the displacement, as a fraction, for a hull built true to its drawing. Judgement. [-]"""
TRIM_LEAD_FROM_ENDS = 0.1
"""Assumed distance of trim lead from the end of the waterline, as a fraction of the waterline length. Judgement.
[-]"""


@frozen
class BoatJob:
    """The boat with her bulb.

    Attributes:
        start: Hull, fin and weigh-in.
        hung: Bulb as it will hang, with the mass or position that the plan gives.
        target: Bulb that the boat needs, placed as near to the required position as the fin can reach. It is the same
            as `hung` if the plan gives neither mass nor position, and None if no bulb of the given shape meets the
            need.
        mass_imposed: Whether the plan gives the bulb's mass.
        place_imposed: Whether the plan gives the bulb's position.
        mass_spread: Standard deviation of the target's mass. [kg]
        place_spread: Standard deviation of the target's position, from the weigh-in; None if the trim is not known. [m]
        next: Lines that would most reduce the spread of the weigh-in if weighed next.
        heaviest: Bulb that the boat can carry if everything that can be left ashore is left ashore; None if there is
            nothing to leave ashore.
        over: Excess load at the line with the bulb as it hangs, given as a mass [kg] and a moment about the centre of
            flotation or, if that is not known, the centre of buoyancy [kg m].
        displacement_spread: Standard deviation of the displacement on her line. [kg]
        mass_centre: Mass centre of boat and bulb, boat axes; None for each unknown coordinate. [m]
        gm: Transverse GM; None if the hull's figures do not provide it. [m]
        flotation: Flotation on the design waterline; None if the hull's figures do not provide it.
        flotation_missing: Reason why `flotation` is None.
        lies: Floating position with the bulb as it hangs; None without flotation.
        level_sinkage: Sinkage from the boat's mass alone, without trim; None without a waterplane area. [m]
        reach: Comparison of the required position with the fin's reach, for `hung`, or for `target` if the plan gives
            the position; None if flotation or the fin's reach is not known.
        remedies: Ways to make up a shortfall; None if there is no shortfall or `reach` is None.
        levelling: Combination of moves that makes up the shortfall at the lowest cost; None if there is none.
        fin_moves: Moves of the fin, each of which levels the boat on its own: moving it as a whole and raking it.
        freeboard: Freeboard on her line and as she floats; None if the hull's figures do not provide it.
        buoyancy: x and z of the centre of buoyancy of hull, foils and bulb on her line, boat axes; None if the hull's
            centre of buoyancy is not known. [m]
    """

    start: BoatStart
    hung: BulbForBoat
    target: BulbForBoat | None
    mass_imposed: bool
    place_imposed: bool
    mass_spread: float
    place_spread: float | None
    displacement_spread: float
    next: tuple[WeighNext, ...]
    heaviest: BulbForBoat | None
    over: tuple[float, float]
    mass_centre: tuple[float | None, float, float | None]
    gm: float | None
    flotation: Flotation | None
    flotation_missing: str
    lies: Change | None
    level_sinkage: float | None
    reach: Reach | None
    remedies: Remedies | None
    levelling: Levelling | None
    fin_moves: tuple[FinMove, ...]
    freeboard: FreeboardLeft | None
    buoyancy: tuple[float, float] | None

    @property
    def total_mass(self) -> float:
        """Total mass of boat and bulb. [kg]"""
        return self.start.weigh_in.mass + self.hung.bulb.mass

    @property
    def target_mass(self) -> float:
        """Mass of the bulb that the boat needs or, if `target` is None, of a bulb with the volume of `hung` that puts
        her on her line. [kg]"""
        return self.hung.wanted_mass if self.target is None else self.target.bulb.mass

    @property
    def ratio(self) -> float:
        """Mass of the bulb divided by that of the complete boat. [-]"""
        return self.hung.bulb.mass / self.total_mass

    def displacement(self, water_density: float) -> float:
        """Mass of water displaced at the design waterline, including bulb and fin. [kg]"""
        return water_density * (self.start.rest.volume + self.hung.afloat.volume)


def boat_job(plan: Plan, start: BoatStart, wish: BulbWish) -> BoatJob:
    """Find the bulb for a boat, and everything that follows from it.

    Args:
        plan: Plan with [boat].
        start: Result of `boat_start`.
        wish: Request for the bulb. Its mass and position are those in the plan or, if the plan gives none, starting
            values.

    Raises:
        PlanError: Nothing is left for the bulb.
        NoSolutionError: No bulb meets the request.
    """
    given = start
    try:
        start, asked, hung = _asked_and_hung(plan, start, wish)
        target: BulbForBoat | None = hung
        if asked.mass is not None or asked.place is not None:
            target = _wanted(start, asked, wish, start.rest)
        ashore = [
            line
            for line, one in zip(start.weigh_in.weights, plan.weights, strict=False)
            if one.can_stay_ashore == "yes"
        ]
        heaviest = _wanted(start, asked, wish, rest_without(start.rest, ashore)) if ashore else None
        boat = _completed(plan, start, hung, target, heaviest)
        if boat.remedies is None or boat.reach is None or place_given(plan):
            return boat

        def sized(rest: RestOfBoat) -> BulbForBoat | None:
            try:
                return size_for_boat(wish, replace(asked, rest=rest))
            except (NoSolutionError, BoatFigureError):
                return None

        def with_fin(other: Plan) -> BulbForBoat | None:
            try:
                begun = boat_start(other, given.hull, lead_density=wish.cast_density)
                wished = wish_of(other, wish.profile, alloy_of(other), begun.closed_form)
                return _asked_and_hung(other, begun, wished)[2]
            except (NoSolutionError, BoatFigureError, PlanError):
                return None

        leveller = Leveller(
            plan,
            boat.reach,
            factor=apparent_weight_factor(plan.water.density, hung.wish.cast_density),
            lead_at=_trim_lead_places(boat.reach.length),
            lead=plan.bulb.target_mass is None,
        )
        found = levelling_of(leveller, boat.reach, start.rest, plan.water.density, sized)
        moves = (fin_moved(plan, boat.reach, raked=raked, sized=with_fin) for raked in (False, True))
        return replace(boat, levelling=found, fin_moves=tuple(one for one in moves if one is not None))
    except BoatFigureError as error:
        raise no_bulb_left(plan, error, []) from None


def _asked_and_hung(plan: Plan, start: BoatStart, wish: BulbWish) -> tuple[BoatStart, BoatWish, BulbForBoat]:
    """Return the boat's data with the hull's figures completed, the boat's requirements, and the bulb that meets them."""
    asked = BoatWish(
        rest=start.rest,
        water_density=plan.water.density,
        flotation_x=start.hull.line.flotation_x,
        mass=plan.bulb.target_mass,
        place=wish.mass_centre_x if place_given(plan) or not start.rest.trim_known else None,
        overhang_forward=plan.fin.overhang_forward,
        overhang_aft=plan.fin.overhang_aft,
        carry_within=plan.fin.carry_within,
    )
    if start.rest.all_up:
        # The bulb that she needs shows how much of the displacement is the hull's.
        sought = _wanted(start, asked, wish, start.rest)
        lead = start.closed_form[0] / wish.cast_density
        shape = None if plan.boat is None else plan.boat.waterplane_shape
        start = start.settled(lead if sought is None else sought.afloat.volume, shape)
        asked = replace(asked, rest=start.rest, flotation_x=start.hull.line.flotation_x)
    return start, asked, size_for_boat(wish, asked)


def _wanted(start: BoatStart, asked: BoatWish, wish: BulbWish, rest: RestOfBoat) -> BulbForBoat | None:
    """Return the bulb that the boat needs, regardless of the mass and position in the plan; None if there is none."""
    try:
        free = replace(asked, rest=rest, mass=None, place=None if rest.trim_known else asked.place)
        return size_for_boat(replace(wish, target_mass=start.closed_form[0]), free)
    except NoSolutionError:
        return None


def place_given(plan: Plan) -> bool:
    """Return whether the plan gives the bulb's position.

    Args:
        plan: Any plan.
    """
    return plan.bulb.mass_centre_x is not None or plan.fin.carry_at is not None


def _completed(
    plan: Plan,
    start: BoatStart,
    hung: BulbForBoat,
    target: BulbForBoat | None,
    heaviest: BulbForBoat | None,
) -> BoatJob:
    water, line, weights = plan.water.density, start.hull.line, start.weigh_in.weights
    load = loaded(start, hung)
    flotation, missing = None, ""
    level, band = load.centre[2], line.band
    if level is None and (guessed := estimated_mass_centre(line)) is not None:
        level, band = guessed[0], math.hypot(band, guessed[1])
    try:
        flotation = flotation_on_line(
            replace(line, band=band),
            water_density=water,
            mass_centre_z=level,
            below_volume=load.below_volume,
            below_x=load.below_x,
            below_z=load.below_z,
        )
    except BoatFigureError as error:
        missing = str(error)
    buoyancy = None
    if line.buoyancy_z is not None and line.buoyancy_x is not None:
        below, whole = load.below_volume, line.volume + load.below_volume
        buoyancy = (
            (line.volume * line.buoyancy_x + below * load.below_x) / whole,
            (line.volume * line.buoyancy_z + below * load.below_z) / whole,
        )
    apparent = hung.afloat.apparent(water)
    displacement_spread = None if plan.boat is None else plan.boat.displacement_spread
    if displacement_spread is None:
        displacement_spread = DISPLACEMENT_SHARE * water * (start.rest.volume + hung.afloat.volume)
    # Moving the bulb by the shortfall would level her, so this is the moment she lacks.
    over = (hung.bulb.mass - hung.wanted_mass, -apparent * hung.short)
    lies, level_sinkage, reach, fixes = None, None, None, None
    mass_imposed, place_imposed = plan.bulb.target_mass is not None, place_given(plan)
    if line.waterplane_area is not None:
        level_sinkage = over[0] / (water * line.waterplane_area)
    if flotation is not None and hung.wanted_x is not None:
        lies = changed_by_moment(flotation, mass=over[0], moment=over[1])
        level_sinkage = lies.sinkage
        if mass_imposed and start.hull.mesh is not None:
            lies, level_sinkage = lying_on_surface(start.hull.mesh, flotation, lies, load)
        reached = target if place_imposed else hung
        if reached is not None:
            reach, fixes = _reach(plan, start, reached, flotation)
    return BoatJob(
        start=start,
        hung=hung,
        target=target,
        mass_imposed=mass_imposed,
        place_imposed=place_imposed,
        mass_spread=target_spread(
            mass_spread=start.weigh_in.mass_spread,
            volume_spread=displacement_spread / water,
            water_density=water,
            lead_density=hung.wish.cast_density,
        ),
        place_spread=None
        if hung.wanted_x is None
        else moment_spread_about(weights, hung.wanted_x) / apparent,
        displacement_spread=displacement_spread,
        next=weigh_next(weights),
        heaviest=heaviest,
        over=over,
        mass_centre=load.centre,
        gm=load.gm,
        flotation=flotation,
        flotation_missing=missing,
        lies=lies,
        level_sinkage=level_sinkage,
        reach=reach,
        remedies=fixes,
        levelling=None,
        fin_moves=(),
        buoyancy=buoyancy,
        freeboard=freeboard_of_boat(plan, start.hull.outline, flotation, lies, level_sinkage),
    )


def _trim_lead_places(length: float) -> tuple[float, float]:
    return TRIM_LEAD_FROM_ENDS * length, (1.0 - TRIM_LEAD_FROM_ENDS) * length


def _reach(
    plan: Plan, start: BoatStart, target: BulbForBoat, flotation: Flotation
) -> tuple[Reach | None, Remedies | None]:
    length, wanted_x = start.hull.line.length, target.wanted_x
    if target.band is None or length is None or wanted_x is None or start.fin is None:
        return None, None
    water = plan.water.density
    reach = reach_of(
        target.hang,
        target.band,
        wanted_x=wanted_x,
        apparent_mass=target.afloat.apparent(water),
        flotation=flotation,
    )
    found = remedies(
        reach,
        target.hang,
        factor=apparent_weight_factor(water, target.wish.cast_density),
        movable=movable_weights(plan),
        trim_lead_at=_trim_lead_places(length),
    )
    return reach, found
