"""What a builder writes: the plan's sections, its keys and their defaults, the reader, and a starter plan.

`reading.read_plan` turns a plan file's text into `sections.Plan`, or raises `faults.PlanError` with all faults of the
file together. `keys.KEYS` is the one table of what a plan may hold.
"""
