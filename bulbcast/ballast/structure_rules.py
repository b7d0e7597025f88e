"""Findings on a boat that carries people: a licensed naval architect must check her structure before she sails."""

from __future__ import annotations

from bulbcast.bulb.fastening.limits import SMALL_CRAFT_FROM
from bulbcast.findings import Finding, Rule, Severity, Step, typed
from bulbcast.plan.boat_sections import ACCEPT_STRUCTURE, BoatSection
from bulbcast.quantities import Shown

MAY_CARRY_PEOPLE_FROM = 100.0
"""All-up mass above which a boat is likely to carry people. Common practice, no source. [kg]"""

KIND_NOT_SAID = Rule(
    "kind-not-said",
    Severity.CAUTION,
    subject="boat",
    why=(
        "A boat of this size may carry people. boat.kind decides whether her structure must be checked before she sails."
    ),
)
STRUCTURE_NOT_SEEN = Rule(
    "structure-not-seen",
    Severity.HOLD,
    Severity.NOTE,
    holds=(Step.SAILING,),
    subject="boat",
    why=(
        "If the bulb comes off, the boat capsizes. If people sail in her, a licensed naval architect must check how the "
        "bulb is held. No calculation here replaces that check."
    ),
)


def check_structure(boat: BoatSection) -> tuple[Finding, ...]:
    """Return findings on whether a licensed naval architect has checked the structure of a boat that carries people.

    Args:
        boat: The plan's [boat] section.
    """
    if boat.kind != "small-craft":
        return ()
    if boat.accept_structure == ACCEPT_STRUCTURE:
        return (
            STRUCTURE_NOT_SEEN(
                "boat.accept_structure",
                "You state that a licensed naval architect has checked the fin, joint and hull.",
                "Keep the naval architect's drawing and letter with the boat's papers.",
                severity=Severity.NOTE,
            ),
        )
    return (
        STRUCTURE_NOT_SEEN(
            "boat.kind",
            "The boat carries people, and the plan does not say that a licensed naval architect has checked the fin, "
            "joint and hull. Sailing is on hold.",
            f'Have all three checked; only [boat] accept_structure = "{ACCEPT_STRUCTURE}" releases this hold.',
            severity=Severity.HOLD,
        ),
    )


def check_kind(
    boat: BoatSection | None, *, bulb_mass: float, boat_mass: float | None, shown: Shown
) -> tuple[Finding, ...]:
    """Return a finding if the plan does not give the kind of a boat that is heavy enough to carry people.

    Args:
        boat: The plan's [boat] section; None if it has none.
        bulb_mass: Mass of the bulb as hung. [kg]
        boat_mass: Mass of the complete boat; None if not known. [kg]
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
        f"Set [boat] {typed('boat.kind', 'small-craft')} if the boat carries people; sailing is then on hold until "
        f"her structure is checked. Otherwise set {typed('boat.kind', 'model')}."
    )
    if boat is None:
        remedy = "If she carries people, have a licensed naval architect check the fin, joint and hull before she sails."
    return (
        KIND_NOT_SAID(
            "boat.kind",
            f"{what} of {shown.mass(found)} may belong to a boat that carries people, but the plan does not say what "
            "kind of boat it is. So no step waits for a licensed naval architect to check the structure.",
            remedy,
            found=found,
            limit=limit,
            unit="kg",
        ),
    )
