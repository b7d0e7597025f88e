"""Cost in wetted area and drag of an unusual fineness, compared with bulbs in the typical range.

The bulbs compared have the same volume, profile, sections and tail. Each drag is a range over published form factors.
None is called the best, because the ranges overlap for typical values of fineness.
"""

from __future__ import annotations

from bulbcast.ballast.results import BallastResults
from bulbcast.bulb.body.integrals import body_surface
from bulbcast.bulb.body.turned import TurnedBody, turned_body
from bulbcast.findings import Finding, Rule, Severity
from bulbcast.materials.water import Water, water_of_density, water_of_kind
from bulbcast.quantities import Shown
from bulbcast.quantities.frozen import frozen
from bulbcast.quantities.units import BY_SYMBOL
from bulbcast.report.chapter import Chapter, Data, Table, Words
from bulbcast.report.values import Json, values_of
from bulbcast.sailing.drag import BulbDrag, DragError, bulb_drag, drag_words
from bulbcast.sailing.scale import hull_speed

USUAL = (4.0, 5.0, 6.0, 7.0, 8.0, 9.0)
"""Common practice, no source: ballast bulbs are 4 to 9 times as long as they are thick, most of them 5 to 8 times."""

ASSUMED_SPEED = 1.5
"""Speed assumed if the boat is not known, about the hull speed of a 1.4 m yacht. Our judgement. [m/s]"""

ROUND_A_COURSE = (
    "The bulb causes about a tenth of a boat's drag. We estimate that any fineness from 4 to 9 changes her speed round "
    "a course by less than half a per cent."
)

FINENESS_UNUSUAL = Rule(
    "fineness-unusual",
    Severity.NOTE,
    why=(
        "Fineness has little effect on speed, but a large effect on wetted area, length and the space inside the lead."
    ),
)


@frozen
class OtherBulb:
    """Bulb of another fineness with the same volume.

    Attributes:
        fineness: Length over diameter. [-]
        length: Length of the bulb. [m]
        diameter: Diameter of the bulb. [m]
        wetted_area: Area of the complete surface. [m2]
        drag: Drag at the speed of the comparison; None if no formula is valid.
    """

    fineness: float
    length: float
    diameter: float
    wetted_area: float
    drag: BulbDrag | None


@frozen
class FinenessBeside:
    """The planned bulb, with bulbs in the typical range beside it.

    Attributes:
        speed: Speed at which the drags are calculated. [m/s]
        of_boat: Whether that speed is the boat's hull speed rather than an assumed one.
        planned: Bulb as planned.
        usual: Bulbs at each fineness of `USUAL`.
    """

    speed: float
    of_boat: bool
    planned: OtherBulb
    usual: tuple[OtherBulb, ...]


def fineness_beside(body: TurnedBody, water: Water, speed: float | None) -> FinenessBeside | None:
    """Compare the planned bulb with bulbs in the typical range; None if its fineness is within that range.

    Args:
        body: The finished lead body.
        water: Water in which the boat floats.
        speed: The boat's hull speed; None if not known. [m/s]
    """
    if USUAL[0] - 1e-9 <= body.fineness <= USUAL[-1] + 1e-9:
        return None
    at = ASSUMED_SPEED if speed is None else speed
    return FinenessBeside(
        speed=at,
        of_boat=speed is not None,
        planned=_at(body, body.fineness, water, at),
        usual=tuple(_at(body, fineness, water, at) for fineness in USUAL),
    )


def beside_planned(job: BallastResults) -> tuple[dict[str, FinenessBeside], tuple[Finding, ...]]:
    """Compare the plan's bulb with typical bulbs.

    Args:
        job: The bulb, and the boat if there is one.

    Returns:
        The comparison under its field name in the results, and the findings; both are empty for a typical fineness.
    """
    water, bulb = job.plan.water, job.plan.bulb
    length = None if job.boat is None else job.boat.start.hull.line.length
    speed = None if length is None else hull_speed(length)
    floats_in = water_of_density(water.density) if water.kind == "given" else water_of_kind(water.kind)
    beside = fineness_beside(job.bulb.body, floats_in, speed)
    if beside is None:
        return {}, ()
    key = next(leaf for leaf in ("length", "diameter", "fineness") if getattr(bulb, leaf) is not None)
    return {"fineness": beside}, (check_fineness(beside, f"bulb.{key}", job.shown),)


