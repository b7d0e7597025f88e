"""Titles of drawings use the job's figures and change with them."""

from __future__ import annotations

import math
import re
from dataclasses import replace

import pytest
from plans import EXAMPLES, bare_example

from bulbcast.ballast.profile_view import boat_profile, boat_words
from bulbcast.bulb.views.charts import hung_mass_bar
from bulbcast.bulb.views.plan_view import plan_view
from bulbcast.bulb.views.side_view import side_view
from bulbcast.files.drying_log import COLUMNS, log_of
from bulbcast.files.plan_file import load_plan
from bulbcast.foundry.drying.curve import drying_curve, drying_words
from bulbcast.foundry.drying.rules import to_the_hour, when
from bulbcast.job import run
from bulbcast.pattern.waterfall import waterfall
from bulbcast.pattern_shop.measured import with_pieces
from bulbcast.pattern_shop.pieces.pictures import pieces_picture
from bulbcast.pattern_shop.pieces.views import draft_view, exploded_view
from bulbcast.plan.reading import read_plan
from bulbcast.sailing.views import righting_arm_plot, righting_words, trade_plot, wind_heel_plot


@pytest.fixture(scope="module")
def larkmoss():
    return run(*load_plan(EXAMPLES / "larkmoss.toml"))


@pytest.mark.parametrize("name", ["fenwisp", "puddlejack", "saltmarrow"])
def test_the_bulbs_views_say_its_sizes_and_what_hangs(name, example_job):
    job = example_job(name)
    bulb, shown = job.bulb, job.shown
    side, plan, bar = side_view(job).title, plan_view(job).title, hung_mass_bar(job).title
    assert shown.length(bulb.body.length) in side
    assert shown.length(bulb.body.height) in side
    assert f"balancing {shown.length(bulb.mass_centre_x)} from the nose" in side
    assert ("in diameter" in side) is (bulb.body.width_to_height == 1.0)
    assert plan == (
        f"The bulb from above: greatest width {shown.length(bulb.body.width)}, "
        f"{shown.length(bulb.body.max_at)} from the nose"
    )
    lead = sum(line.mass for line in bulb.lines if line.kind in ("lead", "drilled"))
    assert bar.startswith("What hangs on the fin: ")
    assert f"{shown.percent(lead / bulb.mass)} of it lead" in bar
    assert shown.mass(bulb.mass) in bar


@pytest.mark.parametrize("name", ["fenwisp", "puddlejack"])
def test_the_patterns_pictures_say_its_length_pieces_and_draft(name, example_job):
    job, _ = with_pieces(example_job(name))
    picture = pieces_picture(job)
    title = waterfall(job).title
    assert title == (
        f"From finished lead {job.shown.length(job.bulb.body.length)} long to a pattern "
        f"{job.shown.length(job.pattern.length)} long, step by step"
    )
    assert exploded_view(picture).title == f"The pattern in {len(picture.looks)} pieces"
    # The band that holds the least draft of all facets, as the table of draws has it.
    halves = [row for row in job.shop.measured.draws if row.solid.endswith("half")]
    least = min(math.degrees(row.draw.smallest) for row in halves)
    undercut = any(row.draw.undercut_area > 0.0 for row in halves)
    said = draft_view(job.shop, picture).title
    assert said.startswith("Part of the pattern is undercut") is undercut
    if not undercut:
        low, high = (float(number) for number in re.findall(r"[\d.]+", said)[:2])
        assert low <= least + 0.01
        assert least <= high + 0.01


def test_the_boats_view_says_how_she_lies(larkmoss):
    boat, shown = larkmoss.boat, larkmoss.shown
    assert boat_profile(larkmoss).title == "With this bulb she floats level on her design waterline"
    lies = replace(boat.lies, sinkage=0.004, trim=-0.012)
    said = boat_words(replace(boat, lies=lies), shown)
    assert (
        said
        == f"With this bulb she floats {shown.length(0.004)} deeper than her line and {shown.length(0.012)} down by the bow"
    )
    lies = replace(boat.lies, sinkage=-0.004, trim=0.0)
    assert boat_words(replace(boat, lies=lies), shown).endswith(f"{shown.length(0.004)} above her line")
    assert "design waterline" in boat_words(replace(boat, lies=None), shown)


