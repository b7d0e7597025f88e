"""Findings on gating, scrap, pot, burner and pour, as the plan words them."""

from __future__ import annotations

import math

from bulbcast.bulb.hung.ledger import HungBulb
from bulbcast.findings import Finding
from bulbcast.foundry.cooling.radial import freezing_times, running_bar
from bulbcast.foundry.gating.design import Gating
from bulbcast.foundry.gating.formulas import alloy_liquid_density
from bulbcast.foundry.gating.rules import check_feeder, check_gating, check_no_mould
from bulbcast.foundry.gating.work import freezing_case
from bulbcast.foundry.melt.pot_rules import (
    check_firing,
    check_pot,
    check_pot_material,
    check_pour_temperature,
)
from bulbcast.foundry.melt.scrap_rules import (
    LotAsked,
    SampleAsked,
    check_blend,
    check_lots,
    check_sample,
    check_stock,
)
from bulbcast.foundry.melt.work import MeltJob, lot_name, lot_of
from bulbcast.foundry.mould.design import MouldDesign
from bulbcast.foundry.mould.work import taken_out
from bulbcast.materials.alloys import CastAlloy
from bulbcast.materials.lead import MELTING_POINT
from bulbcast.materials.scrap import scrap_kind
from bulbcast.plan.melt_sections import ACCEPT_UNKNOWN
from bulbcast.plan.sections import Plan
from bulbcast.quantities import Shown

CULLED_KINDS = ("wheel-weights-unsorted", "stick-on-weights")
"""Kinds that zinc and steel pieces have to be sorted out of."""
WARMEST_MOULD = 150.0
"""No mould is planned warmer than this to make a thin end fill; judgement. [degC]"""
WARMER_BY = 10.0
"""Steps in which a warmer mould is looked for. [K]"""


def accepted(plan: Plan) -> bool:
    """Whether an unknown alloy has been accepted in words."""
    return plan.pour is not None and plan.pour.accept_unknown_alloy == ACCEPT_UNKNOWN


def melt_findings(
    plan: Plan,
    job: MeltJob,
    *,
    alloy: CastAlloy,
    bulb: HungBulb,
    mould: MouldDesign | None,
    shown: Shown,
) -> tuple[Finding, ...]:
    """Every finding of the melt.

    Args:
        plan: The plan.
        job: Its melt.
        alloy: What the bulb is cast of.
        bulb: The sized bulb.
        mould: The mould, where there is one.
        shown: The builder's units.
    """
    return (
        *_scrap(plan, job, alloy, bulb, shown),
        *_pot(plan, job, alloy, shown),
        *_pour(plan, job, alloy, mould, shown),
    )


def _scrap(plan: Plan, job: MeltJob, alloy: CastAlloy, bulb: HungBulb, shown: Shown) -> tuple[Finding, ...]:
    lots, samples = [], []
    for number, section in enumerate(plan.scrap, start=1):
        battery = section.kind == "battery"
        said = (section.density, section.composition, section.weighed)
        lots.append(
            LotAsked(
                number=number,
                name=lot_name(section, number) if section.name is None else f'the lot "{section.name}"',
                kind=section.kind,
                condition=section.condition,
                known=section.kind != "unknown" or any(one is not None for one in said),
                culled=section.kind in CULLED_KINDS,
                remark="" if battery else scrap_kind(section.kind).remark,
            )
        )
        # Scrap of unknown make was not sorted: nothing speaks against its sample.
        if section.weighed is not None and section.kind not in ("unknown", "battery"):
            lot, kind = lot_of(section, number), scrap_kind(section.kind)
            samples.append(
                SampleAsked(
                    where=f"scrap[{number}].weighed",
                    name=f"The sample of {lots[-1].name}",
                    in_air=section.weighed.in_air,
                    density=lot.density,
                    spread=lot.density_spread,
                    sorted_as=f"{kind.title[0].upper()}{kind.title[1:]}",
                    sorted_density=kind.density,
                    sorted_spread=kind.density_spread,
                    off=None,
                    if_same=f'it is not what it was sorted as: give [[scrap]] {number} kind = "unknown" and its '
                    "weighing",
                )
            )
    findings = check_lots(
        lots, accepted=accepted(plan), acceptance=f'accept_unknown_alloy = "{ACCEPT_UNKNOWN}"'
    )
    for sample in samples:
        findings += check_sample(sample, shown=shown)
    if job.stock is not None and job.effect is not None:
        findings += check_stock(job.stock, job.purchases, shown=shown)
        disputed: tuple[Finding, ...] = ()
        if plan.alloy.weighed is not None:
            disputed = check_sample(
                SampleAsked(
                    where="alloy.weighed",
                    name="The weighed sample",
                    in_air=plan.alloy.weighed.in_air,
                    density=alloy.density,
                    spread=alloy.density_spread,
                    sorted_as="The scrap, as it is listed,",
                    sorted_density=job.stock.density,
                    sorted_spread=job.stock.density_spread,
                    off=job.effect.hung_change,
                    if_same="the scrap is not what it was sorted as: give each [[scrap]] of it "
                    'kind = "unknown" and that weighing',
                ),
                shown=shown,
            )
        findings += disputed or check_blend(
            job.stock,
            alloy,
            hung_mass=bulb.mass,
            hung_change=job.effect.hung_change,
            completed=job.stock
            if job.enough is None or job.enough.completed is None
            else job.enough.completed,
            purchases=job.purchases,
            sizes=(
                (bulb.body.length, bulb.body.diameter),
                None
                if job.effect.length is None or job.effect.diameter is None
                else (job.effect.length, job.effect.diameter),
            ),
            measured=plan.alloy.weighed is not None,
            shown=shown,
        )
    return findings


