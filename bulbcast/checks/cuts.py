"""Findings on pocket and screws: does every cut stay in the lead, and every screw in the fin."""

from __future__ import annotations

from dataclasses import dataclass

from bulbcast.checks.limits import CHEEK_IN_DIAMETERS, ENGAGEMENT_WOOD
from bulbcast.findings import Finding, Rule, Severity, Step
from bulbcast.quantities import Shown
from bulbcast.shape.walls import Wall
from bulbcast.sizing.remedies import ScrewRemedy
from bulbcast.sizing.room import PocketRoom, Room, ScrewRoom

RECESSES_MEET = Rule("recesses-meet", Severity.STOP)
SINGLE_SCREW = Rule("single-screw", Severity.CAUTION)
BONDED_ONLY = Rule("bonded-only", Severity.NOTE, Severity.CAUTION)
FASTENING_NOT_SHOWN = Rule("fastening-not-shown", Severity.HOLD, holds=(Step.FASTENING,))
POCKET_THROUGH_SIDE = Rule("pocket-through-side", Severity.STOP)
FIN_PROUD = Rule("fin-proud", Severity.CAUTION)
RECESS_TOO_DEEP = Rule("recess-too-deep", Severity.STOP)
RECESS_MEETS_POCKET = Rule("recess-meets-pocket", Severity.STOP)
WALL_THIN = Rule("wall-thin", Severity.STOP)
HOLE_BREAKS_OUT = Rule("hole-breaks-out", Severity.STOP)
HEAD_PROUD = Rule("head-proud", Severity.CAUTION)
SCREW_OUTSIDE_POCKET = Rule("screw-outside-pocket", Severity.STOP)
SCREW_OUTSIDE_FIN = Rule("screw-outside-fin", Severity.STOP)
FIN_CHEEK_THIN = Rule("fin-cheek-thin", Severity.CAUTION)
SCREW_SHORT = Rule("screw-short", Severity.STOP)
THREAD_SHORT_IN_WOOD = Rule("thread-short-in-wood", Severity.CAUTION)


@dataclass(frozen=True, slots=True, kw_only=True)
class ScrewAsked:
    """What the plan says of one screw, as far as the checks need it. Lengths in m.

    `engagement_given` tells whether the thread wanted was typed or the fin's material named.
    """

    diameter: float
    hole_diameter: float
    head_diameter: float
    head_height: float
    recess: float
    length: float
    engagement: float
    engagement_given: bool
    washer_thickness: float | None = None

    @property
    def stack(self) -> float:
        """Head and washer, which the recess has to take. [m]"""
        return self.head_height if self.washer_thickness is None else self.head_height + self.washer_thickness


def walls_below(room: Room, asked: tuple[ScrewAsked, ...], wall_wanted: float) -> tuple[int, ...]:
    """Numbers, from 1, of the screws whose hole or recess leaves less lead than wanted.

    Args:
        room: The measurements.
        asked: The screws as planned.
        wall_wanted: [m]

    Returns:
        The screws for which a remedy is worth a search.
    """
    return tuple(
        number
        for number, (screw, plan) in enumerate(zip(room.screws, asked, strict=True), start=1)
        if not screw.misses
        and plan.recess < screw.lead_to_floor
        and any(
            wall is not None and wall.thickness < wall_wanted for wall in (screw.hole_wall, screw.recess_wall)
        )
    )


def check_cuts(
    room: Room,
    asked: tuple[ScrewAsked, ...],
    remedies: dict[int, ScrewRemedy],
    *,
    wall_wanted: float,
    pocket_depth: float,
    fin_length: float,
    fastened_otherwise: bool = False,
    shown: Shown,
) -> tuple[Finding, ...]:
    """Every finding on pocket and screws.

    Args:
        room: The measurements.
        asked: The screws as planned, in order.
        remedies: By screw number, for those named by `walls_below`.
        wall_wanted: [m]
        pocket_depth: As planned. [m]
        fin_length: Chord of the fin's tip. [m]
        fastened_otherwise: Whether pins or studs hold it too, or the blade goes right through.
        shown: The builder's units.

    Returns:
        Findings in the order of the work.
    """
    findings: list[Finding] = []
    findings += _pocket_findings(room.pocket, wall_wanted, pocket_depth, shown)
    for number, (screw, plan) in enumerate(zip(room.screws, asked, strict=True), start=1):
        findings += _lead_findings(number, screw, plan, remedies.get(number), wall_wanted, shown)
        findings += _fin_findings(number, screw, plan, fin_length, pocket_depth, shown)
        findings += _thread_findings(number, screw, plan, shown)
    for one, other, gap in room.recess_gaps:
        if gap < 0.0:
            findings.append(
                RECESSES_MEET(
                    where=f"screws[{other}].at",
                    found=gap,
                    limit=0.0,
                    unit="m",
                    message=f"The recesses of screws {one} and {other} run into each other by {shown.length(-gap)}.",
                    remedy=f"Set them {shown.length(-gap)} or more further apart, or take smaller heads.",
                )
            )
    if len(asked) == 1 and not fastened_otherwise:
        findings.append(
            SINGLE_SCREW(
                where="screws",
                found=1.0,
                limit=2.0,
                message="One screw alone holds the bulb, and lets it turn if the bedding goes.",
                remedy="Use two screws or more, one towards each end of the chord.",
            )
        )
    if not asked and pocket_depth > 0.0 and not fastened_otherwise:
        findings.append(
            BONDED_ONLY(
                severity=Severity.NOTE,
                where="screws",
                found=0.0,
                limit=2.0,
                message="No screw is planned: the bulb hangs on the bedding in its pocket alone.",
                remedy="Add two [[screws]] unless the bulb is small and the joint is proved.",
            )
        )
    return tuple(findings)


