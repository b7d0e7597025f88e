"""The chain in one place: a Plan in, a Job with every result out. Reads like the work itself.

    sized and placed bulb -> room round the cuts -> cast body, pattern -> mould -> melt -> findings on all of that

and then what only some plans have. Every step says what it reads, so that a plan with one value changed is worked out
again from there on alone. A Job holds no mesh and touches no file, so that a study of a thousand plans stays quick.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Literal

from bulbcast.bulb.hung.wishes import OffsetsTable
from bulbcast.findings import sorted_by_severity
from bulbcast.job.inputs import inputs_of
from bulbcast.job.steps import RESULTS, Asked, Kept, Outcome
from bulbcast.job.work import STEPS
from bulbcast.pattern_shop.results import ShopResults as Job
from bulbcast.plan.sections import Plan
from bulbcast.quantities import Shown

if TYPE_CHECKING:
    from datetime import datetime

    from bulbcast.foundry.drying.log import DryingLog
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
    kept: Kept | None = None,
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
        kept: Steps of an earlier run, of which those are taken over that read nothing else now; None: all are
            worked out.

    Returns:
        Every result.

    Raises:
        PlanError: The plan has no solution; each fault names the nearest values that would do.
    """
    if plan.strength is not None and plan.strength.section == "tube-cored":
        from bulbcast.joint.fin_work import with_tube_axis

        plan = with_tube_axis(plan)
    asked = Asked(
        offsets=offsets,
        hull=hull,
        remedies=remedies,
        standing=standing,
        drying_log=drying_log,
        moment=moment,
    )
    kept = Kept() if kept is None else kept
    kept.worked.clear()
    known: dict[str, Any] = dict.fromkeys(RESULTS)
    known.update(limits=(), stud_lifts=(), inputs=inputs_of(plan, offsets, hull))
    outcomes: list[Outcome] = []
    for step in STEPS:
        if step.where(plan):
            outcome = kept.outcome(step, plan, known, asked)
            known.update(outcome.results)
            outcomes.insert(0 if step.leads else len(outcomes), outcome)
    defaults = {one.key: one for one in plan.defaults}
    for outcome in outcomes:
        for taken in outcome.defaults:
            defaults.setdefault(taken.key, taken)  # what is told already is not told again
    pending = tuple(
        name
        for name, left in (
            ("remedies", not remedies),
            ("standing", plan.boat is not None and standing != "whole"),
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
