"""Files of the pattern shop read by other libraries: STL by trimesh, 3MF by lib3mf, and faces by shapely.

Outside sources: trimesh (reader, volume, plane sections), shapely (areas of faces), lib3mf (the 3MF consortium's
own library, strict mode), and the 3MF Core Specification's unit attribute.
"""

from __future__ import annotations

import json
import math

import lib3mf
import numpy as np
import pytest
import trimesh
from plans import command, example_text
from shapely.geometry import MultiLineString
from shapely.ops import polygonize, unary_union

SHOP = """
[parting]
fit = "0.3 mm"

[printer]
bed_length = "220 mm"
bed_width = "220 mm"
position = "{position}"

[frame]
kind = "boards"
"""
CASES = (("fenwisp", "lying"), ("fenwisp", "standing"), ("puddlejack", "lying"), ("saltmarrow", "standing"))


@pytest.fixture(scope="module", params=CASES, ids="-".join)
def bundle(request, tmp_path_factory):
    """Bundle of one example with a printer added to its plan."""
    name, position = request.param
    folder = tmp_path_factory.mktemp("shop")
    plan = folder / f"{name}.toml"
    text = example_text(name)
    plan.write_text(text + SHOP.format(position=position), encoding="utf-8")
    done = command("plan", plan, "--out", folder / "out")
    assert done.exit_code == 0, done.output
    return folder / "out"


def plan_of(bundle):
    return json.loads((bundle / "plan.json").read_text(encoding="utf-8"))


def section_area(mesh, axis, level):
    """Area of a mesh cross-section perpendicular to an axis, from trimesh lines and shapely polygons. [mm2]"""
    normal = np.zeros(3)
    normal[axis] = 1.0
    origin = normal * level
    lines = trimesh.intersections.mesh_plane(mesh, normal, origin)
    # Ends of neighbouring lines agree to rounding only; a millionth of a millimetre makes them one.
    flat = np.round(np.delete(lines, axis, axis=2), 6)
    flat = flat[np.any(flat[:, 0] != flat[:, 1], axis=1)]
    cells = list(polygonize(unary_union(MultiLineString(list(flat)))))
    # Even-odd: a cell counts where its inside lies in the mesh.
    inside = []
    for cell in cells:
        point = cell.representative_point()
        at = np.insert(np.array([point.x, point.y]), axis, level)
        inside.append(cell.area if _inside(mesh, at, axis) else 0.0)
    return sum(inside)


def _inside(mesh, at, axis):
    """Whether a point is inside, by counting how often a ray along the axis crosses the triangles."""
    keep = [i for i in range(3) if i != axis]
    corners = mesh.triangles
    a, b, c = (corners[:, i][:, keep] - at[keep] for i in range(3))
    u, v, w = (p[:, 0] * q[:, 1] - p[:, 1] * q[:, 0] for p, q in ((a, b), (b, c), (c, a)))
    hit = ((u > 0) & (v > 0) & (w > 0)) | ((u < 0) & (v < 0) & (w < 0))
    total = u + v + w
    heights = (
        corners[hit, 0, axis] * v[hit] + corners[hit, 1, axis] * w[hit] + corners[hit, 2, axis] * u[hit]
    ) / total[hit]
    return int(np.sum(heights > at[axis])) % 2 == 1


def test_every_solid_has_an_stl_and_a_3mf_that_agree_with_plan_json(bundle):
    listed = {one["path"]: one for one in plan_of(bundle)["files"]}
    stems = {path.removesuffix(".stl") for path in listed if path.endswith(".stl")}
    assert {f"{stem}.3mf" for stem in stems} == {path for path in listed if path.endswith(".3mf")}
    assert {"bulb", "pattern", "mould-key", "mould-sprue"} <= stems
    for stem in stems:
        said = listed[f"{stem}.stl"]
        mesh = trimesh.load(bundle / f"{stem}.stl")
        assert mesh.is_watertight, stem
        assert mesh.is_winding_consistent, stem
        assert mesh.volume * 1e-9 == pytest.approx(said["volume_m3"], rel=1e-6)
        assert mesh.center_mass * 1e-3 == pytest.approx(
            [said["mass_centre_m"][axis] for axis in "xyz"], abs=1e-6
        )
        boxed = listed[f"{stem}.3mf"]
        assert boxed["volume_m3"] == pytest.approx(said["volume_m3"], rel=1e-6)


