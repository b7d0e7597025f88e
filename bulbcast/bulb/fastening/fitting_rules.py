"""Findings on cross pins, cast-in studs and blades that go right through."""

from __future__ import annotations

from dataclasses import dataclass

from bulbcast.bulb.fastening.fitting_room import FittingRoom, PinRoom, StudRoom
from bulbcast.bulb.fastening.limits import EDGE_IN_DIAMETERS, ENGAGEMENT_LEAD, GRIP_IN_DIAMETERS
from bulbcast.bulb.fastening.pocket_rules import WALL_THIN
from bulbcast.bulb.fastening.screw_rules import BONDED_ONLY, HOLE_BREAKS_OUT, SCREW_SHORT
from bulbcast.findings import Finding, Rule, Severity
from bulbcast.materials.gravity import STANDARD_GRAVITY
from bulbcast.quantities import Shown

FASTENINGS_MEET = Rule("fastenings-meet", Severity.STOP)
PIN_MISSES_LEAD = Rule("pin-misses-lead", Severity.STOP)
PIN_OUTSIDE_FIN = Rule("pin-outside-fin", Severity.STOP)
PIN_NEAR_EDGE = Rule("pin-near-edge", Severity.CAUTION)
PIN_SHORT = Rule("pin-short", Severity.CAUTION)
PIN_PROUD = Rule("pin-proud", Severity.CAUTION)
STUD_IN_SOLID_POCKET = Rule("stud-in-solid-pocket", Severity.STOP)
STUD_OUTSIDE_FIN = Rule("stud-outside-fin", Severity.STOP)
STUD_SHALLOW = Rule("stud-shallow", Severity.CAUTION)
STUD_FLOATS = Rule("stud-floats", Severity.CAUTION)


@dataclass(frozen=True, slots=True, kw_only=True)
class PinAsked:
    """What the plan says of one cross pin, as far as the checks need it. [m]"""

    at: float
    height: float
    diameter: float
    hole_diameter: float
    length: float


@dataclass(frozen=True, slots=True, kw_only=True)
class StudAsked:
    """What the plan says of one stud: lengths in m, `engagement` wanted in the fin.

    `lift` is the force with which it rises in the liquid lead when it is held under, negative where it sinks [N].
    """

    at: float
    diameter: float
    below: float
    above: float
    engagement: float
    lift: float


def check_fittings(
    room: FittingRoom,
    pins: tuple[PinAsked, ...],
    studs: tuple[StudAsked, ...],
    *,
    wall_wanted: float,
    pocket_depth: float,
    pocket_cored: bool,
    through: bool,
    chord: float,
    shown: Shown,
) -> tuple[Finding, ...]:
    """Every finding on pins, studs and a through-going blade.

    Args:
        room: The measurements.
        pins: As planned, in order.
        studs: As planned, in order.
        wall_wanted: [m]
        pocket_depth: As planned, or the bulb's height for a blade that goes through. [m]
        pocket_cored: Whether the mould has the pocket as a core.
        through: Whether the blade goes right through.
        chord: Of the fin's tip. [m]
        shown: The builder's units.
    """
    findings: list[Finding] = []
    for number, (pin_room, pin) in enumerate(zip(room.pins, pins, strict=True), start=1):
        findings += _pin(number, pin_room, pin, wall_wanted, chord, shown)
    for number, (stud_room, stud) in enumerate(zip(room.studs, studs, strict=True), start=1):
        findings += _stud(number, stud_room, stud, wall_wanted, pocket_depth, pocket_cored, shown)
    for one, other, gap in room.gaps:
        if gap < 0.0:
            findings.append(
                _found(
                    FASTENINGS_MEET,
                    "cross_pins" if "pin" in one else "studs",
                    gap,
                    0.0,
                    f"{one[0].upper()}{one[1:]} and {other} run into each other by {shown.length(-gap)}.",
                    f"Set them {shown.length(-gap)} or more further apart, or take thinner ones.",
                )
            )
    if through and len(pins) < 2:
        findings.append(
            _found(
                BONDED_ONLY,
                "cross_pins",
                float(len(pins)),
                2.0,
                "The two halves hang on their bond to the blade and to each other"
                + (", and on one cross pin." if pins else " alone."),
                "Add two [[cross_pins]] unless the bulb is small and the joint is proved.",
                unit="",
                severity=Severity.CAUTION if pins else Severity.NOTE,
            )
        )
    return tuple(findings)


