"""Data for the pictures of a pattern's pieces: outlines of the cut solids, without the solids themselves.

The data comes from `pictures`, which cuts the solids; the views only arrange it. All coordinates are in mm.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from bulbcast.quantities.frozen import frozen

if TYPE_CHECKING:
    from bulbcast.drawing.shapes import Contour, Point

DRAFT_BANDS = (0.0, 2.0, 10.0, 30.0, 60.0)
"""Lower limits of the draft bands, which come after the band for undercuts. [deg]"""


@frozen
class PieceLook:
    """One piece in the exploded view.

    Attributes:
        name: Name of the piece.
        first: Whether it belongs to the half on the side of the plane's normal.
        outline: Outline of the piece as seen.
        faces: Its visible flat faces, which are the parting face and the joints, with their holes.
        curves: A few section lines on its round side.
    """

    name: str
    first: bool
    outline: tuple[Contour, ...]
    faces: tuple[tuple[Contour, ...], ...]
    curves: tuple[Contour, ...]


@frozen
class PinLook:
    """A loose dowel in the exploded view, with its outline and its line of travel into both holes."""

    outline: Contour
    way: tuple[Point, Point]


@frozen
class DraftBand:
    """Facets in one band of draft, seen at right angles to the pull; band 0 contains undercut facets."""

    band: int
    contours: tuple[Contour, ...]


@frozen
class PiecesPicture:
    """Outlines for all pictures of the pieces.

    Attributes:
        looks: Pieces of the exploded view, the furthest first.
        pins: Loose dowels in the exploded view.
        draft: Bands of both halves, in (x, along the pull).
        draft_outline: Outline of the halves in the view of the draft.
        footprints: Footprint of each piece on the bed, with its lower left corner at zero.
    """

    looks: tuple[PieceLook, ...]
    pins: tuple[PinLook, ...]
    draft: tuple[DraftBand, ...]
    draft_outline: tuple[Contour, ...]
    footprints: dict[str, tuple[Contour, ...]]
