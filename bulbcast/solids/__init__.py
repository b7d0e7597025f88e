"""Solids written as STL and 3MF files and read back, and the quadrature rule."""
