"""Imperial units come first in text, templates, cautions, defaults and errors, and fractions are kept as typed."""

from __future__ import annotations

import io
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pdfminer.high_level import extract_text
from plans import EXAMPLES, command, example_text, faults_of

from bulbcast.job import run
from bulbcast.job.html import report_html
from bulbcast.job.terminal import terminal_text
from bulbcast.plan.reading import read_plan
from bulbcast.quantities import Dimension, Shown, read_quantity
from bulbcast.quantities.prose import imperial_first, in_her_units
from bulbcast.quantities.typed import length_down, length_up, mass_up

US = Shown("imperial")


@pytest.mark.parametrize(
    "typed",
    ["9/64 in", "1/64 in", "13 1/4 in", "3/16 in", "1 3/64 in", "4 lb 14 1/2 oz", "1/4 oz", "15 15/16 oz",
     "3/8 oz", "2 lb 1/8 oz"],
)  # fmt: skip
def test_a_fraction_that_was_typed_is_read_so_again(typed):
    writer, dimension = (US.length, Dimension.LENGTH) if typed.endswith("in") else (US.mass, Dimension.MASS)
    assert writer(read_quantity(typed, dimension)) == typed


@given(st.integers(1, 64 * 40))
def test_every_sixty_fourth_of_an_inch_is_shown_and_read_again(parts):
    metres = parts / 64.0 * 0.0254
    assert read_quantity(US.length(metres), Dimension.LENGTH) == pytest.approx(metres, rel=1e-12)


@given(st.integers(1, 16 * 16 * 20))
def test_every_sixteenth_of_an_ounce_is_shown_and_read_again(parts):
    """An ounce avoirdupois is 28.349523125 g exactly (international pound, 1959)."""
    kilograms = parts / 16.0 * 0.028349523125
    assert read_quantity(US.mass(kilograms), Dimension.MASS) == pytest.approx(kilograms, rel=1e-12)


def test_what_was_worked_out_keeps_its_decimals():
    assert US.mass(2.45) == "5 lb 6.4 oz"
    assert US.length(0.2608) == "10 9/32 in"


# Conversions by hand: 1 in = 25.4 mm, 1 lb = 0.45359237 kg, F = 1.8 C + 32.
@pytest.mark.parametrize(
    ("words", "hers"),
    [
        ("at or below 400 C (750 F) by", "at or below 750 F (400 C) by"),
        ("reaches 50 to 60 C (120 to 140 F): never", "reaches 120 to 140 F (50 to 60 C): never"),
        (
            "liquidus + 50 C, within the range 340 to 380 C",
            "liquidus + 90 °F (50 C), within the range 644 to 716 °F (340 to 380 C)",
        ),
        ("from 1 mm to 10 m", "from 0.039 in (1 mm) to 32.8 ft (10 m)"),
        ("from 40 kg up", "from 88 lb (40 kg) up"),
        ('Write skin = "0.2 mm", say.', 'Write skin = "0.2 mm", say.'),
        ("10 3/8 in (263.7 mm) long", "10 3/8 in (263.7 mm) long"),
        ("a moment of 3 N m, 5 % of it", "a moment of 3 N m, 5 % of it"),
    ],
)  # fmt: skip
def test_words_with_metric_quantities_say_hers_first(words, hers):
    assert in_her_units(words, "imperial") == hers
    assert in_her_units(words, "metric") == words


def test_a_page_keeps_its_length_line_by_line():
    page = "    keep the pot at or below 400 C (750 F) and\n  over 50 kg\n    (110 lb): two people"
    turned = imperial_first(page)
    assert [len(line) for line in turned.splitlines()][:1] == [len(page.splitlines()[0])]
    assert "750 F (400 C)" in turned


@pytest.fixture(scope="module")
def puddlejack(tmp_path_factory):
    out = tmp_path_factory.mktemp("imperial") / "bundle"
    done = command("plan", EXAMPLES / "puddlejack.toml", "--out", out)
    assert done.exit_code == 0, done.output
    return out


METRIC_FIRST = re.compile(r"\d (?:mm|kg|g|C|°C) \(\d[\d /.to-]* (?:in|lb|oz|F|°F)")


