"""Calculation of the melt and the pour for a plan: gating, scrap, charge, pot, burner and temperature, in that order."""

from __future__ import annotations

from bulbcast.bulb.hung.solve import NoSolutionError, size_and_place
from bulbcast.foundry.cooling.radial import Freezing, running_times
from bulbcast.foundry.gating.design import Poured, gating_of
from bulbcast.foundry.gating.formulas import alloy_liquid_density
from bulbcast.foundry.gating.parts import Gating
from bulbcast.foundry.gating.work import mould_temperature
from bulbcast.foundry.melt.charge import Melt, planned_melt
from bulbcast.foundry.melt.heat import (
    FUELS,
    HIGHEST_EFFICIENCY,
    LOWEST_EFFICIENCY,
    POT_HEAT,
    Firing,
    MeltingHeat,
    firing,
    melting_heat,
)
from bulbcast.foundry.melt.pot import (
    FILL,
    NOMINAL_FILL,
    OtherPot,
    Pot,
    PotPlan,
    WaysOut,
    pot_plan,
    usual_pot_mass,
)
from bulbcast.foundry.melt.stock import Lot, Stock, stock_of
from bulbcast.foundry.mould.design import MouldDesign
from bulbcast.foundry.pour.temperature import pour_temperature
from bulbcast.foundry.results import FoundryResults
from bulbcast.materials.alloys import alloy_of_weighed_sample, density_of_composition, rule_spread
from bulbcast.materials.heat import metal_heat
from bulbcast.materials.lead import MELTING_POINT
from bulbcast.materials.scrap import ScrapKind, scrap_kind
from bulbcast.materials.water import fresh_water_density
from bulbcast.pattern.results import PatternResults
from bulbcast.plan.filling import made_from
from bulbcast.plan.melt_sections import ScrapSection
from bulbcast.plan.pot_sections import LiftingSection, OtherPotSection, PotSection
from bulbcast.plan.sections import DefaultTaken, Plan
from bulbcast.quantities.frozen import frozen, replace

GROSS_SPREAD = 0.02
TYPED_DENSITY_SPREAD = 0.005
LADLE = 2.0
LADLED_HEEL = 0.05
REFUSED = ("battery",)
"""Kinds of scrap that do not count as metal on hand."""
PRACTICE = "common practice, no source"
POT_MASS = "judgement: iron 8 mm thick throughout, heavier than most pots"
USUAL = "for a closed mould of baked plaster, assumed until [mould] is given"


@frozen
class Purchase:
    """A purchase that makes up a shortage by itself.

    Attributes:
        kind: Kind of scrap.
        gross: Gross mass to buy. [kg]
    """

    kind: ScrapKind
    gross: float


@frozen
class BlendEffect:
    """Effect of the blend on the bulb, compared with the plan's alloy.

    Attributes:
        hung_change: Change of the hung mass if the bulb is cast in the blend in the planned mould. [kg]
        length: Length of a bulb cast in the blend to the target mass; None if none can be sized. [m]
        diameter: Diameter of that bulb. [m]
    """

    hung_change: float
    length: float | None = None
    diameter: float | None = None


@frozen
class FiringPlan:
    """Heat, time and fuel for the heaviest filling.

    Attributes:
        heat: Heat into the metal and the pots for one filling. [J]
        likely: Result at the plan's efficiency.
        worst: Result at the lowest efficiency seen, or at the plan's if lower.
        best: Result at the highest efficiency seen, or at the plan's if higher.
        fuel: Fuel for all fillings, with its margin; None for an electric burner. [kg]
        fuel_poor: Fuel for all fillings with a poor set-up, at the worst efficiency; None for an electric burner. [kg]
    """

    heat: MeltingHeat
    likely: Firing
    worst: Firing
    best: Firing
    fuel: float | None
    fuel_poor: float | None


@frozen
class Enough:
    """Remedies if the planned pot, scrap or fuel is insufficient.

    Attributes:
        ways: Larger or extra pots for a piece that does not fit; None if it fits.
        halves: Entry under [mould] for pouring halves that fit; None if they would not fit.
        completed: The scrap plus the first purchase suggested; unchanged if nothing is short, None without scrap.
        fuel: Fuel needed for the charge that would then be melted; None for an electric burner. [kg]
        reserve: Smaller reserve with which a piece fits the present pot; None if it would be too small. [-]
    """

    ways: WaysOut | None = None
    reserve: float | None = None
    halves: str | None = None
    completed: Stock | None = None
    fuel: float | None = None


