"""Areas, edge distances and pockets of fins compared with an independent polygon library.

The sections are built again here: a plate as a box grown by the radius of its edges, a measured section with scipy's
shape-preserving interpolator, and a foil from the published polynomials.
"""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from plans import job_of
from scipy.interpolate import PchipInterpolator
from shapely import LineString, Point, Polygon, box

from bulbcast.bulb.fastening.room import inside_outline
from bulbcast.bulb.hung.ledger import HungBulb
from bulbcast.fin.foil_section import MODIFIED_TRAILING_SLOPES, trailing_slope
from bulbcast.fin.planned import section_of
from bulbcast.fin.shape import numbers_of
from bulbcast.fin.tip_section import outline_area

MEASURED = ((0.0, 0.8), (3.0, 3.4), (10.0, 6.0), (25.0, 7.0), (45.0, 5.0), (66.0, 1.3))
TABLE = ", ".join(f'"{at:g} mm" = "{thick:g} mm"' for at, thick in MEASURED)
SECTIONS = {
    "plate": 'section = "plate"\ntip_thickness = "4 mm"',
    "plate with small edges": 'section = "plate"\ntip_thickness = "4 mm"\nedge_radius = "1.2 mm"',
    "square plate": 'section = "plate"\ntip_thickness = "4 mm"\nedge_radius = "0 mm"',
    "measured": f'section = "measured"\nmeasured = {{{TABLE}}}',
    "foil": 'tip_thickness = "7 mm"\nmax_at = 0.5',
}


def plan(name: str, clearance: str = "0.3 mm", more: str = "") -> str:
    return f"""
[bulb]
target_mass = "2.45 kg"
[alloy]
grade = "pure"
[fin]
tip_chord = "70 mm"
pocket_depth = "9 mm"
pocket_clearance = "{clearance}"
{SECTIONS[name]}
{more}
"""


def drawn(name: str) -> Polygon:
    """The section as a polygon, in m."""
    if "plate" in name:
        radius = {"plate": 2.0, "plate with small edges": 1.2, "square plate": 0.0}[name]
        flat = box(radius, radius - 2.0, 70.0 - radius, 2.0 - radius)
        polygon = flat.buffer(radius, quad_segs=400) if radius else flat
        return Polygon(1e-3 * np.asarray(polygon.exterior.coords))
    x = 35.0 * (1.0 - np.cos(np.linspace(0.0, np.pi, 4001)))
    if name == "measured":
        at, thick = np.array([*MEASURED, (70.0, 0.0)]).T
        half = 0.5 * PchipInterpolator(np.sqrt(at), thick)(np.sqrt(x))
    else:
        # NACA modified four-digit, largest at half the chord, nose index 6: TR-492 (1934), NASA TM-4741 (1996),
        # solved from its conditions: 1/2, slope 0 and equal curvature at half the chord.
        xi, d0, d1 = x / 70.0, 0.01, 2.325
        d2, d3 = np.linalg.solve([[0.25, 0.125], [1.0, 0.75]], [0.5 - d0 - 0.5 * d1, -d1])
        a0, bend = 1.4845, 2.0 * d2 + 3.0 * d3
        a = np.linalg.solve(
            [[0.5, 0.25, 0.125], [1.0, 1.0, 0.75], [0.0, 2.0, 3.0]],
            [0.5 - a0 * 0.5**0.5, -0.5 * a0 / 0.5**0.5, bend + 0.25 * a0 / 0.5**1.5],
        )
        fore = a0 * np.sqrt(xi) + xi * (a[0] + xi * (a[1] + xi * a[2]))
        aft = d0 + (1 - xi) * (d1 + (1 - xi) * (d2 + (1 - xi) * d3))
        half = 7.0 * np.where(xi < 0.5, fore, aft)
    return Polygon(1e-3 * np.concatenate([np.stack([x, half], 1), np.stack([x, -half], 1)[::-1]]))


@pytest.mark.parametrize("name", SECTIONS)
@pytest.mark.parametrize("clearance", [0.0, 0.3e-3, 1.0e-3])
def test_the_pockets_outline_holds_what_the_polygon_library_grows(name, clearance):
    tip = job_of(plan(name)).bulb.pocket.tip
    grown = drawn(name).buffer(clearance, quad_segs=200)
    assert outline_area(tip, clearance) == pytest.approx(grown.area, rel=3e-7)


