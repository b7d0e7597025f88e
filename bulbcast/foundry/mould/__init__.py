"""Mould: the blocks round the pattern, and the plaster to mix."""
