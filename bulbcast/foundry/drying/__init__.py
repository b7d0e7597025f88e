"""Drying: the log of a plaster mould and what it allows."""
