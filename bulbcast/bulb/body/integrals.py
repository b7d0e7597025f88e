"""Integrals of the turned body: volume, centroid, area, curvature, parallel volume.

All are calculated by Gauss quadrature in phi, with x = L0 sin^2(phi / 2). In phi a round nose or tail is smooth, even
if the body is cut just short of a round tail. No code is shared with the mesh.

For an elliptical section with semi-axes r a and r b (a b = 1) and the angle t round the section:
    Q = a^2 sin^2 t + b^2 cos^2 t,   P = a^2 cos^2 t + b^2 sin^2 t,   W^2 = r'^2 + Q
    area        dA   = r W dx dt
    curvature   H dA = 1/2 (1 + P r'^2 - r Q r'') / W^2 dx dt
and r'' is removed by integration by parts, d[sqrt(Q) atan(r'/sqrt(Q))] = Q r'' / W^2 dx. The boundary term cancels half
the tail edge's own contribution. With a = b = 1 this is M = pi int (1 + r' atan r') dx + pi^2 r_t / 2. The parallel
volume (Steiner; Weyl's tube formula) is then V + A d + M d^2 + 4/3 pi d^3.

Inward parallel surfaces (a coat thicker than the finish) are exact to the square of the distance; the error grows with
its cube and is 4e-9 of the volume of a model's bulb at 0.1 mm and 2e-7 at 0.4 mm. A coat thicker than a thin tail is
reported as a stop.
"""

from __future__ import annotations

import math
from functools import lru_cache

import numpy as np

from bulbcast.bulb.body.turned import TurnedBody
from bulbcast.quantities.frozen import frozen
from bulbcast.solids.quadrature import Array, gauss, gauss_on_panels

# Panels get closer towards both ends, where dr/dx of a slender body goes through all angles within a few per cent of the
# length. With 14 nodes a panel the error is 1e-11 from fineness 2 to 20. On a sharp uncut tail the curvature integrals
# alone are only good to 1e-8, which is 1e-11 of a parallel volume (tests/unit).
_END_PANELS = (0.01, 0.05, 0.15, 0.4, 1.0)
_NODES = 14
_NODES_BETWEEN_KNOTS = 8
# The integrand round the section is periodic, so the trapezium rule on a quadrant converges like exp(-N / 2) at a width
# over height of 3.
_RING = 33

_ROUNDING = 1e-12
"""Largest squared ratio of the tail's radius to the body's that is taken as rounding error in a pointed tail, not as a
face. [-]"""


@frozen
class BodyVolume:
    """Integrals for the mass: volume [m3] and its first moment along x [m4]."""

    volume: float
    moment_x: float

    @property
    def centroid_x(self) -> float:
        """Distance of the centroid from the nose. [m]"""
        return self.moment_x / self.volume


@frozen
class BodySurface:
    """Integrals for the parallel surface, tail face included.

    Attributes:
        area: Area of the whole surface. [m2]
        area_moment_x: Integral of x over the surface. [m3]
        mean_curvature: Integral of the mean curvature H, tail edge included. [m]
        mean_curvature_moment_x: Integral of x H, tail edge included. [m2]
        curvature_centroid_x: x of the centroid of the Gaussian curvature, whose total is 4 pi. [m]
        face_area: Area of the tail face. [m2]
        edge_square: Coefficient of d^2 by which an inward step at the tail's edge exceeds Steiner's outward edge. It is
            the integral of tan(theta/2) - theta/2 along the edge, where theta is the angle between the two normals. [m]
        length: Length of the body. [m]
    """

    area: float
    area_moment_x: float
    mean_curvature: float
    mean_curvature_moment_x: float
    curvature_centroid_x: float
    face_area: float
    edge_square: float
    length: float


@frozen
class SecondMoments:
    """Second moments of the volume about its centroid, in bulb axes. [m5]"""

    about_x: float
    about_y: float
    about_z: float


def _phi_nodes(body: TurnedBody) -> tuple[Array, Array]:
    """Nodes and weights in phi over the finished body, as read-only arrays."""
    return _nodes_up_to(body.cut, body.profile.breaks)


@lru_cache(maxsize=8)
def _nodes_up_to(cut: float, breaks: tuple[float, ...]) -> tuple[Array, Array]:
    end = 2.0 * math.asin(math.sqrt(min(cut, 1.0)))
    edges = {0.0, end}
    edges.update(step for step in _END_PANELS if step < 0.5 * end)
    edges.update(end - step for step in _END_PANELS if step < 0.5 * end)
    count = _NODES
    if breaks:
        edges.update(2.0 * math.asin(math.sqrt(place)) for place in breaks if 0.0 < place < cut)
        if len(breaks) > 8:
            count = _NODES_BETWEEN_KNOTS
    ordered = np.array(sorted(edges))
    phi, weight = gauss_on_panels(ordered, count)
    # A pointed nose has r ~ phi^(3/2), which becomes smooth if the node's fraction of its panel is squared. The tail is
    # left as it is, because so close to xi = 1 the rounding of q would cost more than this gains.
    share, share_weight = gauss(count)
    phi[:count], weight[:count] = ordered[1] * share**2, ordered[1] * 2.0 * share * share_weight
    phi.setflags(write=False)
    weight.setflags(write=False)
    return phi, weight


def body_volume(body: TurnedBody) -> BodyVolume:
    """Volume and first moment of the lead body before the pocket and holes are cut.

    Returns:
        V = pi int r^2 dx and int x dV. [m3], [m4]
    """
    phi, weight = _phi_nodes(body)
    xi = np.sin(0.5 * phi) ** 2
    q, _ = body.profile.squared(xi)
    dx = 0.5 * body.uncut_length * np.sin(phi) * weight
    section = math.pi * 0.25 * body.diameter**2 * q * dx
    return BodyVolume(volume=float(section.sum()), moment_x=float((section * xi).sum()) * body.uncut_length)


