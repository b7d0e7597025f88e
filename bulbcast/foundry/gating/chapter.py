"""Report chapter on the gating: how the metal enters and the air escapes, how long the metal runs, and what holds the
mould together."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import TYPE_CHECKING

from bulbcast.foundry.gating.feeder import WIDEST_KEPT, Feeder, under_saw
from bulbcast.foundry.gating.lift import HOLDING_FACTOR
from bulbcast.foundry.gating.parts import Gating
from bulbcast.foundry.gating.unfed import hollow_counted
from bulbcast.foundry.gating.ways import WayOfFeeding, ways_of
from bulbcast.foundry.pour.chapter import keeping_lines, leave_alone_line, pour_figures, runs_until
from bulbcast.foundry.results import FoundryResults
from bulbcast.quantities import Shown, worded
from bulbcast.quantities.prose import in_her_units
from bulbcast.quantities.typed import bought
from bulbcast.report.chapter import (
    Cautions,
    Chapter,
    Data,
    Json,
    Line,
    Part,
    Picture,
    Table,
    Words,
    heads_of,
    row_of,
)
from bulbcast.report.values import values_of

if TYPE_CHECKING:
    from bulbcast.drawing.shapes import View
    from bulbcast.foundry.melt.work import MeltJob


MUCH = 1.2
"""If the mass of metal poured is more than this many times that of the casting, the report explains why so much is
needed. Our judgement. [-]"""


def gating_chapter(job: FoundryResults, melting: MeltJob) -> Chapter:
    """Build the chapter on the gating, and on the temperatures of the metal and the mould.

    Args:
        job: Results so far.
        melting: The planned melt.
    """
    gating = melting.gating
    parts = [Data(values={"pour": None if job.pour_withheld else pour_figures(melting)})]
    if gating is None:
        return Chapter(name="gating", at="melting", parts=[*parts, Data(values={"gating": None})])
    named = [replace(one, name=one.name and f"gating.{one.name}") for one in gating_lines(job, gating)]

    def view() -> View | None:
        from bulbcast.foundry.gating.view import gating_view

        return gating_view(job)

    def across() -> View | None:
        from bulbcast.foundry.gating.parting_views import across_view

        return across_view(job)

    def face() -> View | None:
        from bulbcast.foundry.gating.parting_views import parting_face_view

        return parting_face_view(job)

    return Chapter(
        name="gating",
        title="Gating: how the metal enters and the air escapes",
        heading="Gating",
        at="melting",
        step="pour",
        parts=[
            *([] if gating.keep is None else [Cautions(codes=("torch-on-feeder",))]),
            Picture(draw=view, caption=f"{{title}}. {{scale}}.{_read_as(gating)}"),
            Picture(draw=across, caption=f"{{title}}. {{scale}}.{_across_read_as(gating)}"),
            Picture(
                draw=face,
                caption="{title}. {scale}. Distances are from the block's nose end. Dashed parts are in the cope.",
            ),
            Table(rows=named),
            *_feedings(job, gating),
            Words(
                text="The forces are those of metal at rest on the projected area of the true cavity. Openings are not "
                "subtracted.",
                style="caption",
                only="report",
            ),
            Data(
                values={
                    f"gating.{name}": value for name, value in _data(gating, bool(job.melt_withheld)).items()
                }
            ),
            *parts,
        ],
    )


def _read_as(gating: Gating) -> str:
    """Explain the lines in the section, which depend on how the mould is parted."""
    cavity = gating.cavity
    said = " Plain grey is metal, up to its level when the mould is full."
    if not cavity.level_parting:
        said += " The cut is along the parting, so you see the face of one part; the circles are its keys."
    elif not cavity.open_above:
        said += (
            " The line from the block's sides to the cavity is the parting; the dashed lines are keys behind or in "
            "front of the cut."
        )
    if gating.ingate is not None:
        said += " The sprue and cup, shown dashed, are next to the bulb."
    return said


def _across_read_as(gating: Gating) -> str:
    """Explain the dashed lines in the cut across the bulb."""
    if gating.ingate is None:
        return " The line is the parting; its keys are dashed."
    return " Dashed lines show the keys, and the sprue, cup and ingate behind the cut."


def gating_lines(job: FoundryResults, gating: Gating) -> Iterator[Line]:
    """Build the table rows for the sizes and positions of the gating, and for what holds the mould together.

    Args:
        job: Results so far.
        gating: Gating of the mould.
    """
    shown = job.shown
    withheld = bool(job.melt_withheld)
    yield from _ways(gating, shown, withheld)
    feed, rest = (
        shown.percent(gating.feed),
        "of the liquid's volume; the pattern's contraction allowance covers the rest",
    )
    yield Line("Shrinkage until solid", feed, rest, "feed_demand", gating.feed)
    yield from _forces(job, gating)
    how = "simulated" if gating.simulated else "largest section, as a long round bar in its mould"
    thin = f"{shown.length(2.0 * gating.cavity.thin_radius)} thick; {runs_until(job)}"
    runs = shown.duration(gating.thin_time)
    yield Line("Metal runs in the thinnest end for", runs, thin, "thin_end_freezes_s", step="pour")
    yield Line("The casting freezes in", shown.duration(gating.thick_time), how, "casting_freezes_s")
    if gating.feeder_time is not None:
        how = f"{'simulated' if gating.simulated else 'as a long round bar'}, {_left(gating)}"
        yield Line("The feeder freezes in", shown.duration(gating.feeder_time), how, "feeder_freezes_s")
    yield from keeping_lines(gating, shown, withheld=withheld)
    yield leave_alone_line(gating, shown)


def _ways(gating: Gating, shown: Shown, withheld: bool) -> Iterator[Line]:
    """Build the table rows on the choke, sprue, vents and feeder, or on the level mark of an open mould."""
    choke, sprue, feeder, mark = gating.choke, gating.sprue, gating.feeder, gating.mark
    if choke is not None and sprue is not None:
        head = f"{shown.area(choke.area)}; effective head {shown.length(choke.head)}"
        yield Line("Choke, at the sprue's foot", shown.length(choke.diameter), head, step="mould")
        tapered = (
            f"{shown.length(sprue.height)} high, tapered to run full; {shown.length(gating.sprue_at)} from the nose, "
            "down to the parting beside the bulb"
        )
        yield Line("Sprue's mouth", shown.length(sprue.top_diameter), tapered, "sprue.top_diameter_m")
    if gating.ingate is not None:
        size = worded("{} by {}", shown.length(gating.ingate.width), shown.length(gating.ingate.depth))
        cut = (
            f"width by depth, cut into the drag's face; {shown.length(gating.ingate.length)} from the middle of the "
            "sprue's foot to the bulb; twice the choke's area, and sawn off with the sprue"
        )
        yield Line("Ingate", size, cut)
    if gating.vents:
        places = " and ".join(shown.length(vent.at) for vent in gating.vents)
        each = worded(f"{len(gating.vents)} of {{}}", shown.length(gating.vents[0].diameter))
        yield Line("Vents", each, f"at {places} from the nose; equal in total area to the choke")
    if feeder is not None:
        yield from _feeder(gating, feeder, shown, withheld)
    if mark is not None:
        rim = "above the flat face, with a rim round it; planed off when cold"
        yield Line("Level mark", shown.length(mark.above_face), rim, "level_mark.above_face_m")
        mean = f"in the middle; {shown.length(mark.mean_sink)} on average"
        yield Line("Expected sink", shown.length(mark.middle_sink), mean)


def _left(gating: Gating) -> str:
    """Description of how a feeder is treated, shown with its freezing time."""
    way = None if gating.feeder is None else gating.feeder.way
    if way == "kept" and gating.simulated:
        return "kept liquid as below, then left alone"
    return "without the effect of its sleeve" if way == "sleeved" else "with no more topping up"


def stub_masses(gating: Gating, feeder: Feeder) -> tuple[float, float]:
    """Mass of the part of the feeder that is sawn off level with the casting's highest point, and mass of the rest,
    which is filed flush. [kg]

    Args:
        gating: Gating of the mould.
        feeder: Feeder of that gating.
    """
    left = under_saw(gating.cavity.skin, gating.cavity.high_end, feeder)
    density = gating.cast_mass / gating.cavity.volume
    return density * (feeder.volume - left), density * left


def _feeder(gating: Gating, feeder: Feeder, shown: Shown, withheld: bool) -> Iterator[Line]:
    """Build the table rows for the feeder's size, position and purpose, and for the part that is sawn off."""
    why = {
        "width": f"{WIDEST_KEPT:g} of the bulb's width there, so that its neck stays open",
        "modulus": "needed for its modulus, 1.2 times the largest section's",
        "feed": "needed to make up for the casting's shrinkage",
        "given": "as given",
    }[feeder.rule]
    place = {
        "pocket": f"over the pocket, where metal is cut away later, {shown.length(feeder.at)} from the nose",
        "hot spot": f"on the thickest part, {shown.length(feeder.at)} from the nose",
        "end": f"over the {gating.cavity.high_end}, which faces up; the metal is poured in through it",
    }[feeder.over]
    size = worded("{} by {}", shown.length(feeder.diameter), shown.length(feeder.height))
    top = f"{shown.length(feeder.top_diameter)} at the top"
    yield Line("Feeder", size, f"diameter by height, {top}, {place}; {why}", step="mould")
    how = {
        "kept": "kept liquid with a torch and topped up",
        "sleeved": "in a ceramic fibre sleeve, its top covered with dry fibre; no paper or wood",
        "alone": "left alone from the start",
    }[feeder.way]
    yield Line("How it feeds", feeder.way, how)
    cooled = "with the sleeve's effect" if feeder.way == "sleeved" else "cooled through its side and bare top"
    cooled += f"; the largest section's is {shown.length(gating.cavity.thick_modulus)}"
    yield Line("Its modulus", shown.length(feeder.modulus), cooled, "feeder.modulus_m")
    sawn, filed = stub_masses(gating, feeder)
    stub = "" if withheld else f"{shown.mass(sawn)}; "
    rest = "" if withheld else f", {shown.mass(filed)},"
    level = {
        None: f"{shown.length(0.5 * gating.cavity.height)} above the bulb's axis, level with the casting's top",
        "nose": "square to the axis, level with the nose",
        "tail": "square to the axis, level with the tail",
    }[gating.cavity.high_end]
    yield Line(
        "To be sawn off",
        worded("a stub of {}", shown.length(feeder.diameter)),
        f"{stub}saw {level}, leaving the full finish allowance. File what is left of the stub{rest} flush with "
        "the skin",
    )


