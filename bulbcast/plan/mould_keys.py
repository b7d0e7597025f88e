"""Keys of the mould and of the way without melting: [mould] and [resin].

A part of the table of keys; ranges and defaults are written as a builder types them.
"""

from __future__ import annotations

from typing import get_args

from bulbcast.plan.key import COMMON, FORMAT, choice, number, quantity
from bulbcast.plan.mould_sections import (
    CoreMaterial,
    Drying,
    MouldKind,
    MouldMaterial,
    Orientation,
    SandKind,
    Split,
)
from bulbcast.quantities import Dimension

_L, _M, _R, _DENSITY = Dimension.LENGTH, Dimension.MASS, Dimension.RATIO, Dimension.DENSITY

ACCEPT_BOUND_WATER = "I accept the risk of steam from the bound water"
"""What has to be typed before lead is poured into a mould that keeps its bound water where that is a hold."""

MOULD_KEYS = (
    choice("mould.material", get_args(MouldMaterial), "plaster or sand", required=True),
    choice(
        "mould.kind",
        get_args(MouldKind),
        "closed: two parts, poured whole; open-halves: half moulds, open above, poured twice",
        default="closed",
        source=FORMAT,
    ),
    choice(
        "mould.orientation",
        get_args(Orientation),
        "how it stands when poured: lying (level parting), on-edge, nose-up or tail-up (upright parting)",
        default="lying",
        source=COMMON,
    ),
    choice(
        "mould.split",
        get_args(Split),
        "plane of the bulb it parts along; left out: upper-lower, port-starboard for open halves",
    ),
    quantity(
        "mould.wall", _L, "5 mm", "1 m", "30 mm", "round the pattern; left out: by the mass of the piece"
    ),
    quantity(
        "mould.floor", _L, "5 mm", "1 m", "40 mm", "under the pattern; left out: by the mass of the piece"
    ),
    quantity("mould.cover", _L, "0 mm", "1 m", "30 mm", "over the pattern; left out: as the wall"),
    quantity(
        "mould.foundry_from",
        _M,
        "1 kg",
        "20 t",
        "100 kg",
        "a piece poured at once that is heavier is a foundry's work",
        default="100 kg",
        source="judgement",
    ),
    choice("mould.core", get_args(CoreMaterial), "of cored pocket and holes; left out: taken as plaster"),
    number(
        "mould.consistency",
        "30",
        "150",
        "70",
        "parts of water to 100 of plaster, by mass",
        default="70",
        source="plaster makers' tables: 70 for moulds, 60 to 80 in use",
    ),
    quantity(
        "mould.purity",
        _R,
        "50 %",
        "100 %",
        "95 %",
        "hemihydrate in the plaster",
        default="95 %",
        source="judgement; a test bar from the bag tells it",
    ),
    quantity(
        "mould.purity_spread",
        _R,
        "0 %",
        "25 %",
        "5 %",
        "standard deviation of the purity",
        default="5 %",
        source="judgement",
    ),
    quantity(
        "mould.sand",
        _R,
        "0 %",
        "300 %",
        "30 %",
        "dry sand or silica in the mix, of the plaster's mass",
        default="0 %",
        source=f"{FORMAT}: plain plaster",
    ),
    quantity(
        "mould.spare", _R, "0 %", "100 %", "10 %", "mixed beyond the block", default="10 %", source=COMMON
    ),
    quantity(
        "mould.bucket",
        Dimension.VOLUME,
        "0.1 l",
        "1000 l",
        "10 l",
        "in which the plaster is mixed; filled to 60 %",
        default="10 l",
        source=COMMON,
    ),
    quantity(
        "mould.reinforcement",
        _M,
        "0 g",
        "1 t",
        "250 g",
        "steel mesh or bar cast into each part",
        default="0 g",
        source=f"{FORMAT}: none",
    ),
    choice("mould.drying", get_args(Drying), "air or baked: no default, for the trade disagrees"),
    quantity(
        "mould.oven",
        Dimension.TEMPERATURE,
        "50 C",
        "1000 C",
        "160 C",
        "of the oven for a baked mould",
        default="160 C",
        source="judgement: above the 100 to 130 C of the change to hemihydrate, below 180 C",
    ),
    quantity(
        "mould.scale_spread",
        _M,
        "0 g",
        "10 kg",
        "1 g",
        "standard deviation of one reading of the scale the parts are weighed on",
        default="1 g",
        source="judgement: a kitchen scale",
    ),
    choice(
        "mould.accept_bound_water",
        (ACCEPT_BOUND_WATER,),
        "typed in full, releases the hold on air drying in a closed mould, with a plaster core, or above 5 kg",
    ),
    choice("mould.sand_kind", get_args(SandKind), "of a sand mould: oil-bonded or dried; never green"),
    quantity(
        "mould.sand_moisture",
        _R,
        "0 %",
        "20 %",
        "0.3 %",
        "of dried sand, measured on a sample weighed before and after drying hot",
    ),
    quantity(
        "mould.cured_at",
        Dimension.TEMPERATURE,
        "0 C",
        "400 C",
        "210 C",
        "at which an oil-bonded sand mould was cured, by its binder's maker; without it there is no pour card",
    ),
    quantity(
        "mould.cured_for",
        Dimension.TIME,
        "1 min",
        "1000 h",
        "3 h",
        "for how long it was cured so; without it there is no pour card",
    ),
)
"""Of the mould. Which belong to plaster and which to sand is told below."""

