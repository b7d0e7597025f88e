"""Findings on the fin as a beam. What is typed as a limit and broken is a stop; a reserve of ours that is not kept is
a caution.

Not a classification calculation: plain beam theory against allowables as given.
"""

from __future__ import annotations

import math

from bulbcast.fin.foil import foil_solid
from bulbcast.fin.stiffness import GivenFin, TubeCoredFin
from bulbcast.fin.weight import FinMaterial, is_even
from bulbcast.findings import Finding, Rule, Severity
from bulbcast.joint.fin_beam import Stress
from bulbcast.joint.fin_buckling import BUCKLING_RESERVE
from bulbcast.joint.strength import Aground, FinStrength
from bulbcast.quantities import Shown
from bulbcast.quantities.typed import thickness_up

FIN_NOT_JUDGED = Rule("fin-not-judged", Severity.NOTE)
FIN_OVERSTRESSED = Rule("fin-overstressed", Severity.STOP)
FIN_OVERSTRESSED_AGROUND = Rule("fin-overstressed-aground", Severity.STOP)
FIN_BENDS_TOO_FAR = Rule("fin-bends-too-far", Severity.STOP)
FIN_TWISTS_TOO_FAR = Rule("fin-twists-too-far", Severity.STOP)
FIN_GIVES_WAY = Rule("fin-gives-way", Severity.STOP, Severity.CAUTION)
FIN_WEIGHT_ESTIMATED = Rule("fin-weight-estimated", Severity.NOTE)
FIN_NOT_EVEN = Rule("fin-not-even", Severity.CAUTION)
FIN_RAKED_ROOT = Rule("fin-raked-root", Severity.CAUTION)

MOST_SAID = 10.0
"""Multiples of the weight above which the figure is left out: it would say more than the beam knows. [-]"""
_NO_ROOT = "No thicker root alone would do: take a stiffer or stronger material, or a shallower fin."


def check_fin(
    fin: FinStrength,
    *,
    material: FinMaterial | None,
    largest_deflection: float | None,
    largest_twist: float | None,
    source: str,
    shown: Shown,
) -> list[Finding]:
    """Every finding on the fin as a beam.

    Args:
        fin: What it comes to.
        material: Its kind; None where not said.
        largest_deflection: Of the bulb's centre at 90 degrees; None: reported alone. [m]
        largest_twist: Of the tip at 90 degrees; None: reported alone. [rad]
        source: Of the allowables.
        shown: The builder's units.
    """
    findings = [*_weight(fin, shown), *_evenness(fin, material)]
    findings += _fin_at_90(fin, largest_deflection, largest_twist, source, shown)
    for where, way, aground in (
        ("vertical_grounding", "down on the bulb", fin.vertical),
        ("longitudinal_grounding", "ahead on the bulb's nose", fin.longitudinal),
        ("sideways_grounding", "from the side on the bulb's nose", fin.sideways),
    ):
        if aground is not None:
            findings += _aground(where, way, aground, fin.knockdown.rake, source, shown)
    return findings


def bears_words(multiple: float) -> str:
    """How many times its weight the fin bears aground, cut short so that it does when typed as shown.

    Args:
        multiple: Of the weight. [-]
    """
    if multiple > MOST_SAID:
        return f"more than {MOST_SAID:g} times"
    return f"{_floored(multiple)} times"


def _weight(fin: FinStrength, shown: Shown) -> list[Finding]:
    if fin.density_estimate is None:
        return []
    mass = foil_solid(fin.foil).volume * fin.fin_density
    return [
        FIN_WEIGHT_ESTIMATED(
            where="fin.mass",
            found=mass,
            unit="kg",
            message=f"The fin's mass is not given: {shown.mass(mass)} is estimated from its section at "
            f"{shown.density(fin.fin_density)} ({fin.density_estimate.source}).",
            remedy="Weigh the fin and type mass under [fin]; it is then no line of [[weights]].",
        )
    ]


def _evenness(fin: FinStrength, material: FinMaterial | None) -> list[Finding]:
    """Whether formulas for a material alike in all directions are used on one that is not."""
    section = fin.section
    if isinstance(section, GivenFin):
        return []
    body = section.body if isinstance(section, TubeCoredFin) else section.material
    if body.modulus == 0.0:
        return []
    even = is_even(body.modulus, body.shear_modulus)
    if even and material not in ("wood", "laminate"):
        return []
    # Across a grain or between plies the shear modulus may be typed as none at all.
    ratio = body.modulus / body.shear_modulus if body.shear_modulus > 0.0 else None
    kind = {"wood": "Wood", "laminate": "A laminate"}.get(material or "", f'"{body.name}"')
    words = f"{kind} is not alike in all directions, and the beam takes it as if it were"
    if ratio is not None and not even:
        words += f": its modulus is {ratio:.3g} times its shear modulus, 2 to 3 times in an even material"
    return [
        FIN_NOT_EVEN(
            where="strength.section",
            found=ratio,
            limit=None if even else 3.0,
            message=f"{words}. Stress in single plies or across the grain is not calculated, nor twist that comes of bend.",
            remedy="Hang a weight from the fin's tip, then from an arm across it, and measure sag and turn: type section = "
            '"given" with bending_stiffness = weight x length^3 / (3 x sag) and torsion_stiffness = torque x length / '
            "angle in radians.",
        )
    ]


