"""Mistakes planted in sound plans are reported, without false alarms; a selection from tests/benchmarks/slips.py."""

from __future__ import annotations

import random
import sys
from pathlib import Path

import pytest
from plans import command

sys.path.insert(0, str(Path(__file__).parents[1] / "benchmarks"))
import slips
import slips_unseen

NOTES = """\
[boat]
displacement = "4.2 kg"
waterline_length = "900 mm"
[[weights]]
name = "hull and deck"
mass = "790 g"
[[weights]]
name = "battery"
mass = "{battery}"
[[weights]]
name = "{name}"
mass = "330 g"
[alloy]
grade = "pure"
[fin]
mass = "240 g"
tip_chord = "70 mm"
tip_thickness = "8 mm"
pocket_depth = "6 mm"
"""


def said(folder: Path, battery: str = "120 g", name: str = "rig", change: tuple[str, str] = ("", "")) -> str:
    path = folder / "plan.toml"
    path.write_text(NOTES.format(battery=battery, name=name).replace(*change, 1), encoding="utf-8")
    done = command("ballast", path)
    return " ".join((done.stdout + done.stderr).split())


def test_of_forty_seeded_slips_nineteen_of_twenty_are_reported() -> None:
    found = [slips.is_reported(one) for one in slips.seeded(40)]
    assert sum(found) >= 38


def test_of_a_hundred_sound_plans_at_most_two_are_accused() -> None:
    assert len(slips.accused(100)) <= 2


def test_of_boats_not_seen_before_nineteen_of_twenty_slips_are_reported_and_few_are_accused() -> None:
    # A selection from slips_unseen.py, with its own seed.
    assert len(slips_unseen.missed(slips_unseen.seeded(40, seed=31))) <= 2
    assert len(slips_unseen.accused(100, seed=32)) <= 2


@pytest.mark.parametrize("kind", slips.SLIPS, ids=lambda one: one.__name__)
def test_each_seed_changes_a_sound_plan(kind) -> None:
    plan = slips.sound(random.Random(3))
    before = str(plan)
    made = kind(random.Random(3), plan)
    assert made is None or str(made[1]) != before


def test_a_sound_plan_is_not_accused(tmp_path: Path) -> None:
    text = said(tmp_path)
    assert "doubtful" not in text
    assert "twice" not in text


def test_ounces_for_grams_are_named_with_what_to_write(tmp_path: Path) -> None:
    text = said(tmp_path, battery="120 oz")
    assert 'weights[2].mass: read "battery" of 3401.9 g' in text
    assert "If you typed ounces for grams, the mass is 120.0 g" in text
    # The bulb's length is not what is wrong.
    assert "bulb.length" not in text
    assert (
        "boat.displacement: read figures for the boat and the weights that leave nothing for a bulb" in text
    )


def test_a_displacement_that_the_weights_make_absurd_is_named_at_its_key(tmp_path: Path) -> None:
    assert "CAUTION boat.displacement (displacement-doubtful)" in said(tmp_path, change=("4.2 kg", "42 kg"))


def test_a_line_typed_twice_is_named_whatever_its_capitals(tmp_path: Path) -> None:
    text = said(tmp_path, battery="331 g", name="BATTERY ")
    assert "CAUTION weights[3] (weight-twice)" in text
    # Another mass of the same name is another thing.
    assert "weight-twice" not in said(tmp_path, battery="120 g", name="BATTERY ")


def test_sea_water_against_fresh_that_was_only_taken(tmp_path: Path) -> None:
    sea = ("[boat]", '[boat]\ndisplacement_water = "1026 kg/m3"')
    assert "CAUTION water.kind (water-differs)" in said(tmp_path, change=sea)
    typed = ("[boat]", '[water]\nkind = "fresh"\n[boat]\ndisplacement_water = "1026 kg/m3"')
    assert "water-differs" not in said(tmp_path, change=typed)


@pytest.mark.parametrize(
    ("figures", "key"),
    [
        # 4.2 kg is a cube with an edge of 161 mm: a waterline of 11 mm is none of hers, nor is a square centimetre.
        ('waterline_length = "11 mm"', "boat.waterline_length"),
        ('waterline_length = "900 mm"\nwaterplane_area = "1 cm2"', "boat.waterplane_area"),
        ('waterplane_area = "1 cm2"', "boat.waterplane_area"),
        ('waterplane_area = "140 in2"\nwaterline_length = "90 in"', "boat.waterplane_area"),
    ],
)
def test_absurd_figures_of_the_waterplane_are_doubted_without_a_beam(
    tmp_path: Path, figures: str, key: str
) -> None:
    assert f"CAUTION {key} (waterplane-unlikely)" in said(
        tmp_path, change=('waterline_length = "900 mm"', figures)
    )


def test_the_wrong_end_is_found_out_where_the_fin_is_known_by_its_tip_alone(tmp_path: Path) -> None:
    # All but the bulb 1.48 kg at 300 mm from the stern, so 600 from the bow: the bulb balances at
    # (4.2 . 0.46 - 1.48 . 0.6) / 2.72 = 0.384, and typed from the stern at 0.547, over 90 mm off the tip.
    places = [(' g"\n[[weights]]', f' g"\nx = "{x} mm"\n[[weights]]') for x in (300, 300)]
    text = NOTES.format(battery="120 g", name="rig")
    for old, new in places:
        text = text.replace(old, new, 1)
    text = text.replace('mass = "330 g"', 'mass = "330 g"\nx = "300 mm"')
    text = text.replace("[boat]", '[boat]\nbuoyancy_x = "460 mm"', 1)
    text = text.replace("[fin]", '[fin]\ntip_leading_edge_x = "356 mm"')
    path = tmp_path / "plan.toml"
    path.write_text(text, encoding="utf-8")
    assert "CAUTION weights (x-from-wrong-end)" in " ".join(command("ballast", path).stdout.split())
