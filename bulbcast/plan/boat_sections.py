"""[boat] and [[weights]].

SI and frozen; None means "not given". Nothing is calculated here: a default that depends on another figure stays None
and is settled by the room that owns the rule, which also says so in the report.
"""

from __future__ import annotations

from typing import Literal

from bulbcast.plan.agreement import NeededWith, OneOf, OnlyWith
from bulbcast.plan.declare import key, section
from bulbcast.plan.key import FORMAT
from bulbcast.quantities import Dimension

ACCEPT_STRUCTURE = "A licensed practice has seen fin, joint and hull"
"""What has to be typed, in full, to release the hold on sailing a small craft."""

_TOLD = "Take {leaf} out: {other} tells it or has no use for it."


def _way(*ways: str) -> OnlyWith:
    """A key that belongs to these ways of giving a hull."""
    return OnlyWith(ways, read="{leaf} with {other}", remedy=_TOLD)


_SURFACE = _way("hull")
_FILE = _way("hull", "offsets")
_FIGURES = _way("hull_displacement")
_NO_FILE = NeededWith("hull_displacement", "which hull_displacement needs")
_ENDS_OF_MOVING = {
    "also": "boat",
    "expected": "both ends of where it may be moved, or neither",
    "remedy": "Add it; the weight's own x will do where it may be moved one way only.",
}


@section(
    "boat",
    step="boat",
    one_of=(
        OneOf(
            ("hull", "offsets", "hull_displacement"),
            "Keep the one you trust most and take out the rest.",
            expected="exactly one of hull, offsets and hull_displacement",
            nothing=(
                "no hull",
                'Add hull = "hull.stl", offsets = "hull-offsets.csv" or hull_displacement = "3.9 kg", say.',
            ),
        ),
    ),
)
class BoatSection:
    """[boat]: exactly one of `hull` and `offsets` (paths as typed) and `hull_displacement` (kg).

    `unit`, `modelled` and the axes belong to a hull file; `scale`, `waterline` and the two ends (m, as
    modelled) to a file of either kind; the other figures (m, m2) to bare numbers, the waterline's length also
    to a hull file. `displacement_spread` in kg.
    """

    hull: str | None = key(
        "a surface, STL, OBJ, PLY or 3MF; exactly one of hull, offsets, hull_displacement",
        "text",
        example="hull.stl",
        varied="fixed",
    )
    offsets: str | None = key(
        "a CSV table of stations, waterlines and half breadths",
        "text",
        example="hull-offsets.csv",
        varied="fixed",
    )
    hull_displacement: float | None = key(
        "water that the hull alone displaces at her line, without fin and bulb",
        Dimension.MASS,
        "1 g",
        "1000 t",
        example="3.9 kg",
    )
    unit: Literal["mm", "cm", "m", "in", "ft"] | None = key(
        "of a hull file; left out: mm, or what a 3MF file says itself",
        "choice",
        varied="fixed",
        only_with=_SURFACE,
    )
    scale: float | None = key(
        "size built over size modelled, such as 0.1",
        "number",
        "0.0001",
        "10000",
        example="0.1",
        default="1",
        source=f"{FORMAT}: modelled at the size built",
        varied="fixed",
        only_with=_FILE,
    )
    waterline: float | None = key(
        "level of the design waterline, as modelled",
        Dimension.LENGTH,
        "-500 m",
        "500 m",
        example="45 mm",
        default="0 mm",
        source=f"{FORMAT}: the design waterline is the level 0 of the file",
        varied="fixed",
        only_with=_FILE,
    )
    forward_end: float | None = key(
        "of the waterline, x as modelled",
        Dimension.LENGTH,
        "-5000 m",
        "5000 m",
        example="20 mm",
        varied="fixed",
        only_with=_FILE,
    )
    aft_end: float | None = key(
        "of the waterline, x as modelled",
        Dimension.LENGTH,
        "-5000 m",
        "5000 m",
        example="960 mm",
        varied="fixed",
        only_with=_FILE,
    )
    modelled: Literal["whole", "half"] | None = key(
        "whether the surface is the whole hull or one side of it",
        "choice",
        default="whole",
        source=FORMAT,
        varied="fixed",
        only_with=_SURFACE,
    )
    aft_axis: str | None = key(
        "the file's axis that points aft",
        "choice",
        choices=("x", "-x", "y", "-y", "z", "-z"),
        default="x",
        source=FORMAT,
        varied="fixed",
        only_with=_SURFACE,
    )
    up_axis: str | None = key(
        "the file's axis that points up",
        "choice",
        choices=("x", "-x", "y", "-y", "z", "-z"),
        default="z",
        source=FORMAT,
        varied="fixed",
        only_with=_SURFACE,
    )
    waterline_length: float | None = key(
        "of the boat as built",
        Dimension.LENGTH,
        "10 mm",
        "100 m",
        example="900 mm",
        above=True,
        only_with=_way("hull", "hull_displacement"),
        needed_with=_NO_FILE,
    )
    buoyancy_x: float | None = key(
        "the hull's centre of buoyancy",
        Dimension.LENGTH,
        "-50 m",
        "50 m",
        example="480 mm",
        only_with=_FIGURES,
        needed_with=_NO_FILE,
    )
    buoyancy_z: float | None = key(
        "likewise; below the waterline is negative",
        Dimension.LENGTH,
        "-50 m",
        "50 m",
        example="-24 mm",
        only_with=_FIGURES,
    )
    waterplane_area: float | None = key(
        "at her line",
        Dimension.AREA,
        "0 cm2",
        "1000 m2",
        example="1400 cm2",
        above=True,
        only_with=_FIGURES,
    )
    flotation_x: float | None = key(
        "centre of the waterplane",
        Dimension.LENGTH,
        "-50 m",
        "50 m",
        example="490 mm",
        only_with=_FIGURES,
    )
    waterline_beam: float | None = key(
        "at her line",
        Dimension.LENGTH,
        "0 mm",
        "50 m",
        example="210 mm",
        above=True,
        only_with=_FIGURES,
    )
    hull_draught: float | None = key(
        "of the hull without fin",
        Dimension.LENGTH,
        "0 mm",
        "50 m",
        example="60 mm",
        above=True,
        only_with=_FIGURES,
    )
    freeboard: float | None = key(
        "least height of the deck's edge over the waterline",
        Dimension.LENGTH,
        "0 mm",
        "20 m",
        example="62 mm",
        above=True,
        only_with=_FIGURES,
    )
    metacentric_radius: float | None = key(
        "BM of the hull, heeling",
        Dimension.LENGTH,
        "0 mm",
        "100 m",
        example="95 mm",
        above=True,
        only_with=_FIGURES,
    )
    metacentric_radius_along: float | None = key(
        "BM of the hull, trimming",
        Dimension.LENGTH,
        "0 mm",
        "1000 m",
        example="1.6 m",
        above=True,
        only_with=_FIGURES,
    )
    displacement_spread: float | None = key(
        "how well the displacement is known, standard deviation",
        Dimension.MASS,
        "0 g",
        "10 t",
        example="60 g",
    )
    kind: Literal["model", "racing-model", "small-craft"] | None = key(
        "for the usual share of ballast; left out: of any kind. small-craft holds sailing until her structure is seen",
        "choice",
        left_out="of any kind",
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
    )


