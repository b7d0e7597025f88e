"""The report is complete, in the right order, escaped and self-contained, and withholds what is on hold."""

from __future__ import annotations

import base64
import hashlib
import re
from dataclasses import replace
from html import escape, unescape
from html.parser import HTMLParser

import numpy as np
import pytest

from bulbcast import __version__
from bulbcast.findings import Severity
from bulbcast.job import Job, run
from bulbcast.job.asked import asked_rows
from bulbcast.job.html import ViewMesh, report_html
from bulbcast.job.step_states import step_states
from bulbcast.job.terminal import terminal_text
from bulbcast.materials.patterns import pattern_materials
from bulbcast.plan.keys import KEYS
from bulbcast.plan.reading import read_plan
from bulbcast.quantities import in_one_unit
from bulbcast.quantities.prose import imperial_first, in_her_units
from bulbcast.report.sources import shown_source
from bulbcast.report.steps import STEP_NAMES
from bulbcast.safety import cautions

PLAN = """
{name}
display_units = "{units}"
[bulb]
target_mass = "{mass}"
fineness = 5.5
skin = "0.2 mm"
[alloy]
{alloy}
[fin]
tip_chord = "{chord}"
tip_thickness = "{thick}"
pocket_depth = "{depth}"
rake = "{rake}"
[[screws]]
at = "15 mm"
diameter = "4 mm"
hole_diameter = "4.5 mm"
head_diameter = "8 mm"
head_height = "2.6 mm"
recess = "{recess}"
length = "{length}"
[pattern]
{pattern}
"""
HOSTILE = '<script>alert(1)</script> & \\"Co\\" <img src=x onerror=y>'


def job_of(
    *,
    name: str = 'name = "Thistledown"',
    units: str = "metric",
    mass: str = "2.1 kg",
    alloy: str = 'grade = "pure"',
    chord: str = "72 mm",
    thick: str = "7.5 mm",
    depth: str = "7 mm",
    rake: str = "0 deg",
    recess: str = "8 mm",
    length: str = "40 mm",
    pattern: str = "",
    source: str = "thistledown.toml",
) -> Job:
    text = PLAN.format(
        name=name, units=units, mass=mass, alloy=alloy, chord=chord, thick=thick, depth=depth, rake=rake,
        recess=recess, length=length, pattern=pattern,
    )  # fmt: skip
    return run(read_plan(text, source=source))


CASES = {
    "plain": {},
    "imperial": {"units": "imperial"},
    "stop": {"recess": "70 mm"},
    "unknown alloy": {"alloy": 'grade = "unknown"'},
    "fastening on hold": {"depth": "0 mm"},
    "too heavy to carry": {"mass": "12.5 kg", "chord": "110 mm", "length": "75 mm"},
    "for two": {"mass": "60 kg", "chord": "200 mm", "length": "130 mm"},
    "a job for a foundry": {"mass": "150 kg", "chord": "250 mm", "thick": "10 mm", "length": "180 mm"},
    "hostile name": {"name": f'name = "{HOSTILE}"', "source": "<i>plan</i>.toml"},
    "raked": {"rake": "12 deg"},
    "composition": {"alloy": "composition = {Pb = 96, Sb = 4}"},
    "weighed": {"alloy": 'weighed = {in_air = "512.0 g", in_water = "466.4 g"}'},
}


class _Reader(HTMLParser):
    """Parser for a page: tags in order with their attributes, and the text outside script and style."""

    def __init__(self, page: str) -> None:
        super().__init__(convert_charrefs=True)
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.text = ""
        self.open: list[str] = []
        self.faults: list[str] = []
        self.feed(page)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))
        if tag not in ("meta", "br"):
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))

    def handle_endtag(self, tag: str) -> None:
        if not self.open or self.open.pop() != tag:
            self.faults.append(tag)

    def handle_data(self, data: str) -> None:
        if self.open and self.open[-1] not in ("script", "style"):
            self.text += data + " "


@pytest.fixture(scope="module")
def jobs() -> dict[str, Job]:
    return {name: job_of(**changes) for name, changes in CASES.items()}


@pytest.fixture(scope="module")
def pages(jobs) -> dict[str, str]:
    return {name: report_html(job, None) for name, job in jobs.items()}


def hers(job: Job, words: str) -> str:
    """Text with the builder's units first."""
    return imperial_first(words) if job.shown.units == "imperial" else words


