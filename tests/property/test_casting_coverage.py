"""Castings drawn at random from the standard deviations. The tests check that the promised fraction of them need no
added lead, and that drilling by the schedule brings mass and mass centre within their bounds.

There is no outside source: the promise itself is tested. The slow runs use 2,000 castings.
"""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest
from plans import LEAST, SCREW, job_of

from bulbcast.confidence.casting import CastingModel
from bulbcast.confidence.drilling import schedule_of
from bulbcast.confidence.inputs import inputs_of
from bulbcast.confidence.propagation import draws
from bulbcast.job import Job

PLAN = (
    LEAST
    + 'pocket_depth = "6 mm"\n'
    + SCREW
    + SCREW.replace("14 mm", "42 mm")
    + '[pattern]\nerror = "0.08 mm"\n[confidence]\nprobability = "{probability} %"\n'
)
# A knife edge, read to a fifth of a millimetre; how closely a depth is drilled. Judgement.
BALANCE, DEPTH = 0.2e-3, 0.2e-3


@cache
def planned(probability: int) -> Job:
    text = PLAN.format(probability=probability)
    return job_of(text.replace("[bulb]\n", '[bulb]\nskin = "0.2 mm"\n'))


def castings(job: Job, count: int, seed: int, off=None):
    """Hung mass of undrilled castings [kg], their mass centre on the fin [m], and the inputs of each."""
    inputs = inputs_of(job)
    values = draws([one.uncertain for one in inputs.all], count=count, seed=seed)
    if off is not None:
        values = off(inputs, values)
    made = inputs.castings(values)
    mass, centre = CastingModel(bulb=job.bulb, wish=job.wish).hung(made)
    return mass, centre, made, values


@pytest.mark.parametrize("probability", [80, 95, 99])
def test_the_promised_share_needs_no_adding(probability: int) -> None:
    job = planned(probability)
    mass, _, _, values = castings(job, 2000, 7)
    share = float(np.mean(mass - values[-1] >= job.confidence.target))
    # Within 2 % as asked for; one standard error of 2,000 at 95 % is 0.5 %.
    assert share == pytest.approx(probability / 100.0, abs=0.02)


def drilled(job: Job, count: int, seed: int, off=None, bias: float = 0.0, weighings: int = 3) -> np.ndarray:
    """Hung mass and mass centre after drilling, as differences from the plan, for castings at or above the target;
    shape (n, 2)."""
    mass, centre, made, _ = castings(job, count, seed, off)
    found = job.confidence
    chance = np.random.Generator(np.random.PCG64([seed, 99]))
    # Each weighing is the mean of three, as is said under the schedule; what the scale is off by is in all of them.
    scale = found.scale_sd / weighings**0.5
    ends = []
    wish = job.wish
    planned_centre = job.bulb.mass_centre_x - job.bulb.pocket.leading_edge_x
    for number in np.flatnonzero(mass >= found.target):
        # She weighs the lead cut and ready, before skin and screws: those she counts as planned.
        one = [
            float(getattr(made, name)[number]) for name in ("skin", "filler_density", "density", "porosity")
        ]
        skin, filler, density, porosity = one
        added = job.bulb.lines[-1].mass
        unseen = (skin * filler / (wish.skin * wish.filler_density) - 1.0) * added
        weighed = mass[number] - unseen + bias + scale * chance.standard_normal()
        # The pocket is set out from the balance point; what is left of its error stays.
        prior, read = found.centre_sd, BALANCE
        weight = prior**2 / (prior**2 + read**2)
        off_by = centre[number] - planned_centre
        seen = weight * (off_by + read * chance.standard_normal())
        schedule = schedule_of(
            job.bulb,
            mass=float(weighed) - found.target,
            cast_density=wish.cast_density,
            filler_density=wish.filler_density,
            wall=job.wall_wanted,
            within=0.1e-3,
        )
        net = density * (1.0 - porosity) - filler
        taken, moment, believed = 0.0, 0.0, 0.0
        for place, hole in enumerate(schedule.holes):
            volume, wanted = hole.piece.volume, schedule.mass(hole)
            if place == len(schedule.holes) - 1:
                # Weighed again before the last hole, as the schedule says; both weighings count by how sure they are.
                again = mass[number] - unseen - taken + bias + scale * chance.standard_normal()
                first = scale**2 + (0.008 * believed) ** 2
                share = first / (first + scale**2)
                still = share * again + (1.0 - share) * (weighed - believed) - found.target
                volume *= max(still, 0.0) / wanted
            deep = 1.0 + DEPTH * chance.standard_normal() / hole.depth
            taken += net * deep * volume
            believed += wanted
            moment += net * deep * volume * (hole.piece.moment_x / hole.piece.volume - job.bulb.mass_centre_x)
        left = mass[number] - taken
        ends.append((left - found.target, off_by - seen - moment / left))
    return np.array(ends)


