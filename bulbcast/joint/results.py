"""Results for fin and joint."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bulbcast.ballast.results import BallastResults
from bulbcast.quantities.frozen import frozen

if TYPE_CHECKING:
    # Loaded only where a plan has their section.
    from bulbcast.joint.carried import Carried
    from bulbcast.joint.limits import LimitHeld
    from bulbcast.joint.strength import Strength


@frozen
class JointResults(BallastResults):
    """Bulb and boat, with fin and joint under their loads.

    Attributes:
        strength: Fin and joint under their loads; None where the plan has no [strength].
        limits: The limits typed in the plan, compared with the bulb.
        carried: The boat lifted by the bulb's tail; None where her mass is not known, or she is too heavy for it.
    """

    strength: Strength | None = None
    limits: tuple[LimitHeld, ...] = ()
    carried: Carried | None = None
