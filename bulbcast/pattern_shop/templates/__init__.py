"""Templates at full size: what is cut out of paper, card, ply or acrylic and held against the work.

`template.py` holds what one is; every other file draws one family, `paper.py` lays them on sheets, and
`collected.py` says which a job has. Everything is in millimetres at full size.
"""
