"""What is known of one key of the plan file: kind, range, default with its source, meaning."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Literal

from bulbcast.quantities import WORDS, Dimension, joined

COMMON = "common practice, no source"
FORMAT = "the plan format's own default"


Varied = Literal["yes", "fixed", "without effect"]


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
        rare: True where a first plan does without it.
        needs: Section without which it says nothing; "" where it needs none.
        varied: Whether a study may vary it, or why not: "fixed" is read once for a whole study, "without effect"
            changes no figure of one.
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
    rare: bool = False
    needs: str = ""
    varied: Varied = "yes"

    @property
    def title(self) -> str:
        """Its name as a heading: "Target mass"."""
        return self.leaf.replace("_", " ").capitalize()

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
