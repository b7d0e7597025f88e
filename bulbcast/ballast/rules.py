"""Findings on the boat: reach, imposed masses and places, weigh-in, ballast ratio, uprightness, the hull as read."""

from __future__ import annotations

import math

from bulbcast.ballast.reach import TOLERANCE, Reach, Remedies
from bulbcast.ballast.target import RATIO_BANDS
from bulbcast.ballast.weigh_in import WeighIn, WeighNext
from bulbcast.findings import Finding, Rule, Severity
from bulbcast.hull.faults import HullRemark
from bulbcast.hull.trimming import Change
from bulbcast.quantities import Shown, joined

BULB_OUT_OF_REACH = Rule("bulb-out-of-reach", Severity.STOP, subject="boat")
MASS_IMPOSED = Rule("mass-imposed", Severity.CAUTION, Severity.NOTE, subject="boat")
PLACE_IMPOSED = Rule("place-imposed", Severity.CAUTION, Severity.NOTE, subject="boat")
WEIGHTS_TO_COME = Rule("weights-to-come", Severity.NOTE, subject="boat")
FIN_MASS_NOT_GIVEN = Rule("fin-mass-not-given", Severity.CAUTION, subject="boat")
FIN_COUNTED_TWICE = Rule("fin-counted-twice", Severity.CAUTION, subject="boat")
TARGET_UNCERTAIN = Rule("target-uncertain", Severity.CAUTION, subject="boat")
BALLAST_RATIO_UNUSUAL = Rule("ballast-ratio-unusual", Severity.NOTE, subject="boat")
WILL_NOT_STAND = Rule("will-not-stand", Severity.STOP, subject="boat")
LISTS = Rule("lists", Severity.CAUTION, subject="boat")
HULL = Rule("hull-", Severity.NOTE, Severity.CAUTION, Severity.STOP, subject="boat")
TRIM_NOT_TOLD = Rule("trim-not-told", Severity.NOTE, subject="boat")

# Trim, sinkage against the length of the waterline that a builder sees at the ends. Judgement.
VISIBLE_TRIM_IN_LENGTHS = 0.003
# Standard deviation of the target over the target from which more is to be weighed first. Judgement.
UNCERTAIN_SHARE = 0.02
# A list that is seen at the mast. Judgement.
VISIBLE_LIST = math.radians(0.5)

# Remarks on a hull that was read whole, and cannot be the boat that was meant.
_SPOILS_ALL = frozenset(("wrong-unit",))

_KINDS = {"model": "small and scale models", "racing-model": "racing models", "small-craft": "small craft"}


def check_reach(
    *,
    short: float,
    wanted_x: float,
    placed_x: float,
    moment: float,
    waterline: float,
    reach: Reach | None,
    mends: Remedies | None,
    shown: Shown,
) -> tuple[Finding, ...]:
    """A stop where her trim wants the bulb beyond the allowed overhang.

    Args:
        short: Wanted less placed, aft is positive. [m]
        wanted_x: Boat axes. [m]
        placed_x: The nearest that the fin reaches. [m]
        moment: Shortfall, the bulb's mass less its water, times `short`. [kg m]
        waterline: Her length. [m]
        reach: With the trim if nothing is done; None where the hull does not tell.
        mends: Worked out with it.
        shown: The builder's units.
    """
    if abs(short) <= 1e3 * TOLERANCE:
        return ()
    way = "aft" if short > 0.0 else "forward"
    trim = (
        "how far that trims her the hull's figures do not tell"
        if reach is None
        else f"left so she trims {shown.length(abs(reach.ignored.trim))} by the "
        f"{'stern' if reach.ignored.trim > 0.0 else 'bow'} over her waterline of {shown.length(waterline)}"
    )
    ways = remedies_told(mends, shown) if mends is not None else ()
    return (
        BULB_OUT_OF_REACH(
            where="fin",
            found=wanted_x,
            limit=placed_x,
            unit="m",
            message=f"Her trim wants the bulb's mass centre at x = {shown.length(wanted_x)}, and this fin holds it no "
            f"further {way} than {shown.length(placed_x)}: {shown.length(abs(short))} short, "
            f"{shown.moment(abs(moment))}; {trim}.",
            remedy=(
                f"One of these: {'; '.join(ways)}."
                if ways
                else "Move weights, or the fin, or allow more overhang."
            ),
        ),
    )


