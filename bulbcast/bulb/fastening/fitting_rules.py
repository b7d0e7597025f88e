"""Findings on cross pins, cast-in studs and blades that go right through."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from bulbcast.bulb.cuts.fittings import PinCut, StudCut
from bulbcast.bulb.fastening.fitting_room import PinRoom, StudRoom, lead_about, lead_surface
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
    why=("If two holes overlap, no lead is left between them and neither part can be fitted."),
)
PIN_MISSES_LEAD = Rule(
    "pin-misses-lead",
    Severity.STOP,
    why="A pin that does not pass through the lead holds nothing.",
)
PIN_OUTSIDE_FIN = Rule(
    "pin-outside-fin",
    Severity.STOP,
    why="A pin has to be within the fin's tip to hold the bulb to it.",
)
PIN_NEAR_EDGE = Rule(
    "pin-near-edge",
    Severity.CAUTION,
    why="If there is too little material beyond the hole, the pin tears out under load.",
)
PIN_SHORT = Rule(
    "pin-short",
    Severity.CAUTION,
    why="Lead is soft, and a pin with too little lead on each side works loose.",
)
PIN_PROUD = Rule(
    "pin-proud",
    Severity.CAUTION,
    why="A pin that projects from the lead catches weed and gets in the way of fairing.",
)
STUD_IN_SOLID_POCKET = Rule(
    "stud-in-solid-pocket",
    Severity.STOP,
    why="Cast-in studs are in the way of the cutter. With a cored pocket there is nothing to cut.",
)
STUD_OUTSIDE_FIN = Rule(
    "stud-outside-fin",
    Severity.STOP,
    why="The stud's hole has to fit within the thickness of the fin.",
)
STUD_SHALLOW = Rule(
    "stud-shallow",
    Severity.CAUTION,
    why=(
        "A stud is held in the lead by its length and by a bend or thread at its foot. A short, smooth one pulls out."
    ),
)
STUD_FLOATS = Rule(
    "stud-floats",
    Severity.CAUTION,
    why="Molten lead is denser than steel, and lifts anything that is not held down.",
)


SLOT_CUT_COLD = Rule(
    "slot-cut-cold",
    Severity.CAUTION,
    why=(
        "Sawing a slot out of cold lead takes hours, clogs every blade and makes lead chips that have to be collected. "
        "With a core, the slot is cast, and the lead that would fill it is never melted."
    ),
)

PIN_SIZES = {
    "metric": (2e-3, 3e-3, 4e-3, 5e-3, 6e-3, 8e-3, 10e-3, 12e-3, 16e-3, 20e-3),
    "imperial": tuple(
        0.0254 * one for one in (0.0625, 0.09375, 0.125, 0.1875, 0.25, 0.375, 0.5, 0.625, 0.75)
    ),
}
"""Diameters in which rod is sold. Common practice, no source. [m]"""
_PLACES = ((0.2, 0.8), (0.3, 0.7), (0.4, 0.6), (0.1, 0.9), (0.25, 0.55), (0.45, 0.75))
"""Trial positions of two pins that hold two halves together, as fractions of the fin's chord. [-]"""
_DEPTHS = (0.3, 0.35, 0.4, 0.45, 0.5, 0.55)
"""Trial depths of pins that hold two halves together, as fractions of the distance from pocket floor to underside. [-]"""
_SPARE = 3e-4
"""Margin over the required wall at a suggested position, to allow for rounded figures and for sizing the bulb again. [m]"""
SLOT_SAWN = 0.2
"""Mass of lead above which a slot is better cored than sawn. Our judgement. [kg]"""