@frozen
class MeltJob:
    """All results for the melt and the pour.

    Attributes:
        temperature: Temperature of the metal at the pour. [degC]
        mould_temperature: Temperature of the mould at the pour; None without a mould. [degC]
        gating: The gating; None without a mould.
        melt: The charge.
        stock: The scrap; None without scrap.
        effect: Effect of the blend; None without scrap.
        purchases: Purchases, each of which alone makes up the shortage; empty if nothing is short.
        pot: The pot as planned; None if the plan has none.
        pots: Charge in the pot; None without a pot.
        firing: Heat, time and fuel; None without a burner.
        enough: Amounts needed where the planned pot, scrap or fuel is not enough; all None if they were not calculated.
    """

    temperature: float
    mould_temperature: float | None
    gating: Gating | None
    melt: Melt
    stock: Stock | None
    effect: BlendEffect | None
    purchases: tuple[Purchase, ...]
    pot: Pot | None
    pots: PotPlan | None
    firing: FiringPlan | None
    enough: Enough = Enough()


def melt_job(
    job: PatternResults,
    mould: MouldDesign | None,
    poured: Poured,
    *,
    resize: bool = True,
    running: Freezing | None = None,
) -> MeltJob:
    """Calculate all results for the melt and the pour.

    Args:
        job: Bulb and pattern.
        mould: The mould; None if the plan has none.
        poured: Metal poured into it, or into the default mould.
        resize: Whether to size the bulb again for the blend; a study skips this.
        running: Running times of the metal, if a study already knows them; None means that they are calculated here.

    Returns:
        All results. Figures given in the plan are kept; missing ones follow from the gating and the scrap.
    """
    plan, alloy = job.plan, job.alloy
    temperature = pour_temperature(plan.pour, alloy.liquidus)
    gating = gating_of(poured, running or (running_times if mould is None else None))
    feeder = feeder_of(gating, mould)
    pot, heel = None, 0.0
    if plan.pot is not None:
        pot = pot_of(plan.pot, temperature, alloy.density, plan.other_pots, plan.lifting)
        heel = heel_of(plan.pot, pot)

    def melted(dross: float) -> Melt:
        return planned_melt(plan.melt, job.cast.mass, dross=dross, heel=heel, gating=feeder)

    melt, stock = melted(alloy.dross), None
    lots = [lot_of(section, number) for number, section in enumerate(plan.scrap, start=1) if counts(section)]
    if lots:
        stock = stock_of(lots, melt.clean)
        melt = melted(stock.dross)
    pots = None
    if pot is not None:
        pieces = 1 if mould is None else mould.pours
        pots = pot_plan(pot, pieces=pieces, charge=melt.charge, pour=melt.poured)
    return MeltJob(
        temperature=temperature,
        mould_temperature=None if mould is None else mould_temperature(plan.pour, mould)[0],
        gating=None if mould is None else gating,
        melt=melt,
        stock=stock,
        effect=None if stock is None else _effect(job, stock, resize),
        purchases=() if stock is None else purchases_of(plan, stock),
        pot=pot,
        pots=pots,
        firing=_firing(job, melt, pot, pots, temperature),
    )


def feeder_of(gating: Gating, mould: MouldDesign | None) -> tuple[float, str]:
    """Metal poured in excess of the casting's mass, and the source of that figure.

    Args:
        gating: Gating of the mould, or of the default mould.
        mould: The plan's mould; None if it has none.
    """
    if gating.mark is not None:
        return gating.feeder_mass, "from the level mark"
    return gating.feeder_mass, "from the gating" if mould is not None else USUAL


def counts(section: ScrapSection) -> bool:
    """Whether a lot counts as metal on hand; lots of a refused kind or of closed pieces do not.

    Args:
        section: The lot.
    """
    return section.kind not in REFUSED and section.condition != "closed"


