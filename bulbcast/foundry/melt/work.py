"""Melt and pour out of a plan: the gating, the scrap, the charge, pot, burner and temperature, in that order."""

from __future__ import annotations

from dataclasses import dataclass, replace

from bulbcast.bulb.hung.ledger import HungBulb
from bulbcast.bulb.hung.solve import NoSolutionError, size_and_place
from bulbcast.bulb.hung.wish import BulbWish
from bulbcast.foundry.gating.design import Gating
from bulbcast.foundry.gating.formulas import alloy_liquid_density
from bulbcast.foundry.gating.work import gating_job, mould_temperature
from bulbcast.foundry.melt.charge import Melt, melt_of
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
from bulbcast.foundry.melt.pot import FILL, NOMINAL_FILL, Pot, PotPlan, WaysOut, pot_plan
from bulbcast.foundry.melt.scrap_rules import Purchase
from bulbcast.foundry.melt.stock import Lot, Stock, stock_of
from bulbcast.foundry.mould.design import MouldDesign
from bulbcast.foundry.pour.temperature import pour_aim
from bulbcast.materials.alloys import (
    CastAlloy,
    alloy_of_weighed_sample,
    density_of_composition,
    rule_spread,
)
from bulbcast.materials.heat import metal_heat
from bulbcast.materials.lead import MELTING_POINT
from bulbcast.materials.scrap import scrap_kind
from bulbcast.materials.water import fresh_water_density
from bulbcast.pattern.allowances import Pattern
from bulbcast.pattern.cast_body import CastBody
from bulbcast.plan.melt_sections import PotSection, ScrapSection
from bulbcast.plan.sections import DefaultTaken, Plan
from bulbcast.quantities import Shown

GROSS_SPREAD = 0.02
TYPED_DENSITY_SPREAD = 0.005
LADLE = 2.0
LADLED_HEEL = 0.05
REFUSED = ("battery",)
"""Kinds that count for nothing."""
PRACTICE = "common practice, no source"


@dataclass(frozen=True, slots=True, kw_only=True)
class BlendEffect:
    """What the blend does to the bulb, against the alloy that the plan says.

    Attributes:
        hung_change: In the hung mass, were it cast of the blend in the planned mould. [kg]
        length: Of a bulb of the blend with the target's mass; None where there is none. [m]
        diameter: Likewise. [m]
    """

    hung_change: float
    length: float | None
    diameter: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class FiringPlan:
    """The burner under the heaviest filling.

    Attributes:
        heat: Into metal and pots, one filling. [J]
        likely: At the plan's efficiency.
        worst: At the lowest met with, or the plan's own where that is lower.
        best: At the highest met with, or the plan's own where that is higher.
        fuel: Of all fillings, with its margin; None for an electric one. [kg]
        fuel_poor: Of all fillings in a poor set-up, at the worst efficiency; None likewise. [kg]
        on_hand: In the bottle; None where the plan does not say. [kg]
    """

    heat: MeltingHeat
    likely: Firing
    worst: Firing
    best: Firing
    fuel: float | None
    fuel_poor: float | None
    on_hand: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Enough:
    """What would do where pot, scrap or fuel fall short.

    Attributes:
        ways: For a piece that does not fit the pot; None where it fits.
        halves: What is typed under [mould] to pour halves that would fit; None where they would not.
        completed: The scrap with the first purchase; as it is where nothing is short, None without scrap.
        fuel: To have for the charge that then is melted; None for an electric burner. [kg]
    """

    ways: WaysOut | None
    halves: str | None
    completed: Stock | None
    fuel: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class MeltJob:
    """All of melt and pour that the plan tells.

    Attributes:
        temperature: Of the metal at the pour. [degC]
        temperature_given: Whether the plan says it.
        mould_temperature: At the pour; None without a mould. [degC]
        gating: None without a mould.
        melt: The charge.
        stock: None without scrap.
        effect: What the blend does; None without scrap.
        purchases: Each of them makes up what is short; none where nothing is.
        pot: As planned; None without one.
        pots: The charge in it; None without one.
        firing: None without a burner.
        defaults: Taken here, each with its source.
        enough: What would do where something falls short; None where it was not looked for.
    """

    temperature: float
    temperature_given: bool
    mould_temperature: float | None
    gating: Gating | None
    melt: Melt
    stock: Stock | None
    effect: BlendEffect | None
    purchases: tuple[Purchase, ...]
    pot: Pot | None
    pots: PotPlan | None
    firing: FiringPlan | None
    defaults: tuple[DefaultTaken, ...]
    enough: Enough | None = None


