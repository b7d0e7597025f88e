"""The freeboard of a planned boat, from her hull's outline or from the figure that the plan gives."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bulbcast.ballast.freeboard import FreeboardLeft, freeboard_left, freeboard_of_number, freeboards_of
from bulbcast.hull.trimming import Change, Flotation
from bulbcast.plan.sections import Plan

if TYPE_CHECKING:
    from bulbcast.hull.outline import HullOutline


def freeboard_of_boat(
    plan: Plan, outline: HullOutline | None, flotation: Flotation | None, lies: Change | None
) -> FreeboardLeft | None:
    """Freeboard on her line and as she lies; None where neither hull nor plan tells it.

    Args:
        plan: With [boat].
        outline: Of the hull; None for bare numbers.
        flotation: The boat on her line; None where not known.
        lies: What puts her off it; None where not known.
    """
    if outline is not None:
        return freeboard_left(freeboards_of(outline), flotation, lies)
    if plan.boat is not None and plan.boat.freeboard is not None:
        return freeboard_of_number(plan.boat.freeboard, flotation, lies)
    return None
