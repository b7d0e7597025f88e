"""Table of dimensions and units, with every factor as an exact fraction and every spelling that a builder may type.

It has one row for each unit. Reading, messages and output all use it; a new unit needs only a row here.

Sources of the factors: the inch (25.4 mm) and the avoirdupois pound (0.45359237 kg) are defined exactly by the
international yard and pound agreement of 1959; the ounce is 1/16 of a pound; the knot is 1852 m per hour; standard
gravity is 9.80665 m/s2 (CGPM 1901); the British thermal unit is that of the International Table, 1055.05585262 J
(ISO 31-4; from memory).
"""

from __future__ import annotations

from enum import StrEnum
from fractions import Fraction
from types import MappingProxyType
from typing import TYPE_CHECKING

from bulbcast.quantities.frozen import frozen

if TYPE_CHECKING:
    pass

if TYPE_CHECKING:
    from collections.abc import Mapping


class Dimension(StrEnum):
    """Kinds of quantity. Each is converted to its SI unit.

    The units are m for length, kg for mass, kg/m3 for density, a bare fraction for a ratio, degC for temperature, rad
    for an angle, m/s for speed, m2 for area, m3 for volume, N for force, s for time, W for power, Pa for pressure, J/kg
    for heat per kilogram, and N m2 for the stiffness of a beam (modulus times second moment).
    """

    LENGTH = "length"
    MASS = "mass"
    DENSITY = "density"
    RATIO = "ratio"
    TEMPERATURE = "temperature"
    ANGLE = "angle"
    SPEED = "speed"
    AREA = "area"
    VOLUME = "volume"
    FORCE = "force"
    TIME = "time"
    POWER = "power"
    PRESSURE = "pressure"
    HEAT = "heat"
    STIFFNESS = "stiffness"


@frozen
class DimensionWords:
    """Words for a dimension in messages, and whether it can be negative.

    Attributes:
        noun: Noun with its article, such as "a length".
        examples: Two valid examples, metric first.
        units: Unit symbols suggested in messages, the most common ones first.
        signed: True if a value below zero makes sense.
    """

    noun: str
    examples: tuple[str, str]
    units: tuple[str, ...]
    signed: bool = False


WORDS: Mapping[Dimension, DimensionWords] = MappingProxyType(
    {
        Dimension.LENGTH: DimensionWords(
            noun="a length", examples=("70 mm", "13 1/4 in"), units=("mm", "in", "cm", "m", "ft"), signed=True
        ),
        Dimension.MASS: DimensionWords(
            noun="a mass", examples=("2.45 kg", "4 lb 14 oz"), units=("g", "lb", "kg", "oz", "t")
        ),
        Dimension.DENSITY: DimensionWords(
            noun="a density",
            examples=("11.1 g/cm3", "0.41 lb/in3"),
            units=("g/cm3", "lb/in3", "kg/m3", "lb/ft3"),
        ),
        Dimension.RATIO: DimensionWords(
            noun="a percentage", examples=("0.4 %", "1/8 in/ft"), units=("%", "in/ft", "mm/m"), signed=True
        ),
        Dimension.TEMPERATURE: DimensionWords(
            noun="a temperature", examples=("350 C", "660 F"), units=("C", "F"), signed=True
        ),
        Dimension.ANGLE: DimensionWords(
            noun="an angle", examples=("5 deg", "0.1 rad"), units=("deg", "rad"), signed=True
        ),
        Dimension.SPEED: DimensionWords(
            noun="a speed", examples=("1.2 m/s", "2.5 kn"), units=("m/s", "kn", "mph", "km/h", "ft/s")
        ),
        Dimension.AREA: DimensionWords(
            noun="an area", examples=("120 cm2", "18 in2"), units=("cm2", "in2", "mm2", "m2", "ft2")
        ),
        Dimension.VOLUME: DimensionWords(
            noun="a volume", examples=("250 cm3", "15 in3"), units=("cm3", "in3", "l", "ml", "m3", "ft3")
        ),
        Dimension.FORCE: DimensionWords(
            noun="a force", examples=("25 N", "5 lbf"), units=("N", "lbf", "kN", "kgf")
        ),
        Dimension.TIME: DimensionWords(noun="a time", examples=("90 s", "1.5 h"), units=("s", "min", "h")),
        Dimension.POWER: DimensionWords(
            noun="a power", examples=("5 kW", "20000 BTU/h"), units=("kW", "BTU/h", "W")
        ),
        Dimension.PRESSURE: DimensionWords(
            noun="a pressure",
            examples=("12 MPa", "1800 psi"),
            units=("MPa", "psi", "Pa", "kPa", "bar", "GPa"),
        ),
        Dimension.STIFFNESS: DimensionWords(
            noun="a beam's stiffness",
            examples=("60 N m2", "21000 lbf in2"),
            units=("N m2", "lbf in2", "kN m2"),
        ),
        Dimension.HEAT: DimensionWords(
            noun="a heat per kilogram",
            examples=("450 kJ/kg", "190 BTU/lb"),
            units=("kJ/kg", "BTU/lb", "J/g"),
        ),
    }
)


