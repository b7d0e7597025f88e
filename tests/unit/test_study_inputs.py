"""Inputs of a study: values as typed, exact ranges, plan keys that they replace, and every error reported."""

from __future__ import annotations

import copy

import pytest

from bulbcast.compare import LARGEST_GRID, Variation, read_variations
from bulbcast.compare.grid import notes_on_replaced, varied_table
from bulbcast.compare.vary import grid_of
from bulbcast.plan.faults import PlanError
from bulbcast.plan.keys import KEYS, PARTS

# Every key called density that may be varied, in the order of the plan format.
_DENSITIES = [
    f"{key.section}[1].density" if PARTS[key.section].one else key.name
    for key in KEYS.values()
    if key.leaf == "density" and key.varied != "fixed"
]
DENSITIES = f"{', '.join(_DENSITIES[:-1])} or {_DENSITIES[-1]}"

TABLE = {
    "bulb": {"target_mass": "2.45 kg", "fineness": 5.0},
    "alloy": {"grade": "pure"},
    "fin": {"carry_at": 0.4},
    "screws": [{"at": "14 mm", "recess": "8 mm"}, {"at": "50 mm", "recess": "9 mm"}],
}


def read(*typed: str) -> tuple[Variation, ...]:
    return read_variations(typed, TABLE)


def said(*typed: str, table: dict[str, object] | None = None) -> str:
    with pytest.raises(PlanError) as caught:
        read_variations(typed, TABLE if table is None else table)
    return str(caught.value)


# Values


def test_a_list_is_taken_as_typed_and_labelled_alike():
    (one,) = read("screws[2].recess=6mm, 8 mm,1/4 in")
    assert one.key == "screws[2].recess"
    assert one.name == "screws.recess"
    assert one.values == ("6mm", "8 mm", "1/4 in")
    assert one.labels == ("6 mm", "8 mm", "1/4 in")
    assert one.numbers == (0.006, 0.008, 0.00635)


def test_a_range_has_so_many_values_with_both_ends_in():
    (one,) = read("bulb.fineness=4:8:9")
    assert one.values == ("4", "4.5", "5", "5.5", "6", "6.5", "7", "7.5", "8")
    assert one.numbers == (4.0, 4.5, 5.0, 5.5, 6.0, 6.5, 7.0, 7.5, 8.0)
    assert [one.entry(i) for i in (0, 1)] == [4, 4.5]


def test_a_range_of_quantities_is_divided_in_exact_rationals_of_its_unit():
    (one,) = read("bulb.target_mass=2kg:3kg:4")
    assert one.values == ("2kg", "2 1/3 kg", "2 2/3 kg", "3kg")
    assert one.labels == ("2.000 kg", "2.333 kg", "2.667 kg", "3.000 kg")
    assert one.numbers == (2.0, 7 / 3, 8 / 3, 3.0)


@pytest.mark.parametrize(
    ("typed", "values"),
    [
        ("bulb.target_mass=2kg:3kg:5", ("2kg", "2.25 kg", "2.5 kg", "2.75 kg", "3kg")),
        ("bulb.target_mass=4 lb 14 oz:5 lb 2 oz:3", ("4 lb 14 oz", "5 lb", "5 lb 2 oz")),
        ("bulb.target_mass=4 lb 8 oz:6lb:4", ("4 lb 8 oz", "5 lb", "5 lb 8 oz", "6lb")),
        ("bulb.target_mass=4 lb:2kg:3", ("4 lb", "1.90718474 kg", "2kg")),
        ("bulb.diameter=1 3/4 in:2in:5", ("1 3/4 in", "1 13/16 in", "1 7/8 in", "1 15/16 in", "2in")),
        ("bulb.length=9in:200mm:3", ("9in", "214.3 mm", "200mm")),
        ("fin.rake=-2deg:2deg:3", ("-2deg", "0 deg", "2deg")),
        ("fin.carry_at=0.5:-0.5:3", ("0.5", "0", "-0.5")),
    ],
)
def test_values_within_a_range_are_texts_that_a_builder_types(typed, values):
    (one,) = read(typed)
    assert one.values == values


def test_words_are_taken_from_the_keys_choices():
    (one,) = read("alloy.grade=pure, antimonial-4")
    assert (one.values, one.numbers, one.dimension) == (("pure", "antimonial-4"), None, None)


def test_the_grid_is_full_and_the_first_input_is_the_slowest():
    assert grid_of(read("bulb.fineness=4,5", "bulb.target_mass=2kg,3kg,4kg")) == [
        (0, 0), (0, 1), (0, 2), (1, 0), (1, 1), (1, 2),
    ]  # fmt: skip


# What gives way


def test_varying_the_length_takes_the_place_of_the_fineness():
    variations = read("bulb.length=200mm,250mm")
    before = copy.deepcopy(TABLE)
    made = varied_table(TABLE, variations, (1,))
    assert made["bulb"] == {"target_mass": "2.45 kg", "length": "250mm"}
    assert before == TABLE
    assert notes_on_replaced(TABLE, variations) == ("bulb.fineness in the plan is replaced by bulb.length.",)


