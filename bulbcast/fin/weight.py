"""What a fin weighs where nobody weighed it: the usual density of what it is made of.

Where the material is not said its stiffness says it, and of what is alike in stiffness the heavier is taken: the
fin's own weight adds to what it must bear.
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
    """A density and where it is from.

    Attributes:
        density: [kg/m3]
        source: In words.
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
    density=1600.0, source="carbon laminate of 0.6 fibre (1.8) and 0.4 epoxy (1.2) by volume, common practice"
)
OAK = UsualDensity(
    density=760.0,
    source="white oak at 12 % moisture, among the heaviest of boat timbers: USDA Wood Handbook, from memory",
)

EVEN_FROM, EVEN_TO = 1.9, 3.1
"""Young's modulus over shear modulus of a material alike in all directions: 2 (1 + Poisson's ratio), which lies
between 0 and 1/2, and a little for rounded figures. [-]"""


def is_even(modulus: float, shear_modulus: float) -> bool:
    """Whether two moduli can be those of one material alike in all directions.

    Args:
        modulus: Young's. [Pa]
        shear_modulus: [Pa]
    """
    return EVEN_FROM * shear_modulus <= modulus <= EVEN_TO * shear_modulus


def usual_density(
    *, modulus: float | None, shear_modulus: float | None, material: FinMaterial | None
) -> UsualDensity:
    """The usual density of a material that is known by its kind, its stiffness or both.

    Args:
        modulus: Young's along the span; None or 0 where not known. [Pa]
        shear_modulus: Likewise. [Pa]
        material: Its kind; None where not said.

    Returns:
        Metal by its modulus: steel from 150 GPa and where none is known, bronze from 80, else aluminium. Laminate:
        carbon from 60 GPa, which glass does not reach, else glass. Wood: oak. Of no kind: a material alike in all
        directions from 60 GPa up is a metal, below 15 GPa wood, else laminate; laminate too where nothing is known.
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
    """Density of a fin whose mass nobody gave.

    Args:
        foil: From where the hull holds it to the tip.
        section: How it is made.
        material: Of the fin round any tube; None where not said.
        wood_specific_gravity: Dry wood over water, where it is known: it weighs an eighth more with its moisture
            of 12 %. [-]

    Returns:
        Of the whole fin; with a tube, the denser of its two ends', body and tube by their areas there.
    """
    if isinstance(section, TubeCoredFin):
        stuff: Material | None = section.body
        if section.body.modulus == 0.0 and material is None:
            material = "wood"  # a core that nobody counts on is no heavier
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
            source="the wood's specific gravity as given, with 12 % moisture",
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
