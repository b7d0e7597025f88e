"""Findings on alloy, tail, filing, lifting and the charge: what the foundry must know first."""

from __future__ import annotations

from bulbcast.bulb.fastening.limits import (
    CHARGE_FOR_A_FOUNDRY,
    CHARGE_FOR_TWO,
    CHARGE_NOT_CARRIED,
    FILING_SHARE,
    LIFTED_ALONE,
    LIGHTEST_LEAD_ALLOY,
    PIECE_TO_BE_HOISTED,
    PURE_LEAD,
    SMALLEST_TAIL,
)
from bulbcast.findings import Finding, Rule, Severity, Step
from bulbcast.foundry.melt.charge import Melt
from bulbcast.materials.alloys import CastAlloy
from bulbcast.pattern.cast_body import CastBody
from bulbcast.quantities import Shown, give_or_take
from bulbcast.quantities.typed import length_up, round_mass

ALLOY_UNKNOWN = Rule("alloy-unknown", Severity.HOLD, holds=(Step.POUR,))
ALLOY_UNKNOWN_ACCEPTED = Rule("alloy-unknown-accepted", Severity.CAUTION)
CONTRACTION_INTERPOLATED = Rule("contraction-interpolated", Severity.CAUTION)
DENSITY_UNUSUAL = Rule("density-unusual", Severity.CAUTION)
TAIL_THIN = Rule("tail-thin", Severity.CAUTION)
TAIL_LEFT_OPEN = Rule("tail-left-open", Severity.NOTE)
COAT_TOO_THICK = Rule("coat-too-thick", Severity.STOP)
PIECE_NOT_ALONE = Rule("piece-not-alone", Severity.CAUTION)
FILING_MUCH = Rule(
    "filing-much", Severity.CAUTION, tells=Step.PATTERN, brief="Metal is to be filed off the casting."
)
FILING = Rule("filing", Severity.NOTE, tells=Step.PATTERN, brief="Metal is to be filed off the casting.")
PIECE_HEAVY = Rule("piece-heavy", Severity.CAUTION)
CHARGE_FOUNDRY = Rule(
    "charge-foundry",
    Severity.HOLD,
    holds=(Step.MELT, Step.POUR),
    tells=Step.MELT,
    brief="The charge is a foundry's work: melt and pour are on hold.",
)
CHARGE_TAKES_TWO = Rule(
    "charge-for-two",
    Severity.CAUTION,
    tells=Step.MELT,
    brief="The charge takes two people and a pot that is tapped or tilted.",
)
CHARGE_TOO_HEAVY = Rule(
    "charge-not-carried",
    Severity.CAUTION,
    tells=Step.MELT,
    brief="The charge is too heavy to be carried by hand.",
)


def check_alloy(
    alloy: CastAlloy, *, contraction_given: bool, accepted: bool = False, shown: Shown
) -> tuple[Finding, ...]:
    """Findings on what the bulb is cast of.

    Args:
        alloy: The alloy.
        contraction_given: Whether the plan states its own contraction.
        accepted: Whether an unknown alloy has been accepted in words.
        shown: The builder's units.
    """
    findings = []
    if alloy.unknown:
        findings.append(
            (ALLOY_UNKNOWN_ACCEPTED if accepted else ALLOY_UNKNOWN)(
                where="alloy.grade",
                found=alloy.density_spread,
                limit=None,
                unit="kg/m3",
                message="The alloy is not known: "
                f"{give_or_take(shown.density(alloy.density), shown.density(alloy.density_spread))}, is assumed, and "
                + (
                    "it has been accepted with that spread: the bulb may hang "
                    f"{shown.percent(alloy.density_spread / alloy.density)} off, one time in three more."
                    if accepted
                    else "the pour is on hold."
                ),
                remedy="Weigh 1 kg or more of it in air and hung in water and give [alloy] weighed = "
                "{in_air = ..., in_water = ...}.",
            )
        )
    if alloy.interpolated and not alloy.unknown and not contraction_given:
        findings.append(
            CONTRACTION_INTERPOLATED(
                where="pattern.contraction",
                found=alloy.contraction,
                message=f"The alloy has no grade: its contraction of {shown.percent(alloy.contraction)} and liquidus of "
                f"{shown.temperature(alloy.liquidus)} are read off between the grades by its density.",
                remedy="Cast a test bar of it and give [pattern] contraction, or name the grade.",
            )
        )
    if not LIGHTEST_LEAD_ALLOY <= alloy.density <= PURE_LEAD * 1.001:
        heavy = alloy.density > PURE_LEAD
        findings.append(
            DENSITY_UNUSUAL(
                where="alloy",
                found=alloy.density,
                limit=PURE_LEAD if heavy else LIGHTEST_LEAD_ALLOY,
                unit="kg/m3",
                message=f"A density of {shown.density(alloy.density)} is "
                + ("above that of pure lead." if heavy else "low for a lead alloy that is cast for ballast."),
                remedy="Weigh the sample again, clean and free of air bubbles; iron, zinc or much tin in it "
                "is no ballast.",
            )
        )
    return tuple(findings)


