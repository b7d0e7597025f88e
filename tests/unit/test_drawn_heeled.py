"""Drawn coordinates of the boat heeled by the wind, compared with her righting arm."""

from __future__ import annotations

import itertools
import math

import pytest
from plans import EXAMPLES

from bulbcast.drawing.shapes import Dimension, Line, Style, Text, dimension_text, text_box
from bulbcast.files.plan_file import load_plan
from bulbcast.hull.hydrostatics import Attitude
from bulbcast.hull.mesh import HullMesh
from bulbcast.job import run
from bulbcast.sailing.heeled import WITHOUT_WIND, Heeled, heeled_boat
from bulbcast.sailing.heeled_view import centres, heeled_view, hull_sections, projection

GRAVITY = 9.80665


def job_of(folder, *changes):
    text = (EXAMPLES / "larkmoss.toml").read_text()
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    (folder / "larkmoss-offsets.csv").write_bytes((EXAMPLES / "larkmoss-offsets.csv").read_bytes())
    (folder / "larkmoss.toml").write_text(text)
    return run(*load_plan(folder / "larkmoss.toml"))


CHANGES = {
    "as planned": (),
    "a breath": (('wind = "4 m/s"', 'wind = "1 m/s"'),),
    "inches": (('wind = "4 m/s"', 'wind = "6 kn"'), ('"metric"', '"imperial"')),
    "a gale": (('wind = "4 m/s"', 'wind = "30 m/s"'),),
    "no rig": (
        (
            '[rig]\nsail_area = "3600 cm2"\neffort_z = "640 mm"\nwind = "4 m/s"\nleeway_limit = "5 deg"\nfull_size = 8\n',
            "",
        ),
    ),
    "leans to port": (
        ('name = "battery"\nmass = "118 g"\n', 'name = "battery"\nmass = "118 g"\ny = "-20 mm"\n'),
    ),
}


@pytest.fixture(scope="module", params=CHANGES)
def drawn(request, tmp_path_factory):
    changes = CHANGES[request.param]
    job = job_of(tmp_path_factory.mktemp("plan"), *changes)
    heeled = heeled_boat(job.plan, job.boat, job.standing)
    return request.param, job, heeled, heeled_view(job, heeled)


def texts(view):
    return [one for one in view.shapes if isinstance(one, Text)] + [
        dimension_text(one) for one in view.shapes if isinstance(one, Dimension)
    ]


