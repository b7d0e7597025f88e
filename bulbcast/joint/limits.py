"""Comparison of the bulb with the limits typed in a plan, with findings and with values that would satisfy them.

No class rule is built in. Each value is rounded as a builder would type it, in the direction that satisfies the limit.
Limits on size include the skin, because that is how a rule measures the bulb. A solved figure satisfies a limit of the
same value with a relative tolerance of 1e-9.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import replace

from bulbcast.ballast.results import BallastResults
from bulbcast.bulb.hung.ledger import HungBulb
from bulbcast.bulb.hung.solve import NoSolutionError, size_and_place, size_where_asked
from bulbcast.fin.foil import foil_solid
from bulbcast.fin.planned import fin_foil
from bulbcast.findings import Finding, Rule, Severity, typed
from bulbcast.plan.keys import limits as range_of
from bulbcast.plan.sections import Plan
from bulbcast.quantities import Dimension, Shown, read_quantity
from bulbcast.quantities.frozen import frozen

SLACK = 1e-9
"""Tolerance within which a solved figure satisfies a limit of the same value. [-]"""
# A different fineness or section changes pocket, skin and screws a little relative to the lead.
_MARGIN = 0.003
_MOST_TRIALS = 5
# A boat closer than this to her line counts as floating on that line. [m]
_SEEN = 1e-6

LIMIT_WORDS = {
    "draught": "The bulb's underside is {found} below the surface when the boat floats",
    "bulb_mass": "The bulb weighs {found}",
    "fin_with_bulb": "The fin and bulb weigh {found}",
    "bulb_width": "The bulb with its skin is {found} wide",
    "bulb_length": "The bulb with its skin is {found} long",
}
"""Wording for the figure that is compared with each limit, by the limit's key in [limits]."""
LIMITS = {
    name: Rule(
        f"limit-{name.replace('_', '-')}",
        Severity.STOP,
        why="The bulb exceeds a limit that you typed from your rule, so the boat would not pass measurement.",
    )
    for name in LIMIT_WORDS
}


@frozen
class LimitHeld:
    """One limit and the figure to which it applies.

    Attributes:
        name: Name of the limit's key in [limits].
        found: The bulb's figure. [SI]
        limit: The limit. [SI]
        unit: "m" or "kg".
    """

    name: str
    found: float
    limit: float
    unit: str

    @property
    def kept(self) -> bool:
        """Whether the limit is satisfied. A figure equal to the limit satisfies it."""
        return self.found <= self.limit * (1.0 + SLACK)

    def shown(self, figure: float, shown: Shown) -> str:
        """The limited length or mass, in the builder's units."""
        return (shown.mass if self.unit == "kg" else shown.length)(figure)


def limits_held(job: BallastResults, other: HungBulb | None = None) -> tuple[LimitHeld, ...]:
    """List every limit typed in the plan.

    Args:
        job: The sized bulb, and the boat if there is one.
        other: Another bulb to compare instead of the plan's.

    Returns:
        The limits, in the order of their keys. Widths and lengths include the skin.
    """
    asked, bulb, wish, fin = job.plan.limits, other or job.bulb, job.wish, fin_mass(job.plan)
    if asked is None:
        return ()
    skin = 2.0 * bulb.skin
    across = skin + wish.fin.bond_line
    figures: list[tuple[str, float | None, float | None, str]] = [
        ("draught", _deeper(job) - bulb.underside_z, asked.draught, "m"),
        ("bulb_mass", bulb.mass, asked.bulb_mass, "kg"),
        ("fin_with_bulb", None if fin is None else fin + bulb.mass, asked.fin_with_bulb, "kg"),
        ("bulb_width", bulb.body.width + across, asked.bulb_width, "m"),
        ("bulb_length", bulb.body.length + skin, asked.bulb_length, "m"),
    ]
    return tuple(
        LimitHeld(name=name, found=found, limit=limit, unit=unit)
        for name, found, limit, unit in figures
        if found is not None and limit is not None
    )


