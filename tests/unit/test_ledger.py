"""Every line of the hung-mass ledger compared with a closed form, for a ball with a screw through its centre.

A ball is a spheroid of fineness 1. A screw through the centre meets the same ball at any angle, so a raked hole has the
same volumes as an upright one.
"""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from bulbcast.bulb.body.integrals import body_volume
from bulbcast.bulb.body.profiles import spheroid
from bulbcast.bulb.body.turned import turned_body
from bulbcast.bulb.cuts.parts import ScrewCut
from bulbcast.bulb.cuts.union import fin_nodes
from bulbcast.bulb.hung.ledger import hang
from bulbcast.bulb.hung.wish import BulbWish, FinWish, tail_diameter_for
from bulbcast.fin.tip_section import FinTip, outline_area

R = 0.030
LEAD, POROSITY, FILLER, STEEL = 11340.0, 0.01, 1200.0, 8000.0
CAST = LEAD * 0.99
SKIN = 0.0004
FLOOR = 0.018  # above the centre: a pocket 12 mm deep
SHANK, BORE, HEAD = 0.002, 0.0023, 0.004  # radii
HEAD_HEIGHT, RECESS, LENGTH = 0.0025, 0.010, 0.050
TIP = FinTip(chord=0.024, thickness=0.006)
CLEARANCE = 0.0005

BALL = turned_body(spheroid(), diameter=2.0 * R, tail_diameter=0.0, fineness=1.0)


def wish_for(rake=0.0, **changes):
    # The screw's axis crosses the floor so far ahead of the centre that it runs through it.
    at = 0.010
    leading_edge = R - FLOOR * math.tan(rake) - at
    screw = ScrewCut(
        at_x=at,
        diameter=2.0 * SHANK,
        hole_diameter=2.0 * BORE,
        head_diameter=2.0 * HEAD,
        head_height=HEAD_HEIGHT,
        recess=RECESS,
        length=LENGTH,
        density=STEEL,
    )
    fin = FinWish(
        tip=TIP,
        leading_edge_x=leading_edge,
        tip_z=-0.200,
        pocket_depth=R - FLOOR,
        clearance=CLEARANCE,
        rake=rake,
    )
    wish = BulbWish(
        target_mass=1.0,
        profile=spheroid(),
        given="fineness",
        value=1.0,
        width_to_height=1.0,
        tail_diameter=0.0,
        skin=SKIN,
        filler_density=FILLER,
        lead_density=LEAD,
        porosity=POROSITY,
        fin=fin,
        screws=(screw,),
        mass_centre_x=0.0,
    )
    return replace(wish, **changes)


def hung(rake=0.0, **changes):
    wish = wish_for(rake, **changes)
    return hang(BALL, 0.0, wish, fin_nodes(wish.fin.tip, wish.fin.clearance))


def line(bulb, name):
    (found,) = [one for one in bulb.lines if one.name == name]
    return found


def along_axis(rake, moment, volume):
    """First moments in bulb axes of a piece around the screw's axis, from its moment along that axis.

    `moment` is about the ball's centre, which is at x = R on the axis of the bulb.
    """
    return volume * R - moment * math.sin(rake), moment * math.cos(rake)


def recess_by_hand(radius, top):
    """Volume and axial moment of a cylinder from the height `top` down through the ball's surface.

    Columns from -sqrt(R^2 - rho^2) to top are integrated over the disc.
    """
    volume = math.pi * radius**2 * top + 2.0 / 3.0 * math.pi * (R**3 - (R**2 - radius**2) ** 1.5)
    moment = 0.5 * math.pi * (radius**2 * top**2 - (R**2 * radius**2 - 0.5 * radius**4))
    return volume, moment


SEAT = -R + RECESS  # along the axis from the ball's centre

RAKES = [0.0, math.radians(10.0), math.radians(-25.0)]
raked = pytest.mark.parametrize("rake", RAKES, ids=lambda rake: f"{math.degrees(rake):g} deg")


@raked
def test_the_recess_is_the_cylinder_from_the_seat_down_to_the_balls_surface(rake):
    bulb = hung(rake)
    volume, moment = recess_by_hand(HEAD, SEAT)
    found = line(bulb, "recess of screw 1")
    assert found.piece.volume == pytest.approx(-volume, rel=1e-10)
    first_x, first_z = along_axis(rake, moment, volume)
    assert found.piece.moment_x == pytest.approx(-first_x, rel=1e-10)
    assert found.piece.moment_z == pytest.approx(-first_z, rel=1e-10)
    assert found.mass == pytest.approx(-CAST * volume, rel=1e-10)


