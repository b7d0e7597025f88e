"""Conversion of typed quantities to SI and back: accepted forms, rejected forms and their messages."""

from __future__ import annotations

import math
import pickle

import pytest

from bulbcast.quantities import (
    UNITS,
    WORDS,
    Dimension,
    QuantityError,
    Shown,
    quoted,
    read_quantity,
    read_quantity_of,
)

# The international yard and pound agreement of 1959: both exact.
INCH = 0.0254
POUND = 0.45359237

METRIC = Shown("metric")
IMPERIAL = Shown("imperial")


@pytest.mark.parametrize(
    ("text", "metres"),
    [
        ("70mm", 0.070),
        ("70 mm", 0.070),
        ("  70   mm ", 0.070),
        ("70.0 MM", 0.070),
        ("7 cm", 0.070),
        (".07 m", 0.070),
        ("+70 mm", 0.070),
        ("-330 mm", -0.330),
        ("−330 mm", -0.330),
        ("20 µm", 20e-6),
        ("5/16 in", 0.0079375),
        ("13 1/4 in", 0.33655),
        ("13-1/4 in", 0.33655),
        ('13-1/4"', 0.33655),
        ("13¼ in", 0.33655),
        ("13 ¼ inches", 0.33655),
        ("13-¼ inch", 0.33655),
        ("13 1⁄4 in.", 0.33655),
        ("-13 1/4 in", -0.33655),
        ("½ in", 0.0127),
        ("⅜″", 0.009525),
        ("5 ft 6 in", 1.6764),
        ("5 ft 6", 1.6764),
        ("5ft6", 1.6764),
        ("5ft3", 1.6002),
        ("5' 6\"", 1.6764),
        ("5’6”", 1.6764),
        ("5'-6\"", 1.6764),
        ("5' 6''", 1.6764),
        ("5' 6 1/2\"", 1.6891),
        ("-5 ft 6 in", -1.6764),
        ("5.5 ft", 1.6764),
        ("5 1/2 ft", 1.6764),
        ("20 thou", 0.000508),
        ("0 mm", 0.0),
    ],
)
def test_a_length_is_read_as_a_builder_types_it(text, metres):
    assert read_quantity(text, Dimension.LENGTH) == metres


@pytest.mark.parametrize(
    ("text", "kilograms"),
    [
        ("2.45 kg", 2.45),
        ("2450 g", 2.45),
        ("2450G", 2.45),
        ("2 450/1000 kg", 2.45),
        ("0.00245 t", 2.45),
        ("4 lb", 4 * POUND),
        ("4 lb 14 oz", 4.875 * POUND),
        ("4lb14", 4.875 * POUND),
        ("4 lb 14", 4.875 * POUND),
        ("4lbs14oz", 4.875 * POUND),
        ("4 pounds 14 ounces", 4.875 * POUND),
        ("78 oz", 4.875 * POUND),
        ("4 7/8 lb", 4.875 * POUND),
        ("4 lb 14 1/2 oz", 4.90625 * POUND),
        ("4lb14.5", 4.90625 * POUND),
        ("0 lb 14 oz", 0.875 * POUND),
    ],
)
def test_a_mass_is_read_as_a_builder_types_it(text, kilograms):
    assert read_quantity(text, Dimension.MASS) == pytest.approx(kilograms, rel=1e-15, abs=0.0)


