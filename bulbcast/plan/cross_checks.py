"""Comparisons of two or three values of a plan, such as an inside diameter with an outside one, or a tip with a root."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING

from bulbcast.plan.answers import BESIDE_THE_SAMPLE
from bulbcast.plan.filling import lots_weighed
from bulbcast.plan.keys import KEYS, limits
from bulbcast.plan.thicknesses import check_thicknesses
from bulbcast.quantities import Dimension, joined, read_quantity

if TYPE_CHECKING:
    from bulbcast.plan.answers import Answers

_PUBLISHED_MAX_AT = (0.2, 0.3, 0.4, 0.5, 0.6)
"""Positions of the largest section for which constants of the modified four-digit form are published (NACA TR-492; NASA
TM-4741)."""
_SAME_PLACE = 1e-5
"""Axes closer than this count as the same axis, since nobody drills more precisely. [m]"""


@dataclass(frozen=True, slots=True)
class _Below:
    """A value that has to be below another value in its section.

    Attributes:
        less: Dotted key of the smaller value.
        more: Leaf of the larger value.
        expected: What was expected.
        remedy: How to fix it.
        equal: Whether the two may be equal.
        read: What was read.
    """

    less: str
    more: str
    expected: str
    remedy: str
    equal: bool = False
    read: str = "{less} with {more}"

    def __call__(self, answers: Answers) -> None:
        section, _, leaf = self.less.rpartition(".")
        for place in answers.places(section):
            self.judge(answers, f"{place}.{leaf}", f"{place}.{self.more}")

    def judge(self, answers: Answers, less: str, more: str) -> None:
        one, other = answers.number(less), answers.number(more)
        if one is None or other is None or one < other or (self.equal and one == other):
            return
        lines = {"less": answers.line(less), "more": answers.line(more)}
        answers.fault(less, self.read.format(**lines), self.expected.format(**lines), self.remedy)


_FIX_ONE = "Fix one of the two."
_THINNER = ("a thickness less than the chord", "Check whether the two are swapped.")
_UNDER_WATER = "Measure heights upwards from the waterline; those under water are negative."


def _check_max_at(answers: Answers) -> None:
    place, published = "bulb.max_at", _PUBLISHED_MAX_AT
    max_at = answers.number(place)
    if answers.word("bulb.profile") == "naca4mod" and max_at is not None and max_at not in published:
        nearest = min(published, key=lambda each: abs(each - max_at))
        expected = f"one of the published values {joined([f'{each:g}' for each in published], 'or')}"
        remedy = f"Write max_at = {nearest:g}, the nearest of them."
        answers.fault(place, answers.typed[place], expected, remedy)


def _check_edge_radius(answers: Answers) -> None:
    radius, thickness = answers.number("fin.edge_radius"), answers.number("fin.tip_thickness")
    if radius is not None and thickness is not None and radius > 0.5 * thickness * (1.0 + 1e-9):
        read = f"{answers.line('fin.edge_radius')} with {answers.line('fin.tip_thickness')}"
        remedy = "Omit edge_radius for fully round edges."
        answers.fault("fin.edge_radius", read, "at most half the thickness", remedy)


def _check_slot(answers: Answers) -> None:
    width, length = answers.number("fin.slot_width"), answers.number("fin.slot_length")
    if width is not None and length is not None and width > length:
        read = f"{answers.line('fin.slot_width')} with {answers.line('fin.slot_length')}"
        answers.fault(
            "fin.slot_width",
            read,
            "a slot that is longer than it is wide",
            "Check whether the two are swapped.",
        )
    for leaf in ("pocket_depth", "pocket_clearance"):
        if "fin.slot_width" in answers.given and f"fin.{leaf}" in answers.given:
            read = f"{leaf} together with slot_width"
            remedy = f"Remove {leaf}: the slot's width and depth are given separately."
            answers.fault(f"fin.{leaf}", read, "a slot, or a pocket shaped like the fin", remedy)


def _check_lean(answers: Answers) -> None:
    """Check that rake and incidence together tilt the pocket and the screws in the bulb by no more than the limit for
    rake alone."""
    lean = (answers.number("fin.rake") or 0.0) + (answers.number("bulb.incidence") or 0.0)
    _, most = limits("fin.rake", Dimension.ANGLE)
    if abs(lean) > most * (1.0 + 1e-12) and {"fin.rake", "bulb.incidence"} <= answers.given:
        read = f"{answers.line('bulb.incidence')} with {answers.line('fin.rake')}"
        expected = (
            f"a sum within {math.degrees(most):g} degrees either way, the limit for the tilt of the pocket and the "
            "screws in the bulb"
        )
        answers.fault("bulb.incidence", read, expected, "Reduce one of them.")


# Weighed samples


def join_sample(answers: Answers) -> None:
    """Treat keys given in [alloy] together with a weighed sample as part of the sample.

    Args:
        answers: Answers to which the values or the faults are added. [-]
    """
    for beside, within in BESIDE_THE_SAMPLE.items():
        leaf = beside.rpartition(".")[2]
        if beside not in answers.given:
            continue
        if within in answers.given:
            answers.fault(
                beside, f"{leaf} in [alloy] and in weighed", "the key only once", "Remove one of the two."
            )
        elif "alloy.weighed" not in answers.given:
            read, expected = f"{leaf} without a weighed sample", f"{leaf} only with weighed"
            remedy = f"Remove {leaf}, or give {KEYS['alloy.weighed'].example_line}."
            answers.fault(beside, read, expected, remedy)
        else:
            answers.given.add(within)
            if beside in answers.values:
                answers.values[within] = answers.values[beside]


def _check_alloy_weighed(answers: Answers) -> None:
    in_air, in_water = (answers.number(f"alloy.weighed.{leaf}") for leaf in ("in_air", "in_water"))
    if in_air is not None and in_water is not None and in_water >= in_air:
        read = f"{answers.line('alloy.weighed.in_water')} with {answers.line('alloy.weighed.in_air')}"
        remedy = "Check whether the two are swapped. In water the sample must hang clear of the bottom."
        answers.fault("alloy.weighed.in_water", read, "less in water than in air", remedy)
        return
    _check_sample(answers, "alloy.weighed", f"readings that give {KEYS['alloy.density'].expected}")


def _check_lots_weighed(answers: Answers) -> None:
    for place in lots_weighed(answers):
        _check_sample(answers, place, "two readings of the same piece of lead")


def _check_sample(answers: Answers, place: str, expected: str) -> None:
    """Report readings that give a density that no lead alloy has."""
    in_air, in_water, celsius, porosity = (
        _or_default(answers, place, leaf)
        for leaf in ("in_air", "in_water", "water_temperature", "sample_porosity")
    )
    if in_air is None or in_water is None or celsius is None or porosity is None:
        return
    from bulbcast.materials.alloys import WeighedSampleError, density_of_weighed_sample
    from bulbcast.materials.water import fresh_water_density

    try:
        density_of_weighed_sample(
            in_air=in_air,
            in_water=in_water,
            water_density=fresh_water_density(celsius),
            sample_porosity=porosity,
        )
    except WeighedSampleError as error:
        read = f"{answers.line(f'{place}.in_air')} with {answers.line(f'{place}.in_water')}"
        answers.fault(place, read, expected, str(error))


def _or_default(answers: Answers, place: str, leaf: str) -> float | None:
    """Quantity read for a key: its default if it is omitted, None if it is faulty."""
    default = _default_of_sample(leaf)
    if f"{place}.{leaf}" in answers.given or default is None:
        return answers.number(f"{place}.{leaf}")
    return default


@cache
def _default_of_sample(leaf: str) -> float | None:
    key = KEYS[f"alloy.weighed.{leaf}"]
    return None if key.default is None else read_quantity(key.default, key.dimensions[0])


# Fastenings


def _check_places(sections: tuple[str, ...], leaves: tuple[str, ...]) -> Callable[[Answers], None]:
    """Report two fastenings in the same direction on the same axis: one was entered twice, or is in the wrong position."""

    def check(answers: Answers) -> None:
        known: list[tuple[str, tuple[float, ...]]] = []
        for fastening in (place for section in sections for place in answers.places(section)):
            figures = tuple(answers.number(f"{fastening}.{leaf}") for leaf in leaves)
            place = tuple(figure for figure in figures if figure is not None)
            if len(place) < len(leaves):
                continue
            other = next((one for one, there in known if _same_place(place, there)), None)
            if other is None:
                known.append((fastening, place))
                continue
            typed = " and ".join(answers.line(f"{fastening}.{leaf}") for leaf in leaves)
            read, expected = f"{typed}, the position of {other}", "a different position for each fastening"
            answers.fault(f"{fastening}.at", read, expected, "Remove one of the two, or move it.")

    return check


def _same_place(one: tuple[float, ...], other: tuple[float, ...]) -> bool:
    return all(abs(a - b) < _SAME_PLACE for a, b in zip(one, other, strict=True))


def _check_studs(answers: Answers) -> None:
    for stud in answers.places("studs"):
        if [answers.number(f"{stud}.{leaf}") for leaf in ("below", "above")] == [0.0, 0.0]:
            remedy = "Give below (the stud's depth in the lead) and above (its height in the fin)."
            answers.fault(stud, "below and above both 0", "a stud with a length", remedy)


def _check_pitch(answers: Answers) -> None:
    """Report a screw that has no pitch and whose diameter is not in the metric coarse series."""
    if "strength" not in answers.sections or "strength" in answers.broken:
        return
    from bulbcast.materials.threads import COARSE_PITCHES  # imported only if needed

    pitch = KEYS["screws.pitch"]
    for place in answers.places("screws"):
        diameter = answers.number(f"{place}.diameter")
        filled = answers.number(f"{place}.pitch") is not None  # by its size
        if diameter is None or filled or f"{place}.pitch" in answers.given | answers.meant:
            continue
        if round(diameter, 7) not in COARSE_PITCHES:
            read = f"no pitch with {answers.line(f'{place}.diameter')}"
            expected = f"{pitch.expected}, for a thread outside the metric coarse series"
            remedy = f"Add {pitch.example_line}, say: the distance from one turn to the next."
            answers.fault(f"{place}.pitch", read, expected, remedy)


def _check_solid_fin(answers: Answers) -> None:
    if answers.word("strength.section") != "solid":
        return
    for place in ("strength.modulus", "strength.shear_modulus"):
        if answers.number(place) == 0.0:
            expected = "a stiffness above zero, as the fin is made entirely of this material"
            remedy = "Give the published figure for the material, or a measured one."
            answers.fault(place, answers.line(place), expected, remedy)


# Boat


def _check_axes(answers: Answers) -> None:
    aft, up = (
        answers.word(place) or KEYS[place].default or "" for place in ("boat.aft_axis", "boat.up_axis")
    )
    if aft[-1] == up[-1]:
        read = f'aft_axis = "{aft}" with up_axis = "{up}"'
        answers.fault("boat.up_axis", read, "two different axes", _FIX_ONE)


def _check_movable(answers: Answers) -> None:
    for weight in answers.places("weights"):
        spots = [f"{weight}.{leaf}" for leaf in ("movable_forward_to", "x", "movable_aft_to")]
        fore, at, aft = (answers.number(spot) for spot in spots)
        if fore is not None and at is not None and aft is not None and not fore <= at <= aft:
            lines = [answers.line(spot) for spot in spots]
            read = f"{lines[1]} with {lines[0]} and {lines[2]}"
            remedy = "Fix the limits so that the weight's position is between them."
            answers.fault(spots[1], read, "a position between the two", remedy)


def _check_sign(
    key: str, other: str, expected: str, remedy: str, *, under: bool
) -> Callable[[Answers], None]:
    """Report a height on the wrong side of the waterline.

    If the other height is given too and the two are the wrong way round, that is already a fault, so it is not reported
    here.
    """

    def check(answers: Answers) -> None:
        value, beside = answers.number(key), answers.number(other)
        if value is None or (value < 0.0 if under else value > 0.0):
            return
        if beside is None or (value < beside if under else beside < value):
            answers.fault(key, answers.line(key), expected, remedy)

    return check


# Shop


def _check_bond_line(answers: Answers) -> None:
    """Report a bond line for halves that part on a horizontal plane: the calculation assumes a vertical plane."""
    level = (answers.word("mould.kind"), answers.word("mould.split")) == ("open-halves", "upper-lower")
    if level and "fin.bond_line" in answers.given and answers.word("fin.joint") != "through":
        answers.fault(
            "fin.bond_line",
            'bond_line with split = "upper-lower" under [mould]',
            "port and starboard halves, bonded on the middle plane",
            "Remove split, or remove bond_line.",
        )


def _check_margin(answers: Answers) -> None:
    margin = answers.number("printer.margin")
    both = (answers.number("printer.bed_length"), answers.number("printer.bed_width"))
    sides = [side for side in both if side is not None]
    if margin is not None and sides and not 2.0 * margin < min(sides):
        read, expected = answers.line("printer.margin"), "a margin that leaves some of the bed free"
        answers.fault("printer.margin", read, expected, "Make it less than half the bed's shorter side.")


def _check_made(answers: Answers) -> None:
    place, weighed = "pattern.made", answers.dimensions.get("pattern.made") is Dimension.MASS
    if weighed and "pattern.density" not in answers.given:
        remedy = (
            "Add density under [pattern]. Or push the pattern under water in a pan on a scale: the reading rises by "
            "1 g for each cm3 of the pattern. Write that volume instead."
        )
        answers.fault(
            place,
            answers.line(place),
            "a mass only together with the density of the pattern material",
            remedy,
        )


def _check_resin(answers: Answers) -> None:
    place = "resin.highest_temperature"
    room, highest = answers.number("resin.room"), answers.number(place)
    if highest is not None and highest <= (20.0 if room is None else room):
        remedy = "Raise it, or cast in a cooler room: every layer heats up as it cures."
        answers.fault(place, answers.typed[place], "a temperature above that of the room", remedy)


CHECKS: dict[str, tuple[Callable[[Answers], None], ...]] = {
    "bulb": (
        _check_max_at,
        _Below(
            "bulb.tail_diameter",
            "diameter",
            "a tail thinner than the bulb",
            "Make it smaller, or omit it to get 8 % of the diameter.",
        ),
    ),
    "alloy": (_check_alloy_weighed,),
    "fin": (
        check_thicknesses,
        _Below("fin.tip_thickness", "tip_chord", *_THINNER),
        _check_lean,
        _Below("fin.tip_z", "root_z", "a tip below the root", _UNDER_WATER),
        _Below("fin.root_thickness", "root_chord", *_THINNER),
        _check_edge_radius,
        _check_slot,
    ),
    "screws": (
        _Below(
            "screws.diameter",
            "hole_diameter",
            "a screw that fits through its hole",
            "Widen the hole, or use a thinner screw.",
            equal=True,
        ),
        _Below(
            "screws.hole_diameter",
            "head_diameter",
            "a head wider than its hole",
            "Fix one of the two: the head must rest on the lead round the hole.",
        ),
        _Below(
            "screws.hole_diameter",
            "washer_diameter",
            "a washer wider than the hole in the lead",
            "Use a wider washer: it must rest on the lead round the hole.",
        ),
        _Below(
            "screws.diameter",
            "washer_hole",
            "a screw that fits through its washer",
            "Widen the washer hole, or use a thinner screw.",
            equal=True,
        ),
        _Below("screws.washer_hole", "washer_diameter", "a hole narrower than its washer", _FIX_ONE),
        _Below(
            "screws.washer_hole",
            "head_diameter",
            "a hole in the washer that is smaller than the head",
            _FIX_ONE,
        ),
    ),
    "cross_pins": (
        _Below(
            "cross_pins.diameter",
            "hole_diameter",
            "at most {more}; otherwise the pin does not fit through its hole",
            _FIX_ONE,
            equal=True,
            read="{less}",
        ),
        _check_places(("cross_pins",), ("at", "height")),
    ),
    "studs": (
        _check_places(("screws", "studs"), ("at",)),
        _Below("studs.bore", "diameter", "below {more}, since a tube has a wall", _FIX_ONE, read="{less}"),
        _check_studs,
    ),
    "boat": (
        _check_axes,
        _Below(
            "boat.forward_end",
            "aft_end",
            "a smaller x at the forward end",
            "Check whether the two are swapped; x is measured aft.",
        ),
    ),
    "weights": (_check_movable,),
    "rudder": (
        _Below("rudder.tip_z", "root_z", "the blade's foot below its top", _UNDER_WATER),
        _check_sign(
            "rudder.tip_z", "rudder.root_z", "the blade's foot below the waterline", _UNDER_WATER, under=True
        ),
        _Below("rudder.root_thickness", "root_chord", *_THINNER),
        _Below("rudder.tip_thickness", "tip_chord", *_THINNER),
    ),
    "rig": (
        _Below(
            "rig.lateral_z",
            "effort_z",
            "a centre of lateral resistance below the sails' centre of effort",
            "Measure heights upwards from the waterline; heights on the fin are negative.",
        ),
        _check_sign(
            "rig.effort_z",
            "rig.lateral_z",
            "a centre of effort above her waterline",
            "Measure it upwards from the design waterline.",
            under=False,
        ),
    ),
    "strength": (
        _Below(
            "strength.tube_inner",
            "tube_outer",
            "a bore inside the tube",
            "Fix one of the two. A rod has an inside diameter of 0.",
        ),
        _check_solid_fin,
        _check_pitch,
    ),
    "pattern": (_check_made,),
    "printer": (_check_margin,),
    "mould": (_check_bond_line,),
    "resin": (_check_resin,),
    "scrap": (
        _Below(
            "scrap.gross_spread",
            "gross",
            "a standard deviation smaller than the mass itself",
            "Check the unit.",
        ),
        _check_lots_weighed,
    ),
}
"""Cross checks, by section."""
