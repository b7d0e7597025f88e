"""Full-size templates: shapes cut from paper, card, plywood or acrylic to hold against the work.

`template.py` defines a template, every other file draws one family, `paper.py` lays them out on sheets, and
`collected.py` lists those of a job. Everything is in millimetres at full size.
"""
