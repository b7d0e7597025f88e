"""What `bulbcast pour` says in the terminal: the card for the day, or every reason why there is none."""

from __future__ import annotations

from datetime import datetime

from bulbcast.foundry.drying.rules import when
from bulbcast.foundry.pour.words import STOP_RULES, UPPER_BOUND, pour_rows
from bulbcast.foundry.results import FoundryResults
from bulbcast.report.page import COLOURS, Page, finding_lines, printable
from bulbcast.safety import caution

BESIDE_THE_POUR = ("water-and-lead", "fume-and-dust", "pot", "hot-mould")
"""Codes of the cautions that stand on the card itself."""


def pour_text(job: FoundryResults, *, moment: datetime, colour: bool, width: int) -> str:
    """The pour card, or what withholds it and the next thing to do.

    Args:
        job: Judged at that moment, its pattern's pieces measured.
        moment: At which it was judged.
        colour: Whether to colour it with ANSI codes.
        width: Of the terminal, in characters. [-]

    Returns:
        Lines of text.
    """
    page = Page(colour=colour, width=width)
    page.wrapped(f"{printable(job.plan.name)}: the pour, judged at {when(moment)}", code="1")
    page.line()
    withheld = job.pour_withheld
    if withheld:
        page.wrapped("Do not pour: there is no pour card.", code=COLOURS[withheld[0].severity])
        # What is graver comes first; a mould is looked at before metal is bought for it.
        for finding in withheld:
            if job.figures_withheld(finding):
                finding_lines(page, finding, finding.brief, "")
            else:
                finding_lines(page, finding, finding.message, finding.remedy)
        page.line()
        # A fix that bears withheld figures comes after what withholds them.
        first = next(one for one in withheld if not job.figures_withheld(one))
        page.wrapped(f"Next: {first.remedy}", code="1")
        return page.text()
    page.wrapped("Nothing that was typed in withholds the pour.", code="1;32")
    if job.melting is not None:
        page.heading("Pour card")
        page.table(pour_rows(job, job.melting), figures=(1,))
        page.wrapped(UPPER_BOUND, first="  ", rest="  ")
    page.heading("When to stop")
    for rule in STOP_RULES:
        page.wrapped(rule, first="  - ", rest="    ")
    page.heading("Before the burner is lit")
    for code in BESIDE_THE_POUR:
        page.wrapped(caution(code).short, first="  - ", rest="    ")
    page.wrapped(
        "Nobody can see that a mould is dry. Local rules, makers' instructions and licensed practice come before this card.",
        first="  ",
        rest="  ",
    )
    return page.text()
