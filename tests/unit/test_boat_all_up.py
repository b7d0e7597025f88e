"""Displacement given only as a total, and weights without positions: the results still possible, checked by hand."""

from __future__ import annotations

import json
import math
from pathlib import Path
from typing import Any

import pytest
from plans import command

WATER = 999.10
NOTES = """\
[boat]
displacement = "4.2 kg"
[[weights]]
name = "hull and deck"
mass = "790 g"
[[weights]]
name = "rig and sails"
mass = "330 g"
state = "weighed"
[[weights]]
name = "battery"
mass = "120 g"
x = "unknown"
z = "unknown"
[[weights]]
name = "fin and rudder"
mass = "320 g"
[alloy]
grade = "pure"
[fin]
tip_chord = "70 mm"
tip_thickness = "8 mm"
pocket_depth = "6 mm"
"""
PLACED = """\
[boat]
displacement = "4.2 kg"
buoyancy_x = "470 mm"
[[weights]]
name = "all but fin and bulb"
mass = "1.5 kg"
x = "455 mm"
z = "30 mm"
state = "weighed"
[alloy]
grade = "pure"
[fin]
mass = "240 g"
tip_chord = "70 mm"
tip_thickness = "7 mm"
tip_leading_edge_x = "450 mm"
tip_z = "-330 mm"
root_chord = "90 mm"
root_thickness = "9 mm"
root_leading_edge_x = "435 mm"
root_z = "-40 mm"
pocket_depth = "6 mm"
"""


def boat_of(folder: Path, text: str, *changes: tuple[str, str]) -> dict[str, Any]:
    for old, new in changes:
        assert old in text
        text = text.replace(old, new, 1)
    path = folder / "plan.toml"
    path.write_text(text, encoding="utf-8")
    done = command("ballast", path, "--json")
    assert done.exit_code in (0, 3), done.output
    return {**json.loads(done.stdout), "text": command("ballast", path).stdout}


def test_masses_and_a_displacement_alone_give_the_bulb(tmp_path: Path) -> None:
    found = boat_of(tmp_path, NOTES)
    # 4200 - (790 + 330 + 120 + 320) = 2640 g: the bulb's own water is in the 4200.
    assert found["boat"]["target"]["mass_kg"] == pytest.approx(2.640, rel=1e-9)
    assert found["boat"]["displacement_kg"] == pytest.approx(4.2, rel=1e-9)
    assert found["boat"]["reach"]["wanted_x_m"] is None
    assert "known to 0" not in found["text"]
    needs = {one["what"]: one["needs"] for one in found["boat"]["left_open"]}
    assert needs["How far an added mass sinks her"] == ["boat.waterplane_area"]
    place = needs["Where the bulb must hang for level trim"]
    assert place[0] == "boat.buoyancy_x"
    assert place[-1] == 'x of "hull and deck", "rig and sails", "battery" and 1 more'
    codes = {one["code"]: one["severity"] for one in found["findings"]}
    assert codes["place-not-known"] == "note"
    assert "stop" not in codes.values()


def test_the_water_that_she_was_drawn_for_counts(tmp_path: Path) -> None:
    found = boat_of(tmp_path, NOTES, ('"4.2 kg"', '"4.2 kg"\ndisplacement_water = "1026 kg/m3"'))
    # The same volume carries less in fresh water: 4200 * 999.10 / 1026 - 1560.
    assert found["boat"]["target"]["mass_kg"] == pytest.approx(4.2 * WATER / 1026.0 - 1.560, rel=1e-9)


def test_a_reserve_is_a_line_of_the_list(tmp_path: Path) -> None:
    found = boat_of(tmp_path, NOTES, ('"4.2 kg"', '"4.2 kg"\nreserve = "60 g"'))
    assert found["boat"]["target"]["mass_kg"] == pytest.approx(2.580, rel=1e-9)
    line = found["boat"]["weights"][-1]
    assert (line["name"], line["state"], line["mass_kg"]) == ("reserve", "to come", pytest.approx(0.060))


