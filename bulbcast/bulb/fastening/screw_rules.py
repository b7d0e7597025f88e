"""Findings on pocket and screws: does every cut stay in the lead, and every screw in the fin."""

from __future__ import annotations

from dataclasses import dataclass

from bulbcast.bulb.fastening.limits import ENGAGEMENT_WOOD, edge_allowed, edge_good
from bulbcast.bulb.fastening.pocket_rules import WALL_THIN, check_pocket, place_of, thin_wall
from bulbcast.bulb.fastening.remedies import Pair, ScrewNeeds, ScrewRemedy
from bulbcast.bulb.fastening.room import Room, ScrewRoom
from bulbcast.findings import Finding, Rule, Severity
from bulbcast.quantities import Shown
from bulbcast.quantities.typed import length_up

RECESSES_MEET = Rule("recesses-meet", Severity.STOP)
SINGLE_SCREW = Rule("single-screw", Severity.CAUTION)
BONDED_ONLY = Rule("bonded-only", Severity.NOTE, Severity.CAUTION)
RECESS_TOO_DEEP = Rule("recess-too-deep", Severity.STOP)
RECESS_MEETS_POCKET = Rule("recess-meets-pocket", Severity.STOP)
HOLE_BREAKS_OUT = Rule("hole-breaks-out", Severity.STOP)
HEAD_PROUD = Rule("head-proud", Severity.CAUTION)
SCREW_OUTSIDE_POCKET = Rule("screw-outside-pocket", Severity.STOP)
SCREW_OUTSIDE_FIN = Rule("screw-outside-fin", Severity.STOP)
FIN_CHEEK_THIN = Rule("fin-cheek-thin", Severity.STOP, Severity.CAUTION)
SCREW_SHORT = Rule("screw-short", Severity.STOP)
THREAD_SHORT_IN_WOOD = Rule("thread-short-in-wood", Severity.CAUTION)

# By which a longer screw, once the bulb is sized again with it, may reach less far. [m]
_REST = 1e-4


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


def screws_in_trouble(
    room: Room, asked: tuple[ScrewAsked, ...], wall_wanted: float, pocket_depth: float
) -> dict[int, ScrewNeeds]:
    """Screws that leave less lead or fin than they should, with what each must leave.

    Args:
        room: The measurements.
        asked: The screws as planned.
        wall_wanted: [m]
        pocket_depth: As planned. [m]

    Returns:
        By number, from 1: those for which a remedy is worth a search.
    """
    meeting = {other for _, other, gap in room.recess_gaps if gap < 0.0}
    return {
        number: screw_needs(plan, wall_wanted)
        for number, (screw, plan) in enumerate(zip(room.screws, asked, strict=True), start=1)
        if number in meeting
        or screw.misses
        or screw.seat_to_floor < wall_wanted
        or (screw.inside_pocket < 0.0 and pocket_depth > 0.0)
        or screw.cheek < edge_good(plan.hole_diameter)
        or any(
            wall is not None and wall.thickness < wall_wanted for wall in (screw.hole_wall, screw.recess_wall)
        )
    }


def screw_needs(plan: ScrewAsked, wall_wanted: float) -> ScrewNeeds:
    """What a screw must leave and reach.

    Args:
        plan: The screw as planned.
        wall_wanted: [m]
    """
    return ScrewNeeds(
        wall=wall_wanted,
        thread=plan.engagement,
        edge_allowed=edge_allowed(plan.hole_diameter),
        edge_good=edge_good(plan.hole_diameter),
    )


