"""Cast body and pattern compared with closed forms: a ball with a screw through its centre, grown and scaled.

Definitions from model.md: the cast body is the lead body grown by the finish; the pattern is the cast body scaled by (1
+ contraction) / (1 + mould expansion) and shrunk by the coat; cored cavities are scaled only.
"""

from __future__ import annotations

import math

import pytest

from bulbcast.bulb.body.profiles import four_digit, spheroid
from bulbcast.bulb.body.turned import turned_body
from bulbcast.bulb.cuts.parts import ScrewCut
from bulbcast.bulb.cuts.union import fin_nodes
from bulbcast.bulb.hung.ledger import hang
from bulbcast.bulb.hung.wish import BulbWish, FinWish
from bulbcast.fin.tip_section import FinTip, outline_area
from bulbcast.pattern.allowances import pattern_of
from bulbcast.pattern.cast_body import (
    CoredCuts,
    cast_body_of,
    cored_cavities,
    default_finish,
    grown_less_cavities,
)
from bulbcast.pattern.contraction import pattern_scale

R = 0.030
DENSITY = 11226.6
FLOOR = 0.018
BORE, HEAD, RECESS = 0.0023, 0.004, 0.010  # radii and depth
SEAT = -R + RECESS
FINISH, COAT = 0.0005, 0.0001
CONTRACTION, EXPANSION = 0.0098, 0.002
SCALE = 1.0098 / 1.002
DRILLED = CoredCuts(pocket=False, screws=(False,))


def ball(body=None, rake=0.0, clearance=0.0005, depth=R - FLOOR, chord=0.024):
    """A ball of radius R on a fin, with one screw through the ball's centre; no size is solved for."""
    body = body or turned_body(spheroid(), diameter=2.0 * R, tail_diameter=0.0, fineness=1.0)
    floor = 0.5 * body.height - depth
    fin = FinWish(
        tip=FinTip(chord=chord, thickness=chord / 4.0),
        leading_edge_x=R - floor * math.tan(rake) - 0.010,
        tip_z=0.0,
        pocket_depth=depth,
        clearance=clearance,
        rake=rake,
    )
    screw = ScrewCut(
        at_x=0.010,
        diameter=0.004,
        hole_diameter=2.0 * BORE,
        head_diameter=2.0 * HEAD,
        head_height=0.002,
        recess=RECESS,
        length=0.05,
        density=8000.0,
    )
    wish = BulbWish(
        target_mass=1.0,
        profile=body.profile,
        given="fineness",
        value=1.0,
        width_to_height=1.0,
        tail_diameter=0.0,
        skin=0.0,
        filler_density=1200.0,
        lead_density=11340.0,
        porosity=0.01,
        fin=fin,
        screws=(screw,),
        mass_centre_x=0.0,
    )
    return hang(body, 0.0, wish, fin_nodes(fin.tip, fin.clearance))


def of_ball(radius):
    return 4.0 / 3.0 * math.pi * radius**3


def recess_of(radius):
    """Volume of a recess from a seat at a fixed height down to the surface of a ball of this radius, by columns over a
    disc."""
    return math.pi * HEAD**2 * SEAT + 2.0 / 3.0 * math.pi * (radius**3 - (radius**2 - HEAD**2) ** 1.5)


HOLE = math.pi * BORE**2 * (FLOOR - SEAT)

# --- the cast body -------------------------------------------------------------------------------


@pytest.mark.parametrize("finish", [0.0, FINISH, 0.003])
def test_a_cast_body_with_nothing_cored_is_the_ball_grown_by_the_finish(finish):
    cast = cast_body_of(ball(), cored=DRILLED, finish=finish, density=DENSITY)
    assert cast.volume == pytest.approx(of_ball(R + finish), rel=1e-12)
    assert cast.mass == pytest.approx(DENSITY * of_ball(R + finish), rel=1e-12)
    assert cast.mass_centre_x == pytest.approx(R, rel=1e-12)
    assert cast.mass_centre_z == pytest.approx(0.0, abs=1e-15)
    assert cast.finish_mass == pytest.approx(
        DENSITY * (of_ball(R + finish) - of_ball(R)), rel=1e-9, abs=1e-12
    )
    assert (cast.length, cast.width, cast.height) == pytest.approx([2.0 * (R + finish)] * 3, rel=1e-14)


