"""One mould's gating, whole: closed with sprue, riser and vents, or open with its level mark.

Thinnest end is taken as a cylinder at 98 % of the length.
"""

from __future__ import annotations

import math

from bulbcast.foundry.cooling.radial import (
    Bar,
    Freezing,
    FreezingCase,
    casting_bars,
    freezing_times,
    refuse,
    running_bar,
)
from bulbcast.foundry.gating.formulas import (
    CUP_DEPTH,
    DISCHARGE,
    SHORTEST_FILL,
    SMALLEST_COVER,
    VENT_IN_FROM_END,
    Choke,
    LevelMark,
    Riser,
    Sprue,
    choke_of,
    effective_head,
    feed_demand,
    fill_time_through,
    level_mark,
    riser_modulus,
    riser_of,
    sprue_of,
    usual_fill_time,
    vent_diameter,
)
from bulbcast.foundry.gating.lift import (
    Held,
    bursting_force,
    cope_lift,
    floating_force,
    held,
    thrust_on_hung_core,
)
from bulbcast.foundry.mould.design import MouldDesign
from bulbcast.plan.melt_sections import PourSection
from bulbcast.quantities.frozen import frozen, replace

CUP_TO_SPRUE = 3.0
"""Width of the pouring cup over the sprue's mouth; common practice, no source."""
SPRUE_AT = 0.75
"""Place of the sprue along the bulb, clear of the riser; common practice, no source."""

LEAVE_ALONE = 1.35
"""Time that the mould is left alone over that in which casting or riser freezes as a long round bar in the slowest
mould: bars leave out where the two meet. Judgement, held against simulated castings in tests/benchmarks. [-]"""


@frozen
class Cavity:
    """The cavity of one pour as it stands. Lengths m, volumes m3, areas m2.

    Attributes:
        mould: How it parts and stands, and what lies round it.
        volume: That metal fills, cores taken off.
        surface: That it cools by.
        shadow: On the parting plane.
        shadow_centroid: Of it, from the nose.
        above_parting: Volume above a level parting.
        thin_radius: Half the thickness of its thinnest end.
        thick_at: Of the largest section, from the nose.
        thick_modulus: Of the largest section: of the long cylinder that has it, its area over its perimeter.
        block_radius: Of the round mould whose section has the area of the block's across the bulb.
        cope_mass: Own mass of the part that is lifted; zero where none is. [kg]
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

    @property
    def level_parting(self) -> bool:
        """Whether the mould parts level; else upright."""
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
    def high_end(self) -> str | None:
        """Which end is up where the axis is upright: nose or tail."""
        return {"nose-up": "nose", "tail-up": "tail"}.get(self.mould.orientation)

    @property
    def open_above(self) -> bool:
        """Whether it is an open half-mould."""
        return self.mould.kind == "open-halves"

    @property
    def cover(self) -> float:
        """Of mould material over the cavity. [m]"""
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
        temperature: At the pour. [degC]
        contraction: Linear, solidus to cold. [-]
        cast_mass: Of the cold casting of all pours. [kg]
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
        volume: That metal covers. [m3]
        density: [kg/m3]
        end_area: Of its lower end where it hangs from the cope; None where metal is all round it. [m2]
        end_above_parting: Of that end. [m]
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
        floating: By Archimedes, its weight taken off; below zero for what sinks. [N]
        thrust: On its lower end, its weight taken off, where it hangs from the cope. [N]
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
        at: From the nose along the bulb. [m]
        diameter: [m]
    """

    at: float
    diameter: float


