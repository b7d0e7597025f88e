"""Every key a plan may hold, in one table: kind, range, default with its source, and what it means.

Reading, messages, defaults and the starter plan all draw on this table, so that they cannot disagree.
Ranges and defaults are written as a builder types them and read by the same reader as her plan. Where the
plan format sets no range, the bounds are wide physical ones that only catch slips (judgement).
"""

from __future__ import annotations

from functools import cache
from types import MappingProxyType
from typing import TYPE_CHECKING, get_args

from bulbcast.plan.boat_keys import BOAT_KEYS, FIN_BOAT_KEYS, WEIGHT_KEYS
from bulbcast.plan.bulb_keys import ALLOY_KEYS, BULB_KEYS, FIN_KEYS, SCREW_KEYS, WEIGHED_KEYS
from bulbcast.plan.fitting_keys import CROSS_PIN_KEYS, JOINT_KEYS, STUD_KEYS
from bulbcast.plan.key import COMMON, FORMAT, Key, Kind, Range, choice, quantity
from bulbcast.plan.melt_keys import BURNER_KEYS, POT_KEYS, POUR_KEYS, SCRAP_KEYS, SCRAP_WEIGHED_KEYS
from bulbcast.plan.mould_keys import MOULD_KEYS, RESIN_KEYS
from bulbcast.plan.pattern_shop_keys import PATTERN_SHOP_KEYS
from bulbcast.plan.rig_keys import RIG_KEYS, RUDDER_KEYS
from bulbcast.plan.strength_keys import LIMIT_KEYS, STRENGTH_KEYS
from bulbcast.plan.templates_keys import RIB_KEYS, TEMPLATE_KEYS
from bulbcast.quantities import Dimension, DisplayUnits, read_quantity

if TYPE_CHECKING:
    from collections.abc import Mapping

_L, _M, _R, _DENSITY = Dimension.LENGTH, Dimension.MASS, Dimension.RATIO, Dimension.DENSITY
_SOLID = ("50 kg/m3", "25000 kg/m3")

_TOP = (
    Key(name="name", kind=Kind.TEXT, about="what the sheets call her", example='"Larkspittle"'),
    choice(
        "display_units",
        get_args(DisplayUnits),
        "metric or imperial: for what people read; files are in mm",
        default="metric",
        source=FORMAT,
    ),
)

_WATER = (
    choice(
        "water.kind",
        ("fresh", "salt"),
        "fresh or salt, both at 15 C; or give density instead",
        default="fresh",
        source=FORMAT,
    ),
    quantity("water.density", _DENSITY, "950 kg/m3", "1250 kg/m3", "1012 kg/m3", "of brackish water, say"),
)

_PATTERN = (
    quantity("pattern.contraction", _R, "0 %", "4 %", "0.98 %", "linear; left out: the alloy's own"),
    quantity(
        "pattern.mould_expansion",
        _R,
        "-1 %",
        "1 %",
        "-0.05 %",
        "net growth of the cavity from pattern to pour",
        default="-0.05 %",
        source="judgement: baked plaster, the side that casts heavy, until [mould] says which",
    ),
    quantity(
        "pattern.finish",
        _L,
        "0 mm",
        "20 mm",
        "0.3 mm",
        "filed off all over; left out: 0.5 % of the diameter, 0.1 to 0.5 mm",
    ),
    quantity(
        "pattern.coat",
        _L,
        "0 mm",
        "5 mm",
        "0.1 mm",
        "sealer on the pattern",
        default="0.1 mm",
        source="judgement",
    ),
    quantity(
        "pattern.chord_error",
        _L,
        "0.0005 mm",
        "2 mm",
        "0.02 mm",
        "largest gap between a facet and the true surface",
        default="0.02 mm",
        source="judgement: finer than a printer's layer",
    ),
    quantity("pattern.density", _DENSITY, *_SOLID, "0.45 g/cm3", "of the pattern's own material"),
)

