"""Amounts needed if the planned pot, scrap or fuel is not enough. Each figure is valid both alone and with the
others.

A bigger pot keeps a bigger heel and needs more metal. Bought metal brings dross with it, and a larger charge needs more
fuel. Each amount is therefore calculated as if the other shortages were made up too.
"""

from __future__ import annotations

import math
from dataclasses import replace

from bulbcast.foundry.gating.work import poured_of
from bulbcast.foundry.melt.pot import ways_out
from bulbcast.foundry.melt.stock import Lot, Stock, stock_of
from bulbcast.foundry.melt.work import (
    GROSS_SPREAD,
    LADLED_HEEL,
    Enough,
    MeltJob,
    counts,
    lot_of,
    melt_job,
    purchases_of,
)
from bulbcast.foundry.mould.work import as_open_halves, mould_design
from bulbcast.pattern.results import PatternResults
from bulbcast.plan.sections import Plan

LEAST_RESERVE = 0.03
"""Minimum reserve as a fraction of what is poured, if warm ingots are ready to add. Judgement. [-]"""
_ROUNDED = 1.012
"""Factor that allows for the rounding up of displayed figures, which adds at most 1 %. [-]"""


def with_enough(job: PatternResults, melting: MeltJob) -> MeltJob:
    """Return the melt, with the amount needed of anything that falls short.

    Args:
        job: Bulb and pattern.
        melting: Melt of the job.
    """
    plan, melt, pot, pots, stock = job.plan, melting.melt, melting.pot, melting.pots, melting.stock
    share = melt.dross / melt.charge
    growth = 0.0
    if plan.pot is not None and plan.pot.way == "ladle" and plan.pot.heel is None:
        growth = LADLED_HEEL
    completed = None if stock is None else _completed(plan, stock, 0.0)
    if completed is not None and plan.melt.dross is None:
        share = max(share, completed.dross)
    ways, more = None, 0.0
    if pot is not None and pots is not None and not pots.fits:
        piece = melt.clean / (1.0 - share) / pots.pieces * 1.002
        ways = ways_out(pot, piece, heel_growth=growth / (1.0 - share) / pots.pieces)
        together = max(
            0.0 if ways.capacity is None else ways.capacity * pot.count * _ROUNDED,
            0.0 if ways.count is None else ways.count * pot.capacity,
        )
        more = growth * max(together - pot.capacity * pot.count, 0.0)
        completed = None if stock is None else _completed(plan, stock, more)
    fuel = None if melting.firing is None else melting.firing.fuel
    if fuel is not None:
        fuel *= max((melt.clean + more) / (1.0 - share) / melt.charge, 1.0)
    enough = Enough(
        ways=ways,
        reserve=None if pot is None or ways is None else _reserve(plan, melting, pot.usable, share),
        halves=None if ways is None else _halves(job),
        completed=stock,
        fuel=fuel,
    )
    if stock is None or not melting.purchases:
        return replace(melting, enough=enough)
    return replace(
        melting,
        purchases=purchases_of(plan, stock, more=more),
        enough=replace(enough, completed=completed),
    )


def _reserve(plan: Plan, melting: MeltJob, usable: float, dross: float) -> float | None:
    """Reserve, rounded down to a whole per cent, with which a piece fits the pots as they are. None if it is below the
    minimum, or no smaller than the planned reserve. [-]"""
    melt, pots = melting.melt, melting.pots
    pieces = 1 if pots is None else pots.pieces
    share = math.floor(100.0 * ((usable * pieces * (1.0 - dross) - melt.heel) / melt.poured * 0.998 - 1.0))
    return 0.01 * share if LEAST_RESERVE <= 0.01 * share < plan.melt.reserve else None


def _completed(plan: Plan, stock: Stock, more: float) -> Stock:
    """Stock made up of the scrap on hand and the scrap to buy, with a given extra mass of clean metal."""
    bought = purchases_of(plan, stock, more=more)
    lots = [lot_of(section, number) for number, section in enumerate(plan.scrap, start=1) if counts(section)]
    if bought:
        kind, gross = bought[0].kind, bought[0].gross * _ROUNDED
        lots.append(
            Lot(
                name=kind.title,
                gross=gross,
                gross_spread=GROSS_SPREAD * gross,
                yield_=kind.yield_,
                yield_spread=kind.yield_spread,
                dross=min(kind.dross, 1.0 - kind.yield_),
                density=kind.density,
                density_spread=kind.density_spread,
                known=True,
            )
        )
    return stock_of(lots, stock.wanted + more)


def _halves(job: PatternResults) -> str | None:
    """Plan entry for open halves that fit the pot; None if they would not fit."""
    tried = as_open_halves(job.plan)
    if tried is None:
        return None
    plan, typed = tried
    mould = mould_design(plan, job.bulb, job.cast, job.pattern)
    pots = melt_job(job, mould, poured_of(job, mould), resize=False).pots
    return typed if pots is not None and pots.fits else None
