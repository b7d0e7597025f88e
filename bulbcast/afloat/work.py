"""Evaluation of a planned boat's float test: marks relative to the design line, and how to bring the boat to that line.

readings + positions -> marks -> excess mass and moment -> drilling, adding, moving, or the bulb that is still to be
cast
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from bulbcast.afloat.asked import BULB, COMMAND_LINE, FIN, FloatAsked
from bulbcast.afloat.cure import (
    FEW_HOLES,
    BulbToCast,
    EndLead,
    Holes,
    bulb_to_cast,
    end_leads,
    holes_of,
    usual_drill,
)
from bulbcast.afloat.marks import Placing
from bulbcast.afloat.marks_to_mass import Correction, FloatTest, Mark, correction, float_test
from bulbcast.ballast.moving import movable_weights
from bulbcast.ballast.target import apparent_weight_factor
from bulbcast.ballast.weigh_in import FIN_NAME, State, Weight
from bulbcast.ballast.work import TRIM_LEAD_FROM_ENDS, BoatJob
from bulbcast.bulb.cuts.drilled import WIDEST_SHARE
from bulbcast.hull.estimate import MASS_CENTRE_LEVEL
from bulbcast.hull.trimming import Flotation
from bulbcast.plan.faults import Fault, PlanError
from bulbcast.plan.sections import DefaultTaken, Plan
from bulbcast.quantities.checked import BoatFigureError
from bulbcast.sailing.results import SailingResults

READING_SPREAD = 0.0005
"""Standard deviation of one reading on a model. If 0.05 % of the waterline length is larger, that is used instead. Our
judgement. [m]"""
_SPREAD_IN_LENGTHS = 0.0005
ROOM_SHARE = 0.6
"""Minimum height of the bulb where it is drilled, as a fraction of its maximum height. Our judgement. [-]"""


MOST_DRILLED = 1.0 / 3.0
"""Maximum fraction of the bulb's mass that may be drilled out. Our judgement. [-]"""
_PLACES = 41


@dataclass(frozen=True, slots=True, kw_only=True)
class FloatResult:
    """Float test and its results.

    Attributes:
        asked: Data from the test.
        marks: Readings with their positions.
        taken: Positions and figures assumed because they were not given, each with its source.
        test_density: Density of the water during the test. [kg/m3]
        reading_spread: Standard deviation of one reading. [m]
        flotation: Complete boat on her line in the design water.
        missing: Weights that were ashore, as they act on the boat. For the bulb this is its mass less the water that it
            displaces.
        without_bulb: Whether the bulb was ashore, so that it can still be cast to another mass.
        found: Excess mass and moment.
        cure: Lead to drill or add and weights to move. None if the bulb was ashore; `to_cast` then applies instead.
        holes: Holes needed for the drilling; None if nothing is drilled.
        trim_lead: Lead at one end that corrects the full moment, with the same mass removed from the bulb.
        trim_lead_alone: Lead at one end that corrects the full moment with nothing removed from the bulb, so that the
            boat floats deeper.
        drillable: Whether the drilling in `cure` is possible: it may remove at most a third of the bulb's mass, and the
            row of holes must fit along the bulb.
        crowded: True if that mass could be drilled out but the row of holes does not fit along the bulb.
        across: Name of the heaviest weight that may be moved, and the distance to starboard that corrects the heel [m];
            None if heel was not read, or nothing can be moved.
        to_cast: Bulb that brings the boat to her line; None if the bulb was aboard, or if no bulb would do so.
        floated: Mass of the water displaced during the test. [kg]
        weigh_in: Sum of the masses aboard, from the plan and the command line. [kg]
        nose_x: Position of the bulb's nose, boat axes; None if the plan does not give the fin's position. [m]
        can_stay: Items aboard that the boat can sail without, heaviest first.
        hull_differs: Water displaced at the design line, measured minus planned, from the boat's weight on the scale;
            None if the boat was not weighed. [kg]
    """

    asked: FloatAsked
    marks: tuple[Mark, ...]
    taken: tuple[DefaultTaken, ...]
    test_density: float
    reading_spread: float
    flotation: Flotation
    missing: tuple[Weight, ...]
    without_bulb: bool
    found: FloatTest
    cure: Correction | None
    holes: Holes | None
    trim_lead: tuple[EndLead, ...]
    trim_lead_alone: tuple[EndLead, ...]
    drillable: bool
    crowded: bool
    across: tuple[str, float] | None
    to_cast: BulbToCast | None
    floated: float
    weigh_in: float
    hull_differs: float | None
    nose_x: float | None
    can_stay: tuple[Weight, ...]

    @property
    def within_reading(self) -> bool:
        """Whether the excess mass and moment are both within one standard deviation of zero."""
        found = self.found
        return abs(found.mass) <= found.mass_spread and abs(found.moment) <= found.moment_spread