def lot_of(section: ScrapSection, number: int) -> Lot:
    """Return a lot, using the figures for its kind if the plan gives none.

    Args:
        section: A [[scrap]] entry.
        number: Number of the lot, from 1.

    Returns:
        The lot.
    """
    kind = scrap_kind(section.kind)
    density, spread, known = kind.density, kind.density_spread, True
    if section.density is not None:
        density = section.density
        spread = TYPED_DENSITY_SPREAD * density if section.density_spread is None else section.density_spread
    elif section.composition is not None:
        density = density_of_composition(section.composition)
        spread = rule_spread(section.composition) * density
    elif section.weighed is not None:
        water = fresh_water_density(section.weighed.water_temperature)
        alloy = made_from(alloy_of_weighed_sample, section.weighed, water_density=water)
        density, spread = alloy.density, alloy.density_spread
    else:
        known = section.kind != "unknown"
    share, share_spread = section.yield_, section.yield_spread
    if share_spread is None:
        share_spread = kind.yield_spread if share is None else min(kind.yield_spread, 0.02)
    if share is None:
        share = kind.yield_
    return Lot(
        name=f"lot {number} ({section.kind})" if section.name is None else section.name,
        gross=section.gross,
        gross_spread=GROSS_SPREAD * section.gross if section.gross_spread is None else section.gross_spread,
        yield_=share,
        yield_spread=share_spread,
        # A yield higher than the kind's dross allows means that this lot is cleaner.
        dross=min(kind.dross, 1.0 - share),
        density=density,
        density_spread=spread,
        known=known,
    )


def purchases_of(plan: Plan, stock: Stock, *, more: float = 0.0) -> tuple[Purchase, ...]:
    """Purchases that would make up a shortage: pig lead, or more of each kind on hand.

    Args:
        plan: The plan.
        stock: The lots compared with the metal required.
        more: Extra clean metal required for the heel of a bigger pot. [kg]

    Returns:
        Purchases, each calculated with its yield; none if there is no shortage.
    """
    # A hundredth is added, because a bulb that is sized again needs slightly more or less.
    short = stock.wanted + more - stock.available
    if short <= 1e-9 * stock.wanted:
        return ()
    here = dict.fromkeys(one.kind for one in plan.scrap if counts(one) and one.kind != "unknown")
    kinds = (scrap_kind(name) for name in dict.fromkeys(("ingot", *here)))
    return tuple(Purchase(kind=kind, gross=1.01 * short / kind.yield_) for kind in kinds)


def pot_of(
    section: PotSection,
    temperature: float,
    density: float,
    others: tuple[OtherPotSection, ...] = (),
    lifting: LiftingSection | None = None,
) -> Pot:
    """Convert the plan's pots to masses of liquid metal.

    Args:
        section: [pot].
        temperature: Temperature of the metal. [degC]
        density: Density of the sound metal at 20 degC. [kg/m3]
        others: [[other_pots]].
        lifting: [lifting]; None means one person and no hoist.

    Returns:
        The pot, including the other pots.
    """

    def takes(one: PotSection | OtherPotSection) -> tuple[float, float]:
        if one.volume is None:
            capacity = 0.0 if one.nominal is None else one.nominal
        else:
            capacity = one.volume * alloy_liquid_density(max(temperature, MELTING_POINT), density)
        return capacity, usual_fill(one) if one.fill is None else one.fill

    def weighs(one: PotSection | OtherPotSection) -> float:
        if one.mass is not None:
            return one.mass
        volume = takes(one)[0] / alloy_liquid_density(max(temperature, MELTING_POINT), density)
        return usual_pot_mass(volume if one.volume is None else one.volume)

    capacity, fill = takes(section)
    return made_from(
        Pot,
        section,
        capacity=capacity,
        fill=fill,
        mass=weighs(section),
        ladle=LADLE if section.way == "ladle" and section.ladle is None else section.ladle,
        others=tuple(
            OtherPot(capacity=most, fill=full, mass=weighs(one))
            for one, (most, full) in ((one, takes(one)) for one in others)
        ),
        people=1 if lifting is None else lifting.people,
        hoist=None if lifting is None else lifting.hoist,
    )


def usual_fill(section: PotSection | OtherPotSection) -> float:
    """Usable fraction of the brim-full volume, or of the maker's stated mass of lead. [-]"""
    return NOMINAL_FILL if section.volume is None else FILL


def heel_of(section: PotSection, pot: Pot) -> float:
    """Metal that stays in the pots: as given, or a fraction of their contents if they are ladled. [kg]

    Args:
        section: The plan's [pot].
        pot: The same pot, with its capacity as a mass of metal.
    """
    if section.heel is not None:
        return section.heel
    return LADLED_HEEL * pot.brim if section.way == "ladle" else 0.0


