"""Access to the mesh kernel, which no other file uses. Units here are mm, as in the files."""

from __future__ import annotations

from typing import Any

import numpy as np

from bulbcast.solids.mesh import Mesh, mesh_volume_and_centroid, shared_points
from bulbcast.solids.quadrature import Array


def _prism(bottom: Array, top: Array) -> Mesh:
    """Build a closed mesh between two outlines with the same number of points, counter-clockwise seen from above."""
    return tower([bottom, top])


def tower(rings: list[Array], tips: tuple[Array, Array] | None = None) -> Mesh:
    """Build a closed mesh through outlines with the same number of points, each end closed by a fan.

    Args:
        rings: Two or more outlines from the bottom up, counter-clockwise seen from the top, each of shape (n, 3). [m]
        tips: Centres of the lower and the upper fan; None for the means of the end rings. [m]

    Returns:
        Closed mesh. [m]
    """
    count, levels = len(rings[0]), len(rings)
    j = np.arange(count)
    following = (j + 1) % count
    sides = []
    for level in range(levels - 1):
        here, there = level * count, (level + 1) * count
        sides.append(np.stack([here + j, here + following, there + following], axis=1))
        sides.append(np.stack([here + j, there + following, there + j], axis=1))
    low, high = tips if tips is not None else (rings[0].mean(axis=0), rings[-1].mean(axis=0))
    last = levels * count
    floor = np.stack([following, j, np.full(count, last)], axis=1)
    lid = np.stack([j + last - count, following + last - count, np.full(count, last + 1)], axis=1)
    return Mesh(
        vertices=np.concatenate([*rings, [low], [high]]),
        triangles=np.concatenate([*sides, floor, lid]).astype(np.int64),
    )


def _to_kernel(mesh: Mesh) -> Any:
    import manifold3d

    solid = manifold3d.Manifold(
        manifold3d.Mesh64(vert_properties=mesh.vertices * _MM, tri_verts=mesh.triangles.astype(np.uint64))
    )
    if solid.status() != manifold3d.Error.NoError:
        raise ArithmeticError(f"the mesh kernel refused a solid: {solid.status()}")
    return solid


class KernelSolid:
    """Solid held by the mesh kernel, so that other code can cut and join solids without calling the kernel.

    Lengths are in m. Every method returns a new solid. The kernel works in double precision and mm.
    """

    __slots__ = ("_solid",)

    def __init__(self, solid: Any) -> None:
        self._solid = solid

    @classmethod
    def of(cls, mesh: Mesh) -> KernelSolid:
        """Create a solid from a closed mesh.

        Args:
            mesh: Mesh whose facets are counter-clockwise seen from outside. [m]

        Raises:
            ArithmeticError: The kernel refuses the mesh.
        """
        return cls(_to_kernel(mesh))

    def joined(self, *others: KernelSolid) -> KernelSolid:
        """Union of this solid and the others."""
        return self._with(others, "Add")

    def less(self, *others: KernelSolid) -> KernelSolid:
        """This solid without the others."""
        return self._with(others, "Subtract")

    def common(self, other: KernelSolid) -> KernelSolid:
        """Intersection of this solid and another."""
        return self._with((other,), "Intersect")

    def _with(self, others: tuple[KernelSolid, ...], operation: str) -> KernelSolid:
        import manifold3d

        if not others:
            return self
        solids = [self._solid, *(other._solid for other in others)]
        return KernelSolid(manifold3d.Manifold.batch_boolean(solids, getattr(manifold3d.OpType, operation)))

    def parted(self, normal: tuple[float, float, float], offset: float) -> tuple[KernelSolid, KernelSolid]:
        """Cut the solid in two along a plane.

        Args:
            normal: Normal of the plane. [-]
            offset: Distance of the plane from the origin along the normal. [m]

        Returns:
            The part on the side to which the normal points, and the other part.
        """
        ahead, behind = self._solid.split_by_plane(normal, offset * _MM)
        return KernelSolid(ahead), KernelSolid(behind)

    def scaled(self, factor: float) -> KernelSolid:
        """This solid scaled about the origin of the axes. [-]"""
        return KernelSolid(self._solid.scale((factor, factor, factor)))

    @property
    def volume(self) -> float:
        """Volume of the solid. [m3]"""
        return float(self._solid.volume()) / _MM**3

    @property
    def area(self) -> float:
        """Area of the whole surface. [m2]"""
        return float(self._solid.surface_area()) / _MM**2

    @property
    def is_empty(self) -> bool:
        """Whether the solid is empty."""
        return bool(self._solid.is_empty())

    @property
    def bounds(self) -> Array:
        """Lowest and highest corners of the bounding box, shape (2, 3). [m]"""
        return np.asarray(self._solid.bounding_box(), dtype=np.float64).reshape(2, 3) / _MM

    def faces(self) -> Mesh:
        """Facets of the solid in double precision, as the kernel stores them. [m]"""
        got = self._solid.to_mesh64()
        return Mesh(
            vertices=np.asarray(got.vert_properties, dtype=np.float64)[:, :3] / _MM,
            triangles=np.asarray(got.tri_verts, dtype=np.int64),
        )

    def silhouette(self, right: Array, up: Array, *, coarse: float) -> list[Array]:
        """Return the solid's outline as seen in a given view.

        Args:
            right: Unit vector to the right of the picture. [-]
            up: Unit vector upwards in the picture, square to `right`. [-]
            coarse: Points closer than this to a straight line are left out. [m]

        Returns:
            Contours, with outer ones counter-clockwise, each of shape (n, 2). [m]
        """
        turn = np.stack([right, up, np.cross(right, up)])
        seen = self._solid.transform(np.concatenate([turn, np.zeros((3, 1))], axis=1))
        outline = seen.project().simplify(coarse * _MM)
        return [np.asarray(one, dtype=np.float64) / _MM for one in outline.to_polygons()]

    def as_written(self) -> tuple[Mesh, float, Array]:
        """Round the solid to the single-precision grid used in files; see `cut_solid`."""
        return _as_written(self._solid)


