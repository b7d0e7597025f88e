"""The pieces on a printer: its bed, how they lie on it, material, and whether the print withstands the heat."""
