"""The whole calculation in one place, from a Plan to a Job with every result, in the order of the work.

    sized and placed bulb -> room round the cuts -> cast body, pattern -> mould -> melt -> findings on all of that

and then the subjects that only some plans have. Every step declares what it reads, so after a change of one value only
the steps that depend on it are calculated again. A Job holds no mesh and touches no file, which keeps a study of a
thousand plans fast.
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
    """A job calculated up to the step that needs the freezing time of its metal.

    Attributes:
        plan: The plan in its working form.
        asked: Requests besides the plan.
        known: Results so far, by the names of the job's fields.
        outcomes: Outcomes of the steps so far, in the order in which they are reported.
    """

    plan: Plan
    asked: Asked
    known: dict[str, Any]
    outcomes: list[Outcome]

    @property
    def running_asked(self) -> list[tuple[Bar, FreezingCase]]:
        """The bar of metal whose running time is needed, with its freezing case; empty without a mould."""
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
    """The whole job, without files.

    Args:
        plan: The plan as read.
        offsets: The table it names, where its profile is `offsets`.
        hull: The hull it names, where its boat is given by a file.
        remedies: Whether to search for the place and the head that would fix a thin wall, and to refine walls that are
            thick enough anyway; a study, which reports only codes, does without.
        standing: How far to work out righting arms and what the wind does, where the plan gives a boat: "briefly"
            stops at 60 degrees and leaves other bulbs out.
        drying_log: The log beside the plan, or None.
        moment: Time at which the drying log is judged; None: at its last entry, so that the same plan and log give the
            same bytes on any day.
        kept: Steps of an earlier run, reused where what they read is unchanged; None: all are calculated.

    Returns:
        Every result.

    Raises:
        PlanError: The plan has no solution; each fault names the nearest values that would do.
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
    """The first half of `run`: everything that needs no freezing time.

    Args:
        plan: The plan as read.
        asked: Requests besides the plan.
        kept: Steps of an earlier run.

    Returns:
        What is known so far; for `finished`.

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
    """The second half of `run`.

    Args:
        job: Result of `begun`; it is used up.
        kept: Steps of an earlier run.
        running: Times for which metal runs, already known in a study, which reports no other freezing time; None: all
            are calculated.

    Returns:
        Every result.

    Raises:
        PlanError: The plan has no solution.
    """
    plan, known, outcomes = job.plan, job.known, job.outcomes
    _work(job, STEPS[_HALF:], replace(job.asked, running=running), kept)
    defaults = {one.key: one for one in plan.defaults}
    for outcome in outcomes:
        for taken in outcome.defaults:
            defaults.setdefault(taken.key, taken)  # what has been reported is not reported again
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
