"""Bulb positions and cuts: a given dimension, a moved boat, a mirrored rake, and a pocket across a table's knots."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from bulbcast.bulb.body.columns import through
from bulbcast.bulb.body.integrals import body_volume
from bulbcast.bulb.body.pieces import Axis
from bulbcast.bulb.body.profiles import four_digit, modified_four_digit, sears_haack, series58, spheroid
from bulbcast.bulb.body.tabulated import tabulated
from bulbcast.bulb.body.turned import turned_body
from bulbcast.bulb.cuts.parts import PocketCut, ScrewCut
from bulbcast.bulb.cuts.scan import scan
from bulbcast.bulb.cuts.screws import screw_bands
from bulbcast.bulb.cuts.union import cuts_of, fin_nodes, pocket_band
from bulbcast.bulb.hung.ledger import hang
from bulbcast.bulb.hung.solve import NoSolutionError, size_and_place
from bulbcast.bulb.hung.wish import BulbWish, FinWish
from bulbcast.fin.tip_section import FinTip, outline_nodes

_ROWS = np.array([0, 0.5, 0.75, 1.25, 2.5, 5, 7.5, *range(10, 101, 5)]) / 100.0
PROFILES = {
    "naca4": four_digit(),
    "naca4mod": modified_four_digit(max_at=0.5, nose_index=4.0),
    "spheroid": spheroid(),
    "sears-haack": sears_haack(),
    "series58": series58(max_at=0.4, nose_radius=0.5, tail_radius=0.1, prismatic=0.6),
    "table": tabulated(_ROWS, four_digit().radius(_ROWS)),
}
calm = settings(deadline=None, database=None, derandomize=True, max_examples=25)


def wish_for(*, profile="naca4", given="fineness", value=6.0, k=1.0, rake=0.0, boat=0.0, mass=2.4, carry=0.4):
    screw = {"diameter": 0.003, "hole_diameter": 0.0034, "head_diameter": 0.006, "head_height": 0.002}
    return BulbWish(
        target_mass=mass,
        profile=PROFILES[profile],
        given=given,
        value=value,
        width_to_height=k,
        tail_diameter=None,
        skin=0.0002,
        filler_density=1200.0,
        lead_density=11300.0,
        porosity=0.01,
        fin=FinWish(
            tip=FinTip(chord=0.066, thickness=0.007),
            leading_edge_x=boat,
            tip_z=-0.3,
            pocket_depth=0.005,
            clearance=0.0003,
            rake=rake,
        ),
        screws=tuple(
            ScrewCut(at_x=at, recess=0.006, length=0.04, density=8000.0, **screw) for at in (0.014, 0.034)
        ),
        mass_centre_x=boat + carry * 0.066,
    )


SIZES = st.one_of(
    st.tuples(st.just("fineness"), st.floats(4.0, 10.0)),
    st.tuples(st.just("length"), st.floats(0.18, 0.33)),
    st.tuples(st.just("diameter"), st.floats(0.038, 0.052)),
)


@calm
@given(
    profile=st.sampled_from(sorted(PROFILES)),
    size=SIZES,
    k=st.floats(0.4, 3.0),
    rake=st.floats(-0.5, 0.5),
    carry=st.floats(0.25, 0.6),
)
def test_target_place_and_the_dimension_given_are_reached(profile, size, k, rake, carry):
    given_name, value = size
    wish = wish_for(profile=profile, given=given_name, value=value, k=k, rake=rake, carry=carry)
    try:
        bulb = size_and_place(wish)
    except NoSolutionError:
        assume(False)
        return
    assert abs(bulb.mass / wish.target_mass - 1.0) <= 1e-10
    assert abs(bulb.nose_x + bulb.mass_centre_x - wish.mass_centre_x) <= 1e-9
    body = bulb.body
    finished = {"fineness": body.fineness, "length": body.length, "diameter": body.diameter}
    assert finished[given_name] == pytest.approx(value, rel=1e-13)
    assert body.width / body.height == pytest.approx(k, rel=1e-13)
    # The water displaced is the lead's, less the fin's share, and the skin's round it.
    lead = bulb.volume.volume - bulb.cuts.fin_inside.volume
    assert lead < bulb.displacement < lead + 1.2 * wish.skin * bulb.surface.area


@calm
@given(
    profile=st.sampled_from(sorted(PROFILES)),
    size=SIZES,
    rake=st.floats(-0.4, 0.4),
    k=st.floats(0.5, 2.5),
    boat=st.floats(-20.0, 20.0),
)
def test_moving_the_boat_moves_nose_and_mass_centre_and_nothing_else(profile, size, rake, k, boat):
    given_name, value = size
    asked = {"profile": profile, "given": given_name, "value": value, "rake": rake, "k": k}
    try:
        here, there = size_and_place(wish_for(**asked)), size_and_place(wish_for(**asked, boat=boat))
    except NoSolutionError:
        assume(False)
        return
    assert there.nose_x - here.nose_x == pytest.approx(boat, abs=3e-9)
    assert there.mass_centre_x == pytest.approx(here.mass_centre_x, abs=3e-9)
    assert there.mass_centre_z == pytest.approx(here.mass_centre_z, abs=1e-10)
    assert (there.axis_z, there.underside_z) == pytest.approx((here.axis_z, here.underside_z), abs=1e-10)
    assert there.body.diameter == pytest.approx(here.body.diameter, rel=1e-9)
    for one, other in zip(here.lines, there.lines, strict=True):
        assert other.mass == pytest.approx(one.mass, rel=1e-6, abs=1e-9 * here.mass)


@calm
@given(
    place=st.floats(0.3, 0.7),
    rake=st.floats(0.01, 0.6),
    k=st.floats(0.5, 2.5),
    floor=st.floats(0.1, 0.4),
    recess=st.floats(0.1, 0.5),
)
def test_a_screw_leaning_the_other_way_in_a_mirrored_place_cuts_the_mirror_image(
    place, rake, k, floor, recess
):
    # A whole spheroid is its own mirror image fore and aft.
    body = turned_body(spheroid(), diameter=0.05, tail_diameter=0.0, fineness=4.0, width_to_height=k)
    pocket = PocketCut(tip=FinTip(chord=0.02, thickness=0.004), clearance=0.0, leading_edge_x=0.09)

    def cut(at_x, lean):
        axis = Axis(rake=lean, floor=floor * body.height)
        screw = ScrewCut(
            at_x=at_x,
            diameter=0.004,
            hole_diameter=0.0046,
            head_diameter=0.009,
            head_height=0.002,
            recess=recess * body.height,
            length=0.06,
            density=8000.0,
        )
        return cuts_of(body, axis, pocket, (screw,)).screws[0]

    aft, fore = cut(place * body.length, rake), cut((1.0 - place) * body.length, -rake)
    assume(not math.isnan(aft.seat))
    assert fore.seat == pytest.approx(aft.seat, rel=1e-12)
    for name in ("hole", "recess", "plug", "bedding"):
        one, other = getattr(aft, name), getattr(fore, name)
        # Where a cut leaves the lead the scan follows its edges to about 1e-6 of the cut.
        close = 2e-6 * max(aft.recess.volume, aft.hole.volume)
        assert other.volume == pytest.approx(one.volume, abs=close)
        assert other.moment_z == pytest.approx(one.moment_z, abs=close * body.height)
        assert other.moment_x == pytest.approx(
            one.volume * body.length - one.moment_x, abs=close * body.length
        )


@pytest.mark.parametrize("rake", [0.2, -0.2])
def test_a_positive_rake_has_the_tip_aft_so_that_holes_lead_forward_as_they_rise(rake):
    wish = wish_for(rake=rake)
    bulb = size_and_place(wish)
    for screw, space in zip(bulb.screw_cuts, bulb.cuts.screws, strict=True):
        middle = space.hole.moment_x / space.hole.volume
        # The hole lies below the floor, where the axis is farther aft with the tip aft.
        assert math.copysign(1.0, middle - screw.at_x) == math.copysign(1.0, rake)
    pocket = bulb.cuts.pocket
    level = pocket.moment_z / pocket.volume - bulb.axis.floor
    upright = cuts_of(bulb.body, replace(bulb.axis, rake=0.0), bulb.pocket, ()).pocket
    # The pocket's middle moves forward with its height above the floor, somewhat less where its columns
    # then end under a lower part of the crown.
    shift = pocket.moment_x / pocket.volume - upright.moment_x / upright.volume
    assert shift == pytest.approx(-math.tan(rake) * level, rel=0.25)


# Overlaps: how far the cuts' sum exceeds their union, and what each case is.
MEETING = {
    "recesses that run into each other": {"at": (0.014, 0.017)},
    "a recess up into the pocket": {"recess": 0.042},
    "a head wider than the bulb": {"head_diameter": 0.060},
    "a hole beside the pocket": {"at": (-0.010, 0.034)},
    "a screw behind the bulb": {"at": (0.014, 0.300)},
    "a screw through the nose": {"at": (-0.0655, 0.034)},
}


@pytest.mark.parametrize("name", MEETING)
@pytest.mark.parametrize("rake", [0.0, 0.15])
def test_what_cuts_take_together_is_never_more_than_their_sum_and_is_the_scans_union(name, rake):
    wish = wish_for(rake=rake)
    changes = dict(MEETING[name])
    places = changes.pop("at", (0.014, 0.034))
    screws = tuple(replace(one, at_x=at, **changes) for one, at in zip(wish.screws, places, strict=True))
    wish = replace(wish, screws=screws)
    # Not solved: the body in the place of the plain bulb, so that the cases stand as described.
    plain = size_and_place(wish_for(rake=rake))
    bulb = hang(plain.body, plain.nose_x, wish, fin_nodes(wish.fin.tip, wish.fin.clearance))
    parts = bulb.cuts.pocket.volume + sum(one.hole.volume + one.recess.volume for one in bulb.cuts.screws)
    assert 0.0 < bulb.cuts.removed.volume <= parts * (1.0 + 1e-9)
    bands = [pocket_band(bulb.axis, bulb.pocket, bulb.pocket.clearance)]
    for screw, space in zip(bulb.screw_cuts, bulb.cuts.screws, strict=True):
        bands.extend(screw_bands(bulb.axis, screw, space.seat))
    union = scan(bulb.body, bulb.axis, tuple(bands))
    assert bulb.cuts.removed.volume == pytest.approx(union.volume, rel=2e-6)
    assert math.fsum(line.mass for line in bulb.lines) == pytest.approx(bulb.mass, rel=1e-14)
    lead = math.fsum(line.piece.volume for line in bulb.lines if line.kind == "lead")
    assert lead == pytest.approx(bulb.net_lead.volume, rel=1e-12)


def by_rows_of_columns(body, axis, pocket):
    """Volume of the pocket, summed over enough columns to follow every bend in a tabulated curve."""
    nodes = outline_nodes(pocket.tip, pocket.clearance, along=250, across=12)
    _, high = through(body, axis, pocket.leading_edge_x + nodes.x[:, None], nodes.y)
    return float(np.sum(nodes.weight * (high - axis.floor)))


@pytest.mark.parametrize("rake", [0.0, 0.15])
@pytest.mark.parametrize("k", [0.6, 1.0, 2.0])
@pytest.mark.parametrize("rows", ["26 of the four-digit form", "21 of a spindle", "7 by hand"])
def test_a_pocket_across_the_knots_of_a_table_is_as_exact_as_the_body(rows, k, rake):
    x = np.linspace(0.0, 1.0, 21)
    profile = {
        "26 of the four-digit form": PROFILES["table"],
        "21 of a spindle": tabulated(x, 4.0 * x * (1.0 - x)),
        "7 by hand": tabulated(
            [0.0, 0.05, 0.15, 0.35, 0.6, 0.85, 1.0], [0.0, 0.45, 0.8, 1.0, 0.85, 0.4, 0.1]
        ),
    }[rows]
    body = turned_body(profile, diameter=0.04, tail_diameter=0.004, fineness=5.5, width_to_height=k)
    axis = Axis(rake=rake, floor=0.5 * body.height - 0.3 * body.height)
    pocket = PocketCut(
        tip=FinTip(chord=0.08, thickness=0.008), clearance=0.0003, leading_edge_x=0.2 * body.length
    )
    ours = cuts_of(body, axis, pocket, ()).pocket.volume
    # The contract holds written solids to 1e-6 of the quadrature at the finest chord error.
    assert abs(ours - by_rows_of_columns(body, axis, pocket)) <= 3e-7 * body_volume(body).volume
