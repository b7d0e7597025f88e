"""Sections [strength] and [limits].

Values are frozen and in SI units; None means "not given". Nothing is calculated here: a default that depends on other
figures stays None, and is set and reported where its rule is declared.
"""

from __future__ import annotations

from functools import partial
from typing import Literal

from bulbcast.plan.agreement import NeededWith, OnlyWith
from bulbcast.plan.declare import key, section
from bulbcast.plan.key import ANGLE, FORCE, LENGTH, MASS, PRESSURE, STIFFNESS

GROUNDINGS = ("vertical_grounding", "longitudinal_grounding", "sideways_grounding")
"""Keys in [strength] for grounding loads, used for a beam or a joint with screws."""

_BEAM = OnlyWith(
    "section",
    read="{leaf} without section",
    expected="{leaf} only if the fin is treated as a beam",
    remedy='Add section = "solid", "tube-cored" or "given" under [strength], or remove {leaf}.',
)
_BLOW = OnlyWith(
    ("section", "screws"),
    read="{leaf} without section or [[screws]]",
    expected="{leaf} only if the fin or the joint is calculated",
    remedy='Add section = "solid", "tube-cored" or "given" under [strength], or remove {leaf}.',
)
_SCREWED = OnlyWith(
    "screws",
    read="{leaf} without [[screws]]",
    expected="{leaf} only if screws hold the bulb",
    remedy="Remove {leaf}, or add [[screws]].",
)
_WOODEN = OnlyWith(
    {"thread_in": "wood"},
    read="{leaf} without wood",
    expected="{leaf} only if the screws are held by wood",
    remedy='Remove it, or write thread_in = "wood".',
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
        expected="a fin to be treated as a beam, or screws, or both",
        remedy='Add section = "solid", "tube-cored" or "given", or remove [strength].',
    ),
)
class StrengthSection:
    """Section [strength]: the joint, and the fin as a beam. Stresses and moduli are in Pa, stiffness in N m2,
    lengths in m, forces in N, masses in kg, `largest_twist` in rad. `tube_at` is a fraction of the chord, and grounding
    loads are multiples of the weight of `grounded_mass`."""

    section: Literal["solid", "tube-cored", "given"] | None = key(
        "construction of the fin, for the calculation as a beam",
        "choice",
        means={
            "solid": "one material throughout",
            "tube-cored": "a tube or rod inside a filling and skin",
            "given": "any construction whose stiffness you give",
        },
        also={"tube-cored": ("tube", "rod", "tube core")},
        find="Look at a cut through the fin, or at how it was built.",
    )
    material: str | None = _of_beam(
        "material of the fin, or of the part round the tube",
        "text",
        example="steel plate",
        varied="without effect",
        find="Copy the material's name from the bill or the certificate.",
    )
    modulus: float | None = _of_beam(
        "Young's modulus of the material along the span",
        PRESSURE,
        "0 GPa to 1500 GPa",
        example="200 GPa",
        needed_with=(
            NeededWith({"section": "solid"}),
            NeededWith("shear_modulus", "which belongs with shear_modulus", also=_TUBE),
        ),
        find=(
            "Look it up for the material, or hang a weight on the clamped fin and measure how far it bends."
        ),
    )
    shear_modulus: float | None = key(
        "shear modulus of the material",
        PRESSURE,
        "0 GPa to 1500 GPa",
        example="77 GPa",
        only_with=(_BEAM, OnlyWith(_OF_ONE_STUFF)),
        needed_with=(
            NeededWith({"section": "solid"}),
            NeededWith("modulus", "which belongs with modulus", also=_TUBE),
        ),
        find="Look it up for the material. For a metal it is about 0.38 of Young's modulus.",
    )
    allowable: float | None = _of_beam(
        "largest stress allowed in the fin material",
        PRESSURE,
        "above 0 MPa and up to 10 GPa",
        example="150 MPa",
        title="Allowable stress",
        find="Look up the yield strength and divide it by the margin that you want, 2 or more.",
    )
    allowable_source: str | None = key(
        "source of the allowable stresses",
        "text",
        example="mill certificate, halved",
        varied="without effect",
        find="Write where the strength comes from and what margin was used.",
    )
    bending_stiffness: float | None = _of_stiffness(
        "bending stiffness EI of the fin, to port and starboard",
        STIFFNESS,
        "above 0 N m2 and up to 1000000000 N m2",
        example="60 N m2",
        needed_with=_GIVEN,
        find=(
            "Clamp the root and hang a weight at the tip. Multiply the force by the cube of the length, and divide by "
            "three times the deflection."
        ),
    )
    torsion_stiffness: float | None = _of_stiffness(
        "torsional stiffness GJ of the fin",
        STIFFNESS,
        "above 0 N m2 and up to 1000000000 N m2",
        example="25 N m2",
        needed_with=_GIVEN,
        find=(
            "Clamp the root and twist the tip with a lever. Multiply the moment by the length, and divide by the angle "
            "in radians."
        ),
    )
    fore_and_aft_stiffness: float | None = _of_stiffness(
        "bending stiffness EI of the fin, fore and aft",
        STIFFNESS,
        "above 0 N m2 and up to 1000000000 N m2",
        example="900 N m2",
        find=(
            "Clamp the root and pull the tip forward or aft. Multiply the force by the cube of the length, and divide "
            "by three times the deflection."
        ),
    )
    tube: str | None = _of_tube(
        "material of the tube",
        "text",
        example="carbon tube",
        varied="without effect",
        find="Copy the material's name from the bill.",
    )
    tube_outer: float | None = _of_tube(
        "outside diameter of the tube",
        LENGTH,
        "above 0 mm and up to 1 m",
        example="8 mm",
        needed_with=_TUBE,
        find="Measure the outside of the tube with a caliper.",
    )
    tube_inner: float | None = _of_tube(
        "inside diameter of the tube; 0 for a rod",
        LENGTH,
        "0 mm to 1 m",
        example="6 mm",
        needed_with=_TUBE,
        find="Measure the inside of the tube with a caliper. Write 0 for a rod.",
    )
    tube_at: float | None = _of_tube(
        "position of the tube's axis, as a fraction of the chord",
        "number",
        "above 0 and below 1",
        example="0.3",
        title="Position of the tube",
        find="Measure from the leading edge to the tube's axis and divide by the chord.",
    )
    tube_modulus: float | None = _of_tube(
        "Young's modulus of the tube",
        PRESSURE,
        "above 0 GPa and up to 1500 GPa",
        example="110 GPa",
        needed_with=_TUBE,
        find="Look it up in the tube maker's data sheet.",
    )
    tube_shear_modulus: float | None = _of_tube(
        "shear modulus of the tube",
        PRESSURE,
        "above 0 GPa and up to 1500 GPa",
        example="5 GPa",
        needed_with=_TUBE,
        find="Look it up in the tube maker's data sheet.",
    )
    tube_allowable: float | None = _of_tube(
        "largest stress allowed in the tube",
        PRESSURE,
        "above 0 MPa and up to 10 GPa",
        example="400 MPa",
        find="Look up the tube's strength and divide it by the margin that you want, 2 or more.",
    )
    largest_deflection: float | None = _of_beam(
        "largest deflection of the bulb's centre at 90 degrees of heel",
        LENGTH,
        "above 0 mm and up to 10 m",
        example="15 mm",
        find="Choose how far the bulb may move sideways when she lies flat on the water.",
    )
    largest_twist: float | None = _of_beam(
        "largest twist of the tip at 90 degrees of heel",
        ANGLE,
        "above 0 deg and up to 45 deg",
        example="1 deg",
        find="Choose how far the tip may twist when she lies flat on the water.",
    )
    vertical_grounding: float | None = _times_her_weight(
        "upward force on the bulb when she grounds on it, as a multiple of her weight",
        example="2",
        find="Choose how hard a landing on the bulb she must withstand, as a multiple of her weight.",
    )
    longitudinal_grounding: float | None = _times_her_weight(
        "force on the bulb's nose when she runs aground, as a multiple of her weight",
        example="1",
        find="Choose how hard she may run aground, as a multiple of her weight.",
    )
    sideways_grounding: float | None = _times_her_weight(
        "sideways force of a blow on the bulb's nose, as a multiple of the boat's weight",
        example="0.5",
        find="Choose how hard a blow from the side she must withstand, as a multiple of her weight.",
    )
    grounded_mass: float | None = key(
        "mass brought to rest when she grounds; default: boat and bulb",
        MASS,
        "1 g to 1000 t",
        example="420 kg",
        only_with=_BLOW,
        needed_with=NeededWith(
            GROUNDINGS,
            "which {given} needs if no boat is given",
            also=("section", "screws"),
            unless="boat",
        ),
        find="Weigh everything that comes to rest with the boat: bulb, crew and gear included.",
    )
    bearing_limit: float | None = _of_screw(
        "pressure that the lead under a head or washer can bear for months; default: depends on the alloy",
        PRESSURE,
        "above 0 MPa and up to 10 GPa",
        example="1 MPa",
        find="Leave it out unless you have a maker's figure: lead creeps for months under even a small load.",
    )
    tightened_to: float | None = _of_screw(
        "preload of each screw; default: the bearing pressure on the lead is not checked",
        FORCE,
        "0 N to 1000 kN",
        example="200 N",
        title="Preload of each screw",
        find="Read the torque wrench. The preload is about the torque divided by 0.2 times the diameter.",
    )
    screw_allowable: float | None = _of_screw(
        "largest tensile stress allowed in a screw",
        PRESSURE,
        "above 0 MPa and up to 10 GPa",
        example="200 MPa",
        find="Look up the screw's yield strength and divide it by the margin that you want.",
    )
    thread_in: Literal["metal", "wood", "bonded"] | None = _of_screw(
        "material or joint that holds the screws; default: depends on fin.material",
        "choice",
        left_out="fin.material",
        means={
            "metal": "machine screws in tapped metal",
            "wood": "wood screws in timber",
            "bonded": "rods glued into their holes",
        },
        also={"bonded": ("glued", "epoxy", "glued in", "bonded in")},
        find="Look at what the thread bites into. It may be a plug in the fin.",
    )
    thread_shear_allowable: float | None = _of_screw(
        "largest shear stress allowed in the threaded material or in the bond",
        PRESSURE,
        "above 0 MPa and up to 10 GPa",
        example="40 MPa",
        not_with={"wood_specific_gravity": "both determine how well the wood holds a screw"},
        find=(
            "Look it up for the tapped material or in the glue's data sheet. Divide it by the margin that you want."
        ),
    )
    wood_specific_gravity: float | None = key(
        "density of the dry wood of a wooden fin, relative to water",
        "number",
        "0.1 to 1.2",
        example="0.5",
        only_with=_WOODEN,
        find="Weigh a dry offcut and divide by the mass of an equal volume of water. Oak is 0.7, pine 0.45.",
    )
    grain: Literal["along the span", "across the span"] | None = key(
        "direction of the grain in a wooden fin; if it runs along the span, the screws are in end grain",
        "choice",
        only_with=(_WOODEN, _SCREWED),
        means={
            "along the span": "from root to tip, with screws from below in end grain",
            "across the span": "fore and aft, with screws from below in side grain",
        },
        also={"along the span": ("along", "spanwise"), "across the span": ("across", "fore and aft")},
        find="Look at which way the grain runs at the fin's tip.",
    )
    wood_moisture: Literal["dry", "wet"] | None = key(
        "state of a wooden fin in service; default: wet",
        "choice",
        only_with=(_WOODEN, _SCREWED),
        means={
            "dry": "sealed all round and kept sealed",
            "wet": "able to take up water, like bare or scratched wood",
        },
        also={"wet": ("damp",)},
        find="Choose wet unless the wood is sealed and kept sealed.",
    )


