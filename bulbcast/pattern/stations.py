"""Stations along a surface that is carved, turned or faired: their positions and the thickness at each.

A surface is a scaled parallel surface of the lead body: the pattern, or the finished lead itself. Positions are
measured from the nose of that surface, as a builder would measure them with a rule.
"""

from __future__ import annotations

import math

import numpy as np

from bulbcast.bulb.body.parallel import half_breadths, reach, section_across, silhouette
from bulbcast.bulb.body.turned import TurnedBody
from bulbcast.quantities.frozen import frozen
from bulbcast.solids.quadrature import Array

_INCH = 0.0254

# Round distances marked on a rule. [m]
_METRIC_STEPS = tuple(step * 10.0**power for power in (-3, -2, -1, 0) for step in (1.0, 2.0, 2.5, 5.0))
_INCH_STEPS = tuple(step * _INCH for step in (1 / 16, 1 / 8, 1 / 4, 1 / 2, 1.0, 2.0, 3.0, 4.0, 6.0, 12.0))

# Enough stations from nose to tail for templates (common practice, no source); a turner needs more.
TEMPLATE_STATIONS, FAIRING_STATIONS, TURNING_STATIONS = 10, 5, 32

# More than this would print endless sheets after a typing error.
MOST_STATIONS, MOST_TURNING_ROWS = 60, 600

# Wood or foam left for the finishing cut, on the diameter (common practice, no source).
_ROUGH_SHARE, _ROUGH_LEAST, _ROUGH_MOST = 0.03, 0.002, 0.006


@frozen
class Surface:
    """A surface that the builder makes.

    Attributes:
        name: "pattern" or "finished bulb".
        body: The lead body.
        distance: Distance of the parallel surface from the body, before scaling. [m]
        scale: Scale about the nose of the lead body. [-]
    """

    name: str
    body: TurnedBody
    distance: float
    scale: float

    @property
    def length(self) -> float:
        """Length from nose to tail face. [m]"""
        return self.scale * (self.body.length + 2.0 * self.distance)

    @property
    def width(self) -> float:
        """Largest width of the surface. [m]"""
        return self.scale * (self.body.width + 2.0 * self.distance)

    @property
    def height(self) -> float:
        """Largest height of the surface. [m]"""
        return self.scale * (self.body.height + 2.0 * self.distance)

    @property
    def round(self) -> bool:
        """Whether the surface is round, so that it can be turned on a lathe."""
        return self.body.width_to_height == 1.0

    @property
    def largest_at(self) -> float:
        """Distance of the thickest section from the nose of the surface. [m]"""
        return self.from_nose(self.body.max_at)

    def from_nose(self, x: float) -> float:
        """Convert a position on the unscaled body, in bulb axes, to a distance from the nose of this surface. [m]"""
        return self.scale * (x + self.distance)

    def _unscaled(self, place: Array) -> Array:
        low, high = reach(self.body, self.distance)
        x: Array = np.clip(np.asarray(place, dtype=np.float64) / self.scale - self.distance, low, high)
        return x

    def halves(self, place: Array) -> tuple[Array, Array]:
        """Return half width and half height at distances from the nose.

        Within the rounded rim of the tail, which is a few tenths of a millimetre long, the values are those at the
        start of the rim.

        Args:
            place: Distances from the nose, shape (n,). [m]

        Returns:
            Half width and half height, shape (n,). [m]
        """
        wide, high = half_breadths(self.body, self.distance, self._unscaled(place))
        return self.scale * wide, self.scale * high

    def section(self, place: float, *, chord_error: float) -> Array:
        """Return the closed outline of one section, counter-clockwise from starboard as seen from aft.

        Args:
            place: Distance from the nose. [m]
            chord_error: Largest distance from the polygon to the curve. [m]

        Returns:
            y to starboard and z up, shape (n, 2), the first point not repeated. [m]
        """
        radius = max(float(np.max(np.stack(self.halves(np.array([place]))))), chord_error)
        # The flat side of an ellipse needs more points than a circle of its larger radius.
        flat = max(self.body.width_to_height, 1.0 / self.body.width_to_height)
        share = min(chord_error / (flat * radius), 0.5)
        count = max(360, 4 * math.ceil(0.25 * math.pi / math.acos(1.0 - share)))
        angle = 2.0 * math.pi * np.arange(count) / count
        points: Array = (
            self.scale * section_across(self.body, self.distance, self._unscaled(np.array([place])), angle)[0]
        )
        return points

    def silhouette(self, *, from_above: bool, chord_error: float) -> Array:
        """Return half of the outline in plan or side view, from nose to tail, with both ends on the axis.

        Args:
            from_above: Whether to return the plan view instead of the side view.
            chord_error: Largest distance from the polygon to the curve. [m]

        Returns:
            Distance from the nose and half breadth, shape (n, 2). [m]
        """
        points = silhouette(
            self.body, self.distance, from_above=from_above, chord_error=chord_error / self.scale
        )
        outline: Array = self.scale * (points + np.array([self.distance, 0.0]))
        return outline