def _pocket_findings(room: PocketRoom, wall_wanted: float, depth: float, shown: Shown) -> list[Finding]:
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
            _thin_wall("fin.pocket_depth", "pocket", room.wall, wall_wanted, shown, (
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


def _place(wall: Wall, shown: Shown) -> str:
    side = "below" if wall.z < 0.0 else "above"
    return f"{shown.length(wall.x)} from the nose, {shown.length(abs(wall.z))} {side} the axis"


def _thin_wall(where: str, what: str, wall: Wall, wanted: float, shown: Shown, remedy: str) -> Finding:
    return WALL_THIN(
        where=where,
        found=wall.thickness,
        limit=wanted,
        unit="m",
        message=f"The {what} leaves a wall of {shown.length(wall.thickness)} at {_place(wall, shown)}; "
        f"{shown.length(wanted)} is wanted, {shown.length(wanted - wall.thickness)} more.",
        remedy=remedy,
    )


def _screw_words(number: int, remedy: ScrewRemedy | None, shown: Shown) -> str:
    if remedy is None or not remedy.any:
        return f"No place under this fin and no smaller head or washer would do for screw {number}: take a fuller bulb."
    ways = []
    if remedy.nearest_at is not None:
        ways.append(f'set at = "{shown.length(remedy.nearest_at)}", the nearest place that would do')
    if remedy.largest_head is not None:
        ways.append(
            f'set head_diameter = "{shown.length(remedy.largest_head)}", the largest that would do where it is'
        )
    if remedy.largest_washer is not None:
        ways.append(
            f'set washer_diameter = "{shown.length(remedy.largest_washer)}", the largest that would do where it is'
        )
    text = ", or ".join(ways)
    return f"{text[0].upper()}{text[1:]}."


def _lead_findings(
    number: int,
    screw: ScrewRoom,
    plan: ScrewAsked,
    remedy: ScrewRemedy | None,
    wall_wanted: float,
    shown: Shown,
) -> list[Finding]:
    where = f"screws[{number}]"
    if screw.misses:
        return [
            HOLE_BREAKS_OUT(
                where=f"{where}.at",
                limit=0.0,
                unit="m",
                message=f"The axis of screw {number} misses the lead altogether.",
                remedy="Move it under the bulb: `at` is measured aft of the tip's leading edge.",
            )
        ]
    if plan.recess >= screw.lead_above:
        return [
            RECESS_TOO_DEEP(
                where=f"{where}.recess",
                found=plan.recess,
                limit=screw.lead_above,
                unit="m",
                message=f"The recess of screw {number} is {shown.length(plan.recess)} deep, and the bulb there only "
                f"{shown.length(screw.lead_above)}.",
                remedy=f"Take a recess below {shown.length(screw.lead_to_floor)}, where the pocket begins.",
            )
        ]
    findings = []
    if plan.recess >= screw.lead_to_floor:
        findings.append(
            RECESS_MEETS_POCKET(
                where=f"{where}.recess",
                found=plan.recess,
                limit=screw.lead_to_floor,
                unit="m",
                message=f"The recess of screw {number} is {shown.length(plan.recess)} deep and meets the pocket "
                f"{shown.length(screw.lead_to_floor)} above the underside: no lead is left under the head.",
                remedy=f"Take a recess below {shown.length(screw.lead_to_floor)}, or a shallower pocket.",
            )
        )
        return findings
    if screw.seat_to_floor < wall_wanted:
        seat = "head" if plan.washer_thickness is None else "washer"
        findings.append(
            WALL_THIN(
                where=f"{where}.recess",
                found=screw.seat_to_floor,
                limit=wall_wanted,
                unit="m",
                message=f"Between the {seat}'s seat of screw {number} and the pocket {shown.length(screw.seat_to_floor)} "
                f"of lead is left to carry the bulb; {shown.length(wall_wanted)} is wanted.",
                remedy=f"Take a recess {shown.length(wall_wanted - screw.seat_to_floor)} shallower, or a shallower "
                "pocket.",
            )
        )
    for wall, what in ((screw.hole_wall, "hole"), (screw.recess_wall, "recess")):
        if wall is None:
            continue
        if wall.thickness <= 0.0:
            findings.append(
                HOLE_BREAKS_OUT(
                    where=where,
                    found=wall.thickness,
                    limit=0.0,
                    unit="m",
                    message=f"The {what} of screw {number} breaks out of the lead by {shown.length(-wall.thickness)} "
                    f"at {_place(wall, shown)}.",
                    remedy=_screw_words(number, remedy, shown),
                )
            )
        elif wall.thickness < wall_wanted:
            findings.append(
                _thin_wall(
                    where,
                    f"{what} of screw {number}",
                    wall,
                    wall_wanted,
                    shown,
                    _screw_words(number, remedy, shown),
                )
            )
    if plan.stack > screw.rim_depth:
        washer = (
            ""
            if plan.washer_thickness is None
            else f" on its washer of {shown.length(plan.washer_thickness)}"
        )
        findings.append(
            HEAD_PROUD(
                where=f"{where}.head_height",
                found=plan.stack,
                limit=screw.rim_depth,
                unit="m",
                message=f"The head of screw {number} is {shown.length(plan.head_height)} high{washer} and its recess only "
                f"{shown.length(screw.rim_depth)} deep at its shallowest: the head stands proud.",
                remedy=f"Deepen the recess by {shown.length(plan.stack - screw.rim_depth)}, or take a lower head.",
            )
        )
    return findings


def _fin_findings(
    number: int, screw: ScrewRoom, plan: ScrewAsked, chord: float, pocket_depth: float, shown: Shown
) -> list[Finding]:
    where = f"screws[{number}]"
    findings = []
    if screw.inside_pocket < 0.0 and pocket_depth > 0.0:
        findings.append(
            SCREW_OUTSIDE_POCKET(
                where=f"{where}.at",
                found=screw.inside_pocket,
                limit=0.0,
                unit="m",
                message=f"The hole of screw {number} comes up outside the pocket by "
                f"{shown.length(-screw.inside_pocket)}.",
                remedy=f"Move it towards the thick of the fin, about {shown.length(0.3 * chord)} aft of the tip's "
                "leading edge, or take a smaller screw.",
            )
        )
    if screw.cheek < 0.0:
        findings.append(
            SCREW_OUTSIDE_FIN(
                where=f"{where}.at",
                found=screw.cheek,
                limit=0.0,
                unit="m",
                message=f"Screw {number}, {shown.length(plan.diameter)} thick, does not fit in the fin's thickness "
                f"{shown.length(screw.at)} aft of the leading edge: it comes out by {shown.length(-screw.cheek)}.",
                remedy=f"Move it towards the thick of the fin, about {shown.length(0.3 * chord)} aft of the tip's "
                "leading edge, or take a thinner screw.",
            )
        )
    elif screw.cheek < CHEEK_IN_DIAMETERS * plan.diameter:
        findings.append(
            FIN_CHEEK_THIN(
                where=f"{where}.at",
                found=screw.cheek,
                limit=CHEEK_IN_DIAMETERS * plan.diameter,
                unit="m",
                message=f"Beside screw {number} only {shown.length(screw.cheek)} of the fin is left on each side; "
                f"{shown.length(CHEEK_IN_DIAMETERS * plan.diameter)} is good practice.",
                remedy="Move it towards the thick of the fin, or take a thinner screw.",
            )
        )
    return findings


def _thread_findings(number: int, screw: ScrewRoom, plan: ScrewAsked, shown: Shown) -> list[Finding]:
    if screw.misses:
        return []
    where = f"screws[{number}].length"
    wood = ENGAGEMENT_WOOD * plan.diameter
    if screw.thread < plan.engagement:
        return [
            SCREW_SHORT(
                where=where,
                found=screw.thread,
                limit=plan.engagement,
                unit="m",
                message=f"Screw {number} reaches {shown.length(screw.thread)} above the pocket floor; "
                f"{shown.length(plan.engagement)} of thread is wanted in the fin."
                if screw.thread > 0.0
                else f"Screw {number} ends {shown.length(-screw.thread)} below the pocket floor and does not reach the fin.",
                remedy=f'Set length = "{shown.length(plan.length + plan.engagement - screw.thread)}" or more, '
                "or a deeper recess.",
            )
        ]
    if not plan.engagement_given and screw.thread < wood:
        return [
            THREAD_SHORT_IN_WOOD(
                where=where,
                found=screw.thread,
                limit=wood,
                unit="m",
                message=f"Screw {number} has {shown.length(screw.thread)} of thread in the fin: enough in metal, short in "
                f"wood or laminate, where {shown.length(wood)} is wanted.",
                remedy='Say [fin] material = "metal", "wood" or "laminate", or take a longer screw.',
            )
        ]
    return []
