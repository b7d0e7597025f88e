"""Afloat: the float test, its findings and what to do about them."""
