"""How the boat stands up, in the report: righting arms, heel and leeway in a wind, other sizes, the trade."""

from __future__ import annotations

from bulbcast.quantities import Shown
from bulbcast.report.markup import figure, paragraph, section, table
from bulbcast.sailing.results import SailingResults
from bulbcast.sailing.sailing_work import Sailing
from bulbcast.sailing.views import righting_arm_plot, trade_plot, wind_heel_plot
from bulbcast.sailing.words import (
    ARM_HEADS,
    CAVEAT,
    LEEWAY_CAVEAT,
    NOT_TRADED,
    OTHER_SIZES,
    SMALL_ANGLES,
    TRADE_HEADS,
    arm_rows,
    leeway_rows,
    scale_heads,
    scale_needs,
    scale_rows,
    stability_rows,
    trade_rows,
    trade_words,
    wind_rows,
)


def standing_section(job: SailingResults) -> str:
    """How she stands up; empty where the plan gives no boat, or neither a shape nor a rig.

    Args:
        job: The results.
    """
    standing, shown = job.standing, job.shown
    if standing is None or (standing.curve is None and job.plan.rig is None):
        return ""
    body = ""
    plot = righting_arm_plot(standing, shown)
    if plot is not None:
        body += figure(
            plot,
            f"Righting arms at free sinkage and trim, heeled to {standing.side}, hull, fin"
            f"{', rudder' if job.plan.rudder is not None else ''} and bulb with their volumes and masses. "
            "Dashed: the wind's heeling arm, where a rig is given. A kink is where bulb and fin leave the water, or "
            "the deck goes in.",
        )
        body += table(
            ("", "", ""), stability_rows(standing, shown), figures=(1,), caption=f"Righting arms. {CAVEAT}"
        )
        body += table(
            ARM_HEADS,
            arm_rows(standing, shown, 10),
            figures=(0, 1, 2, 3, 4),
            caption=f"Heel by heel. {CAVEAT}",
        )
    else:
        body += paragraph(standing.curve_missing)
    sailing = standing.sailing
    if sailing is not None:
        body += _sailing(sailing, shown)
        if standing.trade is not None:
            picture = trade_plot(standing.trade, shown)
            if picture is not None:
                body += figure(
                    picture,
                    "Deeper or heavier: the steady wind that heels her 30 degrees. The ring is the plan.",
                )
            body += table(
                TRADE_HEADS,
                trade_rows(standing.trade, shown),
                figures=tuple(range(8)),
                caption="Other bulbs on other fins: winds for 20, 30 and 45 degrees, and heel in "
                f"{shown.speed(sailing.wind)}. {CAVEAT}",
            )
            for told in trade_words(standing.trade, shown):
                body += paragraph(told, "caption")
        else:
            body += paragraph(NOT_TRADED, "caption")
    elif standing.sailing_missing:
        body += paragraph(standing.sailing_missing)
    return section("standing", "How she stands up", body)


def _sailing(sailing: Sailing, shown: Shown) -> str:
    body = ""
    plot = wind_heel_plot(sailing, shown)
    if plot is not None:
        body += figure(plot, "Steady heel over wind: no gust, no roll, no crew.")
    if not sailing.by_curve:
        body += paragraph(SMALL_ANGLES)
    body += table(("", "", ""), wind_rows(sailing, shown), figures=(1,), caption=f"Heel under wind. {CAVEAT}")
    body += table(("", "", ""), leeway_rows(sailing, shown), figures=(1,), caption="Side force and leeway")
    body += paragraph(LEEWAY_CAVEAT, "caption")
    rows = scale_rows(sailing, shown)
    if rows:
        body += table(scale_heads(sailing), rows, figures=(1, 2, 3), caption="The same boat at another size")
        body += paragraph(scale_needs(sailing, shown))
        body += paragraph(OTHER_SIZES, "caption")
    elif sailing.scale_missing:
        body += paragraph(sailing.scale_missing, "caption")
    return body
