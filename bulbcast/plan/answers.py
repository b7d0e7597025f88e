"""Readable content of a plan file: values by dotted path, and the faults found."""

from __future__ import annotations

from copy import copy
from dataclasses import dataclass, field, fields

from bulbcast.plan.answer_words import words_of
from bulbcast.plan.faults import Fault
from bulbcast.plan.key import Key
from bulbcast.plan.keys import REPEATED
from bulbcast.quantities import Dimension

BESIDE_THE_SAMPLE = {
    f"alloy.{leaf}": f"alloy.weighed.{leaf}" for leaf in ("water_temperature", "sample_porosity")
}
"""Keys of a weighed sample that the plan format also allows in [alloy]."""


@dataclass(slots=True, kw_only=True)
class Answers:
    """Readable content of a plan file, filled in while the file is read.

    Attributes:
        source: Name of the file in messages.
        values: SI numbers or words by dotted path, such as `bulb.skin` or `screws[2].at`.
        dimensions: Dimension read for each quantity.
        typed: Each value as typed, for messages.
        given: Dotted paths of the keys that were given, readable or not.
        meant: Dotted paths of the keys that misspelled or misplaced ones probably stand for. They are not reported as
            missing, so one slip gives one message.
        broken: Sections and tables that could not be read; keys missing in them are not reported.
        compositions: Elements and their parts per hundred, in the order typed, by dotted path.
        stations: Distances aft of the leading edge with thicknesses, in ascending order, by dotted path. [m]
        counts: Number of times that each repeated section occurs in the file.
        spreads: Standard deviations that were typed, by dotted path, in SI.
        sections: Names of the sections in the file, readable or not.
        faults: All faults found.
    """

    source: str
    values: dict[str, float | str] = field(default_factory=dict)
    dimensions: dict[str, Dimension] = field(default_factory=dict)
    typed: dict[str, str] = field(default_factory=dict)
    given: set[str] = field(default_factory=set)
    meant: set[str] = field(default_factory=set)
    broken: set[str] = field(default_factory=set)
    compositions: dict[str, tuple[tuple[str, float], ...]] = field(default_factory=dict)
    stations: dict[str, tuple[tuple[float, float], ...]] = field(default_factory=dict)
    counts: dict[str, int] = field(default_factory=dict)
    spreads: dict[str, float] = field(default_factory=dict)
    sections: set[str] = field(default_factory=set)
    faults: list[Fault] = field(default_factory=list)

    def copy(self) -> Answers:
        """Return an independent copy."""
        return Answers(**{one.name: copy(getattr(self, one.name)) for one in fields(self)})

    def add(self, part: Answers) -> None:
        """Add the answers from a part of the file.

        Args:
            part: Answers from that part, such as a section; not changed. [-]
        """
        self.values.update(part.values)
        self.dimensions.update(part.dimensions)
        self.typed.update(part.typed)
        self.given.update(part.given)
        self.meant.update(part.meant)
        self.broken.update(part.broken)
        self.compositions.update(part.compositions)
        self.stations.update(part.stations)
        self.counts.update(part.counts)
        self.spreads.update(part.spreads)
        self.sections.update(part.sections)
        self.faults.extend(part.faults)

    def fault(self, place: str, read: str, expected: str, remedy: str) -> None:
        """Record a fault.

        Args:
            place: Dotted path of a key, or a section's name. [-]
            read: What was read. [-]
            expected: What was expected. [-]
            remedy: How to fix it. [-]
        """
        self.faults.append(Fault(file=self.source, key=place, read=read, expected=expected, remedy=remedy))

    def number(self, place: str) -> float | None:
        """Number read for a key; None if it was not given or is faulty.

        Args:
            place: Dotted path of a quantity or a number. [-]

        Returns:
            The value. [SI]
        """
        value = self.values.get(place)
        return value if isinstance(value, float) else None

    def word(self, place: str) -> str | None:
        """Word read for a key; None if it was not given or is faulty.

        Args:
            place: Dotted path of a text or a choice. [-]

        Returns:
            The word.
        """
        value = self.values.get(place)
        return value if isinstance(value, str) else None

    def places(self, section: str) -> list[str]:
        """Paths of a section: its name, or one path for each occurrence of a repeated section.

        Args:
            section: Section, such as "bulb" or "screws". [-]

        Returns:
            Paths such as ["bulb"], or ["screws[1]", "screws[2]"].
        """
        if section not in REPEATED:
            return [section]
        return [f"{section}[{number + 1}]" for number in range(self.counts.get(section, 0))]

    def line(self, place: str) -> str:
        """Key with its value as typed, for messages.

        Args:
            place: Dotted path of a key that was given. [-]

        Returns:
            Text such as `diameter = "4 mm"`.
        """
        return f"{place.rpartition('.')[2]} = {self.typed[place]}"


def wrong_kind(answers: Answers, key: Key, place: str, value: object) -> None:
    """Record that the key does not accept this kind of value.

    Args:
        answers: Answers to which the fault is added. [-]
        key: Key expected at that path. [-]
        place: Dotted path. [-]
        value: As TOML reads it. [-]
    """
    answers.fault(place, words_of(value), key.expected, f"Write {key.example_line}, say.")
