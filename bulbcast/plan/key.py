"""Description of a key in the plan file: its kind, range, meaning, and default with its source."""

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
FORMAT = "default of the plan format"
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
    """Kind of value that a key has in the file."""

    QUANTITY = "quantity"
    NUMBER = "number"
    TEXT = "text"
    CHOICE = "choice"
    TABLE = "table"


@dataclass(frozen=True, slots=True)
class Range:
    """Range of a value, with its ends as typed in a plan. Each end is included unless `above` or `below` excludes it.

    Attributes:
        words: Wording of the range in messages.
        low: Lowest value, with its unit if it has one.
        high: Highest value, with its unit if it has one.
        above: True if `low` itself is excluded.
        below: True if `high` itself is excluded.
    """

    words: str
    low: str
    high: str
    above: bool
    below: bool


def range_of(written: str) -> Range:
    """Parse a range as written in a declaration: "1 mm to 5 m", "above 0 mm and up to 5 m", "above 0 and below 1".

    Args:
        written: Text with both ends and their units. [-]

    Raises:
        TypeError: The text does not have two ends.
    """
    bare = written.removeprefix("above ")
    above = bare != written
    mark = " and below " if " and below " in bare else " and up to " if above else " to "
    low, _, high = bare.partition(mark)
    if not (low and high):
        raise TypeError(f'"{written}" is not a range: write, for example, "1 mm to 5 m"')
    words = written if above else f"from {written}"
    return Range(words=words, low=low, high=high, above=above, below=mark == " and below ")


@frozen
class Key:
    """Description of one key of the plan file.

    Attributes:
        name: Dotted name, such as `bulb.target_mass`; `screws.at` stands for every screw.
        section: Its section, or "" at the top of the file.
        leaf: Its name within the section.
        kind: Kind of value.
        about: Brief meaning, used as a comment in the starter plan.
        example: A value as written in the file, with its quotes.
        dimensions: For a quantity, the dimensions accepted.
        ranges: One range for each dimension of a quantity, or one for a number.
        choices: For a choice, the words accepted.
        means: Meaning of each word.
        also: Other trade names for some words, read as the word itself.
        required: True if every plan needs it.
        default: Value used if the key is omitted, as typed; None if there is none, or if it depends on other figures
            and is set later.
        source: Source of the default.
        only_with: Condition without which it has no effect.
        needed_with: Condition under which it is required.
        not_with: Keys that cannot be given together with it, each with the reason.
        required_unless: Condition under which a required key may be omitted.
        default_with: Defaults that take precedence over `default`, each under its condition.
        default_unless: Condition under which `default` is not used.
        left_out: Meaning of omitting it if it has no default: a word, or the key whose word is then used.
        whole: For an integer, the parts of the message if the value is not whole: read, expected, remedy.
        may_lack: True if its field can be None; a default is then used only if the key has an effect.
        unknown: True if "unknown" is allowed, with the same meaning as omitting the key.
        rare: True if a plan that contains its section usually omits it.
        varied: Whether a study may vary it, or why not: a "fixed" key is read once per study, and one "without effect"
            changes none of its figures.
        step: Step of the work to which its section belongs.
        title: Its name as a heading, such as "Target mass"; if omitted, its leaf name in full words.
        find: How to measure, look up or choose it, in complete sentences.
        spread: Standard deviation assumed if none is typed: as typed, "10 %" of the value itself, or words that say
            what it depends on. None if no standard deviation can be given.
        spread_source: Source of that standard deviation.
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
        """Choice word that matches the typed text, ignoring capitals and hyphens; other trade names also match.

        Args:
            typed: Text as written in the file. [-]

        Returns:
            The word; None if it is not one of the choices.
        """
        return _names(self.choices, tuple(self.also.items())).get(_folded(typed))

    @property
    def meanings(self) -> str:
        """Choice words with their meanings, as one sentence."""
        return "; ".join(f'"{each}": {self.means[each]}' for each in self.choices if each in self.means)

    @property
    def acceptance(self) -> bool:
        """Whether the key's value is a sentence that must be typed in full."""
        return self.kind is Kind.CHOICE and len(self.choices) == 1

    @property
    def expected(self) -> str:
        """Text for "expected" in messages."""
        if self.kind is Kind.QUANTITY:
            return " or ".join(
                f"{WORDS[dimension].noun} {within.words}"
                for dimension, within in zip(self.dimensions, self.ranges, strict=True)
            )
        if self.kind is Kind.NUMBER:
            return f"a bare number {self.ranges[0].words}"
        if self.kind is Kind.CHOICE:
            return "one of " + joined([f'"{each}"' for each in self.choices], "or")
        return "text in quotes" if self.kind is Kind.TEXT else f"a table such as {self.example}"

    @property
    def example_line(self) -> str:
        """The key with its example, as a line of the plan file."""
        return f"{self.leaf} = {self.example}"


def _folded(typed: str) -> str:
    """Words in lower case with single spaces; a hyphen before an axis name is kept."""
    return re.sub(r"(?<=\w)[\s_-]+(?=\w)", " ", typed.casefold().strip())


@cache
def _names(choices: tuple[str, ...], also: tuple[tuple[str, tuple[str, ...]], ...]) -> dict[str, str]:
    """All names for the words of a choice, in folded form, each with its word.

    Raises:
        TypeError: A name stands for two words or for none.
    """
    names: dict[str, str] = {}
    for word, others in (*((each, (each,)) for each in choices), *also):
        for name in map(_folded, others):
            if word not in choices or names.setdefault(name, word) != word:
                raise TypeError(
                    f'"{name}" cannot mean "{word}": "{word}" is not one of {joined(choices, "or")}, '
                    f'or "{name}" already has another meaning'
                )
    return names
