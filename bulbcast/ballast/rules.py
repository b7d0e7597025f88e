"""Findings on the boat: reach, given masses and positions, freeboard, weigh-in, ballast ratio, stability, and hull."""

from __future__ import annotations

import math

from bulbcast.ballast.displacement_rules import check_displacement
from bulbcast.ballast.fin_moves import FinMove
from bulbcast.ballast.imposed_rules import check_imposed
from bulbcast.ballast.left_open import check_left_open
from bulbcast.ballast.levelling import Levelling
from bulbcast.ballast.overload import check_overload
from bulbcast.ballast.reach import ON_CHORD, TOLERANCE, OverhangNeeded
from bulbcast.ballast.slips import DISPLACEMENT_DOUBTFUL, check_slips
from bulbcast.ballast.structure_rules import check_structure
from bulbcast.ballast.weigh_in import State
from bulbcast.ballast.words import by_end, estimated, way
from bulbcast.ballast.work import BoatJob
from bulbcast.findings import Finding, Rule, Severity, typed
from bulbcast.hull.unit_slip import check_unit
from bulbcast.plan.boat_sections import BoatSection
from bulbcast.plan.sections import Plan
from bulbcast.quantities import Shown, joined

BULB_OUT_OF_REACH = Rule(
    "bulb-out-of-reach",
    Severity.STOP,
    subject="boat",
    why=(
        "The boat floats level when her mass centre is directly above or below her centre of buoyancy. This fin cannot "
        "carry the bulb far enough forward or aft for that."
    ),
)
WEIGHTS_TO_COME = Rule(
    "weights-to-come",
    Severity.NOTE,
    subject="boat",
    why=(
        "The mass of an unbuilt part is a guess, and the bulb's mass is what remains after everything else is "
        "subtracted."
    ),
)
FIN_MASS_NOT_GIVEN = Rule(
    "fin-mass-not-given",
    Severity.CAUTION,
    subject="boat",
    why=("The fin's mass belongs in the weight list, but the plan does not give it."),
)
FIN_COUNTED_TWICE = Rule(
    "fin-counted-twice",
    Severity.CAUTION,
    subject="boat",
    why="Counting the fin twice makes the bulb too light by the mass of one fin.",
)
TARGET_UNCERTAIN = Rule(
    "target-uncertain",
    Severity.CAUTION,
    subject="boat",
    why=(
        "The bulb's mass is the difference between two larger figures, so a small error in either becomes a large error "
        "in the bulb."
    ),
)
BALLAST_RATIO_UNUSUAL = Rule(
    "ballast-ratio-unusual",
    Severity.NOTE,
    subject="boat",
    why=(
        "Boats of one kind have similar ballast ratios. A ratio far outside the typical range often means that a unit "
        "or a figure is wrong."
    ),
)
WILL_NOT_STAND = Rule(
    "will-not-stand",
    Severity.STOP,
    subject="boat",
    why="A boat whose mass centre is above the metacentre capsizes at the slightest push.",
)
DECK_UNDER_WATER = Rule(
    "deck-under-water",
    Severity.STOP,
    subject="boat",
    why="Once the deck edge is under water, the boat can flood, and the calculated righting arms no longer apply.",
)
FREEBOARD_LOST = Rule(
    "freeboard-lost",
    Severity.CAUTION,
    subject="boat",
    why="Sinkage reduces the freeboard that keeps water out when the boat heels.",
)
LISTS = Rule(
    "lists",
    Severity.CAUTION,
    subject="boat",
    why=(
        "Weights on one side heel the boat at rest until the bulb swings far enough sideways to balance them. A heavier "
        "bulb cannot remove that heel completely."
    ),
)
HULL = Rule(
    "hull-",
    Severity.NOTE,
    Severity.CAUTION,
    Severity.STOP,
    subject="boat",
    why=(
        "A hull file must be one closed surface that faces outwards; otherwise its volume means nothing. Small faults "
        "are repaired and reported."
    ),
)

# Relative standard deviation of the target above which more must be weighed first. Judgement.
UNCERTAIN_SHARE = 0.02
# Smallest angle of list that can be seen at the mast. Judgement.
VISIBLE_LIST = math.radians(0.5)
# Freeboard left, as a fraction of that on her line, below which the loss is reported. Judgement.
MUCH_LOST = 0.8
# Typical ballast ratio by kind of boat. Common practice, no source.
RATIO_BANDS = {
    "model": ("small and scale models", 0.30, 0.55),
    "racing-model": ("racing models", 0.55, 0.70),
    "small-craft": ("small craft", 0.20, 0.45),
}