def check_fittings(job: BulbResults) -> tuple[Finding, ...]:
    """Every finding on pins, studs and a through-going blade.

    Args:
        job: The results for the bulb; a bulb without pins, studs or such a blade has no findings.
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
                    "Move it under the fin. `at` is measured aft of the tip's leading edge.",
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
            f"{one[0].upper()}{one[1:]} and {other} overlap by {shown.length(-gap)}.",
            f"Move them at least {shown.length(-gap)} further apart, or use thinner ones.",
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
                f"Core the slot: {typed('fin.pocket', 'cored')}. A core with the blade's section goes in each half "
                "mould, so the lead that would fill the slot is never melted.",
                found=slot,
                limit=SLOT_SAWN,
                unit="kg",
            )
        )
    if job.wish.fin.bonded:
        findings += _bonded_only(job)
    return tuple(findings)


def _bonded_only(job: BulbResults) -> Iterator[Finding]:
    """Finding on two halves with fewer than two pins. If the blade goes right through the bulb, only pins through the
    blade count; otherwise, pins through both halves count."""
    bulb = job.bulb
    held = [one for one in bulb.cuts.pins if one.half_width > 0.0]
    pins = sum(one.off_pocket < 0.0 or not bulb.through for one in held)
    if pins >= 2:
        return
    remedy = "Add two [[cross_pins]], unless the bulb is small and the joint has been tested."
    if not bulb.through and pins == 0:
        remedy = f"{_usual_pins(job)} A small bulb with a tested joint can do without them."
    yield BONDED_ONLY(
        "cross_pins",
        "The two halves are held by their bond to the blade and to each other"
        + (", and by one cross pin." if pins else " alone.")
        if bulb.through
        else "The two halves are held together by their bond"
        + (" and by the fin between them" if bulb.pocket_depth > 0.0 else "")
        + (", and by one cross pin." if pins else " alone."),
        remedy,
        found=float(pins),
        limit=2.0,
        severity=Severity.CAUTION if pins and bulb.through else Severity.NOTE,
    )


def _usual_pins(job: BulbResults) -> str:
    """Plan lines for two pins below the pocket floor that hold the two halves together, or advice on where to put them if
    there is no room there.
    """
    shown = job.shown
    fitting = [one for one in (_pin_below(places, job) for places in _PLACES) if one is not None]
    if not fitting:
        return (
            "Add two [[cross_pins]] where both halves are thick: below the pocket floor, with a negative `height`, or "
            "ahead of the fin and aft of it."
        )
    pin, apart = max(fitting, key=lambda one: one[0].diameter)
    first, last = (shown.length(place) for place in (pin.at_x, pin.at_x + apart))
    sizes = (("height", pin.height), ("diameter", pin.diameter), ("length", pin.length))
    lines = [typed(f"cross_pins[1].{name}", shown.length(size), also=True) for name, size in sizes]
    another = typed("cross_pins[2]", "cross_pins[1]", "another like it", also=True)
    where = "below the pocket" if job.bulb.pocket_depth > 0.0 else "below the fin"
    return (
        f"Add two [[cross_pins]] through the lead {where}: one with {typed('cross_pins[1].at', first)}, "
        f"{', '.join(lines)}, and {another} with {typed('cross_pins[2].at', last, also=True)}."
    )


def _pin_below(shares: tuple[float, float], job: BulbResults) -> tuple[PinCut, float] | None:
    """The thickest pin for which there is room below the pocket floor at both positions, and the distance between
    the positions; None if there is no room. [m]

    Args:
        shares: The two positions, as fractions of the fin's chord. [-]
        job: The bulb.
    """
    bulb, body, k = job.bulb, job.bulb.body, job.bulb.body.width_to_height
    places = [share * bulb.pocket.tip.chord for share in shares]
    at = bulb.pocket.leading_edge_x + np.array(places)
    depth = bulb.axis.floor + float(np.min(np.sqrt(np.maximum(body.squared_radius(at)[0], 0.0) / k)))
    surface = lead_surface(bulb)

    def centres(height: float) -> list[tuple[float, float]]:
        return [(float(one) - bulb.axis.shift * height, bulb.axis.floor + height) for one in at]

    def beside(height: float) -> float:
        """Shortest distance through the lead from a pin's axis to the pocket or the skin. [m]"""
        return min(-height, *(lead_about(surface, centre) for centre in centres(height)))

    height = max((-share * depth for share in _DEPTHS), key=beside)
    half = min(
        math.sqrt(max(k * (float(body.squared_radius(np.array([x]))[0][0]) - k * z * z), 0.0))
        for x, z in centres(height)
    )
    upright = [(one.at_x, max(one.recess_diameter, one.hole_diameter)) for one in bulb.screw_cuts]
    upright += [(one.at_x, one.diameter) for one in bulb.stud_cuts]
    gaps = [abs(float(one) - x) * math.cos(bulb.axis.rake) - 0.5 * wide for one in at for x, wide in upright]
    room = 2.0 * (min(beside(height), *gaps, math.inf) - job.wall_wanted - _SPARE)
    most = min(room, half / (GRIP_IN_DIAMETERS + 1.0), 0.25 * depth)
    sizes = [one for one in PIN_SIZES[job.shown.units] if one <= most]
    if not sizes:
        return None
    # It ends well inside the lead, so that its holes can be plugged.
    pin = PinCut(
        at_x=places[0],
        height=height,
        diameter=sizes[-1],
        hole_diameter=sizes[-1],
        length=1.6 * half,
        density=math.nan,
    )
    return pin, places[1] - places[0]


