"""Views of a Job as plain 2-D shapes with dimensions, and the writer that makes SVG of them.

`shapes.py` holds what a view is made of, `svg.py` writes it; every other file draws one view. Results are
read, never computed: what is asked of `bulbcast.bulb` here are points of outlines to draw.
"""
