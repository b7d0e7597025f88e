"""[fin].

SI and frozen; None means "not given". Nothing is calculated here: a default that depends on another figure stays None
and is set by the room that owns the rule, which also reports it.
"""

from __future__ import annotations

from functools import partial
from typing import Literal

from bulbcast.plan.agreement import NeededWith, OneOf, OnlyWith
from bulbcast.plan.declare import key, section
from bulbcast.plan.key import ANGLE, COMMON, DENSITY, FORMAT, LENGTH, MASS

_WITHOUT_BOAT = ("{leaf} without [boat]", "{leaf} only where the boat is given")
_ADD_BOAT = "Take {leaf} out, or add [boat] with the hull."
_ONLY_WITH_BOAT = OnlyWith("boat", (), *_WITHOUT_BOAT, _ADD_BOAT)
_ROOT_ONLY_WITH = OnlyWith(("boat", "strength", "limits", "ribs"), (), *_WITHOUT_BOAT, _ADD_BOAT)
_MASS_ONLY_WITH = OnlyWith(("boat", "strength", "limits"), (), *_WITHOUT_BOAT, _ADD_BOAT)

_ROOT = ("root_chord", "root_thickness", "root_leading_edge_x", "root_z")
_HULLS = ("boat.hull", "boat.offsets", "boat.hull_displacement")
_HULL_NEEDS = NeededWith(
    _HULLS, "which the boat needs: the fin displaces water and says where the bulb hangs"
)
_WHOLE_FIN = NeededWith((*_ROOT, "density"), "which a fin from hull to tip needs", also="boat", unless=_HULLS)
"""With a displacement all up the fin's share need not be known; where the fin is given, it is given whole."""
_WITH_BOAT = (_HULL_NEEDS, _WHOLE_FIN)
_RIBS_NEED = NeededWith(
    "ribs",
    "which the ribs need: they run from the fin's root to its tip",
    unless=_HULLS,
    remedy="Add {example}, say, under [fin], or take [ribs] out.",
)
_ROOT_NEEDED_WITH = (
    *_WITH_BOAT,
    NeededWith("strength.section", "which a beam from the hull down needs", unless=_HULLS),
    NeededWith("density", "which a fin's mass by its density needs", also="limits", unless=_HULLS),
    _RIBS_NEED,
)
"""Keys that make the fin's tip into a whole fin are needed wherever something runs from hull to tip."""

_SLOT = {"why": "which a slot needs", "remedy": "Add {example}, say, or take {given} out."}
_of_slot = partial(
    key,
    written=LENGTH,
    rare=True,
    only_with=OnlyWith(
        {"joint": "pocket"},
        read='a slot with joint = "through"',
        expected="no slot where the blade goes right through",
        remedy="Take the slot's keys out.",
    ),
)
_of_root = partial(key, rare=True, only_with=_ROOT_ONLY_WITH, needed_with=_ROOT_NEEDED_WITH)
_of_overhang = partial(key, rare=True, only_with=_ONLY_WITH_BOAT)