@frozen
class Gating:
    """The gating of a mould.

    Attributes:
        cavity: What it fills.
        feed: Share of the liquid that is missing once it is solid. [-]
        over_crown: From the top of the cavity up to the metal's surface. [m]
        fill_time: Of one cavity. [s]
        pour_rate: [kg/s]
        thin_time: For which metal still runs in the thinnest end. [s]
        thick_time: In which the casting freezes; not a number in a study, nor are `riser_time` and `leave_alone`. [s]
        leave_alone: Before which the mould must not be moved. [s]
        pause: Longest that the stream may stop for: until metal no longer runs in the choke, or in an open
            mould's thin end. [s]
        cores: Lift on each core.
        poured: Liquid metal of all pours. [kg]
        feeder: Of that, beyond the cold casting's mass. [kg]
        head: From the parting, or where that is upright from the cavity's top, up to the metal's
            surface; zero for an open mould. [m]
        choke: The narrowest part; of an upright mould the stream itself. None for an open mould.
        sprue: None for an open mould, and for an upright one, which is poured through its riser.
        riser: None for an open mould.
        vents: At both ends of a level bulb.
        mark: None for a closed mould.
        riser_time: In which the riser freezes; None for an open mould. [s]
        force: On the cope or on each half, and what holds it; None for an open mould.
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
    poured: float
    feeder: float
    head: float = 0.0
    choke: Choke | None = None
    sprue: Sprue | None = None
    riser: Riser | None = None
    vents: tuple[Vent, ...] = ()
    mark: LevelMark | None = None
    riser_time: float | None = None
    force: Held | None = None
    simulated: bool = False

    @property
    def sprue_at(self) -> float:
        """Place of the sprue from the nose; zero without one. [m]"""
        return 0.0 if self.sprue is None else SPRUE_AT * self.cavity.length

    @property
    def above_cope(self) -> float:
        """How far riser and cup stand over the cope. [m]"""
        return 0.0 if self.riser is None else max(self.over_crown - self.cavity.cover, 0.0)


@frozen
class Poured:
    """What is poured into one mould, before anything is known of how it freezes.

    Attributes:
        cavity: Of one pour.
        metal: As poured.
        case: What freezes in what.
        pour: What the plan asks; None: all by the rules.
        cores: In the cavity.
    """

    cavity: Cavity
    metal: Metal
    case: FreezingCase
    pour: PourSection | None
    cores: tuple[Core, ...] = ()

    @property
    def feed(self) -> float:
        """What the metal asks of its feeder. [-]"""
        return feed_demand(self.metal.temperature, self.metal.contraction)

    @property
    def riser(self) -> Riser | None:
        """None where the mould is open above.

        Raises:
            GatingError: The metal shrinks by more than a riser can give.
        """
        return None if self.cavity.open_above else _riser(self.cavity, self.pour, self.feed)

    @property
    def running(self) -> Bar:
        """A thin way for the metal."""
        return running_bar(self.case.metal)

    def bars(self, riser: Riser | None) -> tuple[Bar, ...]:
        """The casting's largest section, and its riser.

        Args:
            riser: As above.
        """
        cavity = self.cavity
        return casting_bars(
            modulus=cavity.thick_modulus,
            block_radius=cavity.block_radius,
            beside=cavity.mould.margins.sides,
            feeder=None if riser is None else (riser.diameter, riser.height),
            open_above=cavity.open_above,
            air=self.case.air,
        )


_Times = tuple[float, float, float | None, float]
"""Running in a way over the square of its radius [s/m2]; freezing of casting and riser, and leaving alone. [s]"""


def gating_of(poured: Poured, running: Freezing | None = None) -> Gating:
    """The gating of one mould.

    Args:
        poured: What is poured into it.
        running: Who knows how long metal runs, for a study: all that its figures and codes ask of freezing. None: all
            the times are worked out here.

    Returns:
        The gating.

    Raises:
        FreezingError: The mould is as hot as the metal freezes.
        GatingError: The metal shrinks by more than a riser can give.
    """
    riser, case = poured.riser, poured.case
    way, bars = poured.running, poured.bars(riser)
    if running is None:
        slow = [replace(bar, conductivity=case.mould.conductivity_low) for bar in bars]
        runs, *times = freezing_times((way, *bars, *slow), case)
    else:
        for bar in bars:
            refuse(bar, case)
        (runs,) = running((way,), case)
        times = [math.nan] * 2 * len(bars)
    own, late = times[: len(bars)], times[len(bars) :]
    seen = (runs / way.radius**2, own[0], None if riser is None else own[1], LEAVE_ALONE * max(late))
    return _open(poured, seen) if riser is None else _closed(poured, riser, seen)


def _fill_time(pour: PourSection | None, mass: float, thin_time: float) -> float:
    """As given, or as long as is usual, and no longer than the thinnest end stays liquid where a hand can pour so fast.

    [s]
    """
    if pour is not None and pour.fill_time is not None:
        return pour.fill_time
    return max(min(usual_fill_time(mass), thin_time), SHORTEST_FILL)


def _open(asked: Poured, times: _Times) -> Gating:
    cavity, metal, feed = asked.cavity, asked.metal, asked.feed
    running, thick, _, leave_alone = times
    thin = running * cavity.thin_radius**2
    mark = level_mark(face_area=cavity.shadow, volume=cavity.volume, shrinkage=feed)
    poured = metal.density * (cavity.mould.pours * (cavity.volume + mark.volume))
    each = poured / cavity.mould.pours
    fill = _fill_time(asked.pour, each, thin)
    return Gating(
        cavity=cavity,
        feed=feed,
        over_crown=mark.above_face,
        mark=mark,
        fill_time=fill,
        pour_rate=each / fill,
        thin_time=thin,
        thick_time=thick,
        leave_alone=leave_alone,
        pause=thin,
        cores=tuple(_core_lift(core, metal, mark.above_face) for core in asked.cores),
        poured=poured,
        feeder=max(poured - metal.cast_mass, 0.0),
    )


def _closed(asked: Poured, riser: Riser, times: _Times) -> Gating:
    cavity, metal, pour = asked.cavity, asked.metal, asked.pour
    running, thick, riser_time, leave_alone = times
    thin = running * cavity.thin_radius**2
    # Riser and cup communicate: the metal stands as high in both.
    over = riser.height
    upright = cavity.upright
    # Level moulds take the metal at the middle of their height, upright ones from above.
    rise = 0.0 if upright else 0.5 * cavity.height
    total = over + rise
    head = effective_head(total, above_gate=rise, height=cavity.height)
    mass = metal.density * cavity.volume
    discharge = DISCHARGE if pour is None else pour.discharge
    fill = _fill_time(pour, mass, thin)
    if pour is not None and (bore := pour.choke_diameter) is not None:
        fill = fill_time_through(bore, mass, density=metal.density, head=head, discharge=discharge)
    choke = choke_of(mass, density=metal.density, fill_time=fill, head=head, discharge=discharge)
    sprue: Sprue | None = None
    vents: tuple[Vent, ...] = ()
    ways = 0.0
    if not upright:
        # An upright mould is poured through its riser, which stands on the high end and lets the air out.
        cup = min(CUP_DEPTH, 0.5 * total)
        sprue = sprue_of(choke.diameter, height=total - cup, cup_depth=cup)
        across = vent_diameter(choke.area)
        ends = (VENT_IN_FROM_END, 1.0 - VENT_IN_FROM_END)
        vents = tuple(Vent(at=at * cavity.length, diameter=across) for at in ends)
        ways = sprue.volume + 0.25 * math.pi * (CUP_TO_SPRUE * sprue.top_diameter) ** 2 * cup
        ways += sum(0.25 * math.pi * vent.diameter**2 * over for vent in vents)
    poured = metal.density * (cavity.mould.pours * (cavity.volume + riser.volume + ways))
    level = over + (0.5 * cavity.height if cavity.level_parting else 0.0)
    return Gating(
        cavity=cavity,
        feed=asked.feed,
        head=level,
        over_crown=over,
        choke=choke,
        sprue=sprue,
        riser=riser,
        vents=vents,
        fill_time=choke.fill_time,
        pour_rate=choke.pour_rate,
        thin_time=thin,
        thick_time=thick,
        riser_time=riser_time,
        leave_alone=leave_alone,
        pause=running * (0.5 * choke.diameter) ** 2,
        force=_force(cavity, riser, sprue, metal.density),
        cores=tuple(_core_lift(core, metal, level) for core in asked.cores),
        poured=poured,
        feeder=max(poured - metal.cast_mass, 0.0),
    )


def _force(cavity: Cavity, riser: Riser, sprue: Sprue | None, density: float) -> Held:
    """On the cope of a mould parted level, or on each half of one parted upright."""
    over = riser.height
    if cavity.level_parting:
        level = over + 0.5 * cavity.height
        lift = cope_lift(
            shadow_area=cavity.shadow, volume_above=cavity.above_parting, head=level, density=density
        )
        return held(lift, cavity.cope_mass)
    # Riser and sprue stand on the parting too, with their own shadows.
    depth = over + 0.5 * cavity.height
    if cavity.upright:
        from_top = cavity.length - cavity.shadow_centroid
        depth = over + (cavity.shadow_centroid if cavity.high_end == "nose" else from_top)
    force = bursting_force(shadow_area=cavity.shadow, centroid_depth=depth, density=density)
    force += bursting_force(shadow_area=riser.diameter * over, centroid_depth=0.5 * over, density=density)
    if sprue is not None:
        force += bursting_force(
            shadow_area=0.5 * (sprue.top_diameter + sprue.foot_diameter) * sprue.height,
            centroid_depth=over + 0.5 * cavity.height - 0.5 * sprue.height,
            density=density,
        )
    return held(force)


def _riser(cavity: Cavity, pour: PourSection | None, feed: float) -> Riser:
    # Not the whole bulb's modulus: its thin ends freeze first, and its thick middle after what that tells.
    by_rule = riser_of(
        casting_modulus=cavity.thick_modulus,
        casting_volume=cavity.volume,
        feed=feed,
        least_height=max(SMALLEST_COVER, cavity.cover),
        height=None if pour is None else pour.riser_height,
    )
    across = None if pour is None else pour.riser_diameter
    if across is None:
        return by_rule
    return replace(
        by_rule,
        diameter=across,
        volume=0.25 * math.pi * across**2 * by_rule.height,
        modulus=riser_modulus(across, by_rule.height),
        rule="given",
    )


def _core_lift(core: Core, metal: Metal, head: float) -> CoreLift:
    floating = floating_force(volume=core.volume, density=core.density, metal_density=metal.density)
    thrust = None
    if core.end_area is not None:
        thrust = thrust_on_hung_core(
            end_area=core.end_area,
            end_depth=head - core.end_above_parting,
            volume=core.volume,
            density=core.density,
            metal_density=metal.density,
        )
    lift = max(floating, 0.0 if thrust is None else thrust, 0.0)
    return CoreLift(core=core, floating=floating, thrust=thrust, held=held(lift))