def float_result(job: SailingResults, asked: FloatAsked) -> FloatResult:
    """Evaluate the float test of a planned boat.

    Args:
        job: Results of the plan.
        asked: Data from the test.

    Returns:
        Excess mass and moment, and how to correct them.

    Raises:
        PlanError: The plan has no boat, or the figures for the boat or the marks are not sufficient. All faults are
            listed.
    """
    plan, (boat, flotation) = job.plan, _floatable(job)
    placing = Placing(job, boat, flotation)
    marks = tuple(mark for reading in asked.readings if (mark := placing.mark(asked, reading)) is not None)
    if placing.faults:
        raise PlanError(placing.faults)
    density = asked.water_density or plan.water.density
    spread = asked.reading_spread
    if spread is None:
        spread = max(READING_SPREAD, _SPREAD_IN_LENGTHS * flotation.length)
        placing.take(
            "--reading-spread",
            job.shown.length(spread),
            "0.5 mm, or 0.05 % of the waterline length if larger; our judgement",
        )
    if boat.mass_centre[2] is None:
        levels = (
            "the weights' z" if boat.start.fin is not None else "the weights' z and the fin from hull to tip"
        )
        placing.take(
            "mass centre, z",
            job.shown.length(MASS_CENTRE_LEVEL * flotation.length),
            f"below the waterline by a tenth of its length; our judgement; calculated if you give {levels}",
        )
    missing = (*(_ashore(boat, name, density) for name in asked.ashore), *asked.ashore_besides)
    try:
        found = float_test(
            marks,
            flotation,
            test_density=density,
            missing=missing,
            extra=asked.aboard,
            reading_spread=spread,
        )
    except BoatFigureError as error:
        what, _, remedy = str(error).partition(". ")
        read = what[0].lower() + what[1:]
        raise _refused(
            COMMAND_LINE, "--bow-at and --stern-at", read, "marks that are well apart along the boat", remedy
        ) from None
    without_bulb = BULB in asked.ashore
    put_in = sum(one.mass for one in missing) - sum(one.mass for one in asked.aboard)
    cure, holes, to_cast, drillable, row_fits = None, None, None, True, True
    trim_lead: tuple[EndLead, ...] = ()
    alone: tuple[EndLead, ...] = ()
    if without_bulb:
        # Under water the bulb weighs less than on the scale, by the mass of water that it displaces.
        put_in += density * boat.hung.afloat.volume
        to_cast = _to_cast(job, boat, flotation, found)
    else:
        try:
            cure, holes, row_fits = _cure(job, flotation, found, asked, placing)
        except BoatFigureError as error:
            raise _refused(
                plan.source,
                "bulb.filler_density",
                "a bulb that cannot be drilled",
                "lead that is denser than its filler",
                str(error),
            ) from None
        inwards = TRIM_LEAD_FROM_ENDS * flotation.length
        ends = (flotation.fore_x + inwards, flotation.aft_x - inwards)
        # A mass at the centre of flotation causes sinkage but no moment.
        alone = end_leads(-found.moment, ends=ends, bulb_x=flotation.flotation_x)
        if boat.start.fin is None:
            # The bulb's position along the boat is not known, so the effect of drilling it is not known either.
            cure, holes, row_fits = replace(cure, drilling=None, moves_after=()), None, True
        else:
            trim_lead = end_leads(-found.moment, ends=ends, bulb_x=boat.hung.afloat.x)
        lead = 0.0 if cure.drilling is None else cure.drilling.lead
        drillable = lead <= MOST_DRILLED * boat.hung.bulb.mass
    floated = found.mass + flotation.mass - put_in
    return FloatResult(
        asked=asked,
        marks=marks,
        taken=tuple(placing.taken),
        test_density=density,
        reading_spread=spread,
        flotation=flotation,
        missing=missing,
        without_bulb=without_bulb,
        found=found,
        cure=cure,
        holes=holes,
        trim_lead=trim_lead,
        trim_lead_alone=alone,
        drillable=drillable and row_fits,
        crowded=drillable and not row_fits,
        across=_across(job, found),
        to_cast=to_cast,
        floated=floated,
        weigh_in=boat.total_mass - put_in,
        hull_differs=None if asked.weighed is None else asked.weighed - floated,
        nose_x=job.bulb.nose_x if boat.start.fin is not None else None,
        can_stay=_can_stay(plan, boat, missing),
    )


