"""The boat in words and rows, shared by report and terminal."""

from __future__ import annotations

from bulbcast.ballast.results import BallastResults
from bulbcast.ballast.rules import remedies_told
from bulbcast.ballast.work import BoatJob
from bulbcast.quantities import Shown
from bulbcast.quantities.showing import fine_length

NOT_AN_ASSESSMENT = (
    "Upright and at small angles only. This is not a stability assessment: crew, downflooding, swamping and what "
    "shifts aboard are not in it."
)


def weigh_in_rows(boat: BoatJob, shown: Shown) -> list[tuple[str, ...]]:
    """Name, state, mass, spread, x and z of each line, the sum last.

    Args:
        boat: From the job.
        shown: The builder's units.
    """
    summed = boat.start.weigh_in
    rows: list[tuple[str, ...]] = [
        (
            line.name,
            line.state.value,
            shown.mass(line.mass),
            shown.mass(line.mass_spread),
            shown.length(line.x),
            shown.length(line.z),
        )
        for line in summed.weights
    ]
    centre = summed.centre
    rows.append(
        (
            "all but the bulb",
            "",
            shown.mass(summed.mass),
            shown.mass(summed.mass_spread),
            "\u2013" if centre is None else shown.length(centre[0]),
            "\u2013" if centre is None else shown.length(centre[2]),
        )
    )
    return rows


def target_rows(job: BallastResults, boat: BoatJob) -> list[tuple[str, str, str]]:
    """The sum that gives the bulb: what, how much, what it means.

    Args:
        job: The results.
        boat: Its boat.
    """
    shown, water = job.shown, job.plan.water.density
    start, hung = boat.start, boat.hung
    rows = [
        (
            "Water displaced at her line",
            shown.mass(boat.displacement(water)),
            f"by hull, fin{'' if start.rudder is None else ', rudder'} and bulb together",
        ),
        ("of that the hull", shown.mass(water * start.hull.line.volume), start.hull.line.how),
        ("of that the fin", shown.mass(water * start.fin.volume), "all of it, its end in the pocket too"),
        *(
            []
            if start.rudder is None
            else [
                ("of that the rudder", shown.mass(water * start.rudder.volume), "what of it is under water")
            ]
        ),
        ("of that the bulb", shown.mass(water * hung.afloat.volume), "outside the fin"),
        ("All but the bulb", shown.mass(start.weigh_in.mass), "the weigh-in"),
        (
            "Ballast target",
            shown.mass(boat.target_mass),
            f"hung mass, known to {shown.mass(boat.mass_spread)} (one standard deviation)"
            + ("" if boat.target is not None else "; the shape given cannot be a bulb of it"),
        ),
        (
            "Plain lead alone",
            shown.mass(start.closed_form[0]),
            "no screws, fillings or paint: the closed form",
        ),
    ]
    if boat.mass_imposed:
        rows.append(("Mass given in the plan", shown.mass(hung.bulb.mass), "taken as given"))
    if boat.heaviest is not None:
        rows.append(
            (
                "Heaviest bulb on her line",
                shown.mass(boat.heaviest.bulb.mass),
                "with all ashore that can stay there",
            )
        )
    rows.append(("Boat and bulb", shown.mass(boat.total_mass), ""))
    rows.append(("Ballast ratio", shown.percent(boat.ratio), "bulb over boat and bulb"))
    return rows


