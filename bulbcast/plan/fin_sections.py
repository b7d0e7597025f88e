"""[fin], [[screws]], [[cross_pins]] and [[studs]]: what the bulb hangs on.

SI and frozen; None means "not given". Nothing is calculated here: a default that depends on another figure stays None
and is settled by the room that owns the rule, which also says so in the report.
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

_BOAT_NEEDS = NeededWith(
    "boat", "which the boat needs: the fin displaces water and says where the bulb hangs"
)
_RIBS_NEED = NeededWith(
    "ribs",
    "which the ribs need: they run from the fin's root to its tip",
    unless="boat",
    remedy="Add {example}, say, under [fin], or take [ribs] out.",
)
_ROOT_NEEDED_WITH = (
    _BOAT_NEEDS,
    NeededWith("strength.section", "which a beam from the hull down needs", unless="boat"),
    NeededWith("density", "which a fin's mass by its density needs", also="limits", unless="boat"),
    _RIBS_NEED,
)
"""What makes the fin's tip into a whole fin is needed wherever something runs from hull to tip."""

_along_the_tip = partial(
    key, "aft of the tip's leading edge", LENGTH, "-10 m to 10 m", required=True, title="Place"
)
_of_root = partial(key, rare=True, only_with=_ROOT_ONLY_WITH, needed_with=_ROOT_NEEDED_WITH)
_of_overhang = partial(key, rare=True, only_with=_ONLY_WITH_BOAT)

_WASHER = {
    "read": "nothing with {given}",
    "why": "which a washer needs",
    "remedy": "Add {example}, say, or take {given} out.",
}
_of_steel = partial(
    key,
    written=DENSITY,
    within="50 kg/m3 to 25000 kg/m3",
    default="8.0 g/cm3",
    source="stainless steel of the austenitic kinds, 7.9 to 8.0 g/cm3; from memory",
)


def _in_a_pocket(what: str, read: str) -> OnlyWith:
    return OnlyWith(
        {"fin.joint": "pocket"},
        read=f'{read} with joint = "through"',
        expected=f"a blade that ends in a pocket, or no {what}",
        remedy='Hold the halves with [[cross_pins]], or take joint = "pocket".',
    )


