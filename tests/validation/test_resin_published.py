"""Shot in resin compared with the packing of spheres, the limits of Maxwell's rule and an integrated peak temperature."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from bulbcast.foundry.resin.formulas import (
    FACE_TO_AIR,
    LEAD_CONDUCTIVITY,
    RESIN_CONDUCTIVITY,
    ShotMix,
    peak_share,
)
from bulbcast.plan.keys import KEYS


def mix(packing):
    return ShotMix(
        packing=packing,
        packing_spread=0.0,
        shot_density=11120.0,
        resin_density=1150.0,
        heat=4.5e5,
        cure_time=1.4e4,
    )


# J. G. Berryman, Random close packing of hard spheres and disks, Physical Review A 27 (1983): 0.64 give or take 0.02.
def test_the_default_packing_lies_at_or_below_random_close_packing():
    default = float(KEYS["resin.packing"].default.split()[0]) / 100.0
    assert 0.60 <= default <= 0.64


@pytest.mark.parametrize("ratio", [0.05, 0.3, 0.9, 1.0, 1.7, 6.0, 40.0])
def test_the_peak_is_that_of_the_differential_equation(ratio):
    """The equation is dT/dt = k exp(-k t) - l T with k = ratio and l = 1, solved by an ODE solver."""
    end = 12.0 / min(ratio, 1.0)
    solved = solve_ivp(
        lambda t, rise: ratio * np.exp(-ratio * t) - rise,
        (0.0, end),
        [0.0],
        rtol=1e-9,
        atol=1e-12,
        max_step=end / 4000,
    )
    assert peak_share(ratio) == pytest.approx(solved.y.max(), rel=1e-4)


def test_maxwells_rule_has_its_two_ends():
    assert mix(1e-9).conductivity == pytest.approx(RESIN_CONDUCTIVITY, rel=1e-6)
    # In Eucken's form of it: k (1 + 2 b f) / (1 - b f) with b = (p - k) / (p + 2 k).
    part = (LEAD_CONDUCTIVITY - RESIN_CONDUCTIVITY) / (LEAD_CONDUCTIVITY + 2.0 * RESIN_CONDUCTIVITY)
    eucken = RESIN_CONDUCTIVITY * (1.0 + 2.0 * part * 0.62) / (1.0 - part * 0.62)
    assert mix(0.62).conductivity == pytest.approx(eucken, rel=1e-12)
    assert mix(1.0 - 1e-9).conductivity == pytest.approx(LEAD_CONDUCTIVITY, rel=1e-6)


# The default density of chilled shot: 2 % antimony and 0.6 % arsenic by the additive rule, elements as in alloys.toml.
def test_the_default_shot_is_chilled_shot_by_the_additive_rule():
    density = 1.0 / (0.974 / 11.34 + 0.02 / 6.697 + 0.006 / 5.75)
    assert float(KEYS["resin.shot_density"].default.split()[0]) == pytest.approx(density, abs=0.02)


# Cure by Arrhenius' law, which the planner leaves out, integrated by a general-purpose library. Activation energies of
# epoxy with amine, 50 to 60 kJ/mol: handbook range, from memory.
@pytest.mark.parametrize("activation", [50e3, 60e3])
@pytest.mark.parametrize("thickness", [0.01, 0.03, 0.08, 0.2])
def test_a_resin_that_cures_faster_as_it_warms_gets_warmer_than_is_reported(thickness, activation):
    shot, room = mix(0.62), 293.15
    lost_in = shot.heat_capacity * thickness * (1.0 / FACE_TO_AIR + thickness / (3.0 * shot.conductivity))

    def slope(_, state):
        cured, rise = state
        rate = (
            (1.0 - cured) / shot.cure_time * np.exp(activation / 8.314 * (1.0 / room - 1.0 / (room + rise)))
        )
        return [rate, shot.whole_rise * rate - rise / lost_in]

    ran = solve_ivp(slope, (0.0, 30.0 * shot.cure_time), [0.0, 0.0], method="LSODA", rtol=1e-8, atol=1e-10)
    peak = float(np.max(ran.y[1]))
    assert 1.05 * shot.rise(thickness) < peak < shot.whole_rise
