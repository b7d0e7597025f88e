"""Findings on alloy, tail, filing, lifting and the charge."""

from __future__ import annotations

from bulbcast.bulb.body.turned import TurnedBody
from bulbcast.bulb.hung.wish import SMALLEST_TAIL
from bulbcast.findings import Finding, Rule, Severity, Step, melt_rule, typed
from bulbcast.foundry.melt.charge import (
    CHARGE_FOR_A_FOUNDRY,
    CHARGE_FOR_TWO,
    CHARGE_NOT_CARRIED,
    LIFTED_ALONE,
    PIECE_TO_BE_HOISTED,
    Melt,
)
from bulbcast.foundry.melt.lifts import all_lifts
from bulbcast.foundry.results import FoundryResults
from bulbcast.materials.alloys import CastAlloy
from bulbcast.pattern.allowances import Pattern
from bulbcast.pattern.cast_body import CastBody
from bulbcast.plan.bulb_sections import BulbSection
from bulbcast.plan.melt_sections import ACCEPT_UNKNOWN
from bulbcast.plan.pot_sections import LiftingSection
from bulbcast.plan.sections import Plan
from bulbcast.quantities import Shown, give_or_take, joined
from bulbcast.quantities.typed import length_up, mass_up, round_mass

# Filing away more than this fraction of the bulb's mass is a day's work and a lot of dust. Judgement.
FILING_SHARE = 0.03

# The ends of a bulb finer than this are long and thin, freeze before they fill, and bend when handled; common practice,
# no source.
FINEST_CAST = 10.0

# Lead alloys for ballast are between these; outside them the figure needs a second look. Judgement.
LIGHTEST_LEAD_ALLOY = 10000.0
PURE_LEAD = 11340.0

ALLOY_UNKNOWN = Rule(
    "alloy-unknown",
    Severity.HOLD,
    holds=(Step.POUR,),
    why=(
        "Lead of unknown make may weigh 2 % more or less than planned and melt at another temperature, so the pour "
        "waits until a piece is weighed."
    ),
)
ALLOY_UNKNOWN_ACCEPTED = Rule(
    "alloy-unknown-accepted",
    Severity.CAUTION,
    why="The spread of an unknown alloy is accepted: mass and pouring temperature may be off by it.",
)
CONTRACTION_INTERPOLATED = Rule(
    "contraction-interpolated",
    Severity.CAUTION,
    why="Contraction depends on what the alloy is made of, and its density shows that only roughly.",
)
DENSITY_UNUSUAL = Rule(
    "density-unusual",
    Severity.CAUTION,
    why="No lead alloy is that light or that heavy: a reading or a unit is wrong, or it is another metal.",
)
TAIL_THIN = Rule(
    "tail-thin",
    Severity.CAUTION,
    why="Thin lead freezes before it fills the mould, bends in handling and breaks off.",
)
BULB_SLENDER = Rule(
    "bulb-slender",
    Severity.CAUTION,
    why="Metal freezes in long thin ends before they fill, no feeder reaches them, and they bend when handled.",
)
TAIL_LEFT_OPEN = Rule(
    "tail-left-open",
    Severity.NOTE,
    why="The profile ends wider than the required tail, and nothing closes it.",
)
COAT_TOO_THICK = Rule(
    "coat-too-thick",
    Severity.STOP,
    why="The pattern is made smaller to allow for the coat; at a thin tail nothing would be left of it.",
)
PIECE_NOT_ALONE = Rule(
    "piece-not-alone",
    Severity.CAUTION,
    why="A smooth piece this heavy is more than one person lifts safely off the floor.",
)
FILING_MUCH = Rule(
    "filing-much",
    Severity.CAUTION,
    tells=Step.PATTERN,
    brief="Metal is to be filed off the casting.",
    why="Filings are poisonous dust, and a bulb that needs much filing was cast too large.",
)
FILING = Rule(
    "filing",
    Severity.NOTE,
    tells=Step.PATTERN,
    brief="Metal is to be filed off the casting.",
    why="The casting is larger than the finished bulb by the finish allowance; that much comes off.",
)
LIFT_TOO_HEAVY = melt_rule(
    "lift-too-heavy",
    Severity.CAUTION,
    brief="A cold piece is too heavy for the people and the hoist in the plan.",
    why="A bulb, a mould or a half that slips while it is lifted crushes feet and fingers.",
)
PIECE_HEAVY = Rule(
    "piece-heavy",
    Severity.CAUTION,
    why="A smooth heavy casting slips, and hurts backs, feet and fingers.",
)
CHARGE_FOUNDRY = melt_rule(
    "charge-foundry",
    Severity.HOLD,
    holds=(Step.MELT, Step.POUR),
    brief="The charge is a foundry's work: melt and pour are on hold.",
    why="That much molten lead cannot be handled safely without a foundry's equipment.",
)
CHARGE_TAKES_TWO = melt_rule(
    "charge-for-two",
    Severity.CAUTION,
    brief="The charge takes two people and a pot that is tapped or tilted.",
    why="One person does not lift that much molten lead; it is tapped, or poured by two.",
)
CHARGE_TOO_HEAVY = melt_rule(
    "charge-not-carried",
    Severity.CAUTION,
    brief="The charge is too heavy to be carried by hand.",
    why="That much molten lead is not carried at all: the pot stays where it is.",
)


