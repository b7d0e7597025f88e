"""Figures as text that can share a unit, such as a column or a value with its spread.

A single figure gets the unit that suits its size; together with others it needs a shared one. `Figures` is a string
that remembers its values, which lets `in_one_unit` rewrite a complete table in the units that its figures share.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence

from bulbcast.quantities.frozen import frozen
from bulbcast.quantities.units import BY_SYMBOL

_INCH = float(BY_SYMBOL["in"].factor)
_OUNCE = float(BY_SYMBOL["oz"].factor)
_POUND_FORCE = float(BY_SYMBOL["lbf"].factor)
_GAS = 20.0
"""Densities below this are those of a gas. [kg/m3]"""
_SHORTEST_IN_METRES = 0.05
"""If any length is shorter than this, all lengths are given in mm, as on a drawing. [m]"""
_WORKSHOP_DIGITS = 3


@frozen
class _Unit:
    """Format of figures in one unit: factor, divisor, and number of decimals for a size in that unit."""

    times: float = 1.0
    over: float = 1.0
    decimals: Callable[[float], int]


def _always(decimals: int) -> Callable[[float], int]:
    return lambda size: decimals


def _below(limit: float, small: int, large: int) -> Callable[[float], int]:
    """Function that gives the number of decimals: `small` below the limit, `large` from there up."""
    return lambda size: small if size < limit else large


_UNITS = {
    "m": _Unit(decimals=_always(3)),
    "mm": _Unit(times=1e3, decimals=lambda size: 1 if size >= 10.0 else 3 if 0.0 < size < 0.1 else 2),
    "g": _Unit(times=1e3, decimals=_below(10.0, 2, 1)),
    "kg": _Unit(decimals=_below(100.0, 3, 2)),
    "g/cm3": _Unit(over=1e3, decimals=_always(3)),
    "kg/m3": _Unit(decimals=_always(3)),
    "lb/in3": _Unit(over=float(BY_SYMBOL["lb/in3"].factor), decimals=_below(0.1, 5, 4)),
    "lb/ft3": _Unit(over=float(BY_SYMBOL["lb/ft3"].factor), decimals=_always(4)),
    "mm2": _Unit(times=1e6, decimals=_always(2)),
    "cm2": _Unit(times=1e4, decimals=_always(1)),
    "m2": _Unit(decimals=_always(3)),
    "in2": _Unit(over=_INCH**2, decimals=_below(1.0, 4, 2)),
    "cm3": _Unit(times=1e6, decimals=_below(10.0, 3, 1)),
    "l": _Unit(times=1e3, decimals=_always(3)),
    "in3": _Unit(over=_INCH**3, decimals=_below(1.0, 4, 2)),
    "g mm": _Unit(times=1e6, decimals=_always(0)),
    "kg mm": _Unit(times=1e3, decimals=_always(1)),
    "oz in": _Unit(over=_OUNCE * _INCH, decimals=_always(2)),
    "N m": _Unit(decimals=_below(10.0, 3, 1)),
    "lbf in": _Unit(over=_POUND_FORCE * _INCH, decimals=_always(2)),
    "N": _Unit(decimals=_below(10.0, 2, 1)),
    "kN": _Unit(times=1e-3, decimals=_always(2)),
    "lbf": _Unit(over=_POUND_FORCE, decimals=_below(100.0, 2, 1)),
    "kW": _Unit(times=1e-3, decimals=_always(2)),
    "BTU/h": _Unit(over=float(BY_SYMBOL["BTU/h"].factor), decimals=_always(0)),
    "MPa": _Unit(times=1e-6, decimals=_below(10.0, 3, 1)),
    "GPa": _Unit(times=1e-9, decimals=_always(1)),
    "psi": _Unit(over=float(BY_SYMBOL["psi"].factor), decimals=_below(1e4, 1, 0)),
    "N m2": _Unit(decimals=_below(1e3, 2, 0)),
    "lbf in2": _Unit(over=float(BY_SYMBOL["lbf in2"].factor), decimals=_always(0)),
    "m/s": _Unit(decimals=_always(2)),
    "kn": _Unit(over=float(BY_SYMBOL["kn"].factor), decimals=_always(2)),
    "s": _Unit(decimals=_below(20.0, 1, 0)),
    "min": _Unit(over=60.0, decimals=_below(10.0, 1, 0)),
    "h": _Unit(over=3600.0, decimals=_always(1)),
}
_IMPERIAL = {
    "length": "in", "area": "in2", "volume": "in3", "moment": "oz in", "torque": "lbf in", "force": "lbf",
    "power": "BTU/h", "pressure": "psi", "stiffness": "lbf in2", "speed": "kn",
}  # fmt: skip
# Metric units by kind, each with the size from which it is used. [SI]
_METRIC = {
    "mass": (("kg", 5.0), ("g", 0.0)),
    "area": (("m2", 1.0), ("cm2", 1e-4), ("mm2", 0.0)),
    "volume": (("l", 0.01), ("cm3", 0.0)),
    "moment": (("kg mm", 0.1), ("g mm", 0.0)),
    "torque": (("N m", 0.0),),
    "force": (("kN", 1e4), ("N", 0.0)),
    "power": (("kW", 0.0),),
    "pressure": (("GPa", 1e10), ("MPa", 0.0)),
    "stiffness": (("N m2", 0.0),),
    "speed": (("m/s", 0.0),),
}
_TIMES = (("h", 7200.0), ("min", 120.0), ("s", 0.0))


@frozen
class Figure:
    """Figure within text.

    Attributes:
        kind: Kind of quantity, named as in `Shown`: "length", "mass", "density", ...
        value: [SI]
        imperial: Whether it is shown in imperial units. [-]
        workshop: Whether it is rounded to the digits that a workshop needs. [-]
    """

    kind: str
    value: float
    imperial: bool
    workshop: bool

    @property
    def group(self) -> tuple[str, bool]:
        """Group of figures with which this one can share a unit."""
        return self.kind, self.imperial

    def text(self, beside: Sequence[float] = ()) -> str:
        """Text of the figure in a unit that suits it and the values beside it.

        Args:
            beside: Other values of its group. [SI]
        """
        alone = _unit(self.kind, self.imperial, [abs(self.value)])
        unit = _unit(self.kind, self.imperial, [abs(self.value), *map(abs, beside)]) if beside else alone
        if unit in ("in", "lb", "oz"):
            write = _inches if unit == "in" else _pounds
            scale = _INCH if unit == "in" else _OUNCE
            return write(self.value / scale, unit == "lb" and bool(beside), self.workshop)
        how = _UNITS[unit]
        figure = self.value * how.times / how.over
        decimals = how.decimals(abs(figure))
        if unit != alone and figure:
            # In a unit chosen for larger figures, a small one keeps two digits.
            decimals = max(decimals, min(1 - math.floor(math.log10(abs(figure))), decimals + 3))
        return f"{rounded(figure, decimals) if self.workshop else fixed(figure, decimals)} {unit}"


class Figures(str):
    """Text with figures that can be rewritten in other units.

    Attributes:
        template: The text with "{}" in place of each figure.
        figures: The figures, in order.
    """

    template: str
    figures: tuple[Figure, ...]

    def __new__(cls, template: str = "", figures: tuple[Figure, ...] = ()) -> Figures:
        """Make the text, with each figure in the unit that suits it best, whatever the units of the others."""
        texts = [one.text() for one in figures]
        made = super().__new__(cls, texts[0] if template == "{}" else template.format(*texts))
        made.template, made.figures = template, figures
        return made

    def __getnewargs__(self) -> tuple[str, tuple[Figure, ...]]:  # type: ignore[override]
        """Arguments needed to copy the text between processes."""
        return self.template, self.figures

    def beside(self, others: dict[tuple[str, bool], list[float]]) -> str:
        """Text with each figure in a unit that suits it and the other values of its group.

        Args:
            others: All other values by group. [SI]
        """
        return self.template.format(*(one.text(others.get(one.group, ())) for one in self.figures))


def worded(template: str, *texts: str) -> str:
    """Put words around figures without turning the figures into plain text, as an f-string would: `worded("{} by {}", a,
    b)`.

    Args:
        template: Template, with "{}" for each text.
        texts: Figures or plain strings.
    """
    parts = [
        one.template if isinstance(one, Figures) else one.replace("{", "{{").replace("}", "}}")
        for one in texts
    ]
    figures = tuple(figure for one in texts if isinstance(one, Figures) for figure in one.figures)
    return Figures(template.format(*parts), figures)


def signed(text: str) -> str:
    """Format a change with its sign; zero has none."""
    return (
        text
        if text.startswith("-") or not any(letter in "123456789" for letter in text)
        else worded("+{}", text)
    )


def in_one_unit(rows: Iterable[Sequence[str]]) -> list[tuple[str, ...]]:
    """Return a table's cells with all figures of one kind in one unit.

    Times are an exception: a pause of seconds and a wait of hours keep separate units.

    Args:
        rows: Rows of cells; plain strings are unchanged.
    """
    kept = [tuple(row) for row in rows]
    others: dict[tuple[str, bool], list[float]] = {}
    for row in kept:
        for cell in row:
            for figure in cell.figures if isinstance(cell, Figures) else ():
                if figure.kind != "duration":
                    others.setdefault(figure.group, []).append(figure.value)
    return [tuple(cell.beside(others) if isinstance(cell, Figures) else cell for cell in row) for row in kept]


def alike(template: str, *texts: str) -> str:
    """Put words around figures in one unit, such as a value and its spread, or a figure and its limit.

    Args:
        template: Text with "{}" in place of each figure.
        texts: Figures to insert.
    """
    return worded(template, *in_one_unit([texts])[0])


def give_or_take(value: str, spread: str) -> str:
    """Format a value with its spread in one unit: "11.328 g/cm3, give or take 0.019 g/cm3".

    Args:
        value: The figure.
        spread: The figure's standard deviation.
    """
    return alike("{}, give or take {}", value, spread)


def _unit(kind: str, imperial: bool, sizes: Sequence[float]) -> str:
    largest = max(sizes)
    if kind == "duration":
        return next(unit for unit, least in _TIMES if largest >= least)
    if kind == "density":
        gas = 0.0 < largest < _GAS
        return ("lb/ft3" if gas else "lb/in3") if imperial else ("kg/m3" if gas else "g/cm3")
    if kind == "mass" and imperial:
        return "lb" if largest / _OUNCE >= 15.95 else "oz"
    if imperial:
        return _IMPERIAL[kind]
    if kind == "length":
        shortest = min((size for size in sizes if size > 0.0), default=0.0)
        return "m" if largest >= 2.0 and shortest >= _SHORTEST_IN_METRES else "mm"
    return next(unit for unit, least in _METRIC[kind] if largest >= least)


def fixed(value: float, decimals: int) -> str:
    """Format a figure with a fixed number of decimals, without a minus sign before zero."""
    text = f"{value:.{decimals}f}"
    return text[1:] if text.startswith("-") and not text.strip("-0.") else text


def rounded(value: float, decimals: int) -> str:
    """Format a figure with three significant digits, enough for a workshop, and at most the given number of decimals."""
    if value == 0.0:
        return "0"
    digits = _WORKSHOP_DIGITS - 1 - math.floor(math.log10(abs(value)))
    return fixed(round(value, digits), max(min(digits, decimals), 0))


def _exact(size: float, parts: int) -> bool:
    """Whether a size is a nonzero whole number of parts, within the rounding of a typed fraction."""
    return size > 0.0 and abs(size * parts - round(size * parts)) < 1e-6


def _mixed(size: float, parts: int) -> str:
    """Format a size as a whole number and a fraction: "13 1/4", "5/16", "2"."""
    whole, over = divmod(round(size * parts), parts)
    common = math.gcd(over, parts)
    fraction = f"{over // common}/{parts // common}" if over else ""
    return " ".join(each for each in (str(whole) if whole or not over else "", fraction) if each)


def _inches(inches: float, whole_pounds: bool, workshop: bool) -> str:
    size = abs(inches)
    # A fraction typed to 1/64 is shown that way again; a calculated figure never matches one exactly.
    fine = _exact(size, 64)
    if 0.0 < size < 1.0 / 16.0 and not fine:
        return f"{fixed(inches, 3 if size >= 0.01 else 5)} in"
    return f"{'-' if inches < 0.0 else ''}{_mixed(size, 64 if fine else 32)} in"


def _pounds(ounces: float, both: bool, workshop: bool) -> str:
    """Format pounds and ounces; both are shown if the figures beside this one are in pounds."""
    size, sign = abs(ounces), "-" if ounces < 0.0 else ""
    if _exact(size, 16) and not _exact(size, 1):
        # As typed: "4 lb 14 1/2 oz".
        pounds, rest = divmod(size, 16.0)
        return f"{sign}{f'{pounds:.0f} lb ' if pounds or both else ''}{_mixed(rest, 16)} oz"
    if size < 0.995:
        # Beside pounds the third digit of a hundredth of an ounce says nothing.
        enough = size == 0.0 or size >= (0.005 if both else 0.095)
        text = fixed(ounces, 2 if enough else 4)
        return f"{sign}0 lb {text.removeprefix('-')} oz" if both else f"{text} oz"
    # From a pound up a workshop needs only whole ounces.
    parts = 1.0 if workshop and size >= 16.0 else 10.0
    pounds, tenths = divmod(round(size * parts), round(16 * parts))
    figure = f"{tenths / parts:.1f}".removesuffix(".0")
    if both or (pounds and tenths):
        return f"{sign}{pounds} lb {figure} oz"
    return f"{sign}{pounds} lb" if pounds else f"{sign}{figure} oz"
