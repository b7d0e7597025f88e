"""When a part counts as dry (at or below its target mass, constant, in warm moving air), and for how long."""

from __future__ import annotations

import math
import re
from dataclasses import replace
from datetime import datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bulbcast.foundry.drying.log import (
    KNOWN_PURITY,
    DryingLog,
    DryingRules,
    Lack,
    LogEntry,
    drying_state,
)
from bulbcast.foundry.drying.rules import lack_remedy, lack_words
from bulbcast.materials.plaster import PlasterMix, purity_of_test_bar, purity_spread_of_test_bar
from bulbcast.quantities import Shown

START = datetime(2026, 6, 1, 8, 0)
SET = 3.0
BAKED = DryingRules(
    drying="baked",
    mix=PlasterMix(water=0.7, purity=0.95),
    purity_spread=0.05,
    scale_spread=0.001,
    reinforcement=0.0,
)
AIR = replace(BAKED, drying="air")
TARGET = SET * BAKED.mix.baked_share - 0.001 * (1.0 + BAKED.mix.baked_share)


def entry(what, value, hours, *, air=None, moving=None, part="drag"):
    return LogEntry(
        what=what,
        part=part,
        value=value,
        time=START + timedelta(hours=hours),
        air=air,
        moving_air=moving,
        line=1,
    )


def state_of(rules, *entries, moment=None, parts=("drag",)):
    log = DryingLog(entries=tuple(entries), sha256="", source="log.csv")
    return drying_state(dict.fromkeys(parts, SET), rules, log, moment=moment)


def baked(*weighings, moment=None, more=()):
    entries = [entry("just set", SET, 0.0)]
    entries += [entry("weighed", mass, hours, air=160.0) for mass, hours in weighings]
    return state_of(BAKED, *entries, *more, moment=moment).parts[0]


def in_air(*weighings, rules=AIR, air=40.0, moving=True):
    entries = [entry("just set", SET, 0.0)]
    entries += [entry("weighed", mass, hours, air=air, moving=moving) for mass, hours in weighings]
    return state_of(rules, *entries).parts[0]


# Baked


def test_two_weighings_an_hour_apart_at_the_mass_pass():
    part = baked((TARGET - 0.001, 30.0), (TARGET - 0.001, 31.0))
    assert part.passed
    assert part.lacks == ()
    assert part.holds_until == START + timedelta(hours=31 + 12)


def test_the_mass_is_that_of_stoichiometry_less_the_scale():
    part = baked((2.0, 30.0))
    assert part.target == pytest.approx(TARGET)
    assert part.target < 0.5882353 * SET
    assert part.left == pytest.approx(2.0 - TARGET)
    assert part.share == pytest.approx(2.0 / 3.0)


def test_a_gram_too_heavy_is_on_hold_however_constant():
    part = baked((TARGET + 0.001, 30.0), (TARGET + 0.001, 31.0), (TARGET + 0.001, 40.0))
    assert part.lacks == (Lack.TOO_HEAVY,)


def test_the_mass_once_reached_is_not_enough():
    assert baked((TARGET - 0.001, 30.0)).lacks == (Lack.WEIGHED_ONCE,)
    assert baked((TARGET - 0.001, 30.0), (TARGET - 0.001, 30.9)).lacks == (Lack.WEIGHED_ONCE,)


def test_a_tenth_of_a_per_cent_less_what_the_scale_may_hide_is_constant():
    last = TARGET - 0.004
    hidden = math.sqrt(2.0) * 0.001
    near, far = last + 0.001 * last - hidden - 1e-6, last + 0.001 * last - hidden + 1e-6
    assert baked((near, 30.0), (last, 31.0)).passed
    assert baked((far, 30.0), (last, 31.0)).lacks == (Lack.NOT_CONSTANT,)


def test_what_lies_between_the_two_weighings_counts_too():
    part = baked((TARGET - 0.001, 30.0), (TARGET + 0.02, 30.5), (TARGET - 0.001, 31.0))
    assert part.lacks == (Lack.NOT_CONSTANT,)


