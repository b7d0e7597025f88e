"""The band of the casting's mass, the aim that leaves drilling and no adding, and what would narrow it.

The body is sized for what hangs on the fin once it is drilled; the excess that it is cast with follows from the band,
and the band depends little on the excess, so a few rounds settle both.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from statistics import NormalDist

import numpy as np

from bulbcast.ballast.results import BallastResults
from bulbcast.bulb.cuts.drilled import INCH_DRILLS, USUAL_DRILLS
from bulbcast.confidence.casting import CastingModel
from bulbcast.confidence.drilling import Schedule, schedule_of
from bulbcast.confidence.inputs import Input, Inputs, inputs_of
from bulbcast.confidence.narrowing import Narrowing, narrowed
from bulbcast.confidence.propagation import (
    combined,
    coverage_interval,
    even_draws,
    linear_parts,
    linear_stands,
)
from bulbcast.plan.keys import KEYS
from bulbcast.quantities import Dimension, read_quantity
from bulbcast.quantities.frozen import frozen
from bulbcast.solids.quadrature import Array

SAMPLES = 8192
"""Evenly spread samples: their fractiles are as close as those of some 800,000 random ones (test_samples_laid_evenly).
[-]"""
_SEED = 2008
_SETTLED, _MOST_ROUNDS = 1e-6, 20
LARGEST_BAND = 0.15
"""Standard deviation over the mass from which no aim is worth casting for: it is a slip, or nothing is known."""
_SKEWED = 0.15
"""Skewness of the samples from which it is reported."""
WITHIN = 0.0005
"""How far drilling may leave the mass centre from its place: the plan format's own default. [m]"""
_SCALE_SHARE, _SMALLEST_SCALE = 0.0005, 0.001


@frozen
class BudgetLine:
    """What one input does.

    Attributes:
        input: The input with its standard deviation and source.
        mass: What one standard deviation more of it does to the hung mass over what the boat needs. [kg]
        centre: What it does to the mass centre, aft is positive. [m]
        sinkage: What it does to the sinkage; None without a boat whose line is known. [m]
        trim: The same for trim, over the waterline, by the stern is positive. [m]
    """

    input: Input
    mass: float
    centre: float
    sinkage: float | None
    trim: float | None


@frozen
class Confidence:
    """How sure the casting is.

    Attributes:
        probability: Probability with which it needs drilling and no adding, cast to the aim. [-]
        sized: Whether the body is sized to the aim; else the aim is what it would have to be.
        target: What hangs on the fin in the end. [kg]
        aim: What the casting is to hang before it is drilled. [kg]
        mass_sd: Standard deviation of what it hangs over what the boat needs. [kg]
        centre_sd: Standard deviation of the place of the mass centre along the fin. [m]
        low: Hung mass, before drilling, that as many castings lie below as lie above `high`; of the body as planned. [kg]
        high: With `low`, holds the castings in that probability. [kg]
        drill_expected: Mean of what is drilled off, none where it is light. [kg]
        drill_most: What no more than one minus the probability need. [kg]
        linear: Whether the linear figures stand alone by the samples.
        skewness: Skewness of the samples. [-]
        scale_sd: Standard deviation of one weighing of the casting. [kg]
        budget: What each input does, the largest first.
        narrowing: What measuring would save, the most first.
        schedule: Schedule of the mean drilling; None where the body is not sized to the aim.
        if_wrong: Share that needs no adding where metal and contraction are off by more than is believed, both to the
            light side: the metal by 1 %, the contraction by two standard deviations. [-]
        if_together: The same share where contraction, mould and pattern are off by one cause. [-]
        no_room: Part of the most to be drilled that there is no room for; zero where all of it fits. [kg]
    """

    probability: float
    sized: bool
    target: float
    aim: float
    mass_sd: float
    centre_sd: float
    low: float
    high: float
    drill_expected: float
    drill_most: float
    linear: bool
    skewness: float
    scale_sd: float
    budget: tuple[BudgetLine, ...]
    narrowing: tuple[Narrowing, ...]
    schedule: Schedule | None
    if_wrong: float
    if_together: float
    no_room: float

    @property
    def skewed(self) -> bool:
        """Whether light and heavy castings are not alike often."""
        return abs(self.skewness) > _SKEWED


