"""Report section on the joint under its loads: pressures, pulls and the strength of each screw."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from bulbcast.joint.joint_loads import JointCase
from bulbcast.joint.strength import JointStrength, ScrewStrength
from bulbcast.joint.thread import strip_areas
from bulbcast.plan.strength_sections import StrengthSection
from bulbcast.quantities import Shown
from bulbcast.quantities.typed import force_down
from bulbcast.report.chapter import Data, Gap, Json, Line, Part, Picture, Sources, Table, Words
from bulbcast.report.values import values_of

if TYPE_CHECKING:
    from bulbcast.drawing.shapes import View

JOINT_CAPTION = (
    "Screws and pocket walls are each calculated as if they carried the load alone. Stress combines tension with shear "
    "over the core. At most 1.5 diameters of a metal thread are counted, at the strength of the weaker of the fin and "
    "the screw. A thread in lead is never counted on. The screws of a raked fin lean with it; pull acts along them and "
    "shear across them. If the mass centre is beyond the screws, the bulb turns on the other edge of the tip, and the "
    "pressure is spread from there to the nearest hole. The last column is the preload that the creep limit allows on "
    "top of the bulb's weight. Tighten the screws again after a few weeks."
)


CASES = {
    "hanging": "hanging upright",
    "at-90": "90 degrees of heel",
    "heeled": "at the worst angle of heel",
    "aground-ahead": "aground, nose first",
    "aground-vertical": "aground, down on the bulb",
    "aground-sideways": "struck on the nose from the side",
}
"""Words for each load, by its name in plan.json."""


PULL_HEADS = ("screw", "pull upright", "largest pull", "under that load", "largest stress", "under that load")


HOLD_HEADS = (
    "screw",
    "shear at 90 deg",
    "thread counted",
    "holds",
    "pressure on lead",
    "under the",
    "creep limit",
    "largest preload",
)


def joint_parts(held: JointStrength, asked: StrengthSection, shown: Shown) -> Iterator[Part]:
    """Report section on the joint, within the chapter on strength.

    Args:
        held: The joint under its loads.
        asked: The plan's [strength].
        shown: The builder's units.
    """

    def drawn() -> View:
        from bulbcast.joint.joint_view import joint_view

        return joint_view(held, shown)

    counted = (
        "no preload is given"
        if held.preload is None
        else f"{shown.force(held.preload)} of preload in each screw"
    )
    yield Gap()
    yield Picture(
        draw=drawn,
        caption=f"{{title}}. Pulls and pressures on the fin's tip, seen from port. All arrows are to one scale; {counted}.",
    )
    yield Table(rows=_joint_lines(held, shown), caption="The joint")
    yield Table(
        rows=[_pulls(one, held, shown) for one in held.screws],
        heads=PULL_HEADS,
        figures=(1, 2, 4),
        caption="Pull on each screw",
        only="report",
    )
    yield Table(
        rows=[_holds(one, held, shown) for one in held.screws],
        heads=HOLD_HEADS,
        figures=(1, 2, 3, 4, 6, 7),
        caption="Holding strength of each screw",
        only="report",
    )
    yield Words(text=JOINT_CAPTION, style="caption", only="report")
    named = [f"Creep limit: {held.bearing_source}"]
    named += sorted({f"Strength of a screw thread: {one.holds_how}" for one in held.screws})
    if asked.allowable_source is not None:
        named.append(f"Allowables: {asked.allowable_source}")
    yield Sources(words=named)
    net = held.net
    said = {
        "arm_m": held.arm,
        "pocket_wall_pressure_pa": held.at_90.wall_pressure,
        "bearing_judged": held.preload is not None,
        "cases": [_case(one) for one in held.cases],
        "not_calculated": list(held.missing),
        "fin_net_section": None
        if net is None
        else {
            "area_m2": net.area,
            "bending_left": net.share,
            "stresses": [{"case": name, "stress_pa": stress} for name, stress in held.net_stresses.items()],
            "allowable_pa": held.net_allowable,
        },
        "screws": [_screw(one, held) for one in held.screws],
    }
    yield Data(values={f"joint.{name}": value for name, value in said.items()})


def _joint_lines(held: JointStrength, shown: Shown) -> list[Line]:
    """Rows for the load on the joint, the pressures under each load, the fin's net section and the preload."""
    flat, turning = held.at_90, held.at_90.turning
    arm, off = (
        f"mass centre {shown.length(abs(held.arm))} from the pocket floor",
        "due to the mass centre's distance from the middle of the screw group",
    )
    turns, at_90 = "Moment of the bulb's weight about the screws", "joint.moment_at_90_deg_heel_n_m"
    lines = [
        Line("Weight of the bulb", shown.force(held.joint.weight), "in air", "joint.weight_n"),
        Line("Moment at 90 degrees of heel", shown.torque(flat.moment), arm, at_90),
        Line(turns, shown.torque(abs(turning)), off, "joint.turning_n_m", turning),
    ]
    not_known = "not assessed: no limit is known for a brief load on lead"
    for case in held.cases:
        name = CASES[case.name]
        if case.pivot is not None:
            judged = "not assessed: this is a blow, not a load that lasts for months"
            if case.name == "hanging":
                judged = f"for months; the limit is {shown.pressure(held.bearing_limit)}"
            lines.append(
                Line(
                    f"Pressure of the tip's edge on the lead, {name}",
                    shown.pressure(case.pivot.pressure),
                    judged,
                )
            )
        for what, pressure, remark in (
            ("walls", case.wall_pressure, "as if the walls carried the load alone"),
            ("floor", case.floor_pressure, "mean pressure"),
        ):
            if pressure is not None:
                text = shown.pressure(pressure)
                lines.append(Line(f"Pocket {what}, {name}", text, f"{remark}; {not_known}"))
    lines += [
        Line(f"Joint, {leaf.replace('_', ' ')}", "not calculated", f"no strength.{leaf} is given")
        for leaf in held.missing
    ]
    if held.net is None:
        lines.append(Line("Fin at the screw holes", "not assessed", held.net_missing))
    else:
        left = f"{shown.percent(held.net.share)} of its second moment remains after drilling the holes; "
        allowable = held.net_allowable
        judged = "not assessed: no allowable for a solid fin is given"
        left += judged if allowable is None else f"{shown.pressure(allowable)} allowed"
        lines += [
            Line(f"Fin at the screw holes, {CASES[name]}", shown.pressure(stress), left)
            for name, stress in held.net_stresses.items()
            if name != "hanging"
        ]
    preload, said = "not given", "bearing is not assessed; give strength.tightened_to"
    if held.preload is not None:
        preload = shown.force(held.preload)
        said = "added to every pull, to be safe. Tighten again after a few weeks, because creep reduces it"
    return [*lines, Line("Preload of each screw", preload, said, "joint.tightened_to_n", held.preload)]


