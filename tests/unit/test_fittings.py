"""Cross pins, cast-in studs and blades through the bulb: ledger, findings and rules, checked by hand and with
independent integrals.
"""

from __future__ import annotations

import math
import re

import numpy as np
import pytest
from scipy.integrate import dblquad

from bulbcast.compare import compare, read_variations
from bulbcast.fin.tip_section import half_thickness
from bulbcast.job import run
from bulbcast.plan.faults import PlanError
from bulbcast.plan.reading import read_plan_table

BASE = {
    "bulb": {"target_mass": "2.45 kg", "fineness": 5, "skin": "0.2 mm"},
    "alloy": {"grade": "pure"},
    "fin": {"tip_chord": "70 mm", "tip_thickness": "7 mm", "pocket_depth": "22 mm", "pocket": "cored"},
}
PIN = {"at": "30 mm", "height": "8 mm", "diameter": "3 mm", "hole_diameter": "3.4 mm", "length": "30 mm"}
STUD = {"at": "32 mm", "diameter": "4 mm", "bore": "2 mm", "below": "17 mm", "above": "20 mm"}


def job_for(*, fin=None, pins=(), studs=(), **sections):
    table = {**BASE, **sections, "fin": {**BASE["fin"], **(fin or {})}}
    if pins:
        table["cross_pins"] = list(pins)
    if studs:
        table["studs"] = list(studs)
    return run(read_plan_table(table, source="plan.toml", sha256="0" * 64))


def lines_of(job):
    return {line.name: line for line in job.bulb.lines}


def codes(job):
    return {finding.code: finding for finding in job.findings}


def test_a_pins_hole_is_the_lead_outside_the_pocket_by_an_independent_double_integral():
    job = job_for(pins=[PIN])
    bulb = job.bulb
    body, axis, pocket = bulb.body, bulb.axis, bulb.pocket
    cx, cz = pocket.leading_edge_x + 0.030, axis.floor + 0.008
    radius = 0.0017

    def lead(x, z):
        return math.sqrt(max(float(body.squared_radius(np.array([x]))[0][0]) - z * z, 0.0))

    def pocket_half(x):
        # On a flat part of the section the grown outline stands off by the clearance over the slope's cosine;
        # the parallel curve is found by its own foot, by bisection.
        low, high = x - 0.001, x + 0.001
        for _ in range(60):
            foot = 0.5 * (low + high)
            y, slope = half_thickness(pocket.tip, np.array([foot - pocket.leading_edge_x]))
            reach = foot - pocket.clearance * slope[0] / math.sqrt(1.0 + slope[0] ** 2)
            low, high = (foot, high) if reach < x else (low, foot)
        return float(y[0]) + pocket.clearance / math.sqrt(1.0 + float(slope[0]) ** 2)

    volume, _ = dblquad(
        lambda t, r: (
            2.0 * r * (lead(cx + r * math.cos(t), cz + r * math.sin(t)) - pocket_half(cx + r * math.cos(t)))
        ),
        0.0,
        radius,
        0.0,
        2.0 * math.pi,
        epsabs=1e-15,
        epsrel=1e-7,
    )
    hole = lines_of(job)["hole of cross pin 1"].piece
    assert -hole.volume == pytest.approx(volume, rel=2e-6)
    assert hole.moment_x / hole.volume == pytest.approx(cx, abs=2e-5)


def test_every_line_of_pin_and_stud_is_weighed_by_hand():
    job = job_for(pins=[PIN], studs=[STUD])
    lines = lines_of(job)
    assert lines["cross pin 1"].mass == pytest.approx(8000.0 * math.pi / 4 * 0.003**2 * 0.030, rel=1e-12)
    assert lines["stud 1"].mass == pytest.approx(
        8000.0 * math.pi / 4 * (0.004**2 - 0.002**2) * 0.037, rel=1e-12
    )
    assert lines["filling of stud 1"].mass == pytest.approx(
        1200.0 * math.pi / 4 * 0.002**2 * 0.037, rel=1e-12
    )
    assert lines["lead displaced by stud 1"].piece.volume == pytest.approx(
        -math.pi / 4 * 0.004**2 * 0.017, rel=1e-12
    )
    # Hole = pin's own room and its bedding in the lead, and the plugs outboard of its ends.
    assert lines["cross pin 1"].piece.moment_z == pytest.approx(
        lines["cross pin 1"].piece.volume * (job.bulb.axis.floor + 0.008), rel=1e-12
    )
    assert math.fsum(line.mass for line in job.bulb.lines) == pytest.approx(2.45, rel=1e-10)


