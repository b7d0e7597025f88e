"""[limits]: every exceeded limit is a stop that names the figure, the limit and plan lines that satisfy it."""

from __future__ import annotations

import re

import pytest
from plans import EXAMPLES, command, example_text, job_of

from bulbcast.files.hull import load_hull
from bulbcast.job import run
from bulbcast.job.plan_json import plan_object
from bulbcast.plan.faults import PlanError
from bulbcast.plan.reading import read_plan

PLAN = """
name = "Sallowfen"
display_units = "{units}"
[bulb]
target_mass = "2.4 kg"
{shape}
width_to_height = 1.3
skin = "0.3 mm"
{more}
[alloy]
grade = "pure"
[fin]
tip_chord = "80 mm"
tip_thickness = "8 mm"
tip_z = "-340 mm"
pocket_depth = "6 mm"
carry_at = 0.42
mass = "310 g"
[limits]
{limits}
"""


def text_of(limits, *, shape="fineness = 6.0", units="metric", more=""):
    return PLAN.format(limits=limits, shape=shape, units=units, more=more)


def broken(job):
    return [one for one in job.findings if one.code.startswith("limit-")]


def with_line(text, line):
    """The plan with one line of a fix, such as `bulb.fineness = 6.10`, in place of the earlier value."""
    section, key, value = re.fullmatch(r"(\w+)\.(\w+) = (.+)", line).groups()
    if re.search(rf"(?m)^{key} = .*$", text):
        return re.sub(rf"(?m)^{key} = .*$", f"{key} = {value}", text, count=1)
    return text.replace(f"[{section}]\n", f"[{section}]\n{key} = {value}\n", 1)


def test_limits_that_are_kept_are_reported_and_stop_nothing():
    job = job_of(
        text_of(
            'draught = "380 mm"\nbulb_mass = "2.4 kg"\nfin_with_bulb = "2.71 kg"\nbulb_width = "60 mm"\n'
            'bulb_length = "300 mm"'
        )
    )
    assert broken(job) == []
    assert [one.kept for one in job.limits] == [True] * 5
    said = plan_object(job)["limits"]
    assert [one["name"] for one in said] == [
        "draught", "bulb_mass", "fin_with_bulb", "bulb_width", "bulb_length",
    ]  # fmt: skip
    assert said[0]["found_m"] == -job.bulb.underside_z
    assert said[2]["found_kg"] == pytest.approx(2.71, rel=1e-10)
    assert said[3]["found_m"] == pytest.approx(job.bulb.body.width + 0.0006, rel=1e-12)
    assert said[4]["found_m"] == pytest.approx(job.bulb.body.length + 0.0006, rel=1e-12)


JOINT_AGAIN = " Then plan the joint again, because the bulb around it has changed."


@pytest.mark.parametrize("units", ["metric", "imperial"])
@pytest.mark.parametrize("shape", ["fineness = 6.0", 'length = "290 mm"', 'diameter = "45 mm"'])
@pytest.mark.parametrize(
    ("limit", "code"),
    [
        ('draught = "355 mm"', "limit-draught"),
        ('bulb_mass = "2.15 kg"', "limit-bulb-mass"),
        ('fin_with_bulb = "2.6 kg"', "limit-fin-with-bulb"),
        ('bulb_width = "46 mm"', "limit-bulb-width"),
        ('bulb_length = "240 mm"', "limit-bulb-length"),
    ],
)
def test_every_line_that_a_broken_limit_names_keeps_to_it(limit, code, shape, units):
    text = text_of(limit, shape=shape, units=units)
    (finding,) = broken(job_of(text))
    assert (finding.severity, finding.code) == ("stop", code)
    assert finding.found > finding.limit
    again = "" if code == "limit-draught" else JOINT_AGAIN
    lines = finding.remedy.removeprefix("Set ").removesuffix(f".{again}").split(", or ")
    assert lines
    for line in lines:
        assert code not in {one.code for one in broken(job_of(with_line(text, line)))}, line


@pytest.mark.parametrize(
    ("limits", "shape", "code"),
    [
        ('bulb_width = "46 mm"', "fineness = 6.0", "limit-bulb-width"),
        ('bulb_length = "240 mm"', "fineness = 6.0", "limit-bulb-length"),
        ('bulb_length = "240 mm"', 'length = "290 mm"', "limit-bulb-length"),
        ('bulb_length = "200 mm"', 'diameter = "45 mm"', "limit-bulb-length"),
    ],
)
def test_a_shape_that_hangs_below_the_draught_allowed_goes_with_a_shorter_fin(limits, shape, code):
    depth = -job_of(text_of(limits, shape=shape)).bulb.underside_z
    text = text_of(f'{limits}\ndraught = "{1e3 * depth + 0.2:.1f} mm"', shape=shape)
    (finding,) = broken(job_of(text))
    assert finding.code == code
    first = [line for line in finding.fix if line.way == 1]
    assert [line.key for line in first][1:] == ["fin.tip_z"]
    assert f" with fin.tip_z = {first[1].value}" in finding.remedy
    alone = with_line(text, f"{first[0].key} = {first[0].value}")
    assert [one.code for one in broken(job_of(alone))] == ["limit-draught"]
    assert broken(job_of(with_line(alone, f"fin.tip_z = {first[1].value}"))) == []