def test_the_plots_of_her_standing_say_what_the_tables_say(larkmoss):
    standing, shown = larkmoss.standing, larkmoss.shown
    curve, sailing = standing.curve, standing.sailing
    title = righting_arm_plot(standing, shown).title
    assert shown.length(curve.largest_arm) in title
    assert f"at {math.degrees(curve.largest_arm_heel):.0f}° of heel" in title
    assert title.endswith("the boat rights herself from any heel")
    assert righting_words(replace(curve, vanishing=math.radians(117.2)), shown).endswith(
        "it vanishes at 117°"
    )
    assert righting_words(replace(curve, positive_from=None), shown).startswith("There is no righting arm")
    wind = wind_heel_plot(sailing, shown).title
    assert wind == f"A steady {shown.speed(sailing.wind)} heels the boat {math.degrees(sailing.heel):.0f}°"
    assert wind_heel_plot(replace(sailing, heel=None), shown).title.endswith("lays the boat flat")
    trade = trade_plot(standing.trade, shown).title
    winds = [
        one.winds[1].wind
        for tip in range(len(standing.trade.tips))
        for one in standing.trade.row(tip)
        if one.winds
    ]
    assert shown.speed(min(winds)) in trade
    assert shown.speed(max(winds)) in trade
    assert f"{shown.speed(sailing.winds[1].wind)} as planned" in trade


def drying(*rows):
    text = bare_example("fenwisp") + '\n[mould]\nmaterial = "plaster"\ndrying = "baked"\n'
    log = log_of("\n".join([",".join(COLUMNS), *rows]).encode(), ("drag", "cope"), source="x.csv")
    return run(read_plan(text, source="fenwisp.toml"), drying_log=log, remedies=False)


def test_the_drying_curve_says_what_is_still_to_lose_and_when_it_is_likely_dry():
    job = drying(
        "2026-06-04T08:00,just set,drag,3000 g,,",
        *(
            f"2026-06-04T{hour}:00,weighed,drag,{mass} g,160 C,"
            for hour, mass in ((12, 2450), (16, 2110), (20, 1930))
        ),
    )
    part = job.drying.parts[0]
    likely = part.time_after(part.trend.likely)
    assert drying_curve(part, job.drying, job.shown).title == (
        f"The drag has {job.shown.mass(part.left)} still to lose; likely to be dry and at constant mass by "
        f"{when(to_the_hour(likely))}"
    )
    down = drying("2026-06-04T08:00,just set,drag,3000 g,,", "2026-06-04T20:00,weighed,drag,1700 g,160 C,")
    part = down.drying.parts[0]
    assert drying_words(part, down.shown) == "The drag has reached its dry mass"
    rows = [f"2026-06-04T{hour}:00,weighed,drag,1745 g,160 C," for hour in (15, 16, 17)]
    passed = drying(
        "2026-06-04T08:00,just set,drag,3000 g,,", *rows, "2026-06-04T17:00,temperature,drag,80 C,,"
    )
    part = passed.drying.parts[0]
    assert part.passed
    assert (
        drying_words(part, passed.shown)
        == f"The drag has passed; the pass holds until {when(part.holds_until)}"
    )


def test_axes_of_the_plots_say_where_they_do_not_start_at_zero(larkmoss):
    def said(view):
        return [one.text for one in view.shapes if getattr(one, "text", "").startswith("axis starts ")]

    assert len(said(trade_plot(larkmoss.standing.trade, larkmoss.shown))) == 1
    assert said(righting_arm_plot(larkmoss.standing, larkmoss.shown)) == []
    assert said(wind_heel_plot(larkmoss.standing.sailing, larkmoss.shown)) == []
