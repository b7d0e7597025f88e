"""Single cuts in an ellipsoid, compared with scipy's adaptive integration over columns given in closed form.

A spheroid stretched to an elliptical section is a triaxial ellipsoid, so a quadratic gives the points at which a line
along the fin's axis meets it. scipy integrates depth and moments over the section of the cut. Nothing from the library
is used except the figures under test. shapely measures the pocket's outline.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from scipy.integrate import quad
from scipy.optimize import brentq

from bulbcast.bulb.body.pieces import Axis
from bulbcast.bulb.body.profiles import spheroid
from bulbcast.bulb.body.turned import turned_body
from bulbcast.bulb.cuts.parts import PocketCut, ScrewCut
from bulbcast.bulb.cuts.union import cuts_of
from bulbcast.fin.tip_section import FinTip, outline_area, outline_nodes

LENGTH, DIAMETER = 0.2, 0.05


def ellipsoid(k, tail_diameter=0.0):
    return turned_body(
        spheroid(), diameter=DIAMETER, tail_diameter=tail_diameter, length=LENGTH, width_to_height=k
    )


def ends_of_column(k, rake, floor, s, y):
    """Heights z at which the line x = s - tan(rake) (z - floor) at y enters and leaves the whole ellipsoid."""
    a, r, t = 0.5 * LENGTH, 0.5 * DIAMETER, math.tan(rake)
    # ((x - a) / a)^2 + y^2 / (k r^2) + k z^2 / r^2 = 1 with x - a = u - t z.
    u = s + t * floor - a
    qa = t * t / a**2 + k / r**2
    qb = -2.0 * u * t / a**2
    qc = u * u / a**2 + y * y / (k * r * r) - 1.0
    root = math.sqrt(qb * qb - 4.0 * qa * qc)
    return (-qb - root) / (2.0 * qa), (-qb + root) / (2.0 * qa)


def twice(inner, low, high, below, above):
    """Integral of inner(y, x) for x in low..high and y in below(x)..above(x)."""

    def line(x):
        return quad(lambda y: inner(y, x), below(x), above(x), epsabs=0.0, epsrel=1e-11)[0]

    return quad(line, low, high, epsabs=0.0, epsrel=1e-10, limit=200)[0]


@pytest.mark.parametrize(
    ("k", "rake_degrees"), [(1.0, 0.0), (1.8, 0.0), (0.5, 5.0), (2.4, -12.0)], ids=lambda v: f"{v:g}"
)
def test_a_screws_hole_and_recess_are_what_adaptive_integration_finds(k, rake_degrees):
    rake = math.radians(rake_degrees)
    body = ellipsoid(k)
    axis = Axis(rake=rake, floor=0.25 * body.height)
    screw = ScrewCut(
        at_x=0.37 * LENGTH,
        diameter=0.004,
        hole_diameter=0.0047,
        head_diameter=0.009,
        head_height=0.002,
        recess=0.35 * body.height,
        length=0.06,
        density=8000.0,
    )
    pocket = PocketCut(tip=FinTip(chord=0.06, thickness=0.009), clearance=0.0003, leading_edge_x=0.05)
    space = cuts_of(body, axis, pocket, (screw,)).screws[0]
    sine, cosine = math.sin(rake), math.cos(rake)
    bottom, _ = ends_of_column(k, rake, axis.floor, screw.at_x, 0.0)
    seat = (bottom - axis.floor) / cosine + screw.recess
    assert space.seat == pytest.approx(seat, rel=1e-12)

    def recess(radius, weight):
        """Integral over the disc square to the axis, in polar form; `weight` depends on the position along the axis."""

        def at(angle, distance):
            a, b = distance * math.cos(angle), distance * math.sin(angle)
            low, _ = ends_of_column(k, rake, axis.floor, screw.at_x + a / cosine, b)
            low = (low - axis.floor - a * sine) / cosine
            return distance * weight(a, low, seat)

        return 2.0 * twice(at, 0.0, radius, lambda _: 0.0, lambda _: math.pi)

    def depth(a, low, high):
        return high - low

    def first_x(a, low, high):
        return (high - low) * (screw.at_x + a * cosine - 0.5 * (high + low) * sine)

    def first_z(a, low, high):
        return (high - low) * (axis.floor + a * sine + 0.5 * (high + low) * cosine)

    radius = 0.5 * screw.head_diameter
    assert space.recess.volume == pytest.approx(recess(radius, depth), rel=1e-9)
    assert space.recess.moment_x == pytest.approx(recess(radius, first_x), rel=1e-9)
    assert space.recess.moment_z == pytest.approx(recess(radius, first_z), rel=1e-9)

    def bore(radius, weight):
        """Integral from the seat to the level floor, which is at -a tan(rake) along the axis."""

        def at(angle, distance):
            a = distance * math.cos(angle)
            return distance * weight(a, seat, -a * math.tan(rake))

        return 2.0 * twice(at, 0.0, radius, lambda _: 0.0, lambda _: math.pi)

    for piece, radius in ((space.hole, 0.5 * screw.hole_diameter), (space.hole - space.bedding, 0.002)):
        assert piece.volume == pytest.approx(bore(radius, depth), rel=1e-10)
        assert piece.moment_x == pytest.approx(bore(radius, first_x), rel=1e-10)
        assert piece.moment_z == pytest.approx(bore(radius, first_z), rel=1e-10)
    # What the recess holds below the head, flush with the lead.
    head = math.pi * (0.5 * screw.head_diameter) ** 2 * screw.head_height
    assert space.plug.volume == pytest.approx(space.recess.volume - head, rel=1e-12)


def section_half(x, chord, thickness):
    s = x / chord
    return thickness * (1.4845 * math.sqrt(s) - 0.63 * s - 1.758 * s**2 + 1.4215 * s**3 - 0.5075 * s**4)


def section_slope(x, chord, thickness):
    s = x / chord
    return (
        thickness / chord * (0.74225 / math.sqrt(s) - 0.63 - 3.516 * s + 4.2645 * s**2 - 2.03 * s**3)
        if s > 0.0
        else math.inf
    )


def grown_half(tip, gap):
    """Half width of the section grown by the gap, as a function of x, by root search; the corner is rounded."""

    def place(u):
        x = tip.chord * u * u
        slope = section_slope(x, tip.chord, tip.thickness)
        share = 1.0 if math.isinf(slope) else slope / math.hypot(1.0, slope)
        return x - gap * share

    def half(x):
        if x >= place(1.0):
            # On the arc round the trailing corner; straight across behind its end.
            return section_half(tip.chord, tip.chord, tip.thickness) + math.sqrt(
                max(gap**2 - (x - tip.chord) ** 2, 0.0)
            )
        u = brentq(lambda v: place(v) - x, 0.0, 1.0, xtol=1e-15, rtol=1e-14)
        slope = section_slope(tip.chord * u * u, tip.chord, tip.thickness)
        rise = 0.0 if math.isinf(slope) else gap / math.hypot(1.0, slope)
        return section_half(tip.chord * u * u, tip.chord, tip.thickness) + rise

    return half, place(0.0), place(1.0), tip.chord + gap


@pytest.mark.parametrize(
    ("k", "rake_degrees", "gap"),
    [(1.0, 0.0, 0.0), (1.6, 7.0, 0.0004), (0.6, -10.0, 0.001)],
    ids=lambda v: f"{v:g}",
)
def test_a_pocket_is_what_adaptive_integration_finds(k, rake_degrees, gap):
    rake = math.radians(rake_degrees)
    body = ellipsoid(k)
    axis = Axis(rake=rake, floor=0.3 * body.height)
    tip = FinTip(chord=0.07, thickness=0.008)
    pocket = PocketCut(tip=tip, clearance=gap, leading_edge_x=0.06)
    ours = cuts_of(body, axis, pocket, ()).pocket
    half, start, corner, end = grown_half(tip, gap)

    def pieces(weight):
        # In the root of the distance from the nose, and from the arc's end, where the width turns sharply.
        def at(y, u, origin, sign):
            x = origin + sign * u * u
            s = pocket.leading_edge_x + x
            _, high = ends_of_column(k, rake, axis.floor, s, y)
            return 2.0 * u * weight(s, axis.floor, high)

        total = 0.0
        ranges = [(start, 1.0, math.sqrt(corner - start))]
        if gap > 0.0:
            ranges.append((end, -1.0, math.sqrt(end - corner)))
        for origin, sign, reach in ranges:
            total += twice(
                lambda y, u, origin=origin, sign=sign: at(y, u, origin, sign),
                0.0,
                reach,
                lambda u: 0.0,
                lambda u, origin=origin, sign=sign: half(origin + sign * u * u),
            )
        return 2.0 * total

    t = math.tan(rake)
    assert ours.volume == pytest.approx(pieces(lambda s, low, high: high - low), rel=1e-8)
    assert ours.moment_x == pytest.approx(
        pieces(lambda s, low, high: (high - low) * (s - 0.5 * t * (high - low))), rel=1e-8
    )
    assert ours.moment_z == pytest.approx(pieces(lambda s, low, high: 0.5 * (high**2 - low**2)), rel=1e-8)


# --- the pocket's outline ------------------------------------------------------------------------


def fine_section(tip, count=40001):
    x = tip.chord * np.linspace(0.0, 1.0, count) ** 2
    s = x / tip.chord
    y = tip.thickness * (1.4845 * np.sqrt(s) - 0.63 * s - 1.758 * s**2 + 1.4215 * s**3 - 0.5075 * s**4)
    return shapely.Polygon(np.concatenate([np.stack([x, y], 1), np.stack([x, -y], 1)[::-1]]))


@pytest.mark.parametrize("gap", [0.0, 0.0001, 0.0003, 0.002])
@pytest.mark.parametrize("tip", [FinTip(chord=0.07, thickness=0.007), FinTip(chord=0.05, thickness=0.012)])
def test_the_pockets_outline_has_the_area_and_the_centroid_of_the_section_grown_by_a_geometry_library(
    tip, gap
):
    section = fine_section(tip)
    grown = section.buffer(gap, quad_segs=400) if gap > 0.0 else section
    assert outline_area(tip, gap) == pytest.approx(grown.area, rel=2e-7)
    nodes = outline_nodes(tip, gap)
    area = float(np.sum(nodes.weight))
    assert float(np.sum(nodes.weight * nodes.x[:, None])) / area == pytest.approx(grown.centroid.x, rel=2e-7)
    # Second moment about the chord line, by Green's theorem round the grown outline.
    x, y = (np.array(part) for part in grown.exterior.coords.xy)
    cross = x[:-1] * y[1:] - x[1:] * y[:-1]
    second = abs(float(np.sum(cross * (y[:-1] ** 2 + y[:-1] * y[1:] + y[1:] ** 2))) / 12.0)
    assert float(np.sum(nodes.weight * nodes.y**2)) == pytest.approx(second, rel=1e-6)


def test_the_fins_own_section_has_the_published_area():
    tip = FinTip(chord=0.07, thickness=0.007)
    assert outline_area(tip, 0.0) == pytest.approx(0.685083333333 * tip.chord * tip.thickness, rel=1e-11)
