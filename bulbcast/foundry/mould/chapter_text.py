"""The mould, its drying and the way without melting on the terminal, in short."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bulbcast.foundry.drying.words import PART_HEADS, part_rows, pour_words
from bulbcast.foundry.resin.chapter_html import casting_rows, compared_rows
from bulbcast.foundry.results import FoundryResults

if TYPE_CHECKING:
    from bulbcast.report.page import Page


def mould_lines(page: Page, job: FoundryResults) -> None:
    """Put the mould on the page; nothing where the plan gives none.

    Args:
        page: To write on.
        job: The results.
    """
    design, shown = job.mould, job.shown
    if design is None:
        return
    block = design.block
    page.heading("Mould")
    page.wrapped(
        f"{design.material}, {design.kind}, {design.orientation}, parting {design.parting}; block "
        f"{shown.length(block.length)} long, {shown.length(block.width)} wide, {shown.length(block.height)} high as poured; "
        f"{'one pour' if design.pours == 1 else f'{design.pours} pours'} of {shown.mass(design.piece_mass)} of casting.",
        first="  ",
        rest="  ",
    )
    if design.mix is None:
        page.table(
            [(part.name, shown.mass(part.just_set), "sand, rammed") for part in design.parts], figures=(1,)
        )
        return
    heads = ("part", "just set", "dried in air", "baked", "plaster", "water", "buckets")
    rows = [
        (
            part.name,
            shown.mass(part.just_set),
            shown.mass(part.dry_in_air or 0.0),
            shown.mass(part.baked or 0.0),
            shown.mass(part.batch.count * part.batch.plaster),
            shown.mass(part.batch.count * part.batch.water),
            f"{part.batch.count}",
        )
        for part in design.parts
        if part.batch is not None
    ]
    page.table([heads, *rows], figures=(1, 2, 3, 4, 5, 6))
    if job.drying is not None and job.drying.log is not None:
        page.heading("Drying, as the log stands")
        page.wrapped(pour_words(job.drying), first="  ", rest="  ")
        page.table([PART_HEADS, *part_rows(job.drying, shown)], figures=(1, 2, 3, 4, 5))


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
