"""Edge distance of a screw in the fin: the minimum, good practice, a better position, and fins with room for only one
screw.

The limits (0.5 mm or a tenth of the hole diameter, and 1.0 mm or a fifth) are common practice; no source is cited. The
metal beside a screw is compared with the section's formula: a NACA four-digit section has its nominal thickness at 30 %
of chord.
"""

from __future__ import annotations

import re

import pytest
from typed_remedies import job_of, typed, ways_of

from bulbcast.bulb.fastening.limits import edge_allowed, edge_good
from bulbcast.findings import Finding, Severity
from bulbcast.job import Job


def plan(thickness: float, *screws: dict[str, str], chord: str = "70 mm", **fin: str) -> dict:
    return {
        "bulb": {"target_mass": "3 kg", "fineness": 5.0},
        "alloy": {"grade": "pure"},
        "fin": {
            "material": "metal",
            "tip_chord": chord,
            "tip_thickness": f"{thickness:g} mm",
            "pocket_depth": "8 mm",
            **fin,
        },
        "screws": [
            {
                "at": "21 mm",
                "diameter": "5 mm",
                "hole_diameter": "5.5 mm",
                "head_diameter": "9 mm",
                "head_height": "3 mm",
                "recess": "10 mm",
                "length": "50 mm",
                **screw,
            }
            for screw in screws
        ],
    }


TWO = ({}, {"at": "34 mm"})


def found(job: Job, code: str) -> list[Finding]:
    return [one for one in job.findings if one.code == code]


@pytest.mark.parametrize(
    ("hole", "must", "good"), [(0.003, 0.0005, 0.001), (0.0055, 0.00055, 0.0011), (0.0135, 0.00135, 0.0027)]
)
def test_the_limits_are_the_larger_of_a_length_and_a_share_of_the_hole(
    hole: float, must: float, good: float
) -> None:
    assert edge_allowed(hole) == pytest.approx(must)
    assert edge_good(hole) == pytest.approx(good)


@pytest.mark.parametrize(
    ("beside", "severity", "limit"),
    [
        (0.013, Severity.STOP, 0.55e-3),
        (0.54, Severity.STOP, 0.55e-3),
        (0.56, Severity.CAUTION, 1.1e-3),
        (1.09, Severity.CAUTION, 1.1e-3),
        (1.12, None, None),
    ],
)
def test_metal_left_beside_an_m5_stops_cautions_or_passes(
    beside: float, severity: Severity | None, limit: float | None
) -> None:
    job = job_of(plan(5.0 + 2.0 * beside, {}))
    said = [one for one in found(job, "fin-cheek-thin") if one.where == "screws[1].at"]
    assert [one.severity for one in said] == ([] if severity is None else [severity])
    for one in said:
        assert one.limit == pytest.approx(limit)
        assert one.found == pytest.approx(1e-3 * beside, abs=0.01e-3)


def test_the_search_finds_good_practice_first_and_says_so() -> None:
    # Allowed are places nearer to the screw, from 0.55 mm beside it; it is sent on to 1.1 mm.
    table = plan(8.0, {"at": "52 mm"}, {"at": "12 mm"})
    said = next(one for one in job_of(table).findings if one.where == "screws[1].at")
    assert "the nearest position that meets good practice" in said.remedy
    moved = job_of(typed(table, ways_of(said)[0]))
    assert not [one for one in moved.findings if one.where == "screws[1].at"]
    assert moved.room.screws[0].cheek >= 1.1e-3


def test_where_there_is_no_good_practice_the_nearest_allowed_place_is_found_and_named_so() -> None:
    table = plan(6.6, {"at": "50 mm"}, {"at": "12 mm"})
    said = next(one for one in job_of(table).findings if one.where == "screws[1].at")
    assert said.severity is Severity.STOP
    assert (
        "the nearest position that is allowed, since none leaves as much fin as good practice requires"
        in said.remedy
    )
    moved = job_of(typed(table, ways_of(said)[0]))
    left = [one for one in moved.findings if one.where == "screws[1].at"]
    assert [(one.code, one.severity) for one in left] == [("fin-cheek-thin", Severity.CAUTION)]
    assert '= "' not in left[0].remedy


def test_two_screws_outside_the_fin_are_not_sent_to_one_place() -> None:
    table = plan(7.4, {"at": "56 mm"}, {"at": "60 mm"})
    job = job_of(table)
    ways = [ways_of(one)[0] for one in found(job, "screw-outside-fin") + found(job, "screw-outside-pocket")]
    lines = [line for way in ways for line in way]
    assert len({(line.key, line.value) for line in lines if line.key.endswith(".at")}) == 2
    assert not [one for one in job_of(typed(table, lines)).findings if one.severity is Severity.STOP]


def test_a_screw_outside_the_fin_is_moved_and_not_given_a_smaller_head() -> None:
    table = plan(7.4, {"at": "62 mm", "head_diameter": "30 mm"}, {"at": "20 mm"})
    said = [one for one in job_of(table).findings if one.where.startswith("screws[1]")]
    assert {"screw-outside-fin"} < {one.code for one in said}
    assert not [one for one in said if "head_diameter" in one.remedy]


def test_two_screws_are_asked_for_where_the_chord_has_room_for_them() -> None:
    table = plan(8.0, {})
    said = found(job_of(table), "single-screw")[0]
    assert re.fullmatch(
        r'Use two screws: set at = "[\d.]+ mm" and add \[\[screws\]\] at = "[\d.]+ mm" with the rest as in the first\.',
        said.remedy,
    )
    both = job_of(typed(table, ways_of(said)[0]))
    assert len(both.room.screws) == 2
    assert not [one for one in both.findings if one.where.startswith("screws")]


def test_where_it_has_none_what_does_hold_is_named_instead() -> None:
    said = found(job_of(plan(8.0, {"at": "6 mm"}, chord="20 mm")), "single-screw")[0]
    assert said.remedy == (
        "The chord has no room for two screws of this size. Use a deeper pocket and bond the fin into it. Or hold "
        "the bulb with two [[cross_pins]], or with a rod bonded in along the fin's axis."
    )
