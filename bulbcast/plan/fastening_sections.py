"""Sections [[screws]], [[cross_pins]] and [[studs]]: fastenings that hold the bulb to the fin.

Values are frozen and in SI units; None means "not given". Nothing is calculated here.
"""

from __future__ import annotations

from functools import partial
from typing import Literal

from bulbcast.plan.agreement import NeededWith, OnlyWith
from bulbcast.plan.declare import key, section
from bulbcast.plan.key import DENSITY, FORMAT, LENGTH

_along_the_tip = partial(
    key, "distance aft of the tip's leading edge", LENGTH, "-10 m to 10 m", required=True, title="Position"
)
_WASHER = {
    "read": "nothing, although {given} is given",
    "why": "which a washer needs",
    "remedy": "Add {example}, say, or remove {given}.",
}
_of_steel = partial(
    key,
    written=DENSITY,
    within="50 kg/m3 to 25000 kg/m3",
    default="8.0 g/cm3",
    source="austenitic stainless steel, 7.9 to 8.0 g/cm3; from memory",
)


def _in_a_pocket(what: str, read: str) -> OnlyWith:
    return OnlyWith(
        {"fin.joint": "pocket"},
        read=f'{read} with joint = "through"',
        expected=f"a blade that ends in a pocket, or no {what}",
        remedy='Hold the halves with [[cross_pins]], or write joint = "pocket".',
    )


@section(
    "screws",
    step="joint",
    one="screw",
    most=24,
    only_with=_in_a_pocket("screws", "screws from below"),
)
class ScrewSection:
    """One [[screws]] entry, with lengths in m and density in kg/m3. Figures that follow from a `size` are filled in
    when the plan is read. `engagement` is the thread required above the pocket floor, None if it follows from the
    diameter and the fin's material. A `pitch` of None means coarse. There is a washer if its diameter and thickness
    are given. If `washer_hole` is None, its hole is as wide as that in the lead; if `washer_density` is None, its
    density is the screw's."""

    at: float = _along_the_tip(
        example="14 mm",
        find="Measure aft along the fin's tip from its leading edge to the centre of the hole.",
    )
    size: str | None = key(
        "nominal size of the screw; sets the thread, hole, head and recess if you omit them",
        "text",
        example="M4",
        rare=True,
        find='Read it off the packet, for example "M4", "#8", "10-24" or "1/4-20". For a wood screw, write its number.',
    )
    head: Literal["pan", "socket", "hexagon", "nut"] | None = key(
        "shape of the screw head; default: pan up to M6 and 1/4 in, hexagon above",
        "choice",
        left_out="pan up to M6 and 1/4 in, hexagon above",
        means={
            "pan": "low and rounded, flat beneath",
            "socket": "cap head driven with a hexagon key",
            "hexagon": "hexagon head for a spanner; its recess is as wide as the head across the corners",
            "nut": "threaded rod bonded or screwed into the fin along its axis, with a nut below; length is measured "
            "above the nut",
        },
        also={
            "pan": ("round", "cheese", "pan head"),
            "socket": ("cap", "allen", "socket cap", "socket head"),
            "hexagon": ("hex", "hex head", "bolt"),
            "nut": ("rod", "threaded rod", "stud and nut"),
        },
        only_with="size",
        rare=True,
        find="Look at the head. A countersunk head does not sit in a flat-bottomed recess, so use another kind.",
    )
    diameter: float = key(
        "diameter of the thread",
        LENGTH,
        "0.5 mm to 200 mm",
        example="4 mm",
        required=True,
        required_unless="size",
        not_with={"size": "both give the diameter of the thread"},
        find="Measure the thread over its crests with a caliper, or give size instead.",
    )
    hole_diameter: float = key(
        "diameter of the clearance hole in the lead",
        LENGTH,
        "0.5 mm to 250 mm",
        example="4.5 mm",
        required=True,
        required_unless="size",
        find="Measure the drill: a clearance hole is about 10 % wider than the thread.",
    )
    head_diameter: float = key(
        "diameter of the head and of its recess",
        LENGTH,
        "0.5 mm to 500 mm",
        example="8 mm",
        required=True,
        required_unless="size",
        find="Measure the head with a caliper. The recess is drilled to the same diameter.",
    )
    head_height: float = key(
        "height of the head",
        LENGTH,
        "0 mm to 500 mm",
        example="2.6 mm",
        required=True,
        required_unless="size",
        find="Measure the head from its seat to its top with a caliper.",
    )
    recess: float = key(
        "depth from the underside of the bulb up to the seat of the head or washer",
        LENGTH,
        "0 mm to 5 m",
        example="8 mm",
        required=True,
        required_unless="size",
        find=(
            "Choose how deep the head sinks into the bulb's underside: the head's height plus about 3 mm of filler."
        ),
    )
    length: float = key(
        "length of the screw under the head",
        LENGTH,
        "1 mm to 5 m",
        example="45 mm",
        required=True,
        find="Measure from under the head to the end of the thread.",
    )
    hole: Literal["drilled", "cored"] = key(
        "whether the hole is drilled after casting or cored",
        "choice",
        default="drilled",
        source=FORMAT,
        means={"drilled": "after casting", "cored": "left open by a core in the mould"},
        also={"drilled": ("drill", "drilled after casting"), "cored": ("core", "cast in")},
        find="Your choice: drilling the lead with a pillar drill is more reliable than a core.",
    )
    density: float = key(
        "density of the screw",
        DENSITY,
        "50 kg/m3 to 25000 kg/m3",
        default="8.0 g/cm3",
        source="stainless steel; from memory",
        find="Look it up. Stainless steel is about 8.0 g/cm3, brass 8.5, titanium 4.5.",
        spread="2 % of it",
        spread_source="judgement: of the screw's mass, including threads and head",
    )
    engagement: float | None = key(
        "length of thread above the pocket floor; default: 2.5 diameters, or 4 diameters in wood or laminate",
        LENGTH,
        "0 mm to 5 m",
        example="10 mm",
        find=(
            "Choose how much thread bites into the fin, or omit it for the default: 2.5 diameters, or 4 "
            "diameters in wood or laminate."
        ),
    )
    pitch: float | None = key(
        "pitch of the thread, used by [strength]; default: coarse",
        LENGTH,
        "0.1 mm to 20 mm",
        example="0.7 mm",
        find=("Lay the thread on a rule, measure ten turns and divide by ten. Or use a thread gauge."),
    )
    washer_diameter: float | None = key(
        "diameter of the washer under the head; the recess is made to fit it",
        LENGTH,
        "0.5 mm to 500 mm",
        example="14 mm",
        needed_with=NeededWith(("washer_thickness", "washer_hole", "washer_density"), **_WASHER),
        rare=True,
        find="Measure across the washer with a caliper.",
    )
    washer_thickness: float | None = key(
        "thickness of the washer",
        LENGTH,
        "above 0 mm and up to 100 mm",
        example="1.5 mm",
        needed_with=NeededWith(("washer_diameter", "washer_hole", "washer_density"), **_WASHER),
        rare=True,
        find="Measure the washer's thickness with a caliper.",
    )
    washer_hole: float | None = key(
        "diameter of the hole in the washer; default: hole_diameter",
        LENGTH,
        "0.5 mm to 250 mm",
        example="4.5 mm",
        rare=True,
        find="Measure the washer hole with a caliper.",
    )
    washer_density: float | None = key(
        "density of the washer; default: that of the screw",
        DENSITY,
        "50 kg/m3 to 25000 kg/m3",
        example="8.0 g/cm3",
        rare=True,
        find="Look it up. Stainless steel is about 8.0 g/cm3, brass 8.5.",
    )


