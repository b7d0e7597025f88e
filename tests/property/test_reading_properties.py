"""Reading any text gives a value or a message, and texts with the same meaning give the same value."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bulbcast.plan.faults import PlanError
from bulbcast.plan.reading import read_plan
from bulbcast.plan.sections import Plan
from bulbcast.plan.starter import starter_plan
from bulbcast.quantities import UNITS, Dimension, QuantityError, Shown, read_quantity

# Never timed, and no database of earlier failures left beside the tests.
calm = settings(deadline=None, database=None)
calm_and_short = settings(deadline=None, database=None, max_examples=60)

SPELLINGS = sorted({spelling for unit in UNITS for spelling in unit.spellings})
PIECES = st.sampled_from((*"0123456789.,/-−+ '\"e^²½¼", "10", "1/2", "nan", *SPELLINGS))
ALMOST_QUANTITIES = st.lists(PIECES, max_size=9).map("".join)
STARTER = starter_plan()


def ends_in_a_value_or_a_message(text, dimension):
    try:
        value = read_quantity(text, dimension)
    except QuantityError as error:
        said = error
    else:
        assert isinstance(value, float)
        assert abs(value) < 1e80
        return value
    assert said.read
    assert said.expected
    assert said.remedy.endswith(".")
    assert "\n" not in str(said)
    return None


@calm
@given(text=st.one_of(st.text(max_size=70), ALMOST_QUANTITIES), dimension=st.sampled_from(Dimension))
def test_no_text_raises_anything_but_a_quantity_error(text, dimension):
    ends_in_a_value_or_a_message(text, dimension)


@calm
@given(text=ALMOST_QUANTITIES)
def test_no_text_is_a_quantity_of_two_dimensions(text):
    read = [each for each in Dimension if ends_in_a_value_or_a_message(text, each) is not None]
    # One text may be two things where feet and inches are typed as "5ft3": a length, or cubic feet.
    assert len(read) <= 1 or "ft2" in text.lower() or "ft3" in text.lower()


def reads_or_tells(text):
    try:
        plan = read_plan(text, source="lark.toml")
    except PlanError as error:
        faults = error.faults
    else:
        assert isinstance(plan, Plan)
        return
    assert faults
    for fault in faults:
        assert fault.message.startswith("lark.toml: ")
        assert "\n" not in fault.message
        assert all((fault.key, fault.read, fault.expected, fault.remedy))


@calm
@given(text=st.text(max_size=300))
def test_no_text_makes_the_plan_reader_raise_anything_but_a_plan_error(text):
    reads_or_tells(text)


@calm
@given(data=st.binary(max_size=300))
def test_no_bytes_make_the_plan_reader_raise_anything_but_a_plan_error(data):
    reads_or_tells(data)


@calm
@given(
    place=st.integers(0, len(STARTER)),
    length=st.integers(0, 40),
    put=st.one_of(
        st.text(max_size=12), ALMOST_QUANTITIES, st.sampled_from(["[", "]", "{", "}", '"', '"""', "=", "\n"])
    ),
)
def test_a_plan_with_a_piece_changed_is_read_or_its_faults_are_reported(place, length, put):
    reads_or_tells(STARTER[:place] + put + STARTER[place + length :])


TOML_VALUES = st.recursive(
    st.one_of(st.integers(), st.floats(), st.booleans(), st.text(max_size=20), ALMOST_QUANTITIES, st.dates()),
    lambda inner: st.one_of(
        st.lists(inner, max_size=3), st.dictionaries(st.text(max_size=8), inner, max_size=3)
    ),
    max_leaves=5,
)


