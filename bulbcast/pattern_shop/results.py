"""Results of the pattern shop, once the pieces, bed and frame are planned."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bulbcast.foundry.results import FoundryResults
from bulbcast.quantities.frozen import frozen

if TYPE_CHECKING:
    # Loaded only where a plan has their section.
    from bulbcast.fin.built import FoilRibs
    from bulbcast.pattern_shop.shop import PatternShop


@frozen
class ShopResults(FoundryResults):
    """The results of all work up to the launch.

    Attributes:
        shop: The pattern's pieces, bed and frame; None if the plan does not mention them and no files are
            requested.
        ribs: The ribs of every foil; None if the plan asks for none.
    """

    shop: PatternShop | None = None
    ribs: tuple[FoilRibs, ...] | None = None
