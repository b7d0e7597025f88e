"""Findings on pot, burner and pouring temperature."""

from __future__ import annotations

from bulbcast.findings import Finding, Rule, Severity, Step
from bulbcast.foundry.melt.heat import HIGHEST_EFFICIENCY, LOWEST_EFFICIENCY, Firing
from bulbcast.foundry.melt.limits import LIFTED_FILL, LONGEST_MELT
from bulbcast.foundry.melt.pot import Pot, PotPlan, WaysOut
from bulbcast.foundry.pour.temperature import (
    ABOVE_LIQUIDUS,
    CAP,
    HOLD_FROM,
    LEAST_ABOVE_LIQUIDUS,
    STOP_FROM,
    pour_aim,
    vapour_bound,
)
from bulbcast.quantities import Shown, joined
from bulbcast.quantities.typed import mass_up, power_up, volume_up, whole_degrees

POT_ALUMINIUM = Rule("pot-aluminium", Severity.STOP)
POT_THIN_CAN = Rule("pot-thin-can", Severity.STOP)
POT_TOO_SMALL = Rule(
    "pot-too-small",
    Severity.HOLD,
    holds=(Step.POUR,),
    tells=Step.MELT,
    brief="One piece's charge does not fit the pot: the pour is on hold.",
)
POT_TOO_HEAVY = Rule(
    "pot-too-heavy",
    Severity.HOLD,
    holds=(Step.MELT, Step.POUR),
    tells=Step.MELT,
    brief="Pot and metal are too heavy to be carried: melt and pour are on hold.",
)
POT_FULL_TO_LIFT = Rule(
    "pot-full-to-lift",
    Severity.CAUTION,
    tells=Step.MELT,
    brief="The pot is too full to be lifted without slopping over.",
)
LADLES_SEVERAL = Rule(
    "ladles-several", Severity.CAUTION, tells=Step.MELT, brief="One piece takes several ladles."
)
MELTS_SEVERAL = Rule(
    "melts-several", Severity.NOTE, tells=Step.MELT, brief="The pot is filled more than once."
)
EFFICIENCY_UNUSUAL = Rule(
    "efficiency-unusual",
    Severity.CAUTION,
    tells=Step.MELT,
    brief="The burner's efficiency is outside what is met with.",
)
FUEL_SCANT = Rule(
    "fuel-scant",
    Severity.CAUTION,
    tells=Step.MELT,
    brief="The fuel at hand is only enough where the set-up is good.",
)
FUEL_SHORT = Rule(
    "fuel-short",
    Severity.HOLD,
    holds=(Step.MELT, Step.POUR),
    tells=Step.MELT,
    brief="The fuel at hand is short: melt and pour are on hold.",
)
MELT_SLOW = Rule("melt-slow", Severity.CAUTION, tells=Step.MELT, brief="The melt takes long.")
POUR_STOP = Rule(
    "pour-stop",
    Severity.STOP,
    tells=Step.MELT,
    brief="The pouring temperature is one at which nothing is poured.",
)
POUR_TOO_HOT = Rule(
    "pour-too-hot",
    Severity.HOLD,
    holds=(Step.MELT, Step.POUR),
    tells=Step.MELT,
    brief="The pouring temperature is too high: melt and pour are on hold.",
)
POUR_WARM = Rule(
    "pour-warm", Severity.CAUTION, tells=Step.MELT, brief="The pouring temperature is above the cap."
)
POUR_BELOW_LIQUIDUS = Rule(
    "pour-below-liquidus",
    Severity.HOLD,
    holds=(Step.MELT, Step.POUR),
    tells=Step.MELT,
    brief="The pouring temperature is too low: melt and pour are on hold.",
)
POUR_COLD = Rule("pour-cold", Severity.CAUTION, tells=Step.MELT, brief="The pouring temperature is low.")

MOST_POTS = 4
"""On the fire at once, which a person can still tend: judgement. [-]"""

_MATERIALS = {
    "aluminium": (
        POT_ALUMINIUM,
        "An aluminium pot goes soft when it is hot and gives way with the lead in it.",
    ),
    "thin-can": (
        POT_THIN_CAN,
        "A thin can goes soft, and its seam or solder opens, with the lead in it.",
    ),
}


def check_pot_material(material: str) -> tuple[Finding, ...]:
    """Whether the pot may hold molten lead at all.

    Args:
        material: Word of the plan.
    """
    if material not in _MATERIALS:
        return ()
    rule, message = _MATERIALS[material]
    return (
        rule(
            where="pot.material",
            message=message,
            remedy='Get a pot of heavy cast iron or welded steel with a wide base and write material = "cast-iron", say.',
        ),
    )


