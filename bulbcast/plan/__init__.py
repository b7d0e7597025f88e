"""The plan file: its sections, keys and defaults, its reader, and a starter plan.

`reading.read_plan` turns a plan file's text into `sections.Plan`, or raises `faults.PlanError` with all faults of the
file together. `keys.KEYS` is the single table of everything that a plan can contain.
"""
