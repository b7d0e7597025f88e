"""[strength] and [limits].

SI and frozen; None means "not given". Nothing is calculated here: a default that depends on another figure stays None
and is set by the room that owns the rule, which also reports it.
"""

from __future__ import annotations

from functools import partial
from typing import Literal

from bulbcast.plan.agreement import NeededWith, OnlyWith
from bulbcast.plan.declare import key, section
from bulbcast.plan.key import ANGLE, FORCE, LENGTH, MASS, PRESSURE, STIFFNESS

GROUNDINGS = ("vertical_grounding", "longitudinal_grounding", "sideways_grounding")
"""Keys of [strength] for a blow from the ground, which a beam or a joint with screws uses."""

_BEAM = OnlyWith(
    "section",
    read="{leaf} without section",
    expected="{leaf} only where the fin is calculated as a beam",
    remedy='Add section = "solid", "tube-cored" or "given" under [strength], or take {leaf} out.',
)
_BLOW = OnlyWith(
    ("section", "screws"),
    read="{leaf} without section and without [[screws]]",
    expected="{leaf} only where fin or joint is calculated",
    remedy='Add section = "solid", "tube-cored" or "given" under [strength], or take {leaf} out.',
)
_SCREWED = OnlyWith(
    "screws",
    read="{leaf} without [[screws]]",
    expected="{leaf} only where screws hold the bulb",
    remedy="Take {leaf} out, or add [[screws]].",
)
_WOODEN = OnlyWith(
    {"thread_in": "wood"},
    read="{leaf} without wood",
    expected="{leaf} only where the screws hold in wood",
    remedy='Take it out, or write thread_in = "wood".',
)
_TUBE = {"section": "tube-cored"}
_GIVEN = {"section": "given"}
_OF_ONE_STUFF = {"section": ("solid", "tube-cored")}

_of_beam = partial(key, only_with=_BEAM)
_of_tube = partial(key, only_with=(_BEAM, OnlyWith(_TUBE)))
_of_stiffness = partial(key, only_with=(_BEAM, OnlyWith(_GIVEN)))
_times_her_weight = partial(key, written="number", within="above 0 and up to 100", only_with=_BLOW)
_of_screw = partial(key, only_with=_SCREWED)


