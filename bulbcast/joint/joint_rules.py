"""Findings on the joint between fin and bulb. What is typed as a limit and broken is a stop, a default that is broken a
caution: its source is not the builder's own. What cannot be judged says so.
"""

from __future__ import annotations

import math

from bulbcast.findings import Finding, Rule, Severity
from bulbcast.joint.strength import JointStrength, ScrewStrength
from bulbcast.joint.thread import END_GRAIN_ADVICE
from bulbcast.quantities import Shown
from bulbcast.quantities.typed import force_down, thickness_up

BEARING_NOT_JUDGED = Rule("bearing-not-judged", Severity.CAUTION)
JOINT_NOT_JUDGED = Rule("joint-not-judged", Severity.NOTE)
LEAD_CREEPS = Rule("lead-creeps", Severity.STOP, Severity.CAUTION)
EDGE_CREEPS = Rule("lead-creeps-at-the-edge", Severity.STOP, Severity.CAUTION)
SCREW_OVERSTRESSED = Rule("screw-overstressed", Severity.STOP)
THREAD_STRIPS = Rule("thread-strips", Severity.STOP, Severity.CAUTION)
NET_OVERSTRESSED = Rule("fin-overstressed-at-holes", Severity.STOP)
END_GRAIN = Rule("screw-in-end-grain", Severity.CAUTION)
WOOD_SCREW_SIZE = Rule("wood-screw-out-of-range", Severity.CAUTION)

WHEN = {
    "hanging": "with the boat upright",
    "at-90": "at 90 degrees of heel",
    "heeled": "heeled to its worst angle",
    "aground-ahead": "aground ahead on the nose",
    "aground-vertical": "aground, down on the bulb",
    "aground-sideways": "struck from the side on the nose",
}
"""Each load on the joint, as a sentence goes on with it."""

# Room for what the washer itself changes of the bulb; and the thinnest washer that is named.
_MARGIN, _THINNEST = 1.01, 1e-3


def check_joint(
    held: JointStrength, *, screw_allowable: float | None, typed: frozenset[str], source: str, shown: Shown
) -> tuple[Finding, ...]:
    """Every finding on the joint.

    Args:
        held: The joint under its loads.
        screw_allowable: Tension in a screw; None: reported alone. [Pa]
        typed: Keys of [strength] whose limit the builder typed, where others have a default.
        source: Where the allowables come from.
        shown: The builder's units.
    """
    findings: list[Finding] = []
    for screw in held.screws:
        findings += _bearing(screw, held, typed, shown)
        findings += _strength(screw, screw_allowable, source, shown)
        findings += _wood(screw, shown)
    findings += _unjudged(held, shown)
    findings += _edge(held, typed, shown)
    findings += _net(held, source, shown)
    return (*findings, *_not_judged(held, screw_allowable, shown))


def _bearing(screw: ScrewStrength, held: JointStrength, typed: frozenset[str], shown: Shown) -> list[Finding]:
    where = f"screws[{screw.number}]"
    what = "washer" if screw.washer else "head"
    findings = []
    if not screw.bearing.holds:
        by_weight = " by the bulb's weight alone" if held.preload is None else ""
        findings.append(
            LEAD_CREEPS(
                severity=Severity.STOP if "bearing_limit" in typed else Severity.CAUTION,
                where=f"{where}.washer_diameter" if screw.washer else f"{where}.head_diameter",
                found=screw.bearing.pressure,
                limit=screw.bearing.limit,
                unit="Pa",
                message=f"Under the {what} of screw {screw.number} the lead bears {shown.pressure(screw.bearing.pressure)} "
                f"for months{by_weight}; the limit is {shown.pressure(screw.bearing.limit)}: "
                f"{screw.bearing.limit_source}.",
                remedy=_wider(screw, held, shown),
            )
        )
    return findings


def _unjudged(held: JointStrength, shown: Shown) -> list[Finding]:
    """Without a preload the bearing is not judged: the most that any head bears by the bulb's weight alone."""
    if held.preload is not None:
        return []
    worst = max(held.screws, key=lambda one: one.bearing.pressure)
    remedy = "Give strength.tightened_to once no head bears more than the limit by the weight alone."
    if held.preload_at_most > 0.0:
        remedy = f'Tighten by hand, set tightened_to = "{force_down(held.preload_at_most, shown)}" or less, '
        remedy += "and tighten again after some weeks."
        if held.preload_at_most < worst.bearing.force:
            wider = "A wider and thicker washer" if worst.washer else "A washer"
            remedy += f" That is little. {wider} under the head of screw {worst.number} leaves more."
    return [
        BEARING_NOT_JUDGED(
            where="strength.tightened_to",
            found=worst.bearing.pressure,
            limit=worst.bearing.limit,
            unit="Pa",
            message="Bearing on the lead not judged: no preload is given, and the bulb's weight alone makes "
            f"{shown.pressure(worst.bearing.pressure)} under the {'washer' if worst.washer else 'head'} of screw "
            f"{worst.number}.",
            remedy=remedy,
        )
    ]


