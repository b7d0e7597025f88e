"""Complete gating of one mould: either closed, with a sprue, feeder and vents, or open, with a level mark.

The thinnest end is modelled as a cylinder as thick as the bulb at 98 % of its length.
"""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np

from bulbcast.foundry.cooling.radial import (
    Bar,
    Freezing,
    FreezingCase,
    casting_bars,
    freezing_times,
    refuse,
    running_bar,
)
from bulbcast.foundry.cooling.rule import rule_for
from bulbcast.foundry.gating.feeder import Asked, Feeder, Way, feeder_for
from bulbcast.foundry.gating.formulas import (
    CUP_DEPTH,
    DISCHARGE,
    SHORTEST_FILL,
    SMALLEST_COVER,
    VENT_IN_FROM_END,
    Choke,
    Sprue,
    choke_of,
    effective_head,
    feed_demand,
    fill_time_through,
    level_mark,
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
from bulbcast.foundry.gating.parts import SPRUE_AT, Cavity, Core, CoreLift, Gating, Ingate, Metal, TopUp, Vent
from bulbcast.plan.melt_sections import LONGEST_TENDING, PourSection
from bulbcast.quantities.frozen import frozen, replace

CUP_TO_SPRUE = 2.5
"""Ratio of the width of the pouring cup, a funnel, to that of the sprue mouth; common practice, no source."""
INGATE_TO_CHOKE = 2.0
"""Ratio of the ingate's area to the choke's. The larger area slows the metal down before it reaches the bulb. Texts
give 1:2 or more for unpressurized gating; from memory. [-]"""
DEEPEST_INGATE = 0.6
"""Ratio of the ingate's depth to the bulb's half height where it enters. Our judgement. [-]"""
KEPT_SHARE = 0.6
"""Ratio of the time for which a feeder is kept liquid to the time in which the largest section would freeze as a long
round bar. In simulations, 0.13 to 0.56 was enough. Our judgement, compared with simulated castings in
tests/benchmarks. [-]"""
RULE_SHORT = 1.11
"""Ratio of the freezing time of a long round bar of lead to the time by Chvorinov's rule; see `cooling/simulate.py`. [-]"""
LEAVE_ALONE = 1.35
"""Ratio of the time that the mould is left alone to the freezing time of the casting or the feeder, each calculated as
a long round bar in the slowest mould. The bars do not model the region where the two meet. Our judgement, compared
with simulated castings in tests/benchmarks. [-]"""


@frozen
class Poured:
    """Casting poured into one mould, before its freezing is calculated.

    Attributes:
        cavity: Cavity of one pour.
        metal: Metal as poured.
        case: Metal, mould and temperatures for freezing.
        pour: Section [pour] of the plan; None to use the rules for everything.
        cores: Cores in the cavity.
    """

    cavity: Cavity
    metal: Metal
    case: FreezingCase
    pour: PourSection | None
    cores: tuple[Core, ...] = ()

    @property
    def feed(self) -> float:
        """Shrinkage that the feeder must make up for, as a fraction of the liquid's volume. [-]"""
        return feed_demand(self.metal.temperature, self.metal.contraction)

    @property
    def way(self) -> Way | None:
        """Feeding method: as given in the plan, or by default a feeder kept liquid, or a sleeved one if keeping it
        liquid takes too long. None if the casting is not fed, or is open at the top.
        """
        if self.cavity.open_above:
            return None
        typed = None if self.pour is None else self.pour.feeding
        if typed is not None:
            return None if typed == "none" else typed
        most = LONGEST_TENDING if self.pour is None else self.pour.longest_tending
        return "kept" if self.roughly <= most else "sleeved"

    @property
    def roughly(self) -> float:
        """Time for which the feeder must be kept liquid in the slowest mould, by Chvorinov's rule for a curved skin.
        [s]"""
        case, modulus = self.case, self.cavity.thick_modulus
        slow = replace(case.mould, conductivity=case.mould.conductivity_low)
        curved = 0.25 / modulus
        return (
            KEPT_SHARE
            * RULE_SHORT
            * rule_for(case.metal, slow, modulus=modulus, curvature=curved, pour=case.pour, start=case.start)
        )

    @property
    def feeder(self) -> Feeder | None:
        """Feeder of the casting; None if it is not fed.

        Raises:
            GatingError: The metal shrinks by more than a feeder left alone can supply.
        """
        way, cavity, pour = self.way, self.cavity, self.pour
        if way is None:
            return None
        asked = Asked(
            skin=cavity.skin,
            end=cavity.high_end,
            pocket=cavity.pocket,
            core=cavity.core,
            thick_at=cavity.thick_at,
            modulus=cavity.thick_modulus,
            volume=cavity.volume,
            cover=cavity.cover,
            feed=self.feed,
            diameter=None if pour is None else pour.feeder_diameter,
            height=None if pour is None else pour.feeder_height,
        )
        return feeder_for(asked, way)

    @property
    def running(self) -> Bar:
        """Thin channel in which the metal runs."""
        return running_bar(self.case.metal)

    def bars(self, feeder: Feeder | None) -> tuple[Bar, ...]:
        """Return the bars that represent the casting's largest section and its feeder.

        Args:
            feeder: Feeder on the casting.
        """
        cavity = self.cavity
        return casting_bars(
            modulus=cavity.thick_modulus,
            block_radius=cavity.block_radius,
            beside=cavity.mould.margins.sides,
            feeder=None if feeder is None else (feeder.diameter, feeder.height),
            open_above=cavity.open_above,
            air=self.case.air,
        )


@frozen
class _Times:
    """Running time in a channel divided by the square of its radius [s/m2], and freezing times of the casting and the
    feeder in this mould and in the slowest one. [s]
    """

    running: float
    thick: float
    feeder: float | None
    thick_slow: float
    feeder_slow: float | None

    def leave_alone(self, way: Way | None) -> float:
        """Calculate the time before which the mould must not be moved.

        A feeder that is kept liquid does not freeze until it is left alone. The heat absorbed by a mould is
        proportional to the square root of the time. Therefore, a column that would freeze in t if left alone from the
        start is frozen at (sqrt(k) + sqrt(t))^2 if it is kept liquid until k.
        """
        late = LEAVE_ALONE * max(self.thick_slow, self.feeder_slow or 0.0)
        if way != "kept" or self.feeder_slow is None:
            return late
        return max(late, (math.sqrt(KEPT_SHARE * self.thick_slow) + math.sqrt(self.feeder_slow)) ** 2)


def gating_of(poured: Poured, running: Freezing | None = None) -> Gating:
    """Design the gating of one mould.

    Args:
        poured: Casting poured into it.
        running: Function that returns how long the metal runs, if no other freezing times are needed; None to calculate
            all the times here.

    Returns:
        Gating of the mould.

    Raises:
        FreezingError: The mould is as hot as the metal's freezing point.
        GatingError: The metal shrinks by more than a feeder left alone can supply.
    """
    feeder, case = poured.feeder, poured.case
    way, bars = poured.running, poured.bars(feeder)
    if running is None:
        slow = [replace(bar, conductivity=case.mould.conductivity_low) for bar in bars]
        runs, *times = freezing_times((way, *bars, *slow), case)
    else:
        for bar in bars:
            refuse(bar, case)
        (runs,) = running((way,), case)
        times = [math.nan] * 2 * len(bars)
    own, late = times[: len(bars)], times[len(bars) :]
    seen = _Times(
        running=runs / way.radius**2,
        thick=own[0],
        feeder=None if feeder is None else own[1],
        thick_slow=late[0],
        feeder_slow=None if feeder is None else late[1],
    )
    return _open(poured, seen) if poured.cavity.open_above else _closed(poured, feeder, seen)


def topped_up(top_up: float, keep: float, solid: Callable[[float], float]) -> tuple[TopUp, ...]:
    """Calculate the total mass added to a feeder by the end of each quarter of the time for which it is kept liquid.

    Shrinkage is proportional to the solid fraction. In plaster, which absorbs heat in proportion to the square root of
    the time, the solid fraction of a bar is proportional to that root.

    Args:
        top_up: Total until the casting is frozen. [kg]
        keep: Time for which the feeder is kept liquid. [s]
        solid: Solid fraction of the casting, as a function of the fraction of that time. [-]
    """
    quarters = (0.25, 0.5, 0.75, 1.0)
    return tuple(TopUp(until=part * keep, in_all=top_up * min(solid(part), 1.0)) for part in quarters)


def _fill_time(pour: PourSection | None, mass: float, thin_time: float) -> float:
    """Fill time as given; otherwise the typical time, but no longer than the thinnest end stays liquid, and no shorter
    than a person needs to pour it. [s]
    """
    if pour is not None and pour.fill_time is not None:
        return pour.fill_time
    return max(min(usual_fill_time(mass), thin_time), SHORTEST_FILL)


def _open(asked: Poured, times: _Times) -> Gating:
    cavity, metal, feed = asked.cavity, asked.metal, asked.feed
    thin = times.running * cavity.thin_radius**2
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
        thick_time=times.thick,
        leave_alone=times.leave_alone(None),
        pause=thin,
        cores=tuple(_core_lift(core, metal, mark.above_face) for core in asked.cores),
        cast_mass=metal.cast_mass,
        poured=poured,
        feeder_mass=max(poured - metal.cast_mass, 0.0),
    )


