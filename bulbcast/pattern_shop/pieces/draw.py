"""Check whether a pattern draws from its mould, judging by the angle between each facet and the direction of pull.

The draft of a facet is the angle between it and the direction of pull. It is positive if the facet comes free of the
mould when pulled, and negative if the facet is caught, that is, undercut.

A round section has no draft at its parting, so the limit applies to the height over which a face has less draft than
required: 5 mm or 5 % of the half's depth, whichever is greater.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from bulbcast.quantities.frozen import frozen
from bulbcast.solids.mesh import Mesh
from bulbcast.solids.quadrature import Array

# A facet leaning back by less than this is upright for all practical purposes: rounding causes it. [rad]
UPRIGHT = math.radians(0.05)
# Facets smaller than this are slivers along the cuts, and their direction means nothing. [m2]
_SLIVER = 1e-11
# Facets whose drafts differ by less than this count as equal, and corners closer than this as one. [rad], [m]
_ALIKE, _SAME_PLACE = 1e-6, 1e-7


@frozen
class Draw:
    """How the facets of one solid draw in one direction of pull.

    Attributes:
        area: Area of the facets that touch the mould. [m2]
        undercut_area: Area of the facets that lean back under the mould. [m2]
        undercut_at: Centre of the worst undercut facet; None if there is none. [m]
        undercut_angle: Angle by which the worst facet leans back; 0 if none does. [rad]
        smallest: Smallest draft, not counting undercut facets. [rad]
        smallest_at: Position of the smallest draft. [m]
        low_area: Area of the facets with less draft than required. [m2]
        low_height: Height along the pull of the tallest patch of these facets. [m]
        low_at: Highest point of that patch; None if there is none. [m]
    """

    area: float
    undercut_area: float
    undercut_at: tuple[float, float, float] | None
    undercut_angle: float
    smallest: float
    smallest_at: tuple[float, float, float]
    low_area: float
    low_height: float
    low_at: tuple[float, float, float] | None


def drafts(mesh: Mesh, pull: Array) -> tuple[Array, Array, Array]:
    """Draft, area and centre of every facet.

    Args:
        mesh: A closed mesh. [m]
        pull: Unit vector pointing outwards from the solid's parting. The mould half is pulled in this direction, and
            the pattern in the opposite direction. [-]

    Returns:
        Draft, shape (n,) [rad], area, shape (n,) [m2], and centre, shape (n, 3) [m].
    """
    corners = mesh.vertices[mesh.triangles]
    cross = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    double = np.linalg.norm(cross, axis=1)
    rise = (cross @ pull) / np.where(double > 0.0, double, 1.0)
    return np.arcsin(np.clip(rise, -1.0, 1.0)), 0.5 * double, corners.mean(axis=1)


def draw_of(mesh: Mesh, pull: Array, *, wanted: float, flat_at: float | None) -> Draw:
    """Check how a solid draws in one direction.

    Args:
        mesh: A closed mesh. [m]
        pull: Unit vector; see `drafts`. [-]
        wanted: Minimum draft required. [rad]
        flat_at: Position along the pull of the parting face, which is not counted because it touches no mould; None for
            an unparted pattern. [m]

    Returns:
        The result, with the areas, angles and positions of undercuts and of low draft.
    """
    draft, area, middle = drafts(mesh, pull)
    touches = area > _SLIVER
    if flat_at is not None:
        on_face = (draft < math.radians(-89.0)) & (np.abs(middle @ pull - flat_at) < 1e-7)
        touches &= ~on_face
    under = touches & (draft < -UPRIGHT)
    upright = touches & ~under
    worst, worst_at = _steepest(mesh, draft, under)
    least, least_at = _steepest(mesh, draft, upright)
    low = upright & (draft < wanted - UPRIGHT)
    height, low_at = _highest_patch(mesh, pull, low)
    return Draw(
        area=float(np.sum(area[touches])),
        undercut_area=float(np.sum(area[under])),
        undercut_at=worst_at if under.any() else None,
        undercut_angle=-worst if under.any() else 0.0,
        smallest=max(least, 0.0),
        smallest_at=least_at,
        low_area=float(np.sum(area[low])),
        low_height=height,
        low_at=low_at,
    )


def _steepest(
    mesh: Mesh, draft: Array, chosen: NDArray[np.bool_]
) -> tuple[float, tuple[float, float, float]]:
    """The smallest draft among the chosen facets, and the foremost corner that has it.

    The walls of a pocket or a hole have the same draft everywhere, wherever a kernel places facets in them. Corners are
    compared regardless of the facets, so that every kernel gives the same position.
    """
    if not chosen.any():
        chosen = np.ones_like(chosen)
    least = float(np.min(draft[chosen]))
    corners = mesh.vertices[np.unique(mesh.triangles[chosen & (draft <= least + _ALIKE)])]
    keys = np.round(corners / _SAME_PLACE)
    return least, _point(corners[np.lexsort(keys.T[::-1])[0]])


def _point(at: Array) -> tuple[float, float, float]:
    return float(at[0]), float(at[1]), float(at[2])


def _highest_patch(
    mesh: Mesh, pull: Array, chosen: NDArray[np.bool_]
) -> tuple[float, tuple[float, float, float] | None]:
    """Height along the pull and topmost point of the tallest connected patch of the chosen facets."""
    facets = mesh.triangles[chosen]
    if not len(facets):
        return 0.0, None
    used, index = np.unique(facets, return_inverse=True)
    facets = index.reshape(-1, 3)
    # Every point repeatedly takes the lowest label of its neighbours, with short cuts.
    label = np.arange(len(used))
    while True:
        least = label[facets].min(axis=1)
        new = label.copy()
        for corner in range(3):
            np.minimum.at(new, facets[:, corner], least)
        new = new[new]
        if np.array_equal(new, label):
            break
        label = new
    level = mesh.vertices[used] @ pull
    top, foot = np.full(len(used), -math.inf), np.full(len(used), math.inf)
    np.maximum.at(top, label, level)
    np.minimum.at(foot, label, level)
    heights = np.where(np.isfinite(top), top - foot, -math.inf)
    best = int(np.argmax(heights))
    crown = int(np.argmax(np.where(label == best, level, -math.inf)))
    return float(heights[best]), _point(mesh.vertices[used[crown]])
