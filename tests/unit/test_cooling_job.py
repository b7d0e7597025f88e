"""Simulated cooling of a plan: run only if requested, and reported in plan.json and the report."""

from __future__ import annotations

import itertools
import json
import math
import re
import subprocess
import sys
from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
from plans import EXAMPLES, command

from bulbcast.drawing.shapes import Circle, Line, Polyline, Region, Style, Text, text_box
from bulbcast.drawing.svg import drawing_css, svg_text
from bulbcast.files.plan_file import load_plan
from bulbcast.findings import Severity
from bulbcast.foundry.cooling.chapter import cooling_chapter
from bulbcast.foundry.cooling.isochrones import bands, outlines, round_times
from bulbcast.foundry.cooling.keeping import SOUND, Keeping
from bulbcast.foundry.cooling.results import Cooling, Place, ShrinkageCavity
from bulbcast.foundry.cooling.rules import check_cooling, place_words
from bulbcast.foundry.cooling.setup import Cavity, Feeder, cavity_of
from bulbcast.foundry.cooling.simulate import simulated
from bulbcast.foundry.cooling.views import freezing_map, fronts, history_plot, short_time, time_at_solid
from bulbcast.foundry.cooling.work import cooling_setup
from bulbcast.job import Job, run, with_cooling
from bulbcast.job.plan_json import plan_object
from bulbcast.quantities import Shown
from bulbcast.report.as_html import chapter_html

SHOWN = Shown("metric")


@pytest.fixture(scope="module")
def fenwisp(example_job: Callable[[str], Job]) -> Job:
    said: list[float] = []
    job = with_cooling(example_job("fenwisp"), cells=6, progress=said.append)
    assert said == sorted(said)
    assert said[-1] == 1.0
    assert len(said) > 50
    return job


@pytest.fixture(scope="module")
def cooling(fenwisp: Job) -> Cooling:
    return fenwisp.cooling


def test_the_sampled_cavity_has_the_cast_body_s_volume_as_poured(fenwisp, cooling):
    poured = fenwisp.cast.volume * fenwisp.pattern.scale**3
    assert cooling.casting_volume == pytest.approx(poured, rel=3e-3)
    assert cooling.setup.cavity.volume == pytest.approx(poured, rel=1e-8)


def test_energy_is_conserved_to_a_millionth(cooling):
    energy = cooling.energy
    assert abs(energy.rest) < 1e-6 * energy.given
    assert energy.given > 0.0
    assert energy.bound_water == 0.0


def test_energy_is_conserved_in_a_metal_that_freezes_at_one_temperature_while_its_feeder_is_liquid(
    example_job,
):
    """Pure lead in the feeder freezes at the melting point, so its temperature does not show its heat content."""
    cooling = with_cooling(example_job("larkmoss"), cells=6).cooling
    assert cooling.setup.metal.solidus == cooling.setup.metal.liquidus
    feeder = replace(cooling.setup.feeder, until=cooling.frozen)
    cooling = simulated(replace(cooling.setup, feeder=feeder))
    assert cooling.frozen_feeder > cooling.frozen
    assert cooling.energy.torch > 0.0
    assert abs(cooling.energy.rest) < 1e-6 * cooling.energy.given


def test_mould_feeder_and_temperatures_are_those_of_the_plan(fenwisp, cooling):
    own, feeder = fenwisp.melting.gating.feeder, cooling.setup.feeder
    same = (own.diameter, own.height, own.foot, own.at, own.top_diameter)
    assert (feeder.diameter, feeder.height, feeder.foot, feeder.at, feeder.widest) == pytest.approx(
        same, abs=2e-7
    )
    # One shape: as sampled, the simulation has as much metal in it as the gating.
    assert cooling.feeder_volume == pytest.approx(own.volume, rel=0.03)
    assert cooling.setup.pour == fenwisp.melting.temperature
    assert cooling.setup.start == 80.0
    assert cooling.setup.ends == fenwisp.mould.margins.ends
    assert cooling.setup.mould.density == pytest.approx(fenwisp.mould.mix.baked_density, rel=2e-3)


