"""Possible errors of a casting, each with its standard deviation and source.

One input covers errors that occur together: one contraction for all lengths, one pattern error for all faces, one kind
of fastening, and one weighing of the boat.
"""

from __future__ import annotations

import math
import re

import numpy as np

from bulbcast.ballast.results import BallastResults
from bulbcast.confidence.casting import Castings
from bulbcast.confidence.propagation import Shape, Uncertain
from bulbcast.pattern.cast_body import default_finish
from bulbcast.plan.key import Key
from bulbcast.plan.keys import KEYS
from bulbcast.plan.sections import Plan
from bulbcast.quantities import Dimension, read_quantity
from bulbcast.quantities.frozen import frozen, replace
from bulbcast.solids.quadrature import Array

_PATTERN = {"printed": (0.2e-3, 0.001), "turned": (0.1e-3, 0.0005), "carved": (0.4e-3, 0.002)}
"""Standard deviation of each face [m] and of all lengths together [-], for each pattern-making method. Judgement.

All faces have the same error, because a printer deposits too much or a sander removes too little. An error of 0.2 mm
changes the volume by the true surface area times 0.2 mm, which is 2.2 % for a bulb of 45 mm diameter and
fineness 6. For a cylinder of that width it would be 1.8 %, which ignores the thin ends. With independent errors on
opposite faces it would be 1.3 %, but a printer's extrusion errors are not independent.
"""
_SMALLEST_POROSITY = 0.002
"""Minimum standard deviation of a typed porosity: the soundness of a casting is never known more precisely. Judgement."""
TYPED = "as typed"


@frozen
class Input:
    """One possible error of a casting.

    Attributes:
        name: Name in plain words.
        key: Plan key that gives it, or "".
        value: Best estimate. [SI]
        sd: One standard deviation. [SI]
        unit: Unit of both, as written in plan.json.
        source: Source of the standard deviation.
        shape: Shape of its distribution.
    """

    name: str
    key: str
    value: float
    sd: float
    unit: str
    source: str
    shape: Shape = "normal"

    @property
    def uncertain(self) -> Uncertain:
        """Convert the input to the form that the propagation needs."""
        return Uncertain(value=self.value, sd=self.sd, shape=self.shape)


@frozen
class Inputs:
    """All inputs, in the order that `castings` expects."""

    density: Input
    porosity: Input
    contraction: Input
    mould: Input
    scale: Input
    face: Input
    coat: Input
    finish: Input
    skin: Input
    filler: Input
    fastenings: Input
    target: Input

    @property
    def all(self) -> tuple[Input, ...]:
        """Return the inputs in the order of the fields."""
        return tuple(getattr(self, name) for name in _ORDER)

    def place(self, name: str) -> int:
        """Return the index of a field in `all`."""
        return _ORDER.index(name)

    def castings(self, values: Array) -> Castings:
        """Convert input values to castings.

        Args:
            values: Values of the inputs, shape (12, n). [SI]

        Returns:
            Castings, with each figure of shape (n,).
        """
        density, porosity, contraction, mould, scale, face, coat, finish, skin, filler, fastened, _ = values
        # From pattern to cavity to cold casting, divided by the planned ratio.
        made = (1.0 + mould) / (1.0 + contraction)
        planned = (1.0 + self.mould.value) / (1.0 + self.contraction.value)
        scaled = (1.0 + scale) * made / planned
        # The finish allowance is scaled with the body; the layer filed off has the planned thickness.
        layer = self.finish.value * (scaled - 1.0) + (face + coat - self.coat.value) * made
        return Castings(
            density=density,
            porosity=np.clip(porosity, 0.0, 0.5),
            scale=scaled,
            grown=layer - (np.maximum(finish, 0.0) - self.finish.value),
            skin=np.maximum(skin, 0.0),
            filler_density=filler,
            fastenings=fastened,
        )


_ORDER = (
    "density",
    "porosity",
    "contraction",
    "mould",
    "scale",
    "face",
    "coat",
    "finish",
    "skin",
    "filler",
    "fastenings",
    "target",
)


