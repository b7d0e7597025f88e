"""[boat] and [[weights]].

SI and frozen; None means "not given". Nothing is calculated here: a default that depends on another figure stays None
and is set by the room that owns the rule, which also reports it.
"""

from __future__ import annotations

from functools import partial
from typing import Literal

from bulbcast.plan.agreement import NeededWith, OneOf, OnlyWith
from bulbcast.plan.declare import key, section
from bulbcast.plan.key import AREA, DENSITY, FORMAT, LENGTH, MASS

ACCEPT_STRUCTURE = "A licensed practice has seen fin, joint and hull"
"""The sentence to type in full to release the hold on sailing a small craft."""

_REPORTED = "Take {leaf} out: {other} gives it or does not use it."


def _way(*ways: str) -> OnlyWith:
    """A key that goes with these ways of giving a hull."""
    return OnlyWith(ways, read="{leaf} with {other}", remedy=_REPORTED)


_of_surface = partial(key, varied="fixed", only_with=_way("hull"))
_axis = partial(
    _of_surface,
    written="choice",
    choices=("x", "-x", "y", "-y", "z", "-z"),
    source=FORMAT,
    means={
        "x": "along the file's x",
        "-x": "against it",
        "y": "along its y",
        "-y": "against it",
        "z": "along its z",
        "-z": "against it",
    },
    also={"x": ("+x",), "y": ("+y",), "z": ("+z",)},
)
_of_file = partial(key, varied="fixed", only_with=_way("hull", "offsets"))
_of_figures = partial(key, only_with=_way("hull_displacement", "displacement"))
_ENDS_OF_MOVING = {
    "also": "boat",
    "expected": "both ends of where it may be moved, or neither",
    "remedy": "Add it; use the weight's own x if it can move one way only.",
}

_MOVED_FROM = OnlyWith(
    "x",
    read="{leaf} without the weight's own x",
    expected="the place it is moved from as well",
    remedy="Add x, aft of the waterline's forward end, or take {leaf} out.",
)


