"""Findings on the pot and the burner.

There is a hold if the fuel on hand is less than the amount needed plus the margin, and a caution if a poor set-up would
burn more than is on hand. A poor set-up has an efficiency of 5 %, or the efficiency in the plan if that is lower.
"""

from __future__ import annotations

from functools import partial

from bulbcast.findings import Finding, Rule, Severity, Step, melt_rule, typed
from bulbcast.foundry.gating.formulas import alloy_liquid_density
from bulbcast.foundry.melt.heat import HIGHEST_EFFICIENCY, LOWEST_EFFICIENCY
from bulbcast.foundry.melt.pot import MOST_ROUND_A_POT, Pot, PotPlan, team_lifts
from bulbcast.foundry.melt.work import Enough, FiringPlan, MeltJob
from bulbcast.foundry.results import FoundryResults
from bulbcast.materials.lead import MELTING_POINT
from bulbcast.plan.pot_sections import BurnerSection
from bulbcast.quantities import Shown, joined
from bulbcast.quantities.typed import mass_up, power_up, volume_up

_outfit_rule = partial(melt_rule, subject="outfit")

POT_ALUMINIUM = Rule(
    "pot-aluminium",
    Severity.STOP,
    why="Aluminium weakens well below the temperature of the melt, and the bottom may fall out.",
)
POT_THIN_CAN = Rule(
    "pot-thin-can",
    Severity.STOP,
    why="Soldered and folded seams fail in the heat, and thin metal buckles when it is lifted.",
)
POT_TOO_SMALL = _outfit_rule(
    "pot-too-small",
    Severity.HOLD,
    holds=(Step.POUR,),
    brief="One piece's charge does not fit in the pot: the pour is on hold.",
    why="A bulb must be poured without a pause: metal poured onto metal that has skinned over does not fuse with it.",
)
POT_TOO_HEAVY = _outfit_rule(
    "pot-too-heavy",
    Severity.HOLD,
    holds=(Step.MELT, Step.POUR),
    brief="The pot and its metal are too heavy to carry: the melt and the pour are on hold.",
    why="If a heavy pot of molten lead slips or tips, it burns whoever carries it.",
)
POT_FULL_TO_LIFT = _outfit_rule(
    "pot-full-to-lift",
    Severity.CAUTION,
    brief="The pot is too full to lift without spilling.",
    why="Metal in a full pot spills when the pot is carried and tipped.",
)
LADLES_SEVERAL = _outfit_rule(
    "ladles-several",
    Severity.CAUTION,
    brief="One piece needs several ladlefuls.",
    why="Each ladleful must follow before the last one skins over, or the bulb forms in layers.",
)
MELTS_SEVERAL = _outfit_rule(
    "melts-several",
    Severity.NOTE,
    brief="The pot has to be filled more than once.",
    why="Metal from different melts differs, so pieces from one mould may not weigh the same.",
)
EFFICIENCY_UNUSUAL = _outfit_rule(
    "efficiency-unusual",
    Severity.CAUTION,
    brief="The burner's efficiency is outside the typical range.",
    why="Time and fuel depend on how much of the burner's heat gets into the metal.",
)
FUEL_SCANT = _outfit_rule(
    "fuel-scant",
    Severity.CAUTION,
    brief="The fuel on hand is enough only with a good set-up.",
    why="In wind or cold, much of the heat is lost and the fuel may not last.",
)
FUEL_SHORT = _outfit_rule(
    "fuel-short",
    Severity.HOLD,
    holds=(Step.MELT, Step.POUR),
    brief="There is not enough fuel on hand: the melt and the pour are on hold.",
    why="A fire that goes out leaves a pot of frozen lead or a half-filled mould.",
)
MELT_SLOW = _outfit_rule(
    "melt-slow",
    Severity.CAUTION,
    brief="The melt takes a long time.",
    why="If the losses become as large as the burner's power, the metal never melts.",
)

MOST_POTS = 4
"""Largest number of pots on the fire that one person can tend. Judgement. [-]"""
LIFTED_FILL = 0.5
"""Maximum fill of a pot that must be lifted: half full. Common practice, no source. [-]"""
LONGEST_MELT = 3.0 * 3600.0
"""Longest acceptable melt: a day's work should not end in the dark. Judgement. [s]"""


