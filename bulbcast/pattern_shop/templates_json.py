"""The templates' part of plan.json: where stations stand, and the turning table in SI."""

from __future__ import annotations

from bulbcast.pattern.stations import Station
from bulbcast.pattern_shop.results import ShopResults
from bulbcast.pattern_shop.templates.surfaces import paper_of, parting_of, stations_of
from bulbcast.pattern_shop.work import planned_shop
from bulbcast.report.values import Json


def templates_object(job: ShopResults) -> Json:
    """Stations of the pattern and of the finished lead, each from its own nose.

    Args:
        job: The results.
    """
    body = job.bulb.body
    stations = stations_of(job.plan, body, job.pattern)
    return {
        "paper": paper_of(job.plan),
        "parting": parting_of(planned_shop(job).plane, body),
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


def _station(station: Station, letter: str) -> Json:
    return {
        "name": f"{letter}{station.number}",
        "from_nose_m": station.place,
        "half_width_m": station.half_width,
        "half_height_m": station.half_height,
    }
