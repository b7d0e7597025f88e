"""A section of the plan as a frozen value, filled from the answers field by field."""

from __future__ import annotations

from dataclasses import fields
from typing import TYPE_CHECKING, TypeVar

if TYPE_CHECKING:
    from _typeshed import DataclassInstance

    from bulbcast.plan.answers import Answers

    Section = TypeVar("Section", bound=DataclassInstance)
else:
    Section = TypeVar("Section")


def filled(kind: type[Section], answers: Answers, place: str) -> Section:
    """Fill a section's dataclass: each field takes the value of the key of its own name.

    Args:
        kind: A dataclass whose fields bear the names of the section's keys, with a stroke behind a word of
            the language, such as `yield_`. [-]
        answers: Checked, with the fixed defaults filled in. [-]
        place: Of the section, such as "boat" or "screws[1]". [-]

    Returns:
        The section; None in each field whose key was not given and has no fixed default.

    Raises:
        KeyError: A field that may not be None has no value: its key is neither required nor has a default,
            which is a slip in the table of keys.
    """
    values: dict[str, object] = {}
    for field in fields(kind):
        leaf = field.name.rstrip("_")
        value = answers.values.get(f"{place}.{leaf}")
        if value is None and "None" not in str(field.type):
            raise KeyError(f"{place}.{leaf} has neither a value nor a default")
        values[field.name] = value
    return kind(**values)


def composition_at(answers: Answers, place: str) -> tuple[tuple[str, float], ...] | None:
    """A composition with its parts brought to a sum of 1; None where none was given.

    Args:
        answers: Checked. [-]
        place: Dotted, such as "alloy.composition". [-]
    """
    parts = answers.compositions.get(place)
    if parts is None:
        return None
    total = sum(part for _, part in parts)
    return tuple((symbol, part / total) for symbol, part in parts)
