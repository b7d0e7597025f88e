"""The same job scripted on a general-purpose B-rep kernel, to compare with our own figures.

Run by hand, in an environment with the `bench` extra:

    python tests/benchmarks/brep_job.py [PLAN]

It prints the ratio of the times for a whole solve, measured in one run, and asserts that both masses agree to 0.1 g.
The script is a simple one: it revolves a spline through 101 points, cuts the pocket and holes, rebuilds everything at
each evaluation, and solves for the size by the secant method while updating the position.
"""

from __future__ import annotations

import math
import statistics
import sys
import time
from pathlib import Path

import cadquery as cq
import numpy as np

from bulbcast.bulb.hung.solve import size_and_place
from bulbcast.bulb.hung.wish import BulbWish, tail_diameter_for
from bulbcast.files.plan_file import load_plan
from bulbcast.fin.tip_section import outline
from bulbcast.job import alloy_of, profile_of, wish_of

POINTS = 101
RUNS_OURS = 9


def brep_evaluation(wish: BulbWish, diameter: float, nose_x: float) -> tuple[float, float]:
    """Hung mass [kg] and mass centre in boat axes [m] of one body in one position, from the kernel, which works in mm."""
    from bulbcast.bulb.body.turned import turned_body

    body = turned_body(
        wish.profile,
        diameter=diameter,
        tail_diameter=tail_diameter_for(diameter, wish.tail_diameter),
        fineness=wish.value,
    )
    x = body.length * 0.5 * (1.0 - np.cos(np.linspace(0.0, math.pi, POINTS)))
    r = body.radius(x)
    r[0] = 0.0
    points = [(float(a) * 1e3, float(b) * 1e3) for a, b in zip(x, r, strict=True)]
    # A spline from the nose itself: how blunt it starts is the kernel's own affair.
    lead = cq.Workplane("XY").moveTo(*points[0]).spline(points[1:], includeCurrent=True)
    solid = lead.lineTo(points[-1][0], 0.0).close().revolve(360.0, (0, 0, 0), (1, 0, 0)).val()

    fin = wish.fin
    floor = (0.5 * diameter - fin.pocket_depth) * 1e3
    lead_x = (fin.leading_edge_x - nose_x) * 1e3
    top = diameter * 1e3

    def prism(clearance: float) -> cq.Shape:
        loop = [
            (float(px) * 1e3 + lead_x, float(py) * 1e3) for px, py in outline(fin.tip, clearance, along=60)
        ]
        face = cq.Workplane("XY").workplane(offset=floor).polyline(loop).close().extrude(top)
        return face.val()

    net = solid.cut(prism(fin.clearance))
    mass_screws = moment_screws = fill = 0.0
    for screw in wish.screws:
        at = lead_x + screw.at_x * 1e3
        underside = -float(body.radius(np.array([at / 1e3]))[0]) * 1e3
        seat = underside + screw.recess * 1e3
        hole = (
            cq.Workplane("XY")
            .workplane(offset=seat)
            .center(at, 0)
            .circle(screw.hole_diameter * 500)
            .extrude(floor - seat)
        )
        recess = (
            cq.Workplane("XY")
            .workplane(offset=seat)
            .center(at, 0)
            .circle(screw.head_diameter * 500)
            .extrude(-2 * top)
        )
        net = net.cut(hole.val()).cut(recess.val())
        mass_screws += screw.mass
        moment_screws += screw.mass * at
        fill -= screw.head_volume * 1e9 + 0.25 * math.pi * screw.diameter**2 * (floor - seat) * 1e6
    inside = solid.intersect(prism(0.0))
    fill += solid.Volume() - net.Volume() - inside.Volume()
    density = wish.cast_density * 1e-9
    lead_mass = density * net.Volume()
    filler = wish.filler_density * 1e-9 * fill
    mass = lead_mass + mass_screws + filler
    # The filler's own centre is taken at the fin's middle: a gram of it, millimetres off.
    moment = lead_mass * net.Center().x + moment_screws + filler * (lead_x + 0.45 * fin.tip.chord * 1e3)
    return mass, nose_x + moment / mass / 1e3


def brep_solve(wish: BulbWish) -> tuple[float, float, int]:
    """Diameter [m], hung mass [kg] and number of evaluations of a secant solve for size and position."""
    size, nose = (wish.target_mass / wish.cast_density / 3.0) ** (1.0 / 3.0) * 0.8, wish.mass_centre_x - 0.09
    sizes, masses = [], []
    for count in range(1, 13):
        mass, centre = brep_evaluation(wish, size, nose)
        nose += wish.mass_centre_x - centre
        sizes.append(size)
        masses.append(mass)
        miss = mass - wish.target_mass
        if abs(miss) < 1e-5 and count > 2:
            break
        if count == 1:
            size *= (wish.target_mass / mass) ** (1.0 / 3.0)
        else:
            slope = (masses[-1] - masses[-2]) / (sizes[-1] - sizes[-2])
            size -= miss / slope
    return sizes[-1], masses[-1], count


def main() -> None:
    """Compare the kernel and the library in one run."""
    path = Path(sys.argv[1]) if len(sys.argv) > 1 else Path(__file__).parents[2] / "examples" / "fenwisp.toml"
    plan, offsets, _ = load_plan(path)
    from dataclasses import replace

    # A skin is a parallel surface, which the kernel's script has no cheap way to weigh: left out on both sides.
    wish = replace(wish_of(plan, profile_of(plan, offsets), alloy_of(plan)), skin=0.0)
    if wish.given != "fineness" or wish.width_to_height != 1.0 or wish.fin.rake != 0.0:
        raise SystemExit("the script is for a round bulb of given fineness on an upright fin")
    size_and_place(wish)
    ours = []
    for _ in range(RUNS_OURS):
        start = time.perf_counter()
        bulb = size_and_place(wish)
        ours.append(time.perf_counter() - start)
    brep_evaluation(wish, bulb.body.diameter, bulb.nose_x)
    start = time.perf_counter()
    diameter, mass, count = brep_solve(wish)
    theirs = time.perf_counter() - start
    at_ours, _ = brep_evaluation(wish, bulb.body.diameter, bulb.nose_x)
    median = statistics.median(ours)
    print(
        f"size and place: {median * 1e3:.2f} ms (median of {RUNS_OURS}; {min(ours) * 1e3:.2f} to {max(ours) * 1e3:.2f})"
    )
    print(f"B-rep script:   {theirs:.2f} s for {count} evaluations")
    print(f"ratio:          {theirs / median:.0f}")
    print(f"diameter:       {bulb.body.diameter * 1e3:.4f} mm, B-rep {diameter * 1e3:.4f} mm")
    print(
        f"hung mass of our bulb by the kernel: {(at_ours - bulb.mass) * 1e3:+.3f} g off; "
        f"its own solve {(mass - wish.target_mass) * 1e3:+.3f} g"
    )
    assert abs(at_ours - bulb.mass) < 1e-4, "the kernel and the quadrature disagree by more than 0.1 g"


if __name__ == "__main__":
    main()
