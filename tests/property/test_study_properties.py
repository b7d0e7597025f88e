"""Varied inputs: every value of a range reads back exactly, and no text causes a crash."""

from __future__ import annotations

from fractions import Fraction

from hypothesis import example, given, settings
from hypothesis import strategies as st

from bulbcast.compare import read_variations
from bulbcast.plan.faults import PlanError
from bulbcast.plan.keys import KEYS
from bulbcast.quantities import UNITS, Dimension, read_quantity

# Never timed, and no database of earlier failures left beside the tests.
calm = settings(deadline=None, database=None)

TABLE = {"bulb": {"fineness": 5.0}, "alloy": {"grade": "pure"}, "screws": [{"at": "14 mm"}]}
MASSES = [unit for unit in UNITS if unit.dimension is Dimension.MASS]
LENGTHS = [unit for unit in UNITS if unit.dimension is Dimension.LENGTH]


def typed(draw, units):
    """A number as a builder types it, with its exact value in SI units."""
    unit = draw(st.sampled_from(units))
    if draw(st.booleans()):
        places = draw(st.integers(0, 4))
        number = Fraction(draw(st.integers(1, 10**5)), 10**places)
        text = f"{number.numerator * (10**places // number.denominator) / 10**places:.{places}f}"
    else:
        below = draw(st.sampled_from([2, 3, 4, 7, 8, 16, 32, 64]))
        number = draw(st.integers(0, 400)) + Fraction(draw(st.integers(1, below - 1)), below)
        whole, rest = divmod(number, 1)
        text = (
            f"{whole} {rest.numerator}/{rest.denominator}"
            if whole
            else f"{rest.numerator}/{rest.denominator}"
        )
    return f"{text} {unit.symbol}", number * unit.factor


@calm
@given(data=st.data(), count=st.integers(2, 60), which=st.sampled_from(["mass", "length"]))
def test_every_value_of_a_range_reads_back_as_the_exact_rational_rounded_once(data, count, which):
    key, units, dimension = {
        "mass": ("bulb.target_mass", MASSES, Dimension.MASS),
        "length": ("bulb.length", LENGTHS, Dimension.LENGTH),
    }[which]
    (first, low), (last, high) = typed(data.draw, units), typed(data.draw, units)
    if low == high:
        return
    (variation,) = read_variations([f"{key}={first}:{last}:{count}"], TABLE)
    assert len(variation.values) == count
    for i, (text, number) in enumerate(zip(variation.values, variation.numbers, strict=True)):
        exact = low + (high - low) * Fraction(i, count - 1)
        assert number == float(exact)
        assert len(text) <= 64
        assert read_quantity(text, dimension) == float(exact)


@calm
@given(first=st.decimals(-20, 20, places=3), last=st.decimals(-20, 20, places=3), count=st.integers(2, 40))
def test_every_bare_number_of_a_range_is_the_exact_rational_rounded_once(first, last, count):
    if first == last:
        return
    (variation,) = read_variations([f"fin.carry_at={first:f}:{last:f}:{count}"], TABLE)
    for i, number in enumerate(variation.numbers):
        exact = Fraction(first) + (Fraction(last) - Fraction(first)) * Fraction(i, count - 1)
        assert number == float(exact)
        assert float(variation.entry(i)) == float(exact)


PIECES = st.one_of(
    st.sampled_from([*KEYS, "screws[1].at", "screws[0].at", "screws[].at", "="]),
    st.sampled_from(
        ["=", ":", ",", ".", "-", "/", " ", "kg", "mm", "in", "lb", "oz", '"', "4", "1/3", "0", "nan"]
    ),
    st.text(max_size=6),
)


@calm
@given(st.lists(PIECES, max_size=12).map("".join))
@example("bulb.target_mass=4lb14:5lb:3")
@example("bulb.length=5'6:9'':3")
@example("screws[99999999999999999999].at=1mm")
@example("bulb.fineness=4:8:" + "9" * 5000)
@example("bulb.fineness=" + "9" * 5000)
def test_whatever_is_typed_is_read_or_reported_and_nothing_else(text):
    try:
        (variation,) = read_variations([text], TABLE)
    except PlanError as error:
        faults = error.faults
    else:
        assert len(variation.values) == len(variation.labels) >= 1
        return
    assert all(fault.read and fault.remedy.endswith((".", "?")) for fault in faults)
