"""Report chapter on the boat with her bulb: ballast calculation, weigh-in, position of the bulb, and stability."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from bulbcast.ballast.left_open import left_open
from bulbcast.ballast.profile_view import boat_profile
from bulbcast.ballast.reach import ON_CHORD
from bulbcast.ballast.reach_bar import reach_bar
from bulbcast.ballast.results import BallastResults
from bulbcast.ballast.rules import remedies_said
from bulbcast.ballast.words import estimated
from bulbcast.ballast.work import BoatJob
from bulbcast.findings import plain
from bulbcast.quantities import Shown
from bulbcast.quantities.showing import fine_length
from bulbcast.report.chapter import Chapter, Data, Items, Line, Markup, Part, Picture, Table, Words
from bulbcast.report.values import Json

SMALL_ANGLES = "These figures are for the upright boat and small angles only."
NOT_AN_ASSESSMENT = (
    "This is not a stability assessment: it does not cover crew, downflooding, swamping or shifting weights."
)
_MOST_NEXT = 3
"""Largest number of items to list under "weigh next"."""
_NOTHING = 1e-6
"""A shortfall smaller than this is ignored. [m]"""


def ballast_chapter(
    job: BallastResults, boat: BoatJob, between: Sequence[Part] = (), *, judged_later: bool = False
) -> Chapter:
    """Build the chapter on the bulb that the boat requires and how she floats with it.

    Args:
        job: Results of the plan.
        boat: Boat of the plan.
        between: Parts to insert before the section on stability.
        judged_later: Whether a later chapter says that this is not a stability assessment.
    """
    shown, summed = job.shown, boat.start.weigh_in
    mass, centre = shown.mass, summed.centre

    def place(where: float | None) -> str:
        return "–" if where is None else shown.length(where)

    weights = [
        (one.name, one.state.value, mass(one.mass), mass(one.mass_spread), place(one.x), place(one.z))
        for one in summed.weights
    ]
    sums = (mass(summed.mass), mass(summed.mass_spread), place(centre[0]), place(centre[2]))
    weigh_in = Table(
        rows=[*weights, ("all but the bulb", "", *sums)],
        heads=("line", "source of mass", "mass", "spread", "x", "z"),
        figures=(2, 3, 4, 5),
        total=True,
        caption="Weight list",
        heading="Weight list",
        only="report",
    )
    weigh_next = Table(
        rows=[
            (one.name, f"reduces the spread of the weight list to {mass(one.in_turn)}")
            for one in boat.next[:_MOST_NEXT]
        ],
        figures=(),
        caption="Weigh next, in this order",
        heading="Weigh next, in this order",
        only="report",
    )
    drawn = boat.start.fin is not None and boat.start.hull.line.length is not None
    upright = SMALL_ANGLES if judged_later else f"{SMALL_ANGLES} {NOT_AN_ASSESSMENT}"
    remedies = [plain(one) for one in remedies_said(boat, shown)]
    return Chapter(
        name="ballast",
        title="What she must carry",
        step="bulb",
        at="boat",
        only="report",
        parts=(
            replace(weigh_in, heads=("", *weigh_in.heads[1:]), only="terminal"),
            replace(weigh_next, only="terminal"),
            *(
                [Picture(draw=lambda: boat_profile(job), caption="{title}. From port. {scale}.", sheet=True)]
                if drawn
                else []
            ),
            _target(job, boat),
            weigh_in,
            weigh_next,
            _place(boat, shown),
            Markup(html=lambda: reach_bar(boat, shown)),
            Items(lead="Any one of these would bring the bulb within reach:", items=remedies),
            *between,
            _upright(job, boat),
            Items(
                lead="Still unknown, with the figures needed for each:",
                items=[one.said for one in left_open(boat)],
            ),
            *(Words(text=one, style="caption") for one in (upright, *boat.start.hull.notes)),
            Data(values=_data(boat)),
        ),
    )


def _line(
    name: str,
    value: float | None,
    show: Callable[[float], str],
    label: str,
    remark: str = "",
    *,
    said: bool = True,
) -> Line:
    """Table row for a figure. A figure that is unknown or not worth a row is written to plan.json only."""
    if value is None or not said:
        return Line("", "", name=name, value=value)
    return Line(label, show(value), remark, name, value)


def _target(job: BallastResults, boat: BoatJob) -> Table:
    """Table of the calculation that gives the bulb's mass."""
    shown, water = job.shown, job.plan.water.density
    start, hung, rudder = boat.start, boat.hung, boat.start.rudder
    total = boat.displacement(water)
    known = f"hung mass, with a standard deviation of {shown.mass(boat.mass_spread)}"
    if boat.target is None:
        known += "; no bulb of the given shape can have that mass"
    by = f"by hull, fin{'' if rudder is None else ', rudder'} and bulb together"
    alone, ratio = (
        "without screws, filler or paint, by the closed-form formula",
        "bulb mass as a fraction of the complete boat",
    )
    lines = [
        Line("Water displaced at her line", shown.mass(total), by, "displacement_kg"),
        Line(
            "of which the hull" if start.fin is not None else "of which everything but the bulb",
            shown.mass(water * start.hull.line.volume),
            start.hull.line.how,
        ),
    ]
    if start.fin is not None:
        whole = "the complete fin, including its end in the pocket"
        lines.append(Line("of which the fin", shown.mass(water * start.fin.volume), whole))
    if rudder is not None:
        lines.append(
            Line("of which the rudder", shown.mass(water * rudder.volume), "only the part under water")
        )
    lines += [
        Line("of which the bulb", shown.mass(water * hung.afloat.volume), "outside the fin"),
        Line("All but the bulb", shown.mass(start.weigh_in.mass), "the weight list", "weigh_in_kg"),
        Line("Ballast target", shown.mass(boat.target_mass), known, "target.mass_kg"),
        Line("Plain lead alone", shown.mass(start.closed_form[0]), alone, "target.lead_alone_kg"),
    ]
    if boat.mass_imposed:
        lines.append(Line("Mass given in the plan", shown.mass(hung.bulb.mass), "as given"))
    heaviest = None if boat.heaviest is None else boat.heaviest.bulb.mass
    ashore = "with everything left ashore that the boat can do without"
    lines += [
        _line("heaviest_bulb_kg", heaviest, shown.mass, "Heaviest bulb on her line", ashore),
        Line("Boat and bulb", shown.mass(boat.total_mass), "", "total_mass_kg"),
        Line("Ballast ratio", shown.percent(boat.ratio), ratio, "ballast_ratio", boat.ratio),
    ]
    return Table(rows=lines, caption="From displacement to bulb", heading="From displacement to bulb")


