"""What a builder writes: the plan's sections, its keys with their defaults, reading it, a starter.

`reading.read_plan` turns a plan file's text into `sections.Plan`, or raises `faults.PlanError` with every
fault of the file in one go. `keys.KEYS` is the one table of what a plan may hold.
"""