@section("cross_pins", step="joint", basic="hole_diameter", one="cross pin", most=12)
class CrossPinSection:
    """One [[cross_pins]] entry, with lengths in m and density in kg/m3. A `hole_diameter` of None means the pin
    diameter."""

    at: float = _along_the_tip(
        example="25 mm",
        find="Measure aft along the fin's tip from its leading edge to the centre of the pin.",
    )
    height: float = key(
        "height of the pin's centre above the pocket floor; negative below the floor, where it only joins two halves",
        LENGTH,
        "-5 m to 5 m",
        example="4 mm",
        required=True,
        find="Measure up from the pocket floor to the centre of the pin.",
    )
    diameter: float = key(
        "diameter of the pin",
        LENGTH,
        "0.5 mm to 200 mm",
        example="3 mm",
        required=True,
        find="Use a caliper to measure the rod that the pin is cut from.",
    )
    hole_diameter: float | None = key(
        "diameter of the hole in the lead; default: the pin's diameter",
        LENGTH,
        "0.5 mm to 200 mm",
        example="3.2 mm",
        find="Measure the drill used for the lead.",
    )
    length: float = key(
        "length of the pin, half on each side of the fin",
        LENGTH,
        "1 mm to 10 m",
        example="30 mm",
        required=True,
        find="Measure from end to end. The pin has to end inside the lead on both sides, with room for a plug.",
    )
    density: float = _of_steel(
        "of the pin",
        find="Look it up. Stainless steel is about 8.0 g/cm3, brass 8.5, carbon rod 1.6.",
    )


@section(
    "studs",
    step="joint",
    one="stud",
    most=24,
    only_with=_in_a_pocket("studs", "studs"),
)
class StudSection:
    """One [[studs]] entry, with lengths in m and densities in kg/m3. A `fill_density` of None means that of the filler."""

    at: float = _along_the_tip(
        example="25 mm",
        find="Measure aft along the fin's tip from its leading edge to the centre of the stud.",
    )
    diameter: float = key(
        "outside",
        LENGTH,
        "0.5 mm to 500 mm",
        example="6 mm",
        required=True,
        find="Measure the outside of the rod or tube with a caliper.",
    )
    bore: float = key(
        "inside diameter of a tube",
        LENGTH,
        "0 mm to 500 mm",
        example="4.2 mm",
        default="0 mm",
        source=f"{FORMAT}: a solid stud",
        find="Measure the inside of the tube with a caliper. For a rod, omit bore.",
    )
    below: float = key(
        "depth in the lead below the pocket floor",
        LENGTH,
        "0 mm to 10 m",
        example="24 mm",
        required=True,
        title="Depth in the lead",
        find="Measure how far the stud goes down into the lead from the pocket floor.",
    )
    above: float = key(
        "height in the fin above the pocket floor",
        LENGTH,
        "0 mm to 10 m",
        example="20 mm",
        required=True,
        title="Height in the fin",
        find="Measure how far the stud goes up into the fin from the pocket floor.",
    )
    density: float = _of_steel(
        "density of the stud's metal",
        find="Look it up. Stainless steel is about 8.0 g/cm3, brass 8.5, aluminium 2.7.",
    )
    fill_density: float | None = key(
        "density of the material that fills the bore; default: that of the filler",
        DENSITY,
        "0 kg/m3 to 25000 kg/m3",
        example="8.0 g/cm3",
        find="Use the density of what is in the tube: lead if the tube fills during casting, otherwise resin or air.",
    )