def boat_findings(plan: Plan, boat: BoatJob, shown: Shown) -> tuple[Finding, ...]:
    """Return all findings on the boat.

    Args:
        plan: Plan with [boat].
        boat: Boat with her bulb.
        shown: The builder's units.
    """
    section = plan.boat
    if section is None:
        return ()
    slips = check_slips(plan, section, boat, shown)
    # If the displacement is doubted, the share is reported already.
    doubted = any(one.code == DISPLACEMENT_DOUBTFUL.code for one in slips)
    return (
        *check_reach(boat, plan.water.density, shown),
        *check_upright(boat, shown),
        *check_overload(plan, boat, shown),
        *check_imposed(plan, boat, shown),
        *check_freeboard(boat, shown),
        *check_weigh_in(plan, section, boat, shown),
        *(() if doubted else check_ratio(boat.ratio, section.kind, shown)),
        *check_unit(boat.start.unit_slip, unit_of_file=boat.start.hull.unit_of_file, shown=shown),
        *slips,
        *check_displacement(section, boat, plan.water.density, shown),
        *check_hull(boat),
        *check_left_open(plan, boat, shown),
        *check_structure(section),
    )


def check_reach(boat: BoatJob, water_density: float, shown: Shown) -> tuple[Finding, ...]:
    """Return a stop if the fin cannot carry the bulb far enough forward or aft for level trim.

    Args:
        boat: Boat with her bulb.
        water_density: Density of the water. [kg/m3]
        shown: The builder's units.
    """
    hung, reach = boat.hung, boat.reach
    if boat.place_imposed or hung.wanted_x is None or abs(hung.short) <= 1e3 * TOLERANCE:
        return ()
    trim = (
        "the figures for the hull are not enough to show how far that trims the boat"
        if reach is None
        else f"if nothing is done, she trims {by_end(reach.ignored.trim, shown)} over her waterline of "
        f"{shown.length(reach.length)}{estimated(boat.flotation, shown)}"
    )
    ways = remedies_said(boat, shown)
    moment = hung.short * hung.afloat.apparent(water_density)
    return (
        BULB_OUT_OF_REACH(
            "fin",
            f"For level trim the bulb's mass centre must be at x = {shown.length(hung.wanted_x)}, but this fin can carry "
            f"it no further {way(hung.short)} than {shown.length(hung.afloat.x)}. That is "
            f"{shown.length(abs(hung.short))} short, a moment of {shown.moment(abs(moment))}; {trim}.",
            f"Do one of these: {'; '.join(ways)}."
            if ways
            else "Move weights or the fin, or allow more overhang.",
            found=hung.wanted_x,
            limit=hung.afloat.x,
            unit="m",
        ),
    )


def _levelling_said(levelling: Levelling, weights: int, shown: Shown) -> str:
    """Describe the combination of moves with the lowest cost, with the lines to type."""
    said = []
    for number, move in enumerate(levelling.moves):
        at, also = shown.length(move.end), number > 0
        if move.number is not None:
            to = typed(f"weights[{move.number}].x", at, f"x = {at}", also=also)
            said.append(f"move {move.name} {way(move.end - move.start)} to {to}")
            continue
        line = f"weights[{weights + 1}]"
        name = typed(f"{line}.name", move.name, move.name, also=True)
        mass = typed(f"{line}.mass", shown.mass(move.mass), shown.mass(move.mass), also=also)
        place = typed(f"{line}.x", at, f"x = {at}", also=True)
        # The lead is put at the waterline, since her stability would not be known without a height.
        level = typed(f"{line}.z", shown.length(0.0), "", also=True)
        cast = f"cast a bulb of {shown.mass(levelling.bulb)}"
        said.append(f"place {mass} of lead inside the boat at {place} ({name}, {level}) and {cast}")
    return joined(said, "and")