def pot_findings(job: FoundryResults, melting: MeltJob) -> tuple[Finding, ...]:
    """Return every finding on the pot and the burner.

    Args:
        job: Results that include the melt.
        melting: The melt.
    """
    plan, shown, pot, pots = job.plan, job.shown, melting.pot, melting.pots
    findings: list[Finding] = []
    if plan.pot is not None and pot is not None and pots is not None:
        findings += _material("pot", plan.pot.material)
        for number, other in enumerate(plan.other_pots, start=1):
            findings += _material(f"other_pots[{number}]", other.material)
        if not pots.fits:
            density = None
            if plan.pot.volume is not None:
                density = alloy_liquid_density(max(melting.temperature, MELTING_POINT), job.alloy.density)
            findings.append(_too_small(pot, pots, melting.enough, density, shown))
        if pot.way == "lift":
            assumed = plan.pot.mass is None or any(one.mass is None for one in plan.other_pots)
            findings += _lifted(pot, pots, shown, assumed=assumed)
        if pots.ladles > 1:
            bigger = ""
            if pots.piece_pour <= pot.lift:
                bigger = f", or a bigger ladle, {typed('pot.ladle', mass_up(pots.piece_pour, shown))}"
            findings.append(
                LADLES_SEVERAL(
                    "pot.ladle",
                    f"One piece needs {pots.ladles} ladlefuls of {shown.workshop.mass(pots.ladle or 0.0)}. Each must "
                    "follow while the stream from the last one is still running, or they will not fuse.",
                    f"Pour with two people and two warm ladles, or use a pot that is tapped or tilted{bigger}.",
                    found=float(pots.ladles),
                    limit=1.0,
                )
            )
        if pots.melts > 1 and pots.fits:
            findings.append(
                MELTS_SEVERAL(
                    "pot",
                    f"The pot is filled and fired {pots.melts} times, for {pots.per_melt} of {pots.pieces} pieces each "
                    "time.",
                    "First melt all the scrap into ingots and divide them evenly between the melts, so that the pieces "
                    "weigh the same.",
                    found=float(pots.melts),
                )
            )
    if plan.burner is not None and melting.firing is not None:
        melts = 1 if pots is None else pots.melts
        findings += _firing(plan.burner, melting.firing, melting.enough.fuel, melts, shown)
    return tuple(findings)


def _material(where: str, material: str) -> list[Finding]:
    """Check that the pot's material can hold molten lead."""
    sound = typed(f"{where}.material", "cast-iron")
    remedy = (
        f"Get a pot of heavy cast iron or welded steel with a wide base, and write, for example, {sound}."
    )
    if material == "aluminium":
        soft = "An aluminium pot softens when it is hot and fails with the lead in it."
        return [POT_ALUMINIUM(f"{where}.material", soft, remedy)]
    if material == "thin-can":
        soft = "A thin can softens, and its seam or solder gives way with the lead in it."
        return [POT_THIN_CAN(f"{where}.material", soft, remedy)]
    return []


def _too_small(pot: Pot, pots: PotPlan, enough: Enough, density: float | None, shown: Shown) -> Finding:
    """Finding that one piece's charge does not fit; `density` is that of the liquid metal, if the pot's volume is
    given. [kg/m3]"""
    outs, ways = [], enough.ways
    if ways is not None and ways.capacity is not None:
        capacity = (
            mass_up(ways.capacity, shown) if density is None else volume_up(ways.capacity / density, shown)
        )
        size = "a bigger pot" if pot.count == 1 else "bigger pots"
        outs.append(f"{size}, [pot] {typed('pot.capacity', capacity)}")
    if ways is not None and ways.count is not None and ways.count <= MOST_POTS:
        outs.append(
            f"{ways.count} pots like this one on the fire at once, [pot] {typed('pot.count', str(ways.count))}"
        )
    if enough.reserve is not None:
        outs.append(
            f"a smaller reserve, [melt] {typed('melt.reserve', f'{100.0 * enough.reserve:.0f} %')}, with warm ingots "
            "ready to add"
        )
    if enough.halves is not None:
        outs.append(f"two halves, poured separately, [mould] {enough.halves}")
    if not outs:
        outs.append("a pouring method that leaves no heel in the pot, or a smaller bulb")
    holds = "the pot holds" if pot.number == 1 else f"the {pot.number} pots hold"
    full = shown.percent(pot.usable / pot.brim)
    return POT_TOO_SMALL(
        "pot.capacity",
        f"One piece needs a charge of {shown.mass(pots.piece_charge)}, but at a fill of {full} {holds} only "
        f"{shown.workshop.mass(pot.usable)}. The piece cannot be poured without a pause, and layers poured one after "
        "another do not fuse: the pour is on hold.",
        f"Use {joined(outs, 'or')}." if len(outs) == 1 else f"Use one of these: {'; '.join(outs)}.",
        found=pots.piece_charge,
        limit=pot.usable,
        unit="kg",
    )


