"""Sections [mould] and [resin].

Values are frozen and in SI units; None means "not given". Nothing is calculated here: a default that depends on other
figures stays None, and is set and reported where its rule is declared.
"""

from __future__ import annotations

from functools import partial
from typing import Literal

from bulbcast.plan.agreement import NeededWith, OnlyWith
from bulbcast.plan.declare import key, section
from bulbcast.plan.key import (
    COMMON,
    DENSITY,
    FORMAT,
    HEAT,
    LENGTH,
    MASS,
    RATIO,
    SPEED,
    TEMPERATURE,
    TIME,
    VOLUME,
)

ACCEPT_BOUND_WATER = "I accept the risk of steam from the bound water"
"""Sentence that releases the hold on pouring lead into a mould that keeps its bound water."""

ACCEPT_MORTAR = "It lost nothing more over two days at 60 C, and I accept the risk of spalling"
"""Sentence to type before pouring lead into a mould of cement mortar."""

MouldMaterial = Literal["plaster", "sand", "mortar"]

MouldKind = Literal["closed", "open-halves"]

Orientation = Literal["lying", "on-edge", "nose-up", "tail-up"]

Split = Literal["upper-lower", "port-starboard"]

Drying = Literal["air", "baked"]

SandKind = Literal["oil-bonded", "dried"]

CoreMaterial = Literal["plaster", "steel", "sand"]


_ONLY = "{leaf} only with {ruler} = {owners}"
_PLASTER = OnlyWith({"material": "plaster"}, expected=_ONLY)
_of_plaster = partial(key, only_with=_PLASTER)
_SAND = OnlyWith({"material": "sand"}, expected=_ONLY)
_CURED = OnlyWith(
    {"sand_kind": "oil-bonded"},
    expected="{leaf} only with oil-bonded sand",
    remedy="Remove {leaf}: dried sand has no binder to cure. Give its moisture as sand_moisture.",
)