@pytest.mark.parametrize(
    ("text", "dimension", "value"),
    [
        ("0.4 %", Dimension.RATIO, 0.004),
        ("-0.05%", Dimension.RATIO, -0.0005),
        ("5/16 in/ft", Dimension.RATIO, 5 / 192),
        ("10 mm/m", Dimension.RATIO, 0.01),
        ("350 C", Dimension.TEMPERATURE, 350.0),
        ("350°C", Dimension.TEMPERATURE, 350.0),
        ("350 degC", Dimension.TEMPERATURE, 350.0),
        ("-40 F", Dimension.TEMPERATURE, -40.0),
        ("212 °F", Dimension.TEMPERATURE, 100.0),
        ("0 K", Dimension.TEMPERATURE, -273.15),
        ("11.1 g/cm3", Dimension.DENSITY, 11100.0),
        ("11.1 g/cm^3", Dimension.DENSITY, 11100.0),
        ("11.1 g/cm³", Dimension.DENSITY, 11100.0),
        ("11.1 g / cc", Dimension.DENSITY, 11100.0),
        ("11.1 kg/l", Dimension.DENSITY, 11100.0),
        ("11100 kg/m3", Dimension.DENSITY, 11100.0),
        ("180 deg", Dimension.ANGLE, math.pi),
        ("90°", Dimension.ANGLE, math.pi / 2),
        ("0.1 rad", Dimension.ANGLE, 0.1),
        ("3600 kn", Dimension.SPEED, 1852.0),
        ("36 km/h", Dimension.SPEED, 10.0),
        ("1.5 m/s", Dimension.SPEED, 1.5),
        ("120 cm2", Dimension.AREA, 0.012),
        ("250 ml", Dimension.VOLUME, 0.00025),
        ("1 kgf", Dimension.FORCE, 9.80665),
        ("1.5 h", Dimension.TIME, 5400.0),
        ("5 kW", Dimension.POWER, 5000.0),
        ("12 MPa", Dimension.PRESSURE, 12e6),
    ],
)
def test_other_quantities_are_read_to_si(text, dimension, value):
    assert read_quantity(text, dimension) == value


@pytest.mark.parametrize(
    ("text", "dimension", "value"),
    [
        ("0.41 lb/in3", Dimension.DENSITY, 0.41 * POUND / INCH**3),
        ("708 lb/ft3", Dimension.DENSITY, 708 * POUND / (12 * INCH) ** 3),
        ("6.56 oz/in3", Dimension.DENSITY, 6.56 * POUND / 16 / INCH**3),
        ("1 mph", Dimension.SPEED, 1609.344 / 3600),
        ("15 in3", Dimension.VOLUME, 15 * INCH**3),
        ("1 psi", Dimension.PRESSURE, POUND * 9.80665 / INCH**2),
    ],
)
def test_imperial_units_follow_from_the_inch_and_the_pound(text, dimension, value):
    assert read_quantity(text, dimension) == pytest.approx(value, rel=1e-14, abs=0.0)


@pytest.mark.parametrize(
    ("dimension", "texts"),
    [
        (Dimension.LENGTH, ("5/16 in", "0.3125 in", "7.9375 mm", "0.79375 cm", "0.0079375 m", "10/32 in")),
        (Dimension.LENGTH, ("66 in", "5 ft 6 in", "5' 6\"", "5 1/2 ft", "1676.4 mm")),
        (Dimension.MASS, ("2.45 kg", "2450 g", "2 9/20 kg", "0.00245 t")),
        (Dimension.MASS, ("4 lb 14 oz", "78 oz", "4.875 lb", "2211.26280375 g")),
        (Dimension.TEMPERATURE, ("660 F", "660.0 °F", "1320/2 F")),
        (Dimension.RATIO, ("0.4 %", "2/5 %", "4 mm/m")),
        (Dimension.ANGLE, ("7.5 deg", "7 1/2°", "15/2 degrees")),
    ],
)
def test_texts_that_mean_the_same_give_the_identical_float(dimension, texts):
    assert len({read_quantity(text, dimension) for text in texts}) == 1


def test_what_can_be_of_two_dimensions_says_which_it_was():
    wanted = (Dimension.MASS, Dimension.RATIO)
    assert read_quantity_of("200 g", wanted) == (Dimension.MASS, 0.2)
    assert read_quantity_of("10 %", wanted) == (Dimension.RATIO, 0.1)


A_LENGTH = 'expected a length with its unit, such as "70 mm" or "13 1/4 in".'
A_MASS = 'expected a mass with its unit, such as "2.45 kg" or "4 lb 14 oz".'


