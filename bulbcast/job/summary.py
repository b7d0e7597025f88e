"""One-screen summary of a plan for the terminal: the state of each step, what to fix, the main figures, what to buy and
what to do next."""

from __future__ import annotations

from bulbcast.findings import SEVERITY_WORDS, Severity
from bulbcast.job import Job
from bulbcast.job.chapters import chapters
from bulbcast.job.sheet import Sheet, brief_cautions, sheet_of
from bulbcast.report.page import COLOURS, Page, printable
from bulbcast.report.steps import STATE_COLOURS
from bulbcast.report.verdict import count_words, in_full, verdict
from bulbcast.safety import cautions

_STEP_WIDTH = 12
MOST_FIGURES = 8
_MOST_IN_FULL = 3
"""If more findings than this need action, a caution shows only its fix."""


def summary_text(
    job: Job, *, colour: bool, width: int, file: str, out: str = "", others: int = 0, quiet: bool = False
) -> str:
    """Return a summary of a job on one screen.

    Args:
        job: The results.
        colour: Whether to colour the text with ANSI codes.
        width: Width of the terminal, in characters. [-]
        file: The plan file as typed.
        out: Directory of the bundle as typed; "" if none was written.
        others: Number of files in the bundle in addition to the report. [-]
        quiet: Whether to show only the verdict and the report's path.

    Returns:
        Lines of text, with no figure for the melt before the cautions.
    """
    page = Page(colour=colour, width=width, units=job.shown.units)
    sheet = sheet_of(job, list(chapters(job)), file=file, out=out)
    _steps(page, job, sheet)
    if not quiet:
        _acts(page, sheet)
        _figures(page, job, sheet)
        _cautions(page)
        _acts_of_melt(page, job, sheet)
        _buying(page, sheet)
    _next(page, sheet, out, others, quiet)
    return page.text()


def _steps(page: Page, job: Job, sheet: Sheet) -> None:
    severity, headline, _ = verdict(job)
    page.wrapped(f"{printable(job.plan.name)}: ballast bulb", code="1")
    page.wrapped(headline, code=COLOURS[severity] if severity is not None else "")
    page.line()
    page.line("  " + "".join(one.name.ljust(_STEP_WIDTH) for one in sheet.steps).rstrip())
    states = [page.paint(one.state.value.ljust(_STEP_WIDTH), STATE_COLOURS[one.state]) for one in sheet.steps]
    page.line("  " + "".join(states).rstrip())


def _acts(page: Page, sheet: Sheet) -> None:
    short = False
    for act in sheet.acts:
        full = act.finding.severity in (Severity.STOP, Severity.HOLD) or len(sheet.acts) <= _MOST_IN_FULL
        if full or not short:
            page.line()
        short = not full
        word = page.paint(SEVERITY_WORDS[act.finding.severity].upper(), COLOURS[act.finding.severity])
        page.line(f"{word}  {', '.join(act.where)}  ({act.finding.code})")
        page.wrapped(act.message if full or not act.remedy else act.remedy, first="  ", rest="  ")
        if full and act.remedy:
            page.wrapped(f"Fix: {act.remedy}", first="  ", rest="  ")


def _figures(page: Page, job: Job, sheet: Sheet) -> None:
    page.heading("Figures" if not job.stopped else "Figures for fault-finding only; do not build from them")
    page.pairs([(line.label, line.text) for line in sheet.figures[:MOST_FIGURES]])


def _cautions(page: Page) -> None:
    page.heading(f"Before any lead is melted (all {len(cautions())} cautions: see the report or --full)")
    for one in brief_cautions():
        page.wrapped(one.brief, first="  - ", rest="    ")


def _acts_of_melt(page: Page, job: Job, sheet: Sheet) -> None:
    """Show the fixes for holds on the melt. Their figures may appear only after the cautions."""
    here = {act.finding.code for act in sheet.acts}
    for one in in_full(job):
        if one.code in here and one.severity is Severity.HOLD:
            page.wrapped(f"Fix for {one.code}: {one.remedy}", rest="  ")


def _buying(page: Page, sheet: Sheet) -> None:
    if sheet.buy:
        said = "; ".join(f"{line.label}: {line.text}" for line in sheet.buy)
        page.line()
        page.wrapped(f"To buy, rounded up: {said}.", rest="  ")


def _next(page: Page, sheet: Sheet, out: str, others: int, quiet: bool) -> None:
    page.line()
    if not quiet:
        page.wrapped(f"Next: {sheet.next_words}:", code="1")
        page.line(f"  {sheet.next_command}")
    notes = "" if quiet or not sheet.notes else f"; {count_words(sheet.notes, 'note', 'notes')} with --full"
    if out:
        page.line(f"Report: {out}/report.html, and {others} more files{notes}")
    else:
        page.line(f"Nothing was written{notes}.")
