"""Results of weighing a casting: properties of the metal and the mould, hung mass, drilling, and flotation of the boat."""

from __future__ import annotations

import math
from datetime import date

from bulbcast.confidence.as_cast import RawCasting, Reading, updated
from bulbcast.confidence.casting import CastingModel
from bulbcast.confidence.drilling import Schedule
from bulbcast.confidence.hollow import UNEVEN, Void, hidden_void
from bulbcast.confidence.inputs import inputs_of
from bulbcast.confidence.plugs import LeadPlug, lead_plugs
from bulbcast.confidence.propagation import linear_parts
from bulbcast.confidence.results import ConfidenceResults
from bulbcast.confidence.work import scheduled
from bulbcast.materials.learned import SAYS, alone
from bulbcast.quantities.frozen import frozen
from bulbcast.solids.quadrature import Array


@frozen
class Weighing:
    """Measurements of a casting.

    Attributes:
        readings: Masses without sprue.
        sprue: Mass deducted for a sprue that is still attached; zero if there is none. [kg]
        water: Density of the water used for weighing. [kg/m3]
        when: Date or time of weighing; None if not given.
        typed: Options as typed, by name.
    """

    readings: tuple[Reading, ...]
    sprue: float
    water: float
    when: date | None
    typed: tuple[tuple[str, str], ...]


@frozen
class Weighed:
    """Results of a weighed casting.

    Attributes:
        weighing: Measurements of the casting.
        expected: Planned value of each reading and its standard deviation before measuring. [SI]
        apart: Chi square of all readings against the plan, divided by their number. [-]
        contraction: Updated contraction and its standard deviation. [-]
        density: Updated density and its standard deviation. [kg/m3]
        says_contraction: Contraction from this casting alone, if the mould's growth is as planned, with its standard
            deviation; None if it is highly uncertain or impossible for a metal. [-]
        says_density: Density from this casting alone, with its standard deviation, or None. [kg/m3]
        hung: Hung mass before drilling, and its standard deviation. [kg]
        centre_off: Distance of the mass centre aft of its planned position, and its standard deviation. [m]
        pocket_x: Distance of the fin's leading edge from the finished casting's nose. [m]
        pocket_moved: Distance of that leading edge aft of its planned position. [m]
        over: Excess of the hung mass over the target. [kg]
        schedule: Drilling schedule that removes the excess; no holes if the readings cannot distinguish it from zero.
        plugs: Lead plugs that make up a shortage, in the recesses over the screws; none if there is no shortage.
        sinkage: Sinkage of the boat with the undrilled casting, positive if deeper; None if no waterline is given. [m]
        trim: Trim over the boat's length, positive by the stern, with the pocket at the stated position. [m]
        void: Results about a hollow; None if the readings give no information about one.
    """

    weighing: Weighing
    expected: tuple[tuple[float, float], ...]
    apart: float
    contraction: tuple[float, float]
    density: tuple[float, float]
    says_contraction: tuple[float, float] | None
    says_density: tuple[float, float] | None
    hung: tuple[float, float]
    centre_off: tuple[float, float]
    pocket_x: float
    pocket_moved: float
    over: float
    schedule: Schedule
    plugs: tuple[LeadPlug, ...]
    sinkage: float | None
    trim: float | None
    void: Void | None

    @property
    def light(self) -> bool:
        """Whether the casting's hung mass is below the target by more than the uncertainty."""
        return self.over < -self.hung[1]


def raw_casting(job: ConfidenceResults, water: float) -> RawCasting:
    """Return the models of a casting's readings.

    Args:
        job: Results of the plan.
        water: Density of the water used for weighing. [kg/m3]
    """
    return RawCasting(
        model=CastingModel(bulb=job.bulb, wish=job.wish), inputs=inputs_of(job), cast=job.cast, water=water
    )


def weighed_casting(job: ConfidenceResults, weighing: Weighing) -> Weighed:
    """Calculate the results of a weighed casting.

    Args:
        job: Results of the plan.
        weighing: The weighing, with one or more readings.
    """
    raw = raw_casting(job, weighing.water)
    found = updated(raw, weighing.readings)
    inputs, model = raw.inputs, raw.model
    uncertain = [one.uncertain for one in inputs.all]

    def mass(values: Array) -> Array:
        return model.hung(inputs.castings(values))[0]

    def centre(values: Array) -> Array:
        return model.hung(inputs.castings(values))[1]

    _, mass_parts = linear_parts(mass, uncertain)
    _, centre_parts = linear_parts(centre, uncertain)
    now = found.values()
    hung, at = float(mass(now)[0]), float(centre(now)[0])
    planned = job.bulb.mass_centre_x - job.bulb.pocket.leading_edge_x
    lead, length = model.lengths(inputs.castings(now))[0], job.bulb.body.length
    in_proportion = job.bulb.pocket.leading_edge_x * float(lead[0]) / length
    off = at - planned + _uneven(raw, weighing, now)
    over, uncertainty = hung - job.bulb.mass, found.spread(mass_parts)
    # Lead drilled out does not come back: an excess that the readings cannot tell from none is left on.
    drilled = over if over > uncertainty else 0.0
    cored = job.cast.cored.pocket
    pocket = in_proportion if cored else in_proportion + off
    flotation = None if job.boat is None else job.boat.flotation
    contraction, density = found.value("contraction"), found.value("density")
    return Weighed(
        weighing=weighing,
        expected=tuple((float(one[0]), float(one[1])) for one in found.expected),
        apart=found.unexplained / len(weighing.readings),
        contraction=contraction,
        density=density,
        says_contraction=_alone("contraction", *found.net_contraction()),
        says_density=_alone("density", (inputs.density.value, inputs.density.sd), density),
        hung=(hung, uncertainty),
        centre_off=(off, found.spread(centre_parts)),
        pocket_x=pocket,
        pocket_moved=pocket - job.bulb.pocket.leading_edge_x,
        over=over,
        schedule=scheduled(job, drilled, shift=-off if cored and drilled > 0.0 else 0.0),
        plugs=lead_plugs(job.bulb, -over, job.wish.cast_density, job.wish.filler_density),
        sinkage=None if flotation is None else over / flotation.mass_per_immersion,
        trim=None
        if flotation is None
        else (
            over * (job.bulb.mass_centre[0] - flotation.flotation_x) + (job.bulb.mass * off if cored else 0.0)
        )
        / flotation.moment_per_trim,
        void=hidden_void(raw, weighing.readings),
    )


def _uneven(raw: RawCasting, weighing: Weighing, now: Array) -> float:
    """Distance of the balance point aft of the balance point of a uniform casting of this shape. [m] An imprecise
    reading counts less: the measured difference is multiplied by UNEVEN^2 / (UNEVEN^2 + sd^2).
    """
    for one in weighing.readings:
        if one.name == "balance":
            left = one.value - float(raw.of("balance")(now)[0])
            return left * UNEVEN**2 / (UNEVEN**2 + one.sd**2)
    return 0.0


def _alone(name: str, before: tuple[float, float], now: tuple[float, float]) -> tuple[float, float] | None:
    if before[1] == 0.0 or now[1] <= 0.0:
        return None
    said = alone(*before, *now)
    low, high = SAYS[name]
    return said if said is not None and low <= said[0] <= high and math.isfinite(said[1]) else None
