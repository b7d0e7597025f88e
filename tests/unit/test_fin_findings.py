"""Findings on the fin as a beam: estimated weight, material, reserve when aground, and the axis of the tube."""

from __future__ import annotations

import json
import math
import re
from dataclasses import replace
from pathlib import Path

import pytest
from plans import LEAST, SCREW, command, example_text, job_of

from bulbcast.fin.foil import Foil
from bulbcast.fin.foil_section import section_numbers
from bulbcast.fin.stiffness import GivenFin, Material, SolidFin, TubeCoredFin
from bulbcast.fin.weight import estimated_density, usual_density
from bulbcast.findings import Severity
from bulbcast.job import run
from bulbcast.job.html import report_html
from bulbcast.job.plan_json import plan_object
from bulbcast.job.terminal import terminal_text
from bulbcast.joint.fin_rules import bears_words
from bulbcast.plan.reading import read_plan
from bulbcast.quantities.checked import STANDARD_GRAVITY

NUMBERS = section_numbers()
EXAMPLES = Path(__file__).parents[2] / "examples"
BASE = """
name = "Sallowfen"
[bulb]
target_mass = "2.4 kg"
[alloy]
grade = "pure"
[fin]
tip_chord = "80 mm"
tip_thickness = "8 mm"
tip_leading_edge_x = "400 mm"
tip_z = "-340 mm"
pocket_depth = "6 mm"
carry_at = 0.42
root_chord = "80 mm"
root_thickness = "8 mm"
root_leading_edge_x = "400 mm"
root_z = "-40 mm"
[strength]
"""
STEEL = BASE + 'section = "solid"\nmaterial = "steel"\nmodulus = "205 GPa"\nshear_modulus = "79 GPa"\n'
TUBE = BASE + (
    'section = "tube-cored"\ntube = "carbon tube"\ntube_outer = "6 mm"\ntube_inner = "4 mm"\n'
    'tube_modulus = "110 GPa"\ntube_shear_modulus = "5 GPa"\n'
)
FOIL = Foil(
    root_chord=0.080,
    tip_chord=0.080,
    root_thickness=0.008,
    tip_thickness=0.008,
    root_leading_edge_x=0.400,
    tip_leading_edge_x=0.400,
    root_z=-0.040,
    tip_z=-0.340,
)


def found_in(job, code):
    return [one for one in job.findings if one.code == code]


def kind(word, text):
    return text.replace("[fin]\n", f'[fin]\nmaterial = "{word}"\n')


def test_a_fin_whose_mass_nobody_gave_is_weighed_by_its_section_and_usual_density_with_a_note():
    job = job_of(STEEL)
    (note,) = found_in(job, "fin-weight-estimated")
    mass = 7850.0 * NUMBERS.area * 0.080 * 0.008 * 0.300
    assert (note.severity, note.withholds) == ("note", ())
    assert note.found == pytest.approx(mass, rel=1e-12)
    assert note.message == (
        "The fin's mass is not given: 1032.6 g was estimated from its section and a density of 7.850 g/cm3 (steel, EN "
        "1991-1-1, table A.4, from memory)."
    )
    held = job.strength.fin.knockdown
    weighed = job_of(STEEL.replace("[strength]", f'mass = "{mass:.12f} kg"\n[strength]'))
    assert not found_in(weighed, "fin-weight-estimated")
    assert weighed.strength.fin.knockdown.root_moment == pytest.approx(held.root_moment, rel=1e-9)
    # Left out it was: 18 % of the bending moment at the hull and 30 % of the shear on such a fin.
    assert held.root_shear - 2.4 * STANDARD_GRAVITY == pytest.approx(mass * STANDARD_GRAVITY, rel=1e-9)
    assert {one.value for one in job.defaults if one.key == "fin.density"} == {"7.850 g/cm3"}
    assert plan_object(job)["strength"]["fin"]["own_density_source"].startswith("steel")
    assert "estimated from a typical density" in report_html(job, None)


@pytest.mark.parametrize(
    ("modulus", "shear", "material", "density"),
    [
        (None, None, "metal", 7850.0),
        (205e9, 79e9, None, 7850.0),
        (100e9, 38e9, "metal", 8460.0),
        (70e9, 26e9, None, 2750.0),
        (40e9, 5e9, None, 1900.0),
        (110e9, 5e9, None, 1600.0),
        (10e9, 0.7e9, None, 760.0),
        (None, None, None, 1900.0),
        (70e9, 26e9, "wood", 760.0),
    ],
)
def test_the_kind_says_the_density_and_where_it_is_not_said_the_stiffness_does(
    modulus, shear, material, density
):
    assert usual_density(modulus=modulus, shear_modulus=shear, material=material).density == density


