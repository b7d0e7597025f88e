"""Views of a Job as plain 2-D shapes with dimensions, and the writer that turns them into SVG.

`shapes.py` holds the parts of a view, `svg.py` writes it; every other file draws one view. Results are read, never
calculated: only points of outlines are asked of `bulbcast.bulb` here.
"""
