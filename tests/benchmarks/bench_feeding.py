"""Metal poured, feeding time and hollow for each way of feeding a casting, simulated on two grids. Run by hand:

python tests/benchmarks/bench_feeding.py                     # examples, and 0.5 to 140 kg of three metals
python tests/benchmarks/bench_feeding.py --only pure         # cases whose names begin with "pure"
python tests/benchmarks/bench_feeding.py --cells 6 8         # coarser grids

Each case is run in the default way and in every other way. On each grid, the default must leave a hollow of at most
0.05 % of the casting, and the time given without the simulation must not be shorter than the simulation's. A feeder
released 20 % earlier than the shortest time found by simulation must leave a hollow above that bound. The heat balance must
hold to within a millionth.
"""

from __future__ import annotations

import argparse
import itertools
import sys
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path

from bench_leave_alone import plan_text

from bulbcast.files.plan_file import load_plan
from bulbcast.foundry.cooling.keeping import SOUND, Keeping
from bulbcast.foundry.cooling.simulate import simulated
from bulbcast.foundry.cooling.work import cooling_setup
from bulbcast.foundry.gating.design import gating_of
from bulbcast.foundry.gating.parts import Gating
from bulbcast.job import Job, run
from bulbcast.plan.reading import read_plan, usual_section

EXAMPLES = Path(__file__).parents[2] / "examples"
NAMES = ("fenwisp", "larkmoss", "osierling", "puddlejack", "saltmarrow")
GRADES, MASSES = ("pure", "sheet", "antimonial-4"), (0.5, 2.0, 20.0, 140.0)
WAYS = ("kept", "sleeved", "alone")
CELLS = (8, 12)


@dataclass(frozen=True)
class Seen:
    """Result of one way of feeding on one grid.

    Attributes:
        hollow: Volume of the hollow, as a fraction of the casting's volume. [-]
        until: Time for which the feeder is kept liquid; zero if it is not. [s]
        early: The same fraction if the feeder is released 20 % earlier; None if it is not kept liquid. [-]
        unbalanced: Error of the heat balance, as a fraction of the metal's heat. [-]
        frozen: Time at which the casting is frozen. [s]
    """

    hollow: float
    until: float
    early: float | None
    unbalanced: float
    frozen: float


def cases(only: str = "") -> Iterator[tuple[str, Job]]:
    """Cases in the table, each with its name and its default job.

    Args:
        only: Beginning of the names to include.
    """
    for name in NAMES:
        if name.startswith(only):
            plan, *others = load_plan(EXAMPLES / f"{name}.toml")
            yield name, run(plan, *others, remedies=False)
    for grade, mass in itertools.product(GRADES, MASSES):
        name = f"{grade} {mass:g} kg"
        if name.startswith(only):
            yield name, case(grade, mass)


def case(grade: str, mass: float) -> Job:
    """Results for a bulb of one metal and mass, cast lying in baked plaster.

    Args:
        grade: Grade of the alloy.
        mass: Hung mass. [kg]
    """
    return run(read_plan(plan_text(grade, "baked", "closed", mass), source="plan.toml"), remedies=False)


def fed(job: Job, way: str) -> Job:
    """The same job with another way of feeding.

    Args:
        job: Job with the default way of feeding.
        way: One of WAYS.
    """
    pour = job.plan.pour or usual_section("pour")
    asked = replace(job.poured, pour=replace(pour, feeding=way, feeder_diameter=None, feeder_height=None))
    gating = None if job.melting is None else gating_of(asked)
    melting = None if job.melting is None else replace(job.melting, gating=gating)
    return replace(job, poured=asked, melting=melting)


def seen(job: Job, cells: int) -> Seen:
    """Simulate a job with its feeding method.

    Args:
        job: The job.
        cells: Number of cells across the largest section.
    """
    setup, _ = cooling_setup(job, cells=cells)
    until, early = 0.0, None
    if setup.feeder is not None and setup.feeder.kept:
        keeping = Keeping(setup)
        kept = keeping.shortest()
        until, early = kept.until, keeping.released(0.8 * kept.until)
        setup = replace(setup, feeder=replace(setup.feeder, until=until))
    cooling = simulated(setup)
    energy = cooling.energy
    return Seen(
        hollow=cooling.cavity_share,
        until=until,
        early=early,
        unbalanced=abs(energy.rest) / energy.given,
        frozen=cooling.frozen,
    )


def slips(default: bool, gating: Gating, found: Seen) -> list[str]:
    """Requirements that a way of feeding does not meet on one grid.

    Args:
        default: Whether this way of feeding is the default.
        gating: Gating as calculated without the simulation.
        found: Result of the simulation.
    """
    said = []
    if default and found.hollow > SOUND:
        said.append("hollow above the bound")
    if gating.keep_least is not None and found.until > gating.keep_least:
        said.append("kept for too short a time")
    if found.early is not None and found.early <= SOUND:
        said.append("released early, still sound")
    if found.unbalanced > 1e-6:
        said.append("heat does not add up")
    return said


def main() -> int:
    """Print a line for each case and way of feeding; return 1 if a requirement is not met."""
    ask = argparse.ArgumentParser(description=__doc__)
    ask.add_argument("--only", default="")
    ask.add_argument("--cells", type=int, nargs="+", default=list(CELLS))
    ask.add_argument("--default", action="store_true", help="the default way alone")
    asked = ask.parse_args()
    grids = " ".join(f"{cells:>9d} cells" for cells in asked.cells)
    print(f"{'case':18s} {'way':9s} poured/cast  tend min  simulated min {grids}  20 % early")
    bad = 0
    for name, job in cases(asked.only):
        own = job.poured.way
        for way in (own, *(one for one in WAYS if one != own and not asked.default)):
            if way is None:
                continue
            other = fed(job, way)
            gating, feeder = gating_of(other.poured), other.poured.feeder
            found = [seen(other, cells) for cells in asked.cells]
            faults = [slip for one in found for slip in slips(way == own, gating, one)]
            bad += bool(faults)
            wide = 2.0 * min(max(gating.cavity.skin.across), max(gating.cavity.skin.up))
            notes = [
                *faults,
                *(["wider than the bulb"] if feeder is not None and feeder.diameter > wide else []),
            ]
            hollows = " ".join(f"{100.0 * one.hollow:13.3f} %" for one in found)
            early = "" if found[-1].early is None else f"{100.0 * found[-1].early:.3f} %"
            tend = 0.0 if gating.keep is None else gating.keep / 60.0
            mark = "*" if way == own else " "
            print(
                f"{name:18s} {way:8s}{mark} {gating.poured / gating.cast_mass:11.3f} {tend:9.1f} "
                f"{found[-1].until / 60.0:14.1f} {hollows}  {early:>8s}  {'; '.join(notes)}"
            )
            sys.stdout.flush()
    return 1 if bad else 0


if __name__ == "__main__":
    sys.exit(main())
