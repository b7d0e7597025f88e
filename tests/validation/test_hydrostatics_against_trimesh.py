"""Hydrostatics of an irregular hull compared with trimesh, a general-purpose mesh library with its own clipping and
capping.

The hull is that of the example, written from formulas by its script and read by trimesh.
"""

from __future__ import annotations

import csv
import math
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
import trimesh

from bulbcast.hull.floating import float_boat
from bulbcast.hull.hydrostatics import Attitude, design_line_of_mesh, directions, hydrostatics
from bulbcast.hull.mesh import hull_from_triangles
from bulbcast.hull.offsets_hull import HullTable, design_line_of_offsets, offsets_hull
from bulbcast.hull.offsets_mesh import mesh_of_offsets
from bulbcast.hull.placement import HullPlacement


@pytest.fixture(scope="module")
def example(tmp_path_factory):
    """Folder with the hull written by the example script."""
    folder = tmp_path_factory.mktemp("hull")
    script = Path(__file__).parents[2] / "examples" / "make_hull.py"
    subprocess.run([sys.executable, str(script), str(folder)], check=True, capture_output=True)
    return folder


@pytest.fixture(scope="module")
def as_trimesh(example):
    """The example's hull as trimesh reads it, in m."""
    mesh = trimesh.load(example / "hull.stl")
    mesh.apply_scale(0.001)
    return mesh


@pytest.fixture(scope="module")
def example_hull(example):
    """The example hull, built from the facets by our own code, in the axes of the file."""
    return hull_from_triangles(
        np.asarray(trimesh.load(example / "hull.stl").triangles),
        placement=HullPlacement(metres_per_unit=0.001, forward_end=0.0, aft_end=0.95),
    )


ATTITUDES = [
    Attitude(),
    Attitude(sinkage=0.012),
    Attitude(sinkage=-0.02, trim=0.03),
    Attitude(sinkage=0.005, trim=-0.04, heel=0.4),
    Attitude(sinkage=0.0, trim=0.02, heel=1.4),
    Attitude(sinkage=-0.03, trim=0.01, heel=2.6),
    Attitude(sinkage=-0.05, trim=-0.01, heel=math.pi),
]


@pytest.mark.parametrize("attitude", ATTITUDES, ids=str)
def test_an_irregular_hull_is_clipped_as_trimesh_slices_and_caps_it(example_hull, as_trimesh, attitude):
    hull, mesh = example_hull, as_trimesh
    assert hull.volume == pytest.approx(mesh.volume, rel=1e-12)
    found = hydrostatics(hull, attitude)
    world = directions(attitude.trim, attitude.heel)
    part = mesh.slice_plane(plane_origin=attitude.sinkage * world.up, plane_normal=-world.up, cap=True)
    assert part.is_watertight
    assert found.volume == pytest.approx(part.volume, rel=1e-9)
    np.testing.assert_allclose(found.buoyancy_centre, part.center_mass, atol=1e-9)
    # The cap's triangles are the waterplane: area, centre and second moments from them.
    corners = part.triangles
    in_plane = np.abs(corners @ world.up - attitude.sinkage).max(axis=1) < 1e-9
    area = part.area_faces[in_plane]
    middles = np.stack(
        [(corners[in_plane][:, i] + corners[in_plane][:, (i + 1) % 3]) / 2 for i in range(3)], axis=1
    )
    assert found.waterplane_area == pytest.approx(area.sum(), rel=1e-8)
    assert found.wetted_area == pytest.approx(part.area - area.sum(), rel=1e-8)
    centre = (area[:, None] * middles.mean(axis=1)).sum(axis=0) / area.sum()
    np.testing.assert_allclose(found.waterplane_centre, centre, atol=1e-8)
    # The mean over the three edge middles is exact for second degree.
    for name, direction in (
        ("second_moment_across", world.starboard),
        ("second_moment_along", world.aft),
    ):
        value = np.sum(area * np.mean(((middles - centre) @ direction) ** 2, axis=1))
        assert getattr(found, name) == pytest.approx(value, rel=1e-7), name


def test_the_example_floats_where_trimesh_finds_weight_and_buoyancy_in_line(example_hull, as_trimesh):
    hull, mesh = example_hull, as_trimesh
    centre = np.array([0.52, 0.004, -0.12])
    rest = float_boat(hull, mass=3.3, mass_centre=tuple(centre), water_density=999.1)
    world = directions(rest.attitude.trim, rest.attitude.heel)
    part = mesh.slice_plane(plane_origin=rest.attitude.sinkage * world.up, plane_normal=-world.up, cap=True)
    assert 999.1 * part.volume == pytest.approx(3.3, rel=1e-9)
    lever = part.center_mass - centre
    assert abs(lever @ world.aft) < 1e-8
    assert abs(lever @ world.starboard) < 1e-8
    assert rest.stable
    assert rest.upright


def test_the_example_table_and_surface_tell_of_the_same_hull(example, example_hull):
    hull = example_hull
    assert hull.remarks == ()
    rows = list(csv.reader((example / "hull-offsets.csv").open(encoding="utf-8")))
    figures = np.array([[float(cell) if cell else np.nan for cell in row] for row in rows[1:]]) / 1000
    table = HullTable(
        stations=figures[:, 0],
        levels=[float(name.split("_")[1]) / 1000 for name in rows[0][4:]],
        half_breadths=figures[:, 4:],
        keel=figures[:, 1],
        sheer=figures[:, 2],
        sheer_half_breadths=figures[:, 3],
    )
    table = offsets_hull(table, HullPlacement(), "offsets")
    surface = design_line_of_mesh(hull)
    faired = design_line_of_mesh(mesh_of_offsets(table))
    simpson, notes = design_line_of_offsets(table)
    assert faired.volume == pytest.approx(surface.volume, rel=3e-3)
    assert faired.buoyancy_x == pytest.approx(surface.buoyancy_x, abs=1e-3)
    assert faired.bm_across == pytest.approx(surface.bm_across, rel=3e-3)
    # Round sections stand on the keel, and the trapezoid rule cuts that corner off: 1.2 % less.
    assert simpson.volume == pytest.approx(surface.volume, rel=2e-2)
    assert simpson.volume < surface.volume
    assert simpson.buoyancy_x == pytest.approx(surface.buoyancy_x, abs=1e-3)
    assert simpson.flotation_x == pytest.approx(surface.flotation_x, abs=3e-3)
    assert simpson.length == pytest.approx(0.95, rel=1e-9)
    assert notes == (
        "Within the sections, the trapezoid rule was used for 11 of 35 intervals. These are single intervals of a "
        "different height, such as the one from the keel to the lowest waterline.",
    )
