"""The mould: blocks round the pattern, and the plaster to mix."""
