"""Limits of melt and pour that are not limits of the library itself, each with its source."""

from __future__ import annotations

# Blend off the planned alloy: what it moves the hung mass by, as a share of it. Judgement: a kitchen scale shows it.
BLEND_MASS_SHARE = 0.005

# A weighed sample and what the scrap was sorted as, in joint standard deviations: further apart is not chance, which
# does so once in twenty. Common practice, no source.
SAMPLE_APART = 2.0
# The piece that settles it is twice as heavy and this heavy at least: on a scale of half a gram its density is known to
# 0.8 %. Judgement. [kg]
BIGGER_PIECE = 1.0

# A lifted pot: no more than half full. Common practice, no source.
LIFTED_FILL = 0.5

# Burner's efficiency met with: see casting/heat.py.
# Longest melt: a day's work is not to end in the dark. Judgement. [s]
LONGEST_MELT = 3.0 * 3600.0

# What a person pours by hand, ladled or tipped, and keeps steady. Judgement. [kg/s]
FASTEST_BY_HAND = 2.0
