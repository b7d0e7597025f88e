"""What the keys of the boat must agree on: one way to give the hull, a whole fin, weights with the boat."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bulbcast.plan.boat_sections import HULL_KEYS, WAYS
from bulbcast.plan.fin_sections import FIN_ROOT
from bulbcast.plan.keys import KEYS, section_keys
from bulbcast.plan.strength_consistency import fin_keys_for_strength
from bulbcast.quantities import joined

if TYPE_CHECKING:
    from bulbcast.plan.answers import Answers

_NEEDED_BARE = ("boat.waterline_length", "boat.buoyancy_x")
_FIN_IN_BOAT_AXES = ("fin.tip_leading_edge_x", "fin.tip_z")


def check_boat(answers: Answers) -> None:
    """Add the faults that only show between the keys of the boat.

    Args:
        answers: What was read; its list of faults grows. [-]
    """
    if "boat" not in answers.sections:
        _check_without_boat(answers)
        return
    if "boat" not in answers.broken:
        _check_hull(answers)
    if "fin" not in answers.broken:
        for place in (*FIN_ROOT, *_FIN_IN_BOAT_AXES):
            _need(
                answers, place, "which the boat needs: the fin displaces water and says where the bulb hangs"
            )
    _check_fin_mass(answers)
    _check_levels(answers)
    if "boat.accept_structure" in answers.given and answers.word("boat.kind") != "small-craft":
        answers.fault(
            "boat.accept_structure",
            read="accept_structure without a small craft",
            expected='accept_structure only with kind = "small-craft", whose hold it releases',
            remedy='Take accept_structure out, or write kind = "small-craft".',
        )
    for place in answers.places("weights"):
        _check_movable(answers, place)


def _check_fin_mass(answers: Answers) -> None:
    if {"fin.mass", "fin.density"} <= answers.given:
        answers.fault(
            "[fin]",
            read="mass and density together",
            expected="one of the two",
            remedy="Keep mass where the fin has been weighed, density where it has not.",
        )


def _need(answers: Answers, place: str, why: str) -> None:
    if place not in answers.given | answers.meant:
        key = KEYS[place]
        answers.fault(
            place,
            read="nothing",
            expected=f"{key.expected}, {why}",
            remedy=f"Add {key.example_line}, say, under [{key.section}].",
        )


def _check_without_boat(answers: Answers) -> None:
    _check_fin_mass(answers)
    _check_levels(answers)
    if answers.counts.get("weights"):
        answers.fault(
            "[[weights]]",
            read="weights without [boat]",
            expected="[boat] with them, or neither",
            remedy="Add [boat] with the hull, or take the weights out and give bulb.target_mass.",
        )
    wanted = fin_keys_for_strength(answers).union(FIN_ROOT if "ribs" in answers.sections else ())
    for key in section_keys("fin"):
        if key.needs == "boat" and key.name in answers.given and key.name not in wanted:
            answers.fault(
                key.name,
                read=f"{key.leaf} without [boat]",
                expected=f"{key.leaf} only where the boat is given",
                remedy=f"Take {key.leaf} out, or add [boat] with the hull.",
            )


def _check_hull(answers: Answers) -> None:
    ways = [place for place in WAYS if place in answers.given | answers.meant]
    names = [place.partition(".")[2] for place in ways]
    if not ways:
        answers.fault(
            "[boat]",
            read="no hull",
            expected="exactly one of hull, offsets and hull_displacement",
            remedy='Add hull = "hull.stl", offsets = "hull-offsets.csv" or hull_displacement = "3.9 kg", say.',
        )
        return
    if len(ways) > 1:
        answers.fault(
            "[boat]",
            read=f"{joined(names, 'and')} together",
            expected="exactly one of hull, offsets and hull_displacement",
            remedy="Keep the one you trust most and take out the rest.",
        )
        return
    way = ways[0]
    elsewhere = {leaf for leaves in HULL_KEYS.values() for leaf in leaves} - set(HULL_KEYS[way])
    for key in KEYS.values():
        if key.section == "boat" and key.leaf in elsewhere and key.name in answers.given:
            owners = joined([w.partition(".")[2] for w in WAYS if key.leaf in HULL_KEYS[w]], "or")
            answers.fault(
                key.name,
                read=f"{key.leaf} with {names[0]}",
                expected=f"{key.leaf} only with {owners}",
                remedy=f"Take {key.leaf} out: {names[0]} tells it or has no use for it.",
            )
    if way == "boat.hull_displacement":
        for place in _NEEDED_BARE:
            _need(answers, place, "which hull_displacement needs")
    aft, up = (
        answers.word(f"boat.{leaf}") or default for leaf, default in (("aft_axis", "x"), ("up_axis", "z"))
    )
    if aft[-1] == up[-1]:
        answers.fault(
            "boat.up_axis",
            read=f'aft_axis = "{aft}" with up_axis = "{up}"',
            expected="two different axes",
            remedy="Mend one of the two.",
        )
    _check_order(answers, "boat.forward_end", "boat.aft_end", "a forward end with the smaller x")


def _check_order(answers: Answers, low: str, high: str, expected: str) -> None:
    one, other = answers.number(low), answers.number(high)
    if one is not None and other is not None and not one < other:
        answers.fault(
            low,
            read=f"{answers.line(low)} with {answers.line(high)}",
            expected=expected,
            remedy="See whether the two are exchanged; x is counted aft.",
        )


def _check_levels(answers: Answers) -> None:
    root, tip = answers.number("fin.root_z"), answers.number("fin.tip_z")
    if root is not None and tip is not None and not tip < root:
        answers.fault(
            "fin.tip_z",
            read=f"{answers.line('fin.tip_z')} with {answers.line('fin.root_z')}",
            expected="a tip below the root",
            remedy="Levels are upward from her waterline: those under water are negative.",
        )
    thick, chord = answers.number("fin.root_thickness"), answers.number("fin.root_chord")
    if thick is not None and chord is not None and not thick < chord:
        answers.fault(
            "fin.root_thickness",
            read=f"{answers.line('fin.root_thickness')} with {answers.line('fin.root_chord')}",
            expected="a thickness below the chord",
            remedy="See whether the two are exchanged.",
        )


def _check_movable(answers: Answers, weight: str) -> None:
    ends = (f"{weight}.movable_forward_to", f"{weight}.movable_aft_to")
    given = [end for end in ends if end in answers.given]
    if len(given) == 1:
        missing = ends[0] if given[0] == ends[1] else ends[1]
        answers.fault(
            missing,
            read="nothing",
            expected="both ends of where it may be moved, or neither",
            remedy="Add it; the weight's own x will do where it may be moved one way only.",
        )
        return
    places = (answers.number(ends[0]), answers.number(f"{weight}.x"), answers.number(ends[1]))
    fore, at, aft = places
    if fore is not None and at is not None and aft is not None and not fore <= at <= aft:
        answers.fault(
            f"{weight}.x",
            read=f"{answers.line(f'{weight}.x')} with {answers.line(ends[0])} and {answers.line(ends[1])}",
            expected="a place between the two",
            remedy="Mend the limits so that they hold the weight's own place.",
        )