def test_a_tube_is_weighed_with_its_body_and_woods_own_gravity_is_used():
    foam = TubeCoredFin(
        body=Material(name="core", modulus=0.0, shear_modulus=0.0),
        tube=Material(name="carbon tube", modulus=110e9, shear_modulus=5e9),
        outer=0.006,
        inner=0.004,
    )
    whole = NUMBERS.area * 0.080 * 0.008
    hole, ring = math.pi / 4 * 0.006**2, math.pi / 4 * (0.006**2 - 0.004**2)
    assert estimated_density(FOIL, foam, material=None).density == pytest.approx(
        (760.0 * (whole - hole) + 1600.0 * ring) / whole, rel=1e-12
    )
    wood = SolidFin(material=Material(name="mahogany", modulus=10e9, shear_modulus=0.7e9))
    found = estimated_density(FOIL, wood, material="wood", wood_specific_gravity=0.5)
    assert found.density == pytest.approx(560.0)
    assert estimated_density(FOIL, GivenFin(bending=60, torsion=25), material="metal").density == 7850.0


@pytest.mark.parametrize(
    ("text", "cautioned"),
    [
        (STEEL, False),
        (kind("metal", STEEL), False),
        (kind("laminate", STEEL), True),
        (kind("wood", STEEL), True),
        (STEEL.replace("79 GPa", "5 GPa"), True),
        (TUBE, False),
        (kind("wood", TUBE), False),
        (kind("wood", TUBE + 'modulus = "10 GPa"\nshear_modulus = "0.7 GPa"\n'), True),
        (BASE + 'section = "given"\nbending_stiffness = "60 N m2"\ntorsion_stiffness = "25 N m2"\n', False),
    ],
)
def test_formulas_for_an_even_material_are_cautioned_where_the_material_is_not(text, cautioned):
    said = found_in(job_of(text), "fin-not-even")
    assert [one.severity for one in said] == ["caution"] * cautioned


def test_stiffness_measured_as_advised_takes_the_place_of_the_formulas():
    laminate = STEEL.replace("205 GPa", "40 GPa").replace("79 GPa", "5 GPa")
    job = job_of(laminate)
    (caution,) = found_in(job, "fin-not-even")
    assert caution.found == pytest.approx(8.0)
    assert 'section = "given"' in caution.remedy
    # As in a shed: 20 N at the tip of this fin, then 20 N on an arm of 0.1 m, on the beam of the textbook.
    bending = 40e9 * NUMBERS.across * 0.08 * 0.008**3
    sag = 20.0 * 0.3**3 / (3 * bending)
    torsion = job.strength.fin.section.material.shear_modulus * 6.3564e-9
    turn = 2.0 * 0.3 / torsion
    given = job_of(
        BASE + f'section = "given"\nbending_stiffness = "{20.0 * 0.3**3 / (3 * sag):.6f} N m2"\n'
        f'torsion_stiffness = "{2.0 * 0.3 / turn:.6f} N m2"\n'
    )
    assert not found_in(given, "fin-not-even")
    one, two = job.strength.fin.knockdown, given.strength.fin.knockdown
    assert two.tip_deflection == pytest.approx(one.tip_deflection, rel=1e-6)
    assert two.twist == pytest.approx(one.twist, rel=1e-3)


GROUNDED = STEEL + 'grounded_mass = "42 kg"\nvertical_grounding = {}\n'


def test_a_load_within_the_reserve_of_buckling_is_a_caution_and_above_it_a_stop():
    job = job_of(GROUNDED.format(9))
    buckles = job.strength.fin.aground["vertical_grounding"].load.buckling_force / (42.0 * STANDARD_GRAVITY)
    for times, severities in ((0.33, []), (0.34, ["caution"]), (1.01, ["stop"])):
        found = found_in(job_of(GROUNDED.format(f"{times * buckles:.4f}")), "fin-gives-way")
        assert [one.severity for one in found] == severities
        for one in found:
            assert one.found > one.limit
            less = one.remedy.split("or set vertical_grounding = ")[1].split(", which")[0]
            assert not found_in(job_of(GROUNDED.format(less)), "fin-gives-way")


def test_above_ten_times_the_figure_is_left_out_and_what_is_not_covered_is_said():
    assert [bears_words(each) for each in (104.52, 10.001, 10.0, 7.3486)] == [
        "more than 10 times",
        "more than 10 times",
        "10 times",
        "7.34 times",
    ]
    text = (EXAMPLES / "saltmarrow.toml").read_text(encoding="utf-8")
    job = run(read_plan(text, source="saltmarrow.toml"))
    assert job.strength.fin.aground["vertical_grounding"].bears > 10.0
    for page in (report_html(job, None), terminal_text(job, colour=False, width=200)):
        words = " ".join(page.split())
        assert "more than 10 times" in words
        # As a multiple: a drawing's coordinates may well hold those digits.
        assert re.search(r"\b104\.\d* (x|times)", words) is None
        assert "This does not cover the shock of the blow" in words


