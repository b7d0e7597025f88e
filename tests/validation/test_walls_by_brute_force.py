"""Walls round the cuts compared with a brute-force search over a dense grid of points on the surface.

A wall is the shortest distance from a cut to the lead surface, leaving out any surface that faces within 45 degrees of
the direction in which the cut opens. The grids are independent of the library's search; nearest neighbours come from
scipy.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.spatial import cKDTree

from bulbcast.bulb.body.pieces import Axis
from bulbcast.bulb.body.profiles import four_digit, modified_four_digit, spheroid
from bulbcast.bulb.body.turned import turned_body
from bulbcast.bulb.cuts.parts import PocketCut
from bulbcast.bulb.cuts.walls import Bore, bore_walls, pocket_wall
from bulbcast.fin.tip_section import FinTip, outline

COS_45 = math.cos(math.radians(45.0))
DIAMETER = 0.04
PROFILES = {
    "naca4": four_digit(),
    "naca4mod": modified_four_digit(max_at=0.4, nose_index=5.0),
    "spheroid": spheroid(),
}


def net(body, rake, *, x_from, x_to, along=700, around=500):
    """Points on the starboard surface between two stations, and the upward component of each normal along the fin."""
    x = np.linspace(max(x_from, 1e-4 * body.length), min(x_to, body.length), along)[:, None]
    t = np.linspace(-0.5 * math.pi, 0.5 * math.pi, around)
    r2, slope = body.squared_radius(x)
    r, a = np.sqrt(r2), math.sqrt(body.width_to_height)
    points = np.stack([x + 0.0 * t, a * r * np.cos(t), r * np.sin(t) / a], axis=-1)
    normal = np.stack([-0.5 * slope + 0.0 * t, r * np.cos(t) / a, r * np.sin(t) * a], axis=-1)
    normal /= np.linalg.norm(normal, axis=-1, keepdims=True)
    up = -normal[..., 0] * math.sin(rake) + normal[..., 2] * math.cos(rake)
    return points.reshape(-1, 3), up.ravel()


# profile, fineness, k, rake [deg], floor over the height, place over the length, radius [mm], how deep the
# recess goes of the way to the floor
BORES = [
    ("naca4", 6.0, 1.0, 0.0, 0.30, 0.32, 2.3, 0.45),
    ("naca4", 6.0, 1.0, 20.0, 0.30, 0.42, 1.9, 0.30),
    ("spheroid", 5.0, 0.97, 20.0, 0.20, 0.45, 3.1, 0.40),
    ("naca4mod", 7.0, 1.64, -3.0, 0.10, 0.30, 2.2, 0.50),
    ("naca4", 5.0, 0.6, 0.0, 0.35, 0.50, 3.5, 0.35),
    ("spheroid", 4.0, 2.5, 20.0, 0.15, 0.35, 3.6, 0.45),
    ("naca4mod", 6.0, 1.9, 5.0, 0.20, 0.55, 1.2, 0.25),
    ("naca4", 8.0, 1.2, -10.0, 0.25, 0.20, 2.0, 0.40),
]


@pytest.mark.parametrize("case", BORES, ids=lambda case: "-".join(str(part) for part in case))
def test_the_walls_of_a_hole_and_of_its_recess_are_the_shortest_distances(case):
    profile, fineness, k, degrees, level, place, radius, deep = case
    body = turned_body(
        PROFILES[profile], diameter=DIAMETER, tail_diameter=0.004, fineness=fineness, width_to_height=k
    )
    rake = math.radians(degrees)
    axis = Axis(rake=rake, floor=level * body.height)
    at_x, radius = place * body.length, radius * 1e-3
    # The seat so far up the screw's axis from the lowest point of the bulb's height.
    seat = (1.0 - deep) * (-0.5 * body.height - axis.floor) / math.cos(rake)
    hole = Bore(at_x=at_x, radius=radius, low=seat, high=0.0, opens_up=True)
    recess = Bore(at_x=at_x, radius=1.8 * radius, low=-math.inf, high=seat, opens_up=False)
    points, up = net(body, rake, x_from=at_x - 1.5 * DIAMETER, x_to=at_x + 1.5 * DIAMETER)
    sine, cosine = math.sin(rake), math.cos(rake)
    along = -(points[:, 0] - at_x) * sine + (points[:, 2] - axis.floor) * cosine
    off = np.hypot((points[:, 0] - at_x) * cosine + (points[:, 2] - axis.floor) * sine, points[:, 1])
    for bore, found in zip((hole, recess), bore_walls(body, axis, (hole, recess)), strict=True):
        past = np.maximum(np.maximum(bore.low - along, along - bore.high), 0.0)
        side = off - bore.radius
        distance = np.where(past > 0.0, np.hypot(np.maximum(side, 0.0), past), side)
        mouth = (-up > COS_45) | (bore.opens_up & (up > COS_45))
        # The net's own spacing: a tenth of a millimetre along and round, and its edge where the mouth begins.
        assert found.thickness == pytest.approx(float(np.min(distance[~mouth])), abs=1.2e-4)


# profile, fineness, k, rake [deg], pocket depth over the height, chord and place over the length, thickness
# over the chord: walls from 1.5 to 9 mm
POCKETS = [
    ("naca4", 6.0, 1.0, 0.0, 0.20, 0.35, 0.20, 0.12),
    ("naca4", 7.9, 0.95, 0.0, 0.15, 0.38, 0.22, 0.22),
    ("spheroid", 7.2, 0.88, 5.0, 0.12, 0.43, 0.14, 0.18),
    ("naca4mod", 6.9, 1.55, 5.0, 0.21, 0.43, 0.16, 0.24),
    ("naca4mod", 6.8, 0.99, 0.0, 0.25, 0.38, 0.13, 0.23),
    ("naca4", 7.6, 0.83, 0.0, 0.25, 0.30, 0.18, 0.21),
    ("spheroid", 6.0, 0.6, 0.0, 0.30, 0.30, 0.30, 0.10),
]


@pytest.mark.parametrize("case", POCKETS, ids=lambda case: "-".join(str(part) for part in case))
def test_the_wall_of_a_pocket_is_the_shortest_distance_where_it_is_deep_enough(case):
    profile, fineness, k, degrees, depth, chord, place, thick = case
    body = turned_body(
        PROFILES[profile], diameter=DIAMETER, tail_diameter=0.004, fineness=fineness, width_to_height=k
    )
    rake = math.radians(degrees)
    axis = Axis(rake=rake, floor=(0.5 - depth) * body.height)
    chord *= body.length
    pocket = PocketCut(
        tip=FinTip(chord=chord, thickness=thick * chord),
        clearance=0.0003,
        leading_edge_x=place * body.length,
    )
    wanted = 0.003
    found = pocket_wall(body, axis, pocket, wanted)
    assert found is not None
    points, up = net(
        body, rake, x_from=pocket.leading_edge_x - DIAMETER, x_to=pocket.leading_edge_x + chord + DIAMETER
    )
    surface = cKDTree(points[up <= COS_45])
    side = outline(pocket.tip, pocket.clearance, along=250, round_corner=10)
    side = side[side[:, 1] >= 0.0]
    t = math.tan(rake)
    level = axis.floor + np.linspace(0.0, 0.5 * body.height - axis.floor, 40)
    x = pocket.leading_edge_x + side[:, :1] - t * (level - axis.floor)
    y, z = side[:, 1:] + 0.0 * level, level + 0.0 * x
    # Inside the lead, and no nearer its upper surface, along the fin, than the wall wanted.
    higher = z + wanted
    r2, _ = body.squared_radius(x - t * wanted)
    deep = r2 - y * y / k - k * higher * higher > 0.0
    nearest, _ = surface.query(np.stack([x[deep], y[deep], z[deep]], axis=1))
    # A tenth of a millimetre for the nets and as much for the search: a file's stroke.
    assert found.thickness == pytest.approx(float(np.min(nearest)), abs=2e-4)
