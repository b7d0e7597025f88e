"""Text of SAFETY.md: every caution in full, the official limits, and the concentration of lead vapour above the pot."""

from __future__ import annotations

import re
import textwrap

from bulbcast.safety.cautions import (
    FROM_MEMORY,
    Caution,
    cautions,
    closing,
    exposure_limits,
    introduction,
    steps,
    vapour_table,
)

_WIDTH = 100
_TIE = "\u00a0"  # textwrap does not break here
_LIMIT_TITLES = {
    "lead in air": "Lead in air",
    "lead in blood": "Lead in blood",
    "other": "Other dusts and gases",
}


def safety_document() -> str:
    """Return the full text of SAFETY.md in Markdown, ending in a line break."""
    lines = ["# Safety", ""]
    lines += _wrapped(introduction())
    lines += _on_one_page()
    for step in steps():
        lines += [f"## {step.title}", ""]
        for one in cautions():
            if one.steps[0] == step.name:
                lines += _section(one)
    lines += _limits()
    lines += _vapour()
    lines += ["## Local rules and licensed practice", ""]
    lines += _wrapped(closing())
    return "\n".join(lines).rstrip("\n") + "\n"


def _wrapped(paragraphs: tuple[str, ...]) -> list[str]:
    """Wrap paragraphs to the document's width, with a blank line after each."""
    lines: list[str] = []
    for paragraph in paragraphs:
        lines += [*_lines(paragraph), ""]
    return lines


def _lines(text: str, first: str = "", rest: str = "") -> list[str]:
    """Wrap text to the document's width, keeping each figure and its unit on one line."""
    tied = re.sub(r"(?<=\d) (?=(?:C|F|kg|lb|%)(?!\w))", _TIE, text)
    wrapped = textwrap.wrap(
        tied,
        _WIDTH,
        initial_indent=first,
        subsequent_indent=rest,
        break_long_words=False,
        break_on_hyphens=False,
    )
    return [line.replace(_TIE, " ") for line in wrapped]


def _on_one_page() -> list[str]:
    """List the short forms of the cautions, to be read aloud on the day of the pour."""
    lines = ["## On one page", ""]
    for one in cautions():
        lines += _lines(f"**{one.title}.** {one.short}", first="- ", rest="  ")
    return [*lines, ""]


def _section(one: Caution) -> list[str]:
    """Format one caution in full, with its sources."""
    return [
        f"### {one.title}",
        "",
        *_wrapped(one.full),
        *_wrapped((f"Source: {'; '.join(one.sources)}.",)),
    ]


def _limits() -> list[str]:
    """Format the official limits as tables."""
    lines = ["## Official limits", ""]
    lines += _wrapped(
        (
            "The limits for air and for removal from work apply to employees; none of them makes a home safe. They are "
            "given to show how small an amount is too much. Limits change: look up those that apply where you live.",
        )
    )
    for kind, title in _LIMIT_TITLES.items():
        lines += [f"### {title}", "", "| rule | value | source |", "| --- | --- | --- |"]
        for limit in exposure_limits():
            if limit.kind == kind:
                source = limit.source if limit.read else f"{limit.source} ({FROM_MEMORY})"
                lines.append(f"| {limit.rule} | {limit.value} | {source} |")
        lines.append("")
    return lines


def _vapour() -> list[str]:
    """Format the table of lead vapour concentrations."""
    lines = ["## Lead vapour over the pot", ""]
    lines += _wrapped(
        (
            "The table gives the maximum concentration of lead vapour in still air directly above the pot, in "
            "micrograms per cubic metre. It is an upper limit for vapour alone: dust from oxide and dross adds to it "
            "at any temperature. The vapour first exceeds 50 µg/m³ at a temperature between 467 and 491 C "
            "(870 and 915 F).",
        )
    )
    lines += ["| lead | in air as hot as the pot | in the same air cooled to 20 C |", "| --- | --- | --- |"]
    for row in vapour_table():
        fahrenheit = row.celsius * 9 / 5 + 32
        lines.append(f"| {row.celsius:.0f} C ({fahrenheit:.0f} F) | {row.at_pot:g} | {row.at_20:g} |")
    lines.append("")
    lines += _wrapped(
        (
            "Source: vapour pressure 5.76e9 exp(-22131 K / T) Pa, OECD-NEA, Handbook on Lead-bismuth "
            "Eutectic Alloy and Lead Properties (2015), and the ideal gas law.",
        )
    )
    return lines
