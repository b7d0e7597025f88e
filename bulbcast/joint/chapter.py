"""Report chapter on the strength of the fin and the joint, and on the limits typed in."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from bulbcast.bulb.hung.ledger import HungBulb
from bulbcast.fin.foil import foil_solid
from bulbcast.fin.stiffness import GivenFin, SolidFin
from bulbcast.joint.fin_axis import fin_axis
from bulbcast.joint.fin_beam import NOT_A_CLASSIFICATION_CALCULATION, Stress
from bulbcast.joint.fin_buckling import BUCKLING_RESERVE, NOT_COVERED_AGROUND
from bulbcast.joint.fin_rules import bears_words
from bulbcast.joint.joint_chapter import CASES, joint_parts
from bulbcast.joint.results import JointResults
from bulbcast.joint.strength import Aground, FinStrength, Strength
from bulbcast.plan.strength_sections import StrengthSection
from bulbcast.quantities import Shown, worded
from bulbcast.report.chapter import Chapter, Data, Gap, Json, Line, Part, Picture, Table, Words
from bulbcast.report.values import values_of

if TYPE_CHECKING:
    from bulbcast.drawing.shapes import View

NOT_CALCULATED = (
    "Not calculated: fatigue; shear stress in the fin from torque and from sideways load; preload lost as the lead "
    "creeps; corrosion of the screws in contact with lead and steel; locking of the screws; the hull's trunk, floors and "
    "keel bolts. Have these checked by whoever designs the hull's structure."
)
"""Opening text of the chapter on strength."""

HANDED_OVER = "Loads on the hull where it holds the fin, for the designer of its structure"


BLOWS = {
    "vertical_grounding": ("Aground, down on the bulb", "down on the bulb"),
    "longitudinal_grounding": ("Aground, nose first", "nose first"),
    "sideways_grounding": ("Struck on the nose from the side", "on the nose from the side"),
}
"""Two names for each grounding load, by its key in [strength]: a label, and the words that follow "3 x weight"."""


LIMIT_NAMES = {
    "draught": "Draught to the bulb's underside",
    "bulb_mass": "Bulb with all its parts",
    "fin_with_bulb": "Fin with bulb",
    "bulb_width": "Width of the bulb with its skin",
    "bulb_length": "Length of the bulb with its skin",
}

_DASH = "\u2013"


def strength_chapter(job: JointResults, strength: Strength) -> Chapter:
    """Report chapter on the strength of the fin and the joint.

    Args:
        job: The results.
        strength: Strength of the fin and the joint, calculated from the results of `job`.
    """
    shown, asked, fin, joint = job.shown, strength.asked, strength.fin, strength.joint
    parts: list[Part] = [
        Words(text=NOT_A_CLASSIFICATION_CALCULATION, style="stopped"),
        Words(text=NOT_CALCULATED, style="stopped"),
        Data(values={"not": NOT_A_CLASSIFICATION_CALCULATION}),
    ]
    parts += (
        [Data(values={"fin": None, "at_the_hull": []})]
        if fin is None
        else _fin_parts(fin, asked, job.bulb, shown)
    )
    parts += [Data(values={"joint": None})] if joint is None else joint_parts(joint, asked, shown)
    return Chapter(
        name="strength",
        title="Strength of the fin and the joint",
        step="bulb",
        heading="Strength of the fin and the joint",
        at="strength",
        parts=parts,
    )


def limits_chapter(job: JointResults) -> Chapter:
    """Table that compares the bulb's figures with the limits typed in.

    Args:
        job: The results, including the limits.
    """
    rows = []
    for one in job.limits:
        left = one.shown(abs(one.limit - one.found), job.shown)
        judged = worded("met, with {} to spare" if one.kept else "BROKEN by {}", left)
        rows.append(
            (LIMIT_NAMES[one.name], one.shown(one.found, job.shown), one.shown(one.limit, job.shown), judged)
        )
    rule = None if job.plan.limits is None else job.plan.limits.rule
    whose = "" if rule is None else f", from {rule}"
    words = (
        f"Limits as you typed them{whose}. No class rule is built in. The wording of your rule decides, not the figures "
        "given here."
    )
    said = [
        {
            "name": one.name,
            f"found_{one.unit}": one.found,
            f"limit_{one.unit}": one.limit,
            "kept": one.kept,
        }
        for one in job.limits
    ]
    return Chapter(
        name="limits",
        title="Limits",
        step="bulb",
        heading="Limits",
        parts=(
            Table(rows=rows, heads=("", "found", "allowed", ""), figures=(1, 2), only="report"),
            Table(rows=rows, figures=(1, 2, 3), only="terminal"),
            Words(text=words, style="caption", only="report"),
            Data(values={"limits": said}),
        ),
    )


def _fin_parts(fin: FinStrength, asked: StrengthSection, bulb: HungBulb, shown: Shown) -> Iterator[Part]:
    def bent() -> View:
        from bulbcast.joint.fin_view import fin_bent_view

        return fin_bent_view(fin, bulb, asked.largest_deflection, shown)

    yield Picture(
        draw=bent,
        caption="{title}. View along the bulb, with the weights of the bulb and the fin acting. The dashed outline is "
        "the unbent fin; the curve below is the moment from hull to bulb. {scale}.",
    )
    yield from _at_the_hull(fin, shown)
    flat, aground = _fin_lines(fin, asked, shown), _aground_lines(fin, shown)
    yield Words(text=_made(fin, shown), only="report")
    yield Table(rows=flat, caption="Fin held flat at 90 degrees of heel", only="report")
    yield Table(rows=aground, caption="Aground: static loads, without shock", only="report")
    yield Table(rows=[one.cells() for one in (*flat, *aground)], only="terminal")
    yield Gap()
    rows = [
        (
            load,
            one.material,
            shown.length(one.at_z),
            f"strain {1e6 * one.strain:.0f} per million"
            if one.stress is None
            else shown.pressure(one.stress),
            _DASH if one.allowable is None else shown.pressure(one.allowable),
            _DASH if one.used is None else f"{100.0 * one.used:.0f} %",
        )
        for load, stresses in (
            ("90 degrees of heel", fin.knockdown.stresses),
            *(
                (f"{one.multiple:g} x weight {BLOWS[leaf][1]}", one.load.stresses)
                for leaf, one in fin.aground.items()
            ),
        )
        for one in stresses
    ]
    yield Table(
        rows=rows,
        heads=("load", "material", "at height", "stress", "allowable", "used"),
        figures=(2, 3, 4, 5),
        caption="Highest stress in each material; tension is positive",
        only="report",
    )
    short = [(f"{load}, {material}", *more) for load, material, _, *more in rows]
    yield Table(rows=short, figures=(1, 2, 3), only="terminal")


def _at_the_hull(fin: FinStrength, shown: Shown) -> Iterator[Part]:
    """Table of the loads on the hull where it holds the fin."""
    flat = fin.knockdown
    # Moment across, moment in the fin's plane, shear, along the fin, torque.
    loads = {"at-90": (flat.root_moment, 0.0, flat.root_shear, 0.0, abs(flat.root_torque))}
    for leaf, name in (
        ("longitudinal_grounding", "aground-ahead"),
        ("vertical_grounding", "aground-vertical"),
        ("sideways_grounding", "aground-sideways"),
    ):
        if leaf in fin.aground:
            load = fin.aground[leaf].load
            sideways, pressed = leaf == "sideways_grounding", leaf == "vertical_grounding"
            loads[name] = (
                load.root_moment if sideways else 0.0,
                0.0 if sideways else load.root_moment,
                0.0 if pressed else load.force,
                load.force if pressed else 0.0,
                abs(load.root_torque),
            )
    heads = ("load", "sideways moment", "moment in the fin's plane", "shear", "along the fin", "torque")
    names = ("moment_across_n_m", "moment_along_n_m", "shear_n", "pressed_n", "torque_n_m")
    write = (shown.torque, shown.torque, shown.force, shown.force, shown.torque)
    rows = [
        (CASES[name], *(as_text(figure) for as_text, figure in zip(write, load, strict=True)))
        for name, load in loads.items()
    ]
    columns = (1, 2, 3, 4, 5)
    yield Table(rows=rows, heads=heads, figures=columns, caption=HANDED_OVER, only="report")
    yield Words(
        text=f"{HANDED_OVER}: sideways moment, moment in the fin's plane, shear, force along the fin, torque.",
        only="terminal",
    )
    yield Table(rows=rows, figures=columns, only="terminal")
    said = [{"case": name, **dict(zip(names, load, strict=True))} for name, load in loads.items()]
    yield Data(values={"at_the_hull": said})


def _made(fin: FinStrength, shown: Shown) -> str:
    """One-sentence description of how the fin is made."""
    section = fin.section
    if isinstance(section, SolidFin):
        one = section.material
        shear = shown.pressure(one.shear_modulus)
        return f"Solid, {one.name}: modulus {shown.pressure(one.modulus)}, shear modulus {shear}."
    if isinstance(section, GivenFin):
        return "Stiffness as given, the same at every height."
    body, tube = section.body, section.tube
    counted = f"modulus {shown.pressure(body.modulus)}" if body.modulus > 0.0 else "not counted on"
    return (
        f"{tube.name[0].upper()}{tube.name[1:]}, {shown.length(section.outer)} outside and {shown.length(section.inner)} "
        f"inside, at {section.at:g} of the chord, modulus {shown.pressure(tube.modulus)}; the rest is {body.name}, "
        f"{counted}."
    )


def _fin_lines(fin: FinStrength, asked: StrengthSection, shown: Shown) -> list[Line]:
    """Rows for the fin held flat at 90 degrees of heel."""
    held, foil = fin.knockdown, fin.foil
    axis = fin_axis(foil, fin.section, fin.elastic_axis)
    root, tip = axis.station(0.0), axis.station(1.0)
    bend, turn, estimate = asked.largest_deflection, asked.largest_twist, fin.density_estimate
    own = shown.mass(foil_solid(foil, fin.fin_density).volume * fin.fin_density)
    flat = "fin.at_90_deg_heel"

    def alone(name: str, value: object) -> Line:
        return Line("", "", name=name, value=value)

    raked = f"raked by {shown.angle(axis.rake)}; sections are taken perpendicular to the axis"
    weighed = f"as a mass{'' if estimate is None else ', estimated from a typical density'}"
    bent = "no limit given" if bend is None else f"{shown.length(bend)} allowed"
    turned = "of its horizontal section, from torque and rake together; "
    turned += "no limit given" if turn is None else f"{shown.angle(turn)} allowed"
    factor, torque, twist = held.root_stress_factor, held.root_torque, held.twist
    at_end = "the beam stress, at the after end of the root, or at the fore end if the fin is raked forward"
    upright, stiff = (
        "about a vertical line through the elastic axis there",
        "modulus times second moment, for sideways bending",
    )
    bending, torsion = shown.stiffness(root.bending), shown.stiffness(root.torsion)
    moment, in_shear = shown.torque(held.root_moment), "shear modulus times torsion constant"
    down = "from the hull to the tip, held rigidly at the hull"
    return [
        Line("Span", shown.length(foil.span), down, "fin.span_m"),
        Line("Length along the fin's axis", shown.length(axis.length), raked, "fin.axis_length_m"),
        alone("fin.axis_rake_rad", axis.rake),
        Line("Stiffness at the hull", bending, stiff, "fin.bending_stiffness_root_n_m2"),
        alone("fin.bending_stiffness_tip_n_m2", tip.bending),
        Line("Torsional stiffness at the hull", torsion, in_shear, "fin.torsion_stiffness_root_n_m2"),
        alone("fin.torsion_stiffness_tip_n_m2", tip.torsion),
        Line("Bending moment at the hull", moment, "the fin held flat in air", f"{flat}.root_moment_n_m"),
        Line("Fin weight, included above", own, weighed, "fin.own_density_kg_m3", fin.fin_density),
        alone("fin.own_density_source", None if estimate is None else estimate.source),
        Line("Shear at the hull", shown.force(held.root_shear), name=f"{flat}.root_shear_n"),
        Line(
            "Sideways movement of the bulb's centre",
            shown.length(held.bulb_deflection),
            bent,
            f"{flat}.bulb_deflection_m",
        ),
        alone(f"{flat}.tip_deflection_m", held.tip_deflection),
        Line("Tilt of the tip", shown.angle(held.tip_slope), "", f"{flat}.tip_slope_rad", held.tip_slope),
        Line("Torque at the hull", shown.torque(abs(torque)), upright, f"{flat}.root_torque_n_m", torque),
        Line("Twist of the tip", shown.angle(abs(twist)), turned, f"{flat}.twist_rad", twist),
        Line(
            "Stress at the end of the root", f"{factor:.2f} x", at_end, f"{flat}.root_stress_factor", factor
        ),
        alone(f"{flat}.stresses", _stresses(held.stresses)),
    ]


def _aground_lines(fin: FinStrength, shown: Shown) -> list[Line]:
    """Rows with the result of each grounding load."""
    lines = [Line("", "", name="fin.grounded_mass_kg", value=fin.grounded_mass)]
    for leaf, (label, _) in BLOWS.items():
        at, aground = f"fin.{leaf}", fin.aground.get(leaf)
        if aground is None or fin.grounded_mass is None:
            lines.append(Line("", "", name=at, value=None))
            continue
        load, bends = aground.load, "in its plane"
        twists = ""
        if leaf == "sideways_grounding":
            bends = "sideways"
            twists = f", and twists it with {shown.torque(abs(load.root_torque))}, which is not assessed"
        asks = (
            f"{aground.multiple:g} times the weight of {shown.mass(fin.grounded_mass)}; bends the fin {bends} with "
            f"{shown.torque(load.root_moment)} at the hull{twists}"
        )
        lines.append(Line(label, shown.force(load.force), asks, f"{at}.force_n"))
        buckles, name = load.buckling_force, f"{at}.buckling_force_n"
        if buckles is None:
            lines.append(Line("", "", name=name, value=None))
        else:
            asked = f"calculated for sideways bending and twist together; {BUCKLING_RESERVE:g} times the load is required"
            lines.append(Line("buckles at", shown.force(buckles), asked, name))
        lines.append(_bears(aground, f"{at}.bears_multiple"))
        more = {
            "multiple": aground.multiple,
            "root_moment_n_m": load.root_moment,
            "buckling_reserve": BUCKLING_RESERVE,
            "stresses": _stresses(load.stresses),
        }
        lines += [Line("", "", name=f"{at}.{name}", value=value) for name, value in more.items()]
    return lines


def _bears(aground: Aground, name: str) -> Line:
    if aground.bears is None:
        return Line("bears", "not assessed", "no allowable given", name, None)
    judged = any(one.used is not None for one in aground.load.stresses)
    by = (
        "limited by the allowables given and by buckling"
        if judged
        else ("limited by buckling alone, because no allowable is given")
    )
    remark = f"the boat's weight, {by}. {NOT_COVERED_AGROUND}"
    return Line("bears", bears_words(aground.bears), remark, name, aground.bears)


def _stresses(stresses: tuple[Stress, ...]) -> list[Json]:
    return [
        values_of(one, "material", "at_z_m", "strain", "stress_pa", "allowable_pa", "used")
        for one in stresses
    ]
