"""Figures shown together have the same unit, a spread next to each value, and as many digits as a workshop needs."""

from __future__ import annotations

import pickle

import pytest

from bulbcast.quantities import Dimension, Shown, alike, give_or_take, in_one_unit, read_quantity, worded

METRIC, IMPERIAL = Shown("metric"), Shown("imperial")


def column(write, *values):
    return [row[0] for row in in_one_unit([[write(value)] for value in values])]


@pytest.mark.parametrize(
    ("write", "values", "texts"),
    [
        (METRIC.mass, (3.0294, 6.127), ["3.029 kg", "6.127 kg"]),
        (METRIC.mass, (0.0031, 0.742), ["3.10 g", "742.0 g"]),
        (METRIC.mass, (0.00041, 140.0), ["0.00041 kg", "140.00 kg"]),
        (METRIC.length, (0.95, 7.6), ["0.950 m", "7.600 m"]),
        (METRIC.length, (0.0002, 7.6), ["0.20 mm", "7600.0 mm"]),
        (METRIC.density, (11328.0, 19.2), ["11.328 g/cm3", "0.019 g/cm3"]),
        (METRIC.volume, (0.0132, 3.1e-6), ["13.200 l", "0.0031 l"]),
        (METRIC.area, (0.36, 23.04), ["0.360 m2", "23.040 m2"]),
        (METRIC.force, (240.0, 10980.0), ["0.24 kN", "10.98 kN"]),
        (METRIC.pressure, (152.3e6, 70e9), ["0.15 GPa", "70.0 GPa"]),
        (METRIC.moment, (0.004, 0.35), ["4.0 kg mm", "350.0 kg mm"]),
        (IMPERIAL.mass, (0.2, 2.0), ["0 lb 7.1 oz", "4 lb 6.5 oz"]),
        (IMPERIAL.mass, (0.01, 0.2), ["0.35 oz", "7.1 oz"]),
        (IMPERIAL.density, (11340.0, 19.2), ["0.4097 lb/in3", "0.00069 lb/in3"]),
    ],
)
def test_a_column_is_written_in_the_unit_of_its_largest_figure(write, values, texts):
    assert column(write, *values) == texts


def test_what_stands_in_one_unit_still_reads_as_what_it_was():
    for write, dimension, values in (
        (METRIC.mass, Dimension.MASS, (0.0031, 0.742, 140.0)),
        (IMPERIAL.mass, Dimension.MASS, (0.0031, 0.742, 140.0)),
        (METRIC.length, Dimension.LENGTH, (0.0002, 7.6)),
    ):
        for text, value in zip(column(write, *values), values, strict=True):
            assert read_quantity(text, dimension) == pytest.approx(value, rel=0.05)


def test_times_and_plain_texts_stay_as_they_are():
    rows = [["pause", METRIC.duration(6.3)], ["wait", METRIC.duration(2700.0)], ["", "as given"]]
    assert in_one_unit(rows) == [("pause", "6.3 s"), ("wait", "45 min"), ("", "as given")]


def test_words_round_figures_do_not_hide_them():
    size = worded("{} by {}{}", METRIC.length(0.03), METRIC.length(0.04), " {deep}")
    assert size == "30.0 mm by 40.0 mm {deep}"
    assert in_one_unit([[size, METRIC.length(7.6)]]) == [("30.0 mm by 40.0 mm {deep}", "7600.0 mm")]
    long = worded("{} by {}", METRIC.length(0.3), METRIC.length(0.4))
    assert in_one_unit([[long, METRIC.length(7.6)]]) == [("0.300 m by 0.400 m", "7.600 m")]
    assert in_one_unit([[pickle.loads(pickle.dumps(long)), METRIC.length(7.6)]])[0][0] == "0.300 m by 0.400 m"


def test_the_two_systems_are_not_mixed_up():
    both = METRIC.length_both(0.3), METRIC.length_both(7.6)
    assert in_one_unit([both]) == [("0.300 m (11 13/16 in)", "7.600 m (299 7/32 in)")]


def test_a_spread_has_the_unit_of_its_value():
    assert give_or_take(METRIC.density(11328.0), METRIC.density(19.2)) == (
        "11.328 g/cm3, give or take 0.019 g/cm3"
    )
    assert give_or_take(METRIC.mass(6.4), METRIC.mass(0.141)) == "6.400 kg, give or take 0.141 kg"
    assert alike("{} of {}", METRIC.mass(0.3), METRIC.mass(7.0)) == "0.300 kg of 7.000 kg"


@pytest.mark.parametrize(
    ("text", "figure"),
    [
        (METRIC.workshop.mass(14.485), "14.5 kg"),
        (METRIC.workshop.mass(0.2697), "270 g"),
        (METRIC.workshop.mass(10.0), "10.0 kg"),
        (METRIC.workshop.mass(1234.5), "1230 kg"),
        (METRIC.workshop.mass(0.0), "0 g"),
        (METRIC.workshop.force(142.05), "142 N"),
        (METRIC.workshop.area(0.27318), "2730 cm2"),
        (METRIC.workshop.other.mass(14.485), "31 lb 15 oz"),
        (IMPERIAL.workshop.mass(0.2697), "9.5 oz"),
    ],
)
def test_a_workshops_figure_has_three_digits(text, figure):
    assert text == figure


def test_a_workshops_figure_keeps_its_digits_in_a_column():
    assert column(METRIC.workshop.mass, 0.2697, 14.485) == ["0.270 kg", "14.5 kg"]
