"""Gating, scrap, pot and burner as rows of texts, for the report and the terminal alike."""

from __future__ import annotations

from bulbcast.foundry.cooling.radial import FREEZES_FROM_SKIN, RUNS_UNTIL
from bulbcast.foundry.gating.design import Gating
from bulbcast.foundry.gating.lift import HOLDING_FACTOR
from bulbcast.foundry.melt.work import MeltJob
from bulbcast.foundry.results import FoundryResults
from bulbcast.quantities import Shown, worded
from bulbcast.quantities.typed import mass_up

Row = tuple[str, str, str]


def _riser_place(gating: Gating, shown: Shown) -> str:
    """Where the riser stands: an upright mould is poured through it."""
    end = gating.cavity.high_end
    if end is not None:
        return f"over the {end}, which is up; the mould is poured through it"
    return f"on the thickest part, {shown.length(gating.cavity.thick_at)} from the nose"


def gating_rows(job: FoundryResults, gating: Gating) -> list[Row]:
    """Sizes and places of the gating, and what holds the mould.

    Args:
        job: The results.
        gating: Of its mould.
    """
    shown = job.shown
    rows: list[Row] = []
    if gating.choke is not None and gating.sprue is not None:
        rows += [
            (
                "Choke, at the sprue's foot",
                shown.length(gating.choke.diameter),
                f"{shown.area(gating.choke.area)}; effective head {shown.length(gating.choke.head)}",
            ),
            (
                "Sprue's mouth",
                shown.length(gating.sprue.top_diameter),
                f"{shown.length(gating.sprue.height)} high, tapered so that it runs full; "
                f"{shown.length(gating.sprue_at)} from the nose, down to the parting beside the bulb",
            ),
        ]
    if gating.vents:
        rows.append(
            (
                "Vents",
                worded(f"{len(gating.vents)} of {{}}", shown.length(gating.vents[0].diameter)),
                "at "
                + " and ".join(shown.length(vent.at) for vent in gating.vents)
                + " from the nose; together as wide as the choke",
            )
        )
    if gating.riser is not None:
        riser = gating.riser
        why = {
            "modulus": "its modulus, 1.2 times the largest section's, asks for it",
            "feed": "what the casting shrinks by asks for it",
            "given": "as given",
        }[riser.rule]
        rows += [
            (
                "Riser",
                worded("{} by {}", shown.length(riser.diameter), shown.length(riser.height)),
                f"across by high, {_riser_place(gating, shown)}; {why}",
            ),
            (
                "Its modulus",
                shown.length(riser.modulus),
                f"the largest section's is {shown.length(gating.cavity.thick_modulus)}; side and bare top cool it",
            ),
        ]
    if gating.mark is not None:
        rows += [
            (
                "Level mark",
                shown.length(gating.mark.above_face),
                "above the flat face, on a rim round it; planed away when cold",
            ),
            (
                "Sink expected",
                shown.length(gating.mark.middle_sink),
                f"in the middle; {shown.length(gating.mark.mean_sink)} on the mean",
            ),
        ]
    rows.append(
        (
            "What shrinks before it is solid",
            shown.percent(gating.feed),
            "of the liquid; the pattern's contraction takes the rest",
        )
    )
    if gating.force is not None:
        force, level = gating.force, gating.cavity.parting == "horizontal"
        rows.append(
            (
                "Lift on the cope" if level else "Force on each half",
                shown.workshop.force(force.force),
                f"metal at rest, {shown.length(gating.head)} over the parting"
                if level
                else "metal at rest, cavity, riser and sprue",
            )
        )
        rows.append(
            (
                "To lay on it" if level else "To clamp it with",
                shown.workshop.mass(force.weight) if level else shown.workshop.force(force.clamp),
                worded(
                    "or {} of clamps; twice the lift, less the cope's own {}",
                    shown.workshop.force(force.clamp),
                    shown.workshop.mass(force.own_mass),
                )
                if level
                else "twice that, in all",
            )
        )
    for lift in gating.cores:
        rows.append(
            (
                f"Lift on the {lift.core.name}'s core",
                shown.force(lift.held.force),
                f"{lift.core.material}; hold {shown.workshop.force(lift.held.wanted)}"
                if lift.held.force > 0.0
                else f"{lift.core.material}; it sinks",
            )
        )
    rows += [
        (
            f"Lift on stud {number}",
            shown.force(lift),
            f"it floats in lead; hold {shown.workshop.force(HOLDING_FACTOR * lift)}"
            if lift > 0.0
            else "it sinks",
        )
        for number, lift in enumerate(job.stud_lifts, start=1)
    ]
    how = "simulated" if gating.simulated else "its largest section, as a long round bar in its mould"
    rows += [
        (
            "Metal runs in the thinnest end for",
            shown.duration(gating.thin_time),
            f"{shown.length(2.0 * gating.cavity.thin_radius)} thick; {runs_until(job)}",
        ),
        ("The casting freezes in", shown.duration(gating.thick_time), how),
    ]
    if gating.riser_time is not None:
        how = "simulated" if gating.simulated else "as a long round bar"
        rows.append(("The riser freezes in", shown.duration(gating.riser_time), f"{how}, topped up no more"))
    rows.append(leave_alone_row(job, gating))
    return rows


