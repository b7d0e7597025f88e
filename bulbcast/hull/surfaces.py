"""Reading the facets of a surface file in STL (binary or text), OBJ, PLY or 3MF format."""

from __future__ import annotations

import io
import re
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from bulbcast.disk.refusals import FileRefusedError
from bulbcast.hull.three_mf_reading import read_three_mf

FORMATS = "STL, OBJ, PLY or 3MF"
_SAVED_WHOLE = "Save or copy the file again."

Floats = NDArray[np.float64]


def surface_of(path: Path, content: bytes) -> tuple[Floats, str | None]:
    """Read the facets of a surface file.

    Args:
        path: Path of the file; its extension gives the format. [-]
        content: The file's bytes. [-]

    Returns:
        Corners, shape (m, 3, 3) [unit of the file], and the unit stated in the file. The unit is None for STL, OBJ and
        PLY.

    Raises:
        FileRefusedError: The file is of another type, cut short, damaged or without facets.
    """
    ending = path.suffix.lower()
    if ending == ".3mf":
        return read_three_mf(content)
    return (_stl(content) if ending == ".stl" else _by_trimesh(ending, content)), None


def require_surface(path: Path) -> None:
    """Refuse a file whose extension does not belong to an accepted format, before reading it.

    Args:
        path: Path of the file. [-]

    Raises:
        FileRefusedError: The extension does not belong to an accepted format.
    """
    if path.suffix.lower() not in (".stl", ".obj", ".ply", ".3mf"):
        raise FileRefusedError(
            f'a file whose name ends in "{path.suffix}"',
            f"a surface in {FORMATS}",
            "Save the hull from the modeller in one of these formats.",
        )


def _stl(content: bytes) -> Floats:
    """Read the facet corners, shape (m, 3, 3), from a binary or text STL file. [unit of the file]"""
    count = int.from_bytes(content[80:84], "little") if len(content) >= 84 else -1
    if count >= 0 and len(content) == 84 + 50 * count:
        record = np.dtype([("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("spare", "<u2")])
        return np.frombuffer(content, record, offset=84, count=count)["corners"].astype(np.float64)
    is_text = content[:5].lower() == b"solid"
    if is_text and b"endsolid" in content[-200:].lower() and b"facet" not in content[:2000].lower():
        raise _without_facets()
    if not is_text or b"facet" not in content[:2000].lower():
        read = "a file too short for STL"
        if count >= 0:
            whole = max((len(content) - 84) // 50, 0)
            read = f"an STL file that is cut short or damaged, with {whole} of its {count} facets"
        raise FileRefusedError(read, "a complete STL file", _SAVED_WHOLE)
    return _text_stl(content)


def _text_stl(content: bytes) -> Floats:
    words = content.decode("ascii", errors="replace").lower()
    opened, closed = len(re.findall(r"(?m)^\s*facet\b", words)), len(re.findall(r"(?m)^\s*endfacet\b", words))
    if opened != closed or not re.search(r"(?m)^\s*endsolid\b", words):
        unended = "" if opened != closed else ", but the solid does not end"
        raise FileRefusedError(
            f"an STL text file that is cut short, in which {opened} facets begin and {closed} end{unended}",
            "a text file that ends with endsolid",
            _SAVED_WHOLE,
        )
    rows = re.findall(r"(?m)^\s*vertex\s+(\S+)\s+(\S+)\s+(\S+)\s*$", words)
    try:
        points = np.array([[float(value) for value in row] for row in rows], dtype=np.float64)
    except ValueError:
        points = np.empty((0, 3))
    if len(points) != 3 * opened or opened == 0:
        raise FileRefusedError(
            f"{opened} facets with {len(rows)} readable corners",
            "three corners for each facet, and three figures for each corner",
            "Save the file again from the modeller.",
        )
    return points.reshape(-1, 3, 3)


def _by_trimesh(ending: str, content: bytes) -> Floats:
    try:
        import trimesh

        mesh = trimesh.load_mesh(
            io.BytesIO(content), file_type=ending[1:], process=False, skip_materials=True
        )
        corners = np.asarray(mesh.triangles, dtype=np.float64)
    except Exception as error:  # the reader has no error class, so a broken file may raise anything
        raise FileRefusedError(
            f"a file that cannot be read ({type(error).__name__})",
            f"a faceted surface in {FORMATS}",
            "Save the file again, or save it as STL if this format fails again.",
        ) from None
    if corners.ndim != 3 or len(corners) == 0:
        raise _without_facets()
    return corners


def _without_facets() -> FileRefusedError:
    return FileRefusedError(
        "a file without facets",
        "a faceted surface",
        "Save the hull as a mesh, not as points or curves.",
    )