def check_pot(
    pot: Pot,
    plan: PotPlan,
    *,
    metal_density: float | None,
    ways: WaysOut | None,
    halves: str | None,
    shown: Shown,
) -> tuple[Finding, ...]:
    """Whether the charge fits the pot, and whether the pot can be carried.

    Args:
        pot: The pot.
        plan: The charge in it.
        metal_density: Of the liquid metal where the pot's capacity is a volume; None where it is a mass. [kg/m3]
        ways: What would take a piece that does not fit; None where it fits, or none was looked for.
        halves: What is typed under [mould] to pour two halves that would fit; None where they would not.
        shown: The builder's units.
    """
    findings = []
    if not plan.fits:
        outs = []
        if ways is not None and ways.capacity is not None:
            bigger = (
                mass_up(ways.capacity, shown)
                if metal_density is None
                else volume_up(ways.capacity / metal_density, shown)
            )
            outs.append(f'a bigger pot, [pot] capacity = "{bigger}"')
        if ways is not None and ways.count is not None and ways.count <= MOST_POTS:
            outs.append(f"{ways.count} pots like it on the fire at once, [pot] count = {ways.count}")
        if halves is not None:
            outs.append(f"two halves, each poured by itself, [mould] {halves}")
        if not outs:
            outs.append("a way that leaves no heel in the pot, or a smaller bulb")
        several = "" if pot.count == 1 else f" of {pot.count} pots together"
        findings.append(
            POT_TOO_SMALL(
                where="pot.capacity",
                found=plan.piece_charge,
                limit=pot.usable,
                unit="kg",
                message=f"One piece takes a charge of {shown.mass(plan.piece_charge)}, and {shown.percent(pot.fill)}"
                f"{several} is {shown.workshop.mass(pot.usable)}: it cannot be poured in one go, layers poured one after "
                "the other do not weld, and the pour is on hold.",
                remedy=f"Ways out: {joined(outs, 'or')}.",
            )
        )
    if pot.way == "lift" and not plan.can_lift:
        findings.append(
            POT_TOO_HEAVY(
                where="pot.way",
                found=plan.lifted,
                limit=pot.lift,
                unit="kg",
                message=f"Pot and metal weigh {shown.workshop.mass(plan.lifted)}, more than the "
                f"{shown.workshop.mass(pot.lift)} that one person carries: melt and pour are on hold.",
                remedy='Ladle it, way = "ladle", or tap or tilt it on its stand, way = "tap".',
            )
        )
    elif pot.way == "lift" and plan.fits and plan.fill > LIFTED_FILL:
        findings.append(
            POT_FULL_TO_LIFT(
                where="pot.way",
                found=plan.fill,
                limit=LIFTED_FILL,
                message=f"The pot is {shown.percent(plan.fill)} full when it is lifted; more than half slops over.",
                remedy='Ladle the metal, way = "ladle", or take a wider pot.',
            )
        )
    if plan.ladles > 1:
        findings.append(
            LADLES_SEVERAL(
                where="pot.ladle",
                found=float(plan.ladles),
                limit=1.0,
                message=f"One piece takes {plan.ladles} ladles of {shown.workshop.mass(plan.ladle or 0.0)}: each must "
                "follow while the stream before it still runs, or they do not weld.",
                remedy="Two people with two warm ladles, or a pot that is tapped or tilted"
                + (
                    f', or a bigger ladle, ladle = "{mass_up(plan.piece_pour, shown)}".'
                    if plan.piece_pour <= pot.lift
                    else "."
                ),
            )
        )
    if plan.melts > 1 and plan.fits:
        findings.append(
            MELTS_SEVERAL(
                where="pot",
                found=float(plan.melts),
                message=f"The pot is filled and fired {plan.melts} times, {plan.per_melt} of {plan.pieces} pieces "
                "each time.",
                remedy="Melt all scrap into ingots first and share them out evenly, so that the pieces weigh alike.",
            )
        )
    return tuple(findings)


