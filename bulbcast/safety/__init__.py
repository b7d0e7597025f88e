"""The cautions, as a single source for SAFETY.md, the report, the terminal and the sheets.

This package imports nothing else from the program, and every other package may import it.
"""

from bulbcast.safety.cautions import (
    Caution,
    ExposureLimit,
    Step,
    Vapour,
    caution,
    cautions,
    cautions_at,
    closing,
    exposure_limits,
    introduction,
    steps,
    vapour_table,
)
from bulbcast.safety.document import safety_document

__all__ = [
    "Caution",
    "ExposureLimit",
    "Step",
    "Vapour",
    "caution",
    "cautions",
    "cautions_at",
    "closing",
    "exposure_limits",
    "introduction",
    "safety_document",
    "steps",
    "vapour_table",
]
