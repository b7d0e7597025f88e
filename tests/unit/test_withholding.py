"""Withholding follows from the findings: any stop withholds the charge, the pour card and the filing instruction."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from plans import codes, command, job_of, the_finding

from bulbcast.findings import Finding, Rule, Severity, Step
from bulbcast.job.html import report_html
from bulbcast.job.plan_json import plan_object
from bulbcast.job.terminal import terminal_text

PLAN = """\
[bulb]
target_mass = "2.45 kg"
tail_diameter = "6 mm"
[alloy]
grade = "sheet"
[fin]
tip_chord = "72 mm"
tip_thickness = "8 mm"
pocket_depth = "7 mm"
[[screws]]
at = "26 mm"
diameter = "4 mm"
hole_diameter = "4.5 mm"
head_diameter = "8 mm"
head_height = "2.6 mm"
recess = "8 mm"
length = "50 mm"
"""
SAND = '[mould]\nmaterial = "sand"\nsand_kind = "oil-bonded"\ncured_at = "210 C"\ncured_for = "3 h"\n'
SHEET = '[[scrap]]\nname = "roof"\nkind = "sheet"\ngross = "8 kg"\ncondition = "dry"\n'
REST = (
    '[pot]\ncapacity = "1.2 l"\nmaterial = "cast-iron"\nmass = "2 kg"\n'
    '[burner]\npower = "3 kW"\n[pour]\ntemperature = "375 C"\n'
)
WHOLE = PLAN + SAND + SHEET + REST

STOPS = {
    "a hole that breaks out": ('recess = "8 mm"', 'recess = "40 mm"', None),
    "a screw outside the fin": ('at = "26 mm"', 'at = "69 mm"', "screw-outside-fin"),
    "a limit typed in": ("[alloy]", '[limits]\nbulb_mass = "2 kg"\n[alloy]', "limit-bulb-mass"),
    "strength": (
        "[alloy]",
        '[strength]\nsection = "solid"\nmaterial = "laminate"\nmodulus = "40 GPa"\nshear_modulus = "5 GPa"\n'
        'allowable = "1 MPa"\n[alloy]',
        "fin-overstressed",
    ),
    "a pot": ('"cast-iron"', '"aluminium"', "pot-aluminium"),
    "pieces": (
        "[alloy]",
        '[printer]\nbed_length = "90 mm"\nbed_width = "90 mm"\nposition = "lying"\npieces = 1\n[alloy]',
        "piece-off-bed",
    ),
}


def test_the_plan_without_a_fault_shows_its_charge_and_what_to_file_off():
    job = job_of(WHOLE)
    assert job.withholding(Step.POUR) == ()
    text = terminal_text(job, colour=False, width=100)
    assert job.shown.mass(job.melt.charge) in text
    assert "off the casting. Keep weighing" in text
    made = plan_object(job)
    assert made["melt"]["charge_kg"] == pytest.approx(job.melt.charge)
    assert (made["melt"]["withheld"], made["pour"]["withheld"]) == ([], [])
    assert made["melting"]["pour"]["temperature_c"] == pytest.approx(375.0)


@pytest.mark.parametrize("what", STOPS)
def test_a_stop_anywhere_withholds_charge_pour_and_filing_alike(what: str):
    old, new, code = STOPS[what]
    assert old in WHOLE
    text = WHOLE.replace(old, new, 1)
    if "[strength]" in text:
        text = text.replace(
            'pocket_depth = "7 mm"\n',
            'pocket_depth = "7 mm"\ntip_z = "-300 mm"\nroot_z = "0 mm"\nroot_chord = "72 mm"\nroot_thickness = "8 mm"\n'
            'root_leading_edge_x = "0 mm"\n',
        )
    job = job_of(text)
    stops = [finding for finding in job.findings if finding.severity is Severity.STOP]
    assert stops
    assert code is None or code in {finding.code for finding in stops}
    page, text = report_html(job, None), terminal_text(job, colour=False, width=100)
    for hidden in (
        job.shown.mass(job.melt.charge),
        f"{job.shown.mass(job.cast.finish_mass)} are to be filed",
        "Pour card",
        "When to stop",
    ):
        assert hidden not in page
        assert hidden not in text
    assert "off the casting. Keep weighing" not in text
    assert "The amount to file off is withheld." in page
    made = plan_object(job)
    parts = ("cast", "feeder", "reserve", "dross", "heel", "charge", "charge_least", "charge_most")
    assert {name: made["melt"][name] for name in made["melt"] if name.endswith("_kg")} == dict.fromkeys(
        f"{part}_kg" for part in parts
    )
    assert {finding.code for finding in stops} <= set(made["melt"]["withheld"])
    assert set(made["melt"]["withheld"]) <= set(made["pour"]["withheld"])
    for part in ("pour", "scrap", "pot", "burner"):
        assert made["melting"][part] is None
    for one in made["findings"]:
        if one["severity"] == "stop":
            assert one["withholds"] == ["pattern", "melt", "pour", "fastening", "sailing"]
        if one["code"] == "filing":
            assert (one["found"], one["message"]) == (None, "Metal has to be filed off the casting.")


def test_a_finding_on_the_charge_bears_no_figure_while_a_stop_withholds_it():
    """The finding on a pot that is too small would otherwise state the charge."""
    small = WHOLE.replace('"1.2 l"', '"0.2 l"')
    assert "pot-too-small" in codes(job_of(small))
    job = job_of(small.replace('at = "26 mm"', 'at = "69 mm"'))
    finding = the_finding(job, "pot-too-small")
    assert job.figures_withheld(finding)
    reported = next(one for one in plan_object(job)["findings"] if one["code"] == "pot-too-small")
    assert (reported["found"], reported["limit"]) == (None, None)
    assert reported["message"] == "One piece's charge does not fit in the pot: the pour is on hold."
    for place in (report_html(job, None), terminal_text(job, colour=False, width=200)):
        assert finding.message.replace("'", "&#x27;") not in place
        assert finding.message not in place


def test_a_hold_on_the_pour_shows_the_charge_to_buy_metal_and_a_pot_by():
    for text in (
        PLAN + '[mould]\nmaterial = "plaster"\ndrying = "baked"\n' + SHEET + REST,
        WHOLE.replace('"1.2 l"', '"0.2 l"'),
    ):
        job = job_of(text)
        assert not job.stopped
        assert job.pour_withheld
        for place in (report_html(job, None), terminal_text(job, colour=False, width=100)):
            assert "The pour is withheld. The charge is shown so that you can buy metal and a pot." in place
            assert job.shown.mass(job.melt.charge) in place
        made = plan_object(job)
        assert made["melt"]["charge_kg"] == pytest.approx(job.melt.charge)
        assert made["melt"]["withheld"] == []
        assert made["pour"]["withheld"] == [one.code for one in job.pour_withheld]
        assert made["melting"]["pour"] is None


def test_a_pot_too_small_keeps_the_pattern(tmp_path: Path):
    path = tmp_path / "lark.toml"
    path.write_text(WHOLE.replace('"1.2 l"', '"0.2 l"'), encoding="utf-8")
    done = command("plan", path, "--out", tmp_path / "out")
    assert done.exit_code == 0, done.output
    assert (tmp_path / "out" / "pattern.stl").exists()
    assert (tmp_path / "out" / "templates.pdf").exists()
    made = json.loads((tmp_path / "out" / "plan.json").read_text(encoding="utf-8"))
    assert made["pour"]["withheld"] == ["pot-too-small"]
    assert made["melt"]["charge_kg"] > 0.0


def test_compare_shows_no_charge_for_a_row_with_a_stop(tmp_path: Path):
    path = tmp_path / "lark.toml"
    path.write_text(WHOLE, encoding="utf-8")
    done = command("compare", path, "--vary", "screws[1].at=26 mm,69 mm", "--json")
    assert done.exit_code == 3, done.output
    rows = json.loads(done.stdout)["rows"]
    assert [row["melt"]["charge_kg"] is None for row in rows] == [False, True]


@pytest.fixture
def declared(monkeypatch: pytest.MonkeyPatch) -> Callable[..., Rule]:
    """The Rule class, for rules that a test declares and that must stay out of the program's list."""
    monkeypatch.setattr("bulbcast.findings._RULES", {})
    return Rule


