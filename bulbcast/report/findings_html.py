"""The top of the report: the verdict, every finding, and the first glance's figures."""

from __future__ import annotations

from bulbcast.findings import SEVERITY_SIGNS, SEVERITY_WORDS, Finding
from bulbcast.report.markup import paragraph, section, text
from bulbcast.report.results import Results
from bulbcast.report.verdict import AFTER_CAUTIONS, before_cautions, in_full, verdict
from bulbcast.safety import caution


def verdict_box(job: Results) -> str:
    """The one thing to know first, and that lead is dangerous."""
    severity, headline, meaning = verdict(job)
    style = severity.value if severity is not None else "clear"
    sign = SEVERITY_SIGNS[severity] if severity is not None else "\u2713"
    return (
        f'<div class="verdict {style}" role="status"><span class="sign" aria-hidden="true">{sign}</span>'
        f"<div><strong>{text(headline)}</strong><p>{text(meaning)}</p></div></div>\n"
        f'<p class="lead-warning"><strong>Lead is poisonous, and molten lead burns.</strong> '
        f"{text(caution('water-and-lead').short)} "
        f'Read <a href="#cautions">all cautions</a> before any melting.</p>\n'
    )


def finding_item(finding: Finding, message: str, remedy: str, link: str = "") -> str:
    """One finding: badge, where, what, and how to fix it."""
    fix = f'<p class="fix"><span>Fix</span> {text(remedy)}</p>' if remedy else ""
    return (
        f'<li class="finding {finding.severity.value}">'
        f'<span class="badge"><span aria-hidden="true">{SEVERITY_SIGNS[finding.severity]}</span> '
        f"{SEVERITY_WORDS[finding.severity]}</span>"
        f'<div><p class="message">{text(message)}{link}</p>{fix}'
        f'<p class="where">{text(finding.where)} \u00b7 {text(finding.code)}</p></div></li>\n'
    )


def findings_section(job: Results) -> str:
    """Every finding, gravest first; those that tell figures of the melt by a pointer to it."""
    items = []
    full = in_full(job)
    for finding in job.findings:
        message, remedy = before_cautions(job, finding)
        link = f' <a href="#melt">{text(AFTER_CAUTIONS)}</a>' if finding in full else ""
        items.append(finding_item(finding, message, remedy, link))
    body = f'<ul class="findings">\n{"".join(items)}</ul>\n' if items else paragraph("No finding.")
    return section("findings", "Findings", body)


def melt_findings(job: Results, but: tuple[Finding, ...] = ()) -> str:
    """The findings of the melt in full; for after the cautions.

    Args:
        job: The results.
        but: Findings that are reported elsewhere.
    """
    full = in_full(job, but)
    if not full:
        return ""
    items = "".join(finding_item(finding, finding.message, finding.remedy) for finding in full)
    return f'<ul class="findings">\n{items}</ul>\n'
