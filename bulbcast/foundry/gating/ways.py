"""Comparison of the feeding methods for one casting: metal poured, minutes with a torch, and the volume that may stay
empty.

The figures come from rules, so no simulation is needed. The volume left empty is the largest found in simulated castings
(tests/benchmarks/bench_feeding.py, 0.5 to 140 kg on two grids). Those castings also show that one feeder is enough: it
left no larger volume empty at a fineness of up to 12 than at 6. In bulbs with a fineness of 4 to 6 poured on end and
fed through the nose, 0.2 to 0.9 % stayed empty, because the nose freezes first.
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
    """One feeding method for a casting.

    Attributes:
        way: Word to type for it under [pour].
        planned: Whether the plan uses it.
        poured: Mass of liquid metal in all pours; None if such a feeder is impossible. [kg]
        diameter: Diameter of the feeder; None without one. [m]
        tend: Time for which a torch is played on it; zero if none is used. [s]
        hollow: Maximum mass of metal missing because of the hollow; None if only the simulation can tell. [kg]
        too_wide: Whether its feeder overhangs the bulb.
        too_long: Whether it must be tended for longer than the plan allows.
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
    """List all feeding methods for a closed mould; none for an open one, which is fed by metal up to its level mark.

    Args:
        poured: Casting in the planned or default mould.
        gating: Gating of that casting.
        simulated: Mass of metal missing in the simulation of the planned method; None if not simulated. [kg]

    Returns:
        Feeding methods in the order of `FEEDINGS`.
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
    # A method that is only compared also uses the rule, as the times of bars are calculated for the planned one only.
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
