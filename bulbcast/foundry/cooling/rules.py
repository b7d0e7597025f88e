"""Findings on the cooling: where the last metal freezes, what is not fed, and when the mould can be opened."""

from __future__ import annotations

from collections.abc import Iterator

from bulbcast.findings import Finding, Rule, Severity, typed
from bulbcast.foundry.cooling.keeping import SOUND
from bulbcast.foundry.cooling.results import Cooling, Place
from bulbcast.quantities import Shown

SHRINKAGE_CAVITY = Rule(
    "shrinkage-cavity",
    Severity.CAUTION,
    why=(
        "Lead loses some 3 to 4 % of its volume as it freezes. Where liquid metal cannot reach, a hollow remains and "
        "the bulb is lighter."
    ),
)
FEEDER_FREEZES_FIRST = Rule(
    "feeder-freezes-first",
    Severity.CAUTION,
    why=(
        "A feeder helps only while it is liquid. Metal that freezes after the feeder draws liquid from the casting itself."
    ),
)
FEEDING_SOUND = Rule(
    "feeding-sound",
    Severity.NOTE,
    why="The feeder stays liquid longest and still reaches the metal that is freezing.",
)
MOULD_OPENING = Rule(
    "mould-opening",
    Severity.NOTE,
    why=(
        "Hot lead is soft and heavy: moving or opening the mould too early spills the metal or breaks the casting."
    ),
)

NOT_SIMULATED = Rule(
    "cooling-not-simulated",
    Severity.CAUTION,
    why="The simulation starts with a mould full of liquid metal, and metal that is not liquid cannot fill it.",
)

CAVITY_REPORTED = 0.001
"""Cavities below this fraction of the casting count as porosity. Our judgement. [-]"""
CUT_OFF_EARLY = 0.9
"""Solid fraction of the casting at which the feeder has done its job. Our judgement. [-]"""


def place_words(cooling: Cooling, place: Place, shown: Shown) -> str:
    """Describe a position in the casting as the builder would measure it on the finished bulb.

    Args:
        cooling: Results of the simulation.
        place: Position in the cavity.
        shown: The builder's units.

    Returns:
        Words such as "92 mm aft of the finished nose, 17 mm above the axis as poured".
    """
    cavity = cooling.setup.cavity
    along = (place.x - cavity.nose) / cavity.scale
    words = (
        f"{shown.length(along)} aft of the finished nose"
        if along >= 0.0
        else f"{shown.length(-along)} ahead of the finished nose"
    )
    up, across = place.up / cavity.scale, abs(place.across) / cavity.scale
    near = 0.05 * max(cavity.across)
    if abs(up) > near:
        words += f", {shown.length(abs(up))} {'above' if up > 0.0 else 'below'} the axis as poured"
    if across > near:
        words += f", {shown.length(across)} to the side of the axis"
    elif abs(up) <= near:
        words += ", on the axis"
    return words


def not_simulated(pour: float, liquidus: float, shown: Shown) -> Finding:
    """Finding that the requested simulation of the cooling is left out because the metal is not liquid at the pour.

    Args:
        pour: Temperature of the metal. [degC]
        liquidus: Liquidus of the alloy. [degC]
        shown: The builder's units.
    """
    return NOT_SIMULATED(
        "pour.temperature",
        f"The cooling is not simulated: at {shown.temperature(pour)} the alloy is not fully liquid. It is fully liquid "
        f"above {shown.temperature(liquidus)}.",
        f"Remove {typed('pour.temperature', None)}; it then follows from the alloy.",
        found=pour,
        limit=liquidus,
        unit="degC",
    )