def _fin_at_90(
    fin: FinStrength,
    largest_deflection: float | None,
    largest_twist: float | None,
    source: str,
    shown: Shown,
) -> list[Finding]:
    held, findings = fin.knockdown, []
    if all(one.allowable is None for one in held.stresses):
        findings.append(
            FIN_NOT_JUDGED(
                where="strength.allowable",
                unit="Pa",
                message="The fin's stresses are reported and held against nothing: no allowable is given.",
                remedy="Give strength.allowable with its source, or have the fin judged by one who can.",
            )
        )
    for stress in held.stresses:
        if stress.used is not None and stress.used > 1.0:
            findings.append(
                _overstressed(
                    FIN_OVERSTRESSED,
                    "strength.allowable",
                    "At 90 degrees of heel",
                    stress,
                    source,
                    _thicker(fin.roots.stress, shown),
                    shown,
                )
            )
        elif stress.used is not None and stress.used * held.root_stress_factor > 1.0:
            findings.append(
                _raked_root(
                    "strength.allowable",
                    "At 90 degrees of heel",
                    stress,
                    held.rake,
                    held.root_stress_factor,
                    _thicker(fin.roots.stress, shown),
                    shown,
                )
            )
    if largest_deflection is not None and held.bulb_deflection > largest_deflection:
        findings.append(
            FIN_BENDS_TOO_FAR(
                where="strength.largest_deflection",
                found=held.bulb_deflection,
                limit=largest_deflection,
                unit="m",
                message=f"At 90 degrees of heel the bulb's centre comes {shown.length(held.bulb_deflection)} out of line; "
                f"{shown.length(largest_deflection)} is allowed.",
                remedy=_thicker(fin.roots.deflection, shown),
            )
        )
    if largest_twist is not None and abs(held.twist) > largest_twist:
        findings.append(
            FIN_TWISTS_TOO_FAR(
                where="strength.largest_twist",
                found=abs(held.twist),
                limit=largest_twist,
                unit="rad",
                message=f"At 90 degrees of heel the fin's tip twists by {shown.angle(abs(held.twist))}; "
                f"{shown.angle(largest_twist)} is allowed.",
                remedy=f"Carry the bulb nearer the elastic axis. {_thicker(fin.roots.twist, shown)}",
            )
        )
    return findings


def _raked_root(
    where: str, when: str, stress: Stress, rake: float, factor: float, remedy: str, shown: Shown
) -> Finding:
    if stress.stress is None or stress.allowable is None:
        raise ValueError("a stress that is held against nothing breaks nothing")
    found = factor * abs(stress.stress)
    return FIN_RAKED_ROOT(
        where=where,
        found=found,
        limit=stress.allowable,
        unit="Pa",
        message=f"{when}, at the {'after' if rake > 0.0 else 'fore'} end of the raked root, {stress.material} may be "
        f"stressed {factor:.2f} times as much as the beam says, {shown.pressure(found)}; "
        f"{shown.pressure(stress.allowable)} is allowed.",
        remedy=remedy,
    )


def _thicker(root: float | None, shown: Shown) -> str:
    return _NO_ROOT if root is None else f'Set [fin] root_thickness = "{thickness_up(root, shown)}" or more.'


def _overstressed(
    rule: Rule, where: str, when: str, stress: Stress, source: str, remedy: str, shown: Shown
) -> Finding:
    if stress.stress is None or stress.allowable is None:
        raise ValueError("a stress that is held against nothing breaks nothing")
    kind = "pulled" if stress.stress > 0.0 else "pressed"
    return rule(
        where=where,
        found=abs(stress.stress),
        limit=stress.allowable,
        unit="Pa",
        message=f"{when} {stress.material} is {kind} with {shown.pressure(abs(stress.stress))} at the level of "
        f"{shown.length(stress.at_z)}; {shown.pressure(stress.allowable)} is allowed ({source}).",
        remedy=remedy,
    )


def _aground(where: str, way: str, aground: Aground, rake: float, source: str, shown: Shown) -> list[Finding]:
    findings = []
    load = aground.load
    when = f"Aground {way} with {aground.multiple:g} times its weight"
    remedy = "Take a thicker or stronger fin."
    if aground.bears is not None and aground.bears >= 0.01:
        remedy = f"Take a thicker or stronger fin, or plan with {where} = {_floored(aground.bears)}, which it bears."
    for stress in load.stresses:
        if stress.used is not None and stress.used > 1.0:
            findings.append(
                _overstressed(
                    FIN_OVERSTRESSED_AGROUND, f"strength.{where}", when, stress, source, remedy, shown
                )
            )
        elif stress.used is not None and stress.used * load.root_stress_factor > 1.0:
            findings.append(
                _raked_root(f"strength.{where}", when, stress, rake, load.root_stress_factor, remedy, shown)
            )
    buckling = load.buckling_force
    if buckling is None or load.force * BUCKLING_RESERVE <= buckling:
        return findings
    buckles = load.force > buckling
    limit = buckling if buckles else buckling / BUCKLING_RESERVE
    words = (
        f"the fin buckles: it does so from {shown.force(buckling)}"
        if buckles
        else f"the fin is close to buckling, which it does from {shown.force(buckling)}: {buckling / load.force:.1f} times "
        f"the load, and {BUCKLING_RESERVE:g} times are asked for (common practice)"
    )
    findings.append(
        FIN_GIVES_WAY(
            severity=Severity.STOP if buckles else Severity.CAUTION,
            where=f"strength.{where}",
            found=load.force,
            limit=limit,
            unit="N",
            message=f"{when}, {shown.force(load.force)}, {words}.",
            remedy=remedy,
        )
    )
    return findings


def _floored(multiple: float) -> str:
    """A multiple cut short, 10 at most, so that it does when typed as shown."""
    return f"{min(math.floor(100.0 * multiple) / 100.0, MOST_SAID):g}"
