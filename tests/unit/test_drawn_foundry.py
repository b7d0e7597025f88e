"""Drawn coordinates of the mould, gating, frame, pot and drying compared with the plan and the log."""

from __future__ import annotations

import math
from datetime import timedelta

import numpy as np
import pytest
from plans import bare_example, example_text
from shapely.geometry import LineString, Polygon, box

from bulbcast.drawing.shapes import (
    Circle,
    Dimension,
    Line,
    Polyline,
    Region,
    Style,
    Text,
    dimension_text,
    text_box,
)
from bulbcast.files.drying_log import COLUMNS, log_of
from bulbcast.foundry.drying.curve import drying_curve
from bulbcast.foundry.gating.parting_views import across_view, parting_face_view
from bulbcast.foundry.gating.view import gating_view
from bulbcast.foundry.melt.view import stock_and_pot_view
from bulbcast.foundry.mould.section_view import cavity_across, cavity_along, frame_of, mould_section
from bulbcast.job import run
from bulbcast.pattern_shop.frame.view import frame_view
from bulbcast.plan.reading import read_plan, read_plan_table

WAYS = [
    ("lying", "upper-lower", "height"),
    ("on-edge", "upper-lower", "width"),
    ("nose-up", "upper-lower", "width"),
    ("tail-up", "port-starboard", "height"),
    ("lying", "port-starboard", "width"),
]


def job_of(*, wide=1.6, bulb=None, **sections):
    table = {
        "bulb": {"target_mass": "2.45 kg", "fineness": 5, "width_to_height": wide, **(bulb or {})},
        "alloy": {"grade": "sheet"},
        "fin": {"tip_chord": "70 mm", "tip_thickness": "7 mm", "pocket_depth": "6 mm"},
        **sections,
    }
    return run(read_plan_table(table, source="x.toml", sha256="0" * 64), remedies=False)


def mould(**more):
    return {"material": "plaster", "drying": "baked", **more}


def regions(view, style):
    return [np.array(s.contours[0]) for s in view.shapes if isinstance(s, Region) and s.style is style]


def size(points):
    return tuple(points.max(axis=0) - points.min(axis=0))


def texts(view):
    return {s.text: s.at for s in view.shapes if isinstance(s, Text)}


# Gating and mould


@pytest.fixture(scope="module")
def flattened():
    return {(way, split): job_of(mould=mould(orientation=way, split=split)) for way, split, _ in WAYS}


@pytest.mark.parametrize(("way", "split", "shows"), WAYS)
def test_a_flattened_bulb_shows_its_height_or_its_width_as_it_lies_in_the_mould(flattened, way, split, shows):
    job = flattened[way, split]
    # The finished bulb with its finish allowance, hot: 1.6 times as wide as high.
    wanted = 1e3 * job.pattern.scale * (getattr(job.bulb.body, shows) + 2.0 * job.cast.finish)
    across = 0 if way.endswith("up") else 1
    cavity = regions(gating_view(job), Style.LEAD)[-1]
    assert size(cavity)[across] == pytest.approx(wanted, rel=1e-3)
    assert size(cavity)[1 - across] == pytest.approx(
        1e3 * job.pattern.scale * (job.bulb.body.length + 2.0 * job.cast.finish), rel=1e-3
    )
    outline = np.array(cavity_along(job, frame_of(job.mould, along=True)))
    assert size(outline)[across] == pytest.approx(wanted, rel=2e-3)


def test_sprue_feeder_and_vents_stand_at_their_places_and_the_sprue_narrows_downwards(flattened):
    job = flattened["lying", "upper-lower"]
    gating = job.melting.gating
    view = gating_view(job)
    feeder, *vents, _ = regions(view, Style.LEAD)
    # Sprue and cup stand beside the bulb: dashed. The keys' dashes come before them.
    sprue, cup = [
        np.array(s.points) for s in view.shapes if isinstance(s, Polyline) and s.style is Style.HIDDEN
    ][-2:]
    for points, at in (
        (feeder, gating.feeder.at),
        *zip(vents, (vent.at for vent in gating.vents), strict=True),
        (sprue, gating.sprue_at),
        (cup, gating.sprue_at),
    ):
        assert 0.5 * (points[:, 0].min() + points[:, 0].max()) == pytest.approx(1e3 * at)
    low, high = (sprue[np.isclose(sprue[:, 1], level)] for level in (sprue[:, 1].min(), sprue[:, 1].max()))
    assert size(low)[0] == pytest.approx(1e3 * gating.choke.diameter)
    assert size(high)[0] == pytest.approx(1e3 * gating.sprue.top_diameter)
    assert size(high)[0] > size(low)[0]
    # All stand as high as planned over the crown.
    crown = 0.5e3 * gating.cavity.height
    for points in (feeder, *vents, cup):
        assert points[:, 1].max() - crown == pytest.approx(1e3 * gating.over_crown)


