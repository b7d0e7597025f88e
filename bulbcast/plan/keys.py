"""Table of all the keys that a plan can have, gathered from the sections that declare them. Reading, messages, defaults,
the starter plan, the key reference and the variables of a study all use it.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from types import MappingProxyType
from typing import TYPE_CHECKING, Any, get_args, get_type_hints

from bulbcast.plan.agreement import dotted, dotted_condition, settled
from bulbcast.plan.declare import Section, declared_sections, register
from bulbcast.plan.key import FORMAT, Key, Kind
from bulbcast.plan.sections import Plan
from bulbcast.quantities import Dimension, DisplayUnits, read_quantity

if TYPE_CHECKING:
    from collections.abc import Mapping

register(
    Section(
        name="",
        made=None,
        keys=(
            Key(
                name="name",
                kind=Kind.TEXT,
                about="name of the boat, as printed on the sheets",
                example='"Larkspittle"',
                find="Choose any name. If you omit it, the file name is used.",
                step="plan",
            ),
            Key(
                name="display_units",
                kind=Kind.CHOICE,
                about="units of the report, metric or imperial; data files are in mm",
                example='"metric"',
                choices=get_args(DisplayUnits),
                means={
                    "metric": "millimetres, grams and degrees Celsius",
                    "imperial": "inches, pounds and ounces, degrees Fahrenheit",
                },
                find="Choose the units marked on your rulers and scales.",
                also={"metric": ("si", "mm"), "imperial": ("inch", "inches", "us customary")},
                default="metric",
                source=FORMAT,
                step="plan",
            ),
        ),
        step="plan",
        varied="without effect",
    )
)


def _in_order() -> dict[str, Section]:
    """Declared sections in the order of the plan, each followed by its parts, such as alloy.weighed.

    Raises:
        TypeError: A section is declared, but no field of the plan uses it.
    """
    declared = declared_sections()
    hints = get_type_hints(Plan)
    names = ["", *(name for name in hints if name in declared)]
    parts = {name: name.partition(".")[0] for name in declared if "." in name}
    lost = set(declared) - set(names) - set(parts)
    if lost:
        raise TypeError(f"declared sections that no field of the plan uses: {sorted(lost)}")
    ordered = {}
    for name in names:
        ordered[name] = declared[name]
        ordered |= {part: declared[part] for part, whole in parts.items() if whole == name}
    return ordered


def _agreed(part: Section, parts: Mapping[str, Section]) -> Section:
    """Return a section with the names in its conditions put in dotted form and its `varied` passed on to its keys.

    Raises:
        TypeError: A condition refers to a key, section or word that does not exist, or a key in a part of a section
            has a condition.
    """
    plain = {key.name: key for one in parts.values() for key in one.keys}

    def name_of(name: str, words: tuple[str, ...] = ()) -> str:
        found = next((one for one in (f"{part.name}.{name}", name) if one in plain), None)
        if found is None and (words or name not in parts):
            raise TypeError(f"[{part.name}] refers to {name}, but there is no such key or section")
        if found is not None and not set(words) <= set(plain[found].choices):
            raise TypeError(f"[{part.name}] refers to a word that {found} does not have: {words}")
        return found or name

    for leaf in (leaf for group in part.one_of for leaf in group.keys):
        if f"{part.name}.{leaf}" not in plain:
            raise TypeError(
                f"[{part.name}] lists {leaf} among keys that exclude each other, but there is no such key"
            )
    if "." in part.name and any(
        key.only_with or key.needed_with or key.not_with or key.whole for key in part.keys
    ):
        raise TypeError(f"{part.name} is part of a section: conditions on its keys are not checked yet")
    varied = parts[part.name.partition(".")[0]].varied

    def agreed(key: Key) -> Key:
        changed: dict[str, Any] = {} if varied == "yes" else {"varied": varied}
        for conditions in ("only_with", "needed_with", "default_with"):
            if given := getattr(key, conditions):
                changed[conditions] = tuple(dotted(one, name_of) for one in given)
        for condition in ("required_unless", "default_unless"):
            if given := getattr(key, condition):
                changed[condition] = dotted_condition(given, name_of)
        if key.not_with:
            changed["not_with"] = {name_of(name): why for name, why in key.not_with.items()}
        if "." in key.left_out:
            name_of(key.left_out)
        return replace(key, **changed) if changed else key

    return replace(
        part,
        keys=tuple(map(agreed, part.keys)),
        only_with=tuple(dotted(one, name_of) for one in part.only_with),
        one_of=tuple(dotted(one, name_of) for one in part.one_of),
    )


_DECLARED = _in_order()
PARTS: Mapping[str, Section] = MappingProxyType(
    {name: _agreed(part, _DECLARED) for name, part in _DECLARED.items()}
)
"""All sections, and parts of sections, in the order of the plan format."""
KEYS: Mapping[str, Key] = MappingProxyType({key.name: key for part in PARTS.values() for key in part.keys})
EXACTLY_ONE = {
    f"{part.name}.{leaf}": tuple(f"{part.name}.{each}" for each in group.keys)
    for part in PARTS.values()
    for group in part.one_of
    if group.nothing
    for leaf in group.keys
}
"""Keys from groups in which exactly one key is required, each with its whole group."""
SECTIONS = tuple(name for name in PARTS if name and "." not in name)
"""Sections in the order of the plan format; those in `REPEATED`, such as [[screws]], may occur several times."""
REPEATED = {name: part.one for name, part in PARTS.items() if part.one}
"""Sections in double brackets, each with the word for a single entry."""
MOST_REPEATED = {name: part.most for name, part in PARTS.items() if part.one}
"""Maximum number of repetitions of each section in double brackets. Judgement: several times as many as a boat has; a
plan with every section at its limit still takes only seconds to calculate."""
ALWAYS = (
    "",
    *(
        name
        for name, hint in get_type_hints(Plan).items()
        if name in SECTIONS and type(None) not in get_args(hint)
    ),
)
"""Sections whose defaults are used whether or not they are in the file. For other sections, defaults are used only if the
section is in the file."""


def bracketed(section: str) -> str:
    """Name of a section as written in the file, in single or double brackets."""
    return f"[[{section}]]" if section in REPEATED else f"[{section}]"


@cache
def limits(name: str, dimension: Dimension | None) -> tuple[float, float]:
    """Lowest and highest value of a key's range, in SI.

    Args:
        name: Dotted name of a quantity or a number. [-]
        dimension: Dimension that was read, for a quantity; None for a number. [-]

    Returns:
        Both ends; `Range.above` and `Range.below` say whether they are included. [SI unit of the dimension]
    """
    key = KEYS[name]
    if dimension is None:
        return float(key.ranges[0].low), float(key.ranges[0].high)
    within = key.ranges[key.dimensions.index(dimension)]
    return read_quantity(within.low, dimension), read_quantity(within.high, dimension)


def section_keys(section: str) -> tuple[Key, ...]:
    """Keys of a section in the order of the plan format.

    Args:
        section: Section, such as "bulb", "alloy.weighed", or "" for the top of the file. [-]

    Returns:
        Its keys; empty if there is no such section.
    """
    return PARTS[section].keys if section in PARTS else ()


def keys_only_with(ruler: str, word: str) -> tuple[str, ...]:
    """Leaf names of the keys that have an effect only if another key has a certain word.

    Args:
        ruler: Dotted name of the other key. [-]
        word: Word of that key. [-]
    """
    return tuple(
        key.leaf
        for key in KEYS.values()
        for only in key.only_with
        if word in settled(only.where).get(ruler, ())
    )