def melt_job(
    plan: Plan,
    *,
    alloy: CastAlloy,
    wish: BulbWish,
    bulb: HungBulb,
    cast: CastBody,
    pattern: Pattern,
    mould: MouldDesign | None,
    shown: Shown,
    resize: bool = True,
) -> MeltJob:
    """Melt and pour.

    Args:
        plan: The plan.
        alloy: What the bulb is cast of.
        wish: What its size and place depend on.
        bulb: The sized bulb.
        cast: The cast body.
        pattern: The pattern.
        mould: The mould, where the plan gives one.
        shown: The builder's units.
        resize: Whether to size the bulb again for the blend; a study does without.

    Returns:
        All of it. What the plan gives stands; what it leaves out follows from the gating and from the scrap.
    """
    taken: list[DefaultTaken] = []
    given = None if plan.pour is None else plan.pour.temperature
    temperature = pour_aim(alloy.liquidus) if given is None else given
    if plan.pour is not None and given is None:
        taken.append(
            DefaultTaken(
                key="pour.temperature",
                value=shown.temperature(temperature),
                source="liquidus + 50 C, within 340 to 380 C; common practice, no source",
            )
        )
    gating = None
    warm = None
    if mould is not None:
        warm, source = mould_temperature(plan.pour, mould)
        if source:
            taken.append(
                DefaultTaken(key="pour.mould_temperature", value=shown.temperature(warm), source=source)
            )
        gating = gating_job(
            plan.pour,
            alloy=alloy,
            bulb=bulb,
            cast=cast,
            pattern=pattern,
            mould=mould,
            temperature=temperature,
        )
    heel = _heel(plan.pot, temperature, alloy, taken, shown)
    by_gating = gating is not None and plan.melt.feeder_mass is None and plan.melt.feeder_fraction is None
    own = alloy.dross if plan.melt.dross is None else plan.melt.dross

    source = "from the level mark" if gating is not None and gating.mark is not None else "from the gating"

    def melted(dross: float) -> Melt:
        return melt_of(
            cast.mass,
            feeder_mass=gating.feeder if by_gating and gating is not None else plan.melt.feeder_mass,
            feeder_fraction=plan.melt.feeder_fraction,
            reserve=plan.melt.reserve,
            dross=dross,
            heel=heel,
            feeder_source=source if by_gating else "as given",
        )

    melt = melted(own)
    lots = tuple(
        lot_of(section, number) for number, section in enumerate(plan.scrap, start=1) if counts(section)
    )
    stock = stock_of(lots, melt.clean) if lots else None
    if stock is not None and plan.melt.dross is None:
        melt = melted(stock.dross)
    pot = None if plan.pot is None else pot_of(plan.pot, temperature, alloy)
    pots = None
    if pot is not None:
        pots = pot_plan(
            pot,
            pieces=1 if mould is None else mould.pours,
            charge=melt.charge,
            pour=melt.poured,
        )
    return MeltJob(
        temperature=temperature,
        temperature_given=given is not None,
        mould_temperature=warm,
        gating=gating,
        melt=melt,
        stock=stock,
        effect=None if stock is None else _effect(stock, alloy, wish, bulb, resize),
        purchases=() if stock is None else purchases_of(plan, stock),
        pot=pot,
        pots=pots,
        firing=_firing(plan, alloy, melt, pot, pots, temperature),
        defaults=tuple(taken),
    )


def counts(section: ScrapSection) -> bool:
    """Whether a lot is counted on: none that is refused, or closed.

    Args:
        section: The lot.
    """
    return section.kind not in REFUSED and section.condition != "closed"


def lot_name(section: ScrapSection, number: int) -> str:
    """What the sheets call a lot.

    Args:
        section: The lot.
        number: Of the lot, from 1.
    """
    if section.name is not None:
        return section.name
    return f"lot {number} ({section.kind})"


def lot_of(section: ScrapSection, number: int) -> Lot:
    """A lot with what its kind tells where the plan does not.

    Args:
        section: One [[scrap]].
        number: Of the lot, from 1.

    Returns:
        The lot.
    """
    kind = scrap_kind(section.kind)
    density, spread, known = kind.density, kind.density_spread, section.kind != "unknown"
    if section.density is not None:
        density, known = section.density, True
        spread = TYPED_DENSITY_SPREAD * density if section.density_spread is None else section.density_spread
    elif section.composition is not None:
        density, known = density_of_composition(section.composition), True
        spread = rule_spread(section.composition) * density
    elif section.weighed is not None:
        sample = section.weighed
        alloy = alloy_of_weighed_sample(
            in_air=sample.in_air,
            in_water=sample.in_water,
            water_density=fresh_water_density(sample.water_temperature),
            sample_porosity=sample.sample_porosity,
            reading_spread=sample.reading_spread,
        )
        density, spread, known = alloy.density, alloy.density_spread, True
    share = kind.yield_ if section.yield_ is None else section.yield_
    if section.yield_spread is not None:
        share_spread = section.yield_spread
    else:
        share_spread = kind.yield_spread if section.yield_ is None else min(kind.yield_spread, 0.02)
    return Lot(
        name=lot_name(section, number),
        gross=section.gross,
        gross_spread=GROSS_SPREAD * section.gross if section.gross_spread is None else section.gross_spread,
        yield_=share,
        yield_spread=share_spread,
        # A yield above what the kind's dross leaves says that this lot is cleaner.
        dross=min(kind.dross, 1.0 - share),
        density=density,
        density_spread=spread,
        known=known,
    )


