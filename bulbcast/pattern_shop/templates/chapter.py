"""The report's chapter on templates: a list of them, the stations, and the turning table."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from bulbcast.pattern.stations import Station
from bulbcast.pattern_shop.results import ShopResults
from bulbcast.pattern_shop.templates.inches import table_in_inches
from bulbcast.pattern_shop.templates.surfaces import Stations, paper_of, stations_of
from bulbcast.pattern_shop.templates.turning import turning_table
from bulbcast.quantities import joined
from bulbcast.report.chapter import Chapter, Data, Part, Table, Words
from bulbcast.report.values import Json, values_of

if TYPE_CHECKING:
    # Loaded only where a plan has ribs.
    from bulbcast.fin.built import FoilRibs


def templates_chapter(job: ShopResults) -> Chapter:
    """Chapter on the templates and the turning table, withheld from the report if a finding says stop.

    Args:
        job: The results.
    """
    stations = stations_of(job)
    if job.stopped:
        words = "A finding says stop: no templates were written, and none should be cut."
        parts: list[Part] = [Words(text=words, style="stopped", only="report")]
    else:
        parts = [*_held(job, stations.parting), *_turning(stations, imperial=job.shown.units == "imperial")]
    said: Json = {
        "paper": paper_of(job.plan),
        "parting": stations.parting,
        "pattern_stations": [_station(one, "P") for one in stations.carving],
        "finished_stations": [_station(one, "F") for one in stations.fairing],
        "turning": [
            {
                **_station(row.station, ""),
                "rough_width_m": row.rough_width,
                "rough_height_m": row.rough_height,
            }
            for row in stations.turning
        ],
    }
    ribs = {} if job.ribs is None else {"ribs": _ribs(job.ribs)}
    parts.append(Data(values={"templates": said, **ribs}))
    return Chapter(name="templates", title="Templates and turning", step="pattern", parts=parts)


def _held(job: ShopResults, parting: str) -> Iterator[Part]:
    held = ["the fin's tip and its pocket"]
    if job.bulb.screw_cuts:
        held.append("the drilling saddle with its drill list")
    if job.bulb.pin_cuts:
        held.append("a card for the cross pins")
    if job.ribs is not None:
        held.append("ribs and planforms")
    yield Words(
        text=f"templates.pdf has these at full size on {paper_of(job.plan).capitalize()} sheets: inside and outside "
        "station templates of the pattern for carving, outside templates of the finished bulb for fairing, nose and "
        f"tail gauges, silhouettes with the outline on the parting plane ({parting}), "
        f"{'and ' if len(held) == 1 else ''}{joined(held, 'and')}.",
        only="report",
    )
    yield Words(
        text="Print at actual size, never fitted to the page, and measure all four bars on a sheet before you cut "
        "anything. The same templates are in template-*.dxf and template-*.svg, in millimetres, on the layers cut, "
        "engrave and reference. They are at true size, so set the width of the beam or saw cut on the machine. turning.csv "
        'contains the table under "Templates and turning: the figures".',
        only="report",
    )


def _turning(stations: Stations, *, imperial: bool) -> Iterator[Part]:
    turning = turning_table(stations.pattern, stations.turning)
    if imperial:
        turning = table_in_inches(turning)
    yield Table(
        rows=turning.rows,
        heads=turning.heads,
        figures=range(1, len(turning.heads)),
        caption=turning.title,
        style="tight",
        only="report",
    )
    for note in turning.notes:
        yield Words(text=note, style="caption", only="report")


def _station(station: Station, letter: str) -> Json:
    return {
        "name": f"{letter}{station.number}",
        "from_nose_m": station.place,
        "half_width_m": station.half_width,
        "half_height_m": station.half_height,
    }


def _ribs(foils: tuple[FoilRibs, ...]) -> list[Json]:
    """Data on every foil and its ribs for plan.json."""
    return [
        {
            "foil": one.name,
            "skin_m": one.skin,
            "plate": None
            if one.plate is None
            else {"thickness_m": one.plate.thickness, "width_m": one.plate.width, "at": one.plate.at},
            "ribs": [
                values_of(rib, "below_root_m", "chord_m", "thickness_m", "area_m2", "beside_slot_m")
                for rib in one.ribs
            ],
        }
        for one in foils
    ]
