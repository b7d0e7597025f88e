"""The drilling saddle, which consists of cheeks that straddle the bulb, a guide plate on them, and a strip to lay along
the keel.

The bulb lies crown down while it is drilled. The cheeks are hollowed to fit the finished lead, ahead of and behind the
screws. The guide plate rests on them, parallel to the bulb's axis. The drill follows the fin's axis, and each hole
centre is marked where the drill meets the plate's lower face, which is next to the bulb.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from bulbcast.bulb.cuts.parts import ScrewCut
from bulbcast.bulb.hung.ledger import HungBulb
from bulbcast.bulb.views.outlines import seat_of
from bulbcast.drawing.shapes import Circle, Contour, Point, Shape, Style, text_width
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
    rectangle,
    seen,
)
from bulbcast.pattern.stations import Surface
from bulbcast.pattern_shop.results import ShopResults
from bulbcast.pattern_shop.templates.turning import TurningTable, heads_of_both, in_both
from bulbcast.quantities.showing import sixty_fourths

# Gap between the bulb's underside and the guide plate, so that the plate rests only on the cheeks.
_AIR = 2.0e-3
_AHEAD = 1.2


def _drilled_screws(job: ShopResults) -> list[tuple[int, ScrewCut]]:
    """Screws whose axes meet the lead, with their numbers."""
    return [
        (number, screw)
        for number, screw in enumerate(job.bulb.screw_cuts, start=1)
        if not math.isnan(seat_of(job.bulb, screw))
    ]


def saddle_templates(job: ShopResults, finished: Surface) -> tuple[Template, ...]:
    """All parts of the saddle; empty if there is nothing to drill or no room for the cheeks.

    Args:
        job: The results.
        finished: The finished lead's surface.
    """
    screws = _drilled_screws(job)
    if not screws:
        return ()
    bulb = job.bulb
    under = [_underside_x(bulb, screw) for _, screw in screws]
    widest = max(screw.recess_diameter for _, screw in screws)
    fore = min(under) - max(_AHEAD * widest, 0.012)
    aft = max(under) + max(_AHEAD * widest, 0.012)
    fore, aft = max(fore, 0.04 * bulb.body.length), min(aft, 0.96 * bulb.body.length)
    if not fore < aft:
        return ()
    places = np.linspace(fore, aft, 65)
    wide, tall = finished.halves(places)
    level = float(np.max(tall)) + _AIR
    return (
        _cheek(finished, fore, level, "forward"),
        _cheek(finished, aft, level, "after"),
        _plate(job, screws, (fore, aft), level, float(np.max(wide))),
        _strip(job, screws, finished, (fore, aft)),
        *((_wedge(bulb.axis.rake),) if bulb.axis.rake != 0.0 else ()),
    )


def _underside_x(bulb: HungBulb, screw: ScrewCut) -> float:
    """Distance from the nose to the point where the screw's axis leaves the lead's underside. [m]"""
    along = seat_of(bulb, screw) - screw.recess
    return screw.at_x - along * math.sin(bulb.axis.rake)


def _cheek(finished: Surface, place: float, level: float, word: str) -> Template:
    outline = contour_mm(finished.section(place, chord_error=CHORD_ERROR))
    wide = max(x for x, _ in outline)
    tall = max(y for _, y in outline)
    border = board_border(2.0 * wide)
    upper = sorted(
        ((x, max(y, 0.0)) for x, y in outline if y >= -1e-9), key=lambda point: math.atan2(point[1], point[0])
    )
    right, top = wide + border, MM * level
    hollow: Contour = (*upper, (-right, 0.0), (-right, top), (right, top), (right, 0.0))
    shapes: list[Shape] = [cut(hollow), marked((0.0, tall + 0.3), (0.0, top))]
    letter = min(LETTER, 0.45 * border, 0.85 * top / text_width(word.upper(), 1.0))
    shapes.append(lettered((-right + 0.5 * border, 0.5 * top), word.upper(), height=letter, angle=90.0))
    return Template(
        name=f"saddle-cheek-{word}",
        family="saddle",
        title=f"Saddle, {word} cheek",
        notes=(
            f"{both_units(place)} from the nose of the finished bulb",
            "its level edge supports the guide plate; its feet are level with the bulb's axis",
        ),
        shapes=tuple(shapes),
    )


def _plate(
    job: ShopResults,
    screws: Sequence[tuple[int, ScrewCut]],
    ends: tuple[float, float],
    level: float,
    wide: float,
) -> Template:
    """The guide plate, seen from the side where the drill enters, with the nose on the left and the bulb underneath."""
    bulb = job.bulb
    border = board_border(2.0 * MM * wide)
    half = MM * wide + border
    fore, aft = (MM * end for end in ends)
    left, right = fore - 8.0, aft + 8.0
    shapes: list[Shape] = [
        cut(rectangle(left, -half, right, half)),
        marked((left, 0.0), (right, 0.0)),
        seen((fore, -half), (fore, half)),
        seen((aft, -half), (aft, half)),
        lettered((fore + 2.0, half - 3.5), "NOSE", anchor="start"),
    ]
    low = -level - bulb.axis.floor
    # Depth stops are set from the plate's face next to the bulb.
    face, stops = low / math.cos(bulb.axis.rake), []
    for number, screw in screws:
        deep = f"recess {both_units(seat_of(bulb, screw) - face)}, hole {both_units(-face)}"
        stops.append(f"{number}: from the plate's lower face, {deep} to the pocket floor")
        x = MM * (screw.at_x - bulb.axis.shift * low)
        reach = 0.75 * MM * screw.recess_diameter
        shapes += [
            *_hole_and_recess(x, screw),
            marked((x, -reach), (x, reach)),
            lettered((x, -reach - 0.8 * LETTER), str(number)),
        ]
    lean = "" if bulb.axis.rake == 0.0 else f"; drill raked {_rake_words(bulb.axis.rake)}"
    return Template(
        name="saddle-plate",
        family="saddle",
        title="Saddle, guide plate with hole centres",
        notes=(
            f"its lower face is {both_units(level)} from the bulb's axis; dotted: the cheeks",
            f"circles: hole and recess{lean}",
            *stops,
        ),
        shapes=tuple(shapes),
    )


def _hole_and_recess(x: float, screw: ScrewCut) -> list[Circle]:
    sizes = (screw.hole_diameter, screw.recess_diameter)
    return [Circle(centre=(x, 0.0), radius=0.5 * MM * size, style=Style.ENGRAVED) for size in sizes]


def _rake_words(rake: float) -> str:
    return f"{abs(math.degrees(rake)):.1f} deg, going in towards the {'nose' if rake > 0.0 else 'tail'}"


def _strip(
    job: ShopResults, screws: Sequence[tuple[int, ScrewCut]], finished: Surface, ends: tuple[float, float]
) -> Template:
    """A strip to lay along the keel line, with distances measured along the surface."""
    bulb = job.bulb
    start, end = ends
    half = MM * max(0.9 * max(screw.recess_diameter for _, screw in screws), 0.011)
    fine = np.linspace(start, end, 1601)
    _, tall = finished.halves(fine)
    along = np.concatenate([[0.0], np.cumsum(np.hypot(np.diff(fine), np.diff(tall)))])
    length = MM * float(along[-1])
    shapes: list[Shape] = [cut(rectangle(0.0, -half, length, half)), marked((0.0, 0.0), (length, 0.0))]
    for number, screw in screws:
        x = MM * float(np.interp(_underside_x(bulb, screw), fine, along))
        reach = 0.5 * MM * screw.recess_diameter
        shapes += [
            *_hole_and_recess(x, screw),
            marked((x, -reach - 1.0), (x, reach + 1.0)),
            lettered((x + reach + 2.2, half - 2.6), str(number)),
        ]
    shapes.append(lettered((1.2, half - 2.4), "NOSE", height=2.4, anchor="start"))
    return Template(
        name="saddle-strip",
        family="saddle",
        title="Strip with hole centres, to lay along the keel",
        notes=(
            f"left edge {both_units(start)}, right edge {both_units(end)} from the nose along the axis",
            "lay its line on the keel line; its lengths are measured along the surface",
        ),
        shapes=tuple(shapes),
    )


def _wedge(rake: float) -> Template:
    """A gauge for setting the drill, with a slanted edge that gives the drill's direction on a horizontal plate."""
    high, base = 70.0, 40.0
    lean, degrees = high * math.tan(abs(rake)), f"{abs(math.degrees(rake)):.1f} deg"
    outline: tuple[Point, ...] = ((0.0, 0.0), (base + lean, 0.0), (base, high), (0.0, high))
    return Template(
        name="saddle-angle",
        family="saddle",
        title="Saddle, drill angle",
        notes=(
            f"stands on the guide plate, slanted edge against the drill: {_rake_words(rake)}",
            "the slanted edge faces the " + ("nose" if rake > 0.0 else "tail"),
        ),
        shapes=(cut(outline), lettered((0.4 * base, 0.5 * high), degrees, angle=90.0)),
    )


