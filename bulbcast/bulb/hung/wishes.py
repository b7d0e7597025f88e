"""Alloy and profile of a plan, and the `BulbWish` made from them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, cast

from bulbcast.bulb.body.profiles import PROFILES, NoBodyError, Profile
from bulbcast.bulb.body.tabulated import tabulated
from bulbcast.bulb.cuts.fittings import PinCut, StudCut
from bulbcast.bulb.cuts.parts import ScrewCut
from bulbcast.bulb.cuts.washer import Washer
from bulbcast.bulb.hung.wish import BulbWish, FinWish
from bulbcast.fin.planned import section_of, slot_gap, slot_of
from bulbcast.fin.tip_section import FinTip
from bulbcast.materials.alloys import (
    AlloyError,
    CastAlloy,
    alloy_of_composition,
    alloy_of_density,
    alloy_of_grade,
    alloy_of_weighed_sample,
)
from bulbcast.materials.learned import alloy_with_log
from bulbcast.materials.water import fresh_water_density
from bulbcast.plan.fastening_sections import ScrewSection
from bulbcast.plan.faults import Fault, PlanError
from bulbcast.plan.filling import made_from
from bulbcast.plan.keys import KEYS
from bulbcast.plan.sections import Plan
from bulbcast.quantities.frozen import replace


@dataclass(frozen=True, slots=True, kw_only=True)
class OffsetsTable:
    """Table of ordinates named in a plan, as read from its file. Lengths in m.

    Attributes:
        x: Distances from the nose.
        r: Equal-area radii at these distances.
        width_to_height: Width over height from the table's own half widths and heights, or None.
        source: The file's name, for messages.
        sha256: SHA-256 hash of the file's bytes, in hexadecimal; empty if there was no file.
    """

    x: tuple[float, ...]
    r: tuple[float, ...]
    width_to_height: float | None
    source: str
    sha256: str = ""


USUAL_CARRY_AT = float(KEYS["fin.carry_at"].default or "nan")
"""Position of the mass centre on the tip chord if the plan does not give one. [-]"""


def alloy_of(plan: Plan) -> CastAlloy:
    """The alloy of a plan, with its properties updated from the castings in the log next to the plan.

    Raises:
        PlanError: The figures do not give a lead alloy.
    """
    alloy = _alloy_given(plan)
    return alloy if plan.learned is None else alloy_with_log(alloy, plan.learned)


def _alloy_given(plan: Plan) -> CastAlloy:
    """The alloy, in whichever of the four forms the plan gives it.

    Raises:
        PlanError: The figures do not give a lead alloy.
    """
    section = plan.alloy
    try:
        if section.grade is not None:
            return alloy_of_grade(section.grade)
        if section.density is not None:
            return alloy_of_density(section.density, plan.spread_typed("alloy.density"))
        if section.composition is not None:
            return alloy_of_composition(section.composition)
        sample = section.weighed
        if sample is None:
            raise AlloyError("no grade, density, composition or weighed sample")
        water = fresh_water_density(sample.water_temperature)
        return made_from(alloy_of_weighed_sample, sample, water_density=water)
    except AlloyError as error:
        key = "alloy.weighed" if section.weighed is not None else "alloy"
        raise PlanError(
            [Fault(file=plan.source, key=key, read="figures that do not give a lead alloy", expected="a lead alloy",
                   remedy=str(error))]
        ) from None  # fmt: skip


def profile_of(plan: Plan, offsets: OffsetsTable | None = None) -> Profile:
    """The profile named in the plan.

    Raises:
        PlanError: Its parameters do not give a body, or its table cannot be used.
    """
    bulb = plan.bulb
    try:
        if bulb.profile == "offsets":
            return _tabulated_profile(plan, offsets)
        made = PROFILES[bulb.profile]
        return made_from(made, bulb)
    except NoBodyError as error:
        raise PlanError(
            [
                Fault(
                    file=plan.source,
                    key=f"bulb.{error.key}",
                    read=f"parameters that do not produce a body: {error.reason}",
                    expected="a closed outline with positive radii and a single maximum",
                    remedy=f"Values of {error.key} that work: {error.nearest}."
                    if error.nearest
                    else "Fix the figures.",
                )
            ]
        ) from None


def _tabulated_profile(plan: Plan, offsets: OffsetsTable | None) -> Profile:
    if offsets is None:
        raise NoBodyError("the table of ordinates was not loaded", key="offsets")
    own = offsets.width_to_height
    if own is not None and abs(own - plan.bulb.width_to_height) > 1e-3 * own:
        raise PlanError(
            [
                Fault(
                    file=plan.source,
                    key="bulb.width_to_height",
                    read=f"{plan.bulb.width_to_height:g}",
                    expected=f"{own:.4g}, the ratio of half widths to half heights in {offsets.source}",
                    remedy=f"Set width_to_height = {own:.4g}, or remove those two columns from the table.",
                )
            ]
        )
    return tabulated(offsets.x, offsets.r, source=offsets.source)


def _washer_of(screw: ScrewSection) -> Washer | None:
    """The washer of a screw. By default its hole is as wide as the hole in the lead, and it is made of the same metal as
    the screw."""
    if screw.washer_diameter is None or screw.washer_thickness is None:
        return None
    return Washer(
        diameter=screw.washer_diameter,
        hole_diameter=screw.hole_diameter if screw.washer_hole is None else screw.washer_hole,
        thickness=screw.washer_thickness,
        density=screw.density if screw.washer_density is None else screw.washer_density,
    )


def wish_of(
    plan: Plan, profile: Profile, alloy: CastAlloy, from_boat: tuple[float, float | None] | None = None
) -> BulbWish:
    """Everything in the plan that the bulb's size and position depend on.

    Args:
        plan: The plan.
        profile: The plan's profile.
        alloy: The plan's alloy.
        from_boat: Mass [kg] and position [m] to use if the plan leaves them to the boat. If the boat's trim is not
            known, there is no position, and the default position on the chord is assumed.
    """
    bulb, fin = plan.bulb, plan.fin
    if from_boat is not None and from_boat[1] is None and bulb.mass_centre_x is None and fin.carry_at is None:
        fin = replace(fin, carry_at=USUAL_CARRY_AT)
    given: Literal["fineness", "length", "diameter"]
    if bulb.length is not None:
        given, value = "length", bulb.length
    elif bulb.diameter is not None:
        given, value = "diameter", bulb.diameter
    else:
        given, value = "fineness", cast(float, bulb.fineness)
    target, wanted = bulb.target_mass, bulb.mass_centre_x
    if wanted is None and fin.carry_at is not None:
        wanted = fin.tip_leading_edge_x + fin.carry_at * fin.tip_chord
    carried_at = None
    if bulb.mass_centre_x is None and fin.carry_at is not None:
        carried_at = fin.carry_at * fin.tip_chord
    if from_boat is not None:
        target = from_boat[0] if target is None else target
        wanted = from_boat[1] if wanted is None else wanted
    if target is None or wanted is None:
        raise ValueError(
            "the plan takes the mass or the position from the boat, but the boat does not give it"
        )
    return made_from(
        BulbWish,
        bulb,
        target_mass=target,
        profile=profile,
        given=given,
        value=value,
        lead_density=alloy.density,
        porosity=plan.alloy.porosity,
        fin=made_from(
            FinWish,
            fin,
            tip=FinTip(
                chord=fin.tip_chord, thickness=fin.tip_thickness, shape=section_of(fin), slot=slot_of(fin)
            ),
            leading_edge_x=fin.tip_leading_edge_x,
            clearance=fin.pocket_clearance if fin.slot_width is None else slot_gap(fin),
            through=fin.joint == "through",
            bonded=plan.halves_bonded,
            bond_line=(fin.bond_line or 0.0) if plan.halves_bonded else 0.0,
        ),
        screws=tuple(
            made_from(ScrewCut, screw, at_x=screw.at, washer=_washer_of(screw)) for screw in plan.screws
        ),
        pins=tuple(
            made_from(PinCut, pin, at_x=pin.at, hole_diameter=pin.hole_diameter or pin.diameter)
            for pin in plan.cross_pins
        ),
        studs=tuple(
            made_from(
                StudCut,
                stud,
                at_x=stud.at,
                fill_density=bulb.filler_density if stud.fill_density is None else stud.fill_density,
            )
            for stud in plan.studs
        ),
        mass_centre_x=wanted,
        excess=0.0,
        carried_at=carried_at,
    )
