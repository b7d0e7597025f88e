"""Outlines of the cut solids, for pictures of the pattern's pieces, made from facets as coarse as a picture allows."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from bulbcast.bulb.body.facet_loops import boundary_loops, flat_faces
from bulbcast.drawing.shapes import Contour, Point
from bulbcast.pattern_shop.measured import stock
from bulbcast.pattern_shop.pieces.cutting import HALVES, NORMALS, PatternPieces, PieceSolid, pattern_pieces
from bulbcast.pattern_shop.pieces.draw import UPRIGHT, drafts
from bulbcast.pattern_shop.pieces.parting import Dowel
from bulbcast.pattern_shop.pieces.picture import (
    DRAFT_BANDS,
    DraftBand,
    PieceLook,
    PiecesPicture,
    PinLook,
)
from bulbcast.pattern_shop.printer.packing import print_turn
from bulbcast.pattern_shop.results import ShopResults
from bulbcast.pattern_shop.shop import PatternShop, PieceFigures
from bulbcast.solids.quadrature import Array

_MM = 1000.0
_COARSE = 1.0 / 900.0
_FLAT = 1.0 / 1500.0
_LOOP_POINTS = 60
_AZIMUTH, _ELEVATION = math.radians(28.0), math.radians(24.0)
# Gaps of the exploded view: between the halves as a fraction of the pattern's depth, between stretches of its length.
_APART, _ALONG = 0.75, 0.05


# Right, up and towards the viewer: seen from port, ahead and above. [-]
_TOWARDS = np.array(
    [
        -math.sin(_AZIMUTH) * math.cos(_ELEVATION),
        -math.cos(_AZIMUTH) * math.cos(_ELEVATION),
        math.sin(_ELEVATION),
    ]
)
_RIGHT = np.array([math.cos(_AZIMUTH), -math.sin(_AZIMUTH), 0.0])
_UP = np.cross(_TOWARDS, _RIGHT)


def pieces_picture(job: ShopResults) -> PiecesPicture | None:
    """Outlines for the pictures; None if the pattern was not cut.

    Args:
        job: The results, with the pattern's pieces measured.
    """
    shop = job.shop
    if shop is None or shop.measured is None:
        return None
    size = max(job.pattern.width, job.pattern.height)
    body, cores = stock(job, shop, size * _COARSE / job.pattern.scale)
    cut = pattern_pieces(body, cores, shop)
    return PiecesPicture(
        looks=_looks(shop, cut, size),
        pins=tuple(_pin_look(pin, shop, size) for pin in shop.pins if pin.kind == "dowel"),
        draft=_draft(shop, cut),
        draft_outline=_draft_outline(shop, cut, size),
        footprints=_footprints(shop, cut, size),
    )


def _contour(points: Array) -> Contour:
    return tuple(zip((_MM * points[:, 0]).tolist(), (_MM * points[:, 1]).tolist(), strict=True))


def _half_shift(shop: PatternShop, first: bool, size: float) -> Array:
    if shop.plane == "none":
        return np.zeros(3)
    return (0.5 if first else -0.5) * _APART * size * np.array(NORMALS[shop.plane])


def _stretch_shift(shop: PatternShop, number: int) -> Array:
    middle = 0.5 * (shop.joints.pieces + 1)
    gap = max(_ALONG * shop.outline.length, 7.0 * shop.dowel)
    return np.array([(number - middle) * gap, 0.0, 0.0])


def _looks(shop: PatternShop, cut: PatternPieces, size: float) -> tuple[PieceLook, ...]:
    found = []
    for piece in cut.pieces:
        first = piece.half in (HALVES["horizontal"][0], HALVES["vertical"][0], "")
        shift = _half_shift(shop, first, size) + _stretch_shift(shop, piece.number)
        move = np.array([shift @ _RIGHT, shift @ _UP])
        mesh = piece.solid.faces()
        seen = np.stack([mesh.vertices @ _RIGHT, mesh.vertices @ _UP], axis=1) + move
        faces = tuple(
            tuple(_contour(seen[_thinned(loop)]) for loop in loops)
            for normal, level, loops in flat_faces(mesh, smallest=1e-4 * size**2)
            if normal @ _TOWARDS > 1e-9 and _is_cut(shop, normal, level)
        )
        outline = tuple(
            _contour(one + move) for one in piece.solid.silhouette(_RIGHT, _UP, coarse=size * _FLAT)
        )
        look = PieceLook(
            name=piece.name,
            first=first,
            outline=outline,
            faces=faces,
            curves=_curves(shop, piece, move),
        )
        found.append((float((piece.centroid + shift) @ _TOWARDS), look))
    return tuple(look for _, look in sorted(found, key=lambda one: one[0]))


def _is_cut(shop: PatternShop, normal: Array, level: float) -> bool:
    """Whether a flat face is the parting face or a joint, rather than the bottom of a hole."""
    if normal[0] != 0.0:
        return any(abs(level - place) < 1e-6 for place in shop.joints.places)
    across = {"horizontal": 2, "vertical": 1, "none": 0}[shop.plane]
    return across > 0 and normal[across] != 0.0 and abs(level - shop.offset) < 1e-6


def _thinned(loop: list[int]) -> list[int]:
    """Reduce a loop to the points that a small picture can show."""
    return loop[:: max(1, len(loop) // _LOOP_POINTS)]


def _curves(shop: PatternShop, piece: PieceSolid, move: Array) -> tuple[Contour, ...]:
    """Visible parts of evenly spaced sections on the piece's round side."""
    start, end = shop.stretches[piece.number - 1]
    count = max(2, round(10 * (end - start) / shop.outline.length))
    angle = np.linspace(0.0, 2.0 * math.pi, 97)
    found = []
    for x in np.linspace(start, end, count + 2)[1:-1]:
        wide, high = shop.outline.halves(float(x))
        ring = np.stack([np.full_like(angle, x), wide * np.cos(angle), high * np.sin(angle)], axis=1)
        outwards = np.stack([np.zeros_like(angle), np.cos(angle) * high, np.sin(angle) * wide], axis=1)
        ahead, behind = shop.outline.halves(float(x) - 1e-4), shop.outline.halves(float(x) + 1e-4)
        outwards[:, 0] = (ahead[1] - behind[1]) / 2e-4 * max(wide, high) if ahead[1] and behind[1] else 0.0
        shown = outwards @ _TOWARDS > 0.0
        if shop.plane != "none":
            level = ring @ np.array(NORMALS[shop.plane]) - shop.offset
            shown &= level >= -1e-9 if piece.half in ("upper", "starboard") else level <= 1e-9
        points = np.stack([ring @ _RIGHT, ring @ _UP], axis=1) + move
        found += [_contour(points[run]) for run in _runs(shown)]
    return tuple(found)


