"""Cross pins, studs and the bond of two halves in the report's section on the fastening."""

from __future__ import annotations

from bulbcast.bulb.results import BulbResults
from bulbcast.materials.gravity import STANDARD_GRAVITY
from bulbcast.quantities import worded
from bulbcast.quantities.showing import shown_or_dash
from bulbcast.report.markup import paragraph, table


def fittings_words(job: BulbResults) -> str:
    """Tables of pins and studs, and how two halves go on a blade; empty where there are none.

    Args:
        job: The results.
    """
    bulb, room, shown = job.bulb, job.fittings, job.shown
    if room is None:
        return ""
    body = ""
    if bulb.through:
        body += paragraph(
            "The fin's blade goes right through: the bulb is cast in two halves, parted along the centreplane, each with "
            "half of the slot, and bonded to the blade and to each other. The blade is trimmed flush below."
            + (
                f" A bond line of {shown.length(job.wish.fin.bond_line)} sets the halves apart by as much; the lead in "
                "them is not less for it."
                if job.wish.fin.bond_line > 0.0
                else ""
            )
        )
    if room.pins:
        body += table(
            (
                "cross pin",
                "aft of nose",
                "above the axis",
                "pin",
                "hole",
                "fin beside it",
                "lead each side",
                "wall",
            ),
            [
                (
                    str(number),
                    shown.length(cut.centre(bulb.axis)[0]),
                    shown.length(cut.centre(bulb.axis)[1]),
                    worded("{}, {} long", shown.length(cut.diameter), shown.length(cut.length)),
                    shown.length(cut.hole_diameter),
                    shown.length(one.in_fin),
                    shown.length(one.grip),
                    shown_or_dash(one.wall, shown),
                )
                for number, (cut, one) in enumerate(zip(bulb.pin_cuts, room.pins, strict=True), start=1)
            ],
            figures=(1, 2, 3, 4, 5, 6, 7),
            caption="Cross pins, drilled through lead and fin together once the fin is bedded",
            style="tight",
        )
    if room.studs:
        body += table(
            (
                "stud",
                "aft of nose",
                "thick",
                "bore",
                "in the lead",
                "in the fin",
                "lead below",
                "wall",
                "lift in the melt",
            ),
            [
                (
                    str(number),
                    shown.length(cut.at_x),
                    shown.length(cut.diameter),
                    shown.length(cut.bore) if cut.bore > 0.0 else "\u2013",
                    shown.length(cut.below),
                    shown.length(cut.above),
                    shown_or_dash(one.lead_below, shown),
                    shown_or_dash(None if one.wall is None else one.wall.thickness, shown),
                    shown.mass(lift / STANDARD_GRAVITY) if lift > 0.0 else "sinks",
                )
                for number, (cut, one, lift) in enumerate(
                    zip(bulb.stud_cuts, room.studs, job.stud_lifts, strict=True), start=1
                )
            ],
            figures=(1, 2, 3, 4, 5, 6, 7, 8),
            caption="Cast in along the fin's axis; the lift is told as the mass that weighs as much",
            style="tight",
        )
    return body