def _feedings(job: FoundryResults, gating: Gating) -> Iterator[Part]:
    """Compare the feeding methods that a builder can choose from."""
    cooling, shown, withheld = job.cooling, job.shown, bool(job.melt_withheld)
    simulated = None if cooling is None else cooling.cavity_share * gating.cast_mass
    ways = ways_of(job.poured, gating, simulated=simulated)
    if not ways:
        yield Data(values={"gating.ways": None})
        return
    rows = [_feeding(one, gating, shown, simulated=cooling is not None) for one in ways]
    yield Table(
        rows=[row_of(row) for row in rows],
        heads=heads_of(rows),
        figures=(1, 2, 3, 4),
        heading="Feeding methods",
        caption="Feeding methods",
        withheld=withheld,
    )
    said = (
        "The amounts left empty are the largest found in simulated castings of 0.5 to 140 kg; --cooling calculates the "
        "amount for your casting. Up to a fineness of 12, a second feeder gains nothing. In a bulb poured on end and "
        "fed through the nose, 0.2 to 0.9 % stays empty."
    )
    if hollow_counted(job.plan):
        said += (
            " All four rows are for the bulb as planned, but its size depends on the feeding method: without a feeder "
            "it is larger by the volume left empty."
        )
    if gating.poured > MUCH * gating.cast_mass and job.alloy.liquidus > job.alloy.solidus:
        said += (
            " This metal freezes over a range and stops running in the thin end sooner than pure lead, so the sprue, "
            "ingate and vents are wider and take more metal."
        )
    yield Words(text=in_her_units(said, shown.units), style="caption", only="report")
    # The terminal has no room for the column that says how.
    others = [f'"{one.way}"' for one in ways if not one.planned and not one.too_wide]
    yield Words(
        text=f"To choose another method, type under [pour]: feeding = {' or '.join(others)}.", only="terminal"
    )
    yield Data(
        values={
            "gating.ways": [
                {
                    **values_of(one, "way", "planned", "too_wide", "too_long"),
                    "poured_kg": None if withheld else one.poured,
                    "diameter_m": one.diameter,
                    "tend_s": one.tend,
                    "hollow_kg": None if withheld else one.hollow,
                }
                for one in ways
            ]
        }
    )


