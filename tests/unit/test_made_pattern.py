"""A finished pattern cast in the planned metal, and a contraction other than the metal's, both calculated by hand."""

import math

import pytest
from plans import LEAST, codes, faults_of, job_of, the_finding, with_line

from bulbcast.plan.faults import PlanError
from bulbcast.quantities import Shown

# Nothing filed, no coat, no pocket, no growth of the mould: the casting is what hangs.
BARE = with_line("pattern", 'finish = "0 mm"\ncoat = "0 mm"\nmould_expansion = "0 %"\n#')


def made(value: str, base: str = BARE):
    return job_of(with_line("pattern", f'made = "{value}"', base))


def test_a_volume_is_weighed_by_density_and_contraction_both():
    """250 cm3 of pure lead: 11.34 x 0.99 x 250 / 1.0098^3 = 2725.8 g, with 0.98 % contraction in three directions."""
    job = made("250 cm3")
    by_hand = 11.34 * 0.99 * 250 / 1.0098**3 / 1000
    assert job.made.hung_mass == pytest.approx(by_hand, rel=1e-12)
    assert job.made.cast_mass == pytest.approx(by_hand, rel=1e-12)
    assert [step.mass for step in job.made.steps] == pytest.approx(
        [2.835, 2.835, 2.80665, 2.80665, by_hand, by_hand], rel=1e-12
    )


def test_a_pattern_made_for_pure_lead_comes_light_in_wheel_weights():
    """The lower density alone would cost 2.6 % of the mass; 0.2 % less contraction in each direction restores 0.6 %."""
    pure = made("220 cm3")
    other = made("220 cm3", BARE.replace('"pure"', '"wheel-weights"'))
    density = other.alloy.density / 11340
    assert other.made.hung_mass / pure.made.hung_mass == pytest.approx(
        density * (1.0098 / 1.0078) ** 3, rel=1e-12
    )


def test_volume_mass_and_length_of_one_pattern_say_the_same():
    """A solid pattern of 0.6 g/cm3, with the length of the planned shape."""
    volume = made("250 cm3")
    mass = made("150 g", with_line("pattern", 'density = "0.6 g/cm3"', BARE))
    length = volume.pattern.length * (250e-6 / volume.pattern.volume) ** (1 / 3)
    assert mass.made.hung_mass == pytest.approx(volume.made.hung_mass, rel=1e-12)
    assert made(f"{1000 * length:.9f} mm").made.hung_mass == pytest.approx(volume.made.hung_mass, rel=1e-9)


def test_the_planned_pattern_as_made_hangs_the_target_whatever_is_filed_and_cut():
    base = with_line("pattern", 'finish = "0.4 mm"\ncoat = "0.2 mm"').replace(
        "[fin]", '[fin]\npocket_depth = "6 mm"'
    )
    planned = job_of(base)
    job = made(f"{1e6 * planned.pattern.volume:.9f} cm3", base)
    assert job.made.hung_mass == pytest.approx(2.45, rel=1e-9)
    assert job.made.cast_mass == pytest.approx(planned.cast.mass, rel=1e-9)
    assert job.made.layer == pytest.approx(0.0, abs=1e-9)
    assert "pattern-made-off" not in codes(job)


def test_a_core_is_in_no_pattern_and_comes_off_the_casting():
    base = LEAST.replace("[fin]", '[fin]\npocket_depth = "6 mm"\npocket = "cored"')
    planned = job_of(base)
    job = made("230 cm3", base)
    cored = job.made.steps[-2].mass - job.made.steps[-1].mass
    whole = job_of(base.replace('"cored"', '"cut"')).cast.volume
    assert cored == pytest.approx(planned.cast.density * (whole - planned.cast.volume), rel=1e-9)


def test_the_layer_makes_the_target():
    """Volume of the layer by Steiner's formula: area, mean curvature and a sphere, for a body 0.96 times the planned
    size."""
    job = made("200 cm3")
    layer = job.made.layer
    assert layer > 0
    size = (200e-6 / job.pattern.volume) ** (1 / 3) * job.pattern.scale
    area, curvature = job.bulb.surface.area * size**2, job.bulb.surface.mean_curvature * size
    grown = 200e-6 + area * layer + curvature * layer**2 + 4 / 3 * math.pi * layer**3
    built = made(f"{1e6 * grown:.6f} cm3")
    assert built.made.over == pytest.approx(0.0, abs=1e-8)


