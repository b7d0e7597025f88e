"""The report's chapters on the bulb: a list of the hung masses, and the bulb's position."""

from __future__ import annotations

import math
from functools import partial
from typing import TYPE_CHECKING

from bulbcast.bulb.body.integrals import second_moments
from bulbcast.bulb.results import BulbResults
from bulbcast.quantities import Shown, worded
from bulbcast.quantities.typed import bought
from bulbcast.report.chapter import (
    Chapter,
    Data,
    Line,
    Picture,
    Table,
    ToBuy,
    Words,
    heads_of,
    record_of,
    row_of,
)
from bulbcast.report.values import Json, point, values_of

if TYPE_CHECKING:
    from bulbcast.drawing.shapes import View


def what_hangs(job: BulbResults) -> Chapter:
    """Table of the hung mass, one row for each of its parts.

    Args:
        job: The results for the bulb.
    """
    bulb, shown = job.bulb, job.shown

    def bar(*, narrow: bool = False) -> View:
        from bulbcast.bulb.views.charts import hung_mass_bar

        return hung_mass_bar(job, narrow=narrow)

    lines = []
    for line in bulb.lines:
        piece = line.piece
        aft, above = (
            "\u2013" if piece.volume == 0.0 else shown.length(moment / piece.volume)
            for moment in (piece.moment_x, piece.moment_z)
        )
        lines.append(
            (
                Line("line", line.name, name="name", value=line.name),
                Line("", "", name="kind", value=line.kind),
                Line("volume", shown.volume(piece.volume), name="volume_m3"),
                Line("density", shown.density(line.density), name="density_kg_m3"),
                Line("mass", shown.mass(line.mass), name="mass_kg"),
                Line("aft of the nose", aft, name="moment_x_kg_m", value=line.density * piece.moment_x),
                Line("above the axis", above, name="moment_z_kg_m", value=line.density * piece.moment_z),
            )
        )
    places = (shown.length(bulb.mass_centre_x), shown.length(bulb.mass_centre_z))
    rows = [*map(row_of, lines), ("hung mass", "", "", shown.mass(bulb.mass), *places)]
    says = (
        f"The lead's density is assumed to be {shown.density(job.wish.cast_density)}: that of sound metal less "
        f"{shown.percent(job.plan.alloy.porosity)} for voids. Material removed is shown as negative. The target is "
        f"{shown.mass(job.wish.target_mass)}. The bulb displaces {shown.volume(bulb.displacement)} of water of "
        f"{shown.density(job.plan.water.density)}."
    )
    return Chapter(
        name="hung-mass-ledger",
        title="What hangs on the fin",
        step="bulb",
        heading="What hangs on the fin",
        parts=(
            Picture(draw=bar, narrow=partial(bar, narrow=True)),
            Table(heads=heads_of(lines), rows=rows, figures=(1, 2, 3, 4, 5), total=True, only="report"),
            Table(rows=[(row[0], row[3]) for row in rows], only="terminal"),
            Words(text=says, style="caption", only="report"),
            Data(values={"bulb": _bulb(job), "ledger": [record_of(one) for one in lines]}),
            _to_buy(job),
        ),
    )


def _to_buy(job: BulbResults) -> ToBuy:
    """The filler to buy: the total mass of the plugs, the bedding and the skin."""
    filled = sum(one.mass for one in job.bulb.lines if one.kind in ("plug", "bedding", "skin"))
    what = "to plug the holes, bed the fin and cover the lead"
    return ToBuy(lines=[Line("Filler", bought(filled, job.shown), what)] if filled > 0.0 else [])


def _bulb(job: BulbResults) -> Json:
    """The bulb's part of plan.json, except the key figures and the position."""
    bulb, body = job.bulb, job.bulb.body
    volume, net = bulb.volume.volume, bulb.net_lead.volume
    moments = second_moments(body)
    return {
        **values_of(body, "diameter_m", "fineness", "width_m", "height_m"),
        "tail_diameter_m": 2.0 * body.tail_radius,
        "max_section_from_nose_m": body.max_at,
        "body_volume_m3": volume,
        "body_centroid_from_nose_m": bulb.volume.centroid_x,
        "body_second_moments_m5": values_of(moments, "about_x", "about_y", "about_z"),
        "prismatic": volume / (0.25 * math.pi * body.diameter**2 * body.length),
        "net_lead_volume_m3": net,
        "lead_mass_kg": job.wish.cast_density * net,
        "target_mass_kg": job.wish.target_mass,
        "mass_centre_m": point(bulb.mass_centre[0], 0.0, bulb.mass_centre[1]),
        "mass_centre_from_nose_m": point(bulb.mass_centre_x, 0.0, bulb.mass_centre_z),
    }


