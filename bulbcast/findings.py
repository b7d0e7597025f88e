"""Findings, and the rules that declare their code, severity and withheld steps.

A rule is declared next to its check, which calls it to make the finding. The findings alone decide what is withheld
from the builder.

The lines that a remedy tells the builder to type are marked in it with `typed`. The rule separates them from the words,
and the finding contains both. Things that the builder must first do, see or measure (such as sorting scrap or
curing sand), and sentences of acceptance, stay plain words: the program never types those for the builder.

A hold for the burner, the heat or lifting (too little fuel, an overweight pot, a mass that only a foundry should pour,
a pouring temperature) withholds the melt: the charge, scrap and pot lists as well as the pour card. A hold for the
mould, the metal or the pot's size withholds only the pour card, since the charge and the lists are needed to buy the
metal and the pot. If there is also a stop, no hold shows figures of the charge or the pour.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from enum import StrEnum
from functools import partial
from typing import NamedTuple

from bulbcast.plan.keys import KEYS


class Severity(StrEnum):
    """Severity of a finding: a stop withholds everything, a hold withholds whatever its rule names, and the others
    withhold nothing."""

    STOP = "stop"
    HOLD = "hold"
    CAUTION = "caution"
    NOTE = "note"


SEVERITY_ORDER = (Severity.STOP, Severity.HOLD, Severity.CAUTION, Severity.NOTE)


class Step(StrEnum):
    """Steps of the work that a finding can withhold, in the order of the work."""

    PATTERN = "pattern"
    MELT = "melt"
    POUR = "pour"
    FASTENING = "fastening"
    SAILING = "sailing"


class Line(NamedTuple):
    """One line of a fix. Lines that belong to the same alternative are entered together; any one alternative is enough.

    Attributes:
        key: Dotted key, such as `screws[1].at`; the number after the last existing one adds a new [[screws]].
        value: Value as written in the file, with its quotes; None if the key is removed. For a complete new section,
            such as `screws[2]`, the name of the existing one from which it is copied.
        way: Number of the alternative, counted from 1.
    """

    key: str
    value: str | None
    way: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """Result of a check that a builder needs to know.

    Attributes:
        severity: Severity of the finding.
        code: Stable name of the outcome, in kebab case.
        where: Key of the plan, or the part concerned, such as `screws[1]`.
        found: Figure found, in `unit`; None if there is no number.
        limit: Limit for that figure, in `unit`; None if there is none.
        unit: SI unit of `found` and `limit`, "" for a bare number.
        message: Text that states the finding, with figures in the builder's units.
        remedy: Text that says how to fix it.
        withholds: Steps that must wait until it is fixed, in the order of the work.
        tells: Step whose figures it shows; None if it shows no figures that are ever withheld.
        brief: Text to show without those figures.
        subject: Subject under which it is also listed separately, such as "boat"; otherwise "".
        keys: Dotted plan keys concerned: `where` if that is a key, otherwise those of its fix.
        fix: Lines that the remedy says to type; empty if the fix is not a change to the plan.
    """

    severity: Severity
    code: str
    where: str
    found: float | None
    limit: float | None
    unit: str
    message: str
    remedy: str
    withholds: tuple[Step, ...]
    tells: Step | None
    brief: str
    subject: str
    keys: tuple[str, ...]
    fix: tuple[Line, ...]


@dataclass(frozen=True, slots=True)
class Rule:
    """Possible finding of a check, declared once, next to the check, and called to make the finding.

    Attributes:
        code: Code in kebab case; for a family, the beginning of every code, such as "hull-".
        severities: Severities that its findings can have; if there is only one, a call need not give it.
        holds: Steps that it withholds when it is a hold. A stop withholds all of the work, since the bulb or its
            pattern must not be made as planned; a caution or a note withholds nothing.
        tells: Step whose figures its finding shows. If that step is withheld, only `brief` is shown. If the step
            is the melt, the list that comes before the cautions for lead also shows only `brief`.
        brief: One sentence without figures.
        subject: Subject under which its findings are also listed separately, such as "boat".
        why: Meaning and importance, in complete sentences; shown by `bulbcast explain`.

    Raises:
        ValueError: A hold withholds nothing, a rule that is never a hold withholds something, or the code has already
            been declared.
    """

    code: str
    severities: tuple[Severity, ...]
    holds: tuple[Step, ...] = ()
    tells: Step | None = None
    brief: str = ""
    subject: str = ""
    why: str = ""

    def __init__(
        self,
        code: str,
        *severities: Severity,
        holds: tuple[Step, ...] = (),
        tells: Step | None = None,
        brief: str = "",
        subject: str = "",
        why: str = "",
    ) -> None:
        if (Severity.HOLD in severities) != bool(holds) or not severities:
            raise ValueError(f"{code}: a hold must name what it withholds, and only a hold may do so")
        if (tells is None) != (not brief):
            raise ValueError(
                f"{code}: a rule with figures that can be withheld needs a brief to show in their place"
            )
        if code in _RULES:
            raise ValueError(f'the finding "{code}" is declared twice')
        object.__setattr__(self, "code", code)
        object.__setattr__(self, "severities", severities)
        object.__setattr__(self, "holds", holds)
        object.__setattr__(self, "tells", tells)
        object.__setattr__(self, "brief", brief)
        object.__setattr__(self, "subject", subject)
        object.__setattr__(self, "why", why)
        _RULES[code] = self

    @property
    def family(self) -> bool:
        """Whether the code is the common beginning of several codes, each completed by a call."""
        return self.code.endswith("-")

    def withholds(self, severity: Severity) -> tuple[Step, ...]:
        """Steps that findings under this rule withhold.

        Args:
            severity: Severity of the finding.
        """
        if severity is Severity.STOP:
            return tuple(Step)
        return self.holds if severity is Severity.HOLD else ()

    def __call__(
        self,
        where: str,
        message: str,
        remedy: str,
        *,
        found: float | None = None,
        limit: float | None = None,
        unit: str = "",
        severity: Severity | None = None,
        end: str = "",
    ) -> Finding:
        """Make the finding.

        Args:
            where: Key of the plan, or the part concerned.
            message: Text that states the finding, with figures in the builder's units.
            remedy: Text that says how to fix it, with lines to type marked by `typed`.
            found: Figure found, in `unit`. [unit]
            limit: Limit for that figure. [unit]
            unit: SI unit of both, "" for a bare number.
            severity: Severity of this finding, if the rule has several.
            end: End of the code, if the rule is a family.

        Raises:
            ValueError: The rule does not have this severity, or an end is missing or not allowed.
        """
        severity = self.severities[0] if severity is None and len(self.severities) == 1 else severity
        if severity not in self.severities or bool(end) != self.family:
            raise ValueError(f"{self.code}{end} is not declared as {severity}")
        fix = _fix(remedy)
        given = [where] if re.sub(r"\[\d+\]", "", where) in KEYS else [one.key for one in fix if one.value]
        return Finding(
            severity=severity,
            code=self.code + end,
            where=where,
            found=found,
            limit=limit,
            unit=unit,
            message=message,
            remedy=plain(remedy),
            withholds=self.withholds(severity),
            tells=self.tells,
            brief=self.brief,
            subject=self.subject,
            keys=tuple(dict.fromkeys(given)),
            fix=fix,
        )


_RULES: dict[str, Rule] = {}

melt_rule = partial(Rule, tells=Step.MELT)
"""Declare a rule whose findings show figures for the melt. In a list that comes before the cautions for lead, only its
`brief` is shown."""


_TYPED = re.compile("\x02(.*?)\x1f(.*?)\x1f(.*?)\x1f(.*?)\x03", re.DOTALL)


def typed(key: str, value: str | None, words: str = "", *, also: bool = False) -> str:
    """Mark a line that a remedy asks the builder to type: the reader sees `at = "40 mm"`, and the finding keeps it as a
    fix.

    Args:
        key: Dotted key, such as `screws[1].at`.
        value: Value without its quotes; None if the key is to be removed. The removal then belongs to the same
            alternative as the line before.
        words: Words to show instead; if omitted, the line, or the name of the removed key, is shown.
        also: Whether it belongs to the same alternative as the line before and is entered together with it.

    Returns:
        The marked words, which the rule separates later.
    """
    leaf, way = key.rpartition(".")[2], "+" if also or value is None else ""
    if value is None:
        return f"\x02{way}\x1f{key}\x1f\x1f{words or leaf}\x03"
    value = value if re.fullmatch(r"-?\d+(\.\d+)?", value) else f'"{value}"'
    return f"\x02{way}\x1f{key}\x1f{value}\x1f{words or f'{leaf} = {value}'}\x03"


def plain(remedy: str) -> str:
    """Text of a remedy without the markers added by `typed`."""
    return _TYPED.sub(r"\4", remedy)


def _fix(remedy: str) -> tuple[Line, ...]:
    lines: list[Line] = []
    for together, key, value, _ in _TYPED.findall(remedy):
        before = lines[-1].way if lines else 0
        lines.append(Line(key, value or None, before if together and lines else before + 1))
    return tuple(lines)


def rules() -> tuple[Rule, ...]:
    """Rules declared by the modules loaded so far, sorted by code."""
    return tuple(_RULES[code] for code in sorted(_RULES))


def sorted_by_severity(findings: tuple[Finding, ...]) -> tuple[Finding, ...]:
    """Findings sorted with the most serious first. Findings of the same severity keep their order."""
    return tuple(sorted(findings, key=lambda one: SEVERITY_ORDER.index(one.severity)))


# Word and sign of each severity. Each sign has a different shape, so that colour alone never matters.
SEVERITY_WORDS = {
    Severity.STOP: "Stop",
    Severity.HOLD: "Hold",
    Severity.CAUTION: "Caution",
    Severity.NOTE: "Note",
}


SEVERITY_SIGNS = {
    Severity.STOP: "\u2715",
    Severity.HOLD: "\u2016",
    Severity.CAUTION: "!",
    Severity.NOTE: "i",
}