def melt_defaults(job: FoundryResults, melting: MeltJob) -> tuple[DefaultTaken, ...]:
    """Return the defaults of [pour] and [pot] that depend on other figures, each with its source.

    Args:
        job: Results that include the mould.
        melting: Melt of the job.
    """
    plan, shown, taken = job.plan, job.shown, []

    def take(key: str, value: str, source: str) -> None:
        taken.append(DefaultTaken(key=key, value=value, source=source))

    if plan.pour is not None and plan.pour.temperature is None:
        source = f"liquidus + 50 C, within the range 340 to 380 C; {PRACTICE}"
        take("pour.temperature", shown.temperature(melting.temperature), source)
    if job.mould is not None:
        warm, source = mould_temperature(plan.pour, job.mould)
        if source:
            take("pour.mould_temperature", shown.temperature(warm), source)
    section = plan.pot
    if section is not None:
        ladled = section.way == "ladle"
        if section.fill is None:
            source = f"75 % of the volume, or 85 % of the mass of lead stated by the maker; {PRACTICE}"
            take("pot.fill", shown.percent(usual_fill(section)), source)
        if melting.pot is not None:
            masses = {"pot": (section, melting.pot.mass)} | {
                f"other_pots[{number}]": (one, other.mass)
                for number, (one, other) in enumerate(
                    zip(plan.other_pots, melting.pot.others, strict=True), start=1
                )
            }
            for where, (one, mass) in masses.items():
                if one.mass is None:
                    take(
                        f"{where}.mass", shown.workshop.mass(mass), f"estimated from its capacity; {POT_MASS}"
                    )
        if ladled and section.ladle is None:
            take("pot.ladle", shown.mass(LADLE), f"a ladle that holds a fifth of a litre; {PRACTICE}")
        if section.heel is None:
            source = (
                "a ladle leaves 5 % of the metal behind; judgement"
                if ladled
                else "the pot is tipped or tapped empty; judgement"
            )
            take("pot.heel", shown.mass(melting.melt.heel), source)
    return tuple(taken)


def _effect(job: PatternResults, stock: Stock, resize: bool) -> BlendEffect:
    """Effect of the blend on the bulb."""
    change = (stock.density - job.alloy.density) * (1.0 - job.wish.porosity) * job.bulb.net_lead.volume
    if resize:
        try:
            body = size_and_place(replace(job.wish, lead_density=stock.density)).body
            return BlendEffect(hung_change=change, length=body.length, diameter=body.diameter)
        except NoSolutionError:
            pass
    return BlendEffect(hung_change=change)


def _firing(
    job: PatternResults, melt: Melt, pot: Pot | None, pots: PotPlan | None, temperature: float
) -> FiringPlan | None:
    """Results for the burner, if the plan has one."""
    burner = job.plan.burner
    if burner is None:
        return None
    charge, melts, own, heat_capacity = melt.charge, 1, 0.0, 0.0
    if job.plan.pot is not None and pot is not None and pots is not None:
        own = pot.mass * pot.count + sum(one.mass for one in pot.others)
        charge, melts = pots.charge, pots.melts
        heat_capacity = POT_HEAT.get(job.plan.pot.material, POT_HEAT["steel"])[0]
    heat = melting_heat(
        charge, metal_heat(job.alloy), temperature=temperature, pot_mass=own, pot_heat=heat_capacity
    )
    value = FUELS[burner.fuel][0] if burner.fuel in FUELS else None

    def at(efficiency: float) -> Firing:
        return firing(heat.total, power=burner.power, efficiency=efficiency, heat_value=value)

    likely, worst = at(burner.efficiency), at(min(LOWEST_EFFICIENCY, burner.efficiency))
    fuel = None
    if likely.fuel is not None and burner.fuel_margin is not None:
        fuel = likely.fuel * melts * (1.0 + burner.fuel_margin)
    return FiringPlan(
        heat=heat,
        likely=likely,
        worst=worst,
        best=at(max(HIGHEST_EFFICIENCY, burner.efficiency)),
        fuel=fuel,
        fuel_poor=None if worst.fuel is None else worst.fuel * melts,
    )
