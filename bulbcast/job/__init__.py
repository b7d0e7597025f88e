"""The chain of calculations, from a Plan to a Job that contains every result.

`chain.run` performs them, and `Job` is the result.
"""

from bulbcast.bulb.hung.wishes import OffsetsTable, alloy_of, profile_of, wish_of
from bulbcast.job.chain import run
from bulbcast.job.later import with_cooling, with_pour
from bulbcast.pattern_shop.results import ShopResults as Job

__all__ = [
    "Job",
    "OffsetsTable",
    "alloy_of",
    "profile_of",
    "run",
    "wish_of",
    "with_cooling",
    "with_pour",
]
