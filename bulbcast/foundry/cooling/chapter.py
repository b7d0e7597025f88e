"""Report chapter on freezing and cooling: what freezes when, what the feeder reaches, and when the mould can be opened."""

from __future__ import annotations

from bulbcast.foundry.cooling.results import Cooling, Place
from bulbcast.foundry.cooling.rules import place_words
from bulbcast.foundry.cooling.views import freezing_map, fronts, history_plot
from bulbcast.quantities import Shown, worded
from bulbcast.report.chapter import (
    Cautions,
    Chapter,
    Data,
    Json,
    Line,
    Picture,
    Sources,
    Table,
    Words,
)
from bulbcast.report.values import number

_STANDS = {
    "lying": "lying, with the feeder upright on top",
    "nose-up": "nose up, with the feeder on the nose",
    "tail-up": "tail up, with the feeder on the tail",
    "open-half": "half the bulb, open at the top",
}
_HISTORY_ROWS = 120


def cooling_chapter(cooling: Cooling, shown: Shown) -> Chapter:
    """Build the chapter from the freezing map, freezing fronts, temperatures and figures.

    Args:
        cooling: Results of the simulation.
        shown: The builder's units.
    """
    return Chapter(
        name="cooling",
        title="Freezing and cooling",
        step="pour",
        at="cooling",
        parts=[
            Cautions(codes=["hot-mould"]),
            Picture(
                draw=lambda: freezing_map(cooling, shown),
                caption="Time at which each point freezes, with the mould as it stands when poured. Dark means late. "
                "The white cross-hair marks where the casting freezes last. A white disc shows the largest hollow "
                "at its true size.",
            ),
            Picture(
                draw=lambda: None if cooling.through is None else freezing_map(cooling, shown, along=False),
                caption="The same map, across the bulb.",
            ),
            Picture(
                draw=lambda: fronts(cooling, shown),
                caption="Dark metal still flows and can feed. Metal between dark and grey is mushy, and grey metal is "
                "solid.",
            ),
            Picture(
                draw=lambda: history_plot(cooling, shown),
                caption="The time axis has a square-root scale, compressed towards the end.",
            ),
            _freezing(cooling, shown),
            _heat(cooling),
            Words(
                text="Only heat is modelled. The mould's conductivity, and so every time here, is known to within a "
                "third at best; the range is given with each time. Weigh the mould until it is dry, keep the "
                "feeder liquid, and open the mould only when it is cold to the touch.",
                style="remarks",
                only="report",
            ),
            Sources(words=[*cooling.said, *cooling.setup.mould.sources, *cooling.setup.metal.sources]),
            _data(cooling),
        ],
    )


def _freezing(cooling: Cooling, shown: Shown) -> Table:
    setup, feeder = cooling.setup, cooling.setup.feeder
    by_conductivity = f"{shown.duration(cooling.frozen_low)} to {shown.duration(cooling.frozen_high)}"
    hollow = (
        f"; the largest hollow is {place_words(cooling, cooling.cavities[0].place, shown)}"
        if cooling.cavities
        else ""
    )
    bound_water = "the bound water, " if setup.mould.reaction_heat > 0.0 else ""
    lines = [
        Line(
            "Position",
            _STANDS[setup.orientation]
            if feeder or setup.open_half
            else f"{setup.orientation}, with no feeder",
            f"{setup.mould.title}, {shown.density(setup.mould.density)}",
            "orientation",
            setup.orientation,
        ),
        Line(
            "Metal and mould at the pour",
            f"{shown.temperature(setup.pour)} and {shown.temperature(setup.start)}",
            f"air at {shown.temperature(setup.surroundings)}",
        ),
        Line(
            "Whole casting solid after",
            shown.duration(cooling.frozen),
            f"{by_conductivity}, depending on the mould's conductivity; the last metal freezes "
            f"{place_words(cooling, cooling.last_in_casting, shown)}",
            "casting_frozen_s",
        ),
        Line(
            "Leave the mould alone for",
            shown.duration(cooling.leave_alone),
            "casting and feeder solid in the worst-conducting mould",
            "leave_alone_s",
        ),
        Line(
            "Top frozen over after" if setup.open_half else "Last feed path into the casting closes after",
            shown.duration(cooling.path_closes),
            f"{shown.percent(cooling.solid_at_closing)} of the casting is solid by then",
            "feed_path_closes_s",
        ),
        Line(
            "Left empty in the casting",
            shown.volume(cooling.cavity_volume),
            f"{shown.percent(cooling.cavity_share)} of the casting{hollow}",
            "cavity_volume_m3",
        ),
        Line(
            "Do not open before",
            shown.duration(cooling.open_after),
            f"hottest metal at {shown.temperature(setup.open_below)}",
            "open_after_s",
        ),
        Line(
            "Check by Chvorinov's rule",
            shown.duration(cooling.rule_curved),
            f"allowing for the skin's curvature. The rule ignores the feeder, {bound_water}the limited thickness of "
            "the mould and the thermal resistance of the lead, which delays the freezing of the last drop in a ball by "
            "up to a fifth. Use the figure from the simulation",
            "chvorinov.curved_s",
        ),
    ]
    # The one time with its band comes first, then what to do, and at the end what it was calculated for.
    lines = [*lines[2:], *lines[:2]]
    if feeder is not None and cooling.frozen_feeder is not None:
        lines[:1] = [
            lines[0],
            Line(
                "Feeder",
                worded("{} across", shown.length(feeder.diameter)),
                f"{shown.length(feeder.height)} above the casting; supplies {shown.volume(cooling.drawn)} of its "
                f"{shown.volume(cooling.feeder_volume)}",
            ),
            *_keeping(cooling, shown),
            Line(
                "Whole feeder solid after",
                shown.duration(cooling.frozen_feeder),
                "last of all" if cooling.feeder_last else "before the casting",
            ),
        ]
    return Table(rows=lines, caption="Freezing and feeding", only="report")


