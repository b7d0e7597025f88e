"""What [strength] and [limits] must agree on with the rest: a beam needs a root, a tube needs its wall."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bulbcast.plan.fastening_consistency import check_pair
from bulbcast.plan.fin_sections import FIN_ROOT
from bulbcast.plan.keys import KEYS
from bulbcast.plan.strength_sections import BEAM_KEYS, GROUNDINGS, JOINT_KEYS, SECTION_KEYS, SECTION_NEEDS
from bulbcast.quantities import joined

if TYPE_CHECKING:
    from bulbcast.plan.answers import Answers


def fin_keys_for_strength(answers: Answers) -> frozenset[str]:
    """Keys of the whole fin that [strength] or [limits] has a use for without a boat.

    Args:
        answers: What was read. [-]
    """
    keys: set[str] = set()
    if "strength" in answers.sections:
        keys.update(FIN_ROOT)
    if {"strength", "limits"} & answers.sections:
        keys.update((*FIN_ROOT, "fin.mass", "fin.density"))
    return frozenset(keys)


def check_strength(answers: Answers) -> None:
    """Add the faults that only show between the keys of [strength], [limits] and the rest.

    Args:
        answers: What was read; its list of faults grows. [-]
    """
    if "strength" in answers.sections and "strength" not in answers.broken:
        _check_beam(answers)
        _check_groundings(answers)
        _check_threads(answers)
        if not _known(answers, "strength.section") and not answers.places("screws"):
            answers.fault(
                "[strength]",
                read="no section, and no [[screws]]",
                expected="a fin to calculate as a beam, or screws, or both",
                remedy='Add section = "solid", "tube-cored" or "given", or take [strength] out.',
            )
    if "limits" in answers.sections and "limits" not in answers.broken:
        _check_limits(answers)


def _known(answers: Answers, place: str) -> bool:
    return place in answers.given or place in answers.meant


def _need(answers: Answers, place: str, why: str) -> None:
    if _known(answers, place):
        return
    key = KEYS[place]
    answers.fault(
        place,
        read="nothing",
        expected=f"{key.expected}, {why}",
        remedy=f"Add {key.example_line}, say, under [{key.section}].",
    )


def _check_beam(answers: Answers) -> None:
    section = answers.word("strength.section")
    own = {leaf for leaves in SECTION_KEYS.values() for leaf in leaves}
    if section is None:
        if not _known(answers, "strength.section"):
            for leaf in sorted({*own, *BEAM_KEYS}):
                if f"strength.{leaf}" in answers.given:
                    answers.fault(
                        f"strength.{leaf}",
                        read=f"{leaf} without section",
                        expected=f"{leaf} only where the fin is calculated as a beam",
                        remedy=f'Add section = "solid", "tube-cored" or "given" under [strength], or take {leaf} out.',
                    )
        return
    for leaf in sorted(own - set(SECTION_KEYS[section])):
        if f"strength.{leaf}" in answers.given:
            owners = joined([f'"{one}"' for one, leaves in SECTION_KEYS.items() if leaf in leaves], "or")
            answers.fault(
                f"strength.{leaf}",
                read=f'{leaf} with section = "{section}"',
                expected=f"{leaf} only with section {owners}",
                remedy=f"Take {leaf} out, or write section = {owners}.",
            )
    for leaf in SECTION_NEEDS[section]:
        _need(answers, f"strength.{leaf}", f'which section = "{section}" needs')
    if section == "tube-cored":
        check_pair(
            answers,
            "strength.tube_inner",
            "strength.tube_outer",
            "a bore inside the tube",
            "Fix one of the two; a rod has an inside diameter of 0.",
        )
        if _known(answers, "strength.modulus") != _known(answers, "strength.shear_modulus"):
            given, missing = ("modulus", "shear_modulus")
            if _known(answers, "strength.shear_modulus"):
                given, missing = missing, given
            _need(answers, f"strength.{missing}", f"which goes with {given}")
    elif section == "solid":
        for leaf in SECTION_NEEDS[section]:
            if answers.number(f"strength.{leaf}") == 0.0:
                answers.fault(
                    f"strength.{leaf}",
                    read=answers.line(f"strength.{leaf}"),
                    expected="more than that of a fin which is all of it",
                    remedy="Give it as published for the material, or as measured.",
                )
    if "boat" not in answers.sections:
        for place in FIN_ROOT:
            _need(answers, place, "which a beam from the hull down needs")


def _check_groundings(answers: Answers) -> None:
    """A blow of the ground needs something to fall on, and a mass that it brings to rest."""
    asked = [leaf for leaf in GROUNDINGS if f"strength.{leaf}" in answers.given]
    if not _known(answers, "strength.section") and not answers.places("screws"):
        for leaf in (*asked, *(["grounded_mass"] if "strength.grounded_mass" in answers.given else [])):
            answers.fault(
                f"strength.{leaf}",
                read=f"{leaf} without section and without [[screws]]",
                expected=f"{leaf} only where fin or joint is calculated",
                remedy=f'Add section = "solid", "tube-cored" or "given" under [strength], or take {leaf} out.',
            )
        return
    if asked and "boat" not in answers.sections:
        _need(answers, "strength.grounded_mass", f"which {asked[0]} needs where no boat is given")


def _check_threads(answers: Answers) -> None:
    from bulbcast.materials.threads import COARSE_PITCHES  # loaded where it is asked for

    thread_in = answers.word("strength.thread_in")
    material = answers.word("fin.material")
    wood = thread_in == "wood" or (thread_in is None and material == "wood")
    for leaf in ("wood_specific_gravity", "grain", "wood_moisture"):
        if f"strength.{leaf}" in answers.given and not wood:
            answers.fault(
                f"strength.{leaf}",
                read=f"{leaf} without wood",
                expected=f"{leaf} only where the screws hold in wood",
                remedy='Take it out, or write thread_in = "wood".',
            )
    if {"strength.wood_specific_gravity", "strength.thread_shear_allowable"} <= answers.given:
        answers.fault(
            "strength.thread_shear_allowable",
            read="thread_shear_allowable together with wood_specific_gravity",
            expected="one of the two, since both say what the wood holds",
            remedy="Take one of them out.",
        )
    if not answers.places("screws"):
        for leaf in JOINT_KEYS:
            if f"strength.{leaf}" in answers.given:
                answers.fault(
                    f"strength.{leaf}",
                    read=f"{leaf} without [[screws]]",
                    expected=f"{leaf} only where screws hold the bulb",
                    remedy=f"Take {leaf} out, or add [[screws]].",
                )
    for place in answers.places("screws"):
        diameter = answers.number(f"{place}.diameter")
        if diameter is None or _known(answers, f"{place}.pitch"):
            continue
        if round(diameter, 7) not in COARSE_PITCHES:
            answers.fault(
                f"{place}.pitch",
                read=f"nothing with {answers.line(f'{place}.diameter')}",
                expected=f"{KEYS['screws.pitch'].expected}, for a thread that is none of the metric coarse series",
                remedy=f"Add {KEYS['screws.pitch'].example_line}, say, from one turn to the next.",
            )


def _check_limits(answers: Answers) -> None:
    if "limits.draught" in answers.given and "boat" not in answers.sections:
        _need(answers, "fin.tip_z", "in boat axes: the draught is counted from her waterline")
    if "limits.fin_with_bulb" in answers.given and not (
        _known(answers, "fin.mass") or _known(answers, "fin.density")
    ):
        answers.fault(
            "fin.mass",
            read="nothing with limits.fin_with_bulb",
            expected=f"{KEYS['fin.mass'].expected}, or fin.density",
            remedy="Add mass as weighed under [fin]; it is then no line of [[weights]].",
        )
    if "fin.density" in answers.given and "boat" not in answers.sections:
        for place in FIN_ROOT:
            _need(answers, place, "which a fin's mass by its density needs")
