"""Drying: the log of a plaster mould, and whether it allows the pour."""
