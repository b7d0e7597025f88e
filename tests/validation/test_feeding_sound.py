"""By default, the feeder is kept liquid long enough for a sound casting, as simulated on more than one grid; a shorter
time is not enough.

These cases are a small part of tests/benchmarks/bench_feeding.py, which covers 0.5 to 140 kg of three metals, every
other way of feeding and finer grids. The independent check is heat conduction itself, solved on a grid of cells.
"""

from __future__ import annotations

import pytest
from plans import LEAST

from bulbcast.foundry.cooling.keeping import SOUND, Keeping
from bulbcast.foundry.cooling.work import cooling_setup
from bulbcast.job import run
from bulbcast.plan.reading import read_plan

CASES = [("pure", 0.5, 8), ("pure", 0.5, 10), ("pure", 2.0, 8), ("antimonial-4", 2.0, 8), ("pure", 20.0, 8)]
MORE = [
    ("sheet", 0.5, 12),
    ("pure", 2.0, 12),
    ("pure", 20.0, 12),
    ("antimonial-4", 2.0, 12),
    ("pure", 0.5, 14),
]


def holds(grade: str, mass: float, cells: int) -> None:
    size = (mass / 2.0) ** (1.0 / 3.0)
    text = LEAST.replace('"2.45 kg"', f'"{mass} kg"').replace('"pure"', f'"{grade}"')
    text = text.replace("70 mm", f"{75.0 * size:.1f} mm").replace("7 mm", f"{8.0 * size:.1f} mm")
    job = run(read_plan(f'{text}[mould]\nmaterial = "plaster"\ndrying = "baked"\n', source="plan.toml"))
    gating = job.melting.gating
    assert gating.feeder.way == "kept"
    if grade != "antimonial-4":
        # Its thin end stops running sooner: a wider sprue takes the more, and the comparison of ways says so.
        assert gating.poured <= (1.40 if mass < 1.0 else 1.20) * gating.cast_mass
    keeping = Keeping(cooling_setup(job, cells=cells)[0])
    # The time that is given without the simulation, in this mould.
    assert keeping.released(gating.keep_least) <= SOUND
    shortest = keeping.shortest()
    assert shortest.until <= gating.keep_least
    assert shortest.hollow <= SOUND < keeping.released(0.8 * shortest.until)
    assert shortest.alone > 5.0 * SOUND


@pytest.mark.parametrize(("grade", "mass", "cells"), CASES)
def test_a_feeder_kept_as_long_as_asked_leaves_a_sound_casting(grade, mass, cells):
    holds(grade, mass, cells)


@pytest.mark.slow
@pytest.mark.parametrize(("grade", "mass", "cells"), MORE)
def test_it_does_on_finer_grids(grade, mass, cells):
    holds(grade, mass, cells)
