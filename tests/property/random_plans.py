"""Random plans, reproducible from a seed; together they use every section whose findings name a fix.

A plan is a dict of sections, with each value as in the file: a string for a quantity or a word, a number for a
bare number. Sizes are in proportion to the bulb's diameter, so most plans are nearly sound. Now and then a figure is
far off, so that most checks find something.
"""

from __future__ import annotations

import random
from typing import Any

from bulbcast.quantities import Dimension, read_quantity

Section = dict[str, Any]
PlanTable = dict[str, Any]

METAL = ("pure", "sheet", "antimonial-2", "antimonial-4", "antimonial-6", "wheel-weights", "linotype")


def plan_text(table: PlanTable) -> str:
    """The plan as the text of a file."""
    lines = [f"{key} = {_value(value)}" for key, value in table.items() if not isinstance(value, dict | list)]
    for name, section in table.items():
        if isinstance(section, list):
            for one in section:
                lines += [f"[[{name}]]", *_lines(one)]
        elif isinstance(section, dict):
            lines += [f"[{name}]", *_lines(section)]
    return "\n".join(lines) + "\n"


def _lines(section: Section) -> list[str]:
    return [
        f"{key if key.isidentifier() else _value(key)} = {_value(value)}" for key, value in section.items()
    ]


def _value(value: Any) -> str:
    if isinstance(value, str):
        return f'"{value}"'
    if isinstance(value, dict):
        return "{" + ", ".join(_lines(value)) + "}"
    return f"{value:g}" if isinstance(value, float) else str(value)


class _Draw:
    """Random values for one plan."""

    def __init__(self, seed: int) -> None:
        self.random = random.Random(seed)
        self.imperial = self.chance(0.25)

    def chance(self, share: float) -> bool:
        return self.random.random() < share

    def among(self, *words: Any) -> Any:
        return self.random.choice(words)

    def between(self, low: float, high: float) -> float:
        return self.random.uniform(low, high)

    def around(self, value: float, off: float = 0.35) -> float:
        """A number near a value, but far from it one time in five."""
        if self.chance(0.2):
            return value * self.between(0.3, 2.2)
        return value * self.between(1.0 - off, 1.0 + off)

    def length(self, metres: float) -> str:
        if self.imperial:
            return f"{_digits(max(metres / 0.0254, 0.01))} in"
        return f"{_digits(max(1e3 * metres, 0.1))} mm"

    def below(self, metres: float) -> str:
        return f"-{self.length(metres)}"

    def mass(self, kilograms: float) -> str:
        if self.imperial:
            return f"{_digits(kilograms / 0.45359237)} lb"
        return f"{_digits(1e3 * kilograms)} g" if kilograms < 1.0 else f"{_digits(kilograms)} kg"


def _digits(value: float) -> str:
    """A number with four digits and no exponent."""
    return f"{float(f'{value:.4g}'):.10f}".rstrip("0").rstrip(".")


def random_plan(seed: int) -> PlanTable:
    """A random plan.

    Args:
        seed: Seed; equal seeds give equal plans. [-]
    """
    draw = _Draw(seed)
    mass = 10.0 ** draw.between(-0.5, 2.1)
    fineness = draw.between(3.5, 9.0)
    diameter = (mass / (5500.0 * fineness)) ** (1.0 / 3.0)
    length = fineness * diameter
    through = draw.chance(0.12)
    table: PlanTable = {"display_units": "imperial" if draw.imperial else "metric"}
    table["bulb"] = _bulb(draw, mass, fineness, diameter, length)
    table["alloy"] = _alloy(draw)
    chord, thickness, depth = _fin(draw, table, diameter, length, through)
    _joint(draw, table, diameter, chord, thickness, depth, through)
    table["pattern"] = _pattern(draw, diameter)
    _shop(draw, table, diameter, length)
    _foundry(draw, table, mass)
    if draw.chance(0.3):
        _limits(draw, table, mass, diameter, length)
    if draw.chance(0.35):
        _strength(draw, table, mass, thickness, chord, length)
    # A root made thicker displaces more and asks for another bulb: fins under load go with bulbs of their own mass.
    if draw.chance(0.3) and not through and "root_chord" not in table["fin"]:
        _boat(draw, table, mass)
    return table