PLASTER_ONLY = (
    "consistency", "purity", "purity_spread", "sand", "spare", "bucket", "reinforcement", "drying", "oven",
    "scale_spread", "accept_bound_water",
)  # fmt: skip
SAND_ONLY = ("sand_kind", "sand_moisture", "cured_at", "cured_for")

RESIN_KEYS = (
    quantity(
        "resin.packing",
        _R,
        "40 %",
        "75 %",
        "62 %",
        "share of the volume that the shot fills",
        default="62 %",
        source="60 to 64 %: random packing of equal spheres, 0.64 give or take 0.02 at the closest (Berryman, 1983)",
    ),
    quantity(
        "resin.packing_spread",
        _R,
        "0 %",
        "10 %",
        "1.5 %",
        "standard deviation of the packing",
        default="1.5 %",
        source="judgement, from the range of 60 to 64 %",
    ),
    quantity(
        "resin.shot_density",
        _DENSITY,
        "5 g/cm3",
        "11.6 g/cm3",
        "11.12 g/cm3",
        "of a pellet",
        default="11.12 g/cm3",
        source="chilled shot, 2 % antimony and 0.6 % arsenic by the rule of added volumes",
    ),
    quantity(
        "resin.resin_density",
        _DENSITY,
        "0.8 g/cm3",
        "3 g/cm3",
        "1.15 g/cm3",
        "cured, with its filler if any",
        default="1.15 g/cm3",
        source="unfilled epoxy, handbook value, from memory",
    ),
    quantity(
        "resin.spare",
        _R,
        "0 %",
        "100 %",
        "10 %",
        "resin mixed beyond what is filled",
        default="10 %",
        source=COMMON,
    ),
    quantity(
        "resin.heat",
        Dimension.HEAT,
        "10 kJ/kg",
        "1000 kJ/kg",
        "450 kJ/kg",
        "heat of cure of the resin",
        default="450 kJ/kg",
        source="epoxy with amine, 400 to 500 kJ/kg, from memory",
    ),
    quantity(
        "resin.cure_time",
        Dimension.TIME,
        "1 min",
        "100 h",
        "4 h",
        "in which a thin layer has cured by two thirds",
        default="4 h",
        source="judgement: a slow hardener at 20 C",
    ),
    quantity(
        "resin.room",
        Dimension.TEMPERATURE,
        "0 C",
        "40 C",
        "20 C",
        "where it is cast",
        default="20 C",
        source=f"{FORMAT}: a room's temperature",
    ),
    quantity(
        "resin.highest_temperature",
        Dimension.TEMPERATURE,
        "25 C",
        "150 C",
        "55 C",
        "that a layer may come to while it cures",
        default="55 C",
        source="judgement: where plain epoxy begins to soften",
    ),
    quantity(
        "resin.speed",
        Dimension.SPEED,
        "0.05 m/s",
        "30 m/s",
        "1 m/s",
        "at which the two bulbs' drag is compared",
        default="1 m/s",
        source="judgement",
    ),
)
