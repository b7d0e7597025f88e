"""The finding on thin walls appears exactly at its limit, and applying its fix clears it."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest
from plans import codes, the_finding

from bulbcast.job import Job, run
from bulbcast.plan.faults import PlanError
from bulbcast.plan.reading import read_plan

METRIC = """
display_units = "{units}"
[bulb]
target_mass = "0.35 kg"
fineness = 6
{wall}
[alloy]
grade = "pure"
[fin]
material = "metal"
tip_chord = "40 mm"
tip_thickness = "6 mm"
pocket_depth = "5 mm"
[[screws]]
at = "{at}"
diameter = "3 mm"
hole_diameter = "3.3 mm"
head_diameter = "{head}"
head_height = "2 mm"
recess = "4 mm"
length = "22 mm"
"""


def planned(*, at: str = "12 mm", head: str = "9 mm", wall: str = "", units: str = "metric") -> Job:
    text = METRIC.format(at=at, head=head, units=units, wall=f'smallest_wall = "{wall}"' if wall else "")
    return run(read_plan(text, source="walls.toml"))


def thin(job: Job) -> list[str]:
    return [finding.remedy for finding in job.findings if finding.code == "wall-thin"]


def test_the_finding_flips_at_its_limit() -> None:
    found = planned().room.screws[0].recess_wall
    assert found is not None
    assert 0.001 < found.thickness < 0.010
    just_met = f"{found.thickness * 1e3 - 1e-4:.5f} mm"
    just_missed = f"{found.thickness * 1e3 + 1e-4:.5f} mm"
    assert thin(planned(wall=just_met)) == []
    assert len(thin(planned(wall=just_missed))) >= 1


def test_equal_to_the_limit_passes() -> None:
    found = planned().room.screws[0].recess_wall
    assert found is not None
    from bulbcast.bulb.fastening.screw_rules import screws_in_trouble

    job = planned()
    assert tuple(screws_in_trouble(replace(job, wall_wanted=found.thickness))) == ()
    assert tuple(screws_in_trouble(replace(job, wall_wanted=found.thickness * (1.0 + 1e-9)))) == (1,)


@pytest.mark.parametrize("units", ["metric", "imperial"])
@pytest.mark.parametrize("at", ["25 mm", "30 mm"])
def test_the_nearest_place_in_the_remedy_clears_it(units: str, at: str) -> None:
    job = planned(at=at, head="6 mm", wall="4.6 mm", units=units)
    remedies = thin(job)
    assert remedies
    match = re.search(r'[Ss]et at = "([^"]+)"', remedies[0])
    assert match, remedies
    repaired = planned(at=match.group(1), head="6 mm", wall="4.6 mm", units=units)
    assert thin(repaired) == []


@pytest.mark.parametrize("units", ["metric", "imperial"])
def test_the_largest_head_in_the_remedy_clears_it_and_a_larger_one_would_not(units: str) -> None:
    job = planned(head="9 mm", wall="4 mm", units=units)
    remedies = thin(job)
    assert remedies
    match = re.search(r'set head_diameter = "([^"]+)"', remedies[0], re.IGNORECASE)
    assert match, remedies
    assert thin(planned(head=match.group(1), wall="4 mm", units=units)) == []
    from bulbcast.quantities import Dimension, read_quantity

    larger = read_quantity(match.group(1), Dimension.LENGTH) + (
        0.0254 / 32.0 if units == "imperial" else 0.0005
    )
    assert thin(planned(head=f"{larger * 1e3:.6f} mm", wall="4 mm", units=units))


WIDE = """
[bulb]
target_mass = "4.857 kg"
fineness = 7.45
[alloy]
grade = "pure"
[fin]
tip_chord = "218.1 mm"
tip_thickness = "26.49 mm"
pocket_depth = "5.741 mm"
rake = "3.2 deg"
carry_at = 0.45
[[screws]]
at = "53.82 mm"
diameter = "19.44 mm"
hole_diameter = "21.04 mm"
head_diameter = "{first}"
head_height = "17.29 mm"
recess = "12.48 mm"
length = "105.8 mm"
[[screws]]
at = "118.8 mm"
diameter = "13.93 mm"
hole_diameter = "16.09 mm"
head_diameter = "{second}"
head_height = "11.91 mm"
recess = "27.18 mm"
length = "89.84 mm"
"""


def test_a_head_so_much_smaller_that_the_bulb_shrinks_still_leaves_its_wall_alone_and_with_the_other() -> (
    None
):
    def screws_left(first: str, second: str) -> dict[str, str]:
        job = run(read_plan(WIDE.format(first=first, second=second), source="walls.toml"))
        walls = ("wall-thin", "hole-breaks-out")
        return {one.where: one.fix[-1].value or "" for one in job.findings if one.code in walls}

    first, second = "34.64 mm", "51.33 mm"
    fixes = {where: value.strip('"') for where, value in screws_left(first, second).items()}
    assert set(fixes) == {"screws[1]", "screws[2]"}
    assert set(screws_left(fixes["screws[1]"], second)) == {"screws[2]"}
    assert set(screws_left(first, fixes["screws[2]"])) == {"screws[1]"}
    assert screws_left(fixes["screws[1]"], fixes["screws[2]"]) == {}


def test_a_hole_that_breaks_out_says_by_how_much_and_is_not_called_thin() -> None:
    job = planned(head="24 mm")
    assert "hole-breaks-out" in codes(job)
    finding = the_finding(job, "hole-breaks-out")
    assert finding.found is not None
    assert finding.found < 0.0
    assert "breaks out of the lead by" in finding.message


@pytest.mark.parametrize("units", ["metric", "imperial"])
@pytest.mark.parametrize(
    ("old", "key"),
    [('length = "60 mm"', "length"), ('diameter = "90 mm"', "diameter")],
)
def test_the_nearest_values_of_a_wish_without_a_solution_do(units: str, old: str, key: str) -> None:
    text = METRIC.format(at="12 mm", head="6 mm", units=units, wall="").replace("fineness = 6", old)
    with pytest.raises(PlanError) as raised:
        run(read_plan(text, source="walls.toml"))
    remedy = raised.value.faults[0].remedy
    match = re.search(
        rf"Set {key} between (.+?) and (.+?), or target_mass between (.+?) and (.+?)\.$", remedy
    )
    assert match, remedy
    for value in match.groups()[:2]:
        repaired = text.replace(old, f'{key} = "{value}"')
        assert run(read_plan(repaired, source="walls.toml")).bulb.mass == pytest.approx(0.35, rel=1e-9)
    for mass in match.groups()[2:]:
        run(read_plan(text.replace('"0.35 kg"', f'"{mass}"'), source="walls.toml"))


@pytest.mark.parametrize("carry", [3.0, -2.5])
def test_the_nearest_places_of_a_mass_centre_out_of_reach_do(carry: float) -> None:
    text = METRIC.format(at="12 mm", head="6 mm", units="metric", wall="")
    text = text.replace('pocket_depth = "5 mm"', f'pocket_depth = "5 mm"\ncarry_at = {carry}')
    with pytest.raises(PlanError) as raised:
        run(read_plan(text, source="walls.toml"))
    match = re.search(r"Set carry_at between (\S+) and (\S+)\.$", raised.value.faults[0].remedy)
    assert match
    for value in match.groups():
        run(read_plan(text.replace(f"carry_at = {carry}", f"carry_at = {value}"), source="walls.toml"))
