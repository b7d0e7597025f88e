"""What the keys of scrap, pot, burner and pour must agree on."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bulbcast.plan.filling import lots_weighed
from bulbcast.plan.keys import section_keys
from bulbcast.quantities import joined

if TYPE_CHECKING:
    from bulbcast.plan.answers import Answers

_WHAT_IT_IS = ("density", "composition", "weighed")


def check_melt(answers: Answers) -> None:
    """Add the faults that only show between the keys of the melt.

    Args:
        answers: What was read; its list of faults grows. [-]
    """
    for place in answers.places("scrap"):
        _check_lot(answers, place)
    for place in lots_weighed(answers):
        for key in section_keys("scrap.weighed"):
            spot = f"{place}.{key.leaf}"
            if key.required and spot not in answers.given | answers.meant and place not in answers.broken:
                answers.fault(
                    spot,
                    read="nothing",
                    expected=key.expected,
                    remedy=f"Add {key.example_line}, say, in weighed.",
                )
        _check_weighed(answers, place)
    _check_pot(answers)
    if answers.word("burner.fuel") == "electric":
        for leaf in ("fuel_on_hand", "fuel_margin"):
            if f"burner.{leaf}" in answers.given:
                answers.fault(
                    f"burner.{leaf}",
                    read=f'{leaf} with fuel = "electric"',
                    expected=f"{leaf} only where something is burnt",
                    remedy=f"Take {leaf} out, or name the fuel.",
                )
    if {"pour.fill_time", "pour.choke_diameter"} <= answers.given:
        answers.fault(
            "[pour]",
            read="fill_time and choke_diameter together",
            expected="one of the two",
            remedy="Keep choke_diameter where the sprue is made already, fill_time where not; each gives the other.",
        )


def _check_lot(answers: Answers, place: str) -> None:
    known = [leaf for leaf in _WHAT_IT_IS if f"{place}.{leaf}" in answers.given]
    if len(known) > 1:
        answers.fault(
            place,
            read=f"{joined(known, 'and')} together",
            expected="one at most of density, composition and weighed",
            remedy="Keep the one you trust most and take out the rest.",
        )
    for leaf, spread, usual in (
        ("density", "density_spread", "the kind's own"),
        ("yield", "yield_spread", "the kind's own"),
    ):
        lone = f"{place}.{spread}" in answers.given and answers.number(f"{place}.{leaf}") is None
        if lone and f"{place}.{leaf}" not in answers.broken:
            answers.fault(
                f"{place}.{spread}",
                read=f"{spread} without a {leaf} that it belongs to",
                expected=f"{spread} only with a figure for {leaf}",
                remedy=f"Add {leaf}, or take {spread} out: {usual} is then taken.",
            )
    gross, off = answers.number(f"{place}.gross"), answers.number(f"{place}.gross_spread")
    if gross is not None and off is not None and not off < gross:
        answers.fault(
            f"{place}.gross_spread",
            read=f"{answers.line(f'{place}.gross_spread')} with {answers.line(f'{place}.gross')}",
            expected="a spread below the mass itself",
            remedy="See whether the unit is the one meant.",
        )


def _check_weighed(answers: Answers, place: str) -> None:
    from bulbcast.materials.alloys import WeighedSampleError, density_of_weighed_sample  # only where given
    from bulbcast.materials.water import fresh_water_density

    air, water = answers.number(f"{place}.in_air"), answers.number(f"{place}.in_water")
    if air is None or water is None:
        return
    temperature = answers.number(f"{place}.water_temperature")
    porosity = answers.number(f"{place}.sample_porosity")
    try:
        density_of_weighed_sample(
            in_air=air,
            in_water=water,
            water_density=fresh_water_density(20.0 if temperature is None else temperature),
            sample_porosity=0.0 if porosity is None else porosity,
        )
    except WeighedSampleError as error:
        answers.fault(
            place,
            read=f"{answers.line(f'{place}.in_air')} with {answers.line(f'{place}.in_water')}",
            expected="two readings of one piece of lead",
            remedy=str(error),
        )


def _check_pot(answers: Answers) -> None:
    count = answers.number("pot.count")
    if count is not None and not count.is_integer():
        answers.fault(
            "pot.count",
            read=answers.typed["pot.count"],
            expected="a whole number of pots",
            remedy=f"Write count = {int(count)} or count = {int(count) + 1}.",
        )
    way = answers.word("pot.way") or "lift"
    if "pot.ladle" in answers.given and way != "ladle":
        answers.fault(
            "pot.ladle",
            read=f'{answers.line("pot.ladle")} with way = "{way}"',
            expected='a ladle only with way = "ladle"',
            remedy='Write way = "ladle", or take ladle out.',
        )
