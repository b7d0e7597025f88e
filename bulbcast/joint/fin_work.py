"""Check of a plan's fin against its loads, as a beam at 90 degrees of heel and aground.

This is plain beam theory with loads and allowables as given, not a classification calculation.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from bulbcast.ballast.results import BallastResults
from bulbcast.fin.foil import Foil, foil_solid
from bulbcast.fin.planned import fin_foil, section_of
from bulbcast.fin.shape import Shape, numbers_of
from bulbcast.fin.stiffness import (
    TUBE_AT,
    FinSection,
    GivenFin,
    Material,
    SolidFin,
    TubeCoredFin,
    station_stiffness,
    thickness_at,
)
from bulbcast.fin.weight import UsualDensity, estimated_density
from bulbcast.joint.fin_axis import Point
from bulbcast.joint.fin_beam import Blow, Grounding, Knockdown, grounding, knockdown
from bulbcast.joint.fin_buckling import BUCKLING_RESERVE
from bulbcast.joint.strength import Aground, FinStrength, Roots
from bulbcast.plan.sections import DefaultTaken, Plan
from bulbcast.plan.strength_sections import StrengthSection

_MARGIN = 1.01
_THICKEST = 0.4


def fin_strength(job: BallastResults, asked: StrengthSection, *, search: bool) -> FinStrength:
    """Check the fin of a plan whose [strength] gives a section.

    Args:
        job: The sized bulb, and the boat if there is one.
        asked: The plan's [strength], with a section.
        search: Whether to look for the root thickness needed to satisfy each limit that is exceeded.

    Raises:
        BoatFigureError: The figures do not describe a fin.
    """
    plan, bulb = job.plan, job.bulb
    foil, section = fin_foil(plan.fin, bulb.incidence), beam_section(asked, section_of(plan.fin))
    density, estimate = _density(plan, asked, foil, section)
    # As typed. If not typed: None with a tube, because its position decides, and the default without one.
    typed = all(taken.key != "fin.elastic_axis" for taken in plan.defaults)
    axis = None if isinstance(section, TubeCoredFin) and not typed else plan.fin.elastic_axis

    def flat(tried: Foil) -> Knockdown:
        return knockdown(
            tried,
            section,
            bulb_mass=bulb.mass,
            bulb_x=bulb.mass_centre[0],
            bulb_z=bulb.mass_centre[1],
            fin_density=density,
            elastic_axis=axis,
        )

    mass, nose = grounded_mass(job, asked), (bulb.nose_x, bulb.axis_z)
    aground: dict[str, Aground] = {}
    at: dict[Blow, Point] = {
        "vertical_grounding": (bulb.underside_x, bulb.underside_z),
        "longitudinal_grounding": nose,
        "sideways_grounding": nose,
    }
    for blow, place in at.items():
        multiple = getattr(asked, blow)
        if multiple is not None and mass is not None:
            load = grounding(foil, section, blow, mass=mass, multiple=multiple, at=place, elastic_axis=axis)
            aground[blow] = Aground(multiple=multiple, load=load, bears=_bears(multiple, load))
    return FinStrength(
        foil=foil,
        section=section,
        fin_density=density,
        density_estimate=estimate,
        elastic_axis=axis,
        knockdown=flat(foil),
        grounded_mass=mass,
        aground=aground,
        roots=_roots(asked, foil, flat) if search else Roots(),
    )


def grounded_mass(job: BallastResults, asked: StrengthSection) -> float | None:
    """Mass brought to rest in a grounding: as typed, or that of the boat and the bulb together; None if neither is known.
    [kg]

    Args:
        job: The results, with the boat if there is one.
        asked: The plan's [strength].
    """
    if asked.grounded_mass is not None or job.boat is None:
        return asked.grounded_mass
    return job.boat.total_mass


def _density(
    plan: Plan, asked: StrengthSection, foil: Foil, section: FinSection
) -> tuple[float, UsualDensity | None]:
    """Density used for the fin's weight: from weighing, as given, or estimated. [kg/m3]"""
    if plan.fin.mass is not None:
        return plan.fin.mass / foil_solid(foil).volume, None
    if plan.fin.density is not None:
        return plan.fin.density, None
    estimate = estimated_density(
        foil, section, material=plan.fin.material, wood_specific_gravity=asked.wood_specific_gravity
    )
    return estimate.density, estimate


def tube_place(asked: StrengthSection, shape: Shape | None) -> float:
    """Position of a tube's axis as a fraction of the chord: as typed, or at the thickest part of the section.

    Args:
        asked: The plan's [strength].
        shape: Shape of the fin's section; None means the standard four-digit shape.
    """
    if asked.tube_at is not None:
        return asked.tube_at
    return TUBE_AT if shape is None else numbers_of(shape).max_at


