"""Solids of the pattern and the finished bulb have the volumes and mass centres found by quadrature. Cuts may
be cored, the fin may be raked, and the coat may be thicker than the finish allowance.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from bulbcast.bulb.body.profiles import four_digit
from bulbcast.job import Job, OffsetsTable, run
from bulbcast.pattern.solids import bulb_solid, pattern_solid
from bulbcast.plan.reading import read_plan_table
from bulbcast.solids.kernel import closed_faults
from bulbcast.solids.mesh import mesh_volume_and_centroid

# The contract's bounds: 2e-5 of the quadrature at the default chord error, 1e-6 at a tenth of it; the
# mass centre within the chord error.
COARSE, COARSE_BOUND = 2e-5, 2e-5
FINE, FINE_BOUND = 2e-6, 1e-6


def job_for(*, offsets: OffsetsTable | None = None, **changes: object) -> Job:
    """A 700 g bulb on a matching fin; `section__key` changes one figure, `screws__key` that of each screw."""
    table: dict[str, dict[str, object]] = {
        "bulb": {"target_mass": "700 g", "fineness": 5.5, "tail_diameter": "3.5 mm", "skin": "0.2 mm"},
        "alloy": {"grade": "pure"},
        "fin": {
            "tip_chord": "46 mm",
            "tip_thickness": "6 mm",
            "tip_leading_edge_x": "300 mm",
            "tip_z": "-200 mm",
            "pocket_depth": "5 mm",
            "material": "metal",
        },
        "pattern": {"finish": "0.3 mm", "coat": "0.1 mm", "contraction": "0.9 %", "mould_expansion": "0.1 %"},
    }
    screw: dict[str, object] = {
        "diameter": "3 mm",
        "hole_diameter": "3.4 mm",
        "head_diameter": "6 mm",
        "head_height": "2 mm",
        "recess": "6 mm",
        "length": "28 mm",
    }
    for key, value in changes.items():
        section, _, leaf = key.partition("__")
        (screw if section == "screws" else table[section])[leaf] = value
    plan = {**table, "screws": [{"at": at, **screw} for at in ("11 mm", "24 mm")]}
    return run(read_plan_table(plan, source="casting.toml", sha256="0"), offsets)


CORED = {"fin__pocket": "cored", "screws__hole": "cored"}
CASES: dict[str, dict[str, object]] = {
    "nothing cored": {},
    "all cored": CORED,
    "pocket alone cored": {"fin__pocket": "cored"},
    "holes alone cored": {"screws__hole": "cored"},
    "no finish": {**CORED, "pattern__finish": "0 mm"},
    "coat thicker than the finish": {**CORED, "pattern__coat": "0.6 mm"},
    "neither finish nor coat": {"pattern__finish": "0 mm", "pattern__coat": "0 mm"},
    "thick finish, raked": {**CORED, "pattern__finish": "1.5 mm", "fin__rake": "8 deg"},
    "raked forward, flat": {**CORED, "fin__rake": "-12 deg", "bulb__width_to_height": 1.9},
    "high and narrow": {**CORED, "bulb__width_to_height": 0.6, "fin__tip_thickness": "5 mm"},
    "fin on the crown": {**CORED, "fin__pocket_depth": "0 mm"},
    "sharp nose": {**CORED, "bulb__profile": "sears-haack"},
}


def in_bounds(
    volume: float, centroid: np.ndarray, true: float, centre: np.ndarray, error: float, bound: float
) -> None:
    assert volume == pytest.approx(true, rel=bound)
    assert centroid == pytest.approx(centre, abs=error)


@pytest.mark.parametrize("name", CASES)
def test_a_patterns_solid_has_the_volume_and_the_mass_centre_of_the_quadrature(name: str) -> None:
    job = job_for(**CASES[name])
    solid = pattern_solid(job)
    assert closed_faults(solid.mesh.triangles) == 0
    volume, centroid = mesh_volume_and_centroid(solid.mesh.vertices, solid.mesh.triangles)
    in_bounds(volume, centroid, job.pattern.volume, solid.meant.quadrature_centroid, COARSE, COARSE_BOUND)
    low, high = solid.mesh.vertices.min(axis=0), solid.mesh.vertices.max(axis=0)
    # As long, wide and high as plan.json says, within the chord error; a cored pocket may take the top off.
    assert high[0] - low[0] == pytest.approx(job.pattern.length, abs=2.0 * COARSE)
    assert high[1] - low[1] == pytest.approx(job.pattern.width, abs=2.0 * COARSE)
    assert low[0] == pytest.approx(-job.pattern.scale * job.pattern.offset, abs=COARSE)
    if job.plan.fin.pocket == "cut":
        assert high[2] - low[2] == pytest.approx(job.pattern.height, abs=2.0 * COARSE)


@pytest.mark.parametrize("name", ["nothing cored", "raked forward, flat", "sharp nose"])
def test_a_finished_bulbs_solid_has_the_net_lead_of_the_quadrature(name: str) -> None:
    job = job_for(**CASES[name])
    solid = bulb_solid(job)
    assert closed_faults(solid.mesh.triangles) == 0
    volume, centroid = mesh_volume_and_centroid(solid.mesh.vertices, solid.mesh.triangles)
    net = job.bulb.net_lead
    centre = np.array([net.moment_x, 0.0, net.moment_z]) / net.volume
    in_bounds(volume, centroid, net.volume, centre, COARSE, COARSE_BOUND)


def test_a_tenth_of_the_chord_error_brings_bulb_and_pattern_to_a_millionth() -> None:
    job = job_for(**CORED, fin__rake="4 deg", bulb__width_to_height=1.2, pattern__chord_error="0.002 mm")
    for solid, true in (
        (bulb_solid(job), job.bulb.net_lead.volume),
        (pattern_solid(job), job.pattern.volume),
    ):
        assert closed_faults(solid.mesh.triangles) == 0
        volume, centroid = mesh_volume_and_centroid(solid.mesh.vertices, solid.mesh.triangles)
        in_bounds(volume, centroid, true, solid.meant.quadrature_centroid, FINE, FINE_BOUND)


def test_a_bulb_from_a_table_of_ordinates_has_a_solid_of_the_quadratures_volume() -> None:
    # Twenty-six rows: at every one of them the curve bends anew, and the pocket crosses many.
    x = np.array([0, .5, .75, 1.25, 2.5, 5, 7.5, *range(10, 101, 5)]) / 100.0  # fmt: skip
    table = OffsetsTable(
        x=tuple(0.2 * x), r=tuple(0.02 * four_digit().radius(x)), width_to_height=None, source="lines.csv"
    )
    job = job_for(
        offsets=table, bulb__profile="offsets", bulb__offsets="lines.csv", bulb__width_to_height=2.0,
        fin__tip_chord="80 mm", fin__pocket_depth="7 mm", **CORED,
    )  # fmt: skip
    for solid, true in (
        (bulb_solid(job), job.bulb.net_lead.volume),
        (pattern_solid(job), job.pattern.volume),
    ):
        volume, _ = mesh_volume_and_centroid(solid.mesh.vertices, solid.mesh.triangles)
        assert volume == pytest.approx(true, rel=COARSE_BOUND)


def test_cutting_or_coring_the_pocket_changes_the_casting_and_nothing_that_hangs() -> None:
    cut, cored = job_for(), job_for(fin__pocket="cored")
    assert cored.bulb.lines == cut.bulb.lines
    assert (cored.bulb.mass, cored.bulb.nose_x) == (cut.bulb.mass, cut.bulb.nose_x)
    saved = cut.cast.mass - cored.cast.mass
    pocket = cut.bulb.cuts.pocket.volume
    # The pocket's lead, and what stands over it in the finish: at most 0.3 mm of it.
    assert saved > cut.wish.cast_density * pocket
    area = pocket / 0.004
    assert saved < cut.wish.cast_density * (pocket + 0.0003 * 1.2 * area)
    assert cut.cast.cut_later_mass - cored.cast.cut_later_mass == pytest.approx(
        cut.wish.cast_density * pocket, rel=1e-9
    )


def test_no_finish_no_coat_and_no_contraction_make_pattern_and_bulb_one_solid() -> None:
    job = job_for(
        **CORED, pattern__finish="0 mm", pattern__coat="0 mm", pattern__contraction="0 %",
        pattern__mould_expansion="0 %",
    )  # fmt: skip
    bulb, pattern = bulb_solid(job), pattern_solid(job)
    assert pattern.meant.volume == pytest.approx(bulb.meant.volume, rel=1e-9)
    assert job.pattern.volume == pytest.approx(job.bulb.net_lead.volume, rel=1e-13)
    assert math.isclose(job.cast.finish_mass, 0.0, abs_tol=1e-15)


@pytest.mark.parametrize("contraction", ["0.2 %", "3 %"])
def test_pattern_and_cast_body_are_similar_where_nothing_is_coated(contraction: str) -> None:
    job = job_for(**CORED, pattern__coat="0 mm", pattern__contraction=contraction)
    assert job.pattern.volume == pytest.approx(job.pattern.scale**3 * job.cast.volume, rel=1e-13)
    assert job.pattern.length == pytest.approx(job.pattern.scale * job.cast.length, rel=1e-14)
