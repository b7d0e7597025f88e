"""Pattern materials, shop rules, contraction and finish."""

from __future__ import annotations

from fractions import Fraction

import pytest

from bulbcast.materials.patterns import pattern_materials
from bulbcast.materials.shop_rules import mass_change, shop_rules
from bulbcast.pattern.cast_body import default_finish
from bulbcast.pattern.contraction import pattern_scale, rule_costs


def test_the_usual_pattern_materials_are_there():
    names = {one.name for one in pattern_materials()}
    assert {"PLA", "PETG", "ABS", "pine", "lime", "basswood", "beech", "MDF", "rigid foam"} <= names
    assert len(names) == len(pattern_materials())


@pytest.mark.parametrize("material", pattern_materials(), ids=lambda one: one.name)
def test_each_pattern_material_lies_in_its_range_and_names_its_source(material):
    assert 0 < material.lowest <= material.density <= material.highest < 2000
    assert "from memory" in material.source
    assert material.note


def test_the_shop_rules_are_exact_fractions_of_a_foot():
    assert [rule.ratio for rule in shop_rules()] == [Fraction(7, 384), Fraction(5, 192)]
    assert [rule.contraction for rule in shop_rules()] == [7 / 384, 5 / 192]
    assert [rule.name for rule in shop_rules()] == ["7/32 in per foot", "5/16 in per foot"]


def test_a_rule_equal_to_the_own_contraction_costs_nothing():
    assert mass_change(0.0098, 0.0098) == 0.0


def test_a_rule_costs_the_cube_of_the_ratio_of_lengths():
    assert mass_change(0.1, 0.0) == pytest.approx(1.331 - 1, rel=1e-12)
    assert mass_change(0.0, 0.1) == pytest.approx(1 / 1.331 - 1, rel=1e-12)


def test_the_pattern_is_larger_by_contraction_and_smaller_by_the_moulds_growth():
    assert pattern_scale(0.0098, 0.002) == 1.0098 / 1.002
    assert pattern_scale(0.01, 0.01) == 1.0
    assert pattern_scale(0.0, -0.0005) > 1.0


def test_the_cost_of_each_rule_does_not_depend_on_the_mould():
    plain, grown = rule_costs(0.0098, 0.0), rule_costs(0.0098, 0.002)
    assert [one.mass_change for one in plain] == [one.mass_change for one in grown]
    # Scale by rule over own scale, cubed, is the same change of mass.
    own = pattern_scale(0.0098, 0.002)
    assert [(one.scale / own) ** 3 - 1 for one in grown] == pytest.approx(
        [one.mass_change for one in grown], rel=1e-12
    )


@pytest.mark.parametrize(
    ("diameter", "finish"),
    [(0.010, 0.1e-3), (0.020, 0.1e-3), (0.040, 0.2e-3), (0.100, 0.5e-3), (0.200, 0.5e-3)],
)
def test_the_default_finish_is_half_a_per_cent_between_its_limits(diameter, finish):
    assert default_finish(diameter) == pytest.approx(finish, rel=1e-12)