@section(
    "fin",
    step="bulb",
    one_of=OneOf(("mass", "density"), "Keep mass where the fin has been weighed, density where it has not."),
)
class FinSection:
    """[fin]: the tip the bulb hangs on. Lengths m in boat axes, `rake` in rad.

    `tip_leading_edge_x` and `tip_z` are those of the tip's leading edge.

    `measured` holds place and whole thickness, ascending; `max_at` is a fraction of the chord. `carry_at` and
    `elastic_axis` are fractions of the tip chord aft of its leading edge. `carry_at` is None where `bulb.mass_centre_x`
    or the boat's trim gives the place instead. What follows `material` is given with the boat only: the root (m, boat
    axes), `mass` in kg or `density` in kg/m3, and the largest overhangs of the bulb over the tip.
    """

    tip_chord: float = key(
        "fore-and-aft length of its tip",
        LENGTH,
        "1 mm to 10 m",
        example="70 mm",
        required=True,
        find="Measure along the fin's lower end, from leading edge to trailing edge.",
    )
    section: Literal["foil", "plate", "measured"] = key(
        "shape of the fin's section, at every level",
        "choice",
        default="foil",
        source=f"{FORMAT}: the NACA four-digit form",
        means={
            "foil": "the NACA four-digit form, or the same with its thickest place elsewhere",
            "plate": "flat sides with rounded edges",
            "measured": "thicknesses read off along the chord with a caliper",
        },
        also={
            "foil": ("aerofoil", "airfoil", "naca", "profiled"),
            "plate": ("flat", "flat plate", "board", "sheet"),
            "measured": ("caliper", "calipers"),
        },
        varied="fixed",
        find="Lay a straightedge along the fin's side: a plate has flat ones. Measure anything that is neither a plate "
        "nor a known foil.",
    )
    tip_thickness: float = key(
        "the largest across at the tip; left out with measured: the largest of these",
        LENGTH,
        "0.1 mm to 2 m",
        example="7 mm",
        required=True,
        find="Caliper the thickest place of the fin's lower end.",
        required_unless={"section": "measured"},
        only_with=OnlyWith(
            {"section": ("foil", "plate")},
            read='{leaf} with section = "measured"',
            expected="the largest of the measured thicknesses instead",
            remedy="Take tip_thickness out; measure the fin where the bulb will be.",
        ),
    )
    max_at: float | None = key(
        "where a foil is thickest, as a fraction of the chord; left out: 0.3, the plain four-digit form",
        "number",
        "0.2 to 0.6",
        example="0.45",
        only_with={"section": "foil"},
        rare=True,
        title="Place of the greatest thickness",
        find="Slide a caliper along the chord to the thickest place; its distance from the leading edge over the chord.",
    )
    edge_radius: float | None = key(
        "of a plate's edges, fore and aft; left out: half the thickness, a full round; 0 mm leaves them square",
        LENGTH,
        "0 mm to 1 m",
        example="1.5 mm",
        only_with={"section": "plate"},
        rare=True,
        find="Hold drills of known diameter, or a radius gauge, against the edge; half the diameter that fits.",
    )
    measured: tuple[tuple[float, float], ...] | None = key(
        "places aft of the leading edge, each with the whole thickness there; an edge that is not among them is sharp",
        "table",
        example='{"5 mm" = "4.2 mm", "20 mm" = "7.0 mm", "45 mm" = "4.9 mm", "68 mm" = "0.9 mm"}',
        only_with={"section": "measured"},
        needed_with={"section": "measured"},
        rare=True,
        title="Measured thicknesses",
        find="Mark five to ten places along the tip, close together near the leading edge, and caliper each.",
    )
    tip_leading_edge_x: float = key(
        "in boat axes; 0 where the boat is not given",
        LENGTH,
        "-50 m to 50 m",
        example="395 mm",
        default="0 mm",
        source=f"{FORMAT}: without the boat, x runs from the tip's leading edge",
        needed_with=(*_WITH_BOAT, _RIBS_NEED),
        find=(
            "Set the boat level, drop plumb lines from the forward end of the waterline and from the "
            "tip's leading edge, and measure between them."
        ),
    )
    tip_z: float = key(
        "level of the tip's leading edge, the pocket's floor; under water negative",
        LENGTH,
        "-50 m to 50 m",
        example="-330 mm",
        default="0 mm",
        source=f"{FORMAT}: without the boat, z runs from the fin's tip",
        needed_with=(
            *_WITH_BOAT,
            NeededWith(
                "limits.draught", "in boat axes: the draught is counted from her waterline", unless=_HULLS
            ),
            _RIBS_NEED,
        ),
        find=(
            "Set the boat level and measure from the waterline down to the fin's lower end; write it "
            "with a minus sign."
        ),
    )
    pocket_depth: float = key(
        "from the bulb's crown down to the pocket's floor",
        LENGTH,
        "0 mm to 2 m",
        example="6 mm",
        default="0 mm",
        source=f"{FORMAT}: the fin stands on the crown",
        only_with=OnlyWith(
            {"joint": "pocket"},
            read='a pocket_depth with joint = "through"',
            expected="no pocket where the blade goes right through",
            remedy="Take pocket_depth out; tip_z is then the level of the bulb's underside.",
        ),
        find=(
            "Choose how deep the fin sits in the lead: about one fin thickness. It is measured from "
            "the bulb's crown down."
        ),
    )
    slot_width: float | None = _of_slot(
        "of a straight slot milled for the fin, in place of a pocket of the fin's shape",
        within="0.5 mm to 2 m",
        example="7.5 mm",
        needed_with=NeededWith(("slot_length", "slot_depth", "slot_at"), **_SLOT),
        find="The cutter's diameter, or a caliper across the slot.",
    )
    slot_length: float | None = _of_slot(
        "of the slot, over its round ends",
        within="1 mm to 10 m",
        example="74 mm",
        needed_with=NeededWith("slot_width", **_SLOT),
        find="Measure along the slot from the end of one rounding to the end of the other.",
    )
    slot_depth: float | None = _of_slot(
        "of the slot below the lead's surface, straight above its middle; in place of pocket_depth",
        within="0.1 mm to 2 m",
        example="8 mm",
        needed_with=NeededWith("slot_width", **_SLOT),
        find="The stem of a caliper down the middle of the slot, its end on the lead beside it.",
    )
    slot_at: float | None = _of_slot(
        "fore end of the slot, aft of the tip's leading edge, ahead of it negative; left out: the slot's middle is "
        "that of the chord",
        within="-10 m to 10 m",
        example="-2 mm",
        find="Stand the fin in the slot and measure from its leading edge to the slot's fore end.",
    )
    pocket_clearance: float = key(
        "gap on each side of the fin",
        LENGTH,
        "0 mm to 20 mm",
        default="0.3 mm",
        source=COMMON,
        find="Choose the gap that your glue or filler needs, 0.2 to 0.5 mm on a model.",
    )
    pocket: Literal["cut", "cored"] = key(
        "cut after casting, or cored in the mould",
        "choice",
        default="cut",
        source=FORMAT,
        means={
            "cut": "milled or chiselled into the finished casting",
            "cored": "left open by a core in the mould",
        },
        also={"cut": ("milled", "routed", "chiselled", "cut after casting"), "cored": ("core", "cast in")},
        find="Choose it: cut needs no core in the mould, cored saves chiselling lead.",
    )
    rake: float = key(
        "of the fin's axis at the tip, in the boat; tip aft is positive",
        ANGLE,
        "-45 deg to 45 deg",
        example="5 deg",
        default="0 deg",
        source=f"{FORMAT}: an upright fin",
        find=(
            "Set the boat level and lay a digital level along the fin's quarter chord; how far it "
            "leans from upright, tip aft positive."
        ),
    )
    carry_at: float | None = key(
        "the bulb's mass centre, as a fraction of the tip chord",
        "number",
        "-20 to 20",
        default="0.40",
        default_unless="boat",
        source=COMMON,
        not_with={"bulb.mass_centre_x": "both set the place of the mass centre"},
        title="Mass centre on the chord",
        find=(
            "Choose it: about 0.40 of the chord keeps the fin from twisting. Or leave it to the boat's trim."
        ),
    )
    elastic_axis: float = key(
        "where the fin twists about, as a fraction of the chord",
        "number",
        "0 to 1",
        default="0.366",
        source="integral of x y^3 over integral of y^3 of the NACA four-digit section, 0.36592; of another section its own",
        find=(
            "Ask the fin's maker, or push the tip sideways at several places: it is where the tip moves without twisting."
        ),
    )
    material: Literal["metal", "wood", "laminate"] | None = key(
        "what the screws hold in",
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
        find=(
            "Look at what the screws bite into at the tip, which may be a plug or a bar of another material."
        ),
    )
    joint: Literal["pocket", "through"] | None = key(
        "whether the blade ends in a pocket, or goes right through a bulb of two halves; left out: in a pocket",
        "choice",
        left_out="pocket",
        rare=True,
        means={
            "pocket": "the blade ends in a pocket in the lead",
            "through": "the blade goes right through a bulb of two halves",
        },
        also={"through": ("through blade", "right through", "two halves")},
        find="Choose it: a pocket for one casting, through for two halves on a plate fin.",
    )
    bond_line: float | None = key(
        "filler between two halves that are bonded face to face",
        LENGTH,
        "0 mm to 5 mm",
        example="0.2 mm",
        only_with=OnlyWith(
            {"joint": "through", "mould.kind": "open-halves"},
            read="bond_line without two halves",
            expected="a bond line only where two halves are bonded",
            remedy='Add joint = "through" under [fin] for a blade that goes right through, or kind = "open-halves" under '
            "[mould] for a bulb cast as two halves; or take bond_line out.",
        ),
        rare=True,
        find=("Choose the thickness of glue between the halves; measure it on a dry fit with feeler gauges."),
    )
    root_chord: float | None = _of_root(
        "fore-and-aft length where it meets the hull",
        LENGTH,
        "1 mm to 10 m",
        example="85 mm",
        find="Measure along the fin where it meets the hull, from leading edge to trailing edge.",
    )
    root_thickness: float | None = _of_root(
        "the largest across at the root; the section is that of the tip, stretched",
        LENGTH,
        "0.1 mm to 2 m",
        example="9 mm",
        find="Caliper the thickest place of the fin where it meets the hull.",
    )
    root_leading_edge_x: float | None = _of_root(
        "in boat axes",
        LENGTH,
        "-50 m to 50 m",
        example="380 mm",
        find=(
            "Measure level, aft from the forward end of the waterline to where the fin's leading edge "
            "meets the hull."
        ),
    )
    root_z: float | None = _of_root(
        "level where it meets the hull",
        LENGTH,
        "-50 m to 50 m",
        example="-50 mm",
        find=("Measure from the waterline down to where the fin meets the hull; write it with a minus sign."),
    )
    mass: float | None = key(
        "the whole fin, weighed; or density, or a line of its own",
        MASS,
        "0 g to 20 t",
        example="210 g",
        rare=True,
        only_with=_MASS_ONLY_WITH,
        needed_with=NeededWith(
            "limits.fin_with_bulb",
            unless="density",
            read="nothing with limits.fin_with_bulb",
            expected="{expected}, or fin.density",
            remedy="Add mass as weighed under [fin], and leave it out of [[weights]].",
        ),
        find="Weigh the finished fin, with its fittings and without the bulb.",
    )
    density: float | None = key(
        "of the whole fin, estimated",
        DENSITY,
        "50 kg/m3 to 25000 kg/m3",
        example="1.6 g/cm3",
        rare=True,
        only_with=_MASS_ONLY_WITH,
        find=(
            "Weigh an offcut and divide by its volume; wood 0.4 to 0.7, glass laminate 1.6 to 1.9, "
            "aluminium 2.7, steel 7.9 g/cm3."
        ),
    )
    overhang_forward: float | None = _of_overhang(
        "largest, of the bulb's nose over the tip",
        LENGTH,
        "0 mm to 20 m",
        example="140 mm",
        find=(
            "Measure what may stand out ahead of the fin's tip: for weed, the launching trolley or a rule."
        ),
    )
    carry_within: float | None = _of_overhang(
        "largest, of the bulb's mass centre from the middle of the tip's chord",
        LENGTH,
        "0 mm to 10 m",
        example="20 mm",
        find="Decide how far off the fin's middle the bulb may hang, for looks or for the fin's twist.",
    )
    overhang_aft: float | None = _of_overhang(
        "largest, of the bulb's tail over the tip",
        LENGTH,
        "0 mm to 20 m",
        example="160 mm",
        find="Measure what may stand out behind the fin's tip, clear of the rudder.",
    )
