"""Hidden hollows are found in castings as often as the standard deviations predict, and rarely in sound ones.

No outside source: the rate is derived by integrating the normal density over the region reported as a hollow, and
compared with castings whose true state is known."""

from __future__ import annotations

import math
from functools import cache

import numpy as np
import pytest
from plans import LEAST, SCREW, job_of

from bulbcast.confidence.as_cast import ONE_SCALE, WEIGHED, Reading
from bulbcast.confidence.hollow import FALSE_ALARMS, UNEVEN, Wedge, fitted, hidden_void, limit_for
from bulbcast.confidence.propagation import draws
from bulbcast.confidence.weighed import raw_casting

PLAN = LEAST + 'pocket_depth = "6 mm"\n' + SCREW + '[pattern]\nerror = "0.1 mm"\n'
WATER = 998.2
SDS = {"as cast": 1e-3, "in water": 1e-3, "length": 0.3e-3, "diameter": 0.1e-3, "balance": 0.3e-3}
TAIL = 0.85


@cache
def model():
    return raw_casting(job_of(PLAN), WATER)


def readings_of(values: dict[str, float], sds: dict[str, float]) -> tuple[Reading, ...]:
    return tuple(Reading(name=name, value=values[name], sd=sd) for name, sd in sds.items())


def castings(count: int, share: float, at: float, sds: dict[str, float], seed: int):
    """The fitted model, limit, hollow found in each casting, and distance of the true hollow from the nose. [m]"""
    raw = model()
    values = draws([one.uncertain for one in raw.inputs.all], count=count, seed=seed)
    chance = np.random.Generator(np.random.PCG64([seed, 6]))
    true = {name: raw.of(name)(values) for name in SDS}
    place = at * true["length"]
    # The lead that is missing, at its place; the outside is as it was.
    sound, lost = true["as cast"], share * true["as cast"]
    true["as cast"] = sound - lost
    true["in water"] = true["in water"] - lost
    true["balance"] = (sound * true["balance"] - lost * place) / (
        sound - lost
    ) + UNEVEN * chance.standard_normal(count)
    # One scale weighs in air and in water: a part of what it is off is the same.
    scale = chance.standard_normal(count)
    read = {}
    for name, sd in sds.items():
        common = ONE_SCALE if name in WEIGHED else 0.0
        off = math.sqrt(common) * scale + math.sqrt(1.0 - common) * chance.standard_normal(count)
        read[name] = true[name] + sd * off
    plain = readings_of(dict.fromkeys(SDS, 1.0), sds)
    wedge, limit, found = fitted(raw, plain)[0], limit_for(raw, plain), []
    for number in range(count):
        _, said = fitted(raw, readings_of({name: float(one[number]) for name, one in read.items()}, sds))
        found.append(wedge.judged(*said, limit))
    return wedge, limit, found, place


def rate(found) -> float:
    return float(np.mean([one.likely for one in found]))


def error(share: float, count: int) -> float:
    """Standard error of a proportion found from the given number of castings."""
    return math.sqrt(share * (1.0 - share) / count)


COUNT = 2000
SKEW = 0.01
"""Change in the rate caused by the skewed distribution of porosity. [-]"""


def test_false_alarms_are_one_in_twenty_at_most() -> None:
    _, _, found, _ = castings(COUNT, 0.0, 0.5, SDS, 44)
    assert rate(found) <= FALSE_ALARMS + 2.0 * error(FALSE_ALARMS, COUNT)


@pytest.mark.parametrize("closer", [1.0, 3.0], ids=["as usual", "balance three times as closely"])
def test_a_hollow_of_one_per_cent_at_the_tail_is_found_as_often_as_the_spreads_allow(closer: float) -> None:
    sds = {**SDS, "balance": SDS["balance"] / closer}
    wedge, limit, found, place = castings(COUNT, 0.01, TAIL, sds, 45)
    expected = wedge.found(0.01, float(np.mean(place)) - wedge.nose, limit)
    assert rate(found) == pytest.approx(expected, abs=3.0 * error(expected, COUNT) + SKEW)
    called = [(one, true) for one, true in zip(found, place.tolist(), strict=True) if one.likely]
    held = float(np.mean([one.x_low <= true <= one.x_high for one, true in called]))
    assert held >= 0.95 - 3.0 * error(0.95, len(called))
    assert np.mean([one.x > 0.5 * true for one, true in called]) > 0.95, "on the tail's side"


def test_the_smallest_that_is_told_is_found_four_times_in_five() -> None:
    """Tested at the very tail, where no real hollow would fit."""
    void = hidden_void(model(), readings_of(dict.fromkeys(SDS, 1.0), SDS))
    _, _, found, _ = castings(COUNT, void.smallest, 1.0, SDS, 46)
    assert rate(found) == pytest.approx(0.8, abs=3.0 * error(0.8, COUNT) + SKEW)
    assert [one.smallest for one in void.better] == sorted(one.smallest for one in void.better)
    assert void.better[0].smallest < void.smallest


def test_the_rate_is_that_of_samples_of_the_two_figures() -> None:
    """The integral over the wedge is compared with 200,000 random pairs."""
    wedge = Wedge(covariance=np.array([[4e-5, 1e-6], [1e-6, 2e-7]]), nose=0.13, tail=0.17)
    limit = wedge.limit()
    chance = np.random.Generator(np.random.PCG64(3))
    for share, arm, alarms in ((0.0, 0.0, True), (0.005, 0.12, False), (0.004, -0.1, False)):
        pairs = chance.multivariate_normal([share, share * arm], wedge.covariance, 200_000)
        _, _, gains = wedge.nearest(*pairs.T)
        expected = wedge.found(share, arm, limit)
        assert float(np.mean(gains > limit)) == pytest.approx(expected, abs=4.0 * error(expected, 200_000))
        if alarms:
            assert expected == pytest.approx(FALSE_ALARMS, abs=2e-4)
