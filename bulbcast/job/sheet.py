"""The job sheet: what a builder asks first. How far each step is, what to fix, a few figures, what to buy, what comes next.

It adds nothing of its own: figures and purchases come from the chapters, everything else from the findings.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import PurePath

from bulbcast.findings import Finding, Severity, Step
from bulbcast.job import Job
from bulbcast.job.step_states import step_states
from bulbcast.quantities.frozen import frozen
from bulbcast.report.chapter import Chapter, Line, ToBuy, lines_of
from bulbcast.report.steps import State, StepName, StepState
from bulbcast.report.verdict import before_cautions
from bulbcast.safety import Caution, cautions

MOST_AT_A_STEP = 5


@frozen
class Act:
    """Something to act on: one finding, or several that say the same.

    Attributes:
        finding: The first of them.
        where: The plan's keys or parts concerned.
        message: What was found, without figures of the melt.
        remedy: How to fix it; "" where it is given with the melt.
    """

    finding: Finding
    where: tuple[str, ...]
    message: str
    remedy: str


@frozen
class Sheet:
    """The job sheet.

    Attributes:
        steps: The steps in the order of the work.
        acts: What to act on, most serious first.
        notes: Number of other findings that are good to know.
        figures: The few figures at the top.
        heads: The few figures at the head of each step.
        buy: What to buy in round amounts; empty while there is a stop.
        next_words: What comes next.
        next_command: What to type for it; "" for nothing.
    """

    steps: tuple[StepState, ...]
    acts: tuple[Act, ...]
    notes: int
    figures: tuple[Line, ...]
    heads: dict[StepName, tuple[Line, ...]]
    buy: tuple[Line, ...]
    next_words: str
    next_command: str


def sheet_of(job: Job, chapters: Sequence[Chapter], *, file: str = "", out: str = "") -> Sheet:
    """The job sheet.

    Args:
        job: The results.
        chapters: Its chapters.
        file: The plan's file as typed; left out: its name.
        out: The directory of the bundle as typed; "" where none was written.
    """
    steps = step_states(job)
    lines = [line for chapter in chapters for line in lines_of(chapter)]
    heads = {
        # One with its own text for the sheet comes first.
        one.name: tuple(
            sorted((line for line in lines if line.step == one.name), key=lambda line: not line.brief)
        )[:MOST_AT_A_STEP]
        for one in steps
    }
    # What is melted comes first.
    parts = [part for chapter in reversed(chapters) for part in chapter.parts]
    buy = [line for part in parts if isinstance(part, ToBuy) for line in part.lines]
    words, command = next_step(job, steps, file=file or PurePath(job.plan.source).name, out=out)
    return Sheet(
        steps=steps,
        acts=_acts(job),
        notes=sum(one.severity is Severity.NOTE for one in job.findings),
        figures=tuple(sorted((line for line in lines if line.sheet), key=lambda line: line.sheet)),
        heads=heads,
        buy=() if job.stopped else tuple(buy),
        next_words=words,
        next_command=command,
    )


def _acts(job: Job) -> tuple[Act, ...]:
    said: dict[tuple[str, str], Act] = {}
    for one in job.findings:
        if one.severity is Severity.NOTE:
            continue
        message, remedy = before_cautions(job, one)
        same = said.get((one.code, remedy)) if remedy else None
        where = (one.where,) if same is None else tuple(dict.fromkeys((*same.where, one.where)))
        first = one if same is None else same.finding
        said[one.code, remedy or message] = Act(
            finding=first, where=where, message=message if same is None else same.message, remedy=remedy
        )
    return tuple(said.values())


def brief_cautions() -> tuple[Caution, ...]:
    """The few cautions shown where there is no room for all."""
    return tuple(one for one in cautions() if one.brief)


def typed(name: str) -> str:
    """A name as typed in a command."""
    return f'"{name}"' if " " in name else name


def next_step(job: Job, steps: Sequence[StepState], *, file: str, out: str) -> tuple[str, str]:
    """What comes next, and the command for it.

    Args:
        job: The results.
        steps: The state of each step.
        file: The plan's file as typed.
        out: The directory of the bundle; "" where none was written.
    """
    state = {one.name: one for one in steps}
    plan, again = typed(file), f" --out {typed(out)} --replace" if out else ""
    # What keeps the boat from sailing waits until she has her bulb.
    held = next((one for one in steps[:-1] if one.state in (State.STOPPED, State.HOLD)), None)
    if held is not None and held.name in ("bulb", "pattern"):
        return (
            f"Fix what {'stops' if job.stopped else 'holds'} it, then plan again",
            f"bulbcast plan {plan}{again}",
        )
    if not out:
        return (
            "Write the report, the templates and the files for a printer",
            f"bulbcast plan {plan} --out DIR",
        )
    if state["mould"].state is State.NOT_PLANNED and not job.withholding(Step.MELT):
        return "Make the pattern; then add [mould] to the plan, with these keys", "bulbcast keys mould"
    if held is not None:
        drying = next((one for one in held.reasons if one.code == "mould-not-dry"), None)
        if drying is not None and job.drying is not None:
            part = job.drying.parts[0].name
            first = f'bulbcast dry {plan} --just-set "{part}=MASS@TIME"'
            begun = job.drying.log is not None
            return (
                ("Weigh every part of the mould until it is dry", f"bulbcast dry {plan}")
                if begun
                else ("Make pattern and mould, and weigh each part of the mould when it has just set", first)
            )
        return "See what holds it and how to release it", f"bulbcast explain {held.reasons[0].code}"
    if state["melt"].state is State.NOT_PLANNED:
        return "Add [pot] and [burner] to the plan, with these keys", "bulbcast keys pot"
    return "Right before the pour, ask for the pour card", f"bulbcast pour {plan}"
