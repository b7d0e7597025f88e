"""Cost of a righting arm curve, and how it grows with the number of facets.

Run by hand:

    python tests/benchmarks/bench_hydrostatics.py

For a Wigley hull with freeboard and various numbers of facets, it prints the median time of five runs to read the hull,
to calculate one attitude, and to calculate a curve of 37 heels at free sinkage and trim. It also prints the exponent
with which the time grows. Then it does the same within a plan: the example Larkmoss with its hull as a surface with a
similar number of facets, afloat with fin, rudder and bulb. It prints the time for the righting arms and for the whole
stability step, including other bulbs and fins. Nothing is asserted, since times depend on the machine.
"""

from __future__ import annotations

import importlib.util
import math
import statistics
import tempfile
import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np

from bulbcast.files.plan_file import load_plan
from bulbcast.hull.hydrostatics import cut, directions
from bulbcast.hull.mesh import hull_from_triangles
from bulbcast.hull.offsets_mesh import lofted_hull
from bulbcast.job import run
from bulbcast.sailing.righting import righting_arm_curve
from bulbcast.sailing.work import standing_of

RUNS = 5
FACETS = (5_000, 20_000, 80_000, 160_000)
CHAIN = ((60, 21), (120, 41), (240, 82), (380, 120))
EXAMPLES = Path(__file__).parents[2] / "examples"


def wigley(facets: int) -> np.ndarray:
    """Separate facets of a Wigley hull 1 m long, wall-sided above the water, shape (m, 3, 3). [m]"""
    up = max(6, round(math.sqrt(facets / 4.0 / 4.0)))
    along = round(facets / 4.0 / up)
    x = np.linspace(0.0, 1.0, along + 1)
    z = np.linspace(-0.0625, 0.05, up + 1)
    y = 0.05 * (1.0 - (2.0 * x[:, None] - 1.0) ** 2) * (1.0 - (np.minimum(z, 0.0) / 0.0625) ** 2)
    mesh = lofted_hull(x, y, np.broadcast_to(z, y.shape))
    return mesh.vertices[mesh.triangles]


def median_time(job: Callable[[], object]) -> float:
    """Median time of several runs. [s]"""
    times = []
    for _ in range(RUNS):
        start = time.perf_counter()
        job()
        times.append(time.perf_counter() - start)
    return statistics.median(times)


def main() -> None:
    """Print the table."""
    print(f"{'facets':>8} {'read':>9} {'attitude':>10} {'37 heels':>9} {'per facet':>10}")
    curves = []
    for wanted in FACETS:
        corners = wigley(wanted)
        reading = median_time(lambda corners=corners: hull_from_triangles(corners))
        hull = hull_from_triangles(corners)
        world = directions(0.01, 0.7)
        attitude = median_time(lambda hull=hull, world=world: cut(hull, world, 0.0))
        curve = median_time(
            lambda hull=hull: righting_arm_curve(
                hull, mass=2.7, mass_centre=(0.5, 0.0, -0.12), water_density=999.1
            )
        )
        count = len(hull.triangles)
        curves.append((count, curve))
        print(
            f"{count:>8} {reading:>7.3f} s {attitude * 1e3:>7.3f} ms {curve:>7.3f} s {curve / count * 1e6:>7.2f} us"
        )
    (first, least), (last, most) = curves[0], curves[-1]
    print(
        f"time grows as facets^{math.log(most / least) / math.log(last / first):.2f} from {first} to {last}"
    )
    print()
    in_the_chain()


def in_the_chain() -> None:
    """Print the table for the hull as part of a plan."""
    spec = importlib.util.spec_from_file_location("make_hull", EXAMPLES / "make_hull.py")
    assert spec is not None
    assert spec.loader is not None
    maker = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(maker)
    text = (EXAMPLES / "larkmoss.toml").read_text(encoding="utf-8")
    text = text.replace('offsets = "larkmoss-offsets.csv"', 'hull = "hull.stl"')
    print(f"{'facets':>8} {'read':>9} {'righting arms':>14} {'with wind and other bulbs':>26}")
    curves = []
    for along, up in CHAIN:
        with tempfile.TemporaryDirectory() as name:
            folder = Path(name)
            (folder / "hull.stl").write_bytes(maker.stl(maker.surface(along, up)))
            (folder / "plan.toml").write_text(text, encoding="utf-8")
            reading = median_time(lambda folder=folder: load_plan(folder / "plan.toml"))
            plan, offsets, hull = load_plan(folder / "plan.toml")
        boat = run(plan, offsets, hull, standing="no").boat
        assert boat is not None
        assert hull is not None
        assert hull.mesh is not None
        without = replace(plan, rig=None)
        arms = median_time(lambda without=without, boat=boat: standing_of(without, boat))
        whole = median_time(lambda plan=plan, boat=boat: standing_of(plan, boat))
        count = len(hull.mesh.triangles)
        curves.append((count, arms))
        print(f"{count:>8} {reading:>7.3f} s {arms:>12.3f} s {whole:>24.3f} s")
    (first, least), (last, most) = curves[0], curves[-1]
    print(
        f"righting arms' time grows as facets^{math.log(most / least) / math.log(last / first):.2f} from {first} to {last}"
    )


if __name__ == "__main__":
    main()
