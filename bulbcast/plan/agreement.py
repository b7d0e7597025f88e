"""Rules for combining keys, as data: which keys need others, and which exclude each other.

    only_with={"material": "plaster"}: a plaster key has no effect in a sand mould
    only_with="boat": this key has no effect without the [boat] section
    needed_with={"profile": "series58"}: without this key the profile is not defined
    not_with={"bulb.mass_centre_x": "both set the position of the mass centre"}
    OneOf(("fineness", "length", "diameter"), ...)

A condition names one or more keys or sections. Each can have a list of words that meet the condition; without words,
the presence of the key or section is enough. The condition is met if any one of them matches. A key is given by its
leaf name within its section and by its dotted name elsewhere. Each fault has templates for its texts, which are filled
in from the plan; standard templates are used if none are given.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from typing import Any, cast

Words = str | tuple[str, ...]
Condition = str | tuple[str, ...] | Mapping[str, Words]
"""Condition as written in a declaration: names, one of which must be present, or names with the words that meet it."""
Where = dict[str, tuple[str, ...]]
"""Condition as a mapping from dotted names to tuples of words. A tuple is empty if the name's presence is enough."""


@dataclass(frozen=True, slots=True)
class OnlyWith:
    """A key or a section that has an effect only under a condition.

    Attributes:
        where: The condition.
        but: Choice words of the key that are allowed even if the condition is not met.
        read: What was read.
        expected: What was expected.
        remedy: How to fix it.
    """

    where: Condition
    but: tuple[str, ...] = ()
    read: str = ""
    expected: str = ""
    remedy: str = ""

    @property
    def texts(self) -> tuple[str, str, str]:
        """Templates for the fault's `read`, `expected` and `remedy` texts."""
        if isinstance(self.where, Mapping) and any(self.where.values()):
            usual = ('{leaf} with {ruler} = "{word}"', "{leaf} only with {ruler} {owners}")
            remedy = "Remove {leaf}, or write {ruler} = {owners}."
        else:
            usual = ("{leaf} without {owners}", "{leaf} only with {owners}")
            remedy = "Remove {leaf}, or add {owners}."
        return self.read or usual[0], self.expected or usual[1], self.remedy or remedy


@dataclass(frozen=True, slots=True)
class NeededWith:
    """A key that is required under a condition.

    Attributes:
        where: The condition.
        why: End of the text for `expected`, such as "which a washer needs".
        also: A second condition that must also be met.
        unless: A condition under which the key may be missing.
        read: What was read.
        expected: What was expected.
        remedy: How to fix it.
    """

    where: Condition
    why: str = 'which {ruler} = "{word}" needs'
    also: Condition = ()
    unless: Condition = ()
    read: str = "nothing"
    expected: str = "{expected}, {why}"
    remedy: str = "Add {example}, say, under [{section}]."

    @property
    def texts(self) -> tuple[str, str, str]:
        """Templates for the fault's `read`, `expected` and `remedy` texts."""
        return self.read, self.expected.replace("{why}", self.why), self.remedy


@dataclass(frozen=True, slots=True)
class DefaultWith:
    """A default that replaces the key's fixed default if a condition is met."""

    where: Condition
    value: str
    source: str


@dataclass(frozen=True, slots=True)
class OneOf:
    """Keys of a section that exclude each other.

    Attributes:
        keys: Their leaf names, in the order used in messages.
        remedy: How to fix the plan if several are given.
        expected: What was expected.
        nothing: If none is given, what was read and how to fix the plan; empty if none need be given.
        unless: Condition under which none need be given.
    """

    keys: tuple[str, ...]
    remedy: str
    expected: str = "one of the two"
    nothing: tuple[str, ...] = ()
    unless: Condition = ()


def every(kind: type[Any], given: Any) -> tuple[Any, ...]:
    """Conditions of a declaration as a tuple, even if only one is given; bare conditions are wrapped in `kind`."""
    several = given if isinstance(given, tuple) and any(isinstance(one, kind) for one in given) else (given,)
    return tuple(one if isinstance(one, kind) else kind(one) for one in several if one)


def dotted(one: Any, name_of: Callable[[str, tuple[str, ...]], str]) -> Any:
    """Return a condition with every name as a dotted path.

    Args:
        one: Condition of a key.
        name_of: Function that takes a name as written and the words required for it, and returns the dotted name.

    Raises:
        TypeError: Raised by `name_of` if there is no such key, section or word.
    """
    parts = [part for part in ("where", "also", "unless") if hasattr(one, part)]
    return replace(one, **{part: dotted_condition(getattr(one, part), name_of) for part in parts})


def settled(condition: Condition) -> Where:
    """Return the condition of a key, whose names are already dotted; {} if the key has no condition."""
    return cast("Where", condition or {})


def dotted_condition(written: Condition, name_of: Callable[[str, tuple[str, ...]], str]) -> Where:
    """Return a condition with every name dotted and every word in a tuple; see `dotted`."""
    if isinstance(written, str):
        written = (written,)
    if isinstance(written, tuple):
        return {name_of(name, ()): () for name in written}
    asked = {name: (words,) if isinstance(words, str) else words for name, words in written.items()}
    return {name_of(name, words): words for name, words in asked.items()}