@pytest.mark.parametrize("layer", [FINISH, -0.0004])
def test_a_cored_hole_and_its_recess_keep_their_size_through_the_layer(layer):
    bulb = ball()
    cored = CoredCuts(pocket=False, screws=(True,))
    expected = HOLE + recess_of(R + layer)
    # The layer's thickness under the recess: 1e-5 of it, which is 1e-9 of the ball.
    assert cored_cavities(bulb, cored, layer).volume == pytest.approx(
        expected, abs=1e-5 * 5e-8 * abs(layer) / 5e-4
    )
    assert grown_less_cavities(bulb, cored, layer).volume == pytest.approx(
        of_ball(R + layer) - expected, rel=1e-9
    )


@pytest.mark.parametrize("rake", [0.0, math.radians(12.0)])
def test_a_cored_pocket_runs_through_the_layer_at_its_finished_size(rake):
    bulb = ball(rake=rake)
    cored = CoredCuts(pocket=True, screws=(False,))
    cast = cast_body_of(bulb, cored=cored, finish=FINISH, density=DENSITY)
    extra = cored_cavities(bulb, cored, FINISH).volume - bulb.cuts.pocket.volume
    # The outline's area times the layer, a little thicker along the fin where the ball falls away.
    area = outline_area(bulb.pocket.tip, bulb.pocket.clearance)
    assert area * FINISH < extra < 1.35 * area * FINISH
    assert cast.volume == pytest.approx(of_ball(R + FINISH) - bulb.cuts.pocket.volume - extra, rel=1e-12)
    assert cast.finish_mass == pytest.approx(DENSITY * (of_ball(R + FINISH) - of_ball(R) - extra), rel=1e-9)


@pytest.mark.parametrize("pocket", [False, True])
@pytest.mark.parametrize("hole", [False, True])
def test_finish_and_what_is_cut_later_come_off_the_cast_body_and_leave_the_net_lead(pocket, hole):
    bulb = ball()
    cast = cast_body_of(bulb, cored=CoredCuts(pocket=pocket, screws=(hole,)), finish=FINISH, density=DENSITY)
    left = cast.mass - cast.finish_mass - cast.cut_later_mass
    assert left == pytest.approx(DENSITY * bulb.net_lead.volume, rel=1e-12)
    later = (0.0 if pocket else bulb.cuts.pocket.volume) + (0.0 if hole else HOLE + recess_of(R))
    assert cast.cut_later_mass == pytest.approx(DENSITY * later, rel=1e-9, abs=1e-12)


def test_a_finish_left_out_is_half_a_per_cent_of_the_diameter_within_its_bounds():
    assert default_finish(0.040) == pytest.approx(0.0002, rel=1e-15)
    assert default_finish(0.010) == 0.0001
    assert default_finish(0.400) == 0.0005


# --- the pattern ---------------------------------------------------------------------------------


def pattern(
    bulb=None, *, cored=DRILLED, finish=FINISH, coat=COAT, contraction=CONTRACTION, expansion=EXPANSION
):
    bulb = bulb or ball()
    cast = cast_body_of(bulb, cored=cored, finish=finish, density=DENSITY)
    return pattern_of(bulb, cast, contraction=contraction, mould_expansion=expansion, coat=coat)


def test_contraction_is_given_on_the_cold_length_as_a_shrink_rule_is_divided():
    # 5/16 in per foot on the rule: 12 in cold are 12 5/16 in hot.
    assert 12.0 * pattern_scale(5.0 / 16.0 / 12.0, 0.0) == pytest.approx(12.3125, rel=1e-15)
    assert pattern_scale(0.01, 0.0) == pytest.approx(1.01, rel=1e-15)
    assert pattern_scale(0.0, 0.002) == pytest.approx(1.0 / 1.002, rel=1e-15)
    assert pattern_scale(CONTRACTION, EXPANSION) == pytest.approx(SCALE, rel=1e-15)