def _wider(screw: ScrewStrength, held: JointStrength, shown: Shown) -> str:
    """The washer that would do and its recess, and the preload that would where preload is what presses."""
    force = screw.bearing.force * _MARGIN
    outer = math.sqrt(4.0 * force / (math.pi * screw.bearing.limit) + screw.hole**2)
    if outer > screw.room_for - _ROOM:
        return _no_room(held, shown)
    thickness = max(0.5 * (_typed_up(outer, shown) - screw.head), screw.washer_thickness, _THINNEST)
    # The rim of a wider recess lies further up the round of the bulb; a tenth more than by the square of its width.
    wider = max(_typed_up(outer, shown) / screw.recess_diameter, 1.0)
    drop = screw.rim_drop * (1.0 if wider == 1.0 else 1.1 * wider**2)
    recess = _typed_up(screw.head_height + _typed_up(thickness, shown) + drop, shown)
    if recess > max(screw.recess, screw.recess_at_most):
        return _no_room(held, shown)
    sizes = f'washer_diameter = "{thickness_up(outer, shown)}"'
    sizes += f' and washer_thickness = "{thickness_up(thickness, shown)}", both or more'
    text = "Set " if screw.washer else "Put a washer under it, "
    if held.preload and held.preload_at_most > 0.0:
        text = f'Set tightened_to = "{force_down(held.preload_at_most, shown)}" at most, or '
        text += "set " if screw.washer else "put a washer under it, "
    text += sizes
    deeper = max(recess - screw.recess, 0.0)
    if deeper > 0.0:
        text += f', with recess = "{thickness_up(recess, shown)}" so that the head does not stand proud'
    more = thickness - screw.washer_thickness - deeper
    if more > 1e-9:
        text += f', {"and" if deeper else "with"} length = "{thickness_up(screw.length + more, shown)}" for as much thread '
        text += "in the fin"
    return f"{text}. Tighten again after some weeks."


def _no_room(held: JointStrength, shown: Shown) -> str:
    text = "The lead has no room for a washer wide enough: take more screws, or a fuller bulb"
    if held.preload and held.preload_at_most > 0.0:
        text = f'Set tightened_to = "{force_down(held.preload_at_most, shown)}" at most. {text}'
    return f"{text}. Tighten again after some weeks."


# What rounding a washer up takes, and the bulb moves by when it is sized again. [m]
_ROOM = 1e-3


def _typed_up(metres: float, shown: Shown) -> float:
    """A length as rounded up to what is typed, with room for the rounding. [m]"""
    step = 0.0254 / 32.0 if shown.units == "imperial" else 1e-4
    return (math.ceil(metres / step - 1e-9)) * step


def _strength(screw: ScrewStrength, allowable: float | None, source: str, shown: Shown) -> list[Finding]:
    where = f"screws[{screw.number}]"
    findings = []
    hard, pulled = screw.stressed_most, screw.pulled_most
    if allowable is not None and hard.equivalent > allowable:
        across = f" and {shown.force(hard.shear)} across it" if hard.shear else ""
        findings.append(
            SCREW_OVERSTRESSED(
                where=f"{where}.diameter",
                found=hard.equivalent,
                limit=allowable,
                unit="Pa",
                message=f"{WHEN[hard.name].capitalize()} screw {screw.number} is pulled with {shown.force(hard.pull)}"
                f"{across}, {shown.pressure(hard.equivalent)} in its thread; {shown.pressure(allowable)} is allowed "
                f"({source}).",
                remedy="Take thicker screws, more of them, or set them where the fin is thicker.",
            )
        )
    if screw.holds is not None and pulled.pull > screw.holds:
        findings.append(
            THREAD_STRIPS(
                severity=Severity.STOP if screw.holds_typed else Severity.CAUTION,
                where=f"{where}.length",
                found=pulled.pull,
                limit=screw.holds,
                unit="N",
                message=f"{WHEN[pulled.name].capitalize()} screw {screw.number} is pulled with {shown.force(pulled.pull)}; "
                f"{shown.length(screw.counted)} of its thread in the fin may take {shown.force(screw.holds)} "
                f"({screw.holds_how}).",
                remedy=_longer(screw, shown),
            )
        )
    return findings


