"""Keys of [strength] and [limits]: what the fin is made of, what may not be passed, what the rules allow.

A part of the table of keys. No allowable stress and no rule is shipped: what is left out is told and held
against nothing, but for the two that have a source, the pressure that lead bears for months and the shear of
a bond.
"""

from __future__ import annotations

from bulbcast.plan.key import Key, Kind, choice, number, quantity
from bulbcast.quantities import Dimension

_L, _M, _P, _EI = Dimension.LENGTH, Dimension.MASS, Dimension.PRESSURE, Dimension.STIFFNESS
_MODULUS = ("0 GPa", "1500 GPa")
_STRESS = ("0 MPa", "10 GPa")
_STIFFNESS = ("0 N m2", "1000000000 N m2")

STRENGTH_KEYS = (
    choice("strength.section", ("solid", "tube-cored", "given"), "how the fin is made, as a beam"),
    Key(
        name="strength.material", kind=Kind.TEXT, about="of the fin, round the tube", example='"steel plate"'
    ),
    quantity("strength.modulus", _P, *_MODULUS, "200 GPa", "Young's, of the material along the span"),
    quantity("strength.shear_modulus", _P, *_MODULUS, "77 GPa", "of the material"),
    quantity("strength.allowable", _P, *_STRESS, "150 MPa", "stress not to be passed", above=True),
    Key(
        name="strength.allowable_source",
        kind=Kind.TEXT,
        about="where the allowables come from",
        example='"mill certificate, halved"',
    ),
    Key(name="strength.tube", kind=Kind.TEXT, about="what the tube is of", example='"carbon tube"'),
    quantity("strength.tube_outer", _L, "0 mm", "1 m", "8 mm", "outside diameter of the tube", above=True),
    quantity("strength.tube_inner", _L, "0 mm", "1 m", "6 mm", "inside diameter; 0 for a rod"),
    number(
        "strength.tube_at", "0", "1", "0.3", "its axis, as a fraction of the chord", above=True, below=True
    ),
    quantity("strength.tube_modulus", _P, *_MODULUS, "110 GPa", "Young's, of the tube", above=True),
    quantity("strength.tube_shear_modulus", _P, *_MODULUS, "5 GPa", "of the tube", above=True),
    quantity(
        "strength.tube_allowable", _P, *_STRESS, "400 MPa", "stress in the tube not to be passed", above=True
    ),
    quantity(
        "strength.bending_stiffness", _EI, *_STIFFNESS, "60 N m2", "EI, to port and starboard", above=True
    ),
    quantity("strength.torsion_stiffness", _EI, *_STIFFNESS, "25 N m2", "GJ, in torsion", above=True),
    quantity("strength.fore_and_aft_stiffness", _EI, *_STIFFNESS, "900 N m2", "EI, fore and aft", above=True),
    quantity(
        "strength.largest_deflection",
        _L,
        "0 mm",
        "10 m",
        "15 mm",
        "of the bulb's centre at 90 degrees of heel",
        above=True,
    ),
    quantity(
        "strength.largest_twist",
        Dimension.ANGLE,
        "0 deg",
        "45 deg",
        "1 deg",
        "of the tip at 90 degrees of heel",
        above=True,
    ),
    number(
        "strength.vertical_grounding",
        "0",
        "100",
        "2",
        "she comes down on the bulb with so many times her weight",
        above=True,
    ),
    number(
        "strength.longitudinal_grounding",
        "0",
        "100",
        "1",
        "she runs the bulb's nose aground with so many times her weight",
        above=True,
    ),
    number(
        "strength.sideways_grounding",
        "0",
        "100",
        "0.5",
        "the bulb's nose is struck from the side with so many times her weight",
        above=True,
    ),
    quantity(
        "strength.grounded_mass", _M, "1 g", "1000 t", "420 kg", "brought to rest; left out: boat and bulb"
    ),
    quantity(
        "strength.bearing_limit",
        _P,
        *_STRESS,
        "1 MPa",
        "what the lead bears under head or washer for months; left out: by the alloy",
        above=True,
    ),
    quantity(
        "strength.tightened_to",
        Dimension.FORCE,
        "0 N",
        "1000 kN",
        "200 N",
        "preload of each screw; left out, the bearing on the lead is not judged",
    ),
    quantity(
        "strength.screw_allowable", _P, *_STRESS, "200 MPa", "tension in a screw not to be passed", above=True
    ),
    choice(
        "strength.thread_in", ("metal", "wood", "bonded"), "what holds the screws; left out: by fin.material"
    ),
    quantity(
        "strength.thread_shear_allowable",
        _P,
        *_STRESS,
        "40 MPa",
        "shear of what is threaded, or of the bond, not to be passed",
        above=True,
    ),
    number("strength.wood_specific_gravity", "0.1", "1.2", "0.5", "dry wood over water; of a wooden fin"),
    choice(
        "strength.grain",
        ("along the span", "across the span"),
        "of a wooden fin: along it, the screws stand in end grain",
    ),
    choice("strength.wood_moisture", ("dry", "wet"), "of a wooden fin in service; left out: wet"),
)

SECTION_KEYS: dict[str, tuple[str, ...]] = {
    "solid": ("modulus", "shear_modulus", "allowable", "material"),
    "tube-cored": (
        "modulus", "shear_modulus", "allowable", "material", "tube", "tube_outer", "tube_inner", "tube_at",
        "tube_modulus", "tube_shear_modulus", "tube_allowable",
    ),
    "given": (
        "bending_stiffness", "torsion_stiffness", "fore_and_aft_stiffness", "modulus", "allowable", "material",
    ),
}  # fmt: skip
"""Keys of [strength] that belong to each way of giving the fin's section."""

SECTION_NEEDS: dict[str, tuple[str, ...]] = {
    "solid": ("modulus", "shear_modulus"),
    "tube-cored": ("tube_outer", "tube_inner", "tube_modulus", "tube_shear_modulus"),
    "given": ("bending_stiffness", "torsion_stiffness"),
}
"""Those of them without which there is no beam."""

BEAM_KEYS = ("largest_deflection", "largest_twist")
"""Keys of [strength] that only a beam has a use for."""

GROUNDINGS = ("vertical_grounding", "longitudinal_grounding", "sideways_grounding")
"""Keys of [strength] for a blow of the ground, which a beam or a joint with screws has a use for."""

JOINT_KEYS = (
    "bearing_limit",
    "tightened_to",
    "screw_allowable",
    "thread_in",
    "thread_shear_allowable",
    "grain",
    "wood_moisture",
)
"""Keys of [strength] that only screws have a use for."""

LIMIT_KEYS = (
    quantity("limits.draught", _L, "0 mm", "50 m", "480 mm", "largest, to the bulb's underside", above=True),
    quantity("limits.bulb_mass", _M, "0 g", "1000 t", "2.5 kg", "largest, of the hung bulb", above=True),
    quantity(
        "limits.fin_with_bulb", _M, "0 g", "1000 t", "2.8 kg", "largest mass of fin and bulb", above=True
    ),
    quantity("limits.bulb_width", _L, "0 mm", "10 m", "70 mm", "largest, skin included", above=True),
    quantity("limits.bulb_length", _L, "0 mm", "50 m", "400 mm", "largest, skin included", above=True),
    Key(
        name="limits.rule",
        kind=Kind.TEXT,
        about="what the limits are taken from",
        example='"the club\'s rules, paragraph 7"',
    ),
)
