"""The fin of a plan held against its loads: the beam at 90 degrees of heel and aground.

Plain beam theory with loads and allowables as given: not a classification calculation.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from bulbcast.bulb.hung.ledger import HungBulb
from bulbcast.fin.depth import fin_foil
from bulbcast.fin.foil import Foil, foil_solid
from bulbcast.fin.foil_section import thickness_at
from bulbcast.fin.stiffness import (
    TUBE_AT,
    FinSection,
    GivenFin,
    Material,
    SolidFin,
    TubeCoredFin,
    station_stiffness,
)
from bulbcast.fin.weight import UsualDensity, estimated_density
from bulbcast.joint.fin_beam import (
    Grounding,
    Knockdown,
    knockdown,
    longitudinal_grounding,
    vertical_grounding,
)
from bulbcast.joint.fin_buckling import BUCKLING_RESERVE
from bulbcast.joint.strength import Aground, FinStrength, Roots
from bulbcast.plan.sections import DefaultTaken, Plan
from bulbcast.plan.strength_sections import StrengthSection
from bulbcast.quantities import Shown

_MARGIN = 1.01
_THICKEST = 0.4


def fin_strength(
    plan: Plan, asked: StrengthSection, bulb: HungBulb, boat_mass: float | None, *, search: bool
) -> FinStrength:
    """The fin of a plan with a section in its [strength].

    Args:
        plan: The plan.
        asked: Its [strength], with a section.
        bulb: The sized bulb.
        boat_mass: Of boat and bulb; None without a boat. [kg]
        search: Whether to look for the root that would fix what is broken.

    Raises:
        BoatFigureError: Figures that no fin has.
    """
    foil, section = fin_foil(plan.fin, bulb.incidence), beam_section(asked)
    density, estimate = _density(plan, asked, foil, section)
    axis = _elastic_axis(plan, section)

    def held(tried: Foil) -> Knockdown:
        return knockdown(
            tried,
            section,
            bulb_mass=bulb.mass,
            bulb_x=bulb.mass_centre[0],
            bulb_z=bulb.mass_centre[1],
            fin_density=density,
            elastic_axis=axis,
        )

    mass = boat_mass if asked.grounded_mass is None else asked.grounded_mass
    vertical = longitudinal = None
    if asked.vertical_grounding is not None and mass is not None:
        down = vertical_grounding(
            foil,
            section,
            mass=mass,
            multiple=asked.vertical_grounding,
            ground=(bulb.underside_x, bulb.underside_z),
            elastic_axis=axis,
        )
        vertical = _aground(asked.vertical_grounding, down)
    if asked.longitudinal_grounding is not None and mass is not None:
        ahead = longitudinal_grounding(
            foil,
            section,
            mass=mass,
            multiple=asked.longitudinal_grounding,
            nose=(bulb.nose_x, bulb.axis_z),
            elastic_axis=axis,
        )
        longitudinal = _aground(asked.longitudinal_grounding, ahead)
    sideways, torque = None, 0.0
    if asked.sideways_grounding is not None and mass is not None:
        # Held flat is a force across the bulb as well: the blow in place of the weight, at the nose.
        struck = knockdown(
            foil,
            section,
            bulb_mass=asked.sideways_grounding * mass,
            bulb_x=bulb.nose_x,
            bulb_z=bulb.axis_z,
            elastic_axis=axis,
        )
        load = Grounding(
            force=struck.root_shear,
            root_moment=struck.root_moment,
            stresses=struck.stresses,
            buckling_force=None,
            root_stress_factor=struck.root_stress_factor,
        )
        sideways, torque = _aground(asked.sideways_grounding, load), struck.root_torque
    return FinStrength(
        foil=foil,
        section=section,
        fin_density=density,
        density_estimate=estimate,
        elastic_axis=axis,
        knockdown=held(foil),
        grounded_mass=mass,
        vertical=vertical,
        longitudinal=longitudinal,
        sideways=sideways,
        sideways_torque=torque,
        roots=_roots(asked, foil, held) if search else Roots(stress=None, deflection=None, twist=None),
    )


def _density(
    plan: Plan, asked: StrengthSection, foil: Foil, section: FinSection
) -> tuple[float, UsualDensity | None]:
    """Of the fin's own weight, as weighed or given; else the estimate of it. [kg/m3]"""
    if plan.fin.mass is not None:
        return plan.fin.mass / foil_solid(foil).volume, None
    if plan.fin.density is not None:
        return plan.fin.density, None
    estimate = estimated_density(
        foil, section, material=plan.fin.material, wood_specific_gravity=asked.wood_specific_gravity
    )
    return estimate.density, estimate


