"""Formulas for lead shot in resin: density, quantities, and how warm a layer gets as it cures.

    density = packing x shot + (1 - packing) x resin

A layer of the mix cures at the rate k and loses heat through its open face at the rate l. Therefore dT/dt = k D exp(-k
t) - l T, where D is the rise if no heat were lost. The peak of T is D x^(1/(1-x)), where x = k/l.

The rate k is that of a thin layer, which stays as cool as the room. A thick layer cures faster as it gets warmer, so
every rise here is a lower bound, except D, which is an upper bound. The thickness given for a layer is a maximum.
"""

from __future__ import annotations

import math

from bulbcast.quantities.frozen import frozen

LEAD_HEAT_CAPACITY = 129.5
"""Heat capacity of lead at 25 degC; JANAF, from the NIST WebBook. [J/(kg K)]"""
LEAD_CONDUCTIVITY = 35.3
"""Conductivity of lead at 20 degC; handbook value. [W/(m K)]"""
RESIN_HEAT_CAPACITY = 1600.0
"""Heat capacity of curing epoxy; handbook value, from memory. [J/(kg K)]"""
RESIN_CONDUCTIVITY = 0.20
"""Conductivity of unfilled epoxy; handbook value, from memory. [W/(m K)]"""
FACE_TO_AIR = 10.0
"""Film coefficient from an open face to the still air of a room; handbooks give 5 to 15 for plates. [W/(m2 K)]"""


class ResinError(ValueError):
    """Raised for an impossible mix."""


@frozen
class ShotMix:
    """Shot wetted with resin, without voids.

    Attributes:
        packing: Fraction of the volume filled by shot, above 0 and below 1. [-]
        packing_spread: Standard deviation of the packing. [-]
        shot_density: Density of a pellet. [kg/m3]
        resin_density: Density of the cured resin. [kg/m3]
        heat: Heat of cure of the resin. [J/kg]
        cure_time: Time 1/k, in which a thin layer cures by about two thirds. [s]

    Raises:
        ResinError: The packing is out of range, or another figure is not above zero.
    """

    packing: float
    packing_spread: float
    shot_density: float
    resin_density: float
    heat: float
    cure_time: float

    def __post_init__(self) -> None:
        if not 0.0 < self.packing < 1.0:
            raise ResinError(f"The packing is {self.packing * 100:g} %; it must be above 0 and below 100 %.")
        if not min(self.shot_density, self.resin_density, self.heat, self.cure_time) > 0.0:
            raise ResinError("The densities, the heat of cure and the cure time must be above zero.")

    @property
    def density(self) -> float:
        """Density of the filled volume. [kg/m3]"""
        return self.packing * self.shot_density + (1.0 - self.packing) * self.resin_density

    @property
    def density_spread(self) -> float:
        """Standard deviation of the density, from that of the packing. [kg/m3]"""
        return self.packing_spread * abs(self.shot_density - self.resin_density)

    @property
    def heat_capacity(self) -> float:
        """Heat capacity of the mix per unit volume. [J/(m3 K)]"""
        return (
            self.packing * self.shot_density * LEAD_HEAT_CAPACITY
            + (1.0 - self.packing) * self.resin_density * RESIN_HEAT_CAPACITY
        )

    @property
    def conductivity(self) -> float:
        """Conductivity of the mix, by Maxwell's rule for spheres in a matrix (Treatise on Electricity, 1873). [W/(m K)]"""
        p, k = LEAD_CONDUCTIVITY, RESIN_CONDUCTIVITY
        return k * (p + 2.0 * k + 2.0 * self.packing * (p - k)) / (p + 2.0 * k - self.packing * (p - k))

    @property
    def whole_rise(self) -> float:
        """Temperature rise if no heat were lost. [K]"""
        return (1.0 - self.packing) * self.resin_density * self.heat / self.heat_capacity

    def rise(self, thickness: float) -> float:
        """Calculate a lower bound on the peak temperature rise of a layer, assuming that it loses heat through its upper
        face only and cures at the rate of a cool layer.

        Args:
            thickness: Thickness of the layer. [m]

        Returns:
            Temperature rise. [K]
        """
        # Two resistances in series: from the face to the air, and a third of that of the layer itself, to its mean
        # temperature.
        loss_time = (
            self.heat_capacity * thickness * (1.0 / FACE_TO_AIR + thickness / (3.0 * self.conductivity))
        )
        return self.whole_rise * peak_share(loss_time / self.cure_time)

    def thickest_layer(self, highest_rise: float) -> float:
        """Calculate the thickest layer that can stay below a given rise, if it cures at the rate of a cool layer.

        Args:
            highest_rise: Highest rise allowed. [K]

        Returns:
            Thickness; infinite if even a layer that loses no heat stays below that rise. [m]
        """
        if highest_rise >= self.whole_rise:
            return math.inf
        low, high = 0.0, 1e-3
        while self.rise(high) < highest_rise:
            low, high = high, 2.0 * high
        for _ in range(60):
            middle = 0.5 * (low + high)
            low, high = (middle, high) if self.rise(middle) < highest_rise else (low, middle)
        return low


def peak_share(ratio: float) -> float:
    """Calculate the peak of heat released at rate k and lost at rate l, as a fraction of all the heat: x^(1/(1-x)).

    Args:
        ratio: Ratio x = k/l, above zero. [-]

    Returns:
        Fraction from 0, for a layer that loses its heat at once, to 1, for one that keeps it. [-]
    """
    if ratio <= 0.0:
        return 0.0
    if abs(ratio - 1.0) < 1e-6:
        return math.exp(-1.0)
    return math.exp(math.log(ratio) / (1.0 - ratio))


@frozen
class ResinCast:
    """Quantities and layers for one casting of shot in resin.

    Attributes:
        shot: Mass of lead shot. [kg]
        resin: Mass of resin and hardener together, including the spare. [kg]
        mass: Mass of the casting. [kg]
        mass_spread: Standard deviation of the mass, due to the packing. [kg]
        depth: Depth to be filled, measured vertically in the mould. [m]
        thickest_layer: Thickest layer that can stay within the allowed rise. [m]
        layers: Minimum number of layers of equal depth.
        layer_rise: Minimum rise of one layer. [K]
        rise_at_once: Minimum rise if the mould were filled all at once. [K]
    """

    shot: float
    resin: float
    mass: float
    mass_spread: float
    depth: float
    thickest_layer: float
    layers: int
    layer_rise: float
    rise_at_once: float


def resin_cast(mix: ShotMix, *, volume: float, depth: float, spare: float, highest_rise: float) -> ResinCast:
    """Calculate the shot, resin and layers for a casting.

    Args:
        mix: Mix of shot and resin.
        volume: Volume of the cast body. [m3]
        depth: Depth to be filled, measured vertically in the mould. [m]
        spare: Spare resin, as a fraction of the resin needed. [-]
        highest_rise: Highest rise allowed in a layer. [K]

    Returns:
        Quantities and layers.
    """
    thickest = mix.thickest_layer(highest_rise)
    layers = 1 if depth <= thickest else math.ceil(depth / thickest * (1.0 - 1e-9))
    return ResinCast(
        shot=mix.packing * mix.shot_density * volume,
        resin=(1.0 - mix.packing) * mix.resin_density * volume * (1.0 + spare),
        mass=mix.density * volume,
        mass_spread=mix.density_spread * volume,
        depth=depth,
        thickest_layer=thickest,
        layers=layers,
        layer_rise=mix.rise(depth / layers),
        rise_at_once=mix.rise(depth),
    )
