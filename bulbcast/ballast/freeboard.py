"""What freeboard is left where she does not lie on her design waterline: sinkage and trim along the deck's edge."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from bulbcast.ballast.imposed import Freeboard
from bulbcast.hull.outline import HullOutline
from bulbcast.hull.trimming import Change, Flotation, deeper_at
from bulbcast.quantities.checked import BoatFigureError

BOW, STERN, SIDE = "bow", "stern", "side"


@dataclass(frozen=True, slots=True, kw_only=True)
class FreeboardLeft:
    """Freeboard on her line and as she lies.

    Attributes:
        on_line: The smallest on the design waterline.
        left: The smallest as she lies; None where how she lies is not known.
        bow: As she lies at the forward end of her deck; None where not known.
        stern: Likewise at its after end.
        placed: Whether the places are known, and not only the figure.
    """

    on_line: Freeboard
    left: Freeboard | None
    bow: Freeboard | None
    stern: Freeboard | None
    placed: bool = True


def freeboards_of(outline: HullOutline) -> tuple[Freeboard, ...]:
    """Height of the deck's edge above the design waterline along her.

    Args:
        outline: Of the hull.

    Returns:
        A freeboard for each station, the first called bow, the last stern.
    """
    names = [BOW, *([SIDE] * (len(outline.x) - 2)), STERN]
    return tuple(
        Freeboard(name=name, x=x, height=z)
        for name, x, z in zip(names, outline.x, outline.sheer, strict=True)
    )


def freeboard_left(
    freeboards: Sequence[Freeboard], flotation: Flotation | None, lies: Change | None
) -> FreeboardLeft:
    """The freeboards that matter, on her line and as she lies; first order, as sinkage and trim are.

    Args:
        freeboards: On her design waterline, one at least.
        flotation: The boat on her line; None where not known.
        lies: What puts her off it; None where not known.

    Returns:
        The smallest, and those at both ends.

    Raises:
        BoatFigureError: No freeboard was given.
    """
    if not freeboards:
        raise BoatFigureError("No freeboard was given. Give one place of the deck's edge at least.")
    on_line = min(freeboards, key=lambda one: one.height)
    if flotation is None or lies is None:
        return FreeboardLeft(on_line=on_line, left=None, bow=None, stern=None)
    left = [
        Freeboard(
            name=one.name,
            x=one.x,
            height=one.height - deeper_at(flotation, sinkage=lies.sinkage, trim=lies.trim, x=one.x),
        )
        for one in freeboards
    ]
    return FreeboardLeft(
        on_line=on_line,
        left=min(left, key=lambda one: one.height),
        bow=next((one for one in left if one.name == BOW), None),
        stern=next((one for one in left if one.name == STERN), None),
    )


def freeboard_of_number(height: float, flotation: Flotation | None, lies: Change | None) -> FreeboardLeft:
    """A freeboard that is known as one figure, without its place: it is taken where she goes deepest.

    Args:
        height: The smallest on her line. [m]
        flotation: The boat on her line; None where not known.
        lies: What puts her off it; None where not known.

    Returns:
        As `freeboard_left`.
    """
    deepest = 0.0
    if flotation is not None and lies is not None:
        deepest = flotation.fore_x if lies.deeper_fore > lies.deeper_aft else flotation.aft_x
    one = Freeboard(name=SIDE, x=deepest, height=height)
    return replace(freeboard_left((one,), flotation, lies), placed=False)