def _pot(plan: Plan, job: MeltJob, alloy: CastAlloy, shown: Shown) -> tuple[Finding, ...]:
    findings: tuple[Finding, ...] = ()
    if plan.pot is not None and job.pot is not None and job.pots is not None:
        density = None
        if plan.pot.volume is not None:
            density = alloy_liquid_density(max(job.temperature, MELTING_POINT), alloy.density)
        findings += check_pot_material(plan.pot.material)
        findings += check_pot(
            job.pot,
            job.pots,
            metal_density=density,
            ways=None if job.enough is None else job.enough.ways,
            halves=None if job.enough is None else job.enough.halves,
            shown=shown,
        )
    if plan.burner is not None and job.firing is not None:
        findings += check_firing(
            job.firing.likely,
            power=plan.burner.power,
            fuel=job.firing.fuel,
            poor=job.firing.fuel_poor,
            to_have=None if job.enough is None else job.enough.fuel,
            on_hand=job.firing.on_hand,
            melts=1 if job.pots is None else job.pots.melts,
            shown=shown,
        )
    return findings


def _pour(
    plan: Plan, job: MeltJob, alloy: CastAlloy, mould: MouldDesign | None, shown: Shown
) -> tuple[Finding, ...]:
    findings: tuple[Finding, ...] = () if mould is not None else (check_no_mould(),)
    if job.temperature_given:
        findings += check_pour_temperature(job.temperature, liquidus=alloy.liquidus, given=True, shown=shown)
    gating = job.gating
    if gating is not None and mould is not None:
        findings += check_gating(
            gating,
            by_hand=plan.pot is None or plan.pot.way != "tap",
            tap=None
            if plan.pot is None
            else f'way = "tap"{taken_out(["ladle"] if plan.pot.ladle is not None else [])}',
            fill_time_given=plan.pour is not None and plan.pour.fill_time is not None,
            warm_enough=_warm_enough(gating, mould, job, alloy),
            fast_enough=None
            if gating.choke is None
            else gating.choke.diameter * (gating.fill_time / gating.thin_time) ** 0.5,
            shown=shown,
        )
        given = plan.melt.feeder_mass is not None or plan.melt.feeder_fraction is not None
        if given:
            findings += check_feeder(job.melt.feeder, gating, shown=shown)
    return findings


def _warm_enough(gating: Gating, mould: MouldDesign, job: MeltJob, alloy: CastAlloy) -> float | None:
    """Mould temperature at which the thin end stays liquid while the mould fills; None where there is none."""
    if gating.fill_time <= gating.thin_time or job.mould_temperature is None:
        return None
    low, high = job.mould_temperature, WARMEST_MOULD
    if low >= high:
        return None
    count = math.ceil((high - low) / WARMER_BY)
    temperatures = [low + (high - low) * i / count for i in range(1, count + 1)]
    case = freezing_case(alloy, mould, pour=job.temperature, start=low)
    bars = [running_bar(case.metal, start=one) for one in temperatures]
    for temperature, bar, time in zip(temperatures, bars, freezing_times(bars, case), strict=True):
        if time * (gating.cavity.thin_radius / bar.radius) ** 2 >= gating.fill_time:
            return temperature
    return None