def leave_alone_row(job: FoundryResults, gating: Gating) -> Row:
    """How long the mould is left alone.

    Args:
        job: The results.
        gating: Of its mould.
    """
    metal = "the casting is" if gating.riser is None else "casting and feeder are"
    return (
        "Leave alone for",
        job.shown.duration(gating.leave_alone),
        f"at least: then {metal} solid in the slowest mould; "
        + ("simulated" if gating.simulated else "calculated on the long side")
        + "; then until it is cold to the hand",
    )


def runs_until(job: FoundryResults) -> str:
    """When the metal stops running in a thin way, in words.

    Args:
        job: The results.
    """
    if job.alloy.liquidus - job.alloy.solidus <= FREEZES_FROM_SKIN:
        return "then it is frozen through"
    return f"then it is {100.0 * RUNS_UNTIL:.0f} % solid and no longer runs (20 to 35 % in casting texts; judgement)"


def scrap_rows(job: FoundryResults, melting: MeltJob) -> list[tuple[str, ...]]:
    """Lot by lot: gross on hand, yield, taken, sorted out, clean, left, density."""
    shown, stock = job.shown, melting.stock
    if stock is None:
        return []
    rows: list[tuple[str, ...]] = [
        (
            one.lot.name,
            shown.mass(one.lot.gross),
            f"{shown.percent(one.lot.yield_)} \u00b1 {shown.percent(one.lot.yield_spread)}",
            shown.mass(one.gross),
            shown.mass(one.culled),
            shown.mass(one.clean),
            shown.mass(one.left),
            worded("{} \u00b1 {}", shown.density(one.lot.density), shown.density(one.lot.density_spread)),
        )
        for one in stock.taken
    ]
    rows.append(
        (
            "all lots",
            shown.mass(sum(one.lot.gross for one in stock.taken)),
            "",
            shown.mass(sum(one.gross for one in stock.taken)),
            shown.mass(sum(one.culled for one in stock.taken)),
            shown.mass(sum(one.clean for one in stock.taken)),
            shown.mass(sum(one.left for one in stock.taken)),
            worded("{} \u00b1 {}", shown.density(stock.density), shown.density(stock.density_spread)),
        )
    )
    return rows


def blend_rows(job: FoundryResults, melting: MeltJob) -> list[Row]:
    """What the scrap comes to, and what its blend does to the bulb."""
    shown, stock, effect = job.shown, melting.stock, melting.effect
    if stock is None or effect is None:
        return []
    rows = [
        (
            "Clean metal on hand",
            shown.mass(stock.available),
            worded("give or take {}; needed {}", shown.mass(stock.spread), shown.mass(stock.wanted)),
        ),
        (
            "Short" if stock.short > 0.0 else "Over",
            shown.mass(stock.short if stock.short > 0.0 else stock.over),
            "clean metal; see the purchase list" if stock.short > 0.0 else "clean metal that stays",
        ),
        (
            "Blend",
            shown.density(stock.density),
            worded(
                "give or take {}; the bulb is sized for {}",
                shown.density(stock.density_spread),
                shown.density(job.alloy.density),
            ),
        ),
        (
            "Hung mass, cast of the blend",
            shown.mass(job.bulb.mass + effect.hung_change),
            f"in the mould as planned, {shown.mass(abs(effect.hung_change))} "
            + ("lighter" if effect.hung_change < 0.0 else "heavier"),
        ),
    ]
    if effect.length is not None and effect.diameter is not None:
        rows.append(
            (
                "A bulb of the blend",
                worded("{} by {}", shown.length(effect.length), shown.length(effect.diameter)),
                f"for the mass wanted; planned {shown.length(job.bulb.body.length)} by "
                f"{shown.length(job.bulb.body.diameter)}",
            )
        )
    rows += [
        (f"To buy: {one.title}", mass_up(one.gross, shown), "gross; this alone makes up what is short")
        for one in melting.purchases
    ]
    return rows


