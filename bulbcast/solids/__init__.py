"""Solids as files: STL and 3MF, read back; and the quadrature rule."""
