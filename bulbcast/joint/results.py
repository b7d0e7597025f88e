"""Results for the strength of the fin and the joint."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bulbcast.ballast.results import BallastResults
from bulbcast.quantities.frozen import frozen

if TYPE_CHECKING:
    # Loaded only if the plan has their section.
    from bulbcast.joint.carried import Carried
    from bulbcast.joint.limits import LimitHeld
    from bulbcast.joint.strength import Strength


@frozen
class JointResults(BallastResults):
    """Results for the bulb and the boat, with the fin and the joint under their loads.

    Attributes:
        strength: Results for the fin and the joint under their loads; None if the plan has no [strength].
        limits: The limits typed in the plan, compared with the bulb.
        carried: Loads on the joint when the boat is lifted by the bulb's tail; None if the boat's mass is unknown or
            too great to lift.
    """

    strength: Strength | None = None
    limits: tuple[LimitHeld, ...] = ()
    carried: Carried | None = None