def test_lib3mf_takes_every_file_in_strict_mode_in_millimetres(bundle):
    for path in bundle.glob("*.3mf"):
        model = lib3mf.get_wrapper().CreateModel()
        reader = model.QueryReader("3mf")
        reader.SetStrictModeActive(True)
        reader.ReadFromFile(str(path))
        assert reader.GetWarningCount() == 0
        assert model.GetUnit() == lib3mf.ModelUnit.MilliMeter
        objects = model.GetMeshObjects()
        assert objects.MoveNext()
        assert objects.GetCurrentMeshObject().IsManifoldAndOriented()


def test_the_pieces_as_trimesh_reads_them_add_up_to_the_pattern_and_its_ledger(bundle):
    parting = plan_of(bundle)["parting"]
    pieces = sum(trimesh.load(bundle / piece["file"]).volume for piece in parting["pieces"])
    pattern = trimesh.load(bundle / "pattern.stl").volume
    lines = sum(line["volume_m3"] for line in parting["ledger"][1:-1]) * 1e9
    assert pieces == pytest.approx(pattern + lines, rel=1e-6)


def test_halves_and_lengths_meet_in_the_pattern_s_own_sections(bundle):
    parting = plan_of(bundle)["parting"]
    pattern = trimesh.load(bundle / "pattern.stl")
    hair = 0.02
    for joint in parting["joints_x_m"]:
        level = 1e3 * joint
        dowels = [one for one in parting["dowels"] if abs(one["at_m"]["x"] - joint) < 1e-9]
        holes = sum(0.25e6 * math.pi * one["hole_diameter_m"] ** 2 for one in dowels)
        whole = section_area(pattern, 0, level)
        for side in (-hair, hair):
            pieces = [
                trimesh.load(bundle / piece["file"])
                for piece in parting["pieces"]
                if 1e3 * piece["start_x_m"] - 1e-6 <= level + side <= 1e3 * piece["end_x_m"] + 1e-6
            ]
            met = sum(section_area(piece, 0, level + side) for piece in pieces)
            assert met == pytest.approx(whole - holes, rel=1e-3)
    across = [one for one in parting["dowels"] if one["across"] == "parting"]
    holes = sum(0.25e6 * math.pi * one["hole_diameter_m"] ** 2 for one in across)
    whole = section_area(pattern, 2, 1e-4)
    for half in ("upper", "lower"):
        level = hair if half == "upper" else -hair
        pieces = [
            trimesh.load(bundle / piece["file"])
            for piece in parting["pieces"]
            if piece["name"].startswith(half)
        ]
        met = sum(section_area(piece, 2, level) for piece in pieces)
        # Joint dowels lie deeper than this section.
        assert met == pytest.approx(whole - holes, rel=1e-3)


def test_the_same_plan_gives_the_same_bytes(bundle, tmp_path):
    plan = next(bundle.parent.glob("*.toml"))
    done = command("plan", plan, "--out", tmp_path / "again")
    assert done.exit_code == 0, done.output
    for path in bundle.iterdir():
        assert path.read_bytes() == (tmp_path / "again" / path.name).read_bytes(), path.name


def test_a_reader_that_joins_near_points_finds_a_raked_core_box_closed(tmp_path):
    text = example_text("fenwisp").split("[[screws]]")[0]
    text = text.replace("tip_chord", 'pocket = "cored"\nrake = "4 deg"\ntip_chord', 1)
    for at, diameter, bore in (("20 mm", "6 mm", "4.2 mm"), ("40 mm", "4 mm", "0 mm")):
        text += f'\n[[studs]]\nat = "{at}"\ndiameter = "{diameter}"\nbore = "{bore}"\nbelow = "14 mm"\nabove = "15 mm"\n'
    plan = tmp_path / "studs.toml"
    # Pieces of this plan once held two points 6e-9 mm apart, which trimesh makes one.
    plan.write_text(
        text + '\n[pattern]\nfinish = "0.2 mm"\n\n[parting]\nregister = "keys"\n', encoding="utf-8"
    )
    done = command("plan", plan, "--out", tmp_path / "out")
    assert done.exit_code == 0, done.output
    boxes = sorted((tmp_path / "out").glob("core-box-*.stl"))
    assert len(boxes) == 2
    for path in (tmp_path / "out").glob("*.stl"):
        assert trimesh.load(path).is_watertight, path.name
