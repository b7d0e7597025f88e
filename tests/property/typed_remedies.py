"""A fix typed as shown: the remedy of a finding read as a builder reads it, into her plan, and the plan run again.

What counts as a value is a key with "=" and a value behind it, as it would stand in the file. "or" parts one way
from the next, "and" and "with" join what has to be typed together. A key stands under the section named beside it
("[pot] capacity", "bulb.fineness", "under [printer]"), else under the one that the finding is about.
"""

from __future__ import annotations

import copy
import re
import tomllib
from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from typing import Any

from random_plans import PlanTable, plan_text

from bulbcast.findings import Finding, Severity
from bulbcast.job import Job, run
from bulbcast.plan.faults import PlanError
from bulbcast.plan.keys import KEYS, REPEATED
from bulbcast.plan.reading import read_plan

_LINE = re.compile(
    r"(?:(?P<new>\[\[(?P<lot>[a-z_]+)\]\])\s+(?:with\s+)?|\[(?P<section>[a-z_]+)\]\s+(?:with\s+)?)?"
    r"(?P<key>(?:[a-z_]+(?:\[\d+\])?\.)?[a-z_]+) = "
    r'(?P<value>"[^"]*"|\{[^}]*\}|-?\d+(?:\.\d+)?(?![\d/]|\.\d| (?:\d|mm\b|m\b|in\b)))'
)
_OUT = re.compile(r"\btake (?P<keys>[a-z_]+(?:(?:, | and )[a-z_]+)*) out\b")
_AS_FIRST = "with the rest as in the first"
_MEASURED = re.compile(r"(?:,? with| and) [a-z_]+ = (?![\"{\d-])")
"""A line that goes with another whose value the builder has to measure first."""
_UNDER = re.compile(r"\s*(?:or more|or less)?(?: in place of [a-z_]+)?,?\s*under \[(?P<section>[a-z_]+)\]")
_APART = re.compile(r"\bor\b|;|\. |, (?!and\b|with\b)")
_NOT_APART = re.compile(r",? ?(?:\bboth )?\bor (?:more|less)\b")


@dataclass(frozen=True, slots=True)
class Line:
    """One line to be typed: section, its number from 1 (0 where it stands once, -1 for a new one, -2 for a new one
    like the first), key, value; None takes it out."""

    section: str
    number: int
    key: str
    value: Any


@dataclass(frozen=True, slots=True)
class Way:
    """What is typed together; `first` is the way that the remedy names first."""

    lines: tuple[Line, ...]
    first: bool


def ways_of(finding: Finding) -> list[Way]:
    """Every way out that the remedy gives with values.

    Args:
        finding: With its remedy and where it is.
    """
    matches = list(_LINE.finditer(finding.remedy))
    groups: list[list[tuple[re.Match[str], str | None]]] = []
    for i, match in enumerate(matches):
        if "..." in match["value"] or _MEASURED.match(finding.remedy, match.end()):
            continue
        before = finding.remedy[matches[i - 1].end() : match.start()] if i else ""
        under = _UNDER.match(finding.remedy, match.end())
        section = match["section"] or (under["section"] if under else None)
        same = i > 0 and not _APART.search(_NOT_APART.sub("", before)) and groups
        if same or (match["lot"] is None and groups and groups[-1][0][0]["lot"] and before.strip() == ","):
            groups[-1].append((match, section))
        else:
            groups.append([(match, section)])
    ways = []
    for group in groups:
        last, lot = group[-1][1], None
        lines = []
        for match, section in group:
            lot = match if match["lot"] else lot
            lines.append(_line(match, section or (None if lot else last), finding, lot))
        end = group[-1][0].end()
        lines += [*_taken_out(finding.remedy, end, lines[-1]), *_replaced(finding.remedy, end, lines[-1])]
        ways.append(Way(lines=tuple(lines), first=not ways))
    return ways