def remedies_said(boat: BoatJob, shown: Shown) -> tuple[str, ...]:
    """Describe each fix in a few words. The combination with the lowest cost comes first, then single fixes from the
    smallest change to the largest.

    Args:
        boat: Boat with her bulb.
        shown: The builder's units.
    """
    fixes, levelling = boat.remedies, boat.levelling
    if fixes is None:
        return ()
    said, moved_so = [], ""
    if levelling is not None:
        said.append(_levelling_said(levelling, boat.start.listed, shown))
        moved_so = levelling.moves[0].name if len(levelling.moves) == 1 and levelling.moves[0].number else ""
    for move in fixes.moves:
        if move.enough and move.name != moved_so:
            said.append(
                f"move {move.name} from x = {shown.length(move.start)} {way(move.distance)} to "
                f"{shown.length(move.end)}"
            )
    if levelling is None and len(fixes.together) > 1:
        moved = [f"{move.name} to x = {shown.length(move.end)}" for move in fixes.together]
        left = fixes.together[-1]
        rest = "" if left.enough else f", which is still {shown.moment(abs(left.left))} short"
        said.append(f"move {joined(moved, 'and')} together{rest}")
    elif levelling is None and fixes.together and not fixes.together[0].enough:
        move = fixes.together[0]
        said.append(
            f"move {move.name} to x = {shown.length(move.end)}, the limit of its range, which is still "
            f"{shown.moment(abs(move.left))} short"
        )
    if fixes.turn_bulb:
        said.append("turn the bulb end for end, if its shape is also suited to moving tail first")
    alone = () if levelling is None or len(levelling.moves) > 1 else levelling.moves
    laid = [one.end for one in alone if one.number is None]
    for lead in fixes.trim_lead:
        if laid and abs(laid[0] - lead.x) < 1e-2:
            continue
        said.append(
            f"place {shown.mass(lead.mass)} of trim lead at x = {shown.length(lead.x)} and cast the bulb "
            f"{shown.mass(lead.bulb_lighter)} lighter"
        )
    said += [_fin_move_said(one, shown) for one in boat.fin_moves]
    # If the other end of the tip would no longer rest on the lead, more overhang alone is not a fix.
    if fixes.overhangs and all(one.needed > one.limit for one in fixes.overhangs):
        said.append(_allowance_said(fixes.overhangs, shown))
    return tuple(said)


def _fin_move_said(move: FinMove, shown: Shown) -> str:
    """Describe a move of the fin, with the lines to type."""
    tip = shown.length(move.tip_x)
    how = f"{shown.length(abs(move.by))} {way(move.by)}"
    if move.root_x is not None:
        root = typed("fin.root_leading_edge_x", shown.length(move.root_x), also=True)
        return f"move the fin and the bulb together {how}, {typed('fin.tip_leading_edge_x', tip)} with {root}"
    rake = typed("fin.rake", shown.angle(move.rake or 0.0), also=True)
    return f"rake the fin to move its tip {how}, {typed('fin.tip_leading_edge_x', tip)} with {rake}"


def _allowance_said(overhangs: tuple[OverhangNeeded, ...], shown: Shown) -> str:
    """Describe how far to widen the limits that are exceeded, with the lines to type."""
    said = []
    for number, over in enumerate(overhangs):
        if over.end == ON_CHORD:
            within = shown.length(over.needed)
            said.append(
                f"allow the mass centre to be further from mid-chord, {typed('fin.carry_within', within)}"
            )
            continue
        # Slightly more, so that the length as shown includes it.
        key, needed = (
            {"forward": "overhang_forward", "after": "overhang_aft"}[over.end],
            shown.length(over.needed + 1e-3),
        )
        line = typed(f"fin.{key}", needed, also=number > 0)
        said.append(f"allow more than {shown.length(over.limit)} of {over.end} overhang, {line}")
    return joined(said, "and")


def check_freeboard(boat: BoatJob, shown: Shown) -> tuple[Finding, ...]:
    """Return a stop if the deck edge is under water, or a caution if a fifth of the freeboard is lost.

    Args:
        boat: Boat with her bulb.
        shown: The builder's units.
    """
    freeboard = boat.freeboard
    if freeboard is None or freeboard.left is None:
        return ()
    was, left = freeboard.on_line.height, freeboard.left.height
    if was <= 0.0 or left > MUCH_LOST * was:
        return ()
    under = left <= 0.0
    place = f", at x = {shown.length(freeboard.left.x)}," if freeboard.placed else ""
    state = (
        f"{shown.length(-left)} under water"
        if under
        else f"{shown.length(left)} above water, compared with {shown.length(was)} on her line"
    )
    return (
        (DECK_UNDER_WATER if under else FREEBOARD_LOST)(
            "boat",
            f"With this bulb, the lowest point of the deck edge{place} is {state}.",
            "Cast a bulb of the mass that puts her on her line, hang it where it levels her, or remove weight from the "
            "boat.",
            found=left,
            limit=0.0 if under else MUCH_LOST * was,
            unit="m",
        ),
    )


