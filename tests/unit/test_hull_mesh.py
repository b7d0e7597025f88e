"""Hull surfaces from files: repairs are reported, and faults beyond repair raise an error with their positions."""

from __future__ import annotations

import numpy as np
import pytest

from bulbcast.hull.faults import HullError
from bulbcast.hull.mesh import LARGEST_FACET_COUNT, hull_from_triangles
from bulbcast.hull.offsets_mesh import lofted_hull
from bulbcast.hull.placement import HullPlacement, rotation_from_axes
from bulbcast.hull.unit_slip import length_remarks

MM = HullPlacement(metres_per_unit=0.001)


def hull_facets(along=24, up=8):
    """Separate facets of an invented hull 1 m long. [mm]"""
    x = np.linspace(0.0, 1000.0, along + 1)
    u = x / 1000.0
    keel = -60.0 * (1.0 - (2.0 * u - 1.0) ** 2)
    sheer = 50.0 + 20.0 * (1.0 - u) ** 2
    widest = np.where(u < 0.6, 90.0 * (1.0 - (1.0 - u / 0.6) ** 2), 90.0 - 40.0 * ((u - 0.6) / 0.4) ** 2)
    share = np.linspace(0.0, 1.0, up + 1)
    z = keel[:, None] + share * (sheer - keel)[:, None]
    y = widest[:, None] * (1.0 - (1.0 - share) ** 2) ** 0.8
    mesh = lofted_hull(x, y, z)
    return mesh.vertices[mesh.triangles]


FACETS = hull_facets()
MIDDLE = FACETS.mean(axis=1)
NORMAL = np.cross(FACETS[:, 1] - FACETS[:, 0], FACETS[:, 2] - FACETS[:, 0])
NORMAL /= np.linalg.norm(NORMAL, axis=1, keepdims=True)
DECK = (np.abs(NORMAL[:, 2]) > 0.9) & (MIDDLE[:, 2] > 40.0)
TRANSOM = MIDDLE[:, 0] > 999.0
SIDE_HOLE = (np.abs(MIDDLE[:, 0] - 500) < 100) & (MIDDLE[:, 1] > 30) & (np.abs(MIDDLE[:, 2] + 10) < 30)
WHOLE = hull_from_triangles(FACETS, placement=MM)


def read(facets, **more):
    return hull_from_triangles(facets, **({"placement": MM} | more))


def refusal(facets, **more):
    """Error messages for a rejected hull."""
    with pytest.raises(HullError) as caught:
        read(facets, **more)
    return [fault.words for fault in caught.value.faults]


def same_volume(hull):
    return hull.volume == pytest.approx(WHOLE.volume, rel=1e-9)


def test_a_sound_surface_is_taken_as_it_is():
    assert WHOLE.remarks == ()
    assert WHOLE.design_length == pytest.approx(1.0, rel=1e-12)
    tetrahedra = np.einsum("ij,ij->i", FACETS[:, 0], np.cross(FACETS[:, 1], FACETS[:, 2]))
    assert WHOLE.volume == pytest.approx(1e-9 * tetrahedra.sum() / 6.0, rel=1e-12)
    assert np.ptp(WHOLE.vertices, axis=0) == pytest.approx([1.0, 0.18 - 4.2e-5, 0.13], abs=2e-3)


def test_a_frozen_hull_cannot_be_written_to():
    with pytest.raises(ValueError, match="read-only"):
        WHOLE.vertices[0] = 0.0
    with pytest.raises(AttributeError):
        WHOLE.design_length = 2.0


# --- Ten kinds of broken surface, and more --------------------------------------------------------------------------


def test_a_hole_in_the_side_is_refused_with_its_place():
    assert refusal(FACETS[~SIDE_HOLE]) == [
        "The surface has a hole 250 mm across with 28 edges, near x = 497.02, y = 58.769, z = -9.2516 in the file. "
        "The hole is neither small and flat nor an open deck or transom. Close it in the modeller, or export the hull again "
        "if the file was cut short."
    ]


