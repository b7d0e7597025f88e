"""Keys of the bulb and of what it hangs on: [bulb], [alloy], [fin], [[screws]].

A part of the table of keys; ranges and defaults are written as a builder types them.
"""

from __future__ import annotations

from typing import get_args

from bulbcast.plan.key import COMMON, FORMAT, Key, Kind, choice, number, quantity
from bulbcast.plan.sections import Grade, ProfileKind
from bulbcast.quantities import Dimension

_L, _M, _R, _DENSITY = Dimension.LENGTH, Dimension.MASS, Dimension.RATIO, Dimension.DENSITY
_SOLID = ("50 kg/m3", "25000 kg/m3")

BULB_KEYS = (
    quantity(
        "bulb.target_mass", _M, "10 g", "20 t", "2.45 kg", "everything that hangs on the fin", required=True
    ),
    choice(
        "bulb.profile",
        get_args(ProfileKind),
        "naca4, naca4mod, spheroid, series58, sears-haack or offsets",
        default="naca4",
        source=FORMAT,
    ),
    number(
        "bulb.fineness",
        "2",
        "20",
        "5.0",
        "length over diameter; exactly one of fineness, length, diameter",
        default="6",
        source="judgement: within 5 to 8, where drag at a given volume hardly changes",
    ),
    quantity("bulb.length", _L, "10 mm", "30 m", "240 mm", "of the finished lead, after the tail cut"),
    quantity("bulb.diameter", _L, "2 mm", "5 m", "45 mm", "the largest, of the finished lead"),
    number(
        "bulb.width_to_height",
        "0.4",
        "3",
        "1.0",
        "above 1 is wider than high; the section keeps its area",
        default="1",
        source=f"{FORMAT}: a round section",
    ),
    quantity(
        "bulb.tail_diameter",
        _L,
        "0 mm",
        "5 m",
        "4 mm",
        "where the tail is cut square; left out: 8 % of diameter",
    ),
    quantity(
        "bulb.skin",
        _L,
        "0 mm",
        "20 mm",
        "0.2 mm",
        "thickness of fairing and paint",
        default="0 mm",
        source=f"{FORMAT}: no fairing or paint counted",
    ),
    quantity(
        "bulb.filler_density",
        _DENSITY,
        *_SOLID,
        "1.2 g/cm3",
        "of skin, plugs and bedding",
        default="1.2 g/cm3",
        source=f"{COMMON}: epoxy with light filler",
    ),
    quantity(
        "bulb.smallest_wall",
        _L,
        "0 mm",
        "1 m",
        "3 mm",
        "least lead round the cuts; left out: 3 mm, 10 mm from 40 kg up",
    ),
    quantity(
        "bulb.mass_centre_x",
        _L,
        "-50 m",
        "50 m",
        "423 mm",
        "where the mass centre has to be; instead of fin.carry_at",
    ),
    quantity(
        "bulb.incidence",
        Dimension.ANGLE,
        "-10 deg",
        "10 deg",
        "2 deg",
        "of the bulb's axis to the waterline; nose up is positive",
        default="0 deg",
        source=f"{FORMAT}: the bulb's axis lies along the waterline",
    ),
    number(
        "bulb.max_at",
        "0",
        "1",
        "0.4",
        "place of the largest section, as a fraction of the length",
        above=True,
        below=True,
        profiles=("naca4mod", "series58"),
    ),
    number("bulb.nose_index", "0", "8", "6", "nose roundness index", above=True, profiles=("naca4mod",)),
    number("bulb.nose_radius", "0", "10", "0.5", "Gertler's r0", profiles=("series58",)),
    number("bulb.tail_radius", "0", "10", "0.1", "Gertler's r1", profiles=("series58",)),
    number(
        "bulb.prismatic",
        "0",
        "1",
        "0.65",
        "Gertler's Cp",
        above=True,
        below=True,
        profiles=("series58",),
    ),
    Key(
        name="bulb.offsets",
        kind=Kind.TEXT,
        about="a file of x, r from the nose",
        example='"profile.csv"',
        profiles=("offsets",),
    ),
)

ALLOY_KEYS = (
    choice("alloy.grade", get_args(Grade), "what the lead is; unknown is a legal answer"),
    quantity("alloy.density", _DENSITY, "5 g/cm3", "11.6 g/cm3", "11.1 g/cm3", "of sound metal at 20 C"),
    Key(
        name="alloy.composition",
        kind=Kind.TABLE,
        about="parts per hundred by mass",
        example="{Pb = 96, Sb = 4}",
    ),
    Key(
        name="alloy.weighed",
        kind=Kind.TABLE,
        about="scrap, weighed dry and in fresh water",
        example='{in_air = "512.0 g", in_water = "466.4 g"}',
    ),
    quantity(
        "alloy.porosity",
        _R,
        "0 %",
        "10 %",
        "1.0 %",
        "voids in the casting",
        default="1.0 %",
        source="judgement",
    ),
)

