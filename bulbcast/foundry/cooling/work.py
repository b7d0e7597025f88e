"""Cooling of the casting in a plan: the simulation, the values assumed for it, and its findings.

The mould, feeder and temperatures are taken from the plan if it gives them; otherwise they are assumed and reported as
defaults.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

from bulbcast.findings import Finding
from bulbcast.foundry.cooling.keeping import SOUND, Keeping, Kept
from bulbcast.foundry.cooling.results import Cooling
from bulbcast.foundry.cooling.rules import check_cooling
from bulbcast.foundry.cooling.setup import (
    CELLS_LYING,
    CELLS_STANDING,
    Cavity,
    CoolingSetup,
    Feeder,
    Orientation,
)
from bulbcast.foundry.cooling.simulate import simulated
from bulbcast.foundry.gating.feeder import TAPER
from bulbcast.foundry.gating.feeder import Feeder as GatedFeeder
from bulbcast.foundry.gating.work import COLD_SAND, SURROUNDINGS, WARM_PLASTER, mould_heat_of
from bulbcast.foundry.mould.design import FLOOR_TO_WALL, MouldDesign, default_wall
from bulbcast.foundry.pour.temperature import pour_aim
from bulbcast.foundry.results import FoundryResults
from bulbcast.materials.heat import air_heat, metal_heat
from bulbcast.plan.sections import DefaultTaken

KEEPING_SHARE = 0.7
"""Rough fraction of the work spent on finding the shortest time for which the feeder must be kept liquid. [-]"""
SETTLED, LONGER, _SETTLING = 1.05, 1.1, 4
"""Factor by which the hollow in the full run may exceed that found by the search, and the factor by which the torch
time is increased if the hollow is larger still. [-]"""
STEADY = 7
"""Number of decimal places to which the simulation rounds lengths in metres."""
OPEN_BELOW = 50.0
"""Temperature that counts as cold to the touch. Common practice. [degC]"""


def cooling_of(
    job: FoundryResults, *, cells: int | None, progress: Callable[[float], None]
) -> tuple[Cooling, tuple[Finding, ...], tuple[DefaultTaken, ...]]:
    """Simulate the cooling of the casting in a plan.

    Args:
        job: Results so far.
        cells: Number of cells across the largest section; None to choose by the kind of grid.
        progress: Called with the progress so far, from 0 to 1.

    Returns:
        Results of the simulation, its findings, and the values assumed for it.
    """
    setup, defaults = cooling_setup(job, cells=cells)
    kept = None
    if setup.feeder is not None and setup.feeder.kept:
        kept = Keeping(setup, lambda done: progress(KEEPING_SHARE * done)).shortest()
        setup = replace(setup, feeder=replace(setup.feeder, until=kept.until))
    begun = 0.0 if kept is None else KEEPING_SHARE
    cooling = simulated(setup, lambda done: progress(begun + (1.0 - begun) * done))
    if kept is not None:
        cooling = _settled(cooling, kept)
    said = tuple(check_cooling(cooling, porosity=job.plan.alloy.porosity, shown=job.shown))
    return cooling, said, defaults


def _settled(cooling: Cooling, kept: Kept) -> Cooling:
    """Compare the full run with the search; if the full run leaves a larger hollow, repeat it with a longer torch time.

    The search uses longer time steps, and a neck of pure metal closes suddenly, so it may close a little earlier in the
    full run. The torch time is then lengthened in small steps for as long as that helps.
    """
    for _ in range(_SETTLING):
        feeder = cooling.setup.feeder
        if cooling.cavity_share <= max(SOUND, SETTLED * kept.hollow) or feeder is None:
            break
        longer = replace(feeder, until=LONGER * feeder.until)
        further = simulated(replace(cooling.setup, feeder=longer))
        if further.cavity_share >= cooling.cavity_share:
            break
        cooling, kept = further, replace(kept, until=longer.until)
    return replace(cooling, kept=replace(kept, hollow=cooling.cavity_share))


def cooling_setup(job: FoundryResults, *, cells: int | None) -> tuple[CoolingSetup, tuple[DefaultTaken, ...]]:
    """Build the setup to simulate.

    Args:
        job: Results so far; if there is no mould, a closed, level mould of baked plaster is assumed.
        cells: Number of cells across the largest section; None to choose by the kind of grid.

    Returns:
        Setup, and the values assumed for it.
    """
    mould, melting, shown = job.mould, job.melting, job.shown
    taken: list[DefaultTaken] = []

    def take(leaf: str, value: str, source: str) -> None:
        taken.append(DefaultTaken(key=f"cooling.{leaf}", value=value, source=source))

    if mould is None:
        take("mould", "closed, lying, baked plaster", "no [mould] in the plan")
    orientation = _orientation(mould)
    cavity = _steady(job.poured.cavity.skin)
    metal = metal_heat(job.alloy)
    if melting is not None:
        pour = melting.temperature
    else:
        pour = pour_aim(job.alloy.liquidus)
        take(
            "pour_temperature",
            shown.temperature(pour),
            "50 C above the liquidus, within the range 340 to 380 C",
        )
    start = None if melting is None else melting.mould_temperature
    if start is None:
        start, source = WARM_PLASTER, "founders pour into dry plaster at 50 to 65 C"
        if mould is not None and mould.material == "sand":
            start, source = COLD_SAND, "a sand mould is not warmed for the pour"
        take("mould_temperature", shown.temperature(start), f"{source}; common practice, no source")
    feeder = feeder_of(job.poured.feeder)
    if mould is None and feeder is not None:
        size = f"{shown.length(feeder.diameter)} across, {shown.length(feeder.height)} high"
        take("feeder", size, "as in the default mould")
    if feeder is not None:
        lengths = ("diameter", "height", "at", "foot")
        feeder = replace(feeder, **{name: round(getattr(feeder, name), STEADY) for name in lengths})
    take("surroundings", shown.temperature(SURROUNDINGS), "still air, no sun; our judgement")
    take("open_below", shown.temperature(OPEN_BELOW), "cold to the touch; common practice, no source")
    wall = default_wall(job.cast.mass) if mould is None else mould.margins.sides
    by_kind = CELLS_STANDING if orientation in ("nose-up", "tail-up") else CELLS_LYING
    setup = CoolingSetup(
        cavity=cavity,
        orientation=orientation,
        feeder=feeder,
        ends=round(wall if mould is None else mould.margins.ends, STEADY),
        sides=round(wall, STEADY),
        below=round(FLOOR_TO_WALL * wall if mould is None else mould.margins.below, STEADY),
        above=round(job.poured.cavity.cover, STEADY),
        metal=metal,
        mould=mould_heat_of(mould),
        air=air_heat(),
        pour=pour,
        start=start,
        surroundings=SURROUNDINGS,
        open_below=OPEN_BELOW,
        cells=by_kind if cells is None else cells,
    )
    return setup, tuple(taken)


def _steady(cavity: Cavity) -> Cavity:
    """Cavity rounded to a tenth of a micrometre.

    The position of the skin decides whether a sample is metal, and where the iteration of a step ends. Without rounding,
    a change in the last digit of the bulb's size would change its freezing time by a few tenths of a second.
    """

    def steady(places: tuple[float, ...]) -> tuple[float, ...]:
        return tuple(round(place, STEADY) for place in places)

    def digits(value: float) -> float:
        return float(f"{value:.8e}")

    return replace(
        cavity,
        x=steady(cavity.x),
        across=steady(cavity.across),
        up=steady(cavity.up),
        volume=digits(cavity.volume),
        area=digits(cavity.area),
        mean_curvature=digits(cavity.mean_curvature),
    )


def feeder_of(gated: GatedFeeder | None) -> Feeder | None:
    """Convert the feeder of the gating to the form that the simulation uses; None if there is no feeder.

    Args:
        gated: Feeder from the gating, or None.
    """
    if gated is None:
        return None
    return Feeder(
        diameter=gated.diameter,
        height=gated.height,
        at=gated.at,
        foot=gated.foot,
        taper=math.tan(TAPER),
        kept=gated.way == "kept",
        sleeved=gated.way == "sleeved",
    )


def _orientation(mould: MouldDesign | None) -> Orientation:
    if mould is None:
        return "lying"
    if mould.kind == "open-halves":
        return "open-half"
    return mould.orientation if mould.orientation in ("nose-up", "tail-up") else "lying"
