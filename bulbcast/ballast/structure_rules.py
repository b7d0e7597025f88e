"""The structure of a boat that carries people is seen by a licensed practice before she sails."""

from __future__ import annotations

from bulbcast.bulb.fastening.limits import SMALL_CRAFT_FROM
from bulbcast.findings import Finding, Rule, Severity, Step, typed
from bulbcast.plan.boat_sections import ACCEPT_STRUCTURE, BoatSection
from bulbcast.quantities import Shown

MAY_CARRY_PEOPLE_FROM = 100.0
"""Mass of a boat, all up, that may well have somebody aboard. Common practice, no source. [kg]"""

KIND_NOT_SAID = Rule(
    "kind-not-said",
    Severity.CAUTION,
    subject="boat",
    why=(
        "A boat of this size may carry people. Only boat.kind says whether her structure has to "
        "be seen before she sails."
    ),
)
STRUCTURE_NOT_SEEN = Rule(
    "structure-not-seen",
    Severity.HOLD,
    Severity.NOTE,
    holds=(Step.SAILING,),
    subject="boat",
    why=(
        "A bulb that comes off capsizes the boat. Where people sail in her a licensed practice "
        "has to see what holds it, and no calculation here stands for that."
    ),
)


def check_structure(boat: BoatSection) -> tuple[Finding, ...]:
    """Whether a licensed practice has seen the structure of a boat that carries people.

    Args:
        boat: Of the plan.
    """
    if boat.kind != "small-craft":
        return ()
    if boat.accept_structure == ACCEPT_STRUCTURE:
        return (
            STRUCTURE_NOT_SEEN(
                "boat.accept_structure",
                "By your word a licensed practice has seen fin, joint and hull.",
                "Keep its drawing and its words with the boat's papers.",
                severity=Severity.NOTE,
            ),
        )
    return (
        STRUCTURE_NOT_SEEN(
            "boat.kind",
            "She carries people, and no licensed practice is said to have seen fin, joint and hull: sailing is on hold.",
            f'Have all three seen by one; only [boat] accept_structure = "{ACCEPT_STRUCTURE}" releases this hold.',
            severity=Severity.HOLD,
        ),
    )


def check_kind(
    boat: BoatSection | None, *, bulb_mass: float, boat_mass: float | None, shown: Shown
) -> tuple[Finding, ...]:
    """Whether a plan as heavy as that of a boat that carries people says what kind she is.

    Args:
        boat: Of the plan; None where it has none.
        bulb_mass: As hung. [kg]
        boat_mass: Of all of her; None where not known. [kg]
        shown: The builder's units.
    """
    if boat is not None and boat.kind is not None:
        return ()
    if bulb_mass >= SMALL_CRAFT_FROM:
        what, found, limit = "A bulb", bulb_mass, SMALL_CRAFT_FROM
    elif boat_mass is not None and boat_mass >= MAY_CARRY_PEOPLE_FROM:
        what, found, limit = "A boat", boat_mass, MAY_CARRY_PEOPLE_FROM
    else:
        return ()
    remedy = (
        f"Set [boat] {typed('boat.kind', 'small-craft')} if she carries people: sailing waits until her structure is "
        f"seen. Else set {typed('boat.kind', 'model')}."
    )
    if boat is None:
        remedy = (
            "If she carries people, have fin, joint and hull seen by a licensed practice before she sails. In a plan with "
            "[boat] a small craft is held from sailing until then."
        )
    return (
        KIND_NOT_SAID(
            "boat.kind",
            f"{what} of {shown.mass(found)} may be of a boat that carries people, and the plan does not say what "
            "kind she is. No step waits for a licensed practice to see her structure.",
            remedy,
            found=found,
            limit=limit,
            unit="kg",
        ),
    )
