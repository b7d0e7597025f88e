"""The uncertainty band of the casting's mass, the aim for drilling without adding lead, and measurements that narrow
the band.

The body is sized for the hung mass after drilling. The excess in the casting follows from the band, and the band
depends little on the excess, so a few iterations settle both.
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
"""Number of evenly spread samples; their quantiles are as precise as those of about 800,000 random samples
(test_samples_laid_evenly). [-]"""
_SEED = 2008
_SETTLED, _MOST_ROUNDS = 1e-6, 20
LARGEST_BAND = 0.15
"""Ratio of standard deviation to mass above which an aim is useless; the cause is a mistake or a lack of
knowledge. [-]"""
_SKEWED = 0.15
"""Skewness of the samples above which the distribution is reported as skewed. [-]"""
WITHIN = 0.0005
"""Largest shift of the mass centre that drilling may cause: the default in the plan format. [m]"""
_SCALE_SHARE, _SMALLEST_SCALE = 0.0005, 0.001


@frozen
class BudgetLine:
    """Effect of one input.

    Attributes:
        input: The input with its standard deviation and source.
        mass: Change in the difference between the hung mass and the mass that the boat needs, if the input increases
            by one standard deviation. [kg]
        centre: Effect on the mass centre; aft is positive. [m]
        sinkage: Effect on the sinkage; None if no waterline is given. [m]
        trim: Effect on the trim over the waterline length, positive by the stern, or None. [m]
    """

    input: Input
    mass: float
    centre: float
    sinkage: float | None
    trim: float | None


@frozen
class Confidence:
    """Confidence in the casting's mass.

    Attributes:
        probability: Probability that a casting made to the aim needs drilling and no added lead. [-]
        sized: Whether the body is sized to the aim; otherwise the aim is only reported.
        target: Final hung mass on the fin. [kg]
        aim: Intended hung mass of the casting before drilling. [kg]
        mass_sd: Standard deviation of the hung mass, less the mass that the boat needs. [kg]
        centre_sd: Standard deviation of the mass centre's position along the fin. [m]
        low: Lower quantile of the hung mass before drilling, for the planned body: a fraction of one minus
            `probability` of the castings is lighter. [kg]
        high: Upper quantile of the same mass: the same fraction of the castings is heavier. [kg]
        drill_expected: Mean mass drilled out, counting zero if the casting is too light. [kg]
        drill_most: Mass drilled out that is exceeded with a probability of one minus `probability`. [kg]
        linear: Whether the samples confirm the linear figures.
        skewness: Skewness of the samples. [-]
        scale_sd: Standard deviation of one weighing of the casting. [kg]
        budget: Effect of each input, the largest first.
        narrowing: Benefit of each measurement, the largest first.
        schedule: Schedule for drilling the average casting; None if the body is not sized to the aim.
        if_wrong: Fraction of castings that need no added lead if metal and contraction both deviate to the light side:
            the metal by 1 %, the contraction by two standard deviations. [-]
        if_together: Same fraction if contraction, mould and pattern deviate because of one common cause. [-]
        no_room: Part of `drill_most` for which there is no room; zero if all of it fits. [kg]
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
        """Whether the distribution of casting masses is skewed."""
        return abs(self.skewness) > _SKEWED


@frozen
class Band:
    """Deviation of the hung mass, less the mass that the boat needs, from the planned value.

    Attributes:
        inputs: Inputs that cause it.
        mass: Contribution of each input to the linear standard deviation. [kg]
        centre: Contribution of each input to the standard deviation of the mass centre. [m]
        samples: Mass of each sample less the planned mass. [kg]
        linear: Whether the linear figures are accurate enough.
        probability: Probability asked for in the plan. [-]
    """

    inputs: Inputs
    mass: Array
    centre: Array
    samples: Array
    linear: bool
    probability: float

    @property
    def sd(self) -> float:
        """Standard deviation of the mass. [kg]"""
        return combined(self.mass) if self.linear else float(np.std(self.samples))

    @property
    def growth(self) -> float:
        """Exponent with which the band's width grows with the mass, as a weighted mean of the inputs: 1 for densities and
        ratios, 2/3 for layers on a surface, and 0 for the mass that the boat needs. [-]"""
        power = {"1": 1.0, "kg/m3": 1.0, "m": 2.0 / 3.0, "kg": 0.0}
        powers = np.array([power[one.unit] for one in self.inputs.all])
        return float(powers @ self.mass**2) / float(self.mass @ self.mass) if self.mass.any() else 0.0

    def level(self, share: float) -> float:
        """Return the mass, less the planned mass, below which a given fraction of the castings lies. [kg]

        Args:
            share: Fraction of the castings. [-]
        """
        if self.linear:
            return NormalDist().inv_cdf(share) * combined(self.mass)
        return float(np.quantile(self.samples, share))


class TooWideError(ValueError):
    """Raised if the standard deviations are so large that aiming above the target is pointless.

    Attributes:
        widest: Input with the largest effect on the mass.
        share: Ratio of the mass's standard deviation to the mass. [-]
    """

    def __init__(self, widest: Input, share: float) -> None:
        super().__init__(
            f"the standard deviation is {share:g} of the mass; the largest contribution is from {widest.name}"
        )
        self.widest = widest
        self.share = share


