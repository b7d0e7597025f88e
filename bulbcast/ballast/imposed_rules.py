"""Findings on the effect of a bulb mass or position given in the plan."""

from __future__ import annotations

from bulbcast.ballast.overload import overload_of
from bulbcast.ballast.weigh_in import USUAL_LENGTH
from bulbcast.ballast.words import by_end, deeper, estimated, way
from bulbcast.ballast.work import BoatJob
from bulbcast.findings import Finding, Rule, Severity
from bulbcast.plan.sections import Plan
from bulbcast.quantities import Shown

MASS_IMPOSED = Rule(
    "mass-imposed",
    Severity.CAUTION,
    Severity.NOTE,
    subject="boat",
    why=(
        "The mass you give is kept even if the waterline needs a different one. The boat then floats deeper or higher "
        "than designed."
    ),
)
PLACE_IMPOSED = Rule(
    "place-imposed",
    Severity.CAUTION,
    Severity.NOTE,
    subject="boat",
    why=(
        "The position you give is kept even if level trim needs a different one. The boat then floats bow or stern down."
    ),
)

# Smallest trim or sinkage over the waterline length that a builder sees at the ends. Judgement.
VISIBLE_TRIM_IN_LENGTHS = 0.003


def check_imposed(plan: Plan, boat: BoatJob, shown: Shown) -> tuple[Finding, ...]:
    """Return findings on the effect of a given bulb mass or position.

    Args:
        plan: Plan with its boat.
        boat: Boat with her bulb.
        shown: The builder's units.
    """
    findings = []
    hung, lies, level = boat.hung, boat.lies, boat.level_sinkage
    length = boat.start.hull.line.length
    visible = VISIBLE_TRIM_IN_LENGTHS * (USUAL_LENGTH if length is None else length)
    # The overload finding says this in more detail.
    if boat.mass_imposed and overload_of(plan, boat) is None:
        mass, over = hung.bulb.mass, hung.bulb.mass - hung.wanted_mass
        change = (
            "the figures for the hull are not enough to show how far she sinks or rises"
            if level is None
            else f"she floats {shown.length(abs(level))} {deeper(level)}"
        )
        findings.append(
            MASS_IMPOSED(
                "bulb.target_mass",
                f"The mass given, {shown.mass(mass)}, is {shown.mass(abs(over))} "
                f"{'heavier' if over > 0.0 else 'lighter'} than her waterline requires for a bulb of this size: {change}.",
                "Remove target_mass to have the right mass calculated.",
                severity=Severity.CAUTION if level is None or abs(level) > visible else Severity.NOTE,
                found=mass,
                limit=hung.wanted_mass,
                unit="kg",
            )
        )
    if boat.place_imposed and hung.wanted_x is not None:
        x = hung.afloat.x
        trim = "the figures for the hull are not enough to show how far that trims the boat"
        if lies is not None:
            trim = f"she trims {by_end(lies.trim, shown)}{estimated(boat.flotation, shown)}"
            # Sinkage from the trim alone, since her ends differ, if it is large enough to see.
            settled = lies.sinkage - (level or 0.0)
            if abs(settled) > visible:
                trim += (
                    f", and floats {shown.length(abs(settled))} {deeper(settled)} at the centre of flotation"
                )
        findings.append(
            PLACE_IMPOSED(
                "fin.carry_at",
                f"The mass centre is set at x = {shown.length(x)}, which is {shown.length(abs(hung.short))} "
                f"{way(-hung.short)} of the position that levels her: {trim}.",
                "Remove carry_at or mass_centre_x to have the right position calculated, or move other weights.",
                severity=Severity.CAUTION if lies is None or abs(lies.trim) > visible else Severity.NOTE,
                found=x,
                limit=hung.wanted_x,
                unit="m",
            )
        )
    return tuple(findings)
