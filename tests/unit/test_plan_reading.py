"""Reading the plan file: values, defaults assumed and reported, and the table of keys."""

from __future__ import annotations

import hashlib
import math
import subprocess
import sys
import tomllib

import pytest
from plans import LEAST, SCREW, with_line

from bulbcast.materials.water import water_of_kind
from bulbcast.plan.answering import answers_of
from bulbcast.plan.bulb_sections import WeighedSample
from bulbcast.plan.key import Kind
from bulbcast.plan.keys import KEYS, REPEATED, SECTIONS, limits, section_keys
from bulbcast.plan.reading import read_plan, read_plan_table

WHOLE = """\
name = "Larkspittle"
display_units = "imperial"
[water]
kind = "salt"
[bulb]
target_mass = "2.45 kg"
profile = "naca4"
fineness = 5
width_to_height = 1.1
tail_diameter = "4 mm"
skin = "0.2 mm"
filler_density = "1.2 g/cm3"
smallest_wall = "2.5 mm"
incidence = "1.5 deg"
[alloy]
grade = "antimonial-4"
porosity = "0.5 %"
[fin]
tip_chord = "70 mm"
tip_thickness = "7 mm"
tip_leading_edge_x = "395 mm"
tip_z = "-330 mm"
pocket_depth = "6 mm"
pocket_clearance = "0.3 mm"
pocket = "cored"
rake = "-2.5 deg"
carry_at = 0.45
elastic_axis = 0.35
section = "foil"
material = "laminate"
[[screws]]
at = "14 mm"
diameter = "4 mm"
hole_diameter = "4.5 mm"
head_diameter = "8 mm"
head_height = "2.6 mm"
recess = "8 mm"
length = "45 mm"
hole = "cored"
density = "8.4 g/cm3"
engagement = "12 mm"
[pattern]
contraction = "0.98 %"
mould_expansion = "0.2 %"
finish = "0.3 mm"
coat = "0.15 mm"
made_by = "turned"
chord_error = "0.002 mm"
density = "0.45 g/cm3"
[melt]
feeder = "200 g"
reserve = "15 %"
dross = "5 %"
"""


def test_a_whole_plan_is_read_to_si():
    plan = read_plan(WHOLE, source="boats/lark.toml")
    assert (plan.name, plan.display_units) == ("Larkspittle", "imperial")
    assert (plan.water.kind, plan.water.density) == ("salt", 1026.0)
    bulb = plan.bulb
    assert (bulb.target_mass, bulb.profile, bulb.fineness, bulb.length) == (2.45, "naca4", 5.0, None)
    assert (bulb.diameter, bulb.width_to_height, bulb.tail_diameter, bulb.skin) == (None, 1.1, 0.004, 0.0002)
    assert (bulb.filler_density, bulb.smallest_wall, bulb.mass_centre_x) == (1200.0, 0.0025, None)
    assert bulb.incidence == math.radians(1.5)
    assert (plan.alloy.grade, plan.alloy.density, plan.alloy.porosity) == ("antimonial-4", None, 0.005)
    fin = plan.fin
    assert (fin.tip_chord, fin.tip_thickness, fin.tip_leading_edge_x, fin.tip_z) == (
        0.07,
        0.007,
        0.395,
        -0.33,
    )
    assert (fin.pocket_depth, fin.pocket_clearance, fin.pocket) == (0.006, 0.0003, "cored")
    assert fin.rake == math.radians(-2.5)
    assert (fin.carry_at, fin.elastic_axis, fin.material) == (0.45, 0.35, "laminate")
    (screw,) = plan.screws
    assert (screw.at, screw.diameter, screw.hole_diameter, screw.head_diameter) == (
        0.014,
        0.004,
        0.0045,
        0.008,
    )
    assert (screw.head_height, screw.recess, screw.length, screw.hole) == (0.0026, 0.008, 0.045, "cored")
    assert (screw.density, screw.engagement) == (8400.0, 0.012)
    pattern = plan.pattern
    assert (pattern.contraction, pattern.mould_expansion, pattern.finish) == (0.0098, 0.002, 0.0003)
    assert (pattern.coat, pattern.chord_error, pattern.density) == (0.00015, 2e-6, 450.0)
    melt = plan.melt
    assert (melt.feeder_mass, melt.feeder_fraction, melt.reserve, melt.dross) == (0.2, None, 0.15, 0.05)
    assert plan.source == "boats/lark.toml"
    assert plan.sha256 == hashlib.sha256(WHOLE.encode()).hexdigest()


