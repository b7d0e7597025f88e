"""What is known of one key of the plan file: kind, range, default with its source, meaning."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from bulbcast.quantities import WORDS, Dimension, joined

COMMON = "common practice, no source"
FORMAT = "the plan format's own default"


class Kind(StrEnum):
    """How a key's value is written in the file."""

    QUANTITY = "quantity"
    NUMBER = "number"
    TEXT = "text"
    CHOICE = "choice"
    TABLE = "table"


@dataclass(frozen=True, slots=True, kw_only=True)
class Range:
    """What a value may be, both ends in unless said otherwise, as a builder types them.

    Attributes:
        low: Lowest, with its unit where there is one.
        high: Highest.
        above: True where `low` itself is out.
        below: True where `high` itself is out.
    """

    low: str
    high: str
    above: bool = False
    below: bool = False

    @property
    def words(self) -> str:
        """The range as messages say it."""
        start = f"above {self.low}" if self.above else f"from {self.low}"
        if self.below:
            return f"{start} and below {self.high}"
        return f"{start} and up to {self.high}" if self.above else f"{start} to {self.high}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Key:
    """One key of the plan file.

    Attributes:
        name: Dotted, such as `bulb.target_mass`; `screws.at` stands for every screw's.
        kind: How its value is written.
        about: What it means, briefly; the starter plan's comment.
        example: A value as it stands in the file, quotes included.
        dimensions: Of a quantity, those that will do.
        ranges: Of a quantity one for each dimension, of a number one.
        choices: Of a choice, the words that will do.
        required: True where there is no plan without it.
        default: What is taken where it is left out, as typed; None where there is none, or where it
            depends on other figures and a later room settles it.
        source: Where the default comes from.
        profiles: The profiles it belongs to; empty where it belongs to any.
        unknown: True where "unknown" is an answer, which stands for what is taken where the key is left out.
    """

    name: str
    kind: Kind
    about: str
    example: str
    dimensions: tuple[Dimension, ...] = ()
    ranges: tuple[Range, ...] = ()
    choices: tuple[str, ...] = ()
    required: bool = False
    default: str | None = None
    source: str = ""
    profiles: tuple[str, ...] = ()
    unknown: bool = False

    @property
    def section(self) -> str:
        """The section it stands in, "" at the top of the file."""
        return self.name.rpartition(".")[0]

    @property
    def leaf(self) -> str:
        """Its name within the section."""
        return self.name.rpartition(".")[2]

    @property
    def expected(self) -> str:
        """What messages say was expected."""
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


def quantity(
    name: str,
    dimension: Dimension,
    low: str,
    high: str,
    example: str,
    about: str,
    *,
    above: bool = False,
    below: bool = False,
    required: bool = False,
    default: str | None = None,
    source: str = "",
) -> Key:
    """A key of one dimension with its range, and its default where it has a fixed one.

    Args:
        name: Dotted. [-]
        dimension: What its value has to be. [-]
        low: Lowest value, with its unit. [-]
        high: Highest value, with its unit. [-]
        example: A value as typed, without quotes. [-]
        about: What it means, briefly. [-]
        above: `low` itself is out. [-]
        below: `high` itself is out. [-]
        required: There is no plan without it. [-]
        default: As typed, without quotes; None where there is no fixed one. [-]
        source: Of the default. [-]

    Returns:
        The key.
    """
    return Key(
        name=name,
        kind=Kind.QUANTITY,
        about=about,
        example=f'"{example}"',
        dimensions=(dimension,),
        ranges=(Range(low=low, high=high, above=above, below=below),),
        required=required,
        default=default,
        source=source,
    )


def number(
    name: str,
    low: str,
    high: str,
    example: str,
    about: str,
    *,
    above: bool = False,
    below: bool = False,
    default: str | None = None,
    source: str = "",
    profiles: tuple[str, ...] = (),
) -> Key:
    """A key of a bare number with its range, and the profiles it belongs to.

    Args:
        name: Dotted. [-]
        low: Lowest value. [-]
        high: Highest value. [-]
        example: A value as typed. [-]
        about: What it means, briefly. [-]
        above: `low` itself is out. [-]
        below: `high` itself is out. [-]
        default: As typed; None where there is no fixed one. [-]
        source: Of the default. [-]
        profiles: Those it belongs to; empty for any. [-]

    Returns:
        The key.
    """
    return Key(
        name=name,
        kind=Kind.NUMBER,
        about=about,
        example=example,
        ranges=(Range(low=low, high=high, above=above, below=below),),
        default=default,
        source=source,
        profiles=profiles,
    )


def choice(
    name: str,
    choices: tuple[str, ...],
    about: str,
    *,
    required: bool = False,
    default: str | None = None,
    source: str = "",
) -> Key:
    """A key of a few words that will do.

    Args:
        name: Dotted. [-]
        choices: The words. [-]
        about: What it means, briefly. [-]
        required: There is no plan without it. [-]
        default: One of the words; None where there is no fixed one. [-]
        source: Of the default. [-]

    Returns:
        The key.
    """
    return Key(
        name=name,
        kind=Kind.CHOICE,
        about=about,
        example=f'"{default or choices[0]}"',
        choices=choices,
        required=required,
        default=default,
        source=source,
    )
