"""Table of a fin's thicknesses along its chord, as measured with a caliper."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bulbcast.plan.answers import wrong_kind
from bulbcast.quantities import Dimension, QuantityError, quoted, read_quantity

if TYPE_CHECKING:
    from bulbcast.plan.answers import Answers
    from bulbcast.plan.key import Key

MOST, THICKEST, LONGEST = 100, 2.0, 10.0
"""Maximum number of stations, and the largest tip_thickness and tip_chord. [-], [m], [m]"""


def read_thicknesses(answers: Answers, key: Key, place: str, value: object) -> None:
    """Read the thicknesses.

    Args:
        answers: Answers to which the stations or the faults are added. [-]
        key: Key of the thicknesses. [-]
        place: Dotted path. [-]
        value: As TOML reads it. [-]
    """
    if not isinstance(value, dict) or not value:
        wrong_kind(answers, key, place, value)
        return
    faults = len(answers.faults)
    if not 2 <= len(value) <= MOST:
        expected = f"2 to {MOST} points with their thicknesses"
        remedy = "Measure at the thickest point and at several points on either side, close together near the leading edge."
        answers.fault(place, f"a total of {len(value)}", expected, remedy)
        return
    stations: dict[float, float] = {}
    for at, thickness in value.items():
        where = _length(answers, place, at, "a point 0 mm or more aft of the leading edge", LONGEST)
        across = _length(answers, place, thickness, f"the full thickness at {at}, from 0 mm to 2 m", THICKEST)
        if where is None or across is None:
            continue
        if where in stations:
            answers.fault(place, f"{quoted(at)} again", "each point once", "Remove one of the two.")
        stations[where] = across
    if len(answers.faults) > faults:
        return
    ordered = sorted(stations.items())
    bare = [at for at, across in ordered[1:-1] if across == 0.0]
    if bare or max(across for _, across in ordered) < 1e-4:
        remedy = "Write what the caliper shows there. Zero is only for a sharp leading or trailing edge."
        answers.fault(
            place,
            f"no thickness at {bare[0] * 1e3:g} mm" if bare else "no thickness",
            "a thickness above zero",
            remedy,
        )
        return
    answers.stations[place] = tuple(ordered)


def _length(answers: Answers, place: str, written: object, expected: str, most: float) -> float | None:
    """Read a length from zero to `most`. If the value is not such a length, add a fault and return None. [m]"""
    if not isinstance(written, str):
        remedy = 'Write the point and the thickness in quotes with their units, such as "20 mm" = "7.0 mm".'
        answers.fault(place, f"the bare number {written}", expected, remedy)
        return None
    try:
        length = read_quantity(written, Dimension.LENGTH)
    except QuantityError as error:
        answers.fault(place, error.read, expected, error.remedy)
        return None
    if not 0.0 <= length <= most:
        answers.fault(place, quoted(written), expected, "Check the unit.")
        return None
    return length


def check_thicknesses(answers: Answers) -> None:
    """Check that the points are on the chord, and that the thicknesses are less than the chord.

    Args:
        answers: Answers read from the plan. [-]
    """
    place, chord = "fin.measured", answers.number("fin.tip_chord")
    stations = answers.stations.get(place)
    if stations is None or chord is None:
        return
    line = answers.line("fin.tip_chord")
    if stations[-1][0] > chord * (1.0 + 1e-9):
        read = f"a point at {stations[-1][0] * 1e3:g} mm with {line}"
        answers.fault(place, read, "points within the chord", "Check the chord and this distance.")
    if max(across for _, across in stations) >= chord:
        answers.fault(
            place,
            f"a thickness equal to or greater than {line}",
            "thicknesses less than the chord",
            "Fix one of the two.",
        )