def probability_of(job: BallastResults) -> float:
    """Probability asked for in the plan, or the default of the plan format."""
    asked = job.plan.confidence
    if asked is not None:
        return asked.probability
    return read_quantity(KEYS["confidence.probability"].default or "", Dimension.RATIO)


def band_of(job: BallastResults, *, samples: int = SAMPLES) -> Band:
    """Calculate the band of the casting's mass.

    Args:
        job: The bulb on the fin.
        samples: Number of samples for the full model. [-]

    Raises:
        TooWideError: The standard deviations are too large to be useful.
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
    """Hung mass of undrilled castings, less the mass that the boat needs in addition to the target, shape (n,). [kg]"""
    hung: Array = model.hung(inputs.castings(values))[0] - values[-1]
    return hung


def _parts(job: BallastResults, inputs: Inputs, model: CastingModel) -> tuple[Array, Array]:
    """Effect of one standard deviation of each input on the mass [kg] and on the mass centre [m].

    Raises:
        TooWideError: The standard deviations are too large to be useful.
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
    """Size the bulb so that its casting is heavy enough to need drilling but no added lead.

    Args:
        begin: Bulb with the target mass.
        sized: Function that sizes the bulb with an excess. [kg]

    Returns:
        The bulb sized to the aim, and its excess [kg].

    Raises:
        TooWideError: The standard deviations are too large to be useful.
    """
    first = band_of(begin)
    sd, short = combined(first.mass), max(-first.level(1.0 - first.probability), 0.0)
    if short == 0.0:
        return begin, 0.0
    # The band of a slightly heavier casting has the same shape, so only its width is updated.
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
    """Find the holes that remove a given mass from this plan's bulb.

    Args:
        job: Results with the bulb and the required wall.
        mass: Mass to remove from the hung mass. [kg]
        shift: Required shift of the mass centre; aft is positive. [m]
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
    """Calculate the confidence in the casting.

    Args:
        job: The bulb on the fin, sized to the aim if the plan asks for it.

    Raises:
        TooWideError: The standard deviations are too large to be useful.
    """
    band = band_of(job)
    target, probability = job.bulb.mass, band.probability
    planned, sized = target + job.wish.excess, job.plan.confidence is not None
    short = max(-band.level(1.0 - probability), 0.0)
    # A heavier casting has a larger uncertainty.
    grows = 1.0 if sized else 1.0 / (1.0 - band.growth * short / planned)
    excess = job.wish.excess if sized else short * grows
    sd = band.sd
    if band.linear:
        z = excess / (sd * grows) if sd > 0.0 else math.inf
        expected = excess if sd == 0.0 else _mean_above(z) * sd * grows
    else:
        expected = float(np.mean(np.maximum(excess + grows * band.samples, 0.0)))
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
        scale_sd=scale_sd_of(job),
        budget=_budget(job, band),
        narrowing=narrowed(band.inputs, band.mass, NormalDist().inv_cdf(probability)),
        schedule=scheduled(job, excess) if sized else None,
        if_wrong=_share(excess - _to_the_light_side(band), sd * grows),
        if_together=_share(excess, _off_together(band, sd) * grows),
        no_room=scheduled(job, most).left if sized else 0.0,
    )


def scale_sd_of(job: BallastResults) -> float:
    """Standard deviation of one weighing of the casting, as typed or in proportion to the planned mass. [kg]

    Args:
        job: The bulb on the fin.
    """
    asked = job.plan.confidence
    if asked is not None and asked.scale is not None:
        return asked.scale
    return max(_SCALE_SHARE * (job.bulb.mass + job.wish.excess), _SMALLEST_SCALE)


def _share(reserve: float, sd: float) -> float:
    """Fraction of castings that need no added lead, for a given reserve above the target."""
    return NormalDist().cdf(reserve / sd) if sd > 0.0 else float(reserve >= 0.0)


def _to_the_light_side(band: Band) -> float:
    """Mass lost if the metal density is 1 % lower and the contraction two standard deviations larger. [kg]"""
    density, inputs = band.inputs.density, band.inputs
    slope = abs(float(band.mass[inputs.place("density")])) / density.sd if density.sd > 0.0 else 0.0
    return 0.01 * density.value * slope + 2.0 * abs(float(band.mass[inputs.place("contraction")]))


def _off_together(band: Band, sd: float) -> float:
    """Standard deviation if contraction, mould and the pattern's faces vary together instead of independently. [kg]"""
    parts = np.abs(band.mass[[band.inputs.place(name) for name in ("contraction", "mould", "face")]])
    return math.sqrt(max(sd**2 - float(parts @ parts) + float(parts.sum()) ** 2, 0.0))


def _mean_above(z: float) -> float:
    """Mean of the positive part of a standard normal variable shifted up by z."""
    normal = NormalDist()
    return z * normal.cdf(z) + normal.pdf(z)


def _budget(job: BallastResults, band: Band) -> tuple[BudgetLine, ...]:
    """Effects by input, the largest first; inputs without uncertainty are omitted."""
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