WEIGHED_KEYS = (
    quantity(
        "alloy.weighed.in_air",
        _M,
        "0 g",
        "1 t",
        "512.0 g",
        "the sample on the scale",
        above=True,
        required=True,
    ),
    quantity(
        "alloy.weighed.in_water",
        _M,
        "0 g",
        "1 t",
        "466.4 g",
        "hung on a thread, wholly under fresh water",
        above=True,
        required=True,
    ),
    quantity(
        "alloy.weighed.water_temperature",
        Dimension.TEMPERATURE,
        "0 C",
        "40 C",
        "20 C",
        "of that water",
        default="20 C",
        source=f"{FORMAT}: a room's temperature",
    ),
    quantity(
        "alloy.weighed.sample_porosity",
        _R,
        "0 %",
        "10 %",
        "0.5 %",
        "voids in the sample itself",
        default="0 %",
        source=f"{FORMAT}: the sample is taken as sound metal",
    ),
    quantity(
        "alloy.weighed.reading_spread",
        _M,
        "0 g",
        "1 kg",
        "0.5 g",
        "standard deviation of one reading of the scale",
        default="0.5 g",
        source="judgement: a kitchen scale that shows whole grams",
    ),
)

FIN_KEYS = (
    quantity("fin.tip_chord", _L, "1 mm", "10 m", "70 mm", "fore-and-aft length of its tip", required=True),
    quantity(
        "fin.tip_thickness", _L, "0.1 mm", "2 m", "7 mm", "NACA four-digit section at the tip", required=True
    ),
    quantity(
        "fin.tip_leading_edge_x",
        _L,
        "-50 m",
        "50 m",
        "395 mm",
        "in boat axes; 0 where the boat is not given",
        default="0 mm",
        source=f"{FORMAT}: without the boat, x runs from the tip's leading edge",
    ),
    quantity(
        "fin.tip_z",
        _L,
        "-50 m",
        "50 m",
        "-330 mm",
        "level of the tip's leading edge, the pocket's floor; under water negative",
        default="0 mm",
        source=f"{FORMAT}: without the boat, z runs from the fin's tip",
    ),
    quantity(
        "fin.pocket_depth",
        _L,
        "0 mm",
        "2 m",
        "6 mm",
        "from the bulb's crown down to the pocket's floor",
        default="0 mm",
        source=f"{FORMAT}: the fin stands on the crown",
    ),
    quantity(
        "fin.pocket_clearance",
        _L,
        "0 mm",
        "20 mm",
        "0.3 mm",
        "gap on each side of the fin",
        default="0.3 mm",
        source=COMMON,
    ),
    choice(
        "fin.pocket",
        ("cut", "cored"),
        "cut after casting, or cored in the mould",
        default="cut",
        source=FORMAT,
    ),
    quantity(
        "fin.rake",
        Dimension.ANGLE,
        "-45 deg",
        "45 deg",
        "5 deg",
        "of the fin's axis at the tip, in the boat; tip aft is positive",
        default="0 deg",
        source=f"{FORMAT}: an upright fin",
    ),
    number(
        "fin.carry_at",
        "-20",
        "20",
        "0.40",
        "the bulb's mass centre, as a fraction of the tip chord",
        default="0.40",
        source=COMMON,
    ),
    number(
        "fin.elastic_axis",
        "0",
        "1",
        "0.366",
        "where the fin twists about, as a fraction of the chord",
        default="0.366",
        source="integral of x y^3 over integral of y^3 of the NACA four-digit section, 0.36592",
    ),
    choice("fin.material", ("metal", "wood", "laminate"), "what the screws hold in"),
)

SCREW_KEYS = (
    quantity("screws.at", _L, "-10 m", "10 m", "14 mm", "aft of the tip's leading edge", required=True),
    quantity("screws.diameter", _L, "0.5 mm", "200 mm", "4 mm", "of the thread", required=True),
    quantity(
        "screws.hole_diameter", _L, "0.5 mm", "250 mm", "4.5 mm", "clearance hole in the lead", required=True
    ),
    quantity("screws.head_diameter", _L, "0.5 mm", "500 mm", "8 mm", "and of its recess", required=True),
    quantity("screws.head_height", _L, "0 mm", "500 mm", "2.6 mm", "of the head", required=True),
    quantity(
        "screws.recess",
        _L,
        "0 mm",
        "5 m",
        "8 mm",
        "from the underside at that place up to the seat of head or washer",
        required=True,
    ),
    quantity("screws.length", _L, "1 mm", "5 m", "45 mm", "under the head", required=True),
    choice(
        "screws.hole",
        ("drilled", "cored"),
        "drilled after casting, or cored",
        default="drilled",
        source=FORMAT,
    ),
    quantity(
        "screws.density",
        _DENSITY,
        *_SOLID,
        "8.0 g/cm3",
        "of the screw",
        default="8.0 g/cm3",
        source="stainless steel, from memory",
    ),
    quantity(
        "screws.engagement",
        _L,
        "0 mm",
        "5 m",
        "10 mm",
        "thread above the pocket's floor; left out: 2.5 diameters, 4 in wood",
    ),
    quantity(
        "screws.pitch",
        _L,
        "0.1 mm",
        "20 mm",
        "0.7 mm",
        "of the thread, for [strength]; left out: coarse",
    ),
    quantity(
        "screws.washer_diameter",
        _L,
        "0.5 mm",
        "500 mm",
        "14 mm",
        "washer under the head; the recess takes it",
    ),
    quantity("screws.washer_thickness", _L, "0 mm", "100 mm", "1.5 mm", "of the washer", above=True),
    quantity(
        "screws.washer_hole", _L, "0.5 mm", "250 mm", "4.5 mm", "the washer's own; left out: hole_diameter"
    ),
    quantity("screws.washer_density", _DENSITY, *_SOLID, "8.0 g/cm3", "of the washer; left out: the screw's"),
)

WASHER_KEYS = ("washer_diameter", "washer_thickness", "washer_hole", "washer_density")
"""Of a washer: the first two make one, the others belong to it."""
