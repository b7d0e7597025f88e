"""The complete calculation, from a Plan to a Job with every result, in the order of the work.

    sized and placed bulb -> material around the cuts -> cast body, pattern -> mould -> melt -> findings on all of these

and then the subjects that only some plans include. Every step declares its inputs, so if one value changes, only the
steps that depend on it are calculated again. A Job contains no mesh and neither reads nor writes files, so a study of
a thousand plans is fast.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any, Literal

from bulbcast.bulb.hung.wishes import OffsetsTable
from bulbcast.findings import sorted_by_severity
from bulbcast.job.inputs import inputs_of
from bulbcast.job.steps import RESULTS, Asked, Kept, Outcome, Step
from bulbcast.job.work import FREEZES, STEPS
from bulbcast.pattern_shop.results import ShopResults as Job
from bulbcast.plan.sections import Plan
from bulbcast.quantities import Shown
from bulbcast.quantities.frozen import frozen, replace

if TYPE_CHECKING:
    from datetime import datetime

    from bulbcast.foundry.cooling.radial import Bar, Freezing, FreezingCase
    from bulbcast.foundry.drying.log import DryingLog
    from bulbcast.hull.read import HullRead


@frozen
class Begun:
    """A job calculated as far as the step that needs the freezing time of the metal.

    Attributes:
        plan: The plan, prepared for the calculation.
        asked: Requests in addition to the plan.
        known: Results so far, keyed by the names of the job's fields.
        outcomes: Outcomes of the steps so far, in reporting order.
    """

    plan: Plan
    asked: Asked
    known: dict[str, Any]
    outcomes: list[Outcome]

    @property
    def running_asked(self) -> list[tuple[Bar, FreezingCase]]:
        """The bar of metal whose running time is needed, and its freezing case; empty if there is no mould."""
        poured = self.known["poured"]
        return [] if poured is None else [(poured.running, poured.case)]


def run(
    plan: Plan,
    offsets: OffsetsTable | None = None,
    hull: HullRead | None = None,
    *,
    remedies: bool = True,
    standing: Literal["whole", "briefly", "no"] = "whole",
    drying_log: DryingLog | None = None,
    moment: datetime | None = None,
    kept: Kept | None = None,
) -> Job:
    """Calculate the complete job, without writing files.

    Args:
        plan: The plan as read.
        offsets: The table named in the plan, if its profile is `offsets`.
        hull: The hull named in the plan, if a file gives the boat's shape.
        remedies: Whether to search for the position and the screw head that would fix a thin wall, and to refine the
            figures of walls that are thick enough anyway. A study, which reports only codes, does not need this.
        standing: How far righting arms and the effect of wind are calculated, if the plan gives a boat: "briefly"
            stops at 60 degrees and omits other bulbs.
        drying_log: The drying log next to the plan, or None.
        moment: Time at which the drying log is evaluated. None means the time of its last entry, so that the same plan
            and log give the same bytes on any day.
        kept: Steps of an earlier run, reused if their inputs are unchanged. None means that all are calculated.

    Returns:
        The job with every result.

    Raises:
        PlanError: The plan has no solution; each fault gives the nearest values that would work.
    """
    kept = Kept() if kept is None else kept
    asked = Asked(
        offsets=offsets,
        hull=hull,
        remedies=remedies,
        standing=standing,
        drying_log=drying_log,
        moment=moment,
    )
    return finished(begun(plan, asked, kept), kept)


def begun(plan: Plan, asked: Asked, kept: Kept) -> Begun:
    """Calculate the first half of `run`: everything that does not depend on a freezing time.

    Args:
        plan: The plan as read.
        asked: Requests in addition to the plan.
        kept: Steps of an earlier run.

    Returns:
        The results so far, for `finished`.

    Raises:
        PlanError: The plan has no solution.
    """
    tubed = plan.strength is not None and plan.strength.section == "tube-cored"
    if tubed or plan.fin.section != "foil" or plan.fin.max_at is not None:
        from bulbcast.joint.fin_work import with_own_axis

        plan = with_own_axis(plan)
    if plan.pour is not None and plan.pour.feeding == "none":
        from bulbcast.foundry.gating.unfed import with_hollow_counted

        plan = with_hollow_counted(plan)
    kept.worked.clear()
    known: dict[str, Any] = dict.fromkeys(RESULTS)
    known.update(limits=(), stud_lifts=(), inputs=inputs_of(plan, asked.offsets, asked.hull))
    job = Begun(plan=plan, asked=asked, known=known, outcomes=[])
    _work(job, STEPS[:_HALF], asked, kept)
    return job


def finished(job: Begun, kept: Kept, running: Freezing | None = None) -> Job:
    """Calculate the second half of `run`.

    Args:
        job: Result of `begun`, which must not be used again.
        kept: Steps of an earlier run.
        running: Running times of the metal, already calculated by a study, which reports no other freezing times. None
            means that all freezing times are calculated.

    Returns:
        The job with every result.

    Raises:
        PlanError: The plan has no solution.
    """
    plan, known, outcomes = job.plan, job.known, job.outcomes
    _work(job, STEPS[_HALF:], replace(job.asked, running=running), kept)
    defaults = {one.key: one for one in plan.defaults}
    for outcome in outcomes:
        for taken in outcome.defaults:
            defaults.setdefault(taken.key, taken)  # assumed values already reported are not reported again
    pending = tuple(
        name
        for name, left in (
            ("remedies", not job.asked.remedies),
            ("confidence", plan.confidence is None and not job.asked.remedies),
            ("standing", plan.boat is not None and job.asked.standing != "whole"),
        )
        if left
    )
    return Job(
        plan=plan,
        shown=Shown(plan.display_units),
        defaults=tuple(defaults.values()),
        findings=sorted_by_severity(tuple(one for outcome in outcomes for one in outcome.findings)),
        pending=pending,
        **known,
    )


_HALF = [step.name for step in STEPS].index(FREEZES)


def _work(job: Begun, steps: Sequence[Step], asked: Asked, kept: Kept) -> None:
    for step in steps:
        if step.where(job.plan):
            outcome = kept.outcome(step, job.plan, job.known, asked)
            job.known.update(outcome.results)
            job.outcomes.insert(0 if step.leads else len(job.outcomes), outcome)
