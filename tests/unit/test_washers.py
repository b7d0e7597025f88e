"""A washer under a screw head: its ring in the ledger, its space in the recess, and the thread length it takes up."""

from __future__ import annotations

import math
import re
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from plans import SCREW, codes, job_of, the_finding, with_line

from bulbcast.bulb.body.columns import through
from bulbcast.bulb.body.pieces import Axis
from bulbcast.bulb.body.profiles import spheroid
from bulbcast.bulb.body.turned import turned_body
from bulbcast.bulb.cuts.parts import PocketCut, ScrewCut
from bulbcast.bulb.cuts.screws import _scanned_space, screw_columns, screw_places
from bulbcast.bulb.cuts.union import cuts_of
from bulbcast.bulb.cuts.washer import Washer
from bulbcast.fin.tip_section import FinTip
from bulbcast.pattern.solids import bulb_solid
from bulbcast.plan.faults import PlanError
from bulbcast.plan.reading import read_plan

PLAN = """
name = "Pebblewort"
[bulb]
target_mass = "2.45 kg"
skin = "0.2 mm"
[alloy]
grade = "pure"
[fin]
material = "metal"
tip_chord = "70 mm"
tip_thickness = "8 mm"
pocket_depth = "6 mm"
rake = "{rake} deg"
[[screws]]
at = "16 mm"
diameter = "4 mm"
hole_diameter = "4.5 mm"
head_diameter = "7 mm"
head_height = "2.6 mm"
recess = "9 mm"
length = "45 mm"
density = "7.9 g/cm3"
"""
WASHER = """washer_diameter = "12 mm"
washer_thickness = "1.5 mm"
"""


def line(job, name):
    (found,) = [one for one in job.bulb.lines if one.name == name]
    return found


@pytest.fixture(scope="module", params=[0, 7])
def pair(request):
    """Jobs of the same plan without and with a washer."""
    text = PLAN.format(rake=request.param)
    return job_of(text), job_of(text + WASHER)


def test_a_washer_is_a_line_of_its_ring_in_the_screws_metal_where_nothing_else_is_said(pair):
    plain, washed = pair
    ring = math.pi / 4 * (0.012**2 - 0.0045**2) * 0.0015
    found = line(washed, "washer of screw 1")
    assert (found.kind, found.density) == ("washer", 7900.0)
    assert found.piece.volume == pytest.approx(ring, rel=1e-12)
    assert [one.name for one in plain.bulb.lines] == [
        one.name for one in washed.bulb.lines if one.kind != "washer"
    ]
    # On its seat, in the middle of its thickness, along the fin's axis.
    seat, rake = washed.bulb.cuts.screws[0].seat, washed.bulb.axis.rake
    middle = seat - 0.00075
    assert found.piece.moment_z / ring == pytest.approx(
        washed.bulb.axis.floor + middle * math.cos(rake), rel=1e-12
    )
    assert found.piece.moment_x / ring == pytest.approx(
        washed.bulb.screw_cuts[0].at_x - middle * math.sin(rake), rel=1e-12
    )
    assert {"screws[1].washer_hole", "screws[1].washer_density"} <= {one.key for one in washed.defaults}


def test_the_bulb_with_its_washer_still_hangs_at_its_target(pair):
    _, washed = pair
    assert washed.bulb.mass == pytest.approx(2.45, rel=1e-10)
    assert math.fsum(one.mass for one in washed.bulb.lines) == pytest.approx(2.45, rel=1e-10)


def test_recess_and_hole_are_filled_by_head_washer_shank_plug_and_bedding(pair):
    """The parts below the floor exactly fill the cut there, in volume and both moments."""
    for job in pair:
        bulb, (cut,), (space,) = job.bulb, job.bulb.screw_cuts, job.bulb.cuts.screws
        under, tangent = cut.under_head(space.seat), math.tan(bulb.axis.rake)
        # A cylinder cut by the level floor has the volume of one cut square on its axis, its moments not quite.
        shank = math.pi / 4 * cut.diameter**2 * -under
        head = math.pi / 4 * cut.head_diameter**2 * cut.head_height
        ring = line(job, "washer of screw 1").piece.volume if cut.washer else 0.0
        filled = space.plug.volume + space.bedding.volume + head + ring + shank
        assert filled == pytest.approx(space.recess.volume + space.hole.volume, rel=1e-11)
        assert abs(tangent) < 0.2


