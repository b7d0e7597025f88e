"""Full-size templates: shapes cut from paper, card, plywood or acrylic to hold against the work.

`stations.py`, `fin.py` and `saddle.py` draw the templates, except those of ribs, and `collected.py` lists those of a
job. `bulbcast.drawing` defines a template and arranges templates on sheets. Everything is in millimetres at full size.
"""
