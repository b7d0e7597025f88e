"""The verdict on the findings, and the text of findings that are listed before the cautions."""

from __future__ import annotations

from bulbcast.findings import Finding, Severity, Step
from bulbcast.report.results import Results

AFTER_CAUTIONS = "Its figures are given with the melt, after the cautions for lead."


def before_cautions(job: Results, finding: Finding) -> tuple[str, str]:
    """Return a finding's text without its figures for the melt, for the list that comes before the cautions for lead.

    Args:
        job: The results.
        finding: One of its findings.

    Returns:
        Message and remedy; the remedy is "" if both are given in full with the melt.
    """
    if job.figures_withheld(finding) or finding.tells is Step.MELT:
        return finding.brief, ""
    return finding.message, finding.remedy


def in_full(job: Results, but: tuple[Finding, ...] = ()) -> tuple[Finding, ...]:
    """Return the findings that give figures for the melt, unless withheld, for display after the cautions.

    Args:
        job: The results.
        but: Findings to omit, because they are shown elsewhere.
    """
    return tuple(
        one
        for one in job.findings
        if one.tells is Step.MELT and one not in but and not job.figures_withheld(one)
    )


def count_words(count: int, one: str, many: str) -> str:
    """Return a count with its noun, such as "1 hold" or "2 holds"."""
    return f"{count} {one if count == 1 else many}"


def verdict(job: Results) -> tuple[Severity | None, str, str]:
    """Return the most serious severity, a headline, and an explanation of it.

    Args:
        job: The results.

    Returns:
        STOP, HOLD or None; headline; explanation.
    """
    counts = {
        severity: sum(finding.severity is severity for finding in job.findings) for severity in Severity
    }
    stops = count_words(counts[Severity.STOP], "finding says", "findings say")
    if job.stopped:
        return (
            Severity.STOP,
            "This bulb must not be made as planned.",
            f"{stops} stop, and no pattern file was written. Each finding gives the fix. Use the figures below only to "
            "find the fault. Do not build from them.",
        )
    rest = ", ".join(
        count_words(counts[severity], word, f"{word}s")
        for severity, word in (
            (Severity.HOLD, "hold"),
            (Severity.CAUTION, "caution"),
            (Severity.NOTE, "note"),
        )
        if counts[severity]
    )
    if counts[Severity.HOLD]:
        return (
            Severity.HOLD,
            "The pattern can be made; a later step is on hold.",
            f"{rest}. Deal with whatever is on hold first, and do not melt or pour until you have.",
        )
    return (
        None,
        "No finding stops the work."
        if job.plan.mould is not None
        else "The pattern can be made; its casting is not planned yet.",
        (
            f"{rest} about this plan: read {'it' if sum(counts.values()) == 1 else 'them'} before anything is made."
            if rest
            else "The checks found no problems."
        )
        + (
            ""
            if job.plan.mould is not None
            else " Do not melt lead until the mould and the melt are planned."
        ),
    )
