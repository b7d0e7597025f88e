"""Keys of the boat: [boat], [[weights]], and what of [fin] only the boat needs.

A part of the table of keys; ranges and defaults are written as a builder types them.
"""

from __future__ import annotations

from bulbcast.plan.key import FORMAT, Key, Kind, choice, number, quantity
from bulbcast.quantities import Dimension

_L, _M, _AREA, _DENSITY = Dimension.LENGTH, Dimension.MASS, Dimension.AREA, Dimension.DENSITY
_PLACE = ("-50 m", "50 m")
_AXES = ("x", "-x", "y", "-y", "z", "-z")

ACCEPT_STRUCTURE = "A licensed practice has seen fin, joint and hull"
"""What has to be typed, in full, to release the hold on sailing a small craft."""

WAYS = ("boat.hull", "boat.offsets", "boat.hull_displacement")
"""The three ways to give a hull: exactly one."""

BOAT_KEYS = (
    Key(
        name="boat.hull",
        kind=Kind.TEXT,
        about="a surface, STL, OBJ, PLY or 3MF; exactly one of hull, offsets, hull_displacement",
        example='"hull.stl"',
    ),
    Key(
        name="boat.offsets",
        kind=Kind.TEXT,
        about="a CSV table of stations, waterlines and half breadths",
        example='"hull-offsets.csv"',
    ),
    quantity(
        "boat.hull_displacement",
        _M,
        "1 g",
        "1000 t",
        "3.9 kg",
        "water that the hull alone displaces at her line, without fin and bulb",
    ),
    choice(
        "boat.unit",
        ("mm", "cm", "m", "in", "ft"),
        "of a hull file; left out: mm, or what a 3MF file says itself",
    ),
    number(
        "boat.scale",
        "0.0001",
        "10000",
        "0.1",
        "size built over size modelled, such as 0.1",
        default="1",
        source=f"{FORMAT}: modelled at the size built",
    ),
    quantity(
        "boat.waterline",
        _L,
        "-500 m",
        "500 m",
        "45 mm",
        "level of the design waterline, as modelled",
        default="0 mm",
        source=f"{FORMAT}: the design waterline is the level 0 of the file",
    ),
    quantity("boat.forward_end", _L, "-5000 m", "5000 m", "20 mm", "of the waterline, x as modelled"),
    quantity("boat.aft_end", _L, "-5000 m", "5000 m", "960 mm", "of the waterline, x as modelled"),
    choice(
        "boat.modelled",
        ("whole", "half"),
        "whether the surface is the whole hull or one side of it",
        default="whole",
        source=FORMAT,
    ),
    choice("boat.aft_axis", _AXES, "the file's axis that points aft", default="x", source=FORMAT),
    choice("boat.up_axis", _AXES, "the file's axis that points up", default="z", source=FORMAT),
    quantity("boat.waterline_length", _L, "10 mm", "100 m", "900 mm", "of the boat as built", above=True),
    quantity("boat.buoyancy_x", _L, *_PLACE, "480 mm", "the hull's centre of buoyancy"),
    quantity("boat.buoyancy_z", _L, *_PLACE, "-24 mm", "likewise; below the waterline is negative"),
    quantity("boat.waterplane_area", _AREA, "0 cm2", "1000 m2", "1400 cm2", "at her line", above=True),
    quantity("boat.flotation_x", _L, *_PLACE, "490 mm", "centre of the waterplane"),
    quantity("boat.waterline_beam", _L, "0 mm", "50 m", "210 mm", "at her line", above=True),
    quantity("boat.hull_draught", _L, "0 mm", "50 m", "60 mm", "of the hull without fin", above=True),
    quantity(
        "boat.freeboard",
        _L,
        "0 mm",
        "20 m",
        "62 mm",
        "least height of the deck's edge over the waterline",
        above=True,
    ),
    quantity("boat.metacentric_radius", _L, "0 mm", "100 m", "95 mm", "BM of the hull, heeling", above=True),
    quantity(
        "boat.metacentric_radius_along", _L, "0 mm", "1000 m", "1.6 m", "BM of the hull, trimming", above=True
    ),
    quantity(
        "boat.displacement_spread",
        _M,
        "0 g",
        "10 t",
        "60 g",
        "how well the displacement is known, standard deviation",
    ),
    choice(
        "boat.kind",
        ("model", "racing-model", "small-craft"),
        "for the usual share of ballast; left out: of any kind. small-craft holds sailing until her structure is seen",
    ),
    choice(
        "boat.accept_structure",
        (ACCEPT_STRUCTURE,),
        "typed in full when it is so, releases the hold on sailing a small craft",
    ),
)

