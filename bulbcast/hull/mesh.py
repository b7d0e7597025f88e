"""A hull as a closed surface in boat axes, read from facets, checked, and repaired if that is safe.

Boat axes: x aft, y to starboard, z up; origin at the forward end of the design waterline, on the centreplane, at the
height of that waterline.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from bulbcast.hull.crossing import crossings
from bulbcast.hull.faults import HullError, HullRemark, Place, counted
from bulbcast.hull.placement import HullPlacement, off_the_line, waterline_ends
from bulbcast.hull.repair import FLAT_SHEET, Repaired, repaired
from bulbcast.hull.sections import hollow, upside_down, waterline_lines
from bulbcast.hull.shells import Shell, shell_of
from bulbcast.solids.mesh import Mesh, Triangles, mesh_volume_and_centroid
from bulbcast.solids.quadrature import Array

LARGEST_FACET_COUNT = 1_000_000
"""Largest number of facets accepted. A larger number suggests an export error and would slow down every later step."""

MANY_FACETS = 200_000
"""Number of facets above which a remark suggests a coarser hull. Judgement."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class HullMesh:
    """A closed surface in boat axes, counter-clockwise seen from outside, with the sums needed for clipping.

    Attributes:
        vertices: Vertices, shape (n, 3). [m]
        triangles: Indices, shape (m, 3).
        design_length: Distance from the forward to the aft end of the design waterline. [m]
        source: Name of the hull in messages and reports.
        remarks: Remarks on repairs made and anything unusual.
        shells: Data for clipping each closed surface; by default there is only one.
        extent: Size of the bounding box, shape (3,). [m]
        rows: Vertices relative to `middle`, one row for each coordinate, shape (3, n). [m]
    """

    vertices: Array
    triangles: Triangles
    design_length: float
    source: str = "hull"
    remarks: tuple[HullRemark, ...] = ()
    shells: tuple[Shell, ...] = field(default=(), repr=False)
    extent: Array = field(init=False, repr=False)
    rows: Array = field(init=False, repr=False)

    def __post_init__(self) -> None:
        vertices = np.array(self.vertices, dtype=np.float64)
        triangles = np.array(self.triangles, dtype=np.int64)
        if not self.shells:
            middle = 0.5 * (vertices.min(axis=0) + vertices.max(axis=0))
            object.__setattr__(self, "shells", (shell_of(vertices, triangles, middle),))
        for name, value in (
            ("vertices", vertices),
            ("triangles", triangles),
            ("extent", np.ptp(vertices, axis=0)),
            ("rows", np.ascontiguousarray((vertices - self.middle).T)),
        ):
            value.setflags(write=False)
            object.__setattr__(self, name, value)

    @property
    def middle(self) -> Array:
        """Middle of the bounding box of the first shell, shape (3,); integrals are taken about it. [m]"""
        return self.shells[0].about

    @property
    def volume(self) -> float:
        """Volume enclosed by the complete surface. [m3]"""
        return float(sum(np.sum(shell.blocks[0]) for shell in self.shells)) / 6.0

    @property
    def mesh(self) -> Mesh:
        """Copy of the surface without its remarks and shells."""
        return Mesh(vertices=self.vertices, triangles=self.triangles)


def hull_with(hull: HullMesh, *others: Mesh) -> HullMesh:
    """Combine a hull with other closed surfaces that float with it, such as the fin and the bulb.

    Args:
        hull: The hull.
        others: Closed surfaces in boat axes, counter-clockwise seen from outside; overlapping volume counts twice. [m]

    Returns:
        One surface made up of several shells.
    """
    if not others:
        return hull
    firsts = np.cumsum([0, *(len(other.vertices) for other in others[:-1])])
    vertices = np.concatenate([other.vertices for other in others])
    triangles = np.concatenate([other.triangles + first for other, first in zip(others, firsts, strict=True)])
    return HullMesh(
        vertices=np.concatenate([hull.vertices, vertices]),
        triangles=np.concatenate([hull.triangles, triangles + len(hull.vertices)]),
        design_length=hull.design_length,
        source=hull.source,
        remarks=hull.remarks,
        # The hull's own sums are unchanged by fin, rudder and bulb.
        shells=(*hull.shells, shell_of(vertices, triangles, hull.middle)),
    )


