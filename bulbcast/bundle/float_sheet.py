"""Page on a float test: the boat's attitude, the steps to take and the holes to drill. The page contains drawings and
text and loads nothing else."""

from __future__ import annotations

from collections.abc import Sequence

from bulbcast.afloat.chapter import verdict_words
from bulbcast.afloat.views import drill_view, marks_view
from bulbcast.afloat.what_to_do import what_to_do
from bulbcast.afloat.work import FloatResult
from bulbcast.drawing.layout import scale_words
from bulbcast.drawing.svg import drawing_css
from bulbcast.findings import Finding
from bulbcast.job.html import policy, report_css
from bulbcast.quantities.prose import imperial_first
from bulbcast.report.findings_html import findings_list
from bulbcast.report.markup import figure, paragraph, section, text
from bulbcast.safety import cautions
from bulbcast.sailing.results import SailingResults


def float_sheet(job: SailingResults, result: FloatResult, findings: Sequence[Finding]) -> str:
    """Make the page for a float test.

    Args:
        job: The results of the plan.
        result: Results of the test.
        findings: Findings on the test and on the boat.

    Returns:
        A self-contained HTML page.
    """
    shown, name, day = job.shown, text(job.plan.name), result.asked.when
    body = paragraph(verdict_words(result, shown), "verdict")
    if findings:
        body += section("findings", "What to fix", findings_list(findings))
    marks, drill = marks_view(job, result), drill_view(job, result)
    words = f"Readings at the marks. {scale_words(marks.scale)} if printed without fitting to the page."
    body += section("marks", "The boat as tested", figure(marks, words))
    acts = what_to_do(result, shown)
    if acts:
        items = "".join(f"<li>{text(one)}</li>" for one in acts)
        body += section("to-do", "How to bring the boat to her line", f"<ul>{items}</ul>\n")
    if drill is not None:
        said = "".join(f"<li>{text(one.short)}</li>" for one in cautions() if one.steps[0] == "cold-work")
        words = f"{drill.title}. {scale_words(drill.scale)} if printed without fitting to the page."
        body += section("drill", "Where to drill", f"<ul>{said}</ul>\n{figure(drill, words)}")
    if shown.units == "imperial":
        body = imperial_first(body)
    when = "" if day is None else f", {day:%Y-%m-%d}"
    style = report_css() + drawing_css()
    return (
        '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        f'<meta http-equiv="Content-Security-Policy" content="{policy(style, body)}">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        '<meta name="color-scheme" content="light dark">\n'
        f"<title>{name}: float test</title>\n<style>{style}</style>\n</head>\n<body>\n"
        f'<header><div class="head"><strong class="name">{name}</strong> '
        f"<span>Float test{text(when)}</span></div></header>\n"
        f"<main>\n{body}</main>\n</body>\n</html>\n"
    )
