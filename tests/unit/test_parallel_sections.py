"""Sections and outlines of an offset surface, compared with closed forms for a sphere and distances for an ellipsoid."""

from __future__ import annotations

import math

import numpy as np
import pytest

from bulbcast.bulb.body.parallel import half_breadths, reach, section_across, silhouette
from bulbcast.bulb.body.profiles import four_digit, spheroid
from bulbcast.bulb.body.turned import turned_body
from bulbcast.pattern.stations import Surface

RADIUS = 0.02
ROUND = np.linspace(0.0, 2.0 * math.pi, 181)[:-1]


def sphere():
    return turned_body(spheroid(), diameter=2.0 * RADIUS, tail_diameter=0.0, fineness=1.0)


def flattened():
    return turned_body(four_digit(), diameter=0.05, tail_diameter=0.006, fineness=5.0, width_to_height=1.4)


@pytest.mark.parametrize("distance", [0.0, 0.0007, -0.0004])
def test_the_parallel_surface_of_a_sphere_is_a_sphere(distance):
    x = np.linspace(*reach(sphere(), distance), 41)
    wide, tall = half_breadths(sphere(), distance, x)
    wanted = np.sqrt(np.maximum((RADIUS + distance) ** 2 - (x - RADIUS) ** 2, 0.0))
    # Where the section closes it rises with an infinite slope, and rounding in x is magnified there.
    assert wide == pytest.approx(wanted, abs=2e-9)
    assert tall == pytest.approx(wanted, abs=2e-9)


@pytest.mark.parametrize("from_above", [True, False])
def test_the_silhouette_of_a_sphere_is_a_circle(from_above):
    outline = silhouette(sphere(), 0.0005, from_above=from_above, chord_error=1e-6)
    assert np.hypot(outline[:, 0] - RADIUS, outline[:, 1]) == pytest.approx(RADIUS + 0.0005, abs=1e-9)
    assert outline[0] == pytest.approx([-0.0005, 0.0], abs=1e-12)
    assert outline[-1] == pytest.approx([2.0 * RADIUS + 0.0005, 0.0], abs=1e-9)


@pytest.mark.parametrize("distance", [0.0008, -0.0005])
def test_every_point_of_a_section_lies_at_the_distance_from_the_body(distance):
    body = flattened()
    x = np.array([0.02, 0.08, 0.16, 0.22])
    points = section_across(body, distance, x, ROUND[::6])
    places = np.linspace(0.0, body.length, 4001)
    radius, wide = body.radius(places), math.sqrt(body.width_to_height)
    angle = np.linspace(0.0, 2.0 * math.pi, 2881)
    for plane, outline in zip(x, points, strict=True):
        near = np.abs(places - plane) < 0.004
        surface = np.stack(
            np.broadcast_arrays(
                places[near][:, None],
                wide * radius[near][:, None] * np.cos(angle),
                radius[near][:, None] / wide * np.sin(angle),
            ),
            axis=-1,
        ).reshape(-1, 3)
        for y, z in outline:
            away = math.sqrt(float(np.min(np.sum((surface - [plane, y, z]) ** 2, axis=1))))
            # Nearest of the points of a grid of about 0.05 mm: never nearer than the surface, little further.
            assert abs(distance) - 1e-9 <= away <= abs(distance) + 3e-6


def test_a_section_of_a_flattened_parallel_surface_is_no_ellipse_and_its_axes_are_the_silhouettes():
    body, distance = flattened(), 0.003
    x = np.array([0.03])
    outline = section_across(body, distance, x, ROUND)[0]
    wide, tall = half_breadths(body, distance, x)
    assert np.max(np.abs(outline[:, 0])) == pytest.approx(wide[0], rel=1e-12)
    ellipse = np.hypot(outline[:, 0] / wide[0], outline[:, 1] / tall[0])
    assert np.max(np.abs(ellipse - 1.0)) > 1e-3
    for half, from_above in ((wide[0], True), (tall[0], False)):
        side = silhouette(body, distance, from_above=from_above, chord_error=1e-7)
        assert np.interp(x[0], side[:, 0], side[:, 1]) == pytest.approx(half, abs=2e-7)


def test_without_a_distance_the_section_is_the_bodys_own_ellipse():
    body = flattened()
    outline = section_across(body, 0.0, np.array([0.1]), ROUND)[0]
    radius = float(body.radius(np.array([0.1]))[0])
    assert np.prod(np.max(np.abs(outline), axis=0)) == pytest.approx(radius**2, rel=1e-12)


def test_a_plane_outside_the_surface_is_refused():
    with pytest.raises(ValueError, match=r"^planes must be between -0\.001 and 0\.04"):
        section_across(sphere(), 0.001, np.array([0.05]), ROUND)


def test_the_silhouette_with_a_tail_ends_in_a_rounded_rim_or_a_square_cut():
    body = flattened()
    outwards = silhouette(body, 0.001, from_above=True, chord_error=1e-6)
    assert outwards[-1] == pytest.approx([body.length + 0.001, 0.0], abs=1e-12)
    half = body.tail_radius * math.sqrt(body.width_to_height)
    assert outwards[-2] == pytest.approx([body.length + 0.001, half], abs=1e-9)
    rim = outwards[(outwards[:, 0] > body.length + 1e-5) & (outwards[:, 1] > half)]
    assert np.hypot(rim[:, 0] - body.length, rim[:, 1] - half) == pytest.approx(0.001, abs=1e-9)
    inwards = silhouette(body, -0.001, from_above=True, chord_error=1e-6)
    assert inwards[-1] == pytest.approx([body.length - 0.001, 0.0], abs=1e-12)
    assert inwards[-2, 0] == pytest.approx(body.length - 0.001, abs=1e-9)


def test_outlines_keep_their_chord_error_and_hold_the_area():
    surface = Surface(name="pattern", body=flattened(), distance=0.0006, scale=1.01)
    outline = surface.section(0.1, chord_error=2e-6)
    fine = surface.section(0.1, chord_error=2e-9)
    area = [
        0.5 * float(np.sum(p[:, 0] * np.roll(p[:, 1], -1) - np.roll(p[:, 0], -1) * p[:, 1]))
        for p in (outline, fine)
    ]
    assert area[0] == pytest.approx(area[1], rel=6e-5)
    assert area[0] > 0.0