@section(
    "fin",
    step="bulb",
    one_of=OneOf(("mass", "density"), "Keep mass where the fin has been weighed, density where it has not."),
)
class FinSection:
    """[fin]: the tip the bulb hangs on. Lengths m in boat axes, `rake` in rad.

    `tip_leading_edge_x` and `tip_z` are those of the tip's leading edge.

    `carry_at` and `elastic_axis` are fractions of the tip chord aft of its leading edge.
    `carry_at` is None where `bulb.mass_centre_x` says the place instead, or the boat's trim does.
    What follows `material` is given with the boat only: the root (m, boat axes), `mass` in kg or
    `density` in kg/m3, and the largest overhangs of the bulb over the tip.
    """

    tip_chord: float = key(
        "fore-and-aft length of its tip", LENGTH, "1 mm to 10 m", example="70 mm", required=True
    )
    tip_thickness: float = key(
        "NACA four-digit section at the tip", LENGTH, "0.1 mm to 2 m", example="7 mm", required=True
    )
    tip_leading_edge_x: float = key(
        "in boat axes; 0 where the boat is not given",
        LENGTH,
        "-50 m to 50 m",
        example="395 mm",
        default="0 mm",
        source=f"{FORMAT}: without the boat, x runs from the tip's leading edge",
        needed_with=(_BOAT_NEEDS, _RIBS_NEED),
    )
    tip_z: float = key(
        "level of the tip's leading edge, the pocket's floor; under water negative",
        LENGTH,
        "-50 m to 50 m",
        example="-330 mm",
        default="0 mm",
        source=f"{FORMAT}: without the boat, z runs from the fin's tip",
        needed_with=(
            _BOAT_NEEDS,
            NeededWith(
                "limits.draught", "in boat axes: the draught is counted from her waterline", unless="boat"
            ),
            _RIBS_NEED,
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
    )
    pocket_clearance: float = key(
        "gap on each side of the fin", LENGTH, "0 mm to 20 mm", default="0.3 mm", source=COMMON
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
    )
    rake: float = key(
        "of the fin's axis at the tip, in the boat; tip aft is positive",
        ANGLE,
        "-45 deg to 45 deg",
        example="5 deg",
        default="0 deg",
        source=f"{FORMAT}: an upright fin",
    )
    carry_at: float | None = key(
        "the bulb's mass centre, as a fraction of the tip chord",
        "number",
        "-20 to 20",
        default="0.40",
        default_unless="boat",
        source=COMMON,
        not_with={"bulb.mass_centre_x": "both say where the mass centre comes"},
        title="Mass centre on the chord",
    )
    elastic_axis: float = key(
        "where the fin twists about, as a fraction of the chord",
        "number",
        "0 to 1",
        default="0.366",
        source="integral of x y^3 over integral of y^3 of the NACA four-digit section, 0.36592",
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
            "wood": ("wooden", "timber", "ply", "plywood"),
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
    )
    bond_line: float | None = key(
        "filler between two halves bonded on a blade",
        LENGTH,
        "0 mm to 5 mm",
        example="0.2 mm",
        only_with=OnlyWith(
            {"joint": "through"},
            read='bond_line without joint = "through"',
            expected="a bond line only where two halves are bonded",
            remedy='Add joint = "through" under [fin], or take bond_line out.',
        ),
        rare=True,
    )
    root_chord: float | None = _of_root(
        "fore-and-aft length where it meets the hull", LENGTH, "1 mm to 10 m", example="85 mm"
    )
    root_thickness: float | None = _of_root(
        "NACA four-digit section at the root", LENGTH, "0.1 mm to 2 m", example="9 mm"
    )
    root_leading_edge_x: float | None = _of_root("in boat axes", LENGTH, "-50 m to 50 m", example="380 mm")
    root_z: float | None = _of_root(
        "level where it meets the hull", LENGTH, "-50 m to 50 m", example="-50 mm"
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
            remedy="Add mass as weighed under [fin]; it is then no line of [[weights]].",
        ),
    )
    density: float | None = key(
        "of the whole fin, estimated",
        DENSITY,
        "50 kg/m3 to 25000 kg/m3",
        example="1.6 g/cm3",
        rare=True,
        only_with=_MASS_ONLY_WITH,
    )
    overhang_forward: float | None = _of_overhang(
        "largest, of the bulb's nose over the tip", LENGTH, "0 mm to 20 m", example="140 mm"
    )
    overhang_aft: float | None = _of_overhang(
        "largest, of the bulb's tail over the tip", LENGTH, "0 mm to 20 m", example="160 mm"
    )


