"""A plan file's text to a `Plan`: every fault in one go, every fixed default filled in and listed.

Pure: no file of the builder's is opened, not even the one that `offsets` names. A key that is given but
faulty still counts as given, so that one slip makes one message and not a train of them.
"""

from __future__ import annotations

from functools import cache
from pathlib import PurePath
from typing import TYPE_CHECKING, Any, cast

from bulbcast.plan.answering import Sections, answers_of
from bulbcast.plan.answers import Answers
from bulbcast.plan.consistency import check_consistency, default_holds, holds
from bulbcast.plan.document import take_apart
from bulbcast.plan.faults import PlanError
from bulbcast.plan.filling import filled, lots_weighed
from bulbcast.plan.key import Key, Kind
from bulbcast.plan.keys import ALWAYS, KEYS, PARTS, REPEATED, SECTIONS
from bulbcast.plan.sections import DefaultTaken, Plan
from bulbcast.quantities import Dimension, DisplayUnits, read_quantity_of

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping


def read_plan(text: str | bytes, *, source: str) -> Plan:
    """Read a plan file.

    Args:
        text: The file's content; bytes are read as UTF-8. [-]
        source: What messages call the file; its name without the ending names a plan that has no name. [-]

    Returns:
        The plan in SI, fixed defaults filled in and listed with their sources.

    Raises:
        PlanError: With every fault of the file.
    """
    document = take_apart(text, source=source)
    if not document.complete:
        raise PlanError(document.faults)
    answers = answers_of(document.table, source=source, unreadable=document.unreadable)
    answers.faults[:0] = document.faults
    return _plan(answers, document.sha256)


def read_plan_table(
    table: Mapping[str, object], *, source: str, sha256: str, before: Sections | None = None
) -> Plan:
    """Read a plan that is a TOML table already, such as one with a key changed for a comparison.

    Args:
        table: As `tomllib` gives it. [-]
        source: As for `read_plan`. [-]
        sha256: Of the file that the table came from, in hexadecimal. [-]
        before: Sections of tables read before with the same source; a study hands on those it does not vary. [-]

    Returns:
        As `read_plan`.

    Raises:
        PlanError: With every fault of the table.
    """
    return _plan(answers_of(table, source=source, before=before), sha256)


def _plan(answers: Answers, sha256: str) -> Plan:
    check_consistency(answers)
    if answers.faults:
        raise PlanError(answers.faults)
    defaults = tuple(_fill_in(answers))
    return Plan(
        **_sections_of(answers),
        name=_word(answers, "name"),
        display_units=cast("DisplayUnits", _word(answers, "display_units")),
        defaults=defaults,
        source=answers.source,
        sha256=sha256,
    )


def _sections_of(answers: Answers) -> dict[str, Any]:
    """Every section by its name: one value, several of them, or None where it is left out."""
    return {
        name: tuple(filled(made, answers, place) for place in answers.places(name))
        if name in REPEATED
        else filled(made, answers, name)
        if name in ALWAYS or name in answers.sections
        else None
        for name in SECTIONS
        if (made := PARTS[name].made) is not None
    }


def _fill_in(answers: Answers) -> Iterator[DefaultTaken]:
    """Fill in the fixed defaults, in the order of the plan format, and tell each."""
    for key in _with_default():
        if key.name == "name":
            if key.name not in answers.given:
                yield _named_by_its_file(answers)
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
    """The keys with a default: a fixed one, or that of the file's name and of the kind of water."""
    return tuple(
        key for key in KEYS.values() if key.default is not None or key.name in ("name", "water.density")
    )


def _places(answers: Answers, key: Key) -> list[str]:
    """Where a key's default is taken, if nothing stands there: in every section that stands or always is there."""
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
    return DefaultTaken(key="name", value=stem, source="the file's name")


def _water_of_its_kind(answers: Answers) -> DefaultTaken:
    from bulbcast.materials.water import water_of_kind  # its table is read only where it is needed

    water = water_of_kind(_word(answers, "water.kind"))
    answers.values["water.density"] = water.density
    return DefaultTaken(key="water.density", value=f"{water.density:.2f} kg/m3", source=water.source)


def _word(answers: Answers, place: str) -> str:
    return cast("str", answers.values[place])