def _replaced(remedy: str, end: int, beside: Line) -> list[Line]:
    """What goes where a line is typed "in place of" another one, or of "what stands there"."""
    put = re.match(r"(?: or more)? in place of (?:what stands there|(?P<key>[a-z_]+)\b)", remedy[end:])
    if put is None:
        return []
    alike = next((group for group in _ONE_OF if beside.key in group), set())
    gone = sorted(alike - {beside.key}) if "what stands there" in put[0] else [put["key"]]
    return [Line(section=beside.section, number=0, key=key, value=None) for key in gone]


def _taken_out(remedy: str, start: int, beside: Line) -> list[Line]:
    """Keys to be taken out with what was typed: "and take cover out", before another way begins."""
    out = _OUT.search(remedy, start)
    if out is None or _APART.search(_NOT_APART.sub("", remedy[start : out.start()])):
        return []
    return [
        Line(section=beside.section, number=beside.number, key=key, value=None)
        for key in re.split(r", | and ", out["keys"])
    ]


def _line(match: re.Match[str], section: str | None, finding: Finding, lot: re.Match[str] | None) -> Line:
    key, number = match["key"], 0
    at = re.match(r"([a-z_]+)(?:\[(\d+)\])?", finding.where)
    assert at is not None
    if lot is not None and match["section"] is None:
        section, number = lot["lot"], -2 if _AS_FIRST in finding.remedy[lot.end() :] else -1
    elif "." in key:
        section, _, key = key.rpartition(".")
        if numbered := re.fullmatch(r"([a-z_]+)\[(\d+)\]", section):
            section, number = numbered[1], int(numbered[2])
    elif section is None:
        section = at[1] if f"{at[1]}.{key}" in KEYS else _only_section(key)
    if section in REPEATED and number == 0:
        number = int(at[2] or 0) if section == at[1] else 0
    value = tomllib.loads(f"value = {match['value']}")["value"]
    return Line(section=section, number=number, key=key, value=value)


def _only_section(key: str) -> str:
    sections = [one.section for one in KEYS.values() if one.leaf == key]
    assert len(sections) == 1, f"{key} stands under {sections}"
    return sections[0]


_ONE_OF = (
    {"fineness", "length", "diameter"},
    {"grade", "density", "composition", "weighed"},
)


def typed(table: PlanTable, lines: Iterable[Line]) -> PlanTable:
    """The plan with the lines typed in.

    Args:
        table: As it was; it stays so.
        lines: To type.
    """
    new = copy.deepcopy(table)
    grown: dict[str, Any] = {}
    for line in lines:
        if line.number < 0:
            if line.section not in grown:
                grown[line.section] = dict(new[line.section][0]) if line.number == -2 else {}
                new.setdefault(line.section, []).append(grown[line.section])
            grown[line.section][line.key] = line.value
            continue
        if line.section in REPEATED:
            rows = new[line.section]
            sections = rows if line.number == 0 else [rows[line.number - 1]]
        else:
            sections = [new.setdefault(line.section, {})]
        for section in sections:
            if line.value is None:
                section.pop(line.key, None)
            else:
                section[line.key] = line.value
    return new


@dataclass
class Tried:
    """One way typed in: what it was of and what came of it."""

    code: str
    where: str
    remedy: str
    lines: tuple[Line, ...]
    stays: bool
    stops: tuple[tuple[str, str], ...]
    fault: str = ""

    @property
    def clears(self) -> bool:
        """Whether it did what the remedy says."""
        return not (self.stays or self.fault or self.stops)


_JOINT_AGAIN = "Then plan the joint again"
"""What a remedy says that changes the bulb under its joint: what the screws then need is reported as it comes."""
_JOINT = ("screws", "cross_pins", "studs", "fin.pocket_depth", "fin.tip_chord")


@dataclass
class Count:
    """Tried and cleared, by code."""

    tried: Counter[str] = field(default_factory=Counter)
    cleared: Counter[str] = field(default_factory=Counter)
    seen: Counter[str] = field(default_factory=Counter)
    failures: list[tuple[int, Tried]] = field(default_factory=list)

    def add(self, seed: int, one: Tried) -> None:
        """Count one more."""
        self.tried[one.code] += 1
        self.cleared[one.code] += one.clears
        if not one.clears:
            self.failures.append((seed, one))


