"""Results for the mould, the melt and the pour."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bulbcast.confidence.results import ConfidenceResults
from bulbcast.foundry.melt.charge import Melt
from bulbcast.quantities.frozen import frozen

if TYPE_CHECKING:
    # Loaded only if a plan has their section.
    from bulbcast.foundry.cooling.results import Cooling
    from bulbcast.foundry.drying.log import DryingState
    from bulbcast.foundry.gating.design import Poured
    from bulbcast.foundry.melt.work import MeltJob
    from bulbcast.foundry.mould.design import MouldDesign
    from bulbcast.foundry.resin.work import ResinJob


@frozen
class FoundryResults(ConfidenceResults):
    """Results for the pattern and its casting.

    Attributes:
        melt: The charge.
        mould: The mould; None if the plan has none.
        drying: State of the mould's parts according to the drying log; None without a plaster mould.
        poured: Casting in the planned or default mould, before its freezing is calculated.
        melting: Gating, scrap, pot, burner and pour; None if the plan gives none of these and no mould.
        cooling: Cooling of the casting; None unless requested, see `with_cooling`.
        resin: The same bulb made of lead shot in resin; None unless the plan asks for it.
    """

    melt: Melt
    poured: Poured
    mould: MouldDesign | None = None
    drying: DryingState | None = None
    melting: MeltJob | None = None
    cooling: Cooling | None = None
    resin: ResinJob | None = None
