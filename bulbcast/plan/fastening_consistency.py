"""What the keys of one fastening must agree on: a washer is whole, and lies between head and lead."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bulbcast.plan.fin_sections import WASHER_KEYS
from bulbcast.plan.keys import KEYS

if TYPE_CHECKING:
    from bulbcast.plan.answers import Answers


def check_washer(answers: Answers, screw: str) -> None:
    """Add the faults that only show between a washer's keys and its screw's.

    Args:
        answers: What was read; its list of faults grows. [-]
        screw: Place of the screw, such as "screws[1]". [-]
    """
    known = answers.given | answers.meant
    given = [leaf for leaf in WASHER_KEYS if f"{screw}.{leaf}" in known]
    if not given:
        return
    for leaf in WASHER_KEYS[:2]:
        if leaf not in given:
            key = KEYS[f"screws.{leaf}"]
            answers.fault(
                f"{screw}.{leaf}",
                read=f"nothing with {given[0]}",
                expected=f"{key.expected}, which a washer needs",
                remedy=f"Add {key.example_line}, say, or take {given[0]} out.",
            )
    check_pair(
        answers,
        f"{screw}.hole_diameter",
        f"{screw}.washer_diameter",
        "a washer wider than the hole in the lead",
        "Take a wider washer: it must rest on the lead round the hole.",
    )
    check_pair(
        answers,
        f"{screw}.diameter",
        f"{screw}.washer_hole",
        "a screw that goes through its washer",
        "Widen the washer's hole, or take a thinner screw.",
        equal_passes=True,
    )
    for wider, why in (
        ("washer_diameter", "a hole narrower than its washer"),
        ("head_diameter", "a washer's hole that the head does not go through"),
    ):
        check_pair(answers, f"{screw}.washer_hole", f"{screw}.{wider}", why, "Fix one of the two.")


def check_pair(
    answers: Answers, smaller: str, larger: str, expected: str, remedy: str, *, equal_passes: bool = False
) -> None:
    """A fault where the first length is not below the second.

    Args:
        answers: What was read; its list of faults grows. [-]
        smaller: Place of the one that has to be smaller. [-]
        larger: Place of the other. [-]
        expected: What was expected. [-]
        remedy: How to fix it. [-]
        equal_passes: Two of the same will do. [-]
    """
    low, high = answers.number(smaller), answers.number(larger)
    if low is None or high is None or low < high or (equal_passes and low == high):
        return
    answers.fault(
        smaller, read=f"{answers.line(smaller)} with {answers.line(larger)}", expected=expected, remedy=remedy
    )
