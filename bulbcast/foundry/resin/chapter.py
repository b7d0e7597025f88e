"""Report chapter on a bulb made without melting: the same bulb in shot and resin, compared with cast lead."""

from __future__ import annotations

import math
from collections.abc import Callable

from bulbcast.foundry.resin.work import ResinJob, Side
from bulbcast.foundry.results import FoundryResults
from bulbcast.quantities import Dimension, Shown, give_or_take, worded
from bulbcast.report.chapter import Cautions, Chapter, Data, Json, Line, Part, Table, Words
from bulbcast.report.scales import scale_for
from bulbcast.report.values import number, values_of

_DASH = "\u2013"


def resin_chapter(job: FoundryResults, ways: ResinJob) -> Chapter:
    """Build the chapter on the comparison.

    Args:
        job: Results so far.
        ways: Comparison of lead with shot in resin.
    """
    shown, casting, water = job.shown, ways.casting, job.plan.water.density
    lead = _figures(ways.lead, water)
    resin = None if ways.resin is None else _figures(ways.resin, water)
    rows = _compared(ways, lead, resin, shown)
    heads = ("", "lead, poured hot", "shot in resin")
    title = "Without melting: lead shot in resin"
    parts: list[Part] = [
        Cautions(codes=("epoxy-and-filler", "shot-and-resin", "hygiene")),
        Table(
            heads=(*heads, "ratio of shot in resin to lead"),
            rows=rows,
            figures=(1, 2, 3),
            caption=f"Both with the same hung mass, fin, position of the mass centre and {job.wish.given}",
            only="report",
        ),
        Table(heads=(*heads, "ratio"), rows=rows, figures=(1, 2, 3), only="terminal"),
    ]
    if ways.why_not:
        parts.append(_words(f"No bulb of shot in resin works here. Such a bulb would need {ways.why_not}."))
    parts.append(Table(rows=_casting_lines(ways, shown), caption="Materials for the casting"))
    if ways.extra_displacement is not None:
        parts.append(
            _words(
                f"The larger bulb displaces {shown.volume(ways.extra_displacement)} more water, so the boat floats as if "
                f"it were {shown.mass(water * ways.extra_displacement)} lighter. The hung mass is kept the same here; it "
                "could be increased by that much."
            )
        )
    parts += [
        _words(
            "A bulb of shot in resin needs a separate pattern: the cavity made for the lead bulb would hold "
            f"{shown.mass(ways.in_this_mould)} of shot and resin. Resin hardly shrinks, so this pattern has no "
            "allowance for contraction. The mould must be sealed, but it need only be dry enough for the resin to cure."
        ),
        _words(
            "The layers are calculated from the heat of cure, released at the rate of a cool layer, and the loss from "
            "an open face to still air. Every temperature is therefore a minimum. Drag is a range over three published "
            "form factors, not an optimum.",
            "caption",
        ),
    ]
    values: Json = {
        "density_to_cast_lead": ways.mix.density / ways.lead.density,
        "why_not": ways.why_not or None,
        "extra_displacement_m3": ways.extra_displacement,
        "speed_m_s": ways.section.speed,
        "mass_in_the_lead_mould_kg": ways.in_this_mould,
        "density_spread_kg_m3": ways.mix.density_spread,
        "lead": lead,
        "shot_in_resin": resin,
    }
    if casting is None:
        values["casting"] = None
    else:
        values["casting.mass_spread_kg"] = casting.mass_spread
        values["casting.depth_m"] = casting.depth
        values["casting.thickest_layer_m"] = number(casting.thickest_layer)
        values["casting.layer_rise_k"] = casting.layer_rise
        values["casting.rise_at_once_k"] = casting.rise_at_once
    parts.append(Data(values=values))
    return Chapter(name="resin", title=title, heading=title, at="resin", step="melt", parts=parts)


def _words(text: str, style: str = "") -> Words:
    return Words(text=text, style=style, only="report")


