"""Holes drilled from the underside compared with the mesh kernel's booleans and with the drilling schedule."""

from __future__ import annotations

import math

import numpy as np
import pytest
import trimesh
from plans import EXAMPLES, LEAST, SCREW, job_of

from bulbcast.bulb.body.facets import body_mesh
from bulbcast.bulb.body.integrals import body_volume
from bulbcast.bulb.cuts.drilled import POINT_ANGLE, drilled_hole, point_height
from bulbcast.confidence.drilling import schedule_of
from bulbcast.confidence.plugs import lead_plugs
from bulbcast.confidence.work import scheduled
from bulbcast.files.plan_file import load_plan
from bulbcast.job import run
from bulbcast.pattern.solids import drilled_solid
from bulbcast.plan.reading import read_plan

PLAN = LEAST + 'pocket_depth = "6 mm"\n' + SCREW + SCREW.replace("14 mm", "42 mm") + "[confidence]\n"
SHAPES = ["", 'width_to_height = 1.6\nprofile = "spheroid"\n']


def solid_of(body):
    mesh = body_mesh(body, distance=0.0, volume=body_volume(body).volume, chord_error=5e-6)
    return trimesh.Trimesh(vertices=mesh.vertices, faces=mesh.triangles, process=False)


def drill(hole, bottom: float, around: int = 512) -> trimesh.Trimesh:
    """Solid of a drill with its point, from below the body to the end of the hole."""
    radius = 0.5 * hole.diameter
    # As wide as the circle's area wants it.
    radius *= math.sqrt(2.0 * math.pi / around / math.sin(2.0 * math.pi / around))
    top = bottom + hole.depth
    outline = np.array(
        [
            [0.0, bottom - 0.02],
            [radius, bottom - 0.02],
            [radius, top],
            [0.0, top + point_height(hole.diameter)],
        ]
    )
    turned = trimesh.creation.revolve(outline, sections=around)
    turned.apply_translation([hole.x, 0.0, 0.0])
    return turned


@pytest.mark.parametrize("shape", SHAPES, ids=["round", "flat"])
@pytest.mark.parametrize("place", [0.2, 0.5, 0.75])
def test_volume_and_centre_are_those_of_the_cut_solid(shape: str, place: float) -> None:
    body = job_of(PLAN.replace("[bulb]\n", f"[bulb]\n{shape}")).bulb.body
    hole = drilled_hole(body, place * body.length, 8e-3, 0.9e-6)
    bottom = -float(body.radius(np.array([hole.x]))[0]) / math.sqrt(body.width_to_height)
    taken = trimesh.boolean.intersection([solid_of(body), drill(hole, bottom)], engine="manifold")
    assert taken.volume == pytest.approx(hole.piece.volume, rel=2e-4)
    centre = (hole.piece.moment_x / hole.piece.volume, hole.piece.moment_z / hole.piece.volume)
    assert taken.center_mass[[0, 2]] == pytest.approx(centre, abs=5e-6)


def test_the_point_is_that_of_a_usual_drill() -> None:
    # Cone of 118 degrees: height = radius / tan 59 = 0.3004 diameters (plane trigonometry).
    assert math.degrees(POINT_ANGLE) == pytest.approx(118.0)
    assert point_height(10e-3) == pytest.approx(3.004e-3, abs=1e-6)


# So little lead as 0.002 cannot move the mass centre by 0.2 mm from within the bulb.
@pytest.mark.parametrize(
    ("share", "shift"), [(0.002, 0.0), *((one, by) for one in (0.02, 0.05, 0.09) for by in (0.0, 0.2e-3))]
)
def test_a_schedule_takes_off_what_it_says_where_it_says(share: float, shift: float) -> None:
    job = job_of(PLAN)
    bulb, wish, wall = job.bulb, job.wish, job.wall_wanted
    mass = share * bulb.mass
    schedule = schedule_of(
        bulb,
        mass=mass,
        cast_density=wish.cast_density,
        filler_density=wish.filler_density,
        wall=wall,
        within=0.1e-3,
        shift=shift,
    )
    assert schedule.left == 0.0
    assert schedule.taken == pytest.approx(mass, rel=1e-9)
    moved = -sum(
        schedule.net_density * (one.piece.moment_x - bulb.mass_centre_x * one.piece.volume)
        for one in schedule.holes
    )
    assert moved / bulb.mass - shift == pytest.approx(schedule.shift, abs=1e-12)
    assert abs(schedule.shift) <= 0.1e-3
    for one in schedule.holes:
        for screw in bulb.screw_cuts:
            assert abs(one.x - screw.at_x) >= 0.5 * (one.diameter + screw.recess_diameter) + wall - 1e-9
        bottom = -float(bulb.body.radius(np.array([one.x]))[0])
        top = bottom + one.depth
        if bulb.pocket.leading_edge_x < one.x < bulb.pocket.leading_edge_x + bulb.pocket.tip.chord:
            assert top + point_height(one.diameter) <= bulb.axis.floor - wall + 1e-9
        # The rim of the full diameter against points all over the outside: above the axis, where it is no mouth.
        if top <= 0.0:
            continue
        turn = np.linspace(0.0, 2.0 * math.pi, 48, endpoint=False)
        rim = np.stack(
            [one.x + 0.5 * one.diameter * np.cos(turn), 0.5 * one.diameter * np.sin(turn), np.full(48, top)],
            axis=1,
        )
        along, around = np.meshgrid(one.x + np.linspace(-0.015, 0.015, 121), np.linspace(0.0, math.pi, 181))
        radius = bulb.body.radius(along)
        outside = np.stack([along, radius * np.cos(around), radius * np.sin(around)], axis=-1).reshape(-1, 3)
        nearest = np.linalg.norm(rim[:, None, :] - outside[None, :, :], axis=2).min()
        assert nearest >= wall - 2e-5
    for one, other in zip(schedule.holes, schedule.holes[1:], strict=False):
        assert other.x - one.x >= one.diameter + 0.002 - 1e-9


