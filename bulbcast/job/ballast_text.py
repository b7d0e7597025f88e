"""`bulbcast ballast`: what she displaces, what has been weighed, what the bulb must be and where, as text and as JSON."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from bulbcast import __version__
from bulbcast.afloat.chapter_text import recorded_rows
from bulbcast.ballast.chapter import ballast_chapter
from bulbcast.ballast.work import BoatJob
from bulbcast.quantities import give_or_take
from bulbcast.report.as_terminal import chapter_lines
from bulbcast.report.chapter import Chapter, Data, Table, joined_data
from bulbcast.report.page import Page, finding_lines, printable
from bulbcast.report.values import Json, finding_object, inputs_object
from bulbcast.sailing.chapter_json import standing_object
from bulbcast.sailing.results import SailingResults
from bulbcast.sailing.words import (
    ARM_HEADS,
    CAVEAT,
    LEEWAY_CAVEAT,
    NOT_TRADED,
    SMALL_ANGLES,
    arm_rows,
    leeway_rows,
    scale_heads,
    scale_needs,
    scale_rows,
    stability_rows,
    trade_grid,
    trade_words,
    wind_rows,
)

if TYPE_CHECKING:
    from bulbcast.afloat.record import RecordedTest


def ballast_object(job: SailingResults, boat: BoatJob) -> Json:
    """What `bulbcast ballast` says as one JSON object.

    Args:
        job: The results.
        boat: Its boat.
    """
    standing = Chapter(name="standing", at="boat", parts=(Data(values=standing_object(job.standing)),))
    return {
        "name": job.plan.name,
        **joined_data((ballast_chapter(job, boat), standing)),
        "findings": [finding_object(finding) for finding in job.findings if finding.subject == "boat"],
        "meta": {
            "format": "bulbcast ballast",
            "version": __version__,
            "plan_sha256": job.plan.sha256,
            "inputs": inputs_object(job),
        },
    }


def ballast_text(
    job: SailingResults, boat: BoatJob, *, colour: bool, width: int, tests: Sequence[RecordedTest] = ()
) -> str:
    """The boat's side of a plan.

    Args:
        job: The results.
        boat: Its boat.
        colour: Whether to colour it with ANSI codes.
        width: Of the terminal, in characters. [-]
        tests: Float tests on record beside the plan.
    """
    shown = job.shown
    page = Page(colour=colour, width=width)
    page.wrapped(f"{printable(job.plan.name)}: ballast", code="1")
    page.line()
    page.wrapped(
        f"The bulb must weigh {give_or_take(shown.mass(boat.target_mass), shown.mass(boat.mass_spread))}, as it hangs, "
        f"with its mass centre {shown.length(boat.hung.wanted_x)} aft of the "
        "forward end of her waterline."
    )
    for finding in job.findings:
        if finding.subject == "boat":
            finding_lines(page, finding, finding.message, finding.remedy)
    on_record = Table(
        rows=recorded_rows(tests, shown) if tests else (),
        figures=(1, 2),
        heading="Float tests on record",
        only="terminal",
    )
    chapter_lines(page, ballast_chapter(job, boat, between=(on_record,)))
    _standing(page, job)
    return page.text()


def _standing(page: Page, job: SailingResults) -> None:
    """Righting arms, and heel and leeway where there is a rig."""
    standing, shown = job.standing, job.shown
    if standing is None:
        return
    if standing.curve is not None:
        page.heading(f"Righting arms, heeled to {standing.side}")
        page.table(stability_rows(standing, shown), figures=(1,))
        page.line()
        page.table([ARM_HEADS, *arm_rows(standing, shown, 15)], figures=(0, 1, 2, 3, 4))
        page.wrapped(CAVEAT, first="  ", rest="  ")
    elif job.plan.rig is not None:
        page.heading("Righting arms")
        page.wrapped(standing.curve_missing, first="  ", rest="  ")
    sailing = standing.sailing
    if sailing is None:
        if standing.sailing_missing:
            page.wrapped(standing.sailing_missing, first="  ", rest="  ")
        return
    page.heading("Heel under wind")
    page.table(wind_rows(sailing, shown), figures=(1,))
    page.wrapped(CAVEAT if sailing.by_curve else f"{SMALL_ANGLES} {CAVEAT}", first="  ", rest="  ")
    page.heading("Side force and leeway")
    page.table(leeway_rows(sailing, shown), figures=(1,))
    page.wrapped(LEEWAY_CAVEAT, first="  ", rest="  ")
    if sailing.scale is not None:
        page.heading("The same boat at another size")
        page.table([scale_heads(sailing), *scale_rows(sailing, shown)], figures=(1, 2, 3))
        page.wrapped(scale_needs(sailing, shown), first="  ", rest="  ")
    if standing.trade is None:
        page.wrapped(NOT_TRADED, first="  ", rest="  ")
    if standing.trade is not None:
        page.heading("Deeper or heavier: the wind that heels her 30 degrees")
        page.table(trade_grid(standing.trade, shown), figures=tuple(range(1, 1 + len(standing.trade.masses))))
        for told in trade_words(standing.trade, shown):
            page.wrapped(told, first="  ", rest="  ")
        page.wrapped(CAVEAT, first="  ", rest="  ")
