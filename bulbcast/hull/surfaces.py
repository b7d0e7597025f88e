"""The facets of a surface file: STL, binary and text, OBJ, PLY and 3MF."""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from bulbcast.plan.faults import hull_fault

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from bulbcast.plan.faults import PlanError

FORMATS = "STL, OBJ, PLY or 3MF"


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Surface:
    """Facets as a file holds them.

    Attributes:
        corners: Shape (m, 3, 3). [unit of the file]
        unit: That the file itself says; None where its format has none.
    """

    corners: NDArray[np.float64]
    unit: str | None


def surface_of(source: str, typed: str, path: Path, content: bytes) -> Surface:
    """The facets of a surface file.

    Args:
        source: How messages call the plan file. [-]
        typed: The path as the plan gives it. [-]
        path: Where it is; its ending says the format. [-]
        content: Its bytes. [-]

    Returns:
        The facets; STL, OBJ and PLY say no unit.

    Raises:
        PlanError: The file is of another kind, cut short, spoilt or without facets.
    """
    ending = path.suffix.lower()
    if ending == ".stl":
        return Surface(corners=_stl(source, typed, content), unit=None)
    if ending in (".obj", ".ply"):
        return Surface(corners=_by_trimesh(source, typed, ending, content), unit=None)
    if ending == ".3mf":
        from bulbcast.hull.three_mf_reading import ThreeMfError, read_three_mf

        try:
            corners, unit = read_three_mf(content)
        except ThreeMfError as error:
            raise hull_fault(source, "boat.hull", typed, error.read, error.expected, error.remedy) from None
        return Surface(corners=corners, unit=unit)
    raise ValueError(f"{typed} was not looked at first")


def require_surface(source: str, typed: str, path: Path) -> None:
    """Refuse a file whose ending is none of the formats, before it is read.

    Args:
        source: How messages call the plan file. [-]
        typed: The path as the plan gives it. [-]
        path: Where it is. [-]

    Raises:
        PlanError: Its ending is another.
    """
    if path.suffix.lower() not in (".stl", ".obj", ".ply", ".3mf"):
        raise hull_fault(
            source,
            "boat.hull",
            typed,
            f'a file that ends in "{path.suffix}"',
            f"a surface in {FORMATS}",
            "Save the hull in one of these from the modeller.",
        )


def _stl(source: str, typed: str, content: bytes) -> NDArray[np.float64]:
    """Corners of the facets of an STL file, binary or text, shape (m, 3, 3). [unit of the file]"""
    import numpy as np

    count = int.from_bytes(content[80:84], "little") if len(content) >= 84 else -1
    if count >= 0 and len(content) == 84 + 50 * count:
        record = np.dtype([("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("spare", "<u2")])
        return np.frombuffer(content, record, offset=84, count=count)["corners"].astype(np.float64)
    is_text = content[:5].lower() == b"solid"
    if is_text and b"endsolid" in content[-200:].lower() and b"facet" not in content[:2000].lower():
        raise _without_facets(source, typed)
    if not is_text or b"facet" not in content[:2000].lower():
        whole = (len(content) - 84) // 50
        raise hull_fault(
            source,
            "boat.hull",
            typed,
            f"an STL file cut short or spoilt: it promises {count} facets and holds {max(whole, 0)}"
            if count >= 0
            else "a file too short for STL",
            "a whole STL file",
            "Save or copy it again.",
        )
    return _text_stl(source, typed, content)


def _text_stl(source: str, typed: str, content: bytes) -> NDArray[np.float64]:
    import numpy as np

    words = content.decode("ascii", errors="replace").lower()
    opened, closed = len(re.findall(r"(?m)^\s*facet\b", words)), len(re.findall(r"(?m)^\s*endfacet\b", words))
    if opened != closed or not re.search(r"(?m)^\s*endsolid\b", words):
        raise hull_fault(
            source,
            "boat.hull",
            typed,
            f"an STL text that is cut short: {opened} facets begin, {closed} end"
            + ("" if opened != closed else ", and the solid does not"),
            "a text that ends with endsolid",
            "Save or copy it again.",
        )
    rows = re.findall(r"(?m)^\s*vertex\s+(\S+)\s+(\S+)\s+(\S+)\s*$", words)
    try:
        points = np.array([[float(value) for value in row] for row in rows], dtype=np.float64)
    except ValueError:
        points = np.empty((0, 3))
    if len(points) != 3 * opened or opened == 0:
        raise hull_fault(
            source,
            "boat.hull",
            typed,
            f"{opened} facets with {len(rows)} corners that can be read",
            "three corners of three figures for each facet",
            "Save it again from the modeller.",
        )
    return points.reshape(-1, 3, 3)


def _by_trimesh(source: str, typed: str, ending: str, content: bytes) -> NDArray[np.float64]:
    import io

    import numpy as np

    try:
        import trimesh

        mesh = trimesh.load_mesh(
            io.BytesIO(content), file_type=ending[1:], process=False, skip_materials=True
        )
        corners = np.asarray(mesh.triangles, dtype=np.float64)
    except Exception as error:  # the reader has no error of its own: anything may come of a broken file
        raise hull_fault(
            source,
            "boat.hull",
            typed,
            f"a file that cannot be taken apart ({type(error).__name__})",
            f"a surface of facets in {FORMATS}",
            "Save it again, as STL if this one fails once more.",
        ) from None
    if corners.ndim != 3 or len(corners) == 0:
        raise _without_facets(source, typed)
    return corners


def _without_facets(source: str, typed: str) -> PlanError:
    return hull_fault(
        source,
        "boat.hull",
        typed,
        "a file without facets",
        "a surface of facets",
        "Save the hull as a mesh, not as points or curves.",
    )
