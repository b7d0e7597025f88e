"""Station templates: the sections across, to build up or carve to from inside and to try from outside."""

from __future__ import annotations

import math

from bulbcast.drawing.shapes import Contour, Point, Shape, Text
from bulbcast.drawing.template import (
    CHORD_ERROR,
    LETTER,
    MM,
    Template,
    board_border,
    both_units,
    contour_mm,
    cut,
    lettered,
    marked,
)
from bulbcast.pattern.stations import Station, Surface


def station_templates(
    surface: Surface, stations: tuple[Station, ...], *, letter: str, inside: bool, parting: str
) -> tuple[Template, ...]:
    """Templates of all stations of one surface.

    Args:
        surface: To carve or to fair.
        stations: In order from the nose.
        letter: That the stations' numbers begin with.
        inside: Whether inside templates are wanted too, to build up or carve from.
        parting: "horizontal" or "vertical": the plane at which a half ends.

    Returns:
        On paper one drawing for each, whose line is inside and outside template at once; in the files two
        parts, since a saw's or a beam's width cannot be allowed for on a line that both share.
    """
    found: list[Template] = []
    for station in stations:
        outline = contour_mm(surface.section(station.place, chord_error=CHORD_ERROR))
        found += _one(surface, station, outline, letter, inside, parting == "vertical")
    return tuple(found)


def _one(
    surface: Surface, station: Station, outline: Contour, letter: str, inside: bool, vertical: bool
) -> list[Template]:
    mark = f"{letter}{station.number}"
    # An upright parting is drawn lying, so that the feet of the outside template stand level.
    if vertical:
        outline = tuple((y, -x) for x, y in outline)
    wide, tall = MM * station.half_width, MM * station.half_height
    across, up = (tall, wide) if vertical else (wide, tall)
    notes = (
        f"{both_units(station.place)} from the nose of the {surface.name}",
        _size_words(surface, station),
    )
    hollow = _outside(outline, across, up)
    corner = _corner_letter(across, up, mark)
    sides = "port and starboard" if vertical else "above and below"
    title = f"Station {mark}"
    whole_shapes = _inside_shapes(outline, across, up, mark)
    templates = [
        Template(
            name=f"station-{mark.lower()}-outside",
            family="stations",
            title=f"{title}, outside, half",
            notes=(*notes, f"half, for {sides}"),
            shapes=(cut(hollow), corner, *_outside_marks(across, up)),
            on_paper=not inside,
        )
    ]
    if inside:
        templates += [
            Template(
                name=f"station-{mark.lower()}-inside",
                family="stations",
                title=f"{title}, inside, whole",
                notes=notes,
                shapes=(cut(outline), *whole_shapes),
                on_paper=False,
            ),
            Template(
                name=f"station-{mark.lower()}",
                family="stations",
                title=title,
                notes=(*notes, f"inside whole; outside half, for {sides}"),
                shapes=(cut(outline), cut(hollow), corner, *whole_shapes, *_outside_marks(across, up)),
                in_files=False,
            ),
        ]
    return templates


def _size_words(surface: Surface, station: Station) -> str:
    if surface.round:
        return f"diameter {both_units(2.0 * station.half_width)}"
    return f"{both_units(2.0 * station.half_width)} wide, {both_units(2.0 * station.half_height)} high"


def _border(across: float, up: float) -> float:
    return board_border(2.0 * max(across, up))


def _outside(outline: Contour, across: float, up: float) -> Contour:
    """A board with the upper half of the section hollowed out of its lower edge."""
    border = _border(across, up)
    right, top = across + border, up + border
    upper = [point for point in outline if point[1] >= -1e-9]
    upper = [(x, max(y, 0.0)) for x, y in upper]
    # From starboard round over the crown to port; the board goes round the other way.
    upper.sort(key=lambda point: math.atan2(point[1], point[0]))
    return (*upper, (-right, 0.0), (-right, top), (right, top), (right, 0.0))


def _outside_marks(across: float, up: float) -> tuple[Shape, ...]:
    """The centre line through the board above the hollow."""
    return (marked((0.0, up + 0.5), (0.0, up + _border(across, up))),)


def _corner_letter(across: float, up: float, mark: str) -> Text:
    """The station's number in the upper left corner of the board, clear of the hollow."""
    border = _border(across, up)
    height = min(max(0.3 * border, LETTER), 5.0)
    return lettered((-across - border + 0.95 * height + 1.0, up + border - 0.8 * height), mark, height=height)


def _inside_shapes(outline: Contour, across: float, up: float, mark: str) -> tuple[Shape, ...]:
    """Centre line, parting line, and the number in a quarter where there is room for it."""
    shapes: list[Shape] = [marked((-across, 0.0), (across, 0.0)), marked((0.0, -up), (0.0, up))]
    height = min(0.32 * min(across, up), 8.0)
    if height >= 2.0:
        at: Point = (-0.40 * across, -0.36 * up)
        shapes.append(lettered(at, mark, height=min(height, 0.55 * across / len(mark))))
    return tuple(shapes)
