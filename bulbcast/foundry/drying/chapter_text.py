"""What `bulbcast dry` says in the terminal."""

from __future__ import annotations

from bulbcast.foundry.drying.rules import when
from bulbcast.foundry.drying.words import NEVER_SURE, PART_HEADS, mix_words, part_rows, part_words, pour_words
from bulbcast.foundry.results import FoundryResults
from bulbcast.report.page import Page, finding_lines, printable


def drying_text(job: FoundryResults, *, log_name: str, added: int, colour: bool, width: int) -> str:
    """All that a builder needs to see of the drying.

    Args:
        job: With a plaster mould.
        log_name: Of the log's file.
        added: Readings that were just taken down.
        colour: Whether to colour it with ANSI codes.
        width: Of the terminal, in characters. [-]

    Returns:
        Lines of text.

    Raises:
        ValueError: The job has no mould that is dried.
    """
    state, shown = job.drying, job.shown
    if state is None:
        raise ValueError("the plan gives no plaster mould")
    page = Page(colour=colour, width=width)
    page.wrapped(f"{printable(job.plan.name)}: drying of the mould", code="1")
    if added:
        page.wrapped(f"{added} reading{'s' if added > 1 else ''} added to {printable(log_name)}.")
    page.line()
    page.wrapped(pour_words(state), code="1;32" if state.passed else "1;33")
    if state.moment is not None:
        page.wrapped(f"Judged at {when(state.moment)}.")
    page.heading("Parts")
    page.table([PART_HEADS, *part_rows(state, shown)], figures=(1, 2, 3, 4, 5))
    page.wrapped(mix_words(state, shown), first="  ", rest="  ")
    for part in state.parts:
        page.heading(f"{part.name[:1].upper()}{part.name[1:]}")
        for words in part_words(part, state, shown):
            page.wrapped(words, first="  ", rest="  ")
    other = [one for one in job.pour_withheld if one.subject != "drying log"]
    if other:
        page.heading("Other holds on the pour")
        for finding in other:
            kept = job.figures_withheld(finding)
            finding_lines(
                page, finding, finding.brief if kept else finding.message, "" if kept else finding.remedy
            )
    page.line()
    page.wrapped(NEVER_SURE)
    return page.text()
