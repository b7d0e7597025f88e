"""Findings on the pocket: does it stay in the lead, is the fin let in, and how is it fastened."""

from __future__ import annotations

import math

from bulbcast.bulb.cuts.walls import Wall
from bulbcast.bulb.fastening.room import PocketRoom
from bulbcast.findings import Finding, Rule, Severity, Step
from bulbcast.quantities import Shown

FASTENING_NOT_SHOWN = Rule("fastening-not-shown", Severity.HOLD, holds=(Step.FASTENING,))
POCKET_THROUGH_SIDE = Rule("pocket-through-side", Severity.STOP)
FIN_PROUD = Rule("fin-proud", Severity.CAUTION)
WALL_THIN = Rule("wall-thin", Severity.STOP)
RAKE_DIFFERS = Rule("rake-differs", Severity.CAUTION)

RAKE_OFF = math.radians(1.0)
"""By which a typed rake may lie beyond both edges of the fin. Common practice, no source. [rad]"""


def check_pocket(room: PocketRoom, wall_wanted: float, depth: float, shown: Shown) -> list[Finding]:
    """Every finding on the pocket.

    Args:
        room: The measurements.
        wall_wanted: [m]
        depth: As planned. [m]
        shown: The builder's units.
    """
    findings = []
    if depth == 0.0:
        findings.append(
            FASTENING_NOT_SHOWN(
                where="fin.pocket_depth",
                found=0.0,
                unit="m",
                message="The fin stands on the crown without a pocket; how it is fastened is not shown, "
                "so the fastening is withheld.",
                remedy='Give [fin] a pocket_depth such as "6 mm", or plan the joint by other means.',
            )
        )
    if room.side_excess > 0.0:
        findings.append(
            POCKET_THROUGH_SIDE(
                where="fin.pocket_depth",
                found=room.side_excess,
                limit=0.0,
                unit="m",
                message=f"The pocket comes out through the side of the bulb by {shown.length(room.side_excess)}, "
                f"{shown.length(room.side_at)} aft of the tip's leading edge.",
                remedy="Take a thinner tip_thickness, a shallower pocket_depth or a fuller bulb.",
            )
        )
    if room.wall is not None and room.wall.thickness < wall_wanted and room.side_excess == 0.0:
        findings.append(
            thin_wall("fin.pocket_depth", "pocket", room.wall, wall_wanted, shown, (
                "Take a shallower pocket_depth, a thinner tip, or a smaller bulb.smallest_wall if you can answer "
                "for it."
            ))
        )  # fmt: skip
    if room.proud > 1e-6:
        findings.append(
            FIN_PROUD(
                where="fin.pocket_depth",
                found=room.proud,
                limit=0.0,
                unit="m",
                message=f"The fin's tip stands {shown.length(room.proud)} above the lead, "
                f"{shown.length(room.proud_at)} aft of its leading edge.",
                remedy="Deepen the pocket by that much, carry the bulb nearer its middle, or fill and fair the gap.",
            )
        )
    return findings


def place_of(wall: Wall, shown: Shown) -> str:
    """Where a wall is thinnest, in words.

    Args:
        wall: The wall.
        shown: The builder's units.
    """
    side = "below" if wall.z < 0.0 else "above"
    return f"{shown.length(wall.x)} from the nose, {shown.length(abs(wall.z))} {side} the axis"


def thin_wall(where: str, what: str, wall: Wall, wanted: float, shown: Shown, remedy: str) -> Finding:
    """A wall thinner than it must be.

    Args:
        where: The plan's key.
        what: That leaves it.
        wall: The wall.
        wanted: [m]
        shown: The builder's units.
        remedy: What would do.
    """
    return WALL_THIN(
        where=where,
        found=wall.thickness,
        limit=wanted,
        unit="m",
        message=f"The {what} leaves a wall of {shown.length(wall.thickness)} at {place_of(wall, shown)}; "
        f"{shown.length(wanted)} is wanted, {shown.length(wanted - wall.thickness)} more.",
        remedy=remedy,
    )


def check_rake(*, rake: float, fore: float, aft: float, axis: float, shown: Shown) -> tuple[Finding, ...]:
    """Whether pocket and screws lean as the fin does between root and tip.

    Args:
        rake: As planned. [rad]
        fore: Of the fin's leading edge. [rad]
        aft: Of its trailing edge. [rad]
        axis: Of its elastic axis. [rad]
        shown: The builder's units.
    """
    low, high = sorted((fore, aft))
    if low - RAKE_OFF <= rake <= high + RAKE_OFF:
        return ()
    return (
        RAKE_DIFFERS(
            where="fin.rake",
            found=rake,
            limit=high if rake > high else low,
            unit="rad",
            message=f"Pocket and screws are raked by {shown.angle(rake)}, and the fin's edges between root and tip by "
            f"{shown.angle(low)} to {shown.angle(high)}: the fin does not go into its pocket.",
            remedy=f'Set [fin] rake = "{shown.angle(axis)}", as root and tip have it, or move one of the two.'
            if abs(axis) < math.radians(45.0)
            else "Move root or tip: the fin leans by more than the 45 deg that can be planned.",
        ),
    )