def check_limit(one: LimitHeld, job: BallastResults, *, search: bool) -> Finding:
    """Make the finding for a broken limit.

    Args:
        one: The limit.
        job: The results that the limit is compared with.
        search: Whether to size a bulb of each suggested shape, to check that it satisfies every limit.
    """
    plan = job.plan
    fixes = [
        " with ".join(
            f"{key.partition('.')[0]}.{typed(key, value, also=number > 0)}"
            for number, (key, value) in enumerate(way)
        )
        for way in _fixes(one, job, search)
    ]
    rule = None if plan.limits is None else plan.limits.rule
    found, limit, over = (
        one.shown(figure, job.shown) for figure in (one.found, one.limit, one.found - one.limit)
    )
    remedy = (
        "Changing one figure in this plan is not enough. Change more of the shape, or check the rule again."
    )
    if fixes:
        remedy = f"Set {', or '.join(fixes)}."
        if plan.bulb.target_mass is None and one.name in ("bulb_mass", "fin_with_bulb"):
            remedy = (
                "Lighten the boat, or carry the difference as inside ballast. Or type the limit itself, "
                f"{' or '.join(fixes)}; the boat will then float too high, because she is lighter by the difference."
            )
        if one.name != "draught":
            # The fix changes the bulb's size or shape, and so the room around its pocket and screws.
            remedy += " Then plan the joint again, because the bulb around it has changed."
    return LIMITS[one.name](
        f"limits.{one.name}",
        f"{LIMIT_WORDS[one.name].format(found=found)}, {over} more than the {limit} allowed "
        f"({'the limit you typed' if rule is None else rule}).",
        remedy,
        found=one.found,
        limit=one.limit,
        unit=one.unit,
    )


def fin_mass(plan: Plan) -> float | None:
    """Mass of the complete fin, as weighed or from its density; None if neither is given. [kg]

    Args:
        plan: The plan with its fin.
    """
    if plan.fin.mass is not None or plan.fin.density is None or plan.fin.root_z is None:
        return plan.fin.mass
    return foil_solid(fin_foil(plan.fin, plan.bulb.incidence), plan.fin.density).mass


def _deeper(job: BallastResults) -> float:
    """Extra depth of the bulb's underside because the boat floats below her design line; never less than zero. [m]"""
    if job.boat is None or job.boat.lies is None:
        return 0.0
    lies, length = job.boat.lies, job.boat.start.hull.line.length
    if length is None:
        return 0.0
    share = job.bulb.underside_x / length
    return max(lies.deeper_fore + (lies.deeper_aft - lies.deeper_fore) * share, 0.0)


_Lines = tuple[tuple[str, str], ...]


def _fixes(one: LimitHeld, job: BallastResults, search: bool) -> Iterator[_Lines]:
    """Groups of keys and values to type together. Each group would satisfy the limit. Empty if none was found."""
    plan, bulb, wish, shown = job.plan, job.bulb, job.wish, job.shown
    if one.name == "draught":
        yield from _higher(one, job)
        return
    if one.unit == "kg":
        target = one.limit - (fin_mass(plan) or 0.0 if one.name == "fin_with_bulb" else 0.0)
        if target >= range_of("bulb.target_mass", Dimension.MASS)[0]:
            yield (_typed("bulb.target_mass", target, shown.mass),)
        return
    # Width left for the lead between the skins of the two sides, less any bond between two halves.
    lead = one.limit - 2.0 * bulb.skin
    if one.name == "bulb_width":
        lead -= wish.fin.bond_line
    if lead <= 0.0:
        return
    if one.name == "bulb_width":
        for way in (_flatter, _slimmer):
            yield from _kept(one, job, way, lead / bulb.body.width, search)
    else:
        yield from _kept(one, job, _shorter, lead / bulb.body.length, search)


def _higher(one: LimitHeld, job: BallastResults) -> Iterator[_Lines]:
    """Depth of the fin's tip that satisfies the draught limit."""
    step = 0.0254 / 32.0 if job.shown.units == "imperial" else 1e-4
    fin = job.plan.fin
    level = fin.tip_z + (one.found - one.limit) * (1.0 + _sinks(job)) + step
    if fin.root_z is None or level < fin.root_z:
        yield (_typed("fin.tip_z", level, job.shown.length, step=step, upwards=True),)