def test_a_part_that_takes_water_back_is_not_constant():
    assert Lack.NOT_CONSTANT in baked((TARGET - 0.020, 30.0), (TARGET - 0.001, 31.0)).lacks


def test_a_scale_too_coarse_for_a_tenth_of_a_per_cent_can_prove_nothing():
    coarse = replace(BAKED, scale_spread=0.005)
    target = coarse.target(SET)
    entries = [entry("just set", SET, 0.0)] + [entry("weighed", target - 0.001, h) for h in (30.0, 31.0)]
    assert state_of(coarse, *entries).parts[0].lacks == (Lack.SCALE_TOO_COARSE,)


def test_below_57_per_cent_the_part_is_over_baked():
    chalky = BAKED.mix.over_baked_share * SET
    assert baked((chalky + 1e-4, 30.0), (chalky + 1e-4, 31.0)).passed
    assert baked((chalky - 1e-4, 30.0), (chalky - 1e-4, 31.0)).lacks == (Lack.OVER_BAKED,)


def test_a_pass_ends_after_twelve_hours():
    weighings = ((TARGET - 0.001, 30.0), (TARGET - 0.001, 31.0))
    assert baked(*weighings, moment=START + timedelta(hours=42, minutes=59)).passed
    assert baked(*weighings, moment=START + timedelta(hours=43)).lacks == (Lack.EXPIRED,)


def test_a_pass_ends_when_the_part_cools_below_50_degrees():
    weighings = ((TARGET - 0.001, 30.0), (TARGET - 0.001, 31.0))
    assert baked(*weighings, more=[entry("temperature", 50.0, 34.0)]).passed
    assert baked(*weighings, more=[entry("temperature", 49.9, 34.0)]).lacks == (Lack.COOLED,)


def test_warming_up_again_without_weighing_does_not_bring_the_pass_back():
    weighings = ((TARGET - 0.001, 30.0), (TARGET - 0.001, 31.0))
    more = [entry("temperature", 30.0, 34.0), entry("temperature", 80.0, 36.0)]
    assert baked(*weighings, more=more).lacks == (Lack.COOLED,)


def test_an_entry_of_the_future_holds_the_pour():
    weighings = ((TARGET - 0.001, 30.0), (TARGET - 0.001, 31.0))
    assert baked(*weighings, moment=START + timedelta(hours=30.5)).lacks == (Lack.IN_THE_FUTURE,)


def test_without_a_just_set_mass_nothing_is_known():
    entries = [entry("weighed", 2.0, 30.0), entry("weighed", 2.0, 31.0)]
    part = state_of(BAKED, *entries).parts[0]
    assert part.lacks == (Lack.NOT_JUST_SET,)
    assert (part.target, part.share, part.left) == (None, None, None)


def test_of_two_just_set_masses_the_lower_counts():
    entries = [entry("just set", SET, 0.0), entry("just set", SET - 0.1, 1.0), entry("weighed", 2.0, 9.0)]
    assert state_of(BAKED, *entries).parts[0].just_set == pytest.approx(SET - 0.1)


def test_a_part_heavier_than_just_set_is_a_slip():
    assert Lack.HEAVIER_THAN_SET in baked((SET + 0.01, 30.0)).lacks


@pytest.mark.parametrize(("over", "lacks"), [(1.149, ()), (1.151, (Lack.SET_UNLIKE,))])
def test_a_just_set_mass_far_above_the_computed_one_would_let_a_damp_part_pass(over, lacks):
    dry = BAKED.target(over * SET) - 0.001
    entries = [entry("just set", over * SET, 0.0)] + [entry("weighed", dry, hours) for hours in (30.0, 31.0)]
    assert state_of(BAKED, *entries).parts[0].lacks == lacks


