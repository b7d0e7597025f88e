"""Lead shot in resin: density, quantities, and how warm a layer gets by itself.

    density = packing x shot + (1 - packing) x resin

A layer of the mix cures at the rate k and loses heat through its open face at the rate l, so that
dT/dt = k D exp(-k t) - l T, with D the rise if no heat were lost. Its peak is D x^(1/(1-x)) with x = k/l.

k is that of a thin layer, which stays as cool as the room. A thick one cures faster as it gets warmer, so every rise
here is a lower bound: only D bounds it from above, and the thickness given for a layer is the most.
"""

from __future__ import annotations

import math

from bulbcast.quantities.frozen import frozen

LEAD_HEAT_CAPACITY = 129.5
"""[J/(kg K)] at 25 degC; JANAF, from the NIST WebBook."""
LEAD_CONDUCTIVITY = 35.3
"""[W/(m K)] at 20 degC; handbook value."""
RESIN_HEAT_CAPACITY = 1600.0
"""[J/(kg K)] curing epoxy; handbook value, from memory."""
RESIN_CONDUCTIVITY = 0.20
"""[W/(m K)] unfilled epoxy; handbook value, from memory."""
FACE_TO_AIR = 10.0
"""[W/(m2 K)] heat from an open face to still air of a room; handbook value for plates, 5 to 15."""


class ResinError(ValueError):
    """A mix that is impossible."""


@frozen
class ShotMix:
    """Shot wetted with resin, no voids.

    Attributes:
        packing: Fraction of the volume filled by shot, above 0 and below 1. [-]
        packing_spread: Its standard deviation. [-]
        shot_density: Density of a pellet. [kg/m3]
        resin_density: Density of the cured resin. [kg/m3]
        heat: Heat of cure of the resin. [J/kg]
        cure_time: Time for a thin layer to cure by two thirds: 1/k. [s]

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
            raise ResinError("Densities, heat and time of cure must be above zero.")

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
        """Heat capacity of the mix per volume. [J/(m3 K)]"""
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
        """Lowest peak rise of a layer that loses heat through its upper face only, at the rate of a cool layer.

        Args:
            thickness: Thickness of the layer. [m]

        Returns:
            [K]
        """
        # Two resistances in series: from the face to the air, and a third of the layer itself, to its mean temperature.
        loss_time = (
            self.heat_capacity * thickness * (1.0 / FACE_TO_AIR + thickness / (3.0 * self.conductivity))
        )
        return self.whole_rise * peak_share(loss_time / self.cure_time)

    def thickest_layer(self, highest_rise: float) -> float:
        """The thickest layer that can stay below a rise, if it keeps the rate of a cool layer.

        Args:
            highest_rise: Highest rise allowed. [K]

        Returns:
            The thickness; infinite if even a layer that loses no heat stays below that rise. [m]
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
    """Peak of the heat released at rate k and lost at rate l, as a fraction of all the heat: x^(1/(1-x)).

    Args:
        ratio: x = k/l, above zero. [-]

    Returns:
        From 0 for a layer that loses heat at once to 1 for one that keeps it. [-]
    """
    if ratio <= 0.0:
        return 0.0
    if abs(ratio - 1.0) < 1e-6:
        return math.exp(-1.0)
    return math.exp(math.log(ratio) / (1.0 - ratio))


@frozen
class ResinCast:
    """Quantities for one casting of shot in resin, and its layers.

    Attributes:
        shot: Mass of lead shot. [kg]
        resin: Resin and hardener together, spare included. [kg]
        mass: Mass of the casting. [kg]
        mass_spread: Its standard deviation, from the packing. [kg]
        depth: Depth to be filled, measured vertically in the mould. [m]
        thickest_layer: Thickest layer that can stay below the rise allowed. [m]
        layers: Least number of layers, of equal depth.
        layer_rise: Least rise of one of them. [K]
        rise_at_once: Least rise if it were filled in one go. [K]
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
    """Shot, resin and layers for a casting.

    Args:
        mix: Shot and resin.
        volume: Volume of the cast body. [m3]
        depth: Depth to be filled, measured vertically in the mould. [m]
        spare: Spare resin, as a fraction of the resin needed. [-]
        highest_rise: Highest rise allowed in a layer. [K]

    Returns:
        The casting.
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
