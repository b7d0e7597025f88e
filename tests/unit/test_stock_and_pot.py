"""Scrap lots compared with the metal needed, and the pot compared with the charge."""

from __future__ import annotations

import dataclasses
import math

import pytest
from plans import bare_example, faults_of

from bulbcast.foundry.gating.formulas import GatingError, choke_of, effective_head, riser_of
from bulbcast.foundry.melt.heat import POT_HEAT, FiringError, firing
from bulbcast.foundry.melt.lifts import hands_for
from bulbcast.foundry.melt.pot import OtherPot, Pot, PotError, pot_plan, ways_out
from bulbcast.foundry.melt.stock import Lot, StockError, blend_of, stock_of
from bulbcast.materials.alloys import AlloyError, alloy_of_grade
from bulbcast.materials.scrap import scrap_kind, scrap_kinds
from bulbcast.plan.melt_sections import SCRAP_KINDS
from bulbcast.plan.pot_sections import POT_MATERIALS

SHEET = Lot(
    name="sheet",
    gross=3.0,
    gross_spread=0.0,
    yield_=0.96,
    yield_spread=0.0,
    dross=0.04,
    density=11335.0,
    density_spread=20.0,
    known=True,
)
WEIGHTS = dataclasses.replace(
    SHEET, name="weights", gross=5.0, yield_=0.6, dross=0.2, density=11120.0, density_spread=70.0
)
POT = Pot(capacity=10.0, fill=0.75, count=1, mass=3.0, way="lift", lift=10.0, ladle=None)


def test_lots_go_in_by_their_order_and_the_rest_stays_over():
    stock = stock_of([SHEET, WEIGHTS], 4.0)
    first, second = stock.taken
    assert (first.clean, first.left) == (pytest.approx(2.88), pytest.approx(0.0))
    assert second.clean == pytest.approx(4.0 - 2.88)
    assert second.gross == pytest.approx((4.0 - 2.88) / 0.6)
    assert second.left == pytest.approx(5.0 - second.gross)
    assert stock.short == 0.0
    assert stock.over == pytest.approx(2.88 + 3.0 - 4.0)


def test_what_is_sorted_out_never_goes_into_the_pot():
    # 60 % comes out of what was 100; with a fifth of the pot skimmed, 75 went in and 25 never did.
    one = stock_of([WEIGHTS], 3.0).taken[0]
    assert one.melted == pytest.approx(0.75 * one.gross)
    assert one.culled == pytest.approx(0.25 * one.gross)
    assert one.clean == pytest.approx(0.8 * one.melted)


def test_the_dross_of_the_charge_is_that_of_its_lots():
    stock = stock_of([SHEET, WEIGHTS], 4.0)
    melted = sum(one.melted for one in stock.taken)
    assert melted * (1.0 - stock.dross) == pytest.approx(4.0, rel=1e-12)


def test_a_short_stock_says_how_much_and_blends_all_there_is():
    stock = stock_of([SHEET, WEIGHTS], 7.0)
    assert stock.short == pytest.approx(7.0 - 5.88)
    assert stock.over == 0.0
    assert all(one.left == pytest.approx(0.0) for one in stock.taken)


def test_the_blend_adds_volumes():
    density, _ = blend_of([(SHEET, 2.0), (WEIGHTS, 1.0)])
    assert 3.0 / density == pytest.approx(2.0 / 11335.0 + 1.0 / 11120.0, rel=1e-14)


def test_the_spread_of_a_blend_is_its_first_order_sum():
    lots = [
        dataclasses.replace(SHEET, yield_spread=0.05, gross_spread=0.1),
        dataclasses.replace(WEIGHTS, yield_spread=0.12, gross_spread=0.2),
    ]
    masses = [2.0, 1.5]
    density, spread = blend_of(list(zip(lots, masses, strict=True)))

    def moved(index: int, by_density: float, by_mass: float) -> float:
        total = sum(m + (by_mass if i == index else 0.0) for i, m in enumerate(masses))
        return total / sum(
            (m + (by_mass if i == index else 0.0)) / (lot.density + (by_density if i == index else 0.0))
            for i, (lot, m) in enumerate(zip(lots, masses, strict=True))
        )

    terms = []
    for i, lot in enumerate(lots):
        terms.append((moved(i, 0.01, 0.0) - density) / 0.01 * lot.density_spread)
        terms.append((moved(i, 0.0, 1e-6) - density) / 1e-6 * masses[i] * lot.clean_spread / lot.clean)
    assert spread == pytest.approx(math.hypot(*terms), rel=1e-4)


