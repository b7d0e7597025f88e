"""Readings of a float test as typed on the command line, converted to SI. All faults are reported together.

Quantities are written as in a plan file. A reading is the height of the water above the design line at a mark, or a
freeboard:

    "3 mm", "+3 mm", "3 mm above"     the water is above the line; the boat floats deep there
    "-2 mm", "2 mm below"             the water is below the line; the boat floats high there
    "3 mm deep", "2 mm high"          the same, in words for the boat, as in the report
    "on the line"                     the water is on the line
    "freeboard 88 mm"                 from the deck edge down to the water; the hull gives the freeboard on the line
    "freeboard 88 mm of 90 mm"        the same, with the freeboard on the design line given
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from bulbcast.ballast.weigh_in import State, Weight
from bulbcast.materials.water import water_of_kind
from bulbcast.plan.faults import Fault, PlanError
from bulbcast.plan.keys import KEYS
from bulbcast.quantities import Dimension, QuantityError, joined, quoted, read_quantity
from bulbcast.quantities.moments import A_DAY, day_of

COMMAND_LINE = "the command line"
MARKS = ("bow", "stern", "port", "starboard")
OPTIONS = (
    *MARKS,
    "bow-at",
    "stern-at",
    "sides-at",
    "sides-apart",
    "water",
    "weighed",
    "reading-spread",
    "drill",
    "when",
)
"""Options that can be typed only once, in the order in which they are recorded."""
BULB, FIN = "bulb", "fin"

_FURTHEST = {Dimension.LENGTH: 50.0, Dimension.MASS: 1e6}
_LONGEST_NAME = 200


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """Reading at one mark.

    Attributes:
        mark: "bow", "stern", "port" or "starboard".
        typed: Text of the reading as typed.
        above: Height of the water above the design line; negative if below. None for a freeboard. [m]
        freeboard: Height of the deck edge above the water; None for a mark on the hull. [m]
        freeboard_on_line: Freeboard on the design line; None if it is calculated from the plan's hull. [m]
    """

    mark: str
    typed: str
    above: float | None = None
    freeboard: float | None = None
    freeboard_on_line: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class FloatAsked:
    """Data from a float test. A value is None if it was not given.

    Attributes:
        readings: Readings at the marks.
        bow_x: x position of the bow mark, boat axes. [m]
        stern_x: x position of the stern mark, boat axes. [m]
        sides_x: x position of both side marks, boat axes. [m]
        sides_apart: Distance between the port and starboard marks. [m]
        ashore: Names of items in the plan that were not aboard, which may include "bulb" and "fin".
        ashore_besides: Other things that belong aboard but were ashore.
        aboard: Things that were aboard but do not belong there.
        water_density: Density of the water during the test; None for the plan's water. [kg/m3]
        weighed: Mass of the boat as tested, from a scale. [kg]
        reading_spread: Standard deviation of one reading. [m]
        drill: Drill diameter. [m]
        when: Date or time, in ISO 8601.
        typed: Text of every option as typed, in the order of the options.
    """

    readings: tuple[Reading, ...]
    bow_x: float | None = None
    stern_x: float | None = None
    sides_x: float | None = None
    sides_apart: float | None = None
    ashore: tuple[str, ...] = ()
    ashore_besides: tuple[Weight, ...] = ()
    aboard: tuple[Weight, ...] = ()
    water_density: float | None = None
    weighed: float | None = None
    reading_spread: float | None = None
    drill: float | None = None
    when: date | None = None
    typed: tuple[tuple[str, str], ...] = ()


def read_float(
    typed: Mapping[str, str | None],
    *,
    ashore: Sequence[str] = (),
    aboard: Sequence[str] = (),
    names: Sequence[str] | None = None,
) -> FloatAsked:
    """Read a float test from the options as typed.

    Args:
        typed: Text of each of `OPTIONS`; None if not given. [-]
        ashore: Things ashore, each given as the name of an item in the plan, or as a mass and its position. [-]
        aboard: Extra things aboard, each given as a mass and its position. [-]
        names: Names of the plan's weights; None if the plan could not be read, so that names are not checked. [-]

    Returns:
        Data from the test.

    Raises:
        PlanError: The options have faults. The error lists all of them.
    """
    reader = _Reader()
    readings = tuple(
        reading for mark in MARKS if (reading := reader.reading(mark, typed.get(mark))) is not None
    )
    read = [mark for mark in MARKS if typed.get(mark) is not None]
    if not {"bow", "stern"} <= set(read):
        reader.fault(
            "--bow and --stern",
            joined([f"--{mark}" for mark in read] or ["neither"], "and"),
            "both, because two positions are needed to separate sinkage from trim",
            'Add, for example, --bow "3 mm above" and --stern "1 mm below".',
        )
    sides = [mark for mark in read if mark in ("port", "starboard")]
    if len(sides) == 1:
        other = "starboard" if sides[0] == "port" else "port"
        reader.fault(
            f"--{other}",
            f"--{sides[0]} alone",
            "both sides, or neither",
            f"Read the mark on the {other} side too, at the same x.",
        )
    named, besides = reader.ashore(ashore, names)
    asked = FloatAsked(
        readings=readings,
        bow_x=reader.quantity("bow-at", typed, Dimension.LENGTH),
        stern_x=reader.quantity("stern-at", typed, Dimension.LENGTH),
        sides_x=reader.quantity("sides-at", typed, Dimension.LENGTH),
        sides_apart=reader.quantity("sides-apart", typed, Dimension.LENGTH, above=True),
        ashore=named,
        ashore_besides=besides,
        aboard=tuple(one for text in aboard if (one := reader.loose("--aboard", text)) is not None),
        water_density=reader.water_density(typed.get("water")),
        weighed=reader.quantity("weighed", typed, Dimension.MASS, above=True),
        reading_spread=reader.quantity("reading-spread", typed, Dimension.LENGTH, above=True),
        drill=reader.quantity("drill", typed, Dimension.LENGTH, above=True),
        when=reader.when(typed.get("when")),
        typed=(
            *((name, text) for name in OPTIONS[:-1] if (text := typed.get(name)) is not None),
            *(("ashore", text) for text in ashore),
            *(("aboard", text) for text in aboard),
        ),
    )
    if reader.faults:
        raise PlanError(reader.faults)
    return asked


_WAYS = {"above": 1.0, "deep": 1.0, "deeper": 1.0, "low": 1.0, "below": -1.0, "high": -1.0, "higher": -1.0}
"""Sign of a reading for each word that describes the water or the boat; positive if the water is above the line."""


def _without_there(words: str) -> tuple[str, float | None]:
    """Remove "high there" or "deep there", which the report adds, from the end of a reading. Return the rest and
    the sign of the direction. The sign is None if neither is found."""
    figure, _, there = words.rpartition(",")
    way = {"high there": -1.0, "deep there": 1.0}.get(there.strip().casefold())
    return (words, None) if way is None else (figure.strip(), way)


class _Reader:
    """Reader of the options, which collects all faults in them."""

    def __init__(self) -> None:
        self.faults: list[Fault] = []

    def fault(self, key: str, read: str, expected: str, remedy: str) -> None:
        self.faults.append(Fault(COMMAND_LINE, key, read, expected, remedy))

    def _number(self, key: str, text: str, dimension: Dimension, *, above: bool = False) -> float | None:
        try:
            value = read_quantity(text, dimension)
        except QuantityError as error:
            self.fault(key, error.read, error.expected, error.remedy)
            return None
        if abs(value) > _FURTHEST[dimension] or (above and value <= 0.0):
            top = "50 m" if dimension is Dimension.LENGTH else "1000 t"
            within = f"above zero and up to {top}" if above else f"from -{top} to {top}"
            self.fault(
                key,
                quoted(text),
                f"a {dimension.value} {within}",
                "Check the figure and its unit.",
            )
            return None
        return value

    def quantity(
        self, name: str, typed: Mapping[str, str | None], dimension: Dimension, *, above: bool = False
    ) -> float | None:
        text = typed.get(name)
        return None if text is None else self._number(f"--{name}", text, dimension, above=above)

    def reading(self, mark: str, text: str | None) -> Reading | None:
        """Read one mark; None if it was not given or cannot be read."""
        if text is None:
            return None
        key, words = f"--{mark}", " ".join(text.split())
        if words.casefold() in ("on the line", "on"):
            return Reading(mark=mark, above=0.0, typed=text)
        if words.casefold().startswith("freeboard "):
            read, of, line = words[len("freeboard ") :].partition(" of ")
            value = self._number(key, read, Dimension.LENGTH)
            on_line = self._number(key, line, Dimension.LENGTH) if of else None
            if value is None or (of and on_line is None):
                return None
            return Reading(mark=mark, freeboard=value, freeboard_on_line=on_line, typed=text)
        words, meant = _without_there(words)
        figure, _, way = words.rpartition(" ")
        if words.casefold().endswith(" on the line"):
            figure, way = words[: -len(" on the line")], ""
            words = figure
        sign = _WAYS.get(way.casefold())
        if sign is not None and meant not in (None, sign):
            self.fault(
                key,
                quoted(text),
                "one direction: the boat is deep if the water is above the line, high if it is below",
                'Write "3 mm deep" or "2 mm high".',
            )
            return None
        if sign is not None and figure.startswith(("+", "-", "−")):
            self.fault(
                key,
                quoted(text),
                "either a sign or a word, not both",
                'Write "3 mm above" if the water is above the line, or "2 mm below" if it is below.',
            )
            return None
        above = self._number(key, words if sign is None else figure, Dimension.LENGTH)
        if above is None:
            return None
        return Reading(mark=mark, above=above if sign is None else sign * above, typed=text)

    def ashore(
        self, texts: Sequence[str], names: Sequence[str] | None
    ) -> tuple[tuple[str, ...], tuple[Weight, ...]]:
        """Read items of the plan by name, and other things by mass and position."""
        known = {name.casefold(): name for name in (*(names or ()), BULB, FIN)}
        named: list[str] = []
        besides: list[Weight] = []
        for text in texts:
            name = known.get(" ".join(text.split()).casefold())
            if name is not None and name not in named:
                named.append(name)
            elif name is not None:
                self.fault("--ashore", f"{quoted(name)} twice", "each name once", "Remove one of the two.")
            elif "@" in text:
                one = self.loose("--ashore", text)
                besides += [] if one is None else [one]
            elif names is not None:
                self.fault(
                    "--ashore",
                    quoted(text),
                    f"an item in the plan ({joined([quoted(each) for each in known.values()], 'or')}), or a mass and its "
                    "position",
                    'Write the name as it appears in the plan, or a mass and position such as "120 g @ 380 mm".',
                )
        return tuple(named), tuple(besides)

    def loose(self, key: str, text: str) -> Weight | None:
        """Read a mass and its position, as in "40 g @ 600 mm". If needed, y and z follow, each after another @."""
        name, colon, rest = text.rpartition(":")
        parts = [part.strip() for part in (rest if colon else text).split("@")]
        if not 2 <= len(parts) <= 4 or len(name) > _LONGEST_NAME or not name.isprintable():
            self.fault(
                key,
                quoted(text),
                "a mass and its x, and if needed its y to starboard and its z upwards, each after an @",
                'Write, for example, "40 g @ 600 mm" or "camera: 40 g @ 600 mm @ 20 mm".',
            )
            return None
        mass = self._number(key, parts[0], Dimension.MASS, above=True)
        places = [self._number(key, part, Dimension.LENGTH) for part in parts[1:]]
        if mass is None or any(place is None for place in places):
            return None
        x, y, z = (*(place or 0.0 for place in places), 0.0, 0.0)[:3]
        called = name.strip() or text.strip()
        return Weight(name=called, mass=mass, x=x, y=y, z=z, state=State.WEIGHED)

    def water_density(self, text: str | None) -> float | None:
        if text is None:
            return None
        kind = KEYS["water.kind"].word(text)
        if kind is not None:
            return water_of_kind(kind).density
        expected = "fresh, salt, or a density from 950 kg/m3 to 1250 kg/m3"
        try:
            value = read_quantity(text, Dimension.DENSITY)
        except QuantityError as error:
            self.fault(
                "--water",
                error.read,
                expected,
                'Write --water fresh, or a density such as --water "1012 kg/m3".',
            )
            return None
        if not 950.0 <= value <= 1250.0:
            self.fault("--water", quoted(text), expected, "Check the unit.")
            return None
        return value

    def when(self, text: str | None) -> date | None:
        if text is None:
            return None
        # A date alone stays a date, without an invented hour.
        found = day_of(text)
        if found is None:
            self.fault(
                "--when",
                quoted(text),
                A_DAY,
                "Write the year first. To use the current time, omit the option.",
            )
        return found
