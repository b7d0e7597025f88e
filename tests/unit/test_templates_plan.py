"""[templates] and [ribs] in the plan: accepted values, full messages for rejected ones, and the text on ribs."""

from __future__ import annotations

import pytest
from plans import example_text

from bulbcast.fin.built import ribs_job
from bulbcast.job import run
from bulbcast.job.plan_json import plan_object
from bulbcast.pattern_shop.templates.collected import template_set
from bulbcast.pattern_shop.templates.surfaces import paper_of, parting_of
from bulbcast.pattern_shop.work import planned_shop
from bulbcast.plan.faults import PlanError
from bulbcast.plan.reading import read_plan

FENWISP = example_text("fenwisp")
ROOT = """root_chord = "85 mm"
root_thickness = "9 mm"
root_leading_edge_x = "380 mm"
root_z = "-50 mm"

[[screws]]"""
WITH_ROOT = FENWISP.replace("[[screws]]", ROOT, 1)


def faults(text):
    with pytest.raises(PlanError) as caught:
        read_plan(text, source="fenwisp.toml")
    return [fault.message for fault in caught.value.faults]


def ribs(text="", plan=WITH_ROOT):
    return run(read_plan(f"{plan}\n[ribs]\n{text}", source="fenwisp.toml"))


def test_without_the_section_paper_goes_with_the_units():
    plan = read_plan(FENWISP, source="fenwisp.toml")
    assert (plan.templates, plan.ribs) == (None, None)
    assert paper_of(plan) == "A4"
    inches = FENWISP.replace('display_units = "metric"', 'display_units = "imperial"')
    assert paper_of(read_plan(inches, source="fenwisp.toml")) == "letter"


def test_paper_and_spaces_are_as_asked():
    job = run(
        read_plan(
            FENWISP + '\n[templates]\npaper = "A3"\nspacing = "20 mm"\nturning_spacing = "5 mm"\n',
            source="fenwisp.toml",
        )
    )
    assert paper_of(job.plan) == "A3"
    said = plan_object(job)["templates"]
    assert [one["from_nose_m"] for one in said["pattern_stations"]][:3] == pytest.approx([0.01, 0.02, 0.04])
    assert said["turning"][4]["from_nose_m"] == pytest.approx(0.01)


def test_a_bulb_without_a_mould_parts_where_it_is_widest():
    for ratio, plane in (("1.2", "horizontal"), ("0.8", "vertical")):
        text = FENWISP.split("[mould]")[0].replace(
            "fineness = 6.0", f"fineness = 6.0\nwidth_to_height = {ratio}"
        )
        job = run(read_plan(text, source="fenwisp.toml"))
        assert parting_of(planned_shop(job).plane, job.bulb.body) == plane


@pytest.mark.parametrize(
    ("old", "new", "plane"),
    [
        ("[mould]", '[mould]\nsplit = "port-starboard"', "vertical"),
        ("[mould]", '[parting]\nplane = "vertical"\n\n[mould]', "vertical"),
        ("[mould]", '[parting]\nplane = "none"\n\n[mould]', "horizontal"),
        ("[mould]", "[mould]", "horizontal"),
    ],
)
def test_half_templates_end_where_the_pattern_parts(old, new, plane):
    job = run(read_plan(FENWISP.replace(old, new, 1), source="fenwisp.toml"))
    assert plan_object(job)["templates"]["parting"] == plane
    half = next(one for one in template_set(job).templates if one.name == "station-p3-outside")
    assert half.notes[-1] == f"half, for {'port and starboard' if plane == 'vertical' else 'above and below'}"


def test_half_templates_end_where_cored_prints_make_the_pattern_part():
    text = FENWISP.split("[mould]")[0].replace("[[screws]]", 'pocket = "cored"\n\n[[screws]]', 1)
    job = run(read_plan(text, source="fenwisp.toml"))
    assert planned_shop(job).plane == "vertical"
    assert plan_object(job)["templates"]["parting"] == "vertical"


def test_ribs_are_whole_numbers():
    assert faults(WITH_ROOT + "\n[ribs]\ncount = 4.5\n") == [
        "fenwisp.toml: ribs.count: read 4.5; expected a whole number of ribs. Set count = 4."
    ]


def test_a_plates_place_wants_its_thickness():
    assert faults(WITH_ROOT + '\n[ribs]\nplate_width = "20 mm"\n') == [
        "fenwisp.toml: ribs.plate_width: read plate_width without plate_thickness; expected both "
        'plate_width and plate_thickness, or neither. Add plate_thickness = "2 mm", say, or remove plate_width.'
    ]


def test_ribs_want_the_whole_fin():
    messages = faults(FENWISP + "\n[ribs]\ncount = 5\n")
    assert len(messages) == 4
    assert messages[0] == (
        "fenwisp.toml: fin.root_chord: read nothing; expected a length from 1 mm to 10 m, which the ribs "
        'need: they run from the fin\'s root to its tip. Add root_chord = "85 mm", say, under [fin], or '
        "remove [ribs]."
    )


def test_the_root_without_boat_and_without_ribs_is_still_refused():
    assert faults(WITH_ROOT)[0] == (
        "fenwisp.toml: fin.root_chord: read root_chord without [boat]; expected root_chord only if the boat "
        "is given. Remove root_chord, or add [boat] with the hull."
    )


