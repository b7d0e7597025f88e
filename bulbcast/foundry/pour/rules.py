"""Findings on the pour: whether there is a mould to pour into, and how hot the metal is."""

from __future__ import annotations

from bulbcast.findings import Finding, Rule, Severity, Step, melt_rule, typed
from bulbcast.foundry.pour.temperature import (
    ABOVE_LIQUIDUS,
    CAP,
    COOLEST_AIM,
    HOLD_FROM,
    HOTTEST_AIM,
    LEAST_ABOVE_LIQUIDUS,
    STOP_FROM,
    pour_aim,
    vapour_bound,
)
from bulbcast.foundry.results import FoundryResults
from bulbcast.quantities import Shown
from bulbcast.quantities.typed import whole_degrees

MOULD_NOT_PLANNED = Rule(
    "mould-not-planned",
    Severity.HOLD,
    holds=(Step.POUR,),
    why="A mould must be known to be dry before anyone pours lead into it.",
)
POUR_STOP = melt_rule(
    "pour-stop",
    Severity.STOP,
    brief="Do not pour at this temperature.",
    why=("At this temperature lead gives off too much vapour, or is far from being liquid."),
)
POUR_TOO_HOT = melt_rule(
    "pour-too-hot",
    Severity.HOLD,
    holds=(Step.MELT, Step.POUR),
    brief="The pouring temperature is too high: the melt and the pour are on hold.",
    why="Hotter lead gives off more poisonous vapour and shrinks more, with no gain.",
)
POUR_WARM = melt_rule(
    "pour-warm",
    Severity.CAUTION,
    brief="The pouring temperature is above the recommended maximum.",
    why="Above this temperature, dross and vapour increase quickly.",
)
POUR_BELOW_LIQUIDUS = melt_rule(
    "pour-below-liquidus",
    Severity.HOLD,
    holds=(Step.MELT, Step.POUR),
    brief="The pouring temperature is too low: the melt and the pour are on hold.",
    why="Below the liquidus, part of the metal is solid: it is mushy and does not fill the mould.",
)
POUR_COLD = melt_rule(
    "pour-cold",
    Severity.CAUTION,
    brief="The pouring temperature is low.",
    why="Just above the liquidus, the metal freezes before it has filled the thin ends.",
)


def pour_findings(job: FoundryResults) -> tuple[Finding, ...]:
    """Return every finding on the pour itself.

    Args:
        job: Results with or without a mould.
    """
    findings = () if job.mould is not None else (check_no_mould(),)
    if job.plan.pour is None or job.plan.pour.temperature is None:
        return findings
    return findings + _temperature(job.plan.pour.temperature, job.alloy.liquidus, job.shown)


def check_no_mould() -> Finding:
    """Put the pour on hold if no mould is planned, because nothing then shows that the mould used is dry."""
    return MOULD_NOT_PLANNED(
        "mould",
        "No mould is planned, so nothing shows that your mould is dry: the pour is on hold.",
        f"Add [mould], for example with {typed('mould.material', 'plaster')} and "
        f"{typed('mould.drying', 'baked', also=True)}, and keep its drying log.",
    )


def _temperature(temperature: float, liquidus: float, shown: Shown) -> tuple[Finding, ...]:
    """Check that the pouring temperature [degC] is high enough to fill the mould and low enough to limit the vapour."""
    said, melts = shown.temperature(temperature), shown.temperature(liquidus)
    remedy = f"Set {typed('pour.temperature', whole_degrees(pour_aim(liquidus), shown))}"
    dust = "the vapour figure is an upper bound, and dust from dross and oxide is a hazard at any temperature"
    if temperature >= STOP_FROM:
        rule, limit = POUR_STOP, STOP_FROM
        message = (
            f"{said} is at or above the limit of {shown.temperature(STOP_FROM)}: do not pour metal that hot (up to "
            f"{1e9 * vapour_bound(temperature):.3g} micrograms of vapour in a cubic metre; {dust})."
        )
    elif temperature >= HOLD_FROM:
        rule, limit = POUR_TOO_HOT, HOLD_FROM
        message = (
            f"At {said} the vapour alone exceeds 10 micrograms per cubic metre, and zinc has melted: the melt and the "
            f"pour are on hold ({dust})."
        )
    elif temperature > CAP:
        rule, limit = POUR_WARM, CAP
        message = (
            f"{said} is above {shown.temperature(CAP)}: oxide forms faster, and zinc in the scrap is close to melting "
            f"({dust})."
        )
    elif temperature <= liquidus:
        rule, limit = POUR_BELOW_LIQUIDUS, liquidus
        message = f"At {said} the alloy is not fully liquid; that takes at least {melts}. The melt and the pour are on hold."
    elif temperature < liquidus + LEAST_ABOVE_LIQUIDUS:
        rule, limit = POUR_COLD, liquidus + LEAST_ABOVE_LIQUIDUS
        message = (
            f"{said} is less than {LEAST_ABOVE_LIQUIDUS:g} K above the liquidus of {melts}: the metal may not fill the "
            "mould, or may form folds."
        )
        remedy += (
            f", which is the liquidus + {ABOVE_LIQUIDUS:g} K, kept between {shown.temperature(COOLEST_AIM)} and "
            f"{shown.temperature(HOTTEST_AIM)}"
        )
    else:
        return ()
    return (rule("pour.temperature", message, f"{remedy}.", found=temperature, limit=limit, unit="degC"),)
