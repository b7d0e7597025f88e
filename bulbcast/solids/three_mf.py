"""3MF files with their unit, written here and read back by lib3mf, the reference library for the format.

A 3MF file is a zip archive of three small XML parts (3MF Core Specification 1.3). Every time stamp in it is fixed,
so the same solid gives the same bytes.
"""

from __future__ import annotations

import io
import zipfile

import numpy as np

from bulbcast.disk.refusals import ReadBackError
from bulbcast.solids.kernel import closed_faults
from bulbcast.solids.mesh import Mesh, mesh_volume_and_centroid
from bulbcast.solids.quadrature import Array
from bulbcast.solids.read_back import WRITTEN_CENTRE, WRITTEN_VOLUME, SolidRead

_STAMP = (1980, 1, 1, 0, 0, 0)
_CORE = "http://schemas.microsoft.com/3dmanufacturing/core/2015/02"
_MODEL = "3D/3dmodel.model"
_TYPES = (
    '<?xml version="1.0" encoding="UTF-8"?>\n'
    '<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types">'
    '<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>'
    '<Default Extension="model" ContentType="application/vnd.ms-package.3dmanufacturing-3dmodel+xml"/>'
    "</Types>\n"
)
_RELATIONS = (
    '<?xml version="1.0" encoding="UTF-8"?>\n'
    '<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">'
    f'<Relationship Target="/{_MODEL}" Id="rel0" '
    'Type="http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"/></Relationships>\n'
)


def three_mf_bytes(mesh: Mesh, name: str, *, turn: Array | None = None) -> bytes:
    """Write a mesh as a 3MF file in mm, with the same coordinates as the matching STL file.

    Args:
        mesh: Closed mesh in bulb axes. [m]
        name: Name of the object, in plain letters, digits and hyphens. [-]
        turn: Rotation from bulb axes to those of the printer, z up, which places the object on the bed; shape (3, 3).
            None keeps its orientation and only moves it so that every coordinate is above zero. [-]

    Returns:
        Bytes of the file, which are the same for the same mesh.
    """
    points = (mesh.vertices * 1000.0).astype(np.float32).astype(np.float64)
    matrix = np.eye(3) if turn is None else turn
    shift = -(points @ matrix.T).min(axis=0)
    vertices = ('<vertex x="%.9g" y="%.9g" z="%.9g"/>' * len(points)) % tuple(points.ravel().tolist())
    triangles = ('<triangle v1="%d" v2="%d" v3="%d"/>' * len(mesh.triangles)) % tuple(
        mesh.triangles.ravel().tolist()
    )
    # The format multiplies a row by the matrix, so its rows are our columns and the shift comes last.
    entries = " ".join(f"{value:.9g}" for value in (*(matrix.T + 0.0).ravel(), *(shift + 0.0)))
    model = (
        '<?xml version="1.0" encoding="UTF-8"?>\n'
        f'<model unit="millimeter" xml:lang="en-US" xmlns="{_CORE}"><resources>'
        f'<object id="1" type="model" name="{name}"><mesh><vertices>{vertices}</vertices>'
        f"<triangles>{triangles}</triangles></mesh></object></resources>"
        f'<build><item objectid="1" transform="{entries}"/></build></model>\n'
    )
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w", zipfile.ZIP_DEFLATED, compresslevel=4) as archive:
        for path, text in (("[Content_Types].xml", _TYPES), ("_rels/.rels", _RELATIONS), (_MODEL, model)):
            entry = zipfile.ZipInfo(path, date_time=_STAMP)
            entry.compress_type = zipfile.ZIP_DEFLATED
            entry.create_system = 3
            entry.external_attr = 0o644 << 16
            archive.writestr(entry, text)
    return buffer.getvalue()


def three_mf_mesh(content: bytes) -> tuple[Mesh, str]:
    """Read the single object of a 3MF file and its unit with lib3mf.

    Args:
        content: Bytes of the file.

    Returns:
        Mesh in its own coordinates [m], and the name of the unit in the file.

    Raises:
        ReadBackError: The content is not a 3MF file with one object, or the reader gives a warning.
    """
    import lib3mf

    wrapper = lib3mf.get_wrapper()
    model = wrapper.CreateModel()
    reader = model.QueryReader("3mf")
    reader.SetStrictModeActive(True)
    try:
        reader.ReadFromBuffer(content)
    except lib3mf.ELib3MFException as error:
        raise ReadBackError(f"a 3MF file could not be read back: {error}") from None
    if reader.GetWarningCount():
        raise ReadBackError(f"a 3MF file was read back with a warning: {reader.GetWarning(0)}")
    unit = model.GetUnit()
    if unit != lib3mf.ModelUnit.MilliMeter:
        raise ReadBackError(f"a 3MF file was read back in {unit}, not in millimetres")
    objects = model.GetMeshObjects()
    if objects.Count() != 1:
        raise ReadBackError(f"a 3MF file was read back with {objects.Count()} objects, not one")
    objects.MoveNext()
    mesh = objects.GetCurrentMeshObject()
    corners = np.array([tuple(point.Coordinates) for point in mesh.GetVertices()], dtype=np.float64)
    facets = np.array([tuple(facet.Indices) for facet in mesh.GetTriangleIndices()], dtype=np.int64)
    return Mesh(vertices=corners / 1000.0, triangles=facets), "millimetre"


def read_back_three_mf(content: bytes, name: str, *, volume: float, centroid: Array) -> SolidRead:
    """Read a written 3MF file and compare it with the solid that was written.

    Args:
        content: Bytes of the file.
        name: Name of the file, for messages. [-]
        volume: Volume of the solid, as read back from its STL file. [m3]
        centroid: Centroid of the solid, from the same file, shape (3,). [m]

    Returns:
        Solid as read.

    Raises:
        ReadBackError: The file cannot be read, or the solid is open, inconsistently wound, or wrong in volume or mass
            centre.
    """
    mesh, _ = three_mf_mesh(content)
    faults = closed_faults(mesh.triangles)
    if faults:
        raise ReadBackError(f"{name} failed the read-back: {faults} edges have no opposite edge.")
    found, centre = mesh_volume_and_centroid(mesh.vertices, mesh.triangles)
    if not abs(found - volume) <= WRITTEN_VOLUME * volume:
        raise ReadBackError(
            f"{name} failed the read-back: its volume is {found:.9g} m3, but that of its STL file is {volume:.9g} m3."
        )
    if not np.all(np.abs(centre - centroid) <= WRITTEN_CENTRE):
        raise ReadBackError(
            f"{name} failed the read-back: its mass centre is {centre} m, but that of its STL file is {centroid} m."
        )
    return SolidRead(volume=found, centroid=centre, triangles=len(mesh.triangles))