@pytest.mark.parametrize(
    ("text", "dimension", "message"),
    [
        (
            "2,5 kg",
            Dimension.MASS,
            f'read "2,5 kg", with a comma; {A_MASS} Write 2.5 kg with a decimal point.',
        ),
        (
            "1,200 g",
            Dimension.MASS,
            f'read "1,200 g", with a comma; {A_MASS} Write 1200 g if the comma separates thousands, '
            "or 1.200 g if it is a decimal comma.",
        ),
        (
            "4 lb, 14 oz",
            Dimension.MASS,
            f'read "4 lb, 14 oz", with a comma; {A_MASS} Omit the comma: 4 lb 14 oz.',
        ),
        (
            "70",
            Dimension.LENGTH,
            f'read "70", a number without a unit; {A_LENGTH} Add the unit, for instance "70 mm" or "70 in".',
        ),
        (
            "5 kg",
            Dimension.LENGTH,
            f'read "5 kg", which is a mass; {A_LENGTH} Give a length in mm, in, cm, m or ft.',
        ),
        (
            "5 milimetres",
            Dimension.LENGTH,
            f'read "5 milimetres", with the unknown unit "milimetres"; {A_LENGTH} '
            "Did you mean mm? Give a length in mm, in, cm, m or ft.",
        ),
        (
            "1e3 mm",
            Dimension.LENGTH,
            f'read "1e3 mm", with an exponent; {A_LENGTH} Write the number in full, without an exponent.',
        ),
        (
            "nan mm",
            Dimension.LENGTH,
            f'read "nan mm", which does not begin with a number; {A_LENGTH} '
            'Write the number first and the unit after it, such as "70 mm" or "13 1/4 in".',
        ),
        (
            "1/0 in",
            Dimension.LENGTH,
            f'read "1/0 in", a division by zero; {A_LENGTH} Write a figure other than zero after the slash.',
        ),
        (
            "14 oz 4 lb",
            Dimension.MASS,
            f'read "14 oz 4 lb", with the smaller unit first; {A_MASS} '
            "Write the larger unit first: 4 lb 14 oz.",
        ),
        (
            "2 kg 450 g",
            Dimension.MASS,
            f'read "2 kg 450 g", with two numbers; {A_MASS} Write it in one unit. Only feet with inches and '
            "pounds with ounces may be combined.",
        ),
        (
            "1 200 g",
            Dimension.MASS,
            f'read "1 200 g", with two numbers side by side; {A_MASS} Write 1200 g if you mean one number; a '
            "fraction needs a slash, as in 13 1/4.",
        ),
        (
            "4 lb 20 oz",
            Dimension.MASS,
            f'read "4 lb 20 oz", with 16 oz or more after lb; {A_MASS} Write 5 lb 4 oz if that is what you mean.',
        ),
        (
            "1 5/4 in",
            Dimension.LENGTH,
            f'read "1 5/4 in", with a fraction of one or more after the whole number; {A_LENGTH} Write 2 1/4 '
            "if that is what you mean.",
        ),
        (
            "5-6 mm",
            Dimension.LENGTH,
            f'read "5-6 mm", with a hyphen between two numbers; {A_LENGTH} Write one number. A hyphen is '
            "allowed only before a fraction, as in 13-1/4.",
        ),
        ("-5 g", Dimension.MASS, f'read "-5 g", below zero; {A_MASS} Remove the minus sign.'),
        (
            "5 mm thick",
            Dimension.LENGTH,
            f'read "5 mm thick", with "thick" after the unit; {A_LENGTH} '
            "Write the number and its unit and nothing else.",
        ),
        (
            "2 ton",
            Dimension.MASS,
            f'read "2 ton", with the unit "ton"; {A_MASS} A ton can be 907, 1000 or 1016 kg: write t for 1000 '
            "kg, or use kg or lb.",
        ),
        (
            "-300 C",
            Dimension.TEMPERATURE,
            'read "-300 C", below absolute zero; expected a temperature with its unit, such as "350 C" or '
            '"660 F". Fix the number or the unit; nothing is colder than -273.15 C.',
        ),
        (
            "",
            Dimension.MASS,
            f'read empty text; {A_MASS} Write a number and its unit, such as "2.45 kg" or "4 lb 14 oz".',
        ),
        (
            "1" * 65,
            Dimension.LENGTH,
            'read text of 65 characters, "11111111111111111111..."; expected a length in at most '
            "64 characters. Write the number and its unit and nothing else.",
        ),
    ],
)
def test_a_refusal_says_what_was_read_what_was_expected_and_how_to_fix_it(text, dimension, message):
    with pytest.raises(QuantityError) as caught:
        read_quantity(text, dimension)
    assert str(caught.value) == message


