"""Castings that are not fed. The hung mass allows for their hollow, unless the plan gives a void fraction."""

from __future__ import annotations

from bulbcast.bulb.hung.wishes import alloy_of
from bulbcast.foundry.gating.formulas import feed_demand
from bulbcast.foundry.pour.temperature import pour_temperature
from bulbcast.materials.lead import MELTING_POINT
from bulbcast.plan.sections import DefaultTaken, Plan
from bulbcast.quantities.frozen import replace

POROSITY = "alloy.porosity"


def with_hollow_counted(plan: Plan) -> Plan:
    """Increase the voids assumed in the plan by the amount that an unfed casting shrinks before it is solid.

    Args:
        plan: Plan as read.

    Returns:
        Plan with those voids, or the same plan if the casting is fed, is poured in open halves to a mark, or has voids
        typed by the builder.

    Raises:
        PlanError: The figures are not those of a lead alloy.
    """
    open_halves = plan.mould is not None and plan.mould.kind == "open-halves"
    if plan.pour is None or plan.pour.feeding != "none" or open_halves or not hollow_counted(plan):
        return plan
    alloy = alloy_of(plan)
    hot = max(pour_temperature(plan.pour, alloy.liquidus), MELTING_POINT)
    contraction = alloy.contraction if plan.pattern.contraction is None else plan.pattern.contraction
    voids = plan.alloy.porosity + feed_demand(hot, contraction)
    said = DefaultTaken(
        key=POROSITY,
        value=f"{100.0 * voids:.2f} %",
        source=f"our judgement: {100.0 * plan.alloy.porosity:g} %, plus the shrinkage of the unfed metal before it is solid",
    )
    return replace(
        plan,
        alloy=replace(plan.alloy, porosity=voids),
        defaults=tuple(said if one.key == POROSITY else one for one in plan.defaults),
    )


def hollow_counted(plan: Plan) -> bool:
    """Whether the program sets the void fraction because the builder gave none.

    Args:
        plan: Plan as read, or with the hollow allowed for.
    """
    return POROSITY in {one.key for one in plan.defaults}