def _elastic_axis(plan: Plan, section: FinSection) -> float | None:
    """As typed, else None with a tube, whose own place decides, else the plan format's own default. [-]"""
    typed = all(taken.key != "fin.elastic_axis" for taken in plan.defaults)
    return None if isinstance(section, TubeCoredFin) and not typed else plan.fin.elastic_axis


def fin_defaults(asked: StrengthSection, fin: FinStrength | None, shown: Shown) -> list[DefaultTaken]:
    """Defaults of the fin as a beam that hang on other figures, each with its source.

    Args:
        asked: Its [strength].
        fin: As a beam; None where the plan does not say how it is made.
        shown: The builder's units.
    """
    taken = []
    if asked.section == "tube-cored" and asked.tube_at is None:
        taken.append(
            DefaultTaken(key="strength.tube_at", value=f"{TUBE_AT:g}", source="the thick of the section")
        )
    if fin is not None and fin.density_estimate is not None:
        taken.append(
            DefaultTaken(
                key="fin.density",
                value=shown.density(fin.fin_density),
                source=f"for [strength] alone: {fin.density_estimate.source}",
            )
        )
    return taken


def beam_section(asked: StrengthSection) -> FinSection:
    """The fin's section as the plan gives it.

    Args:
        asked: With a section; the reader has seen to its figures.

    Raises:
        BoatFigureError: A stiffness or a tube that cannot be.
    """
    source = "as given" if asked.allowable_source is None else asked.allowable_source
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
        at=TUBE_AT if asked.tube_at is None else asked.tube_at,
    )


def _aground(multiple: float, load: Grounding) -> Aground:
    shares = [load.root_stress_factor * one.used for one in load.stresses if one.used is not None]
    if load.buckling_force is not None:
        shares.append(load.force * BUCKLING_RESERVE / load.buckling_force)
    worst = max(shares, default=0.0)
    return Aground(multiple=multiple, load=load, bears=multiple / worst if worst > 0.0 else None)


def most_used(held: Knockdown) -> float:
    """The largest stress over its allowable, at a raked root's end too; 0 where no allowable is given. [-]"""
    return held.root_stress_factor * max(
        (one.used for one in held.stresses if one.used is not None), default=0.0
    )


def _roots(asked: StrengthSection, foil: Foil, held: Callable[[Foil], Knockdown]) -> Roots:
    """For each typed limit that is broken at 90 degrees, how thick the root would have to be."""
    limits: list[tuple[float | None, Callable[[Knockdown], float]]] = [
        (1.0, most_used),
        (asked.largest_deflection, lambda one: one.bulb_deflection),
        (asked.largest_twist, lambda one: abs(one.twist)),
    ]
    found: list[float | None] = []
    for limit, figure in limits:
        if limit is None or asked.section == "given" or figure(held(foil)) <= limit:
            found.append(None)
            continue
        low, high = foil.root_thickness, _THICKEST * foil.root_chord
        if high <= low or figure(held(replace(foil, root_thickness=high))) > limit / _MARGIN:
            found.append(None)
            continue
        for _ in range(40):
            middle = 0.5 * (low + high)
            enough = figure(held(replace(foil, root_thickness=middle))) <= limit / _MARGIN
            low, high = (low, middle) if enough else (middle, high)
        found.append(high)
    return Roots(stress=found[0], deflection=found[1], twist=found[2])


def with_tube_axis(plan: Plan) -> Plan:
    """The plan with the elastic axis of a tube-cored fin, where the builder typed none.

    Args:
        plan: As read; its default is that of a fin without a tube.

    Returns:
        The same plan where its fin has no tube, or a tube that does not fit, which is refused later.
    """
    asked, fin = plan.strength, plan.fin
    taken = {one.key for one in plan.defaults}
    if asked is None or asked.section != "tube-cored" or "fin.elastic_axis" not in taken:
        return plan
    at = TUBE_AT if asked.tube_at is None else asked.tube_at
    outer = asked.tube_outer or 0.0
    axis = at
    if outer < thickness_at(at, fin.tip_thickness):
        section = TubeCoredFin(
            body=Material(
                name="body", modulus=asked.modulus or 0.0, shear_modulus=asked.shear_modulus or 0.0
            ),
            tube=Material(
                name="tube", modulus=asked.tube_modulus or 0.0, shear_modulus=asked.tube_shear_modulus or 0.0
            ),
            outer=outer,
            inner=asked.tube_inner or 0.0,
            at=at,
        )
        axis = station_stiffness(section, fin.tip_chord, fin.tip_thickness).flexural / fin.tip_chord
    told = DefaultTaken(
        key="fin.elastic_axis",
        value=f"{axis:.3g}",
        source="the tube's own place at the tip, with the body by stiffness where that is counted",
    )
    return replace(
        plan,
        fin=replace(fin, elastic_axis=axis),
        defaults=tuple(told if one.key == told.key else one for one in plan.defaults),
    )
