"""Gating: how the metal enters the mould and how the air leaves it."""
