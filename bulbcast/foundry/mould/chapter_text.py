"""The way without melting on the terminal, in short."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bulbcast.foundry.resin.chapter_html import casting_rows, compared_rows
from bulbcast.foundry.results import FoundryResults

if TYPE_CHECKING:
    from bulbcast.report.page import Page


def resin_lines(page: Page, job: FoundryResults) -> None:
    """Put the comparison with shot in resin on the page; nothing where the plan does not ask.

    Args:
        page: To write on.
        job: The results.
    """
    if job.resin is None:
        return
    page.heading("Without melting: lead shot in resin")
    page.table(
        [("", "lead, poured hot", "shot in resin", "ratio"), *compared_rows(job.resin, job.shown)],
        figures=(1, 2, 3),
    )
    page.table(casting_rows(job, job.resin), figures=(1,))