def _closed(asked: Poured, feeder: Feeder | None, times: _Times) -> Gating:
    cavity, metal, pour = asked.cavity, asked.metal, asked.pour
    thin = times.running * cavity.thin_radius**2
    # Feeder and cup are connected, so the metal is at the same level in both.
    over = max(SMALLEST_COVER, cavity.cover) if feeder is None else feeder.height
    upright = cavity.upright
    # The metal enters level moulds at half their height, and upright ones from above.
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
    ingate: Ingate | None = None
    ways = 0.0
    if not upright:
        # An upright mould is poured through its feeder, which is on the upper end and lets the air out.
        cup = min(CUP_DEPTH, 0.5 * total)
        sprue = sprue_of(choke.diameter, height=total - cup, cup_depth=cup)
        across = vent_diameter(choke.area)
        ends = (VENT_IN_FROM_END, 1.0 - VENT_IN_FROM_END)
        vents = tuple(Vent(at=at * cavity.length, diameter=across) for at in ends)
        widens = CUP_TO_SPRUE**2 + CUP_TO_SPRUE + 1.0
        ways = sprue.volume + math.pi / 12.0 * widens * sprue.top_diameter**2 * cup
        ways += sum(0.25 * math.pi * vent.diameter**2 * over for vent in vents)
        if cavity.level_parting:
            ingate = _ingate(cavity, choke)
            ways += ingate.volume
    fed = cavity.volume + (0.0 if feeder is None else feeder.volume)
    # A feeder kept liquid is kept full, so all shrinkage is topped up.
    kept = feeder is not None and feeder.way == "kept"
    top_up = metal.density * cavity.mould.pours * fed * asked.feed if kept else 0.0
    poured = metal.density * cavity.mould.pours * (fed + ways) + top_up
    level = over + (0.5 * cavity.height if cavity.level_parting else 0.0)
    return Gating(
        cavity=cavity,
        feed=asked.feed,
        head=level,
        over_crown=over,
        choke=choke,
        sprue=sprue,
        ingate=ingate,
        feeder=feeder,
        vents=vents,
        fill_time=choke.fill_time,
        pour_rate=choke.pour_rate,
        thin_time=thin,
        thick_time=times.thick,
        feeder_time=times.feeder,
        leave_alone=times.leave_alone(None if feeder is None else feeder.way),
        keep=KEPT_SHARE * times.thick_slow if kept else None,
        keep_least=KEPT_SHARE * times.thick if kept else None,
        roughly=asked.roughly,
        top_up=top_up,
        top_ups=topped_up(top_up, KEPT_SHARE * times.thick_slow, lambda kept: math.sqrt(KEPT_SHARE * kept))
        if kept
        else (),
        pause=times.running * (0.5 * choke.diameter) ** 2,
        force=_force(cavity, feeder, sprue, over, metal.density),
        cores=tuple(_core_lift(core, metal, level) for core in asked.cores),
        cast_mass=metal.cast_mass,
        poured=poured,
        feeder_mass=max(poured - metal.cast_mass, 0.0),
    )


