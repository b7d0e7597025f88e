"""Report chapters on the alloy, charge, scrap, pot and burner, and on filing the casting."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from typing import TYPE_CHECKING, Literal

from bulbcast.findings import SEVERITY_WORDS, Severity
from bulbcast.foundry.melt.lifts import all_lifts
from bulbcast.foundry.melt.to_buy import to_buy
from bulbcast.foundry.pour.chapter import card_words, withheld_words
from bulbcast.foundry.results import FoundryResults
from bulbcast.quantities import Shown, give_or_take, worded
from bulbcast.quantities.prose import in_her_units
from bulbcast.quantities.typed import bought, mass_up
from bulbcast.report.chapter import (
    Cautions,
    Chapter,
    Data,
    Heading,
    Json,
    Line,
    Markup,
    Part,
    Picture,
    Sources,
    Table,
    Withheld,
    Words,
)
from bulbcast.report.steps import StepName
from bulbcast.report.values import values_of
from bulbcast.report.verdict import in_full

if TYPE_CHECKING:
    from bulbcast.drawing.shapes import View
    from bulbcast.foundry.melt.stock import Stock
    from bulbcast.foundry.melt.work import FiringPlan, MeltJob
    from bulbcast.plan.pot_sections import BurnerSection

MASSES = ("", "mass", "in other units", "")


def alloy_chapter(job: FoundryResults) -> Chapter:
    """Return the chapter on the alloy, with spreads and sources.

    Args:
        job: The results.
    """
    shown, alloy, porosity = job.shown, job.alloy, job.plan.alloy.porosity
    density, contraction = alloy.density, alloy.contraction
    sound, other = give_or_take(shown.density(density), shown.density(alloy.density_spread)), shown.other
    cast, voids = shown.density(job.wish.cast_density), f"less {shown.percent(porosity)} voids"
    room = in_her_units("20 C", shown.units)
    cold = f"from the solidus to {room}, give or take {shown.percent(alloy.contraction_spread)}"
    rows = [
        Line("Alloy", alloy.name, "", "name", alloy.name),
        Line("Density of sound metal", sound, other.density(density), "density_kg_m3", density),
        Line("Density of the casting", cast, voids, "cast_density_kg_m3"),
        Line(
            "Linear contraction",
            shown.percent(contraction),
            cold,
            "contraction",
            contraction,
            step="pattern",
        ),
    ]
    if not job.pour_withheld:
        solid = f"fully solid below {shown.temperature_both(alloy.solidus)}"
        liquid = shown.temperature_both(alloy.liquidus)
        rows.append(Line("Fully liquid above", liquid, solid, step="melt"))
    words = [
        f"density: {alloy.density_source}",
        f"density spread: {alloy.density_spread_source}",
        f"contraction: {alloy.contraction_source}",
        f"contraction spread: {alloy.contraction_spread_source}",
        f"melting: {alloy.melting_source}",
    ]
    if alloy.published is not None:
        words.append(
            f"a published density for comparison: {shown.density(alloy.published.density)} ({alloy.published.alloy}; "
            f"{alloy.published.source})"
        )
    values: Json = {
        "density_spread_kg_m3": alloy.density_spread,
        "porosity": porosity,
        **values_of(alloy, "contraction_spread", "solidus_c", "liquidus_c"),
    }
    return Chapter(
        name="alloy",
        title="Alloy",
        at="alloy",
        step="melt",
        parts=[Table(rows=rows, only="report"), Sources(words=words), Data(values=values)],
    )


def melt_chapter(job: FoundryResults) -> Chapter:
    """Return the chapter on the charge, or why it is withheld, and how to get the pour card.

    The pour card itself depends on the day, so no bundle contains it.

    Args:
        job: The results.
    """
    pour, melt, melting, shown = job.pour_withheld, job.melt_withheld, job.melting, job.shown

    def findings() -> str:
        from bulbcast.report.findings_html import melt_findings

        return melt_findings(job, but=pour)

    def stock_and_pot(*, narrow: bool = False) -> View | None:
        from bulbcast.foundry.melt.view import stock_and_pot_view

        return stock_and_pot_view(job, narrow=narrow)

    parts: list[Part] = [
        Data(
            values={"melt.withheld": [one.code for one in melt], "pour.withheld": [one.code for one in pour]}
        )
    ]
    if not melt:
        parts.append(Cautions(codes=("water-and-lead", "fume-and-dust", "pot", "frozen-heel", "lifting")))
    if pour:
        brief = [one for one in pour if job.figures_withheld(one)]
        parts.append(Withheld(title=withheld_words(job), reasons=pour, brief=brief))
    parts.append(Markup(html=findings))
    for one in in_full(job, pour):
        words = f"{SEVERITY_WORDS[one.severity]}: {one.message} {one.remedy}"
        parts.append(Words(text=words, only="terminal"))
    parts += _charge(job)
    if not melt:
        parts.append(to_buy(job))
    if melting is not None:
        if melt:
            parts.append(
                Data(
                    values=dict.fromkeys(
                        ("melting.scrap", "melting.pot", "melting.burner", "melting.lifts"), None
                    )
                )
            )
        else:
            parts.append(Picture(draw=stock_and_pot, narrow=partial(stock_and_pot, narrow=True)))
            parts += _scrap(job, melting)
            parts += _pot_and_burner(job, melting)
            parts += _lifting(job)
    parts.append(Words(text=card_words(job)))
    if not job.stopped:
        filed = f"File {shown.mass(job.cast.finish_mass)} off the casting. Keep weighing it until that much is gone."
        parts.append(Words(text=filed, only="terminal"))
    title = "Melt and pour"
    return Chapter(name="melt", title=title, heading=title, step="melt", parts=parts)


def _mass(
    shown: Shown,
    label: str,
    mass: float,
    remark: str,
    name: str = "",
    step: StepName | Literal[""] = "",
    brief: str = "",
) -> Line:
    """Table row for a mass in both systems of units."""
    other = shown.other.mass(mass)
    return Line(label, shown.mass(mass), remark, name, other=other, step=step, brief=brief)


def _hidden(name: str, value: object) -> Line:
    """Table row for a figure that appears only in plan.json."""
    return Line("", "", name=name, value=value)


def _charge(job: FoundryResults) -> Iterator[Part]:
    """The charge, item by item, as a bar and as a table."""
    melt, shown, withheld = job.melt, job.shown, bool(job.melt_withheld)
    of_lots = ""
    if job.plan.melt.dross is None and job.melting is not None and job.melting.stock is not None:
        of_lots = ", based on the kinds of scrap"
    kept = (
        f"{shown.percent(job.plan.melt.reserve)} of what is poured; pour any that is left into dry, warm ingot tins, "
        "and never let it freeze in the pot"
    )
    skimmed = f"{shown.percent(melt.dross_share)} of the charge, skimmed off{of_lots}"
    left = "metal that does not pour out; tip it into ingot tins while it is liquid"
    ledger = [
        ("casting", "Casting", melt.cast_mass, "the cold casting", "melt.cast_kg"),
        ("feeder", "Feeder", melt.feeder, f"sprue and feeder: {melt.feeder_source}", "melt.feeder_kg"),
        ("reserve", "Reserve", melt.reserve, kept, "melt.reserve_kg"),
        ("heel of the pot", "Heel", melt.heel, left, "melt.heel_kg"),
        ("dross", "Dross", melt.dross, skimmed, "melt.dross_kg"),
    ]
    if not withheld:

        def bar(*, narrow: bool = False) -> View:
            from bulbcast.bulb.views.charts import stacked_bar

            masses = [(part, mass) for part, _, mass, *_ in ledger]
            return stacked_bar("pot", "Parts of the charge", masses, shown, narrow=narrow)

        yield Picture(draw=bar, narrow=partial(bar, narrow=True))
    lines = [_mass(shown, label, mass, remark, name) for _, label, mass, remark, name in ledger]
    if melt.heel == 0.0:
        lines[3] = _hidden("melt.heel_kg", melt.heel)
    into, brief = "all the metal that goes into the pot", worded("about {}", bought(melt.charge, shown))
    lines.append(_mass(shown, "Charge", melt.charge, into, "melt.charge_kg", "melt", brief))
    lines += [_hidden("melt.charge_least_kg", melt.least), _hidden("melt.charge_most_kg", melt.most)]
    yield Table(
        heads=MASSES,
        rows=lines,
        figures=(1, 2),
        style="sum-last",
        total=True,
        withheld=withheld,
        only="report",
    )
    rows = [line.cells() for line in lines if line.label]
    yield Table(rows=rows, figures=(1, 2), withheld=withheld, only="terminal")


def _scrap(job: FoundryResults, melting: MeltJob) -> Iterator[Part]:
    """Scrap, lot by lot and in total."""
    stock = melting.stock
    if stock is None:
        yield Data(values={"melting.scrap": None})
        return
    yield Heading(text="Scrap in melting order", only="report")
    yield Table(
        heads=("lot", "gross", "yield", "take", "sorted out", "clean", "left", "density"),
        rows=_lot_rows(stock, job.shown),
        figures=range(1, 8),
        total=True,
        style="tight",
        only="report",
    )
    yield Heading(text="Scrap totals", only="report")
    yield Table(heading="Scrap", rows=list(_blend_lines(job, melting, stock)))
    effect = melting.effect
    values: Json = {
        "lots": [
            {
                "name": one.lot.name,
                "gross_kg": one.lot.gross,
                "gross_spread_kg": one.lot.gross_spread,
                "yield": one.lot.yield_,
                "yield_spread": one.lot.yield_spread,
                "density_kg_m3": one.lot.density,
                "density_spread_kg_m3": one.lot.density_spread,
                "known": one.lot.known,
                "taken_gross_kg": one.gross,
                **values_of(one, "culled_kg", "melted_kg", "clean_kg", "left_kg"),
            }
            for one in stock.taken
        ],
        "wanted_kg": stock.wanted,
        "available_spread_kg": stock.spread,
        **values_of(stock, "short_kg", "over_kg", "dross"),
        "blend_density_spread_kg_m3": stock.density_spread,
        "hung_mass_change_kg": None if effect is None else effect.hung_change,
        "length_of_blend_m": None if effect is None else effect.length,
        "diameter_of_blend_m": None if effect is None else effect.diameter,
        "purchases": [{"kind": one.kind.name, "gross_kg": one.gross} for one in melting.purchases],
    }
    yield Data(values={f"melting.scrap.{name}": value for name, value in values.items()})


def _lot_rows(stock: Stock, shown: Shown) -> list[tuple[str, ...]]:
    """Table rows for the lots: gross on hand, yield, used, sorted out, clean, left and density; the last is the total."""
    lots = [one.lot for one in stock.taken]

    def row(
        name: str, share: str, masses: tuple[float, ...], density: float, spread: float
    ) -> tuple[str, ...]:
        gross, *others = map(shown.mass, masses)
        blend = worded("{} \u00b1 {}", shown.density(density), shown.density(spread))
        return (name, gross, share, *others, blend)

    rows = [
        row(
            one.lot.name,
            f"{shown.percent(one.lot.yield_)} \u00b1 {shown.percent(one.lot.yield_spread)}",
            (one.lot.gross, one.gross, one.culled, one.clean, one.left),
            one.lot.density,
            one.lot.density_spread,
        )
        for one in stock.taken
    ]
    sums = (
        sum(lot.gross for lot in lots),
        *(sum(getattr(one, of) for one in stock.taken) for of in ("gross", "culled", "clean", "left")),
    )
    return [*rows, row("all lots", "", sums, stock.density, stock.density_spread)]


def _blend_lines(job: FoundryResults, melting: MeltJob, stock: Stock) -> Iterator[Line]:
    """Table rows for the scrap totals and the effect of the blend on the bulb."""
    shown, effect, body = job.shown, melting.effect, job.bulb.body
    needed = worded("give or take {}; {} needed", shown.mass(stock.spread), shown.mass(stock.wanted))
    yield Line("Clean metal on hand", shown.mass(stock.available), needed, "melting.scrap.available_kg")
    if stock.short > 0.0:
        yield Line("Short", shown.mass(stock.short), "of clean metal; see the shopping list")
    else:
        yield Line("Over", shown.mass(stock.over), "clean metal left over")
    spread, planned = shown.density(stock.density_spread), shown.density(job.alloy.density)
    sized = worded("give or take {}; the bulb is sized for {}", spread, planned)
    yield Line("Blend", shown.density(stock.density), sized, "melting.scrap.blend_density_kg_m3")
    if effect is not None:
        weight = "lighter" if effect.hung_change < 0.0 else "heavier"
        change = f"in the planned mould, {shown.mass(abs(effect.hung_change))} {weight}"
        hung = shown.mass(job.bulb.mass + effect.hung_change)
        yield Line("Hung mass if cast in the blend", hung, change)
        if effect.length is not None and effect.diameter is not None:
            size = worded("{} by {}", shown.length(effect.length), shown.length(effect.diameter))
            planned = f"{shown.length(body.length)} by {shown.length(body.diameter)}"
            yield Line("Bulb cast in the blend", size, f"for the required mass; planned size {planned}")
    for one in melting.purchases:
        alone = "gross mass; enough on its own to make up the shortage"
        yield Line(f"To buy: {one.kind.title}", mass_up(one.gross, shown), alone)


def _pot_and_burner(job: FoundryResults, melting: MeltJob) -> Iterator[Part]:
    """Pot, burner, and how the metal gets into the mould."""
    lines: list[Line] = []
    if melting.pot is None:
        yield Data(values={"melting.pot": None})
    else:
        lines += _pot_lines(job, melting)
    burner = job.plan.burner
    if burner is None or melting.firing is None:
        yield Data(values={"melting.burner": None})
    else:
        lines += _burner_lines(burner, melting.firing, job.shown)
    if lines:
        yield Heading(text="Pot and burner", only="report")
        yield Table(heading="Pot and burner", rows=lines)


def _lifting(job: FoundryResults) -> Iterator[Part]:
    """Heavy loads to lift, with the heaviest marked, and who lifts each."""
    shown, lifting, lifts = job.shown, job.plan.lifting, all_lifts(job)
    values: list[Json] = []
    rows, heaviest = [], max(lifts, key=lambda one: one.mass)
    for one in lifts:
        by = one.by(lifting)
        hands = "one person" if one.people == 1 else f"{one.people} people"
        how = "a hoist" if one.people is None else hands
        if lifting is not None:
            how = {"hands": hands, "hoist": "your hoist"}.get(by, f"{how}: not available")
        mark = "; the heaviest single lift" if one is heaviest else ""
        rows.append(Line(one.what.capitalize(), shown.workshop.mass(one.mass), f"{how}{mark}"))
        values.append(
            {"what": one.what, "mass_kg": one.mass, "people": one.people, "by": by if lifting else None}
        )
    yield Heading(text="Loads to lift", only="report")
    yield Table(heading="Loads to lift", rows=rows)
    yield Data(values={"melting.lifts": values})


def _pot_lines(job: FoundryResults, melting: MeltJob) -> Iterator[Line]:
    shown, pot, pots, name = job.shown, melting.pot, melting.pots, "melting.pot."
    if pot is None or pots is None:
        return
    rough, lifted, ladled = shown.workshop, pot.way == "lift", pot.way == "ladle"
    several = "" if pot.number == 1 else f"{pot.number} pots, "
    brim = worded(
        f"{several}{shown.percent(pot.usable / pot.brim)} of {{}} when brim-full", rough.mass(pot.brim)
    )
    yield Line("Pot, to its fill mark", rough.mass(pot.usable), brim, f"{name}usable_kg", step="melt")
    pieces = f"; {pots.pieces} pieces" if pots.pieces > 1 else ""
    poured = worded("{} of it goes into the mould{}", shown.mass(pots.piece_pour), pieces)
    yield Line("One piece's charge", shown.mass(pots.piece_charge), poured, f"{name}piece_charge_kg")
    each = "one piece does not fit"
    if pots.fits:
        each = worded("{} each, {} of a brim-full pot", shown.mass(pots.charge), shown.percent(pots.fill))
    yield Line("Fillings", str(pots.melts), each, f"{name}melts", pots.melts)
    yield Line(
        "Pours", str(pots.pieces), "one for each piece, each without a pause", f"{name}pieces", pots.pieces
    )
    if lifted:
        who = "one person can carry" if pot.people == 1 else "two people with a bar can carry"
        gear = "" if pot.hoist is None else worded("; the hoist is rated for {}", rough.mass(pot.hoist))
        carried = worded("{} {}{}", who, rough.mass(pot.by_hand), gear)
        yield Line("Pot and metal to lift", rough.mass(pots.lifted), carried)
    if pots.ladle is not None:
        yield Line("Ladlefuls for one piece", str(pots.ladles), worded("of {}", rough.mass(pots.ladle)))
    yield _hidden(f"{name}capacity_kg", pot.capacity)
    yield _hidden(f"{name}count", pot.number)
    yield _hidden(f"{name}piece_pour_kg", pots.piece_pour)
    yield _hidden(f"{name}fits", pots.fits)
    yield _hidden(f"{name}pieces_a_melt", pots.per_melt)
    yield _hidden(f"{name}charge_a_melt_kg", pots.charge)
    yield _hidden(f"{name}fill", pots.fill)
    yield _hidden(f"{name}lifted_kg", pots.lifted if lifted else None)
    yield _hidden(f"{name}ladles_a_piece", pots.ladles if ladled else None)


def _burner_lines(burner: BurnerSection, fire: FiringPlan, shown: Shown) -> Iterator[Line]:
    name, rough, likely, best, worst = "melting.burner.", shown.workshop, fire.likely, fire.best, fire.worst
    yield Line(
        "Heat for metal and pot",
        f"{fire.heat.total * 1e-3:.0f} kJ",
        f"{fire.heat.metal * 1e-3:.0f} kJ into the metal and {fire.heat.pot * 1e-3:.0f} kJ into the pot for one filling",
    )
    yield Line(
        "Time to melt",
        shown.duration(likely.time),
        f"{shown.power(burner.power)} at {shown.percent(likely.efficiency)}; "
        f"{shown.duration(best.time)} at {shown.percent(best.efficiency)}, "
        f"{shown.duration(worst.time)} at {shown.percent(worst.efficiency)}",
        f"{name}time_s",
        step="melt",
    )
    if fire.fuel is not None and likely.fuel is not None and burner.fuel_margin is not None:
        poor = ""
        if fire.fuel_poor is not None:
            poor = worded("; {} in all with a poor set-up", rough.mass(fire.fuel_poor))
        margin = shown.percent(burner.fuel_margin)
        how = worded("{} per filling plus a margin of {}{}", rough.mass(likely.fuel), margin, poor)
        yield Line(f"{burner.fuel.capitalize()} to have ready", rough.mass(fire.fuel), how, step="melt")
    yield _hidden(f"{name}heat_metal_j", fire.heat.metal)
    yield _hidden(f"{name}heat_pot_j", fire.heat.pot)
    yield _hidden(f"{name}efficiency", likely.efficiency)
    yield _hidden(f"{name}time_best_s", best.time)
    yield _hidden(f"{name}time_worst_s", worst.time)
    yield _hidden(f"{name}fuel_kg", likely.fuel)
    yield _hidden(f"{name}fuel_best_kg", best.fuel)
    yield _hidden(f"{name}fuel_worst_kg", worst.fuel)
    yield _hidden(f"{name}fuel_with_margin_kg", fire.fuel)
    yield _hidden(f"{name}fuel_in_poor_set_up_kg", fire.fuel_poor)
    yield _hidden(f"{name}fuel_on_hand_kg", burner.fuel_on_hand)


def after_chapter(job: FoundryResults) -> Chapter:
    """Return the chapter on the work from the raw casting to the finished lead; its figures are withheld if a stop
    forbids making the bulb.

    Args:
        job: The results.
    """
    shown, cast = job.shown, job.cast
    parts: list[Part] = []
    if job.stopped:
        stops = [one for one in job.findings if one.severity is Severity.STOP]
        parts.append(Withheld(title="The amount to file off is withheld.", reasons=stops, only="report"))
    else:
        filed = f"{shown.length(cast.finish)} all over; keep weighing it until that mass is gone"
        later = "pocket, holes and recesses that are not cored"
        lead = job.pattern.steps[0].lead_mass
        rows = [
            _mass(shown, "Casting without sprue or feeder", cast.mass, "as it leaves the mould"),
            _mass(shown, "To be filed off", cast.finish_mass, filed, step="float"),
            _mass(shown, "To be cut and drilled out", cast.cut_later_mass, later, step="float"),
            _mass(shown, "Finished lead", lead, "before screws, filler and skin", step="float"),
        ]
        if job.mould is not None and job.mould.pours == 2:
            gating = None if job.melting is None else job.melting.gating
            match = "weigh both halves and plane the flat face of the heavier one until they weigh the same"
            if gating is not None:
                thin = 1e-4 * gating.cavity.shadow * cast.mass / cast.volume
                match += f", {shown.mass(thin)} for each {shown.length(1e-4)} planed off"
            rows.insert(1, _mass(shown, "Each half of the casting", 0.5 * cast.mass, match))
        balance = (
            f"The casting balances {shown.length(cast.mass_centre_x)} aft of the finished nose. The finished bulb, with "
            f"everything that hangs on the fin, balances {shown.length(job.bulb.mass_centre_x)} aft of it."
        )
        parts += [
            Cautions(codes=("hot-mould", "cold-work", "seal-the-bulb")),
            Table(heads=MASSES, rows=rows, figures=(1, 2), total=True, only="report"),
            Words(text=balance, style="caption", only="report"),
        ]
    return Chapter(name="after", title="After casting: file, cut and drill", step="float", parts=parts)
