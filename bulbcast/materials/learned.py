"""Metal and mould properties learned from weighed and measured castings: a prior updated by a log.

Each casting gives an estimate of the contraction and one of the density: a value with its standard deviation. Castings
of the same alloy, from the same kind of pattern and mould, are repeated observations of one quantity, so the posterior of
a normal prior has a closed form. A casting that is too far from the others is excluded, and its number is reported.

No casting separates the metal's contraction from the growth of its mould, because only the ratio of pattern to casting
can be measured. So the learned figure is contraction less growth, with the growth assumed to be as planned. The
two spreads are combined into one.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from bulbcast.materials.alloys import CastAlloy
from bulbcast.quantities.frozen import frozen, replace

CONTRACTION_VARIES, DENSITY_VARIES = 0.001, 0.001
"""Standard deviations of the contraction and of the density (as a fraction) from one pour to the next. Judgement. [-]"""
SAYS = {"contraction": (-0.05, 0.1), "density": (4000.0, 13000.0)}
"""Ranges of contraction [-] and density [kg/m3] within which a casting's figure is used. A figure outside them is a
mistake or belongs to another casting."""
WILD = 3.5
"""A casting is excluded if it is more than this many standard deviations from the value that the prior and the other
castings give. Judgement. [-]"""


@frozen
class Said:
    """Estimate of the contraction or the density from one casting.

    Attributes:
        casting: Number in the log, counted from one. [-]
        value: Estimate. [-] or [kg/m3]
        sd: Standard deviation of that value. [same]
    """

    casting: int
    value: float
    sd: float


@frozen
class Learned:
    """Contraction or density, updated from the log.

    Attributes:
        value: Updated value. [-] or [kg/m3]
        sd: Standard deviation of that value. [same]
        used: Numbers of the castings that were used. [-]
        wild: Numbers of the castings that were excluded. [-]
    """

    value: float
    sd: float
    used: tuple[int, ...]
    wild: tuple[int, ...]


@frozen
class LearnedMetal:
    """Results from the log for one plan.

    Attributes:
        contraction: Estimates of the contraction from the castings in the log; empty if no casting gives one. [-]
        density: Estimates of the density, likewise. [kg/m3]
        mould_sd: Standard deviation of the mould's growth, which cannot be separated from the castings' contraction.
            [-]
        source: Name of the log.
        sha256: Checksum of the log's text, in hexadecimal.
    """

    contraction: tuple[Said, ...] = ()
    density: tuple[Said, ...] = ()
    mould_sd: float = 0.0
    source: str
    sha256: str


def alone(prior: float, prior_sd: float, posterior: float, posterior_sd: float) -> tuple[float, float] | None:
    """Return the estimate from the readings alone, without the prior.

    Args:
        prior: Mean before the readings. [-]
        prior_sd: Standard deviation before the readings, above zero. [-]
        posterior: Mean after the readings. [-]
        posterior_sd: Standard deviation after the readings, above zero. [-]

    Returns:
        Value and standard deviation; None if the readings add almost nothing.
    """
    gained = 1.0 / posterior_sd**2 - 1.0 / prior_sd**2
    if gained * prior_sd**2 < 1e-3:
        return None
    return (posterior / posterior_sd**2 - prior / prior_sd**2) / gained, math.sqrt(1.0 / gained)


def learned(prior: float, prior_sd: float, said: Sequence[Said], *, varies: float) -> Learned:
    """Update a prior with the estimates from castings.

    Args:
        prior: Prior mean. [-] or [kg/m3]
        prior_sd: One standard deviation; if it is zero, nothing is learned. [same]
        said: Estimates from the castings.
        varies: Standard deviation from one pour to the next, which further castings do not reduce. [same]

    Returns:
        The updated value, with its standard deviation for the next pour.

    References:
        Conjugate normal prior with known variances: A. Gelman and others, Bayesian Data Analysis, 2.5. Excluding the
            castings that are too far from the rest, starting with the furthest, is our judgement.
    """
    kept, wild = list(said), []
    while kept and prior_sd > 0.0:
        scores = []
        for one in kept:
            mean, sd = _posterior(prior, prior_sd, [other for other in kept if other is not one], varies)
            scores.append(abs(one.value - mean) / math.hypot(sd, one.sd, varies))
        worst = max(range(len(kept)), key=scores.__getitem__)
        if scores[worst] <= WILD:
            break
        wild.append(kept.pop(worst).casting)
    mean, sd = _posterior(prior, prior_sd, kept, varies)
    if kept:
        sd = math.hypot(sd, varies)
    return Learned(
        value=mean,
        sd=min(sd, prior_sd),
        used=tuple(one.casting for one in kept),
        wild=tuple(sorted(wild)),
    )


def _posterior(prior: float, prior_sd: float, said: Sequence[Said], varies: float) -> tuple[float, float]:
    if prior_sd == 0.0:
        return prior, 0.0
    weight = 1.0 / prior_sd**2
    total = weight * prior
    for one in said:
        own = 1.0 / (one.sd**2 + varies**2)
        weight, total = weight + own, total + own * one.value
    return total / weight, math.sqrt(1.0 / weight)


def alloy_with_log(alloy: CastAlloy, log: LearnedMetal) -> CastAlloy:
    """Update an alloy from the castings in a log, and name the log in the alloy's sources.

    Args:
        alloy: The plan's alloy.
        log: Results from the log of similar castings.
    """
    before = math.hypot(alloy.contraction_spread, log.mould_sd)
    found = learned(alloy.contraction, before, log.contraction, varies=CONTRACTION_VARIES)
    if found.used or found.wild:
        moved = 100.0 * (found.value - alloy.contraction)
        source = (
            f"{alloy.contraction_source}; adjusted by {moved:+.2f} % based on {_castings(found, log.source)}"
        )
        alloy = replace(
            alloy,
            contraction=found.value,
            contraction_spread=found.sd,
            contraction_source=source,
            contraction_spread_source=_castings(found, log.source),
        )
    varies = DENSITY_VARIES * alloy.density
    found = learned(alloy.density, alloy.density_spread, log.density, varies=varies)
    if found.used or found.wild:
        moved = (found.value - alloy.density) / 1000.0
        source = (
            f"{alloy.density_source}; adjusted by {moved:+.3f} g/cm3 based on {_castings(found, log.source)}"
        )
        alloy = replace(
            alloy,
            density=found.value,
            density_spread=found.sd,
            density_source=source,
            density_spread_source=_castings(found, log.source),
        )
    return alloy


def _castings(found: Learned, source: str) -> str:
    """Describe the castings on which a figure is based."""
    count = len(found.used)
    words = f"{count} casting{'' if count == 1 else 's'} in {source}"
    if found.wild:
        left_out = ", ".join(map(str, found.wild))
        numbers = f"number {left_out}, which is" if len(found.wild) == 1 else f"numbers {left_out}, which are"
        words += f" (without {numbers} too far from the others)"
    return words
