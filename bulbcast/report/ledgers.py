"""The ledgers: what hangs and where, the fastening, and the way from finished lead to pattern."""

from __future__ import annotations

import math

from bulbcast.drawing.charts import amount_words, hung_mass_bar, signed, waterfall
from bulbcast.findings import Severity, Step
from bulbcast.job import Job
from bulbcast.materials.patterns import pattern_materials
from bulbcast.quantities import Shown, worded
from bulbcast.report.findings import withheld_card
from bulbcast.report.fittings import fittings_words
from bulbcast.report.markup import figure, paragraph, section, sources, table
from bulbcast.report.words import hanging_rows, shown_or_dash


def hung_section(job: Job) -> str:
    """Every line of the hung mass."""
    bulb, shown = job.bulb, job.shown
    rows = []
    for line in bulb.lines:
        volume = line.piece.volume
        place = (
            (shown.length(line.piece.moment_x / volume), shown.length(line.piece.moment_z / volume))
            if volume != 0.0
            else ("\u2013", "\u2013")
        )
        rows.append(
            (line.name, shown.volume(volume), shown.density(line.density), shown.mass(line.mass), *place)
        )
    rows.append(
        (
            "hung mass",
            "",
            "",
            shown.mass(bulb.mass),
            shown.length(bulb.mass_centre_x),
            shown.length(bulb.mass_centre_z),
        )
    )
    body = figure(hung_mass_bar(job))
    body += table(
        ("line", "volume", "density", "mass", "aft of the nose", "above the axis"),
        rows,
        figures=(1, 2, 3, 4, 5),
        total=True,
    )
    body += paragraph(
        f"Lead at {shown.density(job.wish.cast_density)}: sound metal less {shown.percent(job.plan.alloy.porosity)} of "
        f"voids. What is cut away counts below nought. Target {shown.mass(job.wish.target_mass)}. "
        f"The bulb displaces {shown.volume(bulb.displacement)} of water of {shown.density(job.plan.water.density)}.",
        "caption",
    )
    return section("hung-mass-ledger", "What hangs on the fin", body)


def balance_section(job: Job) -> str:
    """Where it hangs along chord, elastic axis and screws."""
    return section("balance", "Where it hangs", table(("", "", ""), hanging_rows(job), figures=(1,)))


def fastening_section(job: Job) -> str:
    """The screws with the lead and the fin round them; withheld where the fastening is on hold."""
    # A stop withholds the fastening too, but its drawing and walls are where the fault is found.
    held = tuple(one for one in job.withholding(Step.FASTENING) if one.severity is Severity.HOLD)
    if held:
        return section("fastening", "Fastening", withheld_card(job, "The fastening is withheld.", held))
    shown, room = job.shown, job.room
    body = ""
    if room.pocket.wall is not None:
        wall = room.pocket.wall
        body += paragraph(
            f"Thinnest wall of the pocket: {shown.length(wall.thickness)}, {_enough(job, wall.thickness)}, "
            f"{shown.length(wall.x)} from the nose.",
        )
    body += fittings_words(job)
    if not job.plan.screws:
        if job.fittings is None:
            body += paragraph("No screws: the bulb hangs on the bedding in its pocket.")
        return section("fastening", "Fastening", body)
    rows = []
    for number, (screw, asked, cut) in enumerate(
        zip(room.screws, job.plan.screws, job.bulb.screw_cuts, strict=True), start=1
    ):
        rows.append(
            (
                str(number),
                shown.length(screw.at),
                shown.length(cut.at_x),
                shown.length(asked.hole_diameter),
                worded("{}, {} deep", shown.length(cut.recess_diameter), shown.length(asked.recess)),
                shown_or_dash(screw.seat_to_floor, shown),
                shown_or_dash(screw.hole_wall.thickness if screw.hole_wall else None, shown),
                shown_or_dash(screw.recess_wall.thickness if screw.recess_wall else None, shown),
                shown_or_dash(screw.thread, shown),
                shown_or_dash(screw.cheek, shown),
            )
        )
    washers = [
        f"screw {number}: {shown.length(asked.washer_diameter)} across, {shown.length(asked.washer_thickness)} thick"
        for number, asked in enumerate(job.plan.screws, start=1)
        if asked.washer_diameter is not None and asked.washer_thickness is not None
    ]
    body += table(
        (
            "screw",
            "aft of leading edge",
            "aft of nose",
            "hole",
            "recess",
            "lead above seat",
            "wall of hole",
            "wall of recess",
            "thread in fin",
            "fin beside shank",
        ),
        rows,
        figures=(1, 2, 3, 4, 5, 6, 7, 8, 9),
        style="tight",
    )
    if washers:
        body += paragraph(
            f"Washers between seat and head, the recess as wide as they are. {'; '.join(washers)}.", "caption"
        )
    lean = job.bulb.axis.rake
    body += paragraph(
        f"Walls of {shown.length(job.wall_wanted)} or more are wanted. All holes are drilled along the fin's axis"
        + _lean_words(job.plan.fin.rake, lean)
        + " Depths run along the screw from the underside; places are those on the pocket floor.",
        "caption",
    )
    return section("fastening", "Fastening", body)