def test_the_recess_takes_the_washer(pair):
    plain, washed = pair
    assert plain.bulb.screw_cuts[0].recess_diameter == 0.007
    assert washed.bulb.screw_cuts[0].recess_diameter == 0.012
    narrow = replace(
        washed.bulb.screw_cuts[0],
        washer=Washer(diameter=0.006, hole_diameter=0.0045, thickness=0.001, density=7900.0),
    )
    assert narrow.recess_diameter == 0.007
    ratio = washed.bulb.cuts.screws[0].recess.volume / plain.bulb.cuts.screws[0].recess.volume
    # The underside curves up beside the axis, so that the wider recess is a little less deep at its rim.
    assert 0.97 < ratio / (12 / 7) ** 2 < 1.0


def test_the_solid_has_the_wider_recess(pair):
    _, washed = pair
    meant = bulb_solid(washed).meant
    assert meant.volume == pytest.approx(meant.quadrature_volume, rel=2e-5)
    assert meant.volume == pytest.approx(washed.bulb.net_lead.volume, rel=2e-5)


def test_the_thread_is_shorter_by_the_washer_and_the_length_that_is_reported_fixes_it():
    text = PLAN.format(rake=0) + WASHER
    bare, washed = (job_of(one).room.screws[0] for one in (PLAN.format(rake=0), text))
    # The bulbs differ by a hair, the washer being heavier than the lead it is not.
    assert bare.thread - washed.thread == pytest.approx(0.0015, abs=5e-5)
    short = text.replace('length = "45 mm"', 'length = "25 mm"')
    (finding,) = [one for one in job_of(short).findings if one.code == "screw-short"]
    wanted = finding.remedy.split('"')[1]
    repaired = job_of(short.replace('length = "25 mm"', f'length = "{wanted}"'))
    assert "screw-short" not in codes(repaired)


def test_a_head_stands_proud_by_its_washer_too():
    text = PLAN.format(rake=0).replace('recess = "9 mm"', 'recess = "4.2 mm"')
    assert "head-proud" not in codes(job_of(text))
    (finding,) = [one for one in job_of(text + WASHER).findings if one.code == "head-proud"]
    assert finding.found == pytest.approx(0.0041, rel=1e-12)
    assert finding.message.startswith(
        "The head of screw 1 is 2.60 mm high on a washer 1.50 mm thick, but its recess is only "
    )
    assert finding.found > finding.limit


def test_a_washer_too_wide_for_the_lead_is_a_stop_and_the_width_that_is_reported_fixes_it():
    wide = PLAN.format(rake=0) + WASHER.replace("12 mm", "28 mm")
    found = [one for one in job_of(wide).findings if one.code in ("wall-thin", "hole-breaks-out")]
    assert found
    words = found[-1].remedy
    assert "head_diameter" not in words
    said = words.split('et washer_diameter = "')[1].split('"')[0]
    repaired = job_of(wide.replace('washer_diameter = "28 mm"', f'washer_diameter = "{said}"'))
    assert {"wall-thin", "hole-breaks-out"}.isdisjoint(codes(repaired))


CUT = ScrewCut(
    at_x=0.08,
    diameter=0.004,
    hole_diameter=0.0045,
    head_diameter=0.007,
    head_height=0.0026,
    recess=0.011,
    length=0.045,
    density=7900.0,
    washer=Washer(diameter=0.012, hole_diameter=0.005, thickness=0.0015, density=7900.0),
)


@settings(max_examples=15, deadline=None, derandomize=True)
@given(
    rake=st.floats(-0.3, 0.3),
    ratio=st.floats(0.6, 1.8),
    across=st.floats(0.0055, 0.016),
    thick=st.floats(0.0003, 0.003),
)
def test_the_scan_agrees_with_the_closed_form_of_a_screw_with_its_washer(rake, ratio, across, thick):
    body = turned_body(spheroid(), diameter=0.05, tail_diameter=0.0, length=0.2, width_to_height=ratio)
    axis = Axis(rake=rake, floor=0.25 * body.height)
    screw = replace(CUT, washer=Washer(diameter=across, hole_diameter=0.005, thickness=thick, density=7900.0))
    pocket = PocketCut(tip=FinTip(chord=0.06, thickness=0.009), clearance=0.0003, leading_edge_x=0.05)
    space = cuts_of(body, axis, pocket, (screw,)).screws[0]
    places, sides = screw_places(screw, axis)
    answers = [through(body, axis, s, y) for s, y in zip(places, sides, strict=True)]
    columns = screw_columns(axis, [low for low, _ in answers], [high for _, high in answers])
    scanned = _scanned_space(body, axis, screw, columns)
    whole = space.recess.volume
    for part in ("recess", "plug", "bedding", "hole"):
        one, other = getattr(space, part), getattr(scanned, part)
        assert one.volume == pytest.approx(other.volume, rel=2e-6, abs=2e-6 * whole), part
        assert one.moment_x == pytest.approx(other.moment_x, rel=4e-6, abs=4e-7 * whole), part
        assert one.moment_z == pytest.approx(other.moment_z, rel=4e-6, abs=4e-7 * whole), part


