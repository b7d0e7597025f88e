"""Output of `bulbcast ballast` as text and JSON: displacement, weights, the bulb's required mass and its position."""

from __future__ import annotations

from collections.abc import Sequence

from bulbcast import __version__
from bulbcast.afloat.chapter import RecordedTest, recorded_table
from bulbcast.ballast.chapter import ballast_chapter
from bulbcast.ballast.work import BoatJob
from bulbcast.quantities import give_or_take
from bulbcast.report.as_terminal import chapter_lines
from bulbcast.report.chapter import Chapter, joined_data
from bulbcast.report.page import Page, finding_lines, printable
from bulbcast.report.values import Json, finding_object, inputs_object
from bulbcast.sailing.chapter import judged, standing_chapter
from bulbcast.sailing.results import SailingResults


def ballast_object(job: SailingResults, boat: BoatJob) -> Json:
    """Return the output of `bulbcast ballast` as one JSON object.

    Args:
        job: The results.
        boat: The boat of the job.
    """
    return {
        "name": job.plan.name,
        **joined_data((ballast_chapter(job, boat), *_standing(job))),
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
    """Return the boat section of a plan as text.

    Args:
        job: The results.
        boat: The boat of the job.
        colour: Whether to colour the text with ANSI codes.
        width: Width of the terminal, in characters. [-]
        tests: Float tests recorded for the plan.
    """
    shown = job.shown
    page = Page(colour=colour, width=width, units=job.shown.units)
    page.wrapped(f"{printable(job.plan.name)}: ballast", code="1")
    page.line()
    where = "; its required position is not known yet."
    if boat.hung.wanted_x is not None:
        at = shown.length(boat.hung.wanted_x)
        where = f", with its mass centre {at} aft of the forward end of the waterline."
    weighs = give_or_take(shown.mass(boat.target_mass), shown.mass(boat.mass_spread))
    page.wrapped(f"The hung mass (bulb, screws and filling) must be {weighs}{where}")
    for finding in job.findings:
        if finding.subject == "boat":
            finding_lines(page, finding, finding.message, finding.remedy)
    on_record = recorded_table(tests, "Float tests on record", shown)
    chapter_lines(page, ballast_chapter(job, boat, between=(on_record,), judged_later=judged(job.standing)))
    for chapter in _standing(job):
        chapter_lines(page, chapter)
    return page.text()


def _standing(job: SailingResults) -> tuple[Chapter, ...]:
    """Return the chapters on righting arms and heel, if these were calculated."""
    return () if job.standing is None else (standing_chapter(job, job.standing),)
