"""Views of a Job as plain 2-D shapes with dimensions, and the writer that turns views into SVG.

`shapes.py` defines the parts of a view and `svg.py` writes it; every other file draws one view. Results are only read
here, never calculated. The only calls to `bulbcast.bulb` are for points of outlines.
"""
