"""Replaces one or two keys in a plan's TOML table, and removes the keys that conflict with them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bulbcast.compare.vary import Variation
from bulbcast.plan.agreement import settled
from bulbcast.plan.answers import BESIDE_THE_SAMPLE
from bulbcast.plan.consistency import beside
from bulbcast.plan.keys import section_keys

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

_PROFILE = "bulb.profile"
_PROFILES_OF = {
    key.name: settled(only.where)[_PROFILE]
    for key in section_keys("bulb")
    for only in key.only_with
    if _PROFILE in only.where
}
"""Keys that only some profiles use, with the profiles that use each key."""


def varied_table(
    table: Mapping[str, object], variations: Sequence[Variation], at: Sequence[int]
) -> dict[str, object]:
    """Return a copy of the plan's table, changed for one row.

    Args:
        table: The plan's table. [-]
        variations: One or two inputs. [-]
        at: Index of the value of each input. [-]

    Returns:
        The table with those values, without the keys that they replace.
    """
    made = dict(table)
    for variation in variations:
        for place in _replaced_by(variation.name):
            _take_out(made, place)
    for variation, index in zip(variations, at, strict=True):
        _put_in(made, variation, variation.entry(index))
    varied = {variation.name for variation in variations}
    if _PROFILE in varied:
        for place in _of_other_profiles(made):
            if place not in varied:
                _take_out(made, place)
    return made


def notes_on_replaced(table: Mapping[str, object], variations: Sequence[Variation]) -> tuple[str, ...]:
    """Return a sentence about each plan key that is dropped because of the varied inputs.

    Args:
        table: The plan's table. [-]
        variations: One or two inputs. [-]

    Returns:
        A sentence for each plan key that is omitted from some of the rows.
    """
    notes = []
    for variation in variations:
        for place in _replaced_by(variation.name):
            if _given(table, place):
                notes.append(f"{place} in the plan is replaced by {variation.key}.")
        if variation.name == _PROFILE:
            own = [name for name in _PROFILES_OF if _given(table, name)]
            names = [each.name for each in variations]
            notes += [
                f"{place} in the plan is omitted from the rows whose profile does not use it."
                for place in own
                if place not in names
                and any(profile not in _PROFILES_OF[place] for profile in variation.values)
            ]
    return tuple(notes)


def _replaced_by(name: str) -> list[str]:
    """Return the keys that a varied input replaces."""
    places = [*beside(name)]
    if "alloy.weighed" in places:
        places += BESIDE_THE_SAMPLE
    return places + [beside for beside, within in BESIDE_THE_SAMPLE.items() if within == name]


def _of_other_profiles(table: Mapping[str, object]) -> list[str]:
    bulb = table.get("bulb")
    profile = bulb.get("profile") if isinstance(bulb, dict) else None
    return [name for name, profiles in _PROFILES_OF.items() if profile not in profiles]


def _given(table: Mapping[str, object], place: str) -> bool:
    section, _, leaf = place.rpartition(".")
    holder = table.get(section)
    return isinstance(holder, dict) and leaf in holder


def _take_out(table: dict[str, object], place: str) -> None:
    section, _, leaf = place.rpartition(".")
    holder = table.get(section)
    if isinstance(holder, dict) and leaf in holder:
        table[section] = {name: value for name, value in holder.items() if name != leaf}


def _put_in(table: dict[str, object], variation: Variation, value: object) -> None:
    section, leaf = variation.section, variation.leaf
    if section.endswith("]"):
        name, _, digits = section.removesuffix("]").partition("[")
        listed, number = table[name], int(digits) - 1
        if isinstance(listed, list) and isinstance(listed[number], dict):
            table[name] = [{**one, leaf: value} if i == number else one for i, one in enumerate(listed)]
        return
    outer, _, inner = section.partition(".")
    holder = table.get(outer, {})
    if not isinstance(holder, dict):
        # The whole section is missing; this is reported for every row when the plan is read.
        return
    if not inner:
        table[outer] = {**holder, leaf: value}
        return
    within = holder.get(inner, {})
    if isinstance(within, dict):
        table[outer] = {**holder, inner: {**within, leaf: value}}
