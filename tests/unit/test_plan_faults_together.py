"""Parsing of a plan's text line by line, with all errors of one file reported together."""

from __future__ import annotations

import pytest
from plans import LEAST, SCREW, faults_of, with_line, without_line

from bulbcast.plan.faults import Fault, PlanError
from bulbcast.plan.reading import read_plan


@pytest.mark.parametrize(
    ("text", "message"),
    [
        (
            LEAST.replace('"2.45 kg"', "2.45 kg"),
            'line 2: read "target_mass = 2.45 kg" (Expected newline or end of document after a statement); '
            'expected a line such as target_mass = "2.45 kg". '
            'Put the value in quotes: target_mass = "2.45 kg".',
        ),
        (
            LEAST.replace('"70 mm"', '2-3/4"'),
            "line 6: read 'tip_chord = 2-3/4\"' (Expected newline or end of document after a statement); "
            'expected a line such as tip_chord = "70 mm". Put the value in quotes: tip_chord = \'2-3/4"\'.',
        ),
        (
            LEAST.replace('"70 mm"', '"2-3/4""'),
            'line 6: read \'tip_chord = "2-3/4""\' (Expected newline or end of document after a statement); '
            'expected a line such as tip_chord = "70 mm". The text ends at the second ". Write inches as '
            '"2.75 in" and feet as "3 ft".',
        ),
        (
            LEAST.replace('"70 mm"', '"70 mm'),
            "line 6: read 'tip_chord = \"70 mm' (Illegal character '\\n'); expected a line such as "
            'tip_chord = "70 mm". Close the quotes at the end of the value with ".',
        ),
        (
            LEAST.replace('"70 mm"', "“70 mm”"),
            'line 6: read "tip_chord = “70 mm”" (Invalid value); expected a line such as tip_chord = "70 '
            'mm". Use straight quotes, " or \'.',
        ),
        (
            with_line("bulb", "fineness = 5,5"),
            'line 2: read "fineness = 5,5" (Expected newline or end of document after a statement); '
            "expected a line such as fineness = 5.0. Write fineness = 5.5 with a decimal point.",
        ),
        (
            with_line("bulb", "fineness ="),
            'line 2: read "fineness =" (Invalid value); expected a line such as fineness = 5.0. Write a '
            "value after the equals sign, or remove the line.",
        ),
        (
            with_line("bulb", 'target_mass = "2 kg"'),
            "line 3: read target_mass for the second time; expected each key and each section once. Keep one "
            "of the two.",
        ),
        (
            "[bulb]\n" + LEAST,
            "line 2: read [bulb] for the second time; expected each key and each section once; screws as "
            "[[screws]]. Keep one of the two.",
        ),
        (
            LEAST + "carry_at\n",
            "line 8: read \"carry_at\" (Expected '=' after a key in a key/value pair); expected a line of "
            "TOML, key = value. Write key = value; a comment begins with #.",
        ),
        (
            LEAST + '"""',
            "line 8: read '\"\"\"' (Expected '=' after a key in a key/value pair); expected a line of TOML, "
            "key = value. Write key = value; a comment begins with #.",
        ),
        (
            LEAST + 'material = """metal\n',
            "the end of the file: read the end of the file with something still open (Unterminated string); "
            "expected all quoted text, lists and tables closed. Look for a quote or bracket that is opened but not "
            "closed.",
        ),
        (
            b"# Schl\xfcssel\n" + LEAST.encode(),
            "line 1: read a byte that is not UTF-8 (0xfc); expected plain text in UTF-8. Save the file again "
            "as UTF-8, or retype the characters of this line.",
        ),
        (
            LEAST.encode("utf-16"),
            "line 1: read a file in UTF-16; expected plain text in UTF-8. Save the file again as UTF-8.",
        ),
        (
            bytes(range(128, 250)) + b"\n" + b"\xff\n" * 30,
            "the file: read 31 lines that are not UTF-8; expected plain text in UTF-8. Check that this is the "
            "plan file; if so, save it again as UTF-8.",
        ),
        (
            "x = " + "[" * 100_000,
            "the file: read lists or tables nested too deeply; expected a plan. Check that this is a plan.",
        ),
        (
            "x = " + "9" * 5_000,
            "the file: read a number with thousands of digits; expected numbers of ordinary length. Check "
            "that this is a plan. If it is, find the number and shorten it.",
        ),
        (
            "#" * 1_000_001,
            "the file: read 1000001 characters; expected a plan of at most 1000000 characters. "
            "Check that this is the plan file.",
        ),
    ],
)
def test_a_file_that_is_no_toml_gets_a_fault_with_its_line(text, message):
    assert faults_of(text) == [f"lark.toml: {message}"]


def test_after_twenty_faulty_lines_the_rest_is_put_off_and_that_is_said():
    messages = faults_of("length = 5 mm\n" * 30)
    assert len(messages) == 21
    assert messages[-1] == (
        "lark.toml: the file: read 20 lines that are not TOML, and perhaps more after them; expected a plan. "
        "Fix these first. The rest of the file is read after that."
    )


def test_a_quantity_without_quotes_does_not_hide_the_other_faults():
    messages = faults_of(
        LEAST.replace('"2.45 kg"', "2.45 kg").replace('"7 mm"', '"7 g"') + "[[screws]]\nat = 14 mm\n"
    )
    assert [message.split(": read ")[0] for message in messages] == [
        "lark.toml: line 2",
        "lark.toml: line 9",
        "lark.toml: fin.tip_thickness",
        *(
            f"lark.toml: screws[1].{leaf}"
            for leaf in ("diameter", "hole_diameter", "head_diameter", "head_height", "recess", "length")
        ),
    ]