def test_varying_the_alloys_density_takes_the_place_of_a_weighed_sample_and_what_stands_beside_it():
    table = {"alloy": {"weighed": {"in_air": "512 g"}, "water_temperature": "18 C", "porosity": "1 %"}}
    variations = read_variations(["alloy.density=11.1 g/cm3,11.3 g/cm3"], table)
    assert varied_table(table, variations, (0,))["alloy"] == {"porosity": "1 %", "density": "11.1 g/cm3"}


def test_varying_the_sample_leaves_the_rest_of_it():
    table = {"alloy": {"weighed": {"in_air": "512 g", "in_water": "466 g"}, "water_temperature": "18 C"}}
    made = varied_table(
        table,
        read_variations(["alloy.weighed.in_air=511g,513g", "alloy.weighed.water_temperature=15C,20C"], table),
        (1, 0),
    )
    assert made["alloy"] == {"weighed": {"in_air": "513g", "in_water": "466 g", "water_temperature": "15C"}}


def test_varying_the_mass_centres_place_takes_the_place_of_carry_at_and_the_other_way_round():
    made = varied_table(TABLE, read("bulb.mass_centre_x=400mm,410mm"), (0,))
    assert (made["fin"], made["bulb"]["mass_centre_x"]) == ({}, "400mm")
    back = varied_table(made, read_variations(["fin.carry_at=0.3,0.4"], made), (0,))
    assert back["fin"] == {"carry_at": 0.3}
    assert "mass_centre_x" not in back["bulb"]


def test_varying_the_kind_of_water_takes_the_place_of_its_density():
    table = {"water": {"density": "1012 kg/m3"}}
    assert varied_table(table, read_variations(["water.kind=fresh,salt"], table), (1,)) == {
        "water": {"kind": "salt"}
    }


def test_varying_the_profile_leaves_out_what_only_another_profile_uses():
    table = {"bulb": {"profile": "series58", "max_at": 0.4, "nose_radius": 0.5, "fineness": 5}}
    variations = read_variations(["bulb.profile=series58,naca4mod,naca4"], table)
    kept = [sorted(varied_table(table, variations, (i,))["bulb"]) for i in range(3)]
    assert kept == [
        ["fineness", "max_at", "nose_radius", "profile"],
        ["fineness", "max_at", "profile"],
        ["fineness", "profile"],
    ]
    assert notes_on_replaced(table, variations) == (
        "bulb.max_at in the plan is omitted from the rows whose profile does not use it.",
        "bulb.nose_radius in the plan is omitted from the rows whose profile does not use it.",
    )


def test_only_the_screw_that_is_named_changes():
    made = varied_table(TABLE, read("screws[2].recess=6mm,7mm"), (1,))
    assert made["screws"] == [{"at": "14 mm", "recess": "8 mm"}, {"at": "50 mm", "recess": "7mm"}]


def test_a_section_that_the_plan_lacks_is_made():
    assert varied_table({}, read_variations(["melt.reserve=5%,10%"], {}), (0,)) == {"melt": {"reserve": "5%"}}


# Faults


