"""What a finding is: one observation of one check, with its numbers, its words and its mend.

A leaf: every room may import it, it imports nothing of ours.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Severity(StrEnum):
    """How much a finding withholds.

    A stop withholds the pattern, a hold one later step; a caution and a note withhold nothing.
    """

    STOP = "stop"
    HOLD = "hold"
    CAUTION = "caution"
    NOTE = "note"


SEVERITY_ORDER = (Severity.STOP, Severity.HOLD, Severity.CAUTION, Severity.NOTE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One check's result that a builder has to know.

    Attributes:
        severity: What it withholds.
        code: Stable name of the check's outcome, in kebab case.
        where: The plan's key or the part it is about, such as `screws[1]`.
        found: The figure seen, in `unit`; None where the matter has no number.
        limit: The figure it is held against, in `unit`; None where there is none.
        unit: SI unit of `found` and `limit`, "" for a bare number.
        message: One sentence that says it, figures in the builder's units.
        remedy: One sentence that says how to mend it.
    """

    severity: Severity
    code: str
    where: str
    found: float | None
    limit: float | None
    unit: str
    message: str
    remedy: str


def sorted_by_severity(findings: tuple[Finding, ...]) -> tuple[Finding, ...]:
    """The same findings, gravest first; those of one severity keep the order of the work."""
    return tuple(sorted(findings, key=lambda one: SEVERITY_ORDER.index(one.severity)))