@pytest.mark.parametrize("case", CASES)
def test_every_tag_is_closed_in_its_turn(pages, case):
    reader = _Reader(pages[case])
    assert reader.faults == []
    assert reader.open == []


@pytest.mark.parametrize("case", CASES)
def test_the_page_fetches_nothing(pages, case):
    page = pages[case]
    assert "http://" not in page
    assert "https://" not in page
    for tag, attributes in _Reader(page).tags:
        assert tag not in ("link", "img", "iframe", "object", "embed", "base")
        assert "src" not in attributes
        for place in ("href", "xlink:href"):
            assert (attributes.get(place) or "#").startswith("#")
    assert re.findall(r"url\((?!#)", page) == []
    assert "@import" not in page


@pytest.mark.parametrize("case", CASES)
def test_every_anchor_leads_somewhere_and_no_name_stands_twice(pages, case):
    tags = _Reader(pages[case]).tags
    names = [attributes["id"] for _, attributes in tags if attributes.get("id")]
    assert len(set(names)) == len(names)
    links = {attributes["href"][1:] for tag, attributes in tags if tag == "a"}
    assert links <= set(names)
    # A hatch is referred to by the name of its pattern.
    assert set(re.findall(r"url\(#([^)]+)\)", pages[case])) <= set(names)


@pytest.mark.parametrize("case", CASES)
def test_every_finding_is_reported_in_full(jobs, pages, case):
    text = _Reader(pages[case]).text
    for finding in jobs[case].findings:
        if jobs[case].figures_withheld(finding):
            assert finding.brief in text
            assert finding.message not in text
        else:
            assert finding.message in text
            assert finding.remedy in text
        assert f"{finding.where} \u00b7 {finding.code}" in text


@pytest.mark.parametrize("case", CASES)
def test_every_ledger_line_default_and_step_is_there(jobs, pages, case):
    job, text = jobs[case], _Reader(pages[case]).text
    shown = job.shown
    rows = [
        (shown.volume(one.piece.volume), shown.density(one.density), shown.mass(one.mass))
        for one in job.bulb.lines
    ]
    for line, row in zip(job.bulb.lines, in_one_unit([*rows, (shown.mass(job.bulb.mass),)]), strict=False):
        said = r"\s+".join(map(re.escape, (line.name, *row)))
        assert re.search(rf"{said}\s", text), line.name
    for taken in job.defaults:
        # In the builder's units and in one for the whole column, whatever the key's own text.
        source = re.escape(in_her_units(shown_source(taken.source), shown.units))
        assert re.search(rf"{re.escape(taken.key)}\s+\S.{{0,40}}\s+{source}", text)
    steps, changes = job.pattern.steps, [cost.mass_change * job.cast.mass for cost in job.rules]
    for step, (mass,) in zip(
        steps, in_one_unit([(shown.mass(one.lead_mass),) for one in steps]), strict=True
    ):
        assert step.name in text
        assert mass in text
    for cost, (mass,) in zip(job.rules, in_one_unit([(shown.mass(one),) for one in changes]), strict=True):
        assert cost.rule.name in text
        assert mass in text
        assert shown_source(cost.rule.source) in text
    assert job.shown.torque(abs(job.balance.twist_at_90)) in text
    assert job.plan.sha256 in text
    assert __version__ in text


def melt_texts(job):
    """Charge, feeder, reserve and dross as shown separately and in the melt list, in metric and imperial units.

    Masses of two digits, such as "8.9 oz", are omitted, since they may equal other masses, such as that of a plastic
    pattern.
    """
    melt = job.melt
    masses = (melt.cast_mass, melt.feeder, melt.reserve, melt.dross, melt.charge)
    both = [tuple(map(shown.mass, masses)) for shown in (job.shown, job.shown.other)]
    alone = [text for row in both for text in row[1:]]
    said = [*alone, *(text for row in in_one_unit(both) for text in row[1:])]
    return [text for text in said if sum(letter.isdigit() for letter in text) > 2]


@pytest.mark.parametrize("case", CASES)
def test_every_caution_stands_before_the_first_figure_of_the_melt(jobs, pages, case):
    text = _Reader(pages[case]).text
    last = max(text.index(hers(jobs[case], one.short)) for one in cautions())
    for said in melt_texts(jobs[case]):
        first = text.find(f" {said}")
        assert first < 0 or first > last, said
    for finding in jobs[case].findings:
        if finding.where == "melt":
            assert text.index(finding.message) > last


