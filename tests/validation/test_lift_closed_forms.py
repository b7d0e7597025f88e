"""Lift on copes, sides and cores compared with closed forms of hydrostatics, and projected areas with plane geometry."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy import integrate
from shapely.geometry import Polygon

from bulbcast.bulb.body.integrals import body_volume
from bulbcast.bulb.body.profiles import four_digit, spheroid
from bulbcast.bulb.body.shadow import grown_shadow, scaled_shadow, shadow_of
from bulbcast.bulb.body.tabulated import tabulated
from bulbcast.bulb.body.turned import turned_body
from bulbcast.foundry.gating.lift import (
    LiftError,
    bursting_force,
    cope_lift,
    floating_force,
    held,
    thrust_on_hung_core,
)
from bulbcast.quantities.checked import STANDARD_GRAVITY

LEAD = 10605.0  # liquid at 380 C, OECD-NEA handbook: 11441 - 1.2795 x 653.15


def sphere(radius: float):
    return turned_body(spheroid(), diameter=2.0 * radius, tail_diameter=0.0, fineness=1.0)


@pytest.mark.parametrize("head", [0.05, 0.08, 0.3])
def test_a_hemisphere_is_lifted_by_the_column_above_it_less_its_own_metal(head: float) -> None:
    # Closed form: rho g (pi R^2 H - 2/3 pi R^3).
    radius = 0.05
    body = sphere(radius)
    lift = cope_lift(
        shadow_area=shadow_of(body, "from above").area,
        volume_above=0.5 * body_volume(body).volume,
        head=head,
        density=LEAD,
    )
    exact = LEAD * STANDARD_GRAVITY * math.pi * radius**2 * (head - 2.0 / 3.0 * radius)
    assert lift == pytest.approx(exact, rel=1e-10)


def test_a_half_cylinder_is_lifted_by_the_column_above_it_less_its_own_metal() -> None:
    # Closed form: rho g L (2 R H - pi R^2 / 2).
    radius, length, head = 0.04, 0.5, 0.09
    lift = cope_lift(
        shadow_area=2.0 * radius * length,
        volume_above=0.5 * math.pi * radius**2 * length,
        head=head,
        density=LEAD,
    )
    # The same by summing the pressure's upward share round the vault.
    angle = np.linspace(0.0, math.pi, 20001)
    upward = LEAD * STANDARD_GRAVITY * (head - radius * np.sin(angle)) * np.sin(angle) * radius * length
    assert lift == pytest.approx(float(integrate.simpson(upward, x=angle)), rel=1e-9)
    assert lift == pytest.approx(
        LEAD * STANDARD_GRAVITY * length * (2.0 * radius * head - 0.5 * math.pi * radius**2), rel=1e-12
    )


def test_a_turned_cylinder_with_a_pointed_nose_is_lifted_as_cone_and_cylinder_are() -> None:
    # A cone of length a and a cylinder of length b, both of radius R, lying on their axis: shadow R (a + 2 b),
    # half volume pi R^2 (a / 6 + b / 2). The table's square is a cubic between knots and so exact for both.
    radius, cone, cylinder, head = 0.03, 0.1, 0.2, 0.07
    x = np.concatenate([np.linspace(0.0, cone, 201), np.linspace(cone, cone + cylinder, 21)[1:]])
    r = radius * np.minimum(x / cone, 1.0)
    body = turned_body(
        tabulated(list(x), list(r)), diameter=2.0 * radius, tail_diameter=0.0, length=cone + cylinder
    )
    lift = cope_lift(
        shadow_area=shadow_of(body, "from above").area,
        volume_above=0.5 * body_volume(body).volume,
        head=head,
        density=LEAD,
    )
    shadow, half = radius * (cone + 2.0 * cylinder), math.pi * radius**2 * (cone / 6.0 + 0.5 * cylinder)
    assert lift == pytest.approx(LEAD * STANDARD_GRAVITY * (head * shadow - half), rel=1e-5)


@pytest.mark.parametrize("width_to_height", [1.0, 0.6, 1.8])
def test_the_lift_on_a_bulb_is_the_sum_of_pressures_over_its_upper_surface(width_to_height: float) -> None:
    body = turned_body(
        four_digit(), diameter=0.05, tail_diameter=0.004, fineness=6.0, width_to_height=width_to_height
    )
    head = 0.11
    a = math.sqrt(width_to_height)

    def strip(x: float) -> float:
        # int over y of (head - z(y)) with z an ellipse of semi-axes a r and r / a.
        r = float(body.radius(np.array([x]))[0])
        return 2.0 * a * r * head - 0.5 * math.pi * r**2

    summed, _ = integrate.quad(strip, 0.0, body.length, limit=400, epsrel=1e-10)
    lift = cope_lift(
        shadow_area=shadow_of(body, "from above").area,
        volume_above=0.5 * body_volume(body).volume,
        head=head,
        density=LEAD,
    )
    assert lift == pytest.approx(LEAD * STANDARD_GRAVITY * summed, rel=1e-7)


def test_the_field_rule_of_thumb_comes_out_for_an_oval() -> None:
    # A 200 x 60 mm oval flat cavity under 60 mm of metal: rho g h x pi/4 x L x W = 59 N.
    oval = 0.25 * math.pi * 0.200 * 0.060
    assert cope_lift(shadow_area=oval, volume_above=0.0, head=0.060, density=LEAD) == pytest.approx(
        59.0, abs=0.6
    )


def test_a_mould_parted_upright_bursts_with_the_pressure_at_the_centroid() -> None:
    # A disc of radius R with its centre H deep: rho g H pi R^2, at any H above R.
    radius, depth = 0.05, 0.12
    shadow = shadow_of(sphere(radius), "from the side")
    assert bursting_force(shadow_area=shadow.area, centroid_depth=depth, density=LEAD) == pytest.approx(
        LEAD * STANDARD_GRAVITY * depth * math.pi * radius**2, rel=1e-9
    )
    assert shadow.centroid_x == pytest.approx(radius, rel=1e-9)


def test_a_mould_on_end_bursts_as_the_strips_of_its_shadow_say() -> None:
    body = turned_body(four_digit(), diameter=0.05, tail_diameter=0.004, fineness=6.0)
    shadow, head = shadow_of(body, "from the side"), 0.04
    # Tail up: depth below the surface is head + length - x.
    summed, _ = integrate.quad(
        lambda x: (head + body.length - x) * 2.0 * float(body.radius(np.array([x]))[0]),
        0.0,
        body.length,
        limit=400,
        epsrel=1e-10,
    )
    force = bursting_force(
        shadow_area=shadow.area, centroid_depth=head + body.length - shadow.centroid_x, density=LEAD
    )
    assert force == pytest.approx(LEAD * STANDARD_GRAVITY * summed, rel=1e-7)


@pytest.mark.parametrize("seen", ["from above", "from the side"])
@pytest.mark.parametrize("width_to_height", [1.0, 1.6])
def test_a_shadow_and_its_growth_agree_with_a_polygon_library(seen: str, width_to_height: float) -> None:
    body = turned_body(
        four_digit(), diameter=0.06, tail_diameter=0.006, fineness=5.0, width_to_height=width_to_height
    )
    factor = math.sqrt(width_to_height if seen == "from above" else 1.0 / width_to_height)
    x = body.length * np.sin(0.25 * math.pi * np.linspace(0.0, 2.0, 4001)) ** 2
    r = factor * body.radius(x)
    outline = Polygon([*zip(x, r, strict=True), *zip(x[::-1], -r[::-1], strict=True)])
    shadow = shadow_of(body, seen)  # type: ignore[arg-type]
    assert shadow.area == pytest.approx(outline.area, rel=2e-6)
    assert shadow.perimeter == pytest.approx(outline.length, rel=1e-5)
    assert shadow.centroid_x == pytest.approx(outline.centroid.x, rel=1e-5)
    grown = grown_shadow(shadow, 0.002, length=body.length)
    assert grown.area == pytest.approx(outline.buffer(0.002, quad_segs=64).area, rel=1e-5)
    assert scaled_shadow(grown, 1.01).area == pytest.approx(1.01**2 * grown.area, rel=1e-15)


def test_steel_floats_in_lead_and_plaster_floats_harder() -> None:
    # Archimedes: (rho_metal - rho) g V.
    steel = floating_force(volume=1e-5, density=7850.0, metal_density=LEAD)
    plaster = floating_force(volume=1e-5, density=1100.0, metal_density=LEAD)
    assert steel == pytest.approx((LEAD - 7850.0) * 9.80665 * 1e-5, rel=1e-12)
    assert 0.0 < steel < plaster
    assert floating_force(volume=1e-5, density=19300.0, metal_density=LEAD) < 0.0  # tungsten sinks


def test_a_core_hung_from_the_cope_is_thrust_up_by_more_than_archimedes() -> None:
    # A prism of area A and height h with its top at depth d: full buoyancy is rho g A h, the thrust at its foot
    # rho g A (d + h); they differ by the metal that would stand on top of it.
    area, height, top = 2e-4, 0.02, 0.05
    hung = thrust_on_hung_core(
        end_area=area, end_depth=top + height, volume=area * height, density=1100.0, metal_density=LEAD
    )
    free = floating_force(volume=area * height, density=1100.0, metal_density=LEAD)
    assert hung - free == pytest.approx(LEAD * STANDARD_GRAVITY * area * top, rel=1e-12)


def test_the_weight_holds_twice_the_static_figure_less_what_the_cope_weighs() -> None:
    what = held(100.0, own_mass=5.0)
    assert what.wanted == pytest.approx(200.0)
    assert what.weight == pytest.approx(200.0 / 9.80665 - 5.0, rel=1e-12)
    assert held(10.0, own_mass=5.0).weight == 0.0


def test_a_head_that_does_not_fill_the_cope_is_refused() -> None:
    with pytest.raises(LiftError) as refused:
        cope_lift(shadow_area=0.01, volume_above=1e-3, head=0.05, density=LEAD)
    assert str(refused.value) == (
        "a head of 0.05 m above the parting does not fill the cavity: the volume above the parting is 0.001 m3 over an "
        "area of 0.01 m2"
    )
