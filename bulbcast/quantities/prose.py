"""Conversion of metric quantities in text for a reader who uses imperial units, with the imperial figure first.

Text in quotes is for the builder to type and is never changed.
"""

from __future__ import annotations

import re

from bulbcast.quantities.figures import rounded
from bulbcast.quantities.showing import DisplayUnits, Shown
from bulbcast.quantities.units import BY_SYMBOL, Dimension

_NUMBER = r"[-+]?\d+(?:[.,]\d+)*"
_METRIC = r"(?:mm|cm|m|kg|g|t|°C|C|l|cm2|m2|cm3|g/cm3|kg/m3|MPa|GPa|N|kW|m/s)"
_ENDS = r"(?![\w/²³])(?! m\b)"
_FRACTION = r"[-+]?\d[\d.,]*(?: ?\d*/\d+)?"
_IMPERIAL = r"(?:in|lb|oz|ft|°F|F|in2|in3|lb/in3|lb/ft3|psi|lbf|BTU/h|kn)"
_PAIR = re.compile(
    # On a page, a line can break anywhere inside it.
    rf"(?<![\w.])({_NUMBER}(?:\s+to\s+{_NUMBER})?\s+{_METRIC})(\s+)"
    rf"\(({_FRACTION}(?:\s+to\s+{_FRACTION})?\s+{_IMPERIAL}(?:\s+{_NUMBER}\s+oz)?)\)"
)
_BEHIND = rf"\({_NUMBER}(?: to {_NUMBER})? {_METRIC}\)"
_ALONE = rf"(?<![\w./-])(?:(?P<first>{_NUMBER}) to )?(?P<last>{_NUMBER}) (?P<unit>{_METRIC}){_ENDS}"
_ANY = re.compile(rf"{_PAIR.pattern}|{_BEHIND}|{_ALONE}")
_DIFFERENCE = re.compile(r"(?<=\+ )\d+ C\b|\b\d+ C(?= above\b)")
"""Pattern of a temperature difference, as opposed to a temperature: "liquidus + 50 C", "50 C above the liquidus"."""
_QUOTED = re.compile(r'("[^"]*")')
_THOUSANDTHS = 0.0005
"""Lengths below this size are shown in whole thousandths of an inch. [m]"""
_FEET = 2.0
"""Lengths from this size up are shown in feet. [m]"""
_WHOLE_POUNDS = 10.0
"""Masses from this size up are shown in pounds without ounces. [lb]"""


def imperial_first(text: str) -> str:
    """Change "400 C (750 F)" within text to "750 F (400 C)", without changing the length of any line.

    Args:
        text: Any text, such as a complete page. [-]
    """
    return _PAIR.sub(r"\3\2(\1)", text)


def in_her_units(text: str, units: DisplayUnits) -> str:
    """Rewrite a text for a reader who uses imperial units, with each metric quantity after its imperial equivalent.

    Args:
        text: Text to rewrite; parts in quotes are to be typed and stay unchanged. [-]
        units: The reader's units. [-]
    """
    if units == "metric":
        return text
    differences = {found.start() for found in _DIFFERENCE.finditer(text)}
    if differences:
        # Split there, so that each side is converted as before.
        start, pieces = 0, []
        for found in _DIFFERENCE.finditer(text):
            degrees = 9.0 / 5.0 * float(found[0].removesuffix(" C"))
            pieces += [in_her_units(text[start : found.start()], units), f"{degrees:.0f} °F ({found[0]})"]
            start = found.end()
        return "".join((*pieces, in_her_units(text[start:], units)))
    parts = _QUOTED.split(text)
    return "".join(part if part.startswith('"') else _ANY.sub(_hers_first, part) for part in parts)


def _hers_first(found: re.Match[str]) -> str:
    if found["last"] is None:
        # Both units are there already, in either order.
        return imperial_first(found[0])
    first, last, symbol = found["first"], found["last"], found["unit"]
    shown = [_imperial(one, symbol) for one in (first, last) if one is not None]
    if len(shown) == 2:
        # One unit after both figures, as before.
        unit = shown[1].rpartition(" ")[2]
        shown[0] = shown[0].removesuffix(f" {unit}")
    return f"{' to '.join(shown)} ({found[0]})"


def _imperial(number: str, symbol: str) -> str:
    value = float(number.replace(",", ""))
    shown = Shown("imperial").workshop
    if symbol in ("C", "°C"):
        return shown.temperature(value)
    unit = BY_SYMBOL[symbol]
    size = value * float(unit.factor)
    pounds = size / float(BY_SYMBOL["lb"].factor)
    if unit.dimension is Dimension.MASS and pounds >= _WHOLE_POUNDS:
        return f"{rounded(pounds, 0)} lb"
    if unit.dimension is Dimension.LENGTH and 0.0 < abs(size) < _THOUSANDTHS:
        return f"{size / float(BY_SYMBOL['in'].factor):.3f} in"
    if unit.dimension is Dimension.LENGTH and abs(size) >= _FEET:
        return f"{size / float(BY_SYMBOL['ft'].factor):.3g} ft"
    writers = {
        Dimension.LENGTH: shown.length,
        Dimension.MASS: shown.mass,
        Dimension.VOLUME: shown.volume,
        Dimension.AREA: shown.area,
        Dimension.DENSITY: shown.density,
        Dimension.PRESSURE: shown.pressure,
        Dimension.FORCE: shown.force,
        Dimension.POWER: shown.power,
        Dimension.SPEED: shown.speed,
    }
    return str(writers[unit.dimension](size))


_TYPED = re.compile(r'"(-?\d+(?:\.\d+)?) (mm|cm|m|g|kg|C|cm2|m2|l)"')
_SQUARE_FEET = 0.5
"""Areas from this size up are given in square feet. [m2]"""


def typed_in_imperial(text: str) -> str:
    """Convert a plan line's lengths, masses, areas and temperatures to the form typed by a builder who works in inches.

    Figures are rounded as on a rule and a scale. This is only for examples, whose figures are invented. Other
    quantities are unchanged.

    Args:
        text: Line with quantities in quotes, such as `wall = "30 mm"`. [-]
    """

    def imperial(found: re.Match[str]) -> str:
        figure, symbol = found[1], found[2]
        size = float(figure) * (1.0 if symbol == "C" else float(BY_SYMBOL[symbol].factor))
        if symbol == "C":
            return f'"{9.0 * size / 5.0 + 32.0:.0f} F"'
        if symbol.endswith("m2") and size >= _SQUARE_FEET:
            return f'"{size / float(BY_SYMBOL["ft2"].factor):.1f} ft2"'
        return f'"{_imperial(figure, symbol).replace(",", "")}"'

    return _TYPED.sub(imperial, text)
