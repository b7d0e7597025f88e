"""Stability of a whole plan compared with published formulas: wall-sided arms, the rule's sail moment and Froude's law."""

from __future__ import annotations

import json
import math

import numpy as np
import pytest
from plans import command

from bulbcast.sailing.sail import DEFAULT_COEFFICIENT

LENGTH, BEAM, DRAUGHT, FREEBOARD = 1.0, 0.2, 0.05, 0.07
FRESH = 999.10

PLAN = """\
name = "Boxwright"
[water]
kind = "fresh"
[boat]
hull = "box.stl"
unit = "m"
[[weights]]
name = "all of her"
mass = "7 kg"
x = "500 mm"
z = "20 mm"
state = "weighed"
[bulb]
profile = "spheroid"
tail_diameter = "0 mm"
[alloy]
grade = "pure"
[fin]
tip_chord = "80 mm"
tip_thickness = "9 mm"
tip_leading_edge_x = "462 mm"
tip_z = "-250 mm"
root_chord = "80 mm"
root_thickness = "9 mm"
root_leading_edge_x = "462 mm"
root_z = "-50 mm"
density = "1.2 g/cm3"
[rig]
sail_area = "4000 cm2"
effort_z = "600 mm"
full_size = {ratio}
"""


def box() -> str:
    """Box of 1 m by 0.2 m as a text STL, with a draught of 0.05 m."""
    x, y, z = (0.0, LENGTH), (-0.5 * BEAM, 0.5 * BEAM), (-DRAUGHT, FREEBOARD)
    corner = np.array([(a, b, c) for a in x for b in y for c in z])
    faces = ((0, 1, 3, 2), (4, 6, 7, 5), (0, 4, 5, 1), (2, 3, 7, 6), (0, 2, 6, 4), (1, 5, 7, 3))
    lines = ["solid box"]
    for a, b, c, d in faces:
        for three in ((a, b, c), (a, c, d)):
            lines += ["facet normal 0 0 0", "outer loop"]
            lines += [f"vertex {p[0]} {p[1]} {p[2]}" for p in corner[list(three)]]
            lines += ["endloop", "endfacet"]
    return "\n".join([*lines, "endsolid box", ""])


@pytest.fixture(scope="module")
def boat(tmp_path_factory):
    folder = tmp_path_factory.mktemp("box")
    (folder / "box.stl").write_text(box(), encoding="ascii")
    (folder / "plan.toml").write_text(PLAN.replace("{ratio}", "10"), encoding="utf-8")
    done = command("ballast", folder / "plan.toml", "--json")
    assert done.exit_code == 0, done.output
    return json.loads(done.stdout)["boat"]


# Wall-sided formula GZ = sin(heel) (GM + BM / 2 tan^2(heel)), Ship Stability for Masters and Mates. It holds for a box
# with a keel under it too: the wedges are the box's, and BM is the waterplane's second moment over the water that all
# of her displaces. The bilge comes out at atan(2 x 0.05 / 0.2) = 26.6 degrees.
def test_a_box_with_fin_and_bulb_rights_with_the_wall_sided_arm(boat):
    volume = boat["displacement_kg"] / FRESH
    bm = LENGTH * BEAM**3 / 12.0 / volume
    gm = boat["stability"]["metacentric_height_m"]
    assert gm == pytest.approx(boat["metacentric_height_m"], abs=2e-6)
    buoyancy_z = boat["mass_centre_m"]["z"] + gm - bm
    below = volume - LENGTH * BEAM * DRAUGHT
    # The combined centre of buoyancy: the box's at half her draught, and fin and bulb below.
    assert buoyancy_z < (LENGTH * BEAM * DRAUGHT * -0.5 * DRAUGHT + below * -DRAUGHT) / volume
    for row in boat["stability"]["righting_arms"][1:6]:
        heel = row["heel_rad"]
        wanted = math.sin(heel) * (gm + 0.5 * bm * math.tan(heel) ** 2)
        assert row["arm_m"] == pytest.approx(wanted, abs=2e-7)
    # Beyond the bilge the formula tells too much.
    row = boat["stability"]["righting_arms"][6]
    wanted = math.sin(row["heel_rad"]) * (gm + 0.5 * bm * math.tan(row["heel_rad"]) ** 2)
    assert row["arm_m"] < wanted - 1e-5


