"""The section key of [fin]: accepted and rejected values, and the results."""

import math
import re

import pytest
from plans import LEAST, codes, faults_of, job_of, the_finding

from bulbcast.fin.stiffness import station_stiffness
from bulbcast.joint.joint_loads import tip_part
from bulbcast.plan.reading import read_plan

BARE = LEAST.replace('tip_thickness = "7 mm"\n', "")
MEASURED = 'section = "measured"\nmeasured = {"5 mm" = "4.2 mm", "3/4 in" = "7.0 mm", "68 mm" = "0.9 mm"}\n'


def fin(lines: str, base: str = BARE) -> str:
    return base.replace("[fin]\n", f"[fin]\n{lines}")


def test_measured_thicknesses_are_read_in_any_units_and_give_the_thickness():
    plan = read_plan(fin(MEASURED), source="lark.toml")
    assert plan.fin.measured == ((0.005, 0.0042), (0.01905, 0.007), (0.068, 0.0009))
    assert plan.fin.tip_thickness == 0.007
    assert [(one.key, one.value) for one in plan.defaults if one.key == "fin.tip_thickness"] == [
        ("fin.tip_thickness", "7 mm")
    ]


def test_the_order_in_which_places_are_written_says_nothing():
    other = 'section = "measured"\nmeasured = {"68 mm" = "0.9 mm", "5 mm" = "4.2 mm", "3/4 in" = "7.0 mm"}\n'
    one, two = (read_plan(fin(text), source="lark.toml") for text in (MEASURED, other))
    assert one.fin == two.fin


@pytest.mark.parametrize(
    ("lines", "read"),
    [
        ('section = "measured"\n', "nothing"),
        ('section = "measured"\nmeasured = {"5 mm" = "4 mm"}\n', "a total of 1"),
        ('section = "measured"\nmeasured = {"5 mm" = 4.2, "9 mm" = "7 mm"}\n', "the bare number 4.2"),
        ('section = "measured"\nmeasured = {"5" = "4.2 mm", "9 mm" = "7 mm"}\n', "5"),
        ('section = "measured"\nmeasured = {"5 mm" = "4 mm", "0.5 cm" = "5 mm"}\n', "again"),
        (
            'section = "measured"\nmeasured = {"5 mm" = "4 mm", "9 mm" = "0 mm", "20 mm" = "4 mm"}\n',
            "no thickness at 9 mm",
        ),
        ('section = "measured"\nmeasured = {"5 mm" = "4 mm", "71 mm" = "1 mm"}\n', "a point at 71 mm"),
        (
            'section = "measured"\nmeasured = {"5 mm" = "4 mm", "30 mm" = "80 mm"}\n',
            "a thickness equal to or greater than",
        ),
        (MEASURED + 'tip_thickness = "7 mm"\n', 'tip_thickness with section = "measured"'),
        ('tip_thickness = "7 mm"\nmax_at = 0.45\nsection = "plate"\n', "max_at"),
        ('tip_thickness = "7 mm"\nedge_radius = "1 mm"\n', "edge_radius"),
        ('tip_thickness = "7 mm"\nsection = "plate"\nedge_radius = "4 mm"\n', 'edge_radius = "4 mm" with'),
        ('tip_thickness = "7 mm"\nmax_at = 0.7\n', "0.7"),
        ("", "nothing"),
    ],
)
def test_a_slip_is_one_fault_at_its_key(lines, read):
    (fault,) = faults_of(fin(lines))
    assert read in fault


def test_names_of_the_trade_are_understood():
    plan = read_plan(fin('section = "Flat plate"\ntip_thickness = "4 mm"\n'), source="lark.toml")
    assert plan.fin.section == "plate"


