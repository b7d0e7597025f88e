"""Results for the strength of fin and joint."""

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
    """Results for bulb and boat, with fin and joint under their loads.

    Attributes:
        strength: Fin and joint under their loads; None if the plan has no [strength].
        limits: The limits typed in the plan, compared with the bulb.
        carried: Loads when the boat is lifted by the bulb's tail; None if her mass is not known or is too much to lift.
    """

    strength: Strength | None = None
    limits: tuple[LimitHeld, ...] = ()
    carried: Carried | None = None