def test_a_file_with_ten_faults_yields_ten():
    messages = faults_of("""\
display_units = "cubits"
[water]
kind = "brackish"
[bulb]
target_mass = 2.45
fineness = "five"
skin = "0,2 mm"
max_at = 0.4
[alloy]
grade = "pure"
density = "11.1 g/cm3"
[fin]
tip_chord = "70 mm"
tip_thickness = "7 kg"
pocket_dept = "6 mm"
rake = "50 deg"
""")
    assert [message.split(": read ")[0].removeprefix("lark.toml: ") for message in messages] == [
        "display_units",
        "water.kind",
        "bulb.target_mass",
        "bulb.fineness",
        "bulb.skin",
        "fin.tip_thickness",
        "fin.pocket_dept",
        "fin.rake",
        "bulb.max_at",
        "[alloy]",
    ]


def test_one_slip_makes_one_message():
    # A misspelled key is not called missing as well, nor its section's keys when the section is misspelled.
    assert len(faults_of(LEAST.replace("tip_chord", "tip_cord"))) == 1
    assert len(faults_of(LEAST.replace("grade", "grad"))) == 1
    assert len(faults_of(LEAST.replace("[bulb]", "[bulbs]"))) == 1
    assert len(faults_of(LEAST.replace("tip_thickness = ", "tip_thickness = -"))) == 1
    assert len(faults_of(LEAST + SCREW.replace("[[screws]]", "[[screw]]"))) == 1
    assert len(faults_of('target_mass = "2.45 kg"\n' + without_line("target_mass"))) == 1
    assert len(faults_of(with_line("bulb", 'profile = "series59"\nprismatic = 0.6'))) == 1
    assert len(faults_of(with_line("bulb", 'fineness = 5\nmax_diameter = "45 mm"'))) == 1
    assert len(faults_of(LEAST.replace('grade = "pure"', "weighed = {in_air = 512 g}"))) == 1


def test_a_section_that_only_sounds_like_another_is_not_read_as_it():
    (message,) = faults_of(LEAST + "[crew]\nhands = 2\n")
    assert message.endswith("Did you mean [[screws]]?")


def test_what_is_wrong_within_a_misspelled_section_is_reported_too():
    messages = faults_of(LEAST.replace("[fin]", "[finn]").replace('"70 mm"', "70"))
    assert [message.split(": read ")[0] for message in messages] == [
        "lark.toml: [finn]",
        "lark.toml: fin.tip_chord",
    ]


def test_a_fault_keeps_its_parts_apart():
    with pytest.raises(PlanError) as caught:
        read_plan(without_line("tip_chord"), source="lark.toml")
    assert caught.value.faults == (
        Fault(
            file="lark.toml",
            key="fin.tip_chord",
            read="nothing",
            expected="a length from 1 mm to 10 m",
            remedy='Add tip_chord = "70 mm", say, under [fin].',
        ),
    )


@pytest.mark.parametrize(
    ("text", "count"),
    [
        (LEAST + SCREW.replace('"4.5 mm"', '"4 mm"'), 0),
        (LEAST + SCREW.replace('"4.5 mm"', '"3.999 mm"'), 1),
        (LEAST.replace('grade = "pure"', "composition = {Pb = 95.9, Sb = 4}"), 0),
        (LEAST.replace('grade = "pure"', "composition = {Pb = 96.1, Sb = 4}"), 0),
        (LEAST.replace('grade = "pure"', "composition = {Pb = 95.89, Sb = 4}"), 1),
        (LEAST.replace('grade = "pure"', "composition = {Pb = 96.11, Sb = 4}"), 1),
        (LEAST.replace('grade = "pure"', "composition = {Pb = 100, Sb = 0}"), 0),
        (LEAST.replace('grade = "pure"', "composition = {Pb = 104, Sb = -4}"), 2),
        (LEAST.replace('"7 mm"', '"69.9 mm"'), 0),
        (LEAST.replace('"7 mm"', '"70 mm"'), 1),
        (with_line("bulb", 'diameter = "45 mm"\ntail_diameter = "44.9 mm"'), 0),
        (with_line("bulb", 'diameter = "45 mm"\ntail_diameter = "45 mm"'), 1),
        (
            with_line(
                "bulb", 'profile = "series58"\nmax_at = 1\nnose_radius = 0\ntail_radius = 0\nprismatic = 1'
            ),
            2,
        ),
        (
            with_line(
                "bulb", 'profile = "series58"\nmax_at = 0\nnose_radius = 0\ntail_radius = 0\nprismatic = 0'
            ),
            2,
        ),
        (with_line("bulb", 'profile = "naca4mod"\nmax_at = 0.6\nnose_index = 8'), 0),
        (with_line("bulb", 'profile = "naca4mod"\nmax_at = 0.7\nnose_index = 8.01'), 2),
        (with_line("alloy", 'porosity = "10 %"'), 0),
        (with_line("alloy", 'porosity = "10.01 %"'), 1),
        (with_line("pattern", 'mould_expansion = "-1 %"\ncontraction = "4 %"'), 0),
        (with_line("pattern", 'mould_expansion = "-1.01 %"\ncontraction = "4.01 %"'), 2),
    ],
)
def test_a_limit_is_where_it_is_said_to_be(text, count):
    try:
        read_plan(text, source="lark.toml")
    except PlanError as error:
        found = len(error.faults)
    else:
        found = 0
    assert found == count
