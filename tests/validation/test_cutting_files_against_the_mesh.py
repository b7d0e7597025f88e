"""DXF and SVG files, as other programs read them, compared with plan.json and with sections of the pattern's mesh.

DXF is written by ezdxf and read by trimesh's path reader; SVG is read by the standard library. trimesh reads and cuts
pattern.stl, and shapely calculates the areas of its sections. Facets differ from a smooth surface by their chord error,
so the mesh is as fine as the plan allows.
"""

from __future__ import annotations

import io
import json
import re
import xml.etree.ElementTree as ElementTree

import numpy as np
import pytest
import trimesh
from plans import command, example_text
from shapely import Polygon, linestrings
from shapely.ops import polygonize
from trimesh.path.exchange.dxf import load_dxf

FAMILIES = ("stations", "gauges", "silhouettes", "fin", "saddle")
AREA = 1e-4


@pytest.fixture(scope="module")
def bundle(tmp_path_factory):
    folder = tmp_path_factory.mktemp("fine")
    text = example_text("fenwisp")
    assert "[pattern]\n" in text
    fine = text.replace("[pattern]\n", '[pattern]\nchord_error = "0.001 mm"\n').replace(
        "fineness = 6.0", "fineness = 6.0\nwidth_to_height = 1.2"
    )
    (folder / "fine.toml").write_text(fine, "utf-8")
    done = command("plan", folder / "fine.toml", "--out", folder / "out")
    assert done.exit_code == 0, done.output
    return folder / "out"


@pytest.fixture(scope="module")
def mesh(bundle):
    return trimesh.load(bundle / "pattern.stl")


@pytest.fixture(scope="module")
def plan(bundle):
    return json.loads((bundle / "plan.json").read_text("utf-8"))


def dxf_lines(path):
    """Polylines of a DXF file by layer, with their points in mm and whether they are closed."""
    read = load_dxf(io.StringIO(path.read_text("ascii")))
    lines = []
    for entity in read["entities"]:
        points = np.asarray(read["vertices"])[entity.points]
        closed = bool(np.allclose(points[0], points[-1], atol=1e-9)) and len(points) > 3
        # The reader puts every word of the file in capitals.
        lines.append((str(entity.layer).lower(), points[:-1] if closed else points, closed))
    return lines


def svg_lines(path):
    """Paths of an SVG file by group, with their points in mm, y up, and whether they are closed."""
    root = ElementTree.fromstring(path.read_bytes())
    height = float(root.attrib["height"].removesuffix("mm"))
    lines = []
    for each in root.iter("{http://www.w3.org/2000/svg}g"):
        for one in each:
            figures = re.findall(r"-?\d+(?:\.\d+)?", one.attrib["d"])
            points = np.array([float(figure) for figure in figures]).reshape(-1, 2)
            points[:, 1] = height - points[:, 1]
            lines.append((each.attrib["id"], points, one.attrib["d"].endswith("Z")))
    return lines


READERS = {"dxf": dxf_lines, "svg": svg_lines}


def cuts(bundle, family, ending):
    return [
        points
        for layer, points, _ in READERS[ending](bundle / f"template-{family}.{ending}")
        if layer == "cut"
    ]


def sizes(points):
    return np.ptp(points, axis=0)


@pytest.mark.parametrize("ending", ["dxf", "svg"])
@pytest.mark.parametrize("family", FAMILIES)
def test_every_line_to_cut_is_closed_and_simple_and_nothing_is_drawn_twice(bundle, family, ending):
    lines = READERS[ending](bundle / f"template-{family}.{ending}")
    assert {layer for layer, _, _ in lines} <= {"cut", "engrave", "reference"}
    whole = [points for layer, points, closed in lines if layer == "cut" and closed]
    assert whole
    assert len(whole) == sum(layer == "cut" for layer, _, _ in lines)
    assert all(Polygon(points).is_valid and Polygon(points).area > 1.0 for points in whole)
    keys = [(layer, closed, np.round(points, 4).tobytes()) for layer, points, closed in lines]
    assert len(set(keys)) == len(keys)


@pytest.mark.parametrize("family", FAMILIES)
def test_both_formats_hold_the_same_parts(bundle, family):
    areas = [sorted(Polygon(points).area for points in cuts(bundle, family, each)) for each in READERS]
    assert areas[0] == pytest.approx(areas[1], rel=1e-5)


def test_dxf_says_that_its_unit_is_the_millimetre_and_svg_is_measured_in_it(bundle):
    text = (bundle / "template-stations.dxf").read_text("ascii").splitlines()
    assert text[text.index("$INSUNITS") + 2].strip() == "4"
    root = ElementTree.fromstring((bundle / "template-stations.svg").read_bytes())
    width, height = root.attrib["width"], root.attrib["height"]
    assert width.endswith("mm")
    assert root.attrib["viewBox"] == f"0 0 {width.removesuffix('mm')} {height.removesuffix('mm')}"