@pytest.mark.parametrize(
    ("typed", "message"),
    [
        (
            "bulb.fineness",
            '--vary: "bulb.fineness": read an incomplete input; expected KEY=A,B,C or KEY=A:B:N. '
            "Write, for example, bulb.fineness=4,5,6 or bulb.fineness=4:8:9.",
        ),
        (
            "bulb.finness=4,5",
            "--vary: bulb.finness: read an unknown key; expected a key of the plan file. Did you mean bulb.fineness?",
        ),
        (
            "fineness=4,5",
            "--vary: fineness: read an unknown key; expected a key of the plan file. Did you mean bulb.fineness?",
        ),
        (
            "density=4,5",
            f"--vary: density: read an unknown key; expected a key of the plan file. Did you mean {DENSITIES}?",
        ),
        (
            "bulb.target_mass=2 kg,30 mm",
            '--vary: bulb.target_mass: read "30 mm", which is a length; expected a mass from 10 g to 20 t. '
            "Give a mass in g, lb, kg, oz or t.",
        ),
        (
            "bulb.target_mass=2,5kg",
            '--vary: bulb.target_mass: read "2", a number without a unit; expected a mass from 10 g to 20 t. '
            "Give each value its unit. A comma separates two values; for one number, write 2.5kg with a decimal point.",
        ),
        (
            "bulb.fineness=4,fat",
            '--vary: bulb.fineness: read "fat"; expected a bare number from 2 to 20. Write a bare number, such as '
            "5.0, with a decimal point.",
        ),
        (
            "bulb.fineness=4,,5",
            '--vary: bulb.fineness: read "4,,5", with an empty value; expected values separated by single commas. '
            "Remove the extra comma.",
        ),
        (
            "bulb.fineness=4:8:1",
            '--vary: bulb.fineness: read "1" as the number of values; expected a whole number from 2 to 10000. '
            "After the second colon, write the number of values that you want, including both ends.",
        ),
        (
            "bulb.fineness=4:8:10001",
            '--vary: bulb.fineness: read "10001" as the number of values; expected a whole number from 2 to 10000. '
            "After the second colon, write the number of values that you want, including both ends.",
        ),
        (
            "bulb.fineness=4:8",
            '--vary: bulb.fineness: read "4:8"; expected A:B:N (the first value, the last value and '
            "the number of values), or values separated by commas. Write, for example, bulb.fineness=4:8:5.",
        ),
        (
            "bulb.length=1 m:1000 mm:3",
            "--vary: bulb.length: read 1 m and 1000 mm, which are the same; expected two different ends. Change one of "
            "them.",
        ),
        (
            "alloy.grade=pure:linotype:3",
            '--vary: alloy.grade: read "pure:linotype:3"; expected words separated by commas, one of "pure", '
            '"sheet", "antimonial-2", "antimonial-4", "antimonial-6", "wheel-weights", "linotype" or "unknown". '
            "Words cannot form a range: list the words that you want.",
        ),
        (
            "bulb.profile=naca4,sphere",
            '--vary: bulb.profile: read "sphere"; expected one of "naca4", "naca4mod", "spheroid", '
            '"series58", "sears-haack" or "offsets". Did you mean spheroid? "naca4": the NACA four-digit '
            'form, fullest at 30 % of the length; "naca4mod": the same form, but you choose where it is '
            'fullest and how round its nose is; "spheroid": an ellipse rotated about its axis; "series58": '
            'streamlined bodies defined by Gertler\'s parameters; "sears-haack": pointed at both ends, '
            'fullest at the middle; "offsets": a table of x and r that you supply.',
        ),
        (
            "screws.recess=6mm,7mm",
            "--vary: screws.recess: read a screw key without a screw number; expected its number in brackets, "
            "such as screws[1].recess. The first screw is number 1.",
        ),
        (
            "screws[3].recess=6mm,7mm",
            "--vary: screws[3].recess: read screw 3; expected one of the plan's 2 screws. Screws are numbered from "
            "1 to 2.",
        ),
        (
            "alloy.composition=1,2",
            "--vary: alloy.composition: read a key that contains a table; expected a key with one value. Vary "
            "alloy.density or alloy.grade.",
        ),
        (
            "alloy.weighed.in_air=510g,512g",
            "--vary: alloy.weighed.in_air: read a weighed sample's key; expected a plan with a weighed sample. "
            "Give alloy.weighed in the plan, or vary alloy.grade or alloy.density.",
        ),
        (
            "pattern.chord_error=0.01mm,0.02mm",
            "--vary: pattern.chord_error: read a key that changes none of the compared figures; expected a key that "
            "changes them. Vary another one.",
        ),
        (
            "melt.feeder=200g,10%",
            "--vary: melt.feeder: read values of two different kinds; expected values of one kind: a mass from 0 g "
            "to 20 t or a percentage from 0 % to 300 %. Vary one kind of value at a time.",
        ),
    ],
)
def test_a_fault_is_reported_with_what_was_read_what_was_expected_and_its_fix(typed, message):
    assert said(typed) == message


def test_a_plan_without_screws_has_none_to_vary():
    assert said("screws[1].recess=6mm,7mm", table={}) == (
        "--vary: screws[1].recess: read screw 1; expected a screw. The plan contains no [[screws]]."
    )


def test_a_plan_with_one_screw_names_it():
    assert said("screws[2].recess=6mm,7mm", table={"screws": [{}]}) == (
        "--vary: screws[2].recess: read screw 2; expected screw 1, the only one in the plan. Write screws[1].recess."
    )


def test_all_faults_are_reported_in_one_go():
    lines = said("bulb.finness=4,5", "bulb.target_mass=2,3").splitlines()
    assert [line.split(": ")[1] for line in lines] == ["bulb.finness", "bulb.target_mass", "bulb.target_mass"]


def test_three_inputs_are_too_many():
    message = said("bulb.fineness=4,5", "bulb.target_mass=2kg,3kg", "fin.carry_at=0.3,0.4")
    assert message == (
        "--vary: inputs: read 3 inputs; expected one or two. Vary one or two inputs, and vary the others in a "
        "separate run."
    )


def test_the_same_key_twice_is_reported():
    assert said("bulb.fineness=4,5", "bulb.fineness=6,7") == (
        "--vary: bulb.fineness: read the same key twice; expected two different keys. Put all the values in one list."
    )


def test_keys_that_exclude_each_other_cannot_both_vary():
    assert said("bulb.fineness=4,5", "bulb.length=200mm,250mm") == (
        "--vary: bulb.length: read bulb.length together with bulb.fineness; expected keys that a plan can contain "
        "together. Vary only one of them: the other follows from it, or cannot be used with it."
    )


def test_the_grid_may_have_ten_thousand_plans_and_not_one_more():
    assert len(grid_of(read("bulb.fineness=4:8:100", "bulb.target_mass=1kg:2kg:100"))) == LARGEST_GRID
    assert said("bulb.fineness=4:8:101", "bulb.target_mass=1kg:2kg:100") == (
        "--vary: bulb.fineness x bulb.target_mass: read 101 x 100 values, 10100 plans; expected at most 10000 plans. "
        "Use fewer values."
    )
