"""Converts the verdict and all the findings to HTML."""

from __future__ import annotations

from collections.abc import Sequence

from bulbcast.findings import SEVERITY_SIGNS, SEVERITY_WORDS, Finding, Severity
from bulbcast.report.markup import folded, paragraph, section, text
from bulbcast.report.results import Results
from bulbcast.report.verdict import AFTER_CAUTIONS, before_cautions, count_words, in_full, verdict


def verdict_box(job: Results) -> str:
    """Return the verdict box at the top of the report."""
    severity, headline, meaning = verdict(job)
    style, sign = "clear", "\u2713"
    if severity is not None:
        style, sign = severity.value, SEVERITY_SIGNS[severity]
    elif job.plan.mould is None:
        # If the casting is not planned, it has not been checked.
        style, sign = "note", "\u25cb"
    return (
        f'<div class="verdict {style}" role="status"><span class="sign" aria-hidden="true">{sign}</span>'
        f"<div><strong>{text(headline)}</strong><p>{text(meaning)}</p></div></div>\n"
    )


def finding_item(finding: Finding, message: str, remedy: str, link: str = "") -> str:
    """Return one finding as HTML: badge, key or part concerned, message and fix."""
    fix = f'<p class="fix"><span>Fix</span> {text(remedy)}</p>' if remedy else ""
    return (
        f'<li class="finding {finding.severity.value}">'
        f'<span class="badge"><span aria-hidden="true">{SEVERITY_SIGNS[finding.severity]}</span> '
        f"{SEVERITY_WORDS[finding.severity]}</span>"
        f'<div><p class="message">{text(message)}{link}</p>{fix}'
        f'<p class="where">{text(finding.where)} \u00b7 {text(finding.code)}</p></div></li>\n'
    )


def findings_section(job: Results) -> str:
    """Return the findings that need action, most serious first, followed by the notes, which are folded. A finding with
    figures for the melt links to the melt."""
    acts: list[str] = []
    notes: list[str] = []
    full = in_full(job)
    for finding in job.findings:
        message, remedy = before_cautions(job, finding)
        link = f' <a href="#melt">{text(AFTER_CAUTIONS)}</a>' if finding in full else ""
        some = notes if finding.severity is Severity.NOTE else acts
        some.append(finding_item(finding, message, remedy, link))
    body = _list(acts) if acts else paragraph("Nothing." if notes else "No findings.")
    if notes:
        body += folded(f"Good to know: {count_words(len(notes), 'note', 'notes')}", _list(notes))
    return section("findings", "What to fix", body)


def findings_list(findings: Sequence[Finding]) -> str:
    """Return the given findings in full, in their order."""
    return _list([finding_item(finding, finding.message, finding.remedy) for finding in findings])


def _list(items: list[str]) -> str:
    return f'<ul class="findings">\n{"".join(items)}</ul>\n'


def melt_findings(job: Results, but: tuple[Finding, ...] = ()) -> str:
    """Return the findings on the melt in full, for use after the cautions.

    Args:
        job: The results.
        but: Findings to omit, because they are reported elsewhere.
    """
    full = in_full(job, but)
    return findings_list(full) if full else ""
