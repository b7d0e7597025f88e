"""Integrals of the library's bodies, and of bodies defined here, compared with closed forms.

"Reference" figures were computed once with mpmath at 20 to 30 digits for the project's reference notes.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from bulbcast.bulb.body.integrals import body_surface, body_volume
from bulbcast.bulb.body.profiles import Profile, sears_haack, spheroid
from bulbcast.bulb.body.tabulated import tabulated
from bulbcast.bulb.body.turned import turned_body


def body_of(profile, half, fineness):
    """Uncut body of unit length with a nominal thickness of 1 / fineness."""
    return turned_body(profile, diameter=2.0 * half / fineness, tail_diameter=0.0, length=1.0)


def prismatic(profile, half=0.5):
    """Volume divided by that of the nominal cylinder."""
    return body_volume(body_of(profile, half, 5.0)).volume / (0.25 * math.pi / 25.0)


def wetted(profile, half, fineness):
    """Surface area without the base disc, divided by that of the nominal cylinder's side."""
    surface = body_surface(body_of(profile, half, fineness))
    return (surface.area - surface.face_area) / (math.pi / fineness)


def centroid(profile):
    return body_volume(body_of(profile, 0.5, 5.0)).centroid_x


def spheroid_wetted(fineness):
    """S / (pi D L) of a prolate spheroid, with the classical S = 2 pi b^2 + 2 pi a b asin(e) / e."""
    a, b = 0.5, 0.5 / fineness
    e = math.sqrt(1.0 - (b / a) ** 2)
    return (2.0 * math.pi * b * b + 2.0 * math.pi * a * b * math.asin(e) / e) / (math.pi / fineness)


SPHEROID_ROWS = [
    ("spheroid.Cp", None, 0.66666666666667, "closed form 2/3"),
    ("spheroid.Cs_f3", 3, 0.81948148019199, "closed form, classical"),
    ("spheroid.Cs_f4", 4, 0.80567221251729, "closed form, classical"),
    ("spheroid.Cs_f5", 5, 0.79883861018365, "closed form, classical"),
    ("spheroid.Cs_f6", 6, 0.79496077871573, "closed form, classical"),
    ("spheroid.Cs_f8", 8, 0.79094765093471, "closed form, classical"),
]


@pytest.mark.parametrize(("name", "fineness", "value", "source"), SPHEROID_ROWS, ids=lambda v: v)
def test_a_figure_of_the_spheroid_agrees_with_its_closed_form(name, fineness, value, source):
    if fineness is None:
        assert prismatic(spheroid()) == pytest.approx(value, rel=1e-13)
        assert centroid(spheroid()) == pytest.approx(0.5, rel=1e-13)
    else:
        assert spheroid_wetted(fineness) == pytest.approx(value, rel=1e-13)
        assert wetted(spheroid(), 0.5, fineness) == pytest.approx(value, rel=1e-12)


SEARS_HAACK_ROWS = [
    ("sears_haack.Cp", None, 0.58904862254809, "closed form 3 pi / 16; published: V = 3 pi^2 / 16 R^2 L"),
    ("sears_haack.Cs_f2", 2, 0.78107861079383, "computed with mpmath"),
    ("sears_haack.Cs_f4", 4, 0.7357770763344, "computed with mpmath"),
    ("sears_haack.Cs_f6", 6, 0.72654528096136, "computed with mpmath"),
]


@pytest.mark.parametrize(("name", "fineness", "value", "source"), SEARS_HAACK_ROWS, ids=lambda v: v)
def test_a_figure_of_the_sears_haack_body_agrees_with_the_reference(name, fineness, value, source):
    ours = prismatic(sears_haack()) if fineness is None else wetted(sears_haack(), 0.5, fineness)
    assert ours == pytest.approx(value, rel=1e-12 if fineness is None else 1e-10)


# Wetted area of the Sears-Haack body over pi D L as printed, four decimals: PDAS collection, table of
# the Sears-Haack body's surface area.
PRINTED_WETTED = [(2, 0.7811), (4, 0.7358), (6, 0.7265), (8, 0.7232), (10, 0.7217)]


@pytest.mark.parametrize(("fineness", "printed"), PRINTED_WETTED)
def test_the_sears_haack_bodys_wetted_area_is_the_one_printed(fineness, printed):
    assert wetted(sears_haack(), 0.5, fineness) == pytest.approx(printed, abs=5e-5)


# The library has no Haack nose and no parabolic spindle: these rows go through profiles made here, so
# that what they hold is the library's integrals (on a base as wide as the body, and on points).


