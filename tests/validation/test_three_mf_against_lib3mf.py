"""Reading of 3MF hulls written by lib3mf, the 3MF Consortium's own library (github.com/3MFConsortium/lib3mf)."""

from __future__ import annotations

import lib3mf
import numpy as np
import pytest

from bulbcast.hull.three_mf_reading import read_three_mf

POINTS = np.array([[0.0, 0.0, 0.0], [3.0, 0.0, 0.0], [0.0, 2.0, 0.0], [0.0, 0.0, 5.0], [4.0, 4.0, 4.0]])
CORNERS = np.array([[0, 2, 1], [0, 1, 3], [0, 3, 2], [1, 4, 3], [2, 3, 4], [1, 2, 4]])


def transform(wrapper, rows):
    """Transform from its four rows of three."""
    made = wrapper.GetIdentityTransform()
    for i, row in enumerate(rows):
        for j, value in enumerate(row):
            made.Fields[i][j] = value
    return made


@pytest.fixture
def model():
    wrapper = lib3mf.get_wrapper()
    made = wrapper.CreateModel()
    return wrapper, made


def meshed(model, points):
    mesh = model.AddMeshObject()
    vertices = []
    for point in points:
        vertex = lib3mf.Position()
        vertex.Coordinates[:] = [float(value) for value in point]
        vertices.append(vertex)
    facets = []
    for corners in CORNERS:
        facet = lib3mf.Triangle()
        facet.Indices[:] = [int(value) for value in corners]
        facets.append(facet)
    mesh.SetGeometry(vertices, facets)
    return mesh


def written(model):
    return bytes(model.QueryWriter("3mf").WriteToBuffer())


@pytest.mark.parametrize(
    ("unit", "word"),
    [("MilliMeter", "mm"), ("CentiMeter", "cm"), ("Meter", "m"), ("Inch", "in"), ("Foot", "ft")],
)
def test_a_mesh_that_lib3mf_writes_is_read_with_its_unit(model, unit, word):
    wrapper, made = model
    made.SetUnit(getattr(lib3mf.ModelUnit, unit))
    made.AddBuildItem(meshed(made, POINTS), wrapper.GetIdentityTransform())
    corners, found = read_three_mf(written(made))
    assert found == word
    # It writes six decimals.
    np.testing.assert_allclose(corners, POINTS[CORNERS], atol=1e-6)


def test_components_and_items_stand_where_lib3mf_puts_them(model):
    wrapper, made = model
    mesh = meshed(made, POINTS)
    quarter = [[0.0, 1.0, 0.0], [-1.0, 0.0, 0.0], [0.0, 0.0, 1.0], [10.0, 20.0, 30.0]]
    stretched = [[2.0, 0.0, 0.0], [0.0, 2.0, 0.0], [0.5, 0.0, 2.0], [-5.0, 0.0, 7.0]]
    parts = made.AddComponentsObject()
    parts.AddComponent(mesh, transform(wrapper, quarter))
    parts.AddComponent(mesh, wrapper.GetIdentityTransform())
    made.AddBuildItem(parts, transform(wrapper, stretched))
    made.AddBuildItem(mesh, transform(wrapper, quarter))
    content = written(made)
    corners, _ = read_three_mf(content)
    # lib3mf joins what it reads into one mesh in build coordinates, by its own matrices.
    other = lib3mf.get_wrapper().CreateModel()
    other.QueryReader("3mf").ReadFromBuffer(content)
    joined = other.MergeToModel()
    objects = joined.GetMeshObjects()
    places = []
    while objects.MoveNext():
        one = objects.GetCurrentMeshObject()
        vertices = np.array([list(vertex.Coordinates) for vertex in one.GetVertices()])
        facets = np.array([list(facet.Indices) for facet in one.GetTriangleIndices()])
        places.append(vertices[facets])
    merged = np.concatenate(places)
    assert len(merged) == len(corners) == 3 * len(CORNERS)

    def sorted_middles(facets):
        middles = np.round(facets.mean(axis=1), 4)
        return middles[np.lexsort(middles.T)]

    np.testing.assert_allclose(sorted_middles(corners), sorted_middles(merged), atol=2e-4)
