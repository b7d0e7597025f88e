"""The chain in one place: a Plan in, a Job with every result out. Reads like the work itself.

    plan -> alloy, profile -> sized and placed bulb -> room round the cuts -> cast body -> pattern -> melt -> findings

A Job holds no mesh and touches no file, so that a study of a thousand plans stays quick.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from bulbcast.casting.cast_body import CastBody, CoredCuts, cast_body_of
from bulbcast.casting.contraction import RuleCost, rule_costs
from bulbcast.casting.finish import default_finish
from bulbcast.casting.melt import Melt, melt_of
from bulbcast.casting.pattern import Pattern, pattern_of
from bulbcast.checks.balance import check_balance
from bulbcast.checks.cuts import ScrewAsked, check_cuts, walls_below
from bulbcast.checks.foundry import check_alloy, check_casting, check_charge, check_coat, check_tail
from bulbcast.checks.limits import engagement, smallest_wall
from bulbcast.checks.melt_limits import HOLDS_ON_THE_MELT
from bulbcast.findings import Finding, Severity, sorted_by_severity
from bulbcast.materials.alloys import CastAlloy
from bulbcast.plan.faults import PlanError
from bulbcast.plan.sections import DefaultTaken, Plan
from bulbcast.planning.defaults import settled_defaults
from bulbcast.planning.inputs import InputFile, inputs_of
from bulbcast.planning.no_solution import no_solution_fault
from bulbcast.planning.wishes import OffsetsTable as OffsetsTable
from bulbcast.planning.wishes import alloy_of as alloy_of
from bulbcast.planning.wishes import profile_of as profile_of
from bulbcast.planning.wishes import wish_of as wish_of
from bulbcast.quantities import Shown
from bulbcast.shape.profiles import Profile
from bulbcast.sizing.balance import Balance, balance_of
from bulbcast.sizing.ledger import HungBulb
from bulbcast.sizing.remedies import screw_remedy
from bulbcast.sizing.room import Room, room_of
from bulbcast.sizing.solve import NoSolutionError, size_and_place
from bulbcast.sizing.wish import BulbWish

if TYPE_CHECKING:
    # The boat's rooms cost a fifth of the whole start: they are loaded where a plan gives a boat.
    from datetime import datetime

    from bulbcast.boat.strength import Strength
    from bulbcast.casting.drying import DryingLog, DryingState
    from bulbcast.casting.mould import MouldDesign
    from bulbcast.planning.boat import BoatJob, HullRead
    from bulbcast.planning.limits import LimitHeld
    from bulbcast.planning.melt import MeltJob
    from bulbcast.planning.pattern_shop_values import PatternShop
    from bulbcast.planning.resin import ResinJob
    from bulbcast.planning.ribs import FoilRibs
    from bulbcast.sizing.fitting_room import FittingRoom


POUR_HOLDS = frozenset(
    (
        *HOLDS_ON_THE_MELT,
        *("drying-not-said", "mould-not-dry", "mould-over-baked", "mould-foundry", "oven-too-hot"),
        *("air-dried-closed", "air-dried-core", "air-dried-heavy", "sand-damp", "sand-moisture-unknown"),
    )
)
"""Codes of the holds that withhold the pour, those on the melt among them; other holds are on later steps."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Job:
    """Every result of one plan.

    Attributes:
        plan: What was asked.
        shown: The builder's units.
        alloy: What it is cast of.
        wish: What the size and the place depend on.
        bulb: The sized and placed bulb with its hung-mass ledger.
        balance: How it sits under the fin.
        room: Lead and fin round the cuts.
        wall_wanted: [m]
        cast: The cast body.
        pattern: The pattern with its ledger.
        rules: What other shops' contraction rules would cost.
        melt: The charge.
        defaults: Every value the plan did not give, with its source.
        findings: Gravest first.
        boat: The boat with this bulb; None where the plan gives none.
        shop: The pattern's pieces, bed and frame; None where the plan says nothing of them, until files are asked
            for.
        strength: Fin and joint under their loads; None where the plan has no [strength].
        limits: What the plan types in as limits, held against the bulb.
        ribs: Of every foil; None where the plan asks for none.
        inputs: Files besides the plan that went into it.
        mould: The mould; None where the plan gives none.
        drying: How its parts stand by the drying log; None without a plaster mould.
        resin: The same bulb of lead shot in resin beside it; None where the plan does not ask.
        fittings: Room round pins, studs and a through-going blade; None where there are none.
        stud_lifts: Net upward force on each stud in the melt. [N]
        melting: Gating, scrap, pot, burner and pour; None where the plan gives none of them, nor a mould.
    """

    plan: Plan
    shown: Shown
    alloy: CastAlloy
    wish: BulbWish
    bulb: HungBulb
    balance: Balance
    room: Room
    wall_wanted: float
    cast: CastBody
    pattern: Pattern
    rules: tuple[RuleCost, ...]
    melt: Melt
    defaults: tuple[DefaultTaken, ...]
    findings: tuple[Finding, ...]
    boat: BoatJob | None = None
    shop: PatternShop | None = None
    strength: Strength | None = None
    limits: tuple[LimitHeld, ...] = ()
    ribs: tuple[FoilRibs, ...] | None = None
    inputs: tuple[InputFile, ...] = ()
    mould: MouldDesign | None = None
    drying: DryingState | None = None
    resin: ResinJob | None = None
    fittings: FittingRoom | None = None
    stud_lifts: tuple[float, ...] = ()
    melting: MeltJob | None = None

    @property
    def stopped(self) -> bool:
        """Whether a finding says that bulb or pattern must not be made as planned."""
        return any(finding.severity is Severity.STOP for finding in self.findings)

    @property
    def melt_withheld(self) -> tuple[Finding, ...]:
        """The holds on the melt itself: with them the charge is withheld too."""
        return tuple(finding for finding in self.pour_withheld if finding.code in HOLDS_ON_THE_MELT)

    @property
    def pour_withheld(self) -> tuple[Finding, ...]:
        """The holds on melt and pour."""
        return tuple(
            finding
            for finding in self.findings
            if finding.severity is Severity.HOLD and finding.code in POUR_HOLDS
        )


