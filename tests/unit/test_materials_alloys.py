"""Alloys: the built-in grades, the ways to describe a metal, and rejected values."""

from __future__ import annotations

import math
import re

import pytest

from bulbcast.materials.alloys import (
    AlloyError,
    WeighedSampleError,
    alloy_of_composition,
    alloy_of_density,
    alloy_of_grade,
    alloy_of_weighed_sample,
    density_of_composition,
    density_of_weighed_sample,
    elements,
    grades,
    rule_spread,
)

SB4 = (("Pb", 0.96), ("Sb", 0.04))


def says(text: str) -> str:
    """Regular expression that matches exactly this message."""
    return f"^{re.escape(text)}$"


def test_the_grades_are_those_a_plan_may_name():
    assert grades() == (
        "pure",
        "sheet",
        "antimonial-2",
        "antimonial-4",
        "antimonial-6",
        "wheel-weights",
        "linotype",
        "unknown",
    )


@pytest.mark.parametrize(
    ("grade", "density", "contraction", "dross"),
    [
        ("pure", 11340.0, 0.0098, 0.02),
        ("sheet", 11335.0, 0.0098, 0.04),
        ("antimonial-2", 1 / (0.98 / 11340 + 0.02 / 6697), 0.0085, 0.04),
        ("antimonial-4", 1 / (0.96 / 11340 + 0.04 / 6697), 0.0075, 0.04),
        ("antimonial-6", 1 / (0.94 / 11340 + 0.06 / 6697), 0.0068, 0.04),
        ("wheel-weights", 11120.0, 0.0078, 0.22),
        ("linotype", 1 / (0.84 / 11340 + 0.12 / 6697 + 0.04 / 7287), 0.0062, 0.04),
        ("unknown", 11100.0, 0.0080, 0.25),
    ],
)
def test_each_grade_has_the_density_contraction_and_dross_agreed_for_it(grade, density, contraction, dross):
    alloy = alloy_of_grade(grade)
    assert alloy.density == pytest.approx(density, rel=1e-12)
    assert (alloy.contraction, alloy.dross, alloy.contraction_spread) == (contraction, dross, 0.0035)


def test_only_the_unknown_grade_is_unknown_and_no_grade_is_interpolated():
    assert [one for one in grades() if alloy_of_grade(one).unknown] == ["unknown"]
    assert not any(alloy_of_grade(one).interpolated for one in grades())


def test_the_spreads_of_wheel_weights_and_unknown_scrap_are_70_and_200():
    spreads = [alloy_of_grade(grade).density_spread for grade in ("wheel-weights", "unknown")]
    assert spreads == [70.0, 200.0]


@pytest.mark.parametrize("grade", grades())
def test_no_grade_is_solid_above_its_liquidus_or_without_a_source(grade):
    alloy = alloy_of_grade(grade)
    assert 200.0 < alloy.solidus <= alloy.liquidus <= 327.46
    sources = (
        alloy.density_source,
        alloy.density_spread_source,
        alloy.contraction_source,
        alloy.contraction_spread_source,
        alloy.melting_source,
        alloy.dross_source,
    )
    assert all(len(source) > 5 for source in sources)


def test_heavier_grades_contract_more_and_melt_hotter():
    known = sorted(
        (alloy_of_grade(grade) for grade in grades() if grade != "unknown"), key=lambda one: one.density
    )
    for name in ("contraction", "solidus", "liquidus"):
        values = [getattr(one, name) for one in known]
        assert values == sorted(values)


def test_an_unknown_grade_is_refused_with_the_names_there_are():
    text = (
        'There is no alloy grade called "hard"; the grades are pure, sheet, antimonial-2, antimonial-4, '
        "antimonial-6, wheel-weights, linotype, unknown."
    )
    with pytest.raises(AlloyError, match=says(text)):
        alloy_of_grade("hard")


