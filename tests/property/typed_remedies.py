"""Fixes typed as shown: the lines of a finding are put into the plan, and the plan is run again.

The text of a remedy shows the same lines, with a key, "=" and a value, as in the file.
"""

from __future__ import annotations

import copy
import re
import tomllib
from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from itertools import groupby

from random_plans import PlanTable, plan_text

from bulbcast.findings import Finding, Line, Severity
from bulbcast.job import Job, run
from bulbcast.plan.faults import PlanError
from bulbcast.plan.keys import KEYS, REPEATED
from bulbcast.plan.reading import read_plan

_SHOWN = re.compile(
    r'\b(?P<leaf>[a-z_]+) = (?P<value>"[^"]*"|\{[^}]*\}|-?\d+(?:\.\d+)?(?![\d/]|\.\d| [\dmi]))'
)
PLAIN = {
    **dict.fromkeys(
        (key.leaf for key in KEYS.values() if key.acceptance), "a sentence that the builder types"
    ),
    "condition": "scrap is looked through, or dried, first",
    "kind": "scrap is weighed first",
    "weighed": "the figures are measured first",
    "section": "the figures that go with it are measured first",
    "drying": "only the builder knows whether it was baked",
    "cured_at": "stands for the maker's figure; the one shown is only an example",
    "cured_for": "stands for the maker's figure; the one shown is only an example",
}
"""Keys whose value may be shown in a remedy without being part of its fix, with the reason for each."""


def shown_and_not_borne(finding: Finding) -> list[tuple[str, str]]:
    """Keys shown with a value in a finding's remedy that are neither in its fix nor exempt."""
    borne = {(line.key.rpartition(".")[2], line.value) for line in finding.fix}
    pairs = [(match["leaf"], match["value"]) for match in _SHOWN.finditer(finding.remedy)]
    return [pair for pair in pairs if pair not in borne and pair[0] not in PLAIN]


def ways_of(finding: Finding) -> list[tuple[Line, ...]]:
    """All alternatives of a finding's fix, each with the lines to be typed together."""
    return [tuple(lines) for _, lines in groupby(finding.fix, key=lambda line: line.way)]


def typed(table: PlanTable, lines: Iterable[Line]) -> PlanTable:
    """The plan with the given lines added.

    Args:
        table: Table of the plan, which is not changed.
        lines: Lines to type.
    """
    new = copy.deepcopy(table)
    for line in lines:
        at = re.fullmatch(r"([a-z_]+)(?:\[(\d+)\])?(?:\.([a-z_]+))?", line.key)
        assert at is not None, line
        assert (at[1] in REPEATED) == (at[2] is not None), line
        section, value = (
            at[1],
            None if line.value is None else tomllib.loads(f"value = {line.value}")["value"],
        )
        rows = new.setdefault(section, [] if at[2] else {})
        if at[2]:
            rows.extend([{}] * (int(at[2]) == len(rows) + 1))
        row = rows[int(at[2]) - 1] if at[2] else rows
        if at[3] is None:
            assert value.startswith(f"{section}[")
            row |= rows[int(value[len(section) + 1 : -1]) - 1] | row
        elif value is None:
            del row[at[3]]
        else:
            row[at[3]] = value
    return new


@dataclass
class Tried:
    """One of the alternatives offered by a fix, with its finding and the result of typing it."""

    code: str
    where: str
    remedy: str
    lines: tuple[Line, ...]
    stays: bool
    stops: tuple[tuple[str, str], ...]
    fault: str = ""

    @property
    def clears(self) -> bool:
        """Whether this alternative had the effect that the remedy promises."""
        return not (self.stays or self.fault or self.stops)


_JOINT_AGAIN = "Then plan the joint again"
"""Text found in remedies that change the bulb under its joint; new stops on the joint are then ignored."""
_ANSWERS = ("thread-short-in-wood",)
"""Findings whose fix is an answer that may reveal a stop, such as a thread that is too short in wood."""
_MOST_FOLLOWED = 2
"""Largest number of rounds of follow-up fixes in other sections, typed as a builder would: a longer bulb, a pattern in
more pieces, a longer screw. After that, no new stop may remain."""
_JOINT = ("screws", "cross_pins", "studs", "fin.pocket_depth", "fin.tip_chord")


