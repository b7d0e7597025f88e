"""The melt: charge x (1 - dross) = (cast mass + feeder) x (1 + reserve)."""

from __future__ import annotations

import dataclasses
import math
import re

import pytest

from bulbcast.foundry.melt.charge import MeltError, melt_of, planned_melt
from bulbcast.plan.melt_sections import MeltSection

GIVEN = {"feeder": 0.2, "reserve": 0.10, "dross": 0.05}
LEFT_OUT = {"feeder_mass": None, "feeder_fraction": None, "reserve": 0.10, "dross": 0.05}


def test_the_charge_satisfies_the_contracts_equation():
    melt = melt_of(2.5, **GIVEN)
    assert melt.charge * (1 - 0.05) == pytest.approx((2.5 + 0.2) * 1.10, rel=1e-14)


def test_the_lines_add_up_to_the_charge():
    melt = melt_of(2.5, **GIVEN)
    assert melt.cast_mass + melt.feeder + melt.reserve + melt.dross == pytest.approx(melt.charge, rel=1e-15)
    assert melt.dross == pytest.approx(0.05 * melt.charge, rel=1e-14)
    assert melt.reserve == pytest.approx(0.10 * 2.7, rel=1e-14)


def test_a_feeder_left_out_is_the_gatings():
    melt = planned_melt(MeltSection(**LEFT_OUT), 2.0, dross=0.05, gating=(0.4, "from the gating"))
    assert (melt.feeder, melt.feeder_source) == (0.4, "from the gating")


def test_a_feeder_as_a_fraction_is_of_the_cast_mass():
    melt = planned_melt(
        MeltSection(**(LEFT_OUT | {"feeder_fraction": 0.10})), 2.0, dross=0.05, gating=(0.4, "")
    )
    assert melt.feeder == pytest.approx(0.2, rel=1e-15)
    assert melt.feeder_source == "10 % of the cast mass, as given"


@pytest.mark.parametrize("key", ["feeder_mass", "feeder_fraction"])
def test_a_feeder_of_zero_is_none_and_not_the_default(key):
    section = MeltSection(**(LEFT_OUT | {"reserve": 0.0, "dross": 0.0, key: 0.0}))
    melt = planned_melt(section, 2.0, dross=0.05, gating=(0.4, "from the gating"))
    assert (melt.feeder, melt.reserve, melt.dross, melt.charge) == (0.0, 0.0, 0.0, 2.0)


def test_the_melt_grows_with_the_cast_mass_line_by_line():
    once, twice = melt_of(2.0, **GIVEN), melt_of(4.0, **(GIVEN | {"feeder": 0.4}))
    for name in ("cast_mass", "feeder", "reserve", "dross", "charge"):
        assert getattr(twice, name) == pytest.approx(2 * getattr(once, name), rel=1e-14)


def test_a_melt_cannot_be_changed_afterwards():
    with pytest.raises(dataclasses.FrozenInstanceError):
        melt_of(2.0, **GIVEN).charge = 1.0  # type: ignore[misc]


@pytest.mark.parametrize(
    ("cast_mass", "change", "text"),
    [
        (0.0, {}, "The cast mass is 0 kg; it must be above zero."),
        (math.nan, {}, "The cast mass is nan kg; it must be above zero."),
        (2.0, {"feeder": -0.1}, "The feeder is -0.1 kg; it must be zero or more."),
        (2.0, {"reserve": -0.1}, "The reserve is -10 % of what is poured; it must be zero or more."),
        (2.0, {"dross": 1.0}, "The dross is 100 % of the charge; it must be at least 0 % and below 100 %."),
        (
            2.0,
            {"dross": math.nan},
            "The dross is nan % of the charge; it must be at least 0 % and below 100 %.",
        ),
    ],
)
def test_a_melt_that_cannot_be_is_refused(cast_mass, change, text):
    with pytest.raises(MeltError, match=f"^{re.escape(text)}$"):
        melt_of(cast_mass, **(GIVEN | change))
