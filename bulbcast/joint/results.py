"""What is known of fin and joint."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from bulbcast.ballast.results import BallastResults

if TYPE_CHECKING:
    # Loaded where a plan has their section.
    from bulbcast.joint.limits import LimitHeld
    from bulbcast.joint.strength import Strength


@dataclass(frozen=True, slots=True, kw_only=True)
class JointResults(BallastResults):
    """Bulb and boat, with fin and joint under their loads.

    Attributes:
        strength: Fin and joint under their loads; None where the plan has no [strength].
        limits: What the plan types in as limits, held against the bulb.
    """

    strength: Strength | None = None
    limits: tuple[LimitHeld, ...] = ()
