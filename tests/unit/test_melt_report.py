"""Gating, melt list and pour card as displayed: contents, withheld figures, and order."""

from __future__ import annotations

import dataclasses
import math
import re
from datetime import datetime

import pytest
from plans import job_of, the_finding

from bulbcast.drawing.shapes import Circle, Dimension, Line, Polyline, Region, Style, Text, View
from bulbcast.drawing.svg import svg_text
from bulbcast.foundry.gating.view import gating_view
from bulbcast.foundry.melt.view import stock_and_pot_view
from bulbcast.foundry.mould.section_view import frame_of
from bulbcast.foundry.pour.chapter import pour_text
from bulbcast.job.html import report_html
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
"""
MOULD = '[mould]\nmaterial = "plaster"\ndrying = "baked"\n'
SAND = '[mould]\nmaterial = "sand"\nsand_kind = "oil-bonded"\ncured_at = "210 C"\ncured_for = "3 h"\n'
SHEET = '[[scrap]]\nname = "roof & gutter"\nkind = "sheet"\ngross = "8 kg"\ncondition = "dry"\n'
REST = (
    '[pot]\ncapacity = "1.2 l"\nmaterial = "cast-iron"\nmass = "2 kg"\n'
    '[burner]\npower = "3 kW"\n[pour]\ntemperature = "375 C"\n'
)


def section_of(page: str, name: str) -> str:
    found = re.search(rf'<section id="{name}">.*?</section>', page, re.DOTALL)
    assert found is not None, name
    return found[0]


def words_of(view: View) -> list[str]:
    return [shape.text for shape in view.shapes if isinstance(shape, Text | Dimension)]


def test_the_card_for_the_day_is_had_from_its_own_command_where_nothing_is_on_hold():
    job = job_of(PLAN + SAND + SHEET + REST)
    melt = section_of(report_html(job, None), "melt")
    for words in ("roof &amp; gutter", "Time to melt", "print it with bulbcast pour FILE"):
        assert words in melt
    assert "When to stop" not in melt
    card = pour_text(job, moment=datetime(2026, 6, 4, 18), colour=False, width=100)
    for words in ("Pour card", "375 °C (707 °F)", "When to stop", "upper bound"):
        assert words in card


def test_a_melt_without_a_mould_is_on_hold_and_has_no_pour_card():
    job = job_of(PLAN + SHEET + REST)
    assert [finding.code for finding in job.pour_withheld] == ["mould-not-planned"]
    assert job.pour_withheld[0].message == (
        "No mould is planned, so nothing shows that your mould is dry: the pour is on hold."
    )
    page = report_html(job, None)
    assert 'id="gating"' not in page
    assert "When to stop" not in page
    assert "\nPour card\n" not in terminal_text(job, colour=False, width=100)
    plaster = (
        'Add [mould], for example with material = "plaster" and drying = "baked", and keep its drying log.'
    )
    assert job.pour_withheld[0].remedy == plaster


@pytest.mark.parametrize(
    ("old", "new", "code"),
    [
        ('condition = "dry"', 'condition = "wet"', "scrap-wet"),
        ('condition = "dry"', 'condition = "closed"', "scrap-closed"),
        ('kind = "sheet"', 'kind = "battery"', "scrap-battery"),
        ('"cast-iron"', '"thin-can"', "pot-thin-can"),
        ('"cast-iron"', '"aluminium"', "pot-aluminium"),
        ('temperature = "375 C"', 'temperature = "455 C"', "pour-stop"),
    ],
)
def test_a_stop_of_the_melt_withholds_the_pour_however_dry_the_mould_is(old: str, new: str, code: str):
    text = PLAN + SAND + SHEET + REST
    assert job_of(text).pour_withheld == ()
    assert old in text
    job = job_of(text.replace(old, new))
    assert code in [finding.code for finding in job.pour_withheld]
    assert job.melt_withheld == job.pour_withheld
    assert "\nPour card\n" not in terminal_text(job, colour=False, width=100)
    assert "When to stop" not in section_of(report_html(job, None), "melt")


def test_a_mould_that_is_not_dry_withholds_the_pour_card_and_not_the_melt_list():
    job = job_of(PLAN + MOULD + SHEET + REST)
    assert {finding.code for finding in job.pour_withheld} == {"mould-not-dry"}
    assert job.melt_withheld == ()
    page = report_html(job, None)
    melt = section_of(page, "melt")
    assert "The pour is withheld. The charge is shown so that you can buy metal and a pot." in melt
    assert "Pour card" not in melt
    assert job.shown.mass(job.melt.charge) in melt
    assert "Gating: how the metal enters and the air escapes" in page


def test_short_scrap_withholds_the_pour_and_shows_the_charge_to_buy_metal_by():
    job = job_of(PLAN + SHEET.replace("8 kg", "1 kg") + REST)
    page = report_html(job, None)
    melt = section_of(page, "melt")
    assert "The pour is withheld. The charge is shown so that you can buy metal and a pot." in melt
    assert job.shown.mass(job.melt.charge) in melt
    assert "To buy: refined pig lead" in melt
    text = terminal_text(job, colour=False, width=100)
    assert "The pour is withheld. The charge is shown so that you can buy metal and a pot." in text
    assert "To buy: refined pig lead" in text
    assert "Pour card" not in text


def test_no_figure_of_the_melt_stands_before_the_cautions():
    small = REST.replace("1.2 l", "0.3 l").replace("375 C", "405 C")
    job = job_of(PLAN + SHEET + small)
    page = report_html(job, None)
    before, after = page.split('<section id="cautions">')
    for code in ("pot-too-small", "pour-warm"):
        finding = the_finding(job, code)
        assert code in before
        assert finding.message.replace("'", "&#x27;") not in before
        assert finding.message.replace("'", "&#x27;") in after
    assert job.shown.mass(job.melt.charge) not in before


def test_the_terminal_tells_what_the_report_tells():
    text = terminal_text(job_of(PLAN + SAND + SHEET + REST), colour=False, width=100)
    for heading in ("Scrap", "Pot and burner"):
        assert f"\n{heading}\n" in text
    assert "Gating" in terminal_text(job_of(PLAN + MOULD), colour=False, width=100)


@pytest.mark.parametrize("line", ["", 'orientation = "on-edge"\n', 'cover = "90 mm"\n'])
def test_the_level_gating_is_drawn_to_scale(line: str):
    job = job_of(PLAN + MOULD + line)
    view = gating_view(job)
    assert view is not None
    assert job.melting is not None
    gating = job.melting.gating
    assert gating is not None
    assert gating.feeder is not None
    lead = [shape for shape in view.shapes if isinstance(shape, Region) and shape.style is Style.LEAD]
    # Feeder, two vents and the cavity; sprue and cup where they stand on the bulb itself, else dashed beside it.
    beside = gating.ingate is not None
    assert len(lead) == (4 if beside else 6)
    feeder = next(iter(lead[0].contours))
    assert max(x for x, _ in feeder) - min(x for x, _ in feeder) == pytest.approx(
        1e3 * gating.feeder.top_diameter
    )
    cavity = next(iter(lead[-1].contours))
    assert max(x for x, _ in cavity) == pytest.approx(1e3 * gating.cavity.length, rel=1e-6)
    assert max(z for _, z in cavity) == pytest.approx(0.5e3 * gating.cavity.height, rel=1e-4)
    area = 0.5 * sum(
        x0 * z1 - x1 * z0 for (x0, z0), (x1, z1) in zip(cavity, (*cavity[1:], cavity[0]), strict=True)
    )
    assert abs(area) == pytest.approx(1e6 * gating.cavity.shadow, rel=0.01)
    assert any(job.shown.length(gating.over_crown) in words for words in words_of(view))


def test_one_section_shows_the_block_its_parting_and_its_keys_with_the_metal():
    for line, parting, hidden in (
        ("", 1, 5),
        ('orientation = "on-edge"\n', 0, 0),
        ('orientation = "nose-up"\n', 0, 0),
    ):
        job = job_of(PLAN + MOULD + line)
        view = gating_view(job)
        assert view is not None
        assert job.mould is not None
        lines = [shape for shape in view.shapes if isinstance(shape, Line)]
        assert len([one for one in lines if one.style is Style.PARTING]) == parting
        # Each of three keys behind the cut dashed, and sprue and cup; in the face each is a round of its own size.
        dashed = [one for one in view.shapes if isinstance(one, Polyline) and one.style is Style.HIDDEN]
        assert len(dashed) == hidden
        rounds = [one.radius for one in view.shapes if isinstance(one, Circle)]
        assert rounds == ([] if parting else [1e3 * key.radius for key in job.mould.keys])
        frame = frame_of(job.mould, along=True)
        assert view.box.left <= frame.block.left < frame.block.right <= view.box.right
        page = report_html(job, None)
        assert "drawn in the same section under Gating" in section_of(page, "mould")
        assert ("dashed lines are keys behind or in front of the cut" in section_of(page, "gating")) == bool(
            parting
        )


def test_upright_and_open_moulds_are_drawn_too():
    for line, words in (
        ('orientation = "nose-up"\n', "poured through it in"),
        ('kind = "open-halves"\n', "level mark"),
    ):
        view = gating_view(job_of(PLAN + MOULD + line))
        assert view is not None
        assert any(words in text for text in words_of(view))
        picture = svg_text(view)
        assert picture == svg_text(view)
        assert "nan" not in picture


def test_a_plan_without_a_mould_has_no_gating_to_draw():
    assert gating_view(job_of(PLAN + REST)) is None
    assert stock_and_pot_view(job_of(PLAN)) is None


def test_the_pots_bar_ends_at_the_charge_and_its_mark_at_the_fill():
    job = job_of(PLAN + SHEET + REST)
    assert job.melting is not None
    assert job.melting.pots is not None
    view = stock_and_pot_view(job)
    assert view is not None
    bars = [shape for shape in view.shapes if isinstance(shape, Region) and shape.style is Style.PART_A]
    widths = [max(x for x, _ in bar.contours[0]) - min(x for x, _ in bar.contours[0]) for bar in bars]
    brim = next(shape for shape in view.shapes if isinstance(shape, Region) and shape.style is Style.OUTLINE)
    full = max(x for x, _ in brim.contours[0]) - min(x for x, _ in brim.contours[0])
    assert widths[1] / full == pytest.approx(job.melting.pots.fill, rel=1e-12)
    assert math.isfinite(widths[0])


def test_imperial_reads_imperial():
    text = 'display_units = "imperial"\n' + PLAN + MOULD + SHEET + REST
    page = report_html(job_of(text), None)
    assert "lbf" in section_of(page, "gating")
    assert "BTU/h" in section_of(page, "melt")


def test_a_job_tells_its_melt_by_frozen_values():
    job = job_of(PLAN + SHEET + REST)
    with pytest.raises(dataclasses.FrozenInstanceError):
        job.melting.temperature = 1.0  # type: ignore[misc, union-attr]
