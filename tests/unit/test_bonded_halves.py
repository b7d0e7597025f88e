"""Two halves bonded face to face round a pocket: the bond between them, and the pins that hold them."""

from __future__ import annotations

import math
import re

import numpy as np
import pytest
from shapely import Polygon

from bulbcast.bulb.fastening.chapter import fastening
from bulbcast.job import run
from bulbcast.plan.faults import PlanError
from bulbcast.plan.reading import read_plan_table

PLAN = {
    "bulb": {"target_mass": "2.5 kg", "profile": "spheroid", "fineness": 6.0, "tail_diameter": "0 mm"},
    "alloy": {"grade": "pure"},
    "fin": {"tip_chord": "70 mm", "tip_thickness": "7 mm", "pocket_depth": "18 mm", "pocket_clearance": "0.3 mm"},
    "mould": {"material": "plaster", "kind": "open-halves", "drying": "air"},
}  # fmt: skip


def read(**sections):
    changed = {name: {**PLAN.get(name, {}), **one} for name, one in sections.items() if isinstance(one, dict)}
    listed = {name: one for name, one in sections.items() if not isinstance(one, dict)}
    return read_plan_table({**PLAN, **changed, **listed}, source="plan.toml", sha256="0" * 64)


def faults(**sections):
    with pytest.raises(PlanError) as caught:
        read(**sections)
    return [one.message for one in caught.value.faults]


def lines(job):
    return {one.name: one.mass for one in job.bulb.lines}


def pocket_in_profile(job):
    """The pocket as seen from the side: the chord and its clearance, raked, from the floor up."""
    axis, pocket = job.bulb.axis, job.bulb.pocket
    ends = (
        pocket.leading_edge_x - pocket.clearance,
        pocket.leading_edge_x + pocket.tip.chord + pocket.clearance,
    )
    up, over = 0.2, -0.2 * axis.shift
    floor = axis.floor
    return Polygon(
        [(ends[0], floor), (ends[1], floor), (ends[1] + over, floor + up), (ends[0] + over, floor + up)]
    )


@pytest.mark.parametrize("rake", [0.0, 9.0])
@pytest.mark.parametrize("width_to_height", [1.0, 1.3])
def test_the_bond_is_the_centreplane_outside_the_pocket(rake, width_to_height):
    """An ellipse's area is pi/4 of its two axes; the pocket's share of it by shapely, on the ellipse's own polygon."""
    job = run(
        read(
            fin={"bond_line": "0.2 mm", "rake": f"{rake} deg"},
            bulb={"width_to_height": width_to_height, "filler_density": "1.15 g/cm3"},
        )
    )
    body = job.bulb.body
    angle = 2.0 * math.pi * np.arange(20000) / 20000
    a, b = 0.5 * body.length, 0.5 * body.height
    ellipse = Polygon(np.column_stack([a + a * np.cos(angle), b * np.sin(angle)]))
    assert ellipse.area == pytest.approx(0.25 * math.pi * body.length * body.height, rel=1e-7)
    outside = ellipse.difference(pocket_in_profile(job))
    assert outside.area < 0.96 * ellipse.area
    bond = job.bulb.bond
    assert bond.volume == pytest.approx(0.0002 * outside.area, rel=1e-6)
    assert bond.moment_x == pytest.approx(0.0002 * outside.area * outside.centroid.x, rel=1e-6)
    assert bond.moment_z == pytest.approx(0.0002 * outside.area * outside.centroid.y, rel=1e-5)
    assert lines(job)["bond between the halves"] == pytest.approx(1150.0 * bond.volume, rel=1e-12)
    assert job.bulb.mass == pytest.approx(2.5, rel=1e-9)


def test_a_bond_takes_lead_of_its_own_mass_and_widens_the_bulb():
    bare, bonded = (
        run(read(fin=fin, limits={"bulb_width": "1 in"})) for fin in ({}, {"bond_line": "0.5 mm"})
    )
    lead = [lines(job)["lead body"] + lines(job)["pocket"] for job in (bare, bonded)]
    others = [sum(lines(job).values()) - one for job, one in zip((bare, bonded), lead, strict=True)]
    assert lead[0] - lead[1] == pytest.approx(others[1] - others[0], rel=1e-6)
    assert others[1] - others[0] == pytest.approx(lines(bonded)["bond between the halves"], rel=2e-3)
    widths = [next(one for one in job.limits if one.name == "bulb_width").found for job in (bare, bonded)]
    shrunk = bare.bulb.body.width - bonded.bulb.body.width
    assert widths[1] - widths[0] == pytest.approx(0.0005 - shrunk, rel=1e-9)
    water = [job.bulb.displacement for job in (bare, bonded)]
    body = [job.bulb.volume.volume for job in (bare, bonded)]
    assert water[1] - water[0] == pytest.approx(body[1] - body[0] + bonded.bulb.bond.volume, rel=2e-3)


def test_without_a_bond_line_the_report_says_what_one_would_weigh():
    def text(job):
        return " ".join(part.text for part in fastening(job).parts if hasattr(part, "text"))

    bare, bonded = run(read()), run(read(fin={"bond_line": "0.2 mm"}))
    film = re.search(r"No bond line is typed: one of 0.20 mm, say, weighs ([0-9.]+) g,", text(bare))
    assert film is not None
    # In three digits, on the body as it is without one.
    assert 1e-3 * float(film[1]) == pytest.approx(lines(bonded)["bond between the halves"], abs=1e-5)
    assert "A bond line of 0.20 mm keeps them that far apart:" in text(bonded)
    assert "bond" not in text(run(read(mould={"kind": "closed"})))


def test_a_bond_line_wants_two_halves_that_meet_on_the_centreplane():
    bond = {"bond_line": "0.2 mm"}
    assert faults(fin=bond, mould={"kind": "closed"}) == [
        "plan.toml: fin.bond_line: read bond_line without two halves; expected a bond line only where two halves are "
        'bonded. Add joint = "through" under [fin] for a blade that goes right through, or kind = "open-halves" under '
        "[mould] for a bulb cast as two halves; or take bond_line out."
    ]
    assert faults(fin=bond, mould={"split": "upper-lower"}) == [
        'plan.toml: fin.bond_line: read bond_line with split = "upper-lower" under [mould]; expected halves that part '
        "port and starboard, bonded on her middle plane. Take split out, or take bond_line out."
    ]
    for split in ({}, {"split": "port and starboard"}):
        assert read(fin=bond, mould=split).halves_bonded