def _metres(text: str) -> float:
    return read_quantity(text, Dimension.LENGTH)


def _bulb(draw: _Draw, mass: float, fineness: float, diameter: float, length: float) -> Section:
    bulb: Section = {"target_mass": draw.mass(mass)}
    given = draw.among("fineness", "fineness", "length", "diameter")
    bulb |= {
        "fineness": {"fineness": round(fineness, 2)},
        "length": {"length": draw.length(length * draw.between(0.9, 1.1))},
        "diameter": {"diameter": draw.length(diameter * draw.between(0.92, 1.08))},
    }[given]
    if draw.chance(0.3):
        bulb["profile"] = draw.among("spheroid", "sears-haack")
    if draw.chance(0.3):
        bulb["width_to_height"] = round(draw.between(0.8, 1.6), 2)
    if draw.chance(0.4):
        bulb["tail_diameter"] = draw.length(draw.around(max(0.08 * diameter, 0.0025)))
    if draw.chance(0.5):
        bulb["skin"] = draw.length(draw.between(0.0001, 0.0006))
    if draw.chance(0.3):
        bulb["smallest_wall"] = draw.length(draw.around(0.06 * diameter))
    return bulb


def _alloy(draw: _Draw) -> Section:
    if draw.chance(0.12):
        return {"density": f"{draw.between(10.2, 11.3):.2f} g/cm3"}
    return {"grade": "unknown" if draw.chance(0.08) else draw.among(*METAL)}


def _fin(
    draw: _Draw, table: PlanTable, diameter: float, length: float, through: bool
) -> tuple[float, float, float]:
    chord = draw.around(0.28 * length, 0.25)
    thickness = chord * draw.between(0.08, 0.14)
    depth = draw.around(0.14 * diameter, 0.4)
    fin: Section = {
        "tip_chord": draw.length(chord),
        "tip_thickness": draw.length(thickness),
        "tip_z": draw.below(3.5 * length),
        "carry_at": round(draw.between(0.3, 0.5), 2),
    }
    if draw.chance(0.7):
        fin["material"] = draw.among("metal", "metal", "wood", "laminate")
    if through:
        fin |= {"joint": "through", "bond_line": "0.2 mm"}
    else:
        fin["pocket_depth"] = "0 mm" if draw.chance(0.05) else draw.length(depth)
    if through or draw.chance(0.25):
        fin["pocket"] = "cored"
    if draw.chance(0.3):
        fin["rake"] = f"{draw.between(-6.0, 8.0):.1f} deg"
    table["fin"] = fin
    return chord, thickness, depth


def _joint(
    draw: _Draw,
    table: PlanTable,
    diameter: float,
    chord: float,
    thickness: float,
    depth: float,
    through: bool,
) -> None:
    if not through and draw.chance(0.8):
        count = draw.among(1, 2, 2, 2, 2, 3)
        table["screws"] = [
            _screw(draw, (number + 0.5) / count, diameter, chord, thickness, depth) for number in range(count)
        ]
    if through or draw.chance(0.12):
        bore = draw.around(0.09 * diameter)
        table["cross_pins"] = [
            {
                "at": draw.length(draw.between(0.05, 0.95) * chord),
                "height": draw.length(draw.around(0.45 * diameter if through else 0.5 * depth)),
                "diameter": draw.length(bore),
                "length": draw.length(draw.around(0.75 * diameter)),
            }
            for _ in range(draw.among(1, 2, 3))
        ]
    if not through and draw.chance(0.15):
        size = draw.around(0.7 * thickness)
        table["studs"] = [
            {
                "at": draw.length(draw.between(0.1, 0.7) * chord),
                "diameter": draw.length(size),
                "below": draw.length(draw.around(min(4.5 * size, 0.5 * diameter))),
                "above": draw.length(draw.around(4.0 * size)),
            }
            for _ in range(draw.among(1, 2))
        ]


