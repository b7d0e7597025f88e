"""Section [fin].

Values are frozen and in SI units; None means "not given". Nothing is calculated here: a default that depends on other
figures stays None, and is set and reported where its rule is declared.
"""

from __future__ import annotations

from functools import partial
from typing import Literal

from bulbcast.plan.agreement import NeededWith, OneOf, OnlyWith
from bulbcast.plan.declare import key, section
from bulbcast.plan.key import ANGLE, COMMON, DENSITY, FORMAT, LENGTH, MASS

_WITHOUT_BOAT = ("{leaf} without [boat]", "{leaf} only if the boat is given")
_ADD_BOAT = "Remove {leaf}, or add [boat] with the hull."
_ONLY_WITH_BOAT = OnlyWith("boat", (), *_WITHOUT_BOAT, _ADD_BOAT)
_ROOT_ONLY_WITH = OnlyWith(("boat", "strength", "limits", "ribs"), (), *_WITHOUT_BOAT, _ADD_BOAT)
_MASS_ONLY_WITH = OnlyWith(("boat", "strength", "limits"), (), *_WITHOUT_BOAT, _ADD_BOAT)

_ROOT = ("root_chord", "root_thickness", "root_leading_edge_x", "root_z")
_HULLS = ("boat.hull", "boat.offsets", "boat.hull_displacement")
_HULL_NEEDS = NeededWith(
    _HULLS, "which the boat needs, since the fin displaces water and sets where the bulb hangs"
)
_WHOLE_FIN = NeededWith((*_ROOT, "density"), "which a fin from hull to tip needs", also="boat", unless=_HULLS)
"""Rule for the keys of the fin. If the displacement of the complete boat is given, the fin can be omitted, but if it is
given, it must be complete."""
_WITH_BOAT = (_HULL_NEEDS, _WHOLE_FIN)
_RIBS_NEED = NeededWith(
    "ribs",
    "which the ribs need: they run from the fin's root to its tip",
    unless=_HULLS,
    remedy="Add {example}, say, under [fin], or remove [ribs].",
)
_ROOT_NEEDED_WITH = (
    *_WITH_BOAT,
    NeededWith(
        "strength.section", "which is needed to treat the fin as a beam from hull to tip", unless=_HULLS
    ),
    NeededWith(
        "density",
        "which is needed to calculate the fin's mass from its density",
        also="limits",
        unless=_HULLS,
    ),
    _RIBS_NEED,
)
"""Keys that describe the complete fin, needed by anything that extends from the hull to the tip."""

_SLOT = {"why": "which a slot needs", "remedy": "Add {example}, say, or remove {given}."}
_of_slot = partial(
    key,
    written=LENGTH,
    rare=True,
    only_with=OnlyWith(
        {"joint": "pocket"},
        read='a slot with joint = "through"',
        expected="no slot if the blade goes right through",
        remedy="Remove the slot keys.",
    ),
)
_of_root = partial(key, rare=True, only_with=_ROOT_ONLY_WITH, needed_with=_ROOT_NEEDED_WITH)
_of_overhang = partial(key, rare=True, only_with=_ONLY_WITH_BOAT)