def test_what_is_taken_is_reported_as_a_default(fenwisp, example_job):
    said = {taken.key for taken in fenwisp.defaults if taken.key.startswith("cooling.")}
    assert said == {"cooling.surroundings", "cooling.open_below"}
    bare = with_cooling(example_job("puddlejack"), cells=6)
    said = {taken.key for taken in bare.defaults if taken.key.startswith("cooling.")}
    assert {
        "cooling.mould",
        "cooling.feeder",
        "cooling.pour_temperature",
        "cooling.mould_temperature",
    } <= said


def test_the_casting_is_all_solid_before_it_may_be_opened(cooling):
    history = cooling.history
    assert 0.0 < cooling.frozen < cooling.open_after == history.time[-1]
    assert history.hottest[-1] < cooling.setup.open_below <= history.hottest[-2]
    assert history.solid[-1] == 1.0
    assert all(a <= b + 1e-9 for a, b in zip(history.solid, history.solid[1:], strict=False))
    assert time_at_solid(cooling, 0.5) < cooling.frozen


def test_findings_say_when_it_may_be_opened_and_what_is_fed(fenwisp):
    codes = {one.code: one for one in fenwisp.findings if one.where == "cooling"}
    assert codes["mould-opening"].severity is Severity.NOTE
    assert codes["mould-opening"].found == fenwisp.cooling.open_after
    assert codes["feeding-sound"].found == fenwisp.cooling.cavity_share


def test_a_feeder_is_kept_liquid_for_as_long_as_a_sound_casting_asks_and_no_longer(fenwisp, cooling):
    kept = cooling.kept
    assert cooling.cavity_share <= SOUND < kept.alone
    assert 0.0 < kept.until == cooling.setup.feeder.until < cooling.frozen
    # Released a fifth earlier the casting is not sound.
    early = replace(cooling.setup, feeder=replace(cooling.setup.feeder, until=0.8 * kept.until))
    assert simulated(early).cavity_share > SOUND
    # What is asked of her holds in the slowest mould, and is less than what was calculated without the simulation.
    gating = fenwisp.melting.gating
    assert gating.keep_least == kept.until < gating.keep
    assert gating.keep == pytest.approx(kept.until * cooling.frozen_high / cooling.frozen)


def test_a_bulb_sized_to_another_last_digit_is_cooled_as_the_same_bulb(fenwisp):
    """A relative change in mass of 4e-12 once changed the time for which the feeder is kept liquid by 0.8 s."""
    skin = fenwisp.poured.cavity.skin
    scaled = {
        name: tuple(one * (1.0 - 2e-12) for one in getattr(skin, name)) for name in ("x", "across", "up")
    }
    other = replace(skin, **scaled, volume=skin.volume * (1.0 - 4e-12), area=skin.area * (1.0 - 3e-12))
    job = replace(fenwisp, poured=replace(fenwisp.poured, cavity=replace(fenwisp.poured.cavity, skin=other)))
    assert job.poured.feeder.diameter != fenwisp.poured.feeder.diameter
    assert cooling_setup(job, cells=6) == cooling_setup(fenwisp, cells=6)


def test_the_search_sees_the_hollow_of_the_whole_run_though_it_stops_when_all_is_cut_off(cooling):
    keeping = Keeping(cooling.setup)
    for time in (0.0, 0.7 * cooling.kept.until, cooling.kept.until):
        whole = simulated(replace(cooling.setup, feeder=replace(cooling.setup.feeder, until=time)))
        assert keeping.released(time) == pytest.approx(whole.cavity_share, rel=0.1, abs=0.1 * SOUND)


def test_metal_that_is_not_liquid_is_not_simulated_and_the_plan_is_still_made(example_job):
    """The simulation once divided by a freezing time of zero."""
    job = example_job("fenwisp")
    cold = replace(job.poured, case=replace(job.poured.case, pour=job.alloy.liquidus))
    job = with_cooling(replace(job, poured=cold), cells=6)
    assert job.cooling is None
    (said,) = (one for one in job.findings if one.code == "cooling-not-simulated")
    assert said.found == said.limit == job.alloy.liquidus
    assert [(line.key, line.value) for line in said.fix] == [("pour.temperature", None)]
    assert "cooling" not in plan_object(job)


