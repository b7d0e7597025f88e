"""Reads plan files, tables, hulls, and the records kept next to a plan."""