def job_of(table: PlanTable) -> Job:
    """The plan run without files."""
    return run(read_plan(plan_text(table), source="typed.toml"), standing="no")


def stops_of(job: Job) -> set[tuple[str, str]]:
    """Code and place of every stop."""
    return {(one.code, one.where) for one in job.findings if one.severity is Severity.STOP}


def tried_ways(table: PlanTable, job: Job) -> Iterator[Tried]:
    """Each way out of each finding, typed alone.

    Args:
        table: The plan.
        job: What it gave.
    """
    before = stops_of(job)
    done: set[tuple[str, str, tuple[str, ...]]] = set()
    for finding in job.findings:
        for way in ways_of(finding):
            mark = (finding.code, finding.where, tuple(map(str, way.lines)))
            if mark in done:
                continue
            done.add(mark)
            yield _tried(table, [finding], way.lines, before, job.findings)


TOGETHER = (
    ("pot-too-small", "scrap-short", "fuel-short"),
    (
        *("hole-breaks-out", "wall-thin", "recess-too-deep", "recess-meets-pocket", "recesses-meet"),
        *("screw-outside-pocket", "screw-outside-fin", "fin-cheek-thin", "screw-short"),
    ),
)
"""Findings of which several come at once and are answered at once: shortages, and the screws under one fin."""


def tried_together(table: PlanTable, job: Job) -> Iterator[Tried]:
    """The first way out of every finding of a kind, all typed in at once, where there are two or more.

    Of two that name the same line differently the first is typed, and its finding alone is asked after.
    """
    for codes in TOGETHER:
        one = _together(table, job, [finding for finding in job.findings if finding.code in codes])
        if one is not None:
            yield one


def _together(table: PlanTable, job: Job, findings: list[Finding]) -> Tried | None:
    lines: dict[tuple[str, int, str], Line] = {}
    answered: list[Finding] = []
    for finding in findings:
        ways = ways_of(finding)
        if not ways:
            continue
        mine = {(line.section, line.number, line.key): line for line in ways[0].lines}
        if any(place in lines and lines[place] != line for place, line in mine.items()):
            continue
        lines |= mine
        answered.append(finding)
    if len(answered) < 2:
        return None
    return _tried(table, answered, tuple(lines.values()), stops_of(job), job.findings)


def _tried(
    table: PlanTable,
    findings: list[Finding],
    lines: tuple[Line, ...],
    before: set[tuple[str, str]],
    said: tuple[Finding, ...],
) -> Tried:
    one = Tried(
        code=findings[0].code if len(findings) == 1 else "all together",
        where=", ".join(f"{finding.code} {finding.where}" for finding in findings),
        remedy=" | ".join(finding.remedy for finding in findings),
        lines=lines,
        stays=False,
        stops=(),
    )
    try:
        again = job_of(typed(table, lines))
    except PlanError as error:
        one.fault = str(error)
        return one

    # Another matter of the same code that stood beside it, known by its own fix, is not the one that was answered.
    left = []
    for finding in findings:
        mark = (finding.code, finding.where, finding.severity)
        beside = {other.remedy for other in said if (other.code, other.where, other.severity) == mark}
        beside.discard(finding.remedy)
        if any((o.code, o.where, o.severity) == mark and o.remedy not in beside for o in again.findings):
            left.append(finding)
    one.stays = bool(left)
    if len(findings) > 1:
        one.where = ", ".join(f"{finding.code} {finding.where}" for finding in left) or "all gone"
    new = stops_of(again) - before
    if any(_JOINT_AGAIN in finding.remedy for finding in findings):
        new = {stop for stop in new if not stop[1].startswith(_JOINT)}
    one.stops = tuple(sorted(new))
    return one
