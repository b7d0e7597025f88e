"""The job sheet, which is the report's first screen and first printed page."""

from __future__ import annotations

import re
from collections.abc import Sequence

from bulbcast.job import Job
from bulbcast.job.sheet import Sheet, brief_cautions
from bulbcast.report.as_html import cards, picture
from bulbcast.report.chapter import Chapter, Picture
from bulbcast.report.findings_html import findings_section, verdict_box
from bulbcast.report.markup import paragraph, text
from bulbcast.report.steps import STATE_SIGNS, STEP_TITLES, State, StepState
from bulbcast.report.verdict import before_cautions, count_words
from bulbcast.safety import cautions

MOST_FIGURES = 6


def sheet_html(job: Job, sheet: Sheet, chapters: Sequence[Chapter]) -> str:
    """Return the job sheet as HTML: drawings, figures, what to fix, main cautions, what to buy, and one figure for each
    step.

    Args:
        job: The results.
        sheet: The job sheet.
        chapters: The job's chapters; drawings marked for the sheet are shown.
    """
    drawn = [
        picture(part)
        for chapter in chapters
        for part in chapter.parts
        if isinstance(part, Picture) and part.sheet
    ]
    warning = "These figures are only for finding the fault. Do not build from them."
    figures = (paragraph(warning, "stopped") if job.stopped else "") + cards(sheet.figures[:MOST_FIGURES])
    return (
        '<div id="sheet">\n'
        f"<h1>{text(job.plan.name)}: ballast bulb</h1>\n{verdict_box(job)}"
        f'<div class="first{" both" if len(drawn) > 1 else ""}"><div class="drawn">{"".join(drawn)}</div>\n'
        f'<div class="said">{figures}</div>\n{findings_section(job)}</div>\n'
        f'<div class="beneath">{_cautions()}{_work(job, sheet)}{_buying(job, sheet)}</div>\n</div>\n'
    )


def state_html(step: StepState) -> str:
    """Return the state of a step, shown by a word, a sign and a colour.

    Args:
        step: A step of the work.
    """
    return (
        f'<span class="state {step.style}"><span aria-hidden="true">{STATE_SIGNS[step.state]}</span> '
        f"{step.state.value}</span>"
    )


def section_names(missing: str) -> str:
    """Return the names of plan sections, such as "[pot] and [burner]", formatted as typed text.

    Args:
        missing: Names of the missing sections.
    """
    return " and ".join(f"<code>{text(one)}</code>" for one in missing.split(" and "))


def with_sections(words: str) -> str:
    """Return escaped text with the names of plan sections, such as "[mould]", formatted as typed text.

    Args:
        words: Plain text.
    """
    return re.sub(r"\[\w+\]", r"<code>\g<0></code>", text(words))


def held_by(job: Job, step: StepState) -> str:
    """Return the first finding that puts a step on hold, and the number of other such findings.

    Args:
        job: The results.
        step: A step that is on hold.
    """
    first, *others = step.reasons
    more = f" And {count_words(len(others), 'more finding', 'more findings')}." if others else ""
    return f"{before_cautions(job, first)[0]}{more}"


def _cautions() -> str:
    items = "".join(f"<li>{text(one.brief)}</li>" for one in brief_cautions())
    return (
        f'<section id="first-cautions"><h2>Before any lead is melted</h2>\n<ul>{items}</ul>\n'
        f'<p>Read <a href="#cautions">all {len(cautions())} safety cautions</a> first.</p></section>\n'
    )


def _buying(job: Job, sheet: Sheet) -> str:
    if job.stopped:
        body = paragraph("Buy nothing yet: a finding says stop.")
    elif sheet.buy:
        items = [
            f"<li>{text(one.label)}: <strong>{text(one.text)}</strong><span>{with_sections(one.remark)}</span></li>\n"
            for one in sheet.buy
        ]
        body = f"<ul>{''.join(items)}</ul>\n"
    else:
        body = paragraph("There is nothing to list yet.")
    return f'<section id="buying"><h2>To buy, rounded up</h2>\n{body}</section>\n'


def _work(job: Job, sheet: Sheet) -> str:
    """Return the steps, each with one figure or the reason why it is on hold, and what to do next."""
    items = []
    given: dict[tuple[tuple[str, str], ...], int] = {}
    for place, step in enumerate(sheet.steps, start=1):
        first = next(iter(sheet.heads[step.name]), None)
        if step.missing:
            number = f"add {section_names(step.missing)} to the plan"
            if step.name == "float" and job.plan.boat is None:
                number += " to place the bulb in the boat"
        elif step.reasons and not job.stopped:
            same = given.setdefault(tuple((one.code, one.where) for one in step.reasons), place)
            number = text(held_by(job, step)) if same == place else f"for the same reason as step {same}"
        elif step.name == "float" and step.state is State.HOLD and not job.stopped:
            number = "after the pour"
        elif first is None:
            number = ""
        else:
            number = f"{text(first.label)}: <strong>{text(first.brief or first.text)}</strong>"
            if step.name == "melt" and step.state is State.HOLD:
                number += "; wait until step 5 is ready"
        items.append(
            f'<li><a href="#step-{step.name}">{text(STEP_TITLES[step.name])}</a> {state_html(step)}'
            f'<span class="number">{number}</span></li>\n'
        )
    following = (
        f'<p class="next"><strong>Next:</strong> {with_sections(sheet.next_words)}: '
        f"<code>{text(sheet.next_command)}</code></p>"
    )
    return f'<section id="work"><h2>The work, step by step</h2>\n<ol>{"".join(items)}</ol>\n{following}</section>\n'
