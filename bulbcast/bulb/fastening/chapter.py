"""The report's chapter on the fastening: screws, pins and studs, and the lead and fin material round them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

from bulbcast.bulb.cuts.walls import Wall
from bulbcast.bulb.hung.ledger import bond_between
from bulbcast.bulb.results import BulbResults
from bulbcast.findings import Severity, Step
from bulbcast.materials.screws import metal_of_screw
from bulbcast.quantities import worded
from bulbcast.quantities.checked import STANDARD_GRAVITY
from bulbcast.quantities.showing import degrees_words, shown_or_dash
from bulbcast.quantities.typed import length_sold
from bulbcast.report.chapter import (
    Chapter,
    Data,
    Line,
    Part,
    Table,
    ToBuy,
    Withheld,
    Words,
    heads_of,
    record_of,
    row_of,
)
from bulbcast.report.values import Json, number, point

_DASH = "\u2013"
Lines = Sequence[Sequence[Line]]
_FILM = 2e-4
"""Thickness of a thin film of filled epoxy, used as an example to show the effect of a bond line. Our judgement. [m]"""


def fastening(job: BulbResults) -> Chapter:
    """Chapter on the fastening, withheld if the fastening is on hold.

    Args:
        job: The results, with the bulb and the lead and fin round its cuts.
    """
    screws, pins, studs = _screws(job), _pins(job), _studs(job)
    # A stop withholds the fastening too, but a builder finds the fault in its drawing and walls.
    held = tuple(one for one in job.withholding(Step.FASTENING) if one.severity is Severity.HOLD)
    parts: list[Part] = []
    if held:
        brief = tuple(one for one in held if job.figures_withheld(one))
        parts.append(Withheld(title="The fastening is withheld.", reasons=held, brief=brief, only="report"))
    else:
        parts += _pocket(job)
        parts += _table(pins, _drilled(job))
        parts += _table(
            studs, "Studs are cast in along the fin's axis. The lift is given as an equivalent mass"
        )
        parts += _table(screws)
        parts += _below(job)
    walls: Json = {
        "wanted_m": job.wall_wanted,
        "pocket": _wall(job.room.pocket.wall),
        "screws": [record_of(one) for one in screws],
    }
    data: Json = {"walls": walls}
    if job.fittings is not None:
        data["fastenings"] = {
            "blade_through": job.bulb.through,
            "bond_volume_m3": job.bulb.bond.volume,
            "cross_pins": [record_of(one) for one in pins],
            "studs": [record_of(one) for one in studs],
        }
    return Chapter(
        name="fastening", title="Fastening", step="bulb", parts=(*parts, Data(values=data), _to_buy(job))
    )


def _to_buy(job: BulbResults) -> ToBuy:
    """Lines of the shopping list for screws and pins, grouped by size."""
    sizes = Counter[tuple[str, str]]()

    def length(metres: float) -> str:
        return length_sold(metres, job.shown)

    for one in job.plan.screws:
        wide = length(one.head_diameter)
        head = (
            f"threaded rod, nut {wide} wide"
            if one.head == "nut"
            else f"{one.head or ''} head {wide} wide".lstrip()
        )
        metal = metal_of_screw(one.density) or f"metal of {job.shown.workshop.density(one.density)}"
        sizes[f"Screws, {one.size or length(one.diameter)} by {length(one.length)}", f"{head}, {metal}"] += 1
        if one.washer_diameter is not None:
            sizes[f"Washers, {length(one.washer_diameter)} wide", ""] += 1
    for pin in job.bulb.pin_cuts:
        sizes[f"Pins, {length(pin.diameter)} by {length(pin.length)}", ""] += 1
    for stud in job.bulb.stud_cuts:
        sizes[f"Rods, {length(stud.diameter)} by {length(stud.above + stud.below)}", ""] += 1
    return ToBuy(lines=[Line(what, str(count), remark) for (what, remark), count in sizes.items()])


def _table(items: Lines, caption: str = "") -> list[Part]:
    """A table with one row for each fastening and figures in all columns but the first; nothing if there are no
    fastenings."""
    if not items:
        return []
    rows = [row_of(one) for one in items]
    figures = range(1, len(rows[0]))
    return [
        Table(
            heads=heads_of(items), rows=rows, figures=figures, caption=caption, style="tight", only="report"
        )
    ]


def _wall(wall: Wall | None) -> Json | None:
    return None if wall is None else {"thickness_m": wall.thickness, "at_m": point(wall.x, wall.y, wall.z)}


def _pocket(job: BulbResults) -> list[Part]:
    """Paragraphs on the thinnest wall, and on two halves bonded to a blade."""
    shown, wall, wanted = job.shown, job.room.pocket.wall, job.wall_wanted
    parts: list[Part] = []
    if wall is not None:
        enough = "enough" if wall.thickness >= wanted else "too thin"
        text = (
            f"Thinnest wall of the pocket: {shown.length(wall.thickness)} ({shown.length(wanted)} required: {enough}), "
            f"{shown.length(wall.x)} from the nose."
        )
        parts.append(Words(text=text, only="report"))
    if job.wish.fin.bonded:
        parts.append(Words(text=" ".join(_halves(job)), only="report"))
    return parts


def _halves(job: BulbResults) -> Iterator[str]:
    """Paragraphs on how two halves meet, and on the effect of the filler between them."""
    bulb, shown, line = job.bulb, job.shown, job.wish.fin.bond_line
    if bulb.through:
        yield (
            "The fin's blade goes right through: the bulb is cast in two halves, parted along the centreplane, each "
            "with half of the slot. They are bonded to the blade and to each other. The blade is trimmed flush with the "
            "underside."
        )
    else:
        yield "The bulb is cast in two halves, parted along the centreplane, and bonded face to face round the fin."
    if line > 0.0:
        yield (
            f"A bond line of {shown.length(line)} keeps the halves that far apart. They still contain the same amount of "
            "lead."
            if bulb.through
            else f"A bond line of {shown.length(line)} keeps them that far apart. The bulb is that much wider, and its "
            "lead is lighter by the weight of the bond."
        )
        return
    film = shown.length(_FILM)
    yield (
        f"No bond line is given. A bond line of {film}, for example, weighs {shown.mass(_bond_mass(job, _FILM))}, which "
        f"makes the lead that much lighter and the bulb {film} wider. Measure the gap in a dry fit and enter it as "
        "bond_line under [fin]."
    )


def _drilled(job: BulbResults) -> str:
    """Sentence on how the holes for the pins are drilled."""
    through, every = len(job.bulb.fin_pins), len(job.bulb.pin_cuts)
    if through == every:
        return "Cross pins, drilled through the lead and the fin together once the fin is bedded"
    if through == 0:
        return "Cross pins, drilled through both halves once they are bonded, clear of the fin"
    return "Cross pins, drilled through both halves and any part of the fin between them once everything is bonded"


def _bond_mass(job: BulbResults, thickness: float) -> float:
    """Mass of the filler between two halves, and of the extra filler that the pocket then needs. [kg]"""
    bulb = job.bulb
    bond, widened = bond_between(bulb.body, bulb.axis, bulb.pocket, thickness)
    return job.wish.filler_density * (bond.volume + widened.volume)


def _screws(job: BulbResults) -> Lines:
    shown = job.shown

    def figure(label: str, metres: float | None, name: str) -> Line:
        return Line(label, shown_or_dash(metres, shown), "", name, number(metres))

    def wall(label: str, found: Wall | None, name: str) -> Line:
        return Line(label, shown_or_dash(found.thickness if found else None, shown), "", name, _wall(found))

    items = []
    for count, (room, cut) in enumerate(zip(job.room.screws, job.bulb.screw_cuts, strict=True), start=1):
        deep = worded("{}, {} deep", shown.length(cut.recess_diameter), shown.length(cut.recess))
        items.append(
            (
                Line("screw", str(count)),
                Line("aft of leading edge", shown.length(room.at)),
                Line("aft of nose", shown.length(cut.at_x)),
                Line("hole", shown.length(cut.hole_diameter)),
                Line("recess", deep),
                figure("lead above seat", room.seat_to_floor, "seat_to_floor_m"),
                wall("wall of hole", room.hole_wall, "hole"),
                wall("wall of recess", room.recess_wall, "recess"),
                figure("thread in fin", room.thread, "thread_above_floor_m"),
                Line(
                    "fin beside shank", shown_or_dash(room.cheek, shown), "", "fin_beside_shank_m", room.cheek
                ),
            )
        )
    return items


def _pins(job: BulbResults) -> Lines:
    shown, bulb = job.shown, job.bulb
    rooms = () if job.fittings is None else job.fittings.pins
    items = []
    for count, (room, pin) in enumerate(zip(rooms, bulb.pin_cuts, strict=True), start=1):
        x, z = pin.centre(bulb.axis)
        beside = room.in_fin if room.off_pocket < 0.0 else None
        items.append(
            (
                Line("cross pin", str(count)),
                Line("aft of nose", shown.length(x), name="centre_from_nose_m", value=point(x, 0.0, z)),
                Line("above the axis", shown.length(z)),
                Line("pin", worded("{}, {} long", shown.length(pin.diameter), shown.length(pin.length))),
                Line("", "", name="diameter_m", value=pin.diameter),
                Line("", "", name="length_m", value=pin.length),
                Line("", "", name="density_kg_m3", value=pin.density),
                Line("hole", shown.length(pin.hole_diameter), name="hole_diameter_m"),
                Line("fin beside it", shown_or_dash(beside, shown), "", "fin_beside_m", number(beside)),
                Line("lead each side", shown.length(room.grip), name="grip_in_lead_each_side_m"),
                Line("", "", name="proud_m", value=room.proud),
                Line("wall", shown_or_dash(room.wall, shown), name="wall_m", value=number(room.wall)),
            )
        )
    return items


def _studs(job: BulbResults) -> Lines:
    shown = job.shown
    rooms = () if job.fittings is None else job.fittings.studs
    items = []
    for count, (room, stud, lift) in enumerate(
        zip(rooms, job.bulb.stud_cuts, job.stud_lifts, strict=True), start=1
    ):
        wall = None if room.wall is None else room.wall.thickness
        weighs = shown.mass(lift / STANDARD_GRAVITY) if lift > 0.0 else "sinks"
        below = shown_or_dash(room.lead_below, shown)
        bore = shown.length(stud.bore) if stud.bore > 0.0 else _DASH
        items.append(
            (
                Line("stud", str(count)),
                Line("aft of nose", shown.length(stud.at_x), name="at_floor_from_nose_m"),
                Line("thick", shown.length(stud.diameter), name="diameter_m"),
                Line("bore", bore, name="bore_m", value=stud.bore),
                Line("in the lead", shown.length(stud.below), name="below_floor_m"),
                Line("in the fin", shown.length(stud.above), name="above_floor_m"),
                Line("", "", name="density_kg_m3", value=stud.density),
                Line("lead below", below, name="lead_below_m", value=room.lead_below),
                Line("wall", shown_or_dash(wall, shown), name="wall_m", value=number(wall)),
                Line("", "", name="fin_beside_m", value=room.cheek),
                Line("lift in the melt", weighs, name="lift_in_melt_n", value=lift),
            )
        )
    return items


def _below(job: BulbResults) -> list[Part]:
    """Text under the table of screws, or in place of it."""
    shown, plan = job.shown, job.plan
    if not plan.screws:
        text = "No screws: the bulb is held only by the bedding in its pocket."
        return [Words(text=text, only="report")] if job.fittings is None else []
    washers = "; ".join(
        f"screw {count}: {shown.length(one.washer_diameter)} across, {shown.length(one.washer_thickness)} thick"
        for count, one in enumerate(plan.screws, start=1)
        if one.washer_diameter is not None and one.washer_thickness is not None
    )
    rake, lean = plan.fin.rake, job.bulb.axis.rake
    if rake != lean:
        way = f", raked {degrees_words(rake)} in the boat and {degrees_words(lean)} out of square with the bulb's axis."
    else:
        way = ", square to the bulb's axis." if rake == 0.0 else f", raked {degrees_words(rake)}."
    said = (
        f"Washers go between the seat and the head, and each recess is as wide as its washer ({washers})."
        if washers
        else "",
        f"Walls of {shown.length(job.wall_wanted)} or more are required. All holes are drilled along the fin's axis{way} "
        "Depths are measured along the screw from the underside, and positions on the pocket floor.",
    )
    return [Words(text=text, style="caption", only="report") for text in said if text]