def remedies_told(mends: Remedies, shown: Shown) -> tuple[str, ...]:
    """Each remedy in a few words, the gentlest first.

    Args:
        mends: As worked out.
        shown: The builder's units.
    """
    told = []
    for move in mends.moves:
        if move.enough:
            told.append(
                f"move {move.name} from x = {shown.length(move.start)} {_way(move.distance)} to "
                f"{shown.length(move.end)}"
            )
    if len(mends.together) > 1:
        moved = [f"{move.name} to x = {shown.length(move.end)}" for move in mends.together]
        left = mends.together[-1]
        rest = "" if left.enough else f", which leaves {shown.moment(abs(left.left))} wanting"
        told.append(f"move together {joined(moved, 'and')}{rest}")
    elif mends.together and not mends.together[0].enough:
        move = mends.together[0]
        told.append(
            f"move {move.name} to x = {shown.length(move.end)}, as far as it may go, which leaves "
            f"{shown.moment(abs(move.left))} wanting"
        )
    if mends.turn_bulb:
        told.append("turn the bulb end for end, if its shape may go blunt end last")
    for lead in mends.trim_lead:
        if lead.mass is not None and lead.bulb_lighter is not None:
            told.append(
                f"lay {shown.mass(lead.mass)} of trim lead at x = {shown.length(lead.x)} and cast the bulb "
                f"{shown.mass(lead.bulb_lighter)} lighter"
            )
    if mends.fin_aft is not None:
        told.append(f"move fin and bulb together {shown.length(abs(mends.fin_aft))} {_way(mends.fin_aft)}")
    # Where the tip would not stand on the lead at the other end, more overhang alone is no remedy.
    for over in mends.overhangs if all(one.needed > one.limit for one in mends.overhangs) else ():
        told.append(
            f"let the {over.end} overhang be {shown.length(over.needed)} in place of {shown.length(over.limit)}"
        )
    return tuple(told)


def _way(distance: float) -> str:
    return "aft" if distance > 0.0 else "forward"


def check_imposed(
    *,
    mass_imposed: bool,
    place_imposed: bool,
    mass: float,
    wanted_mass: float,
    x: float,
    wanted_x: float,
    lies: Change | None,
    level_sinkage: float | None,
    waterline: float,
    shown: Shown,
) -> tuple[Finding, ...]:
    """What an imposed mass or place does to her.

    Args:
        mass_imposed: The plan gives the mass. [-]
        place_imposed: The plan gives the place. [-]
        mass: As it hangs. [kg]
        wanted_mass: What puts her on her line. [kg]
        x: Of the mass centre as it hangs, boat axes. [m]
        wanted_x: What levels her. [m]
        lies: How she lies; None where the hull does not tell.
        level_sinkage: What the mass alone does of her sinkage; None likewise. [m]
        waterline: Her length. [m]
        shown: The builder's units.
    """
    findings = []
    visible = VISIBLE_TRIM_IN_LENGTHS * waterline
    if mass_imposed:
        over = mass - wanted_mass
        word = "heavier" if over > 0.0 else "lighter"
        change = (
            "how far she sinks or rises the hull's figures do not tell"
            if level_sinkage is None
            else f"she floats {shown.length(abs(level_sinkage))} {'deeper' if level_sinkage > 0.0 else 'higher'}"
        )
        findings.append(
            MASS_IMPOSED(
                severity=Severity.CAUTION
                if level_sinkage is None or abs(level_sinkage) > visible
                else Severity.NOTE,
                where="bulb.target_mass",
                found=mass,
                limit=wanted_mass,
                unit="kg",
                message=f"The mass given, {shown.mass(mass)}, is {shown.mass(abs(over))} {word} than her line asks of a "
                f"bulb of this displacement: {change}.",
                remedy="Take target_mass out for the mass that her line asks.",
            )
        )
    if place_imposed:
        off = x - wanted_x
        trim = (
            "how far that trims her the hull's figures do not tell"
            if lies is None
            else f"she trims {shown.length(abs(lies.trim))} by the {'stern' if lies.trim > 0.0 else 'bow'}"
            + _settled_by_trim(lies.sinkage - (level_sinkage or 0.0), visible, shown)
        )
        findings.append(
            PLACE_IMPOSED(
                severity=Severity.CAUTION if lies is None or abs(lies.trim) > visible else Severity.NOTE,
                where="fin.carry_at",
                found=x,
                limit=wanted_x,
                unit="m",
                message=f"The mass centre is put at x = {shown.length(x)}, {shown.length(abs(off))} {_way(off)} of where "
                f"it levels her: {trim}.",
                remedy="Take carry_at or mass_centre_x out for the place that levels her, or move other weights.",
            )
        )
    return tuple(findings)


def _settled_by_trim(sinkage: float, visible: float, shown: Shown) -> str:
    """What the trim alone does to her sinkage, where that can be seen; her ends are not alike."""
    if abs(sinkage) <= visible:
        return ""
    way = "deeper" if sinkage > 0.0 else "higher"
    return f", and lies {shown.length(abs(sinkage))} {way} for it at the centre of flotation"


