"""The ways of feeding one casting beside each other: metal poured, minutes with a torch, and what may stay empty.

From rules, so that it costs no simulation; what they leave empty is what simulated castings left at the most
(tests/benchmarks/bench_feeding.py, 0.5 to 140 kg on two grids). Those castings say too that one feeder is enough: up to a
fineness of 12 it left no more than at 6. Fed through the nose on end, bulbs of a fineness of 4 to 6 kept 0.2 to 0.9 %
empty, for the nose freezes first.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from bulbcast.foundry.cooling.keeping import SOUND
from bulbcast.foundry.cooling.radial import Bar, FreezingCase
from bulbcast.foundry.gating.design import Poured, gating_of
from bulbcast.foundry.gating.formulas import GatingError
from bulbcast.foundry.gating.parts import Gating
from bulbcast.plan.melt_sections import LONGEST_TENDING, PourSection
from bulbcast.plan.reading import usual_section
from bulbcast.quantities.frozen import frozen, replace

Fed = Literal["kept", "sleeved", "alone", "none"]

FEEDINGS: tuple[Fed, ...] = ("kept", "sleeved", "alone", "none")


@frozen
class WayOfFeeding:
    """One way for one casting.

    Attributes:
        way: As it is typed under [pour].
        planned: Whether it is the plan's.
        poured: Liquid metal of all pours; None where such a feeder cannot be. [kg]
        diameter: Diameter of the feeder; None without one. [m]
        tend: Time for which a torch is played on it; zero where none is. [s]
        hollow: Left empty at the most; None where it is not known without the simulation. [kg]
        too_wide: Whether its feeder overhangs the bulb.
        too_long: Whether it is tended for longer than the plan allows.
    """

    way: Fed
    planned: bool
    poured: float | None
    diameter: float | None
    tend: float
    hollow: float | None
    too_wide: bool
    too_long: bool


def ways_of(poured: Poured, gating: Gating, *, simulated: float | None = None) -> tuple[WayOfFeeding, ...]:
    """All ways for a closed mould; none for an open one, which its level mark feeds.

    Args:
        poured: What the plan pours.
        gating: Gating of it.
        simulated: What the simulation of the plan's own way left empty; None: not simulated. [kg]

    Returns:
        In the order of `FEEDINGS`.
    """
    if gating.mark is not None:
        return ()
    own: Fed = poured.way or "none"
    return tuple(
        _judged(poured, gating, way, planned=True, simulated=simulated)
        if way == own
        else _other(poured, gating, way)
        for way in FEEDINGS
    )


def _other(poured: Poured, gating: Gating, way: Fed) -> WayOfFeeding:
    pour: PourSection = poured.pour or usual_section("pour")
    asked = replace(poured, pour=replace(pour, feeding=way, feeder_diameter=None, feeder_height=None))
    runs = gating.thin_time / gating.cavity.thin_radius**2

    def running(bars: Sequence[Bar], case: FreezingCase) -> tuple[float, ...]:
        return tuple(runs * bar.radius**2 for bar in bars)

    try:
        found = gating_of(asked, running)
    except GatingError:
        return WayOfFeeding(
            way=way,
            planned=False,
            poured=None,
            diameter=None,
            tend=0.0,
            hollow=None,
            too_wide=True,
            too_long=False,
        )
    return _judged(asked, found, way, planned=False)


def _judged(
    poured: Poured, gating: Gating, way: Fed, *, planned: bool, simulated: float | None = None
) -> WayOfFeeding:
    feeder, skin = gating.feeder, gating.cavity.skin
    most = LONGEST_TENDING if poured.pour is None else poured.pour.longest_tending
    widest = 2.0 * min(max(skin.across), max(skin.up))
    # By the rule too where the way is only compared: the times of bars are worked out for the planned one alone.
    tend = 0.0 if way != "kept" else gating.keep if planned and gating.keep is not None else poured.roughly
    hollow: float | None = (gating.feed if way == "none" else SOUND) * gating.cast_mass
    if gating.cavity.upright or (feeder is not None and feeder.rule == "given"):
        hollow = hollow if way == "none" else None
    return WayOfFeeding(
        way=way,
        planned=planned,
        poured=gating.poured,
        diameter=None if feeder is None else feeder.diameter,
        tend=tend,
        hollow=hollow if simulated is None else simulated,
        too_wide=feeder is not None and feeder.diameter > widest * (1.0 + 1e-9),
        too_long=way == "kept" and poured.roughly > most,
    )
