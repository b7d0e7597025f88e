"""Handmade plans for the net, each based on an example, with the files that they read."""

from __future__ import annotations

import copy
import importlib.util
import sys
import tomllib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np

PROJECT = Path(__file__).parents[2]
sys.path.insert(0, str(PROJECT / "tests" / "property"))

from random_plans import PlanTable  # noqa: E402

ACCEPTS = {
    "bound water": "I accept the risk of steam from the bound water",
    "structure": "A licensed practice has seen fin, joint and hull",
    "alloy": "I accept the alloy with its spread",
    "mortar": "It lost nothing more over two days at 60 C, and I accept the risk of spalling",
}


def _example(example: str, /, **sections: Any) -> PlanTable:
    """An example with added keys; None removes a key or section, and a list of tables replaces the existing ones."""
    table: PlanTable = tomllib.loads((PROJECT / "examples" / f"{example}.toml").read_text(encoding="utf-8"))
    for section, keys in sections.items():
        if keys is None:
            table.pop(section, None)
        elif isinstance(keys, dict):
            under = table.setdefault(section, {})
            under |= keys
            table[section] = {key: value for key, value in under.items() if value is not None}
        else:
            table[section] = keys
    table.setdefault("pattern", {})["chord_error"] = "0.1 mm"
    return copy.deepcopy(table)


