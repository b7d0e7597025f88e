"""The pieces of the pattern are closed and mate, add up to the pattern and its ledger, and fit the bed."""

from __future__ import annotations

import math

import manifold3d
import numpy as np
import pytest

from bulbcast.findings import Severity
from bulbcast.job import run
from bulbcast.pattern_shop.measured import LEDGER_BOUND, with_pieces
from bulbcast.plan.reading import read_plan_table
from bulbcast.solids.kernel import closed_faults
from bulbcast.solids.mesh import mesh_volume_and_centroid

CORED = {"fin__pocket": "cored", "screws__hole": "cored"}


def job_for(**changes):
    """A bulb of 700 g on a matching fin; `section__key` changes one figure, and `screws__key` one figure of every screw."""
    table = {
        "bulb": {"target_mass": "700 g", "fineness": 5.5, "tail_diameter": "3.5 mm", "skin": "0.2 mm"},
        "alloy": {"grade": "pure"},
        "fin": {
            "tip_chord": "46 mm",
            "tip_thickness": "6 mm",
            "pocket_depth": "5 mm",
            "material": "metal",
        },
        "pattern": {"finish": "0.3 mm", "coat": "0.1 mm"},
    }
    screw = {
        "diameter": "3 mm",
        "hole_diameter": "3.4 mm",
        "head_diameter": "6 mm",
        "head_height": "2 mm",
        "recess": "6 mm",
        "length": "28 mm",
    }
    for key, value in changes.items():
        section, _, leaf = key.partition("__")
        if not leaf:
            table[section] = value
        elif section == "screws":
            screw[leaf] = value
        elif value is None:
            del table[section][leaf]
        else:
            table.setdefault(section, {})[leaf] = value
    table.setdefault("screws", [{"at": at, **screw} for at in ("11 mm", "24 mm")])
    return run(read_plan_table(table, source="pieces.toml", sha256="0"))


SMALL = {"printer": {"bed_length": "80 mm", "bed_width": "70 mm", "bed_height": "80 mm", "margin": "2 mm"}}
CASES = {
    "two halves with dowels": {},
    "upright halves with dowels": {"parting__plane": "vertical"},
    "keys": {"parting__register": "keys", "parting__fit": "0.4 mm"},
    "neither dowels nor keys": {"parting__register": "none"},
    "lying pieces": {**SMALL, "printer__position": "lying"},
    "standing pieces": {**SMALL, "printer__position": "standing"},
    "standing pieces with keys": {**SMALL, "printer__position": "standing", "parting__register": "keys"},
    "whole, in pieces": {**SMALL, "parting__plane": "none", "printer__position": "standing"},
    "cores, parted upright": CORED,
    "cores, parted level": {**CORED, "parting__plane": "horizontal"},
    "cores and no draft": {**CORED, "parting__draft": "0 deg"},
    "raked cores in pieces": {**CORED, **SMALL, "fin__rake": "8 deg", "printer__bed_width": "80 mm"},
    "pocket alone cored": {"fin__pocket": "cored", "parting__print_length": "15 mm"},
    "flat, raked forward": {**CORED, "fin__rake": "-10 deg", "bulb__width_to_height": 1.7},
    "a stud cast in": {
        "fin__pocket_depth": "0 mm",
        "screws": [],
        "studs": [
            {"at": "20 mm", "diameter": "4 mm", "below": "9 mm", "above": "20 mm", "density": "8 g/cm3"}
        ],
    },
    "a blade right through, cored": {
        "fin__pocket": "cored",
        "fin__joint": "through",
        "fin__pocket_depth": None,
        "screws": [],
    },
}


def made(name):
    return with_pieces(job_for(**CASES[name]))


@pytest.fixture(scope="module", params=CASES)
def pieces(request):
    """Solids of each pattern, cut once."""
    return made(request.param)


def kernel(mesh):
    return manifold3d.Manifold(
        manifold3d.Mesh64(vert_properties=mesh.vertices * 1000.0, tri_verts=mesh.triangles.astype(np.uint64))
    )


def test_every_piece_is_closed_and_wound_one_way(pieces):
    _, solids = pieces
    assert solids.pieces
    for piece in solids.pieces:
        assert closed_faults(piece.mesh.triangles) == 0
        assert kernel(piece.mesh).status() == manifold3d.Error.NoError


def test_the_pieces_as_written_add_up_to_the_pattern_with_its_ledger(pieces):
    job, solids = pieces
    written = sum(mesh_volume_and_centroid(one.mesh.vertices, one.mesh.triangles)[0] for one in solids.pieces)
    pattern, _ = mesh_volume_and_centroid(solids.pattern.mesh.vertices, solids.pattern.mesh.triangles)
    lines = sum(volume for _, volume in job.shop.measured.lines)
    assert written == pytest.approx(pattern + lines, rel=LEDGER_BOUND)
    assert pattern == pytest.approx(job.pattern.volume, rel=2e-5)


def test_pieces_meet_and_do_not_overlap(pieces):
    job, solids = pieces
    scale = job.pattern.volume * 1e9
    parts = [kernel(one.mesh) for one in solids.pieces]
    for i, one in enumerate(parts):
        for other in parts[:i]:
            assert (one ^ other).volume() <= 1e-9 * scale
    joined = manifold3d.Manifold.batch_boolean(parts, manifold3d.OpType.Add)
    assert joined.volume() == pytest.approx(sum(one.volume() for one in parts), rel=1e-8)


def test_together_they_are_the_pattern_with_its_prints_but_for_holes_and_sockets(pieces):
    job, solids = pieces
    measured = job.shop.measured
    holes = sum(volume for name, volume in measured.lines if name in ("dowel holes", "key sockets"))
    keys = sum(volume for name, volume in measured.lines if name == "keys on the first half")
    written = sum(one.volume for one in solids.pieces)
    assert written == pytest.approx(measured.whole_volume + holes + keys, rel=1e-8)


