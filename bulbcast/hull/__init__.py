"""Hulls: surfaces and tables of offsets, read and repaired, and what the water does to them."""