def test_the_end_that_is_named_stands_up_and_the_open_half_has_its_flat_face_up(flattened):
    # The nose is the blunter end: a slice near it is wider.
    for (way, split), nose_up in ((("nose-up", "upper-lower"), True), (("tail-up", "port-starboard"), False)):
        cavity = regions(gating_view(flattened[way, split]), Style.LEAD)[-1]
        bottom, top = cavity[:, 1].min(), cavity[:, 1].max()
        near = 0.08 * (top - bottom)
        wide_above = size(cavity[cavity[:, 1] > top - near])[0]
        wide_below = size(cavity[cavity[:, 1] < bottom + near])[0]
        assert (wide_above > wide_below) == nose_up
    job = job_of(mould=mould(kind="open-halves"))
    (half,) = regions(gating_view(job), Style.LEAD)
    deep = 1e3 * job.pattern.scale * (0.5 * job.bulb.body.width + job.cast.finish)
    assert half[:, 1].min() == pytest.approx(-deep, rel=1e-3)
    assert half[:, 1].max() < 0.2 * deep
    across = np.array(cavity_across(frame_of(job.mould, along=False)))
    assert (across[:, 1].min(), across[:, 1].max()) == pytest.approx((-deep, 0.0), rel=5e-3)


def test_the_block_has_its_own_margin_on_each_side_of_the_cavity(flattened):
    # More mould below than above.
    job = flattened["lying", "upper-lower"]
    margins = job.mould.margins
    assert margins.below > margins.above + 1e-3
    frame = frame_of(job.mould, along=True)
    left, low, right, high = Polygon(cavity_along(job, frame)).bounds
    block = frame.block
    found = (low - block.bottom, block.top - high, left - block.left, block.right - right)
    wanted = (margins.below, margins.above, margins.ends, margins.ends)
    assert found == pytest.approx([1e3 * one for one in wanted], abs=0.3)
    across = frame_of(job.mould, along=False)
    assert (across.block.width, across.block.height) == pytest.approx(
        (1e3 * job.mould.block.width, 1e3 * job.mould.block.height)
    )
    left, _, right, _ = Polygon(cavity_across(across)).bounds
    assert (left - across.block.left, across.block.right - right) == pytest.approx(
        [1e3 * margins.sides] * 2, abs=0.1
    )


def test_the_drag_is_named_below_the_cope(flattened):
    job = flattened["lying", "upper-lower"]
    places = texts(mould_section(job, along=True))
    assert [part.name for part in job.mould.parts] == ["drag", "cope"]
    assert places["drag"][1] < places["parting"][1] < places["cope"][1]


def test_keys_are_drawn_where_they_are_planned(flattened):
    face = flattened["on-edge", "upper-lower"]
    rounds = [
        (*s.centre, s.radius)
        for s in mould_section(face, along=True).shapes
        if isinstance(s, Circle) and s.style is Style.PAPER
    ]
    assert len({key.across for key in face.mould.keys}) > 1
    assert rounds == [
        pytest.approx((1e3 * key.along, 1e3 * key.across, 1e3 * key.radius)) for key in face.mould.keys
    ]
    # Across a level parting a key's dashes begin and end a radius to each side of it.
    job = flattened["lying", "upper-lower"]
    for along in (True, False):
        drawn = [
            s.points[0][0]
            for s in mould_section(job, along=along).shapes
            if isinstance(s, Polyline) and s.style is Style.HIDDEN
        ]
        for key in job.mould.keys:
            at, radius = 1e3 * (key.along if along else key.across), 1e3 * key.radius
            if along or abs(key.across) >= 0.5 * job.mould.pattern.width + key.radius:
                assert any(x == pytest.approx(at + radius) for x in drawn)


# The frame


@pytest.fixture(scope="module")
def framed():
    text = example_text("fenwisp")

    def planned(more, line=""):
        plan = text.replace("[mould]\n", f"[mould]\n{line}", 1).replace(
            "[bulb]\n", "[bulb]\nwidth_to_height = 1.4\n", 1
        )
        return run(read_plan(f'{plan}\n[frame]\nkind = "boards"\n{more}', source="x.toml"), remedies=False)

    return {
        "horizontal": planned('[parting]\nplane = "horizontal"\n'),
        "vertical": planned(
            '[parting]\nplane = "vertical"\n', 'orientation = "on-edge"\nsplit = "port-starboard"\n'
        ),
    }