def _ingate(cavity: Cavity, choke: Choke) -> Ingate:
    """Size of the ingate: twice as wide as deep if the bulb is high enough there. A mould wall half the choke
    diameter thick is left between the sprue's foot and the bulb."""
    aside, up = (float(one[0]) for one in cavity.skin.halves(np.array([SPRUE_AT * cavity.length])))
    area = INGATE_TO_CHOKE * choke.area
    depth = min(math.sqrt(0.5 * area), DEEPEST_INGATE * up)
    return Ingate(width=area / depth, depth=depth, length=choke.diameter, aside=aside + choke.diameter)


def _force(cavity: Cavity, feeder: Feeder | None, sprue: Sprue | None, over: float, density: float) -> Held:
    """Force on the cope of a mould with a horizontal parting, or on each half of one with a vertical parting."""
    if cavity.level_parting:
        level = over + 0.5 * cavity.height
        lift = cope_lift(
            shadow_area=cavity.shadow, volume_above=cavity.above_parting, head=level, density=density
        )
        return held(lift, cavity.cope_mass)
    # Feeder and sprue also have a projected area on the parting.
    depth = over + 0.5 * cavity.height
    if cavity.upright:
        from_top = cavity.length - cavity.shadow_centroid
        depth = over + (cavity.shadow_centroid if cavity.high_end == "nose" else from_top)
    force = bursting_force(shadow_area=cavity.shadow, centroid_depth=depth, density=density)
    if feeder is not None:
        wide = 0.5 * (feeder.diameter + feeder.top_diameter)
        force += bursting_force(shadow_area=wide * over, centroid_depth=0.5 * over, density=density)
    if sprue is not None:
        force += bursting_force(
            shadow_area=0.5 * (sprue.top_diameter + sprue.foot_diameter) * sprue.height,
            centroid_depth=over + 0.5 * cavity.height - 0.5 * sprue.height,
            density=density,
        )
    return held(force)


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
