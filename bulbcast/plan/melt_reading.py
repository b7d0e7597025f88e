"""Checked answers to the sections of the melt: the parts that are not filled field by field."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, cast

from bulbcast.plan.filling import composition_at, filled
from bulbcast.plan.melt_sections import PotSection, ScrapSection, Way
from bulbcast.plan.weighed_sample import WeighedSample
from bulbcast.quantities import Dimension

if TYPE_CHECKING:
    from bulbcast.plan.answers import Answers


def weighed_places(answers: Answers) -> list[str]:
    """Places of the lots' weighed samples that stand in the file as tables. [-]"""
    return [
        spot
        for spot in (f"{place}.weighed" for place in answers.places("scrap"))
        if spot in answers.given
        and spot not in answers.broken
        and answers.typed.get(spot, "").strip('"').casefold() != "unknown"
    ]


def scrap_at(answers: Answers, place: str) -> ScrapSection:
    """One lot of scrap.

    Args:
        answers: Checked, with the fixed defaults filled in. [-]
        place: Such as "scrap[1]". [-]
    """
    lot = filled(ScrapSection, answers, place)
    weighed = f"{place}.weighed"
    return replace(
        lot,
        composition=composition_at(answers, f"{place}.composition"),
        weighed=filled(WeighedSample, answers, weighed) if weighed in weighed_places(answers) else None,
    )


def pot_of(answers: Answers) -> PotSection:
    """The pot.

    Args:
        answers: Checked, with the fixed defaults filled in. [-]
    """
    capacity = answers.number("pot.capacity")
    by_mass = answers.dimensions.get("pot.capacity") is Dimension.MASS
    return PotSection(
        volume=None if by_mass else capacity,
        nominal=capacity if by_mass else None,
        material=cast("str", answers.values["pot.material"]),
        mass=cast("float", answers.values["pot.mass"]),
        fill=answers.number("pot.fill"),
        count=int(cast("float", answers.values["pot.count"])),
        way=cast("Way", answers.values["pot.way"]),
        lift=cast("float", answers.values["pot.lift"]),
        ladle=answers.number("pot.ladle"),
        heel=answers.number("pot.heel"),
    )