def purchases_of(plan: Plan, stock: Stock, *, more: float = 0.0) -> tuple[Purchase, ...]:
    """What would make up a shortage: pig lead, or more of each kind that lies there.

    Args:
        plan: The plan.
        stock: The lots against what is wanted.
        more: Clean metal wanted besides, for the heel of a bigger pot. [kg]

    Returns:
        Each with its own yield; none where nothing is short.
    """
    # A hundredth more than is short: a bulb that is sized again takes a little more or less.
    short = stock.wanted + more - stock.available
    if short <= 1e-9 * stock.wanted:
        return ()
    here = dict.fromkeys(one.kind for one in plan.scrap if counts(one) and one.kind != "unknown")
    return tuple(
        Purchase(kind=kind.name, title=kind.title, gross=1.01 * short / kind.yield_)
        for kind in (scrap_kind(name) for name in dict.fromkeys(("ingot", *here)))
    )


def pot_of(section: PotSection, temperature: float, alloy: CastAlloy) -> Pot:
    """The pot in masses of liquid metal.

    Args:
        section: [pot].
        temperature: Of the metal. [degC]
        alloy: The metal.

    Returns:
        The pot.
    """
    by_volume = section.volume is not None
    usual = FILL if by_volume else NOMINAL_FILL
    return Pot(
        capacity=_brim(section, temperature, alloy),
        fill=usual if section.fill is None else section.fill,
        count=section.count,
        mass=section.mass,
        way=section.way,
        lift=section.lift,
        ladle=LADLE if section.way == "ladle" and section.ladle is None else section.ladle,
    )


def _brim(section: PotSection, temperature: float, alloy: CastAlloy) -> float:
    if section.volume is not None:
        return section.volume * alloy_liquid_density(max(temperature, MELTING_POINT), alloy.density)
    return 0.0 if section.nominal is None else section.nominal


def _heel(
    section: PotSection | None,
    temperature: float,
    alloy: CastAlloy,
    taken: list[DefaultTaken],
    shown: Shown,
) -> float:
    """What does not come out of the pots; its defaults, and the pot's others, go to the list."""
    if section is None:
        return 0.0
    if section.fill is None:
        taken.append(
            DefaultTaken(
                key="pot.fill",
                value=shown.percent(FILL if section.volume is not None else NOMINAL_FILL),
                source=f"75 % of a volume, 85 % of a maker's mass of lead; {PRACTICE}",
            )
        )
    if section.way == "ladle" and section.ladle is None:
        taken.append(
            DefaultTaken(
                key="pot.ladle", value=shown.mass(LADLE), source=f"a ladle of a fifth of a litre; {PRACTICE}"
            )
        )
    if section.heel is not None:
        return section.heel
    ladled = section.way == "ladle"
    heel = LADLED_HEEL * section.count * _brim(section, temperature, alloy) if ladled else 0.0
    taken.append(
        DefaultTaken(
            key="pot.heel",
            value=shown.mass(heel),
            source="a ladle leaves 5 % of the pot; judgement"
            if ladled
            else "tipped or tapped empty; judgement",
        )
    )
    return heel


def _effect(stock: Stock, alloy: CastAlloy, wish: BulbWish, bulb: HungBulb, resize: bool) -> BlendEffect:
    change = (stock.density - alloy.density) * (1.0 - wish.porosity) * bulb.net_lead.volume
    if not resize:
        return BlendEffect(hung_change=change, length=None, diameter=None)
    try:
        again = size_and_place(replace(wish, lead_density=stock.density))
    except NoSolutionError:
        return BlendEffect(hung_change=change, length=None, diameter=None)
    return BlendEffect(hung_change=change, length=again.body.length, diameter=again.body.diameter)


def _firing(
    plan: Plan, alloy: CastAlloy, melt: Melt, pot: Pot | None, pots: PotPlan | None, temperature: float
) -> FiringPlan | None:
    burner = plan.burner
    if burner is None:
        return None
    charge = melt.charge if pots is None else pots.charge
    own, melts = (0.0, 1) if pot is None or pots is None else (pot.mass * pot.count, pots.melts)
    capacity = 0.0 if plan.pot is None else POT_HEAT.get(plan.pot.material, POT_HEAT["steel"])[0]
    heat = melting_heat(charge, metal_heat(alloy), temperature=temperature, pot_mass=own, pot_heat=capacity)
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
        on_hand=burner.fuel_on_hand,
    )
