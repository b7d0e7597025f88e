"""Key to the tints and lines of the drawings, as a strip next to them."""

from __future__ import annotations

from bulbcast.bulb.results import BulbResults
from bulbcast.drawing.layout import NARROW, Layout
from bulbcast.drawing.shapes import Box, Hatch, Style, View, text_width

_SWATCH, _ROW, _WIDTH = 7.0, 5.6, 174.0


def legend(job: BulbResults, *, narrow: bool = False) -> View:
    """Key to the symbols used in this job's drawings.

    Args:
        job: The results.
        narrow: Whether it is for the narrow screen of a phone.
    """
    most = NARROW if narrow else _WIDTH
    bulb = job.bulb
    filled = [(Style.LEAD, "lead, cut"), (Style.FIN, "fin")]
    lines: list[tuple[Style, str]] = []
    if bulb.screw_cuts:
        filled.append((Style.SCREW, "screw"))
        if any(screw.washer is not None for screw in bulb.screw_cuts):
            filled.append((Style.WASHER, "washer"))
        filled.append((Style.PLUG, "plug of filler"))
    if (bulb.pin_cuts or bulb.stud_cuts) and not bulb.screw_cuts:
        filled.append((Style.SCREW, "pin or stud"))
    if bulb.screw_cuts or job.bulb.pocket_depth > 0.0:
        filled.append((Style.BEDDING, "bedding in the gaps"))
    if bulb.skin > 0.0:
        lines.append((Style.SKIN, f"skin {job.shown.length(bulb.skin)}, not to scale"))
    lines.append((Style.HIDDEN, "elastic axis of the fin; hidden edge"))
    walls = [job.room.pocket.wall, *(screw.recess_wall for screw in job.room.screws)]
    if any(wall is not None for wall in walls):
        wanted = job.shown.length(job.wall_wanted)
        lines += [
            (Style.WALL_ENOUGH, f"wall of {wanted} or more"),
            (Style.WALL_SHORT, f"wall below {wanted}"),
        ]
    layout = Layout(1.0)
    x, level = 1.0, 0.0

    def row_for(width: float) -> None:
        nonlocal x, level
        if x > 1.0 and x + width > most + 4.0:
            x, level = 1.0, level - _ROW

    for style, words in (*filled, *lines, (Style.MARK, "centre of the hung mass")):
        width = _SWATCH + 1.8 + text_width(words, layout.letter) + 4.0
        row_for(width)
        if style is Style.MARK:
            layout.centre_mark((x + 0.5 * _SWATCH, level), 1.6)
        elif (style, words) in filled:
            corners = (
                (x, level - 1.5),
                (x + _SWATCH, level - 1.5),
                (x + _SWATCH, level + 1.5),
                (x, level + 1.5),
            )
            hatch = Hatch(spacing=1.7, angle=45.0) if style is Style.LEAD else None
            layout.fill(style, corners, hatch=hatch)
        else:
            layout.line(style, (x, level), (x + _SWATCH, level))
        layout.words((x + _SWATCH + 1.8, level), words, anchor="start")
        x += width
    layout.extend(Box(left=0.0, bottom=level - 2.0, right=most, top=2.0))
    return layout.view("legend-narrow" if narrow else "legend", "Key to the drawings")