def test_a_casting_that_nothing_feeds_is_whole_and_covered_and_keeps_all_its_hollow(example_job):
    """A casting without a feeder was once simulated as an open lower half."""
    job = example_job("fenwisp")
    job = replace(job, poured=replace(job.poured, pour=replace(job.plan.pour, feeding="none")))
    cooling = with_cooling(job, cells=6).cooling
    assert cooling.setup.feeder is None
    assert cooling.casting_volume == pytest.approx(cooling.setup.cavity.volume, rel=3e-3)
    # All that freezing takes: what is liquid at the pour.
    assert cooling.cavity_share == pytest.approx(cooling.setup.metal.freezing_contraction, rel=0.02)
    assert cooling.path_closes == 0.0
    last = cooling.last_in_casting
    assert abs(last.up) < 0.3 * max(cooling.setup.cavity.up)
    fed = with_cooling(example_job("fenwisp"), cells=6).cooling
    assert cooling.frozen == pytest.approx(fed.frozen, rel=0.15)


def spoilt(cooling: Cooling) -> Cooling:
    """The same cooling with too thin a feeder, so that the casting freezes last and has a shrinkage cavity."""
    from bulbcast.foundry.cooling.results import ShrinkageCavity

    setup = cooling.setup
    place = Place(x=0.1, across=0.0, up=-0.01, in_casting=True)
    thin = replace(setup, feeder=Feeder(diameter=0.02, height=0.075, at=setup.feeder.at))
    hollow = ShrinkageCavity(volume=2e-6, place=place, cut_off=100.0, frozen=300.0)
    return replace(
        cooling,
        setup=thin,
        last=place,
        last_in_casting=place,
        frozen=300.0,
        frozen_feeder=110.0,
        kept=None,
        cavities=(hollow,),
        cavity_volume=2e-6,
        casting_volume=2e-4,
    )


def test_a_feeder_left_alone_that_freezes_first_is_a_caution_with_the_ways_out(cooling):
    found = {one.code: one for one in check_cooling(spoilt(cooling), porosity=0.005, shown=SHOWN)}
    assert found["feeder-freezes-first"].severity is Severity.CAUTION
    cavity = found["shrinkage-cavity"]
    assert cavity.severity is Severity.CAUTION
    assert cavity.found == pytest.approx(0.01)
    assert cavity.message.startswith(
        "Freezing leaves about 2.000 cm3 empty inside the casting, 1.00 % of it, more than the 0.50 % of voids that the "
        "plan allows for; the largest hollow, 2.000 cm3, is "
    )
    assert cavity.remedy == (
        'Keep the feeder liquid with a torch and hot metal, feeding = "kept"; or stand it in an insulating sleeve, '
        'feeding = "sleeved".'
    )


def test_a_bulb_cut_off_by_its_own_taper_is_reported_to_lie_down(cooling):
    bad = spoilt(cooling)
    upright = replace(
        bad, setup=replace(bad.setup, orientation="tail-up"), last=replace(bad.last, in_casting=False)
    )
    found = {one.code: one for one in check_cooling(upright, porosity=0.02, shown=SHOWN)}
    assert set(found) == {"shrinkage-cavity", "mould-opening"}
    assert found["shrinkage-cavity"].remedy == (
        'Keep the feeder liquid with a torch and hot metal, feeding = "kept"; or stand it in an insulating sleeve, '
        'feeding = "sleeved"; or pour the bulb lying down, with the feeder on its thickest part.'
    )


def test_places_are_reported_as_they_are_found_on_the_finished_bulb(cooling):
    cavity = cooling.setup.cavity
    place = Place(x=cavity.nose + cavity.scale * 0.05, across=0.0, up=0.0, in_casting=True)
    assert place_words(cooling, place, SHOWN) == "50.0 mm aft of the finished nose, on the axis"
    below = replace(place, up=-0.01 * cavity.scale)
    assert (
        place_words(cooling, below, SHOWN)
        == "50.0 mm aft of the finished nose, 10.0 mm below the axis as poured"
    )


def test_the_cavity_of_an_elliptical_bulb_lies_as_it_is_poured(example_job):
    job = example_job("saltmarrow")

    def cavity(on_its_side: bool) -> Cavity:
        cast, scale = job.cast, job.pattern.scale
        return cavity_of(job.bulb, finish=cast.finish, scale=scale, on_its_side=on_its_side)

    upright, turned = cavity(False), cavity(True)
    assert 2.0 * max(upright.across) == pytest.approx(job.cast.width * job.pattern.scale, rel=2e-4)
    assert 2.0 * max(upright.up) == pytest.approx(job.cast.height * job.pattern.scale, rel=2e-4)
    assert (turned.across, turned.up) == (upright.up, upright.across)
    assert upright.length == pytest.approx(job.cast.length * job.pattern.scale)


