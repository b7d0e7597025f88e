"""Surfaces that intersect themselves, and different axis conventions in modelling programs."""

from __future__ import annotations

import numpy as np
import pytest

from bulbcast.hull.crossing import crossing_of
from bulbcast.hull.placement import rotation_from_axes
from bulbcast.hull.topology import equal_points


def ball(centre, radius=1.0, rings=40, hoop=80):
    """A faceted ball, as a body of revolution about the x axis."""
    at = np.linspace(0.0, np.pi, rings + 1)
    turn = 2 * np.pi * np.arange(hoop) / hoop
    points = np.stack(
        [
            np.broadcast_to(-np.cos(at)[:, None], (rings + 1, hoop)),
            np.sin(at)[:, None] * np.sin(turn),
            np.sin(at)[:, None] * np.cos(turn),
        ],
        axis=-1,
    )
    points[0, :, 1:] = points[-1, :, 1:] = 0.0
    points = points * radius + centre
    a, b = points[:-1], points[1:]
    c, d = np.roll(b, -1, axis=1), np.roll(a, -1, axis=1)
    facets = np.concatenate([np.stack(three, axis=2).reshape(-1, 3, 3) for three in ((a, b, c), (a, c, d))])
    flat = np.linalg.norm(np.cross(facets[:, 1] - facets[:, 0], facets[:, 2] - facets[:, 0]), axis=1)
    return facets[flat > 1e-12]


def test_the_volume_counted_twice_by_two_balls_is_their_lens():
    gap = np.array([0.5, 0.013, 0.007])
    facets = np.concatenate([ball(np.zeros(3)), ball(gap)])
    points, index = equal_points(facets.reshape(-1, 3))
    found = crossing_of(points, index.reshape(-1, 3))
    d = float(np.linalg.norm(gap))
    assert found.doubt == pytest.approx(np.pi * (4 + d) * (2 - d) ** 2 / 12, rel=0.01)
    # The circle in which they meet stands midway between the centres. Facets stand in from a ball by the two sagittas
    # at most, which moves the circle by 1/d of that.
    inset = (1 - np.cos(np.pi / 80)) + (np.pi / 40) ** 2 / 8
    assert np.abs((found.points - 0.5 * gap) @ gap / d).max() < inset / d


def test_a_ball_alone_and_two_apart_do_not_cross():
    for centres in ((0.0,), (0.0, 2.5)):
        facets = np.concatenate([ball(np.array([x, 0.0, 0.0])) for x in centres])
        points, index = equal_points(facets.reshape(-1, 3))
        assert crossing_of(points, index.reshape(-1, 3)) is None


def test_every_pair_of_axes_gives_a_right_handed_turn():
    names = ("x", "-x", "y", "-y", "z", "-z", "+x", "+y", "+z")
    for aft in names:
        for up in names:
            if aft.strip("+-") != up.strip("+-"):
                turn = np.array(rotation_from_axes(aft, up))
                assert np.allclose(turn @ turn.T, np.eye(3))
                assert np.linalg.det(turn) == pytest.approx(1.0)
