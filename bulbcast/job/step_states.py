"""Derives the state of each step of the work from the plan's sections and the findings."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace

from bulbcast.findings import Severity, Step
from bulbcast.job import Job
from bulbcast.report.steps import State, StepName, StepState


def step_states(job: Job) -> tuple[StepState, ...]:
    """Return the state of every step, in the order of the work.

    Args:
        job: The results.
    """
    return tuple(_states(job))


def _states(job: Job) -> Iterator[StepState]:
    plan = job.plan
    yield _state(job, "bulb", Step.FASTENING)
    yield _state(job, "pattern", Step.PATTERN)
    yield _state(job, "mould", Step.POUR, "" if plan.mould else "[mould]", about="mould")
    melted = plan.scrap or plan.pot or plan.burner
    missing = "" if melted else "[pot] and [burner]"
    melt = _state(job, "melt", Step.MELT, missing, held_too=("pot", "burner", "scrap"))
    pour = _state(job, "pour", Step.POUR, "" if plan.mould else "[mould]")
    waits = pour.state is State.HOLD
    # No lead is melted for a pour that is on hold.
    yield replace(melt, state=State.HOLD) if melt.state is State.READY and waits else melt
    yield pour
    last = _state(
        job, "float", Step.SAILING, "[boat]" if plan.boat is None else "" if plan.mould else "[mould]"
    )
    # There is nothing to hang and float before the pour.
    yield replace(last, state=State.HOLD) if last.state is State.READY and waits else last


def _state(
    job: Job,
    name: StepName,
    step: Step,
    missing: str = "",
    about: str = "",
    held_too: tuple[str, ...] = (),
) -> StepState:
    """Return the state of one step.

    Args:
        job: The results.
        name: Displayed name of the step.
        step: The step whose holds and stops are counted.
        missing: Sections that must be added before this step can be planned; "" if the plan has them.
        about: Section to which the counted holds are limited; "" if every hold is counted.
        held_too: Sections whose holds on the pour also hold this step, for example because a pot is too small.
    """
    reasons = job.withholding(step)
    if about:
        reasons = tuple(
            one for one in reasons if one.severity is Severity.STOP or one.where.split(".")[0] == about
        )
    if held_too and not reasons:
        reasons = tuple(
            one
            for one in job.withholding(Step.POUR)
            if one.severity is Severity.HOLD and re.split(r"[.\[ ]", one.where)[0] in held_too
        )
    if any(one.severity is Severity.STOP for one in reasons):
        return StepState(name=name, state=State.STOPPED, reasons=reasons)
    if reasons:
        return StepState(name=name, state=State.HOLD, reasons=reasons)
    return StepState(name=name, state=State.NOT_PLANNED if missing else State.READY, missing=missing)
