"""Draft and undercut of solids with known facets: a cone, a box, and a round bar cut by a plane away from its axis."""

from __future__ import annotations

import math

import numpy as np
import pytest

from bulbcast.bulb.body.facet_loops import boundary_loops, flat_faces
from bulbcast.pattern_shop.pieces.cutting import pin_cutter
from bulbcast.pattern_shop.pieces.draw import drafts, draw_of
from bulbcast.solids.kernel import KernelSolid
from bulbcast.solids.mesh import Mesh

UP = np.array([0.0, 0.0, 1.0])
WANTED = math.radians(2.0)


def frustum(foot=0.02, top=0.018, height=0.03):
    return pin_cutter((0.0, 0.0, 0.0), "z", np.array([foot, top]), np.array([0.0, height]))


def test_the_sides_of_a_cone_have_its_own_angle_and_its_end_faces_all_of_the_pull():
    draft, area, _ = drafts(frustum().faces(), UP)
    sides = np.abs(draft) < math.radians(80.0)
    # A facet's angle is that of its middle line, which lies a little inside the round cone.
    assert draft[sides] == pytest.approx(math.atan(0.002 / 0.03), rel=2e-3)
    assert draft[~sides] == pytest.approx(np.sign(draft[~sides]) * 0.5 * math.pi)
    slant = math.hypot(0.002, 0.03)
    assert float(area[sides].sum()) == pytest.approx(math.pi * 0.038 * slant, rel=1e-3)


def test_a_cone_draws_off_its_broad_foot_and_is_caught_the_other_way():
    mesh = frustum().faces()
    off = draw_of(mesh, UP, wanted=WANTED, flat_at=0.0)
    assert off.undercut_area == 0.0
    assert off.undercut_at is None
    assert off.smallest == pytest.approx(math.atan(0.002 / 0.03), rel=2e-3)
    assert (off.low_height, off.low_at) == (0.0, None)
    caught = draw_of(mesh, -UP, wanted=WANTED, flat_at=-0.03)
    assert caught.undercut_area == pytest.approx(math.pi * 0.038 * math.hypot(0.002, 0.03), rel=1e-3)
    assert caught.undercut_angle == pytest.approx(math.atan(0.002 / 0.03), rel=2e-3)


def test_upright_sides_are_no_undercut_and_are_reported_with_their_height():
    found = draw_of(frustum(top=0.02).faces(), UP, wanted=WANTED, flat_at=0.0)
    assert found.undercut_area == 0.0
    assert found.smallest == pytest.approx(0.0, abs=1e-9)
    assert found.low_height == pytest.approx(0.03, rel=1e-12)
    assert found.low_at is not None
    assert found.low_at[2] == pytest.approx(0.03)


@pytest.mark.parametrize("off", [0.002, 0.006])
def test_a_round_bar_parted_off_its_axis_is_undercut_between_plane_and_axis(off):
    radius, length = 0.02, 0.1
    bar = pin_cutter((0.0, 0.0, 0.0), "x", np.array([radius, radius]), np.array([0.0, length]))
    _, lower = bar.parted((0.0, 0.0, 1.0), off)
    found = draw_of(lower.faces(), -UP, wanted=WANTED, flat_at=-off)
    # Both sides of the strip from the axis up to the plane: 2 r asin(off / r) L, to a facet's width.
    expected = 2.0 * radius * math.asin(off / radius) * length
    facet = 2.0 * math.pi * radius / 70.0 * length
    assert found.undercut_area == pytest.approx(expected, abs=facet)
    assert found.undercut_angle == pytest.approx(math.asin(off / radius), abs=0.06)
    upper, _ = bar.parted((0.0, 0.0, 1.0), off)
    assert draw_of(upper.faces(), UP, wanted=WANTED, flat_at=off).undercut_area == 0.0


def test_the_highest_of_two_steep_patches_is_reported():
    low = pin_cutter((0.0, 0.0, 0.0), "z", np.array([0.01, 0.01]), np.array([0.0, 0.005]))
    tall = pin_cutter((0.05, 0.0, 0.0), "z", np.array([0.01, 0.01]), np.array([0.0, 0.012]))
    found = draw_of(low.joined(tall).faces(), UP, wanted=WANTED, flat_at=0.0)
    assert found.low_height == pytest.approx(0.012, rel=1e-9)
    assert found.low_at is not None
    assert found.low_at[0] == pytest.approx(0.05, abs=0.011)


