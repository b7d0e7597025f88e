"""The way without melting in the report: the same bulb of shot in resin beside that of cast lead."""

from __future__ import annotations

import math

from bulbcast.foundry.melt.foundry_html import beside
from bulbcast.foundry.resin.work import ResinJob, Side
from bulbcast.foundry.results import FoundryResults
from bulbcast.quantities import Dimension, Shown, give_or_take, worded
from bulbcast.report.markup import paragraph, section, table
from bulbcast.report.scales import scale_for


def resin_section(job: FoundryResults) -> str:
    """The comparison; nothing where the plan does not ask for it.

    Args:
        job: The results.
    """
    ways = job.resin
    if ways is None:
        return ""
    shown = job.shown
    body = beside(("epoxy-and-filler", "shot-and-resin", "hygiene"))
    body += table(
        ("", "lead, poured hot", "shot in resin", "shot in resin over lead"),
        compared_rows(ways, shown),
        figures=(1, 2, 3),
        caption=f"The same hung mass, fin, place of the mass centre and {job.wish.given}",
    )
    if ways.why_not:
        body += paragraph(f"No bulb of shot in resin does here: wanted is {ways.why_not}.")
    body += table(("", "", ""), casting_rows(job, ways), figures=(1,), caption="What the casting takes")
    if ways.extra_displacement is not None:
        lift = job.plan.water.density * ways.extra_displacement
        body += paragraph(
            f"The larger bulb displaces {shown.volume(ways.extra_displacement)} more water, so that the boat floats as if "
            f"{shown.mass(lift)} lighter; hung mass is the same here, and may be that much more."
        )
    body += paragraph(
        "It needs a pattern of its own: the cavity made for the lead bulb would hold "
        f"{shown.mass(ways.in_this_mould)} of shot and resin. Resin hardly shrinks, so that its pattern takes no "
        "contraction of metal. The mould has only to be dry enough for the resin to cure, and sealed.",
    )
    body += paragraph(
        "Layers: heat of cure at the rate of a cool layer against what an open face loses to still air, so that every "
        "temperature is the least it may be. "
        "Drag is a range over three published form factors and not an optimum.",
        "caption",
    )
    return section("resin", "Without melting: lead shot in resin", body)


def compared_rows(ways: ResinJob, shown: Shown) -> list[tuple[str, str, str, str]]:
    """The two bulbs, figure by figure.

    Args:
        ways: The comparison.
        shown: The builder's units.
    """
    lead, resin = ways.lead, ways.resin

    def row(name: str, one: str, other: str | None, ratio: float | None) -> tuple[str, str, str, str]:
        return name, one, "\u2013" if other is None else other, "\u2013" if ratio is None else f"{ratio:.3f}"

    def pair(name: str, of: str, words: str) -> tuple[str, str, str, str]:
        show = getattr(shown, words)
        a = _figure(lead, of)
        b = None if resin is None else _figure(resin, of)
        if a is None:
            return row(name, "\u2013", None, None)
        return row(name, show(a), None if b is None else show(b), None if b is None or a == 0.0 else b / a)

    drag = "\u2013" if lead.drag is None else _drag_words(lead, shown)
    other = None if resin is None or resin.drag is None else _drag_words(resin, shown)
    low = None
    if lead.drag is not None and resin is not None and resin.drag is not None:
        low = resin.drag.low / lead.drag.low
    under = (_figure(lead, "underside"), None if resin is None else _figure(resin, "underside"))
    return [
        row("Density of the casting", shown.density(lead.density), shown.density(ways.mix.density),
            ways.mix.density / lead.density),
        pair("Hung mass", "mass", "mass"),
        pair("Length", "length", "length"),
        pair("Diameter", "diameter", "length"),
        pair("Frontal area", "frontal", "area"),
        pair("Wetted area", "wetted", "area"),
        pair("Water displaced", "displacement", "volume"),
        row("Underside, boat axes", shown.length(under[0] or 0.0), None if under[1] is None else shown.length(under[1]),
            None),
        row(f"Drag at {shown.speed(ways.speed)}", drag, other, low),
        pair("Drag area, lowest", "drag_low", "area"),
        pair("Drag area, highest", "drag_high", "area"),
    ]  # fmt: skip


def _figure(side: Side, of: str) -> float | None:
    bulb = side.bulb
    return {
        "mass": bulb.mass,
        "length": bulb.body.length,
        "diameter": bulb.body.diameter,
        "frontal": 0.25 * math.pi * bulb.body.diameter**2,
        "wetted": bulb.surface.area,
        "displacement": bulb.displacement,
        "underside": bulb.underside_z,
        "drag_low": side.drag_areas[0],
        "drag_high": side.drag_areas[1],
    }[of]


def _drag_words(side: Side, shown: Shown) -> str:
    if side.drag is None:
        return "\u2013"
    scale = scale_for(Dimension.FORCE, side.drag.high, shown.units)
    return f"{scale.shown(side.drag.low):#.3g} to {scale.shown(side.drag.high):#.3g} {scale.unit}"


def casting_rows(job: FoundryResults, ways: ResinJob) -> list[tuple[str, str, str]]:
    """Shot, resin and layers.

    Args:
        job: The results.
        ways: Its comparison.
    """
    shown, mix, casting, asked = job.shown, ways.mix, ways.casting, job.plan.resin
    rows = [
        (
            "Density of shot in resin",
            give_or_take(shown.density(mix.density), shown.density(mix.density_spread)),
            f"packing {shown.percent(mix.packing)}, give or take {shown.percent(mix.packing_spread)}",
        ),
    ]
    if casting is None or asked is None:
        return rows
    return [
        *rows,
        ("Shot", shown.mass(casting.shot), "clean and dry, shaken down in every layer"),
        ("Resin and hardener", shown.mass(casting.resin), f"{shown.percent(asked.spare)} to spare"),
        (
            "Casting",
            shown.mass(casting.mass),
            worded("give or take {} by the packing alone", shown.mass(casting.mass_spread)),
        ),
        (
            "Filled at once it would reach at least",
            shown.temperature(asked.room + casting.rise_at_once),
            f"{shown.temperature(asked.highest_temperature)} is allowed, in a room of {shown.temperature(asked.room)}; "
            "resin cures faster as it warms, which is not calculated",
        ),
        (
            "Layers, at least",
            worded(f"{casting.layers} of {{}}", shown.length(casting.depth / casting.layers)),
            f"each reaches at least {shown.temperature(asked.room + casting.layer_rise)}: cure a test cup as deep first; "
            "the next when it has set and is cold",
        ),
    ]
