"""The same results as a compact table for the terminal."""

from __future__ import annotations

from collections.abc import Sequence

from bulbcast.findings import SEVERITY_WORDS
from bulbcast.foundry.melt.words import melt_rows
from bulbcast.foundry.pour.words import card_words, withheld_words
from bulbcast.job import Job
from bulbcast.job.chapters import chapters
from bulbcast.report.as_terminal import chapter_lines
from bulbcast.report.page import COLOURS, Page, finding_lines, printable
from bulbcast.report.verdict import AFTER_CAUTIONS, before_cautions, in_full, verdict
from bulbcast.safety import cautions, steps


def terminal_text(job: Job, *, colour: bool, width: int, written: Sequence[str] = ()) -> str:
    """All that a builder needs to see at once.

    Args:
        job: The results.
        colour: Whether to colour it with ANSI codes.
        width: Of the terminal, in characters. [-]
        written: Names of the files that were written, told last; none are told where it is empty.

    Returns:
        Lines of text: verdict, findings gravest first, key figures, ledgers, the cautions for lead, and only
        then the melt.
    """
    page = Page(colour=colour, width=width)
    _verdict(page, job)
    full = in_full(job)
    for finding in job.findings:
        message, remedy = before_cautions(job, finding)
        finding_lines(page, finding, f"{message} {AFTER_CAUTIONS}" if finding in full else message, remedy)
    for chapter in chapters(job):
        if chapter.only != "report":
            chapter_lines(page, chapter)
    if written:
        page.heading("Written")
        page.wrapped(", ".join(written), first="  ", rest="  ")
    return page.text()


def _verdict(page: Page, job: Job) -> None:
    severity, headline, meaning = verdict(job)
    page.wrapped(f"{printable(job.plan.name)}: ballast bulb", code="1")
    page.line()
    page.wrapped(headline, code=COLOURS[severity] if severity is not None else "1;32")
    page.wrapped(meaning)


def gating_lines(page: Page, job: Job) -> None:
    if job.melting is not None and job.melting.gating is not None:
        from bulbcast.foundry.melt.words import gating_rows

        page.heading("Gating")
        page.table(gating_rows(job, job.melting.gating), figures=(1,))


def caution_lines(page: Page) -> None:
    for step in steps():
        told = [one for one in cautions() if one.steps[0] == step.name]
        if not told:
            continue
        page.line(f"  {step.title}")
        for one in told:
            page.wrapped(one.short, first="    - ", rest="      ")


def melt_lines(page: Page, job: Job) -> None:
    withheld, shown = job.pour_withheld, job.shown
    if withheld:
        page.wrapped(withheld_words(job), first="  ", rest="  ", code=COLOURS[withheld[0].severity])
        for finding in withheld:
            words = finding.brief if job.figures_withheld(finding) else f"{finding.message} {finding.remedy}"
            page.wrapped(words, first="  ", rest="  ")
    for finding in in_full(job, withheld):
        page.wrapped(
            f"{SEVERITY_WORDS[finding.severity]}: {finding.message} {finding.remedy}", first="  ", rest="  "
        )
    if not job.melt_withheld:
        page.table(
            [
                (name, shown.mass(mass), shown.other.mass(mass), remark)
                for name, mass, remark in melt_rows(job)
            ],
            figures=(1, 2),
        )
    if job.melting is not None and not job.melt_withheld:
        from bulbcast.foundry.melt.words import blend_rows, pot_rows

        for title, rows in (
            ("Scrap", blend_rows(job, job.melting)),
            ("Pot and burner", pot_rows(job, job.melting)),
        ):
            if rows:
                page.heading(title)
                page.table(rows, figures=(1,))
    page.wrapped(card_words(job), first="  ", rest="  ")
    if not job.stopped:
        page.wrapped(
            f"File off {shown.mass(job.cast.finish_mass)} of the casting: weigh until it is gone.",
            first="  ",
            rest="  ",
        )