@pytest.mark.parametrize("name", SECTIONS)
def test_the_sections_sums_are_those_of_the_polygon(name):
    job, polygon = job_of(plan(name)), drawn(name)
    numbers, tip = numbers_of(job.bulb.pocket.tip.shape), job.bulb.pocket.tip
    assert numbers.area * tip.chord * tip.thickness == pytest.approx(polygon.area, rel=3e-7)
    assert numbers.centroid * tip.chord == pytest.approx(polygon.centroid.x, rel=3e-7)
    # Second moments by slices of the polygon.
    x = np.linspace(0.0, 0.07, 4001)
    middle = 0.5 * (x[1:] + x[:-1])
    thick = np.array([polygon.intersection(box(a, -1, b, 1)).area / (b - a) for a, b in pairwise(x)])
    across = float(np.sum(thick**3 / 12.0) * (x[1] - x[0]))
    along = float(np.sum(thick * (middle - polygon.centroid.x) ** 2) * (x[1] - x[0]))
    assert numbers.across * tip.chord * tip.thickness**3 == pytest.approx(across, rel=2e-5)
    assert numbers.along * tip.thickness * tip.chord**3 == pytest.approx(along, rel=2e-5)
    shear = float(np.sum(middle * thick**3) / np.sum(thick**3))
    assert numbers.flexural_axis * tip.chord == pytest.approx(shear, rel=2e-5)
    assert job.plan.fin.elastic_axis == pytest.approx(numbers.flexural_axis, rel=1e-12)


@pytest.mark.parametrize("name", SECTIONS)
def test_edge_distances_are_those_of_the_polygon_library(name):
    pocket, polygon = job_of(plan(name)).bulb.pocket, drawn(name)
    places = np.array([0.001, 0.004, 0.012, 0.03, 0.05, 0.062, 0.069])
    for clearance in (0.0, 0.3e-3):
        edge = (polygon.buffer(clearance, quad_segs=200) if clearance else polygon).exterior
        for radius in (0.75e-3, 2.0e-3):
            found = inside_outline(pocket, places, clearance, np.full(len(places), radius))
            expected = [edge.distance(Point(at, 0.0)) - radius for at in places]
            # Distances are taken to points of the outline 0.35 mm apart: they may be that little too large.
            assert found == pytest.approx(expected, abs=8e-6)


@pytest.mark.parametrize("name", SECTIONS)
@pytest.mark.parametrize("rake", ["0 deg", "9 deg"])
def test_the_pockets_volume_is_that_of_polygons_cut_level_by_level(name, rake):
    """At each level the lead is the polygon |y| < sqrt(r(x)^2 - z^2), which is intersected with the pocket's."""
    bulb = job_of(plan(name, more=f'rake = "{rake}"')).bulb
    outline = drawn(name).buffer(0.3e-3, quad_segs=200)
    assert bulb.cuts.pocket.volume == pytest.approx(cut_level_by_level(bulb, outline), rel=2e-5)


def cut_level_by_level(bulb: HungBulb, outline: Polygon) -> float:
    """Volume of lead inside the outline above the floor. [m3]"""
    floor, top = bulb.axis.floor, 0.5 * bulb.body.height
    x = bulb.pocket.leading_edge_x + np.linspace(-0.02, 0.09, 1501)
    radius = bulb.body.radius(x)
    # Many levels: where the lead gets narrower than a flat-sided pocket the area bends. Close near the crown, where
    # the lead's width goes with the root of the depth.
    turn, weight = np.polynomial.legendre.leggauss(300)
    share = 0.25 * (turn + 1.0) * np.pi
    volume = 0.0
    for angle, part in zip(share, 0.25 * np.pi * weight, strict=True):
        level = floor + (top - floor) * np.sin(angle)
        half = np.sqrt(np.maximum(radius**2 - level**2, 0.0))
        lead = Polygon(np.concatenate([np.stack([x, half], 1), np.stack([x, -half], 1)[::-1]])).buffer(0)
        moved = np.asarray(outline.exterior.coords)
        moved = moved + np.array([bulb.pocket.leading_edge_x - bulb.axis.shift * (level - floor), 0.0])
        volume += part * (top - floor) * np.cos(angle) * lead.intersection(Polygon(moved)).area
    return volume