def hull_maker() -> Any:
    """The module `examples/make_hull.py`."""
    spec = importlib.util.spec_from_file_location("make_hull", PROJECT / "examples" / "make_hull.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


Made = tuple[PlanTable, dict[str, bytes]]


def _surface(change: Callable[[np.ndarray], np.ndarray], boat: dict[str, Any], **sections: Any) -> Made:
    maker = hull_maker()
    facets = change(maker.surface(60, 20))
    table = _example("larkmoss", boat={"offsets": None, "hull": "hull.stl", **boat}, **sections)
    return table, {"hull.stl": maker.stl(facets)}


RIG = {
    "lateral_z": "-165 mm",
    "force_coefficient": 1.1,
    "coefficient_source": "an invented rig",
    "heel_exponent": 1.8,
    "air_density": "1.2 kg/m3",
    "wind": "7 m/s",
    "leeway_limit": "2 deg",
    "full_size": 10,
}


def _whole_surface() -> Made:
    return _surface(
        lambda facets: facets,
        {"unit": "mm", "scale": 1, "waterline": "0 mm", "forward_end": "0 mm", "aft_end": "950 mm",
         "modelled": "whole", "aft_axis": "x", "up_axis": "z", "waterline_length": "950 mm"},
        rig=RIG,
        rudder={"mass": None, "density": "1.2 g/cm3"},
        fin={"overhang_forward": "90 mm", "overhang_aft": "90 mm"},
    )  # fmt: skip


def _scaled_surface() -> Made:
    # Ten times the size, seen from the other side: x runs forward.
    return _surface(
        lambda facets: (10.0 * facets * (-1.0, 1.0, 1.0))[:, ::-1],
        {"scale": 0.1, "aft_axis": "-x", "kind": "racing-model"},
        rudder=None,
        ribs={"plate_thickness": "3 mm", "plate_width": "12 mm", "plate_at": 0.1},
        rig={"full_size": None, "wind": None},
        fin={"mass": None, "density": None},
    )


def _flipped_surface() -> Made:
    return _surface(
        lambda facets: facets[:, ::-1],
        {"waterline_length": "900 mm"},
        rudder={"mass": None},
        weights=[{"name": "all of it", "mass": "1.5 kg", "x": "470 mm", "z": "60 mm", "state": "weighed"}],
        rig={"effort_z": "900 mm", "wind": "60 m/s"},
    )


def _open_surface() -> Made:
    return _surface(lambda facets: facets[: len(facets) - 300], {})


def _doubled_surface() -> Made:
    return _surface(lambda facets: np.concatenate([facets, facets[:40]]), {})


def _half_surface() -> Made:
    return _surface(lambda facets: facets[(facets[:, :, 1] >= 0.0).all(axis=1)], {"modelled": "half"})


def _wrong_unit() -> Made:
    return _surface(lambda facets: facets, {"unit": "cm"})


def _numbers() -> Made:
    return _example(
        "larkmoss",
        boat={"offsets": None, "hull_displacement": "3.9 kg", "waterline_length": "900 mm", "buoyancy_x": "480 mm",
              "buoyancy_z": "-24 mm", "waterplane_area": "1400 cm2", "flotation_x": "490 mm", "waterline_beam": "210 mm",
              "hull_draught": "60 mm", "freeboard": "62 mm", "metacentric_radius": "95 mm",
              "metacentric_radius_along": "1.6 m", "displacement_spread": "60 g", "kind": "small-craft",
              "accept_structure": ACCEPTS["structure"]},
        rudder=None,
        rig=None,
        weights=[
            {"name": "hull", "mass": "1.5 kg", "x": "470 mm", "y": "4 mm", "z": "10 mm", "state": "weighed",
             "spread": "5 g", "place_spread": "5 mm"},
            {"name": "spare lead", "mass": "500 g", "x": "480 mm", "y": "-2 mm", "z": "0 mm", "state": "to come",
             "movable_forward_to": "300 mm", "movable_aft_to": "640 mm", "can_stay_ashore": "yes"},
        ],
    ), {}  # fmt: skip


def _all_up() -> Made:
    return _example(
        "larkmoss",
        boat={"offsets": None, "displacement": "4.2 kg", "displacement_water": "1026 kg/m3", "displacement_spread": None,
              "reserve": "40 g", "kind": None, "waterplane_area": "1400 cm2", "waterplane_shape": "narrow-stern"},
        rudder=None,
        rig=None,
        weights=[
            {"name": "hull", "mass": "1.2 kg", "x": "unknown", "state": "weighed"},
            {"name": "all else", "mass": "500 g"},
        ],
        fin=dict.fromkeys(
            ("root_chord", "root_thickness", "root_leading_edge_x", "root_z", "tip_leading_edge_x", "tip_z",
             "overhang_forward", "overhang_aft")
        ),
    ), {}  # fmt: skip


def _plate() -> Made:
    return _example(
        "puddlejack", fin={"section": "plate", "edge_radius": "1.5 mm"}, pattern={"made": "55 cm3"}
    ), {}


def _calipers() -> Made:
    measured = {"4 mm": "3.1 mm", "15 mm": "5.0 mm", "32 mm": "3.6 mm", "49 mm": "0.9 mm"}
    return _example(
        "puddlejack", fin={"section": "measured", "measured": measured, "tip_thickness": None}
    ), {}


def _confident() -> Made:
    return _example(
        "fenwisp",
        confidence={"probability": "90 %", "scale": "0.5 g", "centre_within": "0.4 mm"},
        pattern={"made_by": "carved", "error": "0.3 mm", "contraction": "0.98 +- 0.2 %"},
    ), {}


def _thick_aft() -> Made:
    return _example(
        "fenwisp", fin={"max_at": 0.45}, pour={"feeding": "sleeved", "longest_tending": "15 min"}
    ), {}


def _slot() -> Made:
    slot = {"slot_width": "7.5 mm", "slot_length": "76 mm", "slot_depth": "7 mm", "slot_at": "-2 mm"}
    return _example("fenwisp", fin={**slot, "pocket_depth": None, "pocket_clearance": None}), {}


def _few_numbers() -> Made:
    return _example(
        "larkmoss",
        boat={"offsets": None, "hull_displacement": "3.9 kg", "waterline_length": "900 mm", "buoyancy_x": "480 mm",
              "freeboard": "5 mm", "kind": "small-craft", "accept_sinkage": "1 mm"},
        rudder=None,
        bulb={"target_mass": "4 kg"},
        mould={"material": "plaster", "kind": "open-halves", "drying": "air",
               "accept_bound_water": ACCEPTS["bound water"]},
        fin={"carry_at": 0.5, "carry_within": "100 mm"},
    ), {}  # fmt: skip


def _will_not_stand() -> Made:
    weights = [
        {"name": "fin", "mass": "300 g", "x": "500 mm", "z": "-150 mm", "state": "weighed"},
        {"name": "rudder", "mass": "40 g", "x": "900 mm", "z": "-60 mm", "state": "weighed"},
        {"name": "rig", "mass": "2.4 kg", "x": "470 mm", "z": "900 mm", "state": "estimated"},
    ]
    return _example("larkmoss", weights=weights, rig={"wind": "12 m/s"}, bulb={"target_mass": "600 g"}), {}


def _far_afloat() -> Made:
    return _example(
        "larkmoss",
        water={"kind": "salt"},
        bulb={"target_mass": "5.5 kg"},
        fin={"material": "wood", "carry_at": 0.3},
        rig={"leeway_limit": "1 deg", "wind": "9 m/s"},
        strength={"section": "given", "bending_stiffness": "20 N m2", "torsion_stiffness": "4 N m2",
                  "fore_and_aft_stiffness": "300 N m2", "largest_deflection": "5 mm", "largest_twist": "0.2 deg",
                  "vertical_grounding": 3},
        ribs={"count": 3, "skin": "4 mm", "plate_thickness": "1 mm"},
        resin={"shot_density": "9.5 g/cm3"},
        limits={"draught": "400 mm", "bulb_mass": "2 kg", "fin_with_bulb": "2.1 kg", "bulb_width": "40 mm",
                "bulb_length": "200 mm", "rule": "an invented rule"},
    ), {}  # fmt: skip


def _tube() -> Made:
    return _example(
        "saltmarrow",
        fin={"elastic_axis": 0.4, "density": None, "material": "laminate"},
        strength={"section": "tube-cored", "allowable": "30 MPa", "material": "laminate", "tube": "an invented mast tube",
                  "tube_outer": "34 mm", "tube_inner": "26 mm", "tube_at": 0.3, "tube_modulus": "110 GPa",
                  "tube_shear_modulus": "5 GPa", "tube_allowable": "400 MPa", "bearing_limit": "1 MPa",
                  "thread_in": "bonded"},
        limits=None,
    ), {}  # fmt: skip


def _wooden() -> Made:
    return _example(
        "saltmarrow",
        fin={"material": "wood", "density": "0.6 g/cm3"},
        strength={"section": None, "material": None, "modulus": None, "shear_modulus": None, "allowable": None,
                  "allowable_source": None, "largest_deflection": None, "largest_twist": None,
                  "thread_shear_allowable": None, "wood_specific_gravity": 0.5, "grain": "along the span",
                  "wood_moisture": "wet", "thread_in": "wood", "bearing_limit": "0.2 MPa"},
        limits={"fin_with_bulb": None, "rule": None, "bulb_width": "150 mm"},
        mould={"material": "plaster", "kind": "open-halves", "drying": "air"},
    ), {}  # fmt: skip


def _shop() -> Made:
    return _example(
        "fenwisp",
        fin={"pocket": "cored"},
        pattern={"contraction": "0.9 %", "mould_expansion": "-0.02 %", "density": "0.45 g/cm3"},
        parting={"plane": "vertical", "offset": "0 mm", "register": "keys", "dowel": "4 mm", "fit": "0.2 mm",
                 "draft": "1 deg", "print_length": "12 mm"},
        printer={"bed_length": "140 mm", "bed_width": "120 mm", "bed_height": "120 mm", "margin": "4 mm",
                 "position": "lying", "pieces": 3, "material": "PETG", "layer": "0.3 mm", "shell": "1.6 mm",
                 "infill": "15 %", "smallest_wall": "2 mm"},
        frame={"kind": "printed", "wall": "25 mm", "floor": "30 mm", "board": "6 mm", "key_diameter": "12 mm",
               "sprue_diameter": "18 mm", "sprue_at": "96 mm", "vent_diameter": "4 mm"},
        mould={"orientation": "on-edge", "core": "plaster"},
    ), {}  # fmt: skip


def _sheets() -> Made:
    return _example(
        "larkmoss",
        templates={"paper": "A3", "spacing": "25 mm", "turning_spacing": "10 mm"},
        ribs={"count": 5, "skin": "1 mm", "plate_thickness": "2 mm", "plate_width": "15 mm", "plate_at": 0.3},
        resin={"packing": "62 %", "packing_spread": "1.5 %", "shot_density": "11.1 g/cm3",
               "resin_density": "1.15 g/cm3", "spare": "12 %", "heat": "450 kJ/kg", "cure_time": "1 h",
               "room": "25 C", "highest_temperature": "40 C", "speed": "1.1 m/s"},
    ), {}  # fmt: skip


def _heaps() -> list[dict[str, Any]]:
    weighed = {"in_air": "512.0 g", "in_water": "466.4 g", "water_temperature": "20 C", "sample_porosity": "0.5 %",
               "reading_spread": "0.5 g"}  # fmt: skip
    return [
        {"kind": "ingot", "name": "ingots", "gross": "2 kg", "gross_spread": "20 g", "yield": "97 %",
         "yield_spread": "1 %", "density": "11.1 g/cm3", "density_spread": "0.05 g/cm3", "condition": "dry"},
        {"kind": "pipe", "gross": "1 kg", "composition": {"Pb": 97, "Sb": 3}, "condition": "dry"},
        {"kind": "stick-on-weights", "gross": "800 g", "weighed": weighed, "condition": "dry"},
        {"kind": "solder", "gross": "300 g", "yield": "unknown", "condition": "dry"},
    ]  # fmt: skip


def _plaster() -> Made:
    weighed = {"in_air": "512.0 g", "in_water": "466.4 g", "water_temperature": "18 C", "sample_porosity": "0.4 %",
               "reading_spread": "0.2 g"}  # fmt: skip
    return _example(
        "fenwisp",
        alloy={"grade": None, "weighed": weighed, "porosity": "1.2 %"},
        mould={"kind": "closed", "orientation": "tail-up", "split": "port-starboard", "wall": "30 mm", "floor": "30 mm",
               "cover": None, "foundry_from": "50 kg", "consistency": 62, "purity": "92 %", "purity_spread": "4 %",
               "sand": "25 %", "spare": "15 %", "bucket": "5 l", "reinforcement": "60 g", "drying": "air",
               "scale_spread": "5 g", "accept_bound_water": ACCEPTS["bound water"]},
        melt={"feeder": "900 g", "reserve": "15 %", "dross": "6 %"},
        scrap=_heaps(),
        pot={"fill": "70 %", "count": 2, "way": "ladle", "ladle": "900 g", "heel": "200 g", "lift": "8 kg"},
        other_pots=[{"capacity": "700 ml", "material": "steel", "mass": "1.2 kg", "fill": "60 %"}],
        lifting={"people": 2, "hoist": "60 kg"},
        burner={"efficiency": "20 %", "fuel_margin": "40 %"},
        pour={"temperature": "390 C", "mould_temperature": "60 C", "fill_time": "4 s", "discharge": 0.7,
              "feeder_diameter": "40 mm", "feeder_height": "60 mm", "accept_unknown_alloy": ACCEPTS["alloy"]},
    ), {}  # fmt: skip


def _sand(accept: str | None, **mould: Any) -> Made:
    plain = {"drying": None, "cover": None, "material": "sand", **mould}
    return _example(
        "fenwisp",
        mould=plain,
        alloy={"grade": "unknown"},
        scrap=[{"kind": "unknown", "gross": "12 kg", "condition": "dry" if accept else "closed"},
               {"kind": "battery", "gross": "1 kg"}],
        burner={"fuel": "electric", "fuel_on_hand": None},
        pot={"material": "steel", "way": "tap", "capacity": "12 kg", "mass": None},
        pour={"choke_diameter": "8 mm", "temperature": "520 C", "accept_unknown_alloy": accept},
    ), {}  # fmt: skip


def _own_profile() -> Made:
    x = np.linspace(0.0, 1.0, 41)
    r = 0.5 * np.sqrt(np.clip(1.0 - (2.0 * x - 1.0) ** 2, 0.0, None)) * (1.0 - 0.3 * x) + 0.06 * x
    rows = "x_mm,r_mm\n" + "".join(f"{200.0 * a:.3f},{40.0 * b:.4f}\n" for a, b in zip(x, r, strict=True))
    return _example(
        "puddlejack",
        water={"density": "1012 kg/m3"},
        bulb={"profile": "offsets", "offsets": "profile.csv", "smallest_wall": "2 mm", "mass_centre_x": "1 in",
              "incidence": "2 deg", "tail_diameter": "1 mm"},
        alloy={"grade": None, "composition": {"Pb": 94, "Sb": 5, "Sn": 1}},
        fin={"carry_at": None},
        cross_pins=[{"at": "1 in", "height": "4 mm", "diameter": "3 mm", "hole_diameter": "3.2 mm", "length": "30 mm",
                     "density": "7.8 g/cm3"}],
        studs=[{"at": "1.5 in", "diameter": "5 mm", "bore": "3 mm", "below": "9 mm", "above": "12 mm",
                "density": "8.5 g/cm3", "fill_density": "1.1 g/cm3"}],
        screws=[{"at": "0.5 in", "diameter": "3 mm", "hole_diameter": "3.4 mm", "head_diameter": "6 mm",
                 "head_height": "2 mm", "recess": "6 mm", "length": "30 mm", "hole": "cored", "density": "7.9 g/cm3",
                 "engagement": "8 mm", "pitch": "0.5 mm", "washer_diameter": "7 mm", "washer_thickness": "0.5 mm",
                 "washer_hole": "3.2 mm", "washer_density": "8.4 g/cm3"},
                {"at": "0.25 in", "size": "M2", "head": "socket", "length": "25 mm"}],
    ), {"profile.csv": rows.encode()}  # fmt: skip


def _foundry_work() -> Made:
    table = _example(
        "saltmarrow",
        bulb={"target_mass": "1.4 t"},
        mould={"material": "plaster", "kind": "open-halves", "drying": "baked", "oven": "300 C"},
        pot={"capacity": "6 l", "material": "aluminium", "mass": "4 kg", "way": "lift"},
        burner={"power": "3 kW", "fuel": "propane", "fuel_on_hand": "1 kg", "efficiency": "70 %"},
        resin={"cure_time": "30 min"},
    )
    table["screws"][0]["recess"] = "400 mm"
    table["screws"][1]["recess"] = "315 mm"
    return table, {}


# Of the foundry, and what stops the work


def _dry() -> Made:
    """Mould for the log of `_dried`, in which the mass falls and the mould passes as dry."""
    return _example("fenwisp", mould={"cover": None}, scrap=None, pot=None, burner=None, pour=None), {}


def _mortared() -> Made:
    """Mould of cement mortar with its risk accepted, poured as open halves."""
    mould = {
        "material": "mortar",
        "kind": "open-halves",
        "drying": None,
        "cover": None,
        "accept_mortar": ACCEPTS["mortar"],
    }
    return _example("fenwisp", mould=mould), {}


def _stops() -> Made:
    table = _example(
        "fenwisp",
        bulb={"fineness": None, "length": "160 mm", "tail_diameter": "2 mm"},
        fin={"tip_chord": "300 mm", "tip_thickness": "46 mm", "pocket_depth": "30 mm"},
        alloy={"grade": None, "density": "9.2 g/cm3"},
        pattern={"coat": "4 mm", "finish": "0 mm"},
        resin={},
    )
    table["screws"][0]["recess"] = "90 mm"
    table["screws"][1]["recess"] = "38 mm"
    return table, {}


def _weak_root() -> Made:
    return _example(
        "saltmarrow",
        bulb={"target_mass": "100 kg"},
        fin={"rake": "25 deg", "tip_thickness": "30 mm"},
        strength={"allowable": "20 MPa", "allowable_source": None, "vertical_grounding": 1},
        limits=None,
    ), {}


def _through_and_parted() -> Made:
    return _example(
        "osierling",
        display_units="imperial",
        mould={
            "material": "plaster",
            "drying": "air",
            "core": "sand",
            "box_length": "18 in",
            "box_width": "7 in",
            "box_height": "7 in",
        },
        pot={"capacity": "1 l", "material": "thin-can", "mass": "200 g"},
        scrap=[
            {"kind": "wheel-weights-unsorted", "gross": "9 kg", "condition": "wet"},
            {"kind": "linotype", "gross": "5 kg"},
        ],
        parting={"register": "none", "draft": "0.2 deg"},
        frame={"kind": "boards"},
        printer={"material": "PLA", "position": "standing", "layer": "1 mm"},
    ), {}


MADE: dict[str, Callable[[], Made]] = {
    "whole-surface": _whole_surface,
    "scaled-surface": _scaled_surface,
    "flipped-surface": _flipped_surface,
    "open-surface": _open_surface,
    "doubled-surface": _doubled_surface,
    "half-surface": _half_surface,
    "wrong-unit": _wrong_unit,
    "numbers": _numbers,
    "few-numbers": _few_numbers,
    "all-up": _all_up,
    "plate": _plate,
    "calipers": _calipers,
    "thick-aft": _thick_aft,
    "slot": _slot,
    "confident": _confident,
    "will-not-stand": _will_not_stand,
    "far-afloat": _far_afloat,
    "tube": _tube,
    "wooden": _wooden,
    "shop": _shop,
    "sheets": _sheets,
    "plaster": _plaster,
    "oil-sand": lambda: _sand(ACCEPTS["alloy"], sand_kind="oil-bonded", cured_at="210 C", cured_for="3 h"),
    "dried-sand": lambda: _sand(None, sand_kind="dried", sand_moisture="0.4 %", orientation="nose-up"),
    "own-profile": _own_profile,
    "foundry": _foundry_work,
    "through": _through_and_parted,
    "dry": _dry,
    "mortared": _mortared,
    "stops": _stops,
    "weak-root": _weak_root,
}