@section("mould", step="mould", basic="kind orientation wall consistency drying oven sand_kind")
class MouldSection:
    """Section [mould], with lengths in m, masses in kg, temperatures in degC, proportions as fractions and `bucket` in
    m3.

    `orientation` is the position of the mould for the pour, and `split` the plane of the bulb along which the mould
    parts. `consistency` is parts of water to 100 parts of plaster. Keys for plaster are None in a sand mould, and vice
    versa. If `wall`, `floor` or `cover` is None, it is set by the mass of the piece.
    """

    material: MouldMaterial = key(
        "material of the mould: plaster, sand or mortar",
        "choice",
        required=True,
        means={
            "plaster": "gypsum plaster, fully dried before any lead is poured",
            "sand": "oil-bonded or dried sand, never green",
            "mortar": "cement mortar, dried for weeks; it may spall",
        },
        also={
            "plaster": ("plaster of paris", "gypsum", "gypsum plaster"),
            "mortar": ("cement", "cement mortar", "concrete"),
        },
        find=(
            "Your choice: plaster gives fine detail but needs days of drying. A sand mould is made and poured the same "
            "day."
        ),
    )
    kind: MouldKind = key(
        "closed: a mould in two parts, poured once; open-halves: half moulds, open at the top, poured twice",
        "choice",
        default="closed",
        source=FORMAT,
        means={
            "closed": "two parts, closed, poured once",
            "open-halves": "half moulds, open at the top; the two castings are bonded",
        },
        also={"closed": ("two part", "two parts"), "open-halves": ("open", "open half", "half moulds")},
        find=(
            "Your choice: a closed mould makes the bulb in one piece; open half moulds make two halves to bond together."
        ),
    )
    orientation: Orientation = key(
        "position of the mould during the pour: lying (horizontal parting plane), on-edge, nose-up or tail-up (vertical "
        "parting plane)",
        "choice",
        default="lying",
        source=COMMON,
        only_with=OnlyWith(
            {"kind": "closed"},
            ("lying",),
            read='{line} with kind = "open-halves"',
            expected='orientation = "lying", since an open half is poured with its flat face up',
            remedy="Remove orientation.",
        ),
        means={
            "lying": "bulb horizontal, parting plane horizontal",
            "on-edge": "bulb horizontal, parting plane vertical",
            "nose-up": "bulb upright, on its tail",
            "tail-up": "bulb upright, on its nose",
        },
        also={
            "lying": ("flat", "level"),
            "on-edge": ("edge", "upright parting"),
            "nose-up": ("nose upwards",),
            "tail-up": ("tail upwards",),
        },
        find="Your choice: a mould that lies flat is low and easy to weight down; an upright one fills quietly and "
        "feeds better.",
    )
    split: Split | None = key(
        "plane of the bulb along which the mould parts; default: upper-lower, or port-starboard for open halves",
        "choice",
        means={
            "upper-lower": "along the horizontal plane of the bulb",
            "port-starboard": "along the vertical middle plane of the bulb",
        },
        also={
            "upper-lower": ("upper and lower", "top bottom", "top and bottom"),
            "port-starboard": ("port and starboard", "left right", "left and right"),
        },
        find="Choose a plane that lets you lift the pattern out of both parts of the mould.",
    )
    wall: float | None = key(
        "thickness of the mould round the pattern; default: set by the mass of the piece",
        LENGTH,
        "5 mm to 1 m",
        example="30 mm",
        find="Measure from the pattern to the nearest board, or omit this key for the default thickness.",
    )
    floor: float | None = key(
        "thickness of the mould under the pattern; default: set by the mass of the piece",
        LENGTH,
        "5 mm to 1 m",
        example="40 mm",
        find="Measure from the pattern down to the floor of the box, or omit this key.",
    )
    cover: float | None = key(
        "thickness of the mould over the pattern; default: the same as the wall; for a small bulb cast horizontally, "
        "0.8 of its height but at least 25 mm",
        LENGTH,
        "0 mm to 1 m",
        example="30 mm",
        only_with=OnlyWith(
            {"kind": "closed"}, expected=_ONLY, remedy="Remove cover: an open half has nothing over it."
        ),
        find="Measure from the pattern up to the top of the mould, or omit this key.",
    )
    box_length: float | None = key(
        "inside length of the box you have, in its pouring position; instead of wall",
        LENGTH,
        "20 mm to 10 m",
        example="330 mm",
        not_with={"wall": "both set the thickness of the mould at the ends"},
        title="Inside length of the box",
        find="Measure the inside of the box along the bulb, or across it for a bulb on end.",
    )
    box_width: float | None = key(
        "inside width of the box you have, across the bulb",
        LENGTH,
        "20 mm to 10 m",
        example="110 mm",
        not_with={"wall": "both set the thickness of the mould on each side of the bulb"},
        title="Inside width of the box",
        find="Measure the inside of the box across the bulb.",
    )
    box_height: float | None = key(
        "inside height of the box you have, both parts together, or one part for an open half; in place of floor and cover",
        LENGTH,
        "20 mm to 10 m",
        example="120 mm",
        not_with={
            "floor": "both set the thickness of the mould under the bulb",
            "cover": "both set the thickness of the mould over the bulb",
        },
        title="Inside height of the box",
        find="Measure the depth of the box with one part on top of the other.",
    )
    foundry_from: float = key(
        "mass above which a single pour is a job for a foundry",
        MASS,
        "1 kg to 20 t",
        default="100 kg",
        source="judgement",
        title="Maximum pour without a foundry",
        find="Choose it to suit your workplace, helpers and lifting gear.",
    )
    core: CoreMaterial | None = key(
        "material of the cores for the pocket and holes; default: plaster",
        "choice",
        only_with=OnlyWith(
            {"fin.pocket": "cored", "screws.hole": "cored"},
            read="core, but nothing is cored",
            expected="core only with a cored pocket or a cored hole",
            remedy='Remove core, or write pocket = "cored" under [fin] or hole = "cored" for a screw.',
        ),
        means={
            "plaster": "plaster, baked dry before it goes into the mould",
            "steel": "steel blade or rod, drawn out of the lead",
            "sand": "sand with a binder, cured",
        },
        also={"steel": ("metal",)},
        find="Your choice: a greased steel blade can be drawn out; plaster and sand have to be dug out.",
    )
    consistency: float | None = _of_plaster(
        "parts of water to 100 parts of plaster, by mass",
        "number",
        "30 to 150",
        default="70",
        source="plaster makers' tables: 70 for moulds, 60 to 80 in practice",
        find="Weigh the water and the plaster before mixing. The plaster's data sheet gives the recommended ratio.",
    )
    purity: float | None = _of_plaster(
        "fraction of hemihydrate in the plaster",
        RATIO,
        "50 % to 100 %",
        default="95 %",
        source="judgement; a test bar from the same bag gives the true figure",
        find=(
            "Cast a test bar, dry it, and enter its two weighings with bulbcast dry FILE --test-bar. Or use the "
            "plaster's data sheet."
        ),
    )
    purity_spread: float | None = _of_plaster(
        "standard deviation of the purity",
        RATIO,
        "0 % to 25 %",
        default="5 %",
        source="judgement",
        find="Omit it. With a test bar it is about 2.5 %.",
    )
    sand: float | None = _of_plaster(
        "dry sand or silica in the mix, as a percentage of the plaster's mass",
        RATIO,
        "0 % to 300 %",
        example="30 %",
        default="0 %",
        source=f"{FORMAT}: plain plaster",
        find="Weigh the dry sand that goes into the mix and divide by the mass of plaster.",
    )
    spare: float | None = _of_plaster(
        "extra plaster mixed, beyond what the block needs",
        RATIO,
        "0 % to 100 %",
        default="10 %",
        source=COMMON,
        find="Allow for the plaster that sticks to the bucket and your hands.",
    )
    bucket: float | None = _of_plaster(
        "volume of the bucket used for mixing the plaster; only 60 % of it is filled",
        VOLUME,
        "0.1 l to 1000 l",
        default="10 l",
        source=COMMON,
        find="Fill the bucket from a measuring jug.",
    )
    reinforcement: float | None = _of_plaster(
        "mass of steel mesh or bar cast into each part",
        MASS,
        "0 g to 1 t",
        example="250 g",
        default="0 g",
        source=f"{FORMAT}: none",
        find="Weigh the mesh and bars that go into one part.",
    )
    drying: Drying | None = _of_plaster(
        "drying method, air or baked; no default, since the trades disagree",
        "choice",
        means={
            "air": "dried in a warm draught; the plaster keeps its bound water",
            "baked": "dried in an oven, which drives out the bound water",
        },
        also={"air": ("air dried", "dried in air"), "baked": ("bake", "oven", "oven dried")},
        find="Choose it to suit what you have: an oven that is large enough, or a warm draught and several weeks.",
    )
    oven: float | None = key(
        "temperature of the oven for a baked mould",
        TEMPERATURE,
        "50 C to 1000 C",
        default="160 C",
        source="judgement: above the 100 to 130 C at which gypsum changes to hemihydrate, and below 180 C",
        only_with=(
            _PLASTER,
            OnlyWith({"drying": "baked"}, expected=_ONLY, remedy="Remove oven: drying in air needs no oven."),
        ),
        find="Hang an oven thermometer next to the mould. The oven's dial may be 20 degrees off.",
    )
    scale_spread: float | None = _of_plaster(
        "standard deviation of one reading of the scale used to weigh the parts",
        MASS,
        "0 g to 10 kg",
        default="1 g",
        source="judgement: a kitchen scale",
        find="Weigh the same thing five times and take about a third of the range of the readings.",
    )
    accept_bound_water: str | None = key(
        "sentence to type in full to release the hold on air drying in a closed mould, with a plaster core, or for a "
        "piece above 5 kg",
        "choice",
        choices=(ACCEPT_BOUND_WATER,),
        only_with=(
            _PLASTER,
            OnlyWith(
                {"drying": "air"},
                expected=_ONLY,
                remedy="Remove accept_bound_water: baking drives out the bound water.",
            ),
        ),
        find=(
            "First read about the danger of bound water, which baking drives out. Then type the sentence in full."
        ),
    )
    accept_mortar: str | None = key(
        "sentence to type in full to release the hold on a mould of cement mortar",
        "choice",
        choices=(ACCEPT_MORTAR,),
        only_with=OnlyWith({"material": "mortar"}, expected=_ONLY),
        find=(
            "Dry the parts for weeks, then keep them at 60 C and weigh them each day until they lose nothing for two "
            "days. Read about the effects of spalling. Then type the sentence in full."
        ),
    )
    sand_kind: SandKind | None = key(
        "kind of sand in a sand mould, oil-bonded or dried, never green",
        "choice",
        only_with=_SAND,
        needed_with=NeededWith(
            {"material": "sand"},
            expected='one of "oil-bonded" or "dried", which a sand mould needs',
            remedy='Add sand_kind = "oil-bonded", say. Green sand is moist and cannot be used here.',
        ),
        means={
            "oil-bonded": "moulding sand with an oil binder, cured hot",
            "dried": "plain sand, dried hot, with its moisture measured; green sand is moist and cannot be used here",
        },
        also={"oil-bonded": ("oil sand", "oil bonded sand"), "dried": ("dry", "dry sand", "dried sand")},
        find="Ask the seller what binds it. Sand bound with water and clay is green sand.",
    )
    sand_moisture: float | None = key(
        "moisture of dried sand, from a sample weighed before and after hot drying",
        RATIO,
        "0 % to 20 %",
        example="0.3 %",
        only_with=(
            _SAND,
            OnlyWith(
                {"sand_kind": "dried"},
                expected="sand_moisture only with dried sand",
                remedy="Remove sand_moisture: oil-bonded sand is mixed without water.",
            ),
        ),
        find="Weigh a kilogram of the sand, heat it until it stops losing mass, and weigh it again.",
    )
    cured_at: float | None = key(
        "curing temperature of an oil-bonded sand mould, as required by the binder's maker; without it there is no "
        "pour card",
        TEMPERATURE,
        "0 C to 400 C",
        example="210 C",
        only_with=(_SAND, _CURED),
        title="Curing temperature",
        find="Use the binder's data sheet, and check with the thermometer in the oven.",
    )
    cured_for: float | None = key(
        "time for which the sand mould was cured at that temperature; without it there is no pour card",
        TIME,
        "1 min to 1000 h",
        example="3 h",
        only_with=(_SAND, _CURED),
        title="Curing time",
        find="Use the binder's data sheet, and count the time from the moment the middle of the mould is hot.",
    )


