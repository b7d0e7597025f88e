"""Gating and melt list in the report; what is on hold is withheld by the section that calls."""

from __future__ import annotations

from bulbcast.drawing.layout import scale_words
from bulbcast.foundry.gating.design import Gating
from bulbcast.foundry.gating.view import gating_view
from bulbcast.foundry.melt.view import stock_and_pot_view
from bulbcast.foundry.melt.words import (
    blend_rows,
    gating_rows,
    pot_rows,
    scrap_rows,
)
from bulbcast.foundry.results import FoundryResults
from bulbcast.report.markup import figure, paragraph, section, table, text

_LOT_HEADS = ("lot", "gross", "yield", "take", "sorted out", "clean", "left", "density")


def gating_section(job: FoundryResults) -> str:
    """Where the metal goes in and out, and what holds the mould; empty without a mould.

    Args:
        job: The results.
    """
    gating = None if job.melting is None else job.melting.gating
    view = gating_view(job)
    if gating is None or view is None:
        return ""
    words = (
        f"{view.title}. {scale_words(view.scale)} when printed without fitting to the page.{_read_as(gating)}"
    )
    body = figure(view, words) + table(("", "", ""), gating_rows(job, gating), figures=(1,))
    body += paragraph(
        "Forces are those of metal at rest, on the shadow of the true cavity; the openings are not taken off. The "
        "riser is one that is left alone: kept liquid with a torch and topped up, a smaller one will do.",
        "caption",
    )
    return section("gating", "Gating: the way in and out of the metal", body)


def _read_as(gating: Gating) -> str:
    """How the section's lines are read, by how the mould parts."""
    cavity = gating.cavity
    told = " Plain grey: the metal, up to its level when the mould is full."
    if cavity.parting == "vertical":
        told += " The cut lies in the parting, so one part's face is seen; rounds: its keys."
    elif not cavity.open_above:
        told += " The line from the block's sides to the cavity is the parting; dashed: keys beside the cut."
    if gating.sprue is not None:
        told += " The sprue is drawn in the plane of the section."
    return told


def melt_list(job: FoundryResults) -> str:
    """Scrap, pot and burner; empty where the plan gives none of them.

    Args:
        job: Whose melt nothing withholds.
    """
    melting = job.melting
    if melting is None:
        return ""
    body = ""
    view = stock_and_pot_view(job)
    if view is not None:
        body += figure(view)
    if melting.stock is not None:
        body += _head("Scrap, in the order in which it is melted") + table(
            _LOT_HEADS,
            scrap_rows(job, melting),
            figures=tuple(range(1, 8)),
            total=True,
            style="tight",
        )
        body += _head("What the scrap comes to") + table(("", "", ""), blend_rows(job, melting), figures=(1,))
    rows = pot_rows(job, melting)
    if rows:
        body += _head("Pot and burner") + table(("", "", ""), rows, figures=(1,))
    return body


def _head(words: str) -> str:
    return f"<h3>{text(words)}</h3>\n"
