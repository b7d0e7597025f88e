"""Steps of the calculation. Their results are kept, so that only steps affected by a change are calculated again.

A step declares which sections of the plan, which results and which requests it reads; it receives those and nothing
else. If they are unchanged, its outcome is also unchanged. Sections are compared by value and results by identity,
because a step that is not run again returns the same object as before.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, fields
from functools import cache
from types import SimpleNamespace
from typing import TYPE_CHECKING, Any, Literal, cast

from bulbcast.findings import Finding
from bulbcast.pattern_shop.results import ShopResults as Job
from bulbcast.plan.sections import DefaultTaken, Plan
from bulbcast.quantities import Shown

if TYPE_CHECKING:
    from datetime import datetime

    from bulbcast.bulb.hung.wishes import OffsetsTable
    from bulbcast.foundry.cooling.radial import Freezing
    from bulbcast.foundry.drying.log import DryingLog
    from bulbcast.hull.read import HullRead


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """Requests in addition to the plan.

    Attributes:
        offsets: The table of offsets, if the profile is `offsets`.
        hull: The hull, if a file gives the boat's shape.
        remedies: Whether to search for fixes.
        standing: Extent of the calculation of righting arms and wind.
        drying_log: Drying log of the plan, or None.
        moment: Time at which the drying log is evaluated; None means the time of its last entry.
        worded: Whether to include assumed values, all fixes and the casting's uncertainty; a study, which reports only
            figures and codes, leaves them out.
        running: Running times of the metal, if a study has already calculated them; None means that all freezing times
            are calculated.
    """

    offsets: OffsetsTable | None = None
    hull: HullRead | None = None
    remedies: bool = True
    standing: Literal["whole", "briefly", "no"] = "whole"
    drying_log: DryingLog | None = None
    moment: datetime | None = None
    worded: bool = True
    running: Freezing | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """Outcome of a step: results keyed by field name of the job, assumed values, and findings."""

    results: Mapping[str, Any] = field(default_factory=dict)
    defaults: tuple[DefaultTaken, ...] = ()
    findings: tuple[Finding, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One step of the calculation.

    Attributes:
        name: Name in the builder's terms.
        sections: Sections of the plan that it reads.
        results: Field names of earlier results that it reads.
        asked: Fields of `Asked` that it reads.
        work: Function that receives a job with those results, a plan with those sections, and the requests.
        where: Whether the plan needs this step.
        leads: Whether its findings and assumed values are listed before those of earlier steps.
    """

    name: str
    sections: tuple[str, ...]
    results: tuple[str, ...] = ()
    asked: tuple[str, ...] = ()
    work: Callable[[Job, Asked], Outcome]
    where: Callable[[Plan], bool] = lambda plan: True
    leads: bool = False


@cache
def _section_of(key: str) -> str:
    return re.split(r"[.\[]", key)[0]


class Kept:
    """Outcomes for the last plan, kept so that a similar plan can reuse them.

    Attributes:
        worked: Names of the steps that were calculated again in the last run.
    """

    def __init__(self, hand: Callable[[Step, Plan], Plan] = lambda step, plan: plan) -> None:
        """Start without any outcomes.

        Args:
            hand: Function that makes the plan that a step receives. A test passes a function that hides every section
                that the step does not declare.
        """
        self._outcomes: dict[str, tuple[tuple[object, ...], tuple[object, ...], Outcome]] = {}
        self._hand = hand
        self._defaults: tuple[tuple[DefaultTaken, ...], dict[str, tuple[str, ...]]] = ((), {})
        self.worked: list[str] = []

    def outcome(self, step: Step, plan: Plan, known: Mapping[str, Any], asked: Asked) -> Outcome:
        """Return a step's outcome. The last one is reused if all the step's inputs are unchanged.

        Args:
            step: A step of the chain.
            plan: The plan as read.
            known: Results so far, keyed by field name of the job.
            asked: Requests in addition to the plan.
        """
        values = (plan.display_units, self._taken(step, plan), *map(plan.__getattribute__, step.sections))
        objects = (*map(known.__getitem__, step.results), *map(asked.__getattribute__, step.asked))
        before = self._outcomes.get(step.name)
        if before is not None and before[0] == values and _the_same(before[1], objects):
            return before[2]
        self.worked.append(step.name)
        shown = Shown(plan.display_units)
        handed = SimpleNamespace(
            plan=self._hand(step, plan), shown=shown, **{name: known[name] for name in step.results}
        )
        outcome = step.work(cast("Job", handed), asked)
        self._outcomes[step.name] = (values, objects, outcome)
        return outcome

    def _taken(self, step: Step, plan: Plan) -> tuple[str, ...]:
        """Return the keys of a step's sections that have their default value. A typed value can be judged differently
        from the same value as a default."""
        if self._defaults[0] is not plan.defaults:
            self._defaults = (plan.defaults, {})
        found = self._defaults[1].get(step.name)
        if found is None:
            found = tuple(one.key for one in plan.defaults if _section_of(one.key) in step.sections)
            self._defaults[1][step.name] = found
        return found


def _the_same(before: tuple[object, ...], now: tuple[object, ...]) -> bool:
    """Return whether results are the same objects or, for plain values, equal."""
    return all(
        one is other or (isinstance(one, (bool, str, float, int)) and one == other)
        for one, other in zip(before, now, strict=True)
    )


RESULTS = tuple(
    one.name for one in fields(Job) if one.name not in ("plan", "shown", "defaults", "findings", "pending")
)
"""Return the fields of a job that are filled in by steps."""
