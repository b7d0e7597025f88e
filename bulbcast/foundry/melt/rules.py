"""Findings on the alloy, tail, filing, lifting and charge."""

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
from bulbcast.quantities import Shown, give_or_take
from bulbcast.quantities.typed import length_up, mass_up, round_mass

# Filing away more than this fraction of the bulb's mass takes a day and makes a lot of dust. Judgement.
FILING_SHARE = 0.03

# The ends of a bulb finer than this are long and thin, freeze before they fill, and bend when handled; common practice,
# no source.
FINEST_CAST = 10.0

# Lead alloys for ballast lie between these; outside them the figure needs a second look. Judgement.
LIGHTEST_LEAD_ALLOY = 10000.0
PURE_LEAD = 11340.0

ALLOY_UNKNOWN = Rule(
    "alloy-unknown",
    Severity.HOLD,
    holds=(Step.POUR,),
    why=(
        "Lead of unknown composition may be 2 % heavier or lighter than planned and melt at a different temperature. "
        "The pour waits until a piece is weighed."
    ),
)
ALLOY_UNKNOWN_ACCEPTED = Rule(
    "alloy-unknown-accepted",
    Severity.CAUTION,
    why="You have accepted an unknown alloy: the bulb's mass and the pouring temperature may be off.",
)
CONTRACTION_INTERPOLATED = Rule(
    "contraction-interpolated",
    Severity.CAUTION,
    why="Contraction depends on the composition of the alloy, which the density shows only roughly.",
)
DENSITY_UNUSUAL = Rule(
    "density-unusual",
    Severity.CAUTION,
    why="No lead alloy is that light or that heavy: a reading or a unit is wrong, or the metal is not lead.",
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
    why="The profile ends wider than the required tail, and nothing narrows it further.",
)
COAT_TOO_THICK = Rule(
    "coat-too-thick",
    Severity.STOP,
    why="The pattern is made smaller to allow for the coat, and nothing would be left of a thin tail.",
)
PIECE_NOT_ALONE = Rule(
    "piece-not-alone",
    Severity.CAUTION,
    why="One person cannot safely lift a smooth piece of this mass off the floor.",
)
FILING_MUCH = Rule(
    "filing-much",
    Severity.CAUTION,
    tells=Step.PATTERN,
    brief="Metal has to be filed off the casting.",
    why="Filings are poisonous dust, and a bulb that needs much filing was cast too large.",
)
FILING = Rule(
    "filing",
    Severity.NOTE,
    tells=Step.PATTERN,
    brief="Metal has to be filed off the casting.",
    why="The casting is larger than the finished bulb by the finish allowance, which has to come off.",
)
LIFT_TOO_HEAVY = melt_rule(
    "lift-too-heavy",
    Severity.CAUTION,
    brief="A cold piece is too heavy for the people and the hoist in the plan.",
    why="A bulb, mould or half that slips while it is lifted can crush feet and fingers.",
)
PIECE_HEAVY = Rule(
    "piece-heavy",
    Severity.CAUTION,
    why="A smooth, heavy casting slips easily and can injure backs, feet and fingers.",
)
CHARGE_FOUNDRY = melt_rule(
    "charge-foundry",
    Severity.HOLD,
    holds=(Step.MELT, Step.POUR),
    brief="The charge needs a foundry: the melt and the pour are on hold.",
    why="That much molten lead cannot be handled safely without a foundry's equipment.",
)
CHARGE_TAKES_TWO = melt_rule(
    "charge-for-two",
    Severity.CAUTION,
    brief="The charge needs two people and a pot that is tapped or tilted.",
    why="One person should not lift that much molten lead. Tap it, or have two people pour it.",
)
CHARGE_TOO_HEAVY = melt_rule(
    "charge-not-carried",
    Severity.CAUTION,
    brief="The charge is too heavy to carry by hand.",
    why="Never carry that much molten lead: leave the pot where it is.",
)


def accepts_unknown(plan: Plan) -> bool:
    """Whether the plan explicitly accepts an unknown alloy."""
    return plan.pour is not None and plan.pour.accept_unknown_alloy == ACCEPT_UNKNOWN


