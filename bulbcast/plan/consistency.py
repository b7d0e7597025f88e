"""What the keys of a plan must agree on: what is missing, what excludes what, what is plain nonsense.

Only contradictions within the file itself are found here. Whether a bulb can be made as planned is for the
checks, once it has been sized.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from bulbcast.plan.boat_consistency import check_boat
from bulbcast.plan.fastening_consistency import check_pair, check_washer
from bulbcast.plan.fitting_consistency import check_fittings
from bulbcast.plan.keys import KEYS, REPEATED, limits, section_keys
from bulbcast.plan.mould_consistency import check_mould
from bulbcast.plan.pattern_shop_consistency import check_pattern_shop
from bulbcast.plan.strength_consistency import check_strength
from bulbcast.plan.templates_consistency import check_templates
from bulbcast.quantities import Dimension, joined, read_quantity

if TYPE_CHECKING:
    from bulbcast.plan.answers import Answers

SHAPE_GROUP = ("bulb.fineness", "bulb.length", "bulb.diameter")
ALLOY_GROUP = ("alloy.grade", "alloy.density", "alloy.composition", "alloy.weighed")
SAMPLE_KEYS = ("water_temperature", "sample_porosity")
"""Keys of a weighed sample that may stand beside it, straight in [alloy], as well as in it."""
PUBLISHED_MAX_AT = (0.2, 0.3, 0.4, 0.5, 0.6)
"""Places of the largest section for which the modified four-digit form's constants are published
(NACA TR-492; NASA TM-4741)."""


def check_consistency(answers: Answers) -> None:
    """Add the faults that only show between keys.

    Args:
        answers: What was read; its list of faults grows. [-]
    """
    _check_required(answers)
    _check_groups(answers)
    _check_profile(answers)
    _check_weighed(answers)
    _check_lengths(answers)
    _check_lean(answers)
    check_fittings(answers)
    check_boat(answers)
    check_pattern_shop(answers)
    check_strength(answers)
    check_templates(answers)
    check_mould(answers)
    if answers.sections & {"scrap", "pot", "burner", "pour"}:
        from bulbcast.plan.melt_consistency import check_melt  # only a plan of the melt pays for it

        check_melt(answers)


def _check_required(answers: Answers) -> None:
    places = [
        (key, key.name)
        for key in KEYS.values()
        if key.section in ("bulb", "fin") or (key.section in answers.sections and key.section not in REPEATED)
    ]
    places += [
        (key, f"{place}.{key.leaf}")
        for name in REPEATED
        for place in answers.places(name)
        for key in section_keys(name)
    ]
    if "alloy.weighed" in answers.given:
        places += [(key, key.name) for key in section_keys("alloy.weighed")]
    for key, place in places:
        section = place.rpartition(".")[0]
        known = place in answers.given or place in answers.meant
        if place == "bulb.target_mass" and "boat" in answers.sections:
            continue  # it comes from the boat
        if key.required and not known and section not in answers.broken:
            under = f"under [{key.section}]"
            if key.section in REPEATED:
                under = f"in this [[{key.section}]]"
            elif key.section == "alloy.weighed":
                under = "in weighed"
            answers.fault(
                place,
                read="nothing",
                expected=key.expected,
                remedy=f"Add {key.example_line}, say, {under}.",
            )


def _check_groups(answers: Answers) -> None:
    given = [place for place in SHAPE_GROUP if place in answers.given]
    if len(given) > 1:
        answers.fault(
            "[bulb]",
            read=f"{joined([_leaf(place) for place in given], 'and')} together",
            expected="exactly one of fineness, length and diameter",
            remedy="Keep one of them and take out the rest; the mass wanted gives the other two.",
        )
    given = [place for place in ALLOY_GROUP if place in answers.given]
    if len(given) > 1:
        answers.fault(
            "[alloy]",
            read=f"{joined([_leaf(place) for place in given], 'and')} together",
            expected="exactly one of grade, density, composition and weighed",
            remedy="Keep the one you trust most and take out the rest.",
        )
    elif not given and not answers.meant.intersection(ALLOY_GROUP) and "alloy" not in answers.broken:
        answers.fault(
            "[alloy]",
            read="nothing of what the lead is",
            expected="exactly one of grade, density, composition and weighed",
            remedy='Add grade = "pure" under [alloy], or grade = "unknown" if nothing is known of it.',
        )
    if {"water.kind", "water.density"} <= answers.given:
        answers.fault(
            "[water]",
            read="kind and density together",
            expected="one of the two",
            remedy="Take density out for plain fresh or salt water, or kind where the density is known.",
        )
    if {"fin.carry_at", "bulb.mass_centre_x"} <= answers.given:
        answers.fault(
            "fin.carry_at",
            read="carry_at together with bulb.mass_centre_x",
            expected="one of the two, since both say where the mass centre comes",
            remedy="Take one of them out.",
        )


def _check_profile(answers: Answers) -> None:
    profile = answers.word("bulb.profile")
    if profile is None:
        if "bulb.profile" in answers.given | answers.meant:
            return
        profile = KEYS["bulb.profile"].default
    for key in section_keys("bulb"):
        if not key.profiles:
            continue
        if key.name in answers.given and profile not in key.profiles:
            owners = joined([f'"{each}"' for each in key.profiles], "or")
            answers.fault(
                key.name,
                read=f'{key.leaf} with profile = "{profile}"',
                expected=f"{key.leaf} only with profile {owners}",
                remedy=f"Take {key.leaf} out, or write profile = {owners}.",
            )
        elif profile in key.profiles and key.name not in answers.given | answers.meant:
            answers.fault(
                key.name,
                read="nothing",
                expected=f'{key.expected}, which profile = "{profile}" needs',
                remedy=f"Add {key.example_line}, say, under [bulb].",
            )
    place = "bulb.max_at"
    max_at = answers.number(place)
    if profile == "naca4mod" and max_at is not None and max_at not in PUBLISHED_MAX_AT:
        nearest = min(PUBLISHED_MAX_AT, key=lambda each: abs(each - max_at))
        answers.fault(
            place,
            read=answers.typed[place],
            expected=f"one of {joined([f'{each:g}' for each in PUBLISHED_MAX_AT], 'or')}, the published ones",
            remedy=f"Write max_at = {nearest:g}, the nearest of them.",
        )


def _check_weighed(answers: Answers) -> None:
    for leaf in SAMPLE_KEYS:
        beside, within = f"alloy.{leaf}", f"alloy.weighed.{leaf}"
        if beside not in answers.given:
            continue
        if within in answers.given:
            answers.fault(
                beside,
                read=f"{leaf} in [alloy] and in weighed",
                expected="it once",
                remedy="Take one of the two out.",
            )
        elif "alloy.weighed" not in answers.given:
            answers.fault(
                beside,
                read=f"{leaf} without a weighed sample",
                expected=f"{leaf} only with weighed",
                remedy=f"Take {leaf} out, or give {KEYS['alloy.weighed'].example_line}.",
            )
        else:
            answers.given.add(within)
            if beside in answers.values:
                answers.values[within] = answers.values[beside]
    in_air = answers.number("alloy.weighed.in_air")
    in_water = answers.number("alloy.weighed.in_water")
    if in_air is None or in_water is None:
        return
    if in_water >= in_air:
        answers.fault(
            "alloy.weighed.in_water",
            read=f"{answers.line('alloy.weighed.in_water')} with {answers.line('alloy.weighed.in_air')}",
            expected="less in water than in air",
            remedy="See whether the two are exchanged; in water the sample hangs clear of the bottom.",
        )
        return
    _check_density_of_sample(answers, in_air, in_water)


def _check_density_of_sample(answers: Answers, in_air: float, in_water: float) -> None:
    """A fault where the readings make a density that no lead alloy has."""
    from bulbcast.materials.alloys import WeighedSampleError, density_of_weighed_sample
    from bulbcast.materials.water import fresh_water_density

    celsius, porosity = (_or_default(answers, f"alloy.weighed.{leaf}") for leaf in SAMPLE_KEYS)
    if celsius is None or porosity is None:
        return
    try:
        density_of_weighed_sample(
            in_air=in_air,
            in_water=in_water,
            water_density=fresh_water_density(celsius),
            sample_porosity=porosity,
        )
    except WeighedSampleError as error:
        answers.fault(
            "alloy.weighed",
            read=f"{answers.line('alloy.weighed.in_air')} with {answers.line('alloy.weighed.in_water')}",
            expected=f"readings that make {KEYS['alloy.density'].expected}",
            remedy=str(error),
        )


def _or_default(answers: Answers, place: str) -> float | None:
    """The quantity read at a place, its default where it is left out, None where it is faulty."""
    key = KEYS[place]
    if place in answers.given or key.default is None:
        return answers.number(place)
    return read_quantity(key.default, key.dimensions[0])


def _check_lengths(answers: Answers) -> None:
    check_pair(
        answers,
        "fin.tip_thickness",
        "fin.tip_chord",
        "a thickness below the chord",
        "See whether the two are exchanged.",
    )
    check_pair(
        answers,
        "bulb.tail_diameter",
        "bulb.diameter",
        "a tail thinner than the bulb",
        "Make it smaller, or leave it out for 8 % of the diameter.",
    )
    for screw in answers.places("screws"):
        check_pair(
            answers,
            f"{screw}.diameter",
            f"{screw}.hole_diameter",
            "a screw that goes through its hole",
            "Widen the hole, or take a thinner screw.",
            equal_passes=True,
        )
        check_pair(
            answers,
            f"{screw}.hole_diameter",
            f"{screw}.head_diameter",
            "a head wider than its hole",
            "Mend one of the two: the head must rest on the lead round the hole.",
        )
        check_washer(answers, screw)


def _check_lean(answers: Answers) -> None:
    """Pocket and screws lean against the bulb by rake and incidence together: no further than by rake alone."""
    lean = (answers.number("fin.rake") or 0.0) + (answers.number("bulb.incidence") or 0.0)
    _, most = limits("fin.rake", Dimension.ANGLE)
    if abs(lean) > most * (1.0 + 1e-12) and {"fin.rake", "bulb.incidence"} <= answers.given:
        answers.fault(
            "bulb.incidence",
            read=f"{answers.line('bulb.incidence')} with {answers.line('fin.rake')}",
            expected=f"the two together within {math.degrees(most):g} degrees either way: so far pocket and screws lean "
            "against the bulb",
            remedy="Take less of one of them.",
        )


def _leaf(place: str) -> str:
    return place.rpartition(".")[2]