def test_the_day_boats_torque_holds_the_fins_own_weight_186_newton_metres_and_not_141():
    text = (EXAMPLES / "saltmarrow.toml").read_text(encoding="utf-8")
    job = run(read_plan(text, source="saltmarrow.toml"))
    lead = job.plan.fin.root_leading_edge_x
    root = lead + 0.366 * 0.44
    # The fin in 2000 level slices, each at its own centroid.
    torque = job.bulb.mass * STANDARD_GRAVITY * (job.bulb.mass_centre[0] - root)
    bulb_alone = torque
    for number in range(2000):
        share = (number + 0.5) / 2000
        chord, thick = 0.44 + share * (0.36 - 0.44), 0.048 + share * (0.040 - 0.048)
        own = 7850.0 * NUMBERS.area * chord * thick * 0.75 / 2000 * STANDARD_GRAVITY
        torque += own * (
            lead + share * (job.plan.fin.tip_leading_edge_x - lead) + NUMBERS.centroid * chord - root
        )
    assert job.strength.fin.knockdown.root_torque == pytest.approx(torque, rel=1e-6)
    assert (round(bulb_alone), round(torque)) == (141, 186)


def test_a_fin_of_which_the_tube_alone_is_counted_twists_about_the_tube():
    job = job_of(TUBE.replace("carry_at = 0.42", "carry_at = 0.60"))
    assert {one.value for one in job.defaults if one.key == "fin.elastic_axis"} == {"0.3"}
    torsion = 5e9 * math.pi / 32 * (0.006**4 - 0.004**4)
    own = job.strength.fin.fin_density * STANDARD_GRAVITY * NUMBERS.area * 0.08 * 0.008
    off, aft = job.bulb.mass_centre[0] - 0.400 - 0.3 * 0.08, (NUMBERS.centroid - 0.3) * 0.08
    weight = job.bulb.mass * STANDARD_GRAVITY
    held = job.strength.fin.knockdown
    assert held.twist == pytest.approx((weight * off * 0.3 + own * aft * 0.3**2 / 2) / torsion, rel=1e-9)
    # About 0.366 of the chord, as before, it came out a fifth and more too low.
    assert weight * (off - 0.066 * 0.08) * 0.3 / torsion < 0.79 * held.twist
    assert job.balance.from_elastic_axis == pytest.approx(off, rel=1e-9)
    typed = job_of(TUBE.replace("[strength]", "elastic_axis = 0.5\n[strength]"))
    assert typed.strength.fin.elastic_axis == 0.5


def test_a_body_that_is_counted_draws_the_axis_from_the_tube_towards_its_own():
    job = job_of(TUBE + 'modulus = "3 GPa"\nshear_modulus = "1 GPa"\n')
    ring, hole = math.pi / 64 * (0.006**4 - 0.004**4), math.pi / 64 * 0.006**4
    body = NUMBERS.across * 0.08 * 0.008**3
    bending = 3e9 * (body - hole) + 110e9 * ring
    meant = (3e9 * body * NUMBERS.flexural_axis - 3e9 * hole * 0.3 + 110e9 * ring * 0.3) / bending
    assert 0.3 < meant < NUMBERS.flexural_axis
    assert job.plan.fin.elastic_axis == pytest.approx(meant, rel=1e-12)


def test_a_rake_is_said_with_the_length_along_it():
    job = job_of(STEEL.replace('root_leading_edge_x = "400 mm"', 'root_leading_edge_x = "280 mm"'))
    rake = math.atan2(0.12, 0.30)
    said = plan_object(job)["strength"]["fin"]
    assert said["axis_rake_rad"] == pytest.approx(rake, rel=1e-12)
    assert said["axis_length_m"] == pytest.approx(math.hypot(0.12, 0.30), rel=1e-12)
    square = 205e9 * NUMBERS.across * 0.08 * math.cos(rake) * 0.008**3
    assert said["bending_stiffness_root_n_m2"] == pytest.approx(square, rel=1e-12)
    assert replace(FOIL, root_leading_edge_x=0.28) == job.strength.fin.foil


