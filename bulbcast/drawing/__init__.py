"""Plain 2-D shapes with dimensions, the layout of views and templates, and the writers for SVG, PDF and DXF.

`shapes.py` defines the parts of a view, and `svg.py` writes a view. The views themselves are drawn in the packages
whose results they show. This package never calculates results.
"""
