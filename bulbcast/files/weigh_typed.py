"""Conversion of the options of `bulbcast weigh` into readings, with all faults reported together."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from datetime import date, datetime
from itertools import pairwise
from pathlib import Path

from bulbcast.confidence.as_cast import Reading
from bulbcast.confidence.bar import CALIPER, LENGTH, SMALL_SCALE, BarReadings, BarSays, bar_says
from bulbcast.confidence.inputs import inputs_of
from bulbcast.confidence.weigh_rules import require_this_casting
from bulbcast.confidence.weighed import Weighed, Weighing, weighed_casting
from bulbcast.confidence.work import scale_sd_of
from bulbcast.files.casting_log import casting_log
from bulbcast.files.plan_file import load_plan, plan_bytes
from bulbcast.job import Job, run
from bulbcast.materials.alloys import WeighedSampleError
from bulbcast.materials.water import fresh_water_density
from bulbcast.plan.faults import Fault, PlanError
from bulbcast.plan.give_or_take import spread_within, taken_apart
from bulbcast.plan.reading import read_plan
from bulbcast.quantities import Dimension, QuantityError, quoted, read_quantity
from bulbcast.quantities.frozen import replace
from bulbcast.quantities.moments import A_DAY, day_of

COMMAND_LINE = "the command line"
MASSES = ("as-cast", "filed", "cut", "in-water")
LENGTHS = ("length", "diameter", "balance")
# Standard deviations if none is typed. Judgement: a rule or a long caliper, a caliper, a knife edge.
_LENGTH_SD = {"length": 0.0003, "diameter": 0.0001, "balance": 0.0003}
_SPRUE_SD = 0.1
"""Standard deviation of a sprue mass taken from the plan, as a fraction of that mass. Judgement. [-]"""


def load_weighing(
    path: Path, typed: Mapping[str, str | None], *, anew: bool = False
) -> tuple[Job, Weighed, int]:
    """Return the plan's job and the results of the weighed casting.

    Args:
        path: The plan file.
        typed: Options as typed; None for those not given.
        anew: Whether the pattern is newer than the last casting of this plan.

    Returns:
        The job at the time when the pattern was made, the results of the casting, and the number of castings in the
        log at that time.

    Raises:
        PlanError: The plan or the options have faults; the error lists all of them.
    """
    faults: list[Fault] = []
    job: Job | None = None
    before = 0
    try:
        log = casting_log(path)
        if log is not None:
            before = log.before(read_plan(plan_bytes(path), source=str(path)), anew=anew)
        job = run(*load_plan(path, castings=before), remedies=False)
    except PlanError as error:
        faults += error.faults
    reader = _Reader(faults)
    readings = [reading for name in MASSES if (reading := reader.mass(name, typed.get(name), job))]
    readings += [reading for name in LENGTHS if (reading := reader.length(name, typed.get(name)))]
    if not any(typed.get(name) for name in ("as-cast", "filed", "cut")):
        reader.fault(
            "--as-cast",
            "no mass",
            "a weighing of the casting: --as-cast, --filed or --cut",
            'Add --as-cast "2.61 kg", say, and --sprue on if the sprue is still on.',
        )
    sprue = reader.sprue(typed.get("sprue"), job)
    water = reader.water(typed.get("water-temperature"))
    when = reader.when(typed.get("when"))
    if sprue[0] > 0.0 and typed.get("in-water") is not None:
        reader.fault(
            "--in-water",
            "a mass in water with the sprue on",
            "the casting under water without its sprue",
            "Saw off the sprue first, and give --sprue off.",
        )
    if sprue[0] > 0.0 and typed.get("balance") is not None:
        reader.fault(
            "--balance",
            "a balance point with the sprue on",
            "the balance point of the casting without its sprue",
            "Saw off the sprue first, and give --sprue off.",
        )
    reader.fitting(readings, sprue[0])
    if faults or job is None:
        raise PlanError(faults)
    readings = [
        replace(one, value=one.value - sprue[0], sd=(one.sd**2 + sprue[1] ** 2) ** 0.5)
        if one.name == "as cast"
        else one
        for one in readings
    ]
    weighing = Weighing(
        readings=tuple(readings),
        sprue=sprue[0],
        water=water,
        when=datetime.now().astimezone().replace(microsecond=0) if when is None else when,
        typed=tuple((name.replace("-", "_"), text) for name, text in typed.items() if text is not None),
    )
    found = weighed_casting(job, weighing)
    require_this_casting(COMMAND_LINE, found)
    return job, found, before


_SUCH = {Dimension.MASS: '"2.61 kg" or "2.61 kg +- 1 g"', Dimension.LENGTH: '"312 mm" or "312 mm +- 0.2 mm"'}
BAR = ("bar", "bar-pattern", "bar-mass", "bar-in-water")


def load_bar(path: Path, typed: Mapping[str, str | None]) -> tuple[Job, BarSays]:
    """Return the plan's job and the results from a test bar.

    Args:
        path: The plan file.
        typed: Options as typed; None for those not given.

    Raises:
        PlanError: The plan or the options have faults; the error lists all of them.
    """
    faults: list[Fault] = []
    job: Job | None = None
    try:
        job = run(*load_plan(path), remedies=False)
    except PlanError as error:
        faults += error.faults
    reader = _Reader(faults)
    for name in (*MASSES, *LENGTHS, "sprue"):
        if typed.get(name) is not None:
            reader.fault(
                f"--{name}",
                "a casting reading together with a test bar reading",
                "readings of either a casting or a test bar",
                "Run the command once for each.",
            )
    cast = reader.near(reader.length("bar", typed.get("bar")), LENGTH, 0.05)
    made = reader.near(reader.length("bar-pattern", typed.get("bar-pattern")), LENGTH, 0.05)
    masses = [reader.mass(name, typed.get(name), job) for name in BAR[2:]]
    if typed.get("bar") is None:
        reader.fault(
            "--bar",
            "no length",
            "the length of the cast bar along its smaller face",
            'Add --bar "138.8 mm", say.',
        )
    if masses.count(None) == 1:
        given, missing = (BAR[2:], BAR[:1:-1])[masses[0] is None]
        reader.fault(f"--{missing}", "nothing", f"a mass, since --{given} is given", "Give both, or neither.")
    water, when = reader.water(typed.get("water-temperature")), reader.when(typed.get("when"))
    if faults or job is None or cast is None:
        raise PlanError(faults)
    readings = BarReadings(
        cast=(cast.value, cast.sd),
        pattern=None if made is None else (made.value, made.sd),
        in_air=None if masses[0] is None else (masses[0].value, masses[0].sd),
        in_water=None if masses[1] is None else (masses[1].value, masses[1].sd),
        water=water,
        when=datetime.now().astimezone().replace(microsecond=0) if when is None else when,
        typed=tuple((name.replace("-", "_"), text) for name, text in typed.items() if text is not None),
    )
    try:
        return job, bar_says(job.plan, inputs_of(job), readings)
    except WeighedSampleError as error:
        reader.fault("--bar-in-water", "figures that no lead alloy has", "a lead alloy", str(error))
        raise PlanError(faults) from None


class _Reader:
    """Reader of typed options that collects their faults."""

    def __init__(self, faults: list[Fault]) -> None:
        self._faults = faults

    def fault(self, key: str, read: str, expected: str, remedy: str) -> None:
        self._faults.append(Fault(COMMAND_LINE, key, read, expected, remedy))

    def mass(self, name: str, text: str | None, job: Job | None) -> Reading | None:
        found = self._value(name, text, Dimension.MASS)
        if found is None:
            return None
        value, sd = found
        usual = 0.0 if job is None else scale_sd_of(job)
        if name in BAR:
            usual = SMALL_SCALE
        return Reading(name=name.replace("-", " "), value=value, sd=usual if sd is None else sd)

    def length(self, name: str, text: str | None) -> Reading | None:
        found = self._value(name, text, Dimension.LENGTH)
        if found is None:
            return None
        value, sd = found
        if name not in _LENGTH_SD:
            return Reading(name=name, value=value, sd=CALIPER if sd is None else sd)
        # A long part is measured less accurately.
        return Reading(name=name, value=value, sd=max(_LENGTH_SD[name], 5e-4 * value) if sd is None else sd)

    def fitting(self, readings: Sequence[Reading], sprue: float) -> None:
        """Report masses that cannot belong to the same casting.

        Lead is only ever removed from a casting, and a casting weighs less under water.
        """
        masses = {one.name: one.value for one in readings if one.name.replace(" ", "-") in MASSES}
        if sprue >= masses.get("as cast", math.inf):
            self.fault(
                "--sprue",
                "a sprue as heavy as the complete casting",
                "a mass less than --as-cast",
                "Check whether the sprue is still on the casting.",
            )
            return
        whole = {**masses, "as cast": masses.get("as cast", math.inf) - sprue}
        order = [name for name in ("as cast", "filed", "cut") if name in masses]
        for before, after in pairwise(order):
            if whole[after] > whole[before]:
                self.fault(
                    f"--{after}",
                    f"more than --{before.replace(' ', '-')}",
                    "less, since lead is only ever removed",
                    "Check whether the two are swapped, and whether the sprue is still on the casting.",
                )
        water, air = masses.get("in water"), max((whole[name] for name in order), default=math.inf)
        # Lead loses about a twelfth of its weight in water, and the lightest alloy here a fifth.
        if water is not None and not 0.75 * air <= water < air:
            self.fault(
                "--in-water",
                f"{water / air:.3g} times the mass in air",
                "about 0.91 times the mass in air, as for any lead",
                "Hang the casting on a thread, fully under water and clear of the bottom, and give the scale reading.",
            )

    def near(self, reading: Reading | None, drawn: float, most: float) -> Reading | None:
        """Return a reading if it is close enough to the length of the bar as drawn. Otherwise report a fault."""
        if reading is None or abs(reading.value / drawn - 1.0) <= most:
            return reading
        self.fault(
            f"--{reading.name}",
            f"{reading.value / drawn:.3g} times the length of the bar as drawn",
            f"within {100.0 * most:.0f} % of {1000.0 * drawn:.0f} mm",
            "Measure along the smaller face, and check the unit.",
        )
        return None

    def _value(self, name: str, text: str | None, dimension: Dimension) -> tuple[float, float | None] | None:
        if text is None:
            return None
        plain, spread = taken_apart(text)
        try:
            value = read_quantity(plain, dimension)
            sd = spread_within(spread, value=value, dimension=dimension) if spread else None
        except QuantityError as error:
            self.fault(f"--{name}", error.read, error.expected, error.remedy)
            return None
        if not value > 0.0 or sd == 0.0:
            self.fault(
                f"--{name}",
                quoted(text),
                f"a {dimension.value} above zero, with a standard deviation above zero",
                f"Write {_SUCH[dimension]}, say.",
            )
            return None
        return value, sd

    def sprue(self, text: str | None, job: Job | None) -> tuple[float, float]:
        """Mass of the sprue still on the casting, and its standard deviation. [kg]"""
        word = "off" if text is None else text.strip().casefold()
        if word == "off" or text is None:
            return 0.0, 0.0
        if not any(letter.isdigit() for letter in word) and word != "on":
            self.fault(
                "--sprue",
                quoted(text),
                "off, on, or the mass of the sprue",
                'Write --sprue on, or a mass such as --sprue "210 g".',
            )
            return 0.0, 0.0
        if word == "on":
            planned = 0.0 if job is None else job.melt.feeder
            return planned, _SPRUE_SD * planned
        found = self._value("sprue", text, Dimension.MASS)
        return (0.0, 0.0) if found is None else (found[0], found[1] or 0.0)

    def water(self, text: str | None) -> float:
        """Density of fresh water at a given temperature. [kg/m3]"""
        try:
            celsius = 20.0 if text is None else read_quantity(text, Dimension.TEMPERATURE)
        except QuantityError as error:
            self.fault("--water-temperature", error.read, error.expected, error.remedy)
            celsius = 20.0
        if not 0.0 <= celsius <= 40.0:
            self.fault(
                "--water-temperature",
                quoted(text or ""),
                "from 0 C to 40 C",
                "Check that the unit is the one you mean.",
            )
            celsius = 20.0
        return fresh_water_density(celsius)

    def when(self, text: str | None) -> date | None:
        if text is None:
            return None
        found = day_of(text)
        if found is None:
            self.fault(
                "--when",
                quoted(text),
                A_DAY,
                "Write the year first. To use the current time, omit the option.",
            )
        return found
