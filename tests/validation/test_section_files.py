"""Thickness forms compared with the ordinate files in a PyPI package, read without importing the package.

The wheel of aerosandbox (MIT) contains section files from the UIUC collection; the data are not copied here.
`naca16009.dat` is not used, since it differs from the published form by up to 4e-4 of the chord.
"""

from __future__ import annotations

import sys
from importlib.metadata import distribution

import numpy as np
import pytest

from bulbcast.bulb.body.profiles import four_digit, modified_four_digit
from bulbcast.fin.tip_section import FinTip, half_thickness

FOLDER = "aerosandbox/geometry/airfoil/airfoil_database"

# Files of seven decimals, x included: half a unit of y, and as much again for the rounding of x where
# the nose is steep.
SEVEN_DECIMALS = 1.1e-7
# Files of five decimals in chords: one unit, as some of them are cut off and not rounded.
FIVE_DECIMALS = 1e-5
# The modified forms are hand computations of the 1930s: 7.1e-5 at worst, 1e-4 is what is allowed.
HAND_COMPUTED = 1e-4
# The 16-series is the modified form of index 4 with the largest thickness at midlength.
SIXTEEN_SERIES = 2e-5

FOUR_DIGIT = [
    ("naca0006.dat", 0.06, FIVE_DECIMALS),
    ("naca0008.dat", 0.08, SEVEN_DECIMALS),
    ("naca0010.dat", 0.10, SEVEN_DECIMALS),
    ("naca0012.dat", 0.12, SEVEN_DECIMALS),
    ("n0012.dat", 0.12, SEVEN_DECIMALS),
    ("naca0015.dat", 0.15, SEVEN_DECIMALS),
    ("naca0018.dat", 0.18, FIVE_DECIMALS),
    ("naca0021.dat", 0.21, FIVE_DECIMALS),
    ("naca0024.dat", 0.24, FIVE_DECIMALS),
]
MODIFIED = [
    ("naca000834.dat", 0.08, 3, 0.4, HAND_COMPUTED),
    ("naca001034.dat", 0.10, 3, 0.4, HAND_COMPUTED),
    ("naca001035.dat", 0.10, 3, 0.5, HAND_COMPUTED),
    ("naca001064.dat", 0.10, 6, 0.4, HAND_COMPUTED),
    ("naca001065.dat", 0.10, 6, 0.5, HAND_COMPUTED),
    ("naca001066.dat", 0.10, 6, 0.6, HAND_COMPUTED),
    ("naca001234.dat", 0.12, 3, 0.4, HAND_COMPUTED),
    ("naca001264.dat", 0.12, 6, 0.4, HAND_COMPUTED),
    ("naca16012.dat", 0.12, 4, 0.5, SIXTEEN_SERIES),
    ("naca16021.dat", 0.21, 4, 0.5, SIXTEEN_SERIES),
]


def ordinates(name):
    """Coordinates x and |y| of both sides, as fractions of the chord."""
    path = distribution("aerosandbox").locate_file(f"{FOLDER}/{name}")
    with open(path, encoding="utf-8", errors="replace") as handle:
        rows = [line.split() for line in handle.read().splitlines()[1:]]
    points = np.array([[float(part) for part in row] for row in rows if len(row) == 2])
    assert len(points) >= 30  # a file that was cut short would prove nothing
    return points[:, 0], np.abs(points[:, 1])


@pytest.mark.parametrize(("name", "thickness", "tolerance"), FOUR_DIGIT)
def test_a_four_digit_file_agrees_with_the_turned_form_and_with_the_fins_section(name, thickness, tolerance):
    x, y = ordinates(name)
    section, _ = half_thickness(FinTip(chord=1.0, thickness=thickness), x)
    assert np.max(np.abs(section - y)) <= tolerance
    # The turned form is scaled to its true maximum, 0.50014394240 of the nominal thickness.
    turned = 0.50014394240 * thickness * four_digit().radius(x)
    assert np.max(np.abs(turned - y)) <= tolerance


@pytest.mark.parametrize(("name", "thickness", "index", "max_at", "tolerance"), MODIFIED)
def test_a_modified_forms_file_agrees_with_the_turned_form(name, thickness, index, max_at, tolerance):
    x, y = ordinates(name)
    turned = 0.5 * thickness * modified_four_digit(max_at=max_at, nose_index=index).radius(x)
    assert np.max(np.abs(turned - y)) <= tolerance


def test_the_package_itself_was_not_loaded():
    assert "aerosandbox" not in sys.modules
