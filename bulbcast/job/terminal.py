"""Writes the full results as text for the terminal."""

from __future__ import annotations

from collections.abc import Sequence

from bulbcast.job import Job
from bulbcast.job.chapters import chapters
from bulbcast.report.as_terminal import chapter_lines
from bulbcast.report.page import COLOURS, Page, finding_lines, printable
from bulbcast.report.verdict import AFTER_CAUTIONS, before_cautions, in_full, verdict


def terminal_text(job: Job, *, colour: bool, width: int, written: Sequence[str] = ()) -> str:
    """Return all the results as text for the terminal.

    Args:
        job: The results.
        colour: Whether to colour the text with ANSI codes.
        width: Width of the terminal, in characters. [-]
        written: Names of the files written, listed last; empty for none.

    Returns:
        Lines of text: the verdict, the findings with the most serious first, key figures, ledgers, cautions for lead,
            and then the melt.
    """
    page = Page(colour=colour, width=width, units=job.shown.units)
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
