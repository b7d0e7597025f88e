"""The same bulb of lead shot in resin: same fin, same hung mass, same place of the mass centre, and what it is then."""

from __future__ import annotations

from dataclasses import dataclass, replace

from bulbcast.ballast.no_solution import no_solution_fault
from bulbcast.bulb.hung.ledger import HungBulb
from bulbcast.bulb.hung.solve import NoSolutionError, size_and_place
from bulbcast.bulb.hung.wish import BulbWish
from bulbcast.findings import Finding, Rule, Severity
from bulbcast.foundry.mould.design import MouldDesign
from bulbcast.foundry.resin.formulas import ResinCast, ShotMix, resin_cast
from bulbcast.materials.water import water_of_density
from bulbcast.pattern.cast_body import CastBody, cast_body_of
from bulbcast.plan.mould_sections import ResinSection
from bulbcast.plan.sections import Plan
from bulbcast.quantities import Shown
from bulbcast.sailing.drag import BulbDrag, DragError, bulb_drag

RESIN_NO_BULB = Rule("resin-no-bulb", Severity.CAUTION)
RESIN_IN_LAYERS = Rule("resin-in-layers", Severity.CAUTION)
RESIN_TEST_CUP = Rule("resin-test-cup", Severity.CAUTION)


@dataclass(frozen=True, slots=True, kw_only=True)
class Side:
    """One of the two bulbs that are compared.

    Attributes:
        bulb: Sized and placed.
        cast: Its cast body.
        density: Of the casting. [kg/m3]
        drag: At the speed asked for; None where no drag can be told there.
        water_density: [kg/m3]
    """

    bulb: HungBulb
    cast: CastBody
    density: float
    drag: BulbDrag | None
    water_density: float

    @property
    def drag_areas(self) -> tuple[float | None, float | None]:
        """Drag over the dynamic pressure, with the lowest and the highest form factor. [m2]"""
        if self.drag is None:
            return None, None
        pressure = 0.5 * self.water_density * self.drag.speed**2
        return self.drag.low / pressure, self.drag.high / pressure


@dataclass(frozen=True, slots=True, kw_only=True)
class ResinJob:
    """Lead poured hot beside shot in resin.

    Attributes:
        mix: Shot and resin.
        lead: The bulb as planned.
        resin: The same of shot in resin; None where no such bulb is found.
        casting: What that takes; None likewise.
        why_not: Why none is found, "" where one is.
        in_this_mould: Mass that the planned bulb's own cast body would have in shot and resin. [kg]
        extra_displacement: Water that the larger bulb displaces more; None without one. [m3]
        speed: At which drag is compared. [m/s]
    """

    mix: ShotMix
    lead: Side
    resin: Side | None
    casting: ResinCast | None
    why_not: str
    in_this_mould: float
    extra_displacement: float | None
    speed: float


def resin_job(
    plan: Plan, wish: BulbWish, bulb: HungBulb, cast: CastBody, mould: MouldDesign | None, shown: Shown
) -> ResinJob:
    """The comparison.

    Args:
        plan: With [resin].
        wish: Of the planned bulb.
        bulb: The planned bulb.
        cast: Its cast body.
        mould: The mould, which tells how deep the layers lie; None: lying, upright as it hangs.
        shown: The builder's units.

    Raises:
        ValueError: The plan has no [resin].
    """
    section = plan.resin
    if section is None:
        raise ValueError("the plan gives no resin")
    mix = ShotMix(
        packing=section.packing,
        packing_spread=section.packing_spread,
        shot_density=section.shot_density,
        resin_density=section.resin_density,
        heat=section.heat,
        cure_time=section.cure_time,
    )

    def side(one: HungBulb, body: CastBody) -> Side:
        return Side(
            bulb=one,
            cast=body,
            density=body.density,
            drag=_drag(plan, one, section.speed),
            water_density=plan.water.density,
        )

    lead = side(bulb, cast)
    # Hung mass and place are those that the planned bulb came out with, from the boat or not.
    asked = replace(wish, target_mass=bulb.mass, lead_density=mix.density, porosity=0.0)
    try:
        larger = size_and_place(asked)
    except NoSolutionError as error:
        return ResinJob(
            mix=mix,
            lead=lead,
            resin=None,
            casting=None,
            why_not=no_solution_fault(plan, error, shown).expected,
            in_this_mould=mix.density * cast.volume,
            extra_displacement=None,
            speed=section.speed,
        )
    body = cast_body_of(larger, cored=cast.cored, finish=cast.finish, density=mix.density)
    return ResinJob(
        mix=mix,
        lead=lead,
        resin=side(larger, body),
        casting=resin_cast(
            mix,
            volume=body.volume,
            depth=_depth(body, mould),
            spare=section.spare,
            highest_rise=section.highest_temperature - section.room,
        ),
        why_not="",
        in_this_mould=mix.density * cast.volume,
        extra_displacement=larger.displacement - bulb.displacement,
        speed=section.speed,
    )


def _depth(body: CastBody, mould: MouldDesign | None) -> float:
    """What has to be filled, upright as the mould stands. [m]"""
    if mould is None:
        return body.height
    if mould.bulb_axis == "upright":
        return body.length
    across = body.width if mould.split == "port-starboard" else body.height
    along_parting = body.height if mould.split == "port-starboard" else body.width
    if mould.parting == "vertical":
        return along_parting
    return across / mould.pours


def _drag(plan: Plan, bulb: HungBulb, speed: float) -> BulbDrag | None:
    water = water_of_density(plan.water.density)
    try:
        return bulb_drag(
            length=bulb.body.length,
            fineness=bulb.body.fineness,
            wetted_area=bulb.surface.area,
            speed=speed,
            water_density=water.density,
            kinematic_viscosity=water.kinematic_viscosity,
        )
    except DragError:
        return None


def resin_findings(job: ResinJob, section: ResinSection, shown: Shown) -> tuple[Finding, ...]:
    """What a builder who thinks of resin has to know; none of it is about the bulb of cast lead.

    Args:
        job: The comparison.
        section: [resin].
        shown: The builder's units.
    """
    casting = job.casting
    if casting is None:
        return (
            RESIN_NO_BULB(
                where="resin",
                found=job.mix.density,
                unit="kg/m3",
                message=f"No bulb of shot in resin ({shown.density(job.mix.density)}) has the same hung mass: wanted is "
                f"{job.why_not}.",
                remedy="Give fineness in place of a length or a diameter, or cast it of lead.",
            ),
        )
    layer = shown.length(casting.depth / casting.layers)
    allowed = shown.temperature(section.highest_temperature)
    cup = RESIN_TEST_CUP(
        where="resin",
        found=section.room + casting.layer_rise,
        limit=section.highest_temperature,
        unit="degC",
        message="Resin cures faster as it warms, which is not calculated: a layer of "
        f"{layer} reaches at least {shown.temperature(section.room + casting.layer_rise)}, and may go well beyond.",
        remedy=f"First cure a test cup of the same mix, {layer} deep, outdoors and with a thermometer in it; where it "
        f"passes {allowed}, halve the layers and try again.",
    )
    if casting.layers == 1:
        return (cup,)
    return (
        RESIN_IN_LAYERS(
            where="resin",
            found=section.room + casting.rise_at_once,
            limit=section.highest_temperature,
            unit="degC",
            message="Filled at once the bulb of shot in resin would warm itself to at least "
            f"{shown.temperature(section.room + casting.rise_at_once)}; {allowed} is allowed.",
            remedy=f"Fill it in {casting.layers} layers or more, {layer} deep at most, each when the one below has set and "
            "is cold to the hand.",
        ),
        cup,
    )