def pot_rows(job: FoundryResults, melting: MeltJob) -> list[Row]:
    """Pot, way of the metal, burner."""
    shown, pot, pots = job.shown, melting.pot, melting.pots
    rows: list[Row] = []
    if pot is not None and pots is not None:
        several = "" if pot.count == 1 else f"{pot.count} pots, "
        rows += [
            (
                "Pot, to its fill mark",
                shown.workshop.mass(pot.usable),
                worded(
                    f"{several}{shown.percent(pot.fill)} of {{}} brim-full",
                    shown.workshop.mass(pot.capacity * pot.count),
                ),
            ),
            (
                "One piece's charge",
                shown.mass(pots.piece_charge),
                worded(
                    "{} of it into the mould{}",
                    shown.mass(pots.piece_pour),
                    f"; {pots.pieces} pieces" if pots.pieces > 1 else "",
                ),
            ),
            (
                "Fillings",
                str(pots.melts),
                worded("{} each, {} of the brim", shown.mass(pots.charge), shown.percent(pots.fill))
                if pots.fits
                else "one piece does not fit",
            ),
            ("Pours", str(pots.pieces), "one for each piece, without a break"),
        ]
        if pot.way == "lift":
            rows.append(
                (
                    "Pot and metal to lift",
                    shown.workshop.mass(pots.lifted),
                    worded("one person carries {}", shown.workshop.mass(pot.lift)),
                )
            )
        if pots.ladle is not None:
            rows.append(
                ("Ladles for one piece", str(pots.ladles), worded("of {}", shown.workshop.mass(pots.ladle)))
            )
    fire, burner = melting.firing, job.plan.burner
    if fire is not None and burner is not None:
        rows += [
            (
                "Heat, metal and pot",
                f"{(fire.heat.total) * 1e-3:.0f} kJ",
                f"{fire.heat.metal * 1e-3:.0f} kJ into the metal, {fire.heat.pot * 1e-3:.0f} kJ into the pot; one filling",
            ),
            (
                "Time to melt",
                shown.duration(fire.likely.time),
                f"{shown.power(burner.power)} at {shown.percent(fire.likely.efficiency)}; "
                f"{shown.duration(fire.best.time)} at {shown.percent(fire.best.efficiency)}, "
                f"{shown.duration(fire.worst.time)} at {shown.percent(fire.worst.efficiency)}",
            ),
        ]
        if fire.fuel is not None and fire.likely.fuel is not None and burner.fuel_margin is not None:
            poor = (
                ""
                if fire.fuel_poor is None
                else worded("; {} in all in a poor set-up", shown.workshop.mass(fire.fuel_poor))
            )
            rows.append(
                (
                    f"{burner.fuel.capitalize()} to have",
                    shown.workshop.mass(fire.fuel),
                    worded(
                        "{} a filling and {} more{}",
                        shown.workshop.mass(fire.likely.fuel),
                        shown.percent(burner.fuel_margin),
                        poor,
                    ),
                )
            )
    return rows


def melt_rows(job: FoundryResults) -> tuple[tuple[str, float, str], ...]:
    """The charge line by line [kg]; the last is the sum.

    Args:
        job: The results.
    """
    melt, plan = job.melt, job.plan.melt
    shown = job.shown
    dross, of_lots = job.alloy.dross if plan.dross is None else plan.dross, ""
    if plan.dross is None and job.melting is not None and job.melting.stock is not None:
        dross, of_lots = job.melting.stock.dross, "; of the scrap's own kinds"
    return (
        ("Casting", melt.cast_mass, "the cast body, cold"),
        ("Feeder", melt.feeder, f"sprue and riser: {melt.feeder_source}"),
        (
            "Reserve",
            melt.reserve,
            f"{shown.percent(plan.reserve)} of what is poured; into dry warm ingot tins, never left to freeze "
            "in the pot",
        ),
        *(
            (("Heel", melt.heel, "that does not come out by pouring; into ingot tins while it is liquid"),)
            if melt.heel > 0.0
            else ()
        ),
        ("Dross", melt.dross, f"{shown.percent(dross)} of the charge, skimmed off{of_lots}"),
        ("Charge", melt.charge, "what goes into the pot"),
    )