def test_a_single_lot_keeps_its_own_spread():
    assert blend_of([(WEIGHTS, 1.0)]) == (pytest.approx(11120.0), pytest.approx(70.0))


def test_a_lot_without_a_yield_is_refused():
    with pytest.raises(StockError) as refused:
        stock_of([dataclasses.replace(SHEET, yield_=0.0)], 1.0)
    assert str(refused.value) == (
        "sheet: the gross mass, yield and density must be above zero, the yield at most 1, the dross below 1, "
        "and no spread below zero"
    )


def test_every_kind_of_scrap_is_lead_and_loses_at_least_its_dross():
    for kind in scrap_kinds():
        assert 8500.0 < kind.density <= 11340.0, kind.name
        assert kind.yield_ <= 1.0 - kind.dross + 1e-9, kind.name
        assert kind.remark, kind.name


def test_equal_scrap_loses_equal_dross_in_both_tables():
    same = {"ingot": "pure", **{name: name for name in ("sheet", "wheel-weights", "linotype", "unknown")}}
    for kind, grade in same.items():
        assert scrap_kind(kind).dross == alloy_of_grade(grade).dross, kind
        assert scrap_kind(kind).yield_ == pytest.approx(1.0 - alloy_of_grade(grade).dross, rel=1e-12), kind


def test_the_plans_words_for_scrap_are_the_tables_and_battery():
    assert (*(kind.name for kind in scrap_kinds()), "battery") == SCRAP_KINDS


def test_the_plans_words_for_pots_have_a_heat_or_a_refusal():
    assert set(POT_MATERIALS) == set(POT_HEAT) | {"aluminium", "thin-can"}


def test_a_measured_haul_of_unsorted_weights_comes_out():
    # One haul: 24 % never went in, 16 % of the gross was skimmed, 60 % was metal.
    kind = scrap_kind("wheel-weights-unsorted")
    lot = dataclasses.replace(WEIGHTS, gross=100.0, yield_=kind.yield_, dross=kind.dross)
    one = stock_of([lot], 60.0).taken[0]
    assert one.culled == pytest.approx(24.0, abs=0.1)
    assert one.melted - one.clean == pytest.approx(16.0, abs=0.1)


def test_a_kind_that_is_not_there_is_refused_with_the_list():
    with pytest.raises(AlloyError) as refused:
        scrap_kind("roofing")
    assert str(refused.value).startswith(
        'There is no kind of scrap called "roofing"; the kinds are ingot, sheet, pipe,'
    )


def test_a_charge_that_fits_is_one_melt():
    plan = pot_plan(POT, pieces=1, charge=6.0, pour=5.0)
    assert plan.fits
    assert (plan.melts, plan.per_melt, plan.ladles) == (1, 1, 0)
    assert plan.fill == pytest.approx(0.6)
    assert plan.lifted == pytest.approx(9.0)
    assert plan.can_lift


def test_two_halves_take_two_melts_where_only_one_fits_at_a_time():
    plan = pot_plan(POT, pieces=2, charge=12.0, pour=10.0)
    assert plan.fits
    assert (plan.melts, plan.per_melt) == (2, 1)
    assert plan.piece_pour == pytest.approx(5.0)


def test_two_pots_hold_twice_as_much_and_each_is_lifted_alone():
    plan = pot_plan(dataclasses.replace(POT, count=2), pieces=1, charge=12.0, pour=10.0)
    assert plan.fits
    assert plan.lifted == pytest.approx(3.0 + 6.0)


def test_a_piece_that_does_not_fit_says_what_would():
    plan = pot_plan(POT, pieces=1, charge=12.0, pour=10.0)
    assert not plan.fits
    ways = ways_out(POT, plan.piece_charge)
    assert ways.capacity == pytest.approx(16.0)
    assert ways.count == 2
    for pot in (dataclasses.replace(POT, capacity=ways.capacity), dataclasses.replace(POT, count=ways.count)):
        assert pot_plan(pot, pieces=1, charge=12.0, pour=10.0).fits
    assert pot_plan(POT, pieces=2, charge=12.0, pour=10.0).fits


