"""Findings on cross pins, cast-in studs and blades that go right through."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from bulbcast.bulb.cuts.fittings import PinCut, StudCut
from bulbcast.bulb.fastening.fitting_room import PinRoom, StudRoom
from bulbcast.bulb.fastening.limits import (
    EDGE_IN_DIAMETERS,
    ENGAGEMENT_LEAD,
    GRIP_IN_DIAMETERS,
    engagement,
)
from bulbcast.bulb.fastening.pocket_rules import WALL_THIN
from bulbcast.bulb.fastening.screw_rules import BONDED_ONLY, HOLE_BREAKS_OUT, SCREW_SHORT
from bulbcast.bulb.results import BulbResults
from bulbcast.findings import Finding, Rule, Severity, typed
from bulbcast.quantities import Shown
from bulbcast.quantities.checked import STANDARD_GRAVITY

FASTENINGS_MEET = Rule(
    "fastenings-meet",
    Severity.STOP,
    why=("Two holes that run into each other leave no lead between them, and neither part can be fitted."),
)
PIN_MISSES_LEAD = Rule(
    "pin-misses-lead",
    Severity.STOP,
    why="A pin that does not pass through the lead holds nothing.",
)
PIN_OUTSIDE_FIN = Rule(
    "pin-outside-fin",
    Severity.STOP,
    why="A pin has to lie within the fin's tip to hold the bulb to it.",
)
PIN_NEAR_EDGE = Rule(
    "pin-near-edge",
    Severity.CAUTION,
    why="Little material beyond the hole tears out under load.",
)
PIN_SHORT = Rule(
    "pin-short",
    Severity.CAUTION,
    why="Lead is soft: a pin with little of it on each side works loose.",
)
PIN_PROUD = Rule(
    "pin-proud",
    Severity.CAUTION,
    why="What stands out of the lead catches weed and is in the way of fairing.",
)
STUD_IN_SOLID_POCKET = Rule(
    "stud-in-solid-pocket",
    Severity.STOP,
    why="Studs cast in stand where the cutter has to go; a cored pocket leaves their place open.",
)
STUD_OUTSIDE_FIN = Rule(
    "stud-outside-fin",
    Severity.STOP,
    why="The stud's hole has to lie within the thickness of the fin there.",
)
STUD_SHALLOW = Rule(
    "stud-shallow",
    Severity.CAUTION,
    why=(
        "Lead holds a stud by its length and by a bend or thread on its foot; a short smooth one pulls out."
    ),
)
STUD_FLOATS = Rule(
    "stud-floats",
    Severity.CAUTION,
    why="Molten lead is denser than steel, and lifts what is not held down.",
)


SLOT_CUT_COLD = Rule(
    "slot-cut-cold",
    Severity.CAUTION,
    why=(
        "A slot sawn out of cold lead is hours of work, gums every blade and makes lead chips that have to be caught; a "
        "core leaves it open in the casting, and that lead is never melted."
    ),
)

SLOT_SAWN = 0.2
"""A slot that removes more lead than this is better cored: judgement. [kg]"""


def check_fittings(job: BulbResults) -> tuple[Finding, ...]:
    """Every finding on pins, studs and a through-going blade.

    Args:
        job: The bulb; a bulb without them has no findings.
    """
    room, bulb, shown = job.fittings, job.bulb, job.shown
    if room is None:
        return ()
    findings: list[Finding] = []
    for number, (pin_room, pin) in enumerate(zip(room.pins, bulb.pin_cuts, strict=True), start=1):
        findings += _pin(number, pin_room, pin, job)
    for number, (stud_room, stud) in enumerate(zip(room.studs, job.wish.studs, strict=True), start=1):
        if stud_room.wall is None or stud_room.lead_below is None:
            findings.append(
                HOLE_BREAKS_OUT(
                    f"studs[{number}]",
                    f"Stud {number} misses the lead altogether.",
                    "Move it under the fin: `at` is measured aft of the tip's leading edge.",
                    limit=0.0,
                    unit="m",
                )
            )
            continue
        findings += _stud_in_lead(number, stud_room.wall.thickness, stud_room.lead_below, job)
        findings += _stud_in_fin(number, stud_room, stud, job)
        findings += _stud_cast(number, stud, job)
    findings += [
        FASTENINGS_MEET(
            "cross_pins" if "pin" in one else "studs",
            f"{one[0].upper()}{one[1:]} and {other} run into each other by {shown.length(-gap)}.",
            f"Set them {shown.length(-gap)} or more further apart, or use thinner ones.",
            found=gap,
            limit=0.0,
            unit="m",
        )
        for one, other, gap in room.gaps
        if gap < 0.0
    ]
    slot = -next((line.mass for line in bulb.lines if line.name == "pocket"), 0.0)
    if bulb.through and job.plan.fin.pocket == "cut" and slot > SLOT_SAWN:
        findings.append(
            SLOT_CUT_COLD(
                "fin.pocket",
                f"The blade goes right through, and {shown.workshop.mass(slot)} of cold lead would be sawn out for it.",
                f"Core it: {typed('fin.pocket', 'cored')}. A core of the blade's own section lies in each half mould, and "
                "that lead is not even melted.",
                found=slot,
                limit=SLOT_SAWN,
                unit="kg",
            )
        )
    pins = len(bulb.pin_cuts)
    if bulb.through and pins < 2:
        findings.append(
            BONDED_ONLY(
                "cross_pins",
                "The two halves are held by their bond to the blade and to each other"
                + (", and by one cross pin." if pins else " alone."),
                "Add two [[cross_pins]] unless the bulb is small and the joint is proved.",
                found=float(pins),
                limit=2.0,
                severity=Severity.CAUTION if pins else Severity.NOTE,
            )
        )
    return tuple(findings)


def _up(metres: float, shown: Shown) -> str:
    """A length in the builder's units, rounded up so that what is typed is not less."""
    return shown.length(metres + (2e-4 if shown.units == "imperial" else 5e-5))


