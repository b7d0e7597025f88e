"""Job sheet that answers a builder's first questions: the state of each step, what to fix, a few main figures, what to
buy and what to do next.

It only collects information: figures and purchases come from the chapters, and everything else comes from the findings.
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
    """Something that needs action: one finding, or a group of findings with the same fix.

    Attributes:
        finding: The first finding of the group.
        where: The keys or parts of the plan concerned.
        message: Message of the finding, without figures for the melt.
        remedy: How to fix it; "" if the fix is given with the melt.
    """

    finding: Finding
    where: tuple[str, ...]
    message: str
    remedy: str


@frozen
class Sheet:
    """Contents of the job sheet.

    Attributes:
        steps: The steps in the order of the work.
        acts: Findings that need action, most serious first.
        notes: Number of notes, which do not need action.
        figures: Main figures, shown at the top.
        heads: Main figures of each step.
        buy: What to buy, with the amounts rounded up; empty if a finding says stop.
        next_words: What to do next.
        next_command: Command for the next step; "" if there is none.
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
    """Return the job sheet.

    Args:
        job: The results.
        chapters: Its chapters.
        file: Plan file, as typed; "" uses the name in the plan.
        out: Bundle directory, as typed; "" if none was written.
    """
    steps = step_states(job)
    lines = [line for chapter in chapters for line in lines_of(chapter)]
    heads = {
        # A figure with special text for the sheet comes first.
        one.name: tuple(
            sorted((line for line in lines if line.step == one.name), key=lambda line: not line.brief)
        )[:MOST_AT_A_STEP]
        for one in steps
    }
    # Metal and fuel come first.
    parts = [part for chapter in reversed(chapters) for part in chapter.parts]
    buy = [line for part in parts if isinstance(part, ToBuy) for line in part.lines]
    if job.plan.mould is None:
        buy.append(Line("Mould", "not planned yet", "add [mould] to the plan for plaster or sand"))
    if job.plan.pot is None and not job.withholding(Step.MELT):
        buy.append(
            Line("Pot and burner", "not planned yet", "add [pot] and [burner] to the plan; buy a thermometer")
        )
    buy.append(Line("Safety gear", "see the cautions", "face shield, respirator, gauntlets, apron, boots"))
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
    """Return the short list of cautions, for use if there is no room for all of them."""
    return tuple(one for one in cautions() if one.brief)


def typed(name: str) -> str:
    """Return a file name as typed in a command, quoted if it contains spaces."""
    return f'"{name}"' if " " in name else name


def next_step(job: Job, steps: Sequence[StepState], *, file: str, out: str) -> tuple[str, str]:
    """Return what to do next, and the command for it.

    Args:
        job: The results.
        steps: The state of each step.
        file: The plan file as typed.
        out: Directory of the bundle; "" if none was written.
    """
    state = {one.name: one for one in steps}
    plan, again = typed(file), f" --out {typed(out)} --replace" if out else ""
    # A hold on sailing can wait until the boat has its bulb.
    held = next((one for one in steps[:-1] if one.reasons and one.state in (State.STOPPED, State.HOLD)), None)
    if held is not None and held.name in ("bulb", "pattern"):
        return (
            f"Fix the findings that {'stop' if job.stopped else 'hold'} the work, then run the plan again",
            f"bulbcast plan {plan}{again}",
        )
    if not out:
        return (
            "Write the report, the templates and the files for a 3-D printer",
            f"bulbcast plan {plan} --out DIR",
        )
    if state["mould"].state is State.NOT_PLANNED and not job.withholding(Step.MELT):
        add = f"Make the pattern, then add [mould] to the plan, {plan}, and run it again"
        return f"{add}. To see what goes in [mould], type", "bulbcast keys mould"
    if held is not None:
        drying = next((one for one in held.reasons if one.code == "mould-not-dry"), None)
        if drying is not None and job.drying is not None:
            part = job.drying.parts[0]
            first = f'bulbcast dry {plan} --just-set "{part.name}=MASS"'
            begun = job.drying.log is not None
            return (
                ("Weigh every part of the mould until it is dry", f"bulbcast dry {plan}")
                if begun
                else (
                    "Make the pattern and the mould. As soon as a part of the mould has set, weigh it and type its "
                    f"mass; the {part.name} should weigh about {job.shown.workshop.mass(part.computed)}",
                    first,
                )
            )
        return "See what is on hold and how to release it", f"bulbcast explain {held.reasons[0].code}"
    if state["melt"].state is State.NOT_PLANNED:
        add = f"Add [pot] and [burner] to the plan, {plan}, and run it again"
        return f"{add}. To see what goes in [pot], type", "bulbcast keys pot"
    return "Just before the pour, get the pour card", f"bulbcast pour {plan}"
