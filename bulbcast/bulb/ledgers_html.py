"""The ledgers: what hangs and where, the fastening, and the way from finished lead to pattern."""

from __future__ import annotations

import math

from bulbcast.bulb.fastening.fittings_html import fittings_words
from bulbcast.bulb.results import BulbResults
from bulbcast.bulb.views.charts import hung_mass_bar
from bulbcast.findings import Severity, Step
from bulbcast.quantities import Shown, worded
from bulbcast.quantities.showing import shown_or_dash
from bulbcast.report.findings_html import withheld_card
from bulbcast.report.markup import figure, paragraph, section, table


def hung_section(job: BulbResults) -> str:
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


def balance_section(job: BulbResults) -> str:
    """Where it hangs along chord, elastic axis and screws."""
    return section("balance", "Where it hangs", table(("", "", ""), hanging_rows(job), figures=(1,)))


def fastening_section(job: BulbResults) -> str:
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


def _enough(job: BulbResults, thickness: float) -> str:
    wanted = job.shown.length(job.wall_wanted)
    return f"{wanted} wanted: {'enough' if thickness >= job.wall_wanted else 'short'}"


def degrees_words(radians: float) -> str:
    """An angle in degrees."""
    return f"{math.degrees(radians):.1f} deg".replace(".0 deg", " deg")


def side_word(metres: float, shown: Shown) -> str:
    """A distance along the boat in words: "2.4 mm aft", "1.0 mm forward"."""
    return worded(f"{{}} {'aft' if metres >= 0.0 else 'forward'}", shown.length(abs(metres)))


def overhang_words(metres: float, shown: Shown) -> str:
    """An overhang, or that the fin reaches beyond the bulb."""
    if metres >= 0.0:
        return shown.length(metres)
    return worded("none: the fin's tip reaches {} beyond it", shown.length(-metres))


def hanging_rows(job: BulbResults) -> tuple[tuple[str, str, str], ...]:
    """Where the bulb hangs under the fin: what, how much, what it means.

    Args:
        job: The results.
    """
    balance, shown = job.balance, job.shown
    chord = job.plan.fin.tip_chord
    rows = [
        (
            "Mass centre along the tip chord",
            f"{balance.along_chord:.3f}",
            f"as a fraction of {shown.length(chord)}, from the leading edge aft",
        ),
        (
            "From the fin's elastic axis",
            side_word(balance.from_elastic_axis, shown),
            f"the axis lies at {job.plan.fin.elastic_axis:g} of the chord",
        ),
        (
            "Twisting moment at 90 degrees of heel",
            shown.torque(abs(balance.twist_at_90)),
            "tail down, leading edge up" if balance.twist_at_90 > 0.0 else "nose down, leading edge down"
            if balance.twist_at_90 < 0.0 else "none",
        ),
        ("Overhang ahead of the fin", overhang_words(balance.overhang_fore, shown), "nose to leading edge"),
        ("Overhang behind the fin", overhang_words(balance.overhang_aft, shown), "trailing edge to tail"),
    ]  # fmt: skip
    if balance.from_screws_middle is not None:
        rows.append(
            (
                "From the middle of the screws",
                side_word(balance.from_screws_middle, shown),
                "the mass centre, against the mean of the screws' places",
            )
        )
    incidence = job.bulb.incidence
    rows += [
        ("Nose, boat axes", shown.length(job.bulb.nose_x), "aft of the boat's origin is positive"),
        (
            "Bulb's axis, boat axes",
            shown.length(job.bulb.axis_z),
            "above the boat's origin is positive" + ("" if incidence == 0.0 else "; at the nose"),
        ),
        ("Underside, boat axes", shown.length(job.bulb.underside_z), "the lowest point, skin included"),
    ]
    if incidence != 0.0:
        rows.append(
            (
                "Incidence",
                shown.angle(abs(incidence)),
                f"the bulb's nose is {'up' if incidence > 0.0 else 'down'}",
            )
        )
    return tuple(rows)