def test_the_arm_drawn_is_the_righting_arm_and_holds_the_wind(drawn):
    case, job, heeled, view = drawn
    arm = next(one for one in view.shapes if isinstance(one, Dimension))
    assert arm.measured == pytest.approx(1e3 * abs(heeled.arm), rel=1e-9)
    sailing = job.standing.sailing
    if case == "no rig":
        assert sailing is None
        assert heeled.attitude.heel == WITHOUT_WIND
        return
    # She rests where the two couples hold each other, by arms read between points 5 degrees apart. A kink between two
    # points, as where the bulb leaves the water, lies off their chord by half of the second differences there at most.
    moment, arms = sailing.side_force * sailing.rig.heeling_arm, job.standing.curve.arms
    chord = sailing.arms.arm(sailing.heel)
    assert job.boat.total_mass * GRAVITY * chord == pytest.approx(moment, rel=1e-6)
    place = int(math.degrees(sailing.heel) // 5.0)
    bends = [abs(arms[k - 1] - 2.0 * arms[k] + arms[k + 1]) for k in range(max(place, 1), place + 3)]
    assert abs(heeled.arm - chord) <= max(bends) / 2.0
    assert job.shown.torque(moment) in view.title


def test_the_forces_of_the_wind_act_as_far_apart_as_its_arm_and_square_to_the_mast(drawn):
    case, job, heeled, view = drawn
    arrows = [
        one
        for one in view.shapes
        if isinstance(one, Line) and one.style is Style.CURVE_3 and one.start[1] != one.end[1]
    ]
    if case == "no rig":
        assert arrows == []
        return
    wind, water = arrows
    rig, heel = job.standing.sailing.rig, heeled.attitude.heel
    mast = (wind.end[0] - water.start[0], wind.end[1] - water.start[1])
    # Trim shows the mast shorter by its cosine, as it is seen level from aft.
    assert math.hypot(*mast) == pytest.approx(1e3 * rig.heeling_arm, rel=1e-3)
    for one in arrows:
        across = (one.end[0] - one.start[0], one.end[1] - one.start[1])
        assert abs(across[0] * mast[0] + across[1] * mast[1]) < 2e-3 * math.hypot(*across) * math.hypot(*mast)
    assert wind.end[0] > wind.start[0]
    assert water.end[0] < water.start[0]
    assert math.atan2(mast[0], mast[1]) == pytest.approx(heel, abs=1e-3)


def test_weight_hangs_from_g_and_buoyancy_lifts_at_b(drawn):
    _, _, heeled, view = drawn
    places = centres(heeled, projection(heeled))
    blue = [
        one
        for one in view.shapes
        if isinstance(one, Line) and one.style is Style.CURVE and one.start[0] == one.end[0]
    ]
    weight, lift = blue
    assert weight.start == places["G"]
    assert weight.end[1] < weight.start[1]
    assert lift.start == places["B"]
    assert lift.end[1] > lift.start[1]
    assert places["B"][0] - places["G"][0] == pytest.approx(1e3 * heeled.arm, rel=1e-9)
    assert places["B"][1] < 0.0


def test_no_text_meets_another_or_is_cut_off(drawn):
    _, _, _, view = drawn
    boxes = [(one.text, text_box(one).grown(-1e-9)) for one in texts(view)]
    assert [(a[0], b[0]) for a, b in itertools.combinations(boxes, 2) if a[1].meets(b[1])] == []
    assert all(view.box.joined(box) == view.box for _, box in boxes)
    assert view.box.width * view.scale <= 186.0
    assert view.box.height * view.scale <= 230.0


def box_hull(length, beam, depth, draught):
    """A box-shaped hull that starts at x = 0 and floats at the given draught."""
    corners = [
        (x, y, z) for x in (0.0, length) for y in (-beam / 2, beam / 2) for z in (-draught, depth - draught)
    ]
    faces = [(0, 1, 3, 2), (4, 6, 7, 5), (0, 4, 5, 1), (2, 3, 7, 6), (0, 2, 6, 4), (1, 5, 7, 3)]
    triangles = [t for a, b, c, d in faces for t in ((a, b, c), (a, c, d))]
    return HullMesh(vertices=corners, triangles=triangles, design_length=length)


@pytest.mark.parametrize("degrees", [5.0, 15.0, 30.0])
def test_m_of_a_wall_sided_hull_stands_where_the_textbooks_have_it(degrees):
    # Wall-sided: y_B = BM tan h, z_B = KB + BM tan(h)^2 / 2; Rawson and Tupper, Basic Ship Theory, stability at large
    # angles, from memory. The upright through B then cuts the centreline BM (1 + tan(h)^2 / 2) above B upright.
    beam, draught, heel = 0.3, 0.1, math.radians(degrees)
    bm = beam**2 / (12.0 * draught)
    b = (0.5, bm * math.tan(heel), -0.5 * draught + 0.5 * bm * math.tan(heel) ** 2)
    heeled = Heeled(
        attitude=Attitude(heel=heel), mass_centre=(0.5, 0.0, -0.02), buoyancy=b, arm=0.01,
        hull=box_hull(1.0, beam, 0.4, draught),
    )  # fmt: skip
    place = projection(heeled)
    m = centres(heeled, place)["M"]
    expected = place(0.5, 0.0, -0.5 * draught + bm * (1.0 + 0.5 * math.tan(heel) ** 2))
    assert m == pytest.approx(expected, abs=1e-9)
    assert m[0] == pytest.approx(place(*b)[0], abs=1e-9)


def test_the_section_drawn_is_the_hulls_own():
    heeled = Heeled(
        attitude=Attitude(heel=math.radians(20.0), sinkage=0.01), mass_centre=(0.5, 0.0, 0.0),
        buoyancy=(0.5, 0.02, -0.04), arm=0.01, hull=box_hull(1.0, 0.3, 0.4, 0.1),
    )  # fmt: skip
    ((style, contour),) = hull_sections(heeled, projection(heeled))
    assert style is Style.HULL
    area = 0.5 * abs(
        sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(contour, (*contour[1:], contour[0]), strict=True))
    )
    assert area == pytest.approx(300.0 * 400.0, rel=1e-6)
    # Its lowest corner: half the beam times sin h, the draught times cos h, and the sinkage below the water.
    deep = 150.0 * math.sin(math.radians(20.0)) + 100.0 * math.cos(math.radians(20.0)) + 10.0
    assert min(y for _, y in contour) == pytest.approx(-deep, rel=1e-9)
