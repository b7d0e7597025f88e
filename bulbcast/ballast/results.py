"""What is known with the boat."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bulbcast.bulb.results import BulbResults
from bulbcast.quantities.frozen import frozen

if TYPE_CHECKING:
    # Loaded where a plan has their section.
    from bulbcast.ballast.work import BoatJob


@frozen
class BallastResults(BulbResults):
    """The bulb and the boat it hangs under.

    Attributes:
        boat: The boat with this bulb; None where the plan gives none.
        gm: The one metacentric height reported: that of the boat as she floats where there are righting arms, otherwise
            that of the design line; None where the hull does not give it. [m]
    """

    boat: BoatJob | None = None
    gm: float | None = None
