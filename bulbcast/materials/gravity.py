"""Standard gravity, in one place."""

from __future__ import annotations

STANDARD_GRAVITY = 9.80665
"""Standard acceleration of free fall, ISO 80000-3; CGPM 1901. [m/s2]"""
