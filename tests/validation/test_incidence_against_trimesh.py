"""A bulb hung at an angle to the waterline compared with the tessellated solid turned by trimesh, and with closed forms.

trimesh (a general-purpose mesh library) turns the facets of the finished lead about the nose and measures them again.
The closed form for an ellipsoid is its support function. In the bulb's own axes, the angle may change only the lean of
the fin.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
import trimesh
from plans import EXAMPLES, example_text

from bulbcast.ballast.profile_view import bulb_contour, foil_contours
from bulbcast.bulb.body.attitude import Attitude, attitude_under_fin, lowest_point, nose_for_lead
from bulbcast.bulb.body.profiles import four_digit, modified_four_digit, spheroid
from bulbcast.bulb.body.turned import turned_body
from bulbcast.files.hull import load_hull
from bulbcast.fin.foil import foil_solid
from bulbcast.fin.foil_section import section_numbers
from bulbcast.fin.planned import fin_foil
from bulbcast.job import run
from bulbcast.job.plan_json import plan_object
from bulbcast.pattern.solids import bulb_solid
from bulbcast.plan.faults import PlanError
from bulbcast.plan.reading import read_plan

PLAN = """
name = "Pebblewort"
[bulb]
target_mass = "2.45 kg"
skin = "0.2 mm"
width_to_height = 1.2
tail_diameter = "9 mm"
{incidence}
[alloy]
grade = "pure"
[fin]
material = "metal"
tip_chord = "70 mm"
tip_thickness = "8 mm"
tip_leading_edge_x = "395 mm"
tip_z = "-330 mm"
pocket_depth = "6 mm"
rake = "{rake} deg"
{carry}
[[screws]]
at = "16 mm"
diameter = "4 mm"
hole_diameter = "4.5 mm"
head_diameter = "7 mm"
head_height = "2.6 mm"
recess = "9 mm"
length = "45 mm"
washer_diameter = "12 mm"
washer_thickness = "1.5 mm"
"""


def job_at(degrees=None, rake=4.0, carry="carry_at = 0.42"):
    incidence = "" if degrees is None else f'incidence = "{degrees} deg"'
    text = PLAN.format(incidence=incidence, rake=rake, carry=carry)
    return run(read_plan(text, source="pebblewort.toml"))


def turned_mesh(job):
    """Meshes of the finished lead: as made, and turned about the nose and moved to the planned position."""
    solid = bulb_solid(job).mesh
    mesh = trimesh.Trimesh(vertices=solid.vertices, faces=solid.triangles, process=False)
    level = mesh.copy()
    mesh.apply_transform(trimesh.transformations.rotation_matrix(job.bulb.incidence, [0.0, 1.0, 0.0]))
    mesh.apply_translation([job.bulb.nose_x, 0.0, job.bulb.axis_z])
    return level, mesh


def test_without_an_angle_every_figure_is_the_same_to_the_last_bit():
    plain, zero = plan_object(job_at()), plan_object(job_at(0))
    for each in (plain, zero):
        del each["meta"], each["defaults"]
    assert plain == zero


@pytest.mark.parametrize("degrees", [2.5, -7.0, 10.0])
def test_a_point_of_the_bulb_lies_in_the_boat_where_the_turned_facets_have_it(degrees):
    job = job_at(degrees)
    level, mesh = turned_mesh(job)
    assert mesh.volume == pytest.approx(level.volume, rel=1e-9)
    centre = level.center_mass
    found = (job.bulb.attitude.boat_x(centre[0], centre[2]), job.bulb.attitude.boat_z(centre[0], centre[2]))
    assert mesh.center_mass[[0, 2]] == pytest.approx(found, abs=1e-9)
    corners = job.bulb.attitude
    expected = [[corners.boat_x(x, z), y, corners.boat_z(x, z)] for x, y, z in level.vertices[::97]]
    assert mesh.vertices[::97] == pytest.approx(np.array(expected), abs=1e-12)
    # The lead's own centre by quadrature and by turned facets: the contract's bound for tessellation.
    net = job.bulb.net_lead
    place = (net.moment_x / net.volume, net.moment_z / net.volume)
    assert mesh.center_mass[[0, 2]] == pytest.approx(
        (job.bulb.attitude.boat_x(*place), job.bulb.attitude.boat_z(*place)), abs=2e-5
    )


@pytest.mark.parametrize("degrees", [2.5, -7.0, 10.0])
def test_the_underside_is_the_lowest_of_the_turned_facets_and_the_skin(degrees):
    job = job_at(degrees)
    _, mesh = turned_mesh(job)
    body = job.bulb.body
    lowest = mesh.vertices[np.argmin(mesh.vertices[:, 2])]
    # Facets stand off the surface by no more than the chord error; across the recess the screw left a hole.
    assert job.bulb.underside_z + job.bulb.skin == pytest.approx(lowest[2], abs=1e-4)
    angle = np.linspace(0.0, 2.0 * math.pi, 181)
    x = body.length * np.sin(0.5 * math.pi * np.linspace(0.0, 1.0, 20001)) ** 2
    half = body.radius(x) / math.sqrt(body.width_to_height)
    sine, cosine = math.sin(job.bulb.incidence), math.cos(job.bulb.incidence)
    brute = np.max(x[:, None] * sine - half[:, None] * np.sin(angle) * cosine)
    at = job.bulb.axis_z - brute - job.bulb.skin
    assert job.bulb.underside_z == pytest.approx(at, abs=1e-9)
    assert job.bulb.underside_z <= at + 1e-12


@pytest.mark.parametrize("degrees", [-6.0, 3.0])
def test_everything_hung_balances_in_the_boat_where_each_line_turned_alone_has_it(degrees):
    bulb = job_at(degrees).bulb
    sine, cosine = math.sin(bulb.incidence), math.cos(bulb.incidence)
    mass = x = z = 0.0
    for line in bulb.lines:
        mass += line.mass
        x += line.mass * bulb.nose_x + line.density * (
            line.piece.moment_x * cosine + line.piece.moment_z * sine
        )
        z += line.mass * bulb.axis_z + line.density * (
            line.piece.moment_z * cosine - line.piece.moment_x * sine
        )
    assert bulb.mass_centre == pytest.approx((x / mass, z / mass), abs=1e-12)


@pytest.mark.parametrize("degrees", [-6.0, 3.0])
def test_the_tip_stays_where_the_fin_is_and_the_screws_lean_by_the_rake_in_the_boat(degrees):
    bulb = job_at(degrees, rake=4.0).bulb
    lead, floor = bulb.pocket.leading_edge_x, bulb.axis.floor
    assert bulb.attitude.boat_x(lead, floor) == pytest.approx(0.395, abs=1e-12)
    assert bulb.attitude.boat_z(lead, floor) == pytest.approx(-0.330, abs=1e-12)
    # A step of 10 mm up the screw, in bulb axes and then in the boat's.
    up = (-0.01 * math.sin(bulb.axis.rake), 0.01 * math.cos(bulb.axis.rake))
    forward = bulb.attitude.boat_x(*up) - bulb.attitude.boat_x(0.0, 0.0)
    upward = bulb.attitude.boat_z(*up) - bulb.attitude.boat_z(0.0, 0.0)
    assert math.degrees(math.atan2(-forward, upward)) == pytest.approx(4.0, abs=1e-10)
    # The tip is cut along the bulb's axis: its trailing edge lies lower where the nose is up.
    fall = bulb.attitude.boat_z(lead, floor) - bulb.attitude.boat_z(lead + 0.07, floor)
    assert fall == pytest.approx(0.07 * math.sin(bulb.incidence), abs=1e-15)


@pytest.mark.parametrize("degrees", [-6.0, 3.0])
def test_the_bulb_is_that_of_a_fin_which_leans_as_much_more_under_a_level_one(degrees):
    turned, level = job_at(degrees, rake=4.0), job_at(0, rake=4.0 + degrees)
    assert turned.bulb.axis.rake == pytest.approx(level.bulb.axis.rake, abs=1e-15)
    assert turned.bulb.body.length == pytest.approx(level.bulb.body.length, rel=1e-10)
    assert turned.bulb.pocket.leading_edge_x == pytest.approx(level.bulb.pocket.leading_edge_x, abs=1e-9)
    for one, other in zip(turned.bulb.lines, level.bulb.lines, strict=True):
        assert one.mass == pytest.approx(other.mass, rel=1e-8, abs=1e-10)
    assert turned.pattern.volume == pytest.approx(level.pattern.volume, rel=1e-10)


@pytest.mark.parametrize("degrees", [-6.0, 0, 3.0])
def test_carry_at_is_met_along_the_tip_and_a_place_in_the_boat_is_met_in_the_boat(degrees):
    assert job_at(degrees).balance.along_chord == pytest.approx(0.42, abs=2e-8)
    text = PLAN.format(incidence=f'incidence = "{degrees} deg"', rake=4, carry="")
    placed = text.replace('skin = "0.2 mm"', 'skin = "0.2 mm"\nmass_centre_x = "421 mm"')
    job = run(read_plan(placed, source="p.toml"))
    assert job.bulb.mass_centre[0] == pytest.approx(0.421, abs=1e-9)
    assert plan_object(job)["bulb"]["mass_centre_m"]["x"] == job.bulb.mass_centre[0]


def test_a_carry_at_that_is_out_of_reach_is_reported_the_nearest_that_would_do():
    with pytest.raises(PlanError) as caught:
        job_at(6.0, carry="carry_at = 3.5")
    (fault,) = caught.value.faults
    low, high = fault.remedy.removeprefix("Set carry_at between ").removesuffix(".").split(" and ")
    for carry in (low, high):
        assert job_at(6.0, carry=f"carry_at = {carry}").balance.along_chord == pytest.approx(
            float(carry), abs=2e-8
        )


# An ellipsoid's support function: sqrt(a^2 sin^2 + b^2 cos^2) below its centre.
@pytest.mark.parametrize("degrees", [-10.0, -0.5, 1e-6, 4.0, 10.0])
@pytest.mark.parametrize("ratio", [0.6, 1.0, 2.0])
def test_the_lowest_point_of_an_ellipsoid_is_its_support(degrees, ratio):
    body = turned_body(spheroid(), diameter=0.05, tail_diameter=0.0, length=0.3, width_to_height=ratio)
    a, b, angle = 0.15, 0.5 * body.height, math.radians(degrees)
    reach = math.hypot(a * math.sin(angle), b * math.cos(angle))
    along, depth = lowest_point(body, angle)
    assert depth == pytest.approx(a * math.sin(angle) + reach, abs=1e-14)
    # Where the normal points straight down; the depth hardly feels a place a root of the rounding off.
    assert along == pytest.approx(a + a**2 * math.sin(angle) / reach, abs=1e-7)
    assert lowest_point(body, 0.0) == (body.max_at, b)


def test_the_lowest_point_of_a_blunt_tail_may_be_its_edge():
    body = turned_body(four_digit(), diameter=0.05, tail_diameter=0.045, length=0.2)
    along, depth = lowest_point(body, math.radians(10.0))
    assert along == body.length
    edge = body.length * math.sin(math.radians(10.0)) + body.tail_radius * math.cos(math.radians(10.0))
    assert depth == pytest.approx(edge, rel=1e-12)


def test_nose_and_leading_edge_answer_each_other():
    at = {"leading_edge_x": 0.4, "floor": 0.021, "incidence": math.radians(-5.0)}
    found, lead = attitude_under_fin(tip_z=-0.3, nose_x=0.31, **at)
    assert nose_for_lead(lead=lead, **at) == pytest.approx(0.31, abs=1e-15)
    assert found == Attitude(nose_x=0.31, nose_z=found.nose_z, incidence=at["incidence"])
    assert math.hypot(
        found.boat_x(0.1, 0.02) - found.nose_x, found.boat_z(0.1, 0.02) - found.nose_z
    ) == pytest.approx(math.hypot(0.1, 0.02), rel=1e-14)


def boat_at(degrees):
    text = example_text("larkmoss")
    text = text.replace("[bulb]\n", f'[bulb]\nincidence = "{degrees} deg"\n', 1)
    plan = read_plan(text, source="larkmoss.toml")
    return run(plan, None, load_hull(plan, EXAMPLES))


@pytest.mark.parametrize("degrees", [-8.0, 4.0])
def test_a_boat_is_level_on_her_line_with_her_bulb_hung_at_an_angle(degrees):
    job = boat_at(degrees)
    boat, bulb, water = job.boat, job.bulb, job.plan.water.density
    rest = boat.start.rest
    _, mesh = turned_mesh(job)
    assert bulb.mass + rest.mass == pytest.approx(water * (rest.volume + boat.hung.afloat.volume), rel=1e-9)
    weight = rest.mass * rest.mass_x + bulb.mass * bulb.mass_centre[0]
    lift = water * (rest.volume * rest.buoyancy_x + boat.hung.afloat.volume * boat.hung.afloat.volume_x)
    assert weight == pytest.approx(lift, rel=1e-9)
    # Lead alone balances within a few mm of all that hangs.
    assert mesh.center_mass[0] == pytest.approx(bulb.mass_centre[0], abs=0.005)
    hang = boat.hung.hang
    along = hang.tip_leading_edge_x - bulb.pocket.leading_edge_x + bulb.mass_centre_x
    assert hang.boat_x(along) == pytest.approx(bulb.mass_centre[0], abs=1e-12)
    assert hang.along(hang.boat_x(along)) == pytest.approx(along, abs=1e-14)


def test_an_end_of_the_reach_is_where_the_largest_overhang_holds_the_bulb():
    job = boat_at(6.0)
    hung, plan = job.boat.hung, job.plan
    assert hung.band is not None
    # The bulb moved along its own axis until its nose is that far ahead, or its tail over the trailing edge.
    room = job.bulb.body.length - plan.fin.tip_chord
    ahead = min(hung.hang.overhang_forward, room) - job.bulb.pocket.leading_edge_x
    expected = job.bulb.mass_centre[0] - ahead * math.cos(job.bulb.incidence)
    assert hung.band.fore_x == pytest.approx(expected, abs=1e-12)
    assert plan.bulb.incidence == job.bulb.incidence


def test_a_fin_with_a_slanting_tip_keeps_its_volume():
    plan = boat_at(8.0).plan
    fin, angle = plan.fin, plan.bulb.incidence
    foil = fin_foil(fin, angle)
    # Strips along the slanting tip's normal: at each fraction of the chord the span ends on the line of the tip.
    share, nodes = np.polynomial.legendre.leggauss(60)
    u, du = 0.5 * (share + 1.0), 0.5 * nodes
    total = 0.0
    drop = fin.tip_chord * math.sin(angle)
    half = np.polyval([-0.5075, 1.4215, -1.7580, -0.6300, 0.0], u) + 1.4845 * np.sqrt(u)
    for at, part, thick in zip(u, du, half, strict=True):
        span = fin.root_z - (fin.tip_z - at * drop)
        s, w = 0.5 * (share + 1.0), 0.5 * nodes
        root, tip = fin.root_chord, fin.tip_chord * math.cos(angle)
        chord = root + s * (tip - root)
        thickness = fin.root_thickness + s * (fin.tip_thickness - fin.root_thickness)
        total += part * float(np.sum(w * span * chord * thickness * 2.0 * thick))
    assert foil_solid(foil).volume == pytest.approx(total, rel=2e-3)
    # A small angle adds the wedge between the level and the slanting tip; what is left is of the second order.
    small = math.radians(0.2)
    gained = foil_solid(fin_foil(fin, small)).volume - foil_solid(fin_foil(fin, 0.0)).volume
    wedge = section_numbers().area * section_numbers().centroid * fin.tip_chord**2 * fin.tip_thickness
    assert gained == pytest.approx(wedge * math.sin(small), rel=0.1)


def test_rake_and_incidence_together_are_bounded_as_the_rake_alone():
    with pytest.raises(PlanError) as caught:
        job_at(5.0, rake=42.0)
    assert [fault.message for fault in caught.value.faults] == [
        'pebblewort.toml: bulb.incidence: read incidence = "5.0 deg" with rake = "42.0 deg"; expected a sum '
        "within 45 degrees either way, the limit for the tilt of the pocket and the screws in the bulb. Reduce one "
        "of them."
    ]


def test_the_profiles_largest_place_hardly_matters_to_a_small_angle():
    body = turned_body(
        modified_four_digit(max_at=0.4, nose_index=5.0), diameter=0.05, tail_diameter=0.004, fineness=6.0
    )
    along, depth = lowest_point(body, 1e-7)
    assert along == pytest.approx(body.max_at, abs=1e-5)
    assert depth == pytest.approx(0.5 * body.height + 1e-7 * body.max_at, abs=1e-12)


@pytest.mark.parametrize("degrees", [-8.0, 4.0])
def test_the_boats_profile_shows_the_bulb_turned_and_the_tip_cut_along_it(degrees):
    job = boat_at(degrees)
    points = np.array(bulb_contour(job)) * 1e-3
    _, mesh = turned_mesh(job)
    middle = mesh.vertices[np.abs(mesh.vertices[:, 1]) < 1e-3]
    assert points[:, 0].min() == pytest.approx(middle[:, 0].min(), abs=2e-4)
    assert points[:, 0].max() == pytest.approx(middle[:, 0].max(), abs=2e-4)
    assert points[:, 1].max() == pytest.approx(job.bulb.axis_z + highest(job), abs=2e-4)
    fin = np.array(foil_contours(job)[0]) * 1e-3
    cut = fin[2] - fin[3]
    assert math.degrees(math.atan2(-cut[1], cut[0])) == pytest.approx(degrees, abs=1e-9)
    assert math.hypot(*cut) == pytest.approx(job.plan.fin.tip_chord, rel=1e-12)


def highest(job):
    """Highest point of the bulb above its nose, found as the lowest point of the bulb upside down. [m]"""
    return lowest_point(job.bulb.body, -job.bulb.incidence)[1]