def _place(boat: BoatJob, shown: Shown) -> Table:
    """Table of the bulb's required, possible and actual positions, and of how the boat then floats."""
    hung, band, lies, at = boat.hung, boat.hung.band, boat.lies, shown.length
    fore, aft, fore_bound, aft_bound = None, None, "", ""
    if band is not None:
        fore, fore_bound = band.fore_x, "the bulb's tail just reaches the tip's trailing edge"
        if band.fore_bound == "forward overhang":
            fore_bound = "the forward overhang is at its largest"
        if band.fore_bound == ON_CHORD:
            fore_bound = "the allowance on either side of mid-chord"
        aft, aft_bound = band.aft_x, "the bulb's nose just reaches the tip's leading edge"
        if band.aft_bound == "after overhang":
            aft_bound = "the after overhang is at its largest"
        if band.aft_bound == ON_CHORD:
            aft_bound = "the allowance on either side of mid-chord"

    def size(metres: float) -> str:
        return at(abs(metres))

    is_short = abs(hung.short) >= _NOTHING
    hangs = "as given in the plan" if boat.place_imposed else "short" if is_short else "within reach"
    way = "aft" if hung.short > 0.0 else "forward"
    wanted = "for level trim"
    if boat.place_spread:
        wanted += f", with a standard deviation of {at(boat.place_spread)}"
    if hung.wanted_x is None and not boat.place_imposed:
        hangs = "at the typical position on the tip chord, as the position that levels her is not known"
    if boat.start.fin is None:
        hangs += "; x is measured from the forward end of the tip"
    lines = [
        _line("reach.wanted_x_m", hung.wanted_x, at, "Mass centre required at x", wanted),
        _line("reach.fore_x_m", fore, at, "Within the fin's reach from x", f"furthest forward: {fore_bound}"),
        _line("reach.aft_x_m", aft, at, "to x", f"furthest aft: {aft_bound}"),
        _line("reach.placed_x_m", hung.afloat.x, at, "Bulb hangs at x", hangs),
        _line("reach.short_m", hung.short, size, "Short by", way, said=is_short),
    ]
    if lies is None:
        level = boat.level_sinkage
        floats = f"{'deeper' if (level or 0.0) > 0.0 else 'higher'}, based on her waterplane area alone"
        lines += [
            _line("sinkage_m", level, size, "She then floats", floats, said=boat.mass_imposed),
            Line("", "", name="trim_by_stern_m", value=None),
        ]
    else:
        order = "to first order" if boat.start.hull.mesh is None else "calculated from the hull surface"
        floats = f"{'deeper' if lies.sinkage > 0.0 else 'higher'}, at the centre of flotation, {order}"
        trims = f"by the {'stern' if lies.trim > 0.0 else 'bow'}, over the length of her waterline"
        trims += estimated(boat.flotation, shown)
        off = is_short or (boat.mass_imposed and abs(lies.trim) >= 5e-5)
        lines += [
            _line("sinkage_m", lies.sinkage, size, "She then floats", floats, said=boat.mass_imposed),
            _line("trim_by_stern_m", lies.trim, size, "She then trims", trims, said=off),
        ]
    return Table(
        rows=lines + _freeboard(boat, shown, off_line=is_short or boat.mass_imposed),
        caption="Where the bulb must hang",
        heading="Where the bulb must hang",
    )