def accepts_unknown(plan: Plan) -> bool:
    """Whether the plan accepts an unknown alloy in words."""
    return plan.pour is not None and plan.pour.accept_unknown_alloy == ACCEPT_UNKNOWN


def check_alloy(plan: Plan, alloy: CastAlloy, shown: Shown) -> tuple[Finding, ...]:
    """Findings on the alloy of the bulb.

    Args:
        plan: The plan.
        alloy: The alloy.
        shown: The builder's units.
    """
    findings = []
    if alloy.unknown:
        accepted, spread = accepts_unknown(plan), alloy.density_spread
        what = "the pour is on hold."
        if accepted:
            what = "it has been accepted with that spread: the bulb may be "
            what += f"{shown.percent(spread / alloy.density)} off in mass, and one time in three more."
        findings.append(
            (ALLOY_UNKNOWN_ACCEPTED if accepted else ALLOY_UNKNOWN)(
                "alloy.grade",
                f"The alloy is not known: {give_or_take(shown.density(alloy.density), shown.density(spread))}, is "
                f"assumed, and {what}",
                "Weigh 1 kg or more of it in air and hung in water and give [alloy] weighed = "
                "{in_air = ..., in_water = ...}.",
                found=spread,
                unit="kg/m3",
            )
        )
    elif alloy.interpolated and plan.pattern.contraction is None:
        findings.append(
            CONTRACTION_INTERPOLATED(
                "pattern.contraction",
                f"The alloy has no grade: its contraction of {shown.percent(alloy.contraction)} and liquidus of "
                f"{shown.temperature(alloy.liquidus)} are interpolated between the grades by its density.",
                "Cast a test bar of it and give [pattern] contraction, or name the grade.",
                found=alloy.contraction,
            )
        )
    if not LIGHTEST_LEAD_ALLOY <= alloy.density <= PURE_LEAD * 1.001:
        heavy = alloy.density > PURE_LEAD
        what = "above that of pure lead" if heavy else "low for a lead alloy that is cast for ballast"
        findings.append(
            DENSITY_UNUSUAL(
                "alloy",
                f"A density of {shown.density(alloy.density)} is {what}.",
                "Weigh the sample again, clean and free of air bubbles; metal with iron, zinc or much tin in it is not "
                "for ballast.",
                found=alloy.density,
                limit=PURE_LEAD if heavy else LIGHTEST_LEAD_ALLOY,
                unit="kg/m3",
            )
        )
    return tuple(findings)


def tail_thickness(body: TurnedBody) -> float:
    """Smaller of width and height of the tail face. [m]"""
    narrow: float = min(body.width_to_height, 1.0 / body.width_to_height) ** 0.5
    return 2.0 * body.tail_radius * narrow


