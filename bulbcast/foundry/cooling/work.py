"""The cooling out of a plan: what is simulated, what was taken for it, and what it tells.

Mould, riser and temperatures are the plan's where it has them; else they are taken, and told as defaults.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

from bulbcast.bulb.body.integrals import parallel_volume
from bulbcast.bulb.hung.ledger import HungBulb
from bulbcast.findings import Finding
from bulbcast.foundry.cooling.results import Cooling
from bulbcast.foundry.cooling.rules import check_cooling
from bulbcast.foundry.cooling.setup import (
    CELLS_LYING,
    CELLS_STANDING,
    FEEDER_TO_CASTING,
    FEEDER_YIELD,
    CoolingSetup,
    Feeder,
    Orientation,
    cavity_of,
    default_feeder,
)
from bulbcast.foundry.cooling.simulate import simulated
from bulbcast.foundry.gating.work import COLD_SAND, SURROUNDINGS, WARM_PLASTER, mould_heat_of
from bulbcast.foundry.melt.work import MeltJob
from bulbcast.foundry.mould.design import FLOOR_TO_WALL, MouldDesign, default_wall
from bulbcast.foundry.pour.temperature import pour_aim
from bulbcast.materials.alloys import CastAlloy
from bulbcast.materials.heat import air_heat, metal_heat
from bulbcast.materials.lead import MELTING_POINT, liquid_density
from bulbcast.pattern.allowances import Pattern
from bulbcast.pattern.cast_body import CastBody
from bulbcast.plan.sections import DefaultTaken
from bulbcast.quantities import Shown

OPEN_BELOW = 50.0
"""Cold to the hand: common practice, no source. [degC]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class PourKnown:
    """What the rooms of mould and melt have settled; None: not there, and taken here.

    Attributes:
        pour: Temperature of the metal. [degC]
        mould_start: Temperature of the mould. [degC]
        riser_diameter: [m]
        riser_height: Over the casting's top. [m]
        riser_at: Of its axis from the cavity's nose, where the bulb lies. [m]
    """

    pour: float | None = None
    mould_start: float | None = None
    riser_diameter: float | None = None
    riser_height: float | None = None
    riser_at: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class CoolingJob:
    """The cooling of a plan.

    Attributes:
        cooling: What the simulation saw.
        findings: What it tells.
        defaults: Taken here, each with its source.
    """

    cooling: Cooling
    findings: tuple[Finding, ...]
    defaults: tuple[DefaultTaken, ...]


def pour_known(melting: MeltJob | None) -> PourKnown:
    """Temperatures and riser that melt and gating have settled.

    Args:
        melting: Melt and pour; None where the plan gives none of it.
    """
    if melting is None:
        return PourKnown()
    gating = melting.gating
    riser = None if gating is None else gating.riser
    return PourKnown(
        pour=melting.temperature,
        mould_start=melting.mould_temperature,
        riser_diameter=None if riser is None else riser.diameter,
        riser_height=None if riser is None else riser.height,
        riser_at=None if gating is None else gating.cavity.thick_at,
    )