@pytest.mark.parametrize(("under", "lacks"), [(1.149, ()), (1.151, (Lack.SET_LIGHT,))])
def test_a_just_set_mass_far_below_the_computed_one_means_steel_or_mix_are_not_as_planned(under, lacks):
    light = SET / under
    dry = BAKED.target(light) - 0.001
    entries = [entry("just set", light, 0.0)] + [entry("weighed", dry, hours) for hours in (30.0, 31.0)]
    part = state_of(BAKED, *entries).parts[0]
    assert part.lacks == lacks
    assert lack_words(Lack.SET_LIGHT, part, Shown("metric")).startswith(
        f"it weighed {1e3 * light:.1f} g when just set, far less than the 3000.0 g computed for its block: "
    )


def test_steel_that_is_not_there_does_not_let_a_damp_part_pass():
    """If the plan has 1 kg of steel but the mould has none, the target for a 3 kg part is 2.16 kg, not 1.76 kg."""
    rules = replace(BAKED, reinforcement=1.0)
    damp = rules.target(SET) - 0.001
    entries = [entry("just set", SET, 0.0)] + [entry("weighed", damp, hours) for hours in (30.0, 31.0)]
    log = DryingLog(entries=tuple(entries), sha256="", source="log.csv")
    assert drying_state({"drag": SET + 1.0}, rules, log).parts[0].lacks == (Lack.SET_LIGHT,)


def test_a_mould_made_anew_does_not_pass_by_the_weighings_of_the_old_one():
    weighings = ((TARGET - 0.001, 30.0), (TARGET - 0.001, 31.0))
    part = baked(*weighings, more=[entry("just set", SET, 32.0)], moment=START + timedelta(hours=33))
    assert part.lacks == (Lack.MADE_ANEW,)
    assert lack_words(part.lacks[0], part, Shown("metric")) == (
        "it has not been weighed again since its last just-set weighing, and weighings of the block it replaced do not "
        "count"
    )
    once = baked(*weighings, (TARGET - 0.001, 60.0), more=[entry("just set", SET, 32.0)])
    assert once.lacks == (Lack.WEIGHED_ONCE,)


def test_a_baked_part_weighed_in_air_said_to_be_cold_is_on_hold():
    def at(air):
        entries = [entry("just set", SET, 0.0)]
        entries += [entry("weighed", TARGET - 0.001, hours, air=air) for hours in (30.0, 31.0)]
        return state_of(BAKED, *entries).parts[0]

    assert at(50.0).passed
    assert at(49.9).lacks == (Lack.WEIGHED_COLD,)
    assert lack_remedy(at(20.0), Shown("metric")) == (
        "Weigh it twice an hour apart while it stays hot in an oven or drying box, and give the temperature of that air "
        "as --room."
    )


def test_steel_in_a_part_neither_sets_nor_dries():
    steel = replace(BAKED, reinforcement=0.5)
    assert steel.target(SET + 0.5) == pytest.approx(BAKED.target(SET) + 0.5)


def test_every_part_has_to_pass_and_the_first_to_expire_ends_it():
    entries = []
    for part, hours in (("drag", 30.0), ("cope", 33.0)):
        entries.append(entry("just set", SET, 0.0, part=part))
        entries += [entry("weighed", TARGET - 0.001, at, part=part) for at in (hours, hours + 1.0)]
    both = state_of(BAKED, *entries, parts=("drag", "cope"))
    assert both.passed
    assert both.holds_until == START + timedelta(hours=43)
    one = state_of(BAKED, *entries[:-1], parts=("drag", "cope"))
    assert not one.passed
    assert one.holds_until is None


def test_an_empty_log_holds_every_part():
    state = drying_state({"drag": SET, "cope": SET}, BAKED, None)
    assert [part.lacks for part in state.parts] == [(Lack.NOT_JUST_SET, Lack.NOT_WEIGHED)] * 2
    assert state.moment is None