def test_a_ring_of_facets_has_an_outer_and_an_inner_loop():
    ring = pin_cutter((0.0, 0.0, 0.0), "z", np.array([0.02, 0.02]), np.array([0.0, 0.01])).less(
        pin_cutter((0.0, 0.0, 0.0), "z", np.array([0.01, 0.01]), np.array([-0.01, 0.02]))
    )
    mesh = ring.faces()
    tops = [(level, loops) for normal, level, loops in flat_faces(mesh, smallest=1e-6) if normal[2] > 0.0]
    assert len(tops) == 1
    assert tops[0][0] == pytest.approx(0.01)
    assert len(tops[0][1]) == 2
    areas = []
    for loop in tops[0][1]:
        x, y = mesh.vertices[loop, 0], mesh.vertices[loop, 1]
        areas.append(0.5 * float(np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y)))
    assert sum(areas) == pytest.approx(math.pi * (0.02**2 - 0.01**2), rel=1e-6)
    assert min(areas) < 0.0 < max(areas)


def test_a_closed_surface_has_no_boundary():
    assert boundary_loops(frustum().faces().triangles) == []
    assert boundary_loops(np.zeros((0, 3), dtype=np.int64)) == []


def test_solids_of_the_kernel_join_part_and_measure_as_cylinders_do():
    cylinder = pin_cutter((0.0, 0.0, 0.0), "y", np.array([0.01, 0.01]), np.array([0.0, 0.04]))
    assert cylinder.volume == pytest.approx(math.pi * 0.01**2 * 0.04, rel=1e-12)
    ahead, behind = cylinder.parted((0.0, 1.0, 0.0), 0.01)
    assert ahead.volume == pytest.approx(math.pi * 0.01**2 * 0.03, rel=1e-12)
    assert behind.volume + ahead.volume == pytest.approx(cylinder.volume, rel=1e-12)
    assert ahead.common(behind).is_empty or ahead.common(behind).volume == pytest.approx(0.0, abs=1e-18)
    assert cylinder.scaled(2.0).volume == pytest.approx(8.0 * cylinder.volume, rel=1e-12)
    assert cylinder.joined(ahead).volume == pytest.approx(cylinder.volume, rel=1e-12)
    assert cylinder.less(ahead).volume == pytest.approx(behind.volume, rel=1e-9)
    low, high = cylinder.bounds
    assert (low[1], high[1]) == pytest.approx((0.0, 0.04))
    assert isinstance(cylinder, KernelSolid)


def test_the_silhouette_of_an_upright_cylinder_is_a_rectangle():
    cylinder = frustum(top=0.02)
    (outline,) = cylinder.silhouette(np.array([1.0, 0.0, 0.0]), UP, coarse=1e-6)
    x, y = outline[:, 0], outline[:, 1]
    area = 0.5 * abs(float(np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y)))
    assert area == pytest.approx(0.04 * 0.03, rel=2e-3)


@pytest.mark.parametrize("top", [0.02, 0.018])
def test_where_the_draft_is_smallest_does_not_hang_on_how_the_kernel_puts_its_facets(top):
    """All sides of a round bar have equal draft, so reordering and splitting the facets must not change the reported
    position."""
    mesh = frustum(top=top).faces()
    corners = mesh.vertices[mesh.triangles]
    middles = len(mesh.vertices) + np.arange(len(corners))
    a, b, c = mesh.triangles.T
    cut = np.concatenate(
        [np.column_stack(pair) for pair in ((a, b, middles), (b, c, middles), (c, a, middles))]
    )
    other = Mesh(vertices=np.concatenate([mesh.vertices, corners.mean(axis=1)]), triangles=cut[::-1])
    for pull, flat_at in ((UP, 0.0), (-UP, -0.03)):
        one, two = (draw_of(each, pull, wanted=WANTED, flat_at=flat_at) for each in (mesh, other))
        assert two.smallest_at == pytest.approx(one.smallest_at, abs=1e-12)
        assert two.undercut_at == (
            None if one.undercut_at is None else pytest.approx(one.undercut_at, abs=1e-12)
        )