def check_cooling(cooling: Cooling, *, porosity: float, shown: Shown) -> Iterator[Finding]:
    """Return the findings on the cooling.

    Args:
        cooling: Results of the simulation.
        porosity: Void fraction that the plan allows for. [-]
        shown: The builder's units.
    """
    setup, share = cooling.setup, cooling.cavity_share
    frozen, open_after = shown.duration(cooling.frozen), shown.duration(cooling.open_after)
    if share >= CAVITY_REPORTED:
        worst = cooling.cavities[0]
        voids = f", more than the {shown.percent(porosity)} of voids that the plan allows for"
        yield SHRINKAGE_CAVITY(
            "cooling",
            f"Freezing leaves about {shown.volume(cooling.cavity_volume)} empty inside the casting, "
            f"{shown.percent(share)} of it{voids if share > porosity else ''}; the largest hollow, "
            f"{shown.volume(worst.volume)}, is {place_words(cooling, worst.place, shown)}"
            + (f", cut off {shown.duration(worst.cut_off)} after the pour." if worst.cut_off > 0.0 else "."),
            _feeding_remedy(cooling, shown),
            found=share,
            limit=CAVITY_REPORTED,
        )
    if cooling.kept is not None and share < CAVITY_REPORTED:
        kept = shown.duration(cooling.kept.until)
        yield FEEDING_SOUND(
            "cooling",
            f"Kept liquid for {kept} and topped up, the feeder leaves {shown.percent(share)} of the casting empty; left "
            f"alone, it leaves {shown.percent(cooling.kept.alone)}.",
            f"Keep it liquid for the time given under Gating. {kept} is for this mould; a slower-cooling one needs "
            "longer.",
            found=share,
            limit=SOUND,
        )
    elif (
        setup.feeder is not None
        and cooling.kept is None
        and cooling.frozen_feeder is not None
        and not cooling.feeder_last
    ):
        yield FEEDER_FREEZES_FIRST(
            "cooling",
            f"The last metal freezes in the casting, {place_words(cooling, cooling.last_in_casting, shown)}, {frozen} "
            f"after the pour, but the feeder is frozen after {shown.duration(cooling.frozen_feeder)}.",
            _feeding_remedy(cooling, shown),
            found=cooling.frozen_feeder,
            limit=cooling.frozen,
            unit="s",
        )
    elif setup.feeder is not None and cooling.kept is None and share < CAVITY_REPORTED:
        yield FEEDING_SOUND(
            "cooling",
            f"The feeder freezes last and feeds the casting until {shown.percent(cooling.solid_at_closing)} of it is "
            "solid.",
            "Fill the feeder to the brim, and top it up with hot metal as it sinks.",
            found=cooling.solid_at_closing,
            limit=CUT_OFF_EARLY,
        )
    stuff = setup.mould.kind if setup.mould.kind in ("sand", "mortar") else "plaster"
    yield MOULD_OPENING(
        "cooling",
        f"The whole casting is solid about {frozen} after the pour, between {shown.duration(cooling.frozen_low)} and "
        f"{shown.duration(cooling.frozen_high)} depending on the {stuff}. Its hottest metal stays above "
        f"{shown.temperature(setup.open_below)} for {open_after}.",
        f"Do not move the mould for {shown.duration(cooling.leave_alone)}. Do not open it until {open_after} have passed "
        "and it is cold to the touch all round.",
        found=cooling.open_after,
        limit=setup.open_below,
        unit="s",
    )


def _feeding_remedy(cooling: Cooling, shown: Shown) -> str:
    setup = cooling.setup
    feeder = setup.feeder
    if setup.open_half:
        return "Keep the top hot with a torch and top it up as it sinks, or cast the whole bulb in a closed mould."
    ways = []
    if feeder is None or not feeder.kept:
        ways.append(f"Keep the feeder liquid with a torch and hot metal, {typed('pour.feeding', 'kept')}")
    if feeder is None or not feeder.sleeved:
        ways.append(
            f"Stand {'it' if ways else 'the feeder'} in an insulating sleeve, {typed('pour.feeding', 'sleeved')}"
        )
    if setup.stands:
        ways.append("Pour the bulb lying down, with the feeder on its thickest part")
    return "; or ".join(way if i == 0 else way[0].lower() + way[1:] for i, way in enumerate(ways)) + "."