def run(
    plan: Plan,
    offsets: OffsetsTable | None = None,
    hull: HullRead | None = None,
    *,
    remedies: bool = True,
    drying_log: DryingLog | None = None,
    moment: datetime | None = None,
) -> Job:
    """The whole job, without files.

    Args:
        plan: The plan as read.
        offsets: The table it names, where its profile is `offsets`.
        hull: The hull it names, where its boat is given by a file.
        remedies: Whether to search for the place and the head that would mend a thin wall, and to close in
            on walls that are thick enough anyway; a study, which tells codes alone, does without.
        drying_log: That lies beside the plan, or None.
        moment: At which the drying log is judged; None: at its last entry, so that the same plan and log give
            the same bytes on any day.

    Returns:
        Every result.

    Raises:
        PlanError: The plan has no solution; each fault names the nearest values that would do.
    """
    shown = Shown(plan.display_units)
    alloy = alloy_of(plan)
    wish, bulb, boat = _sized(plan, profile_of(plan, offsets), alloy, hull, shown)
    wall_wanted = smallest_wall(plan.bulb.smallest_wall, wish.target_mass)
    room = room_of(bulb, wall_wanted=wall_wanted, roughly=not remedies)
    fittings: FittingRoom | None = None
    lifts: tuple[float, ...] = ()
    if bulb.pin_cuts or bulb.stud_cuts or bulb.through:
        from bulbcast.planning.fittings import stud_lifts
        from bulbcast.sizing.fitting_room import fitting_room_of

        fittings = fitting_room_of(bulb)
        lifts = stud_lifts(wish.studs, fittings)
    balance = balance_of(bulb, elastic_axis=plan.fin.elastic_axis)

    cored = CoredCuts(
        pocket=plan.fin.pocket == "cored", screws=tuple(screw.hole == "cored" for screw in plan.screws)
    )
    finish = plan.pattern.finish if plan.pattern.finish is not None else default_finish(bulb.body.diameter)
    cast_body = cast_body_of(bulb, cored=cored, finish=finish, density=wish.cast_density)
    contraction = alloy.contraction if plan.pattern.contraction is None else plan.pattern.contraction
    pattern = pattern_of(
        bulb,
        cast_body,
        contraction=contraction,
        mould_expansion=plan.pattern.mould_expansion,
        coat=plan.pattern.coat,
    )
    strength: Strength | None = None
    limits: tuple[LimitHeld, ...] = ()
    told: tuple[Finding, ...] = ()
    settled: tuple[DefaultTaken, ...] = ()
    if plan.strength is not None or plan.limits is not None:
        from bulbcast.planning.judged import judged

        boat_mass = None if boat is None else boat.total_mass
        outcome = judged(plan, bulb, wish, room, boat_mass, shown, search=remedies)
        strength, limits = outcome.strength, outcome.limits
        told, settled = outcome.findings, outcome.defaults
    if plan.templates is not None:
        from bulbcast.planning.templates import require_spacing

        require_spacing(plan, bulb.body, pattern)
    ribs = None
    if plan.ribs is not None:
        from bulbcast.planning.ribs import ribs_job

        ribs = ribs_job(plan)
    mould: MouldDesign | None = None
    drying: DryingState | None = None
    of_the_mould: tuple[DefaultTaken, ...] = ()
    found_on_mould: tuple[Finding, ...] = ()
    if plan.mould is not None:
        from bulbcast.planning.mould import drying_of, mould_defaults, mould_design, mould_findings

        mould = mould_design(plan, bulb, cast_body, pattern)
        drying = drying_of(plan, mould, drying_log, moment)
        of_the_mould = mould_defaults(plan, mould, shown)
        found_on_mould = mould_findings(plan, mould, drying, shown)
    melting: MeltJob | None = None
    if plan.scrap or any(one is not None for one in (plan.mould, plan.pot, plan.burner, plan.pour)):
        from bulbcast.planning.melt import melt_job

        melting = melt_job(
            plan,
            alloy=alloy,
            wish=wish,
            bulb=bulb,
            cast=cast_body,
            pattern=pattern,
            mould=mould,
            shown=shown,
            resize=remedies,
        )
    melt = (
        melting.melt
        if melting is not None
        else melt_of(
            cast_body.mass,
            feeder_mass=plan.melt.feeder_mass,
            feeder_fraction=plan.melt.feeder_fraction,
            reserve=plan.melt.reserve,
            dross=alloy.dross if plan.melt.dross is None else plan.melt.dross,
        )
    )
    resin: ResinJob | None = None
    if plan.resin is not None:
        from bulbcast.planning.resin import resin_findings, resin_job

        resin = resin_job(plan, wish, bulb, cast_body, mould, shown)
        found_on_mould += resin_findings(resin, plan.resin, shown)
    job = Job(
        plan=plan,
        shown=shown,
        alloy=alloy,
        wish=wish,
        bulb=bulb,
        balance=balance,
        room=room,
        wall_wanted=wall_wanted,
        cast=cast_body,
        pattern=pattern,
        rules=rule_costs(contraction, plan.pattern.mould_expansion),
        melt=melt,
        defaults=plan.defaults
        + settled_defaults(plan, alloy, bulb, cast_body, melt, wall_wanted, shown, hull)
        + of_the_mould
        + (() if melting is None else melting.defaults)
        + settled,
        findings=sorted_by_severity(
            told
            + _findings(
                plan,
                alloy,
                wish,
                bulb,
                boat,
                balance,
                room,
                fittings,
                lifts,
                wall_wanted,
                cast_body,
                pattern,
                melt,
                melting,
                mould,
                shown,
                remedies,
                ribs,
            )
            + found_on_mould
        ),
        boat=boat,
        strength=strength,
        limits=limits,
        ribs=ribs,
        inputs=inputs_of(plan, offsets, hull),
        fittings=fittings,
        stud_lifts=lifts,
        mould=mould,
        drying=drying,
        resin=resin,
        melting=melting,
    )
    if plan.parting is None and plan.printer is None and plan.frame is None:
        return job
    from bulbcast.planning.pattern_shop import pattern_shop_of

    return with_shop(job, pattern_shop_of(plan, bulb, cast_body, pattern, shown, mould=mould))


