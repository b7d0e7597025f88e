"""Fin, rudder and bulb as closed surfaces that float with the hull, for large angles of heel.

They are deep under the upright boat, reach the surface when the boat lies flat, and are in the air when she is upside
down. The position of their volume therefore affects the righting arms. The volume of each surface equals that of its
body apart from rounding, so the hull and the appendages together displace the volume that the weight list allows for.
"""

from __future__ import annotations

import math
from functools import cache

import numpy as np

from bulbcast.bulb.body.attitude import Attitude
from bulbcast.bulb.body.facets import body_mesh
from bulbcast.bulb.body.turned import TurnedBody
from bulbcast.fin.foil import Foil, foil_between, foil_solid
from bulbcast.fin.shape import numbers_of
from bulbcast.fin.tip_section import FinTip, half_thickness
from bulbcast.hull.mesh import HullMesh
from bulbcast.hull.topology import Indices
from bulbcast.solids.mesh import Mesh, mesh_volume_and_centroid

_ALONG, _DOWN = 20, 6
_STEPS, _CLOSE = 40, 1e-12
# Error of the bulb's facets before the volume is corrected, as a fraction of the diameter.
_CHORD_ERROR_IN_DIAMETERS = 1.0 / 100.0


def foil_mesh(foil: Foil) -> Mesh:
    """Make a closed surface of a foil from horizontal sections, with the trailing edge and the ends closed straight
    across.

    Args:
        foil: Fin or rudder, or part of one.

    Returns:
        Facets in boat axes, counter-clockwise seen from outside, adjusted to the exact volume of the foil about the
        same centre. [m]
    """
    # Points are closest at the nose, where the section curves most.
    chord = 0.5 * (1.0 - np.cos(np.linspace(0.0, math.pi, _ALONG + 1)))
    half, _ = half_thickness(FinTip(chord=1.0, thickness=1.0, shape=foil.shape), chord)
    half[0] = 0.0
    share = np.linspace(0.0, 1.0, _DOWN + 1)[:, None]
    x = foil.leading_edge_at(0.0) + share * (foil.leading_edge_at(1.0) - foil.leading_edge_at(0.0))
    x = x + (foil.root_chord + share * (foil.tip_chord - foil.root_chord)) * chord
    y = (foil.root_thickness + share * (foil.tip_thickness - foil.root_thickness)) * half
    z = np.broadcast_to(foil.root_z - share * foil.span, x.shape)
    starboard = np.stack([x, y, z], axis=-1)
    port = starboard[:, 1:] * (1.0, -1.0, 1.0)
    vertices = np.concatenate([starboard, port], axis=1).reshape(-1, 3)
    triangles = _foil_triangles()
    held, centroid = mesh_volume_and_centroid(vertices, triangles)
    if held < 0.0:
        triangles, held = triangles[:, ::-1], -held
    meant = foil_solid(foil)
    # Changing the thickness everywhere by the same factor leaves the height and the fore-and-aft position of the centre
    # unchanged.
    vertices = vertices * (1.0, meant.volume / held, 1.0)
    shift = np.array([meant.centre_x - float(centroid[0]), 0.0, meant.centre_z - float(centroid[2])])
    return Mesh(vertices=vertices + shift, triangles=triangles)