def test_every_hole_is_named_at_once_the_largest_first():
    holes = np.zeros(len(FACETS), dtype=bool)
    for x, width in ((300, 70), (700, 100)):
        holes |= (np.abs(MIDDLE[:, 0] - x) < width) & (MIDDLE[:, 1] > 30) & (np.abs(MIDDLE[:, 2]) < 40)
    with pytest.raises(HullError) as caught:
        read(FACETS[~holes])
    places = [fault.place[0] for fault in caught.value.faults]
    assert [fault.code for fault in caught.value.faults] == ["hole", "hole"]
    assert places == pytest.approx([700, 300], abs=30)
    assert str(caught.value).count("hull: The surface has a hole") == 2


def test_flipped_facets_are_turned_and_counted():
    flipped = np.random.default_rng(1).random(len(FACETS)) < 0.2
    facets = np.where(flipped[:, None, None], FACETS[:, ::-1], FACETS)
    hull = read(facets)
    assert same_volume(hull)
    (remark,) = hull.remarks
    assert remark.repaired
    assert remark.found == flipped.sum()
    assert remark.words == (
        "163 facets faced the wrong way, the first at x = 27.778, y = 4.7821, z = 15.684 in the file. "
        "They were reversed to match their neighbours."
    )


def test_where_most_facets_are_flipped_the_outside_is_still_found():
    flipped = np.random.default_rng(2).random(len(FACETS)) < 0.8
    hull = read(np.where(flipped[:, None, None], FACETS[:, ::-1], FACETS))
    assert same_volume(hull)
    assert [remark.code for remark in hull.remarks] == ["facets-turned", "inside-out"]


def test_a_surface_inside_out_is_turned():
    hull = read(FACETS[:, ::-1])
    assert same_volume(hull)
    assert [remark.words for remark in hull.remarks] == [
        "The surface was inside out. Every facet was reversed."
    ]


def test_duplicate_facets_are_dropped():
    hull = read(np.concatenate([FACETS, FACETS[:10]]))
    assert same_volume(hull)
    assert [remark.words for remark in hull.remarks] == [
        "10 facets were in the file more than once, the first at x = 27.778, y = 1.26, z = -3.1409 in the file. One "
        "copy of each was kept."
    ]


@pytest.mark.parametrize("order", [slice(None), slice(None, None, -1)])
def test_a_surface_given_twice_over_is_taken_once_whichever_way_the_copy_runs(order):
    hull = read(np.concatenate([FACETS, FACETS[:, order]]))
    assert same_volume(hull)
    assert [remark.found for remark in hull.remarks] == [len(FACETS)]


def test_a_part_given_twice_and_the_wrong_way_round_is_taken_once():
    part = np.abs(MIDDLE[:, 0] - 500) < 150
    hull = read(np.concatenate([FACETS, FACETS[part][:, ::-1]]))
    assert same_volume(hull)
    assert [remark.code for remark in hull.remarks] == ["duplicates-dropped"]


def test_a_wall_without_thickness_is_left_out():
    keel = WHOLE.vertices[np.argsort(WHOLE.vertices[:, 2])[:1]] * 1000
    # A fin drawn as a sheet, both its sides, standing on an edge of the keel.
    edge = FACETS[np.any(np.all(np.isclose(FACETS, keel), axis=2), axis=1)]
    on_keel = np.unique(edge.reshape(-1, 3)[np.abs(edge.reshape(-1, 3)[:, 1]) < 1e-9], axis=0)[:2]
    tip = on_keel[:1] + np.array([20.0, 0.0, -100.0])
    fin = np.concatenate([on_keel, tip])[None]
    hull = read(np.concatenate([FACETS, fin, fin[:, ::-1]]))
    assert same_volume(hull)
    assert hull.vertices[:, 2].min() == pytest.approx(WHOLE.vertices[:, 2].min(), abs=1e-12)
    (remark,) = hull.remarks
    assert remark.code == "flaps-dropped"
    assert remark.message.startswith(
        "2 facets were back to back and formed a wall of zero thickness, the first at x = "
    )
    assert remark.remedy == "They were removed because they enclose nothing."