def with_shop(job: Job, shop: PatternShop) -> Job:
    """A job with its pattern shop, planned or measured: its defaults told once, its findings in their place.

    Args:
        job: The results.
        shop: Of this job's pattern.
    """
    from bulbcast.checks.pattern_shop import CODES
    from bulbcast.planning.pattern_shop_findings import shop_findings

    told = {one.key for one in job.defaults}
    others = tuple(one for one in job.findings if one.code not in CODES)
    return replace(
        job,
        shop=shop,
        defaults=job.defaults + tuple(one for one in shop.defaults if one.key not in told),
        findings=sorted_by_severity(others + shop_findings(job.plan, shop, job.shown)),
    )


def _sized(
    plan: Plan, profile: Profile, alloy: CastAlloy, hull: HullRead | None, shown: Shown
) -> tuple[BulbWish, HungBulb, BoatJob | None]:
    """The bulb, with the boat where the plan gives one, and the wish that it answers."""
    try:
        if plan.boat is None:
            wish = wish_of(plan, profile, alloy)
            return wish, size_and_place(wish), None
        from bulbcast.planning.boat import boat_job, boat_start, hull_of_numbers

        start = boat_start(
            plan,
            hull_of_numbers(plan) if hull is None else hull,
            lead_density=alloy.density * (1.0 - plan.alloy.porosity),
        )
        target = start.closed_form
        wish = wish_of(plan, profile, alloy, (target.hung_mass, target.hung_x))
        try:
            boat = boat_job(plan, start, wish)
        except NoSolutionError as error:
            from bulbcast.planning.hull_doubts import hull_doubts

            doubts = hull_doubts(plan, hull, start.unit_slip)
            raise PlanError([*doubts, no_solution_fault(plan, error, shown)]) from None
        return boat.hung.wish, boat.hung.bulb, boat
    except NoSolutionError as error:
        raise PlanError([no_solution_fault(plan, error, shown)]) from None