def _found(
    rule: Rule,
    where: str,
    found: float | None,
    limit: float | None,
    message: str,
    remedy: str,
    *,
    unit: str = "m",
    severity: Severity | None = None,
) -> Finding:
    return rule(
        where=where,
        found=found,
        limit=limit,
        unit=unit,
        message=message,
        remedy=remedy,
        severity=severity,
    )


def _up(metres: float, shown: Shown) -> str:
    """A length in the builder's units, rounded so that what she types is not less."""
    return shown.length(metres + (2e-4 if shown.units == "imperial" else 5e-5))


def _pin(
    number: int, room: PinRoom, pin: PinAsked, wall_wanted: float, chord: float, shown: Shown
) -> list[Finding]:
    where, findings = f"cross_pins[{number}]", []
    if room.wall is None:
        return [
            _found(
                PIN_MISSES_LEAD,
                where,
                None,
                0.0,
                f"Cross pin {number} runs clear of the lead.",
                "`at` is measured aft of the tip's leading edge and `height` up from the pocket floor.",
            )
        ]
    if room.in_fin < 0.0:
        findings.append(
            _found(
                PIN_OUTSIDE_FIN,
                where,
                room.in_fin,
                0.0,
                f"Cross pin {number} comes out of the fin's tip by {shown.length(-room.in_fin)}.",
                f'Set height = "{_up(0.5 * pin.diameter, shown)}" or more, and at between '
                f"{_up(0.5 * pin.diameter, shown)} and {shown.length(chord - 0.5 * pin.diameter)}.",
            )
        )
    elif room.in_fin < EDGE_IN_DIAMETERS * pin.diameter:
        findings.append(
            _found(
                PIN_NEAR_EDGE,
                where,
                room.in_fin,
                EDGE_IN_DIAMETERS * pin.diameter,
                f"Between cross pin {number} and the edge of the fin only {shown.length(room.in_fin)} is left; "
                f"{shown.length(EDGE_IN_DIAMETERS * pin.diameter)} is good practice.",
                "Set it further from the fin's lower edge and its ends, or take a thinner pin.",
            )
        )
    if room.wall < wall_wanted:
        out = room.wall <= 0.0
        findings.append(
            _found(
                HOLE_BREAKS_OUT if out else WALL_THIN,
                where,
                room.wall,
                0.0 if out else wall_wanted,
                f"The hole of cross pin {number} breaks out of the lead by {shown.length(-room.wall)}."
                if out
                else f"Over or under the hole of cross pin {number} {shown.length(room.wall)} of lead is left; "
                f"{shown.length(wall_wanted)} is wanted, {shown.length(wall_wanted - room.wall)} more.",
                "Set it nearer to the bulb's axis, or take a thinner pin, a deeper pocket_depth or a fuller bulb.",
            )
        )
    if room.grip < GRIP_IN_DIAMETERS * pin.diameter:
        findings.append(
            _found(
                PIN_SHORT,
                f"{where}.length",
                room.grip,
                GRIP_IN_DIAMETERS * pin.diameter,
                f"Cross pin {number} bears on {shown.length(room.grip)} of lead on each side of the fin; "
                f"{shown.length(GRIP_IN_DIAMETERS * pin.diameter)} is good practice.",
                f"Take it {shown.length(2.0 * (GRIP_IN_DIAMETERS * pin.diameter - room.grip))} longer where the bulb "
                "is wide enough, or set it where the bulb is wider.",
            )
        )
    if room.proud > 1e-6:
        findings.append(
            _found(
                PIN_PROUD,
                f"{where}.length",
                room.proud,
                0.0,
                f"The ends of cross pin {number} stand {shown.length(room.proud)} out of the lead.",
                f"Take it {shown.length(2.0 * room.proud)} shorter, or file it flush and weigh it so.",
            )
        )
    return findings


