"""What a screw's size fills in: thread, hole, head and recess, each where the plan leaves it out."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bulbcast.plan.sections import DefaultTaken
from bulbcast.quantities import quoted

if TYPE_CHECKING:
    from collections.abc import Iterator

    from bulbcast.plan.answers import Answers
    from bulbcast.plan.key import Key

COVER = 0.003
"""Filler over a head in its recess; common practice, no source. [m]"""
RECESS_SOURCE = "head, washer and 3 mm to fill over it; common practice, no source"


OF_A_SIZE = ("diameter", "hole_diameter", "head_diameter", "head_height", "recess")
"""Keys of a screw that its size gives."""


def size_as_diameter(answers: Answers, key: Key, place: str, value: str) -> bool:
    """Report a size such as "3/8-16" or "M4" that stands as a screw's diameter.

    Args:
        answers: Grow by the fault. [-]
        key: screws.diameter. [-]
        place: Of it, such as "screws[1].diameter". [-]
        value: As typed, no length. [-]

    Returns:
        Whether it is a size.
    """
    from bulbcast.materials.screws import heads_of

    if not heads_of(value):
        return False
    answers.fault(
        place,
        f"the size {quoted(value)}",
        key.expected,
        f"Write size = {quoted(value)} in place of diameter: it gives the thread, hole, head and recess.",
    )
    screw = place.rpartition(".")[0]
    answers.meant.update(f"{screw}.{leaf}" for leaf in OF_A_SIZE)
    return True


def fill_screw_sizes(answers: Answers) -> Iterator[DefaultTaken]:
    """Fill in what sizes give, and yield each figure.

    Args:
        answers: Read, not checked; values are added, and faults of sizes that are not known. [-]
    """
    for place in answers.places("screws"):
        size = answers.word(f"{place}.size")
        if size is not None:
            yield from _filled(answers, place, size)


def _filled(answers: Answers, place: str, size: str) -> Iterator[DefaultTaken]:
    from bulbcast.materials.screws import (  # only a size pays for the table
        heads_of,
        sizes_known,
        standard_screw,
    )

    found = standard_screw(size, answers.word(f"{place}.head"))
    if found is None:
        heads = heads_of(size)
        if heads:
            read = f"{answers.line(f'{place}.size')} with {answers.line(f'{place}.head')}"
            answers.fault(
                f"{place}.head", read, f"one of the heads known of it: {', '.join(heads)}",
                f'Write head = "{heads[0]}", or give head_diameter and head_height with diameter in place of size.',
            )  # fmt: skip
        else:
            length = "Its length goes into length. " if "x" in size.casefold() else ""
            answers.fault(
                f"{place}.size",
                answers.typed[f"{place}.size"],
                f"a size with the usual thread: {', '.join(sizes_known())}",
                f'{length}Write size = "M4", "#8", "10-24" or "1/4-20", say; or take it out and give diameter, '
                "hole_diameter, head_diameter, head_height and recess.",
            )
        # What it would have given is not missing besides.
        answers.meant.update(f"{place}.{leaf}" for leaf in OF_A_SIZE)
        return
    figures = {
        "diameter": found.diameter,
        "hole_diameter": found.hole,
        "head_diameter": found.head_diameter,
        "head_height": found.head_height,
    }
    if found.source.startswith("ASME"):
        # Without a pitch a thread is metric coarse.
        figures["pitch"] = found.pitch
    for leaf, value in figures.items():
        yield from _taken(answers, f"{place}.{leaf}", value, f"{size}: {found.source}")
    height = answers.number(f"{place}.head_height")
    if height is not None:
        recess = height + (answers.number(f"{place}.washer_thickness") or 0.0) + COVER
        yield from _taken(answers, f"{place}.recess", recess, RECESS_SOURCE)


def _taken(answers: Answers, place: str, value: float, source: str) -> Iterator[DefaultTaken]:
    if place not in answers.given:
        written = f"{1e3 * value:.6g} mm"
        answers.values[place] = round(value, 9)
        # For messages that set it beside what is typed.
        answers.typed[place] = f'"{written}" (by its size)'
        yield DefaultTaken(key=place, value=written, source=source)
