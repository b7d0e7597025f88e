"""Gating from a plan: the cavity of the mould as poured, its cores, the metal, and the mould's heat."""

from __future__ import annotations

import math

import numpy as np

from bulbcast.bulb.body.shadow import grown_shadow, scaled_shadow, shadow_of
from bulbcast.bulb.body.turned import TurnedBody
from bulbcast.fin.tip_section import outline_area
from bulbcast.foundry.cooling.radial import FreezingCase
from bulbcast.foundry.cooling.rule import section_modulus
from bulbcast.foundry.cooling.setup import cavity_of as skin_of
from bulbcast.foundry.gating.design import Poured
from bulbcast.foundry.gating.formulas import alloy_liquid_density
from bulbcast.foundry.gating.parts import Cavity, Core, Metal
from bulbcast.foundry.mould.design import MouldDesign, MouldPart
from bulbcast.foundry.pour.temperature import pour_temperature
from bulbcast.materials.alloys import CastAlloy
from bulbcast.materials.heat import MouldHeat, air_heat, metal_heat, mould_heat
from bulbcast.materials.lead import MELTING_POINT
from bulbcast.materials.plaster import mortar_dry_density, moulding_sand, water_taken_up
from bulbcast.pattern.cast_body import CoredCuts, cored_cavities
from bulbcast.pattern.results import PatternResults
from bulbcast.plan.melt_sections import PourSection

WARM_PLASTER = 60.0
WARM_PLASTER_SOURCE = (
    "founders pour into baked plaster at 50 to 65 C, before it takes up moisture again; common practice"
)
COLD_SAND = 20.0
COLD_SAND_SOURCE = "a sand mould is not warmed for the pour"
SURROUNDINGS = 20.0
"""Temperature of air and bench. Our judgement. [degC]"""
STEEL_DENSITY = 7850.0
"""Density of carbon steel, from handbooks. [kg/m3]"""
THIN_END_AT = 0.98
"""Position at which the thickness of the thin end is measured, as a fraction of the length. A pointed tail has zero
thickness at its tip. [-]"""


def mould_temperature(pour: PourSection | None, mould: MouldDesign) -> tuple[float, str]:
    """Temperature of the mould at the pour, and its source; "" if the plan gives it. [degC]"""
    if pour is not None and pour.mould_temperature is not None:
        return pour.mould_temperature, ""
    if mould.material == "sand":
        return COLD_SAND, COLD_SAND_SOURCE
    if mould.material == "mortar":
        return (
            WARM_PLASTER,
            "still warm from drying: mortar that cools takes up moisture again; common practice, no source",
        )
    return WARM_PLASTER, WARM_PLASTER_SOURCE


def part_mass(part: MouldPart, mould: MouldDesign) -> float:
    """Mass of a part at the pour, with the sand as rammed, or the plaster dried as planned. [kg]"""
    if mould.material == "mortar":
        return part.volume * mortar_dry_density()
    dry = part.dry_in_air if mould.thermal == "air-dried" else part.baked
    return part.just_set if dry is None else dry


def mould_heat_of(mould: MouldDesign | None) -> MouldHeat:
    """Return the thermal properties of the mould.

    Args:
        mould: Mould with its material, mix and drying method; None for baked plaster.
    """
    if mould is None:
        return mould_heat("baked")
    if mould.material != "plaster":
        return mould_heat(mould.material)
    kind = "air" if mould.thermal == "air-dried" else "baked"
    if mould.mix is None:
        return mould_heat(kind)
    mix, taken = mould.mix, water_taken_up()
    gypsum = mix.purity * (1.0 + taken) / (1.0 + taken * mix.purity + mix.sand)
    return mould_heat(kind, dry_density=mix.air_density, gypsum=gypsum)


def freezing_case(alloy: CastAlloy, mould: MouldDesign, *, pour: float, start: float) -> FreezingCase:
    """Return the metal, mould and temperatures for a freezing calculation.

    Args:
        alloy: Alloy of the casting.
        mould: Mould round it.
        pour: Temperature of the metal. [degC]
        start: Temperature of the mould. [degC]
    """
    return FreezingCase(
        metal=metal_heat(alloy),
        mould=mould_heat_of(mould),
        air=air_heat(),
        pour=pour,
        start=start,
        surroundings=SURROUNDINGS,
    )


def cores_of(job: PatternResults, mould: MouldDesign) -> tuple[Core, ...]:
    """Return the cores for the pocket and the holes. In a mould poured crown up, the pocket core hangs from
    the cope.

    Args:
        job: Bulb, cast body with its cored cuts, and pattern.
        mould: Mould, which gives the material of the cores.
    """
    if mould.core is None:
        return ()
    bulb, cast, scale = job.bulb, job.cast, job.pattern.scale
    density = {"steel": STEEL_DENSITY, "sand": moulding_sand().density}.get(mould.core)
    if density is None:
        density = (
            1100.0
            if mould.mix is None
            else mould.mix.set_density
            * (mould.mix.air_share if mould.thermal == "air-dried" else mould.mix.baked_share)
        )
    crown_up = mould.orientation == "lying" and is_crown_up(mould)
    none = tuple(False for _ in cast.cored.screws)
    cores = []
    if cast.cored.pocket:
        taken = cored_cavities(bulb, CoredCuts(pocket=True, screws=none), cast.finish)
        cores.append(
            Core(
                name="pocket",
                material=mould.core,
                volume=scale**3 * taken.volume,
                density=density,
                end_area=scale**2 * outline_area(bulb.pocket.tip, bulb.pocket.clearance)
                if crown_up
                else None,
                end_above_parting=scale * bulb.axis.floor,
            )
        )
    for number, is_cored in enumerate(cast.cored.screws):
        if is_cored:
            alone = tuple(index == number for index in range(len(none)))
            taken = cored_cavities(bulb, CoredCuts(pocket=False, screws=alone), cast.finish)
            cores.append(
                Core(
                    name=f"screw hole {number + 1}",
                    material=mould.core,
                    volume=scale**3 * taken.volume,
                    density=density,
                )
            )
    return tuple(cores)