def _screw(
    draw: _Draw, share: float, diameter: float, chord: float, thickness: float, depth: float
) -> Section:
    # Each in its own part of the chord, though one in eight strays: then recesses meet.
    place = draw.between(0.05, 0.9) if draw.chance(0.12) else 0.1 + 0.65 * share + draw.between(-0.06, 0.06)
    size = max(draw.around(0.6 * thickness, 0.25), 0.001)
    head = draw.around(1.8 * size, 0.2)
    recess = draw.around(0.3 * diameter)
    hole = size * draw.between(1.05, 1.2)
    screw: Section = {
        "at": draw.length(place * chord),
        "diameter": draw.length(size),
        "hole_diameter": draw.length(hole),
        "head_diameter": draw.length(max(head, 1.3 * hole)),
        "head_height": draw.length(draw.around(0.7 * size)),
        "recess": draw.length(recess),
        "length": draw.length(draw.around(0.9 * diameter - depth - recess + 4.0 * size)),
    }
    if draw.chance(0.25):
        screw["washer_diameter"] = draw.length(max(head, 1.3 * hole) * draw.between(1.05, 1.6))
        screw["washer_thickness"] = draw.length(0.25 * size)
    if draw.chance(0.1):
        screw["hole"] = "cored"
    return screw


def _pattern(draw: _Draw, diameter: float) -> Section:
    pattern: Section = {}
    if draw.chance(0.4):
        pattern["finish"] = draw.length(draw.around(0.006 * diameter))
    if draw.chance(0.4):
        pattern["coat"] = "0 mm" if draw.chance(0.4) else draw.length(draw.between(0.00005, 0.0005))
    return pattern


def _shop(draw: _Draw, table: PlanTable, diameter: float, length: float) -> None:
    if draw.chance(0.3):
        table["parting"] = {"plane": draw.among("horizontal", "vertical", "none")}
        if draw.chance(0.2) and table["parting"]["plane"] != "none":
            table["parting"]["offset"] = draw.length(draw.between(0.0, 1.2) * diameter)
    if draw.chance(0.3):
        printer: Section = {
            "bed_length": draw.length(draw.around(max(0.6 * length, 0.06))),
            "bed_width": draw.length(max(draw.around(2.0 * diameter), 0.05)),
            "bed_height": draw.length(max(draw.around(0.5 * length), 0.05)),
            "material": draw.among("PLA", "PETG", "ABS"),
        }
        if draw.chance(0.6):
            printer |= {"pieces": draw.among(1, 2, 3, 4), "position": draw.among("lying", "standing")}
        table["printer"] = printer
    if draw.chance(0.25):
        frame: Section = {"kind": draw.among("boards", "printed")}
        if draw.chance(0.4):
            frame["key_diameter"] = draw.length(max(draw.around(0.3 * diameter), 0.004))
        if draw.chance(0.4):
            frame["sprue_at"] = draw.length(draw.between(-0.2, 1.3) * length)
        table["frame"] = frame


def _mould(draw: _Draw, diameter: float, cored: bool) -> Section:
    mould: Section = {"material": draw.among("plaster", "plaster", "plaster", "sand")}
    halves = draw.chance(0.2) and not cored
    if halves:
        mould["kind"] = "open-halves"
    elif draw.chance(0.4):
        mould["orientation"] = draw.among("lying", "on-edge", "nose-up", "tail-up")
    if mould["material"] == "sand":
        mould["sand_kind"] = draw.among("oil-bonded", "dried")
        if mould["sand_kind"] == "dried" and draw.chance(0.5):
            mould["sand_moisture"] = f"{draw.between(0.05, 1.0):.2f} %"
    else:
        if draw.chance(0.8):
            mould["drying"] = draw.among("baked", "baked", "air")
        if mould.get("drying") == "baked" and draw.chance(0.3):
            mould["oven"] = f"{draw.between(90.0, 260.0):.0f} C"
        if draw.chance(0.2):
            mould["consistency"] = round(draw.between(45.0, 110.0))
    for leaf in ("wall", "floor", "cover"):
        if draw.chance(0.25) and not (leaf == "cover" and halves):
            mould[leaf] = draw.length(max(draw.around(0.02 + 0.2 * diameter), 0.006))
    return mould


