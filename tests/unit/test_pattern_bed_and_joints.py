"""Bed, joints, dowels and material of a pattern's pieces compared with closed forms, without a mesh."""

from __future__ import annotations

import math

import numpy as np
import pytest

from bulbcast.bulb.body.profiles import spheroid
from bulbcast.bulb.body.turned import turned_body
from bulbcast.pattern.outline import pattern_outline
from bulbcast.pattern_shop.pieces.joints import CutSpan, PrintSpan, ToCut, joint_room, joints_of, stretches
from bulbcast.pattern_shop.pieces.parting import (
    Doweling,
    dowel_for,
    frustum_volume,
    joint_dowels,
    parting_dowels,
    print_length_for,
    wall_round,
    widest_plane,
)
from bulbcast.pattern_shop.printer.bed import rectangle_fits, turned_to_fit, usable_bed
from bulbcast.pattern_shop.printer.packing import material_volume, packed, print_turn

LONG, THICK = 0.340, 0.050


def outline_of(length=LONG, diameter=THICK, width_to_height=1.0, offset=0.0, scale=1.0):
    body = turned_body(
        spheroid(), diameter=diameter, tail_diameter=0.0, length=length, width_to_height=width_to_height
    )
    return pattern_outline(body, offset=offset, scale=scale)


def square_bed(side, height=0.250, margin=0.0):
    return usable_bed(length=side, width=side, height=height, margin=margin)


def joints(outline, bed, position=None, pieces=None, **changes):
    given = {"plane": "horizontal", "cuts": (), "room": 0.006, "clear": 0.004, **changes}
    return joints_of(ToCut(outline=outline, bed=bed, **given), position, pieces)


def wanted(**changes):
    given = {"plane": "horizontal", "offset": 0.0, "register": "dowels", "draft": math.radians(2.0)}
    return Doweling(**{**given, "diameter": 0.004, "fit": 0.0002, "wall": 0.001, **changes})


# --- the outline ---------------------------------------------------------------------------------


def test_the_outline_of_a_spheroid_is_its_ellipse():
    outline = outline_of()
    expected = 0.5 * THICK * np.sqrt(np.maximum(1.0 - (2.0 * outline.x / LONG - 1.0) ** 2, 0.0))
    assert outline.half_width == pytest.approx(expected, abs=2e-6)
    assert outline.half_height == pytest.approx(expected, abs=2e-6)


def test_the_outline_of_a_ball_grown_and_scaled_is_a_larger_circle():
    outline = outline_of(length=0.06, diameter=0.06, offset=0.002, scale=1.02)
    radius = 1.02 * 0.032
    expected = np.sqrt(np.maximum(radius**2 - (outline.x - 1.02 * 0.030) ** 2, 0.0))
    assert outline.length == pytest.approx(2.0 * radius, rel=1e-12)
    middle = np.abs(outline.x - 1.02 * 0.030) < 0.95 * radius
    assert outline.half_height[middle] == pytest.approx(expected[middle], abs=5e-6)


def test_width_and_height_of_a_flattened_pattern_keep_its_ratio():
    outline = outline_of(width_to_height=1.44)
    assert float(outline.half_width.max()) == pytest.approx(0.5 * THICK * 1.2, rel=1e-9)
    assert float(outline.half_height.max()) == pytest.approx(0.5 * THICK / 1.2, rel=1e-9)
    wide, high = outline.halves(0.25 * LONG)
    assert wide / high == pytest.approx(1.44, rel=1e-6)
    assert outline.halves(-0.001) == (0.0, 0.0)


# --- the bed -------------------------------------------------------------------------------------


def test_a_thin_stick_fits_the_diagonal_and_a_hair_more_does_not():
    bed = square_bed(0.220)
    assert bed.diagonal == pytest.approx(0.220 * math.sqrt(2.0), rel=1e-15)
    stick = np.array([[0.0, 0.0], [bed.diagonal - 1e-6, 0.0]])
    assert turned_to_fit(stick, bed) == pytest.approx(math.radians(45.0), abs=1e-12)
    assert turned_to_fit(stick * (1.0 + 1e-5), bed) is None