def cooling_setup(
    *,
    alloy: CastAlloy,
    bulb: HungBulb,
    cast: CastBody,
    pattern: Pattern,
    mould: MouldDesign | None,
    known: PourKnown,
    cells: int | None,
    shown: Shown,
) -> tuple[CoolingSetup, tuple[DefaultTaken, ...]]:
    """What is to be simulated.

    Args:
        alloy: Of the casting.
        bulb: The sized bulb.
        cast: The cast body.
        pattern: Its pattern, for the size as poured.
        mould: As planned; None: a closed one of baked plaster, lying.
        known: Temperatures and riser, as far as they are settled.
        cells: Across the largest section; None: by the kind of grid.
        shown: The builder's units.

    Returns:
        The setup, and what was taken for it.
    """
    taken: list[tuple[str, str, str]] = []
    orientation = _orientation(mould)
    if mould is None:
        taken.append(("cooling.mould", "closed, lying, baked plaster", "no [mould] in the plan"))
    solid = parallel_volume(bulb.volume, bulb.surface, cast.finish)
    area = bulb.surface.area + 2.0 * bulb.surface.mean_curvature * cast.finish
    cavity = cavity_of(
        bulb.body,
        finish=cast.finish,
        scale=pattern.scale,
        volume=solid.volume,
        area=area,
        mean_curvature=bulb.surface.mean_curvature,
        on_its_side=mould is not None and _on_its_side(mould),
    )
    metal, stuff = metal_heat(alloy), mould_heat_of(mould)
    pour = known.pour
    if pour is None:
        pour = pour_aim(alloy.liquidus)
        taken.append(
            ("cooling.pour_temperature", shown.temperature(pour), "50 C above the liquidus, 340 to 380 C")
        )
    start = known.mould_start
    if start is None:
        sand = mould is not None and mould.material == "sand"
        start = COLD_SAND if sand else WARM_PLASTER
        source = "a sand mould is poured as it stands" if sand else "founders pour dry plaster at 50 to 65 C"
        taken.append(
            ("cooling.mould_temperature", shown.temperature(start), f"{source}; common practice, no source")
        )
    feeder = None
    if orientation != "open-half":
        own = default_feeder(cavity, contraction=_total(metal.freezing_contraction, pour))
        feeder = _feeder(own, known)
        if feeder == own:
            taken.append(
                (
                    "cooling.feeder",
                    f"{shown.length(feeder.diameter)} across, {shown.length(feeder.height)} high",
                    f"modulus {FEEDER_TO_CASTING:g} of the largest section's; gives {FEEDER_YIELD:.0%} of its metal; "
                    "casting texts",
                )
            )
    wall = default_wall(cast.mass) if mould is None else mould.margins.sides
    floor = FLOOR_TO_WALL * wall if mould is None else mould.margins.below
    taken.append(("cooling.surroundings", shown.temperature(SURROUNDINGS), "still air, no sun; judgement"))
    taken.append(
        ("cooling.open_below", shown.temperature(OPEN_BELOW), "cold to the hand; common practice, no source")
    )
    setup = CoolingSetup(
        cavity=cavity,
        orientation=orientation,
        feeder=feeder,
        ends=wall if mould is None else mould.margins.ends,
        sides=wall,
        below=floor,
        metal=metal,
        mould=stuff,
        air=air_heat(),
        pour=pour,
        start=start,
        surroundings=SURROUNDINGS,
        open_below=OPEN_BELOW,
        contact=0.0,
        cells=(CELLS_STANDING if orientation in ("nose-up", "tail-up") else CELLS_LYING)
        if cells is None
        else cells,
    )
    return setup, tuple(DefaultTaken(key=key, value=value, source=source) for key, value, source in taken)


def cooling_job(
    *,
    alloy: CastAlloy,
    bulb: HungBulb,
    cast: CastBody,
    pattern: Pattern,
    mould: MouldDesign | None,
    porosity: float,
    known: PourKnown,
    cells: int | None,
    shown: Shown,
    progress: Callable[[float], None],
) -> CoolingJob:
    """Simulate the cooling of a plan.

    Args:
        alloy: Of the casting.
        bulb: The sized bulb.
        cast: The cast body.
        pattern: Its pattern.
        mould: As planned, or None.
        porosity: Voids that the plan reckons with. [-]
        known: Temperatures and riser, as far as they are settled.
        cells: Across the largest section; None: by the kind of grid.
        shown: The builder's units.
        progress: Told how far it has come, 0 to 1.
    """
    setup, defaults = cooling_setup(
        alloy=alloy,
        bulb=bulb,
        cast=cast,
        pattern=pattern,
        mould=mould,
        known=known,
        cells=cells,
        shown=shown,
    )
    cooling = simulated(setup, progress)
    return CoolingJob(
        cooling=cooling,
        findings=check_cooling(cooling, porosity=porosity, shown=shown),
        defaults=defaults,
    )


def _orientation(mould: MouldDesign | None) -> Orientation:
    if mould is None:
        return "lying"
    if mould.kind == "open-halves":
        return "open-half"
    upright: Literal["nose-up", "tail-up"] = "nose-up" if mould.orientation == "nose-up" else "tail-up"
    return upright if mould.bulb_axis == "upright" else "lying"


def _on_its_side(mould: MouldDesign) -> bool:
    """Whether the bulb's width is upright as poured."""
    level = mould.parting == "horizontal"
    return (mould.split == "port-starboard") == level


def _feeder(own: Feeder, known: PourKnown) -> Feeder:
    return Feeder(
        diameter=own.diameter if known.riser_diameter is None else known.riser_diameter,
        height=own.height if known.riser_height is None else known.riser_height,
        at=own.at if known.riser_at is None else known.riser_at,
    )


def _total(freezing: float, pour: float) -> float:
    """Contraction from the poured liquid to the solid: of the hot liquid, and in freezing. [-]"""
    hot = liquid_density(MELTING_POINT) / liquid_density(max(pour, MELTING_POINT))
    return (1.0 + freezing) * hot - 1.0
