"""What a finding is, and the rule that declares it: its code, its severity, and what it withholds.

A rule stands beside the check that it is the outcome of, and is called to make the finding. What is withheld from the
builder follows from the findings and from nothing else.

What a remedy says to type is declared in it, by `typed`: the rule takes the lines apart from the words, and the finding
bears both. What the builder must first do, see or measure (scrap looked through, sand cured), and a sentence of
acceptance, stay plain words: nobody types those for the builder.

Holds. What is wrong with burner, heat or lifting (fuel short, a pot too heavy, a foundry's mass, a pouring temperature)
withholds the melt: charge, scrap and pot list go with the pour card. What is wrong with mould or metal, or with the
pot's size, withholds the pour card alone: charge and lists are what metal and pot are bought by. While a stop stands,
no hold shows a figure of either.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from enum import StrEnum
from functools import partial
from typing import NamedTuple

from bulbcast.plan.keys import KEYS


class Severity(StrEnum):
    """How grave a finding is: a stop withholds all that is made, a hold what its rule says, the others nothing."""

    STOP = "stop"
    HOLD = "hold"
    CAUTION = "caution"
    NOTE = "note"


SEVERITY_ORDER = (Severity.STOP, Severity.HOLD, Severity.CAUTION, Severity.NOTE)


class Step(StrEnum):
    """A step of the work that a finding may withhold, in the order of the work."""

    PATTERN = "pattern"
    MELT = "melt"
    POUR = "pour"
    FASTENING = "fastening"
    SAILING = "sailing"


class Line(NamedTuple):
    """One line of a fix. Lines of one way are typed together; any one way is enough.

    Attributes:
        key: Dotted, such as `screws[1].at`; a number one past the last is that of a new [[screws]].
        value: As it stands in the file, quotes included; None where the key is taken out. Of a whole new one, such as
            `screws[2]`, the one that the rest of it is like.
        way: Number of the way, from 1.
    """

    key: str
    value: str | None
    way: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One check's result that a builder needs to know.

    Attributes:
        severity: How grave it is.
        code: Stable name of the check's outcome, in kebab case.
        where: The plan's key or the part it is about, such as `screws[1]`.
        found: The figure seen, in `unit`; None where the matter has no number.
        limit: The figure it is held against, in `unit`; None where there is none.
        unit: SI unit of `found` and `limit`, "" for a bare number.
        message: One sentence that says it, figures in the builder's units.
        remedy: One sentence that says how to fix it.
        withholds: Steps of the work that are not to be done while it stands, in the order of the work.
        tells: The step whose figures it bears; None where it bears none that are ever withheld.
        brief: What is said of it without those figures.
        subject: What it is about where its findings are also listed by themselves, such as "boat"; else "".
        keys: Keys of the plan that it is about, dotted: `where` if that is one, else those of its fix.
        fix: What the remedy says to type; empty where that cannot be said in lines of the plan.
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
    """What one check may find, declared once beside it and called to make the finding.

    Attributes:
        code: In kebab case; of a family it is the beginning of every code, such as "hull-".
        severities: Those that it may have; with only one a call need not say which.
        holds: What it withholds where it is a hold. A stop withholds all of the work, since the bulb or its pattern
            must not be made as planned; a caution and a note withhold nothing.
        tells: The step whose figures its finding bears. Where that step is withheld, and before the cautions for
            lead, `brief` alone is said.
        brief: One sentence without a figure.
        subject: What it is about where its findings are also listed by themselves, such as "boat".
        why: What it means and why it matters, in whole sentences; `bulbcast explain` says it.

    Raises:
        ValueError: A hold that withholds nothing, something withheld by a rule that is never a hold, or a code
            that is declared already.
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
            raise ValueError(f"{code}: a hold must say what it withholds, and only a hold may")
        if (tells is None) != (not brief):
            raise ValueError(
                f"{code}: a rule with figures that may be withheld must say what to write without them"
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
        """Whether the code is the beginning of several, whose ends the calls name."""
        return self.code.endswith("-")

    def withholds(self, severity: Severity) -> tuple[Step, ...]:
        """The steps that a finding of this rule withholds.

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
        """The finding.

        Args:
            where: The plan's key or the part it is about.
            message: One sentence that says it, figures in the builder's units.
            remedy: One sentence that says how to fix it, lines to type in it by `typed`.
            found: The figure seen, in `unit`. [unit]
            limit: The figure it is held against. [unit]
            unit: SI unit of both, "" for a bare number.
            severity: Severity of this finding, where the rule has several.
            end: End of the code, where the rule is a family.

        Raises:
            ValueError: A severity that the rule does not have, or an end that is missing or too much.
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
"""A rule whose findings bear figures of the melt: before the cautions for lead its `brief` alone is said."""


_TYPED = re.compile("\x02(.*?)\x1f(.*?)\x1f(.*?)\x1f(.*?)\x03", re.DOTALL)


def typed(key: str, value: str | None, words: str = "", *, also: bool = False) -> str:
    """A line to type, within the words of a remedy: `at = "40 mm"` is read there, and the finding bears it as a fix.

    Args:
        key: Dotted, such as `screws[1].at`.
        value: Without its quotes; None where the key is taken out, together with the line before.
        words: What is read in its place; left out: the line, or the name of the key taken out.
        also: Whether it is typed together with the line before, and is no other way out.

    Returns:
        The words, marked until the rule takes them apart.
    """
    leaf, way = key.rpartition(".")[2], "+" if also or value is None else ""
    if value is None:
        return f"\x02{way}\x1f{key}\x1f\x1f{words or leaf}\x03"
    value = value if re.fullmatch(r"-?\d+(\.\d+)?", value) else f'"{value}"'
    return f"\x02{way}\x1f{key}\x1f{value}\x1f{words or f'{leaf} = {value}'}\x03"


def plain(remedy: str) -> str:
    """The words alone of a remedy with lines by `typed`."""
    return _TYPED.sub(r"\4", remedy)


def _fix(remedy: str) -> tuple[Line, ...]:
    lines: list[Line] = []
    for together, key, value, _ in _TYPED.findall(remedy):
        before = lines[-1].way if lines else 0
        lines.append(Line(key, value or None, before if together and lines else before + 1))
    return tuple(lines)


def rules() -> tuple[Rule, ...]:
    """Every rule declared by the modules loaded so far, by code."""
    return tuple(_RULES[code] for code in sorted(_RULES))


def sorted_by_severity(findings: tuple[Finding, ...]) -> tuple[Finding, ...]:
    """The same findings, gravest first; those of one severity keep the order of the work."""
    return tuple(sorted(findings, key=lambda one: SEVERITY_ORDER.index(one.severity)))


# Severity, its word and a sign of its own shape, so that none of them hangs on colour.
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