def test_lead_that_there_is_no_room_for_is_reported() -> None:
    job = job_of(PLAN)
    schedule = schedule_of(
        job.bulb,
        mass=0.5 * job.bulb.mass,
        cast_density=job.wish.cast_density,
        filler_density=job.wish.filler_density,
        wall=job.wall_wanted,
        within=0.1e-3,
    )
    assert schedule.left > 0.0
    assert schedule.taken + schedule.left == pytest.approx(0.5 * job.bulb.mass, rel=1e-9)


def tight(probability: str = "95 %"):
    """The example's job, sized for this probability; at 95 %, the underside has too little room for the holes."""
    text = f'\n[confidence]\nprobability = "{probability}"\n'
    plan, offsets, hull = load_plan(EXAMPLES / "larkmoss.toml")
    asked = read_plan((EXAMPLES / "larkmoss.toml").read_bytes() + text.encode(), source=plan.source)
    return run(asked, offsets, hull, remedies=False)


def test_where_the_underside_is_not_enough_the_pockets_floor_is_drilled_too_and_the_solid_agrees() -> None:
    job = tight()
    bulb, schedule = job.bulb, scheduled(job, job.confidence.drill_most)
    assert any(one.floor for one in schedule.holes)
    assert schedule.left > 0.0
    assert abs(schedule.shift) <= 0.5e-3
    for one in schedule.holes:
        if not one.floor:
            continue
        tip = bulb.axis.floor - one.depth - point_height(one.diameter)
        assert tip >= -float(bulb.body.radius(np.array([one.x]))[0]) + job.wall_wanted - 1e-9
        for screw in bulb.screw_cuts:
            assert abs(one.x - screw.at_x) >= 0.5 * (one.diameter + screw.recess_diameter) + job.wall_wanted
        for other in schedule.holes:
            if not other.floor:
                assert abs(one.x - other.x) >= 0.5 * (one.diameter + other.diameter) + job.wall_wanted - 1e-9
    # The mesh kernel's solid with every hole in it against the quadrature of the holes: two codes that share nothing.
    solid = drilled_solid(job, schedule.holes)
    assert solid.meant.volume == pytest.approx(solid.meant.quadrature_volume, rel=2e-5)
    assert solid.meant.centroid == pytest.approx(solid.meant.quadrature_centroid, abs=2e-6)
    lead = bulb.net_lead.volume - sum(one.piece.volume for one in schedule.holes)
    assert solid.meant.quadrature_volume == pytest.approx(lead, rel=1e-12)


def test_a_lower_aim_as_it_is_offered_leaves_room_for_all_of_it() -> None:
    job = tight()
    found = next(one for one in job.findings if one.code == "no-room-to-drill")
    key, value = found.fix[0].key, found.fix[0].value
    assert key == "confidence.probability"
    assert not [one for one in tight(value.strip('"')).findings if one.code == "no-room-to-drill"]


def test_lead_plugs_make_up_for_what_is_short_as_far_as_they_go() -> None:
    job = job_of(PLAN)
    lead, filler = job.wish.cast_density, job.wish.filler_density
    room = lead_plugs(job.bulb, math.inf, lead, filler)
    assert [one.screw for one in room] == [1, 2]
    # The plug as it stands in the ledger, in lead less filler.
    for one in room:
        line = next(line for line in job.bulb.lines if line.name == f"plug of screw {one.screw}")
        assert one.mass == pytest.approx(line.piece.volume * (lead - filler), rel=1e-12)
        assert 0.25 * math.pi * one.diameter**2 * one.length == pytest.approx(line.piece.volume, rel=1e-12)
    half = lead_plugs(job.bulb, 0.5 * sum(one.mass for one in room), lead, filler)
    assert [one.length for one in half] == pytest.approx([0.5 * one.length for one in room], rel=1e-9)
    assert lead_plugs(job.bulb, -0.01, lead, filler) == ()