def test_no_template_says_millimetres_before_inches(puddlejack):
    printed = " ".join(extract_text(io.BytesIO((puddlejack / "templates.pdf").read_bytes())).split())
    assert METRIC_FIRST.findall(printed) == []
    assert "1 5/32 in (29.2 mm) wide" in printed
    for path in puddlejack.glob("template-*.svg"):
        assert METRIC_FIRST.findall(path.read_text("utf-8")) == []
    heads = printed.index("width, in"), printed.index("width, mm")
    assert heads[0] < heads[1]


def test_report_and_terminal_say_hers_first():
    job = run(read_plan(example_text("puddlejack"), source="puddlejack.toml"))
    for page in (report_html(job, None), terminal_text(job, colour=False, width=100)):
        assert METRIC_FIRST.findall(" ".join(page.split())) == []
    page = report_html(job, None)
    assert "750 F (400 C)" in page
    assert "9/64 in" in page, "hole_diameter as it was typed"


def test_a_metric_plan_keeps_millimetres_first():
    text = example_text("puddlejack").replace('"imperial"', '"metric"')
    page = terminal_text(run(read_plan(text, source="p.toml")), colour=False, width=100)
    assert "400 C (750 F)" in page


def test_a_default_temperature_and_its_source_are_in_her_units():
    text = example_text("fenwisp").replace('"metric"', '"imperial"')
    page = " ".join(report_html(run(read_plan(text, source="f.toml")), None).split())
    assert "320 °F" in page
    assert "212 to 266 °F (100 to 130 C)" in page


def test_a_fault_gives_its_limits_in_her_units():
    bad = example_text("puddlejack").replace('tip_chord = "2 in"', 'tip_chord = "1/64 in"')
    (said,) = faults_of(bad)
    assert 'read "1/64 in"; expected a length from 0.039 in (1 mm) to 32.8 ft (10 m).' in said
    assert "It must be at least 0.039 in (1 mm)." in said


def test_the_example_of_a_fault_is_in_her_units_and_what_she_typed_stays(tmp_path):
    path = tmp_path / "plan.toml"
    path.write_text(
        'display_units = "imperial"\n[bulb]\ntarget_mass = 4.5\n[alloy]\ngrade = "pure"\n[fin]\ntip_chord = "2 3/4 in"\n',
        encoding="utf-8",
    )
    said = command("plan", path, "--json").stderr
    # 7 mm is 0.276 in, 9/32 to the thirty-second; "4.5" is her own figure, whatever its unit.
    assert 'Add tip_thickness = "9/32 in", say' in said
    assert 'Write target_mass = "4.5 kg" or target_mass = "4.5 lb".' in said


def test_a_temperature_in_a_remark_is_hers_first():
    job = run(read_plan(example_text("puddlejack"), source="puddlejack.toml"))
    assert job.shown.units == "imperial"
    # 20 C . 9 / 5 + 32 = 68 F.
    assert "solidus to 68 °F (20 C)" in " ".join(report_html(job, None).split())


def test_a_difference_of_temperature_has_no_freezing_point_in_it():
    # 50 K are 90 degrees Fahrenheit; 50 C on a thermometer would be 122 F.
    said = in_her_units("liquidus + 50 C, within the range 340 to 380 C; 50 C above it", "imperial")
    assert (
        said
        == "liquidus + 90 °F (50 C), within the range 644 to 716 °F (340 to 380 C); 90 °F (50 C) above it"
    )
    assert in_her_units("liquidus + 50 C", "metric") == "liquidus + 50 C"


def test_what_is_to_be_typed_is_written_as_on_a_rule_and_a_scale():
    inches = Shown("imperial")
    # 2 1/32 in and a little; 168.4 oz, 15.3 oz; 2.3 lb of 36.4 oz.
    assert length_up(0.0516, inches) == "2 1/16 in"
    assert length_down(0.0516, inches) == "2 1/32 in"
    assert (mass_up(4.774, inches), mass_up(0.4337, inches)) == ("10 lb 9 oz", "15.3 oz")
    assert read_quantity("10 lb 9 oz", Dimension.MASS) >= 4.774
