"""Sections [boat] and [[weights]].

Values are frozen and in SI units; None means "not given". Nothing is calculated here: a default that depends on other
figures stays None, and is set and reported where its rule is declared.
"""

from __future__ import annotations

from functools import partial
from typing import Literal

from bulbcast.plan.agreement import NeededWith, OneOf, OnlyWith
from bulbcast.plan.declare import key, section
from bulbcast.plan.key import AREA, DENSITY, FORMAT, LENGTH, MASS

ACCEPT_STRUCTURE = "A licensed practice has seen fin, joint and hull"
"""Sentence to type in full to release the hold on sailing a small craft."""

_REPORTED = "Remove {leaf}: {other} either gives it or does not use it."


def _way(*ways: str) -> OnlyWith:
    """Declare a key that has an effect only if the hull is given in one of these forms."""
    return OnlyWith(ways, read="{leaf} with {other}", remedy=_REPORTED)


_of_surface = partial(key, varied="fixed", only_with=_way("hull"))
_axis = partial(
    _of_surface,
    written="choice",
    choices=("x", "-x", "y", "-y", "z", "-z"),
    source=FORMAT,
    means={
        "x": "along the file's x axis",
        "-x": "opposite to the file's x axis",
        "y": "along the file's y axis",
        "-y": "opposite to the file's y axis",
        "z": "along the file's z axis",
        "-z": "opposite to the file's z axis",
    },
    also={"x": ("+x",), "y": ("+y",), "z": ("+z",)},
)
_of_file = partial(key, varied="fixed", only_with=_way("hull", "offsets"))
_of_figures = partial(key, only_with=_way("hull_displacement", "displacement"))
_ENDS_OF_MOVING = {
    "also": "boat",
    "expected": "both ends of its range of movement, or neither",
    "remedy": "Add it. If the weight cannot move in this direction, give its x here.",
}

_MOVED_FROM = OnlyWith(
    "x",
    read="{leaf} without the weight's x",
    expected="the weight's position as well",
    remedy="Add x, measured aft from the forward end of the waterline, or remove {leaf}.",
)


