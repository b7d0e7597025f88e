"""Fin and rudder: section and foil, what a section resists with, ribs."""
