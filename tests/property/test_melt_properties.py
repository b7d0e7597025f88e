"""Properties of lift, freezing, gating, scrap and pots for any figures."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bulbcast.foundry.cooling.radial import Bar, FreezingCase, freezing_times
from bulbcast.foundry.gating.formulas import (
    choke_of,
    feed_demand,
    fill_time_through,
    level_mark,
    riser_of,
    sprue_of,
)
from bulbcast.foundry.gating.lift import cope_lift, floating_force, held
from bulbcast.foundry.melt.pot import Pot, pot_plan, ways_out
from bulbcast.foundry.melt.stock import Lot, stock_of
from bulbcast.materials.alloys import alloy_of_grade
from bulbcast.materials.heat import air_heat, metal_heat, mould_heat
from bulbcast.quantities import Dimension, Shown, read_quantity
from bulbcast.quantities.typed import length_up, mass_up, power_up, volume_up

SHARE = st.floats(0.05, 0.99)


@st.composite
def lots(draw: st.DrawFn) -> Lot:
    yield_ = draw(st.floats(0.2, 1.0))
    return Lot(
        name="heap",
        gross=draw(st.floats(0.05, 200.0)),
        gross_spread=draw(st.floats(0.0, 0.5)),
        yield_=yield_,
        yield_spread=draw(st.floats(0.0, 0.1)),
        dross=min(draw(st.floats(0.0, 0.3)), 1.0 - yield_),
        density=draw(st.floats(8000.0, 11340.0)),
        density_spread=draw(st.floats(0.0, 300.0)),
        known=True,
    )


@given(st.lists(lots(), min_size=1, max_size=6), st.floats(0.1, 500.0))
def test_no_mass_of_scrap_is_lost_or_made(heaps: list[Lot], wanted: float) -> None:
    stock = stock_of(heaps, wanted)
    for one in stock.taken:
        assert one.gross + one.left == pytest.approx(one.lot.gross, rel=1e-9, abs=1e-12)
        assert one.culled + one.melted == pytest.approx(one.gross, rel=1e-12, abs=1e-15)
        assert min(one.gross, one.culled, one.melted, one.clean) >= -1e-12
        assert one.left >= -1e-9 * one.lot.gross
        assert one.clean <= one.melted * (1.0 + 1e-12)
    clean = math.fsum(one.clean for one in stock.taken)
    assert clean + stock.short == pytest.approx(wanted, rel=1e-9)
    assert stock.short == 0.0 or stock.over == 0.0
    melted = math.fsum(one.melted for one in stock.taken)
    assert melted * (1.0 - stock.dross) == pytest.approx(clean, rel=1e-9)


@given(st.lists(lots(), min_size=1, max_size=6), st.floats(0.1, 500.0))
def test_a_blend_lies_between_its_lots(heaps: list[Lot], wanted: float) -> None:
    stock = stock_of(heaps, wanted)
    used = [one.lot.density for one in stock.taken if one.clean > 0.0]
    assert min(used) * (1 - 1e-12) <= stock.density <= max(used) * (1 + 1e-12)
    assert stock.density_spread >= 0.0


@given(st.floats(0.1, 400.0), SHARE, st.integers(1, 6), st.integers(1, 2), st.floats(0.1, 900.0))
def test_a_pot_that_fits_is_never_filled_beyond_its_mark(
    capacity: float, fill: float, count: int, pieces: int, charge: float
) -> None:
    pot = Pot(capacity=capacity, fill=fill, count=count, mass=3.0, way="ladle", lift=10.0, ladle=2.0)
    plan = pot_plan(pot, pieces=pieces, charge=charge, pour=0.8 * charge)
    assert plan.melts * plan.per_melt >= pieces
    assert (plan.ladles - 1) * 2.0 < plan.piece_pour * (1 + 1e-9)
    assert plan.ladles * 2.0 >= plan.piece_pour * (1 - 1e-9)
    if plan.fits:
        assert plan.charge <= pot.usable * (1 + 1e-9)
    else:
        ways = ways_out(pot, plan.piece_charge)
        assert ways.capacity > capacity * (1 - 1e-9)
        assert ways.count > count


@settings(max_examples=8, deadline=None)
@given(
    st.floats(0.001, 0.05),
    st.floats(0.0, 140.0),
    st.floats(340.0, 449.0),
    st.sampled_from(("pure", "antimonial-4", "linotype")),
    st.sampled_from(("baked", "air", "sand")),
)
def test_thicker_metal_and_warmer_moulds_stay_liquid_longer(
    radius: float, warm: float, pour: float, grade: str, kind: str
) -> None:
    case = FreezingCase(
        metal=metal_heat(alloy_of_grade(grade)),
        mould=mould_heat(kind),
        air=replace(air_heat(), block=1e-6),
        pour=pour,
        start=warm,
        surroundings=20.0,
    )
    bar = Bar(radius=radius, outside=4.0 * radius)
    twice = Bar(radius=2.0 * radius, outside=8.0 * radius)
    once, double, warmer = freezing_times([bar, twice, replace(bar, start=warm + 8.0)], case)
    # Twice the size takes four times as long: nothing but lengths and times is in the equation of heat.
    assert double == pytest.approx(4.0 * once, rel=1e-6)
    assert warmer > once


@given(st.floats(1e-4, 1.0), st.floats(0.02, 1.0), st.floats(8000.0, 11000.0), st.floats(0.0, 1.0))
def test_lift_is_never_more_than_the_whole_column_and_half_of_what_is_held(
    area: float, head: float, density: float, share: float
) -> None:
    column = density * 9.80665 * area * head
    lift = cope_lift(shadow_area=area, volume_above=share * area * head, head=head, density=density)
    assert -1e-9 <= lift <= column * (1 + 1e-12)
    what = held(lift, own_mass=1.5)
    assert what.weight * 9.80665 + 1.5 * 9.80665 >= 2.0 * lift * (1 - 1e-12)
    assert (floating_force(volume=area, density=density - 1.0, metal_density=density) > 0.0) is True


@given(st.floats(0.05, 400.0), st.floats(0.5, 60.0), st.floats(0.02, 1.0))
def test_choke_and_fill_time_give_each_other(mass: float, time: float, head: float) -> None:
    choke = choke_of(mass, density=10600.0, fill_time=time, head=head)
    again = fill_time_through(choke.diameter, mass, density=10600.0, head=head)
    assert again == pytest.approx(time, rel=1e-9)
    sprue = sprue_of(choke.diameter, height=head)
    assert sprue.top_diameter > sprue.foot_diameter


@given(st.floats(0.001, 0.06), st.floats(1e-6, 0.05), st.floats(0.0, 0.12), st.floats(0.01, 0.3))
def test_a_riser_obeys_both_rules_and_is_no_lower_than_asked(
    modulus: float, volume: float, feed: float, least: float
) -> None:
    riser = riser_of(casting_modulus=modulus, casting_volume=volume, feed=feed, least_height=least)
    assert riser.height >= least * (1 - 1e-12)
    assert riser.modulus >= 1.2 * modulus * (1 - 1e-9)
    assert 0.14 * riser.volume >= feed * (volume + riser.volume) * (1 - 1e-9)


@given(st.floats(328.0, 449.0), st.floats(0.0, 0.015), st.floats(1e-4, 0.5), st.floats(1e-6, 0.05))
def test_an_open_mould_loses_what_it_shrinks_by(
    pour: float, contraction: float, face: float, volume: float
) -> None:
    feed = feed_demand(pour, contraction)
    assert 0.0 < feed < 0.1
    mark = level_mark(face_area=face, volume=volume, shrinkage=feed)
    assert mark.mean_sink * face == pytest.approx(feed * (volume + mark.volume), rel=1e-9)


@settings(max_examples=200)
@given(st.floats(1e-3, 500.0), st.sampled_from(["metric", "imperial"]))
def test_a_figure_rounded_up_reads_back_no_less_and_hardly_more(value: float, units: str) -> None:
    shown = Shown(units)  # type: ignore[arg-type]
    for text, wanted, dimension in (
        (mass_up(value, shown), value, Dimension.MASS),
        (volume_up(value * 1e-3, shown), value * 1e-3, Dimension.VOLUME),
        (length_up(value * 1e-3, shown), value * 1e-3, Dimension.LENGTH),
        (power_up(value * 100.0, shown), value * 100.0, Dimension.POWER),
    ):
        read = read_quantity(text, dimension)
        assert read >= wanted * (1 - 1e-6)
        assert read <= wanted * 1.011 or read - wanted < 1.1 * read_quantity(
            {
                Dimension.MASS: "0.2 g" if units == "metric" else "0.02 oz",
                Dimension.VOLUME: "1 ml" if units == "metric" else "0.1 in3",
                Dimension.LENGTH: "0.1 mm" if units == "metric" else "0.03125 in",
                Dimension.POWER: "10 W" if units == "metric" else "10 BTU/h",
            }[dimension],
            dimension,
        )