def _keeping(cooling: Cooling, shown: Shown) -> list[Line]:
    """Build the table row showing how long the feeder is kept liquid in this mould. The gating chapter gives the time
    for the slowest mould."""
    kept = cooling.kept
    if kept is None:
        return []
    return [
        Line(
            "Feeder kept liquid for",
            shown.duration(kept.until),
            f"the shortest time that leaves only {shown.percent(kept.hollow)} of the casting empty; a feeder left alone "
            f"leaves {shown.percent(kept.alone)}",
            "kept.until_s",
        )
    ]


def _heat(cooling: Cooling) -> Table:
    energy = cooling.energy
    return Table(
        heads=("", "share", ""),
        rows=[
            Line(
                label,
                f"{100.0 * joules / (energy.given + energy.torch):.1f} %",
                f"{joules * 1e-3:.4g} kJ",
                name,
                joules,
            )
            for label, joules, name in (
                ("Into the mould", energy.warmed, "energy.held_by_mould_j"),
                ("Driving off the bound water", energy.bound_water, "energy.bound_water_j"),
                ("To the air", energy.to_air, "energy.to_air_j"),
                ("Added by the torch", energy.torch, "energy.torch_j"),
            )
        ],
        caption="Where the metal's heat has gone by the time the whole casting is solid",
        only="report",
    )


def _data(cooling: Cooling) -> Data:
    """Data not shown in any table row, with positions in bulb axes on the cold casting. The history is thinned to about
    120 rows."""
    setup, feeder, history = cooling.setup, cooling.setup.feeder, cooling.history
    count = len(history.time)
    rows = sorted({round(i * (count - 1) / (_HISTORY_ROWS - 1)) for i in range(_HISTORY_ROWS)} | {count - 1})
    return Data(
        values={
            "mould": setup.mould.kind,
            "mould_density_kg_m3": setup.mould.density,
            "mould_conductivity_w_m_k": setup.mould.conductivity,
            "pour_temperature_c": setup.pour,
            "mould_start_c": setup.start,
            "feeder": None
            if feeder is None
            else {
                "diameter_m": feeder.diameter,
                "top_diameter_m": feeder.widest,
                "height_m": feeder.height,
                "volume_m3": cooling.feeder_volume,
            },
            "casting_frozen_low_s": cooling.frozen_low,
            "casting_frozen_high_s": cooling.frozen_high,
            "feeder_frozen_s": number(cooling.frozen_feeder),
            "last_to_freeze": _place(cooling, cooling.last),
            "last_of_casting": _place(cooling, cooling.last_in_casting),
            "solid_at_closing": cooling.solid_at_closing,
            "cavities": [
                {
                    "volume_m3": one.volume,
                    "place": _place(cooling, one.place),
                    "cut_off_s": one.cut_off,
                    "frozen_s": one.frozen,
                }
                for one in cooling.cavities
            ],
            "drawn_from_feeder_m3": cooling.drawn,
            "open_below_c": setup.open_below,
            "chvorinov.modulus_m": setup.cavity.modulus,
            "chvorinov.plain_s": cooling.rule_plain,
            "energy.given_by_metal_j": cooling.energy.given,
            "energy.rest_j": cooling.energy.rest,
            "history": [
                {
                    "time_s": history.time[i],
                    "hottest_c": history.hottest[i],
                    "coldest_c": history.coldest[i],
                    "feeder_c": history.feeder[i] if history.feeder else None,
                    "face_c": history.face[i],
                    "solid": history.solid[i],
                }
                for i in rows
            ],
            "grid": {"cells": cooling.cells, "across": setup.cells, "steps": cooling.steps},
            "told": list(cooling.said),
            **(
                {"kept": None}
                if cooling.kept is None
                else {
                    "kept.hollow": cooling.kept.hollow,
                    "kept.hollow_alone": cooling.kept.alone,
                }
            ),
        }
    )


def _place(cooling: Cooling, place: Place) -> Json:
    """Position along the cold bulb, measured from the finished nose, and across and upwards in the mould as poured."""
    cavity = cooling.setup.cavity
    return {
        "x_from_nose_m": (place.x - cavity.nose) / cavity.scale,
        "across_m": place.across / cavity.scale,
        "up_m": place.up / cavity.scale,
        "part": "casting" if place.in_casting else "feeder",
    }