def test_a_finding_on_the_melt_is_reported_at_the_top_without_its_figures(pages):
    text = _Reader(pages["for two"].split("<main>")[1]).text
    pointer = (
        "The charge needs two people and a pot that is tapped or tilted. Its figures are given with the melt, after the "
        "cautions for lead."
    )
    text = " ".join(text.split())
    assert text.index(pointer) < text.index("Key figures")


def test_the_answer_comes_first_and_the_steps_in_the_order_of_the_work(pages):
    text = _Reader(pages["plain"].split("<main>")[1]).text
    said = (
        "The pattern can be made;",
        "The bulb from the side",
        "Hung mass",
        "What to fix",
        "Before any lead is melted",
        "To buy,",
    )
    rest = ("Key figures", "Cautions: read them before", "Confidence in the casting", "Values in the plan")
    places = [text.index(words) for words in (*said, *rest)]
    assert places == sorted(places)
    page = pages["plain"]
    steps = [page.index(f'id="step-{name}"') for name in STEP_NAMES]
    assert steps == sorted(steps)
    assert steps[1] < page.index('id="cautions"') < steps[2]
    assert steps[5] < page.index('id="confidence"')


def test_every_table_is_folded_and_of_the_drawings_the_fairness_alone(pages):
    shown = re.sub(r"<details>.*?</details>", "", pages["for two"], flags=re.DOTALL)
    assert "<table" not in shown
    assert shown.count("<svg") == pages["for two"].count("<svg") - 1
    assert "Does it look fair?" not in shown
    assert all(one.short in unescape(shown) for one in cautions())


def test_a_stop_says_so_first(jobs, pages):
    assert jobs["stop"].stopped
    text = " ".join(_Reader(pages["stop"].split("<main>")[1]).text.split())
    words = "This bulb must not be made as planned. 1 finding says stop, and no pattern file was written."
    assert text.index(words) < text.index("What to fix")
    assert "A finding says stop, so no pattern file was written. Do not make a pattern." in text


def test_only_a_stop_says_that_no_pattern_was_written(jobs, pages):
    for name, page in pages.items():
        assert ("no pattern file was written" in page) == jobs[name].stopped


FOUNDRY = """\
[bulb]
target_mass = "1450 kg"
[alloy]
grade = "antimonial-4"
[fin]
tip_chord = "900 mm"
tip_thickness = "90 mm"
[mould]
material = "sand"
sand_kind = "oil-bonded"
"""


def test_a_step_says_what_holds_it_and_how_many_findings_more_do(jobs, pages):
    job = run(read_plan(FOUNDRY, source="duchess.toml"))
    counted, pointed_back = [], []
    for one, page in ((job, report_html(job, None)), *((jobs[case], pages[case]) for case in jobs)):
        work = page.split('<section id="work">')[1].split("</section>")[0]
        shown_at = {}
        for place, step in enumerate(step_states(one), start=1):
            if step.missing or not step.reasons or one.stopped:
                continue
            said = work.split(f'href="#step-{step.name}"')[1].split("</li>")[0]
            assert "on hold" in said
            earlier = shown_at.setdefault(tuple((two.code, two.where) for two in step.reasons), place)
            if earlier != place:
                assert said.endswith(f">for the same reason as step {earlier}</span>")
                pointed_back.append(step.name)
                continue
            more = len(step.reasons) - 1
            words = {0: "", 1: " And 1 more finding."}.get(more, f" And {more} more findings.")
            assert said.endswith(f"{words}</span>")
            assert ("more finding" in said) == (more > 0)
            # The step itself names them all.
            shown = page.split(f'id="step-{step.name}"')[1].split("</p>")[0]
            assert all(finding.code in shown for finding in step.reasons)
            counted.append(more)
    assert {0, 1} <= set(counted)
    assert "pour" in pointed_back


@pytest.mark.parametrize("case", ["unknown alloy", "a job for a foundry"])
def test_a_hold_on_the_pour_withholds_the_melt_with_its_reason(jobs, pages, case):
    job = jobs[case]
    assert job.pour_withheld
    melt = pages[case].split('<section id="melt">')[1].split("</section>")[0]
    assert ("The melt and the pour are withheld." in melt) == bool(job.melt_withheld)
    assert ("The pour is withheld. The charge is shown so that you can buy metal and a pot." in melt) != bool(
        job.melt_withheld
    )
    for finding in job.pour_withheld:
        assert escape(finding.message) in melt
        assert escape(finding.remedy) in melt
    assert ("<table" in melt) == ("<svg" in melt) == (not job.melt_withheld)
    assert "Fully liquid above" not in pages[case]
    assert "On hold" in melt


