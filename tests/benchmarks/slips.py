"""Count how many mistakes seeded into sound plans are reported, and how many sound plans give a false alarm.

    python tests/benchmarks/slips.py 2000 200

The boats are random, 0.3 to 6 m long, with consistent figures and with weights as a builder lists them. Each slip is at
least as large as the smallest that `ballast/slips.py` gives for its kind. A slip counts as reported if one of its
cautions is reported, or if a fault is reported at the key where it was seeded.
"""

from __future__ import annotations

import copy
import random
import sys
from collections.abc import Callable
from typing import Any

from bulbcast.ballast.slips import check_slips
from bulbcast.ballast.start import boat_start
from bulbcast.ballast.work import boat_job
from bulbcast.bulb.hung.solve import NoSolutionError
from bulbcast.bulb.hung.wishes import alloy_of, profile_of, wish_of
from bulbcast.hull.estimate import SHAPES
from bulbcast.hull.read import hull_of_numbers
from bulbcast.plan.faults import PlanError
from bulbcast.plan.reading import read_plan_table
from bulbcast.quantities import Shown

Table = dict[str, Any]
Seeded = tuple[str, Table, tuple[str, ...]]
WATER = 999.10


def mm(metres: float) -> str:
    return f"{1e3 * metres:.3f} mm"


def grams(kilograms: float) -> str:
    return f"{1e3 * kilograms:.3f} g"


def sound(chance: random.Random) -> Table:
    """A boat with consistent displacement, waterplane and BM, and with weights and positions that the fin can balance."""
    length = 10.0 ** chance.uniform(-0.5, 0.75)
    beam = length * chance.uniform(0.16, 0.32)
    shape = SHAPES[chance.choice(list(SHAPES))]
    area = chance.uniform(0.62, 0.80) * length * beam
    displaced = WATER * area * length * chance.uniform(0.028, 0.045)
    bulb = displaced * chance.uniform(0.28, 0.66)
    others = displaced - bulb
    centre = length * chance.uniform(0.48, 0.56)
    shares = {
        "hull and deck": 0.46,
        "rig and sails": 0.17,
        "battery": 0.09,
        "gear": 0.13,
        "fin": 0.11,
        "rudder": 0.04,
    }
    places = {
        "hull and deck": 0.51,
        "rig and sails": 0.43,
        "battery": 0.5,
        "gear": 0.56,
        "fin": 0.5,
        "rudder": 0.93,
    }
    levels = {
        "hull and deck": 0.02,
        "rig and sails": 0.62,
        "battery": -0.02,
        "gear": 0.0,
        "fin": -0.15,
        "rudder": -0.05,
    }
    parts = {name: share * chance.uniform(0.8, 1.25) for name, share in shares.items()}
    total = sum(parts.values())
    weights = [
        {
            "name": name,
            "mass": grams(others * part / total),
            "x": mm(length * (places[name] + chance.uniform(-0.03, 0.03))),
            "z": mm(length * levels[name] * chance.uniform(0.8, 1.2)),
            "state": chance.choice(["weighed", "estimated"]),
        }
        for name, part in parts.items()
    ]
    # As a builder would set her fin: where the bulb balances her, give or take.
    moment = sum(float(one["mass"][:-2]) * float(one["x"][:-3]) for one in weights) * 1e-6
    wanted = (displaced * centre - moment) / bulb
    chord, off = 0.09 * length, chance.uniform(-0.06, 0.06) * length
    level = -chance.uniform(0.3, 0.42) * length
    volume = 0.93 * displaced / WATER
    boat = {
        "displacement": grams(displaced),
        "buoyancy_x": mm(centre),
        "waterline_length": mm(length),
        "waterline_beam": mm(beam),
        "waterplane_area": f"{1e4 * area:.4f} cm2",
        "metacentric_radius": mm(chance.uniform(0.052, 0.070) * area * beam**2 / volume),
        "metacentric_radius_along": mm(
            shape.inertia * chance.uniform(0.87, 1.13) * area * length**2 / volume
        ),
    }
    return {
        "name": "drawn",
        "boat": {key: value for key, value in boat.items() if key in ("displacement", "waterline_length", "buoyancy_x")
                 or chance.random() < 0.8},
        "weights": weights,
        "bulb": {"fineness": chance.uniform(4.5, 8.0)},
        "alloy": {"grade": chance.choice(["pure", "sheet", "antimonial-2"])},
        "fin": {
            "tip_chord": mm(chord),
            "tip_thickness": mm(0.1 * chord),
            "tip_leading_edge_x": mm(wanted - 0.4 * chord + off),
            "tip_z": mm(level),
            "root_chord": mm(1.2 * chord),
            "root_thickness": mm(0.12 * chord),
            "root_leading_edge_x": mm(wanted - 0.5 * chord + off),
            "root_z": mm(-0.05 * length),
        },
    }  # fmt: skip


