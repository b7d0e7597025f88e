"""Checks between the keys of a plan: keys that are missing, exclude each other, or need another key.

Only contradictions within the file itself are found here. Later checks decide whether the bulb can be made as planned,
once it has been sized. The declarations of the keys state what must agree (`agreement.py`), and one check covers them
all; `cross_checks.py` compares values.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator
from functools import cache
from typing import TYPE_CHECKING

from bulbcast.plan.agreement import Condition, NeededWith, OneOf, OnlyWith, settled
from bulbcast.plan.cross_checks import CHECKS, join_sample
from bulbcast.plan.filling import lots_weighed
from bulbcast.plan.keys import EXACTLY_ONE, KEYS, PARTS, REPEATED, SECTIONS, bracketed, section_keys
from bulbcast.quantities import joined

if TYPE_CHECKING:
    from bulbcast.plan.answers import Answers
    from bulbcast.plan.key import Key

    Check = Callable[[Answers], None]

_REPORTED_AFTER = {"fin": "boat", "parting": "printer"}
"""Sections whose faults are reported after those of another section. For example, the fin root depends on the boat."""
_WHOLE, _ONE_OF, _ONLY, _ONLY_SECTION, _NEEDED, _VALUES, _OF_ANOTHER, _ACCEPTANCE = 0, 1, 2, 3, 4, 5, 6, 13
"""Order of the checks within a section; those on keys of another section come last."""


def check_consistency(answers: Answers) -> None:
    """Add the faults that become apparent only when keys are compared.

    Args:
        answers: Answers read from the plan; faults are added to them. [-]
    """
    _check_required(answers)
    join_sample(answers)
    for check, _ in _checks():
        check(answers)


def check_figures(answers: Answers) -> None:
    """Add the faults of a plan that differs from a valid one only in its figures, running only the checks on figures.

    Args:
        answers: Answers read from the plan; faults are added to them. [-]
    """
    join_sample(answers)
    for check in _checks_on_figures():
        check(answers)


def shape_of(answers: Answers) -> tuple[object, ...]:
    """Everything that the checks and defaults use apart from figures, such as words and the paths of the keys given.

    Args:
        answers: Answers from a plan, or from one section of it. [-]
    """
    words = [(place, value) for place, value in answers.values.items() if isinstance(value, str)]
    unknown = [place for place, typed in answers.typed.items() if typed == '"unknown"']
    return (
        answers.given,
        answers.meant,
        answers.broken,
        answers.sections,
        answers.counts,
        answers.dimensions,
        dict(words),
        unknown,
    )


def _check_required(answers: Answers) -> None:
    for key, place in _asked_for(answers):
        section = place.rpartition(".")[0]
        if _known(answers, place) or section in answers.broken or holds(answers, key.required_unless, place):
            continue
        under = f"under [{key.section}]"
        if key.section in REPEATED:
            under = f"in this [[{key.section}]]"
        elif key.section not in SECTIONS:
            under = f"in {section.rpartition('.')[2]}"
        answers.fault(place, "nothing", key.expected, f"Add {key.example_line}, say, {under}.")


def _asked_for(answers: Answers) -> Iterator[tuple[Key, str]]:
    """Check the required keys of the sections given, and of the two that every plan needs."""
    standing = [
        name for name in SECTIONS if name not in REPEATED and name in answers.sections | {"bulb", "fin"}
    ]
    for name in (*standing, *REPEATED):
        for place in answers.places(name):
            yield from ((key, f"{place}.{key.leaf}") for key in _required(name))
    if "alloy.weighed" in answers.given:
        yield from ((key, key.name) for key in _required("alloy.weighed"))
    for place in lots_weighed(answers):
        yield from ((key, f"{place}.{key.leaf}") for key in _required("scrap.weighed"))


@cache
def _required(section: str) -> tuple[Key, ...]:
    return tuple(key for key in section_keys(section) if key.required)


# Conditions


def holds(answers: Answers, where: Condition, place: str = "") -> bool | None:
    """Return whether any part of a condition is met.

    Args:
        answers: Answers read from the plan. [-]
        where: The condition. [-]
        place: Path of the key that has the condition; in a repeated section it selects the right occurrence. [-]

    Returns:
        True or False; None if it cannot be decided because something is faulty or missing. False without a condition.
    """
    said = [_part_holds(answers, name, words, place) for name, words in settled(where).items()]
    return True if True in said else None if None in said else False


def _part_holds(answers: Answers, name: str, words: tuple[str, ...], place: str) -> bool | None:
    if name in PARTS:
        return bool(answers.counts.get(name)) if name in REPEATED else name in answers.sections
    if words:
        said = [_word_of(answers, name, spot) for spot in _spots(answers, name, place)]
        return any(word in words for word in said) or (None if None in said else False)
    if name in EXACTLY_ONE:
        standing = [one for one in EXACTLY_ONE[name] if _known(answers, one)]
        if not standing and _none_will_do(answers, name):
            return False
        return name == standing[0] if len(standing) == 1 else None
    return any(
        _known(answers, spot) and answers.typed.get(spot) != '"unknown"'
        for spot in _spots(answers, name, place)
    )


def _none_will_do(answers: Answers, name: str) -> bool:
    """Whether a plan may omit every key in the group to which this key belongs."""
    return any(_known(answers, one) for one in _instead(name))


@cache
def _instead(name: str) -> tuple[str, ...]:
    """Keys that replace a whole group of exclusive keys, for each group to which this key belongs."""
    section, _, leaf = name.rpartition(".")
    groups = PARTS[section].one_of if section in PARTS else ()
    return tuple(one for group in groups if leaf in group.keys for one in settled(group.unless))


def _spots(answers: Answers, name: str, place: str) -> list[str]:
    """Possible paths of a key; if both are in the same section, only the path next to the key that refers to it."""
    section, _, leaf = name.rpartition(".")
    own = place.rpartition(".")[0]
    places = [own] if own.partition("[")[0] == section else answers.places(section)
    return [f"{each}.{leaf}" for each in places]


def _word_of(answers: Answers, name: str, spot: str) -> str | None:
    """Word given for a key, or the word assumed if the key is omitted."""
    key, word = KEYS[name], answers.word(spot)
    if word is not None or _known(answers, spot):
        return word
    if key.left_out in KEYS:
        return _word_of(answers, key.left_out, key.left_out)
    return key.default or key.left_out or None


def _known(answers: Answers, place: str) -> bool:
    return place in answers.given or place in answers.meant


def default_holds(answers: Answers, key: Key, place: str) -> bool:
    """Whether a key's default is used. It is not if another key replaces it or if it would have no effect.

    Args:
        answers: Answers, already checked. [-]
        key: A key with a default. [-]
        place: Dotted path that the key would have. [-]
    """
    return not (
        any(spot in answers.given for other in beside(key.name) for spot in _spots(answers, other, place))
        or holds(answers, key.default_unless, place)
        or (key.may_lack and not all(holds(answers, one.where, place) for one in key.only_with))
    )


@cache
def beside(name: str) -> tuple[str, ...]:
    """Keys that can replace this one; a plan may have at most one of them.

    Args:
        name: Dotted name of the key. [-]
    """
    return tuple(other for group in exclusive_groups() if name in group for other in group if other != name)


@cache
def exclusive_groups() -> tuple[tuple[str, ...], ...]:
    """Groups of keys of which a plan may have at most one, by dotted name."""
    return (
        *(
            tuple(f"{part.name}.{leaf}" for leaf in group.keys)
            for part in PARTS.values()
            for group in part.one_of
        ),
        *((key.name, other) for key in KEYS.values() for other in key.not_with),
    )


# Declared conditions as checks, in the order in which faults are reported


@cache
def _checks() -> tuple[tuple[Check, bool], ...]:
    """All checks by section, each with a flag that says whether it concerns figures. A condition that names another
    section is checked with the later of the two."""
    turns = {name: 2 * number for number, name in enumerate(SECTIONS)}
    rank = {name: number for number, name in enumerate(KEYS)}
    found: list[tuple[tuple[int, ...], tuple[Check, bool]]] = []

    def add(check: Check, phase: int, section: str, where: Condition = (), key: Key | None = None) -> None:
        rulers = [name.partition(".")[0] for name in where]
        turn = max(turns[name] for name in (section, *rulers))
        if turns[section] != turn:
            phase += _OF_ANOTHER
        elif section in _REPORTED_AFTER:
            turn = turns[_REPORTED_AFTER[section]] + 1
        order = [
            any(name != section for name in rulers),
            min((rank.get(name, -1) for name in where), default=0),
        ]
        if key is not None:
            # Missing keys that are always required come before those that have a default.
            order += [phase % _OF_ANOTHER == _NEEDED and key.default is not None, rank[key.name]]
        found.append(((turn, phase, *order), (check, phase % _OF_ANOTHER in (_WHOLE, _VALUES))))

    for name in SECTIONS:
        part = PARTS[name]
        for group in part.one_of:
            add(_group_check(name, group), _ONE_OF, name)
        for only in part.only_with:
            add(_section_check(name, only), _ONLY_SECTION, name)
        for check in CHECKS.get(name, ()):
            add(check, _VALUES, name)
        for key in part.keys:
            if key.whole is not None:
                add(_whole_check(key, key.whole), _WHOLE, name, key=key)
            for other, why in key.not_with.items():
                add(_beside_check(key, other, why), _ONE_OF, name, key=key)
            for only in key.only_with:
                phase = _ACCEPTANCE if key.acceptance else _ONLY
                add(_only_check(key, only), phase, name, only.where, key)
            for need in key.needed_with:
                add(_need_check(key, need), _NEEDED, name, need.where, key)
    return tuple(check for _, check in sorted(found, key=lambda one: one[0]))


@cache
def _checks_on_figures() -> tuple[Check, ...]:
    return tuple(check for check, on_figures in _checks() if on_figures)


def _whole_check(key: Key, texts: tuple[str, str, str]) -> Check:
    def check(answers: Answers) -> None:
        for spot in _spots_of(answers, key):
            value = answers.number(spot)
            if value is not None and not value.is_integer():
                below = math.floor(value)
                _tell(answers, spot, texts, round=round(value), floor=below, next=below + 1)

    return check


def _group_check(section: str, group: OneOf) -> Check:
    def check(answers: Answers) -> None:
        for place in answers.places(section):
            given = [leaf for leaf in group.keys if f"{place}.{leaf}" in answers.given]
            named = place if section in REPEATED else bracketed(section)
            if len(given) > 1:
                answers.fault(named, f"{joined(given, 'and')} together", group.expected, group.remedy)
            elif (
                group.nothing
                and (section == "alloy" or section in answers.sections)
                and section not in answers.broken
                and not any(_known(answers, f"{place}.{leaf}") for leaf in group.keys)
                and not holds(answers, group.unless)
            ):
                read, remedy = group.nothing
                answers.fault(named, read, group.expected, remedy)

    return check


def _beside_check(key: Key, other: str, why: str) -> Check:
    def check(answers: Answers) -> None:
        for spot in _spots_of(answers, key):
            if spot in answers.given and answers.given.intersection(_spots(answers, other, spot)):
                answers.fault(
                    spot,
                    f"{key.leaf} together with {other.removeprefix(f'{key.section}.')}",
                    f"one of the two, since {why}",
                    "Remove one of them.",
                )

    return check


def _section_check(section: str, only: OnlyWith) -> Check:
    def check(answers: Answers) -> None:
        standing = answers.counts.get(section) if section in REPEATED else section in answers.sections
        if standing and section not in answers.broken and holds(answers, only.where) is False:
            _tell(answers, bracketed(section), only.texts)

    return check


def _only_check(key: Key, only: OnlyWith) -> Check:
    ruler, words = next(iter(settled(only.where).items()))
    leaves = [name.rpartition(".")[2] if name in KEYS else bracketed(name) for name in only.where]
    owners = joined([f'"{word}"' for word in words] or leaves, "or")

    def check(answers: Answers) -> None:
        for spot in _spots_of(answers, key):
            if (
                spot in answers.given
                and answers.word(spot) not in (only.but or ("",))
                and holds(answers, only.where, spot) is False
            ):
                others = [
                    one for one in (*EXACTLY_ONE.get(ruler, ()), *_instead(ruler)) if _known(answers, one)
                ]
                _tell(
                    answers,
                    spot,
                    only.texts,
                    leaf=key.leaf,
                    owners=owners,
                    ruler=leaves[0],
                    word=_word_of(answers, ruler, _spots(answers, ruler, spot)[0]) if words else "",
                    other=others[0].rpartition(".")[2] if others else "",
                )

    return check


def _need_check(key: Key, need: NeededWith) -> Check:
    def check(answers: Answers) -> None:
        for spot in _spots_of(answers, key):
            if (
                _known(answers, spot)
                or spot.rpartition(".")[0] in answers.broken
                or not holds(answers, need.where, spot)
                or (need.also and not holds(answers, need.also, spot))
                or holds(answers, need.unless, spot)
            ):
                continue
            ruler, words = next(
                one for one in settled(need.where).items() if _part_holds(answers, *one, spot)
            )
            _tell(
                answers,
                spot,
                need.texts,
                expected=key.expected,
                example=key.example_line,
                section=key.section,
                ruler=ruler.rpartition(".")[2],
                given=ruler.rpartition(".")[2],
                word=_word_of(answers, ruler, _spots(answers, ruler, spot)[0]) if words else "",
            )

    return check


def _spots_of(answers: Answers, key: Key) -> Iterable[str]:
    if key.section not in REPEATED:
        return (key.name,)
    return [f"{place}.{key.leaf}" for place in answers.places(key.section)]


def _tell(answers: Answers, place: str, texts: tuple[str, str, str], **filled: object) -> None:
    if place in answers.typed:
        filled |= {"typed": answers.typed[place], "line": answers.line(place)}
    read, expected, remedy = (text.format_map(filled) for text in texts)
    answers.fault(place, read, expected, remedy)
