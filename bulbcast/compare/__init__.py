"""Studies: one plan calculated over a grid of one or two inputs, without solids, and given as rows, a table, CSV and
JSON.

`read_variations` reads the inputs to vary as typed, `compare` calculates the grid, and `tables` formats it. Nothing
here reads or writes a file.
"""

from bulbcast.compare.columns import COLUMNS, DRAG_COLUMNS, Column
from bulbcast.compare.rows import Study, StudyRow
from bulbcast.compare.run import compare, offsets_named, plan_with_boat
from bulbcast.compare.tables import study_csv, study_object, study_table
from bulbcast.compare.vary import LARGEST_GRID, Variation, read_variations

__all__ = [
    "COLUMNS",
    "DRAG_COLUMNS",
    "LARGEST_GRID",
    "Column",
    "Study",
    "StudyRow",
    "Variation",
    "compare",
    "offsets_named",
    "plan_with_boat",
    "read_variations",
    "study_csv",
    "study_object",
    "study_table",
]