def _floatable(job: SailingResults) -> tuple[BoatJob, Flotation]:
    """Boat and her figures on the design line. If the plan does not give them, a fault is reported."""
    boat, plan = job.boat, job.plan
    if boat is None:
        raise _refused(
            plan.source,
            "[boat]",
            "nothing",
            "the boat that you floated",
            'Add [boat] with displacement = "4.2 kg" (all up), hull = "hull.stl" or offsets = "hull-offsets.csv", and '
            "[[weights]] for everything aboard except the bulb.",
        )
    flotation = boat.flotation
    if flotation is None:
        what, _, remedy = boat.flotation_missing.partition(". ")
        least = _least_missing(plan)
        if least is not None:
            raise _refused(plan.source, least[0], "nothing", *least[1:])
        raise _refused(
            plan.source,
            "[boat]",
            f"too little data on the hull: {what[0].lower()}{what[1:].rstrip('.')}",
            "the figures a float test needs: waterplane area, centre of flotation and longitudinal BM",
            remedy or "Add them to [boat].",
        )
    return boat, flotation


def _least_missing(plan: Plan) -> tuple[str, str, str] | None:
    """Key, expected figure and fix if the plan gives the displacement but lacks the waterplane area or the
    waterline length. Only one is reported, the area first."""
    boat = plan.boat
    if boat is None or boat.displacement is None:
        return None
    if boat.waterplane_area is None:
        return (
            "boat.waterplane_area",
            "the waterplane area, which gives the mass for each millimetre of sinkage",
            'Add, for example, waterplane_area = "1480 cm2" under [boat]. It gives the excess mass and, with '
            "waterline_length, the trim.",
        )
    if boat.waterline_length is None:
        return (
            "boat.waterline_length",
            "the waterline length, which gives the distance between the marks",
            'Add, for example, waterline_length = "960 mm" under [boat]. With waterplane_area it gives the trim.',
        )
    return None


def _refused(file: str, key: str, read: str, expected: str, remedy: str) -> PlanError:
    return PlanError([Fault(file, key, read, expected, remedy)])


def _can_stay(plan: Plan, boat: BoatJob, missing: tuple[Weight, ...]) -> tuple[Weight, ...]:
    """Items aboard that the boat can sail without, heaviest first."""
    away = {one.name for one in missing}
    lines = zip(plan.weights, boat.start.weigh_in.weights, strict=False)
    found = [line for one, line in lines if one.can_stay_ashore == "yes" and line.name not in away]
    return tuple(sorted(found, key=lambda one: -one.mass))


def _ashore(boat: BoatJob, name: str, test_density: float) -> Weight:
    """Item from the plan that was ashore. For the bulb, the mass is reduced by that of the water it displaces."""
    if name == BULB and boat.start.fin is None:
        raise _refused(
            COMMAND_LINE,
            "--ashore",
            '"bulb", whose position the plan does not give',
            "the fin's position in the boat, which determines how much the bulb trims the boat",
            "Add fin.tip_leading_edge_x, fin.tip_z and the fin's root to the plan.",
        )
    if name == BULB:
        return _bulb(boat, test_density)
    lines = boat.start.weigh_in.weights
    wanted = FIN_NAME if name == FIN else name
    found = next((one for one in lines if one.name == wanted), None)
    if found is None:
        raise _refused(
            COMMAND_LINE,
            "--ashore",
            f'"{name}"',
            "an item whose mass the plan gives",
            "Give fin.mass or fin.density in the plan, or a mass and its position here.",
        )
    if found.x is None or found.z is None:
        raise _refused(
            COMMAND_LINE,
            "--ashore",
            f'"{name}", whose position the plan does not give',
            "a weight with x and z, which determine how much it trims the boat",
            "Add both to its [[weights]] entry in the plan.",
        )
    return found