def test_without_a_way_of_drying_nothing_passes():
    rules = replace(BAKED, drying=None)
    entries = [entry("just set", SET, 0.0), entry("weighed", 2.0, 30.0), entry("weighed", 2.0, 60.0)]
    assert state_of(rules, *entries).parts[0].lacks == (Lack.DRYING_NOT_SAID,)


# In air


def dry_air(rules=AIR):
    return rules.target(SET) - 0.001


def test_in_air_two_weighings_a_day_apart_in_warm_moving_air_pass():
    part = in_air((dry_air(), 100.0), (dry_air(), 124.0))
    assert part.passed
    assert in_air((dry_air(), 100.0), (dry_air(), 123.0)).lacks == (Lack.WEIGHED_ONCE,)


@pytest.mark.parametrize(
    ("air", "moving"), [(29.0, True), (46.0, True), (40.0, False), (None, True), (40.0, None)]
)
def test_in_cool_hot_or_still_air_constant_mass_proves_nothing(air, moving):
    assert in_air((dry_air(), 100.0), (dry_air(), 124.0), air=air, moving=moving).lacks == (Lack.NOT_WARM,)


def test_in_air_the_mass_asked_for_is_never_above_the_computed_one_at_the_likely_purity():
    sure = replace(AIR, purity_spread=0.0, scale_spread=0.0)
    assert sure.target(SET) == pytest.approx(AIR.mix.air_share * SET)
    assert AIR.target(SET) < AIR.mix.air_share * SET


def test_in_air_one_spread_of_purity_lies_on_the_safe_side():
    """The target is the dry mass of plaster that is one standard deviation less pure, plus at most the 0.2 % within which
    a mass counts as constant."""
    poor = PlasterMix(water=0.7, purity=0.90).air_share
    assert AIR.safe_share == pytest.approx(poor)
    assert AIR.target(SET) <= 1.002 * poor * SET


@pytest.mark.parametrize("purity", [0.80, 0.95, 1.0])
@pytest.mark.parametrize("just_set", [1.6, 3.0, 9.0])
@pytest.mark.parametrize(("bar", "scale"), [(0.5, 0.001), (1.0, 0.001), (0.25, 0.0001)])
def test_a_mould_at_its_dry_mass_by_a_test_bar_passes_when_it_is_constant(purity, just_set, bar, scale):
    """Both readings of the bar are off in the worst direction by the scale's spread: too light when dry, too heavy when
    just set."""
    share = PlasterMix(water=0.7, purity=purity).air_share
    wet, dry = bar + scale / 2.0, bar * share - scale / 2.0
    said = purity_of_test_bar(just_set=wet, dry=dry, water=0.7)
    spread = purity_spread_of_test_bar(just_set=wet, dry=dry, water=0.7, sand=0.0, scale_spread=scale)
    assert spread <= KNOWN_PURITY
    rules = replace(
        AIR, mix=PlasterMix(water=0.7, purity=said), purity_spread=spread, scale_spread=scale / 2.0
    )
    by_bar = just_set * rules.mix.air_share
    for mass in (by_bar, just_set * share):
        entries = [entry("just set", just_set, 0.0)]
        entries += [entry("weighed", mass, hours, air=40.0, moving=True) for hours in (100.0, 124.0)]
        log = DryingLog(entries=tuple(entries), sha256="", source="log.csv")
        assert drying_state({"drag": just_set}, rules, log).parts[0].lacks == ()


def test_what_scale_and_bar_may_be_off_by_is_all_that_is_granted():
    rules = replace(AIR, purity_spread=KNOWN_PURITY)
    dry, spread = rules.end_share(None)
    granted = math.hypot(0.001, 0.001 * dry, spread * SET)
    assert rules.target(SET) == pytest.approx(dry * SET + granted)
    assert granted < 0.003 * SET
    damp = rules.target(SET) + 0.001
    assert in_air((damp, 100.0), (damp, 124.0), rules=rules).lacks == (Lack.TOO_HEAVY,)