@frozen
class Unit:
    """A unit, with SI value = number x `factor` + `offset`, both exact.

    Attributes:
        symbol: Unit as written in messages.
        dimension: Dimension of the unit.
        factor: Size of the unit in SI.
        offset: Offset added after scaling; only temperatures have one.
        spellings: All spellings of the unit, with the symbol first.
        any_case: True if "KG" can stand for "kg". False if capitals distinguish units (MPa, kN).
        follower: Symbol of the smaller unit that can follow it in a compound; None for most units.
        in_one: Number of the smaller unit in one of this unit; 0 if there is none.
    """

    symbol: str
    dimension: Dimension
    factor: Fraction
    offset: Fraction
    spellings: tuple[str, ...]
    any_case: bool
    follower: str | None
    in_one: int


def _with_powers(spelling: str) -> tuple[str, ...]:
    """Variants of a spelling that ends in 2 or 3: as written, with ^ before the digit, and with a superscript digit."""
    raised = {"2": "²", "3": "³"}.get(spelling[-1])
    if raised is None or len(spelling) == 1:
        return (spelling,)
    return (spelling, f"{spelling[:-1]}^{spelling[-1]}", spelling[:-1] + raised)


def _unit(
    dimension: Dimension,
    factor: str | Fraction,
    *spellings: str,
    offset: Fraction = Fraction(0),
    follower: str | None = None,
    in_one: int = 0,
) -> Unit:
    return Unit(
        symbol=spellings[0],
        dimension=dimension,
        factor=Fraction(factor),
        offset=offset,
        spellings=tuple(each for spelling in spellings for each in _with_powers(spelling)),
        any_case=dimension not in (Dimension.FORCE, Dimension.POWER, Dimension.PRESSURE, Dimension.STIFFNESS),
        follower=follower,
        in_one=in_one,
    )


_INCH = Fraction(254, 10_000)
_FOOT = 12 * _INCH
_POUND = Fraction(45_359_237, 100_000_000)
_OUNCE = _POUND / 16
_GRAVITY = Fraction(980_665, 100_000)
_MILE = 5280 * _FOOT
# Forty digits, so that an angle in degrees is rounded once, to the nearest float, like all other values.
_PI = Fraction("3.141592653589793238462643383279502884197")
_FIVE_NINTHS = Fraction(5, 9)

