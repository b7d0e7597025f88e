"""The structure of a boat that carries people is seen by a licensed practice before she sails."""

from __future__ import annotations

from bulbcast.bulb.fastening.limits import SMALL_CRAFT_FROM
from bulbcast.findings import Finding, Rule, Severity, Step
from bulbcast.quantities import Shown

MAY_CARRY_PEOPLE_FROM = 100.0
"""Mass of a boat, all up, that may well have somebody aboard. Common practice, no source. [kg]"""

KIND_NOT_SAID = Rule("kind-not-said", Severity.CAUTION, subject="boat")
STRUCTURE_NOT_SEEN = Rule(
    "structure-not-seen", Severity.HOLD, Severity.NOTE, holds=(Step.SAILING,), subject="boat"
)


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


def check_kind(
    *, kind: str | None, boat_given: bool, bulb_mass: float, boat_mass: float | None, shown: Shown
) -> tuple[Finding, ...]:
    """Whether a plan as heavy as that of a boat that carries people says what kind she is.

    Args:
        kind: As typed; None where it is not.
        boat_given: Whether the plan has a [boat].
        bulb_mass: As hung. [kg]
        boat_mass: Of all of her; None where not known. [kg]
        shown: The builder's units.
    """
    if kind is not None:
        return ()
    if bulb_mass >= SMALL_CRAFT_FROM:
        what, found, limit = "A bulb", bulb_mass, SMALL_CRAFT_FROM
    elif boat_mass is not None and boat_mass >= MAY_CARRY_PEOPLE_FROM:
        what, found, limit = "A boat", boat_mass, MAY_CARRY_PEOPLE_FROM
    else:
        return ()
    remedy = (
        'Set [boat] kind = "small-craft" if she carries people: sailing waits until her structure is seen. Else set '
        'kind = "model".'
    )
    if not boat_given:
        remedy = (
            "If she carries people, have fin, joint and hull seen by a licensed practice before she sails. In a plan with "
            "[boat] a small craft is held from sailing until then."
        )
    return (
        KIND_NOT_SAID(
            where="boat.kind",
            found=found,
            limit=limit,
            unit="kg",
            message=f"{what} of {shown.mass(found)} may be of a boat that carries people, and the plan does not say what "
            "kind she is. No step waits for a licensed practice to see her structure.",
            remedy=remedy,
        ),
    )