def where_it_hangs(job: BulbResults) -> Chapter:
    """The bulb's position relative to the chord, elastic axis and screws: a label, a figure and a remark for each.

    Args:
        job: The results for the bulb.
    """
    balance, shown, bulb, fin = job.balance, job.shown, job.bulb, job.plan.fin
    twist, off, incidence = balance.twist_at_90, balance.from_screws_middle, bulb.incidence
    tilted = incidence != 0.0
    along, axis = balance.along_chord, balance.from_elastic_axis
    of_chord = f"as a fraction of {shown.length(fin.tip_chord)}, aft of the leading edge"
    of_axis = f"the axis is at {fin.elastic_axis:.3g} of the chord"
    turns = "none"
    # A distance shown as zero has no direction either.
    if shown.torque(abs(twist)) != shown.torque(0.0):
        turns = "tail down, leading edge up" if twist > 0.0 else "nose down, leading edge down"
    origin = "positive above the boat's origin" + ("; at the nose" if tilted else "")
    up = f"the bulb's nose is {'up' if incidence > 0.0 else 'down'}"
    ahead, behind = balance.overhang_fore, balance.overhang_aft
    fore, aft = "balance.overhang_fore_m", "balance.overhang_aft_m"
    middle, of_screws = (
        "balance.from_screws_middle_m",
        "the mass centre, measured from the mean position of the screws",
    )
    under = "the lowest point, including the skin"
    lines = (
        Line(
            "Mass centre along the tip chord",
            f"{along:.3f}",
            of_chord,
            "balance.along_chord",
            along,
            step="bulb",
        ),
        Line(
            "From the fin's elastic axis",
            _side(axis, shown),
            of_axis,
            "balance.from_elastic_axis_m",
            axis,
            step="bulb",
        ),
        Line(
            "Twisting moment at 90 degrees of heel",
            shown.torque(abs(twist)),
            turns,
            "balance.twist_at_90_deg_heel_n_m",
            twist,
        ),
        Line(
            "Overhang ahead of the fin",
            _overhang(ahead, shown),
            f"nose to leading edge; the mass centre is {shown.length(along * fin.tip_chord)} aft of that edge",
            fore,
            ahead,
            sheet=5,
        ),
        Line(
            "Overhang behind the fin",
            _overhang(behind, shown),
            "trailing edge to tail",
            aft,
            behind,
            step="bulb",
        ),
        Line("", "", name=middle, value=None)
        if off is None
        else Line("From the middle of the screws", _side(off, shown), of_screws, middle, off),
        Line(
            "Nose, boat axes",
            shown.length(bulb.nose_x),
            "positive aft of the boat's origin",
            "bulb.nose_x_m",
        ),
        Line("Bulb's axis, boat axes", shown.length(bulb.axis_z), origin, "bulb.axis_z_m"),
        Line(
            "Underside, boat axes", shown.length(bulb.underside_z), under, "bulb.underside_z_m", step="bulb"
        ),
        Line("Incidence", shown.angle(abs(incidence)), up, "bulb.incidence_rad", incidence)
        if tilted
        else Line("", "", name="bulb.incidence_rad", value=incidence),
    )
    return Chapter(
        name="balance",
        title="Position of the bulb",
        step="bulb",
        heading="Position of the bulb",
        parts=(Table(rows=lines),),
    )


def _side(metres: float, shown: Shown) -> str:
    """A distance along the boat in words, for example "2.4 mm aft" or "1.0 mm forward"."""
    return worded(f"{{}} {'aft' if metres >= 0.0 else 'forward'}", shown.length(abs(metres)))


def _overhang(metres: float, shown: Shown) -> str:
    """An overhang in words, or a note that the fin extends beyond the bulb."""
    if metres >= 0.0:
        return shown.length(metres)
    return worded("none: the fin's tip extends {} beyond the bulb", shown.length(-metres))