def test_every_piece_fits_the_bed(pieces):
    job, _ = pieces
    if job.shop.bed is None:
        assert all(piece.place is None for piece in job.shop.measured.pieces)
        return
    bed = job.shop.bed
    assert job.shop.joints.fits
    for piece in job.shop.measured.pieces:
        assert piece.size[0] <= bed.length + 1e-6
        assert piece.size[1] <= bed.width + 1e-6
        assert piece.size[2] <= bed.height + 1e-6
        assert piece.place.x + piece.size[0] <= bed.length + 1e-6
        assert piece.place.y + piece.size[1] <= bed.width + 1e-6


def test_halves_parted_on_the_axis_have_no_undercut(pieces):
    job, _ = pieces
    if job.shop.plane == "none" and job.shop.cores:
        return
    for row in job.shop.measured.draws:
        if row.counts:
            assert row.draw.undercut_area == 0.0, row


def test_the_whole_pattern_draws_neither_way_and_half_of_it_is_caught():
    job, _ = with_pieces(job_for())
    whole = [row for row in job.shop.measured.draws if row.solid == "unparted pattern"]
    assert [row.pull for row in whole] == [
        "upwards",
        "downwards",
        "to starboard",
        "to port",
    ]
    for row in whole:
        assert row.draw.undercut_area == pytest.approx(0.5 * row.draw.area, rel=0.03)
        assert not row.counts


def test_the_play_of_a_dowel_is_the_one_asked_for():
    job, solids = with_pieces(job_for(parting__fit="0.4 mm", parting__dowel="4 mm"))
    pin = job.shop.pins[0]
    upper = kernel(next(one for one in solids.pieces if one.half == "upper").mesh)
    at = 1e3 * np.array(pin.at)
    for radius, meets in ((2.0, False), (2.19, False), (2.21, True)):
        rod = manifold3d.Manifold.cylinder(0.8e3 * pin.depth, radius, radius, 400).translate(tuple(at))
        assert ((upper ^ rod).volume() > 1e-3) is meets, radius


def test_a_key_stands_clear_in_its_socket_all_round():
    job, solids = with_pieces(job_for(parting__register="keys", parting__fit="0.4 mm"))
    upper, lower = (kernel(one.mesh) for one in solids.pieces)
    assert (upper ^ lower).volume() <= 1e-6
    # Moved by half the play it touches nothing yet, moved by more than that it does.
    for move, meets in ((0.19, False), (0.23, True)):
        moved = upper.translate((0.0, move, 0.0))
        key = job.shop.pins[0]
        depth = 1e3 * key.depth
        box = manifold3d.Manifold.cube((8.0, 8.0, depth), False).translate(
            (1e3 * key.at[0] - 4.0, -4.0, -depth)
        )
        assert ((moved ^ lower ^ box).volume() > 1e-4) is meets, move


def test_a_parting_off_the_axis_is_undercut_as_a_closed_form_says():
    job, _ = with_pieces(job_for(parting__offset="1 mm", parting__plane="horizontal"))
    lower = next(row for row in job.shop.measured.draws if row.solid == "lower half")
    outline = job.shop.outline
    reach = 0.001 / np.maximum(outline.half_height, 0.001)
    strip = 2.0 * outline.half_height * np.arcsin(reach)
    expected = float(np.sum(0.5 * (strip[1:] + strip[:-1]) * np.diff(outline.x)))
    assert lower.draw.undercut_area == pytest.approx(expected, rel=0.06)
    assert any(finding.code == "undercut" for finding in job.findings)
    assert job.stopped


def test_cored_cavities_are_filled_and_bear_prints_with_draft():
    job, _ = with_pieces(job_for(**CORED, parting__plane="vertical", parting__print_length="10 mm"))
    lines = dict(job.shop.measured.lines)
    scale = job.pattern.scale
    pocket = scale**3 * job.bulb.cuts.pocket.volume
    assert lines["pocket: filled, since its core forms the cavity"] == pytest.approx(pocket, rel=0.2)
    assert lines["pocket: filled, since its core forms the cavity"] > pocket
    area = pocket / (scale * 0.005)
    # The print runs from the crown's curve to 10 mm above it.
    assert lines["pocket: core print"] == pytest.approx(area * 0.010, rel=0.25)
    assert lines["pocket: core print"] > area * 0.010
    recess = math.pi * (scale * 0.003) ** 2 * 0.010
    assert lines["screw 1: core print"] > 0.97 * recess
    assert lines["draft of the core prints"] < 0.0


def test_without_draft_the_ledger_has_a_zero_for_it():
    job, _ = made("cores and no draft")
    assert dict(job.shop.measured.lines)["draft of the core prints"] == pytest.approx(0.0, abs=1e-15)


@pytest.mark.parametrize("position", ["lying", "standing"])
def test_a_340_mm_bulb_goes_on_a_220_mm_bed_in_two_lengths(position):
    job, solids = with_pieces(
        job_for(
            bulb={"target_mass": "4.2 kg", "length": "340 mm"},
            printer={"bed_length": "220 mm", "bed_width": "220 mm", "position": position},
        )
    )
    assert [one.name for one in solids.pieces] == ["upper-1", "upper-2", "lower-1", "lower-2"]
    assert job.shop.joints.fits
    assert not any(one.severity is Severity.STOP and one.subject == "pattern shop" for one in job.findings)
    pocket = next(cut for cut in job.shop.cuts if cut.name == "pocket")
    assert not any(pocket.start < place < pocket.end for place in job.shop.joints.places)
