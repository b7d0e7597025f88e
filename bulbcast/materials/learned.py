"""What weighed and measured castings say about metal and mould: a prior updated by a log.

Each casting gives, for contraction and for density, its own estimate: a value with its standard deviation. Castings of
the same alloy, kind of pattern and mould are repeated observations of one quantity, so the posterior of a normal prior
has a closed form. A casting too far from what the others say is named and left out.

No casting separates the metal's contraction from the growth of its mould: only the ratio of pattern to casting is seen.
So the contraction is learned less the growth, with the growth as planned; both spreads go in, and one comes out.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from bulbcast.materials.alloys import CastAlloy
from bulbcast.quantities.frozen import frozen, replace

CONTRACTION_VARIES, DENSITY_VARIES = 0.001, 0.001
"""Standard deviation from one pour to the next: of the contraction [-], of the density as a fraction [-]. Judgement."""
SAYS = {"contraction": (-0.05, 0.1), "density": (4000.0, 13000.0)}
"""Between which a casting says anything; beyond, it is a slip, or another casting. [-], [kg/m3]"""
WILD = 3.5
"""A casting this many standard deviations from what prior and other castings say is left out. Judgement. [-]"""


@frozen
class Said:
    """What one casting says about one figure.

    Attributes:
        casting: Number in the log, from one. [-]
        value: [-] or [kg/m3]
        sd: One standard deviation. [same]
    """

    casting: int
    value: float
    sd: float


@frozen
class Learned:
    """A figure once the log is read.

    Attributes:
        value: [-] or [kg/m3]
        sd: One standard deviation. [same]
        used: Number of castings used. [-]
        wild: Castings that were left out. [-]
    """

    value: float
    sd: float
    used: tuple[int, ...]
    wild: tuple[int, ...]


@frozen
class LearnedMetal:
    """What the log says for one plan.

    Attributes:
        contraction: Learned contraction; None where no casting says anything about it.
        density: The same for the density. [kg/m3]
        mould_sd: Standard deviation of the mould's growth, which is part of the castings' contraction. [-]
        source: Name of the log.
        sha256: Checksum of its text, in hexadecimal.
    """

    contraction: tuple[Said, ...] = ()
    density: tuple[Said, ...] = ()
    mould_sd: float = 0.0
    source: str
    sha256: str


def alone(prior: float, prior_sd: float, posterior: float, posterior_sd: float) -> tuple[float, float] | None:
    """What the readings say by themselves, with the prior removed.

    Args:
        prior: Mean before. [-]
        prior_sd: Above zero. [-]
        posterior: Mean after. [-]
        posterior_sd: Above zero. [-]

    Returns:
        Value and standard deviation; None where the readings say almost nothing.
    """
    gained = 1.0 / posterior_sd**2 - 1.0 / prior_sd**2
    if gained * prior_sd**2 < 1e-3:
        return None
    return (posterior / posterior_sd**2 - prior / prior_sd**2) / gained, math.sqrt(1.0 / gained)


def learned(prior: float, prior_sd: float, said: Sequence[Said], *, varies: float) -> Learned:
    """A prior updated by castings.

    Args:
        prior: Prior mean. [-] or [kg/m3]
        prior_sd: One standard deviation; with zero nothing is learned. [same]
        said: What the castings say.
        varies: Standard deviation from one pour to the next, which no casting reduces. [same]

    Returns:
        The posterior of the mean, and of the next pour with it.

    References:
        Conjugate normal prior with known variances: A. Gelman and others, Bayesian Data Analysis, 2.5. Leaving out what
            is too far from the rest, the worst first: judgement.
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
    """An alloy updated by the castings of a log, which its sources then name.

    Args:
        alloy: The plan's alloy.
        log: What the log of similar castings says.
    """
    before = math.hypot(alloy.contraction_spread, log.mould_sd)
    found = learned(alloy.contraction, before, log.contraction, varies=CONTRACTION_VARIES)
    if found.used or found.wild:
        moved = 100.0 * (found.value - alloy.contraction)
        source = (
            f"{alloy.contraction_source}; {_castings(found, log.source)}, which move it by {moved:+.2f} %"
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
            f"{alloy.density_source}; {_castings(found, log.source)}, which move it by {moved:+.3f} g/cm3"
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
    """Which castings went into a figure, in words."""
    count = len(found.used)
    words = f"{count} casting{'' if count == 1 else 's'} in {source}"
    if found.wild:
        left_out = ", ".join(map(str, found.wild))
        words += f" (without number {left_out}, too far from what the rest say)"
    return words