def check_weigh_in(
    summed: WeighIn,
    *,
    fin_counted: bool,
    target: float,
    spread: float,
    displacement_spread: float,
    following: tuple[WeighNext, ...],
    shown: Shown,
) -> tuple[Finding, ...]:
    """What is not yet weighed, and whether the target is known well enough to cast to.

    Args:
        summed: The lines.
        fin_counted: Whether the plan gives the fin's mass or density. [-]
        target: [kg]
        spread: Its standard deviation. [kg]
        displacement_spread: That of the water displaced at her line. [kg]
        following: What to weigh next.
        shown: The builder's units.
    """
    findings = []
    coming = [line for line in summed.weights if line.state.value == "to come"]
    if coming:
        names = joined([line.name for line in coming], "and")
        findings.append(
            WEIGHTS_TO_COME(
                where="weights",
                found=summed.mass_by_state[2],
                unit="kg",
                message=f"{shown.mass(summed.mass_by_state[2])} of the weigh-in is still to come: {names}.",
                remedy="Weigh each as it comes, and plan once more before the bulb is cast.",
            )
        )
    if not fin_counted:
        findings.append(
            FIN_MASS_NOT_GIVEN(
                where="fin",
                message="The fin's own mass is given neither as fin.mass nor by fin.density.",
                remedy="Give one of them, unless a line of [[weights]] is the fin already.",
            )
        )
    own = [line for line in summed.weights if line.name.strip().casefold() == "fin"]
    if fin_counted and len(own) > 1:
        findings.append(
            FIN_COUNTED_TWICE(
                where="weights",
                found=own[0].mass,
                unit="kg",
                message=f"A line of the weigh-in is called {own[0].name}, and [fin] gives the fin's mass as well: both are "
                "counted.",
                remedy="Take the line out, or mass or density out of [fin].",
            )
        )
    if spread > UNCERTAIN_SHARE * target:
        if displacement_spread > summed.mass_spread or not following:
            remedy = "Most of it is the displacement's: take the hull from the surface she was built to."
        else:
            remedy = f"Weigh {following[0].name} first, and cast last of all."
        findings.append(
            TARGET_UNCERTAIN(
                where="weights",
                found=spread / target,
                limit=UNCERTAIN_SHARE,
                message=f"The target of {shown.mass(target)} is known to {shown.mass(spread)} only (one standard "
                f"deviation, {shown.percent(spread / target)}).",
                remedy=remedy,
            )
        )
    return tuple(findings)


def check_ratio(ratio: float, kind: str | None, shown: Shown) -> tuple[Finding, ...]:
    """A note where the share of ballast is unusual.

    Args:
        ratio: Bulb over the boat complete. [-]
        kind: "model", "racing-model", "small-craft"; None for any. [-]
        shown: The builder's units.
    """
    bands = [band for band in RATIO_BANDS if kind is None or band.kind == _KINDS[kind]]
    low, high = min(band.low for band in bands), max(band.high for band in bands)
    if low <= ratio <= high:
        return ()
    return (
        BALLAST_RATIO_UNUSUAL(
            where="boat",
            found=ratio,
            limit=low if ratio < low else high,
            message=f"The bulb is {shown.percent(ratio)} of the boat complete; "
            f"{'any kind of boat usually has' if kind is None else f'{_KINDS[kind]} usually have'} {shown.percent(low)} to "
            f"{shown.percent(high)} (common practice, no source).",
            remedy="See whether displacement and weigh-in are in the units meant.",
        ),
    )


def check_upright(
    *, gm: float | None, total_mass: float, side_moment: float, shown: Shown
) -> tuple[Finding, ...]:
    """Whether she stands upright, and level athwartships.

    Args:
        gm: Metacentre over mass centre; None where not known. [m]
        total_mass: Boat and bulb. [kg]
        side_moment: Of the weigh-in about the centreplane, to starboard positive. [kg m]
        shown: The builder's units.
    """
    if gm is None:
        return ()
    if gm <= 0.0:
        return (
            WILL_NOT_STAND(
                where="boat",
                found=gm,
                limit=0.0,
                unit="m",
                message=f"With this bulb her mass centre stands {shown.length(-gm)} above the metacentre: she does not "
                "stay upright.",
                remedy="Hang the bulb deeper, or take weight out from high up.",
            ),
        )
    angle = math.atan2(side_moment, total_mass * gm)
    if abs(angle) <= VISIBLE_LIST:
        return ()
    side = "starboard" if angle > 0.0 else "port"
    return (
        LISTS(
            where="weights",
            found=abs(angle),
            limit=VISIBLE_LIST,
            unit="rad",
            message=f"The weights lie {shown.moment(abs(side_moment))} to {side} and list her "
            f"{math.degrees(abs(angle)):.1f} degrees.",
            remedy=f"Move weights to {'port' if angle > 0.0 else 'starboard'}: the bulb hangs amidships and cannot "
            "mend it.",
        ),
    )


def check_hull(remarks: tuple[HullRemark, ...], trim_missing: str) -> tuple[Finding, ...]:
    """What was mended in the hull, what looks odd, and what its figures do not tell.

    Args:
        remarks: Of the hull as read.
        trim_missing: Why trim in millimetres is not told; empty where it is.
    """
    findings = [
        HULL(
            severity=Severity.NOTE
            if one.mended
            else Severity.STOP
            if one.code in _SPOILS_ALL
            else Severity.CAUTION,
            end=one.code,
            where="boat",
            found=one.found,
            limit=one.limit,
            unit=one.unit,
            message=one.message,
            remedy=one.remedy,
        )
        for one in remarks
    ]
    if trim_missing:
        message, _, remedy = trim_missing.partition(". ")
        findings.append(
            TRIM_NOT_TOLD(
                where="boat",
                message=f"{message.rstrip('.')}.",
                remedy=remedy,
            )
        )
    return tuple(findings)
