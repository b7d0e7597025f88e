"""What is known about one key of the plan file: kind, range, default with its source, meaning."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from functools import cache
from typing import Literal

from bulbcast.plan.agreement import Condition, DefaultWith, NeededWith, OnlyWith
from bulbcast.quantities import WORDS, Dimension, joined
from bulbcast.quantities.frozen import frozen

COMMON = "common practice, no source"
FORMAT = "the plan format's own default"
ANGLE = Dimension.ANGLE
AREA = Dimension.AREA
DENSITY = Dimension.DENSITY
FORCE = Dimension.FORCE
HEAT = Dimension.HEAT
LENGTH = Dimension.LENGTH
MASS = Dimension.MASS
POWER = Dimension.POWER
PRESSURE = Dimension.PRESSURE
RATIO = Dimension.RATIO
SPEED = Dimension.SPEED
STIFFNESS = Dimension.STIFFNESS
TEMPERATURE = Dimension.TEMPERATURE
TIME = Dimension.TIME
VOLUME = Dimension.VOLUME


Varied = Literal["yes", "fixed", "without effect"]


class Kind(StrEnum):
    """How a key's value is written in the file."""

    QUANTITY = "quantity"
    NUMBER = "number"
    TEXT = "text"
    CHOICE = "choice"
    TABLE = "table"


@dataclass(frozen=True, slots=True)
class Range:
    """Range of a value, with both ends included unless stated otherwise, as a builder types them.

    Attributes:
        words: The range as messages say it.
        low: Lowest value, with its unit where there is one.
        high: Highest value, likewise.
        above: True where `low` itself is excluded.
        below: True where `high` itself is excluded.
    """

    words: str
    low: str
    high: str
    above: bool
    below: bool


def range_of(written: str) -> Range:
    """A range as a declaration writes it: "1 mm to 5 m", "above 0 mm and up to 5 m", "above 0 and below 1".

    Args:
        written: Both ends with their units. [-]

    Raises:
        TypeError: It does not have two ends.
    """
    bare = written.removeprefix("above ")
    above = bare != written
    mark = " and below " if " and below " in bare else " and up to " if above else " to "
    low, _, high = bare.partition(mark)
    if not (low and high):
        raise TypeError(f'"{written}" is no range: write "1 mm to 5 m", say')
    words = written if above else f"from {written}"
    return Range(words=words, low=low, high=high, above=above, below=mark == " and below ")


