"""Parts of a gating: cavity, metal, cores, vents and the complete gating. Plain values, with no calculations."""

from __future__ import annotations

from typing import Literal

from bulbcast.foundry.cooling.setup import Cavity as Skin
from bulbcast.foundry.gating.feeder import Feeder
from bulbcast.foundry.gating.formulas import Choke, LevelMark, Sprue
from bulbcast.foundry.gating.lift import Held
from bulbcast.foundry.mould.design import MouldDesign
from bulbcast.quantities.frozen import frozen

SPRUE_AT = 0.75
"""Distance of the sprue from the nose, as a fraction of the length; clear of the feeder. Common practice, no source."""


@frozen
class Cavity:
    """Cavity of one pour, oriented as it is poured. Lengths are in m, volumes in m3 and areas in m2.

    Attributes:
        mould: Mould round it, with its parting and orientation.
        volume: Volume that metal fills, less the cores.
        surface: Area of the surface that it cools through.
        shadow: Projected area of the cavity on the parting plane.
        shadow_centroid: Distance of that area's centroid from the nose.
        above_parting: Volume above a horizontal parting.
        thin_radius: Half the thickness of its thinnest end.
        thick_at: Position of the largest section, from the nose.
        thick_modulus: Modulus of the largest section, its area divided by its perimeter.
        block_radius: Radius of the round mould with the same cross-sectional area as the block.
        cope_mass: Mass of the part that is lifted; zero if none is. [kg]
        skin: Outline in both planes, oriented as it is poured.
        pocket: Range, measured from the nose, in which the pocket is cut from the top after casting; None if it is not.
        core: Range, measured from the nose, of a core that forms the pocket in the top; None without one.
    """

    mould: MouldDesign
    volume: float
    surface: float
    shadow: float
    shadow_centroid: float
    above_parting: float
    thin_radius: float
    thick_at: float
    thick_modulus: float
    block_radius: float
    cope_mass: float
    skin: Skin
    pocket: tuple[float, float] | None
    core: tuple[float, float] | None

    @property
    def level_parting(self) -> bool:
        """Whether the parting plane is horizontal rather than vertical."""
        return self.mould.parting == "horizontal"

    @property
    def upright(self) -> bool:
        """Whether the bulb's axis is vertical."""
        return self.mould.bulb_axis == "upright"

    @property
    def length(self) -> float:
        """Length along the bulb. [m]"""
        return self.mould.pattern.height if self.upright else self.mould.pattern.length

    @property
    def height(self) -> float:
        """Height of the cavity. [m]"""
        return self.mould.pattern.height

    @property
    def high_end(self) -> Literal["nose", "tail"] | None:
        """Upper end if the axis is vertical: nose or tail."""
        if self.mould.orientation == "nose-up":
            return "nose"
        return "tail" if self.mould.orientation == "tail-up" else None

    @property
    def open_above(self) -> bool:
        """Whether the mould is an open half."""
        return self.mould.kind == "open-halves"

    @property
    def cover(self) -> float:
        """Thickness of mould material over the cavity. [m]"""
        return self.mould.margins.above

    @property
    def modulus(self) -> float:
        """Modulus: volume divided by the cooled surface. [m]"""
        return self.volume / self.surface


@frozen
class Metal:
    """Metal as poured.

    Attributes:
        density: Density of the liquid metal. [kg/m3]
        temperature: Pouring temperature. [degC]
        contraction: Linear contraction from the solidus to cold. [-]
        cast_mass: Mass of the cold castings from all pours together. [kg]
    """

    density: float
    temperature: float
    contraction: float
    cast_mass: float


@frozen
class Core:
    """Core or insert in the cavity.

    Attributes:
        name: Name of the cut that it forms.
        material: Material of the core.
        volume: Volume covered by metal. [m3]
        density: Density of the core. [kg/m3]
        end_area: Area of its lower end if it hangs from the cope; None if metal surrounds it. [m2]
        end_above_parting: Height of that end above the parting. [m]
    """

    name: str
    material: str
    volume: float
    density: float
    end_area: float | None = None
    end_above_parting: float = 0.0

    @property
    def cut(self) -> str:
        """The cut that it forms, as named in a sentence, such as "the pocket" or "screw hole 1"."""
        return "the pocket" if self.name == "pocket" else self.name


@frozen
class CoreLift:
    """Lift on one core.

    Attributes:
        core: Core or insert concerned.
        floating: Lift by Archimedes' principle, net of its weight; negative if it sinks. [N]
        thrust: Force on its lower end, net of its weight, if it hangs from the cope. [N]
        held: Holding force needed for the larger of the two.
    """

    core: Core
    floating: float
    thrust: float | None
    held: Held