def _foundry(draw: _Draw, table: PlanTable, mass: float) -> None:
    diameter = (mass / 30000.0) ** (1.0 / 3.0)
    cored = table["fin"].get("pocket") == "cored" or any(
        one.get("hole") == "cored" for one in table.get("screws", ())
    )
    if draw.chance(0.6):
        table["mould"] = _mould(draw, diameter, cored)
        if cored and draw.chance(0.5):
            table["mould"]["core"] = draw.among("plaster", "steel", "sand")
    charge = mass * draw.between(1.2, 2.2)
    if draw.chance(0.4):
        table["scrap"] = _scrap(draw, charge)
    if draw.chance(0.5):
        way = draw.among("lift", "ladle", "ladle", "tap")
        pot: Section = {
            "capacity": draw.mass(draw.around(1.3 * charge))
            if draw.chance(0.5)
            else f"{_digits(draw.around(1.4 * charge) / 10.5)} l",
            "material": draw.among("cast-iron", "steel", "steel", "stainless", "aluminium", "thin-can"),
            "mass": draw.mass(max(0.25 * charge, 0.3)),
            "way": way,
        }
        if draw.chance(0.25):
            pot["count"] = draw.among(1, 2, 3)
        if way == "ladle" and draw.chance(0.3):
            pot["ladle"] = draw.mass(max(draw.around(0.4 * charge), 0.05))
        table["pot"] = pot
    if draw.chance(0.5):
        burner: Section = {"power": f"{_digits(max(draw.around(1.0 + 0.25 * charge), 0.2))} kW"}
        if draw.chance(0.2):
            burner["efficiency"] = f"{draw.between(2.0, 60.0):.0f} %"
        if draw.chance(0.7):
            burner |= {"fuel": draw.among("propane", "butane", "paraffin")}
            burner["fuel_on_hand"] = draw.mass(draw.around(0.02 * charge + 0.05))
        table["burner"] = burner
    pour: Section = {}
    if draw.chance(0.3):
        pour["temperature"] = f"{draw.between(300.0, 520.0):.0f} C"
    if draw.chance(0.25):
        pour["mould_temperature"] = f"{draw.between(10.0, 120.0):.0f} C"
    if "mould" in table and draw.chance(0.3):
        pour |= draw.among(
            {"choke_diameter": draw.length(max(draw.around(0.06 * diameter), 0.0015))},
            {"fill_time": f"{draw.between(1.0, 25.0):.1f} s"},
        )
    if "mould" in table and draw.chance(0.35):
        pour["feeder_diameter"] = draw.length(max(draw.around(0.8 * diameter), 0.004))
        if draw.chance(0.6):
            pour["feeder_height"] = draw.length(max(draw.around(1.2 * diameter), 0.006))
    if pour:
        table["pour"] = pour
    if draw.chance(0.3):
        table["melt"] = {"feeder": draw.mass(draw.around(0.3 * mass))}


def _scrap(draw: _Draw, charge: float) -> list[Section]:
    kinds = ("sheet", "pipe", "cable-sheath", "wheel-weights", "wheel-weights-unsorted", "shot", "ingot")
    lots: list[Section] = []
    for _ in range(draw.among(1, 2, 3)):
        odd = draw.chance(0.12)
        lot: Section = {"kind": draw.among("unknown", "battery", "linotype") if odd else draw.among(*kinds)}
        lot["gross"] = draw.mass(draw.around(charge) / draw.among(1, 2, 3))
        if draw.chance(0.75):
            lot["condition"] = draw.among("dry", "dry", "dry", "dry", "wet", "closed")
        lots.append(lot)
    return lots


