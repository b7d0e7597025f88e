"""The mould round a pattern, and the usual one for a plan without [mould], so that what is poured is known from the
start."""

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
    """The mould for a plan without [mould]: closed, lying, of baked plaster.

    Args:
        bulb: The sized bulb.
        cast: The cast body.
        pattern: The pattern.
    """
    return mould_round(_usual_section(), bulb, cast, pattern)


def mould_round(section: MouldSection, bulb: HungBulb, cast: CastBody, pattern: Pattern) -> MouldDesign:
    """The mould round the coated pattern.

    Args:
        section: [mould].
        bulb: The sized bulb.
        cast: The cast body.
        pattern: The pattern.
    """
    # What the plaster is poured round is the pattern with its coat: the ledger's last step but one.
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
    """What is assumed where the plan gives no mould."""
    section: MouldSection = usual_section("mould", material="plaster", drying="baked")
    return section