def said(rule: Rule, severity: Severity | None = None) -> Finding:
    return rule(
        where="pot",
        message="One kilogram.",
        remedy="Two.",
        found=1.0,
        limit=2.0,
        unit="kg",
        severity=severity,
    )


def test_a_caution_withholds_nothing_though_its_rule_holds_where_it_is_a_hold(declared):
    rule = declared("both", Severity.HOLD, Severity.CAUTION, Severity.STOP, holds=(Step.POUR,))
    assert said(rule, Severity.HOLD).withholds == (Step.POUR,)
    assert said(rule, Severity.CAUTION).withholds == ()
    assert said(rule, Severity.STOP).withholds == tuple(Step)


def test_the_gravest_is_said_first_and_a_default_once(declared):
    job = job_of(WHOLE)
    order = (Severity.NOTE, Severity.STOP, Severity.CAUTION, Severity.HOLD)
    rule = declared("any", *order, holds=(Step.POUR,))
    more = job.joined(findings=tuple(said(rule, one) for one in order), defaults=job.defaults[:1])
    reported = [one.severity for one in more.findings]
    assert reported == sorted(
        reported, key=[Severity.STOP, Severity.HOLD, Severity.CAUTION, Severity.NOTE].index
    )
    assert more.defaults == job.defaults
    assert job.defaults
    other = replace(job.defaults[0], key="never.told")
    assert job.joined(defaults=(other,)).defaults == (*job.defaults, other)


def test_the_reason_itself_bears_its_figures_while_others_of_that_step_do_not(declared):
    job = job_of(WHOLE)
    bearing = {"tells": Step.MELT, "brief": "Of the charge."}
    reason = said(declared("reason", Severity.HOLD, holds=(Step.MELT, Step.POUR), **bearing))
    bearer = said(declared("bearer", Severity.CAUTION, **bearing))
    plain = said(declared("plain", Severity.CAUTION))
    held = job.joined(findings=(reason, bearer, plain))
    assert [held.figures_withheld(one) for one in (reason, bearer, plain)] == [False, True, False]
    assert not job.joined(findings=(bearer,)).figures_withheld(bearer)


def test_two_findings_on_the_outfit_hide_no_figure_of_each_other(declared):
    """Anyone replacing a pot that is too heavy needs to know the charge for the new pot."""
    job = job_of(WHOLE)
    bearing = {"tells": Step.MELT, "brief": "Of the charge.", "subject": "outfit"}
    heavy = said(declared("heavy", Severity.HOLD, holds=(Step.MELT, Step.POUR), **bearing))
    small = said(declared("small", Severity.HOLD, holds=(Step.POUR,), **bearing))
    assert not job.joined(findings=(heavy, small)).figures_withheld(small)
    foundry = said(declared("foundry", Severity.HOLD, holds=(Step.MELT, Step.POUR)))
    assert job.joined(findings=(heavy, small, foundry)).figures_withheld(small)