def test_a_plate_that_reaches_past_the_edge_is_refused_with_the_width_that_would_do():
    with pytest.raises(PlanError) as caught:
        ribs('plate_thickness = "2 mm"\nplate_width = "50 mm"')
    assert caught.value.faults[0].message == (
        "fenwisp.toml: ribs.plate_width: read a centre plate 50.0 mm wide, with its middle at 0.3 of the chord; expected "
        "a plate narrower than 43.2 mm, "
        'to fit within the shortest chord of the fin, 72.0 mm. Set plate_width = "42.3 mm" or less.'
    )
    ribs('plate_thickness = "2 mm"\nplate_width = "42.3 mm"')


def test_a_plate_is_refused_by_the_narrower_foil_in_the_builders_unit():
    text = example_text("larkmoss").replace('"metric"', '"imperial"')
    asked = f'{text}\n[ribs]\nplate_thickness = "1.5 mm"\nplate_width = "WIDTH"\n'
    plan = read_plan(asked.replace("WIDTH", "25 mm"), source="larkmoss.toml")
    with pytest.raises(PlanError) as caught:
        ribs_job(plan)
    assert str(caught.value) == (
        "larkmoss.toml: ribs.plate_width: read a centre plate 31/32 in wide, with its middle at 0.3 of the chord; "
        "expected a plate narrower than 13/16 in, "
        'to fit within the shortest chord of the rudder, 1 11/32 in. Set plate_width = "25/32 in" or less.'
    )
    assert len(ribs_job(read_plan(asked.replace("WIDTH", "25/32 in"), source="larkmoss.toml"))) == 2


@pytest.mark.parametrize(
    ("written", "needed", "thinner"),
    [
        ('skin = "4.2 mm"', "the skin on both sides needs 8.40 mm", "Use a thinner skin, or"),
        (
            'skin = "3.2 mm"\nplate_thickness = "2 mm"',
            "the skin and the centre plate need 8.40 mm",
            "Use a thinner skin or plate, or",
        ),
    ],
)
def test_a_skin_that_leaves_no_rib_is_reported_and_withholds_nothing(written, needed, thinner):
    job = ribs(written)
    found = [finding for finding in job.findings if finding.code == "rib-vanishes"]
    assert [(one.severity.value, one.message) for one in found] == [
        (
            "caution",
            f"The fin is 8.00 mm thick at 280.0 mm below the root, but {needed}. No rib is left at that height, and none "
            "is drawn.",
        )
    ]
    assert found[0].remedy.startswith(thinner)
    assert not job.stopped


def test_a_slot_that_leaves_too_little_is_reported():
    job = ribs('skin = "1 mm"\nplate_thickness = "5.6 mm"\nplate_width = "16 mm"')
    found = [finding for finding in job.findings if finding.code == "rib-slot-thin"]
    assert len(found) == 1
    assert found[0].found < found[0].limit == 0.001
    assert found[0].message.endswith(
        "280.0 mm below the root of the fin. A strip thinner than 1.00 mm breaks when the slot is cut."
    )
    wide = ribs('skin = "1 mm"\nplate_thickness = "7 mm"\nplate_width = "16 mm"')
    assert any("cuts through the side of the rib by" in finding.message for finding in wide.findings)


def test_ribs_stand_in_plan_json():
    said = plan_object(ribs('count = 3\nskin = "1 mm"\nplate_thickness = "2 mm"'))["ribs"]
    assert [one["foil"] for one in said] == ["fin"]
    assert [one["below_root_m"] for one in said[0]["ribs"]] == pytest.approx([0.0, 0.14, 0.28])
    assert said[0]["ribs"][0]["chord_m"] == pytest.approx(0.085)


def test_spaces_that_give_sheets_without_end_are_refused_with_ones_that_would_do():
    # A pattern of about 1.06 m.
    text = example_text("saltmarrow")
    asked = f'{text}\n[templates]\nspacing = "5 mm"\nturning_spacing = "1 mm"\n'
    with pytest.raises(PlanError) as caught:
        run(read_plan(asked, source="saltmarrow.toml"))
    assert [fault.message for fault in caught.value.faults] == [
        "saltmarrow.toml: templates.spacing: read a spacing that gives 212 stations; expected at most 60 stations. "
        'Set spacing = "17.7 mm" or more.',
        "saltmarrow.toml: templates.turning_spacing: read a spacing that gives 1059 rows in the turning table; expected at "
        'most 600 rows in the turning table. Set turning_spacing = "1.8 mm" or more.',
    ]
    repaired = asked.replace('"5 mm"', '"17.7 mm"').replace('"1 mm"\n', '"1.8 mm"\n')
    assert not run(read_plan(repaired, source="saltmarrow.toml")).stopped


def test_a_space_longer_than_the_bulb_leaves_the_thickest_section():
    text = FENWISP + '\n[templates]\nspacing = "2 m"\nturning_spacing = "2 m"\n'
    job = run(read_plan(text, source="fenwisp.toml"))
    said = plan_object(job)["templates"]
    assert [one["half_width_m"] for one in said["pattern_stations"]] == pytest.approx(
        [0.5 * job.pattern.width]
    )
    assert [one["from_nose_m"] for one in said["turning"]] == pytest.approx([0.0, job.pattern.length])