def hull_from_triangles(
    corners: NDArray[np.floating],
    *,
    placement: HullPlacement | None = None,
    half: bool = False,
    source: str = "hull",
) -> HullMesh:
    """Build a hull from unconnected facets, such as those of an STL file.

    Equal points are joined, as are points within a millionth of the hull's size if the surface would otherwise be open.
    Duplicate facets are dropped. Facets that face the wrong way are reversed, as are all facets if the surface is
    inside out. An open deck or transom and small flat openings are closed. The remarks list all these repairs.

    Args:
        corners: Corners of the facets, shape (m, 3, 3): facet, corner, coordinate. [unit of the file]
        placement: Conversion from the file's axes to boat axes; None if the file uses boat axes in m.
        half: Whether the facets cover one side only and are open along the centreplane. [-]
        source: Name of the hull in messages. [-]

    Returns:
        The hull.

    Raises:
        HullError: The facets do not form a closed surface and cannot safely be made into one, or the waterline does not
            cut the hull. Every fault is given with its position.
    """
    placement = HullPlacement() if placement is None else placement
    facets = np.asarray(corners, dtype=np.float64)
    _refuse(source, _unusable(facets))
    rotation = np.eye(3) if placement.rotation is None else np.array(placement.rotation)
    factor = placement.metres_per_unit * placement.scale
    waterline = placement.waterline_level * placement.scale

    def in_file(point: Array) -> Place:
        x, y, z = (float(value) for value in rotation.T @ point / factor)
        return x, y, z

    surface = repaired(
        facets, to_boat=rotation.T * factor, in_file=in_file, waterline=waterline, half=half, source=source
    )
    volume, _ = mesh_volume_and_centroid(surface.vertices, surface.triangles)
    faults, remarks = crossings(surface.vertices, surface.triangles, volume, in_file)
    _refuse(source, _too_thin(surface, volume) + faults)
    lines = waterline_lines(surface.vertices[surface.triangles], waterline)
    _refuse(source, off_the_line(surface.vertices, lines, waterline, placement))
    forward, aft, end_remarks = waterline_ends(lines, placement, source)
    origin = np.array([forward, surface.centreplane, waterline])
    used, triangles = np.unique(surface.triangles, return_inverse=True)
    vertices, triangles = surface.vertices[used] - origin, triangles.reshape(-1, 3)
    _refuse(source, hollow(lines - origin[:2]))
    odd = [] if surface.deck_capped else upside_down(vertices[triangles])
    if len(triangles) >= MANY_FACETS:
        odd.append(
            HullRemark(
                "many-facets",
                f"The hull has {counted(len(triangles), 'facet', 'facets')}, and a righting arm curve takes about one "
                "second for every 150 000 of them.",
                "If that is too slow, export a coarser hull; 20 000 facets are plenty.",
                found=float(len(triangles)),
                limit=float(MANY_FACETS),
            )
        )
    return HullMesh(
        vertices=vertices,
        triangles=triangles,
        design_length=aft - forward,
        source=source,
        remarks=(*surface.remarks, *remarks, *end_remarks, *odd),
    )


def _refuse(source: str, faults: list[HullRemark]) -> None:
    if faults:
        raise HullError(source, faults)


def _unusable(facets: Array) -> list[HullRemark]:
    """Return faults in the facets' coordinates, before a surface is built from them."""
    if len(facets) == 0:
        return [
            HullRemark(
                "no-facets",
                "The hull file contains no facets.",
                "Select the hull surface in the modeller and export it again.",
                found=0.0,
            )
        ]
    if len(facets) > LARGEST_FACET_COUNT:
        return [
            HullRemark(
                "too-many-facets",
                f"The hull has {counted(len(facets), 'facet', 'facets')}; "
                f"the limit is {counted(LARGEST_FACET_COUNT, 'facet', 'facets')}.",
                "Save the hull as a coarser mesh; 20 000 facets give its displacement to about 0.05 %.",
                found=float(len(facets)),
                limit=float(LARGEST_FACET_COUNT),
            )
        ]
    wrong = np.flatnonzero(~np.isfinite(facets).all(axis=(1, 2)))
    if not len(wrong):
        return []
    return [
        HullRemark(
            "not-finite",
            f"{counted(len(wrong), 'facet has', 'facets have')} a corner that is not a finite number. The first is facet "
            f"{int(wrong[0]) + 1} of {len(facets)}.",
            "The file is damaged, or the surface in the modeller has a broken patch there. Repair any broken patch, and "
            "export the hull again.",
            found=float(len(wrong)),
        )
    ]


def _too_thin(surface: Repaired, volume: float) -> list[HullRemark]:
    """Return a fault for a closed surface that encloses almost no volume."""
    corners = surface.vertices[surface.triangles]
    normal = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    area = 0.5 * float(np.linalg.norm(normal, axis=1).sum())
    size = float(np.max(np.ptp(surface.vertices, axis=0)))
    # Mean thickness is twice the volume over the area.
    thickness = 2.0 * volume / area if area > 0.0 else 0.0
    if thickness > FLAT_SHEET * size:
        return []
    return [
        HullRemark(
            "no-thickness",
            f"The surface encloses almost no volume. It is {thickness * 1e3:.3g} mm thick on average and "
            f"{size * 1e3:.4g} mm across.",
            "That is a sheet, not a solid. Give the outside of the hull as one closed surface.",
            found=thickness,
            limit=FLAT_SHEET * size,
            unit="m",
        )
    ]
