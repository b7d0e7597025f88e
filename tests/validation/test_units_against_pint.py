"""Units and quantities compared with pint 0.25, a general units library, for texts that it reads correctly.

It misreads some texts that builders write: it multiplies adjacent terms, drops commas and reads C as coulomb. For these,
the correct value is given here as a closed form. These texts are why bulbcast has its own reader.
"""

from __future__ import annotations

import math
from functools import cache

import pint
import pytest

from bulbcast.quantities import UNITS, Dimension, QuantityError, read_quantity

SI = {
    Dimension.LENGTH: "metre",
    Dimension.MASS: "kilogram",
    Dimension.DENSITY: "kilogram / metre ** 3",
    Dimension.RATIO: "dimensionless",
    Dimension.TEMPERATURE: "degree_Celsius",
    Dimension.ANGLE: "radian",
    Dimension.SPEED: "metre / second",
    Dimension.AREA: "metre ** 2",
    Dimension.VOLUME: "metre ** 3",
    Dimension.FORCE: "newton",
    Dimension.TIME: "second",
    Dimension.POWER: "watt",
    Dimension.PRESSURE: "pascal",
    Dimension.HEAT: "joule / kilogram",
    Dimension.STIFFNESS: "newton * metre ** 2",
}

# Our symbol and pint's name of the same unit, one line a dimension.
PINT_NAMES = {
    "mm": "millimetre",
    "cm": "centimetre",
    "m": "metre",
    "µm": "micrometre",
    "in": "inch",
    "ft": "foot",
    "yd": "yard",
    "thou": "thou",
    "g": "gram",
    "kg": "kilogram",
    "t": "tonne",
    "oz": "ounce",
    "lb": "pound",
    "kg/m3": "kg/m**3",
    "g/cm3": "g/cm**3",
    "lb/in3": "lb/in**3",
    "lb/ft3": "lb/ft**3",
    "oz/in3": "oz/in**3",
    "%": "percent",
    "mm/m": "mm/m",
    "in/ft": "inch/foot",
    "C": "degree_Celsius",
    "F": "degree_Fahrenheit",
    "K": "kelvin",
    "deg": "degree",
    "rad": "radian",
    "m/s": "m/s",
    "kn": "knot",
    "mph": "mile/hour",
    "km/h": "km/hour",
    "ft/s": "foot/second",
    "mm2": "mm**2",
    "cm2": "cm**2",
    "dm2": "dm**2",
    "m2": "m**2",
    "in2": "inch**2",
    "ft2": "foot**2",
    "mm3": "mm**3",
    "cm3": "cm**3",
    "l": "litre",
    "m3": "m**3",
    "in3": "inch**3",
    "ft3": "foot**3",
    "N": "newton",
    "kN": "kilonewton",
    "lbf": "pound_force",
    "kgf": "kilogram_force",
    "s": "second",
    "min": "minute",
    "h": "hour",
    "d": "day",
    "W": "watt",
    "kW": "kilowatt",
    "BTU/h": "Btu_it/hour",
    "Pa": "pascal",
    "kPa": "kilopascal",
    "MPa": "megapascal",
    "GPa": "gigapascal",
    "N m2": "newton * metre**2",
    "kN m2": "kilonewton * metre**2",
    "N mm2": "newton * mm**2",
    "lbf in2": "pound_force * inch**2",
    "bar": "bar",
    "mbar": "millibar",
    "psi": "psi",
    "kJ/kg": "kilojoule/kilogram",
    "BTU/lb": "Btu_it/pound",
}


@cache
def registry():
    return pint.UnitRegistry()


@pytest.mark.parametrize("unit", UNITS, ids=lambda unit: unit.symbol)
@pytest.mark.parametrize("number", ["1", "0.37", "451"])
def test_every_unit_converts_to_si_as_in_pint(unit, number):
    theirs = registry().Quantity(float(number), PINT_NAMES[unit.symbol]).to(SI[unit.dimension]).magnitude
    assert read_quantity(f"{number} {unit.symbol}", unit.dimension) == pytest.approx(
        theirs, rel=1e-12, abs=1e-12
    )


@pytest.mark.parametrize(
    ("text", "dimension"),
    [
        ("2.45 kg", Dimension.MASS),
        ("2450 g", Dimension.MASS),
        ("70mm", Dimension.LENGTH),
        ("5/16 in", Dimension.LENGTH),
        ("13.25 inches", Dimension.LENGTH),
        ("-330 mm", Dimension.LENGTH),
        ("3/4 lb", Dimension.MASS),
        ("11.1 kg/l", Dimension.DENSITY),
        ("11100 kg/m^3", Dimension.DENSITY),
        ("0.4 %", Dimension.RATIO),
        ("7.5 deg", Dimension.ANGLE),
        ("12 mph", Dimension.SPEED),
        ("1800 psi", Dimension.PRESSURE),
        ("90 min", Dimension.TIME),
    ],
)
def test_a_text_that_pint_reads_right_reads_the_same_here(text, dimension):
    theirs = registry().Quantity(text).to(SI[dimension]).magnitude
    assert read_quantity(text, dimension) == pytest.approx(theirs, rel=1e-14, abs=0.0)


# The international yard and pound agreement of 1959: exact.
INCH = 0.0254
POUND = 0.45359237


@pytest.mark.parametrize(
    ("text", "dimension", "right"),
    [
        ("7 lb 4 oz", Dimension.MASS, 7.25 * POUND),  # pint: 28 lb oz
        ("7lb4oz", Dimension.MASS, 7.25 * POUND),  # pint raises
        ("1 1/4 in", Dimension.LENGTH, 1.25 * INCH),  # pint: 0.25 in
        ("1-1/4 in", Dimension.LENGTH, 1.25 * INCH),  # pint raises
        ('1/4"', Dimension.LENGTH, 0.25 * INCH),  # pint: 0.25, a bare number
        ("350 C", Dimension.TEMPERATURE, 350.0),  # pint: coulombs
        ("350 degC", Dimension.TEMPERATURE, 350.0),  # pint raises
        ("660 F", Dimension.TEMPERATURE, (660 - 32) / 1.8),  # pint: farads
        ("5' 6\"", Dimension.LENGTH, 66 * INCH),  # pint: 30, a bare number
        ("11.34 g/cm3", Dimension.DENSITY, 11340.0),  # pint raises
    ],
)
def test_a_text_that_pint_misreads_is_read_right_here(text, dimension, right):
    assert read_quantity(text, dimension) == pytest.approx(right, rel=1e-15, abs=0.0)


@pytest.mark.parametrize(
    "text",
    [
        "2,5 kg",  # pint: 25 kg
        "nan kg",  # pint: nan
        "9**9**9 kg",  # pint: works at it without end
    ],
)
def test_a_text_that_pint_should_have_refused_is_refused_here(text):
    with pytest.raises(QuantityError):
        read_quantity(text, Dimension.MASS)


def test_five_sixteenths_of_an_inch_in_a_foot_are_2_604_percent():
    # 5/16 / 12 = 0.0260416..., the shrink rule that tables print as 2.60 %.
    assert math.isclose(read_quantity("5/16 in/ft", Dimension.RATIO), 0.026041666666666668, rel_tol=1e-15)