def check_tail(
    *, tail_thickness: float, tail_diameter: float, typed: float | None, shown: Shown
) -> tuple[Finding, ...]:
    """Whether the tail is thick enough to fill and to hold, and as thin as typed.

    Args:
        tail_thickness: Smaller of width and height of the tail face. [m]
        tail_diameter: Of the circle with its area. [m]
        typed: The tail diameter that the plan gives; None where it gives none. [m]
        shown: The builder's units.
    """
    if typed is not None and tail_diameter > typed * (1.0 + 1e-6):
        open_tail = (
            f"The profile ends {shown.length(tail_diameter)} across and never falls to the tail diameter of "
        )
        return (
            TAIL_LEFT_OPEN(
                where="bulb.tail_diameter",
                found=tail_diameter,
                limit=typed,
                unit="m",
                message=f"{open_tail}{shown.length(typed)} that is typed: the tail is as wide as the profile leaves it.",
                remedy=f'Set tail_diameter = "{length_up(tail_diameter, shown)}", or take a profile that closes, such as '
                "spheroid or sears-haack.",
            ),
            *check_tail(
                tail_thickness=tail_thickness, tail_diameter=tail_diameter, typed=tail_diameter, shown=shown
            ),
        )
    if tail_thickness >= SMALLEST_TAIL * (1.0 - 1e-9):
        return ()
    wanted = tail_diameter * SMALLEST_TAIL / tail_thickness if tail_thickness > 0.0 else SMALLEST_TAIL
    return (
        TAIL_THIN(
            where="bulb.tail_diameter",
            found=tail_thickness,
            limit=SMALLEST_TAIL,
            unit="m",
            message=f"The tail is {shown.length(tail_thickness)} thick where it is cut; below "
            f"{shown.length(SMALLEST_TAIL)} it freezes before it fills, or breaks off.",
            remedy=f'Set tail_diameter = "{length_up(wanted, shown)}" or more'
            + (", or build the tip up in filler." if typed is not None else ", or a smaller fineness."),
        ),
    )


def check_coat(*, inwards: float, tail_half: float, coat: float, shown: Shown) -> tuple[Finding, ...]:
    """Whether a coat thicker than the finish still leaves a pattern at the tail.

    Args:
        inwards: How far inside the finished bulb the pattern's surface lies; negative outside. [m]
        tail_half: Half the smaller of width and height of the tail face. [m]
        coat: As planned. [m]
        shown: The builder's units.
    """
    # A tail closed to a point has no thickness to go by; the check of the tail tells of it.
    if tail_half <= 0.0 or inwards <= tail_half:
        return ()
    return (
        COAT_TOO_THICK(
            where="pattern.coat",
            found=inwards,
            limit=tail_half,
            unit="m",
            message=f"The coat of {shown.length(coat)} takes the pattern {shown.length(inwards)} inside the finished bulb, "
            f"deeper than the tail's half thickness of {shown.length(tail_half)}: no tail is left of it.",
            remedy="Take a thinner coat, a larger finish, or a larger tail_diameter.",
        ),
    )