def check_alloy(plan: Plan, alloy: CastAlloy, shown: Shown) -> tuple[Finding, ...]:
    """Return the findings on the bulb's alloy.

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
            what = "you have accepted that: the bulb's mass may be off by "
            what += f"{shown.percent(spread / alloy.density)}, with a one-in-three chance of more."
        findings.append(
            (ALLOY_UNKNOWN_ACCEPTED if accepted else ALLOY_UNKNOWN)(
                "alloy.grade",
                "The alloy is not known, so a density of "
                f"{give_or_take(shown.density(alloy.density), shown.density(spread))}, is assumed, and {what}",
                "Weigh at least 1 kg of it in air and then hanging in water, and give [alloy] weighed = "
                "{in_air = ..., in_water = ...}.",
                found=spread,
                unit="kg/m3",
            )
        )
    elif alloy.interpolated and plan.pattern.contraction is None:
        findings.append(
            CONTRACTION_INTERPOLATED(
                "pattern.contraction",
                f"The alloy has no grade, so its contraction of {shown.percent(alloy.contraction)} and liquidus of "
                f"{shown.temperature(alloy.liquidus)} are interpolated between the grades by its density.",
                "Cast a test bar of it and give its contraction under [pattern], or name the grade.",
                found=alloy.contraction,
            )
        )
    if not LIGHTEST_LEAD_ALLOY <= alloy.density <= PURE_LEAD * 1.001:
        heavy = alloy.density > PURE_LEAD
        what = "above that of pure lead" if heavy else "too low for a lead alloy used as ballast"
        findings.append(
            DENSITY_UNUSUAL(
                "alloy",
                f"A density of {shown.density(alloy.density)} is {what}.",
                "Weigh the sample again, clean and free of air bubbles. Metal that contains iron, zinc or much tin is "
                "not suitable for ballast.",
                found=alloy.density,
                limit=PURE_LEAD if heavy else LIGHTEST_LEAD_ALLOY,
                unit="kg/m3",
            )
        )
    return tuple(findings)


def tail_thickness(body: TurnedBody) -> float:
    """Smaller of the width and the height of the tail face. [m]"""
    narrow: float = min(body.width_to_height, 1.0 / body.width_to_height) ** 0.5
    return 2.0 * body.tail_radius * narrow


def check_slender(body: TurnedBody, section: BulbSection, shown: Shown) -> tuple[Finding, ...]:
    """Check whether the bulb's ends are too long and thin to cast in one piece.

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
            f"The bulb is {found:.1f} times as long as it is wide. Above about {FINEST_CAST:g} its ends are long and "
            "thin. Metal freezes in them before they fill, no feeder reaches them, and they bend when the casting is "
            "handled.",
            f"Make the bulb fuller: set {typed('bulb.fineness', f'{FINEST_CAST:g}')}{instead}. Or cast it hot in a "
            "warm mould, and expect to build up the tips with filler.",
            found=found,
            limit=FINEST_CAST,
        ),
    )