@section(
    "strength",
    step="joint",
    basic="section material modulus shear_modulus allowable allowable_source "
    "bending_stiffness torsion_stiffness vertical_grounding longitudinal_grounding sideways_grounding tightened_to",
    only_with=OnlyWith(
        ("strength.section", "screws"),
        read="no section, and no [[screws]]",
        expected="a fin to calculate as a beam, or screws, or both",
        remedy='Add section = "solid", "tube-cored" or "given", or take [strength] out.',
    ),
)
class StrengthSection:
    """[strength]: the fin as a beam and the joint. Stresses and moduli Pa, stiffness N m2, lengths m,
    forces N, masses kg, `largest_twist` rad; `tube_at` a fraction of the chord, groundings multiples of the
    weight of `grounded_mass`."""

    section: Literal["solid", "tube-cored", "given"] | None = key(
        "how the fin is made, as a beam",
        "choice",
        means={
            "solid": "one material all through",
            "tube-cored": "a tube or rod inside a filling and skin",
            "given": "you give its stiffness yourself",
        },
        also={"tube-cored": ("tube", "rod", "tube core")},
        find="Look at a cut through the fin, or at how it was laid up.",
    )
    material: str | None = _of_beam(
        "of the fin, round the tube",
        "text",
        example="steel plate",
        varied="without effect",
        find="Say what it is, as on the bill or the certificate.",
    )
    modulus: float | None = _of_beam(
        "Young's, of the material along the span",
        PRESSURE,
        "0 GPa to 1500 GPa",
        example="200 GPa",
        needed_with=(
            NeededWith({"section": "solid"}),
            NeededWith("shear_modulus", "which goes with shear_modulus", also=_TUBE),
        ),
        find=(
            "Look it up for the material, or hang a weight on the clamped fin and measure how far it bends."
        ),
    )
    shear_modulus: float | None = key(
        "of the material",
        PRESSURE,
        "0 GPa to 1500 GPa",
        example="77 GPa",
        only_with=(_BEAM, OnlyWith(_OF_ONE_STUFF)),
        needed_with=(
            NeededWith({"section": "solid"}),
            NeededWith("modulus", "which goes with modulus", also=_TUBE),
        ),
        find="Look it up for the material; of a metal it is about 0.38 of Young's modulus.",
    )
    allowable: float | None = _of_beam(
        "stress not to be passed",
        PRESSURE,
        "above 0 MPa and up to 10 GPa",
        example="150 MPa",
        title="Allowable stress",
        find="Look up the yield strength, and divide by the margin that you want, 2 or more.",
    )
    allowable_source: str | None = key(
        "where the allowables come from",
        "text",
        example="mill certificate, halved",
        varied="without effect",
        find="Say where the strength is from, and what margin was used.",
    )
    bending_stiffness: float | None = _of_stiffness(
        "EI, to port and starboard",
        STIFFNESS,
        "above 0 N m2 and up to 1000000000 N m2",
        example="60 N m2",
        needed_with=_GIVEN,
        find=(
            "Clamp the root, hang a weight at the tip: force times the cube of the length, over three "
            "times what it gives."
        ),
    )
    torsion_stiffness: float | None = _of_stiffness(
        "GJ, in torsion",
        STIFFNESS,
        "above 0 N m2 and up to 1000000000 N m2",
        example="25 N m2",
        needed_with=_GIVEN,
        find=(
            "Clamp the root and twist the tip with a lever: moment times the length, over the angle "
            "in radians."
        ),
    )
    fore_and_aft_stiffness: float | None = _of_stiffness(
        "EI, fore and aft",
        STIFFNESS,
        "above 0 N m2 and up to 1000000000 N m2",
        example="900 N m2",
        find=(
            "Clamp the root and pull the tip fore and aft: force times the cube of the length, over "
            "three times what it gives."
        ),
    )
    tube: str | None = _of_tube(
        "what the tube is of",
        "text",
        example="carbon tube",
        varied="without effect",
        find="Say what it is, as on the bill.",
    )
    tube_outer: float | None = _of_tube(
        "outside diameter of the tube",
        LENGTH,
        "above 0 mm and up to 1 m",
        example="8 mm",
        needed_with=_TUBE,
        find="Caliper the tube outside.",
    )
    tube_inner: float | None = _of_tube(
        "inside diameter; 0 for a rod",
        LENGTH,
        "0 mm to 1 m",
        example="6 mm",
        needed_with=_TUBE,
        find="Caliper the tube inside; 0 for a rod.",
    )
    tube_at: float | None = _of_tube(
        "its axis, as a fraction of the chord",
        "number",
        "above 0 and below 1",
        example="0.3",
        title="Place of the tube",
        find="Measure from the leading edge to the tube's axis and divide by the chord.",
    )
    tube_modulus: float | None = _of_tube(
        "Young's, of the tube",
        PRESSURE,
        "above 0 GPa and up to 1500 GPa",
        example="110 GPa",
        needed_with=_TUBE,
        find="Look it up with the tube's maker.",
    )
    tube_shear_modulus: float | None = _of_tube(
        "of the tube",
        PRESSURE,
        "above 0 GPa and up to 1500 GPa",
        example="5 GPa",
        needed_with=_TUBE,
        find="Look it up with the tube's maker.",
    )
    tube_allowable: float | None = _of_tube(
        "stress in the tube not to be passed",
        PRESSURE,
        "above 0 MPa and up to 10 GPa",
        example="400 MPa",
        find="Look up the tube's strength and divide by the margin that you want, 2 or more.",
    )
    largest_deflection: float | None = _of_beam(
        "of the bulb's centre at 90 degrees of heel",
        LENGTH,
        "above 0 mm and up to 10 m",
        example="15 mm",
        find="Choose how far the bulb may swing aside when she lies flat.",
    )
    largest_twist: float | None = _of_beam(
        "of the tip at 90 degrees of heel",
        ANGLE,
        "above 0 deg and up to 45 deg",
        example="1 deg",
        find="Choose how far the tip may twist when she lies flat.",
    )
    vertical_grounding: float | None = _times_her_weight(
        "she comes down on the bulb with this many times her weight",
        example="2",
        find="Choose how hard a landing on the bulb she has to take, as a multiple of her weight.",
    )
    longitudinal_grounding: float | None = _times_her_weight(
        "she runs the bulb's nose aground with this many times her weight",
        example="1",
        find="Choose how hard she may run aground, as a multiple of her weight.",
    )
    sideways_grounding: float | None = _times_her_weight(
        "the bulb's nose is struck from the side with this many times her weight",
        example="0.5",
        find="Choose how hard a blow from the side she has to take, as a multiple of her weight.",
    )
    grounded_mass: float | None = key(
        "brought to rest; left out: boat and bulb",
        MASS,
        "1 g to 1000 t",
        example="420 kg",
        only_with=_BLOW,
        needed_with=NeededWith(
            GROUNDINGS,
            "which {given} needs where no boat is given",
            also=("section", "screws"),
            unless="boat",
        ),
        find="Weigh all that comes to rest with her: boat, bulb, crew and gear.",
    )
    bearing_limit: float | None = _of_screw(
        "what the lead bears under head or washer for months; left out: by the alloy",
        PRESSURE,
        "above 0 MPa and up to 10 GPa",
        example="1 MPa",
        find="Leave it out: lead creeps for months under little. A maker's figure may be typed in.",
    )
    tightened_to: float | None = _of_screw(
        "preload of each screw; left out, the bearing on the lead is not judged",
        FORCE,
        "0 N to 1000 kN",
        example="200 N",
        title="Preload of each screw",
        find="Read the torque wrench: the pull is about the torque over 0.2 times the diameter.",
    )
    screw_allowable: float | None = _of_screw(
        "tension in a screw not to be passed",
        PRESSURE,
        "above 0 MPa and up to 10 GPa",
        example="200 MPa",
        find="Look up the screw's yield strength and divide by the margin that you want.",
    )
    thread_in: Literal["metal", "wood", "bonded"] | None = _of_screw(
        "what holds the screws; left out: by fin.material",
        "choice",
        left_out="fin.material",
        means={
            "metal": "tapped in metal",
            "wood": "wood screws in timber",
            "bonded": "rods glued into their holes",
        },
        also={"bonded": ("glued", "epoxy", "glued in", "bonded in")},
        find="Look at what the thread bites into, which may be a plug in the fin.",
    )
    thread_shear_allowable: float | None = _of_screw(
        "shear of what is threaded, or of the bond, not to be passed",
        PRESSURE,
        "above 0 MPa and up to 10 GPa",
        example="40 MPa",
        not_with={"wood_specific_gravity": "both say what the wood holds"},
        find=(
            "Look it up for the tapped material, or with the glue's maker; divide by the margin that "
            "you want."
        ),
    )
    wood_specific_gravity: float | None = key(
        "dry wood over water; of a wooden fin",
        "number",
        "0.1 to 1.2",
        example="0.5",
        only_with=_WOODEN,
        find="Weigh a dry offcut and divide by the mass of as much water; oak 0.7, pine 0.45.",
    )
    grain: Literal["along the span", "across the span"] | None = key(
        "of a wooden fin: along it, the screws stand in end grain",
        "choice",
        only_with=(_WOODEN, _SCREWED),
        means={
            "along the span": "from root to tip, so that screws from below stand in end grain",
            "across the span": "fore and aft, so that they stand in side grain",
        },
        also={"along the span": ("along", "spanwise"), "across the span": ("across", "fore and aft")},
        find="Look at the fin: which way the grain runs at the tip.",
    )
    wood_moisture: Literal["dry", "wet"] | None = key(
        "of a wooden fin in service; left out: wet",
        "choice",
        only_with=(_WOODEN, _SCREWED),
        means={
            "dry": "sealed all round and kept so",
            "wet": "it may take up water, as bare or scratched wood does",
        },
        also={"wet": ("damp",)},
        find="Choose wet unless the wood is sealed and kept so.",
    )


