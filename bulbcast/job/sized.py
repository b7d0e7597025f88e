"""First steps of the calculation: the bulb's size and position, its excess mass if the plan asks for one, and the
uncertainty of its casting."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace
from typing import cast

from bulbcast.ballast.no_solution import no_solution_fault
from bulbcast.bulb.hung.solve import NoSolutionError, size_and_place
from bulbcast.bulb.hung.wishes import alloy_of, profile_of, wish_of
from bulbcast.job.steps import Asked, Outcome
from bulbcast.pattern_shop.results import ShopResults as Job
from bulbcast.plan.faults import PlanError


def sized(job: Job, asked: Asked, excess: float = 0.0) -> Outcome:
    """Size the bulb and return it with its requirements, and with the boat if the plan gives one.

    Args:
        job: The results so far.
        asked: Requests in addition to the plan.
        excess: Excess of the hung mass, to be drilled out later. [kg]
    """
    alloy = alloy_of(job.plan)
    profile = profile_of(job.plan, asked.offsets)
    try:
        if job.plan.boat is None:
            wish = replace(wish_of(job.plan, profile, alloy), excess=excess)
            return Outcome(results={"alloy": alloy, "wish": wish, "bulb": size_and_place(wish)})
        from bulbcast.ballast.start import boat_start
        from bulbcast.ballast.work import boat_job
        from bulbcast.hull.read import hull_of_numbers

        start = boat_start(
            job.plan,
            hull_of_numbers(job.plan) if asked.hull is None else asked.hull,
            lead_density=alloy.density * (1.0 - job.plan.alloy.porosity),
        )
        wish = replace(wish_of(job.plan, profile, alloy, start.closed_form), excess=excess)
        try:
            boat = boat_job(job.plan, start, wish)
        except NoSolutionError as error:
            from bulbcast.ballast.shares import doubts_of_shares
            from bulbcast.hull.unit_slip import hull_doubts

            doubts = hull_doubts(job.plan, asked.hull, start.unit_slip)
            displaced = job.plan.water.density * start.rest.volume
            doubts += doubts_of_shares(job.plan, displaced, start.weigh_in.mass)
            raise PlanError([*doubts, no_solution_fault(job.plan, error, job.shown)]) from None
    except NoSolutionError as error:
        raise PlanError([no_solution_fault(job.plan, error, job.shown)]) from None
    hung = boat.hung
    return Outcome(
        results={"alloy": alloy, "wish": hung.wish, "bulb": hung.bulb, "boat": boat, "gm": boat.gm}
    )


def aimed(job: Job, asked: Asked) -> Outcome:
    """Size the bulb so that its casting, with the required probability, needs only drilling and no added lead."""
    from bulbcast.confidence.rules import band_fault
    from bulbcast.confidence.work import TooWideError, excess_for

    last = Outcome()

    def with_excess(excess: float) -> Job:
        nonlocal last
        last = sized(job, asked, excess)
        handed = SimpleNamespace(plan=job.plan, shown=job.shown, **{"boat": None, **last.results})
        return cast("Job", handed)

    try:
        excess_for(job, with_excess)
    except TooWideError as error:
        raise PlanError([band_fault(job.plan, error, job.shown)]) from None
    return Outcome(results={name: one for name, one in last.results.items() if name != "alloy"})


def sure(job: Job, asked: Asked) -> Outcome:
    """Calculate the uncertainty of the casting. A study omits it; if the plan does not ask for it, it is calculated
    together with the remedies."""
    if not asked.worded or not (asked.remedies or job.plan.confidence is not None):
        return Outcome()
    from bulbcast.confidence.rules import check_band, check_room
    from bulbcast.confidence.work import TooWideError, confidence_of

    try:
        found = confidence_of(job)
    except TooWideError as error:
        return Outcome(findings=(check_band(error, job.shown),))
    return Outcome(results={"confidence": found}, findings=check_room(job, found, job.shown))