@pytest.mark.parametrize(("plane", "shows"), [("horizontal", "width"), ("vertical", "height")])
def test_the_frame_shows_the_pattern_from_the_side_that_it_parts_on(framed, plane, shows):
    job = framed[plane]
    assert job.shop.plane == plane
    (pattern,) = regions(frame_view(job), Style.PATTERN)
    along, across = size(pattern)
    assert along == pytest.approx(1e3 * job.bulb.body.length, rel=0.03)
    assert across == pytest.approx(1e3 * getattr(job.bulb.body, shows), rel=0.05)


@pytest.mark.parametrize("plane", ["horizontal", "vertical"])
def test_keys_and_formers_of_the_frame_stand_where_they_are_planned(framed, plane):
    job = framed[plane]
    view, frame = frame_view(job), job.shop.frame
    keys = [s.centre for s in view.shapes if isinstance(s, Circle) and s.style is Style.HOLE]
    assert len({across for _, across in frame.keys}) > 1
    assert keys == [pytest.approx((1e3 * x, 1e3 * y)) for x, y in frame.keys]
    feet = regions(view, Style.HOLE)
    assert len(feet) == len(frame.formers) >= 3
    for points, one in zip(feet, frame.formers, strict=True):
        left, right = points[:, 0].min(), points[:, 0].max()
        assert 0.5 * (left + right) == pytest.approx(1e3 * one.x)
        if plane == "vertical":
            low = points[np.isclose(points[:, 1], 1e3 * one.z)]
            high = points[np.isclose(points[:, 1], 1e3 * (one.z + one.length))]
            assert (size(low)[0], size(high)[0]) == pytest.approx(
                (1e3 * one.foot_diameter, 1e3 * one.top_diameter)
            )
            assert one.top_diameter >= one.foot_diameter
        else:
            assert 0.5 * (points[:, 1].min() + points[:, 1].max()) == pytest.approx(1e3 * one.y, abs=1e-9)
            assert right - left == pytest.approx(1e3 * one.foot_diameter)
    if plane == "horizontal":
        assert frame.formers[0].y > 0.0


# Metal on hand and the pot


@pytest.mark.parametrize(("gross", "short"), [("8 kg", False), ("1 kg", True)])
def test_the_bar_of_scrap_ends_at_what_is_on_hand_and_its_mark_at_what_is_needed(gross, short):
    job = job_of(wide=1.0, scrap=[{"name": "roof", "kind": "sheet", "gross": gross, "condition": "dry"}])
    view, stock = stock_and_pot_view(job), job.melting.stock
    bars = [s for s in view.shapes if isinstance(s, Region)]
    (mark,) = [s.start[0] for s in view.shapes if isinstance(s, Line) and s.style is Style.OUTLINE]
    left, right = (f(x for x, _ in bars[0].contours[0]) for f in (min, max))
    assert (right - left) / (mark - left) == pytest.approx(stock.available / stock.wanted, rel=1e-9)
    assert bars[0].style is (Style.LESS if short else Style.PART_A)


# Drying


@pytest.fixture(scope="module")
def dried():
    rows = [",".join(COLUMNS)]
    for part, mass in (("drag", 3000), ("cope", 2600)):
        rows.append(f"2026-06-04T08:00,just set,{part},{mass} g,,")
    for hour, drag, cope in ((12, 2450, 2150), (16, 2110, 1860), (20, 1930, 1700)):
        for part, mass in (("drag", drag), ("cope", cope)):
            rows.append(f"2026-06-04T{hour}:00,weighed,{part},{mass} g,160 C,")
    log = log_of("\n".join(rows).encode(), ("drag", "cope"), source="x.csv")
    text = bare_example("fenwisp")
    section = '[mould]\nmaterial = "plaster"\ndrying = "baked"\nreinforcement = "150 g"\n'
    return run(read_plan(f"{text}\n{section}", source="x.toml"), drying_log=log, remedies=False)


