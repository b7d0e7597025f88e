"""Steps of the chain, kept in memory: only what a change of the plan affects is recalculated.

A step declares which sections of the plan, which results and which requests it reads; it receives those and nothing
else. If they are unchanged, so is its outcome. Sections are compared by value, results by identity: a step that is not
run again passes on the same object as before.
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
    """What is asked for besides the plan.

    Attributes:
        offsets: The table it names, where its profile is `offsets`.
        hull: The hull it names, where its boat is given by a file.
        remedies: Whether to search for fixes.
        standing: How far righting arms and the effect of wind are calculated.
        drying_log: The log beside the plan, or None.
        moment: Time at which the drying log is judged; None: at its last entry.
        worded: Whether more than figures and codes is reported: the values assumed, and each remedy in full.
        running: Times for which metal runs, already known in a study; None: all freezing times are calculated.
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
    """The outcome of a step: results by the names of the job's fields, values assumed, and findings."""

    results: Mapping[str, Any] = field(default_factory=dict)
    defaults: tuple[DefaultTaken, ...] = ()
    findings: tuple[Finding, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One step of the chain.

    Attributes:
        name: Name in the words of the work.
        sections: Sections of the plan that it reads.
        results: Results of earlier steps that it reads, by the names of the job's fields.
        asked: Fields of `Asked` that it reads.
        work: Function of a job with those results, a plan with those sections, and what is asked.
        where: Whether the plan needs it at all.
        leads: Whether its findings and assumed values come before those of the earlier steps.
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
    """The outcomes of the last plan, for the next, similar one.

    Attributes:
        worked: Names of the steps that the last run recalculated.
    """

    def __init__(self, hand: Callable[[Step, Plan], Plan] = lambda step, plan: plan) -> None:
        """Starts with nothing kept.

        Args:
            hand: Makes the plan that a step receives; a test uses one on which a step cannot read what it does not
                declare.
        """
        self._outcomes: dict[str, tuple[tuple[object, ...], tuple[object, ...], Outcome]] = {}
        self._hand = hand
        self._defaults: tuple[tuple[DefaultTaken, ...], dict[str, tuple[str, ...]]] = ((), {})
        self.worked: list[str] = []

    def outcome(self, step: Step, plan: Plan, known: Mapping[str, Any], asked: Asked) -> Outcome:
        """A step's outcome, reused where what it reads is unchanged.

        Args:
            step: A step of the chain.
            plan: The plan as read.
            known: Results so far, by the names of the job's fields.
            asked: Besides the plan.
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
        """Keys of a step's sections that have their default: a typed value is judged differently from the same value as a
        default."""
        if self._defaults[0] is not plan.defaults:
            self._defaults = (plan.defaults, {})
        found = self._defaults[1].get(step.name)
        if found is None:
            found = tuple(one.key for one in plan.defaults if _section_of(one.key) in step.sections)
            self._defaults[1][step.name] = found
        return found


def _the_same(before: tuple[object, ...], now: tuple[object, ...]) -> bool:
    """Whether results are the same objects, and plain words and figures equal."""
    return all(
        one is other or (isinstance(one, (bool, str, float, int)) and one == other)
        for one, other in zip(before, now, strict=True)
    )


RESULTS = tuple(
    one.name for one in fields(Job) if one.name not in ("plan", "shown", "defaults", "findings", "pending")
)
"""The fields of a job that steps fill in."""
