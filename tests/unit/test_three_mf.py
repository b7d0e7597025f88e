"""3MF files: unit, placement on the bed, identical bytes every time, and files that fail when read back."""

from __future__ import annotations

import io
import zipfile
from xml.etree import ElementTree

import numpy as np
import pytest

from bulbcast.disk.refusals import ReadBackError
from bulbcast.pattern_shop.printer.packing import print_turn
from bulbcast.solids.kernel import tower
from bulbcast.solids.mesh import Mesh, mesh_volume_and_centroid
from bulbcast.solids.three_mf import read_back_three_mf, three_mf_bytes, three_mf_mesh

CORE = "{http://schemas.microsoft.com/3dmanufacturing/core/2015/02}"
SQUARE = np.array([[0.0, 0.0, 0.0], [0.03, 0.0, 0.0], [0.03, 0.02, 0.0], [0.0, 0.02, 0.0]])


def block():
    return tower([SQUARE, SQUARE + np.array([0.0, 0.0, 0.01])])


def model_of(content):
    with zipfile.ZipFile(io.BytesIO(content)) as archive:
        return ElementTree.fromstring(archive.read("3D/3dmodel.model"))


def test_the_file_says_millimetres_and_holds_them():
    # Read with the standard library alone: unit and coordinates as the core specification has them.
    model = model_of(three_mf_bytes(block(), "block"))
    assert model.tag == f"{CORE}model"
    assert model.get("unit") == "millimeter"
    points = np.array([[float(one.get(axis)) for axis in "xyz"] for one in model.iter(f"{CORE}vertex")])
    assert points.max(axis=0) == pytest.approx([30.0, 20.0, 10.0])
    assert len(list(model.iter(f"{CORE}triangle"))) == 16


def test_lib3mf_reads_the_same_solid_back_without_a_warning():
    mesh, unit = three_mf_mesh(three_mf_bytes(block(), "block"))
    volume, centroid = mesh_volume_and_centroid(mesh.vertices, mesh.triangles)
    assert unit == "millimetre"
    assert volume == pytest.approx(6e-6, rel=1e-6)
    assert centroid == pytest.approx([0.015, 0.010, 0.005], abs=1e-8)


def test_the_same_solid_gives_the_same_bytes_and_no_clock_is_in_them():
    content = three_mf_bytes(block(), "block")
    assert content == three_mf_bytes(block(), "block")
    with zipfile.ZipFile(io.BytesIO(content)) as archive:
        assert {entry.date_time for entry in archive.infolist()} == {(1980, 1, 1, 0, 0, 0)}
        assert archive.namelist() == ["[Content_Types].xml", "_rels/.rels", "3D/3dmodel.model"]


@pytest.mark.parametrize("half", ["upper", "lower", "starboard", "port"])
@pytest.mark.parametrize("position", ["lying", "standing"])
def test_the_build_lays_the_object_on_the_bed(half, position):
    turn = print_turn(half, position, angle=0.5, aft_face_down=True)
    model = model_of(three_mf_bytes(block(), "block", turn=turn))
    entries = [float(one) for one in model.find(f".//{CORE}item").get("transform").split()]
    matrix = np.array(entries).reshape(4, 3)
    points = np.array([[float(one.get(axis)) for axis in "xyz"] for one in model.iter(f"{CORE}vertex")])
    # The specification multiplies the row (x, y, z, 1) by the matrix.
    placed = np.concatenate([points, np.ones((len(points), 1))], axis=1) @ matrix
    assert placed.min(axis=0) == pytest.approx(np.zeros(3), abs=1e-6)
    assert placed - placed[0] == pytest.approx((points - points[0]) @ turn.T, abs=1e-5)


def test_an_open_solid_and_a_wrong_one_are_refused():
    good = three_mf_bytes(block(), "block")
    volume, centroid = 6e-6, np.array([0.015, 0.010, 0.005])
    assert read_back_three_mf(good, "b.3mf", volume=volume, centroid=centroid).triangles == 16
    with pytest.raises(ReadBackError, match=r"b\.3mf failed the read-back: its volume is 6e-06 m3, but"):
        read_back_three_mf(good, "b.3mf", volume=1.0001 * volume, centroid=centroid)
    with pytest.raises(ReadBackError, match=r"b\.3mf failed the read-back: its mass centre is"):
        read_back_three_mf(good, "b.3mf", volume=volume, centroid=centroid + 1e-5)
    holed = Mesh(vertices=block().vertices, triangles=block().triangles[1:])
    with pytest.raises(ReadBackError):
        read_back_three_mf(three_mf_bytes(holed, "holed"), "b.3mf", volume=volume, centroid=centroid)
    with pytest.raises(ReadBackError, match="could not be read back"):
        three_mf_mesh(b"no archive at all")
