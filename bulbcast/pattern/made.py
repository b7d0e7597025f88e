"""A pattern that is already made: the mass of its casting, and the corrections needed to meet the target.

The pattern gives a volume, and the metal affects the result twice: by its density and by its contraction. Both effects
are shown line by line, from the pattern's volume filled with pure lead to the cold casting.

The pattern's volume or mass is enough to find the casting's mass, whatever its shape. Its length is enough only if the
pattern has the planned shape. The lead filed off, cut away and drilled out is assumed to be as planned.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Literal, NamedTuple

from bulbcast.bulb.body.integrals import parallel_volume
from bulbcast.bulb.hung.ledger import HungBulb
from bulbcast.materials.alloys import CastAlloy, alloy_of_grade, element_density
from bulbcast.pattern.allowances import Pattern
from bulbcast.pattern.cast_body import CastBody, cored_cavities
from bulbcast.pattern.contraction import pattern_scale
from bulbcast.plan.pattern_sections import PatternSection
from bulbcast.quantities.frozen import frozen

Given = Literal["volume", "mass", "length"]


class MadeStep(NamedTuple):
    """A line in the ledger that runs from the pattern's volume in pure lead to the casting: the allowance, and the mass
    after it. [kg]"""

    name: str
    mass: float


@frozen
class MadePattern:
    """A finished pattern and the casting it will give.

    Attributes:
        given: Which measurement of the pattern the plan gives: its volume, mass or length.
        volume: Solid volume before coating, without core prints and with nothing removed for cores. [m3]
        planned_volume: Volume of the planned pattern, measured in the same way. [m3]
        steps: Ledger lines from the pattern's volume in pure lead to the casting.
        cast_mass: Mass of the casting, less cored cavities. [kg]
        hung_mass: Mass of everything that hangs on the fin, once filed, cut and drilled as planned. [kg]
        target: Target for the hung mass. [kg]
        layer: Thickness to add all over the pattern to meet the target; negative if it must be removed. None if the
            layer to remove would be more than a quarter of the pattern's width or height, whichever is less. [m]
        pure_lead: Mass fraction of pure lead, in a blend with this metal, that meets the target. None if the bulb is
            not too light, or is too light even in pure lead. [-]
        pure_hung_mass: Mass of everything that would hang on the fin if the bulb were cast in pure lead. [kg]
    """

    given: Given
    volume: float
    planned_volume: float
    steps: tuple[MadeStep, ...]
    cast_mass: float
    hung_mass: float
    target: float
    layer: float | None
    pure_lead: float | None
    pure_hung_mass: float

    @property
    def over(self) -> float:
        """Excess of the hung mass over the target; positive means too heavy. [kg]"""
        return self.hung_mass - self.target


def made_pattern(
    section: PatternSection, bulb: HungBulb, cast: CastBody, pattern: Pattern, alloy: CastAlloy
) -> MadePattern | None:
    """Calculate the casting from measurements of a finished pattern; None if the plan gives none.

    Args:
        section: The plan's [pattern].
        bulb: The sized bulb, whose hung mass is the target.
        cast: The casting as planned.
        pattern: The pattern as planned.
        alloy: Metal of the casting; `cast.density` includes its voids.
    """
    if (section.made_volume, section.made_mass, section.made_length) == (None, None, None):
        return None
    planned = pattern.scale**3 * parallel_volume(bulb.volume, bulb.surface, pattern.offset).volume
    given: Given
    if section.made_volume is not None:
        given, volume = "volume", section.made_volume
    elif section.made_mass is not None and section.density is not None:
        given, volume = "mass", section.made_mass / section.density
    elif section.made_length is not None:
        given, volume = "length", planned * (section.made_length / pattern.length) ** 3
    else:
        return None
    alike = (volume / planned) ** (1.0 / 3.0) * pattern.scale
    cavities = cored_cavities(bulb, cast.cored, cast.finish).volume
    hot = 1.0 + pattern.contraction

    def hollow(layer: float) -> float:
        """Volume of the cavity: the pattern with a layer and its coat, at its size in the mould. [m3]"""
        return _cube(alike) * _grown(bulb, pattern.offset + (pattern.coat + layer) / alike)

    def hung(density: float, contraction: float, layer: float = 0.0) -> float:
        """Mass of everything that hangs on the fin, for a metal density that includes voids. [kg]"""
        size = alike / pattern_scale(contraction, pattern.mould_expansion)
        distance = pattern.offset + (pattern.coat + layer) / alike - cast.finish / size
        lead = _cube(size) * _grown(bulb, distance) - bulb.volume.volume + bulb.net_lead.volume
        return bulb.mass - cast.density * bulb.net_lead.volume + density * lead

    voids = 1.0 - cast.density / alloy.density
    coated = hollow(0.0)
    cold = coated / hot**3 * (1.0 + pattern.mould_expansion) ** 3
    steps = (
        MadeStep("pattern volume, as pure lead", element_density("Pb") * volume),
        MadeStep("density of this metal", alloy.density * volume),
        MadeStep(f"voids, {100.0 * voids:.2g} %", cast.density * volume),
        MadeStep("coat of sealer", cast.density * coated),
        MadeStep("contraction of the metal", cast.density * coated / hot**3),
        MadeStep("growth of the mould", cast.density * cold),
        *([MadeStep("cored pocket and holes", cast.density * (cold - cavities))] if cavities else []),
    )
    hung_mass, target = hung(cast.density, pattern.contraction), bulb.mass
    own = pattern.contraction
    pure = own if section.contraction is not None else alloy_of_grade("pure").contraction

    def blended(share: float) -> float:
        """Hung mass if this share is pure lead: density by the additive rule, contraction in proportion. [kg]"""
        density = 1.0 / (share / element_density("Pb") + (1.0 - share) / alloy.density)
        return hung(density * (1.0 - voids), (1.0 - share) * own + share * pure)

    blend = None
    if hung_mass < target <= blended(1.0):
        blend = _root(lambda share: blended(share) - target, 0.0, 1.0)
    thin = -0.5 * alike * min(bulb.body.width, bulb.body.height)
    return MadePattern(
        given=given,
        volume=volume,
        planned_volume=planned,
        steps=steps,
        cast_mass=cast.density * (cold - cavities),
        hung_mass=hung_mass,
        target=target,
        layer=_root(
            lambda layer: hung(cast.density, pattern.contraction, layer) - target, 0.5 * thin, -10.0 * thin
        ),
        pure_lead=blend,
        pure_hung_mass=blended(1.0),
    )


def _cube(length: float) -> float:
    return length * length * length


def _grown(bulb: HungBulb, distance: float) -> float:
    """Volume inside the lead body's parallel surface, without holes. [m3]"""
    return parallel_volume(bulb.volume, bulb.surface, distance).volume


def _root(function: Callable[[float], float], low: float, high: float) -> float | None:
    """Find the zero of an increasing function by bisection; None if there is no zero between the bounds."""
    if not function(low) <= 0.0 <= function(high):
        return None
    for _ in range(60):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if function(middle) < 0.0 else (low, middle)
    return 0.5 * (low + high)
