"""Text of `bulbcast keys`: every key with its dimension, range, default, source and meaning."""

from __future__ import annotations

from bulbcast.plan.agreement import Condition, NeededWith, settled
from bulbcast.plan.answer_words import nearest
from bulbcast.plan.consistency import exclusive_groups
from bulbcast.plan.key import Key, Kind
from bulbcast.plan.keys import KEYS, PARTS, bracketed, section_keys
from bulbcast.quantities import WORDS, DisplayUnits, joined
from bulbcast.quantities.prose import in_her_units, typed_in_imperial
from bulbcast.report.page import Page

TOP = "Top of the file"


def keys_text(asked: str, *, colour: bool, width: int, units: DisplayUnits = "metric") -> str | None:
    """Reference for all keys, for one section, or for one key.

    Args:
        asked: A section such as "mould", a key such as "mould.wall", or "" for all.
        colour: Whether to colour the text with ANSI codes.
        width: Width of the terminal, in characters. [-]
        units: System of units shown first. [-]

    Returns:
        Lines of text; None if there is no such section or key.
    """
    page = Page(colour=colour, width=width, units=units)
    if asked in KEYS and asked not in PARTS:
        _one(page, KEYS[asked], units)
        return page.text()
    names = [asked] if asked in PARTS and asked else list(PARTS) if not asked else []
    if not names:
        return None
    for name in names:
        page.heading(bracketed(name) if name else TOP)
        wide = max(len(key.leaf) for key in section_keys(name)) + 4
        for key in section_keys(name):
            about, written = (
                in_her_units(text, units) for text in (key.about, f"{_written(key)}{_left_out(key)}")
            )
            page.wrapped(about, first=f"  {key.leaf}".ljust(wide), rest=" " * wide)
            page.wrapped(written, first=" " * wide, rest=" " * wide)
    if not asked:
        page.line()
        page.wrapped(
            "bulbcast keys SECTION shows one section, bulbcast explain SECTION.KEY how one key is measured, and "
            "bulbcast explain CODE what a finding means."
        )
    return page.text()


def unknown_words(asked: str) -> str:
    """Message for a section or key that does not exist, with the nearest one that does.

    Args:
        asked: The name as typed.
    """
    near = nearest(asked, [*KEYS, *(name for name in PARTS if name)])
    return f'there is no section or key "{asked}"' + (f'; did you mean "{near}"?' if near else "")


def _written(key: Key) -> str:
    """A key's dimension or allowed words, and its range."""
    if key.kind is Kind.QUANTITY:
        return " or ".join(
            f"{WORDS[dimension].noun.removeprefix('a ').removeprefix('an ')}, {within.words}"
            for dimension, within in zip(key.dimensions, key.ranges, strict=True)
        )
    if key.kind is Kind.NUMBER:
        return f"bare number, {key.ranges[0].words}"
    if key.kind is Kind.CHOICE:
        return " | ".join(key.choices)
    return "text" if key.kind is Kind.TEXT else "table"


def _left_out(key: Key) -> str:
    """Value assumed if the key is omitted, with its source."""
    if key.default is not None:
        return f"; default: {key.default} ({key.source})" if key.source else f"; default: {key.default}"
    return "; required" if key.required else ""


def _condition(where: Condition) -> str:
    """A condition written as it would appear in a plan."""
    parts = []
    for name, words in settled(where).items():
        shown = bracketed(name) if name in PARTS else name
        quoted = [f'"{word}"' for word in words]
        parts.append(f"{shown} = {joined(quoted, 'or')}" if quoted else shown)
    return joined(parts, "or")


def _needed(need: NeededWith) -> str:
    words = _condition(need.where)
    if need.also:
        words += f", with {_condition(need.also)}"
    return words + (f", unless with {_condition(need.unless)}" if need.unless else "")


def _one(page: Page, key: Key, units: DisplayUnits) -> None:
    page.wrapped(key.name, code="1")
    page.line()
    rows = [
        ("Meaning", key.about),
        ("How to find it", key.find),
        ("Written as", key.expected),
        ("Example", key.example_line if units == "metric" else typed_in_imperial(key.example_line)),
        ("Section", bracketed(key.section) if key.section else TOP),
        (
            "Default",
            key.default
            or ("it is required" if key.required else "see the meaning above; the report lists the value"),
        ),
    ]
    if key.source:
        rows.append(("Source", key.source))
    for word, means in key.means.items():
        others = f"; also: {', '.join(key.also[word])}" if word in key.also else ""
        rows.append((f'"{word}"', f"{means}{others}"))
    rows += [("Only with", _condition(one.where)) for one in key.only_with]
    rows += [("Needed with", _needed(one)) for one in key.needed_with]
    if rivals := [
        name for group in exclusive_groups() if key.name in group for name in group if name != key.name
    ]:
        rows.append(("Not with", joined(rivals, "or")))
    if key.unknown:
        rows.append(
            ('"unknown"', "is allowed too: it means the middle of the typical range, with its full spread")
        )
    if key.spread is not None:
        says = f'{key.spread}; to give your own, write it after the value, as in "0.98 +- 0.35 %"'
        rows.append(("Give or take", f"{says} ({key.spread_source})" if key.spread_source else says))
    rows.append(
        (
            "In compare",
            {
                "yes": "may be varied",
                "fixed": "cannot be varied: it is read once for the whole study",
                "without effect": "changes no figure in a study",
            }[key.varied],
        )
    )
    page.table([(label, in_her_units(text, units)) for label, text in rows])