def haack_nose(c):
    """Haack nose that ends at the base: q = [th - sin(2 th) / 2 + C sin^3 th] / pi, th = acos(1 - 2 xi). Published."""

    def squared(xi):
        angle = np.arccos(np.clip(1.0 - 2.0 * xi, -1.0, 1.0))
        sine = np.sin(angle)
        q = (angle - 0.5 * np.sin(2.0 * angle) + c * sine**3) / math.pi
        # dth/dxi = 2 / sin(th); 1 - cos(2 th) = 2 sin^2.
        return q, (4.0 * sine + 6.0 * c * sine * np.cos(angle)) / math.pi

    return Profile(kind="haack nose", squared=squared, breaks=(), max_at=1.0)


def spindle():
    """Spindle pointed at both ends: eta = 4 xi (1 - xi)."""

    def squared(xi):
        eta = 4.0 * xi * (1.0 - xi)
        return eta * eta, 2.0 * eta * (4.0 - 8.0 * xi)

    return Profile(kind="spindle", squared=squared, breaks=(), max_at=0.5)


H = "formula published; integral 1/2 + 3 C / 16 derived"
HAACK_ROWS = [
    ("haack_nose.LD_vonKarman.Cp", 0.0, "Cp", 0.5, H),
    ("haack_nose.LD_vonKarman.eta_mid", 0.0, "eta", 0.70710678118655, H),
    ("haack_nose.LV.Cp", 1.0 / 3.0, "Cp", 0.5625, H),
    ("haack_nose.LV.centroid_from_tip", 1.0 / 3.0, "centroid", 0.66666666666667, H),
    ("haack_nose.tangent.Cp", 2.0 / 3.0, "Cp", 0.625, H),
]


@pytest.mark.parametrize(("name", "c", "figure", "value", "source"), HAACK_ROWS, ids=lambda v: v)
def test_a_haack_nose_made_here_has_the_published_integrals(name, c, figure, value, source):
    profile = haack_nose(c)
    if figure == "eta":
        assert float(profile.radius(np.array([0.5]))[0]) == pytest.approx(value, rel=1e-13)
    else:
        ours = prismatic(profile) if figure == "Cp" else centroid(profile)
        assert ours == pytest.approx(value, rel=1e-11)


SPINDLE_ROWS = [
    ("parabolic_spindle.Cp", None, 0.53333333333333, "closed form 8/15"),
    ("parabolic_spindle.Cs_f4", 4, 0.68291515293173, "computed with mpmath"),
    ("parabolic_spindle.Cs_f6", 6, 0.67398849819086, "computed with mpmath"),
]


@pytest.mark.parametrize(("name", "fineness", "value", "source"), SPINDLE_ROWS, ids=lambda v: v)
def test_a_parabolic_spindle_made_here_has_the_reference_integrals(name, fineness, value, source):
    ours = prismatic(spindle()) if fineness is None else wetted(spindle(), 0.5, fineness)
    assert ours == pytest.approx(value, rel=1e-11)


def test_a_parabolic_spindle_from_a_table_of_201_rows_has_the_reference_integrals():
    x = np.linspace(0.0, 1.0, 201)
    table = tabulated(x, 4.0 * x * (1.0 - x))
    # The slopes of a monotone cubic are of second order in the step, which is 1/200 here.
    assert prismatic(table) == pytest.approx(0.53333333333333, abs=(1.0 / 200.0) ** 2)
    assert wetted(table, 0.5, 6) == pytest.approx(0.67398849819086, abs=(1.0 / 200.0) ** 2)


def power_nose(n):
    """Nose eta = xi^n, as wide at its base as the body."""

    def squared(xi):
        return xi ** (2.0 * n), 2.0 * n * xi ** (2.0 * n - 1.0)

    return Profile(kind="power nose", squared=squared, breaks=(), max_at=1.0)


P = "closed form: Cp = 1 / (2 n + 1), centroid (2 n + 1) / (2 n + 2) from the tip"
POWER_ROWS = [
    ("power_nose.n0.5.centroid_from_tip", 0.5, "centroid", 0.66666666666667, P),
    ("power_nose.n0.6.Cp", 0.6, "Cp", 0.45454545454545, P),
    ("power_nose.n0.6.centroid_from_tip", 0.6, "centroid", 0.6875, P),
    ("power_nose.n0.75.centroid_from_tip", 0.75, "centroid", 0.71428571428571, P),
    ("power_nose.n1.centroid_from_tip", 1.0, "centroid", 0.75, P),
]


@pytest.mark.parametrize(("name", "n", "figure", "value", "source"), POWER_ROWS, ids=lambda v: v)
def test_a_power_law_nose_made_here_has_its_closed_form(name, n, figure, value, source):
    ours = prismatic(power_nose(n)) if figure == "Cp" else centroid(power_nose(n))
    assert ours == pytest.approx(value, rel=1e-9)
