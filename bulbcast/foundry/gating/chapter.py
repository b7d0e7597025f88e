"""The gating: where the metal goes in and out, how long it runs, and what holds the mould."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import TYPE_CHECKING

from bulbcast.foundry.gating.design import Gating
from bulbcast.foundry.gating.lift import HOLDING_FACTOR
from bulbcast.foundry.pour.chapter import leave_alone_line, pour_figures, runs_until
from bulbcast.foundry.results import FoundryResults
from bulbcast.quantities import Shown, worded
from bulbcast.report.chapter import Chapter, Data, Json, Line, Picture, Table, Words
from bulbcast.report.values import values_of

if TYPE_CHECKING:
    from bulbcast.drawing.shapes import View
    from bulbcast.foundry.melt.work import MeltJob


def gating_chapter(job: FoundryResults, melting: MeltJob) -> Chapter:
    """The gating, and the heat of metal and mould.

    Args:
        job: The results.
        melting: Its melt.
    """
    gating = melting.gating
    parts = [Data(values={"pour": None if job.pour_withheld else pour_figures(melting)})]
    if gating is None:
        return Chapter(name="gating", at="melting", parts=[*parts, Data(values={"gating": None})])
    named = [replace(one, name=one.name and f"gating.{one.name}") for one in gating_lines(job, gating)]

    def view() -> View | None:
        from bulbcast.foundry.gating.view import gating_view

        return gating_view(job)

    return Chapter(
        name="gating",
        title="Gating: the way in and out of the metal",
        short="Gating",
        heading="Gating",
        at="melting",
        parts=[
            Picture(draw=view, caption=f"{{title}}. {{scale}}.{_read_as(gating)}"),
            Table(rows=named),
            Words(
                text="Forces are those of metal at rest, on the shadow of the true cavity; the openings are not taken "
                "off. The riser is one that is left alone: kept liquid with a torch and topped up, a smaller one will do.",
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
    """How the section's lines are read, by how the mould parts."""
    cavity = gating.cavity
    said = " Plain grey: the metal, up to its level when the mould is full."
    if not cavity.level_parting:
        said += " The cut lies in the parting, so one part's face is seen; rounds: its keys."
    elif not cavity.open_above:
        said += " The line from the block's sides to the cavity is the parting; dashed: keys beside the cut."
    if gating.sprue is not None:
        said += " The sprue is drawn in the plane of the section."
    return said


def gating_lines(job: FoundryResults, gating: Gating) -> Iterator[Line]:
    """Sizes and places of the gating, and what holds the mould.

    Args:
        job: The results.
        gating: Of its mould.
    """
    shown = job.shown
    yield from _ways(gating, shown)
    feed, rest = shown.percent(gating.feed), "of the liquid; the pattern's contraction takes the rest"
    yield Line("What shrinks before it is solid", feed, rest, "feed_demand", gating.feed)
    yield from _forces(job, gating)
    how = "simulated" if gating.simulated else "its largest section, as a long round bar in its mould"
    thin = f"{shown.length(2.0 * gating.cavity.thin_radius)} thick; {runs_until(job)}"
    runs = shown.duration(gating.thin_time)
    yield Line("Metal runs in the thinnest end for", runs, thin, "thin_end_freezes_s")
    yield Line("The casting freezes in", shown.duration(gating.thick_time), how, "casting_freezes_s")
    if gating.riser_time is not None:
        how = f"{'simulated' if gating.simulated else 'as a long round bar'}, topped up no more"
        yield Line("The riser freezes in", shown.duration(gating.riser_time), how, "riser_freezes_s")
    yield leave_alone_line(gating, shown)


