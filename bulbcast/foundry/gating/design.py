"""One mould's gating, whole: closed with sprue, riser and vents, or open with its level mark.

The cavity is told by plain figures, so that any mould can be reckoned: its volume, its shadow on the parting,
how high it stands, how thin its end is.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Literal

from bulbcast.foundry.cooling.radial import FreezingCase, casting_bars, freezing_times, running_bar
from bulbcast.foundry.gating.formulas import (
    CUP_DEPTH,
    SHORTEST_FILL,
    SMALLEST_COVER,
    VENT_IN_FROM_END,
    Choke,
    LevelMark,
    Riser,
    Sprue,
    choke_of,
    choke_of_diameter,
    effective_head,
    feed_demand,
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

CUP_TO_SPRUE = 3.0
"""Width of the pouring cup over the sprue's mouth; common practice, no source."""
SPRUE_AT = 0.75
"""Place of the sprue along the bulb, clear of the riser; common practice, no source."""

LEAVE_ALONE = 1.35
"""Time that the mould is left alone over that in which casting or riser freezes as a long round bar in the slowest
mould: bars leave out where the two meet. Judgement, held against simulated castings in tests/benchmarks. [-]"""

Parting = Literal["horizontal", "vertical"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Cavity:
    """The cavity of one pour as it stands. Lengths m, volumes m3, areas m2.

    Attributes:
        volume: That metal fills, cores taken off.
        surface: That it cools by.
        length: Along the bulb.
        height: Upwards.
        shadow: On the parting plane.
        shadow_centroid: Of it, from the nose.
        above_parting: Volume above a level parting.
        thin_radius: Half the thickness of its thinnest end.
        thick_at: Of the largest section, from the nose.
        thick_modulus: Of the largest section: of the long cylinder that has it, its area over its perimeter.
        parting: Level or upright.
        bulb_axis: Level or upright.
        high_end: Which end is up where the axis is upright.
        open_above: An open half-mould.
        pours: How many such cavities are poured.
        cover: Of mould material over the cavity.
        block_radius: Of the round mould whose section has the area of the block's across the bulb.
        beside: Of mould material beside the cavity.
        cope_mass: Own mass of the part that is lifted; zero where none is. [kg]
    """

    volume: float
    surface: float
    length: float
    height: float
    shadow: float
    shadow_centroid: float
    above_parting: float
    thin_radius: float
    thick_at: float
    thick_modulus: float
    parting: Parting
    bulb_axis: Literal["level", "upright"]
    high_end: Literal["nose", "tail"] | None
    open_above: bool
    pours: int
    cover: float
    block_radius: float
    beside: float
    cope_mass: float

    @property
    def modulus(self) -> float:
        """Volume over cooled surface. [m]"""
        return self.volume / self.surface


@dataclass(frozen=True, slots=True, kw_only=True)
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


@dataclass(frozen=True, slots=True, kw_only=True)
class GatingWish:
    """What the plan asks. None: by the rules."""

    fill_time: float | None = None
    choke_diameter: float | None = None
    discharge: float = 0.8
    riser_diameter: float | None = None
    riser_height: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
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


@dataclass(frozen=True, slots=True, kw_only=True)
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


@dataclass(frozen=True, slots=True, kw_only=True)
class Vent:
    """One vent.

    Attributes:
        at: From the nose along the bulb. [m]
        diameter: [m]
    """

    at: float
    diameter: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Gating:
    """The gating of a mould.

    Attributes:
        cavity: What it fills.
        feed: Share of the liquid that is missing once it is solid. [-]
        head: From the parting, or where that is upright from the cavity's top, up to the metal's
            surface; zero for an open mould. [m]
        over_crown: From the top of the cavity up to the metal's surface. [m]
        choke: The narrowest part; of an upright mould the stream itself. None for an open mould.
        sprue: None for an open mould, and for an upright one, which is poured through its riser.
        sprue_at: From the nose. [m]
        riser: None for an open mould.
        vents: At both ends of a level bulb.
        mark: None for a closed mould.
        fill_time: Of one cavity. [s]
        pour_rate: [kg/s]
        thin_time: For which metal still runs in the thinnest end. [s]
        thick_time: In which the casting freezes. [s]
        riser_time: In which the riser freezes; None for an open mould. [s]
        leave_alone: Before which the mould must not be moved. [s]
        simulated: Whether the last three are those of the simulated casting, else of long round bars.
        pause: Longest that the stream may stop for: until metal no longer runs in the choke, or in an open
            mould's thin end. [s]
        force: On the cope or on each half, and what holds it; None for an open mould.
        cores: Lift on each core.
        metal_volume: In cavity and gating, of all pours. [m3]
        poured: Liquid metal of all pours. [kg]
        feeder: Of that, beyond the cold casting's mass. [kg]
        above_cope: How far riser and cup stand over the cope. [m]
    """

    cavity: Cavity
    feed: float
    head: float
    over_crown: float
    choke: Choke | None
    sprue: Sprue | None
    sprue_at: float
    riser: Riser | None
    vents: tuple[Vent, ...]
    mark: LevelMark | None
    fill_time: float
    pour_rate: float
    thin_time: float
    thick_time: float
    riser_time: float | None
    leave_alone: float
    simulated: bool
    pause: float
    force: Held | None
    cores: tuple[CoreLift, ...]
    metal_volume: float
    poured: float
    feeder: float
    above_cope: float


def gating_of(
    cavity: Cavity,
    *,
    metal: Metal,
    case: FreezingCase,
    wish: GatingWish,
    cores: tuple[Core, ...] = (),
) -> Gating:
    """The gating of one mould.

    Args:
        cavity: Of one pour.
        metal: As poured.
        case: What freezes in what.
        wish: What the plan asks.
        cores: In the cavity.

    Returns:
        The gating.

    Raises:
        FreezingError: The mould is as hot as the metal freezes.
        GatingError: The metal shrinks by more than a riser can give.
    """
    feed = feed_demand(metal.temperature, metal.contraction)
    riser = None if cavity.open_above else _riser(cavity, wish, feed)
    times = _times(cavity, riser, case)
    if riser is None:
        return _open(cavity, metal, wish, feed, times, cores)
    return _closed(cavity, metal, wish, feed, riser, times, cores)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Times:
    """Of one mould. [s]; `running` over the square of a way's radius [s/m2]."""

    running: float
    thick: float
    riser: float | None
    leave_alone: float


def _times(cavity: Cavity, riser: Riser | None, case: FreezingCase) -> _Times:
    bars = casting_bars(
        modulus=cavity.thick_modulus,
        block_radius=cavity.block_radius,
        beside=cavity.beside,
        feeder=None if riser is None else (riser.diameter, riser.height),
        open_above=cavity.open_above,
        air=case.air,
    )
    runs = running_bar(case.metal)
    slow = [replace(bar, conductivity=case.mould.conductivity_low) for bar in bars]
    times = freezing_times([runs, *bars, *slow], case)
    return _Times(
        running=times[0] / runs.radius**2,
        thick=times[1],
        riser=None if riser is None else times[2],
        leave_alone=LEAVE_ALONE * max(times[1 + len(bars) :]),
    )


def default_fill_time(mass: float, thin_time: float) -> float:
    """As long as is usual, and no longer than the thinnest end stays liquid, where a hand can pour so fast.

    Args:
        mass: Of metal. [kg]
        thin_time: In which the thinnest end freezes. [s]

    Returns:
        [s]
    """
    return max(min(usual_fill_time(mass), thin_time), SHORTEST_FILL)


def _open(
    cavity: Cavity,
    metal: Metal,
    wish: GatingWish,
    feed: float,
    times: _Times,
    cores: tuple[Core, ...],
) -> Gating:
    thin = times.running * cavity.thin_radius**2
    mark = level_mark(face_area=cavity.shadow, volume=cavity.volume, shrinkage=feed)
    volume = cavity.pours * (cavity.volume + mark.volume)
    poured = metal.density * volume
    each = poured / cavity.pours
    fill = default_fill_time(each, thin) if wish.fill_time is None else wish.fill_time
    return Gating(
        cavity=cavity,
        feed=feed,
        head=0.0,
        over_crown=mark.above_face,
        choke=None,
        sprue=None,
        sprue_at=0.0,
        riser=None,
        vents=(),
        mark=mark,
        fill_time=fill,
        pour_rate=each / fill,
        thin_time=thin,
        thick_time=times.thick,
        riser_time=None,
        leave_alone=times.leave_alone,
        simulated=False,
        pause=thin,
        force=None,
        cores=tuple(_core_lift(core, metal, mark.above_face) for core in cores),
        metal_volume=volume,
        poured=poured,
        feeder=max(poured - metal.cast_mass, 0.0),
        above_cope=0.0,
    )


def _closed(
    cavity: Cavity,
    metal: Metal,
    wish: GatingWish,
    feed: float,
    riser: Riser,
    times: _Times,
    cores: tuple[Core, ...],
) -> Gating:
    thin = times.running * cavity.thin_radius**2
    # Riser and cup communicate: the metal stands as high in both.
    over = riser.height
    upright = cavity.bulb_axis == "upright"
    # Level moulds take the metal at the middle of their height, upright ones from above.
    rise = 0.0 if upright else 0.5 * cavity.height
    total = over + rise
    head = effective_head(total, above_gate=rise, height=cavity.height)
    mass = metal.density * cavity.volume
    if wish.choke_diameter is not None:
        choke = choke_of_diameter(
            mass, density=metal.density, diameter=wish.choke_diameter, head=head, discharge=wish.discharge
        )
    else:
        fill = default_fill_time(mass, thin) if wish.fill_time is None else wish.fill_time
        choke = choke_of(mass, density=metal.density, fill_time=fill, head=head, discharge=wish.discharge)
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
    volume = cavity.pours * (cavity.volume + riser.volume + ways)
    poured = metal.density * volume
    level = over + (0.5 * cavity.height if cavity.parting == "horizontal" else 0.0)
    if cavity.parting == "horizontal":
        force = cope_lift(
            shadow_area=cavity.shadow,
            volume_above=cavity.above_parting,
            head=level,
            density=metal.density,
        )
    else:
        # Riser and sprue stand on the parting too, with their own shadows.
        depth = over + 0.5 * cavity.height
        if upright:
            from_top = cavity.length - cavity.shadow_centroid
            depth = over + (cavity.shadow_centroid if cavity.high_end == "nose" else from_top)
        force = bursting_force(
            shadow_area=cavity.shadow, centroid_depth=depth, density=metal.density
        ) + bursting_force(
            shadow_area=riser.diameter * riser.height,
            centroid_depth=0.5 * riser.height,
            density=metal.density,
        )
        if sprue is not None:
            force += bursting_force(
                shadow_area=0.5 * (sprue.top_diameter + sprue.foot_diameter) * sprue.height,
                centroid_depth=total - 0.5 * sprue.height,
                density=metal.density,
            )
    own = cavity.cope_mass if cavity.parting == "horizontal" else 0.0
    return Gating(
        cavity=cavity,
        feed=feed,
        head=level,
        over_crown=over,
        choke=choke,
        sprue=sprue,
        sprue_at=0.0 if upright else SPRUE_AT * cavity.length,
        riser=riser,
        vents=vents,
        mark=None,
        fill_time=choke.fill_time,
        pour_rate=choke.pour_rate,
        thin_time=thin,
        thick_time=times.thick,
        riser_time=times.riser,
        leave_alone=times.leave_alone,
        simulated=False,
        pause=times.running * (0.5 * choke.diameter) ** 2,
        force=held(force, own),
        cores=tuple(_core_lift(core, metal, level) for core in cores),
        metal_volume=volume,
        poured=poured,
        feeder=max(poured - metal.cast_mass, 0.0),
        above_cope=max(over - cavity.cover, 0.0),
    )


def _riser(cavity: Cavity, wish: GatingWish, feed: float) -> Riser:
    # Not the whole bulb's modulus: its thin ends freeze first, and its thick middle after what that tells.
    by_rule = riser_of(
        casting_modulus=cavity.thick_modulus,
        casting_volume=cavity.volume,
        feed=feed,
        least_height=max(SMALLEST_COVER, cavity.cover),
        height=wish.riser_height,
    )
    if wish.riser_diameter is None:
        return by_rule
    return replace(
        by_rule,
        diameter=wish.riser_diameter,
        volume=0.25 * math.pi * wish.riser_diameter**2 * by_rule.height,
        modulus=riser_modulus(wish.riser_diameter, by_rule.height),
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
    return CoreLift(
        core=core,
        floating=floating,
        thrust=thrust,
        held=held(max(floating, 0.0 if thrust is None else thrust, 0.0)),
    )
