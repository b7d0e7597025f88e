"""Fin and rudder: sections, foils, stiffness, weight and ribs."""