@frozen
class Vent:
    """One vent of the mould.

    Attributes:
        at: Distance from the nose along the bulb. [m]
        diameter: Diameter of the vent. [m]
    """

    at: float
    diameter: float


@frozen
class Ingate:
    """Channel cut into the drag's face from the sprue's foot to the bulb.

    Attributes:
        width: Width along the bulb. [m]
        depth: Depth below the parting. [m]
        length: Length from the middle of the sprue's foot to the bulb. [m]
        aside: Distance of the sprue's middle from the bulb's axis. [m]
    """

    width: float
    depth: float
    length: float
    aside: float

    @property
    def volume(self) -> float:
        """Volume of the ingate. [m3]"""
        return self.width * self.depth * self.length


@frozen
class TopUp:
    """Hot metal added by a given time to a feeder that is kept liquid.

    Attributes:
        until: Time since the mould was full. [s]
        in_all: Total by that time. [kg]
    """

    until: float
    in_all: float


@frozen
class Gating:
    """Gating of a mould.

    Attributes:
        cavity: Cavity that it fills.
        feed: Fraction of the liquid volume lost on solidification. [-]
        over_crown: Height from the top of the cavity up to the metal's surface. [m]
        fill_time: Fill time of one cavity. [s]
        pour_rate: Mass flow of the metal. [kg/s]
        thin_time: Time for which metal still runs in the thinnest end. [s]
        thick_time: Time in which the casting freezes. In a study, this time is NaN, and so are `feeder_time`,
            `leave_alone` and the times for which the feeder is kept liquid. [s]
        leave_alone: Time before which the mould must not be moved. [s]
        pause: Longest permissible interruption of the stream, after which metal no longer runs in the choke or in an
            open mould's thin end. [s]
        cores: Lift on each core.
        cast_mass: Mass of the cold castings from all pours, if sound. [kg]
        poured: Mass of liquid metal in all pours. [kg]
        feeder_mass: Amount by which that mass exceeds the mass of the cold castings. [kg]
        top_up: Part of the poured metal used to top up a feeder that is kept liquid; otherwise zero. [kg]
        top_ups: Amounts of top-up and their times; empty if the feeder is not kept liquid.
        head: Height of the metal's surface above the parting, or above the cavity's top if the parting is vertical;
            zero for an open mould. [m]
        choke: Narrowest part of the gating; in an upright mould, the stream itself. None for an open mould.
        sprue: Sprue; None for an open mould, and for an upright one, which is poured through its feeder.
        ingate: Ingate from the sprue's foot to the bulb; None if the sprue is on the bulb itself.
        feeder: Feeder; None for an open mould, and for one that is not fed.
        vents: Vents at both ends of a level bulb.
        mark: Level mark; None for a closed mould.
        feeder_time: Time in which the feeder freezes if left alone from the start; None without one. [s]
        keep: Time for which the feeder is kept liquid in the slowest mould, based on the casting's freezing time or on
            the shortest time found by simulation for a sound casting; None if it is not kept liquid. [s]
        roughly: The same time, by the rule used to choose the feeding method. [s]
        keep_least: The same time as `keep`, but in the mould as planned; None if it is not kept liquid. [s]
        force: Force on the cope or on each half, and the weight or clamp that holds it; None for an open mould.
        simulated: Whether freezing times are those of the simulated casting, rather than of long round bars.
    """

    cavity: Cavity
    feed: float
    over_crown: float
    fill_time: float
    pour_rate: float
    thin_time: float
    thick_time: float
    leave_alone: float
    pause: float
    cores: tuple[CoreLift, ...]
    cast_mass: float
    poured: float
    feeder_mass: float
    top_up: float = 0.0
    top_ups: tuple[TopUp, ...] = ()
    head: float = 0.0
    choke: Choke | None = None
    sprue: Sprue | None = None
    ingate: Ingate | None = None
    feeder: Feeder | None = None
    vents: tuple[Vent, ...] = ()
    mark: LevelMark | None = None
    feeder_time: float | None = None
    keep: float | None = None
    keep_least: float | None = None
    roughly: float = 0.0
    force: Held | None = None
    simulated: bool = False

    @property
    def lost(self) -> float:
        """Part of the casting's mass that is lost to shrinkage if nothing feeds it. [kg]"""
        fed = self.feeder is not None or self.mark is not None
        return 0.0 if fed else self.feed * self.cast_mass

    @property
    def sprue_at(self) -> float:
        """Distance of the sprue from the nose; zero if there is no sprue. [m]"""
        return 0.0 if self.sprue is None else SPRUE_AT * self.cavity.length

    @property
    def above_cope(self) -> float:
        """Height of the feeder and the cup above the cope. [m]"""
        return 0.0 if self.choke is None else max(self.over_crown - self.cavity.cover, 0.0)
