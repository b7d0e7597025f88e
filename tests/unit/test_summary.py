"""The one-screen summary on the terminal: steps, actions, figures, cautions, purchases and the next step."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from click.testing import CliRunner
from plans import EXAMPLES, LEAST, SCREW, command, example_text, job_of

from bulbcast.cli.main import group
from bulbcast.findings import Severity
from bulbcast.job import Job
from bulbcast.job.chapters import chapters
from bulbcast.job.html import report_html
from bulbcast.job.sheet import brief_cautions, next_step, sheet_of
from bulbcast.job.step_states import step_states
from bulbcast.job.summary import summary_text
from bulbcast.materials.screws import metal_of_screw
from bulbcast.quantities import Dimension, Shown, read_quantity
from bulbcast.quantities.frozen import replace
from bulbcast.quantities.prose import imperial_first
from bulbcast.quantities.typed import bought
from bulbcast.report.steps import STEP_NAMES, State

NAMES = sorted(path.stem for path in EXAMPLES.glob("*.toml"))
UNKNOWN = LEAST.replace('grade = "pure"', 'grade = "unknown"')
STOPPED = LEAST + 'pocket_depth = "6 mm"\n' + SCREW.replace('recess = "8 mm"', 'recess = "60 mm"')
MOULD = '[mould]\nmaterial = "plaster"\ndrying = "baked"\n'


def states(job: Job) -> dict[str, str]:
    return {one.name: one.state.value for one in step_states(job)}


def text_of(job: Job, width: int = 100, **more: object) -> str:
    return summary_text(job, colour=False, width=width, file="lark.toml", **more)


@pytest.mark.parametrize("name", NAMES)
def test_an_example_fits_a_screen_and_says_every_part_once(name: str) -> None:
    text = command("plan", EXAMPLES / f"{name}.toml").stdout
    lines = text.splitlines()
    assert len(lines) <= 40
    assert max(map(len, lines)) <= 110
    for start in ("Figures", "Before any lead is melted", "To buy, rounded up: "):
        assert sum(line.startswith(start) for line in lines) == 1
    said = imperial_first if name == "puddlejack" else str
    assert all(said(one.brief) in " ".join(text.split()) for one in brief_cautions())
    assert sum(line.startswith("Next: ") for line in lines) == 1
    assert lines[-1].startswith("Nothing was written")


def test_without_a_directory_nothing_is_written(tmp_path: Path) -> None:
    plan = tmp_path / "lark.toml"
    plan.write_text(LEAST + 'pocket_depth = "6 mm"\n' + SCREW, encoding="utf-8")
    done = command("plan", plan)
    assert done.exit_code == 0
    assert [path.name for path in tmp_path.iterdir()] == ["lark.toml"]
    assert f"bulbcast plan {plan} --out DIR" in done.stdout


def test_quiet_says_the_verdict_and_the_path_alone(tmp_path: Path) -> None:
    plan, out = tmp_path / "lark.toml", tmp_path / "out"
    plan.write_text(LEAST, encoding="utf-8")
    lines = command("plan", plan, "--out", out, "--quiet").stdout.splitlines()
    assert len(lines) == 7
    assert lines[0] == "lark: ballast bulb"
    assert lines[-1].startswith(f"Report: {out}/report.html, and ")
    full = command("plan", plan, "--full").stdout
    assert "What hangs on the fin" in full
    done = command("plan", plan, "--replace")
    assert (done.exit_code, "give --out DIR with --replace" in done.stderr) == (2, True)
    done = command("plan", plan, "--full", "--quiet")
    assert (done.exit_code, "give only one of --full, --quiet and --json" in done.stderr) == (2, True)


@pytest.mark.parametrize(
    ("words", "number", "found"), [("bulbcast p", 1, "plan"), ("bulbcast plan --fu", 2, "--full")]
)
def test_a_shell_completes_commands_and_options(words: str, number: int, found: str) -> None:
    asked = {"_BULBCAST_COMPLETE": "bash_complete", "COMP_WORDS": words, "COMP_CWORD": str(number)}
    done = CliRunner().invoke(group, [], env=asked, prog_name="bulbcast")
    assert f"plain,{found}" in done.stdout.split()


def test_what_is_not_planned_is_not_called_ready() -> None:
    assert states(job_of(LEAST)) == dict(
        zip(STEP_NAMES, ("on hold", "ready", *["not planned"] * 4), strict=True)
    )
    job = job_of(LEAST + 'pocket_depth = "6 mm"\n' + SCREW)
    assert states(job)["bulb"] == "ready"
    assert "its casting is not planned yet" in text_of(job)


def test_a_stop_stops_every_step_and_nothing_is_bought() -> None:
    job = job_of(STOPPED)
    assert job.stopped
    assert set(states(job).values()) == {"stopped"}
    text = text_of(job)
    assert "To buy" not in text
    assert (
        "Next: Fix the findings that stop the work, then run the plan again:\n  bulbcast plan lark.toml\n"
        in text
    )
    stop = next(one for one in job.findings if one.severity is Severity.STOP)
    assert stop.message in " ".join(text.split())


def test_a_mould_that_is_not_dry_holds_mould_and_pour_and_no_other() -> None:
    job = job_of(example_text("fenwisp"))
    assert states(job) == dict(
        zip(STEP_NAMES, ("ready", "ready", "on hold", "on hold", "on hold", "not planned"), strict=True)
    )
    text = text_of(job, out="a bundle")
    assert '  bulbcast dry lark.toml --just-set "drag=MASS"\n' in text
    assert "Report: a bundle/report.html" in text


def test_the_next_step_is_that_of_the_pour_where_the_melt_only_waits_for_it() -> None:
    """With the mould ready, the melt is the first step on hold, but no finding of its own says what to do."""
    job = job_of(example_text("fenwisp"))
    steps = [
        replace(one, state=State.READY, reasons=()) if one.name == "mould" else one
        for one in step_states(job)
    ]
    melt = next(one for one in steps if one.name == "melt")
    assert (melt.state, melt.reasons) == (State.HOLD, ())
    words, command_line = next_step(job, steps, file="lark.toml", out="a bundle")
    assert "weigh it and type its mass" in words
    assert command_line == 'bulbcast dry lark.toml --just-set "drag=MASS"'


def test_a_boat_whose_pour_is_on_hold_is_floated_after_the_pour() -> None:
    boat = '[boat]\ndisplacement = "5 kg"\n[[weights]]\nname = "hull"\nmass = "2 kg"\n'
    job = job_of(example_text("fenwisp") + boat)
    assert states(job)["float"] == "on hold"
    page = report_html(job, None)
    work = page.split('<section id="work">')[1].split("</section>")[0]
    assert ">after the pour<" in work.split('href="#step-float"')[1].split("</li>")[0]
    assert "On hold until the pour is done." in page.split('id="step-float"')[1].split("</p>")[0]


def test_a_pot_too_small_holds_the_melt_and_the_pour() -> None:
    job = job_of(example_text("fenwisp").replace('capacity = "1.3 l"', 'capacity = "0.1 l"'))
    melt = next(one for one in step_states(job) if one.name == "melt")
    assert (melt.state.value, [one.code for one in melt.reasons]) == ("on hold", ["pot-too-small"])


def test_an_unknown_alloy_holds_the_pour_before_a_mould_is_planned() -> None:
    found = states(job_of(UNKNOWN))
    assert (found["mould"], found["pour"]) == ("not planned", "on hold")


@pytest.mark.parametrize("units", ["metric", "imperial"])
@pytest.mark.parametrize("kilograms", [0.0123, 0.3512, 0.4536, 0.999, 3.3102, 14.51, 146.3])
def test_what_is_bought_is_enough_and_at_most_a_tenth_or_a_quarter_ounce_more(
    kilograms: float, units: str
) -> None:
    text = bought(kilograms, Shown(units))
    read = read_quantity(text, Dimension.MASS)
    least = 0.001 if units == "metric" else 0.25 * 0.028349523125
    assert kilograms * (1.0 - 1e-9) <= read <= max(1.1 * kilograms, kilograms + least)
    assert len(re.sub(r"\D", "", text).strip("0")) <= 2


@pytest.mark.parametrize("name", [one for one in NAMES if one != "larkmoss"])
def test_no_step_has_more_than_five_figures_at_its_head(name: str) -> None:
    job = job_of(example_text(name))
    sheet = sheet_of(job, list(chapters(job)))
    assert all(len(some) <= 5 for some in sheet.heads.values())
    assert 7 <= len(sheet.figures) <= 9
    assert sheet.heads["bulb"][0].label == "Hung mass"
    assert sheet.heads["pattern"][0].label == "Pattern length"


def test_findings_that_say_the_same_are_one_act() -> None:
    job = job_of(example_text("saltmarrow"))
    sheet = sheet_of(job, list(chapters(job)))
    codes = [(one.finding.code, one.remedy) for one in sheet.acts]
    assert len(set(codes)) == len(codes)


def test_a_pot_too_small_and_too_heavy_is_answered_after_the_cautions_with_what_would_do() -> None:
    pot = '[melt]\n[pot]\ncapacity = "20 lb"\nmaterial = "steel"\nmass = "6 lb"\n[lifting]\npeople = 1\n'
    job = job_of(LEAST.replace("2.45 kg", "20 kg") + MOULD + pot)
    assert {"pot-too-small", "pot-too-heavy"} <= {one.code for one in job.findings}
    said = " ".join(text_of(job).split())
    for code in ("pot-too-small", "pot-too-heavy"):
        found = next(one for one in job.findings if one.code == code)
        assert f"Fix for {code}: " + " ".join(found.remedy.split()) in said
        assert said.index("Before any lead is melted") < said.index(f"Fix for {code}")


@pytest.mark.parametrize("name", [one for one in NAMES if one != "larkmoss"])
def test_the_pattern_block_holds_the_pattern_and_is_hardly_larger(name: str) -> None:
    job = job_of(example_text(name))
    buy = {line.label: line.text for line in sheet_of(job, list(chapters(job))).buy}
    assert ("Pattern block" in buy) == (job.plan.printer is None)
    if "Pattern block" in buy:
        pattern, step = job.pattern, 0.001 if job.shown.units == "metric" else 0.0254 / 8.0
        sides = [read_quantity(side, Dimension.LENGTH) for side in buy["Pattern block"].split(" by ")]
        for side, needed in zip(sides, (pattern.length, pattern.width, pattern.height), strict=True):
            assert needed - 1e-11 <= side < needed + step


@pytest.mark.parametrize("units", ["metric", "imperial"])
def test_screws_to_buy_are_said_by_thread_length_head_and_metal(units: str) -> None:
    washer = 'washer_diameter = "10 mm"\nwasher_thickness = "1 mm"\n'
    job = job_of(f'display_units = "{units}"\n{LEAST}pocket_depth = "6 mm"\n{SCREW}{washer}')
    buy = {line.label: line for line in sheet_of(job, list(chapters(job))).buy}
    screws = next(line for label, line in buy.items() if label.startswith("Screws, "))
    screw = job.plan.screws[0]
    thread, length = screws.label.removeprefix("Screws, ").split(" by ")
    assert read_quantity(thread, Dimension.LENGTH) == pytest.approx(screw.diameter, abs=0.0004)
    assert read_quantity(length, Dimension.LENGTH) == pytest.approx(screw.length, abs=0.0004)
    assert "head" in screws.remark
    assert screws.remark.endswith(" wide, stainless steel")
    assert any(label.startswith("Washers, ") and line.text == "1" for label, line in buy.items())


def test_a_melt_without_a_fault_is_on_hold_with_the_pour_and_shows_its_charge() -> None:
    page = report_html(job_of(example_text("fenwisp")), None)
    work = page.split('<section id="work">')[1].split("</section>")[0]
    melt = work.split('href="#step-melt"')[1].split("</li>")[0]
    assert "on hold" in melt
    assert ">about 3.4 kg</strong>; wait until step 5 is ready<" in melt
    assert "On hold until the pour is ready." in page.split('id="step-melt"')[1].split("<dl")[0]


def test_a_metal_without_a_name_in_the_shop_is_bought_by_its_density() -> None:
    job = job_of(f'{LEAST}pocket_depth = "6 mm"\n{SCREW}density = "2.7 g/cm3"\n')
    (screws,) = [line for line in sheet_of(job, list(chapters(job))).buy if line.label.startswith("Screws, ")]
    assert screws.remark.endswith(", metal of 2.70 g/cm3")


@pytest.mark.parametrize(
    ("density", "metal"),
    [
        (8000.0, "stainless steel"),
        (7850.0, "steel"),
        (8500.0, "brass"),
        (4500.0, "titanium"),
        (2700.0, ""),
    ],
)
def test_the_metal_of_a_screw_is_the_nearest_or_none(density: float, metal: str) -> None:
    assert metal_of_screw(density) == metal