def test_a_plan_with_everything_given_takes_only_the_density_of_its_water():
    plan = read_plan(WHOLE, source="lark.toml")
    assert [(each.key, each.value) for each in plan.defaults] == [("water.density", "1026.00 kg/m3")]


def test_text_and_bytes_of_one_file_give_the_same_plan():
    assert read_plan(WHOLE, source="x.toml") == read_plan(WHOLE.encode(), source="x.toml")


def test_line_ends_of_another_system_change_nothing_but_the_hash():
    mine = read_plan(WHOLE, source="x.toml")
    theirs = read_plan(WHOLE.replace("\n", "\r\n"), source="x.toml")
    assert theirs.sha256 != mine.sha256
    assert (theirs.bulb, theirs.fin, theirs.screws) == (mine.bulb, mine.fin, mine.screws)


def test_the_least_plan_takes_every_fixed_default_and_tells_it():
    plan = read_plan(LEAST + SCREW, source="boats/lark.plan.toml")
    said = {each.key: each.value for each in plan.defaults}
    assert said == {
        "name": "lark.plan",
        "display_units": "metric",
        "water.kind": "fresh",
        "water.density": "999.10 kg/m3",
        "bulb.profile": "naca4",
        "bulb.fineness": "6",
        "bulb.width_to_height": "1",
        "bulb.skin": "0 mm",
        "bulb.filler_density": "1.2 g/cm3",
        "bulb.incidence": "0 deg",
        "alloy.porosity": "1.0 %",
        "fin.tip_leading_edge_x": "0 mm",
        "fin.tip_z": "0 mm",
        "fin.pocket_depth": "0 mm",
        "fin.pocket_clearance": "0.3 mm",
        "fin.pocket": "cut",
        "fin.rake": "0 deg",
        "fin.carry_at": "0.40",
        "fin.elastic_axis": "0.366",
        "fin.section": "foil",
        "screws[1].hole": "drilled",
        "screws[1].density": "8.0 g/cm3",
        "pattern.mould_expansion": "-0.05 %",
        "pattern.coat": "0.1 mm",
        "pattern.made_by": "printed",
        "pattern.chord_error": "0.02 mm",
        "melt.reserve": "10 %",
    }
    assert all(each.source for each in plan.defaults)


def test_the_defaults_that_are_reported_are_those_that_are_taken():
    plan = read_plan(LEAST + SCREW, source="lark.toml")
    assert (plan.name, plan.display_units) == ("lark", "metric")
    assert (plan.water.kind, plan.water.density) == ("fresh", 999.10)
    assert (plan.bulb.profile, plan.bulb.fineness, plan.bulb.width_to_height) == ("naca4", 6.0, 1.0)
    assert (plan.bulb.skin, plan.bulb.filler_density, plan.alloy.porosity) == (0.0, 1200.0, 0.01)
    fin = plan.fin
    assert (fin.tip_leading_edge_x, fin.tip_z, fin.pocket_depth, fin.pocket_clearance) == (
        0.0,
        0.0,
        0.0,
        0.0003,
    )
    assert (fin.pocket, fin.rake, fin.carry_at, fin.elastic_axis) == ("cut", 0.0, 0.40, 0.366)
    assert (plan.screws[0].hole, plan.screws[0].density) == ("drilled", 8000.0)
    assert (plan.pattern.mould_expansion, plan.pattern.coat) == (-0.0005, 0.0001)
    assert (plan.pattern.chord_error, plan.melt.reserve) == (0.00002, 0.10)


def test_defaults_that_depend_on_other_figures_are_left_to_the_rooms_that_own_them():
    plan = read_plan(LEAST + SCREW, source="lark.toml")
    assert (plan.bulb.tail_diameter, plan.bulb.smallest_wall) == (None, None)
    assert (plan.pattern.contraction, plan.pattern.finish, plan.pattern.density) == (None, None, None)
    assert (plan.melt.feeder_mass, plan.melt.feeder_fraction, plan.melt.dross) == (None, None, None)
    assert (plan.screws[0].engagement, plan.fin.material) == (None, None)


def test_a_plan_without_screws_has_none():
    assert read_plan(LEAST, source="lark.toml").screws == ()