@frozen
class Band:
    """Of hung mass over what the boat needs, about the planned one.

    Attributes:
        inputs: The inputs it comes from.
        mass: Parts of the linear standard deviation, by input. [kg]
        centre: The same for the mass centre. [m]
        samples: Mass of each sample less the planned one. [kg]
        linear: Whether the linear figures stand alone.
        probability: The probability asked for. [-]
    """

    inputs: Inputs
    mass: Array
    centre: Array
    samples: Array
    linear: bool
    probability: float

    @property
    def sd(self) -> float:
        """[kg]"""
        return combined(self.mass) if self.linear else float(np.std(self.samples))

    @property
    def growth(self) -> float:
        """By which power of the mass the band grows: layers as a surface, what the boat needs not at all. [-]"""
        power = {"1": 1.0, "kg/m3": 1.0, "m": 2.0 / 3.0, "kg": 0.0}
        powers = np.array([power[one.unit] for one in self.inputs.all])
        return float(powers @ self.mass**2) / float(self.mass @ self.mass) if self.mass.any() else 0.0

    def level(self, share: float) -> float:
        """Below which that share of the castings lies, from the planned mass. [kg]

        Args:
            share: [-]
        """
        if self.linear:
            return NormalDist().inv_cdf(share) * combined(self.mass)
        return float(np.quantile(self.samples, share))


class TooWideError(ValueError):
    """Standard deviations so large that no aim is worth casting for.

    Attributes:
        widest: Input that moves the mass most.
        share: Standard deviation of the mass over it. [-]
    """

    def __init__(self, widest: Input, share: float) -> None:
        super().__init__(f"{widest.name} makes the mass uncertain by {share:g} of it")
        self.widest = widest
        self.share = share


def probability_of(job: BallastResults) -> float:
    """The probability that is asked, or that of the plan format."""
    asked = job.plan.confidence
    if asked is not None:
        return asked.probability
    return read_quantity(KEYS["confidence.probability"].default or "", Dimension.RATIO)


def band_of(job: BallastResults, *, samples: int = SAMPLES) -> Band:
    """The band of the casting's mass.

    Args:
        job: The bulb in its place.
        samples: Number of samples for the true model. [-]

    Raises:
        TooWideError: The standard deviations are so large that they say nothing.
    """
    inputs, model = inputs_of(job), CastingModel(bulb=job.bulb, wish=job.wish)
    planned = job.bulb.mass + job.wish.excess
    of_mass, of_centre = _parts(job, inputs, model)
    sd = combined(of_mass)
    uncertain = [one.uncertain for one in inputs.all]
    found = _needed(model, inputs, even_draws(uncertain, of_mass, count=samples, seed=_SEED)) - planned
    probability = probability_of(job)
    interval = max(2.0 * probability - 1.0, 0.5)
    stands = sd == 0.0 or linear_stands(
        value=0.0, sd=sd, interval=coverage_interval(found, interval), probability=interval
    )
    return Band(
        inputs=inputs, mass=of_mass, centre=of_centre, samples=found, linear=stands, probability=probability
    )


def _needed(model: CastingModel, inputs: Inputs, values: Array) -> Array:
    """What castings hang, undrilled, less what the boat needs beside the target, shape (n,). [kg]"""
    hung: Array = model.hung(inputs.castings(values))[0] - values[-1]
    return hung


def _parts(job: BallastResults, inputs: Inputs, model: CastingModel) -> tuple[Array, Array]:
    """What one standard deviation of each input does to the mass [kg] and to the mass centre [m].

    Raises:
        TooWideError: The standard deviations are so large that they say nothing.
    """
    uncertain = [one.uncertain for one in inputs.all]
    _, mass = linear_parts(lambda values: _needed(model, inputs, values), uncertain)
    _, centre = linear_parts(lambda values: model.hung(inputs.castings(values))[1], uncertain)
    sd, planned = combined(mass), job.bulb.mass + job.wish.excess
    if not sd <= LARGEST_BAND * planned:
        raise TooWideError(inputs.all[int(np.argmax(np.abs(mass)))], sd / planned)
    return mass, centre


def excess_for(
    begin: BallastResults, sized: Callable[[float], BallastResults]
) -> tuple[BallastResults, float]:
    """The bulb that is cast so heavy that it needs drilling and no adding.

    Args:
        begin: The bulb of the target mass.
        sized: Sizes it with an excess. [kg]

    Returns:
        The bulb sized to the aim, and its excess [kg].

    Raises:
        TooWideError: The standard deviations are so large that they say nothing.
    """
    first = band_of(begin)
    sd, short = combined(first.mass), max(-first.level(1.0 - first.probability), 0.0)
    if short == 0.0:
        return begin, 0.0
    # The band keeps its shape on a bulb that is cast a little heavier: its width alone is followed.
    reach, before, grows = short / sd, (0.0, short), first.growth * short / begin.bulb.mass
    excess = short / (1.0 - grows)
    for _ in range(_MOST_ROUNDS):
        job = sized(excess)
        parts, _ = _parts(job, inputs_of(job), CastingModel(bulb=job.bulb, wish=job.wish))
        wanted = reach * combined(parts)
        if abs(wanted - excess) <= _SETTLED * job.bulb.mass:
            break
        grows = (wanted - before[1]) / (excess - before[0])
        before = (excess, wanted)
        excess = max((wanted - grows * excess) / (1.0 - grows), 0.0)
    return job, excess


