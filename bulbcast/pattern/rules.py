"""Findings on the pattern: a contraction that differs from the metal's, or a finished pattern that misses the target."""

from __future__ import annotations

from bulbcast.findings import Finding, Rule, Severity, Step, typed
from bulbcast.materials.alloys import CastAlloy
from bulbcast.materials.shop_rules import mass_change, shop_rules
from bulbcast.pattern.cast_body import CastBody
from bulbcast.pattern.made import MadePattern
from bulbcast.pattern.results import PatternResults
from bulbcast.plan.sections import Plan
from bulbcast.quantities import Shown
from bulbcast.quantities.typed import mass_up

CONTRACTION_NOT_OWN = Rule(
    "contraction-not-own",
    Severity.CAUTION,
    why=(
        "A contraction that differs from the metal's makes every dimension of the casting too large or too small, with "
        "three times the effect on its mass."
    ),
)
PATTERN_MADE_OFF = Rule(
    "pattern-made-off",
    Severity.CAUTION,
    tells=Step.PATTERN,
    brief="The finished pattern does not meet the target.",
    why="The size of an existing pattern is fixed, so its casting may not have the mass that the boat needs.",
)

# A layer added or removed by hand cannot be more even than this. Judgement. [m]
_LEAST_LAYER = 1e-4
# Beyond these, a unit is wrong or the pattern belongs to another bulb. Judgement.
_SMALLEST_SHARE, _LARGEST_SHARE = 0.6, 1.7
_OTHER_SIZE = 5.0
"""If the casting is this many times heavier or lighter than planned, a figure must be wrong or the pattern belongs to
another plan."""


def pattern_findings(job: PatternResults) -> tuple[Finding, ...]:
    """Return the findings on the contraction and a finished pattern.

    Args:
        job: Results with the plan, alloy, casting and any finished pattern.
    """
    found = check_contraction(job.plan, job.alloy, job.cast, job.shown)
    return found if job.made is None else (*found, *check_made(job.plan, job.alloy, job.made, job.shown))


def check_contraction(plan: Plan, alloy: CastAlloy, cast: CastBody, shown: Shown) -> tuple[Finding, ...]:
    """Compare a typed contraction with that of the alloy; a difference above one standard deviation is reported.

    Args:
        plan: The plan.
        alloy: The alloy.
        cast: The casting that results from the typed contraction.
        shown: The builder's units.
    """
    given = plan.pattern.contraction
    if given is None or abs(given - alloy.contraction) <= alloy.contraction_spread * (1.0 + 1e-9):
        return ()
    rule = next((one.name for one in shop_rules() if abs(one.contraction - given) < 5e-5), "")
    share = mass_change(given, alloy.contraction)
    words = f"A contraction of {shown.percent(given)}" + (f", the shop rule of {rule}," if rule else "")
    more = "heavy" if share > 0.0 else "light"
    return (
        CONTRACTION_NOT_OWN(
            "pattern.contraction",
            f"{words} makes the casting {shown.percent(abs(share))}, or {shown.mass(abs(share) * cast.mass)}, too {more} "
            f"if this metal, {alloy.name}, contracts by {shown.percent(alloy.contraction)} as expected.",
            f"Write {typed('pattern.contraction', f'{100.0 * alloy.contraction:.2f} %')}, or keep your value if it comes "
            "from a test bar of this metal in this kind of mould. Shop rules include part of the shrinkage on "
            "freezing, for which the feeder compensates.",
            found=given,
            limit=alloy.contraction,
        ),
    )


def check_made(plan: Plan, alloy: CastAlloy, made: MadePattern, shown: Shown) -> tuple[Finding, ...]:
    """Compare a finished pattern with the target; a difference larger than the effect of the contraction's spread is
    reported.

    Args:
        plan: The plan.
        alloy: The alloy.
        made: Results for the finished pattern.
        shown: The builder's units.
    """
    over, target = made.over, made.target
    if abs(over) <= 3.0 * alloy.contraction_spread * target:
        return ()
    side = "heavy" if over > 0.0 else "light"
    message = (
        f"Cast in {alloy.name} from the finished pattern, the hung bulb will weigh {shown.mass(made.hung_mass)}, "
        f"which is {shown.mass(abs(over))} or {shown.percent(abs(over) / target)} too {side}."
    )
    share = made.volume / made.planned_volume
    if not _SMALLEST_SHARE < share < _LARGEST_SHARE:
        message += f" Its volume is {share:.2g} times that of the planned pattern. Check the unit."
    return (
        PATTERN_MADE_OFF(
            "pattern.made",
            message,
            "Check the unit, and that the pattern belongs to this plan."
            if not 1.0 / _OTHER_SIZE <= made.hung_mass / target <= _OTHER_SIZE
            else " ".join((_resized(made, shown), *_blended(made, shown), _accepted(plan, made, shown))),
            found=made.hung_mass,
            limit=target,
            unit="kg",
        ),
    )


def _resized(made: MadePattern, shown: Shown) -> str:
    if made.layer is None:
        return "Make a new pattern: that much cannot be added or removed all over."
    thick = shown.length(abs(made.layer))
    if abs(made.layer) < _LEAST_LAYER:
        size = "small" if made.layer > 0.0 else "large"
        return (
            f"The pattern is {thick} too {size} all over, which is less than can be added or removed evenly. Leave it "
            "as it is."
        )
    what = f"Build the pattern up by {thick}" if made.layer > 0.0 else f"Remove {thick} from the pattern"
    return f"{what} all over and measure it again."


def _blended(made: MadePattern, shown: Shown) -> tuple[str, ...]:
    if made.over > 0.0:
        return ()
    if made.pure_lead is None:
        return (
            f"Even pure lead is not dense enough: the hung bulb would weigh {shown.mass(made.pure_hung_mass)}.",
        )
    rest = 1.0 - made.pure_lead
    return (
        f"Or blend this metal with pure lead: {shown.percent(made.pure_lead)} pure lead and {shown.percent(rest)} of "
        "this metal, by mass.",
    )


def _accepted(plan: Plan, made: MadePattern, shown: Shown) -> str:
    off = shown.mass(abs(made.over))
    how = (
        f"drill or plane {off} off the casting"
        if made.over > 0.0
        else f"carry {off} of lead elsewhere in the boat"
    )
    # With a fixed length or diameter, the planned bulb changes shape with its mass, so the pattern's length is not useful.
    alike = plan.bulb.fineness is not None or made.given != "length"
    if plan.bulb.target_mass is None or not alike:
        return f"Or accept the pattern and {how}."
    accepted = typed("bulb.target_mass", mass_up(made.hung_mass, shown))
    return f"Or accept the pattern: {how}, or change the target to match: {accepted}."
