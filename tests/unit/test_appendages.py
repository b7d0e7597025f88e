"""Closed surfaces of the fin, rudder and bulb, and the heel and leeway found from a righting arm curve."""

from __future__ import annotations

import math

import numpy as np
import pytest

from bulbcast.bulb.body.attitude import Attitude
from bulbcast.bulb.body.integrals import body_surface, body_volume, parallel_volume
from bulbcast.bulb.body.profiles import four_digit
from bulbcast.bulb.body.turned import turned_body
from bulbcast.fin.foil import Foil, foil_solid
from bulbcast.hull.hydrostatics import Attitude as Lie
from bulbcast.hull.hydrostatics import hydrostatics
from bulbcast.hull.mesh import HullMesh, hull_with
from bulbcast.hull.topology import edges_of, unbalanced
from bulbcast.quantities.checked import STANDARD_GRAVITY
from bulbcast.sailing.appendages import bulb_mesh, foil_above, foil_mesh, mirrored
from bulbcast.sailing.sail import Rig, side_force
from bulbcast.sailing.wind_heel import ArmsByHeel, heel_on_curve, steady_winds, wind_for_leeway_on_curve
from bulbcast.solids.mesh import mesh_volume_and_centroid

FOIL = Foil(
    root_chord=0.088,
    tip_chord=0.061,
    root_thickness=0.009,
    tip_thickness=0.008,
    root_leading_edge_x=0.47,
    tip_leading_edge_x=0.50,
    root_z=-0.052,
    tip_z=-0.37,
)


def test_a_foils_surface_is_closed_alike_to_both_sides_and_has_its_volume_and_centre():
    mesh, solid = foil_mesh(FOIL), foil_solid(FOIL)
    assert not len(unbalanced(edges_of(mesh.triangles)))
    volume, centroid = mesh_volume_and_centroid(mesh.vertices, mesh.triangles)
    assert volume == pytest.approx(solid.volume, rel=1e-12)
    np.testing.assert_allclose(centroid, [solid.centre_x, 0.0, solid.centre_z], atol=1e-12)
    # Heeled as far to port as to starboard, as much of it is under water, and its centre as far out.
    whole = HullMesh(vertices=mesh.vertices, triangles=mesh.triangles, design_length=1.0)
    one, other = (hydrostatics(whole, Lie(sinkage=-0.1, heel=heel)) for heel in (0.7, -0.7))
    assert one.volume == pytest.approx(other.volume, rel=1e-12)
    assert one.buoyancy_centre is not None
    assert other.buoyancy_centre is not None
    assert one.buoyancy_centre[1] == pytest.approx(-other.buoyancy_centre[1], abs=1e-15)


@pytest.mark.parametrize("share", [0.0, 1e-6, 0.02, 0.9])
def test_the_part_above_the_bulb_lacks_what_is_hidden_in_it(share):
    hidden = share * foil_solid(FOIL).volume
    free = foil_above(FOIL, hidden)
    assert foil_solid(free).volume == pytest.approx(foil_solid(FOIL).volume - hidden, rel=1e-12)
    assert free.root_z == FOIL.root_z


def test_a_bulbs_surface_has_the_volume_of_lead_and_skin_where_it_hangs():
    body = turned_body(four_digit(), diameter=0.036, length=0.21, width_to_height=1.3, tail_diameter=0.004)
    envelope = parallel_volume(body_volume(body), body_surface(body), 0.0002)
    mesh = bulb_mesh(
        body,
        skin=0.0002,
        volume=envelope.volume,
        centroid_x=envelope.centroid_x,
        attitude=Attitude(nose_x=0.4, nose_z=-0.39, incidence=0.03),
    )
    assert not len(unbalanced(edges_of(mesh.triangles)))
    volume, centroid = mesh_volume_and_centroid(mesh.vertices, mesh.triangles)
    assert volume == pytest.approx(envelope.volume, rel=1e-12)
    np.testing.assert_allclose(
        centroid,
        [0.4 + envelope.centroid_x * math.cos(0.03), 0.0, -0.39 - envelope.centroid_x * math.sin(0.03)],
        atol=1e-9,
    )


