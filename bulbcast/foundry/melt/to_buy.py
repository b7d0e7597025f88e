"""What to buy for the melt: lead and fuel, with the amounts rounded up."""

from __future__ import annotations

from bulbcast.foundry.results import FoundryResults
from bulbcast.quantities import joined
from bulbcast.quantities.typed import bought, mass_up
from bulbcast.report.chapter import Line, ToBuy


def to_buy(job: FoundryResults) -> ToBuy:
    """Return the lead and the fuel to buy.

    Args:
        job: The results.
    """
    shown, melting, burner = job.shown, job.melting, job.plan.burner
    stock = None if melting is None else melting.stock
    lines: list[Line] = []
    if melting is None or stock is None:
        least = bought(job.melt.least, shown)
        amount = bought(job.melt.charge, shown)
        what = f"{job.alloy.name}, including the reserve; at least {least} is needed"
        lines.append(Line("Lead", amount, what))
    elif stock.short > 0.0:
        some = [f"{mass_up(one.gross, shown)} of {one.kind.title}" for one in melting.purchases]
        lines.append(Line("Lead", joined(some, "or"), "gross mass, in addition to the scrap on hand"))
    else:
        amount = f"for a charge of about {bought(job.melt.charge, shown)}"
        lines.append(Line("Lead", "none; the scrap on hand is enough", amount))
    fuel = None if melting is None or melting.firing is None else melting.firing.fuel
    if burner is not None and fuel is not None:
        on_hand = burner.fuel_on_hand or 0.0
        if on_hand < fuel:
            lines.append(
                Line(
                    burner.fuel.capitalize(), bought(fuel - on_hand, shown), "in addition to what is on hand"
                )
            )
    return ToBuy(lines=lines)