def check_slender(body: TurnedBody, section: BulbSection, shown: Shown) -> tuple[Finding, ...]:
    """Whether the bulb's ends are too long and thin to be cast in one piece.

    Args:
        body: Body of the bulb.
        section: The plan's [bulb].
        shown: The builder's units.
    """
    found = body.length / body.diameter
    if found <= FINEST_CAST * (1.0 + 1e-9):
        return ()
    given = [leaf for leaf in ("length", "diameter") if getattr(section, leaf) is not None]
    place = f"bulb.{given[0]}" if given else "bulb.fineness"
    instead = f" in place of {typed(place, None)}" if given else ""
    return (
        BULB_SLENDER(
            place,
            f"The bulb is {found:.1f} times as long as wide. Above about {FINEST_CAST:g} its ends are long and thin. "
            "Metal freezes in them before they fill, no feeder reaches them, and they bend when the casting is handled.",
            f"Make it fuller, {typed('bulb.fineness', f'{FINEST_CAST:g}')}{instead}. Or cast it hot in a warm mould, and "
            "expect to build up the tips with filler.",
            found=found,
            limit=FINEST_CAST,
        ),
    )


def check_tail(body: TurnedBody, asked: float | None, shown: Shown) -> tuple[Finding, ...]:
    """Whether the tail is thick enough to fill and to last, and as thin as typed.

    Args:
        body: Body of the bulb.
        asked: The tail diameter that the plan gives; None where it gives none. [m]
        shown: The builder's units.
    """
    findings = []
    across, thick = 2.0 * body.tail_radius, tail_thickness(body)
    if asked is not None and across > asked * (1.0 + 1e-6):
        findings.append(
            TAIL_LEFT_OPEN(
                "bulb.tail_diameter",
                f"The profile ends {shown.length(across)} across and never narrows to the typed tail diameter of "
                f"{shown.length(asked)}: the tail stays as wide as the profile leaves it.",
                f"Set {typed('bulb.tail_diameter', length_up(across, shown))}, or choose a profile that closes, such as "
                "spheroid or sears-haack.",
                found=across,
                limit=asked,
                unit="m",
            )
        )
    if thick < SMALLEST_TAIL * (1.0 - 1e-9):
        wanted = across * SMALLEST_TAIL / thick if thick > 0.0 else SMALLEST_TAIL
        other = ", or build up the tip with filler" if asked is not None else ", or a smaller fineness"
        findings.append(
            TAIL_THIN(
                "bulb.tail_diameter",
                f"The tail is {shown.length(thick)} thick where it is cut off; below {shown.length(SMALLEST_TAIL)} it "
                "freezes before it fills, or breaks off.",
                f"Set {typed('bulb.tail_diameter', length_up(wanted, shown))} or more{other}.",
                found=thick,
                limit=SMALLEST_TAIL,
                unit="m",
            )
        )
    return tuple(findings)


def check_coat(pattern: Pattern, body: TurnedBody, shown: Shown) -> tuple[Finding, ...]:
    """Whether a coat thicker than the finish still leaves a pattern at the tail.

    Args:
        pattern: The pattern, with its coat and the distance of its surface from the finished bulb's.
        body: Body of the bulb.
        shown: The builder's units.
    """
    inwards, half = -pattern.offset, 0.5 * tail_thickness(body)
    # A tail that closes to a point has no thickness; the check of the tail reports it.
    if half <= 0.0 or inwards <= half:
        return ()
    return (
        COAT_TOO_THICK(
            "pattern.coat",
            f"The coat of {shown.length(pattern.coat)} takes the pattern {shown.length(inwards)} inside the finished "
            f"bulb, more than half the tail's thickness, {shown.length(half)}: no tail is left.",
            "Choose a thinner coat, a larger finish, or a larger tail_diameter.",
            found=inwards,
            limit=half,
            unit="m",
        ),
    )


