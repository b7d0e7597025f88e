"""Templates of the bulb's shape: silhouettes for sawing a block, cross sections, and gauges for both ends.

Inside station templates are for building up or carving, outside ones for checking. Gauges are boards with the outline
of one end cut out, which are slid onto that end along the axis. One of the silhouettes is the outline on the parting
plane.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from bulbcast.drawing.shapes import Contour, Shape, Style, Text, text_width
from bulbcast.drawing.template import (
    CHORD_ERROR,
    LETTER,
    MM,
    Template,
    board_border,
    both_units,
    clear_of,
    contour_mm,
    cut,
    lettered,
    marked,
    seen,
)
from bulbcast.pattern.stations import Station, Surface
from bulbcast.solids.quadrature import Array


def station_templates(
    surface: Surface, stations: tuple[Station, ...], *, letter: str, inside: bool, parting: str
) -> tuple[Template, ...]:
    """Templates for all stations of one surface.

    Args:
        surface: The surface to carve or to fair.
        stations: Its stations in order from the nose.
        letter: Letter before the station numbers.
        inside: Whether inside templates are also required, for building up or carving.
        parting: Parting plane at which a half template ends, "horizontal" or "vertical".

    Returns:
        On paper, one drawing per station, in which one line is the edge of both the inside and the outside template.
        In the files, the two are separate parts, since a shared line cannot allow for the width of a saw cut or beam.
    """
    found: list[Template] = []
    for station in stations:
        outline = contour_mm(surface.section(station.place, chord_error=CHORD_ERROR))
        across, up = MM * station.half_width, MM * station.half_height
        if parting == "vertical":
            # Drawn on its side, so that the feet of the outside template are at the same height.
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
                ("", "", f"inside: whole; outside: half, for {sides}", both, True, False),
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
    """Outline of a board with the upper half of the section cut out of its lower edge."""
    border = board_border(2.0 * max(across, up))
    right, top = across + border, up + border
    upper = [(x, max(y, 0.0)) for x, y in outline if y >= -1e-9]
    # From starboard over the crown to port; the outline of the board runs the opposite way.
    upper.sort(key=lambda point: math.atan2(point[1], point[0]))
    return (*upper, (-right, 0.0), (-right, top), (right, top), (right, 0.0))


def _outside_marks(across: float, up: float, mark: str) -> tuple[Shape, ...]:
    """Mark the station's number in the board's upper left corner, clear of the hollow, and the centre line above the
    hollow."""
    border = board_border(2.0 * max(across, up))
    height = min(max(0.3 * border, LETTER), 5.0)
    corner = (-across - border + 0.95 * height + 1.0, up + border - 0.8 * height)
    return lettered(corner, mark, height=height), marked((0.0, up + 0.5), (0.0, up + border))


def _inside_marks(across: float, up: float, mark: str) -> tuple[Shape, ...]:
    """Mark the centre line, the parting line and, if there is room, the number in the lower left quadrant."""
    shapes: list[Shape] = [marked((-across, 0.0), (across, 0.0)), marked((0.0, -up), (0.0, up))]
    height = min(0.32 * min(across, up), 8.0)
    if height >= 2.0:
        at = (-0.40 * across, -0.36 * up)
        shapes.append(lettered(at, mark, height=min(height, 0.55 * across / len(mark))))
    return tuple(shapes)


_LETTER = 2.5


def silhouettes(
    surface: Surface,
    stations: tuple[Station, ...],
    *,
    letter: str,
    parting: str,
    pockets: tuple[Contour, Contour],
) -> tuple[Template, ...]:
    """Side and plan silhouettes of one surface, or a single drawing if the two are the same.

    Args:
        surface: The pattern.
        stations: Stations of the pattern, from the nose.
        letter: Letter before the station numbers.
        parting: Parting plane, "horizontal" or "vertical".
        pockets: Outlines of the pocket to be cut later, seen from the side and from above, measured from the surface's
            nose; empty if there is none. [mm]
    """
    if surface.round:
        title = "Silhouette, side and plan; parting outline"
        drawn = [("", title, parting == "horizontal")]
    else:
        lies = {True: ", parting outline", False: ""}
        drawn = [
            ("-side", f"Side silhouette{lies[parting == 'vertical']}", False),
            ("-plan", f"Plan silhouette{lies[parting == 'horizontal']}", True),
        ]
    return tuple(
        Template(
            name=f"silhouette{plane}",
            family="silhouettes",
            title=title,
            notes=(
                f"{surface.name}, whole, {both_units(surface.length)} long; nose on the left",
                f"cross lines: stations {letter}1 to {letter}{len(stations)}, numbered from the nose",
                *(("dotted: where the pocket for the fin will be",) if pockets[above] else ()),
            ),
            shapes=tuple(_shapes(surface, stations, above, pockets[above])),
        )
        for plane, title, above in drawn
    )


def _shapes(
    surface: Surface, stations: tuple[Station, ...], from_above: bool, pocket: Contour
) -> Iterator[Shape]:
    curve = contour_mm(surface.silhouette(from_above=from_above, chord_error=CHORD_ERROR))
    # Its two ends lie on the axis and are not repeated.
    outline: Contour = (*curve, *((x, -y) for x, y in reversed(curve[1:-1])))
    yield cut(outline)
    yield marked((0.0, 0.0), (MM * surface.length, 0.0))
    for station in stations:
        x = MM * station.place
        half = MM * (station.half_width if from_above else station.half_height)
        yield marked((x, -half), (x, half))
        number = str(station.number)
        aside = 0.5 * text_width(number, _LETTER) + 0.8
        places = [
            lettered((x + side * aside, level), number, height=_LETTER)
            for level in (0.9 * _LETTER, 2.4 * _LETTER, 4.0 * _LETTER)
            for side in (1.0, -1.0)
            if half > level + 1.5 * _LETTER
        ]
        # Beside its line above the axis, clear of the pocket; above the outline if there is no room.
        places.append(Text(at=(x, half + 0.9 * _LETTER), text=number, height=_LETTER, style=Style.REFERENCE))
        yield next(text for text in places if clear_of(text, pocket))
    if pocket:
        yield seen(*pocket, pocket[0])


# Length of a gauge along the bulb, in diameters of the bulb.
_NOSE, _TAIL = 0.75, 1.25


def end_gauges(surface: Surface, *, letter: str) -> tuple[Template, ...]:
    """Nose and tail gauges in each plane that has a different outline.

    Args:
        surface: The surface to carve or to fair.
        letter: Letter before the numbers of the surface's stations.

    Returns:
        Two gauges for a round surface, four for a flattened one.
    """
    planes = (("", True),) if surface.round else (("side", False), ("plan", True))
    found: list[Template] = []
    for words, from_above in planes:
        curve = surface.silhouette(from_above=from_above, chord_error=CHORD_ERROR)
        found += [_gauge(surface, curve, letter, words, nose=nose) for nose in (True, False)]
    return tuple(found)


def _gauge(surface: Surface, curve: Array, letter: str, plane: str, *, nose: bool) -> Template:
    length = surface.length
    largest = max(surface.width, surface.height)
    if nose:
        deep = min(_NOSE * largest, surface.largest_at)
        kept = _until(curve, deep)
    else:
        deep = min(_TAIL * largest, length - surface.largest_at)
        turned = np.stack([length - curve[::-1, 0], curve[::-1, 1]], axis=1)
        kept = _until(turned, deep)
    border = board_border(MM * largest)
    end = "nose" if nose else "tail"
    side = contour_mm(kept)
    high = side[-1][1] + border
    mouth = MM * deep
    hollow: Contour = (
        *reversed(side),
        *((x, -y) for x, y in side[1:]),
        (mouth, -high),
        (-border, -high),
        (-border, high),
        (mouth, high),
    )
    return Template(
        name=f"{end}-{letter.lower()}" + (f"-{plane}" if plane else ""),
        family="gauges",
        title=f"{end.capitalize()} gauge of the {surface.name}" + (f", {plane}" if plane else ""),
        notes=(
            f"whole; the hollow is {both_units(deep)} deep along the axis",
            "round: turn it about the axis"
            if surface.round
            else f"held in the plane of the {plane} silhouette",
        ),
        shapes=(
            cut(hollow),
            marked((-border, 0.0), (-0.5, 0.0)),
            lettered((-border + 2.0, high - LETTER), f"{letter} {end} {plane}".strip(), anchor="start"),
        ),
    )


def _until(curve: Array, deep: float) -> Array:
    """The part of the curve from its end on the axis to a given depth, with the last point at that depth."""
    inside = curve[curve[:, 0] < deep - 1e-12]
    beyond = curve[len(inside)]
    before = inside[-1]
    share = (deep - before[0]) / (beyond[0] - before[0]) if beyond[0] > before[0] else 1.0
    last = before + share * (beyond - before)
    return np.vstack([inside, [[deep, last[1]]]])
