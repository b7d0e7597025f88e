"""Findings on fin and joint under their loads. What is typed as a limit and broken is a stop, a default that
is broken a caution: its source is not the builder's own.

Not a classification calculation: plain beam theory and statics against allowables as given.
"""

from __future__ import annotations

import math

from bulbcast.boat.fin_weight import FinMaterial
from bulbcast.boat.strength import ScrewStrength, Strength
from bulbcast.checks.fin_strength import check_fin, thickness_words
from bulbcast.findings import Finding, Rule, Severity
from bulbcast.quantities import Shown

JOINT_NOT_WHOLE = Rule("joint-not-whole", Severity.CAUTION)
LEAD_CREEPS = Rule("lead-creeps", Severity.STOP, Severity.CAUTION)
SCREW_OVERSTRESSED = Rule("screw-overstressed", Severity.STOP)
THREAD_STRIPS = Rule("thread-strips", Severity.STOP, Severity.CAUTION)


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
        largest_deflection: Of the bulb's centre at 90 degrees; None: told alone. [m]
        largest_twist: Of the tip at 90 degrees; None: told alone. [rad]
        screw_allowable: Tension in a screw; None: told alone. [Pa]
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
    for screw in strength.screws:
        findings += _screw(screw, strength, screw_allowable, source, shown)
    return tuple(findings)


def check_joint_is_whole(*, pins: int, studs: int, through: bool) -> tuple[Finding, ...]:
    """What of the joint is not reckoned, where [strength] is asked for.

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
            message=f"The joint is reckoned for screws alone: {' and '.join(left_out)} are not judged.",
            remedy="Have them judged by one who can, or prove the joint under load before she is afloat.",
        ),
    )


def _screw(
    screw: ScrewStrength, strength: Strength, allowable: float | None, source: str, shown: Shown
) -> list[Finding]:
    findings = []
    where = f"screws[{screw.number}]"
    what = "washer" if screw.washer else "head"
    if not screw.bearing.holds:
        typed = "bearing_limit" in strength.typed
        findings.append(
            LEAD_CREEPS(
                severity=Severity.STOP if typed else Severity.CAUTION,
                where=f"{where}.washer_diameter" if screw.washer else f"{where}.head_diameter",
                found=screw.bearing.pressure,
                limit=screw.bearing.limit,
                unit="Pa",
                message=f"Under the {what} of screw {screw.number} the lead bears {shown.pressure(screw.bearing.pressure)} "
                f"for months; the limit is {shown.pressure(screw.bearing.limit)}: {screw.bearing.limit_source}.",
                remedy=_wider(screw, strength.tightened_to, shown),
            )
        )
    if allowable is not None and screw.tension > allowable:
        findings.append(
            SCREW_OVERSTRESSED(
                where=f"{where}.diameter",
                found=screw.tension,
                limit=allowable,
                unit="Pa",
                message=f"Screw {screw.number} is pulled with {shown.force(screw.most)}, "
                f"{shown.pressure(screw.tension)} in its thread; {shown.pressure(allowable)} is allowed ({source}).",
                remedy="Take thicker screws, more of them, or set them where the fin is thicker.",
            )
        )
    if screw.holds is not None and screw.most > screw.holds:
        typed = "bond of filled" not in screw.holds_how and "withdrawal" not in screw.holds_how
        findings.append(
            THREAD_STRIPS(
                severity=Severity.STOP if typed else Severity.CAUTION,
                where=f"{where}.length",
                found=screw.most,
                limit=screw.holds,
                unit="N",
                message=f"Screw {screw.number} is pulled with {shown.force(screw.most)}; its "
                f"{shown.length(screw.engaged)} of thread in the fin may take {shown.force(screw.holds)} "
                f"({screw.holds_how}).",
                remedy=_longer(screw, shown),
            )
        )
    return findings


def _wider(screw: ScrewStrength, tightened_to: float, shown: Shown) -> str:
    """The washer that would do, and what the screw may be drawn up to where that is what presses."""
    wider = f'washer_diameter = "{thickness_words(screw.bearing.outer_needed, shown)}" or more'
    text = f"Set {wider}" if screw.washer else f"Put a washer under it, {wider} with its washer_thickness"
    if tightened_to > 0.0 and screw.may_be_drawn_up_to > 0.0:
        text += f", or draw the screws up to {_force_words(screw.may_be_drawn_up_to, shown)} at most"
    return f"{text}."


def _force_words(newtons: float, shown: Shown) -> str:
    """A force cut short, so that it does when typed as shown."""
    step = 4.4482216152605 * 0.1 if shown.units == "imperial" else 0.1
    return shown.force(math.floor(newtons / step) * step)


def _longer(screw: ScrewStrength, shown: Shown) -> str:
    if screw.holds is None or screw.holds <= 0.0:
        return "Take longer screws: none of the thread is in the fin."
    engaged = screw.engaged * screw.most / screw.holds
    return (
        f"It would take {thickness_words(engaged, shown)} of thread in the fin, "
        f"{thickness_words(engaged - screw.engaged, shown)} more; or thicker screws, or more of them."
    )
