"""Which keys a study may vary, which of them exclude one another, and how many plans it may hold."""

from __future__ import annotations

from bulbcast.plan.consistency import exclusive_groups
from bulbcast.plan.keys import KEYS, REPEATED

LARGEST_GRID = 10_000
"""Plans in one study."""
MOST_INPUTS = 2
WITHOUT_EFFECT = frozenset(name for name, key in KEYS.items() if key.varied == "without effect")
"""Keys that change no figure of a study, which makes no solids."""
FIXED = frozenset(name for name, key in KEYS.items() if key.varied == "fixed")
"""Keys of the weigh-in and of the scrap, one for each part or lot, and of the hull's file, which is read once for a
whole study."""
NUMBERED = tuple(section for section in REPEATED if section not in ("weights", "scrap"))
"""Repeated sections of which a key may be varied, by the number of the one that it stands in."""
EXCLUSIVE_GROUPS = exclusive_groups()
"""Keys of which a plan holds one at most: varying one takes the place of the others."""
