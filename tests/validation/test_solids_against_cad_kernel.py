"""A finished bulb and a cast body built from scratch by a CAD kernel, compared with the quadrature.

gmsh includes the OpenCASCADE kernel. The bulb is a turned spline through 101 points, the pocket an extruded outline,
and the holes are cylinders. The outline and the points are calculated here from the published section. The kernel's
volumes are accurate to about 2e-6 if its splines are short. Integrals over one long spline have errors of 3e-5 and
more, so every spline here is in four or five pieces, and an elliptical body is made of quarters. A bulb of 2.45 kg is
therefore checked to 0.02 g.
"""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

import gmsh
import numpy as np
import pytest

from bulbcast.bulb.body.profiles import four_digit, modified_four_digit
from bulbcast.bulb.cuts.fittings import PinCut, StudCut
from bulbcast.bulb.cuts.parts import ScrewCut
from bulbcast.bulb.hung.solve import size_and_place
from bulbcast.bulb.hung.wish import BulbWish, FinWish
from bulbcast.fin.tip_section import FinTip
from bulbcast.pattern.cast_body import CoredCuts, cast_body_of, grown_less_cavities

MM = 1000.0
POINTS = 101
GRAM = 0.02e-3


@pytest.fixture
def occ():
    gmsh.initialize(readConfigFiles=False, interruptible=False)
    gmsh.option.setNumber("General.Terminal", 0)
    gmsh.model.add("bulb")
    yield gmsh.model.occ
    gmsh.finalize()


def wish_for(*, width_to_height=1.0, rake=0.0, profile=None, clearance=0.0003):
    screw = {"diameter": 0.004, "hole_diameter": 0.0045, "head_diameter": 0.007, "head_height": 0.004}
    return BulbWish(
        target_mass=2.45,
        profile=profile or four_digit(),
        given="fineness",
        value=6.0,
        width_to_height=width_to_height,
        tail_diameter=0.004,
        skin=0.0002,
        filler_density=1200.0,
        lead_density=11330.0,
        porosity=0.005,
        fin=FinWish(
            tip=FinTip(chord=0.072, thickness=0.008),
            leading_edge_x=0.395,
            tip_z=-0.33,
            pocket_depth=0.007,
            clearance=clearance,
            rake=rake,
        ),
        screws=tuple(
            ScrewCut(at_x=at, recess=0.009, length=0.04, density=8000.0, **screw) for at in (0.016, 0.038)
        ),
        mass_centre_x=0.395 + 0.4 * 0.072,
    )


def spaced(length, count=POINTS):
    return 0.5 * length * (1.0 - np.cos(math.pi * np.arange(count) / (count - 1)))


def splines(occ, points, pieces=5):
    marks = [round(i * (len(points) - 1) / pieces) for i in range(pieces + 1)]
    return [occ.addSpline(points[low : high + 1]) for low, high in pairwise(marks)]


def meridian(body):
    """Points of the uncut profile as far as the tail cut, in mm."""
    x = spaced(body.length)
    return x * MM, 0.5 * body.diameter * body.profile.radius(x / body.uncut_length) * MM


def turned(occ, face, quarters):
    """Solid made by revolving a face through a full turn, or only the two quarters on the starboard side, one below
    and one above the axis."""
    if not quarters:
        return [part for part in occ.revolve([(2, face)], 0, 0, 0, 1, 0, 0, 2.0 * math.pi) if part[0] == 3]
    solids = []
    for start in (-0.5 * math.pi, 0.0):
        copy = occ.copy([(2, face)])
        occ.rotate(copy, 0, 0, 0, 1, 0, 0, start)
        solids += [part for part in occ.revolve(copy, 0, 0, 0, 1, 0, 0, 0.5 * math.pi) if part[0] == 3]
    return solids


def body_solids(occ, body, *, quarters=False):
    x, r = meridian(body)
    # Turned about x from the y axis on, so that two quarters lie to starboard.
    points = [occ.addPoint(a, b, 0.0) for a, b in zip(x, r, strict=True)]
    end = occ.addPoint(x[-1], 0.0, 0.0)
    loop = [*splines(occ, points), occ.addLine(points[-1], end), occ.addLine(end, points[0])]
    solids = turned(occ, occ.addPlaneSurface([occ.addCurveLoop(loop)]), quarters)
    if body.width_to_height != 1.0:
        a = math.sqrt(body.width_to_height)
        occ.dilate(solids, 0, 0, 0, 1.0, a, 1.0 / a)
    return solids