def inputs_of(job: BallastResults) -> Inputs:
    """Return the inputs for a plan.

    Args:
        job: The bulb on the fin, with the boat if the plan gives one.
    """
    plan, alloy = job.plan, job.alloy
    bulb, pattern = plan.bulb, plan.pattern
    finish = default_finish(job.bulb.body.diameter) if pattern.finish is None else pattern.finish
    contraction = alloy.contraction if pattern.contraction is None else pattern.contraction
    typed = plan.spread_typed("pattern.contraction")
    mould = _of_key(plan, "growth of the mould", "pattern.mould_expansion", pattern.mould_expansion, "1")
    if plan.learned is not None and plan.learned.contraction and typed is None:
        mould = replace(mould, sd=0.0, source=f"included in the contraction from {plan.learned.source}")
    face, scale, made = pattern_error(plan)
    return Inputs(
        density=Input(
            name="density of the metal",
            key="alloy.density" if plan.alloy.density is not None else "alloy",
            value=alloy.density,
            sd=alloy.density_spread,
            unit="kg/m3",
            source=alloy.density_spread_source,
        ),
        porosity=_porosity(plan),
        contraction=Input(
            name="contraction",
            key="pattern.contraction",
            value=contraction,
            sd=alloy.contraction_spread if typed is None else typed,
            unit="1",
            source=alloy.contraction_spread_source if typed is None else TYPED,
        ),
        mould=mould,
        scale=Input(
            name="pattern, all lengths", key="pattern.error", value=0.0, sd=scale, unit="1", source=made
        ),
        face=Input(name="pattern, each face", key="pattern.error", value=0.0, sd=face, unit="m", source=made),
        coat=_of_key(plan, "coat of sealer", "pattern.coat", pattern.coat, "m"),
        finish=_of_key(plan, "filing", "pattern.finish", finish, "m"),
        skin=_of_key(plan, "skin", "bulb.skin", bulb.skin, "m"),
        filler=_of_key(plan, "density of filler", "bulb.filler_density", bulb.filler_density, "kg/m3"),
        fastenings=_fastenings(job),
        target=_target(job),
    )


def spread_by_default(key: Key, value: float) -> float:
    """Return the standard deviation assumed for the value of a key. [SI]

    Args:
        key: Plan key that declares a standard deviation.
        value: Value of the key. [SI]
    """
    text = key.spread or ""
    share = re.fullmatch(r"(\S+ %) of it", text)
    if share is not None:
        return read_quantity(share[1], Dimension.RATIO) * abs(value)
    return read_quantity(text, key.dimensions[0])


def _of_key(plan: Plan, name: str, key: str, value: float, unit: str, shape: Shape = "normal") -> Input:
    typed = plan.spread_typed(key)
    declared = KEYS[key]
    return Input(
        name=name,
        key=key,
        value=value,
        sd=spread_by_default(declared, value) if typed is None else typed,
        unit=unit,
        source=declared.spread_source if typed is None else TYPED,
        shape=shape,
    )


def _porosity(plan: Plan) -> Input:
    found = _of_key(plan, "porosity and sink", "alloy.porosity", plan.alloy.porosity, "1", "above zero")
    if found.source == TYPED or found.sd >= _SMALLEST_POROSITY:
        return found
    return Input(
        name=found.name,
        key=found.key,
        value=found.value,
        sd=_SMALLEST_POROSITY,
        unit="1",
        source="judgement: at least 0.2 %",
        shape="above zero",
    )


def pattern_error(plan: Plan) -> tuple[float, float, str]:
    """Return the standard deviations of a pattern's faces [m] and of all its lengths [-], with their source.

    Args:
        plan: Plan that gives the pattern-making method.
    """
    pattern = plan.pattern
    face, scale = _PATTERN[pattern.made_by]
    if pattern.error is not None:
        return pattern.error, 0.0, TYPED
    return face, scale, f"judgement, for a {pattern.made_by} pattern"


def _fastenings(job: BallastResults) -> Input:
    """Standard deviation of the total mass of screws, washers, pins and studs, relative to the planned mass."""
    lines = [one for one in job.bulb.lines if one.kind in ("screw", "washer", "pin", "stud")]
    total = math.fsum(one.mass for one in lines)
    key = KEYS["screws.density"]
    usual = spread_by_default(key, 1.0)
    off, typed = 0.0, False
    for one in lines:
        share, number = usual, re.search(r"screw (\d+)$", one.name)
        given = job.plan.spread_typed(f"screws[{number[1]}].density") if number else None
        if given is not None:
            share, typed = given / one.density, True
        off += share * abs(one.mass)
    return Input(
        name="screws, pins and studs",
        key="screws.density",
        value=1.0,
        sd=off / total if total > 0.0 else 0.0,
        unit="1",
        source=TYPED if typed else key.spread_source,
    )


def _target(job: BallastResults) -> Input:
    typed = job.plan.spread_typed("bulb.target_mass")
    name = "mass needed by the boat"
    if job.plan.bulb.target_mass is None and job.boat is not None:
        return Input(
            name=name,
            key="weights",
            value=0.0,
            sd=job.boat.mass_spread,
            unit="kg",
            source="the weight list and the displacement",
        )
    source = TYPED if typed is not None else KEYS["bulb.target_mass"].spread_source
    return Input(name=name, key="bulb.target_mass", value=0.0, sd=typed or 0.0, unit="kg", source=source)