def test_halfway_between_two_grades_lies_half_their_contraction_and_liquidus():
    low, high = alloy_of_grade("antimonial-6"), alloy_of_grade("antimonial-4")
    alloy = alloy_of_density((low.density + high.density) / 2)
    assert alloy.contraction == pytest.approx((low.contraction + high.contraction) / 2, rel=1e-12)
    assert alloy.liquidus == pytest.approx((low.liquidus + high.liquidus) / 2, rel=1e-12)
    assert alloy.interpolated
    assert alloy.contraction_source == (
        "interpolated by density between antimonial-6 (10.887 g/cm3) and antimonial-4 (11.034 g/cm3)"
    )


@pytest.mark.parametrize("grade", [one for one in grades() if one != "unknown"])
def test_a_density_that_is_a_grades_own_gets_that_grades_contraction(grade):
    known = alloy_of_grade(grade)
    alloy = alloy_of_density(known.density)
    assert (alloy.contraction, alloy.liquidus) == pytest.approx(
        (known.contraction, known.liquidus), rel=1e-12
    )


def test_the_unknown_grade_takes_no_part_in_the_interpolation():
    # 11100 lies between antimonial-4 (11034) and wheel-weights (11120), where unknown's own
    # 0.80 % would stand above both.
    low, high = alloy_of_grade("antimonial-4"), alloy_of_grade("wheel-weights")
    share = (11100.0 - low.density) / (high.density - low.density)
    expected = low.contraction + share * (high.contraction - low.contraction)
    assert alloy_of_density(11100.0).contraction == pytest.approx(expected, rel=1e-12)


@pytest.mark.parametrize(
    ("density", "end", "words"),
    [
        (11500.0, "pure", "same as for pure (11.340 g/cm3), the nearest grade"),
        (9000.0, "linotype", "same as for linotype (10.258 g/cm3), the nearest grade"),
    ],
)
def test_beyond_the_grades_the_end_value_is_held_and_said_so(density, end, words):
    alloy, last = alloy_of_density(density), alloy_of_grade(end)
    assert (alloy.contraction, alloy.liquidus) == (last.contraction, last.liquidus)
    assert (alloy.contraction_source, alloy.melting_source) == (words, words)


def test_an_alloy_without_a_grade_loses_what_clean_metal_of_its_density_loses():
    # Clips and dirt are not in a composition, a density or a sample: as the clean grades, never the 22 % of clips.
    sample = alloy_of_weighed_sample(in_air=5.12, in_water=4.664, water_density=998.2, reading_spread=1e-4)
    alloys = (alloy_of_density(11120.0), alloy_of_composition(SB4), sample, alloy_of_density(10000.0))
    assert [one.dross for one in alloys] == pytest.approx([0.04] * 4)
    assert alloy_of_density(11340.0).dross == alloy_of_grade("pure").dross
    assert alloy_of_density(11337.5).dross == pytest.approx(0.03)
    assert all("clean metal" in one.dross_source for one in alloys)


def test_a_typed_density_has_half_a_per_cent_of_spread_unless_one_is_given():
    assert alloy_of_density(11200.0).density_spread == pytest.approx(56.0, rel=1e-12)
    assert alloy_of_density(11200.0, 0.0).density_spread == 0.0


@pytest.mark.parametrize("density", [4999.9, 11600.1, -11340.0, math.nan, math.inf])
def test_a_density_that_no_lead_alloy_has_is_refused(density):
    text = (
        f"A density of {density / 1000:.6g} g/cm3 is not that of a lead alloy: it must be between 5 and 11.6 g/cm3. Pure "
        "lead is 11.34 g/cm3."
    )
    with pytest.raises(AlloyError, match=says(text)):
        alloy_of_density(density)


@pytest.mark.parametrize("density", [5000.0, 11600.0])
def test_both_ends_of_the_range_of_densities_are_taken(density):
    assert alloy_of_density(density).density == density


def test_a_spread_below_zero_is_refused():
    text = "The density's spread is -0.1 g/cm3; it must be zero or more."
    with pytest.raises(AlloyError, match=says(text)):
        alloy_of_density(11000.0, -100.0)