def test_a_piece_that_fits_straight_is_not_turned_aslant():
    box = np.array([[0.0, 0.0], [0.200, 0.0], [0.200, 0.100], [0.0, 0.100]])
    bed = usable_bed(length=0.150, width=0.220, height=0.2, margin=0.005)
    assert (bed.length, bed.width) == pytest.approx((0.210, 0.140))
    assert turned_to_fit(box, bed) == 0.0
    assert turned_to_fit(box[:, ::-1], bed) == pytest.approx(0.5 * math.pi)


@pytest.mark.parametrize("side", [0.9, 1.0, 1.2])
def test_the_outline_search_and_the_closed_form_for_rectangles_agree(side):
    # Half a degree is the step of the search: it may miss what fits by a hair, never find what does not.
    bed = usable_bed(length=1.0, width=side, height=1.0, margin=0.0)
    for length in np.linspace(0.8, 1.5, 36):
        for width in np.linspace(0.02, 0.6, 30):
            points = np.array([[0.0, 0.0], [length, 0.0], [length, width], [0.0, width]])
            found = turned_to_fit(points, bed) is not None
            if found:
                assert rectangle_fits(length, width, bed)
            elif rectangle_fits(length, width, bed):
                assert not rectangle_fits(length, width * 1.02 + 0.01, bed)


# --- joints --------------------------------------------------------------------------------------


@pytest.mark.parametrize("position", ["lying", "standing"])
def test_a_bulb_of_340_mm_takes_two_pieces_on_a_bed_of_220_mm(position):
    found = joints(outline_of(), square_bed(0.220, margin=0.005), position=position)
    assert (found.pieces, found.fits, found.position) == (2, True, position)
    assert found.places[0] == pytest.approx(0.5 * LONG, abs=0.001)


def test_a_slim_bulb_lies_aslant_in_one_piece_where_it_is_longer_than_the_bed():
    found = joints(outline_of(length=0.260, diameter=0.030), square_bed(0.220))
    assert (found.pieces, found.position) == (1, "lying")
    assert found.angles[0] == pytest.approx(math.radians(45.0))


@pytest.mark.parametrize(("diameter", "fits"), [(0.081, True), (0.084, False)])
def test_an_ellipse_fits_aslant_as_far_as_its_own_box_at_45_degrees_does(diameter, fits):
    # Turned by 45 degrees an ellipse of half axes a, b is sqrt(2 (a^2 + b^2)) wide and high: 220 mm at b = 41.2 mm.
    assert (math.sqrt(2.0 * (0.150**2 + (0.5 * diameter) ** 2)) <= 0.220) is fits
    outline = outline_of(length=0.300, diameter=diameter)
    assert joints(outline, square_bed(0.220), position="lying", pieces=1).fits is fits


def test_whichever_position_takes_fewer_pieces_is_chosen():
    tall = usable_bed(length=0.150, width=0.150, height=0.400, margin=0.0)
    assert joints(outline_of(), tall).position == "standing"
    low = usable_bed(length=0.400, width=0.150, height=0.100, margin=0.0)
    assert joints(outline_of(), low).position == "lying"


def test_joints_keep_clear_of_a_cut():
    cut = CutSpan(name="pocket", start=0.130, end=0.200, in_pattern=False)
    found = joints(outline_of(), square_bed(0.220), cuts=(cut,), position="standing")
    assert found.struck == ()
    assert found.pieces == 2
    place = found.places[0]
    assert place <= 0.130 - 0.004 + 1e-9 or place >= 0.200 + 0.004 - 1e-9


def test_one_piece_more_is_taken_where_that_keeps_a_joint_out_of_a_cut():
    # Two pieces of at most 180 mm would have to meet within the cut; three need not.
    cut = CutSpan(name="pocket", start=0.150, end=0.190, in_pattern=True)
    bed = usable_bed(length=0.180, width=0.100, height=0.180, margin=0.0)
    found = joints(outline_of(), bed, cuts=(cut,), position="standing")
    assert found.pieces == 3
    assert found.struck == ()


def test_a_cut_longer_than_the_bed_is_struck_and_reported():
    cut = CutSpan(name="pocket", start=0.060, end=0.300, in_pattern=False)
    found = joints(outline_of(), square_bed(0.120, height=0.150), cuts=(cut,), position="standing")
    assert found.struck == (cut,)
    assert found.clear_pieces is None


