"""Limits of the checks on how the boat stands up, each with its source."""

from __future__ import annotations

import math

# Knocked flat she should come up again of herself. Judgement.
SMALLEST_VANISHING = math.radians(90.0)

# Beyond this heel she is slow and hard to steer: time to take sail in. Common practice, no source.
LARGEST_SAILING_HEEL = math.radians(30.0)

# Lift grows with the angle up to about here; beyond it the leeway told is too small. Common practice, no source.
LINEAR_LIFT = math.radians(8.0)

# The surface through a table against Simpson's rules: beyond this the table is too coarse. Judgement.
TABLE_AND_SURFACE = 0.005
