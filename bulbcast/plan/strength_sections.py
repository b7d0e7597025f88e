"""[strength] and [limits] in SI and frozen; None means "not given"."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal


@dataclass(frozen=True, slots=True, kw_only=True)
class StrengthSection:
    """[strength]: the fin as a beam and the joint. Stresses and moduli Pa, stiffness N m2, lengths m,
    forces N, masses kg, `largest_twist` rad; `tube_at` a fraction of the chord, groundings multiples of the
    weight of `grounded_mass`."""

    section: Literal["solid", "tube-cored", "given"] | None
    material: str | None
    modulus: float | None
    shear_modulus: float | None
    allowable: float | None
    allowable_source: str | None
    tube: str | None
    tube_outer: float | None
    tube_inner: float | None
    tube_at: float | None
    tube_modulus: float | None
    tube_shear_modulus: float | None
    tube_allowable: float | None
    bending_stiffness: float | None
    torsion_stiffness: float | None
    fore_and_aft_stiffness: float | None
    largest_deflection: float | None
    largest_twist: float | None
    vertical_grounding: float | None
    longitudinal_grounding: float | None
    sideways_grounding: float | None
    grounded_mass: float | None
    bearing_limit: float | None
    tightened_to: float | None
    screw_allowable: float | None
    thread_in: Literal["metal", "wood", "bonded"] | None
    thread_shear_allowable: float | None
    wood_specific_gravity: float | None
    grain: Literal["along the span", "across the span"] | None
    wood_moisture: Literal["dry", "wet"] | None


@dataclass(frozen=True, slots=True, kw_only=True)
class LimitsSection:
    """[limits]: what a rule allows, typed in; lengths m, masses kg."""

    draught: float | None
    bulb_mass: float | None
    fin_with_bulb: float | None
    bulb_width: float | None
    bulb_length: float | None
    rule: str | None