@pytest.mark.parametrize(
    "text",
    [
        "0x10 mm",
        "1_000 mm",
        "1/2/3 in",
        "1.5/2 in",
        "1/2.5 in",
        "5. mm",
        ". mm",
        "1.2.3 mm",
        "½½ in",
        "2½¼ in",
        "1/ in",
        "/2 in",
        "--5 mm",
        "+-5 mm",
        "5 ft -6 in",
        "5 ft 6 ft",
        "5 ft 6 in 3",
        "5.5 ft 3 in",
        "6 in 5 ft",
        "5 ft 12 in",
        "1 4/4 in",
        "5 m 3",
        "5 mm 3 in",
        "13 - 1/4 in",
        "13 -1/4 in",
        "inf mm",
        "infinity mm",
        "9**9**9 mm",
        "(5) mm",
        "5 m m",
        "5 in/ft",
        "5 ft3 2",
        "5 ft^3",
        "5 ft³",
        "２ mm",
        "5 mm\x00",
        "5\nmm",
        "5 mm;",
        "ten mm",
        "$5 mm",
        "5 м",
        "²/3 mm",
    ],
)
def test_what_is_no_length_is_refused(text):
    with pytest.raises(QuantityError):
        read_quantity(text, Dimension.LENGTH)


def test_an_ounce_is_always_a_mass():
    with pytest.raises(QuantityError, match="which is a mass"):
        read_quantity("3 oz", Dimension.VOLUME)
    with pytest.raises(QuantityError, match="oz is always a mass here: write a volume in ml or in3"):
        read_quantity("3 fl oz", Dimension.VOLUME)


def test_capitals_are_forgiven_where_they_do_not_change_the_unit():
    assert read_quantity("5 KG", Dimension.MASS) == 5.0
    assert read_quantity("5 Mm", Dimension.LENGTH) == 0.005
    with pytest.raises(QuantityError, match="Did you mean MPa"):
        read_quantity("5 mPa", Dimension.PRESSURE)
    with pytest.raises(QuantityError, match="which is a force"):
        read_quantity("5 kN", Dimension.SPEED)


def test_an_error_bears_its_three_parts_and_survives_pickling():
    with pytest.raises(QuantityError) as caught:
        read_quantity("5 kg", Dimension.LENGTH)
    error = pickle.loads(pickle.dumps(caught.value))
    assert (error.read, error.expected, error.remedy) == (
        '"5 kg", which is a mass',
        'a length with its unit, such as "70 mm" or "13 1/4 in"',
        "Give a length in mm, in, cm, m or ft.",
    )
    assert str(error) == str(caught.value)


def test_every_dimension_has_examples_and_units_that_it_reads_itself():
    assert set(WORDS) == set(Dimension)
    for dimension, words in WORDS.items():
        for text in (*words.examples, *(f"1 {unit}" for unit in words.units)):
            assert math.isfinite(read_quantity(text, dimension))


def test_every_spelling_of_every_unit_reads_as_its_symbol():
    for unit in UNITS:
        for spelling in unit.spellings:
            assert read_quantity(f"300 {spelling}", unit.dimension) == read_quantity(
                f"300 {unit.symbol}", unit.dimension
            )


def test_no_two_units_share_a_spelling():
    spellings = [spelling for unit in UNITS for spelling in unit.spellings]
    assert len(spellings) == len(set(spellings))


def test_a_quoted_text_stays_on_one_line_and_short():
    assert quoted("a\nb\x00") == '"a\\nb\\x00"'
    assert quoted('13 1/4"') == "'13 1/4\"'"
    assert quoted("x" * 100, 10) == '"xxxxxxxxxx..."'


