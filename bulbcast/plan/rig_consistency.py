"""What the keys of [rudder] and [rig] must agree on."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from bulbcast.plan.answers import Answers


def check_rig(answers: Answers) -> None:
    """Add the faults that only show between the keys of rudder and rig.

    Args:
        answers: What was read; its list of faults grows. [-]
    """
    for section in ("rudder", "rig"):
        if section in answers.sections and "boat" not in answers.sections:
            answers.fault(
                f"[{section}]",
                read=f"a {section} without [boat]",
                expected="[boat] with it, or neither",
                remedy=f"Add [boat] with the hull, or take [{section}] out.",
            )
    _check_blade(answers)
    _check_sail(answers)


def _check_blade(answers: Answers) -> None:
    if {"rudder.mass", "rudder.density"} <= answers.given:
        answers.fault(
            "[rudder]",
            read="mass and density together",
            expected="one of the two",
            remedy="Keep mass where the blade has been weighed, density where it has not.",
        )
    root, tip = answers.number("rudder.root_z"), answers.number("rudder.tip_z")
    if root is not None and tip is not None and not tip < root:
        answers.fault(
            "rudder.tip_z",
            read=f"{answers.line('rudder.tip_z')} with {answers.line('rudder.root_z')}",
            expected="a foot below the top",
            remedy="Levels are upward from her waterline: those under water are negative.",
        )
    elif tip is not None and not tip < 0.0:
        answers.fault(
            "rudder.tip_z",
            read=answers.line("rudder.tip_z"),
            expected="a foot under water",
            remedy="Levels are upward from her waterline: those under water are negative.",
        )
    for end in ("root", "tip"):
        thick, chord = (answers.number(f"rudder.{end}_{leaf}") for leaf in ("thickness", "chord"))
        if thick is not None and chord is not None and not thick < chord:
            answers.fault(
                f"rudder.{end}_thickness",
                read=f"{answers.line(f'rudder.{end}_thickness')} with {answers.line(f'rudder.{end}_chord')}",
                expected="a thickness below the chord",
                remedy="See whether the two are exchanged.",
            )


def _check_sail(answers: Answers) -> None:
    effort, lateral = answers.number("rig.effort_z"), answers.number("rig.lateral_z")
    if effort is not None and lateral is not None and not effort > lateral:
        answers.fault(
            "rig.lateral_z",
            read=f"{answers.line('rig.lateral_z')} with {answers.line('rig.effort_z')}",
            expected="a centre of lateral resistance below the sails' centre of effort",
            remedy="Levels are upward from her waterline: that of the fin is negative.",
        )
    elif effort is not None and lateral is None and not effort > 0.0:
        answers.fault(
            "rig.effort_z",
            read=answers.line("rig.effort_z"),
            expected="a centre of effort above her waterline",
            remedy="Measure it from the design waterline upwards.",
        )
    if "rig.coefficient_source" in answers.given and "rig.force_coefficient" not in answers.given:
        answers.fault(
            "rig.coefficient_source",
            read="a source without force_coefficient",
            expected="the coefficient that it is the source of",
            remedy="Add force_coefficient = 1.2, say, or take the source out.",
        )