def place_rows(job: BallastResults, boat: BoatJob) -> list[tuple[str, str, str]]:
    """Where the bulb must be, where it can be, and where it hangs.

    Args:
        job: The results.
        boat: Its boat.
    """
    shown, hung, band = job.shown, boat.hung, boat.hung.band
    rows = [
        (
            "Mass centre wanted at x",
            shown.length(hung.wanted_x),
            f"for level trim, known to {shown.length(boat.place_spread)}",
        )
    ]
    if band is not None:
        rows.append(
            (
                "Fin holds it from x",
                shown.length(band.fore_x),
                "furthest forward: "
                + (
                    "the forward overhang is at its largest"
                    if band.fore_bound == "forward overhang"
                    else "the bulb's tail just reaches the tip's trailing edge"
                ),
            )
        )
        rows.append(
            (
                "to x",
                shown.length(band.aft_x),
                "furthest aft: "
                + (
                    "the after overhang is at its largest"
                    if band.aft_bound == "after overhang"
                    else "the bulb's nose just reaches the tip's leading edge"
                ),
            )
        )
    rows.append(
        (
            "It hangs at x",
            shown.length(hung.afloat.x),
            "as the plan asks"
            if boat.place_imposed
            else "within reach"
            if abs(hung.short) < 1e-6
            else "short",
        )
    )
    if abs(hung.short) >= 1e-6:
        rows.append(("Short by", shown.length(abs(hung.short)), "aft" if hung.short > 0.0 else "forward"))
    if boat.lies is not None and boat.mass_imposed:
        rows.append(
            (
                "She then floats",
                shown.length(abs(boat.lies.sinkage)),
                f"{'deeper' if boat.lies.sinkage > 0.0 else 'higher'}, at the centre of flotation, "
                f"{'to first order' if boat.start.hull.mesh is None else 'on her own surface'}",
            )
        )
    trims = boat.lies is not None and boat.mass_imposed and abs(boat.lies.trim) >= 5e-5
    if boat.lies is not None and (trims or abs(hung.short) >= 1e-6):
        rows.append(
            (
                "She then trims",
                shown.length(abs(boat.lies.trim)),
                f"by the {'stern' if boat.lies.trim > 0.0 else 'bow'}, over her waterline",
            )
        )
    rows += freeboard_rows(job, boat)
    return rows


def freeboard_rows(job: BallastResults, boat: BoatJob) -> list[tuple[str, str, str]]:
    """Freeboard on her line, and what is left of it where she does not lie on it.

    Args:
        job: The results.
        boat: Its boat.
    """
    shown, told = job.shown, boat.freeboard
    if told is None:
        return []

    def where(x: float) -> str:
        return f"the deck's edge at x = {shown.length(x)}" if told.placed else "as the plan gives it"

    rows = [("Least freeboard on her line", shown.length(told.on_line.height), where(told.on_line.x))]
    off_line = boat.mass_imposed or abs(boat.hung.short) >= 1e-6
    if told.left is not None and off_line:
        place = where(told.left.x) if told.placed else "taken at the end that goes deepest"
        rows.append(("Freeboard left as she lies", shown.length(told.left.height), f"the least, {place}"))
        for name, end in (("bow", told.bow), ("stern", told.stern)):
            if end is not None:
                rows.append((f"at the {name}", shown.length(end), ""))
    return rows


def upright_rows(job: BallastResults, boat: BoatJob) -> list[tuple[str, str, str]]:
    """What holds her upright and level, as far as the hull's figures tell; empty where they do not.

    Args:
        job: The results.
        boat: Its boat.
    """
    shown, line = job.shown, boat.start.hull.line
    rows = []
    if line.bm_across is not None:
        rows.append(("BM of the hull", shown.length(line.bm_across), "metacentre over centre of buoyancy"))
    rows.append(
        ("Mass centre at z", shown.length(boat.mass_centre[2]), "of boat and bulb, from the waterline up")
    )
    gm = job.gm
    if gm is not None:
        afloat = "" if gm == boat.gm else ", of her own surface with fin and bulb"
        rows.append(("GM", fine_length(gm, shown), f"metacentre over mass centre, heeling{afloat}"))
    if boat.flotation is not None:
        rows.append(
            (
                "1 mm of immersion takes",
                shown.mass(1e-3 * boat.flotation.mass_per_immersion),
                "put in over the centre of flotation",
            )
        )
        rows.append(
            ("1 mm of trim takes", shown.moment(1e-3 * boat.flotation.moment_per_trim), "over her waterline")
        )
    return rows


def next_rows(boat: BoatJob, shown: Shown, most: int = 3) -> list[tuple[str, str]]:
    """What to weigh next, and the spread of the weigh-in once that and those before it are weighed.

    Args:
        boat: From the job.
        shown: The builder's units.
        most: Rows.
    """
    return [(one.name, f"narrows the weigh-in to {shown.mass(one.in_turn)}") for one in boat.next[:most]]


def remedies_of(job: BallastResults, boat: BoatJob) -> tuple[str, ...]:
    """What would bring a bulb that is out of reach into it, each alone."""
    return () if boat.remedies is None else remedies_told(boat.remedies, job.shown)
