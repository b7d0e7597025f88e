"""Steps of the calculation in the order of the work, with the inputs of each.

The modules for the boat and the foundry are imported only if the plan includes their sections, which saves time for
other plans.
"""

from __future__ import annotations

from bulbcast.ballast.structure_rules import check_kind
from bulbcast.bulb.fastening.limits import smallest_wall
from bulbcast.bulb.fastening.pocket_rules import check_rake
from bulbcast.bulb.fastening.room import room_of
from bulbcast.bulb.fastening.screw_rules import check_cuts
from bulbcast.bulb.hung.balance import balance_of
from bulbcast.bulb.hung.balance_rules import check_balance
from bulbcast.bulb.hung.ledger import HungBulb
from bulbcast.bulb.hung.wish import BulbWish
from bulbcast.foundry.melt.charge import planned_melt
from bulbcast.foundry.melt.rules import (
    check_alloy,
    check_casting,
    check_charge,
    check_coat,
    check_lifts,
    check_slender,
    check_tail,
)
from bulbcast.job.defaults import settled_defaults
from bulbcast.job.sized import aimed, sized, sure
from bulbcast.job.steps import Asked, Outcome, Step
from bulbcast.pattern.allowances import pattern_of
from bulbcast.pattern.cast_body import CoredCuts, cast_body_of, default_finish
from bulbcast.pattern.contraction import rule_costs
from bulbcast.pattern.made import made_pattern
from bulbcast.pattern.rules import pattern_findings
from bulbcast.pattern_shop.results import ShopResults as Job


def _measured(job: Job, asked: Asked) -> Outcome:
    """Calculate the lead and fin material left around the cuts, and the bulb's attitude under the fin."""
    wall = smallest_wall(job.plan.bulb.smallest_wall, job.wish.target_mass)
    return Outcome(
        results={
            "wall_wanted": wall,
            "room": room_of(job.bulb, wall_wanted=wall, roughly=not asked.remedies),
            "balance": balance_of(job.bulb, elastic_axis=job.plan.fin.elastic_axis),
            **_fittings(job.wish, job.bulb),
        }
    )


def _fittings(wish: BulbWish, bulb: HungBulb) -> dict[str, object]:
    """Calculate the room around pins, studs and a blade that passes through the bulb, and the buoyancy of each stud in
    the melt. [N]"""
    if not (bulb.pin_cuts or bulb.stud_cuts or wish.fin.bonded):
        return {}
    from bulbcast.bulb.fastening.fitting_room import fitting_room_of
    from bulbcast.foundry.gating.lift import stud_lifts

    room = fitting_room_of(bulb)
    return {"fittings": room, "stud_lifts": stud_lifts(wish.studs, room)}


def _cast(job: Job, asked: Asked) -> Outcome:
    """Calculate the cast body and its pattern."""
    plan, bulb = job.plan, job.bulb
    cored = CoredCuts(
        # A fin that rests on the crown has no pocket to core.
        pocket=plan.fin.pocket == "cored" and bulb.pocket_depth > 0.0,
        screws=tuple(screw.hole == "cored" for screw in plan.screws),
    )
    finish = plan.pattern.finish if plan.pattern.finish is not None else default_finish(bulb.body.diameter)
    body = cast_body_of(bulb, cored=cored, finish=finish, density=job.wish.cast_density)
    contraction = job.alloy.contraction if plan.pattern.contraction is None else plan.pattern.contraction
    pattern = pattern_of(
        bulb,
        body,
        contraction=contraction,
        mould_expansion=plan.pattern.mould_expansion,
        coat=plan.pattern.coat,
    )
    rules = rule_costs(contraction, plan.pattern.mould_expansion)
    made = made_pattern(plan.pattern, bulb, body, pattern, job.alloy)
    return Outcome(results={"cast": body, "pattern": pattern, "rules": rules, "made": made})


def _moulded(job: Job, asked: Asked) -> Outcome:
    """Plan the mould, and find the state of its parts from the drying log."""
    from bulbcast.foundry.drying.rules import check_drying
    from bulbcast.foundry.mould.rules import check_mould
    from bulbcast.foundry.mould.work import drying_of, mould_defaults, mould_design

    mould = mould_design(job.plan, job.bulb, job.cast, job.pattern)
    drying = drying_of(mould, asked.drying_log, asked.moment)
    return Outcome(
        results={"mould": mould, "drying": drying},
        defaults=mould_defaults(mould, job.shown) if asked.worded else (),
        findings=(
            *check_mould(job.plan, mould, job.shown),
            *(() if drying is None or mould.foundry_work else check_drying(drying, job.shown)),
        ),
    )


