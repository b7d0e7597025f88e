"""Time for which the mould must be left alone, relative to the simulation's upper bound. Run by hand:

python tests/benchmarks/bench_leave_alone.py table            # 144 plans: grades, mould materials and kinds, masses
python tests/benchmarks/bench_leave_alone.py random 50 2026   # 50 random plans from seed 2026
python tests/benchmarks/bench_leave_alone.py table --cells 8  # on a coarser grid

Every ratio must be 1.0 or above and below 2. The factor LEAVE_ALONE was chosen from the table and from the random plans
of seed 1; those of seed 2026 were run once, afterwards.
"""

from __future__ import annotations

import argparse
import itertools
import random
import statistics
import sys
import tempfile
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

from bulbcast.files.plan_file import load_plan
from bulbcast.foundry.cooling.simulate import simulated
from bulbcast.foundry.cooling.work import cooling_setup
from bulbcast.job import Job, run
from bulbcast.materials.alloys import grades

MOULDS = {
    "baked": 'material = "plaster"\ndrying = "baked"',
    "air-dried": 'material = "plaster"\ndrying = "air"',
    "sand": 'material = "sand"\nsand_kind = "oil-bonded"',
}
WAYS = ("closed", "open-halves")
MASSES = (0.5, 2.0, 20.0)


def plan_text(
    grade: str,
    mould: str,
    way: str,
    mass: float,
    *,
    fineness: float = 6.0,
    width_to_height: float = 1.0,
    more: str = "",
    pour: str = "",
) -> str:
    """Plan with a fin to match its bulb.

    Args:
        grade: Grade of the alloy.
        mould: One of MOULDS.
        way: One of WAYS.
        mass: Hung mass. [kg]
        fineness: Length of the bulb divided by its diameter. [-]
        width_to_height: Width of the bulb's section divided by its height. [-]
        more: Further lines for the [mould] section.
        pour: Lines for the [pour] section.
    """
    size = (mass / 2.0) ** (1.0 / 3.0)
    return f"""
[bulb]
target_mass = "{mass} kg"
fineness = {fineness}
width_to_height = {width_to_height}
[alloy]
grade = "{grade}"
[fin]
tip_chord = "{75.0 * size:.1f} mm"
tip_thickness = "{8.0 * size:.1f} mm"
[mould]
{MOULDS[mould]}
kind = "{way}"
{more}
[pour]
{pour}
"""


def table() -> Iterator[tuple[tuple[str, ...], str]]:
    """Plans in the table, each with its group, name and text."""
    for mould, way, grade, mass in itertools.product(MOULDS, WAYS, grades(), MASSES):
        yield (mould, way, f"{grade} {mass:g} kg"), plan_text(grade, mould, way, mass)


def random_plans(count: int, seed: int) -> Iterator[tuple[tuple[str, ...], str]]:
    """Plans with random size, shape, casting position, walls, temperatures and feeder.

    Args:
        count: Number of plans.
        seed: Seed of the generator.
    """
    dice = random.Random(seed)
    for number in range(count):
        mould, way = dice.choice(tuple(MOULDS)), dice.choice((*WAYS, "closed"))
        mass = round(0.3 * 100.0 ** dice.random(), 2)
        more, pour = [], []
        if way == "closed" and dice.random() < 0.35:
            more += [f'orientation = "{dice.choice(("nose-up", "tail-up"))}"', 'split = "port-starboard"']
        if dice.random() < 0.5:
            more.append(f'wall = "{dice.uniform(25.0, 80.0):.0f} mm"')
        if dice.random() < 0.5:
            pour.append(f'temperature = "{dice.uniform(345.0, 395.0):.0f} C"')
        if mould != "sand" and dice.random() < 0.5:
            pour.append(f'mould_temperature = "{dice.uniform(20.0, 95.0):.0f} C"')
        fineness = round(dice.uniform(3.5, 9.0), 2)
        if way == "closed" and dice.random() < 0.25:
            # About the bulb's own diameter: 0.6 of its enclosing cylinder filled, 11.1 g/cm3.
            across = 1e3 * (mass / 11100.0 / (0.47 * fineness)) ** (1.0 / 3.0)
            pour.append(f'feeder_diameter = "{across * dice.uniform(0.8, 1.8):.0f} mm"')
        text = plan_text(
            dice.choice(grades()),
            mould,
            way,
            mass,
            fineness=fineness,
            width_to_height=round(dice.uniform(0.7, 1.6), 2) if dice.random() < 0.5 else 1.0,
            more="\n".join(more),
            pour="\n".join(pour),
        )
        yield (mould, way, f"random {seed}.{number}"), text


def ratio_of(text: str, cells: int | None) -> tuple[float, float, float]:
    """Ratio of the time calculated without the simulation to the simulation's upper bound, and both times.

    Args:
        text: Text of a plan.
        cells: Number of cells across the largest section; None for the default grid.
    """
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "plan.toml"
        path.write_text(text, encoding="utf-8")
        job = run(*load_plan(path))
    assert job.melting is not None
    assert job.melting.gating is not None
    gating = job.melting.gating
    given, upper = gating.leave_alone, upper_end(job, gating.keep_least, cells)
    return given / upper, given, upper


def upper_end(job: Job, kept: float | None, cells: int | None) -> float:
    """Return the simulation's upper bound on the time for which the mould must be left alone. [s]

    Args:
        job: The job.
        kept: Time for which the feeder is kept liquid, calculated without the simulation; None if left alone. [s]
        cells: Number of cells across the largest section; None for the default grid.
    """
    setup, _ = cooling_setup(job, cells=cells)
    if setup.feeder is not None and kept is not None:
        setup = replace(setup, feeder=replace(setup.feeder, until=kept))
    return simulated(setup).leave_alone


def main() -> None:
    """Print a line for each plan and a summary of each group."""
    ask = argparse.ArgumentParser(description=__doc__)
    ask.add_argument("what", choices=("table", "random"))
    ask.add_argument("count", nargs="?", type=int, default=50)
    ask.add_argument("seed", nargs="?", type=int, default=2026)
    ask.add_argument("--cells", type=int)
    asked = ask.parse_args()
    plans = table() if asked.what == "table" else random_plans(asked.count, asked.seed)
    groups: dict[tuple[str, ...], list[float]] = {}
    for (mould, way, name), text in plans:
        ratio, given, upper = ratio_of(text, asked.cells)
        groups.setdefault((mould, way), []).append(ratio)
        print(f"{mould:10s} {way:12s} {name:22s} {given:8.0f} s {upper:8.0f} s {ratio:6.2f}")
        sys.stdout.flush()
    print("\nmould      way          plans    min median    max")
    every = [ratio for ratios in groups.values() for ratio in ratios]
    for (mould, way), ratios in (*sorted(groups.items()), (("all", ""), every)):
        print(
            f"{mould:10s} {way:12s} {len(ratios):5d} {min(ratios):6.2f} {statistics.median(ratios):6.2f} {max(ratios):6.2f}"
        )


if __name__ == "__main__":
    main()