def _findings(
    plan: Plan,
    alloy: CastAlloy,
    wish: BulbWish,
    bulb: HungBulb,
    boat: BoatJob | None,
    balance: Balance,
    room: Room,
    fittings: FittingRoom | None,
    lifts: tuple[float, ...],
    wall_wanted: float,
    cast_body: CastBody,
    pattern: Pattern,
    melt: Melt,
    melting: MeltJob | None,
    mould: MouldDesign | None,
    shown: Shown,
    search: bool,
    ribs: tuple[FoilRibs, ...] | None,
) -> tuple[Finding, ...]:
    asked = tuple(
        ScrewAsked(
            diameter=screw.diameter,
            hole_diameter=screw.hole_diameter,
            head_diameter=screw.head_diameter,
            head_height=screw.head_height,
            recess=screw.recess,
            length=screw.length,
            washer_thickness=screw.washer_thickness,
            engagement=engagement(screw.engagement, screw.diameter, plan.fin.material),
            engagement_given=screw.engagement is not None or plan.fin.material is not None,
        )
        for screw in plan.screws
    )
    imperial = plan.display_units == "imperial"
    remedies = {
        number: screw_remedy(bulb, number, wall_wanted=wall_wanted, imperial=imperial)
        for number in (walls_below(room, asked, wall_wanted) if search else ())
    }
    tail = 2.0 * bulb.body.tail_radius
    thin = min(bulb.body.width_to_height, 1.0 / bulb.body.width_to_height) ** 0.5
    of_the_boat: tuple[Finding, ...] = ()
    if boat is not None:
        from bulbcast.planning.boat_findings import boat_findings

        of_the_boat = boat_findings(plan, boat, shown)
    of_the_ribs: tuple[Finding, ...] = ()
    if ribs is not None:
        from bulbcast.planning.ribs import ribs_findings

        of_the_ribs = ribs_findings(ribs, shown)
    of_the_fittings: tuple[Finding, ...] = ()
    if fittings is not None:
        from bulbcast.planning.fittings import fitting_findings

        of_the_fittings = fitting_findings(plan, bulb, fittings, wish.studs, lifts, wall_wanted, shown)
    of_the_melt: tuple[Finding, ...] = ()
    accepted = False
    if melting is not None:
        from bulbcast.planning.melt_findings import accepted as accepted_in
        from bulbcast.planning.melt_findings import melt_findings

        of_the_melt = melt_findings(plan, melting, alloy=alloy, bulb=bulb, mould=mould, shown=shown)
        accepted = accepted_in(plan)
    return sorted_by_severity(
        of_the_boat
        + of_the_fittings
        + of_the_ribs
        + check_cuts(
            room,
            asked,
            remedies,
            wall_wanted=wall_wanted,
            pocket_depth=bulb.body.height if bulb.through else plan.fin.pocket_depth,
            fin_length=plan.fin.tip_chord,
            fastened_otherwise=fittings is not None,
            shown=shown,
        )
        + check_balance(
            balance,
            chord=plan.fin.tip_chord,
            bulb_length=bulb.body.length,
            screw_places=tuple(screw.at for screw in plan.screws),
            shown=shown,
        )
        + check_tail(
            tail_thickness=tail * thin,
            tail_diameter=tail,
            asked=plan.bulb.tail_diameter is not None,
            shown=shown,
        )
        + check_coat(
            inwards=-pattern.offset,
            tail_half=0.5 * tail * thin,
            coat=plan.pattern.coat,
            shown=shown,
        )
        + check_alloy(
            alloy,
            contraction_given=plan.pattern.contraction is not None,
            accepted=accepted,
            shown=shown,
        )
        + check_casting(
            cast_body,
            bulb_mass=bulb.mass,
            nose_to_lift=f"with the lifting point over its mass centre {shown.length(cast_body.mass_centre_x)} from "
            "the finished nose",
            shown=shown,
        )
        + check_charge(melt, pours=1 if mould is None else mould.pours, shown=shown)
        + of_the_melt
    )
