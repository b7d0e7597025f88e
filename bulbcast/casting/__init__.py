"""Casting: contraction, finish, the cast body and its pattern, the melt. Values in, values out."""