def as_toml(value):
    """A value in TOML notation, with text escaped."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        escapes = "".join(f"\\U{ord(c):08X}" if not 0xD800 <= ord(c) < 0xE000 else "?" for c in value)
        return f'"{escapes}"'
    if isinstance(value, list):
        return f"[{', '.join(as_toml(each) for each in value)}]"
    if isinstance(value, dict):
        return "{" + ", ".join(f"{as_toml(name)} = {as_toml(each)}" for name, each in value.items()) + "}"
    return str(value)


@calm
@given(
    line=st.sampled_from([line for line in STARTER.splitlines() if "=" in line and line[0] != "#"]),
    value=TOML_VALUES,
)
def test_any_value_for_any_key_is_read_or_its_fault_is_reported(line, value):
    name = line.partition(" ")[0]
    reads_or_tells(STARTER.replace(line, f"{name} = {as_toml(value)}"))


@calm
@given(whole=st.integers(0, 400), part=st.integers(0, 31))
def test_inches_read_the_same_however_the_fraction_is_typed(whole, part):
    inches = whole + Fraction(part, 32)
    millimetres = inches * Fraction("25.4")
    texts = [
        f"{whole} {part}/32 in",
        f"{whole}-{part}/32 in",
        f'{whole * 32 + part}/32"',
        f"{decimal_text(inches)} inches",
        f"{decimal_text(millimetres)} mm",
        f"{decimal_text(millimetres / 1000)}m",
        f"{whole // 12} ft {whole % 12} {part}/32 in",
        f"{whole // 12}'{whole % 12}-{part}/32\"",
    ]
    assert len({read_quantity(text, Dimension.LENGTH) for text in texts}) == 1


@calm
@given(quarters=st.integers(0, 10_000))
def test_pounds_and_ounces_read_the_same_however_they_are_typed(quarters):
    ounces = Fraction(quarters, 4)
    pounds, rest = divmod(ounces, 16)
    texts = [
        f"{decimal_text(ounces)} oz",
        f"{decimal_text(ounces / 16)} lb",
        f"{pounds} lb {decimal_text(rest)} oz",
        f"{pounds}lb{decimal_text(rest)}",
        f"{pounds} lbs {int(rest)} {rest % 1 * 4}/4 ounces",
        f"{decimal_text(ounces * Fraction('28.349523125'))} g",
    ]
    assert len({read_quantity(text, Dimension.MASS) for text in texts}) == 1


@calm
@given(value=st.decimals("0", "99999", places=6, allow_nan=False))
def test_a_decimal_is_rounded_once_to_the_nearest_float(value):
    assert read_quantity(f"{value:f} kg", Dimension.MASS) == float(f"{value:f}")
    assert read_quantity(f"{value:f} g", Dimension.MASS) == float(Fraction(value) / 1000)


def decimal_text(value):
    """A fraction with finitely many decimals, written digit by digit without Python's rounding."""
    whole, rest = divmod(value, 1)
    digits = ""
    while rest:
        digit, rest = divmod(rest * 10, 1)
        digits += str(digit)
    return f"{whole}.{digits}" if digits else str(whole)


def shown_resolution(text, si_of_one):
    """Half a unit of the last digit shown, in SI; fractions of an inch are multiples of 1/32."""
    number = text.rpartition(" ")[0]
    if text.endswith(" in") and "." not in number:
        return si_of_one / 64
    if text.endswith((" lb", " oz")) and " lb" in text:
        return 0.05 * 0.45359237 / 16
    if text.endswith(" oz") and "." not in number:
        return 0.05 * si_of_one
    return 0.5 * 10.0 ** -len(number.partition(".")[2]) * si_of_one


SHOWN_AND_READ = [
    ("length", Dimension.LENGTH, -40.0, 40.0),
    ("length", Dimension.LENGTH, -0.01, 0.01),
    ("mass", Dimension.MASS, 0.0, 20_000.0),
    ("mass", Dimension.MASS, 0.0, 0.05),
    ("temperature", Dimension.TEMPERATURE, -100.0, 1_000.0),
    ("density", Dimension.DENSITY, 50.0, 25_000.0),
    ("area", Dimension.AREA, 0.0, 10.0),
    ("area", Dimension.AREA, 0.0, 1e-3),
    ("volume", Dimension.VOLUME, 0.0, 2.0),
    ("volume", Dimension.VOLUME, 0.0, 1e-4),
    ("percent", Dimension.RATIO, -1.0, 3.0),
    ("speed", Dimension.SPEED, 0.0, 20.0),
]


@calm_and_short
@given(data=st.data())
@pytest.mark.parametrize("units", ["metric", "imperial"])
@pytest.mark.parametrize(("method", "dimension", "low", "high"), SHOWN_AND_READ)
def test_what_is_shown_and_read_again_agrees_to_the_resolution_shown(
    method, dimension, low, high, units, data
):
    value = data.draw(st.floats(low, high))
    text = getattr(Shown(units), method)(value)
    unit = text.rpartition(" ")[2]
    one, none = read_quantity(f"1 {unit}", dimension), read_quantity(f"0 {unit}", dimension)
    again = read_quantity(text, dimension)
    assert abs(again - value) <= shown_resolution(text, one - none) * (1 + 1e-9) + 1e-12 * abs(value)


SLIPS = [
    ('display_units = "metric"', 'display_units = "furlongs"'),
    ('kind = "fresh"', 'kind = "sweet"'),
    ('target_mass = "2.1 kg"', "target_mass = 2.1"),
    ("fineness = 5.5", "fineness = 55"),
    ('tail_diameter = "4 mm"', "tail_diameter = 4 mm"),
    ('skin = "0.2 mm"', 'skinn = "0.2 mm"'),
    ('grade = "pure"', 'grade = "purest"'),
    ('tip_chord = "72 mm"', 'tip_chord = "72 g"'),
    ('pocket_depth = "7 mm"', 'pocket_depth = "7,0 mm"'),
    ("carry_at = 0.40", 'carry_at = "0.40"'),
    ('material = "metal"', "material = true"),
    ("[melt]", '[melt]\ncontraction = "1 %"'),
]


@calm
@given(slips=st.sets(st.sampled_from(SLIPS), min_size=1))
def test_a_plan_with_so_many_slips_tells_so_many_faults(slips):
    text = STARTER
    for right, wrong in slips:
        text = text.replace(right, wrong, 1)
    with pytest.raises(PlanError) as caught:
        read_plan(text, source="lark.toml")
    assert len(caught.value.faults) == len(slips)