def _lifted(pot: Pot, pots: PotPlan, shown: Shown, *, assumed: bool) -> list[Finding]:
    """Check that the pot can be carried without spilling; `assumed` means that the mass of an empty pot is assumed."""
    if not pots.can_lift:
        two = min(pot.people, MOST_ROUND_A_POT) == MOST_ROUND_A_POT
        carry = "two people can carry on a bar" if two else "one person can carry"
        gear = (
            ""
            if pot.hoist is None
            else f", and more than the hoist's limit of {shown.workshop.mass(pot.hoist)}"
        )
        ways = [
            f"ladle the metal, {typed('pot.way', 'ladle')}",
            f"tap or tilt the pot on its stand, {typed('pot.way', 'tap')}",
        ]
        if not two and pots.lifted <= team_lifts(pot.lift, MOST_ROUND_A_POT):
            ways.append(
                f"carry the pot between two people on a bar, [lifting] {typed('lifting.people', str(MOST_ROUND_A_POT))}"
            )
        ways.append(
            "lift it with a hoist whose working load limit covers the pot and its metal, and give that limit as hoist "
            "under [lifting]"
        )
        remedy = f"{'; '.join(ways[:-1])}; or {ways[-1]}."
        if assumed:
            remedy += " The mass of the empty pot is assumed: weigh the pot empty and give the result as mass under "
            remedy += "[pot]."
        return [
            POT_TOO_HEAVY(
                "pot.way",
                f"The pot and its metal weigh {shown.workshop.mass(pots.lifted)}, more than the "
                f"{shown.workshop.mass(pot.by_hand)} that {carry}{gear}: the melt and the pour are on hold.",
                remedy[0].upper() + remedy[1:],
                found=pots.lifted,
                limit=max(pot.by_hand, pot.hoist or 0.0),
                unit="kg",
            )
        ]
    if pots.fits and pots.fill > LIFTED_FILL:
        return [
            POT_FULL_TO_LIFT(
                "pot.way",
                f"The pot is {shown.percent(pots.fill)} full when it is lifted; a pot more than half full spills.",
                f"Ladle the metal, {typed('pot.way', 'ladle')}, or use a wider pot.",
                found=pots.fill,
                limit=LIFTED_FILL,
            )
        ]
    return []


def _firing(
    burner: BurnerSection, firing: FiringPlan, to_have: float | None, melts: int, shown: Shown
) -> list[Finding]:
    """Check that the burner and the fuel are adequate; `to_have` is the fuel needed once the pot and scrap are adequate
    too. [kg]"""
    likely, fuel, poor, on_hand = firing.likely, firing.fuel, firing.fuel_poor, burner.fuel_on_hand
    findings = []
    if not LOWEST_EFFICIENCY <= likely.efficiency <= HIGHEST_EFFICIENCY and fuel is not None:
        low = likely.efficiency < LOWEST_EFFICIENCY
        findings.append(
            EFFICIENCY_UNUSUAL(
                "burner.efficiency",
                f"An efficiency of {shown.percent(likely.efficiency)} is outside the typical 5 to 40 %, so the time and "
                "fuel given may be far off.",
                "Measure the efficiency first by heating a weighed amount of water, or write "
                f"{typed('burner.efficiency', '12 %')}.",
                found=likely.efficiency,
                limit=LOWEST_EFFICIENCY if low else HIGHEST_EFFICIENCY,
            )
        )
    if fuel is not None and on_hand is not None and on_hand < fuel:
        findings.append(
            FUEL_SHORT(
                "burner.fuel_on_hand",
                f"With the margin, the melt needs {shown.workshop.mass(fuel)} of fuel, but only {shown.mass(on_hand)} is "
                "on hand. A fire that goes out in mid-melt spoils the pour: the melt and the pour are on hold.",
                "Have enough fuel ready, "
                f"{typed('burner.fuel_on_hand', mass_up(fuel if to_have is None else to_have, shown))}.",
                found=on_hand,
                limit=fuel,
                unit="kg",
            )
        )
    elif poor is not None and on_hand is not None and on_hand < poor:
        several = "" if melts == 1 else f" for {melts} fillings"
        findings.append(
            FUEL_SCANT(
                "burner.fuel_on_hand",
                f"{shown.mass(on_hand)} of fuel is on hand. With a poor set-up the melt uses "
                f"{shown.workshop.mass(poor)}{several}, and a fire that goes out in mid-melt leaves a frozen heel.",
                f"Have more fuel ready, {typed('burner.fuel_on_hand', mass_up(poor, shown))}. Insulate and "
                "cover the pot, and keep the wind off.",
                found=on_hand,
                limit=poor,
                unit="kg",
            )
        )
    if likely.time > LONGEST_MELT:
        wanted = burner.power * likely.time / LONGEST_MELT
        findings.append(
            MELT_SLOW(
                "burner.power",
                f"One filling takes {likely.time / 3600.0:.1f} h to melt. In bare pots heated that slowly, lead has "
                "been known not to melt at all.",
                "Insulate the pot and cover it, or use a more powerful burner, "
                f"{typed('burner.power', power_up(wanted, shown))}.",
                found=likely.time,
                limit=LONGEST_MELT,
                unit="s",
            )
        )
    return findings