@pytest.mark.parametrize(
    ("finish", "coat"), [(FINISH, COAT), (0.0, COAT), (FINISH, 0.0), (0.0, 0.0), (0.0001, 0.001)]
)
def test_a_pattern_of_the_ball_is_a_ball_larger_by_the_scale_and_smaller_by_the_coat(finish, coat):
    found = pattern(finish=finish, coat=coat)
    radius = SCALE * (R + finish) - coat
    assert found.scale == pytest.approx(SCALE, rel=1e-15)
    assert found.volume == pytest.approx(of_ball(radius), rel=1e-11)
    assert (found.length, found.width, found.height) == pytest.approx([2.0 * radius] * 3, rel=1e-13)
    # The distance that, scaled, makes the pattern of the bare bulb.
    assert SCALE * (R + found.offset) == pytest.approx(radius, rel=1e-14)


@pytest.mark.parametrize(("finish", "coat"), [(FINISH, COAT), (0.0, 0.0003)])
def test_cored_cavities_are_scaled_and_not_thickened_by_the_coat(finish, coat):
    found = pattern(cored=CoredCuts(pocket=False, screws=(True,)), finish=finish, coat=coat)
    outside = (SCALE * (R + finish) - coat) / SCALE
    # In the pattern's own scale the cavities are the finished ones up to the coated surface.
    cavities = SCALE**3 * (HOLE + recess_of(outside))
    assert found.volume == pytest.approx(of_ball(SCALE * outside) - cavities, rel=1e-9)


def test_the_coated_pattern_with_a_mould_that_grows_and_a_casting_that_shrinks_is_the_cast_body():
    found = pattern()
    coated = found.length + 2.0 * COAT
    cavity = coated * (1.0 + EXPANSION)
    cold = cavity / (1.0 + CONTRACTION)
    assert cold == pytest.approx(2.0 * (R + FINISH), rel=1e-14)


def test_the_ledger_steps_are_these_and_each_is_its_own_closed_form():
    bulb = ball()
    found = pattern(bulb)
    net = of_ball(R) - bulb.cuts.pocket.volume - HOLE - recess_of(R)
    hot = 1.0 + CONTRACTION
    expected = [
        # name, amount, length, volume
        ("finished bulb, lead only", None, 2.0 * R, net),
        ("pocket and holes still to be cut", None, 2.0 * R, of_ball(R)),
        ("allowance to be filed off", FINISH, 2.0 * (R + FINISH), of_ball(R + FINISH)),
        ("contraction of the metal", CONTRACTION, 2.0 * hot * (R + FINISH), of_ball(hot * (R + FINISH))),
        ("growth of the mould", EXPANSION, 2.0 * SCALE * (R + FINISH), of_ball(SCALE * (R + FINISH))),
        (
            "coat of sealer",
            -COAT,
            2.0 * (SCALE * (R + FINISH) - COAT),
            of_ball(SCALE * (R + FINISH) - COAT),
        ),
    ]
    assert [step.name for step in found.steps] == [name for name, *_ in expected]
    for step, (_, amount, length, volume) in zip(found.steps, expected, strict=True):
        assert step.amount == amount
        assert step.length == pytest.approx(length, rel=1e-13)
        assert (step.width, step.height) == pytest.approx((length, length), rel=1e-13)
        assert step.volume == pytest.approx(volume, rel=1e-9)
        assert step.lead_mass == pytest.approx(DENSITY * volume, rel=1e-9)
    assert found.steps[-1].volume == found.volume
    assert [step.is_length for step in found.steps] == [False, False, True, False, False, True]


def test_a_pattern_of_a_cut_tail_is_longer_by_the_scale_and_two_layers():
    body = turned_body(four_digit(), diameter=0.04, tail_diameter=0.004, fineness=6.0, width_to_height=1.4)
    bulb = ball(body=body, depth=0.006)
    found = pattern(bulb)
    for ours, bare in (
        (found.length, body.length),
        (found.width, body.width),
        (found.height, body.height),
    ):
        assert ours == pytest.approx(SCALE * (bare + 2.0 * FINISH) - 2.0 * COAT, rel=1e-13)


def test_a_cored_hole_under_a_fin_on_the_crown_runs_through_the_layer_up_to_the_floor():
    # The floor touches the crown, so that the lead beside it ends below the floor and the layer reaches
    # above it: the core stands in the layer too.
    bulb = ball(depth=0.0)
    cored = CoredCuts(pocket=False, screws=(True,))
    expected = math.pi * BORE**2 * (R - SEAT) + recess_of(R + FINISH)
    assert cored_cavities(bulb, cored, FINISH).volume == pytest.approx(expected, rel=1e-5)
