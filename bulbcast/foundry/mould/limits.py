"""Limits of mould, drying and resin, each with its source."""

from __future__ import annotations

# One piece poured into a mould that keeps its bound water: above it more steam than can find its way out. Judgement.
AIR_DRIED_PIECE = 5.0

# Consistency in use, parts of water to 100 of plaster. Plaster makers' tables.
LOWEST_CONSISTENCY, HIGHEST_CONSISTENCY = 60.0, 80.0

# Wall round the pattern: 25 mm for models, 75 mm from 40 kg a piece. Common practice, no source.
SMALLEST_MOULD_WALL = 0.025
SMALLEST_MOULD_WALL_LARGE = 0.075

# Buckets that one person mixes and pours before the first one sets. Judgement: 27 to 37 min to set, soak and stir 5 min.
MOST_BATCHES = 3

# Oven below which a mould is hardly baked. Calcining: the change to hemihydrate runs at 100 to 130 degC.
COOLEST_OVEN = 130.0
