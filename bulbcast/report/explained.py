"""Text of `bulbcast explain`: the meaning of a key and how to measure its value, or the meaning of a finding and why it
matters."""

from __future__ import annotations

import re
from collections.abc import Sequence

from bulbcast.findings import SEVERITY_WORDS, Rule, Severity
from bulbcast.plan.answer_words import nearest
from bulbcast.plan.keys import KEYS, PARTS, bracketed, section_keys
from bulbcast.quantities import DisplayUnits, joined
from bulbcast.quantities.prose import in_her_units, typed_in_imperial
from bulbcast.report.keys_text import keys_text
from bulbcast.report.page import COLOURS, Page

_MEANS = {
    Severity.STOP: "do not make the bulb or pattern as planned; all later work must wait",
    Severity.HOLD: "a later step must wait",
    Severity.CAUTION: "nothing is withheld, but check it before you continue",
    Severity.NOTE: "nothing is withheld; for information",
}


def explained(
    asked: str, rules: Sequence[Rule], *, colour: bool, width: int, units: DisplayUnits = "metric"
) -> str | None:
    """Return the meaning of a key, section or finding code.

    Args:
        asked: The name as typed: "mould.wall", "screws[2].at", "wall" if only one section has a key of that name,
            "mould", "wall-thin".
        rules: All rules.
        colour: Whether to colour the text with ANSI codes.
        width: Width of the terminal, in characters. [-]
        units: System of units to show first. [-]

    Returns:
        Lines of text; None if there is no such key, section or code.
    """
    name = re.sub(r"\[\d*\]", "", asked.casefold().strip()).strip("[]. ")
    page = Page(colour=colour, width=width, units=units)
    underscored = name.replace("-", "_").replace(" ", "_")
    if underscored in PARTS and underscored:
        _section(page, underscored, units)
        return page.text()
    leaves = [each for each, key in KEYS.items() if underscored in (each, key.leaf)]
    names = [underscored] if underscored in KEYS else leaves
    code = name.replace("_", "-").replace(" ", "-")
    found = [rule for rule in rules if code == rule.code or (rule.family and code.startswith(rule.code))]
    texts = [keys_text(each, colour=colour, width=width, units=units) or "" for each in names]
    for rule in found:
        _finding(page, rule, units)
    return "\n".join([*texts, *([page.text()] if found else [])]) or None


def nothing_to_explain(asked: str, rules: Sequence[Rule]) -> str:
    """Return the message for a key, section or code that does not exist.

    Args:
        asked: The name as typed.
        rules: All rules.
    """
    leaves = {key.leaf for key in KEYS.values()}
    near = nearest(asked, [*KEYS, *leaves, *(name for name in PARTS if name), *(rule.code for rule in rules)])
    meant = f'; did you mean "{near}"?' if near else "; run bulbcast keys to list every key"
    return f'there is no key, section or finding "{asked}"{meant}'


def _section(page: Page, name: str, units: DisplayUnits) -> None:
    page.line(bracketed(name), "1")
    # A weighed sample is a key whose value contains further keys.
    for key in (*([KEYS[name]] if name in KEYS else []), *section_keys(name)):
        page.line()
        line = key.example_line if units == "metric" else typed_in_imperial(key.example_line)
        page.line(f"  {line}")
        for text in (f"{key.about[:1].upper()}{key.about[1:]}.", key.find):
            page.wrapped(in_her_units(text, units), first="    ", rest="    ")


def _finding(page: Page, rule: Rule, units: DisplayUnits) -> None:
    page.wrapped(f"{rule.code}..." if rule.family else rule.code, code="1")
    page.line()
    page.wrapped(in_her_units(rule.why, units), first="  ", rest="  ")
    for severity in rule.severities:
        withheld = [str(step) for step in rule.withholds(severity)]
        words = _MEANS[severity] + (f": it withholds {joined(withheld, 'and')}" if withheld else "")
        page.line()
        page.wrapped(
            f"{page.paint(SEVERITY_WORDS[severity].upper(), COLOURS[severity])}  {words}.",
            first="  ",
            rest="  ",
        )