def scheduled(job: BallastResults, mass: float, *, shift: float = 0.0) -> Schedule:
    """The holes that take a mass off this plan's bulb.

    Args:
        job: The results, with bulb and the wall that is required.
        mass: Mass to be taken off what hangs. [kg]
        shift: How far the mass centre is to be moved by it, aft is positive. [m]
    """
    return schedule_of(
        job.bulb,
        mass=mass,
        cast_density=job.wish.cast_density,
        filler_density=job.wish.filler_density,
        wall=job.wall_wanted,
        within=WITHIN if job.plan.confidence is None else job.plan.confidence.centre_within,
        shift=shift,
        drills=INCH_DRILLS if job.plan.display_units == "imperial" else USUAL_DRILLS,
    )


def confidence_of(job: BallastResults) -> Confidence:
    """How sure the casting is.

    Args:
        job: The bulb in its place, sized to the aim where the plan asks.

    Raises:
        TooWideError: The standard deviations are so large that they say nothing.
    """
    band = band_of(job)
    target, probability = job.bulb.mass, band.probability
    planned, sized = target + job.wish.excess, job.plan.confidence is not None
    short = max(-band.level(1.0 - probability), 0.0)
    # A heavier casting is uncertain by more.
    grows = 1.0 if sized else 1.0 / (1.0 - band.growth * short / planned)
    excess = job.wish.excess if sized else short * grows
    sd = band.sd
    if band.linear:
        z = excess / (sd * grows) if sd > 0.0 else math.inf
        expected = excess if sd == 0.0 else _mean_above(z) * sd * grows
    else:
        expected = float(np.mean(np.maximum(excess + grows * band.samples, 0.0)))
    asked = job.plan.confidence
    scale = None if asked is None else asked.scale
    deviation = band.samples - float(np.mean(band.samples))
    spread = float(np.std(deviation))
    most = max(excess + grows * band.level(probability), 0.0)
    return Confidence(
        probability=probability,
        sized=sized,
        target=target,
        aim=target + excess,
        mass_sd=sd,
        centre_sd=combined(band.centre),
        low=planned + band.level(1.0 - probability),
        high=planned + band.level(probability),
        drill_expected=expected,
        drill_most=most,
        linear=band.linear,
        skewness=float(np.mean(deviation**3)) / spread**3 if spread > 0.0 else 0.0,
        scale_sd=max(_SCALE_SHARE * planned, _SMALLEST_SCALE) if scale is None else scale,
        budget=_budget(job, band),
        narrowing=narrowed(band.inputs, band.mass, NormalDist().inv_cdf(probability)),
        schedule=scheduled(job, excess) if sized else None,
        if_wrong=_share(excess - _to_the_light_side(band), sd * grows),
        if_together=_share(excess, _off_together(band, sd) * grows),
        no_room=scheduled(job, most).left if sized else 0.0,
    )


def _share(reserve: float, sd: float) -> float:
    """Of castings that need no adding, with that reserve over the target."""
    return NormalDist().cdf(reserve / sd) if sd > 0.0 else float(reserve >= 0.0)


def _to_the_light_side(band: Band) -> float:
    """What metal of 1 % less density and two standard deviations more of contraction take away. [kg]"""
    density, inputs = band.inputs.density, band.inputs
    slope = abs(float(band.mass[inputs.place("density")])) / density.sd if density.sd > 0.0 else 0.0
    return 0.01 * density.value * slope + 2.0 * abs(float(band.mass[inputs.place("contraction")]))


def _off_together(band: Band, sd: float) -> float:
    """Standard deviation where contraction, mould and the pattern's faces do not stray freely but as one. [kg]"""
    parts = np.abs(band.mass[[band.inputs.place(name) for name in ("contraction", "mould", "face")]])
    return math.sqrt(max(sd**2 - float(parts @ parts) + float(parts.sum()) ** 2, 0.0))


def _mean_above(z: float) -> float:
    """Mean of a standard normal variable raised by z, where it is above zero."""
    normal = NormalDist()
    return z * normal.cdf(z) + normal.pdf(z)


def _budget(job: BallastResults, band: Band) -> tuple[BudgetLine, ...]:
    """By input, the largest first; what cannot be off at all is left out."""
    flotation = None if job.boat is None else job.boat.flotation
    x = job.bulb.mass_centre[0]
    lines = []
    for one, mass, centre in zip(band.inputs.all, band.mass.tolist(), band.centre.tolist(), strict=True):
        if one.sd == 0.0 or (mass == 0.0 and centre == 0.0):
            continue
        sinkage, trim = None, None
        if flotation is not None:
            moment = mass * (x - flotation.flotation_x) + job.bulb.mass * centre
            sinkage, trim = mass / flotation.mass_per_immersion, moment / flotation.moment_per_trim
        lines.append(BudgetLine(input=one, mass=mass, centre=centre, sinkage=sinkage, trim=trim))
    return tuple(sorted(lines, key=lambda line: -abs(line.mass)))
