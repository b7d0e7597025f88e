"""Read a plan file's text into a `Plan`, with all faults reported together and every fixed default filled in and listed.

No file is opened, not even the one named by `offsets`. A key that is given but faulty still counts as given, so one
slip gives one message and not several.
"""

from __future__ import annotations

from functools import cache
from pathlib import PurePath
from typing import TYPE_CHECKING, Any, cast

from bulbcast.plan.answering import Sections, answers_of, section_answers
from bulbcast.plan.answers import Answers
from bulbcast.plan.consistency import check_consistency, check_figures, default_holds, holds, shape_of
from bulbcast.plan.document import take_apart
from bulbcast.plan.faults import Fault, PlanError
from bulbcast.plan.filling import filled, lots_weighed
from bulbcast.plan.key import Key, Kind
from bulbcast.plan.keys import ALWAYS, KEYS, PARTS, REPEATED, SECTIONS
from bulbcast.plan.screw_sizes import fill_screw_sizes
from bulbcast.plan.sections import DefaultTaken, Plan, SpreadTyped
from bulbcast.quantities import Dimension, DisplayUnits, read_quantity_of
from bulbcast.quantities.frozen import frozen, replace

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping


def read_plan(text: str | bytes, *, source: str) -> Plan:
    """Read a plan file.

    Args:
        text: Content of the file; bytes are read as UTF-8. [-]
        source: File name to show in messages; without its extension it also names a plan that has no name. [-]

    Returns:
        The plan in SI, with fixed defaults filled in and listed with their sources.

    Raises:
        PlanError: The file has faults; the error lists all of them.
    """
    document = take_apart(text, source=source)
    if not document.complete:
        raise PlanError(document.faults)
    answers = answers_of(document.table, source=source, unreadable=document.unreadable)
    answers.faults[:0] = document.faults
    return _plan(answers, document.sha256)[0]


def read_plan_table(table: Mapping[str, object], *, source: str, sha256: str) -> Plan:
    """Read a plan from a TOML table, such as one with a key changed for a comparison.

    Args:
        table: Table as returned by `tomllib`. [-]
        source: Same as for `read_plan`. [-]
        sha256: SHA-256 of the file that the table came from, in hexadecimal. [-]

    Returns:
        Same as for `read_plan`.

    Raises:
        PlanError: The table has faults; the error lists all of them.
    """
    return PlanReader(source=source, sha256=sha256).read(table)


class PlanReader:
    """Reader of tables that differ only slightly, such as the rows of a study. If a table differs from a valid one only
    in figures, its other sections and its defaults are reused, and only the figures are checked."""

    def __init__(self, *, source: str, sha256: str) -> None:
        """Create a reader that has not read anything yet.

        Args:
            source: Same as for `read_plan`. [-]
            sha256: SHA-256 of the file that the tables came from, in hexadecimal. [-]
        """
        self._source, self._sha256 = source, sha256
        self._parts: Sections = {}
        self._sound: _Sound | None = None

    def read(self, table: Mapping[str, object]) -> Plan:
        """Read a table as `read_plan_table` does, but skip sections that are the same objects as before."""
        plan = None if self._sound is None else _changed(self._sound, table)
        if plan is not None:
            return plan
        read = answers_of(table, source=self._source, before=self._parts)
        answers = read.copy()
        plan, taken = _plan(answers, self._sha256)
        self._sound = _Sound(table=table, parts=dict(self._parts), read=read, taken=taken, plan=plan)
        return plan


@frozen
class _Sound:
    """A table without faults.

    Attributes:
        table: The table itself.
        parts: Its sections as read.
        read: The complete table as read.
        taken: Values that did not come from the file, by dotted path.
        plan: Plan read from the table.
    """

    table: Mapping[str, object]
    parts: Sections
    read: Answers
    taken: Mapping[str, float | str]
    plan: Plan


def _changed(sound: _Sound, table: Mapping[str, object]) -> Plan | None:
    """Return the plan read from a table that differs from a valid one only in figures; None if it differs otherwise or
    has a fault."""
    others = [name for name, value in table.items() if sound.table.get(name) is not value]
    if len(table) != len(sound.table) or not sound.parts.keys() >= set(others):
        return None
    if "screws" in others and any(one.endswith(".size") for one in sound.parts["screws"][1].given):
        # A recess that was filled in follows the head.
        return None
    answers = sound.read.copy()
    for name in others:
        part = section_answers(name, table[name], source=answers.source)
        if (
            part.faults
            or part.spreads != sound.parts[name][1].spreads
            or shape_of(part) != shape_of(sound.parts[name][1])
        ):
            return None
        answers.add(part)
    check_figures(answers)
    if answers.faults:
        return None
    answers.values.update(sound.taken)
    return replace(sound.plan, **{name: _section_of(answers, name) for name in others})


def usual_section(name: str, **words: str) -> Any:
    """Return a section of a plan in which only these words are given.

    Args:
        name: Name of the section. [-]
        words: Valid words, by key. [-]

    Returns:
        The section, with every fixed default filled in.
    """
    answers = section_answers(name, words, source=name)
    for _ in _fill_in(answers):
        pass
    return _section_of(answers, name)


