"""report.html: one self-contained page, the same bytes for the same Job."""

from __future__ import annotations

from functools import cache

from bulbcast.drawing.svg import drawing_css
from bulbcast.job import Job
from bulbcast.job.chapters import chapters
from bulbcast.job.solid import ViewMesh as ViewMesh
from bulbcast.pattern_shop.pieces.picture import PiecesPicture
from bulbcast.quantities.prose import imperial_first
from bulbcast.report.as_html import chapter_html
from bulbcast.report.findings_html import findings_section, verdict_box
from bulbcast.report.markup import text


@cache
def report_css() -> str:
    """The page's style sheet."""
    from importlib.resources import files

    return files("bulbcast.report").joinpath("report.css").read_text(encoding="utf-8")


def report_html(job: Job, view_mesh: ViewMesh | None, pieces: PiecesPicture | None = None) -> str:
    """The whole report.

    Args:
        job: The results.
        view_mesh: The cut solid in few facets; None leaves the 3-D picture out.
        pieces: Outlines of the pattern's pieces; None leaves their pictures out.

    Returns:
        An HTML page that needs nothing but itself. Where a finding says stop it says so first; what is on hold
        is withheld with its reason; cautions stand before any figure of the melt.
    """
    name = text(job.plan.name)
    said = [(one, chapter_html(one)) for one in chapters(job, view_mesh, pieces)]
    body = verdict_box(job) + findings_section(job) + "".join(html for _, html in said)
    # What a plan does not have is not in the table of contents either.
    contents = [("findings", "Findings"), *((one.name, one.heading) for one, _ in said if one.heading)]
    links = "".join(
        f'<a href="#{place}">{text(words)}</a>' for place, words in contents if f' id="{place}"' in body
    )
    if job.shown.units == "imperial":
        body = imperial_first(body)
    return (
        '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f"<title>{name}: ballast bulb</title>\n<style>\n{report_css()}{drawing_css()}</style>\n</head>\n<body>\n"
        f'<header><p class="kind">Ballast bulb</p><h1>{name}</h1>'
        f'<nav aria-label="Contents">{links}</nav></header>\n<main>\n{body}</main>\n</body>\n</html>\n'
    )
