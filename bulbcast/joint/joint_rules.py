"""Findings on the joint between fin and bulb. Exceeding a limit that the builder typed is a stop. Exceeding a
default limit is a caution, because the builder did not supply it. A note lists the parts that cannot be judged.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from bulbcast.bulb.hung.ledger import HungBulb
from bulbcast.findings import Finding, Rule, Severity, typed
from bulbcast.joint.bearing import outer_for
from bulbcast.joint.strength import JointStrength, ScrewStrength
from bulbcast.joint.thread import END_GRAIN_ADVICE, ENGAGED_AT_MOST, wood_screw_limits
from bulbcast.plan.strength_sections import StrengthSection
from bulbcast.quantities import Shown
from bulbcast.quantities.typed import force_down, thickness_up

BEARING_NOT_JUDGED = Rule(
    "bearing-not-judged",
    Severity.CAUTION,
    why=(
        "A tightened screw presses on the lead far harder than the bulb's weight does, and nobody knows how hard."
    ),
)
JOINT_NOT_JUDGED = Rule(
    "joint-not-judged",
    Severity.NOTE,
    why="A load means nothing until you compare it with what the parts can bear.",
)
JOINT_NOT_WHOLE = Rule(
    "joint-not-whole",
    Severity.CAUTION,
    why="How the glue, pins and studs share the load is not calculated.",
)
LEAD_CREEPS = Rule(
    "lead-creeps",
    Severity.STOP,
    Severity.CAUTION,
    why="Lead slowly creeps away under steady pressure, and the screw works loose.",
)
EDGE_CREEPS = Rule(
    "lead-creeps-at-the-edge",
    Severity.STOP,
    Severity.CAUTION,
    why="With the mass centre beyond the screws, the fin's edge presses into the lead, which slowly creeps away.",
)
SCREW_OVERSTRESSED = Rule(
    "screw-overstressed",
    Severity.STOP,
    why="A screw pulled beyond its strength stretches or breaks, and the bulb is lost.",
)
THREAD_STRIPS = Rule(
    "thread-strips",
    Severity.STOP,
    Severity.CAUTION,
    why="The thread in the fin strips if the pull exceeds its strength.",
)
NET_OVERSTRESSED = Rule(
    "fin-overstressed-at-holes",
    Severity.STOP,
    why="Holes remove material where the fin still has to carry its load.",
)
END_GRAIN = Rule(
    "screw-in-end-grain",
    Severity.CAUTION,
    why="Wood holds a screw poorly along its grain, because the fibres split apart.",
)
WOOD_SCREW_SIZE = Rule(
    "wood-screw-out-of-range",
    Severity.CAUTION,
    why="The formula is based on tests of common sizes and says little about other sizes.",
)

WHEN = {
    "hanging": "with the boat upright",
    "at-90": "at 90 degrees of heel",
    "heeled": "at the worst angle of heel",
    "aground-ahead": "with the boat aground, nose first",
    "aground-vertical": "with the boat aground, down on the bulb",
    "aground-sideways": "when the bulb's nose is struck from the side",
}
"""Words for each load on the joint, for use in a sentence."""

# Allowance for the washer's effect on the bulb; thinnest washer suggested [m]; allowance for rounding a washer up and for
# the change when the bulb is sized again [m].
_MARGIN, _THINNEST, _ROUNDING = 1.01, 1e-3, 1e-3


def check_joint(held: JointStrength, asked: StrengthSection, shown: Shown) -> list[Finding]:
    """List all findings on the joint.

    Args:
        held: The joint under its loads.
        asked: The plan's [strength].
        shown: The builder's units.
    """
    findings: list[Finding] = []
    for screw in held.screws:
        findings += _bearing(screw, held, asked, shown)
        findings += _strength(screw, held, asked, shown)
        if held.thread_in == "wood":
            findings += _wood(screw, asked, shown)
    if held.preload is None:
        findings.append(_bearing_not_judged(held, shown))
    return [
        *findings,
        *_edge(held, asked, shown),
        *_net(held, asked, shown),
        *_not_judged(held, asked, shown),
    ]


def check_joint_is_whole(bulb: HungBulb, *, bonded: bool) -> list[Finding]:
    """Finding on parts of the joint that are not calculated, for a plan with [strength].

    Args:
        bulb: The bulb with its cross pins, studs and blade.
        bonded: Whether the bulb is two halves bonded face to face.
    """
    left_out = [
        words
        for words, there in (
            ("cross pins", bulb.pin_cuts),
            ("cast-in studs", bulb.stud_cuts),
            ("the bond between the two halves and the blade", bulb.through),
            ("the bond between the two halves", bonded and not bulb.through),
        )
        if there
    ]
    if not left_out:
        return []
    return [
        JOINT_NOT_WHOLE(
            "strength",
            f"The calculation covers only the joint's screws. Not assessed: {' and '.join(left_out)}.",
            "Have someone qualified judge them, or test the joint under load before the boat is afloat.",
        )
    ]


def _creeps(asked: StrengthSection) -> Severity:
    return Severity.CAUTION if asked.bearing_limit is None else Severity.STOP


def _bearing(
    screw: ScrewStrength, held: JointStrength, asked: StrengthSection, shown: Shown
) -> Iterator[Finding]:
    if screw.pressure <= held.bearing_limit:
        return
    lead = "From the bulb's weight alone, the lead" if held.preload is None else "The lead"
    yield LEAD_CREEPS(
        f"screws[{screw.number}].{screw.under}_diameter",
        f"{lead} under the {screw.under} of screw {screw.number} must bear {shown.pressure(screw.pressure)} for months"
        f"; the limit is {shown.pressure(held.bearing_limit)}: {held.bearing_source}.",
        f"{_wider(screw, held, shown)}. Tighten again after a few weeks.",
        severity=_creeps(asked),
        found=screw.pressure,
        limit=held.bearing_limit,
        unit="Pa",
    )


def _bearing_not_judged(held: JointStrength, shown: Shown) -> Finding:
    """Finding if the joint's preload is not given. It reports the highest pressure under a screw head from the bulb's
    weight alone."""
    worst = max(held.screws, key=lambda one: one.pressure)
    remedy = (
        "First bring the pressure from the weight alone below the limit under every head. Then give "
        "strength.tightened_to."
    )
    if held.preload_at_most > 0.0:
        most = typed("strength.tightened_to", force_down(held.preload_at_most, shown))
        remedy = f"Set {most} or less, tighten by hand to that preload, and tighten again after a few weeks."
        if held.preload_at_most < worst.sustained:
            wider = "A washer" if worst.cut.washer is None else "A wider and thicker washer"
            remedy += f" That preload is small. {wider} under the head of screw {worst.number} allows more."
    return BEARING_NOT_JUDGED(
        "strength.tightened_to",
        "Bearing on the lead is not assessed: no preload is given. The bulb's weight alone gives "
        f"{shown.pressure(worst.pressure)} under the {worst.under} of screw {worst.number}.",
        remedy,
        found=worst.pressure,
        limit=held.bearing_limit,
        unit="Pa",
    )


def _wider(screw: ScrewStrength, held: JointStrength, shown: Shown) -> str:
    """Advice on the washer and recess needed, and on a lower preload if that would be enough."""
    cut, washer = screw.cut, screw.washer_thickness
    less, where = "", f"screws[{screw.number}]"
    if held.preload and held.preload_at_most > 0.0:
        less = f"Set {typed('strength.tightened_to', force_down(held.preload_at_most, shown))} or less"
    no_room = f"{less}. " if less else ""
    no_room += "The lead has no room for a wide enough washer: use more screws, or a fuller bulb"
    outer = outer_for(screw.sustained * _MARGIN, hole=screw.hole, limit=held.bearing_limit)
    if outer > screw.room_for - _ROUNDING:
        return no_room
    thickness = max(0.5 * (_typed_up(outer, shown) - cut.head_diameter), washer, _THINNEST)
    # The rim of a wider recess is further up the curve of the bulb, by the square of its width and a tenth more.
    wider = max(_typed_up(outer, shown) / cut.recess_diameter, 1.0)
    drop = (cut.recess - screw.room.rim_depth) * (1.0 if wider == 1.0 else 1.1 * wider**2)
    recess = _typed_up(cut.head_height + _typed_up(thickness, shown) + drop, shown)
    # The deepest recess that the wall below the pocket allows.
    if recess > max(cut.recess, cut.recess + screw.room.seat_to_floor - held.wall):
        return no_room
    text = f"{less}, or " if less else ""
    text += "set at least " if washer else "fit a washer of at least "
    thick = typed(f"{where}.washer_thickness", thickness_up(thickness, shown), also=True)
    text += f"{typed(f'{where}.washer_diameter', thickness_up(outer, shown))} and {thick}"
    deeper = max(recess - cut.recess, 0.0)
    if deeper > 0.0:
        text += f", with {typed(f'{where}.recess', thickness_up(recess, shown), also=True)} so that the head does not "
        text += "stand proud"
    more = thickness - washer - deeper
    if more > 1e-9:
        longer = typed(f"{where}.length", thickness_up(cut.length + more, shown), also=True)
        text += f", {'and' if deeper else 'with'} {longer} to keep the same amount of thread in the fin"
    return text[0].upper() + text[1:]


def _typed_up(metres: float, shown: Shown) -> float:
    """Length rounded up to a convenient figure to type, with an allowance for the rounding. [m]"""
    step = 0.0254 / 32.0 if shown.units == "imperial" else 1e-4
    return (math.ceil(metres / step - 1e-9)) * step


def _strength(
    screw: ScrewStrength, held: JointStrength, asked: StrengthSection, shown: Shown
) -> Iterator[Finding]:
    where, allowable, stresses = f"screws[{screw.number}]", asked.screw_allowable, screw.equivalents
    hardest = stresses.index(max(stresses))
    stress, shear = stresses[hardest], screw.shears[hardest]
    if allowable is not None and stress > allowable:
        across = f" and the shear is {shown.force(shear)}" if shear else ""
        yield SCREW_OVERSTRESSED(
            f"{where}.diameter",
            f"{WHEN[held.cases[hardest].name].capitalize()}, the pull on screw {screw.number} is "
            f"{shown.force(screw.pulls[hardest])}{across}. The stress in the thread is {shown.pressure(stress)}; "
            f"{shown.pressure(allowable)} is allowed ({asked.allowable_source or 'as typed'}).",
            "Use thicker screws or more of them, or move them to where the fin is thicker.",
            found=stress,
            limit=allowable,
            unit="Pa",
        )
    pull = max(screw.pulls)
    hardest = screw.pulls.index(pull)
    if screw.holds is not None and pull > screw.holds:
        yield THREAD_STRIPS(
            f"{where}.length",
            f"{WHEN[held.cases[hardest].name].capitalize()}, the pull on screw {screw.number} is {shown.force(pull)}, "
            f"but {shown.length(screw.counted)} of thread in the fin can hold only {shown.force(screw.holds)} "
            f"({screw.holds_how}).",
            _longer(screw, pull, held, shown),
            severity=Severity.STOP if screw.holds_typed else Severity.CAUTION,
            found=pull,
            limit=screw.holds,
            unit="N",
        )


def _longer(screw: ScrewStrength, pull: float, held: JointStrength, shown: Shown) -> str:
    """Advice to use longer screws if a longer thread would hold enough, otherwise thicker screws or more of them."""
    if not screw.holds or screw.counted <= 0.0:
        return "Use longer screws; none of the thread reaches the fin."
    needed = screw.counted * pull / screw.holds
    whole = held.thread_in in ("wood", "bonded") or needed <= ENGAGED_AT_MOST * screw.thread.diameter
    if screw.gives_first or not whole:
        return "Use thicker screws or more of them; a longer thread holds no more."
    return (
        f"Use screws with {shown.length(_typed_up(needed, shown))} of thread in the fin, "
        f"{shown.length(_typed_up(needed - screw.engaged, shown))} more than now. Or use thicker screws, or more of them."
    )


def _wood(screw: ScrewStrength, asked: StrengthSection, shown: Shown) -> Iterator[Finding]:
    where, diameter, length = f"screws[{screw.number}]", screw.thread.diameter, screw.cut.length
    if asked.grain != "across the span":
        yield END_GRAIN(
            where,
            f"Screw {screw.number} is in end grain: {END_GRAIN_ADVICE}.",
            "Bond threaded inserts into the fin, bolt through it, or let in a cross-grained block and set "
            f"{typed('strength.grain', 'across the span')}.",
        )
    sizes = wood_screw_limits(length)
    if sizes is None or not sizes[0] <= diameter <= sizes[1]:
        yield WOOD_SCREW_SIZE(
            f"{where}.diameter",
            f"Screw {screw.number}, {shown.length(diameter)} by {shown.length(length)}, is outside the range of sizes "
            "covered by the withdrawal formula. It probably holds less than calculated.",
            "Use a wood screw 13 to 76 mm (1/2 to 3 in) long, of a common gauge for its length. Or test a screw by "
            "pulling it out of a piece of the same wood.",
            found=diameter,
            unit="m",
        )


def _edge(held: JointStrength, asked: StrengthSection, shown: Shown) -> Iterator[Finding]:
    pivot, limit = held.cases[0].pivot, held.bearing_limit
    if pivot is not None and pivot.pressure > limit:
        yield EDGE_CREEPS(
            "screws",
            "The bulb's mass centre is beyond the screws. The edge of the fin's tip presses into the lead at "
            f"{shown.pressure(pivot.pressure)} for months; the limit is {shown.pressure(limit)}.",
            "Place a screw on each side of the mass centre, which is "
            f"{shown.length(held.joint.mass_centre_at)} aft of the tip's leading edge.",
            severity=_creeps(asked),
            found=pivot.pressure,
            limit=limit,
            unit="Pa",
        )


def _net(held: JointStrength, asked: StrengthSection, shown: Shown) -> Iterator[Finding]:
    stresses, allowable = held.net_stresses, held.net_allowable
    worst = max(stresses, key=stresses.__getitem__, default="")
    if allowable is not None and worst and stresses[worst] > allowable:
        yield NET_OVERSTRESSED(
            "screws",
            f"{WHEN[worst].capitalize()}, the stress in the fin at the screw holes is "
            f"{shown.pressure(stresses[worst])}; {shown.pressure(allowable)} is allowed "
            f"({asked.allowable_source or 'as typed'}).",
            "Use a thicker tip, or thinner or shorter screws.",
            found=stresses[worst],
            limit=allowable,
            unit="Pa",
        )


def _not_judged(held: JointStrength, asked: StrengthSection, shown: Shown) -> Iterator[Finding]:
    """Note on everything that is calculated but not assessed."""
    walls = [one.wall_pressure for one in held.cases if one.wall_pressure is not None]
    what = [
        words
        for words, said in (
            (
                "the strength of the thread, because no strength.thread_shear_allowable is given",
                any(one.holds is None for one in held.screws),
            ),
            (
                "the stress in the screws, because no strength.screw_allowable is given",
                asked.screw_allowable is None,
            ),
            (
                "the rotation of the bulb about its single screw",
                any(one.shears[0] is None for one in held.cases),
            ),
            (
                f"the pressure on the pocket's walls, up to {shown.pressure(max(walls, default=0.0))}, because no limit "
                "for a brief load on lead is known",
                bool(walls),
            ),
            (f"the fin at the screw holes, because {held.net_missing}", held.net is None),
            (
                "the fin at the screw holes, because no allowable for a solid fin is given",
                held.net is not None and held.net_allowable is None,
            ),
        )
        if said
    ]
    if what:
        yield JOINT_NOT_JUDGED(
            "strength",
            f"Not assessed in the joint: {'; '.join(what)}.",
            "Give the allowables with their source, or ask a licensed naval architect to judge the joint.",
        )