def test_a_raked_root_that_the_beam_passes_but_the_level_hold_does_not_is_a_caution_whose_root_fixes_it():
    raked = STEEL.replace('root_leading_edge_x = "400 mm"', 'root_leading_edge_x = "273 mm"')
    held = job_of(raked).strength.fin.knockdown
    allowed = 1.05 * held.stresses[0].stress / 1e6
    text = raked + f'allowable = "{allowed:.4f} MPa"\n'
    job = job_of(text)
    (caution,) = found_in(job, "fin-raked-root")
    assert not found_in(job, "fin-overstressed")
    lean = 127.0 / 300.0
    assert held.root_stress_factor == pytest.approx(1.0 + 1.6 * lean**2, rel=1e-12)
    assert caution.severity == "caution"
    assert caution.found == pytest.approx(held.root_stress_factor * held.stresses[0].stress, rel=1e-9)
    assert caution.message.startswith(
        "At 90 degrees of heel, at the after end of the raked root, the stress in steel may reach 33.7 MPa, 1.29 times"
    )
    root = caution.remedy.split('root_thickness = "')[1].split('"')[0]
    fixed = job_of(text.replace('root_thickness = "8 mm"', f'root_thickness = "{root}"'))
    assert not found_in(fixed, "fin-raked-root")


def test_a_blow_from_the_side_on_a_raked_fin_counts_the_end_of_its_root():
    """Before the fix, the fin's allowable load came from the beam alone, 29 % too high, and there was no finding."""
    raked = STEEL.replace('root_leading_edge_x = "400 mm"', 'root_leading_edge_x = "273 mm"')
    raked += 'sideways_grounding = 1\ngrounded_mass = "8 kg"\n'
    struck = job_of(raked).strength.fin.aground["sideways_grounding"]
    beam = struck.load.stresses[0].stress
    text = raked + f'allowable = "{1.05 * beam / 1e6:.4f} MPa"\n'
    job = job_of(text)
    factor = 1.0 + 1.6 * (127.0 / 300.0) ** 2
    assert job.strength.fin.aground["sideways_grounding"].bears == pytest.approx(1.05 / factor, rel=1e-5)
    (caution,) = [
        one for one in found_in(job, "fin-raked-root") if one.where == "strength.sideways_grounding"
    ]
    assert caution.severity == "caution"
    assert caution.found == pytest.approx(factor * beam, rel=1e-9)
    borne = caution.remedy.split("sideways_grounding = ")[1].split(",")[0]
    fixed = job_of(text.replace("sideways_grounding = 1\n", f"sideways_grounding = {borne}\n"))
    assert "strength.sideways_grounding" not in {one.where for one in found_in(fixed, "fin-raked-root")}


def test_a_rake_that_root_and_tip_do_not_have_is_a_caution_whose_fix_fixes_it():
    """Before the fix, a fin raked by 23 degrees over a pocket left at 0 degrees gave no finding."""
    leaning = STEEL.replace('root_leading_edge_x = "400 mm"', 'root_leading_edge_x = "273 mm"')
    (caution,) = found_in(job_of(leaning), "rake-differs")
    assert caution.severity == "caution"
    assert caution.limit == pytest.approx(math.atan2(127.0, 300.0), rel=1e-12)
    typed = caution.remedy.split("[fin] ")[1].split(" to match")[0]
    assert typed == 'rake = "22.9 deg"'
    assert not found_in(job_of(leaning.replace('tip_z = "', f'{typed}\ntip_z = "')), "rake-differs")
    # An upright fin, or a rake between the edges of a tapered fin, gives no finding.
    assert not found_in(job_of(STEEL), "rake-differs")
    tapered = STEEL.replace('root_chord = "80 mm"', 'root_chord = "120 mm"')
    assert not found_in(job_of(tapered), "rake-differs")


@pytest.mark.parametrize(("length", "long"), [("500 mm", False), ("560 mm", True)])
def test_a_screw_longer_than_any_fin_of_such_a_bulb_is_a_caution(length: str, long: bool) -> None:
    job = job_of(LEAST + 'pocket_depth = "6 mm"\n' + SCREW.replace("45 mm", length))
    assert (job.room.screws[0].thread > 2.0 * job.bulb.body.length) == long
    found = [one for one in job.findings if one.code == "screw-longer-than-fin"]
    assert [(one.severity, one.where) for one in found] == [(Severity.CAUTION, "screws[1].length")] * long


def test_a_screw_is_compared_with_the_fin_from_root_to_tip_if_the_plan_gives_it(tmp_path: Path) -> None:
    text = example_text("larkmoss").replace('length = "40 mm"', 'length = "900 mm"')
    (tmp_path / "larkmoss-offsets.csv").write_bytes((EXAMPLES / "larkmoss-offsets.csv").read_bytes())
    (tmp_path / "lark.toml").write_text(text, encoding="utf-8")
    findings = json.loads(command("plan", tmp_path / "lark.toml", "--json").stdout)["findings"]
    found = [one for one in findings if one["code"] == "screw-longer-than-fin"]
    assert [one["limit"] for one in found] == pytest.approx([0.318, 0.318])
