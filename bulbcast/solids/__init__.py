"""Solids as files: STL and 3MF, read back; the one integration rule."""