def test_the_rule_adds_volumes_not_densities():
    # Half lead, half tin by mass: twice the harmonic mean of the two, not their mean.
    assert density_of_composition((("Pb", 0.5), ("Sn", 0.5))) == pytest.approx(
        2 / (1 / 11340 + 1 / 7287), rel=1e-15
    )


def test_a_composition_does_not_depend_on_the_order_of_its_elements():
    assert density_of_composition(SB4) == pytest.approx(density_of_composition(SB4[::-1]), rel=1e-15)


def test_a_composition_may_hold_seven_elements():
    assert elements() == ("Pb", "Sb", "Sn", "As", "Bi", "Ag", "Cu")


def test_the_spread_of_a_composition_is_the_rules_and_larger_with_tin():
    assert alloy_of_composition(SB4).density_spread == pytest.approx(0.001 * density_of_composition(SB4))
    assert rule_spread((("Pb", 0.98), ("Sb", 0.01), ("As", 0.01))) == 0.001
    assert rule_spread((("Pb", 0.84), ("Sb", 0.12), ("Sn", 0.04))) == 0.004


@pytest.mark.parametrize(
    ("composition", "text"),
    [
        (
            (("Pb", 0.9), ("Zn", 0.1)),
            'No density is known for "Zn"; a composition may contain Pb, Sb, Sn, As, Bi, Ag, Cu. '
            "Omit elements present only in traces, or weigh a sample in air and in water.",
        ),
        (
            (("Pb", 0.5), ("Pb", 0.5)),
            "Pb appears twice in the composition. Give it once, with its total fraction.",
        ),
        (
            (("Pb", 1.04), ("Sb", -0.04)),
            "Sb makes up -4 % of the composition. Give a fraction from 0 to 100 %.",
        ),
        (
            (("Pb", math.nan),),
            "Pb makes up nan % of the composition. Give a fraction from 0 to 100 %.",
        ),
        (
            (("Pb", 0.9), ("Sb", 0.04)),
            "The fractions in the composition add up to 94 %, not to 100 %. Give every element, including lead.",
        ),
        (
            (),
            "The fractions in the composition add up to 0 %, not to 100 %. Give every element, including lead.",
        ),
    ],
)
def test_a_composition_that_cannot_be_is_refused(composition, text):
    with pytest.raises(AlloyError, match=says(text)):
        alloy_of_composition(composition)


AIR = 1.2  # kg/m3, OIML R 111-1


def test_a_sample_of_known_volume_gives_back_its_density():
    volume, density, water = 4.5e-5, 11120.0, 998.2
    found = density_of_weighed_sample(
        in_air=(density - AIR) * volume, in_water=(density - water) * volume, water_density=water
    )
    assert found == pytest.approx(density, rel=1e-12)


def test_voids_in_the_sample_are_taken_out_of_its_density():
    solid, porosity, water = 11120.0, 0.02, 998.2
    bulk = solid * (1 - porosity)
    found = density_of_weighed_sample(
        in_air=bulk - AIR, in_water=bulk - water, water_density=water, sample_porosity=porosity
    )
    assert found == pytest.approx(solid, rel=1e-12)


def test_the_spread_of_a_weighed_sample_is_that_of_its_two_readings():
    # Against central differences of the density itself, one reading at a time.
    air, water_reading, water, step = 0.512, 0.4664, 998.207, 1e-7
    alloy = alloy_of_weighed_sample(
        in_air=air, in_water=water_reading, water_density=water, sample_porosity=0.01, reading_spread=5e-4
    )

    def density(a: float, w: float) -> float:
        return density_of_weighed_sample(in_air=a, in_water=w, water_density=water, sample_porosity=0.01)

    by_air = (density(air + step, water_reading) - density(air - step, water_reading)) / (2 * step)
    by_water = (density(air, water_reading + step) - density(air, water_reading - step)) / (2 * step)
    assert alloy.density_spread == pytest.approx(5e-4 * math.hypot(by_air, by_water), rel=1e-6)
    assert alloy.density == density(air, water_reading)
    assert alloy.interpolated
    assert not alloy.unknown