def is_crown_up(mould: MouldDesign) -> bool:
    """Whether a closed mould is poured with the bulb level and its crown up.

    Args:
        mould: Mould, with its parting and orientation.
    """
    level = mould.kind == "closed" and mould.bulb_axis == "level"
    return level and (mould.split == "upper-lower") == (mould.parting == "horizontal")


def cavity_of(job: PatternResults, mould: MouldDesign, cores: tuple[Core, ...]) -> Cavity:
    """Build the cavity of one pour, oriented as it is poured: the cast body enlarged by the pattern's scale.

    Args:
        job: Bulb, cast body and pattern.
        mould: Mould, with its parting and orientation.
        cores: Cores in the cavity.
    """
    bulb, cast, scale = job.bulb, job.cast, job.pattern.scale
    body, finish = bulb.body, cast.finish
    seen = shadow_of(body, "from above" if mould.split == "upper-lower" else "from the side")
    shadow = scaled_shadow(grown_shadow(seen, finish, length=body.length), scale)
    surface = bulb.surface.area + 2.0 * bulb.surface.mean_curvature * finish + 4.0 * math.pi * finish**2
    surface *= scale**2
    filled = math.fsum(core.volume for core in cores)
    solid = scale**3 * cast.volume + filled
    lifted = next((part for part in mould.parts if part.name == "cope"), None)
    pocket = _pocket_on_top(job, mould)
    return Cavity(
        mould=mould,
        volume=scale**3 * cast.volume / mould.pours,
        surface=0.5 * surface + shadow.area if mould.kind == "open-halves" else surface,
        shadow=shadow.area,
        shadow_centroid=shadow.centroid_x,
        above_parting=max(0.5 * solid - filled, 0.0),
        thin_radius=thin_radius(body, finish, scale),
        thick_at=scale * (body.max_at + finish),
        thick_modulus=_largest_section_modulus(mould),
        block_radius=_block_radius(mould),
        cope_mass=0.0 if lifted is None else part_mass(lifted, mould),
        # Whether the bulb's width is vertical as poured.
        skin=skin_of(
            bulb,
            finish=finish,
            scale=scale,
            on_its_side=(mould.split == "port-starboard") == (mould.parting == "horizontal"),
        ),
        pocket=None if cast.cored.pocket else pocket,
        core=pocket if cast.cored.pocket else None,
    )


def thin_radius(body: TurnedBody, finish: float, scale: float) -> float:
    """Calculate half the thickness of the thinnest end as poured.

    Args:
        body: Finished lead body.
        finish: Thickness of the layer by which the cast body is larger than the finished one. [m]
        scale: Ratio of the size as poured to that of the cold casting. [-]

    Returns:
        Half the thickness. [m]
    """
    thinner = min(math.sqrt(body.width_to_height), 1.0 / math.sqrt(body.width_to_height))
    end = float(body.radius(np.array([THIN_END_AT * body.length]))[0])
    return scale * (end * thinner + finish)


def _pocket_on_top(job: PatternResults, mould: MouldDesign) -> tuple[float, float] | None:
    """Start and end of the pocket in the top of the cavity, measured from the nose; None if there is none. [m]"""
    bulb, cast, scale = job.bulb, job.cast, job.pattern.scale
    if not is_crown_up(mould) or bulb.pocket_depth <= 0.0 or bulb.through:
        return None
    pocket = bulb.pocket
    ends = (
        pocket.leading_edge_x - pocket.clearance,
        pocket.leading_edge_x + pocket.tip.chord + pocket.clearance,
    )
    return scale * (ends[0] + cast.finish), scale * (ends[1] + cast.finish)


def _largest_section_modulus(mould: MouldDesign) -> float:
    """Area of the bulb's largest section divided by its perimeter; D/4 if round. [m]"""
    pattern = mould.pattern
    wide = pattern.width
    high = pattern.length if mould.bulb_axis == "upright" else pattern.height
    if mould.kind == "open-halves":
        high *= 2.0
    return section_modulus(0.5 * wide, 0.5 * high)


def _block_radius(mould: MouldDesign) -> float:
    """Radius of a round mould with the same cross-section as a level block, or the same width as an upright one; an
    open half counts together with its mirror image. [m]"""
    pattern, margins = mould.pattern, mould.margins
    wide = pattern.width + 2.0 * margins.sides
    if mould.bulb_axis == "upright":
        return 0.5 * wide
    halves = mould.kind == "open-halves"
    high = (
        2.0 * (pattern.height + margins.below) if halves else pattern.height + margins.below + margins.above
    )
    return math.sqrt(wide * high / math.pi)


def poured_of(job: PatternResults, mould: MouldDesign) -> Poured:
    """Return the casting that is to be poured into a mould.

    Args:
        job: Bulb, cast body and pattern.
        mould: Mould to pour into.
    """
    temperature = pour_temperature(job.plan.pour, job.alloy.liquidus)
    hot = max(temperature, MELTING_POINT)
    cores = cores_of(job, mould)
    warm, _ = mould_temperature(job.plan.pour, mould)
    metal = Metal(
        density=alloy_liquid_density(hot, job.alloy.density),
        temperature=hot,
        contraction=job.pattern.contraction,
        cast_mass=job.cast.mass,
    )
    case = freezing_case(job.alloy, mould, pour=temperature, start=warm)
    return Poured(
        cavity=cavity_of(job, mould, cores), metal=metal, case=case, pour=job.plan.pour, cores=cores
    )
