"""Metric coarse threads, ISO 261: pitch for each nominal diameter."""

from __future__ import annotations

# Pitch by nominal diameter, both in mm: ISO 261 coarse series, from memory.
_COARSE = {
    1.6: 0.35,
    2.0: 0.4,
    2.5: 0.45,
    3.0: 0.5,
    4.0: 0.7,
    5.0: 0.8,
    6.0: 1.0,
    8.0: 1.25,
    10.0: 1.5,
    12.0: 1.75,
    14.0: 2.0,
    16.0: 2.0,
    20.0: 2.5,
}


COARSE_PITCHES = {round(1e-3 * size, 7): round(1e-3 * pitch, 8) for size, pitch in _COARSE.items()}
"""Pitches of the metric coarse threads by nominal diameter; ISO 261, from memory. [m]"""