HULL_KEYS: dict[str, tuple[str, ...]] = {
    "boat.hull": (
        "unit", "scale", "waterline", "forward_end", "aft_end", "modelled", "aft_axis", "up_axis",
        "waterline_length",
    ),
    "boat.offsets": ("scale", "waterline", "forward_end", "aft_end"),
    "boat.hull_displacement": (
        "waterline_length", "buoyancy_x", "buoyancy_z", "waterplane_area", "flotation_x", "waterline_beam",
        "hull_draught", "freeboard", "metacentric_radius", "metacentric_radius_along",
    ),
}  # fmt: skip
"""Keys of [boat] that belong to each way of giving the hull; the rest belong to any."""

WEIGHT_KEYS = (
    Key(name="weights.name", kind=Kind.TEXT, about="what it is", example='"battery"', required=True),
    quantity("weights.mass", _M, "0 g", "1000 t", "120 g", "as fitted", required=True),
    quantity("weights.x", _L, *_PLACE, "380 mm", "aft of the waterline's forward end", required=True),
    quantity("weights.y", _L, *_PLACE, "0 mm", "to starboard", default="0 mm", source=f"{FORMAT}: amidships"),
    quantity("weights.z", _L, *_PLACE, "-10 mm", "above the waterline; below is negative", required=True),
    choice(
        "weights.state",
        ("weighed", "estimated", "to come"),
        "how its mass is known",
        default="estimated",
        source=f"{FORMAT}: the careful side",
    ),
    quantity(
        "weights.spread", _M, "0 g", "10 t", "5 g", "standard deviation of the mass; left out: by its state"
    ),
    quantity(
        "weights.place_spread",
        _L,
        "0 mm",
        "1 m",
        "5 mm",
        "standard deviation of its place",
        default="0 mm",
        source=f"{FORMAT}: its place is taken as measured",
    ),
    quantity("weights.movable_forward_to", _L, *_PLACE, "300 mm", "furthest forward it may be moved"),
    quantity("weights.movable_aft_to", _L, *_PLACE, "520 mm", "furthest aft it may be moved"),
    choice(
        "weights.can_stay_ashore",
        ("no", "yes"),
        "yes for trim lead and spare gear, not needed to sail",
        default="no",
        source=FORMAT,
    ),
)

FIN_ROOT = ("fin.root_chord", "fin.root_thickness", "fin.root_leading_edge_x", "fin.root_z")
"""What makes the fin's tip into a whole fin: needed with the boat."""

FIN_BOAT_KEYS = (
    quantity("fin.root_chord", _L, "1 mm", "10 m", "85 mm", "fore-and-aft length where it meets the hull"),
    quantity("fin.root_thickness", _L, "0.1 mm", "2 m", "9 mm", "NACA four-digit section at the root"),
    quantity("fin.root_leading_edge_x", _L, *_PLACE, "380 mm", "in boat axes"),
    quantity("fin.root_z", _L, *_PLACE, "-50 mm", "level where it meets the hull"),
    quantity(
        "fin.mass", _M, "0 g", "20 t", "210 g", "the whole fin, weighed; or density, or a line of its own"
    ),
    quantity("fin.density", _DENSITY, "50 kg/m3", "25000 kg/m3", "1.6 g/cm3", "of the whole fin, estimated"),
    quantity(
        "fin.overhang_forward", _L, "0 mm", "20 m", "140 mm", "largest, of the bulb's nose over the tip"
    ),
    quantity("fin.overhang_aft", _L, "0 mm", "20 m", "160 mm", "largest, of the bulb's tail over the tip"),
)