@pytest.fixture(scope="module", params=["lying", "nose-up", "tail-up", "open-half"])
def stood(request, fenwisp, cooling) -> Job:
    """The same bulb poured in each orientation."""
    if request.param == "lying":
        return fenwisp
    feeder = None if request.param == "open-half" else cooling.setup.feeder
    setup = replace(
        cooling.setup,
        orientation=request.param,
        feeder=feeder,
        cells=12 if request.param.endswith("up") else 6,
    )
    return replace(fenwisp, cooling=simulated(setup))


def test_every_way_to_pour_conserves_energy_and_volume(stood):
    cooling = stood.cooling
    share = 0.5 if cooling.setup.open_half else 1.0
    assert cooling.casting_volume == pytest.approx(share * cooling.setup.cavity.volume, rel=6e-3)
    assert abs(cooling.energy.rest) < 1e-6 * cooling.energy.given
    contraction = cooling.setup.metal.freezing_contraction
    whole = contraction * (cooling.casting_volume + cooling.feeder_volume)
    assert cooling.drawn + cooling.cavity_volume == pytest.approx(whole, rel=1e-9)


def test_the_bands_of_the_map_fill_the_metal_and_do_not_overlap(stood):
    from shapely.geometry import Polygon
    from shapely.ops import unary_union

    cooling = stood.cooling
    casting, feeder, _ = outlines(cooling, along=True)
    times = round_times(max(cooling.frozen, cooling.frozen_feeder or 0.0))
    metal = unary_union([Polygon(one).buffer(0.0) for one in (casting, feeder) if one])
    areas = []
    for contours in bands(cooling.along, cooling.along.frozen, times, (casting, feeder)):
        area = 0.0
        for one in contours:
            # A hole runs inside another contour of its band: even-odd.
            inside = sum(
                Polygon(other).contains(Polygon(one).representative_point())
                for other in contours
                if other is not one and Polygon(other).area > Polygon(one).area
            )
            area += Polygon(one).area * (-1.0 if inside % 2 else 1.0)
        areas.append(area)
    assert sum(areas) == pytest.approx(metal.area, rel=2e-3)


def test_pictures_and_section_hold_no_number_that_is_none(stood):
    cooling = stood.cooling
    views = [freezing_map(cooling, SHOWN), fronts(cooling, SHOWN), history_plot(cooling, Shown("imperial"))]
    if cooling.through is not None:
        views.append(freezing_map(cooling, SHOWN, along=False))
    for view in views:
        assert not re.search(r"\b(nan|inf)\b", svg_text(view))
    section = chapter_html(cooling_chapter(cooling, SHOWN))
    assert 'id="cooling"' in section
    assert "Chvorinov" in section
    assert "nan" not in re.findall(r"\b[a-z]+\b", section)


def test_the_map_is_light_where_it_freezes_first_and_dark_where_last(cooling):
    looks = [shape.style for shape in freezing_map(cooling, SHOWN).shapes if isinstance(shape, Region)]
    heat = [look for look in looks if look.startswith("heat-")]
    # The key's colours come after those of the map.
    tints = len(round_times(max(cooling.frozen, cooling.frozen_feeder or 0.0))) + 1
    drawn = heat[:-tints]
    assert drawn == sorted(drawn)
    assert drawn[-1] is Style.HEAT_8