def test_drying_runs_to_the_right_and_downwards_in_plaster_without_its_steel(dried):
    part = dried.drying.parts[0]
    assert dried.drying.rules.reinforcement == pytest.approx(0.150)
    view = drying_curve(part, dried.drying, dried.shown)
    points = np.array(
        next(s.points for s in view.shapes if isinstance(s, Polyline) and s.style is Style.LEADER)
    )
    hours = np.array([0.0, 4.0, 8.0, 12.0])
    assert np.diff(points[:, 0]) / np.diff(hours) == pytest.approx(
        (points[-1, 0] - points[0, 0]) / 12.0, rel=1e-9
    )
    assert points[-1, 0] > points[0, 0]
    # A scale from two grid lines: the just-set plaster is 100 %.
    ticks = {s.text: s.at[1] for s in view.shapes if isinstance(s, Text) and s.text.endswith(" %")}
    (low, foot), (high, top) = sorted((float(text[:-2]), y) for text, y in ticks.items())[:: len(ticks) - 1]
    steel = 0.150
    for (_, y), mass in zip(points, (3.000, 2.450, 2.110, 1.930), strict=True):
        share = 100.0 * (mass - steel) / (3.000 - steel)
        assert y == pytest.approx(foot + (top - foot) * (share - low) / (high - low), abs=1e-6)

    def level(style):
        return next(s.start[1] for s in view.shapes if isinstance(s, Line) and s.style is style)

    for style, mass in ((Style.WALL_ENOUGH, part.target), (Style.WALL_SHORT, part.over_baked_below)):
        share = 100.0 * (mass - steel) / (3.000 - steel)
        assert level(style) == pytest.approx(foot + (top - foot) * (share - low) / (high - low), abs=1e-6)


def test_no_extension_line_strikes_a_figure_under_the_smallest_mould() -> None:
    text = """\
name = "Wee Tansy"
display_units = "imperial"
[bulb]
target_mass = "2.1 oz"
fineness = 7
[alloy]
grade = "linotype"
[fin]
tip_chord = "1 1/4 in"
tip_thickness = "1/8 in"
pocket_depth = "1/8 in"
material = "wood"
[mould]
material = "plaster"
drying = "baked"
"""
    view = gating_view(run(read_plan(text, source="x.toml"), remedies=False))
    spans = [s for s in view.shapes if isinstance(s, Dimension) and s.direction == "horizontal"]
    assert len(spans) > 3
    for one in spans:
        lettering = text_box(dimension_text(one))
        for other in spans:
            for x, y in (other.first, other.second):
                low, high = sorted((y, other.line_at))
                inside = (
                    lettering.left < x < lettering.right and lettering.bottom < high and low < lettering.top
                )
                assert not inside or other is one, one.text


@pytest.mark.parametrize("last", [1990, 1930, 1860, 1800, 1760])
def test_no_curve_or_limit_strikes_the_last_weighing(last) -> None:
    rows = [",".join(COLUMNS)]
    for hour, word, mass in (
        (8, "just set", 3000),
        (12, "weighed", 2450),
        (16, "weighed", 2110),
        (20, "weighed", last),
    ):
        rows += [f"2026-06-04T{hour:02}:00,{word},{part},{mass} g,," for part in ("drag", "cope")]
    log = log_of("\n".join(rows).encode(), ("drag", "cope"), source="x.csv")
    text = bare_example("fenwisp") + '\n[mould]\nmaterial = "plaster"\ndrying = "baked"\n'
    job = run(read_plan(text, source="x.toml"), drying_log=log, remedies=False)
    view = drying_curve(job.drying.parts[0], job.drying, job.shown)
    (words,) = [s for s in view.shapes if isinstance(s, Text) and s.text == job.shown.mass(1e-3 * last)]
    lettering = text_box(words)
    area = box(lettering.left, lettering.bottom, lettering.right, lettering.top)
    for shape in view.shapes:
        if isinstance(shape, Polyline) and shape.style in (Style.CURVE, Style.LEADER):
            assert not LineString(shape.points).intersects(area)
        if isinstance(shape, Line) and shape.style in (Style.WALL_ENOUGH, Style.WALL_SHORT):
            assert not LineString((shape.start, shape.end)).intersects(area)


