"""`bulbcast ballast` on the terminal: what she displaces, what has been weighed, what the bulb must be and where."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from bulbcast.afloat.chapter_text import recorded_rows
from bulbcast.ballast.words import (
    NOT_AN_ASSESSMENT,
    next_rows,
    place_rows,
    remedies_of,
    target_rows,
    upright_rows,
    weigh_in_rows,
)
from bulbcast.quantities import give_or_take
from bulbcast.report.page import Page, finding_lines, printable
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


def ballast_text(job: SailingResults, *, colour: bool, width: int, tests: Sequence[RecordedTest] = ()) -> str:
    """The boat's side of a plan.

    Args:
        job: With a boat.
        colour: Whether to colour it with ANSI codes.
        width: Of the terminal, in characters. [-]
        tests: Float tests on record beside the plan.

    Raises:
        ValueError: The job has no boat.
    """
    boat = job.boat
    if boat is None:
        raise ValueError("the plan gives no boat")
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
    page.heading("Weigh-in")
    page.table(
        [("", "known how", "mass", "spread", "x", "z"), *weigh_in_rows(boat, shown)], figures=(2, 3, 4, 5)
    )
    if boat.next:
        page.heading("Weigh next, in this order")
        page.table(next_rows(boat, shown))
    page.heading("From displacement to bulb")
    page.table(target_rows(job, boat), figures=(1,))
    page.heading("Where it must hang")
    page.table(place_rows(job, boat), figures=(1,))
    told = remedies_of(job, boat)
    if told:
        page.line()
        page.line("  What would bring it into reach, each alone:")
        for one in told:
            page.wrapped(one, first="    - ", rest="      ")
    if tests:
        page.heading("Float tests on record")
        page.table(recorded_rows(tests, shown), figures=(1, 2))
    page.heading("Upright")
    page.table(upright_rows(job, boat), figures=(1,))
    page.wrapped(NOT_AN_ASSESSMENT, first="  ", rest="  ")
    for note in boat.start.hull.notes:
        page.wrapped(note, first="  ", rest="  ")
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