def second_moments(body: TurnedBody) -> SecondMoments:
    """Second moments of the lead body about its centroid.

    Returns:
        Second moments about the x axis (roll), the y axis (pitch) and the z axis (yaw). [m5]
    """
    phi, weight = _phi_nodes(body)
    xi = np.sin(0.5 * phi) ** 2
    q, _ = body.profile.squared(xi)
    r2 = 0.25 * body.diameter**2 * q
    dx = 0.5 * body.uncut_length * np.sin(phi) * weight
    x = xi * body.uncut_length
    k = body.width_to_height
    section = math.pi * r2 * dx
    volume = float(section.sum())
    centroid = float((section * x).sum()) / volume
    along = float((section * (x - centroid) ** 2).sum())
    across = float((section * r2).sum()) / 4.0 * k
    up = float((section * r2).sum()) / 4.0 / k
    return SecondMoments(about_x=across + up, about_y=along + up, about_z=along + across)


def body_surface(body: TurnedBody) -> BodySurface:
    """Area and curvature integrals of the whole surface, tail face and its edge included.

    Returns:
        The integrals that give the parallel surface's volume and centroid.
    """
    phi, weight = _phi_nodes(body)
    xi = np.sin(0.5 * phi) ** 2
    q, slope_q = body.profile.squared(xi)
    radius = 0.5 * body.diameter
    r = radius * np.sqrt(np.maximum(q, 0.0))
    with np.errstate(divide="ignore", invalid="ignore"):
        # A tail that ends in a point rounds to zero before its end, and no surface is left there.
        slope = np.where(r > 0.0, radius**2 * slope_q / (2.0 * r * body.uncut_length), 0.0)
    dx = 0.5 * body.uncut_length * np.sin(phi) * weight
    x = xi * body.uncut_length

    a2, b2 = body.width_to_height, 1.0 / body.width_to_height
    if a2 == 1.0:
        ring_q, ring_p, ring_w = np.ones(1), np.ones(1), np.array([2.0 * math.pi])
    else:
        t = np.linspace(0.0, 0.5 * math.pi, _RING)
        ring_q = a2 * np.sin(t) ** 2 + b2 * np.cos(t) ** 2
        ring_p = a2 * np.cos(t) ** 2 + b2 * np.sin(t) ** 2
        ring_w = np.full(_RING, 2.0 * math.pi / (_RING - 1))
        ring_w[[0, -1]] *= 0.5
    root_q = np.sqrt(ring_q)

    # Axis 0 runs along the body, axis 1 round the section.
    s = slope[:, None]
    w2 = s * s + ring_q
    area_density = (r[:, None] * np.sqrt(w2)) @ ring_w
    bend = root_q * np.arctan(s / root_q)
    plain = (1.0 + ring_p * s * s) / w2
    h_density = 0.5 * ((plain + s * bend) @ ring_w)
    h_moment_density = 0.5 * ((x[:, None] * plain + (r[:, None] + x[:, None] * s) * bend) @ ring_w)
    normal_x = (s / np.sqrt(w2)) @ (ring_w / ring_q)

    length, tail = body.length, body.tail_radius if body.tail_q > _ROUNDING else 0.0
    face = math.pi * tail**2
    perimeter = tail * float(root_q @ ring_w)
    edge_square = 0.0
    if tail > 0.0:
        tail_slope = radius**2 * body.tail_slope / (2.0 * tail * body.uncut_length)
        theta = 0.5 * math.pi + np.arctan(tail_slope / root_q)
        edge_square = tail * float((root_q * (np.tan(0.5 * theta) - 0.5 * theta)) @ ring_w)
    return BodySurface(
        area=float(area_density @ dx) + face,
        area_moment_x=float((area_density * x) @ dx) + face * length,
        mean_curvature=float(h_density @ dx) + 0.25 * math.pi * perimeter,
        mean_curvature_moment_x=float(h_moment_density @ dx) + 0.25 * math.pi * length * perimeter,
        curvature_centroid_x=0.5 * length + float(normal_x @ dx) / (4.0 * math.pi),
        face_area=face,
        edge_square=edge_square,
        length=length,
    )


def parallel_volume(inner: BodyVolume, surface: BodySurface, distance: float) -> BodyVolume:
    """Volume and first moment of the space inside a parallel surface of the body.

    Args:
        inner: Volume and moment of the body itself.
        surface: Surface integrals of the same body.
        distance: Distance of the surface. Positive is outwards, with rounded edges; negative is inwards, where the
            tail's edge stays sharp. Up to the thickness of the tail, the inward result is exact to d^2, with an error
            of about 0.6 |d|^3. [m]

    Returns:
        V + A d + M d^2 + 4/3 pi d^3, plus the surface's `edge_square` times d^2 if d is negative; and its first moment
        along x. [m3], [m4]

    References:
        Steiner's formula; H. Weyl, "On the volume of tubes", Am. J. Math. 61 (1939).
    """
    d = distance
    volume = inner.volume + surface.area * d + surface.mean_curvature * d**2 + 4.0 / 3.0 * math.pi * d**3
    moment = (
        inner.moment_x
        + surface.area_moment_x * d
        + surface.mean_curvature_moment_x * d**2
        + 4.0 / 3.0 * math.pi * surface.curvature_centroid_x * d**3
    )
    if d < 0.0:
        volume += surface.edge_square * d**2
        moment += surface.edge_square * surface.length * d**2
    return BodyVolume(volume=volume, moment_x=moment)
