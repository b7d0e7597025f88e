"""Rows of figures on fin, joint and limits, as report and terminal both say them."""

from __future__ import annotations

from bulbcast.fin.foil import foil_solid
from bulbcast.fin.stiffness import GivenFin, SolidFin
from bulbcast.joint.fin_axis import fin_axis
from bulbcast.joint.fin_beam import Stress
from bulbcast.joint.fin_buckling import BUCKLING_RESERVE, NOT_COVERED_AGROUND
from bulbcast.joint.fin_rules import bears_words
from bulbcast.joint.results import JointResults
from bulbcast.joint.strength import Aground, FinStrength
from bulbcast.quantities import Shown, worded

Rows = tuple[tuple[str, ...], ...]

LIMIT_NAMES = {
    "draught": "Draught to the bulb's underside",
    "bulb_mass": "Bulb, everything hung",
    "fin_with_bulb": "Fin with bulb",
    "bulb_width": "Width of the bulb over its skin",
    "bulb_length": "Length of the bulb over its skin",
}


def made_words(fin: FinStrength, shown: Shown) -> str:
    """How the fin is made, in one sentence."""
    section = fin.section
    if isinstance(section, SolidFin):
        one = section.material
        return f"Solid, {one.name}: modulus {shown.pressure(one.modulus)}, in shear {shown.pressure(one.shear_modulus)}."
    if isinstance(section, GivenFin):
        return "Stiffness as given, the same at every level."
    body = section.body
    round_it = (
        f"the rest, {body.name}, of {shown.pressure(body.modulus)}"
        if body.modulus > 0.0
        else f"the rest, {body.name}, not counted on"
    )
    return (
        f"{section.tube.name[0].upper()}{section.tube.name[1:]}, {shown.length(section.outer)} outside and "
        f"{shown.length(section.inner)} inside, at {section.at:g} of the chord, of {shown.pressure(section.tube.modulus)}; "
        f"{round_it}."
    )


def fin_rows(job: JointResults, fin: FinStrength) -> Rows:
    """The fin at 90 degrees of heel: what, how much, what it means."""
    shown, asked, held = job.shown, job.plan.strength, fin.knockdown
    axis = fin_axis(fin.foil, fin.section, fin.elastic_axis)
    root = axis.station(0.0)
    bend = None if asked is None else asked.largest_deflection
    turn = None if asked is None else asked.largest_twist
    own = shown.mass(foil_solid(fin.foil, fin.fin_density).volume * fin.fin_density)
    whence = "" if fin.density_estimate is None else ", estimated by its usual density"
    return (
        ("Span", shown.length(fin.foil.span), "from the hull down to the tip, held without give at the hull"),
        (
            "Length along its axis",
            shown.length(axis.length),
            f"raked by {shown.angle(axis.rake)}; the sections that bend are square to it",
        ),
        ("Stiffness at the hull", shown.stiffness(root.bending), "modulus times second moment, athwart"),
        ("Stiffness in torsion there", shown.stiffness(root.torsion), "shear modulus times torsion constant"),
        ("Bending moment at the hull", shown.torque(held.root_moment), "the bulb held flat in air"),
        ("The fin's own weight in it", own, f"as a mass{whence}"),
        ("Shear at the hull", shown.force(held.root_shear), ""),
        (
            "Bulb's centre out of line",
            shown.length(held.bulb_deflection),
            "no limit typed" if bend is None else f"{shown.length(bend)} allowed",
        ),
        ("Tip leans by", shown.angle(held.tip_slope), ""),
        (
            "Torque at the hull",
            shown.torque(abs(held.root_torque)),
            "about the upright through the elastic axis there",
        ),
        (
            "Twist of the tip",
            shown.angle(abs(held.twist)),
            "of its level section, torque and rake together; "
            + ("no limit typed" if turn is None else f"{shown.angle(turn)} allowed"),
        ),
        (
            "Stress at the end of the root",
            f"{held.root_stress_factor:.2f} x",
            "the beam's: what a level hold of a raked fin may add at its after end, or fore end if raked forward",
        ),
    )


def stress_rows(fin: FinStrength, shown: Shown) -> Rows:
    """Every stress: load, material, where, how much, allowed, share."""
    loads: list[tuple[str, tuple[Stress, ...]]] = [("90 degrees of heel", fin.knockdown.stresses)]
    for way, aground in (
        ("down on the bulb", fin.vertical),
        ("ahead on its nose", fin.longitudinal),
        ("from the side on its nose", fin.sideways),
    ):
        if aground is not None:
            loads.append((f"{aground.multiple:g} x weight {way}", aground.load.stresses))
    return tuple(
        (
            load,
            one.material,
            shown.length(one.at_z),
            f"strain {1e6 * one.strain:.0f} per million"
            if one.stress is None
            else shown.pressure(one.stress),
            "\u2013" if one.allowable is None else shown.pressure(one.allowable),
            "\u2013" if one.used is None else f"{100.0 * one.used:.0f} %",
        )
        for load, stresses in loads
        for one in stresses
    )


def aground_rows(fin: FinStrength, shown: Shown) -> Rows:
    """What each way of grounding comes to."""
    rows: list[tuple[str, ...]] = []
    for way, aground in (
        ("Aground, down on the bulb", fin.vertical),
        ("Aground, ahead on its nose", fin.longitudinal),
        ("Struck from the side on its nose", fin.sideways),
    ):
        if aground is None or fin.grounded_mass is None:
            continue
        load = aground.load
        bends = "bends the fin across" if aground is fin.sideways else "bends the fin in its plane"
        rows.append(
            (
                way,
                shown.force(load.force),
                f"{aground.multiple:g} times the weight of {shown.mass(fin.grounded_mass)}; {bends} with "
                f"{shown.torque(load.root_moment)} at the hull"
                + (
                    f", and twists it with {shown.torque(abs(fin.sideways_torque))}, which is not judged"
                    if aground is fin.sideways
                    else ""
                ),
            )
        )
        if load.buckling_force is not None:
            rows.append(
                (
                    "buckles at",
                    shown.force(load.buckling_force),
                    f"sideways and in twist, by calculation; {BUCKLING_RESERVE:g} times the load is asked for",
                )
            )
        rows.append(_bears(aground))
    return tuple(rows)


def _bears(aground: Aground) -> tuple[str, ...]:
    if aground.bears is None:
        return ("bears", "not judged", "no allowable given")
    judged = any(one.used is not None for one in aground.load.stresses)
    by = "by the allowables given and by buckling" if judged else "by buckling alone: no allowable given"
    return ("bears", bears_words(aground.bears), f"its weight, {by}. {NOT_COVERED_AGROUND}")


def limit_rows(job: JointResults) -> Rows:
    """Each typed limit: what, found, allowed, kept or not."""
    rows = []
    for one in job.limits:
        write = job.shown.mass if one.unit == "kg" else job.shown.length
        left = one.limit - one.found
        rows.append(
            (
                LIMIT_NAMES[one.name],
                write(one.found),
                write(one.limit),
                worded("kept, {} to spare", write(abs(left)))
                if one.kept
                else worded("BROKEN by {}", write(-left)),
            )
        )
    return tuple(rows)