def cut_solid(body: Mesh, cutters: list[Mesh], *, scale: float = 1.0) -> tuple[Mesh, float, Array]:
    """Cut a body with all cutters, and round it to the single-precision grid used in files.

    Args:
        body: Body as a closed mesh. [m]
        cutters: Closed meshes, which may overlap. [m]
        scale: Scale about the origin of the bulb axes, applied afterwards. [-]

    Returns:
        Solid as it will be written [m], and its volume [m3] and centroid [m] from the kernel in double precision before
        that rounding.

    Raises:
        ArithmeticError: The kernel refuses a solid.
    """
    solid = KernelSolid.of(body).less(*(KernelSolid.of(cutter) for cutter in cutters))
    return (solid if scale == 1.0 else solid.scaled(scale)).as_written()


def _as_written(solid: Any) -> tuple[Mesh, float, Array]:
    # Edges too short for single precision are collapsed before the rounding does it.
    reach = max(abs(value) for value in solid.bounding_box())
    solid = solid.simplify(float(np.spacing(np.float32(reach))))
    got = solid.to_mesh64()
    vertices = np.asarray(got.vert_properties, dtype=np.float64)[:, :3]
    triangles = np.asarray(got.tri_verts, dtype=np.int64)
    volume, centroid = mesh_volume_and_centroid(vertices, triangles)
    # Single precision is finest near zero: a reader that joins close points would take points closer together there than
    # this for one, and would find the solid open.
    rounded, welded = _welded((np.round(vertices / _FINEST) * _FINEST).astype(np.float32), triangles)
    if closed_faults(welded):
        rounded, welded = _welded(vertices.astype(np.float32), triangles)
    return (
        Mesh(vertices=rounded.astype(np.float64) / _MM, triangles=welded),
        volume / _MM**3,
        centroid / _MM,
    )


def _welded(vertices: Any, triangles: Any) -> tuple[Any, Any]:
    """Join points that are equal in single precision, and remove triangles that vanish."""
    unique, index = shared_points(vertices)
    joined = index[triangles]
    alive = (joined[:, 0] != joined[:, 1]) & (joined[:, 1] != joined[:, 2]) & (joined[:, 2] != joined[:, 0])
    joined = joined[alive]
    # Use a fixed order of points and triangles, whatever order the kernel's threads finished in.
    first = np.argmin(joined, axis=1)
    rolled = np.stack([joined[np.arange(len(joined)), (first + i) % 3] for i in range(3)], axis=1)
    return unique, rolled[np.lexsort(rolled.T[::-1])]


def closed_faults(triangles: Any) -> int:
    """Count the directed edges without exactly one opposite edge: 0 for a watertight, consistently wound mesh.

    Args:
        triangles: Indices of the vertices, shape (m, 3).
    """
    edges = np.concatenate([triangles[:, [0, 1]], triangles[:, [1, 2]], triangles[:, [2, 0]]]).astype(
        np.int64
    )
    size = int(edges.max(initial=0)) + 1
    forward = np.sort(edges[:, 0] * size + edges[:, 1])
    backward = np.sort(edges[:, 1] * size + edges[:, 0])
    repeated = int(np.sum(forward[1:] == forward[:-1]))
    if np.array_equal(forward, backward):
        return repeated
    return repeated + int(np.sum(~np.isin(backward, forward)))


_MM = 1000.0


# Step between written coordinates, a power of two that single precision holds exactly. [mm]
_FINEST = 2.0**-20
