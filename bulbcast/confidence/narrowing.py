"""Benefit of each measurement: the mass of lead that does not have to be cast and drilled out again."""

from __future__ import annotations

import math

import numpy as np

from bulbcast.confidence.inputs import Input, Inputs
from bulbcast.quantities.frozen import frozen
from bulbcast.solids.quadrature import Array


@frozen
class Narrowing:
    """A possible measurement and its benefit.

    Attributes:
        name: Description of the measurement and the method.
        sd: Standard deviation of the mass after the measurement. [kg]
        saved: Amount by which the aim moves closer to the target. [kg]
    """

    name: str
    sd: float
    saved: float


METAL_WEIGHED = 36.0
"""Standard deviation of the density measured on half a kilogram of metal weighed in air and in water. Each reading has
a standard deviation of a tenth of a gram; the two together make 0.32 % of the 44 g that the metal loses in water.
[kg/m3]"""
# Standard deviation left after each measurement. Judgement, with its basis.
_LEAVES: tuple[tuple[str, dict[str, float]], ...] = (
    (
        "half a kilogram of the metal, weighed in air and in water to a tenth of a gram (alloy.weighed)",
        {"density of the metal": METAL_WEIGHED},
    ),
    # A caliper at five positions of each kind.
    (
        "the finished pattern measured with a caliper (pattern.error)",
        {"pattern, all lengths": 0.0, "pattern, each face": 0.05e-3, "coat of sealer": 0.02e-3},
    ),
    # A twentieth of a millimetre on both ends of 150 mm; casting and mould differ from one pour to the next by 0.1 %.
    (
        "a test bar, cast in the same mould material, measured and weighed in air and in water",
        {
            "contraction": 0.0011,
            "growth of the mould": 0.0,
            "density of the metal": METAL_WEIGHED,
            "porosity and sink": 0.003,
        },
    ),
    ("each face filed to fit a gauge (pattern.finish)", {"filing": 0.05e-3}),
    ("screws and fittings weighed (screws.density)", {"screws, pins and studs": 0.002}),
)


def narrowed(inputs: Inputs, parts: Array, quantile: float) -> tuple[Narrowing, ...]:
    """Calculate the benefit of each measurement, largest first.

    Args:
        inputs: Inputs before any measurement.
        parts: Parts of the mass, by input. [kg]
        quantile: Number of standard deviations between the target and the aim. [-]
    """
    now = float(np.sqrt(np.sum(parts**2)))
    found = []
    for name, leaves in _LEAVES:
        left = math.hypot(
            *(_left(one, part, leaves) for one, part in zip(inputs.all, parts.tolist(), strict=True))
        )
        saved = quantile * (now - left)
        if saved > 0.005 * quantile * now:
            found.append(Narrowing(name=name, sd=left, saved=saved))
    return tuple(sorted(found, key=lambda one: -one.saved))


def _left(one: Input, part: float, leaves: dict[str, float]) -> float:
    left = leaves.get(one.name)
    return part if left is None or one.sd <= left else part * left / one.sd