def _runs(mask: NDArray[np.bool_]) -> list[slice]:
    edges = np.flatnonzero(np.diff(np.concatenate([[False], mask, [False]])))
    return [slice(int(a), int(b)) for a, b in zip(edges[::2], edges[1::2], strict=True) if b - a > 1]


def _pin_look(pin: Dowel, shop: PatternShop, size: float) -> PinLook:
    """Picture of a dowel half-way between the two faces that it joins."""
    along = np.array([pin.along == "x", pin.along == "y", pin.along == "z"], dtype=float)
    at = np.array(pin.at)
    if pin.face == "parting":
        number = 1 + sum(place < pin.at[0] for place in shop.joints.places)
        shift = _stretch_shift(shop, number)
        reach = 0.5 * _APART * size
    else:
        number = 1 + shop.joints.places.index(pin.at[0])
        shift = 0.5 * (_stretch_shift(shop, number) + _stretch_shift(shop, number + 1))
        level = float(at @ np.array(NORMALS.get(shop.plane, (0.0, 0.0, 0.0)))) - shop.offset
        if shop.plane != "none":
            shift = shift + _half_shift(shop, level > 0.0, size)
        reach = 0.5 * float(_stretch_shift(shop, number + 1)[0] - _stretch_shift(shop, number)[0])
    middle = at + shift
    half = min(pin.depth, 0.8 * reach)

    def seen(point: Array) -> Array:
        return np.array([point @ _RIGHT, point @ _UP])

    ends = (seen(middle - half * along), seen(middle + half * along))
    way = ends[1] - ends[0]
    across = np.array([-way[1], way[0]]) / max(float(np.hypot(*way)), 1e-12) * 0.5 * pin.diameter
    corners = np.array([ends[0] + across, ends[0] - across, ends[1] - across, ends[1] + across])
    far = (seen(middle - reach * along), seen(middle + reach * along))
    return PinLook(outline=_contour(corners), way=(_point(far[0]), _point(far[1])))