def test_every_node_of_the_map_lies_in_the_tint_of_its_time_and_the_key_names_the_tints_in_order(stood):
    from shapely.geometry import Point, Polygon

    cooling = stood.cooling
    regions = [shape for shape in freezing_map(cooling, SHOWN).shapes if isinstance(shape, Region)]
    heat = [shape for shape in regions if shape.style.startswith("heat-")]
    times = round_times(max(cooling.frozen, cooling.frozen_feeder or 0.0))
    # The last tints are the squares of the key, from left to right: light to dark, from early to late.
    key = heat[-len(times) - 1 :]
    assert [one.contours[0][0][0] for one in key] == sorted(one.contours[0][0][0] for one in key)
    order = [one.style for one in key]
    assert order[0] is Style.HEAT_1
    assert order[-1] is Style.HEAT_8
    assert order == sorted(set(order))
    words = [
        s.text
        for s in freezing_map(cooling, SHOWN).shapes
        if isinstance(s, Text) and s.text.startswith("to ")
    ]
    ends = (*times, max(cooling.frozen, cooling.frozen_feeder or 0.0))
    assert words == [f"to {short_time(one, 3.0 * 3600.0)}" for one in ends]
    drawn = {one.style: [Polygon(contour) for contour in one.contours] for one in heat[: -len(key)]}
    cut, met = cooling.along, set()
    metal = [Polygon(one).buffer(-0.5) for one in outlines(cooling, along=True)[:2] if one]
    for j, up in enumerate(cut.second):
        for i, right in enumerate(cut.first):
            at, time = Point(1e3 * right, 1e3 * up), cut.frozen[j][i]
            # A node on a border of two tints may lie in either.
            if time is None or not any(one.contains(at) for one in metal):
                continue
            if min(abs(time - one) for one in times) < 0.02 * times[0]:
                continue
            tint = order[sum(time > one for one in times)]
            # Even-odd: a hole in a band lies in two of its contours.
            assert sum(one.contains(at) for one in drawn[tint]) % 2 == 1
            met.add(tint)
    assert len(met) >= 3


def test_the_feeder_stands_on_the_casting_and_the_end_that_is_named_is_up(stood):
    cooling = stood.cooling
    setup = cooling.setup
    casting, feeder, block = outlines(cooling, along=True)
    xs, levels = np.array(casting).T
    if setup.stands:
        nose_up = setup.orientation == "nose-up"
        # The nose is the blunter end: near it the casting is wider.
        span = np.ptp(levels)
        wide = [np.ptp(xs[abs(levels - end) < 0.08 * span]) for end in (levels.min(), levels.max())]
        assert (wide[1] > wide[0]) == nose_up
    elif setup.open_half:
        assert levels.max() == 0.0
    if feeder:
        heights = [y for _, y in feeder]
        assert max(heights) == pytest.approx(levels.max() + 1e3 * setup.feeder.height)
        assert np.ptp([x for x, _ in feeder]) == pytest.approx(1e3 * setup.feeder.widest)
        middle = 0.0 if setup.stands else 1e3 * setup.feeder.at
        assert 0.5 * (min(x for x, _ in feeder) + max(x for x, _ in feeder)) == pytest.approx(middle)
    assert levels.min() - min(y for _, y in block) == pytest.approx(1e3 * setup.below)


def test_the_map_names_its_parts_and_says_the_one_time_with_its_band_first(stood):
    cooling = stood.cooling
    words = [s.text for s in freezing_map(cooling, SHOWN).shapes if isinstance(s, Text)]
    assert {"mould", "nose", "tail", "hot spot:"} <= set(words)
    low, high = (SHOWN.duration(one) for one in (cooling.frozen_low, cooling.frozen_high))
    solid = SHOWN.duration(cooling.frozen)
    assert f"Casting solid after {solid}; {low} to {high}, depending on the mould's conductivity" in words
    assert ("feeder" in words) == (cooling.setup.feeder is not None)
    assert sum(solid in one for one in words if not one.startswith("to ")) >= 1


def test_bands_come_closer_towards_the_end():
    for longest in (361.0, 2000.0, 9745.0):
        times = (0.0, *round_times(longest), longest)
        widths = [later - sooner for sooner, later in itertools.pairwise(times)]
        assert widths[0] > 2.0 * widths[-2] > 0.0
        assert all(later <= 1.2 * sooner for sooner, later in itertools.pairwise(widths))


def test_the_last_metal_is_ringed_where_it_freezes(stood):
    cooling = stood.cooling
    place = Place(x=0.7 * cooling.setup.cavity.length, across=0.002, up=-0.006, in_casting=True)
    view = freezing_map(replace(cooling, last_in_casting=place, cavities=()), SHOWN)
    (ring,) = [s.centre for s in view.shapes if isinstance(s, Circle) and s.style is Style.RING]
    turn = {"nose-up": -1.0, "tail-up": 1.0}.get(cooling.setup.orientation)
    wanted = (place.x, place.up) if turn is None else (place.across, turn * place.x)
    assert ring == pytest.approx((1e3 * wanted[0], 1e3 * wanted[1]))