def _up(metres: float, shown: Shown) -> str:
    """A length in the builder's units, rounded up so that the typed figure is not too small."""
    return shown.length(metres + (2e-4 if shown.units == "imperial" else 5e-5))


def _pin(number: int, room: PinRoom, pin: PinCut, job: BulbResults) -> Iterator[Finding]:
    where, name, shown, wanted = f"cross_pins[{number}]", f"cross pin {number}", job.shown, job.wall_wanted
    if room.wall is None:
        yield PIN_MISSES_LEAD(
            where,
            f"Cross pin {number} misses the lead altogether.",
            "`at` is measured aft from the tip's leading edge, and `height` up from the pocket floor.",
            limit=0.0,
            unit="m",
        )
        return
    radius, edge = 0.5 * pin.diameter, EDGE_IN_DIAMETERS * pin.diameter
    # Clear of the pocket it holds the two halves to each other.
    between = job.wish.fin.bonded and room.off_pocket >= 0.0
    if not between and room.in_fin < 0.0:
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
                "Use a thinner pin or a deeper pocket. At the height where this pin clears the fin's lower edge, it "
                f"breaks out of the lead.{f' Set {within}.' if aside else ''}"
            )
        lower = _clear_below(pin, job)
        if lower is not None:
            way = typed(f"{where}.height", shown.length(lower))
            remedy += f" Or let it hold only the two halves together, clear of the pocket: {way}."
        yield PIN_OUTSIDE_FIN(
            where,
            f"Cross pin {number} extends {shown.length(-room.in_fin)} outside the fin's tip.",
            remedy,
            found=room.in_fin,
            limit=0.0,
            unit="m",
        )
    elif not between and room.in_fin < edge:
        yield PIN_NEAR_EDGE(
            where,
            f"Only {shown.length(room.in_fin)} is left between {name} and the edge of the fin; {shown.length(edge)} is "
            "good practice.",
            "Move it further from the fin's leading, trailing and lower edges, or use a thinner pin.",
            found=room.in_fin,
            limit=edge,
            unit="m",
        )
    if room.wall < wanted:
        out = room.wall <= 0.0
        yield (HOLE_BREAKS_OUT if out else WALL_THIN)(
            where,
            f"The hole for {name} breaks out of the lead by {shown.length(-room.wall)}."
            if out
            else f"Beside the hole for {name}, towards the pocket or the skin, only {shown.length(room.wall)} of lead is "
            f"left. {shown.length(wanted)} is required ({shown.length(wanted - room.wall)} more)."
            if between
            else f"Above or below the hole for {name}, only {shown.length(room.wall)} of lead is left. "
            f"{shown.length(wanted)} is required ({shown.length(wanted - room.wall)} more).",
            "Move it half-way between the pocket and the skin, or use a thinner pin, a shallower pocket or a fuller bulb."
            if between
            else "Move it nearer the bulb's axis, or use a thinner pin, a deeper pocket or a fuller bulb.",
            found=room.wall,
            limit=0.0 if out else wanted,
            unit="m",
        )
    grip, each = GRIP_IN_DIAMETERS * pin.diameter, "in each half" if between else "on each side of the fin"
    if room.grip < grip:
        yield PIN_SHORT(
            f"{where}.length",
            f"Cross pin {number} bears on {shown.length(room.grip)} of lead {each}; "
            f"{shown.length(grip)} is good practice.",
            f"Make it {shown.length(2.0 * (grip - room.grip))} longer if the bulb is wide enough, or move it to where "
            "the bulb is wider.",
            found=room.grip,
            limit=grip,
            unit="m",
        )
    if room.proud > 1e-6:
        yield PIN_PROUD(
            f"{where}.length",
            f"The ends of {name} project {shown.length(room.proud)} from the lead.",
            f"Make it {shown.length(2.0 * room.proud)} shorter, or file it flush and weigh it afterwards.",
            found=room.proud,
            limit=0.0,
            unit="m",
        )


def _clear_below(pin: PinCut, job: BulbResults) -> float | None:
    """Height at which a pin passes below the pocket, through the two halves only; None if there is no room. [m]"""
    bulb, clear = job.bulb, 0.5 * pin.hole_diameter + job.wall_wanted + _SPARE
    if not job.wish.fin.bonded or bulb.through:
        return None
    centre = replace(pin, height=-clear).centre(bulb.axis)
    within = (
        bulb.body.squared_radius(np.array([centre[0]]))[0][0] > bulb.body.width_to_height * centre[1] ** 2
    )
    return -clear if within and lead_about(lead_surface(bulb), centre) >= clear else None