@pytest.mark.parametrize("units", ["metric", "imperial"])
@pytest.mark.parametrize("rules", [BAKED, AIR, replace(AIR, purity_spread=0.01)])
def test_no_part_weighs_a_mass_and_has_to_come_down_to_the_same(units, rules):
    shown, target = Shown(units), rules.target(SET)
    for over in (1e-7, 1e-5, 4e-5, 2e-4, 2e-3, 0.1):
        entries = [entry("just set", SET, 0.0)]
        entries += [entry("weighed", target + over, h, air=40.0, moving=True) for h in (100.0, 124.0)]
        part = state_of(rules, *entries).parts[0]
        assert Lack.TOO_HEAVY in part.lacks
        words = lack_words(Lack.TOO_HEAVY, part, shown)
        weighs, asked = re.fullmatch(r"it weighs (.+?) and (must .+)", words).groups()
        assert weighs not in asked
        assert not re.search(r"(?<![\d.])0(\.0+)? (g|oz)", asked)
    assert state_of(rules, entry("just set", SET, 0.0), entry("weighed", target, 9.0)).parts[0].left == 0.0


def test_what_is_still_to_lose_is_known_from_the_first_weighing_on():
    part = baked()
    assert (part.latest, part.left) == (None, pytest.approx(SET - TARGET))
    assert baked((2.5, 10.0)).left == pytest.approx(2.5 - TARGET)
    assert baked((TARGET, 10.0)).left == 0.0


def test_in_air_nothing_counts_as_over_baked_and_what_air_cannot_reach_is_a_slip():
    """Pounds typed as kilograms make a damp part seem too dry: 0.45 of its mass is below anhydrite's 55.2 %."""
    low = AIR.mix.over_baked_share * SET
    assert in_air((low + 0.0005, 100.0), (low + 0.0005, 124.0)).passed
    assert in_air((low - 0.001, 100.0), (low - 0.001, 124.0)).lacks == (Lack.LIGHTER_THAN_CAN_BE,)
    damp_in_pounds = 0.45359237 * 0.95 * SET
    part = in_air((damp_in_pounds, 100.0), (damp_in_pounds, 124.0))
    assert part.lacks == (Lack.LIGHTER_THAN_CAN_BE,)
    assert lack_remedy(part, Shown("metric")) == (
        'Fix the line in the log; if the part was baked, set drying = "baked" under [mould].'
    )


# Whatever is logged


WEIGHINGS = st.lists(st.tuples(st.floats(1.5, 3.1), st.floats(1.0, 300.0)), min_size=1, max_size=8)


@given(WEIGHINGS, st.sampled_from([BAKED, AIR]))
def test_nothing_above_the_computed_mass_ever_passes(weighings, rules):
    entries = [entry("just set", SET, 0.0)]
    entries += [entry("weighed", mass, hours, air=40.0, moving=True) for mass, hours in weighings]
    part = state_of(rules, *entries).parts[0]
    share = rules.computed_share
    if part.passed:
        assert part.latest.value <= share * SET
        assert len(weighings) >= 2


@given(WEIGHINGS, st.randoms())
def test_the_order_of_the_lines_does_not_matter(weighings, random):
    entries = [entry("just set", SET, 0.0)]
    entries += [entry("weighed", mass, hours + 0.001 * n) for n, (mass, hours) in enumerate(weighings)]
    one = state_of(BAKED, *entries).parts[0]
    random.shuffle(entries)
    assert state_of(BAKED, *entries).parts[0] == one


@given(WEIGHINGS)
def test_one_more_weighing_above_the_mass_takes_every_pass_away(weighings):
    entries = [entry("just set", SET, 0.0)]
    entries += [entry("weighed", mass, hours) for mass, hours in weighings]
    part = state_of(BAKED, *entries, entry("weighed", TARGET + 0.01, 301.0)).parts[0]
    assert Lack.TOO_HEAVY in part.lacks
