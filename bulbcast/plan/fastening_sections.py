"""[[screws]], [[cross_pins]] and [[studs]]: what holds the bulb to the fin.

SI and frozen; None means "not given". Nothing is calculated here.
"""

from __future__ import annotations

from functools import partial
from typing import Literal

from bulbcast.plan.agreement import NeededWith, OnlyWith
from bulbcast.plan.declare import key, section
from bulbcast.plan.key import DENSITY, FORMAT, LENGTH

_along_the_tip = partial(
    key, "aft of the tip's leading edge", LENGTH, "-10 m to 10 m", required=True, title="Place"
)
_WASHER = {
    "read": "nothing with {given}",
    "why": "which a washer needs",
    "remedy": "Add {example}, say, or take {given} out.",
}
_of_steel = partial(
    key,
    written=DENSITY,
    within="50 kg/m3 to 25000 kg/m3",
    default="8.0 g/cm3",
    source="stainless steel of the austenitic kinds, 7.9 to 8.0 g/cm3; from memory",
)


def _in_a_pocket(what: str, read: str) -> OnlyWith:
    return OnlyWith(
        {"fin.joint": "pocket"},
        read=f'{read} with joint = "through"',
        expected=f"a blade that ends in a pocket, or no {what}",
        remedy='Hold the halves with [[cross_pins]], or take joint = "pocket".',
    )


@section(
    "screws",
    step="joint",
    one="screw",
    most=24,
    only_with=_in_a_pocket("screws", "screws from below"),
)
class ScrewSection:
    """One [[screws]]: lengths m, density kg/m3; figures that follow from a `size` are filled in on reading. `engagement`
    is the thread required above the pocket floor, None where it follows from the diameter and the fin's material;
    `pitch` None: coarse. There is a washer where its diameter and thickness are given; its hole None: as the lead's,
    its density None: the screw's."""

    at: float = _along_the_tip(
        example="14 mm",
        find="Measure aft along the fin's tip from its leading edge to the hole's middle.",
    )
    size: str | None = key(
        "it is sold by; fills in thread, hole, head and recess where left out",
        "text",
        example="M4",
        rare=True,
        find='Read it off the packet: "M4", "#8", "10-24" or "1/4-20"; a wood screw by its number.',
    )
    head: Literal["pan", "socket", "hexagon", "nut"] | None = key(
        "shape of the head of that size; left out: pan up to M6 and 1/4 in, hexagon above",
        "choice",
        left_out="pan up to M6 and 1/4 in, hexagon above",
        means={
            "pan": "low and rounded, flat beneath",
            "socket": "cap head for a hexagon key",
            "hexagon": "for a spanner; its recess is as wide as its corners",
            "nut": "a threaded rod bonded or screwed into the fin along its axis, with a nut below; length is that above it",
        },
        also={
            "pan": ("round", "cheese", "pan head"),
            "socket": ("cap", "allen", "socket cap", "socket head"),
            "hexagon": ("hex", "hex head", "bolt"),
            "nut": ("rod", "threaded rod", "stud and nut"),
        },
        only_with="size",
        rare=True,
        find="Look at the head: a countersunk one does not sit in a flat-bottomed recess, so use another kind.",
    )
    diameter: float = key(
        "of the thread",
        LENGTH,
        "0.5 mm to 200 mm",
        example="4 mm",
        required=True,
        required_unless="size",
        not_with={"size": "both say how thick the thread is"},
        find="Caliper the thread over its crests, or give size in its place.",
    )
    hole_diameter: float = key(
        "clearance hole in the lead",
        LENGTH,
        "0.5 mm to 250 mm",
        example="4.5 mm",
        required=True,
        required_unless="size",
        find="Measure the drill: a clearance hole is about 10 % wider than the thread.",
    )
    head_diameter: float = key(
        "and of its recess",
        LENGTH,
        "0.5 mm to 500 mm",
        example="8 mm",
        required=True,
        required_unless="size",
        find="Caliper the head; the recess is drilled to it.",
    )
    head_height: float = key(
        "of the head",
        LENGTH,
        "0 mm to 500 mm",
        example="2.6 mm",
        required=True,
        required_unless="size",
        find="Caliper the head from its seat to its top.",
    )
    recess: float = key(
        "from the underside at that place up to the seat of head or washer",
        LENGTH,
        "0 mm to 5 m",
        example="8 mm",
        required=True,
        required_unless="size",
        find=(
            "Choose how deep the head sinks into the bulb's underside: head height plus about 3 mm to fill over."
        ),
    )
    length: float = key(
        "under the head",
        LENGTH,
        "1 mm to 5 m",
        example="45 mm",
        required=True,
        find="Rule from under the head to the end of the thread.",
    )
    hole: Literal["drilled", "cored"] = key(
        "drilled after casting, or cored",
        "choice",
        default="drilled",
        source=FORMAT,
        means={"drilled": "after casting", "cored": "left open by a core in the mould"},
        also={"drilled": ("drill", "drilled after casting"), "cored": ("core", "cast in")},
        find="Choose it: drilling into lead with a pillar drill is surer than a core.",
    )
    density: float = key(
        "of the screw",
        DENSITY,
        "50 kg/m3 to 25000 kg/m3",
        default="8.0 g/cm3",
        source="stainless steel, from memory",
        find="Look it up: stainless steel 8.0, brass 8.5, titanium 4.5 g/cm3.",
        spread="2 % of it",
        spread_source="judgement: of its mass, threads and head in it",
    )
    engagement: float | None = key(
        "thread above the pocket's floor; left out: 2.5 diameters, 4 in wood",
        LENGTH,
        "0 mm to 5 m",
        example="10 mm",
        find=(
            "Choose how much thread bites in the fin; leave it out for the usual 2.5 diameters, 4 in wood."
        ),
    )
    pitch: float | None = key(
        "of the thread, for [strength]; left out: coarse",
        LENGTH,
        "0.1 mm to 20 mm",
        example="0.7 mm",
        find=(
            "Lay the thread on a rule and count: the length of ten turns over ten; or hold a thread "
            "gauge to it."
        ),
    )
    washer_diameter: float | None = key(
        "washer under the head; the recess takes it",
        LENGTH,
        "0.5 mm to 500 mm",
        example="14 mm",
        needed_with=NeededWith(("washer_thickness", "washer_hole", "washer_density"), **_WASHER),
        rare=True,
        find="Caliper the washer across.",
    )
    washer_thickness: float | None = key(
        "of the washer",
        LENGTH,
        "above 0 mm and up to 100 mm",
        example="1.5 mm",
        needed_with=NeededWith(("washer_diameter", "washer_hole", "washer_density"), **_WASHER),
        rare=True,
        find="Caliper the washer through.",
    )
    washer_hole: float | None = key(
        "the washer's own; left out: hole_diameter",
        LENGTH,
        "0.5 mm to 250 mm",
        example="4.5 mm",
        rare=True,
        find="Caliper the washer's hole.",
    )
    washer_density: float | None = key(
        "of the washer; left out: the screw's",
        DENSITY,
        "50 kg/m3 to 25000 kg/m3",
        example="8.0 g/cm3",
        rare=True,
        find="Look it up: stainless steel 8.0, brass 8.5 g/cm3.",
    )