def test_the_count_that_keeps_clear_is_reported_where_the_one_asked_for_does_not():
    cut = CutSpan(name="pocket", start=0.150, end=0.190, in_pattern=True)
    bed = usable_bed(length=0.180, width=0.100, height=0.180, margin=0.0)
    found = joints(outline_of(), bed, cuts=(cut,), position="standing", pieces=2)
    assert found.struck == (cut,)
    assert found.clear_pieces == 3


def test_no_joint_falls_where_the_section_has_no_room_for_its_dowels():
    room = joint_room(hole=0.0042, wall=0.001)
    assert room == pytest.approx(0.0031 / (1.0 - math.hypot(0.45, 0.42)), rel=1e-12)
    outline = outline_of(length=0.400, diameter=0.030)
    found = joints(outline, square_bed(0.060, height=0.090), position="standing", room=room)
    assert found.places
    for place in found.places:
        assert min(outline.halves(place)) >= room - 1e-6


def test_a_core_print_counts_where_it_stands_and_only_there():
    bed = usable_bed(length=0.400, width=0.055, height=0.200, margin=0.0)
    print_span = PrintSpan(start=0.12, end=0.20, length=0.010, above=True)
    flat = joints(outline_of(), bed, plane="vertical", position="lying", pieces=1)
    crowned = joints(outline_of(), bed, plane="vertical", position="lying", pieces=1, prints=(print_span,))
    assert (flat.fits, crowned.fits) == (True, False)


def test_stretches_join_end_to_end():
    outline = outline_of()
    found = joints(outline, square_bed(0.100, height=0.100), position="standing")
    parts = stretches(outline, found.places)
    assert parts[0][0] == outline.nose
    assert parts[-1][1] == outline.tail
    assert [a for _, a in parts[:-1]] == [b for b, _ in parts[1:]]
    assert max(b - a for a, b in parts) <= 0.100 + 1e-9


# --- dowels and keys -----------------------------------------------------------------------------


def test_dowels_of_the_parting_have_the_wall_asked_for_and_stand_on_the_plane():
    outline = outline_of()
    one = joints(outline, square_bed(0.400))
    pins = parting_dowels(outline, one, wanted(wall=0.0015))
    assert len(pins) == 2
    for pin in pins:
        assert pin.at[1:] == (0.0, 0.0)
        assert pin.hole == pytest.approx(0.0042)
        assert wall_round(outline, pin) >= 0.0015 - 1e-9
        # The true wall at the end of the hole is no less than the estimate.
        _, high = outline.halves(pin.at[0])
        assert high - pin.depth >= wall_round(outline, pin) - 1e-9


def test_joint_dowels_come_in_pairs_for_each_half_and_stay_inside():
    outline = outline_of()
    two = joints(outline, square_bed(0.220))
    pins = joint_dowels(outline, two, wanted(plane="vertical"))
    assert [math.copysign(1.0, pin.at[1]) for pin in pins] == [1.0, 1.0, -1.0, -1.0]
    assert all(pin.along == "x" and wall_round(outline, pin) >= 0.001 for pin in pins)


def test_what_a_dowel_takes_and_a_key_adds_are_cylinder_and_frustum():
    assert frustum_volume(0.004, 0.004, 0.010) == pytest.approx(0.25 * math.pi * 0.004**2 * 0.010, rel=1e-14)
    assert frustum_volume(0.004, 0.0, 0.010) == pytest.approx(math.pi / 12.0 * 0.004**2 * 0.010, rel=1e-14)
    outline = outline_of()
    one = joints(outline, square_bed(0.400))
    (key, *_) = parting_dowels(outline, one, wanted(register="keys", fit=0.0003))
    (dowel, *_) = parting_dowels(outline, one, wanted())
    assert dowel.added == 0.0
    assert dowel.taken == pytest.approx(2.0 * dowel.depth * math.pi * 0.0021**2, rel=1e-12)
    stands, sunk = key.added, key.taken
    tip = 0.004 - 2.0 * key.depth * math.tan(math.radians(2.0))
    assert key.tip == pytest.approx(tip, rel=1e-14)
    assert key.socket_depth == pytest.approx(key.depth + 0.0003, rel=1e-14)
    assert stands == pytest.approx(
        math.pi / 3.0 * key.depth * (0.002**2 + 0.002 * 0.5 * tip + (0.5 * tip) ** 2), rel=1e-12
    )
    assert sunk > stands


