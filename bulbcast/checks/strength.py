"""Findings on fin and joint under their loads. What is typed as a limit and broken is a stop, a default that
is broken a caution: its source is not the builder's own.

Not a classification calculation: plain beam theory and statics against allowables as given.
"""

from __future__ import annotations

import math

from bulbcast.boat.fin_beam import Stress
from bulbcast.boat.strength import Aground, FinStrength, ScrewStrength, Strength
from bulbcast.findings import Finding, Rule, Severity
from bulbcast.quantities import Shown

JOINT_NOT_WHOLE = Rule("joint-not-whole", Severity.CAUTION)
FIN_NOT_JUDGED = Rule("fin-not-judged", Severity.NOTE)
FIN_OVERSTRESSED = Rule("fin-overstressed", Severity.STOP)
FIN_OVERSTRESSED_AGROUND = Rule("fin-overstressed-aground", Severity.STOP)
FIN_BENDS_TOO_FAR = Rule("fin-bends-too-far", Severity.STOP)
FIN_TWISTS_TOO_FAR = Rule("fin-twists-too-far", Severity.STOP)
FIN_GIVES_WAY = Rule("fin-gives-way", Severity.STOP)
LEAD_CREEPS = Rule("lead-creeps", Severity.STOP, Severity.CAUTION)
SCREW_OVERSTRESSED = Rule("screw-overstressed", Severity.STOP)
THREAD_STRIPS = Rule("thread-strips", Severity.STOP, Severity.CAUTION)

_NO_ROOT = "No thicker root alone would do: take a stiffer or stronger material, or a shallower fin."


def check_strength(
    strength: Strength,
    *,
    largest_deflection: float | None,
    largest_twist: float | None,
    screw_allowable: float | None,
    allowable_source: str | None,
    shown: Shown,
) -> tuple[Finding, ...]:
    """Every finding on fin and joint.

    Args:
        strength: What they come to.
        largest_deflection: Of the bulb's centre at 90 degrees; None: told alone. [m]
        largest_twist: Of the tip at 90 degrees; None: told alone. [rad]
        screw_allowable: Tension in a screw; None: told alone. [Pa]
        allowable_source: Where the allowables come from; None where not said.
        shown: The builder's units.
    """
    source = "as typed" if allowable_source is None else allowable_source
    findings: list[Finding] = []
    if strength.fin is not None:
        findings += _fin_at_90(strength.fin, largest_deflection, largest_twist, source, shown)
        for where, way, aground in (
            ("vertical_grounding", "down on the bulb", strength.fin.vertical),
            ("longitudinal_grounding", "ahead on the bulb's nose", strength.fin.longitudinal),
        ):
            if aground is not None:
                findings += _aground(where, way, aground, source, shown)
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


def _fin_at_90(
    fin: FinStrength,
    largest_deflection: float | None,
    largest_twist: float | None,
    source: str,
    shown: Shown,
) -> list[Finding]:
    held, findings = fin.knockdown, []
    if all(one.allowable is None for one in held.stresses):
        findings.append(
            FIN_NOT_JUDGED(
                where="strength.allowable",
                unit="Pa",
                message="The fin's stresses are told and held against nothing: no allowable is given.",
                remedy="Give strength.allowable with its source, or have the fin judged by one who can.",
            )
        )
    for stress in held.stresses:
        if stress.used is not None and stress.used > 1.0:
            findings.append(
                _overstressed(
                    FIN_OVERSTRESSED,
                    "strength.allowable",
                    "At 90 degrees of heel",
                    stress,
                    source,
                    _thicker(fin.mends.stress, shown),
                    shown,
                )
            )
    if largest_deflection is not None and held.bulb_deflection > largest_deflection:
        findings.append(
            FIN_BENDS_TOO_FAR(
                where="strength.largest_deflection",
                found=held.bulb_deflection,
                limit=largest_deflection,
                unit="m",
                message=f"At 90 degrees of heel the bulb's centre comes {shown.length(held.bulb_deflection)} out of line; "
                f"{shown.length(largest_deflection)} is allowed.",
                remedy=_thicker(fin.mends.deflection, shown),
            )
        )
    if largest_twist is not None and abs(held.twist) > largest_twist:
        findings.append(
            FIN_TWISTS_TOO_FAR(
                where="strength.largest_twist",
                found=abs(held.twist),
                limit=largest_twist,
                unit="rad",
                message=f"At 90 degrees of heel the fin's tip twists by {shown.angle(abs(held.twist))}; "
                f"{shown.angle(largest_twist)} is allowed.",
                remedy=f"Carry the bulb nearer the elastic axis. {_thicker(fin.mends.twist, shown)}",
            )
        )
    return findings


def _thicker(root: float | None, shown: Shown) -> str:
    return (
        _NO_ROOT if root is None else f'Set [fin] root_thickness = "{thickness_words(root, shown)}" or more.'
    )


def thickness_words(metres: float, shown: Shown) -> str:
    """A length rounded up to what is shown of it, so that it does when typed as shown."""
    step = 0.0254 / 32.0 if shown.units == "imperial" else 1e-4
    return shown.length(math.ceil(metres / step - 1e-9) * step)


def _overstressed(
    rule: Rule, where: str, when: str, stress: Stress, source: str, remedy: str, shown: Shown
) -> Finding:
    if stress.stress is None or stress.allowable is None:
        raise ValueError("a stress that is held against nothing breaks nothing")
    kind = "pulled" if stress.stress > 0.0 else "pressed"
    return rule(
        where=where,
        found=abs(stress.stress),
        limit=stress.allowable,
        unit="Pa",
        message=f"{when} {stress.material} is {kind} with {shown.pressure(abs(stress.stress))} at the level of "
        f"{shown.length(stress.at_z)}; {shown.pressure(stress.allowable)} is allowed ({source}).",
        remedy=remedy,
    )


def _aground(where: str, way: str, aground: Aground, source: str, shown: Shown) -> list[Finding]:
    findings = []
    when = f"Aground {way} with {aground.multiple:g} times her weight"
    remedy = "Take a thicker or stronger fin."
    if aground.bears is not None and aground.bears >= 0.01:
        remedy = f"Take a thicker or stronger fin, or reckon with {where} = {_floored(aground.bears)}, which she bears."
    for stress in aground.load.stresses:
        if stress.used is not None and stress.used > 1.0:
            findings.append(
                _overstressed(
                    FIN_OVERSTRESSED_AGROUND, f"strength.{where}", when, stress, source, remedy, shown
                )
            )
    buckling = aground.load.buckling_force
    if buckling is not None and aground.load.force > buckling:
        findings.append(
            FIN_GIVES_WAY(
                where=f"strength.{where}",
                found=aground.load.force,
                limit=buckling,
                unit="N",
                message=f"{when}, {shown.force(aground.load.force)}, the fin gives way sideways: it does so from "
                f"{shown.force(buckling)}.",
                remedy=remedy,
            )
        )
    return findings


def _floored(multiple: float) -> str:
    """A multiple cut short, so that it does when typed as shown."""
    return f"{math.floor(100.0 * multiple) / 100.0:.2f}"


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