_MELT = (
    Key(
        name="melt.feeder",
        kind=Kind.QUANTITY,
        about="sprue and riser; or a percentage of the cast mass; left out: 30 %",
        example='"200 g"',
        dimensions=(_M, _R),
        ranges=(Range(low="0 g", high="20 t"), Range(low="0 %", high="300 %")),
    ),
    quantity(
        "melt.reserve",
        _R,
        "0 %",
        "200 %",
        "10 %",
        "of what is poured; it goes into dry warm ingot tins",
        default="10 %",
        source=COMMON,
    ),
    quantity(
        "melt.dross", _R, "0 %", "90 %", "5 %", "of the charge, skimmed off; left out: by the alloy's grade"
    ),
)

KEYS: Mapping[str, Key] = MappingProxyType(
    {
        key.name: key
        for group in (
            *(
                _TOP,
                _WATER,
                BULB_KEYS,
                ALLOY_KEYS,
                WEIGHED_KEYS,
                FIN_KEYS,
                JOINT_KEYS,
                FIN_BOAT_KEYS,
                SCREW_KEYS,
                CROSS_PIN_KEYS,
                STUD_KEYS,
            ),
            *(_PATTERN, _MELT),
            *(BOAT_KEYS, WEIGHT_KEYS),
            *(RUDDER_KEYS, RIG_KEYS),
            *(STRENGTH_KEYS, LIMIT_KEYS),
            PATTERN_SHOP_KEYS,
            *(TEMPLATE_KEYS, RIB_KEYS),
            *(MOULD_KEYS, RESIN_KEYS),
            *(SCRAP_KEYS, SCRAP_WEIGHED_KEYS, POT_KEYS, BURNER_KEYS, POUR_KEYS),
        )
        for key in group
    }
)
SECTIONS = (
    "water",
    "bulb",
    "alloy",
    "fin",
    "screws",
    "cross_pins",
    "studs",
    "pattern",
    "melt",
    "boat",
    "weights",
    "rudder",
    "rig",
    "strength",
    "limits",
    "parting",
    "printer",
    "frame",
    "templates",
    "ribs",
    "mould",
    "resin",
    *("scrap", "pot", "burner", "pour"),
)
"""The sections in the order of the plan format; those of `REPEATED` may stand many times, as [[screws]]."""
ALWAYS = ("", "water", "bulb", "alloy", "fin", "screws", "cross_pins", "studs", "pattern", "melt", "weights")
"""Sections whose defaults are taken whether they stand in the file or not; the others' only where they stand.
Of a repeated section nothing is taken where none stands."""
REPEATED = {
    "screws": "screw",
    "cross_pins": "cross pin",
    "studs": "stud",
    "weights": "weight",
    "scrap": "lot of scrap",
}
"""Sections in double brackets, and what one of each is called."""
MOST_REPEATED = {"screws": 24, "cross_pins": 12, "studs": 24, "weights": 500, "scrap": 100}
"""How often each may stand. A judgement: several times what a boat has, worked out in seconds even where all meet."""

_BY_SECTION: dict[str, tuple[Key, ...]] = {}
for _key in KEYS.values():
    _BY_SECTION[_key.section] = (*_BY_SECTION.get(_key.section, ()), _key)


@cache
def limits(name: str, dimension: Dimension | None) -> tuple[float, float]:
    """Lowest and highest of a key's range, in SI.

    Args:
        name: Dotted name of a quantity or a number. [-]
        dimension: Of a quantity that which was read; None for a number. [-]

    Returns:
        Both ends; `Range.above` and `Range.below` say whether they are in. [SI unit of the dimension]
    """
    key = KEYS[name]
    if dimension is None:
        return float(key.ranges[0].low), float(key.ranges[0].high)
    within = key.ranges[key.dimensions.index(dimension)]
    return read_quantity(within.low, dimension), read_quantity(within.high, dimension)


def section_keys(section: str) -> tuple[Key, ...]:
    """The keys of a section in the order of the plan format.

    Args:
        section: Such as "bulb", "alloy.weighed", or "" for the top of the file. [-]

    Returns:
        Its keys; empty where there is no such section.
    """
    return _BY_SECTION.get(section, ())