_D = Dimension
UNITS: tuple[Unit, ...] = (
    _unit(_D.LENGTH, "1/1000", "mm", "millimetre", "millimetres", "millimeter", "millimeters"),
    _unit(_D.LENGTH, "1/100", "cm", "centimetre", "centimetres", "centimeter", "centimeters"),
    _unit(_D.LENGTH, "1", "m", "metre", "metres", "meter", "meters"),
    _unit(_D.LENGTH, "1/1000000", "µm", "μm", "um", "micron", "microns"),
    _unit(_D.LENGTH, _INCH, "in", "in.", '"', "''", "inch", "inches"),
    _unit(_D.LENGTH, _FOOT, "ft", "ft.", "'", "foot", "feet", follower="in", in_one=12),
    _unit(_D.LENGTH, 3 * _FOOT, "yd", "yard", "yards"),
    _unit(_D.LENGTH, _INCH / 1000, "thou"),
    _unit(_D.MASS, "1/1000", "g", "gram", "grams", "gramme", "grammes"),
    _unit(_D.MASS, "1", "kg", "kgs", "kilogram", "kilograms", "kilogramme", "kilogrammes"),
    _unit(_D.MASS, "1000", "t", "tonne", "tonnes"),
    _unit(_D.MASS, _OUNCE, "oz", "oz.", "ounce", "ounces"),
    _unit(_D.MASS, _POUND, "lb", "lb.", "lbs", "lbs.", "pound", "pounds", follower="oz", in_one=16),
    _unit(_D.DENSITY, "1", "kg/m3", "g/l"),
    _unit(_D.DENSITY, "1000", "g/cm3", "g/cc", "g/ml", "kg/l", "kg/dm3", "kg/litre", "t/m3"),
    _unit(_D.DENSITY, _POUND / _INCH**3, "lb/in3", "lbs/in3", "lb/cu in", "lb/cu.in."),
    _unit(_D.DENSITY, _POUND / _FOOT**3, "lb/ft3", "lbs/ft3", "lb/cu ft", "lb/cu.ft."),
    _unit(_D.DENSITY, _OUNCE / _INCH**3, "oz/in3", "oz/cu in", "oz/cu.in."),
    _unit(_D.RATIO, "1/100", "%", "percent", "per cent", "pct"),
    _unit(_D.RATIO, "1/1000", "mm/m", "‰", "mm per m"),
    _unit(_D.RATIO, "1/12", "in/ft", '"/ft', "in per ft", "in per foot", "inch per foot", "inches per foot"),
    _unit(_D.TEMPERATURE, "1", "C", "°C", "° C", "degC", "deg C", "degrees C", "celsius", "℃"),
    _unit(
        _D.TEMPERATURE,
        _FIVE_NINTHS,
        "F",
        "°F",
        "° F",
        "degF",
        "deg F",
        "degrees F",
        "fahrenheit",
        "℉",
        offset=-32 * _FIVE_NINTHS,
    ),
    _unit(_D.TEMPERATURE, "1", "K", "kelvin", offset=Fraction(-27_315, 100)),
    _unit(_D.ANGLE, _PI / 180, "deg", "°", "degree", "degrees"),
    _unit(_D.ANGLE, "1", "rad", "radian", "radians"),
    _unit(_D.SPEED, "1", "m/s", "metres per second", "meters per second"),
    _unit(_D.SPEED, Fraction(1852, 3600), "kn", "kt", "kts", "knot", "knots"),
    _unit(_D.SPEED, _MILE / 3600, "mph"),
    _unit(_D.SPEED, Fraction(1000, 3600), "km/h", "kph"),
    _unit(_D.SPEED, _FOOT, "ft/s", "fps"),
    _unit(_D.AREA, "1/1000000", "mm2", "sq mm"),
    _unit(_D.AREA, "1/10000", "cm2", "sq cm"),
    _unit(_D.AREA, "1/100", "dm2"),
    _unit(_D.AREA, "1", "m2", "sq m"),
    _unit(_D.AREA, _INCH**2, "in2", "sq in", "sq.in."),
    _unit(_D.AREA, _FOOT**2, "ft2", "sq ft", "sq.ft."),
    _unit(_D.VOLUME, "1/1000000000", "mm3"),
    _unit(_D.VOLUME, "1/1000000", "cm3", "cc", "ml"),
    _unit(_D.VOLUME, "1/1000", "l", "dm3", "litre", "litres", "liter", "liters"),
    _unit(_D.VOLUME, "1", "m3", "cu m"),
    _unit(_D.VOLUME, _INCH**3, "in3", "cu in", "cu.in."),
    _unit(_D.VOLUME, _FOOT**3, "ft3", "cu ft", "cu.ft."),
    _unit(_D.FORCE, "1", "N", "newton", "newtons"),
    _unit(_D.FORCE, "1000", "kN"),
    _unit(_D.FORCE, _POUND * _GRAVITY, "lbf"),
    _unit(_D.FORCE, _GRAVITY, "kgf"),
    _unit(_D.TIME, "1", "s", "sec", "second", "seconds"),
    _unit(_D.TIME, "60", "min", "minute", "minutes"),
    _unit(_D.TIME, "3600", "h", "hr", "hrs", "hour", "hours"),
    _unit(_D.TIME, "86400", "d", "day", "days"),
    _unit(_D.POWER, "1", "W", "watt", "watts"),
    _unit(_D.POWER, "1000", "kW"),
    _unit(_D.POWER, Fraction("1055.05585262") / 3600, "BTU/h", "BTU/hr", "Btu/h"),
    _unit(_D.PRESSURE, "1", "Pa"),
    _unit(_D.PRESSURE, "1000", "kPa"),
    _unit(_D.PRESSURE, "1000000", "MPa", "N/mm2"),
    _unit(_D.PRESSURE, "1000000000", "GPa", "kN/mm2"),
    _unit(_D.PRESSURE, "100000", "bar"),
    _unit(_D.PRESSURE, "100", "mbar"),
    _unit(_D.PRESSURE, _POUND * _GRAVITY / _INCH**2, "psi", "lbf/in2"),
    _unit(_D.HEAT, "1000", "kJ/kg", "J/g"),
    _unit(_D.HEAT, "2326", "BTU/lb", "Btu/lb"),
    _unit(_D.STIFFNESS, "1", "N m2", "Nm2"),
    _unit(_D.STIFFNESS, "1000", "kN m2"),
    _unit(_D.STIFFNESS, "1/1000000", "N mm2"),
    _unit(_D.STIFFNESS, _POUND * _GRAVITY * _INCH**2, "lbf in2"),
)

