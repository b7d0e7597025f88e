"""Check a plan's TOML table key by key for types, units, ranges and unknown names.

Each value is checked individually here; consistency.py checks values against each other.
"""

from __future__ import annotations

import math
from functools import lru_cache
from typing import TYPE_CHECKING

from bulbcast.plan.answer_words import CALLED, LONGEST_NAME, nearest, number_text, shown_name, words_of
from bulbcast.plan.answers import BESIDE_THE_SAMPLE, Answers, wrong_kind
from bulbcast.plan.give_or_take import spread_within, taken_apart
from bulbcast.plan.key import Key, Kind
from bulbcast.plan.keys import KEYS, MOST_REPEATED, REPEATED, SECTIONS, bracketed, limits, section_keys
from bulbcast.quantities import WORDS, Dimension, QuantityError, joined, quoted, read_quantity_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping


_quantity_of = lru_cache(maxsize=1024)(read_quantity_of)
"""Reader of quantities, cached because a study reads most texts many times."""
Sections = dict[str, tuple[object, Answers]]
"""Answers read from each section, with the table object that they came from."""


def answers_of(
    table: Mapping[str, object],
    *,
    source: str,
    unreadable: Iterable[str] = (),
    before: Sections | None = None,
) -> Answers:
    """Read a plan's table key by key.

    Args:
        table: The file as TOML reads it. [-]
        source: Name of the file in messages. [-]
        unreadable: Dotted paths of the keys on unreadable lines. [-]
        before: Sections already read from other tables; they are not read again, and new ones are added. [-]

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
            read = None if before is None else before.get(name)
            if read is None or read[0] is not value:
                read = (value, section_answers(name, value, source=source))
            if before is not None:
                before[name] = read
            answers.add(read[1])
        elif isinstance(value, dict) or (isinstance(value, list) and any(isinstance(v, dict) for v in value)):
            _unknown_section(answers, name, value, table)
        else:
            _unknown_key(answers, "", name)
    return answers


# Sections


def section_answers(name: str, value: object, *, source: str) -> Answers:
    """Read one section.

    Args:
        name: Name of the section. [-]
        value: As TOML reads it. [-]
        source: Name of the file in messages. [-]

    Returns:
        The values with the faults found.
    """
    answers = Answers(source=source)
    _read_section(answers, name, value)
    return answers


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
            words_of(value),
            "a section",
            f"Write [{name}] on a separate line and its keys below it.",
        )


def _read_repeated(answers: Answers, section: str, value: object) -> None:
    one = REPEATED[section]
    if isinstance(value, dict):
        answers.fault(
            f"[{section}]",
            "a section in single brackets",
            f"each {one} in double brackets",
            f"Write [[{section}]] above each {one}.",
        )
        value = [value]
    if not isinstance(value, list):
        answers.fault(
            f"[[{section}]]",
            words_of(value),
            f"a section for each {one}",
            f"Write [[{section}]] above each {one} and its keys below it.",
        )
        return
    most = MOST_REPEATED[section]
    if len(value) > most:
        answers.fault(
            f"[[{section}]]",
            f"{len(value)} times [[{section}]]",
            f"at most {most}",
            f"Keep {most} or fewer. Check for duplicates in the file.",
        )
        # Sections up to the limit are read so that their faults are reported too.
        value = value[:most]
    answers.counts[section] = len(value)
    for number, table in enumerate(value, start=1):
        place = f"{section}[{number}]"
        if isinstance(table, dict):
            _read_table(answers, section, place, table)
        else:
            answers.broken.add(place)
            answers.fault(
                place,
                words_of(table),
                f"a {one}'s section",
                f"Write [[{section}]] above each {one} and its keys below it.",
            )


def _read_table(answers: Answers, section: str, place: str, table: Mapping[str, object]) -> None:
    for leaf, value in table.items():
        name = f"{section}.{leaf}"
        key = KEYS.get(BESIDE_THE_SAMPLE.get(name, name))
        if key is not None:
            _read(answers, key, f"{place}.{leaf}", value)
        else:
            _unknown_key(answers, section, leaf, place)


def _unknown_section(answers: Answers, name: str, value: object, table: Mapping[str, object]) -> None:
    near = nearest(name, SECTIONS)
    listed = joined([bracketed(each) for each in SECTIONS], "and")
    brackets = bracketed(near) if near else ""
    answers.fault(
        f"[{shown_name(name)}]",
        "an unknown section",
        f"one of the sections {listed}",
        f"Did you mean {brackets}?" if near else "Remove it, or check the spelling.",
    )
    if near and near not in table and _has_a_key_of(near, value):
        # One slip gives one message: the content is read as if the name had been right.
        _read_section(answers, near, [value] if near in REPEATED and isinstance(value, dict) else value)


def _has_a_key_of(section: str, value: object) -> bool:
    tables = value if isinstance(value, list) else [value]
    names = {name for table in tables if isinstance(table, dict) for name in table}
    return not names.isdisjoint(key.leaf for key in section_keys(section))


def _unknown_key(answers: Answers, section: str, leaf: str, place: str = "") -> None:
    here = [key.leaf for key in section_keys(section)]
    elsewhere = [key.section for key in KEYS.values() if key.leaf == leaf]
    # A key with an extra word means that key: total_displacement does not mean hull_displacement, though it looks more
    # similar.
    near = max((one for one in here if one in leaf.casefold()), key=len, default=None) or nearest(leaf, here)
    if elsewhere:
        answers.meant.update(f"{each}.{leaf}" if each else leaf for each in elsewhere if len(elsewhere) == 1)
        remedy = f"{leaf} belongs {joined([_in_section(each) for each in elsewhere], 'or')}."
    elif (section, leaf.casefold()) in CALLED:
        remedy = CALLED[section, leaf.casefold()]
    elif leaf in SECTIONS:
        remedy = f"{leaf} is a section: write {bracketed(leaf)} on a separate line."
    elif near:
        remedy = f"Did you mean {near}?"
        answers.meant.add(f"{place}.{near}" if place else near)
    else:
        # A key of another section has to be more similar: among so many, one is always a little similar.
        far = nearest(leaf, [key.leaf for key in KEYS.values()], alike=0.8)
        known = f"{_in_section(section).capitalize()} the allowed keys are {joined(here, 'and')}."
        sections = [key.section for key in KEYS.values() if key.leaf == far]
        remedy = f"Did you mean {far}, {_in_section(sections[0])}?" if far else known
    answers.fault(
        f"{place}.{shown_name(leaf)}" if place else shown_name(leaf),
        "an unknown key",
        f"a key that belongs {_in_section(section)}",
        remedy,
    )


def _in_section(section: str) -> str:
    if not section:
        return "at the top of the file"
    if section == "alloy.weighed":
        return "in alloy.weighed"
    return f"in {bracketed(section)}"


# Values


def _read(answers: Answers, key: Key, place: str, value: object) -> None:
    answers.given.add(place)
    answers.typed[place] = words_of(value)
    if key.unknown and isinstance(value, str) and value.strip().casefold() == "unknown":
        return
    if key.leaf == "composition":
        from bulbcast.plan.filling import read_composition  # imported only for a composition

        read_composition(answers, key, place, value)
    elif key.leaf == "measured":
        from bulbcast.plan.thicknesses import read_thicknesses

        read_thicknesses(answers, key, place, value)
    elif key.kind is Kind.TABLE:
        if isinstance(value, dict):
            _read_table(answers, key.name, place, value)
        else:
            wrong_kind(answers, key, place, value)
            answers.broken.add(place)
    elif key.kind is Kind.QUANTITY:
        _read_quantity(answers, key, place, value)
    elif key.kind is Kind.NUMBER:
        _read_number(answers, key, place, value)
    elif not isinstance(value, str):
        wrong_kind(answers, key, place, value)
    elif key.kind is Kind.CHOICE:
        _read_choice(answers, key, place, value)
    else:
        _read_text(answers, key, place, value)


def _read_quantity(answers: Answers, key: Key, place: str, value: object) -> None:
    if isinstance(value, (int, float)) and not isinstance(value, bool):
        figure = number_text(value)
        # First the unit that suits this key, then one of another system or of the other dimension.
        own = key.example.strip('"').rpartition(" ")[2]
        offered = dict.fromkeys((own, WORDS[key.dimensions[-1]].units[1 if len(key.dimensions) == 1 else 0]))
        lines = [f'{key.leaf} = "{figure} {unit}"' for unit in offered]
        finite = isinstance(value, int) or math.isfinite(value)
        answers.fault(
            place,
            f"the bare number {figure}",
            f"{key.expected}, with its unit, in quotes",
            f"Write {joined(lines, 'or')}." if finite else f"Write {key.example_line}, say.",
        )
        return
    if not isinstance(value, str):
        wrong_kind(answers, key, place, value)
        return
    value, spread = taken_apart(value)
    if spread and key.spread is None:
        answers.fault(
            place,
            answers.typed[place],
            f"{key.expected}, without a standard deviation",
            f'Write {key.leaf} = "{value}"; this key does not take a standard deviation.',
        )
        return
    try:
        dimension, number = _quantity_of(value, key.dimensions)
        off = spread_within(spread, value=number, dimension=dimension) if spread else None
    except QuantityError as error:
        if key.name == "screws.diameter":
            from bulbcast.plan.screw_sizes import size_as_diameter  # imported only for a fault

            if size_as_diameter(answers, key, place, value):
                return
        answers.fault(
            place,
            error.read,
            key.expected,
            _remedy_of_unknown(key) if value.strip().casefold() == "unknown" else error.remedy,
        )
        return
    if _in_range(answers, key, place, number, dimension):
        answers.values[place] = number
        answers.dimensions[place] = dimension
        if off is not None:
            answers.spreads[place] = off


def _remedy_of_unknown(key: Key) -> str:
    if key.required:
        return "This figure must be measured or chosen: write a number."
    if key.default is not None:
        return f"Leave the key out; {key.default} is then assumed."
    return "Leave the key out."


def _read_number(answers: Answers, key: Key, place: str, value: object) -> None:
    if isinstance(value, str):
        bare = value.strip()
        plain = bare.removeprefix("-").replace(".", "", 1)
        remedy = (
            f"Remove the quotes: {key.leaf} = {bare}."
            if plain.isascii() and plain.isdecimal() and len(bare) < 20
            else f"Write a bare number, such as {key.example_line}."
        )
        answers.fault(place, f"the text {quoted(value)}", key.expected, remedy)
    elif isinstance(value, bool) or not isinstance(value, (int, float)):
        wrong_kind(answers, key, place, value)
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
        remedy += " Check the unit."
    answers.fault(place, answers.typed[place], key.expected, remedy)
    return False


def _read_choice(answers: Answers, key: Key, place: str, value: str) -> None:
    word = key.word(value)
    if word is not None:
        answers.values[place] = word
        return
    near = nearest(value, key.choices)
    remedy = f'Did you mean "{near}"?' if near else f"Write {key.example_line}, say."
    answers.fault(place, quoted(value), key.expected, f"{remedy} {key.meanings}." if key.meanings else remedy)


def _read_text(answers: Answers, key: Key, place: str, value: str) -> None:
    if not value.strip():
        read, remedy = "empty text", f"Write {key.example_line}, say, or remove the key."
    elif len(value) > LONGEST_NAME:
        read, remedy = f"text of {len(value)} characters", "Shorten it."
    elif not value.isprintable():
        read, remedy = (
            quoted(value),
            "Remove line breaks, tabs and other characters that cannot be printed.",
        )
    else:
        answers.values[place] = value
        return
    answers.fault(place, read, f"one line of text, at most {LONGEST_NAME} characters", remedy)