def test_a_mirrored_hull_heels_to_port_as_she_did_to_starboard():
    mesh = foil_mesh(FOIL)
    lopsided = HullMesh(
        vertices=mesh.vertices + np.array([0.0, 0.02, 0.3]), triangles=mesh.triangles, design_length=1.0
    )
    image = mirrored(hull_with(lopsided))
    one = hydrostatics(lopsided, Lie(heel=0.5))
    other = hydrostatics(image, Lie(heel=-0.5))
    assert other.volume == pytest.approx(one.volume, rel=1e-12)
    assert image.volume == pytest.approx(lopsided.volume, rel=1e-12)
    assert one.buoyancy_centre is not None
    assert other.buoyancy_centre is not None
    assert other.buoyancy_centre[1] == pytest.approx(-one.buoyancy_centre[1], abs=1e-14)


# Heel and leeway off a curve

GM, MASS = 0.12, 3.2
RIG = Rig(area=0.36, heeling_arm=0.8)
HEELS = tuple(math.radians(step) for step in range(91))
SINE = ArmsByHeel(heels=HEELS, arms=tuple(GM * math.sin(heel) for heel in HEELS))


def test_as_the_wind_rises_she_follows_the_heels_that_hold_her():
    steady = steady_winds(SINE, RIG, mass=MASS)
    winds, heels = zip(*steady, strict=True)
    assert list(winds) == sorted(winds)
    assert list(heels) == sorted(heels)
    for wind, heel in steady[10:600:60]:
        assert heel_on_curve(SINE, RIG, wind=wind, mass=MASS) == pytest.approx(heel, abs=1e-7)


def test_a_boat_that_is_laid_flat_has_her_strongest_wind_at_the_end():
    # The arm peaks at 40 degrees and is gone at 80; the sail does not spill.
    hump = ArmsByHeel(heels=HEELS, arms=tuple(GM * math.sin(2.25 * heel) for heel in HEELS))
    rig = Rig(area=0.36, heeling_arm=0.8, heel_exponent=0.0)
    wind, heel = steady_winds(hump, rig, mass=MASS)[-1]
    assert heel == pytest.approx(math.radians(40.0), abs=math.radians(0.2))
    assert wind == pytest.approx(
        math.sqrt(MASS * STANDARD_GRAVITY * GM / (0.5 * 1.225 * 1.2 * 0.36 * 0.8)), rel=1e-4
    )
    assert heel_on_curve(hump, rig, wind=1.001 * wind, mass=MASS) is None


def test_on_a_sine_curve_the_wind_for_a_leeway_is_the_closed_forms():
    # Upright the fin holds q S a limit. Heeled the force is m g GM sin(heel) / h and the fin meets the flow at leeway
    # times cos(heel): tan(heel) = limit q S a h / (m g GM), whatever the sail.
    limit, holding = math.radians(4.0), 0.5 * 999.1 * 0.025 * 4.4
    heel = math.atan(holding * limit * RIG.heeling_arm / (MASS * STANDARD_GRAVITY * GM))
    force = MASS * STANDARD_GRAVITY * GM * math.sin(heel) / RIG.heeling_arm
    found = wind_for_leeway_on_curve(SINE, RIG, mass=MASS, holding=holding, limit=limit)
    assert found.wind == pytest.approx(math.sqrt(force / side_force(RIG, 1.0, heel)), rel=1e-6)
    assert found.heel == pytest.approx(heel, rel=1e-6)
    assert found.upright_wind == pytest.approx(math.sqrt(holding * limit / side_force(RIG, 1.0)), rel=1e-12)


def test_a_fin_that_outlasts_the_righting_arms_never_passes_the_limit():
    hump = ArmsByHeel(heels=HEELS, arms=tuple(GM * math.sin(2.25 * heel) for heel in HEELS))
    rig = Rig(area=0.36, heeling_arm=0.8, heel_exponent=0.0)
    most = MASS * STANDARD_GRAVITY * GM / rig.heeling_arm / math.cos(math.radians(40.0))
    holding = 2.0 * most / math.radians(5.0)
    found = wind_for_leeway_on_curve(hump, rig, mass=MASS, holding=holding, limit=math.radians(5.0))
    assert (found.wind, found.heel) == (None, None)
    assert side_force(rig, found.upright_wind) == pytest.approx(holding * math.radians(5.0), rel=1e-12)
