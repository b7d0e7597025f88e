"""The figures of the first glance as cards."""

from __future__ import annotations

from bulbcast.job import Job
from bulbcast.job.words import key_figures
from bulbcast.report.markup import paragraph, section, text


def key_section(job: Job) -> str:
    """The figures of the first glance, in both systems of units."""
    cards = "".join(
        f'<div class="key"><dt>{text(one.name)}</dt><dd><span class="value">{text(one.value)}</span>'
        f'<span class="other">{text(one.other)}</span><span class="remark">{text(one.remark)}</span></dd></div>\n'
        for one in key_figures(job)
    )
    body = f'<dl class="keys">\n{cards}</dl>\n'
    if job.stopped:
        body = paragraph("As the figures came out; not to be built from.", "stopped") + body
    return section("figures", "Key figures", body)
