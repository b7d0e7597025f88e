"""The file bulb.step, read by gmsh, compared with plan.json.

The file is written with OCP, Python bindings for the OpenCASCADE kernel. gmsh includes its own build of OpenCASCADE, so
the reader is a different program of the same family. The quadrature, which shares nothing with either, checks that the
solid is the bulb.
"""

from __future__ import annotations

import json

import gmsh
import numpy as np
import pytest
from plans import EXAMPLES, command, example_text


@pytest.fixture(scope="module", params=["fenwisp", "puddlejack", "saltmarrow", "osierling"])
def bundle(request, tmp_path_factory):
    """Bundles of round and flattened bulbs, upright and raked, with screws, and in two halves with cross pins."""
    out = tmp_path_factory.mktemp("step") / request.param
    done = command("plan", EXAMPLES / f"{request.param}.toml", "--out", out, "--step")
    assert done.exit_code == 0, done.output
    assert "Statistics" not in done.output
    return out


def test_gmsh_reads_one_solid_of_plan_jsons_volume_place_and_size(bundle):
    plan = json.loads((bundle / "plan.json").read_text("utf-8"))
    gmsh.initialize(readConfigFiles=False, interruptible=False)
    try:
        gmsh.option.setNumber("General.Terminal", 0)
        gmsh.option.setString("Geometry.OCCTargetUnit", "MM")
        solids = [one for one in gmsh.model.occ.importShapes(str(bundle / "bulb.step")) if one[0] == 3]
        gmsh.model.occ.synchronize()
        volumes = [gmsh.model.occ.getMass(*one) for one in solids]
        centres = [np.array(gmsh.model.occ.getCenterOfMass(*one)) for one in solids]
        boxes = np.array([gmsh.model.getBoundingBox(*one) for one in solids])
    finally:
        gmsh.finalize()
    volume = sum(volumes)
    assert volume * 1e-9 == pytest.approx(plan["bulb"]["net_lead_volume_m3"], rel=2e-6)
    listed = next(one for one in plan["files"] if one["path"] == "bulb.step")
    assert listed["kind"] == "bulb solid"
    assert volume * 1e-9 == pytest.approx(listed["volume_m3"], rel=2e-6)
    centre = sum(v * c for v, c in zip(volumes, centres, strict=True)) / volume
    wanted = np.array([listed["mass_centre_m"][axis] for axis in "xyz"])
    assert centre * 1e-3 == pytest.approx(wanted, abs=2e-6)
    low, high = boxes[:, :3].min(axis=0), boxes[:, 3:].max(axis=0)
    # The kernel's boxes are of control points and a little larger than the surface.
    assert high[0] - low[0] == pytest.approx(1e3 * plan["bulb"]["length_m"], rel=0.02)
    assert high[1] - low[1] == pytest.approx(1e3 * plan["bulb"]["width_m"], rel=0.02)


def test_the_file_is_ap214_in_millimetres_and_holds_no_clock(bundle):
    text = (bundle / "bulb.step").read_text("ascii")
    assert "FILE_SCHEMA(('AUTOMOTIVE_DESIGN" in text
    assert "SI_UNIT(.MILLI.,.METRE.)" in text
    name = bundle.name.capitalize()
    assert f"FILE_NAME('{name}, finished bulb','',(''),(''),'','bulbcast','');" in text
    assert "PRODUCT('bulb','bulb'" in text
    # Boundary of curves that are reported as such, no net of triangles.
    assert "B_SPLINE_CURVE_WITH_KNOTS" in text
    assert "CYLINDRICAL_SURFACE" in text


def test_the_same_plan_gives_the_same_file(bundle, example_job):
    from bulbcast.bundle.step import step_file

    assert step_file(example_job(bundle.name)).content == (bundle / "bulb.step").read_bytes()


def test_a_bulb_from_a_table_of_ordinates_stands_the_read_back(tmp_path):
    """The table's curvature jumps at its knots, which makes the kernel's integrals over long splines inaccurate."""
    from bulbcast.bundle.step import step_file
    from bulbcast.files.plan_file import load_plan
    from bulbcast.job import run

    # A spheroid of 200 mm by 40 mm at sixteen places, rounded as a builder measures.
    x = 100.0 * (1.0 - np.cos(np.linspace(0.0, np.pi, 17)))
    r = 20.0 * np.sqrt(np.maximum(1.0 - ((x - 100.0) / 100.0) ** 2, 0.0))
    rows = "\n".join(f"{place:.1f},{max(radius, 0.0):.1f}" for place, radius in zip(x, r, strict=True))
    (tmp_path / "table.csv").write_text(f"x_mm,r_mm\n{rows}\n", "utf-8")
    text = example_text("fenwisp")
    text = text.replace('profile = "naca4"', 'profile = "offsets"\noffsets = "table.csv"')
    (tmp_path / "table.toml").write_text(text, "utf-8")
    job = run(*load_plan(tmp_path / "table.toml"))
    volume = step_file(job).volume
    assert volume is not None
    assert volume == pytest.approx(job.bulb.net_lead.volume, rel=2e-6)