def _poured(job: Job, asked: Asked) -> Outcome:
    """Calculate the metal poured into the planned or default mould, before the freezing times are known."""
    from bulbcast.foundry.gating.work import poured_of
    from bulbcast.foundry.mould.usual import usual_mould

    mould = usual_mould(job.bulb, job.cast, job.pattern) if job.mould is None else job.mould
    return Outcome(results={"poured": poured_of(job, mould)})


def _melted(job: Job, asked: Asked) -> Outcome:
    """Calculate the charge of the pot, with the gating, scrap and pot that the plan gives."""
    plan = job.plan
    if not (plan.scrap or any(one is not None for one in (plan.mould, plan.pot, plan.burner, plan.pour))):
        from bulbcast.foundry.cooling.radial import running_times
        from bulbcast.foundry.gating.design import gating_of
        from bulbcast.foundry.melt.work import feeder_of

        # For the default mould, only the poured mass is needed, which follows from the metal's running time.
        gating = feeder_of(gating_of(job.poured, asked.running or running_times), None)
        melt = planned_melt(plan.melt, job.cast.mass, dross=job.alloy.dross, gating=gating)
        return Outcome(results={"melt": melt})
    from bulbcast.foundry.gating.rules import gating_findings
    from bulbcast.foundry.melt.fixes import with_enough
    from bulbcast.foundry.melt.pot_rules import pot_findings
    from bulbcast.foundry.melt.scrap_rules import scrap_findings
    from bulbcast.foundry.melt.work import melt_defaults, melt_job
    from bulbcast.foundry.pour.rules import pour_findings

    melting = melt_job(job, job.mould, job.poured, resize=asked.remedies, running=asked.running)
    if asked.remedies:
        melting = with_enough(job, melting)
    return Outcome(
        results={"melt": melting.melt, "melting": melting},
        defaults=melt_defaults(job, melting) if asked.worded else (),
        findings=scrap_findings(job, melting)
        + pot_findings(job, melting)
        + pour_findings(job)
        + gating_findings(job, melting, search=asked.worded),
    )


def _checked(job: Job, asked: Asked) -> Outcome:
    """Return the findings on the bulb, its cuts, its casting and its pattern."""
    plan, shown, body = job.plan, job.shown, job.bulb.body
    return Outcome(
        defaults=settled_defaults(job, asked.hull) if asked.worded else (),
        findings=(
            *check_cuts(job, search=asked.remedies),
            *check_balance(job),
            *check_tail(body, plan.bulb.tail_diameter, shown),
            *check_slender(body, plan.bulb, shown),
            *check_coat(job.pattern, body, shown),
            *check_alloy(plan, job.alloy, shown),
            *pattern_findings(job),
            *check_casting(job.cast, job.bulb.mass, plan.lifting, shown),
            *check_lifts(job),
            *check_charge(job.melt, 1 if job.mould is None else job.mould.pours, shown),
        ),
    )


def _fitted(job: Job, asked: Asked) -> Outcome:
    """Return the findings on pins, studs and a blade that passes through the bulb."""
    if job.fittings is None:
        return Outcome()
    from bulbcast.bulb.fastening.fitting_rules import check_fittings

    return Outcome(findings=check_fittings(job))


def _afloat(job: Job, asked: Asked) -> Outcome:
    """Return the findings on the boat, on its type, and on the inclination of the bulb under the fin."""
    plan, boat = job.plan, job.boat
    grounded = None if plan.strength is None else plan.strength.grounded_mass
    kind = check_kind(
        plan.boat,
        bulb_mass=job.bulb.mass,
        boat_mass=grounded if boat is None else boat.total_mass,
        shown=job.shown,
    )
    kind += check_rake(plan.fin, job.shown)
    if boat is None:
        return Outcome(findings=kind)
    from bulbcast.ballast.assumed import ballast_defaults
    from bulbcast.ballast.rules import boat_findings

    return Outcome(
        defaults=ballast_defaults(plan, boat, job.shown) if asked.worded else (),
        findings=boat_findings(plan, boat, job.shown) + kind,
    )