def grown_solids(occ, body, distance):
    """Solid within the parallel surface: the kernel offsets the whole outline in its plane, halves it and revolves one
    half."""
    x, r = meridian(body)
    nose = occ.addPoint(0.0, 0.0, 0.0)
    upper = [nose] + [occ.addPoint(a, b, 0.0) for a, b in zip(x[1:], r[1:], strict=True)]
    lower = [nose] + [occ.addPoint(a, -b, 0.0) for a, b in zip(x[1:], r[1:], strict=True)]
    above, below = splines(occ, upper), splines(occ, lower)
    loop = occ.addCurveLoop([*above, occ.addLine(upper[-1], lower[-1]), *below[::-1]])
    curves = [abs(tag) for dimension, tag in occ.offsetCurve(loop, distance * MM) if dimension == 1]
    face = occ.addPlaneSurface([occ.addCurveLoop(curves)])
    half, _ = occ.intersect([(2, face)], [(2, occ.addRectangle(-50.0, 0.0, 0.0, 1000.0, 200.0))])
    return turned(occ, half[0][1], quarters=False)


def pocket_solid(occ, bulb, height):
    """Oblique prism of the section grown by the clearance, with normals from the published formula."""
    tip, gap, floor = bulb.pocket.tip, bulb.pocket.clearance, bulb.axis.floor
    x = spaced(tip.chord, 61)[1:]
    s = x / tip.chord
    y = tip.thickness * (1.4845 * np.sqrt(s) - 0.63 * s - 1.758 * s**2 + 1.4215 * s**3 - 0.5075 * s**4)
    slope = (
        tip.thickness / tip.chord * (0.74225 / np.sqrt(s) - 0.63 - 3.516 * s + 4.2645 * s**2 - 2.03 * s**3)
    )
    size = np.sqrt(1.0 + slope**2)

    def point(along, across):
        return occ.addPoint((bulb.pocket.leading_edge_x + along) * MM, across * MM, floor * MM)

    nose = point(-gap, 0.0)
    grown = list(zip(x - gap * slope / size, y + gap / size, strict=True))
    starboard = [nose] + [point(along, across) for along, across in grown]
    port = [nose] + [point(along, -across) for along, across in grown]
    aft = [point(tip.chord + gap, sign * y[-1]) for sign in (1.0, -1.0)]
    loop = [
        *splines(occ, port)[::-1],
        *splines(occ, starboard),
        occ.addCircleArc(starboard[-1], point(tip.chord, y[-1]), aft[0]),
        occ.addLine(aft[0], aft[1]),
        occ.addCircleArc(aft[1], point(tip.chord, -y[-1]), port[-1]),
    ]
    face = occ.addPlaneSurface([occ.addCurveLoop(loop)])
    moved = occ.extrude([(2, face)], -math.tan(bulb.axis.rake) * height * MM, 0.0, height * MM)
    return [part for part in moved if part[0] == 3]


def screw_solids(occ, bulb, body):
    """Hole and recess of every screw; the seat's distance from the underside is found by bisection in the test."""
    sine, cosine = math.sin(bulb.axis.rake), math.cos(bulb.axis.rake)
    solids = []
    for screw in bulb.screw_cuts:

        def at(along, screw=screw):
            return np.array([screw.at_x - along * sine, 0.0, bulb.axis.floor + along * cosine])

        def inside(along, at=at):
            x, _, z = at(along)
            r = 0.5 * body.diameter * float(body.profile.radius(np.array([x / body.uncut_length]))[0])
            return z * z * body.width_to_height < r * r

        low, high = -2.0 * body.height, 0.0
        for _ in range(60):
            middle = 0.5 * (low + high)
            low, high = (low, middle) if inside(middle) else (middle, high)
        seat = high + screw.recess
        for start, length, diameter in (
            (seat - body.height, body.height, screw.head_diameter),
            (seat - 0.001, 0.0015 - seat, screw.hole_diameter),  # half a millimetre up into the pocket
        ):
            direction = np.array([-sine, 0.0, cosine]) * length * MM
            solids.append((3, occ.addCylinder(*(at(start) * MM), *direction, 0.5 * diameter * MM)))
    return solids


def measured(occ, solids, *, halves):
    """Volume [m3] and mass centre [m] of all solids; the other side is added if only one was made."""
    masses = np.array([occ.getMass(*solid) for solid in solids])
    centres = np.array([occ.getCenterOfMass(*solid) for solid in solids])
    centre = masses @ centres / masses.sum() / MM
    if halves:
        centre[1] = 0.0
    return (2.0 if halves else 1.0) * masses.sum() / MM**3, centre


CASES = {
    "round, upright fin": ({}, False),
    "elliptical, raked fin": ({"width_to_height": 1.3, "rake": math.radians(6.0)}, True),
    "round, raked forward, modified form": (
        {
            "rake": math.radians(-9.0),
            "profile": modified_four_digit(max_at=0.4, nose_index=5),
            "clearance": 0.0008,
        },
        False,
    ),
}


