"""The pattern: the cast body enlarged for the metal's contraction and reduced for the mould's growth.

pattern = cast body x (1 + contraction) / (1 + mould expansion) about the origin of the bulb axes, then reduced by the
coat of sealer; cored cavities are only scaled.
"""

from __future__ import annotations

from bulbcast.bulb.hung.ledger import HungBulb
from bulbcast.pattern.cast_body import CastBody, grown_less_cavities
from bulbcast.pattern.contraction import pattern_scale
from bulbcast.quantities import Shown
from bulbcast.quantities.frozen import frozen


@frozen
class PatternStep:
    """A line of the ledger that leads from the finished bulb to the pattern.

    Attributes:
        name: Name of the step, in trade terms.
        amount: Length [m] or ratio [-] by which the step changes the body; None if there is no single figure.
        is_length: Whether `amount` is a length.
        length: Overall length after the step. [m]
        width: Width after the step. [m]
        height: Height after the step. [m]
        volume: Volume after the step. [m3]
        lead_mass: Mass of that volume at the casting's density. The difference from the previous line is the error
            caused by omitting the step. [kg]
    """

    name: str
    amount: float | None
    is_length: bool
    length: float
    width: float
    height: float
    volume: float
    lead_mass: float

    def amount_words(self, shown: Shown) -> str:
        """Return the step's length or ratio as text, such as "0.30 mm" or "0.98 %", or an empty string.

        Args:
            shown: The builder's units.
        """
        if self.amount is None:
            return ""
        return shown.length(self.amount) if self.is_length else shown.percent(self.amount)


@frozen
class Pattern:
    """The pattern to print, turn or carve, before its coat of sealer.

    Attributes:
        contraction: Linear contraction per unit of the cold length. [-]
        mould_expansion: Net growth of the cavity from pattern to pour. [-]
        coat: Thickness of sealer on the pattern. [m]
        scale: Scale factor, (1 + contraction) / (1 + mould expansion). [-]
        offset: Distance of the parallel surface from the unscaled lead body; scaling this surface gives the pattern.
            [m]
        length: Overall length. [m]
        width: Width. [m]
        height: Height. [m]
        volume: Volume. [m3]
        steps: The ledger from the finished bulb to the pattern.
    """

    contraction: float
    mould_expansion: float
    coat: float
    scale: float
    offset: float
    length: float
    width: float
    height: float
    volume: float
    steps: tuple[PatternStep, ...]


def pattern_of(
    bulb: HungBulb, cast: CastBody, *, contraction: float, mould_expansion: float, coat: float
) -> Pattern:
    """Return the pattern for a cast body.

    Args:
        bulb: The sized bulb to which the cast body belongs.
        cast: The cast body.
        contraction: Free linear contraction per unit of the cold length. [-]
        mould_expansion: Net growth of the cavity. [-]
        coat: Thickness of sealer on every outside face. [m]

    Returns:
        The pattern with its ledger.
    """
    scale = pattern_scale(contraction, mould_expansion)
    # Scaled by s, the finish allowance is s f thick. Less the coat, it is s (f - coat / s).
    offset = cast.finish - coat / scale
    volume = scale**3 * grown_less_cavities(bulb, cast.cored, offset).volume
    solid = grown_less_cavities(bulb, cast.cored, 0.0).volume
    hot = 1.0 + contraction
    sizes = (bulb.body.length, bulb.body.width, bulb.body.height)

    def step(
        name: str,
        amount: float | None,
        factor: float,
        layer: float,
        step_volume: float,
        is_length: bool = False,
    ) -> PatternStep:
        length, width, height = (factor * size + 2.0 * layer for size in sizes)
        return PatternStep(
            name=name,
            amount=amount,
            is_length=is_length,
            length=length,
            width=width,
            height=height,
            volume=step_volume,
            lead_mass=cast.density * step_volume,
        )

    steps = (
        step("finished bulb, lead only", None, 1.0, 0.0, bulb.net_lead.volume),
        step("pocket and holes still to be cut", None, 1.0, 0.0, solid),
        step("allowance to be filed off", cast.finish, 1.0, cast.finish, cast.volume, is_length=True),
        step("contraction of the metal", contraction, hot, hot * cast.finish, hot**3 * cast.volume),
        step("growth of the mould", mould_expansion, scale, scale * cast.finish, scale**3 * cast.volume),
        step("coat of sealer", -coat, scale, scale * offset, volume, is_length=True),
    )
    return Pattern(
        contraction=contraction,
        mould_expansion=mould_expansion,
        coat=coat,
        scale=scale,
        offset=offset,
        length=steps[-1].length,
        width=steps[-1].width,
        height=steps[-1].height,
        volume=volume,
        steps=steps,
    )
