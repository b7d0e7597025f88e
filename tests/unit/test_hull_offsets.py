"""Tables of offsets: Simpson's rules applied piece by piece, the curve they imply, and faults in a table."""

from __future__ import annotations

import numpy as np
import pytest

from bulbcast.hull.faults import HullError
from bulbcast.hull.hydrostatics import design_line_of_mesh, hydrostatics
from bulbcast.hull.offsets_hull import HullTable, design_line_of_offsets, offsets_hull
from bulbcast.hull.offsets_mesh import lofted_hull, mesh_of_offsets
from bulbcast.hull.placement import HullPlacement
from bulbcast.hull.simpson import blended, integration_rule
from bulbcast.solids.mesh import mesh_volume_and_centroid


def pieces(x):
    return [(piece.rule, piece.first, piece.last) for piece in integration_rule(np.array(x)).pieces]


@pytest.mark.parametrize(
    ("x", "wanted"),
    [
        ([0, 1], [("trapezoid", 0, 1)]),
        ([0, 1, 2], [("Simpson 1/3", 0, 2)]),
        ([0, 1, 2, 3], [("Simpson 3/8", 0, 3)]),
        ([0, 1, 2, 3, 4], [("Simpson 1/3", 0, 4)]),
        ([0, 1, 2, 3, 4, 5], [("Simpson 1/3", 0, 2), ("Simpson 3/8", 2, 5)]),
        (
            [0, 0.5, 1, 2, 3, 3.5],
            [("Simpson 1/3", 0, 2), ("Simpson 1/3", 2, 4), ("trapezoid", 4, 5)],
        ),
        ([0, 1, 3], [("trapezoid", 0, 1), ("trapezoid", 1, 2)]),
    ],
)
def test_each_run_of_equal_spacing_takes_its_own_rule(x, wanted):
    assert pieces(x) == wanted


def test_the_multipliers_are_the_handbooks():
    assert integration_rule(np.arange(5.0)).weights * 3 == pytest.approx([1, 4, 2, 4, 1], rel=1e-15)
    assert integration_rule(np.arange(4.0)).weights * 8 / 3 == pytest.approx([1, 3, 3, 1], rel=1e-15)
    # Half-stations at the ends: 1/2 2 1 1/2+1 ... as every displacement sheet has it.
    halved = integration_rule(np.array([0, 0.5, 1, 2, 3, 3.5, 4.0]))
    assert halved.weights * 3 == pytest.approx([0.5, 2, 1.5, 4, 1.5, 2, 0.5], rel=1e-15)
    assert halved.by_trapezoid == 0


@pytest.mark.parametrize("count", range(2, 12))
def test_cubics_are_exact_on_any_number_of_equal_intervals_from_two_up(count):
    x = np.linspace(-0.3, 1.1, count + 1)
    rule = integration_rule(x)
    for power in range(4):
        exact = (x[-1] ** (power + 1) - x[0] ** (power + 1)) / (power + 1)
        assert rule.weights @ x**power == pytest.approx(exact, rel=1e-13)
    assert rule.weights @ x**4 != pytest.approx((x[-1] ** 5 - x[0] ** 5) / 5, rel=1e-9)


def test_the_trapezoid_rules_error_on_one_interval_is_the_books():
    # -(b - a) h^2 f'' / 12 for f = x^2.
    rule = integration_rule(np.array([0.0, 0.7]))
    assert rule.weights @ np.array([0.0, 0.49]) - 0.7**3 / 3 == pytest.approx(0.7**3 * 2 / 12, rel=1e-13)


def test_the_faired_curve_meets_its_points_and_parabolas_exactly():
    x = np.array([0.0, 0.3, 1.0, 1.2, 2.0])
    fine = np.linspace(0, 2, 57)
    parabola = 3 * x**2 - x + 0.5
    assert blended(x, parabola, fine) == pytest.approx(3 * fine**2 - fine + 0.5, abs=1e-14)
    rows = np.stack([np.sin(x), x**3], axis=1)
    assert blended(x, rows, x) == pytest.approx(rows, abs=1e-14)
    assert blended(x[:2], x[:2] * 2, np.array([0.1])) == pytest.approx([0.2])


def test_a_lofted_box_has_every_face_outwards():
    mesh = lofted_hull(np.array([0.0, 0.4, 1.0]), np.full((3, 2), 0.1), np.tile([-0.05, 0.07], (3, 1)))
    volume, centre = mesh_volume_and_centroid(mesh.vertices, mesh.triangles)
    assert volume == pytest.approx(0.2 * 0.12, rel=1e-14)
    assert centre == pytest.approx([0.5, 0.0, 0.01], abs=1e-15)
    corners = mesh.vertices[mesh.triangles]
    normal = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    outwards = np.einsum("ij,ij->i", normal, corners.mean(axis=1) - centre)
    assert np.all(outwards > 0)


