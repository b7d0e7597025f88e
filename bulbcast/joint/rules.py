"""Findings on fin and joint under their loads. What is typed as a limit and broken is a stop, a default that
is broken a caution: its source is not the builder's own.

Not a classification calculation: plain beam theory and statics against allowables as given.
"""

from __future__ import annotations

from bulbcast.fin.weight import FinMaterial
from bulbcast.findings import Finding, Rule, Severity
from bulbcast.joint.fin_rules import check_fin
from bulbcast.joint.joint_rules import check_joint
from bulbcast.joint.strength import Strength
from bulbcast.quantities import Shown

JOINT_NOT_WHOLE = Rule("joint-not-whole", Severity.CAUTION)


def check_strength(
    strength: Strength,
    *,
    largest_deflection: float | None,
    largest_twist: float | None,
    screw_allowable: float | None,
    allowable_source: str | None,
    fin_material: FinMaterial | None,
    shown: Shown,
) -> tuple[Finding, ...]:
    """Every finding on fin and joint.

    Args:
        strength: What they come to.
        largest_deflection: Of the bulb's centre at 90 degrees; None: reported alone. [m]
        largest_twist: Of the tip at 90 degrees; None: reported alone. [rad]
        screw_allowable: Tension in a screw; None: reported alone. [Pa]
        allowable_source: Where the allowables come from; None where not said.
        fin_material: The fin's kind; None where not said.
        shown: The builder's units.
    """
    source = "as typed" if allowable_source is None else allowable_source
    findings: list[Finding] = []
    if strength.fin is not None:
        findings += check_fin(
            strength.fin,
            material=fin_material,
            largest_deflection=largest_deflection,
            largest_twist=largest_twist,
            source=source,
            shown=shown,
        )
    if strength.joint is not None:
        findings += check_joint(
            strength.joint,
            screw_allowable=screw_allowable,
            typed=strength.typed,
            source=source,
            shown=shown,
        )
    return tuple(findings)


def check_joint_is_whole(*, pins: int, studs: int, through: bool) -> tuple[Finding, ...]:
    """What of the joint is not calculated, where [strength] is asked for.

    Args:
        pins: Cross pins. [-]
        studs: Studs and tubes cast in. [-]
        through: Whether two halves are bonded on a through-going blade.
    """
    left_out = [
        words
        for words, there in (
            ("cross pins", pins > 0),
            ("cast-in studs", studs > 0),
            ("the bond of the two halves on the blade", through),
        )
        if there
    ]
    if not left_out:
        return ()
    return (
        JOINT_NOT_WHOLE(
            where="strength",
            message=f"The joint is calculated for screws alone: {' and '.join(left_out)} are not judged.",
            remedy="Have them judged by one who can, or prove the joint under load before she is afloat.",
        ),
    )