@frozen
class Key:
    """One key of the plan file.

    Attributes:
        name: Dotted name, such as `bulb.target_mass`; `screws.at` is that of every screw.
        section: The section it is in, "" at the top of the file.
        leaf: Its name within the section.
        kind: How its value is written.
        about: What it means, briefly; the starter plan's comment.
        example: A value as written in the file, quotes included.
        dimensions: For a quantity, the dimensions accepted.
        ranges: For a quantity one for each dimension, for a number one.
        choices: For a choice, the words accepted.
        means: What each of them means.
        also: Other names of the trade for some of them, read as the word itself.
        required: True where every plan needs it.
        default: What is used where it is left out, as typed; None where there is none, or where it depends on other
            figures and a later room sets it.
        source: Where the default comes from.
        only_with: What it has no effect without.
        needed_with: What it is required with.
        not_with: Keys that may not be given with it, each with the reason.
        required_unless: Condition under which a plan may lack it after all.
        default_with: Defaults that come before `default`, each under its condition.
        default_unless: Condition under which `default` is not used.
        left_out: What leaving it out means where it has no default: a word, or the key whose word is then used.
        whole: For a number that has to be whole, the texts of the fault: read, expected, remedy.
        may_lack: True where its field may be None: a default is then used only where the key has an effect.
        unknown: True where "unknown" is an answer, which means the same as leaving the key out.
        rare: True where a plan with its section usually does without it.
        varied: Whether a study may vary it, or why not: "fixed" is read once for a whole study, "without effect"
            changes no figure of one.
        step: Step of the work, that of its section.
        title: Its name as a heading, such as "Target mass"; left out: its leaf in full words.
        find: How it is measured, looked up or chosen, in whole sentences.
        spread: For a value that may be typed with its standard deviation, the one assumed without: as typed, "10 %" of
            the value itself, or words that say what it follows from. None: no standard deviation may be given.
        spread_source: Where that comes from.
    """

    name: str
    section: str = field(init=False)
    leaf: str = field(init=False)
    kind: Kind
    about: str
    example: str
    dimensions: tuple[Dimension, ...] = ()
    ranges: tuple[Range, ...] = ()
    choices: tuple[str, ...] = ()
    means: Mapping[str, str] = field(default_factory=dict)
    also: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    required: bool = False
    default: str | None = None
    source: str = ""
    only_with: tuple[OnlyWith, ...] = ()
    needed_with: tuple[NeededWith, ...] = ()
    not_with: Mapping[str, str] = field(default_factory=dict)
    required_unless: Condition = ()
    default_with: tuple[DefaultWith, ...] = ()
    default_unless: Condition = ()
    left_out: str = ""
    whole: tuple[str, str, str] | None = None
    may_lack: bool = False
    unknown: bool = False
    rare: bool = False
    varied: Varied = "yes"
    step: str = ""
    title: str = ""
    find: str = ""
    spread: str | None = None
    spread_source: str = ""

    def __post_init__(self) -> None:
        section, _, leaf = self.name.rpartition(".")
        object.__setattr__(self, "section", section)
        object.__setattr__(self, "leaf", leaf)
        if leaf and not self.title:
            words = re.sub("_([xyz])$", r", \1", leaf).replace("_", " ")
            object.__setattr__(self, "title", words[:1].upper() + words[1:])

    def word(self, typed: str) -> str | None:
        """The word of a choice that was typed, whatever its capitals and hyphens, or by another name of the trade.

        Args:
            typed: As it stands in the file. [-]

        Returns:
            The word; None where it is not one of them.
        """
        return _names(self.choices, tuple(self.also.items())).get(_folded(typed))

    @property
    def meanings(self) -> str:
        """The words of a choice, each with what it means, as one sentence."""
        return "; ".join(f'"{each}": {self.means[each]}' for each in self.choices if each in self.means)

    @property
    def acceptance(self) -> bool:
        """Whether its value is a sentence that has to be typed in full."""
        return self.kind is Kind.CHOICE and len(self.choices) == 1

    @property
    def expected(self) -> str:
        """What messages give as expected."""
        if self.kind is Kind.QUANTITY:
            return " or ".join(
                f"{WORDS[dimension].noun} {within.words}"
                for dimension, within in zip(self.dimensions, self.ranges, strict=True)
            )
        if self.kind is Kind.NUMBER:
            return f"a bare number {self.ranges[0].words}"
        if self.kind is Kind.CHOICE:
            return "one of " + joined([f'"{each}"' for each in self.choices], "or")
        return "a text in quotes" if self.kind is Kind.TEXT else f"a table such as {self.example}"

    @property
    def example_line(self) -> str:
        """The key with its example, as a line of the file."""
        return f"{self.leaf} = {self.example}"


def _folded(typed: str) -> str:
    """Words in lower case with single spaces; the hyphen before an axis is not one between two words."""
    return re.sub(r"(?<=\w)[\s_-]+(?=\w)", " ", typed.casefold().strip())


@cache
def _names(choices: tuple[str, ...], also: tuple[tuple[str, tuple[str, ...]], ...]) -> dict[str, str]:
    """Every name of a choice's words, folded, with its word.

    Raises:
        TypeError: One name for two words, or a name for no word.
    """
    names: dict[str, str] = {}
    for word, others in (*((each, (each,)) for each in choices), *also):
        for name in map(_folded, others):
            if word not in choices or names.setdefault(name, word) != word:
                raise TypeError(f'"{name}" cannot be read as "{word}", one of {joined(choices, "and")}')
    return names