@pytest.mark.parametrize("case", ["plain", "imperial", "for two"])
def test_a_pour_that_is_not_on_hold_has_its_melt(jobs, pages, case):
    job = jobs[case]
    text = _Reader(pages[case]).text
    assert all(one in text for one in melt_texts(job)[-8:])
    assert job.shown.temperature_both(job.alloy.liquidus) in text
    assert "withheld" not in text


def test_a_hold_on_the_fastening_withholds_the_screws_with_the_reason(jobs, pages):
    page = pages["fastening on hold"]
    card = page.split('<section id="fastening">')[1].split("</section>")[0]
    finding = next(one for one in jobs["fastening on hold"].findings if one.code == "fastening-not-shown")
    assert finding.severity is Severity.HOLD
    assert escape(finding.message) in card
    assert "<table" not in card


def test_names_are_text_and_never_markup(jobs, pages):
    page = pages["hostile name"]
    assert jobs["hostile name"].plan.name == HOSTILE.replace("\\", "")
    assert "<script>alert" not in page
    assert "<img" not in page
    assert "<i>plan" not in page
    assert page.count(escape(jobs["hostile name"].plan.name)) >= 3


def test_the_plans_own_values_are_echoed_in_both_systems(jobs, pages):
    rows = {key: (own, other) for key, own, other, _ in asked_rows(jobs["plain"])}
    assert rows["bulb.target_mass"] == ("2100.0 g", "4 lb 10.1 oz")
    assert rows["fin.tip_chord"] == ("72.0 mm", "2 27/32 in")
    assert rows["screws[1].head_height"] == ("2.60 mm", "3/32 in")
    assert rows["bulb.fineness"] == ("5.5", "")
    assert rows["alloy.grade"] == ("pure", "")
    text = _Reader(pages["plain"]).text
    assert KEYS["screws.recess"].about in text


def test_what_was_asked_and_what_was_taken_never_share_a_key(jobs):
    for job in jobs.values():
        asked = {row[0] for row in asked_rows(job)}
        assert asked.isdisjoint(default.key for default in job.plan.defaults)


def test_a_composition_and_a_weighed_sample_are_echoed(jobs):
    rows = {row[0]: row[1] for row in asked_rows(jobs["composition"])}
    assert rows["alloy.composition"] == "Pb 96.0 %, Sb 4.00 %"
    rows = {row[0]: row[1] for row in asked_rows(jobs["weighed"])}
    assert rows["alloy.weighed.in_air"] == "512.0 g"


def test_the_pattern_is_weighed_in_its_usual_materials_or_in_its_own(jobs, pages):
    job, text = jobs["plain"], _Reader(pages["plain"]).text
    materials, shown = pattern_materials(), job.shown
    masses = [
        tuple(shown.mass(one * job.pattern.volume) for one in (each.density, each.lowest, each.highest))
        for each in materials
    ]
    for material, (mass, low, high) in zip(materials, in_one_unit(masses), strict=True):
        assert mass in text
        assert f"{low} to {high}" in text
        assert shown_source(material.source) in text
    own = job_of(pattern='density = "0.62 g/cm3"')
    text = _Reader(report_html(own, None)).text
    assert own.shown.mass(620.0 * own.pattern.volume) in text
    assert "tooling board" not in text


def test_filing_is_reported_by_mass_and_as_weigh_until_it_is_gone(jobs, pages):
    text = _Reader(pages["plain"]).text
    assert re.search(
        rf"To be filed off\s+{re.escape(jobs['plain'].shown.mass(jobs['plain'].cast.finish_mass))}\s", text
    )
    assert "weighing it until that mass is gone" in text


def test_the_same_job_gives_the_same_bytes(pages):
    assert report_html(job_of(), None) == pages["plain"]


def test_severities_are_reported_by_word_and_sign_as_well_as_colour(jobs, pages):
    for name, page in pages.items():
        for finding in jobs[name].findings:
            assert f"</span> {finding.severity.value.capitalize()}</span>" in page