def test_a_sheet_standing_on_the_surface_is_refused_with_its_place():
    a, b = FACETS[40][0], FACETS[40][1]
    sheet = np.stack([a, b, a + np.array([0.0, 200.0, 0.0])])[None]
    (words,) = refusal(np.concatenate([FACETS, sheet]))
    middle = (a + b) / 2
    assert words == (
        f"1 edge is shared by three or more facets, the first at x = {middle[0]:.5g}, y = {middle[1]:.5g}, "
        f"z = {middle[2]:.5g} in the file. A wall of zero thickness or an inner face ends there. "
        "Remove it and keep only the hull's outer surface."
    )


def test_two_bodies_are_refused_with_their_sizes():
    assert refusal(np.concatenate([FACETS, FACETS * 0.1 + [300.0, 0.0, 200.0]])) == [
        "The file contains 2 separate surfaces: 830 facets, 1000 x 179.9 x 130 mm, near x = 500, y = 0, z = 5 in the file; "
        "830 facets, 100 x 17.99 x 13 mm, near x = 350, y = 0, z = 200.5 in the file. Leave only the hull's outside "
        "in the file: remove any inner skin, fittings and stray facets, and join parts that belong together."
    ]


def test_an_inner_skin_is_a_second_body():
    inner = (FACETS - [500.0, 0.0, 10.0]) * 0.95 + [500.0, 0.0, 10.0]
    with pytest.raises(HullError) as caught:
        read(np.concatenate([FACETS, inner[:, ::-1]]))
    assert [fault.code for fault in caught.value.faults] == ["several-bodies"]


def test_an_open_hull_and_a_smaller_open_body_are_two_bodies_too():
    boat = hull_facets(12, 8)
    boat = boat[boat.mean(axis=1)[:, 1] > -40] * 0.2 + [400.0, 0.0, 300.0]
    with pytest.raises(HullError) as caught:
        read(np.concatenate([FACETS[~DECK], boat]))
    assert [fault.code for fault in caught.value.faults] == ["several-bodies"]


def test_a_hull_modelled_with_her_planking_is_refused_as_hollow():
    # Outer and inner skin joined along the rim: one sound body, of which only the wall would float.
    outer = FACETS[~DECK]
    middle = np.array([500.0, 0.0, 60.0])
    inner = (outer - middle) * [0.96, 0.94, 0.94] + middle
    ends = [tuple(map(tuple, (f[i], f[(i + 1) % 3]))) for f in outer.tolist() for i in range(3)]
    inside = [tuple(map(tuple, (f[i], f[(i + 1) % 3]))) for f in inner.tolist() for i in range(3)]
    paired = set(ends)
    rim = []
    for (a, b), (c, d) in zip(ends, inside, strict=True):
        if (b, a) not in paired:
            rim += [(b, a, c), (b, c, d)]
    facets = np.concatenate([outer, inner[:, ::-1], rim])
    (words,) = refusal(facets)
    assert words == (
        "At the design waterline, 85 % of the hull is open inside. The model includes the thickness of the hull wall, "
        "so only the wall would displace water. Give only the outside of the hull, as one closed surface."
    )


def test_a_corner_that_is_no_number_is_refused_with_the_facet():
    facets = FACETS.copy()
    facets[7, 1, 2] = np.nan
    facets[9, 0, 0] = np.inf
    assert refusal(facets) == [
        "2 facets have a corner that is not a finite number. The first is facet 8 of 830. The file is damaged, or the "
        "surface in the modeller has a broken patch there. Repair any broken patch, and export the hull again."
    ]


def test_an_empty_file_is_refused():
    assert refusal(np.zeros((0, 3, 3))) == [
        "The hull file contains no facets. Select the hull surface in the modeller and export it again."
    ]


