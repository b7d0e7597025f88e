"""Comparison of feeding methods: each result equals that of the plan with the method typed."""

from __future__ import annotations

import pytest
from plans import LEAST

from bulbcast.foundry.cooling.keeping import SOUND
from bulbcast.foundry.gating.chapter import gating_chapter
from bulbcast.foundry.gating.ways import FEEDINGS, ways_of
from bulbcast.job import Job, run
from bulbcast.job.plan_json import plan_object
from bulbcast.job.terminal import terminal_text
from bulbcast.plan.reading import read_plan
from bulbcast.report.as_html import chapter_html


def planned(pour: str = "", mould: str = "") -> Job:
    # The voids are typed: where they are not, a bulb that nothing feeds is sized larger, and the ways compare one casting.
    least = LEAST.replace('grade = "pure"\n', 'grade = "pure"\nporosity = "1 %"\n')
    text = f'{least}[mould]\nmaterial = "plaster"\ndrying = "baked"\n{mould}\n[pour]\n{pour}\n'
    return run(read_plan(text, source="plan.toml"))


@pytest.fixture(scope="module")
def plain() -> Job:
    return planned()


@pytest.mark.parametrize("way", FEEDINGS)
def test_what_is_said_of_a_way_is_what_the_plan_gets_when_it_is_typed(plain, way):
    said = {one.way: one for one in ways_of(plain.poured, plain.melting.gating)}
    typed = planned(f'feeding = "{way}"')
    gating = typed.melting.gating
    assert said[way].poured == pytest.approx(gating.poured, rel=1e-12)
    assert said[way].planned == (way == "kept")
    codes = {one.code for one in typed.findings}
    assert said[way].too_wide == ("feeder-wider-than-bulb" in codes)
    assert said[way].too_long == ("tending-long" in codes)
    own = next(one for one in ways_of(typed.poured, gating) if one.planned)
    assert own.way == way
    assert own.hollow == pytest.approx(said[way].hollow, rel=1e-12)


def test_metal_that_is_not_fed_costs_what_shrinks(plain):
    gating = plain.melting.gating
    said = {one.way: one for one in ways_of(plain.poured, gating)}
    assert said["none"].hollow == pytest.approx(gating.feed * gating.cast_mass)
    assert said["kept"].hollow == pytest.approx(SOUND * gating.cast_mass)
    assert said["none"].poured < said["kept"].poured < said["sleeved"].poured < said["alone"].poured


def test_a_feeder_given_by_its_size_is_judged_by_the_simulation_alone():
    job = planned('feeder_diameter = "15 mm"')
    own = next(one for one in ways_of(job.poured, job.melting.gating) if one.planned)
    assert own.hollow is None
    assert "see --cooling" in chapter_html(gating_chapter(job, job.melting))
    seen = ways_of(job.poured, job.melting.gating, simulated=0.002)
    assert next(one for one in seen if one.planned).hollow == 0.002


def test_no_way_is_offered_for_an_open_mould():
    job = planned(mould='kind = "open-halves"')
    assert ways_of(job.poured, job.melting.gating) == ()
    assert plan_object(job)["melting"]["gating"]["ways"] is None


def test_a_table_says_how_the_others_are_typed(plain):
    shown = chapter_html(gating_chapter(plain, plain.melting))
    assert "planned" in shown
    assert "feeding = &quot;sleeved&quot;" in shown
    assert "no: wider than the bulb" in shown
    terminal = " ".join(terminal_text(plain, colour=False, width=100).split())
    assert 'To choose another method, type under [pour]: feeding = "sleeved" or "none".' in terminal
    ways = plan_object(plain)["melting"]["gating"]["ways"]
    assert [one["way"] for one in ways] == list(FEEDINGS)
    assert all(isinstance(one["poured_kg"], float) for one in ways)


def test_a_metal_that_takes_more_says_why(plain):
    why = "stops running in the thin end sooner than pure lead"
    assert why not in chapter_html(gating_chapter(plain, plain.melting))
    text = LEAST.replace('"pure"', '"antimonial-4"').replace('"2.45 kg"', '"1 kg"')
    job = run(
        read_plan(f'{text}[mould]\nmaterial = "plaster"\ndrying = "baked"\n', source="plan.toml"),
        remedies=False,
    )
    gating = job.melting.gating
    assert gating.poured > 1.2 * gating.cast_mass
    assert why in chapter_html(gating_chapter(job, job.melting))


def test_castings_that_were_simulated_are_said_in_the_readers_units():
    text = 'display_units = "imperial"\n' + LEAST + '[mould]\nmaterial = "plaster"\ndrying = "baked"\n'
    job = run(read_plan(text, source="plan.toml"))
    shown = chapter_html(gating_chapter(job, job.melting))
    assert "in simulated castings of 1 lb 2 oz to 309 lb (0.5 to 140 kg)" in shown


def test_where_no_voids_are_typed_the_ways_say_that_the_bulb_follows_the_way() -> None:
    said = "without a feeder it is larger by the volume left empty"
    mould = '[mould]\nmaterial = "plaster"\ndrying = "baked"\n'
    assumed, typed = run(read_plan(LEAST + mould, source="plan.toml")), planned()
    assert said in chapter_html(gating_chapter(assumed, assumed.melting))
    assert said not in chapter_html(gating_chapter(typed, typed.melting))
