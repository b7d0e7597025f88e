"""Findings on the fin as a beam.

This is plain beam theory against allowables as given, not a classification calculation. Exceeding an allowable or limit
that the builder typed is a stop. Failing to meet a default or a reserve set by the program is only a caution, because
the builder did not choose it.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from bulbcast.fin.foil import foil_solid
from bulbcast.fin.stiffness import GivenFin, TubeCoredFin
from bulbcast.fin.weight import FinMaterial, is_even
from bulbcast.findings import Finding, Rule, Severity, typed
from bulbcast.joint.fin_beam import Grounding, Knockdown
from bulbcast.joint.fin_buckling import BUCKLING_RESERVE
from bulbcast.joint.strength import Aground, FinStrength
from bulbcast.plan.strength_sections import StrengthSection
from bulbcast.quantities import Shown
from bulbcast.quantities.typed import thickness_up

FIN_NOT_JUDGED = Rule(
    "fin-not-judged",
    Severity.NOTE,
    why="A stress means nothing until you compare it with what the material can bear.",
)
FIN_OVERSTRESSED = Rule(
    "fin-overstressed",
    Severity.STOP,
    why="When the boat is laid flat, the fin carries the full weight of the bulb as a cantilever from the hull.",
)
FIN_OVERSTRESSED_AGROUND = Rule(
    "fin-overstressed-aground",
    Severity.STOP,
    why=(
        "When the boat runs aground, she stops in a short distance, and the force on the fin is several times her weight."
    ),
)
FIN_BENDS_TOO_FAR = Rule(
    "fin-bends-too-far",
    Severity.STOP,
    why="A bulb that swings aside rights the boat less, and a fin that bends a lot is more prone to fatigue.",
)
FIN_TWISTS_TOO_FAR = Rule(
    "fin-twists-too-far",
    Severity.STOP,
    why="A twisted fin meets the water at an angle and strains the joint.",
)
FIN_GIVES_WAY = Rule(
    "fin-gives-way",
    Severity.STOP,
    Severity.CAUTION,
    why=("A thin fin loaded along its length buckles suddenly, long before it is crushed."),
)
FIN_WEIGHT_ESTIMATED = Rule(
    "fin-weight-estimated",
    Severity.NOTE,
    why="If the fin is not weighed, its mass is estimated from its size and a typical density.",
)
FIN_NOT_EVEN = Rule(
    "fin-not-even",
    Severity.CAUTION,
    why="The beam formulas assume one uniform material; layers and grain behave differently.",
)
FIN_RAKED_ROOT = Rule(
    "fin-raked-root",
    Severity.CAUTION,
    why="Stress concentrates at one end of a raked fin's root, so it is higher there than the beam formula says.",
)

MOST_SAID = 10.0
"""Maximum multiple of the weight that is reported. The beam formula does not justify a higher figure. [-]"""

BLOWS = {
    "vertical_grounding": "Aground, down on the bulb",
    "longitudinal_grounding": "Aground, nose first",
    "sideways_grounding": "Struck on the bulb's nose from the side",
}
"""Words for each grounding load, by its key in [strength]."""


def check_fin(
    fin: FinStrength, asked: StrengthSection, material: FinMaterial | None, shown: Shown
) -> list[Finding]:
    """List all findings on the fin as a beam.

    Args:
        fin: The results for the fin.
        asked: The plan's [strength].
        material: Type of the fin's material; None if not given.
        shown: The builder's units.
    """
    findings = [*_weight(fin, shown), *_evenness(fin, material), *_at_90(fin, asked, shown)]
    for leaf, aground in fin.aground.items():
        findings += _aground(fin, leaf, aground, asked, shown)
    return findings


def bears_words(multiple: float) -> str:
    """Multiple of the boat's weight that the fin bears aground, in words. It is rounded down, so that the fin passes when
    the figure is typed in.

    Args:
        multiple: Multiple of the weight. [-]
    """
    if multiple > MOST_SAID:
        return f"more than {MOST_SAID:g} times"
    return f"{_floored(multiple)} times"


def _weight(fin: FinStrength, shown: Shown) -> Iterator[Finding]:
    if fin.density_estimate is None:
        return
    mass = foil_solid(fin.foil).volume * fin.fin_density
    yield FIN_WEIGHT_ESTIMATED(
        "fin.mass",
        f"The fin's mass is not given: {shown.mass(mass)} was estimated from its section and a density of "
        f"{shown.density(fin.fin_density)} ({fin.density_estimate.source}).",
        "Weigh the fin and type its mass under [fin]. Leave the fin out of [[weights]].",
        found=mass,
        unit="kg",
    )


def _evenness(fin: FinStrength, material: FinMaterial | None) -> Iterator[Finding]:
    """Yield a finding if the fin material is not isotropic; the beam formulas assume that it is."""
    section = fin.section
    if isinstance(section, GivenFin):
        return
    body = section.body if isinstance(section, TubeCoredFin) else section.material
    if body.modulus == 0.0:
        return
    even = is_even(body.modulus, body.shear_modulus)
    if even and material not in ("wood", "laminate"):
        return
    # A shear modulus across grain or between plies may be typed as zero.
    ratio = body.modulus / body.shear_modulus if body.shear_modulus > 0.0 else None
    kind = {"wood": "Wood", "laminate": "A laminate"}.get(material or "", f'"{body.name}"')
    words = f"{kind} is not equally stiff in all directions, but the beam formula treats it as if it were"
    if ratio is not None and not even:
        words += f": its modulus is {ratio:.3g} times its shear modulus, against 2 to 3 times for an isotropic material"
    yield FIN_NOT_EVEN(
        "strength.section",
        f"{words}. Stress in single plies or across the grain, and twist caused by bending, are not calculated.",
        "Hang a weight from the fin's tip, then from an arm across it. Measure the sag and the twist. Type section = "
        '"given" with bending_stiffness = weight x length^3 / (3 x sag) and torsion_stiffness = torque x length / '
        "angle in radians.",
        found=ratio,
        limit=None if even else 3.0,
    )


def _at_90(fin: FinStrength, asked: StrengthSection, shown: Shown) -> Iterator[Finding]:
    held, when = fin.knockdown, "At 90 degrees of heel"
    if all(one.allowable is None for one in held.stresses):
        yield FIN_NOT_JUDGED(
            "strength.allowable",
            "The fin's stresses are reported but not assessed: no allowable is given.",
            "Give strength.allowable with its source, or have someone qualified judge the fin.",
            unit="Pa",
        )
    thicker = _thicker(fin.roots.stress, shown)
    yield from _stressed(held, fin, FIN_OVERSTRESSED, "strength.allowable", when, thicker, asked, shown)
    bend, turn = asked.largest_deflection, asked.largest_twist
    if bend is not None and held.bulb_deflection > bend:
        yield FIN_BENDS_TOO_FAR(
            "strength.largest_deflection",
            f"{when}, the bulb's centre moves {shown.length(held.bulb_deflection)} sideways; {shown.length(bend)} is "
            "allowed.",
            _thicker(fin.roots.deflection, shown),
            found=held.bulb_deflection,
            limit=bend,
            unit="m",
        )
    twist = abs(held.twist)
    if turn is not None and twist > turn:
        yield FIN_TWISTS_TOO_FAR(
            "strength.largest_twist",
            f"{when}, the fin's tip twists by {shown.angle(twist)}; {shown.angle(turn)} is allowed.",
            f"Move the bulb nearer the elastic axis of the fin. {_thicker(fin.roots.twist, shown)}",
            found=twist,
            limit=turn,
            unit="rad",
        )


def _aground(
    fin: FinStrength, leaf: str, aground: Aground, asked: StrengthSection, shown: Shown
) -> Iterator[Finding]:
    load, where = aground.load, f"strength.{leaf}"
    when = f"{BLOWS[leaf]}, with a force of {aground.multiple:g} times the boat's weight"
    remedy = "Use a thicker or stronger fin."
    if aground.bears is not None and aground.bears >= 0.01:
        set_lower = typed(where, _floored(aground.bears))
        remedy = f"Use a thicker or stronger fin, or set {set_lower}, which this fin can bear."
    yield from _stressed(load, fin, FIN_OVERSTRESSED_AGROUND, where, when, remedy, asked, shown)
    buckling = load.buckling_force
    if buckling is None or load.force * BUCKLING_RESERVE <= buckling:
        return
    buckles = load.force > buckling
    words = (
        f"the fin buckles; its buckling load is {shown.force(buckling)}"
        if buckles
        else f"the fin is close to buckling. It buckles at {shown.force(buckling)}, {buckling / load.force:.1f} times "
        f"the load; {BUCKLING_RESERVE:g} times the load is required (common practice)"
    )
    yield FIN_GIVES_WAY(
        where,
        f"{when} ({shown.force(load.force)}), {words}.",
        remedy,
        severity=Severity.STOP if buckles else Severity.CAUTION,
        found=load.force,
        limit=buckling if buckles else buckling / BUCKLING_RESERVE,
        unit="N",
    )


def _stressed(
    load: Knockdown | Grounding,
    fin: FinStrength,
    rule: Rule,
    where: str,
    when: str,
    remedy: str,
    asked: StrengthSection,
    shown: Shown,
) -> Iterator[Finding]:
    """List a finding for each allowable that a load exceeds, in the beam itself or at the end of a raked root."""
    factor, end = load.root_stress_factor, "after" if fin.knockdown.rake > 0.0 else "fore"
    for one in load.stresses:
        limit = one.allowable
        if one.stress is None or limit is None:
            continue
        found, allowed = abs(one.stress), f"{shown.pressure(limit)} is allowed"
        if found / limit > 1.0:
            kind = "tensile" if one.stress > 0.0 else "compressive"
            message = (
                f"{when}, the {kind} stress in {one.material} is {shown.pressure(found)} at a height of "
                f"{shown.length(one.at_z)}; {allowed} ({asked.allowable_source or 'as typed'})."
            )
            yield rule(where, message, remedy, found=found, limit=limit, unit="Pa")
        elif found / limit * factor > 1.0:
            message = (
                f"{when}, at the {end} end of the raked root, the stress in {one.material} may reach "
                f"{shown.pressure(factor * found)}, {factor:.2f} times what the beam formula says; {allowed}."
            )
            yield FIN_RAKED_ROOT(where, message, remedy, found=factor * found, limit=limit, unit="Pa")


def _thicker(root: float | None, shown: Shown) -> str:
    if root is None:
        return "A thicker root alone is not enough. Use a stiffer or stronger material, or a shallower fin."
    return f"Set [fin] {typed('fin.root_thickness', thickness_up(root, shown))} or more."


def _floored(multiple: float) -> str:
    """Multiple of the weight, rounded down and limited to 10, so that a plan with that figure passes."""
    return f"{min(math.floor(100.0 * multiple) / 100.0, MOST_SAID):g}"