def test_a_file_cut_short_is_refused_as_open():
    faults = refusal(FACETS[: int(0.8 * len(FACETS))])
    assert faults == [
        "The surface has a hole 1000 mm across with 77 edges, near x = 639.07, y = -13.502, z = 47.309 in the file. "
        "The hole is neither small and flat nor an open deck or transom. Close it in the modeller, or export the hull again "
        "if the file was cut short."
    ]


@pytest.mark.parametrize(
    ("length", "stated", "unit", "code", "words"),
    [
        (
            25.4,
            1.0,
            "in",
            "wrong-unit",
            "The plan gives a design waterline of 1 m, but the file makes it 25.4 m, 25.4 times too long. "
            'Correct the unit under [boat]: unit = "mm" makes it 1 m.',
        ),
        (
            1.0 / 25.4,
            1.0,
            "mm",
            "wrong-unit",
            "The plan gives a design waterline of 1 m, but the file makes it 0.03937 m, 25.4 times too short. "
            'Correct the unit under [boat]: unit = "in" makes it 1 m.',
        ),
        (
            1000.0,
            1.02,
            "m",
            "wrong-unit",
            "The plan gives a design waterline of 1.02 m, but the file makes it 1000 m, 980 times too long. "
            'Correct the unit under [boat]: unit = "mm" makes it 1 m.',
        ),
        (
            1.0,
            1.3,
            "mm",
            "length-differs",
            "The plan gives a design waterline of 1.3 m, but the file makes it 1 m. Correct the file's unit, the scale, "
            "or the height and ends of the waterline.",
        ),
        (
            25.4,
            None,
            "in",
            "length-unlikely",
            "The design waterline is 25.4 m long if the file's unit is in. Correct the unit under [boat]: "
            'unit = "mm" makes it 1 m, unit = "cm" makes it 10 m.',
        ),
    ],
)
def test_a_wrong_unit_is_seen_by_the_length(length, stated, unit, code, words):
    (remark,) = length_remarks(length, stated, unit=unit, unit_of_file=False, kind=None)
    assert (remark.code, remark.words, remark.repaired) == (code, words, False)


def test_a_length_stated_within_a_tenth_is_not_remarked_on():
    assert length_remarks(1.0, 1.05, unit="mm", unit_of_file=False, kind=None) == []


def test_a_hull_upside_down_is_remarked_on():
    hull = read(FACETS * [1.0, -1.0, -1.0])
    assert [remark.words for remark in hull.remarks] == [
        "The centre of the hull's sections is at 39 % of their height. Hulls are fuller above than below, so it "
        "should be at 50 % or more."
        " If the hull is upside down, correct the axis that points up. A mast or a cabin in the file can also cause this."
    ]


def test_an_open_hull_upside_down_is_refused():
    assert refusal(FACETS[~DECK] * [1.0, -1.0, -1.0]) == [
        "The surface has a downward-facing opening 1000 mm long, near x = 510.2, y = 0, z = -56.536 in the file. If this "
        "is the deck, the hull is upside down: correct the axis that points up. Otherwise close the opening."
    ]


def test_millions_of_facets_are_refused_before_any_work():
    facets = np.broadcast_to(FACETS[:1], (LARGEST_FACET_COUNT + 1, 3, 3))
    assert refusal(facets) == [
        "The hull has 1 000 001 facets; the limit is 1 000 000 facets. Save the hull as a coarser mesh; 20 000 "
        "facets give its displacement to about 0.05 %."
    ]


def test_a_surface_that_passes_through_itself_is_refused_where_it_matters():
    mesh = WHOLE.vertices * 1000
    mesh[np.argmin(np.linalg.norm(mesh - [500.0, 85.0, 0.0], axis=1))] = [500.0, -150.0, 0.0]
    (words,) = refusal(mesh[WHOLE.triangles])
    assert words.startswith("The surface passes through itself at 6 pairs of facets, the first at x = ")
    assert words.endswith(
        "% of the hull's volume is counted twice or with the wrong sign. Join the parts into one body in the modeller, "
        "or remove the fold."
    )