def test_the_lift_of_the_air_is_a_thousandth_as_the_docstring_says():
    air, water_reading, water = 0.512, 0.4664, 998.207
    without = air * water / (air - water_reading)
    found = density_of_weighed_sample(in_air=air, in_water=water_reading, water_density=water)
    assert without / found - 1 == pytest.approx(0.0011, abs=5e-5)
    assert without - found == pytest.approx(12.0, abs=0.5)


def test_what_the_air_does_to_the_scales_weights_falls_out():
    # A scale set with weights of 8000 kg/m3 in the same air reads each mass 1 / (1 - 1.2 / 8000) too high.
    volume, density, water = 4.5e-5, 11120.0, 998.2
    scale = 1.0 / (1.0 - AIR / 8000.0)
    found = density_of_weighed_sample(
        in_air=(density - AIR) * volume * scale,
        in_water=(density - water) * volume * scale,
        water_density=water,
    )
    assert found == pytest.approx(density, rel=1e-12)


@pytest.mark.parametrize(
    ("readings", "text"),
    [
        (
            {"in_air": 0.4664, "in_water": 0.512},
            "The sample weighs 466.4 g in air and 512 g in water. It must be lighter in water than in air. Check "
            "that the readings are not swapped and that the piece hangs clear of the bottom.",
        ),
        (
            {"in_air": 0.0, "in_water": 0.0},
            "The sample weighs 0 g in air and 0 g in water. The reading in air must be above zero and the "
            "reading in water zero or more. Weigh the piece dry, then hang it on a thread completely under water.",
        ),
        (
            {"in_air": 0.512, "in_water": -0.1},
            "The sample weighs 512 g in air and -100 g in water. The reading in air must be above zero and the "
            "reading in water zero or more. Weigh the piece dry, then hang it on a thread completely under water.",
        ),
        (
            {"in_air": 0.512, "in_water": 0.3},
            "The sample weighs 512 g in air and 300 g in water, which gives a density of 2.409 g/cm3; it must "
            "be between 5 and 11.6 g/cm3. Weigh it again on a thin thread, completely under water, clear of the vessel "
            "and free of air bubbles, with both readings in the same unit. If the result is the same, the piece is not "
            "a lead alloy: do not melt it.",
        ),
        (
            {"in_air": 0.512, "in_water": 0.467, "sample_porosity": 0.05},
            "The sample weighs 512 g in air and 467 g in water and contains 5 % voids, which gives a density of "
            "11.94 g/cm3; it must be between 5 and 11.6 g/cm3. Weigh it again on a thin thread, completely under "
            "water, clear of the vessel and free of air bubbles, with both readings in the same unit. If the result is "
            "the same, the piece is not a lead alloy: do not melt it.",
        ),
        (
            {"in_air": 0.512, "in_water": 0.4664, "sample_porosity": 1.0},
            "The weighed sample's porosity is 100 %; it must be at least 0 % and below 100 %.",
        ),
        (
            {"in_air": 0.512, "in_water": 0.4664, "reading_spread": -0.001},
            "The standard deviation of one reading is -1 g; it must be zero or more.",
        ),
    ],
)
def test_a_weighed_sample_that_cannot_be_lead_says_what_was_read_and_what_to_do(readings, text):
    with pytest.raises(WeighedSampleError, match=says(text)):
        alloy_of_weighed_sample(**({"water_density": 998.2, "reading_spread": 1e-3} | readings))


def test_a_faultless_scale_gives_no_spread():
    alloy = alloy_of_weighed_sample(in_air=0.512, in_water=0.4664, water_density=998.2, reading_spread=0.0)
    assert alloy.density_spread == 0.0