@section("cross_pins", step="joint", basic="hole_diameter", one="cross pin", most=12)
class CrossPinSection:
    """One [[cross_pins]]: lengths m, density kg/m3; `hole_diameter` None: the pin's own."""

    at: float = _along_the_tip(
        example="25 mm",
        find="Measure aft along the fin's tip from its leading edge to the pin's middle.",
    )
    height: float = key(
        "of its middle above the pocket floor; below it, through two halves alone, with a minus",
        LENGTH,
        "-5 m to 5 m",
        example="4 mm",
        required=True,
        find="Measure up from the pocket's floor to the pin's middle.",
    )
    diameter: float = key(
        "of the pin",
        LENGTH,
        "0.5 mm to 200 mm",
        example="3 mm",
        required=True,
        find="Caliper the rod that the pin is cut from.",
    )
    hole_diameter: float | None = key(
        "in the lead; if left out, the pin's own",
        LENGTH,
        "0.5 mm to 200 mm",
        example="3.2 mm",
        find="Measure the drill used for the lead.",
    )
    length: float = key(
        "half of it to each side",
        LENGTH,
        "1 mm to 10 m",
        example="30 mm",
        required=True,
        find="Rule from end to end: it has to lie inside the lead on both sides, with room to plug.",
    )
    density: float = _of_steel(
        "of the pin",
        find="Look it up: stainless steel 8.0, brass 8.5, carbon rod 1.6 g/cm3.",
    )


@section(
    "studs",
    step="joint",
    one="stud",
    most=24,
    only_with=_in_a_pocket("studs", "studs"),
)
class StudSection:
    """One [[studs]]: lengths m, densities kg/m3; `fill_density` None: the filler's."""

    at: float = _along_the_tip(
        example="25 mm",
        find="Measure aft along the fin's tip from its leading edge to the stud's middle.",
    )
    diameter: float = key(
        "outside",
        LENGTH,
        "0.5 mm to 500 mm",
        example="6 mm",
        required=True,
        find="Caliper the rod or tube outside.",
    )
    bore: float = key(
        "of a tube, inside",
        LENGTH,
        "0 mm to 500 mm",
        example="4.2 mm",
        default="0 mm",
        source=f"{FORMAT}: a solid stud",
        find="Caliper the tube inside; leave it out for a rod.",
    )
    below: float = key(
        "down into the lead from the pocket floor",
        LENGTH,
        "0 mm to 10 m",
        example="24 mm",
        required=True,
        title="Depth in the lead",
        find="Measure how far it reaches down into the lead from the pocket's floor.",
    )
    above: float = key(
        "up into the fin from the pocket floor",
        LENGTH,
        "0 mm to 10 m",
        example="20 mm",
        required=True,
        title="Height in the fin",
        find="Measure how far it reaches up into the fin from the pocket's floor.",
    )
    density: float = _of_steel(
        "of its metal",
        find="Look it up: stainless steel 8.0, brass 8.5, aluminium 2.7 g/cm3.",
    )
    fill_density: float | None = key(
        "of what fills the bore; left out: the filler's",
        DENSITY,
        "0 kg/m3 to 25000 kg/m3",
        example="8.0 g/cm3",
        find="Weigh what fills the tube: lead where it fills in casting, resin or air otherwise.",
    )