def _plan(answers: Answers, sha256: str) -> tuple[Plan, dict[str, float | str]]:
    """Plan, and the values that were filled in."""
    read = dict(answers.values)
    of_sizes = tuple(fill_screw_sizes(answers))
    check_consistency(answers)
    if answers.faults:
        raise PlanError(_in_her_units(answers))
    read |= {place: value for place, value in answers.values.items() if place in answers.given}
    defaults = (*of_sizes, *_fill_in(answers))
    plan = Plan(
        **{name: _section_of(answers, name) for name in SECTIONS},
        name=_word(answers, "name"),
        display_units=cast("DisplayUnits", _word(answers, "display_units")),
        defaults=defaults,
        spreads=tuple(SpreadTyped(key=place, value=value) for place, value in answers.spreads.items()),
        source=answers.source,
        sha256=sha256,
    )
    return plan, {place: value for place, value in answers.values.items() if read.get(place) != value}


def _in_her_units(answers: Answers) -> list[Fault]:
    """Faults with ranges, limits and examples in the plan's display units; other text to be typed is unchanged."""
    if answers.values.get("display_units") != "imperial":
        return answers.faults
    from bulbcast.quantities.prose import (
        in_her_units,
        typed_in_imperial,
    )  # imported only for a fault in an imperial plan

    def example(remedy: str) -> str:
        # Examples are converted too, since the builder types them; figures that were typed are unchanged.
        if remedy.startswith("Add, for example, "):  # every figure in it is an example
            return typed_in_imperial(remedy)
        before, say, after = remedy.partition(", say")
        return f"{typed_in_imperial(before)}{say}{after}" if say else remedy

    return [
        replace(
            fault,
            expected=in_her_units(fault.expected, "imperial"),
            remedy=in_her_units(example(fault.remedy), "imperial"),
        )
        for fault in answers.faults
    ]


def _section_of(answers: Answers, name: str) -> Any:
    """Values of a section: one, several, or None if it is omitted."""
    made = PARTS[name].made
    if made is None or not (name in REPEATED or name in ALWAYS or name in answers.sections):
        return None
    if name in REPEATED:
        return tuple(filled(made, answers, place) for place in answers.places(name))
    return filled(made, answers, name)


def _fill_in(answers: Answers) -> Iterator[DefaultTaken]:
    """Fill in the fixed defaults in the order of the plan format, and list each one."""
    for key in _with_default():
        if key.name == "name":
            if key.name not in answers.given:
                yield _named_by_its_file(answers)
        elif key.name == "fin.tip_thickness":
            if key.name not in answers.given and "fin.measured" in answers.stations:
                yield _thickest(answers)
        elif key.name == "water.density":
            if key.name in answers.given:
                answers.values["water.kind"] = "given"
            else:
                yield _water_of_its_kind(answers)
        else:
            for place in _places(answers, key):
                if place not in answers.given and default_holds(answers, key, place):
                    met = (one for one in key.default_with if holds(answers, one.where, place))
                    taken = next(met, None)
                    value, source = (taken.value, taken.source) if taken else (key.default or "", key.source)
                    answers.values[place] = _default_value(key.kind, key.dimensions, value)
                    yield DefaultTaken(key=place, value=value, source=source)


@cache
def _with_default() -> tuple[Key, ...]:
    """Keys with a default, either fixed or taken from the file name, the kind of water or the measured fin."""
    return tuple(
        key
        for key in KEYS.values()
        if key.default is not None or key.name in ("name", "water.density", "fin.tip_thickness")
    )


def _places(answers: Answers, key: Key) -> list[str]:
    """Paths at which a key's default is used if the key is omitted, one for each section given or always present."""
    if key.section == "alloy.weighed":
        return [key.name] if key.section in answers.given else []
    if key.section == "scrap.weighed":
        return [f"{place}.{key.leaf}" for place in lots_weighed(answers)]
    if key.section in REPEATED:
        return [f"{place}.{key.leaf}" for place in answers.places(key.section)]
    return [key.name] if key.section in ALWAYS or key.section in answers.sections else []


@cache
def _default_value(kind: Kind, dimensions: tuple[Dimension, ...], text: str) -> float | str:
    if kind is Kind.QUANTITY:
        return read_quantity_of(text, dimensions)[1]
    return float(text) if kind is Kind.NUMBER else text


def _named_by_its_file(answers: Answers) -> DefaultTaken:
    stem = PurePath(answers.source).stem
    if not stem.strip() or not stem.isprintable():
        stem = "unnamed"
    answers.values["name"] = stem
    return DefaultTaken(key="name", value=stem, source="the file name")


def _water_of_its_kind(answers: Answers) -> DefaultTaken:
    from bulbcast.materials.water import water_of_kind  # its table is read only if it is needed

    water = water_of_kind(_word(answers, "water.kind"))
    answers.values["water.density"] = water.density
    return DefaultTaken(key="water.density", value=f"{water.density:.2f} kg/m3", source=water.source)


def _thickest(answers: Answers) -> DefaultTaken:
    largest = max(thickness for _, thickness in answers.stations["fin.measured"])
    answers.values["fin.tip_thickness"] = largest
    return DefaultTaken(
        key="fin.tip_thickness", value=f"{1e3 * largest:.6g} mm", source="the largest of fin.measured"
    )


def _word(answers: Answers, place: str) -> str:
    return cast("str", answers.values[place])
