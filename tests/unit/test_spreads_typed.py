"""Standard deviations typed after values: accepted and rejected forms, and their use in the budget."""

from __future__ import annotations

import pytest
from plans import LEAST, job_of

from bulbcast.plan.faults import PlanError
from bulbcast.plan.give_or_take import taken_apart
from bulbcast.plan.reading import read_plan


@pytest.mark.parametrize(
    ("typed", "value", "spread"),
    [
        ("0.98 +- 0.35 %", "0.98 %", "0.35 %"),
        ("0.98 % +- 0.35", "0.98 %", "0.35 %"),
        ("2.45 kg +- 20 g", "2.45 kg", "20 g"),
        ("11.1 g/cm3 \u00b1 0.5 %", "11.1 g/cm3", "0.5 %"),
        ("13 1/4 in +/- 1/8 in", "13 1/4 in", "1/8 in"),
        ("4 lb 14 oz +- 1 oz", "4 lb 14 oz", "1 oz"),
        ("0.98 %", "0.98 %", ""),
    ],
)
def test_taken_apart(typed: str, value: str, spread: str) -> None:
    assert taken_apart(typed) == (value, spread)


def spreads(text: str) -> dict[str, float]:
    return {one.key: one.value for one in read_plan(LEAST + text, source="lark.toml").spreads}


def test_read_in_si_and_as_a_share_of_the_value() -> None:
    found = spreads('[pattern]\ncontraction = "0.98 +- 0.35 %"\nfinish = "0.012 +- 0.002 in"\n')
    assert found == {
        "pattern.contraction": pytest.approx(0.0035),
        "pattern.finish": pytest.approx(0.002 * 0.0254),
    }
    plan = read_plan(LEAST.replace('grade = "pure"', 'density = "11.1 g/cm3 +- 0.2 %"'), source="lark.toml")
    assert plan.spread_typed("alloy.density") == pytest.approx(0.002 * 11100.0)
    assert plan.alloy.density == pytest.approx(11100.0)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ('[pattern]\ncontraction = "0.98 +- -0.35 %"\n', "below zero"),
        ('[pattern]\ncontraction = "0.98 % +-"\n', '"?"'),
        ('[pattern]\ncontraction = "0.98 % +- 3 mm"\n', "a length"),
        ('[pattern]\nchord_error = "0.02 +- 0.01 mm"\n', "without a standard deviation"),
        ('[bulb]\ntarget_mass = "2.45 kg +- 1 kg"\n', "a quarter of the value"),
        ('[pattern]\ncontraction = "0.98 +- 0.35 +- 0.1 %"\n', "+-"),
    ],
)
def test_refused(text: str, says: str) -> None:
    base = LEAST.partition("[alloy]")[2] if text.startswith("[bulb]") else ""
    whole = f"{text}[alloy]{base}" if base else LEAST + text
    with pytest.raises(PlanError) as fault:
        read_plan(whole, source="lark.toml")
    assert says in str(fault.value)


def test_what_is_typed_stands_in_the_budget() -> None:
    job = job_of(LEAST + '[pattern]\ncontraction = "0.98 +- 0.1 %"\nerror = "0.05 mm"\n')
    assert job.confidence is not None
    lines = {line.input.name: line for line in job.confidence.budget}
    assert lines["contraction"].input.sd == pytest.approx(0.001)
    assert lines["contraction"].input.source == "as typed"
    assert lines["pattern, each face"].input.sd == pytest.approx(0.05e-3)
    assert "pattern, all lengths" not in lines, "a pattern that is measured has no error of scale besides"


def test_so_wide_that_it_says_nothing_is_found_and_with_an_aim_refused() -> None:
    wide = LEAST + '[pattern]\nerror = "15 mm"\n'
    job = job_of(wide)
    assert job.confidence is None
    assert [one.where for one in job.findings if one.code == "band-too-wide"] == ["pattern.error"]
    with pytest.raises(PlanError, match=r"pattern\.error"):
        job_of(wide + "[confidence]\n")
