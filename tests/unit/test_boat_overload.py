"""The hold on a bulb too heavy for the boat's waterline: figures calculated by hand, and every fix typed as shown."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from plans import command

from bulbcast.ballast.overload import deeper_for_same_moment
from bulbcast.ballast.target import BulbAfloat

WATER = 999.10
HEAVY = """\
[bulb]
target_mass = "2.9 kg"
[boat]
displacement = "4.2 kg"
buoyancy_x = "470 mm"
waterplane_area = "1400 cm2"
freeboard = "60 mm"
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


def said(folder: Path, text: str, *changes: tuple[str, str]) -> dict[str, Any]:
    for old, new in changes:
        assert old in text
        text = text.replace(old, new, 1)
    path = folder / "plan.toml"
    path.write_text(text, encoding="utf-8")
    done = command("plan", path, "--json")
    assert done.exit_code in (0, 3), done.output
    return json.loads(done.stdout)


def overload(found: dict[str, Any]) -> dict[str, Any] | None:
    return next((one for one in found["findings"] if one["code"] == "overloaded"), None)


def test_an_overload_withholds_melt_and_pour_and_says_how_she_lies(tmp_path: Path) -> None:
    found = said(tmp_path, HEAVY)
    held = overload(found)
    assert held is not None
    assert (held["severity"], held["withholds"]) == ("hold", ["melt", "pour"])
    assert found["melt"]["charge_kg"] is None
    assert held["limit"] == pytest.approx(4.2 - 1.74, abs=1e-6)
    # Too much is 2900 less what her line carries with the larger bulb's own water; over 1400 cm2 that is her sinkage.
    over = found["boat"]["too_heavy_kg"]
    assert over == pytest.approx((2.9 - 2.46) * (1.0 - WATER / (11340.0 * 0.99)), rel=5e-3)
    assert found["boat"]["sinkage_m"] == pytest.approx(over / (WATER * 0.14), rel=1e-9)
    assert found["boat"]["freeboard"]["least_left_m"] == pytest.approx(
        0.060 - over / (WATER * 0.14), rel=1e-9
    )
    assert "mass-imposed" not in {one["code"] for one in found["findings"]}


@pytest.mark.parametrize("units", ["metric", "imperial"])
def test_each_way_out_typed_as_shown_lifts_the_hold(tmp_path: Path, units: str) -> None:
    text = f'display_units = "{units}"\n' + HEAVY
    held = overload(said(tmp_path, text))
    assert held is not None
    ways: dict[int, dict[str, str]] = {}
    for line in held["fix"]:
        ways.setdefault(line["way"], {})[line["key"]] = line["value"]
    assert [sorted(way) for way in ways.values()] == [
        ["bulb.target_mass"],
        ["bulb.target_mass", "fin.tip_z"],
        ["boat.accept_sinkage"],
    ]
    for way in ways.values():
        changes = []
        for key, value in way.items():
            leaf = key.partition(".")[2]
            old = next((one for one in text.splitlines() if one.startswith(f"{leaf} =")), None)
            changes.append((old, f"{leaf} = {value}") if old else ("[boat]", f"[boat]\n{leaf} = {value}"))
        found = said(tmp_path, text, *changes)
        assert overload(found) is None, way
        assert found["melt"]["charge_kg"] is not None


def test_a_sinkage_less_than_hers_does_not_lift_it_and_without_a_mass_it_is_refused(tmp_path: Path) -> None:
    assert overload(said(tmp_path, HEAVY, ("[boat]", '[boat]\naccept_sinkage = "1 mm"'))) is not None
    path = tmp_path / "plan.toml"
    path.write_text(
        HEAVY.replace('target_mass = "2.9 kg"\n', "").replace("[boat]", '[boat]\naccept_sinkage = "9 mm"')
    )
    done = command("ballast", path)
    assert done.exit_code == 2
    assert "boat.accept_sinkage: read accept_sinkage without bulb.target_mass" in done.stderr


def test_a_twentieth_of_her_displacement_is_a_choice_and_no_overload(tmp_path: Path) -> None:
    found = said(tmp_path, HEAVY, ('"2.9 kg"', '"2.6 kg"'))
    assert overload(found) is None
    assert "mass-imposed" in {one["code"] for one in found["findings"]}


def test_the_lighter_bulb_so_much_deeper_rights_a_box_as_the_heavy_one_does() -> None:
    # A box of 900 by 155 mm, her other weights 1.7 kg at 20 mm up. Righting moment at small angles by the textbook's
    # displacement times KB + BM - KG, each at its own draught.
    length, beam, others, up = 0.9, 0.155, 1.7, 0.02
    density = 11000.0

    def moment(mass: float, z: float, line: float) -> float:
        volume = mass / density
        box = (others + mass) / WATER - volume
        draught = box / (length * beam)
        # Heights from the design line, which lies `line` above the box's bottom.
        buoyancy = (box * (draught / 2.0 - line) + volume * z) / (box + volume)
        inertia = length * beam**3 / 12.0
        centre = (others * up + mass * z) / (others + mass)
        return (others + mass) * (buoyancy + inertia / (box + volume) - centre)

    heavy, light, z = 2.9, 2.5, -0.35
    line = ((others + light) / WATER - light / density) / (length * beam)

    def afloat(mass: float) -> BulbAfloat:
        return BulbAfloat(mass=mass, x=0.45, volume=mass / density, volume_x=0.45)

    deeper = deeper_for_same_moment(afloat(heavy), z, afloat(light), water_density=WATER)
    assert deeper == pytest.approx(0.35 * (heavy / light - 1.0), rel=1e-12)
    # Left over is the slab of water between the two waterlines, half its height up.
    sinkage = (heavy - light) * (1.0 - WATER / density) / (WATER * length * beam)
    slab = WATER * length * beam * sinkage**2 / 2.0
    assert moment(heavy, z, line) - moment(light, z - deeper, line) == pytest.approx(slab, rel=1e-9)


def test_the_largest_bulb_is_not_a_gram_less_than_its_own_mass(tmp_path: Path) -> None:
    # By hand: 4200 - 1500 - 240 = 2460 g; the search ends a millionth of a gram below it or above.
    held = overload(said(tmp_path, HEAVY))
    assert held is not None
    assert 'target_mass = "2460.0 g"' in held["remedy"]