def check_casting(
    cast: CastBody, *, bulb_mass: float, nose_to_lift: str, shown: Shown
) -> tuple[Finding, ...]:
    """Findings on filing and lifting.

    Args:
        cast: The cast body.
        bulb_mass: Hung mass. [kg]
        nose_to_lift: Where the lifting point lies, in words.
        shown: The builder's units.
    """
    findings = []
    if cast.finish_mass > FILING_SHARE * bulb_mass:
        findings.append(
            FILING_MUCH(
                where="pattern.finish",
                found=cast.finish_mass / bulb_mass,
                limit=FILING_SHARE,
                message=f"{shown.mass(cast.finish_mass)} are to be filed off, "
                f"{shown.percent(cast.finish_mass / bulb_mass)} of the bulb; weigh until it is gone.",
                remedy="Take a smaller finish and a better pattern: every gram filed is lead dust or chips.",
            )
        )
    elif cast.finish_mass > 0.0:
        findings.append(
            FILING(
                where="pattern.finish",
                found=cast.finish_mass / bulb_mass,
                limit=FILING_SHARE,
                message=f"{shown.mass(cast.finish_mass)} are to be filed off.",
                remedy="Weigh until it is gone; shavings, not dust.",
            )
        )
    if cast.mass > PIECE_TO_BE_HOISTED:
        findings.append(
            PIECE_HEAVY(
                where="pattern",
                found=cast.mass,
                limit=PIECE_TO_BE_HOISTED,
                unit="kg",
                message=f"The casting weighs {shown.mass(cast.mass)}. Above {round_mass(PIECE_TO_BE_HOISTED, shown)}, the "
                "British HSE's guideline for a man who holds it close at the waist, it is lifted with a hoist or by "
                f"several people, {nose_to_lift}.",
                remedy="Cast in a lifting eye or plan a sling at that point, and check what it hangs from.",
            )
        )
    elif cast.mass > LIFTED_ALONE:
        findings.append(
            PIECE_NOT_ALONE(
                where="pattern",
                found=cast.mass,
                limit=LIFTED_ALONE,
                unit="kg",
                message=f"The casting weighs {shown.mass(cast.mass)}. Above {round_mass(LIFTED_ALONE, shown)} a person "
                "alone does not lift a smooth piece off the floor, by the lifting equation of the American NIOSH.",
                remedy="Lift it with a second person, or slide it on a board at the height of the bench.",
            )
        )
    return tuple(findings)


def check_charge(melt: Melt, *, pours: int = 1, shown: Shown) -> tuple[Finding, ...]:
    """Findings on the mass of hot metal.

    Args:
        melt: The melt, of all pours together.
        pours: Into which it is divided: what is hot at one time is what counts.
        shown: The builder's units.
    """
    charge = melt.charge / pours
    each = "" if pours == 1 else " for each pour"
    if charge > CHARGE_FOR_A_FOUNDRY:
        return (
            _charge_finding(
                CHARGE_FOUNDRY,
                charge,
                CHARGE_FOR_A_FOUNDRY,
                f"The charge is {shown.mass(charge)}{each}: this is a foundry's work, and melt and pour are on hold.",
                "Take the pattern to a foundry, or cast the bulb in pieces.",
            ),
        )
    if charge > CHARGE_FOR_TWO:
        return (
            _charge_finding(
                CHARGE_TAKES_TWO,
                charge,
                CHARGE_FOR_TWO,
                f"The charge is {shown.mass(charge)}{each}: two people, and a pot that is tapped or tilted, never lifted.",
                "Plan the tap or the tilting frame and the way of the metal before the fire is lit.",
            ),
        )
    if charge > CHARGE_NOT_CARRIED:
        return (
            _charge_finding(
                CHARGE_TOO_HEAVY,
                charge,
                CHARGE_NOT_CARRIED,
                f"The charge is {shown.mass(charge)}{each}: a pot so full is not lifted by hand.",
                "Ladle, tap or tilt; keep the mould next to the pot.",
            ),
        )
    return ()


def _charge_finding(rule: Rule, charge: float, limit: float, message: str, remedy: str) -> Finding:
    return rule(where="melt", found=charge, limit=limit, unit="kg", message=message, remedy=remedy)
