"""Report chapter with the drawings of the bulb."""

from __future__ import annotations

from functools import cache

from bulbcast.bulb.results import BulbResults
from bulbcast.bulb.views.cross_sections import cross_sections
from bulbcast.bulb.views.fairness import fairness
from bulbcast.bulb.views.legend import legend
from bulbcast.bulb.views.plan_view import fin_plan, plan_view
from bulbcast.bulb.views.side_view import shown_screws, side_view
from bulbcast.drawing.shapes import View
from bulbcast.report.chapter import Chapter, Markup, Part, Picture, Words
from bulbcast.report.markup import figure


def drawings(job: BulbResults) -> Chapter:
    """All drawings with their legend.

    Args:
        job: The results for the bulb.
    """

    @cache
    def side() -> View:
        return side_view(job)

    def sections() -> str:
        pair = "".join(figure(view) for view in cross_sections(job))
        return f'<div class="pair">\n{pair}</div>\n'

    left_out = len(job.bulb.screw_cuts) - len(shown_screws(job))
    few = f"Screws too far from the bulb to be drawn: {left_out}."
    skin = " Dashed outline: the skin, not to scale." if job.bulb.skin > 0.0 else ""
    parts: list[Part] = [
        Picture(draw=lambda: legend(job), narrow=lambda: legend(job, narrow=True)),
        Picture(
            draw=side,
            sheet=True,
            caption=f"{{title}}; cut along the centreplane. Fastenings and the elastic axis are dimensioned from the "
            f"tip's leading edge{'' if job.bulb.through else ' along the pocket floor, and the pocket from the crown'}."
            f"{skin} {{scale}}.",
        ),
        Picture(
            draw=lambda: plan_view(job, beneath=side()),
            caption="{title}. Letters and numbers name the sections below, seen from aft and all to the same "
            "scale. {scale}.",
        ),
        *([Words(text=few, style="remarks", only="report")] if left_out else []),
        Markup(html=sections),
        Picture(
            draw=lambda: fin_plan(job),
            caption="{title}; distances are from the leading edge. {scale}.",
        ),
        Picture(
            draw=lambda: fairness(job),
            folded=True,
            caption="Does it look fair? The curve of areas rises and falls without a bump, and its slope has no step.",
        ),
    ]
    return Chapter(name="drawings", title="Drawings", step="bulb", parts=parts)
