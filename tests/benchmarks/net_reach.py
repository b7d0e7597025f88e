"""Keys and codes that the net's plans do not reach, with the reason and the test that covers them. net.py reports any
that are reached after all."""

from __future__ import annotations

KEYS_OUT_OF_REACH: dict[str, str] = {}

OUT_OF_REACH: dict[str, str] = {
    "blown-flat": "60 m/s, the most wind that is read, lays none of these boats flat; test_standing_plan.py",
    "deck-under-water": "none of these boats still floats with her deck in; test_boat_freeboard.py",
    "fin-raked-root": "a narrow band between the allowable and what the raked root makes of it; test_fin_findings.py",
    "hull-unit-doubtful": "the wrong unit here is a fault before it is a finding; test_broken_hulls.py",
    "lists": "the weights here are too near the middle; test_boat_plan.py",
    "mould-over-baked": "no log here comes below the computed mass of its mould; test_dry_command.py",
    "resin-no-bulb": "a narrow band of lengths that carry the mass in lead and not in shot; test_resin.py",
    "vanishes-early": "no hull of these with a surface has arms that end before 90 degrees; test_standing_plan.py",
}