def test_a_ladled_pot_that_is_larger_keeps_a_larger_heel():
    # 5 % of the pots stays in them: all but that has to fit into 75 % less 5 % of them.
    charge, clean = 12.0, 12.0 - 0.05 * 8.0
    ways = ways_out(dataclasses.replace(POT, capacity=8.0), charge, heel_growth=0.05)
    assert ways.capacity == pytest.approx(clean / 0.70)
    assert clean + 0.05 * ways.capacity == pytest.approx(0.75 * ways.capacity)
    assert ways.count == 3
    assert ways_out(POT, charge, heel_growth=0.75).capacity is None


def test_ladles_are_counted_up_to_whole_ones():
    pot = dataclasses.replace(POT, way="ladle", ladle=2.0)
    assert pot_plan(pot, pieces=1, charge=6.0, pour=5.0).ladles == 3
    assert pot_plan(pot, pieces=1, charge=6.0, pour=4.0).ladles == 2
    assert pot_plan(dataclasses.replace(pot, ladle=None), pieces=1, charge=6.0, pour=5.0).ladle == 10.0


def test_nonsense_is_refused():
    with pytest.raises(PotError):
        pot_plan(POT, pieces=0, charge=6.0, pour=5.0)
    with pytest.raises(PotError):
        pot_plan(dataclasses.replace(POT, ladle=0.0), pieces=1, charge=6.0, pour=5.0)
    with pytest.raises(FiringError):
        firing(1e5, power=0.0, efficiency=0.1, heat_value=None)
    with pytest.raises(GatingError):
        choke_of(1.0, density=1e4, fill_time=0.0, head=0.1)
    with pytest.raises(GatingError):
        effective_head(0.01, above_gate=0.02, height=0.04)
    with pytest.raises(GatingError):
        riser_of(casting_modulus=0.01, casting_volume=1e-4, feed=0.2)


def test_a_pot_beside_the_first_is_a_fault_where_there_is_no_first():
    said = faults_of(
        bare_example("fenwisp") + '\n[[other_pots]]\ncapacity = "1 l"\nmaterial = "steel"\nmass = "1 kg"\n'
    )
    assert said == [
        "lark.toml: [[other_pots]]: read [[other_pots]] without [pot]; expected [[other_pots]] only in "
        "addition to the first pot, [pot]. Call the largest of them [pot], or remove [[other_pots]]."
    ]


def test_pots_that_are_unlike_are_filled_alike_and_the_heaviest_is_lifted():
    """By hand: pots of 10 kg and 4 kg filled to three quarters hold 10.5 kg; 8.4 kg fills each to 0.8 of that mark."""
    both = dataclasses.replace(POT, others=(OtherPot(capacity=4.0, fill=0.75, mass=5.0),))
    plan = pot_plan(both, pieces=1, charge=8.4, pour=7.0)
    assert both.usable == pytest.approx(10.5)
    assert plan.fill == pytest.approx(8.4 / 14.0)
    assert plan.lifted == pytest.approx(max(3.0 + 0.8 * 7.5, 5.0 + 0.8 * 3.0))
    # Two on a bar carry two thirds of what both would by themselves; a hoist what its plate says.
    assert dataclasses.replace(POT, people=5).by_hand == pytest.approx(20.0 * 2.0 / 3.0)
    heavy = dataclasses.replace(both, lift=8.0)
    assert not pot_plan(heavy, pieces=1, charge=8.4, pour=7.0).can_lift
    assert pot_plan(dataclasses.replace(heavy, hoist=9.0), pieces=1, charge=8.4, pour=7.0).can_lift


def test_cold_pieces_are_lifted_by_as_many_as_the_guideline_asks_for():
    """One person lifts up to 12 kg, two lift up to two thirds of 50 kg, three up to half of 75 kg, and four up to half of
    100 kg. Heavier pieces need a hoist."""
    assert [hands_for(mass) for mass in (12.0, 12.1, 33.3, 33.4, 37.5, 50.0, 50.1)] == [
        1,
        2,
        2,
        3,
        3,
        4,
        None,
    ]
