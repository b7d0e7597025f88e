"""What would do where pot, scrap and fuel fall short: figures that hold each by itself and all together.

A bigger pot keeps a bigger heel and asks for more metal; bought metal brings its own dross, and more charge takes more
fuel. So each is worked out as if the others had been made up as well.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from bulbcast.foundry.melt.pot import PotPlan, ways_out
from bulbcast.foundry.melt.stock import Stock, stock_of
from bulbcast.foundry.melt.work import LADLED_HEEL, Enough, MeltJob, counts, lot_of, purchases_of
from bulbcast.foundry.mould.work import as_open_halves
from bulbcast.plan.melt_sections import ScrapSection
from bulbcast.plan.sections import Plan

_ROUNDED = 1.012
"""A figure that is rounded up as it is shown comes out a hundredth larger at most."""


def with_enough(plan: Plan, job: MeltJob, halved: Callable[[Plan], PotPlan | None]) -> MeltJob:
    """The melt with what would do where something falls short.

    Args:
        plan: The plan.
        job: Its melt.
        halved: The pots of another plan, poured in open halves; None without a pot.
    """
    melt, pot, pots = job.melt, job.pot, job.pots
    share = melt.dross / melt.charge
    growth = 0.0
    if plan.pot is not None and plan.pot.way == "ladle" and plan.pot.heel is None:
        growth = LADLED_HEEL
    completed = job.stock if job.stock is None else _completed(plan, job, 0.0)
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
        completed = None if completed is None else _completed(plan, job, more)
    fuel = None if job.firing is None else job.firing.fuel
    if fuel is not None:
        fuel *= max((melt.clean + more) / (1.0 - share) / melt.charge, 1.0)
    short = job.stock is not None and bool(job.purchases)
    return replace(
        job,
        purchases=purchases_of(plan, job.stock, more=more) if job.stock is not None and short else (),
        enough=Enough(
            ways=ways,
            halves=None if ways is None else _halves(plan, halved),
            completed=completed if short else job.stock,
            fuel=fuel,
        ),
    )


def _completed(plan: Plan, job: MeltJob, more: float) -> Stock | None:
    """The scrap with what is bought to make it enough for so much more of clean metal."""
    stock = job.stock
    if stock is None:
        return None
    bought = purchases_of(plan, stock, more=more)
    sections = [section for section in plan.scrap if counts(section)]
    lots = [lot_of(section, number) for number, section in enumerate(sections, start=1)]
    if bought:
        lot = ScrapSection(
            kind=bought[0].kind,
            name=None,
            gross=bought[0].gross * _ROUNDED,
            gross_spread=None,
            yield_=None,
            yield_spread=None,
            density=None,
            density_spread=None,
            condition="dry",
            composition=None,
            weighed=None,
        )
        lots.append(lot_of(lot, len(lots) + 1))
    return stock_of(lots, stock.wanted + more)


def _halves(plan: Plan, halved: Callable[[Plan], PotPlan | None]) -> str | None:
    """What is typed for open halves that fit the pot; None where they would not."""
    tried = as_open_halves(plan)
    if tried is None:
        return None
    pots = halved(tried[0])
    return tried[1] if pots is not None and pots.fits else None