def test_with_places_the_bulb_levels_her_by_moments_about_the_bow(tmp_path: Path) -> None:
    found = boat_of(tmp_path, PLACED)
    boat = found["boat"]
    mass = boat["target"]["mass_kg"]
    assert mass == pytest.approx(4.2 - 1.5 - 0.24, rel=1e-9)
    # Moments about x = 0 by hand: what weighs, and the water of hull, fin and bulb, which is 4.2 kg in all.
    fin, bulb_x = boat["fin"], boat["bulb_displacement_x_m"]
    hull = boat["hull"]["displaced_volume_m3"]
    volume = 4.2 / WATER
    bulb = volume - hull - fin["volume_m3"]
    # The bulb is 2.46 kg of lead of 11.34 less 1 % pores; its pocket is filled by fin and bedding.
    assert bulb == pytest.approx(2.46 / (11340.0 * 0.99), rel=0.03)
    water = WATER * (hull * 0.470 + fin["volume_m3"] * fin["volume_centre_x_m"] + bulb * bulb_x)
    weights = 1.5 * 0.455 + 0.24 * fin["volume_centre_x_m"]
    assert boat["reach"]["wanted_x_m"] == pytest.approx((water - weights) / mass, abs=1e-6)


def test_the_same_boat_by_her_hull_alone_is_the_same_boat(tmp_path: Path) -> None:
    by_all = boat_of(tmp_path, PLACED)["boat"]
    hull = f"{by_all['hull']['displaced_volume_m3'] * WATER * 1e3:.9f} g"
    by_hull = boat_of(tmp_path, PLACED, ('displacement = "4.2 kg"', f'hull_displacement = "{hull}"'))["boat"]
    for one in ("displacement_kg", "total_mass_kg", "ballast_ratio"):
        assert by_hull[one] == pytest.approx(by_all[one], rel=1e-9)
    assert by_hull["reach"]["wanted_x_m"] == pytest.approx(by_all["reach"]["wanted_x_m"], abs=1e-8)


def test_all_up_typed_as_the_hulls_own_says_what_the_bulb_would_be(tmp_path: Path) -> None:
    found = boat_of(tmp_path, PLACED, ("displacement =", "hull_displacement ="))
    (note,) = [one for one in found["findings"] if one["code"] == "displacement-of-hull-alone"]
    assert note["found"] == pytest.approx(found["boat"]["target"]["mass_kg"])
    assert note["limit"] == pytest.approx(4.2 - 1.74)
    assert note["found"] - note["limit"] > 0.3


@pytest.mark.parametrize(("all_up", "reported"), [("4.42 kg", False), ("4.9 kg", True)])
def test_all_up_is_held_against_hull_fin_and_bulb(tmp_path: Path, all_up: str, reported: bool) -> None:
    change = ('displacement = "4.2 kg"', f'hull_displacement = "4.08 kg"\ndisplacement = "{all_up}"')
    found = boat_of(tmp_path, PLACED, change)
    assert found["boat"]["displacement_kg"] == pytest.approx(4.42, abs=0.03)
    assert ("all-up-differs" in {one["code"] for one in found["findings"]}) == reported


@pytest.mark.parametrize(
    ("change", "message"),
    [
        (
            ('displacement = "4.2 kg"', 'displacement = "4.2 kg"\nunit = "mm"'),
            "boat.unit: read unit with displacement; expected unit only with hull.",
        ),
        (
            ('x = "unknown"', 'movable_forward_to = "200 mm"\nmovable_aft_to = "300 mm"'),
            "weights[3].movable_forward_to: read movable_forward_to without the weight's x;",
        ),
        (
            ("pocket_depth", 'root_chord = "90 mm"\npocket_depth'),
            "fin.root_z: read nothing; expected a length from -50 m to 50 m, which a fin from hull to tip needs.",
        ),
        (
            ('displacement = "4.2 kg"', 'waterplane_area = "1400 cm2"'),
            "[boat]: read no hull; expected exactly one of hull, offsets and hull_displacement. Add, for example, "
            'displacement = "4.2 kg"',
        ),
        (
            ('displacement = "4.2 kg"', 'displacement = "1.5 kg"'),
            "boat.displacement: read figures for the boat and the weights that leave nothing for a bulb;",
        ),
    ],
)
def test_what_would_be_ignored_or_cannot_be_is_refused(
    tmp_path: Path, change: tuple[str, str], message: str
) -> None:
    path = tmp_path / "plan.toml"
    assert change[0] in NOTES
    path.write_text(NOTES.replace(*change, 1), encoding="utf-8")
    done = command("ballast", path)
    assert done.exit_code == 2
    assert message in done.stderr