def _feeding(one: WayOfFeeding, gating: Gating, shown: Shown, *, simulated: bool) -> tuple[Line, ...]:
    """Table row for one feeding method: metal poured, its ratio to the casting, time with a torch, metal missing
    because of a hollow, and the entry to type for the method."""
    what = {
        "kept": "kept liquid with a torch",
        "sleeved": "in a fibre sleeve",
        "alone": "left alone",
        "none": "no feeder",
    }[one.way]
    if one.planned:
        how = "planned"
    elif one.too_wide:
        how = "no: wider than the bulb"
    else:
        how = f'feeding = "{one.way}"' + ("; longer than you allow" if one.too_long else "")
    # A column can range from a gram to kilograms, so each value has the unit that reads best.
    empty = "see --cooling" if one.hollow is None else f"{shown.mass(one.hollow)}"
    if one.hollow is not None and not (one.planned and simulated) and one.way != "none":
        empty = f"up to {bought(one.hollow, shown)}"
    poured = one.poured
    return (
        Line("Feeder", what),
        Line("poured", "" if poured is None else shown.mass(poured)),
        Line("times the casting", "" if poured is None else f"{poured / gating.cast_mass:.2f}"),
        Line("torch", shown.duration(one.tend) if one.tend > 0.0 else "none"),
        Line("left empty", empty),
        Line("[pour]", how),
    )


