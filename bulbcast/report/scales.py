"""Choice of one unit for each column, according to its largest figure."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bulbcast.quantities import UNITS, Dimension, Unit
from bulbcast.quantities.frozen import frozen

if TYPE_CHECKING:
    from bulbcast.quantities import DisplayUnits

# Symbol of a unit, and the figure below which it is used; the last unit is used for all larger figures.
_STEPS: dict[tuple[Dimension, bool], tuple[tuple[str, float], ...]] = {
    (Dimension.LENGTH, False): (("mm", 2000.0), ("m", 0.0)),
    (Dimension.LENGTH, True): (("in", 0.0),),
    (Dimension.MASS, False): (("g", 5000.0), ("kg", 0.0)),
    (Dimension.MASS, True): (("oz", 16.0), ("lb", 0.0)),
    (Dimension.AREA, False): (("cm2", 1e4), ("m2", 0.0)),
    (Dimension.AREA, True): (("in2", 0.0),),
    (Dimension.VOLUME, False): (("cm3", 1e4), ("l", 0.0)),
    (Dimension.VOLUME, True): (("in3", 0.0),),
    (Dimension.FORCE, False): (("N", 0.0),),
    (Dimension.FORCE, True): (("lbf", 0.0),),
    (Dimension.RATIO, False): (("%", 0.0),),
    (Dimension.RATIO, True): (("%", 0.0),),
    (Dimension.DENSITY, False): (("g/cm3", 0.0),),
    (Dimension.DENSITY, True): (("lb/in3", 0.0),),
    (Dimension.TEMPERATURE, False): (("C", 0.0),),
    (Dimension.TEMPERATURE, True): (("F", 0.0),),
    (Dimension.ANGLE, False): (("deg", 0.0),),
    (Dimension.ANGLE, True): (("deg", 0.0),),
    (Dimension.SPEED, False): (("m/s", 0.0),),
    (Dimension.SPEED, True): (("kn", 0.0),),
    (Dimension.TIME, False): (("h", 0.0),),
    (Dimension.TIME, True): (("h", 0.0),),
    (Dimension.HEAT, False): (("kJ/kg", 0.0),),
    (Dimension.HEAT, True): (("BTU/lb", 0.0),),
}
_BY_SYMBOL: dict[str, Unit] = {unit.symbol: unit for unit in UNITS}


@frozen
class Scale:
    """A unit for displaying figures: displayed value = (SI value - offset) / factor.

    Attributes:
        unit: Symbol of the unit; "" for a bare number.
        factor: Size of the unit in SI units.
        offset: SI value that is displayed as zero; 0 except for temperatures.
    """

    unit: str
    factor: float = 1.0
    offset: float = 0.0

    def shown(self, value: float) -> float:
        """Convert a figure to this unit.

        Args:
            value: Figure to convert. [SI]

        Returns:
            The figure. [the scale's unit]
        """
        return (value - self.offset) / self.factor


def scale_for(dimension: Dimension | None, largest: float, units: DisplayUnits) -> Scale:
    """Return the unit for figures up to a given size.

    Args:
        dimension: Dimension of the figures; None for bare numbers. [-]
        largest: Largest magnitude of the figures. [SI]
        units: "metric" or "imperial". [-]

    Returns:
        The scale; small forces are shown in mN, or in ounces.
    """
    if dimension is None:
        return Scale(unit="")
    if dimension is Dimension.FORCE:
        small = _small_force(largest, units)
        if small is not None:
            return small
    *smaller, (largest_unit, _) = _STEPS[dimension, units == "imperial"]
    fits = [symbol for symbol, most in smaller if largest < most * float(_BY_SYMBOL[symbol].factor)]
    unit = _BY_SYMBOL[fits[0] if fits else largest_unit]
    return Scale(unit=unit.symbol, factor=float(unit.factor), offset=float(unit.offset))


def _small_force(largest: float, units: DisplayUnits) -> Scale | None:
    if units == "imperial":
        ounce = float(_BY_SYMBOL["lbf"].factor) / 16.0
        return Scale(unit="ozf", factor=ounce) if largest < 16.0 * ounce else None
    return Scale(unit="mN", factor=1e-3) if largest < 1.0 else None
