"""Hulls: surfaces and tables of offsets, reading, repair, and hydrostatics."""
