"""Every plan error has its own full message, and all errors of a file are reported together."""

from __future__ import annotations

import pytest
from plans import LEAST, SCREW, faults_of, with_line, without_line

from bulbcast.plan.answer_words import CALLED
from bulbcast.plan.keys import KEYS, REPEATED, SECTIONS

_BRACKETED = [f"[[{name}]]" if name in REPEATED else f"[{name}]" for name in SECTIONS]
ALL_SECTIONS = f"{', '.join(_BRACKETED[:-1])} and {_BRACKETED[-1]}"


@pytest.mark.parametrize(
    ("text", "message"),
    [
        (
            with_line("bulb", 'skinn = "0.2 mm"'),
            "bulb.skinn: read an unknown key; expected a key that belongs in [bulb]. Did you mean skin?",
        ),
        (
            with_line("melt", 'contraction = "0.9 %"'),
            "melt.contraction: read an unknown key; expected a key that belongs in [melt]. "
            "contraction belongs in [pattern].",
        ),
        (
            with_line("water", "salinity = 35"),
            "water.salinity: read an unknown key; expected a key that belongs in [water]. In "
            "[water] the allowed keys are kind and density.",
        ),
        (
            with_line("fin", 'span = "300 mm"'),
            "fin.span: read an unknown key; expected a key that belongs in [fin]. "
            "Write root_z and tip_z: the heights at which the fin meets the hull and at which it ends.",
        ),
        (
            'tip_chord = "60 mm"\n' + LEAST,
            "tip_chord: read an unknown key; expected a key that belongs at the top of the file. "
            "tip_chord belongs in [fin] or in [rudder].",
        ),
        (
            LEAST + '[patern]\ncoat = "0.1 mm"\n',
            f"[patern]: read an unknown section; expected one of the sections {ALL_SECTIONS}. Did you mean "
            "[pattern]?",
        ),
        (
            LEAST + "[hands]\non_deck = 2\n",
            f"[hands]: read an unknown section; expected one of the sections {ALL_SECTIONS}. Remove "
            "it, or check the spelling.",
        ),
        (
            LEAST.replace('"2.45 kg"', "2.45"),
            "bulb.target_mass: read the bare number 2.45; expected a mass from 10 g to 20 t, with its unit, "
            'in quotes. Write target_mass = "2.45 kg" or target_mass = "2.45 lb".',
        ),
        (
            with_line("melt", "feeder = 200"),
            "melt.feeder: read the bare number 200; expected a mass from 0 g to 20 t or a percentage from "
            '0 % to 300 %, with its unit, in quotes. Write feeder = "200 g" or feeder = "200 %".',
        ),
        (
            LEAST.replace('"2.45 kg"', '"2,45 kg"'),
            'bulb.target_mass: read "2,45 kg", with a comma; expected a mass from 10 g to 20 t. '
            "Write 2.45 kg with a decimal point.",
        ),
        (
            LEAST.replace('"70 mm"', '"70 g"'),
            'fin.tip_chord: read "70 g", which is a mass; expected a length from 1 mm to 10 m. '
            "Give a length in mm, in, cm, m or ft.",
        ),
        (
            LEAST.replace('"70 mm"', '"unknown"'),
            'fin.tip_chord: read "unknown", which does not begin with a number; expected a length from 1 mm '
            "to 10 m. This figure must be measured or chosen: write a number.",
        ),
        (
            with_line("bulb", 'filler_density = "unknown"'),
            'bulb.filler_density: read "unknown", which does not begin with a number; expected a density '
            "from 50 kg/m3 to 25000 kg/m3. Leave the key out; 1.2 g/cm3 is then assumed.",
        ),
        (
            LEAST.replace('"2.45 kg"', '"9 g"'),
            'bulb.target_mass: read "9 g"; expected a mass from 10 g to 20 t. It must be at least 10 g. '
            "Check the unit.",
        ),
        (
            with_line("pattern", 'chord_error = "0.02 m"'),
            'pattern.chord_error: read "0.02 m"; expected a length from 0.0005 mm to 2 mm. '
            "It must be at most 2 mm. Check the unit.",
        ),
        (
            with_line("bulb", "fineness = 1.9"),
            "bulb.fineness: read 1.9; expected a bare number from 2 to 20. It must be at least 2.",
        ),
        (
            with_line("bulb", "fineness = nan"),
            "bulb.fineness: read nan; expected a bare number from 2 to 20. "
            "Write a number, such as fineness = 5.0.",
        ),
        (
            with_line("bulb", "width_to_height = inf"),
            "bulb.width_to_height: read inf; expected a bare number from 0.4 to 3. It must be at most 3.",
        ),
        (
            with_line("bulb", 'fineness = "5"'),
            'bulb.fineness: read the text "5"; expected a bare number from 2 to 20. Remove the quotes: '
            "fineness = 5.",
        ),
        (
            with_line("bulb", 'fineness = "5 : 1"'),
            'bulb.fineness: read the text "5 : 1"; expected a bare number from 2 to 20. '
            "Write a bare number, such as fineness = 5.0.",
        ),
        (
            with_line("bulb", "fineness = true"),
            "bulb.fineness: read true; expected a bare number from 2 to 20. Write fineness = 5.0, say.",
        ),
        (
            LEAST.replace('"70 mm"', '["70 mm"]'),
            "fin.tip_chord: read a list; expected a length from 1 mm to 10 m. "
            'Write tip_chord = "70 mm", say.',
        ),
        (
            LEAST.replace('"pure"', '"Pured"'),
            'alloy.grade: read "Pured"; expected one of "pure", "sheet", "antimonial-2", "antimonial-4", '
            '"antimonial-6", "wheel-weights", "linotype" or "unknown". Did you mean "pure"? "pure": refined '
            'lead, soft enough to mark with a fingernail; "sheet": roofing and flashing sheet; '
            '"antimonial-2": lead with 2 % antimony; "antimonial-4": lead with 4 % antimony; "antimonial-6": '
            'lead with 6 % antimony; "wheel-weights": clip-on tyre weights, sorted; "linotype": printer\'s '
            'metal, with 12 % antimony and 4 % tin; "unknown": not known; the pour is on hold until a piece '
            "has been weighed in air and in water.",
        ),
        (
            'name = " "\n' + LEAST,
            "name: read empty text; expected one line of text, at most 200 characters. Write name = "
            '"Larkspittle", say, or remove the key.',
        ),
        (
            "bulb = 3\n" + LEAST.replace('[bulb]\ntarget_mass = "2.45 kg"\n', ""),
            "[bulb]: read 3; expected a section. Write [bulb] on a separate line and its keys below it.",
        ),
        (
            LEAST + SCREW.replace("[[screws]]", "[screws]"),
            "[screws]: read a section in single brackets; expected each screw in double brackets. "
            "Write [[screws]] above each screw.",
        ),
        (
            without_line("tip_chord"),
            "fin.tip_chord: read nothing; expected a length from 1 mm to 10 m. "
            'Add tip_chord = "70 mm", say, under [fin].',
        ),
        (
            without_line("target_mass"),
            "bulb.target_mass: read nothing; expected a mass from 10 g to 20 t. "
            'Add target_mass = "2.45 kg", say, under [bulb].',
        ),
        (
            LEAST + SCREW + without_line("recess", SCREW.replace("14 mm", "42 mm")),
            "screws[2].recess: read nothing; expected a length from 0 mm to 5 m. "
            'Add recess = "8 mm", say, in this [[screws]].',
        ),
        (
            without_line("grade"),
            "[alloy]: read nothing about the kind of lead; expected exactly one of grade, density, "
            'composition and weighed. Add grade = "pure" under [alloy], or grade = "unknown" if you know '
            "nothing about it.",
        ),
        (
            with_line("alloy", 'density = "11.1 g/cm3"'),
            "[alloy]: read grade and density together; expected exactly one of grade, density, composition "
            "and weighed. Keep the one you trust most and remove the rest.",
        ),
        (
            with_line("bulb", 'fineness = 5\nlength = "240 mm"\ndiameter = "45 mm"'),
            "[bulb]: read fineness, length and diameter together; expected exactly one of fineness, length "
            "and diameter. Keep one of them and remove the rest. The required mass gives the other two.",
        ),
        (
            with_line("water", 'kind = "salt"\ndensity = "1012 kg/m3"'),
            "[water]: read kind and density together; expected one of the two. Remove density for plain "
            "fresh or salt water, or remove kind if you know the density.",
        ),
        (
            with_line("fin", "carry_at = 0.4", with_line("bulb", 'mass_centre_x = "0.4 m"')),
            "fin.carry_at: read carry_at together with bulb.mass_centre_x; expected one of the two, since "
            "both set the position of the mass centre. Remove one of them.",
        ),
        (
            with_line("bulb", "max_at = 0.4"),
            'bulb.max_at: read max_at with profile = "naca4"; expected max_at only with profile "naca4mod" '
            'or "series58". Remove max_at, or write profile = "naca4mod" or "series58".',
        ),
        (
            with_line("bulb", 'profile = "naca4mod"\nmax_at = 0.35\nnose_index = 6'),
            "bulb.max_at: read 0.35; expected one of the published values 0.2, 0.3, 0.4, 0.5 or 0.6. Write "
            "max_at = 0.3, the nearest of them.",
        ),
        (
            with_line("bulb", 'profile = "naca4mod"\nmax_at = 0.4\nnose_index = 0'),
            "bulb.nose_index: read 0; expected a bare number above 0 and up to 8. It must be above 0.",
        ),
        (
            with_line("bulb", 'profile = "series58"\nmax_at = 0.4\nnose_radius = 0.5\ntail_radius = 0.1'),
            "bulb.prismatic: read nothing; expected a bare number above 0 and below 1, which "
            'profile = "series58" needs. Add prismatic = 0.65, say, under [bulb].',
        ),
        (
            with_line("bulb", 'profile = "offsets"'),
            'bulb.offsets: read nothing; expected text in quotes, which profile = "offsets" needs. '
            'Add offsets = "profile.csv", say, under [bulb].',
        ),
        (
            LEAST.replace('"7 mm"', '"70 mm"'),
            'fin.tip_thickness: read tip_thickness = "70 mm" with tip_chord = "70 mm"; expected a thickness less '
            "than the chord. "
            "Check whether the two are swapped.",
        ),
        (
            with_line("bulb", 'diameter = "45 mm"\ntail_diameter = "1.8 in"'),
            'bulb.tail_diameter: read tail_diameter = "1.8 in" with diameter = "45 mm"; expected a tail '
            "thinner than the bulb. Make it smaller, or omit it to get 8 % of the diameter.",
        ),
        (
            LEAST + SCREW.replace('"4.5 mm"', '"3.9 mm"'),
            'screws[1].diameter: read diameter = "4 mm" with hole_diameter = "3.9 mm"; expected a screw that '
            "fits through its hole. Widen the hole, or use a thinner screw.",
        ),
        (
            LEAST + SCREW.replace('"8 mm"\nhead_h', '"4.5 mm"\nhead_h'),
            'screws[1].hole_diameter: read hole_diameter = "4.5 mm" with head_diameter = "4.5 mm"; expected '
            "a head wider than its hole. Fix one of the two: the head must rest on the lead round the hole.",
        ),
        (
            LEAST.replace('grade = "pure"', "composition = {Pb = 90, Sb = 4}"),
            "alloy.composition: read Pb = 90, Sb = 4, together 94; expected percentages that add up to 100, "
            "within 0.1. Fix the parts. With Pb = 96 they add up to 100.",
        ),
        (
            LEAST.replace('grade = "pure"', "composition = {Pb = 96, Zn = 4}"),
            "alloy.composition.Zn: read an element that is not accepted; expected parts of Pb, Sb, Sn, As, "
            "Bi, Ag and Cu. Zinc spoils the melt: remove it before melting. If your scrap contains other "
            "metals, weigh a sample in air and in water (alloy.weighed) instead.",
        ),
        (
            LEAST.replace('grade = "pure"', "composition = {pb = 96, Sb = 4}"),
            "alloy.composition.pb: read an element that is not accepted; expected parts of Pb, Sb, Sn, As, Bi, "
            "Ag and Cu. Did you mean Pb?",
        ),
        (
            LEAST.replace('grade = "pure"', 'composition = {Pb = 96, Sb = "4 %"}'),
            'alloy.composition.Sb: read "4 %"; expected a bare number from 0 to 100, in per cent by '
            "mass. Write Sb = 4, say.",
        ),
        (
            LEAST.replace('grade = "pure"', 'weighed = {in_air = "466.4 g", in_water = "512 g"}'),
            'alloy.weighed.in_water: read in_water = "512 g" with in_air = "466.4 g"; expected less in water '
            "than in air. Check whether the two are swapped. In water the sample must hang clear of the "
            "bottom.",
        ),
        (
            LEAST.replace('grade = "pure"', 'weighed = {in_air = "466.4 g", in_water = "0.4664 kg"}'),
            'alloy.weighed.in_water: read in_water = "0.4664 kg" with in_air = "466.4 g"; expected less in '
            "water than in air. Check whether the two are swapped. In water the sample must hang clear of "
            "the bottom.",
        ),
        (
            LEAST.replace('grade = "pure"', 'weighed = {in_air = "466.4 g"}'),
            "alloy.weighed.in_water: read nothing; expected a mass above 0 g and up to 1 t. "
            'Add in_water = "466.4 g", say, in weighed.',
        ),
        (
            with_line("alloy", 'water_temperature = "15 C"'),
            "alloy.water_temperature: read water_temperature without a weighed sample; expected "
            "water_temperature only with weighed. Remove water_temperature, or give weighed = "
            '{in_air = "512.0 g", in_water = "466.4 g"}.',
        ),
        (
            LEAST.replace(
                'grade = "pure"',
                'weighed = {in_air = "512 g", in_water = "466 g", water_temperature = "20 C"}\n'
                'water_temperature = "20 C"',
            ),
            "alloy.water_temperature: read water_temperature in [alloy] and in weighed; expected the key only once. "
            "Remove one of the two.",
        ),
    ],
)
def test_a_fault_is_reported_in_one_whole_message(text, message):
    assert faults_of(text) == [f"lark.toml: {message}"]


def test_readings_that_no_lead_alloy_gives_are_a_fault():
    # 512 g that lose only 20 g under water: 25.6 g/cm3.
    (message,) = faults_of(
        LEAST.replace('grade = "pure"', 'weighed = {in_air = "512 g", in_water = "492 g"}')
    )
    assert message.startswith(
        'lark.toml: alloy.weighed: read in_air = "512 g" with in_water = "492 g"; '
        "expected readings that give a density from 5 g/cm3 to 11.6 g/cm3. "
    )
    assert "25.52 g/cm3" in message


def test_what_builders_call_a_figure_leads_to_keys_that_exist() -> None:
    for (section, word), remedy in CALLED.items():
        assert f"{section}.{word}" not in KEYS
        keys = [one.strip(",.:;") for one in remedy.split() if "_" in one]
        assert keys or remedy.split()[1].strip(",.:;") in {one.leaf for one in KEYS.values()}
        assert all(any(one.leaf == key or one.name == key for one in KEYS.values()) for key in keys)
