"""Views of a Job as plain 2-D shapes with dimensions, and the writer that converts views to SVG.

`shapes.py` defines the parts of a view and `svg.py` writes it; every other file draws one view. This package only draws
results and never calculates them. It calls `bulbcast.bulb` only for points of outlines.
"""