@pytest.mark.parametrize(
    ("source", "name"), [("", "unnamed"), ("a/b/skua.toml", "skua"), ("a\nb", "unnamed")]
)
def test_a_nameless_plan_is_called_after_its_file(source, name):
    assert read_plan(LEAST, source=source).name == name


def test_a_zero_that_is_typed_is_a_zero_and_not_a_default():
    text = with_line("fin", 'pocket_clearance = "0 mm"', with_line("bulb", 'tail_diameter = "0 mm"'))
    text += '[melt]\nreserve = "0 %"\nfeeder = "0 g"\ndross = "0 %"\n'
    plan = read_plan(text, source="lark.toml")
    assert (plan.fin.pocket_clearance, plan.bulb.tail_diameter) == (0.0, 0.0)
    assert (plan.melt.reserve, plan.melt.feeder_mass, plan.melt.dross) == (0.0, 0.0, 0.0)
    taken = {each.key for each in plan.defaults}
    assert not taken & {"fin.pocket_clearance", "bulb.tail_diameter", "melt.reserve", "melt.feeder"}


def test_a_feeder_may_be_a_percentage():
    plan = read_plan(with_line("melt", 'feeder = "10 %"'), source="lark.toml")
    assert (plan.melt.feeder_mass, plan.melt.feeder_fraction) == (None, 0.1)


@pytest.mark.parametrize("line", ['length = "240 mm"', 'diameter = "1 3/4 in"'])
def test_a_given_length_or_diameter_leaves_no_default_fineness(line):
    plan = read_plan(with_line("bulb", line), source="lark.toml")
    assert plan.bulb.fineness is None
    assert (plan.bulb.length is None) != (plan.bulb.diameter is None)
    assert "bulb.fineness" not in {each.key for each in plan.defaults}


def test_a_given_place_of_the_mass_centre_leaves_no_default_carry():
    plan = read_plan(with_line("bulb", 'mass_centre_x = "423 mm"'), source="lark.toml")
    assert (plan.bulb.mass_centre_x, plan.fin.carry_at) == (0.423, None)
    assert "fin.carry_at" not in {each.key for each in plan.defaults}


def test_a_given_density_of_water_is_of_no_kind():
    plan = read_plan(with_line("water", 'density = "1012 kg/m3"'), source="lark.toml")
    assert (plan.water.kind, plan.water.density) == ("given", 1012.0)
    assert not [each for each in plan.defaults if each.key.startswith("water")]


@pytest.mark.parametrize("kind", ["fresh", "salt"])
def test_the_water_of_a_plan_is_that_of_the_materials(kind):
    plan = read_plan(with_line("water", f'kind = "{kind}"'), source="lark.toml")
    assert plan.water.density == water_of_kind(kind).density


def test_a_grade_may_be_unknown():
    assert read_plan(LEAST.replace('"pure"', '"unknown"'), source="lark.toml").alloy.grade == "unknown"


def test_a_composition_is_read_as_mass_parts_in_the_order_typed():
    text = LEAST.replace('grade = "pure"', "composition = {Sb = 4, Pb = 95.9, Sn = 0.05}")
    alloy = read_plan(text, source="lark.toml").alloy
    assert alloy.grade is None
    assert [symbol for symbol, _ in alloy.composition] == ["Sb", "Pb", "Sn"]
    assert dict(alloy.composition)["Sb"] == pytest.approx(4 / 99.95, rel=1e-15)
    assert math.fsum(part for _, part in alloy.composition) == pytest.approx(1.0, abs=1e-15)


def test_a_weighed_sample_takes_its_own_defaults():
    text = LEAST.replace('grade = "pure"', 'weighed = {in_air = "512.0 g", in_water = "466.4 g"}')
    plan = read_plan(text, source="lark.toml")
    assert plan.alloy.weighed == WeighedSample(
        in_air=0.512, in_water=0.4664, water_temperature=20.0, sample_porosity=0.0, reading_spread=0.0005
    )
    taken = {each.key: each.value for each in plan.defaults if "weighed" in each.key}
    assert taken == {
        "alloy.weighed.water_temperature": "20 C",
        "alloy.weighed.sample_porosity": "0 %",
        "alloy.weighed.reading_spread": "0.5 g",
    }


