"""Station templates: the sections across, to build up or carve to from inside and to try from outside."""

from __future__ import annotations

import math

from bulbcast.drawing.shapes import Contour, Shape
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
        across, up = MM * station.half_width, MM * station.half_height
        if parting == "vertical":
            # Drawn lying, so that the feet of the outside template stand level.
            outline, across, up = tuple((y, -x) for x, y in outline), up, across
        mark = f"{letter}{station.number}"
        inner = (cut(outline), *_inside_marks(across, up, mark))
        outer = (cut(_outside(outline, across, up)), *_outside_marks(across, up, mark))
        wide, high = both_units(2.0 * station.half_width), both_units(2.0 * station.half_height)
        notes = (
            f"{both_units(station.place)} from the nose of the {surface.name}",
            f"diameter {wide}" if surface.round else f"{wide} wide, {high} high",
        )
        sides = "port and starboard" if parting == "vertical" else "above and below"

        drawn = [("-outside", ", outside, half", f"half, for {sides}", outer, not inside, True)]
        if inside:
            both = (inner[0], *outer[:2], *inner[1:], *outer[2:])
            drawn += [
                ("-inside", ", inside, whole", "", inner, False, True),
                ("", "", f"inside whole; outside half, for {sides}", both, True, False),
            ]
        for name, title, note, shapes, on_paper, in_files in drawn:
            found.append(
                Template(
                    name=f"station-{mark.lower()}{name}",
                    family="stations",
                    title=f"Station {mark}{title}",
                    notes=(*notes, note) if note else notes,
                    shapes=shapes,
                    on_paper=on_paper,
                    in_files=in_files,
                )
            )
    return tuple(found)


def _outside(outline: Contour, across: float, up: float) -> Contour:
    """A board with the upper half of the section hollowed out of its lower edge."""
    border = board_border(2.0 * max(across, up))
    right, top = across + border, up + border
    upper = [(x, max(y, 0.0)) for x, y in outline if y >= -1e-9]
    # From starboard round over the crown to port; the board goes round the other way.
    upper.sort(key=lambda point: math.atan2(point[1], point[0]))
    return (*upper, (-right, 0.0), (-right, top), (right, top), (right, 0.0))


def _outside_marks(across: float, up: float, mark: str) -> tuple[Shape, ...]:
    """The station's number in the board's upper left corner, clear of the hollow; the centre line above that."""
    border = board_border(2.0 * max(across, up))
    height = min(max(0.3 * border, LETTER), 5.0)
    corner = (-across - border + 0.95 * height + 1.0, up + border - 0.8 * height)
    return lettered(corner, mark, height=height), marked((0.0, up + 0.5), (0.0, up + border))


def _inside_marks(across: float, up: float, mark: str) -> tuple[Shape, ...]:
    """Centre line, parting line, and the number in a quarter where there is room for it."""
    shapes: list[Shape] = [marked((-across, 0.0), (across, 0.0)), marked((0.0, -up), (0.0, up))]
    height = min(0.32 * min(across, up), 8.0)
    if height >= 2.0:
        at = (-0.40 * across, -0.36 * up)
        shapes.append(lettered(at, mark, height=min(height, 0.55 * across / len(mark))))
    return tuple(shapes)