def _kept(
    one: LimitHeld,
    job: BallastResults,
    way: Callable[[BallastResults, float], tuple[str, str] | None],
    factor: float,
    search: bool,
) -> Iterator[_Lines]:
    """Line to type that makes the bulb smaller by a factor.

    A bulb of the new shape is sized to check that all limits are satisfied. The pocket and screws take up a different
    fraction of each shape, so if the first guess falls short, the factor is corrected and the new shape is checked. If
    that shape hangs lower than the draught limit allows, a shorter fin is suggested with it. A shape that would break
    any other limit that is satisfied now is dropped.
    """
    for _ in range(_MOST_TRIALS):
        line = way(job, factor)
        if line is None:
            return
        if not search:
            yield (line,)
            return
        bulb = _sized(job, line)
        if bulb is None:
            return
        held = {each.name: each for each in limits_held(job, bulb)}
        mine = held.pop(one.name)
        if not mine.kept:
            factor *= 0.999 * mine.limit / mine.found
            continue
        before = {each.name for each in limits_held(job) if each.kept}
        broken = [each for name, each in held.items() if name in before and not each.kept]
        if not broken:
            yield (line,)
        elif [each.name for each in broken] == ["draught"]:
            yield from ((line, *higher) for higher in _higher(broken[0], job))
        return


def _sized(job: BallastResults, line: tuple[str, str]) -> HungBulb | None:
    """Size the bulb with one of its shape keys changed; None if no bulb is possible."""
    leaf, text = line[0].partition(".")[2], line[1]
    if leaf == "width_to_height":
        wish = replace(job.wish, width_to_height=float(text))
    else:
        number = float(text) if leaf == "fineness" else read_quantity(text, Dimension.LENGTH)
        wish = replace(job.wish, value=number)
    try:
        # With a boat, the bulb's position is solved for.
        return size_and_place(wish) if job.boat is None else size_where_asked(wish)
    except NoSolutionError:
        return None


def _sinks(job: BallastResults) -> float:
    """Maximum increase in draught for each metre taken off the fin; 0 if the bulb is sized to float the boat on her
    design line."""
    if job.boat is None or job.boat.flotation is None or _deeper(job) <= _SEEN:
        return 0.0
    fin, area = job.plan.fin, job.boat.flotation.waterplane_area
    return (
        max(fin.tip_chord * fin.tip_thickness, (fin.root_chord or 0.0) * (fin.root_thickness or 0.0)) / area
    )


def _flatter(job: BallastResults, factor: float) -> tuple[str, str] | None:
    """Line to type for a narrower and correspondingly taller section."""
    ratio = job.bulb.body.width_to_height * factor**2 * (1.0 - _MARGIN)
    if ratio < range_of("bulb.width_to_height", None)[0] + 0.01:
        return None
    return "bulb.width_to_height", f"{math.floor(100.0 * ratio) / 100.0:.2f}"


def _slimmer(job: BallastResults, factor: float) -> tuple[str, str] | None:
    """Line to type that scales the bulb's diameter by the factor at the same mass of lead, by changing the dimension
    given in the plan."""
    wish, shown = job.wish, job.shown
    diameter = job.bulb.body.diameter * factor * (1.0 - _MARGIN)
    if wish.given == "fineness":
        fineness = math.ceil(100.0 * wish.value / factor**3 * (1.0 + 3.0 * _MARGIN)) / 100.0
        return (
            ("bulb.fineness", f"{fineness:.2f}") if fineness <= range_of("bulb.fineness", None)[1] else None
        )
    if wish.given == "diameter":
        return _typed("bulb.diameter", diameter, shown.length)
    length = wish.value / factor**2 * (1.0 + 2.0 * _MARGIN)
    return _typed("bulb.length", length, shown.length, upwards=True)


def _shorter(job: BallastResults, factor: float) -> tuple[str, str] | None:
    """Line to type that shortens the bulb by the factor at the same mass, by changing the dimension given in the plan."""
    wish, shown = job.wish, job.shown
    if wish.given == "fineness":
        fineness = math.floor(100.0 * wish.value * factor**1.5 * (1.0 - 1.5 * _MARGIN)) / 100.0
        return (
            ("bulb.fineness", f"{fineness:.2f}") if fineness >= range_of("bulb.fineness", None)[0] else None
        )
    if wish.given == "length":
        return _typed("bulb.length", job.bulb.body.length * factor, shown.length)
    diameter = wish.value / math.sqrt(factor) * (1.0 + _MARGIN)
    return _typed("bulb.diameter", diameter, shown.length, upwards=True)


def _typed(
    key: str, value: float, write: Callable[[float], str], *, step: float = 1e-4, upwards: bool = False
) -> tuple[str, str]:
    """Key with its value as written in the builder's units, rounded in the safe direction."""
    dimension = Dimension.MASS if key == "bulb.target_mass" else Dimension.LENGTH
    text = write(value)
    for number in range(1, 40):
        read = read_quantity(text, dimension)
        if (read >= value) if upwards else (read <= value):
            break
        text = write(value + number * step if upwards else value - number * step)
    return key, text