@pytest.mark.parametrize(
    ("metres", "metric", "imperial"),
    [
        (0.33655, "336.6 mm", "13 1/4 in"),
        (0.0, "0.00 mm", "0 in"),
        (-0.330, "-330.0 mm", "-13 in"),
        (0.0127, "12.7 mm", "1/2 in"),
        (0.008, "8.00 mm", "5/16 in"),
        (0.0003, "0.30 mm", "0.012 in"),
        (0.00002, "0.020 mm", "0.00079 in"),
        (1.9, "1900.0 mm", "74 13/16 in"),
        (4.5, "4.500 m", "177 5/32 in"),
        (31 * INCH / 32 + 0.02 * INCH, "25.1 mm", "1 in"),
    ],
)
def test_a_length_is_shown_in_both_systems(metres, metric, imperial):
    assert (METRIC.length(metres), IMPERIAL.length(metres)) == (metric, imperial)
    assert METRIC.length_both(metres) == f"{metric} ({imperial})"


@pytest.mark.parametrize(
    ("kilograms", "metric", "imperial"),
    [
        (2.45, "2450.0 g", "5 lb 6.4 oz"),
        (4.875 * POUND, "2211.3 g", "4 lb 14 oz"),
        (4 * POUND, "1814.4 g", "4 lb"),
        (0.4, "400.0 g", "14.1 oz"),
        (15.97 / 16 * POUND, "452.7 g", "1 lb"),
        (0.00035, "0.35 g", "0.0123 oz"),
        (0.01, "10.0 g", "0.35 oz"),
        (0.0, "0.00 g", "0.00 oz"),
        (-0.5, "-500.0 g", "-1 lb 1.6 oz"),
        (5.0, "5.000 kg", "11 lb 0.4 oz"),
        (140.25, "140.25 kg", "309 lb 3.2 oz"),
    ],
)
def test_a_mass_is_shown_in_both_systems(kilograms, metric, imperial):
    assert (METRIC.mass(kilograms), IMPERIAL.mass(kilograms)) == (metric, imperial)


@pytest.mark.parametrize(
    ("method", "value", "metric", "imperial"),
    [
        ("temperature", 380.0, "380 °C", "716 °F"),
        ("temperature", 20.0, "20 °C", "68 °F"),
        ("temperature", 12.5, "12.5 °C", "54.5 °F"),
        ("density", 11340.0, "11.340 g/cm3", "0.4097 lb/in3"),
        ("density", 999.1, "0.999 g/cm3", "0.03609 lb/in3"),
        ("area", 0.03124, "312.4 cm2", "48.42 in2"),
        ("area", 0.00005, "50.00 mm2", "0.0775 in2"),
        ("area", 1.25, "1.250 m2", "1937.50 in2"),
        ("volume", 0.0002161, "216.1 cm3", "13.19 in3"),
        ("volume", 0.0123, "12.300 l", "750.59 in3"),
        ("volume", 0.0000001234, "0.123 cm3", "0.0075 in3"),
        ("moment", 0.0042, "4200 g mm", "5.83 oz in"),
        ("moment", 0.35, "350.0 kg mm", "486.06 oz in"),
        ("torque", 0.1852, "0.185 N m", "1.64 lbf in"),
        ("torque", 25.0, "25.0 N m", "221.27 lbf in"),
        ("speed", 1.5, "1.50 m/s", "2.92 kn"),
        ("percent", 0.0098, "0.98 %", "0.98 %"),
        ("percent", 0.22, "22.0 %", "22.0 %"),
        ("percent", -0.000001, "0.00 %", "0.00 %"),
    ],
)
def test_other_quantities_are_shown_in_both_systems(method, value, metric, imperial):
    assert (getattr(METRIC, method)(value), getattr(IMPERIAL, method)(value)) == (metric, imperial)


def test_a_temperature_can_be_shown_in_both_at_once():
    assert METRIC.temperature_both(380.0) == "380 °C (716 °F)"


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf])
@pytest.mark.parametrize("shown", [METRIC, IMPERIAL])
def test_what_is_not_finite_is_never_shown_as_a_quantity(shown, value):
    for method in (
        *("length", "mass", "temperature", "density", "area", "volume", "moment", "torque", "speed"),
        *("percent", "length_both", "temperature_both"),
    ):
        with pytest.raises(ValueError, match="it is not a finite number"):
            getattr(shown, method)(value)


def test_units_other_than_the_two_are_refused():
    with pytest.raises(ValueError, match='units were "cubits"; they must be "metric" or "imperial"'):
        Shown("cubits")
