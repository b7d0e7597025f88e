"""Measured samples are kept, clean metal is not treated as dirty, fuel covers every filling, and limits apply to lifting."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import pytest
from plans import command

from bulbcast.foundry.melt.charge import LIFTED_ALONE, PIECE_TO_BE_HOISTED
from bulbcast.foundry.melt.scrap_rules import check_sample
from bulbcast.plan.bulb_sections import WeighedSample
from bulbcast.quantities import Dimension, Shown, read_quantity
from bulbcast.quantities.typed import mass_down, round_mass

PLAN = """\
name = "Trial"
[bulb]
target_mass = "{mass}"
fineness = 6.0
[alloy]
{alloy}
[fin]
material = "metal"
tip_chord = "72 mm"
tip_thickness = "8 mm"
"""
MOULD = '[mould]\nmaterial = "plaster"\ndrying = "{drying}"\n'
# 2 kg that lose 184.1 g in water of 20 degC: 10.832 g/cm3 with the air's lift taken out.
SAMPLE = 'weighed = {in_air = "2000 g", in_water = "1815.9 g", reading_spread = "0.5 g"}'
BURNER = '[pot]\ncapacity = "0.6 l"\nmaterial = "cast-iron"\nmass = "2 kg"\n[burner]\npower = "3 kW"\n'


def plan_of(alloy: str = 'grade = "sheet"', more: str = "", mass: str = "2.45 kg") -> str:
    return PLAN.format(mass=mass, alloy=alloy) + more


def scrap(kind: str, more: str = "", gross: str = "9 kg") -> str:
    return f'[[scrap]]\nname = "heap"\nkind = "{kind}"\ngross = "{gross}"\ncondition = "dry"\n{more}\n'


@pytest.fixture
def said(tmp_path: Path):
    def run(text: str) -> dict[str, Any]:
        path = tmp_path / "trial.toml"
        path.write_text(text, encoding="utf-8")
        done = command("plan", path, "--json")
        assert done.exit_code == 0, done.output
        return json.loads(done.stdout)

    return run


def codes(plan: dict[str, Any]) -> set[str]:
    return {finding["code"] for finding in plan["findings"]}


def one(plan: dict[str, Any], code: str) -> dict[str, Any]:
    (found,) = (finding for finding in plan["findings"] if finding["code"] == code)
    return found


# A weighed sample


def test_a_sample_that_the_sorting_disputes_holds_the_pour_and_is_not_replaced(said):
    plan = said(plan_of(SAMPLE, scrap("sheet", gross="12 kg")))
    finding = one(plan, "sample-disputed")
    assert (finding["severity"], finding["where"], finding["withholds"]) == (
        "hold",
        "alloy.weighed",
        ["pour"],
    )
    assert finding["found"] == pytest.approx(10832.3, abs=0.1)
    assert finding["limit"] == pytest.approx(11335.0, rel=1e-12)
    off = plan["melting"]["scrap"]["hung_mass_change_kg"]
    assert off == pytest.approx(2.45 * (11335.0 / finding["found"] - 1.0), rel=0.06)
    for words in ("10.832 g/cm", "11.335 g/cm", "cast in metal of the other would be 1"):
        assert words in finding["message"]
    assert "Weigh a bigger piece, 4" in finding["remedy"]
    assert "test ingot of the mix" in finding["remedy"]
    # The charge stays: metal has to be got. And no handbook figure is offered in the sample's place.
    assert plan["melt"]["charge_kg"] > 0.0
    assert "blend-off-plan" not in codes(plan)
    assert not any("density = " in one["remedy"] for one in plan["findings"])


def test_what_settles_a_disputed_sample_settles_it_when_typed(said):
    plan = said(plan_of(SAMPLE, scrap("unknown", SAMPLE, gross="12 kg")))
    assert not {"sample-disputed", "scrap-unknown", "blend-off-plan"} & codes(plan)


def test_a_lots_own_sample_is_held_against_what_it_was_sorted_as(said):
    plan = said(plan_of('grade = "sheet"', scrap("sheet", SAMPLE)))
    finding = one(plan, "sample-disputed")
    assert (finding["severity"], finding["where"]) == ("hold", "scrap[1].weighed")
    assert 'in [[scrap]] 1, set kind = "unknown"' in finding["remedy"]
    # The blend rests on what was weighed, so that its figure may be asked for.
    assert (
        f"{plan['melting']['scrap']['blend_density_kg_m3'] / 1e3:.3f} g/cm3"
        in one(plan, "blend-off-plan")["remedy"]
    )


def test_a_small_sample_that_could_be_what_it_was_sorted_as_is_kept_and_not_disputed(said):
    small = 'weighed = {in_air = "150 g", in_water = "136.4 g"}'
    plan = said(plan_of(small, scrap("sheet", gross="12 kg")))
    assert "sample-disputed" not in codes(plan)
    assert one(plan, "blend-off-plan")["remedy"].startswith("Keep the weighed figure.")


@pytest.mark.parametrize(("apart", "disputed"), [(0.999, False), (1.001, True)])
def test_two_joint_standard_deviations_are_the_limit(apart, disputed):
    sample = WeighedSample(
        in_air=0.5, in_water=0.455, water_temperature=20.0, sample_porosity=0.0, reading_spread=0.0
    )
    found = check_sample(
        sample,
        "alloy.weighed",
        "The weighed sample",
        (11229.0 - apart * 2.0 * 50.0, 40.0),
        ("The scrap as listed", 11229.0, 30.0),
        "say so",
        Shown("metric"),
    )
    assert bool(found) is disputed


# Dross


@pytest.mark.parametrize("alloy", ['density = "11.03 g/cm3"', "composition = {Pb = 96, Sb = 4}", SAMPLE])
def test_metal_that_is_known_but_for_a_grade_is_clean(said, alloy):
    plan = said(plan_of(alloy))
    melt = plan["melt"]
    assert melt["dross_kg"] == pytest.approx(0.04 * melt["charge_kg"], rel=1e-12)
    taken = next(one for one in plan["defaults"] if one["key"] == "melt.dross")
    assert "as clean metal" in taken["source"]


def test_unsorted_scrap_brings_its_clips_and_dirt_whatever_the_sample_says(said):
    plan = said(plan_of(SAMPLE, scrap("wheel-weights-unsorted", gross="20 kg")))
    melt = plan["melt"]
    assert melt["dross_kg"] == pytest.approx(0.21 * melt["charge_kg"], rel=1e-9)
    taken = next(one for one in plan["defaults"] if one["key"] == "melt.dross")
    assert (taken["value"], taken["source"]) == ("21.0 %", "from the kinds of scrap in the list")


# Fuel


def halves(more: str = "") -> str:
    mould = MOULD.format(drying="baked") + 'kind = "open-halves"\n'
    return plan_of(more=mould + BURNER + more, mass="6 kg")


def test_fuel_in_a_poor_set_up_is_for_all_fillings_and_the_bottle_is_held_against_it(said):
    plan = said(halves())
    pot, burner = plan["melting"]["pot"], plan["melting"]["burner"]
    assert pot["melts"] == 2
    heat = burner["heat_metal_j"] + burner["heat_pot_j"]
    # Lower heating value of propane, 46.35 MJ/kg; 5 % is the least efficiency met with.
    poor = 2.0 * heat / 0.05 / 46.35e6
    assert burner["fuel_in_poor_set_up_kg"] == pytest.approx(poor, rel=1e-12)
    margin = burner["fuel_with_margin_kg"]
    assert margin < poor
    short = said(halves(f'fuel_on_hand = "{990.0 * margin:.1f} g"\n'))
    assert one(short, "fuel-short")["severity"] == "hold"
    scant = said(halves(f'fuel_on_hand = "{1010.0 * margin:.1f} g"\n'))
    assert "fuel-short" not in codes(scant)
    finding = one(scant, "fuel-scant")
    assert finding["severity"] == "caution"
    assert finding["limit"] == pytest.approx(poor, rel=1e-12)
    assert "for 2 fillings" in finding["message"]
    typed = re.search(r'fuel_on_hand = "[^"]+"', finding["remedy"])
    assert typed is not None
    assert not {"fuel-short", "fuel-scant"} & codes(said(halves(f"{typed[0]}\n")))


# Lifting


def test_a_person_alone_lifts_what_the_published_equation_leaves():
    # NIOSH, Applications manual for the revised lifting equation, publication 94-110: 23 kg x HM x VM x DM x CM with
    # HM = 25 cm / H, VM = 1 - 0.003 |V - 75 cm|, DM = 0.82 + 4.5 cm / D, poor coupling below 75 cm 0.90; hands 30 cm
    # out, from the floor, up by 75 cm.
    limit = 23.0 * (25.0 / 30.0) * (1.0 - 0.003 * 75.0) * (0.82 + 4.5 / 75.0) * 0.90
    assert pytest.approx(limit, abs=0.5) == LIFTED_ALONE
    assert LIFTED_ALONE < PIECE_TO_BE_HOISTED


@pytest.mark.parametrize(
    ("mass", "code", "whose"),
    [("11 kg", None, ""), ("16 kg", "piece-not-alone", "NIOSH"), ("30 kg", "piece-heavy", "HSE")],
)
def test_a_heavy_piece_says_whose_guidance_its_limit_is(said, mass, code, whose):
    plan = said(plan_of(mass=mass))
    assert codes(plan) & {"piece-not-alone", "piece-heavy"} == ({code} if code else set())
    if code:
        assert whose in one(plan, code)["message"]


def test_a_heavy_part_of_the_mould_is_not_for_one_person_either(said):
    plan = said(plan_of(more=MOULD.format(drying="baked"), mass="20 kg"))
    heavy = [part for part in plan["mould"]["parts"] if 12.0 < part["just_set_kg"] <= 25.0]
    named = [finding["where"] for finding in plan["findings"] if finding["code"] == "mould-part-not-alone"]
    assert heavy
    assert named == [f"mould.{part['name']}" for part in heavy]


# The scale, before anything is weighed


@pytest.mark.parametrize("drying", ["air", "baked"])
def test_a_scale_too_coarse_for_the_smallest_part_is_reported_when_the_mould_is_planned(said, drying):
    mould = MOULD.format(drying=drying)
    coarse = said(plan_of(more=mould + 'scale_spread = "10 g"\n'))
    finding = one(coarse, "scale-too-coarse")
    parts = {part["name"]: part["just_set_kg"] for part in coarse["mould"]["parts"]}
    smallest = min(parts, key=parts.get)
    share = coarse["drying"]["dry_to_just_set"]
    within = {"air": 0.002, "baked": 0.001}[drying]
    assert finding["limit"] == pytest.approx(within * share * parts[smallest] / 2.0**0.5, rel=1e-9)
    assert f"The {smallest} weighs" in finding["message"]
    typed = re.search(r'scale_spread = "[^"]+"', finding["remedy"])
    assert typed is not None
    assert "scale-too-coarse" not in codes(said(plan_of(more=f"{mould}{typed[0]}\n")))


@pytest.mark.parametrize(
    ("units", "texts"), [("metric", ("25 kg", "0.5 g")), ("imperial", ("55 lb", "0.01 oz"))]
)
def test_limits_and_scales_are_shown_as_they_may_be_typed(units, texts):
    shown = Shown(units)
    assert (round_mass(PIECE_TO_BE_HOISTED, shown), mass_down(5.46e-4, shown)) == texts
    for kilograms in (3e-6, 1e-5, 4.9e-4, 1e-3, 0.07):
        typed = read_quantity(mass_down(kilograms, shown), Dimension.MASS)
        assert 0.5 * kilograms < typed <= kilograms * (1.0 + 1e-9)