def test_a_pin_as_long_as_the_bulb_is_wide_has_next_to_no_plugs_and_one_of_no_gap_no_bedding_in_the_lead():
    job = job_for(pins=[{**PIN, "hole_diameter": "3 mm"}])
    lines, bulb = lines_of(job), job.bulb
    space = bulb.cuts.pins[0]
    # With no gap the only bedding it changes is what it displaces of the pocket's own: clearance on both sides.
    gap = -2.0 * math.pi / 4 * 0.003**2 * 0.0003
    assert lines["bedding of cross pin 1"].piece.volume == pytest.approx(gap, rel=0.02)
    assert space.plug.volume > 0.0
    long = job_for(pins=[{**PIN, "length": "60 mm"}])
    assert lines_of(long)["plugs of cross pin 1"].piece.volume == 0.0
    cx, cz = long.bulb.pin_cuts[0].centre(long.bulb.axis)
    rim = np.linspace(0.0, 2.0 * math.pi, 1001)
    r2, _ = long.bulb.body.squared_radius(cx + 0.0015 * np.cos(rim))
    narrow = math.sqrt(float(np.min(r2 - (cz + 0.0015 * np.sin(rim)) ** 2)))
    assert codes(long)["pin-proud"].found == pytest.approx(0.030 - narrow, abs=1e-5)


def test_pins_are_drilled_later_and_studs_are_cavities_of_the_casting():
    plain, pinned, studded = job_for(), job_for(pins=[PIN]), job_for(studs=[STUD])
    assert pinned.cast.cut_later_mass - plain.cast.cut_later_mass == pytest.approx(
        -lines_of(pinned)["hole of cross pin 1"].mass, rel=1e-9
    )
    assert studded.cast.cut_later_mass == pytest.approx(plain.cast.cut_later_mass, abs=1e-12)


def test_overlapping_pins_are_counted_once_and_stop():
    two = job_for(pins=[PIN, {**PIN, "at": "31 mm"}])
    assert codes(two)["fastenings-meet"].found == pytest.approx(0.001 - 0.0034, abs=1e-12)
    assert codes(two)["fastenings-meet"].message == "Cross pin 1 and cross pin 2 overlap by 2.40 mm."
    shared = lines_of(two)["overlap between cuts"].mass
    one = -lines_of(two)["hole of cross pin 1"].mass
    # Two equal discs of radius r a distance d apart share 2 r^2 acos(d/2r) - d/2 sqrt(4r^2 - d^2).
    r, d = 0.0017, 0.001
    lens = 2 * r * r * math.acos(d / (2 * r)) - 0.5 * d * math.sqrt(4 * r * r - d * d)
    assert shared / one == pytest.approx(lens / (math.pi * r * r), rel=5e-3)


def test_a_stud_in_a_pocket_that_is_cut_later_stops_and_coring_the_pocket_fixes_it():
    assert "stud-in-solid-pocket" in codes(job_for(studs=[STUD], fin={"pocket": "cut"}))
    assert "stud-in-solid-pocket" not in codes(job_for(studs=[STUD]))


def test_a_steel_stud_mostly_in_the_melt_floats_with_archimedes_lift():
    job = job_for(studs=[{**STUD, "bore": "0 mm", "below": "18 mm", "above": "2 mm", "density": "7.9 g/cm3"}])
    area = math.pi / 4 * 0.004**2
    # Liquid lead at 350 C is 10 644 kg/m3 (OECD-NEA 2015, as in the handbook's table).
    lift = 9.80665 * area * (10644.0 * 0.018 - 7900.0 * 0.020)
    assert codes(job)["stud-floats"].found == pytest.approx(lift, rel=1e-3)
    assert "stud-floats" not in codes(job_for(studs=[{**STUD, "bore": "0 mm", "above": "30 mm"}]))


@pytest.mark.parametrize(
    ("changes", "code"),
    [
        ({"height": "1 mm"}, "pin-outside-fin"),
        ({"height": "11 mm", "length": "20 mm"}, "wall-thin"),
        ({"height": "17 mm"}, "hole-breaks-out"),
        ({"at": "300 mm"}, "pin-misses-lead"),
        ({"length": "10 mm"}, "pin-short"),
        ({"height": "2.6 mm"}, "pin-near-edge"),
    ],
)
def test_a_pin_that_is_placed_badly_is_reported(changes, code):
    assert code in codes(job_for(pins=[{**PIN, **changes}]))
    assert code not in codes(job_for(pins=[PIN]))


@pytest.mark.parametrize("units", ["metric", "imperial"])
def test_the_least_height_that_is_named_for_a_pin_keeps_it_in_the_fin_and_less_does_not(units):
    def pin_at(height):
        return codes(job_for(pins=[{**PIN, "height": height}], display_units=units))

    named = re.search(r'Set height = "([^"]+)" or more', pin_at("1 mm")["pin-outside-fin"].remedy)
    assert "pin-outside-fin" not in pin_at(named[1])
    # Half the pin's 3 mm above the floor is the least.
    assert "pin-outside-fin" in pin_at("1.49 mm")