@pytest.mark.parametrize("rake", ["0 deg", "-7 deg"])
@pytest.mark.parametrize("name", ["plate", "foil"])
def test_a_milled_slots_volume_and_depth(name, rake):
    """The slot is a line grown by half the cutter's diameter, with its depth measured from the lead's surface at the
    centreline."""
    text = plan(
        name, more=f'rake = "{rake}"\nslot_width = "9 mm"\nslot_length = "84 mm"\nslot_depth = "8 mm"'
    )
    text = text.replace('pocket_depth = "9 mm"\npocket_clearance = "0.3 mm"\n', "")
    bulb = job_of(text.replace("[fin]", '[fin]\nslot_at = "-6 mm"')).bulb
    outline = LineString([(-0.0015, 0.0), (0.0735, 0.0)]).buffer(0.0045, quad_segs=200)
    assert bulb.cuts.pocket.volume == pytest.approx(cut_level_by_level(bulb, outline), rel=2e-5)
    middle = bulb.pocket.leading_edge_x + 0.036
    top = float(bulb.body.radius(np.array([middle]))[0])
    assert top - bulb.axis.floor == pytest.approx(0.008, abs=1e-12)
    assert bulb.pocket_depth > 0.008
    # What is left beside the fin is bedding: slot less fin, up to the lead's surface.
    inside = cut_level_by_level(bulb, drawn(name))
    bedding = next(line for line in bulb.lines if line.name == "bedding of the fin")
    assert bedding.piece.volume == pytest.approx(bulb.cuts.pocket.volume - inside, rel=2e-4)
    places = np.array([0.002, 0.03, 0.068])
    found = inside_outline(bulb.pocket, places, bulb.pocket.clearance, np.full(3, 0.002))
    assert found == pytest.approx(
        [outline.exterior.distance(Point(x, 0.0)) - 0.002 for x in places], abs=8e-6
    )


def test_a_foils_trailing_slope_meets_the_published_places_and_runs_steadily_between():
    for place, slope in MODIFIED_TRAILING_SLOPES.items():
        assert trailing_slope(place) == pytest.approx(slope, rel=1e-12)
    places = np.linspace(0.2, 0.6, 81)
    oracle = PchipInterpolator([*MODIFIED_TRAILING_SLOPES], [*MODIFIED_TRAILING_SLOPES.values()])(places)
    assert [trailing_slope(float(one)) for one in places] == pytest.approx(oracle, rel=1e-12)


def test_a_foil_measured_at_ten_places_comes_out_as_that_foil():
    """Caliper readings to 0.1 mm on the plain four-digit form give the area to 1 % and edge distances to 0.1 mm."""
    foil = job_of(plan("foil").replace("max_at = 0.5", "")).bulb.pocket
    from bulbcast.fin.tip_section import half_thickness

    at = np.array([1.0, 3.0, 7.0, 14.0, 21.0, 32.0, 42.0, 53.0, 63.0, 69.0])
    thick = np.round(2e3 * half_thickness(foil.tip, 1e-3 * at)[0], 1)
    table = ", ".join(f'"{a:g} mm" = "{t:g} mm"' for a, t in zip(at, thick, strict=True))
    text = plan("foil").replace(SECTIONS["foil"], f'section = "measured"\nmeasured = {{{table}}}')
    read = job_of(text).bulb.pocket
    assert outline_area(read.tip, 0.0) == pytest.approx(outline_area(foil.tip, 0.0), rel=0.01)
    places = np.array([0.01, 0.02, 0.035, 0.05])
    radius = np.full(4, 1e-3)
    assert inside_outline(read, places, 0.0, radius) == pytest.approx(
        inside_outline(foil, places, 0.0, radius), abs=1e-4
    )


def test_a_plain_plan_has_no_shape_of_its_own():
    assert section_of(job_of(plan("foil").replace("max_at = 0.5", "max_at = 0.3")).plan.fin) is None