def _stud(
    number: int,
    room: StudRoom,
    stud: StudAsked,
    wall_wanted: float,
    pocket_depth: float,
    pocket_cored: bool,
    shown: Shown,
) -> list[Finding]:
    where, findings = f"studs[{number}]", []
    if room.wall is None or room.lead_below is None:
        return [
            _found(
                HOLE_BREAKS_OUT,
                where,
                None,
                0.0,
                f"Stud {number} misses the lead altogether.",
                "Move it under the fin: `at` is measured aft of the tip's leading edge.",
            )
        ]
    wall = min(room.wall.thickness, room.lead_below)
    if wall < wall_wanted:
        out = wall <= 0.0
        under = room.lead_below < room.wall.thickness
        findings.append(
            _found(
                HOLE_BREAKS_OUT if out else WALL_THIN,
                f"{where}.below" if under else where,
                wall,
                0.0 if out else wall_wanted,
                f"Stud {number} breaks out of the lead by {shown.length(-wall)}."
                if out
                else f"{'Under the foot of' if under else 'Beside'} stud {number} {shown.length(wall)} of lead is left; "
                f"{shown.length(wall_wanted)} is wanted, {shown.length(wall_wanted - wall)} more.",
                f"Set below {shown.length(wall_wanted - wall)} less."
                if under
                else "Move it towards the thick of the fin, take a thinner one, or a fuller bulb.",
            )
        )
    if pocket_depth > 0.0 and stud.above > 0.0 and not pocket_cored:
        findings.append(
            _found(
                STUD_IN_SOLID_POCKET,
                f"{where}.above",
                stud.above,
                0.0,
                f"Stud {number} stands up into the pocket, and the pocket is to be cut after casting: the cutter would "
                "meet it.",
                'Set pocket = "cored" under [fin], or take a screw from below in its place.',
            )
        )
    if stud.above > 0.0 and room.cheek < 0.0:
        findings.append(
            _found(
                STUD_OUTSIDE_FIN,
                f"{where}.at",
                room.cheek,
                0.0,
                f"Stud {number}, {shown.length(stud.diameter)} thick, does not fit in the fin's thickness "
                f"{shown.length(stud.at)} aft of the leading edge: it comes out by {shown.length(-room.cheek)}.",
                "Move it towards the thick of the fin, or take a thinner one.",
            )
        )
    if stud.above < stud.engagement:
        findings.append(
            _found(
                SCREW_SHORT,
                f"{where}.above",
                stud.above,
                stud.engagement,
                f"Stud {number} stands {shown.length(stud.above)} up into the fin; {shown.length(stud.engagement)} is "
                "wanted.",
                f"Take it {shown.length(stud.engagement - stud.above)} longer above the floor.",
            )
        )
    if stud.below < ENGAGEMENT_LEAD * stud.diameter:
        findings.append(
            _found(
                STUD_SHALLOW,
                f"{where}.below",
                stud.below,
                ENGAGEMENT_LEAD * stud.diameter,
                f"Stud {number} is cast {shown.length(stud.below)} into the lead; "
                f"{shown.length(ENGAGEMENT_LEAD * stud.diameter)} is good practice, with a thread, a bend or a head on "
                "its foot.",
                f"Set below {shown.length(ENGAGEMENT_LEAD * stud.diameter - stud.below)} more where the bulb is deep "
                "enough.",
            )
        )
    if stud.lift > 0.0:
        findings.append(
            _found(
                STUD_FLOATS,
                where,
                stud.lift,
                0.0,
                f"Stud {number} is lighter than liquid lead and rises in the melt with as much as "
                f"{shown.mass(stud.lift / STANDARD_GRAVITY)} weighs.",
                "Fix it in the mould against twice that force before the pour, dry and warm.",
                unit="N",
            )
        )
    return findings