@section("resin", step="mould", basic="packing room", varied="without effect")
class ResinSection:
    """Section [resin], for lead shot in resin in place of molten lead. Densities are in kg/m3, `heat` in J/kg, times in
    s, temperatures in degC, and speed in m/s.

    `packing` is the fraction of the volume that the shot fills, and `packing_spread` is its standard deviation.
    """

    packing: float = key(
        "fraction of the volume that the shot fills",
        RATIO,
        "40 % to 75 %",
        default="62 %",
        source="random packing of equal spheres: 60 to 64 %; at its densest, 0.64 give or take 0.02 (Berryman, 1983)",
        find=(
            "Fill a litre measure with shot, tapping it to settle the shot. Measure the water needed to fill it to the "
            "brim, in litres, and subtract that from one."
        ),
    )
    packing_spread: float = key(
        "standard deviation of the packing",
        RATIO,
        "0 % to 10 %",
        default="1.5 %",
        source="judgement, from the range of 60 to 64 %",
        find="Repeat the measurement five times and take about a third of the range of the results.",
    )
    shot_density: float = key(
        "density of the lead in a pellet",
        DENSITY,
        "5 g/cm3 to 11.6 g/cm3",
        default="11.12 g/cm3",
        source="chilled shot with 2 % antimony and 0.6 % arsenic, calculated by adding volumes",
        find="Weigh a handful in air and in water, in the same way as a sample of scrap.",
    )
    resin_density: float = key(
        "density of the cured resin, including any filler",
        DENSITY,
        "0.8 g/cm3 to 3 g/cm3",
        default="1.15 g/cm3",
        source="unfilled epoxy, handbook value, from memory",
        find="Look it up on the resin's data sheet.",
    )
    spare: float = key(
        "extra resin mixed, beyond what fills the mould",
        RATIO,
        "0 % to 100 %",
        default="10 %",
        source=COMMON,
        find="Allow enough for the resin that stays in the pot and on the brush.",
    )
    heat: float = key(
        "heat of cure of the resin",
        HEAT,
        "10 kJ/kg to 1000 kJ/kg",
        default="450 kJ/kg",
        source="epoxy with amine, 400 to 500 kJ/kg, from memory",
        find="Look it up on the resin's data sheet. Epoxies give 300 to 550 kJ/kg.",
    )
    cure_time: float = key(
        "time for a thin layer to cure by two thirds",
        TIME,
        "1 min to 100 h",
        default="4 h",
        source="judgement: a slow hardener at 20 C",
        find="Cure a thin layer and note when a fingernail no longer marks it, or use the resin's data sheet.",
    )
    room: float = key(
        "temperature of the room where the resin is cast",
        TEMPERATURE,
        "0 C to 40 C",
        default="20 C",
        source=f"{FORMAT}: room temperature",
        find="Hang a thermometer in the room where you cast.",
    )
    highest_temperature: float = key(
        "highest temperature that a layer may reach while it cures",
        TEMPERATURE,
        "25 C to 150 C",
        default="55 C",
        source="judgement: temperature at which plain epoxy begins to soften",
        find="Look at the data sheets for the resin and the pattern material. Choose a temperature below the one at "
        "which either softens.",
    )
    speed: float = key(
        "speed at which the drag of the lead and resin bulbs is compared",
        SPEED,
        "0.05 m/s to 30 m/s",
        default="1 m/s",
        source="judgement",
        find=(
            "Choose the boat's sailing speed. Hull speed is 1.25 m/s times the square root of her waterline length in "
            "metres."
        ),
    )