def test_a_flat_sheet_is_refused():
    sheet = np.array([[[0, 0, 0], [1000, 0, 0], [1000, 200, 0]], [[0, 0, 0], [1000, 200, 0], [0, 200, 0]]])
    assert refusal(sheet) == [
        "The surface is a flat sheet, 0 mm thick and 1000 mm across. Give the outside of the hull as one closed surface."
    ]


def test_facets_shrunk_to_points_are_refused():
    assert refusal(np.ones((4, 3, 3))) == [
        "Every facet has collapsed to a point or a line. Export the hull again with more decimal places. "
        "Coordinates rounded to whole metres cause this."
    ]


def test_facets_that_hang_together_nowhere_are_refused():
    scattered = hull_facets(120, 40)
    scattered = scattered + np.random.default_rng(3).normal(0.0, 2.0, (len(scattered), 1, 3))
    (words,) = refusal(scattered)
    assert words.startswith(f"{3 * len(scattered):,} edges have a facet on one side only".replace(",", " "))


# --- Openings ---------------------------------------------------------------------------------------------------------


def test_an_open_deck_is_closed_straight_across():
    hull = read(FACETS[~DECK])
    assert same_volume(hull)
    (remark,) = hull.remarks
    assert remark.words == (
        "An open deck 1000 mm long, with an area of 1.33e+03 cm2, was found near x = 510.2, y = 0, z = 56.536 in the "
        "file. It was closed straight across, so righting arms with the deck under water are those of a decked boat."
    )
    assert len(hull.vertices) == len(WHOLE.vertices)


def test_an_open_deck_and_transom_in_one_rim_are_closed_straight_across():
    hull = read(FACETS[~(DECK | TRANSOM)])
    assert same_volume(hull)
    assert [remark.code for remark in hull.remarks] == ["deck-closed"]


def test_an_open_transom_is_closed_flat():
    hull = read(FACETS[~TRANSOM])
    assert same_volume(hull)
    assert [remark.code for remark in hull.remarks] == ["small-opening-closed"]


def test_a_flat_deck_whose_sides_are_not_alike_is_closed_too():
    x = np.linspace(0.0, 1000.0, 21)
    half = 90.0 * np.sin(np.pi * x / 1000.0) ** 0.8
    half[-1] = 0.0
    y = half[:, None] * np.array([0.0, 0.7, 1.0])
    mesh = lofted_hull(x, y, np.tile([-50.0, -20.0, 40.0], (21, 1)))
    points = mesh.vertices.copy()
    points[points[:, 1] < 0, 0] += 7.0 * np.sin(np.pi * points[points[:, 1] < 0, 0] / 1000.0)
    facets = points[mesh.triangles]
    deck = (facets[:, :, 2] > 39.0).all(axis=1)
    decked, open_ = read(facets), read(facets[~deck])
    assert open_.volume == pytest.approx(decked.volume, rel=1e-12)
    assert [remark.code for remark in open_.remarks] == ["deck-closed"]


def test_a_missing_facet_is_closed_with_itself():
    hull = read(np.delete(FACETS, 100, axis=0))
    assert hull.volume == pytest.approx(WHOLE.volume, rel=1e-12)
    assert [remark.code for remark in hull.remarks] == ["small-opening-closed"]


def test_an_open_deck_inside_out_is_closed_and_turned():
    hull = read(FACETS[~DECK][:, ::-1])
    assert same_volume(hull)
    assert [remark.code for remark in hull.remarks] == ["deck-closed", "inside-out"]


def test_points_off_by_single_precision_are_welded():
    noise = np.random.default_rng(4).normal(0.0, 1e-4, FACETS.shape)
    hull = read(FACETS + noise)
    assert hull.volume == pytest.approx(WHOLE.volume, rel=1e-6)
    assert [remark.code for remark in hull.remarks] == ["gaps-welded"]
    assert read(FACETS.astype(np.float32)).remarks == ()