@dataclass
class Count:
    """Numbers of fixes tried and findings cleared, by code."""

    tried: Counter[str] = field(default_factory=Counter)
    cleared: Counter[str] = field(default_factory=Counter)
    seen: Counter[str] = field(default_factory=Counter)
    failures: list[tuple[int, Tried]] = field(default_factory=list)

    def add(self, seed: int, one: Tried) -> None:
        """Count one more fix that was tried."""
        self.tried[one.code] += 1
        self.cleared[one.code] += one.clears
        if not one.clears:
            self.failures.append((seed, one))


def job_of(table: PlanTable) -> Job:
    """Run the plan without files."""
    return run(read_plan(plan_text(table), source="typed.toml"), standing="no")


JobOf = Callable[[PlanTable], Job]


def stops_of(job: Job) -> set[tuple[str, str]]:
    """Code and place of every stop."""
    return {(one.code, one.where) for one in job.findings if one.severity is Severity.STOP}


def tried_ways(table: PlanTable, job: Job, again: JobOf = job_of) -> Iterator[Tried]:
    """Type each alternative of each finding's fix by itself.

    Args:
        table: The plan.
        job: The job of that plan.
        again: Function that runs a plan.
    """
    before = stops_of(job)
    done: set[tuple[str, str, tuple[str, ...]]] = set()
    for finding in job.findings:
        for way in ways_of(finding):
            mark = (finding.code, finding.where, tuple(map(str, way)))
            if mark in done:
                continue
            done.add(mark)
            yield _tried(table, [finding], way, before, job.findings, again)


TOGETHER = (
    ("pot-too-small", "scrap-short", "fuel-short"),
    (
        *("hole-breaks-out", "wall-thin", "recess-too-deep", "recess-meets-pocket", "recesses-meet"),
        *("screw-outside-pocket", "screw-outside-fin", "fin-cheek-thin", "screw-short"),
    ),
)
"""Findings that occur together and are fixed together: shortages, and findings on the screws in one fin."""


def tried_together(table: PlanTable, job: Job) -> Iterator[Tried]:
    """Type the first alternatives of all findings in a group together, if at least two of them can be typed.

    If two give different values for the same line, only the first is typed and only its finding is checked.
    """
    for codes in TOGETHER:
        one = _together(table, job, [finding for finding in job.findings if finding.code in codes])
        if one is not None:
            yield one


def _together(table: PlanTable, job: Job, findings: list[Finding]) -> Tried | None:
    lines: dict[str, Line] = {}
    answered: list[Finding] = []
    for finding in findings:
        ways = ways_of(finding)
        if not ways:
            continue
        mine = {line.key: line for line in ways[0]}
        if any(key in lines and lines[key] != line for key, line in mine.items()):
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
    run_again: JobOf = job_of,
) -> Tried:
    one = Tried(
        code=findings[0].code if len(findings) == 1 else "all together",
        where=", ".join(f"{finding.code} {finding.where}" for finding in findings),
        remedy=" | ".join(finding.remedy for finding in findings),
        lines=lines,
        stays=False,
        stops=(),
    )
    joint_again = any(_JOINT_AGAIN in finding.remedy for finding in findings)
    about = {_section(finding.where) for finding in findings} | {_section(line.key) for line in lines}
    try:
        plan = typed(table, lines)
        again = run_again(plan)
        for _ in range(_MOST_FOLLOWED):
            new = _new_stops(again, before, joint_again)
            follows = _fixes_of_others(again, new, about)
            if not follows:
                break
            plan = typed(plan, follows)
            again = run_again(plan)
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
    new = _new_stops(again, before, joint_again)
    one.stops = () if one.code in _ANSWERS else tuple(sorted(new))
    return one


def _new_stops(job: Job, before: set[tuple[str, str]], joint_again: bool) -> set[tuple[str, str]]:
    new = stops_of(job) - before
    return {stop for stop in new if not (joint_again and stop[1].startswith(_JOINT))}


def _section(where: str) -> str:
    return re.split(r"[\[.,]", where, maxsplit=1)[0]


def _fixes_of_others(job: Job, new: set[tuple[str, str]], about: set[str]) -> tuple[Line, ...]:
    """The first alternative for every new stop, if every such stop is in an untouched section and has a fix."""
    lines: dict[str, Line] = {}
    for finding in job.findings:
        if (finding.code, finding.where) not in new:
            continue
        ways = ways_of(finding)
        if _section(finding.where) in about or not ways:
            return ()
        lines |= {line.key: line for line in ways[0]}
    return tuple(lines.values())