def test_she_floats_on_her_line_and_heels_without_trim(boat):
    stability = boat["stability"]
    assert stability["upright_sinkage_m"] == pytest.approx(0.0, abs=1e-7)
    for row in stability["righting_arms"][:6]:
        # The bulb's mass centre stands where she is level: the box's wedges have no moment lengthways.
        assert row["trim_rad"] == pytest.approx(0.0, abs=2e-6)


# The rule's upright sailing moment, 0.75 v^2 A h with v in m/s (ISO 12217-2, from memory), is a side-force coefficient of
# 1.22 in standard air: 0.75 / (1/2 1.225).
def test_the_default_coefficient_is_near_that_of_the_small_craft_rule(boat):
    implied = 0.75 / (0.5 * 1.225)
    assert implied == pytest.approx(1.22, abs=0.005)
    assert pytest.approx(implied, rel=0.025) == DEFAULT_COEFFICIENT
    wind = boat["wind"]
    assert wind["force_coefficient"] == DEFAULT_COEFFICIENT
    # At 20 degrees the moment is hers, by the rule's own product.
    at_20 = wind["winds_for_heels"][0]
    moment = (
        0.5
        * 1.225
        * 1.2
        * at_20["wind_m_s"] ** 2
        * 0.4
        * wind["heeling_arm_m"]
        * math.cos(at_20["heel_rad"]) ** 2
    )
    arm = boat["stability"]["righting_arms"][4]["arm_m"]
    assert moment == pytest.approx(boat["total_mass_kg"] * 9.80665 * arm, rel=1e-6)


# Froude: areas by the square, masses by the cube, speeds by the root of the length. In the same wind the heeling moment
# over the righting one goes as one over the length (derived; W. Froude's law of comparison, classical).
def test_the_comparison_with_full_size_is_froudes(boat):
    scale = boat["scale"]
    here, same, scaled = scale["here"], scale["same_wind"], scale["scaled_wind"]
    assert same["mass_kg"] == pytest.approx(1000.0 * here["mass_kg"], rel=1e-12)
    assert same["speed_m_s"] == pytest.approx(math.sqrt(10.0) * here["speed_m_s"], rel=1e-12)
    assert scaled["wind_m_s"] == pytest.approx(math.sqrt(10.0) * here["wind_m_s"], rel=1e-12)
    assert scaled["heel_rad"] == pytest.approx(here["heel_rad"], rel=1e-12)
    # Her righting arm at each heel is the wall-sided one, below the bilge's 26.6 degrees; between the angles that are
    # calculated it is interpolated.
    gm, bm = boat["metacentric_height_m"], LENGTH * BEAM**3 / 12.0 / (boat["displacement_kg"] / FRESH)
    heels = (here["heel_rad"], same["heel_rad"])
    assert max(heels) < math.atan(2.0 * DRAUGHT / BEAM)
    arms = [math.sin(heel) * (gm + 0.5 * bm * math.tan(heel) ** 2) for heel in heels]
    tender = [arm / math.cos(heel) ** 2 for arm, heel in zip(arms, heels, strict=True)]
    assert tender[0] / tender[1] == pytest.approx(10.0, rel=1e-3)


# Speed of a wave as long as the waterline: 1.2493105389 sqrt(L) in metres and seconds (deep-water wave, classical).
def test_hull_speed_is_the_waves(boat):
    assert boat["leeway"]["hull_speed_m_s"] == pytest.approx(1.2493105389, rel=1e-10)
