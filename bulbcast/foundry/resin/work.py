"""The same bulb in lead shot and resin, with the same fin, hung mass and position of the mass centre."""

from __future__ import annotations

from bulbcast.ballast.no_solution import no_solution_fault
from bulbcast.bulb.hung.ledger import HungBulb
from bulbcast.bulb.hung.solve import NoSolutionError, size_and_place
from bulbcast.findings import Finding, Rule, Severity
from bulbcast.foundry.mould.design import MouldDesign
from bulbcast.foundry.resin.formulas import ResinCast, ShotMix, resin_cast
from bulbcast.foundry.results import FoundryResults
from bulbcast.materials.water import water_of_density
from bulbcast.pattern.cast_body import CastBody, cast_body_of
from bulbcast.plan.filling import made_from
from bulbcast.plan.mould_sections import ResinSection
from bulbcast.plan.sections import Plan
from bulbcast.quantities import Shown
from bulbcast.quantities.frozen import frozen, replace
from bulbcast.sailing.drag import BulbDrag, DragError, bulb_drag

RESIN_NO_BULB = Rule(
    "resin-no-bulb",
    Severity.CAUTION,
    why="Shot in resin is much lighter than lead, so a bulb of the required size would be too light.",
)
RESIN_IN_LAYERS = Rule(
    "resin-in-layers",
    Severity.CAUTION,
    why="The heat of curing stays in a thick layer, so the mould is filled in thin layers.",
)
RESIN_TEST_CUP = Rule(
    "resin-test-cup",
    Severity.CAUTION,
    why="Curing resin heats itself and then cures faster; a thick layer can smoke or burn.",
)


@frozen
class Side:
    """One of the two bulbs compared.

    Attributes:
        bulb: Sized and positioned bulb.
        cast: Cast body of the bulb.
        density: Density of the casting. [kg/m3]
        drag: Drag at the plan's speed; None if it cannot be calculated.
    """

    bulb: HungBulb
    cast: CastBody
    density: float
    drag: BulbDrag | None


@frozen
class ResinJob:
    """Comparison of lead poured hot with shot in resin.

    Attributes:
        section: Section [resin] of the plan.
        mix: Mix of shot and resin.
        lead: Bulb as planned.
        in_this_mould: Mass of the planned bulb's cast body if it were made of shot and resin. [kg]
        resin: Bulb of shot in resin; None if none is found.
        casting: Quantities and layers for that bulb; None without one.
        why_not: Reason why no such bulb is found; "" if one is.
        extra_displacement: Extra water that the larger bulb displaces; None without one. [m3]
    """

    section: ResinSection
    mix: ShotMix
    lead: Side
    in_this_mould: float
    resin: Side | None = None
    casting: ResinCast | None = None
    why_not: str = ""
    extra_displacement: float | None = None


def resin_job(job: FoundryResults, section: ResinSection) -> ResinJob:
    """Compare the planned bulb with one made of shot in resin.

    Args:
        job: Planned bulb, its cast body, and the mould, which gives the depth of the layers. Without a mould, the
            depth is the height of the bulb as it hangs.
        section: Section [resin] of the plan.
    """
    bulb, cast = job.bulb, job.cast
    mix = made_from(ShotMix, section)

    def side(one: HungBulb, body: CastBody) -> Side:
        return Side(bulb=one, cast=body, density=body.density, drag=_drag(job.plan, one, section.speed))

    found = ResinJob(section=section, mix=mix, lead=side(bulb, cast), in_this_mould=mix.density * cast.volume)
    # Hung mass and position are those of the planned bulb, whether they came from the boat or not.
    asked = replace(job.wish, target_mass=bulb.mass, lead_density=mix.density, porosity=0.0)
    try:
        larger = size_and_place(asked)
    except NoSolutionError as error:
        return replace(found, why_not=no_solution_fault(job.plan, error, job.shown).expected)
    body = cast_body_of(larger, cored=cast.cored, finish=cast.finish, density=mix.density)
    return replace(
        found,
        resin=side(larger, body),
        casting=resin_cast(
            mix,
            volume=body.volume,
            depth=_depth(body, job.mould),
            spare=section.spare,
            highest_rise=section.highest_temperature - section.room,
        ),
        extra_displacement=larger.displacement - bulb.displacement,
    )


def _depth(body: CastBody, mould: MouldDesign | None) -> float:
    """Depth to be filled, measured vertically in the mould. [m]"""
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


def resin_findings(job: ResinJob, shown: Shown) -> tuple[Finding, ...]:
    """Return the findings for a builder who is considering resin; none of them concerns the cast lead bulb.

    Args:
        job: Comparison of lead with shot in resin.
        shown: The builder's units.
    """
    casting, section = job.casting, job.section
    if casting is None:
        return (
            RESIN_NO_BULB(
                "resin",
                f"No bulb of shot in resin ({shown.density(job.mix.density)}) has the same hung mass. "
                f"Such a bulb would need {job.why_not}.",
                "Give a fineness in place of a length or a diameter, or cast the bulb in lead.",
                found=job.mix.density,
                unit="kg/m3",
            ),
        )
    layer = shown.length(casting.depth / casting.layers)
    highest, at_once = section.highest_temperature, section.room + casting.rise_at_once
    reached, allowed = section.room + casting.layer_rise, shown.temperature(highest)
    cup = RESIN_TEST_CUP(
        "resin",
        f"Resin cures faster as it warms, which is not calculated: a layer of {layer} reaches at least "
        f"{shown.temperature(reached)} and may go well beyond that.",
        f"First cure a test cup of the same mix, {layer} deep, outdoors, with a thermometer in it. If it gets "
        f"hotter than {allowed}, halve the depth of the layers and try again.",
        found=reached,
        limit=highest,
        unit="degC",
    )
    if casting.layers == 1:
        return (cup,)
    in_layers = RESIN_IN_LAYERS(
        "resin",
        f"Filled all at once, the bulb of shot in resin would heat up to at least {shown.temperature(at_once)}; "
        f"{allowed} is allowed.",
        f"Fill it in at least {casting.layers} layers, each at most {layer} deep. Pour each layer when the one below "
        "has set and feels cold.",
        found=at_once,
        limit=highest,
        unit="degC",
    )
    return (in_layers, cup)