def check_firing(
    likely: Firing,
    *,
    power: float,
    fuel: float | None,
    poor: float | None,
    to_have: float | None,
    on_hand: float | None,
    melts: int,
    shown: Shown,
) -> tuple[Finding, ...]:
    """Whether burner and bottle will do.

    Args:
        likely: One filling at the plan's efficiency.
        power: Of the burner. [W]
        fuel: For all fillings, with its margin; None for an electric one. [kg]
        poor: For all fillings in a poor set-up; None for an electric one. [kg]
        to_have: What does once pot and scrap are enough as well; None for an electric one. [kg]
        on_hand: In the bottle; None where it is not said. [kg]
        melts: Fillings. [-]
        shown: The builder's units.
    """
    findings = []
    if not LOWEST_EFFICIENCY <= likely.efficiency <= HIGHEST_EFFICIENCY and fuel is not None:
        low = likely.efficiency < LOWEST_EFFICIENCY
        findings.append(
            EFFICIENCY_UNUSUAL(
                where="burner.efficiency",
                found=likely.efficiency,
                limit=LOWEST_EFFICIENCY if low else HIGHEST_EFFICIENCY,
                message=f"An efficiency of {shown.percent(likely.efficiency)} lies outside the 5 to 40 % met with: "
                "time and fuel may come out far off.",
                remedy='Heat a weighed amount of water first and see, or write efficiency = "12 %".',
            )
        )
    if fuel is not None and on_hand is not None and on_hand < fuel:
        findings.append(
            FUEL_SHORT(
                where="burner.fuel_on_hand",
                found=on_hand,
                limit=fuel,
                unit="kg",
                message=f"The melt takes {shown.workshop.mass(fuel)} of fuel with its margin and {shown.mass(on_hand)} are "
                "at hand: a fire that goes out mid-melt spoils the pour, and it is on hold.",
                remedy=f'Have fuel_on_hand = "{mass_up(fuel if to_have is None else to_have, shown)}".',
            )
        )
    elif poor is not None and on_hand is not None and on_hand < poor:
        several = "" if melts == 1 else f" for {melts} fillings"
        findings.append(
            FUEL_SCANT(
                where="burner.fuel_on_hand",
                found=on_hand,
                limit=poor,
                unit="kg",
                message=f"{shown.mass(on_hand)} of fuel are at hand. In a poor set-up the melt takes "
                f"{shown.workshop.mass(poor)}{several}, and a fire that goes out mid-melt leaves a frozen heel.",
                remedy=f'Have fuel_on_hand = "{mass_up(poor, shown)}"; lag the pot, cover it, and keep the wind off.',
            )
        )
    if likely.time > LONGEST_MELT:
        wanted = power * likely.time / LONGEST_MELT
        findings.append(
            MELT_SLOW(
                where="burner.power",
                found=likely.time,
                limit=LONGEST_MELT,
                unit="s",
                message=f"One filling takes {likely.time / 3600.0:.1f} h to melt; bare pots of that kind have failed "
                "to melt at all.",
                remedy=f'Lag the pot and cover it, or take a burner of power = "{power_up(wanted, shown)}".',
            )
        )
    return tuple(findings)


def check_pour_temperature(
    temperature: float, *, liquidus: float, given: bool, shown: Shown
) -> tuple[Finding, ...]:
    """Whether the metal is poured at a heat that fills the mould and spares the lungs.

    Args:
        temperature: Of the metal. [degC]
        liquidus: Of the alloy. [degC]
        given: Whether the plan says it.
        shown: The builder's units.
    """
    aim = whole_degrees(pour_aim(liquidus), shown)
    said = shown.temperature(temperature)
    dust = (
        "the vapour figure is an upper bound, and the dust of dross and oxide is a hazard at any temperature"
    )
    if temperature >= STOP_FROM:
        return (
            _pour(
                POUR_STOP,
                temperature,
                STOP_FROM,
                f"Metal of {said} is at or above {shown.temperature(STOP_FROM)}: nothing is poured so hot "
                f"(up to {1e9 * vapour_bound(temperature):.3g} micrograms of vapour in a cubic metre; {dust}).",
                f'Write temperature = "{aim}".',
            ),
        )
    if temperature >= HOLD_FROM:
        return (
            _pour(
                POUR_TOO_HOT,
                temperature,
                HOLD_FROM,
                f"At {said} vapour alone passes 10 micrograms in a cubic metre and zinc has melted: melt and pour are "
                f"on hold ({dust}).",
                f'Write temperature = "{aim}".',
            ),
        )
    if temperature > CAP:
        return (
            _pour(
                POUR_WARM,
                temperature,
                CAP,
                f"{said} is above {shown.temperature(CAP)}: oxide forms faster, and zinc in the scrap is close to "
                f"melting ({dust}).",
                f'Write temperature = "{aim}".',
            ),
        )
    if temperature <= liquidus:
        return (
            _pour(
                POUR_BELOW_LIQUIDUS,
                temperature,
                liquidus,
                f"At {said} the alloy is not all liquid; it is from {shown.temperature(liquidus)}: melt and pour are "
                "on hold.",
                f'Write temperature = "{aim}".',
            ),
        )
    if temperature < liquidus + LEAST_ABOVE_LIQUIDUS:
        return (
            _pour(
                POUR_COLD,
                temperature,
                liquidus + LEAST_ABOVE_LIQUIDUS,
                f"{said} is less than {LEAST_ABOVE_LIQUIDUS:g} K above the liquidus of {shown.temperature(liquidus)}: "
                "it runs short and folds.",
                f'Write temperature = "{aim}", liquidus + {ABOVE_LIQUIDUS:g} K within the window.',
            ),
        )
    return ()


def _pour(rule: Rule, found: float, limit: float, message: str, remedy: str) -> Finding:
    return rule(
        where="pour.temperature", found=found, limit=limit, unit="degC", message=message, remedy=remedy
    )