ESTIMATED = """\
[boat]
displacement = "4.2 kg"
waterplane_area = "1400 cm2"
waterline_length = "900 mm"
waterplane_shape = "narrow-stern"
[[weights]]
name = "all but the bulb"
mass = "1.7 kg"
[alloy]
grade = "pure"
[fin]
tip_chord = "70 mm"
tip_thickness = "8 mm"
pocket_depth = "6 mm"
"""


def test_area_and_length_estimate_what_trims_her(tmp_path: Path) -> None:
    found = boat_of(tmp_path, ESTIMATED)
    boat = found["boat"]
    # By hand: 1400 cm2 of water 1 mm deep; BM = 0.0559 A L^2 / V of the hull.
    assert boat["mass_per_mm_kg"] == pytest.approx(0.14 * WATER * 1e-3, rel=1e-9)
    volume = boat["hull"]["displaced_volume_m3"]
    radius = 0.0559 * 0.14 * 0.81 / volume
    assert boat["hull"]["metacentric_radius_along_m"] == pytest.approx(radius, rel=1e-9)
    # GM = BM of all her volume and B's level less G's, which no weight tells: a tenth of her length down.
    per_mm = boat["moment_per_mm_trim_kg_m"]
    gm = per_mm * 1e3 * 0.9 / 4.2
    assert gm == pytest.approx(radius * volume * WATER / 4.2, rel=0.1)
    # 0.22 of the waterplane, and twice 0.08 of her length of where the mass centre lies, over BM.
    band = 100.0 * math.hypot(0.22, 2.0 * 0.08 * 0.9 / radius)
    assert f"estimated to within {band:.1f} %" in " ".join(found["text"].split())
    beam = boat_of(tmp_path, ESTIMATED, ("waterline_length", 'waterline_beam = "220 mm"\nwaterline_length'))
    # The beam is used where it is known: 0.0063 + 0.0702 A / (L B), within 0.16.
    fuller = (
        (0.0063 + 0.0702 * 0.14 / (0.9 * 0.22)) * 0.14 * 0.81 / beam["boat"]["hull"]["displaced_volume_m3"]
    )
    assert beam["boat"]["hull"]["metacentric_radius_along_m"] == pytest.approx(fuller, rel=1e-9)
    assert f"estimated to within {100.0 * math.hypot(0.16, 0.144 / fuller):.1f} %" in " ".join(
        beam["text"].split()
    )
    said = command("float", tmp_path / "plan.toml", "--bow", "-4 mm", "--stern", "2 mm", "--no-record")
    assert said.exit_code == 0, said.output
    assert "trims 6.00 mm by the stern" in " ".join(said.stdout.split())


def test_without_the_word_the_band_is_wider_and_area_alone_gives_sinkage(tmp_path: Path) -> None:
    word = 'waterplane_shape = "narrow-stern"\n'
    assert "estimated to within 27" in boat_of(tmp_path, ESTIMATED, (word, ""))["text"]
    alone = boat_of(tmp_path, ESTIMATED, (word, ""), ('waterline_length = "900 mm"\n', ""))
    assert alone["boat"]["mass_per_mm_kg"] == pytest.approx(0.14 * WATER * 1e-3, rel=1e-9)
    assert alone["boat"]["moment_per_mm_trim_kg_m"] is None
    needs = {one["what"]: one["needs"] for one in alone["boat"]["left_open"]}
    assert needs["How far a moved weight trims her"][0] == "boat.waterline_length"


def test_a_boat_without_a_hull_is_given_examples_in_the_units_of_the_plan(tmp_path: Path) -> None:
    plan = tmp_path / "plan.toml"
    plan.write_text('display_units = "imperial"\n[boat]\nwaterplane_area = "75 sq in"\n', encoding="utf-8")
    said = command("ballast", plan).stderr
    assert 'Add, for example, displacement = "9 lb 4 oz" (all up' in said
    assert 'hull_displacement = "8 lb 10 oz" (the hull alone)' in said