def _figures(side: Side, water_density: float) -> Json:
    """Figures of one of the two bulbs, for both plan.json and the table, in SI units."""
    bulb, drag, body = side.bulb, side.drag, side.bulb.body
    pressure = 0.0 if drag is None else 0.5 * water_density * drag.speed**2
    return {
        "density_kg_m3": side.density,
        "hung_mass_kg": bulb.mass,
        "cast_volume_m3": side.cast.volume,
        **values_of(body, "length_m", "diameter_m", "width_m", "height_m", "fineness"),
        "frontal_area_m2": 0.25 * math.pi * body.diameter**2,
        "wetted_area_m2": bulb.surface.area,
        **values_of(bulb, "displacement_m3", "underside_z_m", "nose_x_m"),
        "drag_low_n": None if drag is None else drag.low,
        "drag_high_n": None if drag is None else drag.high,
        # Drag divided by dynamic pressure, with the lowest and the highest form factor.
        "drag_area_low_m2": None if drag is None else drag.low / pressure,
        "drag_area_high_m2": None if drag is None else drag.high / pressure,
    }


def _compared(ways: ResinJob, lead: Json, resin: Json | None, shown: Shown) -> list[tuple[str, ...]]:
    """Compare the two bulbs, figure by figure."""

    def value(side: Json | None, name: str) -> float | None:
        found = None if side is None else side[name]
        return found if isinstance(found, float) else None

    def ratio(a: float | None, b: float | None) -> str:
        return _DASH if a is None or b is None or a == 0.0 else f"{b / a:.3f}"

    def row(label: str, name: str, show: Callable[[float], str]) -> tuple[str, ...]:
        a, b = value(lead, name), value(resin, name)
        return (label, *(_DASH if one is None else show(one) for one in (a, b)), ratio(a, b))

    under = row("Underside, boat axes", "underside_z_m", shown.length)
    drags = [_DASH if one is None else _drag_words(one, shown) for one in (ways.lead, ways.resin)]
    density = ways.mix.density
    return [
        (
            "Density of the casting",
            shown.density(ways.lead.density),
            shown.density(density),
            ratio(ways.lead.density, density),
        ),
        row("Hung mass", "hung_mass_kg", shown.mass),
        row("Length", "length_m", shown.length),
        row("Diameter", "diameter_m", shown.length),
        row("Frontal area", "frontal_area_m2", shown.area),
        row("Wetted area", "wetted_area_m2", shown.area),
        row("Water displaced", "displacement_m3", shown.volume),
        (*under[:3], _DASH),
        (
            f"Drag at {shown.speed(ways.section.speed)}",
            drags[0],
            drags[1],
            ratio(value(lead, "drag_low_n"), value(resin, "drag_low_n")),
        ),
        row("Drag area, lowest", "drag_area_low_m2", shown.area),
        row("Drag area, highest", "drag_area_high_m2", shown.area),
    ]


def _drag_words(side: Side, shown: Shown) -> str:
    if side.drag is None:
        return _DASH
    scale = scale_for(Dimension.FORCE, side.drag.high, shown.units)
    return f"{scale.shown(side.drag.low):#.3g} to {scale.shown(side.drag.high):#.3g} {scale.unit}"


def _casting_lines(ways: ResinJob, shown: Shown) -> list[Line]:
    """Build the table rows for the shot, resin and layers."""
    mix, casting, asked = ways.mix, ways.casting, ways.section
    packing = f"packing {shown.percent(mix.packing)}, give or take {shown.percent(mix.packing_spread)}"
    density = give_or_take(shown.density(mix.density), shown.density(mix.density_spread))
    lines = [Line("Density of shot in resin", density, packing, "density_kg_m3", mix.density)]
    if casting is None:
        return lines
    at_once, layer = asked.room + casting.rise_at_once, asked.room + casting.layer_rise
    spare = f"{shown.percent(asked.spare)} spare"
    spread = worded("give or take {} from the packing alone", shown.mass(casting.mass_spread))
    return [
        *lines,
        Line(
            "Shot", shown.mass(casting.shot), "clean and dry, shaken down in every layer", "casting.shot_kg"
        ),
        Line("Resin and hardener", shown.mass(casting.resin), spare, "casting.resin_kg"),
        Line("Casting", shown.mass(casting.mass), spread, "casting.mass_kg"),
        Line(
            "Filled all at once, it would reach at least",
            shown.temperature(at_once),
            f"in a room at {shown.temperature(asked.room)}; the limit is "
            f"{shown.temperature(asked.highest_temperature)}; resin cures faster as it warms, which is not calculated",
        ),
        Line(
            "Layers, at least",
            worded(f"{casting.layers} of {{}}", shown.length(casting.depth / casting.layers)),
            f"each reaches at least {shown.temperature(layer)}: first cure a test cup of the same depth; pour the next "
            "layer when the last has set and is cold",
            "casting.layers",
            casting.layers,
        ),
    ]