@pytest.mark.parametrize("ending", ["dxf", "svg"])
def test_inside_templates_have_the_area_of_the_meshs_own_sections(bundle, mesh, plan, ending):
    nose = float(mesh.bounds[0, 0])
    parts = [Polygon(points) for points in cuts(bundle, "stations", ending)]
    # The last station stands where the tail is 9 mm thick and facets count for most.
    for station in plan["templates"]["pattern_stations"]:
        place = nose + 1e3 * station["from_nose_m"]
        cut = trimesh.intersections.mesh_plane(mesh, plane_normal=[1, 0, 0], plane_origin=[place, 0, 0])
        section = max(polygonize(list(linestrings(np.round(cut[:, :, 1:], 7)))), key=lambda one: one.area)
        wanted = np.array([2e3 * station["half_width_m"], 2e3 * station["half_height_m"]])
        same = [
            one
            for one in parts
            if np.allclose([one.bounds[2] - one.bounds[0], one.bounds[3] - one.bounds[1]], wanted, atol=2e-3)
        ]
        assert len(same) == 1
        assert same[0].area == pytest.approx(section.area, rel=AREA)
        middle = 0.5 * (np.array(same[0].bounds[:2]) + np.array(same[0].bounds[2:]))
        there = Polygon(np.asarray(section.exterior.coords) + middle)
        assert same[0].symmetric_difference(there).area < 2.0 * AREA * section.area


@pytest.mark.parametrize("ending", ["dxf", "svg"])
def test_outside_templates_are_the_board_less_half_the_section(bundle, plan, ending):
    parts = [Polygon(points) for points in cuts(bundle, "stations", ending)]
    insides = {
        station["name"]: np.array([2e3 * station["half_width_m"], 2e3 * station["half_height_m"]])
        for station in plan["templates"]["pattern_stations"]
    }
    matched = 0
    for size in insides.values():
        inside = next(
            one
            for one in parts
            if np.allclose([one.bounds[2] - one.bounds[0], one.bounds[3] - one.bounds[1]], size, atol=2e-3)
        )
        for one in parts:
            left, low, right, high = one.bounds
            board = (right - left) * (high - low)
            if abs(board - 0.5 * inside.area - one.area) < 1e-3 * inside.area:
                matched += 1
                break
    assert matched == len(insides)


@pytest.mark.parametrize("ending", ["dxf", "svg"])
def test_silhouettes_have_the_length_and_breadths_of_the_pattern_and_of_the_meshs_own_section(
    bundle, mesh, plan, ending
):
    found = sorted(cuts(bundle, "silhouettes", ending), key=lambda points: sizes(points)[1])
    pattern = plan["pattern"]
    for points, across, normal, axes in (
        (found[0], pattern["height_m"], [0, 1, 0], [0, 2]),
        (found[1], pattern["width_m"], [0, 0, 1], [0, 1]),
    ):
        assert sizes(points) == pytest.approx([1e3 * pattern["length_m"], 1e3 * across], abs=2e-3)
        # A hair beside the plane, where no facet's edge lies in it.
        cut = trimesh.intersections.mesh_plane(mesh, plane_normal=normal, plane_origin=[1e-4] * 3)
        section = max(polygonize(list(linestrings(np.round(cut[:, :, axes], 7)))), key=lambda one: one.area)
        assert Polygon(points).area == pytest.approx(section.area, rel=AREA)


@pytest.mark.parametrize("ending", ["dxf", "svg"])
def test_the_fins_tip_has_the_published_sections_area(bundle, ending):
    # NACA four-digit form, open trailing edge: area 0.685095 times chord and thickness, the sum of 2 a / (p + 1)
    # over the published coefficients (NACA TR-460, 1933); the tip is 72 by 8 mm.
    areas = [Polygon(points).area for points in cuts(bundle, "fin", ending)]
    coefficients = (1.4845, -0.6300, -1.7580, 1.4215, -0.5075)
    wanted = (
        72.0 * 8.0 * sum(2.0 * a / (p + 1.0) for a, p in zip(coefficients, (0.5, 1, 2, 3, 4), strict=True))
    )
    assert min(abs(area - wanted) for area in areas) < AREA * wanted


def test_hole_centres_of_the_guide_plate_stand_where_plan_json_puts_the_screws(bundle, plan):
    lines = dxf_lines(bundle / "template-saddle.dxf")
    plates = [points for layer, points, _ in lines if layer == "cut" and len(points) == 4]
    plate = max(plates, key=lambda points: float(np.prod(sizes(points))))
    low, high = plate.min(axis=0), plate.max(axis=0)
    rounds = [
        points
        for layer, points, closed in lines
        if layer == "engrave"
        and closed
        and len(points) >= 24
        and np.all(points > low)
        and np.all(points < high)
    ]
    centres = sorted({tuple(np.round(points.mean(axis=0), 3)) for points in rounds})
    assert len(centres) == 2
    assert centres[1][0] - centres[0][0] == pytest.approx(38.0 - 16.0, abs=2e-3)
    assert {round(float(sizes(points)[0]), 2) for points in rounds} == {4.5, 7.0}