@section(
    "weights",
    step="boat",
    one="weight",
    most=500,
    varied="fixed",
    only_with=OnlyWith(
        "boat",
        read="weights without [boat]",
        expected="[boat] with them, or neither",
        remedy="Add [boat] with the hull, or take the weights out and give bulb.target_mass.",
    ),
)
class WeightSection:
    """One [[weights]]: kg and m, boat axes; `spread` None: the one usual for its state."""

    name: str = key("what it is", "text", example="battery", required=True)
    mass: float = key("as fitted", Dimension.MASS, "0 g", "1000 t", example="120 g", required=True)
    x: float = key(
        "aft of the waterline's forward end",
        Dimension.LENGTH,
        "-50 m",
        "50 m",
        example="380 mm",
        required=True,
    )
    y: float = key(
        "to starboard",
        Dimension.LENGTH,
        "-50 m",
        "50 m",
        example="0 mm",
        default="0 mm",
        source=f"{FORMAT}: amidships",
    )
    z: float = key(
        "above the waterline; below is negative",
        Dimension.LENGTH,
        "-50 m",
        "50 m",
        example="-10 mm",
        required=True,
    )
    state: Literal["weighed", "estimated", "to come"] = key(
        "how its mass is known", "choice", default="estimated", source=f"{FORMAT}: the careful side"
    )
    spread: float | None = key(
        "standard deviation of the mass; left out: by its state", Dimension.MASS, "0 g", "10 t", example="5 g"
    )
    place_spread: float = key(
        "standard deviation of its place",
        Dimension.LENGTH,
        "0 mm",
        "1 m",
        example="5 mm",
        default="0 mm",
        source=f"{FORMAT}: its place is taken as measured",
    )
    movable_forward_to: float | None = key(
        "furthest forward it may be moved",
        Dimension.LENGTH,
        "-50 m",
        "50 m",
        example="300 mm",
        needed_with=NeededWith("movable_aft_to", **_ENDS_OF_MOVING),
    )
    movable_aft_to: float | None = key(
        "furthest aft it may be moved",
        Dimension.LENGTH,
        "-50 m",
        "50 m",
        example="520 mm",
        needed_with=NeededWith("movable_forward_to", **_ENDS_OF_MOVING),
    )
    can_stay_ashore: Literal["no", "yes"] = key(
        "yes for trim lead and spare gear, not needed to sail", "choice", default="no", source=FORMAT
    )