def scaled(text: str, factor: float) -> str:
    figure, _, unit = text.partition(" ")
    return f"{float(figure) * factor:.6f} {unit}"


def twice(chance: random.Random, plan: Table) -> Seeded:
    line = copy.deepcopy(chance.choice(plan["weights"]))
    if chance.random() < 0.5:
        line["name"] = line["name"].upper() + " "
    plan["weights"].append(line)
    return "weight twice", plan, ("weight-twice", "fault:weights")


def off_boat(chance: random.Random, plan: Table) -> Seeded:
    line = chance.choice(plan["weights"])
    length = float(plan["boat"]["waterline_length"][:-3]) * 1e-3
    if chance.random() < 0.5:
        line["x"] = mm(length * chance.choice([chance.uniform(-1.0, -0.17), chance.uniform(1.17, 10.0)]))
    else:
        line["z"] = mm(length * chance.uniform(1.9, 10.0))
    return "weight off boat", plan, ("weight-off-boat",)


def wrong_end(chance: random.Random, plan: Table) -> Seeded:
    length = float(plan["boat"]["waterline_length"][:-3])
    masses = [float(one["mass"][:-2]) for one in plan["weights"]]
    x = [float(one["x"][:-3]) for one in plan["weights"]]
    bulb = float(plan["boat"]["displacement"][:-2]) - sum(masses)
    moved = (length * sum(masses) - 2.0 * sum(m * at for m, at in zip(masses, x, strict=True))) / bulb
    # The seed is as large as stated: the bulb goes from near the tip to a sixth of her length off and more.
    least, way = 0.17 * length, 1.0 if moved > 0.0 else -1.0
    shift = max(0.0, least - abs(moved)) * way * bulb / (2.0 * sum(masses))
    for one in plan["weights"]:
        one["x"] = mm(1e-3 * (length - float(one["x"][:-3]) + shift))
    for key in ("tip_leading_edge_x", "root_leading_edge_x"):
        plan["fin"][key] = mm(1e-3 * (float(plan["fin"][key][:-3]) + shift * sum(masses) / bulb))
    return "x from wrong end", plan, ("x-from-wrong-end",)


def waterplane(chance: random.Random, plan: Table) -> Seeded:
    length, beam = (float(plan["boat"].setdefault(key, mm(0.22 * float(
        plan["boat"]["waterline_length"][:-3]) * 1e-3))[:-3]) for key in ("waterline_length", "waterline_beam"))  # fmt: skip
    share = chance.choice([chance.uniform(0.05, 0.49), chance.uniform(0.93, 10.0)])
    plan["boat"]["waterplane_area"] = f"{share * length * beam / 100.0:.4f} cm2"
    for key in ("metacentric_radius", "metacentric_radius_along"):
        plan["boat"].pop(key, None)
    return "waterplane area", plan, ("waterplane-unlikely", "fuller-than-box")


def radius(chance: random.Random, plan: Table) -> Seeded | None:
    key = chance.choice(["metacentric_radius", "metacentric_radius_along"])
    if (
        key not in plan["boat"]
        or "waterplane_area" not in plan["boat"]
        or "waterline_beam" not in plan["boat"]
    ):
        return None
    # Twice or half what such a waterplane has, as stated; drawn from a middling one, the seed lies a fifth beyond.
    factor = chance.choice([chance.uniform(0.05, 0.4), chance.uniform(2.5, 20.0)])
    plan["boat"][key] = scaled(plan["boat"][key], factor)
    return "BM", plan, ("metacentric-radius-unlikely",)


