"""Properties of any casting: feed paths compared with a search of all paths, and heat curves that only rise."""

from __future__ import annotations

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from bulbcast.foundry.cooling.feed_path import ways_close
from bulbcast.foundry.cooling.heat import heat_at, heat_curves
from bulbcast.materials.alloys import alloy_of_grade, grades
from bulbcast.materials.heat import metal_heat, mould_heat


@st.composite
def castings(draw):
    """Cells with closing times and arbitrary neighbours, some of them feeder cells."""
    count = draw(st.integers(1, 9))
    closed = draw(st.lists(st.integers(1, 6), min_size=count, max_size=count))
    pairs = draw(st.sets(st.tuples(st.integers(0, count - 1), st.integers(0, count - 1)), max_size=16))
    feeder = draw(st.lists(st.booleans(), min_size=count, max_size=count))
    neighbours = [
        sorted({b for a, b in pairs if a == i and b != i} | {a for a, b in pairs if b == i and a != i})
        for i in range(count)
    ]
    return np.array(closed, dtype=float), neighbours, np.array(feeder)


@given(castings())
def test_a_way_closes_with_the_narrowest_cell_of_the_best_path(casting):
    closed, neighbours, feeder = casting
    # The widest path between any two cells by relaxing until nothing changes: no union of groups, no order.
    best = np.where(feeder, closed, 0.0)
    for _ in range(len(closed)):
        for cell, others in enumerate(neighbours):
            for other in others:
                best[cell] = max(best[cell], min(best[other], closed[cell]))
    assert ways_close(closed, neighbours, feeder).tolist() == best.tolist()


@given(
    grade=st.sampled_from(grades()),
    kind=st.sampled_from(("air", "baked", "sand")),
    share=st.floats(0.0, 1.0),
    peak=st.floats(0.0, 400.0),
    at=st.floats(-40.0, 800.0),
)
def test_temperature_follows_from_heat_whatever_has_reacted(grade, kind, share, peak, at):
    curves = heat_curves(
        metal_heat(alloy_of_grade(grade)), mould_heat(kind), np.array([share]), np.array([1.0 - share])
    )
    curves.remember(np.array([peak]))
    temperature, heat = curves.temperature[:, 0], curves.heat[:, 0]
    assert np.all(np.diff(temperature) >= 0.0)
    assert np.all(np.diff(heat) > 0.0)
    wanted = float(np.interp(at, temperature, heat))
    found, slope = curves.temperatures(np.array([wanted]))
    assert abs(found[0] - at) < 1e-6
    assert slope[0] >= 0.0
    if peak <= curves.mould.reaction_from and not curves.metal.solidus <= at <= curves.metal.liquidus:
        assert abs(heat_at(curves, at, at)[0] - wanted) <= 1e-12 * (heat[-1] - heat[0])