def _pulls(one: ScrewStrength, held: JointStrength, shown: Shown) -> tuple[str, ...]:
    """Table row for one screw, with the columns of `PULL_HEADS`."""
    pull, stress = max(one.pulls), max(one.equivalents)
    return (
        str(one.number),
        shown.force(one.sustained),
        shown.force(pull),
        CASES[held.cases[one.pulls.index(pull)].name],
        shown.pressure(stress),
        CASES[held.cases[one.equivalents.index(stress)].name],
    )


def _holds(one: ScrewStrength, held: JointStrength, shown: Shown) -> tuple[str, ...]:
    """Table row for one screw, with the columns of `HOLD_HEADS`."""
    shear = one.shears[1]
    return (
        str(one.number),
        "not assessed" if shear is None else shown.force(shear),
        shown.length(one.counted),
        "not assessed" if one.holds is None else shown.force(one.holds),
        shown.pressure(one.pressure),
        one.under if held.preload is not None else f"{one.under}; not assessed",
        shown.pressure(held.bearing_limit),
        force_down(one.preload_at_most, shown),
    )


def _case(case: JointCase) -> Json:
    pivot = case.pivot
    return {
        "case": case.name,
        **values_of(case, "force_n", "moment_n_m", "turning_n_m"),
        "pocket_wall_pressure_pa": case.wall_pressure,
        "pocket_floor_pressure_pa": case.floor_pressure,
        "edge": None if pivot is None else values_of(pivot, "at_m", "area_m2", "force_n", "pressure_pa"),
    }


def _screw(one: ScrewStrength, held: JointStrength) -> Json:
    index, tensions = one.number - 1, one.tensions
    loads = zip(held.cases, one.pulls, one.shears, tensions, one.equivalents, strict=True)
    return {
        "stress_area_m2": one.thread.stress_area,
        "pitch_m": one.thread.pitch,
        "engaged_m": one.engaged,
        "counted_m": one.counted,
        "strip_area_m2": strip_areas(one.thread, one.counted).hole,
        "hanging_n": held.cases[0].pulls[index],
        "prying_n": held.at_90.pulls[index],
        "shear_n": held.at_90.shears[index],
        "sustained_n": one.sustained,
        "at_90_deg_heel_n": one.pulls[1],
        "tension_pa": max(tensions),
        "cases": [
            {
                "case": case.name,
                "pull_n": pull,
                "shear_n": shear,
                "tension_pa": tension,
                "equivalent_pa": equivalent,
            }
            for case, pull, shear, tension, equivalent in loads
        ],
        "bearing_pressure_pa": one.pressure,
        "bearing_limit_pa": held.bearing_limit,
        "bearing_limit_source": held.bearing_source,
        "may_be_drawn_up_to_n": one.preload_at_most,
        "holds_n": one.holds,
        "holds_how": one.holds_how,
    }