def _at(body: TurnedBody, fineness: float, water: Water, speed: float) -> OtherBulb:
    # For a given cut profile the volume is proportional to the fineness and to the cube of the diameter.
    diameter = body.diameter * (body.fineness / fineness) ** (1.0 / 3.0)
    other = turned_body(
        body.profile,
        diameter=diameter,
        tail_diameter=2.0 * body.tail_radius * diameter / body.diameter,
        width_to_height=body.width_to_height,
        fineness=fineness,
    )
    area = body_surface(other).area
    try:
        drag = bulb_drag(
            length=other.length,
            fineness=fineness,
            wetted_area=area,
            speed=speed,
            water_density=water.density,
            kinematic_viscosity=water.kinematic_viscosity,
        )
    except DragError:
        drag = None
    return OtherBulb(fineness=fineness, length=other.length, diameter=diameter, wetted_area=area, drag=drag)


def check_fineness(beside: FinenessBeside, key: str, shown: Shown) -> Finding:
    """Make the finding that the fineness is outside the typical range, with the effect on wetted area and drag.

    Args:
        beside: The planned bulb and the typical bulbs.
        key: Key in the plan that gives its fineness.
        shown: The builder's units.
    """
    own = beside.planned
    limit = USUAL[0] if own.fineness < USUAL[0] else USUAL[-1]
    end = next(one for one in beside.usual if one.fineness == limit)
    change = own.wetted_area / end.wetted_area - 1.0
    drags = ""
    if own.drag is not None and end.drag is not None:
        drags = f" and {_range(own.drag, shown)} of drag instead of {_range(end.drag, shown)} at {shown.speed(beside.speed)}"
    slender = own.fineness > limit
    if slender:
        doubt = (
            "A slender bulb has a thin tail that is hard to fill. It also twists the fin more when its nose strikes "
            "something"
        )
    else:
        doubt = "Flow may separate at the tail of a stubby bulb. None of the drag formulas allows for that"
    more = f"{shown.percent(abs(change))} {'more' if change > 0.0 else 'less'}"
    return FINENESS_UNUSUAL(
        key,
        f"A fineness of {own.fineness:.3g} is outside the typical range, {USUAL[0]:g} to {USUAL[-1]:g}. Compared with a "
        f"bulb of fineness {limit:g} and the same volume, this bulb has {more} wetted area{drags}.",
        f"{doubt}. {ROUND_A_COURSE} Keep this fineness if a limit on length or draught requires it.",
        found=own.fineness,
        limit=limit,
    )


def _range(drag: BulbDrag, shown: Shown) -> str:
    unit = "lbf" if shown.units == "imperial" else "N"
    factor = float(BY_SYMBOL[unit].factor)
    return f"{drag.low / factor:.3g} to {drag.high / factor:.3g} {unit}"


def fineness_chapter(beside: FinenessBeside, shown: Shown) -> Chapter:
    """Table of the planned bulb and the typical bulbs.

    Args:
        beside: The comparison.
        shown: The builder's units.
    """
    own = beside.planned
    whose = "the boat's hull speed" if beside.of_boat else "assumed, because no boat is given"
    rows = [
        (
            f"{one.fineness:.3g}" + (" (planned)" if one is own else ""),
            shown.length(one.length),
            shown.length(one.diameter),
            shown.area(one.wetted_area),
            "" if one is own else f"{100.0 * (one.wetted_area / own.wetted_area - 1.0):+.1f} %",
            "" if one.drag is None else _range(one.drag, shown),
        )
        for one in sorted((own, *beside.usual), key=lambda one: one.fineness)
    ]
    reynolds = [one.drag.reynolds for one in (own, *beside.usual) if one.drag is not None]
    said = f"Bulbs of the same volume, at {shown.speed(beside.speed)} ({whose}). {ROUND_A_COURSE}"
    if reynolds:
        said += f" {drag_words(min(reynolds), max(reynolds))}"
    values: Json = {
        "speed_m_s": beside.speed,
        "planned": _record(own),
        "usual": [_record(one) for one in beside.usual],
    }
    heads = ("fineness", "length", "diameter", "wetted area", "", "range of drag")
    name = "Fineness compared with the typical range"
    return Chapter(
        name="fineness",
        title=name,
        step="bulb",
        heading=name,
        parts=(
            Table(rows=rows, heads=heads, figures=range(1, 6), caption=name),
            Words(text=said, style="caption"),
            Data(values={"fineness_beside": values}),
        ),
    )


def _record(one: OtherBulb) -> Json:
    drag = one.drag
    return {
        **values_of(one, "fineness", "length_m", "diameter_m", "wetted_area_m2"),
        "drag_low_n": None if drag is None else drag.low,
        "drag_high_n": None if drag is None else drag.high,
        "reynolds": None if drag is None else drag.reynolds,
    }