def held(job: Job, ends: np.ndarray) -> tuple[float, float]:
    """Fractions of castings within the bounds on mass and on mass centre."""
    skin = next(line.mass for line in job.confidence.budget if line.input.name == "skin")
    bound = max(0.002 * job.confidence.target, 3.0 * job.confidence.scale_sd, 3.0 * abs(skin))
    return float(np.mean(np.abs(ends[:, 0]) <= bound)), float(np.mean(np.abs(ends[:, 1]) <= 0.5e-3))


@pytest.mark.parametrize("count", [200, pytest.param(2000, marks=pytest.mark.slow)])
def test_after_drilling_castings_hang_at_the_target(count: int) -> None:
    mass, centre = held(planned(95), drilled(planned(95), count, 11))
    # Of few castings the share itself is not known better: three of its standard errors.
    short = 0.0 if count >= 2000 else 3.0 * (0.99 * 0.01 / count) ** 0.5
    assert mass >= 0.99 - short
    assert centre >= 0.99 - short


def wrong(inputs, values):
    """Values with the density 1 % higher and the contraction two standard deviations lower."""
    values = values.copy()
    values[0] *= 1.01
    values[2] -= 2.0 * inputs.contraction.sd
    return values


def light(inputs, values):
    """The same errors in the opposite direction."""
    values = values.copy()
    values[0] *= 0.99
    values[2] += 2.0 * inputs.contraction.sd
    return values


def together(inputs, values):
    """Contraction, mould and pattern all wrong from one cause, although the model assumes that they are independent."""
    values = values.copy()
    common = (values[2] - inputs.contraction.value) / inputs.contraction.sd
    values[3] = inputs.mould.value - common * inputs.mould.sd
    values[5] = -common * inputs.face.sd
    return values


def test_a_wrong_prior_loses_the_promise_and_not_the_drilling() -> None:
    """More castings than promised may need added lead, but any casting at or above the target can still be drilled to it."""
    job = planned(95)
    shares = {}
    for name, off in (("heavy", wrong), ("light", light), ("together", together)):
        mass, _, _, values = castings(job, 2000, 13, off)
        shares[name] = float(np.mean(mass - values[-1] >= job.confidence.target))
    # The report says what is left of the promise; from the linear band, which samples leave by a few in a hundred.
    assert shares["light"] == pytest.approx(job.confidence.if_wrong, abs=0.05)
    assert shares["together"] == pytest.approx(job.confidence.if_together, abs=0.03)
    assert shares["heavy"] > 0.99
    assert shares["light"] < 0.60, "the promise does not hold against a prior that is wrong by so much"
    assert 0.80 < shares["together"] < 0.95, "errors that add up widen the band that the model takes as free"
    for off in (light, together):
        on_mass, on_centre = held(job, drilled(job, 200, 17, off))
        assert on_mass >= 0.96
        assert on_centre >= 0.95


def test_what_the_scale_is_off_by_stays_in_the_bulb() -> None:
    """If a scale always reads too high, the bulb ends up too light by the same amount; the balance is not affected."""
    job = planned(95)
    bias = 3.0 * job.confidence.scale_sd
    true, off = drilled(job, 100, 19), drilled(job, 100, 19, bias=bias)
    assert np.mean(off[:, 0] - true[:, 0]) == pytest.approx(-bias, rel=0.05)
    assert np.mean(np.abs(off[:, 1]) <= 0.5e-3) >= 0.95
