"""Findings on alloy, tail, filing, lifting and the charge: what the foundry must know first."""

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

# Filing more than this share of the bulb's mass away is a day's work and dust. Judgement.
FILING_SHARE = 0.03

# Finer than this a bulb's ends are long and thin, freeze before they fill, and bend when handled; common practice, no
# source.
FINEST_CAST = 10.0

# Lead alloys for ballast lie between these; beyond them the figure needs a second look. Judgement.
LIGHTEST_LEAD_ALLOY = 10000.0
PURE_LEAD = 11340.0

ALLOY_UNKNOWN = Rule(
    "alloy-unknown",
    Severity.HOLD,
    holds=(Step.POUR,),
    why=(
        "Lead of unknown make may weigh 2 % more or less than planned and melt at another "
        "temperature, so the pour waits for a weighed piece."
    ),
)
ALLOY_UNKNOWN_ACCEPTED = Rule(
    "alloy-unknown-accepted",
    Severity.CAUTION,
    why=("The spread of an unknown alloy is accepted: mass and pouring temperature may be off by it."),
)
CONTRACTION_INTERPOLATED = Rule(
    "contraction-interpolated",
    Severity.CAUTION,
    why="Contraction depends on what the alloy is made of, which its density shows only roughly.",
)
DENSITY_UNUSUAL = Rule(
    "density-unusual",
    Severity.CAUTION,
    why=("No lead alloy is so light or so heavy: a reading or a unit is wrong, or it is another metal."),
)
TAIL_THIN = Rule(
    "tail-thin",
    Severity.CAUTION,
    why="Thin lead freezes before it fills, bends in handling and breaks off.",
)
BULB_SLENDER = Rule(
    "bulb-slender",
    Severity.CAUTION,
    why="Metal freezes in long thin ends before they fill, no feeder reaches them, and they bend when handled.",
)
TAIL_LEFT_OPEN = Rule(
    "tail-left-open",
    Severity.NOTE,
    why="The profile stops wider than the tail that is required, and nothing closes it.",
)
COAT_TOO_THICK = Rule(
    "coat-too-thick",
    Severity.STOP,
    why=("The coat grows the pattern, which is made smaller for it; at the thin tail nothing would be left."),
)
PIECE_NOT_ALONE = Rule(
    "piece-not-alone",
    Severity.CAUTION,
    why="A smooth piece of this mass is more than a person lifts safely off the floor.",
)
FILING_MUCH = Rule(
    "filing-much",
    Severity.CAUTION,
    tells=Step.PATTERN,
    brief="Metal is to be filed off the casting.",
    why="Filed lead is poisonous dust, and a bulb that needs much of it was cast too large.",
)
FILING = Rule(
    "filing",
    Severity.NOTE,
    tells=Step.PATTERN,
    brief="Metal is to be filed off the casting.",
    why=("The casting is larger than the finished bulb by the finish allowance; that much comes off."),
)
LIFT_TOO_HEAVY = melt_rule(
    "lift-too-heavy",
    Severity.CAUTION,
    brief="A cold piece is more than the people and the hoist that the plan names lift.",
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
    why="So much molten lead is beyond what is handled safely without a foundry's gear.",
)
CHARGE_TAKES_TWO = melt_rule(
    "charge-for-two",
    Severity.CAUTION,
    brief="The charge takes two people and a pot that is tapped or tilted.",
    why="So much molten lead is not lifted by one person; it is tapped, or poured by two.",
)
CHARGE_TOO_HEAVY = melt_rule(
    "charge-not-carried",
    Severity.CAUTION,
    brief="The charge is too heavy to be carried by hand.",
    why="So much molten lead is not carried at all: the pot stays where it is.",
)


def accepts_unknown(plan: Plan) -> bool:
    """Whether an unknown alloy has been accepted in words."""
    return plan.pour is not None and plan.pour.accept_unknown_alloy == ACCEPT_UNKNOWN


def check_alloy(plan: Plan, alloy: CastAlloy, shown: Shown) -> tuple[Finding, ...]:
    """Findings on what the bulb is cast of.

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
            what = "it has been accepted with that spread: the bulb may hang "
            what += f"{shown.percent(spread / alloy.density)} off, one time in three more."
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
                f"{shown.temperature(alloy.liquidus)} are read off between the grades by its density.",
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
                "Weigh the sample again, clean and free of air bubbles; iron, zinc or much tin in it is no ballast.",
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
    """Whether the bulb's ends are too long and thin to be cast in one.

    Args:
        body: Of the bulb.
        section: [bulb] of the plan.
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
            f"The bulb is {found:.1f} times as long as wide. Beyond about {FINEST_CAST:g} its ends are long and thin: metal "
            "freezes in them before they fill, no feeder reaches them, and they bend when the casting is handled.",
            f"Make it fuller, {typed('bulb.fineness', f'{FINEST_CAST:g}')}{instead}; or cast it hot in a warm mould, and "
            "expect to build the tips up in filler.",
            found=found,
            limit=FINEST_CAST,
        ),
    )