def _lean_words(rake: float, lean: float) -> str:
    """How the holes lie: raked in the boat, and against the bulb where its own axis is not level."""
    if rake == lean:
        return ", square to the bulb's." if rake == 0.0 else f", raked {degrees_words(rake)}."
    return (
        f", raked {degrees_words(rake)} in the boat and {degrees_words(lean)} from square to the bulb's axis."
    )


def _enough(job: Job, thickness: float) -> str:
    wanted = job.shown.length(job.wall_wanted)
    return f"{wanted} wanted: {'enough' if thickness >= job.wall_wanted else 'short'}"


def degrees_words(radians: float) -> str:
    """An angle in degrees."""
    return f"{math.degrees(radians):.1f} deg".replace(".0 deg", " deg")


def pattern_section(job: Job) -> str:
    """From finished lead to pattern: picture, table, other rules, and what the pattern weighs."""
    shown, pattern = job.shown, job.pattern
    first = pattern.steps[0]
    rows, before = [], first
    for step in pattern.steps:
        start = step is first
        change = step.lead_mass - before.lead_mass
        rows.append(
            (
                step.name,
                amount_words(step.amount, step.is_length, shown),
                shown.length(step.length),
                shown.length(step.width),
                shown.length(step.height),
                shown.volume(step.volume),
                shown.mass(step.lead_mass),
                "" if start else signed(shown.mass(change)),
                "" if start else signed(shown.percent(change / first.lead_mass)),
            )
        )
        before = step
    body = ""
    if job.stopped:
        body += paragraph(
            "A finding says stop: no pattern file was written, and none is to be made.", "stopped"
        )
    body += figure(
        waterfall(job),
        "From finished lead to pattern, each size as the lead it would hold. Bars are cut off at the left so that "
        "the steps can be seen.",
    )
    body += table(
        (
            "after the step",
            "amount",
            "length",
            "width",
            "height",
            "volume",
            "as lead",
            "change",
            "of the lead",
        ),
        rows,
        figures=(1, 2, 3, 4, 5, 6, 7, 8),
        style="tight",
    )
    body += paragraph(
        f"Contraction {shown.percent(pattern.contraction)} of the cold length, give or take "
        f"{shown.percent(job.alloy.contraction_spread)} (one standard deviation). It is linear; mass feels it three "
        "times over, which makes it the largest doubt in the whole pattern.",
        "caption",
    )
    body += _rules(job) + _pattern_on_the_scale(job)
    return section("pattern", "From finished lead to pattern", body)


def _rules(job: Job) -> str:
    shown = job.shown
    rows = [
        (
            cost.rule.name,
            shown.percent(cost.rule.contraction),
            f"{cost.scale:.5f}",
            signed(shown.percent(cost.mass_change)),
            signed(shown.mass(cost.mass_change * job.cast.mass)),
            cost.rule.source,
        )
        for cost in job.rules
    ]
    own = ("this plan", shown.percent(job.pattern.contraction), f"{job.pattern.scale:.5f}", "", "", "")
    return "<h3>Other shops' rules, and the mass each would cost</h3>\n" + table(
        ("rule", "contraction", "pattern scale", "casting heavier by", "", "source"),
        (own, *rows),
        figures=(1, 2, 3, 4),
    )


def _pattern_on_the_scale(job: Job) -> str:
    """What the pattern weighs in its own stuff, before its coat."""
    shown, volume = job.shown, job.pattern.volume
    own = job.plan.pattern.density
    if own is not None:
        rows = [
            ("as planned", shown.density(own), shown.mass(own * volume), shown.other.mass(own * volume), "")
        ]
    else:
        rows = [
            (
                one.name,
                shown.density(one.density),
                shown.mass(one.density * volume),
                _between(one.lowest * volume, one.highest * volume, shown),
                one.note,
            )
            for one in pattern_materials()
        ]
    heads = (
        "material",
        "density",
        "pattern weighs",
        "in other units" if own is not None else "between",
        "note",
    )
    text = "<h3>Weigh the pattern before the mould is made</h3>\n" + paragraph(
        f"The pattern holds {shown.volume(volume)} before its coat of sealer. Solid, without infill, it weighs:"
    )
    text += table(heads, rows, figures=(1, 2, 3))
    if own is None:
        named: dict[str, list[str]] = {}
        for one in pattern_materials():
            named.setdefault(one.source, []).append(one.name)
        text += sources(f"{', '.join(names)}: {source}" for source, names in named.items())
    return text


def _between(low: float, high: float, shown: Shown) -> str:
    return worded("{} to {}", shown.mass(low), shown.mass(high))
