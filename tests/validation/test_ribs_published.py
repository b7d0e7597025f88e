"""Ribs compared with published ordinates, with their skin as a parallel curve rather than a smaller section.

Ordinates: Abbott and von Doenhoff, Theory of Wing Sections, App. I (also NACA TR-824), as recomputed in the
public-domain tables of the NACA sections: half thickness in per cent of the chord, printed to four decimals, hence
5e-5 per cent.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from shapely import LinearRing, LineString, Point, Polygon, affinity

from bulbcast.fin.foil import Foil
from bulbcast.fin.ribs import CentrePlate, rib_at, ribs_of
from bulbcast.quantities.checked import BoatFigureError

STATIONS = (0.5, 1.25, 2.5, 5.0, 10.0, 20.0, 30.0, 50.0, 70.0, 90.0, 100.0)
PUBLISHED = {
    6: (0.6107, 0.9470, 1.3074, 1.7773, 2.3414, 2.8688, 3.0009, 2.6470, 1.8320, 0.7239, 0.0630),
    12: (1.2213, 1.8939, 2.6147, 3.5547, 4.6828, 5.7375, 6.0017, 5.2940, 3.6639, 1.4477, 0.1260),
    18: (1.8320, 2.8409, 3.9221, 5.3320, 7.0242, 8.6063, 9.0026, 7.9410, 5.4959, 2.1716, 0.1890),
}
CHORD = 0.2
# Of the area of the open section over chord times thickness: 0.685095, the sum of 2 a / (p + 1).
AREA = sum(
    2.0 * a / (p + 1.0)
    for a, p in zip((1.4845, -0.6300, -1.7580, 1.4215, -0.5075), (0.5, 1.0, 2.0, 3.0, 4.0), strict=True)
)


def foil(root=CHORD, tip=CHORD, thickness=0.12):
    return Foil(
        root_chord=root,
        tip_chord=tip,
        root_thickness=thickness * root,
        tip_thickness=thickness * tip,
        root_leading_edge_x=0.0,
        tip_leading_edge_x=0.03,
        root_z=0.0,
        tip_z=-0.4,
    )


def whole(rib):
    assert len(rib.pieces) == 1
    return Polygon(rib.pieces[0][0], rib.pieces[0][1:])


@pytest.mark.parametrize("percent", sorted(PUBLISHED))
def test_a_rib_without_skin_has_the_published_ordinates(percent):
    rib = rib_at(foil(thickness=percent / 100.0), 0.5, skin=0.0, plate=None, chord_error=1e-8)
    outline = whole(rib)
    for station, half in zip(STATIONS, PUBLISHED[percent], strict=True):
        x = min(station / 100.0, 1.0 - 1e-9) * CHORD
        upright = LineString([(x, -CHORD), (x, CHORD)]).intersection(outline)
        assert upright.bounds[3] == pytest.approx(half / 100.0 * CHORD, abs=5e-7 * CHORD + 1.1e-8)
        assert upright.bounds[1] == pytest.approx(-upright.bounds[3], abs=1e-12)
    assert rib.area == pytest.approx(AREA * CHORD * percent / 100.0 * CHORD, rel=1e-5)


@pytest.mark.parametrize("skin", [0.0005, 0.0012, 0.003])
def test_the_skin_is_taken_off_as_a_parallel_curve(skin):
    rib = rib_at(foil(), 0.5, skin=skin, plate=None, chord_error=1e-7)
    outer = LinearRing(rib.section)
    outline = whole(rib)
    # Every point of the rib's edge is one skin from the finished surface, corners and nose as well.
    for share in np.linspace(0.0, 1.0, 400, endpoint=False):
        point = outline.exterior.interpolate(share, normalized=True)
        assert outer.distance(point) == pytest.approx(skin, abs=2e-7)
    assert Polygon(rib.section).contains(outline)


def test_it_is_no_section_scaled_down():
    rib = rib_at(foil(), 0.5, skin=0.003, plate=None, chord_error=1e-7)
    outline = whole(rib)
    section = Polygon(rib.section)
    left, low, right, high = outline.bounds
    scaled = affinity.scale(
        section,
        xfact=(right - left) / (section.bounds[2] - section.bounds[0]),
        yfact=(high - low) / (section.bounds[3] - section.bounds[1]),
        origin=(0.0, 0.0),
    )
    moved = affinity.translate(scaled, left - scaled.bounds[0], 0.0)
    assert moved.symmetric_difference(outline).area > 0.01 * outline.area


def test_skin_of_a_thin_layer_takes_its_length_times_its_thickness():
    bare = rib_at(foil(), 0.5, skin=0.0, plate=None, chord_error=1e-7)
    thin = rib_at(foil(), 0.5, skin=1e-5, plate=None, chord_error=1e-7)
    assert bare.area - thin.area == pytest.approx(1e-5 * LinearRing(bare.section).length, rel=1e-3)


def test_the_slot_of_a_plate_is_its_rectangle_inside_the_rib():
    plate = CentrePlate(thickness=0.003, width=0.05, at=0.35)
    with_slot = rib_at(foil(), 0.5, skin=0.001, plate=plate, chord_error=1e-6)
    without = rib_at(foil(), 0.5, skin=0.001, plate=None, chord_error=1e-6)
    assert without.area - with_slot.area == pytest.approx(0.003 * 0.05, rel=1e-9)
    slot = with_slot.pieces[0][1]
    assert slot.min(axis=0) == pytest.approx([0.35 * CHORD - 0.025, -0.0015])
    assert slot.max(axis=0) == pytest.approx([0.35 * CHORD + 0.025, 0.0015])
    corner = min(
        LinearRing(without.pieces[0][0]).distance(Point(x, 0.0015))
        for x in (slot[:, 0].min(), slot[:, 0].max())
    )
    assert with_slot.beside_slot == pytest.approx(corner, abs=1e-9)


def test_a_plate_over_the_whole_chord_leaves_two_alike_halves():
    rib = rib_at(
        foil(), 0.5, skin=0.001, plate=CentrePlate(thickness=0.003, width=None, at=0.3), chord_error=1e-6
    )
    upper, lower = (Polygon(piece[0]) for piece in rib.pieces)
    assert upper.bounds[1] == pytest.approx(0.0015)
    assert lower.bounds[3] == pytest.approx(-0.0015)
    assert upper.area == pytest.approx(lower.area, rel=1e-9)


def test_a_slot_that_breaks_out_is_reported_as_less_than_nothing():
    rib = rib_at(
        foil(), 0.5, skin=0.001, plate=CentrePlate(thickness=0.02, width=0.1, at=0.4), chord_error=1e-6
    )
    assert rib.beside_slot is not None
    assert rib.beside_slot < 0.0


def test_ribs_run_from_root_to_tip_and_taper_with_the_foil():
    made = ribs_of(foil(0.2, 0.12), 5, skin=0.001, plate=None, chord_error=2e-6)
    assert [rib.below_root for rib in made] == pytest.approx([0.0, 0.1, 0.2, 0.3, 0.4])
    assert [rib.chord for rib in made] == pytest.approx([0.2, 0.18, 0.16, 0.14, 0.12])
    assert [rib.area for rib in made] == sorted((rib.area for rib in made), reverse=True)


def test_where_skin_takes_everything_no_piece_is_left():
    assert rib_at(foil(), 0.5, skin=0.013, plate=None, chord_error=2e-6).pieces == ()


def test_outlines_keep_their_chord_error():
    rib = rib_at(foil(), 0.5, skin=0.0, plate=None, chord_error=2e-6)
    fine = rib_at(foil(), 0.5, skin=0.0, plate=None, chord_error=1e-9)
    coarse = LinearRing(rib.section)
    assert max(coarse.distance(Point(*point)) for point in fine.section) < 2e-6


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (
            lambda: rib_at(foil(), 1.2, skin=0.0, plate=None, chord_error=1e-6),
            "A rib at 1.2 of the span is not between the root (0) and the tip (1).",
        ),
        (
            lambda: ribs_of(foil(), 1, skin=0.0, plate=None, chord_error=1e-6),
            "1 ribs were requested, but a foil needs at least two, one at the root and one at the tip.",
        ),
    ],
)
def test_what_cannot_be_a_rib_is_refused(call, message):
    with pytest.raises(BoatFigureError) as caught:
        call()
    assert str(caught.value) == message


def test_the_planform_and_the_ribs_of_a_second_foil_are_drawn_like_the_first():
    from bulbcast.fin.built import FoilRibs
    from bulbcast.fin.rib_templates import rib_templates

    rudder = foil(0.1, 0.07, 0.1)
    made = FoilRibs(
        name="rudder",
        foil=rudder,
        skin=0.0008,
        plate=None,
        ribs=ribs_of(rudder, 3, skin=0.0008, plate=None, chord_error=2e-6),
    )
    planform, *ribs = rib_templates(made)
    assert Polygon(planform.outlines[0]).area == pytest.approx(1e6 * rudder.area, rel=1e-12)
    assert [one.title for one in ribs] == [f"Rib RR{number} of the rudder, whole" for number in (1, 2, 3)]
    for one, rib in zip(ribs, made.ribs, strict=True):
        assert Polygon(one.outlines[0]).area == pytest.approx(1e6 * rib.area, rel=1e-9)
    assert math.isclose(planform.box.height, 400.0, abs_tol=3.0)