def drill_list(job: ShopResults) -> TurningTable | None:
    """Drill list with holes, depths from the lead's underside, walls and lead removed; None if nothing is drilled.

    Args:
        job: The results.
    """
    screws = _drilled_screws(job)
    if not screws:
        return None
    bulb = job.bulb
    rows = []
    for number, screw in screws:
        seat = seat_of(bulb, screw)
        under = seat - screw.recess
        room = job.room.screws[number - 1]
        walls = [wall.thickness for wall in (room.hole_wall, room.recess_wall) if wall is not None]
        space = bulb.cuts.screws[number - 1]
        removed = job.wish.cast_density * (space.hole.volume + space.recess.volume)
        bore, recess = screw.hole_diameter, screw.recess_diameter
        lengths = in_both((_underside_x(bulb, screw), bore, -under, recess, screw.recess))
        wall = job.shown.length(min(walls)) if walls else "-"
        rows.append((str(number), *lengths, wall, job.shown.mass(removed)))
    sizes = sorted({screw.hole_diameter for _, screw in screws} | {s.recess_diameter for _, s in screws})
    lean = (
        "Drill at right angles to the bulb's axis."
        if bulb.axis.rake == 0.0
        else f"The drill is raked {_rake_words(bulb.axis.rake)}. Depths are measured along the drill."
    )
    return TurningTable(
        title="Drill list",
        heads=(
            "",
            *heads_of_both("from nose", "hole", "to pocket floor", "recess", "recess depth"),
            "thinnest wall",
            "lead out",
        ),
        rows=tuple(rows),
        notes=(
            "Drills: " + ", ".join(f"{MM * size:.1f} mm ({sixty_fourths(size)})" for size in sizes) + ".",
            "Distances are from the nose to the point where the drill enters the underside. Depths are depth-stop "
            "settings, measured from that point. " + lean,
            "Recess first, then the hole. Drill slowly, with wax or soap on the drill, and clear it every few turns: "
            "lead packs and grabs (common practice).",
            "Keep the turnings: they are lead. Wipe up with a wet cloth; never sweep or blow.",
        ),
    )