@section("limits", step="bulb")
class LimitsSection:
    """Section [limits], with the limits set by a rule; lengths are in m, masses in kg."""

    draught: float | None = key(
        "maximum draught, to the bulb's underside",
        LENGTH,
        "above 0 mm and up to 50 m",
        example="480 mm",
        find="Copy it from the rule, or measure the depth of water where she has to sail.",
    )
    bulb_mass: float | None = key(
        "maximum mass of the bulb and everything else that hangs on the fin",
        MASS,
        "above 0 g and up to 1000 t",
        example="2.5 kg",
        find="Copy it from the rule.",
    )
    fin_with_bulb: float | None = key(
        "maximum mass of the fin and bulb",
        MASS,
        "above 0 g and up to 1000 t",
        example="2.8 kg",
        find="Copy it from the rule.",
    )
    bulb_width: float | None = key(
        "maximum width of the bulb, including the skin",
        LENGTH,
        "above 0 mm and up to 10 m",
        example="70 mm",
        find="Copy it from the rule, or measure the trolley or box in which she travels.",
    )
    bulb_length: float | None = key(
        "maximum length of the bulb, including the skin",
        LENGTH,
        "above 0 mm and up to 50 m",
        example="400 mm",
        find="Copy it from the rule.",
    )
    rule: str | None = key(
        "source of the limits",
        "text",
        example="the club's rules, paragraph 7",
        varied="without effect",
        find="Write the name of the rule, as the report should show it.",
    )
