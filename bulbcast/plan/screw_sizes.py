"""Fill in thread, hole, head and recess from a screw's size, if the plan leaves them out."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bulbcast.plan.sections import DefaultTaken
from bulbcast.quantities import quoted

if TYPE_CHECKING:
    from collections.abc import Iterator

    from bulbcast.plan.answers import Answers
    from bulbcast.plan.key import Key

COVER = 0.003
"""Thickness of filler over a head in its recess; common practice, no source. [m]"""
RECESS_SOURCE = "head and washer, with 3 mm of filler over them; common practice, no source"


OF_A_SIZE = ("diameter", "hole_diameter", "head_diameter", "head_height", "recess")
"""Keys of a screw that follow from its size."""


def size_as_diameter(answers: Answers, key: Key, place: str, value: str) -> bool:
    """Report a size such as "3/8-16" or "M4" that was typed as a screw's diameter.

    Args:
        answers: Answers to which the fault is added. [-]
        key: The key `screws.diameter`. [-]
        place: Dotted path of that key, such as "screws[1].diameter". [-]
        value: Text as typed, which is not a length. [-]

    Returns:
        Whether the text is a size.
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
    """Fill in the figures that follow from sizes, and yield each one.

    Args:
        answers: Answers as read but not yet checked. Values are added, as are faults for unknown sizes. [-]
    """
    for place in answers.places("screws"):
        size = answers.word(f"{place}.size")
        if size is not None:
            yield from _filled(answers, place, size)


def _filled(answers: Answers, place: str, size: str) -> Iterator[DefaultTaken]:
    from bulbcast.materials.screws import (  # the table is loaded only for a size
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
                f"{place}.head", read, f"one of the heads listed for this size: {', '.join(heads)}",
                f'Write head = "{heads[0]}", or give diameter, head_diameter and head_height in place of size.',
            )  # fmt: skip
        else:
            length = "Give the length in its own key, length. " if "x" in size.casefold() else ""
            answers.fault(
                f"{place}.size",
                answers.typed[f"{place}.size"],
                f"a size with a standard thread: {', '.join(sizes_known())}",
                f'{length}Write, for example, size = "M4", "#8", "10-24" or "1/4-20"; or remove it and give diameter, '
                "hole_diameter, head_diameter, head_height and recess.",
            )
        # Keys that the size would have given are not also reported as missing.
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
        # For messages that show it together with typed values.
        answers.typed[place] = f'"{written}" (by its size)'
        yield DefaultTaken(key=place, value=written, source=source)