def check_casting(
    cast: CastBody, bulb_mass: float, lifting: LiftingSection | None, shown: Shown
) -> tuple[Finding, ...]:
    """Findings on filing and lifting.

    Args:
        cast: The cast body.
        bulb_mass: Hung mass. [kg]
        lifting: The plan's [lifting]; where it is given, `check_lifts` judges the lifts.
        shown: The builder's units.
    """
    findings = []
    filed, share = shown.mass(cast.finish_mass), cast.finish_mass / bulb_mass
    if cast.finish_mass > FILING_SHARE * bulb_mass:
        findings.append(
            FILING_MUCH(
                "pattern.finish",
                f"{filed} has to be filed off, {shown.percent(share)} of the bulb. Weigh it until that much is gone.",
                "Choose a smaller finish and make a better pattern: every gram filed off is lead dust or chips.",
                found=share,
                limit=FILING_SHARE,
            )
        )
    elif cast.finish_mass > 0.0:
        message, remedy = (
            f"{filed} has to be filed off.",
            "Weigh it until that much is gone. Make shavings, not dust.",
        )
        findings.append(FILING("pattern.finish", message, remedy, found=share, limit=FILING_SHARE))
    if lifting is not None:
        return tuple(findings)
    if cast.mass > PIECE_TO_BE_HOISTED:
        findings.append(
            PIECE_HEAVY(
                "pattern",
                f"The casting weighs {shown.mass(cast.mass)}. Above {round_mass(PIECE_TO_BE_HOISTED, shown)}, the "
                "British HSE's guideline for a man who holds it close at the waist, lift it with a hoist or with "
                f"several people. The lifting point is over its mass centre, {shown.length(cast.mass_centre_x)} from "
                "the finished nose.",
                "Cast in a lifting eye or plan a sling at that point, and check what it hangs from.",
                found=cast.mass,
                limit=PIECE_TO_BE_HOISTED,
                unit="kg",
            )
        )
    elif cast.mass > LIFTED_ALONE:
        findings.append(
            PIECE_NOT_ALONE(
                "pattern",
                f"The casting weighs {shown.mass(cast.mass)}. Above {round_mass(LIFTED_ALONE, shown)} one person alone "
                "should not lift a smooth piece off the floor, by the lifting equation of the American NIOSH.",
                "Lift it with a second person, or slide it on a board at the height of the bench.",
                found=cast.mass,
                limit=LIFTED_ALONE,
                unit="kg",
            )
        )
    return tuple(findings)


def check_lifts(job: FoundryResults) -> tuple[Finding, ...]:
    """Whether the people available can lift the heaviest cold piece, by hand or with the hoist.

    Args:
        job: The results with its mould and its melt.
    """
    lifting, shown = job.plan.lifting, job.shown
    if lifting is None:
        return ()
    left = [one for one in all_lifts(job) if not one.hot and not one.by(lifting)]
    if not left:
        return ()
    worst = max(left, key=lambda one: one.mass)
    there = "one person" if lifting.people == 1 else f"{lifting.people} people"
    gear = "no hoist" if lifting.hoist is None else f"a hoist for {shown.workshop.mass(lifting.hoist)}"
    ways = [f"a hoist for it, [lifting] {typed('lifting.hoist', mass_up(worst.mass, shown))}"]
    if worst.people is not None:
        ways.insert(0, f"{worst.people} people, [lifting] {typed('lifting.people', str(worst.people))}")
    return (
        LIFT_TOO_HEAVY(
            "lifting",
            f"The heaviest single lift for {there} and {gear} is the {worst.what}: {shown.workshop.mass(worst.mass)}.",
            f"Have {joined(ways, 'or')}. Do not load a beam, hook or sling above what its own plate says.",
            found=worst.mass,
            limit=lifting.hoist,
            unit="kg",
        ),
    )


def check_charge(melt: Melt, pours: int, shown: Shown) -> tuple[Finding, ...]:
    """Findings on the mass of hot metal.

    Args:
        melt: The melt, of all pours together.
        pours: Number of pours that it is divided into: what is hot at one time counts.
        shown: The builder's units.
    """
    charge = melt.charge / pours
    if charge > CHARGE_FOR_A_FOUNDRY:
        rule, limit = CHARGE_FOUNDRY, CHARGE_FOR_A_FOUNDRY
        what = "this is a foundry's work, and melt and pour are on hold"
        remedy = "Take the pattern to a foundry, or cast the bulb in pieces."
    elif charge > CHARGE_FOR_TWO:
        rule, limit = CHARGE_TAKES_TWO, CHARGE_FOR_TWO
        what = "this takes two people and a pot that is tapped or tilted, never lifted"
        remedy = "Plan the tap or the tilting frame and the path of the metal before you light the fire."
    elif charge > CHARGE_NOT_CARRIED:
        rule, limit = CHARGE_TOO_HEAVY, CHARGE_NOT_CARRIED
        what = "a pot that full is not lifted by hand"
        remedy = "Ladle, tap or tilt; keep the mould next to the pot."
    else:
        return ()
    each = "" if pours == 1 else " for each pour"
    message = f"The charge is {shown.mass(charge)}{each}: {what}."
    return (rule("melt", message, remedy, found=charge, limit=limit, unit="kg"),)
