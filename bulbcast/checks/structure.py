"""The structure of a boat that carries people is seen by a licensed practice before she sails."""

from __future__ import annotations

from bulbcast.findings import Finding, Rule, Severity, Step

STRUCTURE_NOT_SEEN = Rule("structure-not-seen", Severity.HOLD, Severity.NOTE, holds=(Step.SAILING,))


def check_structure(*, small_craft: bool, accepted: bool, accept_line: str) -> tuple[Finding, ...]:
    """Whether a licensed practice has seen the structure of a boat that carries people.

    Args:
        small_craft: Whether she is one.
        accepted: Whether that is typed.
        accept_line: What has to be typed for that, as a line of the plan.
    """
    if not small_craft:
        return ()
    if accepted:
        return (
            STRUCTURE_NOT_SEEN(
                severity=Severity.NOTE,
                where="boat.accept_structure",
                message="By your word a licensed practice has seen fin, joint and hull.",
                remedy="Keep its drawing and its words with the boat's papers.",
            ),
        )
    return (
        STRUCTURE_NOT_SEEN(
            severity=Severity.HOLD,
            where="boat.kind",
            message="She carries people, and no licensed practice is said to have seen fin, joint and hull: sailing is on "
            "hold.",
            remedy=f"Have all three seen by one; only {accept_line} releases this hold.",
        ),
    )
