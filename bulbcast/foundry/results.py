"""What is known of mould, melt and pour."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bulbcast.confidence.results import ConfidenceResults
from bulbcast.foundry.melt.charge import Melt
from bulbcast.quantities.frozen import frozen

if TYPE_CHECKING:
    # Loaded where a plan has their section.
    from bulbcast.foundry.cooling.results import Cooling
    from bulbcast.foundry.drying.log import DryingState
    from bulbcast.foundry.gating.design import Poured
    from bulbcast.foundry.melt.work import MeltJob
    from bulbcast.foundry.mould.design import MouldDesign
    from bulbcast.foundry.resin.work import ResinJob


@frozen
class FoundryResults(ConfidenceResults):
    """The pattern, and how it is cast.

    Attributes:
        melt: The charge.
        mould: The mould; None where the plan gives none.
        drying: How its parts stand by the drying log; None without a plaster mould.
        poured: What is poured into it, or into a usual one, before anything is known of how that freezes.
        melting: Gating, scrap, pot, burner and pour; None where the plan gives none of them, nor a mould.
        cooling: How the casting cools; None unless it was asked for, see `with_cooling`.
        resin: The same bulb of lead shot in resin beside it; None where the plan does not ask.
    """

    melt: Melt
    poured: Poured
    mould: MouldDesign | None = None
    drying: DryingState | None = None
    melting: MeltJob | None = None
    cooling: Cooling | None = None
    resin: ResinJob | None = None