def ounces(chance: random.Random, plan: Table) -> Seeded:
    line = max(plan["weights"], key=lambda one: float(one["mass"][:-2])) if chance.random() < 0.5 else chance.choice(
        [one for one in plan["weights"] if one["name"] != "rudder"])  # fmt: skip
    line["mass"] = line["mass"].replace(" g", " oz")
    return "ounces for grams", plan, ("weight-unit-doubtful", "fault:weights")


def seas(chance: random.Random, plan: Table) -> Seeded:
    plan["boat"]["displacement_water"] = chance.choice(["1026 kg/m3", "1.025 g/cm3"])
    return "salt against fresh", plan, ("water-differs",)


def absurd(chance: random.Random, plan: Table) -> Seeded:
    others = sum(float(one["mass"][:-2]) for one in plan["weights"])
    factor = chance.choice([chance.uniform(0.2, 1.12), chance.uniform(5.2, 40.0)])
    plan["boat"]["displacement"] = f"{others * factor:.3f} g"
    for key in ("metacentric_radius", "metacentric_radius_along"):
        plan["boat"].pop(key, None)
    return "displacement", plan, ("displacement-doubtful", "fault:boat.displacement")


SLIPS: tuple[Callable[[random.Random, Table], Seeded | None], ...] = (
    twice, off_boat, wrong_end, waterplane, radius, ounces, seas, absurd,
)  # fmt: skip


def reported(table: Table) -> set[str]:
    """Codes of the slips reported for a plan; a fault is given as "fault:" with its key."""
    try:
        plan = read_plan_table(table, source="drawn.toml", sha256="")
        alloy = alloy_of(plan)
        start = boat_start(
            plan, hull_of_numbers(plan), lead_density=alloy.density * (1.0 - plan.alloy.porosity)
        )
        try:
            boat = boat_job(plan, start, wish_of(plan, profile_of(plan), alloy, start.closed_form))
        except NoSolutionError:
            from bulbcast.ballast.shares import doubts_of_shares

            doubts = doubts_of_shares(plan, plan.water.density * start.rest.volume, start.weigh_in.mass)
            return {f"fault:{one.key}" for one in doubts} | {"no solution"}
    except PlanError as error:
        return {f"fault:{one.key}" for one in error.faults} | {
            "fuller-than-box" for one in error.faults if "is more than" in one.read
        }
    assert plan.boat is not None
    return {one.code for one in check_slips(plan, plan.boat, boat, Shown("metric"))}


def seeded(count: int, seed: int = 4) -> list[Seeded]:
    """Plans with one slip each, with all kinds equally frequent."""
    chance = random.Random(seed)
    found: list[Seeded] = []
    while len(found) < count:
        made = SLIPS[len(found) % len(SLIPS)](chance, sound(chance))
        if made is not None:
            found.append(made)
    return found


def is_reported(slip: Seeded) -> bool:
    """Whether the report on a plan names its slip."""
    said = reported(slip[1])
    return any(one.startswith(wanted) for one in said for wanted in slip[2])


def accused(count: int, seed: int = 5) -> list[set[str]]:
    """Slips wrongly reported for sound plans, one set for each plan concerned."""
    chance = random.Random(seed)
    return [said for _ in range(count) if (said := reported(sound(chance)))]


def main() -> None:
    """Print how many of each kind are reported, and how many sound plans give a false alarm."""
    plans, slips = (int(one) for one in (sys.argv[1:] + ["2000", "200"][len(sys.argv) - 1 :])[:2])
    kinds: dict[str, list[bool]] = {}
    for slip in seeded(slips):
        kinds.setdefault(slip[0], []).append(is_reported(slip))
    for kind, ok in kinds.items():
        print(f"{kind}: {sum(ok)} of {len(ok)}")
    every = [one for ok in kinds.values() for one in ok]
    print(f"reported: {sum(every)} of {len(every)}")
    wrong = accused(plans)
    print(f"accused: {len(wrong)} of {plans} sound plans")
    for said in wrong[:10]:
        print("  ", sorted(said))


if __name__ == "__main__":
    main()
