"""Findings on how the bulb sits under the fin."""

from __future__ import annotations

from bulbcast.bulb.fastening.limits import OFF_ELASTIC_AXIS_IN_CHORDS
from bulbcast.bulb.hung.balance import Balance
from bulbcast.findings import Finding, Rule, Severity
from bulbcast.quantities import Shown

BULB_SHORTER_THAN_CHORD = Rule("bulb-shorter-than-chord", Severity.STOP)
TWISTS_FIN = Rule("twists-fin", Severity.CAUTION)
OUTSIDE_SCREWS = Rule("outside-screws", Severity.CAUTION)


def check_balance(
    balance: Balance, *, chord: float, bulb_length: float, screw_places: tuple[float, ...], shown: Shown
) -> tuple[Finding, ...]:
    """Findings on overhang, twist, and the mass centre against the screws.

    Args:
        balance: How the bulb sits.
        chord: Of the fin's tip. [m]
        bulb_length: Of the finished lead body. [m]
        screw_places: Aft of the tip's leading edge. [m]
        shown: The builder's units.
    """
    findings = []
    if bulb_length < chord:
        findings.append(
            BULB_SHORTER_THAN_CHORD(
                where="fin.tip_chord",
                found=bulb_length,
                limit=chord,
                unit="m",
                message=f"The bulb is {shown.length(bulb_length)} long, shorter than the fin's chord of "
                f"{shown.length(chord)}: the pocket leaves it at both ends.",
                remedy="Take a larger fineness or length, or a fin with a shorter tip.",
            )
        )
    limit = OFF_ELASTIC_AXIS_IN_CHORDS * chord
    if abs(balance.from_elastic_axis) > limit:
        side = "aft" if balance.from_elastic_axis > 0.0 else "forward"
        findings.append(
            TWISTS_FIN(
                where="fin.carry_at",
                found=abs(balance.from_elastic_axis),
                limit=limit,
                unit="m",
                message=f"The mass centre hangs {shown.length(abs(balance.from_elastic_axis))} {side} of the fin's "
                f"elastic axis and twists it with {shown.torque(abs(balance.twist_at_90))} at 90 degrees of heel.",
                remedy="Carry the bulb nearer the elastic axis, or prove the fin stiff enough in twist.",
            )
        )
    if screw_places:
        at = balance.along_chord * chord
        low, high = min(screw_places), max(screw_places)
        if len(screw_places) > 1 and not low <= at <= high:
            findings.append(
                OUTSIDE_SCREWS(
                    where="screws",
                    found=at,
                    limit=low if at < low else high,
                    unit="m",
                    message=f"The mass centre, {shown.length(at)} aft of the tip's leading edge, lies outside the screws "
                    f"at {shown.length(low)} to {shown.length(high)}: one of them is prised out.",
                    remedy="Spread the screws so that the mass centre lies between them.",
                )
            )
    return tuple(findings)