@raked
def test_the_hole_runs_from_the_seat_to_the_level_floor(rake):
    bulb = hung(rake)
    # The level floor cuts the cylinder aslant: at an offset a aft it stands (FLOOR - a sin) / cos along.
    middle = FLOOR / math.cos(rake)
    area, second = math.pi * BORE**2, 0.25 * math.pi * BORE**4
    volume = area * (middle - SEAT)
    tangent = math.tan(rake)
    # First moments about the axis's foot: along it, and square to it (aft).
    along = 0.5 * (area * (middle**2 - SEAT**2) + tangent**2 * second)
    aside = -tangent * second
    found = line(bulb, "hole of screw 1").piece
    assert found.volume == pytest.approx(-volume, rel=1e-12)
    assert found.moment_x == pytest.approx(
        -(volume * R - along * math.sin(rake) + aside * math.cos(rake)), rel=1e-12
    )
    assert found.moment_z == pytest.approx(-(along * math.cos(rake) + aside * math.sin(rake)), rel=1e-12)


@raked
def test_the_plug_is_the_recess_less_the_head_and_of_filler(rake):
    bulb = hung(rake)
    volume, moment = recess_by_hand(HEAD, SEAT - HEAD_HEIGHT)
    found = line(bulb, "plug of screw 1")
    assert (found.kind, found.density) == ("plug", FILLER)
    assert found.piece.volume == pytest.approx(volume, rel=1e-10)
    first_x, first_z = along_axis(rake, moment, volume)
    assert found.piece.moment_x == pytest.approx(first_x, rel=1e-10)
    assert found.piece.moment_z == pytest.approx(first_z, rel=1e-10)


@raked
def test_the_bedding_of_a_screw_is_the_gap_round_its_shank_up_to_the_floor(rake):
    bulb = hung(rake)
    found = line(bulb, "bedding of screw 1")
    assert (found.kind, found.density) == ("bedding", FILLER)
    gap = math.pi * (BORE**2 - SHANK**2) * (FLOOR / math.cos(rake) - SEAT)
    assert found.piece.volume == pytest.approx(gap, rel=1e-11)


@raked
def test_a_whole_screw_hangs_at_its_seat_head_below_and_shank_above(rake):
    bulb = hung(rake)
    head, shank = math.pi * HEAD**2 * HEAD_HEIGHT, math.pi * SHANK**2 * LENGTH
    along = head * (SEAT - 0.5 * HEAD_HEIGHT) + shank * (SEAT + 0.5 * LENGTH)
    found = line(bulb, "screw 1")
    assert found.mass == pytest.approx(STEEL * (head + shank), rel=1e-13)
    first_x, first_z = along_axis(rake, along, head + shank)
    assert found.piece.moment_x == pytest.approx(first_x, rel=1e-11)
    assert found.piece.moment_z == pytest.approx(first_z, rel=1e-11)


def section_sum(function):
    """Integral of function(x, y) over both sides of the fin's section at the floor, by the midpoint rule in sqrt(x)."""
    u = (np.arange(4000) + 0.5) / 4000.0
    s = u * u
    half = half_thickness(TIP.chord * s)
    v = (np.arange(40) + 0.5) / 40.0
    x = TIP.chord * s[:, None]
    y = half[:, None] * v
    weight = 2.0 * (2.0 * TIP.chord * u / 4000.0)[:, None] * half[:, None] / 40.0
    return float(np.sum(weight * function(x, y)))


@raked
def test_the_bedding_of_the_fin_is_the_pocket_less_the_fins_section_inside_the_ball(rake):
    bulb = hung(rake)
    leading_edge = R - FLOOR * math.tan(rake) - 0.010
    t = math.tan(rake)

    def column(x, y):
        """Height of the ball's surface above the floor along a raked line, from a quadratic equation."""
        u = leading_edge + x - R
        # (u - t h)^2 + y^2 + (FLOOR + h)^2 = R^2
        half_b = FLOOR - u * t
        return (-half_b + np.sqrt(half_b**2 - (1.0 + t * t) * (u * u + y * y + FLOOR**2 - R**2))) / (
            1.0 + t * t
        )

    fin = section_sum(column)
    assert bulb.cuts.fin_inside.volume == pytest.approx(fin, rel=1e-5)
    pocket = -line(bulb, "pocket").piece.volume
    found = line(bulb, "bedding of the fin")
    assert (found.kind, found.density) == ("bedding", FILLER)
    assert found.piece.volume == pytest.approx(pocket - fin, rel=1e-4)
    # Between the gap's area times the least and the greatest depth of the pocket round the fin.
    gap = gap_area()
    x = TIP.chord * np.linspace(0.0, 1.0, 400) ** 2
    depths = column(
        np.append(x, [-CLEARANCE, TIP.chord + CLEARANCE]), np.append(half_thickness(x), [0.0, 0.0])
    )
    assert gap * np.min(depths) < found.piece.volume < gap * np.max(depths)


