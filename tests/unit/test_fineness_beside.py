"""An unusual fineness compared with typical ones: areas in closed form, drag by hand from the published formulas."""

import math

import pytest
from plans import LEAST, codes, job_of, the_finding, with_line

SPHEROID = 'profile = "spheroid"\ntail_diameter = "0 mm"\n'


def with_fineness(value: float, more: str = ""):
    return job_of(with_line("bulb", f"{more}fineness = {value}"))


def spheroid_area(length: float, diameter: float) -> float:
    """Surface area of a prolate spheroid; Weisstein, "Prolate Spheroid", MathWorld."""
    a, c = diameter / 2, length / 2
    e = math.sqrt(1 - (a / c) ** 2)
    return 2 * math.pi * a**2 + 2 * math.pi * a * c / e * math.asin(e)


@pytest.mark.parametrize(("fineness", "found"), [(3.9, True), (4, False), (9, False), (9.1, True)])
def test_it_is_reported_outside_the_usual_alone(fineness, found):
    job = with_fineness(fineness)
    assert ("fineness-unusual" in codes(job)) is found
    assert (job.fineness is not None) is found


def test_bulbs_beside_it_hold_as_much_and_have_the_areas_of_spheroids():
    job = with_fineness(12, SPHEROID)
    volume = math.pi / 6 * job.bulb.body.length * job.bulb.body.diameter**2
    for one in (job.fineness.planned, *job.fineness.usual):
        assert math.pi / 6 * one.length * one.diameter**2 == pytest.approx(volume, rel=1e-12)
        assert one.length == pytest.approx(one.fineness * one.diameter, rel=1e-12)
        assert one.wetted_area == pytest.approx(spheroid_area(one.length, one.diameter), rel=1e-9)


def test_its_drag_is_the_band_of_the_published_formulas():
    """Drag at 1.5 m/s in fresh water by hand: ITTC-57 and the form factors of Hoerner, Torenbeek and Raymer."""
    job = with_fineness(12, SPHEROID)
    six = next(one for one in job.fineness.usual if one.fineness == 6)
    reynolds = 1.5 * six.length / 1.1386e-6
    friction = 0.075 / (math.log10(reynolds) - 2) ** 2
    factors = (1 + 1.5 * 6**-1.5 + 7 / 216, 1 + 2.2 * 6**-1.5 + 3.8 / 216, 1 + 60 / 216 + 6 / 400)
    bare = 0.5 * 999.1 * 1.5**2 * six.wetted_area * friction
    assert six.drag.reynolds == pytest.approx(reynolds, rel=2e-3)
    assert (six.drag.low, six.drag.high) == pytest.approx(
        (bare * min(factors), bare * max(factors)), rel=2e-3
    )


def test_a_bulb_given_by_its_length_is_told_at_that_key_and_never_of_an_optimum():
    job = job_of(LEAST.replace("[bulb]\n", '[bulb]\nlength = "420 mm"\n'))
    finding = the_finding(job, "fineness-unusual")
    assert (finding.where, finding.limit) == ("bulb.length", 9)
    assert "less than half a per cent" in finding.remedy
    assert "best" not in finding.message + finding.remedy


def test_a_known_boat_is_compared_at_her_hull_speed(example_job):
    """Larkmoss has a typical fineness; her hull speed is sqrt(g L / 2 pi)."""
    from bulbcast.job.steps import Asked
    from bulbcast.job.work import STEPS
    from bulbcast.quantities.frozen import replace

    job = example_job("larkmoss")
    body = replace(job.bulb.body, uncut_length=2 * job.bulb.body.uncut_length)
    step = next(one for one in STEPS if one.name == "beside")
    beside = step.work(replace(job, bulb=replace(job.bulb, body=body)), Asked()).results["fineness"]
    length = job.boat.start.hull.line.length
    assert beside.of_boat
    assert beside.speed == pytest.approx(math.sqrt(9.80665 * length / (2 * math.pi)), rel=1e-12)