def test_temperature_and_porosity_of_a_sample_may_stand_beside_it():
    inside = LEAST.replace(
        'grade = "pure"',
        'weighed = {in_air = "18 oz", in_water = "16.4 oz", '
        'water_temperature = "59 F", sample_porosity = "1 %"}',
    )
    beside = LEAST.replace(
        'grade = "pure"',
        'weighed = {in_air = "18 oz", in_water = "16.4 oz"}\n'
        'water_temperature = "59 F"\nsample_porosity = "1 %"',
    )
    sample = read_plan(inside, source="lark.toml").alloy.weighed
    assert (sample.water_temperature, sample.sample_porosity) == (15.0, 0.01)
    plan = read_plan(beside, source="lark.toml")
    assert plan.alloy.weighed == sample
    assert not [each for each in plan.defaults if each.key.endswith(("temperature", "sample_porosity"))]


@pytest.mark.parametrize(
    "lines",
    [
        'profile = "naca4mod"\nmax_at = 0.4\nnose_index = 6',
        'profile = "naca4mod"\nmax_at = 0.3\nnose_index = 8.0',
        'profile = "series58"\nmax_at = 0.45\nnose_radius = 0.5\ntail_radius = 0\nprismatic = 0.65',
        'profile = "spheroid"',
        'profile = "sears-haack"',
        'profile = "offsets"\noffsets = "lark.csv"',
    ],
)
def test_each_profile_is_read_with_its_own_keys(lines):
    bulb = read_plan(with_line("bulb", lines), source="lark.toml").bulb
    for line in lines.splitlines():
        name, _, value = line.partition(" = ")
        assert getattr(bulb, name) == tomllib.loads(f"value = {value}")["value"]


def test_texts_that_mean_the_same_give_the_same_plan():
    metric = read_plan(LEAST, source="lark.toml")
    other = LEAST.replace('"2.45 kg"', '"2450 g"').replace('"70 mm"', '"7 cm"').replace('"7 mm"', '"0.7 cm"')
    mine = read_plan(other, source="lark.toml")
    assert (mine.bulb, mine.fin) == (metric.bulb, metric.fin)


def test_a_table_is_read_like_the_file_it_came_from():
    table = tomllib.loads(WHOLE)
    plan = read_plan(WHOLE, source="lark.toml")
    assert read_plan_table(table, source="lark.toml", sha256=plan.sha256) == plan


def test_every_example_and_every_default_stands_within_its_own_range():
    for key in KEYS.values():
        bare = key.kind in (Kind.NUMBER, Kind.TABLE)
        texts = [key.example]
        if key.default is not None:
            texts.append(key.default if bare else f'"{key.default}"')
        for text in texts:
            header = {
                "": "",
                "alloy.weighed": "[alloy.weighed]",
                "scrap.weighed": "[[scrap]]\n[scrap.weighed]",
            }.get(key.section, f"[[{key.section}]]" if key.section in REPEATED else f"[{key.section}]")
            table = tomllib.loads(f"{header}\n{key.leaf} = {text}\n")
            assert answers_of(table, source="lark.toml").faults == []


def test_every_range_has_its_lower_end_below_its_upper():
    for key in KEYS.values():
        for dimension in key.dimensions or (None,) * len(key.ranges):
            low, high = limits(key.name, dimension)
            assert low < high


def test_every_key_of_the_table_is_in_one_section_and_has_a_remark():
    counted = [
        key for section in ("", *SECTIONS, "alloy.weighed", "scrap.weighed") for key in section_keys(section)
    ]
    assert sorted(key.name for key in counted) == sorted(KEYS)
    assert all(key.about and key.example for key in counted)
    assert all(key.source for key in counted if key.default is not None)


def test_both_ends_of_a_range_are_in_unless_it_says_otherwise():
    for text in ('"10 g"', '"20 t"', '"20000 kg"'):
        read_plan(LEAST.replace('"2.45 kg"', text), source="lark.toml")
    for fineness in ("2", "20"):
        read_plan(with_line("bulb", f"fineness = {fineness}"), source="lark.toml")


def test_reading_a_plan_loads_no_array_library():
    code = (
        "import sys; from bulbcast.plan.reading import read_plan;"
        "from bulbcast.plan.starter import starter_plan;"
        "read_plan(starter_plan(), source='x.toml');"
        "print(sorted({'numpy', 'scipy', 'trimesh', 'shapely', 'click'} & set(sys.modules)))"
    )
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert run.stdout == "[]\n"
