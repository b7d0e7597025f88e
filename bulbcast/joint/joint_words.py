"""Rows and words on the joint, and on what whoever designs the hull is handed, for report and terminal alike."""

from __future__ import annotations

from bulbcast.joint.joint_loads import JointCase
from bulbcast.joint.strength import JointStrength, Strength
from bulbcast.quantities import Shown
from bulbcast.quantities.typed import force_down

Rows = tuple[tuple[str, ...], ...]

NOT_CALCULATED = (
    "What is not calculated: fatigue; shear stress in the fin, by torque and across it; the preload that creep of the lead "
    "takes away; corrosion of the screws against lead and steel; how the screws are locked; the hull's trunk, floors and "
    "keel bolts. Have these seen to by whoever designs the hull's structure."
)
"""How the chapter on strength opens."""

HANDED_OVER = (
    "For whoever designs the hull's structure: what each load asks of the hull where it holds the fin"
)

CASES = {
    "hanging": "hanging upright",
    "at-90": "90 degrees of heel",
    "heeled": "heeled, at its worst angle",
    "aground-ahead": "aground ahead on the nose",
    "aground-vertical": "aground, down on the bulb",
    "aground-sideways": "struck from the side on the nose",
}
"""Each load in words, by its name in plan.json."""


def root_rows(strength: Strength, shown: Shown) -> Rows:
    """Each load at the hull: moments, shear, force along the fin, torque."""
    return tuple(
        (
            CASES[one.name],
            shown.torque(one.across),
            shown.torque(one.along),
            shown.force(one.shear),
            shown.force(one.pressed),
            shown.torque(one.torque),
        )
        for one in strength.at_root
    )


def joint_rows(held: JointStrength, shown: Shown) -> Rows:
    """The joint: what hangs on it, each load's pressures, the fin's net section, preload."""
    joint = held.joint
    rows: list[tuple[str, ...]] = [
        ("Weight of the bulb", shown.force(joint.weight), "in air"),
        (
            "Moment at 90 degrees of heel",
            shown.torque(held.at_90.moment),
            f"{shown.length(abs(held.arm))} from the pocket floor",
        ),
        (
            "Would turn the bulb on its screws with",
            shown.torque(abs(held.at_90.turning)),
            "the mass centre off the screws' middle",
        ),
    ]
    for case in held.cases:
        rows += _pressures(case, held, shown)
    for leaf in held.missing:
        rows.append((f"Joint, {leaf.replace('_', ' ')}", "not calculated", f"no strength.{leaf} is given"))
    rows += _net_rows(held, shown)
    rows.append(
        (
            "Preload of each screw",
            "not given" if held.preload is None else shown.force(held.preload),
            "bearing not judged: give strength.tightened_to"
            if held.preload is None
            else "added to every pull: the safe side; tighten again after some weeks, for creep takes it away",
        )
    )
    return tuple(rows)


def _pressures(case: JointCase, held: JointStrength, shown: Shown) -> list[tuple[str, ...]]:
    rows: list[tuple[str, ...]] = []
    name = CASES[case.name]
    if case.pivot is not None:
        judged = "not judged: a blow, not months"
        if case.name == "hanging":
            judged = f"for months; the limit is {shown.pressure(held.edge_limit)}"
        rows.append((f"Tip's edge on the lead, {name}", shown.pressure(case.pivot.pressure), judged))
    if case.wall_pressure is not None:
        rows.append(
            (
                f"Pocket's walls, {name}",
                shown.pressure(case.wall_pressure),
                "if they alone held; not judged: no limit is known for a short load on lead",
            )
        )
    if case.floor_pressure is not None:
        rows.append(
            (
                f"Pocket's floor, {name}",
                shown.pressure(case.floor_pressure),
                "the mean; not judged: no limit is known for a short load on lead",
            )
        )
    return rows


def _net_rows(held: JointStrength, shown: Shown) -> list[tuple[str, ...]]:
    if held.net is None:
        return [("Fin at the screws' holes", "not judged", held.net_missing)]
    left = f"{shown.percent(held.net.share)} of its second moment left by the holes"
    if held.net_allowable is None:
        left += "; not judged: no allowable of a solid fin"
    else:
        left += f"; {shown.pressure(held.net_allowable)} allowed"
    return [
        (f"Fin at the screws' holes, {CASES[one.name]}", shown.pressure(one.stress), left)
        for one in held.net_stresses
        if one.name != "hanging"
    ]


PULL_HEADS = ("screw", "pull upright", "most pull", "under that load", "most stress", "under that load")


def pull_rows(held: JointStrength, shown: Shown) -> Rows:
    """One row a screw, its pulls and stress with the load that is worst; as `PULL_HEADS`."""
    return tuple(
        (
            str(one.number),
            shown.force(one.sustained),
            shown.force(one.pulled_most.pull),
            CASES[one.pulled_most.name],
            shown.pressure(one.stressed_most.equivalent),
            CASES[one.stressed_most.name],
        )
        for one in held.screws
    )


HOLD_HEADS = (
    "screw",
    "shear at 90 deg",
    "thread counted",
    "holds",
    "lead bears",
    "under its",
    "creep limit",
    "preload at most",
)


def hold_rows(held: JointStrength, shown: Shown) -> Rows:
    """One row a screw: shear, thread, bearing, preload; as `HOLD_HEADS`."""
    rows = []
    for one in held.screws:
        shear, under = one.cases[1].shear, "washer" if one.washer else "head"
        rows.append(
            (
                str(one.number),
                "not judged" if shear is None else shown.force(shear),
                shown.length(one.counted),
                "not judged" if one.holds is None else shown.force(one.holds),
                shown.pressure(one.bearing.pressure),
                under if held.preload is not None else f"{under}; not judged",
                shown.pressure(one.bearing.limit),
                force_down(one.preload_at_most, shown),
            )
        )
    return tuple(rows)


JOINT_CAPTION = (
    "Screws and pocket's walls are each calculated as if they alone held. Stress: tension with shear over the core. A metal "
    "thread is counted over 1.5 diameters at most, and holds what the weaker of fin and screw holds. What lead holds as a "
    "thread is never counted on. Screws of a raked fin lean with it: pull is along them, shear across. With the mass "
    "centre beyond the screws the bulb turns on the tip's other edge, spread over the tip up to the nearest hole. The last "
    "column is what the creep limit leaves beside the bulb's weight: tighten again after some weeks."
)