def test_the_mesh_is_carried_as_single_precision_millimetres():
    corners = np.array([[0.0, 0.0, 0.0], [10.5, 0.0, 0.0], [0.0, 2.25, 0.0], [0.0, 0.0, 1.125]])
    faces = np.array([[0, 2, 1], [0, 1, 3], [1, 2, 3], [2, 0, 3]])
    page = report_html(job_of(), ViewMesh(positions=corners, triangles=faces))

    def carried(name: str) -> bytes:
        found = re.search(rf'id="{name}">([A-Za-z0-9+/=]+)</script>', page)
        return base64.b64decode(found.group(1))

    assert np.array_equal(np.frombuffer(carried("solid-positions"), "<f4").reshape(-1, 3), corners)
    assert np.array_equal(np.frombuffer(carried("solid-triangles"), "<u4").reshape(-1, 3), faces)
    assert "getContext" in page
    assert "The solid cannot be shown here" in page
    assert "http:" not in page


def test_without_a_mesh_there_is_no_viewer(pages):
    assert pages["plain"].count("<script") == 1
    assert "SolidViewer" not in pages["plain"]


@pytest.mark.parametrize("case", CASES)
def test_the_page_may_do_what_its_own_hashes_name_and_nothing_else(pages, case):
    page = pages[case]
    policy = re.search(r'Content-Security-Policy" content="([^"]+)"', page)[1]
    rules = dict(one.split(" ", 1) for one in policy.split("; "))
    assert rules["default-src"] == "'none'"
    for tag, name in (("style", "style-src"), ("script", "script-src")):
        found = re.findall(rf"<{tag}>(.*?)</{tag}>", page, re.DOTALL)
        hashes = [base64.b64encode(hashlib.sha256(one.encode()).digest()).decode() for one in found]
        assert rules[name].split() == [f"'sha256-{one}'" for one in hashes]
    assert not re.search(r"<[^>]+ (style|on\w+)=", page)


# The terminal.


@pytest.mark.parametrize("case", CASES)
@pytest.mark.parametrize("width", [40, 80, 132])
def test_the_terminal_tells_every_finding_ledger_line_and_caution(jobs, case, width):
    job = jobs[case]
    text = terminal_text(job, colour=False, width=width)
    flat = " ".join(text.replace("    - ", " ").split())
    for finding in job.findings:
        if job.figures_withheld(finding):
            assert finding.brief in flat
            assert finding.message not in flat
        else:
            assert finding.message in flat
            assert finding.remedy in flat
        assert f"{finding.severity.value.upper()} {finding.where} ({finding.code})" in flat
    masses = [(job.shown.mass(one.mass),) for one in job.bulb.lines]
    for line, (mass,) in zip(
        job.bulb.lines, in_one_unit([*masses, (job.shown.mass(job.bulb.mass),)]), strict=False
    ):
        assert f"{line.name} {mass}" in flat
    last = max(flat.index(hers(jobs[case], one.short)) for one in cautions())
    for said in melt_texts(job):
        first = flat.find(f" {said} ")
        assert first < 0 or first > last
    assert (" Charge " in flat) == (not job.melt_withheld)
    assert max(len(line) for line in text.splitlines()) <= max(72, min(width, 110))


def test_the_gravest_finding_is_reported_first_on_the_terminal(jobs):
    text = terminal_text(jobs["stop"], colour=False, width=100)
    assert text.index("This bulb must not be made as planned.") < text.index("STOP") < text.index("NOTE")


def test_the_terminal_is_coloured_only_when_asked(jobs):
    plain = terminal_text(jobs["stop"], colour=False, width=100)
    coloured = terminal_text(jobs["stop"], colour=True, width=100)
    assert "\x1b" not in plain
    assert "\x1b[1;31m" in coloured
    assert re.sub(r"\x1b\[[0-9;]*m", "", coloured) == plain


def test_the_terminal_ends_with_what_was_written(jobs):
    text = terminal_text(jobs["plain"], colour=False, width=100, written=("plan.json", "bulb.stl"))
    assert text.endswith("\nWritten\n  plan.json, bulb.stl\n")
    assert "Written" not in terminal_text(jobs["plain"], colour=False, width=100)


def test_a_name_cannot_command_the_terminal(jobs):
    job = replace(jobs["plain"], plan=replace(jobs["plain"].plan, name="Thistle\x1b[2Jdown\n"))
    text = terminal_text(job, colour=False, width=100)
    assert text.startswith("Thistle?[2Jdown?: ballast bulb\n")