@section(
    "fin",
    step="bulb",
    one_of=OneOf(("mass", "density"), "Keep mass if the fin has been weighed, and density if it has not."),
)
class FinSection:
    """Section [fin], the fin that carries the bulb at its tip. Lengths are in m in boat axes, `rake` in rad.

    `tip_leading_edge_x` and `tip_z` give the position of the tip's leading edge.

    `measured` gives positions in ascending order, each with the full thickness; `max_at` is a fraction of the chord.
    `carry_at` and `elastic_axis` are fractions of the tip chord aft of its leading edge. `carry_at` is None if
    `bulb.mass_centre_x` or the boat's trim gives the position instead. The fields after `material` are given only with
    the boat: the root (m, boat axes), `mass` in kg or `density` in kg/m3, and the largest overhangs of the bulb beyond
    the tip.
    """

    tip_chord: float = key(
        "fore-and-aft length of the fin's tip",
        LENGTH,
        "1 mm to 10 m",
        example="70 mm",
        required=True,
        find="Measure along the fin's lower end from leading edge to trailing edge.",
    )
    section: Literal["foil", "plate", "measured"] = key(
        "shape of the fin's section, along the entire span",
        "choice",
        default="foil",
        source=f"{FORMAT}: the NACA four-digit form",
        means={
            "foil": "the NACA four-digit form, or the same with its maximum thickness elsewhere",
            "plate": "flat sides with rounded edges",
            "measured": "thicknesses measured along the chord with a caliper",
        },
        also={
            "foil": ("aerofoil", "airfoil", "naca", "profiled"),
            "plate": ("flat", "flat plate", "board", "sheet"),
            "measured": ("caliper", "calipers"),
        },
        varied="fixed",
        find="Lay a straightedge along the fin's side: the sides of a plate are flat. Choose "
        '"measured" for anything that is neither a plate nor a known foil.',
    )
    tip_thickness: float = key(
        'maximum thickness of the fin at the tip; with section = "measured", omit it to use the largest measured '
        "thickness",
        LENGTH,
        "0.1 mm to 2 m",
        example="7 mm",
        required=True,
        find="Measure the fin's lower end at its thickest point with a caliper.",
        required_unless={"section": "measured"},
        only_with=OnlyWith(
            {"section": ("foil", "plate")},
            read='{leaf} with section = "measured"',
            expected="the largest of the measured thicknesses instead",
            remedy="Remove tip_thickness. Measure the fin where the bulb will be.",
        ),
    )
    max_at: float | None = key(
        "position of a foil's maximum thickness, as a fraction of the chord; default: 0.3, as in the plain four-digit form",
        "number",
        "0.2 to 0.6",
        example="0.45",
        only_with={"section": "foil"},
        rare=True,
        title="Position of the maximum thickness",
        find="Slide a caliper along the chord to the thickest point. Divide its distance from the leading edge by the "
        "chord.",
    )
    edge_radius: float | None = key(
        "radius of a plate's leading and trailing edges; default: half the thickness, a full round; 0 mm leaves them "
        "square",
        LENGTH,
        "0 mm to 1 m",
        example="1.5 mm",
        only_with={"section": "plate"},
        rare=True,
        find="Hold a radius gauge against the edge, or drills of known diameter. Take half the diameter of the one that "
        "fits.",
    )
    measured: tuple[tuple[float, float], ...] | None = key(
        "distances aft of the leading edge, each with the full thickness at that point; an edge not listed is assumed "
        "to be sharp",
        "table",
        example='{"5 mm" = "4.2 mm", "20 mm" = "7.0 mm", "45 mm" = "4.9 mm", "68 mm" = "0.9 mm"}',
        only_with={"section": "measured"},
        needed_with={"section": "measured"},
        rare=True,
        title="Measured thicknesses",
        find="Mark five to ten points along the tip, close together near the leading edge, and measure each with a caliper.",
    )
    tip_leading_edge_x: float = key(
        "leading edge of the fin's tip, aft of the forward end of the waterline; 0 if the boat is not given",
        LENGTH,
        "-50 m to 50 m",
        example="395 mm",
        default="0 mm",
        source=f"{FORMAT}: without the boat, x is measured from the tip's leading edge",
        needed_with=(*_WITH_BOAT, _RIBS_NEED),
        find=(
            "Level the boat, drop plumb lines from the forward end of the waterline and from the tip's leading edge, "
            "and measure between them."
        ),
    )
    tip_z: float = key(
        "height of the tip's leading edge and of the pocket floor; negative under water",
        LENGTH,
        "-50 m to 50 m",
        example="-330 mm",
        default="0 mm",
        source=f"{FORMAT}: without the boat, z is measured from the fin's tip",
        needed_with=(
            *_WITH_BOAT,
            NeededWith(
                "limits.draught",
                "in boat axes, since the draught is measured from her waterline",
                unless=_HULLS,
            ),
            _RIBS_NEED,
        ),
        find=(
            "Level the boat and measure from the waterline down to the fin's lower end. Write it with a minus sign."
        ),
    )
    pocket_depth: float = key(
        "depth from the bulb's crown down to the pocket floor",
        LENGTH,
        "0 mm to 2 m",
        example="6 mm",
        default="0 mm",
        source=f"{FORMAT}: the fin ends at the crown",
        only_with=OnlyWith(
            {"joint": "pocket"},
            read='a pocket_depth with joint = "through"',
            expected="no pocket if the blade goes right through",
            remedy="Remove pocket_depth; tip_z is then the height of the bulb's underside.",
        ),
        find=(
            "Choose how deep the fin sits in the lead, measured down from the bulb's crown. About one fin thickness is "
            "typical."
        ),
    )
    slot_width: float | None = _of_slot(
        "width of a straight slot milled for the fin, in place of a pocket shaped like the fin",
        within="0.5 mm to 2 m",
        example="7.5 mm",
        needed_with=NeededWith(("slot_length", "slot_depth", "slot_at"), **_SLOT),
        find="Use the cutter's diameter, or measure across the slot with a caliper.",
    )
    slot_length: float | None = _of_slot(
        "length of the slot, including its round ends",
        within="1 mm to 10 m",
        example="74 mm",
        needed_with=NeededWith("slot_width", **_SLOT),
        find="Measure along the slot from end to end, including both rounded ends.",
    )
    slot_depth: float | None = _of_slot(
        "depth of the slot below the lead's surface, measured at the slot's middle; in place of pocket_depth",
        within="0.1 mm to 2 m",
        example="8 mm",
        needed_with=NeededWith("slot_width", **_SLOT),
        find="Measure with the depth rod of a caliper at the middle of the slot, from the surface of the lead next to it.",
    )
    slot_at: float | None = _of_slot(
        "distance of the slot's forward end aft of the tip's leading edge, negative ahead of it; default: the slot is "
        "centred on the chord",
        within="-10 m to 10 m",
        example="-2 mm",
        find="Put the fin in the slot and measure from its leading edge to the forward end of the slot.",
    )
    pocket_clearance: float = key(
        "gap on each side of the fin",
        LENGTH,
        "0 mm to 20 mm",
        default="0.3 mm",
        source=COMMON,
        find="Choose the gap that your glue or filler needs: 0.2 to 0.5 mm on a model.",
    )
    pocket: Literal["cut", "cored"] = key(
        "whether the pocket is cut after casting or cored in the mould",
        "choice",
        default="cut",
        source=FORMAT,
        means={
            "cut": "milled or chiselled into the finished casting",
            "cored": "left open by a core in the mould",
        },
        also={"cut": ("milled", "routed", "chiselled", "cut after casting"), "cored": ("core", "cast in")},
        find="Your choice: a cut pocket needs no core in the mould; a cored one saves chiselling lead.",
    )
    rake: float = key(
        "rake of the fin's axis at the tip; tip aft is positive",
        ANGLE,
        "-45 deg to 45 deg",
        example="5 deg",
        default="0 deg",
        source=f"{FORMAT}: an upright fin",
        find=(
            "Level the boat and hold a digital level along the fin's quarter-chord line. Write its angle from the "
            "vertical, positive if the tip is aft."
        ),
    )
    carry_at: float | None = key(
        "position of the bulb's mass centre, as a fraction of the tip chord",
        "number",
        "-20 to 20",
        default="0.40",
        default_unless="boat",
        source=COMMON,
        not_with={"bulb.mass_centre_x": "both set the position of the mass centre"},
        title="Mass centre on the chord",
        find=(
            "Your choice: about 0.40 of the chord keeps the fin from twisting. Or omit it and let the boat's trim decide."
        ),
    )
    elastic_axis: float = key(
        "axis about which the fin twists, as a fraction of the chord",
        "number",
        "0 to 1",
        default="0.366",
        source="integral of x y^3 over integral of y^3 of the NACA four-digit section, 0.36592; other sections have "
        "other values",
        find=(
            "Ask the fin's maker. Or push the tip sideways at several points and find the one at which it moves without "
            "twisting."
        ),
    )
    material: Literal["metal", "wood", "laminate"] | None = key(
        "material that holds the screws",
        "choice",
        left_out="not said",
        means={
            "metal": "steel, brass, aluminium",
            "wood": "solid timber or plywood",
            "laminate": "glass or carbon in resin",
        },
        also={
            "metal": ("steel", "stainless", "stainless steel", "brass", "bronze", "aluminium", "aluminum"),
            "wood": (
                "wooden",
                "timber",
                "ply",
                "plywood",
                "mahogany",
                "oak",
                "ash",
                "cedar",
                "pine",
                "spruce",
            ),
            "laminate": (
                "glass",
                "glass fibre",
                "glassfibre",
                "fibreglass",
                "fiberglass",
                "grp",
                "frp",
                "carbon",
                "carbon fibre",
                "carbon fiber",
                "composite",
            ),
        },
        find=("Look at what the screws bite into at the tip. It may be a plug or a bar of another material."),
    )
    joint: Literal["pocket", "through"] | None = key(
        "whether the blade ends in a pocket or goes right through a bulb in two halves; default: in a pocket",
        "choice",
        left_out="pocket",
        rare=True,
        means={
            "pocket": "the blade ends in a pocket in the lead",
            "through": "the blade goes right through a bulb in two halves",
        },
        also={"through": ("through blade", "right through", "two halves")},
        find='Choose "pocket" for a bulb cast in one piece, and "through" for two halves on a plate fin.',
    )
    bond_line: float | None = key(
        "thickness of filler between two halves bonded face to face",
        LENGTH,
        "0 mm to 5 mm",
        example="0.2 mm",
        only_with=OnlyWith(
            {"joint": "through", "mould.kind": "open-halves"},
            read="bond_line without two halves",
            expected="a bond line only if two halves are bonded",
            remedy='Add joint = "through" under [fin] for a blade that goes right through, or kind = "open-halves" under '
            "[mould] for a bulb cast as two halves. Or remove bond_line.",
        ),
        rare=True,
        find=(
            "Choose the thickness of glue between the halves. Dry-fit them and measure the gap with feeler gauges."
        ),
    )
    root_chord: float | None = _of_root(
        "fore-and-aft length of the fin where it meets the hull",
        LENGTH,
        "1 mm to 10 m",
        example="85 mm",
        find="Measure along the fin where it meets the hull, from leading edge to trailing edge.",
    )
    root_thickness: float | None = _of_root(
        "maximum thickness of the fin at the root; the section is that of the tip, scaled",
        LENGTH,
        "0.1 mm to 2 m",
        example="9 mm",
        find="Measure the fin's maximum thickness where it meets the hull, with a caliper.",
    )
    root_leading_edge_x: float | None = _of_root(
        "leading edge of the fin's root, aft of the forward end of the waterline",
        LENGTH,
        "-50 m to 50 m",
        example="380 mm",
        find=(
            "Measure horizontally aft from the forward end of the waterline to where the fin's leading edge meets the hull."
        ),
    )
    root_z: float | None = _of_root(
        "height at which the fin meets the hull",
        LENGTH,
        "-50 m to 50 m",
        example="-50 mm",
        find=("Measure from the waterline down to where the fin meets the hull. Write it with a minus sign."),
    )
    mass: float | None = key(
        "mass of the complete fin, weighed; or give density, or list the fin as a weight",
        MASS,
        "0 g to 20 t",
        example="210 g",
        rare=True,
        only_with=_MASS_ONLY_WITH,
        needed_with=NeededWith(
            "limits.fin_with_bulb",
            unless="density",
            read="no fin.mass with limits.fin_with_bulb",
            expected="{expected}, or fin.density",
            remedy="Add the fin's mass under [fin], and omit the fin from [[weights]].",
        ),
        find="Weigh the finished fin, with its fittings and without the bulb.",
    )
    density: float | None = key(
        "estimated density of the complete fin",
        DENSITY,
        "50 kg/m3 to 25000 kg/m3",
        example="1.6 g/cm3",
        rare=True,
        only_with=_MASS_ONLY_WITH,
        find=(
            "Weigh an offcut and divide by its volume. Wood is 0.4 to 0.7 g/cm3, glass laminate 1.6 to 1.9, "
            "aluminium 2.7, steel 7.9."
        ),
    )
    overhang_forward: float | None = _of_overhang(
        "maximum overhang of the bulb's nose ahead of the fin's tip",
        LENGTH,
        "0 mm to 20 m",
        example="140 mm",
        find=(
            "Find out how far the nose may extend ahead of the fin's tip. Weed, the launching trolley or a rule may "
            "limit it."
        ),
    )
    carry_within: float | None = _of_overhang(
        "maximum distance of the bulb's mass centre from the middle of the tip chord",
        LENGTH,
        "0 mm to 10 m",
        example="20 mm",
        find="Decide how far from the fin's middle the bulb may hang, for looks or to limit the fin's twist.",
    )
    overhang_aft: float | None = _of_overhang(
        "maximum overhang of the bulb's tail behind the fin's tip",
        LENGTH,
        "0 mm to 20 m",
        example="160 mm",
        find="Measure how far the tail may extend behind the fin's tip and still clear the rudder.",
    )
