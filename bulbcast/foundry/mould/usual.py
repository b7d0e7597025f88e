"""Mould round a pattern, and the default mould for a plan without [mould], so that the amount of metal to pour is known
from the start."""

from __future__ import annotations

from functools import cache

from bulbcast.bulb.body.integrals import parallel_volume
from bulbcast.bulb.hung.ledger import HungBulb
from bulbcast.foundry.mould.design import MouldDesign, mould_of
from bulbcast.pattern.allowances import Pattern
from bulbcast.pattern.cast_body import CastBody
from bulbcast.plan.mould_sections import MouldSection
from bulbcast.plan.reading import usual_section


def usual_mould(bulb: HungBulb, cast: CastBody, pattern: Pattern) -> MouldDesign:
    """Design the mould for a plan without [mould]: a closed, level mould of baked plaster.

    Args:
        bulb: Sized bulb.
        cast: Cast body.
        pattern: Pattern of the cast body.
    """
    return mould_round(_usual_section(), bulb, cast, pattern)


def mould_round(section: MouldSection, bulb: HungBulb, cast: CastBody, pattern: Pattern) -> MouldDesign:
    """Design the mould round the coated pattern.

    Args:
        section: Section [mould] of the plan.
        bulb: Sized bulb.
        cast: Cast body.
        pattern: Pattern of the cast body.
    """
    # The plaster is poured round the pattern with its coat, the last step but one of the ledger.
    coated = pattern.steps[-2]
    return mould_of(
        section,
        length=coated.length,
        width=coated.width,
        height=coated.height,
        volume=pattern.scale**3 * parallel_volume(bulb.volume, bulb.surface, cast.finish).volume,
        cast_mass=cast.mass,
        cored=cast.cored.pocket or any(cast.cored.screws),
    )


@cache
def _usual_section() -> MouldSection:
    """Mould that is assumed if the plan gives none."""
    section: MouldSection = usual_section("mould", material="plaster", drying="baked")
    return section