def half_thickness(x):
    s = x / TIP.chord
    return TIP.thickness * (1.4845 * np.sqrt(s) - 0.63 * s - 1.758 * s**2 + 1.4215 * s**3 - 0.5075 * s**4)


def gap_area():
    """Area between the section and its offset outline: perimeter times clearance, plus a full circle for the corners."""
    x = TIP.chord * np.linspace(0.0, 1.0, 20001) ** 2
    y = half_thickness(x)
    perimeter = 2.0 * float(np.sum(np.hypot(np.diff(x), np.diff(y)))) + 2.0 * float(y[-1])
    return perimeter * CLEARANCE + math.pi * CLEARANCE**2


def test_the_pockets_outline_is_the_section_and_a_gap_of_the_clearance_all_round():
    section = 0.685083333333333 * TIP.chord * TIP.thickness
    assert outline_area(TIP, CLEARANCE) == pytest.approx(section + gap_area(), rel=1e-8)


@raked
def test_the_skin_is_a_shell_less_the_fins_own_section_through_it(rake):
    bulb = hung(rake)
    shell = 4.0 / 3.0 * math.pi * ((R + SKIN) ** 3 - R**3)
    found = line(bulb, "skin")
    assert (found.kind, found.density) == ("skin", FILLER)
    leading_edge = R - FLOOR * math.tan(rake) - 0.010
    t = math.tan(rake)

    def column(radius):
        def above(x, y):
            u = leading_edge + x - R
            half_b = FLOOR - u * t
            inner = half_b**2 - (1.0 + t * t) * (u * u + y * y + FLOOR**2 - radius**2)
            return (-half_b + np.sqrt(inner)) / (1.0 + t * t)

        return above

    through = section_sum(column(R + SKIN)) - section_sum(column(R))
    assert bulb.fin_through_skin.volume == pytest.approx(through, rel=1e-4)
    assert found.piece.volume == pytest.approx(shell - through, rel=1e-6)
    assert through > 0.003 * shell  # what the test would not see if it were left in


def test_the_water_displaced_is_that_of_ball_and_skin_outside_the_fin():
    bulb = hung()
    envelope = 4.0 / 3.0 * math.pi * (R + SKIN) ** 3
    inside = bulb.cuts.fin_inside.volume + bulb.fin_through_skin.volume
    assert bulb.displacement == pytest.approx(envelope - inside, rel=1e-12)


def test_lead_is_weighed_at_the_castings_density_voids_counted_in():
    bulb = hung()
    assert {one.density for one in bulb.lines if one.kind == "lead"} == {CAST}
    assert wish_for().cast_density == pytest.approx(LEAD * (1.0 - POROSITY), rel=1e-15)
    assert line(bulb, "lead body").mass == pytest.approx(CAST * 4.0 / 3.0 * math.pi * R**3, rel=1e-12)


def test_net_lead_and_all_that_was_cut_from_it_make_the_body_again():
    bulb = hung(math.radians(10.0))
    lead = [one for one in bulb.lines if one.kind == "lead"]
    assert math.fsum(one.piece.volume for one in lead) == pytest.approx(bulb.net_lead.volume, rel=1e-14)
    assert math.fsum(one.piece.moment_x for one in lead) == pytest.approx(bulb.net_lead.moment_x, rel=1e-14)
    cut = bulb.cuts.pocket.volume + bulb.cuts.screws[0].hole.volume + bulb.cuts.screws[0].recess.volume
    assert bulb.net_lead.volume + cut == pytest.approx(4.0 / 3.0 * math.pi * R**3, rel=1e-12)