@section(
    "boat",
    step="boat",
    basic="displacement hull offsets hull_displacement unit waterline waterline_length buoyancy_x "
    "buoyancy_z waterplane_area waterplane_shape flotation_x waterline_beam freeboard metacentric_radius kind",
    one_of=OneOf(
        ("hull", "offsets", "hull_displacement"),
        "Keep the one you trust most and take out the rest.",
        expected="exactly one of hull, offsets and hull_displacement",
        nothing=(
            "no hull",
            'Add displacement = "4.2 kg" (all up: fin, bulb and rudder included), hull = "hull.stl", '
            'offsets = "hull-offsets.csv" or hull_displacement = "3.9 kg" (the hull alone), say. All but displacement need '
            "the fin from hull to tip too: root_chord, root_thickness, root_leading_edge_x, root_z, tip_leading_edge_x "
            "and tip_z under [fin].",
        ),
        unless="displacement",
    ),
)
class BoatSection:
    """[boat]: `displacement` (kg) of the complete boat, alone or with one of `hull`, `offsets` (paths as typed) and
    `hull_displacement` (kg).

    `unit`, `modelled` and the axes belong to a hull file; `scale`, `waterline` and the two ends (m, as
    modelled) to a file of either kind; the other figures (m, m2) to bare numbers, the waterline's length also
    to a hull file. `displacement_spread` in kg.
    """

    displacement: float | None = key(
        "all that she displaces on her line: hull, fin, bulb and rudder together; alone it gives the bulb's mass",
        MASS,
        "1 g to 1000 t",
        example="4.2 kg",
        find=(
            "Read the displacement off the drawing or the class rules; or load the finished boat till she floats on her "
            "line, and weigh boat and load."
        ),
    )
    displacement_water: float | None = key(
        "density of the water that her displacement was drawn for",
        DENSITY,
        "950 kg/m3 to 1250 kg/m3",
        example="1026 kg/m3",
        find="Fresh water is 999 kg/m3, the sea 1026: the drawing or the designer says which.",
        only_with=OnlyWith(
            ("displacement", "hull_displacement"),
            read="displacement_water without a displacement",
            remedy="Take it out, or add displacement.",
        ),
    )
    hull: str | None = key(
        "a surface, STL, OBJ, PLY or 3MF; exactly one of hull, offsets, hull_displacement",
        "text",
        example="hull.stl",
        varied="fixed",
        find=(
            "Export the hull's surface from the program it was drawn in, without fin, bulb, rudder and rig."
        ),
    )
    offsets: str | None = key(
        "a CSV table of stations, waterlines and half breadths",
        "text",
        example="hull-offsets.csv",
        varied="fixed",
        title="Table of offsets",
        find=(
            "Measure half breadths at level lines, at ten or more stations, on the drawing or on the "
            "hull set upside down and level."
        ),
    )
    hull_displacement: float | None = key(
        "water that the hull alone displaces at her line, without fin and bulb",
        MASS,
        "1 g to 1000 t",
        example="3.9 kg",
        find=(
            "Read the displacement of the hull alone off the drawing's figures. Or float the hull, "
            "loaded to her line without fin and bulb, and weigh it."
        ),
    )
    unit: Literal["mm", "cm", "m", "in", "ft"] | None = _of_surface(
        "of a hull file; left out: mm, or what a 3MF file says itself",
        "choice",
        means={"mm": "millimetres", "cm": "centimetres", "m": "metres", "in": "inches", "ft": "feet"},
        also={
            "mm": ("millimetre", "millimetres", "millimeter", "millimeters"),
            "cm": ("centimetre", "centimetres", "centimeter", "centimeters"),
            "m": ("metre", "metres", "meter", "meters"),
            "in": ("inch", "inches"),
            "ft": ("foot", "feet"),
        },
        find="Look at the program's export settings; the hull's length shows it at once.",
    )
    scale: float | None = _of_file(
        "size built over size modelled, such as 0.1",
        "number",
        "0.0001 to 10000",
        example="0.1",
        default="1",
        source=f"{FORMAT}: modelled at the size built",
        find="Divide the length you build by the length that was drawn.",
    )
    waterline: float | None = _of_file(
        "level of the design waterline, as modelled",
        LENGTH,
        "-500 m to 500 m",
        example="45 mm",
        default="0 mm",
        source=f"{FORMAT}: the design waterline is the level 0 of the file",
        find="Read the level of the design waterline off the drawing that the file was made from.",
    )
    forward_end: float | None = _of_file(
        "of the waterline, x as modelled",
        LENGTH,
        "-5000 m to 5000 m",
        example="20 mm",
        find="Read off the drawing where the waterline meets the stem.",
    )
    aft_end: float | None = _of_file(
        "of the waterline, x as modelled",
        LENGTH,
        "-5000 m to 5000 m",
        example="960 mm",
        find="Read off the drawing where the waterline ends aft.",
    )
    modelled: Literal["whole", "half"] | None = _of_surface(
        "whether the surface is the whole hull or one side of it",
        "choice",
        default="whole",
        source=FORMAT,
        title="Part modelled",
        means={"whole": "both sides of the hull", "half": "one side, which is mirrored"},
        also={"whole": ("full", "both", "both sides", "whole hull"), "half": ("one side", "half hull")},
        find="Look at the file in a viewer: one side or both.",
    )
    aft_axis: str | None = _axis(
        "the file's axis that points aft",
        default="x",
        find="Look at the file in a viewer: which axis runs towards her stern.",
    )
    up_axis: str | None = _axis(
        "the file's axis that points up",
        default="z",
        find="Look at the file in a viewer: which axis runs towards her deck.",
    )
    waterline_length: float | None = key(
        "of the boat as built",
        LENGTH,
        "above 10 mm and up to 100 m",
        example="900 mm",
        only_with=_way("hull", "hull_displacement", "displacement"),
        find="Measure level, from where the waterline meets the stem to where it ends aft.",
    )
    buoyancy_x: float | None = _of_figures(
        "the hull's centre of buoyancy",
        LENGTH,
        "-50 m to 50 m",
        example="480 mm",
        find=(
            "Read the centre of buoyancy off the drawing's figures, often given in per cent of the "
            "waterline; measure from its forward end."
        ),
    )
    buoyancy_z: float | None = _of_figures(
        "likewise; below the waterline is negative",
        LENGTH,
        "-50 m to 50 m",
        example="-24 mm",
        find=(
            "Read it off the drawing's figures; about 0.35 to 0.4 of the hull's draught below the waterline."
        ),
    )
    waterplane_area: float | None = _of_figures(
        "at her line",
        AREA,
        "above 0 cm2 and up to 1000 m2",
        example="1400 cm2",
        find=(
            "Trace the waterline on squared paper and count the squares; or float the hull and see "
            "how far 100 g sinks it."
        ),
    )
    flotation_x: float | None = _of_figures(
        "centre of the waterplane",
        LENGTH,
        "-50 m to 50 m",
        example="490 mm",
        find=(
            "Cut the traced waterplane out of card and balance it on an edge; or press the afloat "
            "hull where she sinks level."
        ),
    )
    waterline_beam: float | None = _of_figures(
        "at her line",
        LENGTH,
        "above 0 mm and up to 50 m",
        example="210 mm",
        find="Measure across the hull at the waterline where it is widest.",
    )
    hull_draught: float | None = _of_figures(
        "of the hull without fin",
        LENGTH,
        "above 0 mm and up to 50 m",
        example="60 mm",
        find="Measure from the waterline down to the hull's lowest point, the fin left out.",
    )
    freeboard: float | None = _of_figures(
        "least height of the deck's edge over the waterline",
        LENGTH,
        "above 0 mm and up to 20 m",
        example="62 mm",
        find="Measure from the waterline up to the deck's edge where it is lowest.",
    )
    metacentric_radius: float | None = _of_figures(
        "BM of the hull, heeling",
        LENGTH,
        "above 0 mm and up to 100 m",
        example="95 mm",
        find=(
            "Read it off the drawing's figures: the waterplane's second moment about its middle line "
            "over the displaced volume."
        ),
    )
    metacentric_radius_along: float | None = _of_figures(
        "BM of the hull, trimming",
        LENGTH,
        "above 0 mm and up to 1000 m",
        example="1.6 m",
        title="Longitudinal metacentric radius",
        find=(
            "Read it off the drawing's figures; or move a known weight along the floating hull and "
            "measure her trim."
        ),
    )
    waterplane_shape: Literal["pointed", "narrow-stern", "wide-stern"] | None = _of_figures(
        "with waterplane_area and waterline_length it gives an estimate of the longitudinal metacentric radius",
        "choice",
        left_out="any of them",
        means={
            "pointed": "both ends of the waterline are pointed",
            "narrow-stern": "she sits on a transom or counter narrower than half her beam",
            "wide-stern": "her waterline ends aft wider than half her beam",
        },
        also={
            "pointed": ("canoe stern", "double-ender", "double ended"),
            "narrow-stern": ("narrow transom", "narrow"),
            "wide-stern": ("wide transom", "wide", "transom"),
        },
        not_with={"metacentric_radius_along": "both say how stiffly she trims"},
        find=(
            "Look at the waterline from above, and at how wide she is where it ends aft. It is for waterplanes that "
            "fill 0.60 to 0.86 of length by beam; waterline_beam, where you know it, makes the estimate better."
        ),
    )
    displacement_spread: float | None = key(
        "how well the displacement is known, standard deviation; left out: a share of it",
        MASS,
        "0 g to 10 t",
        example="60 g",
        find="Estimate how far the figure may be off, two times out of three: 1 to 3 % of a drawing's.",
    )
    reserve: float | None = key(
        "kept back for screws, filler, paint and what is not listed yet; a line of the weight list",
        MASS,
        "0 g to 10 t",
        example="50 g",
        find="Weigh what you set aside for screws, filler and paint, or keep back 1 to 2 % of the boat.",
    )
    accept_sinkage: float | None = key(
        "deeper than her design waterline that you accept with the mass typed in",
        LENGTH,
        "0 mm to 1 m",
        example="12 mm",
        only_with=OnlyWith(
            "bulb.target_mass",
            read="accept_sinkage without bulb.target_mass",
            expected="accept_sinkage only with a mass that is typed: otherwise she floats on her line",
            remedy="Take accept_sinkage out.",
        ),
        find="Check how much deck, stem and transom are left with the waterline that much higher. Type it if that is "
        "enough.",
    )
    kind: Literal["model", "racing-model", "small-craft"] | None = key(
        "for the usual share of ballast; left out: of any kind. small-craft holds sailing until her structure is seen",
        "choice",
        left_out="of any kind",
        means={
            "model": "sailed for pleasure or free",
            "racing-model": "raced, with much of her weight in the bulb",
            "small-craft": "people sail in her",
        },
        also={
            "model": ("model yacht", "model boat"),
            "racing-model": ("racing", "racer", "racing yacht"),
            "small-craft": ("small boat", "keelboat", "dayboat", "dinghy"),
        },
        find=(
            "Choose what she is; it sets the usual share of ballast, and what is asked before people "
            "sail in her."
        ),
    )
    accept_structure: str | None = key(
        "typed in full when it is so, releases the hold on sailing a small craft",
        "choice",
        choices=(ACCEPT_STRUCTURE,),
        only_with=OnlyWith(
            {"kind": "small-craft"},
            read="accept_structure without a small craft",
            expected='accept_structure only with kind = "small-craft", whose hold it releases',
            remedy='Take accept_structure out, or write kind = "small-craft".',
        ),
        find=("Have a licensed practice look at fin, joint and hull first; then type the sentence in full."),
    )


