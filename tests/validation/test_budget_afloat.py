"""The budget's sinkage and trim compared with those found by floating the faceted hull again with a heavier bulb."""

from __future__ import annotations

import math

import pytest
from plans import EXAMPLES

from bulbcast.files.plan_file import load_plan
from bulbcast.hull.floating import float_boat
from bulbcast.hull.hydrostatics import Attitude, hydrostatics
from bulbcast.job import run

SHARE = 0.1
"""Change of each input, as a fraction of its standard deviation; small enough for a derivative."""


@pytest.fixture(scope="module")
def job_and_hull():
    plan, offsets, hull = load_plan(EXAMPLES / "larkmoss.toml")
    return run(plan, offsets, hull), hull.surface()


@pytest.mark.parametrize("name", ["pattern, each face", "contraction", "filing", "density of the metal"])
def test_sinkage_and_trim_are_those_of_the_boat_floated_with_it(job_and_hull, name: str) -> None:
    job, hull = job_and_hull
    line = next(one for one in job.confidence.budget if one.input.name == name)
    flotation, bulb = job.boat.flotation, job.bulb
    density = flotation.water_density
    rest = hydrostatics(hull, Attitude())
    carried = density * rest.volume
    # Her hull alone, so loaded that she is as stiff lengthways as the complete boat: J = m GM, BM = I / V.
    stiff = flotation.mass * flotation.metacentric_height_along
    z = rest.buoyancy_centre[2] + rest.second_moment_along / rest.volume - stiff / carried
    x = rest.buoyancy_centre[0]
    more = SHARE * line.mass
    moment = more * bulb.mass_centre[0] + bulb.mass * SHARE * line.centre
    level = float_boat(hull, mass=carried, mass_centre=(x, 0.0, z), water_density=density, heel=0.0)
    afloat = float_boat(
        hull,
        mass=carried + more,
        mass_centre=((carried * x + moment) / (carried + more), 0.0, z),
        water_density=density,
        heel=0.0,
    )

    def at_flotation(found) -> float:
        lies = found.attitude
        return (lies.sinkage + flotation.flotation_x * math.sin(lies.trim)) / math.cos(lies.trim)

    deeper = at_flotation(afloat) - at_flotation(level)
    trim = (math.tan(afloat.attitude.trim) - math.tan(level.attitude.trim)) * flotation.length
    # The table's rules and the facets through it agree on area and moments to half a per cent; the rest is second order.
    assert deeper == pytest.approx(SHARE * line.sinkage, rel=0.02)
    assert trim == pytest.approx(SHARE * line.trim, rel=0.02, abs=2e-6)