@section("limits", step="bulb")
class LimitsSection:
    """[limits]: what a rule allows, typed in; lengths m, masses kg."""

    draught: float | None = key(
        "largest, to the bulb's underside",
        LENGTH,
        "above 0 mm and up to 50 m",
        example="480 mm",
        find="Copy it from the rule, or measure the water she has to sail in.",
    )
    bulb_mass: float | None = key(
        "largest, of the hung bulb",
        MASS,
        "above 0 g and up to 1000 t",
        example="2.5 kg",
        find="Copy it from the rule.",
    )
    fin_with_bulb: float | None = key(
        "largest mass of fin and bulb",
        MASS,
        "above 0 g and up to 1000 t",
        example="2.8 kg",
        find="Copy it from the rule.",
    )
    bulb_width: float | None = key(
        "largest, skin included",
        LENGTH,
        "above 0 mm and up to 10 m",
        example="70 mm",
        find="Copy it from the rule, or measure the trolley or the box she travels in.",
    )
    bulb_length: float | None = key(
        "largest, skin included",
        LENGTH,
        "above 0 mm and up to 50 m",
        example="400 mm",
        find="Copy it from the rule.",
    )
    rule: str | None = key(
        "what the limits come from",
        "text",
        example="the club's rules, paragraph 7",
        varied="without effect",
        find="Say which rule, so that the report can name it.",
    )
