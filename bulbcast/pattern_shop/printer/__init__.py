"""Printing the pieces: the bed, their layout on it, the material, and whether the print withstands the heat."""
