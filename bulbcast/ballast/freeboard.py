"""Freeboard that remains along the deck edge if the boat floats deeper than her design waterline or out of trim."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from bulbcast.hull.outline import HullOutline
from bulbcast.hull.trimming import Change, Flotation, deeper_at
from bulbcast.plan.sections import Plan


@dataclass(frozen=True, slots=True)
class Freeboard:
    """Freeboard at one point on the deck edge: the point's x in boat axes and its height, negative under water. [m]"""

    x: float
    height: float


@dataclass(frozen=True, slots=True, kw_only=True)
class FreeboardLeft:
    """Freeboard on the design waterline and as the boat floats.

    Attributes:
        on_line: Smallest freeboard on the design waterline.
        left: Smallest freeboard as she floats; None if that is not known.
        bow: Height of the deck's forward end above the water as she floats; None if not known. [m]
        stern: Height of the deck's after end above the water as she floats; None if not known. [m]
        placed: Whether the positions of the freeboards are known, not only their values.
    """

    on_line: Freeboard
    left: Freeboard | None = None
    bow: float | None = None
    stern: float | None = None
    placed: bool = True


def freeboard_of_boat(
    plan: Plan,
    outline: HullOutline | None,
    flotation: Flotation | None,
    lies: Change | None,
    level_sinkage: float | None = None,
) -> FreeboardLeft | None:
    """Return the freeboard on the design waterline and as she floats, from the hull's outline or the figure in the plan.

    Args:
        plan: Plan with [boat].
        outline: Outline of the hull; None if the hull is given as numbers only.
        flotation: Flotation on the design waterline; None if not known.
        lies: Sinkage and trim from the design waterline; None if not known.
        level_sinkage: Sinkage from the boat's mass alone, used if the trim is not known; None if also unknown. [m]

    Returns:
        The freeboards; None if neither the hull nor the plan gives them.
    """
    if lies is None and level_sinkage is not None:
        height = plan.boat.freeboard if plan.boat is not None else None
        if outline is not None:
            height = min(outline.sheer)
        if height is None:
            return None
        line, left = Freeboard(0.0, height), Freeboard(0.0, height - level_sinkage)
        return FreeboardLeft(on_line=line, left=left, placed=False)
    if outline is not None:
        return freeboard_left(outline.x, outline.sheer, flotation, lies)
    if plan.boat is not None and plan.boat.freeboard is not None:
        return freeboard_of_number(plan.boat.freeboard, flotation, lies)
    return None


def freeboard_left(
    x: Sequence[float], heights: Sequence[float], flotation: Flotation | None, lies: Change | None
) -> FreeboardLeft:
    """Return the smallest freeboard and those at the ends, on the design waterline and as she floats. Like sinkage and
    trim, they are calculated to first order.

    Args:
        x: Points along the deck edge from bow to stern, boat axes, at least one. [m]
        heights: Heights of the deck edge above the design waterline at those points. [m]
        flotation: Flotation on the design waterline; None if not known.
        lies: Sinkage and trim from the design waterline; None if not known.

    Returns:
        The smallest freeboards, and those at both ends.
    """
    places = list(zip(x, heights, strict=True))
    lowest = Freeboard(*min(places, key=lambda one: one[1]))
    if flotation is None or lies is None:
        return FreeboardLeft(on_line=lowest)
    left = [
        Freeboard(place, height - deeper_at(flotation, sinkage=lies.sinkage, trim=lies.trim, x=place))
        for place, height in places
    ]
    return FreeboardLeft(
        on_line=lowest,
        left=min(left, key=lambda one: one.height),
        bow=left[0].height,
        stern=left[-1].height,
    )


def freeboard_of_number(height: float, flotation: Flotation | None, lies: Change | None) -> FreeboardLeft:
    """Return the freeboards from a single figure whose position is unknown. The figure is assumed to apply where the
    boat sinks deepest.

    Args:
        height: Smallest freeboard on her line. [m]
        flotation: Flotation on the design waterline; None if not known.
        lies: Sinkage and trim from the design waterline; None if not known.

    Returns:
        Same as for `freeboard_left`, without the freeboards at the ends.
    """
    deepest = 0.0
    if flotation is not None and lies is not None:
        deepest = flotation.fore_x if lies.deeper_fore > lies.deeper_aft else flotation.aft_x
    found = freeboard_left((deepest,), (height,), flotation, lies)
    return replace(found, bow=None, stern=None, placed=False)