def test_a_plate_bends_as_a_flat_bar_and_turns_about_its_middle():
    """The edges are half-round: b t^3 / 12 for the flat part, and a circle's pi t^4 / 64 for both edges."""
    text = (
        fin('section = "plate"\ntip_thickness = "5 mm"\n')
        + """root_chord = "70 mm"
root_thickness = "5 mm"
root_leading_edge_x = "0 mm"
root_z = "300 mm"
[strength]
section = "solid"
modulus = "70 GPa"
shear_modulus = "26 GPa"
"""
    )
    job = job_of(text)
    fin_of = job.strength.fin
    assert job.plan.fin.elastic_axis == pytest.approx(0.5, abs=1e-12)
    found = station_stiffness(fin_of.section, 0.070, 0.005, fin_of.foil.shape)
    by_hand = 0.065 * 0.005**3 / 12 + math.pi * 0.005**4 / 64
    assert found.bending == pytest.approx(70e9 * by_hand, rel=1e-9)
    assert found.axial == pytest.approx(70e9 * (0.065 * 0.005 + math.pi * 0.005**2 / 4), rel=1e-9)
    assert found.fibres[0].half_depth == 0.0025
    assert fin_of.knockdown.bulb_deflection > 0


def test_tip_part_of_a_plate_is_a_bar_less_its_round_edge():
    tip = job_of(fin('section = "plate"\ntip_thickness = "4 mm"\n')).bulb.pocket.tip
    area, at = tip_part(tip, 0.010, 0.030)
    assert area == pytest.approx(0.02 * 0.004, rel=1e-12)
    assert at == pytest.approx(0.02, rel=1e-12)
    whole, middle = tip_part(tip, 0.0, 0.070)
    assert whole == pytest.approx(0.066 * 0.004 + math.pi * 0.002**2, rel=1e-9)
    assert middle == pytest.approx(0.035, rel=1e-9)


SLOT = 'slot_width = "7.6 mm"\nslot_length = "80 mm"\nslot_depth = "8 mm"\n'


@pytest.mark.parametrize(
    ("lines", "read"),
    [
        ('slot_width = "7.6 mm"\nslot_length = "80 mm"\n', "slot_depth"),
        ('slot_depth = "8 mm"\nslot_length = "80 mm"\n', "slot_width"),
        (SLOT + 'pocket_depth = "8 mm"\n', "pocket_depth together with slot_width"),
        (SLOT + 'pocket_clearance = "0.2 mm"\n', "pocket_clearance together with slot_width"),
        (SLOT + 'joint = "through"\n', "slot"),
        ('slot_width = "80 mm"\nslot_length = "7.6 mm"\nslot_depth = "8 mm"\n', "slot_width"),
    ],
)
def test_a_slots_keys_go_together_and_with_no_other_pocket(lines, read):
    assert any(read in fault for fault in faults_of(fin(lines, LEAST)))


@pytest.mark.parametrize("section", ["foil", "plate"])
@pytest.mark.parametrize("more", ["", 'slot_at = "-4 mm"\n'])
def test_a_fin_that_does_not_go_into_its_slot_is_told_a_slot_that_takes_it(section, more):
    text = fin(
        f'section = "{section}"\nslot_width = "6 mm"\nslot_length = "71 mm"\nslot_depth = "8 mm"\n{more}',
        LEAST,
    )
    finding = the_finding(job_of(text), "fin-not-in-slot")
    for line in finding.fix:
        leaf = line.key.removeprefix("fin.")
        text = re.sub(rf"(?m)^{leaf} = .*$", f"{leaf} = {line.value}", text)
    assert "fin-not-in-slot" not in codes(job_of(text))


def test_a_slot_left_to_itself_has_its_middle_under_the_chords():
    slot = job_of(fin(SLOT, LEAST)).bulb.pocket.tip.slot
    assert (slot.at, slot.length, slot.width) == pytest.approx((-0.005, 0.080, 0.0076), abs=1e-12)


@pytest.mark.parametrize("lines", [SLOT.replace('"8 mm"', '"80 mm"'), 'pocket_depth = "80 mm"\n'])
def test_a_pocket_deeper_than_the_bulb_is_a_stop_and_no_blade_right_through(lines):
    finding = the_finding(job_of(fin(lines, LEAST)), "pocket-through-side")
    assert "the pocket comes out through the underside" in finding.message


def test_a_slot_that_would_swallow_a_smaller_bulb_is_answered_and_stopped():
    """The lightest bulbs in the search are entirely inside the slot and have no mass."""
    lines = 'slot_width = "500 mm"\nslot_length = "9 m"\nslot_depth = "1 m"\n'
    job = job_of(fin(lines, LEAST))
    assert job.bulb.mass == pytest.approx(2.45, rel=1e-9)
    assert job.stopped