def _forces(job: FoundryResults, gating: Gating) -> Iterator[Line]:
    """Build the table rows on the forces that lift the cope, push the halves apart, and float cores and studs."""
    shown, rough, force = job.shown, job.shown.workshop, gating.force
    if force is not None:
        clamp = rough.force(force.clamp)
        if gating.cavity.level_parting:
            head = f"metal at rest, {shown.length(gating.head)} above the parting"
            yield Line("Lift on the cope", rough.force(force.force), head)
            less = worded(
                "or clamp with {}; twice the lift, less the cope's own {}", clamp, rough.mass(force.own_mass)
            )
            yield Line("Weights to lay on the cope", rough.mass(force.weight), less, step="pour")
        else:
            where = "metal at rest in the cavity, feeder and sprue"
            yield Line("Force on each half", rough.force(force.force), where)
            yield Line("Clamp it with", clamp, "in total; twice the force", step="pour")
    for lift in gating.cores:
        held = f"hold it with {rough.force(lift.held.wanted)}" if lift.held.force > 0.0 else "it sinks"
        what = f"Lift on the core of {lift.core.cut}"
        yield Line(what, shown.force(lift.held.force), f"{lift.core.material}; {held}")
    for number, stud in enumerate(job.stud_lifts, start=1):
        held = (
            f"it floats in lead; hold it with {rough.force(HOLDING_FACTOR * stud)}"
            if stud > 0.0
            else "it sinks"
        )
        yield Line(f"Lift on stud {number}", shown.force(stud), held)


def _data(gating: Gating, withheld: bool) -> Json:
    """Data not shown in any single table row. Masses of metal are null if the melt is withheld."""
    cavity, feeder, sprue, choke = gating.cavity, gating.feeder, gating.sprue, gating.choke
    mark, force = gating.mark, gating.force
    said: Json = {
        "cavity_volume_m3": cavity.volume,
        **values_of(cavity, "modulus_m", "thick_modulus_m", "shadow_m2"),
        **values_of(gating, "over_crown_m", "head_m", "fill_time_s", "pour_rate_kg_s"),
        "times_simulated": gating.simulated,
        "longest_pause_s": gating.pause,
        "vents": [{"from_nose_m": vent.at, "diameter_m": vent.diameter} for vent in gating.vents],
        "cores": [
            {
                "name": lift.core.name,
                "material": lift.core.material,
                "volume_m3": lift.core.volume,
                "floating_n": lift.floating,
                "thrust_n": lift.thrust,
                "to_be_held_n": lift.held.wanted,
            }
            for lift in gating.cores
        ],
        "poured_kg": None if withheld else gating.poured,
        "feeder_kg": None if withheld else gating.feeder_mass,
        "above_cope_m": gating.above_cope,
        "choke": None,
        "force": None,
    }
    if choke is not None:
        said["choke"] = values_of(choke, "head_m", "area_m2", "diameter_m")
    if sprue is None:
        said["sprue"] = None
    else:
        said["sprue.from_nose_m"] = gating.sprue_at
        said["sprue.height_m"] = sprue.height
        said["sprue.foot_diameter_m"] = sprue.foot_diameter
    if gating.ingate is None:
        said["ingate"] = None
    else:
        said["ingate"] = values_of(gating.ingate, "width_m", "depth_m", "length_m", "aside_m")
    if feeder is None:
        said |= {"feeder": None, "feeder_freezes_s": None}
    else:
        # In an upright mould, the feeder is over the upper end.
        said["feeder.from_nose_m"] = feeder.at if cavity.high_end is None else None
        said["feeder.way"], said["feeder.rule"], said["feeder.over"] = feeder.way, feeder.rule, feeder.over
        said |= {
            f"feeder.{name}": value
            for name, value in values_of(
                feeder,
                "diameter_m",
                "top_diameter_m",
                "height_m",
                "foot_m",
                "volume_m3",
                "modulus_wanted_m",
                "volume_wanted_m3",
            ).items()
        }
        sawn, filed = (None, None) if withheld else stub_masses(gating, feeder)
        said |= {"feeder.sawn_off_kg": sawn, "feeder.filed_kg": filed}
    if gating.keep is None:
        said |= {"keep_liquid_s": None, "top_up_kg": None, "top_ups": []}
    else:
        said["keep_liquid_least_s"] = gating.keep_least
        said["top_ups"] = [
            {"until_s": one.until, "in_all_kg": None if withheld else one.in_all} for one in gating.top_ups
        ]
        if withheld:
            said["top_up_kg"] = None
    if mark is None:
        said["level_mark"] = None
    else:
        said["level_mark.mean_sink_m"] = mark.mean_sink
    if force is not None:
        said["force"] = {
            "on": "cope" if cavity.level_parting else "each half",
            "static_n": force.force,
            "to_be_held_n": force.wanted,
            **values_of(force, "own_mass_kg", "weight_kg", "clamp_n"),
        }
    return said
