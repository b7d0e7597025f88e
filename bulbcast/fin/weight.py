"""Estimated weight of a fin that has not been weighed, from the typical density of its material.

If the material is not given, it is inferred from the stiffness. Of materials with similar stiffness, the heaviest
is assumed, since the fin's weight adds to its load.
"""

from __future__ import annotations

import math
from typing import Literal

from bulbcast.fin.foil import Foil
from bulbcast.fin.shape import numbers_of
from bulbcast.fin.stiffness import FinSection, Material, TubeCoredFin
from bulbcast.quantities.frozen import frozen

FinMaterial = Literal["metal", "wood", "laminate"]


@frozen
class UsualDensity:
    """A density and its source.

    Attributes:
        density: Density. [kg/m3]
        source: Source of the density, in words.
    """

    density: float
    source: str


_METALS_SOURCE = "EN 1991-1-1, table A.4, from memory"
STEEL = UsualDensity(density=7850.0, source=f"steel, {_METALS_SOURCE}")
BRONZE = UsualDensity(density=8460.0, source=f"bronze, {_METALS_SOURCE}")
ALUMINIUM = UsualDensity(density=2750.0, source=f"aluminium, {_METALS_SOURCE}")
GLASS = UsualDensity(
    density=1900.0, source="laminate of half E-glass (2.55) and half epoxy (1.2) by volume, common practice"
)
CARBON = UsualDensity(
    density=1600.0,
    source="carbon laminate with volume fractions of 0.6 fibre (1.8) and 0.4 epoxy (1.2), common practice",
)
OAK = UsualDensity(
    density=760.0,
    source="white oak at 12 % moisture, one of the heaviest boat timbers: USDA Wood Handbook, from memory",
)

EVEN_FROM, EVEN_TO = 1.9, 3.1
"""Range of Young's modulus divided by shear modulus for an isotropic material, 2 (1 + Poisson's ratio) with a ratio of 0
to 1/2, widened slightly to allow for rounded figures. [-]"""


def is_even(modulus: float, shear_modulus: float) -> bool:
    """Return whether two moduli can belong to one isotropic material.

    Args:
        modulus: Young's modulus. [Pa]
        shear_modulus: Shear modulus. [Pa]
    """
    return EVEN_FROM * shear_modulus <= modulus <= EVEN_TO * shear_modulus


def usual_density(
    *, modulus: float | None, shear_modulus: float | None, material: FinMaterial | None
) -> UsualDensity:
    """Return the typical density of a material, given its kind, its stiffness or both.

    Args:
        modulus: Young's modulus along the span; None or 0 if not known. [Pa]
        shear_modulus: Shear modulus; None or 0 if not known. [Pa]
        material: Kind of material; None if not given.

    Returns:
        The density. A metal counts as steel from 150 GPa up or if its modulus is not known, as bronze from 80 GPa, and
        otherwise as aluminium. A laminate counts as carbon from 60 GPa, which glass does not reach, and otherwise as
        glass. Wood counts as oak.
            If the kind is not given, an isotropic material from 60 GPa up counts as metal. Below 15 GPa, the material
            counts as wood. Otherwise, or if nothing is known, it counts as laminate.
    """
    if material is None:
        if not modulus:
            material = "laminate"
        elif modulus < 15e9:
            material = "wood"
        else:
            even = not shear_modulus or is_even(modulus, shear_modulus)
            material = "metal" if even and modulus >= 60e9 else "laminate"
    if material == "wood":
        return OAK
    if material == "laminate":
        return CARBON if modulus and modulus >= 60e9 else GLASS
    if not modulus or modulus >= 150e9:
        return STEEL
    return BRONZE if modulus >= 80e9 else ALUMINIUM


def estimated_density(
    foil: Foil,
    section: FinSection,
    *,
    material: FinMaterial | None,
    wood_specific_gravity: float | None = None,
) -> UsualDensity:
    """Estimate the mean density of a fin whose mass is not given.

    Args:
        foil: Fin from the hull to the tip.
        section: Construction of the fin.
        material: Material of the fin outside any tube; None if not given.
        wood_specific_gravity: Density of dry wood divided by that of water, if known; at 12 % moisture wood weighs an
            eighth more. [-]

    Returns:
        Mean density of the complete fin. With a tube, the densities of body and tube are weighted by their areas, and
        the higher of the values at the root and the tip is used.
    """
    if isinstance(section, TubeCoredFin):
        stuff: Material | None = section.body
        if section.body.modulus == 0.0 and material is None:
            material = "wood"  # a core that carries no load is no heavier
    else:
        stuff = section.material
    body = usual_density(
        modulus=None if stuff is None else stuff.modulus,
        shear_modulus=None if stuff is None else stuff.shear_modulus,
        material=material,
    )
    if material == "wood" and wood_specific_gravity is not None:
        body = UsualDensity(
            density=1120.0 * wood_specific_gravity,
            source="the wood's specific gravity as given, plus 12 % moisture",
        )
    if not isinstance(section, TubeCoredFin):
        return body
    tube = usual_density(
        modulus=section.tube.modulus, shear_modulus=section.tube.shear_modulus, material=None
    )
    hole, bore = (0.25 * math.pi * each**2 for each in (section.outer, section.inner))
    filled = numbers_of(foil.shape).area
    areas = (
        filled * foil.root_chord * foil.root_thickness,
        filled * foil.tip_chord * foil.tip_thickness,
    )
    return UsualDensity(
        density=max((body.density * (area - hole) + tube.density * (hole - bore)) / area for area in areas),
        source=f"body: {body.source}; tube: {tube.source}",
    )
