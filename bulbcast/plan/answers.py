"""A plan's TOML table to checked values, key by key: types, units, ranges, unknown names.

Each value is judged alone here; what several of them must agree on is in consistency.py.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from bulbcast.plan.faults import Fault
from bulbcast.plan.key import Key, Kind
from bulbcast.plan.keys import KEYS, REPEATED, SECTIONS, limits, section_keys
from bulbcast.quantities import (
    LONGEST_TEXT,
    WORDS,
    Dimension,
    QuantityError,
    joined,
    quoted,
    read_quantity_of,
)

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

LONGEST_NAME = 200
"""Characters of a free text."""

# The plan format leaves open whether these stand with the sample or beside it; both are read.
BESIDE_THE_SAMPLE = {
    f"alloy.{leaf}": f"alloy.weighed.{leaf}" for leaf in ("water_temperature", "sample_porosity")
}
# Why some metals that turn up in scrap are turned away (practice; sources in the safety texts).
_REFUSED = {
    "Zn": "Zinc spoils the melt: sort it out before melting.",
    "Cd": "Cadmium fume can kill: do not melt this metal.",
    "Ca": "Calcium means battery metal: do not melt it.",
    "Hg": "Mercury vapour is poisonous: do not melt this metal.",
    "Al": "Aluminium spoils the melt: sort it out before melting.",
}


@dataclass(slots=True, kw_only=True)
class Answers:
    """What a plan file says, as far as it could be read. Grows while the file is gone through.

    Attributes:
        source: What messages call the file.
        values: By dotted place, such as `bulb.skin` or `screws[2].at`: SI numbers, or words.
        dimensions: Which dimension was read, for each quantity.
        typed: How each value was typed, for messages.
        given: Places that hold something, readable or not.
        meant: Places that a misspelled or misplaced key was probably meant for; they are not called
            missing, so that one slip makes one message.
        broken: Sections and tables that could not be read; nothing is said of what they lack.
        composition: Element and parts per hundred, in the order typed; None where not given or faulty.
        screws: How many.
        weights: How many.
        sections: Names of the sections that stand in the file, readable or not.
        faults: All that was found.
    """

    source: str
    values: dict[str, float | str] = field(default_factory=dict)
    dimensions: dict[str, Dimension] = field(default_factory=dict)
    typed: dict[str, str] = field(default_factory=dict)
    given: set[str] = field(default_factory=set)
    meant: set[str] = field(default_factory=set)
    broken: set[str] = field(default_factory=set)
    composition: tuple[tuple[str, float], ...] | None = None
    screws: int = 0
    weights: int = 0
    sections: set[str] = field(default_factory=set)
    faults: list[Fault] = field(default_factory=list)

    def fault(self, place: str, *, read: str, expected: str, remedy: str) -> None:
        """Take down one fault.

        Args:
            place: Dotted place, or a section's name. [-]
            read: What was read. [-]
            expected: What was expected. [-]
            remedy: How to mend it. [-]
        """
        self.faults.append(Fault(file=self.source, key=place, read=read, expected=expected, remedy=remedy))

    def number(self, place: str) -> float | None:
        """The number read at a place; None where none was given or it is faulty.

        Args:
            place: Dotted place of a quantity or a number. [-]

        Returns:
            The value. [SI]
        """
        value = self.values.get(place)
        return value if isinstance(value, float) else None

    def word(self, place: str) -> str | None:
        """The word read at a place; None where none was given or it is faulty.

        Args:
            place: Dotted place of a text or a choice. [-]

        Returns:
            The word.
        """
        value = self.values.get(place)
        return value if isinstance(value, str) else None

    def line(self, place: str) -> str:
        """A place's key with its value as typed, for messages.

        Args:
            place: Dotted place that was given. [-]

        Returns:
            Such as `diameter = "4 mm"`.
        """
        return f"{place.rpartition('.')[2]} = {self.typed[place]}"


def answers_of(table: Mapping[str, object], *, source: str, unreadable: Iterable[str] = ()) -> Answers:
    """Go through a plan's table, key by key.

    Args:
        table: The file as TOML reads it. [-]
        source: What messages call the file. [-]
        unreadable: Places that are given on lines that could not be read. [-]

    Returns:
        The values with the faults found.
    """
    places = set(unreadable)
    answers = Answers(source=source, given=set(places), broken=places)
    top = {key.leaf: key for key in section_keys("")}
    for name, value in table.items():
        if name in top:
            _read(answers, top[name], name, value)
        elif name in SECTIONS:
            _read_section(answers, name, value)
        elif isinstance(value, dict) or (isinstance(value, list) and any(isinstance(v, dict) for v in value)):
            _unknown_section(answers, name, value, table)
        else:
            _unknown_key(answers, "", name)
    return answers


# Sections


def _read_section(answers: Answers, name: str, value: object) -> None:
    answers.sections.add(name)
    if name in REPEATED:
        _read_repeated(answers, name, value)
    elif isinstance(value, dict):
        _read_table(answers, name, name, value)
    else:
        answers.broken.add(name)
        answers.fault(
            f"[{name}]",
            read=_words_of(value),
            expected="a section",
            remedy=f"Write [{name}] on a line of its own and its keys below it.",
        )


def _read_repeated(answers: Answers, section: str, value: object) -> None:
    one = REPEATED[section]
    if isinstance(value, dict):
        answers.fault(
            f"[{section}]",
            read="a section in single brackets",
            expected=f"each {one} in double brackets",
            remedy=f"Write [[{section}]] above each {one}.",
        )
        value = [value]
    if not isinstance(value, list):
        answers.fault(
            f"[[{section}]]",
            read=_words_of(value),
            expected=f"a section for each {one}",
            remedy=f"Write [[{section}]] above each {one} and its keys below it.",
        )
        return
    if section == "screws":
        answers.screws = len(value)
    else:
        answers.weights = len(value)
    for number, table in enumerate(value, start=1):
        place = f"{section}[{number}]"
        if isinstance(table, dict):
            _read_table(answers, section, place, table)
        else:
            answers.broken.add(place)
            answers.fault(
                place,
                read=_words_of(table),
                expected=f"a {one}'s section",
                remedy=f"Write [[{section}]] above each {one} and its keys below it.",
            )


def _read_table(answers: Answers, section: str, place: str, table: Mapping[str, object]) -> None:
    known = {key.leaf: key for key in section_keys(section)}
    for leaf, value in table.items():
        beside = BESIDE_THE_SAMPLE.get(f"{section}.{leaf}")
        if leaf in known:
            _read(answers, known[leaf], f"{place}.{leaf}", value)
        elif beside is not None:
            _read(answers, KEYS[beside], f"{place}.{leaf}", value)
        else:
            _unknown_key(answers, section, leaf, place)


def _unknown_section(answers: Answers, name: str, value: object, table: Mapping[str, object]) -> None:
    near = _nearest(name, SECTIONS)
    listed = joined([_bracketed(each) for each in SECTIONS], "and")
    brackets = _bracketed(near) if near else ""
    answers.fault(
        f"[{_shown_name(name)}]",
        read="a section that is not known",
        expected=f"one of the sections {listed}",
        remedy=f"Did you mean {brackets}?" if near else "Take it out, or see the spelling.",
    )
    if near and near not in table and _has_a_key_of(near, value):
        # One slip, one message: what stands in it is read as the section that was meant.
        _read_section(answers, near, [value] if near in REPEATED and isinstance(value, dict) else value)


def _has_a_key_of(section: str, value: object) -> bool:
    tables = value if isinstance(value, list) else [value]
    names = {name for table in tables if isinstance(table, dict) for name in table}
    return not names.isdisjoint(key.leaf for key in section_keys(section))


def _unknown_key(answers: Answers, section: str, leaf: str, place: str = "") -> None:
    here = [key.leaf for key in section_keys(section)]
    elsewhere = [key.section for key in KEYS.values() if key.leaf == leaf]
    near = _nearest(leaf, here)
    if elsewhere:
        answers.meant.update(f"{each}.{leaf}" if each else leaf for each in elsewhere if len(elsewhere) == 1)
        remedy = f"{leaf} belongs {joined([_in_section(each) for each in elsewhere], 'or')}."
    elif leaf in SECTIONS:
        remedy = f"{leaf} is a section: write {_bracketed(leaf)} on a line of its own."
    elif near:
        remedy = f"Did you mean {near}?"
        answers.meant.add(f"{place}.{near}" if place else near)
    else:
        far = _nearest(leaf, [key.leaf for key in KEYS.values()])
        known = f"{_in_section(section).capitalize()} there may be {joined(here, 'and')}."
        sections = [key.section for key in KEYS.values() if key.leaf == far]
        remedy = f"Did you mean {far}, {_in_section(sections[0])}?" if far else known
    answers.fault(
        f"{place}.{_shown_name(leaf)}" if place else _shown_name(leaf),
        read="a key that is not known",
        expected=f"a key that belongs {_in_section(section)}",
        remedy=remedy,
    )


def _in_section(section: str) -> str:
    if not section:
        return "at the top of the file"
    if section == "alloy.weighed":
        return "in alloy.weighed"
    return f"in {_bracketed(section)}"


def _bracketed(section: str) -> str:
    return f"[[{section}]]" if section in REPEATED else f"[{section}]"


# Values


def _read(answers: Answers, key: Key, place: str, value: object) -> None:
    answers.given.add(place)
    answers.typed[place] = _words_of(value)
    if key.name == "alloy.composition":
        _read_composition(answers, place, value)
    elif key.kind is Kind.TABLE:
        if isinstance(value, dict):
            _read_table(answers, key.name, place, value)
        else:
            _wrong_kind(answers, key, place, value)
            answers.broken.add(place)
    elif key.kind is Kind.QUANTITY:
        _read_quantity(answers, key, place, value)
    elif key.kind is Kind.NUMBER:
        _read_number(answers, key, place, value)
    elif not isinstance(value, str):
        _wrong_kind(answers, key, place, value)
    elif key.kind is Kind.CHOICE:
        _read_choice(answers, key, place, value)
    else:
        _read_text(answers, key, place, value)


def _read_quantity(answers: Answers, key: Key, place: str, value: object) -> None:
    if isinstance(value, (int, float)) and not isinstance(value, bool):
        figure = _number_text(value)
        # The unit that suits this key, then another system's or the other dimension's.
        own = key.example.strip('"').rpartition(" ")[2]
        offered = dict.fromkeys((own, WORDS[key.dimensions[-1]].units[1 if len(key.dimensions) == 1 else 0]))
        lines = [f'{key.leaf} = "{figure} {unit}"' for unit in offered]
        finite = isinstance(value, int) or math.isfinite(value)
        answers.fault(
            place,
            read=f"the bare number {figure}",
            expected=f"{key.expected}, with its unit, in quotes",
            remedy=f"Write {joined(lines, 'or')}." if finite else f"Write {key.example_line}, say.",
        )
        return
    if not isinstance(value, str):
        _wrong_kind(answers, key, place, value)
        return
    try:
        dimension, number = read_quantity_of(value, key.dimensions)
    except QuantityError as error:
        answers.fault(
            place,
            read=error.read,
            expected=key.expected,
            remedy=_remedy_of_unknown(key) if value.strip().casefold() == "unknown" else error.remedy,
        )
        return
    if _in_range(answers, key, place, number, dimension):
        answers.values[place] = number
        answers.dimensions[place] = dimension


def _remedy_of_unknown(key: Key) -> str:
    if key.required:
        return "This one has to be measured, or chosen: write a figure."
    if key.default is not None:
        return f"Leave the key out; {key.default} is then taken."
    return "Leave the key out."


def _read_number(answers: Answers, key: Key, place: str, value: object) -> None:
    if isinstance(value, str):
        bare = value.strip()
        plain = bare.removeprefix("-").replace(".", "", 1)
        remedy = (
            f"Take the quotes away: {key.leaf} = {bare}."
            if plain.isascii() and plain.isdecimal() and len(bare) < 20
            else f"Write a bare number, such as {key.example_line}."
        )
        answers.fault(place, read=f"the text {quoted(value)}", expected=key.expected, remedy=remedy)
    elif isinstance(value, bool) or not isinstance(value, (int, float)):
        _wrong_kind(answers, key, place, value)
    elif _in_range(answers, key, place, value, None):
        answers.values[place] = float(value)


def _in_range(answers: Answers, key: Key, place: str, value: float, dimension: Dimension | None) -> bool:
    low, high = limits(key.name, dimension)
    within = key.ranges[key.dimensions.index(dimension) if dimension is not None else 0]
    under_the_top = value < high if within.below else value <= high
    over_the_bottom = value > low if within.above else value >= low
    if under_the_top and over_the_bottom:
        return True
    if value != value:
        remedy = f"Write a number, such as {key.example_line}."
    elif under_the_top:
        remedy = f"It must be {'above' if within.above else 'at least'} {within.low}."
    else:
        remedy = f"It must be {'below' if within.below else 'at most'} {within.high}."
    if dimension is not None:
        remedy += " See whether the unit is the one meant."
    answers.fault(place, read=answers.typed[place], expected=key.expected, remedy=remedy)
    return False


def _read_choice(answers: Answers, key: Key, place: str, value: str) -> None:
    if value in key.choices:
        answers.values[place] = value
        return
    near = _nearest(value, key.choices)
    answers.fault(
        place,
        read=quoted(value),
        expected=key.expected,
        remedy=f'Did you mean "{near}"?' if near else f"Write {key.example_line}, say.",
    )


def _read_text(answers: Answers, key: Key, place: str, value: str) -> None:
    if not value.strip():
        read, remedy = "an empty text", f"Write {key.example_line}, say, or take the key out."
    elif len(value) > LONGEST_NAME:
        read, remedy = f"a text of {len(value)} characters", "Shorten it."
    elif not value.isprintable():
        read, remedy = (
            quoted(value),
            "Take out line breaks, tabs and other characters that cannot be printed.",
        )
    else:
        answers.values[place] = value
        return
    answers.fault(
        place, read=read, expected=f"one line of text, at most {LONGEST_NAME} characters", remedy=remedy
    )


def _read_composition(answers: Answers, place: str, value: object) -> None:
    from bulbcast.materials.alloys import elements  # its table is read only where it is needed

    known = elements()
    key = KEYS[place]
    if not isinstance(value, dict) or not value:
        _wrong_kind(answers, key, place, value)
        return
    faults = len(answers.faults)
    parts = []
    for symbol, part in value.items():
        spot = f"{place}.{_shown_name(symbol)}"
        if symbol not in known:
            near = next((each for each in known if each.casefold() == symbol.casefold()), None)
            refused = _REFUSED.get(symbol.capitalize(), "Leave out what is only a trace.")
            answers.fault(
                spot,
                read="an element that is not taken",
                expected=f"parts of {joined(known, 'and')}",
                remedy=f"Did you mean {near}?"
                if near
                else f"{refused} Where scrap holds other metals, weigh a sample in air and in water "
                "(alloy.weighed) instead.",
            )
        elif isinstance(part, bool) or not isinstance(part, (int, float)) or not 0 <= part <= 100:
            answers.fault(
                spot,
                read=_words_of(part),
                expected="a bare number from 0 to 100, parts per hundred by mass",
                remedy=f"Write {symbol} = 4, say.",
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
            read=f"{', '.join(f'{symbol} = {part:g}' for symbol, part in parts)}, together {total:g}",
            expected="parts per hundred that add up to 100, within 0.1",
            remedy=f"Mend the parts; Pb = {rest:g} would do."
            if rest > 0.0
            else "Mend the parts, lead included.",
        )
        return
    answers.composition = tuple(parts)


def _wrong_kind(answers: Answers, key: Key, place: str, value: object) -> None:
    answers.fault(
        place, read=_words_of(value), expected=key.expected, remedy=f"Write {key.example_line}, say."
    )


def _words_of(value: object) -> str:
    """A TOML value as messages show it."""
    if isinstance(value, str):
        return quoted(value)
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, (int, float)):
        return _number_text(value)
    if isinstance(value, dict):
        return "a table" if value else "an empty table"
    return "a list" if isinstance(value, list) else "a date or a time"


def _number_text(value: float) -> str:
    if abs(value) < 10**15 or value != value:
        return str(value)
    try:
        return f"{float(value):g}"
    except OverflowError:
        return "a number of hundreds of digits"


def _shown_name(name: str) -> str:
    """A key's name as typed, in quotes where it is no bare key."""
    bare = name.replace("_", "").replace("-", "").isalnum() and len(name) <= LONGEST_TEXT
    return name if bare else quoted(name)


def _nearest(word: str, known: Iterable[str]) -> str | None:
    from difflib import get_close_matches  # only a fault pays for this import

    near = get_close_matches(word.casefold()[:LONGEST_NAME], list(known), n=1, cutoff=0.6)
    return near[0] if near else None