@pytest.mark.parametrize("name", CASES)
def test_a_finished_bulb_built_by_the_cad_kernel_has_the_net_lead_of_the_quadrature(occ, name):
    keys, quarters = CASES[name]
    bulb = size_and_place(wish_for(**keys))
    solids = body_solids(occ, bulb.body, quarters=quarters)
    cutters = pocket_solid(occ, bulb, bulb.body.height) + screw_solids(occ, bulb, bulb.body)
    left, _ = occ.cut(solids, cutters)
    volume, centre = measured(occ, left, halves=quarters)
    net = bulb.net_lead
    density = 11330.0 * 0.995
    assert density * volume == pytest.approx(density * net.volume, abs=GRAM)
    ours = np.array([net.moment_x, 0.0, net.moment_z]) / net.volume
    assert centre == pytest.approx(ours, abs=1e-6)
    # The cuts are far larger than that: 50 g and more of lead.
    assert density * (bulb.volume.volume - net.volume) > 1000.0 * GRAM


@pytest.mark.parametrize("rake", [0.0, 7.0])
def test_cross_pins_and_a_stud_cut_by_the_cad_kernel_take_the_lead_of_the_quadrature(occ, rake):
    wish = replace(
        wish_for(rake=math.radians(rake)),
        pins=(
            PinCut(
                at_x=0.016, height=0.0045, diameter=0.003, hole_diameter=0.0034, length=0.03, density=8000.0
            ),
            PinCut(at_x=0.05, height=0.004, diameter=0.003, hole_diameter=0.003, length=0.05, density=8000.0),
        ),
        studs=(
            StudCut(
                at_x=0.028,
                diameter=0.005,
                bore=0.0,
                below=0.012,
                above=0.02,
                density=8000.0,
                fill_density=0.0,
            ),
        ),
    )
    bulb = size_and_place(wish)
    sine, cosine = math.sin(bulb.axis.rake), math.cos(bulb.axis.rake)
    cutters = pocket_solid(occ, bulb, bulb.body.height) + screw_solids(occ, bulb, bulb.body)
    for pin in wish.pins:
        x = bulb.pocket.leading_edge_x + pin.at_x - pin.height * math.tan(bulb.axis.rake)
        z = bulb.axis.floor + pin.height
        cutters.append(
            (3, occ.addCylinder(x * MM, -60.0, z * MM, 0.0, 120.0, 0.0, 0.5 * pin.hole_diameter * MM))
        )
    (stud,) = wish.studs
    foot = np.array([bulb.pocket.leading_edge_x + stud.at_x, 0.0, bulb.axis.floor])
    foot = foot - stud.below * np.array([-sine, 0.0, cosine])
    along = np.array([-sine, 0.0, cosine]) * (stud.below + 0.0015)
    cutters.append((3, occ.addCylinder(*(foot * MM), *(along * MM), 0.5 * stud.diameter * MM)))
    left, _ = occ.cut(body_solids(occ, bulb.body), cutters)
    volume, centre = measured(occ, left, halves=False)
    net = bulb.net_lead
    density = 11330.0 * 0.995
    assert density * volume == pytest.approx(density * net.volume, abs=GRAM)
    assert centre == pytest.approx(np.array([net.moment_x, 0.0, net.moment_z]) / net.volume, abs=1e-6)


@pytest.mark.parametrize("finish", [0.0003, 0.002])
def test_a_cast_body_with_a_cored_pocket_grown_by_the_cad_kernel_weighs_what_ours_does(occ, finish):
    bulb = size_and_place(wish_for(rake=math.radians(4.0)))
    ours = cast_body_of(
        bulb, cored=CoredCuts(pocket=True, screws=(True, False)), finish=finish, density=11273.0
    )
    solids = grown_solids(occ, bulb.body, finish)
    first = screw_solids(occ, bulb, bulb.body)[:2]
    left, _ = occ.cut(solids, pocket_solid(occ, bulb, bulb.body.height) + first)
    volume, centre = measured(occ, left, halves=False)
    assert 11273.0 * volume == pytest.approx(ours.mass, abs=GRAM)
    assert centre == pytest.approx([ours.mass_centre_x, 0.0, ours.mass_centre_z], abs=1e-6)


def test_a_pattern_thinner_than_the_bulb_is_the_outline_shrunk_by_the_cad_kernel(occ):
    bulb = size_and_place(wish_for())
    ours = grown_less_cavities(bulb, CoredCuts(pocket=True, screws=(False, False)), -0.0004)
    solids = grown_solids(occ, bulb.body, -0.0004)
    left, _ = occ.cut(solids, pocket_solid(occ, bulb, bulb.body.height))
    volume, centre = measured(occ, left, halves=False)
    assert 11273.0 * volume == pytest.approx(11273.0 * ours.volume, abs=GRAM)
    assert centre[0] == pytest.approx(ours.moment_x / ours.volume, abs=1e-6)