def _point(at: Array) -> Point:
    return _MM * float(at[0]), _MM * float(at[1])


def _draft(shop: PatternShop, cut: PatternPieces) -> tuple[DraftBand, ...]:
    """Facets that face the viewer, seen at right angles to the pull, grouped by band of draft."""
    plane = shop.mould_plane
    normal = np.array(NORMALS[plane])
    halves = cut.halves if shop.plane != "none" else cut.whole.parted(NORMALS[plane], shop.offset)
    # Seen from port with z up, or from above with starboard up the page, so that the pull lies in the picture.
    towards = np.array([0.0, -1.0, 0.0]) if plane == "horizontal" else np.array([0.0, 0.0, 1.0])
    limits = [math.radians(one) for one in DRAFT_BANDS]
    found = []
    for half, pull in zip(halves, (normal, -normal), strict=True):
        mesh = half.faces()
        draft, area, middle = drafts(mesh, pull)
        corners = mesh.vertices[mesh.triangles]
        cross = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
        level = middle @ pull - shop.offset * float(pull @ normal)
        flat = (draft < math.radians(-89.0)) & (np.abs(level) < 1e-7)
        seen = (cross @ towards > 0.0) & (area > 0.0) & ~flat
        band = np.where(draft < -UPRIGHT, 0, 1 + np.searchsorted(limits[1:], draft + UPRIGHT, side="right"))
        points = np.stack([mesh.vertices[:, 0], mesh.vertices @ normal], axis=1)
        for number in range(len(limits) + 1):
            loops = boundary_loops(mesh.triangles[seen & (band == number)])
            if loops:
                contours = tuple(_contour(points[loop]) for loop in loops)
                found.append(DraftBand(band=number, contours=contours))
    return tuple(found)


def _draft_outline(shop: PatternShop, cut: PatternPieces, size: float) -> tuple[Contour, ...]:
    up = np.array([0.0, 1.0, 0.0]) if shop.plane == "vertical" else np.array([0.0, 0.0, 1.0])
    right = np.array([1.0, 0.0, 0.0])
    halves = cut.halves
    return tuple(_contour(one) for half in halves for one in half.silhouette(right, up, coarse=size * _FLAT))


def _footprints(shop: PatternShop, cut: PatternPieces, size: float) -> dict[str, tuple[Contour, ...]]:
    assert shop.measured is not None
    figures: dict[str, PieceFigures] = {piece.name: piece for piece in shop.measured.pieces}
    found = {}
    for piece in cut.pieces:
        said = figures[piece.name]
        turn = print_turn(
            piece.half, shop.joints.position, angle=said.angle, aft_face_down=said.aft_face_down
        )
        contours = piece.solid.silhouette(turn[0], turn[1], coarse=size * _FLAT)
        low = np.min(np.concatenate(contours), axis=0)
        found[piece.name] = tuple(_contour(one - low) for one in contours)
    return found