def _bulb(boat: BoatJob, water_density: float) -> Weight:
    bulb, afloat = boat.hung.bulb, boat.hung.afloat
    water = water_density * afloat.volume
    apparent = afloat.apparent(water_density)
    volume_z, mass_z = bulb.displaced_centre[1], bulb.mass_centre[1]
    return Weight(
        name=BULB,
        mass=apparent,
        x=(afloat.mass * afloat.x - water * afloat.volume_x) / apparent,
        z=(afloat.mass * mass_z - water * volume_z) / apparent,
        state=State.WEIGHED,
    )


def _cure(
    job: SailingResults, flotation: Flotation, found: FloatTest, asked: FloatAsked, placing: Placing
) -> tuple[Correction, Holes | None, bool]:
    """The correction, the holes for it, and whether their row fits along the bulb."""
    fore, aft = _room_to_drill(job, asked.drill)
    wanted = flotation.flotation_x if found.mass == 0.0 else flotation.flotation_x + found.moment / found.mass
    volume = abs(found.mass) / (job.wish.cast_density - job.plan.bulb.filler_density)
    movable = movable_weights(job.plan)
    start = min(max(wanted, fore), aft)
    # A row of holes needs room on both sides of its middle, so use the first position with enough room, moving towards
    # the middle of the bulb.
    for share in np.linspace(0.0, 1.0, _PLACES):
        place = float(start + share * (0.5 * (fore + aft) - start))
        drill = asked.drill if asked.drill is not None else usual_drill(volume, height=_height_at(job, place))
        cure = correction(
            found,
            flotation,
            lead_density=job.wish.cast_density,
            filler_density=job.plan.bulb.filler_density,
            drill_diameter=drill,
            bulb_fore_x=place if wanted < place else fore,
            bulb_aft_x=place if wanted > place else aft,
            movable=movable,
        )
        if cure.drilling is None:
            return cure, None, True
        holes = holes_of(cure.drilling, x=place, height=_height_at(job, place))
        fits = fore + 0.5 * holes.row <= place <= aft - 0.5 * holes.row
        if fits:
            break
    if asked.drill is None:
        few = holes.count <= FEW_HOLES
        why = (
            "the smallest common drill that needs only a few holes"
            if few
            else "the largest common drill that fits"
        )
        placing.take("--drill", job.shown.length(drill), why)
    return cure, holes, fits


def _height_at(job: SailingResults, x: float) -> float:
    body = job.bulb.body
    radius = float(body.radius(np.array([(x - job.bulb.nose_x) / math.cos(job.bulb.incidence)]))[0])
    return 2.0 * radius * body.height / body.diameter


def _room_to_drill(job: SailingResults, drill: float | None) -> tuple[float, float]:
    """Range of x over which the bulb is high enough to drill, boat axes. A drill that is too wide for the bulb is
    reported as a fault. [m]"""
    body = job.bulb.body
    most = WIDEST_SHARE * body.height
    if drill is not None and drill > most:
        raise _refused(
            COMMAND_LINE,
            "--drill",
            job.shown.length(drill),
            f"a drill of at most a third of the bulb's height, {job.shown.length(most)}",
            "Use a thinner drill.",
        )
    least = max(ROOM_SHARE * body.height, 0.0 if drill is None else 0.999 * drill / WIDEST_SHARE)
    x = np.linspace(0.0, body.length, 801)
    high = np.flatnonzero(
        2.0 * body.radius(x) * body.height / body.diameter >= min(least, 0.99 * body.height)
    )
    attitude = job.bulb.attitude
    return attitude.boat_x(float(x[high[0]]), 0.0), attitude.boat_x(float(x[high[-1]]), 0.0)


def _across(job: SailingResults, found: FloatTest) -> tuple[str, float] | None:
    movable = movable_weights(job.plan)
    if found.across is None or not movable:
        return None
    heaviest = max(movable, key=lambda one: one.mass)
    return heaviest.name, -found.across / heaviest.mass


def _to_cast(job: SailingResults, boat: BoatJob, flotation: Flotation, found: FloatTest) -> BulbToCast | None:
    water = job.plan.water.density
    bulb = _bulb(boat, water)
    if bulb.x is None:
        return None
    return bulb_to_cast(
        too_much=found.mass,
        moment=found.moment,
        flotation_x=flotation.flotation_x,
        bulb_mass=boat.hung.bulb.mass,
        bulb_x=bulb.x,
        bulb_apparent=bulb.mass,
        factor=apparent_weight_factor(water, job.wish.cast_density),
    )