def test_hung_mass_and_mass_centre_are_the_sums_of_the_lines():
    bulb = hung(math.radians(-25.0))
    mass = math.fsum(one.density * one.piece.volume for one in bulb.lines)
    assert bulb.mass == pytest.approx(mass, rel=1e-15)
    first_x = math.fsum(one.density * one.piece.moment_x for one in bulb.lines)
    first_z = math.fsum(one.density * one.piece.moment_z for one in bulb.lines)
    assert bulb.mass_centre_x == pytest.approx(first_x / mass, rel=1e-14)
    assert bulb.mass_centre_z == pytest.approx(first_z / mass, rel=1e-14)
    kinds = [one.kind for one in bulb.lines]
    assert kinds == ["lead", "lead", "lead", "lead", "screw", "plug", "bedding", "bedding", "skin"]


def test_the_fins_tip_stands_on_the_floor_and_the_underside_is_the_lowest_of_the_skin():
    bulb = hung()
    # tip_z is the level of the floor, FLOOR above the axis.
    assert bulb.axis_z == pytest.approx(-0.200 - FLOOR, abs=1e-15)
    assert bulb.underside_z == pytest.approx(-0.200 - FLOOR - R - SKIN, abs=1e-15)


def test_a_screw_too_short_for_the_floor_leaves_its_hole_filled_above_it():
    short = replace(wish_for().screws[0], length=0.020)
    bulb = hung(screws=(short,))
    hole = math.pi * BORE**2 * (FLOOR - SEAT)
    assert line(bulb, "bedding of screw 1").piece.volume == pytest.approx(
        hole - math.pi * SHANK**2 * 0.020, rel=1e-6
    )
    assert line(bulb, "screw 1").mass == pytest.approx(
        STEEL * math.pi * (HEAD**2 * HEAD_HEIGHT + SHANK**2 * 0.020), rel=1e-13
    )


def test_a_pocket_of_no_depth_cuts_nothing_and_the_hole_ends_at_the_balls_surface():
    crown = replace(wish_for().fin, pocket_depth=0.0)
    bulb = hung(fin=crown)
    assert bulb.cuts.pocket.volume == 0.0
    assert line(bulb, "bedding of the fin").piece.volume == 0.0
    # From the seat up through the cap: pi r^2 (0 - seat) and the columns' upper halves.
    upper = 2.0 / 3.0 * math.pi * (R**3 - (R**2 - BORE**2) ** 1.5)
    assert -line(bulb, "hole of screw 1").piece.volume == pytest.approx(
        upper - math.pi * BORE**2 * SEAT, rel=1e-10
    )


# --- what is cut square from the tail -----------------------------------------------------------


@pytest.mark.parametrize("share", [0.08, 0.3, 0.7])
def test_a_spheroid_cut_square_has_the_volume_of_its_closed_form_on_the_length_left(share):
    body = turned_body(spheroid(), diameter=0.04, tail_diameter=share * 0.04, fineness=5.0)
    # q = 4 xi (1 - xi) falls to share^2 at this xi.
    cut = 0.5 * (1.0 + math.sqrt(1.0 - share**2))
    assert body.length == pytest.approx(5.0 * 0.04, rel=1e-14)
    assert body.uncut_length == pytest.approx(5.0 * 0.04 / cut, rel=1e-13)
    assert 2.0 * body.tail_radius == pytest.approx(share * 0.04, rel=1e-12)
    whole = math.pi * 0.02**2 * body.uncut_length
    assert body_volume(body).volume == pytest.approx(whole * (2.0 * cut**2 - 4.0 / 3.0 * cut**3), rel=1e-12)
    moment = whole * body.uncut_length * (4.0 / 3.0 * cut**3 - cut**4)
    assert body_volume(body).moment_x == pytest.approx(moment, rel=1e-12)


def test_the_tail_left_out_is_eight_per_cent_of_the_diameter_and_three_millimetres_at_least():
    assert tail_diameter_for(0.1, None) == pytest.approx(0.008, rel=1e-15)
    assert tail_diameter_for(0.02, None) == 0.003
    assert tail_diameter_for(0.1, 0.0) == 0.0
    assert tail_diameter_for(0.1, 0.005) == 0.005


@pytest.mark.parametrize("k", [0.5, 2.0])
def test_an_elliptical_section_keeps_the_area_and_the_volume_of_the_circle(k):
    body = turned_body(spheroid(), diameter=0.04, tail_diameter=0.0, fineness=5.0, width_to_height=k)
    assert body.width / body.height == pytest.approx(k, rel=1e-14)
    assert body.width * body.height == pytest.approx(0.04**2, rel=1e-14)
    assert body_volume(body).volume == pytest.approx(math.pi * 0.04**2 * 0.2 / 6.0, rel=1e-13)