# Words that mean more than one thing in the trade; guessing could cost a casting.
AMBIGUOUS: Mapping[str, str] = MappingProxyType(
    {
        "ton": "A ton can be 907, 1000 or 1016 kg: write t for 1000 kg, or use kg or lb.",
        "tons": "A ton can be 907, 1000 or 1016 kg: write t for 1000 kg, or use kg or lb.",
        "gr": "gr can mean grams or grains: write g for grams.",
        "hp": "Horsepower has several meanings: write kW or W.",
        "mil": "mil can mean a millimetre or a thousandth of an inch: write mm or thou.",
        "mils": "mil can mean a millimetre or a thousandth of an inch: write mm or thou.",
        "fl oz": "oz is always a mass here: write a volume in ml or in3.",
    }
)

BY_SPELLING: Mapping[str, Unit] = MappingProxyType({name: unit for unit in UNITS for name in unit.spellings})
BY_FOLDED: Mapping[str, Unit] = MappingProxyType(
    {name.casefold(): unit for unit in UNITS if unit.any_case for name in unit.spellings}
)
BY_SYMBOL: Mapping[str, Unit] = MappingProxyType({unit.symbol: unit for unit in UNITS})
LEADERS: Mapping[str, Unit] = MappingProxyType(
    {unit.follower: unit for unit in UNITS if unit.follower is not None}
)
LONGEST_SPELLING = max(len(name) for name in BY_SPELLING)


VULGAR_FRACTIONS = {
    "½": Fraction(1, 2),
    "⅓": Fraction(1, 3),
    "⅔": Fraction(2, 3),
    "¼": Fraction(1, 4),
    "¾": Fraction(3, 4),
    "⅕": Fraction(1, 5),
    "⅖": Fraction(2, 5),
    "⅗": Fraction(3, 5),
    "⅘": Fraction(4, 5),
    "⅙": Fraction(1, 6),
    "⅚": Fraction(5, 6),
    "⅐": Fraction(1, 7),
    "⅛": Fraction(1, 8),
    "⅜": Fraction(3, 8),
    "⅝": Fraction(5, 8),
    "⅞": Fraction(7, 8),
    "⅑": Fraction(1, 9),
    "⅒": Fraction(1, 10),
}


# Characters that keyboards and word processors use instead of the plain ones. A general Unicode folding (NFKC) would turn
# "13½" into "131/2", so only these are mapped.
PLAIN_LETTERS = str.maketrans(
    {
        "−": "-",
        "‐": "-",
        "‑": "-",
        "–": "-",
        "⁄": "/",
        "∕": "/",
        "’": "'",
        "‘": "'",
        "′": "'",
        "”": '"',
        "“": '"',
        "″": '"',
        "º": "°",
        "\u00a0": " ",
        "\u2009": " ",
        "\u202f": " ",
        "\t": " ",
    }
)
