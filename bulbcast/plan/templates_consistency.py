"""What the keys of templates and ribs must agree on: whole ribs of a whole foil, a plate with a thickness."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bulbcast.plan.fin_sections import FIN_ROOT
from bulbcast.plan.keys import KEYS

if TYPE_CHECKING:
    from bulbcast.plan.answers import Answers

_FIN_TIP = ("fin.tip_leading_edge_x", "fin.tip_z")


def check_templates(answers: Answers) -> None:
    """Add the faults that only show between the keys of the ribs.

    Args:
        answers: What was read; its list of faults grows. [-]
    """
    if "ribs" not in answers.sections:
        return
    count = answers.number("ribs.count")
    if count is not None and count != int(count):
        answers.fault(
            "ribs.count",
            read=f"{count:g}",
            expected="a whole number of ribs",
            remedy=f"Set count = {round(count)}.",
        )
    for leaf in ("plate_width", "plate_at"):
        if f"ribs.{leaf}" in answers.given and not _known(answers, "ribs.plate_thickness"):
            answers.fault(
                f"ribs.{leaf}",
                read=f"{leaf} without plate_thickness",
                expected="the centre plate's thickness with it, or neither",
                remedy=f"Add {KEYS['ribs.plate_thickness'].example_line}, say, or take {leaf} out.",
            )
    if "boat" in answers.sections or "fin" in answers.broken:
        return  # with the boat the whole fin is asked for anyway
    for place in (*FIN_ROOT, *_FIN_TIP):
        if not _known(answers, place):
            key = KEYS[place]
            answers.fault(
                place,
                read="nothing",
                expected=f"{key.expected}, which the ribs need: they run from the fin's root to its tip",
                remedy=f"Add {key.example_line}, say, under [fin], or take [ribs] out.",
            )


def _known(answers: Answers, place: str) -> bool:
    return place in answers.given or place in answers.meant
