"""[mould] and [resin].

SI and frozen; None means "not given". Nothing is calculated here: a default that depends on another figure stays None
and is set by the room that owns the rule, which also reports it.
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
"""The sentence to type before lead is poured into a mould that keeps its bound water, where that is a hold."""

ACCEPT_MORTAR = "It lost nothing more over two days at 60 C, and I accept the risk of spalling"
"""The sentence to type before lead is poured into a mould of cement mortar."""

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
    remedy="Take {leaf} out: dried sand has no binder to cure; give its sand_moisture.",
)


@section("mould", step="mould", basic="kind orientation wall consistency drying oven sand_kind")
class MouldSection:
    """[mould]: lengths m, masses kg, temperatures degC, shares as fractions, `bucket` m3.

    `orientation` says how the mould stands when it is poured, `split` along which plane of the bulb it parts.
    `consistency` is parts of water to 100 of plaster. Keys for plaster are None in a sand mould, and the reverse;
    `wall`, `floor` and `cover` None: by the mass of the piece.
    """

    material: MouldMaterial = key(
        "plaster, sand or mortar",
        "choice",
        required=True,
        means={
            "plaster": "gypsum plaster, dried through before any lead",
            "sand": "oil-bonded or dried sand, never green",
            "mortar": "cement mortar, dried for weeks; it may spall",
        },
        also={
            "plaster": ("plaster of paris", "gypsum", "gypsum plaster"),
            "mortar": ("cement", "cement mortar", "concrete"),
        },
        find=(
            "Choose it: plaster takes fine detail and days of drying, sand is made and poured the same day."
        ),
    )
    kind: MouldKind = key(
        "closed: two parts, poured whole; open-halves: half moulds, open above, poured twice",
        "choice",
        default="closed",
        source=FORMAT,
        means={
            "closed": "two parts, poured whole",
            "open-halves": "half moulds, open above, poured twice and bonded",
        },
        also={"closed": ("two part", "two parts"), "open-halves": ("open", "open half", "half moulds")},
        find="Choose it: closed makes one bulb, open halves make two that are bonded.",
    )
    orientation: Orientation = key(
        "how it stands when poured: lying (level parting), on-edge, nose-up or tail-up (upright parting)",
        "choice",
        default="lying",
        source=COMMON,
        only_with=OnlyWith(
            {"kind": "closed"},
            ("lying",),
            read='{line} with kind = "open-halves"',
            expected='orientation = "lying": an open half is poured with its flat face up',
            remedy="Take orientation out.",
        ),
        means={
            "lying": "the bulb lies, the parting level",
            "on-edge": "the bulb lies, the parting upright",
            "nose-up": "stood on its tail",
            "tail-up": "stood on its nose",
        },
        also={
            "lying": ("flat", "level"),
            "on-edge": ("edge", "upright parting"),
            "nose-up": ("nose upwards",),
            "tail-up": ("tail upwards",),
        },
        find="Choose it: lying is low and easy to weight down, upright fills quietly and feeds better.",
    )
    split: Split | None = key(
        "plane of the bulb it parts along; left out: upper-lower, port-starboard for open halves",
        "choice",
        means={
            "upper-lower": "along the level plane of the bulb",
            "port-starboard": "along her upright middle plane",
        },
        also={
            "upper-lower": ("upper and lower", "top bottom", "top and bottom"),
            "port-starboard": ("port and starboard", "left right", "left and right"),
        },
        find="Choose it by where the pattern draws.",
    )
    wall: float | None = key(
        "round the pattern; left out: by the mass of the piece",
        LENGTH,
        "5 mm to 1 m",
        example="30 mm",
        find="Measure from the pattern to the nearest board; or leave it out for what is usual.",
    )
    floor: float | None = key(
        "under the pattern; left out: by the mass of the piece",
        LENGTH,
        "5 mm to 1 m",
        example="40 mm",
        find="Measure from the pattern down to the floor of the box; or leave it out.",
    )
    cover: float | None = key(
        "over the pattern; left out: as the wall, over a small bulb that lies 0.8 of her height, 25 mm at least",
        LENGTH,
        "0 mm to 1 m",
        example="30 mm",
        only_with=OnlyWith(
            {"kind": "closed"}, expected=_ONLY, remedy="Take cover out: nothing lies over an open half."
        ),
        find="Measure from the pattern up to the top of the mould; or leave it out.",
    )
    box_length: float | None = key(
        "inside of the box you have, as the mould stands when it is poured; in place of wall",
        LENGTH,
        "20 mm to 10 m",
        example="330 mm",
        not_with={"wall": "both say how much mould there is at the ends"},
        title="Box, length inside",
        find="Measure the box inside, along the bulb; of a bulb on end across it.",
    )
    box_width: float | None = key(
        "likewise, across",
        LENGTH,
        "20 mm to 10 m",
        example="110 mm",
        not_with={"wall": "both say how much mould there is beside the bulb"},
        title="Box, width inside",
        find="Measure the box inside, across the bulb.",
    )
    box_height: float | None = key(
        "likewise, of both parts together, of an open half of one; in place of floor and cover",
        LENGTH,
        "20 mm to 10 m",
        example="120 mm",
        not_with={
            "floor": "both say how much mould there is under the bulb",
            "cover": "both say how much mould there is over it",
        },
        title="Box, height inside",
        find="Measure the depth of the box, both parts set on each other.",
    )
    foundry_from: float = key(
        "a heavier piece poured in one go is a foundry's work",
        MASS,
        "1 kg to 20 t",
        default="100 kg",
        source="judgement",
        title="Foundry's work from",
        find="Choose it by what your place, helpers and lifting gear are good for.",
    )
    core: CoreMaterial | None = key(
        "of cored pocket and holes; left out: assumed to be plaster",
        "choice",
        only_with=OnlyWith(
            {"fin.pocket": "cored", "screws.hole": "cored"},
            read="core where nothing is cored",
            expected="core only with a cored pocket or a cored hole",
            remedy='Take core out, or write pocket = "cored" under [fin] or hole = "cored" for a screw.',
        ),
        means={
            "plaster": "baked dry before it goes in",
            "steel": "a blade or rod, drawn out of the lead",
            "sand": "bonded and cured",
        },
        also={"steel": ("metal",)},
        find="Choose it: a greased steel blade is drawn out, plaster and sand are dug out.",
    )
    consistency: float | None = _of_plaster(
        "parts of water to 100 of plaster, by mass",
        "number",
        "30 to 150",
        default="70",
        source="plaster makers' tables: 70 for moulds, 60 to 80 in use",
        find="Weigh water and plaster before mixing; the bag's sheet says what it is made for.",
    )
    purity: float | None = _of_plaster(
        "hemihydrate in the plaster",
        RATIO,
        "50 % to 100 %",
        default="95 %",
        source="judgement; a test bar from the bag gives it",
        find=(
            "Cast a test bar, bake it, and let `bulbcast dry` judge its two weighings; or take the "
            "bag's sheet."
        ),
    )
    purity_spread: float | None = _of_plaster(
        "standard deviation of the purity",
        RATIO,
        "0 % to 25 %",
        default="5 %",
        source="judgement",
        find="Leave it out; with a test bar it is about 2.5 %.",
    )
    sand: float | None = _of_plaster(
        "dry sand or silica in the mix, of the plaster's mass",
        RATIO,
        "0 % to 300 %",
        example="30 %",
        default="0 %",
        source=f"{FORMAT}: plain plaster",
        find="Weigh the dry sand that goes into the mix, over the plaster.",
    )
    spare: float | None = _of_plaster(
        "mixed beyond the block",
        RATIO,
        "0 % to 100 %",
        default="10 %",
        source=COMMON,
        find="Choose it: what sticks to bucket and hands.",
    )
    bucket: float | None = _of_plaster(
        "in which the plaster is mixed; filled to 60 %",
        VOLUME,
        "0.1 l to 1000 l",
        default="10 l",
        source=COMMON,
        find="Measure the bucket by filling it with a measuring jug.",
    )
    reinforcement: float | None = _of_plaster(
        "steel mesh or bar cast into each part",
        MASS,
        "0 g to 1 t",
        example="250 g",
        default="0 g",
        source=f"{FORMAT}: none",
        find="Weigh the mesh and bars that go into one part.",
    )
    drying: Drying | None = _of_plaster(
        "air or baked: no default, since the trade disagrees",
        "choice",
        means={
            "air": "in a warm draught, with its bound water kept",
            "baked": "in an oven, the bound water driven out",
        },
        also={"air": ("air dried", "dried in air"), "baked": ("bake", "oven", "oven dried")},
        find="Choose it by what you have: an oven large enough, or a warm draught and weeks.",
    )
    oven: float | None = key(
        "of the oven for a baked mould",
        TEMPERATURE,
        "50 C to 1000 C",
        default="160 C",
        source="judgement: above the 100 to 130 C of the change to hemihydrate, below 180 C",
        only_with=(
            _PLASTER,
            OnlyWith({"drying": "baked"}, expected=_ONLY, remedy="Take oven out: no oven takes part."),
        ),
        find="Hang an oven thermometer beside the mould; the dial may be 20 degrees off.",
    )
    scale_spread: float | None = _of_plaster(
        "standard deviation of one reading of the scale the parts are weighed on",
        MASS,
        "0 g to 10 kg",
        default="1 g",
        source="judgement: a kitchen scale",
        find="Weigh the same thing five times: about a third of the range of the readings.",
    )
    accept_bound_water: str | None = key(
        "typed in full, releases the hold on air drying in a closed mould, with a plaster core, or above 5 kg",
        "choice",
        choices=(ACCEPT_BOUND_WATER,),
        only_with=(
            _PLASTER,
            OnlyWith(
                {"drying": "air"},
                expected=_ONLY,
                remedy="Take accept_bound_water out: baking drives the bound water out.",
            ),
        ),
        find=("Read what the bound water can do first; baking takes it out. Then type the sentence in full."),
    )
    accept_mortar: str | None = key(
        "typed in full, releases the hold on a mould of cement mortar",
        "choice",
        choices=(ACCEPT_MORTAR,),
        only_with=OnlyWith({"material": "mortar"}, expected=_ONLY),
        find=(
            "Dry the parts for weeks, then hold them at 60 C and weigh them each day: two days without any loss. Read what "
            "spalling does. Then type the sentence in full."
        ),
    )
    sand_kind: SandKind | None = key(
        "of a sand mould: oil-bonded or dried; never green",
        "choice",
        only_with=_SAND,
        needed_with=NeededWith(
            {"material": "sand"},
            expected='one of "oil-bonded" or "dried", which material = "sand" needs',
            remedy='Add sand_kind = "oil-bonded", say; green sand is moist, and no plan is made for it.',
        ),
        means={
            "oil-bonded": "moulding sand with an oil binder, cured hot",
            "dried": "plain sand, dried hot and measured; green sand is moist, and no plan is made for it",
        },
        also={"oil-bonded": ("oil sand", "oil bonded sand"), "dried": ("dry", "dry sand", "dried sand")},
        find="Ask the seller what binds it; sand bound with water and clay is green sand.",
    )
    sand_moisture: float | None = key(
        "of dried sand, measured on a sample weighed before and after drying hot",
        RATIO,
        "0 % to 20 %",
        example="0.3 %",
        only_with=(
            _SAND,
            OnlyWith(
                {"sand_kind": "dried"},
                expected="sand_moisture only with dried sand",
                remedy="Take sand_moisture out: an oil-bonded sand is mixed without water.",
            ),
        ),
        find="Weigh a kilogram of it, dry it hot until it loses no more, and weigh it again.",
    )
    cured_at: float | None = key(
        "at which an oil-bonded sand mould was cured, by its binder's maker; without it there is no pour card",
        TEMPERATURE,
        "0 C to 400 C",
        example="210 C",
        only_with=(_SAND, _CURED),
        title="Curing temperature",
        find="Read the binder's sheet, and the thermometer in the oven.",
    )
    cured_for: float | None = key(
        "for how long it was cured so; without it there is no pour card",
        TIME,
        "1 min to 1000 h",
        example="3 h",
        only_with=(_SAND, _CURED),
        title="Curing time",
        find="Read the binder's sheet, and count from when the middle is hot.",
    )


@section("resin", step="mould", basic="packing room", varied="without effect")
class ResinSection:
    """[resin]: lead shot in resin in place of molten lead. Densities kg/m3, `heat` J/kg, times s,
    temperatures degC, speed m/s.

    `packing` is the share of the volume that the shot fills, `packing_spread` its standard deviation.
    """

    packing: float = key(
        "share of the volume that the shot fills",
        RATIO,
        "40 % to 75 %",
        default="62 %",
        source="60 to 64 %: random packing of equal spheres, 0.64 give or take 0.02 at the closest (Berryman, 1983)",
        find=(
            "Fill a measured litre with shot, tapping it, then pour in water to the brim: one less "
            "the share that the water fills."
        ),
    )
    packing_spread: float = key(
        "standard deviation of the packing",
        RATIO,
        "0 % to 10 %",
        default="1.5 %",
        source="judgement, from the range of 60 to 64 %",
        find="Fill it five times: about a third of the range of the results.",
    )
    shot_density: float = key(
        "of a pellet",
        DENSITY,
        "5 g/cm3 to 11.6 g/cm3",
        default="11.12 g/cm3",
        source="chilled shot, 2 % antimony and 0.6 % arsenic by the rule of added volumes",
        find="Weigh a handful in air and in water, as a sample of scrap.",
    )
    resin_density: float = key(
        "cured, with its filler if any",
        DENSITY,
        "0.8 g/cm3 to 3 g/cm3",
        default="1.15 g/cm3",
        source="unfilled epoxy, handbook value, from memory",
        find="Look on the resin's sheet.",
    )
    spare: float = key(
        "resin mixed beyond what is filled",
        RATIO,
        "0 % to 100 %",
        default="10 %",
        source=COMMON,
        find="Choose it: what stays in pot and brush.",
    )
    heat: float = key(
        "heat of cure of the resin",
        HEAT,
        "10 kJ/kg to 1000 kJ/kg",
        default="450 kJ/kg",
        source="epoxy with amine, 400 to 500 kJ/kg, from memory",
        find="Look on the resin's sheet; epoxies give 300 to 550 kJ/kg.",
    )
    cure_time: float = key(
        "in which a thin layer has cured by two thirds",
        TIME,
        "1 min to 100 h",
        default="4 h",
        source="judgement: a slow hardener at 20 C",
        find="Cure a thin layer and feel when it is hard to the nail; or the resin's sheet.",
    )
    room: float = key(
        "where it is cast",
        TEMPERATURE,
        "0 C to 40 C",
        default="20 C",
        source=f"{FORMAT}: a room's temperature",
        find="Hang a thermometer where it is cast.",
    )
    highest_temperature: float = key(
        "highest that a layer may reach while it cures",
        TEMPERATURE,
        "25 C to 150 C",
        default="55 C",
        source="judgement: where plain epoxy begins to soften",
        find="Look on the sheets of resin and pattern; below where either softens.",
    )
    speed: float = key(
        "at which the two bulbs' drag is compared",
        SPEED,
        "0.05 m/s to 30 m/s",
        default="1 m/s",
        source="judgement",
        find=(
            "Choose the speed she sails at: hull speed is 1.25 m/s times the root of her waterline in metres."
        ),
    )
