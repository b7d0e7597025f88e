"""Mould blocks around the pattern: parts, masses, batches and keys compared with hand calculations."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bulbcast.foundry.mould.design import batches_of, default_wall, mould_of
from bulbcast.materials.plaster import PlasterMix, moulding_sand
from bulbcast.plan.mould_sections import MouldSection

MIX = PlasterMix(water=0.7, purity=0.95)
PATTERN = {"length": 0.30, "width": 0.05, "height": 0.04, "volume": 3e-4, "cast_mass": 3.2, "cored": False}


def section(**changes):
    figures = {
        "material": "plaster", "drying": "baked", "kind": "closed", "orientation": "lying", "foundry_from": 100.0,
        "wall": 0.03, "floor": 0.04, "cover": 0.02, "consistency": 70.0, "purity": 0.95, "sand": 0.0,
        "bucket": 0.01, "spare": 0.1, "reinforcement": 0.0,
    }  # fmt: skip
    return MouldSection(**{**figures, **changes})


def test_a_lying_mould_is_the_pattern_with_its_margins():
    mould = mould_of(section(), **PATTERN)
    assert (mould.block.length, mould.block.width, mould.block.height) == pytest.approx((0.36, 0.11, 0.10))
    assert (mould.parting, mould.bulb_axis, mould.split) == ("horizontal", "level", "upper-lower")
    drag, cope = mould.parts
    assert (drag.name, cope.name) == ("drag", "cope")
    assert (drag.block.height, cope.block.height) == pytest.approx((0.06, 0.04))
    assert drag.volume == pytest.approx(0.36 * 0.11 * 0.06 - 1.5e-4)
    assert sum(part.volume for part in mould.parts) + mould.cavity_volume == pytest.approx(mould.block.volume)


def test_a_split_along_the_centreplane_lays_the_bulb_on_its_side():
    mould = mould_of(section(split="port-starboard"), **PATTERN)
    assert (mould.pattern.width, mould.pattern.height) == pytest.approx((0.04, 0.05))
    assert mould.parting == "horizontal"


def test_on_edge_the_parting_is_upright_and_the_axis_level():
    mould = mould_of(section(orientation="on-edge", split="port-starboard"), **PATTERN)
    assert (mould.block.length, mould.block.width, mould.block.height) == pytest.approx((0.36, 0.11, 0.10))
    assert (mould.parting, mould.bulb_axis) == ("vertical", "level")
    assert [part.name for part in mould.parts] == ["port", "starboard"]
    assert mould.parts[0].block.width == pytest.approx(0.055)


@pytest.mark.parametrize("orientation", ["nose-up", "tail-up"])
def test_on_end_the_length_stands_upright(orientation):
    mould = mould_of(section(orientation=orientation), **PATTERN)
    assert mould.block.height == pytest.approx(0.30 + 0.04 + 0.02)
    assert (mould.parting, mould.bulb_axis) == ("vertical", "upright")
    assert [part.name for part in mould.parts] == ["lower", "upper"]


def test_open_halves_are_one_mould_poured_twice_and_two_where_something_is_cored():
    halves = section(kind="open-halves", cover=None)
    mould = mould_of(halves, **PATTERN)
    assert (mould.pours, mould.piece_mass) == (2, pytest.approx(1.6))
    assert [part.name for part in mould.parts] == ["half"]
    assert mould.split == "port-starboard"
    assert mould.block.height == pytest.approx(0.025 + 0.04)
    assert mould.keys == ()
    cored = mould_of(halves, **{**PATTERN, "cored": True})
    assert [part.name for part in cored.parts] == ["port", "starboard"]


def test_the_masses_of_a_part_follow_from_its_volume():
    part = mould_of(section(reinforcement=0.25), **PATTERN).parts[0]
    set_mass = MIX.set_density * part.volume
    assert part.just_set == pytest.approx(set_mass + 0.25)
    assert part.dry_in_air == pytest.approx(MIX.air_share * set_mass + 0.25)
    assert part.baked == pytest.approx(MIX.baked_share * set_mass + 0.25)
    assert part.over_baked == pytest.approx(0.5 * (part.baked + part.anhydrite))


def test_a_sand_mould_has_no_drying_masses():
    sand = mould_of(
        section(material="sand", drying=None, consistency=None, bucket=None, spare=None), **PATTERN
    )
    assert sand.thermal == "sand"
    for part in sand.parts:
        assert part.just_set == pytest.approx(moulding_sand().density * part.volume)
        assert (part.dry_in_air, part.baked, part.batch) == (None, None, None)


@given(st.floats(1e-4, 1.0), st.floats(1e-3, 0.1))
def test_batches_fill_the_volume_and_fit_the_bucket(volume, bucket):
    batch = batches_of(MIX, volume=volume, bucket=bucket)
    assert batch.count * batch.volume == pytest.approx(volume)
    assert batch.volume <= 0.6 * bucket * (1.0 + 1e-9)
    assert (batch.count - 1) * 0.6 * bucket < volume
    assert batch.water == pytest.approx(0.7 * batch.plaster)
    assert (batch.plaster + batch.water) / MIX.set_density == pytest.approx(batch.volume)


@pytest.mark.parametrize(
    ("mass", "wall"), [(0.2, 0.03), (9.99, 0.03), (10.0, 0.04), (40.0, 0.085), (140.0, 0.085)]
)
def test_the_wall_grows_with_the_piece(mass, wall):
    assert default_wall(mass) == wall


def test_the_keys_lie_in_the_land_and_close_one_way_only():
    mould = mould_of(section(), **PATTERN)
    wall = mould.margins.sides
    for key in mould.keys:
        clear = math.hypot(max(-key.along, key.along - 0.30, 0.0), max(abs(key.across) - 0.025, 0.0))
        assert clear > key.radius
        assert abs(key.across) + key.radius < 0.5 * mould.block.width
        assert -wall < key.along - key.radius
        assert key.along + key.radius < 0.30 + wall
    places = {(round(key.along, 6), round(key.across, 6)) for key in mould.keys}
    turned = {(round(0.30 - along, 6), round(-across, 6)) for along, across in places}
    mirrored = {(along, -across) for along, across in places}
    assert len(places) == 3
    assert places not in (turned, mirrored)
