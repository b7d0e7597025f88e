"""Finding and fault on standard deviations that say nothing."""

from __future__ import annotations

from bulbcast.confidence.work import LARGEST_BAND, TooWideError
from bulbcast.findings import Finding, Rule, Severity
from bulbcast.plan.faults import Fault
from bulbcast.plan.keys import KEYS
from bulbcast.plan.sections import Plan
from bulbcast.quantities import Shown

BAND_TOO_WIDE = Rule(
    "band-too-wide",
    Severity.CAUTION,
    why="Where nobody can say what a casting will weigh, no aim and no drilling can be planned for it.",
)
_DO = "Measure it more closely, or see whether its unit is the one meant."


def check_band(error: TooWideError, shown: Shown) -> Finding:
    """A band so wide that none is reported.

    Args:
        error: What makes it so.
        shown: The builder's units.
    """
    return BAND_TOO_WIDE(
        _key(error),
        f"The casting's mass is uncertain by {shown.percent(error.share)}, most of it from: {error.widest.name}. "
        f"Beyond {shown.percent(LARGEST_BAND)} (judgement) no aim is reported.",
        _DO,
        found=error.share,
        limit=LARGEST_BAND,
    )


def band_fault(plan: Plan, error: TooWideError, shown: Shown) -> Fault:
    """The fault of a plan that asks for an aim all the same.

    Args:
        plan: With [confidence].
        error: What makes the band so wide.
        shown: The builder's units.
    """
    return Fault(
        file=plan.source,
        key=_key(error),
        read=f"standard deviations that make the casting's mass uncertain by {shown.percent(error.share)}",
        expected=f"at most {shown.percent(LARGEST_BAND)}",
        remedy=f"Most of it comes from: {error.widest.name}. {_DO}",
    )


def _key(error: TooWideError) -> str:
    key = error.widest.key
    return key if key in KEYS else "confidence"
