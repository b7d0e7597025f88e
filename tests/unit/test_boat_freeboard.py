"""Profile and deck edge of a hull, and the freeboard left with a given bulb."""

from __future__ import annotations

import json

import numpy as np
import pytest
import trimesh
from plans import EXAMPLES, command, example_text

from bulbcast.ballast.freeboard import freeboard_left, freeboard_of_number
from bulbcast.hull.mesh import hull_from_triangles
from bulbcast.hull.outline import HullOutline, outline_of_mesh
from bulbcast.hull.placement import HullPlacement
from bulbcast.hull.trimming import Flotation, changed_by_moment

BOAT = Flotation(
    water_density=1000.0,
    volume=4e-3,
    buoyancy_x=0.48,
    waterplane_area=0.1,
    flotation_x=0.5,
    metacentric_height_along=1.0,
    fore_x=0.0,
    aft_x=1.0,
)


@pytest.fixture(scope="module")
def outline(maker):
    return outline_of_mesh(
        hull_from_triangles(maker.surface(), placement=HullPlacement(metres_per_unit=0.001))
    )


def test_the_outline_of_a_surface_is_that_of_the_formulas_it_was_made_from(maker, outline):
    x = 1e3 * np.array(outline.x)
    assert (x[0], x[-1]) == (pytest.approx(-25.0, abs=1e-4), pytest.approx(975.0, abs=1e-4))
    sheer, _ = maker.deck_edge(x)
    # Facets are chords of the curves: 120 steps along leave a few hundredths of a mm.
    np.testing.assert_allclose(1e3 * np.array(outline.sheer), sheer, atol=0.01)
    np.testing.assert_allclose(1e3 * np.array(outline.keel), maker.keel(x), atol=0.05)
    assert outline.top == outline.sheer


def test_camber_and_a_cabin_stand_above_the_decks_edge_and_do_not_count_as_freeboard():
    # A box with a roof along the middle: side up to 1, roof ridge at 1.3, slopes of about 17 degrees.
    section = [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (0.0, 1.3), (-1.0, 1.0)]
    facets = []
    for (y0, z0), (y1, z1) in zip(section, section[1:] + section[:1], strict=True):
        a, b, c, d = (0.0, y0, z0), (4.0, y0, z0), (4.0, y1, z1), (0.0, y1, z1)
        facets += [(a, c, b), (a, d, c)]
    for x, turn in ((0.0, 1), (4.0, -1)):
        ring = [(x, y, z) for y, z in section][::turn]
        facets += [(ring[0], ring[i], ring[i + 1]) for i in range(1, 4)]
    outline = outline_of_mesh(hull_from_triangles(np.array(facets)))
    assert set(np.round(outline.sheer, 12)) == {1.0}
    np.testing.assert_allclose(outline.top[1:-1], 1.3, atol=1e-12)
    np.testing.assert_allclose(outline.keel, -1.0, atol=1e-12)


def test_sinkage_and_trim_come_off_the_freeboard_where_they_are():
    outline = HullOutline(
        x=(0.0, 0.4, 1.0), keel=(0.0, -0.05, 0.0), top=(0.09, 0.06, 0.07), sheer=(0.09, 0.06, 0.07)
    )
    # 2 kg: 20 mm deeper; 0.08 kg m: 20 mm of trim by the stern, 10 mm at each end.
    lies = changed_by_moment(BOAT, mass=2.0, moment=0.08)
    said = freeboard_left(outline.x, outline.sheer, BOAT, lies)
    assert (said.on_line.x, said.on_line.height) == (0.4, 0.06)
    assert said.bow == pytest.approx(0.09 - 0.02 + 0.01, abs=1e-15)
    assert said.stern == pytest.approx(0.07 - 0.02 - 0.01, abs=1e-15)
    # Amidships 60 - 20 + 2 mm; the stern has less.
    assert (said.left.x, said.left.height) == (1.0, pytest.approx(0.04, abs=1e-15))


def test_a_freeboard_without_its_place_is_taken_where_she_goes_deepest():
    lies = changed_by_moment(BOAT, mass=2.0, moment=-0.08)
    said = freeboard_of_number(0.06, BOAT, lies)
    assert said.left.height == pytest.approx(0.06 - 0.02 - 0.01, abs=1e-15)
    unknown = freeboard_of_number(0.06, None, None)
    assert (unknown.left, unknown.on_line.height) == (None, 0.06)
    assert freeboard_left((0.0,), (0.1,), None, None).left is None