@pytest.mark.parametrize("units", ["metric", "imperial"])
@pytest.mark.parametrize("at", ["0.5 mm", "90 mm"])
@pytest.mark.parametrize("height", ["1 mm", "8 mm"])
def test_what_is_typed_for_a_pin_outside_the_fin_brings_it_in(units, at, height):
    pin = {**PIN, "at": at, "height": height}
    found = codes(job_for(pins=[pin], display_units=units))["pin-outside-fin"]
    assert {line.way for line in found.fix} == {1}
    typed = {line.key.rpartition(".")[2]: line.value.strip('"') for line in found.fix}
    assert set(typed) == ({"at", "height"} if height == "1 mm" else {"at"})
    assert "pin-outside-fin" not in codes(job_for(pins=[{**pin, **typed}], display_units=units))


@pytest.mark.parametrize("at", ["30 mm", "0.5 mm"])
def test_a_pin_too_thick_for_the_pocket_is_not_raised_out_of_the_lead(at):
    thick = {**PIN, "at": at, "height": "4 mm", "diameter": "16 mm", "hole_diameter": "16.4 mm"}
    shallow = {"pocket_depth": "12 mm"}
    said = codes(job_for(pins=[thick], fin=shallow))["pin-outside-fin"]
    assert said.fix == ()
    aside = "" if at == "30 mm" else " Set at between 8.05 mm and 62.0 mm."
    assert said.remedy == (
        "Use a thinner pin or a deeper pocket. At the height where this pin clears the fin's lower edge, it "
        "breaks out of the lead."
        f"{aside}"
    )
    raised = codes(job_for(pins=[{**thick, "at": "30 mm", "height": "8 mm"}], fin=shallow))
    assert "hole-breaks-out" in raised or "pin-misses-lead" in raised
    assert codes(job_for(pins=[thick], fin={"pocket_depth": "30 mm"}))["pin-outside-fin"].fix != ()


def test_the_wall_over_a_pin_is_the_least_distance_to_lead_that_does_not_look_sideways():
    job = job_for(pins=[PIN])
    bulb = job.bulb
    cx, cz = bulb.pin_cuts[0].centre(bulb.axis)
    half = half_thickness(bulb.pocket.tip, np.array([0.030]))[0][0] + bulb.pocket.clearance
    x = np.linspace(cx - 0.03, cx + 0.03, 3001)[:, None]
    r2, slope = bulb.body.squared_radius(x)
    r = np.sqrt(r2)
    up = np.linspace(-0.5 * math.pi, 0.5 * math.pi, 1801)[None, :]
    y, z = r * np.cos(up), r * np.sin(up)
    # r^2 - y^2 - z^2 = 0: the normal is (-r r', y, z), 45 degrees is the border of the hole's own mouth.
    sideways = y > math.cos(math.radians(45.0)) * np.sqrt((0.5 * slope) ** 2 + r2)
    gap = np.where(sideways | (y < half), np.inf, np.hypot(x - cx, z - cz)) - 0.0017
    assert job.fittings.pins[0].wall == pytest.approx(float(np.min(gap)), abs=8e-5)


def test_a_blade_right_through_takes_its_section_from_crown_to_underside():
    table = {
        **BASE,
        "fin": {"tip_chord": "70 mm", "tip_thickness": "7 mm", "joint": "through", "bond_line": "0.2 mm"},
    }
    job = run(read_plan_table(table, source="plan.toml", sha256="0" * 64))
    bulb = job.bulb
    assert bulb.through
    assert bulb.axis.floor == -0.5 * bulb.body.height

    def height(x, y):
        return 2.0 * math.sqrt(float(bulb.body.squared_radius(np.array([x]))[0][0]) - y * y)

    lead = bulb.pocket.leading_edge_x
    volume, _ = dblquad(
        lambda y, x: 2.0 * height(lead + x, y),
        0.0,
        0.070,
        0.0,
        lambda x: float(half_thickness(bulb.pocket.tip, np.array([x]))[0][0]),
        epsrel=1e-8,
    )
    assert bulb.cuts.fin_inside.volume == pytest.approx(volume, rel=1e-6)
    assert bulb.cuts.trimmed.volume > 0.0
    assert (
        codes(job)["bonded-only"].message
        == "The two halves are held by their bond to the blade and to each other alone."
    )
    # The bond: the centreplane's area outside the slot, a side view's area less a strip of the blade's.
    x = np.linspace(0.0, bulb.body.length, 400001)
    r = np.sqrt(np.maximum(bulb.body.squared_radius(x)[0], 0.0))
    inside = (x >= lead - 0.0003) & (x <= lead + 0.0703)
    area = float(np.trapezoid(np.where(inside, 0.0, 2.0 * r), x))
    assert bulb.bond.volume == pytest.approx(0.0002 * area, rel=1e-4)


