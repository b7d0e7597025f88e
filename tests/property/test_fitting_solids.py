"""Pins, studs and blades through the bulb: cut solids compared with the quadrature, even if a finding says stop."""

from __future__ import annotations

import numpy as np
import pytest

from bulbcast.job import run
from bulbcast.pattern.solids import bulb_solid, pattern_solid
from bulbcast.plan.reading import read_plan_table
from bulbcast.solids.kernel import closed_faults
from bulbcast.solids.mesh import mesh_volume_and_centroid


def random_job(seed):
    draw = np.random.default_rng(seed)
    through = seed % 3 == 0
    fin = {
        "tip_chord": f"{draw.uniform(55, 80):.1f} mm",
        "tip_thickness": f"{draw.uniform(5, 9):.1f} mm",
        "rake": f"{draw.uniform(-12, 12):.1f} deg",
        "pocket": str(draw.choice(["cut", "cored"])),
        "pocket_clearance": f"{draw.uniform(0, 0.6):.2f} mm",
    }
    if through:
        fin |= {"joint": "through", "bond_line": "0.3 mm"}
    else:
        fin["pocket_depth"] = f"{draw.uniform(4, 26):.1f} mm"
    halves = seed % 3 == 1
    if halves:
        fin["bond_line"] = "0.2 mm"
    table = {
        "bulb": {
            "target_mass": f"{draw.uniform(1.5, 4):.3f} kg",
            "fineness": float(round(draw.uniform(4, 8), 2)),
            "width_to_height": float(round(draw.uniform(0.8, 1.4), 2)),
            "skin": "0.2 mm",
        },
        "alloy": {"grade": "pure"},
        "fin": fin,
        # Placed without care: into the crown, past the chord, through one another.
        "cross_pins": [
            {
                "at": f"{draw.uniform(5, 65):.1f} mm",
                "height": f"{draw.uniform(-25 if halves else 1, 30):.1f} mm",
                "diameter": "3 mm",
                "hole_diameter": f"{draw.uniform(3, 4):.2f} mm",
                "length": f"{draw.uniform(10, 60):.1f} mm",
            }
            for _ in range(int(draw.integers(1, 3)))
        ],
    }
    if not through:
        table["studs"] = [
            {
                "at": f"{draw.uniform(10, 60):.1f} mm",
                "diameter": "5 mm",
                "bore": "3 mm",
                "below": f"{draw.uniform(2, 40):.1f} mm",
                "above": f"{draw.uniform(0, 25):.1f} mm",
            }
        ]
    if halves:
        table["mould"] = {"material": "plaster", "kind": "open-halves", "drying": "air"}
    return run(read_plan_table(table, source="plan.toml", sha256="0" * 64))


@pytest.mark.parametrize("seed", range(24))
def test_the_solid_with_pins_and_studs_has_the_volume_and_mass_centre_of_the_quadrature(seed):
    job = random_job(seed)
    assert job.bulb.mass == pytest.approx(job.wish.target_mass, rel=1e-10)
    solids = [bulb_solid(job)] if job.stopped else [bulb_solid(job), pattern_solid(job)]
    for solid in solids:
        assert closed_faults(solid.mesh.triangles) == 0
        volume, centroid = mesh_volume_and_centroid(solid.mesh.vertices, solid.mesh.triangles)
        assert volume == pytest.approx(solid.meant.quadrature_volume, rel=2e-5)
        assert centroid == pytest.approx(solid.meant.quadrature_centroid, abs=2e-5)