def check_weigh_in(plan: Plan, section: BoatSection, boat: BoatJob, shown: Shown) -> tuple[Finding, ...]:
    """Return findings on parts not weighed yet, and on whether the target mass is accurate enough to cast the bulb.

    Args:
        plan: Plan with the fin.
        section: [boat] section of the plan.
        boat: Boat with her bulb.
        shown: The builder's units.
    """
    findings = []
    summed = boat.start.weigh_in
    coming = [line for line in summed.weights if line.state is State.TO_COME]
    if coming:
        mass = math.fsum(line.mass for line in coming)
        names = joined([line.name for line in coming], "and")
        findings.append(
            WEIGHTS_TO_COME(
                "weights",
                f"Parts that are not made yet account for {shown.mass(mass)} of the weight list: {names}.",
                "Weigh each part once you have it, and plan again before you cast the bulb.",
                found=mass,
                unit="kg",
            )
        )
    own = [line for line in summed.weights if line.name.strip().casefold() == "fin"]
    listed = any("fin" in line.name.casefold().split() for line in summed.weights)
    if plan.fin.mass is None and plan.fin.density is None and not listed:
        findings.append(
            FIN_MASS_NOT_GIVEN(
                "fin",
                "The plan gives neither fin.mass nor fin.density, so the fin's own mass is not known.",
                "Give fin.mass or fin.density, unless [[weights]] already includes the fin.",
            )
        )
    elif len(own) > 1:
        findings.append(
            FIN_COUNTED_TWICE(
                "weights",
                f"The weight list has a line called {own[0].name}, and [fin] also gives the fin's mass. Both are counted.",
                "Remove the line, or remove mass or density from [fin].",
                found=own[0].mass,
                unit="kg",
            )
        )
    target, spread = boat.target_mass, boat.mass_spread
    if spread > UNCERTAIN_SHARE * target:
        if boat.displacement_spread > summed.mass_spread or not boat.next:
            remedy = (
                "Most of the uncertainty comes from the displacement. Use the surface that the hull was built from, or "
                "float the boat and mark her waterline."
            )
        else:
            remedy = f"Weigh {boat.next[0].name} next, and cast the bulb only when everything else has been weighed."
        findings.append(
            TARGET_UNCERTAIN(
                "weights",
                f"The target of {shown.mass(target)} is uncertain by {shown.mass(spread)} (one standard deviation, "
                f"{shown.percent(spread / target)}).",
                remedy,
                found=spread / target,
                limit=UNCERTAIN_SHARE,
            )
        )
    return tuple(findings)


def check_ratio(ratio: float, kind: str | None, shown: Shown) -> tuple[Finding, ...]:
    """Return a note if the ballast ratio is unusual.

    Args:
        ratio: Mass of the bulb divided by that of the complete boat. [-]
        kind: "model", "racing-model" or "small-craft"; None for any. [-]
        shown: The builder's units.
    """
    bands = list(RATIO_BANDS.values()) if kind is None else [RATIO_BANDS[kind]]
    low, high = min(band[1] for band in bands), max(band[2] for band in bands)
    if low <= ratio <= high:
        return ()
    whose = "boats of any kind usually have" if kind is None else f"{bands[0][0]} usually have"
    return (
        BALLAST_RATIO_UNUSUAL(
            "boat",
            f"The bulb is {shown.percent(ratio)} of the boat's total mass; {whose} {shown.percent(low)} to "
            f"{shown.percent(high)} (common practice).",
            "Check the units of the displacement and the weight list.",
            found=ratio,
            limit=low if ratio < low else high,
        ),
    )


def check_upright(boat: BoatJob, shown: Shown) -> tuple[Finding, ...]:
    """Return findings if the boat does not stay upright or is not level athwartships.

    Args:
        boat: Boat with her bulb.
        shown: The builder's units.
    """
    gm, side_moment = boat.gm, boat.start.weigh_in.moments[1]
    if gm is None:
        return ()
    if gm <= 0.0:
        return (
            WILL_NOT_STAND(
                "boat",
                f"With this bulb the boat's mass centre is {shown.length(-gm)} above the metacentre, so she does not "
                "stay upright.",
                "Hang the bulb deeper, or remove weight from high up.",
                found=gm,
                limit=0.0,
                unit="m",
            ),
        )
    angle = math.atan2(side_moment, boat.total_mass * gm)
    if abs(angle) <= VISIBLE_LIST:
        return ()
    side, other = ("starboard", "port") if angle > 0.0 else ("port", "starboard")
    return (
        LISTS(
            "weights",
            f"The weights have a moment of {shown.moment(abs(side_moment))} to {side} and make the boat list "
            f"{math.degrees(abs(angle)):.1f} degrees.",
            f"Move weights to {other}. The bulb hangs on the centreline and cannot correct a list.",
            found=abs(angle),
            limit=VISIBLE_LIST,
            unit="rad",
        ),
    )


def check_hull(boat: BoatJob) -> tuple[Finding, ...]:
    """Return findings on repairs to the hull and on anything unusual about it.

    Args:
        boat: Boat with her bulb.
    """
    findings = []
    for one in boat.start.hull.remarks:
        # A hull in the wrong unit was read without a fault, but cannot be the boat that was meant.
        grave = Severity.STOP if one.code == "wrong-unit" else Severity.CAUTION
        findings.append(
            HULL(
                "boat",
                one.message,
                one.remedy,
                severity=Severity.NOTE if one.repaired else grave,
                end=one.code,
                found=one.found,
                limit=one.limit,
                unit=one.unit,
            )
        )
    return tuple(findings)
