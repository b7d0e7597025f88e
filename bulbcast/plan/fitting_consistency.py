"""What the keys of pins, studs and a through-going blade must agree on."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from bulbcast.plan.answers import Answers

_SAME_PLACE = 1e-5
"""Axes nearer than this are one place: less than anything is drilled to. [m]"""


def check_fittings(answers: Answers) -> None:
    """Add the faults that only show between the keys of the joint.

    Args:
        answers: What was read; its list of faults grows. [-]
    """
    through = answers.word("fin.joint") == "through"
    if through and "fin.pocket_depth" in answers.given:
        answers.fault(
            "fin.pocket_depth",
            read='a pocket_depth with joint = "through"',
            expected="no pocket where the blade goes right through",
            remedy="Take pocket_depth out; tip_z is then the level of the bulb's underside.",
        )
    if through and answers.counts.get("screws"):
        answers.fault(
            "[[screws]]",
            read='screws from below with joint = "through"',
            expected="a blade that ends in a pocket, or no screws",
            remedy='Hold the halves with [[cross_pins]], or take joint = "pocket".',
        )
    if through and answers.counts.get("studs"):
        answers.fault(
            "[[studs]]",
            read='studs with joint = "through"',
            expected="a blade that ends in a pocket, or no studs",
            remedy='Hold the halves with [[cross_pins]], or take joint = "pocket".',
        )
    if "fin.bond_line" in answers.given and not through and "fin.joint" not in answers.meant:
        answers.fault(
            "fin.bond_line",
            read='bond_line without joint = "through"',
            expected="a bond line only where two halves are bonded",
            remedy='Add joint = "through" under [fin], or take bond_line out.',
        )
    _in_one_place(answers, answers.places("screws") + answers.places("studs"), ("at",))
    _in_one_place(answers, answers.places("cross_pins"), ("at", "height"))
    for pin in answers.places("cross_pins"):
        _below(
            answers, f"{pin}.diameter", f"{pin}.hole_diameter", "the pin does not pass its hole", equal=True
        )
    for stud in answers.places("studs"):
        _below(answers, f"{stud}.bore", f"{stud}.diameter", "a tube has a wall")
        reach = [answers.number(f"{stud}.{leaf}") for leaf in ("below", "above")]
        if reach == [0.0, 0.0]:
            answers.fault(
                stud,
                read="below and above both 0",
                expected="a stud of some length",
                remedy="Give below, how far it is cast into the lead, and above, how far it goes up into the fin.",
            )


def _in_one_place(answers: Answers, fastenings: list[str], leaves: tuple[str, ...]) -> None:
    """Two of one direction on one axis: one of them was written twice, or one cannot be there."""
    known: list[tuple[str, tuple[float, ...]]] = []
    for fastening in fastenings:
        figures = tuple(answers.number(f"{fastening}.{leaf}") for leaf in leaves)
        place = tuple(figure for figure in figures if figure is not None)
        if len(place) < len(leaves):
            continue
        for other, there in known:
            if all(abs(one - two) < _SAME_PLACE for one, two in zip(place, there, strict=True)):
                typed = " and ".join(answers.line(f"{fastening}.{leaf}") for leaf in leaves)
                answers.fault(
                    f"{fastening}.at",
                    read=f"{typed}, the place of {other}",
                    expected="each fastening in a place of its own",
                    remedy="Take one of the two out, or move it.",
                )
                break
        else:
            known.append((fastening, place))


def _below(answers: Answers, less: str, more: str, why: str, *, equal: bool = False) -> None:
    one, other = answers.number(less), answers.number(more)
    if one is None or other is None or one < other or (equal and one == other) or more not in answers.given:
        return
    answers.fault(
        less,
        read=answers.line(less),
        expected=f"{'at most' if equal else 'below'} {answers.line(more)}: {why}",
        remedy="Mend one of the two.",
    )
