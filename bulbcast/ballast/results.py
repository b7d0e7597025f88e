"""Results for a plan with a boat."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bulbcast.bulb.results import BulbResults
from bulbcast.quantities.frozen import frozen

if TYPE_CHECKING:
    # Imported only if a plan has the sections for them.
    from bulbcast.ballast.work import BoatJob


@frozen
class BallastResults(BulbResults):
    """The bulb and its boat.

    Attributes:
        boat: Boat with this bulb; None if the plan has no boat.
        gm: The metacentric height to report: as she floats if righting arms were calculated, otherwise on the design
            waterline; None if the hull's figures do not give it. [m]
    """

    boat: BoatJob | None = None
    gm: float | None = None
