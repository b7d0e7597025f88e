"""The chain in one place: a Plan in, a Job with every result out. Reads like the work itself.

    plan -> alloy, profile -> sized and placed bulb -> room round the cuts -> cast body -> pattern -> mould, melt -> findings

and then, joined one after the other, what only some plans have. A Job holds no mesh and touches no file, so that a
study of a thousand plans stays quick.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from bulbcast.ballast.no_solution import no_solution_fault
from bulbcast.bulb.body.profiles import Profile
from bulbcast.bulb.fastening.limits import smallest_wall
from bulbcast.bulb.fastening.room import room_of
from bulbcast.bulb.hung.balance import balance_of
from bulbcast.bulb.hung.ledger import HungBulb
from bulbcast.bulb.hung.solve import NoSolutionError, size_and_place
from bulbcast.bulb.hung.wish import BulbWish
from bulbcast.bulb.hung.wishes import OffsetsTable, alloy_of, profile_of, wish_of
from bulbcast.findings import Finding, sorted_by_severity
from bulbcast.foundry.melt.charge import melt_of
from bulbcast.job.bulb_findings import bulb_findings
from bulbcast.job.defaults import settled_defaults
from bulbcast.job.inputs import inputs_of
from bulbcast.job.rooms import (
    with_boat_told,
    with_fittings_told,
    with_pattern_shop,
    with_resin,
    with_standing,
    with_strength,
    with_templates_and_ribs,
)
from bulbcast.materials.alloys import CastAlloy
from bulbcast.pattern.allowances import pattern_of
from bulbcast.pattern.cast_body import CoredCuts, cast_body_of
from bulbcast.pattern.contraction import rule_costs
from bulbcast.pattern.finish import default_finish
from bulbcast.pattern_shop.results import ShopResults as Job
from bulbcast.plan.faults import PlanError
from bulbcast.plan.sections import DefaultTaken, Plan
from bulbcast.quantities import Shown

if TYPE_CHECKING:
    # The boat's rooms and the foundry's are loaded where a plan has their sections.
    from datetime import datetime

    from bulbcast.ballast.work import BoatJob
    from bulbcast.bulb.fastening.fitting_room import FittingRoom
    from bulbcast.foundry.drying.log import DryingLog, DryingState
    from bulbcast.foundry.melt.pot import PotPlan
    from bulbcast.foundry.melt.work import MeltJob
    from bulbcast.foundry.mould.design import MouldDesign
    from bulbcast.hull.read import HullRead


def run(
    plan: Plan,
    offsets: OffsetsTable | None = None,
    hull: HullRead | None = None,
    *,
    remedies: bool = True,
    standing: Literal["whole", "briefly", "no"] = "whole",
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
        standing: How far to work out righting arms and what the wind does, where the plan gives a boat: "briefly"
            stops at 60 degrees and leaves other bulbs out.
        drying_log: That lies beside the plan, or None.
        moment: At which the drying log is judged; None: at its last entry, so that the same plan and log give
            the same bytes on any day.

    Returns:
        Every result.

    Raises:
        PlanError: The plan has no solution; each fault names the nearest values that would do.
    """
    if plan.strength is not None and plan.strength.section == "tube-cored":
        from bulbcast.joint.fin_work import with_tube_axis

        plan = with_tube_axis(plan)
    shown = Shown(plan.display_units)
    alloy = alloy_of(plan)
    wish, bulb, boat = _sized(plan, profile_of(plan, offsets), alloy, hull, shown)
    wall_wanted = smallest_wall(plan.bulb.smallest_wall, wish.target_mass)
    room = room_of(bulb, wall_wanted=wall_wanted, roughly=not remedies)
    fittings, lifts = _fittings(wish, bulb)
    balance = balance_of(bulb, elastic_axis=plan.fin.elastic_axis)

    cored = CoredCuts(
        # A fin that stands on the crown has no pocket to core.
        pocket=plan.fin.pocket == "cored" and bulb.pocket_depth > 0.0,
        screws=tuple(screw.hole == "cored" for screw in plan.screws),
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

    # The mould gives the gating, and the gating what goes into the pot.
    mould: MouldDesign | None = None
    drying: DryingState | None = None
    told: tuple[Finding, ...] = ()
    settled: tuple[DefaultTaken, ...] = ()
    if plan.mould is not None:
        from bulbcast.foundry.drying.rules import check_drying
        from bulbcast.foundry.mould.rules import check_mould
        from bulbcast.foundry.mould.work import drying_of, mould_defaults, mould_design

        mould = mould_design(plan, bulb, cast_body, pattern)
        drying = drying_of(mould, drying_log, moment)
        settled += mould_defaults(mould, shown)
        told += check_mould(plan, mould, shown)
        if drying is not None:
            told += check_drying(drying, shown)
    melting: MeltJob | None = None
    accepted = False
    if plan.scrap or any(one is not None for one in (plan.mould, plan.pot, plan.burner, plan.pour)):
        from bulbcast.foundry.melt.findings import accepted as accepted_in
        from bulbcast.foundry.melt.findings import melt_findings
        from bulbcast.foundry.melt.work import melt_job

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
        if remedies:
            from bulbcast.foundry.melt.fixes import with_enough

            def halved(other: Plan) -> PotPlan | None:
                from bulbcast.foundry.mould.work import mould_design

                return melt_job(
                    other,
                    alloy=alloy,
                    wish=wish,
                    bulb=bulb,
                    cast=cast_body,
                    pattern=pattern,
                    mould=mould_design(other, bulb, cast_body, pattern),
                    shown=shown,
                    resize=False,
                ).pots

            melting = with_enough(plan, melting, halved)
        accepted = accepted_in(plan)
        settled += melting.defaults
        told += melt_findings(plan, melting, alloy=alloy, bulb=bulb, mould=mould, shown=shown)
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

    found = bulb_findings(
        plan,
        alloy=alloy,
        bulb=bulb,
        balance=balance,
        room=room,
        wall_wanted=wall_wanted,
        cast_body=cast_body,
        pattern=pattern,
        melt=melt,
        pours=1 if mould is None else mould.pours,
        fastened_otherwise=fittings is not None,
        accepted=accepted,
        search=remedies,
        shown=shown,
    )
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
        + settled,
        findings=sorted_by_severity(found + told),
        boat=boat,
        gm=None if boat is None else boat.gm,
        inputs=inputs_of(plan, offsets, hull),
        mould=mould,
        drying=drying,
        fittings=fittings,
        stud_lifts=lifts,
        melting=melting,
    )
    job = with_fittings_told(with_boat_told(job))
    job = with_strength(with_standing(job, standing), search=remedies)
    job = with_templates_and_ribs(job)
    return with_pattern_shop(with_resin(job))


