"""Load on the joint when one person picks up the boat by the tail of her bulb.

In this worst case the boat is level and the tail carries all her weight. The bulb turns nose down about the after end of
the fin's tip. Each kind of fastening is calculated as if it carried the load alone, because it is not known how the
load is divided between the bond, pins, rods and screws. Nor is it known how well lead holds a thread or a bonded rod,
so neither is counted on.
"""

from __future__ import annotations

import math

import numpy as np

from bulbcast.ballast.results import BallastResults
from bulbcast.bulb.hung.ledger import HungBulb
from bulbcast.fin.tip_section import half_thickness
from bulbcast.joint.joint_loads import pulls_about, weight_of
from bulbcast.quantities import Shown
from bulbcast.quantities.frozen import frozen
from bulbcast.report.chapter import Chapter, Data, Line, Table, Words

CARRIED_AT_MOST = 25.0
"""Maximum mass that one person should lift: the British HSE's guideline for a man holding the load close to the body.
[kg]"""

CAPTION = (
    "Each is calculated as if it carried the load alone, because it is not known how the load is divided between the "
    "bond, pins, rods and screws. Nor is it known how well lead holds a thread or a bonded rod, so neither is counted "
    "on. Carry the boat by the hull and the root of the fin."
)


@frozen
class Carried:
    """Loads on the joint when the boat is lifted by the bulb's tail.

    Attributes:
        mass: Mass of the boat with her bulb. [kg]
        lever: Distance from the middle of the fin's tip aft to the bulb's tail. [m]
        moment: Moment on the joint about the middle of the tip, in the direction that opens the joint's fore end. [N m]
        screws: Pull on each screw, with the bulb turning about the tip's after end. [N]
        rod_bending: Moment on each stud or rod along the fin; None if there is none. [N m]
        rod_stress: Bending stress in the most highly stressed rod. [Pa]
        pin: Maximum force on a cross pin. None with fewer than two pins, because the bulb turns on a single pin. [N]
        pin_pressure: Pressure on the fin from the pin with that force. [Pa]
        ends: Pressure on the fore and after ends of the pocket; None without a pocket. [Pa]
    """

    mass: float
    lever: float
    moment: float
    screws: tuple[float, ...]
    rod_bending: float | None
    rod_stress: float | None
    pin: float | None
    pin_pressure: float | None
    ends: float | None


def carried_by_tail(job: BallastResults) -> Carried | None:
    """Calculate the loads on the joint when the boat is lifted by the bulb's tail; None if the boat's mass is
    unknown or is too much to carry.

    Args:
        job: The bulb, and the boat if there is one.
    """
    asked, bulb = job.plan.strength, job.bulb
    mass = None if job.boat is None else job.boat.total_mass
    if asked is not None and asked.grounded_mass is not None:
        mass = asked.grounded_mass
    if mass is None or not bulb.mass < mass <= CARRIED_AT_MOST:
        return None
    tip, lead = bulb.pocket.tip, bulb.pocket.leading_edge_x
    force, own = weight_of(mass), weight_of(bulb.mass)
    tail = bulb.body.length - lead

    def about(place: float) -> float:
        """Moment about a point aft of the tip's leading edge, in the direction that opens the joint ahead of that point.
        [N m]"""
        return force * (tail - place) + own * (place - (bulb.mass_centre_x - lead))

    moment, depth = about(0.5 * tip.chord), bulb.pocket_depth
    screws = [cut.at_x - lead for cut in bulb.screw_cuts]
    pulls = pulls_about(screws, about(tip.chord), tip.chord) if screws else []
    bending = [_modulus(one.diameter, one.bore) for one in bulb.stud_cuts]
    share = moment / len(bending) if bending else None
    middle = math.fsum(pin.at_x - lead for pin in bulb.fin_pins) / max(len(bulb.fin_pins), 1)
    pin, pressure = _pins(bulb, about(middle), force - own)
    return Carried(
        mass=mass,
        lever=tail - 0.5 * tip.chord,
        moment=moment,
        screws=tuple(pulls),
        rod_bending=share,
        rod_stress=None if share is None else share / min(bending),
        pin=pin,
        pin_pressure=pressure,
        ends=6.0 * moment / (tip.thickness * depth**2) if depth > 0.0 else None,
    )