def _freeboard(boat: BoatJob, shown: Shown, *, off_line: bool) -> list[Line]:
    """Table rows for freeboard on the design waterline and as she floats. A figure whose position is unknown has no x."""
    found, high = boat.freeboard, shown.length
    if found is None:
        return [Line("", "", name="freeboard", value=None)]

    def where(x: float) -> str:
        return f"the deck edge at x = {high(x)}" if found.placed else "as the plan gives it"

    line, left, height, place = (
        found.on_line,
        found.left,
        None,
        "assumed to be at the end that floats deepest",
    )
    if left is not None:
        height, place = left.height, where(left.x) if found.placed else place
    said, least = off_line and left is not None, f"the lowest point, {place}"
    places = {"least_on_line": line.x, "least_left": None if left is None else left.x}
    return [
        _line("freeboard.least_on_line_m", line.height, high, "Minimum freeboard on her line", where(line.x)),
        _line("freeboard.least_left_m", height, high, "Minimum freeboard as she floats", least, said=said),
        _line("freeboard.bow_left_m", found.bow, high, "at the bow", said=said),
        _line("freeboard.stern_left_m", found.stern, high, "at the stern", said=said),
        *(
            Line("", "", name=f"freeboard.{name}_x_m", value=x if found.placed else None)
            for name, x in places.items()
        ),
    ]