def test_the_band_of_the_course_lies_on_both_sides_of_the_likely_curve_and_late_after_likely(dried):
    part = dried.drying.parts[0]
    view = drying_curve(part, dried.drying, dried.shown)
    (band,) = regions(view, Style.BAND)
    likely = np.array(
        next(s.points for s in view.shapes if isinstance(s, Polyline) and s.style is Style.CURVE)
    )
    count = len(likely)
    low, high = band[:count], band[count:][::-1]
    assert low[:, 0] == pytest.approx(likely[:, 0])
    assert (low[:, 1] <= likely[:, 1] + 1e-9).all()
    assert (high[:, 1] >= likely[:, 1] - 1e-9).all()
    assert np.max(high[:, 1] - low[:, 1]) > 0.5
    # One place on the time axis for each hour: from the weighings, whose times are in the log.
    points = next(s.points for s in view.shapes if isinstance(s, Polyline) and s.style is Style.LEADER)
    hour = (points[-1][0] - points[0][0]) / 12.0
    marks = [s.start[0] for s in view.shapes if isinstance(s, Line) and s.style is Style.AXIS]
    words = [(s.text.split()[0], s.at[0]) for s in view.shapes if isinstance(s, Text) and s.anchor == "end"]
    said = [one for one in words if one[0] in ("likely", "late")]
    begin = part.weighings[0].time - timedelta(hours=4)
    for (name, at), mark in zip(said, marks, strict=True):
        seconds = (part.time_after(getattr(part.trend, name)) - begin).total_seconds()
        assert mark == pytest.approx(points[0][0] + hour * seconds / 3600.0)
        assert at == pytest.approx(mark - 1.0)
    assert part.trend.late > part.trend.likely
    assert said


# The gating as it is cut


def dashed(view):
    return [np.array(s.points) for s in view.shapes if isinstance(s, Polyline) and s.style is Style.HIDDEN]


def test_across_the_feeder_its_column_the_saw_the_ingate_and_the_weights_stand_where_they_are_planned(
    flattened,
):
    job = flattened["lying", "upper-lower"]
    view, gating = across_view(job), job.melting.gating
    column, cavity = regions(view, Style.LEAD)
    feeder, top = gating.feeder, 0.5e3 * gating.cavity.height
    assert column[:, 1].min() == pytest.approx(top - 1e3 * feeder.foot)
    assert size(column)[0] == pytest.approx(1e3 * feeder.top_diameter)
    across, up = gating.cavity.skin.halves(np.array([feeder.at]))
    assert size(cavity) == pytest.approx((2e3 * across[0], 2e3 * up[0]), rel=1e-3)
    # The saw goes level with the casting's top, through the feeder.
    saw = [s for s in view.shapes if isinstance(s, Line) and s.style is Style.PARTING and s.start[1] > 1.0]
    assert [s.start[1] for s in saw] == [pytest.approx(top)]
    sprue, channel = dashed(view)[-2:]
    assert 0.5 * (sprue[:, 0].min() + sprue[:, 0].max()) == pytest.approx(1e3 * gating.ingate.aside)
    assert channel[:, 1].min() == pytest.approx(-1e3 * gating.ingate.depth)
    # The cope is laden on both sides of the feeder, and clear of it.
    left, right = regions(view, Style.WASHER)
    cope = 0.5 * job.mould.pattern.height + job.mould.margins.above
    assert left[:, 1].min() == right[:, 1].min() == pytest.approx(1e3 * cope)
    assert left[:, 0].max() < -0.5e3 * feeder.top_diameter
    assert right[:, 0].min() > 0.5e3 * feeder.top_diameter
    assert any(job.shown.workshop.mass(gating.force.weight) in words for words in texts(view))


def test_the_ingate_lets_twice_the_choke_through_and_reaches_the_bulb(flattened):
    job = flattened["lying", "upper-lower"]
    gating = job.melting.gating
    ingate, view = gating.ingate, parting_face_view(job)
    assert ingate.width * ingate.depth == pytest.approx(2.0 * 0.25 * math.pi * gating.choke.diameter**2)
    half_width, half_height = gating.cavity.skin.halves(np.array([gating.sprue_at]))
    assert ingate.depth <= 0.6 * half_height[0] + 1e-12
    # Half a choke of mould between the sprue's foot and the bulb.
    assert ingate.aside - 0.5 * gating.choke.diameter - half_width[0] == pytest.approx(
        0.5 * gating.choke.diameter
    )
    channel, cavity = regions(view, Style.LEAD)
    assert size(channel)[0] == pytest.approx(1e3 * ingate.width)
    assert channel[:, 1].min() < 1e3 * half_width[0] < channel[:, 1].max()
    assert size(cavity) == pytest.approx(
        (1e3 * gating.cavity.length, 1e3 * job.mould.pattern.width), rel=2e-3
    )
    holes = dashed(view)
    assert [size(one)[0] for one in holes] == pytest.approx(
        [1e3 * one.diameter for one in (*gating.vents, gating.feeder)]
    )


def test_an_upright_parting_needs_no_face_of_its_own_and_a_bulb_on_end_no_cut_across(flattened):
    job = flattened["on-edge", "upper-lower"]
    assert parting_face_view(job) is None
    assert not regions(across_view(job), Style.WASHER)
    assert job.melting.gating.ingate is None
