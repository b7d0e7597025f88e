"""Properties of joints, and of pieces compared with their ledger, for any pattern, bed and cut."""

from __future__ import annotations

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from bulbcast.bulb.body.profiles import four_digit
from bulbcast.bulb.body.turned import turned_body
from bulbcast.job import run
from bulbcast.pattern.outline import pattern_outline
from bulbcast.pattern_shop.measured import LEDGER_BOUND, with_pieces
from bulbcast.pattern_shop.pieces.joints import CutSpan, ToCut, joints_of, stretches
from bulbcast.pattern_shop.pieces.parting import Doweling, joint_dowels, parting_dowels, wall_round
from bulbcast.pattern_shop.printer.bed import turned_to_fit, usable_bed
from bulbcast.pattern_shop.printer.packing import packed
from bulbcast.plan.reading import read_plan_table
from bulbcast.solids.kernel import closed_faults
from bulbcast.solids.mesh import mesh_volume_and_centroid

lengths = st.floats(0.12, 1.2)
finenesses = st.floats(4.0, 10.0)
beds = st.tuples(st.floats(0.10, 0.40), st.floats(0.10, 0.40), st.floats(0.10, 0.40))
planes = st.sampled_from(("horizontal", "vertical", "none"))


def outline_for(length, fineness):
    body = turned_body(
        four_digit(), diameter=length / fineness, tail_diameter=0.08 * length / fineness, length=length
    )
    return pattern_outline(body, offset=0.0003, scale=1.01)


@settings(max_examples=60, deadline=None)
@given(lengths, finenesses, beds, planes, st.sampled_from((None, "lying", "standing")), st.floats(0.1, 0.6))
def test_joints_that_fit_do_fit_and_tell_what_they_strike(length, fineness, sides, plane, position, at):
    outline = outline_for(length, fineness)
    bed = usable_bed(length=sides[0], width=sides[1], height=sides[2], margin=0.004)
    cut = CutSpan(name="pocket", start=at * length, end=(at + 0.2) * length, in_pattern=False)
    whole = ToCut(outline=outline, plane=plane, bed=bed, cuts=(cut,), room=0.006, clear=0.002)
    found = joints_of(whole, position, None)
    struck = any(cut.start < place < cut.end for place in found.places)
    assert (found.struck == (cut,)) is struck
    assert list(found.places) == sorted(found.places)
    if not found.fits:
        return
    for start, end in stretches(outline, found.places):
        part = outline.between(start, end)
        if found.position == "standing":
            assert end - start <= bed.height + 1e-9
            continue
        half = part.half_height if plane == "vertical" else part.half_width
        points = np.stack([np.concatenate([part.x, part.x]), np.concatenate([half, -half])], axis=1)
        assert turned_to_fit(points, bed) is not None
    # One piece fewer would not have done, but for a cut kept clear of.
    if len(found.places) and struck is False:
        fewer = joints_of(whole, found.position, len(found.places))
        assert not fewer.fits or fewer.struck or len(found.places) <= 2


@settings(max_examples=60, deadline=None)
@given(lengths, finenesses, beds, st.sampled_from(("horizontal", "vertical")), st.floats(0.002, 0.012))
def test_every_dowel_has_its_wall(length, fineness, sides, plane, diameter):
    outline = outline_for(length, fineness)
    bed = usable_bed(length=sides[0], width=sides[1], height=sides[2], margin=0.004)
    wall = 0.0012
    room = (0.5 * (diameter + 0.0002) + wall) / 0.38
    whole = ToCut(outline=outline, plane=plane, bed=bed, cuts=(), room=room, clear=0.002)
    found = joints_of(whole, None, None)
    wanted = Doweling(
        plane=plane, offset=0.0, register="dowels", diameter=diameter, fit=0.0002, draft=0.035, wall=wall
    )
    for pin in parting_dowels(outline, found, wanted):
        assert wall_round(outline, pin) >= wall - 1e-9
        assert pin.depth >= diameter - 1e-12
    for pin in joint_dowels(outline, found, wanted):
        # The section where it stands has the room; a little further on it may be less, never none.
        assert wall_round(outline, pin) > 0.0


@settings(max_examples=100, deadline=None)
@given(st.lists(st.tuples(st.floats(0.01, 0.2), st.floats(0.01, 0.2)), min_size=1, max_size=14))
def test_packed_pieces_never_overlap(sizes):
    bed = usable_bed(length=0.22, width=0.20, height=0.2, margin=0.0)
    places = packed(sizes, bed, 0.005)
    for i, (one, size) in enumerate(zip(places, sizes, strict=True)):
        assert one.x + size[0] <= bed.length + 1e-8
        assert one.y + size[1] <= bed.width + 1e-8
        for other, second in list(zip(places, sizes, strict=True))[:i]:
            assert (
                one.plate != other.plate
                or one.x >= other.x + second[0] - 1e-8
                or other.x >= one.x + size[0] - 1e-8
                or one.y >= other.y + second[1] - 1e-8
                or other.y >= one.y + size[1] - 1e-8
            )


@settings(max_examples=12, deadline=None)
@given(
    st.floats(0.4, 6.0),
    st.floats(4.5, 8.0),
    st.floats(0.7, 1.6),
    st.floats(-10.0, 10.0),
    st.sampled_from(("cut", "cored")),
    st.sampled_from(("dowels", "keys", "none")),
    st.sampled_from(("lying", "standing")),
)
def test_pieces_of_any_pattern_are_closed_and_keep_their_ledger(
    mass, fineness, width_to_height, rake, pocket, register, position
):
    table = {
        "bulb": {
            "target_mass": f"{mass:.4f} kg",
            "fineness": fineness,
            "width_to_height": width_to_height,
        },
        "alloy": {"grade": "pure"},
        "fin": {
            "tip_chord": "40 mm",
            "tip_thickness": "5 mm",
            "pocket_depth": "4 mm",
            "rake": f"{rake:.3f} deg",
            "pocket": pocket,
        },
        "parting": {"register": register},
        "printer": {"position": position, "bed_height": "180 mm"},
        "pattern": {"chord_error": "0.05 mm"},
    }
    job, solids = with_pieces(run(read_plan_table(table, source="any.toml", sha256="0")))
    written = 0.0
    for piece in solids.pieces:
        assert closed_faults(piece.mesh.triangles) == 0
        written += mesh_volume_and_centroid(piece.mesh.vertices, piece.mesh.triangles)[0]
    pattern = mesh_volume_and_centroid(solids.pattern.mesh.vertices, solids.pattern.mesh.triangles)[0]
    lines = sum(volume for _, volume in job.shop.measured.lines)
    assert abs(written - pattern - lines) <= LEDGER_BOUND * pattern
    for row in job.shop.measured.draws:
        if row.counts:
            assert row.draw.undercut_area == 0.0
    if job.shop.joints.fits:
        for piece in job.shop.measured.pieces:
            assert piece.size[0] <= job.shop.bed.length + 1e-6
            assert piece.size[1] <= job.shop.bed.width + 1e-6
            assert piece.size[2] <= job.shop.bed.height + 1e-6