def check_tail(body: TurnedBody, asked: float | None, shown: Shown) -> tuple[Finding, ...]:
    """Whether the tail is thick enough to fill and to hold, and as thin as typed.

    Args:
        body: Of the bulb.
        asked: The tail diameter that the plan gives; None where it gives none. [m]
        shown: The builder's units.
    """
    findings = []
    across, thick = 2.0 * body.tail_radius, tail_thickness(body)
    if asked is not None and across > asked * (1.0 + 1e-6):
        findings.append(
            TAIL_LEFT_OPEN(
                "bulb.tail_diameter",
                f"The profile ends {shown.length(across)} across and never falls to the tail diameter of "
                f"{shown.length(asked)} that is typed: the tail is as wide as the profile leaves it.",
                f"Set {typed('bulb.tail_diameter', length_up(across, shown))}, or take a profile that closes, such as "
                "spheroid or sears-haack.",
                found=across,
                limit=asked,
                unit="m",
            )
        )
    if thick < SMALLEST_TAIL * (1.0 - 1e-9):
        wanted = across * SMALLEST_TAIL / thick if thick > 0.0 else SMALLEST_TAIL
        other = ", or build the tip up in filler" if asked is not None else ", or a smaller fineness"
        findings.append(
            TAIL_THIN(
                "bulb.tail_diameter",
                f"The tail is {shown.length(thick)} thick where it is cut; below {shown.length(SMALLEST_TAIL)} it "
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
        pattern: With its coat, and how far its surface lies from the finished bulb's.
        body: Of the bulb.
        shown: The builder's units.
    """
    inwards, half = -pattern.offset, 0.5 * tail_thickness(body)
    # A tail closed to a point has no thickness to go by; the check of the tail tells of it.
    if half <= 0.0 or inwards <= half:
        return ()
    return (
        COAT_TOO_THICK(
            "pattern.coat",
            f"The coat of {shown.length(pattern.coat)} takes the pattern {shown.length(inwards)} inside the finished "
            f"bulb, deeper than the tail's half thickness of {shown.length(half)}: no tail is left of it.",
            "Take a thinner coat, a larger finish, or a larger tail_diameter.",
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
        lifting: Where the plan says who and what lifts, `check_lifts` judges it.
        shown: The builder's units.
    """
    findings = []
    filed, share = shown.mass(cast.finish_mass), cast.finish_mass / bulb_mass
    if cast.finish_mass > FILING_SHARE * bulb_mass:
        findings.append(
            FILING_MUCH(
                "pattern.finish",
                f"{filed} are to be filed off, {shown.percent(share)} of the bulb; weigh until it is gone.",
                "Take a smaller finish and a better pattern: every gram filed is lead dust or chips.",
                found=share,
                limit=FILING_SHARE,
            )
        )
    elif cast.finish_mass > 0.0:
        message, remedy = f"{filed} are to be filed off.", "Weigh until it is gone; shavings, not dust."
        findings.append(FILING("pattern.finish", message, remedy, found=share, limit=FILING_SHARE))
    if lifting is not None:
        return tuple(findings)
    if cast.mass > PIECE_TO_BE_HOISTED:
        findings.append(
            PIECE_HEAVY(
                "pattern",
                f"The casting weighs {shown.mass(cast.mass)}. Above {round_mass(PIECE_TO_BE_HOISTED, shown)}, the "
                "British HSE's guideline for a man who holds it close at the waist, it is lifted with a hoist or by "
                f"several people, with the lifting point over its mass centre {shown.length(cast.mass_centre_x)} from "
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
                f"The casting weighs {shown.mass(cast.mass)}. Above {round_mass(LIFTED_ALONE, shown)} a person alone "
                "does not lift a smooth piece off the floor, by the lifting equation of the American NIOSH.",
                "Lift it with a second person, or slide it on a board at the height of the bench.",
                found=cast.mass,
                limit=LIFTED_ALONE,
                unit="kg",
            )
        )
    return tuple(findings)


def check_lifts(job: FoundryResults) -> tuple[Finding, ...]:
    """Whether those who are there lift the heaviest cold piece, by hand or by the hoist.

    Args:
        job: With its mould and its melt.
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
            f"The heaviest single lift by {there} and {gear} is the {worst.what}: {shown.workshop.mass(worst.mass)}.",
            f"Have {joined(ways, 'or')}. A beam, hook or sling holds no more than its own plate says.",
            found=worst.mass,
            limit=lifting.hoist,
            unit="kg",
        ),
    )


def check_charge(melt: Melt, pours: int, shown: Shown) -> tuple[Finding, ...]:
    """Findings on the mass of hot metal.

    Args:
        melt: The melt, of all pours together.
        pours: Into which it is divided: what is hot at one time is what counts.
        shown: The builder's units.
    """
    charge = melt.charge / pours
    if charge > CHARGE_FOR_A_FOUNDRY:
        rule, limit = CHARGE_FOUNDRY, CHARGE_FOR_A_FOUNDRY
        what = "this is a foundry's work, and melt and pour are on hold"
        remedy = "Take the pattern to a foundry, or cast the bulb in pieces."
    elif charge > CHARGE_FOR_TWO:
        rule, limit = CHARGE_TAKES_TWO, CHARGE_FOR_TWO
        what = "two people, and a pot that is tapped or tilted, never lifted"
        remedy = "Plan the tap or the tilting frame and the way of the metal before the fire is lit."
    elif charge > CHARGE_NOT_CARRIED:
        rule, limit = CHARGE_TOO_HEAVY, CHARGE_NOT_CARRIED
        what = "a pot so full is not lifted by hand"
        remedy = "Ladle, tap or tilt; keep the mould next to the pot."
    else:
        return ()
    each = "" if pours == 1 else " for each pour"
    message = f"The charge is {shown.mass(charge)}{each}: {what}."
    return (rule("melt", message, remedy, found=charge, limit=limit, unit="kg"),)
