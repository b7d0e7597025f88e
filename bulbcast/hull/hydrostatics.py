"""Hydrostatics of a hull at any sinkage, trim and heel, by exact clipping of its surface.

The attitude is given by the directions of three axes of a level frame, expressed in boat axes, where t is the trim,
positive with the stern down, and h the heel, positive with the starboard side down:

    up        = (-sin t, -cos t sin h, cos t cos h)
    aft       = ( cos t, -sin t sin h, sin t cos h)
    starboard = (   0,       cos h,       sin h   )

and by the sinkage, the depth of the origin: a point p is under water if up . p < sinkage. Volumes are sums of
tetrahedra with their apex in the water plane, so the cut face adds nothing and does not have to be built. Integrals
over the waterplane are taken along its edge by Green's theorem. The contribution of facets completely under water is
summed beforehand, block by block (`shells`), so each attitude needs only the facets near the water plane.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from bulbcast.hull.design_line import DesignLine
from bulbcast.hull.mesh import HullMesh
from bulbcast.hull.shells import clipped
from bulbcast.quantities.frozen import frozen
from bulbcast.solids.quadrature import Array

Point = tuple[float, float, float]


@frozen
class Attitude:
    """Attitude of a boat in the water; all values are zero if she is upright on the design waterline.

    Attributes:
        sinkage: Depth of the origin below the water's surface. [m]
        trim: Trim, positive with the stern down, between -90 and 90 degrees. [rad]
        heel: Heel, positive with the starboard side down. [rad]
    """

    sinkage: float = 0.0
    trim: float = 0.0
    heel: float = 0.0


UPRIGHT = Attitude()


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Directions:
    """Directions of a level frame in boat axes: three unit vectors, each of shape (3,). [-]"""

    up: Array
    aft: Array
    starboard: Array


def directions(trim: float, heel: float) -> Directions:
    """Return the directions up, aft and starboard of a level frame, in boat axes.

    Args:
        trim: Trim, positive with the stern down. [rad]
        heel: Heel, positive with the starboard side down. [rad]

    Returns:
        The three directions.
    """
    st, ct, sh, ch = math.sin(trim), math.cos(trim), math.sin(heel), math.cos(heel)
    return Directions(
        up=np.array([-st, -ct * sh, ct * ch]),
        aft=np.array([ct, -st * sh, st * ch]),
        starboard=np.array([0.0, ch, sh]),
    )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Cut:
    """Integrals over the immersed part of a hull, about the middle of the hull's bounding box.

    Attributes:
        volume: Immersed volume. [m3]
        moment: First moment of the volume, shape (3,). [m4]
        area: Area of the waterplane. [m2]
        first: First moments of the waterplane along `aft` and `starboard`, shape (2,). [m3]
        second: Second moments of the waterplane: aft-aft, aft-starboard and starboard-starboard, shape (3,). [m4]
        wetted: Area of the surface under water, without the waterplane. [m2]
        edge: End points of the pieces of the waterplane's edge, in coordinates along `aft` and `starboard`, shape (2,
            k, 2). [m]
    """

    volume: float
    moment: Array
    area: float
    first: Array
    second: Array
    wetted: float
    edge: Array


def cut(hull: HullMesh, world: Directions, depth: float) -> Cut:
    """Clip a hull against the water plane.

    Args:
        hull: Hull as a closed surface.
        world: Directions of the level frame.
        depth: Depth of the middle of the hull's bounding box below the water's surface. [m]

    Returns:
        Integrals of the immersed part.
    """
    found = [clipped(shell, world.up, depth) for shell in hull.shells]
    sums = np.add.reduce([whole for whole, _ in found])
    cuts = [crossed for _, crossed in found]
    a, b, c = np.concatenate([one.corners for one in cuts], axis=1)
    above, above_b, above_c = np.concatenate([one.heights for one in cuts], axis=1)
    normal = np.concatenate([one.normals for one in cuts])
    dips = np.concatenate([one.dips for one in cuts])
    to_b, to_c = above / (above - above_b), above / (above - above_c)
    p = a + to_b[:, None] * (b - a)
    q = a + to_c[:, None] * (c - a)
    sign = np.where(dips, 1.0, -1.0)
    share = sign * to_b * to_c
    tip = depth * world.up  # projection of the middle onto the water plane
    six = share * np.einsum("ij,ij->i", a - tip, normal)
    through_tip = float(tip @ sums[1:4])
    six_volumes = sums[0] - through_tip + six.sum()
    moments = (
        sums[4:7]
        - 3.0 * sums[0] * tip
        - sums[7:16].reshape(3, 3) @ tip
        + 3.0 * through_tip * tip
        + six @ (a + p + q - 3.0 * tip)
    )
    volume = float(six_volumes) / 6.0
    # The waterplane is the face left by the cut, so its edge runs opposite to those of the clipped facets.
    plane = np.stack([world.aft, world.starboard], axis=1)
    s, e = q @ plane, p @ plane
    cross = sign * (s[:, 0] * e[:, 1] - s[:, 1] * e[:, 0])
    total = s + e
    return Cut(
        volume=volume,
        moment=moments / 24.0 + volume * tip,
        area=0.5 * float(cross.sum()),
        first=cross @ total / 6.0,
        second=np.array(
            [
                cross @ (s[:, 0] * total[:, 0] + e[:, 0] ** 2) / 12.0,
                cross @ (total[:, 0] * total[:, 1] + s[:, 0] * s[:, 1] + e[:, 0] * e[:, 1]) / 24.0,
                cross @ (s[:, 1] * total[:, 1] + e[:, 1] ** 2) / 12.0,
            ]
        ),
        wetted=float(sums[16] + 0.5 * (share @ np.sqrt(np.einsum("ij,ij->i", normal, normal)))),
        edge=np.stack([s, e]),
    )


@frozen
class Hydrostatics:
    """Hydrostatic figures of a hull at one attitude.

    Second moments are about the waterplane's centre. "Across" means about the fore-and-aft horizontal axis, and applies
    to heel. "Along" means about the athwartships axis, and applies to trim.

    Attributes:
        attitude: Attitude of the boat.
        volume: Displaced volume. [m3]
        buoyancy_centre: Centre of buoyancy, boat axes; None if nothing is under water. [m]
        waterplane_area: Area of the waterplane. [m2]
        waterplane_centre: Centre of the waterplane, boat axes; None without a waterplane. [m]
        second_moment_across: Transverse second moment of the waterplane. [m4]
        second_moment_along: Longitudinal second moment of the waterplane. [m4]
        wetted_area: Area of the surface under water. [m2]
        waterline_length: Horizontal length of the waterplane. [m]
        waterline_beam: Horizontal beam of the waterplane. [m]
        draught: Depth of the hull's lowest point; negative if the hull is clear of the water. [m]
    """

    attitude: Attitude
    volume: float
    buoyancy_centre: Point | None
    waterplane_area: float
    waterplane_centre: Point | None
    second_moment_across: float
    second_moment_along: float
    wetted_area: float
    waterline_length: float
    waterline_beam: float
    draught: float

    @property
    def bm_across(self) -> float | None:
        """Height of the transverse metacentre above the centre of buoyancy; None if nothing is under water. [m]"""
        return self.second_moment_across / self.volume if self.volume > 0.0 else None

    @property
    def bm_along(self) -> float | None:
        """Height of the longitudinal metacentre above the centre of buoyancy; None if nothing is under water. [m]"""
        return self.second_moment_along / self.volume if self.volume > 0.0 else None

    def gm_across(self, mass_centre: Point) -> float | None:
        """Return the height of the transverse metacentre above the mass centre; None if nothing is under water.

        Args:
            mass_centre: Mass centre, boat axes. [m]
        """
        bm = self.bm_across
        if bm is None or self.buoyancy_centre is None:
            return None
        up = directions(self.attitude.trim, self.attitude.heel).up
        return float(bm - up @ (np.array(mass_centre) - np.array(self.buoyancy_centre)))


def hydrostatics(hull: HullMesh, attitude: Attitude = UPRIGHT) -> Hydrostatics:
    """Calculate a hull's hydrostatic figures at any attitude.

    Args:
        hull: Hull as a closed surface.
        attitude: Attitude of the boat.

    Returns:
        The hydrostatic figures, exact for the given surface.
    """
    world = directions(attitude.trim, attitude.heel)
    depth = attitude.sinkage - float(world.up @ hull.middle)
    part = cut(hull, world, depth)
    centre = None if part.volume <= 0.0 else _point(part.moment / part.volume + hull.middle)
    plane_centre, second, extent = None, np.zeros(2), np.zeros(2)
    if part.area > 0.0:
        x, y = part.first / part.area
        second = part.second[[0, 2]] - part.area * np.array([x * x, y * y])
        plane_centre = _point(depth * world.up + x * world.aft + y * world.starboard + hull.middle)
        extent = np.ptp(part.edge.reshape(-1, 2), axis=0)
    return Hydrostatics(
        attitude=attitude,
        volume=max(part.volume, 0.0),
        buoyancy_centre=centre,
        waterplane_area=max(part.area, 0.0),
        waterplane_centre=plane_centre,
        second_moment_across=float(second[1]),
        second_moment_along=float(second[0]),
        wetted_area=part.wetted,
        waterline_length=float(extent[0]),
        waterline_beam=float(extent[1]),
        draught=depth - float(np.min(np.einsum("ij,i->j", hull.rows, world.up))),
    )


def design_line_of_mesh(hull: HullMesh) -> DesignLine:
    """Calculate the hydrostatic figures of a surface upright on its design waterline.

    Args:
        hull: Hull as a closed surface.

    Returns:
        The hydrostatic figures. The length is the distance between the ends of the design waterline.
    """
    found = hydrostatics(hull)
    assert found.buoyancy_centre is not None
    return DesignLine(
        volume=found.volume,
        buoyancy_x=found.buoyancy_centre[0],
        buoyancy_z=found.buoyancy_centre[2],
        waterplane_area=found.waterplane_area,
        flotation_x=None if found.waterplane_centre is None else found.waterplane_centre[0],
        length=hull.design_length,
        beam=found.waterline_beam,
        draught=found.draught,
        bm_across=found.bm_across,
        bm_along=found.bm_along,
        wetted_area=found.wetted_area,
        how=f"surface with {len(hull.triangles)} facets, clipped",
    )


def _point(values: Array) -> Point:
    return float(values[0]), float(values[1]), float(values[2])