def test_the_blend_makes_the_target():
    """By hand: the blend's density follows the additive rule, and its contraction the proportions of the two metals."""
    base = BARE.replace('"pure"', '"antimonial-4"')
    wanted = job_of(base).pattern.volume
    job = made(f"{1e6 * wanted * 0.985:.6f} cm3", base)
    share = job.made.pure_lead
    assert 0 < share < 1
    density = 1 / (share / 11340 + (1 - share) / job.alloy.density)
    contraction = share * 0.0098 + (1 - share) * 0.0075
    hung = density * 0.99 * job.made.volume / (1 + contraction) ** 3
    assert hung == pytest.approx(2.45, rel=1e-12)


@pytest.mark.parametrize("value", ["180 cm3", "310 cm3"])
def test_accepting_it_as_typed_clears_the_finding(value):
    base = LEAST.replace("[fin]", '[fin]\npocket_depth = "6 mm"')
    finding = the_finding(made(value, base), "pattern-made-off")
    (line,) = finding.fix
    assert line.key == "bulb.target_mass"
    accepted = base.replace('target_mass = "2.45 kg"', f"target_mass = {line.value}")
    assert "pattern-made-off" not in codes(made(value, accepted))


def test_a_slip_of_the_unit_is_doubted():
    assert "Check the unit." in the_finding(made("13 in"), "pattern-made-off").message


def test_a_mass_alone_needs_the_density_and_says_how_to_do_without():
    (fault,) = faults_of(with_line("pattern", 'made = "150 g"'))
    assert "a mass only together with the density of the pattern material" in fault
    assert "the reading rises by 1 g for each cm3" in fault


def test_a_shop_rule_on_pure_lead_says_what_it_costs():
    """1/4 in per foot is 1/48: (1 + 1/48)^3 / 1.0098^3 - 1 = 3.32 % too heavy."""
    job = job_of(with_line("pattern", 'contraction = "1/4 in per foot"'))
    finding = the_finding(job, "contraction-not-own")
    share = ((1 + 1 / 48) / 1.0098) ** 3 - 1
    assert (
        f"{100 * share:.2f} %, or {Shown('metric').mass(share * job.cast.mass)}, too heavy" in finding.message
    )
    assert [(line.key, line.value) for line in finding.fix] == [("pattern.contraction", '"0.98 %"')]
    named = job_of(with_line("pattern", 'contraction = "7/32 in/ft"'))
    assert "the shop rule of 7/32 in per foot" in the_finding(named, "contraction-not-own").message


@pytest.mark.parametrize(("typed", "found"), [("0.64 %", False), ("0.62 %", True), ("1.32 %", False)])
def test_a_contraction_within_a_standard_deviation_of_the_metals_own_is_not_judged(typed, found):
    job = job_of(with_line("pattern", f'contraction = "{typed}"'))
    assert ("contraction-not-own" in codes(job)) is found


def test_a_pattern_a_hair_too_large_is_not_to_be_taken_down():
    """For a bulb of 300 g, a volume 1.5 % too large means about 0.07 mm all over, too little to file off evenly."""
    base = BARE.replace('"2.45 kg"', '"300 g"')
    volume = 1e6 * job_of(base).pattern.volume
    hair, much = (
        the_finding(made(f"{volume * by:.6f} cm3", base), "pattern-made-off") for by in (1.015, 1.2)
    )
    assert "Leave it as it is" in hair.remedy
    assert "from the pattern all over" in much.remedy


def test_a_pattern_of_another_size_altogether_is_no_target_to_accept() -> None:
    finding = the_finding(made("9 m"), "pattern-made-off")
    assert finding.fix == ()
    assert finding.remedy == "Check the unit, and that the pattern belongs to this plan."


def test_a_diameter_too_thin_for_any_tail_is_what_the_fault_names() -> None:
    with pytest.raises(PlanError) as caught:
        job_of(
            '[bulb]\ntarget_mass = "2.3 kg"\ndiameter = "3 mm"\n[alloy]\ngrade = "pure"\n'
            '[fin]\ntip_chord = "70 mm"\ntip_thickness = "8 mm"\n'
        )
    expected = "bulb.diameter: read 3.00 mm for a hung mass of 2300.0 g; expected more than the thinnest tail, 3.00 mm."
    assert expected in str(caught.value)
