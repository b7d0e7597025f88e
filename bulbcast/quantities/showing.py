"""Show SI values in the reader's units, metric or imperial. All output passes through this file.

Figures are shown to a resolution that suits a workshop, in plain ASCII except for the degree sign. A figure typed
back in agrees with the original to the resolution shown.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal, get_args

from bulbcast.quantities.figures import Figure, Figures, fixed, worded
from bulbcast.quantities.units import BY_SYMBOL

DisplayUnits = Literal["metric", "imperial"]
_SYSTEMS = get_args(DisplayUnits)

_INCH = float(BY_SYMBOL["in"].factor)


@dataclass(frozen=True, slots=True)
class Shown:
    """Formatter for values in one system of units.

    Attributes:
        units: "metric" or "imperial".
        rough: Whether figures are rounded to three digits, enough for a workshop.

    Raises:
        ValueError: `units` is neither of the two, or a method is given nan or infinity.
    """

    units: DisplayUnits
    rough: bool = False

    def __post_init__(self) -> None:
        if self.units not in _SYSTEMS:
            raise ValueError(f'units were "{self.units}"; they must be "metric" or "imperial"')

    @property
    def _imperial(self) -> bool:
        return self.units == "imperial"

    @property
    def other(self) -> Shown:
        """Formatter for the other system of units."""
        return Shown("metric" if self._imperial else "imperial", self.rough)

    @property
    def workshop(self) -> Shown:
        """Formatter that rounds to three digits, as in "14.5 kg" or "270 g". Not for figures that must add up."""
        return Shown(self.units, rough=True)

    def _figure(self, kind: str, value: float) -> Figures:
        figure = Figure(kind=kind, value=_finite(value), imperial=self._imperial, workshop=self.rough)
        return Figures("{}", (figure,))

    def length(self, metres: float) -> str:
        """Format a length in mm (m from 2 m up), or in inches with a fraction to 1/32, never feet.

        Below 1/16 inch a fraction to 1/32 is too coarse, so thousandths are shown there.

        Args:
            metres: [m]

        Returns:
            Text such as "336.6 mm" or "4.500 m"; "13 1/4 in" or "0.012 in".
        """
        return self._figure("length", metres)

    def mass(self, kilograms: float) -> str:
        """Format a mass in g (kg from 5 kg up), or in pounds and ounces to 0.1 oz (0.01 oz below one ounce).

        Args:
            kilograms: [kg]

        Returns:
            Text such as "2450.0 g" or "12.300 kg"; "4 lb 14 oz" or "14.2 oz".
        """
        return self._figure("mass", kilograms)

    def temperature(self, celsius: float) -> str:
        """Format a temperature in whole degrees from 100 up; below 100, with tenths unless they are zero.

        Args:
            celsius: [degC]

        Returns:
            Text such as "380 °C" or "716 °F".
        """
        value = _finite(celsius) * 9.0 / 5.0 + 32.0 if self._imperial else _finite(celsius)
        text = fixed(value, 0 if abs(value) >= 100.0 else 1)
        return f"{text.removesuffix('.0')} {'°F' if self._imperial else '°C'}"

    def density(self, kg_per_m3: float) -> str:
        """Format a density in g/cm3 to 0.001, or in lb/in3 to 0.0001 (0.00001 below 0.1).

        The density of a gas is in kg/m3 or lb/ft3.

        Args:
            kg_per_m3: [kg/m³]

        Returns:
            Text such as "11.340 g/cm3" or "0.4097 lb/in3".
        """
        return self._figure("density", kg_per_m3)

    def area(self, square_metres: float) -> str:
        """Format an area in cm2 (mm2 below 1 cm2, m2 from 1 m2 up), or in square inches.

        Args:
            square_metres: [m²]

        Returns:
            Text such as "312.4 cm2" or "48.42 in2".
        """
        return self._figure("area", square_metres)

    def volume(self, cubic_metres: float) -> str:
        """Format a volume in cm3 (litres from 10 l up), or in cubic inches.

        Args:
            cubic_metres: [m³]

        Returns:
            Text such as "216.1 cm3", "12.345 l" or "13.19 in3".
        """
        return self._figure("volume", cubic_metres)

    def moment(self, kilogram_metres: float) -> str:
        """Format a mass times an arm in g mm (kg mm from 100 000 g mm up), or in ounce inches.

        Args:
            kilogram_metres: [kg m]

        Returns:
            Text such as "4200 g mm", "350.0 kg mm" or "5.83 oz in".
        """
        return self._figure("moment", kilogram_metres)

    def torque(self, newton_metres: float) -> str:
        """Format a turning moment in N m, or in lbf in.

        Args:
            newton_metres: [N m]

        Returns:
            Text such as "0.185 N m" or "1.64 lbf in".
        """
        return self._figure("torque", newton_metres)

    def angle(self, radians: float) -> str:
        """Format an angle in degrees, to 0.01 below 10 degrees and to 0.1 above; the same in both systems.

        Args:
            radians: [rad]

        Returns:
            Text such as "2.00 deg" or "30.0 deg".
        """
        degrees = math.degrees(_finite(radians))
        return f"{fixed(degrees, 2 if abs(degrees) < 9.995 else 1)} deg"

    def speed(self, metres_per_second: float) -> str:
        """Format a speed in m/s, or in knots.

        Args:
            metres_per_second: [m/s]

        Returns:
            Text such as "1.50 m/s" or "2.92 kn".
        """
        return self._figure("speed", metres_per_second)

    def force(self, newtons: float) -> str:
        """Format a force in N (kN from 10 000 N up), or in pounds-force.

        Args:
            newtons: [N]

        Returns:
            Text such as "24.0 N", "12.35 kN" or "5.40 lbf".
        """
        return self._figure("force", newtons)

    def power(self, watts: float) -> str:
        """Format a power in kW, or in BTU/h.

        Args:
            watts: [W]

        Returns:
            Text such as "2.00 kW" or "6824 BTU/h".
        """
        return self._figure("power", watts)

    def duration(self, seconds: float) -> str:
        """Format a time in s (min from two minutes up, h from two hours up); the same in both systems.

        Seconds below 20, minutes below 10 and all hours are given to a tenth.

        Args:
            seconds: [s]

        Returns:
            Text such as "4.4 s", "41 min" or "5.5 h".
        """
        return self._figure("duration", seconds)

    def pressure(self, pascals: float) -> str:
        """Format a pressure, stress or modulus in MPa (GPa from 10 000 MPa up), or in psi.

        Args:
            pascals: [Pa]

        Returns:
            Text such as "0.850 MPa", "152.3 MPa", "70.0 GPa" or "123.3 psi".
        """
        return self._figure("pressure", pascals)

    def stiffness(self, newton_square_metres: float) -> str:
        """Format a beam's stiffness in N m2, or in lbf in2.

        Args:
            newton_square_metres: [N m²]

        Returns:
            Text such as "60.00 N m2" or "20907 lbf in2".
        """
        return self._figure("stiffness", newton_square_metres)

    def percent(self, fraction: float) -> str:
        """Format a ratio as a percentage, to 0.01 below 10 % and to 0.1 above; the same in both systems.

        Args:
            fraction: [-]

        Returns:
            Text such as "0.98 %" or "22.0 %".
        """
        return f"{fixed(_finite(fraction) * 1e2, 2 if abs(fraction) < 0.1 else 1)} %"

    def length_both(self, metres: float) -> str:
        """Format a length in this system and, in brackets, in the other: "336.6 mm (13 1/4 in)".

        Args:
            metres: [m]

        Returns:
            Text with both values.
        """
        return worded("{} ({})", self.length(metres), self.other.length(metres))

    def temperature_both(self, celsius: float) -> str:
        """Format a temperature in this system and, in brackets, in the other: "380 °C (716 °F)".

        Args:
            celsius: [degC]

        Returns:
            Text with both values.
        """
        return f"{self.temperature(celsius)} ({self.other.temperature(celsius)})"


def sixty_fourths(metres: float) -> str:
    """Format a length in inches with a fraction to 1/64, as on a machinist's rule.

    Args:
        metres: [m]

    Returns:
        Text such as "1 23/64 in".
    """
    size = abs(_finite(metres)) / _INCH
    whole, parts = divmod(round(size * 64.0), 64)
    common = math.gcd(parts, 64)
    fraction = f"{parts // common}/{64 // common}" if parts else ""
    figure = " ".join(each for each in (str(whole) if whole or not parts else "", fraction) if each)
    return f"{'-' if metres < 0.0 and (whole or parts) else ''}{figure} in"


def _finite(value: float) -> float:
    if not math.isfinite(value):
        raise ValueError(f"{value} cannot be shown as a quantity: it is not a finite number")
    return value


def fine_length(metres: float, shown: Shown) -> str:
    """Format a length for which a fraction of an inch would be too coarse; rounding errors show as zero."""
    value = 0.0 if abs(metres) < 1e-7 else metres
    return f"{fixed(value / 0.0254, 2)} in" if shown.units == "imperial" else shown.length(value)


def shown_or_dash(metres: float | None, shown: Shown) -> str:
    """Format a length, or a dash if there is none."""
    return shown.length(metres) if metres is not None and math.isfinite(metres) else "\u2013"


def degrees_words(radians: float) -> str:
    """Format an angle in degrees, to a tenth if it is not whole."""
    return f"{math.degrees(radians):.1f} deg".replace(".0 deg", " deg")