def beam_section(asked: StrengthSection, shape: Shape | None) -> FinSection:
    """Construction of the fin as given in the plan.

    Args:
        asked: The plan's [strength] with a section, with its figures already checked.
        shape: Shape of the fin's section; None means the standard four-digit shape.

    Raises:
        BoatFigureError: A stiffness or a tube is impossible.
    """
    source = asked.allowable_source or "as given"
    body = Material(
        name="the fin" if asked.material is None else asked.material,
        modulus=asked.modulus or 0.0,
        shear_modulus=asked.shear_modulus or 0.0,
        allowable=asked.allowable,
        source=source,
    )
    if asked.section == "solid":
        return SolidFin(material=body)
    if asked.section == "given":
        return GivenFin(
            bending=asked.bending_stiffness or 0.0,
            torsion=asked.torsion_stiffness or 0.0,
            fore_and_aft=asked.fore_and_aft_stiffness,
            material=None if asked.modulus is None else body,
        )
    tube = Material(
        name="the tube" if asked.tube is None else asked.tube,
        modulus=asked.tube_modulus or 0.0,
        shear_modulus=asked.tube_shear_modulus or 0.0,
        allowable=asked.tube_allowable,
        source=source,
    )
    return TubeCoredFin(
        body=body,
        tube=tube,
        outer=asked.tube_outer or 0.0,
        inner=asked.tube_inner or 0.0,
        at=tube_place(asked, shape),
    )


def _bears(multiple: float, load: Grounding) -> float | None:
    """Maximum multiple of the weight permitted by the allowables and by buckling with its reserve. [-]"""
    shares = [load.root_stress_factor * one.used for one in load.stresses if one.used is not None]
    if load.buckling_force is not None:
        shares.append(load.force * BUCKLING_RESERVE / load.buckling_force)
    worst = max(shares, default=0.0)
    return multiple / worst if worst > 0.0 else None


def _roots(asked: StrengthSection, foil: Foil, flat: Callable[[Foil], Knockdown]) -> Roots:
    """Root thickness needed to satisfy each typed limit that is exceeded at 90 degrees of heel."""

    def most_used(held: Knockdown) -> float:
        """Maximum ratio of stress to allowable, including the end of a raked root; 0 if no allowable is given."""
        shares = [one.used for one in held.stresses if one.used is not None]
        return held.root_stress_factor * max(shares, default=0.0)

    def root(limit: float | None, figure: Callable[[Knockdown], float]) -> float | None:
        if limit is None or asked.section == "given" or figure(flat(foil)) <= limit:
            return None
        low, high = foil.root_thickness, _THICKEST * foil.root_chord
        if high <= low or figure(flat(replace(foil, root_thickness=high))) > limit / _MARGIN:
            return None
        for _ in range(40):
            middle = 0.5 * (low + high)
            enough = figure(flat(replace(foil, root_thickness=middle))) <= limit / _MARGIN
            low, high = (low, middle) if enough else (middle, high)
        return high

    return Roots(
        stress=root(1.0, most_used),
        deflection=root(asked.largest_deflection, lambda one: one.bulb_deflection),
        twist=root(asked.largest_twist, lambda one: abs(one.twist)),
    )


def with_own_axis(plan: Plan) -> Plan:
    """Set the plan's elastic axis to that of its section or tube, if the builder typed none.

    Args:
        plan: The plan as read. Its default applies to a standard four-digit fin without a tube.

    Returns:
        The plan with that axis. The plan is unchanged if the default applies, or if the tube does not fit (an error that
        is reported later).
    """
    asked, fin, shape = plan.strength, plan.fin, section_of(plan.fin)
    tubed = asked is not None and asked.section == "tube-cored"
    if "fin.elastic_axis" not in {one.key for one in plan.defaults} or (shape is None and not tubed):
        return plan
    axis = numbers_of(shape).flexural_axis
    source = "integral of x y^3 over integral of y^3, for the fin's section"
    if asked is not None and tubed:
        axis, source = (
            tube_place(asked, shape),
            "the tube's position at the tip, averaged with the body's (weighted by stiffness)",
        )
        source += " if the body is counted"
        if (asked.tube_outer or 0.0) < thickness_at(axis, fin.tip_thickness, shape):
            tip = station_stiffness(beam_section(asked, shape), fin.tip_chord, fin.tip_thickness, shape)
            axis = tip.flexural / fin.tip_chord
    said = DefaultTaken(key="fin.elastic_axis", value=f"{axis:.3g}", source=source)
    return replace(
        plan,
        fin=replace(fin, elastic_axis=axis),
        defaults=tuple(said if one.key == said.key else one for one in plan.defaults),
    )
