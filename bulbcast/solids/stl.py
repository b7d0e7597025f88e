"""Binary STL in mm, written by one library and read back by another. Neither is used to calculate the volume."""

from __future__ import annotations

import importlib
import importlib.util
import io
import sys
from types import ModuleType
from typing import Any

import numpy as np

from bulbcast.solids.mesh import Mesh
from bulbcast.solids.quadrature import Array

# The format has 80 free bytes, where the writing library would put the time.
HEADER = "bulbcast solid, millimetres, bulb axes: x aft, y starboard, z up".ljust(80)

_READER = "_bulbcast_stl_reader"


def stl_bytes(mesh: Mesh) -> bytes:
    """Write a mesh as a binary STL file in mm, with numpy-stl and a fixed header.

    Args:
        mesh: Closed mesh in bulb axes. [m]

    Returns:
        Bytes of the file, which are the same for the same mesh.
    """
    import stl.mesh

    class FixedHeader(stl.mesh.Mesh):
        def get_header(self, name: bytes | str) -> str:
            return HEADER

    facets = np.zeros(len(mesh.triangles), dtype=stl.mesh.Mesh.dtype)
    facets["vectors"] = (mesh.vertices * 1000.0).astype(np.float32)[mesh.triangles]
    writer = FixedHeader(facets, calculate_normals=True)
    buffer = io.BytesIO()
    writer.save("solid.stl", fh=buffer, mode=stl.Mode.BINARY)
    return buffer.getvalue()


def stl_triangles(content: bytes) -> Array:
    """Read the corners of the triangles in a binary STL file with trimesh.

    Args:
        content: Bytes of the file.

    Returns:
        Corners as stored in the file, shape (n, 3, 3). [mm]
    """
    loaded = _reader().load_stl_binary(io.BytesIO(content))
    vertices = np.asarray(loaded["vertices"], dtype=np.float64)
    faces = np.asarray(loaded["faces"], dtype=np.int64)
    triangles: Array = vertices[faces]
    return triangles


def _reader() -> Any:
    """Load only trimesh's STL reader.

    Importing the whole package also imports scipy and networkx if they are installed, which takes longer than the whole
    job; its reader needs neither. Its modules are therefore loaded under a private name, without the package's start-up
    code. If that no longer works with a new version, the plain import does the same job more slowly.
    """
    if "trimesh" in sys.modules:
        return importlib.import_module("trimesh.exchange.stl")
    try:
        if _READER not in sys.modules:
            spec = importlib.util.find_spec("trimesh")
            if spec is None or spec.submodule_search_locations is None:
                raise ImportError("trimesh is not installed")
            package = ModuleType(_READER)
            package.__path__ = list(spec.submodule_search_locations)
            sys.modules[_READER] = package
        return importlib.import_module(f"{_READER}.exchange.stl")
    except ImportError:
        sys.modules.pop(_READER, None)
        return importlib.import_module("trimesh.exchange.stl")