def check_tail(body: TurnedBody, asked: float | None, shown: Shown) -> tuple[Finding, ...]:
    """Check that the tail is thick enough to fill and to last, and no wider than the plan's tail diameter.

    Args:
        body: Body of the bulb.
        asked: Tail diameter given in the plan; None if it gives none. [m]
        shown: The builder's units.
    """
    findings = []
    across, thick = 2.0 * body.tail_radius, tail_thickness(body)
    if asked is not None and across > asked * (1.0 + 1e-6):
        findings.append(
            TAIL_LEFT_OPEN(
                "bulb.tail_diameter",
                f"The profile is {shown.length(across)} across at its end and never narrows to the planned tail "
                f"diameter of {shown.length(asked)}: the tail stays as wide as the profile leaves it.",
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
    """Check that a coat thicker than the finish still leaves a pattern at the tail.

    Args:
        pattern: The pattern, with its coat and the distance of its surface from that of the finished bulb.
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
            f"The coat of {shown.length(pattern.coat)} puts the pattern {shown.length(inwards)} inside the finished "
            f"bulb. That is more than half the tail's thickness ({shown.length(half)}), so no tail is left.",
            "Choose a thinner coat, a larger finish allowance, or a larger tail_diameter.",
            found=inwards,
            limit=half,
            unit="m",
        ),
    )


def check_casting(
    cast: CastBody, bulb_mass: float, lifting: LiftingSection | None, shown: Shown
) -> tuple[Finding, ...]:
    """Return the findings on filing and lifting.

    Args:
        cast: The cast body.
        bulb_mass: Hung mass. [kg]
        lifting: The plan's [lifting]; if given, `check_lifts` judges the lifts.
        shown: The builder's units.
    """
    findings = []
    filed, share = shown.mass(cast.finish_mass), cast.finish_mass / bulb_mass
    if cast.finish_mass > FILING_SHARE * bulb_mass:
        findings.append(
            FILING_MUCH(
                "pattern.finish",
                f"{filed} has to be filed off, {shown.percent(share)} of the bulb. Keep weighing the bulb until that "
                "much is gone.",
                "Choose a smaller finish allowance and make a better pattern. Every gram filed off is lead dust or chips.",
                found=share,
                limit=FILING_SHARE,
            )
        )
    elif cast.finish_mass > 0.0:
        message, remedy = (
            f"{filed} has to be filed off.",
            "Keep weighing the casting until that much is gone. Make shavings, not dust.",
        )
        findings.append(FILING("pattern.finish", message, remedy, found=share, limit=FILING_SHARE))
    if lifting is not None:
        return tuple(findings)
    if cast.mass > PIECE_TO_BE_HOISTED:
        findings.append(
            PIECE_HEAVY(
                "pattern",
                f"The casting weighs {shown.mass(cast.mass)}. Above {round_mass(PIECE_TO_BE_HOISTED, shown)}, the "
                "British HSE's guideline for a man holding a load close to the waist, lift it with a hoist or with "
                f"several people. The lifting point is over its mass centre, {shown.length(cast.mass_centre_x)} from the "
                "finished nose.",
                "Cast in a lifting eye or use a sling at the lifting point, and check that what it hangs from can take "
                "the load.",
                found=cast.mass,
                limit=PIECE_TO_BE_HOISTED,
                unit="kg",
            )
        )
    elif cast.mass > LIFTED_ALONE:
        findings.append(
            PIECE_NOT_ALONE(
                "pattern",
                f"The casting weighs {shown.mass(cast.mass)}. One person should not lift a smooth piece heavier than "
                f"{round_mass(LIFTED_ALONE, shown)} off the floor (US NIOSH lifting equation).",
                "Lift it with a second person, or slide it along a board at bench height.",
                found=cast.mass,
                limit=LIFTED_ALONE,
                unit="kg",
            )
        )
    return tuple(findings)


def check_lifts(job: FoundryResults) -> tuple[Finding, ...]:
    """Check that the people available can lift the heaviest cold piece by hand or with the hoist.

    Args:
        job: Results that include the mould and the melt.
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
    hoist = f"a hoist for it and set [lifting] {typed('lifting.hoist', mass_up(worst.mass, shown))}"
    remedy = f"Get {hoist}"
    if worst.people is not None:
        people = typed("lifting.people", str(worst.people))
        remedy = f"Lift it with {worst.people} people and set [lifting] {people}, or get {hoist}"
    return (
        LIFT_TOO_HEAVY(
            "lifting",
            f"With {there} and {gear}, the heaviest single lift is too much: the {worst.what}, "
            f"{shown.workshop.mass(worst.mass)}.",
            f"{remedy}. Never load a beam, hook or sling beyond the limit marked on it.",
            found=worst.mass,
            limit=lifting.hoist,
            unit="kg",
        ),
    )


def check_charge(melt: Melt, pours: int, shown: Shown) -> tuple[Finding, ...]:
    """Return the findings on the mass of hot metal.

    Args:
        melt: The charge for all pours together.
        pours: Number of pours that the charge is divided into; the limits apply to the metal that is hot at one time.
        shown: The builder's units.
    """
    charge = melt.charge / pours
    if charge > CHARGE_FOR_A_FOUNDRY:
        rule, limit = CHARGE_FOUNDRY, CHARGE_FOR_A_FOUNDRY
        what = "this is a job for a foundry, and the melt and the pour are on hold"
        remedy = "Have a foundry cast the bulb, or cast it in pieces."
    elif charge > CHARGE_FOR_TWO:
        rule, limit = CHARGE_TAKES_TWO, CHARGE_FOR_TWO
        what = "this needs two people and a pot that is tapped or tilted, never lifted"
        remedy = "Before you light the fire, plan the tap or tilting frame and the path of the metal."
    elif charge > CHARGE_NOT_CARRIED:
        rule, limit = CHARGE_TOO_HEAVY, CHARGE_NOT_CARRIED
        what = "a pot that heavy must not be lifted by hand"
        remedy = "Ladle the metal, or tap or tilt the pot, with the mould next to it."
    else:
        return ()
    each = "" if pours == 1 else " for each pour"
    message = f"The charge is {shown.mass(charge)}{each}: {what}."
    return (rule("melt", message, remedy, found=charge, limit=limit, unit="kg"),)
