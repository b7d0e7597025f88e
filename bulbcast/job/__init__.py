"""The chain of the work: a Plan in, a Job with every result out.

`chain.run` works it out, `rooms` joins what only some plans have, `values.Job` is what comes of it.
"""

from bulbcast.job.chain import run
from bulbcast.job.rooms import planned_shop, with_cooling, with_pour, with_shop
from bulbcast.job.values import Job
from bulbcast.planning.wishes import OffsetsTable, alloy_of, profile_of, wish_of

__all__ = [
    "Job",
    "OffsetsTable",
    "alloy_of",
    "planned_shop",
    "profile_of",
    "run",
    "wish_of",
    "with_cooling",
    "with_pour",
    "with_shop",
]
