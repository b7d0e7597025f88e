"""Every key a plan may hold, gathered from the sections that declare them: reading, messages, defaults, the starter
plan, the reference of all keys and what a study may vary all draw on this.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from types import MappingProxyType
from typing import TYPE_CHECKING, get_args, get_type_hints

from bulbcast.plan.declare import Section, declared_sections, register
from bulbcast.plan.key import FORMAT, Key, Kind, Varied
from bulbcast.plan.sections import Plan
from bulbcast.quantities import Dimension, DisplayUnits, read_quantity

if TYPE_CHECKING:
    from collections.abc import Mapping

register(
    "",
    [
        Key(name="name", kind=Kind.TEXT, about="what the sheets call her", example='"Larkspittle"'),
        Key(
            name="display_units",
            kind=Kind.CHOICE,
            about="metric or imperial: for what people read; files are in mm",
            example='"metric"',
            choices=get_args(DisplayUnits),
            default="metric",
            source=FORMAT,
        ),
    ],
    made=None,
    step="plan",
    varied="without effect",
)


def _in_order() -> dict[str, Section]:
    """The declared sections in the order of the plan, a part such as alloy.weighed behind its section.

    Raises:
        TypeError: A section is declared and no field of the plan takes it, or the other way round.
    """
    declared = declared_sections()
    hints = get_type_hints(Plan)
    names = ["", *(name for name in hints if name in declared)]
    parts = {name: name.partition(".")[0] for name in declared if "." in name}
    lost = set(declared) - set(names) - set(parts)
    if lost:
        raise TypeError(f"declared, and no field of the plan takes it: {sorted(lost)}")
    ordered = {}
    for name in names:
        ordered[name] = declared[name]
        ordered |= {part: declared[part] for part, whole in parts.items() if whole == name}
    return ordered


def _varied(part: Section) -> Varied:
    """Whether a study may vary keys of a section; a part goes by its section."""
    return declared_sections()[part.name.partition(".")[0]].varied


PARTS: Mapping[str, Section] = MappingProxyType(_in_order())
"""Every section, and every part of one, in the order of the plan format."""
KEYS: Mapping[str, Key] = MappingProxyType(
    {
        key.name: replace(key, varied=varied) if (varied := _varied(part)) != "yes" else key
        for part in PARTS.values()
        for key in part.keys
    }
)
SECTIONS = tuple(name for name in PARTS if name and "." not in name)
"""The sections in the order of the plan format; those of `REPEATED` may stand many times, as [[screws]]."""
REPEATED = {name: part.one for name, part in PARTS.items() if part.one}
"""Sections in double brackets, and what one of each is called."""
MOST_REPEATED = {name: part.most for name, part in PARTS.items() if part.one}
"""How often each may stand. A judgement: several times what a boat has, worked out in seconds even where all meet."""
ALWAYS = ("", *(name for name in SECTIONS if type(None) not in get_args(get_type_hints(Plan)[name])))
"""Sections whose defaults are taken whether they stand in the file or not; the others' only where they stand.
Of a repeated section nothing is taken where none stands."""


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
    return tuple(KEYS[key.name] for key in PARTS[section].keys) if section in PARTS else ()