def planned(folder, mass, text):
    path = folder / "plan.toml"
    path.write_text(text.replace("[bulb]\n", f'[bulb]\ntarget_mass = "{mass}"\n', 1), encoding="utf-8")
    (folder / "larkmoss-offsets.csv").write_bytes((EXAMPLES / "larkmoss-offsets.csv").read_bytes())
    done = command("ballast", path, "--json")
    plain = command("ballast", path)
    return done, json.loads(done.stdout), " ".join(plain.stdout.split())


def test_an_imposed_bulb_tells_freeboard_left_and_what_is_lost(tmp_path):
    text = example_text("larkmoss")
    done, found, words = planned(tmp_path, "2.4 kg", text)
    boat = found["boat"]
    assert done.exit_code == 0
    # The table's deck edge is lowest at the transom, 62 mm.
    assert boat["freeboard"]["least_on_line_m"] == pytest.approx(0.062, abs=1e-6)
    assert boat["freeboard"]["stern_left_m"] == pytest.approx(0.062 - boat["sinkage_m"], abs=1e-6)
    assert f"Minimum freeboard as she floats {1e3 * boat['freeboard']['least_left_m']:.1f} mm" in words
    done, found, _ = planned(tmp_path, "4.2 kg", text)
    lost = next(one for one in found["findings"] if one["code"] == "freeboard-lost")
    assert lost["found"] == found["boat"]["freeboard"]["least_left_m"]
    assert lost["message"] == (
        "With this bulb, the lowest point of the deck edge, at x = "
        f"{1e3 * found['boat']['freeboard']['least_left_x_m']:.1f} mm, is {1e3 * lost['found']:.1f} mm above "
        f"water, compared with "
        "62.0 mm on her line."
    )


def test_on_a_surface_an_imposed_bulb_sinks_her_until_she_displaces_her_mass(tmp_path, maker):
    facets = maker.surface()
    (tmp_path / "hull.stl").write_bytes(maker.stl(facets))
    text = example_text("larkmoss")
    text = text.replace('offsets = "larkmoss-offsets.csv"', 'hull = "hull.stl"')
    _, found, _ = planned(tmp_path, "2.4 kg", text)
    boat = found["boat"]
    # An outside clipper at the sinkage and trim that are reported: water displaced is what she weighs.
    mesh = trimesh.Trimesh(*trimesh.triangles.to_kwargs(0.001 * facets).values())
    slope = boat["trim_by_stern_m"] / boat["hull"]["waterline_length_m"]
    up = np.array([-slope, 0.0, 1.0])
    origin = [boat["hull"]["flotation_x_m"], 0.0, boat["sinkage_m"]]
    under = mesh.slice_plane(plane_origin=origin, plane_normal=-up, cap=True).volume
    below = boat["total_mass_kg"] / 999.10 - under
    bulb = json.loads(command("plan", tmp_path / "plan.toml", "--json").stdout)["bulb"]["displacement_m3"]
    assert below == pytest.approx(bulb + boat["fin"]["volume_m3"] + boat["rudder"]["volume_m3"], abs=2e-9)
    # First order would have her 0.5 mm deeper: her waterplane grows.
    first = boat["too_heavy_kg"] / boat["mass_per_mm_kg"] * 1e-3
    assert 0.0003 < first - boat["sinkage_m"] < 0.0008


def test_bare_numbers_take_their_freeboard_from_the_plan(tmp_path):
    text = example_text("larkmoss")
    bare = (
        'hull_displacement = "2.9 kg"\nwaterline_length = "950 mm"\nbuoyancy_x = "480 mm"\nbuoyancy_z = "-20 mm"\n'
        'waterplane_area = "1050 cm2"\nflotation_x = "500 mm"\nmetacentric_radius = "54 mm"\n'
        'metacentric_radius_along = "1.3 m"\nfreeboard = "60 mm"\n'
    )
    _, found, words = planned(tmp_path, "2.4 kg", text.replace('offsets = "larkmoss-offsets.csv"\n', bare))
    boat = found["boat"]
    assert boat["freeboard"]["least_left_m"] == pytest.approx(0.06 - boat["sinkage_m"], abs=1e-9)
    assert boat["freeboard"]["least_left_x_m"] is None
    assert "assumed to be at the end that floats deepest" in words
    done, found, _ = planned(
        tmp_path,
        "2.4 kg",
        text.replace('offsets = "larkmoss-offsets.csv"\n', bare.replace('"60 mm"', '"6 mm"')),
    )
    assert done.exit_code == 3
    stop = next(one for one in found["findings"] if one["code"] == "deck-under-water")
    assert stop["found"] == found["boat"]["freeboard"]["least_left_m"] < 0.0
    assert stop["message"] == (
        f"With this bulb, the lowest point of the deck edge is {-1e3 * stop['found']:.2f} mm under water."
    )