def test_a_dimension_that_no_bulb_of_the_mass_has_is_not_named():
    # 27.4 mm is what the lead would need, and slimmer than fineness 20.
    (finding,) = broken(job_of(text_of('bulb_width = "32 mm"', shape='diameter = "45 mm"')))
    assert [line.key for line in finding.fix] == ["bulb.width_to_height"]
    (finding,) = broken(job_of(text_of('bulb_width = "25 mm"', shape='diameter = "45 mm"')))
    assert finding.fix == ()
    assert finding.remedy.startswith("Changing one figure in this plan is not enough. ")


def test_the_skin_counts_and_so_does_a_nose_that_points_down():
    level = job_of(text_of('draught = "400 mm"'))
    down = job_of(text_of('draught = "400 mm"', more='incidence = "-5 deg"'))
    assert level.limits[0].found == pytest.approx(
        0.340 + (level.bulb.body.height - 0.006) + 0.0003, abs=1e-12
    )
    assert down.limits[0].found == -down.bulb.underside_z
    assert down.limits[0].found != level.limits[0].found


def test_a_broken_limit_is_reported_in_whole_sentences_with_its_rule():
    (finding,) = broken(job_of(text_of('bulb_mass = "2.3 kg"\nrule = "the harbour\'s rule 3"')))
    assert finding.message == (
        "The bulb weighs 2400.0 g, 100.0 g more than the 2300.0 g allowed (the harbour's rule 3)."
    )
    assert finding.remedy == f'Set bulb.target_mass = "2300.0 g".{JOINT_AGAIN}'


def test_a_limit_equal_to_what_is_asked_is_kept():
    assert broken(job_of(text_of('bulb_mass = "2.4 kg"\nfin_with_bulb = "2.71 kg"'))) == []


def test_a_bulb_from_the_boat_that_is_too_heavy_tells_what_imposing_does():
    text = example_text("larkmoss")
    plan = read_plan(text, source="larkmoss.toml")
    heavy = run(plan, None, load_hull(plan, EXAMPLES)).bulb.mass
    text += f'\n[limits]\nbulb_mass = "{1e3 * (heavy - 0.1):.0f} g"\n'
    plan = read_plan(text, source="larkmoss.toml")
    (finding,) = broken(run(plan, None, load_hull(plan, EXAMPLES)))
    assert finding.remedy.startswith(
        "Lighten the boat, or carry the difference as inside ballast. Or type the limit itself, bulb.target_mass = "
    )
    assert finding.remedy.endswith(
        f"; the boat will then float too high, because she is lighter by the difference.{JOINT_AGAIN}"
    )
    line = finding.remedy.split("type the limit itself, ")[1].split("; the boat")[0]
    repaired = read_plan(with_line(text, line), source="larkmoss.toml")
    assert broken(run(repaired, None, load_hull(repaired, EXAMPLES))) == []


def test_a_broken_limit_makes_the_command_end_with_three(tmp_path):
    (tmp_path / "plan.toml").write_text(text_of('bulb_length = "200 mm"'), encoding="utf-8")
    done = command("plan", tmp_path / "plan.toml", "--out", tmp_path / "out", "--full")
    assert done.exit_code == 3
    assert "BROKEN by" in done.output
    assert not (tmp_path / "out" / "pattern.stl").exists()
    page = (tmp_path / "out" / "report.html").read_text(encoding="utf-8")
    assert "No class rule is built in" in page


def test_a_comparison_may_run_over_a_limit_and_tells_its_code(tmp_path):
    (tmp_path / "plan.toml").write_text(text_of('bulb_length = "300 mm"'), encoding="utf-8")
    done = command("compare", tmp_path / "plan.toml", "--vary", "bulb.incidence=0 deg,4 deg")
    assert done.exit_code == 0, done.output
    done = command("compare", tmp_path / "plan.toml", "--vary", "limits.bulb_length=200 mm,300 mm")
    assert done.exit_code == 3, done.output
    assert "limit-bulb-length" in done.output


FAULTS = [
    (
        text_of('draught = "355 mm"').replace('tip_z = "-340 mm"\n', ""),
        "fin.tip_z: read nothing; expected a length from -50 m to 50 m, in boat axes, since the draught is "
        'measured from her waterline. Add tip_z = "-330 mm", say, under [fin].',
    ),
    (
        text_of('fin_with_bulb = "2.6 kg"').replace('mass = "310 g"\n', ""),
        "fin.mass: read no fin.mass with limits.fin_with_bulb; expected a mass from 0 g to 20 t, or "
        "fin.density. Add the fin's mass under [fin], and omit the fin from [[weights]].",
    ),
    (
        text_of('bulb_mass = "0 kg"'),
        'limits.bulb_mass: read "0 kg"; expected a mass above 0 g and up to 1000 t. It must be above 0 g. '
        "Check the unit.",
    ),
]


@pytest.mark.parametrize(("text", "message"), FAULTS)
def test_a_fault_is_reported_in_one_whole_message(text, message):
    with pytest.raises(PlanError) as caught:
        read_plan(text, source="p.toml")
    (said,) = [fault.message.removeprefix("p.toml: ") for fault in caught.value.faults]
    assert said == message
