"""The report's section on templates and turning."""

from __future__ import annotations

from bulbcast.drawing.pages import PAPERS
from bulbcast.pattern_shop.results import ShopResults
from bulbcast.pattern_shop.templates.collected import turning_texts
from bulbcast.pattern_shop.templates.surfaces import paper_of, parting_of
from bulbcast.pattern_shop.work import planned_shop
from bulbcast.quantities import joined
from bulbcast.report.markup import paragraph, section, table


def templates_section(job: ShopResults) -> str:
    """What the templates hold, and the turning table; withheld where a finding says stop.

    Args:
        job: The results.
    """
    if job.stopped:
        return section(
            "templates",
            "Templates and turning",
            paragraph("A finding says stop: no templates were written, and none are to be cut.", "stopped"),
        )
    turning = turning_texts(job)
    paper = PAPERS[paper_of(job.plan)].name
    parts = ["the fin's tip and its pocket"]
    if job.bulb.screw_cuts:
        parts.append("the drilling saddle with its drill list")
    if job.bulb.pin_cuts:
        parts.append("a card for the cross pins")
    if job.ribs is not None:
        parts.append("ribs and planforms")
    body = paragraph(
        f"templates.pdf holds on {paper} sheets, at full size: station templates of the pattern to carve to from "
        "inside and outside, outside ones of the finished bulb to fair by, nose and tail gauges, silhouettes with the "
        f"outline on the parting plane ({parting_of(planned_shop(job).plane, job.bulb.body)}), {joined(parts, 'and')}."
    )
    body += paragraph(
        "Print at actual size, never fitted to the page, and measure all four bars on a sheet before anything is cut. The "
        "same templates stand in template-*.dxf and template-*.svg in millimetres, on layers cut, engrave and reference, at "
        "true size: what beam or saw takes is set in the machine; turning.csv is the table below."
    )
    body += table(
        turning.heads,
        turning.rows,
        figures=tuple(range(1, len(turning.heads))),
        caption=turning.title,
        style="tight",
    )
    body += "".join(paragraph(note, "caption") for note in turning.notes)
    return section("templates", "Templates and turning", body)