def test_the_line_to_the_last_metal_crosses_no_feeder(stood):
    from shapely.geometry import LineString, Polygon

    for along in (True, False):
        view = freezing_map(stood.cooling, SHOWN, along=along)
        casting, feeder, _ = outlines(stood.cooling, along=along)
        above = Polygon(feeder).difference(Polygon(casting)) if feeder else Polygon()
        ring = [s.centre for s in view.shapes if isinstance(s, Circle) and s.style is Style.RING]
        ways = [
            (s.start, s.end)
            for s in view.shapes
            if isinstance(s, Line) and s.style is Style.LEADER and s.start in ring
        ]
        assert len(ways) == len(ring)
        assert all(LineString(way).intersection(above).length == 0.0 for way in ways)
        boxes = [text_box(shape) for shape in view.shapes if isinstance(shape, Text)]
        assert not any(one.meets(other) for one, other in itertools.combinations(boxes, 2))


def test_the_largest_hollow_is_a_white_disc_of_its_own_volume_in_the_dark_too(cooling):
    big = ShrinkageCavity(
        volume=0.4e-6, place=Place(x=0.08, across=0.0, up=0.004, in_casting=True), cut_off=200.0, frozen=300.0
    )
    view = freezing_map(replace(cooling, cavities=(big,)), SHOWN)
    (disc,) = [s for s in view.shapes if isinstance(s, Circle) and s.style is Style.VOID]
    assert 4.0 / 3.0 * math.pi * disc.radius**3 == pytest.approx(400.0, rel=1e-9)
    assert disc.centre == pytest.approx((80.0, 4.0))
    rules = dict(re.findall(r"\.view \.([\w-]+)\{([^}]*)\}", drawing_css()))
    # A page changes colours by variables: what lies on the map's own tints must have none.
    for name in ("void", "ring", *(f"heat-{number}" for number in range(1, 9))):
        assert "var(" not in rules[name]
    assert "fill:#fff;stroke:#1d2b33" in rules["void"]


def test_across_the_axis_a_flattened_bulb_is_as_wide_and_high_as_it_lies(cooling):
    setup = cooling.setup
    flat = replace(setup.cavity, up=tuple(0.6 * one for one in setup.cavity.up))
    body, feeder, _ = outlines(replace(cooling, setup=replace(setup, cavity=flat)), along=False)
    at = setup.feeder.at
    wide, high = (2e3 * float(np.interp(at, flat.x, one)) for one in (flat.across, flat.up))
    xs, ys = np.array(body).T
    assert (np.ptp(xs), np.ptp(ys)) == pytest.approx((wide, high), rel=1e-3)
    assert high < 0.7 * wide
    assert max(y for _, y in feeder) > ys.max()


def test_what_is_liquid_shrinks_from_picture_to_picture_inside_what_is_soft(cooling):
    from shapely.geometry import Polygon

    drawn = [s for s in fronts(cooling, SHOWN).shapes if isinstance(s, Region)]
    places = sorted({s.contours[0][0] for s in drawn if s.style is Style.FROZEN})
    assert len(places) >= 4

    def sizes(style):
        return [sum(Polygon(one).area for one in s.contours) for s in drawn if s.style is style]

    soft, liquid = sizes(Style.MUSHY), sizes(Style.LIQUID)
    assert soft == sorted(soft, reverse=True)
    assert liquid == sorted(liquid, reverse=True)
    assert len(soft) == 4
    assert all(one <= other * (1.0 + 1e-9) for one, other in zip(liquid, soft, strict=False))


def test_the_temperatures_fall_to_the_right_and_downwards(cooling):
    view = history_plot(cooling, SHOWN)
    hottest = next(s.points for s in view.shapes if isinstance(s, Polyline) and s.style is Style.CURVE)
    (x0, y0), (x1, y1) = hottest[0], hottest[-1]
    assert x1 > x0
    assert y0 > y1 > 0.0
    ticks = [(float(s.text), s.at[1]) for s in view.shapes if isinstance(s, Text) and s.text.isdigit()]
    (low, foot), (high, top) = min(ticks), max(ticks)
    history = cooling.history
    for (_, y), celsius in zip(hottest, history.hottest, strict=True):
        assert y == pytest.approx(foot + (top - foot) * (celsius - low) / (high - low), abs=1e-6)