@section(
    "weights",
    step="boat",
    basic="state",
    one="weight",
    most=500,
    varied="fixed",
    only_with=OnlyWith(
        "boat",
        read="weights without [boat]",
        expected="[boat] with them, or neither",
        remedy="Add [boat] with her displacement or hull, or take the weights out and give bulb.target_mass.",
    ),
)
class WeightSection:
    """One [[weights]]: kg and m, boat axes; `spread` None: the one usual for its state."""

    name: str = key(
        "what it is",
        "text",
        example="battery",
        required=True,
        find="Call it what you call it in the shed.",
    )
    mass: float = key(
        "as fitted",
        MASS,
        "0 g to 1000 t",
        example="120 g",
        required=True,
        find="Weigh it as fitted, wires, screws and glue with it.",
    )
    x: float | None = key(
        "aft of the waterline's forward end; shows where the bulb must hang",
        LENGTH,
        "-50 m to 50 m",
        example="380 mm",
        unknown=True,
        find=(
            "Balance the thing on an edge to find its middle, and measure aft from the forward end of "
            "the waterline."
        ),
    )
    y: float = key(
        "to starboard",
        LENGTH,
        "-50 m to 50 m",
        default="0 mm",
        source=f"{FORMAT}: amidships",
        find="Measure from the middle line to starboard; to port is negative.",
    )
    z: float | None = key(
        "above the waterline; below is negative; shows how stiffly she stands",
        LENGTH,
        "-50 m to 50 m",
        example="-10 mm",
        unknown=True,
        find="Measure from the waterline up to its middle; below it is negative.",
    )
    state: Literal["weighed", "estimated", "to come"] = key(
        "how its mass is known",
        "choice",
        default="estimated",
        source=f"{FORMAT}: the careful side",
        means={
            "weighed": "on a scale",
            "estimated": "by drawing, catalogue or guess",
            "to come": "not built or bought yet",
        },
        also={
            "weighed": ("measured", "on the scale"),
            "estimated": ("estimate", "guess", "guessed", "calculated"),
            "to come": ("not yet", "planned", "later", "still to come"),
        },
        find="Say how the figure came about; it sets how far it may be off.",
    )
    spread: float | None = key(
        "standard deviation of the mass; left out: by its state",
        MASS,
        "0 g to 10 t",
        example="5 g",
        find=("Estimate how far the mass may be off, two times out of three; of a scale, its smallest step."),
    )
    place_spread: float | None = key(
        "standard deviation of its place; left out: by its state and her length",
        LENGTH,
        "0 mm to 1 m",
        example="5 mm",
        find="Estimate how far its middle may be off, two times out of three.",
    )
    movable_forward_to: float | None = key(
        "furthest forward it may be moved",
        LENGTH,
        "-50 m to 50 m",
        example="300 mm",
        only_with=_MOVED_FROM,
        needed_with=NeededWith("movable_aft_to", **_ENDS_OF_MOVING),
        find="Try it in the boat: its middle's x at the furthest place forward that it fits.",
    )
    movable_aft_to: float | None = key(
        "furthest aft it may be moved",
        LENGTH,
        "-50 m to 50 m",
        example="520 mm",
        only_with=_MOVED_FROM,
        needed_with=NeededWith("movable_forward_to", **_ENDS_OF_MOVING),
        find="Try it in the boat: its middle's x at the furthest place aft that it fits.",
    )
    can_stay_ashore: Literal["no", "yes"] = key(
        "yes for trim lead and spare gear, not needed to sail",
        "choice",
        default="no",
        source=FORMAT,
        means={"no": "she needs it to sail", "yes": "trim lead or spare gear"},
        also={"no": ("n",), "yes": ("y",)},
        find="Ask whether she sails without it.",
    )
