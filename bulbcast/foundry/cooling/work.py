"""The cooling out of a plan: what is simulated, what was taken for it, and what it tells.

Mould, riser and temperatures are the plan's where it has them; else they are taken, and reported as defaults.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from bulbcast.findings import Finding
from bulbcast.foundry.cooling.results import Cooling
from bulbcast.foundry.cooling.rules import check_cooling
from bulbcast.foundry.cooling.setup import (
    CELLS_LYING,
    CELLS_STANDING,
    FEEDER_TO_CASTING,
    FEEDER_YIELD,
    CoolingSetup,
    Orientation,
    cavity_of,
    default_feeder,
)
from bulbcast.foundry.cooling.simulate import simulated
from bulbcast.foundry.gating.work import COLD_SAND, SURROUNDINGS, WARM_PLASTER, mould_heat_of
from bulbcast.foundry.mould.design import FLOOR_TO_WALL, MouldDesign, default_wall
from bulbcast.foundry.pour.temperature import pour_aim
from bulbcast.foundry.results import FoundryResults
from bulbcast.materials.heat import air_heat, metal_heat
from bulbcast.materials.lead import MELTING_POINT, liquid_density
from bulbcast.plan.sections import DefaultTaken

OPEN_BELOW = 50.0
"""Cold to the hand: common practice, no source. [degC]"""


def cooling_of(
    job: FoundryResults, *, cells: int | None, progress: Callable[[float], None]
) -> tuple[Cooling, tuple[Finding, ...], tuple[DefaultTaken, ...]]:
    """Simulate the cooling of a plan.

    Args:
        job: The results.
        cells: Across the largest section; None: by the kind of grid.
        progress: Given how far it has come, 0 to 1.

    Returns:
        What the simulation saw, what it tells, and what was taken for it.
    """
    setup, defaults = cooling_setup(job, cells=cells)
    cooling = simulated(setup, progress)
    said = tuple(check_cooling(cooling, porosity=job.plan.alloy.porosity, shown=job.shown))
    return cooling, said, defaults


def cooling_setup(job: FoundryResults, *, cells: int | None) -> tuple[CoolingSetup, tuple[DefaultTaken, ...]]:
    """What is to be simulated.

    Args:
        job: The results; without a mould a closed one of baked plaster is taken, lying.
        cells: Across the largest section; None: by the kind of grid.

    Returns:
        The setup, and what was taken for it.
    """
    mould, melting, shown = job.mould, job.melting, job.shown
    taken: list[DefaultTaken] = []

    def take(leaf: str, value: str, source: str) -> None:
        taken.append(DefaultTaken(key=f"cooling.{leaf}", value=value, source=source))

    if mould is None:
        take("mould", "closed, lying, baked plaster", "no [mould] in the plan")
    orientation = _orientation(mould)
    # Whether the bulb's width is upright as poured.
    on_its_side = mould is not None and (mould.split == "port-starboard") == (mould.parting == "horizontal")
    cavity = cavity_of(job.bulb, finish=job.cast.finish, scale=job.pattern.scale, on_its_side=on_its_side)
    metal = metal_heat(job.alloy)
    if melting is not None:
        pour = melting.temperature
    else:
        pour = pour_aim(job.alloy.liquidus)
        take("pour_temperature", shown.temperature(pour), "50 C above the liquidus, 340 to 380 C")
    start = None if melting is None else melting.mould_temperature
    if start is None:
        start, source = WARM_PLASTER, "founders pour dry plaster at 50 to 65 C"
        if mould is not None and mould.material == "sand":
            start, source = COLD_SAND, "a sand mould is poured as it stands"
        take("mould_temperature", shown.temperature(start), f"{source}; common practice, no source")
    feeder = None
    if orientation != "open-half":
        # From the poured liquid to the solid: of the hot liquid, and in freezing.
        hot = liquid_density(MELTING_POINT) / liquid_density(max(pour, MELTING_POINT))
        own = default_feeder(cavity, contraction=(1.0 + metal.freezing_contraction) * hot - 1.0)
        gating = None if melting is None else melting.gating
        feeder = own if gating is None else replace(own, at=gating.cavity.thick_at)
        if gating is not None and gating.riser is not None:
            feeder = replace(feeder, diameter=gating.riser.diameter, height=gating.riser.height)
        if feeder == own:
            take(
                "feeder",
                f"{shown.length(feeder.diameter)} across, {shown.length(feeder.height)} high",
                f"modulus {FEEDER_TO_CASTING:g} of the largest section's; gives {FEEDER_YIELD:.0%} of its metal; "
                "casting texts",
            )
    take("surroundings", shown.temperature(SURROUNDINGS), "still air, no sun; judgement")
    take("open_below", shown.temperature(OPEN_BELOW), "cold to the hand; common practice, no source")
    wall = default_wall(job.cast.mass) if mould is None else mould.margins.sides
    by_kind = CELLS_STANDING if orientation in ("nose-up", "tail-up") else CELLS_LYING
    setup = CoolingSetup(
        cavity=cavity,
        orientation=orientation,
        feeder=feeder,
        ends=wall if mould is None else mould.margins.ends,
        sides=wall,
        below=FLOOR_TO_WALL * wall if mould is None else mould.margins.below,
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


def _orientation(mould: MouldDesign | None) -> Orientation:
    if mould is None:
        return "lying"
    if mould.kind == "open-halves":
        return "open-half"
    return mould.orientation if mould.orientation in ("nose-up", "tail-up") else "lying"