def test_round_times_part_any_freezing_into_few_bands():
    for longest in (3.0, 47.0, 361.0, 9745.0, 86400.0, 1e6):
        times = round_times(longest)
        assert 3 <= len(times) + 1 <= 8
        assert times[-1] < longest


def test_no_two_bands_of_the_key_are_written_alike():
    for longest in np.geomspace(30.0, 3e5, 400):
        words = [short_time(one, 10800.0) for one in (*round_times(longest), longest)]
        assert len(set(words)) == len(words), (longest, words)


def test_the_two_maps_say_different_things_and_no_two_labels_share_a_leader(stood):
    cooling = stood.cooling
    said = []
    for along in (True, False):
        if not along and cooling.through is None:
            continue
        shapes = freezing_map(cooling, SHOWN, along=along).shapes
        said.append([s.text for s in shapes if isinstance(s, Text) and s.style is Style.HEADING])
        feet = [s.points[0][0] for s in shapes if isinstance(s, Polyline) and s.style is Style.LEADER]
        assert all(abs(a - b) > 0.5 for a, b in itertools.combinations(feet, 2))
    assert all(len(one) == 1 for one in said)
    assert len({one[0] for one in said}) == len(said)


def test_every_upright_line_over_the_temperatures_has_its_name(cooling):
    shapes = history_plot(cooling, SHOWN).shapes
    lines = [s.start[0] for s in shapes if isinstance(s, Line) and s.style is Style.AXIS]
    words = [s for s in shapes if isinstance(s, Text) and s.at[1] > 50.0]
    opened = f"do not open before {SHOWN.duration(cooling.open_after)}"
    for text, line in zip(("all solid", opened), lines, strict=True):
        (name,) = [s for s in words if s.text == text]
        assert abs(name.at[0] - line) == pytest.approx(1.0)


# The command


def test_the_option_adds_the_cooling_and_keeps_stdout_for_json_alone():
    done = command("plan", EXAMPLES / "fenwisp.toml", "--json", "--cooling", "--cells", "6")
    assert done.exit_code == 0, done.output
    said = json.loads(done.stdout)
    assert "Cooling" in done.stderr
    cooling = said["cooling"]
    assert cooling["casting_frozen_s"] > 0.0
    assert set(cooling["last_to_freeze"]) == {"x_from_nose_m", "across_m", "up_m", "part"}
    assert abs(cooling["energy"]["rest_j"]) < 1e-6 * cooling["energy"]["given_by_metal_j"]
    assert len(cooling["history"]) > 50


def test_a_bundle_with_cooling_has_its_section(tmp_path):
    done = command("plan", EXAMPLES / "fenwisp.toml", "--cooling", "--cells", "6", "--out", tmp_path / "out")
    assert done.exit_code == 0, done.output
    page = (tmp_path / "out" / "report.html").read_text(encoding="utf-8")
    assert '<section id="cooling">' in page


def test_the_same_plan_cools_the_same_to_the_last_digit(fenwisp):
    again = with_cooling(run(*load_plan(EXAMPLES / "fenwisp.toml")), cells=6)
    assert json.dumps(plan_object(again)) == json.dumps(plan_object(fenwisp))


def test_cells_without_cooling_are_misuse():
    done = command("plan", EXAMPLES / "fenwisp.toml", "--json", "--cells", "8")
    assert done.exit_code == 2
    assert "--cells applies to the simulation, so give --cooling too" in done.stderr


def test_without_the_option_nothing_changes_and_scipy_stays_away(example_job):
    job = example_job("fenwisp")
    assert job.cooling is None
    assert "cooling" not in plan_object(job)
    code = (
        f"import sys\nsys.argv = ['bulbcast', 'plan', {str(EXAMPLES / 'fenwisp.toml')!r}, '--json']\n"
        "import io, contextlib\nfrom bulbcast.cli.main import main\nwith contextlib.redirect_stdout(io.StringIO()):\n"
        "    try:\n        main()\n    except SystemExit as done:\n        assert done.code in (0, None)\n"
        "print('scipy' in sys.modules, 'bulbcast.foundry.cooling.simulate' in sys.modules)"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, cwd=EXAMPLES.parent, check=True
    )
    assert done.stdout.split() == ["False", "False"]