def _ways(gating: Gating, shown: Shown) -> Iterator[Line]:
    """Choke, sprue, vents, riser; or the level mark."""
    choke, sprue, riser, mark, cavity = gating.choke, gating.sprue, gating.riser, gating.mark, gating.cavity
    if choke is not None and sprue is not None:
        head = f"{shown.area(choke.area)}; effective head {shown.length(choke.head)}"
        yield Line("Choke, at the sprue's foot", shown.length(choke.diameter), head)
        tapered = (
            f"{shown.length(sprue.height)} high, tapered so that it runs full; {shown.length(gating.sprue_at)} from the "
            "nose, down to the parting beside the bulb"
        )
        yield Line("Sprue's mouth", shown.length(sprue.top_diameter), tapered, "sprue.top_diameter_m")
    if gating.vents:
        places = " and ".join(shown.length(vent.at) for vent in gating.vents)
        each = worded(f"{len(gating.vents)} of {{}}", shown.length(gating.vents[0].diameter))
        yield Line("Vents", each, f"at {places} from the nose; together as wide as the choke")
    if riser is not None:
        why = {
            "modulus": "its modulus, 1.2 times the largest section's, asks for it",
            "feed": "what the casting shrinks by asks for it",
            "given": "as given",
        }[riser.rule]
        place = f"on the thickest part, {shown.length(cavity.thick_at)} from the nose"
        if cavity.high_end is not None:
            place = f"over the {cavity.high_end}, which is up; the mould is poured through it"
        size = worded("{} by {}", shown.length(riser.diameter), shown.length(riser.height))
        yield Line("Riser", size, f"across by high, {place}; {why}")
        cooled = f"the largest section's is {shown.length(cavity.thick_modulus)}; side and bare top cool it"
        yield Line("Its modulus", shown.length(riser.modulus), cooled, "riser.modulus_m")
    if mark is not None:
        rim = "above the flat face, on a rim round it; planed away when cold"
        yield Line("Level mark", shown.length(mark.above_face), rim, "level_mark.above_face_m")
        mean = f"in the middle; {shown.length(mark.mean_sink)} on the mean"
        yield Line("Sink expected", shown.length(mark.middle_sink), mean)


def _forces(job: FoundryResults, gating: Gating) -> Iterator[Line]:
    """What lifts and bursts the mould, and floats cores and studs."""
    shown, rough, force = job.shown, job.shown.workshop, gating.force
    if force is not None:
        clamp = rough.force(force.clamp)
        if gating.cavity.level_parting:
            head = f"metal at rest, {shown.length(gating.head)} over the parting"
            yield Line("Lift on the cope", rough.force(force.force), head)
            less = worded(
                "or {} of clamps; twice the lift, less the cope's own {}", clamp, rough.mass(force.own_mass)
            )
            yield Line("To lay on it", rough.mass(force.weight), less)
        else:
            where = "metal at rest, cavity, riser and sprue"
            yield Line("Force on each half", rough.force(force.force), where)
            yield Line("To clamp it with", clamp, "twice that, in all")
    for lift in gating.cores:
        held = f"hold {rough.force(lift.held.wanted)}" if lift.held.force > 0.0 else "it sinks"
        what = f"Lift on the {lift.core.name}'s core"
        yield Line(what, shown.force(lift.held.force), f"{lift.core.material}; {held}")
    for number, stud in enumerate(job.stud_lifts, start=1):
        held = f"it floats in lead; hold {rough.force(HOLDING_FACTOR * stud)}" if stud > 0.0 else "it sinks"
        yield Line(f"Lift on stud {number}", shown.force(stud), held)


def _data(gating: Gating, withheld: bool) -> Json:
    """What no line shows by itself; masses of metal are null where the melt is withheld."""
    cavity, riser, sprue, choke = gating.cavity, gating.riser, gating.sprue, gating.choke
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
        "feeder_kg": None if withheld else gating.feeder,
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
    if riser is None:
        said |= {"riser": None, "riser_freezes_s": None}
    else:
        # Of an upright mould the riser stands over the end that is up.
        said["riser.from_nose_m"] = cavity.thick_at if cavity.high_end is None else None
        said["riser.diameter_m"] = riser.diameter
        said["riser.height_m"] = riser.height
        said["riser.volume_m3"] = riser.volume
        said["riser.modulus_wanted_m"] = riser.modulus_wanted
        said["riser.volume_wanted_m3"] = riser.volume_wanted
        said["riser.rule"] = riser.rule
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
