"""Derivatives of the hung mass with respect to each input, compared with finite differences of the whole plan, and
samples compared with the linear band."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from plans import SCREW, job_of

from bulbcast.bulb.body.attitude import nose_for_lead
from bulbcast.bulb.cuts.union import fin_nodes
from bulbcast.bulb.hung.ledger import hang
from bulbcast.confidence.casting import CastingModel
from bulbcast.confidence.inputs import inputs_of
from bulbcast.confidence.propagation import combined, draws, even_draws, linear_parts
from bulbcast.confidence.work import SAMPLES, band_of
from bulbcast.quantities.frozen import replace as copied

PLAN = """\
[bulb]
target_mass = "{target} g"
fineness = 5
skin = "{skin} mm"
filler_density = "{filler} g/cm3"
[alloy]
density = "{density} g/cm3"
porosity = "{porosity} %"
[fin]
tip_chord = "70 mm"
tip_thickness = "7 mm"
pocket_depth = "6 mm"
[pattern]
contraction = "{contraction} %"
mould_expansion = "{mould} %"
finish = "{finish} mm"
coat = "{coat} mm"
"""
# Thin layers: of a thick one a larger body of the same fineness has not quite the shape of a body grown all round.
GIVEN = {
    "target": 2450.0,
    "skin": 0.2,
    "filler": 1.2,
    "density": 11.1,
    "porosity": 0.8,
    "contraction": 0.9,
    "mould": 0.1,
    "finish": 0.02,
    "coat": 0.02,
}


# Halves bonded face to face, the filler between them half a millimetre thick, and two pins below the pocket.
BONDED = PLAN.replace('pocket_depth = "6 mm"', 'pocket_depth = "6 mm"\nbond_line = "0.5 mm"')
PINS = """
[[cross_pins]]
at = "14 mm"
height = "-10 mm"
diameter = "4 mm"
hole_diameter = "4.6 mm"
length = "24 mm"
[[cross_pins]]
at = "-15 mm"
height = "-6 mm"
diameter = "4 mm"
length = "24 mm"
[mould]
material = "plaster"
kind = "open-halves"
drying = "air"
"""


def planned(text: str = PLAN + SCREW, **changed: float) -> float:
    """Pattern volume of a whole plan. [m3]"""
    values = {**GIVEN, **changed}
    return job_of(text.format(**values)).pattern.volume


def slope(name: str, step: float, text: str = PLAN + SCREW) -> float:
    """Derivative of the pattern's volume with respect to a value, from central differences of the whole plan."""
    more, less = planned(text, **{name: GIVEN[name] + step}), planned(text, **{name: GIVEN[name] - step})
    return (more - less) / (2.0 * step)


@pytest.fixture(scope="module")
def per_gram() -> float:
    return slope("target", 5.0)


# What the plan writes, its step there, the input, and SI units in one of the plan's.
CASES = [
    ("density", 0.02, "density", 1000.0),
    ("porosity", 0.05, "porosity", 0.01),
    ("contraction", 0.05, "contraction", 0.01),
    ("mould", 0.05, "mould", 0.01),
    ("finish", 0.01, "finish", 1e-3),
    ("coat", 0.01, "coat", 1e-3),
    ("skin", 0.02, "skin", 1e-3),
    ("filler", 0.05, "filler", 1000.0),
]


@pytest.mark.parametrize(("name", "step", "field", "unit"), CASES, ids=[case[0] for case in CASES])
def test_each_derivative_is_that_of_the_whole_plan(name, step, field, unit, per_gram):
    """If a change would enlarge the planned pattern, the casting from the old pattern is lighter. The loss equals the
    rise in target mass that would enlarge the pattern by the same amount (implicit function theorem)."""
    assert derivative(job_of(PLAN.format(**GIVEN) + SCREW), field) == pytest.approx(
        -slope(name, step) / per_gram * 1e-3 / unit, rel=4e-3
    )


@pytest.mark.parametrize(("name", "step", "field", "unit"), [CASES[0], CASES[-1]], ids=["density", "filler"])
def test_bonded_halves_have_the_derivatives_of_the_whole_plan(name, step, field, unit):
    text = BONDED + PINS
    job = job_of(text.format(**GIVEN))
    assert job.bulb.bond.volume > 3e-6
    ours = derivative(job, field)
    theirs = -slope(name, step, text) / slope("target", 5.0, text) * 1e-3 / unit
    assert ours == pytest.approx(theirs, rel=4e-3)


def derivative(job, field: str) -> float:
    """Derivative of the hung mass with respect to an input, from the model."""
    inputs = inputs_of(job)
    model = CastingModel(bulb=job.bulb, wish=job.wish)
    _, parts = linear_parts(
        lambda values: model.hung(inputs.castings(values))[0], [one.uncertain for one in inputs.all]
    )
    return parts[list(inputs.all).index(getattr(inputs, field))] / getattr(inputs, field).sd


def test_the_model_begins_at_the_plan():
    job = job_of(PLAN.format(**GIVEN) + SCREW + "[confidence]\n")
    inputs = inputs_of(job)
    values = np.array([[one.value] for one in inputs.all])
    mass, centre = CastingModel(bulb=job.bulb, wish=job.wish).hung(inputs.castings(values))
    assert mass[0] == pytest.approx(job.confidence.aim, rel=1e-10)
    # Carried at 0.40 of the chord; the lead that is drilled out lies where the rest balances.
    assert centre[0] == pytest.approx(0.4 * 0.07, abs=1e-9)
    assert job.bulb.mass == pytest.approx(2.45, rel=1e-10)