def _runs_out(pin: PinCut, job: BulbResults) -> bool:
    """Whether the top of a pin hole is outside the lead; always False for a blade that goes right through."""
    body, (x, z) = job.bulb.body, pin.centre(job.bulb.axis)
    top = z + 0.5 * pin.hole_diameter
    inside = (
        0.0 <= x <= body.length and body.squared_radius(np.array([x]))[0][0] > body.width_to_height * top**2
    )
    return not (job.bulb.through or inside)


def _stud_in_lead(number: int, beside: float, below: float, job: BulbResults) -> Iterator[Finding]:
    """Findings on the lead that a stud leaves beside and below its foot."""
    shown, wanted, wall = job.shown, job.wall_wanted, min(beside, below)
    if wall >= wanted:
        return
    out, under = wall <= 0.0, below < beside
    yield (HOLE_BREAKS_OUT if out else WALL_THIN)(
        f"studs[{number}].below" if under else f"studs[{number}]",
        f"Stud {number} breaks out of the lead by {shown.length(-wall)}."
        if out
        else f"{'Under the foot of' if under else 'Beside'} stud {number}, only {shown.length(wall)} of lead is left. "
        f"{shown.length(wanted)} is required ({shown.length(wanted - wall)} more).",
        f"Reduce `below` by {shown.length(wanted - wall)}."
        if under
        else "Move it towards the thickest part of the fin, or use a thinner stud or a fuller bulb.",
        found=wall,
        limit=0.0 if out else wanted,
        unit="m",
    )


def _stud_in_fin(number: int, room: StudRoom, stud: StudCut, job: BulbResults) -> Iterator[Finding]:
    where, shown, fin = f"studs[{number}]", job.shown, job.plan.fin
    if job.bulb.pocket_depth > 0.0 and stud.above > 0.0 and fin.pocket != "cored":
        yield STUD_IN_SOLID_POCKET(
            f"{where}.above",
            f"Stud {number} projects into the pocket, which will be cut after casting. The cutter would hit it.",
            f"Set {typed('fin.pocket', 'cored')} under [fin], or use a screw from below instead.",
            found=stud.above,
            limit=0.0,
            unit="m",
        )
    if stud.above > 0.0 and room.cheek < 0.0:
        yield STUD_OUTSIDE_FIN(
            f"{where}.at",
            f"Stud {number}, {shown.length(stud.diameter)} thick, does not fit within the thickness of the fin "
            f"{shown.length(stud.at_x)} aft of the leading edge. It sticks out by {shown.length(-room.cheek)}.",
            "Move it towards the thickest part of the fin, or use a thinner one.",
            found=room.cheek,
            limit=0.0,
            unit="m",
        )
    wanted = engagement(None, stud.diameter, fin.material)
    if stud.above < wanted:
        yield SCREW_SHORT(
            f"{where}.above",
            f"Stud {number} extends {shown.length(stud.above)} up into the fin; {shown.length(wanted)} is required.",
            f"Make it {shown.length(wanted - stud.above)} longer above the floor.",
            found=stud.above,
            limit=wanted,
            unit="m",
        )


def _stud_cast(number: int, stud: StudCut, job: BulbResults) -> Iterator[Finding]:
    """Findings on a stud's hold in the lead, and on its lift while the lead is liquid."""
    where, shown, lift = f"studs[{number}]", job.shown, job.stud_lifts[number - 1]
    wanted = ENGAGEMENT_LEAD * stud.diameter
    if stud.below < wanted:
        yield STUD_SHALLOW(
            f"{where}.below",
            f"Stud {number} is cast {shown.length(stud.below)} into the lead; good practice is {shown.length(wanted)}, "
            "with a thread, a bend or a head at the stud's foot.",
            f"Increase `below` by {shown.length(wanted - stud.below)} if the bulb is deep enough.",
            found=stud.below,
            limit=wanted,
            unit="m",
        )
    if lift > 0.0:
        yield STUD_FLOATS(
            where,
            f"Stud {number} is lighter than liquid lead. It pushes up in the melt with a force equal to the weight of "
            f"{shown.mass(lift / STANDARD_GRAVITY)}.",
            "Dry and warm it before the pour, and fix it in the mould so that it can take twice that force.",
            found=lift,
            limit=0.0,
            unit="N",
        )