def _beside(job: Job, asked: Asked) -> Outcome:
    """Compare the bulb with bulbs of typical fineness, if its fineness is unusual."""
    from bulbcast.sailing.fineness import beside_planned

    results, findings = beside_planned(job)
    return Outcome(results=results, findings=findings)


def _standing(job: Job, asked: Asked) -> Outcome:
    """Calculate the righting arms and the effect of wind."""
    if asked.standing == "no" or job.boat is None:
        return Outcome()
    from bulbcast.sailing.rules import check_standing
    from bulbcast.sailing.sailing_work import standing_defaults
    from bulbcast.sailing.work import standing_of

    stands = standing_of(job.plan, job.boat, briefly=asked.standing == "briefly")
    gm = {} if stands.curve is None else {"gm": stands.curve.gm}
    return Outcome(
        results={"standing": stands, **gm},
        defaults=standing_defaults(job.plan, stands.sailing, job.shown),
        findings=check_standing(job.plan, job.boat, stands, job.shown),
    )


def _judged(job: Job, asked: Asked) -> Outcome:
    """Check the fin and the joint under their loads, and compare the bulb with the limits set in the plan."""
    from bulbcast.joint.limits import check_limit, limits_held
    from bulbcast.joint.work import strength_defaults, strength_findings, strength_of

    strength, limits = strength_of(job, search=asked.remedies), limits_held(job)
    broken = tuple(check_limit(one, job, search=asked.remedies) for one in limits if not one.kept)
    return Outcome(
        results={"strength": strength, "limits": limits},
        defaults=strength_defaults(job, strength),
        findings=strength_findings(job, strength) + broken,
    )


def _carried(job: Job, asked: Asked) -> Outcome:
    """Calculate the effect of lifting the boat by the bulb's tail."""
    from bulbcast.joint.carried import carried_by_tail

    return Outcome(results={"carried": carried_by_tail(job)})


def _spaced(job: Job, asked: Asked) -> Outcome:
    """Check the spacing of the templates against the pattern."""
    from bulbcast.pattern_shop.templates.surfaces import require_spacing

    require_spacing(job.plan, job.bulb.body, job.pattern)
    return Outcome()


def _ribbed(job: Job, asked: Asked) -> Outcome:
    """Calculate the ribs of the foils."""
    from bulbcast.fin.built import check_ribs, ribs_job

    ribs = ribs_job(job.plan)
    return Outcome(
        results={"ribs": ribs}, findings=tuple(found for one in ribs for found in check_ribs(one, job.shown))
    )


def _in_resin(job: Job, asked: Asked) -> Outcome:
    """Calculate the same bulb in lead shot and resin."""
    section = job.plan.resin
    if section is None:
        return Outcome()
    from bulbcast.foundry.resin.work import resin_findings, resin_job

    resin = resin_job(job, section)
    return Outcome(results={"resin": resin}, findings=resin_findings(resin, job.shown))


def _in_pieces(job: Job, asked: Asked) -> Outcome:
    """Plan the pieces of the pattern, without the figures that are measured on the cut solids."""
    from bulbcast.pattern_shop.rules import shop_findings
    from bulbcast.pattern_shop.work import planned_shop

    shop = planned_shop(job)
    return Outcome(
        results={"shop": shop}, defaults=shop.defaults, findings=shop_findings(job.plan, shop, job.shown)
    )