# --- Halves -------------------------------------------------------------------------------------------------------------


ONE_SIDE = FACETS[(FACETS[:, :, 1] >= -1e-9).all(axis=1) & ~DECK & ~TRANSOM]


def test_one_half_is_mirrored_when_that_is_said():
    hull = read(ONE_SIDE, half=True)
    assert same_volume(hull)
    assert [remark.code for remark in hull.remarks] == ["half-mirrored", "deck-closed"]
    assert hull.remarks[0].words == (
        "The other side was made by mirroring 384 facets. 33 points on the centreplane join the two sides."
    )


def test_one_half_is_refused_when_it_is_not_said():
    (words,) = refusal(ONE_SIDE)
    assert words == (
        "The surface is open along a flat side 1000 mm long, near x = 500, y = 29.363, z = 13.778 in the file. "
        "If that side is the centreplane, state in the plan that the file is one half of the hull. Otherwise close the side."
    )


# --- Placement ------------------------------------------------------------------------------------------------------------


def test_modellers_axes_unit_scale_and_datum_come_to_boat_axes():
    # Bow along +y, deck along -x, in inches, ten times too large, shifted.
    aft, up = np.array([0.0, -1.0, 0.0]), np.array([-1.0, 0.0, 0.0])
    starboard = np.cross(up, aft)
    turn = np.stack([aft, starboard, up])
    facets = (FACETS * 10.0 / 25.4) @ turn + [3.0, -40.0, 7.0]
    datum = turn @ np.array([3.0, -40.0, 7.0]) * 0.0254
    hull = read(
        facets,
        placement=HullPlacement(
            metres_per_unit=0.0254,
            scale=0.1,
            rotation=rotation_from_axes("-y", "-x"),
            waterline_level=datum[2],
        ),
    )
    assert hull.remarks == ()
    assert hull.volume == pytest.approx(WHOLE.volume, rel=1e-12)
    assert hull.design_length == pytest.approx(1.0, rel=1e-12)
    assert hull.vertices.min(axis=0) == pytest.approx(WHOLE.vertices.min(axis=0), abs=1e-12)
    assert hull.vertices.max(axis=0) == pytest.approx(WHOLE.vertices.max(axis=0), abs=1e-12)


def test_a_place_is_reported_in_the_files_own_axes():
    turn = np.array(rotation_from_axes("-y", "z"))
    (words,) = refusal(
        FACETS[~SIDE_HOLE] @ turn,
        placement=HullPlacement(metres_per_unit=0.001, rotation=rotation_from_axes("-y", "z")),
    )
    assert "near x = 58.769, y = -497.02, z = -9.2516 in the file" in words


def test_given_ends_of_the_waterline_are_used_and_remarked_on_where_they_differ():
    hull = read(FACETS, placement=HullPlacement(metres_per_unit=0.001, forward_end=0.05, aft_end=0.995))
    assert hull.design_length == pytest.approx(0.945, rel=1e-12)
    assert hull.vertices[:, 0].min() == pytest.approx(-0.05, abs=1e-12)
    assert [remark.words for remark in hull.remarks] == [
        "The forward end of the design waterline, as given, is 50 mm from the point where the surface meets the "
        "waterline. The given figure is used. Correct it if it is wrong."
    ]


def test_ends_the_wrong_way_round_are_refused():
    assert refusal(FACETS, placement=HullPlacement(metres_per_unit=0.001, forward_end=0.9, aft_end=0.1)) == [
        "The design waterline's aft end at 100 mm is not aft of its forward end at 900 mm, both as built. "
        "Correct the two ends or the axis that points aft."
    ]


def test_a_waterline_off_the_hull_is_refused():
    assert refusal(FACETS, placement=HullPlacement(metres_per_unit=0.001, waterline_level=0.2)) == [
        "The design waterline, at a height of 200 mm, does not cut the hull, which extends from -60 to 70 mm as "
        "modelled. Correct the height, the unit or the axis that points up. The hull must extend above and below the "
        "waterline."
    ]