def test_sections_without_breadth_are_refused():
    with pytest.raises(HullError, match="The sections enclose no volume"):
        lofted_hull(np.array([0.0, 1.0]), np.zeros((2, 2)), np.tile([-1.0, 1.0], (2, 1)))


# --- A table ------------------------------------------------------------------------------------------------------------

STATIONS = np.linspace(0.0, 1.0, 5)
LEVELS = np.array([-0.06, -0.03, 0.0, 0.03])
BREADTHS = np.outer(1 - (2 * STATIONS - 1) ** 2, [0.03, 0.07, 0.09, 0.1])
ROWS = {
    "keel": np.array([0.0, -0.07, -0.08, -0.07, -0.01]),
    "sheer": np.full(5, 0.05),
    "sheer_half_breadths": 0.105 * (1 - (2 * STATIONS - 1) ** 2),
}


def table(**changes):
    given = {"stations": STATIONS, "levels": LEVELS, "half_breadths": BREADTHS} | changes
    placed = {name: given.pop(name) for name in HullPlacement.__dataclass_fields__ if name in given}
    return offsets_hull(HullTable(**given), HullPlacement(**placed), "offsets")


def refusal(**changes):
    with pytest.raises(HullError) as caught:
        table(**changes)
    return [fault.words for fault in caught.value.faults]


def test_a_box_table_is_a_box_by_both_ways():
    hull = table(
        stations=np.linspace(0, 2, 5),
        levels=[0.0, 0.1, 0.2, 0.3],
        half_breadths=np.full((5, 4), 0.25),
        waterline_level=0.2,
    )
    line, notes = design_line_of_offsets(hull)
    surface = design_line_of_mesh(mesh_of_offsets(hull))
    # Two intervals of height under water take the 1/3 rule: nothing is left for the trapezoid.
    assert notes == ()
    for found in (line, surface):
        assert found.volume == pytest.approx(0.2, rel=1e-13)
        assert found.buoyancy_x == pytest.approx(1.0, rel=1e-13)
        assert found.buoyancy_z == pytest.approx(-0.1, rel=1e-13)
        assert found.waterplane_area == pytest.approx(1.0, rel=1e-13)
        assert found.bm_across == pytest.approx(0.5**2 / (12 * 0.2), rel=1e-13)
        assert found.bm_along == pytest.approx(4 / (12 * 0.2), rel=1e-13)
        assert found.length == pytest.approx(2.0, rel=1e-13)
        assert found.draught == pytest.approx(0.2, rel=1e-13)
    assert [remark.words for remark in hull.remarks] == [
        "The table does not give keel heights. The hull was given a flat bottom at the lowest waterline. Give keel "
        "heights if the hull goes deeper.",
        "The table does not give the deck edge. The hull was decked at the highest waterline, so righting arms with "
        "that waterline under water mean nothing.",
    ]


def test_where_the_trapezoid_rule_stands_in_it_is_said():
    hull = table(**ROWS, stations=np.array([0.0, 0.25, 0.5, 0.75, 0.9]))
    _, notes = design_line_of_offsets(hull)
    assert notes == (
        "Within the sections, the trapezoid rule was used for 4 of 10 intervals. These are single intervals of a "
        "different height, such as the one from the keel to the lowest waterline.",
        "Along the hull, the trapezoid rule was used for the single intervals from 750 to 900 mm.",
    )


def test_scale_and_datum_move_the_table_and_change_nothing_else():
    small = table(**ROWS)
    moved = table(
        stations=STATIONS * 10 + 3,
        levels=LEVELS * 10 + 2,
        half_breadths=BREADTHS * 10,
        keel=ROWS["keel"] * 10 + 2,
        sheer=ROWS["sheer"] * 10 + 2,
        sheer_half_breadths=ROWS["sheer_half_breadths"] * 10,
        waterline_level=2.0,
        scale=0.1,
    )
    one, other = (design_line_of_offsets(hull)[0] for hull in (small, moved))
    for name in ("volume", "buoyancy_x", "buoyancy_z", "flotation_x", "bm_across", "bm_along", "length"):
        assert getattr(other, name) == pytest.approx(getattr(one, name), rel=1e-12), name
    assert hydrostatics(mesh_of_offsets(moved)).volume == pytest.approx(
        hydrostatics(mesh_of_offsets(small)).volume, rel=1e-12
    )