def _upright(job: BallastResults, boat: BoatJob) -> Table:
    """Table of the initial stability figures that can be calculated from the hull's data."""
    shown, flotation = job.shown, boat.flotation
    moment = None if flotation is None else 1e-3 * flotation.moment_per_trim
    # In the builder's units a small immersion is an eighth of an inch; plan.json always uses a millimetre.
    little, times = ("1/8 in", 25.4 / 8.0) if shown.units == "imperial" else ("1 mm", 1.0)
    immersion = boat.start.hull.line.mass_per_immersion(job.plan.water.density)
    per_mm = None if immersion is None else 1e-3 * immersion
    bm, z = boat.start.hull.line.bm_across, boat.mass_centre[2]
    over = "transverse metacentre above the mass centre"
    if job.gm != boat.gm:
        over += ", from the hull surface with fin and bulb"
    over_buoyancy = "transverse metacentre above the centre of buoyancy"
    over_waterline = "over the length of her waterline" + estimated(boat.flotation, shown)
    over_flotation = "mass added at the centre of flotation"
    return Table(
        rows=[
            _line("hull.metacentric_radius_m", bm, shown.length, "BM of the hull", over_buoyancy),
            *(
                []
                if z is None
                else [
                    Line("Mass centre at z", shown.length(z), "boat and bulb together, above the waterline")
                ]
            ),
            _line("metacentric_height_m", job.gm, lambda gm: fine_length(gm, shown), "GM", over),
            _line(
                "mass_per_mm_kg",
                per_mm,
                lambda each: shown.mass(times * each),
                f"Mass to sink her {little}",
                over_flotation,
            ),
            _line(
                "moment_per_mm_trim_kg_m",
                moment,
                lambda each: shown.moment(times * each),
                f"Moment to trim her {little}",
                over_waterline,
            ),
        ],
        caption="Upright",
        heading="Upright",
    )


def _data(boat: BoatJob) -> Json:
    """Values for plan.json that no table row shows; null if the hull's figures do not give them."""
    line, start, hung = boat.start.hull.line, boat.start, boat.hung
    foils = {"fin": start.fin, "rudder": start.rudder}
    return {
        "hull.how": line.how,
        "hull.displaced_volume_m3": line.volume,
        "hull.buoyancy_x_m": line.buoyancy_x,
        "hull.buoyancy_z_m": line.buoyancy_z,
        "hull.waterplane_area_m2": line.waterplane_area,
        "hull.flotation_x_m": line.flotation_x,
        "hull.waterline_length_m": line.length,
        "hull.waterline_beam_m": line.beam,
        "hull.draught_m": line.draught,
        "hull.metacentric_radius_along_m": line.bm_along,
        "hull.wetted_area_m2": line.wetted_area,
        "hull.estimated_within": line.band or None,
        "hull.notes": list(start.hull.notes),
        **{
            name: {
                "volume_m3": foil.volume,
                "volume_centre_x_m": foil.centre_x,
                "volume_centre_z_m": foil.centre_z,
            }
            for name, foil in foils.items()
            if foil is not None
        },
        "weights": [
            {
                "name": one.name,
                "state": one.state.value,
                "mass_kg": one.mass,
                "mass_spread_kg": one.mass_spread,
                "place_m": {"x": one.x, "y": one.y, "z": one.z},
                "place_spread_m": one.place_spread,
            }
            for one in start.weigh_in.weights
        ],
        "weigh_in_spread_kg": start.weigh_in.mass_spread,
        "weigh_in_centre_m": _point(start.weigh_in.centre),
        "weigh_next": [{"name": one.name, "weigh_in_spread_then_kg": one.sum_spread} for one in boat.next],
        "target.mass_spread_kg": boat.mass_spread,
        "target.x_m": (hung if boat.target is None else boat.target).wanted_x,
        "target.x_spread_m": boat.place_spread,
        "target.lead_alone_x_m": start.closed_form[1],
        "target.mass_imposed": boat.mass_imposed,
        "target.place_imposed": boat.place_imposed,
        "bulb_displacement_x_m": hung.afloat.volume_x,
        "reach.trim_if_left_m": None if boat.lies is None else boat.lies.trim,
        "too_heavy_kg": boat.over[0],
        "buoyancy_x_m": None if boat.buoyancy is None else boat.buoyancy[0],
        "buoyancy_z_m": None if boat.buoyancy is None else boat.buoyancy[1],
        "mass_centre_m": _point(boat.mass_centre),
        "left_open": [{"what": one.what, "needs": list(one.needs)} for one in left_open(boat)],
    }


def _point(place: tuple[float | None, float | None, float | None]) -> Json | None:
    """Return a position for plan.json, with null for each unknown coordinate, or null if all are unknown."""
    return None if place == (None, None, None) else dict(zip("xyz", place, strict=True))