def faults_of(**changes):
    table = {**BASE, **changes}
    with pytest.raises(PlanError) as caught:
        read_plan_table(table, source="plan.toml", sha256="0" * 64)
    return [fault.message for fault in caught.value.faults]


def test_a_through_going_blade_takes_no_pocket_depth_screws_or_studs_and_all_is_reported_in_one_go():
    said = sorted(faults_of(fin={**BASE["fin"], "joint": "through"}, studs=[STUD]))
    assert len(said) == 2
    assert "studs" in said[0]
    assert "pocket_depth" in said[1]


def test_a_tube_has_a_wall_and_a_pin_passes_its_hole():
    said = faults_of(studs=[{**STUD, "bore": "4 mm"}], cross_pins=[{**PIN, "hole_diameter": "2 mm"}])
    assert len(said) == 2
    assert "a tube has a wall" in said[1]
    assert "the pin does not fit through its hole" in said[0]


def test_a_bond_line_wants_two_halves():
    said = faults_of(fin={**BASE["fin"], "bond_line": "0.2 mm"})
    assert len(said) == 1
    assert "joint" in said[0]


def test_a_key_of_a_pin_or_a_stud_can_be_varied_by_its_number():
    table = {**BASE, "cross_pins": [PIN], "studs": [STUD]}
    variations = read_variations(["studs[1].below=10mm,14mm"], table)
    study = compare(table, variations, file=("plan.toml", "0" * 64))
    deep, deeper = (dict(zip([c.name for c in study.columns], row.values, strict=True)) for row in study.rows)
    # More stud and less lead in the same hung mass: a larger bulb.
    assert deeper["length"] > deep["length"]


def test_strength_says_that_pins_and_studs_are_not_in_the_joint():
    strength = {"section": "given", "bending_stiffness": "60 N m2", "torsion_stiffness": "20 N m2"}
    root = {
        "root_chord": "90 mm",
        "root_thickness": "9 mm",
        "root_leading_edge_x": "-5 mm",
        "root_z": "300 mm",
    }
    said = codes(job_for(fin=root, pins=[PIN], studs=[STUD], strength=strength))["joint-not-whole"]
    assert said.message == (
        "The calculation covers only the joint's screws. Not assessed: cross pins and cast-in studs."
    )
    assert "joint-not-whole" not in codes(job_for(fin=root, strength=strength))


def test_more_pins_than_the_limit_are_one_fault():
    pins = [{**PIN, "at": f"{number + 1} mm"} for number in range(60)]
    assert faults_of(cross_pins=pins) == [
        "plan.toml: [[cross_pins]]: read 60 times [[cross_pins]]; expected at most 12. Keep 12 or fewer. "
        "Check for duplicates in the file."
    ]
    assert len(read_plan_table({**BASE, "cross_pins": pins[:12]}, source="a", sha256="").cross_pins) == 12


def test_two_fastenings_in_one_place_are_a_fault():
    assert faults_of(cross_pins=[PIN, {**PIN, "height": "12 mm"}, {**PIN, "length": "1 in"}]) == [
        'plan.toml: cross_pins[3].at: read at = "30 mm" and height = "8 mm", the position of cross_pins[1]; '
        "expected a different position for each fastening. Remove one of the two, or move it."
    ]
    screw = {
        "at": "3.2 cm",
        "diameter": "4 mm",
        "hole_diameter": "4.5 mm",
        "head_diameter": "8 mm",
        "head_height": "2.6 mm",
        "recess": "8 mm",
        "length": "45 mm",
    }
    assert faults_of(screws=[screw], studs=[STUD]) == [
        'plan.toml: studs[1].at: read at = "32 mm", the position of screws[1]; expected a different position for '
        "each fastening. "
        "Remove one of the two, or move it."
    ]


def test_the_cost_of_pins_goes_with_their_number(monkeypatch):
    """The cost of touching pins, the expensive case, is measured in evaluations of the body's radius, not in seconds."""
    from bulbcast.bulb.body.turned import TurnedBody

    asked = 0
    original = TurnedBody.squared_radius

    def counted(self, x):
        nonlocal asked
        asked += np.size(x)
        return original(self, x)

    monkeypatch.setattr(TurnedBody, "squared_radius", counted)
    costs = []
    for count in (5, 10):
        asked = 0
        pins = [
            {**PIN, "at": f"{12 + 4 * number} mm", "diameter": "4 mm", "hole_diameter": "4.2 mm"}
            for number in range(count)
        ]
        job = job_for(pins=pins)
        assert "fastenings-meet" in codes(job)
        costs.append(asked)
    assert costs[1] < 2.5 * costs[0]
