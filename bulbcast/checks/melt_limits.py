"""Limits of melt and pour that are not limits of the library itself, each with its source."""

from __future__ import annotations

# Blend off the planned alloy: what it moves the hung mass by, as a share of it. Judgement: a kitchen scale shows it.
BLEND_MASS_SHARE = 0.005

# A lifted pot: no more than half full. Common practice, no source.
LIFTED_FILL = 0.5

# Burner's efficiency met with: see casting/heat.py.
# Longest melt: a day's work is not to end in the dark. Judgement. [s]
LONGEST_MELT = 3.0 * 3600.0

# What a person pours by hand, ladled or tipped, and keeps steady. Judgement. [kg/s]
FASTEST_BY_HAND = 2.0
