"""What a gating is made of: cavity, metal, cores, vents, and all of it together. Plain values, nothing worked out."""

from __future__ import annotations

from typing import Literal

from bulbcast.foundry.cooling.setup import Cavity as Skin
from bulbcast.foundry.gating.feeder import Feeder
from bulbcast.foundry.gating.formulas import Choke, LevelMark, Sprue
from bulbcast.foundry.gating.lift import Held
from bulbcast.foundry.mould.design import MouldDesign
from bulbcast.quantities.frozen import frozen

SPRUE_AT = 0.75
"""Place of the sprue along the bulb, clear of the feeder; common practice, no source."""


@frozen
class Cavity:
    """The cavity of one pour as it stands. Lengths m, volumes m3, areas m2.

    Attributes:
        mould: How it parts and stands, and what lies round it.
        volume: Volume that metal fills, less the cores.
        surface: Surface that it cools by.
        shadow: Area of its shadow on the parting plane.
        shadow_centroid: Distance of the shadow's centroid from the nose.
        above_parting: Volume above a level parting.
        thin_radius: Half the thickness of its thinnest end.
        thick_at: Place of the largest section, from the nose.
        thick_modulus: Modulus of the largest section: of the long cylinder that has it, its area over its perimeter.
        block_radius: Radius of the round mould whose section has the area of the block's across the bulb.
        cope_mass: Own mass of the part that is lifted; zero where none is. [kg]
        skin: Its outline in both planes, as it stands.
        pocket: Where the pocket is cut from the top after casting, from the nose; None where it is not.
        core: Where a core for it stands in the top; None where none does.
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
        """Whether the mould parts level, not upright."""
        return self.mould.parting == "horizontal"

    @property
    def upright(self) -> bool:
        """Whether the bulb's axis stands upright."""
        return self.mould.bulb_axis == "upright"

    @property
    def length(self) -> float:
        """Along the bulb. [m]"""
        return self.mould.pattern.height if self.upright else self.mould.pattern.length

    @property
    def height(self) -> float:
        """Upwards. [m]"""
        return self.mould.pattern.height

    @property
    def high_end(self) -> Literal["nose", "tail"] | None:
        """Which end is up where the axis is upright: nose or tail."""
        if self.mould.orientation == "nose-up":
            return "nose"
        return "tail" if self.mould.orientation == "tail-up" else None

    @property
    def open_above(self) -> bool:
        """Whether it is an open half-mould."""
        return self.mould.kind == "open-halves"

    @property
    def cover(self) -> float:
        """Thickness of mould material over the cavity. [m]"""
        return self.mould.margins.above

    @property
    def modulus(self) -> float:
        """Volume over cooled surface. [m]"""
        return self.volume / self.surface


@frozen
class Metal:
    """The metal as poured.

    Attributes:
        density: Liquid. [kg/m3]
        temperature: Temperature at the pour. [degC]
        contraction: Linear, solidus to cold. [-]
        cast_mass: Mass of the cold casting of all pours. [kg]
    """

    density: float
    temperature: float
    contraction: float
    cast_mass: float


@frozen
class Core:
    """A core or insert in the cavity.

    Attributes:
        name: What it cores.
        material: What it is made of.
        volume: Volume that metal covers. [m3]
        density: [kg/m3]
        end_area: Area of its lower end where it hangs from the cope; None where metal is all round it. [m2]
        end_above_parting: Height of that end. [m]
    """

    name: str
    material: str
    volume: float
    density: float
    end_area: float | None = None
    end_above_parting: float = 0.0


@frozen
class CoreLift:
    """Lift on one core.

    Attributes:
        core: The core.
        floating: Net lift by Archimedes, its weight taken off; below zero for what sinks. [N]
        thrust: Force on its lower end, its weight taken off, where it hangs from the cope. [N]
        held: What holds the larger of the two.
    """

    core: Core
    floating: float
    thrust: float | None
    held: Held


@frozen
class Vent:
    """One vent.

    Attributes:
        at: Distance from the nose along the bulb. [m]
        diameter: [m]
    """

    at: float
    diameter: float


@frozen
class Ingate:
    """A channel cut into the drag's face from the sprue's foot to the bulb.

    Attributes:
        width: Width, along the bulb. [m]
        depth: Below the parting. [m]
        length: Length from the middle of the sprue's foot to the bulb. [m]
        aside: Distance of the sprue's middle from the bulb's axis. [m]
    """

    width: float
    depth: float
    length: float
    aside: float

    @property
    def volume(self) -> float:
        """[m3]"""
        return self.width * self.depth * self.length


@frozen
class TopUp:
    """How much hot metal a feeder that is kept liquid has been topped up with.

    Attributes:
        until: Time since the mould was full. [s]
        in_all: Total by then. [kg]
    """

    until: float
    in_all: float


@frozen
class Gating:
    """The gating of a mould.

    Attributes:
        cavity: What it fills.
        feed: Share of the liquid that is missing once it is solid. [-]
        over_crown: Height from the top of the cavity up to the metal's surface. [m]
        fill_time: Fill time of one cavity. [s]
        pour_rate: [kg/s]
        thin_time: Time for which metal still runs in the thinnest end. [s]
        thick_time: Time in which the casting freezes; not a number in a study, nor are `feeder_time`, `leave_alone` and
            the times of keeping. [s]
        leave_alone: Before which the mould must not be moved. [s]
        pause: Longest that the stream may stop for: until metal no longer runs in the choke, or in an open
            mould's thin end. [s]
        cores: Lift on each core.
        cast_mass: Mass of the cold casting of all pours, if sound. [kg]
        poured: Liquid metal of all pours. [kg]
        feeder_mass: Part of that beyond the cold casting's mass. [kg]
        top_up: Part of what is poured, after the mould is full, into a feeder that is kept liquid. [kg]
        top_ups: How much of it by when, while it is kept; none where it is not.
        head: Height from the parting, or where that is upright from the cavity's top, up to the metal's surface; zero
            for an open mould. [m]
        choke: The narrowest part; of an upright mould the stream itself. None for an open mould.
        sprue: None for an open mould, and for an upright one, which is poured through its feeder.
        ingate: The ingate from the sprue's foot to the bulb; None where the sprue stands on the bulb itself.
        feeder: None for an open mould, and for one that is not fed.
        vents: The vents at both ends of a level bulb.
        mark: None for a closed mould.
        feeder_time: Time in which the feeder freezes, left alone from the first; None without one. [s]
        keep: How long the feeder is kept liquid in the slowest mould: by the time the casting freezes in, or the
            simulation's shortest time for a sound casting; None where it is not kept. [s]
        roughly: The same by the rule, which the way of feeding is chosen by. [s]
        keep_least: The same in the mould as it is; None likewise. [s]
        force: Force on the cope or on each half, and what holds it; None for an open mould.
        simulated: Whether the times of freezing are those of the simulated casting, else of long round bars.
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
        """Part of the casting's mass that is lost to shrinkage where nothing feeds it. [kg]"""
        fed = self.feeder is not None or self.mark is not None
        return 0.0 if fed else self.feed * self.cast_mass

    @property
    def sprue_at(self) -> float:
        """Place of the sprue from the nose; zero without one. [m]"""
        return 0.0 if self.sprue is None else SPRUE_AT * self.cavity.length

    @property
    def above_cope(self) -> float:
        """How far feeder and cup stand over the cope. [m]"""
        return 0.0 if self.choke is None else max(self.over_crown - self.cavity.cover, 0.0)
