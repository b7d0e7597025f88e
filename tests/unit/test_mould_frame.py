"""Mould frame, boards, keys, formers and core boxes: sizes calculated by hand, and solids compared with closed forms."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from plans import example_text

from bulbcast.bulb.body.profiles import spheroid
from bulbcast.bulb.body.turned import turned_body
from bulbcast.foundry.mould.design import key_across
from bulbcast.job import run
from bulbcast.pattern.outline import pattern_outline
from bulbcast.pattern_shop.frame.formers import Former, FramedPattern, sprue_for, sprue_place, vent_for
from bulbcast.pattern_shop.frame.frame import board_for, frame_of, wall_for
from bulbcast.pattern_shop.frame.solids import block, former, frame_ring, key_button
from bulbcast.pattern_shop.measured import with_pieces
from bulbcast.plan.pattern_sections import FrameSection
from bulbcast.plan.reading import read_plan, read_plan_table
from bulbcast.quantities import Shown

TWO = math.radians(2.0)


def outline(width_to_height=1.0):
    body = turned_body(
        spheroid(), diameter=0.050, tail_diameter=0.0, length=0.300, width_to_height=width_to_height
    )
    return pattern_outline(body, offset=0.0, scale=1.0)


def frame(plane="horizontal", prints=(0.0, 0.0), kind="boards"):
    section = FrameSection(
        kind=kind,
        wall=0.030,
        floor=0.040,
        board=0.012,
        key_diameter=None,
        sprue_diameter=0.018,
        sprue_at=None,
        vent_diameter=0.004,
    )
    pattern = FramedPattern(
        outline=outline(), plane=plane, volume=1e-4, mass=2.0, above=prints[0], below=prints[1]
    )
    return frame_of(section, pattern, Shown("metric"))[0]


def test_the_frame_is_the_pattern_with_its_walls():
    found = frame()
    assert found.inside == pytest.approx((0.360, 0.110))
    assert found.outside == pytest.approx((0.384, 0.134))
    assert found.depths == pytest.approx((0.065, 0.065))
    passages = sum(
        math.pi
        / 12.0
        * one.length
        * (one.foot_diameter**2 + one.foot_diameter * one.top_diameter + one.top_diameter**2)
        for one in found.formers
    )
    assert found.mould_volume == pytest.approx(0.360 * 0.110 * 0.130 - 1e-4 - passages, rel=1e-12)


def test_the_cut_list_makes_that_frame():
    boards = {one.name: one for one in frame().boards}
    sides, ends, board = boards["sides, each half"], boards["ends, each half"], boards["moulding board"]
    assert (sides.count, ends.count, board.count) == (4, 4, 1)
    assert (sides.length, sides.width) == pytest.approx((0.384, 0.065))
    assert (ends.length, ends.width) == pytest.approx((0.110, 0.065))
    assert (board.length, board.width) == pytest.approx((0.424, 0.174))
    assert frame(kind="printed").boards == ()


def test_prints_make_room_for_themselves():
    level = frame(prints=(0.010, 0.006))
    assert level.depths == pytest.approx((0.075, 0.071))
    assert {one.name for one in level.boards} == {
        "sides, first half", "ends, first half", "sides, second half", "ends, second half", "moulding board"
    }  # fmt: skip
    upright = frame(plane="vertical", prints=(0.010, 0.006))
    assert upright.depths == pytest.approx((0.065, 0.065))
    assert upright.across == pytest.approx((-0.061, 0.065))


def test_keys_stand_in_the_wall_and_one_is_off_the_middle():
    found = frame()
    assert len(found.keys) == 3
    reach = 0.5 * found.key_diameter
    for x, across in found.keys:
        assert found.along[0] + reach <= x <= found.along[1] - reach
        assert found.across[0] + reach <= across <= found.across[1] - reach
        assert x <= 0.0 - reach or x >= 0.300 + reach
    # Turned end for end, or over, they do not meet again.
    middle = 0.5 * (found.along[0] + found.along[1])
    turned = {(round(2.0 * middle - x, 6), round(-across, 6)) for x, across in found.keys}
    assert turned != {(round(x, 6), round(across, 6)) for x, across in found.keys}
    assert (key_across(0.010), key_across(0.030), key_across(0.100)) == pytest.approx((0.010, 0.0135, 0.020))


def test_formers_rise_from_the_crown_to_the_top_and_widen_upwards():
    found = frame()
    sprue, fore, aft = found.formers
    assert (sprue.kind, fore.kind, aft.kind) == ("sprue", "vent", "vent")
    assert sprue.x == pytest.approx(0.150, abs=1e-3)
    assert sprue.z == pytest.approx(0.025, abs=1e-6)
    assert sprue.z + sprue.length == pytest.approx(0.065)
    assert sprue.top_diameter == pytest.approx(0.018 + 2.0 * 0.040 * math.tan(math.radians(5.0)), rel=1e-4)
    assert fore.x < sprue.x < aft.x
    assert all(one.top_diameter > one.foot_diameter for one in found.formers)


def test_the_sprue_keeps_off_a_core_print_on_the_crown():
    clear = sprue_place(outline(), (0.120, 0.180), 0.018)
    assert clear <= 0.120 - 0.018 + 1e-9 or clear >= 0.180 + 0.018 - 1e-9
    assert sprue_place(outline(), (0.020, 0.060), 0.018) == pytest.approx(0.150, abs=1e-3)


def test_usual_sizes_follow_the_mass():
    assert (wall_for(2.0), wall_for(40.0)) == (0.030, 0.075)
    assert 0.015 <= sprue_for(2.45) <= 0.025
    assert 0.045 <= sprue_for(80.0) <= 0.060
    assert 0.003 <= vent_for(2.45) <= 0.006
    assert vent_for(80.0) == pytest.approx(0.012, abs=0.002)
    assert board_for(0.3, printed=False) < board_for(1.0, printed=False)
    assert board_for(0.1, printed=True) < board_for(0.3, printed=True)


# --- solids --------------------------------------------------------------------------------------


@pytest.mark.parametrize("plane", ["horizontal", "vertical"])
@pytest.mark.parametrize("second", [False, True])
def test_a_printed_ring_is_its_outer_block_less_a_tapered_inside(plane, second):
    sizes = {"along": (0.0, 0.2), "across": (-0.05, 0.05), "depths": (0.06, 0.06), "board": 0.005}
    ring = frame_ring(replace(frame(plane=plane), **sizes), int(second), draft=TWO, offset=0.0)
    taper = 0.06 * math.tan(TWO)
    outer = (0.2 + 2.0 * (0.005 + taper)) * (0.1 + 2.0 * (0.005 + taper)) * 0.06
    foot, top = (0.2 + 2.0 * taper) * (0.1 + 2.0 * taper), 0.2 * 0.1
    middle = (0.2 + taper) * (0.1 + taper)
    inner = 0.06 / 6.0 * (foot + 4.0 * middle + top)
    assert ring.volume == pytest.approx(outer - inner, rel=1e-9)
    low, high = ring.bounds
    axis = 1 if plane == "vertical" else 2
    assert (low[axis], high[axis]) == pytest.approx((-0.06, 0.0) if second else (0.0, 0.06), abs=1e-12)


@pytest.mark.parametrize("plane", ["horizontal", "vertical"])
def test_a_key_button_is_a_cap_of_a_sphere(plane):
    sizes = {"keys": ((-0.015, 0.040),), "key_diameter": 0.014, "key_height": 0.0056}
    button = key_button(replace(frame(plane=plane), **sizes), 0.001)
    cap = math.pi * 0.0056 / 6.0 * (3.0 * 0.007**2 + 0.0056**2)
    assert button.volume == pytest.approx(cap, rel=3e-3)
    low, high = button.bounds
    axis = 1 if plane == "vertical" else 2
    assert (low[axis], high[axis]) == pytest.approx((0.001, 0.0066))


def test_a_former_is_a_frustum_and_half_of_one_where_it_lies_in_the_parting():
    peg = Former(kind="sprue", x=0.1, z=0.02, length=0.04, foot_diameter=0.018, top_diameter=0.025)
    whole = former(peg, "horizontal", 0.0)
    cone = math.pi / 12.0 * 0.04 * (0.018**2 + 0.018 * 0.025 + 0.025**2)
    assert whole.volume == pytest.approx(cone, rel=1e-9)
    half = former(peg, "vertical", 0.0)
    assert half.volume == pytest.approx(0.5 * cone, rel=1e-6)
    assert half.bounds[0][1] == pytest.approx(0.0, abs=1e-12)


def test_a_block_is_its_three_sides():
    assert block(np.zeros(3), np.array([0.03, 0.02, 0.01])).volume == pytest.approx(6e-6, rel=1e-12)


def shop(**changes):
    table = {
        "bulb": {"target_mass": "700 g", "fineness": 5.5, "tail_diameter": "3.5 mm"},
        "alloy": {"grade": "pure"},
        "fin": {
            "tip_chord": "46 mm", "tip_thickness": "6 mm", "pocket_depth": "5 mm", "material": "metal",
            "pocket": "cored",
        },
        "screws": [
            {
                "at": "11 mm", "diameter": "3 mm", "hole_diameter": "3.4 mm", "head_diameter": "6 mm",
                "head_height": "2 mm", "recess": "6 mm", "length": "28 mm", "hole": "cored",
            }
        ],
        "frame": {"kind": "printed"},
        **changes,
    }  # fmt: skip
    return with_pieces(run(read_plan_table(table, source="frame.toml", sha256="0")))


def test_a_core_fills_what_its_box_leaves_open():
    job, solids = shop()
    others = {one.name: one.solid for one in solids.others}
    for name in ("pocket", "screw-1"):
        halves = [others[f"core-box-{name}-{side}"] for side in ("starboard", "port")]
        assert halves[0].common(halves[1]).volume <= 1e-15
        assert halves[0].volume == pytest.approx(halves[1].volume, rel=1e-6)
        low, high = (
            np.minimum(halves[0].bounds[0], halves[1].bounds[0]),
            np.maximum(halves[0].bounds[1], halves[1].bounds[1]),
        )
        hole = math.pi * (0.5 * (job.shop.dowel + job.shop.fit)) ** 2
        room = float(np.prod(high - low)) - sum(half.volume for half in halves) - 2.0 * hole * (high - low)[1]
        lines = dict(job.shop.measured.lines)
        label = name.replace("-", " ")
        core = lines[f"{label}: filled, since its core forms the cavity"] + lines[f"{label}: core print"]
        # But for the draft, and for the end of the print that is cut open.
        assert room == pytest.approx(core, rel=0.06)


def test_frame_keys_and_formers_stand_round_the_pattern_in_its_own_axes():
    job, solids = shop(printer={"bed_length": "300 mm", "bed_width": "300 mm"})
    others = {one.name: one.solid for one in solids.others}
    assert {
        "mould-frame-starboard",
        "mould-frame-port",
        "mould-key",
        "mould-sprue",
        "mould-vent-1",
        "mould-vent-2",
    } <= set(others)
    low, high = others["mould-frame-starboard"].bounds
    assert low[0] < job.shop.outline.nose - job.shop.frame.wall
    assert high[0] > job.shop.outline.tail + job.shop.frame.wall
    for piece in solids.pieces:
        for name in ("mould-frame-starboard", "mould-frame-port", "mould-key"):
            assert piece.solid.common(others[name]).volume <= 1e-15


# --- with a mould and its gating -----------------------------------------------------------------

FENWISP = example_text("fenwisp")


def with_mould(mould="", frame="", parting=""):
    plan = "\n".join(
        line for line in FENWISP.split("\n") if "open-halves" not in mould or not line.startswith("cover")
    )
    text = plan.replace("[mould]\n", f"[mould]\n{mould}", 1)
    return run(
        read_plan(f'{text}\n[frame]\nkind = "boards"\n{frame}\n{parting}', source="x.toml"), remedies=False
    )


def test_the_frame_takes_the_moulds_margins_and_the_gatings_sprue_feeder_and_vents():
    job = with_mould()
    frame, gating, margins, outline = job.shop.frame, job.melting.gating, job.mould.margins, job.shop.outline
    high, coats = float(outline.half_height.max()), 2.0 * job.plan.pattern.coat
    assert frame.depths == pytest.approx((high + margins.above, high + margins.below))
    # The block is calculated round the coated pattern, the frame round the bare one.
    block = job.mould.block
    assert frame.inside == pytest.approx((block.length - coats, block.width - coats), abs=1e-5)
    sprue, feeder, *vents = frame.formers
    assert [one.kind for one in frame.formers] == ["sprue", "feeder", "vent", "vent"]
    # The sprue stands on the parting beside the bulb, half a choke clear of it, and opens as the gating has it.
    assert sprue.x - outline.nose == pytest.approx(gating.sprue_at)
    assert (sprue.z, sprue.foot_diameter) == pytest.approx((0.0, gating.sprue.foot_diameter))
    assert sprue.y - 0.5 * sprue.foot_diameter - outline.halves(sprue.x)[0] == pytest.approx(
        0.5 * sprue.foot_diameter
    )
    widens = (gating.sprue.top_diameter - gating.sprue.foot_diameter) / gating.sprue.height
    assert (sprue.top_diameter - sprue.foot_diameter) / sprue.length == pytest.approx(widens)
    assert sprue.y + 0.5 * sprue.top_diameter < frame.across[1]
    own = gating.feeder
    assert (feeder.x - outline.nose, feeder.foot_diameter) == pytest.approx((own.at, own.diameter))
    # Its sides meet the crown where a column of that width meets a round bulb.
    assert feeder.z == pytest.approx(high - own.foot)
    wide, up = outline.halves(feeder.x)
    assert feeder.z == pytest.approx(up * math.sqrt(1.0 - (0.5 * own.diameter / wide) ** 2), abs=2e-4)
    widened = own.top_diameter - own.diameter
    assert feeder.top_diameter - feeder.foot_diameter == pytest.approx(
        widened * feeder.length / (own.height + own.foot)
    )
    assert [one.x - outline.nose for one in vents] == pytest.approx([one.at for one in gating.vents])
    assert {one.foot_diameter for one in vents} == {gating.vents[0].diameter}
    assert [one.z + one.length for one in frame.formers] == pytest.approx([frame.depths[0]] * 4)
    said = {one.key: one.source for one in job.defaults}
    assert said["frame.wall"] == said["frame.floor"] == "the mould"
    assert (
        said["frame.sprue_diameter"] == said["frame.sprue_at"] == said["frame.vent_diameter"] == "the gating"
    )


def test_the_plans_own_keys_lead_before_mould_and_gating():
    job = with_mould(
        frame='wall = "41 mm"\nfloor = "33 mm"\nsprue_diameter = "16 mm"\nsprue_at = "150 mm"\nvent_diameter = "5 mm"\n'
    )
    frame = job.shop.frame
    high = float(job.shop.outline.half_height.max())
    assert (frame.wall, frame.floor) == (0.041, 0.033)
    assert frame.depths == pytest.approx((high + 0.033, high + 0.033))
    assert (frame.formers[0].x, frame.formers[0].foot_diameter) == (0.150, 0.016)
    assert frame.formers[2].foot_diameter == 0.005
    assert not [one for one in job.defaults if one.key in ("frame.wall", "frame.sprue_at")]


def test_on_edge_the_ways_rise_in_the_parting_plane_and_the_sprue_from_the_crown():
    job = with_mould(mould='orientation = "on-edge"\nsplit = "port-starboard"\n')
    frame, margins, outline = job.shop.frame, job.mould.margins, job.shop.outline
    high = float(outline.half_height.max())
    assert frame.plane == "vertical"
    assert frame.across == pytest.approx((-high - margins.below, high + margins.above))
    sprue = frame.formers[0]
    assert (sprue.y, sprue.z) == (0.0, outline.halves(sprue.x)[1])


def test_an_open_half_has_no_formers_and_says_so():
    job = with_mould(mould='kind = "open-halves"\n')
    assert job.shop.frame.formers == ()
    said = [one for one in job.defaults if one.key == "frame.sprue_at"]
    assert [(one.value, one.source) for one in said] == [
        ("none", "an open half is poured from above and needs no former")
    ]


def test_a_pattern_that_parts_otherwise_than_its_mould_has_no_formers_and_says_what_to_set():
    job = with_mould(parting='[parting]\nplane = "vertical"\n')
    assert job.shop.frame.formers == ()
    said = next(one for one in job.defaults if one.key == "frame.sprue_at")
    assert said.source.endswith("set parting.plane or mould.split")


def test_the_formers_solids_stand_clear_of_the_pattern_and_are_named_by_their_kind():
    job, solids = with_pieces(with_mould())
    others = {one.name: one.solid for one in solids.others}
    assert {"mould-sprue", "mould-feeder", "mould-vent-1", "mould-vent-2"} <= set(others)
    feeder = job.shop.frame.formers[1]
    for piece in solids.pieces:
        assert others["mould-feeder"].common(piece.solid).volume <= 1e-12
        assert others["mould-sprue"].common(piece.solid).volume <= 1e-12
    # Cut to the crown it is less than the whole peg, and more than one that stands on the crown's top.
    peg = math.pi / 12.0 * (
        feeder.foot_diameter**2 + feeder.foot_diameter * feeder.top_diameter + feeder.top_diameter**2
    )  # fmt: skip
    crown = job.shop.outline.halves(feeder.x)[1]
    assert peg * (feeder.z + feeder.length - crown) < others["mould-feeder"].volume < peg * feeder.length
    low, high = others["mould-sprue"].bounds
    assert 0.5 * (low[1] + high[1]) == pytest.approx(job.shop.frame.formers[0].y, abs=1e-6)