def check_cuts(
    room: Room,
    asked: tuple[ScrewAsked, ...],
    remedies: dict[int, ScrewRemedy],
    *,
    wall_wanted: float,
    pocket_depth: float,
    pair: Pair | None = None,
    fastened_otherwise: bool = False,
    shown: Shown,
) -> tuple[Finding, ...]:
    """Every finding on pocket and screws.

    Args:
        room: The measurements.
        asked: The screws as planned, in order.
        remedies: By screw number, for those named by `screws_in_trouble`.
        wall_wanted: [m]
        pocket_depth: As planned. [m]
        pair: Where two screws like the only one have room; None where the chord has none.
        fastened_otherwise: Whether pins or studs hold it too, or the blade goes right through.
        shown: The builder's units.

    Returns:
        Findings in the order of the work.
    """
    findings: list[Finding] = []
    findings += check_pocket(room.pocket, wall_wanted, pocket_depth, shown)
    for number, (screw, plan) in enumerate(zip(room.screws, asked, strict=True), start=1):
        remedy = remedies.get(number)
        findings += _lead_findings(number, screw, plan, remedy, wall_wanted, shown)
        findings += _fin_findings(number, screw, plan, remedy, pocket_depth, shown)
        findings += _thread_findings(number, screw, plan, remedy, shown)
    for one, other, gap in room.recess_gaps:
        if gap < 0.0:
            findings.append(
                RECESSES_MEET(
                    where=f"screws[{other}].at",
                    found=gap,
                    limit=0.0,
                    unit="m",
                    message=f"The recesses of screws {one} and {other} run into each other by {shown.length(-gap)}.",
                    remedy=_screw_words(
                        other,
                        remedies.get(other),
                        shown,
                        f"Set them {length_up(-gap, shown)} or more further apart, or take smaller heads.",
                    ),
                )
            )
    if len(asked) == 1 and not fastened_otherwise:
        findings.append(
            SINGLE_SCREW(
                where="screws",
                found=1.0,
                limit=2.0,
                message="One screw alone holds the bulb, and lets it turn if the bedding goes.",
                remedy=_pair_words(pair, shown),
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


def _pair_words(pair: Pair | None, shown: Shown) -> str:
    if pair is None:
        return (
            "The chord has no room for two such screws: take a deeper pocket_depth and bond the fin in it, or hold the "
            "bulb with two [[cross_pins]], or with a rod bonded in along the fin."
        )
    if not pair.unchanged:
        return "Use two screws or more, one towards each end of the chord."
    return (
        f'Use two screws: set at = "{shown.length(pair.forward)}" and add [[screws]] at = "{shown.length(pair.aft)}" '
        "with the rest as in the first."
    )


def _screw_words(number: int, remedy: ScrewRemedy | None, shown: Shown, other: str = "") -> str:
    """What sets a screw right, in one go; `other` where that is not found, or else a smaller head, or nothing."""
    if remedy is None or not remedy.any:
        return other or (
            f"No place under this fin and no smaller head or washer would do for screw {number}: take a fuller bulb, or a "
            "thinner screw."
        )
    ways = []
    lines = [
        f'{leaf} = "{shown.length(value)}"'
        for leaf, value in (("at", remedy.at), ("recess", remedy.recess), ("length", remedy.length))
        if value is not None
    ]
    if remedy.found and lines:
        why = ""
        if remedy.at is not None:
            why = (
                ", the nearest place that is good practice"
                if remedy.good_practice
                else ", the nearest place that is allowed, since none leaves the fin that good practice asks for"
            )
        ways.append(f"set {' and '.join(lines)}{why}")
    if remedy.largest_head is not None and not other:
        ways.append(
            f'set head_diameter = "{shown.length(remedy.largest_head)}", the largest that would do where it is'
        )
    if remedy.largest_washer is not None and not other:
        ways.append(
            f'set washer_diameter = "{shown.length(remedy.largest_washer)}", the largest that would do where it is'
        )
    if not ways:
        return other or "The screw itself is right where it is: take a fuller bulb."
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
                remedy=_screw_words(
                    number,
                    remedy,
                    shown,
                    "Move it under the bulb: `at` is measured aft of the tip's leading edge.",
                ),
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
                remedy=_screw_words(
                    number,
                    remedy,
                    shown,
                    f"Take a recess below {shown.length(screw.lead_to_floor)}, where the pocket begins.",
                ),
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
                remedy=_screw_words(
                    number,
                    remedy,
                    shown,
                    f"Take a recess below {shown.length(screw.lead_to_floor)}, or a shallower pocket.",
                ),
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
                remedy=_screw_words(
                    number,
                    remedy,
                    shown,
                    f"Take a recess {shown.length(wall_wanted - screw.seat_to_floor)} shallower, or a shallower pocket.",
                ),
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
                    f"at {place_of(wall, shown)}.",
                    remedy=_screw_words(number, remedy, shown),
                )
            )
        elif wall.thickness < wall_wanted:
            findings.append(
                thin_wall(
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
    number: int,
    screw: ScrewRoom,
    plan: ScrewAsked,
    remedy: ScrewRemedy | None,
    pocket_depth: float,
    shown: Shown,
) -> list[Finding]:
    where = f"screws[{number}].at"
    nowhere = f"No place under this fin has room for screw {number}: take a thinner screw, or a thicker fin."
    findings = []
    if screw.inside_pocket < 0.0 and pocket_depth > 0.0:
        findings.append(
            SCREW_OUTSIDE_POCKET(
                where=where,
                found=screw.inside_pocket,
                limit=0.0,
                unit="m",
                message=f"The hole of screw {number} comes up outside the pocket by "
                f"{shown.length(-screw.inside_pocket)}.",
                remedy=_screw_words(number, remedy, shown, nowhere),
            )
        )
    allowed, good = edge_allowed(plan.hole_diameter), edge_good(plan.hole_diameter)
    if screw.cheek < 0.0:
        findings.append(
            SCREW_OUTSIDE_FIN(
                where=where,
                found=screw.cheek,
                limit=0.0,
                unit="m",
                message=f"Screw {number}, {shown.length(plan.diameter)} thick, does not fit in the fin's thickness "
                f"{shown.length(screw.at)} aft of the leading edge: it comes out by {shown.length(-screw.cheek)}.",
                remedy=_screw_words(number, remedy, shown, nowhere),
            )
        )
    elif screw.cheek < allowed:
        findings.append(
            FIN_CHEEK_THIN(
                severity=Severity.STOP,
                where=where,
                found=screw.cheek,
                limit=allowed,
                unit="m",
                message=f"Beside screw {number} only {shown.length(screw.cheek)} of the fin is left on each side; "
                f"{shown.length(allowed)} must be, and {shown.length(good)} is good practice.",
                remedy=_screw_words(number, remedy, shown, nowhere),
            )
        )
    elif screw.cheek < good:
        better = remedy is not None and remedy.found and remedy.good_practice
        findings.append(
            FIN_CHEEK_THIN(
                severity=Severity.CAUTION,
                where=where,
                found=screw.cheek,
                limit=good,
                unit="m",
                message=f"Beside screw {number} only {shown.length(screw.cheek)} of the fin is left on each side; "
                f"{shown.length(good)} is good practice.",
                remedy=_screw_words(number, remedy, shown, nowhere)
                if better
                else "No place under this fin leaves what good practice asks for: take a thinner screw, or a thicker fin.",
            )
        )
    return findings


def _thread_findings(
    number: int, screw: ScrewRoom, plan: ScrewAsked, remedy: ScrewRemedy | None, shown: Shown
) -> list[Finding]:
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
                remedy=_screw_words(
                    number,
                    remedy if remedy is not None and remedy.found else None,
                    shown,
                    f'Set length = "{length_up(plan.length + plan.engagement - screw.thread + _REST, shown)}" or more.',
                ),
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
