"""The most important figures in both systems of units, except those of the melt."""

from __future__ import annotations

from collections.abc import Callable
from typing import Literal

from bulbcast.job import Job
from bulbcast.quantities import Shown, worded
from bulbcast.report.chapter import Chapter, Line, Table
from bulbcast.report.steps import StepName


def key_figures(job: Job) -> Chapter:
    """Return a table of key figures in both systems of units; most are also on the job sheet.

    Args:
        job: The results.
    """
    bulb, body, shown, scale = job.bulb, job.bulb.body, job.shown, job.pattern.scale
    mass, length = Shown.mass, Shown.length

    def line(
        label: str,
        show: Callable[[Shown, float], str],
        value: float,
        remark: str,
        name: str = "",
        *,
        sheet: int = 0,
        step: StepName | Literal[""] = "",
        why: str = "",
    ) -> Line:
        text, other = show(shown, value), show(shown.other, value)
        brief = f"{text}, {why}" if why else ""
        return Line(label, text, remark, name, other=other, sheet=sheet, step=step, brief=brief)

    if body.width_to_height == 1.0:
        shape = [line("Diameter", length, body.diameter, "at the largest section", sheet=3)]
    else:
        same = worded("equivalent diameter {}", shown.length(body.diameter))
        shape = [
            line("Width", length, body.width, f"{body.width_to_height:g} times the height", sheet=3),
            line("Height", length, body.height, same, sheet=3),
        ]
    asked: str = "lead, fastenings, filling and paint; required by the boat"
    if job.plan.bulb.target_mass is not None:
        asked = worded("lead, fastenings, filling and paint; requested: {}", shown.mass(job.wish.target_mass))
    hangs = "aft of the nose, for everything that hangs on the fin"
    if job.plan.boat is not None and job.plan.fin.tip_leading_edge_x is None:
        hangs = "aft of the nose; its position in the boat is not known yet"
    elif job.plan.boat is not None:
        hangs = worded(
            "aft of the nose; {} aft of the forward end of the waterline", shown.length(bulb.mass_centre[0])
        )
    scaled = f"scale {scale:.5f}, before coating"
    bare, wetted = "bare body, including the tail face", bulb.surface.area
    lines = (
        line("Hung mass", mass, bulb.mass, asked, "bulb.hung_mass_kg", sheet=1, step="bulb"),
        line("Length", length, body.length, f"fineness {body.fineness:.2f}", "bulb.length_m", sheet=2),
        *shape,
        line(
            "Mass centre",
            length,
            bulb.mass_centre_x,
            hangs,
            sheet=4,
        ),
        line("Casting", mass, job.cast.mass, "cold, before filing and cutting", sheet=6),
        line(
            "Pattern length",
            length,
            job.pattern.length,
            scaled,
            sheet=7,
            step="pattern",
            why="allowing for contraction",
        ),
        line(
            "Water displaced",
            Shown.volume,
            bulb.displacement,
            "by the bulb and its skin",
            "bulb.displacement_m3",
            sheet=8,
        ),
        line("Wetted area", Shown.area, wetted, bare, "bulb.wetted_area_m2"),
    )
    return Chapter(
        name="figures",
        title="Key figures",
        heading="Key figures",
        step="bulb",
        parts=(Table(rows=lines, figures=(1, 2)),),
    )