def _pin(number: int, room: PinRoom, pin: PinCut, job: BulbResults) -> Iterator[Finding]:
    where, name, shown, wanted = f"cross_pins[{number}]", f"cross pin {number}", job.shown, job.wall_wanted
    if room.wall is None:
        yield PIN_MISSES_LEAD(
            where,
            f"Cross pin {number} runs clear of the lead.",
            "`at` is measured aft of the tip's leading edge and `height` up from the pocket floor.",
            limit=0.0,
            unit="m",
        )
        return
    radius, edge = 0.5 * pin.diameter, EDGE_IN_DIAMETERS * pin.diameter
    if room.in_fin < 0.0:
        at, last = job.plan.cross_pins[number - 1].at, job.plan.fin.tip_chord - radius
        low, within = pin.height < radius, f"at between {_up(radius, shown)} and {shown.length(last)}"
        thick = low and _runs_out(replace(pin, height=radius), job)
        aside = not radius <= at <= last
        if aside and not thick:
            nearest = _up(radius if at < radius else last - 4e-4, shown)
            within = typed(f"{where}.at", nearest, within, also=low)
        higher = f"{typed(f'{where}.height', _up(radius, shown))} or more, and " if low else ""
        remedy = f"Set {higher}{within}."
        if thick:
            remedy = (
                "Use a thinner pin, or a deeper pocket: this one runs out of the lead where it clears the fin's "
                f"lower edge.{f' Set {within}.' if aside else ''}"
            )
        yield PIN_OUTSIDE_FIN(
            where,
            f"Cross pin {number} comes out of the fin's tip by {shown.length(-room.in_fin)}.",
            remedy,
            found=room.in_fin,
            limit=0.0,
            unit="m",
        )
    elif room.in_fin < edge:
        yield PIN_NEAR_EDGE(
            where,
            f"Between {name} and the edge of the fin only {shown.length(room.in_fin)} is left; {shown.length(edge)} is "
            "good practice.",
            "Set it further from the fin's lower edge and its ends, or use a thinner pin.",
            found=room.in_fin,
            limit=edge,
            unit="m",
        )
    if room.wall < wanted:
        out = room.wall <= 0.0
        yield (HOLE_BREAKS_OUT if out else WALL_THIN)(
            where,
            f"The hole of {name} breaks out of the lead by {shown.length(-room.wall)}."
            if out
            else f"Over or under the hole of {name} {shown.length(room.wall)} of lead is left; "
            f"{shown.length(wanted)} is required, {shown.length(wanted - room.wall)} more.",
            "Set it nearer the bulb's axis, or use a thinner pin, a deeper pocket or a fuller bulb.",
            found=room.wall,
            limit=0.0 if out else wanted,
            unit="m",
        )
    grip = GRIP_IN_DIAMETERS * pin.diameter
    if room.grip < grip:
        yield PIN_SHORT(
            f"{where}.length",
            f"Cross pin {number} bears on {shown.length(room.grip)} of lead on each side of the fin; "
            f"{shown.length(grip)} is good practice.",
            f"Make it {shown.length(2.0 * (grip - room.grip))} longer if the bulb is wide enough, or set it where the "
            "bulb is wider.",
            found=room.grip,
            limit=grip,
            unit="m",
        )
    if room.proud > 1e-6:
        yield PIN_PROUD(
            f"{where}.length",
            f"The ends of {name} stand {shown.length(room.proud)} out of the lead.",
            f"Make it {shown.length(2.0 * room.proud)} shorter, or file it flush and weigh it like that.",
            found=room.proud,
            limit=0.0,
            unit="m",
        )