@frozen
class Station:
    """A numbered position along a surface.

    Attributes:
        number: Number counted from the nose, starting at 1.
        place: Distance from the nose. [m]
        half_width: Half width. [m]
        half_height: Half height. [m]
    """

    number: int
    place: float
    half_width: float
    half_height: float


@frozen
class TurningRow:
    """A row of the turning table.

    Attributes:
        station: Station with its position and half breadths.
        rough_width: Width for roughing out between the neighbouring stations. [m]
        rough_height: Height for roughing out. [m]
    """

    station: Station
    rough_width: float
    rough_height: float


def round_step(length: float, stations: int, *, imperial: bool) -> float:
    """Return the round spacing that gives approximately the required number of stations.

    Args:
        length: Length of the surface. [m]
        stations: Approximate number of stations. [-]
        imperial: Whether to round the spacing in inches instead of millimetres.

    Returns:
        Spacing. [m]
    """
    steps = _INCH_STEPS if imperial else _METRIC_STEPS
    wanted = length / stations
    return min(steps, key=lambda step: abs(math.log(step / wanted)))


def template_stations(
    surface: Surface, *, spacing: float | None, imperial: bool, about: int = TEMPLATE_STATIONS
) -> tuple[Station, ...]:
    """Return evenly spaced stations for templates, with half spaces near the nose and the tail, and a station at or
    near the thickest section.

    Args:
        surface: The surface that the builder makes.
        spacing: The plan's spacing; None means a round spacing.
        imperial: Whether to round the spacing in inches instead of millimetres.
        about: Approximate number of stations if the plan gives no spacing. [-]

    Returns:
        Stations in order from the nose.
    """
    step = spacing or round_step(surface.length, about, imperial=imperial)
    places = list(np.arange(1, math.ceil(surface.length / step)) * step)
    # Half stations where the body curves most, as on a lines plan (common practice).
    places.append(0.5 * step)
    last = math.floor((surface.length - 0.25 * step) / step) * step
    places.append(last + 0.5 * step)
    least = 0.15 * step
    end = surface.length - least
    kept: list[float] = []
    for place in sorted(places):
        if least <= place <= end and (not kept or place - kept[-1] > least):
            kept.append(float(place))
    thickest = surface.largest_at
    near = [place for place in kept if abs(place - thickest) < 0.3 * step]
    if not near:
        kept = sorted([*kept, thickest])
    return _stations(surface, kept)


def turning_rows(surface: Surface, *, spacing: float | None, imperial: bool) -> tuple[TurningRow, ...]:
    """Return the turning table of a surface, with stations more closely spaced than for templates, and stations at the
    nose and the tail.

    Args:
        surface: The surface that the builder makes.
        spacing: The plan's spacing; None means a round spacing.
        imperial: Whether to round the spacing in inches instead of millimetres.

    Returns:
        Stations in order from the nose. The rough size is the largest size between the neighbouring stations plus the
        finishing cut, so a cylinder turned from one station to the next does not cut into the curve.
    """
    step = spacing or round_step(surface.length, TURNING_STATIONS, imperial=imperial)
    places = [float(each) for each in np.arange(0, math.ceil(surface.length / step)) * step]
    first = [each for each in (0.25 * step, 0.5 * step) if each < surface.length]
    places = sorted({*places, *first, surface.length})
    if len(places) > 1 and places[-1] - places[-2] < 0.1 * step:
        del places[-2]
    stations = _stations(surface, places)
    allowance = min(max(_ROUGH_SHARE * surface.width, _ROUGH_LEAST), _ROUGH_MOST)
    among = np.stack(
        [
            np.append(np.linspace(low, high, 9), min(max(surface.largest_at, low), high))
            for low, high in (
                (
                    stations[max(number - 1, 0)].place,
                    stations[min(number + 1, len(stations) - 1)].place,
                )
                for number in range(len(stations))
            )
        ]
    )
    wide, tall = (half.reshape(among.shape).max(axis=1) for half in surface.halves(among.ravel()))
    return tuple(
        TurningRow(
            station=station,
            rough_width=2.0 * float(across) + allowance,
            rough_height=2.0 * float(up) + allowance,
        )
        for station, across, up in zip(stations, wide, tall, strict=True)
    )


def _stations(surface: Surface, places: list[float]) -> tuple[Station, ...]:
    wide, tall = surface.halves(np.array(places))
    return tuple(
        Station(number=number, place=place, half_width=float(half), half_height=float(up))
        for number, (place, half, up) in enumerate(zip(places, wide, tall, strict=True), start=1)
    )