def _fittings(wish: BulbWish, bulb: HungBulb) -> tuple[FittingRoom | None, tuple[float, ...]]:
    """Room round pins, studs and a through-going blade, and each stud's lift in the melt. [N]"""
    if not (bulb.pin_cuts or bulb.stud_cuts or bulb.through):
        return None, ()
    from bulbcast.bulb.fastening.fitting_room import fitting_room_of
    from bulbcast.foundry.gating.lift import stud_lifts

    room = fitting_room_of(bulb)
    return room, stud_lifts(wish.studs, room)


def _sized(
    plan: Plan, profile: Profile, alloy: CastAlloy, hull: HullRead | None, shown: Shown
) -> tuple[BulbWish, HungBulb, BoatJob | None]:
    """The bulb, with the boat where the plan gives one, and the wish that it answers."""
    try:
        if plan.boat is None:
            wish = wish_of(plan, profile, alloy)
            return wish, size_and_place(wish), None
        from bulbcast.ballast.start import boat_start
        from bulbcast.ballast.work import boat_job
        from bulbcast.hull.read import hull_of_numbers

        start = boat_start(
            plan,
            hull_of_numbers(plan) if hull is None else hull,
            lead_density=alloy.density * (1.0 - plan.alloy.porosity),
        )
        wish = wish_of(plan, profile, alloy, start.closed_form)
        try:
            boat = boat_job(plan, start, wish)
        except NoSolutionError as error:
            from bulbcast.hull.unit_slip import hull_doubts

            doubts = hull_doubts(plan, hull, start.unit_slip)
            raise PlanError([*doubts, no_solution_fault(plan, error, shown)]) from None
        return boat.hung.wish, boat.hung.bulb, boat
    except NoSolutionError as error:
        raise PlanError([no_solution_fault(plan, error, shown)]) from None
