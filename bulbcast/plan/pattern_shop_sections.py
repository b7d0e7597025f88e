"""What the plan says of the pattern shop: [parting], [printer] and [frame], in SI and frozen.

None means "not given": such a default hangs on another figure and is settled by `planning/pattern_shop.py`.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal


@dataclass(frozen=True, slots=True, kw_only=True)
class PartingSection:
    """[parting]: where the pattern parts and what brings the halves together. Lengths m, `draft` rad.

    `plane` None: at the widest. `fit` is on the diameter.
    """

    plane: Literal["horizontal", "vertical", "none"] | None
    offset: float
    register: Literal["dowels", "keys", "none"]
    dowel: float | None
    fit: float
    draft: float
    print_length: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class PrinterSection:
    """[printer]: bed and material. Lengths m, `infill` a fraction, `pieces` a count along the axis.

    `position` and `pieces` None: whatever the bed allows with the fewest pieces.
    """

    bed_length: float
    bed_width: float
    bed_height: float
    margin: float
    position: Literal["lying", "standing"] | None
    pieces: float | None
    material: str
    layer: float
    shell: float
    infill: float
    smallest_wall: float


@dataclass(frozen=True, slots=True, kw_only=True)
class FrameSection:
    """[frame]: the box round the half pattern while the mould is made. Lengths m, `sprue_at` from the nose."""

    kind: Literal["boards", "printed"]
    wall: float | None
    floor: float | None
    board: float | None
    key_diameter: float | None
    sprue_diameter: float | None
    sprue_at: float | None
    vent_diameter: float | None
