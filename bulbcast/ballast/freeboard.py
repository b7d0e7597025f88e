"""The freeboard left where she floats off her design waterline: sinkage and trim along the deck's edge."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from bulbcast.hull.outline import HullOutline
from bulbcast.hull.trimming import Change, Flotation, deeper_at
from bulbcast.plan.sections import Plan


@dataclass(frozen=True, slots=True)
class Freeboard:
    """Freeboard at one place of the deck's edge: its x in boat axes, and its height, which is negative under water. [m]"""

    x: float
    height: float


@dataclass(frozen=True, slots=True, kw_only=True)
class FreeboardLeft:
    """Freeboard on her line and as she lies.

    Attributes:
        on_line: The smallest on the design waterline.
        left: The smallest as she lies; None where how she lies is not known.
        bow: Height as she lies at the forward end of her deck; None where not known. [m]
        stern: Likewise at its after end. [m]
        placed: Whether the places are known, and not only the figure.
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
    """Freeboard on her line and as she lies, from her hull's outline or from the figure that the plan gives.

    Args:
        plan: With [boat].
        outline: Of the hull; None for bare numbers.
        flotation: The boat on her line; None where not known.
        lies: What puts her off it; None where not known.
        level_sinkage: Of her mass alone, for where her trim is not known; None where not known either. [m]

    Returns:
        The freeboards; None where neither hull nor plan gives them.
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
    """The freeboards that matter, on her line and as she lies; first order, as sinkage and trim are.

    Args:
        x: Places of the deck's edge from bow to stern, boat axes, at least one. [m]
        heights: Above the design waterline there. [m]
        flotation: The boat on her line; None where not known.
        lies: What puts her off it; None where not known.

    Returns:
        The smallest, and those at both ends.
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
    """A freeboard known as one figure without its place: it is assumed to be where she goes deepest.

    Args:
        height: The smallest on her line. [m]
        flotation: The boat on her line; None where not known.
        lies: What puts her off it; None where not known.

    Returns:
        As `freeboard_left`, without the ends.
    """
    deepest = 0.0
    if flotation is not None and lies is not None:
        deepest = flotation.fore_x if lies.deeper_fore > lies.deeper_aft else flotation.aft_x
    found = freeboard_left((deepest,), (height,), flotation, lies)
    return replace(found, bow=None, stern=None, placed=False)
