"""What keys must agree on, as data: which goes only with which, which needs which, and of which only one may be given.

    only_with={"material": "plaster"}       a plaster key has no effect in a sand mould only_with="boat"
    nor this one without the section [boat] needed_with={"profile": "series58"}     without it there is no such profile
    not_with={"bulb.mass_centre_x": "both say where the mass centre comes"} OneOf(("fineness", "length", "diameter"), ...)

A condition names keys or sections, each with the words that meet it, or none where its presence is enough; any one of
them is enough. A key is named by its leaf within its own section, by its dotted name elsewhere. Each fault has its
texts, filled in from what was read; where they are left out, the usual ones are used.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from typing import Any, cast

Words = str | tuple[str, ...]
Condition = str | tuple[str, ...] | Mapping[str, Words]
"""A condition as a declaration writes it: names that must be present, or names with the words that meet it."""
Where = dict[str, tuple[str, ...]]
"""The same with every name dotted and every word in a tuple, which is empty where the name's presence is enough."""


@dataclass(frozen=True, slots=True)
class OnlyWith:
    """A key or a section that has an effect only under a condition.

    Attributes:
        where: The condition.
        but: Words of the key that are allowed anyway.
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
        """Text patterns of the fault."""
        if isinstance(self.where, Mapping) and any(self.where.values()):
            usual = ('{leaf} with {ruler} = "{word}"', "{leaf} only with {ruler} {owners}")
            remedy = "Take {leaf} out, or write {ruler} = {owners}."
        else:
            usual = ("{leaf} without {owners}", "{leaf} only with {owners}")
            remedy = "Take {leaf} out, or add {owners}."
        return self.read or usual[0], self.expected or usual[1], self.remedy or remedy


@dataclass(frozen=True, slots=True)
class NeededWith:
    """A key that is required under a condition.

    Attributes:
        where: The condition.
        why: The end of what was expected, such as "which a washer needs".
        also: A second condition that must be met as well.
        unless: A condition under which it may be missing after all.
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
        """Text patterns of the fault."""
        return self.read, self.expected.replace("{why}", self.why), self.remedy


@dataclass(frozen=True, slots=True)
class DefaultWith:
    """A default that is used under a condition, before the key's usual one."""

    where: Condition
    value: str
    source: str


@dataclass(frozen=True, slots=True)
class OneOf:
    """Keys of one section, of which a plan holds only one.

    Attributes:
        keys: Their leaves, in the order in which messages name them.
        remedy: How to fix it where several are given.
        expected: What was expected.
        nothing: What was read and how to fix it, where none is given; empty where none is allowed.
        unless: Condition under which none is allowed after all.
    """

    keys: tuple[str, ...]
    remedy: str
    expected: str = "one of the two"
    nothing: tuple[str, ...] = ()
    unless: Condition = ()


def every(kind: type[Any], given: Any) -> tuple[Any, ...]:
    """A declaration's conditions as values of their kind, from one, several or a bare condition."""
    several = given if isinstance(given, tuple) and any(isinstance(one, kind) for one in given) else (given,)
    return tuple(one if isinstance(one, kind) else kind(one) for one in several if one)


def dotted(one: Any, name_of: Callable[[str, tuple[str, ...]], str]) -> Any:
    """The same condition with every name dotted.

    Args:
        one: What a key agrees on.
        name_of: Gives the dotted name for a name as written and the words required of it.

    Raises:
        TypeError: Raised by `name_of` where there is no such key, section or word.
    """
    parts = [part for part in ("where", "also", "unless") if hasattr(one, part)]
    return replace(one, **{part: dotted_condition(getattr(one, part), name_of) for part in parts})


def settled(condition: Condition) -> Where:
    """A condition of a key of the plan, with names that are already dotted."""
    return cast("Where", condition or {})


def dotted_condition(written: Condition, name_of: Callable[[str, tuple[str, ...]], str]) -> Where:
    """A condition with every name dotted and every word in a tuple; see `dotted`."""
    if isinstance(written, str):
        written = (written,)
    if isinstance(written, tuple):
        return {name_of(name, ()): () for name in written}
    asked = {name: (words,) if isinstance(words, str) else words for name, words in written.items()}
    return {name_of(name, words): words for name, words in asked.items()}
