"""A piece of metal weighed in air and in water."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class WeighedSample:
    """A scrap sample weighed in air and hung in fresh water. Masses kg, temperature degC.

    `reading_spread` is the standard deviation of one reading of the scale; `sample_porosity` the
    void fraction of the sample itself, 0 where it is taken as sound metal.
    """

    in_air: float
    in_water: float
    water_temperature: float
    sample_porosity: float
    reading_spread: float
