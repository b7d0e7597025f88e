"""Findings on the bulb's position under the fin."""

from __future__ import annotations

from bulbcast.bulb.results import BulbResults
from bulbcast.findings import Finding, Rule, Severity

BULB_SHORTER_THAN_CHORD = Rule(
    "bulb-shorter-than-chord",
    Severity.STOP,
    why="The fin's tip would project from the lead at both ends.",
)
TWISTS_FIN = Rule(
    "twists-fin",
    Severity.CAUTION,
    why=("When the boat heels, lead ahead of or behind the fin's elastic axis twists the tip."),
)
OUTSIDE_SCREWS = Rule(
    "outside-screws",
    Severity.CAUTION,
    why=(
        "If the bulb's weight acts beyond the screws, it exerts leverage on them, and the nearest screw is pulled "
        "hardest."
    ),
)

# Distance of the mass centre from the elastic axis, in chords, beyond which the bulb twists a slender fin. Our judgement.
OFF_ELASTIC_AXIS_IN_CHORDS = 0.15


def check_balance(job: BulbResults) -> tuple[Finding, ...]:
    """Findings on overhang, twist, and the mass centre's position relative to the screws.

    Args:
        job: The results for the bulb.
    """
    findings = []
    balance, shown = job.balance, job.shown
    length, chord = job.bulb.body.length, job.plan.fin.tip_chord
    if length < chord:
        findings.append(
            BULB_SHORTER_THAN_CHORD(
                "fin.tip_chord",
                f"The bulb is {shown.length(length)} long, shorter than the fin's chord of {shown.length(chord)}. The "
                "pocket breaks out of the lead at both ends.",
                "Use a higher fineness, a greater length, or a fin with a shorter tip chord.",
                found=length,
                limit=chord,
                unit="m",
            )
        )
    off, limit = abs(balance.from_elastic_axis), OFF_ELASTIC_AXIS_IN_CHORDS * chord
    if off > limit:
        side = "aft" if balance.from_elastic_axis > 0.0 else "forward"
        findings.append(
            TWISTS_FIN(
                "fin.carry_at",
                f"The mass centre, {shown.length(off)} {side} of the fin's elastic axis, applies a torque of "
                f"{shown.torque(abs(balance.twist_at_90))} to the fin at 90 degrees of heel.",
                "Move the bulb's mass centre nearer to the elastic axis, or prove that the fin is stiff enough in torsion.",
                found=off,
                limit=limit,
                unit="m",
            )
        )
    places = [screw.at for screw in job.plan.screws]
    at = balance.along_chord * chord
    if len(places) > 1 and not min(places) <= at <= max(places):
        low, high = min(places), max(places)
        findings.append(
            OUTSIDE_SCREWS(
                "screws",
                f"The mass centre, {shown.length(at)} aft of the tip's leading edge, is outside the span of the screws "
                f"({shown.length(low)} to {shown.length(high)}), so one of them is prised out.",
                "Spread the screws so that the mass centre is between them.",
                found=at,
                limit=low if at < low else high,
                unit="m",
            )
        )
    return tuple(findings)
