"""Conversion of a plan's answers into its frozen sections, field by field, and reading of alloy compositions."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import fields
from functools import cache
from inspect import signature
from typing import TYPE_CHECKING, Any, TypeVar, get_args, get_origin, get_type_hints

from bulbcast.plan.answer_words import shown_name, words_of
from bulbcast.plan.answers import wrong_kind
from bulbcast.plan.declare import leaf_of
from bulbcast.plan.key import Kind
from bulbcast.plan.keys import PARTS
from bulbcast.quantities import joined

if TYPE_CHECKING:
    from _typeshed import DataclassInstance

    from bulbcast.plan.answers import Answers
    from bulbcast.plan.key import Key

    Class = TypeVar("Class", bound=DataclassInstance)
else:
    Class = TypeVar("Class")


Made = TypeVar("Made")


def made_from(made: Callable[..., Made], section: object, **others: Any) -> Made:
    """Call a class or function with the values of a section that have the same names as its parameters.

    Args:
        made: Class or function whose parameters give the names.
        section: Section of the plan.
        others: Values that are not from the section.

    Raises:
        AttributeError: The section has no value for a name that is not in `others`, even if the parameter has a
            default.
    """
    own = {name: getattr(section, name) for name in _parameters(made) if name not in others}
    return made(**own, **others)


@cache
def _parameters(made: Callable[..., object]) -> tuple[str, ...]:
    return tuple(signature(made).parameters)


def filled(made: type[Class], answers: Answers, place: str) -> Class:
    """Make a section from its class, giving each field the value of its key.

    Args:
        made: A declared class. [-]
        answers: Checked answers, with the fixed defaults filled in. [-]
        place: Path of the section, such as "boat" or "screws[1]". [-]

    Returns:
        The section, with None in each field whose key was not given and has no fixed default.

    Raises:
        KeyError: A field that cannot be None has no value, since its key is not required and has no default: a
            mistake in its declaration.
    """
    values: dict[str, object] = {}
    for name, leaf, dimension, table, whole, may_lack in _fields_of(made):
        spot = f"{place}.{leaf}"
        if table is not None:
            values[name] = table(answers, spot)
            continue
        value: object = answers.values.get(spot)
        if dimension is not None and answers.dimensions.get(spot) is not dimension:
            value = None
        if value is None and not may_lack:
            raise KeyError(f"{spot} has neither a value nor a default")
        values[name] = int(value) if whole and isinstance(value, float) else value
    return made(**values)


@cache
def _fields_of(made: type) -> tuple[tuple[Any, ...], ...]:
    """For each field, its name, leaf name and dimension, the reader of a table, whether it is an integer, and whether it
    can be None."""
    hints = get_type_hints(made)
    rows = []
    for each in fields(made):
        declared = each.metadata["declared"]
        hint = hints[each.name]
        table = None
        if declared.key is not None and declared.key.kind is Kind.TABLE:
            part = next(
                (
                    one
                    for one in (hint, *get_args(hint))
                    if any(one is known.made for known in PARTS.values())
                ),
                None,
            )
            table = _part_reader(part) if part is not None else _WHOLE_TABLES[leaf_of(each.name, declared)]
        rows.append(
            (
                each.name,
                leaf_of(each.name, declared),
                declared.dimension,
                table,
                hint is int,
                type(None) in get_args(hint) and get_origin(hint) is not tuple,
            )
        )
    return tuple(rows)


def _part_reader(part: type) -> Any:
    def read(answers: Answers, spot: str) -> Any:
        return filled(part, answers, spot) if part_stands(answers, spot) else None

    return read


def part_stands(answers: Answers, spot: str) -> bool:
    """Whether the file has a readable table for a part, such as a weighed sample.

    Args:
        answers: Answers read from the plan. [-]
        spot: Dotted path, such as "alloy.weighed" or "scrap[2].weighed". [-]
    """
    return (
        spot in answers.given
        and spot not in answers.broken
        and answers.typed.get(spot, "").strip('"').casefold() != "unknown"
    )


def lots_weighed(answers: Answers) -> list[str]:
    """Paths of the `weighed` tables given for scrap lots.

    Args:
        answers: Answers read from the plan. [-]
    """
    return [spot for place in answers.places("scrap") if part_stands(answers, spot := f"{place}.weighed")]


def composition_at(answers: Answers, place: str) -> tuple[tuple[str, float], ...] | None:
    """Composition with its parts scaled to a sum of 1; None if none was given.

    Args:
        answers: Checked answers. [-]
        place: Dotted path, such as "alloy.composition". [-]
    """
    parts = answers.compositions.get(place)
    if parts is None:
        return None
    total = sum(part for _, part in parts)
    return tuple((symbol, part / total) for symbol, part in parts)


def stations_at(answers: Answers, place: str) -> tuple[tuple[float, float], ...] | None:
    """Thicknesses along a chord; None if none were given.

    Args:
        answers: Checked answers. [-]
        place: Dotted path, such as "fin.measured". [-]
    """
    return answers.stations.get(place)


_WHOLE_TABLES = {"composition": composition_at, "measured": stations_at}
"""Readers of tables that form one value, by the leaf name of their key."""


# Reasons to refuse some metals that turn up in scrap (practice; sources in the safety texts).
_REFUSED = {
    "Zn": "Zinc spoils the melt: remove it before melting.",
    "Cd": "Cadmium fume can kill: do not melt this metal.",
    "Ca": "Calcium means battery metal: do not melt it.",
    "Hg": "Mercury vapour is poisonous: do not melt this metal.",
    "Al": "Aluminium spoils the melt: remove it before melting.",
}


def read_composition(answers: Answers, key: Key, place: str, value: object) -> None:
    """Read one composition.

    Args:
        answers: Answers to which the parts or the faults are added. [-]
        key: Key of the composition. [-]
        place: Dotted path. [-]
        value: As TOML reads it. [-]
    """
    from bulbcast.materials.alloys import elements  # its table is read only if it is needed

    known = elements()
    if not isinstance(value, dict) or not value:
        wrong_kind(answers, key, place, value)
        return
    faults = len(answers.faults)
    parts = []
    for symbol, part in value.items():
        spot = f"{place}.{shown_name(symbol)}"
        if symbol not in known:
            near = next((each for each in known if each.casefold() == symbol.casefold()), None)
            refused = _REFUSED.get(symbol.capitalize(), "Omit trace elements.")
            answers.fault(
                spot,
                "an element that is not accepted",
                f"parts of {joined(known, 'and')}",
                (
                    f"Did you mean {near}?"
                    if near
                    else f"{refused} If your scrap contains other metals, weigh a sample in air and in water "
                    "(alloy.weighed) instead."
                ),
            )
        elif isinstance(part, bool) or not isinstance(part, (int, float)) or not 0 <= part <= 100:
            answers.fault(
                spot,
                words_of(part),
                "a bare number from 0 to 100, in per cent by mass",
                f"Write {symbol} = 4, say.",
            )
        else:
            parts.append((symbol, float(part)))
    total = math.fsum(part for _, part in parts)
    if len(answers.faults) > faults:
        return
    if abs(total - 100.0) > 0.1 + 1e-9:
        rest = 100.0 - math.fsum(part for symbol, part in parts if symbol != "Pb")
        answers.fault(
            place,
            f"{', '.join(f'{symbol} = {part:g}' for symbol, part in parts)}, together {total:g}",
            "percentages that add up to 100, within 0.1",
            (
                f"Fix the parts. With Pb = {rest:g} they add up to 100."
                if rest > 0.0
                else "Fix the parts: they must add up to 100, including the lead."
            ),
        )
        return
    answers.compositions[place] = tuple(parts)
