"""Every column has one unit, every spread the unit of its value, and workshop figures are suitably rounded."""

from __future__ import annotations

import math
import random
import re
from html.parser import HTMLParser

import pytest
from plans import EXAMPLES, example_text

from bulbcast.files.plan_file import load_plan
from bulbcast.job import run
from bulbcast.job.ballast_text import ballast_text
from bulbcast.job.html import report_html
from bulbcast.job.terminal import terminal_text
from bulbcast.plan.faults import PlanError
from bulbcast.plan.reading import read_plan

NAMES = ("fenwisp", "larkmoss", "osierling", "puddlejack", "saltmarrow")
# Every unit that a text may show, by what it measures; pounds and ounces together are one.
UNITS = {
    "length": ("mm", "m", "in", "ft"),
    "mass": ("g", "kg", "lb oz", "oz", "t"),
    "density": ("g/cm3", "kg/m3", "lb/in3", "lb/ft3"),
    "area": ("mm2", "cm2", "m2", "in2", "ft2"),
    "volume": ("cm3", "l", "in3", "ml", "m3"),
    "moment": ("g mm", "kg mm", "oz in"),
    "force": ("N", "kN", "lbf", "mN"),
    "torque": ("N m", "lbf in"),
    "pressure": ("MPa", "GPa", "psi", "kPa", "Pa"),
    "power": ("W", "kW", "BTU/h"),
    "stiffness": ("N m2", "lbf in2"),
    "speed": ("m/s", "kn"),
    "time": ("s", "min", "h"),
}
KINDS = {unit: kind for kind, units in UNITS.items() for unit in units}
_UNIT = "|".join(re.escape(unit) for unit in sorted([*KINDS, "lb"], key=len, reverse=True))
_FIGURE = re.compile(rf"(?<![\w.])[+-]?\d[\d .,/]*? ?({_UNIT})(?![\w/])")
_POUNDS = re.compile(r"(\d+) lb( [\d./ ]+ oz(?! in))?(?![\w/]| in)")


def units_in(cell: str) -> list[tuple[str, str]]:
    """Kind of quantity and unit of each figure in a cell, if the cell begins with a figure."""
    if not re.match(r"[+-]?\.?\d", cell):
        return []
    text = _POUNDS.sub(r"\1 lb oz", cell)
    return [(KINDS.get(unit, "mass"), unit) for unit in _FIGURE.findall(text)]


def mixed(heads, rows, *, timed: bool) -> list[tuple[int, str, set[str]]]:
    """Columns of a table that give one kind of quantity in several units; columns of text are not counted."""
    found: dict[tuple[int, str], set[str]] = {}
    for row in rows:
        for column, cell in enumerate(row):
            if column >= 2 and (
                not timed or heads[column : column + 1] in (["source"], ["note"], ["meaning"])
            ):
                continue
            for kind, unit in units_in(cell):
                # Where each row is another thing, a pause is counted in seconds and a wait in hours.
                if timed or kind != "time":
                    found.setdefault((column, kind), set()).add(unit)
    return [(column, kind, units) for (column, kind), units in found.items() if len(units) > 1]


class _Tables(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.tables: list[tuple[bool, list[list[str]]]] = []
        self._open = self._head = False

    def handle_starttag(self, tag, attrs):
        if tag == "table":
            self.tables.append((False, []))
        elif tag == "thead":
            self.tables[-1] = (True, self.tables[-1][1])
        elif tag == "tr":
            self.tables[-1][1].append([])
        elif tag in ("td", "th"):
            self.tables[-1][1][-1].append("")
            self._open = True

    def handle_endtag(self, tag):
        if tag in ("td", "th"):
            self._open = False

    def handle_data(self, data):
        if self._open:
            self.tables[-1][1][-1][-1] += data


def html_tables(page: str):
    """Every table of an HTML page: whether it has a header, and its rows."""
    parser = _Tables()
    parser.feed(page)
    return parser.tables


def text_tables(page: str):
    """Tables in terminal text: blocks of lines with columns separated by two spaces."""
    tables, rows = [], []
    for line in [*page.splitlines(), ""]:
        cells = re.split(r" {2,}", line.strip())
        if line.startswith("  ") and not line.startswith("    ") and len(cells) > 1:
            rows.append(cells)
        elif not line.startswith("    "):
            if rows:
                tables.append((not units_in(rows[0][1]), rows))
            rows = []
    return tables


def faults_of(job) -> list[object]:
    pages = [("report", html_tables(report_html(job, None)))]
    pages.append(("plan", text_tables(terminal_text(job, colour=False, width=110))))
    if job.boat is not None:
        pages.append(("ballast", text_tables(ballast_text(job, job.boat, colour=False, width=110, tests=()))))
    counted = sum(len(tables) for _, tables in pages)
    assert counted > 15
    return [
        (page, rows[0], fault)
        for page, tables in pages
        for headed, rows in tables
        for fault in mixed(rows[0], rows, timed=headed)
    ]


def example(name: str, units: str):
    _, offsets, hull = load_plan(EXAMPLES / f"{name}.toml")
    text = plan_text(name, units)
    return run(read_plan(text, source=f"{name}.toml"), offsets, hull)


def plan_text(name: str, units: str) -> str:
    text = example_text(name)
    return re.sub(r'display_units = "\w+"', f'display_units = "{units}"', text)


@pytest.mark.parametrize("units", ["metric", "imperial"])
@pytest.mark.parametrize("name", NAMES)
def test_every_column_of_every_table_has_one_unit(name, units):
    assert faults_of(example(name, units)) == []


def scaled_plan(name: str, units: str, ratio: float, more: str = "") -> str:
    """An example at another size, with lengths, areas, volumes and masses scaled to match."""
    powers = {"mm": 1, "m": 1, "g": 3, "kg": 3, "cm2": 2, "l": 3}

    def bigger(found: re.Match[str]) -> str:
        return f'"{float(found[1]) * ratio ** powers[found[2]]:.9g} {found[2]}"'

    text = re.sub(r'"(\d+(?:\.\d+)?) (mm|m|g|kg|cm2|l)"', bigger, plan_text(name, units))
    return text + more


def faults_of_random(seed: int) -> tuple[bool, list[object]]:
    """Whether a random plan had a solution, and the faults in its tables."""
    rng = random.Random(seed)
    name, units = rng.choice([one for one in NAMES if one != "larkmoss"]), rng.choice(["metric", "imperial"])
    more = rng.choice(["", "\n[resin]\n"])
    text = scaled_plan(name, units, math.exp(rng.uniform(math.log(0.4), math.log(4.0))), more)
    try:
        job = run(read_plan(text, source=f"{name}.toml"))
    except PlanError:
        return False, []
    return True, [(seed, name, units, fault) for fault in faults_of(job)]


def test_so_have_plans_of_other_sizes():
    made = [faults_of_random(seed) for seed in range(4)]
    assert sum(solved for solved, _ in made) >= 3
    assert [fault for _, faults in made for fault in faults] == []


@pytest.mark.slow
def test_so_have_many_plans_of_other_sizes():
    made = [faults_of_random(seed) for seed in range(100, 160)]
    assert sum(solved for solved, _ in made) >= 40
    assert [fault for _, faults in made for fault in faults] == []