@pytest.mark.parametrize(
    ("width", "height", "rake", "cored", "plane"),
    [
        (0.04, 0.04, 0.0, False, "horizontal"),
        (0.05, 0.04, 0.1, False, "horizontal"),
        (0.04, 0.05, 0.0, False, "vertical"),
        (0.05, 0.04, 0.0, True, "vertical"),
        (0.05, 0.04, 0.1, True, "vertical"),
    ],
)
def test_a_pattern_parts_at_its_widest_unless_cores_want_it_upright(width, height, rake, cored, plane):
    assert widest_plane(width=width, height=height, rake=rake, cored=cored)[0] == plane


@pytest.mark.parametrize(
    ("smallest", "metric", "inches"), [(0.023, 0.003, 1 / 8), (0.044, 0.004, 1 / 8), (0.152, 0.012, 1 / 2)]
)
def test_dowels_are_rods_that_a_shop_sells(smallest, metric, inches):
    assert dowel_for(smallest, imperial=False) == metric
    assert dowel_for(smallest, imperial=True) == pytest.approx(0.0254 * inches)


@pytest.mark.parametrize(("depth", "length"), [(0.002, 0.006), (0.012, 0.012), (0.3, 0.040)])
def test_a_core_print_is_as_long_as_its_core_is_deep_within_limits(depth, length):
    assert print_length_for(depth) == length


# --- on the bed ----------------------------------------------------------------------------------


@pytest.mark.parametrize("half", ["upper", "lower", "starboard", "port", ""])
@pytest.mark.parametrize("position", ["lying", "standing"])
def test_a_turn_is_a_rotation_and_brings_the_right_face_down(half, position):
    turn = print_turn(half, position, angle=0.7, aft_face_down=False)
    assert turn @ turn.T == pytest.approx(np.eye(3), abs=1e-15)
    assert np.linalg.det(turn) == pytest.approx(1.0, rel=1e-12)
    outward = {
        "upper": (0.0, 0.0, 1.0),
        "lower": (0.0, 0.0, -1.0),
        "starboard": (0.0, 1.0, 0.0),
        "port": (0.0, -1.0, 0.0),
        "": (0.0, 0.0, 1.0),
    }[half]
    up = outward if position == "lying" else (1.0, 0.0, 0.0)
    assert turn @ np.array(up) == pytest.approx(np.array([0.0, 0.0, 1.0]), abs=1e-15)


def test_standing_with_the_aft_face_down_the_nose_points_up():
    turn = print_turn("upper", "standing", angle=0.0, aft_face_down=True)
    assert turn @ np.array([-1.0, 0.0, 0.0]) == pytest.approx(np.array([0.0, 0.0, 1.0]), abs=1e-15)


def test_pieces_are_packed_in_rows_without_overlap_and_within_the_bed():
    bed = square_bed(0.100)
    sizes = [(0.06, 0.03), (0.06, 0.03), (0.03, 0.05), (0.09, 0.06), (0.1, 0.02)]
    places = packed(sizes, bed, 0.004)
    for i, (one, size) in enumerate(zip(places, sizes, strict=True)):
        assert one.x + size[0] <= 0.100 + 1e-9
        assert one.y + size[1] <= 0.100 + 1e-9
        for other, second in list(zip(places, sizes, strict=True))[:i]:
            apart = (
                one.plate != other.plate
                or one.x >= other.x + second[0] + 0.004 - 1e-9
                or other.x >= one.x + size[0] + 0.004 - 1e-9
                or one.y >= other.y + second[1] + 0.004 - 1e-9
                or other.y >= one.y + size[1] + 0.004 - 1e-9
            )
            assert apart


def test_material_is_shell_and_infill_and_never_more_than_the_piece():
    assert material_volume(1e-4, 0.02, shell=0.001, infill=0.2) == pytest.approx(2e-5 + 0.2 * 8e-5)
    assert material_volume(1e-6, 0.02, shell=0.001, infill=0.2) == 1e-6
    assert material_volume(1e-4, 0.02, shell=0.001, infill=1.0) == pytest.approx(1e-4)