@cache
def _foil_triangles() -> Indices:
    """Facets of a foil, the same for all foils. In each section the corners run aft along the starboard side, then aft
    along the port side."""
    each = 2 * _ALONG + 1
    rows = each * np.arange(_DOWN + 1)[:, None]
    s = rows + np.arange(_ALONG + 1)
    p = rows + np.concatenate([[0], np.arange(_ALONG + 1, each)])

    def quads(a: Indices, b: Indices, c: Indices, d: Indices) -> Indices:
        return np.concatenate([np.stack(three, axis=-1).reshape(-1, 3) for three in ((a, b, c), (a, c, d))])

    side = (s[:-1, :-1], s[:-1, 1:], s[1:, 1:], s[1:, :-1])
    image = (p[:-1, :-1], p[:-1, 1:], p[1:, 1:], p[1:, :-1])
    # The port side mirrors the starboard side, including the diagonals, to keep the foil symmetrical.
    facets = [
        quads(*side),
        quads(*image)[:, ::-1],
        quads(p[:-1, -1], p[1:, -1], s[1:, -1], s[:-1, -1]),
    ]
    for row, turn in ((0, 1), (-1, -1)):
        nose = np.stack([s[row, :1], p[row, 1:2], s[row, 1:2]], axis=1)
        rest = quads(s[row, 1:-1], p[row, 1:-1], p[row, 2:], s[row, 2:])
        facets += [nose[:, ::turn], rest[:, ::turn]]
    triangles = np.concatenate(facets)
    triangles.setflags(write=False)
    return triangles


def foil_above(foil: Foil, hidden: float) -> Foil:
    """Cut a given volume off a foil's tip, such as the part of the fin inside the bulb.

    Args:
        foil: The complete fin.
        hidden: Volume of the fin's end inside the bulb, from 0 to less than the fin's volume. [m3]

    Returns:
        The exposed part, with a horizontal lower end.
    """
    if hidden <= 0.0:
        return foil

    filled = numbers_of(foil.shape).area

    def section(share: float) -> float:
        return filled * foil.chord_at(share) * foil.thickness_at(share)

    share = 1.0
    for _ in range(_STEPS):
        # Simpson's rule is exact for a straight taper. The correction is a slice, with the section's area times its height.
        ends = section(share) + section(1.0)
        below = (1.0 - share) * foil.span * (ends + 4.0 * section(0.5 * (share + 1.0))) / 6.0
        step = (below - hidden) / (foil.span * section(share))
        share = min(max(share + step, _CLOSE), 1.0)
        if abs(step) < _CLOSE:
            break
    bottom = max(foil.root_z - share * foil.span, foil.tip_z)
    return foil_between(foil, top_z=foil.root_z, bottom_z=bottom)


def bulb_mesh(
    body: TurnedBody,
    *,
    skin: float,
    volume: float,
    centroid_x: float,
    attitude: Attitude,
) -> Mesh:
    """Make a closed surface of the bulb with its skin, without the cuts. The part of the fin inside it is subtracted from
    the fin.

    Args:
        body: The lead body.
        skin: Thickness of the skin over the lead. [m]
        volume: Volume of the lead and the skin together. [m3]
        centroid_x: Position x of the centroid of that volume, from the nose. [m]
        attitude: Position and angle of the bulb axes in the boat axes.

    Returns:
        Facets in boat axes, counter-clockwise seen from outside, with that volume and centroid.
    """
    mesh = body_mesh(
        body,
        distance=skin,
        volume=volume,
        chord_error=_CHORD_ERROR_IN_DIAMETERS * min(body.width, body.height),
    )
    _, centroid = mesh_volume_and_centroid(mesh.vertices, mesh.triangles)
    along, across, up = mesh.vertices.T
    along = along + (centroid_x - float(centroid[0]))
    turn, lean = math.cos(attitude.incidence), math.sin(attitude.incidence)
    placed = np.stack(
        [
            attitude.nose_x + along * turn + up * lean,
            across,
            attitude.nose_z + up * turn - along * lean,
        ],
        axis=1,
    )
    return Mesh(vertices=placed, triangles=mesh.triangles)


def mirrored(hull: HullMesh) -> HullMesh:
    """Swap the port and starboard sides of a hull.

    Args:
        hull: The hull.
    """
    return HullMesh(
        vertices=hull.vertices * (1.0, -1.0, 1.0),
        triangles=hull.triangles[:, ::-1],
        design_length=hull.design_length,
        source=hull.source,
        remarks=hull.remarks,
    )
