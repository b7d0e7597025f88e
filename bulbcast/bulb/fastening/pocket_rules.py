"""Findings on the pocket: whether it stays in the lead, whether the fin is let into the lead, and whether the pocket and
the fin have the same rake."""

from __future__ import annotations

import math

import numpy as np

from bulbcast.bulb.cuts.walls import Wall
from bulbcast.bulb.results import BulbResults
from bulbcast.fin.tip_section import Slot, outline
from bulbcast.findings import Finding, Rule, Severity, Step, typed
from bulbcast.plan.fin_sections import FinSection
from bulbcast.quantities import Shown
from bulbcast.quantities.typed import length_up

FASTENING_NOT_SHOWN = Rule(
    "fastening-not-shown",
    Severity.HOLD,
    holds=(Step.FASTENING,),
    why="Without a pocket or another joint, it is not known what carries the bulb.",
)
POCKET_THROUGH_SIDE = Rule(
    "pocket-through-side",
    Severity.STOP,
    why=("A pocket wider than the lead is open at the side, and does not hold the fin there."),
)
FIN_PROUD = Rule(
    "fin-proud",
    Severity.CAUTION,
    why=("The bulb tapers towards its ends, so a long pocket may run out of lead at the top."),
)
WALL_THIN = Rule(
    "wall-thin",
    Severity.STOP,
    why="Lead that is too thin does not fill well in the mould, or breaks out under the drill.",
)
RAKE_DIFFERS = Rule(
    "rake-differs",
    Severity.CAUTION,
    why=(
        "The pocket has the rake you type, and the fin has the rake of its edges. If the two differ, the fin does "
        "not fit the pocket."
    ),
)

FIN_NOT_IN_SLOT = Rule(
    "fin-not-in-slot",
    Severity.STOP,
    why="A slot has straight sides and round ends. A fin that fits it in the middle may touch at the ends.",
)

_EASY = 0.2e-3
"""Gap beside a fin in a slot, to leave room for glue. Our judgement. [m]"""

RAKE_OFF = math.radians(1.0)
"""Largest angle by which a typed rake may differ from the rakes of both edges of the fin. Common practice, no source.
[rad]"""


def check_pocket(job: BulbResults) -> list[Finding]:
    """Every finding on the pocket.

    Args:
        job: The results, with the bulb and the lead and fin round its pocket.
    """
    findings = []
    room, wanted, shown, where = job.room.pocket, job.wall_wanted, job.shown, "fin.pocket_depth"
    slot, deep = job.bulb.pocket.tip.slot, "pocket_depth"
    if slot is not None:
        where, deep = "fin.slot_depth", "slot_depth"
        findings += _check_slot(job, slot)
    if job.bulb.through and job.plan.fin.joint != "through":
        high = job.bulb.body.height
        findings.append(
            POCKET_THROUGH_SIDE(
                where,
                f"The floor of the pocket is {shown.length(job.bulb.pocket_depth)} below the crown, and the bulb is "
                f"{shown.length(high)} high: the pocket comes out through the underside.",
                f'Reduce {deep}, or set joint = "through" for a blade that goes right through.',
                found=job.bulb.pocket_depth,
                limit=high,
                unit="m",
            )
        )
    if job.bulb.pocket_depth == 0.0:
        findings.append(
            FASTENING_NOT_SHOWN(
                where,
                "The fin stands on the crown without a pocket. How it is fastened is not known, so the fastening is "
                "withheld.",
                'Give [fin] a pocket_depth such as "6 mm", or plan the joint by other means.',
                found=0.0,
                unit="m",
            )
        )
    if room.side_excess > 0.0:
        findings.append(
            POCKET_THROUGH_SIDE(
                where,
                f"The pocket breaks through the side of the bulb by {shown.length(room.side_excess)}, "
                f"{shown.length(room.side_at)} aft of the tip's leading edge.",
                f"Reduce tip_thickness or {deep}, or use a fuller bulb.",
                found=room.side_excess,
                limit=0.0,
                unit="m",
            )
        )
    if room.wall is not None and room.wall.thickness < wanted and room.side_excess == 0.0:
        remedy = f"Reduce {deep}, use a thinner tip, or reduce bulb.smallest_wall if you can justify it."
        findings.append(thin_wall(where, "pocket", room.wall, wanted, shown, remedy))
    if room.proud > 1e-6:
        findings.append(
            FIN_PROUD(
                where,
                f"The fin's tip stands {shown.length(room.proud)} above the lead, {shown.length(room.proud_at)} aft of "
                "its leading edge.",
                "Deepen the pocket by that much, move the bulb so that the fin is nearer its middle, or fill and fair "
                "the gap.",
                found=room.proud,
                limit=0.0,
                unit="m",
            )
        )
    return findings


