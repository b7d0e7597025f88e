"""Results of a simulated cooling, as immutable values with positions in the cavity's axes."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from bulbcast.foundry.cooling.keeping import Kept
from bulbcast.foundry.cooling.setup import CoolingSetup


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """Position in the mould as poured.

    Attributes:
        x: Distance along the bulb from the cavity's nose. [m]
        across: Horizontal distance from the axis. [m]
        up: Height above the axis; 0 for a bulb cast on end. [m]
        in_casting: Whether it is in the casting; otherwise it is in the feeder.
    """

    x: float
    across: float
    up: float
    in_casting: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class ShrinkageCavity:
    """Hollow, or porosity of the same volume, that freezing leaves where the feeder does not reach.

    Attributes:
        volume: Volume of the hollow. [m3]
        place: Position where the last metal around it froze.
        cut_off: Time at which the feeder last reached it. [s]
        frozen: Time at which the last metal around it froze. [s]
    """

    volume: float
    place: Place
    cut_off: float
    frozen: float


@dataclass(frozen=True, slots=True, kw_only=True)
class EnergyBalance:
    """Heat balance from the pour until the casting was solid. [J]

    Attributes:
        given: Heat given up by the metal.
        warmed: Heat still stored in the warmed mould.
        bound_water: Heat spent on driving off the bound water of the gypsum.
        to_air: Heat that left the block.
        torch: Heat that a torch added to the feeder.
        rest: Remainder due to rounding.
    """

    given: float
    warmed: float
    bound_water: float
    to_air: float
    torch: float
    rest: float


@dataclass(frozen=True, slots=True, kw_only=True)
class History:
    """Figures over time, one per time step.

    Attributes:
        time: Time since the pour. [s]
        hottest: Highest temperature of the casting. [degC]
        coldest: Lowest temperature of the casting. [degC]
        feeder: Highest temperature of the feeder; empty without one. [degC]
        face: Highest temperature of the block's sides and bottom. [degC]
        solid: Fraction of the casting that is solid. [-]
    """

    time: tuple[float, ...]
    hottest: tuple[float, ...]
    coldest: tuple[float, ...]
    feeder: tuple[float, ...]
    face: tuple[float, ...]
    solid: tuple[float, ...]

    def solid_after(self, time: float) -> float:
        """Calculate how much of the casting is solid.

        Args:
            time: Time since the mould was full. [s]

        Returns:
            Solid fraction, interpolated linearly between the steps. [-]
        """
        return float(np.interp(time, self.time, self.solid))


@dataclass(frozen=True, slots=True, kw_only=True)
class Slice:
    """Cut through the metal cells.

    Attributes:
        first: Horizontal positions of the nodes in the cut, increasing to the right. [m]
        second: Vertical positions of the nodes in the cut, increasing upwards. [m]
        frozen: Time at which each node froze, None in the mould, shape (second, first). [s]
        closed: Time after which each node lets no more metal through, None in the mould, same shape. [s]
    """

    first: tuple[float, ...]
    second: tuple[float, ...]
    frozen: tuple[tuple[float | None, ...], ...]
    closed: tuple[tuple[float | None, ...], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Cooling:
    """Results of one simulated cooling.

    Attributes:
        setup: Casting and mould that were cooled.
        cells: Number of cells in the grid.
        steps: Number of time steps.
        casting_volume: Volume of the casting as sampled. [m3]
        feeder_volume: Volume of the feeder as sampled. [m3]
        frozen: Time at which the whole casting was frozen. [s]
        frozen_low: Same, in the best-conducting mould. [s]
        frozen_high: Same, in the worst-conducting mould. [s]
        frozen_feeder: Time at which the whole feeder was frozen; None without one. [s]
        leave_alone: Time at which casting and feeder are frozen in the worst-conducting mould. [s]
        last: Position where the last metal froze.
        last_in_casting: Position where the last of the casting froze.
        path_closes: Time at which the last path from the feeder into the casting closed. [s]
        solid_at_closing: Fraction of the casting that was solid at that time. [-]
        cavities: Cavities, largest first; negligible ones are left out.
        cavity_volume: Volume of all hollows, including small ones. [m3]
        drawn: Volume that contraction draws from the feeder or an open face. [m3]
        open_after: Time at which the hottest metal is cold enough to open the mould. [s]
        rule_plain: Freezing time by Chvorinov's rule from the modulus alone, for comparison. [s]
        rule_curved: Same, with the curvature of the skin. [s]
        energy: Heat balance.
        history: Figures over time.
        along: Vertical cut along the axis.
        kept: Time for which the feeder is kept liquid, and its effect; None if it is not kept liquid.
        through: Vertical cut across the axis at the feeder; None if the bulb is on end.
        said: Assumptions of the model, one sentence each.
    """

    setup: CoolingSetup
    cells: int
    steps: int
    casting_volume: float
    feeder_volume: float
    frozen: float
    frozen_low: float
    frozen_high: float
    frozen_feeder: float | None
    leave_alone: float
    last: Place
    last_in_casting: Place
    path_closes: float
    solid_at_closing: float
    cavities: tuple[ShrinkageCavity, ...]
    cavity_volume: float
    drawn: float
    open_after: float
    rule_plain: float
    rule_curved: float
    energy: EnergyBalance
    history: History
    along: Slice
    through: Slice | None
    said: tuple[str, ...]
    kept: Kept | None = None

    @property
    def feeder_last(self) -> bool:
        """Whether the last metal freezes in the feeder or at an open face."""
        return not self.last.in_casting

    @property
    def cavity_share(self) -> float:
        """Volume of the cavities as a fraction of the casting's volume. [-]"""
        return self.cavity_volume / self.casting_volume
