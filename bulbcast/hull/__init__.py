"""Hulls: surfaces and tables of offsets, read and mended, and what the water does to them."""