def _longer(screw: ScrewStrength, shown: Shown) -> str:
    """Longer screws where length is what is counted and too short, else thicker ones or more."""
    if screw.holds is None or screw.counted <= 0.0:
        return "Take longer screws: none of the thread is in the fin."
    needed = screw.counted * screw.pulled_most.pull / screw.holds
    if screw.length_counts(needed):
        return (
            f"It would take {shown.length(_typed_up(needed, shown))} of thread in the fin, "
            f"{shown.length(_typed_up(needed - screw.engaged, shown))} more; or thicker screws, or more of them."
        )
    return "Take thicker screws or more of them: a longer thread holds no more."


def _wood(screw: ScrewStrength, shown: Shown) -> list[Finding]:
    where = f"screws[{screw.number}]"
    findings = []
    if screw.end_grain:
        findings.append(
            END_GRAIN(
                where=where,
                message=f"Screw {screw.number} is pulled out of end grain: {END_GRAIN_ADVICE}.",
                remedy="Bond threaded inserts in the fin, or bolt through it, or let a cross-grained block in and set "
                'grain = "across the span".',
            )
        )
    if screw.wood is False:
        findings.append(
            WOOD_SCREW_SIZE(
                where=f"{where}.diameter",
                found=screw.thread.diameter,
                unit="m",
                message=f"Screw {screw.number}, {shown.length(screw.thread.diameter)} by {shown.length(screw.length)}, lies "
                "outside the sizes that the withdrawal formula holds for: it is likely to hold less than calculated.",
                remedy="Take a wood screw of 13 to 76 mm (1/2 to 3 in) and of a gauge usual for its length, or prove one "
                "by pulling it out of a piece of the same wood.",
            )
        )
    return findings


def _edge(held: JointStrength, typed: frozenset[str], shown: Shown) -> list[Finding]:
    pivot = held.hanging.pivot
    if pivot is None or pivot.pressure <= held.edge_limit:
        return []
    return [
        EDGE_CREEPS(
            severity=Severity.STOP if "bearing_limit" in typed else Severity.CAUTION,
            where="screws",
            found=pivot.pressure,
            limit=held.edge_limit,
            unit="Pa",
            message=f"The bulb's mass centre lies beyond the screws: the edge of the fin's tip presses into the lead with "
            f"{shown.pressure(pivot.pressure)} for months; the limit is {shown.pressure(held.edge_limit)}.",
            remedy="Set a screw on each side of the mass centre, "
            f"{shown.length(held.joint.mass_centre_at)} aft of the tip's leading edge.",
        )
    ]


def _net(held: JointStrength, source: str, shown: Shown) -> list[Finding]:
    if held.net_allowable is None or not held.net_stresses:
        return []
    worst = max(held.net_stresses, key=lambda one: one.stress)
    if worst.stress <= held.net_allowable:
        return []
    return [
        NET_OVERSTRESSED(
            where="screws",
            found=worst.stress,
            limit=held.net_allowable,
            unit="Pa",
            message=f"{WHEN[worst.name].capitalize()} the fin is stressed with {shown.pressure(worst.stress)} at the "
            f"screws' holes; {shown.pressure(held.net_allowable)} is allowed ({source}).",
            remedy="Take a thicker tip, thinner or shorter screws.",
        )
    ]


def _not_judged(held: JointStrength, screw_allowable: float | None, shown: Shown) -> list[Finding]:
    """One note on all that is calculated and held against nothing."""
    what = []
    if any(one.holds is None for one in held.screws):
        what.append("what the thread holds, for no strength.thread_shear_allowable is given")
    if screw_allowable is None:
        what.append("the stress of the screws, for no strength.screw_allowable is given")
    if any(one.shears[0] is None for one in held.cases):
        what.append("the turning of the bulb on one screw alone")
    walls = [one.wall_pressure for one in held.cases if one.wall_pressure is not None]
    if walls:
        what.append(
            f"the pressure on the pocket's walls, up to {shown.pressure(max(walls))}, for no limit of a short load on lead "
            "is known"
        )
    if held.net is None:
        what.append(f"the fin at the screws' holes, for {held.net_missing}")
    elif held.net_allowable is None:
        what.append("the fin at the screws' holes, for no allowable of a solid fin is given")
    if not what:
        return []
    return [
        JOINT_NOT_JUDGED(
            where="strength",
            message=f"Not judged in the joint: {'; '.join(what)}.",
            remedy="Give the allowables with their source, or have the joint judged by a licensed practice.",
        )
    ]