FREEZES = "melted"
"""Name of the first step that needs the freezing time of the metal."""
_SIZE = ("water", "bulb", "alloy", "fin", "screws", "cross_pins", "studs", "halves_bonded")
_BOAT = ("boat", "weights", "rudder")
STEPS = (
    Step(
        name="sized", sections=(*_SIZE, *_BOAT, "spreads", "learned"), asked=("offsets", "hull"), work=sized
    ),
    Step(
        name="aimed",
        sections=(*_SIZE, *_BOAT, "pattern", "confidence", "spreads", "learned"),
        results=("alloy", "wish", "bulb", "boat"),
        asked=("offsets", "hull"),
        work=aimed,
        where=lambda plan: plan.confidence is not None,
    ),
    Step(
        name="measured",
        sections=("bulb", "fin"),
        results=("wish", "bulb"),
        asked=("remedies",),
        work=_measured,
    ),
    Step(
        name="cast",
        sections=("fin", "screws", "pattern"),
        results=("alloy", "wish", "bulb"),
        work=_cast,
    ),
    Step(
        name="sure",
        sections=(*_SIZE, *_BOAT, "pattern", "confidence", "spreads", "learned"),
        results=("alloy", "wish", "bulb", "boat", "wall_wanted"),
        asked=("worded", "remedies"),
        work=sure,
    ),
    Step(
        name="moulded",
        sections=("mould", "fin", "screws", "studs", "frame", "pattern", "parting", "alloy", "lifting"),
        results=("bulb", "cast", "pattern"),
        asked=("worded", "drying_log", "moment"),
        work=_moulded,
        where=lambda plan: plan.mould is not None,
    ),
    Step(
        name="poured",
        sections=("pour",),
        results=("alloy", "bulb", "cast", "pattern", "mould"),
        work=_poured,
    ),
    Step(
        name=FREEZES,
        sections=(
            *_SIZE,
            "pattern",
            "parting",
            "frame",
            "printer",
            "melt",
            "mould",
            "scrap",
            "pot",
            "other_pots",
            "burner",
            "lifting",
            "pour",
        ),
        results=("alloy", "wish", "bulb", "cast", "pattern", "mould", "poured"),
        asked=("worded", "remedies", "running"),
        work=_melted,
    ),
    Step(
        name="checked",
        sections=("bulb", "alloy", "fin", "screws", "boat", "pattern", "melt", "scrap", "pour", "lifting"),
        results=(
            "alloy",
            "wish",
            "bulb",
            "balance",
            "room",
            "wall_wanted",
            "cast",
            "pattern",
            "made",
            "melt",
            "melting",
            "mould",
            "fittings",
        ),
        asked=("worded", "remedies", "hull"),
        work=_checked,
        leads=True,
    ),
    Step(
        name="afloat",
        sections=("water", "bulb", "fin", "strength", *_BOAT),
        results=("bulb", "boat"),
        asked=("worded",),
        work=_afloat,
    ),
    Step(name="beside", sections=("water", "bulb"), results=("bulb", "boat"), work=_beside),
    Step(
        name="fitted",
        sections=("fin",),
        results=("bulb", "fittings", "wish", "stud_lifts", "wall_wanted"),
        work=_fitted,
    ),
    Step(
        name="standing",
        sections=(*_SIZE, *_BOAT, "rig"),
        results=("boat",),
        asked=("standing",),
        work=_standing,
        where=lambda plan: plan.boat is not None,
    ),
    Step(
        name="judged",
        sections=(*_SIZE, *_BOAT, "strength", "limits"),
        results=("bulb", "wish", "room", "boat"),
        asked=("remedies",),
        work=_judged,
        where=lambda plan: plan.strength is not None or plan.limits is not None,
    ),
    Step(
        name="carried",
        sections=("strength",),
        results=("bulb", "boat"),
        work=_carried,
        where=lambda plan: plan.boat is not None or plan.strength is not None,
    ),
    Step(
        name="spaced",
        sections=("templates", "pattern", "parting"),
        results=("bulb", "pattern"),
        work=_spaced,
        where=lambda plan: plan.templates is not None,
    ),
    Step(
        name="ribbed",
        sections=("ribs", "fin", "rudder", "bulb"),
        work=_ribbed,
        where=lambda plan: plan.ribs is not None,
    ),
    Step(
        name="in resin",
        sections=(*_SIZE, "resin", "pattern", "mould"),
        results=("wish", "bulb", "cast", "mould"),
        work=_in_resin,
        where=lambda plan: plan.resin is not None,
    ),
    Step(
        name="in pieces",
        sections=("fin", "screws", "studs", "pattern", "parting", "printer", "frame", "mould", "templates"),
        results=("bulb", "cast", "pattern", "mould", "melting", "shop"),
        work=_in_pieces,
        where=lambda plan: any(one is not None for one in (plan.parting, plan.printer, plan.frame)),
    ),
)
"""The steps in the order of the work."""
