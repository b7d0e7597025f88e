"""What weighing teaches about castings whose true contraction is unknown to the plan.

No outside source: the test uses simulated castings with known true values.
"""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest
from plans import LEAST, SCREW, job_of

from bulbcast.confidence.as_cast import Reading, reading_noise, updated
from bulbcast.confidence.propagation import draws
from bulbcast.confidence.weighed import raw_casting
from bulbcast.job import Job
from bulbcast.materials.learned import CONTRACTION_VARIES, Said, alone, learned

PLAN = LEAST + 'pocket_depth = "6 mm"\n' + SCREW + '[pattern]\nerror = "0.1 mm"\n'
WATER = 998.2
SCALE, RULE = 1e-3, 0.3e-3


@cache
def planned() -> Job:
    return job_of(PLAN)


def contraction_said(true: float, count: int, seed: int) -> list[Said]:
    """Contraction learned from weighing and measuring castings with a given true contraction."""
    job = planned()
    raw = raw_casting(job, WATER)
    uncertain = [one.uncertain for one in raw.inputs.all]
    values = draws(uncertain, count=count, seed=seed)
    chance = np.random.Generator(np.random.PCG64([seed, 5]))
    values[2] = true + CONTRACTION_VARIES * chance.standard_normal(count)
    prior = raw.inputs.contraction
    said = []
    for number in range(count):
        one = values[:, number : number + 1]
        readings = tuple(
            Reading(name=name, value=float(raw.of(name)(one)[0]) + sd * chance.standard_normal(), sd=sd)
            for name, sd in (("as cast", SCALE), ("length", RULE), ("diameter", 0.1e-3), ("in water", SCALE))
        )
        value, sd = updated(raw, readings).value("contraction")
        found = alone(prior.value, prior.sd, value, sd)
        assert found is not None
        said.append(Said(casting=number + 1, value=found[0], sd=found[1]))
    return said


@pytest.mark.parametrize("true", [0.006, 0.018])
def test_the_next_plans_mass_error_shrinks_as_the_posterior_says(true: float) -> None:
    """A linear error counts three times in the mass, and so does the error left after one, two and five castings."""
    prior = raw_casting(planned(), WATER).inputs.contraction
    before = abs(true - prior.value)
    castings = contraction_said(true, 500, 21)
    left = {}
    for count in (1, 2, 5):
        errors, claimed = [], 0.0
        for start in range(0, 500, count):
            # The prior is nearly two and a half standard deviations off: a casting may not pass for wild for that.
            found = learned(prior.value, prior.sd, castings[start : start + count], varies=CONTRACTION_VARIES)
            errors.append(found.value - true)
            claimed = float(np.sqrt(max(found.sd**2 - CONTRACTION_VARIES**2, 0.0)))
        weight = claimed**2 / prior.sd**2
        # Mean: what the prior still pulls; its share is the posterior's variance over the prior's.
        pulled = weight * (prior.value - true)
        assert np.mean(errors) == pytest.approx(pulled, abs=4.0 * claimed / np.sqrt(len(errors)) + 2e-4)
        assert np.std(errors) <= 1.25 * claimed
        left[count] = float(np.sqrt(np.mean(np.square(errors))))
    assert left[5] < left[2] < left[1] < before
    assert left[5] < 0.45 * before


def test_one_wild_reading_is_named_and_does_not_ruin_the_log() -> None:
    prior = raw_casting(planned(), WATER).inputs.contraction
    castings = contraction_said(0.012, 5, 33)
    wild = Said(casting=6, value=0.07, sd=castings[0].sd)
    clean = learned(prior.value, prior.sd, castings, varies=CONTRACTION_VARIES)
    found = learned(prior.value, prior.sd, [*castings[:2], wild, *castings[2:]], varies=CONTRACTION_VARIES)
    assert found.wild == (6,)
    assert found.value == pytest.approx(clean.value, abs=1e-12)


def test_what_one_scale_is_off_by_falls_out_of_the_density_in_part() -> None:
    """The loss of weight in water is the difference of two weighings, so an error common to both cancels out."""
    readings = tuple(
        Reading(name=name, value=1.0, sd=sd)
        for name, sd in (("as cast", 2e-3), ("in water", 1e-3), ("length", 3e-4))
    )
    noise = reading_noise(readings)
    loss = np.array([1.0, -1.0, 0.0])
    # Variances 4 and 1 g2, of which 0.5 x 1 g2 is the scale's own in both: 4 + 1 - 2 x 0.5.
    assert loss @ noise @ loss == pytest.approx(4e-6, rel=1e-12)
    assert np.diag(noise) == pytest.approx([4e-6, 1e-6, 9e-8])
    assert noise[0, 2] == 0.0
    assert (np.linalg.eigvalsh(noise) > 0.0).all()