FAULTS = [
    (
        'washer_diameter = "12 mm"\n',
        "screws[1].washer_thickness: read nothing, although washer_diameter is given; expected a length above 0 mm and "
        'up to 100 mm, which a washer needs. Add washer_thickness = "1.5 mm", say, or remove washer_diameter.',
    ),
    (
        WASHER + 'washer_hole = "3 mm"\n',
        'screws[1].diameter: read diameter = "4 mm" with washer_hole = "3 mm"; expected a screw that fits '
        "through its washer. Widen the washer hole, or use a thinner screw.",
    ),
    (
        WASHER.replace("12 mm", "4.2 mm"),
        'screws[1].hole_diameter: read hole_diameter = "4.5 mm" with washer_diameter = "4.2 mm"; expected a '
        "washer wider than the hole in the lead. Use a wider washer: it must rest on the lead round the hole.",
    ),
    (
        WASHER + 'washer_hole = "8 mm"\n',
        'screws[1].washer_hole: read washer_hole = "8 mm" with head_diameter = "7 mm"; expected a hole in '
        "the washer that is smaller than the head. Fix one of the two.",
    ),
]


@pytest.mark.parametrize(("lines", "message"), FAULTS)
def test_a_washer_that_cannot_be_is_refused_in_words(lines, message):
    with pytest.raises(PlanError) as caught:
        read_plan(PLAN.format(rake=0) + lines, source="p.toml")
    assert [fault.message.removeprefix("p.toml: ") for fault in caught.value.faults] == [message]


@pytest.mark.parametrize("units", ["metric", "imperial"])
@pytest.mark.parametrize("recess", ["3 mm", "4.2 mm", "9 mm"])
def test_a_washer_is_named_with_the_recess_that_its_head_goes_into(units, recess):
    """Before the fix, the text was "Deepen the recess where the head would stand proud", without saying by how much."""
    text = PLAN.format(rake=12).replace("[bulb]", f'display_units = "{units}"\n[bulb]', 1)
    text = text.replace('recess = "9 mm"', f'recess = "{recess}"') + "[strength]\ntightened_to = '40 N'\n"
    (broken,) = [one for one in job_of(text).findings if one.code == "lead-creeps"]
    typed = dict(re.findall(r'(washer_diameter|washer_thickness|recess|length) = "([^"]+)"', broken.remedy))
    assert ("recess" in typed) == (recess != "9 mm")
    for key in ("recess", "length"):
        text = re.sub(
            rf"^{key} = .*$", f'{key} = "{typed.pop(key)}"' if key in typed else r"\g<0>", text, flags=re.M
        )
    lines = "".join(f'{key} = "{value}"\n' for key, value in typed.items())
    fixed = job_of(text.replace("[strength]", lines + "[strength]"))
    assert not {"lead-creeps", "head-proud", "screw-short", "recess-too-deep"} & {
        one.code for one in fixed.findings
    }


def test_a_pocket_out_of_the_underside_gives_no_depth_below_zero_for_the_recess():
    text = with_line("fin", 'pocket_depth = "80 mm"') + SCREW
    broken = the_finding(job_of(text), "recess-meets-pocket")
    assert broken.limit < 0.0
    assert broken.message == (
        "The pocket comes out through the underside at screw 1. No lead is left under the head."
    )
    assert broken.remedy == "Use a shallower pocket."
    deeper = the_finding(job_of(text.replace('recess = "8 mm"', 'recess = "100 mm"')), "recess-too-deep")
    assert deeper.remedy == "Use a shallower pocket. The planned one comes out through the underside there."
    assert "recess-meets-pocket" not in codes(job_of(text.replace("80 mm", "6 mm")))
