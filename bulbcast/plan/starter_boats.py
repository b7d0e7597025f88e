"""Two invented boats for the starter plan, a model and a small craft, with values as written in the file, by section.

Each section is valid together with any of the others. `FIN`, `FIN_MASS` and `DEEPER_POCKET`
give the figures of the fin that some other sections need.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Literal

StarterKind = Literal["model", "small-craft"]
Values = Mapping[str, str]

BASIC = ("water", "bulb", "alloy", "fin", "screws", "pattern", "melt")
"""Sections of the plain starter plan."""
GROUPS: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {"boat": ("boat", "weights"), "melt": ("scrap", "pot", "burner", "lifting", "pour")}
)
"""Names that request several sections."""
NEEDS: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {"weights": ("boat",), "rudder": ("boat", "weights"), "rig": ("boat", "weights"), "other_pots": ("pot",)}
)
"""Sections that have no effect without another section."""

ABOUT: Mapping[str, str] = MappingProxyType(
    {
        "water": "The water she floats in.",
        "bulb": "The bulb's mass and shape.",
        "alloy": "The kind of lead: exactly one of grade, density, composition, weighed.",
        "fin": "The fin's tip, from which the bulb hangs. Without the boat, x and z are measured from the tip itself.",
        "screws": "One [[screws]] entry for each screw, driven from below through the lead into the fin.",
        "cross_pins": "One [[cross_pins]] entry for each pin across the fin and the lead.",
        "studs": "One [[studs]] entry for each rod or tube cast into the lead.",
        "pattern": "Allowances that turn the finished bulb into the mould's pattern.",
        "melt": "Metal that goes into the pot in addition to the casting.",
        "boat": "The hull and its displacement, from which the bulb's mass and position follow.",
        "weights": "One [[weights]] entry for each item aboard, except the fin and the bulb.",
        "rudder": "The rudder's blade.",
        "rig": "The sails, to find how well she stands up to the wind.",
        "strength": "Strength of the fin as a beam, and of the joint.",
        "limits": "Limits set by a class rule or by the place where she sails.",
        "parting": "The plane where the pattern parts, and what aligns its halves.",
        "printer": "The printer's bed and material.",
        "frame": "The box round the half pattern while the mould is made.",
        "templates": "Paper and spacing of the templates.",
        "ribs": "The ribs and skin of a built-up fin.",
        "mould": "The mould round the pattern, and how it is dried.",
        "resin": "Lead shot in resin, compared with molten lead.",
        "scrap": "One [[scrap]] entry for each lot of lead on hand.",
        "pot": "The pot in which the lead is melted.",
        "other_pots": "One [[other_pots]] entry for each pot that differs from the first and is heated with it.",
        "lifting": "The people and gear that lift the pots, mould and casting.",
        "burner": "The burner or hot plate under the pot.",
        "pour": "Temperature and time of the pour.",
        "confidence": "Required probability that drilling alone brings the casting to the target.",
    }
)
"""Purpose of each section, in the order of the plan format."""


IMPERIAL_SCREW: dict[str, str] = {"model": '"#8"', "small-craft": '"1/2"'}
"""Size of the screws if the figures are imperial."""


def _screw(at: str, **sizes: str) -> Values:
    return {"at": at, **sizes}


_MODEL_SCREW = {
    "diameter": '"4 mm"',
    "hole_diameter": '"4.5 mm"',
    "head_diameter": '"8 mm"',
    "head_height": '"2.6 mm"',
    "recess": '"8 mm"',
    "length": '"40 mm"',
}
_CRAFT_SCREW = {
    "diameter": '"12 mm"',
    "hole_diameter": '"13.5 mm"',
    "head_diameter": '"24 mm"',
    "head_height": '"8 mm"',
    "recess": '"34 mm"',
    "length": '"140 mm"',
    "washer_diameter": '"44 mm"',
    "washer_thickness": '"10 mm"',
}

SINGLE: Mapping[StarterKind, Mapping[str, Values]] = {
    "model": {
        "": {"display_units": '"metric"'},
        "water": {"kind": '"fresh"'},
        "bulb": {
            "target_mass": '"2.1 kg"',
            "profile": '"naca4"',
            "fineness": "5.5",
            "tail_diameter": '"4 mm"',
            "skin": '"0.2 mm"',
        },
        "alloy": {"grade": '"pure"'},
        "fin": {
            "tip_chord": '"72 mm"',
            "tip_thickness": '"7.5 mm"',
            "pocket_depth": '"7 mm"',
            "carry_at": "0.40",
            "material": '"metal"',
        },
        "pattern": {},
        "melt": {},
        "boat": {
            "displacement": '"3.8 kg"',
            "waterline_length": '"900 mm"',
            "buoyancy_x": '"482 mm"',
            "buoyancy_z": '"-24 mm"',
            "waterplane_area": '"1350 cm2"',
            "flotation_x": '"485 mm"',
            "waterline_beam": '"205 mm"',
            "freeboard": '"62 mm"',
            "metacentric_radius": '"95 mm"',
            "kind": '"model"',
        },
        "rudder": {
            "root_chord": '"48 mm"',
            "tip_chord": '"34 mm"',
            "root_thickness": '"5 mm"',
            "tip_thickness": '"4 mm"',
            "root_leading_edge_x": '"850 mm"',
            "tip_leading_edge_x": '"856 mm"',
            "root_z": '"-18 mm"',
            "tip_z": '"-155 mm"',
            "mass": '"32 g"',
        },
        "rig": {"sail_area": '"3600 cm2"', "effort_z": '"600 mm"', "wind": '"3.5 m/s"'},
        "strength": {
            "section": '"solid"',
            "material": '"aluminium plate"',
            "modulus": '"70 GPa"',
            "shear_modulus": '"26 GPa"',
            "allowable": '"90 MPa"',
            "allowable_source": '"half the yield strength of an invented plate"',
            "vertical_grounding": "2",
            "longitudinal_grounding": "1",
            "sideways_grounding": "0.5",
            "grounded_mass": '"3.8 kg"',
            "tightened_to": '"15 N"',
        },
        "limits": {
            "draught": '"450 mm"',
            "bulb_mass": '"2.5 kg"',
            "bulb_length": '"400 mm"',
            "rule": '"the club\'s rules, paragraph 7"',
        },
        "parting": {"plane": '"horizontal"'},
        "printer": {
            "bed_length": '"220 mm"',
            "bed_width": '"220 mm"',
            "bed_height": '"250 mm"',
            "material": '"PLA"',
            "layer": '"0.2 mm"',
        },
        "frame": {"kind": '"boards"'},
        "templates": {"paper": '"A4"', "spacing": '"25 mm"'},
        "ribs": {"count": "6", "skin": '"0.6 mm"'},
        "mould": {
            "material": '"plaster"',
            "drying": '"baked"',
            "consistency": "70",
            "scale_spread": '"0.2 g"',
        },
        "resin": {"packing": '"62 %"'},
        "pot": {"capacity": '"1.3 l"', "material": '"cast-iron"', "mass": '"3 kg"'},
        "lifting": {"people": "1"},
        "burner": {"power": '"3 kW"', "fuel": '"propane"', "fuel_on_hand": '"2 kg"'},
        "pour": {"mould_temperature": '"80 C"'},
        "confidence": {"probability": '"95 %"'},
    },
    "small-craft": {
        "": {"display_units": '"metric"'},
        "water": {"kind": '"salt"'},
        "bulb": {
            "target_mass": '"90 kg"',
            "profile": '"naca4"',
            "fineness": "6",
            "tail_diameter": '"20 mm"',
            "skin": '"0.8 mm"',
        },
        "alloy": {"grade": '"antimonial-4"'},
        "fin": {
            "tip_chord": '"340 mm"',
            "tip_thickness": '"38 mm"',
            "pocket_depth": '"26 mm"',
            "pocket_clearance": '"1 mm"',
            "carry_at": "0.40",
            "material": '"metal"',
        },
        "pattern": {"finish": '"0.5 mm"'},
        "melt": {},
        "boat": {
            "displacement": '"550 kg"',
            "waterline_length": '"4.4 m"',
            "buoyancy_x": '"2.21 m"',
            "buoyancy_z": '"-0.12 m"',
            "waterplane_area": '"4.6 m2"',
            "flotation_x": '"2.25 m"',
            "waterline_beam": '"1.45 m"',
            "freeboard": '"0.42 m"',
            "metacentric_radius": '"1.15 m"',
            "kind": '"small-craft"',
        },
        "rudder": {
            "root_chord": '"260 mm"',
            "tip_chord": '"200 mm"',
            "root_thickness": '"30 mm"',
            "tip_thickness": '"24 mm"',
            "root_leading_edge_x": '"4.30 m"',
            "tip_leading_edge_x": '"4.34 m"',
            "root_z": '"0 mm"',
            "tip_z": '"-0.70 m"',
            "mass": '"9 kg"',
        },
        "rig": {"sail_area": '"11 m2"', "effort_z": '"2.6 m"', "wind": '"5 m/s"'},
        "strength": {
            "section": '"solid"',
            "material": '"structural steel"',
            "modulus": '"205 GPa"',
            "shear_modulus": '"79 GPa"',
            "allowable": '"110 MPa"',
            "allowable_source": '"half the yield strength on an invented certificate"',
            "vertical_grounding": "2",
            "longitudinal_grounding": "1",
            "sideways_grounding": "0.3",
            "grounded_mass": '"560 kg"',
            "tightened_to": '"500 N"',
        },
        "limits": {
            "draught": '"1.30 m"',
            "bulb_mass": '"100 kg"',
            "bulb_length": '"1.1 m"',
            "rule": '"an invented rule, paragraph 4"',
        },
        "parting": {"plane": '"horizontal"'},
        "printer": {
            "bed_length": '"300 mm"',
            "bed_width": '"300 mm"',
            "bed_height": '"300 mm"',
            "material": '"PLA"',
            "layer": '"0.3 mm"',
        },
        "frame": {"kind": '"boards"'},
        "templates": {"paper": '"A3"', "spacing": '"100 mm"'},
        "ribs": {"count": "7", "skin": '"4 mm"'},
        "mould": {
            "material": '"sand"',
            "sand_kind": '"oil-bonded"',
            "cured_at": '"210 C"',
            "cured_for": '"3 h"',
        },
        "resin": {"packing": '"62 %"'},
        "pot": {"capacity": '"16 l"', "material": '"steel"', "mass": '"25 kg"', "way": '"tap"'},
        "lifting": {"people": "2", "hoist": '"500 kg"'},
        "burner": {"power": '"30 kW"', "fuel": '"propane"', "fuel_on_hand": '"22 kg"'},
        "pour": {"mould_temperature": '"60 C"'},
        "confidence": {"probability": '"95 %"'},
    },
}
"""Sections that occur once."""

REPEATED: Mapping[StarterKind, Mapping[str, tuple[Values, ...]]] = {
    "model": {
        "screws": (_screw('"15 mm"', **_MODEL_SCREW), _screw('"35 mm"', **_MODEL_SCREW)),
        "cross_pins": ({"at": '"46 mm"', "height": '"4 mm"', "diameter": '"2 mm"', "length": '"24 mm"'},),
        "studs": ({"at": '"25 mm"', "diameter": '"3 mm"', "below": '"22 mm"', "above": '"20 mm"'},),
        "weights": (
            {
                "name": '"hull and deck"',
                "mass": '"720 g"',
                "x": '"490 mm"',
                "z": '"10 mm"',
                "state": '"weighed"',
            },
            {
                "name": '"rig and sails"',
                "mass": '"300 g"',
                "x": '"410 mm"',
                "z": '"600 mm"',
                "state": '"weighed"',
            },
            {"name": '"winch, servo and receiver"', "mass": '"230 g"', "x": '"520 mm"', "z": '"-5 mm"'},
            {"name": '"battery"', "mass": '"120 g"', "x": '"470 mm"', "z": '"-20 mm"', "state": '"weighed"'},
            {"name": '"rudder"', "mass": '"32 g"', "x": '"868 mm"', "z": '"-80 mm"', "state": '"weighed"'},
        ),
        "scrap": (
            {
                "kind": '"ingot"',
                "name": '"pig lead from the merchant"',
                "gross": '"8 kg"',
                "condition": '"dry"',
            },
        ),
        "other_pots": ({"capacity": '"600 ml"', "material": '"steel"', "mass": '"1.5 kg"'},),
    },
    "small-craft": {
        "screws": (
            _screw('"70 mm"', **_CRAFT_SCREW),
            _screw('"130 mm"', **_CRAFT_SCREW),
            _screw('"190 mm"', **_CRAFT_SCREW),
        ),
        "cross_pins": ({"at": '"240 mm"', "height": '"18 mm"', "diameter": '"8 mm"', "length": '"100 mm"'},),
        "studs": ({"at": '"100 mm"', "diameter": '"12 mm"', "below": '"70 mm"', "above": '"80 mm"'},),
        "weights": (
            {
                "name": '"hull and deck"',
                "mass": '"185 kg"',
                "x": '"2.20 m"',
                "z": '"0.15 m"',
                "state": '"weighed"',
            },
            {
                "name": '"rig and sails"',
                "mass": '"32 kg"',
                "x": '"1.70 m"',
                "z": '"2.6 m"',
                "state": '"weighed"',
            },
            {
                "name": '"crew of two"',
                "mass": '"150 kg"',
                "x": '"2.50 m"',
                "z": '"0.45 m"',
                "spread": '"4 kg"',
            },
            {"name": '"outfit"', "mass": '"30 kg"', "x": '"2.10 m"', "z": '"0.05 m"'},
            {"name": '"rudder"', "mass": '"9 kg"', "x": '"4.44 m"', "z": '"-0.32 m"', "state": '"weighed"'},
        ),
        "scrap": (
            {
                "kind": '"ingot"',
                "name": '"pigs, certified"',
                "composition": "{Pb = 96, Sb = 4}",
                "gross": '"160 kg"',
                "condition": '"dry"',
            },
        ),
        "other_pots": ({"capacity": '"4 l"', "material": '"steel"', "mass": '"9 kg"'},),
    },
}
"""Sections in double brackets."""

_MODEL_FIN = {
    "tip_leading_edge_x": '"452 mm"',
    "tip_z": '"-340 mm"',
    "root_chord": '"88 mm"',
    "root_thickness": '"9 mm"',
    "root_leading_edge_x": '"440 mm"',
    "root_z": '"-50 mm"',
}
_CRAFT_FIN = {
    "tip_leading_edge_x": '"1.75 m"',
    "tip_z": '"-1.00 m"',
    "root_chord": '"430 mm"',
    "root_thickness": '"46 mm"',
    "root_leading_edge_x": '"1.68 m"',
    "root_z": '"-0.28 m"',
}
FIN_MASS: Mapping[StarterKind, str] = {"model": '"260 g"', "small-craft": '"62 kg"'}
FIN: Mapping[StarterKind, Values] = {"model": _MODEL_FIN, "small-craft": _CRAFT_FIN}
"""Keys of the complete fin, in boat axes."""
DEEPER_POCKET: Mapping[StarterKind, str] = {"model": '"16 mm"', "small-craft": '"60 mm"'}
"""Depth of a pocket that a pin crosses."""
WEIGHED_FIN_FOR = ("boat", "strength", "limits")
WHOLE_FIN_FOR = ("boat", "strength", "limits", "ribs")
"""Sections that need data on the whole fin, not only on its tip."""
BY_THE_BOAT = ("bulb.target_mass", "fin.carry_at")
"""Keys that are omitted if the plan has [boat], which determines their values."""
