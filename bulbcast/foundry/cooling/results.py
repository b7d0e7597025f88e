"""Results of a simulated cooling: frozen values, lengths in the cavity's axes."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from bulbcast.foundry.cooling.keeping import Kept
from bulbcast.foundry.cooling.setup import CoolingSetup


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """A place in the mould as poured.

    Attributes:
        x: Distance along the bulb from the cavity's nose. [m]
        across: Distance from the axis, level. [m]
        up: Height from the axis; 0 in a bulb that stands. [m]
        in_casting: Whether it lies in the casting, else in the feeder.
    """

    x: float
    across: float
    up: float
    in_casting: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class ShrinkageCavity:
    """A hollow, or a sponge of its volume, that freezing leaves where the feeder does not reach.

    Attributes:
        volume: [m3]
        place: Where the last metal round it froze.
        cut_off: When the feeder last reached it. [s]
        frozen: When the last of it froze. [s]
    """

    volume: float
    place: Place
    cut_off: float
    frozen: float


@dataclass(frozen=True, slots=True, kw_only=True)
class EnergyBalance:
    """Where the metal's heat went, from the pour until the casting was solid. [J]

    Attributes:
        given: Heat given up by the metal.
        warmed: Heat that the mould still holds as warmth.
        bound_water: Heat that went with the bound water of the gypsum.
        to_air: Heat that left the block.
        torch: Heat that a torch added to the feeder.
        rest: What does not add up: rounding.
    """

    given: float
    warmed: float
    bound_water: float
    to_air: float
    torch: float
    rest: float


@dataclass(frozen=True, slots=True, kw_only=True)
class History:
    """Figures over time, one a step.

    Attributes:
        time: [s]
        hottest: Highest temperature of the casting. [degC]
        coldest: Lowest temperature of the casting. [degC]
        feeder: Hottest of the feeder; empty without one. [degC]
        face: Hottest of the block's sides and bottom. [degC]
        solid: Share of the casting that is solid. [-]
    """

    time: tuple[float, ...]
    hottest: tuple[float, ...]
    coldest: tuple[float, ...]
    feeder: tuple[float, ...]
    face: tuple[float, ...]
    solid: tuple[float, ...]

    def solid_after(self, time: float) -> float:
        """How much of the casting is solid.

        Args:
            time: Time since the mould was full. [s]

        Returns:
            Straight between the steps. [-]
        """
        return float(np.interp(time, self.time, self.solid))


@dataclass(frozen=True, slots=True, kw_only=True)
class Slice:
    """A cut through the cells of metal.

    Attributes:
        first: Nodes to the right in the cut. [m]
        second: Nodes upwards in it. [m]
        frozen: When each node froze, shape (second, first); None in the mould. [s]
        closed: When each node let no more metal through. [s]
    """

    first: tuple[float, ...]
    second: tuple[float, ...]
    frozen: tuple[tuple[float | None, ...], ...]
    closed: tuple[tuple[float | None, ...], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Cooling:
    """One simulated cooling.

    Attributes:
        setup: What was cooled.
        cells: Cells of the grid.
        steps: Time steps.
        casting_volume: Volume of the casting as sampled. [m3]
        feeder_volume: [m3]
        frozen: When all of the casting was frozen. [s]
        frozen_low: The same in a mould that conducts as well as any. [s]
        frozen_high: The same in one that conducts as badly as any. [s]
        frozen_feeder: When all of the feeder was frozen; None without one. [s]
        leave_alone: When casting and feeder are frozen in a mould that conducts as badly as any. [s]
        last: Where the last metal froze.
        last_in_casting: Where the last of the casting froze.
        path_closes: When the last way from the feeder into the casting closed. [s]
        solid_at_closing: Share of the casting that was solid then. [-]
        cavities: Largest first; those of next to nothing left out.
        cavity_volume: Volume of all hollows, the small ones too. [m3]
        drawn: Volume that contraction draws from the feeder or an open face. [m3]
        open_after: When the hottest metal is cold enough to open the mould. [s]
        rule_plain: Chvorinov's rule beside the simulation, by the modulus alone. [s]
        rule_curved: The same with the curvature of the skin. [s]
        energy: The balance.
        history: Figures over time.
        along: Upright cut along the axis.
        kept: How long the feeder is kept liquid, and what that does; None where it is not.
        through: Upright cut across it at the feeder; None where the bulb stands.
        reported: What the model takes for granted, a sentence each.
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
        """Whether the last metal freezes in the feeder, or at an open face."""
        return not self.last.in_casting

    @property
    def cavity_share(self) -> float:
        """Cavities over the casting. [-]"""
        return self.cavity_volume / self.casting_volume
