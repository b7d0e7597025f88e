"""Steps of the chain, kept in memory: only what a change of the plan reaches is worked out again.

A step says which sections of the plan, which results and which of the things asked for it reads; it is handed those and
nothing else. Where they are what they were, its outcome is what it was. Sections are compared by value, results by
whether they are the same object: a step that is not run again hands on the very object of before.
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
        remedies: Whether to search for what would fix.
        standing: How far righting arms and what the wind does are worked out.
        drying_log: That lies beside the plan, or None.
        moment: At which the drying log is judged; None: at its last entry.
        worded: Whether more is reported of it than figures and codes: the values taken, and each remedy whole.
        running: Who knows how long metal runs, for a study; None: all times of freezing are worked out.
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
    """What a step hands on: results by the names of the job's fields, values taken, and what was found."""

    results: Mapping[str, Any] = field(default_factory=dict)
    defaults: tuple[DefaultTaken, ...] = ()
    findings: tuple[Finding, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One step of the chain.

    Attributes:
        name: In the words of the work.
        sections: Of the plan that it reads.
        results: Of earlier steps that it reads, by the names of the job's fields.
        asked: Of `Asked` what it reads.
        work: Handed a job with those results and a plan with those sections, and what is asked.
        where: Whether the plan asks for it at all.
        leads: Whether its findings and values taken stand before those of the steps before it.
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
    """The outcomes of the last plan, for the next one that is much like it.

    Attributes:
        worked: Names of the steps that the last run worked out anew.
    """

    def __init__(self, hand: Callable[[Step, Plan], Plan] = lambda step, plan: plan) -> None:
        """Nothing kept so far.

        Args:
            hand: Gives the plan that a step is handed: a test hands one on which a step cannot read what it does
                not say it reads.
        """
        self._outcomes: dict[str, tuple[tuple[object, ...], tuple[object, ...], Outcome]] = {}
        self._hand = hand
        self._defaults: tuple[tuple[DefaultTaken, ...], dict[str, tuple[str, ...]]] = ((), {})
        self.worked: list[str] = []

    def outcome(self, step: Step, plan: Plan, known: Mapping[str, Any], asked: Asked) -> Outcome:
        """A step's outcome, from before where it reads what it read before.

        Args:
            step: Of the chain.
            plan: As read.
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
        """Keys of a step's sections whose default is taken: a value that was typed is judged otherwise than the same
        value taken as a default."""
        if self._defaults[0] is not plan.defaults:
            self._defaults = (plan.defaults, {})
        found = self._defaults[1].get(step.name)
        if found is None:
            found = tuple(one.key for one in plan.defaults if _section_of(one.key) in step.sections)
            self._defaults[1][step.name] = found
        return found


def _the_same(before: tuple[object, ...], now: tuple[object, ...]) -> bool:
    """Whether results are the same objects, and plain words and figures the same values."""
    return all(
        one is other or (isinstance(one, (bool, str, float, int)) and one == other)
        for one, other in zip(before, now, strict=True)
    )


RESULTS = tuple(
    one.name for one in fields(Job) if one.name not in ("plan", "shown", "defaults", "findings", "pending")
)
"""The fields of a job that steps fill in."""
