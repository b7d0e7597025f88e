"""The chain in one place: a Plan in, a Job with every result out. Reads like the work itself.

    plan -> alloy, profile -> sized and placed bulb -> room round the cuts -> cast body -> pattern -> melt -> findings

A Job holds no mesh and touches no file, so that a study of a thousand plans stays quick.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, cast

from bulbcast.casting.cast_body import CastBody, CoredCuts, cast_body_of
from bulbcast.casting.contraction import RuleCost, rule_costs
from bulbcast.casting.finish import FINISH_SOURCE, default_finish
from bulbcast.casting.melt import Melt, melt_of
from bulbcast.casting.pattern import Pattern, pattern_of
from bulbcast.checks.balance import check_balance
from bulbcast.checks.cuts import ScrewAsked, check_cuts, walls_below
from bulbcast.checks.foundry import check_alloy, check_casting, check_charge, check_tail
from bulbcast.checks.limits import engagement, smallest_wall
from bulbcast.findings import Finding, Severity, sorted_by_severity
from bulbcast.materials.alloys import (
    AlloyError,
    CastAlloy,
    alloy_of_composition,
    alloy_of_density,
    alloy_of_grade,
    alloy_of_weighed_sample,
)
from bulbcast.materials.water import fresh_water_density
from bulbcast.no_solution import no_solution_fault
from bulbcast.plan.faults import Fault, PlanError
from bulbcast.plan.sections import DefaultTaken, Plan
from bulbcast.quantities import Shown
from bulbcast.shape.fin_section import FinTip
from bulbcast.shape.profiles import (
    NoBodyError,
    Profile,
    four_digit,
    modified_four_digit,
    sears_haack,
    series58,
    spheroid,
)
from bulbcast.shape.tabulated import tabulated
from bulbcast.sizing.balance import Balance, balance_of
from bulbcast.sizing.ledger import HungBulb
from bulbcast.sizing.remedies import screw_remedy
from bulbcast.sizing.room import Room, room_of
from bulbcast.sizing.solve import NoSolutionError, size_and_place
from bulbcast.sizing.wish import BulbWish, FinWish, ScrewWish, tail_diameter_for


@dataclass(frozen=True, slots=True, kw_only=True)
class OffsetsTable:
    """Ordinates that a plan names, as the files room has read them. Lengths in m.

    Attributes:
        x: From the nose.
        r: Equal-area radii.
        width_to_height: That the table's own half widths and heights say, or None.
        source: The file's name, for messages.
    """

    x: tuple[float, ...]
    r: tuple[float, ...]
    width_to_height: float | None
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Job:
    """Every result of one plan.

    Attributes:
        plan: What was asked.
        shown: The builder's units.
        alloy: What it is cast of.
        wish: What the size and the place depend on.
        bulb: The sized and placed bulb with its hung-mass ledger.
        balance: How it sits under the fin.
        room: Lead and fin round the cuts.
        wall_wanted: [m]
        cast: The cast body.
        pattern: The pattern with its ledger.
        rules: What other shops' contraction rules would cost.
        melt: The charge.
        defaults: Every value the plan did not give, with its source.
        findings: Gravest first.
    """

    plan: Plan
    shown: Shown
    alloy: CastAlloy
    wish: BulbWish
    bulb: HungBulb
    balance: Balance
    room: Room
    wall_wanted: float
    cast: CastBody
    pattern: Pattern
    rules: tuple[RuleCost, ...]
    melt: Melt
    defaults: tuple[DefaultTaken, ...]
    findings: tuple[Finding, ...]

    @property
    def stopped(self) -> bool:
        """Whether a finding says that bulb or pattern must not be made as planned."""
        return any(finding.severity is Severity.STOP for finding in self.findings)

    @property
    def pour_withheld(self) -> tuple[Finding, ...]:
        """The holds on melt and pour."""
        return tuple(
            finding
            for finding in self.findings
            if finding.severity is Severity.HOLD and finding.code in ("alloy-unknown", "charge-foundry")
        )


def run(plan: Plan, offsets: OffsetsTable | None = None, *, remedies: bool = True) -> Job:
    """The whole job, without files.

    Args:
        plan: The plan as read.
        offsets: The table it names, where its profile is `offsets`.
        remedies: Whether to search for the place and the head that would mend a thin wall, and to close in
            on walls that are thick enough anyway; a study, which tells codes alone, does without.

    Returns:
        Every result.

    Raises:
        PlanError: The plan has no solution; each fault names the nearest values that would do.
    """
    shown = Shown(plan.display_units)
    alloy = alloy_of(plan)
    wish = wish_of(plan, profile_of(plan, offsets), alloy)
    bulb = _sized(plan, wish, shown)
    wall_wanted = smallest_wall(plan.bulb.smallest_wall, wish.target_mass)
    room = room_of(bulb, wall_wanted=wall_wanted, roughly=not remedies)
    balance = balance_of(bulb, elastic_axis=plan.fin.elastic_axis)

    cored = CoredCuts(
        pocket=plan.fin.pocket == "cored", screws=tuple(screw.hole == "cored" for screw in plan.screws)
    )
    finish = plan.pattern.finish if plan.pattern.finish is not None else default_finish(bulb.body.diameter)
    cast_body = cast_body_of(bulb, cored=cored, finish=finish, density=wish.cast_density)
    contraction = alloy.contraction if plan.pattern.contraction is None else plan.pattern.contraction
    pattern = pattern_of(
        bulb,
        cast_body,
        contraction=contraction,
        mould_expansion=plan.pattern.mould_expansion,
        coat=plan.pattern.coat,
    )
    melt = melt_of(
        cast_body.mass,
        feeder_mass=plan.melt.feeder_mass,
        feeder_fraction=plan.melt.feeder_fraction,
        reserve=plan.melt.reserve,
        dross=alloy.dross if plan.melt.dross is None else plan.melt.dross,
    )
    return Job(
        plan=plan,
        shown=shown,
        alloy=alloy,
        wish=wish,
        bulb=bulb,
        balance=balance,
        room=room,
        wall_wanted=wall_wanted,
        cast=cast_body,
        pattern=pattern,
        rules=rule_costs(contraction, plan.pattern.mould_expansion),
        melt=melt,
        defaults=plan.defaults + _settled(plan, alloy, bulb, cast_body, melt, wall_wanted, shown),
        findings=_findings(plan, alloy, bulb, balance, room, wall_wanted, cast_body, melt, shown, remedies),
    )


def alloy_of(plan: Plan) -> CastAlloy:
    """The alloy by whichever of the four ways the plan takes.

    Raises:
        PlanError: The figures give no lead alloy.
    """
    section = plan.alloy
    try:
        if section.grade is not None:
            return alloy_of_grade(section.grade)
        if section.density is not None:
            return alloy_of_density(section.density)
        if section.composition is not None:
            return alloy_of_composition(section.composition)
        sample = section.weighed
        if sample is None:
            raise AlloyError("no grade, density, composition or weighed sample")
        return alloy_of_weighed_sample(
            in_air=sample.in_air,
            in_water=sample.in_water,
            water_density=fresh_water_density(sample.water_temperature),
            sample_porosity=sample.sample_porosity,
            reading_spread=sample.reading_spread,
        )
    except AlloyError as error:
        key = "alloy.weighed" if section.weighed is not None else "alloy"
        raise PlanError(
            [Fault(file=plan.source, key=key, read="figures that give no lead alloy", expected="a lead alloy",
                   remedy=str(error))]
        ) from None  # fmt: skip


def profile_of(plan: Plan, offsets: OffsetsTable | None = None) -> Profile:
    """The profile the plan names.

    Raises:
        PlanError: Its parameters give no body, or its table cannot be used.
    """
    bulb = plan.bulb
    try:
        if bulb.profile == "naca4mod":
            return modified_four_digit(
                max_at=cast(float, bulb.max_at), nose_index=cast(float, bulb.nose_index)
            )
        if bulb.profile == "series58":
            return series58(
                max_at=cast(float, bulb.max_at),
                nose_radius=cast(float, bulb.nose_radius),
                tail_radius=cast(float, bulb.tail_radius),
                prismatic=cast(float, bulb.prismatic),
            )
        if bulb.profile == "offsets":
            return _tabulated_profile(plan, offsets)
    except NoBodyError as error:
        raise PlanError(
            [
                Fault(
                    file=plan.source,
                    key=f"bulb.{error.key}",
                    read=f"parameters that give no body: {error.reason}",
                    expected="an outline that is closed, positive and thickest once",
                    remedy=f"Values of {error.key} that would do: {error.nearest}."
                    if error.nearest
                    else "Mend the figures.",
                )
            ]
        ) from None
    return {"naca4": four_digit, "spheroid": spheroid, "sears-haack": sears_haack}[bulb.profile]()


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
                    expected=f"the {own:.4g} of the half widths and heights in {offsets.source}",
                    remedy=f"Set width_to_height = {own:.4g}, or take those two columns out of the table.",
                )
            ]
        )
    return tabulated(offsets.x, offsets.r, source=offsets.source)


def wish_of(plan: Plan, profile: Profile, alloy: CastAlloy) -> BulbWish:
    """What the size and the place depend on, out of the plan.

    Args:
        plan: The plan.
        profile: Its profile.
        alloy: Its alloy.
    """
    bulb, fin = plan.bulb, plan.fin
    given: Literal["fineness", "length", "diameter"]
    if bulb.length is not None:
        given, value = "length", bulb.length
    elif bulb.diameter is not None:
        given, value = "diameter", bulb.diameter
    else:
        given, value = "fineness", cast(float, bulb.fineness)
    wanted = bulb.mass_centre_x
    if wanted is None:
        wanted = fin.tip_leading_edge_x + cast(float, fin.carry_at) * fin.tip_chord
    return BulbWish(
        target_mass=bulb.target_mass,
        profile=profile,
        given=given,
        value=value,
        width_to_height=bulb.width_to_height,
        tail_diameter=bulb.tail_diameter,
        skin=bulb.skin,
        filler_density=bulb.filler_density,
        lead_density=alloy.density,
        porosity=plan.alloy.porosity,
        fin=FinWish(
            tip=FinTip(chord=fin.tip_chord, thickness=fin.tip_thickness),
            leading_edge_x=fin.tip_leading_edge_x,
            tip_z=fin.tip_z,
            pocket_depth=fin.pocket_depth,
            clearance=fin.pocket_clearance,
            rake=fin.rake,
        ),
        screws=tuple(
            ScrewWish(
                at=screw.at,
                diameter=screw.diameter,
                hole_diameter=screw.hole_diameter,
                head_diameter=screw.head_diameter,
                head_height=screw.head_height,
                recess=screw.recess,
                length=screw.length,
                density=screw.density,
            )
            for screw in plan.screws
        ),
        mass_centre_x=wanted,
    )


def _sized(plan: Plan, wish: BulbWish, shown: Shown) -> HungBulb:
    try:
        return size_and_place(wish)
    except NoSolutionError as error:
        raise PlanError([no_solution_fault(plan, error, shown)]) from None


def _settled(
    plan: Plan,
    alloy: CastAlloy,
    bulb: HungBulb,
    cast_body: CastBody,
    melt: Melt,
    wall_wanted: float,
    shown: Shown,
) -> tuple[DefaultTaken, ...]:
    """Defaults that hang on other figures, as the rooms that own them settled them."""
    taken = []

    def note(given: object, key: str, value: str, source: str) -> None:
        if given is None:
            taken.append(DefaultTaken(key=key, value=value, source=source))

    practice = "common practice, no source"
    tail = tail_diameter_for(bulb.body.diameter, None)
    note(
        plan.bulb.tail_diameter,
        "bulb.tail_diameter",
        shown.length(tail),
        f"8 % of the diameter, 3 mm at least; {practice}",
    )
    note(
        plan.bulb.smallest_wall,
        "bulb.smallest_wall",
        shown.length(wall_wanted),
        f"3 mm, 10 mm from 40 kg up; {practice}",
    )
    note(
        plan.pattern.contraction,
        "pattern.contraction",
        shown.percent(alloy.contraction),
        alloy.contraction_source,
    )
    note(plan.pattern.finish, "pattern.finish", shown.length(cast_body.finish), FINISH_SOURCE)
    if plan.melt.feeder_mass is None and plan.melt.feeder_fraction is None:
        note(None, "melt.feeder", shown.mass(melt.feeder), melt.feeder_source)
    note(plan.melt.dross, "melt.dross", shown.percent(alloy.dross), alloy.dross_source)
    for number, screw in enumerate(plan.screws, start=1):
        note(
            screw.engagement,
            f"screws[{number}].engagement",
            shown.length(engagement(None, screw.diameter, plan.fin.material)),
            f"2.5 diameters in metal, 4 in wood and laminate, metal where not said; {practice}",
        )
    return tuple(taken)


def _findings(
    plan: Plan,
    alloy: CastAlloy,
    bulb: HungBulb,
    balance: Balance,
    room: Room,
    wall_wanted: float,
    cast_body: CastBody,
    melt: Melt,
    shown: Shown,
    search: bool,
) -> tuple[Finding, ...]:
    asked = tuple(
        ScrewAsked(
            diameter=screw.diameter,
            hole_diameter=screw.hole_diameter,
            head_diameter=screw.head_diameter,
            head_height=screw.head_height,
            recess=screw.recess,
            length=screw.length,
            engagement=engagement(screw.engagement, screw.diameter, plan.fin.material),
            engagement_given=screw.engagement is not None or plan.fin.material is not None,
        )
        for screw in plan.screws
    )
    imperial = plan.display_units == "imperial"
    remedies = {
        number: screw_remedy(bulb, number, wall_wanted=wall_wanted, imperial=imperial)
        for number in (walls_below(room, asked, wall_wanted) if search else ())
    }
    tail = 2.0 * bulb.body.tail_radius
    thin = min(bulb.body.width_to_height, 1.0 / bulb.body.width_to_height) ** 0.5
    return sorted_by_severity(
        check_cuts(
            room,
            asked,
            remedies,
            wall_wanted=wall_wanted,
            pocket_depth=plan.fin.pocket_depth,
            fin_length=plan.fin.tip_chord,
            shown=shown,
        )
        + check_balance(
            balance,
            chord=plan.fin.tip_chord,
            bulb_length=bulb.body.length,
            screw_places=tuple(screw.at for screw in plan.screws),
            shown=shown,
        )
        + check_tail(
            tail_thickness=tail * thin,
            tail_diameter=tail,
            asked=plan.bulb.tail_diameter is not None,
            shown=shown,
        )
        + check_alloy(alloy, contraction_given=plan.pattern.contraction is not None, shown=shown)
        + check_casting(
            cast_body,
            bulb_mass=bulb.mass,
            nose_to_lift=f"with the lifting point over its mass centre {shown.length(cast_body.mass_centre_x)} from "
            "the finished nose",
            shown=shown,
        )
        + check_charge(melt, shown=shown)
    )
