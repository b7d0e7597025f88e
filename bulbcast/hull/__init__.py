"""Hulls given as surfaces or tables of offsets: reading, repair, and hydrostatics."""
