"""Templates at full size: shapes cut from paper, card, ply or acrylic to hold against the work.

`template.py` defines one; every other file draws one family, `paper.py` lays them out on sheets, and `collected.py`
says which a job has. Everything is in millimetres at full size.
"""
