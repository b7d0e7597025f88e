"""What the plan says of templates and ribs: [templates] and [ribs], in SI and frozen."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal


@dataclass(frozen=True, slots=True, kw_only=True)
class TemplatesSection:
    """[templates]: the paper, and how far apart stations stand. Lengths m, None: settled by size."""

    paper: Literal["A4", "A3", "letter"] | None
    spacing: float | None
    turning_spacing: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class RibsSection:
    """[ribs]: how fin and rudder are built up. Lengths m; `count` is a whole number, `plate_at` a fraction of
    the chord; without `plate_thickness` there is no centre plate, without `plate_width` it takes the whole chord.
    """

    count: float
    skin: float
    plate_thickness: float | None
    plate_width: float | None
    plate_at: float