def place_of(wall: Wall, shown: Shown) -> str:
    """The position of a wall's thinnest point, in words.

    Args:
        wall: The wall.
        shown: The builder's units.
    """
    side = "below" if wall.z < 0.0 else "above"
    return f"{shown.length(wall.x)} from the nose, {shown.length(abs(wall.z))} {side} the axis"


def thin_wall(where: str, what: str, wall: Wall, wanted: float, shown: Shown, remedy: str) -> Finding:
    """Finding on a wall that is too thin.

    Args:
        where: The plan's key.
        what: The cut that leaves the wall.
        wall: The wall.
        wanted: The wall required. [m]
        shown: The builder's units.
        remedy: The fix.
    """
    return WALL_THIN(
        where,
        f"The {what} leaves a wall of {shown.length(wall.thickness)} at {place_of(wall, shown)}. "
        f"{shown.length(wanted)} is required ({shown.length(wanted - wall.thickness)} more).",
        remedy,
        found=wall.thickness,
        limit=wanted,
        unit="m",
    )


def _check_slot(job: BulbResults, slot: Slot) -> list[Finding]:
    """Finding on a fin whose tip does not fit its slot."""
    pocket, shown, fin = job.bulb.pocket, job.shown, job.plan.fin
    points = outline(pocket.tip, 0.0, along=400)
    # The slot is everything within half its width of a line between the centres of its round ends.
    radius = 0.5 * slot.width
    low, high = slot.at + radius, slot.at + slot.length - radius
    beyond = np.hypot(points[:, 0] - np.clip(points[:, 0], low, high), points[:, 1]) - radius
    worst = int(np.argmax(beyond))
    if beyond[worst] <= 1e-7:
        return []
    wide = max(fin.slot_width or 0.0, fin.tip_thickness + 2.0 * _EASY)
    # With its round ends wholly beyond the fin's ends, the slot holds it whatever its edges are like.
    long = fin.tip_chord + wide
    lines = (
        typed("fin.slot_width", length_up(wide, shown)),
        typed("fin.slot_length", length_up(long + 1e-4, shown), also=True),
    )
    centred = (
        "" if fin.slot_at is None else f" and {typed('fin.slot_at', shown.length(-0.5 * wide), also=True)}"
    )
    return [
        FIN_NOT_IN_SLOT(
            "fin.slot_width",
            f"The fin's tip does not fit its slot: {shown.length(float(points[worst, 0]))} aft of its leading edge, it "
            f"extends {shown.length(float(beyond[worst]))} beyond the slot.",
            f"Mill the slot with {lines[0]}{',' if centred else ' and'} {lines[1]}{centred}, or round off the fin's "
            "edges.",
            found=float(beyond[worst]),
            limit=0.0,
            unit="m",
        )
    ]


def check_rake(fin: FinSection, shown: Shown) -> tuple[Finding, ...]:
    """Return a finding if the rake of the pocket and screws differs from that of the fin between root and tip; none if
    the root is not known.

    Args:
        fin: The fin as planned.
        shown: The builder's units.
    """
    if fin.root_chord is None or fin.root_leading_edge_x is None or fin.root_z is None:
        return ()
    root_chord, leading, span = fin.root_chord, fin.root_leading_edge_x, fin.root_z - fin.tip_z
    if span <= 0.0:
        return ()
    # Rake of the lines at those fractions of every chord, tip aft positive. [rad]
    fore, aft, axis = (
        math.atan2(
            fin.tip_leading_edge_x + fraction * fin.tip_chord - (leading + fraction * root_chord), span
        )
        for fraction in (0.0, 1.0, fin.elastic_axis)
    )
    low, high = sorted((fore, aft))
    if low - RAKE_OFF <= fin.rake <= high + RAKE_OFF:
        return ()
    return (
        RAKE_DIFFERS(
            "fin.rake",
            f"The pocket and screws are raked by {shown.angle(fin.rake)}, and the fin's edges between root and tip by "
            f"{shown.angle(low)} to {shown.angle(high)}: the fin does not fit its pocket.",
            f"Set [fin] {typed('fin.rake', shown.angle(axis))} to match the root and the tip, or move one of the two."
            if abs(axis) < math.radians(45.0)
            else "Move the root or the tip: the fin leans by more than 45 deg, the most that can be planned.",
            found=fin.rake,
            limit=high if fin.rake > high else low,
            unit="rad",
        ),
    )
