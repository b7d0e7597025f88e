"""Silhouettes of the pattern, to saw a block to, with the stations on them; one is the parting plane's outline."""

from __future__ import annotations

from collections.abc import Iterator

from bulbcast.drawing.shapes import Contour, Shape, Style, Text, text_width
from bulbcast.drawing.template import (
    CHORD_ERROR,
    MM,
    Template,
    both_units,
    clear_of,
    contour_mm,
    cut,
    lettered,
    marked,
    seen,
)
from bulbcast.pattern.stations import Station, Surface

_LETTER = 2.5


def silhouettes(
    surface: Surface,
    stations: tuple[Station, ...],
    *,
    letter: str,
    parting: str,
    pockets: tuple[Contour, Contour],
) -> tuple[Template, ...]:
    """Side and plan of one surface; a single drawing where they are alike.

    Args:
        surface: The pattern.
        stations: Its own, from the nose.
        letter: That their numbers begin with.
        parting: "horizontal" or "vertical".
        pockets: Where the pocket will come, from the side and from above, from the surface's nose; empty where
            there is none. [mm]
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
                f"{surface.name}, whole, {both_units(surface.length)} long; nose at the left",
                f"cross lines: stations {letter}1 to {letter}{len(stations)}, numbered from the nose",
                *(("dotted: where the pocket for the fin will come",) if pockets[above] else ()),
            ),
            shapes=tuple(_shapes(surface, stations, above, pockets[above])),
        )
        for plane, title, above in drawn
    )


def _shapes(
    surface: Surface, stations: tuple[Station, ...], from_above: bool, pocket: Contour
) -> Iterator[Shape]:
    curve = contour_mm(surface.silhouette(from_above=from_above, chord_error=CHORD_ERROR))
    # Its two ends lie on the axis and are not doubled.
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
        # Beside its line over the axis, clear of the pocket; above the outline where there is no room.
        places.append(Text(at=(x, half + 0.9 * _LETTER), text=number, height=_LETTER, style=Style.REFERENCE))
        yield next(text for text in places if clear_of(text, pocket))
    if pocket:
        yield seen(*pocket, pocket[0])