def _runs_out(pin: PinCut, job: BulbResults) -> bool:
    """Whether the top of a pin's hole over a pocket's floor lies outside the lead."""
    body, (x, z) = job.bulb.body, pin.centre(job.bulb.axis)
    top = z + 0.5 * pin.hole_diameter
    inside = (
        0.0 <= x <= body.length and body.squared_radius(np.array([x]))[0][0] > body.width_to_height * top**2
    )
    return not (job.bulb.through or inside)


def _stud_in_lead(number: int, beside: float, below: float, job: BulbResults) -> Iterator[Finding]:
    """The lead that a stud leaves beside and below its foot. [m]"""
    shown, wanted, wall = job.shown, job.wall_wanted, min(beside, below)
    if wall >= wanted:
        return
    out, under = wall <= 0.0, below < beside
    yield (HOLE_BREAKS_OUT if out else WALL_THIN)(
        f"studs[{number}].below" if under else f"studs[{number}]",
        f"Stud {number} breaks out of the lead by {shown.length(-wall)}."
        if out
        else f"{'Under the foot of' if under else 'Beside'} stud {number} {shown.length(wall)} of lead is left; "
        f"{shown.length(wanted)} is required, {shown.length(wanted - wall)} more.",
        f"Make `below` {shown.length(wanted - wall)} less."
        if under
        else "Move it towards the thickest part of the fin, use a thinner one, or a fuller bulb.",
        found=wall,
        limit=0.0 if out else wanted,
        unit="m",
    )


def _stud_in_fin(number: int, room: StudRoom, stud: StudCut, job: BulbResults) -> Iterator[Finding]:
    where, shown, fin = f"studs[{number}]", job.shown, job.plan.fin
    if job.bulb.pocket_depth > 0.0 and stud.above > 0.0 and fin.pocket != "cored":
        yield STUD_IN_SOLID_POCKET(
            f"{where}.above",
            f"Stud {number} stands up into the pocket, and the pocket is to be cut after casting: the cutter would hit "
            "it.",
            f"Set {typed('fin.pocket', 'cored')} under [fin], or use a screw from below in its place.",
            found=stud.above,
            limit=0.0,
            unit="m",
        )
    if stud.above > 0.0 and room.cheek < 0.0:
        yield STUD_OUTSIDE_FIN(
            f"{where}.at",
            f"Stud {number}, {shown.length(stud.diameter)} thick, does not fit in the fin's thickness "
            f"{shown.length(stud.at_x)} aft of the leading edge: it comes out by {shown.length(-room.cheek)}.",
            "Move it towards the thickest part of the fin, or use a thinner one.",
            found=room.cheek,
            limit=0.0,
            unit="m",
        )
    wanted = engagement(None, stud.diameter, fin.material)
    if stud.above < wanted:
        yield SCREW_SHORT(
            f"{where}.above",
            f"Stud {number} stands {shown.length(stud.above)} up into the fin; {shown.length(wanted)} is required.",
            f"Make it {shown.length(wanted - stud.above)} longer above the floor.",
            found=stud.above,
            limit=wanted,
            unit="m",
        )


def _stud_cast(number: int, stud: StudCut, job: BulbResults) -> Iterator[Finding]:
    """Whether a stud is held by the lead, and stays in its place while that is liquid."""
    where, shown, lift = f"studs[{number}]", job.shown, job.stud_lifts[number - 1]
    wanted = ENGAGEMENT_LEAD * stud.diameter
    if stud.below < wanted:
        yield STUD_SHALLOW(
            f"{where}.below",
            f"Stud {number} is cast {shown.length(stud.below)} into the lead; {shown.length(wanted)} is good practice, "
            "with a thread, a bend or a head on its foot.",
            f"Make `below` {shown.length(wanted - stud.below)} more if the bulb is deep enough.",
            found=stud.below,
            limit=wanted,
            unit="m",
        )
    if lift > 0.0:
        yield STUD_FLOATS(
            where,
            f"Stud {number} is lighter than liquid lead and pushes up in the melt with as much force as "
            f"{shown.mass(lift / STANDARD_GRAVITY)} weighs.",
            "Before the pour, fix it in the mould, dry and warm, so that it holds twice that force.",
            found=lift,
            limit=0.0,
            unit="N",
        )
