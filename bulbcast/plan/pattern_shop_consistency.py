"""What the keys of the pattern shop must agree on."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from bulbcast.plan.answers import Answers


def check_pattern_shop(answers: Answers) -> None:
    """Add the faults that only show between the keys of [parting], [printer] and [frame].

    Args:
        answers: What was read; its list of faults grows. [-]
    """
    pieces = answers.number("printer.pieces")
    if pieces is not None and pieces != int(pieces):
        answers.fault(
            "printer.pieces",
            read=answers.line("printer.pieces"),
            expected="a whole number of pieces",
            remedy=f"Write pieces = {round(pieces)}, or leave it out for as few as the bed allows.",
        )
    if answers.word("parting.plane") == "none":
        for leaf in ("offset", "register"):
            place = f"parting.{leaf}"
            if place in answers.given and answers.word(place) != "none":
                answers.fault(
                    place,
                    read=f'{answers.line(place)} with plane = "none"',
                    expected=f"{leaf} only where the pattern parts",
                    remedy=f"Take {leaf} out, or choose a plane.",
                )
    margin = answers.number("printer.margin")
    sides = [
        side
        for side in (answers.number("printer.bed_length"), answers.number("printer.bed_width"))
        if side is not None
    ]
    if margin is not None and sides and not 2.0 * margin < min(sides):
        answers.fault(
            "printer.margin",
            read=answers.line("printer.margin"),
            expected="a margin that leaves some of the bed",
            remedy="Make it less than half of the bed's smaller side.",
        )
