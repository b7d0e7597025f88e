"""Drying of a plaster mould: its log, and whether the log allows the pour."""