def test_samples_agree_with_the_linear_deviation_where_all_is_nearly_linear():
    job = job_of(PLAN.format(**{**GIVEN, "porosity": "0.8 +- 0.1"}) + SCREW)
    band = band_of(job)
    # Standard error of a standard deviation: sd / sqrt(2 n) for normal samples; the second order adds a few in 1000.
    error = combined(band.mass) / math.sqrt(2.0 * len(band.samples))
    assert float(np.std(band.samples)) == pytest.approx(
        combined(band.mass), abs=4.0 * error + 3e-3 * combined(band.mass)
    )


@pytest.mark.parametrize("porosity", ["0.8", "0.5 +- 1.0", "0 +- 0.5", "2 +- 0.05"])
def test_samples_laid_evenly_find_fractiles_as_many_more_do(porosity):
    """Over several seeds, the error of the fractile used for the aim is at most that of 100,000 independent samples,
    which is sqrt(p (1 - p) / n) divided by the probability density at the fractile (H. A. David, Order Statistics,
    1981, 2.5)."""
    job = job_of(PLAN.format(**{**GIVEN, "porosity": porosity}) + SCREW)
    inputs, model = inputs_of(job), CastingModel(bulb=job.bulb, wish=job.wish)
    uncertain = [one.uncertain for one in inputs.all]

    def mass(values):
        return model.hung(inputs.castings(values))[0]

    _, parts = linear_parts(mass, uncertain)
    truth = np.concatenate([mass(draws(uncertain, count=250_000, seed=seed)) for seed in range(100, 104)])
    low, at, high = np.quantile(truth, [0.045, 0.05, 0.055])
    off = [
        float(np.quantile(mass(even_draws(uncertain, parts, count=SAMPLES, seed=seed)), 0.05)) - at
        for seed in range(24)
    ]
    by_chance = math.sqrt(0.05 * 0.95) * (high - low) / 0.01
    assert np.std(off) <= by_chance / math.sqrt(100_000)
    # The truth itself is of a million samples.
    assert abs(np.mean(off)) <= 4.0 * by_chance / math.sqrt(len(truth))


def test_a_skewed_case_is_named():
    skewed = job_of(PLAN.format(**{**GIVEN, "porosity": "0.8 +- 2.0"}) + SCREW).confidence
    assert skewed.skewed
    assert not skewed.linear
    assert skewed.skewness < 0.0, "pores take mass away, and there is no end to them on that side"


def test_errors_that_are_one_and_the_same_add_up():
    """One contraction applies to all three dimensions, so the mass changes by 3 times as much, not sqrt(3) times."""
    job = job_of(PLAN.format(**{**GIVEN, "finish": 0.0, "coat": 0.0, "skin": 0.0}))
    inputs, model = inputs_of(job), CastingModel(bulb=job.bulb, wish=job.wish)
    _, parts = linear_parts(
        lambda values: model.hung(inputs.castings(values))[0], [one.uncertain for one in inputs.all]
    )
    lead = job.wish.cast_density * job.bulb.volume.volume
    assert parts[2] == pytest.approx(-3.0 * lead * inputs.contraction.sd / 1.009, rel=2e-3)


def test_draws_are_the_same_again_and_others_with_another_seed():
    job = job_of(PLAN.format(**GIVEN))
    uncertain = [one.uncertain for one in inputs_of(job).all]
    first, again, other = (draws(uncertain, count=100, seed=seed) for seed in (5, 5, 6))
    assert np.array_equal(first, again)
    assert not np.array_equal(first, other)


def hung_anew(job, *, scale: float = 1.0, **changed: float):
    """Mass, and distance of the mass centre aft of the tip's leading edge, from a ledger with every piece cut
    anew."""
    wish = replace(job.wish, excess=0.0, **changed)
    bulb = job.bulb
    body = copied(bulb.body, uncut_length=scale * bulb.body.uncut_length, diameter=scale * bulb.body.diameter)
    lead = scale * bulb.pocket.leading_edge_x
    nose = nose_for_lead(
        leading_edge_x=wish.fin.leading_edge_x,
        lead=lead,
        floor=bulb.axis.floor + 0.5 * (scale - 1.0) * bulb.body.height,
        incidence=wish.incidence,
    )
    found = hang(body, nose, wish, fin_nodes(wish.fin.tip, wish.fin.clearance, wish.profile))
    return found.mass, found.mass_centre_x - found.pocket.leading_edge_x


@pytest.mark.parametrize(
    ("field", "changed"),
    [
        ("density", lambda wish, by: {"lead_density": wish.lead_density + by}),
        ("porosity", lambda wish, by: {"porosity": wish.porosity + by}),
        ("skin", lambda wish, by: {"skin": wish.skin + by}),
        ("filler", lambda wish, by: {"filler_density": wish.filler_density + by}),
        ("scale", lambda wish, by: {"scale": 1.0 + by}),
    ],
    ids=["density", "porosity", "skin", "filler", "scale"],
)
def test_mass_and_mass_centre_move_as_the_ledger_hung_anew(field, changed):
    job = job_of(PLAN.format(**{**GIVEN, "finish": 0.0, "coat": 0.0}) + SCREW)
    inputs, model = inputs_of(job), CastingModel(bulb=job.bulb, wish=job.wish)
    place, sd = inputs.place(field), getattr(inputs, field).sd
    before = hung_anew(job)
    for by in (sd, -sd):
        values = np.array([[one.value] for one in inputs.all])
        values[place] += by
        mass, centre = (float(one[0]) for one in model.hung(inputs.castings(values)))
        expected = hung_anew(job, **changed(job.wish, by))
        # What it moves by, to a thousandth of that; layers by Steiner's formula as the ledger's own.
        assert mass - before[0] == pytest.approx(expected[0] - before[0], rel=1e-3, abs=1e-9)
        assert centre - before[1] == pytest.approx(expected[1] - before[1], rel=2e-3, abs=1e-9)
