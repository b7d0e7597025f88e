"""What the keys of the mould must agree on: plaster's keys with plaster, sand's with sand, one way of drying."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bulbcast.plan.key import FORMAT, Key
from bulbcast.plan.mould_sections import PLASTER_ONLY, SAND_ONLY

if TYPE_CHECKING:
    from bulbcast.plan.answers import Answers

GROWTH = {"air": ("0.20 %", "plaster dried in air grows on setting"), "baked": ("-0.05 %", "baked plaster")}
"""Net growth of the cavity by the drying; a sand mould has none. Judgement, spread 0.20 %."""


def check_mould(answers: Answers) -> None:
    """Add the faults that only show between the keys of the mould.

    Args:
        answers: What was read; its list of faults grows. [-]
    """
    _check_resin(answers)
    if "mould" not in answers.sections or "mould" in answers.broken:
        return
    material = answers.word("mould.material")
    if material is not None:
        for leaf in SAND_ONLY if material == "plaster" else PLASTER_ONLY:
            _only_with(answers, leaf, material, "sand" if material == "plaster" else "plaster")
    if material == "sand" and "mould.sand_kind" not in answers.given | answers.meant:
        answers.fault(
            "mould.sand_kind",
            read="nothing",
            expected='one of "oil-bonded" or "dried", which material = "sand" needs',
            remedy='Add sand_kind = "oil-bonded", say; green sand is moist, and no plan is made for it.',
        )
    if answers.word("mould.kind") == "open-halves":
        _not_with_halves(answers)
    drying = answers.word("mould.drying")
    if drying == "air":
        _not_with_drying(answers, "oven", "air", "no oven takes part")
    if drying == "baked":
        _not_with_drying(answers, "accept_bound_water", "baked", "baking drives the bound water out")
    if answers.word("mould.sand_kind") == "oil-bonded" and "mould.sand_moisture" in answers.given:
        answers.fault(
            "mould.sand_moisture",
            read='sand_moisture with sand_kind = "oil-bonded"',
            expected="sand_moisture only with dried sand",
            remedy="Take sand_moisture out: an oil-bonded sand is mixed without water.",
        )
    if answers.word("mould.sand_kind") == "dried":
        for leaf in ("cured_at", "cured_for"):
            if f"mould.{leaf}" in answers.given:
                answers.fault(
                    f"mould.{leaf}",
                    read=f'{leaf} with sand_kind = "dried"',
                    expected=f"{leaf} only with oil-bonded sand",
                    remedy=f"Take {leaf} out: dried sand has no binder to cure; give its sand_moisture.",
                )
    cored = any(
        answers.word(place) == "cored"
        for place in ("fin.pocket", *(f"{screw}.hole" for screw in answers.places("screws")))
    )
    if "mould.core" in answers.given and not cored:
        answers.fault(
            "mould.core",
            read="core where nothing is cored",
            expected="core only with a cored pocket or a cored hole",
            remedy='Take core out, or write pocket = "cored" under [fin] or hole = "cored" for a screw.',
        )


def _check_resin(answers: Answers) -> None:
    room, highest = answers.number("resin.room"), answers.number("resin.highest_temperature")
    if highest is not None and highest <= (20.0 if room is None else room):
        answers.fault(
            "resin.highest_temperature",
            read=answers.typed["resin.highest_temperature"],
            expected="a temperature above that of the room",
            remedy="Raise it, or cast in a cooler room: every layer warms itself.",
        )


def _only_with(answers: Answers, leaf: str, material: str, owner: str) -> None:
    if f"mould.{leaf}" in answers.given:
        answers.fault(
            f"mould.{leaf}",
            read=f'{leaf} with material = "{material}"',
            expected=f'{leaf} only with material = "{owner}"',
            remedy=f'Take {leaf} out, or write material = "{owner}".',
        )


def _not_with_halves(answers: Answers) -> None:
    orientation = answers.word("mould.orientation")
    if orientation is not None and orientation != "lying":
        answers.fault(
            "mould.orientation",
            read=f'orientation = "{orientation}" with kind = "open-halves"',
            expected='orientation = "lying": an open half is poured with its flat face up',
            remedy="Take orientation out.",
        )
    if "mould.cover" in answers.given:
        answers.fault(
            "mould.cover",
            read='cover with kind = "open-halves"',
            expected='cover only with kind = "closed"',
            remedy="Take cover out: nothing lies over an open half.",
        )


def _not_with_drying(answers: Answers, leaf: str, drying: str, why: str) -> None:
    if f"mould.{leaf}" in answers.given:
        answers.fault(
            f"mould.{leaf}",
            read=f'{leaf} with drying = "{drying}"',
            expected=f'{leaf} only with drying = "{"baked" if drying == "air" else "air"}"',
            remedy=f"Take {leaf} out: {why}.",
        )


def default_applies(answers: Answers, key: Key) -> bool:
    """Whether a default of [mould] is taken: those of plaster only in plaster, the oven's only for a baked mould.

    Args:
        answers: What was read, with [mould] in it. [-]
        key: Of the section mould. [-]
    """
    if key.leaf == "oven":
        return answers.word("mould.drying") == "baked"
    return key.leaf not in PLASTER_ONLY or answers.word("mould.material") == "plaster"


def growth_of_mould(answers: Answers) -> tuple[str, str]:
    """The cavity's net growth where the plan gives none, as typed, and where it comes from.

    Args:
        answers: What was read. [-]

    Returns:
        Value and source.
    """
    if answers.word("mould.material") == "sand":
        return "0 %", f"{FORMAT}: a sand mould neither grows nor shrinks"
    drying = answers.word("mould.drying")
    if drying is None:
        return (
            "-0.05 %",
            "judgement: baked plaster, the side that casts heavy, until [mould] drying says which",
        )
    value, why = GROWTH[drying]
    return value, f"judgement: {why}; spread 0.20 %"