def _modulus(outside: float, inside: float) -> float:
    """Section modulus of a rod or a tube. [m3]"""
    return math.pi / 32.0 * (outside**4 - inside**4) / outside


def _pins(bulb: HungBulb, moment: float, force: float) -> tuple[float | None, float | None]:
    """Largest force on any cross pin [N] and largest pressure of any pin on the fin [Pa]. The total force is divided
    equally between the pins, and the moment in proportion to each pin's distance from the middle of the group. The two
    are added as if they acted in the same direction, to be safe."""
    pins = bulb.fin_pins
    if len(pins) < 2:
        return None, None
    places = np.array([(pin.at_x, pin.height) for pin in pins])
    away = np.hypot(*(places - places.mean(axis=0)).T)
    if float(np.sum(away**2)) <= 0.0:
        return None, None
    forces = force / len(pins) + abs(moment) * away / float(np.sum(away**2))
    halves, _ = half_thickness(
        bulb.pocket.tip, np.clip(places[:, 0] - bulb.pocket.leading_edge_x, 0.0, bulb.pocket.tip.chord)
    )
    across = np.array([pin.diameter for pin in pins]) * np.maximum(2.0 * halves, 1e-6)
    return float(np.max(forces)), float(np.max(forces / across))


def carried_chapter(carried: Carried, bulb: HungBulb, shown: Shown) -> Chapter:
    """Report section on lifting the boat by the bulb's tail.

    Args:
        carried: The loads on the joint during that lift.
        bulb: The bulb with its fastenings.
        shown: The builder's units.
    """
    lever = f"{shown.length(carried.lever)} aft of the middle of the fin's tip"
    lines = [
        Line("Full weight of the boat, at the bulb's tail", shown.force(weight_of(carried.mass)), lever),
        Line(
            "Moment on the joint",
            shown.torque(carried.moment),
            "it opens the joint's fore end",
            "carried.moment_n_m",
        ),
    ]
    for number, pull in enumerate(carried.screws, start=1):
        lines.append(
            Line(
                f"Pull on screw {number}", shown.force(pull), "as the bulb pivots on the after end of the tip"
            )
        )
    if carried.rod_bending is not None and carried.rod_stress is not None:
        what = "bending stress in the most highly stressed stud or rod"
        lines.append(Line("Moment on each stud or rod", shown.torque(carried.rod_bending), "shared equally"))
        lines.append(Line("Stress in the stud or rod", shown.pressure(carried.rod_stress), what))
    if carried.pin is not None and carried.pin_pressure is not None:
        lines.append(
            Line(
                "Largest load on a cross pin",
                shown.force(carried.pin),
                "an equal share of the weight, plus the effect of the moment",
            )
        )
        lines.append(
            Line(
                "Pressure of that pin on the fin",
                shown.pressure(carried.pin_pressure),
                "over the pin's diameter",
            )
        )
    elif bulb.fin_pins:
        lines.append(Line("The cross pin", "not calculated", "the bulb turns on a single pin"))
    if carried.ends is not None:
        text = shown.pressure(carried.ends)
        lines.append(
            Line(
                "Ends of the pocket",
                text,
                "fore and aft, if filled without gaps; no limit for a brief load on lead is known",
            )
        )
    name = "Lifted by the bulb's tail"
    values = {
        "mass_kg": carried.mass,
        "lever_m": carried.lever,
        "screws_n": list(carried.screws),
        "rod_bending_n_m": carried.rod_bending,
        "rod_stress_pa": carried.rod_stress,
        "pin_n": carried.pin,
        "pin_pressure_pa": carried.pin_pressure,
        "pocket_ends_pa": carried.ends,
    }
    return Chapter(
        name="carried",
        title=name,
        step="bulb",
        heading=name,
        parts=(
            Table(rows=lines, caption=name),
            Words(text=CAPTION, style="caption"),
            Data(values={f"carried.{key}": value for key, value in values.items()}),
        ),
    )