def _limits(draw: _Draw, table: PlanTable, mass: float, diameter: float, length: float) -> None:
    figures = {
        "draught": draw.length(3.5 * length + 0.9 * diameter * draw.between(0.9, 1.2)),
        "bulb_mass": draw.mass(mass * draw.between(0.9, 1.2)),
        "bulb_width": draw.length(1.05 * diameter * draw.between(0.85, 1.3)),
        "bulb_length": draw.length(length * draw.between(0.85, 1.3)),
    }
    names = draw.random.sample(sorted(figures), draw.among(1, 2))
    table["limits"] = {name: figures[name] for name in names}


def _strength(
    draw: _Draw, table: PlanTable, mass: float, thickness: float, chord: float, length: float
) -> None:
    strength: Section = {}
    if draw.chance(0.75):
        table["fin"] |= {
            "root_chord": draw.length(1.2 * chord),
            "root_thickness": draw.length(1.25 * thickness),
            "root_leading_edge_x": draw.below(0.001 + 0.1 * chord),
            "root_z": draw.below(0.8 * length),
            "density": "2.7 g/cm3",
        }
        strength |= {"section": "solid", "material": "plate", "modulus": "70 GPa", "shear_modulus": "26 GPa"}
        # Stress by the bulb's weight at the root of a plate of this thickness, near enough.
        stress = mass * 9.81 * 2.8 * length / (0.11 * chord * thickness**2)
        strength["allowable"] = f"{_digits(1e-6 * draw.around(0.8 * stress))} MPa"
        if draw.chance(0.5):
            strength["largest_deflection"] = draw.length(draw.around(0.05 * length))
        if draw.chance(0.5):
            strength["largest_twist"] = f"{draw.between(0.05, 2.0):.2f} deg"
        if draw.chance(0.4):
            strength |= {
                "vertical_grounding": round(draw.between(0.5, 4.0), 1),
                "longitudinal_grounding": round(draw.between(0.5, 4.0), 1),
                "grounded_mass": draw.mass(3.0 * mass),
            }
    if "screws" not in table:
        table |= {"strength": strength} if strength else {}
        return
    for screw in table["screws"]:
        screw["pitch"] = draw.length(0.17 * _metres(screw["diameter"]))
    if draw.chance(0.6):
        strength["bearing_limit"] = f"{draw.between(0.2, 2.0):.2f} MPa"
    if draw.chance(0.5):
        strength["tightened_to"] = f"{_digits(draw.around(2.0 * mass * 9.81))} N"
    if draw.chance(0.4):
        strength["screw_allowable"] = f"{draw.between(5.0, 120.0):.0f} MPa"
    if draw.chance(0.4):
        strength["thread_shear_allowable"] = f"{draw.between(0.3, 20.0):.1f} MPa"
    table["strength"] = strength


def _boat(draw: _Draw, table: PlanTable, mass: float) -> None:
    # A boat whose own line asks for about this bulb; half of the plans keep the mass they gave.
    total = mass / draw.between(0.35, 0.6)
    waterline = 0.62 * total ** (1.0 / 3.0)
    x = 0.5 * waterline
    if "overhang" not in table["fin"]:
        table["fin"] |= {"mass": draw.mass(0.08 * total)}
        table["fin"].pop("density", None)
    table["boat"] = {
        "hull_displacement": draw.mass(0.93 * total),
        "waterline_length": draw.length(waterline),
        "buoyancy_x": draw.length(1.02 * x),
        "buoyancy_z": draw.below(0.03 * waterline),
        "waterplane_area": f"{_digits(1e4 * 0.16 * waterline**2)} cm2",
        "flotation_x": draw.length(1.04 * x),
        "metacentric_radius": draw.length(draw.around(0.1 * waterline)),
        "metacentric_radius_along": draw.length(1.7 * waterline),
    }
    table["weights"] = [
        {
            "name": "hull and gear",
            "mass": draw.mass(0.9 * total - mass),
            "x": draw.length(draw.between(0.96, 1.08) * x),
            "z": draw.length(0.02 * waterline),
            "state": "weighed",
        }
    ]
    table["fin"]["tip_leading_edge_x"] = draw.length(draw.between(0.85, 1.02) * x)
    if draw.chance(0.6):
        table["bulb"].pop("target_mass")
    if draw.chance(0.6):
        table["fin"].pop("carry_at")