@section(
    "boat",
    step="boat",
    basic="displacement hull offsets hull_displacement unit waterline waterline_length buoyancy_x "
    "buoyancy_z waterplane_area waterplane_shape flotation_x waterline_beam freeboard metacentric_radius kind",
    one_of=OneOf(
        ("hull", "offsets", "hull_displacement"),
        "Keep the one you trust most and remove the rest.",
        expected="exactly one of hull, offsets and hull_displacement",
        nothing=(
            "no hull",
            'Add, for example, displacement = "4.2 kg" (all up, including the fin, bulb and rudder), hull = '
            '"hull.stl", offsets = "hull-offsets.csv" or hull_displacement = "3.9 kg" (the hull alone). All except '
            "displacement also need the fin from hull to tip: root_chord, root_thickness, root_leading_edge_x, root_z, "
            "tip_leading_edge_x and tip_z under [fin].",
        ),
        unless="displacement",
    ),
)
class BoatSection:
    """Section [boat], with `displacement` (kg) of the complete boat, alone or with one of `hull`, `offsets` (paths as
    typed) and `hull_displacement` (kg).

    `unit`, `modelled` and the axes apply to a hull file, and `scale`, `waterline` and the two ends (m, as in the file)
    to either kind of file. The other figures (m, m2) apply if there is no file; the waterline length also applies to a
    hull file. `displacement_spread` is in kg.
    """

    displacement: float | None = key(
        "displacement of the complete boat at her design waterline, including the fin, bulb and rudder; enough on its "
        "own to give the bulb's mass",
        MASS,
        "1 g to 1000 t",
        example="4.2 kg",
        find=(
            "Take the displacement from the drawing or the class rules. Or load the finished boat until she floats at "
            "her design waterline, and weigh the boat and the load."
        ),
    )
    displacement_water: float | None = key(
        "density of the water for which the displacement was given",
        DENSITY,
        "950 kg/m3 to 1250 kg/m3",
        example="1026 kg/m3",
        find="Look on the drawing or ask the designer: fresh water is 999 kg/m3, sea water 1026.",
        only_with=OnlyWith(
            ("displacement", "hull_displacement"),
            read="displacement_water without a displacement",
            remedy="Remove it, or add displacement.",
        ),
    )
    hull: str | None = key(
        "file with the hull surface: STL, OBJ, PLY or 3MF; give exactly one of hull, offsets and hull_displacement",
        "text",
        example="hull.stl",
        varied="fixed",
        find=("Export the hull surface from your drawing program, without the fin, bulb, rudder and rig."),
    )
    offsets: str | None = key(
        "CSV table of stations, waterlines and half breadths",
        "text",
        example="hull-offsets.csv",
        varied="fixed",
        title="Table of offsets",
        find=(
            "Measure half breadths at several waterlines and ten or more stations, on the drawing or on the hull turned "
            "upside down and levelled."
        ),
    )
    hull_displacement: float | None = key(
        "displacement of the hull alone at the design waterline, without the fin and bulb",
        MASS,
        "1 g to 1000 t",
        example="3.9 kg",
        find=(
            "Read the displacement of the hull alone off the drawing. Or float the hull without the fin and bulb, load "
            "it down to the design waterline, and weigh it with the load."
        ),
    )
    unit: Literal["mm", "cm", "m", "in", "ft"] | None = _of_surface(
        "unit of a hull file; default: mm, or the unit stated in a 3MF file",
        "choice",
        means={"mm": "millimetres", "cm": "centimetres", "m": "metres", "in": "inches", "ft": "feet"},
        also={
            "mm": ("millimetre", "millimetres", "millimeter", "millimeters"),
            "cm": ("centimetre", "centimetres", "centimeter", "centimeters"),
            "m": ("metre", "metres", "meter", "meters"),
            "in": ("inch", "inches"),
            "ft": ("foot", "feet"),
        },
        find="Look at the export settings of your drawing program. The hull length shows at once whether the unit is "
        "right.",
    )
    scale: float | None = _of_file(
        "size built divided by size modelled, such as 0.1",
        "number",
        "0.0001 to 10000",
        example="0.1",
        default="1",
        source=f"{FORMAT}: modelled at full size",
        find="Divide the length as built by the length as drawn.",
    )
    waterline: float | None = _of_file(
        "height of the design waterline in the file",
        LENGTH,
        "-500 m to 500 m",
        example="45 mm",
        default="0 mm",
        source=f"{FORMAT}: the design waterline is at height 0 in the file",
        find="Read the height of the design waterline off the drawing that the file was made from.",
    )
    forward_end: float | None = _of_file(
        "forward end of the waterline, as x in the file",
        LENGTH,
        "-5000 m to 5000 m",
        example="20 mm",
        find="On the drawing, read the x at which the waterline meets the stem.",
    )
    aft_end: float | None = _of_file(
        "after end of the waterline, as x in the file",
        LENGTH,
        "-5000 m to 5000 m",
        example="960 mm",
        find="Read the x of the waterline's after end off the drawing.",
    )
    modelled: Literal["whole", "half"] | None = _of_surface(
        "whether the file shows the complete hull or one side of it",
        "choice",
        default="whole",
        source=FORMAT,
        title="Part modelled",
        means={"whole": "both sides of the hull", "half": "one side, which the program mirrors"},
        also={"whole": ("full", "both", "both sides", "whole hull"), "half": ("one side", "half hull")},
        find="Look at the file in a viewer to see whether it shows one side or both.",
    )
    aft_axis: str | None = _axis(
        "axis of the file that points aft",
        default="x",
        find="Look at the file in a viewer to see which axis points towards the stern.",
    )
    up_axis: str | None = _axis(
        "axis of the file that points up",
        default="z",
        find="Look at the file in a viewer to see which axis points towards the deck.",
    )
    waterline_length: float | None = key(
        "length of the waterline of the boat as built",
        LENGTH,
        "above 10 mm and up to 100 m",
        example="900 mm",
        only_with=_way("hull", "hull_displacement", "displacement"),
        find="Measure horizontally from where the waterline meets the stem to where it ends aft.",
    )
    buoyancy_x: float | None = _of_figures(
        "distance of the hull's centre of buoyancy aft of the waterline's forward end",
        LENGTH,
        "-50 m to 50 m",
        example="480 mm",
        find=(
            "Read the centre of buoyancy off the drawing. It is often given as a percentage of the waterline; measure "
            "from the forward end."
        ),
    )
    buoyancy_z: float | None = _of_figures(
        "height of the hull's centre of buoyancy; negative below the waterline",
        LENGTH,
        "-50 m to 50 m",
        example="-24 mm",
        find="Read it off the drawing. It lies about 0.35 to 0.4 of the hull's draught below the waterline.",
    )
    waterplane_area: float | None = _of_figures(
        "area of the waterplane at her design waterline",
        AREA,
        "above 0 cm2 and up to 1000 m2",
        example="1400 cm2",
        find=(
            "Trace the waterline on squared paper and count the squares. Or float the hull and see how far 100 g sinks it."
        ),
    )
    flotation_x: float | None = _of_figures(
        "distance of the waterplane's centre aft of the waterline's forward end",
        LENGTH,
        "-50 m to 50 m",
        example="490 mm",
        find=(
            "Cut the traced waterplane out of card and balance it on an edge. Or press down on the floating hull and "
            "find the point at which she sinks without trimming."
        ),
    )
    waterline_beam: float | None = _of_figures(
        "beam at her design waterline",
        LENGTH,
        "above 0 mm and up to 50 m",
        example="210 mm",
        find="Measure across the hull at the waterline where it is widest.",
    )
    hull_draught: float | None = _of_figures(
        "draught of the hull without the fin",
        LENGTH,
        "above 0 mm and up to 50 m",
        example="60 mm",
        find="Measure from the waterline down to the hull's lowest point, without the fin.",
    )
    freeboard: float | None = _of_figures(
        "lowest height of the deck edge above the waterline",
        LENGTH,
        "above 0 mm and up to 20 m",
        example="62 mm",
        find="Measure from the waterline up to the lowest point of the deck edge.",
    )
    metacentric_radius: float | None = _of_figures(
        "transverse metacentric radius of the hull, BM",
        LENGTH,
        "above 0 mm and up to 100 m",
        example="95 mm",
        find=(
            "Read it off the drawing. It is the waterplane's second moment of area about its centreline divided by the "
            "displaced volume."
        ),
    )
    metacentric_radius_along: float | None = _of_figures(
        "longitudinal metacentric radius of the hull, BM",
        LENGTH,
        "above 0 mm and up to 1000 m",
        example="1.6 m",
        title="Longitudinal metacentric radius",
        find="Read it off the drawing, or move a known weight along the floating hull and measure the trim.",
    )
    waterplane_shape: Literal["pointed", "narrow-stern", "wide-stern"] | None = _of_figures(
        "shape of the waterplane; with waterplane_area and waterline_length it gives an estimate of the longitudinal "
        "metacentric radius",
        "choice",
        left_out="any of them",
        means={
            "pointed": "both ends of the waterline are pointed",
            "narrow-stern": "the waterline ends at a transom or counter narrower than half the beam",
            "wide-stern": "the waterline's after end is wider than half the beam",
        },
        also={
            "pointed": ("canoe stern", "double-ender", "double ended"),
            "narrow-stern": ("narrow transom", "narrow"),
            "wide-stern": ("wide transom", "wide", "transom"),
        },
        not_with={"metacentric_radius_along": "both set how strongly she resists trim"},
        find=(
            "Look at the waterline from above and see how wide it is at its after end. The estimate suits waterplanes "
            "whose area is 0.60 to 0.86 of length times beam. If you know waterline_beam, give it too: it improves the "
            "estimate."
        ),
    )
    displacement_spread: float | None = key(
        "standard deviation of the displacement; default: a fixed fraction of it",
        MASS,
        "0 g to 10 t",
        example="60 g",
        find=(
            "Estimate how far off the figure may be; a larger error should occur only one time in three. For a drawing, "
            "this is 1 to 3 %."
        ),
    )
    reserve: float | None = key(
        "mass reserved for screws, filler, paint and anything not listed yet; included in the weight list",
        MASS,
        "0 g to 10 t",
        example="50 g",
        find="Weigh the screws, filler and paint that you have set aside, or reserve 1 to 2 % of the boat's mass.",
    )
    accept_sinkage: float | None = key(
        "how far below her design waterline you allow her to float with the target mass",
        LENGTH,
        "0 mm to 1 m",
        example="12 mm",
        only_with=OnlyWith(
            "bulb.target_mass",
            read="accept_sinkage without bulb.target_mass",
            expected="accept_sinkage only with a target mass; without one she floats at her design waterline",
            remedy="Remove accept_sinkage.",
        ),
        find="Check how much of the deck, stem and transom stays above water when the waterline is higher by this "
        "distance. If that is enough, enter the distance.",
    )
    kind: Literal["model", "racing-model", "small-craft"] | None = key(
        "kind of boat, for the typical ballast fraction; default: any kind. With small-craft, sailing is on hold until "
        "the structure has been inspected",
        "choice",
        left_out="any kind",
        means={
            "model": "for pleasure sailing or free sailing",
            "racing-model": "raced, with much of the weight in the bulb",
            "small-craft": "people sail in her",
        },
        also={
            "model": ("model yacht", "model boat"),
            "racing-model": ("racing", "racer", "racing yacht"),
            "small-craft": ("small boat", "keelboat", "dayboat", "dinghy"),
        },
        find=(
            "Choose the kind of boat. It sets the typical ballast fraction and the checks required before people sail "
            "in her."
        ),
    )
    accept_structure: str | None = key(
        "sentence to type in full once it is true; it releases the hold on sailing a small craft",
        "choice",
        choices=(ACCEPT_STRUCTURE,),
        only_with=OnlyWith(
            {"kind": "small-craft"},
            read="accept_structure without a small craft",
            expected='accept_structure only with kind = "small-craft", because it releases the hold on sailing a '
            "small craft",
            remedy='Remove accept_structure, or write kind = "small-craft".',
        ),
        find=(
            "First have a licensed naval architect inspect the fin, joint and hull. Then type the sentence in full."
        ),
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
        expected="both [boat] and [[weights]], or neither",
        remedy="Add [boat] with her displacement or hull, or remove the weights and give bulb.target_mass.",
    ),
)
class WeightSection:
    """One [[weights]] entry, with masses in kg and positions in m, boat axes. A `spread` of None means the typical value
    for its state."""

    name: str = key(
        "name of the weight",
        "text",
        example="battery",
        required=True,
        find="Use the name you call it by in the workshop.",
    )
    mass: float = key(
        "mass as fitted",
        MASS,
        "0 g to 1000 t",
        example="120 g",
        required=True,
        find="Weigh it as fitted, with its wires, screws and glue.",
    )
    x: float | None = key(
        "distance aft of the waterline's forward end; needed to find where the bulb must hang",
        LENGTH,
        "-50 m to 50 m",
        example="380 mm",
        unknown=True,
        find=(
            "Balance the part on an edge to find its centre of mass, and measure aft from the forward end of the waterline."
        ),
    )
    y: float = key(
        "distance to starboard of the centreline",
        LENGTH,
        "-50 m to 50 m",
        default="0 mm",
        source=f"{FORMAT}: amidships",
        find="Measure from the centreline to starboard. Distances to port are negative.",
    )
    z: float | None = key(
        "height above the waterline, negative below; needed to find how stiff she is",
        LENGTH,
        "-50 m to 50 m",
        example="-10 mm",
        unknown=True,
        find="Measure from the waterline up to the middle of the weight. A height below the waterline is negative.",
    )
    state: Literal["weighed", "estimated", "to come"] = key(
        "source of the mass figure",
        "choice",
        default="estimated",
        source=f"{FORMAT}: the cautious choice",
        means={
            "weighed": "on a scale",
            "estimated": "from a drawing, a catalogue or a guess",
            "to come": "not built or bought yet",
        },
        also={
            "weighed": ("measured", "on the scale"),
            "estimated": ("estimate", "guess", "guessed", "calculated"),
            "to come": ("not yet", "planned", "later", "still to come"),
        },
        find="State where the figure comes from. The assumed error depends on it.",
    )
    spread: float | None = key(
        "standard deviation of the mass; default: depends on its state",
        MASS,
        "0 g to 10 t",
        example="5 g",
        find=(
            "Estimate how far off the mass may be; a larger error should occur only one time in three. For a scale, use "
            "its smallest step."
        ),
    )
    place_spread: float | None = key(
        "standard deviation of its position; default: depends on its state and the boat's length",
        LENGTH,
        "0 mm to 1 m",
        example="5 mm",
        find=(
            "Estimate how far off the position of the weight's middle may be; a larger error should occur only one time "
            "in three."
        ),
    )
    movable_forward_to: float | None = key(
        "furthest forward position to which it can be moved",
        LENGTH,
        "-50 m to 50 m",
        example="300 mm",
        only_with=_MOVED_FROM,
        needed_with=NeededWith("movable_aft_to", **_ENDS_OF_MOVING),
        find="Put the weight in the boat as far forward as it will go, and measure the x of its middle.",
    )
    movable_aft_to: float | None = key(
        "furthest aft position to which it can be moved",
        LENGTH,
        "-50 m to 50 m",
        example="520 mm",
        only_with=_MOVED_FROM,
        needed_with=NeededWith("movable_forward_to", **_ENDS_OF_MOVING),
        find="Put the weight in the boat as far aft as it will go, and measure the x of its middle.",
    )
    can_stay_ashore: Literal["no", "yes"] = key(
        "yes for trim lead and spare gear that she does not need for sailing",
        "choice",
        default="no",
        source=FORMAT,
        means={"no": "she needs it to sail", "yes": "trim lead or spare gear"},
        also={"no": ("n",), "yes": ("y",)},
        find="Decide whether she can sail without this weight.",
    )
