"""Drawn pieces of the pattern: names of the halves, pull directions, draft colours, positions on the bed."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest

from bulbcast.drawing.shapes import Line, Polyline, Region, Style, Text
from bulbcast.pattern_shop.pieces.picture import DRAFT_BANDS, DraftBand, PieceLook, PiecesPicture
from bulbcast.pattern_shop.pieces.views import band_words, bed_view, draft_view, exploded_view
from bulbcast.quantities import Shown


def box(left, bottom, right, top):
    return ((left, bottom), (right, bottom), (right, top), (left, top))


def looked(name, first, outline):
    return PieceLook(name=name, first=first, outline=(outline,), faces=(), curves=())


PICTURE = PiecesPicture(
    looks=(
        looked("upper", True, box(0.0, 30.0, 100.0, 50.0)),
        looked("lower", False, box(0.0, 0.0, 100.0, 20.0)),
    ),
    pins=(),
    draft=tuple(
        DraftBand(band=band, contours=(box(10.0 * band, -5.0, 10.0 * band + 10.0, 5.0),))
        for band in range(len(DRAFT_BANDS) + 1)
    ),
    draft_outline=(box(0.0, -20.0, 60.0, 20.0),),
    footprints={"upper": (box(0.0, 0.0, 40.0, 15.0),), "lower": (box(0.0, 0.0, 50.0, 12.0),)},
)


def texts(view):
    return {s.text: s.at for s in view.shapes if isinstance(s, Text)}


def test_pieces_of_the_planes_own_side_are_named_above_and_the_others_below():
    places = texts(exploded_view(PICTURE))
    assert places["upper"][1] > 50.0
    assert places["lower"][1] < 0.0


def test_the_line_of_a_pieces_name_begins_on_its_outline():
    sloping = ((0.0, 30.0), (100.0, 30.0), (100.0, 60.0), (0.0, 40.0))
    view = exploded_view(replace(PICTURE, looks=(looked("upper", True, sloping), PICTURE.looks[1])))
    starts = {s.points[0] for s in view.shapes if isinstance(s, Polyline) and s.style is Style.LEADER}
    assert starts == {(50.0, 50.0), (50.0, 0.0)}


def test_the_mould_leaves_upwards_and_downwards_from_the_parting_where_it_is():
    view = draft_view(SimpleNamespace(offset=0.004, plane="vertical"), PICTURE)
    (level,) = [s for s in view.shapes if isinstance(s, Line) and s.style is Style.AXIS]
    assert level.start[1] == level.end[1] == pytest.approx(4.0)
    ways = [s for s in view.shapes if isinstance(s, Line) and s.style is Style.DIMENSION]
    heads = [s.contours[0] for s in view.shapes if isinstance(s, Region) and s.style is Style.MARK]
    ends = []
    for way, head in zip(ways, heads, strict=True):
        assert way.start[1] == pytest.approx(4.0)
        assert head[0] == pytest.approx(way.end)
        # The head points the way that the arrow runs.
        assert (head[0][1] - head[1][1]) * (way.end[1] - way.start[1]) > 0.0
        ends.append(way.end[1])
    assert ends[0] > 4.0 > ends[1]


def test_every_band_of_draft_has_its_own_tint_the_undercut_hatched_and_painted_last():
    view = draft_view(SimpleNamespace(offset=0.0, plane="vertical"), PICTURE)
    tints = (
        Style.DRAFT_UNDERCUT,
        Style.DRAFT_LOW,
        Style.DRAFT_SMALL,
        Style.DRAFT_SOME,
        Style.DRAFT_AMPLE,
        Style.DRAFT_FULL,
    )
    painted = [s for s in view.shapes if isinstance(s, Region) and s.style in tints]
    bands, legend = painted[: len(tints)], painted[len(tints) :]
    assert [(one.style, one.contours[0][0][0]) for one in bands] == [
        (tint, 10.0 * band) for band, tint in reversed(list(enumerate(tints)))
    ]
    assert [one.hatch is not None for one in bands] == [False] * 5 + [True]
    # Each colour of the legend is in front of its text.
    places = texts(view)
    for band, swatch in enumerate(legend):
        assert swatch.style is tints[band]
        at = places[band_words(band)]
        low, high = swatch.contours[0][0][1], swatch.contours[0][2][1]
        assert low < at[1] < high
        assert 0.0 < at[0] - max(x for x, _ in swatch.contours[0]) < 5.0 / view.scale


def test_pieces_lie_on_the_bed_at_their_planned_places():
    places = {"upper": (0.010, 0.060), "lower": (0.020, 0.005)}
    pieces = [
        SimpleNamespace(name=name, place=SimpleNamespace(plate=1, x=x, y=y), size=(0.04, 0.015, 0.01))
        for name, (x, y) in places.items()
    ]
    shop = SimpleNamespace(
        bed=True,
        printer=SimpleNamespace(bed_length=0.180, bed_width=0.220, margin=0.005),
        measured=SimpleNamespace(pieces=pieces),
    )
    view = bed_view(SimpleNamespace(shop=shop, shown=Shown("metric")), PICTURE)
    found = [
        np.array(s.contours[0]) for s in view.shapes if isinstance(s, Region) and s.style is Style.PATTERN
    ]
    (bed,) = [np.array(s.contours[0]) for s in view.shapes if isinstance(s, Region) and s.style is Style.BED]
    # The longer side of the bed lies along.
    assert tuple(np.ptp(bed, axis=0)) == pytest.approx((220.0, 180.0))
    for piece, drawn in zip(pieces, found, strict=True):
        x, y = places[piece.name]
        assert drawn.min(axis=0) == pytest.approx((5.0 + 1e3 * x, 5.0 + 1e3 * y))