@section(
    "screws",
    step="joint",
    one="screw",
    most=24,
    only_with=_in_a_pocket("screws", "screws from below"),
)
class ScrewSection:
    """One [[screws]]: lengths m, density kg/m3; `engagement` is the thread wanted above the pocket
    floor, None where it follows from the diameter and the fin's material; `pitch` None: coarse. A washer where diameter and
    thickness are given; its hole None: as the lead's, its density None: the screw's."""

    at: float = _along_the_tip(example="14 mm")
    diameter: float = key("of the thread", LENGTH, "0.5 mm to 200 mm", example="4 mm", required=True)
    hole_diameter: float = key(
        "clearance hole in the lead", LENGTH, "0.5 mm to 250 mm", example="4.5 mm", required=True
    )
    head_diameter: float = key("and of its recess", LENGTH, "0.5 mm to 500 mm", example="8 mm", required=True)
    head_height: float = key("of the head", LENGTH, "0 mm to 500 mm", example="2.6 mm", required=True)
    recess: float = key(
        "from the underside at that place up to the seat of head or washer",
        LENGTH,
        "0 mm to 5 m",
        example="8 mm",
        required=True,
    )
    length: float = key("under the head", LENGTH, "1 mm to 5 m", example="45 mm", required=True)
    hole: Literal["drilled", "cored"] = key(
        "drilled after casting, or cored",
        "choice",
        default="drilled",
        source=FORMAT,
        means={"drilled": "after casting", "cored": "left open by a core in the mould"},
        also={"drilled": ("drill", "drilled after casting"), "cored": ("core", "cast in")},
    )
    density: float = key(
        "of the screw",
        DENSITY,
        "50 kg/m3 to 25000 kg/m3",
        default="8.0 g/cm3",
        source="stainless steel, from memory",
    )
    engagement: float | None = key(
        "thread above the pocket's floor; left out: 2.5 diameters, 4 in wood",
        LENGTH,
        "0 mm to 5 m",
        example="10 mm",
    )
    pitch: float | None = key(
        "of the thread, for [strength]; left out: coarse", LENGTH, "0.1 mm to 20 mm", example="0.7 mm"
    )
    washer_diameter: float | None = key(
        "washer under the head; the recess takes it",
        LENGTH,
        "0.5 mm to 500 mm",
        example="14 mm",
        needed_with=NeededWith(("washer_thickness", "washer_hole", "washer_density"), **_WASHER),
        rare=True,
    )
    washer_thickness: float | None = key(
        "of the washer",
        LENGTH,
        "above 0 mm and up to 100 mm",
        example="1.5 mm",
        needed_with=NeededWith(("washer_diameter", "washer_hole", "washer_density"), **_WASHER),
        rare=True,
    )
    washer_hole: float | None = key(
        "the washer's own; left out: hole_diameter", LENGTH, "0.5 mm to 250 mm", example="4.5 mm", rare=True
    )
    washer_density: float | None = key(
        "of the washer; left out: the screw's",
        DENSITY,
        "50 kg/m3 to 25000 kg/m3",
        example="8.0 g/cm3",
        rare=True,
    )


@section("cross_pins", step="joint", basic="hole_diameter", one="cross pin", most=12)
class CrossPinSection:
    """One [[cross_pins]]: lengths m, density kg/m3; `hole_diameter` None: the pin's own."""

    at: float = _along_the_tip(example="25 mm")
    height: float = key(
        "of its middle above the pocket floor", LENGTH, "0 mm to 5 m", example="4 mm", required=True
    )
    diameter: float = key("of the pin", LENGTH, "0.5 mm to 200 mm", example="3 mm", required=True)
    hole_diameter: float | None = key(
        "in the lead; left out: the pin's own", LENGTH, "0.5 mm to 200 mm", example="3.2 mm"
    )
    length: float = key("half of it to each side", LENGTH, "1 mm to 10 m", example="30 mm", required=True)
    density: float = _of_steel("of the pin")


@section(
    "studs",
    step="joint",
    one="stud",
    most=24,
    only_with=_in_a_pocket("studs", "studs"),
)
class StudSection:
    """One [[studs]]: lengths m, densities kg/m3; `fill_density` None: the filler's."""

    at: float = _along_the_tip(example="25 mm")
    diameter: float = key("outside", LENGTH, "0.5 mm to 500 mm", example="6 mm", required=True)
    bore: float = key(
        "of a tube, inside",
        LENGTH,
        "0 mm to 500 mm",
        example="4.2 mm",
        default="0 mm",
        source=f"{FORMAT}: a solid stud",
    )
    below: float = key(
        "down into the lead from the pocket floor",
        LENGTH,
        "0 mm to 10 m",
        example="24 mm",
        required=True,
        title="Depth in the lead",
    )
    above: float = key(
        "up into the fin from the pocket floor",
        LENGTH,
        "0 mm to 10 m",
        example="20 mm",
        required=True,
        title="Height in the fin",
    )
    density: float = _of_steel("of its metal")
    fill_density: float | None = key(
        "of what fills the bore; left out: the filler's",
        DENSITY,
        "0 kg/m3 to 25000 kg/m3",
        example="8.0 g/cm3",
    )