def test_the_waterline_ends_where_the_keel_comes_up_through_it():
    # A straight keel from -0.05 at x = 0.8 to +0.05 at 1.0 crosses at 0.9; its neighbours lie on the same line.
    x = np.array([0.0, 0.2, 0.4, 0.6, 0.8, 1.0])
    keel = np.array([0.0, -0.05, -0.15, -0.15, -0.05, 0.05])
    breadths = np.full((6, 2), np.nan)
    breadths[:5, 0] = [0.0, 0.05, 0.1, 0.1, 0.05]
    breadths[:, 1] = [0.02, 0.06, 0.11, 0.11, 0.07, 0.04]
    hull = table(
        stations=x,
        levels=[0.0, 0.05],
        half_breadths=breadths,
        keel=keel,
        sheer=np.full(6, 0.1),
        sheer_half_breadths=np.full(6, 0.11),
    )
    assert hull.stations[0] == 0.0
    assert 0.88 < hull.design_length < 0.92
    assert blended(hull.stations, hull.keel, np.array([hull.design_length])) == pytest.approx(
        [0.0], abs=1e-12
    )


def test_a_surface_through_the_table_is_closed_and_the_same_to_both_sides():
    surface = mesh_of_offsets(table(**ROWS))
    found = hydrostatics(surface)
    assert found.buoyancy_centre[1] == pytest.approx(0.0, abs=1e-15)
    assert surface.volume > found.volume > 0
    mirrored = surface.vertices * [1.0, -1.0, 1.0]
    assert {tuple(row) for row in mirrored + 0.0} == {tuple(row) for row in surface.vertices + 0.0}


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        (
            {"stations": STATIONS[:2], "half_breadths": BREADTHS[:2]},
            "The table has 2 stations and 4 waterlines. Give at least three stations and two waterlines. Eleven "
            "stations and six waterlines make a good table.",
        ),
        (
            {"stations": STATIONS[[0, 2, 1, 3, 4]]},
            "The stations are not in ascending order. Number 3, at 250 mm, follows 500 mm. Sort them: stations from the "
            "bow aft, waterlines upwards.",
        ),
        (
            {"levels": LEVELS[::-1]},
            "The waterlines are not in ascending order. Number 2, at 0 mm, follows 30 mm. Sort them: stations from the "
            "bow aft, waterlines upwards.",
        ),
        (
            {"half_breadths": -BREADTHS},
            "The half breadth at station 2, column 1 was read as -22.5 mm. Half breadths are measured outwards from the "
            "centreplane and are never negative.",
        ),
        (
            {"half_breadths": np.where(LEVELS < -0.05, np.nan, BREADTHS)},
            "The lowest waterline is blank at station 1 (x = 0 mm), and the table does not give keel heights. Give the "
            "keel's height at every station, or enter 0 where the hull has no breadth.",
        ),
        (
            {"half_breadths": np.where(np.abs(LEVELS) < 0.01, np.nan, BREADTHS)},
            "The table has a blank between two figures at station 1 (x = 0 mm). Fill in the blank from the lines plan.",
        ),
        (
            {"half_breadths": np.where(LEVELS > 0.02, np.nan, BREADTHS)},
            "The highest waterline is blank at station 1 (x = 0 mm), and the table does not give the deck edge. Give "
            "the height and half breadth of the deck edge at every station.",
        ),
        (
            {"keel": np.full(5, 0.1)} | {k: ROWS[k] for k in ("sheer", "sheer_half_breadths")},
            "The keel is above the deck edge at station 1 (x = 0 mm). Correct one of them. Both are heights above the "
            "table's baseline.",
        ),
        (
            {"keel": np.full(5, -0.02)},
            "The waterline at -60 mm has a half breadth at station 2 (x = 250 mm), where the hull extends from -20 to "
            "30 mm. Leave the half breadth blank, or correct the height of the keel or the deck edge.",
        ),
        (
            {"sheer": ROWS["sheer"]},
            "The table gives either the height or the half breadth of the deck edge, but not both. Give both or neither.",
        ),
        (
            {"waterline_level": 0.5},
            "The design waterline, at a height of 500 mm, has no half breadth at any station. Correct the height or the "
            "table's unit.",
        ),
        (
            {"forward_end": 0.8, "aft_end": 0.2},
            "The design waterline's aft end at 200 mm is not aft of its forward end at 800 mm. Correct the two ends.",
        ),
    ],
)
def test_a_table_that_cannot_be_used_is_refused_with_its_place(changes, words):
    assert refusal(**changes)[0] == words
